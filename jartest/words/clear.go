package words

import "unicode/utf8"

// spot is a spelling that could be a unit, with what stands around it.
type spot struct {
	*parser
	i, j        int // its tokens
	e           *expr
	first, last bool
}

// clear reports that a spelling that could be a word or a letter can only be a unit
// here. The first rule that holds decides.
func (p *parser) clear(i, j int, e *expr) bool {
	s := spot{p, i, j, e, i == 0, p.ends(j)}
	for _, r := range clearRules {
		if r.holds(s) {
			return r.clear(s)
		}
	}
	return false
}

func (s spot) lead(dimension string) bool { return s.e.lead.dimension == dimension }

// opened and closed tell brackets, numbered a number before it.
func (s spot) opened() bool   { return s.is(s.i-1, "(", "[") }
func (s spot) closed() bool   { return s.opened() && s.is(s.j, ")", "]") }
func (s spot) numbered() bool { return s.at(s.i-1).sort == numberToken }

// divided reports a solidus right behind it.
func (s spot) divided() bool { return s.is(s.j, "/") && s.at(s.j).glued }

// endsWord reports the end of a word of a script without blanks, 浊度.
func (s spot) endsWord() bool {
	r, _ := utf8.DecodeRuneInString(s.at(s.i).text)
	return s.i > 0 && spaceless(r) && s.at(s.i).glued && s.at(s.i-1).sort == wordToken
}

func never(spot) bool  { return false }
func always(spot) bool { return true }

var clearRules = []struct{ holds, clear func(s spot) bool }{
	{spot.endsWord, never},
	{func(s spot) bool { return s.first && s.j == len(s.ts) }, func(s spot) bool { return !letters[s.at(s.i).text] }},
	{func(s spot) bool { return symbols[s.at(s.i).text] && s.divided() }, never}, // T/T0
	{func(s spot) bool { // "meter A" is an instrument
		return s.lead("length") && len(s.at(s.i).text) > 4 && !s.opened() && !s.numbered()
	}, never},
	{func(s spot) bool { return dosed[s.e.lead.dimension] && (s.is(s.j, perWords...) || s.divided()) }, always}, // "mg per sack"
	{func(s spot) bool { // mg²/L, mg·min/L, mg %
		return s.lead("mass") && (s.is(s.j, "^") && s.at(s.j).glued || s.timesTime(s.j) || s.is(s.j, "%"))
	}, always},
	{func(s spot) bool { return s.lead("none") }, spot.closed},
	{func(s spot) bool { // a bucket is a vessel, too
		return (s.lead("household") || s.lead("pail")) && !s.opened() && !s.numbered() && !(s.first && (s.last || s.is(s.j, perWords...)))
	}, func(s spot) bool { return s.i == 1 && s.last && s.at(0).sort == wordToken }},
	{func(s spot) bool { return s.lead("vessel") || s.lead("place") }, never},
	{func(s spot) bool {
		return s.lead("conductance") || s.lead("knob") || s.e.lead.name == "d" && !s.opened()
	}, spot.closed},
	{func(s spot) bool { return s.first }, func(s spot) bool {
		return s.lead("volume") || s.lead("mass") && s.is(s.j, "per", "added", "/", "of")
	}},
	{func(s spot) bool {
		return s.is(s.i-1, "(", "[", ",", ";", ":") || s.numbered() || s.is(s.i-1, "-") && s.at(s.i-2).sort == numberToken
	}, always},
	{func(s spot) bool { return s.is(s.i-1, "/") }, func(s spot) bool { return !s.lead("time") }},
	{func(s spot) bool { return s.last }, always},
	{func(s spot) bool { return s.lead("volume") }, func(s spot) bool {
		return s.is(s.j, "of", "added", "stock", "jar", "beaker", "sample", "raw", "de")
	}},
}

// dosed are the dimensions of what is put into water.
var dosed = map[string]bool{"mass": true, "volume": true, "amount": true, "drops": true}

// letters are units that, alone in a cell, are the names of jars.
var letters = map[string]bool{"t": true, "d": true, "m": true, "v": true, "c": true}

// symbols are letters that stand for quantities as often as for units.
var symbols = map[string]bool{"t": true, "h": true, "s": true, "d": true, "m": true, "c": true, "v": true}
