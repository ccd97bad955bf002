package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestCeilingOfASite: a tenth of what kills trout (see package animal), over the
// share of a powder that is active, and a hundredth less. A measured capture of three quarters allows four times that.
func TestCeilingOfASite(t *testing.T) {
	s := exampleSite(t, nil)
	s.Chemicals[1].Product = quantity.Some("cpam-dry")
	p, err := products.Find("cpam-dry")
	if err != nil {
		t.Fatal(err)
	}
	trout, err := animal.Find("rainbow trout")
	if err != nil {
		t.Fatal(err)
	}
	lethal, _, ok := animal.Lethal(animal.CationicPolymer, "cationic polyacrylamide", trout.Group)
	if !ok {
		t.Fatal("nothing kills trout")
	}
	g := Given{Catalogue: products}
	share := float64(p.Strength.V)
	for _, x := range []struct {
		what    string
		basis   quantity.Basis
		capture quantity.Fraction
		want    float64
	}{
		{"active", quantity.AsActive, 0, lethal.Low / 2 * 0.99}, {"as product", quantity.AsProduct, 0, lethal.Low / 2 / share * 0.99},
		{"three quarters caught", quantity.AsActive, 0.75, lethal.Low / 2 * 4 * 0.99},
	} {
		row := s.Chemicals[1]
		row.Capture = quantity.Known[quantity.Fraction]{V: x.capture, OK: x.capture > 0}
		most, why, ok := PolymerCeiling(s, row, x.basis, g, time.Time{})
		if !ok || !strings.Contains(why, "trout") || math.Abs(float64(most)-x.want) > 1e-9 {
			t.Errorf("%s: %v (%s), want %g", x.what, most, why, x.want)
		}
	}
	row := s.Chemicals[1]
	row.Product.V = "no such"
	if most, _, ok := PolymerCeiling(s, row, quantity.AsActive, g, time.Time{}); ok || most != 0 {
		t.Errorf("of no product: %v", most)
	}
	if most, _, ok := PolymerCeiling(s, s.Chemicals[0], quantity.AsAlum14, g, time.Time{}); ok {
		t.Errorf("of alum: %v", most)
	}
	// In a loop what stays builds up, in the water that they live in, so less may go in; how much less follows from the flow, which may be missing: then a tenth
	// of what kills half, of one pass.
	once, _, _ := PolymerCeiling(s, s.Chemicals[1], quantity.AsActive, g, time.Time{})
	s.Place.Passes.V, s.Water.System, s.Water.Exchange = site.Recirculating, quantity.Some[quantity.Volume](24000), quantity.Some[quantity.Fraction](0.1)
	loop, _, _ := PolymerCeiling(s, s.Chemicals[1], quantity.AsActive, g, time.Time{})
	s.Flow.Average.OK, s.Flow.ByHour = false, [24]quantity.Known[quantity.Flow]{}
	unknown, _, _ := PolymerCeiling(s, s.Chemicals[1], quantity.AsActive, g, time.Time{})
	if loop <= 0 || loop >= unknown/2 || math.Abs(float64(unknown/once)-0.2) > 1e-9 {
		t.Errorf("once through %v, in a loop %v, in one of unknown flow %v", once, loop, unknown)
	}
}

// TestRunningOfASite: what the cautions and the account see of a class of water.
func TestRunningOfASite(t *testing.T) {
	s := site.Site{Chemicals: []site.Chemical{{Name: quantity.Some("a"), Capture: quantity.Some[quantity.Fraction](0.5), Monomer: quantity.Some[quantity.Fraction](0.001)}, {Name: quantity.Some("b"), Capture: quantity.Some[quantity.Fraction](0.7)}}}
	s.Water.Turbidity, s.Water.StormTurbidity = ntu(20), ntu(200)
	f := FeedInput{Name: "b", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsAlum14}, Storm: mgL(25), Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.3)}}
	r := Running{Site: s, Flow: 3, Hours: 10, Feeds: []FeedInput{f}}
	for class, want := range map[string][2]float64{site.UsualWater: {20, 10}, site.ClearWater: {20, 10}, site.StormWater: {200, 25}} {
		c := r.situation(class)
		if c.Water.Turbidity.V != want[0] || float64(c.Doses[0].Dose.Concentration) != want[1] || c.Doses[0].Dose.Basis != quantity.AsAlum14 || c.Doses[0].Capture.V != 0.7 || c.Doses[0].Monomer.OK ||
			!c.Flow.OK || c.Flow.V != 3 || c.Hours != 10 {
			t.Errorf("%s: %+v", class, c)
		}
	}
	if rec := r.Record(site.UsualWater); rec.Treated != 30000 || rec.Running != 10 || len(rec.Chemicals) != 1 { // 3 m3/h over 10 h
		t.Errorf("%+v", rec)
	}
	r.Flow = 0.5
	if c := r.situation(site.UsualWater); !c.Flow.OK {
		t.Error("half a cubic metre an hour is a flow")
	}
	if r.Flow = 0; r.situation(site.UsualWater).Flow.OK {
		t.Error("no flow is known")
	}
}

