package water

import (
	"math"

	"jarwright/jartest/quantity"
)

// Conditions are what fixes the equilibrium constants of a water. The zero value
// is pure water at 0 C with the pH as a meter in ordinary buffers shows it.
type Conditions struct {
	Temperature quantity.Temperature
	// Salinity is that of sea water or of sea water diluted; zero for inland water.
	Salinity quantity.Salinity
	// Conductivity of inland water gives its ionic strength; it is not used where
	// there is a salinity, and zero means that activity is taken as one.
	Conductivity quantity.Conductance
	Scale        Scale
	Floc         Floc
}

// Scale is the scale that a pH is on.
type Scale int

const (
	// Meter is what an electrode calibrated in ordinary (NIST, "NBS") buffers
	// shows. In sea water that is about 0.13 above the seawater scale and not
	// certain to 0.05, because the liquid junction of each electrode differs.
	Meter Scale = iota
	// Seawater is the scale of hydrogen ion plus hydrogen sulfate and fluoride, per kg.
	Seawater
	// Total is the scale of hydrogen ion plus hydrogen sulfate, per kg, on which
	// oceanographers' dye and buffer methods report.
	Total
)

// Constants are the equilibrium constants that the solver works with, in mol per
// kg of water on the seawater scale, and what belongs to them. K0 is in mol/(kg atm).
type Constants struct {
	K1, K2, KW, KB, K0 float64
	// aluminium and iron are what their floc lets go.
	aluminium, iron metal
	// Boron is total borate in mol/kg, zero in inland water.
	Boron float64
	// Density is kg/L, to pass between mol/kg and what is measured per litre.
	Density float64
	// offset is the pH shown less the pH on the seawater scale.
	offset float64
}

// ConstantsAt gives the constants for 0 to 50 C and salinity 0 to 50.
//
// Carbonic acid: Millero, Graham, Huang, Bustos-Serrano and Pierrot 2006 (Marine
// Chemistry 100:80-94), which at salinity 0 meets the fresh-water values of
// Plummer and Busenberg 1982 within 0.001. Water: Millero 1995. Boric acid:
// Dickson 1990, held below salinity 5 at its value there (the fit ends at 5).
// Carbon dioxide: Weiss 1974. Total boron 415.7 umol/kg at salinity 35 (Uppström
// 1974; from memory). Aluminium and iron: the set of the US Geological Survey's phreeqc.dat
// (Nordstrom et al. 1990), with the activity of ions by their charge.
func ConstantsAt(c Conditions) Constants {
	t := c.Temperature.In("K")
	s := max(float64(c.Salinity), 0)
	boron := 415.7e-6 * s / 35
	if s == 0 && c.Conductivity > 0 {
		i := ionicStrengthPerConductivity * float64(c.Conductivity)
		s = 1000 * i / (19.924 + 1.005*i)
	}
	r, ln := math.Sqrt(s), math.Log(t)

	pk1 := -126.34048 + 6320.813/t + 19.568224*ln +
		13.4191*r + 0.0331*s - 5.33e-5*s*s + (-530.123*r-6.103*s)/t - 2.06950*r*ln
	pk2 := -90.18333 + 5143.692/t + 14.613358*ln +
		21.0894*r + 0.1248*s - 3.687e-4*s*s + (-772.483*r-20.051*s)/t - 3.3336*r*ln

	total, sws := scaleRatios(t, s)
	toSWS := sws / total
	k := Constants{
		K1:      math.Pow(10, -pk1),
		K2:      math.Pow(10, -pk2),
		KW:      math.Exp(lnKWTotal(t, s)) * toSWS,
		KB:      math.Exp(lnKBTotal(t, max(s, 5))) * toSWS,
		K0:      math.Exp(lnK0(t, s)),
		Boron:   boron,
		Density: density(float64(c.Temperature), s),
	}
	activity := daviesH(t, ionicStrength(s))
	k.aluminium, k.iron = aluminiumAt(c.Floc, t, activity), ironAt(c.Floc, t, activity)
	switch c.Scale {
	case Meter:
		k.offset = activity
	case Total:
		k.offset = math.Log10(toSWS)
	}
	return k
}

// ionicStrengthPerConductivity is mol/L per uS/cm for inland waters: an ordinary
// rule of water analysis (seen in public code, no primary source read).
const ionicStrengthPerConductivity = 1.6e-5

