package dosing

import (
	"math"
	"strings"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Given is what the site only points at: doses from bench sheets, the meter log.
type Given struct {
	Catalogue product.Catalogue
	// Bench has the dose of each chemical that names a bench sheet, by its index.
	Bench map[int]BenchDose
	Log   *flow.Log
}

// BenchDose is a dose that a jar test gave.
type BenchDose struct {
	Dose      quantity.Dose
	Low, High quantity.Concentration // zero where open
	// Quantile gives the lowest effective dose that is exceeded with chance 1 − p,
	// false where it lies beyond the tested doses; nil where it is not known.
	Quantile func(p float64) (quantity.Concentration, bool)
	Source   string
	Notes    note.List
}

// FromSite turns a site into the input of a plan. Every fault names its cell.
func FromSite(s site.Site, g Given) (Input, error) {
	in := Input{Site: s.Place.Name.V, Start: s.Flow.Start.Or(0)}
	in.Notes = append(in.Notes, s.Notes...)
	var errs note.List
	if s.Place.Examples.OK && s.Place.Examples.V {
		in.Notes.Add(note.New(note.Caution, "example-values", "the site still says that it holds example values").At(s.Place.Examples.At).
			Do(`put your own figures in, then change this to "no"`))
	}
	if s.Place.From.OK != s.Place.Till.OK {
		missing := s.Place.From
		if missing.OK {
			missing = s.Place.Till
		}
		errs.Add(missing.Missing("the other end of the staffed time", "give both times, or none"))
	}
	day, source, err := DayOf(s.Flow, g.Log)
	errs = append(errs, note.Of(err, "flow")...)
	in.Day, in.FlowSource, in.FlowAt, in.FlowRange = day, source, s.Flow.Average.At, s.Flow.Range.V
	if g.Log != nil {
		for _, n := range g.Log.Notes {
			if n.Level != note.Error {
				in.Notes.Add(n)
			}
		}
	}
	if len(s.Chemicals) == 0 {
		errs.Add(note.Fault("no-chemical", "no chemical is described").At(note.Place{File: s.File, Sheet: "Chemicals"}).Do("fill in one row a chemical"))
	}
	for i, c := range s.Chemicals {
		f, notes, err := feedOf(s, c, i, g)
		if err != nil {
			errs = append(errs, note.Of(err, "chemical")...)
			continue
		}
		in.Notes = append(in.Notes, notes...)
		in.Feeds = append(in.Feeds, f)
	}
	if err := errs.Err(); err != nil {
		return in, err
	}
	return in, nil
}

// HoursOf gives the operating hours of a site.
func HoursOf(f site.Flow) flow.Hours {
	if !f.Hours.OK || f.Hours.V >= 24 {
		return nil
	}
	from := f.Start.Or(0)
	if from >= 24 {
		from -= 24
	}
	to := from + f.Hours.V
	if to <= 24 {
		return flow.Hours{{From: from, To: to}}
	}
	return flow.Hours{{From: 0, To: to - 24}, {From: from, To: 24}}
}

// DayOf gives the day's flow of a site and says where it comes from: the meter
// log if there is one, else the hours, else the average.
func DayOf(f site.Flow, log *flow.Log) (flow.Day, string, error) {
	hours := HoursOf(f)
	var day flow.Day
	var err error
	source := ""
	switch {
	case log != nil:
		source = "average day of the meter log"
		day, err = log.Day(hours)
	case f.HasHours():
		source = "flow by hour"
		var steps []flow.Step
		for h, v := range f.ByHour {
			if v.OK {
				steps = append(steps, flow.Step{From: quantity.Time(h), Flow: v.V, At: v.At})
			}
		}
		day, err = flow.ByHour(steps, hours)
	case f.Average.OK:
		source = "average flow as stated"
		day, err = flow.Constant(f.Average.V, hours)
	default:
		return day, "", f.Average.Missing("the flow", `give an average flow, such as "3.6 m3/h", the flow by hour, or a meter log`)
	}
	if err != nil {
		l := note.Of(err, "flow")
		for i := range l {
			if l[i].Place == (note.Place{}) {
				l[i].Place = f.Average.At
			}
		}
		return day, source, l
	}
	for _, end := range []struct {
		v    quantity.Known[quantity.Flow]
		bad  bool
		what string
	}{
		{f.Least, f.Least.OK && f.Least.V > day.Average(), "least flow %s is above"},
		{f.Peak, f.Peak.OK && f.Peak.V < day.Average(), "peak flow %s is below"},
	} {
		if end.bad {
			return day, source, note.Fault("flow-range", end.what+" the average of %s", end.v.V, day.Average()).At(end.v.At).Do("correct one of the two")
		}
	}
	return day.WithRange(f.Least.V, f.Peak.V), source, nil
}

// feedOf gathers what belongs to one chemical.
func feedOf(s site.Site, c site.Chemical, index int, g Given) (FeedInput, note.List, error) {
	f := FeedInput{Name: c.Name.V, At: c.At, StockName: c.Stock.V, PumpName: c.Pump.V}
	if f.At.Cell == "" {
		f.At = c.Name.At
	}
	var notes note.List
	var errs note.List
	switch b, ok := g.Bench[index]; {
	case ok:
		f.Dose, f.Low, f.High, f.DoseSource, f.DoseAt = b.Dose, b.Low, b.High, b.Source, c.Bench.At
		notes = append(notes, b.Notes...)
		switch {
		case f.Dose.Basis == quantity.NotStated:
			f.Dose.Basis = c.Basis.V
		case c.Basis.OK && c.Basis.V != f.Dose.Basis:
			notes.Add(note.New(note.Caution, "basis-differs", "%s: the bench sheet counts %s, the site says %s: the bench sheet's is taken", f.Name, f.Dose.Basis, c.Basis.V).
				At(c.Basis.At).Do("make the two agree"))
		}
	case c.Dose.OK:
		if c.Bench.OK {
			notes.Add(note.New(note.Info, "bench-not-read", "%s: the dose is stated, so the bench sheet %s is not read", f.Name, c.Bench.V).At(c.Bench.At).Do("empty the dose to take it from there"))
		}
		f.Dose = quantity.Dose{Concentration: c.Dose.V, Basis: c.Basis.V}
		f.Low, f.High, f.DoseSource, f.DoseAt = c.DoseLow.V, c.DoseHigh.V, "dose as stated", c.Dose.At
		if c.DoseLow.OK && c.DoseLow.V > c.Dose.V {
			errs.Add(note.Fault("dose-range", "%s: the low end of the dose, %s, is above the dose %s", f.Name, c.DoseLow.V, c.Dose.V).At(c.DoseLow.At).Do("correct one of the two"))
		}
		if c.DoseHigh.OK && c.DoseHigh.V < c.Dose.V {
			errs.Add(note.Fault("dose-range", "%s: the high end of the dose, %s, is below the dose %s", f.Name, c.DoseHigh.V, c.Dose.V).At(c.DoseHigh.At).Do("correct one of the two"))
		}
	default:
		errs.Add(c.Dose.Missing(f.Name+": the dose", `give a dose, such as "12.5 mg/L", or the bench sheet that it comes from`))
	}
	p, more, err := ProductOf(c, f.Dose.Basis, g.Catalogue)
	notes = append(notes, more...)
	errs = append(errs, note.Of(err, "product")...)
	f.Stock = Stock{Product: p}
	f.byWater(c)
	f.StockAt = c.Stock.At
	if k, ok := s.Stock(c.Stock.V); c.Stock.OK && ok {
		errs = append(errs, f.stocked(s, k)...)
	}
	if c.Density.OK && f.Stock.PerLitre == 0 && p.Form == product.Dry {
		f.Stock.Product.Form = product.Liquid // fed neat and with a density: it is fed as a liquid
	}
	if pp, ok := s.Pump(c.Pump.V); c.Pump.OK && ok {
		made, err := PumpOf(pp, s.Readings(pp.Name.V))
		errs = append(errs, note.Of(err, "pump")...)
		f.Pump, f.PumpAt, f.Follows = made, pp.Max.At, pp.Signal.V
		f.Heads = heads(pp.Heads.V)
	}
	return f, notes, errs.Err()
}

// byWater takes over the doses that a row states for storm water and for a tank
// being cleaned up. They count what the row's basis says; a dose from a bench
// sheet may count something else, and they are then converted.
func (f *FeedInput) byWater(c site.Chemical) {
	convert := func(d quantity.Concentration) (quantity.Concentration, bool) {
		if !c.Basis.OK || c.Basis.V == f.Dose.Basis {
			return d, true
		}
		x, err := product.Convert(quantity.Dose{Concentration: d, Basis: c.Basis.V}, f.Stock.Product, f.Dose.Basis)
		return x.Concentration, err == nil
	}
	if d, ok := convert(c.Storm.V); ok && c.Storm.OK {
		f.Storm = d
	}
	if !c.ByTurbidity.OK || c.Between.V {
		return
	}
	rule, err := clarify.ParseRule(c.ByTurbidity.V, jartest.Turbidity, false)
	if err != nil { // told where a tank is cleaned up
		return
	}
	for _, s := range rule.Steps() {
		d, ok := convert(s.Dose)
		if !ok {
			f.Cleaning = nil
			return
		}
		f.Cleaning, f.CleaningKey = append(f.Cleaning, clarify.Step{Reading: s.Reading, Dose: d}), jartest.Turbidity
	}
}

// stocked takes over what a row of Stocks says.
func (f *FeedInput) stocked(s site.Site, k site.Stock) note.List {
	var errs note.List
	f.Stock.PerLitre, f.Stock.Density = k.Product.V, k.Density.V
	f.StockAt = k.Product.At
	f.Ageing, f.HasAgeing = k.Ageing.V, k.Ageing.OK
	f.Life, f.HasLife, f.LifeAt = k.Life.V, k.Life.OK, k.Life.At
	f.Batch, f.BatchAt = k.Batch.V, k.Batch.At
	f.Work = k.Mixing.Or(0.25)
	f.Post = k.Post.V
	f.From, f.Till, f.StaffAt = k.From.V, k.Till.V, k.From.At
	if !k.From.OK && !k.Till.OK {
		f.From, f.Till, f.StaffAt = s.Place.From.V, s.Place.Till.V, s.Place.From.At
	}
	if k.From.OK != k.Till.OK {
		missing := k.From
		if k.From.OK {
			missing = k.Till
		}
		errs.Add(missing.Missing("the other end of the staffed time", "give both times, or none"))
	}
	if k.WaterMax.OK {
		f.MakeWater = &k.WaterMax.V
	}
	if t, ok := s.Tank(k.Tank.V); k.Tank.OK && ok {
		f.Tank = vessel(t, true)
	}
	if t, ok := s.Tank(k.MixTank.V); k.MixTank.OK && ok {
		f.Mix = vessel(t, false)
	}
	return errs
}

func vessel(t site.Tank, full bool) *Vessel {
	v := &Vessel{Name: t.Name.V, Volume: t.Volume.V, Usable: t.Usable.Or(0.9), At: t.Volume.At}
	if full {
		v.Now = t.Now.Or(v.Holds())
	}
	return v
}

// ProductOf gives the product of a row of Chemicals: the catalogue's with the
// label's figures put in, or one of the user's own.
func ProductOf(c site.Chemical, dose quantity.Basis, catalogue product.Catalogue) (product.Product, note.List, error) {
	var notes note.List
	id := c.Product
	if !id.OK {
		id = c.Name
	}
	p, err := catalogue.Find(id.V)
	known := err == nil
	if !known {
		if c.Product.OK {
			return p, nil, note.Of(err, "product")[0].At(c.Product.At)
		}
		p = product.Product{ID: c.Name.V, Name: c.Name.V, Form: product.Dry}
		if c.Density.OK {
			p.Form = product.Liquid
		}
		for _, b := range []quantity.Basis{c.Counts.V, dose} {
			if p.Basis == quantity.NotStated && b != quantity.AsProduct {
				p.Basis = b
			}
		}
		if c.Charge.OK {
			p.Group, p.Charge = product.Polymer, product.Charge(c.Charge.V)
		}
	} else if !c.Product.OK {
		notes.Add(note.New(note.Info, "product-by-name", "%s is taken to be %s of the catalogue", c.Name.V, p.ID).At(c.Name.At).Do("name the product if it is another"))
	}
	if c.Strength.OK {
		b := c.Counts.V
		if b == quantity.NotStated || b == quantity.AsProduct {
			b = dose
		}
		if b == quantity.NotStated || b == quantity.AsProduct {
			b = p.Basis
		}
		if known {
			for _, n := range product.Slips(p, c.Strength.V, b, 0) {
				notes.Add(n.At(c.Strength.At))
			}
		}
		if b == quantity.NotStated {
			b = ActiveSubstance
		}
		q, err := p.WithStrength(c.Strength.V, b, "as stated")
		if err != nil {
			return p, notes, note.Of(err, "strength")[0].At(c.Strength.At)
		}
		p = q
	} else if known && dose != quantity.AsProduct {
		notes.Add(fromCatalogue(c.Name.V, "strength", note.Say("%s %s", p.Strength.V, p.Basis), p.Strength.Source, p.Strength.Status).At(c.Strength.At))
	}
	if c.Density.OK {
		if known {
			for _, n := range product.Slips(p, 0, "", c.Density.V) {
				notes.Add(n.At(c.Density.At))
			}
		}
		p.Density = product.Given(c.Density.V, "as stated")
	} else if known && p.Form != product.Dry {
		notes.Add(fromCatalogue(c.Name.V, "density", note.Say("%s", p.Density.V), p.Density.Source, p.Density.Status).At(c.Density.At))
	}
	if c.Basicity.OK {
		p.Basicity = product.Given(c.Basicity.V, "as stated")
	}
	return p, notes, nil
}

func fromCatalogue(name, what string, value note.Phrase, src string, st product.Status) note.Note {
	level := note.Info
	if st == product.Memory {
		level = note.Caution
	}
	return note.New(level, "catalogue-"+what, "%s: %s %s is the catalogue's, not your drum's", name, what, value).
		Do("take it from the label or certificate").From(source(src, st))
}

// PumpOf gives a pump with its calibration: from drawdown readings, else from
// the nameplate.
func PumpOf(p site.Pump, readings []site.Drawdown) (*pump.Pump, error) {
	out := &pump.Pump{Name: p.Name.V, Turndown: p.Turndown.V, OfScale: p.Accuracy.V}
	out.Setting.Step, out.Stroke.Step = p.Step.V, p.StrokeStep.Or(p.Step.V)
	if out.Turndown == 0 && p.Least.OK && p.Max.OK && p.Least.V > 0 {
		out.Turndown = float64(p.Max.V / p.Least.V)
	}
	list, err := ReadingsOf(readings)
	if err != nil {
		return nil, err
	}
	switch {
	case len(list) >= 2, len(list) == 1 && !p.Max.OK: // of one, the fit says why it does not do
		c, err := pump.Fit(list)
		if err != nil {
			return nil, err
		}
		out.Calibration = c
	case p.Max.OK:
		out.Calibration = pump.FromNameplate(p.Max.V)
		if len(list) == 1 {
			out.Calibration.Notes.Add(note.New(note.Caution, "reading-left-out", "one drawdown reading gives no line: the nameplate is used").At(list[0].At).Do("take a second one, at another setting"))
		}
	default:
		return nil, p.Max.Missing(strings.TrimSpace("the largest rate of the pump "+p.Name.V), `give it, such as "1.8 L/h", or at least two drawdown readings`)
	}
	return out, nil
}

// ReadingsOf gives the timed readings of a pump, each from its rate or from volume and time.
func ReadingsOf(rows []site.Drawdown) ([]pump.Reading, error) {
	var list []pump.Reading
	for _, d := range rows {
		r := pump.Reading{Position: pump.Position{Setting: d.Speed.V, Stroke: d.Stroke.V}, HasStroke: d.Stroke.OK, At: d.Speed.At}
		switch {
		case d.Rate.OK:
			r.Rate = d.Rate.V
		case d.Volume.OK && d.Time.OK:
			r.Rate = pump.Drawdown(d.Volume.V, d.Time.V)
		case d.Volume.OK:
			return nil, d.Time.Missing("the time of the reading", "give volume and time, or the rate")
		default:
			return nil, d.Volume.Missing("the volume of the reading", "give volume and time, or the rate")
		}
		list = append(list, r)
	}
	return list, nil
}

// heads reads a list such as "0.7 L/h; 4.5 L/h"; what cannot be read is left out.
func heads(text string) []quantity.FeedRate {
	var out []quantity.FeedRate
	for _, s := range strings.Split(text, ";") {
		if r, err := quantity.ParseFeedRate(strings.TrimSpace(s)); err == nil && r > 0 && !math.IsInf(float64(r), 0) {
			out = append(out, r)
		}
	}
	return out
}
