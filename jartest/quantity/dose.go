package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"jarwright/jartest/note"
)

// Basis says what a dose or a strength counts: the product as it is delivered, a
// salt, a metal. It is one of the constants below or, for a product of the
// user's own, "as NAME" in lower case.
type Basis string

const (
	// NotStated is the zero value: the sheet did not say.
	NotStated Basis = ""
	AsProduct Basis = "as product"
	AsAlum14  Basis = "as alum 14-hydrate"
	AsAlum18  Basis = "as alum 18-hydrate"
	// AsDryAlum counts dry alum of trade with 17 % Al2O3, on which US works dose; the
	// 14-hydrate itself has 17.16 %.
	AsDryAlum Basis = "as dry alum (17 % Al2O3)"
	AsAlum0   Basis = "as anhydrous alum"
	AsAl      Basis = "as Al"
	AsAl2O3   Basis = "as Al2O3"
	AsFe      Basis = "as Fe"
	AsFe2O3   Basis = "as Fe2O3"
	AsFeCl3   Basis = "as FeCl3"
	AsFeCl3x6 Basis = "as FeCl3 hexahydrate"
	AsFe2SO43 Basis = "as Fe2(SO4)3"
	AsFeSO4x7 Basis = "as FeSO4 heptahydrate"
	AsNaOH    Basis = "as NaOH"
	AsCaOH2   Basis = "as Ca(OH)2"
	AsCaO     Basis = "as CaO"
	AsNa2CO3  Basis = "as Na2CO3"
	AsNaHCO3  Basis = "as NaHCO3"
	AsMgOH2   Basis = "as Mg(OH)2"
	AsH2SO4   Basis = "as H2SO4"
	AsHCl     Basis = "as HCl"

	AsPotashAlum   Basis = "as potash alum"
	AsAmmoniumAlum Basis = "as ammonium alum"
	AsAlCl3        Basis = "as AlCl3"
	AsAlCl3x6      Basis = "as AlCl3 6-hydrate"
	AsKOH          Basis = "as KOH"
	AsKHCO3        Basis = "as KHCO3"
	AsLimestone    Basis = "as limestone" // never as CaCO3, which counts alkalinity
	AsDolomite     Basis = "as dolomite"

	AsGypsum       Basis = "as gypsum" // CaSO4.2H2O
	AsCaCl2        Basis = "as CaCl2"
	AsThiosulfate  Basis = "as Na2S2O3 5-hydrate"
	AsThiosulfate0 Basis = "as Na2S2O3"

	AsActive Basis = "as active polymer"
)

