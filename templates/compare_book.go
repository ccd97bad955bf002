package templates

import (
	"fmt"
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
	s.Widths(26, 20, 12, 18, 12, 12, 13, 13, 12, 12)
	l := &compareSheet{Compare: c, s: s, b: b, row: 4}
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
const compareWide = 10

// compareSheet writes the live sheet of a comparison.
type compareSheet struct {
	Compare
	s   *book.Sheet
	b   *book.Book
	row int
	// first and last row of the parts of each placed series, by its place.
	rows [][2]int
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
	l.input("Disposal, by dry solids", w.Disposal.PerKgDry(), l.Currency+" per kg", "Disposal_per_kg")
	if l.carries() {
		l.input("Water skimmed off with 1000 m3", float64(w.Carried), "L", "Skimmed_L")
		l.input("Disposal, by the litre of it", w.Disposal.PerLitre(), l.Currency+" per L", "Disposal_per_L")
	}
	if w.HasRaw {
		l.input("Alkalinity of the raw water", float64(w.Raw), "mg/L CaCO3", "Raw_alkalinity")
		l.input("Alkalinity to keep", float64(w.Keep), "mg/L CaCO3", "Keep_alkalinity")
		alkali := w.Alkali
		if alkali == "" {
			alkali = "alkali"
		}
		l.input(upperFirst(alkali)+" for 1 mg/L CaCO3", float64(w.AlkaliPer), "mg/L", "Alkali_per_CaCO3")
		l.input("Price of "+alkali, w.AlkaliPrice.Amount, l.Currency+" per kg", "Alkali_price")
	}
	l.row++
}

// carries tells that water which the skimmer carries over is paid for.
func (l *compareSheet) carries() bool {
	return l.Water.Carried > 0 && l.Water.Disposal.PerLitre() > 0
}

// parts writes a row for each chemical of each series that has a cost.
func (l *compareSheet) parts() {
	l.section("Each chemical: inputs, and what follows for 1000 m3 of water")
	for i, h := range []string{"series", "chemical", "dose (mg/L)", "counts", "content in the product (%)", "price (" + l.Currency + "/kg)", "freight (" + l.Currency + "/kg)", "product (kg)", "alkalinity used (mg/L)", "dry solids made (kg)"} {
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
				content = p.Strength.V.Percent()
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
			l.s.Put(l.row, 6, book.In(p.Price.Amount, "0.00##"))
			l.s.Number(l.s.At(l.row, 6), 0, 1e6, "Price", "For a kg of product, in "+l.Currency+".")
			l.s.Put(l.row, 7, book.In(p.Freight.Amount, "0.00##"))
			kg := float64(r.Product[i])
			l.s.Put(l.row, 8, book.Calc(fmt.Sprintf("C%[1]d/(E%[1]d/100)", l.row), kg, book.Digits(kg, 4)))
			used, made := dose*float64(p.AlkalinityUse), dose*float64(p.SolidsYield().Likely)
			l.s.Put(l.row, 9, book.Calc(fmt.Sprintf("C%d*%.17g", l.row, float64(p.AlkalinityUse)), used, book.Digits(used, 3)))
			l.s.Put(l.row, 10, book.Calc(fmt.Sprintf("C%d*%.17g", l.row, float64(p.SolidsYield().Likely)), made, book.Digits(made, 3)))
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
	l.section("Cost per 1000 m3 of water, " + l.Currency)
	for i, h := range []string{"series", "standing", "chemical", "freight", "alkali", "solids", "ALL IN", "at writing", "low at writing", "high at writing"} {
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
		l.s.Put(l.row, 4, l.money("SUMPRODUCT("+in("H")+","+in("G")+")", r.Freight))
		alkali := "0"
		if l.Water.HasRaw {
			alkali = "MAX(0,SUM(" + in("I") + ")+Keep_alkalinity-Raw_alkalinity)*Alkali_per_CaCO3*Alkali_price"
		}
		l.s.Put(l.row, 5, l.money(alkali, r.Alkali))
		disposal := "(Removed_mg_L+SUM(" + in("J") + "))*Disposal_per_kg"
		if l.carries() {
			disposal += "+Skimmed_L*Disposal_per_L"
		}
		l.s.Put(l.row, 6, l.money(disposal, r.Solids))
		all := l.money(fmt.Sprintf("SUM(C%[1]d:F%[1]d)", l.row), r.Total)
		all.Kind = book.Result
		l.s.Put(l.row, 7, all)
		l.s.Put(l.row, 8, book.Num(r.Total.Amount, "0.00"))
		low, high := book.Cell{Kind: book.Muted, Value: "–", Center: true}, book.Cell{Kind: book.Muted, Value: "–", Center: true}
		if r.HasRange {
			low = book.Num(r.Low.Amount, "0.00")
			if high = book.Num(r.High.Amount, "0.00"); r.Open {
				high = book.Cell{Kind: book.Value, Value: "open"}
			}
		}
		l.s.Put(l.row, 9, low)
		l.s.Put(l.row, 10, high)
		l.b.Name(fmt.Sprintf("Cost_%d", n+1), l.s.At(l.row, 7))
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
	l.s.Chart(l.row+1, 1, 620, 280, book.Chart{Kind: book.Stacked, Title: "Cost per 1000 m3 as changed above", Alt: "Cost per 1000 m3 of each series by what it is made of", YName: l.Currency, YFormat: "0.00", Series: l.stacks(first, last)})
	l.row += 17
}

// verdict compares a cost with the least of all.
func (l *compareSheet) verdict(first, last, n int) book.Cell {
	word := "dearer"
	if l.placed()[n].Total.Amount <= l.placed()[0].Total.Amount {
		word = "least"
	}
	return book.Calc(fmt.Sprintf(`IF(G%[1]d<=MIN(G%[2]d:G%[3]d),"least","dearer")`, l.row, first, last), word, "")
}

func (l *compareSheet) money(formula string, m quantity.Money) book.Cell {
	return book.Calc(formula, m.Amount, "0.00")
}

// stacks are the parts of the cost, each in its own tone.
func (l *compareSheet) stacks(first, last int) []book.Series {
	var out []book.Series
	parts := []struct {
		name string
		of   func(compare.Row) float64
	}{
		{"chemical", func(r compare.Row) float64 { return r.Chemicals.Amount }}, {"freight", func(r compare.Row) float64 { return r.Freight.Amount }},
		{"alkali", func(r compare.Row) float64 { return r.Alkali.Amount }}, {"solids", func(r compare.Row) float64 { return r.Solids.Amount }},
	}
	for i, p := range parts {
		any := false
		for _, r := range l.placed() {
			any = any || p.of(r) > 0
		}
		if any {
			out = append(out, book.Series{Name: p.name, X: l.s.Block(first, 1, last, 1), Y: l.s.Block(first, 3+i, last, 3+i), Tone: draw.Tone(i % 5), Hatch: i%2 == 1})
		}
	}
	return out
}
