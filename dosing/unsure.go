package dosing

import (
	"cmp"

	"jarwright/dosing/day"
	"jarwright/dosing/doubt"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// unsure is a day's record with what is not known of it: its flow, its suspended solids and the
// dose of each chemical, nil where that is exact.
type unsure struct {
	record       day.Record
	flow, solids doubt.Span
	doses        []doubt.Dose
}

// unsure is the day with what is not known of the flow and the doses.
func (p Plan) unsure(r day.Record) unsure {
	u := unsure{record: r, flow: doubt.Either(p.FlowRange)}
	for _, f := range p.Input.Feeds {
		u.doses = append(u.doses, f.Doubt())
	}
	return u
}

// ends is how far a figure of the day's account may be off.
func (u unsure) ends(of func(day.Account) float64) (low, high float64) {
	at := func(moved int, p float64) float64 { return of(u.account(moved, p)) }
	mid := at(-1, doubt.Middle)
	low, high = doubt.Ends(2+len(u.doses), at)
	return mid * low, mid * high
}

// dry is the dry solids with what they may be off by: below the range one time in ten, above it one in ten. A day and a clean-up have it
// from here.
func (u unsure) dry(likely quantity.Mass) solids.Range[quantity.Mass] {
	low, high := u.ends(func(a day.Account) float64 { return float64(a.Dry.Likely) })
	return solids.Range[quantity.Mass]{Low: min(quantity.Mass(low), likely), Likely: likely, High: max(quantity.Mass(high), likely)}
}

// account is that of the day with one unknown at p and the others in their middle: the flow is the first, the
// suspended solids are the second, then come the doses. Doses of a balance follow.
func (u unsure) account(moved int, p float64) day.Account {
	at := func(i int) float64 {
		if i == moved {
			return p
		}
		return doubt.Middle
	}
	r := u.record
	r.Treated *= quantity.Volume(u.flow.Quantile(at(0)))
	r.Removed = solids.Same(r.Removed.Likely * quantity.Concentration(u.solids.Quantile(at(1))))
	r.Chemicals = make([]day.Chemical, len(u.record.Chemicals))
	for i, c := range u.record.Chemicals {
		c.Dose.Concentration, _ = doubt.At(u.doses[i], c.Dose.Concentration, at(2+i))
		r.Chemicals[i] = c
	}
	return r.OfWater(r.Treated)
}

// Doubt is how far the dose may be off, as the bench or the site says; nil where it is exact or
// follows from the others. A site that states one end says that the other is the dose itself; an end that the bench does not tell is open.
func (f FeedInput) Doubt() doubt.Dose {
	low, high, d := f.Low, f.High, f.Dose.Concentration
	switch {
	case f.Balance != nil:
		return nil
	case f.Quantile != nil:
		return f.Quantile
	case !f.Tested && low > 0:
		high = cmp.Or(high, d)
	case !f.Tested && high > 0:
		low = d
	}
	return doubt.Between(d, low, high)
}

// unsure is a clean-up with what is not known of it: its suspended solids, and doses by as much of themselves as the feed's own are.
func (in CleaningInput) unsure(r day.Record) unsure {
	u := unsure{record: r, solids: SolidsDoubt(in.SolidsDoubt, r.Removed), doses: make([]doubt.Dose, len(r.Chemicals))}
	for i, f := range in.Feeds {
		if own, said := f.Doubt(), f.Dose.Concentration; own != nil && said > 0 {
			u.doses[i] = func(p float64) (quantity.Concentration, bool) {
				at, bounded := own(p)
				return at / said * r.Chemicals[i].Dose.Concentration, bounded
			}
		}
	}
	return u
}

// ranged carries what is not known of the doses and of the flow through to what is fed; the zero value where all is known.
func (p Plan) ranged(k int, f Feed) Range {
	u, own := p.unsure(p.inputs()), f.Doubt()
	low, high := u.ends(func(a day.Account) float64 { return float64(a.Uses[k].Product) })
	dose := func(at float64) (quantity.Dose, bool) {
		v, bounded := doubt.At(own, f.Dose.Concentration, at)
		return quantity.Dose{Concentration: v, Basis: f.Dose.Basis}, bounded
	}
	flow := func(at float64) quantity.Flow { return f.Flow * quantity.Flow(u.flow.Quantile(at)) }
	r := Range{FlowLow: flow(doubt.Low), FlowHigh: flow(doubt.High), ProductLow: min(quantity.MassRate(low), f.Product), ProductHigh: max(quantity.MassRate(high), f.Product)}
	var bounded bool
	r.DoseLow, _ = dose(doubt.Low)
	r.DoseHigh, bounded = dose(doubt.High)
	r.Open = !bounded
	if r.Known = r.Open || r.ProductHigh-r.ProductLow > 1e-9*f.Product; !r.Known {
		return Range{}
	}
	if f.Fed && f.Product > 0 {
		r.RateLow, r.RateHigh = f.rate(f.Flow)*quantity.FeedRate(r.ProductLow/f.Product), f.rate(f.Flow)*quantity.FeedRate(r.ProductHigh/f.Product)
	}
	return r
}

// inputs is the record of the day's water and doses as they are given, without what a site says.
func (p Plan) inputs() day.Record {
	r := Running{Flow: p.Day.Average(), Hours: p.Running, Feeds: p.Input.Feeds}.Record(site.UsualWater)
	r.Treated = p.Treated
	return r
}
