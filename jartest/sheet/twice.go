package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Two columns of doses of one chemical give one dose where they are equal once their
// units are the same, jar by jar, to the digits that are written. Columns that are only
// in a fixed ratio are two additions, a corrected dose or another pond's: no column of
// theirs is dropped unless its words say so.

// twins are two columns of doses: what the rules of doses stated twice look at.
type twins struct {
	b            *bench
	t            *layout.Table
	one, two     *field
	apart        bool    // each stands with readings of its own
	oneBy, twoBy float64 // mg/L in a unit of each, or what puts them on one scale
	scaled       bool
	oneIs, twoIs string    // what each counts
	nOne, nTwo   []written // of the jars that have both
	whole        bool      // two jars have both, and none has one of them alone
}

// twinUse is which of two dose columns is left out.
type twinUse uint8

const (
	twinsStay twinUse = iota // each is a dose of its own
	firstGoes
	secondGoes
)

var twinTests = map[string]func(*twins) bool{
	"other-chemical": func(w *twins) bool {
		one, two := qualified(*w.one), qualified(*w.two)
		return one != two && one != "" && two != ""
	},
	"planned-one":  func(w *twins) bool { return planned(w.one) },
	"planned-two":  func(w *twins) bool { return planned(w.two) },
	"apart":        func(w *twins) bool { return w.apart },
	"scaled":       func(w *twins) bool { return w.scaled },
	"equal":        func(w *twins) bool { return w.scaled && w.inRatio(w.oneBy/w.twoBy, equalShare) },
	"fixed-ratio":  func(w *twins) bool { return w.inRatio(w.ratio(), 0.03) },
	"other-unit":   func(w *twins) bool { return w.one.Head.Unit.Name != w.two.Head.Unit.Name },
	"other-basis":  func(w *twins) bool { return w.oneIs != w.twoIs },
	"can-be-share": (*twins).canBeShare,
	"told-apart":   func(w *twins) bool { return toldApart(*w.one, *w.two) },
}

// twinRules say which of two columns of doses is the other once more. Where none speaks,
// the columns stay, and two doses of one chemical are asked about.
var twinRules = layout.NewRules(twinTests, []layout.Rule[twinUse, *twins]{
	{Role: twinsStay, Weight: 95, Needs: "other-chemical", Why: "two chemicals"},
	{Role: firstGoes, Weight: 90, Needs: "planned-one", Against: "planned-two", Why: "the first was planned"},
	{Role: secondGoes, Weight: 90, Needs: "planned-two", Against: "planned-one", Why: "the second was planned"},
	{Role: twinsStay, Weight: 80, Needs: "apart", Why: "each has readings of its own"},
	{Role: secondGoes, Weight: 60, Needs: "equal", Against: "told-apart other-basis", Why: "equal doses"},
	{Role: secondGoes, Weight: 60, Needs: "equal other-unit", Against: "other-basis", Why: "equal doses in other units"},
	{Role: secondGoes, Weight: 60, Needs: "fixed-ratio other-basis can-be-share", Why: "a dose on another basis"},
	{Role: secondGoes, Weight: 50, Needs: "fixed-ratio other-unit", Against: "scaled other-basis", Why: "a dose in a unit that only the jar can turn"},
})

// equalShare is how far two equal doses in different units are apart by rounded factors.
const equalShare = 0.005

func planned(f *field) bool { return f.Head.Target || f.Head.Stage == "set" }

// toldApart reports headings that differ in a number, a time or a word that a dose has no
// use for: "Alum 1" and "Alum 2", "PAC booster", "PAC slow mix".
func toldApart(a, b field) bool {
	return a.Head.Index != b.Head.Index || a.Head.Rest != b.Head.Rest || oddWords(a) != oddWords(b)
}

// oddWords gives what a heading of doses says besides; a sum of one is no other dose.
func oddWords(f field) string {
	return textsOf(slices.DeleteFunc(spare(f), func(p layout.Piece) bool { return p.Concept == "stat:sum" }))
}

