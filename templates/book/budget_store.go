package book

import (
	"fmt"
	"strings"

	"jarwright/dosing/month"
)

// storeColumns are the columns of a store's sheet, by the names of their rules:
// first what a reader looks for and what is printed, then how it was worked out.
var storeColumns = []struct {
	rule, head, format string
	kind               Kind
}{
	{"date", "date", dateFormat, Worked},
	{"day", "day", "0", Value},
	{"no", "no.", "0", Value},
	{"wanted", "wanted, MASS", "0.000", Worked},
	{"start", "stock in the morning, MASS", "0.000", Worked},
	{"expired", "out of date, MASS", "0.000", Worked},
	{"ordered", "on order arrives, MASS", "0.000", Worked},
	{"packs", "PACKS ARRIVING", "0", Result},
	{"came", "arrives, MASS", "0.000", Worked},
	{"full", "stock then, MASS", "0.000", Worked},
	{"short", "short, MASS", "0.000", Worked},
	{"end", "stock in the evening, MASS", "0.000", Worked},
	{"order_by", "order by", dateFormat, Worked},
	{"paid", "to pay, CUR", "0.00", Worked}, // the last that is printed
	{"price", "price per MASS, CUR", "0.0000", Worked},
	{"serial", "delivery no.", "0", Worked},
	{"late", "short? 1: yes", "0", Worked},
	{"delivered", "delivery? 1: yes", "0", Worked},
	{"before", "wanted before, MASS", "0.000", Worked},
	{"arrived", "arrived before, MASS", "0.000", Worked},
	{"have", "in store, MASS", "0.000", Worked},
	{"newest", "newest lot, day no.", "0", Worked},
	{"usable", "usable in time, MASS", "0.000", Worked},
	{"cover_use", "used to next chance, MASS", "0.000", Worked},
	{"coming", "on order by then, MASS", "0.000", Worked},
	{"lack", "lacking, MASS", "0.000", Worked},
	{"placed", "last day to order for it", dateFormat, Worked},
	{"can", "order can arrive", "", Worked},
	{"keeps", "packs used in time", "0", Worked},
	{"room", "packs that fit", "0", Worked},
	{"left", "left without a delivery, MASS", "0.000", Worked},
	{"lasted", "lasts, of the day", "0.00", Worked},
}

// storeItems are the single cells above the columns.
var storeItems = []struct {
	rule, label, format, unit, remark string
	name                              string // of the cell, with %s for the chemical
	kind                              Kind
}{
	{"need", "wanted in the month", "#,##0.000", "MASS", "", "", Worked},
	{"use", "use in the month", "#,##0.000", "MASS", "but for what is short", "Use_%s_MASS", Result},
	{"mean", "wanted a day", "", "MASS/d", "over all DAYS days", "Use_a_day_%s_MASS", Worked},
	{"safety", "always kept", "", "MASS", "with slack for a late delivery", "Kept_%s_MASS", Worked},
	{"reorder", "reorder point", "", "MASS", "order at this stock", "Reorder_%s_MASS", Worked},
	{"order", "usual order", "0", "packs", "", "Order_%s_packs", Worked},
	{"bought", "ordered, arriving in the month", "0.000", "MASS", "", "", Worked},
	{"charges", "delivery charges of these orders", "#,##0.00", "CUR", "", "", Worked},
	{"usual_price", "price in the usual order", "0.0000", "CUR/MASS", "as a day plan counts it", "", Worked},
	{"usual_freight", "delivery charge of the usual order", "0.0000", "CUR/MASS", "spread over it, as a day plan counts it", "", Worked},
	{"unit_price", "price", "0.0000", "CUR/MASS", "of these orders, else of the usual one", "", Worked},
	{"unit_freight", "delivery charge", "0.0000", "CUR/MASS", "spread over them", "", Worked},
	{"goods", "cost of what is used", "#,##0.00", "CUR", "", "Cost_%s", Worked},
	{"freight", "delivery charge of what is used", "#,##0.00", "CUR", "", "", Worked},
	{"dilution", "water for its stock", "#,##0.0", "LIQUID", "", "", Worked},
	{"earliest", "first day a new order can arrive", "0", "", "day no.", "", Worked},
	{"arrival", "what is on order arrives", "0", "", "day no.; -1: not in this plan", "", Worked},
	{"cover", "the stock at the start lasts", "0.0", "d", "without a delivery", "Cover_%s_d", Worked},
	{"short_from", "short from", dateFormat, "", "", "Short_from_%s", Worked},
	{"lacking", "short of", "0.000", "MASS", "", "", Worked},
	{"wasted", "out of date in the month", "0.000", "MASS", "", "", Worked},
	{"loss", "cost of goods out of date", "#,##0.00", "CUR", "", "", Worked},
	{"to_pay", "to pay for deliveries of the month", "#,##0.00", "CUR", "", "", Worked},
}

