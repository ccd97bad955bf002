package product

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// massRatio gives mass of substance "to" for one mass of substance "from", both
// held by p: through moles of the element that they share.
func massRatio(p Product, from, to quantity.Basis) (float64, error) {
	if from == to {
		return 1, nil
	}
	fe, fm, fok := elementMoles(from)
	te, tm, tok := elementMoles(to)
	switch {
	case from == quantity.NotStated || to == quantity.NotStated:
		return 0, note.Fault("basis-missing", "the basis of %s is not stated", nameOf(p)).
			Do("say what the number counts, such as %q or %q", quantity.AsProduct, example(p))
	case !fok || !tok || fe != te:
		return 0, note.Fault("basis-mismatch", "a dose %s cannot be counted %s: %s holds no such substance", from, to, nameOf(p)).
			Do("use one of the bases that it holds: %s", listBases(p.Bases()))
	}
	return fm / tm, nil
}

func nameOf(p Product) string { return cmp.Or(p.Name, "the product") }

func example(p Product) quantity.Basis { return cmp.Or(p.Basis, quantity.AsAl) }

func listBases(b []quantity.Basis) string {
	s := make([]string, len(b))
	for i, x := range b {
		s[i] = string(x)
	}
	return strings.Join(s, ", ")
}

// Convert gives the same dose of p counted on another basis. Between two
// substances it goes through moles of their common element; to and from "as
// product" it also needs the product's strength.
func Convert(d quantity.Dose, p Product, to quantity.Basis) (quantity.Dose, error) {
	if d.Basis == quantity.NotStated {
		return quantity.Dose{}, note.Fault("basis-missing", "the dose %s has no basis", d.Concentration).
			Do("say what it counts, such as %q or %q", quantity.AsProduct, example(p))
	}
	if d.Basis == to {
		return d, nil
	}
	if d.Basis != quantity.AsProduct && to != quantity.AsProduct {
		r, err := massRatio(p, d.Basis, to)
		return quantity.Dose{Concentration: d.Concentration * quantity.Concentration(r), Basis: to}, err
	}
	from, err := p.StrengthAs(d.Basis)
	if err != nil {
		return quantity.Dose{}, err
	}
	into, err := p.StrengthAs(to)
	if err != nil {
		return quantity.Dose{}, err
	}
	return quantity.Dose{Concentration: d.Concentration * quantity.Concentration(into/from), Basis: to}, nil
}

// Bases lists the bases on which a dose of p can be given, "as product" first,
// then the one of its strength, then the others that share its key element.
func (p Product) Bases() []quantity.Basis {
	out := []quantity.Basis{quantity.AsProduct}
	if p.Basis == quantity.NotStated {
		return out
	}
	out = append(out, p.Basis)
	el, _, ok := elementMoles(p.Basis)
	if !ok {
		return out
	}
	for _, b := range quantity.Bases() {
		e, _, has := elementMoles(b)
		if has && e == el && b != p.Basis && (rare[b] != "" || !slices.Contains(alone, e)) && (rare[b] == rare[p.Basis] || slices.Contains(plainBases, b)) {
			out = append(out, b)
		}
	}
	return out
}

// alone are the key elements that do not make one substance of another, as sodium does not make soda ash of caustic.
var alone = []string{"Na", "S", "Cl", "K", "C"}

// plainBases count the metal itself, whatever salt it comes in.
var plainBases = []quantity.Basis{quantity.AsAl, quantity.AsAl2O3}

// rare are bases that only products of their kind are counted on.
var rare = map[quantity.Basis]string{quantity.AsPotashAlum: "potash", quantity.AsAmmoniumAlum: "ammonium", quantity.AsAlCl3: "chloride", quantity.AsAlCl3x6: "chloride",
	quantity.AsGypsum: "gypsum", quantity.AsCaCl2: "calcium chloride", quantity.AsThiosulfate: "thiosulfate", quantity.AsThiosulfate0: "thiosulfate"}

