package history

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// Form is how the dose goes with the turbidity of the raw water.
type Form string

// The forms. Published tables of dose against raw turbidity rise with a power of a quarter to a third, or
// as an intercept and a square root; never as the turbidity itself (a university course's table of alum
// and Ebrahimi et al. 2014, Arch. Hyg. Sci. 3(1):12-20).
const (
	Constant   Form = "constant"
	SquareRoot Form = "square root"
	Power      Form = "power"
)

// form is one of them: the columns that turbidity and a further reading make, whether it is the logarithm
// of the dose that they add up to, and how the law is written.
type form struct {
	Form
	log       bool
	turbidity func(ntu float64) []float64
	further   func(v float64) float64
	names     []string
}

var forms = []form{
	{Constant, true, func(float64) []float64 { return nil }, same, []string{"a"}},
	{SquareRoot, false, func(t float64) []float64 { return []float64{math.Sqrt(t)} }, same, []string{"a", "b"}},
	{Power, true, func(t float64) []float64 { return []float64{math.Log(t)} }, same, []string{"a", "n"}},
}

func same(v float64) float64 { return v }

// furtherTerms are what may stand beside the turbidity.
var furtherTerms = []jartest.Key{jartest.TemperatureKey, jartest.AlkalinityKey, jartest.UV254}

// candidate is a form with its further terms.
type candidate struct {
	form
	terms []jartest.Key
}

// row is what a water gives to a fit.
func (c candidate) row(w Water) []float64 {
	out := append([]float64{1}, c.turbidity(w[jartest.Turbidity])...)
	for _, k := range c.terms {
		out = append(out, c.further(w[k]))
	}
	return out
}

// knows reports that a water tells all that the candidate asks.
func (c candidate) knows(w Water) bool {
	t, ok := w[jartest.Turbidity]
	return ok && t > 0 && !slices.ContainsFunc(c.terms, func(k jartest.Key) bool { _, ok := w[k]; return !ok })
}

// dose turns what a fit gives into a dose, and link the other way.
func (c candidate) dose(y float64) float64 {
	if c.log {
		return math.Exp(y)
	}
	return math.Max(0, y)
}

func (c candidate) link(dose float64) float64 {
	if c.log {
		return math.Log(dose)
	}
	return dose
}

// fitted is a candidate put through tests.
type fitted struct {
	candidate
	tests []Test
	blend
	middleFit solved
	miss      float64
}

// benchError is how far a dose found on the bench is off at the least, as a share: it keeps a test of a
// very narrow interval from ruling the choice of a law (the doses of jars are good to about so much).
const benchError = 0.1

// fit puts a candidate through those tests that tell all that it asks; false where they are too few or tell nothing of a term.
func fit(c candidate, tests []Test) (f fitted, ok bool) {
	f.candidate = c
	var x [][]float64
	var y, s, size []float64
	for _, t := range tests {
		if c.knows(t.Raw) {
			f.tests = append(f.tests, t)
			dose := float64(t.Effective.Value)
			x, y, s, size = append(x, c.row(t.Raw)), append(y, c.link(dose)), append(s, t.relative()), append(size, 1)
		}
	}
	if len(x) == 0 || len(x) < len(x[0])+fewestFree {
		return f, false
	}
	if f.blend, ok = mixed(x, y, s, f.sizes(x, y, s, size)); !ok {
		return f, false
	}
	f.middleFit = f.middle()
	f.miss = f.leftOut(y)
	return f, true
}

// sizes are what errors are shares of: nothing but one on the scale of logarithms, else the dose by the law
// itself, found in a few rounds from the doses as tested.
func (c candidate) sizes(x [][]float64, y, s, size []float64) []float64 {
	if c.log {
		return size
	}
	size = slices.Clone(y)
	least := slices.Min(y)
	for range 4 {
		v := make([]float64, len(y))
		for i := range y {
			v[i] = (benchError*benchError + s[i]*s[i]) * size[i] * size[i]
		}
		f, ok := solve(x, y, v)
		if !ok {
			return size
		}
		for i := range y {
			size[i] = math.Max(least/2, y[i]-f.left[i])
		}
	}
	return size
}

// sizeAt is that at a water.
func (f fitted) sizeAt(row []float64) float64 {
	if f.log {
		return 1
	}
	least := math.Inf(1)
	for _, t := range f.tests {
		least = math.Min(least, float64(t.Effective.Value))
	}
	return math.Max(least/2, dot(row, f.middleFit.beta))
}

// leftOut is how far the law, each test left out in turn, misses that test's dose: the weighted root mean
// square of the logarithm of their ratio. Without a test the fit moves by its residual times its leverage
// (Cook and Weisberg 1982), so that none is worked out again.
func (f fitted) leftOut(y []float64) float64 {
	var sum, weights float64
	for i, t := range f.tests {
		without := f.dose(y[i] - f.middleFit.left[i]/math.Max(1-f.middleFit.hat[i], 1e-9))
		have := float64(t.Effective.Value)
		w := 1 / (benchError*benchError + t.relative()*t.relative())
		e := math.Log(have / math.Max(without, have/100))
		sum, weights = sum+w*e*e, weights+w
	}
	return math.Sqrt(sum / weights)
}

// fewestFree is how many tests more than coefficients a law needs, fewestEach how many tests a further term needs
// for each coefficient; better is the share by which a law must miss less to go before a simpler one. Where tests are fewer
// than fewestSure for each coefficient, chance alone finds a term more often, and it must help much more to be believed. These
// are choices of this program, held by the study of simulated seasons.
const (
	fewestFree = 3
	fewestEach = 3
	fewestSure = 4
	better     = 0.95
	muchBetter = 0.6
)