// storeInputs are the names of the cells that a store's rules take from the sheet Inputs.
var storeInputs = map[string]string{
	"pack": packName, "limit": "Room_%s_MASS", "lead": "Lead_%s_d", "shelf": "Shelf_%s_d", "kept": "Days_kept_%s", "factor": "Factor_%s",
	"opening": "Opening_%s_MASS", "age": "Age_%s_d", "newest_age": "Age_%s_d", "usual": "Usual_%s_packs", "on_order": "On_order_%s_packs",
	"arrives": "Arrives_%s", "order_from": "Order_from", "charge": "Charge_%s", "stock": stockName, "density": densityName,
}

// Names of cells that belong to a chemical.
const (
	packName    = "Pack_%s_MASS"
	stockName   = "Stock_%s_PART_LIQUID"
	densityName = "Density_%s_MASS_LIQUID"
)

// The row of the headings and the last column that is printed.
const (
	storeHeads   = 33
	storePrinted = 14
)

// writeStore is the account of one chemical's store.
func (w *budgetBook) writeStore(c int) {
	s, a := w.stores[c], w.m.Accounts[c]
	s.OnePage()
	s.open(T(Title, "Store of %s", a.Chemical.Name), Cell{Kind: Sub, Value: "Works out what arrives when. Nothing is to be filled in " +
		"here.", Span: 10},
		30, 11, 9, 10, 11, 10, 10, 11, 10, 10, 9, 11, 12, 11)
	s.Skip(1)
	p := w.storePlaces(c)
	w.tables = append(w.tables, p)
	for _, x := range storeItems {
		v := p.shown(x.rule, p.rules.Cell(x.rule), x.format)
		cell := Cell{Kind: x.kind, Formula: p.formula(x.rule, 0), Value: v, Format: x.format}
		w.item(s, x.label, cell, x.unit, strings.ReplaceAll(x.remark, "DAYS", fmt.Sprint(w.n)), x.name, w.slugs[c])
	}
	first, last := storeHeads+1, storeHeads+len(a.Stock)
	s.Chart(4, 7, 660, 420, w.stockChart(c, p))
	s.Print(s.Block(1, 1, last, storePrinted))
	s.next = storeHeads - 1
	var names []string
	for _, x := range storeColumns {
		names = append(names, w.in(x.head))
	}
	s.heads(names...)
	s.Freeze(storeHeads, 1)
	s.Repeat(storeHeads, storeHeads)
	for i, d := range a.Stock {
		for col, x := range storeColumns {
			at := s.At(first+i, col+1)
			switch x.rule {
			case "date":
				s.Put(at.Row, at.Col, Calc(w.cells["day date"].down(i).Ref(), date(d.Date), x.format))
			case "day":
				s.Put(at.Row, at.Col, Cell{Kind: x.kind, Value: d.Date.Day, Format: x.format})
			case "wanted":
				s.Put(at.Row, at.Col, Calc(w.dayUse[c].down(i).Ref(), p.rules.Row("wanted", i), x.format))
			default:
				p.put(x.rule, i, x.kind, x.format)
			}
		}
	}
	p.put("before", len(a.Stock), Worked, "0.000")
}

