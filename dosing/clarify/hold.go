package clarify

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// Hold is what it takes to hold a tank at a reading, into which solids come all the time.
type Hold struct {
	// At is that reading: the one that is asked for, else the one to stop at.
	At float64
	// Passes is how long the tank, left alone, stays below that reading.
	Passes quantity.Time
	// Made is the solids that come in, but for those of new water; not given where nobody knows what
	// solids a unit of the reading is.
	Made quantity.Known[quantity.MassRate]
	// Needs is the flow through the unit that holds the reading, run round the clock: what comes in
	// over what a pass takes out, P/(E·C). Not given where no flow would do.
	Needs quantity.Known[quantity.Flow]
	// PerDay is how long the unit has to run each day, which may be longer than it is let;
	// not given where no hours of a day would do.
	PerDay quantity.Known[quantity.Time]
	// Settles is the reading that the unit holds in the mean of a day, run all the hours that it is let.
	Settles float64
	// Runs are the clock hours in which the unit runs each day to hold it: from its start on, within those that it is let.
	// Where it fails they are all of them. Begins is the clock time at which they begin.
	Runs   flow.Hours
	Begins quantity.Time
	// Swing is how far the reading moves while the unit rests between them.
	Swing float64
	// Lowest and Highest are between what the reading goes each day where it fails, run all the hours that it is let; nothing where
	// those are the whole day, or it never comes to an even course.
	Lowest, Highest quantity.Known[Corner]
	course          []Corner // of the day on which it is held
	// Fails is true where the unit cannot hold it in those hours.
	Fails bool
	// Uses are per day; Acid is the alkalinity that they take, as CaCO3, Floc the dry solids that they make.
	Uses       []Use
	Acid, Floc quantity.MassRate
	// Off is the dry solids that the unit takes out in all, those of the doses too: what comes in but for what new
	// water carries away. Not given as Made is not.
	Off quantity.Known[quantity.MassRate]
}

// Ration is the feed that is eaten in a tank.
type Ration struct {
	Eaten quantity.MassRate
	// Share is what of it becomes suspended solids.
	Share quantity.Fraction
}

// SolidsOfFeed is the share of the feed that becomes suspended solids where nobody measured it (a guide of
// recirculating systems, from memory).
const SolidsOfFeed quantity.Fraction = 0.25

// Solids are what the feed makes.
func (r Ration) Solids() quantity.MassRate { return r.Eaten * quantity.MassRate(r.Share) }

// NitrifiedBy is how much less alkalinity the water has after a time of that kind, by nitrifying the feed: what new water
// washes out of it is no longer missing.
func (k Tank) NitrifiedBy(t quantity.Time) quantity.Alkalinity {
	if k.Nitrified <= 0 {
		return 0
	}
	v := k.Volume.In("m3")
	x := float64(k.Exchange) / v
	long := float64(t)
	if x > 0 {
		long = -math.Expm1(-x*long) / x
	}
	return quantity.Alkalinity(float64(k.Nitrified) * 1000 / 24 / v * long)
}

// Dosed is the alkalinity that a moment would have if nothing but doses and new water had moved it.
func (k Tank) Dosed(m Moment) quantity.Alkalinity { return m.Alkalinity + k.NitrifiedBy(m.At) }

// RiseOf is how much the reading rises in an hour by solids that are made in the tank.
func (k Tank) RiseOf(made quantity.MassRate) float64 {
	return float64(made) * 1e6 / 24 / float64(k.Volume) / k.SolidsPerUnit()
}

// level is the reading to hold.
func (k Tank) level() float64 {
	if k.Level > 0 {
		return k.Level
	}
	return k.Stop
}

// Alone is what a tank reads that is left alone for a time: what is made in it and new water raise it, and new water draws it to its own.
func (k Tank) Alone(from float64, t quantity.Time) float64 { return k.after(from, 0, t) }

// after is what a tank reads after a time in which a pass takes out a share, as if the unit ran without pause.
func (k Tank) after(from float64, e quantity.Fraction, t quantity.Time) float64 {
	x := (float64(e)*float64(k.Flow) + float64(k.Exchange)) / k.Volume.In("m3")
	if x <= 0 {
		return from + k.Rise*float64(t)
	}
	end := k.Plateau(e)
	return end + (from-end)*math.Exp(-x*float64(t))
}

