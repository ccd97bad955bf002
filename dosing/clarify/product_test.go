package clarify

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func bought(t *testing.T, id string) product.Product {
	t.Helper()
	p, err := product.Default().Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestChemicalOfAProduct: alum solution of 48.5 % and 1.335 kg/L (the catalogue's) holds
// 647,475 mg/L of the 14-hydrate; a stock of 100 g/L of it 48.5 g/L. A powder of 90 % has
// no density and no stock unless one is made.
func TestChemicalOfAProduct(t *testing.T) {
	for _, x := range []struct {
		id            string
		basis         quantity.Basis
		litre, stock  float64
		neat          bool
		density, floc float64
	}{
		{"alum-liquid", quantity.AsAlum14, 0, 0.485 * 1.335e6, true, 1.335, 0},
		{"alum-liquid", quantity.AsAlum14, 100000, 48500, false, 1.335, 0},
		{"alum-liquid", quantity.AsAlum14, 0.5, 0.2425, false, 1.335, 0},
		{"alum-liquid", quantity.AsProduct, 0, 1.335e6, true, 1.335, 0},
		{"cpam-dry", quantity.AsProduct, 0, 0, false, 0, 0.9},
		{"cpam-dry", quantity.AsActive, 2000, 1800, false, 0, 1},
	} {
		c, err := Of("x", bought(t, x.id), x.basis, Always(3), quantity.Concentration(x.litre), nil)
		if err != nil || c.Name != "x" || c.Basis != x.basis || c.Rule.At(1) != 3 || c.Neat != x.neat || c.StopAt != 0 {
			t.Errorf("%+v: %+v %v", x, c, err)
		}
		near(t, x.id+" stock", float64(c.Stock), x.stock, 1e-9)
		near(t, x.id+" density", float64(c.Density), x.density, 1e-12)
		near(t, x.id+" floc", float64(c.Floc), x.floc, 1e-12)
		if x.litre > 0 { // the account takes the stock as product again
			near(t, x.id+" in the account", float64(c.account().Stock), x.litre, 1e-9)
		}
	}
	if _, err := Of("x", bought(t, "alum-liquid"), quantity.NotStated, Always(3), 0, nil); err == nil {
		t.Error("a dose that counts nothing passes")
	}
	own := product.Product{Name: "our own", Group: product.Polymer, Basis: quantity.AsActive}
	if c, err := Of("x", own, quantity.AsActive, Always(3), 5000, nil); err != nil || c.Stock != 0 || c.Strength.OK {
		t.Errorf("a stock of unknown strength: %+v %v", c, err)
	}
	// A powder is not fed as it is, whatever its density; neither is a liquid of which that is not known.
	powder := product.Product{Name: "powder", Form: product.Dry, Basis: quantity.AsProduct, Density: product.Given[quantity.Density](0.7, "label")}
	liquid := product.Product{Name: "liquid", Form: product.Liquid, Basis: quantity.AsProduct}
	for _, p := range []product.Product{powder, liquid} {
		if c, err := Of("x", p, quantity.AsProduct, Always(3), 0, nil); err != nil || c.Neat || c.Stock != 0 || !c.Strength.OK {
			t.Errorf("%s: %+v %v", p.Name, c, err)
		}
	}
	// Limits count active polymer: a dose as product of 90 % may be larger by a ninth.
	p := bought(t, "cpam-dry")
	fish := []caution.Animal{{Name: "trout"}}
	limit, ok := caution.PolymerLimits("x", p, fish)
	if !ok || limit.Warn <= 0 || limit.Stop <= limit.Warn {
		t.Fatalf("%+v", limit)
	}
	for basis, share := range map[quantity.Basis]float64{quantity.AsActive: 1, quantity.AsProduct: 0.9} {
		c, err := Of("x", p, basis, Always(3), 0, fish)
		if err != nil || c.Where.String() != limit.Where.String() {
			t.Errorf("%v %v", c.Where, err)
		}
		near(t, "stops at", float64(c.StopAt), float64(limit.Stop)/share, 1e-12)
		near(t, "warns at", float64(c.WarnAt), float64(limit.Warn)/share, 1e-12)
	}
}

// TestRules: steps hold from their reading upwards, a curve is level beyond its ends.
func TestRules(t *testing.T) {
	curve, err := Following([]Step{{100, 25}, {20, 5}})
	if err != nil {
		t.Fatal(err)
	}
	steps, err := Stepped([]Step{{30, 12}, {0.5, 6}})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		rule          Rule
		reading, dose float64
	}{
		{Rule{}, 5, 0}, {Always(3), 0, 3}, {Always(3), 900, 3},
		{curve, 0, 5}, {curve, 20, 5}, {curve, 40, 10}, {curve, 99, 24.75}, {curve, 100, 25}, {curve, 101, 25},
		{steps, 0.4, 0}, {steps, 0.5, 12}, {steps, 29.9, 12}, {steps, 30, 12}, {steps, 31, 12},
	} {
		near(t, "dose", float64(x.rule.At(x.reading)), x.dose, 1e-12)
		near(t, "half of it", float64(x.rule.Times(0.5).At(x.reading)), x.dose/2, 1e-12)
	}
	if steps.At(30) != 12 || curve.At(100) != 25 {
		t.Error("a rule taken times a half has changed")
	}
	// none is less than the rule's anywhere between the readings
	if s, c := steps.Steps(), curve.Steps(); len(s) != 2 || s[0] != (Step{0.5, 12}) || s[1] != (Step{30, 12}) || len(c) != 2 || c[0] != (Step{20, 25}) || c[1] != (Step{100, 25}) {
		t.Errorf("%v %v", s, c)
	}
	rising, _ := Stepped([]Step{{10, 3}, {20, 1}, {40, 8}}) // some water needs more although it is clearer
	for reading, want := range map[float64]quantity.Concentration{5: 0, 12: 3, 25: 8, 50: 8} {
		if got := rising.At(reading); got != want {
			t.Errorf("at %g NTU %v, want %v", reading, got, want)
		}
	}
	if low, of := curve.Tested(); low != 20 || !of {
		t.Errorf("tested from %g, %v", low, of)
	}
	if _, of := steps.Tested(); of {
		t.Error("steps have a lowest tested reading")
	}
	if _, of := (Rule{}).Tested(); of {
		t.Error("no rule has a lowest tested reading")
	}
	for _, bad := range [][]Step{{{1, quantity.Concentration(math.Inf(1))}}, {{1, quantity.Concentration(math.NaN())}}, {{-0.1, 1}}, {{1, -0.1}}, {{3, 1}, {3, 2}}} {
		if _, err := Following(bad); err == nil {
			t.Errorf("%v passes", bad)
		}
	}
	if _, err := Following([]Step{{0, 0}}); err != nil {
		t.Error(err)
	}
}

// TestEdgesOfATank: what can just be integrated passes, and each fault is one.
func TestEdgesOfATank(t *testing.T) {
	for what, x := range map[string]struct {
		change func(*Tank)
		faults int
	}{
		"as it is": {func(*Tank) {}, 0}, "everything caught": {func(k *Tank) { k.Removal = 1 }, 0}, "as well without chemical": {func(k *Tank) { k.Bare = 1 }, 0},
		"capture": {func(k *Tank) { k.Chemicals = []Chemical{{Capture: 1}, {Capture: 0}} }, 0},
		"small":   {func(k *Tank) { k.Volume, k.Flow, k.Start, k.Stop, k.Removal = 0.5, 0.5, 0.5, 0.4, 0.1 }, 0},
		"all":     {func(k *Tank) { *k = Tank{Bare: -0.1, Floor: -0.1} }, 7},
		"floor":   {func(k *Tank) { k.Floor = -0.1 }, 1}, "rise": {func(k *Tank) { k.Rise = -0.1 }, 1}, "new": {func(k *Tank) { k.New = -0.1 }, 1}, "exchange": {func(k *Tank) { k.Exchange = -0.1 }, 1},
		"bare": {func(k *Tank) { k.Bare = 1.01 }, 1}, "removal": {func(k *Tank) { k.Removal = 1.01 }, 1}, "no removal": {func(k *Tank) { k.Removal = 0 }, 1},
		"volume": {func(k *Tank) { k.Volume = quantity.Volume(math.Inf(1)) }, 1}, "flow": {func(k *Tank) { k.Flow = quantity.Flow(math.Inf(1)) }, 1},
		"start": {func(k *Tank) { k.Start = math.Inf(1) }, 1}, "no start": {func(k *Tank) { k.Start = 0 }, 1}, "start of no number": {func(k *Tank) { k.Start = math.NaN() }, 1},
		"stop": {func(k *Tank) { k.Stop = math.Inf(1) }, 1}, "stop of no number": {func(k *Tank) { k.Stop = math.NaN() }, 1}, "no stop": {func(k *Tank) { k.Stop = 0 }, 1},
		"captures": {func(k *Tank) { k.Chemicals = []Chemical{{Capture: 1.01}, {Capture: -0.1}} }, 2},
	} {
		k := plain()
		x.change(&k)
		if l := note.Of(k.check(), ""); len(l) != x.faults {
			t.Errorf("%s: %v", what, l)
		}
	}
	for _, x := range []struct{ e, q, x, rise, want float64 }{{0, 1, 0, 0, 80}, {0, 1, 0, 1, math.Inf(1)}, {0.5, 2, 0, 0, 0.8}, {0, 2, 0.5, 0, 4}, {0.5, 0.4, 0, 0, 0.8}} {
		k := Tank{Volume: 60000, Flow: quantity.Flow(x.q), Start: 80, Floor: 0.8, Exchange: quantity.Flow(x.x), New: 4, Rise: x.rise}
		if got := k.Plateau(quantity.Fraction(x.e)); got != x.want && math.Abs(got-x.want) > 1e-12 {
			t.Errorf("%+v: %g", x, got)
		}
	}
}

// TestRunsOfADay: the unit runs from 8 to 12 and from 14 to 18, and was to begin at 7.
func TestRunsOfADay(t *testing.T) {
	k := plain()
	r := &run{Tank: k}
	if wait, on := r.next(5); !on || !math.IsInf(wait, 1) {
		t.Errorf("without hours: %g %v", wait, on)
	}
	r.Hours, r.Begin = flow.Hours{{From: 8, To: 12}, {From: 14, To: 18}}, 7
	for _, x := range []struct {
		at, wait float64
		on       bool
	}{{0, 1, false}, {1, 4, true}, {3, 2, true}, {5, 2, false}, {6.5, 0.5, false}, {7, 4, true}, {10.5, 0.5, true}, {11, 14, false}, {16.5, 8.5, false}, {24.5, 0.5, false}, {25, 4, true}} {
		wait, on := r.next(x.at)
		if near(t, "wait", wait, x.wait, 1e-9); on != x.on {
			t.Errorf("after %g h: on %v", x.at, on)
		}
	}
	// A quarter of a second short of 12:00 is 12:00; a second is not.
	for short, on := range map[float64]bool{0.25: false, 1: true} {
		if _, got := r.next(5 - short/3600); got != on {
			t.Errorf("%g s before 12:00: on %v", short, got)
		}
	}
}

// TestMomentsOfARun: one every sixtieth of a turnover, ln(16)/0.85 = 3.262 of them, but
// no more than 20,000 in the longest time: with a turnover of 3 min and 20 h, 0.001 h.
func TestMomentsOfARun(t *testing.T) {
	k := plain()
	if n := len(cleaned(t, k).Moments); n != 1+196 {
		t.Errorf("%d moments", n)
	}
	k.Flow, k.Longest = 1200, 20
	if n := len(cleaned(t, k).Moments); n != 1+164 { // 0.1631 h
		t.Errorf("%d moments", n)
	}
}

// TestUses: product and stock of 6 g dosed on 1 m3, as far as their figures are known.
func TestUses(t *testing.T) {
	k := plain()
	k.Volume, k.Flow = 1000, 1
	k.Removal = quantity.Fraction(math.Log(16) / 4) // four turnovers
	k.Chemicals = []Chemical{{Name: "bare", Rule: Always(1.5)}, {Name: "full", Rule: Always(1.5), Density: 1.25, Stock: 3000}}
	k.Chemicals[1].Strength = quantity.Some[quantity.Fraction](0.4)
	k.Chemicals = append(k.Chemicals, k.Chemicals[1])
	k.Chemicals[2].Stock = 0 // nobody says how it is fed
	k.Share, k.Skim = 0.02, solids.Skimmer{Every: 0.5, Water: 1}
	r := cleaned(t, k)
	near(t, "turnovers", r.Turnovers, 4, 1e-9)
	bare, full := r.Uses[0], r.Uses[1]
	near(t, "dosed", float64(bare.Dosed), 0.006, 1e-9)
	if bare.Product != 0 || bare.Volume != 0 || bare.Stock != 0 {
		t.Errorf("%+v", bare)
	}
	if u := r.Uses[2]; u.Stock != 0 || u.Volume == 0 {
		t.Errorf("%+v", u)
	}
	near(t, "product", float64(full.Product), 0.015, 1e-9)
	near(t, "its volume", float64(full.Volume), 0.012, 1e-9)
	near(t, "stock", float64(full.Stock), 2, 1e-9) // 6 g at 3 g/L
	near(t, "float", float64(r.Waste.Float.Likely), 75*1.5/1000/0.02, 1e-9)
	near(t, "float, low", float64(r.Waste.Float.Low), 75*0.7/1000/0.02, 1e-9)
	near(t, "float, high", float64(r.Waste.Float.High), 75*2.2/1000/0.02, 1e-9)
	near(t, "skimmed", float64(r.Waste.Water), 8, 1e-9)
	near(t, "all", float64(r.Waste.Volume), 75*1.5/1000/0.02+8, 1e-9)
	near(t, "outlet", r.Plateau, 0, 1e-12)
	// A floor of 2 NTU is where a tank without anything coming in settles, with chemical and without.
	k.Floor, k.Bare = 2, 0.1
	near(t, "floor", cleaned(t, k).Plateau, 2, 1e-12)
}

// TestWithoutChemical: where nothing is dosed a pass takes out the bare share: 80 to 40
// with the dose, 40 to 20 without.
func TestWithoutChemical(t *testing.T) {
	steps, err := Stepped([]Step{{40, 5}})
	if err != nil {
		t.Fatal(err)
	}
	k := plain()
	k.Stop, k.Bare, k.Rise = 20, 0.2, 0.1
	k.Chemicals = []Chemical{{Name: "alum", Rule: steps}}
	r := cleaned(t, k)
	within := func(e, from, to float64) float64 { // dC/dt = −e Q/V C + s
		rate := e * 12 / 60
		level := 0.1 / rate
		return math.Log((from-level)/(to-level)) / rate
	}
	near(t, "time", float64(r.Time), within(0.85, 80, 40)+within(0.2, 40, 20), 1e-8)
	near(t, "settles", r.Plateau, 0.1/(0.2*12/60), 1e-9)
	if r.Outcome != Cleared {
		t.Errorf("%s", r.Outcome)
	}
}

// TestAllThatIsDosedCounts: of 0.05 mg/L a turnover from 80 to 5 NTU, ln(16)/0.85 = 3.262 turnovers leave 0.163 mg/L, however muddy the tank was: 0.15
// stops; a measured half leaves 0.0815 and does not.
func TestAllThatIsDosedCounts(t *testing.T) {
	for measured, stops := range map[bool]bool{false: true, true: false} {
		k := plain()
		k.Chemicals = []Chemical{{Name: "polymer", Rule: Always(0.05), Capture: 0.5, HasCapture: measured, Stops: []Bound{{"polymer-stocked", 0.15, note.Say("a tenth")}}}}
		r := cleaned(t, k)
		stop, said := 0, false
		for _, n := range r.Notes {
			if n.Code == "polymer-stocked" {
				stop++
				said = strings.Contains(n.Message, "0.16 mg/L if all of it stays in the water")
			}
		}
		if (stop == 1) != stops || said != stops {
			t.Errorf("measured %v: %v", measured, r.Notes)
		}
	}
}
