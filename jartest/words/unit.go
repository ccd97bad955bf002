package words

import (
	"strings"
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
	rivals(text, out)
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
	// numbered is after a number, as in running text
	numbered bool
	word     bool // of is a word of the text that no table of units holds
	lead     atom // of the numerator
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

// unit reads the unit that begins at token i and gives how many tokens it takes.
func (p *parser) unit(i int) (UnitAt, int) {
	if p.at(i).sort == signToken && !p.is(i, "%", "‰", "°", "/", "-", "'", "#") {
		return UnitAt{}, 0
	}
	e := &expr{dims: map[string]int{}, factor: 1, numbered: p.at(i-1).sort == numberToken}
	j := p.numerator(i, e)
	if fall := p.is(i, "drop") && i > 0 && p.at(i-1).sort == wordToken && p.is(i+1, "(", "["); j == i || fall { // "turbidity drop (NTU)"
		return UnitAt{}, 0
	}
	j = p.denominators(j, e)
	if !e.ratio && !e.free && !p.clear(i, j, e) || e.ratio && e.lead.dimension == "degree" && (spot{parser: p, i: i}).endsWord() {
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
	p.leftover(i, j, &u)
	p.scale(i, &u)
	return UnitAt{u, p.ts[i].from, p.ts[j-1].to}, j - i
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
	u.platinum()
	if u.Kind == Share && e.dims["mass/mass"] == 1 && u.Per == "" && u.As == "" && u.Of == "" {
		// mg of chemical per kg of water is the same as mg/L to three digits; more than that
		// for each kg is of solids
		if e.factor <= 1.000001e-6 {
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
