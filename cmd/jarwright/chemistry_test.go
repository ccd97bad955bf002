package main

import (
	"math"
	"testing"
)

// A second computation of the carbonate system, apart from the program's: it
// counts in pH instead of [H] and finds roots by Newton's rule. Equilibrium
// constants: Millero et al. 2006 (carbonic acid), Millero 1995 (water), Dickson
// 1990 (boric acid), Weiss 1974 (solubility of CO2), Emerson et al. 1975 (ammonia).
//
// Every function takes temperature (C), salinity (g/kg) and conductivity (uS/cm)
// last. Alkalinity is mg/L CaCO3, carbon mmol/L, carbon dioxide mg/L.
var chemistryFunctions = map[string]arithFunction{
	"carbon": {5, func(x []float64) float64 { return waterAt(x[2:]).carbon(x[0], x[1]) }},
	"alk":    {5, func(x []float64) float64 { return waterAt(x[2:]).alkalinity(x[0], x[1]) }},
	"ph":     {5, func(x []float64) float64 { return waterAt(x[2:]).ph(x[0], x[1]) }},
	// ph_al is pH with so much aluminium, mmol/L, as floc and aluminate; aluminate what of it stays dissolved.
	"ph_al":          {6, func(x []float64) float64 { return waterAt(x[3:]).withAluminium(x[0], x[1], x[2]) }},
	"ph_al_aged":     {6, func(x []float64) float64 { return aged(waterAt(x[3:]), x[3]).withAluminium(x[0], x[1], x[2]) }},
	"aluminate":      {5, func(x []float64) float64 { return waterAt(x[2:]).aluminate(x[0], x[1]) }},
	"aluminate_aged": {5, func(x []float64) float64 { return aged(waterAt(x[2:]), x[2]).aluminate(x[0], x[1]) }},
	"co2":            {5, func(x []float64) float64 { return x[1] * waterAt(x[2:]).free(x[0]) * 44.0095 }},
	"ph_air":         {4, func(x []float64) float64 { return waterAt(x[1:]).aerated(x[0]) }},
	"co2_air":        {3, func(x []float64) float64 { return waterAt(x).air() * 44.0095 }},
	"nh3":            {4, func(x []float64) float64 { return ammonia(x[0], x[1], x[2], x[3]) }},
	"viscosity": {1, func(x []float64) float64 { // IAPWS 2008, simplified correlation for 0.1 MPa, Pa s
		r := (x[0] + 273.15) / 300
		return (280.68*math.Pow(r, -1.9) + 511.45*math.Pow(r, -7.7) + 61.131*math.Pow(r, -19.6) + 0.45903*math.Pow(r, -40)) / 1e6
	}},
	"density": {1, func(x []float64) float64 { // Kell 1975, kg/m3
		c := x[0]
		return (999.83952 + 16.945176*c - 7.9870401e-3*c*c - 46.170461e-6*math.Pow(c, 3) + 105.56302e-9*math.Pow(c, 4) -
			280.54253e-12*math.Pow(c, 5)) / (1 + 16.87985e-3*c)
	}},
}

// carbonateWater holds what the equilibria of a water are: pK on the seawater
// scale per kg, boron, density, and how far a meter shows above that scale.
type carbonateWater struct{ pk1, pk2, pkw, pkb, k0, pkal, boron, density, meter float64 }

func waterAt(x []float64) carbonateWater {
	c, salt, conductivity := x[0], x[1], x[2]
	k := c + 273.15
	w := carbonateWater{boron: 415.7e-6 * salt / 35}
	if salt == 0 { // the salinity of a sea water of the same ionic strength
		strength := 1.6e-5 * conductivity
		salt = strength / (0.019924 + 0.001005*strength)
	}
	root, ln := math.Sqrt(salt), math.Log(k)
	a1, b1, c1 := 13.4191*root+0.0331*salt-5.33e-5*salt*salt, -530.123*root-6.103*salt, -2.06950*root
	a2, b2, c2 := 21.0894*root+0.1248*salt-3.687e-4*salt*salt, -772.483*root-20.051*salt, -3.3336*root
	w.pk1 = (6320.813/k - 126.34048 + 19.568224*ln) + a1 + b1/k + c1*ln
	w.pk2 = (5143.692/k - 90.18333 + 14.613358*ln) + a2 + b2/k + c2*ln

	strength := 19.924 * salt / (1000 - 1.005*salt)
	sulfate, fluoride := bound(k, salt, strength)
	scale := (1 + sulfate + fluoride) / (1 + sulfate)
	w.pkw = -(148.9652-13847.26/k-23.6521*ln+(118.67/k-5.977+1.0495*ln)*root-0.01615*salt)/math.Ln10 - math.Log10(scale)
	s := math.Max(salt, 5)
	r := math.Sqrt(s)
	w.pkb = -((-8966.90-2890.53*r-77.942*s+1.728*s*r-0.0996*s*s)/k+148.0248+137.1942*r+1.62142*s-
		(24.4344+25.085*r+0.2474*s)*ln+0.053105*r*k)/math.Ln10 - math.Log10(scale)
	h := k / 100
	w.k0 = math.Exp(-60.2409 + 93.4517/h + 23.3585*math.Log(h) + salt*(0.023517-0.023656*h+0.0047036*h*h))
	w.density = seaDensity(c, salt)
	permittivity := 87.740 - 0.40008*c + 9.398e-4*c*c - 1.410e-6*c*c*c
	q := math.Sqrt(strength)
	w.meter = 1.82e6 / math.Pow(permittivity*k, 1.5) * (q/(1+q) - 0.3*strength)
	w.pkal = aluminateConstant(c, 10.8, 26.5)
	return w
}

