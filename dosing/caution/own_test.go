package caution

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// nobodyKnows is a product of the user's own of which only a name is given.
func nobodyKnows(name string, mgL float64) Dose {
	return Dose{Name: name, Product: product.Product{ID: name, Name: name, Form: product.Dry}, Dose: quantity.Dose{Concentration: quantity.Concentration(mgL), Basis: quantity.AsProduct}}
}

// stopped are situations that something stops, each by another rule.
func stopped(t *testing.T) map[string]Situation {
	water := func(ph, alk, temperature, tan float64) Water {
		return Water{Temperature: known(quantity.Temperature(temperature)), PH: known(quantity.PH(ph)), Alkalinity: known(quantity.Alkalinity(alk)),
			Hardness: known(quantity.Concentration(alk)), DOC: known(quantity.Concentration(2)), Ammonia: known(quantity.Concentration(tan)), Turbidity: known(25.0)}
	}
	loop := func(s Situation) Situation {
		s.Flow, s.Hours, s.Loop = known(quantity.Flow(10)), 24, &Loop{Volume: 50000, Exchange: known(quantity.Flow(50 * 0.05 / 24))}
		return s
	}
	alum := dose(t, "alum-liquid", 20, quantity.AsAlum14)
	measured := with(water(7.2, 60, 14, 0.3), func(w *Water) { w.ResidualAl = known(quantity.Concentration(5)) })
	return map[string]Situation{
		"soft water for eggs":      {Purpose: Animals, Water: water(6.0, 8, 6, 0.02), Doses: []Dose{alum}, Stock: of(t, "Atlantic salmon", "egg")},
		"soda ash and ammonia":     {Purpose: Animals, Water: water(7.4, 60, 12, 1.5), Doses: []Dose{alum, dose(t, "soda-ash", 60, quantity.AsNa2CO3)}, Stock: stock(t, "rainbow trout")},
		"caustic":                  {Purpose: Animals, Water: water(7.4, 60, 12, 3), Doses: []Dose{dose(t, "caustic-50", 30, quantity.AsNaOH)}, Stock: stock(t, "rainbow trout")},
		"a loop":                   loop(Situation{Purpose: Animals, Water: water(7.2, 60, 14, 0.3), Doses: []Dose{alum}, Stock: stock(t, "rainbow trout")}),
		"coloured drinking water":  {Purpose: Drinking, Water: water(6.5, 25, 8, 0), Doses: []Dose{dose(t, "alum-liquid", 60, quantity.AsAlum14)}},
		"measured aluminium":       {Purpose: Animals, Water: measured, Doses: []Dose{alum}, Stock: stock(t, "rainbow trout")},
		"polymer in clear water":   {Purpose: Animals, Water: with(beck(), func(w *Water) { w.Turbidity = known(3.0) }), Doses: []Dose{dose(t, "pdadmac", 2, quantity.AsProduct)}, Stock: stock(t, "rainbow trout")},
		"chitosan before trout":    {Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "chitosan", 1, quantity.AsActive)}, Stock: stock(t, "rainbow trout")},
		"copperas in acid water":   {Purpose: Animals, Water: water(6.3, 60, 8, 0.1), Doses: []Dose{dose(t, "ferrous-sulfate", 40, quantity.AsProduct)}, Stock: stock(t, "Atlantic salmon")},
		"acrylamide of the supply": {Purpose: Drinking, Water: beck(), Doses: []Dose{monomered(dose(t, "cpam-dry", 2, quantity.AsProduct))}},
	}
}

func monomered(d Dose) Dose {
	d.Monomer = known(quantity.Fraction(0.001))
	return d
}

func stops(f Findings) (out []string) {
	for _, s := range f.Said {
		if s.Level == note.Stop {
			out = append(out, s.Code)
		}
	}
	return out
}

// However much of a product is dosed of which nobody knows anything, wherever it stands among the others, every stop stays.
func TestNoStopIsLostToAnUnknownProduct(t *testing.T) {
	for name, s := range stopped(t) {
		want := stops(Review(s))
		if len(want) == 0 {
			t.Errorf("%s: nothing stops it", name)
		}
		rapid.Check(t, func(r *rapid.T) {
			with := s
			d := nobodyKnows(rapid.SampledFrom([]string{"ZetaClear 44", "antifoam", "potassium permanganate", "sodium hypochlorite"}).Draw(r, "name"), rapid.Float64Range(0.001, 100).Draw(r, "mg/L"))
			with.Doses = slices.Insert(slices.Clone(s.Doses), rapid.IntRange(0, len(s.Doses)).Draw(r, "place"), d)
			f := Review(with)
			got := stops(f)
			for _, code := range want {
				if !slices.Contains(got, code) {
					r.Fatalf("%s: %s is lost with %v of %s", name, code, d.Dose, d.Name)
				}
			}
			id := "acid-left-out-some"
			if len(s.Stock) > 0 {
				id = "acid-left-out"
			}
			if n := slices.DeleteFunc(f.All(), func(n note.Note) bool { return n.Code != id }); len(n) != 1 {
				r.Fatalf("%s: what is left out is said %d times", name, len(n))
			}
		})
	}
}

