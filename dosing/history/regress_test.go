package history

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"testing"
)

//go:embed testdata/norris.csv
var norris string

//go:embed testdata/longley.csv
var longley string

// table reads y and the columns of x, with the intercept.
func table(t *testing.T, text string) (x [][]float64, y []float64) {
	t.Helper()
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		row := []float64{1}
		for i, f := range strings.Split(strings.TrimSpace(line), ",") {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				y = append(y, v)
			} else {
				row = append(row, v)
			}
		}
		x = append(x, row)
	}
	return x, y
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

// close reports numbers that agree to so many digits.
func agree(got, want float64, digits int) bool {
	return math.Abs(got-want) <= math.Pow10(-digits)*math.Abs(want)
}

// The certified values of NIST's reference sets for linear regression (itl.nist.gov, StRD): estimates,
// their standard deviations, and the residual standard deviation. Data and values are typed from memory;
// that they fit each other to nine digits and more shows that both are whole.
func TestCertifiedRegressions(t *testing.T) {
	for _, c := range []struct {
		name, text string
		beta, sd   []float64
		residual   float64
		digits     int
	}{
		{"Norris", norris, []float64{-0.262323073774029, 1.00211681802045}, []float64{0.232818234301152, 0.429796848199937e-03}, 0.884796396144373, 10},
		{"Longley", longley, []float64{-3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683, -1.03322686717359, -0.511041056535807e-01, 1829.15146461355},
			[]float64{890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212}, 304.854073561965, 8},
	} {
		x, y := table(t, c.text)
		s, ok := solve(x, y, ones(len(y)))
		if !ok {
			t.Fatal(c.name)
		}
		res := math.Sqrt(s.rss / float64(len(y)-len(c.beta)))
		if !agree(res, c.residual, c.digits) {
			t.Errorf("%s: residual sd %v, want %v", c.name, res, c.residual)
		}
		for i := range c.beta {
			if got := res * math.Sqrt(s.unit.At(i, i)); !agree(s.beta[i], c.beta[i], c.digits) || !agree(got, c.sd[i], c.digits) {
				t.Errorf("%s: %d: %v (%v), want %v (%v)", c.name, i, s.beta[i], got, c.beta[i], c.sd[i])
			}
		}
	}
}

// A row of half the variance counts as two rows: the second route to weights, on the Norris set.
func TestWeightsAreRepeats(t *testing.T) {
	x, y := table(t, norris)
	v := ones(len(y))
	var xx [][]float64
	var yy []float64
	for i := range y {
		n := i%3 + 1
		v[i] = 1 / float64(n)
		for range n {
			xx, yy = append(xx, x[i]), append(yy, y[i])
		}
	}
	a, _ := solve(x, y, v)
	b, _ := solve(xx, yy, ones(len(yy)))
	for i := range a.beta {
		if !agree(a.beta[i], b.beta[i], 11) || !agree(a.unit.At(i, i), b.unit.At(i, i), 11) {
			t.Errorf("%d: %v %v", i, a.beta[i], b.beta[i])
		}
	}
	if !agree(a.rss, b.rss, 9) || !agree(a.logDet, b.logDet, 11) {
		t.Errorf("%v %v, %v %v", a.rss, b.rss, a.logDet, b.logDet)
	}
}

// A university course's table of alum against raw turbidity at two temperatures: dose = 12.17 + 4.611 sqrt(NTU)
// above 10 C (R2 0.9973) and 7.20 + 3.788 sqrt(NTU) below (R2 0.9981), least squares of the ten cells.
func TestCourseTable(t *testing.T) {
	ntu := []float64{1, 10, 50, 100, 200}
	for _, c := range []struct {
		dose     []float64
		a, b, r2 float64
	}{
		{[]float64{17, 27, 43, 60, 77}, 12.17, 4.611, 0.9973},
		{[]float64{10, 20, 34, 46, 60}, 7.20, 3.788, 0.9981},
	} {
		var x [][]float64
		mean, all := 0.0, 0.0
		for i, v := range ntu {
			x, mean = append(x, []float64{1, math.Sqrt(v)}), mean+c.dose[i]/5
		}
		for _, d := range c.dose {
			all += (d - mean) * (d - mean)
		}
		s, _ := solve(x, c.dose, ones(5))
		if math.Abs(s.beta[0]-c.a) > 0.005 || math.Abs(s.beta[1]-c.b) > 0.0005 || math.Abs(1-s.rss/all-c.r2) > 0.00005 {
			t.Errorf("%v R2 %v, want %v %v %v", s.beta, 1-s.rss/all, c.a, c.b, c.r2)
		}
	}
}

// Columns that depend on each other, or fewer rows than columns, give nothing.
func TestUnsolvable(t *testing.T) {
	if _, ok := solve([][]float64{{1, 2}, {1, 2}, {1, 2}}, []float64{1, 2, 3}, ones(3)); ok {
		t.Error("one column twice")
	}
	if _, ok := solve([][]float64{{1, 2}}, []float64{1}, ones(1)); ok {
		t.Error("one row")
	}
	if _, ok := solve(nil, nil, nil); ok {
		t.Error("nothing")
	}
}
