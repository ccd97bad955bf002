package lsq

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/num/dual"
)

// The 27 models of NIST's Statistical Reference Datasets (nonlinear regression),
// as printed in the data files, in dual numbers, so that the Jacobians are exact.
type nistModel func(b []dual.Number, x []float64) dual.Number

func c(v float64) dual.Number { return dual.Number{Real: v} }

func sum(v ...dual.Number) dual.Number {
	s := v[0]
	for _, x := range v[1:] {
		s = dual.Add(s, x)
	}
	return s
}

func mul(v ...dual.Number) dual.Number {
	s := v[0]
	for _, x := range v[1:] {
		s = dual.Mul(s, x)
	}
	return s
}

func times(k float64, a dual.Number) dual.Number { return dual.Scale(k, a) }
func neg(a dual.Number) dual.Number              { return dual.Scale(-1, a) }
func div(a, b dual.Number) dual.Number           { return dual.Mul(a, dual.Inv(b)) }

// expo is b exp(-k x).
func expo(b, k dual.Number, x float64) dual.Number { return mul(b, dual.Exp(times(-x, k))) }

// bell is b exp(-((x-m)/s)^2).
func bell(b, m, s dual.Number, x float64) dual.Number {
	t := div(dual.Sub(c(x), m), s)
	return mul(b, dual.Exp(neg(mul(t, t))))
}

func rational(top, bottom []dual.Number, x float64) dual.Number {
	t, u, p := c(0), c(1), 1.0
	for _, b := range top {
		t = dual.Add(t, times(p, b))
		p *= x
	}
	p = x
	for _, b := range bottom {
		u = dual.Add(u, times(p, b))
		p *= x
	}
	return div(t, u)
}

func threeExp(b []dual.Number, x []float64) dual.Number {
	return sum(expo(b[0], b[1], x[0]), expo(b[2], b[3], x[0]), expo(b[4], b[5], x[0]))
}

func gauss(b []dual.Number, x []float64) dual.Number {
	return sum(expo(b[0], b[1], x[0]), bell(b[2], b[3], b[4], x[0]), bell(b[5], b[6], b[7], x[0]))
}

func chwirut(b []dual.Number, x []float64) dual.Number {
	return div(dual.Exp(times(-x[0], b[0])), sum(b[1], times(x[0], b[2])))
}

func wave(amount, period dual.Number, x float64, f func(dual.Number) dual.Number) dual.Number {
	return mul(amount, f(times(2*math.Pi*x, dual.Inv(period))))
}

var nistModels = map[string]nistModel{
	"Misra1a": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Sub(c(1), dual.Exp(times(-x[0], b[1]))))
	},
	"Chwirut1": chwirut, "Chwirut2": chwirut,
	"Lanczos1": threeExp, "Lanczos2": threeExp, "Lanczos3": threeExp,
	"Gauss1": gauss, "Gauss2": gauss, "Gauss3": gauss,
	"DanWood": func(b []dual.Number, x []float64) dual.Number { return mul(b[0], dual.Pow(c(x[0]), b[1])) },
	"Misra1b": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Sub(c(1), dual.PowReal(dual.Add(c(1), times(x[0]/2, b[1])), -2)))
	},
	"Kirby2":  func(b []dual.Number, x []float64) dual.Number { return rational(b[:3], b[3:], x[0]) },
	"Hahn1":   func(b []dual.Number, x []float64) dual.Number { return rational(b[:4], b[4:], x[0]) },
	"Thurber": func(b []dual.Number, x []float64) dual.Number { return rational(b[:4], b[4:], x[0]) },
	"Nelson": func(b []dual.Number, x []float64) dual.Number {
		return dual.Sub(b[0], mul(times(x[0], b[1]), dual.Exp(times(-x[1], b[2]))))
	},
	"MGH17": func(b []dual.Number, x []float64) dual.Number {
		return sum(b[0], expo(b[1], b[3], x[0]), expo(b[2], b[4], x[0]))
	},
	"Misra1c": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Sub(c(1), dual.PowReal(dual.Add(c(1), times(2*x[0], b[1])), -0.5)))
	},
	"Misra1d": func(b []dual.Number, x []float64) dual.Number {
		t := times(x[0], b[1])
		return div(mul(b[0], t), dual.Add(c(1), t))
	},
	"Roszman1": func(b []dual.Number, x []float64) dual.Number {
		return sum(b[0], times(-x[0], b[1]), times(-1/math.Pi, dual.Atan(div(b[2], dual.Sub(c(x[0]), b[3])))))
	},
	"ENSO": func(b []dual.Number, x []float64) dual.Number {
		return sum(b[0], times(math.Cos(2*math.Pi*x[0]/12), b[1]), times(math.Sin(2*math.Pi*x[0]/12), b[2]),
			wave(b[4], b[3], x[0], dual.Cos), wave(b[5], b[3], x[0], dual.Sin),
			wave(b[7], b[6], x[0], dual.Cos), wave(b[8], b[6], x[0], dual.Sin))
	},
	"MGH09": func(b []dual.Number, x []float64) dual.Number {
		return div(mul(b[0], sum(c(x[0]*x[0]), times(x[0], b[1]))), sum(c(x[0]*x[0]), times(x[0], b[2]), b[3]))
	},
	"MGH10": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Exp(div(b[1], dual.Add(c(x[0]), b[2]))))
	},
	"Rat42": func(b []dual.Number, x []float64) dual.Number {
		return div(b[0], dual.Add(c(1), dual.Exp(dual.Sub(b[1], times(x[0], b[2])))))
	},
	"Rat43": func(b []dual.Number, x []float64) dual.Number {
		return div(b[0], dual.Pow(dual.Add(c(1), dual.Exp(dual.Sub(b[1], times(x[0], b[2])))), dual.Inv(b[3])))
	},
	"Eckerle4": func(b []dual.Number, x []float64) dual.Number {
		t := div(dual.Sub(c(x[0]), b[2]), b[1])
		return mul(div(b[0], b[1]), dual.Exp(times(-0.5, mul(t, t))))
	},
	"Bennett5": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Pow(dual.Add(b[1], c(x[0])), neg(dual.Inv(b[2]))))
	},
	"BoxBOD": func(b []dual.Number, x []float64) dual.Number {
		return mul(b[0], dual.Sub(c(1), dual.Exp(times(-x[0], b[1]))))
	},
}