// storePlaces says where what a store's rules name stands.
func (w *budgetBook) storePlaces(c int) *ruled {
	s, a := w.stores[c], w.m.Accounts[c]
	p := &ruled{sheet: s, rules: w.accounts[c], names: map[string]string{},
		places: map[string]Range{"delivery": w.cells["day delivery"], "gap": w.cells["day gap"]},
		words:  map[string]bool{"delivery": true, "can": true}, none: map[string]string{"short_from": "not short"}}
	for rule, name := range storeInputs {
		p.names[rule] = w.cellName(name, w.slugs[c])
	}
	if len(a.Chemical.Supply.Fresher) > 0 {
		delete(p.names, "newest_age") // for which there is no input
	}
	for i := 1; i <= w.m.Plan.Tiers(); i++ {
		p.names[month.TierPrice(i)] = fmt.Sprintf(priceName(i), w.slugs[c])
		p.names[month.TierFrom(i)] = fmt.Sprintf("Packs_for_price_%d_%s", i, w.slugs[c])
	}
	for i, x := range storeItems {
		p.places[x.rule] = s.At(s.next+1+i, 2)
	}
	for i, x := range storeColumns {
		p.places[x.rule] = s.Block(storeHeads+1, i+1, storeHeads+len(a.Stock), i+1)
	}
	return p
}

// priceName names the cell of the i-th price of a chemical.
func priceName(i int) string {
	if i == 1 {
		return "Price_%s"
	}
	return fmt.Sprintf("Price_%d_%%s", i)
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
	s, m := w.orders, w.m
	s.open(T(Title, "Deliveries"), Cell{Kind: Sub, Value: "What to order, by when. Empty lines are for deliveries that changed inputs " +
		"may bring.", Span: 7},
		24, 14, 14, 10, 12, 16, 14, 30)
	s.Skip(1)
	h := s.heads("chemical", "order by", "arrives", "packs", w.in("amount, MASS"), w.in("stock then, MASS"), w.in("to pay, CUR"))
	s.Freeze(h, 0)
	s.Repeat(h, h)
	for c, a := range m.Accounts {
		t := w.tables[c]
		lines := w.orderLines(c)
		for k := range lines {
			// The k-th delivery stands in the first row whose running number is k.
			pick := func(column string) string {
				return fmt.Sprintf(`IFERROR(INDEX(%s,MATCH(%d,%s,0)),"")`, t.places[column].Ref(), k+1, t.places["serial"].Ref())
			}
			unless := func(col int, formula string) string {
				return fmt.Sprintf(`IF(%s="","",%s)`, a1(s.next+1, col), formula)
			}
			v := [7]any{"", "", "", "", "", "", ""}
			if k < len(a.Deliveries) {
				d := a.Deliveries[k]
				v = [7]any{a.Chemical.Name, date(d.OrderBy), date(d.Arrives), d.Packs, d.Amount.In(w.u.mass), d.StockAfter.In(w.u.mass), d.Cost.Amount}
			}
			amount := a1(s.next+1, 4) + "*" + w.cellName(packName, w.slugs[c])
			s.Row(Calc(unless(2, w.labels.cell(c).Ref()), v[0], ""), Calc(pick("order_by"), v[1], dateFormat), Calc(pick("date"), v[2], dateFormat),
				Calc(pick("packs"), v[3], "0"), Calc(unless(4, amount), v[4], "#,##0.###"), Calc(pick("full"), v[5], "#,##0.0"),
				Calc(pick("paid"), v[6], "#,##0.00"))
		}
		more := fmt.Sprintf(`IF(MAX(%s)>%d,"More deliveries than lines here: see the sheet of its store.","")`, t.places["serial"].Ref(), lines)
		s.Put(s.next-lines+1, 8, Cell{Kind: Muted, Formula: more, Value: ""})
	}
}
