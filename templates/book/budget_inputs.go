package book

import (
	"fmt"
	"strings"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
)

// writeInputs puts everything that a user may want to change.
func (w *budgetBook) writeInputs() {
	s, p := w.inputs, w.m.Plan
	s.Protect()
	s.Widths(34, 15, 15, 15, 15, 15, 15)
	s.Row(T(Title, "Inputs"))
	s.Row(Cell{Kind: Sub, Value: "Cells with a pale fill and a dark border are yours to change; the other sheets follow. Single days are changed on the sheet Days.", Span: 6})
	s.Skip(1)
	s.Row(T(Section, "Water"))
	flow := w.item(s, "design flow", In(p.Calendar.Flow.In(w.u.flow), ""), "FLOW", "", w.cellName("Flow_FLOW"))
	s.Number(flow, 0, 1e6, "Design flow", w.in("Flow to be treated while the unit runs, in FLOW."))
	season := float64(p.Calendar.Season)
	if season == 0 {
		season = 1
	}
	w.item(s, "season", In(season, "0.000"), "", "flow of this month over the design flow", "Season")
	from := w.item(s, "orders can be placed from", In(date(p.OrderFrom), dateFormat), "", "first day", "Order_from")
	s.Hint(from, "Orders", "The first day on which an order can be placed.")
	s.Skip(1)
	w.writeClasses()
	s.Skip(1)
	w.writeWeek()
	s.Skip(1)
	w.writeDoses()
	s.Skip(1)
	w.writeBuying()
	s.Skip(1)
	w.writeOther()
}

// writeClasses is the raw water, one row a class and the mix last.
func (w *budgetBook) writeClasses() {
	s, classes := w.inputs, w.m.Classes
	s.Row(T(Section, "Raw water"))
	h := heads(s, "class of raw water", "share of days not named, %", "suspended solids removed, mg/L", w.in("solids made by chemicals, GRAMS"))
	first, last := h+1, h+len(classes)
	column := func(col int) Range { return s.Block(first, col, last, col) }
	w.classNames, w.shares, w.removed, w.yield = column(1), column(2), column(3), column(4)
	sum := 0.0
	var v []float64
	for _, c := range classes {
		s.Row(Cell{Kind: Label, Value: c.Name}, In(percent(c.Share), "0.0"), In(float64(c.Removed.Likely), ""))
		sum += percent(c.Share)
		v = append(v, float64(c.Removed.Likely))
	}
	r := s.Row(T(Label, month.UsualWater), Calc("SUM("+w.shares.A1()+")", sum, "0.0"), Calc(w.mixFormula(w.removed), w.mixed(v), ""))
	w.removedMix, w.yieldMix = s.At(r, 3), s.At(r, 4) // the last column is filled in when the doses stand
	s.Put(r, 5, Cell{Kind: Good, Formula: fmt.Sprintf(`IF(ABS(%s-100)<0.0001,"shares add up","SHARES MUST ADD UP TO 100")`, s.At(r, 2).A1()), Value: "shares add up"})
	s.Flag(s.At(r, 5), fmt.Sprintf("ABS(%s-100)>=0.0001", fixed(r, 2)), Stop)
	s.Number(w.shares, 0, 100, "Share of days", "In percent; the shares must add up to 100.")
	s.Number(w.removed, 0, 1e6, "Solids removed", "Suspended solids that the unit takes out, in mg/L.")
	w.Name("Class_names", w.classNames)
	w.Name("Class_shares", w.shares)
}

// mixFormula weighs a column of figures by the shares of the classes.
func (w *budgetBook) mixFormula(r Range) string {
	return fmt.Sprintf("SUMPRODUCT(%s,%s)/100", w.shares.Ref(), r.Ref())
}

func (w *budgetBook) writeWeek() {
	s, week := w.inputs, w.m.Plan.Calendar.Week
	s.Row(T(Section, "Week"))
	h := heads(s, "day of the week", "treats water", "share of the flow, %", "hours a day", "delivery can come")
	for i := range 7 {
		d := time.Weekday((i + 1) % 7) // Monday first
		p := week[d]
		s.Row(T(Label, "%s", d), In(yes(p.Operating), ""), In(percent(p.Share), "0.0"), In(float64(p.Hours), "0.0"), In(yes(p.Delivery), ""))
	}
	w.weekOn, w.weekShare = s.Block(h+1, 2, h+7, 2), s.Block(h+1, 3, h+7, 3)
	w.weekHours, w.weekDelivery = s.Block(h+1, 4, h+7, 4), s.Block(h+1, 5, h+7, 5)
	s.Choose(w.weekOn, w.yesNo, "Treats water", "Does the unit run on this day of the week?", false)
	s.Choose(w.weekDelivery, w.yesNo, "Delivery", "Can a delivery arrive on this day of the week?", false)
	s.Number(w.weekHours, 0, 24, "Hours", "Hours of treatment a day, 0 to 24.")
	s.Number(w.weekShare, 0, 1000, "Share", "Flow of this weekday in percent of the design flow.")
}

