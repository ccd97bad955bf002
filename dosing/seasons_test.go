package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// beck is an invented site with figures of its own of everything that a season may change.
const beck = `place:
  name: Test beck
  purpose: animals
  water_passes: once through
water:
  temperature: 11 C
  ph: "7.4"
  alkalinity: 60 mg/L CaCO3
  turbidity: 20 NTU
  suspended_solids: 33 mg/L
  carbon_dioxide: 3 mg/L
  ph_of_the_chosen_jar: "6.9"
  residual_aluminium: 0.05 mg/L
flow:
  average_flow: 4 m3/h
  least_flow: 3 m3/h
  peak_flow: 6 m3/h
chemicals:
  - name: alum
    product: alum-liquid
    dose: 12 mg/L
    dose_low: 10 mg/L
    dose_high: 14 mg/L
    basis: as alum 14-hydrate
    dose_in_storm_water: 25 mg/L
  - name: polymer
    product: apam-dry
    dose: 0.2 mg/L
    basis: as product
`

// beckIn is the site with seasons, as YAML rows, in a month.
func beckIn(t *testing.T, seasons string, m time.Month, g Given) (site.Site, Given, error) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(beck+"seasons:\n"+seasons))
	if err != nil {
		t.Fatal(err)
	}
	return InSeason(s, g, m)
}

const winter = `  - first_month: Nov
    last_month: Feb
    average_flow: 2 m3/h
    temperature: 3 C
    turbidity: 40 NTU
  - first_month: "12"
    chemical: alum
    dose: 18 mg/L
`

// TestSeasonsOverNewYear holds which months a row speaks of.
func TestSeasonsOverNewYear(t *testing.T) {
	for m := time.January; m <= time.December; m++ {
		s, _, err := beckIn(t, winter, m, Given{})
		if err != nil {
			t.Fatal(err)
		}
		want := quantity.Flow(4)
		if slices.Contains([]time.Month{11, 12, 1, 2}, m) {
			want = 2
		}
		dose := quantity.Concentration(12)
		if m == time.December {
			dose = 18
		}
		near(t, m.String()+" flow", float64(s.Flow.Average.V), float64(want), 1e-12)
		near(t, m.String()+" dose", s.Chemicals[0].Dose.V.In("mg/L"), float64(dose), 1e-12)
		if len(s.Seasons) > 0 {
			t.Errorf("%s has seasons still", m)
		}
	}
}

// TestInSeason holds what a season changes, what moves with it and what it leaves out: half the flow
// halves the least and the peak; readings of the jar are of other water.
func TestInSeason(t *testing.T) {
	log := &flow.Log{}
	g := Given{Bench: map[int]BenchDose{0: {}}, Jars: map[int]*Jars{0: {}}, Catalogue: product.Default()}
	s, in, err := beckIn(t, winter, time.December, g)
	if err != nil {
		t.Fatal(err)
	}
	w, c := s.Water, s.Chemicals[0]
	near(t, "least", float64(s.Flow.Least.V), 1.5, 1e-12)
	near(t, "peak", float64(s.Flow.Peak.V), 3, 1e-12)
	near(t, "temperature", float64(w.Temperature.V), 3, 1e-12)
	near(t, "turbidity", float64(w.Turbidity.V), 40, 1e-12)
	near(t, "pH", float64(w.PH.V), 7.4, 1e-12)
	near(t, "usual water of what is fed a day", in.Usual.V.In("m3"), 96, 1e-9)
	if w.TSS.OK || w.CO2.OK || w.JarPH.OK || w.ResidualAl.OK || c.DoseLow.OK || c.DoseHigh.OK || len(in.Bench) > 0 || len(in.Jars) != 1 {
		t.Error("readings of other water or another dose count still")
	}
	if len(g.Bench) != 1 || len(g.Jars) != 1 {
		t.Error("what was given is changed")
	}
	says(t, s.Notes, "in-season", "December is that of Seasons: flow 2 m3/h, least flow 1.5 m3/h with it, peak flow 3 m3/h with it, temperature 3 C, turbidity 40 NTU, alum 18 mg/L")
	says(t, s.Notes, "season-left-out", "suspended solids, the dose from the bench sheet of alum, carbon dioxide, pH of the chosen jar, residual aluminium")
	// Flow alone leaves what was read of the water.
	s, _, err = beckIn(t, "  - first_month: May\n    average_flow: 5 m3/h\n", time.May, g)
	if err != nil || !s.Water.JarPH.OK || !s.Water.TSS.OK || !s.Water.CO2.OK || !s.Chemicals[0].DoseHigh.OK {
		t.Errorf("a season's flow leaves readings of the water out: %v", err)
	}
	// By the hour: each hour moves; what does not run stays so.
	h, err := site.Read("site.yaml", strings.NewReader(strings.Replace(beck, "average_flow: 4 m3/h", "flow_at_06_00: 4 m3/h\n  flow_at_18_00: 0 m3/h", 1)+"seasons:\n"+winter))
	if err != nil {
		t.Fatal(err)
	}
	if h, _, err = InSeason(h, Given{}, time.January); err != nil {
		t.Fatal(err)
	}
	near(t, "06:00", float64(h.Flow.ByHour[6].V), 2, 1e-12)
	near(t, "18:00", float64(h.Flow.ByHour[18].V), 0, 0)
	day, _, err := DayOf(h.Flow, nil)
	near(t, "m3 of twelve hours at 2 m3/h", day.Volume().In("m3"), 24, 1e-9)
	if err != nil {
		t.Error(err)
	}
	// A meter log is of the months that it was written in.
	s, in, err = beckIn(t, winter, time.January, Given{Log: log})
	if err != nil || in.Log != nil || s.Flow.Log.OK {
		t.Errorf("the meter log is used in another season: %v", err)
	}
	says(t, s.Notes, "season-left-out", "the meter log")
	// No row, and a second time.
	s, in, err = beckIn(t, winter, time.July, g)
	says(t, s.Notes, "season-none", "no row of Seasons speaks of July")
	if again, _, e := InSeason(s, in, time.December); err != nil || e != nil || again.Flow.Average.V != 4 || len(in.Bench) != 1 {
		t.Error("July is changed, or a second season is put over the first")
	}
}

