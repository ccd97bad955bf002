package book

import (
	"fmt"
	"strings"

	"jarwright/dosing/month"
)

// storeTable is what other sheets need of a store's sheet.
type storeTable struct {
	day, date, wanted, end, packs, orderBy, full, serial, paid Range // columns
	use, goods, freight, dilution, toPay, runsOut              Range // cells
}

// Columns of a store's sheet: first what a reader looks for and what is printed,
// then how it was worked out.
const (
	stDateCol = iota + 1
	stDayCol  // of the month
	stNoCol   // counted from 0
	stUseCol
	stStartCol
	stExpiredCol
	stOnOrderCol
	stPacksCol
	stCameCol
	stFullCol
	stShortCol
	stEndCol
	stOrderByCol
	stPaidCol
	stPriceCol // the working
	stSerialCol
	stLateCol
	stSumCol     // used before this day
	stArrivedCol // before this day
	stHaveCol
	stNewestCol
	stUsableCol
	stCoverCol
	stComingCol
	stLackCol
	stCanCol
	stKeepsCol
	stRoomCol
)

// writeStore is the account of one chemical's store.
func (w *budgetBook) writeStore(c int) {
	s, a := w.stores[c], w.m.Accounts[c]
	sl := w.slugs[c]
	s.Protect()
	s.Widths(30, 11, 9, 10, 11, 10, 10, 11, 10, 10, 9, 11, 12, 11)
	s.OnePage()
	name := func(format string) string { return fmt.Sprintf(format, sl) }
	s.Row(T(Title, "Store of %s", a.Chemical.Name))
	s.Row(Cell{Kind: Sub, Value: "Works out what arrives when. Nothing is to be filled in here.", Span: 10})
	s.Skip(1)
	const headRow = 28
	h := len(w.m.Days)
	first, last := headRow+1, headRow+h
	column := func(col int) Range { return s.Block(first, col, last, col) }
	t := storeTable{day: column(stDayCol), date: column(stDateCol), wanted: column(stUseCol), end: column(stEndCol), packs: column(stPacksCol), orderBy: column(stOrderByCol), full: column(stFullCol),
		serial: column(stSerialCol), paid: column(stPaidCol)}
	supply, cur := a.Chemical.Supply, w.currency()
	uses := column(stUseCol)
	t.use = w.item(s, "use in the month", Cell{Kind: Result, Formula: "SUM(" + uses.first(w.n).A1() + ")", Value: float64(a.Use), Format: "#,##0.000"}, "kg", "", name("Use_%s_kg"))
	mean := w.item(s, "use a day", Calc(fmt.Sprintf("%s/%d", t.use.A1(), w.n), float64(a.PerDay), ""), "kg/d", fmt.Sprintf("over all %d days", w.n), name("Use_a_day_%s_kg"))
	safety := w.item(s, "always kept", Calc(fmt.Sprintf("%s*(%s+(%s-1)*%s)", mean.A1(), name("Days_kept_%s"), name("Factor_%s"), name("Lead_%s_d")), float64(a.Safety), ""), "kg", "with slack for a late delivery", name("Kept_%s_kg"))
	w.item(s, "reorder point", Calc(fmt.Sprintf("%s*(%s+%s*%s)", mean.A1(), name("Days_kept_%s"), name("Factor_%s"), name("Lead_%s_d")), float64(a.Reorder), ""), "kg", "order at this stock", name("Reorder_%s_kg"))
	auto := fmt.Sprintf("MAX(1,MIN(-INT(-(30*%[1]s/%[2]s-0.000000001)),IF(%[3]s=0,1000000000,INT((%[3]s-%[4]s)/%[2]s+0.000000001)),IF(%[5]s=0,1000000000,INT((%[5]s*%[1]s-%[4]s)/%[2]s+0.000000001))))",
		mean.A1(), name("Pack_%s_kg"), name("Room_%s_kg"), safety.A1(), name("Shelf_%s_d"))
	order := w.item(s, "usual order", Calc(fmt.Sprintf("IF(%[1]s>0,%[1]s,%[2]s)", name("Usual_%s_packs"), auto), a.UsualOrder, "0"), "packs", "", name("Order_%s_packs"))
	price := w.item(s, "price in the usual order", Calc(w.tier(c, order.A1()), a.UnitPrice.Amount, "0.0000"), cur+"/kg", "", "")
	freight := w.item(s, "delivery charge", Calc(fmt.Sprintf("%s/(%s*%s)", name("Charge_%s"), order.A1(), name("Pack_%s_kg")), a.UnitFreight.Amount, "0.0000"), cur+"/kg", "spread over the usual order", "")
	t.goods = w.item(s, "cost of what is used", Calc(t.use.A1()+"*"+price.A1(), a.Goods.Amount, "#,##0.00"), cur, "", name("Cost_%s"))
	t.freight = w.item(s, "delivery charge of what is used", Calc(t.use.A1()+"*"+freight.A1(), a.Freight.Amount, "#,##0.00"), cur, "", "")
	t.dilution = w.item(s, "water for its stock", Calc(fmt.Sprintf("IF(%[1]s>0,MAX(0,%[2]s*1000/%[1]s-IF(%[3]s>0,%[2]s/%[3]s,0)),0)", name("Stock_%s_g_L"), t.use.A1(), name("Density_%s_kg_L")), float64(a.Water), "#,##0.0"), "L", "", "")
	from := w.m.Plan.Calendar.Month.First()
	earliest := from.DaysTo(w.m.Plan.OrderFrom) + supply.LeadDays
	early := w.item(s, "first day a new order can arrive", Calc(fmt.Sprintf("Order_from-%s+%s", column(stDateCol).down(0).A1(), name("Lead_%s_d")), earliest, "0"), "", "day no.", "")
	onOrder := -1
	if supply.OnOrder > 0 {
		if i := from.DaysTo(supply.OnOrderDate); i >= 0 && i < h {
			onOrder = i
		}
	}
	arrive := w.item(s, "what is on order arrives", Calc(fmt.Sprintf(`IF(AND(%[1]s>0,ISNUMBER(%[2]s)),IF(AND(%[2]s>=%[3]s,%[2]s<=%[4]s),%[2]s-%[3]s,-1),-1)`, name("On_order_%s_packs"), name("Arrives_%s"),
		column(stDateCol).down(0).A1(), column(stDateCol).down(h-1).A1()), onOrder, "0"), "", "day no.; -1: not in this plan", "")
	sums := column(stSumCol)
	sums.ToRow++ // the row under the last day holds the sum of all
	cover := fmt.Sprintf("IF(%[1]s=0,0,MATCH(%[2]s,%[3]s,1)-1+(%[2]s-INDEX(%[3]s,MATCH(%[2]s,%[3]s,1)))/IF(MATCH(%[2]s,%[3]s,1)>%[4]d,%[1]s,INDEX(%[5]s,MIN(%[4]d,MATCH(%[2]s,%[3]s,1)))))",
		mean.A1(), name("Opening_%s_kg"), sums.A1(), h, uses.A1())
	w.item(s, "the stock at the start lasts", Calc(cover, a.Cover.In("d"), "0.0"), "d", "without a delivery", name("Cover_%s_d"))
	out := any("not short")
	if a.RunsOut != nil {
		out = date(a.RunsOut.Date)
	}
	shorts := column(stShortCol)
	t.runsOut = w.item(s, "short from", Calc(fmt.Sprintf(`IFERROR(INDEX(%s,MATCH(1,%s,0)),"not short")`, column(stDateCol).A1(), s.Block(first, stLateCol, last, stLateCol).A1()), out, dateFormat), "", "", name("Short_from_%s"))
	lacking, expired := 0.0, 0.0
	for _, d := range a.Stock {
		lacking += float64(d.Short)
		expired += float64(d.Expired)
	}
	w.item(s, "short of", Calc("SUM("+shorts.A1()+")", lacking, "0.000"), "kg", "", "")
	w.item(s, "out of date", Calc("SUM("+column(stExpiredCol).A1()+")", expired, "0.000"), "kg", "", "")
	t.toPay = w.item(s, "to pay for deliveries of the month", Calc("SUM("+column(stPaidCol).first(w.n).A1()+")", a.ToPay.Amount, "#,##0.00"), cur, "", "")

	s.Chart(4, 7, 660, 420, w.stockChart(c, t))
	s.Print(s.Block(1, 1, last, stPaidCol))
	s.next = headRow - 1
	names := []string{"date", "day", "no.", "used, kg", "stock in the morning, kg", "out of date, kg", "on order arrives, kg", "PACKS ARRIVING", "arrives, kg", "stock then, kg", "short, kg",
		"stock in the evening, kg", "order by", "to pay, " + cur, "price per kg, " + cur, "delivery no.", "short? 1: yes", "used before, kg", "arrived before, kg", "in store, kg", "newest lot, day no.",
		"usable in time, kg", "used to next chance, kg", "on order by then, kg", "lacking, kg", "order can arrive", "packs used in time", "packs that fit"}
	heads(s, names...)
	s.Freeze(headRow, 1)
	s.Repeat(headRow, headRow)
	x := storeRows{w: w, s: s, c: c, a: a, first: first, h: h, mean: mean, safety: safety, order: order, early: early, arrive: arrive}
	for i := range h {
		x.write(i)
	}
	s.Put(last+1, stSumCol, Calc(fmt.Sprintf("%s+%s", a1(last, stSumCol), a1(last, stUseCol)), x.sum, "0.000"))
	w.tables = append(w.tables, t)
}

