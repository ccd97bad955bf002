package words

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// Kind is what a unit measures, as the table of kinds names it.
type Kind string

// The kinds that callers tell apart.
const (
	Conc      Kind = "conc"    // base mg/L
	Molar     Kind = "molar"   // mmol/L
	Equiv     Kind = "equiv"   // meq/L
	Volper    Kind = "volper"  // mL/L
	Dropper   Kind = "dropper" // drops/L
	Number    Kind = "number"  // 1/L
	Mass      Kind = "mass"    // mg
	Volume    Kind = "volume"  // L
	Drops     Kind = "drops"
	Substance Kind = "amount" // mmol
	Feed      Kind = "feed"
	Flow      Kind = "flow"
	Share     Kind = "share"
	Place     Kind = "place"
	Household Kind = "household"
	Knob      Kind = "knob"
	Percent   Kind = "percent" // base %
	Turbidity Kind = "turbidity"
	FNU       Kind = "fnu"
	FAU       Kind = "fau"
	JTU       Kind = "jtu"
	Colour    Kind = "colour"
	ADMI      Kind = "admi"
	PerCm     Kind = "percm" // 1/cm
	Temp      Kind = "temp"
	TempF     Kind = "tempf"
	Hardness  Kind = "hardness" // mg/L CaCO3
	Potential Kind = "potential"
	Cond      Kind = "cond" // uS/cm
	Minutes   Kind = "minutes"
	Clock     Kind = "clock"
	Length    Kind = "length" // cm
	Area      Kind = "area"
	Speed     Kind = "speed"
	Pressure  Kind = "pressure"
	NoUnit    Kind = "none"
	CountOnly Kind = "count"
	Other     Kind = "other"  // a whole unit of a kind that no jar test has
	Degree    Kind = "degree" // of turbidity or colour, as Japan and Korea count them
)

//go:embed atoms.csv
var atomsCSV string

//go:embed kinds.csv
var kindsCSV string

// atom is a unit that is not taken apart further.
type atom struct {
	dimension string
	factor    float64
	name      string
	free      bool
}

// spelling is one way to write an atom.
type spelling struct {
	tokens []string
	exact  bool // the tokens have their case
	atom   atom
}

// kindRow is what a signature of dimensions means.
type kindRow struct {
	kind   Kind
	base   string
	factor float64 // from the product of the atoms to the base unit
	says   string
}

type table struct {
	latinOnly bool
	byFirst   map[string][]spelling // by the first token in lower case, longest first
	kinds     map[string]kindRow
	species   map[string][]species
	shares    []modifier
}

// dimensionOrder is the order in which a signature names dimensions.
var dimensionOrder = []string{"mass", "amount", "equiv", "count", "drops", "household", "knob", "volume", "turbidity", "fnu", "fau", "jtu", "colour", "admi",
	"absorbance", "conductance", "potential", "ratio", "temperature", "fahrenheit", "french", "german", "clark", "pressure", "speed", "none", "clock", "degree",
	"length", "area", "time", "vessel", "pail", "place"}

// The tables that ship with the program are read once; a text in the alphabets of
// Latin needs no more than the spellings in these.
var (
	latinTable = sync.OnceValue(func() *table { return readTables(true) })
	everyTable = sync.OnceValue(func() *table { return readTables(false) })
)

// tablesFor gives the tables that a text needs.
func tablesFor(text string) *table {
	if Foreign(text) {
		return everyTable()
	}
	return latinTable()
}

func readTables(latinOnly bool) *table {
	t := &table{latinOnly: latinOnly, byFirst: map[string][]spelling{}, kinds: map[string]kindRow{}, species: map[string][]species{}}
	for _, r := range rows(atomsCSV) {
		f, err := strconv.ParseFloat(r[1], 64)
		if err != nil {
			panic("table of atoms: " + err.Error())
		}
		a := atom{r[0], f, r[5], r[4] == "y"}
		t.spell(r[2], true, a)
		t.spell(r[3], false, a)
	}
	for _, ps := range t.byFirst {
		slices.SortStableFunc(ps, func(a, b spelling) int {
			if len(a.tokens) != len(b.tokens) {
				return len(b.tokens) - len(a.tokens)
			}
			if a.exact != b.exact && a.exact {
				return -1
			}
			return 0
		})
	}
	for _, r := range rows(kindsCSV) {
		f, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			panic("table of kinds: " + err.Error())
		}
		t.kinds[r[0]] = kindRow{Kind(r[1]), r[2], f, r[4]}
	}
	for _, m := range modifiers {
		for s := range strings.SplitSeq(m.spellings, "|") {
			t.shares = append(t.shares, modifier{m.name, tokensOf(s)})
		}
	}
	slices.SortStableFunc(t.shares, func(a, b modifier) int { return len(b.tokens) - len(a.tokens) })
	for _, s := range speciesTable {
		for name := range strings.SplitSeq(s.spellings, "|") {
			toks := tokensOf(name)
			t.species[toks[0]] = append(t.species[toks[0]], species{toks, s.name, s.noun})
		}
	}
	for _, ps := range t.species {
		slices.SortStableFunc(ps, func(a, b species) int { return len(b.tokens) - len(a.tokens) })
	}
	return t
}

