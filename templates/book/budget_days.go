package book

import (
	"fmt"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
)

// Columns of the sheet Days.
const (
	dayDateCol = iota + 1
	dayNameCol
	dayWeekCol // Monday is 1
	dayInCol   // in the month
	dayRunsCol // inputs for this day alone, empty follows the week
	dayFlowCol
	dayHoursCol
	dayCleanCol
	dayClassCol
	dayBringsCol
	dayOnCol // worked out
	dayLongCol
	dayRateCol
	dayTimeCol
	dayWaterCol
	dayKindCol
	dayDeliveryCol
	dayGapCol
	dayRemovedCol
	dayDryCol
	dayUseCol // first chemical
)

// writeDays is one row a day, the month first and then the days looked ahead.
func (w *budgetBook) writeDays() {
	s, m := w.days, w.m
	s.Protect()
	s.Landscape()
	s.Widths(12, 7, 7, 9, 9, 9, 8, 10, 11, 9, 9, 8, 9, 8, 10, 8, 9, 9, 10, 10)
	s.Row(T(Title, "Days"))
	s.Row(Cell{Kind: Sub, Value: "Empty cells with a pale fill follow the week on the sheet Inputs; fill them in for a day that differs. Rows marked no in \"in month\" are looked ahead for orders only.", Span: 20})
	s.Skip(1)
	names := []string{"date", "day", "no.", "in month", "treats water", w.in("flow, FLOW"), "hours", w.in("clean-up, VOLUME"), "raw water", "delivery",
		"treats", "hours", w.in("flow, FLOW"), "hours run", w.in("water, VOLUME"), "class", "delivery can come", "days to next", w.in("solids removed, MASS"), w.in("dry solids, MASS")}
	for _, a := range m.Accounts {
		names = append(names, a.Chemical.Name+", "+w.u.mass)
	}
	h := heads(s, names...)
	s.Freeze(h, 2)
	s.Repeat(h, h)
	first, last := h+1, h+len(m.Days)
	column := func(col int) Range { return s.Block(first, col, last, col) }
	choices := []string{}
	for _, c := range m.Classes {
		choices = append(choices, c.Name)
	}
	s.Choose(column(dayRunsCol), w.yesNo, "Treats water", "Empty follows the week.", false)
	s.Choose(column(dayBringsCol), w.yesNo, "Delivery", "Can a delivery arrive on this day? Empty follows the week.", false)
	s.Choose(column(dayClassCol), w.List("raw water", choices), "Raw water", "Expected class; empty takes the usual mix.", false)
	s.Number(column(dayFlowCol), 0, 1e6, "Flow", w.in("In FLOW; empty follows the week."))
	s.Number(column(dayHoursCol), 0, 24, "Hours", "0 to 24; empty follows the week.")
	s.Number(column(dayCleanCol), 0, 1e7, "Clean-up", w.in("Water passed through the unit to clean a tank, in VOLUME."))
	w.dayDate, w.dayUse = column(dayDateCol), column(dayUseCol)
	w.dayDelivery, w.dayGap = column(dayDeliveryCol), column(dayGapCol)
	w.dayRules = &ruled{sheet: s, rules: w.accounts[0], places: map[string]Range{"delivery": w.dayDelivery, "gap": w.dayGap}, words: map[string]bool{"delivery": true}}
	for i, d := range m.Days {
		w.writeDay(first+i, i, d)
	}
	w.dayWater, w.dayRemoved, w.dayDry, w.dayHours = column(dayWaterCol), column(dayRemovedCol), column(dayDryCol), column(dayTimeCol)
	r := s.Row(T(Label, "month"))
	total := func(col int, v float64, format string) {
		s.Put(r, col, Cell{Kind: Result, Formula: "SUM(" + column(col).first(w.n).A1() + ")", Value: v, Format: format})
	}
	total(dayWaterCol, m.Treated.In(w.u.volume), "#,##0.0")
	total(dayRemovedCol, m.Removed.Likely.In(w.u.mass), "#,##0.00")
	total(dayDryCol, m.Dry.Likely.In(w.u.mass), "#,##0.00")
	for c, a := range m.Accounts {
		total(dayUseCol+c, a.Use.In(w.u.mass), "#,##0.000")
	}
}

