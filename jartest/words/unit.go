package words

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Unit is a unit as somebody wrote it, understood whole.
type Unit struct {
	Kind Kind
	// Factor turns a value into the base unit of the kind.
	Factor float64
	// Name is how it is shown, such as "mg/500 mL".
	Name string
	// As is what an amount counts, folded, such as "al2o3"; Of and Per are what the
	// parts are of, such as "stock" and "solids".
	As, Of, Per string
	// Word is Of where it is no word of units, such as "alum" in "mg alum/L".
	Word string
	// Scale is what was done to the value before it was written: "ln", "log", "sqrt".
	Scale string
	// Times is a factor that stands beside the unit ("NTU x 10"), of which nobody can
	// say whether it was applied; 0 for none.
	Times float64
	// Left is what belongs to the unit and was not understood, such as "/fortnight".
	Left string
	// Dimensions is the signature that the kind was found by, such as "mass/volume".
	Dimensions string
}

// Known reports that there is a unit, and that its kind is one of the table.
func (u Unit) Known() bool { return u.Kind != "" }

// UnitAt is a unit with its bytes in the text.
type UnitAt struct {
	Unit
	From, To int
}

// Units finds the units in a text, from left to right. A unit is read whole: with
// every number, vessel and annotation that belongs to it, or with what is left over.
func Units(text string) []UnitAt { return unitsOf.Of(text, units) }

var unitsOf Memory[string, []UnitAt]

func units(text string) []UnitAt {
	p := newParser(text)
	p.shout = strings.ToUpper(text) == text
	var out []UnitAt
	for i := 0; i < len(p.ts); {
		if u, n := p.unit(i); n > 0 {
			out = append(out, u)
			i += n
			continue
		}
		i++
	}
	return out
}

// OnlyUnit reads a text that holds a unit and nothing else, brackets aside.
func OnlyUnit(text string) (Unit, bool) {
	us := Units(text)
	if len(us) != 1 || us[0].Left != "" {
		return Unit{}, false
	}
	rest := text[:us[0].From] + " " + text[us[0].To:]
	return us[0].Unit, strings.Trim(rest, " \t\n()[]{}.:,;") == ""
}

// parser reads units out of tokens.
type parser struct {
	text  string
	t     *table
	ts    []token
	shout bool // all letters are capitals, so that case tells nothing
}

func newParser(text string) parser { return parser{text: text, t: tablesFor(text), ts: lex(text)} }

// expr is a unit in the making.
type expr struct {
	dims   map[string]int
	factor float64
	name   strings.Builder
	as     string
	of     string
	per    string
	ratio  bool // has a solidus, a "per" or an exponent, so that it can be nothing but a unit
	free   bool // spelled as nothing else is
	word   bool // of is a word of the text that no table of units holds
	lead   atom // of the numerator
}

func (p *parser) at(i int) token {
	if i >= 0 && i < len(p.ts) {
		return p.ts[i]
	}
	return token{}
}

func (p *parser) is(i int, texts ...string) bool {
	t := p.at(i).text
	for _, s := range texts {
		if t == s {
			return t != ""
		}
	}
	return false
}

// perWords are the words for "for each".
var perWords = []string{"per", "por", "pro", "par", "je", "za", "na", "na1", "每", "ต", "cada", "each", "pr", "op", "mỗi", "moi", "بر", "در", "لكل", "प्रति", "প্রতি", "ανα"}

