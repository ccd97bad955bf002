package templates

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// Live adds a sheet on which flow, hours, doses, strengths and stocks may be
// changed, and what the day uses and the pumps feed follows.
func (p Plan) Live(b *book.Book, o Options) error {
	wide := 2 + max(len(p.Feeds), 3)
	l := &planSheet{newLive(b, "Change it", "Change an input, see the day",
		"Pale cells with a dark border may be changed; all else follows. Cautions, pH, carbon dioxide with how it is stripped, batches and times stand as they were for the inputs at writing.",
		wide, 3, 2, 34, 12, 16, 16, 16, 16, 16, 16), p, p.sheetUnits(o.Units), nil}
	l.water()
	l.feeds()
	l.sludge(p.Sludge, p.Feeds, l.u, p.Treated, o.Units)
	l.check()
	l.end(wide-1, "CAUTION: a changed dose has not been checked against animals, alkalinity, pH, carbon dioxide, residuals or the pump's other limits. Run the program again on the changed site before using it.")
	return nil
}

// planSheet writes the live sheet of a plan.
type planSheet struct {
	liveSheet
	p Plan
	u planUnits
	// checked are the rows of results that are held against the plan.
	checked []checkedRow
}

// checkedRow is a row of results with the program's own figure for each feed.
type checkedRow struct {
	row  int
	name string
	own  func(f dosing.Feed) (float64, bool)
}

// water writes the inputs that all feeds share.
func (l *planSheet) water() {
	l.section("The water")
	flow, unit := l.p.Day.Average().In(l.u.flow), l.u.flow
	name := "Flow_" + slugUnit(unit)
	l.Number(l.At(l.row, 3), 0, 1e7, "Flow", "Flow to be treated, in "+unit+".")
	l.line("Average flow while the unit runs", inputTo(flow), unit, either(l.u.again, "Flow_shown", name))
	l.Number(l.At(l.row, 3), 0, 24, "Hours", "Hours that the unit runs, 0 to 24.")
	l.line("Hours run a day", book.In(float64(l.p.Running), "0.0"), "h", "Hours_run")
	if l.u.again {
		l.line("Flow in "+unit, book.Calc("Flow_shown*1", flow, book.Digits(flow, 4)), unit, name)
	}
	if slices.ContainsFunc(l.p.Feeds, twoKnobs) && l.p.Day.Least() < l.p.Day.Peak() { // one stroke has to do for all of them
		l.line("Least flow", inputTo(l.p.Day.Least().In(unit)), unit, "Least_flow")
		l.line("Peak flow", inputTo(l.p.Day.Peak().In(unit)), unit, "Peak_flow")
	}
	l.row++
}

// each writes one row: a name, a unit, and a cell for each feed. It gives the row.
func (l *planSheet) each(name, unit string, cell func(f dosing.Feed, col string) (book.Cell, bool)) int {
	for i, f := range l.p.Feeds {
		c, ok := cell(f, column(3+i))
		l.Put(l.row, 3+i, either(ok, c, none))
	}
	l.Put(l.row, 1, book.T(book.Label, "%s", name))
	l.Put(l.row, 2, book.T(book.Unit, "%s", unit))
	l.row++
	return l.row - 1
}