// The remedy that the message names works: 30 % taken of 10 mg/L is 3 mg/L CaCO3; 0 % is as if it were not there. Both on the
// basis of the dose. A polymer's charge makes it count as nothing.
func TestWhatIsGivenOfAnUnknownProductCounts(t *testing.T) {
	alone := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: stock(t, "rainbow trout")})
	for share, takes := range map[quantity.Fraction]float64{0.3: 3, 0: 0, -0.5: -5} {
		d := nobodyKnows("antifoam", 10)
		d.Product.Takes, d.Product.TakesOn = product.Given(share, "made up"), quantity.AsProduct
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14), d}, Stock: stock(t, "rainbow trout")})
		if got := float64(alone.Water.AlkalinityLeft - f.Water.AlkalinityLeft); fmt.Sprintf("%.6f", got) != fmt.Sprintf("%.6f", takes) {
			t.Errorf("%v: takes %g, want %g", share, got, takes)
		}
		if _, ok := codes(f.Notes)["acid-left-out"]; ok {
			t.Errorf("%v: still left out", share)
		}
	}
	left := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{nobodyKnows("antifoam", 1)}, Stock: stock(t, "rainbow trout")})
	level(t, left, "acid-left-out", note.Caution)
	for _, n := range left.Notes {
		if n.Code == "acid-left-out" && !(strings.Contains(n.Remedy, `"alkalinity taken" in the site under Chemicals`) && strings.Contains(n.Remedy, `"charge"`)) {
			t.Error(n.Remedy)
		}
	}
}

// A product of the user's own before animals is a caution until he tests it himself; then his own figure is held to the
// scale: of an LC50 of 12 mg/L a tenth stops, a thirtieth (0.4) is a caution, less is said nothing of.
func TestOwnProductBeforeAnimals(t *testing.T) {
	review := func(name string, mgL float64, tests ...Bioassay) Findings {
		a := stock(t, "rainbow trout")
		a[0].Tests = tests
		return Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{nobodyKnows(name, mgL)}, Stock: a})
	}
	f := review("antifoam", 1)
	level(t, f, "own-unknown", note.Caution)
	for name, what := range map[string]string{"antifoam": "of the 1 mg/L", "sodium chlorite": "chlorite and chlorine dioxide kill", "Potassium permanganate": "trout have died",
		"copper sulfate": "of copper kill trout", "formalin": "takes oxygen", "chlorohydrate of ours": "so no check is made of the 1 mg/L as product", "hydrogen peroxide": "baths kill"} {
		says(t, review(name, 1), "own-unknown", what)
	}
	for _, n := range review("aluminium chlorohydrate of ours", 1).Notes {
		if strings.Contains(n.Message, "deadly") {
			t.Error(n.Message)
		}
	}
	test := Bioassay{"antifoam", 12, 96, 0}
	for mgL, code := range map[float64]string{1.2: "polymer-tested-stop", 1.19: "polymer-tested", 0.4: "polymer-tested", 0.39: ""} {
		got := codes(review("antifoam", mgL, test).Notes)
		for _, c := range []string{"polymer-tested-stop", "polymer-tested", "own-unknown", "no-data"} {
			if _, ok := got[c]; ok != (c == code) {
				t.Errorf("%g mg/L: %v, want %q", mgL, got, code)
			}
		}
	}
}

// What must never meet is told of what is dosed under a name of the user's own as of what is kept beside.
func TestOwnNameMeets(t *testing.T) {
	for name, x := range map[string][2]string{"sodium hypochlorite": {"alum-liquid", "mix-chlorine"}, "bleach 12 %": {"ferric-chloride", "mix-chlorine"},
		"potassium permanganate": {"ferric-chloride", "mix-permanganate-chloride"}} {
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, x[0], 10, quantity.AsProduct), nobodyKnows(name, 1)}, Stock: stock(t, "rainbow trout")})
		if _, ok := codes(f.Handling)[x[1]]; !ok {
			t.Errorf("%s beside %s: %v", name, x[0], codes(f.Handling))
		}
	}
}