// GuessFor gives the product that a dose on this basis most likely means, where
// the user named none: liquid alum for alum, and so on. It is an error for "as
// product" and other bases that fit any chemical.
func (c Catalogue) GuessFor(b quantity.Basis) (Product, error) {
	id, ok := map[quantity.Basis]string{
		quantity.AsAlum14: "alum-liquid", quantity.AsAlum18: "alum-liquid", quantity.AsAlum0: "alum-liquid", quantity.AsDryAlum: "alum-liquid",
		quantity.AsAl: "alum-liquid", quantity.AsAl2O3: "pacl-10",
		quantity.AsFe: "ferric-chloride", quantity.AsFe2O3: "ferric-chloride", quantity.AsFeCl3: "ferric-chloride",
		quantity.AsFeCl3x6: "ferric-chloride-dry", quantity.AsFe2SO43: "ferric-sulfate", quantity.AsFeSO4x7: "ferrous-sulfate",
		quantity.AsNaOH: "caustic-50", quantity.AsCaOH2: "lime", quantity.AsCaO: "quicklime", quantity.AsNa2CO3: "soda-ash",
		quantity.AsNaHCO3: "bicarbonate", quantity.AsKOH: "koh-45", quantity.AsKHCO3: "khco3", quantity.AsLimestone: "ag-lime", quantity.AsDolomite: "dolomite",
		quantity.AsGypsum: "gypsum", quantity.AsCaCl2: "calcium-chloride", quantity.AsThiosulfate: "thiosulfate", quantity.AsThiosulfate0: "thiosulfate-dry",
		quantity.AsMgOH2: "magnesia", quantity.AsH2SO4: "sulfuric-acid", quantity.AsHCl: "hydrochloric-acid",
	}[b]
	if !ok {
		return Product{}, note.Fault("chemical-not-known", "a dose %s fits any chemical", b).
			Do("name it with --chemical")
	}
	return c.Find(id)
}

// Equivalents gives the acid that one mole of the key element brings: what the
// product states, else the metal's charge not yet met by hydroxide.
func (p Product) Equivalents() (Equivalents, bool) {
	if p.Acid.OK {
		return p.Acid.V, true
	}
	if p.Metal() == "" || !p.Basicity.OK {
		return 0, false
	}
	return Equivalents(3 * (1 - float64(p.Basicity.V))), true
}

// moles gives mmol/L of the key element in a dose.
func (p Product) moles(d quantity.Dose) (float64, error) {
	e, err := Convert(d, p, p.Basis)
	if err != nil {
		return 0, err
	}
	_, m, ok := elementMoles(p.Basis)
	switch {
	case !ok:
		return 0, nil
	case p.Metal() == "": // acids and alkalis count per mole of substance
		mm, _ := MolarMass(p.Basis)
		return float64(e.Concentration) / mm, nil
	}
	return float64(e.Concentration) * m, nil
}

// AlkalinityUsed gives what a dose takes from the water's alkalinity (below zero
// for what an alkali gives). Aluminium takes 3 (1 − basicity) equivalents a mole,
// so alum 5.56 mg CaCO3 per mg Al and iron(III) 2.69 per mg Fe.
func (p Product) AlkalinityUsed(d quantity.Dose) (quantity.Alkalinity, error) {
	if p.Takes.OK {
		e, err := Convert(d, p, cmp.Or(p.TakesOn, p.Basis))
		return quantity.Alkalinity(float64(e.Concentration) * float64(p.Takes.V)), err
	}
	if p.Acid.OK && p.Acid.V == 0 {
		return 0, nil
	}
	eq, ok := p.Equivalents()
	if !ok {
		return 0, note.Fault("acidity-unknown", "what %s does to the alkalinity is not known", nameOf(p)).
			Do("%s", p.asksAcidity())
	}
	m, err := p.moles(d)
	return quantity.Alkalinity(m * float64(eq) * quantity.CaCO3PerEquivalent), err
}

// AtMostAcid is the product as it takes the most alkalinity that is plausible: of a metal salt whose basicity is not known,
// with none. False where what it takes is known, or nothing tells how much it plausibly is.
func (p Product) AtMostAcid() (Product, bool) {
	if _, known := p.Equivalents(); known || p.Takes.OK || p.Metal() == "" {
		return p, false
	}
	p.Basicity = Given[quantity.Fraction](0, "the worst that is plausible")
	return p, true
}

