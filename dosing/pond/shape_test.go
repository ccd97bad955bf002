package pond

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// under is the water of a pond by numeric integration: the depth under each of many small squares of the surface, which
// is that of the bottom or of the nearest side that rises by 1 over slope, whichever is less.
func under(inside func(x, y float64) (fromSide float64, in bool), l, b, slope float64, bottom func(x float64) float64) float64 {
	const n = 1500
	sum := 0.0
	for i := range n {
		for j := range n {
			x, y := (float64(i)+0.5)*l/n, (float64(j)+0.5)*b/n
			side, in := inside(x, y)
			if !in {
				continue
			}
			d := bottom(x)
			if slope > 0 {
				d = min(d, side/slope)
			}
			sum += d
		}
	}
	return sum * l * b / n / n
}

func rectangle(l, b float64) func(x, y float64) (float64, bool) {
	return func(x, y float64) (float64, bool) { return min(x, l-x, y, b-y), true }
}

func circle(d float64) func(x, y float64) (float64, bool) {
	return func(x, y float64) (float64, bool) {
		r := math.Hypot(x-d/2, y-d/2)
		return d/2 - r, r < d/2
	}
}

func level(h float64) func(float64) float64 { return func(float64) float64 { return h } }

// TestOddPonds holds volumes against numeric integration over the surface.
func TestOddPonds(t *testing.T) {
	for _, x := range []struct {
		size   string
		inside func(x, y float64) (float64, bool)
		l, b   float64
		slope  float64
		bottom func(float64) float64
		good   float64 // share that the rule may be off
	}{
		{"60 x 40 x 1.2 m", rectangle(60, 40), 60, 40, 0, level(1.2), 1e-9},
		{"60 x 40 x 1.2 m slope 2", rectangle(60, 40), 60, 40, 2, level(1.2), 2e-5},
		{"30 x 4 x 1 m slope 1.5", rectangle(30, 4), 30, 4, 1.5, level(1), 1e-4}, // where h/3·(A1+A2+√(A1·A2)) is 6 % short
		{"20 m round x 1 m", circle(20), 20, 20, 0, level(1), 2e-4},
		{"20 m round x 1 m slope 3", circle(20), 20, 20, 3, level(1), 1e-4},
		{"2400 m2 x 1.2 m slope 2", rectangle(math.Sqrt(2400), math.Sqrt(2400)), math.Sqrt(2400), math.Sqrt(2400), 2, level(1.2), 2e-5},
		{"60 x 40 x 0.8-1.6 m", rectangle(60, 40), 60, 40, 0, func(x float64) float64 { return 0.8 + 0.8*x/60 }, 1e-9},
		{"60 x 40 x 0.8-1.6 m slope 2", rectangle(60, 40), 60, 40, 2, func(x float64) float64 { return 0.8 + 0.8*x/60 }, 0.01}, // the mean depth is no more than that
	} {
		s, err := ParseSize(x.size)
		if err != nil {
			t.Errorf("%s: %v", x.size, err)
			continue
		}
		v, ok, err := s.Measured()
		want := under(x.inside, x.l, x.b, x.slope, x.bottom)
		if got := v.In("m3"); err != nil || !ok || math.Abs(got-want) > x.good*want {
			t.Errorf("%s: %.4f m3, integrated %.4f (%v %v)", x.size, got, want, ok, err)
		}
	}
}

// TestFrustum: where bottom and surface are alike the rule is h/3·(A1 + A2 + √(A1·A2)), as handbooks of surveying have it.
func TestFrustum(t *testing.T) {
	for _, x := range []struct {
		size      string
		a1, a2, h float64
	}{
		{"50 x 50 x 1.5 m slope 2", 2500, 44 * 44, 1.5},
		{"30 m round x 2 m slope 1", math.Pi * 225, math.Pi * 169, 2},
		{"900 m2 x 1 m slope 3", 900, 24 * 24, 1},
	} {
		s, err := ParseSize(x.size)
		if err != nil {
			t.Fatal(err)
		}
		v, _, err := s.Measured()
		if want := x.h / 3 * (x.a1 + x.a2 + math.Sqrt(x.a1*x.a2)); err != nil || math.Abs(v.In("m3")-want) > 1e-9*want {
			t.Errorf("%s: %v, want %v (%v)", x.size, v.In("m3"), want, err)
		}
	}
}

