package day

import (
	"jarwright/dosing/product"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// Account is a day, or a sum of days: everything in it adds up.
type Account struct {
	Treated quantity.Volume
	Running quantity.Time
	// Uses stand beside the chemicals of the record.
	Uses []Use
	// AlkalinityUsed is what the chemicals take, as CaCO3; what an alkali gives back is taken off.
	AlkalinityUsed quantity.Mass
	// Removed is the suspended solids taken out of the water, Dry all dry solids,
	// those made of the chemicals too.
	Removed, Dry solids.Range[quantity.Mass]
	// Float is the float or sludge itself, Carried the water that skimming carries
	// over, Wet both together: what the bin takes.
	Float   solids.Range[quantity.Volume]
	Carried quantity.Volume
	Wet     solids.Range[quantity.Volume]
	// Energy is what the unit and its pumps draw.
	Energy quantity.Energy
	// Disposal and Electricity are the cost of being rid of the wet solids and of the energy.
	Disposal, Electricity quantity.Money
}

// Use is the account of one chemical.
type Use struct {
	Chemical string
	Dosed    quantity.Mass // on the dose's basis
	Active   quantity.Mass // zero where the effects know no active substance
	Product  quantity.Mass
	// Volume is the product as a liquid, Stock what the pump delivers, Water what
	// makes up the stock; zero where the figures for it are not known.
	Volume, Stock, Water quantity.Volume
	Carrier              quantity.Volume // water that carries the stock from the pump
	Alkalinity           quantity.Mass   // used, as CaCO3
	Solids               solids.Range[quantity.Mass]
	// Goods, Freight and MakeUp are the cost of the product, its delivery, and the
	// water of its stock and its carrier.
	Goods, Freight, MakeUp quantity.Money
}

// Account works the day out.
func (r Record) Account() Account { return r.OfWater(r.Treated).Plus(r.OfHours(r.Running)) }

// OfWater is the account of so much water, apart from what the hours bring.
func (r Record) OfWater(v quantity.Volume) Account {
	a := Account{Treated: v, Uses: make([]Use, 0, len(r.Chemicals))}
	of := func(c quantity.Concentration) quantity.Mass { return solids.MassOf(c, v) }
	a.Removed = solids.Of(r.Removed, of)
	a.Dry = a.Removed
	for i, d := range r.Doses() {
		u := r.Chemicals[i].Use(of(d), r.MakeUp)
		a.Uses = append(a.Uses, u)
		a.Dry = a.Dry.Plus(u.Solids)
		a.AlkalinityUsed += u.Alkalinity
	}
	a.Float = solids.Of(a.Dry, r.Disposal.Volume)
	a.Wet = a.Float
	if r.Disposal.Price.Amount != 0 { // only then need the dry solids be known
		a.Disposal = quantity.Money{Amount: float64(a.Dry.Likely) * r.Disposal.PerKgDry(), Currency: r.Disposal.Price.Currency}
	}
	return a
}

// OfHours is the account of so long a run, apart from what the water brings.
func (r Record) OfHours(t quantity.Time) Account {
	a := Account{Running: t, Carried: r.Skim.PerHour() * quantity.Volume(t), Energy: quantity.Energy(r.Power.In("kW") * float64(t))}
	a.Wet = solids.Same(a.Carried)
	for _, c := range r.Chemicals {
		u := Use{Chemical: c.Name, Carrier: quantity.Volume(float64(c.Carrier) * float64(t) * 1000)}
		u.MakeUp = cost(u.Carrier, r.MakeUp)
		a.Uses = append(a.Uses, u)
	}
	a.Disposal = quantity.Money{Amount: float64(a.Carried) * r.Disposal.PerLitre(), Currency: r.Disposal.Price.Currency}
	a.Electricity = quantity.Money{Amount: float64(a.Energy) * r.Electricity.Amount, Currency: r.Electricity.Currency}
	return a
}

// Use is the account of a mass of the dose, with make-up water at a price per m3.
func (c Chemical) Use(dosed quantity.Mass, water quantity.Price) Use {
	u := Use{Chemical: c.Name, Dosed: dosed, Active: dosed * quantity.Mass(c.Active.V), Product: dosed * quantity.Mass(c.Product()),
		Alkalinity: dosed * quantity.Mass(c.AlkalinityUse)}
	u.Solids = solids.Of(c.SolidsYield(), func(y quantity.Ratio) quantity.Mass { return dosed * quantity.Mass(y) })
	if c.Density > 0 {
		u.Volume = product.LiquidVolume(u.Product, c.Density)
	}
	u.Stock = u.Volume
	if c.Stock > 0 {
		u.Stock = quantity.Volume(float64(u.Product) * 1e6 / float64(c.Stock))
		u.Water = max(0, u.Stock-u.Volume)
	}
	u.Goods = quantity.Money{Amount: float64(u.Product) * c.Price.Amount, Currency: c.Price.Currency}
	u.Freight = quantity.Money{Amount: float64(u.Product) * c.Freight.Amount, Currency: c.Freight.Currency}
	u.MakeUp = cost(u.Water, water)
	return u
}

// Fed is the use where only a part of the product was there, with make-up water at a price per m3: what is bought and
// made up is less. Solids and alkalinity stay those of the plan, as the water that it treats does.
func (u Use) Fed(part quantity.Fraction, water quantity.Price) Use {
	kg, litres := quantity.Mass(part), quantity.Volume(part)
	u.Dosed, u.Active, u.Product = kg*u.Dosed, kg*u.Active, kg*u.Product
	u.Volume, u.Stock, u.Water = litres*u.Volume, litres*u.Stock, litres*u.Water
	u.Goods, u.Freight, u.MakeUp = times(u.Goods, float64(part)), times(u.Freight, float64(part)), cost(u.Water+u.Carrier, water)
	return u
}

// StockWater is the water that makes the stock of one kg of product.
func (c Chemical) StockWater() quantity.Volume {
	return c.Use(quantity.Mass(1/c.Product()), quantity.Price{}).Water
}

// cost is that of so much water at a price per m3.
func cost(v quantity.Volume, price quantity.Price) quantity.Money {
	return quantity.Money{Amount: v.In("m3") * price.Amount, Currency: price.Currency}
}

// Cost is all that a mass of the chemical costs.
func (u Use) Cost() quantity.Money { return sum(u.Goods, u.Freight, u.MakeUp) }

// Times is so many of the same.
func (a Account) Times(k float64) Account { return Account{}.plus(k, a) }

// Plus adds an account of the same chemicals, or of none.
func (a Account) Plus(b Account) Account { return a.plus(1, b) }

// plus adds k times b.
func (a Account) plus(k float64, b Account) Account {
	kg, litres := quantity.Mass(k), quantity.Volume(k)
	a.Uses = append(make([]Use, 0, len(b.Uses)), a.Uses...)
	for i, v := range b.Uses {
		if i == len(a.Uses) {
			a.Uses = append(a.Uses, Use{Chemical: v.Chemical})
		}
		u := &a.Uses[i]
		u.Dosed, u.Active, u.Product = u.Dosed+kg*v.Dosed, u.Active+kg*v.Active, u.Product+kg*v.Product
		u.Volume, u.Stock = u.Volume+litres*v.Volume, u.Stock+litres*v.Stock
		u.Water, u.Carrier = u.Water+litres*v.Water, u.Carrier+litres*v.Carrier
		u.Alkalinity, u.Solids = u.Alkalinity+kg*v.Alkalinity, u.Solids.Plus(v.Solids.Scale(k))
		u.Goods, u.Freight, u.MakeUp = sum(u.Goods, times(v.Goods, k)), sum(u.Freight, times(v.Freight, k)), sum(u.MakeUp, times(v.MakeUp, k))
	}
	a.Treated, a.Carried, a.Running = a.Treated+litres*b.Treated, a.Carried+litres*b.Carried, a.Running+quantity.Time(k)*b.Running
	a.AlkalinityUsed, a.Energy = a.AlkalinityUsed+kg*b.AlkalinityUsed, a.Energy+quantity.Energy(k)*b.Energy
	a.Removed, a.Dry = a.Removed.Plus(b.Removed.Scale(k)), a.Dry.Plus(b.Dry.Scale(k))
	a.Float, a.Wet = a.Float.Plus(b.Float.Scale(k)), a.Wet.Plus(b.Wet.Scale(k))
	a.Disposal, a.Electricity = sum(a.Disposal, times(b.Disposal, k)), sum(a.Electricity, times(b.Electricity, k))
	return a
}

// Line is one line of the cost.
type Line struct {
	Name   string
	Amount quantity.Money
}

// The lines of a cost that are no chemical.
const (
	DeliveryCharges = "delivery charges"
	DisposalLine    = "disposal of solids"
	WaterLine       = "make-up water"
	EnergyLine      = "energy"
)

// Lines lists the cost: each chemical, what their deliveries come to, the solids,
// the water of the stocks and their carriers, the energy.
func (a Account) Lines() []Line {
	var out []Line
	var freight, water quantity.Money
	for _, u := range a.Uses {
		out = append(out, Line{u.Chemical, u.Goods})
		freight, water = sum(freight, u.Freight), sum(water, u.MakeUp)
	}
	return append(out, Line{DeliveryCharges, freight}, Line{DisposalLine, a.Disposal}, Line{WaterLine, water}, Line{EnergyLine, a.Electricity})
}

// Total is the sum of the lines.
func (a Account) Total() quantity.Money {
	var total quantity.Money
	for _, l := range a.Lines() {
		total = sum(total, l.Amount)
	}
	return total
}

// Per gives a mass of the account over the water treated; zero without water.
func (a Account) Per(m quantity.Mass) quantity.Concentration {
	if a.Treated <= 0 {
		return 0
	}
	return quantity.Concentration(float64(m) / float64(a.Treated) * 1e6)
}

// sum adds money of one currency; money without a currency is none.
func sum(all ...quantity.Money) (total quantity.Money) {
	for _, m := range all {
		total.Amount += m.Amount
		if total.Currency == "" {
			total.Currency = m.Currency
		}
	}
	return total
}

func times(m quantity.Money, k float64) quantity.Money {
	return quantity.Money{Amount: m.Amount * k, Currency: m.Currency}
}
