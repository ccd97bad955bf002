package templates

import (
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// Cards gives a card for each pond, and one to write down what the animals do where some are in the water; of a pond that a stop stands against
// one that says so.
func (p Standing) Cards(o Options) (out []page.Card) {
	for i, d := range p.data().Objects("ponds") {
		x := p.Ponds[i]
		if x.Review.Stopped {
			f := x.Review.Findings
			out = append(out, stopCard(o, x.Name, []string{"Bags and buckets for it put away"}, slices.Concat(f.Notes.Only(note.Stop), uncounted(f))))
			continue
		}
		if len(x.Goes) == 0 {
			continue
		}
		out = append(out, p.pondCard(i, d, o))
		if x.Watch != nil {
			c := watchCard(x.Name, "go", x.Watch, "no further go", d.Sub("watch"), o)
			c.Log.Rows = nil
			for _, l := range d.Objects("looks") {
				c.Log.Rows = append(c.Log.Rows, []string{joined(", ", goTime(l), o.Show(l.Get("when")))})
			}
			c.Checks = append(c.Checks, fedNothing(x))
			out = append(out, c)
		}
	}
	if c, ok := sludgeCard(p.Sludge, o); ok && len(p.Open()) > 0 {
		out = append(out, c)
	}
	for i := range out {
		out[i].Place, out[i].When, out[i].Ask = p.Site, dated(o.Date), ask(p.Keeper)
	}
	return out
}

// pondCard is what to spread, go by go, with a place to sign.
func (p Standing) pondCard(i int, d *figure.Object, o Options) page.Card {
	x := p.Ponds[i]
	c := page.Card{Title: "Pond card: " + x.Name, Lead: o.Show(waterOfPond(x, d, o)) + "."}
	if x.Watch != nil {
		c.Jobs = append(c.Jobs, page.Job{When: goTime(p.goObject(x.Before())), Do: upperFirst(readyWords) + ". pH ______ alkalinity ______ mg/L, oxygen ______ mg/L, total ammonia ______ mg/L"})
	}
	for _, m := range x.MakeUps() {
		c.Jobs = append(c.Jobs, page.Job{When: goTime(p.goObject(m.At)), Do: upperFirst(o.Show(p.makeUpWords(i, m))) + ". Done at ______ by ______"})
	}
	for k, g := range d.Objects("goes") {
		read := either(g.Has("only_if"), "pH ______ alkalinity ______ mg/L. ", "")
		c.Jobs = append(c.Jobs, page.Job{When: goTime(g), Do: read + upperFirst(o.Show(gated(g).And("%s", p.goWords(x.Goods[x.Goes[k].Feed], g)))) + ". Done at ______ by ______"})
	}
	if cols, rows := portionRows(d); len(rows) > 1 {
		heads, cells := o.words(cols, rows)
		t := page.Table{Caption: "The water after each go, by the plan", Rows: cells}
		for i, h := range heads {
			t.Cols = append(t.Cols, page.Col{Head: h, Right: cols[i].Right})
		}
		c.Tables = append(c.Tables, t)
		c.Checks = append(c.Checks, o.Show(gateCheck()))
	}
	if x.Watch != nil {
		c.Checks = append(c.Checks, fedNothing(x))
	}
	for k, g := range d.Objects("chemicals") {
		if h := x.Goods[k]; h.Use.Product > 0 {
			of := slices.DeleteFunc(slices.Clone(d.Objects("goes")), func(x *figure.Object) bool { return x.Get("chemical") != h.Name })
			parted := h.Portions > 1 && len(of) > 0 // then a go is what is measured out
			c.Facts = append(c.Facts, [2]string{upperFirst(h.Name), o.Show(figure.Say("%s in all", byEither(g)).If(g.Has("bag"), ", %s", inMeasures(partOf(g, "bag"), "bag")).
				If(g.Has("bucket") && !parted, ", %s", inMeasures(partOf(g, "bucket"), "bucket")).If(g.Has("scoop") && !parted, ", %s", inMeasures(partOf(g, "scoop"), "scoop")).
				If(parted, ", in %s goes of %s", figure.Count("", h.Portions), byEither(append(of, g)[0])).If(g.Has("as_the_water_is"), "; as the water is only the first %s", partOf(g, "as_the_water_is").Get("goes")))})
			c.Cautions = append(c.Cautions, upperFirst(h.Name)+": "+caution.Spread(h.Stock.Product)+".")
		}
	}
	for _, g := range p.data().Objects("total") {
		if slices.Contains(x.LeftOut, g.Said("chemical")) {
			continue
		}
		c.Facts = append(c.Facts, [2]string{p.counted(), o.Show(totalWords(g))})
	}
	c.Checks = append(c.Checks, "Depth of the water looked at: it is that of this card", "Wind at the back; the whole surface, never one heap")
	goes := slices.DeleteFunc(slices.Clone(x.Goods), func(h dosing.ByHand) bool { return h.Use.Product <= 0 })
	for _, h := range goes {
		if h.BucketVolume.OK {
			go1 := h.Use.Volume / quantity.Volume(max(1, h.Portions))
			c.Checks = append(c.Checks, o.Say("The bucket or jug of %s has a mark at %s", h.Name, poured("", min(h.BucketVolume.V, go1), 3)))
		} else if h.Bucket.OK {
			c.Checks = append(c.Checks, o.Say("One bucket of %s weighed: %s", h.Name, kilos("", h.Bucket.V, 4)))
		} else if !h.Scoop.OK {
			c.Checks = append(c.Checks, "One bucket of "+h.Name+" weighed: ______ (give it as the bucket of the chemical, and this card counts in buckets)")
		}
		if h.Scoop.OK {
			c.Checks = append(c.Checks, o.Say("One level scoop of %s weighed: %s", h.Name, kilos("", h.Scoop.V, 4)))
		}
	}
	if len(x.LeftOut) > 0 {
		c.Checks = append(c.Checks, o.Show(leftOut(x)))
	}
	own := o.Notes(p.onCard(i))
	for k, n := range own {
		if k == mostOnCard {
			c.Cautions = append(c.Cautions, o.Say("%s more in the plan: read them first.", figure.Count("", len(own)-k)))
			break
		}
		c.Cautions = append(c.Cautions, upperFirst(n.Message)+".")
	}
	for _, h := range goes {
		g := h.Stock.Product
		wear := "Goggles and gloves; the safety data sheet of " + h.Name + " first."
		if g.Protection.Text != "" {
			wear = o.Say("%s: %s. Wear %s. Safety data sheet first.", upperFirst(h.Name), strings.TrimPrefix(o.Show(g.Danger()), "none; "), g.Protection.Told())
		}
		c.Cautions = append(c.Cautions, wear)
	}
	return c
}

// mostOnCard is how many cautions a card has room for.
const mostOnCard = 6

// onCard are the cautions of a pond: what is said of it and not of all first.
func (p Standing) onCard(i int) note.List {
	found, own := p.graveOf(i)
	all := unrepeated(caution.WorstFirst(slices.Concat(own, found)))
	shared := func(n note.Note) bool {
		return !slices.ContainsFunc(p.Ponds, func(x dosing.PondPlan) bool { return !saysSo(x, n) })
	}
	return slices.Concat(slices.DeleteFunc(slices.Clone(all), shared), slices.DeleteFunc(slices.Clone(all), func(n note.Note) bool { return !shared(n) }))
}

// fedNothing is what is not fed on the day of the goes.
func fedNothing(x dosing.PondPlan) string {
	return "Nothing fed " + either(x.Late, "before the goes", "that morning") + "; no feed until the animals look for it again"
}

// partOf is a part of a chemical's object, one with nothing in it where there is none.
func partOf(g *figure.Object, key string) *figure.Object {
	if g.Has(key) {
		return g.Sub(key)
	}
	return figure.New()
}

// watchCard is what to look at in the animals, when after the start or each go, and at what to stop, and how.
func watchCard(name, after string, watch *caution.Watch, stop string, w *figure.Object, o Options) page.Card {
	c := page.Card{Title: "Watch card: " + name, Lead: "Look at the same place every time. Stop at any line below."}
	for _, l := range wallLines(w, either(after == "go", "first go", after)) {
		c.Facts = append(c.Facts, [2]string{upperFirst(l.Label), o.Show(l.Value)})
	}
	c.Log = page.Log{Title: either(after == "go", "After each go", "After the "+after), Cols: logCols("When", "pH", "Oxygen, mg/L", "Total ammonia, mg/L as N", "Swim, feed", "Gills")}
	if w.Has("moults") {
		c.Log.Cols = append(c.Log.Cols, page.Col{Head: "Soft shells"})
	}
	c.Log.Rows = [][]string{{"before"}}
	for _, h := range caution.Looks {
		c.Log.Rows = append(c.Log.Rows, []string{o.Show(hours("", h, 3))})
	}
	for i, s := range onStop(watch, stop) {
		if i == 0 {
			c.Checks = append(c.Checks, "Aerators tried before the "+either(after == "go", "first go", after), "New water at hand")
		}
		c.Cautions = append(c.Cautions, s)
	}
	return c
}
