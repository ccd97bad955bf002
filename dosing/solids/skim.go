package solids

import (
	"cmp"
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Skimmer takes the float off. Each pass carries some water with it.
type Skimmer struct {
	Every quantity.Time
	// Water is what a pass carries over beside the float.
	Water quantity.Volume
	// Area is the surface that the float lies on; zero where not known.
	Area quantity.Area
	// Deepest is the float depth at which solids begin to fall back; zero counts
	// as 50 mm on small units (common practice, no source).
	Deepest quantity.Length
}

func (s Skimmer) deepest() quantity.Length { return cmp.Or(max(s.Deepest, 0), 0.05) }

// PerHour gives the water that the skimmer carries over in an hour.
func (s Skimmer) PerHour() quantity.Volume {
	if s.Every <= 0 {
		return 0
	}
	return s.Water / quantity.Volume(s.Every)
}

// Skimming is what an interval between passes comes to.
type Skimming struct {
	Every  quantity.Time
	Passes float64         // a day
	Lost   quantity.Volume // water carried over, a day
	Share  quantity.Fraction
	// Depth is how deep the float gets before a pass at the peak flow; HasDepth is
	// false where the surface is not known.
	Depth    quantity.Length
	HasDepth bool
	TooDeep  bool
	// Solids is the dry share of float and water together.
	Solids quantity.Fraction
	// BinIn is how long the unit runs from its start until the bin is full, as the bin itself counts; 0 without a bin.
	BinIn quantity.Time
}

// Try works out one interval. dry and share are those of the likely solids.
func (s Skimmer) Try(every quantity.Time, d flow.Day, perWater quantity.Volume, share quantity.Fraction, bin Bin) Skimming {
	t := s
	t.Every = every
	out := Skimming{Every: every, Passes: float64(d.Running() / every)}
	out.Lost = s.Water * quantity.Volume(out.Passes)
	if v := d.Volume(); v > 0 {
		out.Share = quantity.Fraction(out.Lost / v)
	}
	float := perWater * quantity.Volume(d.Volume().In("m3"))
	if all := float + out.Lost; all > 0 {
		out.Solids = share * quantity.Fraction(float/all)
		if room := bin.Room(); room > 0 {
			out.BinIn = t.fills(d, perWater, room)
		}
	}
	if s.Area > 0 {
		out.HasDepth = true
		between := perWater.In("m3") * float64(d.Peak()) * float64(every)
		out.Depth = quantity.Length(between / float64(s.Area))
		out.TooDeep = out.Depth > s.deepest()
	}
	return out
}

// fills is how long an empty bin lasts from the start of a day's run.
func (s Skimmer) fills(d flow.Day, perWater, room quantity.Volume) quantity.Time {
	for run := range d.All() {
		before := quantity.Time(math.Mod(float64(run.From)+24-1e-6, 24))
		if run.Flow > 0 && run.Length() > 0 && (d.At(before) <= 0 || d.Running() > 24-1e-6) {
			load := Load{PerWater: perWater, PerRunning: s.PerHour()}
			whole := math.Floor(float64(room / load.Of(d))) // days that it lasts at least
			at, _ := fullAt(d, load, room-load.Of(d)*quantity.Volume(whole), run.From, run.From+48)
			return running(d, run.From, at) + d.Running()*quantity.Time(whole)
		}
	}
	return 0
}

// Intervals are the ones that a table of skimming shows.
func Intervals() []quantity.Time {
	return []quantity.Time{2.0 / 60, 5.0 / 60, 10.0 / 60, 15.0 / 60, 0.5, 1, 2}
}

// Compare works out the usual intervals, and picks the longest at which the float
// stays shallow enough: longer than that returns solids to the water, shorter
// throws water away. The choice is zero where the surface is not known.
func (s Skimmer) Compare(d flow.Day, perWater quantity.Volume, share quantity.Fraction, bin Bin) (rows []Skimming, best quantity.Time, notes note.List) {
	for _, t := range Intervals() {
		r := s.Try(t, d, perWater, share, bin)
		rows = append(rows, r)
		if r.HasDepth && !r.TooDeep {
			best = t
		}
	}
	if s.Every > 0 {
		own := s.Try(s.Every, d, perWater, share, bin)
		if own.TooDeep {
			notes.Add(note.New(note.Caution, "skim-too-seldom", "skimming every %s lets the float grow to %s at peak flow; solids fall back from about %s", s.Every, own.Depth, s.deepest()).
				Do("skim every %s or sooner", quantity.Time(float64(s.Every)*float64(s.deepest()/own.Depth))).From("common practice, no source"))
		}
		float := perWater * quantity.Volume(d.Volume().In("m3"))
		if own.Lost > float && float > 0 {
			n := note.New(note.Caution, "skim-too-often", "skimming every %s carries over %s of water a day, %s times the float itself",
				s.Every, own.Lost, quantity.Full(quantity.Number(own.Lost/float), 2)).Do("skim less often, or set the skimmer to carry less water")
			if best > s.Every {
				n = n.Do("skimming every %s would lose %s a day", best, s.Try(best, d, perWater, share, bin).Lost)
			}
			notes.Add(n)
		}
	}
	return rows, best, notes
}
