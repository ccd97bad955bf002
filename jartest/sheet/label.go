package sheet

import (
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// labelKind is what the label of a row is among the plain labels of a table's jars.
type labelKind uint8

const (
	labelPlain labelKind = iota
	labelDoubt           // of a jar, with something besides
	labelNoJar
)

// labelEvidence is what is known of a label when its kind is decided.
type labelEvidence struct {
	*saying
	d       dataRow
	zero    bool // nothing was dosed
	cloudy  bool // a dose of none is written, and it reads no less than most jars
	company bool // it goes on from a label near it
	odd     bool // the labels about it are of another shape
	refers  bool // it names the jar of another row
}

// labelSign is a sign that numbers no jar, a doubt or a mark.
var labelSign = words.NewPattern(`[?!*+=%<>~]|±`)

// labelFactor is the sign of a factor beside the number of a jar: "3 ×10", "5 /1000".
var labelFactor = words.NewPattern(`[×÷]|(?:^| )/\d`)

// measuredLabel reports a number with a unit of mass or volume, which numbers no jar.
func measuredLabel(label string) bool {
	f := strings.Fields(label)
	if len(f) != 2 {
		return false
	}
	for i, w := range f {
		u, unit := words.OnlyUnit(w)
		if unit && layout.IsFigure(f[1-i]) && (weighty[u.Kind] || u.Kind == words.Volume) {
			return true
		}
	}
	return false
}

// labelCode is a word that numbers a jar: 7, b, b2, 2b.
var labelCode = words.NewPattern(`^(?:\d{1,6}|\pL|\pL{1,4}\d{1,4}\pL?|\d{1,4}\pL)$`)

var jarLabelTests = map[string]func(*labelEvidence) bool{
	"plain":   func(e *labelEvidence) bool { return e.plain() },
	"company": func(e *labelEvidence) bool { return e.company },
	"odd":     func(e *labelEvidence) bool { return e.odd },
	"undosed": func(e *labelEvidence) bool { return e.zero },
	"cloudy":  func(e *labelEvidence) bool { return e.cloudy },
	"test-alone": func(e *labelEvidence) bool {
		h := e.head
		return h.Test && !(h.Next || h.Old || h.Target || h.Filtered || h.Stage != "" && h.Stage != "set")
	},
	"control":     func(e *labelEvidence) bool { return e.d.control || e.d.rawWater },
	"controlled":  func(e *labelEvidence) bool { return e.head.Control || e.head.Raw },
	"more-words":  func(e *labelEvidence) bool { return len(uncovered(e.text)) > 0 },
	"other-water": func(e *labelEvidence) bool { return e.has("water") },
	"jar":         func(e *labelEvidence) bool { return e.head.Jar },
	"replicate":   func(e *labelEvidence) bool { return e.head.Replicate },
	"statistic":   func(e *labelEvidence) bool { return e.head.Stat != "" || e.head.Summary && !e.head.Chosen },
	"chosen":      func(e *labelEvidence) bool { return e.head.Chosen },
	"other": func(e *labelEvidence) bool {
		h := e.head
		return h.Next || h.Old || h.Target || h.Filtered || h.Test || h.Stage != "" && h.Stage != "set"
	},
	"numbered": func(e *labelEvidence) bool { return e.numbered() },
	"refers":   func(e *labelEvidence) bool { return e.refers },
	"dosed":    func(e *labelEvidence) bool { return e.head.Chem != "" || e.head.Amount },
	"letters":  func(e *labelEvidence) bool { return strings.IndexFunc(e.text, unicode.IsLetter) >= 0 },
}

// jarLabelRules say what a label is.
var jarLabelRules = []layout.Rule[labelKind, *labelEvidence]{
	{labelNoJar, 90, "other-water undosed", "", "it names another water", nil},
	{labelPlain, 85, "company", "", "it goes on from its neighbours", nil},
	{labelDoubt, 80, "plain odd", "undosed", "its neighbours are of another shape", nil},
	{labelPlain, 75, "plain", "", "it numbers the jar", nil},
	{labelPlain, 70, "control", "", "it names a control", nil},
	{labelNoJar, 65, "controlled more-words", "", "it names a control of something else", nil},
	{labelPlain, 60, "controlled", "", "it names a control", nil},
	{labelNoJar, 55, "statistic", "jar replicate", "it names a statistic", nil},
	{labelNoJar, 53, "chosen refers", "", "it says which of the other jars is the best", nil},
	{labelPlain, 52, "chosen jar numbered", "statistic more-words", "it says that the jar is the best", nil},
	{labelDoubt, 51, "test-alone cloudy", "chosen", "it got no chemical, like a control", nil},
	{labelNoJar, 50, "other", "dosed", "it speaks of something else than a jar", nil},
	{labelNoJar, 50, "chosen", "dosed", "it gives the outcome of a test", nil},
	{labelDoubt, 40, "numbered", "", "it numbers the jar and says more", nil},
	{labelDoubt, 40, "replicate", "", "it repeats a jar", nil},
	{labelPlain, 30, "dosed", "", "it names what the jar got", nil},
	{labelDoubt, 25, "letters cloudy", "", "it got no chemical, like a control", nil},
	{labelNoJar, 20, "letters", "", "its words do not name a jar", nil},
	{labelPlain, 10, "", "", "nothing says otherwise", nil},
}

var jarLabelRuled = layout.NewRules(jarLabelTests, jarLabelRules)

// plain reports a number, a letter or a short code, with or without a word for jar, and
// nothing else.
func (e *labelEvidence) plain() bool { return plainLabel(e.d.label) }

func plainLabel(label string) bool {
	s := say(label)
	switch strings.Trim(s.text, " .:#()-") {
	case "", "s", "n", "σ", "x", "x̄": // signs of statistics; S and N do not number jars
		return false
	}
	if labelSign.MatchString(s.text) || labelFactor.MatchString(label) || measuredLabel(label) || len(s.tokens) > 4 {
		return false
	}
	left, figures := s.left(places.label), 0
	for _, w := range left {
		if !labelCode.MatchString(w) {
			return false
		}
	}
	for _, k := range s.tokens {
		if layout.IsFigure(k.Text) {
			figures++
		}
	}
	if len(left) > 1 { // "T1-J2", not "e.g."
		return figures == 0 && strings.ContainsAny(s.text, "0123456789")
	}
	return len(left) == 0 || figures == 0 || len(left[0]) == 1 // "A 1", not "3 x2"
}

// numbered reports a code with digits that numbers a jar among other words, or a letter
// that stands before them.
func (e *labelEvidence) numbered() bool {
	for i, k := range e.tokens {
		leads := i == 0 && len(e.tokens) > 1 && len(e.tokens[1].Text) > 1
		if labelCode.MatchString(k.Text) && (leads || strings.ContainsAny(k.Text, "0123456789")) {
			return true
		}
	}
	return false
}

// refersTo reports a label of several words, one of them the number that labels another row.
func refersTo(d dataRow, rows []dataRow) bool {
	ts := say(d.label).tokens
	if len(ts) < 2 || plainLabel(d.label) {
		return false
	}
	for _, o := range rows {
		own := say(o.label).tokens
		if o.r != d.r && o.hasLabel && plainLabel(o.label) && len(own) > 0 && slices.ContainsFunc(ts, func(t words.Token) bool { return t.Text == own[len(own)-1].Text }) {
			return true
		}
	}
	return false
}

// shape is a label with every letter and every number made alike.
func shape(label string) string {
	var b strings.Builder
	for _, k := range say(label).tokens {
		for _, r := range k.Text {
			switch n := b.Len(); {
			case !unicode.IsDigit(r):
				b.WriteByte('a')
			case n == 0 || b.String()[n-1] != '0':
				b.WriteByte('0')
			}
		}
	}
	return b.String()
}

// follows reports two labels that differ by one at their end: R1 and R2, SA and SB.
func follows(a, b string) bool {
	stemA, lastA := cutLast(a)
	stemB, lastB := cutLast(b)
	return stemA == stemB && (lastA-lastB == 1 || lastB-lastA == 1)
}

// cutLast parts a label before its last number or letter.
func cutLast(label string) (stem string, last int) {
	f := say(label).text
	i := len(strings.TrimRight(f, "0123456789"))
	for _, d := range f[i:] {
		last = last*10 + int(d-'0')
	}
	if i < len(f) && len(f)-i < 7 {
		return f[:i] + "0", last
	}
	if f == "" {
		return "", 0
	}
	r := []rune(f)
	return string(r[:len(r)-1]) + "a", int(r[len(r)-1])
}

// inCompany reports that a label goes on from one of those near it.
func (b *bench) inCompany(t *layout.Table, jar, r int) bool {
	own := b.label(t, r, jar)
	if own == "" {
		return false
	}
	for _, step := range [...]int{-2, -1, 1, 2} {
		if k := r + step; k >= t.First && k <= t.Last && follows(b.label(t, k, jar), own) {
			return true
		}
	}
	return false
}

// otherRows finds the rows that are labelled otherwise than the jars of a table whose
// labels are numbers or letters: each is no jar until somebody says so, or is doubted.
func (b *bench) otherRows(t *layout.Table, fs []field, jar int, rows []dataRow) []dataRow {
	plain, shapes := 0, map[string]int{}
	for _, d := range rows {
		if d.hasLabel && plainLabel(d.label) {
			plain++
			shapes[shape(d.label)]++
		}
	}
	if plain < 3 || plain*2 < len(rows) {
		return rows
	}
	out := make([]dataRow, 0, len(rows))
	clear := b.clarityOf(t, fs, rows)
	for _, d := range rows {
		if b.meanOf(t, d, out) {
			b.say(note.Caution, "row-not-a-jar", d.labelAt, "row %q gives the means of the jars above it and was left out", clip(d.label)).
				do(b, "if it is a jar, give it a number like the others")
			continue
		}
		if !d.hasLabel {
			out = append(out, d)
			continue
		}
		e := &labelEvidence{saying: say(d.label), d: d, zero: b.zeroDose(t, fs, d.r), cloudy: b.cloudyControl(t, fs, clear, d.r), company: b.inCompany(t, fs[jar].C, d.r)}
		e.refers = refersTo(d, rows)
		e.odd = shapes[shape(d.label)] == 1 && plain > 3 && len(shapes) == 2
		switch kind, _ := jarLabelRuled.Decide(e); kind {
		case labelNoJar:
			if e.head.Chosen && len(strangers(words.Fold(d.label))) == 0 && !b.readsIn(t, fs, d.r) {
				b.say(note.Info, "summary-row", d.labelAt, "row %q is a summary, not a jar, and was left out", clip(d.label))
				continue
			}
			why := jarLabelRuled.Votes(e)[0].Why
			b.say(note.Caution, "row-not-a-jar", d.labelAt, "row %q is labelled otherwise than the jars (%s) and was left out", clip(d.label), why).
				do(b, "if it is a jar, give it a number like the others")
			continue
		case labelDoubt:
			b.say(note.Caution, "label-doubt", d.labelAt, "the label %q says more than the number of a jar; the jar was kept", clip(d.label)).
				do(b, "give it a plain label if it counts, or write \"discard\" if it does not")
		}
		out = append(out, d)
	}
	return out
}

// goesOn reports a plain label that goes on from one near it, or a number among others.
func (b *bench) goesOn(t *layout.Table, d dataRow, above []dataRow) bool {
	k := slices.IndexFunc(b.byTable[t], func(f field) bool { return f.role == asJar })
	same := func(o dataRow) bool { return shape(o.label) == shape(d.label) }
	return k >= 0 && b.inCompany(t, b.byTable[t][k].C, d.r) || slices.ContainsFunc(above, same)
}

// clarity is what the jars of a table show in the column of how clear they are: the values, rising, put in
// order once for all rows that are held against them.
type clarity struct {
	column int // -1 where no column tells it
	values []float64
}

func (b *bench) clarityOf(t *layout.Table, fs []field, rows []dataRow) clarity {
	k := slices.IndexFunc(fs, func(f field) bool { return f.role == asReading && slices.Contains(clearing, f.key) })
	if k < 0 {
		return clarity{column: -1}
	}
	c := clarity{column: fs[k].C}
	for _, d := range rows {
		if v := layout.ParseValue(t.View.At(d.r, c.column), b.dec(t)); v.OK() {
			c.values = append(c.values, v.Num)
		}
	}
	slices.Sort(c.values)
	return c
}

// cloudyControl reports a row with a written dose of none whose reading is no less than those of most
// jars: water that nothing was added to.
func (b *bench) cloudyControl(t *layout.Table, fs []field, c clarity, r int) bool {
	written := false
	for _, f := range fs {
		if v := layout.ParseValue(t.View.At(r, f.C), b.dec(t)); f.dosed() && v.OK() {
			if written = true; v.Num != 0 {
				return false
			}
		}
	}
	if !written || c.column < 0 {
		return false
	}
	own := layout.ParseValue(t.View.At(r, c.column), b.dec(t))
	upTo := sort.Search(len(c.values), func(i int) bool { return c.values[i] > own.Num })
	others := len(c.values) - 1 // its own value is among them
	return own.OK() && others > 1 && 2*(upTo-1) > others
}

// meanOf reports a row whose every number is the mean of the rows above it, and whose
// label does not number a jar like theirs.
func (b *bench) meanOf(t *layout.Table, d dataRow, above []dataRow) bool {
	if len(above) < 3 || plainLabel(d.label) && b.goesOn(t, d, above) {
		return false
	}
	var rows []int
	for _, o := range above {
		rows = append(rows, o.r)
	}
	return b.means(t, d.r, rows)
}

// means reports a row whose every number is the mean of those of other rows.
func (b *bench) means(t *layout.Table, r int, above []int) bool {
	n := 0
	for _, f := range b.byTable[t] {
		if f.role != asDose && f.role != asStock && f.role != asReading {
			continue
		}
		v := layout.ParseValue(t.View.At(r, f.C), b.dec(t))
		if !v.OK() {
			continue
		}
		var all []float64
		for _, o := range above {
			if x := layout.ParseValue(t.View.At(o, f.C), b.dec(t)); x.OK() {
				all = append(all, x.Num)
			}
		}
		if len(all) != len(above) || math.Abs(layout.Mean(all)-v.Num) > 0.006*math.Abs(v.Num)+1e-9 {
			return false
		}
		n++
	}
	return n >= 2
}