// tier is the price per kg in an order of so many packs.
func (w *budgetBook) tier(c int, packs string) string {
	f := "Price_" + w.slugs[c]
	for i := 1; i < w.tiers(); i++ {
		from := fmt.Sprintf("Packs_for_price_%d_%s", i+1, w.slugs[c])
		f = fmt.Sprintf("IF(AND(%s>0,%s>=%s),Price_%d_%s,%s)", from, packs, from, i+1, w.slugs[c], f)
	}
	return f
}

// storeRows writes the rows of one store's account.
type storeRows struct {
	w                                  *budgetBook
	s                                  *Sheet
	c, first, h                        int
	a                                  month.Account
	mean, safety, order, early, arrive Range
	sum, arrived                       float64
	serial                             int
}

// wanted is the use from the row's day to the day before day end: INDEX in the
// sums, and the mean for each day beyond the sheet.
func (x *storeRows) wanted(r int, end string) string {
	sums := x.s.Block(x.first, stSumCol, x.first+x.h, stSumCol)
	return fmt.Sprintf("(INDEX(%[1]s,MIN(%[2]s,%[3]d)+1)+MAX(0,%[2]s-%[3]d)*%[5]s-%[4]s)",
		fixedBlock(sums), end, x.h, a1(r, stSumCol), fixed(x.mean.Row, x.mean.Col))
}

