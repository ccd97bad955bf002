package water

import (
	"math"

	"jarwright/jartest/quantity"
)

// nh3PerN is mg of NH3 per mg of nitrogen.
const nh3PerN = 17.0305 / 14.0067

// UnionisedFraction is the share of total ammonia that is NH3 in this water, by the pH
// that a meter in ordinary buffers shows (scale [Meter]).
//
// In fresh water pKa = 0.09018 + 2729.92/T (Emerson, Russo, Lund and Thurston 1975). Each
// g/kg of salinity adds 0.003071 to it (Bell et al. 2008, Environ Chem 5:258, from
// Johansson and Wedborg 1980, on the scale of such a meter). That lies within 1.5 % of the
// table of Bower and Bidwell 1978 at salinity 34, 10 to 25 C.
func (s State) UnionisedFraction() quantity.Fraction {
	pka := AmmoniaPKa(s.Temperature) + 0.003071*float64(s.Salinity)
	return quantity.Fraction(1 / (1 + math.Pow(10, pka-float64(s.PH))))
}

// AmmoniaPKa is that of Emerson et al. 1975, fresh water, 0 to 50 C.
func AmmoniaPKa(t quantity.Temperature) float64 { return 0.09018 + 2729.92/t.In("K") }

// NH3 is the un-ionised ammonia, in mg NH3/L, in a water whose total ammonia is
// given in mg/L as nitrogen.
func (s State) NH3(totalAsN quantity.Concentration) quantity.Concentration {
	return totalAsN * quantity.Concentration(nh3PerN*float64(s.UnionisedFraction()))
}

// AmmoniaCriteria are those of the US EPA 2013 for fresh water, in mg/L of total
// ammonia nitrogen: one-hour and thirty-day averages, salmonids and mussels
// present. The formula was read in a public copy that prints 10 where 20 belongs
// in the chronic one; with 20 it gives the 1.9 mg N/L at pH 7 and 20 C of the
// criteria document (that figure from memory).
func AmmoniaCriteria(ph quantity.PH, temp quantity.Temperature) (acute, chronic quantity.Concentration) {
	p, t := float64(ph), float64(temp)
	a, b := math.Pow(10, 7.204-p), math.Pow(10, p-7.204)
	acute = quantity.Concentration(min(0.275/(1+a)+39/(1+b),
		0.7249*(0.0114/(1+a)+1.6181/(1+b))*23.12*math.Pow(10, 0.036*(20-t))))
	a, b = math.Pow(10, 7.688-p), math.Pow(10, p-7.688)
	chronic = quantity.Concentration(0.8876 * (0.0278/(1+a) + 1.1994/(1+b)) * 2.126 * math.Pow(10, 0.028*(20-max(t, 7))))
	return acute, chronic
}
