package figure

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestARangeHasOneUnit: 11.7 g are 0.412699 oz (28.349523 g), so that what goes up to 1.01 oz/d begins at
// 0.413 oz/d, and at 0.02579 lb where it goes up to 28.6 kg, 63.05 lb; an interval's ends stand in the
// unit of its figure, 28.6 g beside 11.7 g. What is no range keeps its own units.
func TestARangeHasOneUnit(t *testing.T) {
	use := func(kgPerDay float64) Figure { return Of("use", quantity.MassRate(kgPerDay), "kg/d", 3) }
	for _, x := range []struct {
		says  any
		units quantity.System
		want  string
	}{
		{Say("%s to %s of product", use(0.0117), use(0.0286)), quantity.US, "0.413 oz/d to 1.01 oz/d of product"},
		{Say("90 %% of %s to %s, then %s", use(0.0117), use(28.6), use(0.0117)), quantity.US, "90 % of 0.0258 lb/d to 63.1 lb/d, then 11.7 g/d"},
		{Say("%s and %s", use(0.0117), use(28.6)), quantity.US, "11.7 g/d and 63.1 lb/d"},
		{Say("%s to %s", Figure{Q: Unitless{use(0.0117).Q}}, use(28.6)), quantity.US, "0.0258 to 63.1 lb/d"},
		{Say("%s to %s", Figure{Q: Unitless{use(0.0117).Q}}, Figure{Q: Unitless{use(28.6).Q}}), quantity.US, "0.0258 to 63.1"},
		{Say("%s to %s", use(0), use(28.6)), quantity.US, "0 lb/d to 63.1 lb/d"},
		{Say("%s to %s", use(0.0117), Figure{}), quantity.US, "11.7 g/d to -"},
		{Interval{Figure: use(0.0117), Low: quantity.MassRate(0.01), High: quantity.MassRate(0.0286)}, quantity.US, "11.7 g/d (10 to 28.6)"},
	} {
		if got := (Style{Units: x.units}).Show(x.says); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	f, rest, ok := Lead(Say("%s to %s", use(0.0117), use(28.6)))
	us := Style{Units: quantity.US}
	if got := us.Show(f) + "|" + us.Show(rest); !ok || got != "0.0258 lb/d|to 63.1 lb/d" {
		t.Errorf("led by %q", got)
	}
	if v, _ := use(0.0117).Like(use(28.6)).Document(); v != 0.0117 {
		t.Errorf("in a document %v", v)
	}
}
