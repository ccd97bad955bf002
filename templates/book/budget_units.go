package book

import (
	"regexp"
	"strings"

	"jarwright/jartest/quantity"
)

// budgetUnits are the units of a budget's workbook: its inputs stand in them, and
// its formulas work on them.
type budgetUnits struct {
	flow, volume, mass, liquid string
	part                       string  // in which the product in a stock is weighed
	grams                      string  // of product in treated water
	bulk                       string  // by which water is bought
	bulks                      float64 // how many of volume are one of bulk
	// hour makes the water of an hour from the flow, and content the mass in a volume
	// from mg/L, as formulas have it.
	hour, content string
}

var budgetUnitsOf = map[quantity.System]budgetUnits{
	quantity.Metric: {"m3/h", "m3", "kg", "L", "g", "g/m3", "m3", 1, "", "/1000"},
	quantity.US: {"gpm", "gal", "lb", "gal", "oz", "mg/L", "1000 gal", 1000, "*60",
		"/" + Decimal(quantity.RoundSig(1/quantity.Concentration(1).In("lb/gal"), 15))},
}

// in puts the units and the currency into a text that names them by MASS, PART,
// VOLUME, LIQUID, FLOW, GRAMS, BULK and CUR.
func (w *budgetBook) in(text string) string {
	u := w.u
	return strings.NewReplacer("MASS", u.mass, "PART", u.part, "VOLUME", u.volume, "LIQUID", u.liquid, "FLOW", u.flow, "GRAMS", u.grams,
		"BULK", u.bulk,
		"CUR", w.currency()).Replace(text)
}

// cellName puts the units into the name of a cell, and then what a chemical is called into it.
func (w *budgetBook) cellName(name string, chemical ...string) string {
	name = strings.NewReplacer("/", "_", " ", "_").Replace(w.in(name))
	for _, c := range chemical {
		name = strings.Replace(name, "%s", c, 1)
	}
	return name
}

// fill puts cells and columns into a formula of a sheet that names them in braces:
// those of the row of a table first, if any.
func (w *budgetBook) fill(s *Sheet, formula string, row map[string]string) string {
	return bracesPattern.ReplaceAllStringFunc(formula, func(m string) string {
		name := m[1 : len(m)-1]
		r, there := w.cells[name]
		own, mine := row[name]
		switch {
		case mine:
			return own
		case !there:
			w.fail("%s: a formula names %q, which stands nowhere", s.name, name)
			return ""
		case r.Sheet == s:
			return r.A1()
		}
		return r.Ref()
	})
}

var bracesPattern = regexp.MustCompile(`\{[^}]*\}`)

// one is what one of the units of mass, of liquid and of the product in a stock is.
func (w *budgetBook) one() (mass quantity.Mass, liquid quantity.Volume, part quantity.Mass) {
	return quantity.Mass(1 / quantity.Mass(1).In(w.u.mass)), quantity.Volume(1 / quantity.Volume(1).In(w.u.liquid)),
		quantity.Mass(1 / quantity.Mass(1).In(w.u.part))
}

// volume is m3 in the workbook's unit.
func (w *budgetBook) volume(m3 float64) float64 { return m3 * quantity.Volume(1000).In(w.u.volume) }

// perMass and perVolume make the price of a kg and of a m3 those of the workbook's units.
func (w *budgetBook) perMass(perKg float64) float64 { return perKg / quantity.Mass(1).In(w.u.mass) }
func (w *budgetBook) perVolume(perM3 float64) float64 {
	return perM3 / quantity.Volume(1000).In(w.u.volume)
}

// stock is a strength as the product weighed into a volume of stock.
func (w *budgetBook) stock(c quantity.Concentration) float64 {
	_, liquid, part := w.one()
	return c.In("g/L") * float64(liquid) / part.In("g")
}

// disposalPrice is the price of solids and what it is for.
func (w *budgetBook) disposalPrice() (amount float64, per string) {
	p := w.m.Plan.Disposal.InBulk().Price
	if p.Per == "" {
		p.Per = "kg dry"
	}
	wet, dry := strings.CutSuffix(p.Per, " dry")
	p.Per = wet
	amount, unit := p.Show(w.units)
	per = strings.TrimPrefix(unit, p.Currency+"/")
	if dry {
		per += " dry"
	}
	return amount, per
}
