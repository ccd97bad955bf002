package templates

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/history"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// byTests gives a plan's first feed a dose of 2·√NTU by nine tests of 10 to 160 NTU, today of 36 NTU.
func byTests(p Plan) Plan {
	dose := func(v quantity.Cloudiness) (quantity.Concentration, bool) {
		return quantity.Concentration(2 * math.Sqrt(float64(v))), v >= 10 && v <= 160
	}
	past := dosing.PastTests{Tests: 9, Raw: 36, Low: 10, High: 160, Dose: dose}
	for _, ends := range [][2]quantity.Cloudiness{{20, 50}, {50, 100}, {160, 200}} {
		c := dosing.RawClass{Low: ends[0], High: ends[1], Tests: 3}
		if d, ok := dose(c.High); ok {
			c.Dose = quantity.Some(d)
		} else {
			c.Tests = 0
			past.Next = []dosing.NextTest{{RawClass: c, Jars: []quantity.Concentration{0, 10, 20}}, {RawClass: dosing.RawClass{Low: 5, High: 10}, Jars: []quantity.Concentration{0, 4, 8}, Beyond: true}}
		}
		past.Classes = append(past.Classes, c)
	}
	p.Feeds[0].Past = &past
	return p
}

// TestCardByRawWater: the card has a row for each class of raw water that tests reach, with the dose of its dirtiest water, and a
// column for each flow. The planned 12.5 mg/L take 10.309 mL/min at 3.6 m3/h of a pump of 72 mL/min at 100 % (see TestPumpCard), so
// the 2·√50 = 14.14 mg/L of water of 50 NTU take 11.66 mL/min, 16.2 %: 17 % feeds no less.
func TestCardByRawWater(t *testing.T) {
	p := byTests(quickPlan(t, false))
	d := p.data().Objects("feeds")[0].Sub("past_tests")
	is := func(what string, f figure.Figure, want float64) {
		t.Helper()
		if v, _ := f.Document(); !f.Known() || math.Abs(v-want) > 2e-4*math.Abs(want) {
			t.Errorf("%s: %v, want %v", what, v, want)
		}
	}
	is("raw water", d.Fig("raw_turbidity"), 36)
	is("tests", d.Fig("tests"), 9)
	is("tested from", d.Fig("tested_from"), 10)
	is("tested to", d.Fig("tested_to"), 160)
	rows := d.Objects("by_raw_water")
	if len(rows) != 2 || len(d.Objects("untested")) != 1 {
		t.Fatalf("%d rows, %d untested", len(rows), len(d.Objects("untested")))
	}
	is("untested from", d.Objects("untested")[0].Fig("from"), 160)
	is("next to", d.Fig("next.to"), 200)
	is("next jar", d.Objects("next.jars")[2].Fig("dose"), 20)
	is("then from", d.Fig("then.from"), 5)
	is("then jar", d.Objects("then.jars")[1].Fig("dose"), 4)
	for i, want := range []struct{ from, to, dose float64 }{{20, 50, 2 * math.Sqrt(50)}, {50, 100, 20}} {
		is("from", rows[i].Fig("from"), want.from)
		is("to", rows[i].Fig("to"), want.to)
		is("dose", rows[i].Fig("dose"), want.dose)
		for _, s := range rows[i].Objects("settings") {
			flow, _ := s.Fig("flow").Document()
			rate := 10.309 * want.dose / 12.5 * flow / 3.6
			is("rate", s.Fig("rate"), rate)
			if at, _ := s.Fig("setting").Document(); s.Get("in_range") == true && at != math.Ceil(rate/72*100-1e-6) {
				t.Errorf("%v mL/min at %v %%", rate, at)
			}
		}
	}
	c := p.Cards(Options{})[0]
	table := c.Tables[0]
	if len(c.Tables) != 1 || len(table.Rows) != 2 || table.Cols[0].Head != "Raw water" || table.Cols[1].Head != "Dose" {
		t.Fatalf("%+v", c.Tables)
	}
	plain := func(s string) string { return strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(s) }
	if got := plain(strings.Join(table.Rows[0][:2], "|")); got != "20 to 50 NTU|14.1 mg/L" {
		t.Errorf("row %q", got)
	}
	for _, want := range []string{"for 3.60 m3/h of water of 36 NTU", "Each row is for its dirtiest water, by 9 past tests of water from 10 to 160 NTU", "Test next: water of 160 to 200 NTU, of which there is no test yet. Jars of 0, 10, 20 mg/L. Then cleaner water, of 5 to 10 NTU, of which there is no test yet. Jars of 0, 4, 8 mg/L; no test had such water, so the doses are a first guess."} {
		if !strings.Contains(plain(c.Lead), want) {
			t.Errorf("no %q in %q", want, c.Lead)
		}
	}
	found := false
	for i, h := range table.Cols {
		found = found || strings.HasPrefix(plain(h.Head), "3.6 m3/h") && strings.HasPrefix(table.Rows[0][i], "17")
	}
	if !found {
		t.Errorf("no 17 %% at 3.6 m3/h: %+v", table)
	}
}

