package sheet

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

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
		if x.kind != kind {
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

// agree gives the one thing that several facts say. Facts that name the chemical
// asked for stand above those that name none.
func (b *bench) agree(kind factKind, xs []fact, chem string) (fact, bool) {
	if chem != "" {
		var own []fact
		for _, x := range xs {
			if x.chem == chem {
				own = append(own, x)
			}
		}
		if len(own) > 0 {
			xs = own
		}
	}
	if kind == factChemical {
		var keyed []fact
		for _, x := range xs {
			if x.keyed {
				keyed = append(keyed, x)
			}
		}
		if len(keyed) > 0 {
			xs = keyed
		}
	}
	for _, x := range xs[1:] {
		same := x.value == xs[0].value || math.Abs(x.value-xs[0].value) <= 1e-9*math.Abs(x.value)
		switch kind {
		case factChemical:
			same = x.chem == xs[0].chem
		case factNeat:
			same = true
		case factBasis, factName, factDate:
			same = x.text == xs[0].text
		}
		if !same {
			switch kind {
			case factName:
				return xs[0], true // the first line names the test, others the place
			case factDate:
				return fact{}, false // sampled on one day, tested on another
			}
			if kind != factChemical {
				b.say(note.Caution, "facts-disagree", x.at, "%q and %q (%s) disagree; neither was taken", clip(xs[0].text), clip(x.text), xs[0].at.Cell).do(b, "state the right one on the command line")
			}
			return fact{}, false
		}
	}
	return xs[0], true
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
	switch {
	case owner == t:
		return 0, true
	case owner == nil:
		return 1, true
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
	count := 0
	for _, t := range b.tables {
		if t.Area() != x.g {
			continue
		}
		count++
		s := t.Box()
		lap := x.c >= s.C0-1 && x.c <= s.C1+1
		switch {
		case x.r >= s.R0 && x.r <= s.R1:
			if beside == nil || gap(x.c, s) < gap(x.c, beside.Box()) {
				beside = t
			}
		case s.R0 > x.r:
			if below == nil || s.R0 < below.Box().R0 || s.R0 == below.Box().R0 && lap {
				if below == nil || lap || s.R0 < below.Box().R0 {
					below = t
				}
			}
		case s.R1 < x.r:
			if above == nil || s.R1 > above.Box().R1 || s.R1 == above.Box().R1 && lap {
				above = t
			}
		}
	}
	switch {
	case beside != nil:
		return beside
	case below != nil && above != nil && b.tail(x, above, below):
		return above
	case below != nil:
		return below
	}
	return above
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

// near gives the facts of a kind that hold for a table, its own before those of the sheet.
func (b *bench) near(t *layout.Table, kind factKind) []fact {
	var own, sheet []fact
	for _, x := range b.facts {
		if x.kind != kind {
			continue
		}
		switch rank, ok := b.rank(t, x); {
		case ok && rank == 0:
			own = append(own, x)
		case ok && rank == 1:
			sheet = append(sheet, x)
		}
	}
	return append(own, sheet...)
}

// rawWater books what the sheet says of the water before treatment.
func (m *maker) rawWater() {
	b := m.b
	for _, x := range b.near(m.t, factRaw) {
		if _, had := m.s.Raw[x.key]; had || !x.key.Known() {
			continue
		}
		f, ok := scaleOf(x.key, x.unit)
		if !ok {
			if x.unit.Known() && x.unit.Kind != words.NoUnit {
				continue
			}
			f = 1
		}
		info := x.key.Info()
		v := round12(convertValue(x.value, f, x.unit))
		if v < info.Least || v > info.Most {
			b.say(note.Error, "impossible-value", x.at, "%s of %s %s cannot be", info.Label, trimFloat(v), info.Unit).do(b, "correct the cell")
			continue
		}
		r := jartest.Reading{State: jartest.Number, Value: v, Unit: info.Unit, At: x.at, Text: x.text}
		switch x.state {
		case layout.Below:
			r.State, r.Limit = jartest.Below, true
		case layout.Above:
			r.State, r.Limit = jartest.Above, true
		}
		m.s.Raw[x.key] = r
	}
	m.beforeColumns()
	m.rawAgainstJars()
}

// rawAgainstJars asks about a raw turbidity below that of every jar: it is of another
// water, or no raw reading.
func (m *maker) rawAgainstJars() {
	raw, ok := m.s.Raw[jartest.Turbidity]
	if !ok || raw.State != jartest.Number {
		return
	}
	n := 0
	for _, j := range m.s.Jars {
		if r, ok := j.Readings[jartest.Turbidity]; ok && r.State == jartest.Number {
			if n++; r.Value <= raw.Value {
				return
			}
		}
	}
	if n > 2 {
		m.b.say(note.Caution, "raw-below-jars", raw.At, "the raw turbidity of %s NTU is below that of every jar", trimFloat(raw.Value)).do(m.b, "check that it is of the same water")
	}
}

// beforeColumns takes the mean of a column of raw readings.
func (m *maker) beforeColumns() {
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
		if parts, _ := m.s.Waters(); len(parts) > 1 {
			continue // each water has its own
		}
		if len(vals) > 1 && slices.Min(vals) > 0 && slices.Max(vals) > 1.5*slices.Min(vals) {
			m.b.say(note.Caution, "raw-varies", f.Place, "column %q varies from %s to %s: it is not one raw water, and none was taken", f.Head.Text, trimFloat(slices.Min(vals)), trimFloat(slices.Max(vals))).
				do(m.b, "give each water a test of its own")
			continue
		}
		if _, had := m.s.Raw[f.Head.Reading]; !had && len(vals) > 0 {
			info := f.Head.Reading.Info()
			v := round12(layout.Mean(vals))
			if v >= info.Least && v <= info.Most {
				m.s.Raw[f.Head.Reading] = jartest.Reading{State: jartest.Number, Value: v, Unit: info.Unit, N: len(vals), At: at}
			}
		}
	}
}

// fixed adds a chemical that the sheet says every jar got.
func (m *maker) fixed() {
	b := m.b
	for _, x := range b.near(m.t, factFixed) {
		name := x.chem
		if name == "" {
			name = "coagulant"
		}
		had := false
		for _, c := range m.s.Chemicals {
			had = had || c.Name == name || strings.HasPrefix(c.Name, name+" ")
		}
		if had || x.value <= 0 {
			continue
		}
		if x.chem == "" && len(m.s.Chemicals) > 0 {
			continue
		}
		level, word := note.Info, ""
		if !x.sure {
			level, word = note.Caution, "; is that right?"
		}
		b.say(level, "fixed-dose", x.at, "every jar is taken to have got %s of %s, from %q%s", quantity.Concentration(x.value), name, clip(x.text), word).
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
			j.Doses = append(j.Doses, jartest.JarDose{Concentration: quantity.Concentration(x.value), Known: true, At: x.at})
			j.Control = false
		}
	}
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
		r, ok := j.Readings[jartest.PH]
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
		j.Settings = map[string]float64{"ph_target": j.Readings[jartest.PH].Value}
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
	// Labels that all come again number repeats or waters, not jars.
	if repeated > 1 && repeated*2 > len(labels) {
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

// facts books the readings behind a mean, targets, recycle and other lines.
func (m *maker) facts() {
	b := m.b
	if x, ok := b.look(m.t, factN, ""); ok && x.value >= 1 {
		for i := range m.s.Jars {
			for k, r := range m.s.Jars[i].Readings {
				if r.SD > 0 && r.N == 0 {
					r.N = int(x.value)
					m.s.Jars[i].Readings[k] = r
				}
			}
		}
	}
	if x, ok := b.look(m.t, factRecycle, ""); ok {
		m.s.Recycle = quantity.Fraction(x.value)
	}
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
}

// target reads "Target turbidity | <= 5 NTU", "Target | turbidity <= 5 NTU".
func (m *maker) target(text string, at note.Place) {
	name, val, _ := strings.Cut(text, " | ")
	try := []string{val}
	if h := layout.ReadHeading(name); h.Reading != "" {
		op := " <= "
		if h.Removal || !h.Reading.Info().LowIsGood {
			op = " >= "
		}
		word := string(h.Reading)
		if h.Removal {
			word += " removal"
		}
		unit := ""
		if h.Unit.Known() && h.Unit.Kind != words.NoUnit {
			unit = " " + h.Unit.Name
		}
		v := strings.TrimLeft(val, "<>=≤≥ ")
		if strings.ContainsAny(val, ">≥") {
			op = " >= "
		} else if strings.ContainsAny(val, "<≤") {
			op = " <= "
		}
		try = append(try, word+op+v, word+op+v+unit)
	}
	for _, s := range try {
		if all, err := jartest.ParseTargets(s); err == nil {
			for _, t := range all {
				t.At = at
				if !slices.ContainsFunc(m.s.Targets, func(had jartest.Target) bool { return had.String() == t.String() }) {
					m.s.Targets = append(m.s.Targets, t)
				}
			}
			return
		}
	}
	m.b.say(note.Caution, "target-unclear", at, "the target %q is not understood and was left out", clip(val)).do(m.b, `write it like "turbidity <= 5 NTU"`)
}

// targetColumn reads the target column of long form.
func (m *maker) targetColumn() {
	for _, f := range m.fs {
		if f.role != asTarget {
			continue
		}
		for _, d := range m.rows {
			x := m.t.View.At(d.r, f.C)
			if x.Blank() {
				continue
			}
			m.target(f.Head.Text+" | "+strings.TrimSpace(x.Text), m.t.View.PlaceAt(d.r, f.C))
		}
	}
}

// trimFloat writes a number without needless digits.
func trimFloat(v float64) string { return strconv.FormatFloat(round12(v), 'g', -1, 64) }
