package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// maker turns the rows of one table into one series.
type maker struct {
	b    *bench
	t    *table
	fs   []field
	rows []dataRow
	part part
	s    *jartest.Series
	dose []int // the fields that hold the doses of s.Chemicals, in order
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
		f := m.fs[i]
		c := jartest.Chemical{Name: m.chemicalName(f)}
		c.Basis = m.basis(f)
		m.s.Chemicals = append(m.s.Chemicals, c)
	}
	seen := map[string]int{}
	for i := range m.s.Chemicals {
		c := &m.s.Chemicals[i]
		if seen[c.Name]++; seen[c.Name] > 1 {
			if t := m.fs[m.dose[i]].head.text; t != "" {
				c.Name = t
			}
		}
	}
}

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
	m.b.say(note.Caution, "adjuster", f.place, "column %q gives volumes of an acid or alkali whose strength is not stated; it was left out", f.head.text).do(m.b, "give its dose in mg/L if it is to count")
	return true
}

// chemicalName finds the name of a dose column's chemical: the heading, the
// chemical column, the heading of the part, lines above, the sheet, the file.
func (m *maker) chemicalName(f field) string {
	b := m.b
	if f.chem != "" {
		if plainPAC(f.head.text) {
			return m.pac(f.place)
		}
		return qualified(f)
	}
	if b.opt.Chemical != "" && len(m.dose) == 1 {
		return canonChem(b.opt.Chemical)
	}
	if readHeading(m.part.name).chem != "" {
		return readHeading(m.part.name).chem
	}
	if s := m.columnChemical(f); s != "" {
		if plainPAC(s) {
			return m.pac(f.place)
		}
		return canonChem(s)
	}
	if h := readHeading(m.rows[0].section); h.chem != "" {
		return h.chem
	}
	if len(m.rows[0].test) > 0 && allSame(m.rows) {
		if h := readHeading(m.rows[0].test); h.chem != "" {
			return h.chem
		}
	}
	if x, ok := b.look(m.t, factChemical, ""); ok {
		if plainPAC(x.text) {
			return m.pac(x.at)
		}
		b.say(note.Info, "chemical", x.at, "the chemical is taken to be %s, from %q", x.chem, clip(x.text))
		return x.chem
	}
	for _, s := range [...]string{m.t.v.Name, m.t.v.File} {
		if h := readHeading(strings.NewReplacer("_", " ", "-", " ", ".", " ").Replace(s)); h.chem != "" {
			b.say(note.Info, "chemical", f.place, "the chemical is taken to be %s, from the name %q", h.chem, s)
			return h.chem
		}
	}
	if f.head.metal != "" {
		return map[string]string{"Al": "aluminium coagulant", "Fe": "ferric"}[f.head.metal]
	}
	b.say(note.Caution, "chemical-not-named", f.place, "nothing names the chemical; it is called coagulant here").do(b, `name it with --chemical NAME`)
	return "coagulant"
}

