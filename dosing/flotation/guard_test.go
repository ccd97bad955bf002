package flotation

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestSentences: what is said of each guide, in whole sentences, with three digits. By hand, of 0.7213 m2 and 0.9012 m, 0.3617 m3/h of
// white water, 11.234 m3/h at most:
//
//	loading (11.234 + 0.3617)/0.7213 = 16.076 m/h; 15 is reached at 15 x 0.7213 - 0.3617 = 10.458 m3/h
//	time 0.7213 x 0.9012/11.5957 = 0.05606 h = 3.3635 min; 5 min are reached at 0.65004 x 12 - 0.3617 = 7.4388 m3/h
//	contact 31.23 L: 0.03123/11.5957 h = 0.16159 min = 9.6957 s;
//	43.89 s at 2.2 + 0.3617 = 2.5617 m3/h; a minute at 0.03123 x 60 - 0.3617 = 1.5121 m3/h
//	solids of 9 g/L: 11.234 x 9/0.7213 = 140.17 kg/(m2 h), of 2.2 m3/h 27.45; 12 at 12 x 0.7213/9 = 0.96173 m3/h
func TestSentences(t *testing.T) {
	u := Unit{Area: quantity.Some(quantity.Area(0.7213)), Depth: quantity.Some(quantity.Length(0.9012)),
		White:   quantity.Some(quantity.Flow(0.3617)),
		Contact: quantity.Some(quantity.Volume(31.23)), Water: Water{Temperature: 9}, Set: 3.6}
	got := map[string]note.Note{}
	for _, n := range u.Faults(Flows{2.2, 2.2, 11.234}, 9000) {
		got[n.Code] = n
	}
	for code, want := range map[string][2]string{
		"loading-high": {"surface loading is 16.1 m/h at the peak flow of 11.2 m3/h; at most 15 m/h is usual: flocs may be carried under; " +
			"time in the unit is 3.36 min at the peak flow of 11.2 m3/h; at least 5 min is usual: floc leaves before it has risen",
			"hold the flow to 10.5 m3/h at most, or see to more surface; hold the flow to 7.44 m3/h at most, or see to a deeper or larger unit"},
		"contact-short": {"time in the contact zone is 43.9 s at the least flow of 2.2 m3/h and 9.7 s at the peak flow of 11.2 m3/h; " +
			"at least 1 min is usual: floc and bubbles have little time to meet",
			"hold the flow to 1.51 m3/h at most, or see to a larger contact zone"},
		"solids-high": {"solids loading is 27.5 kg/m2/h at the least flow of 2.2 m3/h and 140 kg/m2/h at the peak flow of 11.2 m3/h; " +
			"at most 12 kg/m2/h is usual: the float grows faster than it thickens",
			"hold the flow to 0.962 m3/h at most, or see to more surface"},
	} {
		if n := got[code]; n.Message != want[0] || n.Remedy != want[1] {
			t.Errorf("%s:\n%s; %s\nwant\n%s; %s", code, n.Message, n.Remedy, want[0], want[1])
		}
	}
	slow := u
	slow.Area.V = 5 // wide enough, and still passed in less than 5 min at 0.1 m deep: 5 x 0.1/(11.234 + 0.3617) h = 2.59 min
	slow.Depth.V, slow.Contact.OK = 0.1, false
	if alone := slow.Faults(Flows{2.2, 2.2, 11.234}, 50); len(alone) != 1 || alone[0].Code != "stay-short" {
		t.Errorf("time alone: %v", alone)
	}
	if len(got) != 3 { // loading and time tell of one danger
		t.Errorf("%v", got)
	}
}

