package clarify

import (
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestEnoughFlow: 4 kg/d of feed make 1 kg/d of solids, 2.976 mg/L an hour in 14 m3, of which a pass takes 0.7. From 600 mg/L a flow Q in m3/h
// comes to 59.52/Q + (600 - 59.52/Q) exp(-0.05 Q 336) in 14 days, which is 300 at 0.205. The run itself, step by step, clears with a
// hair more and does not with a hair less. Below what the unit leaves no flow clears it.
func TestEnoughFlow(t *testing.T) {
	k := Tank{Volume: 14000, Flow: 0.1, Key: jartest.TSS, Start: 600, Stop: 300, Rise: 1e6 / 24 / 14000., Removal: 0.7}
	enough := k.Enough()
	if enough < 0.2045 || enough > 0.2055 {
		t.Errorf("%v m3/h", enough)
	}
	for by, want := range map[quantity.Flow]bool{0.995: false, 1.005: true} {
		with := k
		with.Flow = enough * by
		r, err := with.Run()
		if err != nil || (r.Outcome == Cleared) != want {
			t.Errorf("with %v of it: %s %v", by, r.Outcome, err)
		}
	}
	if k.Start, k.Floor, k.Stop = 600, 400, 300; k.Enough() != 0 {
		t.Errorf("below what the unit leaves: %v", k.Enough())
	}
}
