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
// reading, bounds and confidence of meeting the target follow by straight lines
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
		name := seriesName(r.Series, r.Place)
		x := &trySheet{fitSeries: fitSeries{r, fitData(r)}, o: o, n: n, liveSheet: newLive(b, "Try "+name, "Try a dose: "+name,
			"Change the dose in the pale cell. What follows lies on straight lines between the points of the fitted curve (right); "+
				"the curve itself is a value at writing and needs the program to change.", 4, 2, 3, 30, 13, 14, 26, 4, 13, 13, 13, 13, 15)}
		x.write()
	}
	return nil
}

// trySheet is one such sheet while it is written.
type trySheet struct {
	fitSeries
	liveSheet
	o        Options
	n        int                   // of the sheet, for names
	show     func(float64) float64 // a reading in the reader's unit
	readUnit string
	base     string // unit of doses with their basis
}

// The columns of the curve's table and its first row.
const tryFirst, tryDose, tryFit, tryLow, tryHigh, trySure = 5, 6, 7, 8, 9, 10

func (x *trySheet) write() {
	x.show, x.readUnit = x.o.shown(x.Response)
	x.base = "mg/L"
	if x.Chemical.Basis != quantity.NotStated {
		x.base += " " + string(x.Chemical.Basis)
	}
	x.table()
	dose, fit := x.dose()
	x.given()
	x.row = x.chart(x.row+1, dose, fit)
	x.end(3, "CAUTION: a jar test speaks for the water it was run on. Keep to the safety data sheet, local codes and licensed practice.")
	x.Print(x.Block(1, 1, x.row, 4)) // the curve's table is for the screen
}

// table puts the curve beside the dose.
func (x *trySheet) table() {
	x.Put(tryFirst-2, tryDose, book.Cell{Kind: book.Section, Value: "Fitted curve, as the program gave it", Span: 5})
	x.row = tryFirst - 1
	x.heads(tryDose, "Dose (mg/L)", bracketed("Fit", x.readUnit), bracketed("Low", x.readUnit), bracketed("High", x.readUnit),
		"Confidence that the curve meets the target (%)")
	for i, p := range x.Curve {
		x.Put(tryFirst+i, tryDose, book.Num(float64(p.Dose), "0.00"))
		for k, v := range [...]float64{p.Fit, p.Low, p.High} {
			x.Put(tryFirst+i, tryFit+k, book.Num(x.show(v), book.Digits(x.show(v), 4)))
		}
		x.Put(tryFirst+i, trySure, book.Num(x.Confidence(p.Dose).In("%"), "0.0"))
	}
}

// last is the row of the curve's last point.
func (x *trySheet) last() int { return tryFirst + len(x.Curve) - 1 }

// block is a column of the curve's table.
func (x *trySheet) block(col int) book.Range { return x.Block(tryFirst, col, x.last(), col) }

// named writes a line whose cell has a name of this sheet, and gives that.
func (x *trySheet) named(what, label string, c book.Cell, unit string) string {
	name := fmt.Sprintf("%s_%d", what, x.n)
	x.line(label, c, unit, name)
	return name
}

// dose writes the dose to try and what follows from it, and gives the cells of the
// dose and of the reading to expect.
func (x *trySheet) dose() (dose, fit book.Range) {
	d := tried(x.Result)
	at := place(x.Result, d)
	x.row = tryFirst - 1
	x.section("A dose")
	lo, hi := float64(x.Curve[0].Dose), float64(x.Curve[len(x.Curve)-1].Dose)
	dose = x.At(x.row, 2)
	x.Number(dose, lo, hi, "Dose to try", x.o.Say("mg/L, within the tested range of %s to %s.", unitless(x.d.Fig("tested.low")),
		unitless(x.d.Fig("tested.high"))))
	dn := x.named("Try_dose", "Dose to try", inputTo(float64(d)), x.base)
	doses := x.block(tryDose).Ref()
	in := x.named("Try_point", "Point of the curve before it",
		book.Calc(fmt.Sprintf("MAX(1,MIN(MATCH(%s,%s,1),%d))", dn, doses, len(x.Curve)-1), float64(at+1), "0"), "")
	p, q := x.Curve[at], x.Curve[at+1]
	share := float64((d - p.Dose) / (q.Dose - p.Dose))
	sn := x.named("Try_share", "Share of the way to the next",
		book.Calc(fmt.Sprintf("(%[1]s-INDEX(%[3]s,%[2]s))/(INDEX(%[3]s,%[2]s+1)-INDEX(%[3]s,%[2]s))", dn, in, doses), share, "0.000"), "")
	line := func(col int, a, b float64, kind book.Kind, format string) book.Cell {
		return book.Cell{Kind: kind, Format: format, Value: a + share*(b-a),
			Formula: fmt.Sprintf("INDEX(%[1]s,%[2]s)+%[3]s*(INDEX(%[1]s,%[2]s+1)-INDEX(%[1]s,%[2]s))", x.block(col).Ref(), in, sn)}
	}
	reading := func(col int, a, b float64, kind book.Kind) book.Cell {
		return line(col, x.show(a), x.show(b), kind, book.Digits(x.show(a), 3))
	}
	fit = x.line(upperFirst(x.Response.Info().Label)+" to expect", reading(tryFit, p.Fit, q.Fit, book.Result), x.readUnit, "")
	x.line("19 curves in 20 lie above", reading(tryLow, p.Low, q.Low, book.Worked), x.readUnit, "")
	x.line("19 curves in 20 lie below", reading(tryHigh, p.High, q.High, book.Worked), x.readUnit, "")
	sureCell := line(trySure, x.Confidence(p.Dose).In("%"), x.Confidence(q.Dose).In("%"), book.Result, "0")
	sure := x.line("Confidence that the curve meets every target", sureCell, "%", "").Row
	asked := x.Asked().In("%")
	formula := `IF(OR(%[1]s<%.17[3]g,%[1]s>%.17[4]g),"outside the tested range",IF(ROUND(B%[2]d,6)>=%.17[5]g,"safe side",` +
		`IF(ROUND(B%[2]d,6)>=50,"as likely as not, or better","more likely to fail")))`
	x.line("Verdict", book.Calc(fmt.Sprintf(formula, dn, sure, lo, hi, asked), verdict(sureCell.Value.(float64), asked), ""), "", "")
	return dose, fit
}

