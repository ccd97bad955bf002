package sheet

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// What the numbers of a table say by themselves, whatever their headings do.

// listed is a number of a column with its cell.
type listed struct {
	v  float64
	at note.Place
}

// column gives the numbers of a column in the rows of the series, as they are written; a cell with a
// unit of its own in that of the heading.
func (m *maker) column(f field) []listed {
	var out []listed
	for _, d := range m.rows {
		if v := m.poured(d, f); v.OK() && !v.Blank && len(v.List) == 0 {
			if own, head := v.Unit, f.Head.Unit; own.Kind == head.Kind && own.Factor > 0 && head.Factor > 0 {
				v.Num = round12(v.Num * own.Factor / head.Factor)
			}
			out = append(out, listed{v.Num, m.t.View.PlaceAt(d.r, f.C)})
		}
	}
	return out
}

func valuesOf(xs []listed) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = x.v
	}
	return out
}

// fewestSteps is how many doses must stand evenly apart before it is no chance.
const fewestSteps = 4

// even reports numbers that go on by equal steps, upwards or downwards.
func even(xs []float64) bool {
	if len(xs) < fewestSteps || xs[1] == xs[0] {
		return false
	}
	step := xs[1] - xs[0]
	for i := 2; i < len(xs); i++ {
		if !within(xs[i]-xs[i-1], step, 1e-6) {
			return false
		}
	}
	return true
}

// monotone reports numbers that go on in one direction.
func monotone(xs []float64) bool {
	for i := 2; i < len(xs); i++ {
		if (xs[i]-xs[i-1])*(xs[1]-xs[0]) <= 0 {
			return false
		}
	}
	return len(xs) >= fewestSteps
}

// shifts are what a point or zeros too many or too few multiply a number with.
var shifts = []float64{10, 100, 1000, 0.1, 0.01, 0.001}

// mostJars is how many doses a test may have for them to be held against each other.
const mostJars = 100

// oddDoses asks about a dose that is a tenth or ten, a hundred or a thousand times what the
// steps of the others lead to, in their place or among all of them.
func (m *maker) oddDoses() {
	for _, i := range m.dose {
		xs := m.column(m.fs[i])
		all := valuesOf(xs)
		if len(all) > mostJars {
			continue
		}
		for k, x := range xs {
			if meant, ok := slipped(all, k); ok {
				m.b.say(note.Caution, "odd-dose", x.at, "the dose of %s in column %q is out of step with the others; %s would fit",
					trimFloat(x.v), m.fs[i].Head.Text, trimFloat(meant)).
					do(m.b, "did you mean %s? correct the cell if so", trimFloat(meant))
				break // what else is odd shows when this is mended
			}
		}
	}
}

// slipped gives what the k-th of some doses is likely to be where it is a power of ten off.
func slipped(all []float64, k int) (float64, bool) {
	x := all[k]
	if x == 0 || even(distinctly(all)) {
		return 0, false
	}
	for _, by := range shifts {
		meant := round12(x / by)
		with := slices.Clone(all)
		with[k] = meant
		inPlace := k > 0 && k < len(all)-1 && len(all) > fewestSteps && monotone(with) && !monotone(all)
		if inPlace || fillsGap(all, k, meant) {
			return meant, true
		}
	}
	return 0, false
}

// fillsGap reports that a dose, in place of the k-th, makes the steps of all doses even and the
// jars of each step as many.
func fillsGap(all []float64, k int, meant float64) bool {
	often := map[float64]int{}
	for i, v := range all {
		if i != k && v != 0 {
			often[v]++
		}
	}
	with := slices.Clone(all)
	with[k] = meant
	rest := slices.Delete(slices.Clone(all), k, k+1)
	if len(rest) == 0 {
		return false
	}
	amid := all[k] < slices.Max(rest) // a dose between or below the others is another step, as a rule
	if amid && (monotone(all) || meant > slices.Max(rest)) {
		return false
	}
	if often[all[k]] > 0 || !even(distinctly(with)) {
		return false
	}
	for v, n := range often {
		if v != meant && n != often[meant]+1 {
			return false
		}
	}
	return true
}

// distinctly gives numbers in their order, each once.
func distinctly(xs []float64) []float64 {
	xs = slices.Clone(xs)
	slices.Sort(xs)
	return slices.Compact(xs)
}

// swapped asks about a table whose headings of dose and turbidity have changed places: the
// readings go on by equal steps, as doses do, and the doses by none, as readings do.
func (m *maker) swapped() {
	if len(m.dose) != 1 {
		return
	}
	dose := m.fs[m.dose[0]]
	k := slices.IndexFunc(m.fs, func(f field) bool { return f.role == asReading && f.key == jartest.Turbidity })
	if k < 0 || dose.Head.Said || m.fs[k].Head.Said {
		return
	}
	doses, read := valuesOf(m.column(dose)), valuesOf(m.column(m.fs[k]))
	if len(doses) != len(read) || slices.Contains(doses, 0) || !even(read) || coarse(doses) || !coarse(read) {
		return
	}
	m.b.say(note.Error, "headings-swapped", dose.Place, "%q goes by equal steps like doses, and %q does not: their headings look exchanged",
		m.fs[k].Head.Text, dose.Head.Text).
		do(m.b, `exchange the headings, or say that they are right with --column "%s=%s"`, dose.header(), dose.meaning(dose.role))
}

// mostSteps is how many times the step that a ladder of doses was measured out in goes into its
// highest dose; common practice, no source.
const mostSteps = 100

// coarse reports numbers that are all multiples of a step that is not small beside the largest.
func coarse(xs []float64) bool {
	places := 0
	for _, x := range xs {
		_, after, _ := strings.Cut(trimFloat(x), ".")
		places = max(places, len(after))
	}
	if places > 6 {
		return false
	}
	step, top := 0, 0
	for _, x := range xs {
		n := int(math.Round(math.Abs(x) * math.Pow10(places)))
		step, top = gcd(step, n), max(top, n)
	}
	return step == 0 || top/step <= mostSteps
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
