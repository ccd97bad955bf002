package dosing

import (
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// reach sizes the batches for the highest flow that is given, all day long, where that is no
// more work than for the flow as planned and nothing goes off for it; where it is not, it says
// when such a day runs a batch dry.
func (p Plan) reach(f *Feed) {
	_, high, logged := p.Day.Swing()
	if logged || high-1 <= max(f.upper, Spare) { // a log's high readings do not last
		return
	}
	batches, every, ok := p.making(f).schedule()
	if !ok {
		return
	}
	lets := func(b []Batch) bool { return slices.ContainsFunc(b, func(b Batch) bool { return b.LetOut }) }
	f.upper = high - 1
	wide, days, fits := p.making(f).schedule()
	if fits && len(wide)*every <= len(batches)*days && lets(wide) == lets(batches) {
		return
	}
	first := batches[0]
	if dry := f.fastest(p.Day, f.upper).until(first.Moved, first.Full); dry < first.Till-hair {
		f.DryAtPeak = true
		why := "a batch for such a day would take more room or outlive the stock"
		if fits {
			why = "to be ready for such a day every day would take more batches, or leave stock that goes off"
		}
		f.Notes.Add(note.New(note.Caution, "stock-at-peak", "%s: with %s all day %s is empty by %s; %s",
			f.Name, p.Day.Peak(), f.Tank.Name, flow.Clock(quantity.Wrapped(dry, 24)), why).At(f.Tank.At).Do("%s", p.making(f).onSuchADay(first, dry)))
	}
	f.upper = p.FlowRange
}

// another is when the batch has to be begun, at the latest, that keeps a tank from running dry before the next of its
// round: while somebody is there, and after the batch that it follows; false where none does.
func (m making) another(first Batch, dry quantity.Time) (quantity.Time, bool) {
	ready := dry
	if m.mix > 0 {
		ready, _ = m.shift.latest(dry-Reserve, 0)
	}
	start, ok := m.latest(ready-m.ageing-m.work, m.work)
	if !ok || start < first.Moved-hair || m.mix == 0 && m.ageing > 0 {
		return 0, false
	}
	moved := start + m.work
	if m.mix > 0 {
		moved = ready
	}
	left := first.Full - m.demand.between(first.Moved, moved)
	return start, m.demand.until(moved, min(m.tank, left+m.most())) >= first.Till-hair
}

// onSuchADay is what can be done about it.
func (m making) onSuchADay(first Batch, dry quantity.Time) note.Phrase {
	start, ok := m.another(first, dry)
	switch {
	case ok:
		return note.Say("look at the tank on such a day, and begin another batch by %s", flow.Clock(quantity.Wrapped(start, 24)))
	case m.shift.always():
		return note.Say("use a larger tank, or hold the flow down on such a day: no batch between two of the list lasts until the next")
	}
	return note.Say("have somebody there before then to make up another batch, use a larger tank, or hold the flow down: no batch made while somebody is there lasts until the next")
}
