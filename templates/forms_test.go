package templates

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/gauge"
	"jarwright/dosing/history"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/jartest/surface"
	"jarwright/templates/figure"
)

// The answers below come from the example site and a few others. Their numbers are
// asserted where they are worked out; here stands how each form shows them.

func exampleSite(t *testing.T, change func(site.Values)) site.Site {
	t.Helper()
	v := site.Example("", "")
	if change != nil {
		change(v)
	}
	var b bytes.Buffer
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.yaml", &b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func given() dosing.Given { return dosing.Given{Catalogue: product.Default()} }

var marchFirst = time.Date(2026, time.March, 1, 0, 0, 0, 0, time.UTC)

// yamlPlan is a site of these fields with its day.
func yamlPlan(t *testing.T, fields string) (site.Site, dosing.Plan) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(fields))
	if err != nil {
		t.Fatal(err)
	}
	return s, dayOf(t, s)
}

// dayOf is the day of a site, by the catalogue alone.
func dayOf(t *testing.T, s site.Site) dosing.Plan {
	t.Helper()
	in, err := dosing.FromSite(s, given())
	if err != nil {
		t.Fatal(err)
	}
	p, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func sitePlan(t *testing.T, change func(site.Values)) Plan {
	t.Helper()
	s := exampleSite(t, change)
	p := dayOf(t, s)
	solids := p.Solids(s)
	return NewPlan(p, caution.Review(p.Situation(s, marchFirst)), solids, p.UnitDay(s, solids), month.CostOf(s, p, month.Mean(s, dosing.Given{Catalogue: product.Default()}, month.Month{})))
}

// settlerWorks changes the example into a works of another kind: a settler, eight
// hours, two knobs, neat alum, polymer kept a week, risks accepted.
func settlerWorks(v site.Values) {
	v["Flow"][0]["hours a day"], v["Flow"][0]["run starts"] = "8 h", "22:00"
	v["Solids"][0]["unit"] = site.UnitSettler
	v["Stocks"] = v["Stocks"][1:]
	v["Stocks"][0]["life"] = "7 d"
	v["Chemicals"][0]["stock"] = ""
	v["Place"][0]["purpose"] = "drinking water"
	v["Pumps"][0]["knobs"] = site.KnobBoth
	v["Drawdown"] = append(v["Drawdown"][:3:3],
		map[string]string{"pump": "pump 1", "speed": "20 %", "stroke": "50 %", "volume": "5.4 mL", "time": "120 s"},
		map[string]string{"pump": "pump 1", "speed": "80 %", "stroke": "50 %", "volume": "23.4 mL", "time": "120 s"})
	v["Accepted"] = []map[string]string{{"code": "polymer-drinking-dose", "accepted by": "the keeper", "reason": "trial week"}}
}

func stoppedSite(v site.Values) {
	v["Water"][0]["alkalinity"], v["Water"][0]["ph"] = "12 mg/L CaCO3", "6.4"
}

func siteCleaning(t *testing.T, change func(site.Values)) ClarifyReport {
	t.Helper()
	in, err := dosing.CleaningFromSite(exampleSite(t, change), given(), marchFirst)
	if err != nil {
		t.Fatal(err)
	}
	c, err := dosing.Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	return ClarifyReport{Cleaning: c}
}

func tankReport(t *testing.T, k clarify.Tank) ClarifyReport {
	t.Helper()
	c, err := dosing.Clean(dosing.CleaningInput{Name: "pond", Tank: k})
	if err != nil {
		t.Fatal(err)
	}
	return ClarifyReport{Cleaning: c}
}

// heldLoop is a loop of 14 m3 with prawns that eat 4 kg a day, cleared from 420 mg/L and held at 300 mg/L.
func heldLoop(t *testing.T) ClarifyReport {
	t.Helper()
	k := clarify.Tank{Key: jartest.TSS, Volume: 14000, Flow: 0.5, Removal: 0.7, Start: 420, Stop: 300, Level: 300}
	load := dosing.Load{Ration: clarify.Ration{Eaten: 4, Share: 0.25}, Assumed: true, Alkalinity: 1.05, Phosphorus: 0.048}
	k.Rise = k.RiseOf(load.Solids())
	c, err := dosing.Clean(dosing.CleaningInput{Name: "prawn loop", Tank: k, Load: &load})
	if err != nil {
		t.Fatal(err)
	}
	return ClarifyReport{Cleaning: c}
}

// readByCone is a loop read by a settling cone with two pairs of its own.
func readByCone(t *testing.T) ClarifyReport {
	t.Helper()
	s, err := gauge.ParseCone("10 mL/L=150 mg/L; 20 mL/L=260 mg/L")
	if err != nil {
		t.Fatal(err)
	}
	return tankReport(t, clarify.Tank{Key: jartest.TSS, Scale: &s, Volume: 14000, Flow: 1, Removal: 0.7, Start: 260, Stop: 172})
}

func siteBudget(t *testing.T, change func(site.Values)) Budget {
	t.Helper()
	p, notes, err := month.FromSite(exampleSite(t, change), month.Options{Given: given(), Draws: 200, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	m, err := month.Make(p)
	if err != nil {
		t.Fatal(err)
	}
	return Budget{Place: "the hatchery", Months: []month.Budget{m}, Notes: notes}
}

func pumpReport(t *testing.T, by float64, changes ...func(site.Values)) PumpReport {
	t.Helper()
	var r PumpReport
	for _, change := range changes {
		s := exampleSite(t, change)
		one, err := dosing.PumpOf(s.Pumps[0], s.Readings("pump 1"))
		if err != nil {
			t.Fatal(err)
		}
		one.OfScale = 0.02
		one.Stays = 60
		a := PumpAnswer{Pump: *one, Chemical: "alum", Stroke: 60, Signals: true, Tube: quantity.Volume(0.12 * by)}
		for _, rate := range []quantity.FeedRate{quantity.FeedRate(11 * by), 0.4, 500} {
			a.Settings = append(a.Settings, PumpSetting{For: "at " + rate.String(), Choice: one.For(rate)})
		}
		line := quantity.FeedRate(10.2)
		a.Checks = []PumpCheck{{Reading: pump.Reading{Position: pump.Position{Setting: 38, Stroke: 100}, Rate: 10.6}, Line: line, Off: quantity.Fraction(10.6/line - 1)}}
		for _, q := range []quantity.Flow{2.2, 3.6, 5.4, 12} {
			q *= quantity.Flow(by)
			a.Pace = append(a.Pace, pump.PaceRow{Flow: q, Choice: one.For(quantity.FeedRate(3 * q)), Meter: quantity.Current(4 + 16*q/9), HasMeter: true, Drive: 10})
		}
		r.Pumps = append(r.Pumps, a)
	}
	bare := pump.Pump{Name: "spare", Calibration: pump.FromNameplate(30)}
	r.Pumps = append(r.Pumps, PumpAnswer{Pump: bare, Stopped: true})
	return r
}

func readSheet(t *testing.T, text string) sheet.Result {
	t.Helper()
	got, err := sheet.Read("bench.csv", strings.NewReader(text), sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

const alumJars = `jar,alum as alum 14-hydrate (mg/L),turbidity (NTU),turbidity (NTU),pH,residual Al (mg/L)
1,0,38.4,37.6,7.41,<0.02
2,5,24.1,24.9,7.22,0.11
3,8,13.3,12.8,7.13,0.10
4,11,6.8,7.1,7.05,0.08
5,14,4.0,3.9,6.98,0.06
6,18,2.8,2.7,6.90,0.06
7,24,3.5,3.6,6.78,0.09
`

const pairJars = `jar,alum (mg/L),polymer (mg/L),turbidity (NTU)
1,6,0.1,22
2,6,0.3,15
3,6,0.5,13
4,12,0.1,9
5,12,0.3,4.6
6,12,0.5,3.9
7,18,0.1,5.5
8,18,0.3,2.8
9,18,0.5,2.6
`

func target(t *testing.T, s string) []jartest.Target {
	t.Helper()
	g, err := jartest.ParseTarget(s)
	if err != nil {
		t.Fatal(err)
	}
	return []jartest.Target{g}
}

func fitReport(t *testing.T) FitReport {
	t.Helper()
	one := readSheet(t, alumJars).Series
	f := FitReport{Results: []curve.Result{
		curve.Analyse(one[0], target(t, "turbidity <= 5 NTU"), curve.Options{}),
		curve.Analyse(one[0], target(t, "turbidity <= 0.5 NTU"), curve.Options{}),
	}}
	f.Surfaces = []surface.Result{surface.Analyse(readSheet(t, pairJars).Series[0], target(t, "turbidity <= 5 NTU"), surface.Options{})}
	return f
}

func chemicalReport(t *testing.T, name, dose, strength, density string) Chemical {
	t.Helper()
	p, err := product.Default().Find(name)
	if err != nil {
		t.Fatal(err)
	}
	c := Chemical{Product: p}
	if err := c.Ask(dose, "", strength, density); err != nil {
		t.Fatal(err)
	}
	return c
}

// reports are the answers whose forms are kept, by the name of their files.
func reports(t *testing.T) map[string]Report {
	return map[string]Report{
		"plan":            sitePlan(t, nil),
		"plan-settler":    sitePlan(t, settlerWorks),
		"plan-stopped":    sitePlan(t, stoppedSite),
		"plan-sludge":     sludgePlan(t),
		"plan-past":       byTests(quickPlan(t, false)),
		"clarify":         siteCleaning(t, nil),
		"clarify-never":   tankReport(t, clarify.Tank{Key: jartest.Turbidity, Volume: 60000, Flow: 12, Removal: 0.85, Start: 80, Stop: 5, Floor: 6, Rise: 0.5}),
		"clarify-clear":   tankReport(t, clarify.Tank{Key: jartest.TSS, Volume: 60000, Flow: 12, Removal: 0.85, Start: 4, Stop: 5}),
		"clarify-hold":    heldLoop(t),
		"clarify-cone":    readByCone(t),
		"budget":          siteBudget(t, nil),
		"budget-hand":     handBudget(t),
		"compare":         threeOptions(t),
		"pump":            pumpReport(t, 1, nil, settlerWorks),
		"read":            Read{Series: readSheet(t, alumJars).Series, Notes: readSheet(t, alumJars).Notes},
		"fit":             fitReport(t),
		"chemical":        chemicalReport(t, "alum-liquid", "12.5 mg/L as alum 14-hydrate", "", ""),
		"chemical-base":   chemicalReport(t, "soda-ash", "10 mg/L as product", "", ""),
		"plan-ragged":     sitePlan(t, ragged),
		"clarify-ragged":  siteCleaning(t, ragged),
		"budget-ragged":   siteBudget(t, ragged),
		"pump-ragged":     pumpReport(t, 1.0123457, ragged, both(settlerWorks, ragged)),
		"chemical-ragged": chemicalReport(t, "alum-liquid", "12.34567 mg/L as alum 14-hydrate", "47.34567 %", "1.3345678 kg/L"),
		"read-ragged":     Read{Series: readSheet(t, raggedJars).Series, Notes: readSheet(t, raggedJars).Notes},
		"fit-made":        FitReport{Results: []curve.Result{madeFit(), phFit()}, Surfaces: []surface.Result{madePair(), phPair()}, Water: []caution.BenchReview{madeWater()}},
		"next":            NextReport{Series: []curve.Next{madeNext()}, Surfaces: []surface.Result{gridFit()}, Jars: 6},
		"ponds":           pondReport(t, twoPonds),
		"ponds-stopped":   pondReport(t, strings.ReplaceAll(twoPonds, "alkalinity: 90", "alkalinity: 4")),
		"cautions":        Cautions{},
		"catalogue":       Catalogue{product.Default().All()[:6]},
		"trial":           trialReport(t, trialTable, "Group,Animals,Dead at 24 h\nnew water,10,0\ntank water,10,1\n"),
		"trial-unit":      clearingReport(t, clearingTable),
		"trial-four":      clearingReport(t, fourRuns),
		"restock":         restockReport(),
		"track":           trackReport(history.Water{jartest.Turbidity: 85}),
		"track-beyond":    trackReport(history.Water{jartest.Turbidity: 700}),
		"track-log":       lossLog(t),
	}
}

// sludgePlan is the example with a line whose polymer is a row without a dose.
func sludgePlan(t *testing.T) Plan {
	t.Helper()
	s := exampleSite(t, func(v site.Values) {
		v["Sludge"] = []map[string]string{{"sludge a day": "1.2 m3/d", "solids in it": "9000 mg/L", "polymer": "sludge polymer", "polymer dose": "4 kg/t", "bag holds": "2 m3", "beds": "6 m2", "filtrate returns": "yes",
			"land": "0.5 ha", "nitrogen": "4 %", "phosphorus": "2 %"}}
		v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "sludge polymer", "product": "cpam-dry", "basis": "as product"})
		v["Prices"] = append(v["Prices"], map[string]string{"chemical": "sludge polymer", "price": "5 EUR/kg", "pack": "25 kg", "on hand": "10 kg"})
	})
	p := dayOf(t, s)
	solids := p.Solids(s)
	line := p.Sludge(s, solids, product.Default())
	out := NewPlan(p, caution.Review(p.Situation(s, marchFirst)), solids, p.UnitDay(s, solids), month.CostOf(s, p, month.Mean(s, given(), month.Month{}), line))
	out.Sludge = line
	return out
}

// noise is what is not worth keeping of a document: long curves.
var noise = regexp.MustCompile(`(?s)"(curve|series)": \[\s*\[.*?\]\s*\]`)

// small is an object or a list without others in it, kept on a line.
var small = regexp.MustCompile(`[{\[][^{}\[\]]*[}\]]`)

// keep is golden in a folder of its own.
func keep(t *testing.T, name string, got []byte) {
	t.Helper()
	got = long.ReplaceAllFunc(got, func(b []byte) []byte {
		v, err := strconv.ParseFloat(string(b), 64)
		if err != nil {
			return b
		}
		return []byte(strconv.FormatFloat(v, 'g', 9, 64))
	})
	golden(t, "forms/"+name, got)
}

// long is a number with digits that may differ between kinds of machine.
var long = regexp.MustCompile(`[0-9]+\.[0-9]{8,}(e-?[0-9]+)?`)

// TestForms holds every form of every report to what was looked at.
func TestForms(t *testing.T) {
	for name, r := range reports(t) {
		t.Run(name, func(t *testing.T) {
			for _, o := range []struct {
				name string
				o    Options
			}{
				{"", Options{Explain: true, Width: 100, Date: marchFirst}},
				{"-us", Options{Units: quantity.US, DecimalComma: true, Explain: true}},
			} {
				var b bytes.Buffer
				w := NewText(&b, o.o)
				r.Text(w, o.o)
				if err := w.Flush(); err != nil {
					t.Fatal(err)
				}
				keep(t, name+o.name+".txt", b.Bytes())
			}
			doc, err := json.MarshalIndent(r.JSON(), "", " ")
			if err != nil {
				t.Fatal(err)
			}
			doc = noise.ReplaceAll(doc, []byte(`"$1": "left out here"`))
			doc = small.ReplaceAllFunc(doc, func(b []byte) []byte { return []byte(strings.Join(strings.Fields(string(b)), " ")) })
			keep(t, name+".json", doc)
			var csv bytes.Buffer
			if err := WriteCSV(&csv, head(r.Table(), 12), Options{}); err != nil {
				t.Fatal(err)
			}
			keep(t, name+".csv", csv.Bytes())
			if strings.HasSuffix(name, "-ragged") {
				return // the others' workbooks and pages show where things stand
			}
			for _, units := range []quantity.System{quantity.Metric, quantity.US} {
				keepBook(t, name, r, Options{Units: units, Date: marchFirst})
			}
			if d, ok := r.(DrawReport); ok {
				keep(t, name+"-drawing.txt", []byte(drawn(d.Drawing(Options{Date: marchFirst}))+"\nUS\n"+drawn(d.Drawing(Options{Units: quantity.US, DecimalComma: true}))))
			}
			keepPage(t, name, r)
		})
	}
}

// head is a table with so many lines of text, the heading included.
func head(t figure.Table, n int) figure.Table {
	t.Rows = t.Rows[:min(n-1, len(t.Rows))]
	return t
}

// keepBook keeps the cells of a report's workbook, and of its own live sheets.
func keepBook(t *testing.T, name string, r Report, o Options) {
	t.Helper()
	if _, own := r.(BookReport); own {
		return // has tests of its own
	}
	if _, many := r.(Catalogue); many {
		return
	}
	var b bytes.Buffer
	if err := WriteBook(&b, r, o); err != nil {
		t.Fatal(err)
	}
	file := name + "-book.txt"
	if o.Units == quantity.US {
		if _, live := r.(LiveReport); !live {
			return
		}
		file = name + "-book-us.txt"
	}
	keep(t, strings.Replace(file, "-book", "-look", 1), []byte(looks(t, b.Bytes())))
	f, list := openCells(t, b.Bytes())
	workOutAgain(t, f, list, leastFormulas[name])
	var kept []string
	for _, l := range strings.Split(cellLines(list), "\n") {
		sheet, _, _ := strings.Cut(l, "!")
		if slices.Contains([]string{"Summary", whatToDo, details, "Change it"}, sheet) || sheet == "Data" && o.Units == quantity.Metric {
			kept = append(kept, l)
		}
	}
	keep(t, file, []byte(strings.Join(kept[:min(len(kept), 400)], "\n")+"\n"))
}

var tags = regexp.MustCompile(`(?s)<style.*?</style>|<svg.*?</svg>|<[^>]*>`)

// keepPage keeps the words of a page that has cards, picture by picture.
func keepPage(t *testing.T, name string, r Report) {
	t.Helper()
	if _, ok := r.(CardReport); !ok {
		return
	}
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		var b bytes.Buffer
		if err := WritePage(&b, r, Options{Units: units}); err != nil {
			t.Fatal(err)
		}
		text := tags.ReplaceAllString(b.String(), "\n")
		text = regexp.MustCompile(`\n\s*\n+`).ReplaceAllString(text, "\n")
		keep(t, name+"-page"+map[quantity.System]string{quantity.US: "-us"}[units]+".txt", []byte(text))
	}
}
