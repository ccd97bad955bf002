package book

import (
	"fmt"
	"slices"
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
	m          month.Budget
	units      quantity.System
	u          budgetUnits
	n          int      // days of the month
	slugs      []string // of the chemicals, for names
	labels     Range    // the first of their names on the sheet Inputs
	summary    *Sheet
	inputs     *Sheet
	days       *Sheet
	stores     []*Sheet
	orders     *Sheet
	spread     *Sheet
	remarks    *Sheet
	yesNo      Range
	cells      map[string]Range // cells and columns that formulas name, see fill
	shares     Range            // of the classes of water
	product    []Range          // by chemical: in the treated water, by class
	productMix []Range
	dayUse     []Range          // by chemical: a column of Days
	dayRules   *ruled           // of the days to the next chance of a delivery, the same for every store
	tables     []*ruled         // the stores
	accounts   []*formula.Sheet // of the stores, in the workbook's units

	rangeNames, rangeValues Range
}

// FirstPage is what the first page says above the figures, as it was at writing: the place
// and the day, how sure the cost is, and the one thing to do.
type FirstPage struct {
	Place, When, Sure, Order string
	Marks                    []string // what the days of the month lack to be run as they are
}

// Budget describes the workbook of a month's budget, with inputs and all that
// follows in the units of the reader. Notes are those of the budget and any others
// to be shown.
func Budget(m month.Budget, head FirstPage, units quantity.System, notes note.List, meta Meta) *Book {
	meta.Title = "Budget for " + m.Plan.Calendar.Month.Long()
	w := &budgetBook{Book: New(meta), m: m, units: units, u: budgetUnitsOf[units], cells: map[string]Range{},
		n: m.Plan.Calendar.Month.Days()}
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
	w.writeSummary(head, notes)
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

func yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// item writes a line of label, value, unit and remark, and names the value; texts as
// [budgetBook.in] takes them, and the name as [budgetBook.cellName] does.
func (w *budgetBook) item(s *Sheet, label string, value Cell, unit, remark, name string, chemical ...string) Range {
	r := s.Row(T(Label, "%s", w.in(label)), value, T(Unit, "%s", w.in(unit)))
	if remark != "" {
		s.Put(r, 4, Cell{Kind: Muted, Value: remark, Span: 3})
	}
	if name != "" {
		w.Name(w.cellName(name, chemical...), s.At(r, 2))
	}
	return s.At(r, 2)
}

// mixed weighs figures of the classes by their share, as the plan does.
func (w *budgetBook) mixed(v []float64) float64 {
	s := 0.0
	for k, c := range w.m.Classes {
		s += float64(c.Share) * v[k]
	}
	return s
}

// writeSummary is the one page that is printed and pinned up.
func (w *budgetBook) writeSummary(head FirstPage, notes note.List) {
	s := w.summary
	s.OnePage()
	follow := "All figures follow the sheet Inputs; change flow, doses or prices there."
	for _, before := range [...]string{head.When, head.Place} {
		if before != "" {
			follow = before + ". " + follow
		}
	}
	s.open(T(Title, "Budget for %s", w.m.Plan.Calendar.Month.Long()), Cell{Kind: Sub, Value: follow, Span: 7}, 30, 14, 14, 14, 20, 12, 12)
	s.Row(T(Label, "Cost of what is used in the month"))
	large := s.Skip(1)
	s.next = large
	for _, line := range [...]struct {
		kind Kind
		text string
	}{{Wrap, head.Sure}, {Plate, head.Order}} {
		if line.text != "" {
			s.Row(Cell{Kind: line.kind, Value: "At writing: " + line.text, Span: 7})
		}
	}
	if w.m.Plan.Stopped {
		s.Row(Cell{Kind: Caution, Value: "STOPPED: this is what the month would cost, not a plan to run. The stops stand below.", Span: 7})
	}
	if len(head.Marks) > 0 {
		s.Row(Cell{Kind: Caution, Value: strings.Join(head.Marks, " ") + " Why stands below.", Span: 7})
	}
	s.Skip(1)
	top := s.Row(T(Section, "The month"))
	for _, column := range []string{"water", "removed", "dry", "hours"} { // of the days of the month itself
		w.cells["month "+column] = w.cells["day "+column].first(w.n)
	}
	lines := w.summaryCost(top + 1)
	s.next = top
	s.Put(large, 1, Cell{Kind: Large, Formula: w.fill(s, "{total}", nil), Value: w.m.Total.Amount, Format: Digits(w.m.Total.Amount, 3)})
	s.Put(large, 2, T(Unit, "%s", w.currency()))
	w.summaryFigures()
	s.next = max(s.next, w.cells["total"].Row)
	w.summaryOrders()
	w.summaryRange()
	w.summaryCharts(lines)
	cautions := slices.DeleteFunc(notes.Sorted(), func(n note.Note) bool { return n.Level <= note.Info })
	if len(cautions) > 0 {
		s.Skip(1)
		s.Row(T(Section, "Cautions at writing"))
	}
	for _, n := range cautions {
		s.Row(Cell{Kind: Caution, Value: sentence(n), Span: 7})
	}
}

// summaryFigures are the answers, in the first columns.
func (w *budgetBook) summaryFigures() {
	s, m := w.summary, w.m
	figure := func(kind Kind, label, formula string, v any, format, unit, name string) Range {
		return w.item(s, label, Cell{Kind: kind, Formula: w.fill(s, formula, nil), Value: v, Format: format}, unit, "", name)
	}
	perThousand, perMass := 0.0, 0.0
	if m.HasPerM3 {
		perThousand = w.perVolume(m.PerM3.Amount * 1000)
	}
	if m.HasPerKg {
		perMass = w.perMass(m.PerKg.Amount)
	}
	removed := m.Removed.Likely.In(w.u.mass)
	w.cells["water"] = figure(Worked, "water treated", "SUM({month water})", m.Treated.In(w.u.volume), "#,##0.0", "VOLUME", "Water_VOLUME")
	w.cells["solids"] = figure(Worked, "suspended solids removed", "SUM({month removed})", removed, "#,##0.0", "MASS", "Solids_removed_MASS")
	w.Name("Total_cost", w.cells["total"])
	figure(Worked, "days with water to treat", `COUNTIF({month water},">0")`, m.Worked, "0", "d", "")
	figure(Worked, "dry solids", "SUM({month dry})", m.Dry.Likely.In(w.u.mass), "#,##0.0", "MASS", "Dry_solids_MASS")
	figure(Result, "cost", "{total}", m.Total.Amount, "#,##0.00", "CUR", "")
	figure(Result, "cost per 1000 VOLUME", "IF({water}>0,{total}/{water}*1000,0)", perThousand, "#,##0.00", "CUR", "Cost_per_1000_VOLUME")
	figure(Worked, "cost per MASS of solids removed", "IF({solids}>0,{total}/{solids},0)", perMass, "0.00", "CUR", "Cost_per_MASS_removed")
	figure(Worked, "to pay for deliveries", w.ofStores("to_pay"), m.ToPay.Amount, "#,##0.00", "CUR", "To_pay")
}

// ofStores is the formula of the sum of a cell of all stores.
func (w *budgetBook) ofStores(cell string) string {
	var refs []string
	for _, t := range w.tables {
		refs = append(refs, t.places[cell].Ref())
	}
	return strings.Join(refs, "+")
}

// notKnown stands in place of an amount that hangs on a price nobody gave.
const notKnown = "not known"

// summaryCost puts the lines of the cost right of the answers, from that row on,
// and gives their names and amounts.
func (w *budgetBook) summaryCost(row int) Range {
	s, m := w.summary, w.m
	var formulas, lacks, charges, lost []string
	for c, t := range w.tables {
		formulas = append(formulas, t.places["goods"].Ref())
		price := w.cellName(priceName(1), w.slugs[c])
		lacks = append(lacks, "AND(ISBLANK("+price+"),"+t.places["need"].Ref()+">0)")
		charges, lost = append(charges, w.cellName("Charge_%s", w.slugs[c])), append(lost, "AND(ISBLANK("+price+"),"+t.places["wasted"].Ref()+">0)")
	}
	carried := ""
	if w.carries() { // water that the skimmer carries over, where wet solids are paid for
		carried = "+SUM({month hours})*{skimmed}*{wet price}" + w.wetUnit()
	}
	carriers := ""
	if w.carrier() > 0 { // water that carries the stocks from the pumps
		carriers = "+SUM({month hours})*{carriers}"
	}
	diluted := "(" + w.ofStores("dilution") + carriers + ")"
	formulas = append(formulas, w.ofStores("freight"), "SUM({month dry})*{disposal}"+carried, diluted+"/1000*{make-up water}",
		"SUM({month hours})*{power}/1000*{electricity}", w.ofStores("loss"))
	// What nothing is known of is no cost of zero: it says so, until its price is filled in.
	lacks = append(lacks, "AND(COUNT("+strings.Join(charges, ",")+")=0,"+w.ofStores("need")+">0)", "AND(ISBLANK({disposal price}),SUM({month dry})>0)",
		"AND(ISBLANK({make-up water}),"+diluted+">0)", "AND(OR(ISBLANK({electricity}),AND(ISBLANK({power}),{electricity}>0)),SUM({month hours})>0)",
		"AND("+w.ofStores("loss")+"=0,OR("+strings.Join(lost, ",")+"))")
	for i, h := range []string{"cost of what is used", w.currency(), "share, %"} {
		s.Put(row-1, 5+i, Cell{Kind: Head, Value: h})
	}
	last := row + len(m.Lines) - 1
	w.cells["total"] = s.At(last+1, 6)
	for i, l := range m.Lines {
		r, share := row+i, 0.0
		if m.Total.Amount > 0 {
			share = l.Amount.Amount / m.Total.Amount * 100
		}
		s.Put(r, 5, Cell{Kind: Label, Value: l.Name})
		amount, part := any(l.Amount.Amount), any(share)
		if !m.KnowsLine(l.Name) {
			amount, part = notKnown, ""
		}
		f := fmt.Sprintf(`IF(%s,"%s",%s)`, lacks[i], notKnown, formulas[i])
		s.Put(r, 6, Calc(w.fill(s, f, nil), amount, "#,##0.00"))
		s.Put(r, 7, Calc(w.fill(s, `IF(ISNUMBER({line}),IF({total}>0,{line}/{total}*100,0),"")`, map[string]string{"line": a1(r, 6)}), part, "0.0"))
	}
	s.Put(last+1, 5, T(Label, "all"))
	s.Put(last+1, 6, Cell{Kind: Result, Formula: "SUM(" + s.Block(row, 6, last, 6).A1() + ")", Value: m.Total.Amount, Format: "#,##0.00"})
	return s.Block(row, 5, last, 6)
}

func (w *budgetBook) summaryOrders() {
	s, m := w.summary, w.m
	s.Skip(1)
	s.Row(T(Section, "What to order"))
	h := s.heads("chemical", w.in("use, MASS"), w.in("stock at the end, MASS"), "next order by", "arrives", "packs", "runs out on")
	for c, a := range m.Accounts {
		places, order := w.tables[c].places, w.orderRows(c)
		next, arrives, packs, out := any(""), any(""), any(""), any("not short")
		if len(a.Deliveries) > 0 {
			next, arrives, packs = date(a.Deliveries[0].OrderBy), date(a.Deliveries[0].Arrives), a.Deliveries[0].Packs
		}
		if a.RunsOut != nil {
			out = date(a.RunsOut.Date)
		}
		left := Calc(places["end"].down(w.n-1).Ref(), a.Closing(m.Plan.Calendar.Month).In(w.u.mass), "#,##0.0")
		shortFrom := Calc(places["short_from"].Ref(), out, dateFormat)
		if a.Chemical.Supply.NotSaid { // until it is filled in
			for _, x := range []*Cell{&left, &shortFrom} {
				x.Formula, x.Value = "IF("+w.notFilledIn(c)+`,"not known",`+x.Formula+")", "not known"
			}
		}
		s.Row(Cell{Kind: Label, Value: a.Chemical.Name}, Calc(places["use"].Ref(), a.Use.In(w.u.mass), "#,##0.0"), left,
			Calc(order.cell(1).Ref(), next, dateFormat),
			Calc(order.cell(2).Ref(), arrives, dateFormat), Calc(order.cell(3).Ref(), packs, "0"), shortFrom)
	}
	s.Flag(s.Block(h+1, 7, h+len(m.Accounts), 7), "ISNUMBER("+a1(h+1, 7)+")", Stop)
	w.summaryNotGiven()
	s.Row(Cell{Kind: Muted, Value: "All orders, with dates and cost, stand on the sheet Deliveries.", Span: 7})
}

// summaryNotGiven says of which chemicals nobody said what is on hand, until that is filled in.
func (w *budgetBook) summaryNotGiven() {
	for c, a := range w.m.Accounts {
		if !a.Chemical.Supply.NotSaid {
			continue
		}
		s, empty := w.summary, w.notFilledIn(c)
		says := "What is on hand of " + a.Chemical.Name + " is not given: its stock, orders and day of running out are those of an empty store. " +
			"Fill it in on the sheet Inputs."
		r := s.Row(Cell{Kind: Wrap, Formula: "IF(" + empty + `,"` + strings.ReplaceAll(says, `"`, `""`) + `","")`, Value: says, Span: 7})
		s.Flag(s.Block(r, 1, r, 7), empty, Caution)
	}
}

// notFilledIn is the condition that nobody has said yet what is on hand of a chemical.
func (w *budgetBook) notFilledIn(c int) string {
	return "ISBLANK(" + w.cellName(storeInputs["opening"], w.slugs[c]) + ")"
}

func (w *budgetBook) summaryRange() {
	s, rg, total := w.summary, w.m.Range.Cost, w.cells["total"]
	s.Skip(1)
	s.Row(T(Section, "How wrong it may be, for the inputs at writing"))
	s.heads("cost of the month", "one in ten below", "half below", "one in ten above", "planned")
	planned := s.At(s.Row(T(Label, "%s", w.currency()), money(rg.P10), money(rg.P50), money(rg.P90), money(w.m.Total.Amount)), 5)
	check := fmt.Sprintf(`IF(ABS(%s-%s)<0.000001*MAX(1,ABS(%s)),"The cost of the month is that at writing, and this range is its own.",`+
		`"The cost of the month has changed since writing: all but this range follows the inputs.")`, total.A1(), planned.A1(), total.A1())
	r := s.Row(Cell{Kind: Good, Formula: check, Value: "The cost of the month is that at writing, and this range is its own.", Span: 7})
	s.Flag(s.Block(r, 1, r, 7), fmt.Sprintf("ABS(%s-%s)>=0.000001*MAX(1,ABS(%s))", total.fixed(), planned.fixed(), total.fixed()), Caution)
}

func money(v float64) Cell { return Num(v, "#,##0.00") }

// summaryCharts draws the lines of the cost, its range and the dearest chemical's store.
func (w *budgetBook) summaryCharts(lines Range) {
	s, zero := w.summary, 0.0
	names, amounts := lines, lines
	names.ToCol, amounts.Col = lines.Col, lines.ToCol
	top := s.Skip(1)
	chart := func(col, width int, title, alt string, of Series) {
		s.Chart(top, col, width, 240, Chart{Kind: Columns, Lying: true, Title: title, Alt: alt, YName: w.currency(), YMin: &zero, YFormat: "#,##0",
			Series: []Series{of}})
	}
	chart(1, 490, "Where the money goes, "+w.currency(), "Cost of the month by item", Series{X: names, Y: amounts})
	chart(5, 350, "Cost range at writing, "+w.currency(), "Planned cost beside the range at writing", Series{X: w.rangeNames, Y: w.rangeValues, Tone: draw.Doubt})
	main := w.dearest()
	s.Chart(top+13, 1, 880, 250, w.stockChart(main, w.tables[main]))
	s.next = top + 13 + 12
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
	return Chart{Kind: Columns, Title: "Use and stock of " + name, Alt: "Use by day as columns with the stock at the end of each day as " +
		"a line", XName: "day of the month", YName: w.u.mass, YMin: &zero, YFormat: "#,##0.##",
		Series: []Series{
			{Name: "wanted in the day", X: days, Y: t.places["wanted"].first(w.n), Tone: draw.Doubt},
			{Name: "stock in the evening", X: days, Y: t.places["end"].first(w.n), Over: true},
		}}
}

// writeRange puts what the Monte Carlo gave as values.
func (w *budgetBook) writeRange() {
	s, rg, cur := w.spread, w.m.Range, w.currency()
	s.open(T(Title, "Range"), Cell{Kind: Sub, Span: 6, Value: fmt.Sprintf("For the inputs at writing: %d months drawn with seed %d. "+
		"These figures are values and do not follow changed inputs; run the program again for new ones.", rg.Draws, rg.Seed)}, 34, 14, 14,
		14, 14, 16)
	s.Skip(1)
	s.heads("figure", "one month in ten below", "half below", "one in ten above", "unit", "chance of running out, %")
	figures := func(label, unit, format string, p10, p50, p90 float64) int {
		return s.Row(T(Label, "%s", label), Num(p10, format), Num(p50, format), Num(p90, format), T(Unit, "%s", unit))
	}
	for c, a := range w.m.Accounts {
		u := rg.Use[c]
		r := figures("use of "+a.Chemical.Name, w.u.mass, "", u.P10.In(w.u.mass), u.P50.In(w.u.mass), u.P90.In(w.u.mass))
		if chance := Num(rg.RunsOut[c].In("%"), "0.0"); !a.Chemical.Supply.NotSaid {
			s.Put(r, 6, chance)
		} else {
			s.Put(r, 6, T(Value, "not known"))
		}
	}
	figures("dry solids", w.u.mass, "", rg.Dry.P10.In(w.u.mass), rg.Dry.P50.In(w.u.mass), rg.Dry.P90.In(w.u.mass))
	figures(w.in("cost per 1000 VOLUME"), cur, "", w.perVolume(rg.PerM3.P10*1000), w.perVolume(rg.PerM3.P50*1000),
		w.perVolume(rg.PerM3.P90*1000))
	figures("cost of the month", cur, "#,##0.00", rg.Cost.P10, rg.Cost.P50, rg.Cost.P90)
	if rg.Uncertain() {
		s.Skip(1)
		s.Row(T(Section, "What moves the cost most"))
		s.heads("unknown", "cost at its low, "+cur, "cost at its high, "+cur, "share, %")
		for _, i := range rg.Matters {
			s.Row(Cell{Kind: Label, Value: i.Name}, money(i.Low.Amount), money(i.High.Amount), Num(i.Share.In("%"), "0"))
		}
		s.Row(Cell{Kind: Muted, Span: 6, Value: "Low and high are passed one month in ten; the other unknowns stand at their middle. " +
			"The share is of the squared swings, and of the variance where the cost is linear."})
	}
	s.Skip(1)
	s.Row(T(Section, "For the chart"))
	top := s.heads("cost", cur) + 1
	s.Row(T(Label, "1 in 10 below"), money(rg.Cost.P10))
	s.Row(T(Label, "half below"), money(rg.Cost.P50))
	s.Row(T(Label, "planned"), money(w.m.Total.Amount))
	s.Row(T(Label, "1 in 10 above"), money(rg.Cost.P90))
	w.rangeNames, w.rangeValues = s.Block(top, 1, top+3, 1), s.Block(top, 2, top+3, 2)
}

// writeRemarks says how the workbook is meant, and all notes.
func (w *budgetBook) writeRemarks(notes note.List) {
	s := w.remarks
	s.open(T(Title, "Remarks"), Cell{}, 22, 90)
	s.Skip(1)
	s.Row(T(Section, "Cells"))
	s.Row(T(Input, "input"), T(Wrap, "Pale fill and dark border: yours to change. Everything else is worked out from these cells and "+
		"locked without a password."))
	s.Row(T(Worked, "worked out"), T(Wrap, "A formula."))
	s.Row(T(Result, "answer"), T(Wrap, "A formula that answers the question: bold."))
	s.Row(T(Value, "given"), T(Wrap, "A value from the program that does not follow the inputs."))
	s.Skip(1)
	s.Row(T(Section, "How it is worked"))
	s.pairs(Wrap, [][2]string{
		{"water", "Flow × season × share of the weekday × hours, and clean-ups, with doses and solids of their own where clarify knows the tank. A day's own flow, hours or class go before the week's."},
		{"dose", "By class of raw water; days of unknown class take the mix of classes by their share of days."},
		{"product", "Dose ÷ strength × water."},
		{"store", "A delivery day brings the usual order when the stock would not last to the next delivery day with the minimum kept: " +
			"more where that is too little, less where the room or the shelf life asks for it. Oldest goods are used first."},
		{"always kept", "Use a day × (days kept + (factor − 1) × lead time); reorder point: use a day × (days kept + factor × lead time) " +
			"(Davis, Water and Wastewater Engineering, 2010, table 5-1 and example 5-1)."},
		{"cost", `What is used, at the price of the month's own orders (of the usual order where none arrives), with its share of their ` +
			`delivery charges, and what goes out of date. "To pay" is what the month's deliveries cost.`},
		{"range", "Drawn with the dose intervals, the flow and the solids; values for the inputs at writing."},
	}...)
	s.Skip(1)
	s.Row(T(Section, "Assumed and to bear in mind, at writing"))
	for _, n := range notes.Sorted() {
		kind, text := Wrap, sentence(n)
		if n.Level > note.Info {
			kind = Caution
		}
		if n.Source != "" {
			text += " [" + n.Source + "]"
		}
		s.pairs(kind, [2]string{n.Level.String(), text})
	}
	s.pairs(Wrap, [2]string{"always",
		"The safety data sheet of each product, local rules and the people licensed for this work go before anything worked out here."})
}

// carrier is the water added after the pumps in an hour, of all feeds.
func (w *budgetBook) carrier() quantity.Volume {
	var sum quantity.Flow
	for _, c := range w.m.Plan.Chemicals {
		sum += c.Carrier
	}
	return quantity.Volume(sum * 1000)
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
		return price.A1() + "*1" // of an empty cell too a number
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
