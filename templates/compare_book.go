package templates

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/draw"
)

// Live adds a sheet on which prices, doses and what the cost rests on may be
// changed, and the cost of 1000 m3 of each series follows.
func (c Compare) Live(b *book.Book, o Options) error {
	if len(c.placed()) == 0 {
		return nil
	}
	s := b.Sheet("Change it")
	s.Protect()
	s.Landscape()
	s.OnePage()
	s.Widths(26, 20, 12, 18, 12, 12, 13, 13, 12, 12, 12, 12)
	l := &compareSheet{Compare: c, s: s, b: b, row: 4, u: compareUnits[o.Units], water: o.thousand()}
	s.Put(1, 1, book.T(book.Title, "Change a price or a dose, see the cost"))
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: compareWide, Value: "Pale cells with a dark border may be changed; costs follow. The ranges are values at writing: they come from the fitted curves and need the program to change."})
	l.shared()
	l.parts()
	l.costs()
	l.row = s.Legend(l.row+1, 1, 3)
	s.Put(l.row+1, 1, book.Cell{Kind: book.Caution, Span: compareWide, Value: "CAUTION: a changed dose has not been tested in jars here, nor checked against animals, alkalinity or residuals."})
	return nil
}

// compareWide is how many columns the sheet takes.
const compareWide = 12

// compareSheet writes the live sheet of a comparison.
type compareSheet struct {
	Compare
	s   *book.Sheet
	b   *book.Book
	row int
	u   compareUnit
	// water is the volume that the sheet counts for, in words.
	water string
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
}

var compareUnits = map[quantity.System]compareUnit{
	quantity.Metric: {"kg", 1, 1, "L", 1, 1},
	quantity.US:     {"lb", quantity.Mass(gallon / 1000).In("lb"), quantity.Mass(1).In("lb"), "gal", 0.001, gallon},
}

// times is the factor from mg/L to the sheet's mass, as a formula has it.
func (u compareUnit) times() string {
	if u.perMgL == 1 {
		return ""
	}
	return fmt.Sprintf("*%.17g", u.perMgL)
}

func (l *compareSheet) section(text string) {
	l.s.Put(l.row, 1, book.Cell{Kind: book.Section, Value: text, Span: compareWide})
	l.row++
}

func (l *compareSheet) input(label string, v float64, unit, name string) {
	l.s.Put(l.row, 1, book.Cell{Kind: book.Label, Value: label, Span: 2})
	l.s.Put(l.row, 3, book.In(v, book.Digits(v, 4)))
	l.s.Put(l.row, 4, book.Cell{Kind: book.Unit, Value: unit, Span: 2})
	l.s.Number(l.s.At(l.row, 3), 0, 1e6, label, "In "+unit+".")
	l.b.Name(name, l.s.At(l.row, 3))
	l.row++
}

// shared writes what all series have in common.
func (l *compareSheet) shared() {
	w := l.Water
	l.section("The water, and what is paid beside the chemicals")
	l.input("Suspended solids removed", float64(w.Removed.Likely), "mg/L", "Removed_mg_L")
	l.input("Disposal, by dry solids", w.Disposal.PerKgDry()/l.u.ofKg, l.Currency+" per "+l.u.mass, "Disposal_per_"+l.u.mass)
	if l.carries() {
		l.input("Water skimmed off", float64(w.Carried())*l.u.carried, l.u.volume, "Water_skimmed")
		l.input("Disposal, by volume of it", w.Disposal.PerLitre()*l.u.litre, l.Currency+" per "+l.u.volume, "Disposal_of_water")
	}
	if w.HasRaw {
		l.input("Alkalinity of the raw water", float64(w.Raw), "mg/L CaCO3", "Raw_alkalinity")
		l.input("Alkalinity to keep", float64(w.Keep), "mg/L CaCO3", "Keep_alkalinity")
		alkali := w.Alkali.Name
		if alkali == "" {
			alkali = "alkali"
		}
		l.input(upperFirst(alkali)+" for 1 mg/L CaCO3", float64(w.Alkali.Per), "mg/L", "Alkali_per_CaCO3")
		l.input("Price of "+alkali, w.Alkali.Price.Amount/l.u.ofKg, l.Currency+" per "+l.u.mass, "Alkali_price")
		if w.Alkali.Freight.Amount > 0 {
			l.input("Freight of "+alkali, w.Alkali.Freight.Amount/l.u.ofKg, l.Currency+" per "+l.u.mass, "Alkali_freight")
		}
	}
	if w.MakeUp.Amount > 0 {
		l.input("Make-up water", w.MakeUp.Amount*l.u.litre, l.Currency+" per 1000 "+l.u.volume, "Water_price")
	}
	if w.Energy() > 0 && w.Electricity.Amount > 0 {
		l.input("Energy drawn", l.share(float64(w.Energy())), "kWh", "Energy_kWh")
		l.input("Electricity", w.Electricity.Amount, l.Currency+" per kWh", "Electricity_price")
	}
	l.row++
}

