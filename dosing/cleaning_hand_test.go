package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestStagesByHand: a dose along a line of 0.2 mg/L per NTU is set anew wherever it
// has moved by a fifth, from a stock that counts what the dose does.
func TestStagesByHand(t *testing.T) {
	c := cleaned(t, func(v site.Values) {
		v["Chemicals"][0]["dose by turbidity"], v["Chemicals"][0]["straight between"] = "0 NTU=0 mg/L; 100 NTU=20 mg/L", "yes"
	})
	flow, last, stages := float64(c.Tank().Flow), -1.0, 0
	for _, s := range c.Stages {
		for _, f := range s.Feeds {
			if f.Chemical != "alum" {
				continue
			}
			d := float64(f.Dose.Concentration)
			if math.Abs(d-0.2*s.Reading) > 1e-2 || f.Dose.Basis != quantity.AsAlum14 {
				t.Errorf("at %.4g NTU %v", s.Reading, f.Dose)
			}
			if last > 0 && math.Abs(d-0.8*last) > 1e-6*last {
				t.Errorf("set from %g to %g", last, d)
			}
			last = d
			stages++
			// dose × flow ÷ (150 g/L × 48.5 %)
			if want := d * flow / (150 * 0.485) * 1000 / 60; math.Abs(float64(f.Rate)-want) > 1e-9*want || f.Setting == nil || f.Neat != "" {
				t.Errorf("%g mg/L at %v, want %g mL/min", d, f.Rate, want)
			}
			near(t, "product a day", float64(f.Product), d*flow*24/1000/0.485, 1e-9) // of 48.5 % alum
		}
	}
	// From 90 to 5 NTU by fifths: ln(5/90) / ln(0.8) = 12.95, so 12 or 13 times after the first.
	if stages < 12 || stages > 14 {
		t.Errorf("set %d times", stages)
	}
	first, end := c.Stages[slices.IndexFunc(c.Stages, func(s Stage) bool { return s.At == 0 })], c.Stages[len(c.Stages)-1]
	if test := c.Stages[0]; len(test.Before) != 1 || !strings.HasPrefix(test.Before[0].String(), "jar test") || test.At > c.MakeUps[0][0].Start-1+1e-9 { // it tells what stock to make
		t.Errorf("%+v", test)
	}
	if len(first.Before) != 2 || !strings.HasPrefix(first.Before[0].String(), "aerators on, and look at the animals") || first.Before[1].String() != "start the circulation" || math.Abs(first.Reading-90) > 1e-9 || math.Abs(end.Reading-5) > 1e-6 || !strings.HasPrefix(end.Do[0].String(), "clear: stop dosing first") ||
		!strings.Contains(end.Do[1].String(), " of alum stock is left: good until ") {
		t.Errorf("%+v … %+v", first, end)
	}
	for i := 1; i < len(c.Stages); i++ {
		if c.Stages[i].At-c.Stages[i-1].At < 1.0/120-1e-9 {
			t.Errorf("stages %v and %v apart", c.Stages[i-1].At, c.Stages[i].At)
		}
	}
}

