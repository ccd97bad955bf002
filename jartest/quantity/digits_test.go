package quantity

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Rounding by hand. Halves go by the binary value: 2.345 is stored as 2.34500000000000019984, 0.125 exactly and so to the even digit.
func TestDigits(t *testing.T) {
	for _, c := range []struct {
		v          float64
		digits     int
		sig, brief string
		round      float64
	}{
		{12.49, 3, "12.5", "12.5", 12.5}, {0.00999, 2, "0.010", "0.01", 0.01}, {99.96, 3, "100", "100", 100},
		{9.996, 3, "10.0", "10", 10}, {9.96, 3, "9.96", "9.96", 9.96},
		{1234.5, 2, "1200", "1200", 1200}, {1234.5, 4, "1234", "1234", 1234}, {1235.5, 4, "1236", "1236", 1236}, {0, 3, "0", "0", 0},
		{-2.345, 2, "-2.3", "-2.3", -2.3}, {-2.345, 3, "-2.35", "-2.35", -2.35}, {0.0908, 3, "0.0908", "0.0908", 0.0908},
		{10, 3, "10.0", "10", 10}, {20, 4, "20.00", "20", 20},
		{1, 1, "1", "1", 1}, {1, 2, "1.0", "1", 1}, {0.1, 1, "0.1", "0.1", 0.1}, {0.001, 2, "0.0010", "0.001", 0.001},
		{1000, 2, "1000", "1000", 1000}, {100, 3, "100", "100", 100},
		{0.125, 2, "0.12", "0.12", 0.12}, {0.00004996, 3, "0.0000500", "0.00005", 0.00005},
		{1e21, 2, "1000000000000000000000", "1000000000000000000000", 1e21},
		{700000, 1, "700000", "700000", 700000}, {999999, 3, "1000000", "1000000", 1000000}, {1.10, 3, "1.10", "1.1", 1.1},
		{100.04, 5, "100.04", "100.04", 100.04}, {100.04, 4, "100.0", "100", 100},
		{math.Inf(1), 3, "+Inf", "+Inf", math.Inf(1)}, {math.Inf(-1), 3, "-Inf", "-Inf", math.Inf(-1)},
	} {
		if got := Sig(c.v, c.digits); got != c.sig {
			t.Errorf("Sig(%v, %d) = %q, want %q", c.v, c.digits, got, c.sig)
		}
		if got := Brief(c.v, c.digits); got != c.brief {
			t.Errorf("Brief(%v, %d) = %q, want %q", c.v, c.digits, got, c.brief)
		}
		if got := RoundSig(c.v, c.digits); got != c.round {
			t.Errorf("RoundSig(%v, %d) = %v, want %v", c.v, c.digits, got, c.round)
		}
	}
	if s, b, r := Sig(math.NaN(), 3), Brief(math.NaN(), 3), RoundSig(math.NaN(), 3); s != "NaN" || b != "NaN" || !math.IsNaN(r) {
		t.Errorf("NaN is written %q, %q and rounded to %v", s, b, r)
	}
}

// Whatever the number: what is written is a plain decimal that reads back as the rounded number, within half a unit of
// the last digit, and has as many digits as were asked for.
func TestDigitsOfAnyNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(1, 9.999).Draw(t, "v") * math.Pow10(rapid.IntRange(-12, 12).Draw(t, "power"))
		digits := rapid.IntRange(1, 9).Draw(t, "digits")
		r, s, b := RoundSig(v, digits), Sig(v, digits), Brief(v, digits)
		if math.Abs(r-v) > 0.5000001*math.Pow(10, 1-float64(digits))*v {
			t.Fatalf("%v to %d digits gives %v", v, digits, r)
		}
		for _, text := range []string{s, b} {
			back, err := strconv.ParseFloat(text, 64)
			if err != nil || !near(back, r, 1e-14) || strings.ContainsAny(text, "eE") {
				t.Fatalf("%v to %d digits is written %q, which reads as %v (%v), want %v", v, digits, text, back, err, r)
			}
		}
		if _, after, dot := strings.Cut(s, "."); dot && len(strings.TrimLeft(strings.Replace(s, ".", "", 1), "0")) != digits {
			t.Fatalf("%v to %d digits is written %q (%d after the point)", v, digits, s, len(after))
		}
		if strings.Contains(b, ".") && strings.HasSuffix(b, "0") {
			t.Fatalf("%q has idle zeros", b)
		}
	})
}
