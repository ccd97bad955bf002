package mixing

import (
	"math"

	"jarwright/jartest/quantity"
)

const gravity = 9.80665 // m/s2, standard value

// Viscosity gives the dynamic viscosity of fresh water in Pa s, for 0 to 100 C:
// the IAPWS release on ordinary water at 0.1 MPa (2008/2011), correlating
// equation (coefficients from memory; checked against printed tables by the tests).
func Viscosity(t quantity.Temperature) float64 {
	x := t.In("K") / 300
	return 1e-6 * (280.68*math.Pow(x, -1.9) + 511.45*math.Pow(x, -7.7) + 61.131*math.Pow(x, -19.6) + 0.45903*math.Pow(x, -40))
}

// WaterDensity gives the density of air-free fresh water in kg/L, for 0 to 100 C
// (Kell 1975; coefficients from memory, checked against printed tables by the tests).
func WaterDensity(t quantity.Temperature) quantity.Density {
	c := float64(t)
	num := 999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-280.54253e-12*c))))
	return quantity.Density(num / (1 + 16.879850e-3*c) / 1000)
}