// given writes a row of numbers that may be changed.
func (l *planSheet) given(name, unit string, digits int, v func(f dosing.Feed) (float64, bool)) int {
	return l.each(name, unit, func(f dosing.Feed, _ string) (book.Cell, bool) {
		x, ok := v(f)
		return book.In(x, either(digits > 0, book.Digits(x, digits), "0.000")), ok
	})
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
	l.section("Each chemical")
	heads := []string{"", "Unit"}
	for _, f := range l.p.Feeds {
		heads = append(heads, f.Name)
	}
	l.heads(1, heads...)
	u := l.u
	dose := l.given("Dose", "mg/L", 4, func(f dosing.Feed) (float64, bool) { return float64(f.Dose.Concentration), true })
	l.nameEach("Dose_mg_L", dose)
	l.each("The dose counts", "", func(f dosing.Feed, _ string) (book.Cell, bool) {
		return book.Cell{Kind: book.Value, Value: strings.TrimPrefix(f.Dose.Basis.String(), "as ")}, true
	})
	share := l.each("Content of that in the product", "%", func(f dosing.Feed, _ string) (book.Cell, bool) {
		v, neat := 100.0, f.Dose.Basis == quantity.AsProduct
		if !neat && f.AsProduct.Concentration > 0 {
			v = 100 * float64(f.Dose.Concentration/f.AsProduct.Concentration)
		}
		return book.Cell{Kind: either(neat, book.Value, book.Input), Value: v, Format: book.Digits(v, 4)}, true
	})
	density := l.given("Mass of a "+u.vessel+" of product", u.density, 0, func(f dosing.Feed) (float64, bool) {
		d := f.Stock.Product.Density.V.In(u.density)
		return d, f.HasVolume && d > 0
	})
	stock := l.given("Product in a "+u.vessel+" of stock", u.stock, 4, func(f dosing.Feed) (float64, bool) {
		return u.strength(f.PerLitre), f.Fed
	})
	pumps := l.pumps()
	usable := l.given("Usable in the tank", u.liquid, 3, func(f dosing.Feed) (float64, bool) {
		if f.Tank == nil || !f.Fed {
			return 0, false
		}
		return f.Tank.Holds().In(u.liquid), true
	})
	keeps := l.given("It keeps, from when it may be fed", "h", 3, func(f dosing.Feed) (float64, bool) {
		return float64(f.Keeps()), l.bounded(f)
	})
	l.row++
	l.section("What follows")
	// In the formulas a name in braces is that row's cell of the same feed.
	rows := map[string]int{"dose": dose, "share": share, "density": density, "stock": stock, "usable": usable, "keeps": keeps}
	maps.Copy(rows, pumps)
	each := func(key, name, unit string, formula func(dosing.Feed) string, kind book.Kind, v func(f dosing.Feed) (float64, bool)) int {
		row := l.each(name, unit, func(f dosing.Feed, col string) (book.Cell, bool) {
			x, ok := v(f)
			if !ok {
				return book.Cell{}, false
			}
			return book.Cell{Kind: kind, Formula: inColumn(formula(f), col, rows), Value: x, Format: book.Digits(x, 4)}, ok
		})
		rows[key] = row
		if kind == book.Result {
			l.checked = append(l.checked, checkedRow{row, name, v})
		}
		return row
	}
	result := func(key, name, unit, formula string, kind book.Kind, v func(f dosing.Feed) (float64, bool)) int {
		return each(key, name, unit, func(dosing.Feed) string { return formula }, kind, v)
	}
	water := "*Flow_" + slugUnit(u.flow)
	result("product", "Dose as product", "mg/L", "{dose}/({share}/100)", book.Worked,
		func(f dosing.Feed) (float64, bool) { return float64(f.AsProduct.Concentration), true })
	l.nameEach("Product_a_day", result("use", "Product a day", u.mass+"/d", "{product}"+water+"*Hours_run"+u.content, book.Result,
		func(f dosing.Feed) (float64, bool) { return f.Product.In(u.mass + "/d"), true }))
	result("liquid", "as liquid", u.liquid+"/d", "{product}"+water+"*Hours_run"+u.content+"/{density}", book.Worked,
		func(f dosing.Feed) (float64, bool) { return f.Volume.In(u.liquid), f.HasVolume })
	result("stocked", "Stock a day", u.liquid+"/d", "{product}"+water+"*Hours_run"+u.inStock+"/{stock}", book.Worked,
		func(f dosing.Feed) (float64, bool) { return f.StockUse.In(u.liquid), f.Fed })
	l.nameEach("Feed_mL_min", result("rate", "FEED RATE", "mL/min", "{product}"+water+"/{stock}"+u.feed, book.Result,
		func(f dosing.Feed) (float64, bool) { return float64(f.Rate), f.Fed }))
	each("setting", "Setting, worked out", "%", func(f dosing.Feed) string { return ifFed(settingFormula(f)) }, book.Worked, ofPump(func(c pump.Choice) float64 { return float64(c.Exact.Setting) }))
	setting := "PUMP SETTING"
	if slices.ContainsFunc(l.p.Feeds, func(f dosing.Feed) bool { return l.p.Turns(f) != nil }) {
		setting = "Setting at that flow alone (set by the list of the day)"
	}
	each("near", "the nearest that its knob can stand at", "%", func(dosing.Feed) string { return ifFed(nearest("{setting}")) }, book.Worked, ofPump(func(c pump.Choice) float64 { return float64(c.Nearest) }))
	feeds := func(knob string) func(dosing.Feed) string {
		return func(f dosing.Feed) string { return givesFormula(f, knob) }
	}
	each("near_gives", "there the pump feeds", "mL/min", feeds("{near}"), book.Worked, func(f dosing.Feed) (float64, bool) { return fedAt(f, 0) })
	each("up_gives", "and a step above it", "mL/min", feeds("({near}+{step})"), book.Worked, func(f dosing.Feed) (float64, bool) { return fedAt(f, 1) })
	each("knob", setting, "%", func(f dosing.Feed) string { return ifFed(knobFormula(f)) }, book.Result, ofPump(func(c pump.Choice) float64 { return float64(c.Position.Setting) }))
	if unit := scaleUnit(l.p.Feeds); unit != "" {
		each("shows", "what its knob then shows", unit, func(dosing.Feed) string { return "{knob}*{top}/100" }, book.Worked, func(f dosing.Feed) (float64, bool) {
			c, ok := chosen(f)
			if !ok || f.Pump.Scale.Top <= 0 {
				return 0, false
			}
			return f.Pump.Scale.Shows(c.Position.Setting), true
		})
	}
	each("gives", "the pump then feeds", "mL/min", func(f dosing.Feed) string { return ifFed(givesFormula(f, "{knob}")) }, book.Worked, ofPump(func(c pump.Choice) float64 { return float64(c.Gives) }))
	at := l.each("", "", func(f dosing.Feed, col string) (book.Cell, bool) {
		c, ok := chosen(f)
		if !ok {
			return book.Cell{}, false
		}
		coarse := off("{rate}", "{gives}", pump.OffDose)
		if f.Pump.NoLess { // a whole step where the one above is meant: see [pump.Choice.Coarse]
			coarse = fmt.Sprintf("OR(%s,AND(%s,{knob}<={near}))", off("{rate}", "{gives}", 2*pump.OffDose), coarse)
		}
		low := tooLittle("{rate}", "{setting}", "{gives}", coarse)
		if f.Pump.Setting.Step > 0 {
			low = fmt.Sprintf("OR(%s,%s)", low, off("{rate}", "{gives}", pump.NoDose))
		}
		reach := fmt.Sprintf(`IF(%s,"PUMP TOO SMALL",IF(%s,"BELOW THE PUMP'S RANGE",IF(%s,"OVER 5 %% OFF","in range")))`,
			tooMuch("{rate}", "{setting}"), low, coarse)
		if keepsStroke(f) {
			reach = fmt.Sprintf(`IF(OR(%s),"%s",%s)`, strings.Join(l.moves(), ","), strokeMoves, reach)
		}
		return book.Calc(inColumn(`IF({rate}<=0,"off",`+reach+")", col, rows), pumpVerdict(c), ""), true
	})
	l.Flag(l.Block(at, 3, at, 2+len(l.p.Feeds)), fmt.Sprintf(`AND(C%[1]d<>"",C%[1]d<>"in range",C%[1]d<>"off")`, at), book.Stop)
	each("lasts", "A full tank lasts", "h", func(f dosing.Feed) string {
		rate := "{rate}"
		for _, i := range f.TankWith {
			if l.p.Feeds[i].Name != f.Name {
				rate += fmt.Sprintf("+%s%d", column(3+i), rows["rate"])
			}
		}
		drawn := "{usable}" + u.mL + "/60/" + either(f.TankWith == nil, rate, "("+rate+")")
		if l.bounded(f) { // by the hours run before it has gone off
			drawn = "MIN(" + drawn + ",Hours_run*INT({keeps}/24)+MIN(Hours_run,{keeps}-24*INT({keeps}/24)))"
		}
		return "IF(" + rate + ">0," + drawn + `,"-")`
	}, book.Worked, func(f dosing.Feed) (float64, bool) {
		return float64(f.Lasts), f.Tank != nil && f.Fed && f.TankRate() > 0
	})
}