// columnChemical gives the name in the column of chemicals that stands nearest
// before a dose column, or the only one there is.
func (m *maker) columnChemical(f field) string {
	best, n := -1, 0
	for i, o := range m.fs {
		if o.role == asChemical {
			n++
			if o.c < f.c || best < 0 {
				best = i
			}
		}
	}
	if best < 0 {
		return ""
	}
	for _, d := range m.rows {
		if s := m.b.label(m.t, d.r, m.fs[best].c); s != "" && !words.Means(s, "value:missing") && !words.Means(s, "value:zero") && !words.Means(s, "label:control") && strings.Trim(s, "-– ") != "" {
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
	if strings.HasSuffix(f.chem, "polymer") && f.head.index != "" {
		return f.chem + " " + strings.ToUpper(f.head.index)
	}
	if f.chem == "bentonite" && strings.Contains(words.Fold(f.head.text), "clay") {
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
	for _, x := range m.b.facts {
		if x.kind == factChemical && x.chem == carbon && x.g == m.t.sheetOf() {
			m.b.say(note.Info, "pac", at, `"PAC" is taken for powdered activated carbon, from %q`, clip(x.text))
			return carbon
		}
	}
	m.b.say(note.Info, "pac", at, `"PAC" is taken for polyaluminium chloride, not for powdered activated carbon`).do(m.b, `if it is carbon, use --chemical "powdered activated carbon"`)
	return "PACl"
}

func clip(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

// basis reads what a dose counts, from the option, the heading or the name.
func (m *maker) basis(f field) quantity.Basis {
	b := m.b
	if b.opt.Basis != "" {
		return b.opt.Basis
	}
	as := f.head.unit.As
	if as == "" {
		if _, said, ok := strings.Cut(words.Fold(f.head.text), " as "); ok {
			as, _ = words.As(said)
		}
	}
	if as == "" && f.head.metal != "" && f.head.chem == "" {
		as = strings.ToLower(f.head.metal)
		b.say(note.Info, "basis", f.place, "the dose in column %q is taken to be as %s", f.head.text, f.head.metal)
	}
	if as == "" && f.head.unit.Kind == words.Molar && f.head.metal != "" {
		as = strings.ToLower(f.head.metal)
	}
	if as == "" {
		if f.head.product {
			as = "product"
		} else if x, ok := b.look(m.t, factBasis, ""); ok {
			as = x.text
		}
	}
	if as == "" {
		return quantity.NotStated
	}
	basis, err := quantity.ParseBasis(as)
	if err != nil {
		b.say(note.Caution, "basis-unknown", f.place, "the basis %q in column %q is not known; the dose is kept as it stands", as, f.head.text).do(b, `state it with --basis, such as --basis "as product"`)
		return quantity.NotStated
	}
	return basis
}

// jars reads doses and readings row by row.
func (m *maker) jars() {
	b := m.b
	lastDose := make([]value, len(m.dose))
	units := make([]doseUnit, len(m.dose))
	for k, i := range m.dose {
		if m.headingUnderstood(m.fs[i]) {
			units[k] = m.doseUnit(k, m.fs[i])
		}
	}
	m.fs = slices.Clone(m.fs)
	for i, f := range m.fs {
		if f.role == asReading && !m.headingUnderstood(f) {
			m.fs[i].role = asIgnored
		}
	}
	numbered := map[string]int{}
	for n, d := range m.rows {
		j := jartest.Jar{Label: d.label, Readings: map[jartest.Key]jartest.Reading{}, At: d.labelAt}
		whole := true
		lost := false
		for k, i := range m.dose {
			v := m.doseValue(n, i, &lastDose[k])
			jd, ok := m.convert(d, m.fs[i], units[k], v)
			whole = whole && ok
			if !ok && !v.blank && v.state != vMissing {
				lost = true
			}
			jd = m.volume(d, i, jd)
			j.Doses = append(j.Doses, jd)
		}
		m.readings(d, &j)
		m.ownWater(d, &j)
		m.undiluted(d, &j)
		if lost {
			continue
		}
		if d.rawWater && (!whole || m.dashDose(d)) {
			for k, x := range j.Readings {
				m.s.Raw[k] = x
			}
			b.say(note.Info, "raw-water", d.labelAt, "the row %q is the raw water", d.label)
			continue
		}
		if !whole {
			if len(j.Readings) == 0 || !hasReading(j) {
				continue
			}
			b.say(note.Caution, "no-dose", d.labelAt, "the jar at %s has readings but no dose and was left out", d.labelAt.Cell).do(b, "write its dose, or 0 for a jar without chemical")
			continue
		}
		j.Control = len(j.Doses) > 0
		for _, x := range j.Doses {
			j.Control = j.Control && x.Concentration == 0
		}
		if d.control && !j.Control && len(m.dose) == 1 && !d.rawWater {
			b.say(note.Caution, "dosed-control", d.labelAt, "the jar %q is labelled as a control but has a dose", d.label)
		}
		if d.rawWater && j.Control {
			for k, x := range j.Readings {
				m.s.Raw[k] = x
			}
		}
		if j.Label == "" {
			j.Label = m.doseLabel(j)
		}
		if m.voided(d, &j) {
			continue
		}
		if m.again(d, j) {
			continue
		}
		numbered[j.Label]++
		m.s.Jars = append(m.s.Jars, j)
	}
	m.labels(numbered)
}

// again joins a row that repeats the jar of the row above, same label and same
// doses, as repeat readings of that jar.
func (m *maker) again(d dataRow, j jartest.Jar) bool {
	n := len(m.s.Jars)
	if n == 0 || !d.hasLabel || m.s.Jars[n-1].Label != j.Label {
		return false
	}
	last := &m.s.Jars[n-1]
	for k := range j.Doses {
		if last.Doses[k].Concentration != j.Doses[k].Concentration {
			return false
		}
	}
	for k, r := range j.Readings {
		if had, ok := last.Readings[k]; ok {
			last.Readings[k] = together(had, r)
		} else {
			last.Readings[k] = r
		}
	}
	if m.repeatsExpected() {
		m.b.say(note.Info, "repeat-rows", m.t.v.placeAt(m.t.head, m.t.c0), "rows with the same jar label and dose are repeat readings of one jar")
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
		v := parseValue(m.t.v.at(d.r, m.fs[i].c), m.b.dec(m.t))
		if v.ok() {
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
func (m *maker) doseValue(n, i int, last *value) value {
	b, d, f := m.b, m.rows[n], m.fs[i]
	x := m.t.v.at(d.r, f.c)
	at := m.t.v.placeAt(d.r, f.c)
	v := parseValue(x, b.dec(m.t))
	if own, ok := m.ownDoseValue(d, f); ok {
		v = own
	}
	if v.state == vUnclear {
		if amount, ok := b.doseText(x.Text, b.dec(m.t)); ok {
			v = value{state: vNumber, num: float64(amount.dose), unit: words.Unit{Kind: words.Conc, Factor: 1, Name: "mg/L"}}
		}
	}
	switch {
	case v.state == vZero:
		v = value{state: vNumber}
	case v.state == vDitto && last.ok():
		v = *last
	case v.blank && (d.control && !d.rawWater):
		v = value{state: vNumber}
		b.say(note.Info, "control", d.labelAt, "the jar %q has no dose written and is taken as the control", d.label)
	case v.blank && last.ok() && m.sameAsAbove(n, i):
		v = *last
		b.say(note.Info, "dose-repeated", f.place, "a blank dose in column %q means the same as above, because rows repeat a jar", f.head.text)
	case v.dash && d.control && !d.rawWater:
		v = value{state: vNumber}
		b.say(note.Info, "dash-zero", at, `"-" in the control jar's dose is taken as 0`)
	case v.dash && !d.rawWater:
		if x, ok := b.look(m.t, factDash, ""); ok && x.value == 0 {
			v = value{state: vNumber}
		} else {
			b.say(note.Caution, "dash-dose", at, `"-" as a dose can mean nothing dosed or not known; the jar was left out`).do(b, "write 0 for a jar without chemical")
		}
	}
	if v.ok() && !v.blank {
		*last = v
	}
	v.text = x.Text
	return v
}

// sameAsAbove reports that a blank dose cell belongs to the filled one above: it is
// part of a merged block, or the rows are numbered repeats.
func (m *maker) sameAsAbove(n, i int) bool {
	c := m.fs[i].c
	if s, ok := m.t.v.merged(m.rows[n].r, c); ok && s.R0 < m.rows[n].r {
		return true
	}
	for _, f := range m.fs {
		if f.role != asReplicate {
			continue
		}
		now := parseValue(m.t.v.at(m.rows[n].r, f.c), m.b.dec(m.t))
		if n > 0 {
			was := parseValue(m.t.v.at(m.rows[n-1].r, f.c), m.b.dec(m.t))
			if now.ok() && was.ok() && now.num > was.num {
				return true
			}
			if now.text != "" && now.text != was.text && !now.ok() {
				return true
			}
		}
	}
	return n > 0 && m.rows[n].hasLabel && m.rows[n].label == m.rows[n-1].label
}

// readings reads the reading columns of one row.
func (m *maker) readings(d dataRow, j *jartest.Jar) {
	b := m.b
	for i, f := range m.fs {
		switch f.role {
		case asReading:
			r, ok := m.reading(d, i)
			if !ok {
				continue
			}
			switch {
			case f.head.timed:
				r.Minutes = f.head.minutes
			case d.minutes > 0:
				r.Minutes = d.minutes
			}
			m.earlier(d, i, j)
			had, twice := j.Readings[f.key]
			switch {
			case !twice:
				j.Readings[f.key] = r
			case f.rep:
				j.Readings[f.key] = together(had, r)
			}
		case asSetting:
			x := m.t.v.at(d.r, f.c)
			v := parseValue(x, b.dec(m.t))
			if v.ok() {
				if j.Settings == nil {
					j.Settings = map[string]float64{}
				}
				if v.num < 0 || v.num > 14 {
					b.say(note.Error, "impossible-value", m.t.v.placeAt(d.r, f.c), "pH %s cannot be", trimFloat(v.num)).do(b, "correct the cell")
					continue
				}
				j.Settings[string(f.key)] = v.num
			}
		}
	}
	for _, f := range m.fs {
		if f.of < 0 || f.role != asSD && f.role != asN {
			continue
		}
		key := m.fs[f.of].key
		r, ok := j.Readings[key]
		v := parseValue(m.t.v.at(d.r, f.c), b.dec(m.t))
		if !ok || !v.ok() || r.State != jartest.Number {
			continue
		}
		if f.role == asSD {
			r.SD = v.num * m.scale(m.fs[f.of])
		} else {
			r.N = int(v.num)
		}
		j.Readings[key] = r
	}
}

// earlier keeps what a reading was at earlier settling times, under names of their own.
func (m *maker) earlier(d dataRow, i int, j *jartest.Jar) {
	for _, e := range d.earlier {
		at := d
		at.r = e.r
		if r, ok := m.reading(at, i); ok && m.fs[i].key.Known() {
			r.Minutes = e.minutes
			j.Readings[m.fs[i].key+jartest.Key("_"+trimFloat(e.minutes)+"_min")] = r
		}
	}
}

// ownWater keeps what the row says of the water of its jar, and its texts.
func (m *maker) ownWater(d dataRow, j *jartest.Jar) {
	for _, f := range m.fs {
		at := m.t.v.placeAt(d.r, f.c)
		switch key := f.head.reading; {
		case f.role == asBefore && key.Known():
			v := parseValue(m.t.v.at(d.r, f.c), m.b.dec(m.t))
			s, ok := scaleOf(key, f.head.unit)
			if !ok {
				s = 1
			}
			if v.ok() {
				if j.Raw == nil {
					j.Raw = map[jartest.Key]jartest.Reading{}
				}
				j.Raw[key] = jartest.Reading{State: jartest.Number, Value: round12(convertValue(v.num, s, f.head.unit)), Unit: key.Info().Unit, At: at}
			}
		case f.role == asNote && !f.head.operator && !f.head.clock:
			if text := m.b.label(m.t, d.r, f.c); text != "" {
				j.Said = append(j.Said, jartest.Fact{Name: strings.ToLower(f.head.text), Value: text, At: at})
			}
		}
	}
}

// together joins repeat readings of one jar; the value is the mean of the numbers.
func together(a, b jartest.Reading) jartest.Reading {
	list := a.Replicates
	if len(list) == 0 {
		list = []jartest.Reading{a}
	}
	list = append(list, b)
	first := a
	if a.State == jartest.Missing {
		first = b
	}
	out := jartest.Reading{Unit: first.Unit, At: first.At, Text: first.Text, Replicates: list}
	sum, n := 0.0, 0
	for _, r := range list {
		switch {
		case r.State == jartest.Number:
			sum, n = sum+r.Value, n+1
		case r.State != jartest.Missing && n == 0:
			out.State, out.Value, out.Limit = r.State, r.Value, r.Limit
		}
	}
	if n > 0 {
		out.State, out.Value, out.Limit, out.N = jartest.Number, round12(sum/float64(n)), false, n
	}
	return out
}

// scale turns a value in a column's unit into the unit of its kind.
func (m *maker) scale(f field) float64 {
	s, _ := scaleOf(f.key, f.head.unit)
	return s
}

// reading reads one cell. It gives false where the cell is blank in a column that
// is not a reading of this row.
func (m *maker) reading(d dataRow, i int) (jartest.Reading, bool) {
	b, f := m.b, m.fs[i]
	x := m.t.v.at(d.r, f.c)
	at := m.t.v.placeAt(d.r, f.c)
	if x.Kind == empty && !x.Hollow {
		if s, ok := m.t.v.merged(d.r, f.c); ok && s.C0 == s.C1 && s.R1 > s.R0 {
			b.say(note.Caution, "merged-reading", m.t.v.placeAt(s.R0, s.C0), "a reading is merged over several jars; it was taken for the first only").do(b, "write the reading into each jar")
		}
	}
	v := parseValue(x, b.dec(m.t))
	info := f.key.Info()
	r := jartest.Reading{Unit: info.Unit, At: at, Text: strings.TrimSpace(x.Text)}
	u := f.head.unit
	if v.unit.Known() && v.unit.Kind != words.NoUnit {
		u = v.unit
	}
	if !f.key.Known() {
		r.Unit = u.Name
		if x.Clock() || v.state == vDate && f.head.unit.Kind == words.Clock || v.state == vDate && v.num > 0 && v.num < 1 {
			r.State, r.Value, r.Unit = jartest.Number, round12(v.num*86400), "s"
			return r, true
		}
	}
	if f.key == jartest.Phosphate && u.Kind == words.Conc && u.As == "" {
		b.say(note.Info, "as-phosphorus-assumed", f.place, "column %q does not say of what; it is read as P", f.head.text).do(b, `if it counts PO4, write "mg/L as PO4"`)
	}
	factor := 1.0
	if f.key.Known() {
		var ok bool
		if factor, ok = m.factor(f, u, at, v); !ok {
			return r, false
		}
	}
	switch v.state {
	case vNumber:
		r.State, r.Value, r.SD, r.N = jartest.Number, round12(convertValue(v.num, factor, u)), round12(v.sd*factor), v.n
		for _, one := range v.list {
			x := jartest.Num(round12(convertValue(one, factor, u)), r.Unit)
			x.At = at
			r.Replicates = append(r.Replicates, x)
		}
		if len(v.list) > 0 {
			r.N = len(v.list)
			b.say(note.Info, "replicates-in-cell", at, "%q is taken for %d repeat readings", x.Text, len(v.list))
		}
		if v.approx {
			b.say(note.Caution, "approximate", at, "%q is not exact; it is read as %s", x.Text, trimFloat(v.num))
		}
		if v.doubt != "" {
			b.say(note.Caution, "marked-value", at, "%q %s; it is read as %s", x.Text, v.doubt, trimFloat(v.num))
		}
		if f.key == jartest.TurbidityRemoval || f.key == jartest.TSSRemoval || f.head.removal {
			if m.fractions(i) && !v.percent {
				r.Value = round12(r.Value * 100)
			}
		}
		if v.num == 999 || v.num == 9999 || v.num == 99999 {
			b.say(note.Caution, "code-for-reading", at, "%s looks like the sign of an instrument for no reading; it was taken as it stands", trimFloat(v.num)).do(b, "clear the cell if it is one")
		}
		if r.Value < info.Least || r.Value > info.Most {
			b.say(note.Error, "impossible-value", at, "%s of %s %s cannot be (%s to %s)", info.Label, trimFloat(r.Value), info.Unit, trimFloat(info.Least), trimFloat(info.Most)).do(b, "correct the cell")
			return jartest.Reading{Unit: r.Unit, At: at, Text: r.Text}, true
		}
	case vBelow, vAbove:
		r.State, r.Value, r.Limit = jartest.Below, round12(v.num*factor), v.limit
		if v.state == vAbove {
			r.State = jartest.Above
		}
		if !v.limit {
			m.limit(&r, f, at, x.Text)
		}
	case vZero:
		if f.key.Known() {
			b.say(note.Caution, "word-for-reading", at, "%q stands where a number was looked for; no reading was taken", clip(x.Text))
		}
	case vUnclear, vDate, vDitto:
		level := note.Caution
		if !f.key.Known() {
			level = note.Info
		} else if strings.HasPrefix(v.doubt, "can be") {
			level = note.Error // two readings of one number: ask
		}
		b.say(level, "unclear-reading", at, "%q is not a reading (%s); no value was taken", clip(x.Text), doubtOf(v)).do(b, "%s", m.hint(v))
	case vFault:
		b.say(note.Caution, "error-value", at, "the cell holds the error %s; no value was taken", x.Text)
	case vHollow:
		level := note.Error
		if f.head.removal || !f.key.Known() {
			level = note.Caution
		}
		b.say(level, "formula-without-value", at, "the formula has no stored value").do(b, "open the file in a spreadsheet program, save it and run this again")
	}
	return r, true
}

func doubtOf(v value) string {
	switch {
	case v.doubt != "":
		return v.doubt
	case v.state == vDate:
		return "a date or time"
	case v.state == vDitto:
		return "nothing above to repeat"
	}
	return "not understood"
}

func (m *maker) hint(v value) string {
	if strings.HasPrefix(v.doubt, "can be") {
		return "say how fractions are written with --sheet-decimal , or --sheet-decimal ."
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
	if r.State == jartest.Above && f.head.top > 0 {
		s, _ := scaleOf(f.key, f.head.unit)
		r.Value, r.Limit = f.head.top*max(s, 1), true
		m.b.say(note.Info, "limit-found", f.place, "%q is read as above %s, from the heading %q", text, trimFloat(f.head.top), f.head.text)
		return
	}
	kind := factLimit
	if r.State == jartest.Above {
		kind = factOverLimit
	}
	for _, x := range m.b.facts {
		if x.kind != kind || x.g != m.t.sheetOf() || x.key != "" && x.key != f.key {
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
			v := parseValue(m.t.v.at(d.r, o.c), m.b.dec(m.t))
			if (v.state == vBelow || v.state == vAbove) && !v.limit {
				a, okA := scaleOf(o.key, o.head.unit)
				c, okC := scaleOf(f.key, f.head.unit)
				if okA && okC && a == c && o.head.unit.Kind == f.head.unit.Kind && v.state == vBelow {
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
	for _, r := range m.t.rows {
		v := parseValue(m.t.v.at(r, f.c), m.b.dec(m.t))
		if !v.ok() {
			continue
		}
		if v.percent || v.unit.Kind == words.Percent {
			return false
		}
		top, n = math.Max(top, v.num), n+1
	}
	if n < 2 || top > 1 || top == 0 {
		return false
	}
	m.b.say(note.Caution, "removal-fractions", f.place, "the removals in column %q are all 1 or less and are taken for shares of one, not percent", f.head.text).do(m.b, "format the column as percent, or write percent")
	return true
}

// factor gives what a reading must be multiplied by, and speaks up about a unit
// that is missing or strange.
func (m *maker) factor(f field, u words.Unit, at note.Place, v value) (float64, bool) {
	b := m.b
	info := f.key.Info()
	if s, ok := scaleOf(f.key, u); ok {
		if u.Kind == words.FNU {
			b.say(note.Info, "fnu", f.place, "FNU counts as NTU")
		}
		if u.Kind == words.Degree {
			b.say(note.Info, "degrees", f.place, "degrees in column %q count as %s", f.head.text, info.Unit)
		}
		if u.As == "po4" {
			b.say(note.Info, "as-phosphorus", f.place, "column %q is given as PO4 and was turned into P (times 0.3261)", f.head.text)
		}
		return s, true
	}
	if !u.Known() || u.Kind == words.NoUnit || u.Kind == words.Minutes {
		if info.Unit == "" || v.percent {
			return 1, true
		}
		if f.key == jartest.UV254 && m.topOf(f) > 3 {
			b.say(note.Caution, "unit-assumed", f.place, "column %q has no unit; 1/m is assumed, because the values are too large for 1/cm", f.head.text).do(b, `state it with --column "%s=uv254 1/cm"`, f.head.text)
			return 0.01, true
		}
		level := note.Caution
		if f.key == jartest.TemperatureKey || info.Unit == "%" {
			level = note.Info
		}
		b.say(level, "unit-assumed", f.place, "column %q has no unit; %s is assumed", f.head.text, info.Unit)
		return 1, true
	}
	if f.key == jartest.SettledVolume && u.Kind == words.Volume {
		if vol, ok := m.jarVolume(); ok {
			return u.Factor * 1000 / vol, true
		}
		b.say(note.Caution, "unit-assumed", f.place, "column %q gives a volume; a sample of 1 L is assumed, so mL counts as mL/L", f.head.text).do(b, `state the jar volume with --jar-volume "1 L"`)
		return u.Factor * 1000, true
	}
	if u == f.head.unit {
		at = f.place // said once for the column
	}
	b.say(note.Error, "wrong-unit", at, "%s in %q cannot be read (%s is looked for)", info.Label, u.Name, orWord(info.Unit, "no unit")).do(b, `correct the unit, or say what the column is with --column "%s=…"`, f.head.text)
	return 0, false
}

func orWord(s, w string) string {
	if s == "" {
		return w
	}
	return s
}

func (m *maker) topOf(f field) float64 {
	top := 0.0
	for _, r := range m.t.rows {
		if v := parseValue(m.t.v.at(r, f.c), m.b.dec(m.t)); v.ok() {
			top = math.Max(top, v.num)
		}
	}
	return top
}

// scaleOf gives the factor from a unit to the unit of a kind of reading.
func scaleOf(k jartest.Key, u words.Unit) (float64, bool) {
	switch k.Info().Unit {
	case "NTU":
		return u.Factor, u.Kind == words.Turbidity || u.Kind == words.FNU || u.Kind == words.Degree
	case "%":
		return 1, u.Kind == words.Percent
	case "mg/L":
		if mass, ok := molarMass[strings.TrimPrefix(string(k), "residual_")]; ok && u.Kind == words.Molar {
			return u.Factor * mass, true
		}
		return u.Factor, u.Kind == words.Conc
	case "mg/L as P":
		switch {
		case u.Kind == words.Conc && strings.HasPrefix(u.As, "po4") && u.As != "po4-p":
			return u.Factor * 0.32614, true // 30.974/94.971, standard atomic weights
		case u.Kind == words.Conc && u.As == "p2o5":
			return u.Factor * 0.43642, true
		}
		return u.Factor, u.Kind == words.Conc
	case "Pt-Co":
		return 1, u.Kind == words.Colour || u.Kind == words.Degree || u.Kind == words.Conc && u.Factor == 1
	case "1/cm":
		return u.Factor, u.Kind == words.PerCm
	case "mg/L CaCO3":
		switch u.Kind {
		case words.Conc:
			if u.As == "hco3" {
				return u.Factor * quantity.CaCO3PerEquivalent / 61.017, true // g/mol of HCO3 (IUPAC standard atomic weights)
			}
			return u.Factor, u.As == "" || u.As == "caco3"
		case words.Equiv:
			return quantity.CaCO3PerEquivalent * u.Factor, true
		case words.Molar:
			return quantity.CaCO3PerEquivalent * u.Factor, true // alkalinity in mmol/L counts charges
		case words.Hardness:
			return u.Factor, true
		}
	case "C":
		return 1, u.Kind == words.Temp || u.Kind == words.TempF
	case "uS/cm":
		return u.Factor, u.Kind == words.Cond
	case "mL/L":
		if u.Kind == words.Percent {
			return 10 * u.Factor, true // by volume
		}
		return u.Factor, u.Kind == words.Volper
	case "mV":
		return 1, u.Kind == words.Potential
	case "":
		return 1, u.Kind == words.NoUnit
	}
	return 0, false
}