// bases maps folded spellings to a basis; the first spelling of each row is the constant itself.
var bases = []struct {
	basis Basis
	also  []string
}{
	{AsProduct, []string{"product", "as supplied", "as delivered", "neat", "as received", "commercial product", "as liquid"}},
	{AsAlum14, []string{"alum 14-hydrate", "alum14", "al2(so4)3.14h2o", "alum 14h2o", "alum-14",
		"alum 14", "alum 14 hydrate", "dry alum 14-hydrate", "filter alum", "dry alum", "dry alum (17.2 % al2o3)", "dry alum (17.1 % al2o3)", "al2(so4)3 14h2o", "aluminium sulfate 14-hydrate", "aluminum sulfate 14-hydrate", "as alum (14-hydrate)"}},
	{AsAlum18, []string{"alum 18-hydrate", "alum18", "al2(so4)3.18h2o", "alum 18h2o", "alum-18",
		"alum 18 hydrate", "al2(so4)3 18h2o", "aluminium sulfate 18-hydrate", "aluminum sulfate 18-hydrate", "as alum (18-hydrate)"}},
	{AsDryAlum, []string{"dry alum, 17 % al2o3", "dry alum 17 % al2o3", "alum (17 % al2o3)", "alum, 17 % al2o3", "alum 17 % al2o3",
		"dry alum (17.0 % al2o3)", "dry alum, 17.0 % al2o3", "17 % alum"}},
	{AsAlum0, []string{"anhydrous alum", "al2(so4)3", "as alum anhydrous", "alum anhydrous"}},
	{AsAl, []string{"al", "aluminium", "aluminum", "al3+", "mg al"}},
	{AsAl2O3, []string{"al2o3", "alumina"}},
	{AsFe, []string{"fe", "iron", "fe3+"}},
	{AsFe2O3, []string{"fe2o3"}},
	{AsFeCl3, []string{"fecl3", "anhydrous fecl3", "ferric chloride", "as dry fecl3"}},
	{AsFeCl3x6, []string{"fecl3 hexahydrate", "fecl3.6h2o", "fecl3 6h2o", "ferric chloride hexahydrate", "iron(iii) chloride hexahydrate"}},
	{AsFe2SO43, []string{"fe2(so4)3", "ferric sulfate", "ferric sulphate", "anhydrous fe2(so4)3"}},
	{AsFeSO4x7, []string{"feso4 heptahydrate", "feso4.7h2o", "copperas", "ferrous sulfate heptahydrate", "ferrous sulphate heptahydrate"}},
	{AsNaOH, []string{"naoh", "caustic soda"}},
	{AsCaOH2, []string{"ca(oh)2", "hydrated lime"}},
	{AsCaO, []string{"cao", "quicklime"}},
	{AsNa2CO3, []string{"na2co3", "soda ash"}},
	{AsNaHCO3, []string{"nahco3", "sodium bicarbonate"}},
	{AsMgOH2, []string{"mg(oh)2"}},
	{AsH2SO4, []string{"h2so4", "sulfuric acid"}},
	{AsHCl, []string{"hcl", "hydrochloric acid"}},
	{AsPotashAlum, []string{"potash alum", "tawas", "kal(so4)2.12h2o", "potassium alum"}},
	{AsAmmoniumAlum, []string{"ammonium alum", "nh4al(so4)2.12h2o"}},
	{AsAlCl3, []string{"alcl3", "anhydrous alcl3"}},
	{AsAlCl3x6, []string{"alcl3 6-hydrate", "alcl3.6h2o", "alcl3 6h2o"}},
	{AsKOH, []string{"koh", "potassium hydroxide"}},
	{AsKHCO3, []string{"khco3", "potassium bicarbonate"}},
	{AsLimestone, []string{"limestone", "agricultural lime"}},
	{AsDolomite, []string{"dolomite"}},
	{AsGypsum, []string{"gypsum", "caso4.2h2o", "calcium sulfate dihydrate"}},
	{AsCaCl2, []string{"cacl2", "calcium chloride", "anhydrous cacl2"}},
	{AsThiosulfate, []string{"na2s2o3 5-hydrate", "na2s2o3.5h2o", "sodium thiosulfate", "thiosulfate", "thiosulfate 5-hydrate"}},
	{AsThiosulfate0, []string{"na2s2o3", "anhydrous na2s2o3"}},
	{AsActive, []string{"active polymer", "active", "active substance", "dry polymer", "polymer solids", "as active"}},
}

// Bases lists every basis that has a constant, in the order of this file.
func Bases() []Basis {
	out := make([]Basis, len(bases))
	for i, b := range bases {
		out[i] = b.basis
	}
	return out
}

// ParseBasis reads a basis in any usual spelling. Empty text is NotStated. A
// spelling that is not known is an error with the nearest known one.
func ParseBasis(s string) (Basis, error) {
	if b, ok := BasisOf(s); ok {
		return b, nil
	}
	var names []string
	for _, b := range bases {
		names = append(names, string(b.basis))
	}
	return NotStated, note.Fault("basis-unknown", "basis %q is not known%s", s, basisMeant(foldBasis(s))).
		Do("use one of %s", strings.Join(names, ", "))
}

