package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
)

// writeInputs puts everything that a user may want to change.
func (w *budgetBook) writeInputs() {
	s, p := w.inputs, w.m.Plan
	s.open(T(Title, "Inputs"), Cell{Kind: Sub, Span: 6, Value: "Cells with a pale fill and a dark border are yours to change; the other " +
		"sheets follow. " +
		"Single days are changed on the sheet Days."}, 34, 15, 15, 15, 15, 15, 15)
	s.Skip(1)
	s.Row(T(Section, "Water"))
	flow := w.item(s, "design flow", In(p.Calendar.Flow.In(w.u.flow), ""), "FLOW", "", "Flow_FLOW")
	s.Number(flow, 0, 1e6, "Design flow", w.in("Flow to be treated while the unit runs, in FLOW."))
	w.item(s, "season", In(w.season(), "0.000"), "", "flow of this month over the design flow", "Season")
	if c := p.CleanUp; c != nil {
		through := w.item(s, "water of a clean-up", In(c.Treated.In(w.u.volume), ""), "VOLUME", "through the unit, as `clarify` has it", cleanUpName)
		s.Number(through, 0, 1e7, "Clean-up", w.in("What a clean-up of "+dosing.WithArticle(c.Name)+" sends through the unit, in VOLUME."))
		at := w.item(s, "flow in clean-ups", In(p.Calendar.CleanFlow.In(w.u.flow), ""), "FLOW", "through the unit", cleanFlowName)
		s.Number(at, 0, 1e6, "Flow in clean-ups", w.in("Flow through the unit in clean-ups, in FLOW."))
	}
	from := w.item(s, "orders can be placed from", In(date(p.OrderFrom), dateFormat), "", "first day", "Order_from")
	s.Hint(from, "Orders", "The first day on which an order can be placed.")
	for _, part := range []func(){w.writeClasses, w.writeWeek, w.writeDoses, w.writeBuying, w.writeOther} {
		s.Skip(1)
		part()
	}
	s.Paged()
}

// writeClasses is the raw water, one row a class and the mix last.
func (w *budgetBook) writeClasses() {
	s, classes := w.inputs, w.m.Classes
	s.Row(T(Section, "Raw water"))
	h := s.heads("class of raw water", "share of days not named, %", "suspended solids removed, mg/L", w.in("solids made by chemicals, GRAMS"))
	column := func(col int) Range { return s.Block(h+1, col, h+len(classes), col) }
	w.shares = column(2)
	w.cells["class removed"], w.cells["class yield"] = column(3), column(4)
	sum := 0.0
	var v []float64
	for _, c := range classes {
		share := In(percent(c.Share), "0.0")
		if c.CleanUp { // which are named by the day
			share = Num(0, "0.0")
		}
		s.Row(Cell{Kind: Label, Value: c.Name}, share, In(float64(c.Removed.Likely), ""))
		sum += percent(c.Share)
		v = append(v, float64(c.Removed.Likely))
	}
	r := s.Row(T(Label, month.UsualWater), Calc("SUM("+w.shares.A1()+")", sum, "0.0"), Calc(w.mixFormula(column(3)), w.mixed(v), ""))
	w.cells["mix removed"], w.cells["mix yield"] = s.At(r, 3), s.At(r, 4) // the last column is filled in when the doses stand
	s.Put(r, 5, Cell{Kind: Good, Value: "shares add up",
		Formula: fmt.Sprintf(`IF(ABS(%s-100)<0.0001,"shares add up","SHARES MUST ADD UP TO 100")`, s.At(r, 2).A1())})
	s.Flag(s.At(r, 5), fmt.Sprintf("ABS(%s-100)>=0.0001", s.At(r, 2).fixed()), Stop)
	s.Number(w.shares, 0, 100, "Share of days", "In percent; the shares must add up to 100.")
	s.Number(column(3), 0, 1e6, "Solids removed", "Suspended solids that the unit takes out, in mg/L.")
	w.Name("Class_names", column(1))
	w.Name("Class_shares", w.shares)
}

// mixFormula weighs a column of figures by the shares of the classes.
func (w *budgetBook) mixFormula(r Range) string {
	return fmt.Sprintf("SUMPRODUCT(%s,%s)/100", w.shares.Ref(), r.Ref())
}

