package dosing

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/flotation"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// UnitOf gives the flotation unit of a site; false where it has a settler. The recycle counts at
// the average flow, where the white water itself is not given, and its pump keeps that rate at every other.
func UnitOf(s site.Site, average quantity.Flow) (flotation.Unit, bool) {
	if !Floats(s) {
		return flotation.Unit{}, false
	}
	u := s.Solids
	source, _ := flotation.SourceNamed(u.Bubbles.V) // none is a saturator
	out := flotation.Unit{Area: u.Surface, Depth: u.Depth, Contact: u.Contact, Pressure: u.Pressure, Efficiency: u.Efficiency, HighRate: u.HighRate.V,
		Source: source, Drawn: u.Drawn, Weir: u.Weir, Reach: u.Reach, Set: average, Height: s.Place.Altitude.V,
		Water: flotation.Water{Temperature: s.Water.Temperature.Or(usualTemperature), Salinity: s.Water.Salinity.V}}
	if out.White = u.White; !u.White.OK && u.Recycle.OK && average > 0 {
		out.White = quantity.Some(average * quantity.Flow(u.Recycle.V))
	}
	return out, true
}

// usualTemperature is taken of water that does not tell its own.
const usualTemperature quantity.Temperature = 15

// gasOf is the gas that a unit leaves in the water; nil where nothing says that bubbles are made under water.
func gasOf(s site.Site) *caution.Gas {
	u, ok := UnitOf(s, 0)
	if !ok || !u.Saturates() || !s.Solids.Unit.OK && !u.Pressure.OK && !u.Depth.OK {
		return nil
	}
	total, depth := u.TotalGas()
	return &caution.Gas{Total: total, Depth: depth, Assumed: !u.Depth.OK, Degassed: s.Solids.Degassed.V, At: u.Depth.At}
}
