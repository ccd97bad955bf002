package main

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

// silentText are passages of a text answer whose numbers are no figures of the
// report. Each is taken out before the rest is looked at.
var silentText = []struct {
	what    string
	passage *regexp.Regexp
}{
	{"a picture and the sizes on its axes", regexp.MustCompile(
		`(?m)^ *-?[0-9.]+ .*([*=#|]|::|--).*$|^ {1,4}-?[0-9.]+$|^ *(-?[0-9.]+|#)( +(-?[0-9.]+|#))+$`)},
	{"the safety lines: words of the catalogue and the rules, which have tests of their own",
		regexp.MustCompile(`(?s)\nHandling\n-+\n.*?(\n\n|\z)`)},
	{"limits and chances in the words of the program, held by the tests of dosing/caution and templates", regexp.MustCompile(
		`above\s+pH\s+7\.3|lies\s+outside\s+[0-9.]+\s+to\s+[0-9.]+|should\s+have\s+[0-9.]+|` +
			`19\s+times\s+in\s+20|9\s+times\s+in\s+10|more\s+than\s+5\s+%\s+off|` +
			`between\s+-?[0-9]+\s+and\s+-?[0-9]+\s+C|at\s+-16\s+C|near\s+-16\s+C|at\s+-4\s+C`)},
	{"the limit of a check, held by the tests of dosing/caution", regexp.MustCompile(
		`against\s+(pH\s+)?[0-9.]+(\s+(mg/L|g/kg|C|%)(\s+CaCO3)?)?(\s+to\s+[0-9.]+)?`)},
	{"the year of a paper with two authors", regexp.MustCompile(`[A-Z][a-z]+\s+and\s+[A-Z][a-z]+\s+(19|20)[0-9]{2}\b`)},
	{"a place in a file", regexp.MustCompile(
		`[A-Za-z]+![A-Z]+[0-9]+(:[A-Z]+[0-9]+)?|line\s+[0-9]+,\s+column\s+[0-9]+|\b[A-Z]{1,2}[0-9]+ to\s+[A-Z]{1,2}[0-9]+`)},
	{"a date", regexp.MustCompile(`[0-9]{4}-[0-9]{2}(-[0-9]{2})?|` +
		`\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\s+[0-9]{1,2}\s+(January|February|March|April|May|June|July|August|September|October|November|December)\b(\s+20[0-9]{2}\b)?|` +
		`\b(January|February|March|April|May|June|July|August|September|October|November|December) [0-9]{4}`)},
	{"a clock time", regexp.MustCompile(`[0-9]{2}:[0-9]{2}`)},
	{"a hazard code", regexp.MustCompile(`\b[HPE][UH]*[0-9]{3}\b`)},
	{"a unit or a name with a number", regexp.MustCompile(
		`\bCO2\b|\bNH3\b|\bCaCO3\b|\bAl2O3\b|\bFeCl3\b|\bNa2CO3\b|\b1[48]-hydrate|\bpump [12]\b|\bprice [23]\b|\bUV254\b|\bm[23]\b`)},
	{"a source", regexp.MustCompile(`\[[^\]]*\]|\(Hyndman\s+and\s+Fan\s+1996\)|type\s+7\s+quantiles`)},
	{"a number of a formula: the quantile of a 95 % interval, the weeks of a month (52/12), ln 10 and ln 100, a share that is common practice", regexp.MustCompile(
		`t\(0\.975\)|month\s+of\s+4\.33\s+weeks|90\s+%\s+of\s+what\s+is\s+above\s+f\s+takes\s+2\.30\s+/\s+E,\s+99\s+%\s+4\.61\s+/\s+E|85-90\s+%\s+of\s+capacity`)},
}

// derivedText are figures that a text gives and the JSON of the report does not,
// worked out from what it does give; i and j stand for each place of a list.
var derivedText = []struct{ report, worked string }{
	{"fit", "series[0].water.jars[i].ph_read - series[0].water.jars[i].ph"},
	{"plan", "feeds[i].dose*flow.average/flow.peak"}, // what a pump left alone gives at the other flows
	{"plan", "feeds[i].dose*flow.average/flow.least"},
	{"plan", "100*(feeds[i].pump.gives/feeds[i].stock_rate-1)"},
	{"plan", "solids.volume-solids.water_skimmed"},
	{"plan", "(solids.volume-solids.water_skimmed)*solids.dry_low/solids.dry"},
	{"plan", "solids.volume*solids.dry_low/solids.dry"},
	{"plan", "solids.volume*solids.dry_high/solids.dry"},
	{"pump", "mod(pumps[i].settings[j].stopwatch_time, 60)"},                                          // 1 min 41 s
	{"clarify", "water.alkalinity_start-(water.alkalinity_start-water.alkalinity)*series[i][0]/time"}, // of one dose throughout
	{"budget", "100*months[0].cost.lines[i].cost/months[0].cost.total"},
	{"budget", "months[0].use[i].product/months[0].days"},
	{"compare", "options[1].cost_per_1000m3-options[0].cost_per_1000m3"},
}

// numbersInText finds numbers as a reader sees them: 1,234 is not one of ours,
// 12.5 and -0.4 are.
var numbersInText = regexp.MustCompile(`[-+]?[0-9]+(\.[0-9]+)?`)

