package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
)

// figureSite is a place whose figures are locked: the table testdata/figures/NAME.csv
// says what every number of its reports has to be, and why.
type figureSite struct {
	name    string
	reports []figureReport
}

// figureReport is a report under the name that the table gives it, and the words that call for it.
type figureReport struct {
	name string
	args []string
}

// figureSites are the demo and other places, each of another kind.
var figureSites = []figureSite{
	{"hatchery", []figureReport{
		{"read", []string{"read", "bench.xlsx"}},
		{"fit", []string{"fit", "bench.xlsx"}},
		{"next", []string{"next", "bench.xlsx"}},
		{"plan", []string{"plan", "site.xlsx"}},
		{"pump", []string{"pump", "site.xlsx"}},
		{"clarify", []string{"clarify", "site.xlsx"}},
		{"budget", []string{"budget", "site.xlsx"}},
		{"compare", []string{"compare", "bench.xlsx", "bench-pacl.xlsx", "--site", "site.xlsx", "--price", "PACl=0.62 EUR/kg"}},
		{"chemical", []string{"chemical", "alum-liquid"}},
	}},
	{"waterworks", []figureReport{
		{"read", []string{"read", "waterworks-bench.csv"}},
		{"fit", []string{"fit", "waterworks-bench.csv", "--target", "turbidity <= 1 NTU"}},
		{"next", []string{"next", "waterworks-bench.csv", "--target", "turbidity <= 1 NTU", "--stock", "5 g/L", "--jar-volume", "2 L"}},
		{"plan", []string{"plan", "waterworks.yaml"}},
		{"pump", []string{"pump", "waterworks.yaml"}},
		{"budget", []string{"budget", "waterworks.yaml"}},
	}},
	{"shrimp", []figureReport{
		{"plan", []string{"plan", "shrimp.yaml"}},
		{"pump", []string{"pump", "shrimp.yaml"}},
		{"clarify", []string{"clarify", "shrimp.yaml"}},
		{"budget", []string{"budget", "shrimp.yaml"}},
	}},
	{"pond", []figureReport{
		{"plan", []string{"plan", "pond.yaml"}},
		{"pump", []string{"pump", "pond.yaml"}},
		{"budget", []string{"budget", "pond.yaml"}},
	}},
	{"carp", []figureReport{
		{"fit", []string{"fit", "carp-bench.csv", "--target", "turbidity <= 5 NTU"}},
		{"compare", []string{"compare", "carp-bench.csv", "--target", "turbidity <= 5 NTU", "--site", "carp.yaml"}},
		{"plan", []string{"plan", "carp.yaml"}},
		{"pump", []string{"pump", "carp.yaml"}},
		{"budget", []string{"budget", "carp.yaml"}},
	}},
	{"standing", []figureReport{
		{"plan", []string{"plan", "standing.yaml"}},
	}},
	{"backwash", []figureReport{
		{"plan", []string{"plan", "backwash.yaml"}},
	}},
	{"upper", []figureReport{
		{"track", []string{"track", "past", "--raw", "50 NTU", "--target", "turbidity <= 5 NTU"}},
		{"plan", []string{"plan", "upper.yaml"}},
		{"pump", []string{"pump", "upper.yaml"}},
		{"clarify", []string{"clarify", "upper.yaml"}},
		{"budget", []string{"budget", "upper.yaml", "--date", "2026-03"}},
	}},
}

// unlocked are figures that stand in no table, each with the reason.
var unlocked = []struct{ report, key, reason string }{
	{"fit", "series[*].curve[*][*]", "a drawn curve; the table holds five of its points and the answer that is read off it"},
	{"fit", "series[*].readings[*].curve[*][*]", "a drawn curve; the table holds one of its points"},
	{"clarify", "series[*][0]", "the times at which the course is drawn; the table works out what it has there"},
}

// A figureRow is one line of a table: what a figure of a report has to be.
//
// Reports "given" and "let" are no reports: a given is a value of the site's
// own file, checked against it; a let is a step of a calculation, under a name.
// "text:plan" is a figure that stands in the text of plan alone; its key is the
// passage, with # for the number; "explain:plan" is one of the working that --explain adds.
type figureRow struct {
	line                                     int
	report, key, value, unit, worked, source string
}

func (r figureRow) String() string { return fmt.Sprintf("line %d: %s %s", r.line, r.report, r.key) }