// unit reads the unit that begins at token i and gives how many tokens it takes.
func (p *parser) unit(i int) (UnitAt, int) {
	if p.at(i).sort == signToken && !p.is(i, "%", "‰", "°", "/", "-", "'", "#") {
		return UnitAt{}, 0
	}
	e := &expr{dims: map[string]int{}, factor: 1}
	j := p.numerator(i, e)
	if j == i {
		return UnitAt{}, 0
	}
	j = p.denominators(j, e)
	if !e.ratio && !e.free && !p.clear(i, j, e) {
		return UnitAt{}, 0
	}
	u := e.unit(p.t)
	if u.Kind == Other && !e.ratio {
		return UnitAt{}, 0
	}
	j = p.modifier(j, &u)
	j = p.annotation(j, &u)
	j = p.at25(j, &u)
	j = p.times(j, &u)
	if u.Times == 0 {
		p.timesBefore(i, &u)
	}
	p.leftover(j, &u)
	p.scale(i, &u)
	return UnitAt{u, p.ts[i].from, p.ts[j-1].to}, j - i
}

// numerator reads what stands above the line, from token i on.
func (p *parser) numerator(i int, e *expr) int {
	if p.is(i, "1") && p.is(i+1, "/") || p.is(i, "/") { // 1/cm, /m
		if p.is(i, "/") && i > 0 && p.at(i).glued && !p.is(i-1, "(", "[", ",") {
			return i
		}
		j := i + 1
		if p.is(i, "1") {
			j++
		}
		a, n := p.atom(j, e, true)
		if n == 0 || a.dimension != "length" && a.dimension != "time" {
			return i
		}
		e.mul(a, -1, 1)
		e.ratio = true
		e.name.WriteString("1/" + a.name)
		return j + n
	}
	if a, as, ok := p.split(i); ok {
		e.mul(a, 1, 1)
		e.lead, e.as = a, as
		e.name.WriteString(a.name)
		return i + 1
	}
	a, n := p.atom(i, e, false)
	j := i + n
	if n == 0 {
		return i
	}
	if k, n := p.exponent(j, a); n > 0 && k < 0 { // cm-1
		if a.dimension != "length" && a.dimension != "time" {
			return i
		}
		e.mul(a, k, 1)
		e.ratio = true
		e.name.WriteString("1/" + a.name)
		return j + n
	}
	e.mul(a, 1, 1)
	e.lead, e.free = a, a.free
	e.name.WriteString(a.name)
	if a.dimension == "ratio" {
		return j
	}
	if n := p.species(j, &e.as, &e.of); n > 0 && p.goesOn(j+n) {
		return j + n
	}
	if w := p.at(j); w.sort == wordToken && dosed[a.dimension] && !p.is(j, perWords...) && p.goesOn(j+1) { // "mg alum/L"
		e.of, e.word = w.text, true
		return j + 1
	}
	return j
}

// goesOn reports that a denominator follows.
func (p *parser) goesOn(i int) bool {
	if p.is(i, "/") || p.is(i, perWords...) {
		return true
	}
	if p.is(i, "·", ".", "*") {
		i++
	}
	a, n := p.atom(i, &expr{}, true)
	if n == 0 {
		return false
	}
	k, _ := p.exponent(i+n, a)
	return k < 0
}

// denominators reads what stands below the line.
func (p *parser) denominators(j int, e *expr) int {
	for e.lead.dimension != "ratio" {
		k, signed := j, false
		switch {
		case p.is(k, "in", "en", "dans") && p.at(k+1).sort == numberToken && e.lead.dimension == "mass" && !e.ratio: // "mg in 2 L"
			signed = true
			k++
		case p.is(k, "/"), p.is(k, perWords...):
			signed = true
			k++
			if p.is(k, "่") {
				k++
			}
		case p.is(k, "·", ".", "*"):
			k++
		}
		if p.is(k, "(") && signed {
			k++
		}
		number, n := 1.0, 0
		if signed {
			number, n = p.count(k)
			k += n
		}
		a, m := p.atom(k, e, true)
		if m == 0 {
			if signed && n > 0 && number == 1 && e.mass() && !p.is(j, "") && p.ends(k) && p.is(k-1, "1") { // mg/1 for mg/l
				litre := atom{dimension: "volume", factor: 1, name: "L"}
				e.mul(litre, -1, 1)
				e.ratio = true
				e.name.WriteString("/L")
				return k
			}
			return j
		}
		power, x := p.exponent(k+m, a)
		if a.dimension == "length" && (power == -3 || signed && power == 3) {
			a = atom{"volume", a.factor * a.factor * a.factor / 1000, a.name + "3", false}
			power = -1
		}
		if signed && power >= 0 {
			if power > 1 { // no unit has the square of a litre below the line: it is left over
				x = 0
			}
			power = -1
		} else if power >= 0 {
			return j
		}
		k += m + x
		e.mul(a, power, number)
		e.ratio = true
		e.name.WriteByte('/')
		if number != 1 {
			e.name.WriteString(strconv.FormatFloat(number, 'g', -1, 64) + " ")
		}
		e.name.WriteString(a.name)
		if p.is(k, "of", "de", "d") && p.nounAt(k+1) {
			k++
		}
		if n := p.noun(k, e); n > 0 {
			k += n
		}
		j = k
		if signed && p.is(j, ")") && strings.Contains(p.text[p.ts[max(j-4, 0)].from:p.ts[j].from], "(") && p.opens(j) {
			j++
		}
	}
	return j
}

