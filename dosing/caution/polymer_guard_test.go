package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestPolymerOfNoStrength: of a polymer whose strength nobody knows all of the dose counts, and an LC50 of 10 mg/L of product found in a
// day counts as a quarter of it, of which a tenth stops: 0.25. In 96 h it counts as it is.
func TestPolymerOfNoStrength(t *testing.T) {
	p := product.Product{Name: "floc", Group: product.Polymer, Charge: product.Cationic, Basis: quantity.AsActive}
	for hours, want := range map[quantity.Time]struct {
		stop float64
		told string
	}{24: {0.25, "80 times what killed half of tilapia in your own test (10 mg/L of product in 24 h, which counts as 2.5 mg/L, lowered to 24 of 96 h, as what lives may yet die); a tenth of it"}, 96: {1, "20 times what killed half of tilapia in your own test (10 mg/L of product); a tenth of it"}} {
		a := stock(t, "tilapia")
		a[0].Tests = []Bioassay{{"floc", 10, hours, 0}}
		if l, ok := PolymerLimits("floc", p, a); !ok || math.Abs(float64(l.Stop)-want.stop) > 1e-9 {
			t.Errorf("%v: %v", hours, l.Stop)
		}
		d := Dose{Product: p, Dose: quantity.Dose{Concentration: 200, Basis: quantity.AsProduct}}
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: a})
		says(t, f, "polymer-tested-stop", want.told)
		if r := f.Residuals[0]; r.As != "product" || r.Worst != 200 {
			t.Errorf("%+v", r)
		}
	}
}

// TestClearWater: polymer that binds to floc stays in water of under 5 NTU; anionic polymer is told nothing of, nor water that nobody
// measured.
func TestClearWater(t *testing.T) {
	for _, x := range []struct {
		id   string
		ntu  quantity.Known[float64]
		says bool
	}{
		{"cpam-dry", known(4.9), true}, {"cpam-dry", known(RuleNamed("clear-water").Limit), false}, {"cpam-dry", known(60.0), false},
		{"cpam-dry", quantity.Known[float64]{}, false},
		{"apam-dry", known(0.5), false}, {"chitosan", known(0.5), true},
	} {
		s := Situation{Water: with(beck(), func(w *Water) { w.Turbidity = x.ntu }), Doses: []Dose{dose(t, x.id, 0.01, quantity.AsActive)}}
		if _, ok := said(s)["clear-water"]; ok != x.says {
			t.Errorf("%s in %v NTU: %v", x.id, x.ntu, ok)
		}
	}
}

// TestWhatStaysInALoop: something measured makes what is expected known: a capture, a residual or a half-life; without any nobody knows.
func TestWhatStaysInALoop(t *testing.T) {
	for _, x := range []struct {
		what   string
		change func(*Dose)
		known  bool
	}{
		{"nothing", func(*Dose) {}, false}, {"capture", func(d *Dose) { d.Capture = known(quantity.Fraction(0.9)) }, true},
		{"residual", func(d *Dose) { d.Residual = known(quantity.Concentration(0.01)) }, true}, {"half-life",
			func(d *Dose) { d.HalfLife = known(quantity.Time(12)) }, true},
	} {
		d := dose(t, "apam-dry", 0.05, quantity.AsActive)
		x.change(&d)
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{d}, Stock: stock(t, "rainbow trout"),
			Flow: known(quantity.Flow(10)),
			Loop: &Loop{Volume: 20000, Exchange: known(quantity.Flow(0.5))}})
		if r := f.Residuals[0]; r.Expected.OK != x.known || r.Worst <= 0 {
			t.Errorf("%s: %+v", x.what, r)
		}
	}
}

// TestAmmoniaOfALoopInWords: 10 mg/L of ammonium alum of 99 % bring 9.9 x 14.007/453.32 = 0.3059 mg/L of nitrogen at a pass, in 12 passes
// of the first day 3.671, which takes 2 x 50.0435/14.007 = 7.1455 times that of alkalinity, 26.23.
func TestAmmoniaOfALoopInWords(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: Water{}, Doses: []Dose{dose(t, "ammonium-alum", 10, quantity.AsProduct)},
		Stock: stock(t, "rainbow trout"),
		Flow:  known(quantity.Flow(10)), Loop: &Loop{Volume: 20000}})
	says(t, f, "ammonia-dosed",
		"which comes to 3.67 in the first day of a loop where none is nitrified, and takes 26.2 mg/L CaCO3 of alkalinity where all is")
	for _, n := range f.Notes {
		if n.Code == "ammonia-dosed" && !strings.Contains(n.Message, "0.306 mg/L") {
			t.Error(n.Message)
		}
	}
}
