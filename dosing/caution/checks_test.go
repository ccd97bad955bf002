package caution

import (
	"math"
	"testing"
)

// TestLimitsAsPublished: the general limits of the rules against what their sources print; those of memory say so.
func TestLimitsAsPublished(t *testing.T) {
	for id, want := range map[string]struct {
		limit  float64
		status string
	}{
		"alkalinity-gone":    {20, "read"},       // Oregon DEQ, table 30
		"nh3-high":           {0.019, "read"},    // CCME
		"nh3-lethal":         {0.16, "read"},     // Thurston and Russo 1983
		"ph-too-high":        {9, "read"},        // CCME
		"al-marine":          {0.024, "read"},    // Golding et al. 2015
		"al-dissolved":       {7.6, "computed"},  // from 0.4 mg/L of aluminate on, phreeqc.dat
		"anionic-high":       {3.5, "read"},      // Environment Agency
		"anionic-fleas":      {1, "read"},        // Acharya et al. 2010
		"chitosan-salmonid":  {0.019, "read"},    // Bullock et al. 2000
		"loop-chloride":      {120, "read"},      // CCME 2011, second-hand
		"loop-sulfate":       {250, "read"},      // US EPA 816-F-02-013
		"gas-high":           {103, "memory"},    // CCME, for water less than a metre deep
		"dw-acrylamide":      {0.10, "read"},     // Directive (EU) 2020/2184, the strictest
		"dw-epichlorohydrin": {0.10, "memory"},   // the same
		"dw-aluminium":       {0.2, "read"},      // the same
		"dw-iron":            {0.2, "memory"},    // the same
		"handle-makeup":      {40, "read"},       // WSEC-2019-FS-007
		"ferrous-oxygen":     {0.14, "computed"}, // 31.998/4/55.845
		"co2-far":            {40, "read"},       // what tilapia bear
	} {
		i := 0
		for _, r := range Rules() {
			if r.ID == id {
				i++
				if r.Limit != want.limit || r.Status != want.status {
					t.Errorf("%s: %g, %s; want %g, %s", id, r.Limit, r.Status, want.limit, want.status)
				}
			}
		}
		if i != 1 {
			t.Errorf("%s stands %d times", id, i)
		}
	}
	// Nitrification takes two equivalents a mole of nitrogen: 2 x 50.0435/14.007 = 7.145 mg CaCO3 per mg (measured 6.3 to 7.4 in attached
	// growth: US EPA 1975, by way of a University of Wisconsin report).
	if math.Abs(nitrified-7.145) > 0.001 {
		t.Errorf("nitrification takes %g", float64(nitrified))
	}
}
