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

// join brings together tables of doses and tables of readings that share their
// jar labels, and deals with tables of readings that have no doses beside them.
func (b *bench) join(plans, results []*layout.Table, haveFull bool) []jartest.Series {
	var out []jartest.Series
	usedPlan := map[*layout.Table]bool{}
	for _, t := range results {
		if len(t.Rows) > 500 {
			continue // the log of a meter
		}
		p := b.planFor(t, plans, usedPlan)
		if p == nil {
			s := b.withoutDoses(t)
			if len(s) == 0 && !haveFull && b.jarLike(t) {
				b.say(note.Error, "no-doses", b.firstPlace(t), "the table %s has readings but no dose column, and no dosing plan with the same jar labels was found", t.RangeName()).
					do(b, `add the doses, or name their column with --column "heading=dose mg/L"`)
			}
			out = append(out, s...)
			continue
		}
		usedPlan[p] = true
		out = append(out, b.joined(p, t)...)
	}
	return out
}

func (b *bench) firstPlace(t *layout.Table) note.Place { return t.View.PlaceAt(t.Head, t.C0) }

// jarLike reports a table that looks like jars rather than a log of a meter.
func (b *bench) jarLike(t *layout.Table) bool {
	for _, f := range b.byTable[t] {
		if f.role == asJar && f.Head.Jar {
			return true
		}
	}
	return len(t.Rows) <= 24
}

// planFor finds the plan whose jar labels cover those of the results, the nearest first.
func (b *bench) planFor(t *layout.Table, plans []*layout.Table, used map[*layout.Table]bool) *layout.Table {
	want := b.labelRows(t)
	if len(want) == 0 {
		return nil
	}
	var best *layout.Table
	for _, same := range [...]bool{true, false} {
		for _, p := range plans {
			if used[p] || (p.Area() == t.Area()) != same {
				continue
			}
			have := b.labelRows(p)
			hits := 0
			for l := range want {
				if _, ok := have[l]; ok {
					hits++
				}
			}
			if hits >= 2 && hits*2 >= len(want) && (best == nil || p.Box().R0 <= t.Box().R0) {
				best = p
			}
		}
		if best != nil {
			return best
		}
	}
	return nil
}

// labelRows gives the rows of a table by folded jar label.
func (b *bench) labelRows(t *layout.Table) map[string]dataRow {
	out := map[string]dataRow{}
	for _, d := range b.jarRows(t, b.byTable[t]) {
		if d.label != "" {
			out[labelKey(d.label)] = d
		}
	}
	return out
}

// labelKey folds "Jar 1", "#1" and "1" together.
func labelKey(s string) string {
	f := words.Fold(s)
	h := layout.ReadHeading(s)
	if h.Jar && h.Index != "" {
		return h.Index
	}
	return strings.TrimLeft(strings.TrimPrefix(strings.Trim(f, " .#"), "0"), " ")
}

// joined makes the series of a plan and a table of results.
func (b *bench) joined(p, t *layout.Table) []jartest.Series {
	pf, rf := b.byTable[p], b.byTable[t]
	plan := b.labelRows(p)
	rows := b.jarRows(t, rf)
	s := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
	s.Place = note.Place{File: t.View.File, Sheet: t.View.Name, Cell: t.RangeName()}
	s.Name = b.seriesName(t, part{}, rows)
	b.dated(&s, t, rf, rows)
	pm := &maker{b: b, t: p, fs: pf, rows: b.jarRows(p, pf), s: &s}
	pm.chemicals()
	pm.jars()
	doses := map[string]jartest.Jar{}
	for _, j := range s.Jars {
		doses[labelKey(j.Label)] = j
	}
	s.Jars = nil
	rm := &maker{b: b, t: t, fs: rf, rows: rows, s: &s}
	for _, d := range rows {
		j := jartest.Jar{Label: d.label, At: d.labelAt}
		rm.readings(d, &j)
		from, ok := doses[labelKey(d.label)]
		if !ok {
			if d.rawWater {
				j.Readings.Into(s.Raw)
				continue
			}
			if _, planned := plan[labelKey(d.label)]; !planned {
				b.say(note.Caution, "no-dose", d.labelAt, "jar %q has readings but no dose in the plan at %s and was left out", d.label, p.RangeName())
			}
			continue
		}
		if rm.remarked(d, &j) {
			continue
		}
		j.Doses, j.Control = from.Doses, from.Control
		for _, x := range from.Readings {
			if _, had := j.Readings.Get(x.Key); !had {
				j.Readings.Set(x.Key, x.Reading)
			}
		}
		if len(from.Settings) > 0 {
			j.Settings = from.Settings
		}
		s.Jars = append(s.Jars, j)
	}
	rm.puzzle()
	if len(s.Jars) == 0 {
		return nil
	}
	b.say(note.Info, "joined", s.Place, "doses from %s and readings from %s were joined by jar label", p.View.PlaceAt(p.Head, p.C0).String(), t.View.PlaceAt(t.Head, t.C0).Cell)
	for _, l := range sortedLabels(plan) {
		found := false
		for _, d := range rows {
			found = found || labelKey(d.label) == l
		}
		if !found {
			b.say(note.Info, "no-readings", plan[l].labelAt, "jar %q of the plan has no readings", plan[l].label)
		}
	}
	rm.rawWater()
	pm.s = &s
	pm.fixed()
	rm.fixed()
	rm.sweep()
	rm.duplicates()
	rm.facts()
	return []jartest.Series{s}
}

