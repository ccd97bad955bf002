package book

import (
	"fmt"
	"strings"
	"time"

	"jarwright/dosing/formula"
	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// budgetBook is the workbook of a month's budget being described. Each figure is
// a formula on the inputs, written in the order in which the plan is worked:
// inputs, days, stores, deliveries, summary. The value stored beside a formula is
// the plan's own, so that a check by a spreadsheet program compares the two.
type budgetBook struct {
	*Book
	m       month.Budget
	units   quantity.System
	u       budgetUnits
	n       int      // days of the month
	slugs   []string // of the chemicals, for names
	labels  []Range  // their names on the sheet Inputs
	summary *Sheet
	inputs  *Sheet
	days    *Sheet
	stores  []*Sheet
	orders  *Sheet
	spread  *Sheet
	remarks *Sheet
	yesNo   Range
	// cells that other sheets point to
	classNames, shares      Range
	removed, yield          Range // by class
	removedMix, yieldMix    Range
	product                 []Range // by chemical: in the treated water, by class
	productMix              []Range
	weekOn, weekShare       Range
	weekHours, weekDelivery Range
	dayDate, dayUse         Range // whole columns of Days; dayUse is of the first chemical
	dayDelivery, dayGap     Range
	dayRules                *ruled // of the days to the next chance of a delivery, the same for every store
	dayWater                Range
	dayRemoved, dayDry      Range
	dayHours                Range
	tables                  []*ruled         // the stores
	accounts                []*formula.Sheet // of the stores, in the workbook's units
	disposal, waterPrice    Range            // by the mass of dry solids, by the bulk of water
	carried, wetPrice       Range            // by the hour, by volume or mass of wet solids
	carriers                Range            // water of all feeds by the hour
	electricity, power      Range
	costLines               Range
	rangeNames, rangeValues Range
	totalCell, perThousand  Range
}

// Budget describes the workbook of a month's budget, with inputs and all that
// follows in the units of the reader. Notes are those of the budget and any others
// to be shown.
func Budget(m month.Budget, place string, units quantity.System, notes note.List, meta Meta) *Book {
	meta.Title = "Budget for " + m.Plan.Calendar.Month.Long()
	w := &budgetBook{Book: New(meta), m: m, units: units, u: budgetUnitsOf[units], n: m.Plan.Calendar.Month.Days()}
	w.summary = w.Sheet("Summary")
	w.inputs = w.Sheet("Inputs")
	w.days = w.Sheet("Days")
	for _, a := range m.Accounts {
		w.stores = append(w.stores, w.Sheet("Store "+a.Chemical.Name))
		w.accounts = append(w.accounts, a.StoreIn(w.one()))
	}
	w.orders = w.Sheet("Deliveries")
	w.spread = w.Sheet("Range")
	w.remarks = w.Sheet("Remarks")
	w.yesNo = w.List("yes or no", []string{"yes", "no"})
	w.slugs = slugs(m)
	w.writeInputs()
	w.writeDays()
	for c := range m.Accounts {
		w.writeStore(c)
	}
	w.writeOrders()
	w.writeRange()
	w.writeSummary(place, notes)
	w.writeRemarks(notes)
	return w.Book
}

// slugs makes a part of a name of each chemical's name, none twice.
func slugs(m month.Budget) []string {
	seen := map[string]bool{}
	var out []string
	for i, a := range m.Accounts {
		s := slug(a.Chemical.Name)
		if s == "" || seen[s] {
			s = strings.TrimLeft(fmt.Sprintf("%s_%d", s, i+1), "_")
		}
		seen[s] = true
		out = append(out, s)
	}
	return out
}

func slug(name string) string {
	s := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			return r
		}
		return '_'
	}, strings.TrimSpace(name))
	return strings.Trim(s, "_")
}

func (w *budgetBook) currency() string { return w.m.Plan.Currency() }

