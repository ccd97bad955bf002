package quantity

import (
	"math"
	"strings"

	"jarwright/jartest/note"
)

// Ratio is mass per mass, kg/kg: dry solids per kg of coagulant, calcium
// carbonate used per mg of product.
type Ratio float64

// Show implements [Quantity].
func (r Ratio) Show(System) (float64, string) { return float64(r), "kg/kg" }
func (r Ratio) String() string                { return text(r) }

// Energy is in kWh.
type Energy float64

// Show implements [Quantity].
func (e Energy) Show(System) (float64, string) { return float64(e), "kWh" }
func (e Energy) String() string                { return text(e) }

// Price is money per unit of something bought: "0.42 EUR/kg", "310 EUR/pack",
// "1.8 EUR/m3", "0.21 EUR/kWh". Per is the unit as one of [PriceUnits].
type Price struct {
	Amount   float64
	Currency string
	Per      string
}

var priceUnits = []struct {
	name string
	also []string
}{
	{"kg", []string{"kilogram"}},
	{"t", []string{"tonne", "metric ton"}},
	{"lb", []string{"pound", "lbs"}},
	{"short ton", []string{"US ton"}},
	{"L", []string{"litre", "liter"}},
	{"m3", []string{"cubic metre", "cubic meter", "m³"}},
	{"gal", []string{"US gal", "gallon"}},
	{"imp gal", []string{"imperial gal", "imperial gallon"}},
	{"pack", []string{"bag", "drum", "can", "IBC", "tote", "sack", "load"}},
	{"kWh", []string{"kilowatt hour"}},
	{"kg dry", []string{"kg dry solids", "kg DS"}},
	{"t dry", []string{"t dry solids", "tonne dry solids"}},
	{"delivery", []string{"trip"}},
}

// PriceUnits lists what a price may be per.
func PriceUnits() []string {
	out := make([]string, len(priceUnits))
	for i, u := range priceUnits {
		out[i] = u.name
	}
	return out
}

// ParsePrice reads a price with its currency and unit, such as "0.42 EUR/kg" or "310 EUR/pack".
func ParsePrice(s string) (Price, error) {
	bad := func(why string) (Price, error) {
		return Price{}, note.Fault("bad-price", "price %q %s", s, why).
			Do(`write it like "0.42 EUR/kg" or "310 EUR/pack" (per %s)`, strings.Join(PriceUnits(), ", "))
	}
	v, rest, err := Split(s)
	if err != nil {
		return bad(err.Error())
	}
	cur, per, ok := strings.Cut(rest, "/")
	if !ok {
		cur, per, ok = strings.Cut(rest, " per ")
	}
	cur, per = strings.TrimSpace(cur), strings.TrimSpace(per)
	switch {
	case !ok || per == "":
		return bad("does not say what it is per")
	case cur == "":
		return bad("has no currency")
	case v < 0:
		return bad("is negative")
	}
	for _, u := range priceUnits {
		if strings.EqualFold(u.name, per) {
			return Price{v, cur, u.name}, nil
		}
		for _, a := range u.also {
			if strings.EqualFold(a, per) {
				return Price{v, cur, u.name}, nil
			}
		}
	}
	return bad("is per something unknown" + note.DidYouMean(per, PriceUnits()))
}

// PerKg gives the price of one kg of product. A price by volume needs the
// density, a price by pack the mass of a pack; without them it is an error.
func (p Price) PerKg(density Density, pack Mass) (Price, error) {
	out := Price{Currency: p.Currency, Per: "kg"}
	switch p.Per {
	case "kg", "t", "lb", "short ton":
		out.Amount = p.Amount / float64(massOf(p.Per))
		return out, nil
	case "L", "m3", "gal", "imp gal":
		if density <= 0 {
			return out, note.Fault("density-missing", "price %s is by volume and the density is not known", p).
				Do("give the density of the product, or the price per kg")
		}
		l, _ := VolumeUnit(p.Per)
		out.Amount = p.Amount / (float64(l) * float64(density))
		return out, nil
	case "pack":
		if pack <= 0 {
			return out, note.Fault("pack-missing", "price %s is by the pack and the mass of a pack is not known", p).
				Do("give the pack size, or the price per kg")
		}
		out.Amount = p.Amount / float64(pack)
		return out, nil
	}
	return out, note.Fault("bad-price", "price %s is not a price of a product", p).Do("give it per kg, t, L, m3 or pack")
}

func massOf(unit string) Mass {
	u, _ := mass.find(unit)
	return Mass(u.factor)
}

// Valid reports that the price is an ordinary amount, zero or more, with currency and unit.
func (p Price) Valid() bool {
	return finite(p.Amount) && p.Amount >= 0 && p.Currency != "" && p.Per != "" && !math.Signbit(p.Amount)
}

// Show implements [Quantity].
func (p Price) Show(System) (float64, string) { return p.Amount, p.Currency + "/" + p.Per }
func (p Price) String() string                { return text(p) }
