package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// rooted is a dose of 2·√NTU by tests of 10 to 160 NTU.
func rooted() *PastTests {
	p := PastTests{Tests: 9, Raw: 36, Low: 10, High: 160}
	p.Dose = func(v quantity.Cloudiness) (quantity.Concentration, bool) {
		return quantity.Concentration(2 * math.Sqrt(float64(v))), v >= p.Low && v <= p.High
	}
	for _, ends := range [][2]quantity.Cloudiness{{5, 10}, {10, 20}, {20, 50}, {50, 100}, {100, 160}, {160, 200}} {
		c := RawClass{Low: ends[0], High: ends[1], Tests: 2}
		if d, ok := p.Dose(c.High); ok {
			c.Dose = quantity.Some(d)
		}
		p.Classes = append(p.Classes, c)
	}
	return &p
}

// TestClearingFollowsTheReading: a tank of 90 NTU starts with the dose of 90, 2·√90 = 18.97 mg/L, has from 50 NTU down that of
// 50, 14.14, from 20 down that of 20, 8.94, and from 10 down, where no test reaches, that of 10, 6.32; never less than the law
// at the reading.
func TestClearingFollowsTheReading(t *testing.T) {
	p := rooted()
	rule, err := p.clearing(90)
	if err != nil {
		t.Fatal(err)
	}
	for reading, want := range map[float64]float64{90: 18.974, 51: 18.974, 49: 14.142, 21: 14.142, 19: 8.9443, 11: 8.9443, 9: 6.3246, 1: 6.3246} {
		if got := float64(rule.At(reading)); math.Abs(got-want) > 0.001 {
			t.Errorf("at %v NTU %v, want %v", reading, got, want)
		}
	}
	for v := 10.0; v <= 90; v += 0.5 {
		if got := float64(rule.At(v)); got < 2*math.Sqrt(v)-1e-9 {
			t.Errorf("at %v NTU %v is less than the law", v, got)
		}
	}
}

// TestTankOutsidePastTests: a tank dirtier than any test is refused as a plan is; one read in mg/L has the dose of the raw water
// and says so; cleaner water than any test is named.
func TestTankOutsidePastTests(t *testing.T) {
	f := FeedInput{Name: "alum", Past: rooted(), Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsAlum14}}
	_, _, err := f.followed(clarify.Tank{Key: jartest.Turbidity, Start: 300, Stop: 5})
	if err == nil || !strings.Contains(err.Error(), "the turbidity of past tests is 10 to 160 NTU, the tank's 300 NTU") {
		t.Errorf("%v", err)
	}
	rule, said, err := f.followed(clarify.Tank{Key: jartest.TSS, Start: 100, Stop: 5})
	if err != nil || rule.Follows() || rule.At(50) != 12 || len(said) != 1 || said[0].Code != "past-not-followed" {
		t.Errorf("%v %v %v", rule, said, err)
	}
	for stop, want := range map[float64][]string{5: {"past-followed", "past-cleaner"}, 10: {"past-followed"}} {
		var got []string
		_, said, _ = f.followed(clarify.Tank{Key: jartest.Turbidity, Start: 90, Stop: stop})
		for _, n := range said {
			got = append(got, n.Code)
		}
		if !slices.Equal(got, want) {
			t.Errorf("to %v NTU: %v", stop, got)
		}
	}
}

// TestStormByPastTests: storm water of 144 NTU gets 2·√144 = 24 mg/L where the row states none; where the row states less than
// that, or than the ordinary dose of 12, it is said; outside the tests it is the 2·√160 = 25.3 mg/L of the dirtiest water tested, and that is said.
func TestStormByPastTests(t *testing.T) {
	for _, c := range []struct {
		storm        quantity.Cloudiness
		stated, want quantity.Concentration
		says         string
	}{{144, 0, 24, ""}, {144, 20, 20, "past tests say that water of 144 NTU needs 24 mg/L"}, {144, 25, 25, ""}, {300, 0, quantity.Concentration(2 * math.Sqrt(160)), "no past test reaches the 300 NTU of a storm: storm water is counted at 25.3 mg/L, that of the dirtiest water tested (160 NTU), and may take more"},
		{300, 11, 11, "water of 36 NTU needs 12 mg/L by past tests already"}, {300, 13, 13, ""}} {
		f := FeedInput{Name: "alum", Past: rooted(), Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsAlum14}}
		var row site.Chemical
		if c.stated > 0 {
			row.Storm = quantity.Some(c.stated)
			f.Storm = row.Storm
		}
		l := f.pastWater(row, site.Water{Turbidity: quantity.Some[quantity.Cloudiness](36), StormTurbidity: quantity.Some(c.storm)})
		if f.Storm.V != c.want || f.Storm.OK != (c.want > 0) || (len(l) > 0) != (c.says != "") || len(l) > 0 && !strings.Contains(l[0].Message, c.says) {
			t.Errorf("%v stated %v: %v %v", c.storm, c.stated, f.Storm, l)
		}
		// a tank that is cleared is asked about no storm, though it may read what the raw water reads
		f.Past.Tank, f.Storm = true, row.Storm
		if l := f.pastWater(row, site.Water{Turbidity: quantity.Some[quantity.Cloudiness](36), StormTurbidity: quantity.Some(c.storm)}); len(l) > 0 {
			t.Errorf("%v of a tank: %v", c.storm, l)
		}
	}
}

// TestByRawWater: a pump of 100 mL/min at 100 % whose step is 1 %, stock of 100 g/L as product, dosed as product: 6 m3/h of water of
// up to 50 NTU take 14.142 mg/L x 6 m3/h / 100 g/L = 0.8485 L/h, 14.142 mL/min, which is 15 % rounded up; no class outside the tests.
func TestByRawWater(t *testing.T) {
	cal, err := pump.Fit([]pump.Reading{{Position: pump.Position{Setting: 20}, Rate: 20}, {Position: pump.Position{Setting: 50}, Rate: 50}, {Position: pump.Position{Setting: 80}, Rate: 80}})
	if err != nil {
		t.Fatal(err)
	}
	f := Feed{FeedInput: FeedInput{Name: "alum", Past: rooted(), Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsProduct}, Stock: Stock{PerLitre: 100_000}, Pump: &pump.Pump{Calibration: cal}}}
	f.PerLitre = 100_000
	card := f.ByRawWater([]quantity.Flow{6, 30})
	if len(card) != 5 || card[2].Low != 20 || card[2].High != 50 || len(card[2].At) != 2 {
		t.Fatalf("%+v", card)
	}
	x := card[2].At[0]
	if want := 2 * math.Sqrt(50) * 6 / 100 / 60 * 1000; math.Abs(float64(x.Wanted)-want) > 1e-9 || x.Position.Setting != 15 || x.Gives < x.Wanted || x.Flow != 6 {
		t.Errorf("%+v, want %v mL/min", x, want)
	}
	for _, c := range card {
		for _, s := range c.At {
			if s.Reach == pump.Within && s.Gives < s.Wanted*(1-1e-9) {
				t.Errorf("%v at %v feeds %v of %v", c.High, s.Flow, s.Gives, s.Wanted)
			}
		}
	}
	if last := card[4].At[1]; last.Reach != pump.TooMuch { // 25.3 mg/L x 30 m3/h / 100 g/L = 126 mL/min
		t.Errorf("%+v", last)
	}
	f.Past = nil
	if f.ByRawWater([]quantity.Flow{6}) != nil {
		t.Error("a card without past tests")
	}
}
