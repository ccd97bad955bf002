package words

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// A volume below the line is written as the cube of a length or as itself, with its exponent raised,
// plain or after a sign, and read as with a solidus.
func TestVolumesBelowTheLineByTheirExponent(t *testing.T) {
	below := map[string]float64{ // litres in one
		"dm%s3": 1, "m%s3": 1000, "cm%s3": 1e-3, "L%s1": 1, "l%s1": 1, "mL%s1": 1e-3, "m3%s1": 1000,
	}
	raised := strings.NewReplacer("1", "¹", "3", "³", "-", "⁻")
	for mass, mg := range map[string]float64{"mg": 1, "g": 1000, "ug": 1e-3, "µg": 1e-3} {
		for form, litres := range below {
			i := strings.Index(form, "%")
			unit, power := form[:i], form[i+2:]
			for _, exponent := range []string{"-" + power, "^-" + power, "^(-" + power + ")", raised.Replace("-" + power), "−" + power} {
				if strings.HasSuffix(unit, "3") && exponent == "-"+power {
					continue // m3-1
				}
				for _, join := range []string{" ", "·", ".", " · "} {
					text := fmt.Sprintf("Alum (%s%s%s%s)", mass, join, unit, exponent)
					us := Units(text)
					if len(us) != 1 || us[0].Kind != Conc || us[0].Left != "" || math.Abs(us[0].Factor*litres/mg-1) > 1e-9 {
						t.Errorf("%q: %+v, want %g mg/L", text, us, mg/litres)
					}
				}
			}
		}
	}
	for _, mass := range []string{"mg", "milligrams", "g"} {
		for _, in := range []string{"in one litre", "in a litre", "in each litre", "in 1 L", "per litre", "per L"} {
			us := Units("Alum (" + mass + " " + in + ")")
			if len(us) != 1 || us[0].Kind != Conc || us[0].Left != "" {
				t.Errorf("%s %s: %+v", mass, in, us)
			}
		}
	}
}

// What stands behind an amount like a unit below a line, and is none that is known, is left over: the
// amount is not one for each jar.
func TestAmountsWithAnUnknownLineBelow(t *testing.T) {
	for _, mass := range []string{"mg", "milligrams", "g", "µg", "mmol"} {
		for _, rest := range []string{" zork-3", " zork^-1", " zork⁻¹", " within one litre", " to the litre", " for every litre"} {
			text := "Alum (" + mass + rest + ")"
			us := Units(text)
			if len(us) == 0 || us[0].Left == "" {
				t.Errorf("%q: %+v, nothing is left over", text, us)
			}
		}
		for _, rest := range []string{"", " Al", " of alum", " added", " per jar", " in each jar", " added to 2 L", ") in 2 L jars (n"} {
			text := "Alum (" + mass + rest + ")"
			if us := Units(text); len(us) == 0 || us[0].Left != "" {
				t.Errorf("%q: %+v", text, us)
			}
		}
	}
}
