package product

import (
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// TestWhatIsDoubtedByTen: of the most that is usually dosed of alum (the table's own line): ten times it and more is a doubt by which
// nothing is set, twice it is only asked about, and the usual dose is neither. A strength of a hundredth is one, one of 85 % is not.
func TestWhatIsDoubtedByTen(t *testing.T) {
	p, err := Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(usualDoses(), func(u usualDose) bool { return u.of(p) })
	if i < 0 {
		t.Fatal("no usual dose of alum")
	}
	most := quantity.Dose{Concentration: usualDoses()[i].high, Basis: usualDoses()[i].basis}
	for times, want := range map[quantity.Concentration][2]bool{0.5: {}, 2: {true, false}, 11: {true, true}} {
		l := DoseSlips(p, quantity.Dose{Concentration: most.Concentration * times, Basis: most.Basis}, false)
		asks, doubts := false, false
		for _, n := range l {
			asks, doubts = asks || n.Asks(), doubts || n.Doubts()
		}
		if doubts != want[1] || asks && !want[0] {
			t.Errorf("%v times the usual most: asks %t, doubts %t", times, asks, doubts)
		}
	}
	for strength, want := range map[quantity.Fraction]bool{0.00485: true, 0.85: false} {
		doubts := false
		for _, n := range Slips(p, strength, quantity.AsAlum14, 0) {
			doubts = doubts || n.Doubts()
		}
		if doubts != want {
			t.Errorf("a strength of %v: %t", strength, doubts)
		}
	}
}