func (w *budgetBook) writeWeek() {
	s, week := w.inputs, w.m.Plan.Calendar.Week
	s.Row(T(Section, "Week"))
	h := s.heads("day of the week", "treats water", "share of the flow, %", "hours a day", "delivery can come")
	for i := range 7 {
		d := time.Weekday((i + 1) % 7) // Monday first
		p := week[d]
		s.Row(T(Label, "%s", d), In(yes(p.Operating), ""), In(percent(p.Share), "0.0"), In(float64(p.Hours), "0.0"), In(yes(p.Delivery), ""))
	}
	for i, name := range []string{"runs", "share", "hours", "delivery"} {
		w.cells["week "+name] = s.Block(h+1, 2+i, h+7, 2+i)
	}
	s.Choose(w.cells["week runs"], w.yesNo, "Treats water", "Does the unit run on this day of the week?", false)
	s.Choose(w.cells["week delivery"], w.yesNo, "Delivery", "Can a delivery arrive on this day of the week?", false)
	s.Number(w.cells["week hours"], 0, 24, "Hours", "Hours of treatment a day, 0 to 24.")
	s.Number(w.cells["week share"], 0, 1000, "Share", "Flow of this weekday in percent of the design flow.")
}

// chemicalRow writes one figure of every chemical side by side, with its unit at
// the end, and gives their cells; inputs get a name with that of the chemical in it.
func (w *budgetBook) chemicalRow(label, unit, name string, cell func(c int, a month.Account) Cell) Range {
	cells := []Cell{T(Label, "%s", label)}
	r := w.inputs.next + 1
	for c, a := range w.m.Accounts {
		cells = append(cells, cell(c, a))
		if name != "" && cells[c+1].Kind == Input {
			w.Name(strings.Replace(name, "%s", w.slugs[c], 1), w.inputs.At(r, 2+c))
		}
	}
	w.inputs.Row(append(cells, T(Unit, "%s", w.in(unit)))...)
	return w.inputs.Block(r, 2, r, 1+len(w.m.Accounts))
}

// chemicalHeads heads rows of chemicals, and gives where their names stand.
func (w *budgetBook) chemicalHeads() Range {
	names := []string{"item"}
	for _, a := range w.m.Accounts {
		names = append(names, a.Chemical.Name)
	}
	return w.inputs.At(w.inputs.heads(append(names, "unit")...), 2)
}

