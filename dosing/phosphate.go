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
	// known where the site gives it or the jars read it. Where the site gives it alone, OnTotal, it stands for what is soluble too.
	Soluble, Left    quantity.Concentration
	OnTotal          bool
	Total, LeftTotal quantity.Known[quantity.Concentration]
	// Read is what the jars beside the dose have of LeftTotal, where they read it: they go before what is worked out.
	Read quantity.Known[PhosphorusRead]
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
	// Allowed is the load that Consent allows the day's water. Asked is what the stricter consent needs by the table,
	// counted on the total where it is known, with the dose of the only metal.
	Allowed quantity.Known[quantity.MassRate]
	Asked   quantity.Known[PhosphorusAsked]
	Notes   note.List
}

// PhosphorusRead is what jars on either side of a dose read of total phosphorus, as the site's raw water would have it.
type PhosphorusRead struct {
	Low, High quantity.Concentration
	Series    string
}

// PhosphorusAsked is a removal with the ratio that it needs, zero beyond the table, and the dose that has it.
type PhosphorusAsked struct {
	phosphorus.Need
	Dose quantity.Known[quantity.Dose]
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

// metBy is the phosphorus that metal meets: what is soluble, which the usual ratios count, else all of it.
func metBy(w site.Water) (p quantity.Known[quantity.Concentration], onTotal bool) {
	if w.Phosphate.OK || !w.TotalP.OK {
		return w.Phosphate, false
	}
	return w.TotalP, true
}

// Meet shares the water's phosphorus among the feeds by the metal of their usual doses.
func Meet(w site.Water, feeds []FeedInput) {
	p, onTotal := metBy(w)
	all := quantity.Molarity(0)
	for _, f := range feeds {
		_, m := f.metalIn(f.Dose)
		all += m
	}
	for i := range feeds {
		if _, m := feeds[i].metalIn(feeds[i].Dose); m > 0 && p.OK {
			feeds[i].Phosphate = quantity.Known[quantity.Concentration]{V: p.V * quantity.Concentration(m/all), OK: true, At: p.At}
			feeds[i].OnTotal = onTotal
		}
	}
}

// leftInJars is the share of a kind of phosphorus that the jars read at a dose, of what their raw water had; false where they
// did not read it, or another chemical differs between them.
func (f FeedInput) leftInJars(k jartest.Key, d quantity.Dose) (left JarReading, ok bool) {
	if f.Jars == nil || f.Jars.Other.OK {
		return left, false
	}
	on := d
	if b := f.Jars.Basis(); b != quantity.NotStated && b != d.Basis {
		on, _ = product.Convert(d, f.Stock.Product, b) // of the same metal, or no jar has it
	}
	raw, told := f.Jars.Series.RawReading(k)
	left, ok = f.Jars.Reading(k, on.Concentration)
	if !ok || !told || raw <= 0 {
		return left, false
	}
	left.V, left.Low, left.High = left.V/raw, left.Low/raw, left.High/raw
	return left, true
}

// phosphateTaken is the share of the phosphorus that a dose takes out of what its metal meets: as the jars
// read it, else as the ratio of metal to it lets expect.
func (f FeedInput) phosphateTaken(d quantity.Dose) (share quantity.Fraction, fromJars bool) {
	key := jartest.Phosphate
	if f.OnTotal {
		key = jartest.TotalPhosphorus
	}
	if left, ok := f.leftInJars(key, d); ok {
		return quantity.Fraction(max(0, 1-left.V)), true
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
	if met, _ := metBy(w); !met.OK {
		why, do = "the raw water's phosphorus is not given", "give the phosphate of the raw water, or its total phosphorus"
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
	raw, onTotal := metBy(w)
	out := &PhosphorusDay{Soluble: raw.V, OnTotal: onTotal, Total: w.TotalP, Consent: w.ConsentP, ConsentLoad: w.ConsentPLoad}
	all, met := quantity.Molarity(0), quantity.Concentration(0)
	for _, f := range p.Feeds {
		symbol, m := f.metalIn(f.Dose)
		if !f.Phosphate.OK || m <= 0 {
			continue
		}
		share, jars := f.phosphateTaken(f.Dose)
		out.Removal += share * quantity.Fraction(f.Phosphate.V/raw.V)
		all, met, out.FromJars, out.Source = all+m, met+f.Phosphate.V, jars, phosphorus.Source(symbol)
	}
	if met <= 0 {
		return out.unchecked(w)
	}
	out.Metals, _ = phosphorus.Ratio(all, raw.V)
	out.Left = raw.V * quantity.Concentration(1-out.Removal)
	if out.Total.OK {
		caught := s.Solids.Capture.Or(1)
		out.LeftTotal = quantity.Some(out.Left + max(0, w.TotalP.V-raw.V)*quantity.Concentration(1-caught))
	}
	only := p.onlyMetal()
	if only != nil {
		out.readTotal(*only)
	}
	before := out.Total.Or(raw.V)
	load := func(c quantity.Concentration) quantity.MassRate {
		return quantity.MassRate(solids.MassOf(c, p.Treated))
	}
	out.Before, out.After = load(before), load(out.Discharged())
	p.asked(out, before, all)
	if out.Consent.OK && out.Discharged() > out.Consent.V {
		out.Notes.Add(note.New(note.Caution, "consent-phosphorus", "phosphorus of %s after dosing is above the discharge consent of %s",
			quantity.Full(out.Discharged(), 3), quantity.Full(out.Consent.V, 3)).At(out.Consent.At).
			Do("dose more metal%s, catch more floc, or hold the water back", out.more(only, out.Consent.V)))
	}
	if out.ConsentLoad.OK && out.After > out.ConsentLoad.V {
		out.Notes.Add(note.New(note.Caution, "consent-phosphorus-load", "%s of phosphorus leave with the treated water, above the consent of %s",
			quantity.Full(out.After, 3), quantity.Full(out.ConsentLoad.V, 3)).At(out.ConsentLoad.At).
			Do("dose more metal%s, catch more floc, or treat less water",
				out.more(only, out.Discharged()*quantity.Concentration(out.ConsentLoad.V/out.After))))
	}
	return out
}

// more says how much of the only metal leaves so little total phosphorus, as the jars above its dose read it; nothing where they do not.
func (d PhosphorusDay) more(only *Feed, most quantity.Concentration) (p note.Phrase) {
	if only == nil || !d.Read.OK {
		return p
	}
	dose := only.Dose
	if b := only.Jars.Basis(); b != dose.Basis && b != quantity.NotStated {
		return p
	}
	_, top := only.Jars.Tested()
	const steps = 500
	for i := range steps {
		at := quantity.Dose{Concentration: dose.Concentration + (top-dose.Concentration)*quantity.Concentration(i+1)/steps, Basis: dose.Basis}
		if left, ok := only.leftInJars(jartest.TotalPhosphorus, at); ok && top > dose.Concentration && d.Total.V*quantity.Concentration(left.V) <= most {
			return note.Say(", as the jars have it some %s %s for %s", quantity.To(at.Concentration, 3), at.Basis, quantity.Full(most, 2))
		}
	}
	return p
}

// onlyMetal is the feed whose metal meets the phosphorus; nil where several do.
func (p Plan) onlyMetal() (only *Feed) {
	for i := range p.Feeds {
		if _, m := p.Feeds[i].metalIn(p.Feeds[i].Dose); m > 0 {
			if only != nil {
				return nil
			}
			only = &p.Feeds[i]
		}
	}
	return only
}

// readTotal puts what the jars of a metal read of total phosphorus before what was worked out.
func (d *PhosphorusDay) readTotal(f Feed) {
	left, ok := f.leftInJars(jartest.TotalPhosphorus, f.Dose)
	if !ok {
		return
	}
	raw, _ := f.Jars.Series.RawReading(jartest.TotalPhosphorus)
	if !d.Total.OK {
		d.Total = quantity.Some(quantity.Concentration(raw))
	}
	of := func(share float64) quantity.Concentration { return d.Total.V * quantity.Concentration(share) }
	d.LeftTotal = quantity.Some(of(left.V))
	d.Read = quantity.Some(PhosphorusRead{of(left.Low), of(left.High), f.Jars.Series.Name})
}

// asked works out what the consents ask of the raw water's phosphorus, which all metal meets.
func (p Plan) asked(out *PhosphorusDay, before quantity.Concentration, all quantity.Molarity) {
	most := before
	if out.Consent.OK {
		out.Allowed = quantity.Some(quantity.MassRate(solids.MassOf(out.Consent.V, p.Treated)))
		most = min(most, out.Consent.V)
	}
	if out.ConsentLoad.OK && out.Before > 0 {
		most = min(most, before*quantity.Concentration(out.ConsentLoad.V/out.Before))
	}
	if most >= before {
		return
	}
	a := PhosphorusAsked{}
	a.Removal = quantity.Fraction(1 - most/before)
	a.Ratio, _ = phosphorus.RatioFor(a.Removal)
	if only := p.onlyMetal(); only != nil && a.Ratio > 0 {
		has, _ := phosphorus.Ratio(all, before)
		a.Dose = quantity.Some(quantity.Dose{Concentration: only.Dose.Concentration * quantity.Concentration(a.Ratio/has),
			Basis: only.Dose.Basis})
	}
	out.Asked = quantity.Some(a)
}
