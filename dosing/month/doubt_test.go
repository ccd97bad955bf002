package month

import (
	"fmt"
	"jarwright/dosing/doubt"
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
	p.Doubt.Flow = doubt.Span{Low: 0.999, High: 1.001}
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
	s := doubt.Span{Low: 0.8, High: 1.5}
	for p, want := range map[float64]float64{0.1: 0.8, 0.5: 1, 0.9: 1.5} {
		near(t, fmt.Sprint("P", p*100), s.Quantile(p), want)
	}
	if (doubt.Span{}).Quantile(0.9) != 1 {
		t.Error("no span is not 1")
	}
	for _, bad := range []doubt.Span{{Low: 1.1, High: 1.2}, {Low: 0.5, High: 0.9}, {High: 2}, {Low: -1, High: 2}} {
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
	p.Classes = []Class{{Name: "all", Share: 1, Removed: solids.Same[quantity.Concentration](30)}}
	return p
}

func doubtful() Plan {
	p := six()
	p.Classes = []Class{{Name: "clear", Share: 0.8, Removed: solids.Same[quantity.Concentration](20)}, {Name: "storm", Share: 0.2, Removed: solids.Same[quantity.Concentration](90)}}
	p.Doubt = Doubt{Flow: doubt.Span{Low: 0.9, High: 1.2}, DayToDay: 0.1, Solids: doubt.Span{Low: 0.5, High: 1.6}, Seed: 7}
	return p
}

func TestSameSeedSameBytes(t *testing.T) {
	doubtful := func() Plan {
		p := doubtful()
		p.Doubt.Draws = 1000
		return p
	}
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
		p.Doubt.Draws = 200 // the same random numbers at either width, so few show what many do
		f := rapid.Float64Range(0.01, 0.3).Draw(t, "width")
		width := func(f float64) float64 {
			p.Doubt.Flow = doubt.Span{Low: quantity.Ratio(1 - f), High: quantity.Ratio(1 + f)}
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

// TestSpanEdges: a range may begin or end at the plan itself.
func TestSpanEdges(t *testing.T) {
	for ends, good := range map[[2]quantity.Ratio]bool{{}: true, {1, 1}: true, {0.5, 1}: true, {1, 2}: true, {0.01, 9}: true,
		{1.001, 2}: false, {0.5, 0.999}: false, {0, 1}: false, {-0.5, 1}: false, {0, 0.5}: false, {0.5, 0}: false} {
		s := doubt.Span{Low: ends[0], High: ends[1]}
		if err := s.Check("flow").Err(); (err == nil) != good {
			t.Errorf("%v: %v", s, err)
		}
	}
	p := flat(10, 10, 20, eurPerKg(1))
	p.Doubt.Solids = doubt.Span{Low: 0.5, High: 0.9}
	if _, err := Make(p); err == nil || !strings.Contains(err.Error(), "the range of the solids, 0.500 to 0.900 times the plan") {
		t.Error(err)
	}
}

// TestTabulated: a straight line is met between the points of the grid, 1/512 apart;
// beyond the outer ones, half a step from the ends, their value stands.
func TestTabulated(t *testing.T) {
	line := tabulate(func(p float64) float64 { return p })
	for p, want := range map[float64]float64{0: 0.5 / 512, 0.4 / 512: 0.5 / 512, 0.5 / 512: 0.5 / 512, 0.75 / 512: 0.75 / 512, 0.3: 0.3, 0.99: 0.99,
		511.25 / 512: 511.25 / 512, 511.5 / 512: 511.5 / 512, 511.8 / 512: 511.5 / 512, 1: 511.5 / 512} {
		near(t, fmt.Sprint("at ", p), line.at(p), want)
	}
}

// TestOpenEnds: where a dose is not bounded the last one that is stands in, and the
// planning dose where none is.
func TestOpenEnds(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(1))
	for _, x := range []struct {
		what      string
		from, to  float64
		low, high float64 // of the outermost points of the grid
		open      int
	}{
		{"bounded", 0, 1, 10 + 0.5/512, 10 + 511.5/512, 0},
		{"open above", 0, 0.5, 10 + 0.5/512, 10 + 255.5/512, 1},
		{"open below", 0.5, 1, 10 + 256.5/512, 10 + 511.5/512, 1},
		{"open on both sides", 2, 3, 20, 20, 1},
	} {
		p.Chemicals[0].Doses[0].Quantile = func(p float64) (quantity.Concentration, bool) {
			return quantity.Concentration(10 + p), p > x.from && p < x.to
		}
		classes, err := p.classes()
		if err != nil {
			t.Fatal(err)
		}
		days, err := p.Calendar.Days(0)
		if err != nil {
			t.Fatal(err)
		}
		u := newModel(p, classes, days).unknowns()
		near(t, x.what+", lowest", u.dose[0][0][0], x.low)
		near(t, x.what+", highest", u.dose[0][0][tableSize-1], x.high)
		if len(u.open) != x.open || !u.doubtful[0] {
			t.Errorf("%s: %v %v", x.what, u.open, u.doubtful)
		}
	}
}

// TestInfluencesByHand: a month of 30 × 100 m3. Alum of 20 mg/L, 10 to 40 in eight
// months of ten, at 2 EUR/kg; 50 mg/L of solids, 25 to 100, and 0.4 kg of solids for
// each kg of alum, at 0.1 EUR/kg. Alum takes 60 kg, 120 EUR; solids 150 + 24 kg, 17.40 EUR.
func TestInfluencesByHand(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(2))
	p.Chemicals[0].Name, p.Chemicals[0].Floc = "alum", 0.4
	p.Chemicals[0].Doses[0].Quantile = func(p float64) (quantity.Concentration, bool) {
		return quantity.Concentration(20 * doubt.Span{Low: 0.5, High: 2}.Quantile(p)), true
	}
	p.Classes = []Class{{Name: "all", Share: 1, Removed: solids.Same[quantity.Concentration](50)}}
	p.Disposal.Price = quantity.Price{Amount: 0.1, Currency: "EUR", Per: "kg dry"}
	p.Doubt = Doubt{Flow: doubt.Span{Low: 0.8, High: 1.5}, Solids: doubt.Span{Low: 0.5, High: 2}, Draws: 10}
	b := must(t, p)
	near(t, "plan", b.Total.Amount, 137.4)
	want := []struct {
		name      string
		low, high float64
	}{
		{"dose of alum", 60 + (150+12)*0.1, 240 + (150+48)*0.1},
		{"flow", 0.8 * 137.4, 1.5 * 137.4},
		{"suspended solids", 120 + (75+24)*0.1, 120 + (300+24)*0.1},
	}
	squares := 183.6*183.6 + 96.18*96.18 + 22.5*22.5
	for i, m := range b.Range.Matters {
		w := want[i]
		if m.Name != w.name || m.Low.Currency != "EUR" || m.High.Currency != "EUR" {
			t.Errorf("%d: %+v, want %s", i, m, w.name)
		}
		// A quantile of a dose is read from a grid of 512; a lognormal bends by 1e-5 of itself between two points.
		if math.Abs(m.Low.Amount-w.low) > 2e-4*w.low || math.Abs(m.High.Amount-w.high) > 2e-4*w.high {
			t.Errorf("%s: %g to %g, by hand %g to %g", m.Name, m.Low.Amount, m.High.Amount, w.low, w.high)
		}
		swing := w.high - w.low
		if got := float64(m.Share); math.Abs(got-swing*swing/squares) > 1e-3 {
			t.Errorf("%s: share %g, by hand %g", m.Name, got, swing*swing/squares)
		}
	}
	if len(b.Range.Matters) != 3 {
		t.Errorf("%+v", b.Range.Matters)
	}
	// What moves nothing has no share: the solids where nobody pays for them.
	p.Disposal.Price, p.Chemicals[0].Doses[0].Quantile, p.Doubt.Flow = quantity.Price{}, nil, doubt.Span{}
	if m := must(t, p).Range.Matters; len(m) != 1 || m[0].Share != 0 || math.Abs(m[0].Low.Amount-120) > 1e-9 || math.Abs(m[0].High.Amount-120) > 1e-9 {
		t.Errorf("%+v", m)
	}
}

// TestNothingInDoubt: without doubt every figure is the plan's; a store that is short
// is so in every month, one short only after its end in none. Of 60 kg wanted, no more is used than was there.
func TestNothingInDoubt(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(2)) // 2 kg a day from 1 April
	p.Disposal.Price = quantity.Price{Amount: 0.1, Currency: "EUR", Per: "kg dry"}
	p.Classes = []Class{{Name: "all", Share: 1, Removed: solids.Same[quantity.Concentration](50)}}
	for opening, want := range map[quantity.Mass]quantity.Fraction{57: 1, 58: 1, 60: 0, 1000: 0} {
		p.Chemicals[0].Supply = Supply{Opening: opening, Pack: 10, LeadDays: 40}
		r := must(t, p).Range
		if r.RunsOut[0] != want || r.PlanAt != 0.5 || r.Uncertain() || r.Draws != 10000 {
			t.Errorf("%v on hand: %+v", opening, r)
		}
		used := math.Min(60, float64(opening))
		near(t, "use", float64(r.Use[0].P10), used)
		near(t, "its cost", r.UseCost[0].P50, 2*used)
		near(t, "cost", r.Cost.P90, 2*used+15)
		near(t, "dry", float64(r.Dry.P50), 150)
		near(t, "per m3", r.PerM3.P10, (2*used+15)/3000)
	}
	// Days of unknown water are drawn only where there is water.
	p = handMonth()
	b := must(t, p)
	if m := newModel(p, b.Classes, b.Days); !m.mixed() {
		t.Error("days of unknown water are not mixed")
	}
	p.Calendar.Flow, p.Calendar.Exceptions = 0, []Exception{{Date: Date{2028, 2, 14}, CleanUp: 500, Class: "storm"}}
	b = must(t, p)
	if m := newModel(p, b.Classes, b.Days); m.mixed() {
		t.Error("a month with water of one class only is mixed")
	}
	p.Calendar.Exceptions[0].Class = ""
	b = must(t, p)
	if m := newModel(p, b.Classes, b.Days); !m.mixed() {
		t.Error("half a m3 of unknown water is not mixed")
	}
	// No water, no cost by the m3.
	p = flat(0, 10, 20, eurPerKg(2))
	p.Chemicals[0].Doses[0] = normalDose(20, 2)
	if r := must(t, p).Range; r.PerM3 != (Spread[float64]{}) || r.Cost != (Spread[float64]{}) {
		t.Errorf("%+v", r)
	}
}

// TestSpread: deciles of 0, 1 … 10 are 1, 5 and 9; of two figures they lie between.
func TestSpread(t *testing.T) {
	if s := spread[float64]([]float64{10, 0, 9, 1, 8, 2, 7, 3, 6, 4, 5}); math.Abs(s.P10-1) > 1e-12 || s.P50 != 5 || math.Abs(s.P90-9) > 1e-12 {
		t.Errorf("%v", s)
	}
	if s := spread[float64]([]float64{30, 20}); math.Abs(s.P10-21) > 1e-12 || s.P50 != 25 || math.Abs(s.P90-29) > 1e-12 {
		t.Errorf("%v", s)
	}
	if s := spread[float64]([]float64{7}); s != (Spread[float64]{7, 7, 7}) {
		t.Errorf("%v", s)
	}
}
