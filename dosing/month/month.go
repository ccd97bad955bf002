// Package month plans a month: what the plant will use and pay day by day, when
// each chemical must be ordered, and how far the answer may be off.
//
// The plan is worked in the order that a workbook can follow with ordinary
// formulas: calendar → water treated → doses → use → stock and deliveries → cost.
// The range is a Monte Carlo over the dose intervals of the bench, the flow and
// the solids, with a seed, so that the same input gives the same bytes.
package month

import (
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/formula"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Class is a kind of raw water, such as "clear" or "storm".
type Class struct {
	Name string
	// Share of the days whose water is not known beforehand.
	Share quantity.Fraction
	// Removed is the suspended solids taken out of this water.
	Removed solids.Range[quantity.Concentration]
	// CleanUp is true of the water of clean-ups, which no day's own water is.
	CleanUp bool
}

// Dose is the dose of one chemical for one class of raw water.
type Dose struct {
	// Plan is the dose that the plan uses, on the chemical's basis.
	Plan quantity.Concentration
	// Quantile gives the lowest effective dose that is exceeded with chance
	// 1 − p, false where it is not bounded; nil where the dose is taken as exact.
	Quantile func(p float64) (quantity.Concentration, bool)
	// Effects are those of a mass of this dose where they are not the chemical's own, which are of the usual one: how much of
	// its metal meets phosphate goes with the dose, and in a clean-up with what earlier passes left.
	Effects *day.Effects
}

// Role says what a chemical is for.
type Role string

const (
	Coagulant Role = "coagulant"
	Polymer   Role = "polymer"
	Alkali    Role = "alkali"
	Other     Role = "other"
)

// Chemical is one product that the plant uses.
type Chemical struct {
	Name  string
	Role  Role
	Basis quantity.Basis
	// Doses has one entry for each class, or one for all; none with a Balance.
	Doses   []Dose
	Balance *day.Balance
	// Cleaning is the mean dose of a whole clean-up, where the plan has one.
	Cleaning Dose
	// ForSludge is true of what the sludge line is fed; its dose counts the water treated all the same.
	ForSludge bool
	// LetOut is the product that the plan of the usual day lets out with stock that has gone off, which no use here counts.
	LetOut quantity.Mass
	// Tested is true where the doses come from a jar test.
	Tested bool
	// Effects are those of the usual dose, on its basis.
	day.Effects
	// Stock is grams of product per litre of the stock that the pump delivers; zero is neat.
	Stock   quantity.Concentration
	Density quantity.Density // of the product; zero where it is a powder or not known
	Carrier quantity.Flow    // water added after the pump while the unit runs
	Prices  PriceList
	Supply  Supply
}

// Energy is what the pumps and the unit draw while treating.
type Energy struct {
	Power quantity.Power
	Price quantity.Price // per kWh
}

// Plan is everything that a month's budget rests on.
type Plan struct {
	Calendar Calendar
	Classes  []Class // none counts as one class for all water
	// CleanUp is what the clean-ups of the calendar are; nil counts them as more of the day's water.
	CleanUp   *CleanUp
	Chemicals []Chemical
	// Skim is the skimmer of the unit, Disposal what becomes of what it takes off: drained cake where Cake is true.
	Cake     bool
	Skim     solids.Skimmer
	Disposal day.Disposal
	// Sludge is the sludge line of a usual day, which treats SludgeOf; nil where the site has none.
	Sludge   *dosing.SludgeDay
	SludgeOf quantity.Volume
	// Water is the price of the water that dilutes stocks, per m3.
	Water  quantity.Price
	Energy Energy
	// OrderFrom is the first day on which an order can be placed; zero is the first of the month.
	OrderFrom Date
	Doubt     Doubt
	// Varies is true where another month differs from this one by more than its dates, and Later are then
	// the months that an order of this one looks ahead to.
	Varies bool
	Later  []Plan
	// MoneyAt is the first cell in which each currency stands, where a site gives it.
	MoneyAt map[string]note.Place
	// Stopped is true where a caution stops the day that the month is made of, and
	// nobody has taken the risk.
	Stopped bool
	// Unheld is true where the unit cannot hold the loop at the level that is asked for, so that the month is that of what it reads instead.
	Unheld bool
	// OutOfReach is true where a pump cannot be set for what the usual day or a day of other water that it has asks of it, as of
	// [dosing.Plan.OutOfReach].
	OutOfReach bool
	// Impossible are the faults for which no plan can be made of the usual day, as the plan itself has them; the notes say them too.
	Impossible note.List
}

// Delivery is one arrival that the plan asks for.
type Delivery struct {
	OrderBy, Arrives Date
	Packs            int
	Amount           quantity.Mass
	StockAfter       quantity.Mass
	Price            quantity.Price // the tier reached, per kg
	Cost             quantity.Money // goods and delivery charge
}

// Account is the month of one chemical.
type Account struct {
	Chemical Chemical
	// Doses are the plan's doses by class, worked out where a Balance gives them.
	Doses []quantity.Concentration
	// UsualDose is the mean over the classes by their share.
	UsualDose quantity.Concentration
	Use       quantity.Mass // in the month, as product: what is wanted but for what is not there
	Wanted    quantity.Mass // in the month, as product
	UseVolume quantity.Volume
	PerDay    quantity.MassRate // wanted, mean over all days of the month
	// UnitPrice is the price per kg and UnitFreight the delivery charge spread over a kg,
	// of the orders that arrive in the month; of the usual order where none does.
	UnitPrice, UnitFreight quantity.Price
	// UsualPrice and UsualFreight are those of the usual order, as the plan of a day
	// counts them, UsualGoods and UsualCharges what is used at them.
	UsualPrice, UsualFreight quantity.Price
	UsualGoods, UsualCharges quantity.Money
	Bought                   quantity.Mass  // in those orders
	Expired                  quantity.Mass  // goes out of date in the month
	Loss                     quantity.Money // what that cost
	Goods, Freight           quantity.Money // for what is used
	Water                    quantity.Volume
	Safety, Reorder          quantity.Mass
	UsualOrder               int
	// Cover is how long the opening stock lasts without a delivery.
	Cover      quantity.Time
	Stock      []StockDay // the month, then the days looked ahead
	Ahead      []float64  // what is used on each day looked ahead, over what this month would use on it
	Deliveries []Delivery // that this month orders, or had to order before it began
	// Before are the deliveries that a month before this one ordered and that arrive in it.
	Before []Delivery
	ToPay  quantity.Money
	// RunsOut is the first day on which there is not enough; nil when there always is.
	RunsOut *StockDay
	// Store is the account as it was worked out, by the names of its rules.
	Store *formula.Sheet
}

// Mixed reports that the usual dose is that of no one water.
func (b Budget) Mixed(a Account) bool {
	for k, c := range b.Classes {
		if c.Share > 0 && math.Abs(float64(a.Doses[k]-a.UsualDose)) > 1e-9*float64(a.UsualDose) {
			return true
		}
	}
	return false
}

// SludgeTimes is how often the month has the sludge of the usual day, by the water that it treats; zero where there is no line.
func (b Budget) SludgeTimes() quantity.Ratio {
	if b.Plan.Sludge == nil || b.Plan.SludgeOf <= 0 {
		return 0
	}
	return quantity.Ratio(b.Treated / b.Plan.SludgeOf)
}

// Closing is the stock at the end of the month.
func (a Account) Closing(m Month) quantity.Mass { return a.Stock[m.Days()-1].End }

// OutOfDate is the line of the cost that holds goods which were never used, with their share of the delivery charges.
const OutOfDate = "goods out of date"

// Arrived is all that comes in the month, ordered in it or before.
func (a Account) Arrived(m Month) (sum quantity.Mass) {
	for _, d := range a.Stock[:m.Days()] {
		sum += d.Arrived
	}
	return sum
}

// Budget is the answer.
type Budget struct {
	Plan    Plan
	Classes []Class
	Days    []Day
	// Account is the sum of the days: water, hours, solids, float, energy, money.
	day.Account
	Worked   int // days on which water is treated
	Accounts []Account
	Lines    []day.Line
	Total    quantity.Money
	ToPay    quantity.Money // for the deliveries that arrive in the month
	// PerM3 and PerKg (of suspended solids removed) are absent where there is nothing to divide by.
	PerM3, PerKg       quantity.Price
	HasPerM3, HasPerKg bool
	Range              Range
	Notes              note.List
}

// Unplanned reports that no plan can be made of the usual day.
func (p Plan) Unplanned() bool { return len(p.Impossible) > 0 }

// Currency is the one currency of the plan, "" where nothing has a price.
func (p Plan) Currency() string {
	c, _ := day.Currency(p.prices()...)
	return c
}

func (p Plan) prices() []quantity.Price {
	var out []quantity.Price
	for _, c := range p.Chemicals {
		for _, t := range c.Prices.Tiers {
			out = append(out, t.Price)
		}
		out = append(out, quantity.Price{Currency: c.Prices.Delivery.Currency})
	}
	return append(out, p.Disposal.Price, p.Water, p.Energy.Price)
}

// classes gives the classes with shares that add up to 1.
func (p Plan) classes() ([]Class, error) {
	if len(p.Classes) == 0 {
		return []Class{{Name: UsualWater, Share: 1}}, nil
	}
	if len(p.Classes) == 1 {
		one := p.Classes[0]
		one.Share = 1
		return []Class{one}, nil
	}
	var sum float64
	for _, c := range p.Classes {
		sum += float64(c.Share)
		if c.Share < 0 || c.Removed.Low < 0 || c.Removed.Likely < 0 {
			return nil, note.Fault("bad-class", "raw water %q has a negative share or solids", c.Name).Do("a share is 0 to 100 %%")
		}
	}
	if math.Abs(sum-1) > 1e-6 {
		return nil, note.Fault("shares", "the shares of the raw-water classes add up to %s %%", quantity.Full(quantity.Number(sum*100), 4)).
			Do("make them 100 %%")
	}
	return p.Classes, nil
}

// check finds what cannot be planned.
func (p Plan) check(classes []Class) error {
	c := p.Calendar
	l := told(
		row{c.Month.Month < 1 || c.Month.Month > 12, note.Fault("no-month", "no month is given").Do("give one like 2026-03")},
		row{len(p.Chemicals) == 0, note.Fault("no-chemical", "no chemical is given").Do("describe at least one in the site under Chemicals")},
		row{c.Flow < 0, note.Fault("negative-flow", "the design flow is negative").Do("a flow is zero or more")},
	)
	names := map[string]bool{"": true}
	for _, c := range p.Chemicals {
		key := strings.ToLower(strings.TrimSpace(c.Name))
		l.Add(told(row{names[key], note.Fault("chemical-name", "chemical %q is unnamed or there twice", c.Name).
			Do("give each chemical a name of its own")})...)
		names[key] = true
		l.Add(c.check(len(classes))...)
	}
	first, currencies := day.Currency(p.prices()...)
	for i := range currencies {
		k := slices.IndexFunc(p.prices(), func(x quantity.Price) bool { return x.Currency != "" && x.Currency != first })
		currencies[i] = currencies[i].At(p.MoneyAt[p.prices()[k].Currency])
	}
	l.Add(append(currencies, p.Disposal.Check()...)...)
	have := []string{}
	for _, c := range classes {
		have = append(have, c.Name)
	}
	for _, e := range c.Exceptions {
		if e.Class != "" && e.Class != UsualWater && !slices.Contains(have, e.Class) {
			l.Add(note.Fault("class-unknown", "raw-water class %q is not described%s", e.Class, note.DidYouMean(e.Class, have)).
				Do("use one of %s", strings.Join(have, ", ")).At(e.At))
		}
	}
	l.Add(append(p.Doubt.Flow.Check("flow"), p.Doubt.Solids.Check("solids")...)...)
	return l.Err()
}

// check finds what is impossible of one chemical, beside so many classes of water.
func (c Chemical) check(classes int) note.List {
	l := c.Effects.Check(c.Name)
	l.Add(told(row{c.Balance == nil && len(c.Doses) != 1 && len(c.Doses) != classes,
		note.Fault("doses", "%s: %d doses for %d raw-water classes", c.Name, len(c.Doses), classes).
			Do("give one dose, or one for each class")})...)
	for _, d := range c.Doses {
		l.Add(told(row{d.Plan < 0 || !quantity.Finite(d.Plan),
			note.Fault("negative-dose", "%s: dose %s is not possible", c.Name, d.Plan).Do("a dose is zero or more")})...)
	}
	return append(append(l, c.Supply.check(c.Name)...), c.Prices.check(c.Name)...)
}