// sameDoseTwice leaves out a dose column that gives the doses of another once
// more: as planned, in another unit, or on another basis.
func (b *bench) sameDoseTwice(t *layout.Table, fs []field) {
	group := groupOf(fs)
	b.totals(t, fs, group)
	nameGroups(fs, group)
	for i := range fs {
		for j := i + 1; j < len(fs); j++ {
			if fs[i].role != asDose || fs[j].role != asDose {
				continue
			}
			var drop *field
			switch use, _ := twinRules.Decide(b.twinsOf(t, fs, i, j, group[i] != group[j])); use {
			case firstGoes:
				drop = &fs[i]
			case secondGoes:
				drop = &fs[j]
			default:
				continue
			}
			drop.role = asIgnored
			fs[i].chem, fs[j].chem = cmp.Or(fs[i].chem, fs[j].chem), cmp.Or(fs[j].chem, fs[i].chem)
			b.say(note.Info, "dose-twice", drop.Place, "column %q gives the same dose once more and was left out", drop.Head.Text)
		}
	}
}

// nameGroups takes the words that all columns of a group share, "Pond B alum" and "Pond B
// NTU", for the name of its water.
func nameGroups(fs []field, group []int) {
	if group[len(fs)-1] == 0 {
		return
	}
	shared := map[int][]string{}
	for i, f := range fs {
		if !f.dosed() && f.role != asReading {
			continue
		}
		own := strings.Fields(words.Fold(f.Head.Text))
		had, ok := shared[group[i]]
		if ok {
			own = slices.DeleteFunc(own, func(s string) bool { return !slices.Contains(had, s) })
		}
		shared[group[i]] = own
	}
	for i := range fs {
		fs[i].spent = append(fs[i].spent, shared[group[i]]...)
	}
}

// written is a number with its text.
type written struct {
	num  float64
	text string
}

// twinsOf puts two columns beside each other.
func (b *bench) twinsOf(t *layout.Table, fs []field, i, j int, apart bool) *twins {
	one, two := &fs[i], &fs[j]
	w := &twins{b: b, t: t, one: one, two: two, apart: apart, whole: true, oneIs: formOf(*one), twoIs: formOf(*two)}
	var okOne, okTwo bool
	w.oneBy, okOne = b.milligrams(t, fs, one.Head.Unit, two.Head.Unit)
	w.twoBy, okTwo = b.milligrams(t, fs, two.Head.Unit, one.Head.Unit)
	w.scaled = okOne && okTwo
	if one.Head.Unit.Kind == two.Head.Unit.Kind && one.Head.Unit.Known() {
		w.oneBy, w.twoBy, w.scaled = one.Head.Unit.Factor, two.Head.Unit.Factor, true
	}
	w.nOne, w.nTwo = make([]written, 0, len(t.Rows)), make([]written, 0, len(t.Rows))
	dosed := 0
	for _, r := range t.Rows {
		x, y := layout.ParseValue(t.View.At(r, one.C), b.dec(t)), layout.ParseValue(t.View.At(r, two.C), b.dec(t))
		switch {
		case x.OK() && y.OK():
			w.nOne, w.nTwo = append(w.nOne, written{x.Num, x.Text}), append(w.nTwo, written{y.Num, y.Text})
			if x.Num != 0 {
				dosed++
			}
		case x.OK() || y.OK():
			w.whole = false
		}
	}
	w.whole = w.whole && dosed > 1
	return w
}

// milligrams gives the mg/L in a unit of a dose beside one in another: without a unit it
// is in that of the other, by jar in the water of the jars.
func (b *bench) milligrams(t *layout.Table, fs []field, u, beside words.Unit) (float64, bool) {
	switch u.Kind {
	case words.Conc:
		return u.Factor, true
	case "", words.NoUnit:
		if beside.Kind == words.Conc {
			return beside.Factor, true
		}
		return 1, !beside.Known()
	case words.Mass:
		if litres, ok := b.statedJar(t, fs); ok {
			return u.Factor / litres, true
		}
	}
	return 0, false
}

