package words

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// spellings gives the ways to write the atoms of a dimension, with their factors.
func spellings(dimension string) map[string]float64 {
	out := map[string]float64{}
	for _, r := range rows(atomsCSV) {
		if r[0] != dimension {
			continue
		}
		var f float64
		if _, err := fmt.Sscan(r[1], &f); err != nil {
			panic(err)
		}
		for _, s := range strings.Split(r[2]+"|"+r[3], "|") {
			if s != "" {
				out[s] = f
			}
		}
	}
	return out
}

// Every mass over every volume, in every way to write it, is the quotient of the two.
func TestEveryMassPerVolume(t *testing.T) {
	numbers := []struct {
		text string
		n    float64
	}{{"", 1}, {"100 ", 100}, {"1000 ", 1000}, {"1,000 ", 1000}, {"10 000 ", 1e4}, {"10^6 ", 1e6}, {"million ", 1e6}, {"500", 500}}
	special := map[string]bool{"gr": true} // grains with gallons, grams with litres: in a table of its own
	masses, volumes := spellings("mass"), spellings("volume")
	r := rand.New(rand.NewPCG(1, 2))
	for m, fm := range masses {
		for v, fv := range volumes {
			if special[m] || r.IntN(80) > 0 && m != "mg" && v != "L" && v != "l" {
				continue
			}
			for _, n := range numbers {
				if strings.HasSuffix(n.text, "0") && v[0] >= 0x80 { // no blank before other scripts is as good as one
					continue
				}
				for _, form := range []string{"Alum (%s/%s%s)", "Alum, %s per %s%s", "Alum %s / %s%s", "Dose [%s/%s%s] settled"} {
					text := fmt.Sprintf(form, m, n.text, v)
					us := Units(text)
					want := fm / (fv * n.n)
					if len(us) != 1 || us[0].Kind != Conc || us[0].Left != "" || math.Abs(us[0].Factor/want-1) > 1e-9 {
						t.Errorf("%q: %+v, want %g", text, us, want)
					}
				}
			}
		}
	}
}

// A token that no table holds, put behind the line of a unit, is never passed over.
func TestUnknownPartOfAUnitSpeaks(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 3000 {
		word := ""
		for range 3 + r.IntN(5) {
			word += string(rune('a' + r.IntN(26)))
		}
		if len(Units("1 "+word)) > 0 || len(Units("a/"+word)) > 0 || everyTable().species[word] != nil {
			continue
		}
		for _, text := range []string{"Alum (mg/" + word + ")", "Alum (mg/L/" + word + ")", "Alum mg per " + word, "Alum (kg/1000 " + word + ")", "Turbidity (NTU/" + word + ")"} {
			us := Units(text)
			if len(us) != 1 || us[0].Left == "" {
				t.Errorf("%q reads as %+v", text, us)
			}
		}
	}
}

func FuzzUnits(f *testing.F) {
	for _, s := range []string{"Alum (mg/500 mL as Al)", "µS/cm @25 °C", "x 10^-3", "10⁶ m³", "mg/(L)", "%(w/v)", "1/", "gr/gal", "毫克/升", "/m", "lb/MG"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 400 {
			return
		}
		last := 0
		for _, u := range Units(s) {
			if u.From < last || u.To <= u.From || u.To > len(s) || u.Factor <= 0 || math.IsNaN(u.Factor) || math.IsInf(u.Factor, 0) || u.Name == "" {
				t.Fatalf("%q: %+v", s, u)
			}
			last = u.To
		}
	})
}
