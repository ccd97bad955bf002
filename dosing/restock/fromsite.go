package restock

import (
	"slices"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// FromSite gathers what a site's clean-up, its treatment by hand, or else its day, leaves in the water at worst, and what its animals bear of
// it: the residuals of the clean-up or of the plan, and the limits that those call for care by. Animals that are kept out
// of the water while it is dosed count as those that come back.
func FromSite(s site.Site, g dosing.Given, today time.Time) (Answer, error) {
	a := Answer{Site: s.Place.Name.V, Tank: Tank{Name: tankOf(s)}}
	if len(s.Animals) == 0 {
		return a, note.Fault("no-animals", "no animals are named, so no limit can be told").Do("name those that come back in the site under Animals, or give --limit")
	}
	s.Animals = slices.Clone(s.Animals)
	for i := range s.Animals {
		x := &s.Animals[i]
		a.Animals = append(a.Animals, x.Name.V)
		if x.Reached.V == site.ReachedNever {
			x.Reached.V = site.ReachedAlways
		}
	}
	a.lives(s, today)
	if dosing.IsStanding(s) {
		return a, a.standing(s, g, today)
	}
	if dosing.CleansTank(s) || s.Solids.Tank.OK && s.Solids.TankStop.OK {
		return a, a.cleaned(s, g, today)
	}
	return a, a.day(s, g, today)
}

// tankOf names the tank that is cleaned up.
func tankOf(s site.Site) string {
	t, _ := dosing.TankToClean(s)
	return t.Name.V
}

// cleaned takes what a clean-up leaves.
func (a *Answer) cleaned(s site.Site, g dosing.Given, today time.Time) error {
	in, err := dosing.CleaningFromSite(s, g, today)
	if err != nil {
		return err
	}
	c, err := dosing.Clean(in)
	if err != nil {
		return err
	}
	a.Volume, a.Flow = quantity.Some(in.Tank.Volume), s.Solids.TankNew
	for i, x := range c.Tank().Chemicals {
		p := c.Products[i]
		limits, ok := caution.PolymerLimits(x.Name, p, in.Around.Stock)
		if !ok && len(limits.NoData) == 0 {
			continue // a metal, which follows, or what leaves nothing
		}
		r := Residue{Chemical: x.Name, As: limits.As, Left: c.Expected(c.Final, i), Measured: x.HasCapture}
		if x.Holds > 0 {
			r.Left *= quantity.Concentration(x.Holds)
		} else {
			r.As = x.Basis.String()
		}
		a.Residues = append(a.Residues, r.held(limits))
	}
	var doses []caution.Dose
	for i, x := range c.Tank().Chemicals {
		doses = append(doses, caution.Dose{Name: x.Name, Product: c.Products[i], Dose: quantity.Dose{Concentration: c.Final.Residuals[i].Worst, Basis: x.Basis}})
	}
	a.Notes.Add(caution.Untested(doses, in.Around.Stock)...)
	for _, m := range c.Metals {
		a.Residues = append(a.Residues, of(m.Residual))
	}
	a.held(c.Holding)
	return nil
}

// held takes what the days of holding a tank that is then held come to in the long run, as a plan tells it, where that is more than its
// clean-up leaves.
func (a *Answer) held(long *caution.Findings) {
	if long == nil {
		return
	}
	more := false
	for _, x := range long.Residuals {
		r := of(x)
		i := slices.IndexFunc(a.Residues, func(o Residue) bool { return o.Chemical == r.Chemical && o.As == r.As })
		switch {
		case i < 0 || r.Left <= a.Residues[i].Left:
			continue
		case r.Metal && r.Limit.OK: // whose limits are by the water that is held
			r.Short, a.Residues[i] = a.Residues[i].Left, r
		default:
			a.Residues[i].Short, a.Residues[i].Left, a.Residues[i].Measured = a.Residues[i].Left, r.Left, r.Measured
		}
		a.Residues[i].Long = true
		more = true
	}
	if more {
		a.Notes.Add(note.New(note.Info, "left-of-holding", "the tank is held after it is cleared, and dosed for that day after day: what is left counts these days, in which it builds up to more than the clean-up leaves"))
	}
}

// day takes what a day's plan leaves.
func (a *Answer) day(s site.Site, g dosing.Given, today time.Time) error {
	in, err := dosing.FromSite(s, g)
	if err != nil {
		return err
	}
	p, err := dosing.Make(in)
	if err != nil {
		return err
	}
	_, r := p.Reviewed(s, today)
	a.Volume = s.Water.System
	var feeds []dosing.FeedInput
	for _, f := range p.Feeds {
		feeds = append(feeds, f.FeedInput)
	}
	around := p.Situation(s, today)
	if line := p.Sludge(s, p.Solids(s), g.Catalogue); line != nil && line.Left != nil {
		r.Residuals = append(r.Residuals, *line.Left)
	}
	a.left(feeds, r.Residuals, around.Stock)
	if w, ok := caution.WatchOf(around, r.Waters()...); ok {
		tan, brings := ammonia(around)
		a.Residues = append(a.Residues, a.holds("", r.Notes, w, tan, brings)...)
	}
	a.Notes.Add(caution.Untested(around.Doses, around.Stock)...)
	return nil
}

// standing takes what the plan of water that is treated by hand leaves: of several ponds the most of each chemical, for
// each pond's own volume.
func (a *Answer) standing(s site.Site, g dosing.Given, today time.Time) error {
	p, err := dosing.PlanStanding(s, g, today)
	if err != nil {
		return err
	}
	stock := p.Stock(s, today)
	a.salts(p)
	for k, x := range p.Ponds {
		var one Answer
		var feeds []dosing.FeedInput
		var doses []caution.Dose
		for _, h := range x.Goods {
			feeds = append(feeds, h.FeedInput)
			doses = append(doses, caution.Dose{Name: h.Name, Product: h.Stock.Product, Dose: h.Dose})
		}
		if k == 0 { // which are the same chemicals in all
			a.Notes.Add(caution.Untested(doses, stock)...)
		}
		one.left(feeds, x.Review.Residuals, stock)
		if x.Lines != nil {
			tan, brings := ammonia(caution.Situation{Water: caution.Water{Ammonia: s.Water.TAN}, Doses: doses})
			pond := ""
			if len(p.Ponds) > 1 {
				pond = x.Name
			}
			one.Residues = append(one.Residues, a.holds(pond, slices.DeleteFunc(slices.Clone(x.Review.Notes), dosing.InPassing), *x.Lines, tan, brings)...)
		}
		for _, r := range one.Residues {
			i := slices.IndexFunc(a.Residues, func(o Residue) bool { return o.Chemical == r.Chemical && o.As == r.As })
			switch {
			case i < 0:
				a.Residues = append(a.Residues, r)
			case r.over() > a.Residues[i].over() || r.over() == a.Residues[i].over() && r.Left > a.Residues[i].Left: // each by its own pond's limit
				a.Residues[i] = r
			}
		}
		a.Ponds = append(a.Ponds, Pond{Name: x.Name, Volume: x.Volume, Residues: one.Residues})
	}
	if a.Name, a.Volume = p.Ponds[0].Name, quantity.Some(p.Ponds[0].Volume); len(p.Ponds) > 1 {
		a.Name, a.Volume = "", quantity.Known[quantity.Volume]{}
		told := note.New(note.Info, ofAllPonds, "the %d ponds of this site are told together, each chemical by the pond in which most of it is over its limit; what each pond needs stands by itself", len(p.Ponds))
		if slices.ContainsFunc(a.Residues, func(r Residue) bool { return r.over() > 1 }) {
			told = told.Do("give --volume of a pond to have its ways and hours")
		}
		a.Notes.Add(told)
	} else {
		a.Ponds = nil
	}
	return nil
}

// ammonia is the total ammonia that a water comes to with all that is dosed; brings is true where a dose brings some.
func ammonia(s caution.Situation) (tan quantity.Known[quantity.Concentration], brings bool) {
	tan = s.Water.Ammonia
	for _, d := range s.Doses {
		if n, err := d.Product.AmmoniaAdded(d.Dose); err == nil && n > 0 {
			tan, brings = quantity.Some(tan.V+n), true
		}
	}
	return tan, brings
}

// salts takes what nothing but salts leave.
func (a *Answer) salts(p dosing.Standing) {
	for _, x := range p.Ponds {
		for _, h := range x.Goods {
			if h.Use.Product <= 0 {
				continue
			}
			if h.Stock.Product.Group != product.Salt {
				a.Salts, a.Hardness = nil, quantity.Known[quantity.Concentration]{}
				return
			}
			if !slices.Contains(a.Salts, h.Name) {
				a.Salts = append(a.Salts, h.Name)
			}
		}
		if v := x.Harder(); x.Hardness.OK && v > a.Hardness.V {
			a.Hardness = quantity.Some(v)
		}
	}
}

// left takes what feeds leave, by their review and by the limits of polymers.
func (a *Answer) left(feeds []dosing.FeedInput, left []caution.Residual, animals []caution.Animal) {
	for _, f := range feeds {
		limits, ok := caution.PolymerLimits(f.Name, f.Stock.Product, animals)
		if !ok && len(limits.NoData) == 0 {
			continue // a metal, or what leaves nothing
		}
		x := Residue{Chemical: f.Name, As: f.Dose.Basis.String(), Left: f.Dose.Concentration} // of which the review lists nothing, where nothing is known of it
		if i := slices.IndexFunc(left, func(x caution.Residual) bool { return x.Chemical == f.Name }); i >= 0 {
			x = of(left[i])
			left = slices.Delete(slices.Clone(left), i, i+1)
		}
		a.Residues = append(a.Residues, x.held(limits))
	}
	for _, x := range left {
		a.Residues = append(a.Residues, of(x))
	}
}

// held gives the residue with the limits of a polymer: the one that calls for care, whatever a review went by, which says no more
// than the gravest.
func (r Residue) held(l caution.Limits) Residue {
	r.Limit = quantity.Known[quantity.Concentration]{V: l.Warn, OK: l.Warn > 0}
	r.Stop = quantity.Known[quantity.Concentration]{V: l.Stop, OK: l.Stop > 0}
	r.Why, r.Borrowed = l.Care, l.Borrowed
	return r
}

// Bears has the animals come back to a limit of the reader's own, of the one chemical that is left. One that is above what stops a dose into their water is
// taken, and said.
func (a *Answer) Bears(limit quantity.Concentration) {
	r := &a.Residues[0]
	r.Limit, r.Why = quantity.Some(limit), note.Say("as stated")
	r.Borrowed, r.Guideline, r.Criterion = false, false, false
	if r.Stop.OK && limit > r.Stop.V {
		a.Notes.Add(note.New(note.Caution, "limit-past-stop", "the limit that is given, %s, is above the %s from which on a dose into their water is stopped", quantity.To(limit, 3), quantity.To(r.Stop.V, 3)).
			Do("where a test of your own says so, enter it in the site under Chemicals; else take the lower one"))
	}
}

// of is a residual of a review: what is measured, else the worst case, against what calls for care. What only stops a dose is no water to come back
// to, and no part of it is known to be: then no limit is, and the reader is asked for one.
func of(r caution.Residual) Residue {
	x := Residue{Chemical: r.Chemical, As: r.As, Metal: r.As == "Al" || r.As == "Fe", Left: r.Worst, Limit: r.CareAt, Stop: r.StopAt}
	if r.Expected.OK {
		x.Left, x.Measured = r.Expected.V, true
	}
	if !x.Limit.OK && (!r.StopAt.OK || r.Limit.V < r.StopAt.V) {
		x.Limit = r.Limit
	}
	if r.CareName.Format != "" {
		x.Why, x.Criterion = r.CareName, true
	} else if x.Limit.OK && x.Limit.V == r.Limit.V { // what else it was judged by has no name here
		x.Why, x.Guideline, x.Criterion = r.LimitName, r.Ecosystem, r.Criterion
	}
	return x
}
