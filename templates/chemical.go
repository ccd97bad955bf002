package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Catalogue lists the products.
type Catalogue struct{ Products []product.Product }

// Text writes one line a product.
func (c Catalogue) Text(t *Text, o Options) {
	t.Head("Products")
	var rows [][]string
	for _, p := range c.Products {
		density := "dry"
		if p.Form != product.Dry {
			density = o.Quantity(p.Density.V, 4)
		}
		rows = append(rows, []string{p.ID, p.Name, o.Quantity(p.Strength.V, 3) + " " + string(p.Basis), density})
	}
	t.Table([]Col{{Head: "Name"}, {Head: "What it is"}, {Head: "Strength"}, {Head: "Density"}}, rows)
	t.Blank()
	t.Para(`Figures of the trade: the label of your own drum goes first. "jarwright chemical NAME" shows one with its sources.`)
}

// JSON gives the document jarwright.chemical/1.
func (c Catalogue) JSON() any {
	type doc struct {
		Schema    string         `json:"schema"`
		Chemicals []jsonChemical `json:"chemicals"`
		Notes     note.List      `json:"notes"`
	}
	d := doc{"jarwright.chemical/1", []jsonChemical{}, note.List{}}
	for _, p := range c.Products {
		d.Chemicals = append(d.Chemicals, chemicalJSON(p))
	}
	return d
}

