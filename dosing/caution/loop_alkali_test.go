package caution

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// softHall is a trout hall of 120 m3 that sends 10 m3/h round all day, with 15 % of new
// water a day of alkalinity 24, dosed with 3 mg/L of polyaluminium chloride.
func softHall(t testing.TB) Situation {
	d := dose(t, "pacl-18", 3, quantity.AsProduct)
	d.Capture = quantity.Some(quantity.Fraction(0.85))
	w := with(beck(), func(w *Water) {
		w.Temperature, w.PH, w.Alkalinity = quantity.Some(quantity.Temperature(14)), quantity.Some(quantity.PH(7.2)), quantity.Some(quantity.Alkalinity(24))
		w.Ammonia = quantity.Some(quantity.Concentration(0.3))
		w.NewAlkalinity = true
		w.ResidualAl = quantity.Known[quantity.Concentration]{}
	})
	return Situation{Purpose: Animals, Water: w, Doses: []Dose{d}, Stock: stock(t, "trout"),
		Flow: quantity.Some(quantity.Flow(10)), Hours: 24, Loop: &Loop{Volume: 120000, Exchange: quantity.Some(quantity.Flow(18.0 / 24))}}
}

// products are those of the catalogue by which an alkali is dosed.
var products = map[string]string{"naoh": "caustic-50", "caoh2": "lime", "na2co3": "soda-ash", "nahco3": "bicarbonate",
	"h2so4": "sulfuric-acid", "hcl": "hydrochloric-acid",
	"koh": "koh-45", "khco3": "khco3", "caco3": "ag-lime", "dolomite": "dolomite"}

// obeyed gives the situation with an alkali dosed as advised.
func obeyed(t testing.TB, s Situation, o Option) Situation {
	d := dose(t, products[o.Alkali.ID], float64(o.Pure), o.Alkali.Basis)
	s.Doses = append(append([]Dose{}, s.Doses...), d)
	return s
}

// TestAlkaliOfALoopIsWorkedOutOverDays: to hold 50 where 24 comes in, 15 % of new water takes
// 0.15 x (50 - 24) = 3.9 mg/L a day, 0.3 mg/L of ammonia 2 x 50.04/14.007 x 0.3 = 2.14 and the
// coagulant what two passes a day use. In 120 m3 that is fed in 240 m3, half of it to a pass.
func TestAlkaliOfALoopIsWorkedOutOverDays(t *testing.T) {
	s := softHall(t)
	f := Review(s)
	day := 3.9 + 2*50.0436/14.007*0.3 + 2*float64(f.Water.AlkalinityUsed)
	var seen int
	for _, o := range f.Alkalis {
		if got, want := float64(o.Pure)*o.Alkali.PerMg, day/2; math.Abs(got/want-1) > 0.01 {
			t.Errorf("%s gives %.4g mg/L CaCO3 at a pass, want %.4g", o.Alkali.Name, got, want)
		}
		if o.Alkali.ID == "nahco3" { // 84.006/50.0436 of it, 99 % pure, in 240 m3
			if want := day / 2 * 84.006 / 50.0436 / 0.99 * 240 / 1000; math.Abs(float64(o.PerDay.V)/want-1) > 0.01 || math.Abs(want-1.6) > 0.05 {
				t.Errorf("%v of bicarbonate a day, want %.4g", o.PerDay.V, want)
			}
			seen++
		}
	}
	if seen != 1 {
		t.Fatalf("bicarbonate is advised %d times in %v", seen, f.Alkalis)
	}
}

