package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
)

// judgedLoop is a trout loop of 180 m3 that is held at 18 mg/L of solids, with a chemical and what else a test changes.
func judgedLoop(t *testing.T, chemical, water, solids, more string) (site.Site, Cleaning) {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(`place: {name: Beck loop, purpose: animals, water_passes: recirculating, example_values: "no"}
water: {temperature: 14 C, hardness: 90 mg/L, DOC: 4 mg/L, salinity: 0 g/kg, suspended_solids: 18 mg/L, total_ammonia: 0.3 mg/L, water_in_the_system: 180 m3, new_water: 12 %, `+water+`}
flow: {average_flow: 90 m3/h, hours_a_day: 24 h}
chemicals:
  - {name: aid, `+chemical+`, pump: pump 1}
pumps:
  - {name: pump 1, largest_rate: 20 L/h}
tanks:
  - {name: loop, use: animals, volume: 180 m3}
solids: {unit: settler, solids_caught: 55 %, tank_to_clean_up: loop, solids_from_feed: 20 %, `+solids+`}
animals:
  - {name: trout, species: rainbow trout, reached: always, feed_eaten_a_day: 55 kg/d}
`+more))
	if err != nil {
		t.Fatal(err)
	}
	in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	return s, c
}

const (
	floccing = "product: polyamine, dose: 1 mg/L, basis: as product, strength: 50 %, strength_counts: as active polymer, density: 1.15 kg/L"
	soft     = "pH: 7.2, alkalinity: 120 mg/L CaCO3"
)

// TestHeldAsPlanned: a loop that is held is dosed every day, and what stops a plan of that stops it: no stage, no
// setting. 11 kg/d of solids are taken out by 11e3/(0.55·18) = 1111 m3/d (new water reads the same 18 mg/L); of 0.5 mg/L
// of active polymer in it 21.6 m3/d of new water leave 0.5·1111/21.6 = 25.7 mg/L in the long run (mass balance); the
// end of a day stands by half a day of dosing, 3 %, above that mean.
func TestHeldAsPlanned(t *testing.T) {
	for _, x := range []struct{ what, solids string }{{"held from the start", "hold_at: 18 mg/L"}, {"cleared first", "tank_turbidity: 60 mg/L, hold_at: 18 mg/L"}} {
		s, c := judgedLoop(t, floccing, soft, x.solids, "")
		if !c.Stopped || !c.Unanswered() || len(c.Stages) != 0 || c.Holding == nil || !c.Holding.Stopped {
			t.Fatalf("%s: stopped %v, %d stages", x.what, c.Stopped, len(c.Stages))
		}
		worst, want := float64(c.Holding.Residuals[0].Worst), 0.5*11e3/(0.55*18)/21.6
		if math.Abs(worst-want) > 0.06*want {
			t.Errorf("%s: %v mg/L of active polymer in the long run, want %v", x.what, worst, want)
		}
		input, err := FromSite(s, Given{Catalogue: products})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Make(input)
		if err != nil {
			t.Fatal(err)
		}
		_, r := p.Reviewed(s, time.Time{})
		for _, n := range r.Notes.Only(note.Stop) {
			if !has(c.Notes.Only(note.Stop), n.Code) {
				t.Errorf("%s: the plan is stopped by %s, the clean-up by %v", x.what, n.Code, c.Notes.Only(note.Stop))
			}
		}
	}
}

// TestHeldByAcceptance: who takes the risk in the site is asked for the holding as for the plan.
func TestHeldByAcceptance(t *testing.T) {
	_, c := judgedLoop(t, floccing, soft, "hold_at: 18 mg/L", "accepted:\n  - {code: polymer-stocked, accepted_by: A. Keeper, reason: trial on ten fish}\n")
	if stops := c.Notes.Only(note.Stop); !c.Stopped || len(c.Taken) != 1 || !has(stops, "loop-alkalinity-gone") || has(stops, "polymer-stocked") { // its feed still takes it
		t.Errorf("half of it accepted: stopped %v, taken %v: %v", c.Stopped, c.Taken, c.Notes)
	}
	_, c = judgedLoop(t, floccing, soft, "hold_at: 18 mg/L", "accepted:\n  - {code: polymer-stocked, accepted_by: A. Keeper, reason: trial on ten fish}\n"+
		"  - {code: loop-alkalinity-gone, accepted_by: A. Keeper, reason: bicarbonate by hand}\n")
	if c.Stopped || len(c.Stages) == 0 || len(c.Taken) != 2 {
		t.Errorf("accepted: stopped %v, %d stages, taken %v: %v", c.Stopped, len(c.Stages), c.Taken, c.Notes)
	}
	_, c = judgedLoop(t, floccing, soft, "tank_turbidity: 60 mg/L, hold_at: 18 mg/L", "accepted:\n  - {code: residual-builds-up, accepted_by: A. Keeper, reason: an hour}\n")
	if !c.Stopped {
		t.Error("what was accepted of a run of hours lets the days of holding through")
	}
}

