package templates

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/history"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// pastTest is a test of alum; a dose of zero is one that needed more than its jars.
func pastTest(i int, ntu, warm, dose float64) history.Test {
	d := month.Date{Year: 2025, Month: 1, Day: 10}.AddDays(30 * i)
	t := history.Test{Day: history.Day{Text: d.String(), Date: d}, Name: "beck", At: note.Place{File: fmt.Sprintf("t%02d.xlsx", i), Sheet: "Bench", Cell: "A5:C11"},
		Chemical: jartest.Chemical{Name: "alum", Basis: quantity.AsAlum14}, Targets: []jartest.Target{{Key: jartest.Turbidity, Value: 5, Unit: "NTU"}},
		Raw: history.Water{jartest.Turbidity: ntu, jartest.TemperatureKey: warm}, Outcome: curve.StillImproving, TestedHigh: 30}
	if dose > 0 {
		t.Outcome = curve.Found
		t.Effective = curve.Interval{Value: quantity.Concentration(dose), Low: quantity.Concentration(0.9 * dose), High: quantity.Concentration(1.1 * dose), HasLow: true, HasHigh: true, Confidence: 0.9}
	}
	return t
}

// trackReport is nine tests of a beck and one that needed more, some files left out, asked about a water.
func trackReport(w history.Water) TrackReport {
	var tests []history.Test
	for i, ntu := range []float64{12, 160, 25, 60, 33, 110, 18, 80, 45} {
		tests = append(tests, pastTest(i, ntu, 4+2*float64(i), (3+2*math.Sqrt(ntu))*(1+0.06*float64(i%3-1))))
	}
	tests[3].Control = true
	tests = append(tests, pastTest(9, 120, 9, 0))
	other := pastTest(10, 50, 8, 9)
	other.Chemical.Name = "ferric chloride"
	tests = append(tests, other)
	r := TrackReport{History: history.Gather(tests, product.Default()), Water: w, Sure: 0.9, Files: 12,
		Skipped: note.List{note.Fault("negative-dose", "the dose is negative (-10)").At(note.Place{File: "bad.csv", Cell: "B3"}).Do("correct the cell")}, Others: []string{"photo.jpg"}}
	r.Predict()
	return r
}

// TestTrackFigures: every number that the answer prints, each from where it is worked out or by hand.
func TestTrackFigures(t *testing.T) {
	r := trackReport(history.Water{jartest.Turbidity: 85})
	d := r.JSON().(*figure.Object)
	p, m := r.Predictions[0], r.Groups[0].Model.V
	is := func(path string, got figure.Figure, want float64) {
		t.Helper()
		if v, _ := got.Document(); !got.Known() || math.Abs(v-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %v, want %v", path, v, want)
		}
	}
	x := d.Sub("prediction")
	is("raw", x.Fig("raw.turbidity"), 85)
	if m.Form != history.Power {
		t.Fatal(m.Form)
	}
	is("dose", x.Fig("dose"), m.Coefficients[0].Value*math.Pow(85, m.Coefficients[1].Value)) // by the law that is printed
	is("planning dose", x.Fig("planning_dose"), float64(p.Planning.V))
	is("sure", x.Fig("sure"), 0.9)
	i := x.Get("dose").(figure.Interval)
	low, high := i.Ends()
	is("low", low, float64(p.Low))
	is("high", high, float64(p.High))
	g := d.Objects("models")[0]
	for k, c := range g.Objects("coefficients") {
		is(c.Said("name"), c.Fig("value"), m.Coefficients[k].Value)
		is(c.Said("name"), c.Fig("standard_error"), m.Coefficients[k].SE)
	}
	is("points", g.Fig("points"), 9)
	is("tests", g.Fig("tests"), 10)
	is("from", g.Fig("range.turbidity.low"), 12)
	is("to", g.Fig("range.turbidity.high"), 160)
	is("warmest", g.Fig("range.temperature.high"), 20)
	is("miss", g.Fig("miss"), 100*float64(m.Miss))
	is("scatter", g.Fig("scatter"), 100*float64(m.Scatter))
	is("r2", g.Fig("r2"), m.R2)
	classes := r.Groups[0].Classes(0.9, r.Water)
	for k, c := range g.Objects("classes") {
		is("class from", c.Fig("from"), float64(classes[k].Low))
		is("class to", c.Fig("to"), float64(classes[k].High))
		is("class tests", c.Fig("tests"), float64(classes[k].Tests))
		if classes[k].Planning.OK {
			is("class dose", c.Fig("planning_dose"), float64(classes[k].Planning.V))
		}
	}
	for i, n := range r.Groups[0].Next() {
		o := g.Sub([]string{"next", "then"}[i])
		is("test next from", o.Fig("from"), float64(n.Low))
		is("test next to", o.Fig("to"), float64(n.High))
		for k, j := range o.Objects("jars") {
			is("next jar", j.Fig("dose"), float64(n.Doses[k]))
		}
	}
	is("cleaner water to test", g.Fig("then.to"), 12)
	first := d.Objects("tests")[0]
	is("first dose", first.Fig("lowest_effective_dose.value"), (3+2*math.Sqrt(12))*0.94)
	is("first low", first.Fig("lowest_effective_dose.low"), (3+2*math.Sqrt(12))*0.94*0.9)
	is("first high", first.Fig("lowest_effective_dose.high"), (3+2*math.Sqrt(12))*0.94*1.1)
	is("read", d.Fig("files.read"), 11)
	is("skipped", d.Fig("files.skipped"), 1)
	is("left alone", d.Fig("files.left_alone"), 1)
	if w := d.Objects("without_law"); len(w) != 1 || w[0].Said("chemical") != "ferric chloride" {
		t.Errorf("%v", w)
	}
}

