package serve

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// The files that the form of a site makes: the workbook, and the answers that it was made of.
const siteFile, answersFile = "site.xlsx", "site-answers.txt"

// drawdowns is how many readings of a pump the form takes.
const drawdowns = 3

// field is one question of the form of a site: what it fills, and how it is shown.
type field struct {
	sheet, row, name string
	label, adds      string
	group            string
	unit             string
	more             []string // other units that it may be answered in
	value            string
	choices          []desk.Stop
	wide             bool
}

// key names the field in a form.
func (f field) key() string {
	return strings.Trim(notWord.ReplaceAllString(strings.ToLower(f.sheet+" "+f.row+" "+f.name), "-"), "-")
}

var notWord = regexp.MustCompile(`[^a-z0-9]+`)

// line is the answer as the program's file of answers has it.
func (f field) line(text string) string {
	head := f.sheet
	if f.row != "" {
		head += ", " + f.row
	}
	return head + " | " + f.name + " | " + text
}

// The groups of the form, in their order.
const (
	placeGroup, waterGroup, chemicalGroup, pumpGroup, unitGroup, animalsGroup = "Place", "Water", "Chemical", "Pump", "Unit", "Animals"
)

var groups = []struct{ name, says string }{
	{placeGroup, "On the plan and its cards."},
	{waterGroup, "As it comes, before anything is dosed."},
	{chemicalGroup, "As the label and the jars say."},
	{pumpGroup, "Its largest rate, or timed drawdowns, which are surer."},
	{unitGroup, "What it takes out. A trial of it tells; leave blank what none has told."},
	{animalsGroup, "That the treated water reaches."},
}

// groupOf tells in which group a field is asked.
func groupOf(sheet, row string) string {
	switch sheet {
	case "Chemicals", "Stocks":
		return chemicalGroup
	case "Pumps", "Drawdown":
		return pumpGroup
	case "Place", "Animals":
		return map[string]string{"Place": placeGroup, "Animals": animalsGroup}[sheet]
	}
	if row == "stock tank" {
		return chemicalGroup
	}
	return waterGroup
}

// labels are what questions are called where the field's own name is too short.
var labels = map[string]string{
	"Place name": "Name", "Place purpose": "Treated for", "Place staffed from": "Somebody there", "Flow average flow": "Flow, on average", "Tanks stock tank volume": "Stock tank holds",
	"Tanks tank volume": "Tank to clean up", "Stocks product in stock": "Product in a litre of stock", "Chemicals name": "Name on the drum", "Water pH": "pH",
	"Water alkalinity": "Alkalinity of raw water", "Water turbidity": "Turbidity of raw water",
}

// passesWords are how water can pass, for people.
var passesWords = []desk.Stop{{Value: site.OnceThrough, Says: "once through"}, {Value: "recirculating", Says: "round and round"}, {Value: "batch", Says: "a tank is cleaned up"}, {Value: site.Standing, Says: "it stands, treated by hand"}}

// Fields of the form of a site that are no questions of it.
const (
	passesKey = "passes"
	wayKey    = "way"    // another way for the water to pass
	systemKey = "system" // other units to be asked in
	changeKey = "change" // the form of a site that is made already, see takesDose
	checkKey  = "check"  // what was typed is held against the program, and told what is wrong
	askedKey  = "asked"  // the units that the form asked in when it was sent
)

// Changes of a site that take an answer of another page: the dose as it was just asked for, and what a trial of the unit tells.
const takesDose, takesTrial = "dose", "trial"

// ofUnit are the fields of what a unit takes out, as its trial tells them.
var ofUnit = []field{
	{name: "solids caught", unit: "%", adds: "what leaves with the float or sludge, and how long a tank takes to clear"},
	{name: "outlet at best", label: "Never clearer than", unit: "NTU", adds: "the turbidity below which the unit’s outlet never comes"},
	{name: "turbidity coming in", label: "Coming in all the while", unit: "NTU/h", adds: "how fast the tank would cloud with the unit off"},
	{name: "caught undosed", unit: "%", adds: "what a pass takes out when nothing is dosed"},
	{name: "clearing trial", label: "Trial that tells it", adds: "what these figures rest on", wide: true},
}

