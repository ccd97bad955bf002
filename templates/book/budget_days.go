package book

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
)

// dayColumns are the columns of the sheet Days before those of the chemicals, with
// the formula of those that are worked out. What begins with "own" is an input for
// this day alone; empty follows the week.
var dayColumns = []struct {
	name, head      string
	width           float64
	kind            Kind
	format, formula string
}{
	{"date", "date", 12, Value, dateFormat, ""},
	{"name", "day", 7, Value, "", ""},
	{"weekday", "no.", 7, Value, "0", ""}, // Monday is 1
	{"in", "in month", 9, Value, "", ""},
	{"own runs", "treats water", 9, Input, "", ""},
	{"own flow", "flow, FLOW", 9, Input, "", ""},
	{"own hours", "hours", 8, Input, "0.0", ""},
	{"clean-up", "clean-up, VOLUME", 10, Input, "", ""},
	{"own class", "raw water", 11, Input, "", ""},
	{"own delivery", "delivery", 9, Input, "", ""},
	{"runs", "treats", 9, Worked, "", `IF({own runs}="",INDEX({week runs},{weekday}),{own runs})`},
	{"long", "hours", 8, Worked, "0.0", `IF({runs}="yes",IF({own hours}="",INDEX({week hours},{weekday}),{own hours}),0)`},
	{"rate", "flow, FLOW", 9, Worked, "", `IF({runs}="yes",IF({own flow}="",{design}*INDEX({week share},{weekday})/100,{own flow}),0)`},
	{"hours", "hours run", 8, Worked, "0.0", `IF({rate}>0,{at rate},IF({own flow}="",{at design},{at own flow}))`},
	{"water", "water, VOLUME", 10, Worked, "0.0", "{rate}*{long}{h}+{clean-up}"},
	{"class", "class", 8, Worked, "0", `IF({own class}="",0,IFERROR(MATCH({own class},Class_names,0),0))`},
	{"delivery", "delivery can come", 9, Worked, "", `IF({own delivery}="",INDEX({week delivery},{weekday}),{own delivery})`},
	{"gap", "days to next", 9, Worked, "0", ""}, // by its rule
	{"removed", "solids removed, MASS", 10, Worked, "0.00",
		"{ordinary}*IF({class}=0,{mix removed},INDEX({class removed},MAX(1,{class}))){content}{removed clean}"},
	{"dry", "dry solids, MASS", 10, Worked, "0.00",
		"{removed}+{ordinary}*IF({class}=0,{mix yield},INDEX({class yield},MAX(1,{class}))){content}{yield clean}"},
}

// writeDays is one row a day, the month first and then the days looked ahead.
func (w *budgetBook) writeDays() {
	s, m := w.days, w.m
	var widths []float64
	var names []string
	for _, c := range dayColumns {
		widths, names = append(widths, c.width), append(names, w.in(c.head))
	}
	for _, a := range m.Accounts {
		names = append(names, a.Chemical.Name+" wanted, "+w.u.mass)
	}
	s.Landscape()
	s.open(T(Title, "Days"), Cell{Kind: Sub, Value: "Empty cells with a pale fill follow the week on the sheet Inputs; fill them in for " +
		"a day that differs. " +
		`Rows marked no in "in month" are looked ahead for orders only.`, Span: 20}, widths...)
	s.Skip(1)
	h := s.heads(names...)
	s.Freeze(h, 2)
	s.Repeat(h, h)
	for i, c := range dayColumns {
		w.cells["day "+c.name] = s.Block(h+1, i+1, h+len(m.Days), i+1)
	}
	column := func(name string) Range { return w.cells["day "+name] }
	for c := range m.Accounts {
		w.dayUse = append(w.dayUse, s.Block(h+1, len(dayColumns)+1+c, h+len(m.Days), len(dayColumns)+1+c))
	}
	var choices []string
	for _, c := range m.Classes {
		if !c.CleanUp {
			choices = append(choices, c.Name)
		}
	}
	s.Choose(column("own runs"), w.yesNo, "Treats water", "Empty follows the week.", false)
	s.Choose(column("own delivery"), w.yesNo, "Delivery", "Can a delivery arrive on this day? Empty follows the week.", false)
	s.Choose(column("own class"), w.List("raw water", choices), "Raw water", "Expected class; empty takes the usual mix.", false)
	s.Number(column("own flow"), 0, 1e6, "Flow", w.in("In FLOW; empty follows the week."))
	s.Number(column("own hours"), 0, 24, "Hours", "0 to 24; empty follows the week.")
	s.Number(column("clean-up"), 0, 1e7, "Clean-up", w.in("Water passed through the unit to clean a tank, in VOLUME."))
	w.dayRules = &ruled{sheet: s, rules: w.accounts[0], places: map[string]Range{"delivery": column("delivery"), "gap": column("gap")},
		words: map[string]bool{"delivery": true}}
	for i, d := range m.Days {
		w.writeDay(h+1+i, i, d)
	}
	r := s.Row(T(Label, "month"))
	total := func(column Range, v float64, format string) {
		s.Put(r, column.Col, Cell{Kind: Result, Formula: "SUM(" + column.first(w.n).A1() + ")", Value: v, Format: format})
	}
	total(column("water"), m.Treated.In(w.u.volume), "#,##0.0")
	total(column("removed"), m.Removed.Likely.In(w.u.mass), "#,##0.00")
	total(column("dry"), m.Dry.Likely.In(w.u.mass), "#,##0.00")
	for c, a := range m.Accounts {
		total(w.dayUse[c], a.Wanted.In(w.u.mass), "#,##0.000")
	}
}