// given repeats what the program answered.
func (x *trySheet) given() {
	x.row++
	x.section("As the program gave it")
	for _, l := range [...]struct{ label, path, unit string }{
		{"Planning dose", "planning_dose.value", x.base},
		{"Lowest effective dose", "lowest_effective_dose.value", x.base},
		{"  low end, 90 % interval", "lowest_effective_dose.low", "mg/L"},
		{"  high end, 90 % interval", "lowest_effective_dose.high", "mg/L"},
		{"Confidence at the planning dose", "planning_dose.confidence", "%"},
		{"Chance that one further jar there passes", "planning_dose.chance_next_jar", "%"},
	} {
		if f := x.d.Fig(l.path); f.Known() {
			v, _ := f.Q.Show(x.o.Units)
			x.line(l.label, book.Num(v, format(f, v)), l.unit, "")
		}
	}
	if x.Outcome != curve.Found {
		x.line("Answer", book.T(book.Value, "%s", outcomeWords(x.Outcome)), "", "")
	}
	if len(x.Targets) > 0 {
		x.Put(x.row, 1, book.T(book.Label, "Target"))
		x.Put(x.row, 2, book.Cell{Kind: book.Value, Value: x.o.Show(targetsPhrase(x.Targets)), Span: 3})
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

// verdict is the word for a chance where another is asked for, both in per cent.
func verdict(sure, asked float64) string {
	switch {
	case sure >= asked-5e-7:
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
	panel := x.panel(x.o)
	frame := panel.Frame()
	c := book.Chart{Title: seriesName(x.Series, x.Place), Alt: x.words(x.o), XName: panel.X.Label(), YName: panel.Y.Label(),
		XMin: &frame.X0, XMax: &frame.X1, YMin: &frame.Y0, YMax: &frame.Y1}
	c.Series = append(c.Series,
		book.Series{Name: "fitted curve", X: x.block(tryDose), Y: x.block(tryFit)},
		book.Series{Name: "90 % of the curves", X: x.block(tryDose), Y: x.block(tryLow), Tone: draw.Doubt, Thin: true},
		book.Series{X: x.block(tryDose), Y: x.block(tryHigh), Tone: draw.Doubt, Thin: true})
	// Jars and target stand below the curve's table.
	at := x.last() + 2
	x.Put(at, tryDose, book.Cell{Kind: book.Section, Value: "Jars, and the target", Span: 5})
	x.row = at + 1
	x.heads(tryDose, "Dose (mg/L)", bracketed(upperFirst(x.Response.Info().Label), x.readUnit), "Target", "What")
	at = x.row
	written := func(v float64) book.Cell { return book.Num(v, format(figure.Written("", v, ""), v)) }
	var jars []book.Series
	for _, l := range panel.Layers {
		p, ok := l.(draw.Points)
		if !ok || len(p.At) == 0 {
			continue
		}
		from := at
		for _, pt := range p.At {
			x.Put(at, tryDose, written(pt.X))
			x.Put(at, tryFit, written(pt.Y))
			x.Put(at, tryHigh, book.Cell{Kind: book.Value, Value: p.Name})
			at++
		}
		jars = append(jars, book.Series{Name: p.Name, X: x.Block(from, tryDose, at-1, tryDose), Y: x.Block(from, tryFit, at-1, tryFit),
			Mark: book.Dots, Shape: p.Shape, Tone: p.Tone})
	}
	if level := targetLevel(x.Result); level != nil {
		for i, end := range [...]float64{frame.X0, frame.X1} {
			x.Put(at+i, tryDose, book.Num(end, "0.00"))
			x.Put(at+i, tryLow, written(x.show(*level)))
		}
		c.Series = append(c.Series, book.Series{Name: "target", X: x.Block(at, tryDose, at+1, tryDose), Y: x.Block(at, tryLow, at+1, tryLow),
			Tone: draw.Limit, Stroke: draw.Dashed})
	}
	c.Series = append(append(c.Series, jars...), book.Series{Name: "dose tried", X: dose, Y: fit, Mark: book.Dots, Shape: draw.Diamond,
		Tone: draw.Doubt})
	x.Chart(row, 1, 560, 320, c)
	return row + 18
}