// statedJar gives the water of the jars where the sheet or its user states one for all, L.
func (b *bench) statedJar(t *layout.Table, fs []field) (float64, bool) {
	if b.opt.JarVolume > 0 {
		return float64(b.opt.JarVolume), true
	}
	for _, f := range fs {
		if f.role == asVolume {
			v := layout.ParseValue(t.View.At(t.Rows[0], f.C), b.dec(t))
			return v.Num * f.Head.Unit.Factor, v.OK() && v.Num > 0 && b.constant(t, f.C)
		}
	}
	for _, x := range b.near(t, factVolume) {
		return x.value, x.value > 0
	}
	return 0, false
}

// ratio gives the second column for one of the first.
func (w *twins) ratio() float64 {
	one, two := 0.0, 0.0
	for i := range w.nOne {
		one, two = one+w.nOne[i].num, two+w.nTwo[i].num
	}
	return two / one
}

// inRatio reports that the second column is the first times a ratio, jar by jar, to a
// share and to the digits that are written.
func (w *twins) inRatio(ratio, share float64) bool {
	if !w.whole || math.IsNaN(ratio) || math.IsInf(ratio, 0) {
		return false
	}
	for i, x := range w.nOne {
		y := w.nTwo[i]
		want := x.num * ratio
		if (x.num == 0) != (y.num == 0) || math.Abs(y.num-want) > max(share*want, min(step(y.text)/2+step(x.text)/2*ratio, mostRounding*want)) {
			return false
		}
	}
	return true
}

// mostRounding is the share that a number can lie off by the digits that are written.
const mostRounding = 0.1

// step gives the last place that a number is written to.
func step(text string) float64 {
	_, frac, _ := strings.Cut(strings.ReplaceAll(text, ",", "."), ".")
	n := 0
	for n < len(frac) && frac[n] >= '0' && frac[n] <= '9' {
		n++
	}
	return math.Pow(10, -float64(n))
}

// metalIn is the metal in what doses are counted as, mass by mass, and mostMetal the share
// that what is sold has at most: that of the hydroxide, of the dry chloride.
var metalIn = map[string]struct{ share, mostMetal float64 }{
	"al": {1, massAl / (massAl + 3*(massO+massH))}, "al2o3": {2 * massAl / massAl2O3, massAl / (massAl + 3*(massO+massH))},
	"fe": {1, 0.45}, "fe2o3": {2 * massFe / massFe2O3, 0.45}, "fecl3": {massFe / massFeCl3, 0.45},
}

// canBeShare reports that a fixed ratio of two bases can be that of their metal.
func (w *twins) canBeShare() bool {
	one, two := metalIn[w.oneIs], metalIn[w.twoIs]
	r := w.ratio() * w.twoBy / w.oneBy // mass of the second for one of the first
	switch {
	case !w.scaled:
		return true
	case one.share > 0 && two.share > 0:
		return math.Abs(r*two.share/one.share-1) < 0.05
	case two.share > 0:
		return r*two.share <= two.mostMetal
	case one.share > 0:
		return one.share/r <= one.mostMetal
	}
	return true
}

// countsAs gives what the doses of a column count, as its heading says; "" where it does not.
func countsAs(f field) string {
	as := f.Head.Unit.As
	switch {
	case strengthSaid(f):
		return "product"
	case as == "":
		as = hydrateOf(f)
	}
	if as == "" {
		as = countedOnce(f.Head.Text)
	}
	if as == "" {
		if _, said, ok := strings.Cut(words.Fold(f.Head.Text), " as "); ok {
			as, _ = words.As(said)
		}
	}
	if as == "" && f.Head.Metal != "" && (f.Head.Chem == "" || f.Head.Unit.Kind == words.Molar) {
		as = strings.ToLower(f.Head.Metal)
	}
	return as
}

// countedOnce gives the one basis that a text says something counts, wherever it stands, "Alum (as Al)"; "" for none and for several.
func countedOnce(text string) (as string) {
	for _, at := range words.Counted(text) {
		if _, known := quantity.BasisOf(at.As); !known || as != "" && as != at.As {
			return ""
		}
		as = at.As
	}
	return as
}