// writeDoses has a column for each chemical: doses by class, strength, product per m3.
func (w *budgetBook) writeDoses() {
	s, classes := w.inputs, w.m.Classes
	alkali := slices.IndexFunc(w.m.Accounts, func(a month.Account) bool { return a.Chemical.Balance != nil })
	if alkali >= 0 {
		b := w.m.Accounts[alkali].Chemical.Balance
		s.Row(T(Section, "Alkalinity"))
		w.item(s, "alkalinity of the raw water", In(float64(b.Raw), ""), "mg/L CaCO3", "", "Alkalinity_raw")
		w.item(s, "alkalinity to leave", In(float64(b.Keep), ""), "mg/L CaCO3", "", "Alkalinity_keep")
		s.Skip(1)
	}
	s.Row(T(Section, "Doses"))
	w.labels = w.chemicalHeads()
	w.chemicalRow("the dose counts", "", "", func(_ int, a month.Account) Cell { return Cell{Kind: Value, Value: a.Chemical.Basis.String()} })
	strengthOf := func(a month.Account) float64 { return cmp.Or(float64(a.Chemical.Strength.V), 1) }
	figure := func(label, unit, name, format string, v func(a month.Account) float64) Range {
		return w.chemicalRow(label, unit, name, func(_ int, a month.Account) Cell { return In(v(a), format) })
	}
	strength := figure("strength of the product", "%", "Strength_%s_percent", "", func(a month.Account) float64 { return strengthOf(a) * 100 })
	use := figure("alkalinity used, as CaCO3", "MASS/MASS dose", "", "0.0000",
		func(a month.Account) float64 { return float64(a.Chemical.AlkalinityUse) })
	yields := w.writeYields(figure)
	figure("product in its stock (0: fed neat)", "PART/LIQUID", w.cellName(stockName), "",
		func(a month.Account) float64 { return w.stock(a.Chemical.Stock) })
	figure("density of the product (0: dry)", "MASS/LIQUID", w.cellName(densityName), "",
		func(a month.Account) float64 { return a.Chemical.Density.In(w.in("MASS/LIQUID")) })
	var perAlkali Range
	if alkali >= 0 {
		perAlkali = w.chemicalRow("alkali that gives back CaCO3", "MASS/MASS", "", func(_ int, a month.Account) Cell {
			if a.Chemical.Balance == nil {
				return T(Value, "-")
			}
			return In(float64(a.Chemical.Balance.PerCaCO3), "0.0000")
		})
	}
	var doses, products []Range
	for i, class := range classes {
		label, name := "dose", "Dose_%s_mg_L"
		if len(classes) > 1 {
			label, name = "dose, "+class.Name+" water", "Dose_%s_"+slug(class.Name)+"_mg_L"
		}
		doses = append(doses, w.chemicalRow(label, "mg/L", name, func(c int, a month.Account) Cell {
			if a.Chemical.Balance != nil && !class.CleanUp {
				return Calc(w.balance(s.next+1, use, perAlkali.cell(c)), float64(a.Doses[i]), "")
			}
			return In(float64(a.Doses[i]), "")
		}))
	}
	for i, class := range classes {
		products = append(products, w.chemicalRow("product, "+class.Name+" water", "GRAMS", "", func(c int, a month.Account) Cell {
			return Calc(fmt.Sprintf("%s/(%s/100)", doses[i].cell(c).A1(), strength.cell(c).A1()), float64(a.Doses[i])/strengthOf(a), "")
		}))
	}
	mix := w.chemicalRow("product, "+month.UsualWater, "GRAMS", "", func(c int, a month.Account) Cell {
		w.product = append(w.product, products[0].cell(c).first(len(classes)))
		var v []float64
		for _, d := range a.Doses {
			v = append(v, float64(d)/strengthOf(a))
		}
		return Calc(w.mixFormula(w.product[c]), w.mixed(v), "")
	})
	for c := range w.m.Accounts {
		w.productMix = append(w.productMix, mix.cell(c))
	}
	s.Number(strength, 0.0001, 100, "Strength", "Mass of what the dose counts per mass of product, in percent; 100 for a dose as product.")
	all := doses[0]
	all.ToRow = doses[len(classes)-1].Row
	s.Number(all, 0, 1e6, "Dose", "In mg/L of the water treated, on the basis in the first line.")
	// The solids that the chemicals make, back in the table of the raw water.
	made, mixed := w.cells["class yield"], w.cells["mix yield"]
	for i, v := range w.yields() {
		s.Put(made.Row+i, made.Col, Calc(fmt.Sprintf("SUMPRODUCT(%s,%s)", doses[i].A1(), yields[i].A1()), v, ""))
	}
	s.Put(mixed.Row, mixed.Col, Calc(w.mixFormula(made), w.mixed(w.yields()), ""))
}

// writeYields has the solids that a mass of dose makes: a row for each class of water where they differ, else one for all.
func (w *budgetBook) writeYields(row func(label, unit, name, format string, v func(a month.Account) float64) Range) (out []Range) {
	one := true
	made := func(k int) func(a month.Account) float64 {
		return func(a month.Account) float64 { return float64(a.Chemical.Made(w.m.Classes[k], k)) }
	}
	for _, a := range w.m.Accounts {
		for k := range w.m.Classes {
			one = one && made(k)(a) == made(0)(a)
		}
	}
	for k, class := range w.m.Classes {
		switch {
		case !one:
			out = append(out, row("solids made, "+class.Name+" water", "MASS/MASS dose", "", "0.0000", made(k)))
		case k == 0:
			out = slices.Repeat([]Range{row("solids made", "MASS/MASS dose", "", "0.0000", made(0))}, len(w.m.Classes))
		}
	}
	w.frozenYields(out)
	return out
}

