package dosing

import (
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
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
	// Dry is per day; Volume the float or sludge that holds it.
	Dry    solids.Range[quantity.Mass]
	Volume solids.Range[quantity.Volume]
	// Share is dry solids in float or sludge, ShareFrom where it comes from.
	Share     quantity.Fraction
	ShareFrom string
	// Carried is the water that skimming takes along, per day.
	Carried quantity.Volume
	Skims   float64 // passes a day; zero without a skimmer
	// Bin has the emptying times where a bin is given.
	Bin    *solids.Bin
	Emptys solids.Schedule
	Unit   string
	// Day is how the unit itself stands up to it.
	Day   UnitDay
	Notes note.List
}

// Solids works out the solids of the day; nil where neither turbidity nor
// suspended solids of the raw water are known.
func (p Plan) Solids(s site.Site) *SolidsDay {
	w := solids.Water{TSS: s.Water.TSS.V, HasTSS: s.Water.TSS.OK, Turbidity: s.Water.Turbidity.V,
		PerNTU: s.Solids.PerNTU.V, Capture: s.Solids.Capture.V}
	if !w.HasTSS && !s.Water.Turbidity.OK {
		return nil
	}
	for _, f := range p.Feeds {
		metal := f.Stock.Product.Metal()
		basis := map[string]quantity.Basis{"Al": quantity.AsAl, "Fe": quantity.AsFe}[metal]
		switch {
		case basis != "":
			d, err := product.Convert(f.Dose, f.Stock.Product, basis)
			if err != nil {
				continue // the strength is not known: its hydroxide is left out, and that is said below
			}
			if metal == "Al" {
				w.Al += d.Concentration
			} else {
				w.Fe += d.Concentration
			}
		case f.Stock.Product.Group == product.Polymer || f.Stock.Product.Group == product.Biopolymer:
			d, err := product.Convert(f.Dose, f.Stock.Product, quantity.AsActive)
			if err == nil {
				w.Polymer += d.Concentration
			}
		}
	}
	out := &SolidsDay{Unit: s.Solids.Unit.V}
	out.PerWater, out.Parts = solids.Dry(w)
	scale := func(c quantity.Concentration) quantity.Mass { return solids.MassOf(c, p.Treated) }
	out.Dry = solids.Range[quantity.Mass]{Low: scale(out.PerWater.Low), Likely: scale(out.PerWater.Likely), High: scale(out.PerWater.High)}
	usual, from := solids.UsualShare(s.Solids.Unit.V != site.UnitSettler)
	out.Share, out.ShareFrom = usual.Likely, from
	if s.Solids.FloatSolids.OK {
		out.Share, out.ShareFrom = s.Solids.FloatSolids.V, "as stated"
	}
	volume := func(m quantity.Mass) quantity.Volume { return solids.VolumeOf(m, out.Share, s.Solids.SG.V) }
	out.Volume = solids.Range[quantity.Volume]{Low: volume(out.Dry.Low), Likely: volume(out.Dry.Likely), High: volume(out.Dry.High)}
	load := solids.Load{PerWater: out.Volume.Likely / quantity.Volume(p.Treated.In("m3"))}
	if s.Solids.SkimEvery.OK {
		k := solids.Skimmer{Every: s.Solids.SkimEvery.V, Water: s.Solids.SkimWater.V}
		load.PerRunning = k.PerHour()
		out.Carried = load.PerRunning * quantity.Volume(p.Running)
		out.Skims = float64(p.Running / k.Every)
	}
	if t, ok := s.Tank(s.Solids.Bin.V); s.Solids.Bin.OK && ok {
		out.Bin = &solids.Bin{Name: t.Name.V, Volume: t.Volume.V, Usable: t.Usable.Or(0.9), Now: t.Now.V, At: t.Volume.At}
		out.Emptys = out.Bin.Plan(p.Day, load, Staffed(s), p.Start, 7)
		out.Notes = append(out.Notes, out.Emptys.Notes...)
	}
	out.Day = p.unitDay(s, out)
	out.Notes = append(out.Notes, out.Day.Notes...)
	return out
}

// Staffed gives the hours when somebody is at the place; nil is round the clock.
func Staffed(s site.Site) flow.Hours {
	from, till := s.Place.From, s.Place.Till
	if !from.OK || !till.OK || from.V == till.V {
		return nil
	}
	if from.V < till.V {
		return flow.Hours{{From: from.V, To: till.V}}
	}
	out := flow.Hours{{From: 0, To: till.V}, {From: from.V, To: 24}}
	if till.V == 0 {
		out = out[1:]
	}
	return out
}
