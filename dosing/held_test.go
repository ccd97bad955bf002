package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// loop is a loop of 60 m3 with 20 kg/d of feed, a quarter of it suspended solids: 5 kg/d, or 3.4722 mg/L an hour.
const loop = `
place: {name: "Loop", purpose: "animals", water_passes: "recirculating"}
water: {temperature: "24 C", turbidity: "%TURBIDITY", ph: "7.6", alkalinity: "120 mg/L CaCO3", total_ammonia: "0.1 mg/L", water_in_the_system: "60 m3"}
flow: {average_flow: "12 m3/h"%FLOW}
tanks: [{name: "loop", use: "animals", volume: "60 m3"}]
chemicals: [{name: "PACl", product: "pacl-18", basis: "as product", %DOSE}]
solids: {tank_to_clean_up: "loop", solids_caught: "60 %", hold_at: "40 mg/L", solids_from_feed: "25 %"%SOLIDS}
animals: [{name: "tilapia", species: "tilapia", reached: "always", feed_eaten_a_day: "20 kg/d"}]
`

func heldLoop(t *testing.T, change ...string) (site.Site, Given) {
	t.Helper()
	text := strings.NewReplacer(append(change, "%TURBIDITY", "60 NTU", "%FLOW", "", "%DOSE", `dose: "30 mg/L"`, "%SOLIDS", "")...).Replace(loop)
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s, Given{Catalogue: product.Default()}
}

// TestHeldLoopIsOneAccount: 40 mg/L are held by 5e6/(0.6 × 40) = 208,333 L a day, 17.361 h at 12 m3/h, whatever the raw water reads.
// Plan and clean-up say the same of hours, chemical (208.33 m3 × 30 g = 6.25 kg) and solids.
func TestHeldLoopIsOneAccount(t *testing.T) {
	for _, x := range []struct {
		what        string
		change      []string
		hours, dose float64
		begins      quantity.Time
	}{
		{"a dose", nil, 5e6 / 24 / 12000, 30, 6},
		{"raw water that is not told", []string{`turbidity: "%TURBIDITY", `, ""}, 5e6 / 24 / 12000, 30, 6},
		{"by the reading, at 40 of 0 to 80 mg/L", []string{"%DOSE", `dose: "30 mg/L", dose_by_turbidity: "80 mg/L=50 mg/L; 0 mg/L=10 mg/L"`}, 5e6 / 24 / 12000, 30, 6},
		{"by the reading, another", []string{"%DOSE", `dose: "30 mg/L", dose_by_turbidity: "80 mg/L=20 mg/L; 0 mg/L=10 mg/L"`}, 5e6 / 24 / 12000, 15, 6},
		{"an outlet that never gets below 5", []string{"%SOLIDS", `, outlet_at_best: "5 mg/L"`}, 5e6 / 0.6 / 35 / 12000, 30, 6},
		{"hours of its own", []string{"%FLOW", `, run_starts: "04:00", hours_a_day: "18 h"`}, 5e6 / 24 / 12000, 30, 4},
		{"flow by hour, of the same mean", []string{`average_flow: "12 m3/h"`, `"flow at 00:00": "10 m3/h", "flow at 08:00": "13 m3/h"`}, 5e6 / 24 / 12000, 30, 6},
		{"hours with a pause", []string{"%SOLIDS", `, cleaning_hours: "03:00-12:00, 13:00-22:00"`}, 5e6 / 24 / 12000, 30, 3},
		{"a start over midnight", []string{"%FLOW", `, run_starts: "20:00"`}, 5e6 / 24 / 12000, 30, 20},
	} {
		s, g := heldLoop(t, x.change...)
		held, given, err := InSeason(s, g, time.March)
		if err != nil {
			t.Fatal(err)
		}
		in, err := FromSite(held, given)
		if err != nil {
			t.Fatalf("%s: %v", x.what, err)
		}
		p, err := Make(in)
		if err != nil {
			t.Fatalf("%s: %v", x.what, err)
		}
		near(t, x.what+": hours", float64(p.Running), x.hours, 1e-9)
		near(t, x.what+": dose", float64(p.Feeds[0].Dose.Concentration), x.dose, 1e-9)
		near(t, x.what+": product", float64(p.Feeds[0].Product), x.hours*12*x.dose/1000, 1e-9)
		if runs := p.Day.Runs(); !runs.Covers(x.begins) || runs.Covers(x.begins-0.1) {
			t.Errorf("%s: runs %v", x.what, runs)
		}
		floc := p.Record(held).Account().Dry.Likely - quantity.Mass(5)
		for _, again := range []struct { // as the site is, and as it is held
			s site.Site
			g Given
		}{{s, g}, {held, given}} {
			tank, err := CleaningFromSite(again.s, again.g, time.Time{})
			if err != nil {
				t.Fatal(err)
			}
			c, err := Clean(tank)
			if err != nil || c.Hold == nil || c.Hold.Fails {
				t.Fatalf("%s: %v %+v", x.what, err, c.Hold)
			}
			if got, want := p.Day.Runs().String(), c.Hold.Runs.String(); got != want || p.Start != c.Hold.Begins {
				t.Errorf("%s: the day runs %s from %v, the clean-up %s from %v", x.what, got, p.Start, want, c.Hold.Begins)
			}
			near(t, x.what+": hours of the clean-up", float64(c.Hold.PerDay.V), x.hours, 1e-9)
			near(t, x.what+": chemical of the clean-up", float64(c.Hold.Uses[0].Product), float64(p.Feeds[0].Product), 1e-9)
			near(t, x.what+": solids of the clean-up", float64(c.Hold.Made.V)+float64(c.Hold.Floc), 5+float64(floc), 1e-9)
			near(t, x.what+": off the unit", float64(c.Hold.Off.V), 5+float64(floc), 1e-9)
			if all := 5e6 / 0.6 / 24 / 12000; x.what == "a dose" {
				near(t, "run all its hours", c.Hold.Settles, all, 1e-9)
			}
		}
		if twice, _, _ := InSeason(held, given, time.March); twice.Flow != held.Flow || len(twice.Notes) != len(held.Notes) {
			t.Errorf("%s: held twice it changes", x.what)
		}
	}
}

