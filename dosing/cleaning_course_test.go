package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/site"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestRunMakesEveryCheckOfAPlan: the water is judged at the worst moment of the run, by all
// that it got until then. 12.5 mg/L of alum at each of 3.37 turnovers (ln(89/4)/0.92, 21.6 m3
// at 3.6 m3/h) is 42.2 mg/L, which takes 21.3 mg/L as CaCO3 of 85 and frees 18.7 mg/L of
// carbon dioxide on top of 7.8 at pH 7.4, if none escapes: a note, for some does, and one pass frees 5.5, which
// trout (15) bear. From pH 7.2, with 12.4 mg/L before, one pass alone comes to 17.9 and the run to 31, twice the
// limit: a caution.
func TestRunMakesEveryCheckOfAPlan(t *testing.T) {
	lime := map[string]string{"name": "lime", "product": "lime", "dose": "25 mg/L", "basis": "as Ca(OH)2"}
	for name, x := range map[string]struct {
		change    func(site.Values)
		says, not []string
		stopped   bool
	}{
		"carbon dioxide adds up":  {func(v site.Values) { v["Water"][0]["pH"] = "7.4" }, []string{"co2-run-some"}, []string{"co2-run", "ph-too-low", "alkalinity-low", "co2-high"}, false},
		"one pass frees too much": {func(v site.Values) { v["Water"][0]["pH"] = "7.2" }, []string{"co2-run"}, []string{"co2-high"}, false},
		"well buffered": {func(v site.Values) {
			v["Animals"][0]["species"], v["Water"][0]["pH"], v["Water"][0]["alkalinity"] = "tilapia", "8.0", "150 mg/L CaCO3"
		},
			nil, []string{"co2-high", "co2-run", "co2-run-some", "alkalinity-low", "ph-outside-range", "ph-step", "ph-step-some"}, false},
		"soft water of shrimp": {func(v site.Values) { v["Animals"][0]["species"] = "whiteleg shrimp" }, []string{"alkalinity-low"}, nil, false},
		"too much lime": {func(v site.Values) {
			v["Chemicals"] = append(v["Chemicals"], lime)
			v["Water"][0]["total ammonia"] = "3 mg/L"
		}, []string{"ph-too-high", "nh3-lethal"}, nil, true},
		"acid in soft water":               {func(v site.Values) { v["Water"][0]["alkalinity"], v["Water"][0]["pH"] = "24 mg/L CaCO3", "7.0" }, []string{"alkalinity-gone", "ph-too-low"}, nil, true},
		"ammonia that aeration would free": {func(v site.Values) { v["Water"][0]["total ammonia"], v["Water"][0]["pH"] = "4 mg/L", "8.4" }, []string{"nh3-deadly"}, []string{"nh3-high", "nh3-aerated", "nh3-lowered"}, false},
		"crab in fresh water": {func(v site.Values) { v["Animals"][0]["species"], v["Water"][0]["salinity"] = "mud crab", "0 g/kg" },
			[]string{"salinity-outside"}, nil, false},
	} {
		c := cleaned(t, x.change)
		for _, code := range x.says {
			if n, ok := noted(c.Notes, code); !ok || strings.ContainsAny(n.Message+n.Remedy, "{}") {
				t.Errorf("%s: %s was not said, or not whole: %v", name, code, c.Notes)
			}
		}
		for _, code := range x.not {
			if _, ok := noted(c.Notes, code); ok {
				t.Errorf("%s: %s was said", name, code)
			}
		}
		if c.Stopped != x.stopped {
			t.Errorf("%s: stopped %v: %v", name, c.Stopped, c.Notes.Only(note.Stop))
		}
	}
	c := cleaned(t, func(v site.Values) { v["Water"][0]["pH"] = "7.4" })
	// by hand: 42.15 mg/L of alum 14-hydrate (594.37 g/mol) hold 2 x 0.0709 mmol/L of aluminium, 0.4255 meq/L of acid
	alum := 12.5 * float64(c.Turnovers) / 594.37
	worst, _ := water.Dose(c.Before, water.Addition{Acid: quantity.Alkalinity(6 * alum * 50.0437), Aluminium: quantity.Molarity(2 * alum)})
	n, _ := noted(c.Notes, "co2-run-some")
	if show := quantity.To(quantity.Number(float64(worst.CO2)), 3).String(); !strings.Contains(n.Message, "to "+show+" mg/L over the run if none escapes") {
		t.Errorf("%q does not say %s", n.Message, show)
	}
	if math.Abs(float64(c.Closed.PH-worst.PH)) > 1e-4 || math.Abs(float64(c.Closed.CO2-worst.CO2)) > 1e-2 {
		t.Errorf("the run ends at pH %v with %v of carbon dioxide, want %v and %v", c.Closed.PH, c.Closed.CO2, worst.PH, worst.CO2)
	}
}