// TestHeldWater: pH, ammonia and alkalinity of a held loop are judged as a plan judges them.
func TestHeldWater(t *testing.T) {
	for _, x := range []struct{ chemical, water, code string }{
		{"product: lime, dose: 40 mg/L, basis: as Ca(OH)2", "pH: 7.4, alkalinity: 90 mg/L CaCO3", "ph-too-high"},
		{"product: alum-liquid, dose: 150 mg/L, basis: as alum 14-hydrate", "pH: 7.0, alkalinity: 80 mg/L CaCO3", "alkalinity-gone"},
		{"product: alum-liquid, dose: 12 mg/L, basis: as alum 14-hydrate", "pH: 7.0, alkalinity: 30 mg/L CaCO3", "loop-alkalinity-gone"},
	} {
		_, c := judgedLoop(t, x.chemical, x.water, "hold_at: 18 mg/L", "")
		if !c.Stopped || len(c.Stages) != 0 || !has(c.Notes.Only(note.Stop), x.code) {
			t.Errorf("%s: stopped %v by %v", x.chemical, c.Stopped, c.Notes.Only(note.Stop))
		}
	}
	_, c := judgedLoop(t, "product: alum-liquid, dose: 2 mg/L, basis: as alum 14-hydrate", "pH: 7.4, alkalinity: 150 mg/L CaCO3, alkalinity_is_that_of_new_water: \"no\"", "hold_at: 18 mg/L", "")
	if c.Holding == nil || c.Holding.Water == nil || math.Abs(float64(c.Holding.Water.AlkalinityUsed)-2*0.5051) > 0.01 {
		t.Errorf("2 mg/L of alum take 0.505 mg/L CaCO3 each: %+v", c.Holding)
	}
}

func has(l note.List, code string) bool {
	for _, n := range l {
		if n.Code == code {
			return true
		}
	}
	return false
}

// TestUndosedHold: nothing is dosed, and nothing is judged of dosing.
func TestUndosedHold(t *testing.T) {
	_, c := judgedLoop(t, floccing, soft, "hold_at: 18 mg/L", "")
	c.Usual.Doses[0].Dose.Concentration = 0
	c.CleaningInput.Tank.Chemicals = nil
	if _, ok := c.holding(); ok {
		t.Error("a tank without chemical is dosed")
	}
	if c.Hold.Fails = true; true {
		if _, ok := c.holding(); ok {
			t.Error("what cannot be held is dosed")
		}
	}
}

// TestAnimalsInTheTank: who stands in a tank that is dosed is watched, by the lines of a plan by hand, at the highest pH of
// the run or the days after it; a floc that nitrifies is watched for whether anything is dosed or not.
func TestAnimalsInTheTank(t *testing.T) {
	const alum = "product: alum-liquid, dose: 12 mg/L, basis: as alum 14-hydrate"
	const water = "pH: 7.4, alkalinity: 150 mg/L CaCO3"
	_, c := judgedLoop(t, alum, water, "tank_turbidity: 60 NTU, clear_enough_at: 8 NTU", "")
	if c.Watch == nil || !c.Watch.Filters || !c.Watch.Oxygen.OK || !c.Watch.TAN.OK || c.Watch.PH < c.Open.PH {
		t.Errorf("trout in a tank with alum: %+v", c.Watch)
	}
	if first := c.Stages[0].Before; !strings.HasPrefix(first[1].Format, "aerators on") {
		t.Errorf("before it starts: %v", first)
	}
	_, c = judgedLoop(t, alum, water, "tank_turbidity: 30 mL/L, clear_enough_at: 12 mL/L, cone_pairs: 10 mL/L=150 mg/L; 40 mL/L=480 mg/L", "")
	if c.Watch == nil || !c.Watch.Filters {
		t.Errorf("floc that is the filter: %+v", c.Watch)
	}
	c.CleaningInput.Tank.Chemicals, c.Products = nil, nil
	if c.Watch = nil; true {
		c.watched(nil)
	}
	if c.Watch == nil || !c.Watch.Filters {
		t.Errorf("floc, undosed: %+v", c.Watch)
	}
	c.CleaningInput.Tank.Scale = nil
	c.Watch = nil
	if c.watched(nil); c.Watch != nil {
		t.Errorf("nothing dosed, no floc: %+v", c.Watch)
	}
}

