package templates

import (
	"fmt"
	"slices"

	"jarwright/dosing/clarify"
	"jarwright/jartest/note"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// Cards gives the card of a clean-up, and that of the lines to watch where animals are about; while a stop stands, one that says so alone.
func (r ClarifyReport) Cards(o Options) []page.Card {
	if r.Stopped {
		c := stopCard(o, r.tank(), []string{"Dosing pumps off, and marked to stay off"}, r.answer(o, r.data()).Stops)
		c.Place, c.When, c.Ask = r.Site, dated(o.Date), ask(r.Keeper)
		return []page.Card{c}
	}
	var out []page.Card
	if r.Outcome == clarify.Cleared {
		out = append(out, r.cleanUpCard(o))
	}
	if r.held() && !r.Hold.Fails && slices.Contains([]clarify.Outcome{clarify.Cleared, clarify.ClearAlready, clarify.Held}, r.Outcome) {
		out = append(out, r.holdCard(o))
	}
	return append(out, r.watchCards(o)...)
}

// holdCard is what holds a tank day after day: when the unit runs, what is fed meanwhile, and a week's readings to write down.
func (r ClarifyReport) holdCard(o Options) page.Card {
	d := r.data()
	h := d.Sub("hold")
	n, order := r.holdNumber(o, d)
	c := page.Card{Title: "Holding card: " + r.tank(), Place: r.Site, When: dated(o.Date), Ask: ask(r.Keeper), Lead: order, Numbers: []page.Number{pageNumber(o, n)}}
	stages := d.Objects("stages")
	for i, s := range stages {
		if r.Outcome == clarify.Cleared && i+1 < len(stages) {
			continue // what clears it first stands on a card of its own
		}
		for k, x := range r.stageTasks(i, s, o) {
			j := page.Job{Do: o.Show(x)}
			if k == 0 {
				j.When = fmt.Sprint(s.Get("clock"))
			}
			c.Jobs = append(c.Jobs, j)
		}
	}
	fact := func(holds bool, label string, v any) {
		if holds {
			c.Facts = append(c.Facts, [2]string{label, o.Show(v)})
		}
	}
	fact(true, "Hold at", r.beside(d, "hold.at", "hold"))
	fact(h.Has("feed"), "Counted on feed of", h.Fig("feed"))
	fact(h.Has("bicarbonate"), "Sodium bicarbonate", h.Fig("bicarbonate"))
	fact(h.Has("dry"), "Dry solids off the unit", h.Fig("dry"))
	c.Checks = append(c.Checks, "Fed more or less than that: have the hours worked out again")
	shown := d.Fig("start_reading")
	if g := d.Fig("gauge.start"); g.Known() {
		shown = g
	}
	c.Log = page.Log{Title: "Day by day, before the unit starts", Cols: logCols("Day", "Tank reads, "+o.style().Unit(shown), "Alkalinity, mg/L", "pH", "Unit ran, h", "Fed", "By")}
	for range 7 {
		c.Log.Rows = append(c.Log.Rows, []string{""})
	}
	return r.cautioned(c, o)
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
	if r.Watch != nil && r.Watch.Filters {
		c.Checks = append(c.Checks, "For a week after it, every day: total ammonia and nitrite read and written down, and little fed: a deep clean takes nitrifying bacteria with it")
	}
	c.Log = page.Log{Title: "Round by round: what should be, and what is", Cols: []page.Col{{Head: "Clock"}, {Head: "Should read", Right: true}, {Head: "Reads"}, {Head: "Alkalinity"}, {Head: "pH"}, {Head: "Bin"}, {Head: "By"}}}
	for _, m := range r.sample(min(8, max(4, fullCard-len(c.Jobs)))) { // what one sheet holds of both
		c.Log.Rows = append(c.Log.Rows, []string{r.clock(m.At), o.Show(r.moment(m).Fig("reading"))})
	}
	return r.cautioned(c, o)
}

// mostOfHold are the cautions that one sheet holds beside the days of a hold, where there are more.
const mostOfHold = 2

// cautioned adds the first cautions to a card; that of a hold says how many more there are.
func (r ClarifyReport) cautioned(c page.Card, o Options) page.Card {
	list := o.Notes(r.CleaningNotes().Only(note.Caution))
	for k, n := range list {
		if k == mostOfHold && r.held() && len(list) > mostOfHold+1 {
			c.Cautions = append(c.Cautions, o.Say("%s more on the first sheet: read them first.", figure.Count("", len(list)-k)))
			break
		}
		if len(c.Cautions) < 4 {
			c.Cautions = append(c.Cautions, remedied(upperFirst(n.Message), n.Remedy)+".")
		}
	}
	return c
}
