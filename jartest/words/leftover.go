package words

import "strings"

// leftover notes what belongs to the unit and is in no table, from token j on.
func (p *parser) leftover(i, j int, u *Unit) {
	if p.unclosed(i, j) { // mg/(L min)
		u.Left = p.phrase(j)
		return
	}
	if raised := p.raisedBefore(i); raised != "" {
		u.Left = raised
		return
	}
	k := j
	if p.is(k, ")", "]") && p.is(k+1, "^") && p.at(k+1).glued { // (mg/L)^2
		k++
	}
	for _, left := range leftovers {
		if left(p, k, u) {
			u.Left = p.phrase(k)
			return
		}
	}
}

// phrase gives the text from token k to the end of its phrase.
func (p *parser) phrase(k int) string {
	for p.is(k, "(", ")", ",") {
		k++
	}
	from := p.at(k).from
	to, n := from, 0
	for ; k+n < len(p.ts) && (!p.ends(k+n) || n == 0) && n < 6; n++ {
		to = p.ts[k+n].to
	}
	return strings.TrimSpace(p.text[from:to])
}

// leftovers are what goes on with a unit.
var leftovers = []func(p *parser, k int, u *Unit) bool{
	func(p *parser, k int, _ *Unit) bool { return p.is(k, "/") && (p.at(k).glued || p.at(k+1).glued) },
	func(p *parser, k int, _ *Unit) bool { return p.is(k, "per", "^", "{") },
	func(p *parser, k int, _ *Unit) bool { return p.is(k, "·", "*", "×") && p.at(k+1).sort == wordToken }, // mg/L·min
	func(p *parser, k int, _ *Unit) bool { return p.timesTime(k) },                                        // mg/L.min, mg-min/L
	func(p *parser, k int, u *Unit) bool { return u.Kind == Mass && p.is(k, "%") },
	(*parser).massOf,
	(*parser).strength,
	(*parser).unread,
}

// unread reports a line below an amount that was not read, "mg zork-3", "mg within one litre":
// such an amount is not one for each jar. A number of grams "in a litre" is two amounts.
func (p *parser) unread(k int, u *Unit) bool {
	if u.Kind != Mass && u.Kind != Substance {
		return false
	}
	for n := k; n < k+5 && !p.ends(n); n++ {
		raised := p.is(n, "-") && p.at(n).glued && p.at(n+1).glued && p.is(n+1, "1", "2", "3") && p.ends(n+2)
		apart := p.at(k-2).sort == numberToken && p.is(n-1, "a", "an", "one", "un", "una", "une", "einem", "um") && p.is(n-2, "in", "to", "into", "en", "dans", "em", "auf")
		if n > k && (raised || p.volumeAt(n) && p.at(n-1).sort == wordToken && !apart) {
			return true
		}
	}
	return false
}

// massOf reports what the mass below the line is a mass of, where that is not plainly water: "mg/kg
// biofilm", "ppm of feed"; "feed" may be water that is fed where water stands behind it.
func (p *parser) massOf(k int, u *Unit) bool {
	tied := false
	for p.is(k, "of", "in", "de", "d", "del", "di", "von", "im", "av", "af", "van", "do", "da") {
		k, tied = k+1, true
	}
	of := ""
	switch parts := strings.HasPrefix(u.Name, "ppm") || strings.HasPrefix(u.Name, "ppb"); {
	case u.Per != "" || u.As != "", p.ends(k), p.at(k).sort != wordToken:
		return false
	case parts:
		return tied && p.species(k, new(string), &of) > 0 && of == "feed" && !p.waterAhead(k)
	}
	return u.Dimensions == "mass/mass" && !p.waterAhead(k)
}

// waterAhead reports water in what is left of a phrase, before anything else that a mass can be of.
func (p *parser) waterAhead(k int) bool {
	for ; !p.ends(k); k++ {
		of := ""
		if p.species(k, new(string), &of) > 0 && (of == "water" || of == "sample") {
			return true
		}
	}
	return false
}

// timesTime reports a product with a time.
func (p *parser) timesTime(k int) bool {
	if !p.is(k, ".", "-", "·", "*") || !p.at(k).glued || !p.at(k+1).glued {
		return false
	}
	a, n := p.atom(k+1, &expr{}, true)
	return n > 0 && a.dimension == "time"
}

// strength reports a share that says what the mass is of: "of 10 % solution". Whether the
// mass counts the solution or what is in it, nobody can say.
func (p *parser) strength(k int, u *Unit) bool {
	if u.Kind != Conc && u.Kind != Mass && u.Kind != Molar || strings.Contains(u.Name, "%") {
		return false
	}
	worded := false
	for p.is(k, "of", "as", "de", "als", "a", "the", ")", "(", ",") {
		worded = worded || p.at(k).sort == wordToken
		k++
	}
	if p.at(k).sort != numberToken || !p.is(k+1, "%", "percent", "pct") {
		return false
	}
	for n := k + 2; !worded && n < k+5; n++ {
		as, of := "", ""
		worded = p.is(n, "liquid", "alum", "strength", "commercial") || p.species(n, &as, &of) > 0 && (of == "stock" || as == "product" || as == "active")
	}
	return worded
}

// raisedBefore gives the square or cube of the word before a unit: "Turbidity² (NTU)".
func (p *parser) raisedBefore(i int) string {
	k := i - 1
	for p.is(k, "(", "[", ",") {
		k--
	}
	if w := p.at(k - 2); !p.is(k, "2", "3") || !p.is(k-1, "^") || w.sort != wordToken || len(w.text) < 2 {
		return ""
	}
	return p.text[p.at(k-1).from:p.at(k).to]
}

// unclosed reports a bracket opened below the line whose end the unit has not reached.
func (p *parser) unclosed(i, j int) bool {
	depth := 0
	for k := i; k < j; k++ {
		switch {
		case p.is(k, "(", "["):
			depth++
		case p.is(k, ")", "]"):
			depth--
		}
	}
	return depth > 0 && j < len(p.ts) && !p.is(j, ")", "]")
}

// rivals marks two units of one amount that stand side by side and differ, as in "mg/L
// (mmol/L)": nobody can say which of them the numbers are in.
func rivals(text string, us []UnitAt) {
	for i := 1; i < len(us); i++ {
		a, b := &us[i-1], &us[i]
		between := strings.Trim(strings.ToLower(text[a.To:b.From]), " ,;()[]/|=")
		if !rival[a.Kind] || !rival[b.Kind] || a.Kind == b.Kind && a.Factor == b.Factor || !joinsUnits[between] {
			continue
		}
		if _, ok := NumberBefore(text, a.From); ok {
			continue
		}
		a.Left, b.Left = text[b.From:b.To], text[a.From:a.To]
	}
}

var (
	rival      = map[Kind]bool{Conc: true, Molar: true, Equiv: true, Volper: true, Dropper: true, Number: true}
	joinsUnits = map[string]bool{"": true, "or": true, "and": true, "o": true, "ou": true, "oder": true, "und": true, "y": true, "&": true}
)
