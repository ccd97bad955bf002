package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// Live adds a sheet on which flow, hours, doses, strengths and stocks may be
// changed, and what the day uses and the pumps feed follows.
func (p Plan) Live(b *book.Book, o Options) error {
	s := b.Sheet("Change it")
	s.Protect()
	s.Widths(34, 12, 16, 16, 16, 16, 16, 16)
	s.Put(1, 1, book.T(book.Title, "Change an input, see the day"))
	s.Put(2, 1, book.Cell{Kind: book.Muted, Span: 2 + max(len(p.Feeds), 3), Value: "Pale cells with a dark border may be changed; all else follows. Cautions, batches and times stand as they were for the inputs at writing."})
	l := &planSheet{s: s, b: b, p: p, row: 4, u: p.sheetUnits(o.Units)}
	l.water()
	l.feeds()
	return nil
}

// planSheet writes the live sheet of a plan.
type planSheet struct {
	s   *book.Sheet
	b   *book.Book
	p   Plan
	row int
	u   planUnits
	// first and last row of inputs and of results, for the check below them
	results []resultRow
}

type resultRow struct {
	row  int
	name string
}

func (l *planSheet) head(text string) {
	l.s.Put(l.row, 1, book.Cell{Kind: book.Section, Value: text, Span: 2 + max(len(l.p.Feeds), 3)})
	l.row++
}

// water writes the inputs that all feeds share.
func (l *planSheet) water() {
	l.head("The water")
	flow, unit := l.p.Day.Average().In(l.u.flow), l.u.flow
	l.s.Put(l.row, 1, book.T(book.Label, "Average flow while the unit runs"))
	l.s.Put(l.row, 2, book.T(book.Unit, "%s", unit))
	l.s.Put(l.row, 3, book.In(flow, book.Digits(flow, 4)))
	l.s.Number(l.s.At(l.row, 3), 0, 1e7, "Flow", "Flow to be treated, in "+unit+".")
	name := "Flow_" + slugUnit(unit)
	if l.u.again {
		l.b.Name("Flow_shown", l.s.At(l.row, 3))
	} else {
		l.b.Name(name, l.s.At(l.row, 3))
	}
	l.row++
	l.s.Put(l.row, 1, book.T(book.Label, "Hours run a day"))
	l.s.Put(l.row, 2, book.T(book.Unit, "h"))
	l.s.Put(l.row, 3, book.In(float64(l.p.Running), "0.0"))
	l.s.Number(l.s.At(l.row, 3), 0, 24, "Hours", "Hours that the unit runs, 0 to 24.")
	l.b.Name("Hours_run", l.s.At(l.row, 3))
	l.row++
	if l.u.again {
		l.s.Put(l.row, 1, book.T(book.Label, "Flow in %s", unit))
		l.s.Put(l.row, 2, book.T(book.Unit, "%s", unit))
		l.s.Put(l.row, 3, book.Calc("Flow_shown*1", flow, book.Digits(flow, 4)))
		l.b.Name(name, l.s.At(l.row, 3))
		l.row++
	}
	l.row++
}

// line writes one row: a name, a unit, and a cell for each feed.
func (l *planSheet) line(name, unit string, cell func(i int, f dosing.Feed, col string) (book.Cell, bool)) int {
	row := l.row
	l.s.Put(row, 1, book.T(book.Label, "%s", name))
	l.s.Put(row, 2, book.T(book.Unit, "%s", unit))
	for i, f := range l.p.Feeds {
		if c, ok := cell(i, f, column(3+i)); ok {
			l.s.Put(row, 3+i, c)
		} else {
			l.s.Put(row, 3+i, book.Cell{Kind: book.Muted, Value: "–", Center: true})
		}
	}
	l.row++
	return row
}

