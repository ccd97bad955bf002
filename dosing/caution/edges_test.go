package caution

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func known[T any](v T) quantity.Known[T] { return quantity.Some(v) }

// jar is what the jar of the dose was read to have: a pH, and the alkalinity it lost.
func jar(ph, lost float64) func(*Water) {
	return func(w *Water) {
		w.JarPH, w.JarAlkalinityUsed = known(quantity.PH(ph)), known(quantity.Alkalinity(lost))
	}
}

func salinity(v float64) func(*Water) {
	return func(w *Water) { w.Salinity = known(quantity.Salinity(v)) }
}

// carried is a chemical that a m3/h of raw water brings to its point.
func carried(t *testing.T, id string, mgL float64) Dose {
	d := dose(t, id, mgL, quantity.AsProduct)
	d.Carrier = 1
	return d
}

// consented is wastewater of a pH and an iron as read, which a permit lets go at pH 6 to 9 and 2 mg/L.
func consented(t *testing.T, ph, fe float64) Situation {
	return Situation{Purpose: Wastewater, Doses: []Dose{dose(t, "ferric-chloride", 10, quantity.AsFeCl3)},
		Consent: Consent{Fe: known(quantity.Concentration(2)), PHLow: known(quantity.PH(6)), PHHigh: known(quantity.PH(9))},
		Water:   water15(7.4, 85, jar(ph, 9), func(w *Water) { w.ResidualFe = known(quantity.Concentration(fe)) })}
}

