package caution

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// pool is a loop poured step by step, a second way to what its alkalinity does.
type pool struct{ flow, exchange, hours, raw, used float64 } // m3/h, m3/h, h a day, mg/L, mg/L a pass; of 20 m3

// follow gives the level at the end of the run of the last of so many days, when a day stands worst, and the hour at which a
// limit was passed (negative for never).
func (b pool) follow(days int, limit float64) (level, at float64) {
	const step = 0.05
	level, at = b.raw, -1
	keep := math.Exp(-b.exchange / 20 * step)
	for i := range int(math.Round((float64(days-1)*24 + b.hours) / step)) {
		h := float64(i) * step
		if math.Mod(h, 24) < b.hours-1e-9 {
			level -= b.flow / 20 * b.used * step
		}
		level = b.raw + (level-b.raw)*keep
		if at < 0 && level <= limit {
			at = h + step
		}
	}
	return level, at
}

// passes gives the hour at which a limit is passed, poured until it is, however late (negative where it is not within 5000 days).
func (b pool) passes(limit float64) float64 {
	for days := 30; days <= 5000; days *= 4 {
		if _, at := b.follow(days, limit); at >= 0 {
			return at
		}
	}
	return -1
}

// TestLoopsStepByStep: what a loop's alkalinity is said to do, by the rules' own words: it passes 20 within 30 such days, a stop with that day; it
// comes to less than 50, where it settles or else within 30 days, a caution, with the days on which it comes to 50 and to 20.
// Loops that lie on a limit by less than the pouring tells are left out.
func TestLoopsStepByStep(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 2026))
	said, late := map[string]int{}, 0
	for range 300 {
		b := pool{flow: 0.5 + 9*r.Float64(), exchange: 0.5 * r.Float64(), hours: float64(2 + r.IntN(23)), raw: 22 + 120*r.Float64()}
		if r.IntN(3) == 0 {
			b.exchange = 0
		}
		b.used = (0.5 + 40*r.Float64()*r.Float64()) * 0.505
		if r.IntN(4) == 0 { // one that settles slowly, on 15 to 45 on average
			b.exchange, b.raw = 0.01+0.03*r.Float64(), 52+30*r.Float64()
			b.used = (b.raw - 15 - 30*r.Float64()) * b.exchange * 24 / (b.flow * b.hours)
		}
		s := Situation{Purpose: Animals, Hours: quantity.Time(b.hours), Flow: quantity.Some(quantity.Flow(b.flow)),
			Water: water15(7.4, b.raw, ammonia(0)), Loop: &Loop{Volume: 20000, Exchange: quantity.Some(quantity.Flow(b.exchange))},
			Doses: []Dose{dose(t, "alum-liquid", b.used/0.505, quantity.AsAlum14)}}
		end, in1 := b.follow(1, 20)
		far, in30 := b.follow(30, 20)
		_, under := b.follow(30, 50)
		in20 := in30
		if b.exchange > 0 { // where it settles: each day keeps as large a share of what the day before was off by
			first, _ := b.follow(1, 0)
			second, _ := b.follow(2, 0)
			keeps := math.Exp(-b.exchange / 20 * 24)
			far = (second - keeps*first) / (1 - keeps)
			if far < 0.99*50 {
				under = b.passes(50)
			}
			if far < 0.99*20 {
				in20 = b.passes(20)
			}
		}
		left := b.raw - b.used
		const floor = 50
		once := left < 20 && (left < b.used || b.used >= 2)
		stops := in30 >= 0 && end < b.raw && !once
		low := under >= 0 && far < 0.99*floor
		late += map[bool]int{true: 1}[low && !stops && under > 30*24]
		single := left < floor
		near := func(v, limit float64) bool { return math.Abs(v/limit-1) < 0.02 }
		if near(far, 20) || near(far, 0.99*floor) || near(left, 20) || near(left, floor) || near(left, b.used) || near(end, 20) ||
			near(b.raw, floor) {
			continue
		}
		onDay := fmt.Sprintf("on day %d", int(in30/24)+1)
		want := map[string]bool{"loop-alkalinity-gone": stops, "loop-alkalinity-low": !stops && !single && low,
			"loop-later": false}
		got := map[string]note.Note{}
		for _, n := range Review(s).Notes {
			got[n.Code] = n
		}
		if table := len(Review(s).Alkalis) > 0; !single && table != low {
			t.Errorf("%+v: table of alkalis %v, far %.4g", b, table, far)
		}
		for code, w := range want {
			n, ok := got[code]
			if ok != w {
				t.Errorf("%+v: %s said %v; end %.4g, far %.4g, left %.4g, 20 after %.4g h, %.4g h", b, code, ok, end, far, left, in1, in30)
			}
			if !ok {
				continue
			}
			said[code]++
			if tells := strings.Contains(n.Message, ", and to 20 on day"); code == "loop-alkalinity-low" &&
				tells != (in20 > b.hours && !once) {
				t.Errorf("%+v, 20 after %.4g h: %s", b, in20, n.Message)
			}
			if late := strings.Contains(n.Message, "in the days to come, below 50 from day"); code == "loop-alkalinity-low" &&
				math.Abs(under-b.hours) > 0.2 && late != (under > b.hours) {
				t.Errorf("%+v, 50 after %.4g h: %s", b, under, n.Message)
			}
			before, _ := b.follow(int(under/24), 50)
			day := fmt.Sprintf("below 50 from day %d", int(under/24)+1)
			if edge := math.Mod(under, 24); code == "loop-alkalinity-low" && under > b.hours+0.2 && edge > 0.3 && edge < 23.7 && !near(before, 50) &&
				!strings.Contains(n.Message, day) {
				t.Errorf("%+v, %s: %s", b, day, n.Message)
			}
			lasts, _ := b.follow(int(in30/24), 20)
			if edge := math.Mod(in30, 24); code == "loop-alkalinity-gone" && !near(lasts, 20) && in30 > b.hours+0.2 && edge > 0.3 && edge < 23.7 && !strings.Contains(n.Message, onDay) {
				t.Errorf("%+v, %s: %s", b, onDay, n.Message)
			}
		}
	}
	if late < 3 {
		t.Errorf("only %d loops fall below after 30 days", late)
	}
	for _, code := range []string{"loop-alkalinity-gone", "loop-alkalinity-low"} {
		if said[code] < 5 {
			t.Errorf("%s only %d times: %v", code, said[code], said)
		}
	}
}