// TestTankFromSite: new water, the day's flow, what is missing.
func TestTankFromSite(t *testing.T) {
	s := exampleSite(t, nil)
	s.Water.Exchange = quantity.Some(quantity.Fraction(0.12))
	g := Given{Catalogue: products}
	in, err := CleaningFromSite(s, g, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	k := in.Tank
	near(t, "new water, m3/h", float64(k.Exchange), 0.12*k.Volume.In("m3")/24, 1e-12)
	near(t, "its reading", k.New, float64(s.Water.Turbidity.V), 1e-12)
	near(t, "flow", float64(k.Flow), 3.6, 1e-12)
	if k.Floor != s.Solids.Outlet.V.V || k.Stop != s.Solids.TankStop.V.V || k.Start != s.Solids.TankStart.V.V || k.Removal != s.Solids.Capture.V || !k.HasAlkalinity || k.NewAlkalinity != k.Alkalinity {
		t.Errorf("%+v", k)
	}
	s.Solids.TankStart.OK = false
	in, err = CleaningFromSite(s, g, time.Time{})
	if _, ok := noted(in.Notes, "new-water-clear"); err != nil || !ok || in.Tank.Start != float64(s.Water.Turbidity.V) || in.Tank.New != in.Tank.Stop {
		t.Errorf("%v %+v", err, in.Tank)
	}
	s.Solids.Tank = quantity.Known[string]{} // then the first tank with animals
	if in, err = CleaningFromSite(s, g, time.Time{}); err != nil || in.Name != "rearing tank" {
		t.Errorf("%q %v", in.Name, err)
	}
	s.Tanks = nil
	s.Water.Turbidity.OK = false
	if _, err = CleaningFromSite(s, g, time.Time{}); len(note.Of(err, "?")) < 2 {
		t.Errorf("%v", err)
	}
}

// TestDayToldInTank: what stops the day is told of the tank once and does not stop
// it; what the run says itself is not said twice; an acceptance for the day is not idle.
func TestDayToldInTank(t *testing.T) {
	said := note.List{note.New(note.Caution, "alkalinity-low", "run"), note.New(note.Info, "accepted-unused", `"cationic-lethal" is accepted but this plan does not need it`), note.New(note.Info, "accepted-unused", `"ph-step" is accepted`)}
	got := Cleaning{CleaningInput: CleaningInput{Day: note.List{note.New(note.Stop, "cationic-lethal", "kills"), note.New(note.Caution, "alkalinity-low", "day"), note.New(note.Caution, "clear-water", "accepted by x")}}}.withDay(said)
	if len(got) != 4 || got[0].Message != "run" || got[1].Message != `"ph-step" is accepted` || got[2].Level != note.Caution || got[2].Message != "the day plan of this site is stopped: kills" || got[3].Message != "accepted by x" {
		t.Errorf("%v", got)
	}
	r := clarify.Result{Tank: clarify.Tank{Start: 90, Chemicals: make([]clarify.Chemical, 2)}, Moments: []clarify.Moment{{Reading: 90, Doses: []quantity.Concentration{3, 1}}, {Reading: 40, Doses: []quantity.Concentration{5, 1}}, {Reading: 10, Doses: []quantity.Concentration{4, 0}}}}
	if highest(r, 0) != 5 || highest(r, 1) != 1 {
		t.Errorf("highest %v %v", highest(r, 0), highest(r, 1))
	}
	alum, polymer := product.Product{Group: product.AluminiumSalt}, product.Product{Group: product.Polymer}
	if v := lowestDosed(r, []product.Product{alum, polymer}); v != 40 {
		t.Errorf("polymer goes into %g NTU", v)
	}
	if v := lowestDosed(r, []product.Product{alum, alum}); v != 90 {
		t.Errorf("no polymer: %g", v)
	}
}

// TestNamedInANote: a note of the run is about the chemical whose name it begins with, the longest where one name begins
// another, else about all of them.
func TestNamedInANote(t *testing.T) {
	in := CleaningInput{Tank: clarify.Tank{Chemicals: []clarify.Chemical{{Name: "polyaluminium"}, {Name: "alum"}, {Name: "alum B"}, {Name: "salt"}}}}
	const all = "polyaluminium, alum, alum B, salt"
	for message, want := range map[string]string{"alum is used up": "alum", "alum B is used up": "alum B", "salt is used up": "salt", "alumina is used up": all, "": all} {
		if got := in.about(note.New(note.Info, "x", "%s", message)); got != want {
			t.Errorf("%q is about %q, want %q", message, got, want)
		}
	}
}

// TestCleanedByHand: what is fed by hand before a unit is dripped in there, not spread; what of a run of 17.5 h from 6 o'clock lies behind 18 o'clock
// nobody feeds; and no pumps are to be stopped where there are none.
func TestCleanedByHand(t *testing.T) {
	const clears = `, tank_turbidity: "120 mg/L", clear_enough_at: "40 mg/L"`
	const accepted = `accepted: [{code: "loop-alkalinity-gone", accepted_by: "A. Keeper", reason: "alkali by hand"}]
animals: [`
	for _, staffed := range []string{"18:00", "24:00"} {
		s, g := heldLoop(t, "%SOLIDS", clears, "%DOSE", `dose: "3 mg/L"`, "animals: [", accepted, `water_passes: "recirculating"`, `water_passes: "batch", staffed_from: "06:00", staffed_till: "`+staffed+`"`)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		said := map[string]note.Note{}
		for _, n := range c.Notes {
			said[n.Code] = n
		}
		if n := said["fed-in-slugs"]; !strings.Contains(n.Message, "in the water that passes") || !strings.Contains(n.Remedy, "drip in all the time") || strings.Contains(n.String(), "pond") {
			t.Errorf("%s %s", n, n.Remedy)
		}
		hours := 60 / (12 * 0.6) * math.Log((120-5e6/0.6/288000)/(40-5e6/0.6/288000))
		near(t, "it takes", float64(c.Time), hours, 1e-3)
		n, alone := said["hand-unstaffed"]
		if alone != (staffed == "18:00") || alone && !strings.Contains(n.Message, "in 5.5") {
			t.Errorf("till %s: %q, want %.3g h of it", staffed, n.Message, hours-12)
		}
		if n, ok := said["stop-unstaffed"]; ok {
			t.Errorf("without pumps: %s", n)
		}
	}
}
