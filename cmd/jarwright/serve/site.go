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

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	"jarwright/templates/desk"
	"jarwright/templates/plain"
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
	list             []string // answers that are often given, any other being as good
	passes           string   // the way of the water at which it is asked; empty for any
	wide             bool
	bench            string // what the bench sheet says of it, with its unit
	ofPage           bool   // a question of the page alone, which no file of a site holds
}

// key names the field in a form.
func (f field) key() string {
	return strings.Trim(notWord.ReplaceAllString(strings.ToLower(f.sheet+" "+f.row+" "+f.name), "-"), "-")
}

var notWord = regexp.MustCompile(`[^a-z0-9]+`)

// asBench asks whether the water is still that of the bench. What the bench read stands beside each box of the water, and counts for
// the place where somebody says so, and never by itself: a plan would hold the bench against its own figures.
var asBench = field{sheet: "Water", name: "as on the bench", label: "The raw water is now", ofPage: true}

// fed asks how the chemical gets into the water. What no pump is told of is fed by hand in a plan, which nobody has to mean who left the
// box of the pump empty.
var fed = field{sheet: "Pumps", name: "fed", label: "It is fed", group: needGroup, ofPage: true, adds: "whether a knob is set or a tap",
	choices: []desk.Stop{{Says: "choose"}, {Value: fedByPump, Says: "by a pump"}, {Value: fedByHand, Says: "by hand"}}}

const fedByPump, fedByHand = "pump", "hand"

// fedFault is what is wrong with what was said of that, and the box in which it is put right; false where it is plain.
func fedFault(given url.Values) (key string, n note.Note, wrong bool) {
	rate, pumped := given.Get("pumps-largest-rate"), false
	for k, v := range given {
		pumped = pumped || strings.HasPrefix(k, "drawdown-") && !strings.HasSuffix(k, unitSuffix) && strings.TrimSpace(v[0]) != ""
	}
	pumped = pumped || strings.TrimSpace(rate) != ""
	switch how := given.Get(fed.key()); {
	case how == fedByHand && pumped:
		return fed.key(), note.Fault("fed-twice", "by hand is chosen, and a pump is described").Do("choose “by a pump”, or empty the boxes of the pump"), true
	case how == fedByPump && !pumped:
		return "pumps-largest-rate", note.Fault("field-missing", "this is missing").Do("read it off the plate of the pump, or time what it draws under “Pump”"), true
	case how == "" && !pumped:
		return fed.key(), note.Fault("field-missing", "nothing says how it is fed").Do("choose “by hand”, or say what the pump feeds at most"), true
	}
	return "", n, false
}

// asBenchWords are the answers to that question, where the bench read anything of its water.
func (b bench) asBenchWords(said []string) []desk.Stop {
	return []desk.Stop{{Says: "not measured, or typed below"}, {Value: "yes", Says: "still as on the bench" + b.dayWords(" of ") + ": " + strings.Join(said, ", ")}}
}

// dayWords is the day of the test in words, behind others; empty where it has none.
func (b bench) dayWords(before string) string {
	day, err := time.Parse(time.DateOnly, b.date)
	if err != nil {
		return ""
	}
	return before + day.Format("2 January 2006")
}

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
	needGroup, takenGroup, doseGroup, waterGroup, chemicalGroup, pumpGroup, unitGroup, placeGroup = "For a setting", "A stop that somebody takes the risk of", "Another dose", "Water", "Chemical", "Pump", "Unit", "Place"
)

var groups = []struct{ name, says string }{
	{needGroup, "The least that a plan needs. All below may stay blank: each says what it adds."},
	{takenGroup, "It is for whoever answers for the treated water to take, and is printed on the plan with the name."},
	{doseGroup, "Another target or sheet, or a dose of your own."},
	{waterGroup, "As it comes, before anything is dosed: what the dose leaves of its alkalinity and pH, solids and bins."},
	{chemicalGroup, "As its label says, the stock, the price."},
	{pumpGroup, "Timed drawdowns, which are surer than the largest rate."},
	{unitGroup, "What it takes out. A trial of it tells; leave blank what none has told."},
	{placeGroup, "Its name, its hours, who is there."},
}

