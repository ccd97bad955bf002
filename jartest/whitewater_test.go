package jartest

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestUndiluted: 1 L of raw water with the fraction r of white water is 1 + r litres, and holds the mass of the raw water
// (and r times what the white water brings). So c·(1 + r) − r·w, by hand: at 10 % 4.7 NTU is 5.17, with white water
// of 0.2 NTU 5.15; at 25 % 0.5 mg/L is 0.625. pH, alkalinity, a removal and a column of the user's own stay.
func TestUndiluted(t *testing.T) {
	jar := func(extra ...KeyedReading) Jar {
		j := Jar{Readings: Readings{{Turbidity, Num(4.7, "NTU")}, {"turbidity_2_min", Num(20, "NTU")}, {PH, Num(7.1, "")}, {AlkalinityKey, Num(60, "mg/L CaCO3")},
			{TurbidityRemoval, Num(90, "%")}, {"iodine", Num(3, "")}, {ResidualAl, Num(0.5, "mg/L")}}}
		for _, x := range extra {
			j.Readings.Set(x.Key, x.Reading)
		}
		return j
	}
	for _, c := range []struct {
		what    string
		recycle quantity.Fraction
		white   float64
		own     []KeyedReading
		want    map[Key]float64
		notes   int
	}{
		{"none", 0, 0, nil, map[Key]float64{Turbidity: 4.7, ResidualAl: 0.5}, 0},
		{"10 %", 0.1, 0, nil, map[Key]float64{Turbidity: 5.17, "turbidity_2_min": 22, ResidualAl: 0.55, PH: 7.1, AlkalinityKey: 60, TurbidityRemoval: 90, "iodine": 3}, 1},
		{"white water of 0.2 NTU", 0.1, 0.2, nil, map[Key]float64{Turbidity: 5.15, "turbidity_2_min": 21.98, ResidualAl: 0.55}, 1},
		{"the jar's own 25 %", 0.1, 0, []KeyedReading{{RecycleKey, Num(25, "%")}}, map[Key]float64{Turbidity: 5.875, ResidualAl: 0.625}, 1},
		{"the jar has none", 0.1, 0, []KeyedReading{{RecycleKey, Num(0, "%")}}, map[Key]float64{Turbidity: 4.7, ResidualAl: 0.5}, 0},
		{"clearer than the white water", 0.5, 20, nil, map[Key]float64{Turbidity: 0}, 1},
	} {
		s := Series{Recycle: c.recycle, Jars: []Jar{jar(c.own...)}}
		if c.white > 0 {
			s.White = map[Key]Reading{Turbidity: Num(c.white, "NTU")}
		}
		got, notes := s.Undiluted()
		if len(notes) != c.notes {
			t.Errorf("%s: %d notes, want %d: %v", c.what, len(notes), c.notes, notes)
		}
		for k, want := range c.want {
			if v := got.Jars[0].Readings.Of(k).Value; math.Abs(v-want) > 1e-12 {
				t.Errorf("%s: %s %g, want %g", c.what, k, v, want)
			}
		}
		if s.Jars[0].Readings.Of(Turbidity).Value != 4.7 {
			t.Errorf("%s: the series itself was changed", c.what)
		}
		if again, more := got.Undiluted(); again.Jars[0].Readings.Of(Turbidity).Value != got.Jars[0].Readings.Of(Turbidity).Value || len(more) > 0 {
			t.Errorf("%s: taken out twice", c.what)
		}
	}
	// Spread, repeats and limits go with the reading; what was shown stays beside it.
	r := Reading{State: Below, Limit: true, Value: 0.5, SD: 0.1, Replicates: []Reading{Num(0.4, "NTU"), Num(0.6, "NTU")}}
	got, _ := Series{Recycle: 0.2, Jars: []Jar{{Readings: Readings{{Turbidity, r}}}}}.Undiluted()
	x := got.Jars[0].Readings.Of(Turbidity)
	if x.Value != 0.6 || math.Abs(x.SD-0.12) > 1e-12 || x.Replicates[0].Value != 0.48 || x.Replicates[1].Value != 0.72 || x.Read.V != 0.5 || r.Replicates[0].Value != 0.4 {
		t.Errorf("%+v", x)
	}
}

// TestTenPercentOfClearWhiteWater: 5.0 NTU read with 10 % of clear white water were 5.0 x 1.1 = 5.5 NTU without it (from memory).
func TestTenPercentOfClearWhiteWater(t *testing.T) {
	s := Series{Recycle: 0.1, Jars: []Jar{{Readings: Readings{{Turbidity, Num(5, "NTU")}}}}}
	got, _ := s.Undiluted()
	if v := got.Jars[0].Readings.Of(Turbidity).Value; math.Abs(v-5.5) > 1e-12 {
		t.Errorf("%g NTU, want 5.5", v)
	}
}

// TestFill: a line takes from another what it lacks, and stays where they contradict each other.
func TestFill(t *testing.T) {
	rpm := func(v float64) quantity.Known[quantity.Rotation] { return quantity.Some(quantity.Rotation(v)) }
	min := func(v float64) quantity.Known[quantity.Time] { return quantity.Some(quantity.Time(v / 60)) }
	p := Protocol{Rapid: Stir{Speed: rpm(200)}, Slow: []Stir{{Speed: rpm(40)}}}
	if p.Told() != true || (Protocol{}).Told() {
		t.Error("told")
	}
	if !p.Fill(Protocol{Rapid: Stir{Time: min(1)}, Slow: []Stir{{Time: min(8)}}, Settle: min(15), Depth: quantity.Some(quantity.Length(0.1))}) ||
		!p.Rapid.Whole() || !p.Slow[0].Whole() || p.Settle.V != min(15).V || p.Depth.V != 0.1 {
		t.Errorf("%+v", p)
	}
	for _, o := range []Protocol{{Rapid: Stir{Speed: rpm(150)}}, {Slow: []Stir{{Time: min(9)}}}, {Slow: []Stir{{}, {}}}, {Settle: min(20)}, {Depth: quantity.Some(quantity.Length(0.05))}} {
		had := p
		if p.Fill(o) || p.Rapid != had.Rapid || len(p.Slow) != 1 || p.Slow[0] != had.Slow[0] || p.Settle != had.Settle || p.Depth != had.Depth {
			t.Errorf("%+v was taken", o)
		}
	}
	if !p.Fill(Protocol{Rapid: Stir{Speed: rpm(200)}}) {
		t.Error("what is said twice alike contradicts nothing")
	}
}
