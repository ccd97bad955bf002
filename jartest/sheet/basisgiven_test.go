package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestBasisGiven: a basis of a chemical by name goes before the sheet, one without a name fills
// in what the sheet does not say, and the basis of a metal is none of a polymer.
func TestBasisGiven(t *testing.T) {
	const text = "Jar,Alum (mg/L as Al),Anionic polymer (mg/L),NTU\n1,0,0,50\n2,10,0.1,12\n3,20,0.1,5\n4,30,0.2,4\n"
	site := func(says quantity.Basis, fromSheet bool) func(string) SiteBasis {
		return func(name string) SiteBasis {
			return SiteBasis{Known: quantity.Known[quantity.Basis]{V: says, OK: name == "alum", At: note.Place{File: "site.yaml", Cell: "line 7"}}, From: "the site", FromSheet: fromSheet}
		}
	}
	for _, c := range []struct {
		says          []string
		site          func(string) SiteBasis
		alum, polymer quantity.Basis
		code          string
		level         note.Level
	}{
		{nil, nil, quantity.AsAl, quantity.NotStated, "", 0},
		{[]string{"as product"}, nil, quantity.AsAl, quantity.AsProduct, "basis-kept", note.Info},
		{[]string{"as dry alum (17 % Al2O3)"}, nil, quantity.AsAl, quantity.NotStated, "basis-of-other", note.Caution},
		{[]string{"anionic polymer=as product"}, nil, quantity.AsAl, quantity.AsProduct, "", 0},
		{[]string{"alum=as product", "anionic polymer = as active"}, nil, quantity.AsProduct, quantity.AsActive, "basis-overruled", note.Caution},
		{[]string{"aluminium sulfate=as Al"}, nil, quantity.AsAl, quantity.NotStated, "", 0},
		{[]string{"anionic=as FeCl3"}, nil, quantity.AsAl, quantity.NotStated, "basis-of-other", note.Error},
		{[]string{"as product"}, site(quantity.AsProduct, true), quantity.AsAl, quantity.AsProduct, "basis-contradicts", note.Error},
		{nil, site(quantity.AsProduct, false), quantity.AsAl, quantity.NotStated, "", 0},
		{nil, site(quantity.AsAl, true), quantity.AsAl, quantity.NotStated, "", 0},
		{nil, site(quantity.AsFe, true), quantity.AsAl, quantity.NotStated, "basis-of-other", note.Error},
		{[]string{"alum=as product"}, site(quantity.AsAl, true), quantity.AsProduct, quantity.NotStated, "basis-overruled", note.Caution},
		{[]string{"alum=as FeCl3", "alum=as Al"}, nil, quantity.AsAl, quantity.NotStated, "", 0},
	} {
		opt := Options{Counts: c.site}
		for _, s := range c.says {
			x, err := ParseChemicalBasis(s)
			if err != nil {
				t.Fatal(err)
			}
			opt.AddBasis(x)
		}
		r := mustRead(t, "t.csv", text, opt)
		got := r.Series[0].Chemicals
		if got[0].Basis != c.alum || got[1].Basis != c.polymer {
			t.Errorf("%q: alum %s, polymer %s", c.says, got[0].Basis, got[1].Basis)
		}
		of := slices.DeleteFunc(slices.Clone(r.Notes), func(n note.Note) bool {
			return !slices.Contains([]string{"basis-kept", "basis-of-other", "basis-overruled", "basis-contradicts"}, n.Code)
		})
		if c.code == "" && len(of) > 0 || c.code != "" && !slices.ContainsFunc(of, func(n note.Note) bool { return n.Code == c.code && n.Level == c.level }) {
			t.Errorf("%q: %v", c.says, of)
		}
		if c.code == "basis-contradicts" && !strings.Contains(of[0].Message, "site.yaml: line 7") {
			t.Errorf("the site's cell is not named: %s", of[0].Message)
		}
		if l := opt.UnmetBases(r.Series); len(l) > 0 {
			t.Errorf("%q: %v", c.says, l)
		}
	}
	for _, s := range []string{"=as Al", "alum=as lead", "alum="} {
		if x, err := ParseChemicalBasis(s); err == nil {
			t.Errorf("%q is read as %+v", s, x)
		}
	}
	opt := Options{Bases: []ChemicalBasis{{"ferric", quantity.AsFe}}}
	if l := opt.UnmetBases(mustRead(t, "t.csv", text, opt).Series); len(l) != 1 || l[0].Code != "chemical-unknown" {
		t.Errorf("a basis of what no sheet has: %v", l)
	}
}

