package month

import (
	"cmp"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"jarwright/dosing/doubt"
	"jarwright/dosing/formula"
	"jarwright/jartest/quantity"
)

// Doubt is what is not known of a month beforehand, besides the doses (which
// carry their own).
type Doubt struct {
	// Flow is the mean flow of the month over the planned one.
	Flow doubt.Span
	// DayToDay is the coefficient of variation of a day's flow about its plan.
	DayToDay quantity.Fraction
	// Solids is the suspended solids removed over the planned ones.
	Solids doubt.Span
	// Draws is the number of months drawn; zero is 10,000. Seed picks the sequence.
	Draws int
	Seed  uint64
}

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
	x := max(0, p*tableSize-0.5)
	i := int(x)
	if i >= tableSize-1 {
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
	d := m.plan.Doubt
	u := unknowns{flow: tabulate(d.Flow.Quantile), solids: tabulate(d.Solids.Quantile), doubtful: make([]bool, len(m.plan.Chemicals))}
	for c, ch := range m.plan.Chemicals {
		row, open := make([]table, len(m.classes)), false
		for k := range m.classes {
			if d, fixed := m.given(c, k); fixed && d.Quantile != nil {
				t, unbounded := d.tabulate()
				row[k], u.doubtful[c], open = t, true, open || unbounded
			}
		}
		if open {
			u.open = append(u.open, ch.Name)
		}
		u.dose = append(u.dose, row)
	}
	return u
}

// given is the dose of a chemical in a class, false where it follows from a balance.
func (m *model) given(c, k int) (Dose, bool) {
	if m.records[k].Chemicals[c].Balance != nil {
		return Dose{}, false
	}
	return m.plan.Chemicals[c].dose(m.classes[k], k), true
}

// tabulate makes a table of a doubtful dose. Where it has no bound the last one that
// has stands in, below the first that one, and the plan where there is none.
func (d Dose) tabulate() (t table, open bool) {
	first, last := -1, d.Plan
	t = make(table, tableSize)
	for i := range t {
		if v, ok := d.Quantile((float64(i) + 0.5) / tableSize); !ok {
			open = true
		} else if last = v; first < 0 {
			first = i
		}
		t[i] = float64(last)
	}
	for i := range first {
		t[i] = t[first]
	}
	return t, open
}

// needs is what a m3 of each class of water takes: doses by class and chemical,
// product (g) by chemical and class, and the dry solids (g) that the doses make.
type needs struct {
	doses   [][]quantity.Concentration
	product [][]float64
	yield   []float64
}

func (m *model) needs() needs {
	n := needs{product: matrix(len(m.plan.Chemicals), len(m.classes)), yield: make([]float64, len(m.classes))}
	for range m.classes {
		n.doses = append(n.doses, make([]quantity.Concentration, len(m.plan.Chemicals)))
	}
	return n
}

// fill works the needs out with each doubtful dose at its place p in its own range.
func (n needs) fill(m *model, u unknowns, p []float64) {
	for k, doses := range n.doses {
		for c := range m.plan.Chemicals {
			if t := u.dose[c][k]; t != nil {
				doses[c] = quantity.Concentration(t.at(p[c]))
			} else if d, fixed := m.given(c, k); fixed {
				doses[c] = d.Plan
			}
		}
		m.records[k].Balanced(doses)
		n.yield[k] = 0
		for c, d := range doses {
			n.product[c][k] = float64(d) * m.product[c]
			n.yield[k] += float64(d) * m.yield[k][c]
		}
	}
}

// draw runs the Monte Carlo.
func (m *model) draw(b Budget) Range {
	d := m.plan.Doubt
	u := m.unknowns()
	r := Range{Draws: cmp.Or(d.Draws, 10000), Seed: d.Seed, Open: u.open, Matters: m.influences(u, b)}
	if m.sure(r) {
		r.certain(b)
		return r
	}
	s := m.sample(u, b, r.Draws)
	below := 0
	for _, v := range s.cost {
		if v <= b.Total.Amount {
			below++
		}
	}
	n := float64(r.Draws)
	r.PlanAt = quantity.Fraction(float64(below) / n)
	for c, a := range b.Accounts {
		use, unit := spread[quantity.Mass](s.use[c]), a.unit()
		r.Use = append(r.Use, use)
		r.UseCost = append(r.UseCost, Spread[float64]{float64(use.P10) * unit, float64(use.P50) * unit, float64(use.P90) * unit})
		r.RunsOut = append(r.RunsOut, quantity.Fraction(float64(s.short[c])/n))
	}
	r.Cost, r.Dry, r.PerM3 = spread[float64](s.cost), spread[quantity.Mass](s.dry), spread[float64](s.perM3)
	return r
}

