// Package restock brings animals back into a tank or pond that was emptied or treated: how much clean water,
// let through or in its place after draining, brings what is left of a chemical down to what the animals
// bear. The water is taken as well mixed, and nothing as caught or broken down meanwhile.
package restock

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Volumes is how many times a tank's volume of clean water, let through it, brings a residual from left to the
// limit: ln(left/limit). None where it is there already; false where there is no limit to come to.
func Volumes(left, limit quantity.Concentration) (quantity.Number, bool) {
	switch {
	case left <= 0 || left <= limit:
		return 0, true
	case limit <= 0:
		return 0, false
	}
	return quantity.Number(math.Log(float64(left / limit))), true
}

// Drains is how often that share of the water has to be drained and made up with clean water for the same:
// ln(left/limit)/−ln(1 − share), rounded up. All of it, drained once, is enough.
func Drains(volumes quantity.Number, share quantity.Fraction) int {
	switch {
	case volumes <= 0:
		return 0
	case share >= 1:
		return 1
	}
	const rounding = 1e-9 // half of a half is a quarter
	return int(math.Ceil(float64(volumes)/-math.Log1p(-float64(share)) - rounding))
}

// Way is one way to the limit: so many drains, then clean water let through.
type Way struct {
	Drains int
	Share  quantity.Fraction // drained each time
	Then   quantity.Number   // volumes let through after that
	// Water is what all of it takes, where the volume is known; Takes how long that runs in, where the flow is known too.
	Water quantity.Known[quantity.Volume]
	Takes quantity.Known[quantity.Time]
	// Leaves is the part of what was left that stays.
	Leaves quantity.Fraction
}

// Tank is what is washed.
type Tank struct {
	Name   string
	Volume quantity.Known[quantity.Volume]
	// Flow is clean water in and old water out.
	Flow quantity.Known[quantity.Flow]
	// Share is what is drained at a time.
	Share quantity.Known[quantity.Fraction]
}

// way works one out.
func (t Tank) way(volumes quantity.Number, drains int, share quantity.Fraction) Way {
	w := Way{Drains: drains, Share: share}
	w.Leaves = 1
	if drains > 0 {
		w.Leaves = quantity.Fraction(math.Pow(1-float64(share), float64(drains)))
	}
	if done := quantity.Number(-math.Log(float64(w.Leaves))); done < volumes && w.Leaves > 0 {
		w.Then = max(0, volumes-done)
		if w.Then < 1e-9 {
			w.Then = 0
		}
	}
	w.Leaves *= quantity.Fraction(math.Exp(-float64(w.Then)))
	all := quantity.Volume(float64(drains)*float64(share) + float64(w.Then))
	w.Water = quantity.Known[quantity.Volume]{V: all * t.Volume.V, OK: t.Volume.OK}
	if t.Volume.OK && t.Flow.OK && t.Flow.V > 0 {
		w.Takes = quantity.Some(quantity.Time(w.Water.V.In("m3") / t.Flow.V.In("m3/h")))
	}
	return w
}

// usualShares are drained where nobody says how much.
var usualShares = []quantity.Fraction{0.5, 0.75, 0.9}

// most is how many ways with drains of one share are shown.
const most = 5

// Ways lists ways to the limit: water let through alone; drains alone of the share, or of usual ones; and of the share
// some drains first and the rest let through.
func (t Tank) Ways(volumes quantity.Number) (out []Way) {
	if volumes <= 0 {
		return nil
	}
	out = append(out, t.way(volumes, 0, 0))
	if !t.Share.OK {
		for _, s := range usualShares {
			out = append(out, t.way(volumes, Drains(volumes, s), s))
		}
		return out
	}
	all := Drains(volumes, t.Share.V)
	for k := 1; k < min(all, most); k++ {
		out = append(out, t.way(volumes, k, t.Share.V))
	}
	return append(out, t.way(volumes, all, t.Share.V))
}

// Residue is what is left of a chemical, and what the animals bear of it.
type Residue struct {
	// Chemical and As name what is counted, such as "active polymer" or "Al".
	Chemical, As string
	Left         quantity.Concentration
	// Limit is what the animals may come back to, Why in words what it rests on; not known where nothing is known of it.
	Limit quantity.Known[quantity.Concentration]
	Why   note.Phrase
	// Stop is what a plan is stopped at, where that is more.
	Stop quantity.Known[quantity.Concentration]
	// Metal is true of aluminium and iron, whose limits need the water's figures.
	Metal bool
	// Guideline is true where the limit is one for whole ecosystems: what these animals bear is not known, and may be more.
	Guideline bool
	// Criterion is true where it is one for the life of fresh waters, of which the same holds.
	Criterion bool
	// Borrowed is true where the limit is no figure of these animals with this chemical: one of other animals, or of discharges.
	Borrowed bool
	// Long is true where it is what days of holding come to in the long run, and not what the clean-up before them leaves; Short is that.
	Long  bool
	Short quantity.Concentration
	// Measured is true where the rest was measured, by the site's capture or on its jar, or is stated.
	Measured bool
}

