package site

import (
	"cmp"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// countedIn is what a dose says itself that it counts, as "1 mg/L as Al" does; not stated for any other field.
func (f Field) countedIn(record any, e entry) quantity.Basis {
	if _, ok := f.home(record).Interface().(quantity.Known[quantity.Concentration]); !ok {
		return quantity.NotStated
	}
	full, _ := f.withUnit(strings.TrimSpace(e.text), e.unit)
	d, err := quantity.ParseDose(full)
	if err != nil {
		return quantity.NotStated
	}
	return d.Basis
}

// counts holds what a dose says that it counts against the basis of its chemical; where that has none, the dose gives it.
// The same figure on another basis is many times the chemical.
func (s *Site) counts(f Field, record any, e entry) error {
	said := f.countedIn(record, e)
	if said == quantity.NotStated {
		return nil
	}
	var c *Chemical
	of := func(names string) {
		name, _, _ := strings.Cut(names, ",") // of several the first has the dose
		for i := range s.Chemicals {
			if strings.EqualFold(s.Chemicals[i].Name.V, strings.TrimSpace(name)) {
				c = &s.Chemicals[i]
			}
		}
	}
	switch r := record.(type) {
	case *Chemical:
		c = r
	case *Pond:
		of(r.Chemical.V)
	case *Season:
		of(r.Chemical.V)
	}
	switch {
	case c == nil:
		return nil
	case !c.Basis.OK:
		c.Basis = quantity.Known[quantity.Basis]{V: said, OK: true, At: e.at}
	case c.Basis.V != said:
		return note.Fault("basis-twice", "the %s of %s counts %s, and its basis is %s", f.Name, cmp.Or(c.Name.V, "the chemical"), said, c.Basis.V).At(e.at).
			Do("leave one of them out, or correct it")
	}
	return nil
}
