package serve

import (
	"fmt"
	"net/url"
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/templates/desk"
)

// TestAsTarget: what is typed in short becomes what the command line takes.
func TestAsTarget(t *testing.T) {
	for typed, want := range map[string]string{"5": "turbidity <= 5 NTU", " 5  NTU ": "turbidity <= 5 NTU", "2.5 FNU": "turbidity <= 2.5 FNU", "90 %": "turbidity removal >= 90 %",
		"90%": "turbidity removal >= 90 %", "ph >= 6.5": "ph >= 6.5", "2,5": "turbidity <= 2.5 NTU", "0,125 NTU": "turbidity <= 0.125 NTU", "residual al ≤ 0,125 mg/L": "residual al <= 0.125 mg/L", "99,5 %": "turbidity removal >= 99.5 %", "1,5": "turbidity <= 1.5 NTU", "turbidity removal at least 92,5 %": "turbidity removal >= 92.5 %", "turbidity <= 2,5 NTU": "turbidity <= 2.5 NTU", "ph >= 6,5": "ph >= 6.5", "tss <= 1,500 mg/L": "tss <= 1,500 mg/L", "turbidity at most 4 NTU": "turbidity <= 4 NTU", "tss at least  3 mg/L": "tss >= 3 mg/L",
		"<5": "turbidity <= 5 NTU", "< 5 NTU": "turbidity <= 5 NTU", "5 ntu": "turbidity <= 5 NTU", "5.": "turbidity <= 5 NTU", "<= 5": "turbidity <= 5 NTU", "≤5": "turbidity <= 5 NTU", "below 5": "turbidity <= 5 NTU",
		"turbidity below 5 NTU": "turbidity <= 5 NTU", "turbidity<5 NTU": "turbidity <= 5 NTU", "Turbidity under 5 NTU": "Turbidity <= 5 NTU", "turbidity < = 5 NTU": "turbidity <= 5 NTU",
		"ph over 6.5": "ph >= 6.5", "ph>6.5": "ph >= 6.5", "ph >= 6.5.": "ph >= 6.5", "no more than 4,5 ntu": "turbidity <= 4.5 NTU", "turbidity below 5": "turbidity <= 5 NTU", "residual al < 0,1": "residual al <= 0.1 mg/L", "> 5": ">= 5"} {
		if got := asTarget(typed, jartest.Turbidity); got != want {
			t.Errorf("%q becomes %q", typed, got)
		}
	}
	for _, x := range []struct {
		typed string
		of    jartest.Key
		want  string
	}{{"30", "tss", "tss <= 30 mg/L"}, {"80 %", "tss", "tss removal >= 80 %"}, {"0,05", "residual_al", "residual al <= 0.05 mg/L"}, {"5", "", "5"}} {
		if got := asTarget(x.typed, x.of); got != x.want {
			t.Errorf("%q of %q becomes %q", x.typed, x.of, got)
		}
	}
}

// TestGoalSlide: round values from the best that the jars come to up to what the raw water reads, with the one that
// holds among them; a removal in per cent up to the best; and none where nothing is known or no one bound is asked for.
func TestGoalSlide(t *testing.T) {
	best := 3.1
	s, ok := goalSlide("turbidity <= 5 NTU", &best, 0, []float64{38, 25, 13, 4, 3.2})
	if want := []string{"4 NTU", "5 NTU", "6 NTU", "8 NTU", "10 NTU", "12 NTU", "15 NTU", "20 NTU", "25 NTU", "30 NTU"}; !ok || !slices.Equal(s.Words(), want) || s.At != 1 {
		t.Errorf("%v at %d", s.Words(), s.At)
	}
	if s.Label != "Turbidity, at most" || s.Stops[0].Value != "turbidity <= 4 NTU" {
		t.Errorf("%q, %q", s.Label, s.Stops[0].Value)
	}
	if s, _ = goalSlide("turbidity <= 7 NTU", &best, 0, []float64{38}); s.Says() != "7 NTU" {
		t.Errorf("a target that is not round stands at %q", s.Says())
	}
	// 3.1 of 40 left are 92.25 % out.
	s, ok = goalSlide("turbidity removal >= 80 %", &best, 40, []float64{40, 3.2})
	if !ok || s.High() != "92 %" || s.Low() != "30 %" || s.Says() != "80 %" || s.Stops[s.Last()].Value != "turbidity removal >= 92 %" {
		t.Errorf("%v", s)
	}
	acid := 7.4
	if s, ok = goalSlide("ph >= 6.5", &acid, 0, []float64{7.4, 6.1}); !ok || s.Low() != "6.1" || s.High() != "7.4" || s.Says() != "6.5" {
		t.Errorf("pH: %v", s.Words())
	}
	for _, target := range []string{"turbidity within 10 % of best", "zeta between -5 and 5 mV", "toc enhanced"} {
		if s, ok := goalSlide(target, &best, 40, []float64{40}); ok {
			t.Errorf("%q has a slider: %v", target, s)
		}
	}
	if _, ok := goalSlide("turbidity <= 5 NTU", nil, 0, []float64{38}); ok {
		t.Error("a slider without a fit")
	}
}

