package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A pond of 0.6 mg/L of total ammonia at pH 8.2 and 28 C, whose alkalinity of 30 alum takes to 20.8: what is said of the one and of the other is one
// order, new water first, and alkali after it.
func TestAmmoniaAndAlkalinityAreOneOrder(t *testing.T) {
	w := basin(28, 8.2, 30, 35, 0, 0.6)
	s := Situation{Purpose: Animals, Pond: true, Goes: 1, Water: w, Stock: stock(t, "channel catfish"), Doses: []Dose{dose(t, "alum-dry", 18.2, quantity.AsAlum14)}}
	told := 0
	for _, n := range Review(s).Notes {
		if n.Code == "nh3-still" || n.Code == "nh3-high" || n.Code == "alkalinity-low" {
			told++
			if strings.Contains(n.Remedy, "keep alkali away") || !strings.Contains(n.Remedy, "change part of the water") {
				t.Errorf("%s: %s", n.Code, n.Remedy)
			}
		}
	}
	if told != 2 {
		t.Errorf("%d told", told)
	}
	s.Water.Ammonia.OK = false // of alkalinity alone the alkali is told
	for _, n := range Review(s).Notes {
		if n.Code == "alkalinity-low" && !strings.HasPrefix(n.Remedy, "spread alkali over the pond ahead of it") {
			t.Error(n.Remedy)
		}
	}
}