// aluminateConstant is pK of Al(OH)3 + H2O = Al(OH)4- + H+ from log K at 25 C and enthalpy (kcal/mol) of
// the hydroxide's dissolving in acid, and the ion's formation (US Geological Survey, phreeqc.dat).
func aluminateConstant(c, at25, kcal float64) float64 {
	k := c + 273.15
	return 11168.9/k + 14.865*math.Log10(k) - 51.578 - at25 - kcal/0.00198720/math.Ln10*(1/k-1/298.15)
}

// aged is the water whose floc has begun to crystallise: microcrystalline gibbsite, log K 9.35 (from memory).
func aged(w carbonateWater, c float64) carbonateWater {
	w.pkal = aluminateConstant(c, 9.35, 24.6)
	return w
}

// aluminate is what stays dissolved of so much aluminium, mmol/L.
func (w carbonateWater) aluminate(ph, all float64) float64 {
	return math.Min(all, math.Pow(10, ph+w.meter-w.pkal)*1000*w.density)
}

// withAluminium is the pH with aluminium, by halving.
func (w carbonateWater) withAluminium(alkalinity, carbon, al float64) float64 {
	low, high := 0.0, 14.0
	for range 100 {
		if p := (low + high) / 2; w.alkalinity(p, carbon)+50.0435*w.aluminate(p, al) > alkalinity {
			high = p
		} else {
			low = p
		}
	}
	return low
}

// bound gives [H] bound to sulfate and to fluoride over free [H] (Dickson 1990;
// Dickson and Riley 1979).
func bound(k, salt, strength float64) (sulfate, fluoride float64) {
	if salt == 0 {
		return 0, 0
	}
	ln, q, perKg := math.Log(k), math.Sqrt(strength), 1-0.001005*salt
	ks := math.Exp(141.328-4276.1/k-23.093*ln+(324.57-13856/k-47.986*ln)*q+(35474/k-771.54+114.723*ln)*strength+
		(1776*strength*strength-2698*strength*q)/k) * perKg
	kf := math.Exp(1590.2/k-12.641+1.525*q) * perKg
	return 0.14 / 96.062 * salt / 1.80655 / ks, 6.7e-5 / 18.998 * salt / 1.80655 / kf
}

// seaDensity is the 1980 equation of state at one atmosphere, kg/L.
func seaDensity(c, salt float64) float64 {
	pure := 999.842594 + 6.793952e-2*c - 9.095290e-3*c*c + 1.001685e-4*math.Pow(c, 3) - 1.120083e-6*math.Pow(c, 4) + 6.536332e-9*math.Pow(c, 5)
	a := 0.824493 - 4.0899e-3*c + 7.6438e-5*c*c - 8.2467e-7*math.Pow(c, 3) + 5.3875e-9*math.Pow(c, 4)
	b := -5.72466e-3 + 1.0227e-4*c - 1.6546e-6*c*c
	return (pure + salt*(a+b*math.Sqrt(salt)+4.8314e-4*salt)) / 1000
}

func (w carbonateWater) power(pk, ph float64) float64 { return math.Pow(10, ph-w.meter-pk) }

// free is the share of carbon that is carbon dioxide; charge the bicarbonate and
// twice the carbonate in one of carbon.
func (w carbonateWater) free(ph float64) float64 {
	a, b := w.power(w.pk1, ph), w.power(w.pk2, ph)
	return 1 / (1 + a + a*b)
}

func (w carbonateWater) charge(ph float64) float64 {
	a, b := w.power(w.pk1, ph), w.power(w.pk2, ph)
	return (a + 2*a*b) / (1 + a + a*b)
}

// rest is the alkalinity in mmol/L that is not carbonate.
func (w carbonateWater) rest(ph float64) float64 {
	h := math.Pow(10, w.meter-ph)
	b := w.power(w.pkb, ph)
	return (math.Pow(10, -w.pkw)/h - h + w.boron*b/(1+b)) * 1000 * w.density
}

