package product

import (
	"jarwright/jartest/quantity"
)

// substance is a chemical that a dose may be counted as.
type substance struct {
	formula string
	element string // the key element that conversion goes through
}

// substances says what each basis counts. Polymer has no formula: its active
// mass is converted by strength alone.
var substances = map[quantity.Basis]substance{
	quantity.AsAlum14:  {"Al2(SO4)3.14H2O", "Al"},
	quantity.AsAlum18:  {"Al2(SO4)3.18H2O", "Al"},
	quantity.AsAlum0:   {"Al2(SO4)3", "Al"},
	quantity.AsAl:      {"Al", "Al"},
	quantity.AsAl2O3:   {"Al2O3", "Al"},
	quantity.AsFe:      {"Fe", "Fe"},
	quantity.AsFe2O3:   {"Fe2O3", "Fe"},
	quantity.AsFeCl3:   {"FeCl3", "Fe"},
	quantity.AsFeCl3x6: {"FeCl3.6H2O", "Fe"},
	quantity.AsFe2SO43: {"Fe2(SO4)3", "Fe"},
	quantity.AsFeSO4x7: {"FeSO4.7H2O", "Fe"},
	quantity.AsNaOH:    {"NaOH", "Na"},
	quantity.AsNa2CO3:  {"Na2CO3", "Na"},
	quantity.AsNaHCO3:  {"NaHCO3", "Na"},
	quantity.AsCaOH2:   {"Ca(OH)2", "Ca"},
	quantity.AsCaO:     {"CaO", "Ca"},
	quantity.AsMgOH2:   {"Mg(OH)2", "Mg"},
	quantity.AsH2SO4:   {"H2SO4", "S"},
	quantity.AsHCl:     {"HCl", "Cl"},
	quantity.AsActive:  {"", ""},
}

// atomicMass holds IUPAC abridged standard atomic weights in g/mol (from memory).
var atomicMass = map[string]float64{
	"H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305,
	"Al": 26.982, "S": 32.06, "Cl": 35.45, "Ca": 40.078, "Fe": 55.845,
}

// composition counts the atoms of a formula such as "Al2(SO4)3.14H2O". It gives
// nil for a formula that it cannot read.
func composition(formula string) map[string]float64 {
	out := map[string]float64{}
	for part := range splitDots(formula) {
		times, rest := leadingCount(part)
		if !count(rest, times, out) {
			return nil
		}
	}
	return out
}

// splitDots yields the parts of a hydrate's formula.
func splitDots(s string) func(func(string) bool) {
	return func(yield func(string) bool) {
		start := 0
		for i := 0; i <= len(s); i++ {
			if i == len(s) || s[i] == '.' {
				if !yield(s[start:i]) {
					return
				}
				start = i + 1
			}
		}
	}
}

// leadingCount takes "14H2O" apart into 14 and "H2O".
func leadingCount(s string) (float64, string) {
	n, i := 0.0, 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		n = 10*n + float64(s[i]-'0')
		i++
	}
	if i == 0 {
		n = 1
	}
	return n, s[i:]
}

// count adds the atoms of a formula without dots, times over.
func count(s string, times float64, into map[string]float64) bool {
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case c == '(':
			depth, j := 1, i+1
			for j < len(s) && depth > 0 {
				switch s[j] {
				case '(':
					depth++
				case ')':
					depth--
				}
				j++
			}
			if depth != 0 {
				return false
			}
			n, rest := leadingCount(s[j:])
			if !count(s[i+1:j-1], times*n, into) {
				return false
			}
			i = len(s) - len(rest)
		case c >= 'A' && c <= 'Z':
			j := i + 1
			for j < len(s) && s[j] >= 'a' && s[j] <= 'z' {
				j++
			}
			el := s[i:j]
			if _, ok := atomicMass[el]; !ok {
				return false
			}
			n, rest := leadingCount(s[j:])
			into[el] += times * n
			i = len(s) - len(rest)
		default:
			return false
		}
	}
	return true
}

// MolarMass gives g/mol of a basis substance; false where it has no formula.
func MolarMass(b quantity.Basis) (float64, bool) {
	s, ok := substances[b]
	if !ok || s.formula == "" {
		return 0, false
	}
	atoms := composition(s.formula)
	m := 0.0
	for _, el := range elements { // a fixed order keeps the sum the same on every run
		m += atoms[el] * atomicMass[el]
	}
	return m, true
}

var elements = []string{"H", "C", "N", "O", "Na", "Mg", "Al", "S", "Cl", "Ca", "Fe"}

// elementMoles gives moles of the key element per gram of the substance.
func elementMoles(b quantity.Basis) (element string, molesPerGram float64, ok bool) {
	s, known := substances[b]
	m, has := MolarMass(b)
	if !known || !has {
		return "", 0, false
	}
	return s.element, composition(s.formula)[s.element] / m, true
}
