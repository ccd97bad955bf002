package templates

import (
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/templates/page"
)

// stopCard hangs on the wall in place of a setting while a stop stands: what is not to be dosed, what stops it, and what puts it right. The
// codes by which somebody answers for a risk are told in the plan, where that is done.
func stopCard(o Options, of string, by []string, stops note.List) page.Card {
	c := page.Card{Title: "Do not dose: " + of, Lead: "Nothing goes in until what stops it is put right and the plan is made again. What is in already: watch the animals, aerators on.",
		Numbers: []page.Number{{For: "STOPPED", Words: "Do not dose"}}, Checks: append(by, "What stops it put right", "The plan made again, and its card hung up in place of this one")}
	for i, n := range o.Notes(stops) {
		if i == mostOnCard {
			c.Cautions = append(c.Cautions, o.Say("%s more in the plan.", len(stops)-i))
			break
		}
		c.Cautions = append(c.Cautions, remedied(upperFirst(n.Message), caution.PutRight(n.Remedy))+".")
	}
	return c
}