// frozenYields says beside the solids of a dose that meets phosphate that they were worked out at that dose: how much of its metal
// phosphate takes is no formula of a sheet.
func (w *budgetBook) frozenYields(yields []Range) {
	for k, class := range w.m.Classes {
		if !slices.ContainsFunc(w.m.Accounts, func(a month.Account) bool { return a.Chemical.MeetsPhosphate(class, k) }) {
			continue
		}
		w.inputs.Put(yields[k].Row, 3+len(w.m.Accounts), Cell{Kind: Muted, Span: 3, Value: "worked out at the doses below with the water's phosphate: " +
			"does not follow a changed dose; run budget again"})
	}
}

// balance is the dose of an alkali that follows from the other chemicals' doses in the same row.
func (w *budgetBook) balance(row int, use, per Range) string {
	var terms []string
	for i, a := range w.m.Accounts {
		if a.Chemical.Balance == nil {
			terms = append(terms, a1(row, 2+i)+"*"+use.cell(i).A1())
		}
	}
	return fmt.Sprintf("MAX(0,%s+Alkalinity_keep-Alkalinity_raw)*%s", cmp.Or(strings.Join(terms, "+"), "0"), per.A1())
}

// buying is a row of the table of purchases.
type buying struct {
	label, unit string
	name        string // of the cell, with %s for the chemical
	value       func(a month.Account) any
	format      string
	least, most float64
}

// buyings lists the rows of the table of purchases.
func (w *budgetBook) buyings() []buying {
	rows := []buying{{"pack", "MASS", packName, func(a month.Account) any { return a.Chemical.Supply.Pack.In(w.u.mass) }, "", 1e-6, 1e9}}
	for i := range w.m.Plan.Tiers() {
		label := "price"
		if i > 0 {
			label = fmt.Sprintf("price %d", i+1)
			rows = append(rows, buying{"packs in an order for " + label, "packs", fmt.Sprintf("Packs_for_price_%d_%%s", i+1),
				func(a month.Account) any {
					if t := a.Chemical.Prices.Tiers; i < len(t) {
						return t[i].From
					}
					return nil
				}, "0", 0, 1e6})
		}
		rows = append(rows, buying{label, "CUR/MASS", priceName(i + 1), func(a month.Account) any {
			if t := a.Chemical.Prices.Tiers; i < len(t) {
				return w.perMass(t[i].Price.Amount)
			}
			return nil
		}, "0.0000", 0, 1e9})
	}
	return append(rows,
		buying{"delivery charge", "CUR", "Charge_%s", func(a month.Account) any {
			return filled(a.Chemical.Prices.Delivery.Amount, a.Chemical.Prices.Charged())
		}, "0.00", 0, 1e9},
		buying{"lead time", "d", "Lead_%s_d", func(a month.Account) any { return a.Chemical.Supply.LeadDays }, "0", 0, 1000},
		buying{"keeps (0: without limit)", "d", "Shelf_%s_d", func(a month.Account) any { return a.Chemical.Supply.ShelfDays }, "0", 0, 10000},
		buying{"room (0: without limit)", "MASS", "Room_%s_MASS",
			func(a month.Account) any { return a.Chemical.Supply.Limit.In(w.u.mass) }, "", 0, 1e9},
		buying{"days of use always kept", "d", "Days_kept_%s", func(a month.Account) any { return a.Chemical.Supply.Kept() }, "0.0", 0, 1000},
		buying{"factor on the lead time", "", "Factor_%s", func(a month.Account) any { return a.Chemical.Supply.Factor() }, "0.0", 0, 100},
		buying{"stock on the first morning", "MASS", "Opening_%s_MASS",
			func(a month.Account) any {
				return filled(a.Chemical.Supply.Opening.In(w.u.mass), !a.Chemical.Supply.NotSaid)
			}, "", 0, 1e9},
		buying{"its age then", "d", "Age_%s_d", func(a month.Account) any { return a.Chemical.Supply.OpeningAge }, "0", 0, 10000},
		buying{"usual order (0: worked out)", "packs", "Usual_%s_packs", func(a month.Account) any { return a.Chemical.Supply.OrderPacks },
			"0", 0, 1e6},
		buying{"on order", "packs", "On_order_%s_packs", func(a month.Account) any { return a.Chemical.Supply.OnOrder }, "0", 0, 1e6},
	)
}

