package solids

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestHydroxides: from atomic masses (IUPAC 2021, abridged: Al 26.982, Fe 55.845, O 15.999, H 1.008).
// Al(OH)3 is 26.982 + 3 × 17.007 = 78.003, of which 2.891 per Al; each bound water adds 18.015.
func TestHydroxides(t *testing.T) {
	const oh, water = 15.999 + 1.008, 15.999 + 2*1.008
	for _, c := range []struct {
		what         string
		w            Water
		plain, bound float64
	}{
		{"aluminium hydroxide", Water{Al: 0.8}, (26.982 + 3*oh) / 26.982, (26.982 + 3*oh + 3*water) / 26.982},
		{"iron hydroxide", Water{Fe: 0.8}, (55.845 + 3*oh) / 55.845, (55.845 + 3*oh + 3*water) / 55.845},
	} {
		r, parts := Dry(c.w)
		near(t, c.what+", plain", float64(r.Low), 0.8*c.plain, 1e-4)
		near(t, c.what+", likely", float64(r.Likely), 0.8*c.bound, 1e-4)
		near(t, c.what+", high", float64(r.High), 0.8*c.bound, 1e-4)
		if len(parts) != 1 || parts[0].What != c.what {
			t.Errorf("%v", parts)
		}
	}
	near(t, "Al(OH)3 per Al", (26.982+3*oh)/26.982, 2.89, 0.005) // the factor of textbooks
	near(t, "Fe(OH)3 per Fe", (55.845+3*oh)/55.845, 1.91, 0.005)
}

// TestWorking: the words beside each part of the solids.
func TestWorking(t *testing.T) {
	_, parts := Dry(Water{Turbidity: 40, Capture: 0.9, Al: 2, Fe: 1.5, Polymer: 0.25})
	want := [][2]string{
		{"40 NTU x 1.5 mg/L per NTU x 90 % caught", "until measured: Davis 2010, Water and Wastewater Engineering, p. 6-51; the range, of waters of low colour, from memory, not checked in its source"},
		{"2 mg/L Al x 4.89", sourceHydroxides}, {"1.5 mg/L Fe x 2.88", sourceHydroxides}, {"0.25 mg/L", "all of it ends in the float"},
	}
	for i, w := range want {
		if len(parts) != len(want) || parts[i].Working.String() != w[0] || parts[i].Source != w[1] {
			t.Fatalf("%+v", parts)
		}
	}
	// 40 × 1.5 × 0.9 + 2 × 4.894 + 1.5 × 2.8814 + 0.25 = 54 + 9.788 + 4.322 + 0.25
	r, _ := Dry(Water{Turbidity: 40, Capture: 0.9, Al: 2, Fe: 1.5, Polymer: 0.25})
	near(t, "all of it", float64(r.Likely), 68.360, 0.002)
	near(t, "at least", float64(r.Low), 40*0.7*0.9+2*2.8910+1.5*1.9136+0.25, 0.002)
	near(t, "at most", float64(r.High), 40*2.2*0.9+9.788+4.322+0.25, 0.002)
	// the site's own figure has no range; nothing caught means all of it
	r, parts = Dry(Water{Turbidity: 0.5, PerNTU: 0.8})
	if r.Low != r.High || len(parts) != 1 || parts[0].Working.String() != "0.5 NTU x 0.80 mg/L per NTU x 100 % caught" ||
		parts[0].Source != "the site's own" {
		t.Errorf("%+v", parts)
	}
	near(t, "its own", float64(r.Likely), 0.4, 1e-12)
	// Measured solids count before turbidity, zero too.
	if r, parts = Dry(Water{HasTSS: true, Turbidity: 50}); r.High != 0 || len(parts) != 1 {
		t.Errorf("%+v", parts)
	}
	_, parts = Dry(Water{TSS: 30, HasTSS: true, Capture: 0.8})
	if parts[0].Working.String() != "30 mg/L x 80 % caught" || parts[0].Source != "measured" || parts[0].Range.Likely != 24 {
		t.Errorf("%+v", parts)
	}
	if r, parts = Dry(Water{}); r != (Range[quantity.Concentration]{}) || parts != nil {
		t.Errorf("clear water makes %v", parts)
	}
	if got := (Range[quantity.Mass]{1, 2, 4}).Scale(0.5); got != (Range[quantity.Mass]{0.5, 1, 2}) {
		t.Errorf("half of it: %v", got)
	}
	if PerNTURange() != (Range[float64]{0.7, 1.5, 2.2}) {
		t.Error(PerNTURange())
	}
}

