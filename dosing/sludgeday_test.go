package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// sludgeDay is the line of a site whose plan treats 2,400 m3 a day with 4 mg/L of alum 14-hydrate.
func sludgeDay(t *testing.T, change func(*site.Site)) *SludgeDay {
	t.Helper()
	s := site.Site{Flow: site.Flow{Average: quantity.Some(quantity.Flow(100))}}
	s.Place.Purpose = quantity.Some(site.ForAnimals)
	s.Water.Turbidity = quantity.Some(quantity.Cloudiness(20))
	s.Chemicals = []site.Chemical{{Name: quantity.Some("alum"), Product: quantity.Some("alum-liquid"), Dose: quantity.Some(quantity.Concentration(4)), Basis: quantity.Some(quantity.AsAlum14)}}
	s.Animals = []site.Animal{{Name: quantity.Some("trout"), Species: quantity.Some("rainbow trout"), Reached: quantity.Some(site.ReachedAlways)}}
	s.Sludge = site.Sludge{Volume: quantity.Some(quantity.Flow(40.0 / 24)), Solids: quantity.Some(quantity.Concentration(1500)), Polymer: quantity.Some("cpam-dry"),
		Dose: quantity.Some(site.SludgeDose{InSludge: 6}), Bag: quantity.Some(quantity.Volume(8000)), Returns: quantity.Some(true),
		Land: quantity.Some(quantity.Area(60000)), Nitrogen: quantity.Some(quantity.Fraction(0.04))}
	change(&s)
	g := Given{Catalogue: product.Default()}
	in, err := FromSite(s, g)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p.Sludge(s, p.Solids(s), g.Catalogue)
}

// TestSludgeOfASite: 40 m3 with 1,500 mg/L are 60 kg dry; 6 mg/L are 4.0 kg to the tonne, by which 4 kg/t are 6 mg/L. Of 60 kg 3 kg drain off, with 120 g of N, 1.25 mg/L of
// 2,400 m3, with up to 240 g of polymer, 0.1 mg/L. 57 kg with 4 % N on 6 ha bring 2.28 kg a day there; 4 mg/L of alum 14-hydrate,
// 9.08 % Al, are 0.872 kg of Al, of which 95 % is kept.
func TestSludgeOfASite(t *testing.T) {
	for _, change := range []func(*site.Site){func(*site.Site) {}, func(s *site.Site) { s.Sludge.Dose = quantity.Some(site.SludgeDose{PerDry: 0.004}) }} {
		x := sludgeDay(t, change)
		for what, v := range map[string][2]float64{"dry": {float64(x.Dry()), 60}, "per tonne": {float64(x.PerDry()) * 1000, 4}, "dose": {float64(x.Dose), 6}, "brings": {float64(x.Brings), 1.25},
			"adds": {float64(x.Adds), 0.1}, "N": {float64(x.Nitrogen.V), 2.28}, "N back": {float64(x.ReturnedN.V), 0.12}, "Al": {float64(x.Al.V), 4 * 2.4 * 2 * 26.982 / 594.4 * 0.95}} {
			if math.Abs(v[0]-v[1]) > 1e-3*v[1] {
				t.Errorf("%s is %g, want %g", what, v[0], v[1])
			}
		}
		if codes(x.Notes) != "sludge-polymer-returns" || x.Sodium.OK || x.Phosphorus.OK {
			t.Errorf("%v %+v", x.Notes, x.Sodium)
		}
	}
}

