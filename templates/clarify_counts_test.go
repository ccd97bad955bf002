package templates

import (
	"math"
	"testing"

	"jarwright/dosing/site"
)

// TestRunCountsAsItsLimitsDo: a clean-up's table counts a polymer as a plan's does: 0.5 mg/L of a product of the user's own of 40 % at each of
// 3.37 turnovers (ln(89/4)/0.92) is 0.674 mg/L of active polymer; half of 0.271 (Goodrich et al. 1991) stops, a hundredth calls for care.
func TestRunCountsAsItsLimitsDo(t *testing.T) {
	r := siteCleaning(t, func(v site.Values) {
		v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "ClearFloc", "dose": "0.5 mg/L", "basis": "as product", "charge": "cationic",
			"strength": "40 %", "strength counts": "as active", "density": "1.1 kg/L"})
	})
	x := r.residualData()[len(r.Tank().Chemicals)-1]
	if x.Get("chemical") != "ClearFloc" || x.Get("basis") != "as active polymer" {
		t.Fatalf("%v counts %v", x.Get("chemical"), x.Get("basis"))
	}
	for key, want := range map[string]float64{"bound": 0.5 * 0.4 * math.Log(89.0/4) / 0.92, "worst_case": 0.5 * 0.4 * math.Log(89.0/4) / 0.92, "stop_at": 0.0271, "care_at": 0.00271} {
		if got, unit := x.Fig(key).Document(); math.Abs(got/want-1) > 1e-3 || unit != "mg/L" {
			t.Errorf("%s is %g %s, want %g mg/L", key, got, unit, want)
		}
	}
}
