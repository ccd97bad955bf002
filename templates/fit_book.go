package templates

import (
	"fmt"

	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// Live adds, for each series with a curve, a sheet on which a dose may be tried:
// reading, bounds and chance of meeting the target follow by straight lines
// between the points of the fitted curve, which stand beside it.
func (f FitReport) Live(b *book.Book, o Options) error {
	n := 0
	for _, r := range f.Results {
		if len(r.Curve) < 2 || r.Factor != "dose" {
			continue
		}
		if n++; n > mostBlocks {
			break
		}
		x := &trySheet{fitSeries: fitSeries{r, fitData(r)}, b: b, o: o, n: n, s: b.Sheet("Try " + seriesName(r.Series, r.Place))}
		x.write()
	}
	return nil
}

// trySheet is one such sheet while it is written.
type trySheet struct {
	fitSeries
	b    *book.Book
	s    *book.Sheet
	o    Options
	n    int // of the sheet, for names
	row  int
	show func(float64) float64 // a reading in the reader's unit
	unit string                // of readings
	base string                // unit of doses with their basis
}

// The columns of the curve's table and its first row.
const tryFirst, tryDose, tryFit, tryLow, tryHigh, trySure = 5, 6, 7, 8, 9, 10

func (x *trySheet) write() {
	s := x.s
	s.Protect()
	s.Widths(30, 13, 14, 26, 4, 13, 13, 13, 13, 15)
	x.show, x.unit = x.o.shown(x.Response)
	x.base = "mg/L"
	if x.Chemical.Basis != quantity.NotStated {
		x.base += " " + string(x.Chemical.Basis)
	}
	s.Put(1, 1, book.Cell{Kind: book.Title, Value: "Try a dose: " + seriesName(x.Series, x.Place)})
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: 4, Value: "Change the dose in the pale cell. What follows lies on straight lines between " +
		"the points of the fitted curve (right); the curve itself is a value at writing and needs the program to change."})
	x.table()
	dose, fit := x.dose()
	x.given()
	x.row = x.chart(x.row+1, dose, fit)
	x.row = s.Legend(x.row+1, 1, 3)
	s.Put(x.row+1, 1, book.Cell{Kind: book.Caution, Span: 4, Value: "CAUTION: a jar test speaks for the water it was run on. Keep to the " +
		"safety data sheet, local codes and licensed practice."})
	s.Print(s.Block(1, 1, x.row+1, 4)) // the curve's table is for the screen
}

// table puts the curve beside the dose.
func (x *trySheet) table() {
	s, unit := x.s, ""
	if x.unit != "" {
		unit = " (" + x.unit + ")"
	}
	s.Put(tryFirst-2, tryDose, book.Cell{Kind: book.Section, Value: "Fitted curve, as the program gave it", Span: 5})
	for i, h := range []string{"Dose (mg/L)", "Fit" + unit, "Low" + unit, "High" + unit, "Chance to meet the target (%)"} {
		s.Put(tryFirst-1, tryDose+i, book.Cell{Kind: book.Head, Value: h})
	}
	for i, p := range x.Curve {
		s.Put(tryFirst+i, tryDose, book.Num(float64(p.Dose), "0.00"))
		for k, v := range [...]float64{p.Fit, p.Low, p.High} {
			s.Put(tryFirst+i, tryFit+k, book.Num(x.show(v), book.Digits(x.show(v), 4)))
		}
		s.Put(tryFirst+i, trySure, book.Num(x.Confidence(p.Dose).In("%"), "0.0"))
	}
}

// last is the row of the curve's last point.
func (x *trySheet) last() int { return tryFirst + len(x.Curve) - 1 }

// block is a column of the curve's table.
func (x *trySheet) block(col int) book.Range { return x.s.Block(tryFirst, col, x.last(), col) }

// put writes a name, a cell and a unit, and gives the row.
func (x *trySheet) put(name string, c book.Cell, unit string) int {
	x.s.Put(x.row, 1, book.T(book.Label, "%s", name))
	x.s.Put(x.row, 2, c)
	x.s.Put(x.row, 3, book.Cell{Kind: book.Unit, Value: unit, Span: 2})
	x.row++
	return x.row - 1
}

