package history

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// twoWaters are seven tests of a beck by the square-root law of a university's course (12.17 + 4.611·√NTU at 15 °C,
// cornell_alum_vs_raw_turbidity) and seven of a lake that needs so many times as much, but for 4 %.
func twoWaters(times float64, names ...string) (out []Test) {
	for i, v := range []float64{10, 20, 50, 80, 100, 150, 200} {
		for k, by := range []float64{1, times} {
			t := past(2*i+k, muddy(v), by*(12.17+4.611*math.Sqrt(v))*(1+0.04*float64(i%3-1)), 0.05)
			if len(names) > 0 {
				t.Name = names[k]
			}
			out = append(out, t)
		}
	}
	return out
}

// A law through two waters says that it is one, by their names where the sheets have such, and what comes before its dose. Waters
// that differ by less than a fifth, and one water, are not told apart.
func TestTwoWatersSpeak(t *testing.T) {
	for _, x := range []struct {
		tests []Test
		says  string
	}{
		{twoWaters(2, "beck", "lake"), "the 7 tests of lake needed about 100 % more than the 7 of beck at the same turbidity, and none lies between"},
		{twoWaters(2), "7 of the 14 tests needed about 100 % more than the others"},
		{twoWaters(0.5), "7 of the 14 tests needed about 100 % more than the others"},
		{twoWaters(1.6), "60 % more"},
		{twoWaters(1.1), ""},
		{twoWaters(1), ""},
	} {
		g := group(t, x.tests)
		p, ok := g.Predict(muddy(85), 0.9)
		i := slices.IndexFunc(p.Notes, func(n note.Note) bool { return n.Code == "waters-apart" })
		if !ok || (i >= 0) != (x.says != "") || i >= 0 && !strings.Contains(p.Notes[i].Message, x.says) {
			t.Errorf("want %q: %v", x.says, p.Notes)
		}
		first, told := p.First()
		if told != (x.says != "") || told && !strings.HasPrefix(first.Format, "Find out first which of the two waters it is") {
			t.Errorf("%q: first %v", x.says, first)
		}
	}
}

// One water is seldom taken for two: of 400 histories of 6 to 20 tests that scatter by 10 % at most one in fifty speaks.
func TestOneWaterIsSeldomTwo(t *testing.T) {
	r, spoke := rand.New(rand.NewPCG(7, 11)), 0
	const histories = 400
	for h := range histories {
		var tests []Test
		for i := range []int{6, 8, 10, 14, 20}[h%5] {
			v := 10 * math.Pow(20, r.Float64())
			tests = append(tests, past(i, muddy(v), 4*math.Pow(v, 0.3)*math.Exp(0.1*r.NormFloat64()), 0.05))
		}
		if slices.Contains(codes(group(t, tests).Notes), "waters-apart") {
			spoke++
		}
	}
	if spoke > histories/50 {
		t.Errorf("%d of %d", spoke, histories)
	}
}

// A test that lies far off the others is to be looked at before any dose, and its file is named: of eight tests of one law one needed ten times as much.
func TestOddTestComesFirst(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160, 15, 30, 60)
	v := &tests[3].Effective
	v.Value, v.Low, v.High = 10*v.Value, 10*v.Low, 10*v.High
	p, _ := group(t, tests).Predict(muddy(50), 0.9)
	first, ok := p.First()
	if !ok || len(first.Args) != 1 || first.Args[0] != tests[3].At.File {
		t.Errorf("%v %v: %v", ok, first, p.Notes)
	}
	if p, _ = group(t, beck(10, 20, 40, 80, 160, 15, 30, 60)).Predict(muddy(50), 0.9); len(p.Notes) > 0 {
		t.Errorf("%v", p.Notes)
	}
}

// The last test of such water that needed more than nine in ten should comes before the dose too.
func TestWhatComesFirst(t *testing.T) {
	for code, says := range map[string]string{"like-water-needed-more": "Look first at the test in a.csv, and run", "odd-test": "Look first at the test in a.csv: put", "waters-apart": "Find out first", "tests-old": ""} {
		p := Prediction{Notes: note.List{note.New(note.Caution, code, "x").At(note.Place{File: "a.csv"})}}
		first, ok := p.First()
		n := note.New(note.Info, "", "%s", first)
		if ok != (says != "") || ok && !strings.HasPrefix(n.Message, says) {
			t.Errorf("%s: %q", code, n.Message)
		}
	}
}