// formed reports a site that its form can change: one that it made, or none yet.
func (st state) formed() bool { return len(st.of(desk.Site)) == 0 || len(st.of(desk.Answers)) > 0 }

// takeTrial puts what the trial on the desk tells of the unit into the form.
func (s *Server) takeTrial(r *http.Request, st state, given url.Values) {
	p, _ := stepAt("/trials")
	if !p.ready(st) {
		return
	}
	j, err := s.run(st, p.args(st), client(r))
	if err != nil || !j.wait(r.Context()) {
		return
	}
	answer, unit := j.answer.Report.(templates.ClearingReport)
	if !unit {
		return
	}
	for _, f := range ofUnit { // one answer of a trial goes with no other's
		f.sheet = "Solids"
		given.Del(f.key())
		given.Del(f.key() + unitSuffix)
	}
	for _, x := range answer.ForSite(j.answer.Options) {
		f := field{sheet: "Solids", name: x[0]}
		value, unit, _ := strings.Cut(x[1], " ")
		if x[0] == "clearing trial" {
			value, unit = x[1], ""
		}
		given.Set(f.key(), value)
		if unit != "" {
			given.Set(f.key()+unitSuffix, unit)
		}
	}
}

// system are the units that are asked in.
func (st state) system() quantity.System {
	if st.Flags.Get("units") == site.UnitsUS {
		return quantity.US
	}
	return quantity.Metric
}

// unitsAsked is what those units are called.
func (st state) unitsAsked() string { return cmp.Or(st.Flags.Get("units"), site.UnitsMetric) }

// fieldsOf are the fields of the form for water that passes so: those of the program's short form, with what a bench
// sheet on the desk answers and the readings of a drawdown.
func fieldsOf(st state, passes string, b bench) (out []field) {
	add := func(f field) {
		_, of := site.Row(f.sheet, f.name)
		f.group = cmp.Or(f.group, groupOf(f.sheet, f.row))
		f.label = cmp.Or(f.label, labels[strings.Join(strings.Fields(f.sheet+" "+f.row+" "+f.name), " ")], labels[f.sheet+" "+f.name], strings.ToUpper(f.name[:1])+f.name[1:])
		if len(of.Choices) > 0 && f.choices == nil {
			f.choices = append(f.choices, desk.Stop{})
			for _, c := range of.Choices {
				f.choices = append(f.choices, desk.Stop{Value: c, Says: c})
			}
		}
		out = append(out, f)
	}
	for _, q := range site.Short(st.system(), passes) {
		if q.Sheet == "Place" && q.Field == "water passes" {
			continue // which the page asks before all else
		}
		if q.Sheet == "Solids" && slices.ContainsFunc(ofUnit, func(f field) bool { return f.name == q.Field }) {
			continue // asked of the unit, whichever way the water passes
		}
		row := q.Row()
		if q.Sheet != "Tanks" { // the only list of which the form fills two rows
			row = ""
		}
		f := field{sheet: q.Sheet, row: row, name: q.Field, adds: q.Adds, unit: q.Unit, value: q.Default}
		if us := site.UnitChoices(q.Unit); len(us) > 1 {
			f.more = us[1:]
		}
		switch {
		case q.Sheet == "Chemicals" && q.Field == "name":
			f.value = b.chemical
			add(f)
			if sold := product.Default().Called(cmp.Or(st.draft().Get(f.key()), b.chemical)); len(sold) > 1 {
				add(whichProduct(sold))
			}
			if b.file != "" {
				add(field{sheet: "Chemicals", name: "bench sheet", adds: "the dose that its jars give, as on the page before", value: b.file,
					choices: []desk.Stop{{Value: b.file, Says: b.file}, {Value: "", Says: "none: a dose of my own"}}})
				add(field{sheet: "Chemicals", name: "target", adds: "what that dose has to reach", value: b.target, wide: true})
				add(field{sheet: "Chemicals", name: "how sure", label: "How sure it must be", adds: "how far to the safe side of its doubt that dose is", value: b.sure, choices: sureStops})
			}
			continue
		case q.Sheet == "Chemicals" && q.Field == "dose":
			if b.file != "" {
				f.label, f.adds = "A dose of my own", "the feed without a bench sheet: choose none above"
			}
			add(f)
			add(field{sheet: "Chemicals", name: "basis", label: "The dose counts", adds: "whether product or the pure substance is meant: a tenfold difference", value: b.basis})
			continue
		case q.Sheet == "Pumps":
			add(f)
			for n := 1; n <= drawdowns; n++ {
				row := strconv.Itoa(n)
				add(field{sheet: "Drawdown", row: row, name: "speed", label: "Knob", unit: "%"})
				add(field{sheet: "Drawdown", row: row, name: "volume", label: "drawn", unit: "mL"})
				add(field{sheet: "Drawdown", row: row, name: "time", label: "in", unit: "s"})
			}
			continue
		}
		if q.Sheet == "Water" && f.value == "" {
			f.value = b.raw[strings.ToLower(q.Field)] // as the jars were filled with it
		}
		add(f)
		for _, x := range besides[q.Sheet+" "+q.Field] {
			if _, of := site.Row(q.Sheet, x.name); x.unit == "" && of.Unit != "" {
				x.unit, x.more = f.unit, f.more
			}
			x.sheet = q.Sheet
			add(x)
		}
	}
	for _, f := range ofUnit {
		if passes != site.Standing {
			f.sheet, f.group = "Solids", unitGroup
			add(f)
		}
	}
	return out
}