// carries tells that water which the skimmer carries over is paid for.
func (l *compareSheet) carries() bool {
	return l.Water.Carried() > 0 && l.Water.Disposal.PerLitre() > 0
}

// parts writes a row for each chemical of each series that has a cost.
func (l *compareSheet) parts() {
	l.section("Each chemical: inputs, and what follows for " + l.water + " of water")
	for i, h := range []string{"series", "chemical", "dose (mg/L)", "counts", "content in the product (%)", "price (" + l.Currency + "/" + l.u.mass + ")", "freight (" + l.Currency + "/" + l.u.mass + ")",
		"product (" + l.u.mass + ")", "alkalinity used (mg/L)", "dry solids made (" + l.u.mass + ")", "water in its stock (" + l.u.volume + "/" + l.u.mass + ")"} {
		l.s.Put(l.row, 1+i, book.Cell{Kind: book.Head, Value: h})
	}
	l.row++
	for n, r := range l.placed() {
		first := l.row
		for i, p := range r.Parts {
			name := ""
			if i == 0 {
				name = r.Name
			}
			dose, content := float64(p.Dose.Concentration), 100.0
			if p.Strength.V > 0 {
				content = p.Strength.V.In("%")
			}
			kind := book.Input
			if p.Dose.Basis == quantity.AsProduct {
				kind = book.Value
			}
			l.s.Put(l.row, 1, book.Cell{Kind: book.Wrap, Value: name, Indent: true})
			l.s.Put(l.row, 2, book.Cell{Kind: book.Wrap, Value: p.Chemical, Indent: true})
			l.s.Put(l.row, 3, book.In(dose, book.Digits(dose, 4)))
			l.s.Number(l.s.At(l.row, 3), 0, 1e5, "Dose", "In mg/L, counted as beside it.")
			l.s.Put(l.row, 4, book.Cell{Kind: book.Wrap, Value: strings.TrimPrefix(p.Dose.Basis.String(), "as "), Indent: true})
			l.s.Put(l.row, 5, book.Cell{Kind: kind, Value: content, Format: "0.0##"})
			l.s.Put(l.row, 6, book.In(p.Price.Amount/l.u.ofKg, "0.00##"))
			l.s.Number(l.s.At(l.row, 6), 0, 1e6, "Price", "For a "+l.u.mass+" of product, in "+l.Currency+".")
			l.s.Put(l.row, 7, book.In(p.Freight.Amount/l.u.ofKg, "0.00##"))
			product := float64(r.Product[i]) * l.u.perMgL
			l.s.Put(l.row, 8, book.Calc(fmt.Sprintf("C%[1]d/(E%[1]d/100)", l.row)+l.u.times(), product, book.Digits(product, 4)))
			used, made := dose*float64(p.AlkalinityUse), dose*float64(p.SolidsYield().Likely)*l.u.perMgL
			l.s.Put(l.row, 9, book.Calc(fmt.Sprintf("C%d*%.17g", l.row, float64(p.AlkalinityUse)), used, book.Digits(used, 3)))
			l.s.Put(l.row, 10, book.Calc(fmt.Sprintf("C%d*%.17g", l.row, float64(p.SolidsYield().Likely))+l.u.times(), made, book.Digits(made, 3)))
			l.s.Put(l.row, 11, book.In(l.perMass(p.StockWater()), "0.0###"))
			l.b.Name(fmt.Sprintf("Dose_%d_%d", n+1, i+1), l.s.At(l.row, 3))
			l.b.Name(fmt.Sprintf("Price_%d_%d", n+1, i+1), l.s.At(l.row, 6))
			l.row++
		}
		l.rows = append(l.rows, [2]int{first, l.row - 1})
	}
	l.row++
}