// TestSludgeSpeaks: what is wrong with a line, and that an ordinary one is quiet.
func TestSludgeSpeaks(t *testing.T) {
	for what, x := range map[string]struct {
		change func(*site.Site)
		want   string
	}{
		// 60 kg of 2,400 m3 are 25 mg/L; a hundred times that, and more sludge than there is water, are no sludge of it
		"water that nobody read": {func(s *site.Site) { s.Water.Turbidity.OK, s.Sludge.Returns.V = false, false }, "sludge-unheld"},
		"1,150 mg/L of such water": {func(s *site.Site) {
			s.Water.Turbidity.OK, s.Sludge.Returns.V, s.Sludge.Land.V, s.Sludge.Solids.V = false, false, 0, 69000
		}, "sludge-too-much"},
		"and 950 mg/L": {func(s *site.Site) {
			s.Water.Turbidity.OK, s.Sludge.Returns.V, s.Sludge.Land.V, s.Sludge.Solids.V = false, false, 0, 57000
		}, "sludge-unheld"},
		"more sludge than water": {func(s *site.Site) {
			s.Water.Turbidity.OK, s.Sludge.Returns.V, s.Sludge.Land.V, s.Sludge.Volume.V, s.Sludge.Solids.V = false, false, 0, 101, 50
		}, "sludge-too-much"},
		"no animal that is named": {func(s *site.Site) { s.Animals = nil }, "sludge-polymer-unjudged"},
		"filtrate to the drain":   {func(s *site.Site) { s.Sludge.Returns = quantity.Some(false) }, ""},
		"little polymer":          {func(s *site.Site) { s.Sludge.Dose = quantity.Some(site.SludgeDose{InSludge: 0.5}) }, ""},
		"a polymer nobody knows":  {func(s *site.Site) { s.Sludge.Polymer = quantity.Some("blue stuff") }, "sludge-polymer-unknown"},
		"a row in other letters": {func(s *site.Site) {
			s.Chemicals = append(s.Chemicals, site.Chemical{Name: quantity.Some("Cake polymer"), Product: quantity.Some("cpam-dry"), Dose: quantity.Some(quantity.Concentration(0)), Basis: quantity.Some(quantity.AsProduct)})
			s.Sludge.Polymer = quantity.Some("cake POLYMER")
		}, "sludge-polymer-returns"},
		"salt": {func(s *site.Site) {
			s.Water.Salinity, s.Sludge.Returns = quantity.Some(quantity.Salinity(20)), quantity.Some(false)
		}, "sludge-saline"},
		"small beds": {func(s *site.Site) {
			s.Sludge.Bed, s.Sludge.Returns = quantity.Some(quantity.Area(300)), quantity.Some(false)
		}, "beds-too-small"},
		"half a line": {func(s *site.Site) { s.Sludge.Solids = quantity.Known[quantity.Concentration]{} }, "sludge-unknown"},
		"little land": {func(s *site.Site) { // 2.28 kg/d x 365 / 2 ha = 416 kg/ha a year
			s.Sludge.Land, s.Sludge.Returns = quantity.Some(quantity.Area(20000)), quantity.Some(false)
		}, "sludge-nitrogen"},
		"far less than the unit takes out": {func(s *site.Site) {
			s.Sludge.Volume, s.Sludge.Returns = quantity.Some(quantity.Flow(2.0/24)), quantity.Some(false)
		}, "sludge-apart"},
		"far more": {func(s *site.Site) {
			s.Sludge.Solids, s.Sludge.Returns, s.Sludge.Nitrogen = quantity.Some(quantity.Concentration(15000)), quantity.Some(false), quantity.Known[quantity.Fraction]{}
		}, "sludge-apart"},
		"of the plan's": {func(s *site.Site) {
			s.Sludge = site.Sludge{Bag: quantity.Some(quantity.Volume(8000))}
		}, ""},
	} {
		if got := sludgeDay(t, x.change); codes(got.Notes) != x.want {
			t.Errorf("%s: %v, want %s", what, got.Notes, x.want)
		}
	}
	// of 4 mg/L of alum 14-hydrate in 2,400 m3, 0.872 kg of Al, a sludge that holds 3 kg of the day's solids takes its share along
	part := sludgeDay(t, func(s *site.Site) { s.Sludge.Volume = quantity.Some(quantity.Flow(2.0 / 24)) })
	if want := 4 * 2.4 * 2 * 26.982 / 594.4 * 0.95 * float64(part.Part); part.Part <= 0 || part.Part > 0.2 || math.Abs(float64(part.Al.V)-want) > 1e-3*want {
		t.Errorf("%v of the solids, %v of aluminium, want %v", part.Part, part.Al, want)
	}
	if x := sludgeDay(t, func(s *site.Site) { s.Sludge = site.Sludge{} }); x != nil {
		t.Errorf("no line: %+v", x)
	}
	x := sludgeDay(t, func(s *site.Site) { s.Water.Salinity = quantity.Some(quantity.Salinity(20)) })
	if want := (475 - 57) * 0.020 * 10.784 / 35.165; math.Abs(float64(x.Sodium.V)-want) > 1e-6 { // the water in 475 L of cake
		t.Errorf("sodium %v, want %g", x.Sodium, want)
	}
}