// TestVolumes: kg over share and density, and back. 3 kg at 2 % is 150 kg of float; at 1.05 kg/L 142.857 L.
func TestVolumes(t *testing.T) {
	near(t, "float", float64(VolumeOf(3, 0.02, 1.05)), 142.857, 0.001)
	near(t, "float of water's density", float64(VolumeOf(3, 0.02, 0)), 150, 1e-9)
	near(t, "lighter than water", float64(VolumeOf(3, 0.02, 0.5)), 300, 1e-9)
	near(t, "45 mg/L of 86.4 m3", float64(MassOf(45, 86400)), 3.888, 1e-9) // 3.6 m3/h for 24 h
	// a scraper gives 3 to 6 %, flooding 0.5 or less (Water Treatment Plant Design, p. 7.39): 6 to 12 times the float
	scraped, _ := UsualShare(Scraped)
	flooded, _ := UsualShare(Overflow)
	if scraped.Low != 0.03 || scraped.High != 0.06 || flooded.High != 0.005 || scraped.Low/flooded.High < 6-1e-9 || scraped.High/flooded.High > 12+1e-9 {
		t.Errorf("scraped %v, flooded %v", scraped, flooded)
	}
	share, source := UsualShare(Skimmed)
	if share != (Range[quantity.Fraction]{0.01, 0.02, 0.03}) || source != "Voutchkov 2017 p. 145; Zabel 1985 (abstract)" {
		t.Errorf("float %v, %s", share, source)
	}
	if share, source = UsualShare(Settled); share != (Range[quantity.Fraction]{0.01, 0.015, 0.02}) || source != "common practice, no source" {
		t.Errorf("sludge %v, %s", share, source)
	}
}

// tub is a bin filled minute by minute, a second way to a schedule: what a minute brings comes evenly.
type tub struct {
	d       flow.Day
	l       Load
	staffed flow.Hours
}

func (b tub) minute(m int) float64 { // litres in the minute
	q := float64(b.d.At(quantity.Time((float64(m%1440) + 0.5) / 60)))
	if q <= 0 {
		return 0
	}
	return (float64(b.l.PerWater)*q + float64(b.l.PerRunning)) / 60
}

func (b tub) there(m int) bool { // somebody, in that minute
	return b.staffed.Covers(quantity.Time((float64(m%1440) + 0.5) / 60))
}

// full gives the minute, with its part, at which so much has come in since a minute.
func (b tub) full(from int, room float64, end int) (float64, bool) {
	for m := from; m < end; m++ {
		in := b.minute(m)
		if in > 0 && room <= in {
			return float64(m) + room/in, true
		}
		room -= in
	}
	return 0, false
}

