package sheet

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// maker turns the rows of one table into one series.
type maker struct {
	b        *bench
	t        *layout.Table
	fs       []field
	rows     []dataRow
	part     part
	s        *jartest.Series
	dose     []int // the fields that hold the doses of s.Chemicals, in order
	puzzling []puzzling
	reads    int    // how many columns hold readings
	said     string // the text that named the last chemical, where it is more than its name
}

// chemicals names the chemicals of the dose columns with their bases and stocks.
func (m *maker) chemicals() {
	for i, f := range m.fs {
		if f.role == asDose || f.role == asStock && f.of < 0 {
			m.dose = append(m.dose, i)
		}
	}
	m.dose = slices.DeleteFunc(m.dose, m.unmeasured)
	for _, i := range m.dose {
		m.said = ""
		c := jartest.Chemical{Name: m.chemicalName(m.fs[i])}
		c.Said = m.said
		m.statedUnit(i, cmp.Or(m.fs[i].chem, c.Name))
		c.Basis = m.basis(c.Name, m.fs[i])
		m.s.Chemicals = append(m.s.Chemicals, c)
	}
	m.dosedTwice()
}

// dosedTwice refuses two columns of doses of one chemical, or of one that nobody names
// beside one with a name: the second may be added to the first or take its place.
func (m *maker) dosedTwice() {
	first := map[string]int{}
	for k, i := range m.dose {
		name := m.s.Chemicals[k].Name
		if name == nameless && k > 0 {
			name = m.s.Chemicals[0].Name
		}
		if f := m.fs[i]; f.chem == "" && f.Head.Metal != "" { // "as Fe" beside ferric chloride
			for o, x := range m.dose {
				if o != k && m.fs[x].chem != "" && metalOf(m.s.Chemicals[o].Name) == f.Head.Metal {
					name = m.s.Chemicals[o].Name
				}
			}
		}
		j, twice := first[name]
		if !twice {
			first[name] = i
			continue
		}
		one, two := m.fs[j], m.fs[i]
		m.b.say(note.Error, "dose-twofold", two.Place, "columns %q and %q both give doses of %s, and nothing says whether the second is added to the first or takes its place", one.Head.Text, two.Head.Text, name).
			do(m.b, `name the chemical of each, or leave one out with --column "%s=ignore" or --column "%s=ignore"; if both were added, write their sum in one column`, one.header(), two.header())
		m.s.Chemicals[k].Name = orWord(two.Head.Text, name)
	}
}

// nameless is what a chemical is called that nothing names, and namelessAid one of which the heading
// says that it is an aid, which is no salt that is named beside it.
const nameless, namelessAid = "coagulant", "flocculant"

func unnamedChem(name string) bool { return name == nameless || name == namelessAid }

// adjusters are the acids and alkalis that a pH is set with.
var adjusters = map[string]bool{"caustic soda": true, "lime": true, "soda ash": true, "sodium bicarbonate": true, "hydrochloric acid": true, "sulfuric acid": true}

// unmeasured reports a volume of acid or alkali of unknown strength beside a dose: it
// set the pH, and is left out with a word.
func (m *maker) unmeasured(i int) bool {
	f := m.fs[i]
	if len(m.dose) < 2 || !adjusters[f.chem] || f.role != asStock {
		return false
	}
	for _, x := range m.b.facts {
		if (x.kind == factStock || x.kind == factPerMl) && x.chem == f.chem {
			return false
		}
	}
	if _, ok := m.b.headStock(f); ok {
		return false
	}
	m.b.say(note.Caution, "adjuster", f.Place, "column %q gives volumes of an acid or alkali whose strength is not stated; it was left out", f.Head.Text).do(m.b, "give its dose in mg/L if it is to count")
	return true
}

