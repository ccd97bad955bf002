package templates

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// Budget is the answer of "budget": one or more months.
type Budget struct {
	Place  string
	Months []month.Budget
	Notes  note.List // beside those of the months
}

// money writes an amount to the cent with its currency.
func (o Options) money(m quantity.Money) string {
	return strings.TrimSpace(o.cents(m.Amount) + " " + m.Currency)
}

func (o Options) cents(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// day writes a date with its weekday, because lorries come on weekdays.
func day(d month.Date) string { return d.Weekday().String()[:3] + " " + d.String() }

// brief writes a quantity with four digits and no idle zeros, as people name a pack.
func (o Options) brief(q quantity.Quantity) string {
	v, u := q.Show(o.Units)
	s := quantity.Sig(v, 4)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if o.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s + " " + u
}

func (b Budget) notes() note.List {
	var l note.List
	for _, m := range b.Months {
		l.Add(m.Notes...)
	}
	l.Add(b.Notes...)
	return l
}

// Text implements [Report].
func (b Budget) Text(t *Text, o Options) {
	for _, m := range b.Months {
		b.month(t, o, m)
	}
	if n := b.notes(); len(n) > 0 {
		t.Head("To bear in mind")
		t.Notes(n)
	}
}

func (b Budget) month(t *Text, o Options, m month.Budget) {
	title := "Budget for " + m.Plan.Calendar.Month.Long()
	if b.Place != "" {
		title += ", " + b.Place
	}
	t.Head(title)
	t.Para(headline(o, m))
	orders(t, o, m)
	uses(t, o, m)
	costs(t, o, m)
	stores(t, o, m)
	matters(t, o, m)
	if o.Explain {
		working(t, o, m)
	}
}

// headline is the answer in a few sentences.
func headline(o Options, m month.Budget) string {
	s := fmt.Sprintf("%s for the %s of water treated on %d days", o.money(m.Total), o.Quantity(m.Treated, 4), m.Worked)
	if m.HasPerM3 {
		s += fmt.Sprintf(": %s %s per 1000 m3", o.Number(m.PerM3.Amount*1000, 4), m.PerM3.Currency)
	}
	if m.HasPerKg {
		s += fmt.Sprintf(", %s %s per kg of suspended solids removed", o.Number(m.PerKg.Amount, 3), m.PerKg.Currency)
	}
	s += "."
	if r := m.Range; r.Cost.P90 > r.Cost.P10 {
		s += fmt.Sprintf(" Eight months in ten like this one would cost between %s and %s %s, half of them less than %s.",
			o.cents(r.Cost.P10), o.cents(r.Cost.P90), m.Total.Currency, o.cents(r.Cost.P50))
	}
	for _, a := range m.Accounts {
		if a.RunsOut != nil {
			s += fmt.Sprintf(" %s RUNS OUT on %s.", upperFirst(a.Chemical.Name), day(a.RunsOut.Date))
		}
	}
	return s
}

func orders(t *Text, o Options, m month.Budget) {
	t.Head("Order")
	var rows [][]string
	for _, a := range m.Accounts {
		for _, d := range a.Deliveries {
			cost := "no price"
			if a.Chemical.Prices.Priced() {
				cost = o.money(d.Cost)
			}
			rows = append(rows, []string{a.Chemical.Name, day(d.OrderBy), day(d.Arrives),
				fmt.Sprintf("%d x %s", d.Packs, o.brief(a.Chemical.Supply.Pack)), o.Quantity(d.StockAfter, 3), cost})
		}
	}
	if len(rows) == 0 {
		t.Para("Nothing needs to be ordered: the stock lasts through the month and the lead times after it.")
		return
	}
	t.Table([]Col{{Head: "chemical"}, {Head: "order by"}, {Head: "arrives"}, {Head: "packs", Right: true}, {Head: "stock then", Right: true}, {Head: "to pay", Right: true}}, rows)
	if m.ToPay.Amount > 0 {
		t.Para(fmt.Sprintf("To pay for deliveries that arrive in the month: %s.", o.money(m.ToPay)))
	}
}

func uses(t *Text, o Options, m month.Budget) {
	t.Head("Use of product")
	spread := m.Range.Cost.P90 > m.Range.Cost.P10
	cols := []Col{{Head: "chemical"}, {Head: "usual dose"}, {Head: "month", Right: true}, {Head: "a day", Right: true}}
	if spread {
		cols = append(cols, Col{Head: "8 months in 10", Right: true})
	}
	cols = append(cols, Col{Head: "may run out", Right: true})
	var rows [][]string
	for i, a := range m.Accounts {
		row := []string{a.Chemical.Name, o.Dose(quantity.Dose{Concentration: a.UsualDose, Basis: a.Chemical.Basis}, 3), o.Quantity(a.Use, 3), o.Quantity(a.PerDay, 3)}
		if spread {
			u := m.Range.Use[i]
			row = append(row, o.between(u.P10, u.P90))
		}
		rows = append(rows, append(row, o.chance(m.Range.RunsOut[i])))
	}
	t.Table(cols, rows)
}

// between writes a range in one unit, that of the upper end.
func (o Options) between(low, high quantity.Mass) string {
	hi, unit := high.Show(o.Units)
	lo := hi
	if high != 0 {
		lo = hi * float64(low) / float64(high)
	}
	return o.Number(lo, 3) + " to " + o.Number(hi, 3) + " " + unit
}

// chance writes a probability without claiming more than the draws can tell.
func (o Options) chance(p quantity.Fraction) string {
	switch v := p.Percent(); {
	case p == 0:
		return "no"
	case v < 1:
		return "below 1 %"
	case v > 99:
		return "yes"
	default:
		return o.Number(v, 2) + " %"
	}
}

func costs(t *Text, o Options, m month.Budget) {
	t.Head("Cost of what is used")
	var rows [][]string
	for _, l := range m.Lines {
		if l.Amount.Amount == 0 {
			continue
		}
		share := ""
		if m.Total.Amount > 0 {
			share = o.Number(100*l.Amount.Amount/m.Total.Amount, 3) + " %"
		}
		rows = append(rows, []string{l.Name, o.money(l.Amount), share})
	}
	rows = append(rows, []string{"all", o.money(m.Total), ""})
	t.Table([]Col{{Head: "item"}, {Head: "cost", Right: true}, {Head: "share", Right: true}}, rows)
	if m.Dry.Likely > 0 {
		s := fmt.Sprintf("Solids: %s dry", o.Quantity(m.Dry.Likely, 3))
		if m.Wet.Likely > 0 {
			s += fmt.Sprintf(", %s of float or sludge", o.Quantity(m.Wet.Likely, 3))
		}
		t.Para(s + ".")
	}
}

func stores(t *Text, o Options, m month.Budget) {
	t.Head("Store")
	var rows [][]string
	for _, a := range m.Accounts {
		s := a.Chemical.Supply
		rows = append(rows, []string{a.Chemical.Name, o.Quantity(s.Opening, 3), o.days(a.Cover), o.Quantity(a.Reorder, 3), o.Quantity(a.Safety, 3),
			strconv.Itoa(s.LeadDays) + " d", o.Quantity(a.Closing(m.Plan.Calendar.Month), 3)})
	}
	t.Table([]Col{{Head: "chemical"}, {Head: "opening", Right: true}, {Head: "lasts", Right: true}, {Head: "reorder at", Right: true},
		{Head: "always keep", Right: true}, {Head: "lead time", Right: true}, {Head: "closing", Right: true}}, rows)
}

func (o Options) days(t quantity.Time) string {
	d := t.In("d")
	switch {
	case d <= 0:
		return "0 d"
	case d > 730:
		return "years"
	}
	return o.Number(d, 3) + " d"
}

func matters(t *Text, o Options, m month.Budget) {
	r := m.Range
	if !r.Uncertain() {
		return
	}
	t.Head("What moves the cost most")
	var rows [][]string
	for _, i := range r.Matters {
		rows = append(rows, []string{i.Name, o.cents(i.Low.Amount), o.cents(i.High.Amount), o.Number(i.Share.Percent(), 2) + " %"})
	}
	t.Table([]Col{{Head: "unknown"}, {Head: "at its low " + m.Total.Currency, Right: true}, {Head: "at its high", Right: true}, {Head: "share", Right: true}}, rows)
	t.Para(fmt.Sprintf("Low and high are passed one time in ten. Range from %d drawn months, seed %d.", r.Draws, r.Seed))
}

// working shows how each figure came about.
func working(t *Text, o Options, m month.Budget) {
	t.Head("Working")
	p := m.Plan
	t.Para(fmt.Sprintf("Calendar: %d days in %s, %d of them with water to treat; %s.", p.Calendar.Month.Days(), p.Calendar.Month.Long(), m.Worked, o.brief(m.Treated)))
	for _, c := range m.Classes {
		if len(m.Classes) > 1 {
			t.Item("-", fmt.Sprintf("%s water: %s of the days that no one named, %s of suspended solids taken out", c.Name, o.Quantity(c.Share, 3), o.Quantity(c.Removed.Likely, 3)))
		}
	}
	for _, a := range m.Accounts {
		ch, s := a.Chemical, a.Chemical.Supply
		t.Item("-", fmt.Sprintf("%s: usual dose %s", ch.Name, o.Dose(quantity.Dose{Concentration: a.UsualDose, Basis: ch.Basis}, 4))+strengthText(o, ch)+
			fmt.Sprintf("; %s in the month, %s over all its days.", o.Quantity(a.Use, 5), o.Quantity(a.PerDay, 4)))
		if m.Worked > 0 && a.Use > 0 {
			perDay := quantity.MassRate(float64(a.Use) / float64(m.Worked))
			week := float64(m.Worked) / float64(p.Calendar.Month.Days()) * 7
			t.Item(" ", fmt.Sprintf("Check by the handbook's month of 4.33 weeks: %s on %s days a week give %s.", o.Quantity(perDay, 4), o.Number(week, 2),
				o.Quantity(month.RoughMonth(perDay, week, 4.33), 4)))
		}
		t.Item(" ", fmt.Sprintf("Reorder at %s = use a day x (days always kept + factor x lead time of %d d). Always keep %s.", o.Quantity(a.Reorder, 4), s.LeadDays, o.Quantity(a.Safety, 4)))
		if ch.Prices.Priced() {
			line := fmt.Sprintf("Price %s %s/kg in the usual order of %d x %s", o.Number(a.UnitPrice.Amount, 4), a.UnitPrice.Currency, a.UsualOrder, o.brief(s.Pack))
			if a.UnitFreight.Amount > 0 {
				line += fmt.Sprintf(", delivery %s %s/kg", o.Number(a.UnitFreight.Amount, 3), a.UnitFreight.Currency)
			}
			t.Item(" ", line+".")
		}
	}
	if m.Dry.Likely > 0 {
		t.Para(fmt.Sprintf("Solids: %s of suspended solids taken out; with what the chemicals make %s dry.", o.Quantity(m.Removed.Likely, 4), o.Quantity(m.Dry.Likely, 4)))
	}
	t.Para("A delivery day brings the usual order when the stock would not last to the next delivery day with the minimum kept: more where that is too little, less where the store or the shelf life asks for it. The range of a month's cost is drawn with the dose intervals of the bench, the flow and the solids; P10, P50 and P90 are type 7 quantiles (Hyndman and Fan 1996).")
}

func strengthText(o Options, c month.Chemical) string {
	if c.Strength.V == 0 || c.Strength.V == 1 {
		return ""
	}
	return fmt.Sprintf(" over a strength of %s", o.Quantity(c.Strength.V, 4))
}

type budgetUse struct {
	Chemical string        `json:"chemical"`
	Dose     *JSONQuantity `json:"usual_dose"`
	Product  *JSONQuantity `json:"product"`
	Cost     float64       `json:"cost"`
	P10      *JSONQuantity `json:"p10"`
	P50      *JSONQuantity `json:"p50"`
	P90      *JSONQuantity `json:"p90"`
	RunsOut  float64       `json:"chance_of_running_out"`
	Short    string        `json:"runs_out_on,omitempty"`
	Opening  *JSONQuantity `json:"opening_stock"`
	Closing  *JSONQuantity `json:"closing_stock"`
	Cover    *JSONQuantity `json:"cover"`
	Reorder  *JSONQuantity `json:"reorder_point"`
	Minimum  *JSONQuantity `json:"minimum_stock"`
}

type budgetDelivery struct {
	Chemical   string        `json:"chemical"`
	OrderBy    string        `json:"order_by"`
	Arrives    string        `json:"arrives"`
	Packs      int           `json:"packs"`
	Amount     *JSONQuantity `json:"amount"`
	StockAfter *JSONQuantity `json:"stock_after"`
	Cost       float64       `json:"cost"`
}

type budgetLine struct {
	Item string  `json:"item"`
	Cost float64 `json:"cost"`
}

type budgetCost struct {
	Total    float64      `json:"total"`
	P10      float64      `json:"p10"`
	P50      float64      `json:"p50"`
	P90      float64      `json:"p90"`
	PerM3    *float64     `json:"per_m3,omitempty"`
	PerKg    *float64     `json:"per_kg_removed,omitempty"`
	Currency string       `json:"currency"`
	ToPay    float64      `json:"to_pay"`
	Lines    []budgetLine `json:"lines"`
}

type budgetMatter struct {
	Unknown string  `json:"unknown"`
	Low     float64 `json:"cost_at_p10"`
	High    float64 `json:"cost_at_p90"`
	Share   float64 `json:"share"`
}

type budgetMonth struct {
	Month      string           `json:"month"`
	Days       int              `json:"days"`
	Worked     int              `json:"days_treated"`
	Treated    *JSONQuantity    `json:"treated"`
	Use        []budgetUse      `json:"use"`
	Deliveries []budgetDelivery `json:"deliveries"`
	Cost       budgetCost       `json:"cost"`
	Removed    *JSONQuantity    `json:"solids_removed"`
	Dry        *JSONQuantity    `json:"dry_solids"`
	Wet        *JSONQuantity    `json:"wet_solids"`
	Draws      int              `json:"draws"`
	Seed       uint64           `json:"seed"`
	PlanAt     float64          `json:"plan_at_quantile"`
	Matters    []budgetMatter   `json:"matters"`
}

type budgetDoc struct {
	Schema string        `json:"schema"`
	Place  string        `json:"place,omitempty"`
	Months []budgetMonth `json:"months"`
	Notes  note.List     `json:"notes"`
}

// JSON implements [Report].
func (b Budget) JSON() any {
	doc := budgetDoc{Schema: "jarwright.budget/1", Place: b.Place, Months: []budgetMonth{}, Notes: Notes(b.notes())}
	for _, m := range b.Months {
		doc.Months = append(doc.Months, jsonMonth(m))
	}
	return doc
}

func jsonMonth(m month.Budget) budgetMonth {
	kg := func(v float64) *JSONQuantity { return QIn(v, "kg") }
	r := m.Range
	out := budgetMonth{Month: m.Plan.Calendar.Month.String(), Days: m.Plan.Calendar.Month.Days(), Worked: m.Worked, Treated: QIn(m.Treated.In("m3"), "m3"),
		Use: []budgetUse{}, Deliveries: []budgetDelivery{}, Removed: kg(float64(m.Removed.Likely)), Dry: kg(float64(m.Dry.Likely)), Wet: QIn(float64(m.Wet.Likely), "L"),
		Draws: r.Draws, Seed: r.Seed, PlanAt: float64(r.PlanAt), Matters: []budgetMatter{}}
	for i, a := range m.Accounts {
		u := budgetUse{Chemical: a.Chemical.Name, Dose: QDose(quantity.Dose{Concentration: a.UsualDose, Basis: a.Chemical.Basis}), Product: kg(float64(a.Use)),
			Cost: a.Goods.Amount + a.Freight.Amount, P10: kg(float64(r.Use[i].P10)), P50: kg(float64(r.Use[i].P50)), P90: kg(float64(r.Use[i].P90)), RunsOut: float64(r.RunsOut[i]),
			Opening: kg(float64(a.Chemical.Supply.Opening)), Closing: kg(float64(a.Closing(m.Plan.Calendar.Month))), Cover: QIn(a.Cover.In("d"), "d"),
			Reorder: kg(float64(a.Reorder)), Minimum: kg(float64(a.Safety))}
		if a.RunsOut != nil {
			u.Short = a.RunsOut.Date.String()
		}
		out.Use = append(out.Use, u)
		for _, d := range a.Deliveries {
			out.Deliveries = append(out.Deliveries, budgetDelivery{a.Chemical.Name, d.OrderBy.String(), d.Arrives.String(), d.Packs, kg(float64(d.Amount)), kg(float64(d.StockAfter)), d.Cost.Amount})
		}
	}
	out.Cost = budgetCost{Total: m.Total.Amount, P10: r.Cost.P10, P50: r.Cost.P50, P90: r.Cost.P90, Currency: m.Total.Currency, ToPay: m.ToPay.Amount, Lines: []budgetLine{}}
	if m.HasPerM3 {
		out.Cost.PerM3 = &m.PerM3.Amount
	}
	if m.HasPerKg {
		out.Cost.PerKg = &m.PerKg.Amount
	}
	for _, l := range m.Lines {
		out.Cost.Lines = append(out.Cost.Lines, budgetLine{l.Name, l.Amount.Amount})
	}
	for _, i := range r.Matters {
		out.Matters = append(out.Matters, budgetMatter{i.Name, i.Low.Amount, i.High.Amount, float64(i.Share)})
	}
	return out
}

// Rows implements [Report]: one row a day and chemical.
func (b Budget) Rows() [][]string {
	out := [][]string{{"month", "date", "weekday", "treated_m3", "chemical", "used_kg", "arrived_kg", "packs_ordered", "out_of_date_kg", "short_kg", "stock_kg", "cost", "currency"}}
	for _, m := range b.Months {
		for i := range m.Plan.Calendar.Month.Days() {
			d := m.Days[i]
			for _, a := range m.Accounts {
				s := a.Stock[i]
				out = append(out, []string{m.Plan.Calendar.Month.String(), d.Date.String(), d.Date.Weekday().String(), Cell(d.Treated().In("m3")), a.Chemical.Name,
					Cell(float64(s.Used)), Cell(float64(s.Arrived)), strconv.Itoa(s.Packs), Cell(float64(s.Expired)), Cell(float64(s.Short)), Cell(float64(s.End)),
					Cell(float64(s.Used+s.Short) * (a.UnitPrice.Amount + a.UnitFreight.Amount)), m.Total.Currency})
			}
		}
	}
	return out
}

// Book implements [BookReport]: the month with live formulas.
func (b Budget) Book(w io.Writer, o Options) error {
	if len(b.Months) != 1 {
		return note.Fault("one-month", "a workbook holds one month, not %d", len(b.Months)).Do("leave --months out, or write .csv or .json")
	}
	return book.Budget(b.Months[0], b.Place, b.notes(), book.Meta{Paper: o.Paper, Date: o.Date, Version: o.Version}).Write(w)
}
