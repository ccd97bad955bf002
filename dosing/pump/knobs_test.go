package pump

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/jartest/quantity"
)

// plane is a two-knob pump written out a second time: rate = a + b n + c s + d n s
// at speed n and stroke s, with what a search of its knobs needs.
type plane struct {
	a, b, c, d      float64
	speed, stroke   float64 // steps
	topN, topS      float64
	lowN, lowS      float64 // lowest that the knobs can stand at
	testN, testS    [2]float64
	scatter, wanted float64
}

func (p plane) rate(n, s float64) float64 { return p.a + p.b*n + p.c*s + p.d*n*s }

// unsure is the expected relative error as the comment of Pump.unsure tells it: a knob
// is set to a quarter of its step, so the rate is off by its slope times that.
func (p plane) unsure(n, s float64) float64 {
	r := p.rate(n, s)
	sum := math.Pow((p.b+p.d*s)*p.speed/4/r, 2) + math.Pow((p.c+p.d*n)*p.stroke/4/r, 2) + math.Pow(r/p.wanted-1, 2) + math.Pow(p.scatter/r, 2)
	if s < 30 { // a stroke of nothing counts as 10 %
		sum += math.Pow(0.1*(30-s)/30, 2)
	}
	if n < 10 { // standing still as 20 %
		sum += math.Pow(0.2*(10-n)/10, 2)
	}
	beyond := func(v float64, r [2]float64) float64 { return math.Max(0, math.Max(r[0]-v, v-r[1])) / 100 }
	// 30 % for all the scale beyond what was tested
	return math.Sqrt(sum + math.Pow(0.3*(beyond(n, p.testN)+beyond(s, p.testS)), 2))
}

// best goes through every stroke and every speed that the knobs can stand at; at each stroke the
// nearest speed to the wanted rate counts, because that is how the knob is turned.
func (p plane) best() (n, s, e float64, ok bool) {
	e = math.Inf(1)
	for i := int(math.Ceil(math.Max(p.lowS, p.stroke) / p.stroke)); float64(i)*p.stroke <= p.topS+1e-9; i++ {
		stroke := float64(i) * p.stroke
		if exact := (p.wanted - p.a - p.c*stroke) / (p.b + p.d*stroke); exact > p.topN || exact < p.lowN {
			continue
		}
		speed, off := math.NaN(), math.Inf(1)
		for k := 0; float64(k)*p.speed <= p.topN+1e-9; k++ {
			v := float64(k) * p.speed
			if d := math.Abs(p.rate(v, stroke) - p.wanted); v >= p.lowN && d < off {
				speed, off = v, d
			}
		}
		if r := p.rate(speed, stroke); r > 0 && p.unsure(speed, stroke) < e {
			n, s, e, ok = speed, stroke, p.unsure(speed, stroke), true
		}
	}
	return n, s, e, ok
}

// pump gives the same pump to the program, from drawdowns on a grid of the tested range; ±e
// across the middle of speed leaves the surface and makes a scatter (see TestBandOfSurface).
func (p *plane) pump(t *testing.T, e float64) Pump {
	var l []Reading
	for i, s := range p.testS {
		for j, n := range []float64{p.testN[0], (p.testN[0] + p.testN[1]) / 2, p.testN[1]} {
			l = append(l, two(s, n, p.rate(n, s)+e*[]float64{1, -2, 1}[j]*[]float64{1, -1}[i]))
		}
	}
	p.scatter = math.Sqrt(12 * e * e / 2)
	c, err := Fit(l)
	if err != nil || c.Shape != Surface {
		t.Fatalf("shape %v: %v", c.Shape, err)
	}
	knob := func(step, low, high float64) Knob {
		return Knob{quantity.Setting(step), quantity.Setting(low), quantity.Setting(high)}
	}
	return Pump{Calibration: c, Setting: knob(p.speed, p.lowN, p.topN), Stroke: knob(p.stroke, p.lowS, p.topS)}
}