// TestCardNamesItsWater: a card by raw water whose law goes by temperature too says for which it is, at the table and below it.
func TestCardNamesItsWater(t *testing.T) {
	plain := func(s string) string { return strings.NewReplacer("\u00a0", " ", "\u202f", " ").Replace(s) }
	for _, x := range []struct {
		worst bool
		says  string
	}{{false, "temperature 9 C as today"}, {true, "temperature 9 C, which of the tests' range asks most"}} {
		p := byTests(quickPlan(t, false))
		p.Feeds[0].Past.Like = []dosing.LikeReading{{Key: jartest.TemperatureKey, V: 9, AsksMost: x.worst}}
		c := p.Cards(Options{})[0]
		if got := plain(c.Tables[0].Caption); got != "Setting for the raw water and the flow, "+x.says {
			t.Errorf("%q", got)
		}
		if got := plain(c.Lead); !strings.Contains(got, "Each row is for its dirtiest water ("+x.says+"), by 9 past tests") || !strings.Contains(got, "When that reading of the water changes, ask for a new table.") {
			t.Errorf("%q", got)
		}
		d := p.data().Objects("feeds")[0].Sub("past_tests").Objects("classes_for")
		if v, _ := d[0].Fig("value").Document(); len(d) != 1 || v != 9 || d[0].Said("reading") != "temperature" || d[0].Get("asks_most") != x.worst {
			t.Errorf("%v", d)
		}
	}
}

// TestTrackTableAgrees: with today's water told the table of classes goes by the law of the answer; the basis that no sheet states is said.
func TestTrackTableAgrees(t *testing.T) {
	var tests []history.Test
	for i, v := range []float64{12, 150, 30, 80, 20, 110, 45, 60, 15, 130, 35, 95, 25, 70, 50, 18} {
		warm := float64(2 + (i*7)%16)
		x := pastTest(i, v, warm, 6*math.Pow(v, 0.3)*math.Exp(-0.04*(warm-10))*(1+0.03*float64(i%3-1)))
		x.Chemical.Basis = quantity.NotStated
		tests = append(tests, x)
	}
	r := TrackReport{History: history.Gather(tests, product.Default()), Sure: 0.9}
	for _, c := range []struct {
		water history.Water
		terms int
		most  bool
	}{{history.Water{jartest.Turbidity: 50}, 0, false}, {history.Water{jartest.Turbidity: 50, jartest.TemperatureKey: 5}, 1, false}, {nil, 1, true}} {
		r.Water, r.Predictions = c.water, nil
		r.Predict()
		g := r.groupData(r.Groups[0])
		stands := g.Objects("classes_for")
		if len(stands) != c.terms || c.terms > 0 && stands[0].Get("asks_most") != c.most {
			t.Errorf("%v stands for %v", c.water, stands)
		}
		if len(c.water) == 0 {
			continue
		}
		for _, k := range g.Objects("classes") {
			if to, _ := k.Fig("to").Document(); to == 50 {
				a, _ := k.Fig("planning_dose").Document()
				b, _ := r.predictionData(r.Predictions[0]).Fig("planning_dose").Document()
				if a != b {
					t.Errorf("%v: the table has %v, the answer %v", c.water, a, b)
				}
			}
		}
		if n := r.answer(Options{}).Numbers[0]; n.Under != "basis not stated" {
			t.Errorf("under the number stands %q", n.Under)
		}
	}
	if got := (Options{}).Show(alikeWords(alikeData(r.standsFor(r.Groups[0].Model.V)))); !strings.Contains(got, "which of the tests' range asks most") {
		t.Errorf("%q", got)
	}
}
