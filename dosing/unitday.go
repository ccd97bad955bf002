package dosing

import (
	"jarwright/dosing/flotation"
	"jarwright/dosing/mixing"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// UnitDay is how the unit stands up to the day: loading, air, mixing against the
// bench, and what other skimming intervals would do. Parts that lack figures are
// left out.
type UnitDay struct {
	// At is the unit at the least, average and peak flow with the likely solids; nil for a settler
	// and where nothing of the unit is known. Window is the flows in which every guide holds, Moves
	// how it shifts.
	At     []flotation.State
	Window flotation.Window
	Moves  []flotation.Move
	// Source makes the bubbles; Gas is the total gas of the water that leaves, in percent.
	Source flotation.Source
	Gas    quantity.Known[quantity.Number]
	// Unit is the unit itself, Solids what reaches it.
	Unit   flotation.Unit
	Solids quantity.Concentration
	// Assumed is what the air is counted at for want of the site's own: temperature, salt, height.
	Assumed []note.Phrase
	// White is the white water that its pump keeps at every flow.
	White quantity.Known[quantity.Flow]
	// Settler is how a settler stands up to the day; nil for a flotation unit and where nothing of it is known.
	Settler *SettlerDay
	// Like is how to stir, dose and sample a jar like the plant.
	Like LikePlant
	// Matches set each stage of the bench beside that of the plant at average flow, Kinder what else the jars had
	// otherwise.
	Matches []mixing.Match
	Kinder  Kinder
	// Skimming compares intervals; Longest is the longest at which the float stays shallow.
	// Now is the one that the site has.
	Skimming []solids.Skimming
	Now      solids.Skimming
	Longest  quantity.Time
	// First is what goes before all other cautions: that the unit cannot do its work.
	First, Notes note.List
}

// At0 is the unit at the least flow; the zero state where nothing of it is known.
func (o UnitDay) At0() flotation.State {
	if len(o.At) == 0 {
		return flotation.State{}
	}
	return o.At[0]
}

// UnitDay works out the unit's day; the solids are nil where they are not known.
func (p Plan) UnitDay(s site.Site, d *SolidsDay) UnitDay {
	var out UnitDay
	if unit, ok := UnitOf(s, p.Day.Average()); ok {
		out.floating(p, s, unit, d)
	}
	out.settling(p, s)
	out.mixing(p.Day.Average(), s, p.benchProtocol())
	out.kinder(p, s)
	if q := p.Day.Average(); q > 0 {
		if depth := p.benchProtocol().Depth; !s.Solids.JarDepth.OK {
			s.Solids.JarDepth = depth
		}
		out.Like = LikePlantOf(s, q, p.dosedOf())
		if n, off := out.Like.GapNote(); off {
			out.Notes.Add(n)
		}
	}
	return out
}

func (o *UnitDay) floating(p Plan, s site.Site, unit flotation.Unit, d *SolidsDay) {
	if d != nil {
		o.skimming(p, s, d)
	}
	if !unit.Told() || p.Day.Average() <= 0 {
		return
	}
	var solids quantity.Concentration
	if d != nil {
		solids = d.Fed
	}
	o.Source, o.White, o.Unit, o.Solids = unit.Source, unit.White, unit, solids
	if len(unit.AirLacks()) == 0 && !unit.Coarse() {
		o.Assumed = airAssumes(s)
	}
	if unit.Depth.OK && unit.Saturates() {
		total, _ := unit.TotalGas()
		o.Gas = quantity.Some(total)
	}
	for _, q := range [...]quantity.Flow{p.Day.Least(), p.Day.Average(), p.Day.Peak()} {
		o.At = append(o.At, unit.At(q, solids))
	}
	o.Window, o.Moves = unit.Window(p.Day.Average(), solids), unit.Moves(p.Day.Average(), solids)
	day := flotation.Flows{Least: p.Day.Least(), Average: p.Day.Average(), Peak: p.Day.Peak()}
	o.Notes.Add(at(unit.Faults(day, solids), s.Solids.Surface.At)...)
}

// airAssumes names the defaults that the air of a unit is counted with.
func airAssumes(s site.Site) (out []note.Phrase) {
	for _, x := range [...]struct {
		known bool
		is    note.Phrase
	}{
		{s.Water.Temperature.OK, note.Say("%s", quantity.To(usualTemperature, 2))}, {s.Water.Salinity.OK, note.Say("no salt")},
		{s.Place.Altitude.OK, note.Say("sea level")},
	} {
		if !x.known {
			out = append(out, x.is)
		}
	}
	return out
}

// unitNotes is what a unit has to say of one flow with so much dry solids in it, such as that of a tank that is cleaned up.
func unitNotes(s site.Site, q quantity.Flow, solids quantity.Concentration) note.List {
	var out UnitDay
	if unit, ok := UnitOf(s, q); ok && unit.Told() && q > 0 {
		out.Notes.Add(at(unit.Faults(flotation.Flows{Least: q, Average: q, Peak: q}, solids), s.Solids.Surface.At)...)
	}
	if u, ok := SettlerOf(s, q); ok && q > 0 {
		out.Notes.Add(at(u.Faults(q), s.Solids.Surface.At)...)
	}
	out.mixing(q, s, jartest.Protocol{})
	return out.Notes.Only(note.Caution)
}

func (o *UnitDay) skimming(p Plan, s site.Site, d *SolidsDay) {
	u := s.Solids
	if !u.SkimEvery.OK || !u.SkimWater.OK || p.Treated <= 0 {
		return
	}
	var bin solids.Bin
	if d.Bin != nil {
		bin = *d.Bin
	}
	var said note.List
	per := d.Float.Likely / quantity.Volume(p.Treated.In("m3"))
	o.Skimming, o.Longest, said = SkimmerOf(s).Compare(p.Day, per, d.Share, bin)
	if u.SkimEvery.V > 0 {
		o.Now = SkimmerOf(s).Try(u.SkimEvery.V, p.Day, per, d.Share, bin)
	}
	o.Notes.Add(at(said, u.SkimEvery.At)...)
}

// mixing sets how the jars were stirred beside the plant, and works out how to stir them like it.
func (o *UnitDay) mixing(q quantity.Flow, s site.Site, bench jartest.Protocol) {
	temp, stirrer := s.Water.Temperature.Or(usualTemperature), StirrerOf(s)
	for _, plant := range stagesOf(q, s) {
		stirs := stirredLike(plant.Duty, s.Solids, bench)
		jar, ok := onBench(stirs, stirrer, temp)
		if !ok {
			continue
		}
		jar.Duty = plant.Duty
		m := mixing.Compare(jar, plant, stirrer.Derived)
		if step, err := stirrer.Mimic(plant, temp); err == nil {
			m.Notes = step.Reached(m.Notes)
		}
		o.Matches = append(o.Matches, m)
		o.Notes.Add(at(m.Notes.Only(note.Caution), stirs[0].Speed.At)...) // what is as it should be stands in the figures
	}
}

// stirredLike is how the jars were stirred for a stage of the plant: what the site says, else the bench sheet.
func stirredLike(d mixing.Duty, u site.Solids, bench jartest.Protocol) []jartest.Stir {
	own, sheet := jartest.Stir{Speed: u.JarSlow, Time: u.JarSlowTime}, bench.Slow
	if d == mixing.Rapid {
		own, sheet = jartest.Stir{Speed: u.JarRapid, Time: u.JarRapidTime}, []jartest.Stir{bench.Rapid}
	}
	if own.Speed.OK || own.Time.OK {
		return []jartest.Stir{own}
	}
	return sheet
}

// onBench takes the stages of stirring of a jar together: their time, and the G that gives the same Gt in it.
func onBench(stirs []jartest.Stir, stirrer mixing.Stirrer, temp quantity.Temperature) (mixing.Stage, bool) {
	var all mixing.Stage
	for _, x := range stirs {
		g, err := stirrer.G(x.Speed.V, temp)
		if !x.Whole() || err != nil || g <= 0 {
			return mixing.Stage{}, false
		}
		both := all.Stay + x.Time.V
		all.G = (all.G*quantity.Gradient(all.Stay) + g*quantity.Gradient(x.Time.V)) / quantity.Gradient(both)
		all.Stay = both
	}
	return all, len(stirs) > 0 && all.Stay > 0
}