// knobFormula is where the knob of a feed's pump stands: see [pump.Pump.For].
func knobFormula(f dosing.Feed) string {
	up := fmt.Sprintf("{near_gives}>0,{near_gives}<%v*{rate},{up_gives}-{rate}<%v*({rate}-{near_gives})", 1-pump.OffDose, pump.Short)
	if f.Pump != nil && f.Pump.NoLess {
		up = "{near_gives}>0,{near_gives}*1.000000001<{rate}"
	}
	return "MIN({near}+IF(AND(" + up + "),{step},0),{high})"
}

// pumpVerdict is what the sheet says of a pump's setting.
func pumpVerdict(c pump.Choice) string {
	switch {
	case c.Wanted <= 0:
		return "off"
	case c.Reach == pump.Within && c.Coarse():
		return "OVER 5 % OFF"
	}
	return [...]string{"in range", "PUMP TOO SMALL", "BELOW THE PUMP'S RANGE"}[c.Reach]
}

// strokeMoves stands where the stroke of the plan does not do for the changed inputs: which
// does is for the program to say.
const strokeMoves = "STROKE MAY HAVE TO MOVE: run the program again"

// tooMuch and tooLittle are the rules of [pump.Reach] on the cells of a rate, its exact
// setting, what the knob's position gives and whether that is coarse; MAX takes a least that is not given as none.
func tooMuch(rate, exact string) string {
	return fmt.Sprintf("OR(%[1]s>{most}*1.000000001,%[2]s>{high}*1.000000001)", rate, exact)
}