// TestLoopThatCannotBeHeld: at 4 h a day it settles at 5e6/(0.6 × 48,000) = 173.6 mg/L; the day runs all of them, and the solids that
// come in come out all the same. What cannot be worked out is said, and what stays clear by itself is a day like any other.
func TestLoopThatCannotBeHeld(t *testing.T) {
	s, g := heldLoop(t, "%FLOW", `, run_starts: "08:00", hours_a_day: "4 h"`)
	held, _, _ := AsHeld(s, g)
	near(t, "hours", float64(held.Flow.Hours.V), 4, 1e-9)
	near(t, "reaches the unit", float64(held.Held.Reaches.V), 5e6/0.6/48000, 1e-9)
	near(t, "solids", float64(RecordOf(held, site.StormWater).Removed.Likely)*48/1000, 5, 1e-9)
	if n := held.Notes[len(held.Notes)-1]; n.Code != LoopHeld || n.Level != note.Caution || !strings.Contains(n.Message, "cannot hold the loop at 40 mg/L") {
		t.Errorf("%v", n)
	}
	if !held.Held.Fails {
		t.Error("a hold that fails is an answer")
	}
	// from 120 to 50 mg/L at 8 h a day: it is held at 5e6/(0.6 × 96,000) = 86.8 mg/L at the best, whether the run ever gets there or not
	s, g = heldLoop(t, "%FLOW", `, run_starts: "08:00", hours_a_day: "8 h"`, "%SOLIDS", `, tank_turbidity: "120 mg/L", clear_enough_at: "40 mg/L"`)
	held, _, err := AsHeld(s, g)
	if err != nil || held.Held == nil || !held.Held.Fails {
		t.Fatalf("never clear: %+v %v", held.Held, err)
	}
	near(t, "never clear", float64(held.Held.Reaches.V), 5e6/0.6/96000, 1e-9)
	near(t, "solids of what never clears", float64(RecordOf(held, site.StormWater).Removed.Likely)*96/1000, 5, 1e-9)
	if n := held.Notes; n[len(n)-2].Code != LoopTooFar || n[len(n)-1].Code != LoopHeld || n[len(n)-1].Level != note.Caution {
		t.Errorf("%v", n)
	}
	s, g = heldLoop(t, "%SOLIDS", `, clear_enough_at: "60 mg/L", tank_turbidity: "120 mg/L"`)
	if _, _, err := AsHeld(s, g); err == nil || !strings.Contains(err.Error(), "site.yaml: line 7, column") || !strings.Contains(err.Error(), "held at a lower reading") {
		t.Errorf("held below what it is cleared to: %v", err)
	}
	if _, err := CleaningFromSite(s, g, time.Time{}); err == nil || !strings.Contains(err.Error(), "site.yaml: line 7, column") {
		t.Errorf("and its clean-up: %v", err)
	}
	s, g = heldLoop(t, `, feed_eaten_a_day: "20 kg/d"`, "")
	if other, _, _ := AsHeld(s, g); other.Held != nil || other.Notes[len(other.Notes)-1].Code != "loop-not-held" {
		t.Errorf("without feed: %+v %v", other.Held, other.Notes)
	}
	s, g = heldLoop(t, `water_in_the_system: "60 m3"`, `water_in_the_system: "60 m3", new_water: "300 %"`, `"40 mg/L"`, `"130 mg/L"`) // 5e6/180,000 = 27.8 mg/L, and the 60 x 1.5 of new water
	if other, _, _ := AsHeld(s, g); other.Held != nil || other.Notes[len(other.Notes)-1].Code != "loop-holds-itself" {
		t.Errorf("clear by itself: %+v %v", other.Held, other.Notes)
	}
	s, g = heldLoop(t, `"recirculating"`, `"once through"`)
	if other, _, _ := AsHeld(s, g); other.Held != nil || other.Flow.Hours.OK {
		t.Error("water that goes through once is held")
	}
}

