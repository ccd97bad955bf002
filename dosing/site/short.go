package site

import (
	_ "embed" // the form is part of the program
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed short.txt
var shortTable string

// Question is one of the short form: it fills one field, of the first row of a list.
type Question struct {
	Sheet, Field string
	Asks         string
	Adds         string // what the answer adds to the answers of the commands
	Default      string // taken where the answer is blank
	Unit         string // that the question names, so that a bare number is of it
}

// Short gives the short form, in the order in which it is asked and in the units of who is asked.
func Short(sys quantity.System) []Question {
	out := slices.Clone(short())
	for i, q := range out {
		figure := func(s string) string { return s }
		if sys == quantity.US {
			figure = usFigure
			if u, ok := usUnits[q.Unit]; ok {
				out[i].Unit = u.unit
			}
		}
		out[i].Asks = figuresTold.ReplaceAllStringFunc(q.Asks, func(s string) string { return figure(s[1 : len(s)-1]) })
	}
	return out
}

var short = sync.OnceValue(func() (out []Question) {
	for _, r := range table.Rows(shortTable) {
		Row(r[0], r[1]) // panics where there is no such field
		out = append(out, Question{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return out
})

// shortName is what a row that nobody was asked to name is called.
var shortName = map[string]string{"Stocks": "stock", "Tanks": "stock tank", "Pumps": "pump"}

// ShortForm is the short form while it is filled in.
type ShortForm struct {
	Units   quantity.System // of who is asked
	Values  Values
	Missing []Question // without an answer and without a default
}

// Answer takes the answer to a question. What is wrong with it is an error, and then
// nothing was taken; what is only asked about comes back as notes.
func (f *ShortForm) Answer(q Question, text string) (note.List, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		if text = q.Default; text == "" {
			f.Missing = append(f.Missing, q)
			return nil, nil
		}
	}
	text, basis := cutBasis(q.Field, text)
	text = q.written(text)
	var s Site
	if f.Units == quantity.US {
		s.Place.Units.V = UnitsUS
	}
	text, till, err := cutSpan(q.Field, text)
	if err == nil {
		err = s.Put(q.Sheet, 0, q.Field, text, "", note.Place{Cell: q.Field})
	}
	if err == nil && till != "" {
		err = s.Put(q.Sheet, 0, ends[q.Field], till, "", note.Place{Cell: ends[q.Field]})
	}
	if err == nil && q.Field == "dose" && basis == "" {
		err = note.Fault("basis-missing", "the dose %s does not say what it counts", text).Do(`write it like "12.5 mg/L as alum 14-hydrate" or "45 mg/L as product"`)
	}
	if err == nil && basis != "" {
		err = s.Put(q.Sheet, 0, counts[q.Field], basis, "", note.Place{Cell: counts[q.Field]})
	}
	if err != nil {
		return nil, err
	}
	f.set(q.Sheet, q.Field, text)
	if till != "" {
		f.set(q.Sheet, ends[q.Field], till)
	}
	if basis != "" {
		b, _ := quantity.BasisOf(basis)
		f.set(q.Sheet, counts[q.Field], string(b))
	}
	return s.Notes, nil
}

// Taken is what stands for an answer where that is not what was typed: a default, a unit, a choice in full.
func (f *ShortForm) Taken(q Question, text string) string {
	if f.Values[q.Sheet] == nil {
		return ""
	}
	taken := f.Values[q.Sheet][0][q.Field]
	if amount, _ := cutBasis(q.Field, strings.TrimSpace(text)); fold(amount) == fold(taken) || ends[q.Field] != "" {
		return ""
	}
	return taken
}

// ends are the fields that the answer to another one gives too, as "06:00-20:30" does.
var ends = map[string]string{"staffed from": "staffed till"}

// cutSpan parts an answer that says from when till when.
func cutSpan(field, text string) (from, till string, err error) {
	if ends[field] == "" {
		return text, "", nil
	}
	from, till, ok := strings.Cut(strings.NewReplacer("–", "-", " to ", "-", " till ", "-").Replace(text), "-")
	if !ok {
		return text, "", note.Fault("span-open", "%q does not say from when till when", text).Do(`write it like "06:00-20:30"`)
	}
	return strings.TrimSpace(from), strings.TrimSpace(till), nil
}

// counts are the fields that say what an answer counts.
var counts = map[string]string{"dose": "basis", "strength": "strength counts"}

// cutBasis takes what an answer counts off it: behind "as", and behind the sign of a strength.
func cutBasis(field, text string) (amount, basis string) {
	switch i := strings.Index(strings.ToLower(text), " as "); {
	case counts[field] == "":
	case i >= 0:
		return text[:i], text[i+1:]
	case field == "strength":
		if share, what, ok := strings.Cut(text, "%"); ok {
			return share + "%", strings.TrimSpace(what)
		}
	}
	return text, ""
}

// written is an answer as the file has it: with the unit that the question names, and a choice in full.
func (q Question) written(text string) string {
	_, f := Row(q.Sheet, q.Field)
	if full, bare := f.withUnit(text, q.Unit); !bare {
		text = full
	}
	for _, c := range f.Choices {
		if fold(c) == fold(text) {
			return c
		}
	}
	if whole, ok := begun(f.Choices, text); ok {
		return whole
	}
	return text
}

// set fills a field of the only row, which is made with its name.
func (f *ShortForm) set(sheet, field, text string) {
	if f.Values == nil {
		f.Values = Values{}
	}
	if f.Values[sheet] == nil {
		f.Values[sheet] = []map[string]string{{}}
		if name := shortName[sheet]; name != "" {
			f.Values[sheet][0]["name"] = name
		}
	}
	f.Values[sheet][0][field] = text
}

// joins are the fields by which the rows of a short form name each other, and the list that each names a row of.
var joins = []struct{ sheet, field, names string }{{"Chemicals", "stock", "Stocks"}, {"Chemicals", "pump", "Pumps"}, {"Stocks", "tank", "Tanks"}}

// Finish joins the rows to each other. A tank without a stock holds the product as it is delivered.
func (f *ShortForm) Finish() Values {
	f.set("Place", "example values", "no")
	v := f.Values
	if v["Tanks"] != nil {
		f.set("Tanks", "use", TankStock)
		f.set("Stocks", "name", shortName["Stocks"])
	}
	for _, j := range joins {
		if v[j.sheet] != nil && v[j.names] != nil {
			f.set(j.sheet, j.field, shortName[j.names])
		}
	}
	if v["Animals"] != nil {
		f.set("Animals", "name", v["Animals"][0]["species"])
		f.set("Animals", "reached", ReachedAlways)
	}
	return v
}

// asks reports that the short form asks for a field.
func asks(sh Sheet, f Field) bool {
	return slices.ContainsFunc(short(), func(q Question) bool {
		return q.Sheet == sh.Name && (q.Field == f.Name || ends[q.Field] == f.Name)
	})
}

// InShort reports that a field belongs on a short form: asked for, filled in,
// needed beside one that is, or by which its rows name each other.
func InShort(sh Sheet, f Field, v Values) bool {
	filled := slices.ContainsFunc(v[sh.Name], func(row map[string]string) bool { return row[f.Name] != "" })
	here := slices.ContainsFunc(short(), func(q Question) bool { return q.Sheet == sh.Name })
	return asks(sh, f) || filled || here && f.Need == Needed ||
		slices.ContainsFunc(joins, func(j struct{ sheet, field, names string }) bool { return j.sheet == sh.Name && j.field == f.Name })
}
