package product

import (
	"cmp"
	_ "embed" // the table is part of the program
	"fmt"
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed catalogue.txt
var catalogueTable string

// Catalogue is the list of products in the order of its table.
type Catalogue struct {
	products []Product
}

// Default gives the catalogue that comes with the program.
func Default() Catalogue { return catalogue() }

var catalogue = sync.OnceValue(func() Catalogue { return read(catalogueTable) })

// All lists the products.
func (c Catalogue) All() []Product { return slices.Clone(c.products) }

// Find looks a product up by its ID, name or another name that it goes by; case
// does not matter. An unknown name is an error with the nearest known one, and so is a
// name that several products bear.
func (c Catalogue) Find(name string) (Product, error) {
	switch found := c.Called(name); len(found) {
	case 1:
		return found[0], nil
	case 0:
		var names []string
		for _, p := range c.products {
			names = append(append(append(names, p.ID, p.Name), p.Also...), p.Perhaps...)
		}
		return Product{}, note.Fault("chemical-unknown", "chemical %q is not in the catalogue%s", name, note.DidYouMean(name, names)).
			Do(`see "jarwright chemical" for the list, or describe it in the site workbook`)
	default:
		return Product{}, doubtful(name, found)
	}
}

// Called lists the products that a name may mean: one where it is plain, all that bear it
// where it is not, as alum is sold as a liquid, as two powders and as crystals. A name that says a form means the
// products of that form alone.
func (c Catalogue) Called(name string) []Product {
	if found := c.named(name); len(found) > 0 {
		return found
	}
	return c.inForm(name)
}

// named lists the products that bear a name as it stands.
func (c Catalogue) named(name string) []Product {
	want := fold(name)
	same := func(other string) bool { return fold(other) == want }
	for _, is := range []func(Product) bool{
		func(p Product) bool { return same(p.ID) || same(p.Name) },
		func(p Product) bool { return slices.ContainsFunc(p.Also, same) },
	} {
		if i := slices.IndexFunc(c.products, is); i >= 0 {
			return c.products[i : i+1]
		}
	}
	return slices.DeleteFunc(c.All(), func(p Product) bool { return !slices.ContainsFunc(p.Perhaps, same) })
}

// Alike reports products that do the same to water, a mole as a mole: of one group and charge,
// with as much acid.
func Alike(list []Product) bool {
	return !slices.ContainsFunc(list, func(p Product) bool {
		one, known := list[0].Equivalents()
		eq, also := p.Equivalents()
		return p.Group != list[0].Group || p.Charge != list[0].Charge || eq != one || known != also
	})
}

// Labelled is [Catalogue.Find] for goods with a label: a name that several products bear is
// the one that the label's strength, on that basis or the product's own, and density fit.
func (c Catalogue) Labelled(name string, strength quantity.Known[quantity.Fraction], b quantity.Basis, density quantity.Known[quantity.Density]) (Product, error) {
	found := c.Called(name)
	if len(found) > 1 {
		found = slices.DeleteFunc(slices.Clone(found), func(p Product) bool {
			if density.OK {
				return p.Form == Dry // powders have none: the strength is asked about elsewhere
			}
			return !strength.OK || len(p.strengthSlips(strength.V, cmp.Or(b, p.Basis))) > 0
		})
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return c.Find(name)
}

// elsewhere are goods that the catalogue does not have and that go by a name of others: hypo is
// thiosulfate to fish keepers, and hypochlorite at water works.
var elsewhere = map[string]string{"hypo": "hypochlorite"}

// doubtful asks which of several products a name means, and how much hangs on it.
func doubtful(name string, found []Product) error {
	var each []note.Phrase
	var holds []float64
	var elements []string
	for _, p := range found {
		element, moles, _ := elementMoles(p.Basis)
		elements = append(elements, element)
		each, holds = append(each, note.Say("%s (%s)", p.Also[0], p.ID)), append(holds, moles*float64(p.Strength.V))
	}
	if other := elsewhere[fold(name)]; other != "" {
		each = append(each, note.Say("%s, which the catalogue does not have", other))
	}
	alike := slices.Min(holds) > 0 && len(slices.Compact(elements)) == 1
	return note.Fault("chemical-doubtful", "%q may be %s%s", name, note.AnyOf(each), note.Phrase{}.
		If(alike, ": a kg of one does as much as %s kg of another", quantity.Places(quantity.Number(slices.Max(holds)/max(slices.Min(holds), 1e-9)), 1))).
		Do("name the one on the label, or give the label's strength or density")
}

// fold makes names alike that differ in case, spaces and hyphens.
func fold(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), "-", " ")), " ")
}