// A tank treated while its animals are away is judged for when they come back: of 6.93 mg/L of polyDADMAC as sold, 40 % active, 2.77 may stay,
// and a hundredth of 0.271 is 0.00271: ln(2.77/0.00271) = 6.93, so seven volumes. A whole run's worth goes before the dose of a pass.
func TestAnimalsComeBackToWhatStays(t *testing.T) {
	d := dose(t, "pdadmac", 2, quantity.AsProduct)
	d.Left = known(quantity.Concentration(6.93))
	s := Situation{Purpose: Animals, Pond: true, NoneReached: true, Back: stock(t, "rainbow trout"), Water: beck(), Doses: []Dose{d, nobodyKnows("antifoam", 1)}}
	f := Review(s)
	level(t, f, "animals-back", note.Caution)
	says(t, f, "animals-back", "as much as 2.77 mg/L of active polymer may stay, and from 0.00271 on take care (a hundredth of what killed half of rainbow trout")
	says(t, f, "animals-back", "Of antifoam nothing is known here")
	if i := slices.IndexFunc(f.Notes, func(n note.Note) bool { return n.Code == "animals-back" }); i < 0 || !strings.Contains(f.Notes[i].Remedy, "clean water of about 7 times the volume") {
		t.Error(f.Notes)
	}
	s.Doses[0].Left.OK = false // one pass
	says(t, Review(s), "animals-back", "0.8 mg/L of active polymer")
	s.Doses = []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}
	level(t, Review(s), "animals-back", note.Caution)
}

// What stays dissolved is told wherever it is above the criterion, at a pH of 7.5 as at 7.7: carp in algal water of pH 9.2 and 25 C, of which alum
// lowers the pH. No more alum turns it to "if no floc were caught".
func TestDissolvedAluminiumHasNoStep(t *testing.T) {
	told := map[string]bool{}
	for mgL := 16.0; mgL <= 40; mgL += 0.5 {
		w := basin(25, 9.2, 90, 120, 0, 0.5)
		w.ResidualAl, w.DOC = quantity.Known[quantity.Concentration]{}, known(quantity.Concentration(8))
		f := Review(Situation{Purpose: Animals, Water: w, Doses: []Dose{dose(t, "alum-liquid", mgL, quantity.AsAlum14)}, Stock: stock(t, "carp")})
		fresh, _ := f.Water.Dissolved()
		want, other := "al-dissolved", "al-whole-dose"
		if fresh <= published(f.Water.Aluminium.V.Chronic) {
			want, other = other, want
			says(t, f, want, "of each pass up to "+quantity.To(fresh, 2).Bare().String()+" mg/L stays dissolved")
		}
		level(t, f, want, note.Caution)
		noNote(t, f, other)
		told[want] = true
	}
	if len(told) != 2 {
		t.Errorf("only %v", told)
	}
}

// ownLiquor is an aluminium liquor of the user's own, of 5 % Al2O3, with the basicity that is known of it.
func ownLiquor(mgL float64, basicity quantity.Known[quantity.Fraction]) Dose {
	p := product.Product{ID: "own liquor", Name: "own liquor", Group: product.Polyaluminium, Form: product.Liquid, Basis: quantity.AsAl2O3,
		Strength: product.Given[quantity.Fraction](0.05, "label")}
	if basicity.OK {
		p.Basicity = product.Given(basicity.V, "label")
	}
	return Dose{Name: p.Name, Product: p, Dose: quantity.Dose{Concentration: quantity.Concentration(mgL), Basis: quantity.AsAl2O3}}
}

// A metal salt of which nobody gave the basicity takes what one without any does: 2 x 3 equivalents of 50.04 in 101.96 g of Al2O3, 2.945 mg
// CaCO3 a mg, so 7 mg/L take 20.6 of 30 and leave 9.4: it stops trout as alum does. Given as 70 % it takes 6.2 and stops nothing.
func TestBasicityThatNobodyGivesCountsAsNone(t *testing.T) {
	review := func(d ...Dose) Findings {
		return Review(Situation{Purpose: Animals, Water: water15(7.2, 30), Doses: d, Stock: stock(t, "rainbow trout")})
	}
	var unknown quantity.Known[quantity.Fraction]
	f := review(ownLiquor(7, unknown))
	if got := float64(f.Water.AlkalinityLeft); math.Abs(got-9.39) > 0.01 || f.Water.Closed.Aluminium == 0 {
		t.Errorf("%g mg/L CaCO3 are left", got)
	}
	level(t, f, "alkalinity-gone", note.Stop)
	says(t, f, "basicity-assumed", "the basicity of own liquor is not given: it counts as none, at which it takes the most alkalinity, 20.6 mg/L CaCO3")
	noNote(t, f, "acid-left-out")
	if g := stops(review(ownLiquor(7, known(quantity.Fraction(0))))); strings.Join(g, " ") != strings.Join(stops(f), " ") {
		t.Errorf("with none it stops %v", g)
	}
	f = review(ownLiquor(7, known(quantity.Fraction(0.7))))
	noNote(t, f, "alkalinity-gone")
	noNote(t, f, "basicity-assumed")
	// Too high is judged as if it took nothing: 22 mg/L of caustic give 27.5 mg/L CaCO3, 20.6 of which the acid may take or not.
	f = review(ownLiquor(7, unknown), dose(t, "caustic-50", 22, quantity.AsNaOH))
	says(t, f, "ph-too-high", " if own liquor takes nothing, above 9")
	noNote(t, review(ownLiquor(7, known(quantity.Fraction(0))), dose(t, "caustic-50", 22, quantity.AsNaOH)), "ph-too-high")
}

