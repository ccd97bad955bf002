package caution

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestAluminiumThatCannotBe: aluminate takes trout water of 10 C to pH 9.77 if no more than 0.3 mg/L of it stays dissolved, where aged floc
// alone lets go 1.2 mg/L at pH 9.7 (10^(9.77 - 9.7) times that: 1.4; solubility of amorphous hydroxide worked out apart, good to a quarter): that reading is asked about, with the
// pH of either reading. As much as stays dissolved is believed, and so is 0.3 mg/L near neutral.
func TestAluminiumThatCannotBe(t *testing.T) {
	water := func(residual quantity.Concentration) Water {
		return Water{Temperature: quantity.Some(quantity.Temperature(10)), PH: quantity.Some(quantity.PH(7.8)), Alkalinity: quantity.Some(quantity.Alkalinity(40)),
			Hardness: quantity.Some(quantity.Concentration(40)), DOC: quantity.Some(quantity.Concentration(2)), ResidualAl: quantity.Some(residual)}
	}
	s := Situation{Purpose: Animals, Stock: stock(t, "rainbow trout"), Water: water(0.3), Doses: []Dose{dose(t, "aluminate-liquid", 30, quantity.AsProduct)}}
	says(t, Review(s), "al-residual-doubt", " stays dissolved. By that reading the pH comes to ")
	s.Water.ResidualAl.V = 1.5
	noNote(t, Review(s), "al-residual-doubt")
	s.Water = water(0.3)
	s.Doses = []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}
	noNote(t, Review(s), "al-residual-doubt")
}

// TestCriterionBelowItsBounds: the criteria for aluminium end at pH 5 (US EPA 2018); at pH 3.8 they are those of 5, and say so.
func TestCriterionBelowItsBounds(t *testing.T) {
	w := Water{Temperature: quantity.Some(quantity.Temperature(15)), PH: quantity.Some(quantity.PH(6)), Alkalinity: quantity.Some(quantity.Alkalinity(10)), JarPH: quantity.Some(quantity.PH(3.8)),
		Hardness: quantity.Some(quantity.Concentration(60)), DOC: quantity.Some(quantity.Concentration(10)), ResidualAl: quantity.Some(quantity.Concentration(0.3))}
	says(t, Review(Situation{Purpose: Animals, Stock: stock(t, "eel"), Water: w, Doses: []Dose{dose(t, "alum-liquid", 30, quantity.AsAlum14)}}), "al-acute", "(pH 3.80, counted as 5.0, hardness 60, DOC 10)")
}

// TestMoreMetalThanDosed: 10 mg/L of alum 14-hydrate hold 10 x 53.964/594.345 = 0.908 mg/L of aluminium; 1.5 mg/L that were measured
// cannot all be of it, 0.9 can. In a loop what the passes leave adds up.
func TestMoreMetalThanDosed(t *testing.T) {
	s := Situation{Purpose: Animals, Stock: stock(t, "rainbow trout"), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)},
		Water: Water{PH: quantity.Some(quantity.PH(7.6)), Alkalinity: quantity.Some(quantity.Alkalinity(85)), ResidualAl: quantity.Some(quantity.Concentration(1.5))}}
	says(t, Review(s), "metal-over-dose", "1.5 mg/L Al were measured in the treated water, and all that is dosed holds 0.908 mg/L")
	s.Water.ResidualAl.V = 0.9
	noNote(t, Review(s), "metal-over-dose")
}