// TestNitrogenByWhoseRules: the figure is the European Union's (Council Directive 91/676/EEC, Annex III), and says so; to a site in the US
// the rule there is told, the agronomic rate (40 CFR 503.14 (d)); both from memory.
func TestNitrogenByWhoseRules(t *testing.T) {
	for _, x := range []struct {
		units, rules string
		us           bool
	}{{"", "", false}, {site.UnitsUS, "", true}, {site.UnitsUS, "EU", false}, {"", site.RulesUS, true}} {
		day := sludgeDay(t, func(s *site.Site) {
			s.Sludge.Land, s.Sludge.Returns = quantity.Some(quantity.Area(20000)), quantity.Some(false)
			s.Place.Units, s.Place.Rules = quantity.Known[string]{V: x.units, OK: x.units != ""}, quantity.Known[string]{V: x.rules, OK: x.rules != ""}
		})
		if len(day.Notes) != 1 || day.Notes[0].Code != "sludge-nitrogen" {
			t.Fatalf("%+v: %v", x, day.Notes)
		}
		n := day.Notes[0]
		if us := strings.Contains(n.Message, "agronomic rate") && strings.Contains(n.Source, "40 CFR 503.14 (d)"); us != x.us {
			t.Errorf("%+v: %s [%s]", x, n.Message, n.Source)
		}
		if !strings.Contains(n.Source, "170 kg/ha of the European Union: Council Directive 91/676/EEC") {
			t.Errorf("it does not say whose the figure is: %s", n.Source)
		}
	}
}

// TestPolymerOfTheFiltrateBuildsUp: 240 g a day of product, 90 % of it active, that go round a loop of 200 m3 come, washed out by 10 % of new water a day, to
// 216 g / 20 m3 = 10.8 mg/L and by 50 % to 2.16 mg/L, at any flow, as they would if a pump gave them; once through they are 0.09 mg/L.
// Where the pump gives 0.05 mg/L as product of it too, 120 g a day, it is half as much again.
func TestPolymerOfTheFiltrateBuildsUp(t *testing.T) {
	loop := func(newWater float64, more ...func(*site.Site)) func(*site.Site) {
		return func(s *site.Site) {
			s.Place.Passes = quantity.Some(site.Recirculating)
			s.Water.System, s.Water.Exchange = quantity.Some(quantity.Volume(200000)), quantity.Some(quantity.Fraction(newWater))
			for _, f := range more {
				f(s)
			}
		}
	}
	pumped := func(dose float64) func(*site.Site) {
		return func(s *site.Site) {
			s.Chemicals = append(s.Chemicals, site.Chemical{Name: quantity.Some("cpam-dry"), Product: quantity.Some("cpam-dry"), Dose: quantity.Some(quantity.Concentration(dose)), Basis: quantity.Some(quantity.AsProduct)})
		}
	}
	const strength = 0.9
	for what, x := range map[string]struct {
		change func(*site.Site)
		want   float64
	}{
		"once through": {func(*site.Site) {}, 0.1 * strength}, "a tenth of new water": {loop(0.1), 12 * strength}, "half new water": {loop(0.5), 2.4 * strength},
		"of a pump too":       {loop(0.1, pumped(0.05)), 18 * strength},
		"of rather less flow": {loop(0.1, func(s *site.Site) { s.Flow.Average = quantity.Some(quantity.Flow(60)) }), 12 * strength},
	} {
		if got := sludgeDay(t, x.change).Left; got == nil || math.Abs(float64(got.Worst)-x.want) > 0.02*x.want {
			t.Errorf("%s: %+v, want %g", what, got, x.want)
		}
	}
	if x := sludgeDay(t, loop(0.1)); codes(x.Notes) != "sludge-polymer-returns" || !strings.Contains(x.Notes[0].Message, "mg/L in the loop in the long run") || x.Left.Level != note.Caution {
		t.Errorf("%v %+v", x.Notes, x.Left)
	}
}