// opens reports that the bracket closed at token j was opened inside the denominator.
func (p *parser) opens(j int) bool {
	for k := j - 1; k >= 0 && k >= j-4; k-- {
		if p.is(k, "(") {
			return p.is(k-1, "/")
		}
	}
	return false
}

func (p *parser) ends(k int) bool {
	return k >= len(p.ts) || p.is(k, ")", "]", ",", ";", ":")
}

// mass reports that the numerator is a mass and nothing else.
func (e *expr) mass() bool { return e.dims["mass"] == 1 && len(e.dims) == 1 }

// mul books an atom with its power.
func (e *expr) mul(a atom, power int, number float64) {
	above, below, composite := strings.Cut(a.dimension, "/")
	add := func(d string, n int) {
		if e.dims[d] += n; e.dims[d] == 0 && e.dims["~"+d] == 0 {
			// the same kind above and below the line stays visible: mg per mg
			delete(e.dims, d)
			e.dims[d+"/"+d] = 1
		}
	}
	if above != "1" {
		add(above, power)
	}
	if composite {
		add(below, -power)
	}
	for range max(power, -power) {
		if power > 0 {
			e.factor *= a.factor * number
		} else {
			e.factor /= a.factor * number
		}
	}
}

// unit settles the kind.
func (e *expr) unit(t *table) Unit {
	u := Unit{Factor: e.factor, Name: e.name.String(), As: e.as, Of: e.of, Per: e.per, Dimensions: e.signature()}
	if e.word {
		u.Word = e.of
	}
	if k, ok := t.kinds[u.Dimensions]; ok {
		u.Kind, u.Factor = k.kind, u.Factor*k.factor
	} else {
		u.Kind = Other
	}
	if u.Kind == Conc && colourSpecies[u.As] {
		u.Kind, u.Name = Colour, "Pt-Co"
	}
	if u.Kind == Share && e.dims["mass/mass"] == 1 && u.Per == "" && u.As == "" && u.Of == "" {
		// mg of chemical per kg of water is the same as mg/L to three digits
		if e.lead.name == "mg" || e.lead.name == "g" {
			u.Kind = Conc
			u.Factor = e.factor * 1e6
		}
	}
	return u
}

var colourSpecies = map[string]bool{"pt": true, "pt-co": true, "ptco": true, "pt/co": true}

// signature writes the dimensions in one order.
func (e *expr) signature() string {
	var above, below []string
	for _, d := range dimensionOrder {
		n, ok := e.dims[d]
		switch {
		case e.dims[d+"/"+d] == 1:
			above, below = append(above, d), append(below, d)
		case ok && n > 0:
			above = append(above, d)
		case ok && n < 0:
			below = append(below, d)
		}
		if n > 1 || n < -1 {
			return "?"
		}
	}
	s := strings.Join(above, "*")
	if s == "" {
		s = "1"
	}
	if len(below) > 0 {
		s += "/" + strings.Join(below, "*")
	}
	return s
}

