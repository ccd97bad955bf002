package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// remark is a text about one jar: in a column of remarks, in one that is not known,
// beside the table, or a comment on one of its cells.
type remark struct {
	text string
	at   note.Place
	c    int  // its column; -1 for a comment
	told bool // its column has a heading
}

// remarks reports a column whose texts are remarks about the jars.
func (f *field) remarks() bool {
	switch h := f.Head; {
	case h.Date || h.Clock || h.Operator || h.Replicate || h.UnitColumn:
		return false
	case f.role == asNote, f.role == asIgnored:
		return true
	default:
		return f.role == asReading && !f.key.Known()
	}
}

// rowRemarks gives the remarks on a row.
func (b *bench) rowRemarks(t *layout.Table, fs []field, r int) []remark {
	var out []remark
	for i := range fs {
		f := &fs[i]
		x := t.View.At(r, f.C)
		if f.remarks() && !b.spans(t, f) && !b.columnOfBases(t, *f) && x.Kind == grid.Textual && (f.role == asNote || f.Head.Note || layout.ParseValue(x, b.dec(t)).State == layout.Unclear) {
			out = append(out, remark{x.Text, t.View.PlaceAt(r, f.C), f.C, f.Head.Text != ""})
		}
		if c := t.View.MarkAt(r, f.C).Comment; c != "" && !x.Blank() {
			out = append(out, remark{c, t.View.PlaceAt(r, f.C), -1, true})
		}
	}
	if t.View.Origin != nil {
		return out
	}
	for _, c := range [...]int{t.C0 - 1, t.C1 + 1} {
		x := t.View.At(r, c)
		if x.Kind != grid.Textual || layout.IsData(x.Text, b.dec(t)) {
			continue
		}
		if at := t.View.PlaceAt(r, c); !b.spokenFor(t, r, c, at) {
			out = append(out, remark{x.Text, at, c, false})
		}
	}
	return out
}

// spans reports a column that says of every jar how long it settled or was stirred, and nothing
// more: a condition of all jars, and no remark on one.
func (b *bench) spans(t *layout.Table, f *field) bool {
	c := alikeness{name: f.Head.Text}
	return f.role == asNote && c.lasts() && !slices.ContainsFunc(t.Rows, func(r int) bool {
		v := layout.ParseText(t.View.At(r, f.C).Text, b.dec(t))
		return !v.OK() || v.Unit.Kind != words.Minutes
	})
}

// spokenFor reports a cell beside a table that belongs to another, told a fact, or is
// the name or the value of one.
func (b *bench) spokenFor(t *layout.Table, r, c int, at note.Place) bool {
	row, col := r, c
	if t.View.Turned {
		row, col = c, r
	}
	return b.inTable(t.View.Area, row, col) || b.unitOfFact(t.View.Area, row, col) || !t.View.At(r, c+1).Blank() && c > t.C1 ||
		slices.ContainsFunc(b.facts, func(x fact) bool { return x.at == at }) ||
		slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Place == at && n.Level >= note.Caution })
}

// unitOfFact reports a unit right of the value of a fact, "Raw water | 81 | NTU".
func (b *bench) unitOfFact(g *layout.Area, r, c int) bool {
	v := layout.View{Area: g}
	_, unit := words.OnlyUnit(v.At(r, c).Text)
	return unit && c > 1 && layout.IsData(v.At(r, c-1).Text, b.decimals[g]) &&
		slices.ContainsFunc(b.facts, func(x fact) bool { return x.keyed && x.g == g && x.r == r && x.c < c })
}

// remarkKind is what a remark does to its jar.
type remarkKind uint8

const (
	remarkHarmless remarkKind = iota
	remarkUnknown             // it has words that are not known
	remarkDoubt
	remarkVoid
	remarkNoJar
)

// remarkEvidence is what is known of a remark when its kind is decided.
type remarkEvidence struct {
	*saying
	of   remark
	zero bool        // nothing was dosed into the jar
	mean func() bool // the numbers of the row are the means of those above
}

// remarkDoes decides what a remark does to the jar of its row.
func (b *bench) remarkDoes(t *layout.Table, fs []field, r int, x remark) remarkKind {
	mean := func() bool {
		above := t.Rows[:slices.Index(t.Rows, r)]
		return len(above) >= 2 && b.means(t, r, above)
	}
	kind, _ := remarkRuled.Decide(&remarkEvidence{say(x.text), x, b.zeroDose(t, fs, r), mean})
	return kind
}

// telling are the amounts that a remark on a jar cannot hold without meaning a dose, a
// stock, another jar or another reading.
var telling = map[words.Kind]bool{words.Conc: true, words.Mass: true, words.Molar: true, words.Drops: true, words.Volume: true,
	words.Turbidity: true, words.FNU: true, words.FAU: true}