// whichProduct asks which of several products a name on a drum means.
func whichProduct(sold []product.Product) field {
	f := field{sheet: "Chemicals", name: "product", label: "Which it is", adds: "what a kg of it does; the strength or the density of the label tells it too",
		choices: []desk.Stop{{Says: "choose"}}}
	for _, p := range sold {
		f.choices = append(f.choices, desk.Stop{Value: p.ID, Says: append(slices.Clone(p.Also), p.Name)[0]})
	}
	return f
}

// besides are fields that the form asks for beside a question of the short form, by that question.
var besides = map[string][]field{
	"Flow average flow": {{name: "least flow", label: "at least", adds: "whether the pump can go so low"}, {name: "peak flow", label: "at most", adds: "whether the pump can keep up"}},
	"Animals species":   {{name: "stage", adds: "the limits for fry, which are tighter"}},
	"Place staffed from": {{name: "kept by", label: "Whom to ask", adds: "a name on the cards"},
		{name: "also kept here", label: "Also in the shed", adds: "a warning of what must never meet, such as sodium hypochlorite", wide: true}},
}

// bench is what the bench sheet on the desk answers of a chemical.
type bench struct {
	file, chemical, basis, target, sure string
	raw                                 map[string]string // of the raw water, by the key of a reading
}

// benchOf asks fit what the bench sheet is of, and waits so long for it at most; running is the work that is not done then.
func (s *Server) benchOf(r *http.Request, st state, wait time.Duration) (b bench, running *job) {
	names := st.of(desk.Bench)
	p, _ := stepAt("/dose")
	if len(names) == 0 {
		return b, nil
	}
	j, err := s.run(st, p.args(st), client(r))
	if err != nil {
		return b, nil
	}
	select {
	case <-j.done:
	case <-r.Context().Done():
		return b, nil
	case <-time.After(wait):
		return b, j
	}
	var doc struct {
		Series []struct {
			File, Chemical, Basis string
			Targets               []string
		}
	}
	if !j.document(&doc) || len(doc.Series) == 0 {
		return b, nil
	}
	x := doc.Series[0]
	b = bench{file: x.File, chemical: x.Chemical, basis: x.Basis, target: strings.Join(x.Targets, "; "), sure: st.Flags.Get("sure"), raw: s.rawOf(r, st)}
	if b.basis == string(quantity.NotStated) || b.basis == "not stated" {
		b.basis = ""
	}
	return b, nil
}

