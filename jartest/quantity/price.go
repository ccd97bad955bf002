package quantity

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest/note"
)

// Money is an amount in a named currency (ISO 4217 code or the user's own word).
type Money struct {
	Amount   float64
	Currency string
}

// Show implements [Quantity].
func (m Money) Show(System) (float64, string) { return m.Amount, m.Currency }
func (m Money) String() string                { return text(m) }

// Price is money per unit of something bought: "0.42 EUR/kg", "310 EUR/pack",
// "1.8 EUR/m3", "0.21 EUR/kWh". Per is the unit as one of those
// that the error of [ParsePrice] lists.
type Price struct {
	Amount   float64
	Currency string
	Per      string
}

// priceUnits are what a price may be per, with the mass or the volume of one, and
// the unit that the US system shows instead. Water is counted by the 1000 gal
// there where others count it by the m3 or by 1000 m3.
var priceUnits = []struct {
	name   string
	also   []string
	mass   Mass
	volume Volume
	us     string
}{
	{"kg", []string{"kilogram"}, 1, 0, "lb"},
	{"t", []string{"tonne", "metric ton"}, 1000, 0, "short ton"},
	{"lb", []string{"pound", "lbs"}, kgPerPound, 0, ""},
	{"short ton", []string{"US ton"}, 2000 * kgPerPound, 0, ""},
	{"L", []string{"litre", "liter"}, 0, 1, "gal"},
	{"m3", []string{"cubic metre", "cubic meter", "m³"}, 0, 1000, "1000 gal"},
	{"1000 m3", []string{"1000 m³"}, 0, 1e6, "1000 gal"},
	{"gal", []string{"US gal", "gallon"}, 0, litresPerGallon, ""},
	{"1000 gal", []string{"1000 US gal", "kgal"}, 0, 1000 * litresPerGallon, ""},
	{"imp gal", []string{"imperial gal", "imperial gallon"}, 0, litresPerImpGallon, ""},
	{"pack", []string{"bag", "drum", "can", "IBC", "tote", "sack", "load"}, 0, 0, ""},
	{"kWh", []string{"kilowatt hour"}, 0, 0, ""},
	{"kg dry", []string{"kg dry solids", "kg DS"}, 0, 0, ""},
	{"t dry", []string{"t dry solids", "tonne dry solids"}, 0, 0, ""},
	{"delivery", []string{"trip"}, 0, 0, ""},
}

// priceUnitNames lists what a price may be per.
func priceUnitNames() []string {
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
			Do(`write it like "0.42 EUR/kg" or "310 EUR/pack" (per %s)`, strings.Join(priceUnitNames(), ", "))
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
	case v > largest:
		return bad("is too large")
	}
	for _, u := range priceUnits {
		same := func(name string) bool { return strings.EqualFold(name, per) }
		if same(u.name) || slices.ContainsFunc(u.also, same) {
			return Price{v, cur, u.name}, nil
		}
	}
	return bad("is per something unknown" + note.DidYouMean(per, priceUnitNames()))
}

// contents gives the mass or the volume that a price is for, both zero where it is for neither, and the unit for US readers.
func contents(per string) (Mass, Volume, string) {
	for _, u := range priceUnits {
		if u.name == per {
			return u.mass, u.volume, u.us
		}
	}
	return 0, 0, ""
}

// Holds gives the mass or the volume that a price is for; both are zero where it is
// for neither, such as a pack or a kWh.
func (p Price) Holds() (Mass, Volume) {
	m, v, _ := contents(p.Per)
	return m, v
}

// PerM3 gives the price of a m3 of what is bought by volume; false where it is not.
func (p Price) PerM3() (Price, bool) {
	_, v := p.Holds()
	if v <= 0 {
		return Price{}, false
	}
	return Price{p.Amount * 1000 / float64(v), p.Currency, "m3"}, true
}

// PerKg gives the price of one kg of product. A price by volume needs the
// density, a price by pack the mass of a pack; without them it is an error.
func (p Price) PerKg(density Density, pack Mass) (Price, error) {
	m, v, _ := contents(p.Per)
	switch {
	case m > 0:
	case v > 0 && density <= 0:
		return Price{}, note.Fault("density-missing", "price %s is by volume and the density is not known", p).
			Do("give the density of the product, or the price per kg")
	case v > 0:
		m = Mass(float64(v) * float64(density))
	case p.Per == "pack" && pack <= 0:
		return Price{}, note.Fault("pack-missing", "price %s is by the pack and the mass of a pack is not known", p).
			Do("give the pack size, or the price per kg")
	case p.Per == "pack":
		m = pack
	default:
		return Price{}, note.Fault("bad-price", "price %s is not a price of a product", p).Do("give it per kg, t, L, m3 or pack")
	}
	return Price{p.Amount / float64(m), p.Currency, "kg"}, nil
}

// Valid reports that the price is an ordinary amount, zero or more, with currency and unit.
func (p Price) Valid() bool {
	return finite(p.Amount) && p.Amount >= 0 && p.Currency != "" && p.Per != "" && !math.Signbit(p.Amount)
}

// Show implements [Quantity]: as it was given, and for US readers per lb, short ton, gal or 1000 gal.
func (p Price) Show(s System) (float64, string) {
	m, v, us := contents(p.Per)
	if s == Metric || us == "" {
		return p.Amount, p.Currency + "/" + p.Per
	}
	toMass, toVolume, _ := contents(us)
	times := float64(toMass) / float64(m)
	if v > 0 {
		times = float64(toVolume) / float64(v)
	}
	return p.Amount * times, p.Currency + "/" + us
}
func (p Price) String() string { return text(p) }
