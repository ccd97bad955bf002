package flotation

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// farm is a small unit of 1.2 m2 and 0.8 m, 0.72 m3/h of white water at 4 bar and 70 %, 24 C, S 20.
func farm() Unit {
	return Unit{Area: quantity.Some(quantity.Area(1.2)), Depth: quantity.Some(quantity.Length(0.8)), White: quantity.Some(quantity.Flow(0.72)),
		Contact: quantity.Some(quantity.Volume(150)), Pressure: quantity.Some(quantity.Pressure(400)), Efficiency: quantity.Some(quantity.Fraction(0.7)),
		Water: Water{Temperature: 24, Salinity: 20}, Set: 6}
}

// TestFaultsNameEveryFlow: the air of the farm by hand (TestWorkedFarm) is 4.38 mg/L at 6 m3/h and ends
// at 0.72 x 42.7/(6 + 0.5) = 4.7, where it is the 6 that the sentence asks for, so the average lies outside as well as the peak; the contact zone, 0.15 m3 in a minute, 9 - 0.72
// = 8.28 m3/h, is short at the peak of 9 alone: 0.15 x 3600/9.72 = 55.6 s.
func TestFaultsNameEveryFlow(t *testing.T) {
	got := farm().Faults(Flows{3, 6, 9}, 45)
	for i, want := range []string{
		"air set free is 4.38 mg/L at the average flow of 6 m3/h and 2.38 mg/L at the peak flow of 9 m3/h; " +
			"at least 6 mg/L is usual: part of the floc may not rise",
		"time in the contact zone is 55.6 s at the peak flow of 9 m3/h; at least 1 min is usual: floc and bubbles have little time to meet",
	} {
		if len(got) != 2 || got[i].Message != want {
			t.Fatalf("%v\nwant %s", got, want)
		}
	}
	if !strings.HasPrefix(got[0].Remedy, "hold the flow to 4.72 m3/h at most with 0.72 m3/h") {
		t.Errorf("%s", got[0].Remedy)
	}
	// the flow that is named, to the digits it is named in, keeps the guide that is named, and ends the flows the unit is good for
	near(t, "air at the flow named", float64(farm().At(4.72, 45).Free.V), 6, 0.02)
	near(t, "end of the window", float64(farm().Window(6, 45).High.V), 4.72, 0.005)
	// an average that is the least is told once
	if got = farm().Faults(Flows{6, 6, 9}, 45); !strings.HasPrefix(got[0].Message, "air set free is 4.38 mg/L at the least flow of 6 m3/h and 2.38") {
		t.Errorf("%v", got)
	}
}

// TestTooMuchDrawnAir: 20 L/min is 1.2 m3/h of air, 1.204 x 1200/6 = 240.8 g in a cubic metre at 6 m3/h, 482 at 3 m3/h: more than
// ten times the 6 that is needed. A pump's is judged, and needs 1.204 x 1200/60 = 24.08 m3/h or less air; a stirrer's is told in
// one caution and sets nothing free.
func TestTooMuchDrawnAir(t *testing.T) {
	u := farm()
	u.Drawn, u.Source = quantity.Some(quantity.Flow(1.2)), AirPump
	got := u.Faults(Flows{3, 6, 6}, 45)
	want := "air set free is 482 mg/L at the least flow of 3 m3/h and 241 mg/L at the peak flow of 6 m3/h; " +
		"at most 60 mg/L is usual: so much air can tear floc apart"
	if len(got) != 1 || got[0].Message != want || got[0].Remedy != "keep the flow at 24.1 m3/h or more, or see to less air drawn" {
		t.Errorf("%v", got)
	}
	u.Drawn.V = 0.12 // 2 L/min: 24 g/m3 at 6 m3/h, an ordinary pump
	if got = u.Faults(Flows{3, 6, 6}, 45); len(got) != 0 {
		t.Errorf("an ordinary pump: %v", got)
	}
	for _, x := range []struct {
		drawn quantity.Flow
		says  string
	}{{1.2, "so its air is not judged, and 482 mg/L of it can tear floc apart"}, {0.12, "so its air is not judged"}} {
		u.Source, u.Drawn.V = Stirred, x.drawn
		if got = u.Faults(Flows{3, 6, 6}, 45); len(got) != 1 || !strings.HasSuffix(got[0].Message, x.says) {
			t.Errorf("%v, want %s", got, x.says)
		}
	}
	if s := u.At(6, 45); s.Free.OK || s.AirToSolids.OK || !s.Drawn.OK {
		t.Errorf("%+v", s)
	}
	// the window of a pump is ended below by its air, above by none of it
	u.Source, u.Drawn.V = AirPump, 0.12
	near(t, "low", float64(u.Window(6, 45).Low.V), 1.204*120/60, 1e-9)
	u.Drawn = quantity.Known[quantity.Flow]{}
	if w := u.Window(6, 45); w.Low.OK {
		t.Errorf("%+v", w)
	}
	if u.Source = Saturator; u.Window(6, 45).Low.OK { // its white water is a part of the flow, not drawn air
		t.Error("a saturator's air is held to too much")
	}
}

// TestUnjudged: what no guide is held to, and what is wanting for it.
func TestUnjudged(t *testing.T) {
	stirred := farm()
	stirred.Source, stirred.Drawn = Stirred, quantity.Some(quantity.Flow(1))
	weir := farm()
	weir.Weir = quantity.Some(quantity.Length(1))
	for what, x := range map[string]struct {
		u    Unit
		want []string
	}{
		"the farm": {farm(), nil},
		"a surface": {Unit{Area: quantity.Some(quantity.Area(1))}, []string{"time in the unit: water depth", "time in the contact zone: contact zone",
			"air set free: white water, saturator pressure, saturator efficiency"}},
		"a weir":    {weir, []string{"rise of the level: level may move"}},
		"a stirrer": {stirred, []string{"air set free: "}},
		"nothing": {Unit{Source: AirPump}, []string{"surface loading: surface", "time in the unit: surface, water depth",
			"time in the contact zone: contact zone", "air set free: air drawn"}},
	} {
		var got []string
		for _, y := range x.u.Unjudged() {
			got = append(got, y.Name+": "+strings.Join(y.Lacks, ", "))
		}
		if !slices.Equal(got, x.want) {
			t.Errorf("%s: %q", what, got)
		}
	}
}
