package quantity

import (
	"fmt"
	"testing"
)

func TestRounded(t *testing.T) {
	for _, c := range []struct {
		what string
		r    Rounded
		want string
		us   string // number and unit for US readers
	}{
		{"significant digits without idle zeros", To(Flow(3.5999), 3), "3.6 m3/h", "15.8 gpm"}, // 3.5999 / 0.2271247 = 15.8499
		{"one unit where the US has none of its own", Full(Concentration(2500), 4).In("g/L"), "2.500 g/L", "2.500 g/L"},
		{"zeros kept", Full(Concentration(150000), 4).In("g/L"), "150.0 g/L", "150.0 g/L"},
		{"decimals", Places(Number(7.256), 2), "7.26", "7.26"},
		{"a trace", Rounded{Q: Number(2e-7), Digits: 3, Way: Trace}, "under 0.000001", "under 0.000001"},
		{"the least that is written", Rounded{Q: Number(1e-6), Digits: 3, Way: Trace}, "0.000001", "0.000001"},
		{"less without a trace", To(Number(2e-7), 3), "0.0000002", "0.0000002"},
		{"what a subtraction leaves", Full(FeedRate(-3e-15), 5), "0 mL/min", "0 mL/min"},
		{"below zero", Full(FeedRate(-0.25), 2), "-0.25 mL/min", "-0.25 mL/min"},
		{"a fixed unit", Full(Volume(9876.54), 4).In("m3"), "9.877 m3", "2609 gal"}, // 9876.54 / 3.785411784 = 2609.10
		{"in its own size without", Full(Volume(9876.54), 4), "9877 L", "2609 gal"},
		{"without the unit", To(Temperature(-10), 3).Bare(), "-10", "14"}, // -10 x 1.8 + 32
		{"a unit the kind lacks not asked for", To(Number(4.5), 2).In("kg"), "4.5", "4.5"},
	} {
		v, u := c.r.Show(US)
		us := c.r.Number(v)
		if u != "" {
			us += " " + u
		}
		if got := c.r.String(); got != c.want || us != c.us {
			t.Errorf("%s: %q and %q, want %q and %q", c.what, got, us, c.want, c.us)
		}
	}
	if Number(0.12345).String() != "0.1235" && Number(0.12345).String() != "0.1234" {
		t.Errorf("a bare number: %s", Number(0.12345))
	}
}

func TestTold(t *testing.T) {
	fill := map[string]any{"limit": To(Temperature(40), 3), "who": "fry", "share": Places(Number(5), 1)}
	for _, c := range []struct{ text, want string }{
		{"keep it below {limit} C", "keep it below 40 C"},
		{"keep it below {limit}: {who} feel it", "keep it below 40 C: fry feel it"},
		{"{share} % of {who}, not {other}", "5.0 % of fry, not {other}"},
		{"48 % at {-16 C}, pH {6.0} to {8.75}", "48 % at -16 C, pH 6.0 to 8.75"},
		{"{1.415 kg/L} at {1.2 m3/h}", "1.415 kg/L at 1.2 m3/h"},
		{"{20 parsec} and {7.} and {a b}", "{20 parsec} and {7.} and {a b}"},
		{"nothing to fill, 5 %d", "nothing to fill, 5 %d"},
	} {
		if got := Told(c.text, fill).String(); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
	// Figures of the sentence's own are quantities: US readers see F and gpm.
	p := Told("{-16 C} {1.2 m3/h} {0.04}", nil)
	var us []string
	for _, a := range p.Args {
		v, u := a.(Rounded).Show(US)
		us = append(us, a.(Rounded).Number(v)+u)
	}
	if fmt.Sprint(us) != "[3F 5.3gpm 0.04]" { // -16 x 1.8 + 32 = 3.2; 1.2 / 0.2271247 = 5.283
		t.Errorf("own figures: %v", us)
	}
}
