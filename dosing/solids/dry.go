// Package solids works out what a settler or flotation unit takes out of the
// water: dry solids, the volume of float or sludge, when the bin is full, and how
// often to skim.
package solids

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Range is a figure with its low and high bound.
type Range[T ~float64] struct{ Low, Likely, High T }

// Scale multiplies all three.
func (r Range[T]) Scale(k float64) Range[T] {
	return Range[T]{r.Low * T(k), r.Likely * T(k), r.High * T(k)}
}

// Plus adds bound to bound.
func (r Range[T]) Plus(s Range[T]) Range[T] {
	return Range[T]{r.Low + s.Low, r.Likely + s.Likely, r.High + s.High}
}

// Of works out the same of all three.
func Of[T, U ~float64](r Range[U], of func(U) T) Range[T] {
	return Range[T]{of(r.Low), of(r.Likely), of(r.High)}
}

// Same is a figure without doubt.
func Same[T ~float64](v T) Range[T] { return Range[T]{v, v, v} }

// Dry solids made by a mass of metal. The likely figure counts three molecules of
// bound water, the low one plain hydroxide: Al(OH)3 78.00 and Al(OH)3·3H2O 132.05
// over Al 26.98; Fe(OH)3 106.87 and Fe(OH)3·3H2O 160.91 over Fe 55.845. The figure
// with bound water for iron is partly from memory.
const (
	alPlain, alBound = 78.004 / 26.982, 132.049 / 26.982
	fePlain, feBound = 106.867 / 55.845, 160.912 / 55.845
)

// Suspended solids per NTU until a site has measured its own: likely 1.5 (Davis 2010,
// p. 6-51), 0.7–2.2 in waters of low colour (from memory).
const (
	PerNTU           = 1.5
	lowNTU, highNTU  = 0.7, 2.2
	sourceNTU        = "until measured: Davis 2010, Water and Wastewater Engineering, p. 6-51; the range, of waters of low colour, from memory, not checked in its source"
	sourceHydroxides = "stoichiometry: with bound water, the low figure as plain hydroxide"
)

// PerNTURange gives suspended solids per NTU of a site that has not measured its own.
func PerNTURange() Range[float64] { return Range[float64]{lowNTU, PerNTU, highNTU} }

// Water is what goes into the unit, per litre of raw water.
type Water struct {
	// Al and Fe are the metal that makes hydroxide; Phosphate is the metal phosphate that the rest of it makes.
	Al, Fe, Phosphate quantity.Concentration
	// TSS is the suspended solids of the raw water where measured; else Turbidity stands for it.
	TSS    quantity.Concentration
	HasTSS bool
	// Turbidity and PerNTU give suspended solids; PerNTU zero counts as 1.5 with its range.
	Turbidity quantity.Cloudiness
	PerNTU    float64
	// Capture is the share of suspended solids that the unit takes out; zero counts as all.
	Capture quantity.Fraction
	// Polymer is dosed polymer and anything else that ends in the float, dry.
	Polymer quantity.Concentration
}

// Part is one source of dry solids, with how it was worked out.
type Part struct {
	What    string
	Range   Range[quantity.Concentration]
	Working note.Phrase
	Source  string
}

// Dry gives the dry solids per volume of water, and its parts. mg/L is g per m3.
func Dry(w Water) (Range[quantity.Concentration], []Part) {
	var parts []Part
	capture := float64(w.Capture)
	if capture == 0 {
		capture = 1
	}
	if w.HasTSS {
		c := w.TSS * quantity.Concentration(capture)
		parts = append(parts, Part{"suspended solids", Same(c), note.Say("%s x %s caught", w.TSS, quantity.Fraction(capture)), "measured"})
	} else if w.Turbidity > 0 {
		b := PerNTURange()
		source := sourceNTU
		if w.PerNTU > 0 {
			b, source = Same(w.PerNTU), "the site's own"
		}
		k := float64(w.Turbidity) * capture
		parts = append(parts, Part{"suspended solids", Range[quantity.Concentration]{quantity.Concentration(b.Low * k), quantity.Concentration(b.Likely * k), quantity.Concentration(b.High * k)},
			note.Say("%s x %s mg/L per NTU x %s caught", w.Turbidity, quantity.Full(quantity.Number(b.Likely), 2), quantity.Fraction(capture)), source})
	}
	if w.Al > 0 {
		parts = append(parts, Part{"aluminium hydroxide", Range[quantity.Concentration]{w.Al * alPlain, w.Al * alBound, w.Al * alBound},
			note.Say("%s Al x %s", w.Al, quantity.Full(quantity.Number(alBound), 3)), sourceHydroxides})
	}
	if w.Fe > 0 {
		parts = append(parts, Part{"iron hydroxide", Range[quantity.Concentration]{w.Fe * fePlain, w.Fe * feBound, w.Fe * feBound},
			note.Say("%s Fe x %s", w.Fe, quantity.Full(quantity.Number(feBound), 3)), sourceHydroxides})
	}
	if w.Phosphate > 0 {
		parts = append(parts, Part{"metal phosphate", Same(w.Phosphate), note.Say("%s", w.Phosphate), "stoichiometry: AlPO4, FePO4, a mole for each of phosphorus taken out"})
	}
	if w.Polymer > 0 {
		parts = append(parts, Part{"polymer", Same(w.Polymer), note.Say("%s", w.Polymer), "all of it ends in the float"})
	}
	var sum Range[quantity.Concentration]
	for _, p := range parts {
		sum = sum.Plus(p.Range)
	}
	return sum, parts
}

// MassOf gives the dry solids of a volume of water.
func MassOf(c quantity.Concentration, water quantity.Volume) quantity.Mass {
	return quantity.Mass(float64(c) * float64(water) / 1e6)
}

// VolumeOf gives the float or sludge that holds a dry mass: kg / (share × density).
func VolumeOf(dry quantity.Mass, share quantity.Fraction, density quantity.Density) quantity.Volume {
	if density <= 0 {
		density = 1
	}
	return quantity.Volume(float64(dry) / (float64(share) * float64(density)))
}

// Removal is the way in which solids leave a unit.
type Removal string

// The ways in which they do.
const (
	Settled  Removal = "settled"
	Skimmed  Removal = "" // off the surface, nobody said how
	Scraped  Removal = "scraper"
	Overflow Removal = "flooding" // the outlet is closed and the float runs over
)

// usualShares are the dry solids that come of each way, in shares. A beach lets water drain
// back from a scraped float; flooding carries 6 to 12 times the water.
var usualShares = map[Removal]struct {
	Range[quantity.Fraction]
	source string
}{
	Settled:  {Range[quantity.Fraction]{0.01, 0.015, 0.02}, "common practice, no source"},
	Skimmed:  {Range[quantity.Fraction]{0.01, 0.02, 0.03}, "Voutchkov 2017 p. 145; Zabel 1985 (abstract)"},
	Scraped:  {Range[quantity.Fraction]{0.03, 0.04, 0.06}, "Water Treatment Plant Design, p. 7.39"},
	Overflow: {Range[quantity.Fraction]{0.003, 0.005, 0.005}, "Water Treatment Plant Design, p. 7.39: 0.5 % or less"},
}

// UsualShare gives the dry solids to expect of a way, and the source.
func UsualShare(r Removal) (Range[quantity.Fraction], string) {
	u := usualShares[r]
	return u.Range, u.source
}