// TestTwoKnobsByHand: one pair worked out. Rate 0.01 n s of a pump tested from 20 to 100 in speed and
// 40 to 80 in stroke, speed in steps of 2, stroke in steps of 5, 18 mL/min wanted.
//
//	stroke 60: speed 30, gives 18. Slope of speed 0.6 × 2/4 = 0.3 → 0.3/18; of stroke 0.3 × 5/4 = 0.375 → 0.375/18; no rounding.
//	stroke 20: speed 90, 0.2 × 2/4 = 0.1 → 0.1/18; 0.9 × 5/4 = 1.125 → 1.125/18; stroke 10 under 30: 0.1 × 1/3;
//	           20 below the tested 40: 0.3 × 0.2
//	stroke 55: speed 32.7 → 32, gives 17.6: 0.55 × 0.5 = 0.275, 0.32 × 1.25 = 0.4, of 17.6; rounding 0.4/18
func TestTwoKnobsByHand(t *testing.T) {
	pl := plane{d: 0.01, speed: 2, stroke: 5, topN: 100, topS: 100, testN: [2]float64{20, 100}, testS: [2]float64{40, 80}, wanted: 18}
	p := pl.pump(t, 0)
	for _, c := range []struct{ stroke, speed, gives, want float64 }{
		{60, 30, 18, math.Hypot(0.3/18, 0.375/18)},
		{20, 90, 18, math.Sqrt((0.01+1.265625)/324 + 0.01/9 + 0.0036)},
		{55, 32, 17.6, math.Sqrt((0.275*0.275+0.16)/(17.6*17.6) + 0.16/324)},
	} {
		got := p.at(18, quantity.Setting(c.stroke))
		near(t, "speed", float64(got.Position.Setting), c.speed, 0)
		near(t, "gives", float64(got.Gives), c.gives, 1e-9)
		near(t, "unsure", p.unsure(got), c.want, 1e-9)
		near(t, "second computation", pl.unsure(c.speed, c.stroke), c.want, 1e-9)
	}
	if !math.IsInf(p.unsure(p.at(0, 60)), 1) {
		t.Error("a pair that gives nothing is as unsure as can be")
	}
	// 50 mL/min in strokes of 25, tested to 30: full speed at 50 (√(6.25²/50² + 0.06²) = 0.139) is surer than 66 at 75,
	// farther above what was tested (√(6.25²/75² + 0.135²) = 0.159), and than 50 at 100 (√(6.25²/100² + 0.21²) = 0.219).
	pl = plane{d: 0.01, speed: 2, stroke: 25, topN: 100, topS: 100, testN: [2]float64{20, 100}, testS: [2]float64{20, 30}, wanted: 50}
	p = pl.pump(t, 0)
	if got := p.For(50).Position; got != (Position{100, 50}) {
		t.Errorf("full speed at half stroke is in reach, not %v", got)
	}
	// A slow pump: 0.9 mL/min at most, so speed 4 at stroke 60 (0.0001 n s) and far below 1 mL/min.
	pl = plane{d: 0.0001, speed: 2, stroke: 5, topN: 100, topS: 100, testN: [2]float64{20, 100}, testS: [2]float64{40, 80}, wanted: 0.024}
	p = pl.pump(t, 0.0001)
	got := p.at(0.024, 60)
	near(t, "slow speed", float64(got.Position.Setting), 4, 0)
	// slopes 0.003/0.024 and 0.0005/0.024, scatter √6e-4/0.024, speed 6 under 10, 16 under the tested 20
	near(t, "slow", p.unsure(got), math.Sqrt(0.015625+1.0/2304+6e-8/0.000576+0.04*0.36+0.09*0.0256), 1e-9)
}

