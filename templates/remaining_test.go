package templates

import (
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/jartest/quantity"
)

// TestNothingFallsBelowNone: 25 mg/L of alkalinity and a dose that takes 30.3 leave none, and 5.3 of acid; text and document say both,
// and where just something is left it is said as it is.
func TestNothingFallsBelowNone(t *testing.T) {
	for _, x := range []struct {
		left quantity.Alkalinity
		cell string
		over bool
	}{{-5.31, "none, acid", true}, {0.4, "0.4", false}, {12, "12.0", false}} {
		w := waterObject(caution.Chemistry{AlkalinityBefore: 25, AlkalinityLeft: x.left, AlkalinityUsed: 25 - x.left})
		left, _ := w.Fig("alkalinity").Document()
		if left != max(0, float64(x.left)) || w.Has("acid_left_over") != x.over {
			t.Errorf("%v: %v left", x.left, left)
		}
		if x.over {
			if acid, _ := w.Fig("acid_left_over").Document(); acid != -float64(x.left) {
				t.Errorf("%v: %v of acid", x.left, acid)
			}
		}
		rows, _ := chemistryRows(w)
		if got := (Options{}).Show(rows[0][2]); !strings.HasPrefix(got, x.cell) {
			t.Errorf("%v is shown as %q", x.left, got)
		}
	}
}
