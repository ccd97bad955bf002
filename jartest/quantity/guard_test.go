package quantity

import (
	"math"
	"testing"
)

// TestLeaves: small things that everything above counts with, each by arithmetic on paper.
func TestLeaves(t *testing.T) {
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"an hour past midnight", float64(Wrapped(25, 24)), 1}, {"an hour before", float64(Wrapped(-1, 24)), 23}, {"midnight",
			float64(Wrapped(24, 24)), 0},
		{"two days before", float64(Wrapped(-47, 24)), 1}, {"noon", float64(Wrapped(12, 24)), 12}, {"of a week", float64(Wrapped(-5, 168)),
			163},
		{"three digits", RoundSig(1234.5, 3), 1230}, {"of little", RoundSig(0.00123456, 3), 0.00123}, {"below zero", RoundSig(-98.76, 2),
			-99},
		{"one digit", RoundSig(0.96, 1), 1}, {"nothing", RoundSig(0, 3), 0}, {"seventeen digits", RoundSig(0.1, 17), 0.1},
		{"the largest stays", RoundSig(math.MaxFloat64, 2), math.MaxFloat64},
	} {
		if math.Abs(x.got-x.want) > 1e-12*math.Abs(x.want) {
			t.Errorf("%s: %g, want %g", x.what, x.got, x.want)
		}
	}
	if !math.IsInf(RoundSig(math.Inf(1), 3), 1) {
		t.Error("infinity stays")
	}
}

// TestTimesOffIsAsked: from the square root of ten to that of 10^13, by the nearest power of ten, whichever is the larger.
func TestTimesOffIsAsked(t *testing.T) {
	for _, x := range []struct {
		a, b float64
		want string
	}{
		{10, 1, "10"}, {1, 10, "10"}, {3.2, 1, "10"}, {3.1, 1, ""}, {5, 5, ""}, {31, 1, "10"}, {32, 1, "100"}, {1, 980, "1000"}, {1e6, 1,
			"1000000"},
		{2e6, 1, "1000000"}, {1e7, 1, ""}, {0, 1, ""},
	} {
		want := x.want
		if want != "" {
			want = "; is one of them " + want + " times off?"
		}
		if got := TimesOff(x.a, x.b); got != want {
			t.Errorf("%g and %g: %q, want %q", x.a, x.b, got, want)
		}
	}
}

// TestConvertedTexts: factors of the international yard and gallon (NIST SP 811, appendix B).
func TestConvertedTexts(t *testing.T) {
	for _, x := range []struct {
		text, unit string
		want       float64
		ok         bool
	}{
		{"1 gal", "L", 3.785411784, true}, {"2 m3/h", "L/min", 100.0 / 3, true}, {"1 lb", "g", 453.59237, true}, {"10 ft", "m", 3.048,
			true},
		{"1 m3", "gal", 264.1720524, true}, {"50 F", "C", 10, true}, {"3 kg", "m3", 0, false}, {"some", "kg", 0, false}, {"3 kg", "some",
			0, false},
	} {
		if got, ok := Converted(x.text, x.unit); ok != x.ok || math.Abs(got-x.want) > 1e-8*math.Abs(x.want) {
			t.Errorf("%s in %s: %g, %v; want %g", x.text, x.unit, got, ok, x.want)
		}
	}
}

// TestPriceByVolume: 0.45 a litre is 450 a m3; 4 a gallon is 4/3.785411784 x 1000 = 1056.69; a price of a kilogram has none.
func TestPriceByVolume(t *testing.T) {
	for _, x := range []struct {
		p    Price
		want float64
		ok   bool
	}{
		{Price{0.45, "EUR", "L"}, 450, true}, {Price{4, "USD", "gal"}, 1056.688, true}, {Price{12, "EUR", "m3"}, 12, true}, {Price{2,
			"EUR", "kg"}, 0, false},
		{Price{2, "EUR", "pack"}, 0, false},
	} {
		got, ok := x.p.PerM3()
		if ok != x.ok || math.Abs(got.Amount-x.want) > 1e-3 || ok && (got.Currency != x.p.Currency || got.Per != "m3") || !ok &&
			got != (Price{}) {
			t.Errorf("%v: %v, %v; want %g", x.p, got, ok, x.want)
		}
	}
}

// TestRoundedDown: a limit that is told rounds towards what is safe; what is already round stays, binary dust or not.
func TestRoundedDown(t *testing.T) {
	for _, x := range []struct {
		v      float64
		digits int
		want   string
	}{
		{0.4208, 2, "0.42"}, {0.429, 2, "0.42"}, {0.42, 2, "0.42"}, {168, 2, "160"}, {160, 2, "160"}, {0.3, 1, "0.3"}, {0.0299, 1, "0.02"},
		{0.07, 2, "0.07"},
		{9.99, 1, "9"}, {1, 1, "1"}, {1.1, 2, "1.1"}, {12345, 3, "12300"}, {-1.29, 2, "-1.3"}, {0, 2, "0"},
	} {
		if got := (Rounded{Q: Number(x.v), Digits: x.digits, Way: Down}).String(); got != x.want {
			t.Errorf("%g to %d digits: %s, want %s", x.v, x.digits, got, x.want)
		}
	}
	// of a trace: from a millionth on it is written; nothing is nothing
	for v, want := range map[float64]string{9.9e-7: "under 0.000001", 1e-6: "0.000001", 0: "0", -2e-7: "-0.0000002", 9e-13: "0"} {
		if got := (Rounded{Q: Number(v), Digits: 2, Way: Trace}).String(); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
	if v, ok := NotStated.AcidPer(); ok || v != 0 {
		t.Errorf("a basis that tells no metal takes %g", v)
	}
}
