package caution

import (
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// works is a works without animals that treats moor water of pH 6.8 and 30 mg/L CaCO3 with so much alum.
func works(t *testing.T, purpose Purpose, alum float64, change ...func(*Situation)) Situation {
	s := Situation{Purpose: purpose, Water: water15(6.8, 30), Doses: []Dose{dose(t, "alum-liquid", alum, quantity.AsAlum14)}}
	for _, c := range change {
		c(&s)
	}
	return s
}

// Coloured and soft water is coagulated at pH 5.5 to 6.5 and put right after (common practice, no source): 50 mg/L of alum take
// 50 x 6/594.4 x 50.04 = 25.26 of 30, which is care and no stop; 62 take 31.3, which leaves none and stops. A pH to hold that is as it should
// be quiets both; one of 5.8 does not. Trout are stopped at the 4.7 that are left.
func TestWorksAreStoppedWhereNothingIsLeft(t *testing.T) {
	hold := func(pH quantity.PH) func(*Situation) { return func(s *Situation) { s.Water.Hold = known(pH) } }
	f := Review(works(t, Drinking, 50))
	level(t, f, "alkalinity-low", note.Caution)
	level(t, f, "ph-beyond", note.Caution)
	says(t, f, "alkalinity-low", "alkalinity falls from 30 to 4.74 mg/L CaCO3; treated water should have 20 or more")
	if f.Stopped {
		t.Error(codes(f.Notes))
	}
	f = Review(works(t, Drinking, 50, hold(8)))
	level(t, f, "ph-to-be-held", note.Info)
	noNote(t, f, "ph-beyond")
	noNote(t, f, "alkalinity-low")
	level(t, Review(works(t, Drinking, 50, hold(5.8))), "ph-beyond", note.Caution)
	f = Review(works(t, Drinking, 62, hold(8)))
	level(t, f, "alkalinity-gone", note.Stop)
	says(t, f, "alkalinity-gone", "alkalinity falls from 30 to none: this dose leaves nothing to hold the pH")
	noNote(t, f, "ph-beyond")
	if m := f.Marked(); m["ph"] != note.Stop || m["alkalinity"] != note.Stop {
		t.Error(m)
	}
	level(t, Review(works(t, Animals, 50, func(s *Situation) { s.Stock = stock(t, "trout") })), "alkalinity-gone", note.Stop)
}

// The site's own discharge consent goes before the limit from memory, and one stop says both.
func TestConsentGoesBeforeTheUsualPH(t *testing.T) {
	consent := func(s *Situation) {
		s.Consent.PHLow, s.Consent.PHHigh = known(quantity.PH(6.2)), known(quantity.PH(9))
	}
	f := Review(works(t, Wastewater, 50))
	level(t, f, "ph-beyond", note.Caution)
	f = Review(works(t, Wastewater, 50, consent))
	level(t, f, "consent-ph", note.Caution)
	noNote(t, f, "ph-beyond")
	f = Review(works(t, Wastewater, 62, consent))
	says(t, f, "alkalinity-gone", "; the discharge consent is pH 6.2 to 9")
	noNote(t, f, "consent-ph")
	noNote(t, f, "ph-beyond")
	f = Review(works(t, Wastewater, 50, consent, func(s *Situation) { s.Water.Hold = known(quantity.PH(7)) }))
	level(t, f, "ph-to-be-held", note.Info)
	noNote(t, f, "consent-ph")
}

// What a works lets go of a metal without a consent is a note, of iron as of aluminium: a guideline for the life of fresh waters is no limit
// of a sewer. 30 mg/L of FeCl3 hold 30 x 55.845/162.2 = 10.3 mg/L. A consent is judged, and so is water that may be for animals.
func TestDischargeWithoutConsentIsANote(t *testing.T) {
	iron := func(change ...func(*Situation)) Findings {
		return Review(works(t, Wastewater, 0, append([]func(*Situation){func(s *Situation) {
			s.Water = with(water15(7.2, 200), func(w *Water) { w.DOC = quantity.Known[quantity.Concentration]{} })
			s.Doses = []Dose{dose(t, "ferric-chloride", 30, quantity.AsFeCl3)}
		}}, change...)...))
	}
	f := iron()
	level(t, f, "metal-discharged", note.Info)
	says(t, f, "metal-discharged", "residual Fe may be up to 10.3 mg/L (the whole dose), and no discharge consent for it is given")
	for _, code := range []string{"fe-general", "fe-guideline", "fe-not-measured"} {
		noNote(t, f, code)
	}
	level(t, iron(func(s *Situation) { s.Consent.Fe = known(quantity.Concentration(5)) }), "metal-unmeasured", note.Caution)
	level(t, iron(func(s *Situation) { s.Purpose = Unsaid }), "fe-general", note.Caution)
	level(t, Review(works(t, Wastewater, 20, func(s *Situation) { s.Water.ResidualAl = quantity.Known[quantity.Concentration]{} })), "metal-discharged", note.Info)
}

// The hardness of salt water is its salt's: that of a tenth of sea water is past what giant freshwater prawns are farmed in, and their larvae live
// in it.
func TestHardnessIsJudgedInFreshWaterAlone(t *testing.T) {
	for salinity, said := range map[quantity.Salinity]bool{0: true, 0.5: true, 1: false, 12: false} {
		f := Review(Situation{Purpose: Animals, Stock: of(t, "giant freshwater prawn", "larva"), Water: with(beck(), func(w *Water) {
			w.Hardness, w.Salinity = known(quantity.Concentration(1900)), known(salinity)
		})})
		if _, ok := codes(f.Notes)["hardness-outside"]; ok != said {
			t.Errorf("%v g/kg: %v", salinity, ok)
		}
	}
}