// asksAcidity names what a user can give of a product of his own for its acid to be known.
func (p Product) asksAcidity() string {
	other := `its "charge" where it is a polymer`
	if p.Metal() != "" {
		other = `its "basicity"`
	}
	return `give its "alkalinity taken" in the site under Chemicals (the raw water's alkalinity less that of a jar with it, over the dose; 0 where it takes none), or ` + other
}

// ElementAdded gives what a dose brings of an element, by the formula that the product is
// counted as, in mg/L of the element: the carbon of a carbonate, the nitrogen of ammonium
// alum. It is zero where the formula has none of it.
func (p Product) ElementAdded(d quantity.Dose, element string) (quantity.Concentration, error) {
	c := compositions()[p.Basis][element]
	if c == 0 {
		return 0, nil
	}
	e, err := Convert(d, p, p.Basis)
	mm, _ := MolarMass(p.Basis)
	return quantity.Concentration(float64(e.Concentration) / mm * c * quantity.AtomicMass[element]), err
}

// CarbonAdded gives the inorganic carbon that a carbonate alkali brings, in mg/L as C.
func (p Product) CarbonAdded(d quantity.Dose) (quantity.Concentration, error) {
	return p.ElementAdded(d, "C")
}

// AmmoniaAdded gives the total ammonia that a dose brings, in mg/L as N. All nitrogen of
// the catalogue's formulas is ammonium.
func (p Product) AmmoniaAdded(d quantity.Dose) (quantity.Concentration, error) {
	return p.ElementAdded(d, "N")
}

// AnionAdded gives the sulfate, chloride or thiosulfate that a dose leaves in the water, in
// mg/L of that ion: as many charges as the acid that the product brings, and those of the
// cations of a double alum or a salt.
func (p Product) AnionAdded(d quantity.Dose) (string, quantity.Concentration, error) {
	eq, ok := p.Equivalents()
	if p.Anion == "" || !ok {
		return p.Anion, 0, nil
	}
	m, err := p.moles(d)
	perCharge := map[string]float64{"SO4": (32.06 + 4*15.999) / 2, "Cl": 35.45, "S2O3": (2*32.06 + 3*15.999) / 2}[p.Anion]
	atoms := compositions()[p.Basis]
	held, of := atoms["K"]+atoms["N"]+atoms["Na"]+2*atoms["Ca"], 1.0
	if p.Metal() != "" {
		of = max(1, atoms[substances[p.Basis].element])
	}
	return p.Anion, quantity.Concentration(m * max(0, float64(eq)+held/of) * perCharge), err
}

// HardnessAdded gives the hardness that a dose brings by its calcium and magnesium, in mg/L as CaCO3.
func (p Product) HardnessAdded(d quantity.Dose) (sum quantity.Concentration, err error) {
	for _, element := range []string{"Ca", "Mg"} {
		c, bad := p.ElementAdded(d, element)
		if bad != nil {
			return 0, bad
		}
		sum += c * quantity.Concentration(2*quantity.CaCO3PerEquivalent/quantity.AtomicMass[element])
	}
	return sum, nil
}

// ChlorineBound gives the chlorine that a dose of thiosulfate takes from the water: for sure,
// two molecules to one of chlorine (to tetrathionate), and at the most one to four (to sulfate).
func (p Product) ChlorineBound(d quantity.Dose) (sure, most quantity.Concentration, err error) {
	if p.Group != Reducer {
		return 0, 0, nil
	}
	m, err := p.moles(d)
	chlorine := quantity.Concentration(m * 2 * quantity.AtomicMass["Cl"])
	return chlorine / 2, 4 * chlorine, err
}

// IsPolymer reports whether p is a polymer, of oil or of nature.
func (p Product) IsPolymer() bool { return p.Group == Polymer || p.Group == Biopolymer }

// ActivePolymer counts a dose of a polymer as active polymer. It is false where
// its strength is not known: all of the dose then counts, since product holds no
// more than itself.
func (p Product) ActivePolymer(d quantity.Dose) (quantity.Concentration, bool) {
	a, err := Convert(d, p, quantity.AsActive)
	if err != nil {
		return d.Concentration, false
	}
	return a.Concentration, true
}

// LiquidVolume gives the volume of a mass of a liquid product: kg / (kg/L).
func LiquidVolume(m quantity.Mass, d quantity.Density) quantity.Volume {
	return quantity.Volume(float64(m) / float64(d))
}