var (
	otherJar = words.NewPattern(`(?:#|№|\b(?:with|to|from|and)) ?\d+\b`)
	// onNumber is an operation on the number of the row: x2, +5, /2, 2倍.
	onNumber  = words.NewPattern(`^(?:[x×*/÷+]|times) ?\d|^-\d|^\d+(?:[.,]\d+)? ?(?:[x×*]|倍|배|times|mal|veces|vezes|fois|volte|раза?|kali|lan|kat)$`)
	timeAlone = words.NewPattern(`^(?:(?:at|after|nach|apres|despues de|apos|dopo) )?\d+ ?(?:min\.?|mins|minutes?|minuten?|minutos?|h|hours?|hrs?|s|sec|мин|分|분钟|분|นาที|phut|menit|dk)$`)
	onlySigns = words.NewPattern(`^[!*#&^\s]+$`)
)

var remarkTests = map[string]func(*remarkEvidence) bool{
	"void":        func(e *remarkEvidence) bool { return e.means("void") && !strings.Contains(e.of.text, "://") },
	"unmeant":     func(e *remarkEvidence) bool { return !e.meansVoid() },
	"uncertain":   func(e *remarkEvidence) bool { return hitOf(e.hits, "uncertain") },
	"statistic":   func(e *remarkEvidence) bool { return e.statistic() },
	"chosen":      func(e *remarkEvidence) bool { return e.head.Chosen },
	"undosed":     func(e *remarkEvidence) bool { return e.zero },
	"control":     func(e *remarkEvidence) bool { return e.head.Control && lengthOf(e.text) < 3 },
	"other-water": func(e *remarkEvidence) bool { return e.has("water") },
	"plant":       func(e *remarkEvidence) bool { return e.head.Next || e.head.Old },
	"telling":     func(e *remarkEvidence) bool { return e.has("telling") },
	"question": func(e *remarkEvidence) bool {
		return strings.ContainsAny(e.text, "?¿؟？") || onlySigns.MatchString(e.text)
	},
	"dose-word": func(e *remarkEvidence) bool {
		return (e.head.Dose || e.head.Stock || e.head.Chem != "" || e.head.Volume || e.head.Strength) && len(e.left(places.remark)) > 0
	},
	"other-jar": func(e *remarkEvidence) bool {
		return e.means("role:jar") && strings.ContainsAny(e.text, "0123456789") || otherJar.MatchString(e.text)
	},
	"amount": func(e *remarkEvidence) bool {
		return slices.ContainsFunc(words.Amounts(e.of.text), func(a words.Amount) bool { return telling[a.Kind] })
	},
	"operation":  func(e *remarkEvidence) bool { return onNumber.MatchString(e.text) },
	"time-alone": func(e *remarkEvidence) bool { return e.of.told && timeAlone.MatchString(e.text) },
	"looks": func(e *remarkEvidence) bool {
		return looking.Of(e.of.text, func(string) bool { return e.looks() })
	},
	"unknown-words": func(e *remarkEvidence) bool {
		return slices.ContainsFunc(e.left(places.remark), func(w string) bool { return !labelCode.MatchString(w) })
	},
}

// remarkRules say what a remark does.
var remarkRules = []layout.Rule[remarkKind, *remarkEvidence]{
	{remarkNoJar, 95, "statistic", "chosen", "it names a statistic", nil},
	{remarkVoid, 90, "void", "unmeant", "it takes the jar out", nil},
	{remarkDoubt, 88, "void unmeant", "", "it denies that the jar is out, or asks", nil},
	{remarkNoJar, 85, "other-water undosed", "", "it names another water", nil},
	{remarkDoubt, 70, "uncertain", "", "it says that something went wrong", nil},
	{remarkDoubt, 70, "telling", "", "it says that something went wrong", nil},
	{remarkDoubt, 65, "other-water", "", "it names another water", nil},
	{remarkDoubt, 60, "amount", "", "it holds an amount", nil},
	{remarkDoubt, 60, "operation", "", "it changes the number", nil},
	{remarkDoubt, 60, "time-alone", "", "it gives the jar a time of its own", nil},
	{remarkDoubt, 60, "other-jar", "", "it names another jar", nil},
	{remarkDoubt, 60, "question", "", "it asks", nil},
	{remarkDoubt, 56, "control", "undosed", "it calls a dosed jar the control", nil},
	{remarkDoubt, 55, "plant", "", "it names something else than this test", nil},
	{remarkDoubt, 50, "dose-word", "undosed", "it speaks of the dose", nil},
	{remarkHarmless, 45, "looks", "", "it says how the floc looked", nil},
	{remarkUnknown, 40, "unknown-words", "", "its words are not known", nil},
	{remarkHarmless, 10, "", "", "all of its words are harmless", nil},
}

