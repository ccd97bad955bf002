package sheet

import (
	"maps"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// look finds the fact of a kind that holds for a table: the nearest scope that has
// one wins. Facts of one scope that disagree are a caution, and none is taken
// unless they name different chemicals.
func (b *bench) look(t *layout.Table, kind factKind, chem string) (fact, bool) {
	byRank := map[int][]fact{}
	for _, x := range b.facts {
		if x.kind != kind || kind == factChemical && b.onlyCodosed(x) {
			continue
		}
		if chem != "" && x.chem != "" && x.chem != chem && !strings.HasSuffix(chem, x.chem) && !strings.HasSuffix(x.chem, chem) {
			continue
		}
		if rank, ok := b.rank(t, x); ok {
			byRank[rank] = append(byRank[rank], x)
		}
	}
	var ranks []int
	for r := range byRank {
		ranks = append(ranks, r)
	}
	sort.Ints(ranks)
	for _, r := range ranks {
		if x, ok := b.agree(kind, byRank[r], chem); ok {
			b.took(t, x)
			return x, true
		}
		if len(byRank[r]) > 0 && kind != factChemical {
			return fact{}, false
		}
	}
	return fact{}, false
}

// onlyCodosed reports a chemical that a line names for the dose of it that every jar got: it is
// not the one whose dose was varied.
func (b *bench) onlyCodosed(x fact) bool {
	return !x.keyed && slices.ContainsFunc(b.facts, func(o fact) bool { return o.kind == factFixed && o.at == x.at && o.chem == x.chem })
}

// agree gives the one thing that several facts say. Facts that name the chemical
// asked for stand above those that name none, those under a name above others.
func (b *bench) agree(kind factKind, xs []fact, chem string) (fact, bool) {
	if chem != "" {
		xs = preferred(xs, func(x fact) bool { return x.chem == chem })
	}
	if kind == factChemical {
		xs = preferred(xs, func(x fact) bool { return x.keyed })
	}
	first := xs[0]
	i := slices.IndexFunc(xs, func(x fact) bool { return !saysSame(kind, first, x) })
	switch {
	case i < 0 && kind != factFixed && !slices.ContainsFunc(xs, func(x fact) bool { return x.jars == nil }):
		b.say(note.Caution, "some-jars", first.at, "%q is of some jars only (%s); it was not taken", clip(b.lineAt(first)), factUse[kind]).
			do(b, "give it a column of its own, with the value of each jar")
		b.disagree[first.at] = true
		return fact{}, false
	case i < 0, kind == factName: // the first line names the test, others the place
		return first, true
	case kind == factDate && b.nameOf(first) != b.nameOf(xs[i]): // sampled on one day, tested on another
	case kind != factChemical && first.at == xs[i].at:
		b.say(note.Caution, "facts-disagree", first.at, "%q gives two values of one thing (%s); neither was taken",
			clip(b.lineAt(first)), factUse[kind]).
			do(b, "keep the right one; where jars differ, give it a column of its own")
		b.disagree[first.at] = true
	case kind != factChemical, first.keyed && xs[i].keyed && first.chem != "" && xs[i].chem != "":
		b.say(note.Caution, "facts-disagree", xs[i].at, "%q and %q (%s) disagree; neither was taken", clip(first.text), clip(xs[i].text), first.at.Cell).
			do(b, "state the right one on the command line")
		for _, x := range xs {
			b.disagree[x.at] = true
		}
	}
	return fact{}, false
}

// nameOf gives the folded name that a fact stands beside.
func (b *bench) nameOf(x fact) string {
	text := b.lineAt(x)
	if key, _, ok := layout.Keyed(text); ok {
		text = key
	}
	return strings.Trim(words.Fold(text), " :")
}

// preferred gives the facts of a kind, or all where there are none.
func preferred(xs []fact, is func(fact) bool) []fact {
	var out []fact
	for _, x := range xs {
		if is(x) {
			out = append(out, x)
		}
	}
	if len(out) == 0 {
		return xs
	}
	return out
}

// saysSame reports that two facts of a kind say the same.
func saysSame(kind factKind, a, b fact) bool {
	switch kind {
	case factNeat:
		return true
	case factChemical:
		return a.chem == b.chem
	case factDoseUnit:
		return a.unit.Kind == b.unit.Kind && same(b.unit.Factor, a.unit.Factor)
	case factBasis:
		as, known := quantity.BasisOf(a.text)
		other, _ := quantity.BasisOf(b.text)
		return a.text == b.text || known && as == other
	case factName, factDate:
		return a.text == b.text
	}
	return same(b.value, a.value)
}

// rank says how near a fact is to a table: 0 its own, 1 the same sheet, 2 a sheet
// that has no tables of its own.
func (b *bench) rank(t *layout.Table, x fact) (int, bool) {
	if x.g != t.Area() {
		for _, o := range b.tables {
			if o.Area() == x.g {
				return 0, false
			}
		}
		return 3, true
	}
	owner := b.owner(x)
	if b.rawTables[owner] {
		owner = nil // a table of nothing but the raw water has no jars of its own
	}
	switch {
	case owner == t:
		return 0, true
	case x.kind == factRaw && owner != t && b.overBoth(owner, t, x):
		return 1, true
	case x.kind == factRaw && b.overTests(owner, t, x):
		return 1, true
	case x.kind == factRaw && t.Under() && layout.ReadHeading(t.Title).Place != "": // jars of a place of their own
		return 0, false
	case owner == nil:
		return 1, true
	case owner.Titles(x.r) || owner.Under() && x.r < owner.First || t.Under() && x.at == owner.TitleAt && ofOneTest(owner.Title): // the line over the jars of one test
		return 0, false
	case x.kind == factName || x.kind == factDate || x.kind == factRaw || x.kind == factFixed || x.kind == factN || x.kind == factTarget:
		// what is said of one test does not hold for another, unless it heads the sheet
		if x.keyed && b.headsSheet(x, owner) {
			return 1, true
		}
		return 0, false
	case x.kind == factChemical && !(x.keyed && b.headsSheet(x, owner)):
		return 0, false
	}
	return 1, true
}

// ofOneTest reports a line that names a test, its place or its water.
func ofOneTest(line string) bool {
	h := layout.ReadHeading(line)
	return h.Test || h.Place != "" || h.Raw
}

// headsSheet reports a fact above all tables of its sheet, apart from the title
// line of the first.
func (b *bench) headsSheet(x fact, owner *layout.Table) bool {
	top := math.MaxInt
	for _, o := range b.tables {
		if o.Area() == x.g {
			top = min(top, o.Box().R0)
		}
	}
	return x.r < top && owner.TitleAt != x.at
}

// owner is the table that a fact belongs to: the one beside it, else the next one
// below it that shares its columns, else the last one above it.
func (b *bench) owner(x fact) *layout.Table {
	var beside, below, above *layout.Table
	for _, t := range b.tables {
		if t.Area() != x.g {
			continue
		}
		s := t.Box()
		lap := x.c >= s.C0-1 && x.c <= s.C1+1
		switch {
		case x.r >= s.R0 && x.r <= s.R1:
			nearer(&beside, t, func(o grid.Span) bool { return gap(x.c, s) < gap(x.c, o) })
		case s.R0 > x.r:
			nearer(&below, t, func(o grid.Span) bool { return s.R0 < o.R0 || s.R0 == o.R0 && lap })
		default:
			nearer(&above, t, func(o grid.Span) bool { return s.R1 > o.R1 || s.R1 == o.R1 && lap })
		}
	}
	switch {
	case beside != nil:
		return beside
	case below == nil || above != nil && b.tail(x, above, below):
		return above
	}
	return below
}

// nearer keeps the table that is nearer to a fact.
func nearer(had **layout.Table, t *layout.Table, than func(grid.Span) bool) {
	if *had == nil || than((*had).Box()) {
		*had = t
	}
}

// tail reports a remark that stands closer under one table than over the next.
func (b *bench) tail(x fact, above, below *layout.Table) bool {
	return x.r-above.Box().R1 <= 1 && below.HeadTop-x.r > 1 && !below.View.Turned
}

func gap(c int, s grid.Span) int {
	switch {
	case c < s.C0:
		return s.C0 - c
	case c > s.C1:
		return c - s.C1
	}
	return 0
}

// near gives the facts of a kind that hold for a table, its own before those of the sheet, and those of a
// sheet without tables where they can be of no other test.
func (b *bench) near(t *layout.Table, kind factKind) []fact {
	var own, sheet, book []fact
	for _, x := range b.facts {
		if x.kind != kind {
			continue
		}
		switch rank, ok := b.rank(t, x); {
		case ok && rank == 0:
			own = append(own, x)
		case ok && rank == 1:
			sheet = append(sheet, x)
		case ok && (x.keyed || kind == factFixed && layout.ReadHeading(b.lineAt(x)).All):
			book = append(book, x)
		}
	}
	return append(append(own, sheet...), b.ofTheBook(t, book)...)
}

// ofTheBook gives the facts of other sheets that hold for a table: a target for every test of the file,
// what is of a water or a jar where the file has one test. Where it has several they speak.
func (b *bench) ofTheBook(t *layout.Table, facts []fact) (hold []fact) {
	one := !slices.ContainsFunc(b.tables, func(o *layout.Table) bool { return o != t && b.isTest(o) })
	for _, x := range facts {
		if one || x.kind == factTarget {
			hold = append(hold, x)
			b.took(t, x)
			b.say(note.Info, "other-sheet", note.Place{File: x.at.File, Sheet: x.at.Sheet}, "what this sheet states of the water, the jars and the target is taken for the jars of %q", t.View.Name)
			continue
		}
		b.say(note.Caution, "other-sheet", x.at, "%q stands on a sheet of its own, and the file has several tests; it was taken for none", clip(b.lineAt(x))).
			do(b, "write it above the table that it is of")
	}
	return hold
}

// isTest reports a table of doses with readings.
func (b *bench) isTest(t *layout.Table) bool {
	fs := b.byTable[t]
	return slices.ContainsFunc(fs, field.dosed) && slices.ContainsFunc(fs, field.reads)
}

// rawWater books what the sheet says of the water before treatment.
func (m *maker) rawWater() {
	b := m.b
	facts := slices.DeleteFunc(b.near(m.t, factRaw), m.ofAnotherTest)
	apart := map[jartest.Key]bool{}
	inTable := maps.Clone(m.s.Raw) // from rows
	for _, x := range facts {
		if apart[x.key] || !x.key.Known() {
			continue
		}
		r, ok := b.rawReading(x)
		if !ok {
			continue
		}
		if _, had := m.s.Raw[x.key]; had {
			if row, ok := inTable[x.key]; ok && m.allOf(x) {
				m.rawDiffers(x.key, row, r)
			}
			continue
		}
		if o, differs := b.contradicted(m.t, x, facts); differs {
			apart[x.key] = true
			b.say(note.Caution, "facts-disagree", o.at, "%q and %q (%s) disagree on %s of the raw water; neither was taken", clip(x.text), clip(o.text), x.at.Cell, x.key.Info().Label).do(b, "keep the one of this test")
			continue
		}
		m.s.Raw[x.key] = r
		m.sharedRaw(x)
	}
	m.rawOfFirst()
	m.rawOfAnother()
	m.beforeColumns()
	m.rawAgainstJars()
}

// allOf reports a fact of this table alone, of which the series is the whole.
func (m *maker) allOf(x fact) bool {
	rank, ok := m.b.rank(m.t, x)
	return ok && rank == 0 && m.part.name == "" && m.rows[0].test == "" && m.rows[0].section == ""
}

// rawDiffers speaks of two readings of the raw water, from a row or column of the table and
// from beside it, that are not those of one water.
func (m *maker) rawDiffers(key jartest.Key, had, other jartest.Reading) {
	low, high := min(had.Value, other.Value), max(had.Value, other.Value)
	far := high > mostApart*low
	if key == jartest.PH || key == jartest.TemperatureKey {
		far = high-low > mostDrift
	}
	if had.State == jartest.Number && other.State == jartest.Number && far {
		m.b.say(note.Caution, "facts-disagree", other.At, "%s of the raw water is %s (%s) and %s; the first was taken", key.Info().Label, trimFloat(had.Value), had.At.Cell, trimFloat(other.Value)).
			do(m.b, "keep the one of this test")
	}
}

// mostDrift is how far the pH or the temperature (C) of one water drifts on a bench; common
// practice, no source.
const mostDrift = 0.5

// contradicted finds a reading of the same kind and scope that is another number.
func (b *bench) contradicted(t *layout.Table, x fact, facts []fact) (fact, bool) {
	rank, _ := b.rank(t, x)
	for _, o := range facts {
		if at, _ := b.rank(t, o); o.key != x.key || at != rank || o.at == x.at {
			continue
		}
		r, ok := b.rawReading(o)
		if own, _ := b.rawReading(x); ok && !same(r.Value, own.Value) {
			return o, true
		}
	}
	return fact{}, false
}

// rawReading turns a fact on the raw water into a reading; it speaks of what it cannot
// turn, and of what no water has.
func (b *bench) rawReading(x fact) (jartest.Reading, bool) {
	info := x.key.Info()
	f, ok := scaleOf(x.key, x.unit)
	switch {
	case !ok && x.unit.Known() && x.unit.Kind != words.NoUnit:
		b.say(note.Caution, "raw-unit", x.at, "%q gives %s of the raw water in %s, which is not turned into %s; it was not taken", clip(x.text), info.Label, x.unit.Name, orWord(info.Unit, "its unit")).do(b, "write it in %s", orWord(info.Unit, "its unit"))
		return jartest.Reading{}, false
	case !ok:
		f = 1
	}
	v := round12(convertValue(x.value, f, x.unit))
	switch {
	case v < info.Least || v > info.Most:
		b.say(note.Error, "impossible-value", x.at, "%s of %s %s cannot be", info.Label, trimFloat(v), info.Unit).do(b, "correct the cell")
		return jartest.Reading{}, false
	case x.key == jartest.UV254 && v > mostAbsorbance:
		b.say(note.Caution, "raw-unlikely", x.at, "%s of %s %s is beyond any meter; it was not taken", info.Label, trimFloat(v), info.Unit).do(b, "write it in 1/cm")
		return jartest.Reading{}, false
	case x.key == jartest.AlkalinityKey && !x.unit.Known() && v < leastPlainAlkalinity && !b.doubted(x.at):
		b.say(note.Caution, "raw-unit", x.at, "%q states no unit: an alkalinity of %s is taken for mg/L CaCO3, and can be degrees or meq/L", clip(x.text), trimFloat(v)).do(b, "write its unit")
	}
	if otherTurbidity(x.unit) {
		b.say(note.Info, "fnu", x.at, "%s counts as NTU", x.unit.Name)
	}
	r := jartest.Reading{State: jartest.Number, Value: v, Unit: info.Unit, At: x.at, Text: x.text}
	switch x.state {
	case layout.Below:
		r.State, r.Limit = jartest.Below, true
	case layout.Above:
		r.State, r.Limit = jartest.Above, true
	}
	return r, true
}

// doubted reports a line of which words were not understood.
func (b *bench) doubted(at note.Place) bool {
	return slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Place == at && n.Code == "fact-words" })
}