// TestTrackOrder: a dose is ordered only inside the tests; outside it says how far they reach.
func TestTrackOrder(t *testing.T) {
	a := trackReport(history.Water{jartest.Turbidity: 85}).answer(Options{})
	if a.Numbers[0].Words != "" || !a.Numbers[0].Value.Known() || !strings.HasPrefix(a.Order, "Dose it") {
		t.Errorf("%+v", a)
	}
	r := trackReport(history.Water{jartest.Turbidity: 85})
	r.Predictions[0].Notes.Add(note.New(note.Caution, "odd-test", "x").At(note.Place{File: "past/9 May.csv"}))
	if a = r.answer(Options{}); a.Order != "Look first at the test in past/9 May.csv: put it away if it holds a slip, and ask again. Till then the dose of alum is in doubt." {
		t.Errorf("%q", a.Order)
	}
	r = trackReport(history.Water{jartest.Turbidity: 700})
	a = r.answer(Options{})
	if a.Numbers[0].Words != "No dose" || !strings.Contains(a.Order, "past tests is 12 to 160 NTU, today's 700 NTU") || r.Planned() {
		t.Errorf("%+v", a)
	}
	if a = trackReport(nil).answer(Options{}); a.Numbers[0].Words != "Alum" || a.Numbers[0].For != "Of 2 chemicals the tests tell the dose of" || !strings.Contains(a.Order, "--raw") {
		t.Errorf("%+v", a)
	}
	one := trackReport(nil)
	one.Groups = one.Groups[:1]
	if n := one.answer(Options{}).Numbers[0]; n.Words != "Alum" || n.For != "The tests tell the dose of" {
		t.Errorf("a count of one: %+v", n)
	}
	one.Groups[0].Model.OK = false
	if n := one.answer(Options{}).Numbers[0]; n.Words != "Not told" || n.For != "Dose of alum" {
		t.Errorf("a count of none: %+v", n)
	}
	if n := (TrackReport{History: trackReport(nil).History}).toldOf(2); n.Words != "2 of 2" {
		t.Errorf("%+v", n)
	}
}

// TestTrackOfTwo: each law of two chemicals is told by its name.
func TestTrackOfTwo(t *testing.T) {
	r := trackReport(history.Water{jartest.Turbidity: 85})
	r.Predictions = append(r.Predictions, r.Predictions[0])
	a := r.answer(Options{})
	name := upperFirst(r.Groups[r.Predictions[0].Group].Chemical.Name)
	if n := strings.Count(a.Sure, name+": by the law such water needs 21.8 mg/L; nine in ten such waters need 20.1 to 23.6 mg/L."); n != 2 || strings.Count(a.Sure, "Each planning dose is enough for 90 % of them.") != 1 {
		t.Errorf("%q", a.Sure)
	}
}