// TestParseSize: what people write of a pond.
func TestParseSize(t *testing.T) {
	const rai, acre, foot = 1600, 4046.8564224, 0.3048
	for _, x := range []struct {
		text         string
		m3, m2, deep float64 // zero for not told
	}{
		{"5000 m2 x 1.2 m", 6000, 5000, 1.2}, {"5000 m2 × 1.2 m", 6000, 5000, 1.2}, {"5000 m2*1.2 m", 6000, 5000, 1.2}, {"5000 m² x 120 cm", 6000, 5000, 1.2},
		{"60 x 40 x 1.2 m", 2880, 2400, 1.2}, {"60x40x1.2m", 2880, 2400, 1.2}, {"60 m x 40 m x 120 cm", 2880, 2400, 1.2}, {"60 by 40 by 1.2 m", 2880, 2400, 1.2},
		{"200 x 100 x 4 ft", 80000 * foot * foot * foot, 20000 * foot * foot, 4 * foot},
		{"2 rai x 1.5 m", 4800, 2 * rai, 1.5}, {"1.5 acre x 4 ft", 1.5 * acre * 4 * foot, 1.5 * acre, 4 * foot}, {"1 ha x 1 m", 10000, 10000, 1},
		{"2 rai 1 ngan x 1.5 m", 5400, 3600, 1.5}, {"2 rai 1 ngan 50 wah x 1.5 m", 5700, 3800, 1.5}, {"2-1-50 rai x 1.5 m", 5700, 3800, 1.5}, {"3 ngan 25 sq wah x 1 m", 1300, 1300, 1},
		{"2 rai 50 wah2 x 1.2 m", 4080, 3400, 1.2}, {"200 square wah x 1 m", 800, 800, 1}, {"2 ไร่ 1 งาน x 1.5 m", 5400, 3600, 1.5},
		{"5,000 m2 x 1.2 m", 6000, 5000, 1.2}, {"5000 m2 x 1,2 m", 6000, 5000, 1.2}, {"5.000 m2 x 1,2 m", 6000, 5000, 1.2}, {"5 000 m2 x 1.2 m", 6000, 5000, 1.2}, {"3,5 m3", 3.5, 0, 0},
		{"1,234,000 L", 1234, 0, 0}, {"1.234.000 L", 1.234e3, 0, 0}, {"60 x 40 x 0,8-1,6 m", 2880, 2400, 1.2}, {"0,800 m3", 0.8, 0, 0}, {"1,500.5 m3", 1500.5, 0, 0}, {"1.500,5 m3", 1500.5, 0, 0},
		{"3 acre-ft", 3 * acre * foot, 0, 0}, {"14 m3", 14, 0, 0}, {"5000 L", 5, 0, 0}, {"10000 gal", 37.85411784, 0, 0},
		{"20 m round x 1 m", 100 * math.Pi, 100 * math.Pi, 1}, {"diameter 20 m x 1 m", 100 * math.Pi, 100 * math.Pi, 1}, {"20 round x 1 m", 100 * math.Pi, 100 * math.Pi, 1},
		{"60 x 40 x 0.8-1.6 m", 2880, 2400, 1.2}, {"60 x 40 x 0.8 to 1.6 m", 2880, 2400, 1.2}, {"60 x 40 x 1.2 m, slope 0", 2880, 2400, 1.2}, {"60 x 40 x 1.2 m slope 2:1", 2601.216, 2400, 1.2},
	} {
		s, err := ParseSize(x.text)
		v, ok, bad := s.Measured()
		if s.Volume.OK {
			v, ok = s.Volume.V, true
		}
		if err != nil || bad != nil || !ok || math.Abs(v.In("m3")-x.m3) > 1e-9*x.m3 || math.Abs(float64(s.Surface().V)-x.m2) > 1e-9*x.m2 ||
			math.Abs(float64(s.Deep().V)-x.deep) > 1e-9 || s.Said != x.text {
			t.Errorf("%s: %v m3, %v m2, %v m: %v %v", x.text, v.In("m3"), s.Surface().V, s.Deep().V, err, bad)
		}
	}
	for _, text := range []string{"", "pond", "5000 m2", "60 x 40 m", "1.2 m", "60 x 40 x 1.2", "5000 m2 x 1.2", "5000 m2 x 1.2 kg", "0 m3", "-5 m3", "60 x 40 x 1.2 m x 3", "20 m x 1 m",
		"60 x 40 x 1.2 m slope", "60 x 40 x 1.2 m slope -1", "60 x 40 x 1.2 m slope 30", "60 x 40 x 1.2 m slope NaN", "60 x 0 x 1.2 m", "60 x 40 x 0.8-kg", "1 m2 x 2 m x 3 m"} {
		if s, err := ParseSize(text); err == nil {
			t.Errorf("%q was read: %+v", text, s)
		}
	}
	for text, why := range map[string]string{"5,000 m2 x 1,2 m": `the comma of "5,000" in "5,000 m2 x 1,2 m" may part thousands or decimals: write 5000 or 5`,
		"5,000 m2 x 1 m": `write 5000 or 5`, "12,000 m3": "write 12000 or 12", "1.200 m3": `the point of "1.200" in "1.200 m3" may part thousands or decimals: write 1200 or 1.2`,
		"1.234 m3": "write 1234 or 1.2340", "5.000 m2 x 1 m": "write 5000 or 5", "1,200 x 1,5 x 2.5 m": "may part thousands"} {
		if s, err := ParseSize(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q was read: %+v %v", text, s, err)
		}
	}
	for text, m3 := range map[string]float64{"1.2 m3": 1.2, "1.2340 m3": 1.234, "0.850 m3": 0.85, "5000 m2 x 1.250 m": 6250, "1.250 m2 x 0.5 m": 0.625, "5.000 m2 x 1,2 m": 6000, "20 m2 x 1.125 m": 22.5} {
		s, err := ParseSize(text) // a depth is told by its unit, the rest by their other number
		v, _, bad := s.Measured()
		if s.Volume.OK {
			v = s.Volume.V
		}
		if err != nil || bad != nil || math.Abs(v.In("m3")-m3) > 1e-9*m3 {
			t.Errorf("%q: %v m3, want %g: %v %v", text, v.In("m3"), m3, err, bad)
		}
	}
	s, err := ParseSize("10 x 4 x 2 m slope 1.5")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.Measured(); err == nil || !strings.Contains(err.Error(), "sides of 1.5 run over 1 rise meet 1.333 m below the surface, above the bottom at 2 m") {
		t.Errorf("sides that meet: %v", err)
	}
}