// TestEdges: each limit of the table from both sides, and each "and" and "or" of its condition with one side missing. What a
// jar was read to have is exact, so a row may stand on the limit itself. Limits are those of rules.txt.
func TestEdges(t *testing.T) {
	trout := stock(t, "rainbow trout")
	own := stock(t, "rainbow trout") // with the site's own range
	own[0].PHLow, own[0].PHHigh = known(quantity.PH(6.5)), known(quantity.PH(8.0))
	alum, soda := dose(t, "alum-liquid", 20, quantity.AsAlum14), dose(t, "soda-ash", 2, quantity.AsNa2CO3)
	caustic, polymer := dose(t, "caustic-50", 3, quantity.AsNaOH), dose(t, "apam-dry", 0.1, quantity.AsActive)
	potash := dose(t, "ammonium-alum", 10, quantity.AsProduct)
	farm := func(w Water, doses ...Dose) Situation {
		return Situation{Purpose: Animals, Water: w, Doses: doses, Stock: trout}
	}
	of := func(p Purpose, stock []Animal, w Water, doses ...Dose) Situation {
		return Situation{Purpose: p, Water: w, Doses: doses, Stock: stock}
	}
	iron := func(change ...func(*Water)) Situation {
		return farm(water15(7.4, 85, change...), dose(t, "ferric-chloride", 20, quantity.AsFeCl3))
	}
	tight := 1 + 1e-6
	chronic := func(ph quantity.PH) float64 { // total ammonia, two digits as published
		_, c := water.AmmoniaCriteria(ph, 15)
		return quantity.RoundSig(float64(c), 2)
	}
	for _, x := range []struct {
		name      string
		s         Situation
		says, not string
	}{
		// alkalinity: 20 left is enough, and so is less where the dose takes less than 2 and no more than is left; 50 (but for 1 %) is no caution
		{"20 left", farm(water15(7.4, 60, jar(7, 40)), alum), "alkalinity-low", "alkalinity-gone alkalinity-stands"},
		{"19.9 left of 59.9", farm(water15(7.4, 59.9, jar(7, 40)), alum), "alkalinity-gone", "alkalinity-low alkalinity-stands"},
		{"15 left of 30", farm(water15(7.4, 30, jar(7, 15)), alum), "alkalinity-gone", "alkalinity-low"},
		{"as much left as taken", farm(water15(7.4, 3.8, jar(7, 1.9)), alum), "", "alkalinity-gone"},
		{"a little less left than taken", farm(water15(7.4, 3.7, jar(7, 1.9)), alum), "alkalinity-gone", ""},
		{"18 left of 20", farm(water15(7.4, 20, jar(7, 2)), alum), "alkalinity-gone", ""},
		{"18.1 left of 20", farm(water15(7.4, 20, jar(7, 1.9)), alum), "alkalinity-stands", "alkalinity-gone"},
		{"less than taken, but 24", farm(water15(7.4, 54, jar(7, 30)), alum), "", "alkalinity-gone"},
		{"49.5 left", farm(water15(7.4, 69.5, jar(7, 20)), alum), "", "alkalinity-low"},
		{"49.4 left", farm(water15(7.4, 69.4, jar(7, 20)), alum), "alkalinity-low", ""},
		{"nothing taken from soft water", farm(water15(7.4, 15), polymer), "", "alkalinity-gone alkalinity-low alkalinity-stands"},
		{"20 without what soda gives", farm(water15(7.4, 40, jar(7, 20)), alum, soda), "", "alkalinity-rests alkalinity-gone"},
		{"19 left of 22, no soda", farm(water15(7.4, 22, jar(7, 3)), alum), "alkalinity-gone", "alkalinity-rests"},
		{"20.8 left of 29, 18.9 without soda", farm(water15(7.4, 29), alum, soda), "alkalinity-rests", "alkalinity-gone"},
		// pH as read: 6 and 9 stop for animals, or where nobody says what the water is for, 9.5 alone in drinking water
		{"pH 6", farm(water15(7.4, 85, jar(6, 20)), alum), "", "ph-too-low ph-beyond"},
		{"pH 5.99", farm(water15(7.4, 85, jar(5.99, 20)), alum), "ph-too-low", "ph-beyond"},
		{"pH 5.99, unsaid", of(Unsaid, nil, water15(7.4, 85, jar(5.99, 20)), alum), "ph-too-low", "ph-beyond"},
		{"pH 5.99, animals not named", of(Animals, nil, water15(7.4, 85, jar(5.99, 20)), alum), "ph-too-low", "ph-beyond"},
		{"pH 5.99, wastewater", of(Wastewater, nil, water15(7.4, 85, jar(5.99, 20)), alum), "ph-beyond", "ph-too-low"},
		{"pH 6, wastewater", of(Wastewater, nil, water15(7.4, 85, jar(6, 20)), alum), "", "ph-too-low ph-beyond"},
		{"pH 5.99, wastewater with trout", of(Wastewater, trout, water15(7.4, 85, jar(5.99, 20)), alum), "ph-too-low", "ph-beyond"},
		{"pH 5.99 of nobody's doing", farm(water15(5.99, 85), polymer), "", "ph-too-low"},
		{"pH 9", farm(water15(7.4, 85, jar(9, -4)), caustic), "", "ph-too-high"},
		{"pH 9.01", farm(water15(7.4, 85, jar(9.01, -4)), caustic), "ph-too-high", "ph-beyond"},
		{"pH 9.01 of nobody's doing", farm(water15(9.01, 85), polymer), "", "ph-too-high"},
		{"pH 9.01, unsaid", of(Unsaid, nil, water15(7.4, 85, jar(9.01, -4)), caustic), "ph-too-high", "ph-beyond"},
		{"pH 9.01, wastewater", of(Wastewater, nil, water15(7.4, 85, jar(9.01, -4)), caustic), "ph-beyond", "ph-too-high"},
		{"pH 9, wastewater", of(Wastewater, nil, water15(7.4, 85, jar(9, -4)), caustic), "", "ph-beyond ph-too-high"},
		{"pH 9.5, drinking", of(Drinking, nil, water15(7.4, 85, jar(9.5, -4)), caustic), "ph-beyond", "ph-too-high"},
		{"pH 9.51, drinking", of(Drinking, nil, water15(7.4, 85, jar(9.51, -4)), caustic), "ph-too-high", "ph-beyond"},
		{"pH 9.2, drinking with trout", of(Drinking, trout, water15(7.4, 85, jar(9.2, -4)), caustic), "ph-too-high", "ph-beyond"},
		// the site's own range of 6.5 to 8.0, missed by up to 0.05
		{"pH 6.46", of(Animals, own, water15(7.0, 85, jar(6.46, 20)), alum), "", "ph-outside-range"},
		{"pH 6.44", of(Animals, own, water15(7.0, 85, jar(6.44, 20)), alum), "ph-outside-range", ""},
		{"pH 7.97", of(Animals, own, water15(7.4, 85, jar(7.97, -4)), caustic), "", "ph-outside-range"},
		{"pH 8.04", of(Animals, own, water15(7.4, 85, jar(8.04, -4)), caustic), "", "ph-outside-range"},
		{"pH 8.06", of(Animals, own, water15(7.4, 85, jar(8.06, -4)), caustic), "ph-outside-range", ""},
		// a step of 0.5 and 1.0 in fresh water, 0.2 and 0.7 in salt, which begins at 10 g/kg
		{"step 0.5", farm(water15(7.5, 85, jar(7, 20)), alum), "", "ph-step ph-step-some"},
		{"step 0.51", farm(water15(7.51, 85, jar(7, 20)), alum), "ph-step-some", "ph-step"},
		{"step 1", farm(water15(8, 85, jar(7, 20)), alum), "ph-step-some", "ph-step"},
		{"step 1.02", farm(water15(8.02, 85, jar(7, 20)), alum), "ph-step", "ph-step-some"},
		{"step 0.25 at 9.99 g/kg", farm(water15(7.75, 85, jar(7.5, 20), salinity(9.99)), alum), "",
			"ph-step-sea ph-step-sea-some ph-step-some"},
		{"step 0.25 at 10 g/kg", farm(water15(7.75, 85, jar(7.5, 20), salinity(10)), alum), "ph-step-sea-some", "ph-step-sea ph-step-some"},
		{"step 0.72 at 10 g/kg", farm(water15(8.22, 85, jar(7.5, 20), salinity(10)), alum), "ph-step-sea", "ph-step-sea-some"},
		// where the marine guideline begins, where a meter of salt water is told of
		{"0.99 g/kg", farm(water15(7.4, 85, salinity(0.99)), alum), "sea-meter", "al-marine al-marine-below"},
		{"1 g/kg", farm(water15(7.4, 85, salinity(1)), alum), "sea-meter al-marine-stock", ""},
		{"no salt", farm(water15(7.4, 85, salinity(0)), alum), "", "sea-meter al-marine al-marine-below"},
		// total ammonia in fresh water of which the temperature is known; on the limit it is not above it
		{"ammonia on the criterion", farm(water15(7.4, 85, ammonia(chronic(7.4))), polymer), "", "tan-criterion"},
		{"a millionth more", farm(water15(7.4, 85, ammonia(chronic(7.4)*tight)), polymer), "tan-criterion", ""},
		{"twice that in the sea", farm(water15(7.4, 85, ammonia(2*chronic(7.4)), salinity(20)), polymer), "", "tan-criterion"},
		{"twice that, no temperature", farm(water15(7.4, 85, ammonia(2*chronic(7.4)), func(w *Water) {
			w.Temperature = quantity.Known[quantity.Temperature]{}
		}), polymer), "", "tan-criterion"},
		// a salt that brings ammonia: a caution where animals get it and nobody can tell what it comes to
		{"ammonium alum for nobody's animals", of(Drinking, nil, water15(7.4, 85), potash), "ammonia-brought", "ammonia-dosed"},
		{"ammonium alum, water not known", farm(Water{}, potash), "ammonia-dosed", "ammonia-brought"},
		{"a little ammonium alum, water known", farm(water15(7.0, 85, ammonia(0)), dose(t, "ammonium-alum", 2, quantity.AsProduct)),
			"ammonia-brought", "ammonia-dosed"},
		// metals: the whole dose on the limit of drinking water, and above it
		{"0.2 mg/L Al", of(Drinking, nil, Water{}, dose(t, "alum-liquid", 0.2, quantity.AsAl)), "al-not-measured", "metal-unmeasured"},
		{"0.201 mg/L Al", of(Drinking, nil, Water{}, dose(t, "alum-liquid", 0.201, quantity.AsAl)), "metal-unmeasured", "al-not-measured"},
		{"0.2 mg/L Al in wastewater", of(Wastewater, nil, Water{}, dose(t, "alum-liquid", 5, quantity.AsAl)), "", "metal-unmeasured"},
		// iron by the guideline needs pH and DOC, each by itself is not enough
		{"iron, all known", iron(), "fe-guideline", "fe-general"},
		{"iron, no DOC", iron(func(w *Water) { w.DOC.OK = false }), "fe-general", "fe-guideline"},
		{"iron, DOC of nought", iron(func(w *Water) { w.DOC.V = 0 }), "fe-general", "fe-guideline"},
		{"iron, DOC of 0.7", iron(func(w *Water) { w.DOC.V = 0.7 }), "fe-guideline", "fe-general"},
		{"iron, no pH", iron(func(w *Water) { w.PH.OK = false }), "fe-general", "fe-guideline"},
		{"iron, no water known", iron(func(w *Water) { *w = Water{DOC: w.DOC} }), "fe-general", "fe-guideline"},
		// a jar's residual is held beside a capture where both are known of a loop
		{"jar and capture, no loop", func() Situation { s := prawnLoop(t, 0.05, 0.9); s.Loop = nil; return s }(), "al-marine-stock",
			"capture-beside-jar capture-against-jar"},
		{"capture alone", prawnLoop(t, 0, 0.9), "al-marine", "capture-beside-jar capture-against-jar"},
		{"jar alone", func() Situation { s := prawnLoop(t, 0.05, 0); s.Doses[0].Capture.OK = false; return s }(), "al-marine-stock",
			"capture-beside-jar capture-against-jar"},
		// an animal of the sea, judged as if in fresh water
		{"grouper, salinity not given", of(Animals, stock(t, "grouper"), water15(7.9, 110), polymer), "salinity-unknown", ""},
		{"tilapia, salinity not given", of(Animals, stock(t, "tilapia"), water15(7.9, 110), polymer), "", "salinity-unknown"},
		{"trout, hardness not given", farm(water15(7.4, 85, func(w *Water) { w.Hardness.OK = false }), polymer), "",
			"salinity-unknown hardness-outside"},
		// polymer takes no alkalinity, so a loop has no balance of it
		{"a loop that polymer alone goes into", Situation{Purpose: Animals, Water: beck(), Doses: []Dose{polymer}, Stock: trout,
			Flow: known(quantity.Flow(10)), Loop: &Loop{Volume: 20000}}, "",
			"loop-nitrifies loop-nitrification loop-alkalinity-gone loop-alkalinity-low"},
		// limits at nought are nought: 1.5 mg/L of alum take 0.76 of alkalinity, 0.1 of soda ash give 0.09
		{"a small dose of alum", farm(water15(7.4, 85, jar(5.99, 0.76)), dose(t, "alum-liquid", 1.5, quantity.AsAlum14)), "ph-too-low", ""},
		{"a small dose of soda ash", farm(water15(7.4, 85, jar(9.01, -0.09)), dose(t, "soda-ash", 0.1, quantity.AsNa2CO3)), "ph-too-high",
			""},
		{"polymer at pH 5.9", farm(water15(5.9, 85, jar(5.9, 0)), polymer), "", "ph-too-low"},
		{"polymer at pH 9.3", farm(water15(9.3, 85, jar(9.3, 0)), polymer), "", "ph-too-high"},
		{"little alum into water nobody knows", farm(Water{}, dose(t, "alum-liquid", 1.5, quantity.AsAlum14)), "water-unknown", ""},
		{"polymer into water nobody knows", farm(Water{}, polymer), "", "water-unknown"},
		{"alum into such water for no animals", of(Animals, nil, Water{}, alum), "", "water-unknown"},
		{"salt not given", farm(water15(7.4, 85), alum), "", "sea-meter al-marine al-marine-below ph-step-sea ph-step-sea-some"},
		{"salt of 0.4", farm(water15(7.4, 85, salinity(0.4)), alum), "sea-meter", ""},
		{"acid carried in raw water", Situation{Water: water15(7.4, 85), Flow: known(quantity.Flow(10)), Doses: []Dose{carried(t,
			"sulfuric-acid", 10)}}, "", "carrier-precipitates"},
		{"aluminate carried in raw water", Situation{Water: water15(7.4, 85), Flow: known(quantity.Flow(10)),
			Doses: []Dose{carried(t, "aluminate-liquid", 10)}}, "", "carrier-precipitates"},
		{"alum carried in raw water", Situation{Water: water15(7.4, 85), Flow: known(quantity.Flow(10)), Doses: []Dose{carried(t,
			"alum-liquid", 10)}}, "carrier-precipitates", ""},
		{"alum carried, no flow", Situation{Water: water15(7.4, 85), Doses: []Dose{carried(t, "alum-liquid", 10)}}, "",
			"carrier-precipitates"},
		// the discharge consent: on its limits it is kept
		{"consent of pH 6 to 9 at 9", consented(t, 9, 2), "", "consent-ph consent-metal"},
		{"at 9.01", consented(t, 9.01, 2), "consent-ph", "consent-metal"},
		{"at 6", consented(t, 6, 2), "", "consent-ph consent-metal"},
		{"at 5.99, iron of 2.01", consented(t, 5.99, 2.01), "consent-ph consent-metal", ""},
		{"nothing is said of ammonia that a loop has not", Situation{Purpose: Animals, Water: water15(7.4, 85, ammonia(0)),
			Doses: []Dose{alum}, Stock: trout,
			Flow: known(quantity.Flow(10)), Loop: &Loop{Volume: 20000}}, "loop-alkalinity-gone", "loop-nitrifies loop-nitrification"},
		{"and of a trace it is", Situation{Purpose: Animals, Water: water15(7.4, 85, ammonia(0.01)), Doses: []Dose{alum}, Stock: trout,
			Flow: known(quantity.Flow(10)), Loop: &Loop{Volume: 20000}}, "loop-nitrification", "loop-nitrifies"},
		{"no liquid is delivered", of(Other, nil, Water{}, polymer), "", "delivery handle-spill-liquid"},
		{"a dose of nothing brings no monomer", of(Drinking, nil, Water{}, dose(t, "apam-dry", 0, quantity.AsActive)), "",
			"dw-monomer-unknown"},
	} {
		got := codes(Review(x.s).All())
		for _, code := range strings.Fields(x.says) {
			if _, ok := got[code]; !ok {
				t.Errorf("%s: %s was not said; said %v", x.name, code, got)
			}
		}
		for _, code := range strings.Fields(x.not) {
			if _, ok := got[code]; ok {
				t.Errorf("%s: %s was said", x.name, code)
			}
		}
	}
}

