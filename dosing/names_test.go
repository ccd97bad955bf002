package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestNameOfAKind: a name that says no more than what a chemical does is the site's chemical of that kind, asked about
// where there are two, and nothing where it has none; a name of its own, whatever is in it, stays one.
func TestNameOfAKind(t *testing.T) {
	read := func(more string) *site.Site {
		t.Helper()
		s, err := site.Read("site.yaml", strings.NewReader(`
place: {name: "Works", purpose: "other", water_passes: "once through"}
flow: {average_flow: "10 m3/h"}
chemicals:
  - {name: "alum", product: "alum-liquid", dose: "20 mg/L", basis: "as product"}
`+more+`
prices:
  - {chemical: "alum", price: "0.4 EUR/kg"}
  - {chemical: "Clearfloc", price: "5 EUR/kg"}
`))
		if err != nil {
			t.Fatal(err)
		}
		return &s
	}
	c := product.Default()
	one := read(`  - {name: "Clearfloc", product: "apam-dry", dose: "0.3 mg/L", basis: "as product"}`)
	for name, want := range map[string]string{
		"flocculant": "Clearfloc", "Flocculent": "Clearfloc", "polymer": "Clearfloc", "coagulant aid": "Clearfloc", "floculante": "Clearfloc",
		"polyelectrolyte": "Clearfloc", "coagulant": "alum", "flocculant B": "", "Brightfloc 20": "", "ferric chloride": "", "sand": "",
	} {
		got := ""
		if r := ChemicalRow(one, name, c); r != nil {
			got = r.Name.V
		}
		price := ""
		if r := PriceRow(one, name, c); r != nil {
			price = r.Chemical.V
		}
		if got != want || price != want {
			t.Errorf("%q is %q at the price of %q, want %q", name, got, price, want)
		}
	}
	none := read(`  - {name: "Clearfloc", product: "soda-ash", dose: "3 mg/L", basis: "as product"}`)
	if r := ChemicalRow(none, "flocculant", c); r != nil {
		t.Errorf("a flocculant is taken for %s", r.Name.V)
	}
	two := read(`  - {name: "Clearfloc", product: "apam-dry", dose: "0.3 mg/L", basis: "as product"}
  - {name: "Softfloc", product: "cpam-dry", dose: "0.3 mg/L", basis: "as product"}`)
	l := WhichChemical(two, []jartest.Chemical{{Name: "flocculant"}}, c)
	if len(l) != 1 || !strings.Contains(l[0].Message, `"flocculant" on the bench sheet may be Clearfloc`) || !strings.Contains(l[0].Message, "Softfloc") {
		t.Errorf("of two flocculants %v", l)
	}
}

// TestWithArticle: a tank that is called by what it is has its article in a sentence, one with a name or a number of its own has none.
func TestWithArticle(t *testing.T) {
	for name, want := range map[string]string{
		"rearing tank": "the rearing tank", "étang": "the étang", "Moss pond": "Moss pond", "tank 3": "tank 3", "our pond": "our pond", "the pond": "the pond", "a tank": "a tank", "": "",
	} {
		if got := WithArticle(name); got != want {
			t.Errorf("%q is %q in a sentence, want %q", name, got, want)
		}
	}
}

// TestAnotherChemical: jars of one chemical say nothing of a drum of another, whatever both of them count; the same goods under two
// names are one, and what nobody knows is taken for the same.
func TestAnotherChemical(t *testing.T) {
	for _, x := range []struct {
		drum, product, jars string
		basis               quantity.Basis
		another             bool
	}{
		{"polyaluminium chloride", "", "alum", quantity.AsAlum14, true},
		{"PAC", "", "alum", quantity.AsAl, true}, // may be two products, and both are another
		{"drum 4", "pacl-18", "alum", quantity.AsProduct, true},
		{"alum", "", "PACl", quantity.AsAl2O3, true},
		{"ferric chloride", "", "alum", quantity.AsAlum14, true},
		{"ferric chloride", "", "ferric sulfate", quantity.AsFe, true},
		{"anionic PAM", "", "alum", quantity.AsProduct, true},
		{"pdadmac", "", "flocculant", quantity.AsProduct, false},
		{"alum", "", "flocculant", quantity.AsProduct, true},
		{"liquid alum", "", "alum", quantity.AsAlum14, false},
		{"filter alum", "", "aluminium sulphate", quantity.AsProduct, false},
		{"ferric", "", "FeCl3", quantity.AsFeCl3, false},
		{"alum", "", "coagulant", quantity.AsAlum14, false},
		{"Claritas 7", "", "alum", quantity.AsProduct, false}, // nothing is known of it
		{"alum", "", "Claritas 7", quantity.AsAl, false},
		{"alum", "", "Claritas 7", quantity.AsFeCl3, true}, // which counts ferric chloride
	} {
		c := site.Chemical{Name: quantity.Some(x.drum)}
		if x.product != "" {
			c.Product = quantity.Some(x.product)
		}
		if got := Another(c, jartest.Chemical{Name: x.jars, Basis: x.basis}, product.Default()); got != x.another {
			t.Errorf("a drum of %s %s, jars of %s %s: another is %v", x.drum, x.product, x.jars, x.basis, got)
		}
	}
}
