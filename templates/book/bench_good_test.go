package book

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestGuideSpeaksOfThisTest: the steps and what makes a test good are told for the doses, the chemical, the plant and the way of
// clearing of this sheet alone, and no line says what another or the jars deny.
func TestGuideSpeaksOfThisTest(t *testing.T) {
	const (
		leave, control, none, last   = "Leave one jar without", "The control gets no", "fill one jar more, without", "that of the last test"
		repeat, second, around       = "Give two jars the dose", "A second jar of the dose", "at least three doses"
		below, once                  = "in the order told below", "add the stock to all jars at the same moment"
		acidFirst, polymer           = "acid or alkali first", "A polymer goes in"
		cold, tub                    = "as cold as it came", "in a tub of the raw water"
		middle, tap, bottom, ph      = "mid-water", "Draw every sample through a side tap", "below the float", "below pH 6"
		settling, white, days, hours = "mixing and settling", "mixing and white water", "no longer than a day", "change within hours"
		write, settle, float, twice  = "Write the doses", "let settle", "let float", "first reading twice"
	)
	all := []string{leave, control, none, last, repeat, second, around, below, once, acidFirst, polymer, cold, tub, middle, tap, bottom, ph, settling, white,
		days, hours, write, settle, float, twice}
	pacl, plant := []quantity.Concentration{0, 10, 20, 20, 40, 60}, []string{"Plant: 10 m3/h."}
	five := []quantity.Concentration{5, 10, 20, 30, 40, 60}
	for name, x := range map[string]struct {
		b    Bench
		says []string
	}{
		"blank": {Bench{}, []string{leave, repeat, around, below, acidFirst, polymer, cold, middle, ph, settling, hours, write, settle, twice}},
		"alum":  {Bench{Chemical: "alum"}, []string{leave, repeat, around, below, acidFirst, cold, middle, ph, settling, hours, write, settle, twice}},
		"polymer": {Bench{Chemical: "cationic polymer", Basis: quantity.AsActive},
			[]string{leave, repeat, around, below, polymer, cold, middle, settling, days, write, settle, twice}},
		"flotation": {Bench{Chemical: "ferric chloride", Flotation: true},
			[]string{leave, repeat, around, below, acidFirst, cold, bottom, ph, white, hours, write, float, twice}},
		"doses":      {Bench{Chemical: "alum", Doses: pacl}, []string{control, below, acidFirst, cold, middle, ph, settling, hours, settle, twice}},
		"no control": {Bench{Chemical: "alum", Doses: five}, []string{none, second, below, acidFirst, cold, middle, ph, settling, hours, settle, twice}},
		"room left": {Bench{Chemical: "alum", Doses: five[:4], Jars: 6},
			[]string{leave, repeat, below, acidFirst, cold, middle, ph, settling, hours, settle, twice}},
		"next": {Bench{Chemical: "alum", Doses: five, Continued: true, HasControl: true},
			[]string{last, below, acidFirst, cold, middle, ph, hours, settle, twice}},
		"next, none before": {Bench{Chemical: "alum", Doses: five, Continued: true},
			[]string{none, below, acidFirst, cold, middle, ph, settling, hours, settle, twice}},
		"plant": {Bench{LikePlant: plant, Ordered: true, Depth: 0.1, Repeats: 1},
			[]string{leave, repeat, around, below, tub, tap, ph, settling, hours, write, settle}},
		"plant of alum alone": {Bench{LikePlant: plant, Alone: true, Flotation: true},
			[]string{leave, repeat, around, once, tub, bottom, ph, white, hours, write, float, twice}},
	} {
		var said []string
		if x.b.Repeats == 0 {
			x.b.Repeats = 2
		}
		for _, step := range benchSteps {
			said = append(said, step(x.b))
		}
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
