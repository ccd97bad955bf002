package site

import (
	"cmp"
	_ "embed" // the form is part of the program
	"fmt"
	"math"
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
	Adds         string   // what the answer adds to the answers of the commands
	Default      string   // taken where the answer is blank
	Unit         string   // that the question names, so that a bare number is of it
	waters       []string // water passes at which it is asked; none for any
	row          string   // name of the row that it fills, where a list has several
}

// Short gives the short form for water that passes so, empty being once through, in the order in which it is asked
// and in the units of who is asked.
func Short(sys quantity.System, passes string) []Question {
	passes = cmp.Or(passes, OnceThrough)
	out := slices.DeleteFunc(slices.Clone(short()), func(q Question) bool { return len(q.waters) > 0 && !slices.Contains(q.waters, passes) })
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
		out = append(out, Question{r[0], r[1], r[2], r[3], r[4], r[5], table.List(r[6]), r[7]})
	}
	return out
})

// shortName is what a row that nobody was asked to name is called.
var shortName = map[string]string{"Stocks": "stock", "Tanks": "stock tank", "Pumps": "pump", "Ponds": "pond"}

// cleaned is the row of the tank that a short form has cleaned up.
const cleaned = "tank"

// ShortForm is the short form while it is filled in.
type ShortForm struct {
	Units   quantity.System // of who is asked
	Values  Values
	Missing []Question // without an answer and without a default
}

// Questions are those of the form, as far as it is known by what has been answered which they are.
func (f *ShortForm) Questions() []Question { return Short(f.Units, f.Values.Passes()) }

