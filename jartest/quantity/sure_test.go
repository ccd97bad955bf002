package quantity

import (
	"math"
	"testing"
)

// TestParseSure: per cent and "so many in so many" are the same share, by arithmetic.
func TestParseSure(t *testing.T) {
	for text, want := range map[string]float64{"95 %": 0.95, "95%": 0.95, "97.5 %": 0.975, "9 in 10": 0.9, "19  times in 20": 0.95, "1 in 2": 0.5,
		"99 In 100": 0.99, "50 %": 0.5, "3 in 4": 0.75} {
		if got, err := ParseSure(text); err != nil || math.Abs(float64(got)-want) > 1e-12 {
			t.Errorf("%q is %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "sure", "49.9 %", "99.1 %", "100 %", "9 in 0", "0 in 0", "10 in 9", "1 in 3", "95", "-90 %", "9 of 10", "NaN %"} {
		if got, err := ParseSure(text); err == nil {
			t.Errorf("%q is taken as %v", text, got)
		}
	}
}
