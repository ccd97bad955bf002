package product

import (
	"regexp"
	"strconv"
	"strings"
	"sync"

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

	quantity.AsPotashAlum:   {"KAl(SO4)2.12H2O", "Al"},
	quantity.AsAmmoniumAlum: {"NH4Al(SO4)2.12H2O", "Al"},
	quantity.AsAlCl3:        {"AlCl3", "Al"},
	quantity.AsAlCl3x6:      {"AlCl3.6H2O", "Al"},
	quantity.AsKOH:          {"KOH", "K"},
	quantity.AsKHCO3:        {"KHCO3", "K"},
	quantity.AsLimestone:    {"CaCO3", "C"},
	quantity.AsDolomite:     {"CaMg(CO3)2", "C"},

	quantity.AsGypsum:       {"CaSO4.2H2O", "Ca"},
	quantity.AsCaCl2:        {"CaCl2", "Ca"},
	quantity.AsThiosulfate:  {"Na2S2O3.5H2O", "Na"},
	quantity.AsThiosulfate0: {"Na2S2O3", "Na"},
}

// shares are the bases that count goods with so much of another basis in them, in place of
// a substance of their own.
var shares = map[quantity.Basis]struct {
	of    quantity.Basis
	share quantity.Fraction
}{
	quantity.AsDryAlum: {quantity.AsAl2O3, 0.17}, // as it is traded
}

// compositions are the atoms of every substance that has a formula.
var compositions = sync.OnceValue(func() map[quantity.Basis]map[string]float64 {
	out := map[quantity.Basis]map[string]float64{}
	for b, s := range substances {
		if s.formula != "" {
			out[b] = composition(s.formula)
		}
	}
	return out
})

// atom is an element of a formula, or one of its groups in brackets, and how often
// it stands there.
var atom = regexp.MustCompile(`^(?:([A-Z][a-z]?)|\(([^()]+)\))(\d*)`)

var hydrate = regexp.MustCompile(`^\d*`)

// composition counts the atoms of a formula such as "Al2(SO4)3.14H2O". It gives
// nil for a formula that it cannot read.
func composition(formula string) map[string]float64 {
	out := map[string]float64{}
	for part := range strings.SplitSeq(formula, ".") {
		times := hydrate.FindString(part)
		if !count(part[len(times):], countOf(times), out) {
			return nil
		}
	}
	return out
}

func countOf(digits string) float64 {
	if n, err := strconv.Atoi(digits); err == nil {
		return float64(n)
	}
	return 1
}

// count adds the atoms of a formula without dots, times over.
func count(s string, times float64, into map[string]float64) bool {
	for s != "" {
		m := atom.FindStringSubmatch(s)
		if m == nil {
			return false
		}
		element, group, n := m[1], m[2], times*countOf(m[3])
		if _, known := quantity.AtomicMass[element]; known {
			into[element] += n
		} else if group == "" || !count(group, n, into) {
			return false
		}
		s = s[len(m[0]):]
	}
	return true
}

// MolarMass gives g/mol of a basis substance; false where it has no formula.
func MolarMass(b quantity.Basis) (float64, bool) {
	m, ok := molarMasses()[b]
	return m, ok
}

// molarMasses are summed once: a search for the cheapest pair asks for them a million times.
var molarMasses = sync.OnceValue(func() map[quantity.Basis]float64 {
	out := map[quantity.Basis]float64{}
	for b, atoms := range compositions() {
		m := 0.0
		for _, el := range elements { // a fixed order keeps the sum the same on every run
			m += atoms[el] * quantity.AtomicMass[el]
		}
		out[b] = m
	}
	return out
})

var elements = []string{"H", "C", "N", "O", "Na", "Mg", "Al", "S", "Cl", "K", "Ca", "Fe"}

// elementMoles gives moles of the key element per gram of the substance.
func elementMoles(b quantity.Basis) (element string, molesPerGram float64, ok bool) {
	if s, ok := shares[b]; ok {
		element, molesPerGram, ok = elementMoles(s.of)
		return element, molesPerGram * float64(s.share), ok
	}
	m, ok := MolarMass(b)
	if !ok {
		return "", 0, false
	}
	element = substances[b].element
	return element, compositions()[b][element] / m, true
}
