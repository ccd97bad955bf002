package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// Catalogue lists the products.
type Catalogue struct{ Products []product.Product }

// Text writes one line a product.
func (c Catalogue) Text(t *Text, o Options) {
	t.Answer(Answer{Title: "Products", Numbers: []Number{{For: "In the catalogue", Words: fmt.Sprintf("%d products", len(c.Products))}},
		Order: "Ask for the one that the label names: jarwright chemical NAME."})
	t.each(cols("Name", "What it is", "Strength", "Density"), c.rows(), func(i int, d *figure.Object) []any {
		p := c.Products[i]
		return []any{p.ID, p.Name, figure.Say("%s %s", d.Fig("strength.value").To(3), string(p.Basis)),
			either[any](p.Form == product.Dry, "dry", d.Fig("density.value"))}
	})
	t.Blank()
	t.Para("Figures of the trade: the label of your own drum goes first. One by its name is shown with its sources.")
}

// Chemical shows one product, and what was asked of it.
type Chemical struct {
	Product product.Product
	// Doses is the same dose on several bases; empty when none was asked for.
	Doses []quantity.Dose
	// Alkalinity is what that dose takes from the water (below zero: gives).
	Alkalinity    quantity.Alkalinity
	HasAlkalinity bool
	Anion         string
	AnionAdded    quantity.Concentration
	Notes         note.List
}

// Ask reads what is wanted of the product: a dose to convert, a label to check.
func (c *Chemical) Ask(dose, to, strength, density string) error {
	if err := c.label(strength, density); err != nil {
		return err
	}
	if dose == "" && to != "" {
		return note.Fault("dose-missing", "there is no dose to convert").Do(`add it, such as --dose "12.5 mg/L as Al"`)
	}
	if dose == "" {
		return nil
	}
	d, err := quantity.ParseDose(dose)
	if err != nil {
		return err
	}
	bases := c.Product.Bases()
	if to != "" {
		b, err := quantity.ParseBasis(to)
		if err != nil {
			return err
		}
		bases = []quantity.Basis{b}
	}
	c.Doses = append(c.Doses, d)
	for _, b := range bases {
		if b == d.Basis {
			continue
		}
		x, err := product.Convert(d, c.Product, b)
		if err != nil {
			return err
		}
		c.Doses = append(c.Doses, x)
	}
	if a, err := c.Product.AlkalinityUsed(d); err == nil {
		c.Alkalinity, c.HasAlkalinity = a, true
	}
	c.Anion, c.AnionAdded, _ = c.Product.AnionAdded(d)
	return nil
}

// label reads what stands on a drum.
func (c *Chemical) label(strength, density string) error {
	var s quantity.Fraction
	var rho quantity.Density
	var err error
	basis := c.Product.Basis
	number, as, other := strings.Cut(strength, " as ")
	if other {
		basis, err = quantity.ParseBasis("as " + as)
	}
	if err == nil && strength != "" {
		s, err = quantity.Parse[quantity.Fraction](number)
	}
	if err == nil && density != "" {
		rho, err = quantity.Parse[quantity.Density](density)
	}
	if err != nil {
		return err
	}
	c.Notes = append(c.Notes, product.Slips(c.Product, s, basis, rho)...)
	if s > 0 {
		c.Product, err = c.Product.WithStrength(s, basis, "as stated")
	}
	if rho > 0 {
		c.Product.Density = product.Given(rho, "as stated")
	}
	return err
}

// cited writes a source with its standing.
func cited(o *figure.Object) string {
	return "[" + o.Said("source") + either(o.Said("status") == string(product.Memory), ", from memory, not checked in its source", "") + "]"
}

// sourced is a figure of the catalogue in words: value, range and source.
func sourced(o *figure.Object) any { return sourcedOn(o, quantity.NotStated) }

// sourcedOn says so of a figure that counts something else than the product.
func sourcedOn(o *figure.Object, b quantity.Basis) any {
	value, low, high := o.Fig("value").In(figure.Brief), o.Fig("low").In(figure.Brief), o.Fig("high").In(figure.Brief)
	value.Basis = b
	switch {
	case value.Known() && low.Known() && low.Q != high.Q:
		return figure.Say("%s (%s to %s) %s", value, low, high, cited(o))
	case value.Known():
		return figure.Say("%s %s", value, cited(o))
	case low.Known():
		return figure.Say("%s to %s %s", low, high, cited(o))
	}
	return ""
}

