package dosing

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ran is a cleaning of these moments an hour apart: alum from a stock of 100 g/L by
// a pump of 20 mL/min, and a polymer whose strength is not known, at 3 m3/h.
func ran(outcome clarify.Outcome, doses ...[2]quantity.Concentration) Cleaning {
	k := clarify.Tank{Flow: 3, Start: 90, Chemicals: []clarify.Chemical{{Name: "alum", Basis: quantity.AsAlum14, Stock: 100000}, {Name: "polymer", Neat: true}}}
	c := Cleaning{CleaningInput: CleaningInput{Tank: k, Pumps: []*pump.Pump{nameplate(20), nil}}, Result: clarify.Result{Tank: k, Outcome: outcome}}
	for i, d := range doses {
		c.Moments = append(c.Moments, clarify.Moment{At: quantity.Time(i), Running: quantity.Time(i), Reading: 90 - 10*float64(i), Doses: d[:]})
	}
	c.Time = quantity.Time(len(doses) - 1)
	return c
}

// TestFeedStages: set anew where the run sets another dose; not for the moment at which the tank is clear.
func TestFeedStages(t *testing.T) {
	moments := [][2]quantity.Concentration{{10, 0}, {8.1, 0}, {7.9, 0}, {7.9, 1}, {0, 1}, {5, 5}}
	// dose × 3 m3/h ÷ 100 g/L, in mL/min; of 20 that is a setting of 25, 20.25 and 19.75 %
	want := []string{"0 alum 10 5.00 at 25.00", "0 polymer 0 0.00", "1 alum 8.1 4.05 at 20.25", "2 alum 7.9 3.95 at 19.75", "3 polymer 1 0.00", "4 alum 0 0.00"}
	for outcome, want := range map[clarify.Outcome][]string{clarify.Cleared: want, clarify.TooLong: append(want[:6:6], "5 alum 5 2.50 at 12.50", "5 polymer 5 0.00")} {
		c := ran(outcome, moments...)
		c.stages()
		var got []string
		for _, s := range c.Stages {
			for _, f := range s.Feeds {
				line := fmt.Sprintf("%g %s %g %.2f", float64(s.At), f.Chemical, float64(f.Dose.Concentration), float64(f.Rate))
				if f.Setting != nil {
					line += fmt.Sprintf(" at %.2f", float64(f.Setting.Exact.Setting))
				}
				if (f.Neat == "neat") != (f.Chemical == "polymer") || (f.Chemical == "alum") != (f.Dose.Basis == quantity.AsAlum14) {
					t.Errorf("%+v", f)
				}
				got = append(got, line)
			}
		}
		if strings.Join(got, ", ") != strings.Join(want, ", ") {
			t.Errorf("%s: %q, want %q", outcome, got, want)
		}
	}
}

// TestStagesInOrder: what comes within half a minute is one stage, and all stand in
// order of time with the reading of their moment.
func TestStagesInOrder(t *testing.T) {
	c := ran(clarify.Cleared, [2]quantity.Concentration{5, 0}, [2]quantity.Concentration{5, 0}, [2]quantity.Concentration{5, 0})
	c.JarTests = []clarify.JarTest{{At: 1.5, Why: note.Say("half way")}, {At: 0.008, Why: note.Say("at once")}}
	c.Waste.Bins = []quantity.Time{1.508, 1.9, 1.99}
	c.stages()
	var got []string
	for _, s := range c.Stages {
		line := fmt.Sprintf("%g h at %.3g:", float64(s.At), s.Reading)
		for _, d := range slices.Concat(s.Before, s.Do) {
			line += " " + strings.SplitN(d.String(), ":", 2)[0] + "."
		}
		got = append(got, line)
	}
	want := "0 h at 90: start the circulation. jar test. | 1.5 h at 75: jar test. empty the bin. | 1.9 h at 71: empty the bin. | 1.99 h at 70.1: empty the bin. | 2 h at 70: clear."
	if strings.Join(got, " | ") != want {
		t.Errorf("%q", strings.Join(got, " | "))
	}
	for what, x := range map[string]Cleaning{"clear already": ran(clarify.ClearAlready, [2]quantity.Concentration{}), "stopped": {Stopped: true, Result: clarify.Result{Outcome: clarify.Cleared}}} {
		if x.stages(); x.Stages != nil {
			t.Errorf("%s: %+v", what, x.Stages)
		}
	}
	c = ran(clarify.TooLong, [2]quantity.Concentration{5, 0}, [2]quantity.Concentration{5, 0})
	if c.stages(); len(c.Stages) != 1 || len(c.Stages[0].Before) != 1 || c.Stages[0].Do != nil {
		t.Errorf("not cleared: %+v", c.Stages)
	}
}