const (
	// mostAbsorbance is what a cell of 1 cm lets a photometer read; common practice, no source.
	mostAbsorbance = 4
	// leastPlainAlkalinity: degrees of hardness and meq/L of natural waters stay below it.
	leastPlainAlkalinity = 25
)

// rawAgainstJars asks about a raw turbidity below that of every jar: it is of another
// water, or no raw reading.
func (m *maker) rawAgainstJars() {
	raw, ok := m.s.Raw[jartest.Turbidity]
	if !ok || raw.State != jartest.Number {
		return
	}
	n, low, least, weakest := 0, false, math.Inf(1), 0.0
	for _, j := range m.s.Jars {
		r, ok := j.Readings.Get(jartest.Turbidity)
		if !ok || r.State != jartest.Number {
			continue
		}
		n, low = n+1, low || r.Value <= raw.Value
		if dose := firstDoses([]jartest.Jar{j})[0]; dose < least {
			least, weakest = dose, r.Value
		}
	}
	switch {
	case n < 3:
	case low && weakest > mostScatter*raw.Value:
		m.b.say(note.Caution, "raw-below-jars", raw.At, "the raw turbidity of %s NTU is far below the %s NTU of the jar with the lowest dose", trimFloat(raw.Value), trimFloat(weakest)).
			do(m.b, "check that it is of the same water")
	case !low:
		m.b.say(note.Caution, "raw-below-jars", raw.At, "the raw turbidity of %s NTU is below that of every jar", trimFloat(raw.Value)).do(m.b, "check that it is of the same water")
	}
}

