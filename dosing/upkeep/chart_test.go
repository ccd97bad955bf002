package upkeep

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

var shifts = []float64{0, 0.25, 0.5, 0.75, 1, 1.5, 2, 3}

// printed reports a number that rounds to a printed one of so many digits.
func printed(got, want float64) bool {
	unit := math.Pow10(int(math.Floor(math.Log10(want))) - 2)
	return math.Abs(got-want) <= 0.51*unit
}

// Average run lengths as published: Lucas and Saccucci 1990 table 3 (EWMA 0.5 with 3.071 and 0.03 with 2.437), Lucas and
// Crosier 1982 table 1 (CUSUM 0.5, 4); and, worked out elsewhere by 80 nodes of
// Gauss and Legendre, the charts of this package.
func TestPublishedRunLengths(t *testing.T) {
	for _, c := range []struct {
		name string
		run  func(float64) float64
		want []float64
	}{
		{"EWMA 0.5", EWMA{0.5, 3.071}.RunLength, []float64{500, 255, 88.8, 35.9, 17.5, 6.53, 3.63, 1.93}},
		{"EWMA 0.03", EWMA{0.03, 2.437}.RunLength, []float64{500, 76.7, 29.3, 17.6, 12.6, 8.07, 5.99, 4.03}},
		{"CUSUM 4", CUSUM{0.5, 4}.RunLength, []float64{168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.19}},
		{"CUSUM 5", Dating.RunLength, []float64{465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 2.57}},
		{"EWMA 0.2, 370", Seldom.RunLength, []float64{370, 121, 36.2, 16.4, 9.8, 5.2, 3.6, 2.3}},
	} {
		for i, want := range c.want {
			got := c.run(shifts[i])
			if i == 0 && want == 500 { // the limit is printed to four digits, which moves 500 by one
				if math.Abs(got-want) > 1.5 {
					t.Errorf("%s, no shift: %v, want %v", c.name, got, want)
				}
			} else if !printed(got, want) && !(want < 10 && math.Abs(got-want) <= 0.051 && c.name == "EWMA 0.2, 370") {
				t.Errorf("%s, shift %v: %v, want %v", c.name, shifts[i], got, want)
			}
		}
	}
	// A statistics manual of 1999 prints 11.154267016 for lambda 0.25, limit 3 and a shift of one.
	if got := (EWMA{0.25, 3}).RunLength(1); math.Abs(got-11.154267016) > 1e-8 {
		t.Errorf("%v", got)
	}
	// Limits for 250 readings, Crowder 1989: they are printed to two decimals.
	for lambda, limit := range map[float64]float64{0.05: 2.32, 0.10: 2.55, 0.15: 2.65, 0.20: 2.72, 0.25: 2.76} {
		if got := (EWMA{lambda, limit}).RunLength(0); got < 240 || got > 260 {
			t.Errorf("lambda %v: %v", lambda, got)
		}
	}
}

// The other route: the average cut into so many states, whose chain is solved (Brook and Evans 1972).
func TestRunLengthsByChain(t *testing.T) {
	chain := func(c EWMA, shift float64) float64 {
		const n = 401
		h := c.Limit * math.Sqrt(c.Lambda/(2-c.Lambda))
		wide := 2 * h / n
		a, one := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for i := range n {
			from := -h + (float64(i)+0.5)*wide
			for j := range n {
				up := (-h + float64(j+1)*wide - (1-c.Lambda)*from) / c.Lambda
				v := -(distuv.UnitNormal.CDF(up-shift) - distuv.UnitNormal.CDF(up-wide/c.Lambda-shift))
				if i == j {
					v++
				}
				a.Set(i, j, v)
			}
			one.SetVec(i, 1)
		}
		var x mat.VecDense
		if err := x.SolveVec(a, one); err != nil {
			t.Fatal(err)
		}
		return x.AtVec(n / 2)
	}
	for _, c := range []EWMA{Seldom, {0.1, 2.7}} {
		for _, s := range []float64{0, 0.5, 1, 2} {
			if got, want := c.RunLength(s), chain(c, s); math.Abs(got/want-1) > 0.002 {
				t.Errorf("%v, shift %v: %v, by the chain %v", c, s, got, want)
			}
		}
	}
}