// Rows gives one row a product.
func (c Catalogue) Rows() [][]string {
	rows := [][]string{{"id", "name", "group", "form", "strength_percent", "strength_basis", "strength_status", "density_kg_per_l", "density_status", "basicity_percent", "ageing_h", "life_h", "hazard"}}
	for _, p := range c.Products {
		optional := func(known bool, v float64) string {
			if !known {
				return ""
			}
			return Cell(quantity.RoundSig(v, 12))
		}
		rows = append(rows, []string{p.ID, p.Name, string(p.Group), string(p.Form), optional(p.Strength.OK, p.Strength.V.In("%")), string(p.Basis), string(p.Strength.Status),
			optional(p.Density.OK, float64(p.Density.V)), string(p.Density.Status), optional(p.Basicity.OK, p.Basicity.V.In("%")),
			optional(p.Ageing.OK, float64(p.Ageing.V)), optional(p.Life.OK, float64(p.Life.V)), p.Hazard.Text})
	}
	return rows
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
	var s quantity.Fraction
	basis := c.Product.Basis
	var rho quantity.Density
	var err error
	if strength != "" {
		number, as, found := strings.Cut(strength, " as ")
		if found {
			if basis, err = quantity.ParseBasis("as " + as); err != nil {
				return err
			}
		}
		if s, err = quantity.ParseFraction(number); err != nil {
			return err
		}
	}
	if density != "" {
		if rho, err = quantity.ParseDensity(density); err != nil {
			return err
		}
	}
	c.Notes = append(c.Notes, product.Slips(c.Product, s, basis, rho)...)
	if s > 0 {
		if c.Product, err = c.Product.WithStrength(s, basis, "as stated"); err != nil {
			return err
		}
	}
	if rho > 0 {
		c.Product.Density = product.Given(rho, "as stated")
	}
	if dose == "" {
		if to != "" {
			return note.Fault("dose-missing", "there is no dose to convert").Do(`add it, such as --dose "12.5 mg/L as Al"`)
		}
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

// cited writes a figure's source with its standing.
func cited(src string, st product.Status) string {
	if st == product.Memory {
		src += ", from memory"
	}
	return "[" + src + "]"
}

// figureText writes a figure with its range and source.
func figureText[T interface {
	~float64
	Show(quantity.System) (float64, string)
}](o Options, f product.Figure[T]) string {
	var q func(T) string = func(v T) string { return o.Quantity(v, 4) }
	s := ""
	if f.OK {
		s = q(f.V)
	}
	if f.Low != 0 || f.High != 0 {
		r := q(f.Low) + " to " + q(f.High)
		if s == "" {
			s = r
		} else if f.Low != f.High {
			s += " (" + r + ")"
		}
	}
	if s == "" {
		return ""
	}
	return s + " " + cited(f.Source, f.Status)
}

// Text writes all that is known of the product.
func (c Chemical) Text(t *Text, o Options) {
	p := c.Product
	t.Head(p.Name)
	rows := [][2]string{{"name here", p.ID}, {"also called", strings.Join(p.Also, "; ")}, {"kind", string(p.Group) + ", " + string(p.Form)}}
	add := func(name, value string) {
		if value != "" {
			rows = append(rows, [2]string{name, value})
		}
	}
	if s := figureText(o, p.Strength); s != "" {
		add("strength", string(p.Basis)+": "+s)
	}
	if p.Form != product.Dry {
		add("density", figureText(o, p.Density))
		if p.Strength.OK && p.Density.OK {
			add("in a litre", gramsPerLitre(product.Active(p.Strength.V, p.Density.V), o)+" "+string(p.Basis))
		}
	}
	if p.Group == product.Polyaluminium {
		add("basicity", figureText(o, p.Basicity))
	}
	add("charge", string(p.Charge))
	add("stock", figureText(o, p.Dilution))
	add("ageing", figureText(o, p.Ageing))
	add("stock keeps", figureText(o, p.Life))
	add("store at", figureText(o, p.Store))
	add("goods keep", figureText(o, p.Shelf))
	if p.Hazard.Text != "" {
		add("hazard", p.Hazard.Text+" "+cited(p.Hazard.Source, p.Hazard.Status))
	}
	if p.Protection.Text != "" {
		add("wear", p.Protection.Text+" "+cited(p.Protection.Source, p.Protection.Status))
	}
	add("keep apart from", strings.Join(p.Apart, "; "))
	for _, n := range p.Notes {
		add("note", n.Text+" "+cited(n.Source, n.Status))
	}
	t.Pairs(rows)
	c.unitText(t, o)
	if len(c.Doses) > 0 {
		t.Head("The same dose")
		var lines [][]string
		for _, d := range c.Doses {
			lines = append(lines, []string{o.Quantity(d.Concentration, 4), string(d.Basis)})
		}
		t.Table([]Col{{Head: "Dose", Right: true}, {Head: "counted"}}, lines)
		if c.HasAlkalinity && c.Alkalinity != 0 {
			verb := "takes"
			a := c.Alkalinity
			if a < 0 {
				verb, a = "gives", -a
			}
			t.Para(fmt.Sprintf("It %s %s of alkalinity%s.", verb, o.Quantity(a, 3), c.anionText(o)))
		}
	}
	if len(c.Notes) > 0 {
		t.Head("Look at this")
		t.Notes(c.Notes)
	}
	t.Blank()
	t.Para("The label and the safety data sheet of your own drum go before these figures.")
}

func (c Chemical) anionText(o Options) string {
	if c.Anion == "" || c.AnionAdded == 0 {
		return ""
	}
	name := map[string]string{"SO4": "sulfate", "Cl": "chloride"}[c.Anion]
	return " and leaves " + o.Quantity(c.AnionAdded, 3) + " of " + name
}

// unitText shows one mg/L as product on every basis: the table of slips.
func (c Chemical) unitText(t *Text, o Options) {
	p := c.Product
	if len(p.Bases()) < 3 || !p.Strength.OK || len(c.Doses) > 0 {
		return
	}
	t.Head("10 mg/L as product is")
	var lines [][]string
	for _, b := range p.Bases()[1:] {
		d, err := product.Convert(quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, p, b)
		if err == nil {
			lines = append(lines, []string{o.Quantity(d.Concentration, 4), string(b)})
		}
	}
	t.Table([]Col{{Head: "Dose", Right: true}, {Head: "counted"}}, lines)
}

type jsonFigure struct {
	Value  *float64 `json:"value,omitempty"`
	Low    *float64 `json:"low,omitempty"`
	High   *float64 `json:"high,omitempty"`
	Unit   string   `json:"unit"`
	Basis  string   `json:"basis,omitempty"`
	Source string   `json:"source,omitempty"`
	Status string   `json:"status,omitempty"`
}

type jsonFact struct {
	Text   string `json:"text"`
	Source string `json:"source,omitempty"`
	Status string `json:"status,omitempty"`
}

type jsonChemical struct {
	ID       string      `json:"id"`
	Name     string      `json:"name"`
	Also     []string    `json:"also"`
	Group    string      `json:"group"`
	Form     string      `json:"form"`
	Strength *jsonFigure `json:"strength,omitempty"`
	Density  *jsonFigure `json:"density,omitempty"`
	Basicity *jsonFigure `json:"basicity,omitempty"`
	Bases    []string    `json:"bases"`
	Acidity  *jsonFigure `json:"acidity,omitempty"`
	Anion    string      `json:"anion,omitempty"`
	Charge   string      `json:"charge,omitempty"`
	Stock    *jsonFigure `json:"stock,omitempty"`
	Ageing   *jsonFigure `json:"ageing,omitempty"`
	Life     *jsonFigure `json:"stock_life,omitempty"`
	Store    *jsonFigure `json:"store,omitempty"`
	Shelf    *jsonFigure `json:"shelf_life,omitempty"`
	Hazard   *jsonFact   `json:"hazard,omitempty"`
	Wear     *jsonFact   `json:"wear,omitempty"`
	Apart    []string    `json:"keep_apart_from"`
	Remarks  []jsonFact  `json:"remarks"`
}

// figureJSON writes a figure in a fixed unit, scale of the working unit.
func figureJSON[T ~float64](f product.Figure[T], unit string, scale float64) *jsonFigure {
	if !f.OK && f.Low == 0 && f.High == 0 {
		return nil
	}
	j := &jsonFigure{Unit: unit, Source: f.Source, Status: string(f.Status)}
	put := func(v T) *float64 { x := quantity.RoundSig(float64(v)*scale, 12); return &x }
	if f.OK {
		j.Value = put(f.V)
	}
	if f.Low != 0 || f.High != 0 {
		j.Low, j.High = put(f.Low), put(f.High)
	}
	return j
}

func factJSON(f product.Fact) *jsonFact {
	if f.Text == "" {
		return nil
	}
	return &jsonFact{f.Text, f.Source, string(f.Status)}
}

func chemicalJSON(p product.Product) jsonChemical {
	j := jsonChemical{ID: p.ID, Name: p.Name, Also: p.Also, Group: string(p.Group), Form: string(p.Form), Anion: p.Anion, Charge: string(p.Charge),
		Strength: figureJSON(p.Strength, "%", 100), Density: figureJSON(p.Density, "kg/L", 1), Basicity: figureJSON(p.Basicity, "%", 100),
		Stock: figureJSON(p.Dilution, "g/L", 1e-3), Ageing: figureJSON(p.Ageing, "h", 1), Life: figureJSON(p.Life, "h", 1), Store: figureJSON(p.Store, "C", 1),
		Shelf: figureJSON(p.Shelf, "d", 1.0/24), Hazard: factJSON(p.Hazard), Wear: factJSON(p.Protection), Apart: p.Apart, Bases: []string{}, Remarks: []jsonFact{}}
	if j.Also == nil {
		j.Also = []string{}
	}
	if j.Strength != nil {
		j.Strength.Basis = p.Basis.String()
	}
	for _, b := range p.Bases() {
		j.Bases = append(j.Bases, string(b))
	}
	if a, err := p.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: p.Basis}); err == nil {
		v := quantity.RoundSig(float64(a), 6)
		j.Acidity = &jsonFigure{Value: &v, Unit: "mg CaCO3/mg", Basis: p.Basis.String(), Status: string(product.Computed)}
	}
	for _, n := range p.Notes {
		j.Remarks = append(j.Remarks, jsonFact{n.Text, n.Source, string(n.Status)})
	}
	return j
}