// chemicalRow writes one figure of every chemical side by side, with its unit at
// the end, and gives the row.
func (w *budgetBook) chemicalRow(label, unit string, cell func(c int, a month.Account) Cell) int {
	cells := []Cell{T(Label, "%s", label)}
	for c, a := range w.m.Accounts {
		cells = append(cells, cell(c, a))
	}
	return w.inputs.Row(append(cells, T(Unit, "%s", w.in(unit)))...)
}

// across gives the cells of a row that belong to the chemicals.
func (w *budgetBook) across(row int) Range {
	return w.inputs.Block(row, 2, row, 1+len(w.m.Accounts))
}

// writeDoses has a column for each chemical: doses by class, strength, product per m3.
func (w *budgetBook) writeDoses() {
	s, classes := w.inputs, w.m.Classes
	var alkali *day.Balance
	for _, a := range w.m.Accounts {
		if a.Chemical.Balance != nil {
			alkali = a.Chemical.Balance
		}
	}
	if alkali != nil {
		s.Row(T(Section, "Alkalinity"))
		w.item(s, "alkalinity of the raw water", In(float64(alkali.Raw), ""), "mg/L CaCO3", "", "Alkalinity_raw")
		w.item(s, "alkalinity to leave", In(float64(alkali.Keep), ""), "mg/L CaCO3", "", "Alkalinity_keep")
		s.Skip(1)
	}
	s.Row(T(Section, "Doses"))
	names := []string{"item"}
	for _, a := range w.m.Accounts {
		names = append(names, a.Chemical.Name)
	}
	h := heads(s, append(names, "unit")...)
	for c := range w.m.Accounts {
		w.labels = append(w.labels, s.At(h, 2+c))
	}
	w.chemicalRow("the dose counts", "", func(_ int, a month.Account) Cell { return Cell{Kind: Value, Value: a.Chemical.Basis.String()} })
	strengthOf := func(a month.Account) float64 {
		if a.Chemical.Strength.V == 0 {
			return 1
		}
		return float64(a.Chemical.Strength.V)
	}
	// The rows that follow, known beforehand because an alkali's dose points to them.
	k := len(classes)
	strength := s.next + 1
	use, yield := strength+1, strength+2
	dose := strength + 5 // after stock and density
	perAlkali := 0
	if alkali != nil {
		perAlkali = dose
		dose++
	}
	w.chemicalRow("strength of the product", "%", func(c int, a month.Account) Cell {
		w.Name("Strength_"+w.slugs[c]+"_percent", s.At(strength, 2+c))
		return In(strengthOf(a)*100, "")
	})
	w.chemicalRow("alkalinity used, as CaCO3", "MASS/MASS dose", func(_ int, a month.Account) Cell { return In(float64(a.Chemical.AlkalinityUse), "0.0000") })
	w.chemicalRow("solids made", "MASS/MASS dose", func(_ int, a month.Account) Cell { return In(float64(a.Chemical.SolidsYield().Likely), "0.0000") })
	w.chemicalRow("product in its stock (0: fed neat)", "PART/LIQUID", func(c int, a month.Account) Cell {
		w.Name(w.cellName(stockName, w.slugs[c]), s.At(yield+1, 2+c))
		return In(w.stock(a.Chemical.Stock), "")
	})
	w.chemicalRow("density of the product (0: dry)", "MASS/LIQUID", func(c int, a month.Account) Cell {
		w.Name(w.cellName(densityName, w.slugs[c]), s.At(yield+2, 2+c))
		return In(a.Chemical.Density.In(w.in("MASS/LIQUID")), "")
	})
	if alkali != nil {
		w.chemicalRow("alkali that gives back CaCO3", "MASS/MASS", func(_ int, a month.Account) Cell {
			if a.Chemical.Balance == nil {
				return T(Value, "-")
			}
			return In(float64(a.Chemical.Balance.PerCaCO3), "0.0000")
		})
	}
	for i, class := range classes {
		r := dose + i
		label := "dose"
		if k > 1 {
			label = "dose, " + class.Name + " water"
		}
		w.chemicalRow(label, "mg/L", func(c int, a month.Account) Cell {
			if a.Chemical.Balance != nil {
				return Calc(w.balance(c, r, use, perAlkali), float64(a.Doses[i]), "")
			}
			name := "Dose_" + w.slugs[c]
			if k > 1 {
				name += "_" + slug(class.Name)
			}
			w.Name(name+"_mg_L", s.At(r, 2+c))
			return In(float64(a.Doses[i]), "")
		})
	}
	product := dose + k
	for i, class := range classes {
		w.chemicalRow("product, "+class.Name+" water", "GRAMS", func(c int, a month.Account) Cell {
			return Calc(fmt.Sprintf("%s/(%s/100)", a1(dose+i, 2+c), a1(strength, 2+c)), float64(a.Doses[i])/strengthOf(a), "")
		})
	}
	for c := range w.m.Accounts {
		w.product = append(w.product, s.Block(product, 2+c, product+k-1, 2+c))
		w.productMix = append(w.productMix, s.At(product+k, 2+c))
	}
	w.chemicalRow("product, "+month.UsualWater, "GRAMS", func(c int, a month.Account) Cell {
		var v []float64
		for _, d := range a.Doses {
			v = append(v, float64(d)/strengthOf(a))
		}
		return Calc(w.mixFormula(w.product[c]), w.mixed(v), "")
	})
	s.Number(w.across(strength), 0.0001, 100, "Strength", "Mass of what the dose counts per mass of product, in percent; 100 for a dose as product.")
	doses := w.across(dose)
	doses.ToRow = dose + k - 1
	s.Number(doses, 0, 1e6, "Dose", "In mg/L of the water treated, on the basis in the first line.")
	// The solids that the chemicals make, back in the table of the raw water.
	var v []float64
	for i := range classes {
		sum := 0.0
		for _, a := range w.m.Accounts {
			sum += float64(a.Doses[i]) * float64(a.Chemical.SolidsYield().Likely)
		}
		v = append(v, sum)
		s.Put(w.yield.Row+i, w.yield.Col, Calc(fmt.Sprintf("SUMPRODUCT(%s,%s)", w.across(dose+i).A1(), w.across(yield).A1()), sum, ""))
	}
	s.Put(w.yieldMix.Row, w.yieldMix.Col, Calc(w.mixFormula(w.yield), w.mixed(v), ""))
}

