// Package day is the account of a day: from one record of the water, the doses,
// the solids, the power and the prices to what is used, what comes off and what it
// costs. Everything that speaks of a day's water takes its figures from here: the
// plan shows one day, a month is a sum of days, a comparison is the same day with
// another chemical, and a tank that is cleaned up runs on the same effects of a dose.
//
// An account is linear: so much for each cubic metre of water, and so much for each
// hour that the unit runs.
package day

import (
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// Record is what a day is worked out from.
type Record struct {
	// Treated is the water of the day, Running the time that the unit runs.
	Treated quantity.Volume
	Running quantity.Time
	// Removed is the suspended solids taken out of this water.
	Removed   solids.Range[quantity.Concentration]
	Chemicals []Chemical
	// Skim is the skimmer; its zero value carries no water over.
	Skim solids.Skimmer
	// Disposal says how dry the float or sludge is, and what it costs to be rid of it.
	Disposal Disposal
	// Power is what the unit and its pumps draw while they run.
	Power quantity.Power
	// MakeUp is the price of the water that makes up stock, per m3; Electricity is per kWh.
	MakeUp, Electricity quantity.Price
}

// Chemical is one chemical of a day.
type Chemical struct {
	Name string
	// Dose counts what its basis says, as the effects do. A chemical with a balance
	// takes its dose from that.
	Dose    quantity.Dose
	Balance *Balance
	Effects
	// Stock is product per litre of the stock that the pump delivers; zero is neat.
	Stock quantity.Concentration
	// Carrier is water that is added after the pump while the unit runs, whatever is dosed.
	Carrier quantity.Flow
	// Density is that of the product; zero for a powder and where it is not known.
	Density quantity.Density
	// Price and Freight are per kg of product.
	Price, Freight quantity.Price
}

// Balance makes a chemical's dose follow from the alkalinity that the others
// use: as much as keeps Keep in the water.
type Balance struct {
	Raw, Keep quantity.Alkalinity
	// PerCaCO3 is the mass of the basis substance that gives back one mass of
	// alkalinity as CaCO3.
	PerCaCO3 quantity.Ratio
}

// Disposal is what becomes of the solids. Price is per kg or t of dry solids, or by
// the mass or the volume of wet ones; see [Disposal.Check].
type Disposal struct {
	DrySolids quantity.Fraction // of the float or sludge itself, without water that a skimmer carries over
	Density   quantity.Density  // of the float or sludge; zero counts as 1 kg/L
	Price     quantity.Price
	Bin       bool // a bin or tank is named that they go to, which somebody has to empty
	// Cake is the dry solids of what is taken away where it is drained first, in bags or on beds; zero where it goes as it is.
	// All dry solids count: what drains off comes back and is caught again.
	Cake quantity.Fraction
}

// Drained is the disposal of what is taken away, with nothing left to drain.
func (d Disposal) Drained() Disposal {
	if d.Cake > 0 {
		d.DrySolids, d.Density, d.Cake = d.Cake, 0, 0
	}
	return d
}

// Lacks reports that solids of the account go to a bin and no price says what that costs; one of 0 says so.
func (d Disposal) Lacks(a Account) bool {
	return d.Bin && d.Price.Currency == "" && (a.Dry.Likely > 0 || a.Wet.Likely > 0)
}

// Volume gives the float or sludge that holds a dry mass; none where its dry solids are not known.
func (d Disposal) Volume(dry quantity.Mass) quantity.Volume {
	if d.DrySolids <= 0 {
		return 0
	}
	return solids.VolumeOf(dry, d.DrySolids, d.Density)
}

// PerKgDry gives the price of the float or sludge that holds one kg of dry
// solids, in the price's currency; zero where there is no price.
func (d Disposal) PerKgDry() float64 {
	d = d.Drained()
	switch dry, wet, volume := d.paid(); {
	case dry > 0:
		return d.Price.Amount / float64(dry)
	case wet > 0:
		return d.Price.Amount / float64(wet) / float64(d.DrySolids)
	case volume > 0:
		return d.Price.Amount / float64(volume) * float64(solids.VolumeOf(1, d.DrySolids, d.Density))
	}
	return 0
}

// paid is what the price is for: a mass of dry solids, or a mass or a volume of wet ones.
func (d Disposal) paid() (dry, wet quantity.Mass, volume quantity.Volume) {
	switch d.Price.Per {
	case "kg dry":
		return 1, 0, 0
	case "t dry":
		return 1000, 0, 0
	}
	wet, volume = d.Price.Holds()
	return 0, wet, volume
}

// InBulk is the same with a price per kg or t dry, per t or per m3.
func (d Disposal) InBulk() Disposal {
	switch _, wet, volume := d.paid(); {
	case wet > 0:
		d.Price.Amount, d.Price.Per = d.Price.Amount*1000/float64(wet), "t"
	case volume > 0:
		d.Price, _ = d.Price.PerM3()
	}
	return d
}

// PerLitre gives the price of a litre of water carried over into the bin: nothing
// where dry solids are paid for, or it drains off. Such water weighs 1 kg/L.
func (d Disposal) PerLitre() float64 {
	if d.Cake > 0 {
		return 0
	}
	switch _, wet, volume := d.paid(); {
	case wet > 0:
		return d.Price.Amount / float64(wet)
	case volume > 0:
		return d.Price.Amount / float64(volume)
	}
	return 0
}

// Balanced puts the doses that follow from a balance into a list of doses that
// stands beside the chemicals: as much as gives back what the others take below
// what is to be kept. Alkalinity that a dose of another alkali gives counts.
func (r Record) Balanced(doses []quantity.Concentration) {
	used := 0.0
	for i := range r.Chemicals {
		if r.Chemicals[i].Balance == nil {
			used += float64(doses[i]) * float64(r.Chemicals[i].AlkalinityUse)
		}
	}
	for i := range r.Chemicals {
		if b := r.Chemicals[i].Balance; b != nil {
			lack := max(0, used+float64(b.Keep-b.Raw))
			doses[i] = quantity.Concentration(lack * float64(b.PerCaCO3))
		}
	}
}

// Doses lists the doses of the chemicals, those of a balance worked out.
func (r Record) Doses() []quantity.Concentration {
	out := make([]quantity.Concentration, len(r.Chemicals))
	for i, c := range r.Chemicals {
		out[i] = c.Dose.Concentration
	}
	r.Balanced(out)
	return out
}
