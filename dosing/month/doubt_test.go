package month

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// normalDose is a dose whose lowest effective value is normal about mean.
func normalDose(mean, sd float64) Dose {
	return Dose{Plan: quantity.Concentration(mean), Quantile: func(p float64) (quantity.Concentration, bool) {
		return quantity.Concentration(mean + sd*math.Sqrt2*math.Erfinv(2*p-1)), true
	}}
}

// TestKnownDistribution: one normal dose and a linear cost. The middle of the
// drawn cost is the exact one within the sampling error of a median,
// √(π/2) σ/√n, and the outer deciles within theirs; checked over 50 seeds.
func TestKnownDistribution(t *testing.T) {
	const mean, sd, n = 20.0, 2.0, 10000
	p := flat(10, 10, mean, quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"})
	p.Chemicals[0].Doses[0] = normalDose(mean, sd)
	p.Doubt.Draws = n
	scale := 10.0 * 10 * 30 / 1000 * 2 // EUR per mg/L
	z := func(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
	// Standard error of a sample quantile: √(p(1−p)/n) / density.
	se := func(p float64) float64 {
		density := math.Exp(-z(p)*z(p)/2) / math.Sqrt(2*math.Pi) / (sd * scale)
		return math.Sqrt(p*(1-p)/n) / density
	}
	within := 0
	for seed := range uint64(50) {
		p.Doubt.Seed = seed
		r := must(t, p).Range
		for q, got := range map[float64]float64{0.1: r.Cost.P10, 0.5: r.Cost.P50, 0.9: r.Cost.P90} {
			exact := (mean + sd*z(q)) * scale
			if math.Abs(got-exact) > 4.5*se(q) {
				t.Errorf("seed %d: P%g is %.4f, exact %.4f, standard error %.4f", seed, q*100, got, exact, se(q))
			}
			if q == 0.5 && math.Abs(got-exact) < 1.96*se(q) {
				within++
			}
		}
	}
	if within < 40 { // 47.5 expected; fewer than 40 has a chance below 1 in 1000
		t.Errorf("the middle is within two standard errors for %d of 50 seeds", within)
	}
}

// TestMixedDays: on days of unknown class the use is a sum of independent
// choices, so its mean is the plan and its spread that of a binomial.
func TestMixedDays(t *testing.T) {
	p := flat(10, 10, 0, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	p.Classes = []Class{{Name: "clear", Share: 0.7}, {Name: "storm", Share: 0.3}}
	p.Chemicals[0].Doses = []Dose{{Plan: 10}, {Plan: 30}}
	r := must(t, p).Range
	// 30 days; a storm day takes 3 kg, a clear one 1 kg: 30 + 2·B(30, 0.3). Exact deciles of the binomial are 6, 9 and 12 (R qbinom, from memory; recomputed below).
	cdf := func(k int) float64 {
		s := 0.0
		for i := 0; i <= k; i++ {
			lg := func(n int) float64 { v, _ := math.Lgamma(float64(n + 1)); return v }
			s += math.Exp(lg(30) - lg(i) - lg(30-i) + float64(i)*math.Log(0.3) + float64(30-i)*math.Log(0.7))
		}
		return s
	}
	decile := func(q float64) float64 {
		k := 0
		for cdf(k) < q {
			k++
		}
		return 30 + 2*float64(k)
	}
	near(t, "P10", float64(r.Use[0].P10), decile(0.1))
	near(t, "P50", float64(r.Use[0].P50), decile(0.5))
	near(t, "P90", float64(r.Use[0].P90), decile(0.9))
}

// TestRunningOut: a store with no delivery runs out when the month needs more
// than it holds; with a normal dose the chance is a normal tail.
func TestRunningOut(t *testing.T) {
	p := flat(10, 10, 20, quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"}) // 60 kg a month
	p.Chemicals[0].Doses[0] = normalDose(20, 2)
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Delivery = false
	}
	p.Chemicals[0].Supply = Supply{Opening: 66, Pack: 25, MinDays: 0}
	r := must(t, p).Range
	want := 0.15865525393145707 // one standard deviation above the mean: 1 − Φ(1)
	if got := float64(r.RunsOut[0]); math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/10000) {
		t.Errorf("chance of running out %.4f, exact %.4f", got, want)
	}
}

// TestWhatMattersMost: in a linear case the shares are those of the variance.
func TestWhatMattersMost(t *testing.T) {
	p := six()
	for c := range p.Chemicals {
		p.Chemicals[c].Doses[0] = normalDose(10, float64(c+1)*0.3)
	}
	p.Doubt.Flow = Span{0.999, 1.001}
	r := must(t, p).Range
	if len(r.Matters) != 7 || r.Matters[0].Name != "dose of chemical 6" || r.Matters[6].Name != "flow" {
		t.Fatalf("order %v", r.Matters)
	}
	sum := 0.0
	for i, m := range r.Matters {
		sum += float64(m.Share)
		if i < 6 {
			want := float64((6-i)*(6-i)) / (1 + 4 + 9 + 16 + 25 + 36)
			if math.Abs(float64(m.Share)-want) > 0.001 {
				t.Errorf("%s: share %.4f, of the variance %.4f", m.Name, float64(m.Share), want)
			}
		}
	}
	near(t, "sum of shares", sum, 1)
}

// TestSpan: the two figures are passed one time in ten and the plan is the middle.
func TestSpan(t *testing.T) {
	s := Span{0.8, 1.5}
	for p, want := range map[float64]float64{0.1: 0.8, 0.5: 1, 0.9: 1.5} {
		near(t, fmt.Sprint("P", p*100), s.Quantile(p), want)
	}
	if (Span{}).Quantile(0.9) != 1 {
		t.Error("no span is not 1")
	}
	for _, bad := range []Span{{1.1, 1.2}, {0.5, 0.9}, {0, 2}, {-1, 2}} {
		p := six()
		p.Doubt.Flow = bad
		if _, err := Make(p); err == nil || !strings.Contains(err.Error(), "does not hold the plan") {
			t.Errorf("%v: %v", bad, err)
		}
	}
}

// six is a month of 31 days with six chemicals, everything in doubt.
func six() Plan {
	p := flat(20, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	p.Calendar.Month = Month{2027, time.January}
	one := p.Chemicals[0]
	p.Chemicals = nil
	for c := range 6 {
		ch := one
		ch.Name = fmt.Sprintf("chemical %d", c+1)
		ch.Doses = []Dose{normalDose(10, 1)}
		ch.Floc = 0.4
		p.Chemicals = append(p.Chemicals, ch)
	}
	p.Classes = []Class{{"all", 1, solids.Same[quantity.Concentration](30)}}
	return p
}

func doubtful() Plan {
	p := six()
	p.Classes = []Class{{"clear", 0.8, solids.Same[quantity.Concentration](20)}, {"storm", 0.2, solids.Same[quantity.Concentration](90)}}
	p.Doubt = Doubt{Flow: Span{0.9, 1.2}, DayToDay: 0.1, Solids: Span{0.5, 1.6}, Seed: 7}
	return p
}

func TestSameSeedSameBytes(t *testing.T) {
	a, b := must(t, doubtful()), must(t, doubtful())
	if !reflect.DeepEqual(a.Range, b.Range) {
		t.Error("two runs with one seed differ")
	}
	p := doubtful()
	p.Doubt.Seed = 8
	if reflect.DeepEqual(a.Range.Cost, must(t, p).Range.Cost) {
		t.Error("another seed gives the same draws")
	}
	// Another chemical leaves the draws of the first six as they were.
	p = doubtful()
	extra := p.Chemicals[5]
	extra.Name = "a seventh"
	p.Chemicals = append(p.Chemicals, extra)
	if !reflect.DeepEqual(a.Range.Use, must(t, p).Range.Use[:6]) {
		t.Error("adding a chemical changes the draws of the others")
	}
}

// TestWiderDoubtWidens: doubling the range of the flow never narrows the range of the cost.
func TestWiderDoubtWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := six()
		p.Doubt.Draws = 2000
		f := rapid.Float64Range(0.01, 0.3).Draw(t, "width")
		width := func(f float64) float64 {
			p.Doubt.Flow = Span{quantity.Ratio(1 - f), quantity.Ratio(1 + f)}
			b, err := Make(p)
			if err != nil {
				t.Fatal(err)
			}
			return b.Range.Cost.P90 - b.Range.Cost.P10
		}
		if a, b := width(f), width(2*f); b < a {
			t.Fatalf("range %g, with twice the doubt %g", a, b)
		}
	})
}

func TestOpenDoseRange(t *testing.T) {
	p := six()
	p.Chemicals[0].Doses[0].Quantile = func(p float64) (quantity.Concentration, bool) {
		return quantity.Concentration(10 + p), p < 0.95
	}
	b := must(t, p)
	if _, ok := has(b.Notes, "dose-range-open"); !ok || len(b.Range.Open) != 1 {
		t.Errorf("an unbounded dose passes without a word: %v", b.Notes)
	}
}

func BenchmarkMonteCarlo(b *testing.B) {
	p := doubtful()
	for b.Loop() {
		if _, err := Make(p); err != nil {
			b.Fatal(err)
		}
	}
}