// Mean is the reading at which a tank settles whose unit runs all the hours that it is let.
func (k Tank) Mean() float64 {
	return k.Plateau(k.mean())
}

// mean is what passes take out of such a tank, with the hours in which there are none counted in.
func (k Tank) mean() quantity.Fraction { return k.Removal * quantity.Fraction(k.Hours.Length()/24) }

// Holding is what it takes to hold a tank that is at its level, however a run to there ends; nil where it stays below that by itself.
func (k Tank) Holding() *Hold {
	h, _ := k.hold()
	return h
}

// Idle is the reading that a tank comes to with its unit off, in mean, where that is no more than the level that it is to be held at: no
// unit is needed then. False where it would pass the level, and where none is asked for.
func (k Tank) Idle() (reading float64, ok bool) {
	switch {
	case k.Level <= 0 || k.Holding() != nil:
		return 0, false
	case k.Rise <= 0 && k.Exchange <= 0: // nothing comes in
		return min(k.Start, k.Stop), true
	}
	return k.Plateau(0), true
}

// Made is the solids that come into a tank, but for those of new water; not given where nobody knows what solids a unit of its reading is.
func (k Tank) Made() quantity.Known[quantity.MassRate] {
	per := k.SolidsPerUnit()
	return quantity.Known[quantity.MassRate]{V: quantity.MassRate(k.Rise * k.Volume.In("m3") * per * 24 / 1000), OK: per > 0}
}

// hold works out what holds a tank that is clear; nil where it stays so by itself.
func (k Tank) hold() (*Hold, Outcome) {
	level, start := k.level(), min(k.Start, k.Stop)
	alone := k.Plateau(0)
	if !(alone > level) || k.Rise <= 0 && k.Exchange <= 0 {
		return nil, ClearAlready
	}
	v := k.Volume.In("m3")
	h := Hold{At: level, Settles: k.Mean(), Fails: true}
	h.Runs, h.Begins = k.Hours, quantity.Wrapped(k.Begin, 24)
	switch {
	case k.Hours.Length() >= 24*(1-1e-9):
	case k.Hours.Covers(h.Begins): // a clean-up may begin within a stretch, a day begins with it
		h.Begins = quantity.Wrapped(k.Hours.Began(h.Begins), 24)
	default:
		h.Begins = quantity.Wrapped(k.Hours.Next(h.Begins), 24)
	}
	if x := float64(k.Exchange) / v; x > 0 {
		h.Passes = quantity.Time(math.Log((alone-start)/(alone-level)) / x)
	} else {
		h.Passes = quantity.Time((level - start) / k.Rise)
	}
	h.Made = k.Made()
	h.Lowest, h.Highest = k.bounds(h)
	in := float64(k.Exchange)*(k.New-level) + k.Rise*v // reading × m3 an hour
	perFlow := float64(k.Removal) * (level - k.Floor)  // that a m3 through the unit takes out
	if perFlow <= 0 {
		return &h, NotHeld
	}
	h.Needs = quantity.Some(quantity.Flow(in / perFlow))
	hours := 24 * in / perFlow / float64(k.Flow)
	if hours > 24*(1+1e-9) {
		return &h, NotHeld
	}
	h.PerDay = quantity.Some(quantity.Time(hours))
	if hours > float64(k.Hours.Length())*(1+1e-9) {
		return &h, NotHeld
	}
	h.Fails, h.Lowest, h.Highest = false, quantity.Known[Corner]{}, quantity.Known[Corner]{}
	h.Runs = k.Hours.First(h.PerDay.V, h.Begins)
	h.course = k.day(h)
	h.Swing = math.Abs(k.Rise+float64(k.Exchange)/v*(k.New-level)) * float64(h.Runs.Rests())
	water := float64(k.Flow) * hours // m3 a day
	for _, c := range k.Chemicals {
		dosed := quantity.Mass(float64(c.Fed(c.Rule.At(level))) * water / 1000)
		h.Uses = append(h.Uses, c.use(dosed))
		h.Acid += quantity.MassRate(float64(c.AlkalinityUse) * float64(dosed))
		h.Floc += quantity.MassRate(float64(c.SolidsYield().Likely) * float64(dosed))
	}
	if per := k.SolidsPerUnit(); per > 0 {
		h.Off = quantity.Some(quantity.MassRate(perFlow*water*per/1000) + h.Floc)
	}
	return &h, Held
}
