package templates

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/clarify"
	"jarwright/dosing/month"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestCardClasses: a card has the planned dose, the ends of its interval where they
// are given and lie beyond it, and the dose of storm water.
func TestCardClasses(t *testing.T) {
	for _, c := range []struct {
		low, dose, high, storm quantity.Concentration
		want                   string
	}{
		{0, 12.5, 0, 0, "[{Planned 12.5}]"},
		{10, 12.5, 15, 0, "[{Low end 10} {Planned 12.5} {High end 15}]"},
		{12.5, 12.5, 12.5, 0, "[{Planned 12.5}]"},
		{10, 12.5, 0, 20, "[{Usual water, low end 10} {Usual water 12.5} {Storm water 20}]"},
	} {
		var f dosing.Feed
		f.Low, f.High, f.Storm, f.Dose.Concentration = c.low, c.high, quantity.Some(c.storm), c.dose
		if got := fmt.Sprint(Plan{}.classes(f)); got != c.want {
			t.Errorf("%v: %s, want %s", c, got, c.want)
		}
	}
}

func TestCleaningClasses(t *testing.T) {
	var f dosing.Feed
	f.CleaningKey, f.Cleaning = jartest.Turbidity, []clarify.Step{{Reading: 0, Dose: 5}, {Reading: 12.5, Dose: 8}, {Reading: 30, Dose: 11}}
	if got, want := fmt.Sprint(cleaningClasses(f, Options{DecimalComma: true})), "[{0 to 12,5 NTU 5} {12,5 to 30 NTU 8} {30 NTU and more 11}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	f.CleaningCurve = true // points of a line, level beyond its ends
	if got, want := fmt.Sprint(cleaningClasses(f, Options{})), "[{At 0 NTU 5} {At 12.5 NTU 8} {30 NTU and more 11}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	f.Cleaning = f.Cleaning[1:]
	if got, want := fmt.Sprint(cleaningClasses(f, Options{})), "[{12.5 NTU and less 8} {30 NTU and more 11}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestCardFlows: from the lesser of the least flow and half the average to the
// greater of the peak and one and a half times it, in six equal steps, each rounded
// to two digits; in US units rounded in gpm (1 m3/h = 4.402868 gpm).
func TestCardFlows(t *testing.T) {
	for _, c := range []struct {
		least, average, peak quantity.Flow
		units                quantity.System
		want                 []float64 // in the reader's unit
	}{
		{2.2, 3.6, 5.4, quantity.Metric, []float64{1.8, 2.4, 3, 3.6, 4.2, 4.8, 5.4}},
		{1.2, 3.6, 7.2, quantity.Metric, []float64{1.2, 2.2, 3.2, 4.2, 5.2, 6.2, 7.2}},
		{0, 3.6, 6, quantity.Metric, []float64{1, 2, 3, 4, 5, 6}},                  // nothing flows at 0
		{99, 100, 101, quantity.Metric, []float64{50, 67, 83, 100, 120, 130, 150}}, // 66.7, 83.3, 116.7, 133.3
		// 1.8, 2.4, … m3/h are 7.925, 10.567, 13.21, 15.85, 18.49, 21.13, 23.78 gpm.
		{2.2, 3.6, 5.4, quantity.US, []float64{7.9, 11, 13, 16, 18, 21, 24}},
	} {
		var got []float64
		for _, q := range cardFlows(c.least, c.average, c.peak, c.units) {
			v, _ := q.Show(c.units)
			got = append(got, quantity.RoundSig(v, 9))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%v, %v, %v: %v, want %v", c.least, c.average, c.peak, got, c.want)
		}
	}
}

// TestDearest: the three that cost most, dearest first, what is not used left out;
// of equal ones the first named stands first.
func TestDearest(t *testing.T) {
	var m month.Budget
	for _, cost := range []float64{5, 0, 30, 10, 30} {
		a := month.Account{Use: 1, Goods: quantity.Money{Amount: cost}}
		if cost == 0 {
			a.Use, a.Goods.Amount = 0, 99
		}
		m.Accounts = append(m.Accounts, a)
	}
	if got := dearest(m); !slices.Equal(got, []int{2, 4, 3}) {
		t.Errorf("%v, want 2, 4, 3", got)
	}
}
