package dosing

import (
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
	// Dry is per day, Float the float or sludge that holds it, Carried the water
	// that skimming takes along, Volume both together: what the bin takes.
	Dry           solids.Range[quantity.Mass]
	Float, Volume solids.Range[quantity.Volume]
	Carried       quantity.Volume
	// Share is dry solids in float or sludge, ShareFrom where it comes from.
	Share     quantity.Fraction
	ShareFrom string
	Skims     float64 // passes a day; zero without a skimmer
	// Bin has the emptying times where a bin is given.
	Bin    *solids.Bin
	Emptys solids.Schedule
	Unit   string
	Notes  note.List
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
		w.Al += d * quantity.Concentration(e.Al)
		w.Fe += d * quantity.Concentration(e.Fe)
		w.Polymer += d * quantity.Concentration(e.Floc)
	}
	a := r.Account()
	out := &SolidsDay{Unit: s.Solids.Unit.V, Dry: a.Dry, Float: a.Float, Volume: a.Wet, Carried: a.Carried}
	out.PerWater = solids.Range[quantity.Concentration]{Low: a.Per(a.Dry.Low), Likely: a.Per(a.Dry.Likely), High: a.Per(a.Dry.High)}
	_, out.Parts = solids.Dry(w)
	out.Share, out.ShareFrom = ShareOf(s)
	if r.Skim.Every > 0 {
		out.Skims = float64(p.Running / r.Skim.Every)
	}
	if b, ok := BinOf(s); ok {
		load := solids.Load{PerWater: a.Float.Likely / quantity.Volume(p.Treated.In("m3")), PerRunning: r.Skim.PerHour()}
		out.Bin, out.Emptys = &b, b.Plan(p.Day, load, Staffed(s), max(p.Start, p.UnitBegins()), 7)
		out.Notes = append(out.Notes, out.Emptys.Notes...)
	}
	return out
}
