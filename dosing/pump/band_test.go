package pump

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// t975 are upper 2.5 % points of Student's t by degrees of freedom, as printed in
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (from memory).
var t975 = map[int]float64{1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 8: 2.306, 10: 2.228, 34: 2.032}

func fit(t *testing.T, l ...Reading) Calibration {
	t.Helper()
	c, err := Fit(l)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// band checks a band against line ± half; the table of t has four figures.
func band(t *testing.T, what string, c Calibration, p Position, line, half float64) {
	t.Helper()
	low, high, ok := c.Band(p)
	if !ok {
		t.Fatalf("%s: no band", what)
	}
	near(t, what+", low", float64(low), math.Max(0, line-half), 3e-4*half)
	near(t, what+", high", float64(high), line+half, 3e-4*half)
}

// says finds the one note of a code and compares its words.
func says(t *testing.T, l note.List, code, message, remedy string) {
	t.Helper()
	found := 0
	for _, n := range l {
		if n.Code != code {
			continue
		}
		found++
		if n.Message != message || n.Remedy != remedy {
			t.Errorf("%s says\n%s: %s\nwant\n%s: %s", code, n.Message, n.Remedy, message, remedy)
		}
	}
	if found != 1 {
		t.Errorf("%s comes %d times: %v", code, found, l)
	}
}

// pooled is the half width from as few readings to spare as free of scatter sd: four more
// scatter by 2.5 % of the line, as is usual (common practice, no source).
func pooled(line, sd float64, free int, spread float64) float64 {
	sum := 4*math.Pow(0.025*line, 2) + float64(free)*sd*sd
	return t975[4+free] * math.Sqrt(sum/float64(4+free)*spread)
}

func codes(l note.List) string {
	var s []string
	for _, n := range l {
		s = append(s, n.Code)
	}
	return strings.Join(s, " ")
}

// TestBandOfThree: the 95 % band of one new drawdown about a straight line,
// line ± t s √(1 + 1/n + (x − x̄)²/Sxx) (NIST/SEMATECH e-Handbook 4.5.2, prediction), all by hand. One
// reading to spare counts beside four that scatter as usual: with it alone t is 12.7.
//
//	x 20, 50, 80: x̄ = 50, Sxx = 30² + 0 + 30² = 1800
//	y 8.1, 22.6, 36.8: ȳ = 22.5, Sxy = −30 × −14.4 + 30 × 14.3 = 861, slope 861/1800
//	residuals −0.05, 0.1, −0.05: sum of squares 0.015, 1 degree of freedom, s = √0.015
func TestBandOfThree(t *testing.T) {
	c := fit(t, one(80, 36.8), one(20, 8.1), one(50, 22.6))
	a, b, ok := c.Line()
	if !ok {
		t.Fatal("no line")
	}
	near(t, "slope", float64(b), 861.0/1800, 1e-12)
	near(t, "intercept", float64(a), 22.5-50*861.0/1800, 1e-12)
	near(t, "scatter", float64(c.SD), math.Sqrt(0.015), 1e-12)
	for i, want := range []float64{-0.05, 0.1, -0.05} {
		near(t, "residual", float64(c.Residuals[i]), want, 1e-12)
		near(t, "in order of setting", float64(c.Readings[i].Setting), float64(20+30*i), 0)
	}
	for _, x := range []float64{0, 20, 28, 50, 80, 97.5} {
		line := math.Max(0, 22.5+(x-50)*861.0/1800)
		band(t, "three readings", c, Position{Setting: quantity.Setting(x)}, line, pooled(line, math.Sqrt(0.015), 1, 1+1.0/3+(x-50)*(x-50)/1800))
	}
	got := Pump{Calibration: c}.For(12) // 28 % by TestLine
	low, high, ok := c.Band(Position{Setting: 28})
	if !ok || !got.HasBand || got.Low != low || got.High != high {
		t.Errorf("a choice carries the band %v to %v: got %v to %v", low, high, got.Low, got.High)
	}
}

// TestBandOfSix: repeats at three settings, so that the degrees of freedom count
// readings and not settings. x̄ = 50, Sxx = 4 × 40² = 6400, line 5 + 0.5 x,
// residuals ±0.2, ±0.1, ±0.3 on it: sum of squares 0.28, s = √(0.28/4).
func TestBandOfSix(t *testing.T) {
	c := fit(t, one(10, 10.2), one(10, 9.8), one(50, 30.1), one(50, 29.9), one(90, 50.3), one(90, 49.7))
	near(t, "scatter", float64(c.SD), math.Sqrt(0.07), 1e-12)
	for _, x := range []float64{5, 50, 90} {
		band(t, "six readings", c, Position{Setting: quantity.Setting(x)}, 5+x/2, t975[4]*math.Sqrt(0.07*(1+1.0/6+(x-50)*(x-50)/6400)))
	}
}

// TestBandOfNorris: at setting zero the band of Norris (NIST/ITL StRD) is t √(s² + sd²),
// with sd the certified standard deviation of the intercept, 0.232818234301152 (from memory).
func TestBandOfNorris(t *testing.T) {
	c := fit(t, norris()...)
	_, high, ok := c.Band(Position{})
	if !ok {
		t.Fatal("no band")
	}
	near(t, "at zero", float64(high)*10, t975[34]*math.Hypot(0.884796396144373, 0.232818234301152), 1e-3)
	a, b, _ := c.Line()
	low, _, _ := c.Band(Position{Setting: 50})
	// at 500 of its 0 to 1000: the mean of x is 426.9888…, and sd of the slope 0.429796848199937e-3 (from memory)
	mean := 0.0
	for _, r := range c.Readings {
		mean += float64(r.Setting) * 10 / float64(len(c.Readings))
	}
	half := t975[34] * math.Sqrt(0.884796396144373*0.884796396144373*(1+1.0/36)+math.Pow((500-mean)*0.429796848199937e-3, 2))
	near(t, "at 500", float64(low)*10, float64(a)*10+float64(b)*500-half, 1e-3)
}

// TestBandOfSurface: on a full grid of stroke and speed about their means u and v, the
// four columns 1, u, v, uv are orthogonal, so the spread is 1 + 1/n + u²/Σu² + v²/Σv² + u²v²/Σu²v².
// Grid 40, 80 by 20, 60, 100: Σu² = 6 × 20² = 2400, Σv² = 4 × 40² = 6400, Σu²v² = 4 × 20²40² = 2560000.
// The residuals are e × (1, −2, 1) along speed, turned round at the second stroke: orthogonal
// to all four columns, so the surface 2 + 0.1 n + 0.05 s + 0.005 n s stays and 12 e² is left over 2 degrees.
func TestBandOfSurface(t *testing.T) {
	const e = 0.05
	f := func(stroke, speed float64) float64 { return 2 + 0.1*speed + 0.05*stroke + 0.005*speed*stroke }
	var l []Reading
	for i, s := range []float64{40, 80} {
		for j, n := range []float64{20, 60, 100} {
			l = append(l, two(s, n, f(s, n)+e*[]float64{1, -2, 1}[j]*[]float64{1, -1}[i]))
		}
	}
	c := fit(t, l...)
	if c.Shape != Surface {
		t.Fatalf("shape %v", c.Shape)
	}
	near(t, "scatter", float64(c.SD), math.Sqrt(12*e*e/2), 1e-9)
	for _, p := range [][2]float64{{40, 20}, {60, 60}, {55, 90}, {100, 100}} {
		u, v := p[0]-60, p[1]-60
		spread := 1 + 1.0/6 + u*u/2400 + v*v/6400 + u*u*v*v/2560000
		band(t, "surface", c, Position{quantity.Setting(p[1]), quantity.Setting(p[0])}, f(p[0], p[1]), t975[2]*float64(c.SD)*math.Sqrt(spread))
	}
}

// TestBandByStroke: rate = n (a + b s) at one speed is a straight line in the stroke, times the speed:
// the spread 1 + 1/3 + (s − 60)²/800 of the mean line grows with the square of speed over the tested speed.
func TestBandByStroke(t *testing.T) {
	// at speed 50: strokes 40, 60, 80 give 10, 16, 20: mean 46/3, slope 10/40; residuals −1/3, 2/3, −1/3
	c := fit(t, two(40, 50, 10), two(60, 50, 16), two(80, 50, 20))
	if c.Shape != ByStroke {
		t.Fatalf("shape %v", c.Shape)
	}
	s := math.Sqrt(6.0 / 9)
	near(t, "scatter", float64(c.SD), s, 1e-9)
	for _, p := range [][2]float64{{40, 50}, {70, 50}, {60, 80}} {
		k := p[1] / 50
		line := k * (46.0/3 + (p[0]-60)*0.25)
		band(t, "by stroke", c, Position{quantity.Setting(p[1]), quantity.Setting(p[0])}, line, pooled(line, s, 1, 1+k*k*(1.0/3+(p[0]-60)*(p[0]-60)/800)))
	}
	says(t, c.Notes, "speed-taken-proportional", "too few pairs of stroke and speed were tested: the rate is taken as proportional to speed",
		"add drawdowns at two speeds for each of two strokes")
}

// TestBandOfBend: between joined readings only the scatter of repeats is known. Pairs
// ±0.2 at 10, ±0.1 at 30, ±0.2 at 50, ±0.3 at 70, ±0.4 at 90: sum of squares 2 × 0.34, 10 − 5 degrees.
func TestBandOfBend(t *testing.T) {
	var l []Reading
	mean, off := []float64{10, 28, 44, 57, 66}, []float64{0.2, 0.1, 0.2, 0.3, 0.4}
	for i := range mean {
		l = append(l, one(10+20*float64(i), mean[i]+off[i]), one(10+20*float64(i), mean[i]-off[i]))
	}
	c := fit(t, l...)
	if c.Shape != Between || !c.HasSD {
		t.Fatalf("shape %v", c.Shape)
	}
	near(t, "scatter", float64(c.SD), math.Sqrt(0.68/5), 1e-12)
	near(t, "a residual", math.Abs(float64(c.Residuals[0])), 0.2, 1e-12)
	band(t, "bent", c, Position{Setting: 60}, 50.5, t975[5]*math.Sqrt(0.68/5))
	band(t, "below zero", c, Position{Setting: 0}, 1, t975[5]*math.Sqrt(0.68/5))
	if a, b, ok := c.Line(); ok || a != 0 || b != 0 {
		t.Error("a bent calibration has no line")
	}
	// one repeat is enough to know a scatter: ±0.3 at 50, sum of squares 0.18 over one degree
	c = fit(t, one(10, 10), one(30, 28), one(50, 44.3), one(50, 43.7), one(70, 57), one(90, 66))
	if c.Shape != Between {
		t.Fatalf("shape %v", c.Shape)
	}
	band(t, "one repeat", c, Position{Setting: 50}, 44, pooled(44, math.Sqrt(0.18), 1, 1))
	// one reading at each setting: no scatter of its own
	if c = fit(t, one(10, 10), one(30, 28), one(50, 44), one(70, 57), one(90, 66)); c.Shape != Between || c.HasSD || c.SD != 0 {
		t.Errorf("%v %v", c.Shape, c.SD)
	}
	band(t, "single readings", c, Position{Setting: 40}, 36, pooled(36, 0, 0, 1))
	// A line misses by 9.5 % most at 10: mean 41, slope (20 × 29 + 40 × 56)/4000 = 0.705, 12.8 there, 2.8 of 10 is 28 %.
	says(t, c.Notes, "line-bends",
		"the readings bend: a straight line misses them by up to 28 %, so the setting is taken between neighbouring readings",
		"take one more drawdown near the setting you use")
	if codes(c.Notes) != "line-bends" {
		t.Errorf("notes %s", codes(c.Notes))
	}
}

// TestNoBand: two readings fix a line, whose band is that of usual scatter; a nameplate has none.
func TestNoBand(t *testing.T) {
	c := fit(t, one(20, 8), one(80, 38))
	band(t, "two readings", c, Position{Setting: 50}, 23, pooled(23, 0, 0, 1.5)) // 1 + 1/2: they lie evenly about it
	if c.HasSD || !c.FewToSpare() {
		t.Error("two readings have no scatter of their own")
	}
	says(t, c.Notes, "line-exact", "2 readings fix the line exactly: how far it is off cannot be told",
		"add a drawdown at a setting in between")
	if _, _, ok := FromNameplate(50).Band(Position{Setting: 50}); ok {
		t.Error("a nameplate has no band")
	}
	if c = fit(t, one(20, 8.1), one(50, 22.6), one(80, 36.8)); len(c.Notes) != 0 {
		t.Errorf("three good readings: %v", c.Notes)
	}
}

// TestChanceOfBend: for five even settings the square term is the contrast 2, −1, −2, −1, 2
// (sum of squares 14), and F with 1 and 2 degrees of freedom has the closed form
// P(F > f) = 1 − √(f/(f+2)), from t with two degrees.
func TestChanceOfBend(t *testing.T) {
	chance := func(y ...float64) (got, want float64) {
		var c Calibration
		for i, v := range y {
			c.Readings = append(c.Readings, one(10+20*float64(i), v))
		}
		if err := c.solve(Straight); err != nil {
			t.Fatal(err)
		}
		contrast, rss := 0.0, 0.0
		for i, k := range []float64{2, -1, -2, -1, 2} {
			contrast += k * y[i]
			rss += float64(c.Residuals[i] * c.Residuals[i])
		}
		square := contrast * contrast / 14
		f := square / ((rss - square) / 2)
		return c.chanceOfBend(), 1 - math.Sqrt(f/(f+2))
	}
	for _, y := range [][]float64{{10, 28, 44, 57, 66}, {5.1, 14.8, 25.3, 34.9, 45.1}, {10, 27, 45, 57, 70}, {3, 9, 16, 24, 33}} {
		got, want := chance(y...)
		near(t, "chance", got, want, 1e-9)
	}
	if got, _ := chance(12, 19, 22, 29, 32); got < 0.2 { // no clear curve
		t.Errorf("chance %g", got)
	}
	// an exact parabola cannot be chance
	if got, _ := chance(1, 5, 11, 19, 29); got != 0 {
		t.Errorf("a parabola by chance: %g", got)
	}
}

// TestWhenALineBends: at least four settings, over 3 % off, a curve at the 5 % level, rising throughout.
func TestWhenALineBends(t *testing.T) {
	parabola := func(q float64, settings ...float64) []Reading { // 10 + x/2, bent by q at the middle of 10 to 70
		var l []Reading
		for _, x := range settings {
			u := (x - 40) / 30
			l = append(l, one(x, 10+x/2+q*(1-u*u)))
		}
		return l
	}
	// On 10, 30, 50, 70 the contrast is (1, −1, −1, 1)/4 of the second difference: u² is 1, 1/9, 1/9, 1, so a line
	// misses by ∓ (8/9)/2 q = ∓ 4/9 q, worst at 10, where the reading is 15: q = 1 gives 0.444/15 = 2.96 %, 1.1 gives 3.26 %.
	for _, c := range []struct {
		what  string
		l     []Reading
		shape Shape
	}{
		{"under 3 %", parabola(1, 10, 30, 50, 70), Straight},
		{"over 3 %", parabola(1.1, 10, 30, 50, 70), Between},
		{"downwards", parabola(-1.1, 10, 30, 50, 70), Between},
		{"three settings", parabola(5, 10, 40, 40, 70, 70), Straight},
		{"scatter, not a curve", []Reading{one(10, 12), one(30, 19), one(50, 22), one(70, 29), one(90, 32)}, Straight},
		{"falls at the end", []Reading{one(10, 10), one(30, 28), one(50, 40), one(70, 47), one(90, 46.9)}, Straight},
		{"flat at the end", []Reading{one(10, 10), one(30, 28), one(50, 40), one(70, 47), one(90, 47)}, Straight},
		{"falls at the start", []Reading{one(10, 2), one(30, 1.9), one(50, 8), one(70, 20), one(90, 38)}, Straight},
		{"nothing at the start, under 3 % else", []Reading{one(10, 0), one(30, 10), one(50, 19.95), one(70, 29.85)}, Straight},
		{"rises from nothing", []Reading{one(10, 0), one(30, 2), one(50, 8), one(70, 20), one(90, 38)}, Between},
	} {
		if got := fit(t, c.l...); got.Shape != c.shape {
			t.Errorf("%s: shape %v, want %v", c.what, got.Shape, c.shape)
		}
	}
}

// TestOffTheLine: readings 10.6, 30, 50 and 69.4, 90, 110 at 10 to 110 in twenties would be too far; by hand
// on 20, 50, 80: 8, 24, 36: mean 68/3, slope 28/60 = 0.46667, line 8.6667, 22.6667, 36.6667;
// off by −0.6667/8.6667 = −7.7 %, +1.3333/22.6667 = 5.9 %, −0.6667/36.6667 = −1.8 %.
func TestOffTheLine(t *testing.T) {
	c := fit(t, one(20, 8), one(50, 24), one(80, 36))
	var got []string
	for _, n := range c.Notes {
		if n.Code == "drawdown-off" {
			got = append(got, n.Message)
		}
	}
	want := []string{"the drawdown at 20 % is -7.7 % off the line", "the drawdown at 50 % is 5.9 % off the line"}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q, want %q", got, want)
	}
	// The limit is 5 % of the line: on 20, 50, 80 at 10 + (−e, 2e, −e) + 0.2 (x − 20), line 10 at 20, 16 at 50.
	for _, limit := range []struct {
		e    float64
		want int
	}{{0.39, 0}, {0.41, 1}} { // 2 × 0.39/16 = 4.9 %, 2 × 0.41/16 = 5.1 %
		if c = fit(t, one(20, 10-limit.e), one(50, 16+2*limit.e), one(80, 22-limit.e)); len(c.Notes) != limit.want {
			t.Errorf("%g mL/min off: %v", limit.e, c.Notes)
		}
	}
	// Small pumps too: a line below 1 mL/min, 0.1 × the first.
	c = fit(t, one(20, 0.08), one(50, 0.24), one(80, 0.36))
	if codes(c.Notes) != "drawdown-off drawdown-off" {
		t.Errorf("a small pump: %v", c.Notes)
	}
	// Two knobs are named both. Along speed at strokes 40 and 80: 10, 24, 30 and 20, 48, 60; by hand the rows have
	// mean 64/3 and 128/3, slope 20/80; the line at 60 is the mean, 2.6667/21.333 = 12.5 % below the reading.
	c = fit(t, two(40, 20, 10), two(40, 60, 24), two(40, 100, 30), two(80, 20, 20), two(80, 60, 48), two(80, 100, 60))
	found := false
	for _, n := range c.Notes {
		found = found || n.Message == "the drawdown at stroke 40 %, speed 60 % is 12 % off the line" ||
			n.Message == "the drawdown at stroke 40 %, speed 60 % is 13 % off the line"
	}
	if !found {
		t.Errorf("two knobs: %v", c.Notes)
	}
}