// TestTwoKnobs: the setting of a two-knob pump against a search of all pairs of knobs, on 3000 made-up pumps, the speed a step higher where the dose would be too low.
func TestTwoKnobs(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 11))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	pick := func(of ...float64) float64 { return of[r.IntN(len(of))] }
	found := 0
	for i := range 3000 {
		pl := plane{
			a: between(-0.2, 0.5), b: between(0, 0.05), c: between(0, 0.02), d: between(0.002, 0.02),
			speed: pick(0.5, 1, 2), stroke: pick(1, 5, 10), topN: pick(90, 100), topS: pick(80, 100), lowN: pick(0, 4), lowS: pick(0, 20, 30),
			testN: [2]float64{pick(12, 30), pick(60, 100)}, testS: [2]float64{pick(30, 50), pick(70, 90)},
		}
		top := pl.rate(pl.topN, pl.topS)
		p := pl.pump(t, pick(0, 0.01))
		near(t, "capacity", float64(p.Capacity()), top, 1e-9*top)
		near(t, "smallest", float64(p.Smallest()), top/100, 1e-9*top)
		pl.wanted = top * between(0.01, 1)
		n, s, e, ok := pl.best()
		if !ok {
			continue
		}
		found++
		if short := pl.wanted - pl.rate(n, s); short > 0.05*pl.wanted && pl.rate(n+pl.speed, s)-pl.wanted < 2*short && n+pl.speed <= pl.topN {
			n += pl.speed
			e = pl.unsure(n, s)
		}
		got := p.For(quantity.FeedRate(pl.wanted))
		if gn, gs := float64(got.Position.Setting), float64(got.Position.Stroke); gn != n || gs != s {
			t.Errorf("%d: stroke %g, speed %g (%g); the search finds %g, %g (%g)", i, gs, gn, pl.unsure(gn, gs), s, n, e)
			continue
		}
		near(t, "unsure", p.unsure(got), e, 1e-6*(1+e))
		near(t, "gives", float64(got.Gives), pl.rate(n, s), 1e-9*top)
		near(t, "error", float64(got.Error), pl.rate(n, s)/pl.wanted-1, 1e-8)
		near(t, "exact", pl.rate(float64(got.Exact.Setting), s), pl.wanted, 1e-8*top)
		if tested := n >= pl.testN[0] && n <= pl.testN[1] && s >= pl.testS[0] && s <= pl.testS[1]; got.Tested != tested {
			t.Errorf("%d: tested %v at %g, %g", i, got.Tested, n, s)
		}
	}
	if found < 2500 {
		t.Errorf("only %d settings were compared", found)
	}
}

// TestTwoKnobsOutOfReach: beyond both ends the knobs go to the end that comes nearest.
func TestTwoKnobsOutOfReach(t *testing.T) {
	pl := plane{d: 0.01, speed: 1, stroke: 10, topN: 100, topS: 90, lowN: 5, lowS: 20, testN: [2]float64{20, 100}, testS: [2]float64{40, 80}}
	p := pl.pump(t, 0)
	got := p.For(95) // at most 0.01 × 100 × 90
	if got.Reach != TooMuch || got.Position != (Position{100, 90}) {
		t.Errorf("95 of 90 mL/min: %+v", got)
	}
	says(t, got.Notes, "pump-too-small", "the pump gives at most 90 mL/min; 95 mL/min is asked for", "")
	got = p.For(0.6) // at least 0.01 × 5 × 20 = 1, while 90/100 is the turndown
	if got.Reach != TooLittle || got.Position != (Position{5, 20}) {
		t.Errorf("0.6 of 1 mL/min: %+v", got)
	}
	says(t, got.Notes, "pump-too-large", "0.6 mL/min is below what the pump feeds steadily (1 mL/min at the lowest setting of its knob)", "")
	p.Stroke.Low = 0 // then the lowest stroke is one step: 0.01 × 5 × 10 = 0.5; the turndown of 0.9, which nobody gave, refuses nothing
	if got = p.For(0.4); got.Reach != TooLittle || got.Position != (Position{5, 10}) {
		t.Errorf("0.4 mL/min: %+v", got)
	}
	says(t, got.Notes, "pump-too-large", "0.4 mL/min is below what the pump feeds steadily (0.5 mL/min at the lowest setting of its knob)", "")
	if got = p.For(20); got.Reach != Within || !got.Tested || len(got.Notes) != 0 {
		t.Errorf("20 mL/min: %+v", got)
	}
	// 88 needs stroke 90, beyond the tested 80.
	got = p.For(88)
	if got.Reach != Within || got.Tested || got.Position != (Position{98, 90}) {
		t.Errorf("88 mL/min: %+v", got)
	}
	says(t, got.Notes, "outside-drawdown",
		"stroke 90 %, speed 98 % lies outside the drawdown readings (stroke 40 %, speed 20 % to stroke 80 %, speed 100 %)",
		"take a drawdown there before relying on it")
}

