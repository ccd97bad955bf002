package words

import (
	"math"
	"strconv"
	"strings"
)

// perWords are the words for "for each".
var perWords = []string{"per", "por", "pro", "par", "je", "za", "na", "na1", "每", "ต", "cada", "each", "pr", "op", "mỗi", "moi", "بر", "در", "لكل", "प्रति", "প্রতি", "ανα"}

// numerator reads what stands above the line, from token i on.
func (p *parser) numerator(i int, e *expr) int {
	if p.is(i, "1") && p.is(i+1, "/") || p.is(i, "/") {
		return p.reciprocal(i, e)
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
	if power, n := p.exponent(j, a); n > 0 && power < 0 { // cm-1
		if !inverse[a.dimension] {
			return i
		}
		return e.invert(a, power, j+n)
	}
	e.mul(a, 1, 1)
	e.lead, e.free = a, a.free
	e.name.WriteString(a.name)
	if a.dimension == "ratio" {
		return j
	}
	return p.substance(j, e)
}

// substance reads what the numerator is of, where a denominator follows: "Al", "of
// alum", "(P)".
func (p *parser) substance(j int, e *expr) int {
	k, closing := j, 0
	if p.is(k, "of", "de", "as", "als") {
		k++
	}
	if p.is(k, "(", "[") {
		k, closing = k+1, 1
	}
	as, of := "", ""
	if n := p.species(k, &as, &of); n > 0 && (closing == 0 || p.is(k+n, ")", "]")) && p.goesOn(k+n+closing) {
		e.as, e.of = as, of
		return k + n + closing
	}
	if w := p.at(k); closing == 0 && w.sort == wordToken && dosed[e.lead.dimension] && !p.is(k, perWords...) && !p.is(k, inWords...) && (p.goesOn(k+1) || !e.numbered && p.within(k+1, e) > 0) { // "mg alum/L"
		e.of, e.word = w.text, true
		return k + 1
	}
	return j
}

// inverse are the dimensions that may stand alone below the line: 1/cm, 1/s.
var inverse = map[string]bool{"length": true, "time": true}

// reciprocal reads "1/cm", "1/L" and "/m".
func (p *parser) reciprocal(i int, e *expr) int {
	j := i + 1
	if p.is(i, "1") {
		j++
	} else if i > 0 && p.at(i).glued && !p.is(i-1, "(", "[", ",") {
		return i
	}
	a, n := p.atom(j, e, true)
	if n == 0 || !inverse[a.dimension] && !(p.is(i, "1") && a.dimension == "volume") {
		return i
	}
	return e.invert(a, -1, j+n)
}

// invert books an atom below a line that has nothing above it.
func (e *expr) invert(a atom, power, next int) int {
	e.mul(a, power, 1)
	e.ratio = true
	e.name.WriteString("1/" + a.name)
	return next
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
		k := p.denominator(j, e)
		if k == j {
			break
		}
		j = k
	}
	return j
}

// denominator reads one unit below the line, with its number and what it is of.
func (p *parser) denominator(j int, e *expr) int {
	k, line := p.line(j, e)
	number, n := 1.0, 0
	if line {
		number, n = p.count(k)
		k += n
		if n > 0 && p.is(k, "-") && p.at(k).glued && p.volumeAt(k+1) { // "per 2-litre jar"
			k++
		}
	}
	a, m := p.atom(k, e, true)
	if m == 0 {
		if line && n > 0 && number == 1 && e.mass() && p.ends(k) && p.is(k-1, "1") { // mg/1 for mg/l
			e.divide(litre, -1, 1)
			return k
		}
		return j
	}
	k += m
	if v, size, n := p.holds(k, a); n > 0 { // a bucket of 20 L
		a, number = v, number*size
		k += n
	}
	a, power, x := p.lowered(k, a, line)
	if power >= 0 {
		return j
	}
	e.divide(a, power, number)
	k = p.noun(k+x, e)
	if line && p.is(k, ")") && p.opens(k) {
		k++
	}
	return k
}

// lowered reads the exponent of a unit that may stand below the line, and gives the
// atom, its power there, 0 and above for none, and the tokens of the exponent.
func (p *parser) lowered(k int, a atom, line bool) (atom, int, int) {
	power, n := p.exponent(k, a)
	switch {
	case a.dimension == "length" && (power == -3 || line && power == 3):
		return atom{"volume", a.factor * a.factor * a.factor / 1000, a.name + "3", false}, -1, n
	case line && power > 1: // no unit has the square of a litre below the line: it is left over
		return a, -1, 0
	case line && power >= 0:
		return a, -1, n
	}
	return a, power, n
}

// line reads what may stand before a unit below the line, and whether that was a
// solidus or a word for one.
func (p *parser) line(k int, e *expr) (int, bool) {
	switch {
	case p.within(k, e) > 0: // "mg in 2 L"
		return k + p.within(k, e), true
	case p.is(k, "/"), p.is(k, perWords...), p.is(k, "p") && e.mass() && p.volumeAt(k+1):
		k++
		if p.is(k, "่") {
			k++
		}
	case p.is(k, "·", ".", "*"):
		return k + 1, false
	default:
		return k, false
	}
	if p.is(k, "(") {
		k++
	}
	return k, true
}

