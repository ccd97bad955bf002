package flotation

import (
	"math"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Window is the flows in which no guide harms the water. Low and High are not OK where no guide ends
// them; by whom they end stands beside. Shut tells that no flow keeps them all: the ends are then
// those of the two guides that shut it, High below Low.
type Window struct {
	Low, High     quantity.Known[quantity.Flow]
	LowBy, HighBy string
	Shut          bool
	// Spare is the flow below which a guide, SpareBy, only has room to spare.
	Spare   quantity.Known[quantity.Flow]
	SpareBy string
}

// end is the flow at which a guide begins to fail; false where it holds, or fails, at every flow
// from a thousandth to a thousand times that asked from.
func (g guide) end(u Unit, near quantity.Flow, solids quantity.Concentration) (quantity.Flow, bool) {
	past := func(q float64) bool { // of the end: false before it, true after
		_, _, broken, _ := g.missed(u, u.At(quantity.Flow(q), solids), 0)
		return broken == g.top()
	}
	lo, hi := math.Log(float64(near)/1000), math.Log(float64(near)*1000)
	if past(math.Exp(lo)) == past(math.Exp(hi)) {
		return 0, false
	}
	for hi-lo > 1e-12 {
		if mid := (lo + hi) / 2; past(math.Exp(mid)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return quantity.Flow(math.Exp(hi)), true
}

// Window works out the flows in which every guide that can be judged holds.
func (u Unit) Window(near quantity.Flow, solids quantity.Concentration) Window {
	var w Window
	for _, g := range guides {
		s := u.At(near, solids)
		_, _, broken, ok := g.missed(u, s, 0)
		if !ok {
			continue
		}
		end, found := g.end(u, near, solids)
		switch {
		case !found && broken && g.harm != "": // at every flow
			w.Shut = true
			w.HighBy, w.High = g.name, quantity.Some(quantity.Flow(0))
		case !found:
		case g.harm == "":
			if end > w.Spare.V {
				w.Spare, w.SpareBy = quantity.Some(end), g.name
			}
		case g.top() && (!w.High.OK || end < w.High.V):
			w.High, w.HighBy = quantity.Some(end), g.name
		case !g.top() && (!w.Low.OK || end > w.Low.V):
			w.Low, w.LowBy = quantity.Some(end), g.name
		}
	}
	w.Shut = w.Shut || w.Low.OK && w.High.OK && w.Low.V > w.High.V
	return w
}

// Hold is the flows in which one figure of a unit harms nothing; an end that is not OK is open.
type Hold struct {
	Name      string
	Low, High quantity.Known[quantity.Flow]
	Never     bool // at no flow
}

// Holds are those of each figure that can be judged: the window is where all of them hold.
func (u Unit) Holds(near quantity.Flow, solids quantity.Concentration) []Hold {
	var out []Hold
	for _, g := range guides {
		_, _, broken, ok := g.missed(u, u.At(near, solids), 0)
		if !ok || g.harm == "" {
			continue
		}
		i := slices.IndexFunc(out, func(h Hold) bool { return h.Name == g.name })
		if i < 0 {
			i, out = len(out), append(out, Hold{Name: g.name})
		}
		end, found := g.end(u, near, solids)
		switch {
		case !found:
			out[i].Never = out[i].Never || broken
		case g.top():
			out[i].High = quantity.Some(end)
		default:
			out[i].Low = quantity.Some(end)
		}
	}
	return out
}

// Move is the window after one thing about the unit was changed.
type Move struct {
	What   note.Phrase
	Window Window
}

// moves are what an operator can turn.
var moves = [...]struct {
	what  note.Phrase
	apply func(*Unit) bool
}{
	{note.Say("level %s higher", quantity.To(step, 2)), func(u *Unit) bool { u.Depth.V += step; return u.Depth.OK }},
	{note.Say("level %s lower", quantity.To(step, 2)), func(u *Unit) bool { u.Depth.V -= step; return u.Depth.OK && u.Depth.V > 0 }},
	{note.Say("a quarter more white water"), func(u *Unit) bool { u.White.V *= 1.25; return u.White.OK }},
	{note.Say("a quarter less white water"), func(u *Unit) bool { u.White.V *= 0.75; return u.White.OK }},
	{note.Say("saturator %s higher", quantity.To(turn, 2)), func(u *Unit) bool { u.Pressure.V += turn; return u.saturates() }},
	{note.Say("saturator %s lower", quantity.To(turn, 2)), func(u *Unit) bool { u.Pressure.V -= turn; return u.saturates() && u.Pressure.V > 0 }},
	{note.Say("a quarter more air drawn"), func(u *Unit) bool { u.Drawn.V *= 1.25; return u.draws() }},
	{note.Say("a quarter less air drawn"), func(u *Unit) bool { u.Drawn.V *= 0.75; return u.draws() }},
}

// saturates and draws report how the air is made, where it is known and judged.
func (u Unit) saturates() bool { return u.Source == Saturator && len(u.AirLacks()) == 0 }
func (u Unit) draws() bool     { return u.Source != Saturator && !u.Coarse() && len(u.AirLacks()) == 0 }

// The level and the pressure are moved by so much.
const (
	step quantity.Length   = 0.1
	turn quantity.Pressure = 100
)

// Moves gives the window after each of the things that an operator can turn and that the unit tells of.
func (u Unit) Moves(near quantity.Flow, solids quantity.Concentration) []Move {
	var out []Move
	for _, m := range moves {
		if changed := u; m.apply(&changed) {
			out = append(out, Move{m.what, changed.Window(near, solids)})
		}
	}
	return out
}