// TestStateFromTwoOfThree: any two of pH, alkalinity and carbon dioxide give the third. In dilute water of 15 C 10 mg/L of
// carbon dioxide at pH 7.4 go with 10/44.01 x 10^(7.4 - 6.42) meq/L, x 50.04 = 108.6 mg/L as CaCO3 (pK1 6.42, Plummer and Busenberg
// 1982); ions of such water lower the pK by 0.03, so within 8 %.
func TestStateFromTwoOfThree(t *testing.T) {
	pH, alkalinity, co2 := known(quantity.PH(7.4)), known(quantity.Alkalinity(108.6)), known(quantity.Concentration(10))
	for _, x := range []struct {
		w                  Water
		known, alkalinityK bool
	}{
		{Water{PH: pH, Alkalinity: alkalinity}, true, true}, {Water{PH: pH, CO2: co2}, true, true}, {Water{Alkalinity: alkalinity,
			CO2: co2}, true, true},
		{Water{PH: pH}, false, false}, {Water{Alkalinity: alkalinity}, false, true}, {Water{CO2: co2}, false, false}, {Water{}, false,
			false},
	} {
		x.w.Temperature = known(quantity.Temperature(15))
		c := Review(Situation{Water: x.w, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}}).Water
		switch {
		case (c != nil) != x.alkalinityK, c != nil && c.HasPH != x.known:
			t.Errorf("%+v: %+v", x.w, c)
		case c == nil:
		case math.Abs(float64(c.AlkalinityBefore)/108.6-1) > 0.08, math.Abs(float64(c.AlkalinityBefore-c.AlkalinityLeft)-5.05) > 0.01:
			t.Errorf("alkalinity %v, left %v", c.AlkalinityBefore, c.AlkalinityLeft)
		case x.known && (math.Abs(float64(c.Before.PH)-7.4) > 0.04 || math.Abs(float64(c.Before.CO2)/10-1) > 0.08):
			t.Errorf("pH %v, carbon dioxide %v", c.Before.PH, c.Before.CO2)
		}
	}
}