// balance is the dose of an alkali that follows from the other chemicals' doses in the same row.
func (w *budgetBook) balance(c, row, use, per int) string {
	var terms []string
	for i, a := range w.m.Accounts {
		if a.Chemical.Balance == nil {
			terms = append(terms, a1(row, 2+i)+"*"+a1(use, 2+i))
		}
	}
	if len(terms) == 0 {
		terms = []string{"0"}
	}
	return fmt.Sprintf("MAX(0,%s+Alkalinity_keep-Alkalinity_raw)*%s", strings.Join(terms, "+"), a1(per, 2+c))
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
			rows = append(rows, buying{"packs in an order for " + label, "packs", fmt.Sprintf("Packs_for_price_%d_%%s", i+1), func(a month.Account) any {
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
			if i == 0 {
				return 0.0
			}
			return nil
		}, "0.0000", 0, 1e9})
	}
	return append(rows,
		buying{"delivery charge", "CUR", "Charge_%s", func(a month.Account) any { return a.Chemical.Prices.Delivery.Amount }, "0.00", 0, 1e9},
		buying{"lead time", "d", "Lead_%s_d", func(a month.Account) any { return a.Chemical.Supply.LeadDays }, "0", 0, 1000},
		buying{"keeps (0: without limit)", "d", "Shelf_%s_d", func(a month.Account) any { return a.Chemical.Supply.ShelfDays }, "0", 0, 10000},
		buying{"room (0: without limit)", "MASS", "Room_%s_MASS", func(a month.Account) any { return a.Chemical.Supply.Limit.In(w.u.mass) }, "", 0, 1e9},
		buying{"days of use always kept", "d", "Days_kept_%s", func(a month.Account) any { return a.Chemical.Supply.Kept() }, "0.0", 0, 1000},
		buying{"factor on the lead time", "", "Factor_%s", func(a month.Account) any { return a.Chemical.Supply.Factor() }, "0.0", 0, 100},
		buying{"stock on the first morning", "MASS", "Opening_%s_MASS", func(a month.Account) any { return a.Chemical.Supply.Opening.In(w.u.mass) }, "", 0, 1e9},
		buying{"its age then", "d", "Age_%s_d", func(a month.Account) any { return a.Chemical.Supply.OpeningAge }, "0", 0, 10000},
		buying{"usual order (0: worked out)", "packs", "Usual_%s_packs", func(a month.Account) any { return a.Chemical.Supply.OrderPacks }, "0", 0, 1e6},
		buying{"on order", "packs", "On_order_%s_packs", func(a month.Account) any { return a.Chemical.Supply.OnOrder }, "0", 0, 1e6},
	)
}