// chemicalName finds the name of a dose column's chemical: the heading, the
// chemical column, the heading of the part, lines above, the sheet, the file.
func (m *maker) chemicalName(f field) string {
	b := m.b
	if f.chem != "" {
		if plainPAC(f.Head.Stated()) {
			return m.pac(f.Place)
		}
		m.otherAbove(f)
		if x, ok := m.knownBeside(f); ok {
			return x
		}
		return qualified(f)
	}
	unnamed, called := m.unnamed(), nameless
	fits := func(x string) bool { return x != "" }
	if kindOf(f.Head.Text) == "aid" {
		called, fits = namelessAid, func(x string) bool { return x != "" && metalOf(x) == "" }
	}
	if b.opt.Chemical != "" && unnamed == 1 {
		b.named = true
		return canonChem(b.opt.Chemical)
	}
	if x := m.chemicalOfPart(f); fits(x) {
		return x
	}
	if x := m.chemicalOfStock(); fits(x) && unnamed == 1 {
		return x
	}
	if x, ok := b.look(m.t, factChemical, ""); ok && fits(x.chem) {
		if plainPAC(x.text) && !(x.naming != nil && x.naming.open()) {
			return m.pac(x.at)
		}
		b.say(note.Info, "chemical", x.at, "the chemical is taken to be %s, from %q", x.chem, clip(x.text))
		m.said = x.text
		return x.chem
	}
	for i, s := range [...]string{m.t.View.Name, path.Base(strings.ReplaceAll(m.t.View.File, `\`, "/"))} {
		if h := layout.ReadHeading(strings.NewReplacer("_", " ", "-", " ", ".", " ").Replace(s)); fits(h.Chem) {
			level := note.Info
			if i > 0 { // what a file is called says the least
				level = note.Caution
			}
			b.say(level, "chemical", f.Place, "the chemical is taken to be %s, from the name %q", h.Chem, s).do(b, "name it above the table, or with --chemical NAME")
			return h.Chem
		}
	}
	if f.Head.Metal != "" {
		return map[string]string{"Al": "aluminium coagulant", "Fe": "ferric"}[f.Head.Metal]
	}
	if slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factChemical && b.disagree[x.at] && x.at.Sheet == f.Place.Sheet }) {
		return nameless // and it was said why
	}
	said := b.say(note.Caution, "chemical-not-named", f.Place, "nothing names the chemical; it is called %s here", called)
	if said.do(b, `name it with --chemical NAME`); unnamed > 1 {
		said.do(b, `name it with --column "%s=alum mg/L"`, f.header())
	}
	return called
}

// otherAbove speaks of a line over the jars that names chemicals, and none of those that the headings
// name: the doses can be of either.
func (m *maker) otherAbove(f field) {
	line, at := m.rows[0].section, m.t.View.PlaceAt(m.rows[0].r-1, m.t.C0)
	if m.t.Under() {
		line, at = m.t.Title, m.t.TitleAt
	}
	h := layout.ReadHeading(line)
	named := func(o field) bool {
		return o.dosed() && slices.ContainsFunc(h.Chems, func(c string) bool { return alike(c, o.chem) })
	}
	if line == "" || len(h.Chems) == 0 || len(m.b.dosesInLabel(line, m.b.dec(m.t))) > 0 || slices.ContainsFunc(m.b.byTable[m.t], named) {
		return
	}
	m.b.say(note.Caution, "other-chemical", at, "%q names %s, and the heading %q another chemical; the heading was taken for the jars below it", clip(line), strings.Join(h.Chems, ", "), f.Head.Text).
		do(m.b, "give the jars of each chemical headings of their own")
}

// alike reports two names of one chemical, of which one can say more: "cationic polymer", "polymer".
func alike(a, b string) bool { return strings.HasSuffix(a, b) || strings.HasSuffix(b, a) }

// unnamed counts the columns of doses whose headings name no chemical.
func (m *maker) unnamed() (n int) {
	for _, i := range m.dose {
		if m.fs[i].chem == "" {
			n++
		}
	}
	return n
}

// chemicalOfStock is the one chemical that columns on the strength of a stock name.
func (m *maker) chemicalOfStock() string {
	name := ""
	for _, o := range m.fs {
		switch {
		case o.role != asStrength || o.Head.Chem == "":
		case name != "" && o.Head.Chem != name:
			return ""
		default:
			name = o.Head.Chem
		}
	}
	return name
}

// chemicalOfPart is what the part of a table names: its heading, its column of chemicals, its
// section, or the test of all its rows.
func (m *maker) chemicalOfPart(f field) string {
	if h := layout.ReadHeading(m.part.name); h.Chem != "" {
		return h.Chem
	}
	if s := m.columnChemical(f); s != "" {
		if plainPAC(s) {
			return m.pac(f.Place)
		}
		return canonChem(s)
	}
	if h := layout.ReadHeading(m.rows[0].section); h.Chem != "" {
		return h.Chem
	}
	if allSame(m.rows) {
		return layout.ReadHeading(m.rows[0].test).Chem
	}
	return ""
}

// columnChemical gives the name in the column of chemicals that stands nearest
// before a dose column, or the only one there is.
func (m *maker) columnChemical(f field) string {
	best, n := -1, 0
	for i, o := range m.fs {
		if o.role == asChemical {
			n++
			if o.C < f.C || best < 0 {
				best = i
			}
		}
	}
	if best < 0 {
		return ""
	}
	for _, d := range m.rows {
		if s := m.b.label(m.t, d.r, m.fs[best].C); s != "" && !words.Means(s, "value:missing") && !words.Means(s, "value:zero") && !words.Means(s, "label:control") && strings.Trim(s, "-– ") != "" {
			return s
		}
	}
	return ""
}

func allSame(rows []dataRow) bool {
	for _, d := range rows {
		if d.test != rows[0].test {
			return false
		}
	}
	return true
}

// qualified keeps what tells two products of a kind apart: "polymer A". Clay is what
// waters are made up with, unless it is called bentonite.
func qualified(f field) string {
	if strings.HasSuffix(f.chem, "polymer") && f.Head.Index != "" {
		return f.chem + " " + strings.ToUpper(f.Head.Index)
	}
	if f.chem == "bentonite" && strings.Contains(words.Fold(f.Head.Text), "clay") {
		return "clay"
	}
	return f.chem
}

const carbon = "powdered activated carbon"

func plainPAC(s string) bool {
	for _, t := range words.Tokens(words.Fold(s)) {
		if t.Text == "pac" {
			return !strings.Contains(words.Fold(s), "carbon") && !strings.Contains(words.Fold(s), "poly")
		}
	}
	return false
}

func (m *maker) pac(at note.Place) string {
	if c := canonChem(m.b.opt.Chemical); c == carbon || c == "PACl" {
		m.b.named = true
		return c
	}
	for _, x := range m.b.facts {
		if x.kind == factChemical && x.chem == carbon && x.g == m.t.Area() {
			m.b.say(note.Info, "pac", at, `"PAC" is taken for powdered activated carbon, from %q`, clip(x.text))
			return carbon
		}
	}
	if line, ok := m.smells(); ok {
		m.b.say(note.Error, "pac-unclear", at, `"PAC" can be polyaluminium chloride or powdered activated carbon, and %q is what carbon is dosed against`, clip(line)).
			do(m.b, `say which with --chemical "PACl" or --chemical "powdered activated carbon"`)
		return "PACl"
	}
	m.b.say(note.Info, "pac", at, `"PAC" is taken for polyaluminium chloride, not for powdered activated carbon`).do(m.b, `if it is carbon, use --chemical "powdered activated carbon"`)
	return "PACl"
}

// smells gives the line above the table, or the name of the sheet, that speaks of taste and odour.
func (m *maker) smells() (line string, ok bool) {
	of := func(text string) bool { return spoken()["taste and odour"].in(words.Fold(text)) }
	for r := range min(m.t.HeadTop, len(m.t.Area().Rows)) {
		for _, x := range m.t.Area().Rows[r] {
			if x.Kind == grid.Textual && of(x.Text) {
				return x.Text, true
			}
		}
	}
	return m.t.View.Name, of(m.t.View.Name)
}

func clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

// jars reads doses and readings row by row.
func (m *maker) jars() {
	lastDose := make([]layout.Value, len(m.dose))
	units := make([]doseUnit, len(m.dose))
	for k, i := range m.dose {
		if m.headingUnderstood(m.fs[i]) {
			units[k] = m.doseUnit(k, m.fs[i])
		}
	}
	for i, f := range m.fs {
		switch {
		case f.role != asReading:
		case m.headingUnderstood(f):
			m.reads++
		default:
			m.ownField(i).role = asIgnored
		}
	}
	numbered := map[string]int{}
	for n, d := range m.rows {
		j, ok := m.jar(n, d, units, lastDose)
		switch {
		case !ok || m.remarked(d, &j):
			m.b.notKept(d)
		case !m.again(d, j):
			numbered[j.Label]++
			m.s.Jars = append(m.s.Jars, j)
		}
	}
	m.puzzle()
	m.labels(numbered)
}

// notKept takes back what was said of the label of a jar that was kept, where the jar was then left out.
func (b *bench) notKept(d dataRow) {
	b.notes = slices.DeleteFunc(b.notes, func(n note.Note) bool { return n.Code == "label-doubt" && n.Place == d.labelAt })
}

// jar reads one row; false where it is no jar, or has no dose.
func (m *maker) jar(n int, d dataRow, units []doseUnit, lastDose []layout.Value) (jartest.Jar, bool) {
	b := m.b
	j := jartest.Jar{Label: d.label, Readings: make(jartest.Readings, 0, m.reads), At: d.labelAt}
	whole, lost := m.doses(n, &j, units, lastDose)
	m.readings(d, &j)
	m.ownWater(d, &j)
	m.undiluted(d, &j)
	raw := d.rawWater && (!whole || m.dashDose(d))
	if !lost && d.rawWater && (raw || j.Control) {
		j.Readings.Into(m.s.Raw)
	}
	switch {
	case lost:
		return j, false
	case raw:
		b.say(note.Info, "raw-water", d.labelAt, "the row %q is the raw water", d.label)
		return j, false
	case !whole && !hasReading(j):
		return j, false
	case !whole:
		b.say(note.Caution, "no-dose", d.labelAt, "the jar at %s has readings but no dose and was left out", d.labelAt.Cell).do(b, "write its dose, or 0 for a jar without chemical")
		return j, false
	case d.control && !j.Control && len(m.dose) == 1 && !d.rawWater:
		b.say(note.Caution, "dosed-control", d.labelAt, "the jar %q is labelled as a control but has a dose", d.label)
	}
	if j.Label == "" {
		j.Label = m.doseLabel(j)
	}
	return j, true
}

// doses reads the doses of a jar. It is whole where every one could be read, lost where
// something stands there that is no dose.
func (m *maker) doses(n int, j *jartest.Jar, units []doseUnit, lastDose []layout.Value) (whole, lost bool) {
	d := m.rows[n]
	whole, j.Control = true, len(m.dose) > 0
	for k, i := range m.dose {
		v := m.doseValue(n, i, &lastDose[k])
		jd, ok := m.convert(d, m.fs[i], units[k], v)
		whole = whole && ok
		lost = lost || !ok && !v.Blank && v.State != layout.Missing
		jd = m.volume(d, i, jd)
		j.Doses = append(j.Doses, jd)
		j.Control = j.Control && jd.Concentration == 0
	}
	return whole, lost
}

// again joins a row that repeats the jar of the row above, same label and same
// doses, as repeat readings of that jar.
func (m *maker) again(d dataRow, j jartest.Jar) bool {
	n := len(m.s.Jars)
	if n == 0 || !d.hasLabel || m.s.Jars[n-1].Label != j.Label {
		return false
	}
	last := &m.s.Jars[n-1]
	if !last.Repeats(j) {
		return false
	}
	for _, x := range j.Readings {
		r := x.Reading
		if had, ok := last.Readings.Get(x.Key); ok {
			r = m.together(had, r)
		}
		last.Readings.Set(x.Key, r)
	}
	if m.repeatsExpected() {
		m.b.say(note.Info, "repeat-rows", m.t.View.PlaceAt(m.t.Head, m.t.C0), "rows with the same jar label and dose are repeat readings of one jar")
	} else {
		m.b.say(note.Caution, "repeat-rows", d.labelAt, "jar %q stands twice with the same dose; its rows are taken for repeat readings of one jar", j.Label).do(m.b, "correct the label if they are two jars")
	}
	return true
}

// repeatsExpected reports a replicate column, or labels that mostly come more than once.
func (m *maker) repeatsExpected() bool {
	for _, f := range m.fs {
		if f.role == asReplicate {
			return true
		}
	}
	count := map[string]int{}
	for _, d := range m.rows {
		count[d.label]++
	}
	many := 0
	for _, n := range count {
		if n > 1 {
			many++
		}
	}
	return many*2 > len(count)
}

func hasReading(j jartest.Jar) bool {
	for _, x := range j.Readings {
		if x.State != jartest.Missing {
			return true
		}
	}
	return false
}

func (m *maker) dashDose(d dataRow) bool {
	for _, i := range m.dose {
		v := layout.ParseValue(m.t.View.At(d.r, m.fs[i].C), m.b.dec(m.t))
		if v.OK() {
			return false
		}
	}
	return true
}

func (m *maker) doseLabel(j jartest.Jar) string {
	var s []string
	for _, d := range j.Doses {
		s = append(s, trimFloat(round12(float64(d.Concentration))))
	}
	return strings.Join(s, "+")
}

// labels makes labels that repeat because of replicate rows tell their rows apart.
func (m *maker) labels(count map[string]int) {
	own := false
	for _, d := range m.rows {
		own = own || d.hasLabel
	}
	if own {
		return
	}
	at := map[string]int{}
	for i := range m.s.Jars {
		j := &m.s.Jars[i]
		if l := j.Label; count[l] > 1 {
			at[l]++
			j.Label = fmt.Sprintf("%s-%d", l, at[l])
		}
	}
}

// doseValue reads one dose cell and settles what a blank, a dash or a word means there.
func (m *maker) doseValue(n, i int, last *layout.Value) layout.Value {
	b, d, f := m.b, m.rows[n], m.fs[i]
	x := ofAllRows(m.t, d.r, f.C)
	v := m.poured(d, f)
	if own, ok := m.ownDoseValue(d, f); ok {
		v = own
	}
	switch none := words.Means(x.Text, "value:zero") || withoutChemical(x.Text); {
	case none && !v.OK(): // what is "not measured" elsewhere is not dosed here
		v = layout.Value{State: layout.Zero}
	case v.State == layout.Unclear:
		if amount, ok := b.doseText(x.Text, b.dec(m.t)); ok {
			v = layout.Value{State: layout.Number, Num: float64(amount.dose), Unit: words.Unit{Kind: words.Conc, Factor: 1, Name: "mg/L"}}
			m.doseWords(x.Text, m.t.View.PlaceAt(d.r, f.C))
		}
	}
	v = m.settled(n, i, v, *last)
	if v.OK() && !v.Blank {
		*last = v
	}
	v.Text = x.Text
	return v
}

// settled says which dose a word, a blank or a dash stands for.
func (m *maker) settled(n, i int, v, last layout.Value) layout.Value {
	b, d, f := m.b, m.rows[n], m.fs[i]
	none, at := layout.Value{State: layout.Number}, m.t.View.PlaceAt(d.r, f.C)
	control := d.control && !d.rawWater
	switch {
	case v.State == layout.Zero:
		return none
	case v.State == layout.Ditto && last.OK():
		b.say(note.Info, "dose-ditto", at, "%q as a dose means the same as above, %s", m.t.View.At(d.r, f.C).Text, trimFloat(last.Num))
		return last
	case v.Blank && control:
		b.say(note.Info, "control", d.labelAt, "the jar %q has no dose written and is taken as the control", d.label)
		return none
	case v.Blank && last.OK() && m.sameAsAbove(n, i):
		b.say(note.Info, "dose-repeated", f.Place, "a blank dose in column %q means the same as above, because rows repeat a jar", f.Head.Text)
		return last
	case v.Blank && last.OK() && m.pairedAbove(n, i):
		if m.dosedBeside(n) {
			b.say(note.Caution, "dose-of-pair", f.Place, "a blank dose in column %q beside another dose is taken for that of the jar above that has the same number", f.Head.Text).do(b, "write 0 if it had none")
		} else {
			b.say(note.Info, "dose-repeated", f.Place, "a blank dose in column %q means the same as above, because rows repeat a jar", f.Head.Text)
		}
		return last
	case !v.Dash || d.rawWater:
		return v
	case control:
		b.say(note.Info, "dash-zero", at, `"-" in the control jar's dose is taken as 0`)
		return none
	}
	if x, ok := b.look(m.t, factDash, ""); ok && x.value == 0 {
		return none
	}
	b.say(note.Caution, "dash-dose", at, `"-" as a dose can mean nothing dosed or not known; the jar was left out`).do(b, "write 0 for a jar without chemical")
	return v
}

// doseWords speaks of words in a cell with a dose that are neither its name nor its unit: "20
// mg/L half strength", "wrong 10 mg/L".
func (m *maker) doseWords(text string, at note.Place) {
	var left []layout.Piece
	for _, p := range layout.Pieces(text) {
		if p.Concept != layout.SaysUnit && p.Concept != layout.SaysFiller && !holds(besideName, p.Concept) || p.Factor() {
			left = append(left, p)
		}
	}
	if len(left) > 0 {
		m.b.say(note.Caution, "dose-words", at, "%q in the dose %q is not understood; the number was taken as it stands", textsOf(left), clip(text)).do(m.b, "write the dose as a number")
	}
}

// sameAsAbove reports that a blank dose cell belongs to the filled one above: the rows are numbered
// repeats.
func (m *maker) sameAsAbove(n, i int) bool {
	for _, f := range m.fs {
		if f.role != asReplicate {
			continue
		}
		now := layout.ParseValue(m.t.View.At(m.rows[n].r, f.C), m.b.dec(m.t))
		if n > 0 {
			was := layout.ParseValue(m.t.View.At(m.rows[n-1].r, f.C), m.b.dec(m.t))
			if now.OK() && was.OK() && now.Num > was.Num {
				return true
			}
			if now.Text != "" && now.Text != was.Text && !now.OK() {
				return true
			}
		}
	}
	return n > 0 && m.rows[n].hasLabel && m.rows[n].label == m.rows[n-1].label
}

// ofPair is the label of one of several jars with one number: 1a, 1b, "2-A".
var ofPair = words.NewPattern(`^(.*\d) ?[-./]? ?([a-z])$`)

// pairedAbove reports a jar that shares its number with those above it, "1b" under "1a", up to the one
// whose dose is written.
func (m *maker) pairedAbove(n, i int) bool {
	own := ofPair.FindStringSubmatch(words.Fold(m.rows[n].label))
	for k := n - 1; k >= 0 && own != nil; k-- {
		above := ofPair.FindStringSubmatch(words.Fold(m.rows[k].label))
		if above == nil || above[1] != own[1] || above[2] >= own[2] {
			return false
		}
		if !m.t.View.At(m.rows[k].r, m.fs[i].C).Blank() {
			return true
		}
		own = above
	}
	return false
}

// dosedBeside reports a row with a dose in another column.
func (m *maker) dosedBeside(n int) bool {
	return slices.ContainsFunc(m.dose, func(i int) bool { return !m.t.View.At(m.rows[n].r, m.fs[i].C).Blank() })
}

// readings reads the reading columns of one row.
func (m *maker) readings(d dataRow, j *jartest.Jar) {
	for i, f := range m.fs {
		switch f.role {
		case asReading:
			m.readInto(j, d, i)
		case asSetting:
			m.setting(j, d, f)
		}
	}
	for _, f := range m.fs {
		if f.of >= 0 && (f.role == asSD || f.role == asN) {
			m.spreadOf(j, d, f)
		}
	}
}

// readInto reads the cell of one reading column into its jar.
func (m *maker) readInto(j *jartest.Jar, d dataRow, i int) {
	f := m.fs[i]
	r, ok := m.reading(d, i)
	if !ok {
		return
	}
	switch {
	case f.Head.Timed:
		r.Minutes = f.Head.Minutes
	case d.minutes > 0:
		r.Minutes = d.minutes
	}
	m.earlier(d, i, j)
	if d.unread && f.key.Known() {
		return
	}
	had, twice := j.Readings.Get(f.key)
	switch {
	case !twice:
		j.Readings.Set(f.key, r)
	case f.rep:
		j.Readings.Set(f.key, m.together(had, r))
	}
}

// setting reads the pH that a jar was set to.
func (m *maker) setting(j *jartest.Jar, d dataRow, f field) {
	v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
	if !v.OK() {
		return
	}
	if j.Settings == nil {
		j.Settings = map[string]float64{}
	}
	if v.Num < 0 || v.Num > 14 {
		m.b.say(note.Error, "impossible-value", m.t.View.PlaceAt(d.r, f.C), "pH %s cannot be", trimFloat(v.Num)).do(m.b, "correct the cell")
		return
	}
	j.Settings[string(f.key)] = v.Num
}

// spreadOf reads the deviation of a mean, or the number of readings behind it.
func (m *maker) spreadOf(j *jartest.Jar, d dataRow, f field) {
	key := m.fs[f.of].key
	r, ok := j.Readings.Get(key)
	v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
	if !ok || !v.OK() || r.State != jartest.Number {
		return
	}
	if f.role == asSD {
		r.SD = v.Num * m.scale(m.fs[f.of])
	} else {
		r.N = int(v.Num)
	}
	j.Readings.Set(key, r)
}

// earlier keeps what a reading was at other settling times, under names of their own.
func (m *maker) earlier(d dataRow, i int, j *jartest.Jar) {
	for _, e := range d.earlier {
		at := d
		at.r = e.r
		if r, ok := m.reading(at, i); ok && m.fs[i].key.Known() {
			r.Minutes = e.minutes
			j.Readings.Set(m.fs[i].key+jartest.Key("_"+trimFloat(e.minutes)+"_min"), r)
		}
	}
}

// ownWater keeps what the row says of the water of its jar, and its texts.
func (m *maker) ownWater(d dataRow, j *jartest.Jar) {
	for _, f := range m.fs {
		at := m.t.View.PlaceAt(d.r, f.C)
		switch key := f.Head.Reading; {
		case f.role == asBefore && key.Known():
			v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t)).AsReading()
			s, ok := scaleOf(key, f.Head.Unit)
			if !ok {
				s = 1
			}
			if v.OK() {
				if j.Raw == nil {
					j.Raw = map[jartest.Key]jartest.Reading{}
				}
				j.Raw[key] = jartest.Reading{State: jartest.Number, Value: round12(convertValue(v.Num, s, f.Head.Unit)), Unit: key.Info().Unit, At: at}
			}
		case f.role == asNote && !f.Head.Operator && (!f.Head.Clock || m.b.spans(m.t, &f)):
			if text := m.b.label(m.t, d.r, f.C); text != "" {
				j.Said = append(j.Said, jartest.Fact{Name: strings.ToLower(f.Head.Text), Value: text, At: at})
			}
		}
	}
}