// count reads a number or number word before a unit below the line.
func (p *parser) count(i int) (float64, int) {
	n, k := 1.0, i
	if p.at(k).sort == numberToken {
		digits := strings.ReplaceAll(p.at(k).text, ",", "")
		k++
		for p.at(k).sort == numberToken && len(p.at(k).text) == 3 && !p.at(k).glued {
			digits += p.at(k).text
			k++
		}
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil || v <= 0 {
			return 1, 0
		}
		n = v
		if p.is(k, "^") && p.at(k+1).sort == numberToken {
			x, _ := strconv.Atoi(p.at(k + 1).text)
			if x < 0 || x > 12 {
				return 1, 0
			}
			base := n
			n = 1
			for range x {
				n *= base
			}
			k += 2
		}
	}
	for w, by := range multiples {
		if p.is(k, w) {
			n *= by
			k++
			break
		}
	}
	return n, k - i
}

var multiples = map[string]float64{"million": 1e6, "millions": 1e6, "mill": 1e6, "millon": 1e6, "millones": 1e6, "milhao": 1e6, "mio": 1e6, "thousand": 1e3, "tausend": 1e3, "mille": 1e3, "hundred": 100, "千": 1e3, "万": 1e4}

// exponent reads "-1", "^-1", "^(-1)", "⁻¹" after an atom, and gives 0 where there is none.
func (p *parser) exponent(i int, a atom) (int, int) {
	k := i
	raised := p.is(k, "^")
	if raised {
		k++
	}
	open := p.is(k, "(") && raised
	if open {
		k++
	}
	sign := 1
	if p.is(k, "-") {
		sign = -1
		if !p.at(k).glued || !raised && !p.at(k+1).glued {
			return 0, 0
		}
		k++
	} else if !raised {
		return 0, 0
	}
	if p.at(k).sort != numberToken || !raised && !exponents[a.dimension] {
		return 0, 0
	}
	n, err := strconv.Atoi(p.at(k).text)
	if err != nil || n < 1 || n > 3 {
		return 0, 0
	}
	k++
	if open && p.is(k, ")") {
		k++
	}
	return sign * n, k - i
}

// exponents are the dimensions after which a plain "-1" is one.
var exponents = map[string]bool{"volume": true, "time": true, "length": true, "mass": true}

// modifier reads what a share counts: % w/v, ppm by volume.
func (p *parser) modifier(i int, u *Unit) int {
	if u.Name != "%" && u.Name != "mg/L" && u.Name != "‰" || strings.Contains(p.text[:p.at(i-1).to], "/") && u.Name == "mg/L" {
		return i
	}
	k := i
	open := p.is(k, "(", "[")
	if open {
		k++
	}
	for _, m := range p.t.shares {
		if n := p.matches(k, m.tokens); n > 0 {
			if open && !p.is(k+n, ")", "]") {
				continue
			}
			k += n
			if open {
				k++
			}
			u.Name += " " + m.name
			switch {
			case m.name == "v/v" && u.Kind == Percent: // 1 % is 10 mL/L
				u.Kind, u.Factor = Volper, u.Factor*10
			case m.name == "v/v": // 1 ppm is 0.001 mL/L
				u.Kind, u.Factor = Volper, u.Factor/1000
			case m.name == "w/v" && u.Kind == Percent: // 1 % is 10 g/L
				u.Kind, u.Factor = Conc, u.Factor*10000
			default:
				u.Of = m.name
			}
			return k
		}
	}
	return i
}

// matches gives how many tokens from i on are those of a spelling.
func (p *parser) matches(i int, spelling []string) int {
	for k, s := range spelling {
		if p.at(i+k).text != s {
			return 0
		}
	}
	return len(spelling)
}