// Volumes is [Volumes] of the residue.
func (r Residue) Volumes() (quantity.Number, bool) {
	if !r.Limit.OK {
		return 0, r.Left <= 0
	}
	return Volumes(r.Left, r.Limit.V)
}

// over is how many times its limit is left; none of nothing, nor where no limit is known.
func (r Residue) over() float64 {
	if r.Left <= 0 || !r.Limit.OK {
		return 0
	}
	return float64(r.Left / r.Limit.V)
}

// Answer is what brings the animals back.
type Answer struct {
	Site string
	Tank
	Residues []Residue
	// Salts names what was dosed where that is nothing but salts such as gypsum, which stay as hardness and make no floc; Hardness is that of the
	// water with them, as CaCO3, of the pond that has most, where the water's own is known.
	Salts    []string
	Hardness quantity.Known[quantity.Concentration]
	Animals  []string
	// Salinity is that of the tank's water, Salty true where it is not fresh or must not be; Moults names the animals that cast their shell.
	Salinity quantity.Known[quantity.Salinity]
	Salty    bool
	Moults   []string
	// Governs is the residue that needs most water, or comes nearest its limit; -1 where none can be told.
	Governs int
	// Needs is the water that it takes, in volumes, and Ways how to give it.
	Needs quantity.Number
	Ways  []Way
	// Ponds are the ponds of the site, where there are several: the residues are then the worst of each chemical in any of them.
	Ponds []Pond
	// ToStop is the water after which no residue would stop a plan any more; it is less than Needs.
	ToStop quantity.Number
	// Holds are what of the water itself keeps the animals out; Lines what it has to read, which is told where there are any.
	Holds []Hold
	Lines Lines
	Notes note.List
}

// Pond is one of several that are told together, with what is left in it.
type Pond struct {
	Name     string
	Volume   quantity.Volume
	Residues []Residue
}

// Alone is the water that a pond needs, in volumes; the residue that it goes by; false where none can be told.
func (p Pond) Alone() (needs quantity.Number, by Residue, ok bool) {
	x := Make(Answer{Residues: p.Residues})
	if !x.Told() {
		return 0, by, false
	}
	return x.Needs, x.Residues[x.Governs], true
}

// sameVolume is how near a volume that is given has to be to a pond's to be meant for it: written volumes are rounded (our own).
const sameVolume = 0.01

// Of is the answer for the pond of that volume alone; the same where none has it, or several have.
func (a Answer) Of(v quantity.Volume) Answer {
	is := func(p Pond) bool { return math.Abs(float64(p.Volume/v)-1) <= sameVolume }
	i := slices.IndexFunc(a.Ponds, is)
	if i < 0 || slices.ContainsFunc(a.Ponds[i+1:], is) {
		return a
	}
	a.Name, a.Residues, a.Ponds = a.Ponds[i].Name, a.Ponds[i].Residues, nil
	a.Notes = slices.DeleteFunc(slices.Clone(a.Notes), func(n note.Note) bool { return n.Code == ofAllPonds })
	return a
}

// ofAllPonds is the code of the note that several ponds are told together.
const ofAllPonds = "of-all-ponds"

// Make works out how much water the residues need.
func Make(a Answer) Answer {
	a.Governs, a.Notes = -1, slices.Clone(a.Notes)
	for i, r := range a.Residues {
		v, ok := r.Volumes()
		if !ok {
			a.Notes.Add(r.unlimited())
			continue
		}
		if a.Governs < 0 || r.over() > a.Residues[a.Governs].over() {
			a.Governs, a.Needs = i, v
		}
		if r.Stop.OK {
			if s, ok := Volumes(r.Left, r.Stop.V); ok {
				a.ToStop = max(a.ToStop, s)
			}
		}
	}
	a.Ways = a.Tank.Ways(a.Needs)
	return a
}

// unlimited says that no limit is known of a residue, and what to do.
func (r Residue) unlimited() note.Note {
	left := quantity.To(quantity.Number(r.Left), 3)
	if r.Metal {
		return note.New(note.Caution, "no-metal-limit", "%s mg/L %s of %s may be in the water, and no limit can be told for it in this water", left, r.As, r.Chemical).
			Do("give pH, alkalinity, hardness and DOC of the water in the site, or measure the metal and ask whoever looks after the animals")
	}
	return note.New(note.Caution, "no-limit", "nothing is known of what the animals bear of %s: %s mg/L %s may be in the water, and no water is told for it", r.Chemical, left, r.As).
		Do("look up its LC50 in section 12 of its safety data sheet, or find it by a trial of your own, and enter it in the site under Chemicals")
}

// Told reports that water can be told, or that none is needed.
func (a Answer) Told() bool { return a.Governs >= 0 }
