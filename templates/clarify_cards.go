package templates

import (
	"jarwright/dosing/clarify"
	"jarwright/jartest/note"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// Cards gives the card of a clean-up, and that of the lines to watch where animals are about.
func (r ClarifyReport) Cards(o Options) []page.Card {
	if r.Stopped || r.Outcome != clarify.Cleared {
		return r.watchCards(o)
	}
	return append([]page.Card{r.cleanUpCard(o)}, r.watchCards(o)...)
}

// fullCard is how many jobs and rounds stand on one sheet beside the rest.
const fullCard = 20

// cleanUpCard is what to do at which reading, and what the tank should read when.
func (r ClarifyReport) cleanUpCard(o Options) page.Card {
	d := r.data()
	c := page.Card{Title: "Clean-up card: " + r.tank(), Place: r.Site, When: dated(o.Date), Ask: ask(r.Keeper),
		Valid: o.Say("From %s to %s. Begin at %s; clear at %s.", r.beside(d, "start_reading", "start"), r.beside(d, "stop_reading", "stop"), r.clock(0), r.clock(r.Time))}
	c.Numbers = []page.Number{{For: "About, until it is clear", Words: o.Show(d.Fig("time").In(figure.Long)),
		Beside: page.Pairs{{"Tank", o.Say("%s at %s", d.Fig("volume"), d.Fig("flow"))}, {"Turnovers", o.Show(d.Fig("turnovers"))}}}}
	for _, u := range d.Objects("use") {
		c.Numbers[0].Beside = append(c.Numbers[0].Beside, [2]string{upperFirst(u.Said("chemical")), o.Show(figure.Say("%s of product", u.Fig("product")).If(u.Has("stock"), ", %s of stock", u.Fig("stock")))})
	}
	c.Lead = "Go by the reading, not by the clock: take each step when the tank reads what stands beside it."
	for i, s := range d.Objects("stages") {
		for k, x := range r.stageTasks(i, s, o) {
			j := page.Job{Do: o.Show(x)}
			if k == 0 {
				j.When = o.Say("%s, %s", s.Fig("reading"), s.Get("clock"))
			}
			c.Jobs = append(c.Jobs, j)
		}
	}
	c.Log = page.Log{Title: "Round by round: what should be, and what is", Cols: []page.Col{{Head: "Clock"}, {Head: "Should read", Right: true}, {Head: "Reads"}, {Head: "Alkalinity"}, {Head: "pH"}, {Head: "Bin"}, {Head: "By"}}}
	for _, m := range r.sample(min(8, max(4, fullCard-len(c.Jobs)))) { // what one sheet holds of both
		c.Log.Rows = append(c.Log.Rows, []string{r.clock(m.At), o.Show(r.moment(m).Fig("reading"))})
	}
	for _, n := range o.Notes(r.CleaningNotes().Only(note.Caution)) {
		if len(c.Cautions) < 4 {
			c.Cautions = append(c.Cautions, remedied(upperFirst(n.Message), n.Remedy)+".")
		}
	}
	return c
}