// TestSludgePolymerIsBought: 240 g a day in 2,400 m3 are 0.1 mg/L of product, whatever it is called; one that the water is dosed with too has a name of its own and the same goods.
func TestSludgePolymerIsBought(t *testing.T) {
	x := sludgeDay(t, func(*site.Site) {})
	s := site.Site{}
	f, c, ok := x.Bought(s, 2.4e6)
	if !ok || math.Abs(float64(f.Dose.Concentration)-0.1) > 1e-12 || f.Dose.Basis != quantity.AsProduct || f.Name != "cpam-dry" || c.Name != f.Name || c.Floc != 0 || c.AlkalinityUse != 0 {
		t.Errorf("%+v %+v %v", f, c, ok)
	}
	s.Chemicals = []site.Chemical{{Name: quantity.Some("CPAM-dry")}}
	if f, _, _ := x.Bought(s, 2.4e6); f.Name != "cpam-dry for the sludge" || GoodsOf(f.Name) != "cpam-dry" {
		t.Errorf("%q", f.Name)
	}
	none := sludgeDay(t, func(s *site.Site) { s.Sludge.Dose = quantity.Known[site.SludgeDose]{} })
	if _, _, ok := none.Bought(site.Site{}, 2.4e6); ok {
		t.Error("bought though none is fed")
	}
	if _, _, ok := (*SludgeDay)(nil).Bought(site.Site{}, 2.4e6); ok {
		t.Error("bought without a line")
	}
}

// TestDisposalOfCake: a kg of dry solids in cake of 12 % fills 8.33 L, 0.333 at 40 a m3; water that skimming carries over drains off. Without bag or bed the float goes as it is.
func TestDisposalOfCake(t *testing.T) {
	s := site.Site{Prices: []site.Price{{Chemical: quantity.Some(site.PriceDisposal), Price: quantity.Some(quantity.Price{Amount: 40, Currency: "EUR", Per: "m3"})}}}
	s.Solids.FloatSolids = quantity.Some(quantity.Fraction(0.02))
	if d := DisposalOf(s); math.Abs(d.PerKgDry()-2) > 1e-9 || math.Abs(d.PerLitre()-0.04) > 1e-12 {
		t.Errorf("float: %v %v", d.PerKgDry(), d.PerLitre())
	}
	s.Sludge.Bag = quantity.Some(quantity.Volume(8000))
	if d := DisposalOf(s); math.Abs(d.PerKgDry()-0.04/0.12) > 1e-9 || d.PerLitre() != 0 || d.Volume(1) != 50 || d.Drained().DrySolids != 0.12 {
		t.Errorf("cake: %+v %v %v", d, d.PerKgDry(), d.PerLitre())
	}
}

// TestSludgePolymerIsMadeUp: 4 m3 with 6 mg/L take 24 g; the catalogue's cationic powder is made up to 1 to 5 g/L, in 24 to 4.8 L. What nobody knows is not made up.
func TestSludgePolymerIsMadeUp(t *testing.T) {
	x := sludgeDay(t, func(*site.Site) {})
	kg := float64(x.Line.Polymer())
	if least, most, ok := x.MadeUp(); !ok || math.Abs(float64(least)-kg*1000/5) > 1e-9 || math.Abs(float64(most)-kg*1000) > 1e-9 || kg <= 0 {
		t.Errorf("%v to %v of %v kg, %t", least, most, kg, ok)
	}
	x = sludgeDay(t, func(s *site.Site) { s.Sludge.Polymer = quantity.Some("blue stuff") })
	if least, most, ok := x.MadeUp(); ok || least != 0 || most != 0 {
		t.Errorf("%v to %v", least, most)
	}
}
