package mixing

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// TestPaddleAndJar: the G of another paddle and jar follows from P = Np·ρ·n³·D⁵ and G = √(P/(μV)) with the same power number: a
// 50 mm paddle in 1 L gives (50/76)^2.5·√2 times the G of 76 mm in 2 L. By the power number 1.75 in the middle of the range,
// 100 rpm in 1 L at 20 C: P = 1.75·998.23·(100/60)³·0.05⁵ = 0.0025274 W, G = √(0.0025274/(1.0016e-3·1e-3)) = 50.2 1/s.
func TestPaddleAndJar(t *testing.T) {
	usual := PaddleStirrer(quantity.Known[quantity.Length]{}, quantity.Known[quantity.Volume]{})
	small := PaddleStirrer(quantity.Some(quantity.Length(0.05)), quantity.Some(quantity.Volume(1)))
	a, _ := usual.G(100, 20)
	b, _ := small.G(100, 20)
	near(t, "ratio", float64(b/a), math.Pow(50.0/76, 2.5)*math.Sqrt2, 1e-9)
	byPower := float64(FromPower(impellerPower(1.75, 100, 0.05, 20), 1, 20))
	near(t, "by hand", byPower, 50.2, 0.05)
	near(t, "small", float64(b), byPower, 0.02*byPower)
	near(t, "a jar of half", float64(PaddleStirrer(quantity.Known[quantity.Length]{}, quantity.Some(quantity.Volume(1))).Points[0].G), 16.5*math.Sqrt2, 1e-9)
}

// TestSpeed: the speed for a G is that which makes this G again, on the curve and beyond it, at any temperature; on
// the curve it is the speed of the point.
func TestSpeed(t *testing.T) {
	s := PaddleStirrer(quantity.Known[quantity.Length]{}, quantity.Known[quantity.Volume]{})
	for _, p := range s.Points {
		n, err := s.Speed(p.G, 20)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "speed", float64(n), float64(p.Speed), 1e-9)
	}
	rapid.Check(t, func(r *rapid.T) {
		g := quantity.Gradient(rapid.Float64Range(0.5, 5000).Draw(r, "G"))
		temp := quantity.Temperature(rapid.Float64Range(0, 40).Draw(r, "C"))
		n, err := s.Speed(g, temp)
		back, no := s.G(n, temp)
		if err != nil || no != nil || math.Abs(float64(back/g)-1) > 1e-9 {
			r.Fatalf("%v at %v: %v, which gives %v", g, temp, n, back)
		}
	})
	// Colder water takes more speed: at 5 C by √(1.519/1.0016) of G (viscosities: engineering table, IAPWS 2008), to the 2/3 beyond the curve.
	warm, _ := s.Speed(1000, 20)
	cold, _ := s.Speed(1000, 5)
	near(t, "cold over warm", float64(cold/warm), math.Pow(1.519/1.0016, 1.0/3), 0.001)
}

// TestParseStirrer: a curve as somebody writes it off the maker's chart. Between 30 rpm, 16 1/s, and 120 rpm, 128 1/s, G goes
// with the 1.5th power, so that 60 rpm give 16·2^1.5 = 45.25 1/s.
func TestParseStirrer(t *testing.T) {
	s, err := ParseStirrer("120 rpm=128 1/s; 30 rpm = 16 1/s;")
	if err != nil || s.Derived || s.At != 20 {
		t.Fatalf("%+v %v", s, err)
	}
	g, _ := s.G(60, 20)
	near(t, "G at 60 rpm", float64(g), 45.2548, 0.0001)
	for _, bad := range []string{"", "30 rpm", "30=16", "30 rpm=16 rpm", "30 rpm=16 1/s; 30 rpm=20 1/s", "30 rpm=16 1/s; 60 rpm=12 1/s", "0 rpm=1 1/s", "word"} {
		if s, err := ParseStirrer(bad); err == nil {
			t.Errorf("%q is read as %+v", bad, s)
		}
	}
}

// TestMimic: where no usual stirrer reaches a stage's G, the jar is stirred as near as one does for as long as gives the
// same Gt. With G = n^1.5 at 20 C (100 rpm, 1000 1/s): 300 rpm make 5196.2 1/s, so 10,000 1/s for 30 s, which take
// 100·10^(2/3) = 464.2 rpm, become 300 rpm for 57.735 s; 20 1/s take 7.368 rpm, and 10 rpm make 31.62 1/s, so 600 s
// become 379.5 s.
func TestMimic(t *testing.T) {
	s := Stirrer{At: 20, Points: []StirrerPoint{{100, 1000}}}
	for _, c := range []struct {
		g, seconds            float64
		needs, speed, stirred float64
		reach                 Reach
	}{
		{10000, 30, 464.159, 300, 57.735, TooFast}, {1000, 30, 100, 100, 30, Within}, {20, 600, 7.3681, 10, 379.47, TooSlow},
	} {
		step, err := s.Mimic(Stage{Rapid, quantity.Gradient(c.g), quantity.Time(c.seconds / 3600)}, 20)
		if err != nil || step.Reach != c.reach {
			t.Errorf("%g 1/s: %+v, %v", c.g, step, err)
		}
		near(t, "needs", float64(step.Needs), c.needs, 0.001)
		near(t, "speed", float64(step.Speed), c.speed, 1e-9)
		near(t, "time", step.Stay.In("s"), c.stirred, 0.005)
		g, _ := s.G(step.Speed, 20)
		near(t, "Gt", Product(g, step.Stay)/(c.g*c.seconds), 1, 1e-9)
	}
	if _, err := (Stirrer{}).Mimic(Stage{Rapid, 100, 1}, 20); err == nil {
		t.Error("a stirrer without a curve mimics")
	}
}
