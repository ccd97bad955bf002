package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// Live adds a sheet on which prices, doses and what the cost rests on may be
// changed, and the cost of 1000 m3 of each series follows.
func (c Compare) Live(b *book.Book, o Options) error {
	if len(c.placed()) == 0 {
		return nil
	}
	l := &compareSheet{Compare: c, u: compareUnits[o.Units], water: o.thousand(), means: o.Show(rangeMeans(c.data())),
		liveSheet: newLive(b, "Change it", "Change a price or a dose, see the cost",
			"Pale cells with a dark border may be changed; costs follow. The ranges are values at writing: they come from the fitted curves and need the program to change.",
			12, 3, 4, 26, 20, 12, 18, 12, 12, 13, 13, 12, 12, 12, 12)}
	l.Landscape()
	l.OnePage()
	l.shared()
	l.parts()
	l.costs()
	l.end(3, "CAUTION: a changed dose has not been tested in jars here, nor checked against animals, alkalinity or residuals.")
	return nil
}

// compareSheet writes the live sheet of a comparison.
type compareSheet struct {
	Compare
	liveSheet
	u compareUnit
	// water is the volume that the sheet counts for, in words.
	water string
	// means is what the ranges of the costs are.
	means string
	// first and last row of the parts of each placed series, by its place.
	rows [][2]int
}

// compareUnit is the unit of mass of the sheet, how much of it 1 mg/L makes in the
// water that the sheet counts for, and how much of it a kg is; and the unit of
// volume, how much of it stands for a litre with 1000 m3, and the litres in it.
type compareUnit struct {
	mass           string
	perMgL, ofKg   float64
	volume         string
	carried, litre float64
	cents          string // the format of money for the water that the sheet counts for
}

var compareUnits = map[quantity.System]compareUnit{
	quantity.Metric: {"kg", 1, 1, "L", 1, 1, "0.00"},
	quantity.US:     {"lb", quantity.Mass(gallon / 1000).In("lb"), quantity.Mass(1).In("lb"), "gal", 0.001, gallon, "0.0000"},
}

// times is the factor from mg/L to the sheet's mass, as a formula has it.
func (u compareUnit) times() string {
	if u.perMgL == 1 {
		return ""
	}
	return fmt.Sprintf("*%.17g", u.perMgL)
}

// shared writes what all series have in common.
func (l *compareSheet) shared() {
	w := l.Water
	input := func(label string, v float64, unit, name string) { l.input(label, v, unit, name, 0, 1e6) }
	l.section("The water, and what is paid beside the chemicals")
	for n, r := range l.waters() {
		input("Suspended solids removed"+r.of, float64(r.Removed.V.Likely), "mg/L", r.name("Removed_mg_L", n))
	}
	input("Disposal, by dry solids", w.Disposal.PerKgDry()/l.u.ofKg, l.Currency+" per "+l.u.mass, "Disposal_per_"+l.u.mass)
	if l.carries() {
		input("Water skimmed off", float64(w.Carried())*l.u.carried, l.u.volume, "Water_skimmed")
		input("Disposal, by volume of it", w.Disposal.PerLitre()*l.u.litre, l.Currency+" per "+l.u.volume, "Disposal_of_water")
	}
	if l.rawKnown() {
		alkali := cmp.Or(w.Alkali.Name, "alkali")
		for n, r := range l.waters() {
			if r.Alkalinity.OK {
				input("Alkalinity of the raw water"+r.of, float64(r.Alkalinity.V), "mg/L CaCO3", r.name("Raw_alkalinity", n))
			}
		}
		input("Alkalinity to keep", float64(w.Keep), "mg/L CaCO3", "Keep_alkalinity")
		input(upperFirst(alkali)+" for 1 mg/L CaCO3", float64(w.Alkali.Per), "mg/L", "Alkali_per_CaCO3")
		input("Price of "+alkali, w.Alkali.Price.Amount/l.u.ofKg, l.Currency+" per "+l.u.mass, "Alkali_price")
		if w.Alkali.Freight.Amount > 0 {
			input("Freight of "+alkali, w.Alkali.Freight.Amount/l.u.ofKg, l.Currency+" per "+l.u.mass, "Alkali_freight")
		}
	}
	if w.MakeUp.Amount > 0 {
		input("Make-up water", w.MakeUp.Amount*l.u.litre, l.Currency+" per 1000 "+l.u.volume, "Water_price")
	}
	if w.Energy() > 0 && w.Electricity.Amount > 0 {
		input("Energy drawn", l.share(float64(w.Energy())), "kWh", "Energy_kWh")
		input("Electricity", w.Electricity.Amount, l.Currency+" per kWh", "Electricity_price")
	}
	l.row++
}

// sheetWater is the raw water of a series in the sheet: of is empty where all share one.
type sheetWater struct {
	compare.RawWater
	of string
}

// name is that of an input of the water of a series.
func (w sheetWater) name(input string, n int) string {
	return input + either(w.of == "", "", fmt.Sprintf("_%d", n+1))
}