// TestAluminateInTheTank: at a raw pH of 9.3 much aluminium stays dissolved as aluminate and takes up
// alkali with it, so that the tank ends at a lower pH than acid alone would bring it to, as in a plan.
func TestAluminateInTheTank(t *testing.T) {
	c := cleaned(t, func(v site.Values) {
		v["Water"][0]["pH"], v["Water"][0]["alkalinity"] = "9.3", "250 mg/L CaCO3"
		delete(v["Water"][0], "residual aluminium") // else no more is dissolved than that
	})
	if acid := c.Before.AfterAcid(c.Tank().Alkalinity - c.Final.Alkalinity); c.Closed.PH >= acid.PH-0.02 {
		t.Errorf("pH %v with aluminate, %v without", c.Closed.PH, acid.PH)
	}
}

// What a day's feed brings of ammonia is told in a clean-up too, where nobody measured it: 0.092 x 0.40 of 3 kg are 0.1104 kg of N, in the
// tank's 21.6 m3 5.11 mg/L (Timmons and Ebeling, from memory). Without a filter that would stand there, deadly to trout at pH 8.4; with one it does
// not, so that it is told and nothing is judged by it.
func TestFeedOfATank(t *testing.T) {
	fed := func(v site.Values) {
		v["Water"][0]["total ammonia"], v["Water"][0]["pH"], v["Animals"][0]["feed eaten a day"] = "", "8.4", "3 kg/d"
	}
	c := cleaned(t, fed)
	n, ok := noted(c.Notes, "nh3-from-feed")
	if !ok || !strings.Contains(n.Message, "a day's feed of 3 kg/d brings 5.11 mg/L as N") {
		t.Errorf("%v", c.Notes)
	}
	if n, ok = noted(c.Notes, "nh3-deadly"); ok {
		t.Errorf("%v", n)
	}
	c = cleaned(t, func(v site.Values) { fed(v); v["Water"][0]["total ammonia"] = "0.1 mg/L" })
	if _, ok = noted(c.Notes, "nh3-from-feed"); ok {
		t.Errorf("it was measured: %v", c.Notes)
	}
}

// TestRunIsJudgedFromItsStart: the animals of a tank stand in its raw water as the run starts, whatever the run makes of it.
// At pH 9.2 and 24 C 1/(1 + 10^(9.2772 - 9.2)) = 45.6 % of 0.5 mg/L as N is free (Emerson et al. 1975): 0.277 mg/L NH3, over the
// 0.05 of tilapia. At pH 9.2 and 6.0 the water lies outside what they are comfortable in before any dose, and that is what is said.
func TestRunIsJudgedFromItsStart(t *testing.T) {
	tilapia := func(ph, alkalinity string) Cleaning {
		return cleaned(t, func(v site.Values) {
			w := v["Water"][0]
			v["Animals"][0]["species"], w["pH"], w["alkalinity"], w["temperature"], w["total ammonia"] = "tilapia", ph, alkalinity, "24 C", "0.5 mg/L"
		})
	}
	c := tilapia("9.2", "110 mg/L CaCO3")
	if n, _ := noted(c.Notes, "nh3-still"); n.Level != note.Caution || !strings.Contains(n.Message, "stands at 0.277 mg/L NH3 as the run starts and ") {
		t.Errorf("ammonia: %q", n.Message)
	}
	if n, _ := noted(c.Notes, "ph-outside-range"); !strings.Contains(n.Message, "pH 9.20 as the run starts lies outside 6 to 9 for") {
		t.Errorf("pH: %q", n.Message)
	}
	c = tilapia("6.0", "30 mg/L CaCO3")
	if n, ok := noted(c.Notes, "ph-too-low"); !ok || !strings.Contains(n.Message, "pH falls from 6.00 to ") || !strings.Contains(n.Message, " of the run, below 6") {
		t.Errorf("pH: %q", n.Message)
	}
	if n, ok := noted(c.Notes, "ph-outside-range"); ok { // the stop is of the same danger
		t.Errorf("beside the stop: %q", n.Message)
	}
}

// TestOnePassOfARunIsNoLessGraveThanAPlan: at pH 7.28 and 85 mg/L CaCO3 it has 10.9 mg/L of carbon dioxide, to which a pass adds 5.7: more
// than the 15 of trout, a caution in a plan. In a run that comes to less than twice as much it is one too, where carbon dioxide was
// measured; a computed one that is as near as its pH tells stays a note, as in a plan.
func TestOnePassOfARunIsNoLessGraveThanAPlan(t *testing.T) {
	for measured, code := range map[string]string{"10.9 mg/L": "co2-run", "": "co2-run-some"} {
		c := cleaned(t, func(v site.Values) { v["Water"][0]["pH"], v["Water"][0]["carbon dioxide"] = "7.28", measured })
		if n, ok := noted(c.Notes, code); !ok || !strings.Contains(n.Message, " in one pass; ") {
			t.Errorf("%q: %v", measured, c.Notes)
		}
	}
}

