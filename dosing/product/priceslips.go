package product

import (
	_ "embed" // the table is part of the program
	"math"
	"slices"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed prices.txt
var pricesTable string

// usualPrice is a line of prices.txt.
type usualPrice struct {
	group     Group
	from      quantity.Mass // the least pack
	low, high float64       // per kg
	source    string
}

var usualPrices = sync.OnceValue(func() (out []usualPrice) {
	sources, rows := table.Sourced(pricesTable)
	for _, r := range rows {
		var v [3]float64
		for i := range v {
			v[i], _ = table.Number(r[1+i])
		}
		out = append(out, usualPrice{Group(r[0]), quantity.Mass(v[0]), v[1], v[2], sources[r[4]]})
	}
	return out
})

// hardMoney are currencies of which a unit buys about the same; others are not judged.
var hardMoney = []string{"EUR", "USD", "GBP", "CHF", "AUD", "CAD", "NZD", "SGD"}

// HardMoney reports that a unit of a currency buys about as much as a EUR.
func HardMoney(currency string) bool { return slices.Contains(hardMoney, currency) }

// PriceSlips asks about a price that is far from what such products cost in such packs
// (no mass is not known): whether its decimal point stands elsewhere, or it is per
// another unit. What costs nothing is left alone.
func PriceSlips(p Product, price quantity.Price, density quantity.Density, pack quantity.Mass) note.List {
	i := -1
	for k, u := range usualPrices() {
		if u.group == p.Group && u.from <= pack {
			i = k
		}
	}
	perKg, err := price.PerKg(density, pack)
	if i < 0 || err != nil || perKg.Amount <= 0 || !HardMoney(price.Currency) {
		return nil
	}
	u := usualPrices()[i]
	usual := func(x quantity.Price) bool {
		kg, err := x.PerKg(density, pack)
		return err == nil && kg.Amount >= u.low && kg.Amount <= u.high
	}
	if usual(price) {
		return nil
	}
	far := "less"
	if perKg.Amount > u.high {
		far = "more"
	}
	end := func(v float64) quantity.Price { // in the unit of the price
		return quantity.Price{Amount: price.Amount * v / perKg.Amount, Currency: price.Currency, Per: price.Per}
	}
	n := note.New(note.Caution, "price-unusual", "a price of %s is "+far+" than is usual of %s in such packs (%s to %s)%s",
		price, nameOf(p), end(u.low), end(u.high), meantPrice(price, usual))
	return note.List{n.Do("correct it, or leave it if it is so").From(u.source)}
}

// meantPrice is the question, empty where nothing near is usual: the same number with its
// decimal point elsewhere, and per another unit.
func meantPrice(price quantity.Price, usual func(quantity.Price) bool) note.Phrase {
	var shifts, units []quantity.Price
	for k := 1.0; k <= 4; k++ {
		for _, times := range []float64{math.Pow(10, -k), math.Pow(10, k)} {
			shifts = append(shifts, quantity.Price{Amount: price.Amount * times, Currency: price.Currency, Per: price.Per})
		}
	}
	for _, per := range []string{"pack", "t", "kg"} {
		if per != price.Per {
			units = append(units, quantity.Price{Amount: price.Amount, Currency: price.Currency, Per: per})
		}
	}
	var found []note.Phrase
	for _, list := range [][]quantity.Price{shifts, units} {
		if i := slices.IndexFunc(list, usual); i >= 0 {
			found = append(found, note.Say("%s", list[i]))
		}
	}
	if len(found) == 0 {
		return note.Phrase{}
	}
	return note.Say("; did you mean %s?", note.AnyOf(found))
}