// together joins repeat readings of one jar; the value is the mean of the numbers. A limit
// among numbers has no place in a mean, and one that no repeat would lie at is spoken of.
func (m *maker) together(a, b jartest.Reading) jartest.Reading {
	out := a.With(b)
	if out.SD = 0; a.State == jartest.Missing {
		out.Unit, out.At, out.Text = b.Unit, b.At, b.Text
	}
	strays := func(x jartest.Reading) bool {
		return x.State == jartest.Below && out.Value > mostApart*x.Value || x.State == jartest.Above && out.Value*mostApart < x.Value
	}
	if i := slices.IndexFunc(out.Replicates, strays); i >= 0 && out.State == jartest.Number {
		limit := out.Replicates[i]
		m.b.say(note.Caution, "limit-among-repeats", limit.At, "%q stands among repeat readings that are numbers; it was left out of their mean, %s", limit.Text, trimFloat(out.Value)).
			do(m.b, "check the repeats of this jar")
	}
	return out
}

// scale turns a value in a column's unit into the unit of its kind.
func (m *maker) scale(f field) float64 {
	s, _ := scaleOf(f.key, f.Head.Unit)
	return s
}

// reading reads one cell. It gives false where the cell is blank in a column that
// is not a reading of this row.
func (m *maker) reading(d dataRow, i int) (jartest.Reading, bool) {
	b, f := m.b, m.fs[i]
	x := m.t.View.At(d.r, f.C)
	at := m.t.View.PlaceAt(d.r, f.C)
	if x.Kind == grid.Empty && !x.Hollow {
		if s, ok := m.t.View.MergedAt(d.r, f.C); ok && s.C0 == s.C1 && s.R1 > s.R0 {
			b.say(note.Caution, "merged-reading", m.t.View.PlaceAt(s.R0, s.C0), "a reading is merged over several jars; it was taken for the first only").do(b, "write the reading into each jar")
		}
	}
	v := layout.ParseValue(x, b.dec(m.t))
	if v.State == layout.Unclear {
		if number, ok := beforeRemark(x.Text, f.Head.Unit); ok {
			v = layout.ParseText(number, b.dec(m.t))
		}
	}
	if v = v.AsReading(); f.key.Known() {
		v = v.Middle()
	}
	u := m.readingUnit(d, f, v)
	r := jartest.Reading{Unit: f.key.Info().Unit, At: at, Text: strings.TrimSpace(x.Text)}
	factor := 1.0
	if f.key.Known() {
		var ok bool
		if factor, ok = m.factor(f, u, at, v); !ok {
			return r, false
		}
	} else {
		if r.Unit = u.Name; u.Kind == words.Area { // what is left of a unit that nobody knows, "zorks/m2"
			r.Unit = ""
		}
		if h := f.Head.Unit; h.Factor > 0 && u.Kind == h.Kind { // "1 h" under minutes
			r.Unit, factor = h.Name, u.Factor/h.Factor
		}
		if x.Clock() || v.State == layout.Dated && (f.Head.Unit.Kind == words.Clock || v.Num > 0 && v.Num < 1) {
			r.State, r.Value, r.Unit = jartest.Number, round12(v.Num*86400), "s"
			return r, true
		}
	}
	switch v.State {
	case layout.Number:
		return m.number(r, i, v, u, factor), true
	case layout.Below, layout.Above:
		r.State, r.Value, r.Limit = jartest.Below, round12(v.Num*factor), v.Limit
		if v.State == layout.Above {
			r.State = jartest.Above
		}
		if !v.Limit {
			m.limit(&r, f, at, x.Text)
		}
	default:
		m.noReading(f, v, x, at)
	}
	return r, true
}

