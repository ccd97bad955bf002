package observed

import (
	"math"
	"strings"

	"jarwright/jartest"
)

type kind int

const (
	logarithm kind = iota // ln of the reading
	residual              // ln of what a removal in % leaves
	itself                // the reading itself
)

// Scale is how a reading is turned into the number that is fitted.
type Scale struct {
	kind kind
	// mid and width shift and stretch a reading that is fitted as it is; a negative
	// width turns it round, so that lower is better.
	mid, width float64
}

var plain = Scale{kind: itself, width: 1}

const plainName = "the reading itself"

// scaleOf is the scale of a kind of reading: logarithmic where it stays above zero and
// should come down.
func scaleOf(k jartest.Key, asItIs bool) (Scale, string) {
	info := k.Info()
	switch {
	case strings.HasSuffix(string(k), "_removal") && info.Unit == "%":
		return Scale{kind: residual}, "logarithm of what is left (100 % - removal)"
	case info.Signed || asItIs || !info.LowIsGood:
		return plain, plainName
	}
	return Scale{kind: logarithm}, "logarithm of the reading"
}

// spread makes readings from low to high run over one unit about zero, turned round
// where high is good.
func spread(low, high float64, highIsGood bool) Scale {
	s := Scale{kind: itself, mid: (low + high) / 2, width: math.Max(high-low, 1e-9)}
	if highIsGood {
		s.width = -s.width
	}
	return s
}

// Log reports that a logarithm is fitted.
func (s Scale) Log() bool { return s.kind != itself }

// Removal reports that what a removal in % leaves is fitted.
func (s Scale) Removal() bool { return s.kind == residual }

// Width is what one unit of the fitted number is in the reading's own unit, where no
// logarithm is fitted.
func (s Scale) Width() float64 { return math.Abs(s.width) }

// Flips reports that high readings are low on the fitted scale.
func (s Scale) Flips() bool { return s.kind == residual || s.kind == itself && s.width < 0 }

// Left is what the logarithm is taken of.
func (s Scale) Left(v float64) float64 {
	if s.kind == residual {
		return 100 - v
	}
	return v
}

// Work gives the fitted number of a reading; NaN where it has none.
func (s Scale) Work(v float64) float64 {
	if s.kind == itself {
		return (v - s.mid) / s.width
	}
	if v = s.Left(v); v <= 0 {
		return math.NaN()
	}
	return math.Log(v)
}

// Reading is the way back.
func (s Scale) Reading(w float64) float64 {
	switch s.kind {
	case logarithm:
		return math.Exp(w)
	case residual:
		return 100 - math.Exp(w)
	}
	return s.mid + w*s.width
}
