package templates

import (
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// byRawData is a dose by past tests: the raw water that the setting is for, the card by raw water and flow, and what to test next.
func byRawData(past dosing.PastTests, card []dosing.RawSetting, basis quantity.Basis, p pump.Pump) *figure.Object {
	class := func(c dosing.RawClass) *figure.Object {
		return figure.New(ntu("from", c.Low), ntu("to", c.High)).Bare(figure.Count("tests", c.Tests))
	}
	o := figure.New(ntu("raw_turbidity", past.Raw), ntu("tested_from", past.Low), ntu("tested_to", past.High)).Bare(figure.Count("tests", past.Tests))
	o.Some("by_raw_water", objects(card, func(x dosing.RawSetting) *figure.Object {
		return class(x.RawClass).Put(doseOf("dose", x.Dose.V, basis, 3).In(figure.Full)).List("settings", objects(x.At, func(s dosing.FlowSetting) *figure.Object {
			return (PumpAnswer{Pump: p}).choice(s.Choice).Put(figure.Of("flow", s.Flow, "m3/h", 3).In(figure.Full))
		}))
	}))
	o.Some("classes_for", alikeData(past.Like))
	var untested []dosing.RawClass
	for _, c := range past.Classes {
		if c.Tests == 0 {
			untested = append(untested, c)
		}
	}
	o.Some("untested", objects(untested, class))
	return nextTestData(o, past.Next, basis)
}

// nextTestData adds the water to test next, with its jars, and that to test then.
func nextTestData(o *figure.Object, list []dosing.NextTest, basis quantity.Basis) *figure.Object {
	for i, n := range list[:min(len(list), len(nextKeys))] {
		o.Set(nextKeys[i], figure.New(ntu("from", n.Low), ntu("to", n.High)).Bare(figure.Count("tests", n.Tests)).Set("beyond_tests", n.Beyond).
			Bare(figure.Count("unmet", n.Unmet).If(n.Unmet > 0)).List("jars", objects(n.Jars, func(c quantity.Concentration) *figure.Object {
			return figure.New(doseOf("dose", c, basis, 3))
		})))
	}
	return o
}

// nextKeys are under what these stand.
var nextKeys = []string{"next", "then"}

// byRawCell is where the pump stands, starred where no drawdown reached so far.
func byRawCell(s *figure.Object) any {
	if s.Get("in_range") != true {
		return "out of range"
	}
	return figure.Say("%s", knobShows(s)).If(s.Has("stroke"), " at stroke %s", s.Fig("stroke")).If(s.Get("tested") != true, "*")
}

// byRawHeads are the columns of the card: the class, its dose, and each flow.
func byRawHeads(o Options, d *figure.Object) (heads []string) {
	heads = []string{"raw water", ">dose"}
	for _, s := range d.Objects("by_raw_water")[0].Objects("settings") {
		heads = append(heads, ">"+o.Show(s.Fig("flow").In(figure.Brief)))
	}
	return heads
}

func byRawRow(c *figure.Object) []any {
	row := []any{figure.Say("%s to %s", unitless(c.Fig("from")), c.Fig("to")), c.Fig("dose").NoBasis()}
	for _, s := range c.Objects("settings") {
		row = append(row, byRawCell(s))
	}
	return row
}

// byRawSays is what a card by raw water is good for, and which water to test.
func byRawSays(d *figure.Object) figure.Phrase {
	like := d.Objects("classes_for")
	p := figure.Say("Each row is for its dirtiest water").If(len(like) > 0, " (%s)", alikeWords(like)).
		And(", by %s past tests of water from %s to %s, and no setting feeds less than its dose. Look the raw water up as the meter reads it now; dirtier water than the last row, and cleaner than the first, has no test: run one.",
			d.Fig("tests"), unitless(d.Fig("tested_from")), d.Fig("tested_to")).
		If(len(like) > 0, " When that reading of the water changes, ask for a new table.")
	starred := false
	for _, c := range d.Objects("by_raw_water") {
		starred = starred || slices.ContainsFunc(c.Objects("settings"), func(s *figure.Object) bool { return s.Get("in_range") == true && s.Get("tested") != true })
	}
	if p = p.If(starred, " * No drawdown reached so far: hold it against a stopwatch."); !d.Has("next") {
		return p
	}
	return p.And(" %s", testNext(d))
}

// testNext says which water to test next, with which jars, and which then.
func testNext(d *figure.Object) figure.Phrase {
	p := testWater("Test next: water", d.Sub("next"))
	return p.If(d.Has("then"), " %s", testWater("Then cleaner water,", d.Sub("then")))
}

// testWater says one of them.
func testWater(head string, n *figure.Object) figure.Phrase {
	var doses []any
	for _, j := range n.Objects("jars") {
		doses = append(doses, unitless(j.Fig("dose")))
	}
	count, _ := n.Fig("tests").Document()
	return figure.Say("%s of %s to %s, of which %s. Jars of %s mg/L%s.", head, unitless(n.Fig("from")), n.Fig("to"),
		either[any](n.Fig("unmet").Known(), figure.Say("no test found a dose (%s needed more than its jars had)", n.Fig("unmet")),
			either[any](count == 0, "there is no test yet", figure.Say("there are fewest tests (%s)", n.Fig("tests")))), figure.And(", ", doses...),
		either(n.Get("beyond_tests") == true, either(n.Fig("unmet").Known(), "; no dose of such water is known, so they are a first guess", "; no test had such water, so the doses are a first guess"), ""))
}

// byRawText is the card as a table of a text.
func byRawText(t *Text, d *figure.Object) {
	t.each(cols(byRawHeads(t.opt, d)...), d.Objects("by_raw_water"), func(_ int, c *figure.Object) []any { return byRawRow(c) })
	t.Say("%s", byRawSays(d))
}

// byRawTable is the same as a table of a card.
func byRawTable(o Options, d *figure.Object) page.Table {
	like := d.Objects("classes_for")
	t := page.Table{Caption: o.Say("%s", figure.Say("Setting for the raw water and the flow").If(len(like) > 0, ", %s", alikeWords(like)))}
	for _, h := range byRawHeads(o, d) {
		right := h[0] == '>'
		t.Cols = append(t.Cols, page.Col{Head: upperFirst(either(right, h[1:], h)), Right: right})
	}
	for _, c := range d.Objects("by_raw_water") {
		var row []string
		for _, x := range byRawRow(c) {
			row = append(row, o.Say("%s", x))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// byRawRows is the card as rows for programs, below that of its feed.
func byRawRows(feed *figure.Object, basis string) (rows []*figure.Object) {
	for _, c := range feed.Sub("past_tests").Objects("by_raw_water") {
		for _, s := range c.Objects("settings") {
			rows = append(rows, figure.New(c.Fig("dose"), s.Fig("flow"), s.Fig("rate").As("stock_rate"), c.Fig("from").As("raw_from"), c.Fig("to").As("raw_to")).
				Set("chemical", feed.Said("chemical")).Set("basis", basis).Set("for", "raw water").
				Set("pump", figure.New(s.Fig("setting").If(s.Get("in_range") == true)).Set("name", feed.Sub("pump").Said("name")).Set("in_range", s.Get("in_range"))))
		}
	}
	return rows
}
