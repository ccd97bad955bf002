package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// handFlags are those of standing water that is treated by hand, beside what they share with the other quick form.
var handFlags = siteFlags{
	{name: "pond", sheet: "Ponds", field: "size", repeat: true, usage: `standing water treated by hand: "5000 m2 x 1.2 m", "60 x 40 x 1.2 m slope 2", "3 acre-ft" or "14 m3"`,
		then: func(b *flagSite) { b.Place.Passes = quantity.Some(site.Standing) }},
	{name: "bag", usage: `product in a bag, such as "25 kg", or of a liquid in a can, such as "25 L"`, put: func(b *flagSite, _ int, text string, at note.Place) {
		if v, err := quantity.Parse[quantity.Volume](text); err == nil {
			b.Prices = []site.Price{{PackVolume: quantity.Known[quantity.Volume]{V: v, OK: true, At: at}}}
			return
		}
		b.put("Prices", 0, "pack", text, "", at)
	}},
	{name: "bucket", usage: `product in a bucket as it is carried to the pond, such as "2 kg", or of a liquid "5 L"`, put: func(b *flagSite, _ int, text string, at note.Place) {
		if v, err := quantity.Parse[quantity.Volume](text); err == nil {
			if len(b.Chemicals) == 0 {
				b.Chemicals = make([]site.Chemical, 1)
			}
			b.Chemicals[0].BucketVolume = quantity.Known[quantity.Volume]{V: v, OK: true, At: at}
			return
		}
		b.put("Chemicals", 0, "bucket", text, "", at)
	}},
	{name: "scoop", sheet: "Chemicals", field: "scoop"},
	{name: "portions", usage: "goes that the dose is given in (the plan chooses when absent)", put: ofEachPond("portions")},
	{name: "hours-between", usage: `from one go to the next, such as "4 h"`, put: ofEachPond("hours between")},
	{name: "first-portion", usage: "clock time of the first go, hh:mm (06:00 when absent)", put: ofEachPond("first portion")},
}

// ofEachPond fills in a field of every pond.
func ofEachPond(field string) func(*flagSite, int, string, note.Place) {
	return func(b *flagSite, _ int, text string, at note.Place) {
		for i := range b.Ponds {
			b.put("Ponds", i, field, text, "", at)
		}
	}
}

// goesWithPond reports a flag of the other quick form that standing water has too: of the chemical, the water and the
// place, and not of a flow, a pump, a unit or a loop.
func goesWithPond(f siteFlag) bool {
	switch f.name {
	case "animal", "stock":
		return true
	case "system", "new-water", "dose-storm", "capture":
		return false
	}
	return slices.Contains([]string{"Chemicals", "Water", "Place"}, f.sheet)
}

// planPonds plans ponds from flags.
func (e *env) planPonds(cmd *cobra.Command) error {
	flags := slices.Clone(handFlags)
	for _, f := range planFlags {
		if goesWithPond(f) {
			flags = append(flags, f)
		} else if len(f.given(cmd)) > 0 {
			return usageError{note.Fault("flag-apart", "--pond is water that stands, and --%s is of water that flows", f.name).Do("leave one of them out")}
		}
	}
	s, err := flags.site(cmd)
	if err == nil {
		err = basisOf(cmd, &s)
	}
	if err != nil {
		return usageError{err}
	}
	weighedOut(&s, product.Default())
	if err := identify(&s, 0, func(c site.Chemical, p product.Product) string {
		short, _, _ := strings.Cut(shortName(c, p), ",")
		return short
	}); err != nil {
		return err
	}
	if err := filled(&s, product.Default()); err != nil {
		return usageError{err}
	}
	for i := range s.Ponds {
		s.Ponds[i].Name = quantity.Some(pondNamed(i, len(s.Ponds)))
	}
	if len(s.Prices) > 0 {
		s.Prices[0].Chemical = s.Chemicals[0].Name
	}
	return e.showStanding(s, dosing.Given{Catalogue: product.Default()})
}

// weighedOut names the product of the first row where it names none and tells of no liquid: what is carried to a pond in
// bags and buckets is dry, where one product of that substance is.
func weighedOut(s *site.Site, catalogue product.Catalogue) {
	c := &s.Chemicals[0]
	if c.Name.OK || c.Density.OK || c.Basis.V == quantity.NotStated || c.Basis.V == quantity.AsProduct {
		return
	}
	dry := slices.DeleteFunc(catalogue.All(), func(p product.Product) bool {
		return p.Basis != c.Basis.V || p.Form != product.Dry || c.Strength.OK && c.Strength.V < p.Strength.Low
	})
	if len(dry) != 1 {
		return
	}
	c.Name = quantity.Some(dry[0].ID)
	s.Notes.Add(note.New(note.Info, "chemical-guessed", "the basis %q is taken to mean %s, as it is carried to a pond", c.Basis.V, dry[0].Name).Do("name another with --chemical"))
}

// filled weighs bucket and can of the first row that were given by volume, by the density of its product.
func filled(s *site.Site, catalogue product.Catalogue) error {
	c := &s.Chemicals[0]
	weigh := func(v quantity.Known[quantity.Volume], m *quantity.Known[quantity.Mass]) error {
		if !v.OK {
			return nil
		}
		p, _, err := dosing.ProductOf(*c, c.Basis.V, catalogue)
		if err != nil {
			return err
		}
		density := c.Density.V
		if !c.Density.OK && p.Form != product.Dry {
			density = p.Density.V
		}
		if density <= 0 {
			return note.Fault("density-missing", "%s is a volume, and %s is dry or its density is not known", v.V, c.Name.V).At(v.At).
				Do(`give what it holds by weight, such as "2 kg", or --density`)
		}
		*m = quantity.Known[quantity.Mass]{V: quantity.Mass(float64(v.V) * float64(density)), OK: true, At: v.At}
		return nil
	}
	if len(s.Prices) > 0 {
		if err := weigh(s.Prices[0].PackVolume, &s.Prices[0].Pack); err != nil {
			return err
		}
	}
	return weigh(c.BucketVolume, &c.Bucket)
}

// showStanding works the treatment of a site's ponds out and shows it.
func (e *env) showStanding(s site.Site, g dosing.Given, inputs ...string) error {
	if e.flags.units == "" && dosing.WrittenUS(s) {
		e.shown.Units = quantity.US
	}
	p, err := dosing.PlanStanding(s, g, e.today())
	if err != nil {
		return err
	}
	if e.onDay() {
		p.Notes.Add(month.ClosedGoes(s, p, month.DateOf(e.shown.Date))...)
	}
	if p.Stopped() {
		e.noAnswer()
	}
	shown := templates.Standing{Standing: p, Cost: month.CostOfStanding(s, p)}
	if e.onDay() {
		shown = shown.On(month.DateOf(e.shown.Date))
	}
	return e.emit(shown, inputs...)
}

// pondNamed is what a pond of so many is called that the command line names none.
func pondNamed(i, of int) string {
	if of == 1 {
		return "the pond"
	}
	return fmt.Sprintf("pond %d", i+1)
}
