package dosing

import (
	"strings"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ActiveSubstance is what the strength of a product counts of which nothing but
// that strength is known.
const ActiveSubstance quantity.Basis = "as active substance"

// Quick is a plan for one feed from a few figures, without a site.
type Quick struct {
	Flow  quantity.Flow
	Hours quantity.Time // zero counts as 24
	Dose  quantity.Dose
	// Low and High bound the dose; zero where not known.
	Low, High quantity.Concentration
	// Chemical names a product of the catalogue; empty guesses it from the basis.
	Chemical string
	// Strength is mass of the basis substance per mass of product; zero takes the catalogue's.
	Strength quantity.Fraction
	Density  quantity.Density
	PerLitre quantity.Concentration // of product in the stock; zero is neat
	PumpMax  quantity.FeedRate      // zero for no pump
	Tank     quantity.Volume        // zero for none
}

// Input turns the figures into the input of a plan.
func (q Quick) Input(c product.Catalogue) (Input, error) {
	in := Input{FlowSource: "as stated"}
	if q.Flow <= 0 || !quantity.Finite(q.Flow) {
		return in, note.Fault("no-flow", "flow %s is not above zero", q.Flow).Do(`give a flow such as "3.6 m3/h"`)
	}
	hours := q.Hours
	if hours == 0 {
		hours = 24
	}
	if hours < 0 || hours > 24 {
		return in, note.Fault("bad-hours", "%s a day is not above 0 and up to 24 h", hours).Do("give the hours run in one day")
	}
	day, err := flow.Constant(q.Flow, flow.Hours{{From: 0, To: hours}})
	if err != nil {
		return in, err
	}
	in.Day = day
	f := FeedInput{Dose: q.Dose, Low: q.Low, High: q.High, DoseSource: "as stated", Work: 0.25}
	p, known, notes, err := q.product(c)
	in.Notes = append(in.Notes, notes...)
	if err != nil {
		return in, err
	}
	if q.Strength > 0 {
		b := q.Dose.Basis
		if b == quantity.AsProduct {
			b = p.Basis
		}
		if b == quantity.NotStated {
			b = ActiveSubstance
		}
		if known {
			in.Notes = append(in.Notes, product.Slips(p, q.Strength, b, 0)...)
		}
		if p, err = p.WithStrength(q.Strength, b, "as stated"); err != nil {
			return in, err
		}
	} else if known && q.Dose.Basis != quantity.AsProduct {
		in.Notes.Add(fromCatalogue(p.Name, "strength", p.Strength.V.String()+" "+string(p.Basis), p.Strength.Source, p.Strength.Status))
	}
	switch {
	case q.Density > 0:
		if known {
			in.Notes = append(in.Notes, product.Slips(p, 0, "", q.Density)...)
		}
		p.Density = product.Given(q.Density, "as stated")
		if p.Form == product.Dry {
			p.Form = product.Liquid // a density was given: it is fed as a liquid
		}
	case known && p.Form != product.Dry && q.PerLitre == 0:
		in.Notes.Add(fromCatalogue(p.Name, "density", p.Density.V.String(), p.Density.Source, p.Density.Status))
	}
	f.Name, _, _ = strings.Cut(p.Name, " (")
	f.Stock = Stock{Product: p, PerLitre: q.PerLitre}
	if q.PumpMax > 0 {
		f.Pump = &pump.Pump{Calibration: pump.FromNameplate(q.PumpMax)}
	}
	if q.Tank > 0 {
		f.Tank = &Vessel{Name: "the tank", Volume: q.Tank, Usable: 1, Now: q.Tank}
	}
	in.Feeds = []FeedInput{f}
	return in, nil
}

// product finds the product, or makes one of what was stated.
func (q Quick) product(c product.Catalogue) (p product.Product, known bool, notes note.List, err error) {
	if q.Dose.Basis == quantity.NotStated {
		return p, false, nil, note.Fault("basis-missing", "the dose %s has no basis", q.Dose.Concentration).
			Do(`add --basis, such as --basis "as product" or --basis "as alum 14-hydrate"`)
	}
	if q.Chemical != "" {
		p, err = c.Find(q.Chemical)
		if err != nil && q.Strength > 0 && (q.Density > 0 || q.PerLitre > 0) { // a product of the user's own
			return q.own(q.Chemical), false, nil, nil
		}
		return p, err == nil, nil, err
	}
	p, err = c.GuessFor(q.Dose.Basis)
	switch {
	case err == nil:
		notes.Add(note.New(note.Info, "chemical-guessed", "the basis %q is taken to mean %s", q.Dose.Basis, p.Name).Do("name another with --chemical"))
		return p, true, notes, nil
	case q.Density > 0 || q.PerLitre > 0:
		notes.Add(note.New(note.Info, "chemical-not-named", "the chemical is not named: nothing is known of its hazards and of what it does to the water").Do("name it with --chemical"))
		return q.own("the product"), false, notes, nil
	}
	return p, false, nil, err
}

func (q Quick) own(name string) product.Product {
	p := product.Product{Name: name, Form: product.Liquid}
	if q.Density <= 0 {
		p.Form = product.Dry
	}
	if q.Dose.Basis != quantity.AsProduct {
		p.Basis = q.Dose.Basis
	}
	return p
}