// beforeColumns takes the mean of a column of raw readings.
func (m *maker) beforeColumns() {
	waters := sync.OnceValue(func() int { parts, _ := m.s.Waters(); return len(parts) })
	for _, f := range m.fs {
		if f.role != asBefore || !f.Head.Reading.Known() {
			continue
		}
		var vals []float64
		var at note.Place
		for _, d := range m.rows {
			v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
			s, ok := scaleOf(f.Head.Reading, f.Head.Unit)
			if !ok {
				s = 1
			}
			if v.OK() {
				vals = append(vals, convertValue(v.Num, s, f.Head.Unit))
				if at.Cell == "" {
					at = m.t.View.PlaceAt(d.r, f.C)
				}
			}
		}
		if waters() > 1 {
			continue // each water has its own
		}
		if len(vals) > 1 && slices.Min(vals) > 0 && slices.Max(vals) > 1.5*slices.Min(vals) {
			m.b.say(note.Caution, "raw-varies", f.Place, "column %q varies from %s to %s: it is not one raw water, and none was taken", f.Head.Text, trimFloat(slices.Min(vals)), trimFloat(slices.Max(vals))).
				do(m.b, "give each water a test of its own")
			continue
		}
		m.rawOfColumn(f.Head.Reading, vals, at)
	}
}

