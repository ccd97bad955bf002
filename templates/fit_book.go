package templates

import (
	"fmt"
	"strings"

	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/draw"
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
		trySheet(b, o, r, n)
	}
	return nil
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

func trySheet(b *book.Book, o Options, r curve.Result, n int) {
	s := b.Sheet("Try " + seriesName(r.Series, r.Place))
	s.Protect()
	s.Widths(30, 13, 14, 26, 4, 13, 13, 13, 13, 15)
	info := r.Response.Info()
	s.Put(1, 1, book.Cell{Kind: book.Title, Value: "Try a dose: " + seriesName(r.Series, r.Place)})
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: 4, Value: "Change the dose in the pale cell. What follows lies on straight lines between the points of the fitted curve (right); the curve itself is a value at writing and needs the program to change."})

	// The curve, from column F on.
	const first, colDose, colFit, colLow, colHigh, colSure = 5, 6, 7, 8, 9, 10
	s.Put(3, colDose, book.Cell{Kind: book.Section, Value: "Fitted curve, as the program gave it", Span: 5})
	unit := ""
	if info.Unit != "" {
		unit = " (" + info.Unit + ")"
	}
	for i, h := range []string{"Dose (mg/L)", "Fit" + unit, "Low" + unit, "High" + unit, "Chance to meet the target (%)"} {
		s.Put(first-1, colDose+i, book.Cell{Kind: book.Head, Value: h})
	}
	last := first + len(r.Curve) - 1
	for i, p := range r.Curve {
		row := first + i
		s.Put(row, colDose, book.Num(float64(p.Dose), "0.00"))
		s.Put(row, colFit, book.Num(p.Fit, book.Digits(p.Fit, 4)))
		s.Put(row, colLow, book.Num(p.Low, book.Digits(p.Low, 4)))
		s.Put(row, colHigh, book.Num(p.High, book.Digits(p.High, 4)))
		s.Put(row, colSure, book.Num(r.Confidence(p.Dose).In("%"), "0.0"))
	}
	ref := func(col int) string { return s.Block(first, col, last, col).Ref() }

	d := tried(r)
	at := place(r, d)
	unitDose := "mg/L"
	if r.Chemical.Basis != quantity.NotStated {
		unitDose += " " + string(r.Chemical.Basis)
	}
	s.Put(first-1, 1, book.Cell{Kind: book.Section, Value: "A dose", Span: 4})
	row := first
	put := func(name string, c book.Cell, unit string) int {
		s.Put(row, 1, book.T(book.Label, "%s", name))
		s.Put(row, 2, c)
		s.Put(row, 3, book.Cell{Kind: book.Unit, Value: unit, Span: 2})
		row++
		return row - 1
	}
	dose := put("Dose to try", book.In(float64(d), book.Digits(float64(d), 4)), unitDose)
	name := func(what string, row int) string {
		x := fmt.Sprintf("%s_%d", what, n)
		b.Name(x, s.At(row, 2))
		return x
	}
	dn := name("Try_dose", dose)
	lo, hi := float64(r.Curve[0].Dose), float64(r.Curve[len(r.Curve)-1].Dose)
	s.Number(s.At(dose, 2), lo, hi, "Dose to try", fmt.Sprintf("mg/L, within the tested range of %s to %s.", o.Number(lo, 3), o.Number(hi, 3)))
	idx := put("Point of the curve before it", book.Calc(fmt.Sprintf("MAX(1,MIN(MATCH(%s,%s,1),%d))", dn, ref(colDose), len(r.Curve)-1), float64(at+1), "0"), "")
	in := name("Try_point", idx)
	x0, x1 := float64(r.Curve[at].Dose), float64(r.Curve[at+1].Dose)
	share := (float64(d) - x0) / (x1 - x0)
	sh := put("Share of the way to the next", book.Calc(fmt.Sprintf("(%[1]s-INDEX(%[3]s,%[2]s))/(INDEX(%[3]s,%[2]s+1)-INDEX(%[3]s,%[2]s))", dn, in, ref(colDose)), share, "0.000"), "")
	sn := name("Try_share", sh)
	between := func(a, b float64) float64 { return a + share*(b-a) }
	line := func(col int, a, b float64, kind book.Kind, format string) book.Cell {
		return book.Cell{Kind: kind, Format: format, Value: between(a, b),
			Formula: fmt.Sprintf("INDEX(%[1]s,%[2]s)+%[3]s*(INDEX(%[1]s,%[2]s+1)-INDEX(%[1]s,%[2]s))", ref(col), in, sn)}
	}
	p, q := r.Curve[at], r.Curve[at+1]
	fit := put(upperFirst(info.Label)+" to expect", line(colFit, p.Fit, q.Fit, book.Result, book.Digits(p.Fit, 3)), info.Unit)
	put("9 curves in 10 lie above", line(colLow, p.Low, q.Low, book.Worked, book.Digits(p.Low, 3)), info.Unit)
	put("9 curves in 10 lie below", line(colHigh, p.High, q.High, book.Worked, book.Digits(p.High, 3)), info.Unit)
	sureA, sureB := r.Confidence(p.Dose).In("%"), r.Confidence(q.Dose).In("%")
	sure := put("Chance to meet every target", line(colSure, sureA, sureB, book.Result, "0"), "%")
	word := verdict(between(sureA, sureB))
	put("Verdict", book.Calc(fmt.Sprintf(`IF(OR(%[1]s<%.17[3]g,%[1]s>%.17[4]g),"outside the tested range",IF(ROUND(B%[2]d,6)>=90,"safe side",IF(ROUND(B%[2]d,6)>=50,"as likely as not, or better","more likely to fail")))`, dn, sure, lo, hi), word, ""), "")
	row++
	s.Put(row, 1, book.Cell{Kind: book.Section, Value: "As the program gave it", Span: 4})
	row++
	if r.HasPlanning {
		put("Planning dose", book.Num(float64(r.Planning.Concentration), "0.00"), unitDose)
	}
	if r.Outcome == curve.Found {
		put("Lowest effective dose", book.Num(float64(r.Effective.Value), "0.00"), unitDose)
		if r.Effective.HasLow {
			put("  low end, 90 % interval", book.Num(float64(r.Effective.Low), "0.00"), "mg/L")
		}
		if r.Effective.HasHigh {
			put("  high end, 90 % interval", book.Num(float64(r.Effective.High), "0.00"), "mg/L")
		}
	} else {
		put("Answer", book.T(book.Value, "%s", outcomeWords(r.Outcome)), "")
	}
	if len(r.Targets) > 0 {
		s.Put(row, 1, book.T(book.Label, "Target"))
		s.Put(row, 2, book.Cell{Kind: book.Value, Value: targetsText(r), Span: 3})
		row++
	}
	row = tryChart(b, s, r, o, row+1, s.At(dose, 2), s.At(fit, 2), first, last)
	row = s.Legend(row+1, 1, 3)
	s.Put(row+1, 1, book.Cell{Kind: book.Caution, Span: 4, Value: "CAUTION: a jar test speaks for the water it was run on. Keep to the safety data sheet, local codes and licensed practice."})
	s.Print(s.Block(1, 1, row+1, 4)) // the curve's table is for the screen
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

