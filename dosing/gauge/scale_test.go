package gauge

import (
	"math"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"

	"pgregory.net/rapid"
)

func reads(t *testing.T, s Scale, shows float64) float64 {
	t.Helper()
	v, err := s.Reading(shows)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestChartOfTube: the classes of the chart (Utah State University extension, Utah Water Watch: 7.5 cm 185 NTU, 20 cm 40, 30 cm 24, 52.5 cm 10) in
// their middles, and all of it beside the formula NTU = (244.13/cm)^1.5106 of the kaolin tube (Myre and Shaw 2006, second-hand).
func TestChartOfTube(t *testing.T) {
	s := ChartOfTube()
	for shows, want := range map[float64]float64{7.5: 185, 20: 40, 30: 24, 52.5: 10, 6.3: 240, 60: 8} {
		if got := reads(t, s, shows); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g cm is %g NTU, want %g", shows, got, want)
		}
	}
	for cm := 6.7; cm < 58; cm += 0.1 {
		got, formula := reads(t, s, cm), math.Pow(244.13/cm, 1.5106)
		if math.Abs(got/formula-1) > 0.15 {
			t.Errorf("%g cm is %g NTU, %g by the formula", cm, got, formula)
		}
		if back, ok := s.Shows(got); !ok || math.Abs(back-cm) > 1e-9*cm {
			t.Errorf("%g NTU is shown at %g cm, want %g", got, back, cm)
		}
	}
}

// TestEndsOfTheTube: off its top water is clearer than it tells, and near its bottom muddier.
func TestEndsOfTheTube(t *testing.T) {
	for _, shows := range []float64{0, 6.2, 60.1, 120} {
		if v, err := ChartOfTube().Reading(shows); err == nil || note.Of(err, "?")[0].Code != "tube-end" {
			t.Errorf("%g cm: %g, %v", shows, v, err)
		}
	}
	if _, ok := ChartOfTube().Shows(5); ok {
		t.Error("the tube shows 5 NTU")
	}
}

// TestPairsByHand: between two pairs of a cone the line is straight, 12 mL/L of 10 to 20 between 150 and 260 mg/L is 172; one pair goes
// through nothing in no water, 12 mL/L is 12/10 of 150. A tube's line is straight between logarithms: half way between ln 20 and ln 30, at
// √600 = 24.49 cm, √(45 × 25) = 33.54 NTU; one pair of its own moves the chart's power law to it.
func TestPairsByHand(t *testing.T) {
	for _, x := range []struct {
		parse       func(string) (Scale, error)
		text        string
		shows, want float64
	}{
		{ParseCone, "10 mL/L=150 mg/L; 20 mL/L=260 mg/L", 12, 172},
		{ParseCone, "20 mL/L=260 mg/L, 10 mL/L=150 mg/L, 40 mL/L=400 mg/L", 30, 330},
		{ParseCone, "10 mL/L=0.15 g/L", 12, 180},
		{ParseTube, "20 cm=45 NTU; 30 cm=25 NTU", math.Sqrt(600), math.Sqrt(45 * 25)},
		{ParseTube, "200 mm=45 NTU", 40, 45 / math.Pow(2, 1.5106)},
	} {
		s, err := x.parse(x.text)
		if err != nil {
			t.Fatal(err)
		}
		got := reads(t, s, x.shows)
		if back, ok := s.Shows(got); math.Abs(got-x.want) > 1e-9 || !ok || math.Abs(back-x.shows) > 1e-9 {
			t.Errorf("%s: %g is %g, want %g, and back %g", x.text, x.shows, got, x.want, back)
		}
	}
	s, _ := ParseCone("10 mL/L=150 mg/L; 20 mL/L=260 mg/L")
	for shows, want := range map[float64]float64{10: 11, 12: 11, 20: 11} {
		if got := s.Slope(shows); math.Abs(got-want) > 1e-6 {
			t.Errorf("slope at %g is %g", shows, got)
		}
	}
	for _, shows := range []float64{9.9, 20.1} {
		if _, err := s.Reading(shows); err == nil || note.Of(err, "?")[0].Code != "gauge-range" {
			t.Errorf("%g: %v", shows, err)
		}
	}
}

