package dosing

import (
	"cmp"
	"errors"
	"slices"

	"jarwright/dosing/clarify"
	"jarwright/dosing/day"
	"jarwright/dosing/gauge"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ChemicalOf gathers what belongs to one chemical of a site apart from its pump
// and its tanks: product, doses by water, strength of the stock.
func ChemicalOf(s site.Site, c site.Chemical, index int, g Given) (FeedInput, note.List, error) {
	f := FeedInput{Name: c.Name.V, At: rowOf(c.At, c.Name.At), StockName: c.Stock.V, Scoop: c.Scoop, PumpName: c.Pump.V}
	f.Jars = g.Jars[index]
	bench, jarTested := g.Bench[index]
	var notes, errs note.List
	if jarTested {
		notes = f.tested(c, bench)
	} else {
		notes, errs = f.stated(s, c)
	}
	p, more, err := ProductOf(c, f.Dose.Basis, g.Catalogue)
	notes = append(notes, more...)
	errs = append(errs, note.Of(err, "product")...)
	f.Stock, f.StockAt = Stock{Product: p, Undiluted: c.Undiluted}, c.Stock.At
	if k, ok := s.Stock(c.Stock.V); c.Stock.OK && ok {
		f.Stock.PerLitre, f.Stock.Density, f.StockAt = k.Product.V, k.Density.V, k.Product.At
		f.Post, f.Stock.Undiluted = k.Post.V, k.Undiluted
	}
	if c.Density.OK && f.Stock.Neat() && p.Form == product.Dry {
		f.Stock.Product.Form = product.Liquid // fed neat and with a density: it is fed as a liquid
	}
	if !jarTested && !c.Dose.OK {
		errs = append(errs, note.Of(f.follow(s, c), "dose")...)
	}
	errs = append(errs, f.byWater(c)...)
	notes = append(notes, f.pastWater(c, s.Water)...)
	return f, notes, errs.Err()
}

// rowOf is the place of a row, or of its name where the row has none.
func rowOf(row, name note.Place) note.Place {
	if row.Cell == "" {
		return name
	}
	return row
}

// tested takes the dose from a bench sheet.
func (f *FeedInput) tested(c site.Chemical, b BenchDose) note.List {
	f.Dose, f.Low, f.High, f.Quantile, f.DoseSource, f.DoseAt = b.Dose, b.Low, b.High, b.Quantile, b.Source, c.Bench.At
	f.Tested, f.Past = true, b.Past
	notes := slices.Clone(b.Notes)
	switch {
	case f.Dose.Basis == quantity.NotStated:
		f.Dose.Basis = c.Basis.V
	case c.Basis.OK && c.Basis.V != f.Dose.Basis:
		notes.Add(note.New(note.Caution, "basis-differs", "%s: the bench sheet counts %s, the site says %s: the bench sheet's is taken",
			f.Name, f.Dose.Basis, c.Basis.V).
			At(c.Basis.At).Do("make the two agree"))
	}
	return notes
}

// stated takes the dose from the row, which may have none.
func (f *FeedInput) stated(s site.Site, c site.Chemical) (notes, errs note.List) {
	f.Dose, f.DoseAt = quantity.Dose{Concentration: c.Dose.V, Basis: c.Basis.V}, c.Dose.At
	if !c.Dose.OK {
		return nil, nil
	}
	f.Low, f.High, f.DoseSource = c.DoseLow.V, c.DoseHigh.V, "dose as stated"
	written := note.Say("the dose %s", c.Dose.V)
	if c.Fed.OK {
		f.DoseSource, f.FedADay = "from what is fed a day", c.Fed
		written = note.Say("%s fed a day, which is %s", c.Fed.V, c.Dose.V)
	}
	if c.Bench.OK {
		judged := "no jars of it could be taken to judge the dose"
		switch {
		case f.Jars == nil:
		case len(differing(f.Jars.beside(s))) > 0:
			judged = "its jars are of other water and cannot judge the dose"
		default:
			judged = "its jars judge the dose"
		}
		notes.Add(note.New(note.Info, "bench-not-read", "%s: the dose is stated, so none is taken from the bench sheet %s; %s", f.Name, c.Bench.V, judged).
			At(c.Bench.At).
			Do("empty the dose to take it from there"))
	}
	wrong := func(end quantity.Known[quantity.Concentration], is string) {
		errs.Add(note.Fault("dose-range", "%s: the "+is+" %s%s", f.Name, end.V, written,
			quantity.TimesOff(float64(end.V), float64(c.Dose.V))).At(end.At).Do("correct one of the two"))
	}
	if c.DoseLow.OK && c.DoseLow.V <= 0 && c.Dose.V > 0 {
		errs.Add(note.Fault("bad-interval", "the low end %s of the dose %s is not above zero", c.DoseLow.V, c.Dose.V).At(c.DoseLow.At).
			Do("give a low end above zero, or none"))
	}
	if c.DoseLow.OK && c.DoseLow.V > c.Dose.V {
		wrong(c.DoseLow, "low end of the dose, %s, is above")
	}
	if c.DoseHigh.OK && c.DoseHigh.V < c.Dose.V {
		wrong(c.DoseHigh, "high end of the dose, %s, is below")
	}
	return notes, errs
}

// follow makes the dose of an alkali that has none follow from the alkalinity
// that is to be left; any other chemical needs a dose.
func (f *FeedInput) follow(s site.Site, c site.Chemical) error {
	e, _, err := day.EffectsOf(f.Stock.Product, f.Name, f.Dose.Basis)
	if f.Stock.Product.Group != product.Alkali || err != nil || e.AlkalinityUse >= 0 && e.Slowly <= 0 {
		return c.Dose.Missing(f.Name+": the dose", `give a dose, such as "12.5 mg/L", or the bench sheet that it comes from`)
	}
	w := s.Water
	if !w.Alkalinity.OK || !w.AlkFloor.OK {
		return note.Fault("alkalinity-missing", "%s has no dose, and it cannot be worked out: the alkalinity of the raw water or the alkalinity to leave is missing", f.Name).
			At(w.AlkFloor.At).Do("give both in the site under Water, or a dose")
	}
	f.Balance = &day.Balance{Raw: w.Alkalinity.V, Keep: w.AlkFloor.V, PerCaCO3: 1 / max(-e.AlkalinityUse, e.Slowly)}
	f.DoseSource = "what keeps " + w.AlkFloor.V.String() + " in the treated water"
	return nil
}

// Chemicals gathers the chemicals of a site, apart from pumps and tanks, with the
// doses worked out that follow from the others.
func Chemicals(s site.Site, g Given) ([]FeedInput, note.List, error) {
	return gathered(s, g, ChemicalOf)
}

func gathered(s site.Site, g Given,
	of func(site.Site, site.Chemical, int, Given) (FeedInput, note.List, error)) ([]FeedInput, note.List, error) {
	var feeds []FeedInput
	var notes, errs note.List
	for i, c := range s.Chemicals {
		c, err := withFed(s, c, g)
		if err != nil {
			errs = append(errs, note.Of(err, "dose")...)
			continue
		}
		f, more, err := of(s, c, i, g)
		if err != nil {
			errs = append(errs, note.Of(err, "chemical")...)
			continue
		}
		notes = append(notes, more...)
		feeds = append(feeds, f)
	}
	Meet(s.Water, feeds)
	doses := dosesIn(feeds, site.UsualWater)
	for i := range feeds {
		if f := &feeds[i]; f.Balance != nil {
			f.Dose = doses[i]
			notes.Add(note.New(note.Info, "alkali-worked-out", "the dose of %s is what keeps %s in the treated water", f.Name,
				f.Balance.Keep))
			if f.Dose.Concentration == 0 { // which stands in the list, and not for nothing
				notes.Add(note.New(note.Caution, "alkali-idle", "no %s is fed in usual water: of an alkalinity of %s enough is left without it", f.Name,
					f.Balance.Raw).At(s.Water.Alkalinity.At).Do("look at the alkalinity of the raw water and its decimal point, and at the alkalinity to leave"))
			}
		}
	}
	return feeds, notes, errs.Err()
}

// withFed gives the row the dose that follows from a mass fed a day: that mass over the
// water of the usual day.
func withFed(s site.Site, c site.Chemical, g Given) (site.Chemical, error) {
	switch {
	case c.Hand.OK && !c.Dose.OK:
		return c, note.Fault("dose-by-hand", "%s: %q is a dose of a pond that is treated by hand, and this water flows", c.Name.V, c.Written).At(c.Hand.At).
			Do(`give mass per volume, such as "12.5 mg/L"; for standing water write "standing" under water passes, and its size under Ponds`)
	case !c.Fed.OK:
		return c, nil
	case c.Dose.OK:
		return c, note.Fault("dose-twice", "%s: the dose is given, and %s fed a day", c.Name.V, c.Fed.V).At(c.Fed.At).Do("leave one of them out")
	}
	day, _, err := DayOf(s.Flow, g.Log)
	if err != nil || day.Volume() <= 0 {
		return c, err
	}
	dose := quantity.Concentration(float64(c.Fed.V) * 1e6 / float64(g.Usual.Or(day.Volume())))
	c.Dose = quantity.Known[quantity.Concentration]{V: dose, OK: true, At: c.Fed.At}
	return c, nil
}

// dosesIn lists the doses in water of a class, those worked out that follow from the others.
func dosesIn(feeds []FeedInput, class string) []quantity.Dose {
	var out []quantity.Dose
	for i, d := range (Running{Feeds: feeds}).Record(class).Doses() {
		out = append(out, quantity.Dose{Concentration: d, Basis: feeds[i].Dose.Basis})
	}
	return out
}

// byWater takes over the doses that a row states for clear and storm water and for
// a tank being cleaned up. They count what the row's basis says; a dose from a bench
// sheet may count something else, and they are then converted.
func (f *FeedInput) byWater(c site.Chemical) (errs note.List) {
	f.Clear, f.Storm = c.Clear, c.Storm
	for _, own := range []*quantity.Known[quantity.Concentration]{&f.Clear, &f.Storm} {
		if own.OK {
			d, err := f.counted(c, own.V)
			errs = append(errs, at(note.Of(err, "dose"), own.At)...)
			own.V = d
		}
	}
	if c.ByTurbidity.OK {
		if rule, err := f.cleaning(c, jartest.Turbidity, gauge.Gauges{}); err == nil { // else it is told where a tank is cleaned up
			f.Cleaning, f.CleaningKey = rule.Steps(), jartest.Turbidity
			if _, f.CleaningCurve = rule.Tested(); f.CleaningCurve {
				f.Cleaning = rule.Points()
			}
		}
	}
	return errs
}

// cleaning is the rule by which a row doses a tank that is cleaned up, on the
// basis of the feed's dose; that dose throughout where it gives no other.
func (f FeedInput) cleaning(c site.Chemical, key jartest.Key, gauges gauge.Gauges) (clarify.Rule, error) {
	if !c.ByTurbidity.OK {
		return clarify.Always(f.Dose.Concentration), nil
	}
	rule, err := clarify.ParseRule(c.ByTurbidity.V, key, gauges, c.Between.Or(true))
	if err != nil {
		return rule, err
	}
	one, err := f.counted(c, 1)
	return rule.Times(float64(one)), err
}

// counted turns a dose on the basis of the row into one on the basis of the feed's dose.
func (f FeedInput) counted(c site.Chemical, d quantity.Concentration) (quantity.Concentration, error) {
	if !c.Basis.OK || c.Basis.V == f.Dose.Basis {
		return d, nil
	}
	x, err := product.Convert(quantity.Dose{Concentration: d, Basis: c.Basis.V}, f.Stock.Product, f.Dose.Basis)
	return x.Concentration, err
}

// ProductOf gives the product of a row of Chemicals: the catalogue's with the
// label's figures put in, or one of the user's own.
func ProductOf(c site.Chemical, dose quantity.Basis, catalogue product.Catalogue) (product.Product, note.List, error) {
	var notes note.List
	p, err := Labelled(c, dose, catalogue)
	known := err == nil
	switch {
	case doubtful(err):
		return p, nil, note.Of(err, "product")[0].At(cmp.Or(c.Product.At, c.Name.At))
	case known && !c.Product.OK:
		notes.Add(note.New(note.Info, "product-by-name", "%s is taken to be %s of the catalogue", c.Name.V, p.ID).
			At(c.Name.At).Do("name the product if it is another"))
	case !known && c.Product.OK:
		return p, nil, note.Of(err, "product")[0].At(c.Product.At)
	case !known:
		p = ownProduct(c, dose, catalogue)
	}
	slips := func(share quantity.Fraction, b quantity.Basis, d quantity.Density, cell note.Place) {
		if known {
			notes = append(notes, at(product.Slips(p, share, b, d), cell)...)
		}
	}
	switch {
	case c.Strength.OK:
		b := counting(c.Counts.V, dose, p.Basis)
		slips(c.Strength.V, b, 0, c.Strength.At)
		if p, err = p.WithStrength(c.Strength.V, cmp.Or(b, ActiveSubstance), "as stated"); err != nil {
			return p, notes, note.Of(err, "strength")[0].At(c.Strength.At)
		}
	case known && dose != quantity.AsProduct:
		notes.Add(fromCatalogue(c.Name.V, "strength", note.Say("%s %s", p.Strength.V, p.Basis), p.Strength).
			At(c.Strength.At))
	}
	switch {
	case c.Density.OK:
		slips(0, "", c.Density.V, c.Density.At)
		p.Density = product.Given(c.Density.V, "as stated")
	case known && p.Form != product.Dry:
		d := fromCatalogue(c.Name.V, "density", note.Say("%s", p.Density.V), p.Density).At(c.Density.At)
		if i := slices.IndexFunc(notes, func(n note.Note) bool { return n.Code == "catalogue-strength" && n.Level >= note.Caution }); i >= 0 && p.Density.Status == product.Memory {
			notes[i] = note.New(note.Caution, "catalogue-strength", "%s: strength %s %s and density %s are the catalogue's, not your drum's", c.Name.V, p.Strength.V, p.Basis, p.Density.V).
				Do("take both from the label or certificate").From(notes[i].Source).At(c.Strength.At)
		} else {
			notes.Add(d)
		}
	}
	if c.Basicity.OK {
		p.Basicity = product.Given(c.Basicity.V, "as stated")
	}
	if c.Takes.OK {
		p.Takes, p.TakesOn = product.Given(quantity.Fraction(c.Takes.V), "as stated"), dose
	}
	return p, notes, nil
}

// Labelled finds the product that a row names: where several go by that name, by its label.
func Labelled(c site.Chemical, dose quantity.Basis, catalogue product.Catalogue) (product.Product, error) {
	return catalogue.Labelled(c.Product.Or(c.Name.V), c.Strength, counting(c.Counts.V, dose), c.Density)
}

// doubtful reports that a name is that of several products, and nothing says which.
func doubtful(err error) bool {
	var n note.Note
	return errors.As(err, &n) && n.Code == "chemical-doubtful"
}

// ownProduct is one of the user's own: a liquid where its density is known, a
// polymer where its charge is, by the row or in its name, and what its basis says where that names one substance.
func ownProduct(c site.Chemical, dose quantity.Basis, catalogue product.Catalogue) product.Product {
	p := product.Product{ID: c.Name.V, Name: c.Name.V, Form: product.Dry, Basis: counting(c.Counts.V, dose)}
	if c.Density.OK {
		p.Form = product.Liquid
	}
	if of, err := catalogue.GuessFor(p.Basis); err == nil && !slices.Contains(ofMetals, p.Basis) {
		p.Group, p.Acid, p.Basicity, p.Anion = of.Group, of.Acid, of.Basicity, of.Anion
		p.Hazard, p.Protection, p.Apart = of.Hazard, of.Protection, of.Apart // of the substance, whatever the drum calls it
	}
	if charge := c.Charge.Or(product.ChargeIn(c.Name.V)); charge != "" {
		p.Group, p.Charge = product.Polymer, product.Charge(charge)
		p.Acid = product.Given(product.Equivalents(0), "polymers as sold take next to no alkalinity (common practice, no source)")
	}
	return p
}

// ofMetals count a metal and leave open with how much acid.
var ofMetals = []quantity.Basis{quantity.AsAl, quantity.AsAl2O3, quantity.AsFe, quantity.AsFe2O3}

// counting is the first basis that names a substance; not stated where none does.
func counting(bases ...quantity.Basis) quantity.Basis {
	for _, b := range bases {
		if b != quantity.NotStated && b != quantity.AsProduct {
			return b
		}
	}
	return quantity.NotStated
}

// narrow is how far what the trade sells may lie from the catalogue's figure and be no more than doses and
// pumps are good for anyway (common practice, no source).
const narrow = 0.05

func fromCatalogue[T ~float64](name, what string, value note.Phrase, f product.Figure[T]) note.Note {
	src, st := f.Source, f.Status
	level := note.Info
	if st == product.Memory && !(f.Low > 0 && f.High > 0 && float64(max(f.High-f.V, f.V-f.Low)/f.V) <= narrow) {
		level = note.Caution
	}
	return note.New(level, "catalogue-"+what, "%s: %s %s is the catalogue's, not your drum's", name, what, value).
		Do("take it from the label or certificate").From(source(src, st))
}