// TestStrokeFor: the shortest tested stroke from 30 % up at which the peak needs at most 90 % of the
// top speed. Rate 0.01 n s: at 90 % speed a stroke of s gives 0.9 s, so a peak of 36 takes 40, 36.5 takes 45.
func TestStrokeFor(t *testing.T) {
	pl := plane{d: 0.01, speed: 1, stroke: 5, topN: 100, topS: 100, testN: [2]float64{20, 100}, testS: [2]float64{20, 80}}
	p := pl.pump(t, 0)
	for _, c := range []struct{ peak, want float64 }{{35.99, 40}, {36.5, 45}, {10, 30}, {26.9, 30}, {27.5, 35}, {80, 90}, {89, 100},
		{120, 100}} {
		near(t, "stroke", float64(p.StrokeFor(quantity.FeedRate(c.peak))), c.want, 0)
	}
	p.Stroke.Low = 50
	near(t, "from the knob's own low end", float64(p.StrokeFor(10)), 50, 0)
	p.Stroke.Low = 0
	p.Setting.High = 80 // 72 % speed: 36 takes a stroke of 50
	near(t, "a lower top speed", float64(p.StrokeFor(35.99)), 50, 0)
	pl.testS = [2]float64{40, 80}
	p = pl.pump(t, 0)
	near(t, "not under the tested", float64(p.StrokeFor(10)), 40, 0)
	// a pump with one knob has the stroke it was drawn down at
	c := fit(t, two(70, 20, 8), two(70, 80, 36))
	if c.Shape != Straight || !c.HasStroke || c.Stroke != 70 {
		t.Fatalf("%+v", c)
	}
	near(t, "one knob", float64(Pump{Calibration: c}.StrokeFor(10)), 70, 0)
	if got := (Pump{Calibration: c}).For(22); got.Position.Stroke != 70 || got.Notes != nil {
		t.Errorf("%+v", got)
	}
	// A surface that starts below zero: 0.01 n s + 2 − 0.05 s gives 0.5 mL/min standing still at stroke 30, nothing at 40.
	pl.a, pl.c = 2, -0.05
	pl.testS = [2]float64{20, 80}
	p = pl.pump(t, 0)
	near(t, "less than it gives standing still", float64(p.StrokeFor(0.1)), 40, 0)
}

