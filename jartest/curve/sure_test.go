package curve

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// TestSurerNeedsMore: over 28 series of waters whose truth is known, the dose to plan with
// is the quantile of the cloud's own lowest effective doses at the confidence asked, the
// share of curves that meet the target there is that confidence, a surer dose is never
// less, the interval does not move, and zero asks for what is usual.
func TestSurerNeedsMore(t *testing.T) {
	e := engine.New()
	planned, held := 0, 0
	for i := range waters {
		r := rand.New(rand.NewPCG(uint64(i), 19))
		for k := range 2 {
			x := waters[i].trial(r, [...]string{"E6", "R12"}[k], 0.08, "plain")
			s := jarSeries("x", jartest.Turbidity, x.doses, x.y)
			name := fmt.Sprintf("%s %d", waters[i].name, k)
			last, usual := 0.0, Result{}
			for _, sure := range []quantity.Fraction{0, 0.5, 0.75, 0.9, 0.95, 0.99} {
				a := analyse(e, s, below(1.3*x.goal), Options{Sure: sure, OnlyTarget: true})
				if sure == 0 {
					usual = a
					continue
				}
				if sure == 0.9 && (a.Planning != usual.Planning || a.Rule != usual.Rule || a.Outcome != usual.Outcome) {
					t.Errorf("%s: 90 %% asked for gives %v (%s), nothing asked %v (%s)", name, a.Planning, a.Rule, usual.Planning, usual.Rule)
				}
				if a.Outcome == Found && a.Effective != usual.Effective && usual.Outcome == Found {
					t.Errorf("%s: the interval moves with the confidence asked: %v, %v", name, a.Effective, usual.Effective)
				}
				if !a.HasPlanning {
					if last > 0 && a.Outcome == Found && !strings.Contains(noteOf(a, "planning-beyond-range"), Confident(sure)) {
						t.Errorf("%s: no dose of %v, and it is not said why", name, sure)
					}
					continue
				}
				d := float64(a.Planning.Concentration)
				if d < last {
					t.Errorf("%s: %v sure needs %v, a less sure dose %v", name, sure, d, last)
				}
				last = d
				if a.Rule == heldRule {
					held++
					if a.Sure > sure {
						t.Errorf("%s: held at %v although %v sure", name, d, a.Sure)
					}
					continue
				}
				planned++
				if want := engine.Quantile(a.doses, float64(sure)); d != want {
					t.Errorf("%s: %v sure plans %v, the quantile is %v", name, sure, d, want)
				}
				if a.Sure != sure || a.Rule != "target met with "+Confident(sure)+" confidence" {
					t.Errorf("%s: asked %v, said %v: %s", name, sure, a.Sure, a.Rule)
				}
				// Confidence is read off straight between the doses of a grid, and curves that step
				// do so anywhere between two: what is asked lies between the shares at both.
				j, _ := slices.BinarySearch(a.grid, d)
				before, after := a.Confidence(quantity.Concentration(a.grid[max(j-1, 0)])), a.Confidence(quantity.Concentration(a.grid[j]))
				if before > sure+0.02 || after < sure-0.02 {
					t.Errorf("%s: at the dose planned with %v, %.3f to %.3f of the curves meet the target", name, sure, before, after)
				}
			}
		}
	}
	if planned < 40 || held < 1 {
		t.Errorf("only %d doses planned and %d held", planned, held)
	}
}

// TestAsked: what is given goes before what a series says, and that before the usual.
func TestAsked(t *testing.T) {
	of := func(jartest.Series) quantity.Fraction { return 0.75 }
	none := func(jartest.Series) quantity.Fraction { return 0 }
	for _, x := range []struct {
		o    Options
		want quantity.Fraction
	}{{Options{}, 0.9}, {Options{Sure: 0.95}, 0.95}, {Options{SureOf: of}, 0.75}, {Options{Sure: 0.5, SureOf: of}, 0.5}, {Options{SureOf: none}, 0.9}} {
		if got := x.o.Asked(jartest.Series{}); got != x.want {
			t.Errorf("%v asked, want %v", got, x.want)
		}
	}
	if Confident(0.9) != "90 %" || Confident(0.975) != "97.5 %" {
		t.Error(Confident(0.9), Confident(0.975))
	}
}