// TestAcceptedAndAnimals: a name in which the species stands is left as it is, one in
// which it does not has it added; each thing has the cell of its row, else of its name.
func TestAcceptedAndAnimals(t *testing.T) {
	s := site.Site{Animals: []site.Animal{
		{Name: known("Trout of the lower tank", "N1"), Species: known("trout", "")}, {Name: known("lower tank", "N2"), Species: known("rainbow trout", ""), At: note.Place{Cell: "R2"}}, {Name: known("carp", "N3")},
	}, Accepted: []site.Acceptance{{Code: known("a", "C1"), Chemical: known("b", ""), By: known("c", ""), Reason: known("d", "")}, {Code: known("a", "C1"), At: note.Place{Cell: "R1"}}}}
	s.Place.Passes = quantity.Some(site.Batch)
	var batch caution.Situation
	if Surroundings(&batch, s, time.Time{}); batch.Loop != nil { // its water does not come round day after day
		t.Errorf("a batch is a loop: %+v", batch.Loop)
	}
	if !batch.Pond || batch.Piped {
		t.Errorf("a pond treated whole: %+v", batch)
	}
	for what, through := range map[string]func(*site.Site){ // a tank whose water goes round through a unit
		"what a pass takes out": func(s *site.Site) { s.Solids.Capture = quantity.Some[quantity.Fraction](0.8) },
		"a pump":                func(s *site.Site) { s.Chemicals = []site.Chemical{{Pump: quantity.Some("p")}} },
	} {
		tank := s
		through(&tank)
		var c caution.Situation
		if Surroundings(&c, tank, time.Time{}); !c.Pond || !c.Piped {
			t.Errorf("%s: %+v", what, c)
		}
	}
	s.Place.Passes = quantity.Some(site.Recirculating)
	s.Water.System, s.Water.Turbidity = quantity.Some[quantity.Volume](24000), ntu(7)
	var c caution.Situation
	Surroundings(&c, s, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC))
	var names, cells []string
	for _, a := range c.Stock {
		names, cells = append(names, a.Name), append(cells, a.At.Cell)
	}
	for _, a := range c.Accepted {
		cells = append(cells, a.At.Cell)
	}
	if strings.Join(names, "; ") != "Trout of the lower tank; lower tank (rainbow trout); carp" || strings.Join(cells, " ") != "N1 R2 N3 C1 R1" {
		t.Errorf("%q at %q", names, cells)
	}
	if a := c.Accepted[0]; a.Code != "a" || a.Chemical != "b" || a.By != "c" || a.Why != "d" || c.Today.Year() != 2026 {
		t.Errorf("%+v", a)
	}
	if c.Loop == nil || c.Loop.Volume != 24000 || c.Loop.Exchange.OK || c.Water.Turbidity.V != 7 {
		t.Errorf("%+v", c.Loop)
	}
	if c.Stock[1].Profile.ID == "" || c.Stock[1].Profile.Group != "salmonid" {
		t.Errorf("%+v", c.Stock[1].Profile)
	}
	s.Water.Exchange = quantity.Some[quantity.Fraction](0.1) // 2.4 m3 in 24 h
	Surroundings(&c, s, time.Time{})
	near(t, "new water, m3/h", float64(c.Loop.Exchange.V), 0.1, 1e-12)
}