// tokensOf splits a spelling, folded.
func tokensOf(spelling string) []string {
	ts := lex(spelling)
	out := make([]string, len(ts))
	for i, k := range ts {
		out[i] = k.text
	}
	return out
}

func rows(text string) [][]string {
	r := csv.NewReader(strings.NewReader(text))
	all, err := r.ReadAll()
	if err != nil {
		panic("table of units: " + err.Error()) // it ships with the program
	}
	return all[1:]
}

func (t *table) spell(list string, exact bool, a atom) {
	if list == "" {
		return
	}
	for s := range strings.SplitSeq(list, "|") {
		if t.latinOnly && Foreign(s) {
			continue
		}
		sp := spelling{exact: exact, atom: a}
		for _, k := range lex(s) {
			if exact {
				sp.tokens = append(sp.tokens, k.exact)
			} else {
				sp.tokens = append(sp.tokens, k.text)
			}
		}
		first := strings.ToLower(sp.tokens[0])
		t.byFirst[first] = append(t.byFirst[first], sp)
	}
}

// atom finds the longest atom that begins at token i.
func (p *parser) atom(i int, e *expr, below bool) (atom, int) {
	if i >= len(p.ts) {
		return atom{}, 0
	}
	if a, ok := p.below(i, e); below && ok {
		return a, 1
	}
	for _, s := range p.t.byFirst[p.ts[i].text] {
		if !p.spells(i, s, below) {
			continue
		}
		n := len(s.tokens)
		if _, x := p.exponent(i+n, litre); n > 1 && x > 0 && s.atom.dimension == "mass/volume" { // "mg L-2" is not mg/L
			continue
		}
		if p.is(i, "gr") && n == 1 && p.gallons(i+1) {
			return atom{"mass", 64.79891, "grain", false}, n
		}
		if p.is(i, "gr") && n == 1 && p.bulk(i+1) { // grains or grams
			return atom{}, 0
		}
		if p.is(i+n, ".") && p.at(i+n).glued && (p.is(i+n+1, "/", ")") || p.ends(i+n+1)) { // "lb.", "gal."
			n++
		}
		return s.atom, n
	}
	return atom{}, 0
}

var litre = atom{dimension: "volume", factor: 1, name: "L"}

// spells reports that the tokens from i on are a spelling. One that has its case is
// no volume in a text that is all capitals, where "ML" may be mL.
func (p *parser) spells(i int, s spelling, below bool) bool {
	if s.exact && p.shout && s.atom.dimension == "volume" && !below {
		return false
	}
	for n, want := range s.tokens {
		t := p.at(i + n)
		if t.text == "" || t.exact != want && (s.exact || t.text != want) {
			return false
		}
	}
	return true
}

// below finds an atom that the unit above the line decides.
func (p *parser) below(i int, e *expr) (atom, bool) {
	for _, c := range inContext {
		if p.is(i, c.token) && slices.Contains(c.above, e.lead.name) && (c.exact == "" || p.at(i).exact == c.exact || p.shout) {
			return c.atom, true
		}
	}
	return atom{}, false
}

// gallons reports that a unit goes on with "/gal".
func (p *parser) gallons(i int) bool {
	return (p.is(i, "/") || p.is(i, perWords...)) && (p.is(i+1, "gal", "gals", "gallon", "gallons") || p.is(i+2, "gal", "gals", "gallon", "gallons"))
}

// bulk reports a volume of US or imperial water other than gallons below the line, with which nothing says
// whether "gr" are grains or grams.
func (p *parser) bulk(i int) bool {
	return (p.is(i, "/") || p.is(i, perWords...)) && (p.is(i+1, bulkWords...) || p.is(i+2, bulkWords...))
}

var bulkWords = []string{"mgal", "mg", "kgal", "mmgal", "acre", "ac", "ft3", "cf", "cu", "million"}

// inContext are the spellings that mean something else below the line of some units:
// a million gallons under pounds, a megalitre under kilograms and litres.
var inContext = []struct {
	token, exact string
	above        []string
	atom         atom
}{
	{"mg", "", []string{"lb", "oz", "gal", "fl oz", "quart", "grain"}, atom{"volume", 3785411.784, "Mgal", false}},
	{"mg", "MG", []string{"kg", "t"}, atom{"volume", 3785411.784, "Mgal", false}},
	{"ml", "ML", []string{"kg", "t", "L", "m3", "lb"}, atom{"volume", 1e6, "ML", false}},
}