// anyTub has a flow that changes twice a day and stands still for part of some, and staff round the clock or in two shifts.
func anyTub(t *testing.T, r *rand.Rand) tub {
	t.Helper()
	a, b := 60*r.IntN(12), 60*(12+r.IntN(12))
	d, err := flow.ByHour([]flow.Step{{From: quantity.Time(a) / 60, Flow: quantity.Flow(r.IntN(3)) * 1.9},
		{From: quantity.Time(b) / 60, Flow: 0.4 + quantity.Flow(r.IntN(4))}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	one := tub{d, Load{PerWater: quantity.Volume(1 + r.IntN(8)), PerRunning: quantity.Volume(r.IntN(3))}, nil}
	if r.IntN(3) > 0 {
		one.staffed = flow.Hours{{From: 6, To: 11}, {From: 13, To: quantity.Time(15 + r.IntN(7))}}
	}
	return one
}

// TestBinByMinutes: emptyings against the tub, at times cut to minutes.
func TestBinByMinutes(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 15))
	early, over := 0, 0
	for range 150 {
		tb := anyTub(t, r)
		d := tb.d
		bin := Bin{Name: "B", Volume: quantity.Volume(60.37 + float64(r.IntN(300))), Usable: quantity.Fraction(r.IntN(2)) * 0.8}
		room := float64(bin.Volume) * []float64{0.9, 0.8}[int(bin.Usable+0.5)]
		bin.Now = quantity.Volume(float64(r.IntN(2)) * 0.3 * room)
		start := 60 * r.IntN(24)
		s := bin.Plan(d, tb.l, tb.staffed, quantity.Time(start)/60, 4)
		end := start + 4*1440
		at, fills := tb.full(start, room-float64(bin.Now), end)
		if s.Fills != fills {
			t.Fatalf("fills %v, want %v", s.Fills, fills)
		}
		if fills {
			near(t, "full at", float64(s.FullAt)*60, at, 1e-6)
			run := 0.0 // minutes in which the unit runs
			for m := start; float64(m) < at; m++ {
				if d.At(quantity.Time(math.Mod(float64(m)+0.5, 1440)/60)) > 0 {
					run += math.Min(1, at-float64(m))
				}
			}
			near(t, "full in", float64(s.FullIn)*60, run, 1e-4)
		}
		// each emptying from the one before, as the program gives it: times within a minute are cut off
		now, contents := float64(start), float64(bin.Now)
		for _, e := range s.Emptyings {
			m := int(math.Floor(now + 1e-9))
			rest := room - contents + tb.minute(m)*(now-float64(m)) // what came before in this minute counts again
			full, ok := tb.full(m, rest, end)
			if !ok {
				t.Fatalf("emptied at %v, never full", e.At)
			}
			want, isEarly := full, false
			if !tb.there(int(full)) {
				for k := int(full); float64(k) > now+1e-6; k-- { // back to the end of a staffed stretch
					if tb.there(k-1) && !tb.there(k) && float64(k) <= full+1e-9 {
						want, isEarly = float64(k), true
						break
					}
				}
			}
			near(t, "emptied at", float64(e.At)*60, want, 1e-5)
			if e.Early != isEarly {
				t.Fatalf("%+v: early %v", e, isEarly)
			}
			sum := contents
			for k := m; k < int(want); k++ {
				sum += tb.minute(k)
			}
			sum += tb.minute(int(want))*(want-math.Floor(want)) - tb.minute(m)*(now-float64(m))
			near(t, "contents", float64(e.Contents), sum, 1e-5*room)
			switch {
			case isEarly:
				early++
			case !tb.there(int(full)):
				over++
				if s.Notes.Worst() != note.Caution {
					t.Error("an overflow is not told")
				}
			}
			now, contents = float64(e.At)*60, 0
		}
		if next, ok := tb.full(int(math.Floor(now+1e-9)), room-contents+tb.minute(int(now))*(now-math.Floor(now)),
			end); ok && next < float64(end)-1 {
			t.Fatalf("not emptied at minute %g", next)
		}
		day := 0.0
		for m := range 1440 {
			day += tb.minute(m)
		}
		near(t, "a day's load", float64(tb.l.Of(d)), day, 1e-6*day)
		if n := len(s.Emptyings); n > 1 {
			taken := 0.0
			for _, e := range s.Emptyings[1:] { // one that comes too late takes what ran over, too
				taken += float64(e.Contents)
			}
			near(t, "a day", s.PerDay, float64(n-1)*day/taken, 1e-6)
		} else {
			near(t, "a day, seldom", s.PerDay, day/room, 1e-9*day)
		}
	}
	if early < 50 || over < 10 {
		t.Errorf("only %d early emptyings and %d overflows", early, over)
	}
}