// TestBuyingOfASite: what is kept beside each other is judged; a chemical that cannot
// be made out is left out.
func TestBuyingOfASite(t *testing.T) {
	of := func(stored string, ids ...string) string {
		s := site.Site{Place: site.Place{Stored: quantity.Some(stored)}}
		for _, id := range ids {
			s.Chemicals = append(s.Chemicals, site.Chemical{Name: quantity.Some(id), Product: quantity.Some(id), Basis: quantity.Some(quantity.AsProduct)})
		}
		return codes(Buying(s, products))
	}
	var list []product.Product
	for _, id := range []string{"alum-liquid", "caustic-25"} {
		p, err := products.Find(id)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
	want := codes(caution.Buying(list, []string{"bleach"}))
	if got := of("bleach", "alum-liquid", "no such", "caustic-25"); got != want || want == "" || got == of("", "no such") {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestNothingToSetAPumpBy: a withheld plan has no notes of rates or knobs.
func TestNothingToSetAPumpBy(t *testing.T) {
	l := note.List{
		note.New(note.Caution, "pump-too-small", "a"), note.New(note.Caution, "a", "12 mL/min"), note.New(note.Caution, "b", "c").Do("another setting"), note.New(note.Caution, "knob-coarse", "d"),
		note.New(note.Caution, "kept", "e").Do("f"), note.New(note.Caution, "outside-drawdown", "g"), note.New(note.Caution, "the-pump-", "h"),
	}
	if got := codes(notOfPumps(l)); got != "kept the-pump-" {
		t.Errorf("%q", got)
	}
	p := Plan{Feeds: []Feed{{Notes: l, Working: []Working{{}}, Rate: 3}}, Notes: l, Tasks: []Task{{}}, Hours: []HourRow{{}}}
	w := p.Withheld()
	if codes(w.Notes) != "kept the-pump-" || codes(w.Feeds[0].Notes) != "kept the-pump-" || w.Feeds[0].Working != nil || p.Feeds[0].Rate != 3 {
		t.Errorf("%+v", w)
	}
}

// TestClearWaterWithheld: a stop against the dose of clear water takes that dose out
// of the plan and leaves the others.
func TestClearWaterWithheld(t *testing.T) {
	s := exampleSite(t, nil)
	s.Chemicals[1].Product, s.Chemicals[1].Basis = quantity.Some("cpam-dry"), quantity.Some(quantity.AsActive)
	s.Chemicals[1].Dose, s.Chemicals[1].DoseLow.OK, s.Chemicals[1].DoseHigh.OK = mgL(0.01), false, false
	s.Chemicals[1].Clear, s.Chemicals[1].Storm = mgL(25), mgL(0.011)
	p := planOf(t, s, Given{Catalogue: products})
	q, r := p.Reviewed(s, time.Time{})
	if r.Stopped || strings.Join(r.Withheld, " ") != site.ClearWater || q.Feeds[1].Clear.OK || !q.Feeds[1].Storm.OK || !p.Feeds[1].Clear.OK {
		t.Errorf("withheld %q: %+v", r.Withheld, q.Feeds[1].FeedInput)
	}
}

// TestPricesOfASite: found whatever the letters and spaces; none else.
func TestPricesOfASite(t *testing.T) {
	s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(" " + strings.ToUpper(site.PriceElectricity) + " "), Price: quantity.Some(quantity.Price{Amount: 3})}, {Chemical: quantity.Some(site.PriceElectricity), Price: quantity.Some(quantity.Price{Amount: 4})}}}
	if priceOf(s, site.PriceElectricity).Amount != 3 || priceOf(s, site.PriceWater).Amount != 0 {
		t.Errorf("%v, %v", priceOf(s, site.PriceElectricity), priceOf(s, site.PriceWater))
	}
}

// TestRulesOfAPlace: those it names hold; a site in US units that names none has the US ones.
func TestRulesOfAPlace(t *testing.T) {
	for _, x := range []struct{ units, named, want string }{
		{"", "", ""}, {site.UnitsMetric, "", ""}, {site.UnitsUS, "", "US"}, {site.UnitsUS, "WHO", "WHO"}, {"", "EU", "EU"},
	} {
		p := site.Place{Units: quantity.Known[string]{V: x.units, OK: x.units != ""}, Rules: quantity.Known[string]{V: x.named, OK: x.named != ""}}
		if got := rulesOf(p); got != x.want {
			t.Errorf("%+v has the rules %q", x, got)
		}
	}
}
