package dosing

import (
	"jarwright/dosing/phosphorus"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// PhosphorusDay is what the day's metal does to the phosphorus of the water, all as P.
type PhosphorusDay struct {
	// Soluble and Total are those of the raw water, Left and LeftTotal those of the treated; a total is
	// known where the site gives it.
	Soluble, Left    quantity.Concentration
	Total, LeftTotal quantity.Known[quantity.Concentration]
	// Metals are moles of metal for each mole of soluble phosphorus, zero where nothing was worked out.
	// Removal is the share of it taken out, FromJars as
	// the jars of the dose had it, else as the ratio lets expect.
	Metals   float64
	Removal  quantity.Fraction
	FromJars bool
	// Source is where the ratios needed come from.
	Source string
	// Before and After are the load of the day, of the total where it is known.
	Before, After quantity.MassRate
	Consent       quantity.Known[quantity.Concentration]
	ConsentLoad   quantity.Known[quantity.MassRate]
	Notes         note.List
}

// Discharged is the phosphorus of the treated water, total where it is known.
func (d PhosphorusDay) Discharged() quantity.Concentration { return d.LeftTotal.Or(d.Left) }

// metalIn is the metal of a dose in mmol/L; none for what has no metal, or where it is not known.
func (f FeedInput) metalIn(d quantity.Dose) (symbol string, amount quantity.Molarity) {
	symbol = f.Stock.Product.Metal()
	as, ok := map[string]quantity.Basis{"Al": quantity.AsAl, "Fe": quantity.AsFe}[symbol]
	x, err := product.Convert(d, f.Stock.Product, as)
	if !ok || err != nil {
		return "", 0
	}
	return symbol, quantity.Molarity(float64(x.Concentration) / quantity.AtomicMass[symbol])
}

// Meet shares the water's soluble phosphorus among the feeds by the metal of their usual doses.
func Meet(p quantity.Known[quantity.Concentration], feeds []FeedInput) {
	all := quantity.Molarity(0)
	for _, f := range feeds {
		_, m := f.metalIn(f.Dose)
		all += m
	}
	for i := range feeds {
		if _, m := feeds[i].metalIn(feeds[i].Dose); m > 0 && p.OK {
			feeds[i].Phosphate = quantity.Known[quantity.Concentration]{V: p.V * quantity.Concentration(m/all), OK: true, At: p.At}
		}
	}
}

// phosphateTaken is the share of the soluble phosphorus that a dose takes out of what its metal meets: as the jars
// read it, else as the ratio of metal to it lets expect.
func (f FeedInput) phosphateTaken(d quantity.Dose) (share quantity.Fraction, fromJars bool) {
	if f.Jars != nil && !f.Jars.Other.OK {
		on := d
		if b := f.Jars.Basis(); b != quantity.NotStated && b != d.Basis {
			on, _ = product.Convert(d, f.Stock.Product, b) // of the same metal, or no jar has it
		}
		raw, told := f.Jars.Series.RawReading(jartest.Phosphate)
		if r, ok := f.Jars.Reading(jartest.Phosphate, on.Concentration); ok && told && raw > 0 {
			return quantity.Fraction(max(0, 1-r.V/raw)), true
		}
	}
	_, m := f.metalIn(d)
	ratio, _ := phosphorus.Ratio(m, f.Phosphate.V)
	return phosphorus.Expected(ratio), false
}

// Phosphates is the metal of a dose that phosphate takes, and what the two make, per mass of dose.
func (f FeedInput) Phosphates(d quantity.Dose) (bound, made quantity.Ratio) {
	symbol, m := f.metalIn(d)
	if !f.Phosphate.OK || m <= 0 {
		return 0, 0
	}
	share, _ := f.phosphateTaken(d)
	b, p := phosphorus.Solids(symbol, m, f.Phosphate.V*quantity.Concentration(share))
	return quantity.Ratio(b / d.Concentration), quantity.Ratio(p / d.Concentration)
}

// unchecked tells of a consent that cannot be checked; nil where there is none.
func (d PhosphorusDay) unchecked(w site.Water) *PhosphorusDay {
	at := d.Consent.At
	if !d.Consent.OK {
		at = d.ConsentLoad.At
	}
	why, do := "no metal is dosed that would take it out", "give the coagulant under Chemicals"
	if !w.Phosphate.OK {
		why, do = "the raw water's phosphate is not given", "give the phosphate of the raw water"
	}
	if !d.Consent.OK && !d.ConsentLoad.OK {
		return nil
	}
	d.Notes.Add(note.New(note.Info, "phosphorus-not-checked", "the consent for phosphorus is not checked: %s", why).At(at).Do("%s", do))
	return &d
}

// Phosphorus works out the day's phosphorus; nil where the raw water's is not known or no metal is dosed, and its
// notes alone where a consent then cannot be checked.
func (p Plan) Phosphorus(s site.Site) *PhosphorusDay {
	w := s.Water
	out := &PhosphorusDay{Soluble: w.Phosphate.V, Total: w.TotalP, Consent: w.ConsentP, ConsentLoad: w.ConsentPLoad}
	all, met := quantity.Molarity(0), quantity.Concentration(0)
	for _, f := range p.Feeds {
		symbol, m := f.metalIn(f.Dose)
		if !f.Phosphate.OK || m <= 0 {
			continue
		}
		share, jars := f.phosphateTaken(f.Dose)
		out.Removal += share * quantity.Fraction(f.Phosphate.V/w.Phosphate.V)
		all, met, out.FromJars, out.Source = all+m, met+f.Phosphate.V, jars, phosphorus.Source(symbol)
	}
	if met <= 0 {
		return out.unchecked(w)
	}
	out.Metals, _ = phosphorus.Ratio(all, w.Phosphate.V)
	out.Left = w.Phosphate.V * quantity.Concentration(1-out.Removal)
	before := w.Phosphate.V
	if w.TotalP.OK {
		caught := s.Solids.Capture.Or(1)
		out.LeftTotal = quantity.Some(out.Left + max(0, w.TotalP.V-w.Phosphate.V)*quantity.Concentration(1-caught))
		before = w.TotalP.V
	}
	load := func(c quantity.Concentration) quantity.MassRate {
		return quantity.MassRate(solids.MassOf(c, p.Treated))
	}
	out.Before, out.After = load(before), load(out.Discharged())
	if out.Consent.OK && out.Discharged() > out.Consent.V {
		out.Notes.Add(note.New(note.Caution, "consent-phosphorus", "phosphorus of %s after dosing is above the discharge consent of %s",
			quantity.Full(out.Discharged(), 3), quantity.Full(out.Consent.V, 3)).At(out.Consent.At).
			Do("dose more metal, catch more floc, or hold the water back"))
	}
	if out.ConsentLoad.OK && out.After > out.ConsentLoad.V {
		out.Notes.Add(note.New(note.Caution, "consent-phosphorus-load", "%s of phosphorus leave with the treated water, above the consent of %s",
			quantity.Full(out.After, 3), quantity.Full(out.ConsentLoad.V, 3)).At(out.ConsentLoad.At).
			Do("dose more metal, catch more floc, or treat less water"))
	}
	return out
}