type nistSet struct {
	name          string
	start         [2][]float64
	certified, sd []float64
	y             []float64
	x             [][]float64
	rss           float64
	df            int
	problem       Problem
	predict       nistModel
}

func readCSV(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "nist", name))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func num(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func loadNIST(t testing.TB) []*nistSet {
	t.Helper()
	certified := readCSV(t, "certified.csv")
	var out []*nistSet
	for _, row := range readCSV(t, "sets.csv") {
		s := &nistSet{name: row[0], rss: num(t, row[6]), predict: nistModels[row[0]]}
		if s.predict == nil {
			t.Fatalf("%s: no model", s.name)
		}
		df, err := strconv.Atoi(row[5])
		if err != nil {
			t.Fatal(err)
		}
		s.df = df
		for _, c := range certified {
			if c[0] == s.name {
				s.start[0], s.start[1] = append(s.start[0], num(t, c[4])), append(s.start[1], num(t, c[5]))
				s.certified, s.sd = append(s.certified, num(t, c[6])), append(s.sd, num(t, c[7]))
			}
		}
		for _, d := range readCSV(t, s.name+".csv") {
			y := num(t, d[0])
			if s.name == "Nelson" { // the model is for the logarithm
				y = math.Log(y)
			}
			var x []float64
			for _, v := range d[1:] {
				x = append(x, num(t, v))
			}
			s.y, s.x = append(s.y, y), append(s.x, x)
		}
		n, p := len(s.y), len(s.certified)
		s.problem = Problem{N: n, P: p,
			Residuals: func(b, r []float64) {
				d := make([]dual.Number, p)
				for k := range b {
					d[k].Real = b[k]
				}
				for i := range s.y {
					r[i] = s.predict(d, s.x[i]).Real - s.y[i]
				}
			},
			Jacobian: func(b, j []float64) {
				d := make([]dual.Number, p)
				for k := range b {
					d[k].Real = b[k]
				}
				for k := range b {
					d[k].Emag = 1
					for i := range s.y {
						j[i*p+k] = s.predict(d, s.x[i]).Emag
					}
					d[k].Emag = 0
				}
			}}
		out = append(out, s)
	}
	return out
}

// canonical puts exchangeable terms in the certified order and picks the certified
// one of two sign twins.
func canonical(name string, b, se []float64) ([]float64, []float64) {
	b, se = append([]float64(nil), b...), append([]float64(nil), se...)
	swap := func(i, j, n int) {
		for k := range n {
			b[i+k], b[j+k] = b[j+k], b[i+k]
			se[i+k], se[j+k] = se[j+k], se[i+k]
		}
	}
	switch name {
	case "Lanczos1", "Lanczos2", "Lanczos3": // terms by rising rate
		for range 2 {
			for i := 0; i < 4; i += 2 {
				if b[i+1] > b[i+3] {
					swap(i, i+2, 2)
				}
			}
		}
	case "MGH17": // the two exponentials: slower first
		if b[3] > b[4] {
			b[1], b[2], b[3], b[4] = b[2], b[1], b[4], b[3]
			se[1], se[2], se[3], se[4] = se[2], se[1], se[4], se[3]
		}
	case "Gauss1", "Gauss2", "Gauss3": // bells by place; widths enter squared
		if b[3] > b[6] {
			swap(2, 5, 3)
		}
		b[4], b[7] = math.Abs(b[4]), math.Abs(b[7])
	case "Eckerle4": // (-b1, -b2) is the same curve
		if b[1] < 0 {
			b[0], b[1] = -b[0], -b[1]
		}
	case "ENSO": // the two free waves: longer period first
		if b[3] < b[6] {
			swap(3, 6, 3)
		}
	}
	return b, se
}

// digits is the log relative error, NIST's measure of correct digits, 11 at most
// because no more are certified.
func digits(got, want float64) float64 {
	if got == want {
		return 11
	}
	return math.Min(11, math.Max(0, -math.Log10(math.Abs(got-want)/math.Abs(want))))
}

// worst gives the fewest correct digits of the parameters, their standard errors and the residual sum of squares.
func (s *nistSet) worst(f Fit) (params, errs, rss float64, err error) {
	se, err := f.StandardErrors()
	if err != nil {
		return 0, 0, 0, err
	}
	b, se := canonical(s.name, f.Params, se)
	params, errs, rss = 11, 11, digits(f.RSS, s.rss)
	for i := range b {
		params = math.Min(params, digits(b[i], s.certified[i]))
		errs = math.Min(errs, digits(se[i], s.sd[i]))
	}
	return params, errs, rss, nil
}

// TestNIST certifies FromStarts, which fits every curve and surface of the program, on both starts of all 27 sets.
// Curves bring their derivatives; the surfaces of two chemicals leave them to central differences, which cost digits,
// most where a parameter is as small as 1e-7 (Hahn1).
func TestNIST(t *testing.T) {
	sets := loadNIST(t)
	if len(sets) != 27 {
		t.Fatalf("%d sets, want 27", len(sets))
	}
	t.Logf("worst digits of parameters, standard errors and RSS from start 1 and 2, and again by differences")
	for _, s := range sets {
		var row []any
		for k := range 4 {
			pr, least := s.problem, [3]float64{9, 6, 9}
			if k > 1 {
				pr.Jacobian, least = nil, [3]float64{5, 3.5, 9}
			}
			f := FromStarts(pr, s.start[k%2:k%2+1])
			params, errs, rss, err := s.worst(f)
			row = append(row, params, errs, rss)
			if err != nil || f.DF() != s.df {
				t.Errorf("%s from start %d: %v (%s), %d degrees of freedom, certified %d", s.name, k%2+1, err, f.Status, f.DF(), s.df)
			}
			if params < least[0] {
				t.Errorf("%s from start %d (%d): %.1f digits in the parameters, want %g (%s, offset %.2g)",
					s.name, k%2+1, k, params, least[0], f.Status, f.Offset)
			}
			if s.name == "Lanczos1" { // its RSS of 1e-25 lies below what double precision can hold
				continue
			}
			if errs < least[1] || rss < least[2] {
				t.Errorf("%s from start %d (%d): %.1f digits in the standard errors, want %g; %.1f in the RSS, want %g",
					s.name, k%2+1, k, errs, least[1], rss, least[2])
			}
		}
		t.Logf("%-9s %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f %9.1f", append([]any{s.name}, row...)...)
	}
}

// TestNISTCoarse: the search without polish, for fits that are only steps of another, from the nearer start. It gives
// the sum of squares to eight digits and the parameters to about three, or says that its steps ran out.
func TestNISTCoarse(t *testing.T) {
	far := map[string]bool{"Bennett5": true, "Lanczos1": true, "Lanczos2": true, "Lanczos3": true, "MGH10": true}
	for _, s := range loadNIST(t) {
		f := Coarse(s.problem, s.start[1:])
		params, _, rss, err := s.worst(f)
		switch {
		case far[s.name]:
			if f.Status != Exhausted {
				t.Errorf("%s: %s with %.1f digits", s.name, f.Status, params)
			}
		case err != nil || f.Status != Converged || params < 2.9 || rss < 8:
			t.Errorf("%s: %.1f digits in the parameters, %.1f in the RSS (%s, %v)", s.name, params, rss, f.Status, err)
		}
	}
}