// named gives the cell of a row a name of this sheet.
func (x *trySheet) named(what string, row int) string {
	name := fmt.Sprintf("%s_%d", what, x.n)
	x.b.Name(name, x.s.At(row, 2))
	return name
}

// dose writes the dose to try and what follows from it, and gives the cells of the
// dose and of the reading to expect.
func (x *trySheet) dose() (dose, fit book.Range) {
	s, d := x.s, tried(x.Result)
	at := place(x.Result, d)
	s.Put(tryFirst-1, 1, book.Cell{Kind: book.Section, Value: "A dose", Span: 4})
	x.row = tryFirst
	row := x.put("Dose to try", book.In(float64(d), book.Digits(float64(d), 4)), x.base)
	dn := x.named("Try_dose", row)
	lo, hi := float64(x.Curve[0].Dose), float64(x.Curve[len(x.Curve)-1].Dose)
	s.Number(s.At(row, 2), lo, hi, "Dose to try", x.o.Say("mg/L, within the tested range of %s to %s.", unitless(x.d.Fig("tested.low")),
		unitless(x.d.Fig("tested.high"))))
	in := x.named("Try_point", x.put("Point of the curve before it",
		book.Calc(fmt.Sprintf("MAX(1,MIN(MATCH(%s,%s,1),%d))", dn, x.block(tryDose).Ref(), len(x.Curve)-1), float64(at+1), "0"), ""))
	p, q := x.Curve[at], x.Curve[at+1]
	share := float64((d - p.Dose) / (q.Dose - p.Dose))
	sn := x.named("Try_share", x.put("Share of the way to the next",
		book.Calc(fmt.Sprintf("(%[1]s-INDEX(%[3]s,%[2]s))/(INDEX(%[3]s,%[2]s+1)-INDEX(%[3]s,%[2]s))", dn, in, x.block(tryDose).Ref()), share,
			"0.000"), ""))
	line := func(col int, a, b float64, kind book.Kind, format string) book.Cell {
		return book.Cell{Kind: kind, Format: format, Value: a + share*(b-a),
			Formula: fmt.Sprintf("INDEX(%[1]s,%[2]s)+%[3]s*(INDEX(%[1]s,%[2]s+1)-INDEX(%[1]s,%[2]s))", x.block(col).Ref(), in, sn)}
	}
	reading := func(col int, a, b float64, kind book.Kind) book.Cell {
		return line(col, x.show(a), x.show(b), kind, book.Digits(x.show(a), 3))
	}
	expect := x.put(upperFirst(x.Response.Info().Label)+" to expect", reading(tryFit, p.Fit, q.Fit, book.Result), x.unit)
	x.put("9 curves in 10 lie above", reading(tryLow, p.Low, q.Low, book.Worked), x.unit)
	x.put("9 curves in 10 lie below", reading(tryHigh, p.High, q.High, book.Worked), x.unit)
	sureCell := line(trySure, x.Confidence(p.Dose).In("%"), x.Confidence(q.Dose).In("%"), book.Result, "0")
	sure := x.put("Chance to meet every target", sureCell, "%")
	formula := `IF(OR(%[1]s<%.17[3]g,%[1]s>%.17[4]g),"outside the tested range",IF(ROUND(B%[2]d,6)>=90,"safe side",` +
		`IF(ROUND(B%[2]d,6)>=50,"as likely as not, or better","more likely to fail")))`
	x.put("Verdict", book.Calc(fmt.Sprintf(formula, dn, sure, lo, hi), verdict(sureCell.Value.(float64)), ""), "")
	return s.At(row, 2), s.At(expect, 2)
}

// given repeats what the program answered.
func (x *trySheet) given() {
	x.row++
	x.s.Put(x.row, 1, book.Cell{Kind: book.Section, Value: "As the program gave it", Span: 4})
	x.row++
	num := func(name, path, unit string) {
		if f := x.d.Fig(path); f.Known() {
			v, _ := f.Q.Show(x.o.Units)
			x.put(name, book.Num(v, format(f, v)), unit)
		}
	}
	num("Planning dose", "planning_dose.value", x.base)
	num("Lowest effective dose", "lowest_effective_dose.value", x.base)
	num("  low end, 90 % interval", "lowest_effective_dose.low", "mg/L")
	num("  high end, 90 % interval", "lowest_effective_dose.high", "mg/L")
	if x.Outcome != curve.Found {
		x.put("Answer", book.T(book.Value, "%s", outcomeWords(x.Outcome)), "")
	}
	if len(x.Targets) > 0 {
		x.s.Put(x.row, 1, book.T(book.Label, "Target"))
		x.s.Put(x.row, 2, book.Cell{Kind: book.Value, Value: x.o.Show(targetsPhrase(x.Targets)), Span: 3})
		x.row++
	}
}