// TestSeasonFaults holds that a row which cannot be used in any month speaks in every month.
func TestSeasonFaults(t *testing.T) {
	for _, x := range []struct{ rows, code, text string }{
		{"  - first_month: May\n    dose: 3 mg/L\n", "season-chemical", "of which chemical"},
		{"  - first_month: May\n    chemical: alun\n    dose: 3 mg/L\n", "season-chemical", `"alun" is no row of Chemicals; did you mean "alum"?`},
		{"  - first_month: May\n    chemical: alum\n", "value-missing", "the dose of alum in those months is missing"},
		{"  - first_month: May\n    note: flood\n", "season-says-nothing", "the row for May"},
		{"  - first_month: May\n    average_flow: 3 m3/h\n  - first_month: Apr\n    last_month: June\n    average_flow: 4 m3/h\n", "season-twice", "flow of May stands twice"},
	} {
		_, _, err := beckIn(t, x.rows, time.May, Given{})
		l := note.Of(err, "none")
		if len(l) != 1 || l[0].Code != x.code || !strings.Contains(l[0].Message, x.text) || l[0].Place.File != "site.yaml" {
			t.Errorf("%q: %v", x.rows, err)
		}
	}
	for rows, says := range map[string]string{"  - first_month: Febtember\n": "is not a month", "  - average_flow: 3 m3/h\n": "first month of the season is missing",
		"  - first_month: \"13\"\n": "is not a month", "  - first_month: May\n    least_flow: 9 m3/h\n    peak_flow: 8 m3/h\n": "least cannot be more"} {
		if _, err := site.Read("site.yaml", strings.NewReader(beck+"seasons:\n"+rows)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", rows, err)
		}
	}
	s, _, err := beckIn(t, "  - first_month: May\n    chemical: alum\n    dose: 30 mg/L\n", time.May, Given{})
	if err != nil {
		t.Fatal(err)
	}
	says(t, s.Notes, "season-over-storm", "30 mg/L in May is more than the 25 mg/L of storm water")
	s.Seasons = []site.Season{{At: note.Place{Cell: "A2"}}}
	says(t, WhichSeason(s), "season-which", "no date says which")
	if len(WhichSeason(site.Site{})) > 0 {
		t.Error("a site without seasons is asked for one")
	}
}

// says holds that a list has a note of a code with such words.
func says(t *testing.T, l note.List, code, words string) {
	t.Helper()
	if !slices.ContainsFunc(l, func(n note.Note) bool { return n.Code == code && strings.Contains(n.Message, words) }) {
		t.Errorf("no %s that says %q: %v", code, words, l)
	}
}

// A season's dose is heard in the jars too: between 6.9 and 6.6 at 10 and 20 mg/L the pH at 16 is 6.72, and it goes before a
// computed one; a dose that no jar had, or another water, is not heard.
func TestSeasonsDoseIsHeard(t *testing.T) {
	own := jartest.Series{Name: "jars", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.2, ""), jartest.AlkalinityKey: jartest.Num(60, "mg/L CaCO3")}}
	for i, ph := range []float64{7.2, 6.9, 6.6} {
		own.Jars = append(own.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(10 * i), Known: true}},
			Readings: jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(ph, "")}}})
	}
	for season, want := range map[string]float64{"dose: 16 mg/L": 6.72, "dose: 30 mg/L": 0, "dose: 16 mg/L, alkalinity: 20 mg/L CaCO3": 0} {
		s := siteOf(t, `
Place: {name: Upper works, purpose: drinking water, water passes: once through, currency: EUR}
Water: {temperature: 9 C, pH: 7.2, alkalinity: 60 mg/L CaCO3}
Flow: {average flow: 100 m3/h}
Chemicals:
  - {name: alum, product: alum-liquid, dose: 12 mg/L, basis: as alum 14-hydrate}
Seasons:
  - {first month: December, `+season+`}
`)
		g := Given{Catalogue: products, Jars: map[int]*Jars{0: JarsOf(own, 0, note.Place{})}}
		in, given, err := InSeason(s, g, time.December)
		if err != nil {
			t.Fatal(err)
		}
		w := planOf(t, in, given).Situation(in, time.Time{}).Water
		if w.JarPH.OK != (want > 0) || math.Abs(float64(w.JarPH.V)-want) > 1e-9 {
			t.Errorf("%s: %+v", season, w.JarPH)
		}
	}
}
