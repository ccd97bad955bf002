package templates

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// answer is what is set today: a number for each chemical, or that none is given.
func (p Plan) answer(o Options, d *figure.Object) Answer {
	a := Answer{Title: "Today's setting", Place: p.Site, When: span(o.Date, p.Start)}
	if p.Findings.Stopped {
		a.Stops = append(p.Findings.Notes.Only(note.Stop), uncounted(p.Findings)...)
		a.Numbers = []Number{{For: "STOPPED: no pump settings are given", Words: "No setting"}}
		a.Order = "Do not dose before what stops it is put right."
		return a
	}
	var set, give, drip, follow []string
	for i, x := range d.Objects("feeds") {
		f, n := p.Feeds[i], p.settingNumber(o, p.Feeds[i], x)
		a.Numbers = append(a.Numbers, n)
		switch {
		case f.Setting != nil && f.Setting.Stands() && !f.Follows && !x.Has("pump.settings"):
			set = append(set, cmp.Or(f.PumpName, "the pump")+" to "+n.whole(o))
		case f.Setting != nil && f.Setting.Stands() && f.Follows:
			follow = append(follow, cmp.Or(f.PumpName, "the pump"))
		case f.Pump == nil && x.Has("portion"):
			give = append(give, o.Say("%s of %s", x.Fig("portion"), either(f.Fed && !f.Stock.Neat(), f.StockCalled(), f.Name)))
		case f.Pump == nil && x.Has("stock_rate"):
			drip = append(drip, o.Say("%s of %s", x.Fig("stock_rate").To(3), either(f.Stock.Neat(), f.Name, f.StockCalled())))
		}
	}
	treated := figure.Say("%s of water", d.Fig("flow.average"))
	if i := slices.IndexFunc(p.Feeds, func(f dosing.Feed) bool { return f.Past != nil }); i >= 0 {
		treated = treated.And(" of %s", ntu("", p.Feeds[i].Past.Raw))
	}
	switch {
	case len(set) > 0 && len(give) > 0:
		a.Order = o.Say("Set %s for %s, and give %s every %s by hand.", strings.Join(set, ", "), treated, listed(give), quarterHour)
	case len(set) > 0:
		a.Order = o.Say("Set %s for %s.", strings.Join(set, ", "), treated)
	case len(give) > 0:
		a.Order = o.Say("Give %s every %s by hand for %s.", listed(give), quarterHour, treated)
	}
	if len(follow) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Let %s follow the flow meter, and check at the start what it gives.", listed(follow)))
	}
	if len(drip) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Let %s drip in by hand for %s.", listed(drip), treated))
	}
	for _, f := range p.Feeds {
		if f.Setting != nil && len(f.Setting.Beyond()) > 0 && !f.Follows {
			a.Order += " " + upperFirst(cmp.Or(f.PumpName, "the pump")) + " is out of range at the " + strings.Join(f.Setting.Beyond(), " and the ") + "."
		}
	}
	return a
}

// span is the day for which a plan holds, from its first hour to the same hour of the next.
func span(day time.Time, start quantity.Time) string {
	if start == 0 {
		return joined(", ", dated(day), "midnight to midnight")
	}
	from, to := clockOf(start), clockOf(start+24)
	if day.IsZero() {
		return from + " to " + to + " tomorrow"
	}
	return dated(day) + ", " + from + " to " + to
}

// settingNumber is where a pump stands for a chemical, or what is given by hand.
func (p Plan) settingNumber(o Options, f dosing.Feed, x *figure.Object) Number {
	n := Number{For: joined(", ", upperFirst(either(f.Pump == nil, "by hand", cmp.Or(f.PumpName, "the pump"))), f.Name), Ruler: p.ruler(f, o),
		Beside: []Fact{{"Dose", x.Fig("dose").To(3)}}}
	beside := (*facts)(&n.Beside)
	if f.Fed {
		beside.add("Feed", x.Fig("stock_rate").To(3))
		beside.add("Stock a day", x.Fig("stock_use").To(3))
		beside.when(lasting(x).Known(), "Tank lasts", lasting(x))
	}
	switch {
	case !x.Has("pump"):
		n.Value = x.Fig(either(x.Has("stock_rate"), "stock_rate", "product_rate")).To(3)
	case !f.Setting.Stands():
		n.Words = "Out of range"
	case f.Follows:
		n.Words = "Follows the flow"
	case x.Has("pump.settings"):
		n.Words = o.Show(x.Get("pump.settings"))
	default:
		n.Value, n.Under = x.Fig("pump.knob").To(3), o.Show(besideKnob(x.Sub("pump")))
	}
	return n
}