// annotation reads " as Al", "(CaCO3)", "-P" after an amount.
func (p *parser) annotation(i int, u *Unit) int {
	if u.Kind != Conc && u.Kind != Molar && u.Kind != Equiv && u.Kind != Mass && u.Kind != Percent {
		return i
	}
	k := i
	for p.is(k, ")", "]", ",", ".") {
		k++
	}
	open := false
	if p.is(k, "(", "[") {
		open = true
		k++
	}
	worded := p.is(k, asWords...)
	if worded {
		k++
		if p.is(k, "of", "form") {
			k += 2
		}
	} else if p.is(k, "in") && p.is(k+1, "form") {
		worded = true
		k += 3
	} else if k > i && !open || u.Kind == Mass || u.Kind == Percent {
		return i
	}
	if p.is(k, "-") && !worded {
		k++
	}
	as, of := u.As, u.Of
	n := p.species(k, &as, &of)
	if n == 0 && worded && p.at(k).sort == wordToken {
		as, n = p.at(k).text, 1
		if m := p.species(k+1, &as, &of); m > 0 { // "as neat Al": a word between them that may change what is counted
			u.Left = p.text[p.at(k).from:p.at(k+m).to]
			return k + 1 + m
		}
	}
	if n == 0 || as == "" {
		return i
	}
	u.As, u.Of = as, of
	k += n
	if open && p.is(k, ")", "]") {
		k++
	}
	if u.Kind == Conc && colourSpecies[u.As] {
		u.Kind, u.Name = Colour, "Pt-Co"
	}
	return k
}

var asWords = []string{"as", "als", "como", "comme", "come", "sebagai", "sbg", "dang", "som", "an", "in", "expressed", "exprime", "calc", "calculated", "в", "以"}

// at25 swallows the temperature to which a conductivity is brought.
func (p *parser) at25(i int, u *Unit) int {
	if u.Kind != Cond || !p.is(i, "at", "@", "bei", "a") && !p.is(i, "(") || !p.is(i+1, "25", "20", "at", "@") {
		return i
	}
	k := i + 1
	for !p.is(k, "25", "20") {
		if k++; k > i+3 {
			return i
		}
	}
	k++
	for p.is(k, "°", "c", "°c", "deg", ")") {
		k++
	}
	return k
}

// timesBefore reads a factor before a unit: "(x10^-2 g/L)".
func (p *parser) timesBefore(i int, u *Unit) {
	for k := i - 1; k >= 0 && k > i-6; k-- {
		if t := p.at(k); p.is(k, "x", "×", "*") || len(t.text) > 1 && t.text[0] == 'x' && strings.Trim(t.text[1:], "0123456789") == "" {
			if n, _ := p.count(k + 1); n != 1 || len(t.text) > 1 {
				u.Times = max(n, 10)
			}
			return
		} else if t.sort == wordToken || p.is(k, "(", ")", ",") {
			return
		}
	}
}

// times reads a factor beside the unit.
func (p *parser) times(i int, u *Unit) int {
	k := i
	for p.is(k, ")", "]") {
		k++
	}
	open := p.is(k, "(")
	if open {
		k++
	}
	if w := p.at(k).text; len(w) > 1 && w[0] == 'x' { // "x10"
		if n, err := strconv.ParseFloat(w[1:], 64); err == nil && n > 0 {
			u.Times = n
			return k + 1
		}
	}
	if !p.is(k, "x", "×", "*") || p.at(k+1).sort != numberToken {
		return i
	}
	n, m := p.count(k + 1)
	if m == 0 {
		return i
	}
	k += 1 + m
	if p.is(k, "^") && p.is(k+1, "-") && p.at(k+2).sort == numberToken {
		x, _ := strconv.Atoi(p.at(k + 2).text)
		base := n
		for n = 1; x > 0; x-- {
			n /= base
		}
		k += 3
	}
	if _, m := p.atom(k, &expr{}, true); m > 0 && p.at(k).glued { // "x 5 mL" is no factor
		return i
	}
	if open && p.is(k, ")") {
		k++
	}
	u.Times = n
	return k
}