func (w carbonateWater) carbon(ph, alkalinity float64) float64 {
	return (alkalinity/50.0435 - w.rest(ph)) / w.charge(ph)
}

func (w carbonateWater) alkalinity(ph, carbon float64) float64 {
	return (carbon*w.charge(ph) + w.rest(ph)) * 50.0435
}

func (w carbonateWater) air() float64 { return w.k0 * 420e-6 * 1000 * w.density }

func (w carbonateWater) ph(alkalinity, carbon float64) float64 {
	return newton(7, func(p float64) float64 { return w.alkalinity(p, carbon) - alkalinity })
}

func (w carbonateWater) aerated(alkalinity float64) float64 {
	return newton(8, func(p float64) float64 { return w.alkalinity(p, w.air()/w.free(p)) - alkalinity })
}

// newton finds where f is zero, from a first guess, with the slope by differences.
func newton(x float64, f func(float64) float64) float64 {
	for range 200 {
		const d = 1e-6
		move := f(x) * 2 * d / (f(x+d) - f(x-d))
		x -= math.Max(-0.3, math.Min(0.3, move))
		if math.Abs(move) < 1e-14 {
			break
		}
	}
	return x
}

// ammonia is un-ionised ammonia, mg NH3/L, of total ammonia in mg N/L; salt adds to pK as
// Bell et al. 2008 have it, by the pH of an ordinary meter.
func ammonia(ph, total, c, salt float64) float64 {
	odds := math.Exp(math.Ln10 * (ph - 0.09018 - 2729.92/(c+273.15) - 0.003071*salt))
	return total * 17.0305 / 14.0067 * odds / (1 + odds)
}

// TestChemistryOfTheTables holds the second computation against published values, so that it may judge.
func TestChemistryOfTheTables(t *testing.T) {
	sea := waterAt([]float64{25, 35, 0})
	for _, c := range []struct {
		what            string
		got, want, most float64
	}{
		// Millero et al. 2006 and Dickson, Sabine and Christian 2007, seawater scale, 25 C, salinity 35.
		{"pK1 in sea water", sea.pk1, 5.8401, 0.002},
		{"pK2 in sea water", sea.pk2, 8.9636, 0.003},
		{"ln K0 in sea water", math.Log(sea.k0), -3.5617, 0.001},
		{"pKB in sea water, total scale 8.5975", sea.pkb, 8.5975, 0.02},
		// Plummer and Busenberg 1982, 25 C, fresh water.
		{"pK1 in fresh water", waterAt([]float64{25, 0, 0}).pk1, 6.352, 0.002},
		{"pK2 in fresh water", waterAt([]float64{25, 0, 0}).pk2, 10.329, 0.003},
		// Emerson et al. 1975, table of percentages (from memory).
		{"un-ionised share at pH 8, 5 C", ammonia(8, 14.0067/17.0305, 5, 0), 0.0123, 0.0002},
		// Bower and Bidwell 1978, salinity 34, as reprinted.
		{"un-ionised share at pH 8, 20 C, in the sea", ammonia(8, 14.0067/17.0305, 20, 34), 0.0298, 0.0004},
		{"un-ionised share at pH 8.5, 25 C, in the sea", ammonia(8.5, 14.0067/17.0305, 25, 34), 0.1240, 0.0005},
		// US Geological Survey's constants, fresh floc; and the pH after 10 mg/L alum at 28 C, raw pH 9.2, alkalinity 60.
		{"pK of aluminate, 15 C", aluminateConstant(15, 10.8, 26.5), 12.27, 0.005},
		{"pH with aluminate", waterAt([]float64{28, 0, 0}).withAluminium(60-5.05, waterAt([]float64{28, 0, 0}).carbon(9.2, 60), 0.03365), 7.77, 0.01},
		{"density of sea water, 25 C", seaDensity(25, 35), 1.02334, 0.00001},
		{"viscosity at 20 C, mPa s", 1000 * chemistryFunctions["viscosity"].of([]float64{20}), 1.0016, 0.0005},
		{"density of water at 20 C", chemistryFunctions["density"].of([]float64{20}), 998.2, 0.05},
	} {
		if !(math.Abs(c.got-c.want) <= c.most) {
			t.Errorf("%s: %v, published %v", c.what, c.got, c.want)
		}
	}
	w := waterAt([]float64{12, 0, 180})
	if c := w.carbon(7.2, 48); math.Abs(w.ph(48, c)-7.2) > 1e-12 || math.Abs(w.alkalinity(7.2, c)-48) > 1e-12 {
		t.Errorf("pH, alkalinity and carbon do not agree with each other")
	}
}