// species is what an amount can be of. A noun is no basis ("water", "solids"); a
// chemical's own word is not here: it stays for those who read words.
type species struct {
	tokens []string
	name   string
	noun   bool
}

var speciesTable = []struct {
	name, spellings string
	noun            bool
}{
	{"al", "al", false}, {"al3+", "al3+", false}, {"fe", "fe", false}, {"fe3+", "fe3+|fe(iii)|fe iii", false}, {"fe2+", "fe2+|fe(ii)", false}, {"p", "p", false}, {"n", "n", false},
	{"po4-p", "po4-p|po4 - p|p-po4", false}, {"po4", "po4|po43-", false}, {"p2o5", "p2o5", false}, {"caco3", "caco3|ca co3|calcium carbonate", false}, {"hco3", "hco3|hco3-|bicarbonate", false},
	{"cao", "cao", false}, {"al2o3", "al2o3|alumina", false}, {"fe2o3", "fe2o3", false}, {"fecl3", "fecl3|ferric chloride", false}, {"feso4", "feso4", false},
	{"fecl3.6h2o", "fecl3.6h2o|fecl3·6h2o|fecl3 6h2o", false},
	{"al2(so4)3.14h2o", "al2(so4)3.14h2o|al2(so4)3·14h2o|al2(so4)3 14h2o", false}, {"al2(so4)3.18h2o", "al2(so4)3.18h2o|al2(so4)3·18h2o|al2(so4)3 18h2o", false},
	{"al2(so4)3", "al2(so4)3", false}, {"pt", "pt", false}, {"pt-co", "pt-co|ptco|pt/co|pt co|co-pt", false}, {"mn", "mn", false}, {"ca", "ca", false}, {"cl", "cl|cl2", false}, {"si", "si|sio2", false},
	{"product", "commercial product|handelsprodukt|produkt handlowy|produktu handlowego|producto comercial|produit commercial|produto comercial|prodotto commerciale|product|prod|produkt|produkts|produktes|produktet|produkten|produktu|producto|produit|prodotto|produto|продукт", false}, {"active", "active|aktiv", false}, {"dry alum (17 % al2o3)", "dry alum (17 % al2o3)|dry alum 17 % al2o3|dry alum, 17 % al2o3|dry alum at 17 % al2o3|dry alum with 17 % al2o3", false}, {"dry alum", "dry alum", false}, {"alum 14-hydrate", "alum 14-hydrate|alum 14 hydrate|alum 14h2o|alum.14h2o|alum·14h2o", false}, {"alum 18-hydrate", "alum 18-hydrate|alum 18 hydrate|alum 18h2o|alum.18h2o|alum·18h2o", false},
	{"ferric chloride hexahydrate", "ferric chloride hexahydrate|ferric chloride 6-hydrate", false}, {"dry product", "dry product|dry basis|dry weight basis|dry wt basis|trockenbasis|base seche|base seca|base secca|droge basis|dry", false},

	{"dry solids", "ds|dss|tds solids|dm|dry matter|ts", true}, {"solids", "tss|ss|solids|suspended solids|sludge", true},
	{"water", "water|raw water|agua|wasser|eau|water treated|treated water|acqua|水|h2o", true}, {"sample", "sample|muestra|probe|wasserprobe", true},
	{"feed", "feed|fish feed|fishfeed|fish|pellets|biomass|futter|fischfutter|aliment|poisson|poissons|pienso|peces|racao|peixe|mangime|pesce|foder|fisk|voer|vis|rehu|pasza|yem|корм|корма|рыбы|饲料|飼料|사료", true},
	{"stock", "stock|stock solution|stocksolution|solution|soln", true},
}

// species reads what the amount before it is of.
func (p *parser) species(i int, as, of *string) int {
	k := i
	if p.is(k, "-") && p.at(k).glued {
		k++
	}
	if name, n := p.formula(k); n > 0 {
		*as = name
		return k + n - i
	}
	if p.is(k-1, asWords...) && p.is(k, "17", "17.0") && p.is(k+1, "%") && p.is(k+2, "al2o3") { // "as 17 % Al2O3"; without "as" it is a strength
		*as = "dry alum (17 % al2o3)"
		return k + 3 - i
	}
	for _, s := range p.t.species[p.at(k).text] {
		if p.matches(k, s.tokens) == 0 {
			continue
		}
		if s.noun {
			*of = s.name
		} else {
			*as = s.name
		}
		return k + len(s.tokens) - i
	}
	return 0
}

