package sheet

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// What was read of the jars later, the pH or the metal left in them, often stands in a table of its own
// under the numbers of the jars. Its readings are those of the jars with these numbers.

// moreReadings joins tables of readings without doses to the series whose jars they number, and gives
// the tables that number none. A table that can be of several tests is asked about.
func (b *bench) moreReadings(results []*layout.Table, all []jartest.Series) (rest []*layout.Table) {
	var of [][]int // the series that each table can be of
	told := map[int]int{}
	for _, t := range results {
		can := b.numbered(t, all)
		if len(can) > 1 {
			can = b.nearestOf(t, can, all)
		}
		of = append(of, can)
		for _, i := range can {
			told[i]++
		}
	}
	for k, t := range results {
		lone := len(of[k]) == 1
		alternate := lone && !slices.ContainsFunc(b.numbered(t, all), func(i int) bool { return told[i] == 0 })
		switch {
		case len(of[k]) == 0:
			rest = append(rest, t)
		case lone && (len(b.numbered(t, all)) == 1 || alternate || b.besides(t, all[of[k][0]])):
			b.addReadings(t, &all[of[k][0]])
		default:
			b.say(note.Caution, "readings-of-which", b.firstPlace(t), "the readings of the table %s can be of the jars of several tests and were not taken", t.RangeName()).
				do(b, "put them into columns of the test that they are of")
		}
	}
	return rest
}

// numbered gives the series of the sheet of a table that hold all its jars, by their labels, and no
// more than twice as many; none for a table that does not number jars.
func (b *bench) numbered(t *layout.Table, all []jartest.Series) []int {
	fs := b.byTable[t]
	jar := slices.IndexFunc(fs, func(f field) bool { return f.role == asJar && f.Head.Jar })
	if jar < 0 || len(t.Rows) > 500 || slices.ContainsFunc(fs, func(f field) bool { return f.Head.Chem != "" || f.Head.Dose || f.Head.Stock }) {
		return nil // it may hold the doses
	}
	rows := b.labelRows(t)
	var out []int
	for i, s := range all {
		if s.Place.Sheet != t.View.Name || s.Place.Cell == t.RangeName() {
			continue
		}
		hits := 0
		for _, j := range s.Jars {
			if _, ok := rows[labelKey(j.Label)]; ok {
				hits++
			}
		}
		if hits > 1 && 2*hits >= len(s.Jars) && hits == len(jarLabels(rows)) {
			out = append(out, i)
		}
	}
	return out
}

// jarLabels are the labels of rows that are jars and no raw water.
func jarLabels(rows map[string]dataRow) (out []string) {
	for label, d := range rows {
		if !d.rawWater {
			out = append(out, label)
		}
	}
	return out
}

// nearestOf gives the series on whose rows a table stands, else the last above it.
func (b *bench) nearestOf(t *layout.Table, can []int, all []jartest.Series) []int {
	var beside, above []int
	end := -1
	for _, i := range can {
		o := b.tableOf(all[i])
		switch {
		case o == nil:
		case b.besides(t, all[i]):
			beside = append(beside, i)
		case o.Box().R1 < t.Box().R0 && o.Box().R1 > end:
			above, end = []int{i}, o.Box().R1
		case o.Box().R1 < t.Box().R0 && o.Box().R1 == end:
			above = append(above, i)
		}
	}
	switch {
	case len(beside) > 0:
		return beside
	case len(above) > 0:
		return above
	}
	return can
}

// besides reports a table that has the jars of a series on its own rows.
func (b *bench) besides(t *layout.Table, s jartest.Series) bool {
	o := b.tableOf(s)
	return o != nil && !o.View.Turned && !t.View.Turned && o.Box().R0 <= t.First && t.Box().R1 <= o.Box().R1
}

// tableOf gives the table that a series was read from; nil where it was put together of several.
func (b *bench) tableOf(s jartest.Series) *layout.Table {
	i := slices.IndexFunc(b.tables, func(t *layout.Table) bool {
		return t.View.File == s.Place.File && t.View.Name == s.Place.Sheet && t.RangeName() == s.Place.Cell
	})
	if i < 0 {
		return nil
	}
	return b.tables[i]
}

// addReadings gives the jars of a series the readings of a table under their labels. What a jar has
// already stays, and another number for it speaks.
func (b *bench) addReadings(t *layout.Table, s *jartest.Series) {
	own := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
	m := &maker{b: b, t: t, fs: b.byTable[t], rows: b.jarRows(t, b.byTable[t]), s: &own}
	b.say(note.Info, "joined", b.firstPlace(t), "the readings of the table %s were joined to the jars of %s by their labels", t.RangeName(), s.Place.Cell)
	for _, d := range m.rows {
		j := jartest.Jar{Label: d.label, At: d.labelAt}
		m.readings(d, &j)
		if d.rawWater {
			j.Readings.Into(s.Raw)
			continue
		}
		if m.remarked(d, &j) {
			continue
		}
		for i := range s.Jars {
			if labelKey(s.Jars[i].Label) == labelKey(d.label) {
				b.giveReadings(&s.Jars[i], j)
			}
		}
	}
	m.puzzle()
}

// giveReadings gives a jar what another row read of it.
func (b *bench) giveReadings(to *jartest.Jar, from jartest.Jar) {
	to.Readings = slices.Clone(to.Readings)
	for _, x := range from.Readings {
		had, ok := to.Readings.Get(x.Key)
		switch {
		case !ok || had.State == jartest.Missing:
			to.Readings.Set(x.Key, x.Reading)
		case had.State != x.State || !same(had.Value, x.Value):
			b.say(note.Caution, "read-twice", x.At, "%s of jar %q stands at %s and at %s; the first was taken", x.Key.Info().Label, to.Label, had.At.Cell, x.At.Cell).
				do(b, "keep the one that counts")
		}
	}
	for name, v := range from.Settings {
		if _, had := to.Settings[name]; !had {
			if to.Settings == nil {
				to.Settings = map[string]float64{}
			}
			to.Settings[name] = v
		}
	}
}
