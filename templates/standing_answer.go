package templates

import (
	"fmt"
	"slices"

	"jarwright/dosing"
	"jarwright/jartest/note"
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
		a.Order = o.Say("%s.", figure.Say("Begin at %s with %s of %s", goTime(g), g.Fig("product"), g.Get("chemical")).If(p.Stopped(), " into %s", p.Ponds[i].Name))
		if p.Ponds[i].Goes[k].Past {
			a.Order = "Bring alkali or new water in first: the first go alone would bring the pH past the line at which to stop."
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
		n := Number{For: upperFirst(h.Name) + " into " + x.Name, Value: c.Fig("product"), Under: "in one go at " + goTime(first)}
		if h.Portions > 1 {
			n.Under = o.Say("in %s goes, the first at %s", figure.Count("", h.Portions), goTime(first))
		}
		if within := x.WithinOf(g.Feed); within < h.Portions && !h.Ahead {
			n.Under += o.Say("; as the water is give %s", either(within == 0, "none", either(within == 1, "1 go", fmt.Sprintf("%d goes", within))))
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