// TestThereAndBack: whatever pairs there are, what a gauge shows of a reading is what it was read from.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Scale{Key: Cone, Reads: jartest.TSS}
		tube := rapid.Bool().Draw(t, "tube")
		if tube {
			s = Scale{Key: Tube, Reads: jartest.Turbidity}
		}
		shows, reading := 0.0, 1000.0
		for range rapid.IntRange(2, 6).Draw(t, "pairs") {
			shows += rapid.Float64Range(0.5, 10).Draw(t, "shows")
			reading *= rapid.Float64Range(0.3, 0.95).Draw(t, "falls")
			p := Pair{shows, reading}
			if !tube {
				p.Reading = 1000 / reading
			}
			s.Pairs = append(s.Pairs, p)
		}
		s, err := s.whole()
		if err != nil {
			t.Fatal(err)
		}
		x := rapid.Float64Range(s.Pairs[0].Shows, shows).Draw(t, "x")
		v, err := s.Reading(x)
		back, ok := s.Shows(v)
		if err != nil || !ok || math.Abs(back-x) > 1e-6*x {
			t.Fatalf("%g is %g, and back %g: %v %v", x, v, back, ok, err)
		}
	})
}

// TestPairsThatAreNone: each is refused, with how to write it or what to mend.
func TestPairsThatAreNone(t *testing.T) {
	for _, x := range []struct {
		parse func(string) (Scale, error)
		text  string
	}{
		{ParseCone, ""}, {ParseCone, "10 mL/L"}, {ParseCone, "10=150"}, {ParseCone, "150 mg/L=10 mL/L"}, {ParseCone, "10 mL/L=150 NTU"},
		{ParseCone, "10 mL/L=150 mg/L; 20 mL/L=140 mg/L"}, {ParseCone, "10 mL/L=150 mg/L; 10 mL/L=160 mg/L"}, {ParseCone, "0 mL/L=150 mg/L"},
		{ParseTube, "20 cm=45 NTU; 30 cm=55 NTU"}, {ParseTube, "20 cm=45 mg/L"}, {ParseTube, "20 mL/L=45 NTU"},
	} {
		if s, err := x.parse(x.text); err == nil || note.Of(err, "?")[0].Code != "gauge-pairs" || note.Of(err, "?")[0].Remedy == "" {
			t.Errorf("%q: %+v, %v", x.text, s, err)
		}
	}
}

// TestParse: what people write of a tank, and with what it is read.
func TestParse(t *testing.T) {
	for text, want := range map[string]struct {
		v float64
		k jartest.Key
	}{"80 NTU": {80, jartest.Turbidity}, "0.3 g/L": {300, jartest.TSS}, "12 mL/L": {12, Cone}, "20 cm": {20, Tube}, "200 mm": {20, Tube}, "10 in": {25.4, Tube}} {
		if v, k, err := Parse(text); err != nil || math.Abs(v-want.v) > 1e-9 || k != want.k {
			t.Errorf("%q is %g %s: %v", text, v, k, err)
		}
	}
	for _, bad := range []string{"", "80", "80 FAU", "-5 cm", "clear"} {
		if v, k, err := Parse(bad); err == nil {
			t.Errorf("%q is %g %s", bad, v, k)
		}
	}
}

// TestGauges: own pairs go before the chart, and a cone without any stays what it is.
func TestGauges(t *testing.T) {
	own, _ := ParseTube("20 cm=45 NTU; 30 cm=25 NTU")
	var g Gauges
	if v, k, err := g.Read(20, Tube); v != 40 || k != jartest.Turbidity || err != nil {
		t.Errorf("by the chart: %g %s %v", v, k, err)
	}
	g.Tube.V, g.Tube.OK = own, true
	if v, k, err := g.Read(20, Tube); math.Abs(v-45) > 1e-9 || k != jartest.Turbidity || err != nil {
		t.Errorf("by its own pairs: %g %s %v", v, k, err)
	}
	if v, k, err := g.Read(12, Cone); v != 12 || k != Cone || err != nil {
		t.Errorf("a cone: %g %s %v", v, k, err)
	}
	if v, k, _ := g.Read(7, jartest.TSS); v != 7 || k != jartest.TSS {
		t.Errorf("no gauge: %g %s", v, k)
	}
	if Unit(Tube) != "cm" || Unit(Cone) != "mL/L" || Unit(jartest.TSS) != "mg/L" || Label(jartest.Turbidity) != "turbidity" {
		t.Error("units")
	}
}