// readingUnit gives the unit of one reading: the cell's own, that of a column of units
// beside it, else the heading's.
func (m *maker) readingUnit(d dataRow, f field, v layout.Value) words.Unit {
	u := f.Head.Unit
	if v.Unit.Known() && v.Unit.Kind != words.NoUnit {
		u = v.Unit
	} else if beside, ok := m.unitBeside(d, f, -1, 1); ok && layout.KeyOfUnit(beside) != "" {
		u = beside
	}
	if f.key == jartest.Phosphate && u.Kind == words.Conc && u.As == "" && phosphateByFormula(f.Head.Text) {
		u.As = "po4"
	}
	if f.key == jartest.Phosphate && u.Kind == words.Conc && u.As == "" {
		m.b.say(note.Info, "as-phosphorus-assumed", f.Place, "column %q does not say of what; it is read as P", f.Head.Text).do(m.b, `if it counts PO4, write "mg/L as PO4"`)
	}
	return u
}

// phosphateByFormula reports a heading whose formula says what it counts: "PO4 (mg/L)", and not "PO4-P".
func phosphateByFormula(text string) bool {
	return slices.ContainsFunc(words.Find(words.Fold(text)), func(x words.Hit) bool {
		return x.Concept == "reading:"+string(jartest.Phosphate) && strings.HasSuffix(x.Text, "po4")
	})
}

