package caution

import (
	"slices"

	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// BenchReview is what a series says of the water that its dose would make.
type BenchReview struct {
	// Computed is true where pH and alkalinity could be computed along the jars.
	Computed bool
	BenchWater
	// HasPlanning is true where a planning dose was given; then Planned is the water at that dose, as a plan of it has it:
	// what the jars read there goes before what is worked out.
	HasPlanning bool
	Planned     Chemistry
	// Settled is the pH there if no aluminium stayed dissolved, where neither that nor the pH was read in the jars and that moves it
	// by 0.05 or more.
	Settled quantity.Known[quantity.PH]
	// Notes are what the checks say at the planning dose, and what was missing. A
	// bench sheet gives no pump setting, so nothing here stops anything: what would
	// stop a plan of water for animals is a caution that says so.
	Notes note.List
}

// Doubts are how far the computed pH is good: at the planning dose, and on the jar where it is known least.
func (r BenchReview) Doubts() (planned, jars quantity.PH) {
	planned = water.Uncertainty
	if r.HasPlanning {
		planned = max(planned, r.Planned.Doubt())
	}
	for _, j := range r.Jars {
		jars = max(jars, j.Doubt)
	}
	return planned, jars
}

// worthTelling is half of what a computed pH is good to.
const worthTelling = water.Uncertainty / 2

// Bench reviews a series at a planning dose of its chemicals (nil for none) that meets targets.
func Bench(s jartest.Series, planning []quantity.Concentration, targets []jartest.Target, catalogue product.Catalogue) BenchReview {
	var r BenchReview
	b, err := Jars(s, catalogue)
	if err != nil {
		_, ph := s.RawReading(jartest.PH)
		_, alk := s.RawReading(jartest.AlkalinityKey)
		if ph || alk { // the sheet meant to tell
			r.Notes = note.Of(err, "bench-water-not-computed")
		}
		return r
	}
	r.Computed, r.BenchWater = true, b
	r.Notes = append(r.Notes, b.Notes...)
	if planning == nil {
		return r
	}
	w := Water{PH: quantity.Some(b.Raw.PH), Alkalinity: quantity.Some(b.Raw.Alkalinity), Temperature: quantity.Some(b.Raw.Temperature), Conductivity: quantity.Some(b.Raw.Conductivity)}
	situation := Situation{Water: w.asJars(s, planning), Carbon: slices.ContainsFunc(targets, jartest.Target.OfCarbon)}
	for i, d := range planning {
		situation.Doses = append(situation.Doses, Dose{Name: s.Chemicals[i].Name, Product: b.Products[i],
			Dose: quantity.Dose{Concentration: d, Basis: s.Chemicals[i].Basis}})
	}
	found := Review(situation)
	if found.Water == nil || !found.Water.HasPH {
		return r
	}
	r.HasPlanning, r.Planned = true, *found.Water
	if a := r.Planned.Closed; a.Aluminium > 0 && !situation.Water.ResidualAl.OK && !r.Planned.MeasuredPH.OK {
		bare := b.Raw
		bare.Alkalinity, bare.Carbonate, bare.Aluminium = a.Alkalinity, a.Carbonate, 0
		if closed, _ := water.Dose(bare, water.Addition{}); closed.PH-a.PH >= worthTelling {
			r.Settled = quantity.Some(closed.PH)
		}
	}
	for _, said := range found.Said {
		n := said.Note
		switch n.Code {
		case "alkalinity-gone", "alkalinity-low", "ph-too-low", "ph-too-high":
		default:
			continue
		}
		if n.Level == note.Stop {
			do := PutRight(n.Remedy) // a bench sheet has no place for that
			n.Level, n.Remedy = note.Caution, do+"; where animals get the water a plan stops on it"
		}
		r.Notes.Add(n)
	}
	return r
}
