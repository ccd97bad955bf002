package flotation

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// hatchery is a unit of 0.72 m2 and 0.9 m with 0.36 m3/h of white water.
func hatchery() Unit {
	return Unit{Area: quantity.Some(quantity.Area(0.72)), Depth: quantity.Some(quantity.Length(0.9)), White: quantity.Some(quantity.Flow(0.36)),
		Pressure: quantity.Some(quantity.Pressure(450)), Efficiency: quantity.Some(quantity.Fraction(0.7)), Water: Water{Temperature: 9}, Set: 3.6}
}

// TestWindow: by hand. 0.72 m2 × 15 m/h − 0.36 = 10.44 m3/h ends the surface loading, 0.72 × 5 − 0.36
// = 3.24 begins it; 0.648 m3 in 5 min is 7.776 m3/h, less 0.36 = 7.416; in 30 min 1.296 − 0.36 = 0.936.
func TestWindow(t *testing.T) {
	u := hatchery()
	u.Pressure.OK = false
	w := u.Window(3.6, 50)
	near(t, "room to spare", float64(w.Spare.V), 3.24, 1e-9)
	near(t, "high", float64(w.High.V), 7.416, 1e-9)
	if w.SpareBy != "surface loading" || w.HighBy != "time in the unit" || w.Shut || w.Low.OK {
		t.Errorf("%+v", w)
	}
	u.Depth.OK = false
	if w = u.Window(3.6, 50); w.HighBy != "surface loading" {
		t.Errorf("%+v", w)
	}
	near(t, "high by loading", float64(w.High.V), 10.44, 1e-9)
	// 0.72 m2 × 12 kg/(m2 h) at 2 g/L is 4.32 m3/h
	near(t, "high by solids", float64(u.Window(3.6, 2000).High.V), 4.32, 1e-9)
	u.HighRate = true // 0.72 × 40 − 0.36 and 0.72 × 20 − 0.36
	w = u.Window(3.6, 50)
	near(t, "high rate, high", float64(w.High.V), 28.44, 1e-8)
	near(t, "high rate, room to spare", float64(w.Spare.V), 14.04, 1e-8)
	// air: r·(full − deep) − (deep − open) = 6, so q = 0.36·(full − deep)/(6 + deep − open)
	u = hatchery()
	u.Area.OK = false
	full, deep, open := 0.7*float64(u.Water.Holds(551.325)), float64(u.Water.Holds(101.325+9.79*0.9)), float64(u.Water.Holds(101.325))
	w = u.Window(3.6, 50)
	near(t, "high by air", float64(w.High.V), 0.36*(full-deep)/(6+deep-open), 1e-9)
	if w.HighBy != "air set free" || w.Low.OK || w.Spare.OK {
		t.Errorf("%+v", w)
	}
	u = Unit{Contact: quantity.Some(quantity.Volume(90)), White: quantity.Some(quantity.Flow(0.36))} // 90 L in a minute is 5.4 m3/h
	near(t, "high by contact", float64(u.Window(3.6, 50).High.V), 5.04, 1e-9)
	if w = (Unit{}).Window(3.6, 50); w.Low.OK || w.High.OK || w.Shut {
		t.Errorf("nothing known, yet %+v", w)
	}
}

// TestShutWindow: a level that may not move at all leaves one flow; too little pressure leaves none.
func TestShutWindow(t *testing.T) {
	u := hatchery()
	u.Pressure.V = 20
	if w := u.Window(3.6, 50); !w.Shut || w.HighBy != "air set free" || w.High.V != 0 {
		t.Errorf("%+v", w)
	}
	if got := u.Faults(Flows{2.2, 2.2, 5.4}, 50); len(got) != 1 || got[0].Code != "no-air" {
		t.Errorf("%v", got)
	}
	u = hatchery()
	u.Contact = quantity.Some(quantity.Volume(10)) // passed in a minute at 0.6 m3/h, white water counted
	w := u.Window(3.6, 50)
	if w.Shut || w.HighBy != "time in the contact zone" || !w.Spare.OK { // 3.24 m3/h: having room to spare shuts nothing
		t.Errorf("%+v", w)
	}
	near(t, "high", float64(w.High.V), 0.24, 1e-9)
	u.Weir, u.Reach = quantity.Some(quantity.Length(0.5)), quantity.Some(quantity.Length(0.001)) // about 3.6 m3/h
	if w = u.Window(3.6, 50); !w.Shut || w.LowBy != "rise of the level" || w.Low.V < 3 {
		t.Errorf("%+v", w)
	}
}