// rawOf is what the first series of the bench sheets says of its raw water, as numbers in the units of the document.
func (s *Server) rawOf(r *http.Request, st state) map[string]string {
	var doc struct {
		Series []struct{ Raw map[string]any }
	}
	out := map[string]string{}
	j, err := s.run(st, stepArgs("/bench", st), client(r))
	if err != nil || !j.wait(r.Context()) || !j.document(&doc) || len(doc.Series) == 0 {
		return out
	}
	for key, x := range doc.Series[0].Raw {
		if n, ok := x.(float64); ok {
			out[key] = strconv.FormatFloat(n, 'f', -1, 64)
		}
	}
	return out
}

// site shows the form of a site, or what the site on the desk holds.
func (s *Server) site(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	if st.gone {
		s.refuse(w, st, "/site", http.StatusNotFound, "Not here", "A file that this page stood on is not held any more. Nothing is kept longer than the program runs.", "Drop it again.")
		return
	}
	q := r.URL.Query()
	change := q.Get(changeKey)
	if len(st.of(desk.Site)) > 0 && change == "" {
		s.siteHeld(w, r, st)
		return
	}
	b, running := s.benchOf(r, st, patience)
	if running != nil {
		v := s.pageOf(st, "/site")
		v.Refresh = 1
		body, err := desk.Working{Page: v, Told: running.progress(), Key: running.key}.Write()
		s.write(w, v, body, err, http.StatusOK)
		return
	}
	given := turned(st, st.draft(), b)
	for flag, key := range map[string]string{"target": "chemicals-target", "sure": "chemicals-how-sure"} {
		if change == takesDose && st.Flags.Has(flag) {
			given.Set(key, map[string]string{"target": b.target, "sure": b.sure}[flag])
		}
	}
	if change == takesTrial {
		s.takeTrial(r, st, given)
	}
	var faults map[string]note.Note
	if q.Has(checkKey) {
		var ok bool
		if _, faults, ok = s.made(w, r, st, given, b, true); !ok {
			return
		}
	}
	s.siteForm(w, st, cmp.Or(q.Get(passesKey), given.Get(passesKey)), given, b, faults)
}

// siteForm writes the form, filled in with what was given before, each fault at its field.
func (s *Server) siteForm(w http.ResponseWriter, st state, passes string, given url.Values, b bench, faults map[string]note.Note) {
	if !slices.ContainsFunc(passesWords, func(x desk.Stop) bool { return x.Value == passes }) {
		passes = site.OnceThrough
	}
	v := s.pageOf(st, "/site")
	form := desk.SiteForm{Passes: passes, Units: st.unitsAsked(), Bench: b.file}
	for _, p := range passesWords {
		form.Ways = append(form.Ways, desk.Option{Title: p.Says, Value: p.Value, Here: p.Value == passes})
	}
	for _, u := range unitChoices[1:] {
		form.Systems = append(form.Systems, desk.Option{Title: u.Says, Value: u.Value, Here: u.Value == form.Units})
	}
	for _, g := range groups {
		out := desk.Group{Title: g.name, Says: g.says}
		if g.name == chemicalGroup && b.chemical != "" {
			out.Says = b.chemical + ", from the bench sheet."
		}
		for _, f := range fieldsOf(st, passes, b) {
			if f.group != g.name {
				continue
			}
			k := f.key()
			x := desk.Entry{Name: k, Label: f.label, Adds: f.adds, Value: f.value, Unit: f.unit, Choices: f.choices, Wide: f.wide, Row: f.sheet == "Drawdown", Begins: f.sheet == "Drawdown" && f.name == "speed"}
			if given[k] != nil {
				x.Value = given.Get(k)
			}
			if unit := cmp.Or(given.Get(k+unitSuffix), f.unit); len(f.more) > 0 || unit != f.unit { // one that was typed in other units keeps those
				x.Units, x.Unit = append([]string{f.unit}, f.more...), unit
				if !slices.Contains(x.Units, unit) {
					x.Units = append(x.Units, unit)
				}
			}
			if n, ok := faults[k]; ok {
				x.Wrong, x.Remedy = onPage(n.Message), onPage(n.Remedy)
				form.Wrong = append(form.Wrong, desk.Link{Title: f.label, Address: "#" + k})
			}
			out.Entries = append(out.Entries, x)
		}
		if n, ok := faults[g.name]; ok {
			out.Wrong = sentence(n.Message, n.Remedy)
		}
		if len(out.Entries) > 0 {
			form.Groups = append(form.Groups, out)
		}
	}
	if len(st.draft()) > 0 { // before that there are no answers that a command could read
		v.Command, form.Answers = commandLine(s.siteArgs(st)), st.at("/"+answersFile)
	}
	body, err := v.SiteForm(form)
	s.write(w, v, body, err, http.StatusOK)
}

