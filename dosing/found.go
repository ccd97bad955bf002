package dosing

import (
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// found puts what somebody found in a make-up tank when the day starts in place of what the round has waiting there, as the evening
// before would have left it: nothing, or stock that has aged. How old it is nobody told, so it keeps from then on.
func (p Plan) found(i int, begin quantity.Time) {
	f := &p.Feeds[i]
	if f.Mix == nil || !f.Mix.Now.OK || f.carried != nil || f.Tank == nil || f.Stock.Neat() || len(f.round()) == 0 || p.restedAway(*f) {
		return
	}
	left, tank := Left{}, *f.Tank
	left.Stands, left.Expires = p.opensWith(*f)
	tank.Now = quantity.Some(left.Stands)
	f.Tank = &tank
	if v := min(f.Mix.Now.V, f.Mix.Holds()); v > 0 {
		if b := p.comesIn(f, p.standsMade(*f, v, begin), begin, p.hands(i)); b.Moved < b.Expires {
			left.Waiting = []Batch{b}
		}
		f.Notes.Add(p.foundIn(*f, v, left.Waiting))
	}
	f.carried = &left
}

// foundIn says what is made of stock that was found in a make-up tank, and what is to be let out of it.
func (p Plan) foundIn(f Feed, v quantity.Volume, goesIn []Batch) note.Note {
	said := note.Say("%s: %s stand in %s when the day starts", f.Name, quantity.To(v, 3), f.Mix.Name)
	switch {
	case len(goesIn) == 0:
		return note.New(note.Caution, "stock-found", "%s, and keep %s at most: %s has no room for them before they go off", said, f.good(), f.Tank.Name).
			At(f.Mix.At).Do("let them out before stock is made up there")
	case goesIn[0].Volume < v*(1-hair):
		return note.New(note.Caution, "stock-found", "%s, of which no more than %s goes into %s", said, goesIn[0].Volume, f.Tank.Name).
			At(f.Mix.At).Do("let the rest out before stock is made up there")
	}
	return note.New(note.Info, "stock-found", "%s: they count as aged, and as good for %s from then on", said, f.good()).
		At(f.Mix.At).Do("if they are older let them out, and write 0 L there")
}

// hands is who makes up the stock of a feed, beside the other work of the day.
func (p Plan) hands(i int) making {
	f := p.Feeds[i]
	return making{shift: shift{f.From, f.Till}, busy: p.work(i, make([]*Batch, len(p.Feeds)))}
}

// standsMade is stock of which so much stands aged in the make-up tank when the day starts, as a batch.
func (p Plan) standsMade(f Feed, v quantity.Volume, begin quantity.Time) Batch {
	aged := min(p.Start, begin) - moment
	made := aged - f.Ageing
	b := Batch{Volume: min(v, f.Tank.Holds()), Start: made - f.Work, Made: made, Aged: aged, Moved: max(begin, aged), From: p.Start, Till: p.Start + 24, Expires: p.Start + f.good()}
	b.Recipe, _ = f.Stock.Recipe(b.Volume)
	return b
}

// comesIn is when a batch that waits in the make-up tank is let over: as soon as somebody is there and the day tank has room for it. Where that
// would run dry before, it is let over then, with what has no room let out of the day tank first.
func (p Plan) comesIn(f *Feed, b Batch, begin quantity.Time, m making) Batch {
	stands, planned := f.Tank.Now.V, f.planned(p.Day)
	room := max(begin, b.Aged)
	if over := stands + b.Volume - f.Tank.Holds(); over > 0 {
		room = max(room, planned.until(p.Start, over))
	}
	b.Moved = m.earliest(room, 0)
	if dry := f.fastest(p.Day, f.upper).until(p.Start, stands); b.Moved > dry {
		b.Moved = m.earliest(max(begin, b.Aged), 0)
		if last, ok := m.latest(dry, 0); ok {
			b.Moved = max(b.Moved, last)
		}
	}
	return b
}

// queued has the make-up tank be free when a batch is begun in it: what would be begun before the stock that waits there is let over is begun
// then. What is not begun on this list any more is the next one's.
func (p Plan) queued(f *Feed, begin quantity.Time, m making) {
	if f.Mix == nil || !f.waits(begin) {
		return
	}
	free := f.First[0].Moved
	if free >= begin+24-hair {
		f.stays, f.First = f.First[:1:1], f.First[1:]
	}
	after := func(list []Batch) []Batch {
		for i, b := range list {
			if b.Start >= begin-hair && b.Start < free-hair {
				list[i] = b.later(m.earliest(free, f.Work) - b.Start)
			}
			if b.Start >= begin-hair {
				free = max(free, list[i].Moved)
			}
		}
		return slices.DeleteFunc(list, func(b Batch) bool { return b.Start >= begin+24-hair })
	}
	f.First = after(f.First)
	f.ahead = after(f.ahead)
}

// spilled is what has to be let out of the day tank before a batch goes in, as planned, for which there is no room.
func (b Batch) spilled(tank *Vessel) quantity.Volume {
	if b.LetOut {
		return 0
	}
	return max(0, b.Left+b.Volume-tank.Holds())
}