// TestWaterOfARunIsOneAccount: the water shown at the end of a run is that which its cautions judge: no more aluminium stays dissolved than
// the jar was found to hold, so 0.05 mg/L found lets the pH be higher than all of the dose would.
func TestWaterOfARunIsOneAccount(t *testing.T) {
	run := func(residual quantity.Known[quantity.Concentration]) Cleaning {
		s := exampleSite(t, nil)
		s.Water.PH, s.Water.Temperature, s.Water.ResidualAl = quantity.Some(quantity.PH(9)), quantity.Some(quantity.Temperature(25)), residual
		s.Water.Alkalinity = quantity.Some(quantity.Alkalinity(150))
		in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	found, none := run(quantity.Some(quantity.Concentration(0.05))), run(quantity.Known[quantity.Concentration]{})
	if found.Closed.PH <= none.Closed.PH+0.02 {
		t.Errorf("pH %v with 0.05 mg/L found, %v without", found.Closed.PH, none.Closed.PH)
	}
	for _, c := range []Cleaning{found, none} {
		if w := caution.WaterOf(c.at(c.Final)); w == nil || w.Closed.PH != c.Closed.PH || math.Abs(float64(w.AlkalinityLeft-c.Final.Alkalinity)) > 1e-9 {
			t.Errorf("judged at %+v, shown %v, alkalinity %v", w, c.Closed.PH, c.Final.Alkalinity)
		}
	}
}

// TestDayStoppedIsNoStopOfTheRun: what stops the day is known of the run, which may begin.
func TestDayStoppedIsNoStopOfTheRun(t *testing.T) {
	s := exampleSite(t, nil)
	in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	for level, stopped := range map[note.Level]bool{note.Stop: true, note.Caution: false} {
		in.Day = note.List{note.New(level, "cationic-lethal", "kills")}
		if c, err := Clean(in); err != nil || c.Stopped || c.DayStopped != stopped {
			t.Errorf("%v: stopped %v, day %v, %v", level, c.Stopped, c.DayStopped, err)
		}
	}
}

// TestRunFedByHandIsWarnedOfAsAPlan: a portion tipped in is fifteen times the dose of one pass, 12.5 mg/L of alum, in the stream that goes back
// to the animals, whatever all passes come to; a pump warns of nothing. Raw water of 85 mg/L CaCO3 that carries the coagulant at a fifth of a
// m3/h holds 17 g an hour of the 6.31 x 3.6 = 22.7 that a pass takes, 75 % (rule: 50), as in a plan.
func TestRunFedByHandIsWarnedOfAsAPlan(t *testing.T) {
	c := cleaned(t, func(v site.Values) { delete(v["Chemicals"][0], "pump") })
	if n, ok := noted(c.Notes, "fed-in-slugs"); !ok || n.Level != note.Caution || !strings.Contains(n.Message, "15 times the dose (187.5 mg/L as alum 14-hydrate)") || n.Place == (note.Place{}) {
		t.Error(c.Notes)
	}
	c = cleaned(t, func(v site.Values) { v["Stocks"][0]["dilution water"] = "200 L/h" })
	if n, ok := noted(c.Notes, "carrier-precipitates"); !ok || !strings.Contains(n.Message, "uses up 75 % of its acidity") {
		t.Error(c.Notes)
	}
	c = cleaned(t, nil)
	for _, code := range []string{"fed-in-slugs", "carrier-precipitates"} {
		if n, ok := noted(c.Notes, code); ok {
			t.Error(n)
		}
	}
}

// TestMonomerOfARunAddsUp: what no floc takes stays of every pass: 0.5 mg/L of a polymer of 0.02 % acrylamide at each of 3.37 turnovers is
// 10 x 0.5 x 0.02 x 3.37 = 0.337 ug/L, above the EU's 0.10, which the 0.1 of one pass is not.
func TestMonomerOfARunAddsUp(t *testing.T) {
	c := cleaned(t, func(v site.Values) {
		v["Place"][0]["purpose"], v["Place"][0]["drinking-water rules"], v["Animals"] = "drinking water", "EU", nil
		v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "floc aid", "product": "apam-dry", "dose": "0.5 mg/L", "basis": "as product", "monomer": "0.02 %"})
	})
	if n, ok := noted(c.Notes, "dw-acrylamide"); !ok || n.Level != note.Stop || !strings.Contains(n.Message, "brings 0.337 ug/L") {
		t.Error(c.Notes)
	}
}