// rawOfColumn takes the mean of a column of raw readings, where nothing else states one.
func (m *maker) rawOfColumn(key jartest.Key, vals []float64, at note.Place) {
	info := key.Info()
	v := round12(layout.Mean(vals))
	if len(vals) == 0 || v < info.Least || v > info.Most {
		return
	}
	r := jartest.Reading{State: jartest.Number, Value: v, Unit: info.Unit, N: len(vals), At: at}
	had, ok := m.s.Raw[key]
	switch own := slices.ContainsFunc(m.b.near(m.t, factRaw), func(x fact) bool { return x.key == key && x.at == had.At && m.allOf(x) }); {
	case ok && own:
		m.rawDiffers(key, had, r)
	case !ok:
		m.s.Raw[key] = r
	}
}

// fixed adds a chemical that the sheet says every jar got.
func (m *maker) fixed() {
	b := m.b
	fixed := b.near(m.t, factFixed)
	was := slices.Clone(m.s.Jars) // a dose for all makes a control none, before the next fact asks
	for i, x := range fixed {
		if k := slices.IndexFunc(fixed, func(o fact) bool { return o.chem == x.chem && !same(o.value, x.value) }); k >= 0 {
			if k > i {
				o := fixed[k]
				b.say(note.Caution, "facts-disagree", o.at, "%q and %q (%s) disagree on the dose of every jar; neither was taken", clip(x.text), clip(o.text), x.at.Cell).do(b, "keep the right one, or give it a column of its own")
			}
			continue
		}
		name := x.chem
		if name == "" {
			name = "coagulant"
		}
		had := false
		for _, c := range m.s.Chemicals {
			had = had || c.Name == name || strings.HasPrefix(c.Name, name+" ")
		}
		if had || x.value <= 0 {
			m.otherDose(x, name)
			continue
		}
		if x.chem == "" && len(m.s.Chemicals) > 0 {
			continue
		}
		if !x.jars.fits(was) {
			b.say(note.Caution, "dose-mentioned", x.at, "%q names jars that are not in the table; the dose was not taken", clip(x.text)).do(b, "give it a column of its own")
			continue
		}
		level, word, who := note.Info, "", "every jar is taken to have got %s of %s, from %q%s"
		if !x.sure {
			level, word = note.Caution, "; is that right?"
		}
		if x.jars != nil {
			who = "the jars named are taken to have got %s of %s and the others none, from %q%s"
		}
		b.say(level, "fixed-dose", x.at, who, quantity.Concentration(x.value), name, clip(x.text), word).
			do(b, "give it a column of its own if it differs between jars")
		basis := quantity.NotStated
		if x.unit.As != "" {
			if p, err := quantity.ParseBasis(x.unit.As); err == nil {
				basis = p
			}
		}
		m.s.Chemicals = append(m.s.Chemicals, jartest.Chemical{Name: name, Basis: basis})
		for i := range m.s.Jars {
			j := &m.s.Jars[i]
			dose := jartest.JarDose{Known: true, At: x.at}
			if x.jars.has(was[i]) {
				dose.Concentration, j.Control = quantity.Concentration(x.value), false
			}
			j.Doses = append(j.Doses, dose)
		}
	}
}