// unit is what a kg costs, with its delivery.
func (a Account) unit() float64 { return a.UnitPrice.Amount + a.UnitFreight.Amount }

// certain fills the range where nothing is in doubt.
func (r *Range) certain(b Budget) {
	for _, a := range b.Accounts {
		short := a.RunsOut != nil && a.RunsOut.Date.Before(b.Plan.Calendar.Month.Next().First())
		r.Use = append(r.Use, same(a.Use))
		r.UseCost = append(r.UseCost, same(float64(a.Use)*a.unit()))
		r.RunsOut = append(r.RunsOut, quantity.Fraction(formula.Truth(short)))
	}
	r.Cost, r.Dry, r.PerM3, r.PlanAt = same(b.Total.Amount), same(b.Dry.Likely), same(b.PerM3.Amount), 0.5
}

// sample holds the figures of the drawn months: product by chemical, cost, dry
// solids, cost by the m3, and in how many each chemical was short.
type sample struct {
	use              [][]float64
	cost, dry, perM3 []float64
	short            []int
}

// sample draws n months.
func (m *model) sample(u unknowns, b Budget, n int) sample {
	d, nc := m.plan.Doubt, len(m.plan.Chemicals)
	flowR, solidsR, dayR, classR := stream(d.Seed, "flow"), stream(d.Seed, "solids"), stream(d.Seed, "day"), stream(d.Seed, "class")
	var doseR []*rand.Rand
	for _, ch := range m.plan.Chemicals {
		doseR = append(doseR, stream(d.Seed, "dose "+ch.Name))
	}
	s := sample{matrix(nc, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]int, nc)}
	p, use, stock, ran := make([]float64, nc), make([]float64, nc), make([]float64, nc), make([]bool, nc)
	need, price, stores, spoilt := m.needs(), m.prices(b), b.replays(), make([]float64, nc)
	sigma := math.Sqrt(math.Log1p(float64(d.DayToDay) * float64(d.DayToDay)))
	for draw := range n {
		flow, solids := u.flow.at(flowR.Float64()), u.solids.at(solidsR.Float64())
		for c, ch := range m.plan.Chemicals {
			p[c], use[c], spoilt[c], stock[c], ran[c] = doseR[c].Float64(), 0, 0, float64(ch.Supply.Opening), false
		}
		need.fill(m, u, p)
		var water, dry float64
		for i := range m.n {
			k := m.drawClass(i, classR)
			v := m.flow[i] * flow
			if sigma > 0 {
				v *= math.Exp(sigma*dayR.NormFloat64() - sigma*sigma/2)
			}
			w, kw := m.clean[i], k
			if m.wash >= 0 {
				kw = m.wash
			}
			water += v + w
			for _, x := range []struct {
				m3 float64
				k  int
			}{{v, k}, {w, kw}} {
				dry += x.m3 * (float64(m.classes[x.k].Removed.Likely)*solids + need.yield[x.k]) / 1000
			}
			for c := range nc {
				x := (v*need.product[c][k] + w*need.product[c][kw]) / 1000
				expired, left := stores[c].day(i, stock[c], x)
				use[c], spoilt[c], stock[c] = use[c]+x-stores[c].short(left), spoilt[c]+expired, max(0, left)
				ran[c] = ran[c] || left < -slack
			}
		}
		for c := range nc {
			s.use[c][draw] = use[c]
			if ran[c] {
				s.short[c]++
			}
		}
		s.cost[draw], s.dry[draw] = price.of(use, spoilt, dry), dry
		if water > 0 {
			s.perM3[draw] = s.cost[draw] / water
		}
	}
	return s
}