// TestOverflow: 3.6 m3/h × 5 L/m3 = 18 L/h into a bin of 100 L (90 usable): 5 h. Staff from 8 to 16. From 6 it is full at 11,
// then at 16 when they leave; next at 21, nobody there until 8: by then 18 × 16 = 288 L, a bin of 288/0.9 = 320 L.
func TestOverflow(t *testing.T) {
	d, err := flow.Constant(3.6, nil)
	if err != nil {
		t.Fatal(err)
	}
	b := Bin{Name: "float bin", Volume: 100}
	b.At.Cell = "C7"
	near(t, "room", float64(b.Room()), 90, 1e-12)
	s := b.Plan(d, Load{PerWater: 5}, flow.Hours{{From: 8, To: 16.01}}, 6, 1)
	if len(s.Emptyings) < 3 || len(s.Notes) != 1 {
		t.Fatalf("%+v", s)
	}
	for i, want := range []float64{11, 16, 16.01, 21.01, 26.01} {
		near(t, "emptied", float64(s.Emptyings[i].At), want, 1e-9)
	}
	n := s.Notes[0]
	if n.Code != "bin-overflows" || n.Cell != "C7" ||
		n.Message != "bin float bin, emptied at 16:01, is full at 21:01 while nobody is there until 08:00 the day after" ||
		n.Remedy != "use a bin of 320 L or more, or send somebody at 21:01" {
		t.Errorf("%v", n)
	}
	// half full at the start, and a day on which nothing comes
	b.Now = 45
	near(t, "half full", float64(b.Plan(d, Load{PerWater: 5}, nil, 6, 1).FullIn), 2.5, 1e-9)
	b.Now = 95
	near(t, "over full", float64(b.Plan(d, Load{PerWater: 5}, nil, 6, 1).FullIn), 0, 0)
	b.Now = 0
	if s := b.Plan(d, Load{}, nil, 6, 5); s.Fills || len(s.Emptyings) != 0 || s.PerDay != 0 {
		t.Errorf("%+v", s)
	}
	if s := b.Plan(d, Load{PerWater: 0.001}, nil, 6, 5); s.Fills || len(s.Emptyings) != 0 {
		t.Errorf("%+v", s)
	}
	near(t, "0.0864 L a day", b.Plan(d, Load{PerWater: 0.001}, nil, 6, 5).PerDay, 0.0864/90, 1e-12)
	// A small load: 0.5 L a day fills 0.9 L in 43.2 h.
	s = Bin{Volume: 1}.Plan(d, Load{PerWater: 0.5 / 86.4}, nil, 0, 7)
	near(t, "a small bin", float64(s.FullIn), 43.2, 1e-9)
}