// otherDose speaks of a dose of every jar that the column of its chemical does not give to one of them.
func (m *maker) otherDose(x fact, name string) {
	i := slices.IndexFunc(m.s.Chemicals, func(c jartest.Chemical) bool { return c.Name == name || strings.HasPrefix(c.Name, name+" ") })
	gives := func(j jartest.Jar) bool { return i < len(j.Doses) && same(float64(j.Doses[i].Concentration), x.value) }
	if i < 0 || x.value <= 0 || x.keyed || slices.ContainsFunc(m.s.Jars, gives) {
		return
	}
	m.b.say(note.Caution, "dose-mentioned", x.at, "%q speaks of a dose of %s that no jar of its column got; it was not taken", clip(x.text), name).do(m.b, "give it a column of its own")
}

// sweep marks a series in which pH was varied at one dose.
func (m *maker) sweep() {
	if len(m.s.Factors()) > 0 || len(m.s.Jars) < 3 {
		return
	}
	for _, j := range m.s.Jars {
		if len(j.Settings) > 0 {
			m.b.say(note.Info, "ph-series", m.s.Place, "all jars have the same dose; what was varied is the pH")
			return
		}
	}
	seen := map[float64]bool{}
	for _, j := range m.s.Jars {
		r, ok := j.Readings.Get(jartest.PH)
		if !ok || r.State != jartest.Number {
			return
		}
		seen[r.Value] = true
	}
	if len(seen) < 3 {
		return
	}
	for i := range m.s.Jars {
		j := &m.s.Jars[i]
		j.Settings = map[string]float64{"ph_target": j.Readings.Of(jartest.PH).Value}
	}
	m.b.say(note.Info, "ph-series", m.s.Place, "all jars have the same dose; the pH column is taken for what was varied")
}