// needed are the fields that most settings rest on beside those without which there is no plan, by sheet and name.
var needed = map[string]bool{"Chemicals product": true, "Pumps largest rate": true, "Animals species": true, "Animals stage": true, "Water as on the bench": true}

// groupOf tells in which group a field is asked: first what a setting needs, then the rest by what it is of.
func (f field) groupOf(b bench) string {
	if strings.HasPrefix(f.adds, everything) || needed[f.sheet+" "+f.name] {
		return needGroup
	}
	if f.sheet == "Chemicals" {
		switch f.name {
		case "dose", "basis":
			if b.file == "" || f.name == "basis" && b.basis == "" {
				return needGroup
			}
			return doseGroup
		case "bench sheet", "target", "how sure":
			return doseGroup
		case "series": // which of several tests is meant is never plain
			return needGroup
		}
	}
	return groupOfSheet(f.sheet, f.row)
}

// everything begins what an answer adds without which there is no plan.
const everything = "everything: "

func groupOfSheet(sheet, row string) string {
	switch sheet {
	case "Chemicals", "Stocks":
		return chemicalGroup
	case "Pumps", "Drawdown":
		return pumpGroup
	case "Place":
		return placeGroup
	}
	if row == "stock tank" {
		return chemicalGroup
	}
	return waterGroup
}

// labels are what questions are called where the field's own name is too short.
var labels = map[string]string{
	"Place name": "Name", "Pumps largest rate": "The pump feeds at most", "Place purpose": "The water is treated for", "Animals species": "Animals that it reaches", "Place staffed from": "Somebody there, such as 06:00-20:30", "Flow average flow": "Flow, on average", "Tanks stock tank volume": "Stock tank holds",
	"Tanks tank volume": "Tank to clean up", "Stocks product in stock": "Product in the stock", "Chemicals name": "Name on the drum", "Water pH": "pH",
	"Water alkalinity": "Alkalinity of raw water", "Water turbidity": "Turbidity of raw water",
}

// passesWords are how water can pass, for people.
var passesWords = []desk.Stop{{Value: site.OnceThrough, Says: "once through"}, {Value: "recirculating", Says: "round and round"}, {Value: "batch", Says: "a tank is cleaned up"}, {Value: site.Standing, Says: "it stands, treated by hand"}}