// fewestFor is how many tests a candidate takes.
func (c candidate) fewestFor() int { return fewestEach * c.numbers() }

// numbers are those of a law of turbidity with these terms.
func (c candidate) numbers() int { return len(c.terms) + 2 }

// mustMiss is the share of what the law without it misses that a further term may miss at most.
func (c candidate) mustMiss(tests int) float64 {
	return either(tests < fewestSure*c.numbers(), muchBetter, better)
}

// knowing are those tests that tell all that the candidate asks.
func (c candidate) knowing(tests []Test) []Test {
	return slices.DeleteFunc(slices.Clone(tests), func(t Test) bool { return !c.knows(t.Raw) })
}

// Tried is a law that was tried.
type Tried struct {
	Form  Form
	Terms []jartest.Key
	// Tests are those it was put through, Miss how far it misses one that is left out, as a share of the dose.
	Tests int
	Miss  quantity.Fraction
}

// choose takes the law that misses tests left out the least, simple ones first: a form, then further terms one
// at a time, each held against the law without it on the tests that know it.
func choose(tests []Test, allowed func(jartest.Key) bool) (best law, tried []Tried, ok bool) {
	best.fitted, tried, ok = chosen(tests, allowed)
	if !ok {
		return best, tried, false
	}
	for _, x := range forms {
		if x.Form == best.Form {
			best.beside = append(best.beside, weighed{best.fitted, 1})
		} else if f, ok := fit(candidate{x, best.terms}, best.tests); ok && (x.Form != Constant || spread(tests)) {
			best.beside = append(best.beside, weighed{f, math.Pow(best.miss/f.miss, float64(len(best.tests)))})
		}
	}
	sum := 0.0
	for _, b := range best.beside {
		sum += b.share
	}
	for i := range best.beside {
		best.beside[i].share /= sum
	}
	return best, tried, true
}

// law is the law chosen, and beside it what the other forms make of the same tests, each with the share that its
// misses leave it: the likelihood of doses left out, whose errors are taken for normal of the size of the misses. The
// range of a prediction holds the doubt which form is true; the law itself is the chosen one.
type law struct {
	fitted
	beside []weighed
}

type weighed struct {
	fitted
	share float64
}

// below is the chance that a water needs less than a dose.
func (l law) below(w Water) func(dose float64) float64 {
	var looks []outlook
	for _, b := range l.beside {
		row := b.row(w)
		looks = append(looks, b.ahead(row, b.sizeAt(row)))
	}
	return func(dose float64) (sum float64) {
		for i, b := range l.beside {
			sum += b.share * looks[i].below(b.link(dose))
		}
		return sum
	}
}

// enough is the dose that is enough for that share of waters.
func (l law) enough(w Water, share float64) float64 {
	below := l.below(w)
	low, high := 0.0, 1.0
	for below(high) < share && high < 1e9 {
		low, high = high, 2*high
	}
	for range 50 {
		if mid := (low + high) / 2; below(mid) < share {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// own is the dose by the law itself.
func (l law) own(w Water) float64 { return l.dose(dot(l.row(w), l.middleFit.beta)) }

// chosen is the law alone.
func chosen(tests []Test, allowed func(jartest.Key) bool) (best fitted, tried []Tried, ok bool) {
	try := func(c candidate, over []Test) (fitted, bool) {
		f, ok := fit(c, over)
		if ok {
			tried = append(tried, Tried{c.Form, c.terms, len(f.tests), quantity.Fraction(f.miss)})
		}
		return f, ok
	}
	for _, x := range forms {
		if x.Form != Constant && !spread(tests) {
			continue
		}
		f, can := try(candidate{form: x}, tests)
		if can && (!ok || f.miss < best.miss*either(best.Form == Constant, better, 1)) {
			best, ok = f, true
		}
	}
	for ok {
		add, gain := fitted{}, 1.0
		for _, k := range furtherTerms {
			c := candidate{best.form, append(slices.Clone(best.terms), k)}
			over := c.knowing(best.tests)
			if slices.Contains(best.terms, k) || !allowed(k) || len(over) < c.fewestFor() || 3*len(over) < 2*len(best.tests) {
				continue
			}
			f, can := try(c, over)
			without, too := fit(best.candidate, over)
			if can && too && f.miss < min(gain, c.mustMiss(len(over)))*without.miss {
				add, gain = f, f.miss/without.miss
			}
		}
		if add.tests == nil {
			break
		}
		best = add
	}
	if ok && len(best.terms) > 0 { // beside further readings another form may miss less than the one that turbidity alone chose
		for _, x := range forms {
			if x.Form == best.Form || x.Form == Constant {
				continue
			}
			if f, can := try(candidate{x, best.terms}, best.tests); can && spread(tests) && f.miss < best.miss {
				best = f
			}
		}
	}
	return best, tried, ok
}

// spread reports tests of waters that differ enough for a law of turbidity: by half at least.
func spread(tests []Test) bool {
	low, high := math.Inf(1), 0.0
	for _, t := range tests {
		low, high = math.Min(low, t.Raw[jartest.Turbidity]), math.Max(high, t.Raw[jartest.Turbidity])
	}
	return high >= 1.5*low
}

func either[T any](holds bool, one, other T) T {
	if holds {
		return one
	}
	return other
}