// TestMeasuredLoopHoldsItsNitrification: an alkalinity of 24 read in the running hall is where new water
// and nitrification meet, so to bring it to 50 takes 0.15 x 26 = 3.9 mg/L a day and what the two passes
// use, and nitrification nothing; undosed it would stay at 24.
func TestMeasuredLoopHoldsItsNitrification(t *testing.T) {
	s := softHall(t)
	s.Water.NewAlkalinity = false
	f := Review(s)
	used := float64(f.Water.AlkalinityUsed)
	for _, o := range f.Alkalis {
		if got, want := float64(o.Pure)*o.Alkali.PerMg, (3.9+2*used)/2; math.Abs(got/want-1) > 0.01 {
			t.Errorf("%s gives %.4g mg/L CaCO3 at a pass, want %.4g", o.Alkali.Name, got, want)
		}
	}
	says(t, f, "loop-nitrifies", "which an alkalinity measured in the running loop holds already")
	// settles where 0.15 x (24 - A) is what two passes use
	if l, ok := (&reviewer{s: s, out: f}).alkalinityLoop(); !ok {
		t.Error("no loop")
	} else if level, _ := l.Settles(); math.Abs(float64(level)-(24-2*used/0.15)) > 0.02*2*used/0.15 {
		t.Errorf("it settles at %v, want %.4g", level, 24-2*used/0.15)
	}
	if got := codes(f.All()); got["loop-nitrification"] != 0 {
		t.Error("nitrification is counted of a measured loop")
	}
}

// TestAlkaliThatPilesUpInALoopIsSaid: 45.7 mg/L of bicarbonate as sold at two passes a day brings the
// hall by 0.99 x 45.7 x 50.0436/84.006 = 27 less 0.95 at a pass to 24 + (2 x 26 - 2.14)/0.15 = 357;
// a fifth of it only to 80, which is no trouble.
func TestAlkaliThatPilesUpInALoopIsSaid(t *testing.T) {
	s := softHall(t)
	s.Doses = append(s.Doses, dose(t, "bicarbonate", 45.7*0.99, quantity.AsNaHCO3))
	says(t, Review(s), "loop-alkalinity-high", "from 24 to 357 mg/L CaCO3 in the long run")
	s.Doses[1] = dose(t, "bicarbonate", 9, quantity.AsNaHCO3)
	if got := codes(Review(s).All()); got["loop-alkalinity-high"] != 0 || got["loop-ph-high"] != 0 {
		t.Errorf("a little bicarbonate is cautioned: %v", got)
	}
	// with its carbon dioxide as it is, 33,400 mg/L are two thirds carbonate at pH 10
	s.Doses[1] = dose(t, "caustic-50", 2000, quantity.AsNaOH)
	says(t, Review(s), "loop-ph-high", "the alkali brings the loop to pH 10")
}

// TestOneFloorForALoop: what a loop is told to hold is the higher of what the site asks for and what its
// trout should have, 50, in the caution as in the table. 26 mg/L at each of two passes hold 357; 100 take
// (0.15 x (100 - 24) + 2.14) / 2 = 6.77, 19.2 less, in 240 m3 4.62 kg/d; 50 take (0.15 x 26 + 2.14) / 2 =
// 3.02, 23.0 less or 5.52 kg/d.
func TestOneFloorForALoop(t *testing.T) {
	for _, x := range []struct {
		asks             quantity.Known[quantity.Alkalinity]
		less, feed, goal string
	}{
		{quantity.Known[quantity.Alkalinity]{}, "which holds the 50 mg/L CaCO3 that trout should have", "as CaCO3, or", "alkalinity 50 mg/L CaCO3 in the loop"},
		{quantity.Some[quantity.Alkalinity](30), "which holds the 50 mg/L CaCO3 that trout should have", "as CaCO3, or",
			"alkalinity 50 mg/L CaCO3 that trout should have in the loop"},
		{quantity.Some[quantity.Alkalinity](100), "which holds the 100 mg/L CaCO3 that the site asks for", "as CaCO3, for the 100 mg/L CaCO3 that the site asks for, or",
			"alkalinity 100 mg/L CaCO3 in the loop"},
	} {
		s := softHall(t)
		s.Water.Floor = x.asks
		s.Water.Alkalinity = quantity.Some[quantity.Alkalinity](52) // falls below 50
		f := Review(s)
		advises(t, f, "loop-alkalinity-low", x.feed)
		if len(f.Alkalis) == 0 || f.Alkalis[0].Goal.String() != x.goal {
			t.Errorf("%v: %v", x.asks, f.Alkalis)
		}
		s.Water.Alkalinity = quantity.Some[quantity.Alkalinity](24)
		s.Doses = append(s.Doses, dose(t, "bicarbonate", 45.7*0.99, quantity.AsNaHCO3))
		less := map[bool]string{true: "feed 4.62 kg/d less", false: "feed 5.52 kg/d less"}[x.asks.V == 100]
		advises(t, Review(s), "loop-alkalinity-high", less)
		advises(t, Review(s), "loop-alkalinity-high", x.less)
	}
}