func tooLittle(rate, exact, gives, coarse string) string {
	return fmt.Sprintf("OR(AND(%[1]s<MAX({least})*0.999999999,OR(%[3]s<MAX({least})*0.999999999,%[4]s)),%[2]s<=0,%[3]s<=0)", rate, exact, gives, coarse)
}

// off is the rule of [pump.Choice.Coarse] and [pump.Pump.FarOff] on the cells of a rate and of what the knob's position gives.
func off(rate, gives string, share float64) string {
	return fmt.Sprintf("ABS(%[2]s-%[1]s)>%[3]v*%[1]s", rate, gives, share)
}

// ifFed is what stands for a pump that feeds, and none for one that is off: see [pump.Choice.Off].
func ifFed(formula string) string { return "IF({rate}<=0,0," + formula + ")" }

// nearest is the step of the knob nearest to an exact setting.
func nearest(exact string) string {
	return pump.RoundRule(exact, "{step}", "{low}", "{high}")
}

// fedAt is what a feed's pump gives so many steps above the nearest place of its knob.
func fedAt(f dosing.Feed, steps quantity.Setting) (float64, bool) {
	c, ok := chosen(f)
	if !ok {
		return 0, false
	}
	step, _, _ := f.Pump.Setting.Steps()
	return float64(f.Pump.Calibration.Rate(pump.Position{Setting: c.Nearest + steps*step, Stroke: c.Position.Stroke})), true
}

// moves are the conditions under which [pump.Pump.Keeps] does not leave the stroke: at
// the least, the average or the peak flow the speed is out of reach or far from those tested.
func (l *planSheet) moves() (out []string) {
	rates := []string{"{rate}"}
	if l.p.Day.Least() < l.p.Day.Peak() {
		per := "{rate}/Flow_" + slugUnit(l.u.flow)
		rates = append(rates, "("+per+"*Least_flow)", "("+per+"*Peak_flow)")
	}
	for _, r := range rates {
		exact := "((" + r + "-{zero0})/{slope0})"
		knob := nearest(exact)
		gives := "MAX(0,{zero0}+{slope0}*" + knob + ")"
		out = append(out, fmt.Sprintf("AND(%[1]s>0,OR(%[2]s,%[3]s,%[4]s<{slowest}/%[5]g,%[4]s>{fastest}*%[5]g))", r, tooMuch(r, exact),
			tooLittle(r, exact, gives, off(r, gives, pump.OffDose)), knob, 1+float64(pump.BeyondTested)))
	}
	return out
}

// twoKnobs reports that a feed's pump has a stroke beside its speed.
func twoKnobs(f dosing.Feed) bool {
	_, ok := chosen(f)
	return ok && f.Pump.Calibration.TwoKnobs()
}