func (w *budgetBook) writeBuying() {
	s := w.inputs
	s.Row(T(Section, "Buying and keeping"))
	names := []string{"item"}
	for _, a := range w.m.Accounts {
		names = append(names, a.Chemical.Name)
	}
	heads(s, append(names, "unit")...)
	for _, b := range w.buyings() {
		r := s.next + 1
		w.chemicalRow(b.label, b.unit, func(c int, a month.Account) Cell {
			w.Name(w.cellName(b.name, w.slugs[c]), s.At(r, 2+c))
			return In(b.value(a), b.format)
		})
		s.Number(w.across(r), b.least, b.most, "Buying and keeping", upper(b.label)+", "+w.in(b.unit)+".")
	}
	r := s.next + 1
	w.chemicalRow("what is on order arrives", "day", func(c int, a month.Account) Cell {
		w.Name("Arrives_"+w.slugs[c], s.At(r, 2+c))
		if d := a.Chemical.Supply.OnOrderDate; !d.IsZero() {
			return In(date(d), dateFormat)
		}
		return In(nil, dateFormat)
	})
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// writeOther is the disposal, the water and the electricity.
func (w *budgetBook) writeOther() {
	s, p := w.inputs, w.m.Plan
	s.Row(T(Section, "Other prices"))
	d := p.Disposal
	amount, per := w.disposalPrice()
	price := w.item(s, "disposal of solids", In(amount, "0.00"), "CUR/"+per, "", "Price_disposal")
	share := w.item(s, "dry solids of float or sludge", In(percent(d.DrySolids), "0.00"), "%", "by mass", "Dry_solids_percent")
	density := d.Density
	if density == 0 {
		density = 1
	}
	dens := w.item(s, "density of float or sludge", In(density.In(w.in("MASS/LIQUID")), "0.000"), "MASS/LIQUID", "", w.cellName("Density_solids_MASS_LIQUID"))
	w.disposal = w.item(s, w.in("disposal per MASS of dry solids"), Calc(perDry(per, price, share, dens), w.perMass(d.PerKgDry()), "0.0000"), "CUR/MASS", "", w.cellName("Disposal_per_MASS_dry"))
	if w.wetPrice = price; w.carries() {
		w.carried = w.item(s, "water skimmed off while treating", In(p.Skim.PerHour().In(w.u.liquid), "0.00"), "LIQUID/h", "", w.cellName("Skimmed_LIQUID_h"))
		s.Number(w.carried, 0, 1e6, "Water skimmed off", w.in("In LIQUID for each hour that the unit runs."))
	}
	w.waterPrice = w.item(s, "make-up water", In(w.perVolume(p.Water.Amount)*w.u.bulks, "0.00"), "CUR/BULK", "", "Price_water")
	if v := w.carrier(); v > 0 {
		w.carriers = w.item(s, "carrier water while treating", In(v.In(w.u.liquid), "0.00"), "LIQUID/h", "of all feeds, after their pumps", w.cellName("Carrier_LIQUID_h"))
		s.Number(w.carriers, 0, 1e6, "Carrier water", w.in("In LIQUID for each hour that the unit runs."))
	}
	w.power = w.item(s, "power drawn while treating", In(float64(p.Energy.Power), "0"), "W", "", "Power_W")
	w.electricity = w.item(s, "electricity", In(p.Energy.Price.Amount, "0.000"), "CUR/kWh", "", "Price_electricity")
	for _, r := range []Range{price, w.waterPrice, w.power, w.electricity} {
		s.Number(r, 0, 1e9, "Price", "Zero or more.")
	}
	s.Number(share, 0.01, 100, "Dry solids", "Mass of dry solids per mass of float or sludge, in percent.")
	one, most := quantity.Density(1).In(w.in("MASS/LIQUID")), quantity.Density(3).In(w.in("MASS/LIQUID"))
	s.Number(dens, one/2, most, "Density", w.in("In MASS/LIQUID; "+Decimal(quantity.RoundSig(one, 3))+" where not known."))
}
