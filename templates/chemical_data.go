package templates

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// cataloguedIn is a figure of the catalogue as its object: value and range in that
// unit, with source and standing; nil where nothing is known.
func cataloguedIn[T interface {
	~float64
	quantity.Quantity
}](f product.Figure[T], unit string) *figure.Object {
	ranged := f.Low != 0 || f.High != 0
	o := figure.New()
	if !f.OK && !ranged {
		return o
	}
	o.Bare(figure.Of("value", f.V, unit, 4).In(figure.Full).If(f.OK), figure.Of("low", f.Low, unit, 4).In(figure.Full).If(ranged),
		figure.Of("high", f.High, unit, 4).In(figure.Full).If(ranged))
	return o.Set("unit", unit).Word("source", f.Source).Word("status", string(f.Status))
}

func fact(f product.Fact) *figure.Object {
	if f.Text == "" {
		return nil
	}
	return figure.New().Set("text", f.Told()).Word("source", f.Source).Word("status", string(f.Status))
}

// list is a list of words as documents have it: never null.
func list(s []string) []string { return append([]string{}, s...) }

// productData is a product of the catalogue as its object.
func productData(p product.Product) *figure.Object {
	o := figure.New().Set("id", p.ID).Set("name", p.Name).Set("also", list(p.Also)).Set("shared_names", list(p.Perhaps)).Set("group", string(p.Group)).Set("form", string(p.Form))
	strength := cataloguedIn(p.Strength, "%")
	if len(strength.Keys()) > 0 {
		strength.Set("basis", p.Basis.String())
	}
	o.Part("strength", strength).Part("density", cataloguedIn(p.Density, "kg/L")).Part("basicity", cataloguedIn(p.Basicity, "%"))
	var names []string
	for _, b := range p.Bases() {
		names = append(names, string(b))
	}
	o.Set("bases", list(names))
	if a, err := p.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: p.Basis}); err == nil {
		o.Part("acidity", figure.New().Set("value", quantity.RoundSig(float64(a), 6)).Set("unit", "mg CaCO3/mg").Set("basis", p.Basis.String()).Set("status", string(product.Computed)))
	}
	if p.Strength.OK && p.Density.OK && p.Form != product.Dry {
		o.Put(figure.Figure{Key: "in_a_litre", Q: figure.Fixed{Q: quantity.Mass(product.Active(p.Strength.V, p.Density.V).In("kg/m3") / 1000), Unit: "g"}, Basis: p.Basis, Digits: 4})
	}
	o.Word("anion", p.Anion).Word("charge", string(p.Charge)).Part("stock", cataloguedIn(p.Dilution, "g/L")).Part("ageing", cataloguedIn(p.Ageing, "h")).
		Part("stock_life", cataloguedIn(p.Life, "h")).Part("store", cataloguedIn(p.Store, "C")).Part("shelf_life", cataloguedIn(p.Shelf, "d")).
		Part("hazard", fact(p.Hazard)).Part("wear", fact(p.Protection)).Set("keep_apart_from", list(p.Apart))
	return o.List("remarks", objects(p.Notes, fact)).List("ten_as_product", tenAsProduct(p))
}

// tenAsProduct is 10 mg/L of a product on its other bases.
func tenAsProduct(p product.Product) []*figure.Object {
	var out []*figure.Object
	if !p.Strength.OK {
		return out
	}
	for _, b := range p.Bases()[1:] {
		if d, err := product.Convert(quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, p, b); err == nil {
			out = append(out, figure.New(figure.Dose("dose", d, 4).In(figure.Full)))
		}
	}
	return out
}

// data is the product with what was asked of it.
func (c Chemical) data() *figure.Object {
	o := figure.New().Set("schema", "jarwright.chemical/1").List("chemicals", []*figure.Object{productData(c.Product)})
	if len(c.Doses) > 0 {
		o.List("doses", objects(c.Doses, func(d quantity.Dose) *figure.Object {
			return figure.New(figure.Dose("dose", d, 4).In(figure.Full)).Set("chemical", c.Product.ID).Set("basis", string(d.Basis))
		})).Put(figure.Of("alkalinity_used", c.Alkalinity, "mg/L CaCO3", 3).In(figure.Full).If(c.HasAlkalinity),
			figure.Of("anion_added", c.AnionAdded, "mg/L", 3).In(figure.Full).If(c.Anion != "" && c.AnionAdded != 0))
	}
	return o
}

// JSON gives the document jarwright.chemical/1.
func (c Chemical) JSON() any {
	doc := c.data()
	var doses []figure.Figure // the document lists the doses themselves
	for _, d := range doc.Objects("doses") {
		doses = append(doses, d.Fig("dose"))
	}
	if doses != nil {
		doc.Set("doses", doses)
	}
	return doc.Set("notes", Notes(c.Notes)).Set("first_aid_and_spills", Notes(caution.Spills(c.Product)))
}

// Table gives the converted doses, or the product's row of the catalogue.
func (c Chemical) Table() figure.Table {
	if len(c.Doses) == 0 {
		return Catalogue{[]product.Product{c.Product}}.Table()
	}
	return figure.Table{Cols: figure.Columns("chemical", "dose = mg/L", "basis"), Rows: c.data().Objects("doses")}
}

// JSON gives the document jarwright.chemical/1.
func (c Catalogue) JSON() any {
	return figure.New().Set("schema", "jarwright.chemical/1").List("chemicals", c.rows()).Set("notes", Notes(nil))
}

func (c Catalogue) rows() []*figure.Object { return objects(c.Products, productData) }

// Table gives one row a product.
func (c Catalogue) Table() figure.Table {
	return figure.Table{Rows: c.rows(), Cols: figure.Columns("id", "name", "group", "form", "strength strength.value %", "strength_basis strength.basis", "strength_status strength.status",
		"density density.value kg/L", "density_status density.status", "basicity basicity.value %", "ageing ageing.value h", "life stock_life.value h", "hazard hazard.text")}
}