// number completes a reading with what its cell says, and speaks of what is doubtful in it.
func (m *maker) number(r jartest.Reading, i int, v layout.Value, u words.Unit, factor float64) jartest.Reading {
	b, f := m.b, m.fs[i]
	r.State, r.Value, r.SD, r.N = jartest.Number, round12(convertValue(v.Num, factor, u)), round12(v.SD*factor), v.N
	for _, one := range v.List {
		x := jartest.Num(round12(convertValue(one, factor, u)), r.Unit)
		x.At = r.At
		r.Replicates = append(r.Replicates, x)
	}
	if len(v.List) > 0 && strings.Contains(r.Text, "+") {
		v.Doubt = "can be repeats or a sum"
	}
	if len(v.List) > 0 {
		r.N = len(v.List)
		b.say(note.Info, "replicates-in-cell", r.At, "%q is taken for %d repeat readings", r.Text, len(v.List))
	}
	if v.Approx {
		b.say(note.Caution, "approximate", r.At, "%q is not exact; it is read as %s", r.Text, trimFloat(v.Num))
	}
	if v.Doubt != "" {
		b.say(note.Caution, "marked-value", r.At, "%q %s; it is read as %s", r.Text, v.Doubt, trimFloat(v.Num))
	}
	if (f.key == jartest.TurbidityRemoval || f.key == jartest.TSSRemoval || f.Head.Removal) && m.fractions(i) && !v.Percent {
		r.Value = round12(r.Value * 100)
	}
	if v.Num == 999 || v.Num == 9999 || v.Num == 99999 {
		b.say(note.Caution, "code-for-reading", r.At, "%s looks like the sign of an instrument for no reading; it was taken as it stands", trimFloat(v.Num)).do(b, "clear the cell if it is one")
	}
	if info := f.key.Info(); r.Value < info.Least || r.Value > info.Most {
		b.say(note.Error, "impossible-value", r.At, "%s of %s %s cannot be (%s to %s)", info.Label, trimFloat(r.Value), info.Unit, trimFloat(info.Least), trimFloat(info.Most)).do(b, "correct the cell")
		return jartest.Reading{Unit: r.Unit, At: r.At, Text: r.Text}
	}
	return r
}