// TestDoses: what a dose that is told for a pond comes to in its water.
func TestDoses(t *testing.T) {
	pond, surface := quantity.Volume(6e6), quantity.Some(quantity.Area(5000))
	for _, x := range []struct {
		text    string
		density float64
		mgL     float64
	}{
		{"150 kg per pond", 0, 25}, {"150 kg/pond", 0, 25}, {"150 kg per tank", 0, 25},
		{"300 kg/ha", 0, 25}, // 300 kg x 0.5 ha / 6000 m3
		{"30 g/m2", 0, 25}, {"48 kg per rai", 0, 48 * 5000. / 1600 / 6}, {"100 lb/acre", 0, 45.359237 * 5000 / 4046.8564224 / 6}, {"3 kg per 100 m2", 0, 25},
		{"20 mL/m3", 1.25, 25}, {"0.2 mL per 10 L bucket", 1.25, 25}, {"1 mL per bucket of 50 L", 1.25, 25}, {"120 L per pond", 1.25, 25}, {"2 kg per 80 m3", 0, 25}, {"37,5 kg per 1500 m3", 0, 25}, {"1,5 kg per 60,0 m3", 0, 25},
	} {
		d, err := ParseDose(x.text)
		if err != nil {
			t.Errorf("%s: %v", x.text, err)
			continue
		}
		c, err := d.In(pond, surface, quantity.Density(x.density))
		if err != nil || math.Abs(float64(c)-x.mgL) > 1e-9*x.mgL {
			t.Errorf("%s: %v mg/L, want %v (%v)", x.text, float64(c), x.mgL, err)
		}
	}
	if d, err := ParseDose("20 kg per pond as gypsum"); err != nil || d.Basis != quantity.AsGypsum || d.Said != "20 kg per pond" || d.Mass != 20 {
		t.Errorf("a basis: %+v %v", d, err)
	}
	for text, why := range map[string]string{"5 mL per bucket": "how much water the bucket holds", "20 kg": "not a dose", "20 kg per fish": "neither a pond", "kg per pond": "not a dose", "0 kg per pond": "not a dose",
		"20 kg per pond as nonsense": "not known"} {
		if _, err := ParseDose(text); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: %v", text, err)
		}
	}
	for text, why := range map[string]string{"300 kg/ha": "neither the surface nor the depth", "5 mL/m3": "density is not known"} {
		d, err := ParseDose(text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err = d.In(pond, quantity.Known[quantity.Area]{}, 0); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// TestCount: whole measures, and what is over.
func TestCount(t *testing.T) {
	for _, x := range []struct {
		m, each float64
		whole   int
		rest    float64
	}{
		{150, 2, 75, 0}, {75, 2, 37, 1}, {1, 2, 0, 1}, {104.04864, 2, 52, 0}, {149.99, 2, 75, 0}, {20.7177, 20, 1, 0.7177}, {309.3, 25, 12, 9.3}, {5, 0, 0, 5}, {0, 2, 0, 0}, {1.99, 2, 1, 0},
	} {
		if n, rest := Count(quantity.Mass(x.m), quantity.Mass(x.each)); n != x.whole || math.Abs(float64(rest)-x.rest) > 1e-9 {
			t.Errorf("%v in measures of %v: %d and %v", x.m, x.each, n, float64(rest))
		}
	}
}

// TestBottom: between sides of 2 to 1 at 1.2 m 60 x 40 m come in by 4.8 m each way; round ones by their diameter; upright walls have the surface's.
func TestBottom(t *testing.T) {
	for size, want := range map[string]float64{"60 x 40 x 1.2 m slope 2": 55.2 * 35.2, "20 m round x 1 m slope 3": math.Pi / 4 * 14 * 14, "2400 m2 x 1.2 m slope 2": (math.Sqrt(2400) - 4.8) * (math.Sqrt(2400) - 4.8),
		"60 x 40 x 0.8-1.6 m slope 2": 55.2 * 35.2, "60 x 40 x 1.2 m": 0, "14 m3": 0} {
		s, err := ParseSize(size)
		if got := s.Bottom(); err != nil || got.OK != (want > 0) || math.Abs(float64(got.V)-want) > 1e-9*want {
			t.Errorf("%s: %v, want %v (%v)", size, got, want, err)
		}
	}
}

// TestMeasuresAreWeighed: a dose in scoops or buckets is so many times what one holds, where that is known.
func TestMeasuresAreWeighed(t *testing.T) {
	scoop, none := quantity.Some(quantity.Mass(0.05)), quantity.Known[quantity.Mass]{}
	for text, want := range map[string]float64{"2 scoops per pond": 0.1, "1 level scoop per pond": 0.05, "2.5 scoops/pond": 0.125, "3 buckets per pond": 6} {
		d, err := ParseDose(text)
		if err != nil {
			t.Fatal(err)
		}
		got, err := d.Weighed(scoop, quantity.Some(quantity.Mass(2)))
		if err != nil || math.Abs(float64(got.Mass)-want) > 1e-12 {
			t.Errorf("%s: %v %v, want %v kg", text, got.Mass, err, want)
		}
		if _, err = d.Weighed(none, none); err == nil || !strings.Contains(err.Error(), "is not known") {
			t.Errorf("%s, and nobody weighed one: %v", text, err)
		}
	}
	if d, err := ParseDose("20 kg per pond"); err != nil {
		t.Error(err)
	} else if got, err := d.Weighed(none, none); err != nil || got.Mass != 20 {
		t.Errorf("kilograms: %v %v", got, err)
	}
}

// Sides of 1 run over 1 rise take 1 m off each end at a depth of 1 m: 8 x 8 m of bottom under 10 x 10 m.
func TestBottomOfSteepSides(t *testing.T) {
	s, err := ParseSize("10 x 10 x 1 m slope 1")
	if b := s.Bottom(); err != nil || !b.OK || math.Abs(float64(b.V)-64) > 1e-9 {
		t.Errorf("%v, %v", b, err)
	}
}

// What is over counts as nothing up to half a per cent of the mass, where that is less than a twentieth of a bucket: 0.48 kg of 100.48, and not
// 0.48 kg of 80.48, of which half a per cent is 0.40.
func TestALittleOverIsNothing(t *testing.T) {
	for _, c := range []struct {
		mass, each quantity.Mass
		whole      int
		rest       float64
	}{{100.48, 20, 5, 0}, {80.48, 20, 4, 0.48}} {
		whole, rest := Count(c.mass, c.each)
		if whole != c.whole || math.Abs(float64(rest)-c.rest) > 1e-9 {
			t.Errorf("%v in %v: %d and %v", c.mass, c.each, whole, rest)
		}
	}
}
