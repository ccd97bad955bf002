package clarify

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// told is a note with that code; its remedy stands behind its message.
func told(l note.List, code string) string {
	for _, n := range l {
		if n.Code == code {
			return n.Message + ": " + n.Remedy
		}
	}
	return ""
}

// TestBinsByHand: 75 NTU taken out of 60 m3 are 6.75 kg, 337.5 L at 2 %: 4.5 L for each
// NTU. A bin of 100 L, 90 % of it used, is full at 60, 40 and 20 NTU, after ln(80/C)/0.85
// turnovers of 5 h: 1.69, 4.08 and 8.15 h.
func TestBinsByHand(t *testing.T) {
	full := func(c float64) float64 { return math.Log(80/c) / 0.85 * 5 }
	k := plain()
	k.Share, k.Bin, k.Begin = 0.02, solids.Bin{Name: "B1", Volume: 100}, 14
	for _, x := range []struct {
		what    string
		change  func(*Tank)
		at      []float64 // readings
		unstaff string
	}{
		{"nobody's hours are known", func(*Tank) {}, []float64{60, 40, 20}, ""},
		{"somebody is always there", func(k *Tank) { k.Staffed = flow.Hours{{From: 0, To: 24}} }, []float64{60, 40, 20}, ""},
		// emptied at 18:00, 4 h in, at 80·exp(−0.68) = 40.53 NTU; the next 20 NTU further down, when nobody is there
		{"until 18:00", func(k *Tank) { k.Staffed = flow.Hours{{From: 8, To: 18}} }, []float64{60, 80 * math.Exp(-0.68), 80*math.Exp(-0.68) - 20}, "bin B1 is full at 22:00"},
		{"until 22:00", func(k *Tank) { k.Staffed = flow.Hours{{From: 8, To: 22}} }, []float64{60, 40, 80 * math.Exp(-1.36)}, ""},
		{"over midnight", func(k *Tank) { k.Begin, k.Staffed = 20, flow.Hours{{From: 8, To: 24}} }, []float64{60, 80 * math.Exp(-0.68), 80*math.Exp(-0.68) - 20}, "bin B1 is full at 04:00 the day after"},
		{"half full at first", func(k *Tank) { k.Bin.Now = 45 }, []float64{70, 50, 30, 10}, ""},
		{"all of a small bin", func(k *Tank) { k.Bin.Usable, k.Bin.Volume = 1, 180 }, []float64{40}, ""},
		{"no bin", func(k *Tank) { k.Bin = solids.Bin{} }, nil, ""},
		// Half a litre at 0.5 kg dry: 1 % of a litre for each NTU is full at 0.5 L, after 30 NTU.
		{"a tiny bin", func(k *Tank) { k.Bin.Usable, k.Bin.Volume, k.Share = 1, 0.8, 1 }, []float64{80 - 0.8/0.09}, ""},
	} {
		c := k
		x.change(&c)
		r := cleaned(t, c)
		if x.what == "a tiny bin" {
			if len(r.Waste.Bins) != 8 { // 6.75 L
				t.Errorf("%s: %d bins", x.what, len(r.Waste.Bins))
			}
		} else if len(r.Waste.Bins) != len(x.at) {
			t.Errorf("%s: %v", x.what, r.Waste.Bins)
			continue
		}
		for i, c := range x.at {
			near(t, x.what, float64(r.Waste.Bins[i]), full(c), 4e-4) // a straight line between moments five minutes apart
		}
		if got := told(r.Notes, "bin-full-unstaffed"); (got != "") != (x.unstaff != "") || !strings.Contains(got, x.unstaff) {
			t.Errorf("%s: %q", x.what, got)
		}
	}
	// No more bins are listed than anybody empties.
	k.Bin.Usable, k.Bin.Volume = 1, 0.1
	if r := cleaned(t, k); len(r.Waste.Bins) != 1000 {
		t.Errorf("%d bins", len(r.Waste.Bins))
	}
	// Without the share of dry solids the bin takes what skimming carries: 2 L/h; that is no matter of solids.
	k.Share, k.Bin.Volume, k.Skim, k.Staffed = 0, 4, solids.Skimmer{Every: 0.25, Water: 0.5}, flow.Hours{{From: 8, To: 9}}
	r := cleaned(t, k)
	if len(r.Waste.Bins) != 8 || told(r.Notes, "bin-full-unstaffed") != "" {
		t.Errorf("%v %v", r.Waste.Bins, r.Notes)
	}
	near(t, "skimmed", float64(r.Waste.Water), 2*float64(r.Running), 1e-9)
	near(t, "the second bin of water", float64(r.Waste.Bins[1]), 4, 1e-4)
}

