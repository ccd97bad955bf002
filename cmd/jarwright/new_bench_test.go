package main

import (
	"slices"
	"testing"

	"jarwright/dosing"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// TestNextSheetStirsAsTheLast: rpm, s, rpm and min of the last test, and the minutes that its jars settled; of two slow stages none, and
// of a floated test no settling.
func TestNextSheetStirsAsTheLast(t *testing.T) {
	stir := func(rpm, minutes float64) jartest.Stir {
		return jartest.Stir{Speed: quantity.Some(quantity.Rotation(rpm)), Time: quantity.Some(quantity.Time(minutes / 60))}
	}
	p := jartest.Protocol{Rapid: stir(200, 1), Slow: []jartest.Stir{stir(40, 8)}, Settle: quantity.Some(quantity.Time(20.0 / 60))}
	if got := lines(p, false); !slices.Equal(got, []float64{200, 60, 40, 8, 20}) {
		t.Error(got)
	}
	p.Slow = append(p.Slow, stir(20, 5))
	if got := lines(p, true); !slices.Equal(got, []float64{200, 60, 0, 0, 0}) {
		t.Error(got)
	}
}

// TestOrderHoldsForTheTest: what a site doses tells of the order only where the test is of such a chemical.
func TestOrderHoldsForTheTest(t *testing.T) {
	alum, polymer := dosing.Dosed{Name: "alum", Turn: dosing.ThenCoagulant}, dosing.Dosed{Name: "P1", Turn: dosing.LastPolymer}
	for _, x := range []struct {
		tested      string
		basis       quantity.Basis
		order       []dosing.Dosed
		told, alone bool
	}{
		{"", "", nil, true, false}, {"", "", []dosing.Dosed{alum}, false, true}, {"alum", "", []dosing.Dosed{alum, polymer}, true, false},
		{"new one", quantity.AsActive, []dosing.Dosed{alum}, false, false}, {"ferric chloride", "", []dosing.Dosed{alum}, false, true},
	} {
		if told, alone := ordered(book.Bench{Chemical: x.tested, Basis: x.basis}, x.order); told != x.told || alone != x.alone {
			t.Errorf("%+v: told %v, alone %v", x, told, alone)
		}
	}
}
