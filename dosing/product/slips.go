package product

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Slips looks for the classic mistakes in a strength and a density that the user
// gave for a product of the catalogue: a strength on another basis, % by volume
// taken for % by mass, a percentage written as a share, a density in other units.
// Each finding says which reading would fit.
func Slips(catalogued Product, strength quantity.Fraction, b quantity.Basis, density quantity.Density) note.List {
	var out note.List
	if strength > 0 && catalogued.Strength.OK && b != quantity.AsProduct {
		out = append(out, catalogued.strengthSlips(strength, b)...)
	}
	if density > 0 && catalogued.Density.OK {
		lo, hi := span(catalogued.Density)
		const loose = 0.93 // liquids of one name differ by a few percent
		switch {
		case float64(density) >= float64(lo)*loose && float64(density) <= float64(hi)/loose:
		case float64(density)*kgPerLitreOfUS >= float64(lo)*loose && float64(density)*kgPerLitreOfUS <= float64(hi)/loose:
			out.Add(note.New(note.Caution, "density-slip", "density %s of %s would be usual in lb per US gallon", density, catalogued.Name).
				Do(`if it is, write "%s lb/gal"`, quantity.Full(quantity.Number(density), 4)))
		default:
			meant := tenfold(density, func(x quantity.Density) bool {
				return float64(x) >= float64(lo)*loose && float64(x) <= float64(hi)/loose
			})
			out.Add(note.New(note.Caution, "density-odd", "density %s is far from what %s has (%s)%s", density, catalogued.Name, band(catalogued.Density), meant).
				Do("check the label: unit, and whether it is this product").ByTen(meant.Format != ""))
		}
	}
	return out
}

// tenfold asks for the figure with its decimal point elsewhere, where that fits.
func tenfold[T quantityFloat](x T, fits func(T) bool) note.Phrase {
	for _, times := range []T{10, 0.1, 100, 0.01} {
		if fits(x * times) {
			return note.Say("; did you mean %s?", x*times)
		}
	}
	return note.Phrase{}
}

// kgPerLitreOfUS turns lb per US gallon into kg/L.
const kgPerLitreOfUS = 0.45359237 / 3.785411784

func span[T ~float64](f Figure[T]) (T, T) {
	if f.Low == 0 && f.High == 0 {
		return f.V, f.V
	}
	return f.Low, f.High
}

func band[T quantityFloat](f Figure[T]) note.Phrase {
	lo, hi := span(f)
	if lo == hi {
		return note.Say("%s", lo)
	}
	return note.Say("%s to %s", lo, hi)
}

type quantityFloat interface {
	~float64
	String() string
}

func (p Product) strengthSlips(s quantity.Fraction, b quantity.Basis) note.List {
	lo, hi := span(p.Strength)
	fits := func(x float64, basis quantity.Basis) bool {
		r, err := massRatio(p, p.Basis, basis)
		return err == nil && x >= float64(lo)*r*0.93 && x <= float64(hi)*r/0.93
	}
	var out note.List
	if fits(float64(s), b) {
		return out
	}
	if fits(float64(s)*100, b) {
		out.Add(note.New(note.Caution, "strength-slip", "strength %s of %s looks like a share written as a percentage", s, p.Name).
			Do(`if %s is meant, write "%s %%"`, s*100, quantity.Full(quantity.Number(float64(s)*1e4), 4)).ByTen(true))
		return out
	}
	if p.Density.OK && fits(float64(s)/float64(p.Density.V), b) {
		out.Add(note.New(note.Caution, "strength-slip", "strength %s of %s would be usual as %% by volume (g per 100 mL); by mass it is %s", s, p.Name, s/quantity.Fraction(p.Density.V)).
			Do("ask whether the label means %% w/v or %% w/w, and give it by mass"))
		return out
	}
	for _, other := range p.Bases() {
		if other == b || other == quantity.AsProduct {
			continue
		}
		if fits(float64(s), other) {
			out.Add(note.New(note.Caution, "strength-slip", "strength %s %s is not what %s has, but it would be usual %s", s, b, p.Name, other).
				Do("look at the label for what the percentage counts"))
			return out
		}
	}
	r, err := massRatio(p, p.Basis, b)
	if err == nil {
		meant := tenfold(s, func(x quantity.Fraction) bool { return fits(float64(x), b) })
		out.Add(note.New(note.Caution, "strength-odd", "strength %s %s is far from what %s has (%s to %s)%s", s, b, p.Name, lo*quantity.Fraction(r), hi*quantity.Fraction(r), meant).
			Do("check the label, and whether it is this product").ByTen(meant.Format != ""))
	}
	return out
}