// duplicates looks for one jar with two doses.
func (m *maker) duplicates() {
	seen := map[string]int{}
	labels := map[string]int{}
	for _, j := range m.s.Jars {
		labels[words.Fold(j.Label)]++
	}
	repeated := 0
	for _, n := range labels {
		if n > 1 {
			repeated++
		}
	}
	// Labels that all come again, or that stand beside one dose of several rows, number repeats or waters, not jars.
	if repeated > 1 && repeated*2 > len(labels) || m.mergedDoses() {
		return
	}
	for i, j := range m.s.Jars {
		if j.Label == "" {
			continue
		}
		k := words.Fold(j.Label)
		o, ok := seen[k]
		if !ok {
			seen[k] = i
			continue
		}
		a := m.s.Jars[o]
		for c := range j.Doses {
			if c < len(a.Doses) && a.Doses[c].Concentration != j.Doses[c].Concentration {
				m.b.say(note.Error, "same-jar-twice", j.At, "jar %q stands twice, at %s with a dose of %s mg/L and at %s with %s mg/L: a conflict", j.Label, a.Doses[c].At.Cell, trimFloat(float64(a.Doses[c].Concentration)), j.Doses[c].At.Cell, trimFloat(float64(j.Doses[c].Concentration))).
					do(m.b, "correct the label or the dose")
				break
			}
		}
	}
}

// mergedDoses reports a column of doses in which one stands for several rows.
func (m *maker) mergedDoses() bool {
	return slices.ContainsFunc(m.dose, func(i int) bool {
		return slices.ContainsFunc(m.rows, func(d dataRow) bool {
			_, ok := mergedDown(m.t, d.r, m.fs[i].C)
			return ok
		})
	})
}

