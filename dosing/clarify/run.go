package clarify

import (
	"math"
	"slices"

	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Moment is the tank at one time after the start.
type Moment struct {
	At         quantity.Time // by the clock, since the start
	Running    quantity.Time // of the unit until then
	Turnovers  float64
	Reading    float64
	Doses      []quantity.Concentration // one for each chemical, as set at that moment
	Residuals  []Residual
	Alkalinity quantity.Alkalinity
	Waste      quantity.Volume // float or sludge with the water carried over, so far
}

// Residual is what is left of a chemical in the tank's water.
type Residual struct {
	// Bound is all that was dosed over the tank's volume: nothing caught, nothing washed out.
	Bound quantity.Concentration
	// Worst counts the new water but no capture.
	Worst quantity.Concentration
	// Measured counts new water and the measured capture; HasMeasured tells whether there is one.
	Measured    quantity.Concentration
	HasMeasured bool
}

// Use is what is dosed of a chemical over the whole run.
type Use struct {
	Chemical string
	Dosed    quantity.Mass // on the dose's basis
	Basis    quantity.Basis
	Product  quantity.Mass   // zero where the strength is not known
	Volume   quantity.Volume // of product; zero where the density is not known
	Stock    quantity.Volume // of stock; zero where its strength is not known
}

// Waste is what comes off.
type Waste struct {
	// Removed is the suspended solids taken out of the tank, Dry all dry solids, those
	// made of the chemicals too.
	Removed, Dry solids.Range[quantity.Mass]
	Float        solids.Range[quantity.Volume]
	Water        quantity.Volume // carried over by the skimmer
	Volume       quantity.Volume // likely float and water
	// Bins are the times by the clock since the start at which a bin is full.
	Bins []quantity.Time
}

// Outcome says how a run ended.
type Outcome string

const (
	// Cleared: the reading came down to the one to stop at.
	Cleared Outcome = "cleared"
	// ClearAlready: there was nothing to do.
	ClearAlready Outcome = "clear-already"
	// NeverClears: what comes in, or what a pass leaves, holds the reading above.
	NeverClears Outcome = "never-clears"
	// TooLong: it would clear, but not within the longest time.
	TooLong Outcome = "too-long"
	// Held: it is clear, but would not stay so by itself; NotHeld: nor with the unit.
	Held    Outcome = "held"
	NotHeld Outcome = "not-held"
)

// Result is the run.
type Result struct {
	Tank      Tank
	Outcome   Outcome
	Time      quantity.Time // by the clock
	Running   quantity.Time
	Turnovers float64
	Moments   []Moment // the first and the last included
	Final     Moment
	Treated   quantity.Volume // water that passed the unit
	Uses      []Use
	Waste     Waste
	// Hold is what holds a tank that is clear, or is to be held, but would not stay so; nil for any other. Where the run does not clear
	// it, it is told and nothing is dosed for it.
	Hold *Hold
	// Plateau is where the reading would settle; HasPlateau is false where that depends on the dose.
	Plateau  float64
	JarTests []JarTest
	Notes    note.List
	// met is the share of the tank's phosphate that was still there for each chemical, on the mean of its dose.
	met []quantity.Fraction
}

// Where each thing stands in the state of the integration.
const (
	atReading    = iota
	atTreated    // m3
	atRemoved    // reading × m3 taken out by the unit
	atWaste      // L
	atAlkalinity // mg/L CaCO3
	atPhosphate  // what is left of the tank's, a share
	atChemicals  // three each: dosed per tank volume, worst, measured; then one each: dosed, times that share
)

// Run integrates the tank until it is clear.
func (k Tank) Run() (Result, error) {
	if err := k.check(); err != nil {
		return Result{}, err
	}
	r := Result{Tank: k}
	run := &run{Tank: k, pieces: make([]int, len(k.Chemicals)), set: make([]float64, len(k.Chemicals)), v: k.Volume.In("m3"), perDry: float64(k.float().Volume(1))}
	for _, c := range k.Chemicals {
		run.meeting = append(run.meeting, float64(c.SolidsYield().Likely))
		run.yield = append(run.yield, float64(c.Meeting(0).SolidsYield().Likely))
	}
	y := make([]float64, atChemicals+4*len(k.Chemicals))
	y[atReading] = k.Start
	y[atAlkalinity], y[atPhosphate] = float64(k.Alkalinity), 1
	for i, c := range k.Chemicals {
		run.pieces[i] = c.Rule.piece(k.Start)
		run.set[i] = c.Rule.dose(k.Start, run.pieces[i])
	}
	scale := make([]float64, len(y))
	for i := range scale {
		scale[i] = 1e-3
	}
	scale[atReading] = k.Stop
	s := newStepper(run.derive, len(y), scale)
	out := make([]float64, len(y))

	end := float64(k.Within())
	var t, running float64
	r.Moments = append(r.Moments, run.moment(t, running, y))
	if k.Start <= k.Stop {
		r.Hold, r.Outcome = k.hold()
	}
	for r.Outcome == "" {
		limit, on := run.next(t)
		run.on = on
		if t+limit > end {
			limit = end - t
		}
		if limit <= 0 {
			r.Outcome = TooLong
			break
		}
		if on { // short enough for a smooth table: a sixtieth of a turnover
			limit = math.Min(limit, math.Max(run.v/float64(k.Flow)/60, end/20000))
		}
		h := s.step(t, limit, y, out)
		stopAt := func(y []float64) float64 { return y[atReading] - k.Stop }
		event := math.Inf(1)
		if stopAt(out) <= 0 {
			event = s.cross(t, h, y, out, stopAt)
			r.Outcome = Cleared
		} else if edge, ok := run.crossed(out); ok && on {
			event = s.cross(t, h, y, out, func(y []float64) float64 { return y[atReading] - edge })
			run.stepDown(edge)
		} else if falls := run.falls(out); falls != nil && on {
			event = s.cross(t, h, y, out, falls)
		}
		if !math.IsInf(event, 1) {
			h = event
			s.h = 0 // the slope changes here
		}
		t += h
		if on {
			running += h
		}
		y, out = out, y
		if _, goes := run.next(t); goes {
			if !on {
				run.startsAgain(y[atReading])
			}
			run.follow(y[atReading])
		}
		if slices.ContainsFunc(y, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }) {
			return r, note.Fault("diverged", "the balance cannot be worked out with these figures").Do("check volume, flow and doses")
		}
		r.Moments = append(r.Moments, run.moment(t, running, y))
		if r.Outcome == "" && run.settled(y) {
			r.Outcome = NeverClears
		}
	}
	if k.Level > 0 { // what holds it is asked, however it comes there
		r.Hold, _ = k.hold()
	}
	r.Final = r.Moments[len(r.Moments)-1]
	r.Time, r.Running, r.Turnovers = r.Final.At, r.Final.Running, r.Final.Turnovers
	r.Treated = quantity.Volume(y[atTreated] * 1000)
	r.Plateau = k.Plateau(run.removal())
	r.account(y)
	r.advise()
	return r, nil
}