// writeDay is one row.
func (w *budgetBook) writeDay(r, i int, d month.Day) {
	s, cal := w.days, w.m.Plan.Calendar
	p := cal.Week[d.Date.Weekday()]
	class := w.class(d)
	ofClass := func(v []float64) float64 {
		if class == 0 {
			return w.mixed(v)
		}
		return v[class-1]
	}
	hours, rate := 0.0, 0.0
	if d.Operating {
		hours, rate = float64(d.Hours), float64(d.Flow)
	}
	water := rate*hours + d.CleanUp.In("m3")
	per := func(v []float64) float64 { // of the day's water in g
		if k := w.clean(); k >= 0 {
			return rate*hours*ofClass(v) + d.CleanUp.In("m3")*v[k]
		}
		return water * ofClass(v)
	}
	var removed []float64
	for _, c := range w.m.Classes {
		removed = append(removed, float64(c.Removed.Likely))
	}
	mass := func(g float64) float64 { return quantity.Mass(g / 1000).In(w.u.mass) }
	values := map[string]any{
		"date": date(d.Date), "name": d.Date.Weekday().String()[:3], "weekday": int(d.Date.Weekday()+6)%7 + 1, "in": yes(d.InMonth),
		"own runs": filled(yes(d.Operating), d.Operating != p.Operating), "own flow": filled(d.Flow.In(w.u.flow), d.OwnFlow),
		"own hours": filled(float64(d.Hours), d.Hours != p.Hours), "clean-up": filled(d.CleanUp.In(w.u.volume), d.CleanUp > 0),
		"own class": filled(d.Class, d.Class != month.UsualWater), "own delivery": filled(yes(d.Delivery), d.Delivery != p.Delivery),
		"runs": yes(d.Operating), "long": hours, "rate": quantity.Flow(rate).In(w.u.flow), "hours": float64(d.Running()),
		"water": w.volume(water),
		"class": class, "delivery": yes(d.Delivery), "removed": mass(per(removed)), "dry": mass(per(removed) + per(w.yields())),
	}
	refs := map[string]string{"design": w.designFlow(), "content": w.u.content, "h": w.u.hour}
	for k, c := range dayColumns {
		refs[c.name] = a1(r, k+1)
	}
	w.cleaning(refs)
	for k, c := range dayColumns {
		if c.name == "gap" {
			w.dayRules.put("gap", i, c.kind, c.format)
			continue
		}
		s.Put(r, k+1, Cell{Kind: c.kind, Value: values[c.name], Formula: w.fill(s, c.formula, refs), Format: c.format})
	}
	if w.clean() >= 0 && d.CleanUp > 0 {
		s.Put(r, w.cells["day clean-up"].Col, Cell{Kind: Input, Formula: w.cellName(cleanUpName), Value: d.CleanUp.In(w.u.volume)})
	}
	if !d.OwnFlow && d.Operating && p.Share == 0 && d.Flow > 0 { // a day off that is worked at the design flow
		s.Put(r, w.cells["day own flow"].Col, Cell{Kind: Input, Formula: w.designFlow(), Value: cal.Flow.In(w.u.flow) * w.season()})
	}
	for c := range w.m.Accounts {
		refs["mix"], refs["by class"], refs["use clean"] = w.productMix[c].Ref(), w.product[c].Ref(), ""
		if w.clean() >= 0 {
			refs["use clean"] = w.ofClean(refs, w.product[c])
		}
		used := w.fill(s, "{ordinary}*IF({class}=0,{mix},INDEX({by class},MAX(1,{class}))){content}{use clean}", refs)
		s.Put(r, w.dayUse[c].Col, Calc(w.ahead(used, c, i), w.accounts[c].Row("wanted", i), "0.000"))
	}
}

