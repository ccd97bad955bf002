package sheet

import (
	"testing"

	"jarwright/jartest/layout"
)

func TestDiluted(t *testing.T) {
	for text, want := range map[string]float64{
		"1:10": 10, "1 : 10": 10, "1/5": 5, "1 in 10": 10, "1 to 4": 4, "10x": 10, "10×": 10, "10 fold": 10, "10 times": 10, "10:1": 10,
		"10": 10, "1:1": 1, "2.5": 2.5, "1:2.5": 2.5, "1:1 000": 1000,
	} {
		if got, ok := timesDiluted(text, layout.DecimalPoint); !ok || got != want {
			t.Errorf("%q is %v, %v, want %v", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "-10", "1:-10", "2:5", "10 mL", "1:10 or 1:20", "about 10", "1:x"} {
		if got, ok := timesDiluted(text, layout.DecimalPoint); ok {
			t.Errorf("%q is %v, and is no dilution", text, got)
		}
	}
	if got, ok := timesDiluted("1:2,5", layout.DecimalComma); !ok || got != 2.5 {
		t.Errorf("1:2,5 is %v, %v", got, ok)
	}
	if got, ok := timesDiluted("1:1,000", layout.DecimalsMixed); ok {
		t.Errorf("1:1,000 is %v where nothing says what its comma is", got)
	}
}