// TestBasisOfAnother: a site's basis that is lent to a chemical which the site does not know holds where it is one of that,
// and stops nothing where it is none: the sheet of ferric chloride beside that of alum.
func TestBasisOfAnother(t *testing.T) {
	const text = "Jar,Ferric chloride (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n"
	for _, c := range []struct {
		says quantity.Basis
		lent bool
		got  quantity.Basis
		err  bool
	}{
		{quantity.AsAlum14, true, quantity.NotStated, false},
		{quantity.AsAlum14, false, "", true},
		{quantity.AsProduct, true, quantity.AsProduct, false},
	} {
		r, err := Read("b.csv", strings.NewReader(text), Options{Counts: func(string) SiteBasis {
			return SiteBasis{Known: quantity.Some(c.says), From: "the site", FromSheet: true, Lent: c.lent}
		}})
		if err != nil || (len(r.Notes.Only(note.Error)) > 0) != c.err || !c.err && r.Series[0].Chemicals[0].Basis != c.got {
			t.Errorf("%+v: %v, %+v", c, err, r.Series)
		}
	}
}

// TestBasisOfSiteIsTold: a sheet that says no basis takes the site's, which is told once where nothing else shows it.
func TestBasisOfSiteIsTold(t *testing.T) {
	const says = `the sheet does not say what the doses of alum count; as Al2O3 is taken from the site (site.yaml: B9)`
	for _, c := range []struct {
		head string
		told bool
		want int
	}{{"Alum (mg/L)", true, 1}, {"Alum (mg/L)", false, 0}, {"Alum (mg/L as Al2O3)", true, 0}} {
		r := mustRead(t, "b.csv", "Jar,"+c.head+",NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{Counts: func(string) SiteBasis {
			return SiteBasis{Known: quantity.Known[quantity.Basis]{V: quantity.AsAl2O3, OK: true, At: note.Place{File: "site.yaml", Cell: "B9"}}, From: "the site", Told: c.told}
		}})
		n := 0
		for _, x := range r.Notes {
			if x.Code == "basis-of-site" && x.Message == says {
				n++
			}
		}
		if n != c.want || r.Series[0].Chemicals[0].Basis != quantity.AsAl2O3 {
			t.Errorf("%+v: said %d times, counts %s: %v", c, n, r.Series[0].Chemicals[0].Basis, r.Notes)
		}
	}
}

// TestBasisInAColumn: a column that states the basis is a fact of the doses beside it.
func TestBasisInAColumn(t *testing.T) {
	sheet := func(head string, cells ...string) string {
		out := "Chemical," + head + ",Jar,Dose (mg/L),NTU\n"
		for i, c := range cells {
			out += fmt.Sprintf("alum,%s,%d,%d,%d\n", c, i+1, 10*(i+1), 20-5*i)
		}
		return out
	}
	for _, c := range []struct{ head, cell, want string }{
		{"Basis", "as product", "as product"}, {"Dose basis", "as Al", "as Al"}, {"Basis", "Al2O3", "as Al2O3"}, {"Basis", "", ""},
	} {
		r := mustRead(t, "b.csv", sheet(c.head, c.cell, c.cell, c.cell), Options{})
		if got := string(r.Series[0].Chemicals[0].Basis); got != c.want || len(loud(r)) > 0 {
			t.Errorf("%s | %s: %q, says %v", c.head, c.cell, got, loud(r))
		}
	}
	if r := mustRead(t, "b.csv", sheet("Basis", "as Al", "as product", "as Al"), Options{}); !slices.Contains(loud(r), "basis-column") || r.Series[0].Chemicals[0].Basis != quantity.NotStated {
		t.Errorf("two bases: says %v", loud(r))
	}
	if r := mustRead(t, "b.csv", sheet("Basis", "as zorp", "as zorp", "as zorp"), Options{}); len(loud(r)) == 0 {
		t.Error("a basis that is none: silent")
	}
}

// TestProductInEveryTongue: a heading counts the product in the words of its language.
func TestProductInEveryTongue(t *testing.T) {
	for _, head := range []string{"PAC (mg/L as product)", "PAC投加量 (mg/L,以商品计)", "Tawas (mg/L sebagai produk)", "PAC (mg/L theo sản phẩm)", "PAC (mg/L como producto)", "PAC (mg/l ürün olarak)", "PAC (mg/L als Produkt)"} {
		r := mustRead(t, "b.csv", "Jar,\""+head+"\",Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n", Options{})
		if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != quantity.AsProduct || len(loud(r)) > 0 {
			t.Errorf("%s: %v, says %v", head, r.Series, loud(r))
		}
	}
}