// drawClass is the class of day i, drawn by the shares where it is not known.
func (m *model) drawClass(i int, r *rand.Rand) int {
	if m.class[i] >= 0 {
		return m.class[i]
	}
	return min(sort.SearchFloat64s(m.cum, r.Float64()*m.cum[len(m.cum)-1]), len(m.cum)-1)
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

// prices are the coefficients of the account's cost: what the running hours of the
// month cost whatever is dosed, a kg of each product with the water of its stock, a kg of it that goes out of
// date, and a kg of dry solids.
type prices struct {
	fixed, dry      float64
	product, spoilt []float64
}

func (m *model) prices(b Budget) prices {
	r := m.records[0] // all classes have the same prices
	p := prices{fixed: r.OfHours(b.Running).Total().Amount}
	if r.Disposal.Price.Amount != 0 {
		p.dry = r.Disposal.PerKgDry()
	}
	for c, ch := range r.Chemicals {
		p.product = append(p.product, ch.Use(quantity.Mass(1/m.product[c]), r.MakeUp).Cost().Amount)
		p.spoilt = append(p.spoilt, b.Accounts[c].unit())
	}
	return p
}

// of is the cost of so much product, used and gone out of date, and dry solids.
func (p prices) of(use, spoilt []float64, dry float64) float64 {
	cost := p.fixed + dry*p.dry
	for c, v := range use {
		cost += v*p.product[c] + spoilt[c]*p.spoilt[c]
	}
	return cost
}

// influences moves one unknown at a time.
func (m *model) influences(u unknowns, b Budget) []Influence {
	need, price, stores := m.needs(), m.prices(b), b.replays()
	cost := func(flow, solids float64, p []float64) float64 {
		need.fill(m, u, p)
		removed := make([]float64, len(m.classes))
		for k, c := range m.classes {
			removed[k] = float64(c.Removed.Likely)
		}
		var dry float64
		use, spoilt := make([]float64, len(need.product)), make([]float64, len(need.product))
		used := func(c, i int) float64 {
			return (m.flow[i]*flow*m.at(need.product[c], i) + m.clean[i]*m.ofClean(need.product[c], i)) / 1000
		}
		for i := range m.n {
			v, w := m.flow[i]*flow, m.clean[i]
			dry += (v*(m.at(removed, i)*solids+m.at(need.yield, i)) + w*(m.ofClean(removed, i)*solids+m.ofClean(need.yield, i))) / 1000
			for c := range use {
				use[c] += used(c, i)
			}
		}
		for c, store := range stores {
			var short float64
			spoilt[c], short = store.month(m.n, func(day int) float64 { return used(c, day) })
			use[c] -= short
		}
		return price.of(use, spoilt, dry)
	}
	mid := slices.Repeat([]float64{doubt.Middle}, len(need.product))
	money := func(v float64) quantity.Money { return quantity.Money{Amount: v, Currency: m.plan.Currency()} }
	var out []Influence
	var squares float64
	add := func(name string, cost func(p float64) float64) {
		low, high := cost(doubt.Low), cost(doubt.High)
		squares += (high - low) * (high - low)
		out = append(out, Influence{Name: name, Low: money(low), High: money(high)})
	}
	if f := m.plan.Doubt.Flow; !f.Known() {
		add("flow", func(p float64) float64 { return cost(f.Quantile(p), 1, mid) })
	}
	if s := m.plan.Doubt.Solids; !s.Known() {
		add("suspended solids", func(p float64) float64 { return cost(1, s.Quantile(p), mid) })
	}
	for c, ch := range m.plan.Chemicals {
		if u.doubtful[c] {
			add("dose of "+ch.Name, func(p float64) float64 {
				at := slices.Clone(mid)
				at[c] = p
				return cost(1, 1, at)
			})
		}
	}
	for i := range out {
		if w := out[i].High.Amount - out[i].Low.Amount; squares > 0 {
			out[i].Share = quantity.Fraction(w * w / squares)
		}
	}
	slices.SortStableFunc(out, func(a, b Influence) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

func matrix(rows, cols int) [][]float64 {
	out := make([][]float64, rows)
	for i := range out {
		out[i] = make([]float64, cols)
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
	return Spread[T]{q(doubt.Low), q(doubt.Middle), q(doubt.High)}
}

// same is the spread of what is certain.
func same[T ~float64](v T) Spread[T] { return Spread[T]{v, v, v} }