// noReading speaks of a cell that holds something and no reading.
func (m *maker) noReading(f field, v layout.Value, x grid.Cell, at note.Place) {
	b := m.b
	switch v.State {
	case layout.Zero:
		if f.key.Known() {
			b.say(note.Caution, "word-for-reading", at, "%q stands where a number was looked for; no reading was taken", clip(x.Text))
		}
	case layout.Unclear, layout.Dated, layout.Ditto:
		level := note.Caution
		if !f.key.Known() {
			level = note.Info
		} else if twofold(v) {
			level = note.Error // two readings of one number: ask
		}
		if more, said := m.likewise(f, v, at); !said {
			b.say(level, "unclear-reading", at, "%q is not a reading (%s); no value was taken%s", clip(x.Text), doubtOf(v), more).do(b, "%s", m.hint(v))
		}
	case layout.Fault:
		b.say(note.Caution, "error-value", at, "the cell holds the error %s; no value was taken", x.Text)
	case layout.Hollow:
		level := note.Error
		if f.Head.Removal || !f.key.Known() {
			level = note.Caution
		}
		b.say(level, "formula-without-value", at, "the formula has no stored value").do(b, "open the file in a spreadsheet program, save it and run this again")
	}
}

// likewise says how many more cells of a column can be read in two ways, and whether one
// above has been told of: one question a column is enough.
func (m *maker) likewise(f field, v layout.Value, at note.Place) (more string, said bool) {
	if !twofold(v) {
		return "", false
	}
	n := 0
	for _, d := range m.rows {
		if !twofold(layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))) {
			continue
		}
		if n++; n == 1 && m.t.View.PlaceAt(d.r, f.C) != at {
			return "", true
		}
	}
	if n < 2 {
		return "", false
	}
	return fmt.Sprintf(", nor of %d more cells of the column", n-1), false
}

