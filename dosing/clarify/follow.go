package clarify

import "jarwright/jartest/quantity"

// A dose that follows a curve is set by hand: it stays until it may fall by a fifth, and is
// set higher as soon as it has to rise by a hundredth (common practice, no source). What is
// so little of the curve's highest dose as never stays till the curve ends.
const (
	mayFall  = 0.8
	mustRise = 1.01
	never    = 0.01
)

// Fed is what a dose that is set comes to.
func (c Chemical) Fed(set quantity.Concentration) quantity.Concentration {
	if c.Gives == nil {
		return set
	}
	return c.Gives(set)
}

// lowers is the dose of a curve at which a lower one is set; false for steps.
func (r *run) lowers(i int) (float64, bool) {
	rule := r.Chemicals[i].Rule
	if rule.stepped || r.set[i] <= 0 {
		return 0, false
	}
	highest := quantity.Concentration(0)
	for _, p := range rule.points {
		highest = max(highest, p.Dose)
	}
	if r.set[i] <= never*float64(highest) {
		return 0, true
	}
	return mayFall * r.set[i], true
}

// falls gives a function of the state that comes to zero where the first of the curves has
// fallen so far that it is set anew; nil where none has.
func (r *run) falls(out []float64) func(y []float64) float64 {
	left := func(y []float64) float64 {
		least := 1.0
		for i, c := range r.Chemicals {
			if to, ok := r.lowers(i); ok {
				least = min(least, c.Rule.dose(y[atReading], 0)-to)
			}
		}
		return least
	}
	if left(out) > 0 {
		return nil
	}
	return left
}

// follow sets the doses of a reading.
func (r *run) follow(reading float64) {
	for i, c := range r.Chemicals {
		d := c.Rule.dose(reading, r.pieces[i])
		to, curve := r.lowers(i)
		if c.Rule.stepped || d > r.set[i]*mustRise || curve && d <= to {
			r.set[i] = d
		}
	}
}