// gives is what comes of a site whose water passes so: where it stands nothing is pumped, and nothing is caught.
func gives(passes string) string {
	if passes == site.Standing {
		return "what to weigh or measure out by hand, and what the water does to the animals"
	}
	return "pump settings, stock, bins and what the water does to the animals"
}

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
		f.group = cmp.Or(f.group, f.groupOf(b))
		f.label = cmp.Or(f.label, labels[strings.Join(strings.Fields(f.sheet+" "+f.row+" "+f.name), " ")], labels[f.sheet+" "+f.name], strings.ToUpper(f.name[:1])+f.name[1:])
		if len(of.Choices) > 0 && f.choices == nil {
			f.choices = append(f.choices, desk.Stop{Says: map[bool]string{true: "choose"}[strings.HasPrefix(f.adds, everything)]})
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
		f := field{sheet: q.Sheet, row: row, name: q.Field, adds: q.Adds, unit: q.Unit}
		if q.Default != "" { // said beside the box, and not as if somebody had typed it
			f.adds += "; where it is blank “" + q.Default + "”"
		}
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
					choices: append(b.files(), desk.Stop{Says: "none: a dose of my own"})})
				if tests := b.tests(); tests != nil {
					add(field{sheet: "Chemicals", name: "series", label: "Which test", adds: "which of the tests of the sheet the dose is of", value: b.series, choices: tests})
				}
				add(field{sheet: "Chemicals", name: "target", adds: "what that dose has to reach", value: b.target, wide: true})
				add(field{sheet: "Chemicals", name: "how sure", label: "How sure it must be", adds: "how far to the safe side of its doubt that dose is", value: b.sure, choices: sureStops})
			}
			continue
		case q.Sheet == "Chemicals" && q.Field == "dose":
			if b.file != "" {
				f.label, f.adds = "A dose of my own", "the feed without a bench sheet: choose none above"
			}
			add(f)
			add(field{sheet: "Chemicals", name: "basis", label: "The dose counts", adds: "whether product or the pure substance is meant: a tenfold difference", value: b.basis,
				choices: st.basesOf(b)})
			continue
		case q.Sheet == "Pumps":
			out = append(out, fed)
			f.adds = "where its knob has to stand"
			add(f)
			for n := 1; n <= drawdowns; n++ {
				row := strconv.Itoa(n)
				add(field{sheet: "Drawdown", row: row, name: "speed", label: "Knob at", unit: "%"})
				add(field{sheet: "Drawdown", row: row, name: "volume", label: "volume drawn", unit: "mL"})
				add(field{sheet: "Drawdown", row: row, name: "time", label: "in the time of", unit: "s"})
			}
			continue
		}
		if q.Sheet == "Animals" && q.Field == "species" {
			for _, p := range animal.Profiles() {
				for _, name := range append([]string{p.Name}, p.Also...) {
					if found, err := animal.Find(name); err == nil && found.ID == p.ID { // of one animal alone
						f.list = append(f.list, name)
					}
				}
			}
		}
		if q.Sheet == "Water" {
			f.bench = b.raw[strings.ToLower(q.Field)]
		}
		add(f)
		for _, x := range besides[q.Sheet+" "+q.Field] {
			if _, of := site.Row(cmp.Or(x.sheet, q.Sheet), x.name); x.unit == "" && of.Unit != "" {
				x.unit, x.more = f.unit, f.more
			}
			if x.passes != "" && x.passes != passes {
				continue
			}
			x.adds = templates.Options{Units: st.system()}.Show(quantity.Told(x.adds, nil))
			if x.sheet = cmp.Or(x.sheet, q.Sheet); x.sheet == "Water" {
				x.bench = b.raw[strings.ToLower(x.name)]
			}
			if us, ok := inUS[x.unit]; ok && st.system() == quantity.US {
				x.unit, x.more = us, []string{x.unit}
			}
			add(x)
		}
	}
	var said []string
	for _, f := range out {
		if f.bench != "" {
			said = append(said, strings.TrimSpace(f.label+" "+f.bench))
		}
	}
	if len(said) > 0 {
		f := asBench
		f.group, f.choices, f.wide = f.groupOf(b), b.asBenchWords(said), true
		out = append(out, f)
	}
	for _, f := range ofUnit {
		if passes != site.Standing {
			f.sheet, f.group = "Solids", unitGroup
			add(f)
		}
	}
	if stop, ok := stopOf(b.takes); ok {
		for _, f := range []field{
			{name: "code", label: "The stop", value: stop.ID, wide: true, choices: []desk.Stop{{Value: stop.ID, Says: stop.When}, {Says: "none: it stops the plan"}}},
			{name: "accepted by", label: "Who takes the risk"}, {name: "reason", label: "Why it may be done", wide: true}, {name: "until", label: "Last day that it holds, such as 2027-01-31"},
		} {
			f.sheet, f.group = "Accepted", takenGroup
			add(f)
		}
	}
	return out
}