// tried is the dose that the sheet opens with.
func tried(r curve.Result) quantity.Concentration {
	switch {
	case r.HasPlanning:
		return r.Planning.Concentration
	case r.Outcome == curve.Found:
		return r.Effective.Value
	}
	return r.Best.Dose
}

// verdict is the word for a chance in per cent.
func verdict(sure float64) string {
	switch {
	case sure >= 90-5e-7:
		return "safe side"
	case sure >= 50-5e-7:
		return "as likely as not, or better"
	default:
		return "more likely to fail"
	}
}

// place gives the point of the curve before a dose.
func place(r curve.Result, d quantity.Concentration) int {
	at := 0
	for i := range len(r.Curve) - 1 {
		if r.Curve[i].Dose <= d {
			at = i
		}
	}
	return at
}

// chart draws curve, jars, target and the tried dose, all from cells, and gives the
// row below.
func (x *trySheet) chart(row int, dose, fit book.Range) int {
	s, panel := x.s, x.panel(x.o)
	frame := panel.Frame()
	c := book.Chart{Title: seriesName(x.Series, x.Place), Alt: x.words(x.o), XName: panel.X.Label(), YName: panel.Y.Label(),
		XMin: &frame.X0, XMax: &frame.X1, YMin: &frame.Y0, YMax: &frame.Y1}
	c.Series = append(c.Series,
		book.Series{Name: "fitted curve", X: x.block(tryDose), Y: x.block(tryFit)},
		book.Series{Name: "90 % of the curves", X: x.block(tryDose), Y: x.block(tryLow), Stroke: draw.Dashed, Thin: true},
		book.Series{X: x.block(tryDose), Y: x.block(tryHigh), Stroke: draw.Dashed, Thin: true})
	// Jars and target stand below the curve's table.
	at := x.last() + 2
	s.Put(at, tryDose, book.Cell{Kind: book.Section, Value: "Jars, and the target", Span: 5})
	heads := []string{"Dose (mg/L)", bracketed(upperFirst(x.Response.Info().Label), x.unit), "Target", "What"}
	for i, h := range heads {
		s.Put(at+1, tryDose+i, book.Cell{Kind: book.Head, Value: h})
	}
	at += 2
	written := func(v float64) book.Cell { return book.Num(v, format(figure.Written("", v, ""), v)) }
	var jars []book.Series
	for _, l := range panel.Layers {
		p, ok := l.(draw.Points)
		if !ok || len(p.At) == 0 {
			continue
		}
		from := at
		for _, pt := range p.At {
			s.Put(at, tryDose, written(pt.X))
			s.Put(at, tryFit, written(pt.Y))
			s.Put(at, tryHigh, book.Cell{Kind: book.Value, Value: p.Name})
			at++
		}
		jars = append(jars, book.Series{Name: p.Name, X: s.Block(from, tryDose, at-1, tryDose), Y: s.Block(from, tryFit, at-1, tryFit),
			Mark: book.Dots, Shape: p.Shape, Tone: p.Tone})
	}
	if level := targetLevel(x.Result); level != nil {
		for i, end := range [...]float64{frame.X0, frame.X1} {
			s.Put(at+i, tryDose, book.Num(end, "0.00"))
			s.Put(at+i, tryLow, written(x.show(*level)))
		}
		c.Series = append(c.Series, book.Series{Name: "target", X: s.Block(at, tryDose, at+1, tryDose), Y: s.Block(at, tryLow, at+1, tryLow),
			Tone: draw.Rust, Stroke: draw.Dashed})
	}
	c.Series = append(append(c.Series, jars...), book.Series{Name: "dose tried", X: dose, Y: fit, Mark: book.Dots, Shape: draw.Diamond,
		Tone: draw.Plum})
	s.Chart(row, 1, 560, 320, c)
	return row + 18
}
