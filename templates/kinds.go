package templates

import (
	"iter"
	"math"
	"time"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// The kinds of figures that several reports have, with the unit that documents give
// them in.
var (
	litres = in[quantity.Volume]("L") // of stock, product or float
	kilos  = in[quantity.Mass]("kg")  // what is weighed
	hours  = in[quantity.Time]("h")
	rate   = in[quantity.FeedRate]("mL/min") // stock per time, or its difference
	knob   = in[quantity.Setting]("%")       // where a knob stands
	caCO3  = in[quantity.Alkalinity]("mg/L CaCO3")
)

// in makes the figures of a kind.
func in[T quantity.Quantity](unit string) func(key string, v T, digits int) figure.Figure {
	return func(key string, v T, digits int) figure.Figure { return figure.Of(key, v, unit, digits) }
}

// pouredVolume is product that is measured out at a pond: US readers see it in fluid ounces, as its bucket, and in mL only where it is less than half of one.
type pouredVolume struct{ quantity.Volume }

// Show implements [quantity.Quantity].
func (v pouredVolume) Show(s quantity.System) (float64, string) {
	if ounces := v.In("fl oz"); s == quantity.US && ounces >= 0.5 && v.In("gal") < 0.5 {
		return ounces, "fl oz"
	}
	return v.Volume.Show(s)
}

// poured is such a volume.
func poured(key string, v quantity.Volume, digits int) figure.Figure {
	return figure.Of(key, pouredVolume{v}, "L", digits)
}

// mass is goods in a store, all digits that count.
func mass(key string, m quantity.Mass, digits int) figure.Figure {
	return kilos(key, m, digits).In(figure.Full)
}

// pack is a pack as people name it.
func pack(m quantity.Mass) figure.Figure { return kilos("pack", m, 4) }

// packed puts the pack of a supply into an object, by mass and where it is bought by that by volume.
func packed(o *figure.Object, m quantity.Mass, v quantity.Volume) *figure.Object {
	return o.Put(pack(m), litres("pack_volume", v, 4).If(v > 0))
}

// packOf is the pack as it is bought.
func packOf(o *figure.Object) figure.Figure {
	if o.Has("pack_volume") {
		return o.Fig("pack_volume")
	}
	return o.Fig("pack")
}

// massRate is a daily mass: kg/d in documents, g/d to people where kg/d would begin
// with zeros.
func massRate(key string, m quantity.MassRate, digits int) figure.Figure {
	return figure.Of(key, daily{m}, "kg/d", digits)
}

// daily shows a mass rate in g/d where kg/d would begin with zeros.
type daily struct{ quantity.MassRate }

// Show gives kg/d, g/d or the reader's unit.
func (d daily) Show(u quantity.System) (float64, string) {
	if u == quantity.Metric && d.MassRate != 0 && math.Abs(float64(d.MassRate)) < 0.1 {
		return d.In("g/d"), "g/d"
	}
	return d.MassRate.Show(u)
}

// water is a flow of water.
func water(key string, q quantity.Flow) figure.Figure { return figure.Of(key, q, "m3/h", 3) }

// inHours shows a span in hours, however long.
func inHours(key string, t quantity.Time, digits int) figure.Figure {
	return figure.Of(key, figure.Fixed{Q: t, Unit: "h"}, "h", digits)
}

// gramsPerLitre is the strength of a stock, in words that say grams and litres.
func gramsPerLitre(key string, c quantity.Concentration) figure.Figure {
	return figure.Of(key, figure.Fixed{Q: c, Unit: "g/L"}, "g/L", 4)
}

// doseOf is a dose or a bound of one.
func doseOf(key string, c quantity.Concentration, b quantity.Basis, digits int) figure.Figure {
	return figure.Dose(key, quantity.Dose{Concentration: c, Basis: b}, digits)
}

// mgL is a concentration that stays in mg/L, whatever its size.
func mgL(key string, c quantity.Concentration, digits int) figure.Figure {
	return figure.Of(key, figure.Plain{V: float64(c), U: "mg/L"}, "mg/L", digits)
}

// limit is a concentration held against a limit: three digits, small ones not lost.
func limit(key string, c quantity.Concentration) figure.Figure {
	return mgL(key, c, 3).In(figure.Trace)
}

// maybe is a concentration that may not be known.
func maybe(key string, c quantity.Known[quantity.Concentration]) figure.Figure {
	return limit(key, c.V).If(c.OK)
}

// gas is a dissolved gas: two digits, and nothing finer than matters to any animal.
func gas(key string, c quantity.Concentration) figure.Figure { return mgL(key, c, 2).In(figure.Gas) }

// hundredthPH is a computed pH, tenthPH one to what the model of a tank is good for.
func hundredthPH(key string, p quantity.PH) figure.Figure {
	return figure.Of(key, p, "pH", 3).In(figure.Cents)
}

func tenthPH(key string, p quantity.PH) figure.Figure {
	return figure.Of(key, p, "pH", 2).In(figure.Tenth)
}

// share is a part of something, in percent, with its sign.
func share(key string, f quantity.Fraction) figure.Figure {
	return figure.Of(key, f, "%", 2).In(figure.Signed)
}

// plainNumber is a number that documents write alone.
func plainNumber(key string, v float64, digits int) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: v}, Digits: digits, Form: figure.Full}
}