// TestLeave: rate 0.01 n s, tested from 20 to 80 in speed and 40 to 90 in stroke. 10 and 30 mL/min: stroke 40 gives them at 25 and
// 75 % speed, stroke 60 at 16.7, which was not tested, stroke 50 at 20 and 60. 5 and 35 at none within what was tested: 35 at 90 % speed
// takes 38.9, so 40. Where it stands at 60 it is left for 88 % speed, a tenth beyond the 80 tested, which feeds
// 52.8, and not for the 89 % of 53.4 (70 feeds that at 76, and 14 at 20); for 19 % (11.4), not for 18 (10.9), as 20/1.1 is 18.2.
// A stroke of 91 was not tested. 0.2 and 89 at none at all: 89 takes a stroke of 89 or more, where 0.2 is less than 0.9, a hundredth of the most.
func TestLeave(t *testing.T) {
	pl := plane{d: 0.01, speed: 1, stroke: 5, topN: 100, topS: 90, testN: [2]float64{20, 80}, testS: [2]float64{40, 90}}
	p := pl.pump(t, 0)
	p.Turndown = 100
	for _, x := range []struct {
		stands, low, high, want quantity.Setting
	}{{0, 10, 30, 40}, {60, 10, 30, 40}, {50, 10, 30, 50}, {40, 10, 30, 40}, {50, 5, 35, 40}, {50, 0.2, 89, 0}, {0, 24, 50, 65},
		{60, 14, 52.8, 60}, {60, 14, 53.4, 70}, {60, 11.4, 30, 60}, {60, 10.9, 30, 40}, {91, 30, 40, 50}} {
		p.Stays = x.stands
		left := p.Leave(quantity.FeedRate(x.low), 0, quantity.FeedRate(x.high))
		near(t, "stroke", float64(left.Stays), float64(x.want), 0)
		if low, high := left.For(quantity.FeedRate(x.low)), left.For(quantity.FeedRate(x.high)); x.want > 0 && (low.Position.Stroke != x.want || high.Position.Stroke != x.want) {
			t.Errorf("%v: stroke %v and %v", x, low.Position.Stroke, high.Position.Stroke)
		}
	}
	p.Stays = 55
	near(t, "for no rates", float64(p.Leave().Stays), 55, 0)
}

// TestByStroke: rate = n (a + b s); both knobs from drawdowns at one speed. By hand, speed 50, strokes 40 and 80:
// 18 and 38 are 0.36 and 0.76 at 1 % speed, so b = 0.01, a = −0.04.
func TestByStroke(t *testing.T) {
	c := fit(t, two(40, 50, 18), two(80, 50, 38))
	if c.Shape != ByStroke || c.Low != (Position{50, 40}) || c.High != (Position{50, 80}) {
		t.Fatalf("%+v", c)
	}
	p := Pump{Calibration: c, Stroke: Knob{Step: 10}}
	got := p.AtStroke(28, 60) // 28/0.56 = 50
	near(t, "speed", float64(got.Exact.Setting), 50, 1e-9)
	got = p.AtStroke(30, 60) // 53.571 → 54 gives 30.24
	near(t, "speed", float64(got.Exact.Setting), 30/0.56, 1e-9)
	near(t, "gives", float64(got.Gives), 54*0.56, 1e-9)
	near(t, "error", float64(got.Error), 54*0.56/30-1, 1e-9)
	near(t, "largest", float64(p.Capacity()), 96, 1e-9)
	if p.Calibration.Tested(Position{51, 60}) || !p.Calibration.Tested(Position{50, 60}) {
		t.Error("one speed was tested")
	}
	for _, b := range []struct {
		stroke quantity.Setting
		want   bool
	}{{39, false}, {40, true}, {80, true}, {81, false}} {
		if got := c.Tested(Position{50, b.stroke}); got != b.want {
			t.Errorf("stroke %v tested: %v", b.stroke, got)
		}
	}
	if _, _, ok := c.Line(); ok {
		t.Error("a pump with two knobs has no line")
	}
	// Four readings on a cross do not fix a surface's four coefficients; five on two speeds and strokes do.
	if c = fit(t, two(40, 50, 18), two(80, 50, 38), two(60, 50, 28), two(60, 50, 28.1)); c.Shape != ByStroke {
		t.Errorf("one speed: shape %v", c.Shape)
	}
	if c = fit(t, two(40, 50, 18), two(80, 50, 38), two(40, 100, 37), two(80, 100, 78)); c.Shape != Surface || c.HasSD || c.HasStroke {
		t.Errorf("two by two: %+v", c)
	}
	if c = fit(t, two(40, 50, 18), two(40, 50, 18.2), two(80, 100, 76), two(80, 100, 76.4)); c.Shape != ByStroke {
		t.Errorf("a diagonal: shape %v", c.Shape)
	}
	if _, err := Fit([]Reading{two(40, 50, 18), two(80, 50, 0)}); err == nil {
		t.Error("a stroke of 80 that gives nothing passes")
	}
}
