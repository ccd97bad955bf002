// Package gauge reads how muddy water is by a turbidity tube, into which water is filled until the mark on its bottom
// is lost, and by a settling cone, in which solids settle for an hour.
package gauge

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// Tube is the depth of water in cm at which the mark of a turbidity tube is lost.
	Tube jartest.Key = "tube_depth_cm"
	// Cone is what has settled in a cone after an hour, mL/L.
	Cone = jartest.SettledVolume
)

// Unit is that of a reading.
func Unit(k jartest.Key) string {
	if k == Tube {
		return "cm"
	}
	return k.Info().Unit
}

// Label is what a reading is called.
func Label(k jartest.Key) string {
	switch k {
	case Tube:
		return "depth in a turbidity tube"
	case Cone:
		return "solids settled in a cone"
	}
	return k.Info().Label
}

// Pair is what a gauge shows beside what was measured in the same water: NTU beside a tube, mg/L beside a cone.
type Pair struct{ Shows, Reading float64 }

// Scale turns what a gauge shows into a reading, and back.
type Scale struct {
	// Key is what it shows, Reads what that is turned into.
	Key, Reads jartest.Key
	// Chart is true where the built-in chart stands in for pairs of the user's own.
	Chart bool
	// Pairs by what it shows, lowest first.
	Pairs []Pair
}

// Doubt is how far a reading by the chart may be off, either way: observers differ, and humic colour and algae break it
// (Anderson and Davic 2004, abstract: single observers differ significantly; the figure is our own).
const Doubt quantity.Fraction = 0.30

// LeastByTube is the turbidity below which no tube tells when to stop.
const LeastByTube = 10

// Name is a gauge in a word.
func Name(k jartest.Key) string {
	if k == Tube {
		return "tube"
	}
	return "cone"
}

// chart is that of Utah State University extension (Utah Water Watch): the middle of each class in cm, with its NTU.
var chart = []Pair{{6.625, 240}, {7.5, 185}, {8.75, 150}, {10, 120}, {11.25, 100}, {12.875, 90}, {15, 65}, {17.5, 50}, {20, 40}, {22.5, 35}, {25, 30},
	{27.5, 27}, {30, 24}, {32.5, 21}, {35, 19}, {37.5, 17}, {40, 15}, {42.5, 14}, {45, 13}, {47.5, 12}, {50, 11}, {52.5, 10}, {55.625, 9}, {58.75, 8}}

// The ends of the chart: above the one the water is clearer than it tells, below the other muddier.
const shallowest, deepest = 6.25, 60

// ChartOfTube is the scale of a tube for which nobody has pairs of their own.
func ChartOfTube() Scale {
	return Scale{Key: Tube, Reads: jartest.Turbidity, Chart: true, Pairs: chart}
}

// power is the slope of turbidity over depth where one pair alone is known, both as logarithms: that of the chart
// (NTU = (244.13/cm)^1.5106, Myre and Shaw 2006, second-hand).
const power = -1.5106

// ByFormula is the turbidity in NTU of a depth in cm by that formula alone, beyond the ends of the chart too; it compares readings and measures none.
func ByFormula(cm float64) float64 { return math.Pow(244.13/cm, -power) }

// log reports that the scale is straight between the logarithms of both, as that of a tube is.
func (s Scale) log() bool { return s.Key == Tube }

func (s Scale) bent(v float64) float64 {
	if s.log() {
		return math.Log(v)
	}
	return v
}

func (s Scale) straight(v float64) float64 {
	if s.log() {
		return math.Exp(v)
	}
	return v
}