// TestLevelWindow: 10 mm of reach at a 0.5 m weir set at 3.6 m3/h: (h ± 0.01)^1.5·1.84·0.5·3600, by hand.
func TestLevelWindow(t *testing.T) {
	u := Unit{Weir: quantity.Some(quantity.Length(0.5)), Reach: quantity.Some(quantity.Length(0.01)), Set: 3.6}
	w := u.Window(3.6, 50)
	near(t, "high", float64(w.High.V), 9.772, 0.001) // h 0.010571 m
	near(t, "low", float64(w.Low.V), 0.0452, 0.0001)
	if w.HighBy != "rise of the level" || w.LowBy != "rise of the level" {
		t.Errorf("%+v", w)
	}
	got := u.Faults(Flows{0.02, 0.02, 12}, 50)
	if len(got) != 2 || got[0].Code != "level-high" || got[1].Code != "level-low" {
		t.Errorf("%v", got)
	}
}

// TestFaults: what harms the water speaks, with the flow that mends it; room to spare does not.
func TestFaults(t *testing.T) {
	u := hatchery()
	u.Pressure.V, u.White.V = 600, 0.6
	if got := u.Faults(Flows{1, 1, 4}, 50); len(got) != 0 {
		t.Errorf("room to spare speaks: %v", got)
	}
	got := u.Faults(Flows{2.2, 2.2, 12}, 50)
	text := got.Error()
	for _, want := range []string{
		"surface loading is 17.5 m/h at the peak flow of 12 m3/h; at most 15 m/h is usual: flocs may be carried under",
		"hold the flow to 10.2 m3/h at most, or see to more surface",
		"time in the unit is 3.09 min at the peak flow of 12 m3/h; at least 5 min is usual: floc leaves before it has risen",
		"air set free is", "at least 6 mg/L is usual: part of the floc may not rise",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said in\n%s", want, text)
		}
	}
	// What mends the air of a saturator is not what mends that of a pump, whose loading has a remedy of its own.
	if !strings.Contains(text, "of white water as now, or see to more white water or a higher pressure") || strings.Contains(text, "draw more air") {
		t.Errorf("the saturator's air: %s", text)
	}
	pump := Unit{Source: AirPump, Area: u.Area}.Faults(Flows{12, 12, 12}, 50)
	if len(pump) != 1 || !strings.Contains(pump[0].Remedy, "at most, or see to more surface") {
		t.Errorf("the loading of a unit with an air pump: %v", pump)
	}
	if one := u.Faults(Flows{12, 12, 12}, 50).Error(); !strings.Contains(one, "surface loading is 17.5 m/h at the flow of 12 m3/h;") {
		t.Errorf("%s", one)
	}
	for _, n := range got {
		if n.Source == "" {
			t.Errorf("%s has no source", n.Code)
		}
	}
}

