package month

import (
	"jarwright/dosing/doubt"
	"math"
	"slices"
	"testing"

	account "jarwright/dosing/day"
	"jarwright/dosing/solids"

	"jarwright/jartest/quantity"
)

// TestDrawnMonths: "in N of 100 drawn months the cost stays at or below the plan", recounted. With one doubt alone the cost
// rises with it, so the months at or below the plan are those whose random number is at or below the plan's own share.
func TestDrawnMonths(t *testing.T) {
	price := quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"}
	for _, c := range []struct {
		what, stream string
		share        float64
		set          func(p *Plan)
	}{
		{"flow", "flow", 0.5, func(p *Plan) { p.Doubt.Flow = doubt.Span{Low: 0.8, High: 1.4} }},
		// A planning dose at the 90 % quantile of a normal, 20 + 1.28155 × 2 (table of the normal distribution).
		{"a planning dose", "dose alum", 0.9, func(p *Plan) {
			p.Chemicals[0].Doses[0] = normalDose(20, 2)
			p.Chemicals[0].Doses[0].Plan = 20 + 1.2815515655*2
		}},
		{"a dose planned low", "dose alum", 0.25, func(p *Plan) {
			p.Chemicals[0].Doses[0] = normalDose(20, 2)
			p.Chemicals[0].Doses[0].Plan = 20 - 0.6744897502*2
		}},
	} {
		for _, n := range []int{1000, 10000} {
			p := flat(10, 10, 20, price)
			p.Chemicals[0].Name = "alum"
			c.set(&p)
			p.Doubt.Draws, p.Doubt.Seed = n, 11
			b := must(t, p)
			r := stream(11, c.stream)
			below, near := 0, 0
			for range n {
				switch x := r.Float64(); {
				case math.Abs(x-c.share) < 1.0/1024: // within half a step of the table of 512 it may fall on either side
					near++
				case x < c.share:
					below++
				}
			}
			if got := int(math.Round(float64(b.Range.PlanAt) * float64(n))); got < below || got > below+near {
				t.Errorf("%s: %d of %d months, recounted %d to %d", c.what, got, n, below, below+near)
			}
			note, ok := has(b.Notes, "plan-in-range")
			if want := c.share != 0.5; ok != want {
				t.Errorf("%s: told %v", c.what, ok)
			}
			if ok {
				lead := "the planned cost is not the middle of the range: in " + quantity.Sig(100*float64(b.Range.PlanAt),
					2) + " of 100 drawn months the cost stays at or below it"
				if len(note.Message) < len(lead) || note.Message[:len(lead)] != lead {
					t.Errorf("%s: %s", c.what, note.Message)
				}
			}
		}
	}
}

// TestDrawnCost: every drawn month of one chemical made again from its random numbers: flow, dose, solids and each day's
// flow. 30 days of 100 m3, 2 EUR/kg and 0.1 EUR for every kg of solids made; deciles by sorting.
func TestDrawnCost(t *testing.T) {
	const n, seed = 400, 3
	p := flat(10, 10, 20, quantity.Price{Amount: 2, Currency: "EUR", Per: "kg"})
	p.Chemicals[0].Name, p.Chemicals[0].Floc = "alum", 0.4
	p.Chemicals[0].Doses[0] = normalDose(20, 2)
	p.Classes = []Class{{Name: "all", Share: 1, Removed: solids.Same[quantity.Concentration](35)}}
	p.Disposal = account.Disposal{DrySolids: 0.02, Density: 1, Price: quantity.Price{Amount: 2, Currency: "EUR", Per: "m3"}} // 2/20 EUR/kg
	p.Doubt = Doubt{Flow: doubt.Span{Low: 0.8, High: 1.4}, Solids: doubt.Span{Low: 0.5, High: 1.6}, DayToDay: 0.2, Draws: n, Seed: seed}
	b := must(t, p)
	z := func(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
	ratio := func(s doubt.Span, p float64) float64 { // lognormal on either side
		if z(p) < 0 {
			return math.Pow(float64(s.Low), -z(p)/z(0.9))
		}
		return math.Pow(float64(s.High), z(p)/z(0.9))
	}
	grid := func(q func(float64) float64, p float64) float64 { // the program looks it up in 512 steps
		x := math.Min(math.Max(p*512-0.5, 0), 511)
		i := math.Min(math.Floor(x), 510)
		return q((i+0.5)/512) + (x-i)*(q((i+1.5)/512)-q((i+0.5)/512))
	}
	flow, solids, day, dose := stream(seed, "flow"), stream(seed, "solids"), stream(seed, "day"), stream(seed, "dose alum")
	sd := math.Sqrt(math.Log(1 + 0.2*0.2))
	var costs, uses, dries, per []float64
	below := 0
	for range n {
		f := grid(func(p float64) float64 { return ratio(p0(b).Flow, p) }, flow.Float64())
		s := grid(func(p float64) float64 { return ratio(p0(b).Solids, p) }, solids.Float64())
		d := grid(func(p float64) float64 { return 20 + 2*z(p) }, dose.Float64())
		water := 0.0
		for range 30 {
			water += 100 * f * math.Exp(sd*day.NormFloat64()-sd*sd/2)
		}
		use := water * d / 1000
		dry := water * (35*s + 0.4*d) / 1000
		cost := use*2 + dry*0.1
		costs, uses, dries, per = append(costs, cost), append(uses, use), append(dries, dry), append(per, cost/water)
		if cost <= b.Total.Amount {
			below++
		}
	}
	near(t, "plan", b.Total.Amount, 60*2+(3000*(35+8)/1000)*0.1)
	rough(t, "months at or below the plan", float64(b.Range.PlanAt)*n, float64(below))
	for what, c := range map[string]struct {
		got  [3]float64
		from []float64
	}{
		"cost": {[3]float64{b.Range.Cost.P10, b.Range.Cost.P50, b.Range.Cost.P90}, costs},
		"use":  {[3]float64{float64(b.Range.Use[0].P10), float64(b.Range.Use[0].P50), float64(b.Range.Use[0].P90)}, uses},
		"dry":  {[3]float64{float64(b.Range.Dry.P10), float64(b.Range.Dry.P50), float64(b.Range.Dry.P90)}, dries},
		"m3":   {[3]float64{b.Range.PerM3.P10, b.Range.PerM3.P50, b.Range.PerM3.P90}, per},
	} {
		slices.Sort(c.from)
		for i, q := range []float64{0.1, 0.5, 0.9} { // type 7 of Hyndman and Fan 1996: the i-th of n stands at (i − 1)/(n − 1)
			x := q * (n - 1)
			k := int(x)
			rough(t, what, c.got[i], c.from[k]+(x-float64(k))*(c.from[k+1]-c.from[k]))
		}
	}
	for i, c := range [3]float64{b.Range.UseCost[0].P10, b.Range.UseCost[0].P50, b.Range.UseCost[0].P90} {
		rough(t, "cost of the use", c, 2*[3]float64{float64(b.Range.Use[0].P10), float64(b.Range.Use[0].P50), float64(b.Range.Use[0].P90)}[i])
	}
}

func p0(b Budget) Doubt { return b.Plan.Doubt }

func rough(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Errorf("%s: %.12g, recounted %.12g", what, got, want)
	}
}