// read takes the table apart. What is wrong with it panics: it is part of the
// program, and a test reads it too.
func read(text string) Catalogue {
	sources, rows := table.Sourced(text)
	index := map[string]int{}
	var c Catalogue
	for _, f := range rows {
		i, ok := index[f[0]]
		if !ok {
			i = len(c.products)
			index[f[0]] = i
			c.products = append(c.products, Product{ID: f[0]})
		}
		if err := c.products[i].put(f, sources); err != nil {
			panic(fmt.Sprintf("product: catalogue.txt: %q: %v", f, err))
		}
	}
	return c
}

// put enters one row of the table: three fields say what the product is, eight a
// figure or a fact of it.
func (p *Product) put(f []string, sources map[string]string) error {
	property := f[1]
	if word, ok := textFields[property]; ok && len(f) == 3 {
		return word(p, f[2])
	}
	enter, ok := figures[property]
	if !ok || len(f) != 8 {
		return fmt.Errorf("no such property of %d fields", len(f))
	}
	source, known := sources[f[6]]
	status, ok := map[string]Status{"read": Read, "computed": Computed, "memory": Memory}[f[7]]
	if !known || !ok {
		return fmt.Errorf("source or status")
	}
	enter(p, line{f, source, status})
	return nil
}

// textFields are the properties that say what a product is.
var textFields = map[string]func(*Product, string) error{
	"name":    func(p *Product, s string) error { p.Name = s; return nil },
	"also":    func(p *Product, s string) error { p.Also = table.List(s); return nil },
	"perhaps": func(p *Product, s string) error { p.Perhaps = table.List(s); return nil },
	"group":   func(p *Product, s string) error { p.Group = Group(s); return nil },
	"form":    func(p *Product, s string) error { p.Form = Form(s); return nil },
	"anion":   func(p *Product, s string) error { p.Anion = s; return nil },
	"charge":  func(p *Product, s string) error { p.Charge = Charge(s); return nil },
	"monomer": func(p *Product, s string) error { p.Monomer = s; return nil },
	"tested":  func(p *Product, s string) error { p.Tested = s; return nil },
	"basis": func(p *Product, s string) (err error) {
		p.Basis, err = quantity.ParseBasis(s)
		return err
	},
}

// figures are the properties with a source.
var figures = map[string]func(*Product, line){
	"hazard":    func(p *Product, l line) { p.Hazard = l.fact() },
	"ppe":       func(p *Product, l line) { p.Protection = l.fact() },
	"note":      func(p *Product, l line) { p.Notes = append(p.Notes, l.fact()) },
	"apart":     func(p *Product, l line) { p.Apart = table.List(l.fields[2]) },
	"strength":  func(p *Product, l line) { p.Strength = figure[quantity.Fraction](l) },
	"density":   func(p *Product, l line) { p.Density = figure[quantity.Density](l) },
	"basicity":  func(p *Product, l line) { p.Basicity = figure[quantity.Fraction](l) },
	"acid":      func(p *Product, l line) { p.Acid = figure[Equivalents](l) },
	"takes":     func(p *Product, l line) { p.Takes = figure[quantity.Fraction](l) },
	"manganese": func(p *Product, l line) { p.Manganese = figure[quantity.Fraction](l) },
	"dilution":  func(p *Product, l line) { p.Dilution = figure[quantity.Concentration](l) },
	"ageing":    func(p *Product, l line) { p.Ageing = figure[quantity.Time](l) },
	"life":      func(p *Product, l line) { p.Life = figure[quantity.Time](l) },
	"store":     func(p *Product, l line) { p.Store = figure[quantity.Temperature](l) },
	"shelf":     func(p *Product, l line) { p.Shelf = figure[quantity.Time](l) },
}

// scales turn the units of the table into working units.
var scales = map[string]float64{"%": 0.01, "min": 1.0 / 60, "d": 24, "g/L": 1000, "kg/L": 1, "h": 1, "C": 1, "eq/mol": 1, "mg/mg": 1}

// line is a row of the table with a source.
type line struct {
	fields []string
	source string
	status Status
}

func (l line) fact() Fact { return Fact{l.fields[2], l.source, l.status} }

func figure[T ~float64](l line) Figure[T] {
	scale, ok := scales[l.fields[3]]
	if !ok {
		panic("product: catalogue.txt: unit " + l.fields[3])
	}
	in := func(field int) (T, bool) {
		v, ok := table.Number(l.fields[field])
		return T(v * scale), ok
	}
	f := Figure[T]{Source: l.source, Status: l.status}
	f.V, f.OK = in(2)
	f.Low, _ = in(4)
	f.High, _ = in(5)
	return f
}