// twofold reports a number that can be read in two ways.
func twofold(v layout.Value) bool { return strings.HasPrefix(v.Doubt, "can be") }

func doubtOf(v layout.Value) string {
	switch {
	case v.Doubt != "":
		return v.Doubt
	case v.State == layout.Dated:
		return "a date or time"
	case v.State == layout.Ditto:
		return "nothing above to repeat"
	}
	return "not understood"
}

func (m *maker) hint(v layout.Value) string {
	switch {
	case twofold(v):
		return "say how fractions are written with --sheet-decimal , or --sheet-decimal ."
	case v.Doubt == layout.MoreThanOne:
		return oneNumber
	}
	return "correct the cell, or leave it empty"
}

// convertValue applies a unit; degrees Fahrenheit are the one scale with an offset.
func convertValue(v, factor float64, u words.Unit) float64 {
	if u.Kind == words.TempF {
		return (v - 32) / 1.8
	}
	return v * factor
}

// limit looks for the detection limit or meter range that a note on the sheet gives.
func (m *maker) limit(r *jartest.Reading, f field, at note.Place, text string) {
	if r.State == jartest.Above && f.Head.Top > 0 {
		s, _ := scaleOf(f.key, f.Head.Unit)
		r.Value, r.Limit = f.Head.Top*max(s, 1), true
		m.b.say(note.Info, "limit-found", f.Place, "%q is read as above %s, from the heading %q", text, trimFloat(f.Head.Top), f.Head.Text)
		return
	}
	kind := factLimit
	if r.State == jartest.Above {
		kind = factOverLimit
	}
	for _, x := range m.b.facts {
		if x.kind != kind || x.g != m.t.Area() || x.key != "" && x.key != f.key {
			continue
		}
		if s, ok := scaleOf(f.key, x.unit); ok && x.unit.Known() {
			if x.key == "" && !m.onlyUnlimited(f) {
				continue
			}
			r.Value, r.Limit = x.value*s, true
			m.b.say(note.Info, "limit-found", x.at, "%q at %s is read with the limit %s %s given at %s", text, at.Cell, trimFloat(x.value), x.unit.Name, x.at.Cell)
			return
		}
	}
	what := "below a limit that is not stated"
	if r.State == jartest.Above {
		what = "above a limit that is not stated"
	}
	m.b.say(note.Caution, "no-limit", at, "%q is %s", text, what).do(m.b, `write the limit, such as "<0.5" or ">1000"`)
}

// onlyUnlimited reports that no other reading column has a limit word that the
// same note could be about.
func (m *maker) onlyUnlimited(f field) bool {
	for _, o := range m.fs {
		if o.role != asReading || o.key == f.key {
			continue
		}
		for _, d := range m.rows {
			v := layout.ParseValue(m.t.View.At(d.r, o.C), m.b.dec(m.t))
			if (v.State == layout.Below || v.State == layout.Above) && !v.Limit {
				a, okA := scaleOf(o.key, o.Head.Unit)
				c, okC := scaleOf(f.key, f.Head.Unit)
				if okA && okC && a == c && o.Head.Unit.Kind == f.Head.Unit.Kind && v.State == layout.Below {
					return false
				}
			}
		}
	}
	return true
}

