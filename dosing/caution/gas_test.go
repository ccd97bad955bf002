package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestGasBeforeAnimals: a deep unit speaks, one whose depth is not known counts as a metre and
// says so, a shallow or degassed one and water without animals are quiet.
func TestGasBeforeAnimals(t *testing.T) {
	total := func(percent, depth float64) *Gas {
		return &Gas{Total: quantity.Number(percent), Depth: quantity.Length(depth)}
	}
	unknown := total(109.7, 1)
	unknown.Assumed = true
	degassed := total(108.8, 0.9)
	degassed.Degassed = true
	for _, x := range []struct {
		what string
		gas  *Gas
		says string // empty for quiet
	}{
		{"deep", total(108.8, 0.9), "up to 109 % of the gas that open water holds, for bubbles press 0.9 m deep; 103 % is held"},
		{"unknown", unknown, "up to 110 % of the gas that open water holds, for bubbles press 1 m deep, for its depth is not given; 103 % is held"},
		{"shallow", total(102.9, 0.3), ""},
		{"at the limit", total(103, 0.31), ""},
		{"degassed", degassed, ""},
		{"no bubbles", nil, ""},
	} {
		s := Situation{Purpose: Animals, Water: beck(), Gas: x.gas, Stock: stock(t, "trout")}
		var got string
		for _, n := range Review(s).Notes {
			if n.Code == "gas-high" {
				got = n.Message
			}
		}
		if (got == "") != (x.says == "") || !strings.Contains(got, x.says) {
			t.Errorf("%s: %q, want %q", x.what, got, x.says)
		}
		s.Stock = nil
		for _, n := range Review(s).Notes {
			if n.Code == "gas-high" {
				t.Errorf("%s: said without animals", x.what)
			}
		}
	}
}