// TestSkimByHand: 3.6 m3/h from 6 to 18 with a peak of 5.4, 4 L of float per m3, 2 % dry, 0.25 L of water each pass.
func TestSkimByHand(t *testing.T) {
	hours, err := flow.ParseHours("06:00-18:00")
	if err != nil {
		t.Fatal(err)
	}
	d, err := flow.Constant(3.6, hours)
	if err != nil {
		t.Fatal(err)
	}
	d = d.WithRange(0, 5.4)
	s := Skimmer{Every: 0.25, Water: 0.25, Area: 0.8}
	near(t, "an hour", float64(s.PerHour()), 1, 1e-12)
	near(t, "never", float64(Skimmer{Water: 3}.PerHour()), 0, 0)
	near(t, "every three quarters of an hour", float64(Skimmer{Every: 0.75, Water: 3}.PerHour()), 4, 1e-12)
	// 12 h: 48 passes, 12 L of water beside 43.2 × 4 = 172.8 L of float
	got := s.Try(0.25, d, 4, 0.02, Bin{Volume: 300, Usable: 0.77})
	near(t, "passes", got.Passes, 48, 1e-9)
	near(t, "lost", float64(got.Lost), 12, 1e-9)
	near(t, "of the water", float64(got.Share), 12/43200.0, 1e-12)
	near(t, "solids", float64(got.Solids), 0.02*172.8/184.8, 1e-12)
	near(t, "bin", float64(got.BinIn), 12+(231-184.8)/15.4, 1e-9) // a day takes 184.8 L, 15.4 L each hour that it runs
	near(t, "depth at the peak", got.Depth.In("mm"), 5.4*4*0.25/0.8, 1e-9)
	if !got.HasDepth || got.TooDeep || got.Every != 0.25 {
		t.Errorf("%+v", got)
	}
	// 27 mm an hour: 50 mm after 1.85 h, so of the table 1 h is the longest; to 60 mm it is 2 h, to 13 mm 0.25 h
	for deepest, want := range map[quantity.Length]quantity.Time{0: 1, 0.06: 2, 0.013: 0.25, 0.0135: 0.5, 0.0005: 0} {
		s.Deepest = deepest
		rows, best, notes := s.Compare(d, 4, 0.02, Bin{})
		near(t, "best", float64(best), float64(want), 0)
		if len(rows) != 7 || rows[0].BinIn != 0 || deepest > 0.01 && len(notes) != 0 {
			t.Errorf("%v %v", rows, notes)
		}
	}
	s.Deepest = 0
	for i, minutes := range []float64{2, 5, 10, 15, 30, 60, 120} {
		near(t, "interval", Intervals()[i].In("min"), minutes, 1e-9)
	}
	// Every 3 h the float grows to 81 mm; 50 mm come in 1.852 h.
	s.Every = 3
	_, _, notes := s.Compare(d, 4, 0.02, Bin{})
	if len(notes) != 1 ||
		notes[0].Message != "skimming every 3 h lets the float grow to 81 mm at peak flow; solids fall back from about 50 mm" ||
		notes[0].Remedy != "skim every 1.852 h or sooner" {
		t.Errorf("%v", notes)
	}
	// Every 2 min with 1 L: 360 L beside 172.8 L of float, 2.1 times; hourly 12 L.
	s.Every, s.Water = 2.0/60, 1
	_, _, notes = s.Compare(d, 4, 0.02, Bin{})
	if len(notes) != 1 || notes[0].Message != "skimming every 2 min carries over 360 L of water a day, 2.1 times the float itself" ||
		notes[0].Remedy != "skimming every 1 h would lose 12 L a day" {
		t.Errorf("%v", notes)
	}
	// Without a surface there is no depth, and no better interval to name.
	s.Area = 0
	rows, best, notes := s.Compare(d, 4, 0.02, Bin{})
	if best != 0 || rows[6].HasDepth || rows[6].TooDeep || len(notes) != 1 ||
		notes[0].Remedy != "skim less often, or set the skimmer to carry less water" {
		t.Errorf("%v %v", best, notes)
	}
	s.Water = 0.47 // 169.2 L, just less than the float
	if _, _, notes = s.Compare(d, 4, 0.02, Bin{}); len(notes) != 0 {
		t.Errorf("%v", notes)
	}
	// as much water as float, 172.8 L, is not more; without any float there is nothing to set it against
	if _, _, notes = (Skimmer{Every: 0.25, Water: 3.6}).Compare(d, 4, 0.02, Bin{}); len(notes) != 0 {
		t.Errorf("%v", notes)
	}
	if _, _, notes = s.Compare(d, 0, 0.02, Bin{}); len(notes) != 0 {
		t.Errorf("%v", notes)
	}
	// a day without water, and one without float
	if got := s.Try(1, flow.Day{}, 4, 0.02, Bin{Volume: 300}); got.Passes != 0 || got.Share != 0 || got.Solids != 0 || got.BinIn != 0 {
		t.Errorf("%+v", got)
	}
	s.Every, s.Water = 0, 1
	if _, _, notes = s.Compare(d, 4, 0.02, Bin{}); len(notes) != 0 {
		t.Errorf("no interval is told: %v", notes)
	}
}

// TestBinOverMidnight: a run from 22:00 to 04:00 begins at 22:00, not at midnight: of 4 L an
// hour a bin of 40 L takes the 6 h of one night and, after the rest, 4 h of the next: 10 h of running.
func TestBinOverMidnight(t *testing.T) {
	hours, err := flow.ParseHours("22:00-04:00")
	if err != nil {
		t.Fatal(err)
	}
	d, err := flow.Constant(1, hours)
	if err != nil {
		t.Fatal(err)
	}
	got := Skimmer{Water: 1}.Try(0.5, d, 2, 0.02, Bin{Volume: 40, Usable: 1})
	near(t, "bin", float64(got.BinIn), 6+4, 1e-6)
}
