package history

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Two waters under one law: a law laid through both lies between them, asks too much of the one and too little of the
// other, and nothing in its scatter says so but that no test lies near it.

// fewestWater is how many tests make a water that is told from another.
const fewestWater = 3

// farApart is how many times the scatter within two parts lies between their means, where the tests of one water are
// parted where they part best, once in two hundred times: by 20,000 normal samples of each size (simulated, this program's own).
var farApart = []struct {
	tests int
	times float64
}{{6, 8.4}, {7, 8.3}, {8, 7.3}, {10, 6.4}, {12, 5.8}, {14, 5.4}, {20, 4.8}, {30, 4.2}}

// leastApart is by how much of the dose two waters differ at least to be worth telling apart. Judgement, no source.
const leastApart quantity.Fraction = 0.2

// farFor is that of so many tests: of the next smaller number in the table.
func farFor(tests int) float64 {
	out := math.Inf(1)
	for _, x := range farApart {
		if x.tests <= tests {
			out = x.times
		}
	}
	return out
}

// offLaw is a test by how far its dose lies from the law, as a logarithm.
type offLaw struct {
	test Test
	by   float64
}

// apart tells of tests that fall into two kinds, each close together and far from the other: two waters, or two products, or a meter
// that was changed. Where the sheets name the waters, by their names. A change with time, or by a reading, is told as such instead.
func (g *Group) apart(m Model) {
	if g.Drift.OK || slices.ContainsFunc(g.Notes, func(n note.Note) bool { return n.Code == "leans-by-reading" }) {
		return
	}
	var all []offLaw
	for _, t := range m.law.tests {
		if own := m.law.own(t.Raw); own > 0 && t.Effective.Value > 0 {
			all = append(all, offLaw{t, math.Log(float64(t.Effective.Value) / own)})
		}
	}
	slices.SortStableFunc(all, func(a, b offLaw) int { return cmp.Compare(a.by, b.by) })
	best, at := 0.0, 0
	for k := fewestWater; k <= len(all)-fewestWater; k++ {
		if times := between(all[:k], all[k:]); times > best {
			best, at = times, k
		}
	}
	if at == 0 || best < farFor(len(all)) {
		return
	}
	less, more := all[:at], all[at:]
	by := quantity.Fraction(math.Exp(meanOff(more)-meanOff(less)) - 1)
	if by < leastApart {
		return
	}
	who := note.Say("%d of the %d tests", len(more), len(all))
	others := note.Say("the others")
	if a, b := oneName(less), oneName(more); a != "" && b != "" && a != b {
		who, others = note.Say("the %d tests of %s", len(more), b), note.Say("the %d of %s", len(less), a)
	}
	first := slices.MinFunc(more, func(a, b offLaw) int { return before(a.test, b.test) }).test
	g.Notes.Add(note.New(note.Caution, "waters-apart", "%s needed about %s %% more than %s at the same turbidity, and none lies between: the law of all lies where neither water does",
		who, quantity.To(quantity.Number(by.In("%")), 2), others).At(first.At).
		Do("find out what tells them apart (water, product, meter), keep each kind in a folder of its own, and ask that of today's water"))
}

// between is how many times their scatter two parts lie apart.
func between(a, b []offLaw) float64 {
	ma, mb, squares := meanOff(a), meanOff(b), 0.0
	for _, x := range a {
		squares += (x.by - ma) * (x.by - ma)
	}
	for _, x := range b {
		squares += (x.by - mb) * (x.by - mb)
	}
	return math.Abs(mb-ma) / math.Max(math.Sqrt(squares/float64(len(a)+len(b)-2)), 1e-9)
}

func meanOff(part []offLaw) (mean float64) {
	for _, x := range part {
		mean += x.by / float64(len(part))
	}
	return mean
}

// oneName is the name that the sheets of a part all have; empty where they differ.
func oneName(part []offLaw) string {
	for _, x := range part {
		if x.test.Name != part[0].test.Name {
			return ""
		}
	}
	return part[0].test.Name
}
