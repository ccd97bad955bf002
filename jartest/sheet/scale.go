package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Atomic weights and what is made of them, g/mol.
var (
	massAl, massFe, massO = quantity.AtomicMass["Al"], quantity.AtomicMass["Fe"], quantity.AtomicMass["O"]
	massH, massC, massCl  = quantity.AtomicMass["H"], quantity.AtomicMass["C"], quantity.AtomicMass["Cl"]

	massAl2O3 = 2*massAl + 3*massO
	massFe2O3 = 2*massFe + 3*massO
	massFeCl3 = massFe + 3*massCl
	massHCO3  = massH + massC + 3*massO
)

// readingUnit is a kind of unit that readings of some unit are given in. Times is what a
// value in the base unit of the kind is multiplied by, beside the unit's own factor.
type readingUnit struct {
	own   string // the unit that the reading is kept in
	key   jartest.Key
	kind  words.Kind
	as    []string // what is counted, where that matters: "" for nothing said
	times float64
}

var scalings = []readingUnit{
	{own: "NTU", kind: words.Turbidity, times: 1},
	{own: "NTU", kind: words.FNU, times: 1},
	{own: "NTU", kind: words.Degree, times: 1},
	{own: "%", kind: words.Percent, times: 1},
	{own: "mg/L", key: jartest.ResidualAl, kind: words.Conc, as: []string{"", "al", "al3"}, times: 1},
	{own: "mg/L", key: jartest.ResidualAl, kind: words.Conc, as: []string{"al2o3"}, times: 2 * massAl / massAl2O3},
	{own: "mg/L", key: jartest.ResidualAl, kind: words.Molar, times: massAl},
	{own: "mg/L", key: jartest.ResidualFe, kind: words.Conc, as: []string{"", "fe", "fe3", "fe2"}, times: 1},
	{own: "mg/L", key: jartest.ResidualFe, kind: words.Conc, as: []string{"fe2o3"}, times: 2 * massFe / massFe2O3},
	{own: "mg/L", key: jartest.ResidualFe, kind: words.Conc, as: []string{"fecl3"}, times: massFe / massFeCl3},
	{own: "mg/L", key: jartest.ResidualFe, kind: words.Molar, times: massFe},
	{own: "mg/L", kind: words.Conc, times: 1},
	{own: "mg/L as P", kind: words.Conc, as: []string{"po4"}, times: jartest.PhosphorusInPhosphate},
	{own: "mg/L as P", kind: words.Conc, as: []string{"p2o5"}, times: 0.43642}, // 2·30.974/141.943,
	{own: "mg/L as P", kind: words.Conc, as: []string{"", "p", "po4-p"}, times: 1},
	{own: "Pt-Co", kind: words.Colour, times: 1},
	{own: "Pt-Co", kind: words.Degree, times: 1},
	{own: "C", kind: words.Degree, times: 1},
	{own: "Pt-Co", kind: words.Conc, times: 1},
	{own: "1/cm", kind: words.PerCm, times: 1},
	{own: "mg/L CaCO3", kind: words.Conc, as: []string{"", "caco3"}, times: 1},
	{own: "mg/L CaCO3", kind: words.Conc, as: []string{"hco3"}, times: quantity.CaCO3PerEquivalent / massHCO3},
	{own: "mg/L CaCO3", kind: words.Equiv, times: quantity.CaCO3PerEquivalent},
	{own: "mg/L CaCO3", kind: words.Molar, times: quantity.CaCO3PerEquivalent}, // alkalinity in mmol/L counts charges
	{own: "mg/L CaCO3", kind: words.Hardness, times: 1},
	{own: "C", kind: words.Temp, times: 1},
	{own: "C", kind: words.TempF, times: 1}, // its offset is convertValue's
	{own: "uS/cm", kind: words.Cond, times: 1},
	{own: "mL/L", kind: words.Volper, times: 1},
	{own: "mL/L", kind: words.Percent, times: 10}, // by volume
	{own: "mV", kind: words.Potential, times: 1},
	{own: "", kind: words.NoUnit, times: 1},
	{own: "", key: jartest.StreamingCurrent, kind: words.NoUnit, times: 1},
	{own: "", key: jartest.StreamingCurrent, kind: words.Potential, times: 1}, // as some instruments show it
}

// scaleOf gives the factor from a unit to the unit of a kind of reading. A reading that
// has rows of its own for a kind of unit is given in none of the others.
func scaleOf(k jartest.Key, u words.Unit) (float64, bool) {
	own, kept := false, k.Info().Unit
	for _, s := range scalings {
		if s.own != kept || s.kind != u.Kind || s.key != "" && s.key != k || s.key == "" && own {
			continue
		}
		own = own || s.key != ""
		if s.as == nil || slices.Contains(s.as, strings.ToLower(u.As)) {
			return u.Factor * s.times, true
		}
	}
	return 0, false
}
