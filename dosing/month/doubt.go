package month

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"sort"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Doubt is what is not known of a month beforehand, besides the doses (which
// carry their own).
type Doubt struct {
	// Flow is the mean flow of the month over the planned one.
	Flow Span
	// DayToDay is the coefficient of variation of a day's flow about its plan.
	DayToDay quantity.Fraction
	// Solids is the suspended solids removed over the planned ones.
	Solids Span
	// Draws is the number of months drawn; zero is 10,000. Seed picks the sequence.
	Draws int
	Seed  uint64
}

// Span says that a ratio to the plan falls below Low in one month of ten and
// above High in one of ten, and is 1 in the middle. The zero value is exactly 1.
// Between and beyond it follows a lognormal curve on either side.
type Span struct{ Low, High quantity.Ratio }

// known reports that there is no doubt.
func (s Span) known() bool { return s == Span{} }

func (s Span) check(what string) note.List {
	return told(row{!s.known() && (s.Low <= 0 || s.Low > 1 || s.High < 1), note.Fault("bad-range", "the range of the %s, %s to %s times the plan, does not hold the plan", what,
		quantity.Full(quantity.Number(s.Low), 3), quantity.Full(quantity.Number(s.High), 3)).Do("give a low figure below and a high figure above the planned one")})
}

// Quantile gives the ratio that is exceeded with chance 1 − p.
func (s Span) Quantile(p float64) float64 {
	if s.known() {
		return 1
	}
	z := normalQuantile(p)
	if z < 0 {
		return math.Exp(math.Log(float64(s.Low)) * z / -z90)
	}
	return math.Exp(math.Log(float64(s.High)) * z / z90)
}

// z90 is the standard normal quantile at 0.9.
const z90 = 1.2815515655446004

func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Spread is a figure that is passed nine, five and one time in ten. Of money it
// holds plain amounts in the currency of the plan.
type Spread[T ~float64] struct{ P10, P50, P90 T }

// Influence says what one unknown does to the month's cost by itself.
type Influence struct {
	Name string
	// Low and High are the cost with this unknown at its P10 and P90 and all others at their middle.
	Low, High quantity.Money
	// Share of the summed squares of all swings; it is the share of the
	// variance where the cost is linear in the unknowns.
	Share quantity.Fraction
}

// Range is the answer with the doubts in it.
type Range struct {
	Draws int
	Seed  uint64
	// Use by chemical, as product, with its cost, and the whole cost.
	Use     []Spread[quantity.Mass]
	UseCost []Spread[float64]
	Cost    Spread[float64]
	Dry     Spread[quantity.Mass] // dry solids
	PerM3   Spread[float64]
	// RunsOut is the chance by chemical that the store is short on some day if
	// only the planned deliveries arrive.
	RunsOut []quantity.Fraction
	// PlanAt is where the planned cost stands in the drawn ones.
	PlanAt quantity.Fraction
	// Matters lists the unknowns, the one that moves the cost most first.
	Matters []Influence
	// Open names the chemicals whose dose range has no bound on one side.
	Open []string
}

// Uncertain reports that anything at all was drawn.
func (r Range) Uncertain() bool { return len(r.Matters) > 0 }

// table is a quantile function on a grid, so that a draw costs one lookup.
type table []float64

const tableSize = 512

func tabulate(q func(p float64) float64) table {
	t := make(table, tableSize)
	for i := range t {
		t[i] = q((float64(i) + 0.5) / tableSize)
	}
	return t
}

// at interpolates; beyond the outer grid points it holds their value.
func (t table) at(p float64) float64 {
	x := p*tableSize - 0.5
	i := int(math.Floor(x))
	switch {
	case i < 0:
		return t[0]
	case i >= tableSize-1:
		return t[tableSize-1]
	}
	return t[i] + (x-float64(i))*(t[i+1]-t[i])
}

// stream gives the random numbers of one unknown. Each has its own sequence, so
// that adding an unknown leaves the others' draws as they were.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// unknowns are the tabulated doubts of a model.
type unknowns struct {
	flow, solids table
	dose         [][]table // by chemical, by class; nil where exact
	doubtful     []bool    // by chemical
	open         []string
}

func (m *model) unknowns() unknowns {
	u := unknowns{flow: tabulate(m.plan.Doubt.Flow.Quantile), solids: tabulate(m.plan.Doubt.Solids.Quantile)}
	for _, ch := range m.plan.Chemicals {
		row := make([]table, len(m.classes))
		doubtful, open := false, false
		for k := range m.classes {
			if ch.Balance != nil {
				continue
			}
			d := ch.dose(k)
			if d.Quantile == nil {
				continue
			}
			doubtful = true
			last, seen := float64(d.Plan), false
			t := make(table, tableSize)
			for i := range t {
				if v, ok := d.Quantile((float64(i) + 0.5) / tableSize); ok {
					if !seen {
						for j := range i {
							t[j] = float64(v)
						}
					}
					last, seen = float64(v), true
				} else {
					open = true
				}
				t[i] = last
			}
			row[k] = t
		}
		if open {
			u.open = append(u.open, ch.Name)
		}
		u.dose = append(u.dose, row)
		u.doubtful = append(u.doubtful, doubtful)
	}
	return u
}

// draw runs the Monte Carlo.
func (m *model) draw(b Budget) Range {
	d := m.plan.Doubt
	n := d.Draws
	if n == 0 {
		n = 10000
	}
	u := m.unknowns()
	nc := len(m.plan.Chemicals)
	r := Range{Draws: n, Seed: d.Seed, Open: u.open, RunsOut: make([]quantity.Fraction, nc)}
	unit := make([]float64, nc)
	for c, a := range b.Accounts {
		unit[c] = a.UnitPrice.Amount + a.UnitFreight.Amount
	}
	r.Matters = m.influences(u, b)
	if m.sure(r) {
		r.certain(b, unit)
		return r
	}

	flowR, solidsR, dayR, classR := stream(d.Seed, "flow"), stream(d.Seed, "solids"), stream(d.Seed, "day"), stream(d.Seed, "class")
	doseR := make([]*rand.Rand, nc)
	for c, ch := range m.plan.Chemicals {
		doseR[c] = stream(d.Seed, "dose "+ch.Name)
	}
	uses, costs := matrix(nc, n), make([]float64, n)
	dries, perM3s := make([]float64, n), make([]float64, n)
	p := make([]float64, nc)
	ofDraw := m.drawn(u, p)
	doses, perM3, yield := m.table()
	price := m.prices(b)
	stock, use, short := make([]float64, nc), make([]float64, nc), make([]int, nc)
	ran := make([]bool, nc)
	// Stock lines of the plan: what arrives and what goes out of date each day.
	moves := matrix(nc, m.n)
	for c, a := range b.Accounts {
		for i := range m.n {
			moves[c][i] = float64(a.Stock[i].Arrived - a.Stock[i].Expired)
		}
	}
	sigma := math.Sqrt(math.Log1p(float64(d.DayToDay) * float64(d.DayToDay)))
	cum := make([]float64, len(m.classes))
	sum := 0.0
	for k, c := range m.classes {
		sum += float64(c.Share)
		cum[k] = sum
	}
	for draw := range n {
		flow, solids := u.flow.at(flowR.Float64()), u.solids.at(solidsR.Float64())
		for c := range p {
			p[c] = doseR[c].Float64()
		}
		m.fillDoses(doses, ofDraw)
		m.needs(doses, perM3, yield)
		for c := range m.plan.Chemicals {
			stock[c], use[c], ran[c] = float64(m.plan.Chemicals[c].Supply.Opening), 0, false
		}
		water, dry := 0.0, 0.0
		for i := range m.n {
			k := m.class[i]
			if k < 0 {
				k = sort.SearchFloat64s(cum, classR.Float64()*sum)
				k = min(k, len(cum)-1)
			}
			v := m.flow[i] * flow
			if sigma > 0 {
				v *= math.Exp(sigma*dayR.NormFloat64() - sigma*sigma/2)
			}
			v += m.clean[i]
			water += v
			dry += v * (float64(m.classes[k].Removed.Likely)*solids + yield[k]) / 1000
			for c := range nc {
				x := v * perM3[c][k] / 1000
				use[c] += x
				stock[c] += moves[c][i] - x
				if stock[c] < -slack {
					ran[c] = true
				}
			}
		}
		for c := range nc {
			uses[c][draw] = use[c]
			if ran[c] {
				short[c]++
			}
		}
		cost := price.of(use, dry)
		costs[draw], dries[draw] = cost, dry
		if water > 0 {
			perM3s[draw] = cost / water
		}
	}
	below := 0
	for _, v := range costs {
		if v <= b.Total.Amount {
			below++
		}
	}
	r.PlanAt = quantity.Fraction(float64(below) / float64(n))
	for c := range nc {
		s := spread[quantity.Mass](uses[c])
		r.Use = append(r.Use, s)
		r.UseCost = append(r.UseCost, Spread[float64]{float64(s.P10) * unit[c], float64(s.P50) * unit[c], float64(s.P90) * unit[c]})
		r.RunsOut[c] = quantity.Fraction(float64(short[c]) / float64(n))
	}
	r.Cost, r.Dry, r.PerM3 = spread[float64](costs), spread[quantity.Mass](dries), spread[float64](perM3s)
	return r
}

// certain fills the range where nothing is in doubt.
func (r *Range) certain(b Budget, unit []float64) {
	for c, a := range b.Accounts {
		r.Use = append(r.Use, same(a.Use))
		r.UseCost = append(r.UseCost, same(float64(a.Use)*unit[c]))
		if a.RunsOut != nil && a.RunsOut.Date.Before(b.Plan.Calendar.Month.Next().First()) {
			r.RunsOut[c] = 1
		}
	}
	r.Cost, r.Dry, r.PerM3, r.PlanAt = same(b.Total.Amount), same(b.Dry.Likely), same(b.PerM3.Amount), 0.5
}

// mixed reports that the water of some day is drawn from several classes.
func (m *model) mixed() bool {
	for i := range m.n {
		if m.class[i] < 0 && m.flow[i]+m.clean[i] > 0 {
			return true
		}
	}
	return false
}

// sure reports that nothing at all is drawn.
func (m *model) sure(r Range) bool { return !r.Uncertain() && m.plan.Doubt.DayToDay == 0 && !m.mixed() }

// drawn gives each chemical's dose for a class at its place p in its own range.
func (m *model) drawn(u unknowns, p []float64) func(chemical, class int) quantity.Concentration {
	return func(c, k int) quantity.Concentration {
		if t := u.dose[c][k]; t != nil {
			return quantity.Concentration(t.at(p[c]))
		}
		return m.plan.Chemicals[c].dose(k).Plan
	}
}

// table makes room for doses by class and chemical, for product by chemical and
// class, and for dry solids by class.
func (m *model) table() (doses [][]quantity.Concentration, product [][]float64, yield []float64) {
	for range m.classes {
		doses = append(doses, make([]quantity.Concentration, len(m.plan.Chemicals)))
	}
	return doses, matrix(len(m.plan.Chemicals), len(m.classes)), make([]float64, len(m.classes))
}

// prices are the coefficients of the account's cost: what the running hours of the
// month cost whatever is dosed, a kg of each product with the water of its stock,
// and a kg of dry solids.
type prices struct {
	fixed, dry float64
	product    []float64
}

func (m *model) prices(b Budget) prices {
	r := m.records[0] // all classes have the same prices
	p := prices{fixed: r.OfHours(b.Running).Total().Amount}
	if r.Disposal.Price.Amount != 0 {
		p.dry = r.Disposal.PerKgDry()
	}
	for c, ch := range r.Chemicals {
		p.product = append(p.product, ch.Use(quantity.Mass(1/m.product[c]), r.MakeUp).Cost().Amount)
	}
	return p
}

// of is the cost of so much product and dry solids.
func (p prices) of(use []float64, dry float64) float64 {
	cost := p.fixed + dry*p.dry
	for c, v := range use {
		cost += v * p.product[c]
	}
	return cost
}

// influences moves one unknown at a time.
func (m *model) influences(u unknowns, b Budget) []Influence {
	price := m.prices(b)
	doses, perM3, yield := m.table()
	cost := func(flow, solids float64, p []float64) float64 {
		m.fillDoses(doses, m.drawn(u, p))
		m.needs(doses, perM3, yield)
		dry := 0.0
		use := make([]float64, len(perM3))
		for i := range m.n {
			v := m.flow[i]*flow + m.clean[i]
			dry += v * (m.at(m.removed(), i)*solids + m.at(yield, i)) / 1000
			for c := range use {
				use[c] += v * m.at(perM3[c], i) / 1000
			}
		}
		return price.of(use, dry)
	}
	mid := make([]float64, len(perM3))
	for c := range mid {
		mid[c] = 0.5
	}
	cur := m.plan.Currency()
	var out []Influence
	add := func(name string, low, high float64) {
		out = append(out, Influence{Name: name, Low: quantity.Money{Amount: low, Currency: cur}, High: quantity.Money{Amount: high, Currency: cur}})
	}
	f, s := m.plan.Doubt.Flow, m.plan.Doubt.Solids
	if !f.known() {
		add("flow", cost(f.Quantile(0.1), 1, mid), cost(f.Quantile(0.9), 1, mid))
	}
	if !s.known() {
		add("suspended solids", cost(1, s.Quantile(0.1), mid), cost(1, s.Quantile(0.9), mid))
	}
	for c, ch := range m.plan.Chemicals {
		if !u.doubtful[c] {
			continue
		}
		at := func(p float64) float64 {
			q := append([]float64(nil), mid...)
			q[c] = p
			return cost(1, 1, q)
		}
		add("dose of "+ch.Name, at(0.1), at(0.9))
	}
	sum := 0.0
	for _, i := range out {
		sum += (i.High.Amount - i.Low.Amount) * (i.High.Amount - i.Low.Amount)
	}
	for i := range out {
		if sum > 0 {
			w := out[i].High.Amount - out[i].Low.Amount
			out[i].Share = quantity.Fraction(w * w / sum)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Share > out[j].Share })
	return out
}

func matrix(rows, cols int) [][]float64 {
	all := make([]float64, rows*cols)
	out := make([][]float64, rows)
	for i := range out {
		out[i] = all[i*cols : (i+1)*cols : (i+1)*cols]
	}
	return out
}

// spread sorts v and takes its deciles, interpolating between order statistics
// (type 7 of Hyndman and Fan 1996).
func spread[T ~float64](v []float64) Spread[T] {
	sort.Float64s(v)
	q := func(p float64) T {
		x := p * float64(len(v)-1)
		i := int(x)
		if i+1 >= len(v) {
			return T(v[len(v)-1])
		}
		return T(v[i] + (x-float64(i))*(v[i+1]-v[i]))
	}
	return Spread[T]{q(0.1), q(0.5), q(0.9)}
}

// same is the spread of what is certain.
func same[T ~float64](v T) Spread[T] { return Spread[T]{v, v, v} }
