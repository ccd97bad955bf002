package history

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// solved is a linear fit by least squares, each row weighted by the inverse of its variance.
type solved struct {
	beta []float64
	// unit is the covariance of beta where the variances given are the true ones.
	unit *mat.SymDense
	// left are the residuals, hat the leverages, rss the weighted sum of squares.
	left, hat []float64
	rss       float64
	// logDet is the logarithm of the determinant of the information.
	logDet float64
}

// solve fits y by the columns of x, whose rows have the variances v; false where the columns
// depend on each other. It goes by QR (Golub and Van Loan, Matrix Computations, 5.3).
func solve(x [][]float64, y, v []float64) (s solved, ok bool) {
	n, p := len(y), 0
	if n > 0 {
		p = len(x[0])
	}
	if p == 0 || n < p {
		return s, false
	}
	a, b := mat.NewDense(n, p, nil), mat.NewVecDense(n, nil)
	for i := range y {
		w := 1 / math.Sqrt(v[i])
		for k, c := range x[i] {
			a.Set(i, k, w*c)
		}
		b.SetVec(i, w*y[i])
	}
	var qr mat.QR
	qr.Factorize(a)
	if qr.Cond() > 1e12 {
		return s, false
	}
	var beta mat.VecDense
	if err := qr.SolveVecTo(&beta, false, b); err != nil {
		return s, false
	}
	var r, inv mat.Dense
	qr.RTo(&r)
	top := r.Slice(0, p, 0, p)
	if err := inv.Inverse(top); err != nil {
		return s, false
	}
	s.unit = mat.NewSymDense(p, nil)
	for j := range p {
		s.beta = append(s.beta, beta.AtVec(j))
		s.logDet += 2 * math.Log(math.Abs(top.At(j, j)))
		for k := j; k < p; k++ {
			sum := 0.0
			for l := range p {
				sum += inv.At(j, l) * inv.At(k, l)
			}
			s.unit.SetSym(j, k, sum)
		}
	}
	for i := range y {
		e := y[i] - dot(x[i], s.beta)
		s.left, s.hat = append(s.left, e), append(s.hat, s.variance(x[i])/v[i])
		s.rss += e * e / v[i]
	}
	return s, true
}

// variance is that of the fit at a row.
func (s solved) variance(row []float64) (sum float64) {
	for j := range row {
		for k := range row {
			sum += row[j] * row[k] * s.unit.At(j, k)
		}
	}
	return sum
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// Waters of one turbidity do not need one dose: how much they differ beyond what each test itself is
// unsure of is the scatter of a law, a share of the dose. It is drawn from a grid, each value as likely
// as the tests make it (restricted likelihood, Patterson and Thompson 1971), weighed by half a normal
// distribution of this width, which keeps a few tests that happen to agree from being believed (a choice
// of this program, held by the study of simulated seasons).
const usualScatter = 0.25

// scatters are the values tried.
var scatters = func() (out []float64) {
	const steps = 24
	for i := range steps + 1 {
		out = append(out, 0.8*math.Pow(float64(i)/steps, 2))
	}
	return out
}()

// blend is a linear fit at every scatter, each with its likelihood.
type blend struct {
	at     []solved
	share  []float64
	spread []float64
}

// mixed fits y by x, the share s of each test's own error and the scatter counting as shares of size.
func mixed(x [][]float64, y, s, size []float64) (b blend, ok bool) {
	v, most := make([]float64, len(y)), math.Inf(-1)
	var logs []float64
	for i, t := range scatters {
		det := 0.0
		for k := range y {
			v[k] = (t*t + s[k]*s[k]) * size[k] * size[k]
			det += math.Log(v[k])
		}
		f, ok := solve(x, y, v)
		if !ok {
			return b, false
		}
		step := scatters[min(i+1, len(scatters)-1)] - scatters[max(i-1, 0)] // the grid is not even
		l := -(det+f.logDet+f.rss)/2 - t*t/(2*usualScatter*usualScatter) + math.Log(step)
		b.at, b.spread, logs, most = append(b.at, f), append(b.spread, t), append(logs, l), math.Max(most, l)
	}
	sum := 0.0
	for _, l := range logs {
		b.share = append(b.share, math.Exp(l-most))
		sum += b.share[len(b.share)-1]
	}
	for i := range b.share {
		b.share[i] /= sum
	}
	return b, true
}

// scatter is the likely one: the mean over the grid.
func (b blend) scatter() (sum float64) {
	for i, t := range b.spread {
		sum += b.share[i] * t
	}
	return sum
}

// middle is the fit at the likely scatter.
func (b blend) middle() solved {
	best, at := math.Inf(1), 0
	for i, t := range b.spread {
		if d := math.Abs(t - b.scatter()); d < best {
			best, at = d, i
		}
	}
	return b.at[at]
}

// outlook is what a blend says of one row: normal distributions with their shares.
type outlook struct{ mean, sd, share []float64 }

// ahead is what a further water of that row needs.
func (b blend) ahead(row []float64, size float64) (o outlook) {
	const negligible = 1e-5
	for i, f := range b.at {
		if b.share[i] > negligible {
			o.mean, o.share = append(o.mean, dot(row, f.beta)), append(o.share, b.share[i])
			o.sd = append(o.sd, math.Max(1e-12, math.Sqrt(f.variance(row)+b.spread[i]*b.spread[i]*size*size)))
		}
	}
	return o
}

// below is the chance that it lies below y.
func (o outlook) below(y float64) (sum float64) {
	for i, m := range o.mean {
		sum += o.share[i] * distuv.UnitNormal.CDF((y-m)/o.sd[i])
	}
	return sum
}