// facts books the readings behind a mean, targets, recycle and other lines.
func (m *maker) facts() {
	b := m.b
	if x, ok := b.look(m.t, factN, ""); ok && x.value >= 1 {
		for i := range m.s.Jars {
			for k := range m.s.Jars[i].Readings {
				if r := &m.s.Jars[i].Readings[k]; r.SD > 0 && r.N == 0 {
					r.N = int(x.value)
				}
			}
		}
	}
	m.protocol()
	for _, x := range b.near(m.t, factTarget) {
		m.target(x.text, x.at)
	}
	m.targetColumn()
	if m.s.JarVolume == 0 {
		if x, ok := b.look(m.t, factVolume, ""); ok {
			m.s.JarVolume = quantity.Volume(x.value)
		}
	}
	for k := range m.s.Chemicals {
		if m.s.Chemicals[k].Stock == 0 {
			if x, ok := b.look(m.t, factStock, m.s.Chemicals[k].Name); ok && x.sure && (x.chem != "" || len(m.s.Chemicals) == 1) {
				m.s.Chemicals[k].Stock = quantity.Concentration(x.value)
			}
		}
	}
	m.whiteWater()
	m.timesAsked()
}

// targetText is a line with a target, and how its sheet writes fractions.
type targetText struct {
	text string
	dec  layout.Decimals
}

// targetSaid is what such a line says; sideless is a number without a side of a reading that has two.
type targetSaid struct {
	all      []jartest.Target
	sideless bool
	ok       bool
}

// targetsRead remembers what targets say: a column repeats one for every jar.
var targetsRead words.Memory[targetText, targetSaid]

// readTarget reads "Target turbidity | <= 5 NTU", "Target | turbidity <= 5 NTU".
func readTarget(k targetText) targetSaid {
	name, val, _ := strings.Cut(k.pointed(), " | ")
	val = withSigns(val)
	try := []string{val}
	at := ""
	if said, minutes, ok := jartest.AtTime(strings.ToLower(name)); ok && minutes > 0 { // "Target turbidity at 10 min | 3 NTU"
		name, at = said, " at "+trimFloat(minutes)+" min"
		if try = nil; strings.ContainsAny(val, "<>≤≥") {
			try = []string{val + at}
		}
	}
	h := layout.ReadHeading(name)
	plain, _, _ := jartest.AtTime(strings.ToLower(val))
	if v := layout.ParseText(plain, k.dec); h.Reading == "" && v.Unit.Kind == words.Turbidity {
		h.Reading = jartest.Turbidity
	}
	if h.Reading != "" {
		for _, s := range spelledTargets(h, val) {
			try = append(try, s+at)
		}
	}
	sideless := h.Reading != "" && !h.Removal && !h.Reading.Sided() && !strings.ContainsAny(val, "<>≤≥")
	for _, s := range try {
		if all, err := jartest.ParseTargets(s); err == nil {
			return targetSaid{all, sideless && s != val, true}
		}
	}
	return eachTarget(val)
}

// pointed is the text of a target with points for its decimal commas; a number that can be two stays.
func (k targetText) pointed() string {
	return commaNumber.ReplaceAllStringFunc(k.text, func(n string) string {
		if x := layout.Numeral(n, k.dec); x.OK() {
			return trimFloat(x.Num)
		}
		return n
	})
}

var commaNumber = words.NewPattern(`\b\d[\d.,]*,\d[\d.,]*`)

// eachTarget reads several targets, "turbidity <= 4 NTU and pH >= 6.5"; each has to be whole.
func eachTarget(val string) targetSaid {
	out := targetSaid{}
	for _, s := range targetsEnd.Split(val, -1) {
		all, err := jartest.ParseTargets(s)
		if err != nil {
			return targetSaid{}
		}
		out.all, out.ok = append(out.all, all...), true
	}
	return out
}

var targetsEnd = words.Jointed(` (?:{and}|{and of names}|&) |[;,] `)

// target takes the targets of a line, or says why not.
func (m *maker) target(text string, at note.Place) {
	name, val, _ := strings.Cut(text, " | ")
	switch said := targetsRead.Of(targetText{text, m.b.dec(m.t)}, readTarget); {
	case !said.ok:
		m.b.say(note.Caution, "target-unclear", at, "the target %q is not understood and was left out", clip(val)).do(m.b, `write it like "turbidity <= 5 NTU"`)
	case said.sideless:
		m.b.say(note.Caution, "target-side", at, "the target %q does not say whether at least or at most, and was left out", name+" "+clip(val)).
			do(m.b, `write it with a sign, such as "<= %s"`, clip(val))
	default:
		for _, t := range said.all {
			t.At = at
			m.addTarget(m.askedOf(t))
		}
	}
}

