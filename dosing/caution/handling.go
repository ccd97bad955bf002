package caution

import (
	"cmp"
	"slices"
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
	named := func(name string) bool { // one that the catalogue does not have
		of := otherFamilies(name)
		for _, f := range of {
			if name = strings.TrimSpace(name); !slices.Contains(g[f], name) {
				g[f] = append(g[f], name)
			}
		}
		return of != nil
	}
	add := func(p product.Product) {
		key := cmp.Or(p.ID, p.Name)
		if seen[key] {
			return
		}
		seen[key] = true
		list = append(list, p)
		for _, f := range families {
			if f.has(p) {
				g[f.name] = append(g[f.name], short(p))
			}
		}
		if unknown(p) {
			named(p.Name)
		}
	}
	for _, d := range v.s.Doses {
		add(d.Product)
	}
	for _, p := range v.s.OnSite {
		add(p)
	}
	for _, name := range v.s.Also {
		if named(name) {
			continue
		} else if may := product.Default().Called(name); len(may) > 0 {
			for _, p := range may { // what any of them must not meet
				if p.ID == may[0].ID || !product.Alike([]product.Product{may[0], p}) {
					add(p)
				}
			}
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

// setsSolid is the strength from which on caustic soda sets solid in a store that is merely
// cold: 50 % does near 12 C, 25 % far below freezing (common practice, no source).
const setsSolid quantity.Fraction = 0.4

// family is one of those that the tables below name, and what belongs to it.
type family struct {
	name string
	has  func(product.Product) bool
}

var families = []family{
	{"coagulant", func(p product.Product) bool { return p.Group.Coagulant() && p.Group != product.Aluminate }},
	{"aluminate", func(p product.Product) bool { return p.Group == product.Aluminate }},
	{"acid", func(p product.Product) bool { return p.Group == product.Acid }},
	{"alkali", func(p product.Product) bool { return p.Group == product.Alkali }},
	{"strong alkali", func(p product.Product) bool {
		return lime(p) || alkaliOf(p, quantity.AsNaOH, quantity.AsKOH) || p.Group == product.Aluminate
	}},
	{"carbonate", func(p product.Product) bool {
		return alkaliOf(p, quantity.AsNa2CO3, quantity.AsNaHCO3, quantity.AsKHCO3)
	}},
	{"acid chloride", func(p product.Product) bool {
		return p.Form == product.Liquid && slices.Contains(acidChlorides, p.Basis)
	}},
	{"lime", lime},
	{"caustic soda", func(p product.Product) bool {
		return alkaliOf(p, quantity.AsNaOH) && p.Form == product.Liquid && p.Strength.V >= setsSolid
	}},
	{"iron salt", func(p product.Product) bool { return p.Metal() == "Fe" }},
	{"ammonium salt", func(p product.Product) bool {
		n, err := p.AmmoniaAdded(quantity.Dose{Concentration: 1, Basis: p.Basis})
		return err == nil && n > 0
	}},
	{"reducer", func(p product.Product) bool { return p.Group == product.Reducer }},
	{"polymer", product.Product.IsPolymer},
	{"anionic", func(p product.Product) bool { return p.IsPolymer() && p.Charge == product.Anionic }},
	{"cationic", func(p product.Product) bool { return p.IsPolymer() && p.Charge == product.Cationic }},
	{"slippery", func(p product.Product) bool { return p.Group == product.Polymer }},
	{"dry polymer", func(p product.Product) bool { return p.Group == product.Polymer && p.Form == product.Dry }},
	{"emulsion", func(p product.Product) bool { return p.Group == product.Polymer && p.Form == product.Emulsion }},
	{"dry", func(p product.Product) bool { return p.Form == product.Dry }},
	{"spilt liquid", func(p product.Product) bool {
		return p.Form == product.Liquid && !p.IsPolymer() && harmful(p) && p.Group != product.Acid
	}},
	{"quicklime", func(p product.Product) bool { return alkaliOf(p, quantity.AsCaO) }},
	{"powder", func(p product.Product) bool {
		return lime(p) || p.Form == product.Dry && p.Group != product.Polymer && (harmful(p) || strings.Contains(p.Protection.Text, "dust mask"))
	}},
	{"bulk liquid", func(p product.Product) bool { return p.Form == product.Liquid }},
}

// acidChlorides are metal salts whose liquors are acid and full of chloride.
var acidChlorides = []quantity.Basis{quantity.AsFeCl3, quantity.AsFeCl3x6, quantity.AsAlCl3, quantity.AsAlCl3x6}

// lime reports quick and hydrated lime.
func lime(p product.Product) bool { return alkaliOf(p, quantity.AsCaOH2, quantity.AsCaO) }

// alkaliOf reports an alkali that is counted as one of those.
func alkaliOf(p product.Product, of ...quantity.Basis) bool {
	return p.Group == product.Alkali && slices.Contains(of, p.Basis)
}

// otherGoods are chemicals that the catalogue does not sell but that stand in the same shed, by a word of
// their names, with every family that they belong to; the first word that a name has decides.
var otherGoods = []struct {
	word string
	of   []string
}{
	{"dechlor", []string{"reducer"}}, {"antichlor", []string{"reducer"}}, {"anti-chlor", []string{"reducer"}}, {"chlorine remover", []string{"reducer"}},
	{"chlorine neutral", []string{"reducer"}}, {"chlorine free", nil}, {"chlorine-free", nil},
	{"minium chlorine", nil}, {"minum chlorine", nil}, {"ferric chlorine", nil}, // chlorides, so written on many a bag
	{"trichloro", []string{"chlorine giver"}}, {"tcca", []string{"chlorine giver"}}, {"trichlor", []string{"chlorine giver"}}, {"symclosene", []string{"chlorine giver"}},
	{"dichlor", []string{"chlorine giver"}}, {" sdic ", []string{"chlorine giver"}}, {" nadcc ", []string{"chlorine giver"}}, {"isocyanur", []string{"chlorine giver"}},
	{"chloramine", []string{"chlorine giver"}},
	{"hypochlorite", []string{"hypochlorite"}}, {" hypo ", []string{"hypochlorite"}}, {"bleach", []string{"hypochlorite"}}, {"pool chlorine", []string{"hypochlorite"}},
	{"chlorine", []string{"hypochlorite"}}, {" javel", []string{"hypochlorite"}},
	{"chlorite", []string{"chlorite"}}, {"permanganate", []string{"oxidiser", "permanganate"}},
	{"peracetic", []string{"oxidiser", "peroxide", "peracid"}}, {"percarbonate", []string{"oxidiser", "peroxide"}}, {"peroxide", []string{"oxidiser", "peroxide"}},
	{"ammonium", []string{"ammonium salt"}}, {"sal ammoniac", []string{"ammonium salt"}},
	{"muriatic", []string{"acid"}}, {" acid", []string{"acid"}},
}

// otherFamilies gives the families of such a chemical; none where the name is not known.
func otherFamilies(name string) []string {
	n := " " + strings.ToLower(name) + " "
	for _, x := range otherGoods {
		if strings.Contains(n, x.word) {
			return x.of
		}
	}
	return nil
}

// harmful reports that the product's hazard is more than a nuisance.
func harmful(p product.Product) bool {
	h := strings.ToLower(p.Hazard.Text)
	return h != "" && !strings.HasPrefix(h, "none") && !strings.HasPrefix(h, "usually none for people")
}

// worn are the words of a rule for a family: all of it at once, or, where the rule says what to wear, those together that ask for the same.
func (v *reviewer) worn(id, of string, g goods, list []product.Product) (out []Words) {
	if len(g[of]) == 0 {
		return nil
	}
	if r := v.rule(id); !strings.Contains(r.Says+r.Do, "{ppe}") {
		return []Words{{"chemical": join(g[of])}}
	}
	has := families[slices.IndexFunc(families, func(f family) bool { return f.name == of })].has
	var asked []string
	names := map[string][]string{}
	for _, p := range list {
		if wear := p.Protection.Text; has(p) {
			if names[wear] == nil {
				asked = append(asked, wear)
			}
			names[wear] = append(names[wear], short(p))
		}
	}
	for _, wear := range asked {
		out = append(out, Words{"chemical": join(names[wear]), "ppe": product.Fact{Text: cmp.Or(wear, unknownWear)}.Told()})
	}
	return out
}

// unknownWear is what is worn with what nobody knows anything of.
const unknownWear = "goggles, gloves, dust mask and apron"

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
		{"mix-acid-thiosulfate", "acid", "reducer"},
		{"mix-thiosulfate", "coagulant", "reducer"},
		{"mix-thiosulfate-chlorine", "hypochlorite", "reducer"},
		{"mix-thiosulfate-chlorine", "chlorine giver", "reducer"},
		{"mix-thiosulfate-chlorine", "oxidiser", "reducer"},
		{"mix-acid-chlorine", "acid", "chlorine giver"},
		{"mix-acid-chlorine", "coagulant", "chlorine giver"},
		{"mix-acid-chlorine", "peracid", "hypochlorite"},
		{"mix-oxidiser", "polymer", "chlorine giver"},
		{"mix-chlorines", "hypochlorite", "chlorine giver"},
		{"mix-permanganate-acid", "acid", "permanganate"},
		{"mix-permanganate-chloride", "acid chloride", "permanganate"},
		{"mix-permanganate-peroxide", "permanganate", "peroxide"},
		{"mix-peroxide", "iron salt", "peroxide"},
		{"mix-peroxide", "strong alkali", "peroxide"},
		{"mix-ammonium-alkali", "ammonium salt", "strong alkali"},
		{"mix-ammonium-chlorine", "ammonium salt", "hypochlorite"},
		{"mix-ammonium-chlorine", "ammonium salt", "chlorine giver"},
	} {
		if len(g[pair.a]) > 0 && len(g[pair.b]) > 0 {
			v.sayHandling(pair.id, Words{"a": join(g[pair.a]), "b": join(g[pair.b])})
		}
	}
	for _, p := range list {
		if harmful(p) {
			v.sayHandling("handle-wear", Words{"chemical": short(p), "hazard": p.Danger(), "ppe": p.Protection.Told()})
		} else if p.Hazard.Text == "" {
			v.sayHandling("handle-unknown", Words{"chemical": short(p)})
		}
	}
	v.neatByHand()
	if slices.ContainsFunc(list, harmful) {
		v.sayHandling("handle-first-aid", nil)
	}
	for _, x := range []struct{ id, family string }{
		{"handle-metal", "coagulant"}, {"handle-metal", "acid"}, {"handle-hydrogen", "strong alkali"},
		{"handle-slip", "slippery"}, {"handle-dust", "dry polymer"}, {"handle-powder", "powder"}, {"handle-emulsion", "emulsion"},
		{"handle-makeup", "dry polymer"}, {"handle-makeup-emulsion", "emulsion"}, {"handle-spill-liquid", "spilt liquid"}, {"handle-spill-dry", "powder"},
		{"handle-spill-acid", "acid"}, {"handle-quicklime", "quicklime"},
		{"handle-store-dry", "dry"}, {"handle-caustic-cold", "caustic soda"}, {"handle-acid-order", "acid"},
	} {
		for _, w := range v.worn(x.id, x.family, g, list) {
			v.sayHandling(x.id, w)
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
