package curve

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// cliff tells where the water falls through the target between two neighbouring
// doses and nothing says where between them: the jars are told better by levels
// than by any slope, and most of the curves cross in that one gap.
func (a *analysis) cliff(p *prepared, c *cloud) {
	r := a.r
	if len(a.goals) > 1 || !c.stairs.tell() {
		return
	}
	u, mean, _, _ := p.obs.groups()
	estimate := float64(r.Effective.Value)
	for k := 1; k < len(u); k++ {
		if estimate <= u[k-1] || estimate > u[k] {
			continue
		}
		within := 0
		for _, d := range r.doses {
			if d > u[k-1] && d <= u[k] {
				within++
			}
		}
		span := quantileSorted(r.doses, planningConfidence) - quantileSorted(r.doses, 1-planningConfidence)
		if 2*within < len(r.doses) || span < (u[k]-u[k-1])/2 {
			return
		}
		at := func(k int) Spot { return Spot{quantity.Concentration(u[k]), p.scale.reading(mean[k])} }
		r.Cliff = quantity.Known[Gap]{V: Gap{at(k - 1), at(k)}, OK: true}
		read := func(s Spot) note.Phrase {
			return note.Say("%s at %s", quantity.Full(quantity.Number(s.Reading), 3), a.mgl(float64(s.Dose)))
		}
		r.Notes.Add(note.New(note.Caution, "cliff", "%s falls from %s to %s, through the target, and nothing tells where between these two jars: the lowest effective dose may lie anywhere from one to the other",
			p.key.Info().Label, read(at(k-1)), read(at(k))).
			At(a.s.Place).Do("test %s, %s and %s", a.mgl(partWay(u[k-1], u[k], 0.25)), a.mgl(partWay(u[k-1], u[k], 0.5)), a.mgl(partWay(u[k-1], u[k], 0.75))))
		return
	}
}

// partWay lies a share of the way from one dose to another.
func partWay(from, to, share float64) float64 { return from + share*(to-from) }

// nextJar works out how likely a further jar at the planning dose passes: for every
// curve the chance that its own scatter leaves the jar on the right side of every
// target, and the mean of that over the curves.
func (a *analysis) nextJar() {
	r := a.r
	if !r.HasPlanning || a.slopeGoal() {
		return
	}
	sum, n := 0.0, 0
	for k := range a.cloud[a.goals[0].key].f {
		pass := 1.0
		for i := range a.goals {
			g := &a.goals[i]
			c, p := a.cloud[g.key], a.ready[g.key]
			row := a.paired(i, k, len(c.f))
			level := a.levels[i][row]
			here := along(c.u, c.f[row], float64(r.Planning.Concentration)/p.dmax)
			z := (level - here) / c.sigma[row]
			if g.high {
				z = -z
			}
			pass *= 0.5 * math.Erfc(-z/math.Sqrt2)
		}
		sum += pass
		n++
	}
	r.NextJar = quantity.Known[quantity.Fraction]{V: quantity.Fraction(sum / float64(n)), OK: true}
}

// along reads a curve at u, on straight lines between its points.
func along(grid, f []float64, u float64) float64 {
	j := 1
	for j < len(grid)-1 && grid[j] < u {
		j++
	}
	t := (u - grid[j-1]) / (grid[j] - grid[j-1])
	return f[j-1] + math.Min(math.Max(t, 0), 1)*(f[j]-f[j-1])
}

// paired is the curve of goal i that goes with curve k of the first: readings
// scatter independently, so the curves of different ones are paired at random.
func (a *analysis) paired(i, k, n int) int {
	if i == 0 {
		return k
	}
	return (k*131 + 17*i) % n
}