// writeDay is one row.
func (w *budgetBook) writeDay(r, i int, d month.Day) {
	s, cal := w.days, w.m.Plan.Calendar
	p := cal.Week[d.Date.Weekday()]
	ref := func(col int) string { return a1(r, col) }
	put := func(col int, c Cell) { s.Put(r, col, c) }
	blank := func(own bool, v any) any {
		if own {
			return v
		}
		return nil
	}
	weekday := int(d.Date.Weekday()+6)%7 + 1
	put(dayDateCol, Cell{Kind: Value, Value: date(d.Date), Format: dateFormat})
	put(dayNameCol, Cell{Kind: Value, Value: d.Date.Weekday().String()[:3]})
	put(dayWeekCol, Cell{Kind: Value, Value: weekday, Format: "0"})
	put(dayInCol, Cell{Kind: Value, Value: yes(d.InMonth)})
	put(dayRunsCol, In(blank(d.Operating != p.Operating, yes(d.Operating)), ""))
	season := float64(cal.Season)
	if season == 0 {
		season = 1
	}
	flow := In(blank(d.OwnFlow, d.Flow.In(w.u.flow)), "")
	if !d.OwnFlow && d.Operating && p.Share == 0 && d.Flow > 0 { // a day off that is worked at the design flow
		flow = Cell{Kind: Input, Formula: w.designFlow(), Value: cal.Flow.In(w.u.flow) * season}
	}
	put(dayFlowCol, flow)
	put(dayHoursCol, In(blank(d.Hours != p.Hours, float64(d.Hours)), "0.0"))
	put(dayCleanCol, In(blank(d.CleanUp > 0, d.CleanUp.In(w.u.volume)), ""))
	put(dayClassCol, In(blank(d.Class != month.UsualWater, d.Class), ""))
	put(dayBringsCol, In(blank(d.Delivery != p.Delivery, yes(d.Delivery)), ""))

	follow := func(own int, week Range) string {
		return fmt.Sprintf(`IF(%s="",INDEX(%s,%s),%s)`, ref(own), week.Ref(), ref(dayWeekCol), ref(own))
	}
	hours := 0.0
	rate := 0.0
	if d.Operating {
		hours, rate = float64(d.Hours), float64(d.Flow)
	}
	put(dayOnCol, Calc(follow(dayRunsCol, w.weekOn), yes(d.Operating), ""))
	put(dayLongCol, Calc(fmt.Sprintf(`IF(%s="yes",%s,0)`, ref(dayOnCol), follow(dayHoursCol, w.weekHours)), hours, "0.0"))
	put(dayRateCol, Calc(fmt.Sprintf(`IF(%s="yes",IF(%s="",%s*INDEX(%s,%s)/100,%s),0)`, ref(dayOnCol), ref(dayFlowCol), w.designFlow(), w.weekShare.Ref(), ref(dayWeekCol), ref(dayFlowCol)), quantity.Flow(rate).In(w.u.flow), ""))
	// A clean-up runs at the flow of the day, else at the design flow.
	long := func(flow string) string {
		return fmt.Sprintf("MIN(24,%s+SUM(%s)/(MAX(%s,1E-9)%s))", ref(dayLongCol), ref(dayCleanCol), flow, w.u.hour)
	}
	put(dayTimeCol, Calc(fmt.Sprintf(`IF(%s>0,%s,IF(%s="",%s,%s))`, ref(dayRateCol), long(ref(dayRateCol)), ref(dayFlowCol),
		long(w.designFlow()), long(ref(dayFlowCol))), float64(d.Running()), "0.0"))
	water := rate*hours + d.CleanUp.In("m3")
	put(dayWaterCol, Calc(fmt.Sprintf("%s*%s%s+%s", ref(dayRateCol), ref(dayLongCol), w.u.hour, ref(dayCleanCol)), w.volume(water), "0.0"))
	class := 0
	for k, c := range w.m.Classes {
		if c.Name == d.Class && d.Class != month.UsualWater { // whose cell stays empty
			class = k + 1
		}
	}
	put(dayKindCol, Calc(fmt.Sprintf(`IF(%s="",0,IFERROR(MATCH(%s,Class_names,0),0))`, ref(dayClassCol), ref(dayClassCol)), class, "0"))
	put(dayDeliveryCol, Calc(follow(dayBringsCol, w.weekDelivery), yes(d.Delivery), ""))
	w.dayRules.put("gap", i, Worked, "0")
	at := func(row, mix Range) string {
		return fmt.Sprintf("IF(%s=0,%s,INDEX(%s,%s))", ref(dayKindCol), mix.Ref(), row.Ref(), fmt.Sprintf("MAX(1,%s)", ref(dayKindCol)))
	}
	value := func(v []float64) float64 {
		if class == 0 {
			return w.mixed(v)
		}
		return v[class-1]
	}
	var removed, yield []float64
	for k, c := range w.m.Classes {
		removed = append(removed, float64(c.Removed.Likely))
		y := 0.0
		for _, a := range w.m.Accounts {
			y += float64(a.Doses[k]) * float64(a.Chemical.SolidsYield().Likely)
		}
		yield = append(yield, y)
	}
	put(dayRemovedCol, Calc(fmt.Sprintf("%s*%s%s", ref(dayWaterCol), at(w.removed, w.removedMix), w.u.content), quantity.Mass(water*value(removed)/1000).In(w.u.mass), "0.00"))
	put(dayDryCol, Calc(fmt.Sprintf("%s+%s*%s%s", ref(dayRemovedCol), ref(dayWaterCol), at(w.yield, w.yieldMix), w.u.content),
		quantity.Mass(water*(value(removed)+value(yield))/1000).In(w.u.mass), "0.00"))
	for c := range w.m.Accounts {
		used := w.accounts[c].Row("wanted", i)
		put(dayUseCol+c, Calc(fmt.Sprintf("%s*%s%s", ref(dayWaterCol), at(w.product[c], w.productMix[c]), w.u.content), used, "0.000"))
	}
}

// designFlow is the formula of the month's flow.
func (w *budgetBook) designFlow() string { return w.cellName("Flow_FLOW") + "*Season" }
