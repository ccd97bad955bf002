// Package product knows the chemicals: a catalogue with the source of each
// figure, what one mg of a product holds (aluminium, iron, active polymer), the
// conversion of a dose between bases through moles, and the acid and the anion
// that a dose brings with it.
//
// The catalogue is one table, catalogue.txt. A drum's own label comes first: the
// site workbook replaces strength, density and basicity of any product here, and
// may describe products that the table does not have.
package product

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Figure is one number of the catalogue with where it comes from. The zero
// value is an unknown figure.
type Figure[T ~float64] struct {
	quantity.Known[T]
	Low, High T // what the trade sells; both zero where not given
	Source    string
	Status    Status
}

// Given is a figure that the user stated.
func Given[T ~float64](v T, source string) Figure[T] {
	return Figure[T]{Known: quantity.Some(v), Source: source, Status: Stated}
}

// Fact is a piece of text of the catalogue with where it comes from.
type Fact struct {
	Text   string // as [quantity.Told] reads it
	Source string
	Status Status
}

// Told is the text with its figures as each reader wants them.
func (f Fact) Told() note.Phrase { return quantity.Told(f.Text, nil) }

// Status says how far a figure can be trusted.
type Status string

const (
	// Read: the figure was read in the source named.
	Read Status = "read"
	// Computed: it follows from atomic masses.
	Computed Status = "computed"
	// Memory: a habit of the trade that was not read in any source.
	Memory Status = "from memory, not checked in its source"
	// Stated: the user gave it.
	Stated Status = "stated"
)

// Group is the family that decides what may meet what.
type Group string

const (
	AluminiumSalt Group = "aluminium salt"
	Polyaluminium Group = "polyaluminium"
	IronSalt      Group = "iron salt"
	Aluminate     Group = "aluminate"
	Alkali        Group = "alkali"
	Acid          Group = "acid"
	Polymer       Group = "polymer"
	Biopolymer    Group = "biopolymer"
	// Salt gives hardness, Reducer takes chlorine, Clay weighs floc down.
	Salt           Group = "salt"
	Reducer        Group = "reducer"
	Clay           Group = "clay"
	UnknownProduct Group = ""
)

// Coagulant reports whether the group is a salt of aluminium or iron.
func (g Group) Coagulant() bool {
	return g == AluminiumSalt || g == Polyaluminium || g == IronSalt || g == Aluminate
}

// Form is how the product is delivered.
type Form string

const (
	Liquid   Form = "liquid"
	Dry      Form = "dry"
	Emulsion Form = "emulsion"
)

// Charge is that of a polymer in water; empty for other products.
type Charge string

const (
	Cationic Charge = "cationic"
	Anionic  Charge = "anionic"
	NonIonic Charge = "non-ionic"
)

// Equivalents is moles of charge per mole of the key element (or of the
// substance where it has none): above zero for acid, below zero for base.
type Equivalents float64

// Product is one thing that is sold, with what is needed to dose it.
type Product struct {
	ID   string
	Name string
	Also []string // other names it goes by
	// Perhaps are names that it shares with other products.
	Perhaps []string
	Group   Group
	Form    Form

	// Basis is the substance that Strength counts.
	Basis quantity.Basis
	// Strength is mass of the basis substance per mass of product.
	Strength Figure[quantity.Fraction]
	// Density is unknown for dry goods.
	Density Figure[quantity.Density]
	// Basicity is the share of a metal's charge already met by hydroxide.
	Basicity Figure[quantity.Fraction]
	// Acid is set where basicity does not say it; see [Product.Equivalents].
	Acid Figure[Equivalents]
	// Takes is alkalinity, mg as CaCO3, that a mg of the basis substance takes by the acid that it is carried in, or as
	// its user measured it, of a dose on the basis TakesOn; below zero where it gives some.
	Takes   Figure[quantity.Fraction]
	TakesOn quantity.Basis // empty for Basis
	// Manganese is what makers' certificates show of it, as a share of the product: Low and High alone.
	Manganese Figure[quantity.Fraction]
	Anion     string // "SO4" or "Cl"; empty where none is added
	Charge    Charge
	// Monomer is the residual monomer that drinking-water rules limit.
	Monomer string
	// Tested is the substance that tests with animals name it by; empty where none was tested by name.
	Tested string

	// Dilution bounds the product per litre of a made-up stock.
	Dilution Figure[quantity.Concentration]
	// Ageing is the wait before a made-up stock may be fed; Life is how long it
	// stays good after it was made.
	Ageing, Life Figure[quantity.Time]
	// Store bounds the temperature of the store, Shelf is the life of the goods in it.
	Store Figure[quantity.Temperature]
	Shelf Figure[quantity.Time]

	Hazard, Protection Fact
	// Apart lists groups and materials that the product must not meet neat.
	Apart []string
	Notes []Fact
}

// ChargeIn is the charge that a name says of a polymer, such as "cationic flocculant"; empty where it says none.
func ChargeIn(name string) string {
	n := strings.ToLower(name)
	if !slices.ContainsFunc([]string{"floc", "polymer", "polyelectrolyte", "polyacrylamide", "pam"}, func(w string) bool { return strings.Contains(n, w) }) {
		return ""
	}
	for _, c := range []struct {
		word   string
		charge Charge
	}{{"cationic", Cationic}, {"anionic", Anionic}, {"non-ionic", NonIonic}, {"nonionic", NonIonic}} {
		if strings.Contains(n, c.word) {
			return string(c.charge)
		}
	}
	return ""
}

// Metal is "Al" or "Fe" for a coagulant, empty for anything else.
func (p Product) Metal() string {
	element, _, _ := elementMoles(p.Basis)
	if element != "Al" && element != "Fe" {
		return ""
	}
	return element
}

// StrengthAs gives mass of the named substance per mass of product. As product
// it is 1. It is an error where the strength is unknown or the product does not
// hold that substance.
func (p Product) StrengthAs(b quantity.Basis) (quantity.Fraction, error) {
	if b == quantity.AsProduct {
		return 1, nil
	}
	f, err := massRatio(p, p.Basis, b)
	if err != nil {
		return 0, err
	}
	if !p.Strength.OK || p.Strength.V <= 0 {
		return 0, note.Fault("strength-unknown", "the strength of %s is not known", p.Name).
			Do("give its strength %s, from the drum's label or certificate", p.Basis)
	}
	return p.Strength.V * quantity.Fraction(f), nil
}

// WithStrength gives the product with a strength that the user stated, on any
// basis that it holds. The catalogue's basis stays where the two are one
// substance under two names.
func (p Product) WithStrength(f quantity.Fraction, b quantity.Basis, source string) (Product, error) {
	if f <= 0 || f > 1 {
		return p, note.Fault("bad-strength", "strength %s is not above 0 and up to 100 %%", f)
	}
	if b == quantity.AsProduct || b == quantity.NotStated {
		b = p.Basis
	}
	if p.Basis != quantity.NotStated && p.Basis != b {
		if _, err := massRatio(p, b, p.Basis); err != nil {
			return p, err
		}
	}
	p.Basis = b
	p.Strength = Given(f, source)
	return p, nil
}

// Active is mass of the basis substance per volume of neat liquid: 1000 × share
// × kg/L, in g/L ("10 × % × density", common to all operator handbooks). For
// 48.5 % at 1.335 kg/L it is 647 g/L (Hendricks 2011, table F.2).
func Active(strength quantity.Fraction, density quantity.Density) quantity.Concentration {
	return quantity.Concentration(float64(strength) * float64(density) * 1e6)
}
