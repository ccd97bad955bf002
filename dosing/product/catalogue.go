package product

import (
	"bufio"
	_ "embed" // the table is part of the program
	"fmt"
	"io"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed catalogue.txt
var table string

// Catalogue is the list of products in the order of its table.
type Catalogue struct {
	products []Product
}

// Default gives the catalogue that comes with the program.
func Default() Catalogue {
	c, err := read(strings.NewReader(table))
	if err != nil { // the table is part of the program: a test reads it too
		panic("product: catalogue.txt: " + err.Error())
	}
	return c
}

// All lists the products.
func (c Catalogue) All() []Product { return append([]Product(nil), c.products...) }

// Find looks a product up by its ID, name or another name that it goes by; case
// does not matter. An unknown name is an error with the nearest known one.
func (c Catalogue) Find(name string) (Product, error) {
	want := fold(name)
	var names []string
	for _, p := range c.products {
		if fold(p.ID) == want || fold(p.Name) == want {
			return p, nil
		}
	}
	for _, p := range c.products {
		for _, a := range p.Also {
			if fold(a) == want {
				return p, nil
			}
		}
		names = append(append(names, p.ID, p.Name), p.Also...)
	}
	return Product{}, note.Fault("chemical-unknown", "chemical %q is not in the catalogue%s", name, note.DidYouMean(name, names)).
		Do(`see "jarwright chemical" for the list, or describe it in the site workbook`)
}

func fold(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(s)), " ")
}

// read takes the table apart.
func read(r io.Reader) (Catalogue, error) {
	var c Catalogue
	sources := map[string]string{}
	index := map[string]int{}
	sc := bufio.NewScanner(r)
	for n := 1; sc.Scan(); n++ {
		line := strings.TrimSpace(sc.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		f := strings.Split(line, "|")
		for i := range f {
			f[i] = strings.TrimSpace(f[i])
		}
		if len(f) != 3 && len(f) != 8 {
			return c, fmt.Errorf("line %d: %d fields, want 3 or 8", n, len(f))
		}
		if f[0] == "source" {
			sources[f[1]] = f[2]
			continue
		}
		i, ok := index[f[0]]
		if !ok {
			i = len(c.products)
			index[f[0]] = i
			c.products = append(c.products, Product{ID: f[0]})
		}
		if err := c.products[i].put(f, sources); err != nil {
			return c, fmt.Errorf("line %d: %w", n, err)
		}
	}
	return c, sc.Err()
}

// put enters one line of the table.
func (p *Product) put(f []string, sources map[string]string) error {
	property, value := f[1], f[2]
	if len(f) == 3 {
		return p.putWord(property, value)
	}
	source, ok := sources[f[6]]
	if !ok {
		return fmt.Errorf("source %q has no name", f[6])
	}
	status, ok := map[string]Status{"read": Read, "computed": Computed, "memory": Memory}[f[7]]
	if !ok {
		return fmt.Errorf("status %q", f[7])
	}
	fact := Fact{value, source, status}
	switch property {
	case "hazard":
		p.Hazard = fact
		return nil
	case "ppe":
		p.Protection = fact
		return nil
	case "apart":
		p.Apart = strings.Split(value, "; ")
		return nil
	case "note":
		p.Notes = append(p.Notes, fact)
		return nil
	}
	var v [3]float64
	for i, text := range []string{f[2], f[4], f[5]} {
		if text == "" {
			continue
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return err
		}
		v[i] = x
	}
	given := f[2] != ""
	scale := 1.0
	switch f[3] {
	case "%":
		scale = 0.01
	case "min":
		scale = 1.0 / 60
	case "d":
		scale = 24
	case "g/L":
		scale = 1000
	case "kg/L", "h", "C", "eq/mol":
	default:
		return fmt.Errorf("unit %q", f[3])
	}
	for i := range v {
		v[i] *= scale
	}
	switch property {
	case "strength":
		p.Strength = figure[quantity.Fraction](v, given, source, status)
	case "density":
		p.Density = figure[quantity.Density](v, given, source, status)
	case "basicity":
		p.Basicity = figure[quantity.Fraction](v, given, source, status)
	case "acid":
		p.Acid = figure[Equivalents](v, given, source, status)
	case "dilution":
		p.Dilution = figure[quantity.Concentration](v, given, source, status)
	case "ageing":
		p.Ageing = figure[quantity.Time](v, given, source, status)
	case "life":
		p.Life = figure[quantity.Time](v, given, source, status)
	case "store":
		p.Store = figure[quantity.Temperature](v, given, source, status)
	case "shelf":
		p.Shelf = figure[quantity.Time](v, given, source, status)
	default:
		return fmt.Errorf("property %q", property)
	}
	return nil
}

func figure[T ~float64](v [3]float64, given bool, source string, status Status) Figure[T] {
	return Figure[T]{Known: quantity.Known[T]{V: T(v[0]), OK: given}, Low: T(v[1]), High: T(v[2]), Source: source, Status: status}
}

// putWord enters a line without source: what the product is, not a figure of it.
func (p *Product) putWord(property, value string) error {
	switch property {
	case "name":
		p.Name = value
	case "also":
		p.Also = strings.Split(value, "; ")
	case "group":
		p.Group = Group(value)
	case "form":
		p.Form = Form(value)
	case "basis":
		b, err := quantity.ParseBasis(value)
		if err != nil {
			return err
		}
		p.Basis = b
	case "anion":
		p.Anion = value
	case "charge":
		p.Charge = Charge(value)
	case "monomer":
		p.Monomer = value
	default:
		return fmt.Errorf("property %q", property)
	}
	return nil
}