// Passes says how the water passes; empty where nothing does.
func (v Values) Passes() string {
	if rows := v["Place"]; len(rows) > 0 {
		return rows[0]["water passes"]
	}
	return ""
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
	if basis == "" && q.Field == "dose" {
		basis = f.Values.row(q.Sheet, "")[counts[q.Field]] // said by an answer of its own
	}
	text = q.written(text)
	var s Site
	if f.Units == quantity.US {
		s.Place.Units.V = UnitsUS
	}
	if q.Sheet == "Stocks" {
		s.weighs(f.Values.row(q.Sheet, q.row))
	}
	text, till, err := cutSpan(q.Field, text)
	holds := text
	if err == nil {
		holds, err = f.weighed(q, text)
	}
	if err == nil {
		err = s.Put(q.Sheet, 0, q.Field, holds, "", note.Place{Cell: q.Field})
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
	f.put(q.Sheet, q.Row(), q.Field, text)
	if till != "" {
		f.set(q.Sheet, ends[q.Field], till)
	}
	if basis != "" {
		b, _ := quantity.BasisOf(basis)
		f.set(q.Sheet, counts[q.Field], string(b))
	}
	return s.Notes, nil
}

// weighed is the answer to a question of goods with a volume of them as its mass, by what is answered of their chemical.
func (f *ShortForm) weighed(q Question, text string) (string, error) {
	said := f.Values.row(q.Sheet, "")
	if q.Sheet != "Chemicals" || said == nil {
		return text, nil
	}
	var s Site
	for _, field := range []string{"name", "product", "density"} {
		if said[field] != "" {
			_ = s.Put(q.Sheet, 0, field, said[field], "", note.Place{}) // refused where it was answered, if it is
		}
	}
	sheet, field := Row(q.Sheet, q.Field)
	e, _, err := s.weighed(sheet, field, row{entries: map[string]entry{"name": {text: said["name"]}}}, entry{text: text, at: note.Place{Cell: q.Field}})
	return e.text, err
}

// Taken is what stands for an answer where that is not what was typed: a default, a unit, a choice in full.
func (f *ShortForm) Taken(q Question, text string) string {
	row := f.Values.row(q.Sheet, q.Row())
	if row == nil {
		return ""
	}
	taken := row[q.Field]
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
	from, till = strings.TrimSpace(from), strings.TrimSpace(till)
	a, bad := parseClock(from)
	b, worse := parseClock(till)
	if bad == nil && worse == nil && b <= a && a <= 12 && b < 12 && b > 0 && !strings.HasPrefix(till, "0") { // "8 to 5", where few mean the morning after
		return text, "", note.Fault("span-which", "%q may end in the afternoon, at %s, or in the morning after, at %s", text, hhmm(b+12), hhmm(b)).
			Do(`write "%s-%s" or "%s-%s"`, hhmm(a), hhmm(b+12), hhmm(a), hhmm(b))
	}
	return from, till, nil
}

// hhmm is a time of day as it is written into a site.
func hhmm(t quantity.Time) string {
	minutes := int(math.Round(float64(t) * 60))
	return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60)
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

// set fills a field of the only row, or of the one that nobody was asked to name.
func (f *ShortForm) set(sheet, field, text string) { f.put(sheet, shortName[sheet], field, text) }

// put fills a field of the row of that name, which is made with it.
func (f *ShortForm) put(sheet, name, field, text string) {
	if f.Values == nil {
		f.Values = Values{}
	}
	row := f.Values.row(sheet, name)
	if row == nil {
		if row = map[string]string{}; name != "" {
			row[namedBy(sheet)] = name
		}
		f.Values[sheet] = append(f.Values[sheet], row)
	}
	row[field] = text
}

// row is the one of that name, or the first where none is asked for; nil where there is none.
func (v Values) row(sheet, name string) map[string]string {
	for _, row := range v[sheet] {
		if name == "" || row[namedBy(sheet)] == name {
			return row
		}
	}
	return nil
}

// namedBy is the field that tells the rows of a list apart: their name, else the first field, as what a price is of.
func namedBy(sheet string) string {
	sh, _ := findSheet(sheet)
	if _, ok := sh.Field("name"); ok || len(sh.Fields) == 0 {
		return "name"
	}
	return sh.Fields[0].Name
}

// joins are the fields by which the rows of a short form name each other, and the list that each names a row of.
var joins = []struct{ sheet, field, names string }{{"Chemicals", "stock", "Stocks"}, {"Chemicals", "pump", "Pumps"}, {"Stocks", "tank", "Tanks"}}

// Finish joins the rows to each other. A tank without a stock holds the product as it is delivered.
func (f *ShortForm) Finish() Values {
	f.set("Place", "example values", "no")
	v := f.Values
	if v.row("Tanks", shortName["Tanks"]) != nil {
		f.set("Tanks", "use", TankStock)
		f.set("Stocks", "name", shortName["Stocks"])
	}
	if v.row("Tanks", cleaned) != nil {
		f.put("Tanks", cleaned, "use", TankAnimals)
		f.set("Solids", "tank to clean up", cleaned)
	}
	if rows := v["Drawdown"]; rows != nil {
		f.set("Pumps", "name", shortName["Pumps"])
		v["Drawdown"] = slices.DeleteFunc(rows, func(row map[string]string) bool { return len(row) == 0 })
		for _, row := range v["Drawdown"] {
			row["pump"] = shortName["Pumps"]
		}
	}
	for _, j := range joins {
		if v[j.sheet] != nil && v.row(j.names, shortName[j.names]) != nil {
			f.set(j.sheet, j.field, shortName[j.names])
		}
	}
	for _, row := range v["Animals"] {
		row["name"] = cmp.Or(row["name"], row["species"])
		row["reached"] = cmp.Or(row["reached"], ReachedAlways)
	}
	return v
}

// InShort reports that a field belongs on a short form: asked for, filled in,
// needed beside one that is, or by which its rows name each other.
func InShort(sh Sheet, f Field, v Values) bool {
	questions := Short(quantity.Metric, v.Passes())
	filled := slices.ContainsFunc(v[sh.Name], func(row map[string]string) bool { return row[f.Name] != "" })
	of := func(sheet string) bool {
		return slices.ContainsFunc(questions, func(q Question) bool { return q.Sheet == sheet })
	}
	asked := slices.ContainsFunc(questions, func(q Question) bool { return q.Sheet == sh.Name && (q.Field == f.Name || ends[q.Field] == f.Name) })
	return asked || filled || of(sh.Name) && f.Need == Needed ||
		slices.ContainsFunc(joins, func(j struct{ sheet, field, names string }) bool {
			return j.sheet == sh.Name && j.field == f.Name && of(j.names)
		})
}