// TestEndings: why a tank does not clear, and by how much more water it would: what
// comes in, 8 NTU/h × 60 m3 = 480, over 0.85 × (5 − 0) at each m3 that goes round.
func TestEndings(t *testing.T) {
	for _, x := range []struct {
		what    string
		change  func(*Tank)
		outcome Outcome
		says    string
	}{
		{"solids come in", func(k *Tank) { k.Rise = 8 }, NeverClears, "send more than 112.9 m3/h round"},
		{"and new water", func(k *Tank) { k.Rise, k.Exchange, k.New = 8, 2, 20 }, NeverClears, "send more than 120 m3/h round"},
		{"new water alone, a floor", func(k *Tank) { k.Exchange, k.New, k.Floor = 100, 20, 1 }, NeverClears, "send more than 441.2 m3/h round"},
		{"the unit's outlet", func(k *Tank) { k.Floor, k.Rise = 5, 1 }, NeverClears, "the unit's own outlet reads 5 NTU"},
		{"an idle unit", func(k *Tank) { k.Removal = 1e-6 }, NeverClears, "raise the removal at each pass"},
		{"an idle unit, new water as clear as asked", func(k *Tank) { k.Removal, k.Exchange, k.New = 1e-6, 1e-6, 5 }, NeverClears, "raise the removal at each pass"},
		{"too slow", func(k *Tank) { k.Longest = 3 }, TooLong, "after 3 h the tank still reads 48 NTU"}, // 80 exp(−0.85 × 3/5)
		{"clear already", func(k *Tank) { k.Start = 4 }, ClearAlready, "the tank reads 4 NTU and is to be cleared to 5 NTU"},
		{"just clear", func(k *Tank) { k.Start = 5 }, ClearAlready, "the tank reads 5 NTU and is to be cleared to 5 NTU"},
		{"dosed to the end", func(k *Tank) { k.Rise, k.Chemicals = 8, []Chemical{{Name: "alum", Rule: Always(1)}} }, NeverClears, "send more than 112.9 m3/h"},
	} {
		k := plain()
		x.change(&k)
		r := cleaned(t, k)
		all := ""
		for _, n := range r.Notes {
			all += n.Message + ": " + n.Remedy + "\n"
		}
		if r.Outcome != x.outcome || !strings.Contains(all, x.says) {
			t.Errorf("%s: %s: %s", x.what, r.Outcome, all)
		}
	}
	k := plain()
	k.Removal = 0.001
	near(t, "14 days", float64(cleaned(t, k).Time), 336, 1e-12)
	k.Longest = 500
	near(t, "as long as asked", float64(cleaned(t, k).Time), 500, 1e-12)
}

// TestWhenToTestAgain: before the start, at each step of a dose, at the end of a curve's
// range, and at each halving, but none when the tank is all but clear.
func TestWhenToTestAgain(t *testing.T) {
	curve, _ := Following([]Step{{20, 2}, {100, 25}})
	steps, _ := Stepped([]Step{{10, 4}, {30, 20}})
	for _, x := range []struct {
		what string
		rule Rule
		stop float64
		want map[float64]string // by reading
		end  Outcome
	}{
		{"one dose", Always(1), 5, map[float64]string{80: "before you begin", 40: "has halved", 20: "has halved", 10: "has halved"}, Cleared},
		{"one dose, to just below the last halving", Always(1), 8.2, map[float64]string{80: "before you begin", 40: "has halved", 20: "has halved", 10: "has halved"}, Cleared},
		{"all but clear", Always(1), 8.5, map[float64]string{80: "before you begin", 40: "has halved", 20: "has halved"}, Cleared},
		{"a curve", curve, 12, map[float64]string{80: "before you begin", 40: "has halved", 20: "below 20.0 NTU the dose curve of alum was never tested"}, Cleared},
		{"steps", steps, 5, map[float64]string{80: "before you begin", 40: "has halved", 20: "has halved", 10: "alum ends here"}, NeverClears},
		{"clear at first", Always(1), 80, nil, ClearAlready},
	} {
		k := plain()
		k.Stop, k.Chemicals = x.stop, []Chemical{{Name: "alum", Rule: x.rule}}
		r := cleaned(t, k)
		if len(r.JarTests) != len(x.want) || r.Outcome != x.end {
			t.Errorf("%s: %s %v", x.what, r.Outcome, r.JarTests)
		}
		for at, says := range x.want {
			found := false
			for _, j := range r.JarTests {
				found = found || math.Abs(j.Reading/at-1) < 1e-4 && strings.Contains(j.Why.String(), says)
			}
			if !found {
				t.Errorf("%s: nothing at %g: %v", x.what, at, r.JarTests)
			}
		}
		for _, j := range r.JarTests {
			near(t, x.what+": its time", j.Reading, 80*math.Exp(-0.85*float64(j.At)/5), 5e-5) // straight between two moments
		}
	}
	if r := cleaned(t, plain()); len(r.JarTests) != 0 {
		t.Errorf("nothing is dosed, and %v", r.JarTests)
	}
}

