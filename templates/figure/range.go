package figure

import (
	"math"
	"strings"

	"jarwright/jartest/quantity"
)

// reckoned is a quantity for so much of something else, which differs from readers to readers.
type reckoned interface {
	InFor(s quantity.System, unit string) float64
}

// like shows a quantity in the unit in which another shows itself.
type like struct{ q, other quantity.Quantity }

// Show implements [quantity.Quantity].
func (l like) Show(s quantity.System) (float64, string) {
	v, own := l.q.Show(s)
	_, unit := l.other.Show(s)
	if own == unit {
		return v, unit
	}
	in, ok := In(l.q, unit)
	if by, counted := l.q.(reckoned); counted {
		in = by.InFor(s, unit)
	}
	if ok && !math.IsNaN(in) {
		return in, unit
	}
	return v, own
}

// Formed implements formed: as the quantity itself is written.
func (l like) Formed(s quantity.System, f Form) Form { return Figure{Q: l.q, Form: f}.For(s).Form }

// In gives the quantity in a unit that its kind knows; NaN for any other.
func (l like) In(unit string) float64 {
	v, ok := In(l.q, unit)
	if !ok {
		return math.NaN()
	}
	return v
}

// Like is the figure in the unit in which another is shown; without its unit where it has been hidden.
func (f Figure) Like(other Figure) Figure {
	if !f.Known() || !other.Known() {
		return f
	}
	as := other.Q
	if u, hidden := as.(Unitless); hidden {
		as = u.Q
	}
	if u, hidden := f.Q.(Unitless); hidden {
		f.Q = Unitless{like{u.Q, as}}
	} else {
		f.Q = like{f.Q, as}
	}
	return f
}

// ranged gives the lower end of each range of a phrase, "%s to %s", the unit of its upper end: a
// range has one.
func ranged(format string, args []any) []any {
	pieces := strings.Split(strings.ReplaceAll(format, "%%", "  "), "%s")
	out := args
	for i := 0; i+1 < len(args) && i+2 < len(pieces); i++ {
		low, isLow := args[i].(Figure)
		high, isHigh := args[i+1].(Figure)
		if !isLow || !isHigh || pieces[i+1] != " to " {
			continue
		}
		if &out[0] == &args[0] {
			out = append([]any{}, args...)
		}
		out[i] = low.Like(high)
	}
	return out
}
