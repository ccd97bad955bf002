package serve

import (
	"cmp"
	"context"
	"html/template"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/jartest/words"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// readingFields are the flags that say how sheets are read, as fields of a form.
var readingFields = []desk.Field{
	{Name: "chemical", Label: "Chemical of a dose that names none", Hint: "alum"},
	{Name: "basis", Label: "What a dose counts", Options: bases("as the sheet says")},
	{Name: "stock", Label: "Strength of the stock", Hint: "10", Unit: "g/L"},
	{Name: "jar-volume", Label: "Water in a jar", Hint: "1", Unit: "L"},
	{Name: "density", Label: "Density of a neat product", Hint: "1.33", Unit: "kg/L"},
	{Name: "sheet", Label: "Only the sheet"},
	{Name: "range", Label: "Only the cells", Hint: "A5:F11"},
	{Name: "sheet-decimal", Label: "Fractions are written with", Options: []desk.Choice{{Value: "", Title: "as the numbers show"}, {Value: ".", Title: "a point"}, {Value: ",", Title: "a comma"}}},
	{Name: "hidden", Label: "Read what the sheet hides too", Check: true},
}

// ofField are the codes of faults that speak of a field without naming its flag.
var ofField = map[string]string{"no-such-sheet": "sheet", "bad-range": "range", "chemical-unused": "chemical"}

// bases are the bases that a dose may have.
func bases(none string) []desk.Choice {
	out := []desk.Choice{{Value: "", Title: none}}
	for _, b := range quantity.Bases() {
		out = append(out, desk.Choice{Value: string(b), Title: string(b)})
	}
	return out
}

// benchBody shows what was understood of the bench sheets as the sheets themselves.
func (s *Server) benchBody(ctx context.Context, st state, p desk.Page, a Answer, client string) (template.HTML, error) {
	fields, open := filledIn(readingFields, st.Flags, faults(a))
	read, ok := a.Report.(templates.ReadCells)
	if !ok || len(read.Account.Sheets) == 0 { // the flags are wrong, or the file: without the wrong flag it can be drawn all the same
		if without, is := st.withoutWrong(fields); is {
			if j, err := s.run(without, stepArgs("/bench", without), client); err == nil && j.wait(ctx) {
				if drawn, is := j.answer.Report.(templates.ReadCells); is {
					read, ok = drawn, false
				}
			}
		}
	}
	b, err := desk.BenchOf(p, read, a.Options, func(h desk.Head) string { return st.at("/change") + "&" + url.Values{"of": {h.Key()}}.Encode() })
	if err != nil {
		return "", err
	}
	b.Notes = matterOnPage(b.Notes, st)
	b.Fields, b.Open = fields, open
	if ok && b.Refused {
		b.Asked, b.Fields = askedFor(fields, read.All().Only(note.Error))
	}
	switch {
	case len(b.Asked) > 0:
		b.Title, b.Why = "Not yet", "The sheet is read but for what is asked here, without which its doses are no mg/L."
	case !ok: // what is wrong goes before what could be read
		b.Title, b.Refused = "Not read", true
		b.Why, b.Ask = "It cannot be read as you asked for. What is wrong stands below and at the field; your sheet is drawn as it would be read without that.", false
		b.Notes, err = desk.NotesOf(notesOnPage(a.Options.Notes(note.Of(a.Err, "not-read"))))
	case !b.Refused:
		b.Dose = st.at("/dose")
	}
	if err != nil {
		return "", err
	}
	return b.Write()
}

// askedFor parts the fields into those that errors ask for by name, of sheets that are understood but for them, and the rest. The
// density of a product that was dosed neat stands with the rest where the strength of a stock would do.
func askedFor(fields []desk.Field, wrong note.List) (asked, rest []desk.Field) {
	for _, f := range fields {
		if slices.ContainsFunc(wrong, func(n note.Note) bool {
			names := func(flag string) bool { return strings.Contains(n.Remedy, "--"+flag+` "`) }
			return slices.Contains(sheet.StockLacks, n.Code) && names(f.Name) && !(f.Name == "density" && names("stock"))
		}) {
			asked = append(asked, f)
		} else {
			rest = append(rest, f)
		}
	}
	return asked, rest
}

// withUnit is what was typed into a field, a bare number with the unit that stands beside it.
func withUnit(f desk.Field, typed string) string {
	v := pointed(strings.TrimSpace(typed))
	if f.Unit != "" && bareNumber.MatchString(v) {
		v += " " + f.Unit
	}
	return v
}

// shut says why a bench sheet cannot be opened; false of one that can.
func shut(a Answer) (note.Note, bool) {
	read, ok := a.Report.(templates.ReadCells)
	if ok && len(read.Account.Sheets) > 0 {
		return note.Note{}, false
	}
	why := note.Of(a.Err, "shut")
	if ok {
		why = append(why, read.All().Only(note.Error)...)
	}
	if len(why) == 0 {
		return note.Note{}, false
	}
	return why[0], true
}

// stepArgs is the command line of the step at a path.
func stepArgs(path string, st state) []string {
	p, _ := stepAt(path)
	return p.args(st)
}

// wait waits for a job while somebody does, and reports that it is done.
func (j *job) wait(ctx context.Context) bool {
	select {
	case <-j.done:
		return true
	case <-ctx.Done():
		return false
	}
}

// faults are what an answer says is wrong.
func faults(a Answer) note.List { return note.Of(a.Err, "wrong") }

// filledIn fills in a form: what was chosen, and what is wrong with it; open reports
// that either is there.
func filledIn(rows []desk.Field, given url.Values, wrong note.List) (out []desk.Field, open bool) {
	for _, f := range rows {
		f.Value = given.Get(f.Name)
		if f.Unit != "" {
			f.Value = strings.TrimSuffix(f.Value, " "+f.Unit)
		}
		for _, n := range wrong {
			if says := n.Message; ofField[n.Code] == f.Name || strings.Contains(says, "--"+f.Name+`"`) || strings.Contains(says, "--"+f.Name+" ") {
				f.Error = sentence(says, n.Remedy)
				break
			}
		}
		if len(f.Options) > 0 && !slices.ContainsFunc(f.Options, func(c desk.Choice) bool { return c.Value == f.Value }) {
			f.Options = append(slices.Clone(f.Options), desk.Choice{Value: f.Value, Title: f.Value})
		}
		open = open || f.Value != "" || f.Error != ""
		out = append(out, f)
	}
	return out, open
}

// sentence is what is wrong and what to do, with a stop.
func sentence(says, do string) string {
	if do != "" {
		says += ": " + do
	}
	return strings.TrimSuffix(onPage(says), ".") + "."
}

// withoutWrong is the state without the flags of fields that are wrong, and whether there is one.
func (st state) withoutWrong(fields []desk.Field) (state, bool) {
	out := st.clone()
	for _, f := range fields {
		if f.Error != "" {
			out.Flags.Del(f.Name)
		}
	}
	return out, len(out.Flags) < len(st.Flags)
}

// clone is the state with flags of its own.
func (st state) clone() state {
	flags := url.Values{}
	for k, v := range st.Flags {
		flags[k] = slices.Clone(v)
	}
	st.Flags = flags
	return st
}

// reread takes how sheets are to be read.
func (s *Server) reread(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	st = st.clone()
	for _, f := range readingFields {
		if fields.Has(desk.AskedKey) && !fields.Has(f.Name) {
			continue // of a form that asks for less
		}
		if st.Flags.Del(f.Name); strings.TrimSpace(fields.Get(f.Name)) != "" {
			st.Flags.Set(f.Name, withUnit(f, fields.Get(f.Name)))
		}
	}
	http.Redirect(w, r, st.at("/bench"), http.StatusSeeOther)
}

// columnKinds are what a column can be said to be; readings come from their list.
func columnKinds() []desk.Kinds {
	readings := desk.Kinds{Title: "A reading"}
	for _, i := range jartest.Keys() {
		title := i.Label
		if i.Unit != "" {
			title += ", " + i.Unit
		}
		readings.Choices = append(readings.Choices, desk.Choice{Value: strings.ReplaceAll(string(i.Key), "_", " "), Title: title})
	}
	return []desk.Kinds{
		{Title: "What went in", Choices: []desk.Choice{{Value: "dose", Title: "the dose"}, {Value: "stock", Title: "the stock added"}, {Value: "chemical", Title: "the name of the chemical"}}},
		readings,
		{Title: "Else", Choices: []desk.Choice{{Value: "jar", Title: "the jar"}, {Value: "test", Title: "the test it is of"}, {Value: "replicate", Title: "the number of the repeat"},
			{Value: "note", Title: "a remark"}, {Value: "ignore", Title: "nothing: leave it out"}}},
	}
}

// columnUnits are units that are often written; any other may be typed.
var columnUnits = []string{"mg/L", "g/L", "g/m3", "ppm", "µL/L", "mL", "µL", "NTU", "FNU", "mg/L as P", "µg/L", "1/cm", "1/m", "mg/L CaCO3", "mmol/L", "°C", "µS/cm", "mL/L", "mV"}

// askColumn asks what a column is.
func (s *Server) askColumn(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	of := r.URL.Query().Get("of")
	if st.gone || of == "" || len(of) > mostFlag || len(st.of(desk.Bench)) == 0 {
		s.refuse(w, st, "/bench", http.StatusNotFound, "Not here", "The bench sheet that this page needs is not open here any more.", "Drop it again.")
		return
	}
	p := s.pageOf(st, "/bench")
	c := desk.Change{Page: p, Column: of, Kinds: columnKinds(), Units: columnUnits, Back: st.at("/bench")}
	args := stepArgs("/bench", st)
	if j, err := s.run(st, args, client(r)); err == nil && j.wait(r.Context()) {
		if read, ok := j.answer.Report.(templates.ReadCells); ok {
			c.Head = headOf(p, read, j.answer.Options, of)
		}
	}
	c.Head.Letter = cmp.Or(c.Head.Letter, of)
	for _, v := range st.Flags["column"] {
		if head, meaning, _ := strings.Cut(v, "="); sameColumn(head, of, c.Head.Letter) {
			c.Kind, c.Unit = kindOf(meaning, c.Kinds)
		}
	}
	c.Kind = cmp.Or(c.Kind, takenFor(c.Head.As, c.Kinds))
	if unit := r.URL.Query().Get("unit"); len(unit) <= mostFlag { // asked about where a dose is too large to be one
		c.Unit = cmp.Or(c.Unit, unit)
	}
	p.Title, p.Command = "What a column is", CommandLine(args)
	body, err := c.Write()
	s.write(w, p, body, err, http.StatusOK)
}

// headOf finds the drawn heading that a name is of.
func headOf(p desk.Page, read templates.ReadCells, o templates.Options, of string) (found desk.Head) {
	b, err := desk.BenchOf(p, read, o, func(desk.Head) string { return "x" })
	if err != nil {
		return found
	}
	for _, s := range b.Sheets {
		for _, band := range s.Bands {
			for _, h := range band.Items() {
				if h.Key() == of {
					return h
				}
			}
		}
	}
	return found
}

// sameColumn reports a heading of an override that is of a column: by its name or its letter.
func sameColumn(head, of, letter string) bool {
	head = strings.TrimSpace(head)
	return strings.EqualFold(head, of) || strings.EqualFold(head, letter)
}

// kindOf parts a meaning into the kind, as the form has it, and the rest of it.
func kindOf(meaning string, kinds []desk.Kinds) (kind, rest string) {
	for _, g := range kinds {
		for _, c := range g.Choices {
			if left, ok := strings.CutPrefix(strings.TrimSpace(meaning), c.Value); ok && len(c.Value) > len(kind) && (left == "" || left[0] == ' ') {
				kind, rest = c.Value, strings.TrimSpace(left)
			}
		}
	}
	return kind, rest
}

// takenFor is what a column was taken for, as the form has it; empty where the form has no word for it.
func takenFor(as string, kinds []desk.Kinds) string {
	for _, g := range kinds {
		for _, c := range g.Choices {
			label, _, _ := strings.Cut(c.Title, ",")
			if strings.EqualFold(as, label) || strings.EqualFold(as, c.Value) || strings.HasPrefix(as, c.Value+" of ") {
				return c.Value
			}
		}
	}
	return ""
}

// takeColumn takes what a column is, in place of what was said of it before.
func (s *Server) takeColumn(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	of, kind := strings.TrimSpace(fields.Get("column")), strings.TrimSpace(fields.Get("kind"))
	letter, own := "", ""
	if j, err := s.run(st, stepArgs("/bench", st), client(r)); err == nil && j.wait(r.Context()) {
		if read, ok := j.answer.Report.(templates.ReadCells); ok {
			h := headOf(desk.Page{}, read, j.answer.Options, of)
			letter, own = h.Letter, h.Own
		}
	}
	st = st.clone()
	columns := slices.DeleteFunc(st.Flags["column"], func(v string) bool {
		head, _, _ := strings.Cut(v, "=")
		return sameColumn(head, of, letter)
	})
	if kind != "" && of != "" {
		said := kind
		if kind == "dose" || kind == "stock" {
			said += " " + strings.TrimSpace(fields.Get("chemical"))
		}
		unit := fields.Get("unit")
		if strings.TrimSpace(unit) == "" && !saysUnit(own) { // the list that it was chosen from says it
			unit = jartest.Key(jartest.Slug(kind)).Info().Unit
		}
		columns = append(columns, of+"="+strings.Join(strings.Fields(said+" "+unit), " "))
	}
	if st.Flags["column"] = columns; len(columns) == 0 {
		st.Flags.Del("column")
	}
	http.Redirect(w, r, st.at("/bench"), http.StatusSeeOther)
}

// saysUnit reports a heading that names a unit of its own, which goes before that of a list.
func saysUnit(heading string) bool {
	return slices.ContainsFunc(strings.FieldsFunc(heading, func(r rune) bool { return strings.ContainsRune(" ()[],;:", r) }), func(w string) bool {
		_, ok := words.OnlyUnit(w)
		return ok
	})
}

// pointed writes a decimal comma as a point where it can be nothing else: "0,5 L", "7,42".
// Three digits behind it may be thousands, and are left to be asked about.
func pointed(s string) string {
	number, unit := s, ""
	if i := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.,-+", r) }); i >= 0 {
		number, unit = s[:i], s[i:]
	}
	whole, part, two := strings.Cut(number, ",")
	if !two || strings.ContainsAny(part, ".,") || strings.Contains(whole, ".") || part == "" || len(part) == 3 && strings.Trim(whole, "-+0") != "" {
		return s
	}
	return whole + "." + part + unit
}

// fraction is a number with a decimal comma among other words; three digits behind it may be thousands, but not behind a zero.
var fraction = regexp.MustCompile(`(^|[\s=<>])(?:(-?0),(\d+)|(-?\d+),(\d{1,2}|0\d\d|\d{4,}))($|[^\d,.])`)

// pointedIn writes the decimal commas of a target as points: "turbidity <= 2,5 NTU".
func pointedIn(s string) string { return fraction.ReplaceAllString(s, "$1$2$4.$3$5$6") }