// namesStroke reports that the setting of a feed's pump says where the stroke stands.
func namesStroke(f dosing.Feed) bool {
	_, ok := chosen(f)
	return ok && f.Pump.Calibration.NamesStroke()
}

// keepsStroke reports that the plan leaves the stroke of a feed's pump where it keeps for all flows.
func keepsStroke(f dosing.Feed) bool {
	rates := slices.DeleteFunc([]quantity.FeedRate{f.Least, f.Rate, f.Peak}, func(r quantity.FeedRate) bool { return r <= 0 })
	return twoKnobs(f) && f.Pump.Keeps(rates...)
}

// bounded reports that what stands in a feed's tank goes off.
func (l *planSheet) bounded(f dosing.Feed) bool {
	return f.Tank != nil && f.Fed && !math.IsInf(float64(f.Keeps()), 1)
}

// inColumn puts a column's cells into a formula that names their rows in braces.
func inColumn(formula, col string, rows map[string]int) string {
	return bracedRow.ReplaceAllStringFunc(formula, func(name string) string { return fmt.Sprintf("%s%d", col, rows[name[1:len(name)-1]]) })
}

var bracedRow = regexp.MustCompile(`\{\w+\}`)

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
		l.b.Name(fmt.Sprintf("%s_%d", name, i+1), l.At(row, 3+i))
	}
}

// check says whether the sheet still stands as the plan was written.
func (l *planSheet) check() {
	l.row++
	l.section("As the plan was written")
	for _, r := range l.checked {
		first := l.each(r.name, "", func(f dosing.Feed, _ string) (book.Cell, bool) {
			v, ok := r.own(f)
			return shownTo(v, 4), ok
		})
		l.each("changed since?", "", func(f dosing.Feed, col string) (book.Cell, bool) {
			_, ok := r.own(f)
			return book.Calc(inColumn(`IF(ABS({now}-{then})<=0.000001*ABS({then}),"as written","CHANGED")`, col,
				map[string]int{"now": r.row, "then": first}), "as written", ""), ok
		})
		l.Flag(l.Block(first+1, 3, first+1, 2+len(l.p.Feeds)), fmt.Sprintf(`C%d="CHANGED"`, first+1), book.Stop)
	}
}