// TestPolymerAloneMovesNoLoop: what takes no alkalinity is not followed.
func TestPolymerAloneMovesNoLoop(t *testing.T) {
	s := softHall(t)
	s.Doses = []Dose{dose(t, "apam-dry", 0.2, quantity.AsActive)}
	for _, c := range Review(s).Checks {
		if strings.HasPrefix(c.Rule, "loop-alkalinity") || c.Rule == "loop-later" {
			t.Errorf("%+v", c)
		}
	}
}

// TestIonsByWeight: what a dose leaves behind, from atomic weights (IUPAC 2021, abridged): of an alkali its metal, of 10 mg/L of a
// coagulant its sulfate or chloride, of a double alum potassium or nitrogen too.
func TestIonsByWeight(t *testing.T) {
	for _, x := range []struct {
		id    string
		basis quantity.Basis
		mgL   float64
		want  map[string]float64
	}{
		{"caustic-50", quantity.AsNaOH, 10, map[string]float64{"sodium": 10 * 22.990 / 39.997}},
		{"soda-ash", quantity.AsNa2CO3, 10, map[string]float64{"sodium": 10 * 2 * 22.990 / 105.988}},
		{"bicarbonate", quantity.AsNaHCO3, 10, map[string]float64{"sodium": 10 * 22.990 / 84.006}},
		{"lime", quantity.AsCaOH2, 10, map[string]float64{"calcium": 10 * 40.078 / 74.092}},
		{"quicklime", quantity.AsCaO, 10, map[string]float64{"calcium": 10 * 40.078 / 56.077}},
		{"ag-lime", quantity.AsLimestone, 10, map[string]float64{"calcium": 10 * 40.078 / 100.086}},
		{"koh-45", quantity.AsKOH, 10, map[string]float64{"potassium": 10 * 39.098 / 56.105}},
		{"khco3", quantity.AsKHCO3, 10, map[string]float64{"potassium": 10 * 39.098 / 100.114}},
		{"dolomite", quantity.AsDolomite, 10, map[string]float64{"calcium": 10 * 40.078 / 184.399, "magnesium": 10 * 24.305 / 184.399}},
		{"ferric-chloride", quantity.AsFeCl3, 10, map[string]float64{"chloride": 10 * 3 * 35.45 / 162.195}},
		{"alum-liquid", quantity.AsAlum14, 10, map[string]float64{"sulfate": 10 * 3 * 96.06 / 594.34}},
		{"apam-dry", quantity.AsActive, 10, nil},
		{"sulfuric-acid", quantity.AsProduct, 0, nil},
	} {
		got := ionsOf(dose(t, x.id, x.mgL, x.basis))
		if len(got) != len(x.want) {
			t.Errorf("%s: %+v", x.id, got)
		}
		for _, s := range got {
			if w := x.want[s.Ion]; math.Abs(float64(s.PerPass)/w-1) > 2e-3 {
				t.Errorf("%s: %v mg/L of %s, want %g", x.id, float64(s.PerPass), s.Ion, w)
			}
		}
	}
}