// advises expects a note of that code whose remedy holds the text.
func advises(t *testing.T, f Findings, code, text string) {
	t.Helper()
	for _, n := range f.All() {
		if n.Code == code && strings.Contains(n.Remedy, text) {
			return
		}
	}
	t.Errorf("no %s with %q: %v", code, text, f.All().Only(note.Caution))
}

// TestObeyedAdviceStopsNothing: whatever alkali a plan advises without a stop of its own, the
// plan with it has no stop that it had not before, and asks for no more alkali in a loop.
func TestObeyedAdviceStopsNothing(t *testing.T) {
	base, advised := softHall(t), 0
	rapid.Check(t, func(r *rapid.T) {
		s := base
		s.Water.Alkalinity.V = quantity.Alkalinity(rapid.Float64Range(21, 90).Draw(r, "alkalinity"))
		s.Water.PH.V = quantity.PH(rapid.Float64Range(6.8, 7.8).Draw(r, "pH"))
		s.Hours = quantity.Time(rapid.IntRange(4, 24).Draw(r, "hours"))
		s.Doses = []Dose{dose(t, "pacl-18", rapid.Float64Range(1, 30).Draw(r, "dose"), quantity.AsProduct)}
		s.Doses[0].Capture = base.Doses[0].Capture
		if rapid.Bool().Draw(r, "hold") {
			s.Water.Hold = quantity.Some(quantity.PH(rapid.Float64Range(7, 7.8).Draw(r, "held")))
		}
		loop := *base.Loop
		loop.Exchange.V = quantity.Flow(rapid.IntRange(0, 30).Draw(r, "new water")) / 10
		s.Loop = &loop
		if rapid.IntRange(0, 3).Draw(r, "once") == 0 {
			s.Loop = nil
		}
		before := Review(s)
		stops := codes(before.All().Only(note.Stop))
		if n, ok := stops["alkalinity-gone"]; ok { // what one pass had taken is not said again of the loop
			stops["loop-alkalinity-gone"] = n
		}
		for _, o := range before.Alkalis {
			step := o.Alkali.ID == "co2" || strings.HasSuffix(o.Goal.String(), "after the acid") // a gas, and the second half of a pair
			if o.Cannot || o.Level >= note.Stop || step {
				continue
			}
			advised++
			after := Review(obeyed(t, s, o))
			for code := range codes(after.All().Only(note.Stop)) {
				if _, had := stops[code]; !had {
					r.Fatalf("%v of %s for %v is advised and then stopped by %s", o.Pure, o.Alkali.Name, o.Goal, code)
				}
			}
			for _, more := range after.Alkalis {
				if s.Loop != nil && more.Goal.String() == o.Goal.String() {
					r.Fatalf("%v of %s for %v is fed, and %v more is asked for", o.Pure, o.Alkali.Name, o.Goal, more.Pure)
				}
			}
		}
	})
	if advised == 0 {
		t.Error("nothing was advised")
	}
}

// TestAlkaliHoldsALoopBetweenRuns: a hall whose unit runs 8 h a day loses alkalinity to its bacteria and its new water all day long: what is
// advised to hold 50 mg/L leaves 50 when the unit starts again, and more when it stops.
func TestAlkaliHoldsALoopBetweenRuns(t *testing.T) {
	s := softHall(t)
	s.Hours = 8
	seen := false
	for _, o := range Review(s).Alkalis {
		if o.Alkali.ID != "nahco3" {
			continue
		}
		seen = true
		with := obeyed(t, s, o)
		l, ok := (&reviewer{s: with, out: Review(with)}).alkalinityLoop()
		if !ok {
			t.Fatal("no loop")
		}
		stops, _ := l.Settles()
		if starts := l.Rested(stops); math.Abs(float64(starts)-50) > 0.2 || stops < starts+1 {
			t.Errorf("%v of bicarbonate: %v when the unit stops, %v when it starts", o.Pure, stops, starts)
		}
	}
	if !seen {
		t.Error("no bicarbonate is advised")
	}
}