// TestSentencesOfAir: of 0.36 m3/h of white water r(full - deep) - (deep - open) is to be 6 mg/L; by [TestWindow] that ends at
// 0.36 (full - deep)/(6 + deep - open), 3.51 m3/h, worked out here again from what the water holds. Too little pressure names the usual one.
func TestSentencesOfAir(t *testing.T) {
	u := hatchery()
	u.Area.OK = false
	full, deep, open := 0.7*float64(u.Water.Holds(551.325)), float64(u.Water.Holds(101.325+9.79*0.9)), float64(u.Water.Holds(101.325))
	end := quantity.Flow(0.36 * (full - deep) / (6 + deep - open))
	n := u.Faults(Flows{4.2, 4.2, 4.2}, 50)[0]
	if want := "hold the flow to " + quantity.To(end,
		3).String() + " at most with 0.36 m3/h of white water as now, or see to more white water or a higher pressure"; n.Remedy != want {
		t.Errorf("%q, want %q", n.Remedy, want)
	}
	u.Pressure.V = 20
	if n = u.Faults(Flows{3.6, 3.6, 3.6}, 50)[0]; n.Code != "no-air" || n.Remedy != "raise the pressure: 350 to 620 kPa is usual" {
		t.Errorf("%+v", n)
	}
	for source, want := range map[Source]string{AirPump: "let it draw more air", Venturi: ""} {
		said := ""
		for _, n := range (Unit{Source: source, Drawn: quantity.Some(quantity.Flow(0.001))}).Faults(Flows{2, 2, 2}, 50) {
			if n.Code == "air-short" {
				said = n.Remedy
			}
		}
		if said != want {
			t.Errorf("%v: %q", source, said)
		}
	}
}

// TestSentencesOfTheLevel: a weir of 0.5 m set at 3.6 m3/h with 10 mm of reach, see [TestLevelWindow]: good from 0.04525 to 9.77 m3/h. At
// 12 m3/h the head is (12/3600/(1.84 x 0.5))^(2/3) = 23.59 mm against 10.57 at 3.6: 13.0 higher; at 0.02 m3/h 0.332 mm, 10.2 lower.
func TestSentencesOfTheLevel(t *testing.T) {
	u := Unit{Weir: quantity.Some(quantity.Length(0.5)), Reach: quantity.Some(quantity.Length(0.01)), Set: 3.6}
	got := u.Faults(Flows{0.02, 0.02, 12}, 50)
	for i, want := range [][2]string{
		{"rise of the level is 13 mm at the peak flow of 12 m3/h; at most 10 mm is usual: the skimmer drowns and carries water over",
			"hold the flow to 9.77 m3/h at most, or see to a longer weir"},
		{"rise of the level is -10.2 mm at the least flow of 0.02 m3/h; at least -10 mm is usual: the skimmer misses the float",
			"keep the flow at 0.0453 m3/h or more, or see to a longer weir"},
	} {
		if len(got) != 2 || got[i].Message != want[0] || got[i].Remedy != want[1] {
			t.Fatalf("%v; want %v", got, want)
		}
	}
	// no flow mends what fails at a thousandth and at a thousand times the flow alike
	u.Reach.V, u.Set = 0.0000001, 1e9
	for _, n := range u.Faults(Flows{3.6, 3.6, 3.6}, 50) {
		if n.Remedy != "see to a longer weir: no flow mends it" {
			t.Errorf("%+v", n)
		}
	}
}

// TestTold: any one thing that a guide is held to is enough; the white water alone is not.
func TestTold(t *testing.T) {
	air := hatchery()
	air.Area.OK = false
	for what, x := range map[string]struct {
		u    Unit
		told bool
	}{
		"nothing": {Unit{}, false}, "a surface": {Unit{Area: quantity.Some(quantity.Area(1))}, true},
		"a contact zone": {Unit{Contact: quantity.Some(quantity.Volume(9))}, true},
		"a weir":         {Unit{Weir: quantity.Some(quantity.Length(1))}, true}, "air": {air, true},
		"white water": {Unit{White: quantity.Some(quantity.Flow(1))}, false},
	} {
		if got := x.u.Told(); got != x.told {
			t.Errorf("%s: %v", what, got)
		}
	}
	if s, ok := SourceNamed("bellows"); ok || s != 0 {
		t.Errorf("bellows are %v", s)
	}
}

