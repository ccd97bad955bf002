package words

import (
	"math"
	"strconv"
	"strings"
)

// modifier reads what a share counts: % w/v, ppm by volume.
func (p *parser) modifier(i int, u *Unit) int {
	if parts := u.Name == "mg/L" || u.Name == "ug/L"; u.Name != "%" && u.Name != "‰" && !parts || parts && strings.Contains(p.text[:p.at(i-1).to], "/") {
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
			case m.name == "v/v" && u.Kind == Conc: // 1 ppm is 0.001 mL/L
				u.Kind, u.Factor, u.Name = Volper, u.Factor/1000, asParts.Replace(u.Name)
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

// asParts names parts that are by volume, which no mg/L is.
var asParts = strings.NewReplacer("mg/L", "ppm", "ug/L", "ppb")

// matches gives how many tokens from i on are those of a spelling.
func (p *parser) matches(i int, spelling []string) int {
	for k, s := range spelling {
		if p.at(i+k).text != s {
			return 0
		}
	}
	return len(spelling)
}

// annotated are the kinds that can be counted as something else.
var annotated = map[Kind]bool{Conc: true, Molar: true, Equiv: true, Mass: true, Percent: true}

// annotation reads " as Al", "(CaCO3)", "-P" after an amount.
func (p *parser) annotation(i int, u *Unit) int {
	if !annotated[u.Kind] {
		return i
	}
	k := i
	for p.is(k, ")", "]", ",", ".") {
		k++
	}
	apart, open := k > i, p.is(k, "(", "[")
	if open {
		k++
	}
	k, worded := p.asWord(k)
	if !worded && (apart && !open || u.Kind == Mass || u.Kind == Percent) {
		return i
	}
	if p.is(k, "-") && !worded {
		k++
	}
	as, of := u.As, u.Of
	n := p.species(k, &as, &of)
	if n == 0 && worded && p.at(k).sort == wordToken && !p.is(k, oneOf...) {
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
	if p.is(k, "basis") { // "(Al basis)"
		k++
	}
	if open && p.is(k, ")", "]") {
		k++
	}
	u.platinum()
	return k
}

// basisAt reports something that an amount can be counted as.
func (p *parser) basisAt(k int) bool {
	as, of := "", ""
	return p.species(k, &as, &of) > 0 && as != ""
}

// asWord reads "as", "in", "in form of".
func (p *parser) asWord(k int) (int, bool) {
	switch {
	case p.is(k, "of") && p.basisAt(k+1): // "mg/L of Al"
		return k + 1, false
	case p.is(k, countWords...) && p.is(k+1, asWords...): // "counts as Al"
		return k + 2, true
	case !p.is(k, asWords...):
		return k, false
	case p.is(k+1, "of", "form"):
		return k + 3, true
	}
	return k + 1, true
}

// platinum turns a mass of platinum for each litre into the colour that it stands for.
func (u *Unit) platinum() {
	if u.Kind == Conc && colourSpecies[u.As] {
		u.Kind, u.Name = Colour, "Pt-Co"
	}
}

var asWords = []string{"as", "als", "como", "comme", "come", "jako", "sebagai", "sbg", "dang", "som", "an", "in", "expressed", "exprime", "calc", "calculated", "в", "以"}

// countWords stand before these.
var countWords = []string{"counts", "count", "counted", "counting", "expressed", "calculated", "calc", "reported", "stated", "given", "taken"}

// oneOf stand before what something was put into, "400 g in a 20 L bucket", and are counted as nothing.
var oneOf = []string{"a", "an", "the", "one", "each", "ein", "einem", "einer", "un", "una", "une", "um", "uma", "een"}

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

// timesBefore reads a factor before a unit: "(x10^-2 g/L)", "10^-2 g/L".
func (p *parser) timesBefore(i int, u *Unit) {
	for k := i - 1; k >= 0 && k > i-6; k-- {
		t := p.at(k)
		switch {
		case p.is(k, "x", "×", "*"):
			if n, _ := p.power(k + 1); n != 1 && p.at(k-1).sort != numberToken {
				u.Times = n
			}
			return
		case len(t.text) > 1 && t.text[0] == 'x' && strings.Trim(t.text[1:], "0123456789") == "": // "x10"
			u.Times, _ = strconv.ParseFloat(t.text[1:], 64)
			if p.is(k+1, "^") {
				x, sign := p.at(k+2), 1.0
				if p.is(k+2, "-") {
					x, sign = p.at(k+3), -1
				}
				n, _ := strconv.Atoi(x.text)
				u.Times = math.Pow(u.Times, sign*float64(n))
			}
			return
		case p.is(k, "10") && p.is(k+1, "^"):
			if n, m := p.power(k); k+m == i && (k == 0 || p.is(k-1, "(", "[", ",") || p.at(k-1).sort == wordToken) {
				u.Times = n
				return
			}
		case t.sort == wordToken || p.is(k, "(", ")", ","):
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
	n, m := p.power(k + 1)
	if m == 0 {
		return i
	}
	k += 1 + m
	if _, m := p.atom(k, &expr{}, true); m > 0 && p.at(k).glued { // "x 5 mL" is no factor
		return i
	}
	if open && p.is(k, ")") {
		k++
	}
	u.Times = n
	return k
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