// leftover notes what belongs to the unit and is in no table.
func (p *parser) leftover(i int, u *Unit) {
	if !(p.is(i, "/") && (p.at(i).glued || p.at(i+1).glued) || p.is(i, "per") || p.is(i, "^")) {
		return
	}
	from := p.at(i).from
	to := from
	for k := i; k < len(p.ts) && !p.is(k, ")", "]", ",", ";") && k < i+6; k++ {
		to = p.ts[k].to
	}
	u.Left = strings.TrimSpace(p.text[from:to])
}

// scale reads ln(…), log, √ before a unit.
func (p *parser) scale(i int, u *Unit) {
	k := i - 1
	for p.is(k, "(", "[") {
		k--
	}
	if s, ok := scales[p.at(k).text]; ok {
		u.Scale = s
	}
}

var scales = map[string]string{"ln": "ln", "log": "log", "log10": "log", "lg": "log", "sqrt": "sqrt", "√": "sqrt", "loge": "ln"}

// clear reports that a spelling that could be a word or a letter can only be a unit
// here: it is all there is, stands in brackets, after a comma or a number, at the
// end, or, for volumes and masses, at the beginning.
func (p *parser) clear(i, j int, e *expr) bool {
	first, last := i == 0, p.ends(j)
	if r, _ := utf8.DecodeRuneInString(p.at(i).text); !first && spaceless(r) && p.at(i).glued && p.at(i-1).sort == wordToken { // the end of a word: 浊度
		return false
	}
	if first && j == len(p.ts) {
		return !letters[p.at(i).text]
	}
	if symbols[p.at(i).text] && p.is(j, "/") && p.at(j).glued { // T/T0
		return false
	}
	d := e.lead.dimension
	if d == "length" && len(p.at(i).text) > 4 && !p.is(i-1, "(", "[") && p.at(i-1).sort != numberToken { // "meter A" is an instrument
		return false
	}
	if dosed[d] && (p.is(j, perWords...) || p.is(j, "/") && p.at(j).glued) { // "mg per sack"
		return true
	}
	if d == "none" {
		return p.is(i-1, "(", "[") && p.is(j, ")", "]")
	}
	if d == "household" && !p.is(i-1, "(", "[") && p.at(i-1).sort != numberToken && !(first && p.is(j, perWords...)) && !(last && first) { // a bucket is a vessel, too
		return i > 0 && last && p.at(i-1).sort == wordToken && i == 1
	}
	if d == "conductance" || d == "vessel" || d == "place" || d == "knob" || d == "time" && e.lead.name == "d" && !p.is(i-1, "(", "[") {
		return p.is(i-1, "(", "[") && p.is(j, ")", "]") && (d == "conductance" || d == "time" || d == "knob")
	}
	if first {
		return d == "volume" || d == "mass" && (p.is(j, "per", "added", "/", "of"))
	}
	if p.is(i-1, "(", "[", ",", ";", ":") || p.at(i-1).sort == numberToken || p.is(i-1, "-") && p.at(i-2).sort == numberToken {
		return true
	}
	if p.is(i-1, "/") {
		return d != "time"
	}
	if last {
		return true
	}
	return d == "volume" && p.is(j, "of", "added", "stock", "jar", "beaker", "sample", "raw", "de")
}

// dosed are the dimensions of what is put into water.
var dosed = map[string]bool{"mass": true, "volume": true, "amount": true, "drops": true}

// letters are units that, alone in a cell, are the names of jars.
var letters = map[string]bool{"t": true, "d": true, "m": true, "v": true, "c": true}

// symbols are letters that stand for quantities as often as for units.
var symbols = map[string]bool{"t": true, "h": true, "s": true, "d": true, "m": true, "c": true, "v": true}