// askedOf gives a target on the reading that headings call by its name, in whatever language; a name
// that neither a column nor the vocabulary has is told.
func (m *maker) askedOf(t jartest.Target) jartest.Target {
	if _, err := m.s.Reads(t); t.Key.Known() || err == nil {
		return t
	}
	h := layout.ReadHeading(strings.ReplaceAll(string(t.Key), "_", " "))
	if plain := h.Rest == "" && !h.Filtered && !h.Change && !h.Timed && !h.LogRemoval; plain && h.Reading.Known() {
		u := t
		if u.Key = h.Reading; h.Removal && t.Unit == "%" {
			u.Kind = jartest.Removal
		}
		if u, err := jartest.ParseTarget(u.String()); err == nil {
			u.At = t.At
			return u
		}
	}
	return t // see targetsUnknown
}

// targetsUnknown finds the columns that targets ask for by another name of their reading, and speaks of a target on a reading
// that no column has, when readings of other tables were given to the jars.
func (b *bench) targetsUnknown(series []jartest.Series) {
	for _, s := range series {
		for i, t := range s.Targets {
			if _, err := s.Reads(t); t.Key.Known() || t.Key.Base().Known() || err == nil {
				continue
			}
			h := layout.ReadHeading(strings.ReplaceAll(string(t.Key), "_", " "))
			same := slices.DeleteFunc(s.Keys(), func(k jartest.Key) bool {
				return h.Reading == "" || h.Reading.Known() || h.Rest != "" || h.Filtered || layout.ReadHeading(k.Info().Label).Reading != h.Reading
			})
			if len(same) == 1 {
				u := t
				u.Key = same[0]
				if _, err := s.Reads(u); err == nil {
					s.Targets[i] = u
					continue
				}
			}
			b.say(note.Caution, "target-unknown", t.At, "the target %q asks for a reading that no column has", t).do(b, `write it like "turbidity <= 5 NTU", with the name that stands over the column`)
		}
	}
}

// transmittance is a reading of which everybody wants more, and that keeps the name of its column.
const transmittance jartest.Key = "transmittance"

// spelledTargets writes a target as the grammar of targets has it: what a heading names, the side
// that it or the value tells, and the value, with and without the heading's unit.
func spelledTargets(h layout.Heading, val string) []string {
	op, word, unit := " <= ", string(h.Reading), ""
	if h.Removal || !h.Reading.Info().LowIsGood || h.Reading == transmittance {
		op = " >= "
	}
	if h.Removal {
		word += " removal"
	}
	if h.Unit.Known() && h.Unit.Kind != words.NoUnit {
		unit = " " + h.Unit.Name
	}
	v := strings.TrimLeft(val, "<>=≤≥ ")
	switch {
	case strings.ContainsAny(val, ">≥"):
		op = " >= "
	case strings.ContainsAny(val, "<≤"):
		op = " <= "
	}
	return []string{word + op + v, word + op + v + unit}
}

// targetColumn reads the target column of long form.
func (m *maker) targetColumn() {
	for _, f := range m.fs {
		if f.role != asTarget {
			continue
		}
		seen := map[string]bool{} // a target stands in the row of each jar, and is spoken of once
		for _, d := range m.rows {
			x := m.t.View.At(d.r, f.C)
			if x.Blank() || seen[x.Text] {
				continue
			}
			seen[x.Text] = true
			m.target(f.Head.Text+" | "+strings.TrimSpace(x.Text), m.t.View.PlaceAt(d.r, f.C))
		}
	}
}

// trimFloat writes a number without needless digits.
func trimFloat(v float64) string { return strconv.FormatFloat(round12(v), 'g', -1, 64) }

// addTarget adds a target that is not there yet; one that says otherwise than another
// of its kind is told.
func (m *maker) addTarget(t jartest.Target) {
	for _, had := range m.s.Targets {
		if had.String() == t.String() {
			return
		}
		if had.Key == t.Key && had.Kind == t.Kind && had.AtLeast == t.AtLeast {
			m.b.say(note.Caution, "facts-disagree", t.At, "two targets for %s, %s (%s) and %s: both are kept, and the harder one decides", t.Key.Info().Label, had, had.At.Cell, t).do(m.b, "keep the one that holds")
		}
	}
	m.s.Targets = append(m.s.Targets, t)
}
