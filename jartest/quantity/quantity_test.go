package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b)) }

// Conversion factors are those of NIST Special Publication 811 (2008), appendix
// B.8 and B.9, to the digits printed there; from memory.
func TestFlowUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		m3h  float64
	}{
		{"2 m3/h", 2}, {"2 m³/h", 2}, {"2 m3 h-1", 2}, {"48 m3/d", 2}, {"1 L/s", 3.6}, {"10 L/min", 0.6},
		{"35 gpm", 35 * 6.309020e-5 * 3600},
		{"0.5 MGD", 0.5 * 4.381264e-2 * 3600},
		{"35 imp gpm", 35 * 4.54609e-3 / 60 * 3600}, // the imperial gallon is 4.54609 L by definition,
		{"1 ML/d", 1000.0 / 24}, {"1 mL/min", 6e-5},
		{"1 cfs", 2.831685e-2 * 3600},
	} {
		f, err := ParseFlow(c.text)
		if err != nil || !near(float64(f), c.m3h, 2e-7) {
			t.Errorf("ParseFlow(%q) = %v, %v; want %v m3/h", c.text, float64(f), err, c.m3h)
		}
	}
}

func TestGallonsAreToldApart(t *testing.T) {
	us, err1 := ParseVolume("1 gal")
	imp, err2 := ParseVolume("1 imp gal")
	if err1 != nil || err2 != nil || us != 3.785411784 || imp != 4.54609 {
		t.Errorf("US %v (%v), imperial %v (%v)", float64(us), err1, float64(imp), err2)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		parse func(string) error
		text  string
		want  string // must be in the message
	}{
		{func(s string) error { _, err := ParseFlow(s); return err }, "2", "no unit"},
		{func(s string) error { _, err := ParseFlow(s); return err }, "", "empty"},
		{func(s string) error { _, err := ParseFlow(s); return err }, "two m3/h", "does not start with a number"},
		{func(s string) error { _, err := ParseFlow(s); return err }, "2 gpmm", `did you mean "gpm"`},
		{func(s string) error { _, err := ParseFlow(s); return err }, "1,234 m3/h", "thousands or decimals"},
		{func(s string) error { _, err := ParseDose(s); return err }, "-3 mg/L", "negative"},
		{func(s string) error { _, err := ParseDose(s); return err }, "3 mg/L as unobtainium", "not known"},
		{func(s string) error { _, err := ParseFraction(s); return err }, "148 %", "outside 0 to 100"},
		{func(s string) error { _, err := ParseDensity(s); return err }, "0 kg/L", "above zero"},
		{func(s string) error { _, err := ParseTemperature(s); return err }, "12", "not known"},
		{func(s string) error { _, err := ParseMass(s); return err }, "NaN kg", "does not start with a number"},
		{func(s string) error { _, err := ParseMass(s); return err }, "1e999 kg", "does not start with a number"},
	} {
		if err := c.parse(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: got %v, want an error with %q", c.text, err, c.want)
		}
	}
}

func TestParseOther(t *testing.T) {
	if d, err := ParseDose("1.1 mg/L as Al"); err != nil || d != (Dose{1.1, AsAl}) {
		t.Errorf("dose: %v, %v", d, err)
	}
	if d, err := ParseDose("12.5 mg/L as alum 14-hydrate"); err != nil || d != (Dose{12.5, AsAlum14}) {
		t.Errorf("dose: %v, %v", d, err)
	}
	if s, err := ParseFraction("48.5 %"); err != nil || !near(float64(s), 0.485, 1e-15) {
		t.Errorf("strength: %v, %v", float64(s), err)
	}
	if d, err := ParseDensity("1.335 kg/L"); err != nil || d != 1.335 {
		t.Errorf("density: %v, %v", d, err)
	}
	if h, err := ParseTime("90 min"); err != nil || !near(float64(h), 1.5, 1e-15) {
		t.Errorf("time: %v, %v", h, err)
	}
	if c, err := ParseTemperature("54 F"); err != nil || !near(float64(c), 12.2222222222, 1e-9) {
		t.Errorf("temperature: %v, %v", float64(c), err)
	}
	if a, err := ParseAlkalinity("1 meq/L"); err != nil || !near(float64(a), 50.04, 1e-4) {
		t.Errorf("alkalinity: %v, %v", a, err) // 50.04 mg CaCO3 per meq: half of 100.087 g/mol
	}
	if r, err := ParseFeedRate("10 L/h"); err != nil || !near(float64(r), 166.6666667, 1e-9) {
		t.Errorf("feed rate: %v, %v", float64(r), err)
	}
	if c, err := ParseConcentration("1 % w/v"); err != nil || c != 10000 {
		t.Errorf("concentration: %v, %v", c, err)
	}
}

func TestEveryBasisReadsBack(t *testing.T) {
	for _, b := range Bases() {
		for _, text := range []string{string(b), strings.ToUpper(string(b)), strings.TrimPrefix(string(b), "as ")} {
			if got, err := ParseBasis(text); err != nil || got != b {
				t.Errorf("ParseBasis(%q) = %v, %v", text, got, err)
			}
		}
	}
}

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

func TestSig(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{12.49, 3, "12.5"}, {0.00999, 2, "0.010"}, {99.96, 3, "100"}, {1234.5, 2, "1200"}, {0, 3, "0"}, {-2.345, 2, "-2.3"}, {0.0908, 3, "0.0908"}, {10, 3, "10.0"},
	} {
		if got := Sig(c.v, c.digits); got != c.want {
			t.Errorf("Sig(%v, %d) = %q, want %q", c.v, c.digits, got, c.want)
		}
	}
}
