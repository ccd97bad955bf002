package caution

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestWorstCaseThatRisesOnIsSaid: 0.5 mg/L as product, 0.45 of active polymer, for 9.467 h a day at 0.6 m3/h through 40 m3 without new water are
// 0.45 × 0.142 = 0.0639 mg/L a day: 1.917 after the 30 days looked at, and 3.5 on day 55 (54 days bring 3.451). With 2 % of new water a
// day it settles, and no day is said to come.
func TestWorstCaseThatRisesOnIsSaid(t *testing.T) {
	s := Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "apam-dry", 0.5, quantity.AsProduct)}, Stock: stock(t, "trout"),
		Flow: quantity.Some(quantity.Flow(0.6)), Hours: 9.467, Loop: &Loop{Volume: 40000}}
	r := Review(s).Residuals[0]
	near := func(what string, got, want float64) {
		t.Helper()
		if got < want*0.998 || got > want*1.002 {
			t.Errorf("%s: %v, by hand %v", what, got, want)
		}
	}
	near("after 30 days", float64(r.Worst), 1.917)
	near("limit", float64(r.Limit.V), 3.5)
	if past, rises := r.Rises(); !rises || !past.OK || past.V != 55 {
		t.Errorf("rises %v, past its limit on day %v", rises, past)
	}
	s.Doses[0].Dose.Concentration = 2 // it passes the limit within those days, which Reached tells
	r = Review(s).Residuals[0]
	if past, rises := r.Rises(); !rises || past.OK || !r.Reached.OK {
		t.Errorf("rises %v, past its limit on day %v, after %v", rises, past, r.Reached)
	}
	s.Loop.Exchange = quantity.Some(quantity.Flow(40 * 0.02 / 24))
	if past, rises := Review(s).Residuals[0].Rises(); rises || past.OK {
		t.Errorf("what settles rises on: %v %v", rises, past)
	}
}