// TestMoves: a deeper unit keeps the water longer and frees less air; more white water frees more.
func TestMoves(t *testing.T) {
	u := hatchery()
	of := map[string]Window{}
	for _, m := range u.Moves(3.6, 50) {
		of[m.What.String()] = m.Window
	}
	if len(of) != len(moves)-2 { // all but those of drawn air
		t.Fatalf("%d moves", len(of))
	}
	pump := hatchery()
	pump.Source, pump.Drawn = AirPump, quantity.Some(quantity.Flow(0.02)) // 1.204 x 20/6 = 4.01 m3/h at most; a quarter more air, 5.02
	for _, m := range pump.Moves(3.6, 50) {
		if strings.Contains(m.What.String(), "saturator") {
			t.Errorf("a pump has no %v", m.What)
		}
		if m.What.String() == "a quarter more air drawn" {
			near(t, "high with more air", float64(m.Window.High.V), 1.204*25/6, 1e-9)
		}
	}
	now := u.Window(3.6, 50)
	if now.HighBy != "air set free" {
		t.Fatalf("%+v", now)
	}
	for _, x := range []struct {
		what   string
		higher bool
	}{{"level 100 mm higher", false}, {"level 100 mm lower", true}, {"a quarter more white water", true}, {"a quarter less white water", false},
		{"saturator 100 kPa higher", true}, {"saturator 100 kPa lower", false}} {
		if got := of[x.what].High.V; (got > now.High.V) != x.higher {
			t.Errorf("%s: %v, now %v", x.what, got, now.High.V)
		}
	}
	if len((Unit{}).Moves(3.6, 50)) != 0 {
		t.Error("nothing known, yet moved")
	}
}

// TestInsideTheWindowNothingFails: at any flow inside, no guide is broken; just outside, the one named is.
func TestInsideTheWindowNothingFails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := hatchery()
		u.Area.V = quantity.Area(rapid.Float64Range(0.2, 20).Draw(t, "area"))
		u.White.V = quantity.Flow(rapid.Float64Range(0.05, 5).Draw(t, "white"))
		u.Pressure.V = quantity.Pressure(rapid.Float64Range(100, 600).Draw(t, "kPa"))
		solids := quantity.Concentration(rapid.Float64Range(1, 5000).Draw(t, "solids"))
		w := u.Window(3.6, solids)
		if w.Shut || !w.High.OK {
			return
		}
		w.Low.V = max(w.Low.V, w.Spare.V)
		if w.Low.V >= w.High.V {
			return
		}
		broken := func(q quantity.Flow) (out []string) {
			for _, g := range guides {
				if _, _, bad, ok := g.missed(u, u.At(q, solids), 0); ok && bad {
					out = append(out, g.name)
				}
			}
			return out
		}
		share := quantity.Flow(rapid.Float64Range(0.001, 0.999).Draw(t, "share"))
		if q := w.Low.V + share*(w.High.V-w.Low.V); len(broken(q)) > 0 {
			t.Fatalf("%v at %v inside %+v", broken(q), q, w)
		}
		if b := broken(w.High.V * 1.0001); len(b) == 0 || b[0] != w.HighBy {
			t.Fatalf("above the end %v, not %s", b, w.HighBy)
		}
	})
}

// TestAirLacks: what is missing is named by the way bubbles are made.
func TestAirLacks(t *testing.T) {
	u := hatchery()
	if len(u.AirLacks()) != 0 {
		t.Errorf("%v", u.AirLacks())
	}
	u.Efficiency.OK = false
	if got := u.AirLacks(); len(got) != 1 || got[0] != "saturator efficiency" || u.At(3.6, 50).Free.OK {
		t.Errorf("%v", got)
	}
	for _, m := range u.Moves(3.6, 50) {
		if strings.Contains(m.What.String(), "saturator") {
			t.Errorf("%v moves what is not known", m.What)
		}
	}
	u.Source = AirPump
	if got := u.AirLacks(); len(got) != 1 || got[0] != "air drawn" {
		t.Errorf("%v", got)
	}
}

// TestSources: each is found by the name that it is shown with.
func TestSources(t *testing.T) {
	for s := Saturator; s <= Stirred; s++ {
		if got, ok := SourceNamed(s.String()); !ok || got != s {
			t.Errorf("%v is not found", s)
		}
	}
	if _, ok := SourceNamed("bellows"); ok {
		t.Error("bellows are found")
	}
}

