package layout

import (
	"math"
	"testing"
)

// What a heading says of the water that an absorbance was read through, in cm, and of a drop, in litres
// (1 mL is 0.001 L, 10 mm are 1 cm: the SI brochure).
func TestPathsAndDropsInHeadings(t *testing.T) {
	for text, want := range map[string]float64{"UV254 (5 cm cell)": 5, "UV254, 50 mm cell": 5, "UV254 (40 mm cuvette)": 4, "UV254 (1/cm)": 0, "Turbidity (5 cm tube)": 0} {
		if got := ReadHeading(text).Path; math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: path %v cm, want %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{"Alum drops (1 drop = 0.04 mL)": 4e-5, "Alum drops": 0} {
		if got := ReadHeading(text).Drop; math.Abs(got-want) > 1e-15 {
			t.Errorf("%q: drop %v L, want %v", text, got, want)
		}
	}
}

// Fractions written as one sign, alone and behind a whole number.
func TestFractionSigns(t *testing.T) {
	for text, want := range map[string]float64{"½": 0.5, "1½": 1.5, "2 ¼": 2.25, "12¾": 12.75, "7": 7} {
		if v := ParseText(text, DecimalPoint); !v.OK() || math.Abs(v.Num-want) > 1e-9 {
			t.Errorf("%q: %v, want %v", text, told(v), want)
		}
	}
}
