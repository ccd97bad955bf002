package jartest

import (
	"jarwright/jartest/quantity"
)

// Stir is one stage of stirring on the bench.
type Stir struct {
	Speed quantity.Known[quantity.Rotation]
	Time  quantity.Known[quantity.Time]
}

// Whole reports that speed and time are known.
func (s Stir) Whole() bool { return s.Speed.OK && s.Time.OK }

// Protocol is how the jars of a series were stirred and sampled, as far as the sheet says.
type Protocol struct {
	Rapid Stir
	// Slow are the stages of flocculation, in their order.
	Slow []Stir
	// Settle is how long the jars stood before they were sampled, Depth how far below the surface that was.
	Settle quantity.Known[quantity.Time]
	Depth  quantity.Known[quantity.Length]
}

// Told reports that anything of it is known.
func (p Protocol) Told() bool {
	return p.Rapid != Stir{} || len(p.Slow) > 0 || p.Settle.OK || p.Depth.OK
}

// Fill takes from another what is not known of this one, and reports whether they contradict each other in
// what both know: then it stays as it is.
func (p *Protocol) Fill(o Protocol) (agrees bool) {
	out := *p
	agrees = fill(&out.Rapid.Speed, o.Rapid.Speed) && fill(&out.Rapid.Time, o.Rapid.Time) &&
		fill(&out.Settle, o.Settle) && fill(&out.Depth, o.Depth)
	switch {
	case len(o.Slow) == 0:
	case len(out.Slow) == 0:
		out.Slow = o.Slow
	case len(out.Slow) != len(o.Slow):
		agrees = false
	default:
		out.Slow = append([]Stir(nil), out.Slow...)
		for i := range out.Slow {
			agrees = agrees && fill(&out.Slow[i].Speed, o.Slow[i].Speed) && fill(&out.Slow[i].Time, o.Slow[i].Time)
		}
	}
	if agrees {
		*p = out
	}
	return agrees
}

// fill takes what is not known, and reports whether both, where known, are the same.
func fill[T comparable](have *quantity.Known[T], other quantity.Known[T]) bool {
	if !have.OK {
		*have = other
		return true
	}
	return !other.OK || have.V == other.V
}