// formOf gives what the doses of a column count, or in what form the product is counted.
func formOf(f field) string { return cmp.Or(countsAs(f), formWord.FindString(words.Fold(f.Head.Text))) }

var formWord = words.NewPattern(`\b(?:liquid|dry|solid|liquide|sec|liquido|seco|flussig|trocken)\b`)

// totals finds a column that its heading calls a sum, and that is the sum of the others:
// of one chemical it is the dose, of several it is left out.
func (b *bench) totals(t *layout.Table, fs []field, group []int) {
	for i := range fs {
		sum := &fs[i]
		if sum.role != asDose || sum.Head.Stat != "sum" {
			continue
		}
		parts, several := partsOf(fs, i, group)
		if len(parts) < 2 || !b.addUp(t, fs, sum, parts) {
			continue
		}
		if several {
			parts = []*field{sum}
		}
		for _, f := range parts {
			f.role = asIgnored
			b.say(note.Info, "dose-twice", f.Place, "column %q was left out: %q is the sum", f.Head.Text, sum.Head.Text)
		}
		sum.chem, sum.spent = cmp.Or(sum.chem, parts[0].chem), append(sum.spent, "stat:sum")
	}
}

// partsOf gives the doses that column i can be the sum of, and whether they are of several
// chemicals.
func partsOf(fs []field, i int, group []int) (parts []*field, several bool) {
	sum := fs[i]
	for j := range fs {
		f := &fs[j]
		fits := sum.chem == "" || f.chem == "" || f.chem == sum.chem
		if j == i || f.role != asDose || f.Head.Stat == "sum" || group[j] != group[i] || !fits {
			continue
		}
		parts = append(parts, f)
		several = several || qualified(*f) != qualified(*parts[0])
	}
	return parts, several
}

// addUp reports a column that is the sum of others in every jar, to the digits written.
func (b *bench) addUp(t *layout.Table, fs []field, sum *field, parts []*field) bool {
	n := 0
	for _, r := range t.Rows {
		v := layout.ParseValue(t.View.At(r, sum.C), b.dec(t))
		if !v.OK() {
			continue
		}
		got, off := 0.0, step(v.Text)/2
		for _, f := range parts {
			x := layout.ParseValue(t.View.At(r, f.C), b.dec(t))
			by, ok := b.milligrams(t, fs, f.Head.Unit, sum.Head.Unit)
			of, scaled := b.milligrams(t, fs, sum.Head.Unit, f.Head.Unit)
			if x.OK() && (!ok || !scaled) {
				return false
			}
			if x.OK() {
				got, off = got+x.Num*by/of, off+step(x.Text)/2*by/of
			}
		}
		if math.Abs(got-v.Num) > max(equalShare*v.Num, min(off, mostRounding*v.Num)) {
			return false
		}
		n++
	}
	return n >= 2
}

// unevenStock speaks of volumes of stock that are in no fixed ratio to the doses they lead
// to, where one stock went into jars of one size.
func (b *bench) unevenStock(t *layout.Table, fs []field) {
	if slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factStock || x.kind == factPerMl }) {
		return // each jar is held against it
	}
	perDose := map[int]int{}
	for _, f := range fs {
		switch {
		case f.role == asStock && f.of >= 0:
			perDose[f.of]++
		case f.role == asStrength || f.role == asVolume:
			return // each jar has its own
		}
	}
	for i := range fs {
		f := &fs[i]
		if f.role != asStock || f.of < 0 || perDose[f.of] > 1 {
			continue
		}
		if w := b.twinsOf(t, fs, f.of, i, false); w.whole && !w.inRatio(w.ratio(), unevenShare) {
			b.say(note.Caution, "stock-uneven", f.Place, "the volumes in column %q are in no fixed ratio to the doses in column %q; the doses are taken", f.Head.Text, fs[f.of].Head.Text).
				do(b, "check which jars got what")
		}
	}
}

// unevenShare is how far volumes that were measured out lie off those that were meant;
// common practice, no source.
const unevenShare = 0.1