// TestLoopThatIsNotThereYet: of 120 mg/L, to be held at 40. Of 60 m3 a pass of 12 m3/h takes 0.6, 0.12 of it an hour, and 5 kg/d make 3.472 mg/L in one: it
// goes to 28.94 and reads 40 after ln(91.06/11.06)/0.12 = 17.57 h, 17 h 34 min. One that reads no more than that is there.
func TestLoopThatIsNotThereYet(t *testing.T) {
	s, g := heldLoop(t, "%SOLIDS", `, tank_turbidity: "120 mg/L", clear_enough_at: "40 mg/L"`)
	held, _, err := AsHeld(s, g)
	if err != nil {
		t.Fatal(err)
	}
	said := held.Notes.Only(note.Caution)
	i := slices.IndexFunc(said, func(n note.Note) bool { return n.Code == LoopNotThere })
	if i < 0 || !strings.Contains(said[i].Message, "reads 120 mg/L and is to be held at 40 mg/L: ") || !strings.Contains(said[i].Message, "which takes 17 h 34 min of running") || said[i].Place.Cell == "" {
		t.Errorf("%v", said)
	}
	s, g = heldLoop(t, "%SOLIDS", `, tank_turbidity: "40 mg/L", clear_enough_at: "40 mg/L"`)
	if held, _, _ := AsHeld(s, g); slices.ContainsFunc(held.Notes, func(n note.Note) bool { return n.Code == LoopNotThere }) {
		t.Errorf("%v", held.Notes)
	}
}

// TestHeldLoopIsAsClear: what a polymer finds to bind to is what the loop is held at, 40 mg/L, not what the raw water reads.
func TestHeldLoopIsAsClear(t *testing.T) {
	s, g := heldLoop(t)
	held, _, _ := AsHeld(s, g)
	r := Running{Site: held, Flow: 12, Hours: 17}
	if got := r.situation(site.UsualWater).Water.Turbidity; !got.OK || math.Abs(got.V-40/1.5) > 1e-9 {
		t.Errorf("%+v", got)
	}
}

// TestNewWaterBringsWhatTheFeedTakes: 1.5 kg of feed a day, 40 % protein, take 1.5 × 0.40 × 0.092 × 7.1455 = 0.39443 kg/d, which 6 m3/d of
// new water make up for at 120 + 65.74 mg/L: plausible water, so that the doses alone are missing. 20 kg/d would need 120 + 876.5, which none has.
func TestNewWaterBringsWhatTheFeedTakes(t *testing.T) {
	for _, x := range []struct {
		feed          string
		brings, taken float64
	}{{"1.5 kg/d", 120 + 65.74, 0}, {"20 kg/d", 120 + 876.5, 5.2591}} {
		s, g := heldLoop(t, `water_in_the_system: "60 m3"`, `water_in_the_system: "60 m3", new_water: "10 %"`, "20 kg/d", x.feed)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, x.feed+": new water", float64(in.Load.NewBrings), x.brings, 0.1)
		near(t, x.feed+": taken", float64(in.Tank.Nitrified), x.taken, 1e-3)
	}
}