// waterOf is the water of a series that is placed.
func (l *compareSheet) waterOf(n int) sheetWater {
	r := l.placed()[n]
	return sheetWater{r.Raw, either(r.Own == nil, "", ", "+r.Name)}
}

// waters are those of the series that are placed, one where they share it.
func (l *compareSheet) waters() (all []sheetWater) {
	for n := range l.placed() {
		if w := l.waterOf(n); n == 0 || w.of != "" {
			all = append(all, w)
		}
	}
	return all
}

// rawKnown tells that the alkalinity of some raw water is known.
func (l *compareSheet) rawKnown() bool {
	return slices.ContainsFunc(l.placed(), func(r compare.Row) bool { return r.Raw.Alkalinity.OK })
}

// carries tells that water which the skimmer carries over is paid for.
func (l *compareSheet) carries() bool {
	return l.Water.Carried() > 0 && l.Water.Disposal.PerLitre() > 0
}

// parts writes a row for each chemical of each series that has a cost.
func (l *compareSheet) parts() {
	l.section("Each chemical: inputs, and what follows for " + l.water + " of water")
	price := "(" + l.Currency + "/" + l.u.mass + ")"
	l.heads(1, "test", "chemical", "dose (mg/L)", "counts", "content in the product (%)", "price "+price, "freight "+price,
		"product ("+l.u.mass+")", "alkalinity used (mg/L)", "dry solids made ("+l.u.mass+")", "water in its stock ("+l.u.volume+"/"+l.u.mass+")")
	for n, r := range l.placed() {
		first := l.row
		for i := range r.Parts {
			l.part(r, n, i)
		}
		l.rows = append(l.rows, [2]int{first, l.row - 1})
	}
	l.row++
}

// part writes the row of one chemical of a series.
func (l *compareSheet) part(r compare.Row, n, i int) {
	p := r.Parts[i]
	dose, content := float64(p.Dose.Concentration), 100.0
	if p.Strength.V > 0 {
		content = p.Strength.V.In("%")
	}
	words := func(s string) book.Cell { return book.Cell{Kind: book.Wrap, Value: s, Indent: true} }
	calc := func(formula string, v float64, digits int) book.Cell {
		return book.Calc(formula, v, book.Digits(v, digits))
	}
	ofDose := func(share float64) string { return fmt.Sprintf("C%d*%.17g", l.row, share) }
	var freight any // what is not known stays to be filled in
	if p.Freight.Currency != "" {
		freight = p.Freight.Amount / l.u.ofKg
	}
	used, made := float64(p.AlkalinityUse), float64(p.SolidsYield().Likely)
	for c, cell := range []book.Cell{
		words(either(i == 0, r.Name, "")), words(p.Chemical), inputTo(dose), words(strings.TrimPrefix(p.Dose.Basis.String(), "as ")),
		{Kind: either(p.Dose.Basis == quantity.AsProduct, book.Value, book.Input), Value: content, Format: "0.0##"},
		book.In(p.Price.Amount/l.u.ofKg, "0.00##"), book.In(freight, "0.00##"),
		calc(fmt.Sprintf("C%[1]d/(E%[1]d/100)", l.row)+l.u.times(), float64(r.Product[i])*l.u.perMgL, 4),
		calc(ofDose(used), dose*used, 3), calc(ofDose(made)+l.u.times(), dose*made*l.u.perMgL, 3), book.In(l.perMass(p.StockWater()), "0.0###"),
	} {
		l.Put(l.row, 1+c, cell)
	}
	l.Number(l.At(l.row, 3), 0, 1e5, "Dose", "In mg/L, counted as beside it.")
	l.Number(l.At(l.row, 6), 0, 1e6, "Price", "For a "+l.u.mass+" of product, in "+l.Currency+".")
	l.b.Name(fmt.Sprintf("Dose_%d_%d", n+1, i+1), l.At(l.row, 3))
	l.b.Name(fmt.Sprintf("Price_%d_%d", n+1, i+1), l.At(l.row, 6))
	l.row++
}

