package layout

import "testing"

// A day has a month up to 12 and a day of it up to 31, in either order; no part is zero.
func TestPlausibleDays(t *testing.T) {
	for s, want := range map[string]bool{"12.12.2026": true, "13.12.2026": true, "12.13.2026": true, "31/12/26": true, "13.13.2026": false, "32.12.2026": false, "12.32.2026": false, "0.5.2026": false, "5.0.2026": false, "5-6-26": true} {
		if got := PlausibleDay(s); got != want {
			t.Errorf("%s: %v, want %v", s, got, want)
		}
	}
}

// TestFactNames: names of what a test has one number of, and names of columns that have one for each jar.
func TestFactNames(t *testing.T) {
	for s, want := range map[string]bool{
		"Raw turbidity": true, "Turbidity before": true, "Raw water": false, "Turbidity (NTU)": false, "Target turbidity": true, "Target": false, "Stock": true, "Stock strength": true,
		"Strength (%)": true, "Jar volume (L)": true, "Volume (L)": true, "Jar": false, "Jar (L)": true, "Density (kg/L)": true, "Alum (mg/L)": false, "Date": false,
	} {
		if got := ReadHeading(s).FactName(); got != want {
			t.Errorf("%s: %v, want %v", s, got, want)
		}
	}
}