// TestTakesAndFrees: polymer takes nothing, bicarbonate gives and frees nothing; 10 mg/L of alum take 5.05 and free
// 5.05 x 44.01/50.04 = 4.44 mg/L; no more is freed than there was.
func TestTakesAndFrees(t *testing.T) {
	for _, x := range []struct {
		d       Dose
		raw     float64
		takes   bool
		freesCO float64
	}{
		{dose(t, "apam-dry", 0.5, quantity.AsActive), 60, false, 0}, {dose(t, "bicarbonate", 10, quantity.AsNaHCO3), 60, false, 0},
		{dose(t, "alum-liquid", 10, quantity.AsAlum14), 60, true, 4.44}, {dose(t, "alum-liquid", 10, quantity.AsAlum14), 3, true,
			3 * 44.01 / 50.04},
		{dose(t, "alum-liquid", 1, quantity.AsAlum14), 60, true, 0.444}, {dose(t, "alum-liquid", 10, quantity.AsAlum14), 0.5, true, 0.4397},
	} {
		c := Review(Situation{Water: Water{Alkalinity: known(quantity.Alkalinity(x.raw))}, Doses: []Dose{x.d}}).Water
		if c.Takes != x.takes || math.Abs(float64(c.FreedCO2)-x.freesCO) > 0.005 {
			t.Errorf("%s into %g: takes %v, frees %v", x.d.Product.ID, x.raw, c.Takes, c.FreedCO2)
		}
	}
}

// TestWhoWantsTheFloor: what the site asks for goes before what animals should have from as much on, and alone where none are
// named; of two animals that want the same the first is named.
func TestWhoWantsTheFloor(t *testing.T) {
	alum := dose(t, "alum-liquid", 40, quantity.AsAlum14) // takes 20.2
	for _, x := range []struct {
		asks  float64
		stock []Animal
		goal  string
	}{
		{30, nil, "alkalinity 30 mg/L CaCO3"}, {50, stock(t, "tilapia"), "alkalinity 50 mg/L CaCO3"}, {60, stock(t, "tilapia"),
			"alkalinity 60 mg/L CaCO3"},
		{30, stock(t, "tilapia"), "alkalinity 50 mg/L CaCO3 that tilapia should have"},
	} {
		f := Review(Situation{Water: water15(7.4, 45, func(w *Water) { w.Floor = known(quantity.Alkalinity(x.asks)) }),
			Doses: []Dose{alum}, Stock: x.stock})
		if len(f.Alkalis) == 0 || f.Alkalis[0].Goal.String() != x.goal {
			t.Errorf("asks for %g: %+v", x.asks, f.Alkalis)
		}
	}
	two := stock(t, "rainbow trout", "atlantic salmon")
	for i := range two {
		two[i].AlkalinityLow = known(quantity.Alkalinity(60))
	}
	for range 2 {
		for _, c := range Review(Situation{Water: water15(7.4, 65), Doses: []Dose{alum}, Stock: two}).Checks {
			if c.Rule == "alkalinity-low" && (c.About != two[0].Name || !c.Fired || c.Source != siteItself ||
				c.Limit.String() != "60 mg/L CaCO3") {
				t.Errorf("%+v, want the first", c)
			}
		}
		slices.Reverse(two)
	}
}

// TestHoldAbove: acids are listed where the water is above the pH to hold, alkalis where it is below; an acid that goes too low for
// animals names the pH first, though it takes too much alkalinity as well.
func TestHoldAbove(t *testing.T) {
	for hold, acid := range map[float64]bool{7.0: true, 7.7: false} {
		f := Review(Situation{Water: water15(7.9, 110, func(w *Water) { w.Hold = known(quantity.PH(hold)) }),
			Doses: []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)}, Stock: stock(t, "tilapia")}) // comes to pH 7.3
		has := map[bool]bool{}
		for _, o := range f.Alkalis {
			if o.Goal.String() == "pH "+amount(hold).String() {
				has[slices.ContainsFunc(water.Acids(), func(a water.Alkali) bool { return a.ID == o.Alkali.ID })] = true
			}
		}
		if has[true] != acid || has[false] == acid {
			t.Errorf("to hold %g: acids %v, alkalis %v", hold, has[true], has[false])
		}
	}
	f := Review(Situation{Water: water15(7.4, 60, func(w *Water) { w.Hold = known(quantity.PH(5.2)) }),
		Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}, Stock: stock(t, "tilapia")})
	for _, o := range f.Alkalis {
		if o.Alkali.ID == "h2so4" && (o.Level != note.Stop || o.Why.String() != "pH below 6") {
			t.Errorf("%v: %v", o.Level, o.Why)
		}
	}
}