// tryChart draws curve, jars, target and the tried dose, all from cells.
func tryChart(b *book.Book, s *book.Sheet, r curve.Result, o Options, row int, dose, fit book.Range, first, last int) int {
	info := r.Response.Info()
	panel := fitPanel(r, o)
	frame := panel.Frame()
	c := book.Chart{Title: seriesName(r.Series, r.Place), Alt: fitWords(r, o), XName: panel.X.Label(), YName: panel.Y.Label(), XMin: &frame.X0, XMax: &frame.X1, YMin: &frame.Y0, YMax: &frame.Y1}
	col := func(n int) book.Range { return s.Block(first, n, last, n) }
	c.Series = append(c.Series,
		book.Series{Name: "fitted curve", X: col(6), Y: col(7)},
		book.Series{Name: "90 % of the curves", X: col(6), Y: col(8), Stroke: draw.Dashed, Thin: true},
		book.Series{X: col(6), Y: col(9), Stroke: draw.Dashed, Thin: true})
	// Jars and target stand below the curve's table.
	at := last + 2
	s.Put(at, 6, book.Cell{Kind: book.Section, Value: "Jars, and the target", Span: 5})
	for i, h := range []string{"Dose (mg/L)", strings.TrimSpace(upperFirst(info.Label) + " " + info.Unit), "Target", "What"} {
		s.Put(at+1, 6+i, book.Cell{Kind: book.Head, Value: h})
	}
	at += 2
	groups := map[string][2]int{}
	order := []struct {
		name string
		at   []draw.Point
	}{}
	for _, l := range panel.Layers {
		if p, ok := l.(draw.Points); ok {
			order = append(order, struct {
				name string
				at   []draw.Point
			}{p.Name, p.At})
		}
	}
	level := targetLevel(r)
	for _, g := range order {
		from := at
		for _, p := range g.at {
			s.Put(at, 6, book.Num(p.X, "0.00"))
			s.Put(at, 7, book.Num(p.Y, book.Digits(p.Y, 4)))
			s.Put(at, 9, book.Cell{Kind: book.Value, Value: g.name})
			at++
		}
		if at > from {
			groups[g.name] = [2]int{from, at - 1}
		}
	}
	if level != nil {
		s.Put(at, 6, book.Num(frame.X0, "0.00"))
		s.Put(at, 8, book.Num(*level, book.Digits(*level, 4)))
		s.Put(at+1, 6, book.Num(frame.X1, "0.00"))
		s.Put(at+1, 8, book.Num(*level, book.Digits(*level, 4)))
		c.Series = append(c.Series, book.Series{Name: "target", X: s.Block(at, 6, at+1, 6), Y: s.Block(at, 8, at+1, 8), Tone: draw.Rust, Stroke: draw.Dashed})
	}
	for i, g := range order {
		if span, ok := groups[g.name]; ok {
			series := book.Series{Name: g.name, X: s.Block(span[0], 6, span[1], 6), Y: s.Block(span[0], 7, span[1], 7), Mark: book.Dots}
			if i > 0 {
				series.Shape, series.Tone = draw.Cross, draw.Grey
			}
			c.Series = append(c.Series, series)
		}
	}
	c.Series = append(c.Series, book.Series{Name: "dose tried", X: dose, Y: fit, Mark: book.Dots, Shape: draw.Diamond, Tone: draw.Plum})
	s.Chart(row, 1, 560, 320, c)
	return row + 18
}
