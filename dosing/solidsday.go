package dosing

import (
	"slices"

	"jarwright/dosing/flow"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// SolidsDay is what the unit takes out over the plan's day and where it goes.
type SolidsDay struct {
	// PerWater is dry solids per volume of water, with what it is made of.
	PerWater solids.Range[quantity.Concentration]
	Parts    []solids.Part
	// Fed is what comes into the unit of it, caught or not: what the guides of a unit count.
	Fed quantity.Concentration
	// Dry is per day, its ends with flow, suspended solids and doses off as in [Range]; Float the float or sludge that holds it, Carried the water
	// that skimming takes along, Volume both together: what the bin takes.
	Dry           solids.Range[quantity.Mass]
	Float, Volume solids.Range[quantity.Volume]
	Carried       quantity.Volume
	// Share is dry solids in float or sludge, ShareFrom where it comes from.
	Share     quantity.Fraction
	ShareFrom string
	Skims     float64 // passes a day; zero without a skimmer
	// Load is what comes into the bin; nothing without one.
	Load solids.Load
	// Bin has the emptying times where a bin is given.
	Bin    *solids.Bin
	Emptys solids.Schedule
	// NoDate is true where the calendar has a day before the bin is full of which nobody knows what comes in: then FullAt is that of days
	// that are all as the plan's.
	NoDate bool
	// Daily is the list of emptyings that is the same every day; none where it is done less often.
	Daily []solids.Emptying
	// told is true where it is known what stands in the bin when the day starts; fromNow is the list of a day that begins so.
	told    bool
	fromNow []solids.Emptying
	Unit    string
	Notes   note.List
}

// yearsAhead is how many days a bin is looked after that no week fills: what takes longer is never emptied.
const yearsAhead = 10 * 365

// Today is when the bin is emptied on the plan's day: by the list of every day, or once where it is done less often.
func (s *SolidsDay) Today(start quantity.Time) []solids.Emptying {
	switch {
	case len(s.Daily) > 0 && s.told:
		return s.fromNow
	case len(s.Daily) > 0:
		return s.Daily
	}
	return slices.DeleteFunc(slices.Clone(s.Emptys.Emptyings), func(e solids.Emptying) bool { return e.At >= start+24 })
}

// BinTold reports that it is known what stands in the bin when the day starts.
func (s *SolidsDay) BinTold() bool { return s.told }

// leaves is what stands in the bin at the end of a day on which it is emptied at those times.
func (s *SolidsDay) leaves(day flow.Day, start, end quantity.Time, list []solids.Emptying) quantity.Volume {
	level, at := s.Bin.Now, start
	for _, e := range list {
		if e.At >= start {
			level, at = 0, e.At
		}
	}
	return level + s.Load.Between(day, at, end)
}

// ADay is how often the bin is emptied a day: whole times where it is done every day.
func (s *SolidsDay) ADay() float64 {
	if n := len(s.Daily); n > 0 {
		return float64(n)
	}
	return float64(24 / s.Emptys.Every())
}

// Solids works out the solids of the day; nil where neither turbidity nor
// suspended solids of the raw water are known.
func (p Plan) Solids(s site.Site) *SolidsDay {
	w, ok := RawSolids(s, site.UsualWater)
	if !ok {
		return nil
	}
	r := p.Record(s)
	for i, d := range r.Doses() {
		e := r.Chemicals[i].Effects
		al, fe := e.Hydroxide()
		w.Al += d * quantity.Concentration(al)
		w.Fe += d * quantity.Concentration(fe)
		w.Phosphate += d * quantity.Concentration(e.Phosphate)
		w.Polymer += d * quantity.Concentration(e.Floc)
	}
	a := r.Account()
	out := &SolidsDay{Unit: s.Solids.Unit.V, Carried: a.Carried}
	out.PerWater = solids.Range[quantity.Concentration]{Low: a.Per(a.Dry.Low), Likely: a.Per(a.Dry.Likely), High: a.Per(a.Dry.High)}
	u := p.unsure(r)
	u.solids = SolidsDoubt(s.Solids.Doubt.V, r.Removed)
	out.Dry = u.dry(a.Dry.Likely)
	out.Float = solids.Of(out.Dry, r.Disposal.Volume)
	out.Volume = out.Float.Plus(solids.Same(a.Carried))
	_, out.Parts = solids.Dry(w)
	whole := w
	whole.Capture = 1
	fed, _ := solids.Dry(whole)
	out.Fed = fed.Likely
	out.Share, out.ShareFrom = ShareOf(s)
	if r.Skim.Every > 0 {
		out.Skims = float64(p.Running / r.Skim.Every)
	}
	if b, ok := BinOf(s); ok {
		if t, _ := s.Tank(b.Name); p.Before != nil && p.Before.Bin.OK && !t.Now.OK {
			b.Now, out.told = p.Before.Bin.V, p.Before.BinTold
		} else {
			out.told = t.Now.OK
		}
		load := solids.Load{PerWater: a.Float.Likely / quantity.Volume(p.Treated.In("m3")), PerRunning: r.Skim.PerHour()}
		start := max(p.Start, p.UnitBegins())
		out.Load = load
		out.Bin, out.Emptys = &b, b.Plan(p.Day, load, Staffed(s), start, 7)
		out.Notes = append(out.Notes, out.Emptys.Notes...)
		if out.Daily = b.Daily(p.Day, load, Staffed(s), start); out.told {
			out.fromNow = b.OnDay(p.Day, load, Staffed(s), out.Daily, start, p.handover()+24)
		}
		if !out.Emptys.Fills { // a large one: when, years ahead
			out.Emptys = b.Plan(p.Day, load, nil, start, yearsAhead)
			out.Emptys.Emptyings, out.Emptys.Notes = nil, nil
		}
		p.binFills(out, start)
		if every := out.Emptys.Every(); Floats(s) && len(out.Daily) == 0 && every > floatKeeps {
			out.Notes.Add(note.New(note.Info, "float-rots", "%s would take the float of %s, and float rots within days", b.Name, quantity.To(every, 2)).At(b.At).
				Do("empty it every %s at least, sooner in the warm", quantity.To(floatKeeps, 2)).From("common practice, no source"))
			out.Emptys.Days = int(floatKeeps / 24)
		}
	}
	return out
}

// binFills puts when the bin is full by the calendar's own days in place of that of days that are all alike.
func (p Plan) binFills(s *SolidsDay, start quantity.Time) {
	if p.Ahead == nil {
		return
	}
	at, runs, full, known := s.Bin.FullOver(start, yearsAhead, func(n int) (solids.Coming, bool) {
		if n == 0 {
			return solids.Coming{Day: p.Day, Load: s.Load}, true
		}
		return p.Ahead(n)
	})
	if s.NoDate = !known; known {
		s.Emptys.FullAt, s.Emptys.FullIn, s.Emptys.Fills = at, runs, full
	}
}

// floatKeeps is how long float may stand in a bin before it rots (common practice, no source).
const floatKeeps quantity.Time = 4 * 24