var remarkRuled = layout.NewRules(remarkTests, remarkRules)

// fillers is how many words beside one of looks need not be known: "like wet snow".
const fillers = 2

// looking remembers which remarks say how a jar looked: that hangs on their words alone.
var looking words.Memory[string, bool]

// looks reports what was seen in a jar, or heard of the stirrer: in each clause few words that
// are not known, beside one for that, and no number, chemical or word for something that was
// done, went wrong or is denied.
func (e *remarkEvidence) looks() bool {
	if strings.ContainsAny(e.text, "0123456789") || e.head.Chem != "" || instead.MatchString(e.text) ||
		altersJar(e.text) {
		return false
	}
	for _, clause := range remarkClause.Split(e.text, -1) {
		if n := len(say(clause).left(places.remark)); n > 0 && !pictures(clause) {
			return false
		}
	}
	return true
}

// remarkClause parts a remark into what can be said of different things.
var remarkClause = words.Jointed(`[,;:.()/+،、，。；–—]| - | (?:{and}|{but}) `)

// pictures reports a clause with a word of looks and few that are not known.
func pictures(clause string) bool {
	lists, n, seen := spoken(), 0, false
	for _, w := range lists["sight"].of(clause).inside {
		if unspaced(w) && strings.Contains(clause, w) {
			clause, seen = strings.ReplaceAll(clause, w, " "), true
		}
	}
	seen = seen || lists["sight"].in(clause) || lists["equipment"].in(clause) && lists["sounds"].in(clause)
	for _, w := range say(clause).left(places.remark) {
		if !lists["sight"].has(w) && !lists["equipment"].has(w) && !lists["sounds"].has(w) {
			n += lengthOf(w)
		}
	}
	return seen && n <= fillers
}

// beforeRemark gives the number of a cell with the unit of its column, where nothing but a harmless remark
// on how the jar looked stands behind: "6.5 NTU nice floc".
func beforeRemark(text string, unit words.Unit) (number string, ok bool) {
	all := words.Amounts(text)
	if len(all) != 1 || all[0].Start != 0 || all[0].Left != "" || all[0].Kind != unit.Kind || all[0].Factor != unit.Factor {
		return "", false
	}
	rest := strings.Trim(text[all[0].To:], " ,;:-–().")
	s := say(rest)
	kind, _ := remarkRuled.Decide(&remarkEvidence{s, remark{text: rest}, false, func() bool { return false }})
	known := s.has("look") || spoken()["sight"].in(s.text)
	return text[:all[0].To], known && kind == remarkHarmless && !strings.ContainsAny(rest, "0123456789")
}

// altersJar reports a word by which a jar is not as the others, or its numbers are not; what
// equipment is called by is none.
func altersJar(text string) bool {
	rest := []byte(text)
	for _, t := range words.Tokens(text) {
		if spoken()["equipment"].has(t.Text) {
			copy(rest[t.From:t.To], strings.Repeat(" ", t.To-t.From))
		}
	}
	return slices.ContainsFunc(alteringKinds, func(kind string) bool { return spoken()[kind].in(string(rest)) })
}

// alteringKinds are the lists of words by which a jar is not as the others, or its numbers are.
var alteringKinds = []string{"mishap", "alter", "upset", "reckon", "former", "copied", "backward", "household", "filter", "handled", "reagent"}

// hitOf reports a concept that is written as the vocabulary has it.
func hitOf(hits []words.Hit, concept string) bool {
	return slices.ContainsFunc(hits, func(x words.Hit) bool { return x.Concept == concept && x.Near == "" })
}

// statistic reports a text that is the name of a statistic and nothing else. Under a
// heading, "average" can be the floc's as well.
func (e *remarkEvidence) statistic() bool {
	h, summary := e.head, words.Means(e.of.text, "label:summary")
	switch {
	case h.Stat == "" && !summary:
		return false
	case e.of.told && e.is("look"):
		return h.Stat == "mean" && e.mean()
	}
	return summary || h.Rest == "" && !h.Jar && len(e.tokens) <= 3 && h.Reading == ""
}

// voids reports a text that takes a jar out of the test.
func voids(text string) bool { return say(text).meansVoid() }

// meansVoid reports a word that takes a jar out where it is meant so: nothing denies it in its clause,
// the text does not ask, and the word is no part of another, "void space".
func (s *saying) meansVoid() bool {
	lists := spoken()
	if strings.ContainsAny(s.text, "?¿؟？") || lists["asks whether"].begins(s.text) {
		return false
	}
	for _, span := range clausesOf(s.text, remarkClause) {
		clause := s.text[span[0]:span[1]]
		for _, x := range words.Find(clause) {
			if x.Concept != "void" || lists["void otherwise"].in(clause) {
				continue
			}
			if !deniesSoon(clause[:x.From]) && !lists["denied after"].begins(clause[x.To:]) {
				return true
			}
		}
	}
	return false
}