// pumps writes what is known of each pump: its steps, its ends and its line, which has
// as many straight parts as its readings bend. On a pump with two knobs the stroke stays
// where the plan has it. It gives the rows by name.
func (l *planSheet) pumps() map[string]int {
	of := func(v func(f dosing.Feed, p pump.Pump) (float64, bool)) func(dosing.Feed) (float64, bool) {
		return func(f dosing.Feed) (float64, bool) {
			if f.Pump == nil || !f.Fed || f.Setting == nil {
				return 0, false
			}
			return v(f, *f.Pump)
		}
	}
	rows := map[string]int{
		"most":  l.given("Pump: the most it feeds", "mL/min", 4, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) { return float64(p.Capacity()), true })),
		"least": l.given("Pump: the least it feeds evenly", "mL/min", 4, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) { return float64(p.Least()), p.Least() > 0 })),
		"step": l.given("Pump: step of the knob", "%", 4, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) {
			step, _, _ := p.Setting.Steps()
			return float64(step), true
		})),
		"low": l.given("Pump: lowest setting", "%", 0, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) {
			_, low, _ := p.Setting.Steps()
			return max(float64(low), 0), true // no -0
		})),
		"high": l.given("Pump: highest setting", "%", 4, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) {
			_, _, high := p.Setting.Steps()
			return float64(high), true
		})),
	}
	if unit := scaleUnit(l.p.Feeds); unit != "" {
		rows["top"] = l.given("Pump: what its knob shows at 100 %", unit, 4, of(func(_ dosing.Feed, p pump.Pump) (float64, bool) { return p.Scale.Top, p.Scale.Top > 0 }))
	}
	l.each("Pump: the stroke stays at", "%", func(f dosing.Feed, _ string) (book.Cell, bool) {
		c, _ := chosen(f)
		return book.Cell{Kind: book.Value, Value: float64(c.Position.Stroke), Format: "0.##"}, namesStroke(f)
	})
	if slices.ContainsFunc(l.p.Feeds, twoKnobs) {
		tested := func(name string, v func(c pump.Calibration) quantity.Setting) int {
			return l.each(name, "%", func(f dosing.Feed, _ string) (book.Cell, bool) {
				if !twoKnobs(f) {
					return book.Cell{}, false
				}
				return shownTo(float64(v(f.Pump.Calibration)), 4), true
			})
		}
		rows["slowest"] = tested("Pump: lowest speed tested", func(c pump.Calibration) quantity.Setting { return c.Low.Setting })
		rows["fastest"] = tested("Pump: highest speed tested", func(c pump.Calibration) quantity.Setting { return c.High.Setting })
	}
	for i := range slices.Max(append([]int{1}, parts(l.p.Feeds)...)) {
		piece := func(v func(p pump.Piece) float64) func(dosing.Feed) (float64, bool) {
			return of(func(f dosing.Feed, _ pump.Pump) (float64, bool) {
				p := pieces(f)
				if i >= len(p) {
					return 0, false
				}
				x := v(p[i])
				return x, !math.IsInf(x, 0)
			})
		}
		n := ""
		if i > 0 {
			n = fmt.Sprintf(" (part %d)", i+1)
			rows[fmt.Sprintf("above%d", i)] = l.given("Pump: for feeds above"+n, "mL/min", 0, piece(func(p pump.Piece) float64 { return float64(p.Above) }))
		}
		rows[fmt.Sprintf("zero%d", i)] = l.given("Pump: feed at setting 0"+n, "mL/min", 0, piece(func(p pump.Piece) float64 { return float64(p.Zero) }))
		rows[fmt.Sprintf("slope%d", i)] = l.given("Pump: feed for each 1 % of setting"+n, "mL/min", 4, piece(func(p pump.Piece) float64 { return float64(p.Slope) }))
	}
	return rows
}

// chosen is where the pump stands for the feed at average flow.
func chosen(f dosing.Feed) (pump.Choice, bool) {
	if f.Pump == nil || !f.Fed || f.Setting == nil {
		return pump.Choice{}, false
	}
	return f.Setting.Average, true
}

// scaleUnit is the unit of the marks that knobs have of their own, "marks" where they differ; none where all go by per cent.
func scaleUnit(feeds []dosing.Feed) (unit string) {
	for _, f := range feeds {
		if _, ok := chosen(f); ok && f.Pump.Scale.Top > 0 {
			unit = either(unit == "" || unit == f.Pump.Scale.Unit, f.Pump.Scale.Unit, "marks")
		}
	}
	return unit
}

func ofPump(v func(pump.Choice) float64) func(dosing.Feed) (float64, bool) {
	return func(f dosing.Feed) (float64, bool) {
		c, ok := chosen(f)
		return v(c), ok
	}
}

// pieces are the straight parts of a feed's pump at the stroke that it stands at.
func pieces(f dosing.Feed) []pump.Piece {
	c, ok := chosen(f)
	if !ok {
		return nil
	}
	return f.Pump.Calibration.Pieces(c.Position.Stroke)
}

func parts(feeds []dosing.Feed) []int {
	var out []int
	for _, f := range feeds {
		out = append(out, len(pieces(f)))
	}
	return out
}

// settingFormula is the setting for the rate: on the highest part whose feeds begin below it.
func settingFormula(f dosing.Feed) string {
	s := "({rate}-{zero0})/{slope0}"
	for i := range pieces(f)[1:] {
		s = fmt.Sprintf("IF({rate}>{above%[1]d},({rate}-{zero%[1]d})/{slope%[1]d},%[2]s)", i+1, s)
	}
	return s
}

// givesFormula is the feed at a position of the knob.
func givesFormula(f dosing.Feed, knob string) string {
	s := "{zero0}+{slope0}*" + knob
	for i := range pieces(f)[1:] {
		s = fmt.Sprintf("IF(%[3]s>({above%[1]d}-{zero%[1]d})/{slope%[1]d},{zero%[1]d}+{slope%[1]d}*%[3]s,%[2]s)", i+1, s, knob)
	}
	return "MAX(0," + s + ")"
}
