package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// What a row can say of a product of the user's own so that it counts in the alkalinity of the water, each for 10 mg/L on its own basis: what he
// measured on a jar (0.45 a mg is 4.5), the charge of a polymer or a name that says it (none), one substance as its basis (10 mg/L of NaOH,
// 40.00 g/mol, give 10 / 40.00 x 50.04 = 12.51). A name alone leaves it unknown.
func TestOwnProductsThatCount(t *testing.T) {
	some := func(s string) quantity.Known[string] { return quantity.Some(s) }
	for what, x := range map[string]struct {
		row   site.Chemical
		basis quantity.Basis
		takes float64
		known bool
	}{
		"name alone":        {site.Chemical{Name: some("antifoam")}, quantity.AsProduct, 0, false},
		"measured":          {site.Chemical{Name: some("antifoam"), Takes: quantity.Some(0.45)}, quantity.AsProduct, 4.5, true},
		"gives some":        {site.Chemical{Name: some("sweetener"), Takes: quantity.Some(-0.8)}, quantity.AsProduct, -8, true},
		"measured as none":  {site.Chemical{Name: some("antifoam"), Takes: quantity.Some(0.0)}, quantity.AsProduct, 0, true},
		"charge":            {site.Chemical{Name: some("ZetaClear 44"), Charge: some("anionic")}, quantity.AsProduct, 0, true},
		"charge by name":    {site.Chemical{Name: some("cationic flocculant")}, quantity.AsProduct, 0, true},
		"its substance":     {site.Chemical{Name: some("lye of ours"), Strength: quantity.Some(quantity.Fraction(0.2)), Counts: quantity.Some(quantity.AsNaOH)}, quantity.AsNaOH, -12.51, true},
		"metal of a liquor": {site.Chemical{Name: some("brand x"), Strength: quantity.Some(quantity.Fraction(0.05)), Counts: quantity.Some(quantity.AsAl)}, quantity.AsAl, 0, false},
	} {
		x.row.Basis = quantity.Some(x.basis)
		p, _, err := ProductOf(x.row, x.basis, product.Default())
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		got, err := p.AlkalinityUsed(quantity.Dose{Concentration: 10, Basis: x.basis})
		if (err == nil) != x.known || x.known && math.Abs(float64(got)-x.takes) > 0.01 {
			t.Errorf("%s: %v, %v", what, got, err)
		}
	}
	p, _, err := ProductOf(site.Chemical{Name: some("cationic flocculant"), Basis: quantity.Some(quantity.AsProduct)}, quantity.AsProduct, product.Default())
	if err != nil || !p.IsPolymer() || p.Charge != product.Cationic {
		t.Errorf("%+v, %v", p, err)
	}
}

// What a drum is called does not change what is in it: a product of the user's own whose basis names one substance has the dangers, the
// protection and the enemies that the catalogue has of that substance; one of which nothing is known has none, and its handling says so.
func TestOwnProductHasTheDangersOfItsSubstance(t *testing.T) {
	of := func(basis quantity.Basis) product.Product {
		row := site.Chemical{Name: quantity.Some("Floc-A 48"), Basis: quantity.Some(basis), Density: quantity.Some(quantity.Density(1.335))}
		p, _, err := ProductOf(row, basis, product.Default())
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	alum, err := product.Default().GuessFor(quantity.AsAlum14)
	if err != nil {
		t.Fatal(err)
	}
	p := of(quantity.AsAlum14)
	if p.Hazard != alum.Hazard || p.Protection != alum.Protection || len(p.Apart) == 0 {
		t.Errorf("%+v, %+v, %v", p.Hazard, p.Protection, p.Apart)
	}
	said := func(p product.Product, code, words string) bool {
		return slices.ContainsFunc(caution.Review(caution.Situation{OnSite: []product.Product{p}}).Handling, func(n note.Note) bool {
			return n.Code == code && strings.Contains(n.Message+n.Remedy, words)
		})
	}
	if !said(p, "handle-wear", "serious eye damage") || !said(p, "handle-first-aid", "flush with water") {
		t.Error("alum under another name is handled without goggles")
	}
	if p := of(quantity.AsProduct); p.Hazard.Text != "" || !said(p, "handle-unknown", "goggles, gloves and apron") || said(p, "handle-wear", "") {
		t.Errorf("of an unknown product: %+v", p.Hazard)
	}
}
