package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// White water is told in a title or a sentence as often as in a line of its own: "Flotation jar test,
// 8 % recycle". What stands right beside its name, with nothing that limits it, is that of the jars; any
// other number in such a clause is asked about, where no better line tells the white water of a table.

// whiteSaid books what a line beside the tables says of white water in running text. A name with its
// value was read before, and so was what the white water reads.
func (b *bench) whiteSaid(line fact, text string, dec layout.Decimals) {
	told := func(x fact) bool {
		return x.at == line.at && (x.kind == factRecycle || x.kind == factWhite || x.kind == factVolume && x.keyed)
	}
	if !layout.ReadHeading(text).Recycle || slices.ContainsFunc(b.facts, told) || correctedFor(words.Fold(text)) {
		return
	}
	clauses := partSign.Split(text, -1)
	for i, clause := range clauses {
		next := ""
		if i+1 < len(clauses) {
			next = words.Fold(clauses[i+1])
		}
		c := whiteClause{f: shareByVolume.ReplaceAllString(words.Fold(clause), "%"), next: next, dec: dec, jar: b.jarOf(line)}
		if x, ok := c.share(); ok {
			line.kind, line.value, line.unit = factRecycle, x.Num, x.Unit
			if !c.sure {
				line.kind = factMaybeRecycle
			}
			line.text = strings.TrimSpace(text)
			b.facts = append(b.facts, line)
			return
		}
	}
	for _, clause := range clauses { // "R = 10 % (white water / raw water)"
		h := layout.ReadHeading(clause)
		ofOther := h.Chem != "" || h.Stock || h.Strength || h.Product || h.Reading != "" || h.Removal || h.Target
		for _, a := range words.Amounts(clause) {
			if x := layout.Numeral(a.Number, dec); a.Kind == words.Percent && x.OK() && !ofOther {
				line.kind, line.value, line.unit, line.text = factMaybeRecycle, x.Num, a.Unit, strings.TrimSpace(text)
				b.facts = append(b.facts, line)
				return
			}
		}
	}
}

// jarOf gives the volume of a jar that a line tells, in L; 0 for none.
func (b *bench) jarOf(line fact) float64 {
	for _, x := range b.facts {
		if x.at == line.at && x.kind == factVolume {
			return x.value
		}
	}
	return 0
}

// whiteClause is a folded clause that may speak of white water, with the one behind it.
type whiteClause struct {
	f, next string
	dec     layout.Decimals
	jar     float64 // the jar that its line tells, L; 0 for none
	sure    bool    // that what was found is the white water of every jar
}

// share gives the number that the clause has beside its word for white water, and tells whether it is sure.
func (c *whiteClause) share() (x layout.Value, ok bool) {
	hits := words.Find(c.f)
	i := slices.IndexFunc(hits, func(h words.Hit) bool { return h.Concept == "meta:recycle" })
	if i < 0 {
		return x, false
	}
	name, n, beside := hits[i], 0, true
	for _, a := range words.Amounts(c.f) {
		if v := c.amount(a); v.OK() {
			x, n = v, n+1
			beside = linked(c.f, a.Start, a.To, name) && !rangeBefore.MatchString(c.f[:a.Start])
		}
	}
	if n == 0 {
		if x, ok = c.ratio(name); !ok {
			x, ok = c.behind()
		}
		n = 1
	}
	c.sure = n == 1 && beside && !c.limited()
	return x, ok || x.OK()
}

// amount gives an amount in a unit in which white water is given.
func (c *whiteClause) amount(a words.Amount) layout.Value {
	if a.Kind != words.Percent && a.Kind != words.Volume && a.Kind != words.Volper {
		return layout.Value{}
	}
	x := layout.Numeral(a.Number, c.dec)
	if a.Kind == words.Volume && same(x.Num*a.Factor, c.jar) {
		return layout.Value{}
	}
	x.Unit = a.Unit
	return x
}