// within reads "in" before a volume or a vessel of one: "in 2 L", "in a bucket of 20 L".
// With a number before the unit it may be running text, in which only "in 2 L" and "in every mL" are meant.
func (p *parser) within(k int, e *expr) int {
	switch {
	case p.is(k, inWords...) && e.lead.dimension == "volume" && e.of == "" && !e.ratio && !e.numbered && p.at(k+1).sort == numberToken && p.volumeAt(k+2):
		return 1 // of settled sludge, "mL in 500 mL"
	case !p.is(k, inWords...) || !e.mass() || e.ratio:
		return 0
	case p.at(k+1).sort == numberToken:
		return 1
	case !p.is(k+1, eachWords...) && (e.numbered || !p.is(k+1, "a", "an", "one", "un", "una", "une")):
		return 0
	case p.at(k+2).sort == numberToken:
		return 2
	}
	if a, n := p.atom(k+2, e, true); n > 0 {
		if _, _, m := p.holds(k+2+n, a); m > 0 || a.dimension == "volume" {
			return 2
		}
	}
	return 0
}

var inWords = []string{"in", "en", "dans"}

// eachWords say that the volume behind them is one of many: "mg in every mL" is mg/mL, also behind a number.
var eachWords = []string{"each", "every", "cada", "chaque", "jedem", "jeder", "ogni", "elke", "varje", "hver"}

// holds reads how much a vessel holds: "bucket of 20 L", "jar (2 L)".
func (p *parser) holds(k int, vessel atom) (atom, float64, int) {
	open := p.is(k, "(", "[")
	if d := vessel.dimension; d != "vessel" && d != "household" && d != "pail" && d != "place" || !open && !p.is(k, "of", "de", "with", "holding") {
		return atom{}, 0, 0
	}
	size, n := p.count(k + 1)
	a, m := p.atom(k+1+n, &expr{}, true)
	to := k + 1 + n + m
	if n == 0 || m == 0 || a.dimension != "volume" || open && !p.is(to, ")", "]") {
		return atom{}, 0, 0
	}
	if open {
		to++
	}
	return a, size, to - k
}

// volumeAt reports a volume and nothing else of a unit.
func (p *parser) volumeAt(k int) bool {
	a, n := p.atom(k, &expr{}, true)
	return n > 0 && a.dimension == "volume"
}

// divide books a unit below the line.
func (e *expr) divide(a atom, power int, number float64) {
	e.mul(a, power, number)
	e.ratio = true
	e.name.WriteByte('/')
	if number != 1 {
		e.name.WriteString(strconv.FormatFloat(number, 'g', -1, 64) + " ")
	}
	e.name.WriteString(a.name)
	if power < -1 {
		e.name.WriteString(strconv.Itoa(-power))
	}
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

// ends reports that nothing more of the unit's phrase stands from token k on.
func (p *parser) ends(k int) bool {
	return k >= len(p.ts) || p.is(k, ")", "]", ",", ";", ":")
}

// count reads a number or number word before a unit below the line.
func (p *parser) count(i int) (float64, int) {
	n, k := 1.0, i
	if p.at(k).sort == numberToken {
		digits := p.at(k).text
		k++
		for p.at(k).sort == numberToken && len(p.at(k).text) == 3 && !p.at(k).glued {
			digits += p.at(k).text
			k++
		}
		v, ok := number(digits)
		if !ok || v <= 0 || v > 1e15 {
			return 1, 0
		}
		n = v
		if p.is(k, "^") && p.at(k+1).sort == numberToken {
			x, _ := strconv.Atoi(p.at(k + 1).text)
			if x < 0 || x > 12 {
				return 1, 0
			}
			if n = math.Pow(n, float64(x)); n > 1e15 {
				return 1, 0
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

// number reads a number of a unit: "500", "1,000", "0.5", "1,5". "1.000" may be one or a
// thousand: nobody can say.
func number(s string) (float64, bool) {
	whole, part, point := strings.Cut(s, ".")
	if point && len(part) == 3 && len(whole) <= 3 && whole != "0" && strings.Trim(part, "0") == "" {
		return 0, false
	}
	groups := strings.Split(whole, ",")
	for i, g := range groups[1:] {
		if len(g) != 3 || i == 0 && (len(groups[0]) > 3 || groups[0] == "0") {
			s = strings.Replace(s, ",", ".", 1) // a decimal comma
			break
		}
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	return v, err == nil && (len(groups) <= 2 || !strings.Contains(s, ".") || point)
}

// power reads a number with its power of ten, such as 10^-3, and gives its tokens.
func (p *parser) power(i int) (float64, int) {
	n, k := p.count(i)
	if k > 0 && p.is(i+k, "^") && p.is(i+k+1, "-") && p.at(i+k+2).sort == numberToken {
		x, _ := strconv.Atoi(p.at(i + k + 2).text)
		return math.Pow(n, -float64(min(x, 12))), k + 3
	}
	return n, k
}

var multiples = map[string]float64{"million": 1e6, "millions": 1e6, "mill": 1e6, "millon": 1e6, "millones": 1e6, "milhao": 1e6, "mio": 1e6, "thousand": 1e3, "tausend": 1e3, "mille": 1e3, "hundred": 100, "千": 1e3, "万": 1e4}

// exponent reads "-1", "^-1", "^(-1)", "**-1", "⁻¹" after an atom, and gives 0 where there is none.
func (p *parser) exponent(i int, a atom) (int, int) {
	k := i
	raised := p.is(k, "^")
	if raised {
		k++
	} else if p.is(k, "*") && p.is(k+1, "*") {
		raised = true
		k += 2
	}
	open := p.is(k, "(", "{") && raised
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
	if open && p.is(k, ")", "}") {
		k++
	}
	return sign * n, k - i
}

// exponents are the dimensions after which a plain "-1" is one.
var exponents = map[string]bool{"volume": true, "time": true, "length": true, "mass": true}
