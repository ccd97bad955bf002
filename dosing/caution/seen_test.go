package caution

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// How far a figure lies outside two bounds: above them more than nothing, below them less, within them nothing.
func TestOutBy(t *testing.T) {
	for v, want := range map[float64]float64{5: -1, 6: 0, 7.5: 0, 9: 0, 10: 1} {
		if got := outBy(v, 6, 9); got != want {
			t.Errorf("%g is out by %g, want %g", v, got, want)
		}
	}
}

// A limit is called borrowed where it is of other animals, and where it is no figure of an animal at all, such as the discharge limit that anionic polymer is held to
// before carp, of which its own figure is known; polyDADMAC before trout goes by trout's.
func TestWhatIsCalledBorrowed(t *testing.T) {
	for _, x := range []struct {
		id, species string
		want        bool
	}{{"pdadmac", "rainbow trout", false}, {"pdadmac", "tilapia", true}, {"apam-dry", "common carp", true}, {"apam-dry", "tilapia", true}, {"moringa", "tilapia", false}} {
		for _, s := range []Situation{{}, {Pond: true}} {
			s.Stock = stock(t, x.species)
			if l, ok := s.PolymerLimits("floc", chemical(t, x.id)); !ok || l.Borrowed != x.want {
				t.Errorf("%s with %s: borrowed %v", x.id, x.species, l.Borrowed)
			}
		}
	}
}

// What a product does to the alkalinity that nobody knows is asked as long as the jar told only one of the two that would have it in it.
func TestJarThatToldHalf(t *testing.T) {
	for _, x := range []struct{ ph, used, asked bool }{{false, false, true}, {true, false, true}, {false, true, true}, {true, true, false}} {
		s := Situation{Purpose: Animals, Water: beck(), Stock: stock(t, "tilapia"), Doses: []Dose{{Name: "own", Product: product.Product{Name: "own"}, Dose: quantity.Dose{Concentration: 5, Basis: quantity.AsProduct}}}}
		s.Water.JarPH, s.Water.JarAlkalinityUsed = quantity.Known[quantity.PH]{V: 7, OK: x.ph}, quantity.Known[quantity.Alkalinity]{V: 3, OK: x.used}
		if _, asked := codes(Review(s).Notes)["acid-left-out"]; asked != x.asked {
			t.Errorf("%+v: asked %v", x, asked)
		}
	}
}

// A moment of a run is told with its feed only once it has run, and fed.
func TestMomentOfARun(t *testing.T) {
	for _, x := range []struct {
		since quantity.Known[quantity.Time]
		fed   quantity.Alkalinity
		want  string
	}{{quantity.Known[quantity.Time]{}, 5, ""}, {known(quantity.Time(0)), 5, " as the run starts"}, {known(quantity.Time(6)), 0, " after 6 h of the run"}, {known(quantity.Time(0.5)), 5, " and its feed"}, {known(quantity.Time(6)), 5, " after 6 h of the run and its feed"}} {
		v := &reviewer{s: Situation{Since: x.since, Nitrified: x.fed}}
		if got := v.moment().String(); !strings.HasSuffix(got, x.want) || (got == "") != (x.want == "") || strings.Contains(got, "feed") != strings.Contains(x.want, "feed") {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

// A carrier that uses up just as much of a coagulant's acidity as may be is let be: by less than a part in a thousand million nothing is decided.
func TestCarrierAtItsLimit(t *testing.T) {
	d := dose(t, "alum-liquid", 20, quantity.AsAlum14)
	d.Carrier = 0.1
	used, err := d.Product.AlkalinityUsed(d.Dose)
	if err != nil {
		t.Fatal(err)
	}
	for over, fires := range map[float64]bool{-1e-6: false, 5e-10: false, 1e-6: true} {
		raw := quantity.Alkalinity(RuleNamed("carrier-precipitates").Limit / 100 * float64(used) * 10 / 0.1 * (1 + over))
		f := Review(Situation{Water: Water{Alkalinity: known(raw)}, Flow: known(quantity.Flow(10)), Doses: []Dose{d}})
		if _, said := codes(f.Notes)["carrier-precipitates"]; said != fires {
			t.Errorf("%g over the limit: said %v", over, said)
		}
	}
}