// TestTimesOfFreeAmmonia: the share that is free is 1/(1 + 10^(pKa - pH)), pKa 9.564 at 15 C (Emerson et al. 1975), so from pH 7.4
// to p it is multiplied by (1 + 10^2.164)/(1 + 10^(9.564 - p)).
func TestTimesOfFreeAmmonia(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: water15(7.4, 85, func(w *Water) { w.Ammonia.OK = false }),
		Doses: []Dose{dose(t, "caustic-50", 9, quantity.AsNaOH)}, Stock: stock(t, "rainbow trout")})
	want := (1 + math.Pow(10, 2.164)) / (1 + math.Pow(10, 9.564-float64(f.Water.Closed.PH)))
	for _, c := range f.Checks {
		var got float64
		if c.Rule != "nh3-unknown" {
			continue
		}
		if fmt.Sscan(c.Found.String(), &got); math.Abs(got/want-1) > 0.02 || !c.Fired || want < 2 {
			t.Errorf("%s, want %g", c.Found, want)
		}
	}
}

// TestKindOfPolymer: the line of the toxicity table; a name alone makes no biopolymer, and what nobody knows counts as cationic.
func TestKindOfPolymer(t *testing.T) {
	for _, x := range []struct {
		p    product.Product
		want animal.Chemical
	}{
		{chemical(t, "chitosan"), animal.Chitosan}, {chemical(t, "tannin"), animal.CationisedTannin}, {chemical(t, "cpam-dry"),
			animal.CationicPolymer},
		{chemical(t, "apam-dry"), animal.AnionicPolymer}, {chemical(t, "npam-dry"), animal.AnionicPolymer}, {chemical(t, "pdadmac"),
			animal.CationicPolymer},
		{product.Product{Group: product.Biopolymer, Name: "Moringa seed"}, animal.MoringaSeed},
		{product.Product{Group: product.Biopolymer, Name: "starch"}, animal.CationicPolymer},
		{product.Product{Group: product.Polymer, Name: "moringa blend"}, animal.CationicPolymer},
		{product.Product{Group: product.Polymer, Name: "tannin blend"}, animal.CationicPolymer},
		{product.Product{Group: product.Polymer, Name: "chitosan blend"}, animal.CationicPolymer},
	} {
		if got := kind(x.p); got != x.want {
			t.Errorf("%s is %s, want %s", x.p.Name, got, x.want)
		}
	}
}

// TestWhereLimitsComeFrom: the words beside the limits; figures of toxicity.txt. What is borrowed for tannin stops as for others.
func TestWhereLimitsComeFrom(t *testing.T) {
	for _, x := range []struct{ id, species, where string }{
		{"cpam-dry", "rainbow trout", "half of what killed half of lake trout fry, 2.08 mg/L of active polymer, found with cationic polyacrylamide, for rainbow trout"},
		{"pdadmac", "rainbow trout",
			"half of what killed half of rainbow trout, 0.271 mg/L of active polymer, found with polyamines and quaternary amine copolymers, for rainbow trout"},
		{"apam-dry", "carp", "half of what killed half of carp, goldfish, medaka, 150 mg/L of active polymer, for carp"},
		{"apam-dry", "rainbow trout", "half of what fewer than half of lake trout fry died of, 600 mg/L of active polymer, for rainbow trout"},
		{"cpam-dry", "tilapia",
			"half of what killed half of lake trout fry, 2.08 mg/L of active polymer, found with cationic polyacrylamide, borrowed for tilapia. " +
				"No data for tilapia: bioassay needed"},
		{"cpam-dry", "whiteleg shrimp",
			"half of what killed half of Daphnia magna, Ceriodaphnia dubia, 0.05 mg/L of active polymer, found with polyquaternium-16, borrowed for whiteleg shrimp. " +
				"No data for whiteleg shrimp: bioassay needed"},
	} {
		l, ok := Situation{Stock: stock(t, x.species)}.PolymerLimits("floc", chemical(t, x.id))
		if borrowed := strings.Contains(x.where, "No data"); !ok || l.Where.String() != x.where || (len(l.NoData) == 1) != borrowed {
			t.Errorf("%s, %s: %q, no data for %v", x.id, x.species, l.Where, l.NoData)
		}
	}
	l, ok := Situation{Stock: stock(t, "rainbow trout")}.PolymerLimits("floc", chemical(t, "tannin"))
	if !ok || math.Abs(float64(l.Stop)-0.271/2) > 1e-9 || math.Abs(float64(l.Warn)-0.271/300) > 1e-9 || len(l.NoData) != 1 {
		t.Errorf("tannin: %+v", l)
	}
	trout := Situation{Stock: stock(t, "rainbow trout")}
	if most, _, ok := trout.PolymerCeiling(Dose{Product: chemical(t, "tannin")}); !ok || math.Abs(float64(most)-0.271/2) > 1e-9 {
		t.Errorf("tannin: ceiling %v", most)
	}
	if most, why, ok := trout.PolymerCeiling(Dose{Product: chemical(t, "chitosan")}); !ok || most != 0 ||
		why != "no safe level is known for rainbow trout" {
		t.Errorf("chitosan: ceiling %v, %q", most, why)
	}
	// what is caught to the last leaves nothing to judge
	all := Dose{Product: chemical(t, "cpam-dry"), Dose: quantity.Dose{Basis: quantity.AsActive}, Capture: known(quantity.Fraction(1))}
	if most, _, ok := trout.PolymerCeiling(all); ok || most != 0 {
		t.Errorf("all caught: ceiling %v", most)
	}
	// the limit that counts is that of the least, whichever is named first, and its name
	for _, names := range [][]string{{"rainbow trout", "tilapia"}, {"tilapia", "rainbow trout"}} {
		f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "polyamine", 0.13, quantity.AsActive)}, Stock: stock(t,
			names...)})
		if r := f.Residuals[0]; math.Abs(float64(r.Limit.V)-0.271/300) > 1e-9 || r.LimitName.String() != "a three-hundredth of what killed half of rainbow trout, 0.271 mg/L of active polymer, found with polyamines and quaternary amine copolymers, borrowed for tilapia" {
			t.Errorf("%v: %v, %s", names, r.Limit.V, r.LimitName)
		}
	}
	f := Review(Situation{Purpose: Animals, Water: beck(), Doses: []Dose{dose(t, "polyamine", 5, quantity.AsActive)}, Stock: stock(t,
		"tilapia")})
	if r := f.Residuals[0]; r.LimitName.String() != "half of what killed half of rainbow trout, 0.271 mg/L of active polymer, found with polyamines and quaternary amine copolymers, borrowed for tilapia" || math.Abs(float64(r.Limit.V)-0.1355) > 1e-9 {
		t.Errorf("%v, %s", r.Limit.V, r.LimitName)
	}
}