func sortedLabels(m map[string]dataRow) []string {
	var out []string
	for l := range m {
		out = append(out, l)
	}
	sortStrings(out)
	return out
}

// withoutDoses makes a series of a table of readings whose doses stand in the jar
// labels ("alum 35 mg/L") or, the same for all, beside the table.
func (b *bench) withoutDoses(t *layout.Table) []jartest.Series {
	fs := b.byTable[t]
	rows := b.jarRows(t, fs)
	if len(rows) < 2 {
		return nil
	}
	s := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
	s.Place = note.Place{File: t.View.File, Sheet: t.View.Name, Cell: t.RangeName()}
	s.Name = b.seriesName(t, part{}, rows)
	b.dated(&s, t, fs, rows)
	m := &maker{b: b, t: t, fs: fs, rows: rows, s: &s}
	switch dosed := m.labelledJars(); {
	case dosed >= 2 && dosed == len(s.Jars) && len(s.Chemicals) > 0:
		m.evenDoses()
		b.say(note.Info, "dose-in-label", s.Place, "the doses are read from the jar labels")
		m.rawWater()
	case dosed > 0 && dosed < len(s.Jars) && len(s.Chemicals) > 0, !slices.ContainsFunc(fs, func(f field) bool { return f.role == asSetting || f.key == jartest.PH }):
		return nil
	default: // the same dose for all, with something else varied
		m.rawWater()
		m.fixed()
		if len(s.Chemicals) == 0 {
			return nil
		}
		m.sweep()
	}
	m.puzzle()
	m.duplicates()
	m.facts()
	return []jartest.Series{s}
}

// labelledJars makes the jars of a table without doses, with those in their labels, and
// counts the jars that have one, or need none.
func (m *maker) labelledJars() int {
	n := 0
	for _, d := range m.rows {
		j := jartest.Jar{Label: d.label, At: d.labelAt}
		m.readings(d, &j)
		amounts := m.b.dosesInLabel(d.label, m.b.dec(m.t))
		switch {
		case m.remarked(d, &j):
			continue
		case len(amounts) == 0 && d.rawWater:
			j.Readings.Into(m.s.Raw)
			continue
		case len(amounts) > 0 || d.control:
			n++
		}
		for _, a := range amounts {
			k := m.chemicalOf(a)
			for len(j.Doses) <= k {
				j.Doses = append(j.Doses, jartest.JarDose{Known: true, At: d.labelAt})
			}
			j.Doses[k] = jartest.JarDose{Concentration: a.dose, Known: true, At: d.labelAt}
		}
		m.s.Jars = append(m.s.Jars, j)
	}
	return n
}

// chemicalOf gives the place of a dose's chemical among those of the series, and adds
// it where it is new.
func (m *maker) chemicalOf(a labelDose) int {
	k := slices.IndexFunc(m.s.Chemicals, func(c jartest.Chemical) bool { return c.Name == a.chem })
	if k < 0 {
		k = len(m.s.Chemicals)
		m.s.Chemicals = append(m.s.Chemicals, jartest.Chemical{Name: a.chem, Basis: a.basis})
	}
	return k
}

// evenDoses gives every jar a dose of every chemical, none where its label has none.
func (m *maker) evenDoses() {
	for i := range m.s.Jars {
		j := &m.s.Jars[i]
		for len(j.Doses) < len(m.s.Chemicals) {
			j.Doses = append(j.Doses, jartest.JarDose{Known: true, At: j.At})
		}
		j.Control = !slices.ContainsFunc(j.Doses, func(d jartest.JarDose) bool { return d.Concentration != 0 })
	}
}