// TestNewWaterOfAHold: new water that reads what the loop is to be held at is told, as the sheet may tell of the loop itself.
func TestNewWaterOfAHold(t *testing.T) {
	_, c := judgedLoop(t, floccing, soft, "hold_at: 18 mg/L", "")
	if !has(c.Notes, "new-water-cloudy") || c.CleaningInput.Tank.New != 18 {
		t.Errorf("new water at %v: %v", c.CleaningInput.Tank.New, c.Notes)
	}
	if _, c = judgedLoop(t, floccing, soft, "hold_at: 20 mg/L", ""); has(c.Notes, "new-water-cloudy") {
		t.Error("new water that is clearer is told")
	}
}

// TestUndosedIsNotStoppedDosing: of a tank that is cleared without a chemical no dosing is stopped.
func TestUndosedIsNotStoppedDosing(t *testing.T) {
	c, err := Clean(CleaningInput{Tank: clarify.Tank{Key: jartest.Turbidity, Volume: 14000, Flow: 1, Removal: 0.7, Start: 30, Stop: 10}})
	if err != nil {
		t.Fatal(err)
	}
	last := c.Stages[len(c.Stages)-1]
	if did := last.Do[len(last.Do)-1].String(); !strings.HasPrefix(did, "clear: stop the circulation") {
		t.Errorf("at the end: %s", did)
	}
}

// TestMetalOfAHold: 2 mg/L of alum 14-hydrate, 9.08 % Al, in the 1111 m3/d that hold 11 kg/d of solids at 18 mg/L, washed out by the 21.6 m3/d of new
// water alone, come to 2 x 0.0908 x 1111/21.6 = 9.34 mg/L Al in the long run, whoever clears the loop first. What is cleared before with one dose of
// the same is less of it, so that only the holding's figure is told.
func TestMetalOfAHold(t *testing.T) {
	const alum = "product: alum-liquid, dose: 2 mg/L, basis: as alum 14-hydrate"
	const water = "pH: 7.4, alkalinity: 150 mg/L CaCO3"
	for _, solids := range []string{"hold_at: 18 mg/L", "tank_turbidity: 60 mg/L, hold_at: 18 mg/L"} {
		_, c := judgedLoop(t, alum, water, solids, "")
		if c.Holding == nil || len(c.Holding.Residuals) != 1 {
			t.Fatalf("%s: %+v", solids, c.Holding)
		}
		worst, want := float64(c.Holding.Residuals[0].Worst), 2*26.982*2/594.4*11e3/(0.55*18)/21.6
		if math.Abs(worst-want) > 0.06*want || c.Holding.Residuals[0].As != "Al" { // the end of a day's dosing stands above its mean
			t.Errorf("%s: %v mg/L %s in the long run, want %v", solids, worst, c.Holding.Residuals[0].As, want)
		}
		told := 0
		for _, n := range c.Notes {
			if strings.HasPrefix(n.Code, "al-") && n.Level >= note.Caution {
				told++
			}
		}
		if cleared := len(c.Metals); told != 1 || (cleared > 0) != strings.Contains(solids, "tank") || cleared > 0 && float64(c.Metals[0].Worst) >= worst {
			t.Errorf("%s: %d cautions of aluminium, %+v of the run: %v", solids, told, c.Metals, c.Notes)
		}
	}
}

// TestUnreadNewWaterOfAHold: new water that nobody read is taken to read what the loop is held at, which is said, and then neither clears it nor
// clouds it: 11e3/(0.55·18) = 1111 m3/d hold it with it as without.
func TestUnreadNewWaterOfAHold(t *testing.T) {
	s, _ := judgedLoop(t, floccing, soft, "hold_at: 18 mg/L", "")
	s.Water.TSS.OK, s.Water.Turbidity.OK = false, false
	in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := in.asSet()
	if err != nil || r.Hold == nil || in.Tank.New != 18 || !has(in.Notes, "new-water-unread") || math.Abs(24*float64(r.Hold.Needs.V)-11e3/(0.55*18)) > 1e-6 {
		t.Errorf("new water at %v: %+v %v", in.Tank.New, r.Hold, in.Notes)
	}
	s.Water.TSS.OK, s.Water.TSS.V = true, 8 // 21.6 m3/d of 8 mg/L take 0.216 kg/d of the 11 off it
	if in, err = CleaningFromSite(s, Given{Catalogue: products}, time.Time{}); err != nil {
		t.Fatal(err)
	}
	if r, err = in.asSet(); err != nil || has(in.Notes, "new-water-unread") || math.Abs(24*float64(r.Hold.Needs.V)-(11e3-216)/(0.55*18)) > 1e-6 {
		t.Errorf("new water at %v: %+v %v", in.Tank.New, r.Hold, in.Notes)
	}
}