// TestNiceBetween: values are round, rise, stay inside, and are neither few nor many.
func TestNiceBetween(t *testing.T) {
	for _, x := range [][2]float64{{0.31, 0.38}, {0, 1}, {6.1, 7.4}, {3, 38}, {0.02, 900}, {55, 130}, {1000, 2900}} {
		got := niceBetween(x[0], x[1])
		if len(got) < 4 || len(got) > 50 || !slices.IsSorted(got) || got[0] < x[0]-1e-9 || got[len(got)-1] > x[1]+1e-9 {
			t.Errorf("%v: %v", x, got)
		}
		for _, v := range got {
			if s := fmt.Sprint(v); len(s) > 5 {
				t.Errorf("%v: %s is not round", x, s)
			}
		}
	}
	if got := niceBetween(5, 5); got != nil {
		t.Errorf("between a value and itself: %v", got)
	}
}

// TestTakePrices: a bare price is of a kilogram and in the currency named, one in full stays, an empty one goes.
func TestTakePrices(t *testing.T) {
	st := state{Flags: url.Values{"price": {"alum=1 EUR/kg", "PACl=2 EUR/kg", "lime=3 EUR/kg"}}}
	takePrices(st, url.Values{"price-alum": {"0,42"}, "price-PACl": {"0.50 GBP/L"}, "price-lime": {""}, "currency": {"CHF"}, "price-": {"9"}})
	if got := st.Flags["price"]; !slices.Equal(got, []string{"PACl=0.50 GBP/L", "alum=0.42 CHF/kg"}) && !slices.Equal(got, []string{"alum=0.42 CHF/kg", "PACl=0.50 GBP/L"}) {
		t.Errorf("%q", got)
	}
}

// TestFields: every question of the program's short form stands in the form of a place, in some group, each with a name
// of its own; the dose that a bench sheet gives is asked for only where there is one.
func TestFields(t *testing.T) {
	for _, passes := range passesWords {
		for _, b := range []bench{{}, {file: "bench.xlsx", chemical: "alum"}} {
			seen := map[string]bool{}
			for _, f := range fieldsOf(state{}, passes.Value, b) {
				if seen[f.key()] {
					t.Errorf("%s: %s twice", passes.Says, f.key())
				}
				seen[f.key()] = true
				if !slices.ContainsFunc(groups, func(g struct{ name, says string }) bool { return g.name == f.group }) || f.label == "" {
					t.Errorf("%s: %s is in %q, called %q", passes.Says, f.key(), f.group, f.label)
				}
			}
			if seen["chemicals-bench-sheet"] != (b.file != "") || !seen["chemicals-dose"] || !seen["chemicals-basis"] || !seen["place-name"] {
				t.Errorf("%s, %q: %v", passes.Says, b.file, seen)
			}
			if seen["drawdown-1-speed"] != seen["pumps-pump-largest-rate"] && seen["drawdown-1-speed"] != seen["pumps-largest-rate"] {
				t.Errorf("%s: readings without a pump", passes.Says)
			}
		}
	}
}

// TestWithout: a site goes with the answers that it was made of, and another site drives both out.
func TestWithout(t *testing.T) {
	st := state{}.with(File{ID: "b", Name: "b.xlsx", Kind: desk.Bench}).with(File{ID: "s", Name: "site.xlsx", Kind: desk.Site}).with(File{ID: "a", Name: answersFile, Kind: desk.Answers})
	if got := st.without("s").Files; len(got) != 1 || got[0].ID != "b" {
		t.Errorf("%v", got)
	}
	if got := st.with(File{ID: "t", Name: "other.xlsx", Kind: desk.Site}).Files; len(got) != 2 || got[1].ID != "t" {
		t.Errorf("%v", got)
	}
}
