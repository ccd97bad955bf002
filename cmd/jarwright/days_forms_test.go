package main

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// TestWholeDaysHoldEveryForm: every number of the JSON of a whole day stands in the text that the day's
// script asserts throughout, to three digits or exactly, or in the day's own table of figures, worked by
// hand from those; every number of its CSV and of its cards then comes of the JSON, as at the sites of TestFigures.
func TestWholeDaysHoldEveryForm(t *testing.T) {
	for _, name := range wholeDays {
		t.Run(name, func(t *testing.T) {
			f, reports := dayTable(t, name)
			f.holdByText()
			for _, r := range f.rows {
				f.hold(r)
			}
			f.complete()
			f.csvs(reports)
			f.cards(reports)
		})
	}
}

// dayTable is the table of figures of a whole day, with the reports that its script asks for on its first
// site. What the pumps of any day are is known for its cards.
func dayTable(t *testing.T, name string) (*figureTable, []figureReport) {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("testdata", "script", name+".txtar"))
	if err != nil {
		t.Fatal(err)
	}
	f := emptyTable(t)
	f.rows, f.disputed = readFigures(t, filepath.Join("testdata", "figures", name+".csv"))
	t.Chdir(t.TempDir())
	for _, x := range a.Files {
		write(t, x.Name, x.Data)
	}
	f.site = siteValues(t, a.Files[0].Name)
	f.reports["pump"] = numbersOf(t, answer(t, "pump", a.Files[0].Name, "--format", "json"))
	var reports []figureReport
	for _, x := range dayAnswers(t, string(a.Comment)) {
		args := slices.DeleteFunc(strings.Fields(x.command), func(word string) bool { return word == "--explain" })
		r := figureReport{args[0], args}
		reports = append(reports, r)
		f.add(r)
	}
	return f, reports
}

// readAs are what lies between a unit of the JSON and those in which a text gives it to metric and US readers
// (NIST SP 811, appendix B); a unit that is not here is given as it stands.
var readAs = map[string][]float64{
	"L": {1, 1000, 0.001, inGallons / 1000}, "L/d": {1, 1000, 0.001, inGallons / 1000}, "m3": {1, 1000, inGallons, inGallons / 1e6},
	"kg": {1, 1000, inPounds}, "kg/d": {1, 1000, inPounds}, "m3/h": {1, inGpm, inGallons * 24 / 1e6}, "kg/m2/h": {1}, "h": {1, 60, 1. / 24},
	"min": {1, 1. / 60}, "": {1, 1000 * perGallon, 1000}, "g/L": {1, inPounds * perGallon * 1000, 1000 * perGallon * 1000},
	"USD/kg": {1, 1 / inPounds}, "USD/1000 m3": {1, perGallon}, "m": {1, 1000}, "g/h": {1, 24. / 1000},
}

// holdByText holds what the asserted text shows of each report and no row names.
func (f *figureTable) holdByText() {
	for _, report := range f.order {
		numbers := numbersInText.FindAllString(f.text[report], -1)
		for _, l := range f.reports[report] {
			named := slices.ContainsFunc(f.rows, func(r figureRow) bool { return r.report == report && parseKey(r.key).matches(l.steps) })
			if !named && slices.ContainsFunc(numbers, func(n string) bool { return tells(n, l) }) {
				f.held[report][l.key()] = l.value
			}
		}
	}
}

// tells reports that a number of a text is a figure in a unit of some reader: exactly, or to its three digits or more.
func tells(number string, l leaf) bool {
	number = strings.TrimLeft(number, "+-")
	w, ok := asWritten(number)
	if !ok {
		return false
	}
	digits := len(strings.TrimLeft(strings.ReplaceAll(number, ".", ""), "0"))
	factors := readAs[l.unit]
	if factors == nil {
		factors = []float64{1}
	}
	return slices.ContainsFunc(factors, func(k float64) bool {
		x := math.Abs(l.value * k)
		return math.Abs(x-w.value) <= 1e-9*w.value || digits >= 3 && w.is(x, 0.5)
	})
}