// basesOf are what a dose of the chemical may count, where its name tells what it is; else all that there are.
func (st state) basesOf(b bench) (out []desk.Stop) {
	var fit []quantity.Basis
	for _, p := range product.Default().Called(cmp.Or(st.draft().Get("chemicals-name"), b.chemical)) {
		fit = append(fit, p.Bases()...)
	}
	if len(fit) == 0 {
		fit = quantity.Bases()
	}
	out = append(out, desk.Stop{Says: "choose"})
	for _, x := range append(fit, quantity.Basis(st.draft().Get("chemicals-basis")), quantity.Basis(b.basis)) { // what was said stays to be seen
		if x != "" && x != quantity.NotStated && !slices.ContainsFunc(out, func(o desk.Stop) bool { return o.Value == string(x) }) {
			out = append(out, desk.Stop{Value: string(x), Says: string(x)})
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
	"Flow hours a day": {{sheet: "Water", name: "water in the system", label: "Water that goes round", unit: "m3", more: []string{"L", "gal"}, passes: "recirculating", adds: "what builds up in the loop, which is what harms animals there"},
		{sheet: "Water", name: "new water", label: "New water, share a day", unit: "%", passes: "recirculating", adds: "how far it builds up"}},
	"Flow average flow":       {{name: "least flow", label: "at least", adds: "whether the pump can go so low"}, {name: "peak flow", label: "at most", adds: "whether the pump can keep up"}},
	"Water alkalinity":        {{name: "temperature", unit: "C", more: []string{"F"}, adds: "how fast floc forms, and what the animals bear; {15 C} are taken"}},
	"Stocks product in stock": {{sheet: "Prices", name: "price", label: "Its price", group: chemicalGroup, unit: "EUR/kg", more: []string{"USD/kg", "GBP/kg", "EUR/L", "USD/L"}, adds: "what the day and the month cost"}},
	"Animals species":         {{name: "stage", adds: "the limits for fry, which are tighter"}},
	"Place staffed from": {{name: "kept by", label: "Whom to ask", adds: "a name on the cards"},
		{name: "also kept here", label: "Also in the shed", adds: "a warning of what must never meet, such as sodium hypochlorite", wide: true}},
}

// inUS are the units of those fields that are asked of who is asked in US units.
var inUS = map[string]string{"C": "F", "m3": "gal"}

// bench is what the bench sheet on the desk answers of a chemical.
type bench struct {
	file, chemical, basis, target, sure string
	dose, date                          string            // the planning dose that it gives, in words, and the day of the test
	takes                               string            // the code of a stop that somebody takes the risk of
	series                              string            // of which this is, where the sheets hold several
	all                                 []tried           // all that answer, in their order
	raw                                 map[string]string // of the raw water, by the key of a reading
}

// tried is one series of the bench sheets on the desk: the file that it stands in, its name and its chemical.
type tried struct{ file, name, chemical string }

// takesKey says of a form for a site which stop somebody takes the risk of, and codeField is the field that holds it.
const takesKey, codeField = "takes", "accepted-code"

// seriesKey says of a form for a site which series its dose is to come from.
const seriesKey = "series"

// files are those of the series, each once.
func (b bench) files() (out []desk.Stop) {
	for _, x := range b.all {
		if !slices.ContainsFunc(out, func(o desk.Stop) bool { return o.Value == x.file }) {
			out = append(out, desk.Stop{Value: x.file, Says: x.file})
		}
	}
	return out
}

// tests are the series to choose from, where a file holds several; a name that two files have stands once.
func (b bench) tests() (out []desk.Stop) {
	if len(b.all) == len(b.files()) {
		return nil
	}
	out = append(out, desk.Stop{Says: "the only one of this chemical"})
	for _, x := range b.all {
		if x.name != "" && !slices.ContainsFunc(out, func(o desk.Stop) bool { return o.Value == x.name }) {
			out = append(out, desk.Stop{Value: x.name, Says: x.name + " (" + x.chemical + ")"})
		}
	}
	return out
}

// benchOf asks fit what the bench sheet is of, and waits so long for it at most; running is the work that is not done then.
// Of several series it is the one of that name, else that of that file, else the first.
func (s *Server) benchOf(r *http.Request, st state, name, file string, wait time.Duration) (b bench, running *job) {
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
	type series struct {
		File, Sheet, Name, Chemical, Basis, Date string
		Targets                                  []string
		Planning                                 struct{ Value float64 } `json:"planning_dose"`
	}
	var doc struct{ Series []series }
	if !j.document(&doc) || len(doc.Series) == 0 {
		return b, nil
	}
	at := max(0, slices.IndexFunc(doc.Series, func(x series) bool { return file != "" && x.File == file }))
	if i := slices.IndexFunc(doc.Series, func(x series) bool { return name != "" && cmp.Or(x.Name, x.Sheet) == name }); i >= 0 {
		at = i
	}
	x := doc.Series[at]
	b = bench{series: name, file: x.File, chemical: x.Chemical, basis: x.Basis, target: strings.Join(x.Targets, "; "), sure: st.Flags.Get("sure"), raw: s.rawOf(r, st, at)}
	if b.date = x.Date; x.Planning.Value > 0 {
		b.dose = fmt.Sprint(quantity.To(quantity.Concentration(x.Planning.Value), 3))
	}
	for _, x := range doc.Series {
		b.all = append(b.all, tried{x.File, cmp.Or(x.Name, x.Sheet), x.Chemical})
	}
	if b.basis == string(quantity.NotStated) || b.basis == "not stated" {
		b.basis = ""
	}
	return b, nil
}

// rawOf is what a series of the bench sheets says of its raw water, each number with the unit of the document.
func (s *Server) rawOf(r *http.Request, st state, of int) map[string]string {
	var doc struct {
		Series []struct{ Raw map[string]any }
	}
	out := map[string]string{}
	j, err := s.run(st, stepArgs("/bench", st), client(r))
	if err != nil || !j.wait(r.Context()) || !j.document(&doc) || len(doc.Series) <= of {
		return out
	}
	for key, x := range doc.Series[of].Raw {
		if n, ok := x.(float64); ok {
			out[key] = strings.TrimSpace(strconv.FormatFloat(n, 'f', -1, 64) + " " + jartest.Key(key).Info().Unit)
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
	given := st.draft()
	which := given.Get("chemicals-series")
	if q.Has(seriesKey) {
		which = q.Get(seriesKey)
	}
	b, running := s.benchOf(r, st, which, given.Get("chemicals-bench-sheet"), patience)
	if running != nil {
		v := s.pageOf(st, "/site")
		v.Refresh = 1
		body, err := desk.Working{Page: v, Told: running.progress(), Key: running.key}.Write()
		s.write(w, v, body, err, http.StatusOK)
		return
	}
	if q.Has(takesKey) {
		given.Set(codeField, q.Get(takesKey))
	}
	b.takes = given.Get(codeField)
	given = turned(st, given, b)
	if q.Has(seriesKey) { // another test was chosen on the page of the dose
		for k, v := range map[string]string{"chemicals-series": which, "chemicals-bench-sheet": b.file, "chemicals-name": b.chemical, "chemicals-basis": b.basis, "chemicals-product": ""} {
			given.Set(k, v)
		}
	}
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
	form := desk.SiteForm{Passes: passes, Units: st.unitsAsked(), Bench: b.file, Gives: gives(passes)}
	for _, p := range passesWords {
		form.Ways = append(form.Ways, desk.Option{Title: p.Says, Value: p.Value, Here: p.Value == passes})
	}
	for _, u := range unitChoices[1:] {
		form.Systems = append(form.Systems, desk.Option{Title: u.Says, Value: u.Value, Here: u.Value == form.Units})
	}
	for _, g := range groups {
		out := desk.Group{Title: g.name, Says: g.says, Open: g.name == needGroup || g.name == takenGroup, Fixed: g.name == needGroup}
		if g.name == needGroup && b.dose != "" && (given["chemicals-bench-sheet"] == nil || given.Get("chemicals-bench-sheet") != "") {
			out.Dose = b.doseWords(given)
		}
		for _, f := range fieldsOf(st, passes, b) {
			if f.group != g.name {
				continue
			}
			k := f.key()
			x := desk.Entry{Name: k, Label: f.label, Adds: f.adds, Value: f.value, Unit: f.unit, Choices: f.choices, List: f.list, Wide: f.wide, Row: f.sheet == "Drawdown", Begins: f.sheet == "Drawdown" && f.name == "speed"}
			if given[k] != nil {
				x.Value = given.Get(k)
			}
			if why, is := strings.CutPrefix(f.adds, everything); is {
				x.Adds, x.Needed = "", why
			}
			if f.bench != "" && x.Value == "" {
				x.From = f.bench + " on the bench" + b.dayWords(", ") + ": is it still so?"
			}
			if unit := cmp.Or(given.Get(k+unitSuffix), f.unit); len(f.more) > 0 || unit != f.unit { // one that was typed in other units keeps those
				x.Units, x.Unit = append([]string{f.unit}, f.more...), unit
				if !slices.Contains(x.Units, unit) {
					x.Units = append(x.Units, unit)
				}
			}
			if n, ok := faults[k]; ok {
				x.Wrong, x.Remedy, x.First = onPage(n.Message), onPage(n.Remedy), len(form.Wrong) == 0
				form.Wrong = append(form.Wrong, desk.Link{Title: f.label, Address: "#" + k})
			}
			out.Open = out.Open || x.Wrong != "" || x.Value != f.value
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
		v.Command, form.Answers = CommandLine(s.siteArgs(st)), st.at("/"+answersFile)
	}
	body, err := v.SiteForm(form)
	s.write(w, v, body, err, http.StatusOK)
}

// doseWords are the dose that a site takes from the bench, with what it is for; where the form was asked for another, nothing, as that
// is worked out only with the plan.
func (b bench) doseWords(given url.Values) string {
	if goal := given.Get("chemicals-target"); goal != "" && asSaid(goal) != b.target || given.Has("chemicals-how-sure") && sureOf(given.Get("chemicals-how-sure")) != sureOf(b.sure) {
		return "of " + b.file + ", for " + plain.Paper(cmp.Or(goal, b.target)) + ", " + oftenWords(sureOf(given.Get("chemicals-how-sure")))
	}
	return strings.TrimSpace(b.dose+" "+b.basis) + ", from " + b.file + b.dayWords(", ") + ": " + b.target + ", " + oftenWords(sureOf(b.sure))
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
	given := st.draft()
	for k, v := range fields {
		if k != "token" && k != deskKey && k != "do" && k != wayKey && k != systemKey && len(v) > 0 && len(v[0]) <= mostFlag {
			given.Set(k, v[0])
		}
	}
	b, _ := s.benchOf(r, st, given.Get("chemicals-series"), given.Get("chemicals-bench-sheet"), longest)
	b.takes = given.Get(codeField)
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
	if given.Get("place-purpose") == "animals" && strings.TrimSpace(given.Get("animals-species")) == "" {
		return made, map[string]note.Note{"animals-species": note.Fault("field-missing", "the water is treated for animals, and none are named: nothing can be said of what harms them").
			Do("name them, or choose what else the water is for")}, true
	}
	of := st.with(made)
	of.Files = append(of.Files, File{Name: answersFile, Kind: desk.Answers, Data: []byte(given.Encode())})
	args := stepArgs("/day", of)
	j, err = s.works.do(hash("form\x00"+strings.Join(args, "\x00")+"\x00"+string(made.Data)+"\x00"+keyOf(st)), client(r), func(ctx context.Context, told func(func() string)) Answer {
		return s.Program(ctx, Call{Args: args, Files: of.read(), Told: told, Reads: s.reads})
	}, st.contents()...)
	if !s.waited(w, r, st, "/site", j, err) {
		return made, nil, false
	}
	if j.answer.Report != nil {
		if key, n, wrong := fedFault(given); wrong && given.Get(passesKey) != site.Standing {
			faults = map[string]note.Note{key: n}
		}
		return made, faults, true
	}
	faults = map[string]note.Note{}
	form := formedBy(of)
	for _, n := range note.Of(j.answer.Err, "plan") {
		f, known := form.fieldAt(n.Place)
		key := f.key()
		if of, ok := fieldOf[n.Code]; ok { // whatever cell the command names
			f, known, key = of, true, of.key()
		}
		if n.Place.File != siteFile || !known {
			continue // the page of the day says it
		}
		if n.Code == "chemical-doubtful" { // asked of the name, and chosen beside it
			key = field{sheet: f.sheet, name: "product"}.key()
			n.Remedy = "choose it here, or give the label's strength or density"
		}
		faults[key] = n
	}
	if key, n, wrong := fedFault(given); wrong && given.Get(passesKey) != site.Standing {
		faults[key] = n
	}
	for _, x := range fieldsOf(st, given.Get(passesKey), b) { // all that a plan needs is asked for at once
		why, needed := strings.CutPrefix(x.adds, everything)
		if _, told := faults[x.key()]; needed && !told && strings.TrimSpace(given.Get(x.key())) == "" {
			faults[x.key()] = note.Fault("field-missing", "this is missing").Do("%s", why)
		}
	}
	return made, faults, true
}

// fieldOf are the boxes in which a fault is put right that a plan tells of another cell.
var fieldOf = map[string]field{"chemical-not-in-bench": {sheet: "Chemicals", name: "name"}, "series-many": {sheet: "Chemicals", name: "series"}, "series-unknown": {sheet: "Chemicals", name: "series"}}

// program runs a command on the desk's files and one more, once.
func (s *Server) program(st state, args []string, client string, more File) (*job, error) {
	files := append(st.read(), more)
	key := strings.Join(args, "\x00") + "\x00" + more.Name + "\x00" + string(more.Data) + "\x00" + keyOf(st)
	return s.works.do(hash(key), client, func(ctx context.Context, told func(func() string)) Answer {
		return s.Program(ctx, Call{Args: args, Files: files, Told: told, Reads: s.reads})
	}, st.contents()...)
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
			v = asSaid(v)
		}
		if f.sheet == "Chemicals" && f.name == "target" && fields.Get("chemicals-bench-sheet") == "" {
			continue // of a bench sheet that gives no dose
		}
		if f.sheet == "Chemicals" && f.name == "product" && !slices.ContainsFunc(f.choices, func(x desk.Stop) bool { return x.Value == v }) {
			continue // of another name that was typed before
		}
		if v == "" && fields.Get(asBench.key()) != "" {
			v = f.bench
		}
		if v == "" || len(v) > mostFlag || f.ofPage {
			continue
		}
		if unit := cmp.Or(fields.Get(k+unitSuffix), f.unit); unit != "" && bareNumber.MatchString(v) {
			v += " " + unit
		}
		if f.sheet == "Prices" { // which has a row for each chemical
			f.row = fields.Get("chemicals-name")
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
	b, _ := s.benchOf(r, st, given.Get("chemicals-series"), given.Get("chemicals-bench-sheet"), longest)
	b.takes = given.Get(codeField)
	text, _ := answersOf(st, given.Get(passesKey), turned(st, given, b), b)
	s.download(w, File{Name: answersFile, Data: []byte(text)})
}

// siteHeld shows what the site on the desk comes to in a few figures, and how to change it.
func (s *Server) siteHeld(w http.ResponseWriter, r *http.Request, st state) {
	p, _ := stepAt("/day")
	args := p.args(st)
	v := s.pageOf(st, "/site")
	v.Command = CommandLine(args)
	held := desk.SiteHeld{Name: st.of(desk.Site)[0], Saved: r.URL.Query().Has(savedKey)}
	for _, f := range st.Files {
		switch f.Kind {
		case desk.Site:
			held.Place = f.placeName()
			held.Keep = desk.Link{Title: "Save as site workbook", Address: "/held/" + f.ID}
		case desk.Answers:
			held.Change = desk.Link{Title: "Change", Address: withQuery(st.at("/site"), changeKey, "yes")}
		}
	}
	if says := st.lookedAt(); says != "" {
		v.Says = append(v.Says, says)
	}
	v.Rests = st.rests("/site")
	if !st.formed() {
		v.Says = append(v.Says, st.leftOut(desk.Site)...)
	}
	held.Day = desk.Link{Title: "Plan the day", Address: st.at("/day")}
	if !st.formed() {
		held.Change = desk.Link{Title: "Change a figure", Address: st.at(figuresPath)}
		for _, f := range st.Files {
			if f.Kind == desk.Site {
				held.Anew = desk.Link{Title: "Put it away and type the place here", Address: st.without(f.ID).at("/site")}
			}
		}
	}
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
		held.Figures = templates.Facts(j.answer.Report, j.answer.Options, mostFigures)
	}
	if a := j.answer; done(j) && a.Report == nil && a.Err != nil { // what it lacks for a day is said by the command itself
		lacks, err := desk.NotesOf(notesOnPage(a.Options.Notes(note.Of(a.Err, "plan"))))
		if err == nil {
			held.Lacks = matterOnPage(lacks, st)
			held.Absent = absentOf(a)
		}
	}
	body, err := v.SiteHeld(held)
	s.write(w, v, body, err, http.StatusOK)
}

// absentOf is the file that an answer needs and that does not lie on the desk; empty where none is missing.
func absentOf(a Answer) string {
	for _, n := range note.Of(a.Err, "") {
		if m := notOnDesk.FindStringSubmatch(n.Message); m != nil {
			return m[1]
		}
	}
	return ""
}

var notOnDesk = regexp.MustCompile(`file (.+?) is not open here`)

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

// mostFigures are how many figures of a site its page shows.
const mostFigures = 12