// formulaText is a formula of several elements with a group in brackets or with crystal water; what it
// is the formula of is for others to know.
var formulaText = NewPattern(`^(?i:[a-z]{1,4}[0-9₀-₉]*(?:\((?:[a-z]{1,2}[0-9₀-₉]*)+\)[0-9₀-₉]*)+(?:[a-z]{1,2}[0-9₀-₉]*)?(?: ?[·.*•] ?[0-9₀-₉]{0,2} ?h[2₂]o)?|[a-z]{2,4}[0-9₀-₉]*(?:[a-z]{1,2}[0-9₀-₉]+)? ?[·.*•] ?[0-9₀-₉]{0,2} ?h[2₂]o)`)

// formula reads one, and gives it folded and how many tokens it has. A digit stands in it, or nothing is
// counted: "(L)".
func (p *parser) formula(i int) (string, int) {
	if i >= len(p.ts) || p.ts[i].sort != wordToken {
		return "", 0
	}
	from := p.ts[i].from
	found := formulaText.FindString(p.text[from:])
	if !strings.ContainsAny(found, "0123456789₀₁₂₃₄₅₆₇₈₉") {
		return "", 0
	}
	n := 0
	for i+n < len(p.ts) && p.ts[i+n].to <= from+len(found) {
		n++
	}
	if end := p.ts[i+n-1].to; end != from+len(found) || n < 3 || i+n < len(p.ts) && p.ts[i+n].glued && p.ts[i+n].sort != signToken {
		return "", 0
	}
	return formulaSpelling.Replace(strings.ToLower(found)), n
}

var formulaSpelling = strings.NewReplacer("₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9", "·", ".", "•", ".", "*", ".", " ", "")

// nounAt reports a noun that a denominator can be of.
func (p *parser) nounAt(i int) bool {
	for _, s := range p.t.species[p.at(i).text] {
		if s.noun && p.matches(i, s.tokens) > 0 {
			return true
		}
	}
	return false
}

// noun reads what a denominator is of, from token k on: litres of water, kg of solids, mg of P.
func (p *parser) noun(k int, e *expr) int {
	if p.is(k, "of", "de", "d") && p.nounAt(k+1) {
		k++
	}
	if e.dims["volume"] < 0 && !p.nounAt(k) {
		return k
	}
	of := ""
	n := p.species(k, &of, &of)
	switch {
	case n == 0 || of == "water" || of == "sample":
		return k + n
	case e.dims["volume"] < 0: // what is in a litre is no noun of it: mg/L solids
		return k
	}
	e.per = of
	return k + n
}

// single gives the atom with that spelling of one token.
func (t *table) single(name string) atom {
	for _, s := range t.byFirst[name] {
		if len(s.tokens) == 1 {
			return s.atom
		}
	}
	return atom{}
}

// split reads a mass and what it is of, run together: "mgAl".
func (p *parser) split(i int) (atom, string, bool) {
	t := p.at(i)
	if t.sort != wordToken || !p.goesOn(i+1) {
		return atom{}, "", false
	}
	for _, m := range [...]string{"mg", "ug", "mmol", "umol", "g"} {
		rest, ok := strings.CutPrefix(t.text, m)
		if !ok || rest == "" {
			continue
		}
		if _, n := p.atom(i, &expr{}, false); n > 0 && !unicode.IsUpper(rune(t.exact[len(m)])) { // "gal"
			continue
		}
		for _, s := range p.t.species[rest] {
			if len(s.tokens) == 1 && !s.noun {
				return p.t.single(m), s.name, true
			}
		}
	}
	return atom{}, "", false
}

// modifier says what a share counts.
type modifier struct {
	name   string
	tokens []string
}

var modifiers = []struct{ name, spellings string }{
	{"w/v", "w/v|m/v|p/v|wt/vol|w / v|weight/volume|w/vol|mass/volume|massa/volume|weight by volume|mass by volume|weight per volume|mass per volume|weight to volume|weight in volume|weight for volume|w by v|w per v|gewicht pro volumen|masse pro volumen|peso por volumen|peso a volumen|peso volumen|peso por volume|peso su volume|poids par volume|masse par volume|massa per volume|gewicht per volume|berat per volume|berat per isipadu|vikt per volym|vekt per volum|vægt per volumen"},
	{"w/w", "w/w|m/m|p/p|weight by weight|mass by mass|weight per weight|mass per mass|w by w|gewicht pro gewicht|peso por peso|poids par poids|peso su peso|wt|by weight|by mass|w/wt|wt/wt|weight|gew|gew.|masse"},
	{"v/v", "v/v|vol/vol|volume by volume|volume per volume|volume/volume|v by v|volumen por volumen|volume par volume|by volume|vol|by vol|volume|vol."},
}