// TestFigures holds every number of every report against the tables. With
// JARWRIGHT_UPDATE set it lists what a table lacks, with the program's value as
// a comment: the working has to come from somebody else than the program.
func TestFigures(t *testing.T) {
	for _, s := range figureSites {
		t.Run(s.name, func(t *testing.T) {
			table := newFigureTable(t, s)
			for _, r := range table.rows {
				table.hold(r)
			}
			table.complete()
			table.texts()
			table.csvs(s.reports)
			table.cards(s.reports)
			table.books(s.reports)
		})
	}
}

// figureTable is a site's table while it is held against the site's reports.
type figureTable struct {
	t        *testing.T
	rows     []figureRow
	disputed []string            // figures that the program gives otherwise than a hand calculation does
	met      map[int]bool        // disputes that name a figure
	site     []leaf              // values of the site's file
	reports  map[string][]leaf   // the program's numbers
	text     map[string]string   // the same reports as text
	working  map[string]string   // and with --explain
	phrases  map[string][]string // numbers of the rows for the text alone
	args     map[string][]string
	order    []string
	held     map[string]map[string]float64 // report → key → value to go on with
	known    map[string]float64            // given and let
}

func newFigureTable(t *testing.T, s figureSite) *figureTable {
	t.Helper()
	f := emptyTable(t)
	f.rows, f.disputed = readFigures(t, filepath.Join("testdata", "figures", s.name+".csv"))
	figureFolder(t, s.name)
	f.site = siteValues(t, s.name+".yaml")
	for _, r := range s.reports {
		f.add(r)
	}
	return f
}

func emptyTable(t *testing.T) *figureTable {
	return &figureTable{t: t, reports: map[string][]leaf{}, held: map[string]map[string]float64{}, known: map[string]float64{},
		text: map[string]string{}, working: map[string]string{}, phrases: map[string][]string{}, met: map[int]bool{}, args: map[string][]string{}}
}

// add runs a report in its forms.
func (f *figureTable) add(r figureReport) {
	f.t.Helper()
	f.order = append(f.order, r.name)
	f.held[r.name] = map[string]float64{}
	f.reports[r.name] = numbersOf(f.t, figureAnswer(f.t, r, "json"))
	f.args[r.name] = r.args
	f.text[r.name] = figureAnswer(f.t, r, "text")
	f.working[r.name] = answer(f.t, append(slices.Clone(r.args), "--explain")...)
}

// figureFolder goes into a folder with the site's files, the demo's made by the demo itself.
func figureFolder(t *testing.T, name string) {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "figures"))); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	if name == "hatchery" || name == "upper" { // whose past tests are the demo's
		demoInputs(t, ".")
	}
	if name != "hatchery" {
		return
	}
	if _, errs, code := program(t, "new", "site", "hatchery.yaml"); code != exitDone {
		t.Fatalf("new site: exit %d, %s", code, errs)
	}
}

// figureAnswer runs a report and gives its answer in one form.
func figureAnswer(t *testing.T, r figureReport, format string) string {
	t.Helper()
	return answer(t, append(slices.Clone(r.args), "--format", format)...)
}

// readFigures reads a table. Lines that begin with # are remarks; one that
// begins "# disputed: REPORT,KEY," names a figure on which the program and a hand
// calculation do not agree, so that it is held by neither.
func readFigures(t *testing.T, file string) (rows []figureRow, disputed []string) {
	t.Helper()
	for i, line := range strings.Split(string(contents(t, file)), "\n") {
		if about, is := strings.CutPrefix(line, "# disputed: "); is {
			disputed = append(disputed, about)
		}
		if line == "" || line[0] == '#' {
			continue
		}
		c, err := csv.NewReader(strings.NewReader(line)).Read()
		if err != nil || len(c) != 6 {
			t.Fatalf("%s, line %d: %v, %d fields instead of 6", file, i+1, err, len(c))
		}
		rows = append(rows, figureRow{i + 1, c[0], c[1], c[2], c[3], c[4], c[5]})
	}
	if len(rows) == 0 || rows[0] != (figureRow{rows[0].line, "report", "key", "value", "unit", "worked", "source"}) {
		t.Fatalf("%s does not begin with report,key,value,unit,worked,source", file)
	}
	return rows[1:], disputed
}