const unitSuffix = "-unit"

// turned is what was typed, for a form that asks in other units than when it was sent: a box that was left empty, or as the form
// had filled it, is asked in the new ones; a number that somebody typed keeps the unit that stood beside it.
func turned(st state, given url.Values, b bench) url.Values {
	asked := given.Get(askedKey)
	if asked == "" || asked == st.unitsAsked() {
		return given
	}
	before := map[string]string{}
	for _, f := range fieldsOf(st.set("units", asked), given.Get(passesKey), b) {
		before[f.key()] = f.value
	}
	for _, f := range fieldsOf(st, given.Get(passesKey), b) {
		k := f.key()
		if v := given.Get(k); f.unit != "" && (v == "" || v == before[k]) {
			given.Set(k, f.value)
			given.Set(k+unitSuffix, f.unit)
		}
	}
	return given
}

func withQuery(address, key, value string) string {
	between := "?"
	if strings.Contains(address, "?") {
		between = "&"
	}
	return address + between + url.Values{key: {value}}.Encode()
}

// siteArgs make the workbook from the answers.
func (s *Server) siteArgs(st state) []string {
	args := []string{"new", "site", siteFile, "--answers", answersFile}
	return append(args, st.flags([]string{"units"})...)
}

// saveSite keeps what was typed, makes a workbook of it where it is to be made, and leads on; every way leads to a page
// that can be asked for again.
func (s *Server) saveSite(w http.ResponseWriter, r *http.Request) {
	fields, _, st, ok := s.changed(w, r)
	if !ok {
		return
	}
	b, _ := s.benchOf(r, st, longest)
	given := st.draft()
	for k, v := range fields {
		if k != "token" && k != deskKey && k != "do" && k != wayKey && k != systemKey && len(v) > 0 && len(v[0]) <= mostFlag {
			given.Set(k, v[0])
		}
	}
	for _, f := range fieldsOf(st, given.Get(passesKey), b) { // what a bare number counts must not change with the units that are asked in
		if k := f.key(); f.unit != "" && given.Get(k) != "" && given.Get(k+unitSuffix) == "" {
			given.Set(k+unitSuffix, f.unit)
		}
	}
	given.Set(askedKey, st.unitsAsked())
	way, system := fields.Get(wayKey), fields.Get(systemKey)
	if way != "" {
		given.Set(passesKey, way)
	}
	if system != "" {
		st = st.set("units", strings.TrimSuffix(system, site.UnitsMetric))
	}
	for _, f := range st.Files {
		if f.Kind == desk.Answers {
			s.shelf.keep(f.ID) // which this takes the place of
		}
	}
	draft := s.shelf.put(File{Name: answersFile, Kind: desk.Answers, Made: true, Data: []byte(given.Encode())})
	st = st.with(draft)
	form := withQuery(st.at("/site"), changeKey, "yes")
	if way != "" || system != "" {
		http.Redirect(w, r, form, http.StatusSeeOther)
		return
	}
	save := fields.Get("do") == "save"
	made, faults, ok := s.made(w, r, st, given, b, !save)
	if !ok {
		return
	}
	if len(faults) > 0 {
		http.Redirect(w, r, withQuery(form, checkKey, "yes"), http.StatusSeeOther)
		return
	}
	s.shelf.keep(draft.ID)
	if st = st.with(s.shelf.put(made)).with(draft); save {
		http.Redirect(w, r, withQuery(st.at("/site"), savedKey, "yes"), http.StatusSeeOther)
		return
	}
	http.Redirect(w, r, st.at("/day"), http.StatusSeeOther)
}

// savedKey says that the page of a site was asked for to save it.
const savedKey = "saved"