// date gives a day as workbooks take it.
func date(d month.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

const dateFormat = "yyyy-mm-dd"

func yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// item writes a line of label, value, unit and remark, and names the value; the unit as
// [budgetBook.in] takes it.
func (w *budgetBook) item(s *Sheet, label string, value Cell, unit, remark, name string) Range {
	r := s.Row(T(Label, "%s", label), value, T(Unit, "%s", w.in(unit)))
	if remark != "" {
		s.Put(r, 4, Cell{Kind: Muted, Value: remark, Span: 3})
	}
	at := s.At(r, 2)
	if name != "" {
		w.Name(name, at)
	}
	return at
}

// heads writes a row of headings and gives its number.
func heads(s *Sheet, names ...string) int {
	var cells []Cell
	for _, n := range names {
		cells = append(cells, T(Head, "%s", n))
	}
	return s.Row(cells...)
}

// row cuts one row out of a block that is a table of one line.
func (r Range) cell(i int) Range { return Range{r.Sheet, r.Row, r.Col + i, r.Row, r.Col + i} }

// down gives the i-th cell of a column.
func (r Range) down(i int) Range { return Range{r.Sheet, r.Row + i, r.Col, r.Row + i, r.Col} }

// first gives the first k cells of a column.
func (r Range) first(k int) Range { return Range{r.Sheet, r.Row, r.Col, r.Row + k - 1, r.Col} }

// mixed weighs figures of the classes by their share, as the plan does.
func (w *budgetBook) mixed(v []float64) float64 {
	s := 0.0
	for k, c := range w.m.Classes {
		s += float64(c.Share) * v[k]
	}
	return s
}

// writeSummary is the one page that is printed and pinned up.
func (w *budgetBook) writeSummary(place string, notes note.List) {
	s, m, cur := w.summary, w.m, w.currency()
	s.Protect()
	s.OnePage()
	s.Widths(30, 14, 14, 14, 20, 12, 12)
	s.Row(T(Title, "Budget for %s", m.Plan.Calendar.Month.Long()))
	if place == "" {
		place = "All figures follow the sheet Inputs; change flow, doses or prices there."
	} else {
		place += ". All figures follow the sheet Inputs; change flow, doses or prices there."
	}
	s.Row(Cell{Kind: Sub, Value: place, Span: 7})

	s.Skip(1)
	s.Row(T(Section, "The month"))
	waterSum := "SUM(" + w.dayWater.first(w.n).Ref() + ")"
	removedSum := "SUM(" + w.dayRemoved.first(w.n).Ref() + ")"
	water := w.item(s, "water treated", Calc(waterSum, m.Treated.In(w.u.volume), "#,##0.0"), "VOLUME", "", w.cellName("Water_VOLUME"))
	removed := w.item(s, "suspended solids removed", Calc(removedSum, m.Removed.Likely.In(w.u.mass), "#,##0.0"), "MASS", "", w.cellName("Solids_removed_MASS"))
	firstRow := water.Row
	// Cost lines stand to the right of the answer.
	lineRow := firstRow - 1
	s.Put(lineRow, 5, T(Head, "cost of what is used"))
	s.Put(lineRow, 6, T(Head, "%s", cur))
	s.Put(lineRow, 7, T(Head, "share, %s", "%"))
	dry := "SUM(" + w.dayDry.first(w.n).Ref() + ")"
	var goods, freight, dilution []string
	for c := range m.Accounts {
		goods = append(goods, w.tables[c].places["goods"].Ref())
		freight = append(freight, w.tables[c].places["freight"].Ref())
		dilution = append(dilution, w.tables[c].places["dilution"].Ref())
	}
	formulas := append(append([]string(nil), goods...),
		strings.Join(freight, "+"),
		dry+"*"+w.disposal.Ref()+w.carriedFormula(),
		"("+strings.Join(dilution, "+")+w.carriersFormula()+")/1000*"+w.waterPrice.Ref(),
		"SUM("+w.dayHours.first(w.n).Ref()+")*"+w.power.Ref()+"/1000*"+w.electricity.Ref())
	lines := s.Block(lineRow+1, 6, lineRow+len(m.Lines), 6)
	w.costLines = s.Block(lineRow+1, 5, lineRow+len(m.Lines), 6)
	total := s.At(lineRow+len(m.Lines)+1, 6)
	for i, l := range m.Lines {
		r := lineRow + 1 + i
		s.Put(r, 5, Cell{Kind: Label, Value: l.Name})
		s.Put(r, 6, Calc(formulas[i], l.Amount.Amount, "#,##0.00"))
		share := 0.0
		if m.Total.Amount > 0 {
			share = l.Amount.Amount / m.Total.Amount * 100
		}
		s.Put(r, 7, Calc(fmt.Sprintf("IF(%s>0,%s/%s*100,0)", total.A1(), s.At(r, 6).A1(), total.A1()), share, "0.0"))
	}
	s.Put(total.Row, 5, T(Label, "all"))
	s.Put(total.Row, 6, Cell{Kind: Result, Formula: "SUM(" + lines.A1() + ")", Value: m.Total.Amount, Format: "#,##0.00"})
	w.Name("Total_cost", total)
	w.totalCell = total

	put := func(row int, label string, c Cell, unit, name string) Range {
		s.Put(row, 1, T(Label, "%s", w.in(label)))
		s.Put(row, 2, c)
		s.Put(row, 3, T(Unit, "%s", w.in(unit)))
		at := s.At(row, 2)
		if name != "" {
			w.Name(w.cellName(name), at)
		}
		return at
	}
	r := removed.Row + 1
	put(r, "days with water to treat", Calc(fmt.Sprintf(`COUNTIF(%s,">0")`, w.dayWater.first(w.n).Ref()), m.Worked, "0"), "d", "")
	put(r+1, "dry solids", Calc(dry, m.Dry.Likely.In(w.u.mass), "#,##0.0"), "MASS", "Dry_solids_MASS")
	put(r+2, "cost", Cell{Kind: Result, Formula: total.A1(), Value: m.Total.Amount, Format: "#,##0.00"}, cur, "")
	perThousand := 0.0
	if m.HasPerM3 {
		perThousand = w.perVolume(m.PerM3.Amount * 1000)
	}
	w.perThousand = put(r+3, "cost per 1000 VOLUME", Cell{Kind: Result, Formula: fmt.Sprintf("IF(%s>0,%s/%s*1000,0)", water.A1(), total.A1(), water.A1()), Value: perThousand, Format: "#,##0.00"}, cur, "Cost_per_1000_VOLUME")
	perKg := 0.0
	if m.HasPerKg {
		perKg = w.perMass(m.PerKg.Amount)
	}
	put(r+4, "cost per MASS of solids removed", Calc(fmt.Sprintf("IF(%s>0,%s/%s,0)", removed.A1(), total.A1(), removed.A1()), perKg, "0.00"), cur, "Cost_per_MASS_removed")
	var pay []string
	for c := range m.Accounts {
		pay = append(pay, w.tables[c].places["to_pay"].Ref())
	}
	put(r+5, "to pay for deliveries", Calc(strings.Join(pay, "+"), m.ToPay.Amount, "#,##0.00"), cur, "To_pay")

	s.next = max(s.next, total.Row)
	s.Skip(1)
	s.Row(T(Section, "What to order"))
	h := heads(s, "chemical", w.in("use, MASS"), w.in("stock at the end, MASS"), "next order by", "arrives", "packs", "runs out on")
	for c, a := range m.Accounts {
		t := w.tables[c]
		next, arrives, packs := any(""), any(""), any("")
		if len(a.Deliveries) > 0 {
			next, arrives, packs = date(a.Deliveries[0].OrderBy), date(a.Deliveries[0].Arrives), a.Deliveries[0].Packs
		}
		out := any("not short")
		if a.RunsOut != nil {
			out = date(a.RunsOut.Date)
		}
		o := w.orderRows(c)
		s.Row(Cell{Kind: Label, Value: a.Chemical.Name}, Calc(t.places["use"].Ref(), a.Use.In(w.u.mass), "#,##0.0"), Calc(t.places["end"].down(w.n-1).Ref(), a.Closing(m.Plan.Calendar.Month).In(w.u.mass), "#,##0.0"),
			Calc(o.cell(1).Ref(), next, dateFormat), Calc(o.cell(2).Ref(), arrives, dateFormat), Calc(o.cell(3).Ref(), packs, "0"), Calc(t.places["short_from"].Ref(), out, dateFormat))
	}
	s.Flag(s.Block(h+1, 7, h+len(m.Accounts), 7), fmt.Sprintf(`%s<>"not short"`, s.At(h+1, 7).A1()), Stop)
	s.Row(Cell{Kind: Muted, Value: "All orders, with dates and cost, stand on the sheet Deliveries.", Span: 7})

	s.Skip(1)
	s.Row(T(Section, "How wrong it may be, for the inputs at writing"))
	heads(s, "cost of the month", "one in ten below", "half below", "one in ten above", "planned", "", "")
	rg := m.Range
	s.Row(T(Label, "%s", cur), Num(rg.Cost.P10, "#,##0.00"), Num(rg.Cost.P50, "#,##0.00"), Num(rg.Cost.P90, "#,##0.00"), Num(m.Total.Amount, "#,##0.00"))
	check := fmt.Sprintf(`IF(ABS(%s-%s)<0.000001*MAX(1,ABS(%s)),"The inputs are those at writing.","The inputs have changed since writing: all but this range follows them.")`, total.A1(), s.At(s.next, 5).A1(), total.A1())
	r = s.Row(Cell{Kind: Good, Formula: check, Value: "The inputs are those at writing.", Span: 7})
	s.Flag(s.Block(r, 1, r, 7), fmt.Sprintf("ABS(%s-%s)>=0.000001*MAX(1,ABS(%s))", fixed(total.Row, total.Col), fixed(r-1, 5), fixed(total.Row, total.Col)), Caution)

	s.Skip(1)
	top := s.next + 1
	zero := 0.0
	s.Chart(top, 1, 490, 240, Chart{Kind: Columns, Title: "Where the money goes", Alt: "Cost of the month by item", YName: cur, YMin: &zero, YFormat: "#,##0",
		Series: []Series{{X: s.Block(w.costLines.Row, 5, w.costLines.ToRow, 5), Y: lines, Tone: draw.Teal}}})
	s.Chart(top, 5, 350, 240, Chart{Kind: Columns, Title: "Cost range", Alt: "Planned cost beside the range at writing", YName: cur, YMin: &zero, YFormat: "#,##0",
		Series: []Series{{X: w.rangeNames, Y: w.rangeValues, Tone: draw.Rust, Hatch: true}}})
	main := w.dearest()
	t := w.tables[main]
	s.Chart(top+13, 1, 880, 250, w.stockChart(main, t))
	s.next = top + 13 + 12
	if cautions := notes.Sorted(); cautions.Worst() > note.Info {
		s.Skip(1)
		s.Row(T(Section, "Cautions at writing"))
		for _, n := range cautions {
			if n.Level > note.Info {
				s.Row(Cell{Kind: Caution, Value: sentence(n), Span: 7})
			}
		}
	}
}

// sentence writes a note with its level and remedy.
func sentence(n note.Note) string {
	s := strings.ToUpper(n.Level.String()) + ": " + n.Message
	if n.Level == note.Info {
		s = n.Message
	}
	if n.Remedy != "" {
		s += ". To do: " + n.Remedy
	}
	return s
}

// dearest is the chemical whose store is shown on the first page.
func (w *budgetBook) dearest() int {
	best := 0
	for c, a := range w.m.Accounts {
		if a.Goods.Amount > w.m.Accounts[best].Goods.Amount {
			best = c
		}
	}
	return best
}

func (w *budgetBook) stockChart(c int, t *ruled) Chart {
	zero := 0.0
	name := w.m.Accounts[c].Chemical.Name
	days := t.places["day"].first(w.n)
	return Chart{Kind: Columns, Title: "Use and stock of " + name, Alt: "Use by day as columns with the stock at the end of each day as a line", XName: "day of the month", YName: w.u.mass, YMin: &zero, YFormat: "#,##0.##",
		Series: []Series{
			{Name: "used in the day", X: days, Y: t.places["wanted"].first(w.n), Tone: draw.Teal},
			{Name: "stock in the evening", X: days, Y: t.places["end"].first(w.n), Tone: draw.Rust, Over: true},
		}}
}

// writeRange puts what the Monte Carlo gave as values.
func (w *budgetBook) writeRange() {
	s, m, cur := w.spread, w.m, w.currency()
	s.Protect()
	s.Widths(34, 14, 14, 14, 14, 16)
	rg := m.Range
	s.Row(T(Title, "Range"))
	s.Row(Cell{Kind: Sub, Value: fmt.Sprintf("For the inputs at writing: %d months drawn with seed %d. These figures are values and do not follow changed inputs; run the program again for new ones.", rg.Draws, rg.Seed), Span: 6})
	s.Skip(1)
	heads(s, "figure", "one month in ten below", "half below", "one in ten above", "unit", "chance of running out, %")
	for c, a := range m.Accounts {
		u := rg.Use[c]
		s.Row(Cell{Kind: Label, Value: "use of " + a.Chemical.Name}, w.mass(u.P10), w.mass(u.P50), w.mass(u.P90), T(Unit, "%s", w.u.mass), Num(rg.RunsOut[c].In("%"), "0.0"))
	}
	s.Row(T(Label, "dry solids"), w.mass(rg.Dry.P10), w.mass(rg.Dry.P50), w.mass(rg.Dry.P90), T(Unit, "%s", w.u.mass))
	perThousand := func(perM3 float64) Cell { return Num(w.perVolume(perM3*1000), "") }
	s.Row(T(Label, "%s", w.in("cost per 1000 VOLUME")), perThousand(rg.PerM3.P10), perThousand(rg.PerM3.P50), perThousand(rg.PerM3.P90), T(Unit, "%s", cur))
	s.Row(T(Label, "cost of the month"), Num(rg.Cost.P10, "#,##0.00"), Num(rg.Cost.P50, "#,##0.00"), Num(rg.Cost.P90, "#,##0.00"), T(Unit, "%s", cur))
	if rg.Uncertain() {
		s.Skip(1)
		s.Row(T(Section, "What moves the cost most"))
		heads(s, "unknown", "cost at its low, "+cur, "cost at its high, "+cur, "share, %")
		for _, i := range rg.Matters {
			s.Row(Cell{Kind: Label, Value: i.Name}, Num(i.Low.Amount, "#,##0.00"), Num(i.High.Amount, "#,##0.00"), Num(i.Share.In("%"), "0"))
		}
		s.Row(Cell{Kind: Muted, Value: "Low and high are passed one month in ten; the other unknowns stand at their middle. The share is of the squared swings, and of the variance where the cost is linear.", Span: 6})
	}
	s.Skip(1)
	s.Row(T(Section, "For the chart"))
	heads(s, "cost", cur)
	top := s.next + 1
	for _, x := range []struct {
		name string
		v    float64
	}{{"1 in 10 below", rg.Cost.P10}, {"half below", rg.Cost.P50}, {"planned", m.Total.Amount}, {"1 in 10 above", rg.Cost.P90}} {
		s.Row(Cell{Kind: Label, Value: x.name}, Num(x.v, "#,##0.00"))
	}
	w.rangeNames, w.rangeValues = s.Block(top, 1, top+3, 1), s.Block(top, 2, top+3, 2)
}

// writeRemarks says how the workbook is meant, and all notes.
func (w *budgetBook) writeRemarks(notes note.List) {
	s := w.remarks
	s.Protect()
	s.Widths(22, 90)
	s.Row(T(Title, "Remarks"))
	s.Skip(1)
	s.Row(T(Section, "Cells"))
	s.Row(Cell{Kind: Input, Value: "input"}, T(Wrap, "Pale fill and dark border: yours to change. Everything else is worked out from these cells and locked without a password."))
	s.Row(Cell{Kind: Worked, Value: "worked out"}, T(Wrap, "A formula."))
	s.Row(Cell{Kind: Result, Value: "answer"}, T(Wrap, "A formula that answers the question: bold."))
	s.Row(Cell{Kind: Value, Value: "given"}, T(Wrap, "A value from the program that does not follow the inputs."))
	s.Skip(1)
	s.Row(T(Section, "How it is worked"))
	for _, x := range [][2]string{
		{"water", "Flow × season × share of the weekday × hours, and clean-ups. A day's own flow, hours or class go before the week's."},
		{"dose", "By class of raw water; days of unknown class take the mix of classes by their share of days."},
		{"product", "Dose ÷ strength × water."},
		{"store", "A delivery day brings the usual order when the stock would not last to the next delivery day with the minimum kept: more where that is too little, less where the room or the shelf life asks for it. Oldest goods are used first."},
		{"always kept", "Use a day × (days kept + (factor − 1) × lead time); reorder point: use a day × (days kept + factor × lead time) (Davis, Water and Wastewater Engineering, 2010, table 5-1 and example 5-1)."},
		{"cost", "What is used, at the price of the usual order, with its share of the delivery charge. \"To pay\" is what the month's deliveries cost."},
		{"range", "Drawn with the dose intervals, the flow and the solids; values for the inputs at writing."},
	} {
		s.Row(T(Label, "%s", x[0]), T(Wrap, "%s", x[1]))
	}
	s.Skip(1)
	s.Row(T(Section, "Assumed and to bear in mind, at writing"))
	for _, n := range notes.Sorted() {
		kind := Wrap
		if n.Level > note.Info {
			kind = Caution
		}
		text := sentence(n)
		if n.Source != "" {
			text += " [" + n.Source + "]"
		}
		s.Row(T(Label, "%s", n.Level.String()), Cell{Kind: kind, Value: text})
	}
	s.Row(T(Label, "always"), T(Wrap, "The safety data sheet of each product, local rules and the people licensed for this work go before anything worked out here."))
}

// carriedFormula adds the price of the water that the skimmer carries over, where
// wet solids are paid for.
func (w *budgetBook) carriedFormula() string {
	if !w.carries() {
		return ""
	}
	return "+SUM(" + w.dayHours.first(w.n).Ref() + ")*" + w.carried.Ref() + "*" + w.wetPrice.Ref() + w.wetUnit()
}

// carrier is the water added after the pumps in an hour, of all feeds.
func (w *budgetBook) carrier() quantity.Volume {
	var sum quantity.Flow
	for _, c := range w.m.Plan.Chemicals {
		sum += c.Carrier
	}
	return quantity.Volume(sum * 1000)
}

// carriersFormula adds it over the hours of the month.
func (w *budgetBook) carriersFormula() string {
	if w.carrier() == 0 {
		return ""
	}
	return "+SUM(" + w.dayHours.first(w.n).Ref() + ")*" + w.carriers.Ref()
}

// wetUnit makes the price of a volume of water from that of wet solids, as formulas have it.
func (w *budgetBook) wetUnit() string {
	if _, per := w.disposalPrice(); per == "short ton" {
		return "*" + Decimal(quantity.RoundSig(quantity.Density(1).In("lb/gal"), 15)) + "/2000"
	}
	return "/1000"
}

func (w *budgetBook) carries() bool {
	return w.m.Plan.Skim.PerHour() > 0 && w.m.Plan.Disposal.PerLitre() > 0
}

// perDry is the formula of the price of dry solids by their mass.
func perDry(per string, price, share, density Range) string {
	switch per {
	case "kg dry", "lb dry":
		return price.A1()
	case "t dry":
		return price.A1() + "/1000"
	case "short ton dry":
		return price.A1() + "/2000"
	case "t":
		return fmt.Sprintf("%s/1000/(%s/100)", price.A1(), share.A1())
	case "short ton":
		return fmt.Sprintf("%s/2000/(%s/100)", price.A1(), share.A1())
	case "m3", "1000 gal":
		return fmt.Sprintf("%s/1000/(%s/100*%s)", price.A1(), share.A1(), density.A1())
	}
	return "0"
}

func percent(f quantity.Fraction) float64 { return f.In("%") }
