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
	l := &planSheet{s: s, b: b, o: o, p: p, row: 4}
	l.water()
	l.feeds()
	return nil
}

// planSheet writes the live sheet of a plan.
type planSheet struct {
	s   *book.Sheet
	b   *book.Book
	o   Options
	p   Plan
	row int
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
	flow, unit := l.p.Day.Average().Show(l.o.Units)
	l.s.Put(l.row, 1, book.T(book.Label, "Average flow while the unit runs"))
	l.s.Put(l.row, 2, book.T(book.Unit, "%s", unit))
	l.s.Put(l.row, 3, book.In(flow, book.Digits(flow, 4)))
	l.s.Number(l.s.At(l.row, 3), 0, 1e7, "Flow", "Flow to be treated, in "+unit+".")
	l.b.Name("Flow_shown", l.s.At(l.row, 3))
	l.row++
	l.s.Put(l.row, 1, book.T(book.Label, "Hours run a day"))
	l.s.Put(l.row, 2, book.T(book.Unit, "h"))
	l.s.Put(l.row, 3, book.In(float64(l.p.Running), "0.0"))
	l.s.Number(l.s.At(l.row, 3), 0, 24, "Hours", "Hours that the unit runs, 0 to 24.")
	l.b.Name("Hours_run", l.s.At(l.row, 3))
	l.row++
	l.s.Put(l.row, 1, book.T(book.Label, "Flow in m3/h"))
	l.s.Put(l.row, 2, book.T(book.Unit, "m3/h"))
	perUnit := 1.0
	if flow != 0 {
		perUnit = float64(l.p.Day.Average()) / flow
	}
	l.s.Put(l.row, 3, book.Calc(fmt.Sprintf("Flow_shown*%.17g", perUnit), flow*perUnit, book.Digits(flow*perUnit, 4)))
	l.b.Name("Flow_m3_h", l.s.At(l.row, 3))
	l.row += 2
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
	us := l.o.Units == quantity.US
	mass, liquid, tank := unitFactor{"kg/d", 1}, unitFactor{"L/d", 1}, unitFactor{"L", 1}
	if us {
		mass = unitFactor{"lb/d", 1 / float64(quantity.MassRate(1).In("lb/d"))}
		liquid = unitFactor{"gal/d", 1 / quantity.Volume(1).In("gal")}
		tank = unitFactor{"gal", liquid.factor}
	}
	per := func(u unitFactor) string {
		if u.factor == 1 {
			return ""
		}
		return fmt.Sprintf("/%.17g", u.factor)
	}

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
	density := l.line("Mass of a litre of product", "kg/L", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		d := float64(f.Stock.Product.Density.V)
		return book.In(d, "0.000"), f.HasVolume && d > 0
	})
	stock := l.line("Product in a litre of stock", "g/L", func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		v := f.PerLitre.In("g/L")
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
	usable := l.line("Usable in the tank", tank.name, func(_ int, f dosing.Feed, _ string) (book.Cell, bool) {
		if f.Tank == nil || !f.Fed {
			return book.Cell{}, false
		}
		v := float64(f.Tank.Holds()) / tank.factor
		return book.In(v, book.Digits(v, 3)), true
	})
	l.row++
	l.head("What follows")
	at := func(col string, row int) string { return fmt.Sprintf("%s%d", col, row) }
	product := l.result("Dose as product", "mg/L", false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, dose) + "/(" + at(c, share) + "/100)", float64(f.AsProduct.Concentration), true
	})
	use := l.result("Product a day", mass.name, true, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + "*Flow_m3_h*Hours_run/1000" + per(mass), float64(f.Product) / mass.factor, true
	})
	l.nameEach("Product_a_day", use)
	l.result("as liquid", liquid.name, false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + "*Flow_m3_h*Hours_run/1000/" + at(c, density) + per(liquid), float64(f.Volume) / liquid.factor, f.HasVolume
	})
	l.result("Stock a day", liquid.name, false, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + "*Flow_m3_h*Hours_run/" + at(c, stock) + per(liquid), float64(f.StockUse) / liquid.factor, f.Fed
	})
	rate := l.result("FEED RATE", "mL/min", true, func(_ int, f dosing.Feed, c string) (string, float64, bool) {
		return at(c, product) + "*Flow_m3_h/" + at(c, stock) + "*1000/60", float64(f.Rate), f.Fed
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
		factor := ""
		if tank.factor != 1 {
			factor = fmt.Sprintf("*%.17g", tank.factor)
		}
		return at(c, usable) + factor + "*1000/60/" + at(c, rate), float64(f.Tank.Holds()) * 1000 / 60 / float64(f.Rate), true
	})
	l.check()
	last := l.s.Legend(l.row+1, 1, 1+max(len(l.p.Feeds), 3))
	l.s.Put(last+1, 1, book.Cell{Kind: book.Caution, Span: 2 + max(len(l.p.Feeds), 3), Value: "CAUTION: a changed dose has not been checked against animals, alkalinity, residuals or the pump's other limits. Run the program again on the changed site before using it."})
}

// unitFactor is a unit and how many working units are in one of it.
type unitFactor struct {
	name   string
	factor float64
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
		if l.o.Units == quantity.US { // the row's unit, whatever the size
			return f.Product.In("lb/d"), true
		}
		return float64(f.Product), true
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