// JSON gives the document jarwright.chemical/1.
func (c Chemical) JSON() any {
	type doc struct {
		Schema     string          `json:"schema"`
		Chemicals  []jsonChemical  `json:"chemicals"`
		Doses      []*JSONQuantity `json:"doses,omitempty"`
		Alkalinity *JSONQuantity   `json:"alkalinity_used,omitempty"`
		Notes      note.List       `json:"notes"`
	}
	d := doc{Schema: "jarwright.chemical/1", Chemicals: []jsonChemical{chemicalJSON(c.Product)}, Notes: Notes(c.Notes)}
	for _, x := range c.Doses {
		d.Doses = append(d.Doses, QDose(x))
	}
	if len(c.Doses) > 0 && c.HasAlkalinity {
		d.Alkalinity = QIn(float64(c.Alkalinity), "mg/L CaCO3")
	}
	return d
}

// Rows gives the converted doses, or the product's row of the catalogue.
func (c Chemical) Rows() [][]string {
	if len(c.Doses) == 0 {
		return Catalogue{[]product.Product{c.Product}}.Rows()
	}
	rows := [][]string{{"chemical", "dose_mg_per_l", "basis"}}
	for _, d := range c.Doses {
		rows = append(rows, []string{c.Product.ID, Cell(float64(d.Concentration)), string(d.Basis)})
	}
	return rows
}