// answer is the dose that was asked about on the basis that was asked for, else how strong the product is.
func (c Chemical) answer(o Options, d *figure.Object) Answer {
	p := c.Product
	a := Answer{Title: upperFirst(p.Name), Place: p.ID, Order: "Read the label and the safety data sheet of your own drum: they go before these figures."}
	switch {
	case len(c.Doses) > 0:
		doses := c.data().Objects("doses")
		for i, x := range doses[:min(2, len(doses))] { // the others stand below
			f := x.Fig("dose")
			a.Numbers = append(a.Numbers, Number{For: either(i == 0, "This dose", "is the same as"), Value: f.NoBasis(), Under: f.Basis.String()})
		}
	case d.Has("strength.value"):
		a.Numbers = []Number{{For: "Strength", Value: d.Fig("strength.value").In(figure.Brief), Under: p.Basis.String()}}
	default:
		a.Numbers = []Number{{For: "Strength", Words: "See the label"}}
	}
	return a
}

// Text writes all that is known of the product.
func (c Chemical) Text(t *Text, o Options) {
	p, d := c.Product, productData(c.Product)
	t.Answer(c.answer(o, d))
	l := facts{{"name here", p.ID}, {"also called", strings.Join(p.Also, "; ")}}
	l.when(len(p.Perhaps) > 0, "like others called", strings.Join(p.Perhaps, "; "))
	l = append(l, facts{{"kind", string(p.Group) + ", " + string(p.Form)}}...)
	add := func(name string, value any) { l.when(value != "", name, value) }
	if d.Has("strength") {
		add("strength", sourcedOn(d.Sub("strength"), p.Basis))
	}
	if p.Form != product.Dry {
		add("density", sourced(d.Sub("density")))
	}
	if f := d.Fig("in_a_litre"); f.Known() {
		name := "in a litre"
		if m, ok := f.Q.(figure.Fixed); ok && o.Units == quantity.US {
			name, f.Q = "in a gallon", quantity.Mass(m.In("kg")*gallon)
		}
		add(name, f)
	}
	if p.Group == product.Polyaluminium {
		add("basicity", sourced(d.Sub("basicity")))
	}
	add("charge", string(p.Charge))
	for _, x := range [...]struct{ name, key string }{{"stock", "stock"}, {"ageing", "ageing"}, {"stock keeps", "stock_life"}, {"store at", "store"}, {"goods keep", "shelf_life"}} {
		add(x.name, sourced(d.Sub(x.key)))
	}
	if d.Has("hazard") { // in words: its codes stand in the document for programs
		l.add("hazard", figure.Say("%s %s", p.Danger(), cited(d.Sub("hazard"))))
	}
	l.when(d.Has("wear"), "wear", cites(d.Sub("wear")))
	add("keep apart from", strings.Join(p.Apart, "; "))
	for _, n := range d.Objects("remarks") {
		add("note", cites(n))
	}
	t.Part("The product")
	t.Facts(l)
	c.unitText(t, d)
	c.doseText(t)
	t.noted("Look at this", c.Notes)
	t.noted("First aid and spills", caution.Spills(p))
	t.Blank()
	t.Para("The label and the safety data sheet of your own drum go before these figures.")
}

// cites is a piece of text with its source.
func cites(o *figure.Object) figure.Phrase { return figure.Say("%s %s", o.Get("text"), cited(o)) }

// doseText shows the dose asked for on every basis, and what it does to the alkalinity.
func (c Chemical) doseText(t *Text) {
	if len(c.Doses) == 0 {
		return
	}
	d := c.data()
	t.Head("The same dose")
	bases(t, d.Objects("doses"))
	if c.HasAlkalinity && c.Alkalinity != 0 {
		verb, a := "takes", d.Fig("alkalinity_used")
		if c.Alkalinity < 0 {
			verb, a.Q = "gives", -c.Alkalinity
		}
		name := map[string]string{"SO4": "sulfate", "Cl": "chloride"}[c.Anion]
		t.Say("%s.", figure.Say("It %s %s of alkalinity", verb, a).If(d.Has("anion_added"), " and leaves %s of %s", d.Fig("anion_added"), name))
	}
}

// bases is one dose, counted in several ways.
func bases(t *Text, doses []*figure.Object) {
	t.each(cols(">Dose", "counted"), doses, func(_ int, x *figure.Object) []any {
		return []any{x.Fig("dose").NoBasis(), string(x.Fig("dose").Basis)}
	})
}

// unitText shows ten mg/L as product on every basis: the table of slips.
func (c Chemical) unitText(t *Text, d *figure.Object) {
	if l := d.Objects("ten_as_product"); len(l) > 1 && len(c.Doses) == 0 {
		t.Head("10 mg/L as product is")
		bases(t, l)
	}
}