// TestResidualsByHand: 0.04 mg/L builds up by 0.04 at each turnover, to 0.1305 after the
// ln(16)/0.85 = 3.262 of the run; 0.1 is reached after 2.5, 12.5 h, at 80 exp(−0.85 × 2.5) = 9.55 NTU.
func TestResidualsByHand(t *testing.T) {
	k := plain()
	polymer := Chemical{Name: "polymer", Rule: Always(0.04), Where: note.Say("part of a limit"), Care: note.Say("a lesser part")}
	for _, x := range []struct {
		what         string
		stop, warn   quantity.Concentration
		capture      quantity.Fraction
		measured     bool
		code, says   string
		level, worst note.Level
	}{
		{what: "stopped", stop: 0.1, warn: 0.01, code: "residual-builds-up", level: note.Stop,
			says: "0.13 mg/L if all of it stays in the water; 0.1 mg/L stops it (part of a limit). That is reached at 12:30, after 12 h 30 min, 2.5 turnovers, when the tank reads 9.55 NTU"},
		{what: "warned", stop: 0.2, warn: 0.1, code: "residual-rises", level: note.Caution,
			says: "0.13 mg/L if all of it stays in the water; above 0.1 mg/L take care (a lesser part). That is reached at 12:30, after 12 h 30 min, 2.5 turnovers"},
		{what: "a limit beyond", stop: 0.2, warn: 0.14},
		{what: "no limit"},
		{what: "half of it caught", stop: 0.1, warn: 0.05, capture: 0.5, measured: true, code: "residual-rises", level: note.Caution,
			says: "with the measured capture of 50 %; above 0.05 mg/L take care (a lesser part). That is reached at 12:30, after 12 h 30 min, 2.5 turnovers"},
	} {
		c := polymer
		c.StopAt, c.WarnAt, c.Capture, c.HasCapture = x.stop, x.warn, x.capture, x.measured
		k.Chemicals = []Chemical{c}
		r := cleaned(t, k)
		var found note.List
		for _, n := range r.Notes {
			if strings.HasPrefix(n.Code, "residual") {
				found.Add(n)
			}
		}
		if x.code == "" && len(found) > 0 || x.code != "" && (len(found) != 1 || found[0].Code != x.code || found[0].Level != x.level || !strings.Contains(found[0].Message, x.says)) {
			t.Errorf("%s: %v", x.what, found)
		}
	}
	// At the limit itself; and a chemical that was never dosed has none.
	r := Result{Tank: k, Moments: []Moment{{Residuals: []Residual{{}}}, {At: 4, Turnovers: 2, Reading: 10, Residuals: []Residual{{Bound: 1, Worst: 0.5}}}}}
	r.Final = r.Moments[1]
	for _, x := range []struct {
		stop, warn, bound quantity.Concentration
		code              string
	}{{0.5, 0.1, 1, "residual-builds-up"}, {0.51, 0.5, 1, "residual-rises"}, {0.51, 0.51, 1, ""}, {0.5, 0.1, 0, ""}, {0.5, 0.1, 0.5, "residual-builds-up"}} {
		r.Notes, r.Tank.Chemicals = nil, []Chemical{{Name: "x", StopAt: x.stop, WarnAt: x.warn}}
		r.Final.Residuals = []Residual{{Bound: x.bound, Worst: 0.5}}
		r.residuals()
		if x.code == "" && len(r.Notes) > 0 || x.code != "" && (len(r.Notes) != 1 || r.Notes[0].Code != x.code) {
			t.Errorf("%+v: %v", x, r.Notes)
		}
	}
}

// TestBetweenMoments: readings, turnovers and times on the straight line between two
// moments; beyond the last one its own stand.
func TestBetweenMoments(t *testing.T) {
	r := Result{Time: 9, Turnovers: 7, Moments: []Moment{{At: 0, Turnovers: 0, Reading: 80}, {At: 4, Turnovers: 2, Reading: 40}, {At: 6, Turnovers: 6, Reading: 30}}}
	r.Final = Moment{Reading: 29}
	for at, want := range map[quantity.Time][2]float64{0: {0, 80}, 1: {0.5, 70}, 4: {2, 40}, 5: {4, 35}, 5.5: {5, 32.5}, 6: {6, 30}, 6.5: {7, 29}} {
		near(t, "turnovers", r.at(at, func(m Moment) float64 { return m.Turnovers }, r.Turnovers), want[0], 1e-12)
		near(t, "reading", r.ReadingAt(at), want[1], 1e-12)
	}
	for value, want := range map[float64]float64{-80: 0, -81: 0, -70: 1, -40: 4, -35: 5, -32: 5.6, -30: 6, -29: 9} {
		near(t, "when", float64(r.when(func(m Moment) float64 { return -m.Reading }, value)), want, 1e-12)
	}
}

