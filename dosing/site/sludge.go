package site

import (
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// SludgeDose is polymer in sludge, as product: per volume of it, or per dry solids in it where that is not zero.
type SludgeDose struct {
	InSludge quantity.Concentration
	PerDry   quantity.Ratio
}

// perDry are the units of a dose per dry solids.
var perDry = map[string]quantity.Ratio{"kg/t": 1e-3, "kg/tonne": 1e-3, "g/kg": 1e-3, "lb/ton": 1.0 / 2000, "lb/short ton": 1.0 / 2000}

// parseSludgeDose reads "6 mg/L" or "4 kg/t".
func parseSludgeDose(s string) (SludgeDose, error) {
	if v, unit, err := quantity.Split(s); err == nil && perDry[unit] > 0 {
		if v <= 0 {
			return SludgeDose{}, note.Fault("not-positive", "%q is not above zero", s).Do("give a value above zero, or leave it out")
		}
		return SludgeDose{PerDry: quantity.Ratio(v) * perDry[unit]}, nil
	}
	d, err := above0(parseDose, func(c quantity.Concentration) float64 { return float64(c) })(s)
	return SludgeDose{InSludge: d}, err
}

// size is the dose as far as it can be compared: one per dry solids as in sludge with a thousandth of them.
func (d SludgeDose) size() float64 {
	if d.PerDry > 0 {
		return float64(d.PerDry) * 1000
	}
	return float64(d.InSludge)
}

// Told reports that a site describes a sludge line.
func (s Sludge) Told() bool {
	return s.Volume.OK || s.Solids.OK || s.Polymer.OK || s.Dose.OK || s.Bag.OK || s.Bed.OK || s.Land.OK
}

// partSludge parts the polymer from the chemicals that is fed to the sludge and has no dose in the water: nobody is to be asked for that.
func (s *Site) partSludge() {
	i := slices.IndexFunc(s.Chemicals, func(c Chemical) bool {
		return s.Sludge.Polymer.OK && fold(c.Name.V) == fold(s.Sludge.Polymer.V) && !c.Dose.OK && !c.Bench.OK && !c.Fed.OK && !c.Hand.OK
	})
	if i >= 0 {
		c := s.Chemicals[i]
		s.FedToSludge, s.Chemicals = &c, slices.Delete(s.Chemicals, i, i+1)
	}
}
