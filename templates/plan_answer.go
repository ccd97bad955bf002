package templates

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
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
	var set, turned, off, give, vary, drip, follow, how []string
	for i, x := range d.Objects("feeds") {
		f, n := p.Feeds[i], p.settingNumber(o, p.Feeds[i], x)
		a.Numbers = append(a.Numbers, n)
		switch {
		case f.Setting != nil && f.Setting.Average.Off():
			off = append(off, cmp.Or(f.PumpName, "the pump"))
		case f.Setting != nil && f.Setting.Stands() && !f.Follows && !x.Has("pump.settings"):
			set = append(set, cmp.Or(f.PumpName, "the pump")+" to "+n.whole(o))
		case f.Setting != nil && f.Setting.Stands() && x.Has("pump.settings"):
			turned = append(turned, cmp.Or(f.PumpName, "the pump"))
		case f.Setting != nil && f.Setting.Stands() && f.Follows:
			follow = append(follow, cmp.Or(f.PumpName, "the pump"))
		case f.Pump == nil && x.Has("portions"):
			vary = append(vary, o.Say("%s: %s%s", f.Name, either(f.Scoop.OK, "", o.Say("every %s ", quarterHour)), x.Get("portions")))
			how = append(how, caution.Portion(f.Stock.Product))
		case f.Pump == nil && x.Has("portion"):
			if !f.Fed {
				how = append(how, caution.Portion(f.Stock.Product))
			}
			give = append(give, o.Say("%s of %s every %s", x.Fig("portion"), either(f.Fed && !f.Stock.Neat(), f.StockCalled(), f.Name), x.Fig("portion_every")))
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
		a.Order = o.Say("Set %s for %s, and give %s by hand%s.", strings.Join(set, ", "), treated, listed(give), handedOver(how))
	case len(set) > 0:
		a.Order = o.Say("Set %s for %s.", strings.Join(set, ", "), treated)
	case len(give) > 0:
		a.Order = o.Say("Give %s by hand for %s%s.", listed(give), treated, handedOver(how))
	}
	if len(follow) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Let %s follow the flow meter, and check at the start what it gives.", listed(follow)))
	}
	if len(vary) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Give by hand %s%s.", strings.Join(vary, "; "), handedOver(how)))
	}
	if len(turned) > 0 && a.Order != "" { // alone it stands right above
		a.Order += o.Say(" Set %s by the hours above.", listed(turned))
	}
	if len(off) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Leave %s off.", listed(off)))
	}
	if len(drip) > 0 {
		a.Order = strings.TrimSpace(a.Order + " " + o.Say("Let %s drip in by hand for %s.", listed(drip), treated))
	}
	if w := p.Watch; a.Order != "" && w != nil && w.Brings.OK { // who stops at that line would stop as soon as it works
		a.Order = o.Say("Do not begin as the water is: the dose itself would bring the pH to %s, past the line at which to stop. Once that is put right: ", unitless(hundredthPH("", w.Brings.V))) +
			strings.ToLower(a.Order[:1]) + a.Order[1:]
	}
	if a.Order != "" && slices.ContainsFunc(p.Notes, slip) { // nobody sets a pump by a figure that may be ten times another
		a.Order = "A figure may be a slip: answer what is asked below before anything is set. If it is right: " + strings.ToLower(a.Order[:1]) + a.Order[1:]
	}
	if slices.ContainsFunc(p.Notes, note.Note.Doubts) { // ten times too much is no answer, however large it is shown
		a.Numbers = []Number{{For: "A FIGURE MAY BE WRONG BY TEN TIMES", Words: "No setting yet"}}
	}
	for _, f := range p.Feeds {
		if f.Setting != nil && len(f.Setting.Beyond()) > 0 && !f.Follows {
			a.Order += " " + upperFirst(cmp.Or(f.PumpName, "the pump")) + " is out of range at the " + strings.Join(f.Setting.Beyond(), " and the ") + "."
		}
	}
	return a
}

// handedOver says how portions go in, each way once; nothing where none is by weight.
func handedOver(how []string) string {
	how = slices.Compact(slices.Sorted(slices.Values(how)))
	if how = slices.DeleteFunc(how, func(s string) bool { return s == "" }); len(how) == 0 {
		return ""
	}
	return ", " + strings.Join(how, "; ")
}

// slip reports a note that asks whether a figure is one; water that nobody read is none.
func slip(n note.Note) bool { return n.Asks() && n.Code != "new-water-unread" }

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
	case x.Has("portions"):
		n.Words, n.Under = o.Show(x.Get("portions")), either(f.Scoop.OK, "", o.Say("every %s", quarterHour))
	case !x.Has("pump"):
		n.Value = x.Fig(either(x.Has("stock_rate"), "stock_rate", "product_rate")).To(3)
	case !f.Setting.Stands():
		n.Words = "Out of range"
	case f.Setting.Average.Off():
		n.Words = "Off"
	case f.Follows:
		n.Words = "Follows the flow"
	case x.Has("pump.settings"):
		n.Words = o.Show(x.Get("pump.settings"))
	default:
		n.Value, n.Under = x.Fig("pump.knob").To(3), o.Show(besideKnob(x.Sub("pump")))
	}
	return n
}