// brief is such a number without idle zeros, in three digits.
func brief(key string, v float64) figure.Figure {
	return figure.Figure{Key: key, Q: figure.Plain{V: v}}
}

// amount is money to the cent.
func amount(key string, m quantity.Money) figure.Figure {
	return figure.Figure{Key: key, Q: m, Form: figure.Cents}
}

// pricePer is a price, of a kg or to readers of US units of a pound.
func pricePer(key string, p quantity.Price, digits int) figure.Figure {
	return figure.Of(key, p, p.Currency+"/"+p.Per, digits).In(figure.Full)
}

// perKg names what a unit price of the store is for.
func perKg(p quantity.Price) quantity.Price { p.Per = "kg"; return p }

// perWater is something counted for 1000 m3 of water, which readers of US units see
// for 1000 gallons.
type perWater struct {
	// of gives it for that many thousands of m3.
	of func(water float64) quantity.Quantity
	// named has the water in the unit too, for where no heading tells it.
	named bool
}

// Show implements [quantity.Quantity].
func (p perWater) Show(s quantity.System) (float64, string) {
	v, u := p.of(either(s == quantity.US, gallon/1000, 1)).Show(s)
	return v, u + either(p.named, " per "+thousandOf(s), "")
}

// Formed gives money of 1000 gallons four decimals, where two would hide differences.
func (p perWater) Formed(s quantity.System, f figure.Form) figure.Form {
	return either(s == quantity.US && f == figure.Cents, figure.Fine, f)
}

// In gives it in a unit of its kind, for 1000 m3; NaN in any other.
func (p perWater) In(unit string) float64 {
	v, ok := figure.In(p.of(1), unit)
	if same, own := p.of(1).Show(quantity.Metric); !ok && own == unit {
		return same
	}
	return v
}

// InFor gives it in a unit of its kind for what readers of these units count it over; NaN in any other.
func (p perWater) InFor(s quantity.System, unit string) float64 {
	v, _ := figure.In(p.of(either(s == quantity.US, gallon/1000, 1)), unit)
	return v
}

// thousandOf names the water that [perWater] counts for.
func thousandOf(s quantity.System) string { return either(s == quantity.US, "1000 gal", "1000 m3") }

func (o Options) thousand() string { return thousandOf(o.Units) }

// massPerWater is kg for 1000 m3.
func massPerWater(key string, m quantity.Mass, digits int) figure.Figure {
	return figure.Of(key, perWater{of: func(w float64) quantity.Quantity { return m * quantity.Mass(w) }}, "kg", digits).In(figure.Full)
}

// costPerWater is money for 1000 m3.
func costPerWater(key string, m quantity.Money) figure.Figure {
	of := func(w float64) quantity.Quantity { return quantity.Money{Amount: m.Amount * w, Currency: m.Currency} }
	return figure.Of(key, perWater{of: of}, m.Currency, 4).In(figure.Cents)
}

// namedCost is money for 1000 m3 where no heading says so.
func namedCost(key string, m quantity.Money) figure.Figure {
	f := costPerWater(key, m).To(3).In(figure.Full)
	f.Q = perWater{f.Q.(perWater).of, true}
	return f
}

// unitless hides the unit and the basis of a figure where a heading has them: a dose stays in the unit of documents, as strong as it is.
func unitless(f figure.Figure) figure.Figure {
	if f.Known() {
		if c, ok := f.Q.(quantity.Concentration); ok && f.Unit != "" {
			f.Q = figure.Plain{V: c.In(f.Unit), U: f.Unit}
		}
		f.Q, f.Basis = figure.Unitless{Q: f.Q}, quantity.NotStated
	}
	return f
}

// objects makes an object of each thing in a list.
func objects[T any](list []T, one func(T) *figure.Object) []*figure.Object {
	out := make([]*figure.Object, 0, len(list))
	for _, x := range list {
		out = append(out, one(x))
	}
	return out
}

// lazily is [objects] made one by one, when they are written.
func lazily[T any](list []T, one func(T) *figure.Object) iter.Seq[*figure.Object] {
	return func(yield func(*figure.Object) bool) {
		for _, x := range list {
			if !yield(one(x)) {
				return
			}
		}
	}
}

// dated is a day as people read it, "Mon 2 March 2026"; nothing for none.
func dated(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return month.DateOf(t).Spelled()
}

// datedText is such a day of one that a file has as text; as it stands where it is no date of ours.
func datedText(s string) string {
	if t, err := time.Parse(time.DateOnly, s); err == nil {
		return dated(t)
	}
	return s
}

// civil writes a date for programs, nothing for none.
func civil(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02")
}
