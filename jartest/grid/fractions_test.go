package grid

import "testing"

// TestFractionsIn: commas part fractions where nothing else can be meant by those without a blank; rows of
// figures, headings without blanks and numbers that begin a line leave them to be separators.
func TestFractionsIn(t *testing.T) {
	for text, want := range map[string]bool{
		"Eau brute 38 NTU, pH 7,9\n2 mL -> 9,5 NTU\n": true,
		"Rohwasser 38 NTU,\npH 7,9\n":                 true,
		"jar 2, 5 mL, 31,5 NTU":                       true,
		"Raw 38 NTU, pH 7.9\n2 mL -> 9.5 NTU\n":       false,
		"Eau brute 38 NTU, pH 7,9\nJar,NTU\n1,37\n":   false,
		"raw 38 NTU, pH 7,9\njar 1,0,37\n":            false,
		"Jar, NTU\n1,37\n2,21\n":                      false,
		"pH 7,9\nalum,10 mg/L\n":                      false,
		"":                                            false,
	} {
		if fractionsIn([]byte(text)) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
}
