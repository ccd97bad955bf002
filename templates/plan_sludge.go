package templates

import (
	"jarwright/dosing"
	"jarwright/dosing/sludge"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// perTonne is polymer per dry solids, to US readers in pounds to the short ton.
type perTonne struct{ quantity.Ratio }

// Show gives kg/t, or lb/ton.
func (r perTonne) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return float64(r.Ratio) * 2000, "lb/ton"
	}
	return float64(r.Ratio) * 1000, "kg/t"
}

// sludgeData is what becomes of the sludge; nil where the site describes no line.
func sludgeData(x *dosing.SludgeDay) *figure.Object {
	if !x.Known() {
		return nil
	}
	fed := x.Dose > 0
	filtrate, solids := x.Filtrate()
	drains, bag, bed := x.Drains(), x.Bag > 0, x.Bed > 0
	least, most, madeUp := x.MadeUp()
	dilution := x.Product.Dilution
	land := func(key string, daily quantity.Known[quantity.Mass]) figure.Figure {
		return figure.Of(key, sludge.PerLand(daily.V, x.Land), "kg/ha", 3).If(daily.OK && x.Land > 0)
	}
	return figure.New(litres("volume", x.Volume, 3).Daily(), mgL("solids", x.Solids, 4), kilos("dry", x.Dry(), 3).Daily(),
		mgL("polymer_dose", x.Dose, 3).If(fed), figure.Of("polymer_per_dry", perTonne{x.PerDry()}, "kg/t", 3).In(figure.Full).If(fed), kilos("polymer", x.Line.Polymer(), 3).Daily().If(fed),
		litres("stock_least", least, 3).Daily().If(madeUp), litres("stock_most", most, 3).Daily().If(madeUp), gramsPerLitre("stock_strongest", dilution.High).If(madeUp), gramsPerLitre("stock_weakest", dilution.Low).If(madeUp),
		hours("stock_ages", x.Product.Ageing.V, 3).If(madeUp && x.Product.Ageing.V > 0),
		figure.Of("captured", x.Captured, "%", 3).If(drains), figure.Of("cake_solids", x.Cake, "%", 3).If(drains), litres("cake", x.CakeVolume(), 3).Daily().If(drains),
		hours("bag_lasts", x.BagLasts(), 3).If(bag), figure.Of("bed_needed", x.BedNeeds(), "m2", 3).If(bed), figure.Of("beds", x.Bed, "m2", 3).If(bed), hours("beds_covered_in", x.BedLasts(), 3).If(bed),
		hours("dries_in", x.Drying, 3).If(bed),
		litres("filtrate", filtrate, 3).Daily().If(drains), kilos("filtrate_solids", solids, 3).Daily().If(drains),
		mgL("returned_solids", x.Brings, 2).If(x.Returns && drains), mgL("returned_polymer", x.Adds, 2).If(x.Adds > 0), kilos("returned_nitrogen", x.ReturnedN.V, 3).Daily().If(x.ReturnedN.OK),
		figure.Of("land", x.Land, "m2", 3).If(x.Land > 0),
		land("nitrogen_a_year", x.Nitrogen), land("phosphorus_a_year", x.Phosphorus), land("aluminium_a_year", x.Al), land("sodium_a_year", x.Sodium)).
		Word("polymer_name", x.Polymer).Put(amount("polymer_cost_a_day", x.Costs.V).If(x.Costs.OK), amount("polymer_cost_a_month", quantity.Money{Amount: sludgeMonth * x.Costs.V.Amount, Currency: x.Costs.V.Currency}).If(x.Costs.OK))
}

// sludgeMonth is a month in days.
const sludgeMonth = 30

// withSludge adds the sludge line to the table of a plan: a row of what it is fed, with columns of its own for the rest.
func withSludge(t figure.Table, x *dosing.SludgeDay) figure.Table {
	d := sludgeData(x)
	if d == nil {
		return t
	}
	t.Cols = append(t.Cols, figure.Columns("stock_least = L/d", "stock_most = L/d", "stock_ages = h", "sludge_volume volume L/d", "sludge_solids solids mg/L", "sludge_dry dry kg/d", "polymer_per_dry = kg/t", "captured = %", "cake_solids = %", "cake = L/d", "bag_lasts = h",
		"beds = m2", "bed_needed = m2", "beds_covered_in = h", "dries_in = h", "filtrate = L/d", "filtrate_solids = kg/d", "returned_solids = mg/L", "returned_polymer = mg/L", "returned_nitrogen = kg/d", "land = m2",
		"nitrogen_a_year = kg/ha", "phosphorus_a_year = kg/ha", "aluminium_a_year = kg/ha", "sodium_a_year = kg/ha")...)
	row := d.Set("chemical", either(x.Polymer == "", "sludge line", x.Polymer+" in the sludge"))
	if d.Has("polymer") {
		row.Set("basis", quantity.AsProduct.String()).Put(mgL("dose", x.Dose, 3), kilos("product_use", x.Line.Polymer(), 3).Daily())
	}
	t.Rows = append(t.Rows, row)
	return t
}

// madeUpWords is how a day's polymer for the sludge is made up.
func madeUpWords(d *figure.Object) figure.Phrase {
	return figure.Say("in %s to %s of water a day, %s to %s of product", d.Fig("stock_least"), d.Fig("stock_most"), d.Fig("stock_strongest"), d.Fig("stock_weakest")).
		If(d.Has("stock_ages"), ", aged %s before it is fed", d.Fig("stock_ages"))
}