// TestAboutWhich: a stop about one polymer is of that polymer, of a water of all that goes into it.
func TestAboutWhich(t *testing.T) {
	alum, polymer := dose(t, "alum-liquid", 60, quantity.AsAlum14), dose(t, "cpam-dry", 21, quantity.AsActive)
	alum.Name, polymer.Name = "alum", "floc"
	f := Review(Situation{Purpose: Animals, Water: water15(7.4, 40), Doses: []Dose{alum, polymer}, Stock: stock(t, "rainbow trout")})
	want := map[string]string{"cationic-lethal": "floc", "alkalinity-gone": "alum and floc", "ph-outside-range": "alum and floc"}
	for _, s := range f.Said {
		if w, ok := want[s.Code]; ok && s.Chemical != w {
			t.Errorf("%s is about %q, want %q", s.Code, s.Chemical, w)
		}
		delete(want, s.Code)
	}
	delete(want, "ph-outside-range") // where it is said
	if len(want) > 0 {
		t.Errorf("not said: %v", want)
	}
}

// TestCarrierOfLittle: limits at nought are nought. 1.5 mg/L of alum take 0.757; carried in 0.5 m3/h of water of 120 mg/L into
// 0.9 m3/h that is 60/0.68, 88 times as much; the flow is not told where it is the least one.
func TestCarrierOfLittle(t *testing.T) {
	d := dose(t, "alum-liquid", 1.5, quantity.AsAlum14)
	d.Carrier = 0.5
	for _, least := range []quantity.Known[quantity.Flow]{{}, known(quantity.Flow(0.9))} {
		f := Review(Situation{Water: Water{Alkalinity: known(quantity.Alkalinity(120))}, Flow: known(quantity.Flow(0.9)), Least: least,
			Doses: []Dose{d}})
		says(t, f, "carrier-precipitates", "could use up 8800 % of its acidity")
		if len(f.Carried) != 1 || math.Abs(float64(f.Carried[0].Share)-60/0.682) > 0.1 {
			t.Errorf("%+v", f.Carried)
		}
		if slices.ContainsFunc(f.Notes, func(n note.Note) bool { return strings.Contains(n.Message, "least flow") }) {
			t.Errorf("%v", f.Notes)
		}
	}
}

// TestMonomerByProduct: 1.1 mg/L of product with 0.03 % acrylamide bring 1100 x 0.0003 = 0.33 ug/L, above the EU's 0.1 and below the 0.5
// of the others (0.05 % of 1 mg/L, 40 CFR 141.111). The first of two products has the place.
func TestMonomerByProduct(t *testing.T) {
	d := dose(t, "cpam-emulsion", 1, quantity.AsProduct)
	d.Product.Strength = product.Given(quantity.Fraction(0.4), "made up")
	d.Monomer, d.At = known(quantity.Fraction(0.0003)), note.Place{Cell: "B4"}
	second := d
	second.Product.Name, second.Dose.Concentration, second.At = "another", 0.1, note.Place{Cell: "B5"}
	f := Review(Situation{Purpose: Drinking, Rules: "EU", Doses: []Dose{d, second}})
	i := slices.IndexFunc(f.Notes, func(n note.Note) bool { return n.Code == "dw-acrylamide" })
	if i < 0 || f.Notes[i].Cell != "B4" || !strings.Contains(f.Notes[i].Message,
		"1.1 mg/L of product at 0.03 % acrylamide brings 0.33 ug/L, above 0.1 ug/L (EU)") {
		t.Errorf("%v", f.Notes)
	}
	if f := Review(Situation{Purpose: Drinking, Rules: "US", Doses: []Dose{d}}); f.Stopped {
		t.Errorf("%v", f.Notes)
	}
	// of equal limits the first of the table is named: aluminium's 0.2 mg/L is the EU's, the US's and the WHO's
	w := Water{ResidualAl: known(quantity.Concentration(0.3))}
	says(t, Review(Situation{Purpose: Drinking, Water: w, Doses: []Dose{dose(t, "alum-liquid", 20, quantity.AsAlum14)}}), "dw-aluminium",
		"drinking water (EU)")
}

// TestFamiliesOfGoods: what each product is on the shelf, by what it is made of; what harms by its safety data sheet.
func TestFamiliesOfGoods(t *testing.T) {
	for id, want := range map[string]string{
		"alum-liquid":       "bulk liquid, coagulant, spilt liquid",
		"alum-dry":          "coagulant, dry, powder",
		"ferric-chloride":   "acid chloride, bulk liquid, coagulant, iron salt, spilt liquid",
		"aluminate-liquid":  "aluminate, bulk liquid, spilt liquid, strong alkali",
		"sulfuric-acid":     "acid, bulk liquid",
		"hydrochloric-acid": "acid, bulk liquid",
		"lime":              "alkali, dry, lime, powder, strong alkali",
		"quicklime":         "alkali, dry, lime, powder, quicklime, strong alkali",
		"soda-ash":          "alkali, carbonate, dry, powder",
		"khco3":             "alkali, carbonate, dry",
		"bicarbonate":       "alkali, carbonate, dry",
		"ag-lime":           "alkali, dry, powder",
		"caustic-50":        "alkali, bulk liquid, caustic soda, spilt liquid, strong alkali",
		"caustic-25":        "alkali, bulk liquid, spilt liquid, strong alkali",
		"koh-45":            "alkali, bulk liquid, spilt liquid, strong alkali",
		"cpam-dry":          "cationic, dry, dry polymer, polymer, slippery",
		"apam-dry":          "anionic, dry, dry polymer, polymer, slippery",
		"npam-dry":          "dry, dry polymer, polymer, slippery",
		"cpam-emulsion":     "cationic, emulsion, polymer, slippery",
		"apam-emulsion":     "anionic, emulsion, polymer, slippery",
		"pdadmac":           "bulk liquid, cationic, polymer, slippery",
	} {
		var in []string
		for _, f := range families {
			if f.has(chemical(t, id)) {
				in = append(in, f.name)
			}
		}
		slices.Sort(in)
		if got := strings.Join(in, ", "); got != want {
			t.Errorf("%s: %s; want %s", id, got, want)
		}
	}
	for text, want := range map[string]bool{"": false, "None known": false, "usually none for people": false, "irritates eyes": true} {
		var p product.Product
		p.Hazard.Text = text
		if harmful(p) != want {
			t.Errorf("%q harms: %v", text, !want)
		}
	}
	// a store of 0 to 30 C is told, one of nothing is not
	for _, x := range []struct {
		low, high float64
		says      string
	}{{0, 30, "between 0 and 30 C"}, {-5, 0, "between -5 and 0 C"}, {1, 1, "between 1 and 1 C"}, {0, 0, ""}} {
		p := product.Product{ID: "x", Name: "x"}
		p.Store.Low, p.Store.High = quantity.Temperature(x.low), quantity.Temperature(x.high)
		said := ""
		for _, n := range Review(Situation{OnSite: []product.Product{p}}).Handling {
			if n.Code == "handle-store" {
				said = n.Message
			}
		}
		if (said == "") != (x.says == "") || !strings.Contains(said, x.says) {
			t.Errorf("%g to %g: %q", x.low, x.high, said)
		}
	}
}