// siteValues gives what stands in a site's file.
func siteValues(t *testing.T, file string) []leaf {
	t.Helper()
	var root map[string]any
	if err := yaml.Unmarshal(contents(t, file), &root); err != nil {
		t.Fatal(err)
	}
	var out []leaf
	walk(root, nil, "", &out)
	return out
}

// hold holds one row against the program, or keeps what it gives to the rows after it.
func (f *figureTable) hold(r figureRow) {
	f.t.Helper()
	switch {
	case r.source == "":
		f.t.Errorf("%s has no source", r)
	case r.report == "given":
		f.given(r)
	case r.report == "let":
		if v, ok := f.work(r, 0); ok && shows(r.value, v) {
			f.known[r.key] = v
		} else {
			f.t.Errorf("%s: worked out as %v, the table says %s", r, v, r.value)
		}
	case strings.HasPrefix(r.report, "text:"), strings.HasPrefix(r.report, "explain:"):
		form, report, _ := strings.Cut(r.report, ":")
		f.phrase(r, form, report)
	case f.reports[r.report] == nil:
		f.t.Errorf("%s: there is no report %q", r, r.report)
	default:
		f.figure(r)
	}
}

// given holds a row against the site's own file.
func (f *figureTable) given(r figureRow) {
	f.t.Helper()
	want := strings.TrimSpace(r.value + " " + r.unit)
	for _, l := range f.site {
		if parseKey(r.key).matches(l.steps) {
			if l.text != want {
				f.t.Errorf("%s: the site's file says %q, the table %q", r, l.text, want)
			}
			v, err := strconv.ParseFloat(r.value, 64)
			if err != nil {
				f.t.Errorf("%s: %q is no number", r, r.value)
			}
			f.known[r.key] = v
			return
		}
	}
	f.t.Errorf("%s: the site's file has no such value", r)
}

// figure holds a row against the figures of the report that its key names: one
// value for all of them or a list of values, and so for the unit ("NTU; mg/L"). A
// dash stands for values that are too many to write and have a working each.
func (f *figureTable) figure(r figureRow) {
	f.t.Helper()
	var at []leaf
	for _, l := range f.reports[r.report] {
		if parseKey(r.key).matches(l.steps) {
			at = append(at, l)
		}
	}
	if len(at) == 0 {
		f.t.Errorf("%s: the report has no such figure", r)
	}
	values := strings.Fields(r.value)
	if len(values) != 1 && len(values) != len(at) {
		f.t.Errorf("%s: %d values for %d figures", r, len(values), len(at))
		return
	}
	units := strings.Split(r.unit, "; ")
	for i, l := range at {
		value := values[0]
		if len(values) > 1 {
			value = values[i]
		}
		r.unit = units[min(i, len(units)-1)]
		f.one(r, i, l, value)
	}
}

// one holds one figure, the i-th that its row names.
func (f *figureTable) one(r figureRow, i int, l leaf, value string) {
	f.t.Helper()
	if _, twice := f.held[r.report][l.key()]; twice {
		f.t.Errorf("%s: %s stands in two rows", r, l.key())
	}
	f.held[r.report][l.key()] = l.value
	if value != "-" && !shows(value, l.value) {
		f.t.Errorf("%s: %s is %v %s, the table says %s %s", r, l.key(), l.value, l.unit, value, r.unit)
	}
	if l.unit != "" && l.unit != r.unit {
		f.t.Errorf("%s: %s is in %s, the table says %s", r, l.key(), l.unit, r.unit)
	}
	if r.worked == "" && value == "-" {
		f.t.Errorf("%s: neither a value nor a working", r)
	}
	if r.worked == "" {
		if !strings.HasPrefix(r.source, "regression value") {
			f.t.Errorf("%s: neither a working nor marked as a regression value", r)
		}
		return
	}
	w, ok := f.work(r, i)
	if !ok {
		return
	}
	if strings.HasPrefix(r.worked, "~") {
		if digits, ok := asWritten(value); !ok || !digits.is(w, 1) {
			f.t.Errorf("%s: %s worked out is %v, the table says %s", r, l.key(), w, value)
		}
		return
	}
	f.held[r.report][l.key()] = w
	if math.Abs(w-l.value) > 1e-9*math.Max(math.Abs(w), math.Abs(l.value))+1e-11 {
		f.t.Errorf("%s: %s is %.12g, worked out %.12g", r, l.key(), l.value, w)
	}
}

// written is a number as somebody wrote it: its value and its last digit's unit.
type written struct{ value, unit float64 }