// behind gives the percentage that is all of the clause behind, "with recycle, 12 %".
func (c *whiteClause) behind() (layout.Value, bool) {
	as := words.Amounts(c.next)
	if strings.ContainsAny(c.f, "0123456789") || len(as) != 1 || as[0].Kind != words.Percent || !bareAmount(c.next) {
		return layout.Value{}, false
	}
	x := c.amount(as[0])
	return x, x.OK()
}

// ratio reads a number without a unit right behind the name, "recycle ratio 0.1", "recycle 1:10".
func (c *whiteClause) ratio(name words.Hit) (layout.Value, bool) {
	behind := c.f[name.To:]
	m := ratioBehind.FindStringSubmatch(behind)
	if m == nil || m[2] == "" && ratioBehind.FindString(withoutDays(behind)) == "" {
		return layout.Value{}, false
	}
	x := layout.Numeral(m[1], c.dec)
	if m[2] != "" {
		if of := layout.Numeral(m[2], c.dec); of.OK() && of.Num > 0 {
			x.Num /= of.Num
		}
	}
	return x, x.OK()
}

// limited reports words by which a share is not that of every jar, or of something else than the raw water:
// single jars, a doubt, a denial, the plant, the whole flow.
func (c *whiteClause) limited() bool {
	f := c.f
	if strings.HasPrefix(c.next, "of ") || spoken()["not of raw"].in(c.next) && lengthOf(c.next) < 5 {
		f += " " + c.next
	}
	h := layout.ReadHeading(f)
	return namesJars(f) || changing.MatchString(f) || doubting.MatchString(f) || denies(f) || h.Next || h.Old || h.Chosen ||
		spoken()["formerly"].in(f) || spoken()["supposed"].in(f) || spoken()["not of raw"].in(f)
}

// linked reports an amount that stands right before or behind a name, with nothing between but links.
func linked(f string, from, to int, name words.Hit) bool {
	between := ""
	switch {
	case to <= name.From:
		between = f[to:name.From]
	case name.To <= from:
		between = f[name.To:from]
	}
	return whiteLinks.MatchString(between)
}

var (
	whiteLinks = words.NewPattern(`^[ :=(]*(?:(?:of|at|with|is|was|ratio|rate|flow|water|the|` +
		`von|mit|bei|wasser|de|du|da|do|del|di|van|al|a|à|des|d|x|each|as|set to|anteil|anteilig) ?)*[ :=(.]*$`)
	ratioBehind   = words.NewPattern(`^ ?(?:ratio|rate|of|at|is|was|[:=])* ?(\d+(?:[.,]\d+)?)(?: ?[:/] ?(\d{1,3}))?(?:[ .)]|$)`)
	shareByVolume = words.NewPattern(`(?:vol\.?[ -]?)% ?|% ?\(?(?:by vol(?:ume)?|v/v|vol)\b\)?`)
	rangeBefore   = words.Jointed(`\d ?(?:[-–+±]|/|{to}|{or}|{and}|{and of numbers}) ?$`)
)

// maybeWhite asks about the white water that a line tells not plainly, where no other line and no column tells it.
func (m *maker) maybeWhite() {
	own := func(j jartest.Jar) bool {
		r, own := j.Readings.Get(jartest.RecycleKey)
		return own && r.State == jartest.Number
	}
	if m.s.Recycle > 0 || slices.ContainsFunc(m.s.Jars, own) {
		return
	}
	for _, x := range m.b.near(m.t, factMaybeRecycle) {
		m.b.took(m.t, x)
		if !slices.ContainsFunc(m.b.notes, func(n note.Note) bool { return n.Place == x.at && n.Level == note.Caution }) {
			m.b.say(note.Caution, "recycle-unclear", x.at, "%q does not say plainly how much white water every jar got, "+
				"and the readings were not corrected for it", clip(x.text)).
				do(m.b, `write it in a line of its own, in percent of the raw water in a jar, such as "Recycle | 10 %%"`)
		}
	}
}