// tablesLost speaks of tables of jars that gave no series and of which nothing was said.
func (b *bench) tablesLost(all []jartest.Series) {
	if len(all) == 0 {
		return
	}
	for _, t := range b.tables {
		fs, place := b.byTable[t], note.Place{File: t.View.File, Sheet: t.View.Name, Cell: t.RangeName()}
		jars := slices.ContainsFunc(fs, func(f field) bool { return f.role == asJar && f.Head.Jar })
		named := slices.ContainsFunc(fs, func(f field) bool { return f.Head.Chem != "" || f.Head.Dose || f.Head.Stock })
		if b.rawTableLost(t) {
			continue
		}
		if b.fieldsLost(t, all) {
			b.say(note.Caution, "table-lost", b.firstPlace(t), "the cells %s hold a unit and gave no series; nothing was taken from them", t.RangeName()).
				do(b, "write the unit in the heading of its column")
			continue
		}
		if len(t.Rows) < 3 || !jars || !named || !slices.ContainsFunc(fs, field.reads) || slices.ContainsFunc(all, func(s jartest.Series) bool { return s.Place == place }) {
			continue
		}
		said := map[note.Place]bool{place: true, b.firstPlace(t): true}
		t.Each(t.HeadTop, t.Last, func(_, _ int, _ grid.Cell, at note.Place) { said[at] = true })
		if slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Level >= note.Caution && said[n.Place] }) {
			continue
		}
		b.say(note.Caution, "table-lost", b.firstPlace(t), "the table %s reads like one of jars, but no dose was understood in it; it was left out", t.RangeName()).
			do(b, `name its dose with --column "heading=dose mg/L"`)
	}
}

// fieldsLost reports a line or two under a unit that were taken for a table, gave no series and state
// no fact: the unit may be that of the doses.
func (b *bench) fieldsLost(t *layout.Table, all []jartest.Series) bool {
	box := t.Box()
	unit := slices.ContainsFunc(t.Cols, func(c layout.Column) bool {
		return c.Head.Unit.Known() && c.Head.Reading == "" && c.Head.Chem == "" && c.Head.Unit.Kind == words.Conc
	})
	stated := slices.ContainsFunc(b.facts, func(x fact) bool { return x.g == t.Area() && x.kind == factDoseUnit && box.Has(x.r, x.c) })
	given := slices.ContainsFunc(all, func(s jartest.Series) bool { return s.Place.Sheet == t.View.Name && s.Place.Cell == t.RangeName() })
	return len(t.Rows) < 3 && len(t.Cols) < 4 && unit && !stated && !given
}

// comparePlans holds a dosing plan against a table that has doses of its own, and
// says where the two give one jar different doses.
func (b *bench) comparePlans(plans, full []*layout.Table) {
	for _, p := range plans {
		for _, t := range full {
			if p.View.File != t.View.File || !b.samePlan(p, t) {
				continue
			}
			pd, td := b.plannedDoses(p), b.plannedDoses(t)
			for _, l := range sortedKeys(td) {
				a, ok := pd[l]
				if !ok || a.Concentration == td[l].Concentration {
					continue
				}
				b.say(note.Error, "plan-disagrees", td[l].At, "jar %q has a dose of %s mg/L here and of %s mg/L in the plan at %s: a conflict", l, trimFloat(float64(td[l].Concentration)), trimFloat(float64(a.Concentration)), a.At).
					do(b, "correct the one that is wrong")
			}
		}
	}
}

// samePlan reports that most labels of the table stand in the plan, and that at
// least half of their doses agree, so that the two are about one test.
func (b *bench) samePlan(p, t *layout.Table) bool {
	pd, td := b.plannedDoses(p), b.plannedDoses(t)
	hits, equal := 0, 0
	for l, d := range td {
		if a, ok := pd[l]; ok {
			hits++
			if a.Concentration == d.Concentration {
				equal++
			}
		}
	}
	return hits >= 2 && hits*2 >= len(td) && equal*2 >= hits
}

// plannedDoses gives the first dose of each jar, without saying anything.
func (b *bench) plannedDoses(t *layout.Table) map[string]jartest.JarDose {
	before := len(b.notes)
	defer func() { b.notes = b.notes[:before] }()
	out := map[string]jartest.JarDose{}
	fs := b.byTable[t]
	s := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
	m := &maker{b: b, t: t, fs: fs, rows: b.jarRows(t, fs), s: &s}
	if len(m.rows) == 0 {
		return out
	}
	m.chemicals()
	m.jars()
	for _, j := range s.Jars {
		if len(j.Doses) > 0 {
			out[labelKey(j.Label)] = j.Doses[0]
		}
	}
	return out
}

func sortedKeys(m map[string]jartest.JarDose) []string {
	var out []string
	for l := range m {
		out = append(out, l)
	}
	sortStrings(out)
	return out
}