// TestOddJars: a jar whose dose nobody knows, or whose pH was set by hand, is no jar of the curve; a control has none of any
// chemical. What a chemical is follows from its name, else from what its dose is counted as. Read 0.5 above or below, the gap says which.
func TestOddJars(t *testing.T) {
	s := alumSeries(0)
	s.Jars[2].Doses[0].Known = false
	s.Jars[3].Settings = map[string]float64{"pH": 6.5}
	s.Jars[4].Doses = nil
	s.Jars[0].Doses = nil // a control
	b, err := Jars(s, product.Default())
	if err != nil || len(b.Jars) != 3 || b.Jars[0].Label != "1" || b.Jars[0].Doses[0] != 0 || b.Jars[1].Label != "2" ||
		b.Jars[2].Label != "6" {
		t.Errorf("%v: %+v", err, b.Jars)
	}
	c := jartest.Chemical{Name: "what stands in the shed", Basis: quantity.AsAlum14}
	if p, err := ProductFor(c, product.Default()); err != nil || p.Metal() != "Al" {
		t.Errorf("%v, %v", p.ID, err)
	}
	c.Basis = quantity.AsProduct
	if p, err := ProductFor(c, product.Default()); err == nil {
		t.Errorf("%v", p.ID)
	}
	for shift, side := range map[float64]string{0.5: "above", -0.5: "below", 0.28: "", -0.28: ""} {
		b, err := Jars(alumSeries(shift), product.Default())
		if err != nil || (len(b.Notes) == 1) != (side != "") || side != "" && !strings.Contains(b.Notes[0].Message, "0.5") ||
			side != "" && !strings.Contains(b.Notes[0].Message, side) || math.Abs(b.MeanGap-shift) > 0.02 {
			t.Errorf("%g: %v, %g, %v", shift, err, b.MeanGap, b.Notes)
		}
	}
	// a bench sheet with a planning dose has its water, one without has none
	r := Bench(alumSeries(0), nil, nil, product.Default())
	if !r.Computed || r.HasPlanning || len(r.Jars) != 6 {
		t.Errorf("%+v", r)
	}
	r = Bench(alumSeries(0), []quantity.Concentration{40}, nil, product.Default())
	if !r.HasPlanning || math.Abs(float64(r.Planned.Closed.PH)-6.64) > 0.015 || math.Abs(float64(r.Planned.AlkalinityLeft)-39.8) > 0.06 {
		t.Errorf("%+v", r.Planned)
	}
	s = alumSeries(0)
	s.Raw = nil
	for i := range s.Jars {
		s.Jars[i].Readings = nil
	}
	if r := Bench(s, nil, nil, product.Default()); r.Computed || len(r.Notes) != 0 {
		t.Errorf("a sheet that meant to tell nothing of pH: %v", r.Notes)
	}
	s.Raw = map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.8, "")}
	if r := Bench(s, nil, nil, product.Default()); r.Computed || len(r.Notes) != 1 {
		t.Errorf("a sheet with pH alone: %v", r.Notes)
	}
}

