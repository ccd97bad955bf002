package book

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestGuideSpeaksOfThisTest: what makes a test good is told for the doses, the chemical and the way of clearing of this sheet alone.
func TestGuideSpeaksOfThisTest(t *testing.T) {
	const control, repeat, around, order, polymer, tap, float, acid = "without chemical", "two jars the dose", "at least three doses", "acid or alkali first",
		"A polymer goes in", "side tap", "below the float", "below pH 6"
	all := []string{control, repeat, around, order, polymer, tap, float, acid}
	for name, x := range map[string]struct {
		b    Bench
		says []string
	}{
		"blank":     {Bench{}, []string{control, repeat, around, order, polymer, tap, acid}},
		"alum":      {Bench{Chemical: "alum"}, []string{control, repeat, around, order, tap, acid}},
		"polymer":   {Bench{Chemical: "cationic polymer", Basis: quantity.AsActive}, []string{control, repeat, around, polymer, tap}},
		"flotation": {Bench{Chemical: "ferric chloride", Flotation: true}, []string{control, repeat, around, order, float, acid}},
		"doses":     {Bench{Chemical: "alum", Doses: []quantity.Concentration{0, 10, 20, 20, 40}}, []string{order, tap, acid}},
		"no pair":   {Bench{Chemical: "alum", Doses: []quantity.Concentration{5, 10, 20, 40}}, []string{control, repeat, order, tap, acid}},
	} {
		var said []string
		for _, h := range habits {
			if h.when == nil || h.when(x.b) {
				said = append(said, h.said)
			}
		}
		for _, w := range all {
			if got := strings.Contains(strings.Join(said, "\n"), w); got != slices.Contains(x.says, w) {
				t.Errorf("%s: %q is said: %v", name, w, got)
			}
		}
	}
}
