package dosing

import (
	"jarwright/dosing/clarify"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// usualPhosphorus is that of dry feed where nobody gives it, about half of which animals keep (from memory, not checked).
const usualPhosphorus quantity.Fraction = 0.012

// ofFeed is a share of all that the reached animals eat, with what is usual for those of which it is not given; not given where it is of none.
func ofFeed(s site.Site, of func(site.Animal) quantity.Known[quantity.Fraction], usual quantity.Fraction) (out quantity.Known[quantity.Fraction]) {
	var eaten, sum float64
	for _, a := range s.Animals {
		if a.Reached.V != site.ReachedNever && a.Feed.V > 0 {
			share := of(a)
			out.OK = out.OK || share.OK
			eaten, sum = eaten+float64(a.Feed.V), sum+float64(a.Feed.V)*float64(share.Or(usual))
		}
	}
	if eaten > 0 {
		out.V = quantity.Fraction(sum / eaten)
	}
	return out
}

// Load is what a day's feed does to the water of a tank that is held.
type Load struct {
	clarify.Ration
	// Assumed is true where nobody measured the share that becomes solids.
	Assumed bool
	// Protein and OfPhosphorus are shares of the feed, as given or usual.
	Protein, OfPhosphorus quantity.Known[quantity.Fraction]
	// Alkalinity, as CaCO3, is what nitrifying its ammonia takes; Phosphorus is what it brings.
	Alkalinity, Phosphorus quantity.MassRate
	// NewBrings is the alkalinity of new water that would make up for that; zero where there is none.
	NewBrings quantity.Alkalinity
}

// fed works out what comes into a tank by its feed: what nitrifying it takes always, its solids where a site asks for that. As far as
// the rise of its reading was not measured, that is what makes it rise.
func (in *CleaningInput) fed(s site.Site, k *clarify.Tank) (errs note.List) {
	u, eaten := s.Solids, in.Around.Water.Feed
	if k.NitrifiedOf = "the feed"; !eaten.OK {
		k.NitrifiedOf = "the ammonia in it"
	}
	if around := s.Place.Passes; eaten.OK || around.V == site.Recirculating || !around.OK { // elsewhere what stands is no measure of what a day brings
		k.Nitrified = in.Around.Water.Nitrified(k.Exchange, k.Volume)
	}
	k.FeedAssumed = in.Around.Water.Overfed(k.Exchange) && !u.HoldAt.OK
	if !u.HoldAt.OK && !u.FeedSolids.OK {
		return nil
	}
	if !eaten.OK || eaten.V <= 0 {
		if u.HoldAt.OK && !u.Rise.OK && k.Exchange <= 0 {
			errs.Add(u.HoldAt.Missing("what comes into the tank", `give "feed eaten a day" under Animals, or "turbidity coming in" under Solids`))
		}
		return errs
	}
	load := Load{Ration: clarify.Ration{Eaten: eaten.V, Share: u.FeedSolids.Or(clarify.SolidsOfFeed)}, Assumed: !u.FeedSolids.OK && !u.Rise.OK,
		Protein:      in.Around.Water.Protein,
		OfPhosphorus: ofFeed(s, func(a site.Animal) quantity.Known[quantity.Fraction] { return a.FeedP }, usualPhosphorus),
		Alkalinity:   in.Around.Water.FeedTakes()}
	load.Phosphorus = eaten.V * quantity.MassRate(load.OfPhosphorus.Or(usualPhosphorus))
	load.NewBrings = in.Around.Water.NewBrings(k.Exchange)
	switch in.Load = &load; {
	case u.Rise.OK:
		load.Share = 0
	case k.SolidsPerUnit() <= 0:
		errs.Add(u.Cone.Missing("what the feed makes a cone read", `give "cone pairs", mL/L with the suspended solids in mg/L, or "turbidity coming in" in mL/L/h`))
	default:
		k.Rise = k.RiseOf(load.Solids())
	}
	if load.Assumed {
		in.Notes.Add(note.New(note.Info, "feed-solids-assumed", "%s of the feed is taken to become suspended solids", quantity.To(load.Share, 2)).
			Do(`give "solids from feed" once it is measured`).From("a guide for recirculating systems, from memory"))
	}
	return errs
}