// column names a column by letters.
func column(n int) string {
	s := ""
	for ; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

func (l *planSheet) feeds() {
	l.head("Each chemical")
	l.s.Put(l.row, 1, book.T(book.Head, ""))
	l.s.Put(l.row, 2, book.T(book.Head, "Unit"))
	for i, f := range l.p.Feeds {
		l.s.Put(l.row, 3+i, book.T(book.Head, "%s", f.Name))
	}
	l.row++
	u := l.u
	dose := l.line("Dose", "mg/L", func(i int, f dosing.Feed, _ string) (book.Cell, bool) {
		return book.In(float64(f.Dose.Concentration), book.Digits(float64(f.Dose.Concentration), 4)), true
	})
	l.nameEach("Dose_mg_L", dose)
	l.line("The dose counts", "", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		return book.Cell{Kind: book.Value, Value: strings.TrimPrefix(f.Dose.Basis.String(), "as ")}, true
	})
	share := l.line("Content of that in the product", "%", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		v := 100.0
		if f.Dose.Basis != quantity.AsProduct && f.AsProduct.Concentration > 0 {
			v = 100 * float64(f.Dose.Concentration/f.AsProduct.Concentration)
		}
		k := book.Input
		if f.Dose.Basis == quantity.AsProduct {
			k = book.Value
		}
		return book.Cell{Kind: k, Value: v, Format: book.Digits(v, 4)}, true
	})
	density := l.line("Mass of a "+u.vessel+" of product", u.density, func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		d := f.Stock.Product.Density.V.In(u.density)
		return book.In(d, "0.000"), f.HasVolume && d > 0
	})
	stock := l.line("Product in a "+u.vessel+" of stock", u.stock, func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		v := u.strength(f.PerLitre)
		return book.In(v, book.Digits(v, 4)), f.Fed
	})
	zero := l.line("Pump: feed at setting 0", "mL/min", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		a, _, ok := pumpLine(f)
		return book.In(a, "0.000"), ok
	})
	slope := l.line("Pump: feed for each 1 % of setting", "mL/min", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		_, v, ok := pumpLine(f)
		return book.In(v, book.Digits(v, 4)), ok
	})
	usable := l.line("Usable in the tank", u.liquid, func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		if f.Tank == nil || !f.Fed {
			return book.Cell{}, false
		}
		v := f.Tank.Holds().In(u.liquid)
		return book.In(v, book.Digits(v, 3)), true
	})
	l.row++
	l.head("What follows")
	at := func(col string, row int) string { return fmt.Sprintf("%s%d", col, row) }
	product := l.result("Dose as product", "mg/L", false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, dose) + "/(" + at(c, share) + "/100)", float64(f.AsProduct.Concentration), true
	})
	water := "*Flow_" + slugUnit(u.flow)
	use := l.result("Product a day", u.mass+"/d", true, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + water + "*Hours_run" + u.content, f.Product.In(u.mass + "/d"), true
	})
	l.nameEach("Product_a_day", use)
	l.result("as liquid", u.liquid+"/d", false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + water + "*Hours_run" + u.content + "/" + at(c, density), f.Volume.In(u.liquid), f.HasVolume
	})
	l.result("Stock a day", u.liquid+"/d", false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + water + "*Hours_run" + u.inStock + "/" + at(c, stock), f.StockUse.In(u.liquid), f.Fed
	})
	rate := l.result("FEED RATE", "mL/min", true, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + water + "/" + at(c, stock) + u.feed, float64(f.Rate), f.Fed
	})
	l.nameEach("Feed_mL_min", rate)
	setting := l.result("PUMP SETTING", "%", true, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		a, m, ok := pumpLine(f)
		return "(" + at(c, rate) + "-" + at(c, zero) + ")/" + at(c, slope), (float64(f.Rate) - a) / m, ok
	})
	l.line("", "", func(_ int, f dosing.Feed, c string) (book.Cell, bool) {
		a, m, ok := pumpLine(f)
		if !ok {
			return book.Cell{}, false
		}
		word := "in range"
		if v := (float64(f.Rate) - a) / m; v > 100 {
			word = "PUMP TOO SMALL"
		} else if v < 0 {
			word = "BELOW THE PUMP'S RANGE"
		}
		return book.Calc(fmt.Sprintf(`IF(%[1]s>100,"PUMP TOO SMALL",IF(%[1]s<0,"BELOW THE PUMP'S RANGE","in range"))`, at(c, setting)), word, ""), true
	})
	l.result("A full tank lasts", "h", false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		if f.Tank == nil || !f.Fed || f.Rate <= 0 {
			return "", 0, false
		}
		return at(c, usable) + u.mL + "/60/" + at(c, rate), float64(f.Tank.Holds()) * 1000 / 60 / float64(f.Rate), true
	})
	l.check()
	last := l.s.Legend(l.row+1, 1, 1+max(len(l.p.Feeds), 3))
	l.s.Put(last+1, 1, book.Cell{Kind: book.Caution, Span: 2 + max(len(l.p.Feeds), 3), Value: "CAUTION: a changed dose has not been checked against animals, alkalinity, residuals or the pump's other limits. Run the program again on the changed site before using it."})
}

