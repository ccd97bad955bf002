package caution

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// A portion for 15 min that goes in within one is 15 times the dose for that minute: 20 mg/L of alum are 300. What no overdose
// of harms, what a pump feeds, and what a pond or a loop thins is told of nowhere.
func TestPortionsTippedIntoAStream(t *testing.T) {
	by := func(id string, mg float64, basis quantity.Basis) Dose {
		d := dose(t, id, mg, basis)
		d.ByHand = true
		return d
	}
	trout := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "trout"), Doses: []Dose{by("alum-liquid", 20, quantity.AsAlum14)}}
	level(t, Review(trout), "fed-in-slugs", note.Caution)
	says(t, Review(trout), "fed-in-slugs", "is fed by hand: a portion for a quarter of an hour, tipped in within a minute, is 15 times the dose (300 mg/L as alum 14-hydrate)")
	for id, basis := range map[string]quantity.Basis{"lime": quantity.AsCaOH2, "caustic-50": quantity.AsNaOH, "cpam-dry": quantity.AsActive} {
		s := trout
		s.Doses = []Dose{by(id, 1, basis)}
		level(t, Review(s), "fed-in-slugs", note.Caution)
	}
	for what, change := range map[string]func(*Situation){
		"a pump":       func(s *Situation) { s.Doses = []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)} },
		"no dose":      func(s *Situation) { s.Doses = []Dose{by("alum-liquid", 0, quantity.AsAlum14)} },
		"bicarbonate":  func(s *Situation) { s.Doses = []Dose{by("bicarbonate", 20, quantity.AsNaHCO3)} },
		"no animals":   func(s *Situation) { s.Stock, s.Purpose = nil, Other },
		"a whole pond": func(s *Situation) { s.Pond = true },
		"a loop":       func(s *Situation) { s.Loop = &Loop{Volume: 24000} },
	} {
		s := trout
		change(&s)
		t.Run(what, func(t *testing.T) { noNote(t, Review(s), "fed-in-slugs") })
	}
	// By what it is: quicklime boils when it is wetted, so nobody is told to thin it; powder polymer is made up, lime is kept stirred.
	for id, want := range map[string]string{"quicklime": "never wet it in a bottle, bucket or drum", "lime": "keep it stirred", "cpam-dry": "make it up and let it age first",
		"caustic-50": "never water onto it", "alum-dry": "dissolve it in water first", "alum-liquid": "thin it with water and let it drip"} {
		s := trout
		s.Doses = []Dose{by(id, 1, quantity.AsProduct)}
		for _, pond := range []bool{false, true} { // round a unit it is a stream all the same
			s.Pond, s.Piped = pond, pond
			var n note.Note
			for _, x := range Review(s).Notes {
				if x.Code == "fed-in-slugs" {
					n = x
				}
			}
			if !strings.Contains(n.Remedy, want) || !strings.Contains(n.Message, "in the water that passes") || strings.Contains(n.Remedy, "pond") || id == "quicklime" && strings.Contains(n.Remedy, "thin it") {
				t.Errorf("%s, pond %v: %s: %s", id, pond, n.Message, n.Remedy)
			}
		}
	}
	trout.Pond, trout.Piped = true, true // a tank whose water goes round: what goes back is a stream
	level(t, Review(trout), "fed-in-slugs", note.Caution)
}

// TestNeatByHand: who feeds a liquid as it is delivered by hand is told how, with animals by a caution, with none named
// where it is for animals too, and at a works among the handling; a pump, a stock, a powder and what harms nobody need no word.
func TestNeatByHand(t *testing.T) {
	neat := func(id string, basis quantity.Basis) Dose {
		d := dose(t, id, 20, basis)
		d.ByHand, d.Neat = true, true
		return d
	}
	works := Situation{Purpose: Other, Water: beck(), Doses: []Dose{neat("alum-liquid", quantity.AsAlum14)}}
	told := func(s Situation) (caution, handling bool) {
		f := Review(s)
		for _, n := range f.Handling {
			handling = handling || n.Code == "handle-by-hand" && strings.Contains(n.Message, "neat and by hand") && strings.Contains(n.Remedy, "drip")
		}
		_, caution = codes(f.All())["fed-in-slugs"]
		return caution, handling
	}
	for what, x := range map[string]struct {
		change            func(*Situation)
		caution, handling bool
	}{
		"a works":               {func(*Situation) {}, false, true},
		"of no said purpose":    {func(s *Situation) { s.Purpose = Unsaid }, false, true},
		"animals, none named":   {func(s *Situation) { s.Purpose = Animals }, true, false},
		"trout":                 {func(s *Situation) { s.Stock = stock(t, "trout") }, true, false},
		"a pump":                {func(s *Situation) { s.Doses[0].ByHand = false }, false, false},
		"a stock":               {func(s *Situation) { s.Doses[0].Neat = false }, false, false},
		"no dose":               {func(s *Situation) { s.Doses[0].Dose.Concentration = 0 }, false, false},
		"a powder":              {func(s *Situation) { s.Doses[0] = neat("alum-dry", quantity.AsAlum14) }, false, false},
		"a loop, none named":    {func(s *Situation) { s.Purpose, s.Loop = Animals, &Loop{Volume: 24000} }, false, true},
		"caustic soda solution": {func(s *Situation) { s.Doses[0] = neat("caustic-50", quantity.AsNaOH) }, false, true},
	} {
		s := works
		s.Doses = slices.Clone(works.Doses)
		x.change(&s)
		if caution, handling := told(s); caution != x.caution || handling != x.handling {
			t.Errorf("%s: caution %t, handling %t", what, caution, handling)
		}
	}
}

// TestPortion: what a task has done with a portion is what the caution beside it says, by what the goods are.
func TestPortion(t *testing.T) {
	for id, want := range map[string]string{"alum-dry": "each dissolved in a bucket of water first and dripped in over that time", "lime": "each stirred thin in a bucket", "quicklime": "fed dry and thin over that time, never wetted",
		"gypsum": "fed dry and thin over that time", "cpam-dry": "each made up in water and aged first", "alum-liquid": "dripped in evenly"} {
		p, err := product.Default().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		if got := Portion(p); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
		if tips := strings.Contains(handTo(p).stream, "dissolve it in water first"); tips != strings.Contains(Portion(p), "dissolved in a bucket of water first") {
			t.Errorf("%s: %q beside %q", id, Portion(p), handTo(p).stream)
		}
	}
}