// Reading is what the water reads where the gauge shows so much. Beyond the pairs, and beyond the ends of the chart, it is an error.
func (s Scale) Reading(shows float64) (float64, error) {
	unit := Unit(s.Key)
	if s.Chart {
		switch {
		case shows > deepest:
			return 0, note.Fault("tube-end", "%s %s is off the end of the tube: the water is clearer than %s NTU, and how clear it does not tell",
				quantity.Number(shows), unit, quantity.Number(chart[len(chart)-1].Reading)).Do("use a meter")
		case shows < shallowest:
			return 0, note.Fault("tube-end", "%s %s is too little for the tube: the water is above %s NTU", quantity.Number(shows), unit, quantity.Number(chart[0].Reading)).
				Do("mix one part of it with one part of clear water, read that, and give double the turbidity")
		}
		shows = min(max(shows, chart[0].Shows), chart[len(chart)-1].Shows)
	}
	v, ok := s.at(shows, func(p Pair) (float64, float64) { return p.Shows, p.Reading })
	if !ok {
		low, high := s.Pairs[0].Shows, s.Pairs[len(s.Pairs)-1].Shows
		return 0, note.Fault("gauge-range", "%s %s lies outside the pairs given, %s to %s %s", quantity.Number(shows), unit,
			quantity.Number(low), quantity.Number(high), unit).Do("give a pair at it or beyond it, or the reading itself")
	}
	return v, nil
}

// Shows is what the gauge shows of a reading; false where its pairs do not reach.
func (s Scale) Shows(reading float64) (float64, bool) {
	return s.at(reading, func(p Pair) (float64, float64) { return p.Reading, p.Shows })
}

// Slope is how much the reading changes where what the gauge shows changes by one, at that.
func (s Scale) Slope(shows float64) float64 {
	step := shows * 1e-6
	a, errA := s.Reading(shows - step)
	b, errB := s.Reading(shows + step)
	switch {
	case errA != nil:
		a, step = s.must(shows), step/2
	case errB != nil:
		b, step = s.must(shows), step/2
	}
	return (b - a) / (2 * step)
}

func (s Scale) must(shows float64) float64 {
	v, _ := s.Reading(shows)
	return v
}

// hair is what rounding may take a reading beyond the last pair.
const hair = 1e-9

// at goes from one side of the pairs to the other.
func (s Scale) at(x float64, sides func(Pair) (from, to float64)) (float64, bool) {
	if len(s.Pairs) == 1 {
		from, to := sides(s.Pairs[0])
		by := x / from
		if s.log() {
			end := power
			if from == s.Pairs[0].Reading {
				end = 1 / power
			}
			by = math.Pow(x/from, end)
		}
		return to * by, x >= 0
	}
	for i := 1; i < len(s.Pairs); i++ {
		a, b := s.Pairs[i-1], s.Pairs[i]
		fromA, toA := sides(a)
		fromB, toB := sides(b)
		if low, high := min(fromA, fromB), max(fromA, fromB); x >= low*(1-hair) && x <= high*(1+hair) {
			share := (s.bent(x) - s.bent(fromA)) / (s.bent(fromB) - s.bent(fromA))
			return s.straight(s.bent(toA) + share*(s.bent(toB)-s.bent(toA))), true
		}
	}
	return 0, false
}

// whole sorts the pairs and refuses what is no scale: more mud shows less in a tube and more in a cone.
func (s Scale) whole() (Scale, error) {
	s.Pairs = slices.SortedFunc(slices.Values(s.Pairs), func(a, b Pair) int {
		switch {
		case a.Shows < b.Shows:
			return -1
		case a.Shows > b.Shows:
			return 1
		}
		return 0
	})
	if len(s.Pairs) == 0 {
		return s, note.Fault("gauge-pairs", "no pair is given").Do(`write it like %q`, s.example())
	}
	for i, p := range s.Pairs {
		if !(p.Shows > 0) || !(p.Reading > 0) {
			return s, note.Fault("gauge-pairs", "%s %s with %s %s is not above zero", quantity.Number(p.Shows), Unit(s.Key),
				quantity.Number(p.Reading), Unit(s.Reads)).Do("leave it out")
		}
		if i == 0 {
			continue
		}
		q := s.Pairs[i-1]
		if rises := p.Reading > q.Reading; p.Shows == q.Shows || p.Reading == q.Reading || rises == s.log() {
			return s, note.Fault("gauge-pairs", "%s %s has %s %s, and %s %s has %s", quantity.Number(q.Shows), Unit(s.Key), quantity.Number(q.Reading),
				Unit(s.Reads), quantity.Number(p.Shows), Unit(s.Key), quantity.Number(p.Reading)).
				Do("muddier water shows less in a tube and more in a cone: correct one of the two, or leave it out")
		}
	}
	return s, nil
}