// TestTrackPicture: a mark a test with its interval, the law within its band, today's water and its dose, and the test that needed more.
func TestTrackPicture(t *testing.T) {
	r := trackReport(history.Water{jartest.Turbidity: 85})
	d := r.Drawing(Options{})
	if len(d.Panels) != 1 || !d.Panels[0].X.Log {
		t.Fatalf("%d panels", len(d.Panels))
	}
	var band draw.Band
	marks := 0
	for _, l := range d.Panels[0].Layers {
		switch l := l.(type) {
		case draw.Band:
			band = l
		case draw.Line:
			for i, a := range l.At {
				if s := band.At[i]; s.X != a.X || !(s.Low < a.Y && a.Y < s.High) {
					t.Errorf("at %v the law %v is not in %v to %v", a.X, a.Y, s.Low, s.High)
				}
			}
		case draw.Points:
			for _, a := range l.At {
				marks++
				if a.Censor == draw.Exact && a.Label == "" && (math.Abs(a.Low-0.9*a.Y) > 1e-9 || math.Abs(a.High-1.1*a.Y) > 1e-9) {
					t.Errorf("the bar of %v goes from %v to %v", a.Y, a.Low, a.High)
				}
			}
		case draw.Marker:
			if l.At != 85 || !l.Vertical {
				t.Errorf("today at %v", l.At)
			}
		}
	}
	if marks != 9+1+1 {
		t.Errorf("%d marks", marks)
	}
}

// TestTrackOrderOfSeveralChemicals: a dose of one chemical is ordered by its name though another's tests do not reach the water, and the
// chemical that the site feeds comes first.
func TestTrackOrderOfSeveralChemicals(t *testing.T) {
	tests := trackReport(nil).Tests
	for i, ntu := range []float64{5, 7, 9, 12, 15, 18, 20} {
		x := pastTest(20+i, ntu, 8, (2+1.2*math.Sqrt(ntu))*(1+0.05*float64(i%3-1)))
		x.Chemical.Name = "ferric chloride"
		tests = append(tests, x)
	}
	ask := func(ntu float64, feeds ...string) Answer {
		r := TrackReport{History: history.Gather(tests, product.Default()), Water: history.Water{jartest.Turbidity: ntu}, Sure: 0.9, Asked: feeds}
		r.Predict()
		return r.answer(Options{})
	}
	a := ask(85, "Ferric chloride")
	if len(a.Numbers) != 2 || !strings.Contains(a.Numbers[0].For, "ferric chloride") || a.Numbers[0].Words != "No dose" || a.Order != "Dose alum, look at the water, and run a jar test as soon as you can." || !strings.HasPrefix(a.Sure, "Alum: by the law such water needs ") {
		t.Errorf("%+v", a)
	}
	if a = ask(85); !strings.Contains(a.Numbers[0].For, "alum") {
		t.Errorf("%+v", a)
	}
	if a = ask(16); a.Order != "Dose the one that you use, look at the water, and run a jar test as soon as you can." || !strings.Contains(a.Sure, "Alum: by the law") || !strings.Contains(a.Sure, "Ferric chloride: by the law") {
		t.Errorf("%+v", a)
	}
	if a = ask(700); !strings.HasPrefix(a.Order, "Run a jar test of today's water. Alum for turbidity of 5 NTU at most: past tests do not reach it: the") {
		t.Error(a.Order)
	}
}

// TestTrackBases: where tests count their doses on one basis the heading of the table says it, where on several each line does, and two laws
// that differ by it alone are told apart: five tests of 3 + 2·√NTU as alum 14-hydrate, the same doses as product of half the strength.
func TestTrackBases(t *testing.T) {
	var tests []history.Test
	for i, v := range []float64{12, 30, 60, 100, 160} {
		tests = append(tests, pastTest(i, v, 8, 3+2*math.Sqrt(v)))
	}
	text := func() string {
		var b strings.Builder
		x := NewText(&b, Options{Width: 200})
		TrackReport{History: history.Gather(tests, product.Default()), Sure: 0.9}.Text(x, Options{})
		if err := x.Flush(); err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(b.String()), " ")
	}
	if got := text(); !strings.Contains(got, "dose mg/L as alum 14-hydrate (90 % interval)") || strings.Contains(got, "counted") {
		t.Error(got)
	}
	for i := range 5 {
		x := pastTest(20+i, tests[i].Raw[jartest.Turbidity], 8, 2*(3+2*math.Sqrt(tests[i].Raw[jartest.Turbidity])))
		x.Chemical.Basis = quantity.AsProduct
		tests = append(tests, x)
	}
	got := text()
	for _, want := range []string{"dose mg/L (90 % interval) counted", "9.9 (8.9 to 11) as alum 14-hydrate", "19.9 (17.9 to 21.8) as product", "Alum as alum 14-hydrate for", "Alum as product for"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
}