// basisMeant asks for the bases that hold every word that was written ("as alum" is any of
// three hydrates, "as alum, dry" the dry one), else in another spelling ("aluminium sulfate"), else for the nearest; "as" itself is
// no likeness, so that alum is never taken for Al.
func basisMeant(fold string) string {
	words := func(s string) []string {
		return strings.FieldsFunc(strings.ReplaceAll(s, "sulphate", "sulfate"), func(r rune) bool { return strings.ContainsRune(" -,()", r) })
	}
	asked := words(fold)
	holds := func(spelling string) bool {
		have := words(foldBasis(spelling))
		return len(asked) > 0 && !slices.ContainsFunc(asked, func(w string) bool { return !slices.Contains(have, w) })
	}
	var bodies, near, holding, other []string // near of those long enough to be known by their likeness
	for _, b := range bases {
		n := string(b.basis)
		if body := foldBasis(n); len(body) > 2 {
			bodies, near = append(bodies, body), append(near, n)
		}
		if holds(n) {
			holding = append(holding, strconv.Quote(n))
		} else if slices.ContainsFunc(b.also, holds) {
			other = append(other, strconv.Quote(n))
		}
	}
	if len(holding) == 0 {
		holding = other
	}
	if len(holding) > 0 {
		return "; did you mean " + strings.Join(holding, " or ") + "?"
	}
	if body := note.Near(fold, bodies); body != "" {
		return "; did you mean " + strconv.Quote(near[slices.Index(bodies, body)]) + "?"
	}
	return ""
}

// BasisOf gives the basis that a text spells; ok is false where it spells none. Empty
// text is NotStated.
func BasisOf(s string) (b Basis, ok bool) {
	b, ok = spelled()[foldBasis(s)]
	return b, ok
}

// spelled are the bases by their folded spellings.
var spelled = sync.OnceValue(func() map[string]Basis {
	out := map[string]Basis{"": NotStated, "not stated": NotStated}
	for _, b := range bases {
		for _, s := range append([]string{string(b.basis)}, b.also...) {
			if f := foldBasis(s); out[f] == NotStated {
				out[f] = b.basis
			}
		}
	}
	return out
})

func foldBasis(s string) string {
	s = strings.Join(strings.Fields(strings.ToLower(s)), " ")
	s = strings.ReplaceAll(strings.ReplaceAll(formulaSpelling.Replace(s), " %", "%"), "%", " %")
	return strings.TrimSpace(strings.TrimPrefix(s, "as "))
}

var formulaSpelling = strings.NewReplacer("₂", "2", "₃", "3", "₄", "4", "×", ".", "*", ".", "•", ".", "·", ".", "sulphate", "sulfate")

// String gives the basis, or "not stated".
func (b Basis) String() string {
	if b == NotStated {
		return "not stated"
	}
	return string(b)
}

// MarshalText makes a basis appear in JSON as String gives it.
func (b Basis) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// Dose is mass of a chemical per volume of the water treated, before anything
// was added, on a stated basis. The zero value is no dose of something unnamed.
type Dose struct {
	Concentration
	Basis Basis
}

// ParseDose reads "12.5 mg/L", or "12.5 mg/L as Al" with the basis in the text.
func ParseDose(s string) (Dose, error) {
	amount, basis := s, NotStated
	if i := strings.Index(strings.ToLower(s), " as "); i >= 0 {
		var err error
		if basis, err = ParseBasis(s[i+1:]); err != nil {
			return Dose{}, err
		}
		amount = s[:i]
	}
	v, err := doses.parse(amount)
	if err != nil {
		return Dose{}, err
	}
	return Dose{Concentration(v), basis}, nil
}

// doses are concentrations that are not negative.
var doses = kind{what: "dose", example: concentrations.example, units: concentrations.units,
	limits: limits{high: math.MaxFloat64, code: "negative-dose", text: "dose %q is negative", doing: "a dose is zero or more"},
}

// String gives the dose with its unit and basis.
func (d Dose) String() string {
	if d.Basis == NotStated {
		return d.Concentration.String()
	}
	return d.Concentration.String() + " " + string(d.Basis)
}