// Chlorine before animals stops a plan, however it is called: of 1 mg/L of household bleach, 3 % at the least, 0.03 are chlorine, above the
// 0.019 (fresh) and 0.013 mg/L (sea) that the acute criteria bear (US EPA 1984, from memory); of 0.6 and 0.4 mg/L less is. A stated 12.5 %
// counts; so do thiosulfate beside it, the site's own test, and animals that never get it. What takes chlorine out is none.
func TestChlorineBeforeAnimalsStops(t *testing.T) {
	review := func(name string, mgL, salt float64, change func(*Situation)) Findings {
		s := Situation{Purpose: Animals, Water: with(beck(), salinity(salt)), Doses: []Dose{nobodyKnows(name, mgL)}, Stock: stock(t, "rainbow trout")}
		change(&s)
		return Review(s)
	}
	as := func(*Situation) {}
	strength := func(s *Situation) { s.Doses[0].Product.Strength = product.Given[quantity.Fraction](0.125, "stated") }
	taken := func(mgL float64) func(*Situation) {
		return func(s *Situation) { s.Doses = append(s.Doses, dose(t, "thiosulfate", mgL, quantity.AsProduct)) }
	}
	for _, x := range []struct {
		name      string
		mgL, salt float64
		change    func(*Situation)
		stops     bool
	}{
		{"bleach", 1, 0, as, true}, {"bleach", 0.6, 0, as, false}, {"bleach", 0.6, 33, as, true}, {"bleach", 0.4, 33, as, false},
		{"Sodium hypochlorite", 5, 0, as, true}, {"chlorine", 1, 0, as, true}, {"TCCA tablets", 0.1, 0, as, true}, {"TCCA tablets", 0.07, 0, as, false},
		{"sodium hypochlorite", 0.2, 0, as, false}, {"sodium hypochlorite", 0.2, 0, strength, true},
		{"sodium hypochlorite", 10, 0, taken(20), false}, {"sodium hypochlorite", 10, 0, taken(0.1), true},
		{"sodium hypochlorite", 1, 0, func(s *Situation) { s.Stock[0].Tests = []Bioassay{{"sodium hypochlorite", 400, 96, 0}} }, false},
		{"sodium hypochlorite", 10, 0, func(s *Situation) { s.Stock, s.Purpose = nil, Other }, false},
		{"Aqua dechlorinator", 10, 0, as, false}, {"chlorine remover", 10, 0, as, false}, {"chlorine-free cleaner", 10, 0, as, false}, {"Poly Aluminium Chlorine", 20, 0, as, false},
		{"potassium permanganate", 2, 0, as, false}, {"copper sulfate", 1, 0, as, false}, {"aluminium chlorohydrate of ours", 5, 0, as, false},
	} {
		f := review(x.name, x.mgL, x.salt, x.change)
		if got := slices.Contains(stops(f), "own-chlorine"); got != x.stops {
			t.Errorf("%g mg/L of %s at %g g/kg: stops %v", x.mgL, x.name, x.salt, got)
		}
		if x.stops {
			noNote(t, f, "own-unknown") // one danger, one alarm
		}
	}
	f := review("sodium hypochlorite", 10, 0, as)
	says(t, f, "own-chlorine", "10 mg/L as product bring 0.3 mg/L of it or more (such goods hold 3 % or more); free chlorine kills")
	says(t, f, "own-chlorine", "and 0.019 is the acute criterion, for rainbow trout")
	says(t, review("sodium hypochlorite", 0.2, 0, strength), "own-chlorine", "bring 0.025 mg/L of it or more (at 12.5 % as stated)")
	// A name that says its strength is taken at its word: 0.2 mg/L at 13 % are 0.026, and as much of the "3 %" 0.006.
	says(t, review("sodium hypochlorite 13 %", 0.2, 0, as), "own-chlorine", "bring 0.026 mg/L of it or more (at 13 %, by its name)")
	says(t, review("bleach, 12.5% fresh", 4, 0, as), "own-chlorine", "bring 0.5 mg/L of it or more (at 12.5 %, by its name)")
	says(t, review("sodium hypochlorite 10 % to 15 %", 10, 0, as), "own-chlorine", "(such goods hold 3 % or more)")
	says(t, review("sodium hypochlorite", 0.5, 0, as), "own-unknown", "free chlorine kills")
	says(t, review("sodium hypochlorite", 10, 0, taken(0.1)), "own-chlorine", "that what is dosed beside it takes for sure")
}