// sludgeText is the sludge line.
func sludgeText(t *Text, x *dosing.SludgeDay, d *figure.Object) {
	if !x.Known() {
		return
	}
	t.Head("Sludge line")
	var l facts
	l.add("Sludge a day", figure.Say("%s with %s: %s dry", d.Fig("volume"), d.Fig("solids"), d.Fig("dry")))
	l.when(d.Has("polymer_dose"), "Polymer", figure.Say("%s of dry solids", d.Fig("polymer_per_dry")).If(x.Polymer != "", ", %s", d.Get("polymer_name")))
	l.when(d.Has("polymer_dose"), "in the sludge", figure.Say("%s of product, %s a day", d.Fig("polymer_dose"), d.Fig("polymer")))
	l.when(d.Has("stock_least"), "Made up", madeUpWords(d))
	l.when(d.Has("polymer_cost_a_day"), "It costs", figure.Say("%s a day, %s in a month of %s days, beside what the ponds cost", d.Fig("polymer_cost_a_day"), d.Fig("polymer_cost_a_month"), sludgeMonth))
	l.when(d.Has("cake"), "Cake", figure.Say("%s at %s dry, %s of the solids kept", d.Fig("cake"), d.Fig("cake_solids"), d.Fig("captured")))
	l.when(d.Has("bag_lasts"), "A bag", figure.Say("is full in %s", d.Fig("bag_lasts")))
	l.when(d.Has("beds"), "Beds", figure.Say("%s are covered in %s; %s are needed for each layer to dry in %s", d.Fig("beds"), d.Fig("beds_covered_in"), d.Fig("bed_needed"), d.Fig("dries_in")))
	l.when(d.Has("filtrate"), "Filtrate", figure.Say("%s with %s of solids", d.Fig("filtrate"), d.Fig("filtrate_solids")).
		If(d.Has("returned_solids"), ", which bring %s into the treated water", d.Fig("returned_solids")).
		If(d.Has("returned_polymer"), ", and up to %s of polymer as product", d.Fig("returned_polymer")))
	l.when(d.Has("returned_nitrogen"), "Nitrogen back", figure.Say("%s a day in those solids; for what is dissolved measure the filtrate's total ammonia", d.Fig("returned_nitrogen")))
	for _, of := range [...][2]string{{"nitrogen", "N"}, {"phosphorus", "P"}, {"aluminium", "Al"}, {"sodium", "Na"}} {
		key := of[0] + "_a_year"
		l.when(d.Has(key), upperFirst(of[0])+" to land", figure.Say("%s a year, as %s", d.Fig(key), of[1]))
	}
	t.Facts(l)
	if d.Has("land") {
		t.Para("To land counts a year of days like this one. Local rules of what may be spread, where and when go first.")
	}
}

// sludgeCard is what to feed a day's sludge and when bag or bed is full; none where the site describes no line with either.
func sludgeCard(x *dosing.SludgeDay, o Options) (page.Card, bool) {
	if !x.Known() || x.Dose <= 0 && !x.Drains() {
		return page.Card{}, false
	}
	d := sludgeData(x)
	c := page.Card{Title: "Sludge card", Lead: o.Say("%s a day with %s of solids: %s dry.", litres("", x.Volume, 3), d.Fig("solids"), kilos("", x.Dry(), 3))}
	fact := func(holds bool, label string, v figure.Phrase) {
		if holds {
			c.Facts = append(c.Facts, [2]string{label, o.Show(v)})
		}
	}
	if d.Has("polymer") {
		c.Jobs = append(c.Jobs, page.Job{Do: o.Say("Feed %s of %s, as sold, to the sludge in the day: %s in the sludge", kilos("", x.Line.Polymer(), 3), either(x.Polymer == "", "polymer", x.Polymer), d.Fig("polymer_dose"))})
	}
	fact(d.Has("stock_least"), "Made up", madeUpWords(d))
	fact(d.Has("polymer"), "Polymer", figure.Say("%s of dry solids", d.Fig("polymer_per_dry")))
	fact(d.Has("cake"), "Cake", figure.Say("%s a day at %s dry", litres("", x.CakeVolume(), 3), d.Fig("cake_solids")))
	fact(d.Has("bag_lasts"), "A bag is full in", figure.Say("%s", d.Fig("bag_lasts")))
	fact(d.Has("beds"), "Beds are covered in", figure.Say("%s; a layer dries in %s", d.Fig("beds_covered_in"), d.Fig("dries_in")))
	c.Checks = append(c.Checks, "What drains off is clear: if not, less sludge at a time, or the polymer looked at")
	if x.Returns && x.Dose > 0 {
		c.Checks = append(c.Checks, "What drains off goes back to the animals: look at them, and at their gills, on every day that it does")
	}
	c.Log = page.Log{Title: "Day by day", Cols: logCols("Day", "Sludge", "Polymer", "Drains clear?", "Bag or bed", "By")}
	for range 7 {
		c.Log.Rows = append(c.Log.Rows, []string{""})
	}
	for _, n := range o.Notes(x.Notes.Only(note.Caution)) {
		if len(c.Cautions) < mostOnCard {
			c.Cautions = append(c.Cautions, remedied(upperFirst(n.Message), n.Remedy)+".")
		}
	}
	if g := x.Product; x.Dose > 0 && g.Protection.Text != "" {
		c.Cautions = append(c.Cautions, o.Say("%s: %s. Wear %s. Safety data sheet first.", upperFirst(x.Polymer), g.Danger(), g.Protection.Told()))
	}
	return c, true
}

// sludgeNotes are what the sludge line has to say.
func (p Plan) sludgeNotes() note.List {
	if p.Sludge == nil {
		return nil
	}
	return p.Sludge.Notes
}