// TestAlkalinityLimits: below 20 mg/L it stops where the run takes more than it leaves, below
// 50 care is called for, unless it loses less than a quarter of what it had; at the
// limit itself nothing is said.
func TestAlkalinityLimits(t *testing.T) {
	for _, x := range []struct {
		start, end quantity.Alkalinity
		code, says string
	}{
		{60, 50, "", ""}, {60, 49.5, "", ""}, {66, 49.5, "alkalinity-low", "below 50 mg/L CaCO3 water is soft, and its pH turns quickly. That is reached at 03:53, after 3 h 53 min, 1.9 turnovers"},
		{50, 49, "", ""}, {50, 37.5, "alkalinity-low", "That is so from the start"}, {49, 48, "", ""}, {49, 38, "", ""}, {45, 35.6, "", ""},
		{49, 36, "alkalinity-low", "It is below that from the start"}, // more than a quarter of it
		{60, 20, "alkalinity-low", "That is reached at 01:00, after 1 h, 0.50 turnovers"}, {60, 10, "alkalinity-gone", "below 20 mg/L CaCO3 the pH gives way. That is reached at 03:12, after 3 h 12 min, 1.6 turnovers"},
		{19, 18, "", ""}, {19, 13, "alkalinity-low", "It is below that from the start"}, {19, 8, "alkalinity-gone", "It is below that from the start"}, {30, 30, "", ""}, {30, 31, "", ""},
		{30, -7.895, "alkalinity-gone", "alkalinity falls from 30 mg/L CaCO3 to none, with acid left over that takes the pH below about 5.5; below 20"}, {60, 36.314, "alkalinity-low", "from 60 mg/L CaCO3 to 36.3 mg/L CaCO3;"},
	} {
		r := Result{Tank: Tank{HasAlkalinity: true, Alkalinity: x.start}, Moments: []Moment{{Alkalinity: x.start}, {At: 4, Turnovers: 2, Alkalinity: x.end}}}
		r.Final = r.Moments[1]
		r.alkalinity()
		if got := told(r.Notes, x.code); x.code == "" && len(r.Notes) > 0 || !strings.Contains(got, x.says) || x.code != "" && len(r.Notes) != 1 {
			t.Errorf("%v to %v: %v", x.start, x.end, r.Notes)
		}
	}
	// What the animals should have stands beside what most waters should: crabs 80 mg/L.
	crabs := Result{Tank: Tank{HasAlkalinity: true, Alkalinity: 90, Asks: 80, AskedBy: "mud crab"}, Moments: []Moment{{Alkalinity: 90}, {At: 4, Turnovers: 2, Alkalinity: 47.7}}}
	crabs.Final = crabs.Moments[1]
	crabs.alkalinity()
	if got := told(crabs.Notes, "alkalinity-low"); !strings.Contains(got, "its pH turns quickly, and mud crab should have 80 mg/L CaCO3 or more. That is") {
		t.Errorf("%v", crabs.Notes)
	}
	works := Result{Tank: Tank{HasAlkalinity: true, Alkalinity: 60, Works: true}, Final: Moment{Alkalinity: 36}}
	if works.alkalinity(); len(works.Notes) > 0 { // 50 is for ponds
		t.Errorf("works: %v", works.Notes)
	}
	r := Result{Tank: Tank{Alkalinity: 60}, Final: Moment{Alkalinity: 10}}
	if r.alkalinity(); len(r.Notes) > 0 {
		t.Errorf("not known, and %v", r.Notes)
	}
}

// TestKeys: suspended solids count themselves, turbidity 1.5 mg/L per NTU until it is measured.
func TestKeys(t *testing.T) {
	for _, x := range []struct {
		key            jartest.Key
		per            float64
		low, dry, high float64 // kg of 75 units in 60 m3
	}{
		{jartest.Turbidity, 0, 0.7 * 4.5, 6.75, 2.2 * 4.5}, {jartest.Turbidity, 2, 9, 9, 9}, {jartest.TSS, 0, 4.5, 4.5, 4.5}, {jartest.TSS, 0.8, 3.6, 3.6, 3.6},
	} {
		k := plain()
		k.Key, k.PerUnit = x.key, x.per
		d := cleaned(t, k).Waste.Dry
		near(t, "low", float64(d.Low), x.low, 1e-9)
		near(t, "dry", float64(d.Likely), x.dry, 1e-9)
		near(t, "high", float64(d.High), x.high, 1e-9)
	}
}