// fixedBlock gives a range on the same sheet that does not move.
func fixedBlock(r Range) string { return fixed(r.Row, r.Col) + ":" + fixed(r.ToRow, r.ToCol) }

func (x *storeRows) write(i int) {
	w, s, a, d := x.w, x.s, x.a, x.a.Stock[i]
	r := x.first + i
	sl := w.slugs[x.c]
	name := func(format string) string { return strings.ReplaceAll(format, "%s", sl) }
	ref := func(col int) string { return a1(r, col) }
	put := func(col int, formula string, v any, format string) { s.Put(r, col, Calc(formula, v, format)) }
	at := func(cell Range) string { return fixed(cell.Row, cell.Col) }
	supply := a.Chemical.Supply
	kg := "0.000"

	s.Put(r, stDateCol, Calc(w.dayDate.down(i).Ref(), date(d.Date), dateFormat))
	s.Put(r, stDayCol, Cell{Kind: Value, Value: d.Date.Day, Format: "0"})
	s.Put(r, stNoCol, Cell{Kind: Value, Value: i, Format: "0"})
	use := float64(d.Used + d.Short)
	put(stUseCol, Range{w.days, w.dayUse.Row + i, dayUseCol + x.c, w.dayUse.Row + i, dayUseCol + x.c}.Ref(), use, kg)
	if i == 0 {
		s.Put(r, stSumCol, Cell{Kind: Value, Value: 0.0, Format: kg})
		put(stStartCol, name("Opening_%s_kg"), float64(d.Start), kg)
		s.Put(r, stArrivedCol, Cell{Kind: Value, Value: 0.0, Format: kg})
	} else {
		put(stSumCol, fmt.Sprintf("%s+%s", a1(r-1, stSumCol), a1(r-1, stUseCol)), x.sum, kg)
		put(stStartCol, a1(r-1, stEndCol), float64(d.Start), kg)
		put(stArrivedCol, fmt.Sprintf("%s+%s", a1(r-1, stArrivedCol), a1(r-1, stCameCol)), x.arrived, kg)
	}
	put(stExpiredCol, fmt.Sprintf("IF(%[1]s=0,0,IF(%[2]s<%[1]s-%[3]s,0,MAX(0,%[4]s-(%[5]s-INDEX(%[6]s:%[5]s,MAX(0,%[2]s-%[1]s+1)+1)))))",
		name("Shelf_%s_d"), ref(stNoCol), name("Age_%s_d"), ref(stStartCol), ref(stArrivedCol), fixed(x.first, stArrivedCol)), float64(d.Expired), kg)
	put(stOnOrderCol, fmt.Sprintf("IF(%s=%s,%s*%s,0)", ref(stNoCol), at(x.arrive), name("On_order_%s_packs"), name("Pack_%s_kg")), float64(d.OnOrder), kg)
	have := float64(d.Start) - float64(d.Expired) + float64(d.OnOrder)
	put(stHaveCol, fmt.Sprintf("%s-%s+%s", ref(stStartCol), ref(stExpiredCol), ref(stOnOrderCol)), have, kg)
	before := "-" + name("Age_%s_d")
	if i > 0 {
		before = fmt.Sprintf("IF(%s>0,%s,%s)", a1(r-1, stPacksCol), a1(r-1, stNoCol), a1(r-1, stNewestCol))
	}
	put(stNewestCol, fmt.Sprintf("IF(%s>0,%s,%s)", ref(stOnOrderCol), ref(stNoCol), before), d.Decision.Newest, "0")
	put(stUsableCol, fmt.Sprintf("IF(%[1]s=0,%[2]s,MIN(%[2]s-MAX(0,MAX(0,%[2]s-(%[3]s+%[4]s))-%[5]s),%[6]s))", name("Shelf_%s_d"), ref(stHaveCol), ref(stArrivedCol), ref(stOnOrderCol),
		x.wanted(r, fmt.Sprintf("MAX(%s,%s-%s)", ref(stNoCol), name("Shelf_%s_d"), name("Age_%s_d"))), x.wanted(r, fmt.Sprintf("MAX(%s,%s+%s)", ref(stNoCol), ref(stNewestCol), name("Shelf_%s_d")))), float64(d.Decision.Usable), kg)
	gap := w.dayGap.down(i).Ref()
	put(stCoverCol, x.wanted(r, ref(stNoCol)+"+"+gap), float64(d.Decision.Cover), kg)
	put(stComingCol, fmt.Sprintf("IF(AND(%[1]s>%[2]s,%[1]s<%[2]s+%[3]s),%[4]s*%[5]s,0)", at(x.arrive), ref(stNoCol), gap, name("On_order_%s_packs"), name("Pack_%s_kg")), float64(d.Decision.Coming), kg)
	put(stLackCol, fmt.Sprintf("%s+%s-%s-%s", at(x.safety), ref(stCoverCol), ref(stUsableCol), ref(stComingCol)), float64(d.Decision.Lack), kg)
	put(stCanCol, fmt.Sprintf(`IF(AND(%s="yes",%s>=%s),"yes","no")`, w.dayDelivery.down(i).Ref(), ref(stNoCol), at(x.early)), yes(d.Decision.Possible), "")
	put(stKeepsCol, fmt.Sprintf("IF(%[1]s=0,1000000000,MAX(INT((%[2]s-%[3]s)/%[4]s+0.000000001),-INT(-((%[5]s-%[3]s)/%[4]s-0.000000001))))", name("Shelf_%s_d"), x.wanted(r, ref(stNoCol)+"+"+name("Shelf_%s_d")), ref(stUsableCol),
		name("Pack_%s_kg"), ref(stCoverCol)), d.Decision.Keeps, "0")
	room := fmt.Sprintf("%s-%s", name("Room_%s_kg"), ref(stHaveCol))
	put(stRoomCol, fmt.Sprintf("IF(%[1]s=0,1000000000,INT((IF(%[2]s>%[3]s,MIN(%[4]s,%[4]s+%[5]s-%[6]s*%[7]s),%[4]s))/%[7]s+0.000000001))", name("Room_%s_kg"), at(x.arrive), ref(stNoCol), room,
		x.wanted(r, at(x.arrive)), name("On_order_%s_packs"), name("Pack_%s_kg")), d.Decision.Room, "0")
	s.Put(r, stPacksCol, Cell{Kind: Result, Formula: fmt.Sprintf(`IF(AND(%[1]s="yes",%[2]s>0.000000001),MAX(0,MIN(MAX(-INT(-(%[2]s/%[3]s-0.000000001)),%[4]s),%[5]s,%[6]s)),0)`,
		ref(stCanCol), ref(stLackCol), name("Pack_%s_kg"), at(x.order), ref(stKeepsCol), ref(stRoomCol)), Value: d.Packs, Format: "0"})
	put(stCameCol, fmt.Sprintf("%s+%s*%s", ref(stOnOrderCol), ref(stPacksCol), name("Pack_%s_kg")), float64(d.Arrived), kg)
	put(stFullCol, fmt.Sprintf("%s+%s*%s", ref(stHaveCol), ref(stPacksCol), name("Pack_%s_kg")), float64(d.Full), kg)
	put(stShortCol, fmt.Sprintf("IF(%[1]s-%[2]s<0.000000001,0,%[1]s-%[2]s)", ref(stUseCol), ref(stFullCol)), float64(d.Short), kg)
	put(stEndCol, fmt.Sprintf("MAX(0,%s-%s)", ref(stFullCol), ref(stUseCol)), float64(d.End), kg)

	orderBy, price, paid := any(""), any(""), 0.0
	prev := "0"
	if i > 0 {
		prev = a1(r-1, stSerialCol)
	}
	if d.Packs > 0 {
		by := d.Date.AddDays(-supply.LeadDays)
		orderBy = date(by)
		p := a.Chemical.Prices.At(d.Packs).Amount
		price = p
		paid = float64(d.Packs)*float64(supply.Pack)*p + a.Chemical.Prices.Delivery.Amount
		if i < w.n || w.m.Plan.Calendar.Month.First().DaysTo(by) < w.n {
			x.serial++
		}
	}
	put(stOrderByCol, fmt.Sprintf(`IF(%s>0,%s-%s,"")`, ref(stPacksCol), ref(stDateCol), name("Lead_%s_d")), orderBy, dateFormat)
	put(stSerialCol, fmt.Sprintf("%s+IF(AND(%s>0,OR(%s<%d,%s-%s<%d)),1,0)", prev, ref(stPacksCol), ref(stNoCol), w.n, ref(stNoCol), name("Lead_%s_d"), w.n), x.serial, "0")
	put(stPriceCol, fmt.Sprintf(`IF(%s>0,%s,"")`, ref(stPacksCol), w.tier(x.c, ref(stPacksCol))), price, "0.0000")
	put(stPaidCol, fmt.Sprintf("IF(%[1]s>0,%[1]s*%[2]s*%[3]s+%[4]s,0)", ref(stPacksCol), name("Pack_%s_kg"), ref(stPriceCol), name("Charge_%s")), paid, "0.00")
	short := 0
	if d.Short > 1e-9 {
		short = 1
	}
	put(stLateCol, fmt.Sprintf("IF(%s>0,1,0)", ref(stShortCol)), short, "0")
	x.sum += use
	x.arrived += float64(d.Arrived)
}

