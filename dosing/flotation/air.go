package flotation

import (
	"math"

	"jarwright/jartest/quantity"
)

// gases are those of dry air, with the coefficients of
//
//	ln b = a1 + a2·100/T + a3·ln(T/100) + S·(b1 + b2·T/100 + b3·(T/100)²)
//
// where b is litres of gas, at 0 C and one atmosphere, in a litre of water under an
// atmosphere of that gas (Weiss 1970, Deep-Sea Research 17:721–735, read in a public
// oceanographic package; accuracy 0.4 %). Mass is g/mol.
var gases = [...]struct{ share, mass, a1, a2, a3, b1, b2, b3 float64 }{
	{0.78084, 28.0134, -59.6274, 85.7761, 24.3696, -0.05158, 0.026329, -0.0037252},  // nitrogen
	{0.20946, 31.9988, -58.3877, 85.8079, 23.8439, -0.034892, 0.015568, -0.0019387}, // oxygen
	{0.00934, 39.948, -55.6578, 82.0262, 22.5929, -0.036267, 0.016241, -0.0020114},  // argon
}

// molarVolume of an ideal gas at 0 C and one atmosphere, L/mol (CODATA).
const molarVolume = 22.414

// Water is what air dissolves in.
type Water struct {
	Temperature quantity.Temperature
	Salinity    quantity.Salinity
}

// Solubility is the air that the water holds under one atmosphere of dry air, about -1 to
// 40 C and salinity 0 to 40.
func (w Water) Solubility() quantity.Concentration {
	t := w.Temperature.In("K") / 100
	sum := 0.0
	for _, g := range gases {
		b := math.Exp(g.a1 + g.a2/t + g.a3*math.Log(t) + float64(w.Salinity)*(g.b1+t*(g.b2+t*g.b3)))
		sum += b * g.share * g.mass * 1000 / molarVolume
	}
	return quantity.Concentration(sum)
}

// vapour is the pressure of the water's own vapour in kPa (Weiss and Price 1980; coefficients
// from memory, checked against printed solubilities of moist air by the tests).
func (w Water) vapour() float64 {
	t := w.Temperature.In("K") / 100
	return quantity.Atmosphere * math.Exp(24.4543-67.4509/t-4.8489*math.Log(t)-0.000544*float64(w.Salinity))
}

// Holds is the air that the water holds in balance with moist air at an absolute pressure in kPa.
func (w Water) Holds(absolute float64) quantity.Concentration {
	return w.Solubility() * quantity.Concentration((absolute-w.vapour())/quantity.Atmosphere)
}

// Barometer is the usual air pressure at a height above the sea in kPa (ICAO standard
// atmosphere, exact constants from memory: 11 km falls to 22.63 kPa).
func Barometer(height quantity.Length) float64 {
	return quantity.Atmosphere * math.Pow(1-2.25577e-5*float64(height), 5.25588)
}

// perMetre is the pressure of a metre of water in kPa.
const perMetre = 9.79