// run is the state of one integration beside the numbers.
type run struct {
	Tank
	v      float64   // m3
	pieces []int     // of each chemical's rule
	set    []float64 // dose that each chemical is set to
	on     bool
	// yield is dry solids made per mass of each chemical's dose, in water without phosphate; meeting that with all of the tank's.
	yield, meeting []float64
	perDry         float64 // float that holds 1 kg of dry solids, L
}

// removal is that of a pass, with chemical where any is dosed.
func (r *run) removal() quantity.Fraction {
	bare := len(r.Chemicals) > 0
	for i := range r.Chemicals {
		bare = bare && r.set[i] <= 0
	}
	if bare {
		return r.Bare
	}
	return r.Removal
}

func (r *run) derive(_ float64, y, dy []float64) {
	c := y[atReading]
	q := float64(r.Flow)
	if !r.on {
		q = 0
	}
	x := float64(r.Exchange)
	taken := q * float64(r.removal()) * math.Max(c-r.Floor, 0)
	dy[atReading] = (-taken+x*(r.New-c))/r.v + r.Rise
	dy[atTreated] = q
	dy[atRemoved] = taken
	dry := taken * r.SolidsPerUnit()
	acid, bound := float64(r.Nitrified)*1000/24, 0.0 // g/h
	left := max(0, y[atPhosphate])
	for i, ch := range r.Chemicals {
		d := float64(ch.Fed(quantity.Concentration(r.set[i])))
		at := atChemicals + 3*i
		dy[at] = q * d / r.v
		dy[at+1] = (q*d - x*y[at+1]) / r.v
		dy[at+2] = (q*d*(1-float64(ch.Capture)) - x*y[at+2]) / r.v
		acid += q * d * float64(ch.AlkalinityUse)
		bound += q * d * float64(ch.Phosphorus()) * left
		dry += q * d * (r.yield[i] + (r.meeting[i]-r.yield[i])*left)
		dy[atChemicals+3*len(r.Chemicals)+i] = q * d * left / r.v
	}
	dy[atPhosphate] = (-bound/math.Max(float64(r.Phosphate), 1e-12) + x*(1-left)) / r.v
	dy[atAlkalinity] = (-acid + x*(float64(r.NewAlkalinity)-y[atAlkalinity])) / r.v
	dy[atWaste] = dry / 1000 * r.perDry
	if r.on {
		dy[atWaste] += float64(r.Skim.PerHour())
	}
}