// made makes the workbook of what was typed. What is wrong with it is told by the field that it is of, and where the day is to be
// planned with it, what that plan says of its cells too; false where it has answered.
func (s *Server) made(w http.ResponseWriter, r *http.Request, st state, given url.Values, b bench, plan bool) (made File, faults map[string]note.Note, ok bool) {
	answers, at := answersOf(st, given.Get(passesKey), given, b)
	j, err := s.program(st, s.siteArgs(st), client(r), File{Name: answersFile, Data: []byte(answers)})
	if !s.waited(w, r, st, "/site", j, err) {
		return made, nil, false
	}
	i := slices.IndexFunc(j.answer.Wrote, func(f File) bool { return f.Name == siteFile })
	if j.answer.Err != nil || i < 0 {
		return made, faultsOf(j.answer.Err, at), true
	}
	made = j.answer.Wrote[i]
	made.Kind, made.Made = desk.Site, true
	if !plan {
		return made, nil, true
	}
	of := st.with(made)
	of.Files = append(of.Files, File{Name: answersFile, Kind: desk.Answers, Data: []byte(given.Encode())})
	args := stepArgs("/day", of)
	j, err = s.works.do(hash("form\x00"+strings.Join(args, "\x00")+"\x00"+string(made.Data)+"\x00"+keyOf(st)), client(r), func(ctx context.Context, told func(func() string)) Answer {
		return s.Program(ctx, Call{Args: args, Files: of.read(), Told: told})
	})
	if !s.waited(w, r, st, "/site", j, err) {
		return made, nil, false
	}
	if j.answer.Report != nil {
		return made, nil, true
	}
	faults = map[string]note.Note{}
	form := formedBy(of)
	for _, n := range note.Of(j.answer.Err, "plan") {
		f, known := form.fieldAt(n.Place)
		if n.Place.File != siteFile || !known {
			continue // the page of the day says it
		}
		key := f.key()
		if n.Code == "chemical-doubtful" { // asked of the name, and chosen beside it
			key = field{sheet: f.sheet, name: "product"}.key()
			n.Remedy = "choose it here, or give the label's strength or density"
		}
		faults[key] = n
	}
	for _, x := range fieldsOf(st, given.Get(passesKey), b) { // all that a plan needs is asked for at once
		why, needed := strings.CutPrefix(x.adds, "everything: ")
		if _, told := faults[x.key()]; needed && !told && strings.TrimSpace(given.Get(x.key())) == "" {
			faults[x.key()] = note.Fault("field-missing", "this is missing").Do("%s", why)
		}
	}
	return made, faults, true
}

// program runs a command on the desk's files and one more, once.
func (s *Server) program(st state, args []string, client string, more File) (*job, error) {
	files := append(st.read(), more)
	key := strings.Join(args, "\x00") + "\x00" + more.Name + "\x00" + string(more.Data) + "\x00" + keyOf(st)
	return s.works.do(hash(key), client, func(ctx context.Context, told func(func() string)) Answer {
		return s.Program(ctx, Call{Args: args, Files: files, Told: told})
	})
}

// answersOf is the file of answers, and which field each of its lines is of.
func answersOf(st state, passes string, fields url.Values, b bench) (string, []string) {
	var text strings.Builder
	var at []string
	write := func(key, line string) {
		text.WriteString(strings.Join(strings.Fields(line), " ") + "\n")
		at = append(at, key)
	}
	write(passesKey, field{sheet: "Place", name: "water passes"}.line(passes))
	list := fieldsOf(st, passes, b)
	slices.SortStableFunc(list, func(x, y field) int { // what a dose counts is said before it
		return cmp.Compare(rank(x), rank(y))
	})
	for _, f := range list {
		k := f.key()
		v := pointed(strings.TrimSpace(fields.Get(k)))
		if f.name == "target" {
			v = pointedIn(v)
		}
		if f.sheet == "Chemicals" && f.name == "target" && fields.Get("chemicals-bench-sheet") == "" {
			continue // of a bench sheet that gives no dose
		}
		if f.sheet == "Chemicals" && f.name == "product" && !slices.ContainsFunc(f.choices, func(x desk.Stop) bool { return x.Value == v }) {
			continue // of another name that was typed before
		}
		if v == "" || len(v) > mostFlag {
			continue
		}
		if unit := cmp.Or(fields.Get(k+unitSuffix), f.unit); unit != "" && bareNumber.MatchString(v) {
			v += " " + unit
		}
		write(k, f.line(v))
	}
	return text.String(), at
}