// TestAirOnLittleSolids: 8 mg/L of drawn air on half a mg/L of solids is 16 to 1; on none there is no such ratio. 1.204 g/L x 10 L/h in 1
// m3/h at one atmosphere is 12.04 mg/L.
func TestAirOnLittleSolids(t *testing.T) {
	u := Unit{Source: AirPump, Drawn: quantity.Some(quantity.Flow(0.01))}
	s := u.At(1, 0.5)
	near(t, "free", float64(s.Free.V), 12.04, 1e-9)
	near(t, "on solids", float64(s.AirToSolids.V), 24.08, 1e-9)
	if s = u.At(1, 0); s.AirToSolids.OK || math.Abs(float64(s.Needed)-6) > 1e-12 {
		t.Errorf("%+v", s)
	}
	// a window takes the nearest end of each side and tells whether they cross
	w := Unit{Weir: quantity.Some(quantity.Length(0.5)), Reach: quantity.Some(quantity.Length(0.01)), Set: 3.6,
		Contact: quantity.Some(quantity.Volume(0.5))}.Window(3.6, 50)
	near(t, "a minute of half a litre", float64(w.High.V), 0.03, 1e-9)
	near(t, "the level", float64(w.Low.V), 0.0452, 1e-4)
	if !w.Shut {
		t.Errorf("%+v", w)
	}
}

// TestDeepUnit: the ordinary works unit of 2.5 m, 12 C, 90 %, is not charged for its whole depth. By hand, with what fresh
// water holds at 12 C by Weiss 1970 (28.78 mg/L of open water, 2.81 more a metre): 10 % at 400 kPa,
// 0.1 x (0.9 x 143.7 - 28.8) = 10.1 where none is taken up, 0.1 x (129.9 - 31.6) - 2.81 = 7.0 to a metre, 2.3 to 2.5 m.
// Such settings work (flotation at 6 to 12 % and 400 to 600 kPa, packed, Voutchkov 2017 p. 145; 2 to 3 m deep, the same).
func TestDeepUnit(t *testing.T) {
	for _, x := range []struct {
		recycle, kPa, dissolved, free, least float64
		code                                 string
	}{
		{0.08, 400, 8.09, 5.03, 0.45, "air-short-about"}, {0.08, 500, 10.16, 7.11, 2.53, ""}, {0.10, 400, 10.11, 7.00, 2.33, ""},
		{0.10, 500, 12.71, 9.60, 4.93, ""}, {0.12, 400, 12.13, 8.96, 4.21, ""}, {0.12, 500, 15.25, 12.08, 7.33, ""},
		{0.082, 400, 8.29, 5.23, 0.64, "air-short-about"},
	} {
		u := Unit{Depth: quantity.Some(quantity.Length(2.5)), White: quantity.Some(quantity.Flow(10 * x.recycle)),
			Pressure: quantity.Some(quantity.Pressure(x.kPa)), Efficiency: quantity.Some(quantity.Fraction(0.9)), Water: Water{Temperature: 12}}
		s := u.At(10, 45)
		near(t, "dissolved", float64(s.Dissolved.V), x.dissolved, 0.006)
		near(t, "free", float64(s.Free.V), x.free, 0.006)
		near(t, "at least", float64(s.FreeAtLeast.V), x.least, 0.01)
		code := ""
		for _, n := range u.Faults(Flows{10, 10, 10}, 45) {
			code += n.Code
		}
		if code != x.code {
			t.Errorf("%g at %g kPa: %q, want %q", x.recycle, x.kPa, code, x.code)
		}
	}
}

// TestNearlyEnoughAir: 5.72 mg/L against 6 is 5 % short, nearer than the saturator's efficiency is known: told as a note, at
// every flow of the day at which it is, and no caution.
func TestNearlyEnoughAir(t *testing.T) {
	u := hatchery()
	u.Area.OK = false
	got := u.Faults(Flows{2, 3.6, 3.7}, 50)
	if len(got) != 1 || got[0].Level != note.Info || got[0].Code != "air-short-about" ||
		!strings.HasSuffix(got[0].Message, "at the peak flow of 3.7 m3/h; at least 6 mg/L is usual, and both figures are good to 20 %") {
		t.Errorf("%v", got)
	}
}
