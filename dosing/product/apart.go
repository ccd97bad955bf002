package product

import "strings"

// KeepApart reports whether two products must not meet undiluted, by what either
// is to be kept apart from.
func KeepApart(a, b Product) bool { return a.shuns(b) || b.shuns(a) }

// shuns reports whether p's own list names b's kind.
func (p Product) shuns(b Product) bool {
	for _, word := range p.Apart {
		switch Group(word) {
		case b.Group:
			return b.Group != UnknownProduct
		case "aluminate":
			if b.Group == Aluminate {
				return true
			}
		}
		switch word {
		case "anionic polymer", "cationic polymer":
			if b.Charge != "" && strings.HasPrefix(word, string(b.Charge)) {
				return true
			}
		}
	}
	// Neat coagulant and neat polymer gel at once, whatever the charge.
	return p.Group.Coagulant() && (b.Group == Polymer || b.Group == Biopolymer)
}