func rank(f field) int {
	if f.name == "basis" {
		return 0
	}
	return 1
}

var bareNumber = regexp.MustCompile(`^[-+]?[\d.,]+$`)

// faultsOf are what is wrong with the answers, by the field that each is of; what is of none is told with the place.
func faultsOf(err error, at []string) map[string]note.Note {
	out := map[string]note.Note{}
	if err == nil {
		err = errors.New("the site was not written")
	}
	for _, n := range note.Of(err, "site") {
		line, key := 0, placeGroup
		if _, e := fmt.Sscanf(n.Place.Cell, "line %d", &line); e == nil && line > 0 && line <= len(at) {
			key = at[line-1]
		}
		if _, ok := out[key]; !ok {
			out[key] = n
		}
	}
	return out
}

// answersAsked gives what was typed as the file of answers that the command of the form reads.
func (s *Server) answersAsked(w http.ResponseWriter, r *http.Request) {
	st := s.stateOf(r.URL.Query())
	given := st.draft()
	if len(given) == 0 {
		s.refuse(w, st, "/site", http.StatusNotFound, "Not here", "Nothing was typed into the form of a site yet.", "Fill it in and send it.")
		return
	}
	b, _ := s.benchOf(r, st, longest)
	text, _ := answersOf(st, given.Get(passesKey), turned(st, given, b), b)
	s.download(w, File{Name: answersFile, Data: []byte(text)})
}

// siteHeld shows what the site on the desk comes to in a dozen figures, and how to change it.
func (s *Server) siteHeld(w http.ResponseWriter, r *http.Request, st state) {
	p, _ := stepAt("/day")
	args := p.args(st)
	v := s.pageOf(st, "/site")
	v.Command = commandLine(args)
	held := desk.SiteHeld{Name: st.of(desk.Site)[0], Saved: r.URL.Query().Has(savedKey)}
	for _, f := range st.Files {
		switch f.Kind {
		case desk.Site:
			held.Keep = desk.Link{Title: "Save as site workbook", Address: "/held/" + f.ID}
		case desk.Answers:
			held.Change = desk.Link{Title: "Change", Address: withQuery(st.at("/site"), changeKey, "yes")}
		}
	}
	held.Day = desk.Link{Title: "Plan the day", Address: st.at("/day")}
	j, err := s.run(st, args, client(r))
	if err != nil {
		s.busy(w, st, "/site")
		return
	}
	select {
	case <-j.done:
	case <-r.Context().Done():
		return
	case <-time.After(patience):
		v.Refresh = 1
	}
	if done(j) && j.answer.Report != nil {
		held.Figures = dozen(j.answer)
	}
	if a := j.answer; done(j) && a.Report == nil && a.Err != nil { // what it lacks for a day is said by the command itself
		lacks, err := desk.NotesOf(notesOnPage(a.Options.Notes(note.Of(a.Err, "plan"))))
		if err == nil {
			held.Lacks = matterOnPage(lacks, st)
		}
	}
	body, err := v.SiteHeld(held)
	s.write(w, v, body, err, http.StatusOK)
}

// held gives a file of the desk as it is.
func (s *Server) held(w http.ResponseWriter, r *http.Request) {
	f, ok := s.shelf.get(r.PathValue("id"))
	if !ok || f.Kind == desk.Answers || f.Parts != nil {
		s.refuse(w, state{}, "/", http.StatusNotFound, "Not here", "The file is not held any more. Nothing is kept longer than the program runs.", "Drop it again, or fill in the form once more.")
		return
	}
	s.shelf.keep(f.ID)
	s.download(w, f)
}

// dozen are the first figures of an answer.
func dozen(a Answer) [][2]string { return templates.Facts(a.Report, a.Options, 12) }
