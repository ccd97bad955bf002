package templates

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// answer is what goes into each pond, and the first thing to do; of a pond that a stop stands against, nothing.
func (p Standing) answer(o Options, ponds []*figure.Object) Answer {
	a := Answer{Title: "By hand", Place: p.Site, When: dated(o.Date)}
	for i, x := range p.Ponds {
		if f := x.Review.Findings; f.Stopped {
			if i == 0 || !p.alike() {
				a.Numbers = append(a.Numbers, Number{For: "STOPPED: nothing is to be dosed" + either(p.alike(), "", " into "+x.Name), Words: "No dose"})
				a.Stops = append(a.Stops, p.ofPond(i, slices.Concat(f.Notes.Only(note.Stop), uncounted(f)))...)
			}
			continue
		}
		a.Numbers = append(a.Numbers, p.goodNumbers(o, x, ponds[i])...)
	}
	i, k, ok := p.firstGo()
	if ok {
		g := ponds[i].Objects("goes")[k]
		a.Order = o.Say("%s.", figure.Say("Begin at %s with %s of %s", goTime(g), measuredOut(g), g.Get("chemical")).If(len(p.Ponds) > 1, " into %s", p.Ponds[i].Name).
			If(p.beside(i, k) > 0, "; what goes into the other ponds then stands in the list"))
		switch first := p.Ponds[i].Goes[k]; {
		case first.Passes != nil:
			a.Order = o.Say("Do not begin: the first go alone would bring %s to %s %s, past the line at which to stop.", first.Passes.Of, quantity.To(first.Passes.Comes, 3), first.Passes.As)
		case first.Past:
			a.Order = "Bring alkali or new water in first: the first go alone would bring the pH past the line at which to stop."
		}
	}
	if asked := p.asked(); a.Order != "" && len(asked.Only(note.Caution)) > 0 { // nobody opens a bag by a figure that may be ten times another
		a.Order = "A figure may be a slip: answer what is asked below before anything is opened. If it is right: " + strings.ToLower(a.Order[:1]) + a.Order[1:]
		if slices.ContainsFunc(asked, note.Note.Doubts) {
			a.Numbers = []Number{{For: "A FIGURE MAY BE WRONG BY TEN TIMES", Words: "No go yet"}}
		}
	}
	switch {
	case ok && p.Stopped():
		a.Order = o.Say("Put nothing into %s before what stops it is put right. %s", figure.And(", ", p.stoppedNames()...), a.Order)
		a.Detail = o.Say("Goes, cards, totals and cost are of the ponds that nothing stops. Those of %s are given once the dose is changed or somebody answers for it under Accepted.", figure.And(", ", p.stoppedNames()...))
	case len(a.Stops) > 0:
		a.Order = "Put nothing in before what stops it is put right."
		a.Detail = "No goes are listed while this stands: the first of them is a part of what is not to be given. They are, once the dose is changed or somebody answers for it under Accepted."
	}
	return a
}

// asked are the notes that ask whether a figure of a pond that nothing stops is one.
func (p Standing) asked() (out note.List) {
	for _, x := range p.Ponds {
		if !x.Review.Stopped {
			out = append(out, slices.DeleteFunc(slices.Concat(p.Notes, x.Notes, x.Review.Notes), func(n note.Note) bool { return !slip(n) })...)
		}
	}
	return out
}

// beside counts the ponds that something goes into at the time of a pond's go.
func (p Standing) beside(pond, of int) (n int) {
	for i, x := range p.Ponds {
		if i != pond && !x.Review.Stopped && slices.ContainsFunc(x.Goes, func(g dosing.Go) bool { return g.At == p.Ponds[pond].Goes[of].At }) {
			n++
		}
	}
	return n
}

// stoppedNames are the ponds into which nothing is to go.
func (p Standing) stoppedNames() (out []any) {
	for _, x := range p.Ponds {
		if x.Review.Stopped {
			out = append(out, x.Name)
		}
	}
	return out
}

// goodNumbers are the goods of a pond in the order in which they go in.
func (p Standing) goodNumbers(o Options, x dosing.PondPlan, d *figure.Object) (out []Number) {
	told := map[int]bool{}
	for k, g := range x.Goes {
		if told[g.Feed] {
			continue
		}
		told[g.Feed] = true
		first, h := d.Objects("goes")[k], x.Goods[g.Feed]
		c := d.Objects("chemicals")[g.Feed]
		n := Number{For: upperFirst(h.Name) + " into " + x.Name, Value: measuredOut(c), Under: "in one go at " + goTime(first)}
		if h.Portions > 1 {
			n.Under = o.Say("in %s goes, the first at %s", figure.Count("", h.Portions), goTime(first))
		}
		if within := partOf(c, "as_the_water_is"); c.Has("as_the_water_is") { // what may be given stands large, not what may not
			n.Value, n.Under = measuredOut(within), o.Say("in the first %s of %s goes, from %s on; no more as the water is", within.Get("goes"), figure.Count("", h.Portions), goTime(first))
			if within.Get("goes") == 0 {
				n.Value, n.Words, n.Under = figure.Figure{}, "None as the water is", o.Say("of %s in %s: the first go would pass a line at which to stop", measuredOut(c), either(h.Portions == 1, "1 go", fmt.Sprintf("%d goes", h.Portions)))
			}
		}
		out = append(out, n)
	}
	return out
}

// firstGo is the go that comes first by the clock, of all ponds that nothing stops.
func (p Standing) firstGo() (pond, of int, ok bool) {
	for i, x := range p.Ponds {
		for k, g := range x.Goes {
			if !x.Review.Stopped && (!ok || g.At < p.Ponds[pond].Goes[of].At) {
				pond, of, ok = i, k, true
			}
		}
	}
	return pond, of, ok
}
