// Package sludge works out what becomes of float or sludge: thickened with polymer, drained in bags or on beds, its
// filtrate returned, its cake spread on land.
package sludge

import (
	"math"

	"jarwright/jartest/quantity"
)

// Usual figures where nobody measured (common practice, no source).
const (
	UsualCaptured quantity.Fraction = 0.95
	UsualCake     quantity.Fraction = 0.12
	UsualLayer    quantity.Length   = 0.3
	UsualDrying   quantity.Time     = 21 * 24
)

// Line is a sludge line on one day.
type Line struct {
	// Volume is what comes to it in a day, Solids what is suspended in that.
	Volume quantity.Volume
	Solids quantity.Concentration
	// Dose is polymer, as product, in the sludge; zero where none is fed.
	Dose quantity.Concentration
	// Captured is what bag or bed keeps of the solids, Cake how dry it then is; 1 kg/L is taken for its density.
	Captured, Cake quantity.Fraction
	// Bag is what a bag holds, Bed the area of all beds, in layers that dry in a time; zero where there are none.
	Bag    quantity.Volume
	Bed    quantity.Area
	Layer  quantity.Length
	Drying quantity.Time
}

// Drains reports that there are bags or beds.
func (l Line) Drains() bool { return l.Bag > 0 || l.Bed > 0 }

// Dry is the dry solids of a day.
func (l Line) Dry() quantity.Mass {
	return quantity.Mass(float64(l.Solids) * float64(l.Volume) / 1e6)
}

// DoseOf is the polymer in the sludge that so much of it per dry solids comes to.
func (l Line) DoseOf(perDry quantity.Ratio) quantity.Concentration {
	return l.Solids * quantity.Concentration(perDry)
}

// PerDry is the polymer per dry solids, by mass: 6 mg/L in 1,500 mg/L are 0.004, 4 kg to the tonne.
func (l Line) PerDry() quantity.Ratio { return quantity.Ratio(l.Dose / l.Solids) }

// Polymer is that of a day.
func (l Line) Polymer() quantity.Mass {
	return quantity.Mass(float64(l.Dose) * float64(l.Volume) / 1e6)
}

// Kept is the dry solids of a day that bag or bed keeps; all of them where nothing drains.
func (l Line) Kept() quantity.Mass {
	if !l.Drains() {
		return l.Dry()
	}
	return l.Dry() * quantity.Mass(l.Captured)
}

// CakeVolume is what they take up, drained, and at most what came in.
func (l Line) CakeVolume() quantity.Volume {
	if !l.Drains() {
		return l.Volume
	}
	return min(l.Volume, quantity.Volume(float64(l.Kept())/float64(l.Cake)))
}

// Filtrate drains off in a day, with the solids that are not kept.
func (l Line) Filtrate() (quantity.Volume, quantity.Mass) {
	return l.Volume - l.CakeVolume(), l.Dry() - l.Kept()
}

// BagLasts is how long a bag takes to fill with cake.
func (l Line) BagLasts() quantity.Time {
	return quantity.Time(24 * float64(l.Bag) / float64(l.CakeVolume()))
}

// BedNeeds is the area of bed that lets every layer dry, BedLasts how long the beds there are take the sludge before
// the first of them has to be clear again.
func (l Line) BedNeeds() quantity.Area {
	return quantity.Area(l.Volume.In("m3") / float64(l.Layer) * float64(l.Drying) / 24)
}

// BedLasts is how long the beds take to be covered once.
func (l Line) BedLasts() quantity.Time {
	return quantity.Time(24 * float64(l.Bed) * float64(l.Layer) / l.Volume.In("m3"))
}

// SodiumOfSalt is the share of sea salt that is sodium, by mass (10.784 g in 35.165: Millero et al. 2008, reference composition; from memory).
const SodiumOfSalt = 10.784 / 35.165

// Sodium is that of a day's cake and the water in it, of water with so much sea salt.
func (l Line) Sodium(s quantity.Salinity) quantity.Mass {
	water := math.Max(0, float64(l.CakeVolume())-float64(l.Kept())) // kg
	return quantity.Mass(water * float64(s) / 1000 * SodiumOfSalt)
}

// Saline is the salinity in g/kg from which sludge harms soil and crops: 3 dS/m, of irrigation water a severe restriction
// (Ayers and Westcot 1985, FAO Irrigation and Drainage Paper 29; from memory), is about 1.9 g/kg.
const Saline = 1.9

// MuchNitrogen is the nitrogen, as N, that land may commonly get of manure in a year: the 170 kg/ha of Council Directive
// 91/676/EEC, Annex III (from memory).
const MuchNitrogen ToLand = 170

// ToLand is what comes to land in a year, kg/ha, which readers of US units see in pounds an acre.
type ToLand float64

// PerLand is what a day's mass comes to on land in a year of such days.
func PerLand(daily quantity.Mass, land quantity.Area) ToLand {
	return ToLand(365 * float64(daily) / land.In("ha"))
}

// Show implements [quantity.Quantity].
func (l ToLand) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return quantity.Mass(l).In("lb") / quantity.Area(hectare).In("acre"), "lb/acre"
	}
	return float64(l), "kg/ha"
}

const hectare = 1e4 // m2