// float says how dry the float is and what a mass of it takes up.
func (k Tank) float() day.Disposal { return day.Disposal{DrySolids: k.Share, Density: k.Density} }

// play is half a second, in hours, so that the end of one stretch is the start of the next.
const play = 0.5 / 3600

// next gives how long the unit stays as it is, and whether it runs.
func (r *run) next(t float64) (float64, bool) {
	lasts, on := r.byClock(math.Mod(float64(r.Begin)+t, 24))
	for _, s := range r.Breaks {
		switch {
		case t >= float64(s.From)-play && t < float64(s.To)-play:
			return float64(s.To) - t, false
		case t < float64(s.From)-play:
			lasts = math.Min(lasts, float64(s.From)-t)
		}
	}
	return lasts, on
}

// byClock gives how long the unit stays as it is by its daily hours, and whether it runs.
func (r *run) byClock(clock float64) (float64, bool) {
	if len(r.Hours) == 0 {
		return math.Inf(1), true
	}
	for _, s := range r.Hours {
		if clock >= float64(s.From)-play && clock < float64(s.To)-play {
			return float64(s.To) - clock, true
		}
	}
	wait := math.Inf(1)
	for _, s := range r.Hours {
		w := float64(s.From) - clock
		if w <= 0 {
			w += 24
		}
		wait = math.Min(wait, w)
	}
	return wait, false
}

// edge is the reading down to which a chemical's present step holds; zero for the last one and for curves.
func (r *run) edge(chemical int) float64 {
	rule := r.Chemicals[chemical].Rule
	if !rule.stepped || r.pieces[chemical] == 0 {
		return 0
	}
	return rule.points[r.pieces[chemical]-1].Reading
}

// crossed gives the highest edge of a step that the reading went below.
func (r *run) crossed(y []float64) (edge float64, ok bool) {
	for i := range r.Chemicals {
		if e := r.edge(i); y[atReading] < e {
			edge = max(edge, e)
		}
	}
	return edge, edge > 0
}

// stepDown takes every chemical whose step ends at this reading to the next one.
func (r *run) stepDown(edge float64) {
	for i := range r.Chemicals {
		if r.edge(i) == edge {
			r.pieces[i]--
		}
	}
}

// startsAgain takes every chemical to the step of the reading that the tank has when the unit starts: while it stands
// nobody sets a dose, and the tank may have cleared or risen by itself.
func (r *run) startsAgain(reading float64) {
	for i, c := range r.Chemicals {
		r.pieces[i] = c.Rule.piece(reading)
	}
}

// settled reports that the reading no longer falls towards the one to stop at.
func (r *run) settled(y []float64) bool {
	if !r.on {
		return false
	}
	dy := make([]float64, len(y))
	r.derive(0, y, dy)
	return dy[atReading] > -1e-5*(y[atReading]-r.Stop)*float64(r.Flow)/r.v
}