// fractions reports a removal column written as shares of one, not in percent.
func (m *maker) fractions(i int) bool {
	f := m.fs[i]
	top, n := 0.0, 0
	for _, r := range m.t.Rows {
		v := layout.ParseValue(m.t.View.At(r, f.C), m.b.dec(m.t))
		if !v.OK() {
			continue
		}
		if v.Percent || v.Unit.Kind == words.Percent {
			return false
		}
		top, n = math.Max(top, v.Num), n+1
	}
	if n < 2 || top > 1 || top == 0 {
		return false
	}
	m.b.say(note.Caution, "removal-fractions", f.Place, "the removals in column %q are all 1 or less and are taken for shares of one, not percent", f.Head.Text).do(m.b, "format the column as percent, or write percent")
	return true
}

// factor gives what a reading must be multiplied by, and speaks up about a unit
// that is missing or strange.
func (m *maker) factor(f field, u words.Unit, at note.Place, v layout.Value) (float64, bool) {
	b := m.b
	info := f.key.Info()
	if path := f.Head.Path; path > 0 && f.key == jartest.UV254 && (!u.Known() || u.Kind == words.NoUnit || u.Name == "abs") {
		b.say(note.Info, "light-path", f.Place, "column %q was read through %s cm of water and is taken for each cm", f.Head.Text, trimFloat(path))
		return 1 / path, true
	}
	if s, ok := scaleOf(f.key, u); ok {
		m.tellScale(f, u)
		return s, true
	}
	if !u.Known() || u.Kind == words.NoUnit || u.Kind == words.Minutes {
		return m.assumedUnit(f, v), true
	}
	if f.key == jartest.SettledVolume && u.Kind == words.Volume {
		if vol, ok := m.jarVolume(); ok {
			return u.Factor * 1000 / vol, true
		}
		b.say(note.Caution, "unit-assumed", f.Place, "column %q gives a volume; a sample of 1 L is assumed, so mL counts as mL/L", f.Head.Text).do(b, `state the jar volume with --jar-volume "1 L"`)
		return u.Factor * 1000, true
	}
	if u == f.Head.Unit {
		at = f.Place // said once for the column
	}
	b.say(note.Error, "wrong-unit", at, "%s in %q cannot be read (%s is looked for)", info.Label, u.Name, orWord(info.Unit, "no unit")).do(b, `correct the unit, or say what the column is with --column "%s=…"`, f.header())
	return 0, false
}

// otherTurbidity reports a unit of turbidity by another meter or another name than NTU, which counts as NTU.
func otherTurbidity(u words.Unit) bool { return u.Kind == words.FNU || u.Name == "FTU" }

// tellScale says what a reading's unit counts as, where it is not that of its kind.
func (m *maker) tellScale(f field, u words.Unit) {
	b, own := m.b, f.key.Info().Unit
	switch {
	case otherTurbidity(u):
		b.say(note.Info, "fnu", f.Place, "%s counts as NTU", u.Name)
	case u.Kind == words.Degree && f.key == jartest.Turbidity: // of kaolin or of polystyrene, by the age of the method
		b.say(note.Caution, "degrees", f.Place, "degrees of turbidity in column %q are not NTU; they are kept as they stand, and count as %s only roughly", f.Head.Text, own).
			do(b, "judge them by a target in degrees")
	case u.Kind == words.Degree:
		b.say(note.Info, "degrees", f.Place, "degrees in column %q count as %s", f.Head.Text, own)
	}
	if u.As == "po4" {
		b.say(note.Info, "as-phosphorus", f.Place, "column %q is given as PO4 and was turned into P (times 0.3261)", f.Head.Text)
	}
}

// assumedUnit gives the factor of a reading without a unit, and says which is assumed.
func (m *maker) assumedUnit(f field, v layout.Value) float64 {
	b, info := m.b, f.key.Info()
	switch {
	case info.Unit == "" || v.Percent:
		return 1
	case f.key == jartest.UV254 && m.topOf(f) > 1 && perMetre.MatchString(words.Fold(f.Head.Text)):
		b.say(note.Info, "unit-assumed", f.Place, "column %q is in 1/m, the unit of a spectral absorption coefficient", f.Head.Text)
		return 0.01
	case f.key == jartest.UV254 && m.topOf(f) > 3:
		b.say(note.Caution, "unit-assumed", f.Place, "column %q has no unit; 1/m is assumed, because the values are too large for 1/cm", f.Head.Text).do(b, `state it with --column "%s=uv254 1/cm"`, f.header())
		return 0.01
	}
	level := note.Caution
	if f.key == jartest.TemperatureKey || info.Unit == "%" {
		level = note.Info
	}
	b.say(level, "unit-assumed", f.Place, "column %q has no unit; %s is assumed", f.Head.Text, info.Unit)
	return 1
}

// perMetre names the spectral absorption coefficient, which DIN 38404-3 gives in 1/m (from memory).
var perMetre = words.NewPattern(`\bsak ?254|\bsak\b|\bspektrale[rn]? absorptionskoeffizient`)

func orWord(s, w string) string {
	if s == "" {
		return w
	}
	return s
}

func (m *maker) topOf(f field) float64 {
	top := 0.0
	for _, r := range m.t.Rows {
		if v := layout.ParseValue(m.t.View.At(r, f.C), m.b.dec(m.t)); v.OK() {
			top = math.Max(top, v.Num)
		}
	}
	return top
}
