package site

import (
	"cmp"
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// weighed turns a volume of goods, such as a tote of 275 gal, into the mass that the
// density of its chemical makes of it: the label's, else the catalogue's. Anything else
// stays as it is, and has no volume.
func (s Site) weighed(sh Sheet, f Field, r row, e entry) (entry, quantity.Volume, error) {
	goods, named := sh.Name == "Prices" && f.Unit == "kg", "chemical"
	if sh.Name == "Chemicals" {
		goods, named = f.member == "Bucket", "name"
	}
	if !goods || e.bad != nil {
		return e, 0, nil
	}
	full, _ := f.withUnit(strings.TrimSpace(e.text), e.unit)
	v, err := quantity.Parse[quantity.Volume](full)
	if err != nil {
		return e, 0, nil
	}
	name := strings.TrimSpace(r.entries[named].text)
	density := s.density(name)
	if density <= 0 {
		return e, 0, note.Fault("density-missing", "%s: %q of %q is a volume, and its density is not known", f.Name, full, name).At(e.at).
			Do("give the density of the chemical in the site under Chemicals, or the mass, such as %q", cmp.Or(massLike(f, e), "5 kg"))
	}
	e.text, e.unit = quantity.Brief(float64(v)*float64(density), 9)+" kg", ""
	return e, v, nil
}

// massLike is a field's example as one would write it; empty where it has none.
func massLike(f Field, e entry) string {
	if f.Example == "" {
		return ""
	}
	return e.example(f)
}

// bought keeps the volume of a pack that was given by it.
func (p *Price) bought(f Field, volume quantity.Volume, at note.Place) {
	if volume > 0 && f.member == "Pack" {
		p.PackVolume = quantity.Known[quantity.Volume]{V: volume, OK: true, At: at}
	}
}

// carried keeps the volume of a bucket that was given by it.
func (c *Chemical) carried(f Field, volume quantity.Volume, at note.Place) {
	if volume > 0 && f.member == "Bucket" {
		c.BucketVolume = quantity.Known[quantity.Volume]{V: volume, OK: true, At: at}
	}
}

// density is that of a liquid of the site; zero for what is dry or not known.
func (s Site) density(chemical string) quantity.Density {
	c, ok := find(s.Chemicals, chemical)
	if c.Density.OK || !ok {
		return c.Density.V
	}
	p, err := product.Default().Labelled(c.Product.Or(c.Name.V), c.Strength, c.Counts.V, c.Density)
	if err != nil || p.Form == product.Dry {
		return 0
	}
	return p.Density.V
}