func (w *budgetBook) writeBuying() {
	s := w.inputs
	s.Row(T(Section, "Buying and keeping"))
	w.chemicalHeads()
	for _, b := range w.buyings() {
		r := w.chemicalRow(b.label, b.unit, w.cellName(b.name), func(_ int, a month.Account) Cell { return In(b.value(a), b.format) })
		s.Number(r, b.least, b.most, "Buying and keeping", upper(b.label)+", "+w.in(b.unit)+".")
	}
	w.chemicalRow("what is on order arrives", "day", "Arrives_%s", func(_ int, a month.Account) Cell {
		d := a.Chemical.Supply.OnOrderDate
		return In(filled(date(d), !d.IsZero()), dateFormat)
	})
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// writeOther is the disposal, the water and the electricity.
func (w *budgetBook) writeOther() {
	s, p := w.inputs, w.m.Plan
	s.Row(T(Section, "Other prices"))
	d := p.Disposal
	amount, per := w.disposalPrice()
	price := w.item(s, "disposal of solids", In(filled(amount, d.Price.Currency != ""), "0.00"), "CUR/"+per, "", "Price_disposal")
	what := "float or sludge"
	if p.Cake {
		what = "drained cake"
	}
	share := w.item(s, "dry solids of "+what, In(percent(d.DrySolids), "0.00"), "%", "by mass", "Dry_solids_percent")
	thick := cmp.Or(d.Density, 1).In(w.in("MASS/LIQUID"))
	density := w.item(s, "density of "+what, In(thick, "0.000"), "MASS/LIQUID", "", "Density_solids_MASS_LIQUID")
	perDry := Calc(perDry(per, price, share, density), w.perMass(d.PerKgDry()), "0.0000")
	w.cells["disposal"] = w.item(s, "disposal per MASS of dry solids", perDry, "CUR/MASS", "", "Disposal_per_MASS_dry")
	if w.cells["wet price"] = price; w.carries() {
		skimmed := w.item(s, "water skimmed off while treating", In(p.Skim.PerHour().In(w.u.liquid), "0.00"), "LIQUID/h", "", "Skimmed_LIQUID_h")
		s.Number(skimmed, 0, 1e6, "Water skimmed off", w.in("In LIQUID for each hour that the unit runs."))
		w.cells["skimmed"] = skimmed
	}
	water := w.item(s, "make-up water", In(filled(w.perVolume(p.Water.Amount)*w.u.bulks, p.Water.Currency != ""), "0.00"), "CUR/BULK", "", "Price_water")
	if v := w.carrier(); v > 0 {
		carriers := w.item(s, "carrier water while treating", In(v.In(w.u.liquid), "0.00"), "LIQUID/h", "of all feeds, after their pumps",
			"Carrier_LIQUID_h")
		s.Number(carriers, 0, 1e6, "Carrier water", w.in("In LIQUID for each hour that the unit runs."))
		w.cells["carriers"] = carriers
	}
	power := w.item(s, "power drawn while treating", In(filled(float64(p.Energy.Power), p.Energy.Power > 0), "0"), "W", "", "Power_W")
	electricity := w.item(s, "electricity", In(filled(p.Energy.Price.Amount, p.Energy.Price.Currency != ""), "0.000"), "CUR/kWh", "", "Price_electricity")
	w.cells["make-up water"], w.cells["power"], w.cells["electricity"] = water, power, electricity
	w.cells["disposal price"] = price
	for _, r := range []Range{price, water, power, electricity} {
		s.Number(r, 0, 1e9, "Price", "Zero or more.")
	}
	s.Number(share, 0.01, 100, "Dry solids", "Mass of dry solids per mass of float or sludge, in percent.")
	one, most := quantity.Density(1).In(w.in("MASS/LIQUID")), quantity.Density(3).In(w.in("MASS/LIQUID"))
	s.Number(density, one/2, most, "Density", w.in("In MASS/LIQUID; "+Decimal(quantity.RoundSig(one, 3))+" where not known."))
}