// TestSwappedDrawdowns: a reading below one at a lower setting is asked about, once, at its
// cell; scatter within the 5 % of a check and other strokes are not.
func TestSwappedDrawdowns(t *testing.T) {
	for _, x := range []struct {
		name     string
		readings []Reading
		says     string
	}{
		{"rising", []Reading{one(20, 20), one(50, 50), one(80, 80)}, ""},
		{"two swapped", []Reading{one(20, 50), one(50, 20), one(80, 80)},
			"the drawdown at 20 % gave 50 mL/min, more than the 20 mL/min at 50 %: are the two swapped?"},
		{"scatter", []Reading{one(20, 20), one(50, 50), one(55, 47.6), one(80, 80)}, ""}, // 0.952
		{"more than scatter", []Reading{one(20, 20), one(50, 50), one(55, 47.4), one(80, 80)}, "at 50 % gave 50 mL/min"},
	} {
		var got []string
		for _, n := range fit(t, x.readings...).Notes {
			if n.Code == "drawdown-swapped" {
				got = append(got, n.Message)
			}
		}
		if (len(got) == 1) != (x.says != "") || len(got) > 1 || x.says != "" && !strings.Contains(got[0], x.says) {
			t.Errorf("%s: %q, want %q", x.name, got, x.says)
		}
	}
}
