package dosing

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestBatchIsWorthMaking: five parts in a hundred of the tank that it is made in (20 L: 1 L) and a gram of product (at 0.5 g/L: 2 L) are the
// least, as far as there is room on what stands in the tank and that, at 1 L/h, is drawn
// in the 24 h that it keeps; nothing stays nothing and a neat product is filled as it is.
func TestBatchIsWorthMaking(t *testing.T) {
	tank := &Vessel{Name: "bucket", Volume: 20, Usable: 1}
	stock := func(c quantity.Concentration) Feed {
		return Feed{FeedInput: FeedInput{Tank: tank, Stock: Stock{PerLitre: c}}, PerLitre: c}
	}
	mixed := stock(5000)
	mixed.Mix = &Vessel{Volume: 60, Usable: 0.5}
	drawn := func(v quantity.Volume) quantity.Time { return quantity.Time(v) }
	for name, c := range map[string]struct {
		f             Feed
		v, stands, to quantity.Volume
	}{
		"a stirrer":              {stock(5000), 0.37, 0, 1},
		"the make-up tank's":     {mixed, 0.37, 0, 1.5},
		"a balance":              {stock(500), 0.37, 0, 2},
		"enough":                 {stock(5000), 3, 0, 3},
		"no room":                {stock(500), 0.37, 19, 1},
		"it goes off":            {stock(40), 0.37, 4, 0.37},
		"nothing":                {stock(500), 0, 0, 0},
		"a neat product is full": {stock(0), 0.37, 0, 0.37},
	} {
		keeps := quantity.Time(24)
		if name == "it goes off" {
			keeps = 19
		}
		if got := c.f.worthMaking(c.v, c.stands, drawn, keeps); got != c.to {
			t.Errorf("%s: %v, not %v", name, got, c.to)
		}
	}
	little := stock(1000)
	little.Name, little.Batches = "polymer", []Batch{{Volume: 2, Recipe: Recipe{Product: 0.002}}, {Volume: 0.37, Recipe: Recipe{Product: 0.00037}}}
	if l := little.tooLittle(); len(l) != 1 || !strings.Contains(l[0].Message, "370 mL takes 0.37 g") {
		t.Errorf("%v", l)
	}
	little.Batches = little.Batches[:1]
	if l := little.tooLittle(); l != nil {
		t.Errorf("two grams: %v", l)
	}
}
