package dosing

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// exampleSite is the demo site with some of its cells changed.
func exampleSite(t *testing.T, change func(site.Values)) site.Site {
	t.Helper()
	v := site.Example("", "")
	if change != nil {
		change(v)
	}
	var b bytes.Buffer
	if err := site.WriteYAML(&b, v); err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.yaml", bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func cleaned(t *testing.T, change func(site.Values)) Cleaning {
	t.Helper()
	in, err := CleaningFromSite(exampleSite(t, change), Given{Catalogue: products}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCleaningFromSite(t *testing.T) {
	c := cleaned(t, nil)
	// 90 to 5 NTU with a floor of 1 NTU, 92 % a pass, 3.6 m3/h round 21.6 m3, so 6 h a turnover
	want := math.Log(89.0/4) / 0.92 * 6
	if c.Outcome != clarify.Cleared || math.Abs(float64(c.Time)-want) > 1e-6*want {
		t.Errorf("%v after %v, want %g h", c.Outcome, c.Time, want)
	}
	// 12.5 mg/L alum takes 0.505 mg/L of alkalinity per mg/L at each turnover
	if used := 85 - float64(c.Final.Alkalinity); math.Abs(used-12.5*0.5051*c.Turnovers) > 0.05 {
		t.Errorf("alkalinity used %g", used)
	}
	if !c.HasPH || c.Closed.PH >= c.Before.PH || c.Open.PH <= c.Closed.PH {
		t.Errorf("pH %v, %v, %v", c.Before.PH, c.Closed.PH, c.Open.PH)
	}
	// the stages carry the pump's setting: 12.5 mg/L at 3.6 m3/h from a stock of 150 g/L of 48.5 % product
	i := slices.IndexFunc(c.Stages, func(s Stage) bool { return s.At == 0 })
	if i < 0 || len(c.Stages[i].Feeds) != 2 {
		t.Fatalf("%+v", c.Stages)
	}
	if r := c.Stages[i].Feeds[0]; math.Abs(float64(r.Rate)-12.5*3600/60/0.485/150) > 1e-9 || r.Setting == nil {
		t.Errorf("%+v", r)
	}
	if c.Stopped {
		t.Errorf("stopped: %v", c.Notes)
	}
}

// TestCleaningStops: cationic polymer in a tank of trout stops the plan until
// somebody takes the risk by name.
func TestCleaningStops(t *testing.T) {
	cationic := func(v site.Values) {
		v["Chemicals"][1]["product"] = "polyamine"
		v["Chemicals"][1]["dose"], v["Chemicals"][1]["dose low"], v["Chemicals"][1]["dose high"] = "0.05 mg/L", "", ""
		v["Chemicals"][1]["basis"], v["Chemicals"][1]["capture"] = "as active polymer", "0 %"
	}
	c := cleaned(t, cationic)
	if !c.Stopped || len(c.Stages) > 0 {
		t.Fatalf("not stopped: %v", c.Notes)
	}
	found := false
	for _, n := range c.Notes {
		if n.Code == "polymer-stocked" {
			// a tenth of 0.271 mg/L at 0.05 mg/L a turnover
			found = strings.Contains(n.Message, "0.54 turnovers")
		}
	}
	if !found {
		t.Errorf("%v", c.Notes)
	}
	c = cleaned(t, func(v site.Values) {
		cationic(v)
		v["Accepted"] = []map[string]string{{"code": "residual-builds-up", "accepted by": "shift lead", "reason": "tank is empty of fish"}}
	})
	if c.Stopped || len(c.Taken) != 1 || len(c.Stages) == 0 {
		t.Errorf("accepted, yet %v, %v", c.Stopped, c.Notes)
	}
	c = cleaned(t, func(v site.Values) {
		cationic(v)
		v["Chemicals"][1]["capture"] = "95 %"
	})
	if c.Stopped {
		t.Errorf("a measured capture of 95 %%: %v", c.Notes)
	}
	c = cleaned(t, func(v site.Values) {
		cationic(v)
		delete(v["Chemicals"][1], "capture")
	})
	if n, ok := noted(c.Notes, "polymer-stocked"); !c.Stopped || !ok || n.Level != note.Stop || !strings.Contains(n.Message, "if all of it stays in the water") {
		t.Errorf("no measured capture: %v", c.Notes)
	}
}

// TestCleaningSaysHowToAcceptOnce: a stop tells once where it may be accepted,
// whether the review or the run itself found it.
func TestCleaningSaysHowToAcceptOnce(t *testing.T) {
	c := cleaned(t, func(v site.Values) { v["Water"][0]["alkalinity"] = "15 mg/L CaCO3" })
	stops := c.Notes.Only(note.Stop)
	if len(stops) < 2 {
		t.Fatalf("alkalinity of 15 mg/L, yet %v", c.Notes)
	}
	for _, n := range stops {
		if strings.Count(n.Remedy, "in the site under Accepted") != 1 {
			t.Errorf("%s: %s", n.Code, n.Remedy)
		}
	}
}

// fedAsSet is the alum that the list's settings feed: each dose times what the pump gives at its
// setting over what the dose asks for, from one stage to the next above a floor of 1 NTU.
func fedAsSet(t *testing.T, c Cleaning, doses, readings []float64) (kg float64) {
	t.Helper()
	n := 0
	for _, s := range c.Stages {
		for _, f := range s.Feeds {
			if f.Chemical != "alum" {
				continue
			}
			near(t, "dose", float64(f.Dose.Concentration), doses[n], 1e-6)
			more := 1.0
			if f.Setting.Reach == pump.Within { // else no setting is told
				more = float64(f.Setting.Gives / f.Rate)
			}
			if more < 1 || more > 1.5 {
				t.Errorf("%v mL/min for %v", f.Setting.Gives, f.Rate)
			}
			kg += 21.6 / 0.92 * doses[n] * more * math.Log((readings[n]-1)/(readings[n+1]-1)) / 1000
			n++
		}
	}
	if n != len(doses) {
		t.Errorf("set %d times, want %d", n, len(doses))
	}
	return kg
}

// TestCleaningSteps: the site's doses by turbidity, in steps and along a line; what is
// used is what the list has the pump set to.
func TestCleaningSteps(t *testing.T) {
	steps := cleaned(t, func(v site.Values) {
		v["Chemicals"][0]["dose by turbidity"], v["Chemicals"][0]["straight between"] = "60 NTU=12 mg/L; 30 NTU=9 mg/L; 0 NTU=6 mg/L", "no"
	})
	// 12 mg/L from 90 to 30 NTU and 9 mg/L from there to 5, above a floor of 1 NTU: no water between gets less than a line gives
	want := fedAsSet(t, steps, []float64{12, 9}, []float64{90, 30, 5})
	if got := float64(steps.Uses[0].Dosed); math.Abs(got-want) > 1e-6*want {
		t.Errorf("steps dose %g kg, want %g", got, want)
	}
	line := cleaned(t, func(v site.Values) {
		v["Chemicals"][0]["dose by turbidity"], v["Chemicals"][0]["straight between"] = "0 NTU=0 mg/L; 100 NTU=20 mg/L", "yes"
	})
	// 0.2 mg/L per NTU, set from 18 mg/L by fifths: 90 x 0.8^12 = 6.18 is the last reading above 5
	var doses, readings []float64
	for r := 90.0; r > 5; r *= 0.8 {
		doses, readings = append(doses, 0.2*r), append(readings, r)
	}
	want = fedAsSet(t, line, doses, append(readings, 5))
	if along := 0.2 * 21.6 / 0.92 * (85 + math.Log(89.0/4)) / 1000; want < 1.1*along {
		t.Errorf("%g kg as set, %g along the line", want, along)
	}
	if got := float64(line.Uses[0].Dosed); math.Abs(got-want) > 1e-6*want {
		t.Errorf("line doses %g kg, want %g", got, want)
	}
	s := exampleSite(t, func(v site.Values) { v["Chemicals"][0]["dose by turbidity"] = "30 NTU=12 mg/L; 6 mg/L" })
	if _, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{}); err == nil || !strings.Contains(err.Error(), "site.yaml: line") {
		t.Errorf("%v", err)
	}
}

func TestCleaningNeedsFigures(t *testing.T) {
	s := exampleSite(t, func(v site.Values) {
		delete(v["Solids"][0], "clear enough at")
		delete(v["Solids"][0], "solids caught")
	})
	_, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
	if err == nil || strings.Count(err.Error(), "site.yaml: line") != 2 {
		t.Errorf("%v", err)
	}
}

func TestUnitDay(t *testing.T) {
	s := exampleSite(t, nil)
	p := planOf(t, s, Given{Catalogue: products})
	d := p.Solids(s)
	u := p.UnitDay(s, d)
	// white water 15 % of 3.6 m3/h: (2.2, 3.6 and 5.4 + 0.54) / 0.72 m/h
	if len(u.At) != 3 {
		t.Fatalf("%+v", u)
	}
	for i, want := range [...]float64{2.74 / 0.72, 4.14 / 0.72, 5.94 / 0.72} {
		near(t, "loading", float64(u.At[i].Loading.V), want, 1e-9)
	}
	if !u.At[2].Free.OK || len(u.Matches) != 2 || len(u.Skimming) == 0 || u.Longest != 1 || !u.Gas.OK {
		t.Errorf("%+v", u)
	}
	// a unit too small for its flow
	s = exampleSite(t, func(v site.Values) { v["Solids"][0]["surface"] = "0.18 m2" })
	if n := p.UnitDay(s, p.Solids(s)).Notes; len(n) == 0 || n[0].Code != "loading-high" || n[0].Place.Cell == "" {
		t.Errorf("%v", n)
	}
}