// costs writes a row for each series, and draws them.
func (l *compareSheet) costs() {
	l.section("Cost per " + l.water + " of water, " + l.Currency)
	for i, h := range []string{"series", "standing", "chemical", "freight", "alkali", "solids", "make-up water", "energy", "ALL IN", "at writing", "low at writing", "high at writing"} {
		l.s.Put(l.row, 1+i, book.Cell{Kind: book.Head, Value: h})
	}
	l.row++
	placed := l.placed()
	first, last := l.row, l.row+len(placed)-1
	best := l.row
	for n, r := range placed {
		in := func(col string) string { return fmt.Sprintf("%s%d:%s%d", col, l.rows[n][0], col, l.rows[n][1]) }
		l.s.Put(l.row, 1, book.Cell{Kind: book.Wrap, Value: r.Name, Indent: true})
		l.s.Put(l.row, 2, l.verdict(first, last, n))
		l.s.Put(l.row, 3, l.money("SUMPRODUCT("+in("H")+","+in("F")+")", r.Chemicals))
		alkali, alkaliCost := "0", "0"
		if l.Water.HasRaw {
			alkali = "MAX(0,SUM(" + in("I") + ")+Keep_alkalinity-Raw_alkalinity)*Alkali_per_CaCO3" + l.u.times()
			alkaliCost = alkali + "*Alkali_price"
		}
		freight := "SUMPRODUCT(" + in("H") + "," + in("G") + ")"
		if l.Water.HasRaw && l.Water.Alkali.Freight.Amount > 0 {
			freight += "+" + alkali + "*Alkali_freight"
		}
		l.s.Put(l.row, 4, l.money(freight, r.Freight))
		l.s.Put(l.row, 5, l.money(alkaliCost, r.Alkali))
		disposal := "(Removed_mg_L" + l.u.times() + "+SUM(" + in("J") + "))*Disposal_per_" + l.u.mass
		if l.carries() {
			disposal += "+Water_skimmed*Disposal_of_water"
		}
		l.s.Put(l.row, 6, l.money(disposal, r.Solids))
		l.s.Put(l.row, 7, l.money(l.makeUp(r, in, alkali), r.MakeUp))
		energy := "0"
		if l.Water.Energy() > 0 && l.Water.Electricity.Amount > 0 {
			energy = "Energy_kWh*Electricity_price"
		}
		l.s.Put(l.row, 8, l.money(energy, r.Energy))
		all := l.money(fmt.Sprintf("SUM(C%[1]d:H%[1]d)", l.row), r.Total)
		all.Kind = book.Result
		l.s.Put(l.row, 9, all)
		l.s.Put(l.row, 10, book.Num(l.cost(r.Total), "0.00"))
		low, high := book.Cell{Kind: book.Muted, Value: "–", Center: true}, book.Cell{Kind: book.Muted, Value: "–", Center: true}
		if r.HasRange {
			low = book.Num(l.cost(r.Low), "0.00")
			if high = book.Num(l.cost(r.High), "0.00"); r.Open {
				high = book.Cell{Kind: book.Value, Value: "open"}
			}
		}
		l.s.Put(l.row, 11, low)
		l.s.Put(l.row, 12, high)
		l.b.Name(fmt.Sprintf("Cost_%d", n+1), l.s.At(l.row, 9))
		l.row++
	}
	var same []string
	for _, r := range placed[1:] {
		if r.Same {
			same = append(same, r.Name)
		}
	}
	if len(same) > 0 {
		l.s.Put(l.row, 1, book.Cell{Kind: book.Muted, Span: compareWide, Value: fmt.Sprintf("At writing %s could not be told apart from %s: the cost ranges overlap. A small change here does not settle that.", listed(same), placed[0].Name)})
		l.row++
	}
	l.s.Flag(l.s.Block(first, 2, last, 2), fmt.Sprintf(`B%d="least"`, best), book.Good)
	l.s.Chart(l.row+1, 1, 620, 280, book.Chart{Kind: book.Stacked, Title: "Cost per " + l.water + " as changed above", Alt: "Cost per " + l.water + " of each series by what it is made of", YName: l.Currency, YFormat: "0.00", Series: l.stacks(first, last)})
	l.row += 17
}

// verdict compares a cost with the least of all.
func (l *compareSheet) verdict(first, last, n int) book.Cell {
	word := "dearer"
	if l.placed()[n].Total.Amount <= l.placed()[0].Total.Amount {
		word = "least"
	}
	return book.Calc(fmt.Sprintf(`IF(I%[1]d<=MIN(I%[2]d:I%[3]d),"least","dearer")`, l.row, first, last), word, "")
}

func (l *compareSheet) money(formula string, m quantity.Money) book.Cell {
	return book.Calc(formula, l.cost(m), "0.00")
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
	if w.HasRaw {
		carrier += w.Alkali.Carrier
		water += fmt.Sprintf("+%s*%.17g", alkali, l.perMass(w.Alkali.Chemical(w.Raw, w.Keep).StockWater()))
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
			out = append(out, book.Series{Name: p.Name, X: l.s.Block(first, 1, last, 1), Y: l.s.Block(first, 3+i, last, 3+i), Tone: draw.Tone(i % 5), Hatch: i%2 == 1})
		}
	}
	return out
}