// TestNotChecked: what lacked data, all of it and nothing else.
func TestNotChecked(t *testing.T) {
	alum, polymer := dose(t, "alum-liquid", 20, quantity.AsAlum14), dose(t, "apam-dry", 0.1, quantity.AsActive)
	trout := stock(t, "rainbow trout")
	permit := Consent{Al: known(quantity.Concentration(1)), Fe: known(quantity.Concentration(1)), PHLow: known(quantity.PH(6))}
	full := water15(7.4, 85)
	for _, x := range []struct {
		name string
		s    Situation
		want string
	}{
		{"all is known", Situation{Purpose: Animals, Water: full, Doses: []Dose{alum, polymer}, Stock: trout}, ""},
		{"no animals named", Situation{Purpose: Animals, Water: full, Doses: []Dose{polymer}},
			"what the water does to animals: none are named; residual of " + polymer.Product.Name + " against animals: none are named"},
		{"named, and kept out", Situation{Purpose: Animals, Water: full, Doses: []Dose{polymer}, NoneReached: true},
			"what the water does to animals: none of those named is said to get it; residual of " + polymer.Product.Name + " against animals: none of those named is said to get it"},
		{"another purpose, of which animals may get the water", Situation{Purpose: Other, Water: full}, "what the water does to animals: none are named"},
		{"a works", Situation{Purpose: Wastewater, Water: full}, ""},
		{"no alkalinity", Situation{Purpose: Animals, Water: Water{PH: full.PH, ResidualAl: full.ResidualAl}, Doses: []Dose{alum},
			Stock: trout},
			"alkalinity left, pH and carbon dioxide: the raw water's alkalinity is not given"},
		{"no pH", Situation{Purpose: Animals, Water: Water{Alkalinity: full.Alkalinity}, Doses: []Dose{alum}, Stock: trout},
			"pH, carbon dioxide and free ammonia: the raw water's pH is not given"},
		{"no ammonia", Situation{Purpose: Animals, Water: with(full, func(w *Water) { w.Ammonia.OK = false }), Doses: []Dose{alum},
			Stock: trout},
			"free ammonia: total ammonia is not given"},
		{"a loop of no volume", Situation{Purpose: Animals, Water: full, Doses: []Dose{polymer}, Stock: trout, Loop: &Loop{},
			Flow: known(quantity.Flow(1))},
			"build-up in the loop: its volume or flow is not given"},
		{"a loop of no flow", Situation{Purpose: Animals, Water: full, Doses: []Dose{alum, polymer}, Stock: trout, Loop: &Loop{Volume: 9}},
			"build-up in the loop: its volume or flow is not given"},
		{"a permit for iron that nobody doses", Situation{Purpose: Wastewater, Consent: permit, Water: with(full,
			func(w *Water) { w.ResidualAl.OK = false }),
			Doses: []Dose{alum}}, "the discharge consent for Al: its residual was not measured on the jar"},
		{"a permit for pH that nobody knows", Situation{Purpose: Wastewater, Consent: Consent{PHHigh: known(quantity.PH(9))},
			Doses: []Dose{polymer}, Stock: trout},
			"alkalinity left, pH and carbon dioxide: the raw water's alkalinity is not given; the discharge consent for pH: the treated water's pH is not known"},
		{"what nobody sells", Situation{Water: full, Also: []string{" unobtainium "}},
			"what unobtainium must not meet: it is not in the catalogue"},
	} {
		if got := strings.Join(Review(x.s).NotChecked, "; "); got != x.want {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
}

// TestLimeEnoughOrNot: where one dose gives what another takes, alkalis are advised only where less than 20 is left.
// 35 mg/L of dry alum take about 18, 14 of lime give about 18: 4.5 stays, 45 stays.
func TestLimeEnoughOrNot(t *testing.T) {
	for raw, advised := range map[float64]bool{4.5: true, 45: false} {
		f := Review(Situation{Purpose: Drinking, Water: water15(7.2, raw), Doses: []Dose{dose(t, "alum-dry", 35, quantity.AsProduct),
			dose(t, "lime", 16, quantity.AsProduct)}})
		if (len(f.Alkalis) > 0) != advised || f.Water.AlkalinityUsed > 0 {
			t.Errorf("of %g: %d alkalis; used %v", raw, len(f.Alkalis), f.Water.AlkalinityUsed)
		}
	}
}

// TestDoseTellsWhatDissolves: 10 mg/L of alum 14-hydrate hold 10 x 2 x 26.982/594.34 = 0.908 mg/L of aluminium, told to two digits, as is
// what stays of it (worked out apart, see TestDoubtOfThePHByTheFloc: 0.908 at pH 7.48 and 28 C would stay, 0.0925 once aged).
func TestDoseTellsWhatDissolves(t *testing.T) {
	w := Water{Temperature: known(quantity.Temperature(28)), PH: known(quantity.PH(9.3)), Alkalinity: known(quantity.Alkalinity(60))}
	f := Review(Situation{Water: w, Doses: []Dose{dose(t, "alum-liquid", 10, quantity.AsAlum14)}})
	fresh, aged := f.Water.Dissolved()
	two := func(c quantity.Concentration) string { return fmt.Sprint(quantity.RoundSig(float64(c), 2)) }
	says(t, f, "al-dissolved", "up to "+two(fresh)+" mg/L of the 0.91 mg/L aluminium dosed stays dissolved ("+two(aged)+" once")
}

// TestTurnsAtBothEnds: a computed pH is good to 0.1, so half of iron(II) turns 10^0.2 = 1.585 times sooner or later (a hundredfold a
// unit of pH); one that was read on the jar is taken as it is.
func TestTurnsAtBothEnds(t *testing.T) {
	v := &reviewer{s: Situation{Water: Water{Temperature: known(quantity.Temperature(20))}}}
	c := &Chemistry{HasPH: true}
	c.Closed.PH, c.Aged.PH = 7, 7
	v.out.Water = c
	x := v.turns()
	for _, y := range []struct {
		what      string
		got, want float64
	}{{"least", x.least.In("min"), 8 / 1.5849}, {"most", x.most.In("min"), 8 * 1.5849}} {
		if math.Abs(y.got/y.want-1) > 1e-3 || !x.known {
			t.Errorf("%s: %g min, want %g", y.what, y.got, y.want)
		}
	}
	c.MeasuredPH = known(quantity.PH(7))
	if x = v.turns(); math.Abs(x.least.In("min")-8) > 1e-9 || x.least != x.most ||
		x.how.String() != "at pH 7.00 and 20 C half of it takes about 8 min" {
		t.Errorf("%+v", x)
	}
	v.out.Water = nil // pH 6: a hundred times as long
	if x = v.turns(); x.known || math.Abs(x.least.In("min")-800) > 1e-6 {
		t.Errorf("%+v", x)
	}
}

// TestBounds: only a temperature has another unit for US readers.
func TestBounds(t *testing.T) {
	for id, unit := range map[string]string{"handle-makeup": "F", "al-dissolved": "", "alkalinity-gone": ""} {
		if _, got := RuleNamed(id).Bound().Show(quantity.US); got != unit {
			t.Errorf("%s: %q, want %q", id, got, unit)
		}
	}
}

// TestRunningLoopGetsNitrificationBack: as [TestLoopWithoutNewWaterGetsWhatItLoses], with 0.15 mg/L of ammonia as N: 2 x 50.04/14.007 x
// 0.15 = 1.072 a day in 0.8 passes, 1.34 at each beside the 5.05.
func TestRunningLoopGetsNitrificationBack(t *testing.T) {
	f := Review(Situation{Purpose: Animals, Water: water15(7.4, 85, ammonia(0.15)), Doses: []Dose{dose(t, "alum-liquid", 10,
		quantity.AsAlum14)},
		Stock: stock(t, "trout"), Flow: known(quantity.Flow(8)), Hours: 4, Loop: &Loop{Volume: 40000}})
	if len(f.Alkalis) == 0 {
		t.Fatal("no alkali is advised")
	}
	for _, o := range f.Alkalis {
		if got := float64(o.Pure) * o.Alkali.PerMg; math.Abs(got-6.39) > 0.02 {
			t.Errorf("%s gives %.4g mg/L CaCO3 at a pass, want 6.39", o.Alkali.Name, got)
		}
	}
}
