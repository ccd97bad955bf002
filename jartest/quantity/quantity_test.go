package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b)) }

// Whatever is written in any unit of any kind comes back in that unit, and what is shown of it reads back as the same amount.
func TestUnitsRoundTrip(t *testing.T) {
	for _, m := range measures {
		k := kind{what: m.row.what, example: m.row.example, units: m.row.units, metric: m.row.metric, us: m.row.us} // without limits
		rapid.Check(t, func(t *rapid.T) {
			u := rapid.SampledFrom(k.units).Draw(t, "unit")
			name := rapid.SampledFrom(u.names).Draw(t, "name")
			v := rapid.Float64Range(0.001, 1e6).Draw(t, "value")
			got, err := k.parse(Sig(v, 17) + " " + name)
			if err != nil || !near(k.in(got, name), v, 1e-10) {
				t.Fatalf("%s: %v %s came back as %v (%v)", k.what, v, name, k.in(got, name), err)
			}
			for _, s := range []System{Metric, US} {
				shown, unit := k.show(got, s)
				if back, err := k.parse(Sig(shown, 17) + " " + unit); err != nil || !near(back, got, 1e-10) {
					t.Fatalf("%s: %v shows as %v %s, which reads as %v (%v)", k.what, got, shown, unit, back, err)
				}
			}
		})
	}
}

// A kind is whole: no spelling means two units of it, and what it is shown in are units of it, from small to large.
func TestKindsAreWhole(t *testing.T) {
	for _, m := range measures {
		seen, folded := map[string]float64{}, map[string]float64{}
		for _, u := range m.row.units {
			for _, n := range u.names {
				if f, ok := seen[tidyUnit(n)]; ok && f != u.factor {
					t.Errorf("%s: %q has two meanings", m.kind, n)
				}
				seen[tidyUnit(n)] = u.factor
				if mega.MatchString(n) {
					continue
				}
				low := strings.ToLower(tidyUnit(n))
				if f, ok := folded[low]; ok && f != u.factor {
					t.Errorf("%s: %q differs from another unit by case alone", m.kind, n)
				}
				folded[low] = u.factor
			}
		}
		for _, l := range []ladder{m.row.metric, m.row.us} {
			last := 0.0
			for i, step := range l {
				one, ok := seen[tidyUnit(step.unit)]
				if from := one * step.from; !ok || i > 0 && from <= last {
					t.Errorf("%s: shown in %q from %v of it on: not a unit, or below the one before", m.kind, step.unit, step.from)
				} else {
					last = from
				}
			}
		}
		if v, err := m.read(m.row.example); err != nil || v == 0 {
			t.Errorf("%s: the example %q is read as %v, %v", m.kind, m.row.example, v, err)
		}
	}
}
