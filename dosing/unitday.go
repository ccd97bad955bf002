package dosing

import (
	"slices"

	"jarwright/dosing/mixing"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// UnitDay is how the unit stands up to the day: loading, air, mixing against the
// bench, and what other skimming intervals would do. Parts that lack figures are
// left out.
type UnitDay struct {
	// Check is at the peak flow, with the likely solids.
	Check mixing.Check
	// Matches set each stage of the bench beside that of the plant at average flow.
	Matches []mixing.Match
	// Skimming compares intervals; Longest is the longest at which the float stays shallow.
	// Now is the one that the site has.
	Skimming []solids.Skimming
	Now      solids.Skimming
	Longest  quantity.Time
	Notes    note.List
}

// unitDay works out the unit's day.
func (p Plan) unitDay(s site.Site, d *SolidsDay) UnitDay {
	var out UnitDay
	u := s.Solids
	temp := s.Water.Temperature.Or(15)
	if Floats(s) {
		unit := mixing.Unit{Area: u.Surface.V, Recycle: u.Recycle.V, HighRate: u.HighRate.V,
			Saturator: mixing.Saturator{Pressure: u.Pressure.V, Efficiency: u.Efficiency.V, Temperature: temp}}
		out.Check = unit.Float(p.Day.Peak(), d.PerWater.Likely)
		out.Notes = at(out.Check.Notes, u.Surface.At)
		out.skimming(p, s, d)
	}
	out.mixing(p, s, temp)
	out.Notes = slices.DeleteFunc(out.Notes, func(n note.Note) bool { return n.Level <= note.Info }) // what is as it should be stands in the figures
	return out
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

func (o *UnitDay) mixing(p Plan, s site.Site, temp quantity.Temperature) {
	u := s.Solids
	q := p.Day.Average()
	stirrer := mixing.PaddleStirrer()
	floc := mixing.Floc
	if Floats(s) {
		floc = mixing.FlotationFloc
	}
	for _, x := range []struct {
		duty   mixing.Duty
		speed  quantity.Known[quantity.Rotation]
		time   quantity.Known[quantity.Time]
		volume quantity.Known[quantity.Volume]
		power  quantity.Known[quantity.Power]
		head   quantity.Known[quantity.Length]
	}{
		{mixing.Rapid, u.JarRapid, u.JarRapidTime, u.RapidVolume, u.RapidPower, u.RapidHead},
		{floc, u.JarSlow, u.JarSlowTime, u.FlocVolume, u.FlocPower, quantity.Known[quantity.Length]{}},
	} {
		if !x.speed.OK || !x.time.OK || !x.volume.OK || q <= 0 || !x.power.OK && !x.head.OK {
			continue
		}
		g, err := stirrer.G(x.speed.V, temp)
		if err != nil || g <= 0 {
			continue
		}
		plant := mixing.Stage{Duty: x.duty, Stay: mixing.Stay(x.volume.V, q)}
		if x.head.OK {
			plant.G = mixing.FromHeadLoss(x.head.V, plant.Stay, temp)
		} else {
			plant.G = mixing.FromPower(x.power.V, x.volume.V, temp)
		}
		m := mixing.Compare(mixing.Stage{Duty: x.duty, G: g, Stay: x.time.V}, plant, stirrer.Derived)
		o.Matches = append(o.Matches, m)
		o.Notes.Add(at(m.Notes, x.speed.At)...)
	}
}
