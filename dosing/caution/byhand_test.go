package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// softPond is soft water of catfish that takes 30 mg/L of alum by hand: 30 x 6 x 50.0435/594.34 = 15.16 of 18 mg/L of alkalinity.
func softPond(t *testing.T) Situation {
	t.Helper()
	p, err := animal.Find("channel catfish")
	if err != nil {
		t.Fatal(err)
	}
	return Situation{Purpose: Animals, Pond: true, Goes: 1, Water: basin(22, 7, 18, 15, 0, 0), Stock: []Animal{{Name: "fry", Profile: p, Stage: "fry"}},
		Doses: []Dose{dose(t, "alum-dry", 30, quantity.AsAlum14)}}
}

// An alkali that goes in on the day before is judged by what it does alone, as a plan judges it: 12.7 mg/L of hydrated lime take such water past pH 9, bicarbonate
// nowhere near. What the site asks for is told beside what the animals should have.
func TestAlkaliOfTheDayBefore(t *testing.T) {
	s := softPond(t)
	s.Water.Floor = quantity.Some(quantity.Alkalinity(20))
	own, theirs := 0, 0
	for _, o := range Review(s).Alkalis {
		goal := o.Goal.String()
		switch {
		case strings.HasPrefix(goal, "alkalinity 20 mg/L CaCO3 that the site asks for"):
			own++
			lacks := 20 - (18 - 30*6*50.0435/594.34)
			if o.Alkali.ID == "caoh2" && math.Abs(float64(o.Pure)-lacks*74.092/100.087) > 0.02 {
				t.Errorf("%v mg/L of lime", o.Pure)
			}
			if stops := o.Level == note.Stop; stops != (o.Alkali.ID != "nahco3" && o.Alkali.ID != "khco3" && o.Alkali.Highest == 0) {
				t.Errorf("%s: %v, %s", o.Alkali.Name, o.Level, o.Why)
			}
		case strings.HasPrefix(goal, "alkalinity 50 mg/L CaCO3 that fry"):
			theirs++
		default:
			t.Errorf("goal %q", goal)
		}
	}
	if own != 8 || theirs != 8 {
		t.Errorf("%d of the site's own, %d of the animals'", own, theirs)
	}
	s.Pond = false // fed at a pipe it meets the alum there
	for _, o := range Review(s).Alkalis {
		if strings.HasPrefix(o.Why.String(), "alone: ") {
			t.Errorf("%s in a pipe: %s", o.Alkali.Name, o.Why)
		}
	}
}

// What comes in parts already is not told to come in parts, and what parts cannot mend is not promised of them.
func TestParts(t *testing.T) {
	s := softPond(t)
	s.Water = basin(22, 8.6, 100, 90, 0, 0)
	remedy := func() string {
		for _, n := range Review(s).Notes {
			if n.Code == "ph-step" {
				return n.Remedy
			}
		}
		return ""
	}
	s.Step = quantity.Some(quantity.PH(1.1))
	for _, x := range []struct {
		goes, better int
		want         string
	}{{1, 0, "dose in parts, hours apart, well"}, {2, 3, "dose in 3 parts, hours apart, well"}, {2, 0, "dose less (it comes in parts already), well"}} {
		if s.Goes, s.Better = x.goes, x.better; !strings.HasPrefix(remedy(), x.want) {
			t.Errorf("%d goes, %d better: %q", x.goes, x.better, remedy())
		}
	}
	s = softPond(t)
	s.Goes = 3
	for _, n := range Review(s).Notes.Only(note.Stop) {
		if strings.Contains(n.Remedy, "in parts") != (n.Code == "alkalinity-gone") || n.Code == "alkalinity-gone" && !strings.Contains(n.Remedy, "in parts or at once, the dose takes as much") {
			t.Errorf("%s: %s", n.Code, n.Remedy)
		}
	}
}

// A line that the water is past before the dose is moved to what there is, and said. Carp bear 0.0193 mg/L NH3, in general: at pH 8.4 and 28 C
// x 14.007/17.031 x (1 + 10^(0.09018 + 2729.92/301.15 - 8.4)) = 0.105 mg/L as N.
func TestWatchPassed(t *testing.T) {
	p, err := animal.Find("common carp")
	if err != nil {
		t.Fatal(err)
	}
	s := Situation{Purpose: Animals, Pond: true, Water: basin(28, 8.4, 80, 90, 0, 0.4), Stock: []Animal{{Name: "carp", Profile: p}}}
	w, _ := WatchOf(s)
	asked := float64(w.NH3) * 14.007 / 17.031 * (1 + math.Pow(10, 0.09018+2729.92/301.15-8.4))
	if !w.Stands.TAN || w.TAN.V != 0.4 || math.Abs(float64(w.Stands.Asked)-asked) > 2e-3*asked || len(w.Passed()) != 1 || w.Passed()[0].Code != "watch-passed-tan" {
		t.Errorf("%+v, asked %v", w, asked)
	}
	s.Water.Ammonia = quantity.Some(quantity.Concentration(0.05))
	if w, _ := WatchOf(s); w.Stands.TAN || len(w.Passed()) != 0 || math.Abs(float64(w.TAN.V)-asked) > 2e-3*asked {
		t.Errorf("below the line: %+v", w)
	}
	s.Water.PH = quantity.Some(quantity.PH(9.4))
	if w, _ := WatchOf(s); !w.Stands.PH || w.PHHigh != 9.4 {
		t.Errorf("past the pH: %+v", w)
	}
}

// Who spreads by hand is told of tubs and buckets, and of nothing that he has not: no pump, no feed point, in any of what is said of handling.
func TestHandlingByHandNamesNoPump(t *testing.T) {
	s := softPond(t)
	s.Doses = append(s.Doses, dose(t, "pacl-10", 5, quantity.AsProduct), dose(t, "cpam-dry", 0.1, quantity.AsProduct), dose(t, "soda-ash", 5, quantity.AsProduct))
	s.Also = []string{"sodium hypochlorite", "hydrogen peroxide"}
	told := 0
	for _, by := range []bool{true, false} {
		s.Piped = !by
		for _, n := range Review(s).Handling {
			text := n.Message + ". " + n.Remedy
			if has := strings.Contains(text, "pump") || strings.Contains(text, "feed point"); has && by {
				t.Error(text)
			} else if has {
				told++
			}
		}
	}
	if told < 3 {
		t.Errorf("%d of them name pumps where there are some", told)
	}
}
