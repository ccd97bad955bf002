package curve

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// beck is an invented falling curve, storm water of a beck.
func beck(d float64) float64 { return 2 + 40/(1+math.Pow(d/18, 3)) }

func beckSeries(r *rand.Rand, cv float64, doses []float64) jartest.Series {
	y := make([]float64, len(doses))
	for i, d := range doses {
		y[i] = beck(d) * math.Exp(cv*r.NormFloat64())
	}
	return jarSeries("beck", jartest.Turbidity, doses, y)
}

// TestNextKeepsItsPromise runs the second series that Next asks for and compares
// the interval of both together with the one that was foretold.
func TestNextKeepsItsPromise(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 3))
	first := []float64{10, 20, 30, 40, 50, 60}
	goal := target(t, "turbidity <= 6 NTU")
	foretold, got, same := 0.0, 0.0, 0.0
	const n = 30
	for range n {
		s := beckSeries(r, 0.1, first)
		a := Analyse(s, goal, Options{ForNext: true})
		if a.Outcome != Found || !a.Effective.HasLow || !a.Effective.HasHigh {
			t.Fatalf("%s %+v", a.Outcome, a.Effective)
		}
		next := a.Next(NextOptions{})
		jars := 0
		for _, d := range next.Doses {
			jars += d.Jars
			for range d.Jars {
				s.Jars = append(s.Jars, beckSeries(r, 0.1, []float64{float64(d.Dose)}).Jars[0])
			}
		}
		if jars != 6 {
			t.Fatalf("%d jars planned, want 6", jars)
		}
		for i := range s.Jars {
			s.Jars[i].Label = ""
		}
		for _, c := range next.Choices {
			if c.Taken {
				foretold += math.Log(c.Shrink) / n
			}
			if c.Name == "the same doses again" {
				same += math.Log(c.Shrink) / n
			}
		}
		b := Analyse(s, goal, Options{})
		width := func(i Interval) float64 { return math.Log(float64(i.High / i.Low)) }
		got += math.Log(width(b.Effective)/width(a.Effective)) / n
	}
	if math.Abs(got-foretold) > 0.25 {
		t.Errorf("the interval shrank to %.2f of its width, foretold %.2f", math.Exp(got), math.Exp(foretold))
	}
	if foretold > same+1e-9 {
		t.Errorf("the doses taken promise %.2f, the same doses again %.2f", math.Exp(foretold), math.Exp(same))
	}
}

func TestNextWithoutAnswer(t *testing.T) {
	goal := target(t, "turbidity <= 5 NTU")
	doses := []float64{10, 20, 30, 40, 50, 60}
	for _, c := range []struct {
		readings []float64
		outcome  Outcome
		low      func(Next) bool
	}{
		{[]float64{40, 36, 30, 24, 18, 12}, StillImproving, func(n Next) bool { return n.Doses[0].Dose == 60 && n.Doses[len(n.Doses)-1].Dose > 100 }},
		{[]float64{4, 3, 2, 1.5, 1.4, 1.3}, LowestDosePasses, func(n Next) bool { return n.Doses[0].Dose == 0 && n.Doses[1].Dose < 2 }},
		{[]float64{30, 31, 29, 30, 31, 30}, NoResponse, func(n Next) bool { return n.Doses[0].Dose < 5 && n.Doses[len(n.Doses)-1].Dose > 150 }},
		{[]float64{40, 20, 10, 8, 12, 20}, NotReached, func(n Next) bool { return n.Doses[0].Dose > 20 && n.Doses[len(n.Doses)-1].Dose < 60 }},
	} {
		r := Analyse(jarSeries("x", jartest.Turbidity, doses, c.readings), goal, Options{ForNext: true})
		if r.Outcome != c.outcome {
			t.Errorf("%v: outcome %s, want %s", c.readings, r.Outcome, c.outcome)
			continue
		}
		n := r.Next(NextOptions{Stock: 10000, JarVolume: 1})
		jars := 0
		for _, d := range n.Doses {
			jars += d.Jars
		}
		if jars != 6 || !c.low(n) {
			t.Errorf("%s: %d jars, %+v", c.outcome, jars, n.Doses)
		}
	}
}

// TestPipette: what is asked for can be measured out, and the dose printed is the
// dose that the rounded volume gives.
func TestPipette(t *testing.T) {
	opt := NextOptions{Stock: 10000, JarVolume: 1}
	for _, c := range []struct{ dose, ml float64 }{{7.43, 0.74}, {37.26, 3.75}, {123.4, 12.5}, {0.02, 0.01}} {
		d, v := rounded(quantity.Concentration(c.dose), opt, 0)
		if math.Abs(v.In("mL")-c.ml) > 1e-9 {
			t.Errorf("%g mg/L: %v, want %g mL", c.dose, v, c.ml)
		}
		if math.Abs(float64(d)-c.ml*10) > 1e-9 {
			t.Errorf("%g mg/L: dose %v does not belong to %g mL of 10 g/L in 1 L", c.dose, d, c.ml)
		}
	}
	if d, v := rounded(37.26, NextOptions{}, 0.6); math.Abs(float64(d)-37.5) > 1e-9 || v != 0 {
		t.Errorf("without stock: %v, %v", d, v)
	}
}