// A third route, and the chart as it is used: drawn readings cry out as often as is said, and a shift is dated near its beginning.
func TestChartOnDrawnReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	runs, sum := 3000, 0.0
	for range runs {
		z, n := 0.0, 0
		for h := Seldom.Limit * math.Sqrt(0.2/1.8); math.Abs(z) <= h; n++ {
			z = 0.2*(r.NormFloat64()+1) + 0.8*z
		}
		sum += float64(n)
	}
	if got, want := sum/float64(runs), Seldom.RunLength(1); math.Abs(got/want-1) > 0.04 {
		t.Errorf("%v, said %v", got, want)
	}
	found, near, false0, size := 0, 0, 0, 0.0
	for range 500 {
		x := make([]float64, 40)
		for i := range x {
			x[i] = r.NormFloat64()
		}
		if _, off := Seldom.Off(x); off {
			false0++
		}
		for i := 28; i < 40; i++ {
			x[i] += 2
		}
		if m, off := Seldom.Off(x); off && m.Mean > 0 {
			found++
			size += m.Mean
			if m.Since >= 26 && m.Since <= 30 && m.At >= m.Since {
				near++
			}
		}
	}
	if found < 495 || near < 450 || false0 > 15 || math.Abs(size/float64(found)-2) > 0.15 {
		t.Errorf("%d found, %d dated, %d false, of size %v", found, near, false0, size/float64(found))
	}
}

// By hand: of 3, 3, 3 the averages are 0.6, 1.08, 1.464; the limits 2.859·0.2 = 0.572, 2.859·√(0.1111·0.5904) = 0.732 and so on,
// so the first cries out; what has come back does not.
func TestOffByHand(t *testing.T) {
	if m, off := Seldom.Off([]float64{3, 3, 3}); !off || m != (Move{At: 0, Since: 0, Mean: 3}) {
		t.Errorf("%+v %v", m, off)
	}
	if _, off := Seldom.Off([]float64{2.8, 0, 0}); off { // 0.56 is within 0.572
		t.Error("2.8 cries out")
	}
	if _, off := Seldom.Off([]float64{3, 3, 0, -1, -1, 0}); off {
		t.Error("what came back")
	}
	if m, off := Seldom.Off([]float64{0.2, 0.1, -3, -3, -3}); !off || m.Since != 2 || math.Abs(m.Mean+3) > 1e-12 {
		t.Errorf("%+v %v", m, off)
	}
	// Readings a little low before the step: from the third on (3·3)²/3 = 27 is taken off the squares, from the first (0.6·2 + 9)²/5 = 20.8.
	if m, off := Seldom.Off([]float64{-0.6, -0.6, -3, -3, -3}); !off || m.Since != 2 || math.Abs(m.Mean+3) > 1e-12 {
		t.Errorf("%+v %v", m, off)
	}
	if _, off := Seldom.Off(nil); off {
		t.Error("nothing moved")
	}
}

// By hand, of the squares that a step takes off: from the second on (2+4)²/2 = 18, from the third 4² = 16, from the first (0+2+4)²/3 = 12; where it
// has to begin by the first it does.
func TestStepByHand(t *testing.T) {
	if at, mean := StepIn([]float64{0, 2, 4}, 0, 2); at != 1 || mean != 3 {
		t.Errorf("%d %v", at, mean)
	}
	if at, mean := StepIn([]float64{0, 2, 4}, 0, 0); at != 0 || mean != 2 {
		t.Errorf("%d %v", at, mean)
	}
	if at, mean := StepIn([]float64{0, 2, 4}, 2, 2); at != 2 || mean != 4 {
		t.Errorf("%d %v", at, mean)
	}
}

// By hand: 1, 3, 2 differ by 2 and 1, 1.5 on average, which over 1.128 is 1.3298.
func TestByMovingRange(t *testing.T) {
	got := ByMovingRange([]float64{1, 3, 2})
	for i, want := range []float64{1 / 1.32979, 3 / 1.32979, 2 / 1.32979} {
		if math.Abs(got[i]-want) > 1e-5 {
			t.Errorf("%v, want %v", got[i], want)
		}
	}
	if x := ByMovingRange([]float64{2, 2}); x[0] != 0 || len(ByMovingRange(nil)) != 0 {
		t.Errorf("%v", x)
	}
}
