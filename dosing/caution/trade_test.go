package caution

import (
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// What somebody of the trade would want to hear of a water, animals and a dose, written down before the rules were run: nothing beyond
// notes, a caution or a stop (judgement of the trade, no source).
func TestWhatTheTradeExpects(t *testing.T) {
	for _, x := range []struct {
		name    string
		species string
		stage   animal.Stage
		w       Water
		change  func(*Situation)
		dose    Dose
		want    note.Level
	}{
		{"trout in a soft beck, a little alum", "rainbow trout", "juvenile", basin(10, 7.0, 25, 20, 0, 0.05), nil, dose(t, "alum-liquid", 9, quantity.AsAlum14), note.Info},
		{"as much alum as the soft beck has alkalinity", "rainbow trout", "juvenile", basin(10, 7.0, 25, 20, 0, 0.05), nil, dose(t, "alum-liquid", 25, quantity.AsAlum14), note.Stop},
		{"alum in a warm tilapia system", "tilapia", "juvenile", basin(28, 8.0, 120, 120, 0, 0.3), nil, dose(t, "alum-liquid", 20, quantity.AsAlum14), note.Info},
		{"polyaluminium chloride with shrimp in the sea", "whiteleg shrimp", "juvenile", basin(28, 8.1, 130, 0, 30, 0.2), nil, dose(t, "pacl-10", 10, quantity.AsProduct), note.Info},
		{"a little anionic polymer with carp", "common carp", "adult", basin(22, 7.8, 150, 160, 0, 0.1), nil, dose(t, "apam-dry", 0.3, quantity.AsProduct), note.Info},
		{"polyDADMAC with carp, capture not known", "common carp", "adult", basin(22, 7.8, 150, 160, 0, 0.1), nil, dose(t, "pdadmac", 1, quantity.AsProduct), note.Stop},
		{"polyDADMAC with carp, nine tenths of it caught", "common carp", "adult", basin(22, 7.8, 150, 160, 0, 0.1), func(s *Situation) { s.Doses[0].Capture = quantity.Some(quantity.Fraction(0.9)) }, dose(t, "pdadmac", 1, quantity.AsProduct), note.Caution},
		{"polyDADMAC with carp, so little that all of it may stay", "common carp", "adult", basin(22, 7.8, 150, 160, 0, 0.1), nil, dose(t, "pdadmac", 0.3, quantity.AsProduct), note.Caution},
		{"polyDADMAC into clear water with carp", "common carp", "adult", basin(22, 7.8, 150, 160, 0, 0.1), func(s *Situation) { s.Water.Turbidity = quantity.Some(4.0) }, dose(t, "pdadmac", 3, quantity.AsProduct), note.Stop},
		{"ferric chloride with eels", "eel", "adult", basin(24, 7.2, 80, 90, 0, 0.2), func(s *Situation) { s.Water.ResidualFe = quantity.Some(quantity.Concentration(0.1)) }, dose(t, "ferric-chloride", 20, quantity.AsFeCl3), note.Info},
		{"caustic soda with salmon in ammonia", "Atlantic salmon", "juvenile", basin(12, 6.8, 40, 40, 0, 3), nil, dose(t, "caustic-soda", 10, quantity.AsNaOH), note.Caution},
		{"polyamine in drinking water without a certificate", "", "", basin(12, 7.4, 90, 100, 0, 0), func(s *Situation) { s.Purpose = Drinking }, dose(t, "polyamine", 0.3, quantity.AsProduct), note.Caution},
		{"much aluminium left before red-claw", "red-claw", "juvenile", basin(26, 7.6, 90, 90, 0, 0.1), func(s *Situation) { s.Water.ResidualAl = quantity.Some(quantity.Concentration(0.25)) }, dose(t, "alum-liquid", 20, quantity.AsAlum14), note.Caution},
		{"alum with barramundi in the sea", "barramundi", "juvenile", basin(28, 8.1, 120, 0, 32, 0.1), func(s *Situation) { s.Water.ResidualAl = quantity.Some(quantity.Concentration(0.3)) }, dose(t, "alum-liquid", 15, quantity.AsAlum14), note.Info},
		{"a carp pond of algae at pH 9.2 with ammonia", "common carp", "adult", basin(25, 9.2, 120, 120, 0, 1), func(s *Situation) {
			s.Pond, s.Water.ResidualAl.OK = true, false
		}, dose(t, "alum-liquid", 30, quantity.AsAlum14), note.Caution},
		{"trout fry in a soft beck, 17 of 22 mg/L left, below the least that a stream is to have", "rainbow trout", "fry", basin(9, 7.0, 22, 25, 0, 0.05), nil, dose(t, "alum-liquid", 10, quantity.AsAlum14), note.Stop},
		{"trout in a soft beck with much", "rainbow trout", "juvenile", basin(9, 7.0, 22, 25, 0, 0.05), nil, dose(t, "alum-liquid", 35, quantity.AsAlum14), note.Stop},
		{"polymer with shrimp, turbidity not known", "whiteleg shrimp", "juvenile", basin(28, 8.0, 130, 0, 25, 0.1), func(s *Situation) { s.Water.Turbidity.OK = false }, dose(t, "pdadmac", 2, quantity.AsProduct), note.Caution},
		{"carp below what they were unharmed by", "common carp", "juvenile", basin(22, 7.5, 150, 120, 0, 0.1), func(s *Situation) { s.Water.ResidualAl = quantity.Some(quantity.Concentration(0.8)) }, dose(t, "pacl-10", 30, quantity.AsProduct), note.Info},
		{"sturgeon and ferric chloride, measured", "sturgeon", "juvenile", basin(17, 7.8, 150, 160, 0, 0.1), func(s *Situation) { s.Water.ResidualFe = quantity.Some(quantity.Concentration(0.1)) }, dose(t, "ferric-chloride", 15, quantity.AsFeCl3), note.Info},
		{"sea bream and ferric chloride nobody measured", "sea bream", "juvenile", basin(20, 8.0, 130, 0, 35, 0.1), nil, dose(t, "ferric-chloride", 20, quantity.AsFeCl3), note.Caution},
		{"hypochlorite before trout", "rainbow trout", "adult", basin(11, 7.5, 110, 120, 0, 0.1), nil, nobodyKnows("sodium hypochlorite", 2), note.Stop},
		{"mitten crabs near carbon dioxide that trout bear", "mitten crab", "adult", basin(20, 7.12, 60, 120, 0, 0.1), func(s *Situation) {
			s.Water.ResidualFe = quantity.Some(quantity.Concentration(0.05))
			s.Stock[0].Tests = []Bioassay{{Chemical: s.Doses[0].name(), LC50: 1e4, Hours: 96}} // else nobody has tested it with crabs, which is a caution
		}, dose(t, "ferric-chloride", 10, quantity.AsFeCl3), note.Info},
	} {
		s := Situation{Purpose: Animals, Water: x.w, Doses: []Dose{x.dose}}
		if x.species != "" {
			s.Stock = of(t, x.species, x.stage)
		}
		if x.change != nil {
			x.change(&s)
		}
		if f := Review(s); f.Notes.Worst() != x.want {
			t.Errorf("%s: %s, want %s: %v", x.name, f.Notes.Worst(), x.want, f.Notes.Only(f.Notes.Worst()))
		}
	}
}