// planUnits are the units of the sheet and what its formulas need to work on them.
type planUnits struct {
	flow, mass, liquid, density string
	vessel                      string // in words, what holds one of the liquid
	stock                       string // of the product in it
	// again repeats the flow for formulas.
	again bool
	// content makes a day's mass from mg/L in the flow's water of an hour, and inStock
	// the same in the mass in which stocks are weighed; feed makes mL/min from mg/L in
	// the flow over a stock, and mL makes them of the liquid.
	content, inStock, feed, mL string
}

// sheetUnits are those of the reader. One unit serves the stocks of all feeds:
// pounds in a gallon, or ounces where one of them holds less than a pound.
func (p Plan) sheetUnits(s quantity.System) planUnits {
	if s == quantity.Metric {
		return planUnits{"m3/h", "kg", "L", "kg/L", "litre", "g/L", true, "/1000", "", "*1000/60", "*1000"}
	}
	pound := quantity.RoundSig(1/quantity.Concentration(1).In("lb/gal"), 15) // mg/L
	mL := fmt.Sprintf("*%.15g", gallon*1000)
	u := planUnits{"gpm", "lb", "gal", "lb/gal", "gallon", "lb/gal", false, fmt.Sprintf("*60/%.15g", pound), "", "", mL}
	for _, f := range p.Feeds {
		if f.Fed && f.PerLitre.In("lb/gal") < 1 {
			u.stock, pound = "oz/gal", quantity.RoundSig(pound/16, 15)
			break
		}
	}
	u.inStock, u.feed = fmt.Sprintf("*60/%.15g", pound), fmt.Sprintf("/%.15g", pound)+mL
	return u
}

// strength is the product in one of the liquid, in the sheet's unit.
func (u planUnits) strength(c quantity.Concentration) float64 {
	if u.stock == "oz/gal" {
		return c.In("lb/gal") * 16
	}
	return c.In(u.stock)
}

// nameEach gives the cells of a row names that end in the feed's number.
func (l *planSheet) nameEach(name string, row int) {
	for i := range l.p.Feeds {
		l.b.Name(fmt.Sprintf("%s_%d", name, i+1), l.s.At(row, 3+i))
	}
}

// result writes a row of formulas.
func (l *planSheet) result(name, unit string, answer bool, formula func(i int, f dosing.Feed, col string) (string, float64, bool)) int {
	row := l.line(name, unit, func(i int, f dosing.Feed, col string) (book.Cell, bool) {
		x, v, ok := formula(i, f, col)
		k := book.Worked
		if answer {
			k = book.Result
		}
		return book.Cell{Kind: k, Formula: x, Value: v, Format: book.Digits(v, 4)}, ok
	})
	l.results = append(l.results, resultRow{row, name})
	return row
}

// check says whether the sheet still stands as the plan was written.
func (l *planSheet) check() {
	l.row++
	l.head("As the plan was written")
	for _, r := range l.results {
		switch r.name {
		case "Product a day", "FEED RATE", "PUMP SETTING":
		default:
			continue
		}
		first := l.row
		l.line(r.name, "", func(i int, f dosing.Feed, col string) (book.Cell, bool) {
			v, ok := l.delivered(r.name, f)
			return book.Cell{Kind: book.Value, Value: v, Format: book.Digits(v, 4)}, ok
		})
		l.line("changed since?", "", func(i int, f dosing.Feed, col string) (book.Cell, bool) {
			_, ok := l.delivered(r.name, f)
			return book.Calc(fmt.Sprintf(`IF(ABS(%[1]s%[2]d-%[1]s%[3]d)<=0.000001*ABS(%[1]s%[3]d),"as written","CHANGED")`, col, r.row, first), "as written", ""), ok
		})
		l.s.Flag(l.s.Block(first+1, 3, first+1, 2+len(l.p.Feeds)), fmt.Sprintf(`C%d="CHANGED"`, first+1), book.Stop)
	}
}

// delivered is the program's own figure for a row.
func (l *planSheet) delivered(name string, f dosing.Feed) (float64, bool) {
	switch name {
	case "Product a day":
		return f.Product.In(l.u.mass + "/d"), true
	case "FEED RATE":
		return float64(f.Rate), f.Fed
	default:
		a, m, ok := pumpLine(f)
		if !ok {
			return 0, false
		}
		return (float64(f.Rate) - a) / m, true
	}
}

// pumpLine gives feed at setting 0 and for each per cent, where the pump's
// calibration is one straight line.
func pumpLine(f dosing.Feed) (zero, slope float64, ok bool) {
	if f.Pump == nil || !f.Fed || f.Pump.Calibration.TwoKnobs() {
		return 0, 0, false
	}
	a, b, ok := f.Pump.Calibration.Line()
	return float64(a), float64(b), ok && b > 0
}
