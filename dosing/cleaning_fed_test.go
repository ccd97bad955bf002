package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/jartest/quantity"
)

// TestNitrifyingTheFeedLowersThePH: what nitrifying takes over hours it takes of water whose carbon dioxide breath and air keep up, so that
// pH goes with the logarithm of the alkalinity left (Henderson and Hasselbalch: pH = pK1 + log [HCO3]/[CO2]); what the doses take frees
// 44.01/50.04 of carbon dioxide besides. 20 kg/d of feed of 40 % protein take 20 × 0.4 × 0.092 × 7.145 = 5.259 kg/d of 60 m3: 3.652 mg/L
// an hour. Free ammonia goes with that pH, and where nothing is fed there is none of it.
func TestNitrifyingTheFeedLowersThePH(t *testing.T) {
	const clears = `, tank_turbidity: "120 mg/L", clear_enough_at: "40 mg/L"`
	clean := func(change ...string) Cleaning {
		t.Helper()
		s, g := heldLoop(t, append(change, "%SOLIDS", clears)...)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	c := clean()
	hours := float64(c.Final.At)
	dosed := float64(c.Tank().Alkalinity - c.Tank().Dosed(c.Final))
	near(t, "nitrified", float64(c.Tank().NitrifiedBy(c.Final.At)), 3.652*hours, 0.01)
	near(t, "left", float64(c.Final.Alkalinity), 120-dosed-3.652*hours, 0.01)
	co2 := float64(c.Before.CO2)
	near(t, "carbon dioxide", float64(c.Closed.CO2), co2+dosed*44.01/50.04, 0.05)
	want := 7.6 + math.Log10(float64(c.Final.Alkalinity)/120*co2/float64(c.Closed.CO2))
	if got := float64(c.PH()); math.Abs(got-want) > 0.02 {
		t.Errorf("pH %.3f, by hand %.3f", got, want)
	}
	near(t, "free ammonia", float64(c.NH3Closed/c.NH3Before), math.Pow(10, float64(c.PH()-7.6)), 0.03) // far below its pK of 9.3
	unfed := clean(`, solids_from_feed: "25 %"`, "", `hold_at: "40 mg/L", `, "", `, feed_eaten_a_day: "20 kg/d"`, "")
	if by := 7.6 + math.Log10(float64(unfed.Final.Alkalinity)/120*co2/float64(unfed.Closed.CO2)); math.Abs(float64(unfed.PH())-by) > 0.02 ||
		unfed.Final.Alkalinity < c.Final.Alkalinity+10 {
		t.Errorf("without feed: pH %.3f, by hand %.3f, alkalinity %v", float64(unfed.PH()), by, unfed.Final.Alkalinity)
	}
}

// TestPHThatTheFeedBringsIsJudged: of 30 mg/L little is left to a tank that is cleared for a day; the pH it comes to is told of its animals.
func TestPHThatTheFeedBringsIsJudged(t *testing.T) {
	s, g := heldLoop(t, "%SOLIDS", `, tank_turbidity: "400 mg/L", clear_enough_at: "40 mg/L"`, `ph: "7.6", alkalinity: "120 mg/L CaCO3"`, `ph: "6.4", alkalinity: "60 mg/L CaCO3"`, "20 kg/d", "10 kg/d", `dose: "30 mg/L"`, `dose: "1 mg/L"`, "%DOSE", `dose: "1 mg/L"`)
	in, err := CleaningFromSite(s, g, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, x := range c.Notes {
		if x.Code == "ph-too-low" && strings.Contains(x.Message, "of the run and its feed") {
			n++
		}
	}
	if c.PH() > 5.9 || n != 1 {
		t.Errorf("pH %v told %d times: %v", c.PH(), n, c.Notes)
	}
}

// TestHoldingGoesOnFromTheCleanUp: the days in which a tank is held begin with the alkalinity that its clean-up left, not with that before it. A run
// of them takes what its doses take and 3.652 mg/L an hour for the feed, and the table, the caution and the days of both go from there.
func TestHoldingGoesOnFromTheCleanUp(t *testing.T) {
	const clears = `, tank_turbidity: "60 mg/L", clear_enough_at: "40 mg/L"`
	const dosed = `chemicals: [{name: "PACl", product: "pacl-18", basis: "as product", %DOSE}]`
	for _, dose := range []string{strings.Replace(dosed, "%DOSE", `dose: "1 mg/L"`, 1), ""} {
		s, g := heldLoop(t, "%SOLIDS", clears, dosed, dose, `alkalinity: "120 mg/L CaCO3"`, `alkalinity: "190 mg/L CaCO3"`, "20 kg/d", "16 kg/d", `water_passes: "recirculating"`, `water_passes: "batch"`)
		in, err := CleaningFromSite(s, g, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		left := float64(c.Final.Alkalinity)
		if c.Outcome != clarify.Cleared || left > 180 || left < 100 {
			t.Fatalf("%v, %v left", c.Outcome, left)
		}
		told := ""
		for _, n := range c.Notes {
			if strings.HasPrefix(n.Code, "loop-") && strings.Contains(n.Message, "alkalinity falls from") {
				told += n.Message
			}
		}
		if want := quantity.To(c.Final.Alkalinity, 3).Bare(); !strings.Contains(told, "falls from "+want.String()) {
			t.Errorf("%s: %q, want from %v", dose, told, want)
		}
		if c.Holding == nil {
			continue
		}
		hours := float64(c.Hold.PerDay.V)
		want := left - float64(c.Hold.Acid)*1000/60 - 3.652*16/20*hours
		if l := c.Holding.Loop; l == nil || !l.Begins.OK || math.Abs(float64(l.Begins.V)-left) > 1e-9 || math.Abs(float64(l.EndOfRun)-want) > 0.1 {
			t.Errorf("%+v, want from %v to %v", l, left, want)
		}
	}
}