// deniedWithin is how many words may stand between a denial and what it denies: "nothing that I would discard".
const deniedWithin = 4

// deniesSoon reports a denial among the last words of a folded text.
func deniesSoon(before string) bool {
	ts := words.Tokens(before)
	if n := len(ts) - deniedWithin; n > 0 {
		before = before[ts[n].From:]
	}
	return spoken()["denies"].in(before)
}

// clausesOf gives where the clauses of a text stand.
func clausesOf(text string, end interface{ FindAllStringIndex(string, int) [][]int }) [][2]int {
	var out [][2]int
	last := 0
	for _, m := range end.FindAllStringIndex(text, -1) {
		out = append(out, [2]int{last, m[0]})
		last = m[1]
	}
	return append(out, [2]int{last, len(text)})
}

// puzzling is a remark with words that are not known.
type puzzling struct {
	remark
	jar string
}

// remarked speaks of the remarks on a jar, and reports one by which it does not count.
func (m *maker) remarked(d dataRow, j *jartest.Jar) bool {
	b := m.b
	for _, x := range b.rowRemarks(m.t, m.fs, d.r) {
		jar := orWord(j.Label, d.labelAt.Cell)
		switch b.remarkDoes(m.t, m.fs, d.r, x) {
		case remarkVoid, remarkNoJar:
			b.say(note.Caution, "jar-voided", x.at, "jar %q was left out because of its remark %q", jar, clip(x.text)).
				do(b, "take the remark away if the jar counts")
			return true
		case remarkDoubt:
			b.say(note.Caution, "remark", x.at, "the remark %q puts jar %q in doubt; it was kept", clip(x.text), jar).
				do(b, `write "discard" if it does not count`)
		case remarkUnknown:
			if x.c < 0 || !idleHeading(m.t.View.At(m.t.Head, x.c).Text) {
				m.puzzling = append(m.puzzling, puzzling{x, jar})
			}
		}
	}
	return false
}

// mostRemarks is how many remarks with unknown words are spoken of one by one. A column
// with more is written in words that the table of them lacks.
const mostRemarks = 3

// puzzle speaks of the remarks whose words are not known, and that few jars have.
func (m *maker) puzzle() {
	often := map[string]int{}
	for _, x := range m.puzzling {
		often[words.Fold(x.text)]++
	}
	all := len(m.rows)
	m.puzzling = slices.DeleteFunc(m.puzzling, func(x puzzling) bool { return x.c >= 0 && all > 1 && often[words.Fold(x.text)]*2 > all })
	if n := len(m.puzzling); n > mostRemarks {
		x := m.puzzling[0]
		const says = "%d remarks are not understood, the first of them %q on jar %q; the jars were kept"
		m.b.say(note.Caution, "remark", x.at, says, n, clip(x.text), x.jar).
			do(m.b, `write "discard" beside a jar that does not count`)
		return
	}
	for _, x := range m.puzzling {
		m.b.say(note.Caution, "remark", x.at, "the remark %q on jar %q is not understood; the jar was kept", clip(x.text), x.jar).
			do(m.b, `write "discard" if it does not count`)
	}
}

// otherComments speaks of the comments on cells that are in no row of a jar.
func (b *bench) otherComments() {
	if !slices.ContainsFunc(b.grids, func(g *layout.Area) bool { return len(g.Marks) > 0 }) {
		return
	}
	jars := map[note.Place]bool{}
	for _, t := range b.tables {
		for _, r := range t.Rows {
			for _, f := range b.byTable[t] {
				jars[t.View.PlaceAt(r, f.C)] = true
			}
		}
	}
	for _, g := range b.grids {
		if !slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.View.File == g.File && t.View.Name == g.Name }) {
			continue
		}
		for _, at := range sortedMarks(g.Marks) {
			x, place := g.Marks[at], g.Place(at[0], at[1])
			if x.Comment == "" || jars[place] || len(say(x.Comment).left(places.remark)) == 0 && len(words.Counted(x.Comment)) == 0 {
				continue
			}
			b.say(note.Caution, "comment", place, "the comment %q was not taken for anything", clip(x.Comment)).
				do(b, "write what it says into a cell beside the table")
		}
	}
}

func sortedMarks(m map[[2]int]grid.Mark) [][2]int {
	var out [][2]int
	for at := range m {
		out = append(out, at)
	}
	slices.SortFunc(out, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return out
}