// TestChemistryOfARun: what has no figures is not worked out.
func TestChemistryOfARun(t *testing.T) {
	// Water of unknown temperature is taken to be at 15 C.
	mild := Cleaning{CleaningInput: CleaningInput{Tank: clarify.Tank{HasAlkalinity: true, Alkalinity: 80}}}
	mild.Around.Water.PH = quantity.Some(quantity.PH(7.5))
	at15, err := water.FromPHAlkalinity(water.Conditions{Temperature: 15}.WithIonicStrengthOf(80), 7.5, 80)
	if mild.chemistry(); err != nil || mild.Before != at15 {
		t.Errorf("%+v, want %+v", mild.Before, at15)
	}
	// An alkalinity that cannot stand at its pH is told.
	wrong := Cleaning{CleaningInput: CleaningInput{Tank: clarify.Tank{HasAlkalinity: true, Alkalinity: 80}}}
	wrong.Around.Water.PH = quantity.Some(quantity.PH(13))
	if wrong.chemistry(); wrong.HasPH || codes(wrong.CleaningInput.Notes) != "alkalinity-impossible" {
		t.Errorf("%v", wrong.CleaningInput.Notes)
	}
	// Without pH or alkalinity nothing is worked out.
	for _, x := range []struct{ alkalinity, ph bool }{{true, false}, {false, true}} {
		c := Cleaning{CleaningInput: CleaningInput{Tank: clarify.Tank{HasAlkalinity: x.alkalinity, Alkalinity: 80}}}
		c.Around.Water.PH = quantity.Known[quantity.PH]{V: 7.5, OK: x.ph}
		if c.chemistry(); c.HasPH {
			t.Errorf("%+v", x)
		}
	}
}

// TestTankReadInSolids: a tank that is read in mg/L takes its new water's solids; the
// tank goes by the site's hours and start unless it has its own.
func TestTankReadInSolids(t *testing.T) {
	mg := func(v float64) quantity.Known[site.Reading] {
		return quantity.Known[site.Reading]{V: site.Reading{V: v, Key: jartest.TSS}, OK: true, At: note.Place{Cell: "R1"}}
	}
	s := exampleSite(t, nil)
	u := &s.Solids
	u.TankStart, u.TankStop, u.Outlet, u.Rise = mg(150), mg(8), mg(2), mg(0.5)
	s.Water.TSS, u.TankNew = mgL(90), known[quantity.Flow](0.2, "")
	s.Flow.Hours, s.Flow.Start = known[quantity.Time](16, ""), known[quantity.Time](7, "")
	in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	k := in.Tank
	if k.Key != jartest.TSS || k.Start != 150 || k.Stop != 8 || k.Floor != 2 || k.Rise != 0.5 || k.New != 90 || k.Exchange != 0.2 || k.PerUnit != 0 || k.Begin != 7 || k.Hours.String() != "07:00-23:00" {
		t.Errorf("%+v", k)
	}
	if n, ok := noted(in.Notes, "new-water-clear"); ok {
		t.Errorf("%v", n)
	}
	u.TankHours, u.TankBegin = quantity.Some(s.Solids.TankHours.V), known[quantity.Time](9, "")
	if in, _ = CleaningFromSite(s, Given{Catalogue: products}, time.Time{}); in.Tank.Begin != 9 || in.Tank.Hours != nil {
		t.Errorf("%+v", in.Tank)
	}
	u.TankStop.V.Key = jartest.Turbidity
	_, err = CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if l := note.Of(err, "?"); codes(l) != "bad-reading" || l[0].Cell != "R1" {
		t.Errorf("%v", err)
	}
	u.TankStop.V.Key = jartest.TSS
	s.Flow.Start.OK, u.TankBegin.OK, u.TankNew.OK, s.Water.Exchange.OK = false, false, false, false
	if in, _ = CleaningFromSite(s, Given{Catalogue: products}, time.Time{}); in.Tank.Begin != 6 || in.Tank.Exchange != 0 || in.Tank.New != 0 {
		t.Errorf("%+v", in.Tank)
	}
}

// TestCaptureOfARow: a measured capture goes with its chemical.
func TestCaptureOfARow(t *testing.T) {
	c := cleaned(t, func(v site.Values) { v["Chemicals"][1]["capture"] = "90 %" })
	metal, polymer := c.CleaningInput.Tank.Chemicals[0], c.CleaningInput.Tank.Chemicals[1]
	if metal.HasCapture || !polymer.HasCapture || polymer.Capture != 0.9 {
		t.Errorf("%+v %+v", metal, polymer)
	}
	if len(c.Pumps) != 2 || len(c.Products) != 2 || c.Pumps[0] == nil {
		t.Errorf("%d pumps, %d products", len(c.Pumps), len(c.Products))
	}
}