// orderLines is how many deliveries of a chemical the sheet can list.
func (w *budgetBook) orderLines(c int) int {
	const dozen = 12
	return dozen * (1 + len(w.m.Accounts[c].Deliveries)/dozen)
}

// orderRows gives the first delivery of a chemical on the sheet Deliveries.
func (w *budgetBook) orderRows(c int) Range {
	row := 5
	for i := range c {
		row += w.orderLines(i)
	}
	return w.orders.Block(row, 1, row, 7)
}

// writeOrders lists the deliveries of all chemicals.
func (w *budgetBook) writeOrders() {
	s, m, cur := w.orders, w.m, w.currency()
	s.Protect()
	s.Widths(24, 14, 14, 10, 12, 16, 14, 30)
	s.Row(T(Title, "Deliveries"))
	s.Row(Cell{Kind: Sub, Value: "What to order, by when. Empty lines are for deliveries that changed inputs may bring.", Span: 7})
	s.Skip(1)
	h := heads(s, "chemical", "order by", "arrives", "packs", "amount, kg", "stock then, kg", "to pay, "+cur)
	s.Freeze(h, 0)
	s.Repeat(h, h)
	for c, a := range m.Accounts {
		t := w.tables[c]
		lines := w.orderLines(c)
		for k := range lines {
			// The k-th delivery stands in the first row whose running number is k.
			pick := func(col Range) string {
				return fmt.Sprintf(`IFERROR(INDEX(%s,MATCH(%d,%s,0)),"")`, col.Ref(), k+1, t.serial.Ref())
			}
			v := [6]any{"", "", "", "", "", ""}
			if k < len(a.Deliveries) {
				d := a.Deliveries[k]
				v = [6]any{date(d.OrderBy), date(d.Arrives), d.Packs, float64(d.Amount), float64(d.StockAfter), d.Cost.Amount}
			}
			r := s.next + 1
			label := ""
			if k < len(a.Deliveries) {
				label = a.Chemical.Name
			}
			s.Row(Calc(fmt.Sprintf(`IF(%s="","",%s)`, a1(r, 2), w.labels[c].Ref()), label, ""), Calc(pick(t.orderBy), v[0], dateFormat), Calc(pick(t.date), v[1], dateFormat), Calc(pick(t.packs), v[2], "0"),
				Calc(fmt.Sprintf(`IF(%s="","",%s*Pack_%s_kg)`, a1(r, 4), a1(r, 4), w.slugs[c]), v[3], "#,##0.###"), Calc(pick(t.full), v[4], "#,##0.0"), Calc(pick(t.paid), v[5], "#,##0.00"))
		}
		more := fmt.Sprintf(`IF(MAX(%s)>%d,"More deliveries than lines here: see the sheet of its store.","")`, t.serial.Ref(), lines)
		s.Put(s.next-lines+1, 8, Cell{Kind: Muted, Formula: more, Value: ""})
	}
}