// WithIonicStrengthOf fills in the conductivity of an inland water of that
// alkalinity where neither it nor salinity is known, as for calcium bicarbonate:
// ionic strength 1.5 times alkalinity in mol/L. It moves a pH by 0.03 at most up to a raw pH
// of 8.6 and by 0.05 at 8.9; at 9.2, where little carbon dioxide is left to tell the pH by, an alum
// dose ends as much as 0.25 higher. There pK2 falls by more than the Davies equation
// alone gives and by less than with the calcium that pairs with carbonate, so a pH lies
// between that of sodium and that of calcium bicarbonate ([Beside] tells how far off it may be).
func (c Conditions) WithIonicStrengthOf(a quantity.Alkalinity) Conditions {
	if c.Salinity == 0 && c.Conductivity == 0 && a > 0 {
		c.Conductivity = quantity.Conductance(1.5 * float64(a) / caco3PerMeq / 1000 / ionicStrengthPerConductivity)
	}
	return c
}

// MeterAbove is what a meter in ordinary buffers shows above the seawater scale
// under these conditions: the activity coefficient in inland water, about 0.13 in the sea.
func (c Conditions) MeterAbove() quantity.PH {
	c.Scale = Meter
	return quantity.PH(ConstantsAt(c).offset)
}

// lnKWTotal is the ion product of water on the total scale (Millero 1995).
func lnKWTotal(t, s float64) float64 {
	return 148.9652 - 13847.26/t - 23.6521*math.Log(t) +
		(118.67/t-5.977+1.0495*math.Log(t))*math.Sqrt(s) - 0.01615*s
}

// lnKBTotal is boric acid on the total scale (Dickson 1990), salinity 5 to 45.
func lnKBTotal(t, s float64) float64 {
	r := math.Sqrt(s)
	return (-8966.90-2890.53*r-77.942*s+1.728*s*r-0.0996*s*s)/t +
		148.0248 + 137.1942*r + 1.62142*s +
		(-24.4344-25.085*r-0.2474*s)*math.Log(t) + 0.053105*r*t
}

// lnK0 is the solubility of carbon dioxide in mol/(kg atm) (Weiss 1974).
func lnK0(t, s float64) float64 {
	h := t / 100
	return -60.2409 + 93.4517/h + 23.3585*math.Log(h) + s*(0.023517-0.023656*h+0.0047036*h*h)
}

// ionicStrength of sea water of salinity s, mol/kg (Dickson and Goyet 1994; from memory).
func ionicStrength(s float64) float64 { return 19.924 * s / (1000 - 1.005*s) }

// daviesH gives -log10 of the activity coefficient of a singly charged ion by the
// Davies equation, with the permittivity of water of Malmberg and Maryott 1956
// (both from memory). It is taken between the seawater scale and an ordinary
// meter at every salinity; in sea water it comes within 0.03 of the measured
// difference of Takahashi et al. 1982.
func daviesH(t, i float64) float64 {
	c := t - 273.15
	eps := 87.740 - 0.40008*c + 9.398e-4*c*c - 1.410e-6*c*c*c
	a := 1.82e6 * math.Pow(eps*t, -1.5)
	r := math.Sqrt(i)
	return a * (r/(1+r) - 0.3*i)
}

// scaleRatios gives [H] on the total and on the seawater scale over free [H].
// Hydrogen sulfate: Dickson 1990; hydrogen fluoride: Dickson and Riley 1979;
// totals in proportion to salinity (Morris and Riley 1966, Riley 1965). All from
// memory; together they move nothing by more than 0.01 pH here.
func scaleRatios(t, s float64) (total, sws float64) {
	if s <= 0 {
		return 1, 1
	}
	i := ionicStrength(s)
	r, ln := math.Sqrt(i), math.Log(t)
	perKg := math.Log(1 - 0.001005*s)
	ks := math.Exp(-4276.1/t + 141.328 - 23.093*ln +
		(-13856/t+324.57-47.986*ln)*r + (35474/t-771.54+114.723*ln)*i -
		2698/t*i*r + 1776/t*i*i + perKg)
	kf := math.Exp(1590.2/t - 12.641 + 1.525*r + perKg)
	sulfate := 0.14 / 96.062 * s / 1.80655
	fluoride := 0.000067 / 18.998 * s / 1.80655
	return 1 + sulfate/ks, 1 + sulfate/ks + fluoride/kf
}

// density of sea water at one atmosphere, kg/L (the 1980 international equation
// of state, Millero and Poisson 1981; from memory).
func density(c, s float64) float64 {
	pure := 999.842594 + c*(6.793952e-2+c*(-9.095290e-3+c*(1.001685e-4+c*(-1.120083e-6+c*6.536332e-9))))
	a := 8.24493e-1 + c*(-4.0899e-3+c*(7.6438e-5+c*(-8.2467e-7+c*5.3875e-9)))
	b := -5.72466e-3 + c*(1.0227e-4-c*1.6546e-6)
	return (pure + a*s + b*s*math.Sqrt(s) + 4.8314e-4*s*s) / 1000
}
