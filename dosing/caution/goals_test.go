package caution

import (
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// TestEachGoalStandsOnce: what gives back alkalinity is listed whole before what holds the pH, so that each is one table.
func TestEachGoalStandsOnce(t *testing.T) {
	w := with(beck(), func(w *Water) {
		w.Alkalinity, w.PH, w.Hold = quantity.Some(quantity.Alkalinity(40)), quantity.Some(quantity.PH(7.2)), quantity.Some(quantity.PH(7.2))
	})
	var goals []string
	for _, o := range Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)}}).Alkalis {
		goals = append(goals, o.Goal.String())
	}
	if once := slices.Compact(goals); len(once) != 2 || once[0] != "alkalinity 50 mg/L CaCO3" || once[1] != "pH 7.2" {
		t.Errorf("%q", once)
	}
}
