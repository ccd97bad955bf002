package caution

import (
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// goods are chemicals of one family on this site.
type goods map[string][]string

// families sorts the chemicals of the site.
func (v *reviewer) families() (goods, []product.Product) {
	g := goods{}
	var list []product.Product
	seen := map[string]bool{}
	add := func(p product.Product) {
		key := p.ID
		if key == "" {
			key = p.Name
		}
		if seen[key] {
			return
		}
		seen[key] = true
		list = append(list, p)
		for _, f := range familiesOf(p) {
			g[f] = append(g[f], short(p))
		}
	}
	for _, d := range v.s.Doses {
		add(d.Product)
	}
	for _, p := range v.s.OnSite {
		add(p)
	}
	var catalogue product.Catalogue
	if len(v.s.Also) > 0 {
		catalogue = product.Default()
	}
	for _, name := range v.s.Also {
		if f := otherFamily(name); f != "" {
			g[f] = append(g[f], strings.TrimSpace(name))
		} else if p, err := catalogue.Find(name); err == nil {
			add(p)
		} else {
			v.skip("what " + strings.TrimSpace(name) + " must not meet: it is not in the catalogue")
		}
	}
	return g, list
}

// short is the product's name without what stands in brackets.
func short(p product.Product) string {
	name, _, _ := strings.Cut(p.Name, " (")
	name, _, _ = strings.Cut(name, ",")
	return name
}

// familiesOf says which pairs of the table a product belongs to.
func familiesOf(p product.Product) []string {
	var f []string
	switch p.Group {
	case product.AluminiumSalt, product.Polyaluminium, product.IronSalt:
		f = append(f, "coagulant")
	case product.Aluminate:
		f = append(f, "aluminate", "strong alkali")
	case product.Acid:
		f = append(f, "acid")
	case product.Alkali:
		f = append(f, "alkali")
		switch p.Basis {
		case quantity.AsNa2CO3, quantity.AsNaHCO3:
			f = append(f, "carbonate")
		case quantity.AsCaOH2, quantity.AsCaO:
			f = append(f, "lime", "strong alkali", "powder")
		case quantity.AsNaOH:
			f = append(f, "strong alkali", "caustic soda")
		}
	case product.Polymer, product.Biopolymer:
		f = append(f, "polymer")
		switch p.Charge {
		case product.Anionic:
			f = append(f, "anionic")
		case product.Cationic:
			f = append(f, "cationic")
		}
		if p.Group == product.Polymer {
			f = append(f, "slippery")
			switch p.Form {
			case product.Dry:
				f = append(f, "dry polymer", "made up")
			case product.Emulsion:
				f = append(f, "emulsion", "made up")
			}
		}
	}
	if p.Form == product.Dry && p.Group != product.Polymer && p.Group != product.Biopolymer && harmful(p) {
		f = append(f, "powder")
	}
	if p.Form == product.Liquid {
		f = append(f, "bulk liquid")
	}
	return dedupe(f)
}

func dedupe(f []string) []string {
	var out []string
	for _, x := range f {
		if len(out) == 0 || !has(out, x) {
			out = append(out, x)
		}
	}
	return out
}

func has(list []string, x string) bool {
	for _, y := range list {
		if y == x {
			return true
		}
	}
	return false
}

// otherFamily knows chemicals that the catalogue does not sell but that stand in
// the same shed.
func otherFamily(name string) string {
	n := strings.ToLower(name)
	for _, x := range []struct{ word, family string }{
		{"hypochlorite", "hypochlorite"}, {"bleach", "hypochlorite"}, {"pool chlorine", "hypochlorite"}, {"chlorine", "hypochlorite"},
		{"chlorite", "chlorite"}, {"peroxide", "oxidiser"}, {"permanganate", "oxidiser"}, {"peracetic", "oxidiser"},
		{"muriatic", "acid"}, {" acid", "acid"},
	} {
		if strings.Contains(" "+n, x.word) {
			return x.family
		}
	}
	return ""
}

// harmful reports that the product's hazard is more than a nuisance.
func harmful(p product.Product) bool {
	h := strings.ToLower(p.Hazard.Text)
	return h != "" && !strings.HasPrefix(h, "none") && !strings.HasPrefix(h, "usually none for people")
}

// handling says what the chemicals on this site do to people, to metal and to
// each other. It says nothing of chemicals that are not here.
func (v *reviewer) handling() {
	g, list := v.families()
	if len(list) == 0 && len(g) == 0 {
		return
	}
	v.sayHandling("handle-label", nil)
	for _, pair := range []struct{ id, a, b string }{
		{"mix-chlorine", "coagulant", "hypochlorite"},
		{"mix-acid-chlorine", "acid", "hypochlorite"},
		{"mix-chlorite", "coagulant", "chlorite"},
		{"mix-chlorite", "acid", "chlorite"},
		{"mix-coagulant-alkali", "coagulant", "alkali"},
		{"mix-coagulant-aluminate", "coagulant", "aluminate"},
		{"mix-coagulant-polymer", "coagulant", "polymer"},
		{"mix-cationic-anionic", "cationic", "anionic"},
		{"mix-acid-alkali", "acid", "alkali"},
		{"mix-acid-alkali", "acid", "aluminate"},
		{"mix-oxidiser", "polymer", "hypochlorite"},
		{"mix-oxidiser", "polymer", "oxidiser"},
		{"mix-lime-soda", "lime", "carbonate"},
	} {
		if len(g[pair.a]) > 0 && len(g[pair.b]) > 0 {
			v.sayHandling(pair.id, Words{"a": join(g[pair.a]), "b": join(g[pair.b])})
		}
	}
	for _, p := range list {
		if harmful(p) {
			v.sayHandling("handle-wear", Words{"chemical": short(p), "hazard": p.Hazard.Told(), "ppe": p.Protection.Told()})
		}
	}
	for _, x := range []struct{ id, family string }{
		{"handle-metal", "coagulant"}, {"handle-metal", "acid"}, {"handle-hydrogen", "strong alkali"},
		{"handle-slip", "slippery"}, {"handle-dust", "dry polymer"}, {"handle-powder", "powder"}, {"handle-emulsion", "emulsion"},
		{"handle-makeup", "made up"}, {"handle-caustic-cold", "caustic soda"}, {"handle-acid-order", "acid"},
	} {
		if len(g[x.family]) > 0 {
			v.sayHandling(x.id, Words{"chemical": join(g[x.family])})
		}
	}
	for _, p := range list {
		s := p.Store
		if s.Low != 0 || s.High != 0 {
			v.sayHandling("handle-store", Words{"chemical": short(p), "low": degrees(s.Low).Bare(), "high": degrees(s.High)})
		}
		if p.ID == "alum-liquid" {
			v.sayHandling("handle-freeze", nil)
		}
	}
	if len(g["bulk liquid"]) > 0 {
		v.sayHandling("delivery", nil)
	}
	v.out.Handling = v.out.Handling.Sorted()
}