// asWritten takes a written number apart; false where it is none.
func asWritten(text string) (written, bool) {
	v, err := strconv.ParseFloat(text, 64)
	mantissa, exponent, _ := strings.Cut(text, "e")
	last := 0
	if _, digits, point := strings.Cut(mantissa, "."); point {
		last = -len(digits)
	}
	if e, err := strconv.Atoi(exponent); err == nil {
		last += e
	}
	return written{v, math.Pow10(last)}, err == nil
}

// is tells whether v lies within so many units of the last digit.
func (w written) is(v, units float64) bool { return math.Abs(v-w.value) <= (units+1e-6)*w.unit }

// shows tells whether a value rounds to what is written.
func shows(text string, v float64) bool {
	w, ok := asWritten(text)
	return ok && w.is(v, 0.5)
}

// work works out a row's expression for the i-th of its figures.
func (f *figureTable) work(r figureRow, i int) (float64, bool) {
	f.t.Helper()
	v, err := evaluate(strings.TrimPrefix(r.worked, "~"), func(name string) (float64, error) {
		if name == "i" {
			return float64(i), nil
		}
		return f.value(r.report, strings.ReplaceAll(name, "[i]", fmt.Sprintf("[#%d]", i)))
	})
	if err != nil {
		f.t.Errorf("%s: %v", r, err)
	}
	return v, err == nil
}

// value gives a named value: a figure of an earlier row of the same report, a
// given or a let, or a figure of another report with its name before it.
func (f *figureTable) value(report, name string) (float64, error) {
	v, err := f.figureNamed(report, name)
	if err == nil {
		return v, nil
	}
	if v, ok := f.known[name]; ok {
		return v, nil
	}
	if other, rest, ok := strings.Cut(name, "."); ok && f.reports[other] != nil {
		return f.figureNamed(other, rest)
	}
	return 0, err
}

// figureNamed gives the figure of a report that an earlier row holds.
func (f *figureTable) figureNamed(report, name string) (float64, error) {
	pattern := parseKey(name)
	for _, l := range f.reports[report] {
		if !pattern.matches(l.steps) {
			continue
		}
		if v, held := f.held[report][l.key()]; held {
			return v, nil
		}
		if freed(report, l) {
			return l.value, nil
		}
		return 0, fmt.Errorf("%s stands in no earlier row", name)
	}
	return 0, fmt.Errorf("%s is neither an earlier row nor a value of the site's file", name)
}

// complete names every figure that no row holds.
func (f *figureTable) complete() {
	f.t.Helper()
	var lacks []string
	held, left, open := 0, 0, 0
	for _, report := range f.order {
		for _, l := range f.reports[report] {
			if _, ok := f.held[report][l.key()]; ok {
				held++
			} else if f.doubted(report, l) {
				open++
			} else if freed(report, l) {
				left++
			} else {
				lacks = append(lacks, fmt.Sprintf("# %s,%s,%v,%s,,", report, l.key(), l.value, l.unit))
			}
		}
	}
	for i, d := range f.disputed {
		if !f.met[i] && !strings.HasPrefix(d, "text:") {
			f.t.Errorf("no figure is left that is disputed as %q: take the remark out", d)
		}
	}
	f.t.Logf("%d rows hold %d figures; %d are left out with a reason, %d disputed, %d missing", len(f.rows), held, left, open, len(lacks))
	if len(lacks) == 0 {
		return
	}
	if os.Getenv("JARWRIGHT_UPDATE") != "" {
		f.t.Logf("figures that the table lacks, the program's values as remarks:\n%s", strings.Join(lacks, "\n"))
	}
	for _, l := range lacks[:min(len(lacks), 10)] {
		f.t.Errorf("no row holds %s; JARWRIGHT_UPDATE=1 lists all that lack one", l)
	}
}

// doubted tells whether a figure is disputed.
func (f *figureTable) doubted(report string, l leaf) bool {
	for i, d := range f.disputed {
		if c := strings.SplitN(d, ",", 3); len(c) == 3 && c[0] == report && parseKey(c[1]).matches(l.steps) {
			f.met[i] = true
			return true
		}
	}
	return false
}

// freed tells whether a figure is left out of the tables with a reason.
func freed(report string, l leaf) bool {
	for _, u := range unlocked {
		if u.report == report && parseKey(u.key).matches(l.steps) {
			return true
		}
	}
	return false
}