// moment copies the state.
func (r *run) moment(t, running float64, y []float64) Moment {
	m := Moment{At: quantity.Time(t), Running: quantity.Time(running), Turnovers: y[atTreated] / r.v, Reading: y[atReading],
		Alkalinity: quantity.Alkalinity(y[atAlkalinity]), Waste: quantity.Volume(y[atWaste])}
	for i, c := range r.Chemicals {
		at := atChemicals + 3*i
		m.Doses = append(m.Doses, quantity.Concentration(r.set[i]))
		left := func(i int) quantity.Concentration { return quantity.Concentration(y[at+i]) }
		m.Residuals = append(m.Residuals, Residual{Bound: left(0), Worst: left(1), Measured: left(2), HasMeasured: c.HasCapture})
	}
	return m
}

// account turns the end of the state into masses and volumes.
func (r *Result) account(y []float64) {
	k := r.Tank
	taken := y[atRemoved] // reading × m3
	per := solids.Same(k.SolidsPerUnit())
	if k.PerUnit <= 0 && k.Key == jartest.Turbidity {
		per = solids.PerNTURange()
	}
	r.Waste.Removed = solids.Of(per, func(per float64) quantity.Mass { return quantity.Mass(taken * per / 1000) })
	for i, c := range k.Chemicals {
		mgL := y[atChemicals+3*i] // mg per litre of tank
		r.Uses = append(r.Uses, c.use(solids.MassOf(quantity.Concentration(mgL), k.Volume)))
		r.met = append(r.met, quantity.Fraction(y[atChemicals+3*len(k.Chemicals)+i]/math.Max(mgL, 1e-12)))
	}
	a := r.Record().Account()
	r.Waste.Dry, r.Waste.Float, r.Waste.Water, r.Waste.Volume = a.Dry, a.Float, a.Carried, a.Wet.Likely
	r.emptied()
}

// Record is the whole run as the account of a day takes it: the water that passed the
// unit, with the mean of what was taken out of it and of what was dosed into it.
func (r Result) Record() day.Record {
	k := r.Tank
	d := day.Record{Treated: r.Treated, Running: r.Running, Skim: k.Skim, Disposal: k.float()}
	mean := func(m quantity.Mass) quantity.Concentration { return day.Account{Treated: r.Treated}.Per(m) }
	d.Removed = solids.Of(r.Waste.Removed, mean)
	for i, c := range k.Chemicals {
		x := c.account()
		x.Effects = x.Meeting(r.met[i])
		x.Dose = quantity.Dose{Concentration: mean(r.Uses[i].Dosed), Basis: c.Basis}
		d.Chemicals = append(d.Chemicals, x)
	}
	return d
}

// emptied works out when to empty the bin: when it is full, or the last time before
// that somebody is there.
func (r *Result) emptied() {
	k := r.Tank
	room := k.Bin.Room()
	if room <= 0 {
		return
	}
	waste := func(m Moment) float64 { return float64(m.Waste) }
	last := quantity.Time(0)
	for full := room - k.Bin.Now; full <= r.Waste.Volume && len(r.Waste.Bins) < 1000; {
		t := r.when(waste, float64(full))
		if there := k.Staffed.Last(k.Begin+t) - k.Begin; there < t && there > last {
			t, full = there, quantity.Volume(r.at(there, waste, waste(r.Final)))
		}
		r.Waste.Bins = append(r.Waste.Bins, t)
		last, full = t, full+room
	}
}

// when gives the time at which something that only rises reaches a value,
// between the moments of the run.
func (r Result) when(of func(Moment) float64, value float64) quantity.Time {
	for i, m := range r.Moments {
		if v := of(m); v >= value {
			if i == 0 {
				return m.At
			}
			p := r.Moments[i-1]
			u := of(p)
			return p.At + (m.At-p.At)*quantity.Time((value-u)/(v-u))
		}
	}
	return r.Time
}

// Clock gives the clock time of a time since the start.
func (k Tank) Clock(t quantity.Time) string { return flow.Clock(k.Begin + t) }
