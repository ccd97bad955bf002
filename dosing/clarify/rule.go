package clarify

import (
	"sort"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Rule says what to dose at a reading of the tank. The zero value doses nothing.
type Rule struct {
	points  []Step
	stepped bool
}

// Step is a dose that holds from a reading upwards, or a point of a dose curve.
type Step struct {
	Reading float64 // in the unit of the reading
	Dose    quantity.Concentration
}

// Always doses the same at any reading.
func Always(d quantity.Concentration) Rule {
	return Rule{points: []Step{{0, d}}, stepped: true}
}

// Stepped doses by steps through points of reading and dose. Between two points the
// higher of their doses holds, so that water which no jar was filled with gets no less
// than a straight line would give. Below the lowest reading nothing is dosed. While the
// unit runs the steps are only gone down, never back up; after a pause the step is that of the reading then.
func Stepped(steps []Step) (Rule, error) {
	r := Rule{points: append([]Step(nil), steps...), stepped: true}
	return r, r.check("dose steps")
}

// Following doses along a curve through points of reading and dose, straight
// between them and level beyond the ends.
func Following(points []Step) (Rule, error) {
	r := Rule{points: append([]Step(nil), points...)}
	return r, r.check("dose curve")
}

func (r Rule) check(what string) error {
	sort.Slice(r.points, func(i, j int) bool { return r.points[i].Reading < r.points[j].Reading })
	if len(r.points) == 0 {
		return note.Fault("no-dose", "the %s have no entry", what).Do(`give readings with their dose`)
	}
	for i, p := range r.points {
		switch {
		case !(p.Reading >= 0) || !(p.Dose >= 0) || !quantity.Finite(p.Dose):
			return note.Fault("bad-dose", "the %s have %s at %s", what, p.Dose, quantity.Number(p.Reading)).Do("reading and dose are zero or more")
		case i > 0 && p.Reading == r.points[i-1].Reading:
			return note.Fault("reading-twice", "the %s have the reading %g twice", what, p.Reading).Do("leave one of them out")
		}
	}
	return nil
}

// Times gives the rule with every dose so many times as large, as for a dose that
// is counted on another basis.
func (r Rule) Times(k float64) Rule {
	out := Rule{points: append([]Step(nil), r.points...), stepped: r.stepped}
	for i := range out.points {
		out.points[i].Dose *= quantity.Concentration(k)
	}
	return out
}

// piece gives which piece of the rule a reading falls into, counted from the lowest.
func (r Rule) piece(reading float64) int {
	return sort.Search(len(r.points), func(i int) bool { return r.points[i].Reading > reading })
}

// dose gives the dose at a reading on a piece; for a curve the piece is found anew.
func (r Rule) dose(reading float64, piece int) float64 {
	n := len(r.points)
	switch {
	case n == 0:
		return 0
	case r.stepped:
		if piece == 0 {
			return 0
		}
		return float64(max(r.points[piece-1].Dose, r.points[min(piece, n-1)].Dose))
	}
	i := r.piece(reading)
	switch i {
	case 0:
		return float64(r.points[0].Dose)
	case n:
		return float64(r.points[n-1].Dose)
	}
	a, b := r.points[i-1], r.points[i]
	return float64(a.Dose) + float64(b.Dose-a.Dose)*(reading-a.Reading)/(b.Reading-a.Reading)
}

// At gives the dose at a reading.
func (r Rule) At(reading float64) quantity.Concentration {
	return quantity.Concentration(r.dose(reading, r.piece(reading)))
}

// Tested gives the lowest reading that a curve was made from; false for steps.
func (r Rule) Tested() (lowest float64, curve bool) {
	if r.stepped || len(r.points) == 0 {
		return 0, false
	}
	return r.points[0].Reading, true
}

// Follows reports that the dose follows the reading, by steps or along a line.
func (r Rule) Follows() bool { return len(r.points) > 1 }

// Points gives the readings and doses as they were given, lowest reading first.
func (r Rule) Points() []Step { return append([]Step(nil), r.points...) }

// Steps gives the doses with the readings from which they hold, lowest first, so that
// none is less than the rule's between two readings.
func (r Rule) Steps() []Step {
	out := r.Points()
	for i := range max(len(out)-1, 0) {
		out[i].Dose = max(r.points[i].Dose, r.points[i+1].Dose)
	}
	return out
}
