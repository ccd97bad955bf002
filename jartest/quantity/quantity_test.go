package quantity

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b)) }

// What a quantity shows of itself reads back as the same amount, in every unit of every kind.
func TestUnitsRoundTrip(t *testing.T) {
	for _, k := range []kind{volumePerTime, volume, mass, massRate, concentration, density, fraction, span, alkalinity} {
		if k.units[0].factor != 1 && k.what != "share" {
			t.Errorf("%s: the first unit is not the working unit", k.what)
		}
		rapid.Check(t, func(t *rapid.T) {
			u := rapid.SampledFrom(k.units).Draw(t, "unit")
			name := rapid.SampledFrom(u.names).Draw(t, "name")
			v := rapid.Float64Range(0.001, 1e6).Draw(t, "value")
			got, err := k.parse(Sig(v, 17) + " " + name)
			if err != nil {
				t.Fatal(err)
			}
			if !near(k.in(got, name), v, 1e-12) {
				t.Fatalf("%s: %v %s came back as %v", k.what, v, name, k.in(got, name))
			}
		})
	}
}

// No spelling may mean two units of one kind.
func TestSpellingsAreUnique(t *testing.T) {
	for _, k := range []kind{volumePerTime, volume, mass, massRate, concentration, density, fraction, span, alkalinity} {
		seen := map[string]float64{}
		for _, u := range k.units {
			for _, n := range u.names {
				if f, ok := seen[tidyUnit(n)]; ok && f != u.factor {
					t.Errorf("%s: %q has two meanings", k.what, n)
				}
				seen[tidyUnit(n)] = u.factor
			}
		}
	}
}
