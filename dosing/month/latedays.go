package month

import (
	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// lateDays says of days after closed ones that their dosing begins late, when their stock is ready, as the plan of the first of them has it:
// the month counts them as full ones, and so does that plan.
func (a *adapter) lateDays(p Plan) {
	days, err := p.Calendar.Days(0)
	if err != nil { // told where the month is made
		return
	}
	var first Date
	many := 0
	for _, d := range days {
		if d.Running() <= 0 || MonthOf(d.Date) != p.Calendar.Month || restBeside(a.site, d.Date).Before <= 0 {
			continue
		}
		if many++; many == 1 {
			first = d.Date
		}
	}
	if many == 0 {
		return
	}
	s, g, err := OnDate(a.site, a.opt.Given, first)
	if err != nil {
		return
	}
	in, err := dosing.FromSite(s, g)
	if err != nil {
		return
	}
	one, err := dosing.Make(in)
	if err != nil {
		return
	}
	_, running, late := one.Late()
	if !late {
		return
	}
	said := note.Say("after closed days dosing begins at %s, not at %s, when its stock is ready: %s is dosed for %s", flow.Clock(quantity.Wrapped(one.Begins, 24)), flow.Clock(one.Start),
		first, quantity.HoursMinutes(running))
	said = said.If(many == 1, "; the month counts it as a full day").If(many > 1, "; the month has %d such days and counts them as full ones", many)
	a.notes.Add(note.New(note.Info, "late-days", "%s", said).At(in.FlowAt).Do("`plan --date %s` says when to make stock up to start in time", first))
}