// texts holds the numbers of every text answer against the JSON of the same
// report: each has to be one of its figures (or of the site's file, or a row of the
// table for the text alone), rounded, in a unit that a reader may be given it in.
func (f *figureTable) texts() {
	f.t.Helper()
	count := 0
	for _, report := range f.order {
		figures := f.figuresFor(report, "text")
		count += f.shown(report, f.text[report], figures)
		f.shown(report+" --explain", f.working[report], append(figures, f.figuresFor(report, "explain")...))
	}
	if count == 0 {
		f.t.Error("the texts have no numbers")
	}
	f.t.Logf("%d numbers of the texts looked at", count)
}

// shown holds every number of a text against figures, and counts them.
func (f *figureTable) shown(report, text string, figures shownFigures) (count int) {
	f.t.Helper()
	for _, s := range silentText {
		text = s.passage.ReplaceAllString(text, " ")
	}
	for _, at := range numbersInText.FindAllStringIndex(text, -1) {
		number := text[at[0]:at[1]]
		if at[0] > 0 && strings.ContainsAny(text[at[0]-1:at[0]], "0123456789_.") {
			continue
		}
		count++
		if !figures.show(number) {
			from, to := max(0, at[0]-60), min(len(text), at[1]+30)
			f.t.Errorf("%s: no figure behind %q in %q", report, number, text[from:to])
		}
	}
	return count
}

// phrase holds a row for the text alone, or for the working that --explain adds: its key is a phrase
// of it with # in the place of the number.
func (f *figureTable) phrase(r figureRow, form, report string) {
	f.t.Helper()
	text := strings.Join(strings.Fields(map[string]string{"text": f.text[report], "explain": f.working[report]}[form]), " ")
	if want := strings.Replace(r.key, "#", r.value, 1); !strings.Contains(text, want) {
		f.t.Errorf("%s: the %s does not say %q", r, form, want)
	}
	r.report = report
	if v, ok := f.work(r, 0); ok && !(shownFigures{v}).show(r.value) {
		f.t.Errorf("%s: worked out as %v, the table says %s", r, v, r.value)
	}
	f.phrases[form+":"+report] = append(f.phrases[form+":"+report], r.value)
}

// shownFigures are the values that a text may show.
type shownFigures []float64

// scales are what lies between the unit of the JSON and the one a reader is given:
// g for kg, L for m3, % for a share, minutes and days for hours.
var scales = []float64{1, 1000, 0.001, 100, 60, 1. / 60, 1. / 24, 3600, 24}

func (s shownFigures) show(number string) bool {
	number = strings.TrimLeft(number, "+-") // a dash may stand for a sign: 10-20
	w, ok := asWritten(number)
	if !ok {
		return false
	}
	// The zeros of 11000 may stand for 10602; two digits are certain.
	if digits := strings.TrimRight(number, "0"); !strings.Contains(number, ".") && digits != "" {
		w.unit = math.Pow10(len(number) - max(len(digits), 2))
	}
	for _, v := range s {
		for _, k := range scales {
			if w.is(math.Abs(v*k), 0.5) {
				return true
			}
		}
	}
	return false
}

// figuresFor gathers the report's own figures, those that follow from them, those
// of the site's file, and the table's rows for the text alone or for the working.
func (f *figureTable) figuresFor(report, form string) shownFigures {
	var out shownFigures
	values := map[string]float64{}
	for _, l := range f.reports[report] {
		out = append(out, l.value)
		values[keyByPlace(l)] = l.value
	}
	for _, d := range derivedText {
		if d.report == report {
			out = append(out, deriveAll(d.worked, values)...)
		}
	}
	for _, said := range f.told(report) {
		for _, n := range numbersInText.FindAllString(said, -1) {
			if w, ok := asWritten(n); ok {
				out = append(out, w.value)
			}
		}
	}
	for _, p := range f.phrases[form+":"+report] {
		if w, ok := asWritten(p); ok {
			out = append(out, w.value)
		}
	}
	for _, d := range f.disputed { // "text:plan,emptied # times a day,0.49: …"
		if c := strings.SplitN(d, ",", 3); len(c) == 3 && c[0] == "text:"+report {
			number, _, _ := strings.Cut(c[2], ":")
			if w, ok := asWritten(number); ok {
				out = append(out, w.value)
			}
		}
	}
	return out
}

// told gives what a report was told: the site's file and its command line.
func (f *figureTable) told(report string) []string {
	out := slices.Clone(f.args[report])
	for _, l := range f.site {
		out = append(out, l.text)
	}
	return out
}

// keyByPlace writes a leaf's way with places, not names.
func keyByPlace(l leaf) string {
	l.steps = slices.Clone(l.steps)
	for i := range l.steps {
		if l.steps[i].element {
			l.steps[i].field = ""
		}
	}
	return l.key()
}

// deriveAll works an expression out for every place that i and j can stand for.
func deriveAll(worked string, values map[string]float64) []float64 {
	var out []float64
	last := func(letter string) int {
		if strings.Contains(worked, "["+letter+"]") {
			return 1000
		}
		return 1
	}
	for i := range last("i") {
		before := len(out)
		for j := range last("j") {
			v, err := evaluate(worked, func(name string) (float64, error) {
				name = strings.NewReplacer("[i]", fmt.Sprintf("[%d]", i), "[j]", fmt.Sprintf("[%d]", j)).Replace(name)
				if v, ok := values[name]; ok {
					return v, nil
				}
				return 0, fmt.Errorf("no %s", name)
			})
			if err != nil {
				break
			}
			out = append(out, v)
		}
		if len(out) == before {
			break
		}
	}
	return out
}