// ahead is what a day uses, times what the month that a day looked ahead lies in uses over what this
// month would; a day of which this month would use nothing is printed as its number.
func (w *budgetBook) ahead(used string, c, i int) string {
	times := 1.0
	if i >= w.n {
		times = w.m.Accounts[c].Ahead[i-w.n]
	}
	switch {
	case math.Abs(times-1) < 1e-9 || math.IsNaN(times): // nothing over nothing
		return used
	case math.IsInf(times, 0):
		return Decimal(w.accounts[c].Row("wanted", i))
	}
	return "(" + used + ")*" + Decimal(times)
}

// cleaning puts into the references of a day what becomes of its clean-up: of a class of its own it
// runs at a flow of its own; else at the flow of the day or the design flow, for what is left of
// the day, or as a whole.
func (w *budgetBook) cleaning(refs map[string]string) {
	open, flows := "MIN(24,", map[string]string{}
	for _, name := range []string{"rate", "design", "own flow"} {
		flows[name] = refs[name]
	}
	if w.m.Plan.Calendar.CleanFlow > 0 {
		open = "("
	}
	refs["ordinary"], refs["removed clean"], refs["yield clean"] = refs["water"], "", ""
	if w.clean() >= 0 {
		refs["ordinary"] = "(" + refs["water"] + "-SUM(" + refs["clean-up"] + "))"
		refs["removed clean"], refs["yield clean"] = w.ofClean(refs, w.cells["class removed"]), w.ofClean(refs, w.cells["class yield"])
		for name := range flows {
			flows[name] = w.cellName(cleanFlowName)
		}
	}
	for name, flow := range flows {
		refs["at "+name] = open + refs["long"] + "+SUM(" + refs["clean-up"] + ")/(MAX(" + flow + ",1E-9)" + w.u.hour + "))"
	}
}

// ofClean adds the clean-up of a day to a figure, of one by class in those cells.
func (w *budgetBook) ofClean(refs map[string]string, by Range) string {
	return fmt.Sprintf("+SUM(%s)*INDEX(%s,%d)%s", refs["clean-up"], by.Ref(), w.clean()+1, w.u.content)
}

// clean is the class of the water of clean-ups, below zero where there is none.
func (w *budgetBook) clean() int {
	return slices.IndexFunc(w.m.Classes, func(c month.Class) bool { return c.CleanUp })
}

// The cells of a clean-up that counts as a whole.
const cleanUpName, cleanFlowName = "Clean_up_VOLUME", "Clean_up_Flow_FLOW"

// class is the number of a day's class of water, 0 where it is not known: its cell then stays empty.
func (w *budgetBook) class(d month.Day) int {
	if d.Class == month.UsualWater {
		return 0
	}
	return 1 + slices.IndexFunc(w.m.Classes, func(c month.Class) bool { return c.Name == d.Class })
}

// designFlow is the formula of the month's flow.
func (w *budgetBook) designFlow() string { return w.cellName("Flow_FLOW") + "*Season" }

// season is the month's flow over the design flow.
func (w *budgetBook) season() float64 { return cmp.Or(float64(w.m.Plan.Calendar.Season), 1) }

// yields are the solids that the chemicals make in a volume of each class.
func (w *budgetBook) yields() []float64 {
	v := make([]float64, len(w.m.Classes))
	for k := range v {
		for _, a := range w.m.Accounts {
			v[k] += float64(a.Doses[k]) * float64(a.Chemical.Made(w.m.Classes[k], k))
		}
	}
	return v
}