// costs writes a row for each series, and draws them.
func (l *compareSheet) costs() {
	l.section("Cost per " + l.water + " of water, " + l.Currency)
	l.heads(1, "test", "standing", "chemical", "freight", "alkali", "solids", "make-up water", "energy", "ALL IN",
		"at writing", "low at writing", "high at writing")
	placed := l.placed()
	first, last := l.row, l.row+len(placed)-1
	for n, r := range placed {
		in := func(col string) string { return fmt.Sprintf("%s%d:%s%d", col, l.rows[n][0], col, l.rows[n][1]) }
		alkali, alkaliCost := "0", "0"
		if r.Raw.Alkalinity.OK {
			alkali = "MAX(0,SUM(" + in("I") + ")+Keep_alkalinity-" + l.waterOf(n).name("Raw_alkalinity", n) + ")*Alkali_per_CaCO3" + l.u.times()
			alkaliCost = alkali + "*Alkali_price"
		}
		freight := "SUMPRODUCT(" + in("H") + "," + in("G") + ")" +
			either(r.Raw.Alkalinity.OK && l.Water.Alkali.Freight.Amount > 0, "+"+alkali+"*Alkali_freight", "")
		energy := either(l.Water.Energy() > 0 && l.Water.Electricity.Amount > 0, "Energy_kWh*Electricity_price", "0")
		disposal := "(" + l.waterOf(n).name("Removed_mg_L", n) + l.u.times() + "+SUM(" + in("J") + "))*Disposal_per_" + l.u.mass +
			either(l.carries(), "+Water_skimmed*Disposal_of_water", "")
		all := l.money(fmt.Sprintf("SUM(C%[1]d:H%[1]d)", l.row), r.Total)
		all.Kind = book.Result
		asWritten := func(m quantity.Money) book.Cell { return book.Num(l.cost(m), l.u.cents) }
		low, high := none, none
		if r.HasRange {
			low, high = asWritten(r.Low), either(r.Open, book.T(book.Value, "open"), asWritten(r.High))
		}
		for c, cell := range []book.Cell{{Kind: book.Wrap, Value: r.Name, Indent: true}, l.verdict(first, last, n),
			l.money("SUMPRODUCT("+in("H")+","+in("F")+")", r.Chemicals), l.money(freight, r.Freight),
			l.money(alkaliCost, r.Alkali), l.money(disposal, r.Solids), l.money(l.makeUp(r, in, alkali), r.MakeUp),
			l.money(energy, r.Energy), all, asWritten(r.Total), low, high} {
			l.Put(l.row, 1+c, cell)
		}
		l.b.Name(fmt.Sprintf("Cost_%d", n+1), l.At(l.row, 9))
		l.row++
	}
	if l.ranged() {
		l.Put(l.row, 1, book.Cell{Kind: book.Muted, Span: l.wide, Value: l.means})
		l.row++
	}
	if same := l.same(); len(same) > 0 {
		l.Put(l.row, 1, book.Cell{Kind: book.Muted, Span: l.wide,
			Value: fmt.Sprintf("At writing %s could not be told apart from %s: the cost ranges overlap. A small change here does not settle that.",
				listed(same), placed[0].Name)})
		l.row++
	}
	l.Flag(l.Block(first, 2, last, 2), fmt.Sprintf(`B%d="least"`, first), book.Good)
	title := "Cost per " + l.water
	l.Chart(l.row+1, 1, 900, 280, book.Chart{Kind: book.Stacked, Lying: true, Title: title + " as changed above",
		Alt: title + " of each test by what it is made of", YName: l.Currency, YFormat: l.u.cents, Series: l.stacks(first, last)})
	l.row += 17
}

// verdict compares a cost with the least of all.
func (l *compareSheet) verdict(first, last, n int) book.Cell {
	word := either(l.placed()[n].Total.Amount <= l.placed()[0].Total.Amount, "least", "dearer")
	return book.Calc(fmt.Sprintf(`IF(I%[1]d<=MIN(I%[2]d:I%[3]d),"least","dearer")`, l.row, first, last), word, "")
}

func (l *compareSheet) money(formula string, m quantity.Money) book.Cell {
	return book.Calc(formula, l.cost(m), l.u.cents)
}

// cost is money for 1000 m3 as money for the water that the sheet counts for.
func (l *compareSheet) cost(m quantity.Money) float64 { return l.share(m.Amount) }

// share is what of something for 1000 m3 goes to the water that the sheet counts for.
func (l *compareSheet) share(of1000 float64) float64 { return of1000 * l.u.perMgL / l.u.ofKg }

// perMass makes a volume for a kg one for the unit of mass.
func (l *compareSheet) perMass(v quantity.Volume) float64 { return v.In(l.u.volume) / l.u.ofKg }

// makeUp is the formula of the water of the stocks and their carriers.
func (l *compareSheet) makeUp(r compare.Row, in func(column string) string, alkali string) string {
	w := l.Water
	if w.MakeUp.Amount <= 0 {
		return "0"
	}
	var carrier quantity.Flow
	for _, p := range r.Parts {
		carrier += p.Carrier
	}
	water := "SUMPRODUCT(" + in("H") + "," + in("K") + ")"
	if raw := r.Raw.Alkalinity; raw.OK {
		carrier += w.Alkali.Carrier
		water += fmt.Sprintf("+%s*%.17g", alkali, l.perMass(w.Alkali.Chemical(raw.V, w.Keep).StockWater()))
	}
	if carrier > 0 {
		water += fmt.Sprintf("+%.17g", float64(carrier)*1000*float64(w.Running)*l.u.carried)
	}
	return "(" + water + ")/1000*Water_price"
}

// stacks are the parts of the cost, each in its own tone.
func (l *compareSheet) stacks(first, last int) []book.Series {
	var out []book.Series
	for i, p := range (compare.Row{}).Lines() {
		if slices.ContainsFunc(l.placed(), func(r compare.Row) bool { return r.Lines()[i].Amount.Amount > 0 }) {
			out = append(out, book.Series{Name: p.Name, X: l.Block(first, 1, last, 1), Y: l.Block(first, 3+i, last, 3+i), Tone: costTones[p.Name].tone, Open: costTones[p.Name].open})
		}
	}
	return out
}
