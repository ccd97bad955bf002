package history

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/curve"
)

// Readings that the law does not go by and that lie far from those of the tests are told: past a span of 9 to 10 °C by more than 2 K, of 60 mg/L CaCO3 by more than
// a quarter, of 0.1 1/cm likewise. What no test tells is said to change nothing. The dose is given all the same, and is the same.
func TestWaterUnlikeThatOfTheTests(t *testing.T) {
	var tests []Test
	for i, x := range beck(10, 20, 40, 80, 160, 15, 30, 60) {
		x.Raw[jartest.TemperatureKey], x.Raw[jartest.AlkalinityKey] = 9+float64(i%2), 60
		tests = append(tests, x)
	}
	g := group(t, tests)
	plain, _ := g.Predict(muddy(50), 0.9)
	for _, x := range []struct {
		k      jartest.Key
		v      float64
		code   string
		unlike bool
		says   string
	}{
		{jartest.TemperatureKey, 7.1, "", false, ""}, {jartest.TemperatureKey, 11.9, "", false, ""},
		{jartest.TemperatureKey, 6.9, "water-unlike", true, "the temperature of this water is 6.9 C, that of the tests was 9 C to 10 C: the law does not go by it and may not hold"},
		{jartest.TemperatureKey, 25, "water-unlike", true, "is 25 C,"},
		{jartest.AlkalinityKey, 46, "", false, ""}, {jartest.AlkalinityKey, 74, "", false, ""},
		{jartest.AlkalinityKey, 44, "water-unlike", true, "that of the tests was 60 mg/L CaCO3:"}, {jartest.AlkalinityKey, 76, "water-unlike", true, ""},
		{jartest.UV254, 0.3, "reading-untested", false, "none of these tests tells its UV254, so that of this water, 0.3 1/cm, changes nothing"},
	} {
		w := muddy(50)
		w[x.k] = x.v
		p, ok := g.Predict(w, 0.9)
		if !ok || p.Planning != plain.Planning || len(p.Model.Terms) > 0 {
			t.Fatalf("%s %v: %+v", x.k, x.v, p)
		}
		if got := strings.Join(codes(p.Notes), " "); got != x.code || slices.Contains(p.Unlike, x.k) != x.unlike {
			t.Errorf("%s %v: %q, want %q", x.k, x.v, got, x.code)
		} else if got != "" && !strings.Contains(p.Notes[0].Message, x.says) {
			t.Errorf("%s %v: %q", x.k, x.v, p.Notes[0].Message)
		}
	}
}

// A law whose last test is more than 365 days old says so, on the 366th; one with a test of a day to come does, and asks.
func TestOldTestsSpeak(t *testing.T) {
	g := group(t, beck(10, 20, 40, 80, 160, 15, 30, 60))
	last := month.Date{}
	for _, x := range g.Used {
		if last.Before(x.Day.Date) {
			last = x.Day.Date
		}
	}
	for days, want := range map[int]bool{365: false, 366: true, -5: false} {
		p, _ := g.Predict(muddy(50), 0.9)
		p.Age(last.AddDays(days))
		if got := slices.Contains(codes(p.Notes), "tests-old"); got != want {
			t.Errorf("%d days: %v", days, p.Notes)
		}
		if got := slices.Contains(codes(p.Notes), "test-to-come"); got != (days < 0) {
			t.Errorf("%d days: %v", days, p.Notes)
		}
		if want && !strings.Contains(p.Notes[0].Message, "the last of these tests is of "+last.Spelled()+", 366 days before") {
			t.Errorf("%s", p.Notes[0].Message)
		}
	}
}

// The next water counts tests of it that found no dose, and its jars go beyond theirs: one of 200 NTU was not enough at 80 mg/L, half as much again is 120.
func TestNextKnowsTestsWithoutADose(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160, 15, 30, 60)
	before := group(t, tests).Next()[0]
	if before.Unmet != 0 || !before.Beyond {
		t.Fatalf("%+v", before)
	}
	open := past(98, muddy(float64(before.High)), 0, 0)
	open.Outcome, open.TestedHigh = curve.StillImproving, 80
	n := group(t, append(tests, open)).Next()[0]
	if n.Unmet != 1 || n.Doses[len(n.Doses)-1] != 120 || n.High != before.High {
		t.Errorf("%+v", n)
	}
}

// Waters of 10 to 160 NTU that all need 10 mg/L, but for 4 %, have the mean as their law, and that turbidity does not tell the dose is said; the
// geometric mean of 9.6, 10, 10.4, 9.6, 10, 10.4, 9.6 and 10 mg/L is 9.945.
func TestTurbidityThatTellsNothing(t *testing.T) {
	var tests []Test
	for i, x := range beck(10, 20, 40, 80, 160, 15, 30, 60) {
		tests = append(tests, past(i, x.Raw, 10*(1+0.04*float64(i%3-1)), 0.05))
	}
	g := group(t, tests)
	if m := g.Model.V; m.Form != Constant || !agree(float64(m.Coefficients[0].Value), 9.945, 4) || !slices.Equal(codes(g.Notes), []string{"no-law-of-turbidity"}) {
		t.Errorf("%v %v %v", m.Form, m.Coefficients, g.Notes)
	}
}