// TestLines: those that end the flows above come first that end them first, each with its figure and bound.
func TestLines(t *testing.T) {
	u := hatchery()
	u.White.V = 0.54
	lines := u.Lines(3.6, 50)
	var names []string
	for _, l := range lines {
		names = append(names, l.Name)
	}
	// 0.72 × 0.9 × 12 − 0.54 = 7.24 m3/h, 0.72 × 15 − 0.54 = 10.26, 0.72 × 12 / 0.05 = 173
	if strings.Join(names, ", ") != "air set free, time in the unit, surface loading, solids loading" {
		t.Errorf("%v", names)
	}
	is, bound := lines[2].At(u, u.At(3.6, 50))
	v, unit := is.Show(quantity.Metric)
	near(t, "loading", v, 4.14/0.72, 1e-12)
	if b, _ := bound.Show(quantity.Metric); b != 15 || unit != "m/h" || lines[2].Limit != "at most" || lines[0].Limit != "at least" {
		t.Errorf("%v %s %+v", b, unit, lines[2])
	}
}

// TestCoarseBubbles: those of a venturi or stirrer are told and not judged by their air; a pump's are judged.
func TestCoarseBubbles(t *testing.T) {
	for source, coarse := range map[Source]bool{Saturator: false, AirPump: false, Venturi: true, Stirred: true} {
		u := Unit{Source: source, Drawn: quantity.Some(quantity.Flow(0.001))} // 1 L an hour into 2 m3/h: 0.6 g/m3
		got := u.Faults(Flows{2, 2, 2}, 50)
		want := map[bool]string{true: "bubbles-coarse", false: "air-short"}[coarse]
		if source == Saturator {
			want = "" // no pressure is known
		}
		if want == "" && len(got) == 0 {
			continue
		}
		if coarse && got[0].Level != note.Info { // it is what the unit is, whatever the day
			t.Errorf("%v: %v", source, got[0].Level)
		}
		if len(got) != 1 || got[0].Code != want || strings.Contains(got.Error(), "white water") {
			t.Errorf("%v: %v", source, got)
		}
	}
	for source, saturates := range map[Source]bool{Saturator: true, AirPump: true, Venturi: true, Stirred: false} {
		if (Unit{Source: source}).Saturates() != saturates {
			t.Errorf("%v: gas that stays %v", source, !saturates)
		}
	}
	s := Unit{Source: Venturi, Drawn: quantity.Some(quantity.Flow(60))}.At(2, 50)
	if !(Unit{Source: Venturi}).Coarse() || s.Free.OK || s.Binds() || !(Unit{}).At(2, 601).Binds() {
		t.Errorf("%+v", s)
	}
}

// The window is where every figure holds: the highest of the lows and the lowest of the highs.
func TestHoldsMakeTheWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		u := Unit{Area: quantity.Some(quantity.Area(f("area", 0.2, 20))), Depth: quantity.Some(quantity.Length(f("depth", 0.3, 3))),
			Contact: quantity.Some(quantity.Volume(f("contact", 5, 2000))), White: quantity.Some(quantity.Flow(f("white", 0.05, 8))),
			Pressure: quantity.Some(quantity.Pressure(f("pressure", 200, 600))), Efficiency: quantity.Some(quantity.Fraction(f("efficiency", 0.5, 0.95))),
			Weir: quantity.Some(quantity.Length(f("weir", 0.2, 3))), Reach: quantity.Some(quantity.Length(f("reach", 0.003, 0.03))), Set: quantity.Flow(f("set", 1, 40))}
		near, solids := quantity.Flow(f("flow", 1, 40)), quantity.Concentration(f("solids", 5, 2000))
		w, low, high, never := u.Window(near, solids), 0.0, math.Inf(1), false
		for _, h := range u.Holds(near, solids) {
			never = never || h.Never
			low = math.Max(low, float64(h.Low.V))
			if h.High.OK {
				high = math.Min(high, float64(h.High.V))
			}
		}
		if w.Shut != (never || low > high) {
			t.Fatalf("shut %v, yet %v, %g to %g", w.Shut, never, low, high)
		}
		if !never && (float64(w.Low.V) != low || w.High.OK != !math.IsInf(high, 1) || w.High.OK && float64(w.High.V) != high) {
			t.Fatalf("window %+v, of its parts %g to %g", w, low, high)
		}
	})
}
