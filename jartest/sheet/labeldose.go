package sheet

import (
	"sort"
	"strings"

	"jarwright/jartest/quantity"
)

// labelDose is a dose written into a jar label or a heading.
type labelDose struct {
	chem  string
	dose  quantity.Concentration
	basis quantity.Basis
}

// dosesInLabel reads "with alum 35 mg/L", "PACl 20 mg/L + polymer 0.2 mg/L".
func (b *bench) dosesInLabel(label string, dec decimals) []labelDose {
	var out []labelDose
	for _, part := range splitPlus(label) {
		s := canonUnit(fold(part))
		for _, u := range words().unitsIn(s) {
			if u.dim != "conc" || u.factor > 1 {
				continue
			}
			n, ok := numberBefore(s, u.from)
			if !ok {
				continue
			}
			x := numeral(n, dec)
			if !x.ok() || x.num < 0 {
				continue
			}
			h := readHeading(part)
			name := h.chem
			if name == "" {
				name = "coagulant"
			}
			basis, err := quantity.ParseBasis(u.as)
			if err != nil {
				basis = quantity.NotStated
			}
			out = append(out, labelDose{name, quantity.Concentration(round12(x.num * u.factor)), basis})
			break
		}
	}
	return out
}

// doseText reads a dose cell in words: "alum 10 mg/L", "no alum".
func (b *bench) doseText(s string, dec decimals) (labelDose, bool) {
	if a := b.dosesInLabel(s, dec); len(a) == 1 {
		return a[0], true
	}
	first, rest, _ := strings.Cut(fold(s), " ")
	switch first {
	case "no", "without", "sin", "sem", "sans", "ohne", "tanpa", "khong":
		if h := readHeading(rest); h.chem != "" || h.chemical || h.dose {
			return labelDose{}, true
		}
	}
	return labelDose{}, false
}

// splitPlus parts a label at "+", "&" and "and".
func splitPlus(s string) []string {
	return strings.FieldsFunc(strings.NewReplacer(" and ", "+", " & ", "+", " with ", " ", " then ", "+").Replace(" "+s), func(r rune) bool { return r == '+' || r == ';' })
}

func sortStrings(s []string) { sort.Strings(s) }
