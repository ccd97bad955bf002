package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// assemble turns the tables into series: those that hold doses and readings by
// themselves, then dosing plans joined with results.
func (b *bench) assemble() []jartest.Series {
	var full, plans, results []*layout.Table
	for _, t := range b.tables {
		fs := b.classify(t)
		b.byTable[t] = fs
		if b.isExample(t) || b.chosenDoses(fs) {
			continue
		}
		dose := slices.ContainsFunc(fs, func(f field) bool { return f.dosed() && f.numbers > 0 })
		reading := slices.ContainsFunc(fs, field.reads)
		if reading {
			b.ask(fs)
		}
		if dose {
			b.headless(t, fs)
		}
		switch {
		case dose && reading:
			full = append(full, t)
		case dose && slices.ContainsFunc(fs, func(f field) bool { return f.role == asJar }):
			plans = append(plans, t)
		case reading:
			results = append(results, t)
		}
	}
	if len(full)+len(results) == 0 {
		full, plans = b.ownReadings(plans)
	}
	full = b.withoutRecords(full)
	var out []jartest.Series
	for _, t := range full {
		out = append(out, b.fromTable(t)...)
	}
	results = b.moreReadings(results, out)
	out = append(out, b.join(plans, results, len(full) > 0)...)
	b.comparePlans(plans, full)
	return out
}

// dosed reports a column of doses or of volumes of stock.
func (f field) dosed() bool { return f.role == asDose || f.role == asStock }

// leads reports a dose of its own: a dose, or a volume that leads to no other dose.
func (f field) leads() bool { return f.role == asDose || f.role == asStock && f.of < 0 }

// reads reports a reading that has a name.
func (f field) reads() bool {
	h := f.Head
	return f.role == asReading && (f.key.Known() || h.Removal || h.LogRemoval || h.Value || h.Reading != "")
}

// distinctDays reports a column with another day in every row.
func (b *bench) distinctDays(t *layout.Table, c int) bool {
	seen := map[string]bool{}
	for _, r := range t.Rows {
		x := t.View.At(r, c)
		day := words.Fold(x.Text)
		if x.Kind == grid.Numeric {
			day = strconv.Itoa(int(x.Num))
		} else if d, _, ok := strings.Cut(day, " "); ok && strings.Contains(day, ":") {
			day = d
		}
		if x.Blank() || seen[day] {
			return false
		}
		seen[day] = true
	}
	return true
}

// isExample reports a table that its title or the name of its sheet calls an example,
// or says not to use, and says that it is left out.
func (b *bench) isExample(t *layout.Table) bool {
	for _, s := range [...]string{t.Title, t.View.Name} {
		f := words.Fold(s)
		if jarIndex.MatchString(f) {
			continue // it speaks of single jars
		}
		for _, x := range words.Find(f) {
			short := len(words.Tokens(f)) <= 6 // a longer title speaks of what it leaves out
			if (x.Concept == "example" || x.Concept == "void") && x.Near == "" && b.opt.Sheet == "" && (short || x.From == 0) {
				b.notes = slices.DeleteFunc(b.notes, func(n note.Note) bool { return n.Code == "line-changes" && n.Place == t.TitleAt })
				b.say(note.Caution, "example-left-out", b.firstPlace(t), "the table %s was left out because of %q", t.RangeName(), clip(s)).do(b, "name its sheet with --sheet if it is to be read")
				return true
			}
		}
	}
	return false
}

// chosenDoses leaves out dose columns that give the outcome of a test ("best
// dose"), and reports a table that has no other: the summary of several tests.
func (b *bench) chosenDoses(fs []field) bool {
	var chosen []int
	others := 0
	for i, f := range fs {
		switch {
		case !f.dosed():
		case f.Head.Chosen:
			chosen = append(chosen, i)
		default:
			others++
		}
	}
	for _, i := range chosen {
		if others == 0 {
			b.say(note.Caution, "summary-table", fs[i].Place, "column %q gives the dose chosen in each test, not the doses of jars; the table was left out", fs[i].Head.Text).
				do(b, `if its rows are jars, say so with --column "%s=dose mg/L"`, fs[i].header())
			continue
		}
		fs[i].role = asIgnored
		b.say(note.Info, "column-left-out", fs[i].Place, "column %q was left out because of its heading", fs[i].Head.Text)
	}
	return len(chosen) > 0 && others == 0
}

// withoutRecords leaves out, where there are tables of jars, those that record a
// plant or the means of many tests: doses that are means, or a date for every line
// and no jars.
func (b *bench) withoutRecords(full []*layout.Table) []*layout.Table {
	var jars, records []*layout.Table
	for _, t := range full {
		if b.isRecord(t) {
			records = append(records, t)
		} else {
			jars = append(jars, t)
		}
	}
	if len(jars) == 0 && (len(records) == 0 || b.only != nil || records[0].View.Origin != nil) {
		return full
	}
	if len(jars) == 0 {
		t := records[0]
		b.say(note.Error, "record-table", b.firstPlace(t), "the table %s has a date for every line and no jars: it reads like the record of a plant, not like a jar test", t.RangeName()).
			do(b, "if its lines are jars, point at it with --range or number them")
		return nil
	}
	for _, t := range records {
		b.say(note.Caution, "record-table", b.firstPlace(t), "the table %s has means or a date for every line and no jars; it is taken for a record, not for a jar test, and was left out", t.RangeName()).
			do(b, "point at it with --sheet and --range if its lines are jars")
	}
	return jars
}

func (b *bench) isRecord(t *layout.Table) bool {
	doses, means, dated := 0, 0, false
	for _, f := range b.byTable[t] {
		switch {
		case f.role == asJar && f.Head.Jar:
			return false
		case f.dosed():
			doses++
			if layout.ReadHeading(strings.Join(f.Parts, " ")).Stat == "mean" {
				means++
			}
		case f.Head.Date && len(t.Rows) >= 4 && b.distinctDays(t, f.C):
			dated = true
		}
	}
	return doses > 0 && (means == doses || dated)
}

// dataRow is one jar in the making.
type dataRow struct {
	r         int // in the view
	label     string
	labelAt   note.Place
	hasLabel  bool
	test      string
	chem      string
	chemKnown bool
	section   string
	rawWater  bool
	control   bool // the label says so
	minutes   float64
	earlier   []timedRow // the same jar at other settling times
	unread    bool       // it was not read when the others were: all its readings are earlier ones
}

// fromTable gives the series of one table.
func (b *bench) fromTable(t *layout.Table) []jartest.Series {
	fs := b.byTable[t]
	b.answers(t, fs)
	rows := b.lastTime(t, fs, b.jarRows(t, fs))
	var out []jartest.Series
	groups := splitGroups(fs)
	for _, group := range groups {
		for _, part := range splitParts(group) {
			if part.name == "" && len(groups) > 1 {
				part.name = groupName(groups, group)
			}
			for _, rs := range b.partition(t, part.fields, rows) {
				for _, one := range b.oneAtATime(t, part, rs) {
					out = append(out, b.series(t, one.part, one.rows)...)
				}
			}
		}
	}
	return b.sameJars(t, out)
}

// sameJars joins series of one table that a column of chemicals has parted, though
// they are the same jars: a line for each chemical that a jar got, with its readings
// repeated or given once.
func (b *bench) sameJars(t *layout.Table, all []jartest.Series) []jartest.Series {
	if !slices.ContainsFunc(all, func(s jartest.Series) bool {
		return len(s.Chemicals) != 1 || s.Chemicals[0].Name != all[0].Chemicals[0].Name
	}) {
		return all // nothing is parted by chemicals
	}
	var out []jartest.Series
	for _, s := range all {
		joined := false
		for i := range out {
			if len(s.Chemicals) != 1 {
				break // jars that got two on one line got no other
			}
			if !oneJarEach(out[i], s) {
				continue
			}
			b.say(note.Caution, "chemicals-by-line", s.Place, "%s and %s stand on lines of their own under the same jars, and their readings agree or stand on one line only; each jar is taken to have got both", out[i].Chemicals[0].Name, s.Chemicals[0].Name).
				do(b, "give each chemical a column of its own if that is wrong")
			n := len(out[i].Chemicals)
			out[i].Chemicals = append(out[i].Chemicals, s.Chemicals...)
			for k := range out[i].Jars {
				j := &out[i].Jars[k]
				j.Doses = append(j.Doses[:n:n], s.Jars[k].Doses...)
				j.Control = j.Control && s.Jars[k].Control
				for _, x := range s.Jars[k].Readings {
					if j.Readings.Of(x.Key).State == jartest.Missing {
						j.Readings.Set(x.Key, x.Reading)
					}
				}
			}
			joined = true
			break
		}
		if !joined {
			out = append(out, s)
		}
	}
	return out
}

// oneJarEach reports two series whose jars are the same, one by one.
func oneJarEach(a, c jartest.Series) bool {
	if len(a.Jars) < 2 || len(a.Jars) != len(c.Jars) || len(c.Chemicals) != 1 {
		return false
	}
	if slices.ContainsFunc(a.Chemicals, func(x jartest.Chemical) bool { return x.Name == c.Chemicals[0].Name }) {
		return false
	}
	equal, unread := false, unreadJars(c) && !unreadJars(a)
	for k, j := range a.Jars {
		o := c.Jars[k]
		if len(j.Doses) != len(a.Chemicals) || len(o.Doses) != 1 || !sameLabel(j, o, unread) {
			return false
		}
		agree, compared := sameReading(j, o)
		if !agree {
			return false
		}
		equal = equal || compared
	}
	return equal || unread
}

// sameLabel reports two lines of one jar. A jar that is named on its first line only
// has, on the second, its dose for a name.
func sameLabel(j, o jartest.Jar, unread bool) bool {
	if unread {
		dose := trimFloat(float64(o.Doses[0].Concentration))
		if o.Label == "" || o.Label == dose || strings.HasPrefix(o.Label, dose+"-") {
			o.Label = j.Label
		}
	}
	return j.Label != "" && j.Label == o.Label
}

// sameReading reports that what both jars have read agrees, and whether there is any.
func sameReading(j, o jartest.Jar) (agree, compared bool) {
	for _, x := range o.Readings {
		y, had := j.Readings.Get(x.Key)
		if !had || x.State == jartest.Missing || y.State == jartest.Missing {
			continue
		}
		if x.State != y.State || x.Value != y.Value {
			return false, compared
		}
		compared = true
	}
	return true, compared
}

// unreadJars reports a series without a single reading.
func unreadJars(s jartest.Series) bool {
	for _, j := range s.Jars {
		for _, x := range j.Readings {
			if x.State != jartest.Missing {
				return false
			}
		}
	}
	return true
}

// jarKey tells the jars of a table apart: where they stand, their label and doses.
func jarKey(t *layout.Table, fs []field, d dataRow) string {
	k := d.section + "\x00" + d.test + "\x00" + d.chem + "\x00" + d.label
	for _, f := range fs {
		if f.dosed() {
			k += "\x00" + t.View.At(d.r, f.C).Text
		}
	}
	return k
}

// portion is a part of a table's fields with a part of its rows.
type portion struct {
	part part
	rows []dataRow
}

// oneAtATime splits a table that has a dose column for each chemical and fills
// only one of them for each jar: a series for each chemical.
func (b *bench) oneAtATime(t *layout.Table, p part, rows []dataRow) []portion {
	whole := []portion{{p, rows}}
	if first := slices.IndexFunc(p.fields, field.leads); first < 0 || !slices.ContainsFunc(p.fields[first+1:], field.leads) {
		return whole
	}
	byDose := map[int][]dataRow{} // -1 for rows without a dose
	doses := 0
	for _, d := range rows {
		filled := -1
		for i, f := range p.fields {
			if !f.leads() || t.View.At(d.r, f.C).Blank() {
				continue
			}
			if filled >= 0 {
				return whole
			}
			filled = i
		}
		if filled >= 0 && len(byDose[filled]) == 0 {
			doses++
		}
		byDose[filled] = append(byDose[filled], d)
	}
	if doses < 2 {
		return whole
	}
	b.say(note.Info, "one-chemical-a-jar", t.View.PlaceAt(t.Head, t.C0), "each jar has a dose of one chemical only; the blank doses count as none, and each chemical is a series of its own")
	controls := slices.DeleteFunc(byDose[-1], func(d dataRow) bool { return !d.control })
	var out []portion
	for i := range p.fields {
		if len(byDose[i]) == 0 {
			continue
		}
		one := part{name: cmp.Or(p.name, p.fields[i].chem)}
		one.fields = pick(p.fields, func(k int, f field) bool {
			return k == i || !f.leads() && (f.role != asStock || f.of < 0 || f.of == i)
		})
		out = append(out, portion{one, append(slices.Clone(controls), byDose[i]...)})
	}
	return out
}

// pick keeps some fields, and what they say of each other's places.
func pick(fs []field, keep func(int, field) bool) []field {
	index := map[int]int{}
	var out []field
	for i, f := range fs {
		if keep(i, f) {
			index[i] = len(out)
			out = append(out, f)
		}
	}
	for i := range out {
		to, ok := index[out[i].of]
		if !ok {
			to = -1
		}
		out[i].of = to
	}
	return out
}

// labelColumns are the columns that name the jars, tests and chemicals of a table; -1
// for none.
type labelColumns struct{ jar, test, chem int }

func (b *bench) labelColumns(t *layout.Table, fs []field) labelColumns {
	first := func(as role) int { return slices.IndexFunc(fs, func(f field) bool { return f.role == as }) }
	c := labelColumns{jar: first(asJar), test: first(asTest), chem: first(asChemical)}
	if c.test < 0 {
		c.test = b.dateAsTest(t, fs)
	}
	return c
}

// jarRows reads labels and leaves out what is no jar.
func (b *bench) jarRows(t *layout.Table, fs []field) []dataRow {
	cols := b.labelColumns(t, fs)
	out := make([]dataRow, 0, len(t.Rows))
	var above dataRow // whose section, test and chemical hold on
	for _, r := range t.Rows {
		if s, ok := t.Sections[r]; ok && b.newSection(t, fs, s, r, cols.jar, out) {
			above.section = s
		}
		d := b.labelled(t, fs, r, cols, &above)
		e := &rowEvidence{b: b, t: t, fs: fs, jar: cols.jar, d: &d}
		e.look()
		if as, _ := rowRuled.Decide(e); as >= rowJar {
			d.control, d.rawWater = as >= rowControl, as == rowRaw
			out = append(out, d)
		}
	}
	b.singleLetterControls(out)
	if cols.jar < 0 {
		return out
	}
	return b.otherRows(t, fs, cols.jar, out)
}

// labelled reads the label, test and chemical of a row. A test or chemical that is not
// written again is that of the rows above.
func (b *bench) labelled(t *layout.Table, fs []field, r int, cols labelColumns, above *dataRow) dataRow {
	d := dataRow{r: r, section: above.section, labelAt: t.View.PlaceAt(r, t.C0)}
	if cols.jar >= 0 {
		d.label, d.labelAt = b.label(t, r, fs[cols.jar].C), t.View.PlaceAt(r, fs[cols.jar].C)
		d.hasLabel = d.label != ""
	}
	if cols.test >= 0 {
		if s := b.label(t, r, fs[cols.test].C); s != "" {
			above.test = s
			if h := fs[cols.test].Head; inDays(h) {
				above.test = h.Text + " " + s
			}
			if x := t.View.At(r, fs[cols.test].C); x.Date() {
				above.test = layout.DateText(x)
			}
		}
		d.test = above.test
	}
	if cols.chem >= 0 {
		x, s := t.View.At(r, fs[cols.chem].C), b.label(t, r, fs[cols.chem].C)
		switch {
		case s == "" && x.Blank() && b.zeroDose(t, fs, r):
			return d
		case s != "" && (layout.ParseValue(x, b.dec(t)).Dash || slices.ContainsFunc(noChemical, func(c string) bool { return words.Means(s, c) })):
			above.chem = ""
		case s != "":
			above.chem = s
		}
		d.chem, d.chemKnown = above.chem, above.chem != ""
	}
	return d
}

// noChemical are what a column of chemicals says of a jar without any.
var noChemical = []string{"value:missing", "value:zero", "label:control"}

// newSection reports that a line of text between jars begins a new test: it names
// a chemical, stands before the first jar, or the labels or doses begin again
// below it. Other lines are remarks.
func (b *bench) newSection(t *layout.Table, fs []field, text string, r, jar int, before []dataRow) bool {
	if len(before) == 0 {
		return true
	}
	if layout.ReadHeading(text).Chem != "" && len(text) < 60 {
		return true
	}
	if jar >= 0 {
		label := b.label(t, r, fs[jar].C)
		for _, d := range before {
			if d.label == label && label != "" {
				return true
			}
		}
	} else {
		for _, f := range fs {
			if f.dosed() {
				now := layout.ParseValue(t.View.At(r, f.C), b.dec(t))
				was := layout.ParseValue(t.View.At(before[len(before)-1].r, f.C), b.dec(t))
				return now.OK() && was.OK() && now.Num < was.Num
			}
		}
	}
	ofOneJar := strings.HasPrefix(text, "(") && jarIndex.MatchString(words.Fold(text))
	if ofOneJar || onlyGoesOn(text) || strings.IndexFunc(text, unicode.IsLetter) < 0 {
		b.say(note.Info, "remark", t.View.PlaceAt(r-1, t.C0), "the line %q between the jars is taken for a remark", clip(text))
		return false
	}
	b.say(note.Caution, "line-between", t.View.PlaceAt(r-1, t.C0), "the line %q between the jars is taken for a remark; the jars above and below it are read as one series", clip(text)).
		do(b, `if it holds for the jars below it only, give each its own series by a column "test"`)
	return false
}

// onlyGoesOn reports a line that says no more than that the table goes on: "continued, page 2 of 3".
func onlyGoesOn(text string) bool {
	var said []string
	for _, t := range words.Tokens(words.Fold(text)) {
		if !layout.IsFigure(t.Text) && t.Text != "of" {
			said = append(said, t.Text)
		}
	}
	return spoken()["goes on"].is(strings.Join(said, " "))
}

// dateAsTest gives a date column that tells tests apart where no other column
// does: a few dates with several jars each. Remarks with their dates tell none. It gives -1 for none.
func (b *bench) dateAsTest(t *layout.Table, fs []field) int {
	for _, f := range fs {
		if f.role == asTest {
			return -1
		}
	}
	for i, f := range fs {
		if !inDays(f.Head) && (f.role != asNote || !f.Head.Date || f.Head.Note || f.Head.Unit.Kind == words.Minutes) {
			continue
		}
		count := map[string]int{}
		for _, r := range t.Rows {
			if s := b.label(t, r, f.C); s != "" {
				count[s]++
			}
		}
		few := len(count) > 1
		for _, n := range count {
			few = few && n > 1
		}
		if few || b.onceEach(t, fs, f.C) {
			if inDays(f.Head) {
				fs[i].role = asTest
			}
			return i
		}
	}
	return -1
}

// onceEach reports a column that is filled on the first row of each test alone: the labels or the doses of
// the jars begin again there.
func (b *bench) onceEach(t *layout.Table, fs []field, c int) bool {
	jar, dose := slices.IndexFunc(fs, func(f field) bool { return f.role == asJar }), slices.IndexFunc(fs, field.dosed)
	filled := 0
	for i, r := range t.Rows {
		if t.View.At(r, c).Blank() {
			if i == 0 {
				return false
			}
			continue
		}
		if filled++; i == 0 {
			continue
		}
		again := jar >= 0 && layout.SameText(b.label(t, r, fs[jar].C), b.label(t, t.Rows[0], fs[jar].C))
		if !again && dose >= 0 {
			now, was := layout.ParseValue(t.View.At(r, fs[dose].C), b.dec(t)), layout.ParseValue(t.View.At(t.Rows[i-1], fs[dose].C), b.dec(t))
			again = now.OK() && was.OK() && now.Num < was.Num
		}
		if !again {
			return false
		}
	}
	return filled > 1 && filled < len(t.Rows)
}

// inDays reports a column that numbers days or weeks: nobody lets jars settle so long.
func inDays(h layout.Heading) bool {
	return h.Unit.Kind == words.Minutes && h.Unit.Factor >= 24*60 && h.Reading == "" && !h.DoseLike()
}

func (b *bench) label(t *layout.Table, r, c int) string {
	x := t.View.At(r, c)
	if x.Kind == grid.Empty {
		if m, ok := t.View.MergedAt(r, c); ok {
			x = t.View.At(m.R0, m.C0)
		}
	}
	return strings.TrimSpace(x.Text)
}

// firstText gives the first cell of a row that is text and no number.
func (b *bench) firstText(t *layout.Table, fs []field, r int) string {
	for _, f := range fs {
		x := t.View.At(r, f.C)
		if f.role == asChemical || f.role == asNote || f.role == asTest {
			continue
		}
		// "SD" is a word for no data among figures, and for a deviation among the names of rows
		summary := !f.dosed() && !f.reads() && words.Means(x.Text, "label:summary")
		if x.Kind == grid.Textual && (summary || layout.ParseText(x.Text, b.dec(t)).State == layout.Unclear) {
			return strings.TrimSpace(x.Text)
		}
	}
	return ""
}

func (b *bench) zeroDose(t *layout.Table, fs []field, r int) bool {
	for _, f := range fs {
		if f.dosed() {
			v := layout.ParseValue(t.View.At(r, f.C), b.dec(t))
			if v.OK() && v.Num != 0 {
				return false
			}
		}
	}
	return true
}

// readsIn reports a row with a reading.
func (b *bench) readsIn(t *layout.Table, fs []field, r int) bool {
	return slices.ContainsFunc(fs, func(f field) bool {
		return !f.dosed() && f.Head.Reading != "" && layout.ParseValue(t.View.At(r, f.C), b.dec(t)).OK()
	})
}

// singleLetterControls takes C, K or B for a control where the other labels are numbers.
func (b *bench) singleLetterControls(rows []dataRow) {
	numbers := 0
	for _, d := range rows {
		if layout.ParseText(d.label, layout.DecimalsUnknown).OK() {
			numbers++
		}
	}
	if numbers < 2 || numbers < len(rows)-2 {
		return
	}
	for i, d := range rows {
		switch strings.ToLower(d.label) {
		case "c", "k", "b", "ctl", "bl":
			rows[i].control = true
		}
	}
}

// part is a set of fields that makes one series: perhaps one of several waters or
// chemicals that share the dose column.
type part struct {
	name   string
	fields []field
}

// splitGroups parts a table in which dose and readings come again to the right:
// jar, alum, NTU, ferric, NTU. Two doses side by side before the readings are one
// test with two chemicals.
func splitGroups(fs []field) [][]field {
	group := groupOf(fs)
	n := group[len(fs)-1] + 1
	if n < 2 {
		return [][]field{fs}
	}
	out := make([][]field, n)
	for g := range out {
		out[g] = pick(fs, func(i int, f field) bool { return group[i] == g || sharedRole(f.role) })
	}
	return out
}

func sharedRole(r role) bool {
	return r == asJar || r == asTest || r == asReplicate || r == asChemical
}

// groupOf numbers the groups of columns that each have a dose and the same readings.
func groupOf(fs []field) []int {
	group := make([]int, len(fs))
	var groups [][]field
	var cur []field
	reading := false
	for i, f := range fs {
		switch {
		case sharedRole(f.role):
			group[i] = len(groups)
			continue
		case f.leads() && reading:
			groups = append(groups, cur)
			cur, reading = nil, false
		case f.role == asReading && f.Head.Reading.Known():
			reading = true
		}
		group[i] = len(groups)
		cur = append(cur, f)
	}
	groups = append(groups, cur)
	if len(groups) < 2 || !sameReadings(groups) {
		return make([]int, len(fs))
	}
	return group
}

// groupName names a group by the chemical dosed in it, by the heading of its dose where
// others dose the same, or by the heading above it.
func groupName(groups [][]field, fs []field) string {
	i := slices.IndexFunc(fs, field.dosed)
	if i < 0 {
		return ""
	}
	for _, o := range groups {
		if k := slices.IndexFunc(o, field.dosed); k >= 0 && o[k].C != fs[i].C && o[k].chem == fs[i].chem && !layout.SameText(o[k].Head.Text, fs[i].Head.Text) {
			return plainName(fs[i].Head.Text)
		}
	}
	return cmp.Or(fs[i].chem, fs[i].Group)
}

// sameReadings reports groups that each have a dose and read the same things.
func sameReadings(groups [][]field) bool {
	want := ""
	for i, g := range groups {
		keys := map[string]bool{}
		dose := false
		for _, f := range g {
			dose = dose || f.dosed()
			if f.role == asReading && f.Head.Reading.Known() {
				keys[string(f.Head.Reading)] = true
			}
		}
		var ks []string
		for k := range keys {
			ks = append(ks, k)
		}
		sort.Strings(ks)
		s := strings.Join(ks, ",")
		if !dose || s == "" || i > 0 && s != want {
			return false
		}
		want = s
	}
	return true
}

// splitParts gives one set of fields for each water or chemical that reading
// columns name, and the table as it is where none do.
func splitParts(fs []field) []part {
	var names []string
	seen := map[string]bool{}
	for _, f := range fs {
		if f.part != "" && !seen[f.part] {
			seen[f.part] = true
			names = append(names, f.part)
		}
	}
	if len(names) == 0 {
		return []part{{fields: fs}}
	}
	var out []part
	for _, n := range names {
		out = append(out, part{n, pick(fs, func(_ int, f field) bool { return f.part == "" || f.part == n })})
	}
	return out
}

// partition splits rows into runs of one test and chemical, and where the jar
// labels begin again with other doses.
func (b *bench) partition(t *layout.Table, fs []field, rows []dataRow) [][]dataRow {
	chems := map[string]bool{}
	for _, d := range rows {
		if d.chemKnown {
			chems[canonChem(d.chem)] = true
		}
	}
	type key struct{ section, test, chem string }
	index := map[key]int{}
	var out [][]dataRow
	var shared []dataRow
	for _, d := range rows {
		if len(chems) > 1 && !d.chemKnown {
			shared = append(shared, d)
			continue
		}
		k := key{d.section, d.test, canonChem(d.chem)}
		if len(chems) <= 1 {
			k.chem = ""
		}
		i, ok := index[k]
		if !ok {
			i = len(out)
			index[k] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], d)
	}
	for _, d := range shared {
		b.say(note.Info, "shared-control", d.labelAt, "the jar at %s has no chemical; it is taken as the control of every series of its test", d.labelAt.Cell)
		for i := range out {
			if out[i][0].section == d.section && out[i][0].test == d.test {
				out[i] = append([]dataRow{d}, out[i]...)
			}
		}
	}
	if len(out) == 1 {
		return b.restarts(t, fs, out[0])
	}
	return out
}

// canonChem gives the vocabulary's name of a chemical, or the text itself.
func canonChem(s string) string {
	if h := layout.ReadHeading(s); h.Chem != "" && (h.Rest == "" || len(h.Rest) > 12) {
		return h.Chem
	}
	return strings.TrimSpace(s)
}

// restarts splits a table in which the jar labels begin again with other doses.
func (b *bench) restarts(t *layout.Table, fs []field, rows []dataRow) [][]dataRow {
	whole := [][]dataRow{rows}
	dose := slices.IndexFunc(fs, field.dosed)
	if dose < 0 || len(rows) < 4 || rows[0].label == "" {
		return whole
	}
	var runs [][]dataRow
	for _, d := range rows {
		if len(runs) == 0 || words.Fold(d.label) == words.Fold(rows[0].label) {
			runs = append(runs, nil)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], d)
	}
	if len(runs) < 2 {
		return whole
	}
	again, constant := true, true
	var first map[string]float64
	for _, run := range runs {
		doses, ok := b.dosesByLabel(t, fs[dose], run)
		if !ok {
			return whole
		}
		if first == nil {
			first = doses
		}
		for label, x := range doses {
			was, had := first[label]
			again = again && had && was == x
			constant = constant && x == doses[words.Fold(run[0].label)]
		}
	}
	if constant || again && !b.setsAgain(t, fs, runs) {
		return whole
	}
	for _, run := range runs[1:] {
		if again {
			break // it was said
		}
		b.say(note.Caution, "labels-restart", run[0].labelAt, "the jar labels begin again at %s; a new series is taken to begin there", run[0].labelAt.Cell).do(b, "give the table a column that names the test if that is wrong")
	}
	return runs
}

// dosesByLabel gives the doses of a run of jars; ok is false for a run of one jar, or
// with two of one label.
func (b *bench) dosesByLabel(t *layout.Table, f field, run []dataRow) (doses map[string]float64, ok bool) {
	doses = map[string]float64{}
	for _, d := range run {
		doses[words.Fold(d.label)] = layout.ParseValue(ofAllRows(t, d.r, f.C), b.dec(t)).Num
	}
	return doses, len(run) > 1 && len(doses) == len(run)
}

// ofAllRows gives the cell of a table, or for one that is merged over several rows what holds for all.
func ofAllRows(t *layout.Table, r, c int) grid.Cell {
	if s, ok := mergedDown(t, r, c); ok {
		return t.View.At(s.R0, c)
	}
	return t.View.At(r, c)
}

// mergedDown gives the block of an empty cell of one column that is merged over several rows.
func mergedDown(t *layout.Table, r, c int) (grid.Span, bool) {
	if !t.View.At(r, c).Blank() {
		return grid.Span{}, false
	}
	s, ok := t.View.MergedAt(r, c)
	return s, ok && s.C0 == s.C1 && s.R1 > s.R0
}

// series makes one series of rows and fields. It gives none where nothing but
// faults is left.
func (b *bench) series(t *layout.Table, p part, rows []dataRow) []jartest.Series {
	if len(rows) == 0 {
		return nil
	}
	fs := p.fields
	s := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
	s.Place = note.Place{File: t.View.File, Sheet: t.View.Name, Cell: t.RangeName()}
	s.Name = b.seriesName(t, p, rows)
	b.dated(&s, t, fs, rows)
	m := &maker{b: b, t: t, fs: fs, rows: rows, part: p, s: &s}
	m.chemicals()
	m.jars()
	if len(s.Jars) == 0 {
		return nil
	}
	m.oddDoses()
	m.feedDoses()
	m.swapped()
	m.rawWater()
	m.controls()
	m.sectionDoses()
	m.strengthsUnused()
	m.fixed()
	m.sweep()
	m.duplicates()
	m.facts()
	return []jartest.Series{s}
}

func (b *bench) seriesName(t *layout.Table, p part, rows []dataRow) string {
	var parts []string
	add := func(s string) {
		s = strings.Join(strings.Fields(s), " ")
		for _, x := range parts {
			if x == s {
				return
			}
		}
		if s != "" {
			parts = append(parts, s)
		}
	}
	add(rows[0].section)
	test := rows[0].test
	for _, d := range rows {
		if d.test != test {
			test = ""
		}
	}
	add(test)
	for _, d := range rows {
		if d.chemKnown {
			add(d.chem)
			break
		}
	}
	add(p.name)
	if len(parts) == 0 {
		if x, ok := b.look(t, factName, ""); ok && x.keyed {
			add(x.text)
		}
	}
	if len(parts) == 0 {
		add(b.titleName(t))
	}
	if len(parts) == 0 {
		add(t.View.Name)
	}
	if len(parts) == 0 {
		name := t.View.File
		if i := strings.LastIndexAny(name, `/\`); i >= 0 {
			name = name[i+1:]
		}
		if i := strings.LastIndex(name, "."); i > 0 {
			name = name[:i]
		}
		add(name)
	}
	name := strings.Join(parts, ", ")
	if len([]rune(name)) > 80 {
		name = string([]rune(name)[:80])
	}
	return name
}

// setUp are the facts on how a test was set up or what it is for: a line that states one names no test.
var setUp = map[factKind]bool{factTarget: true, factVolume: true, factStock: true, factPerMl: true, factDensity: true, factDrop: true}

// titleName gives the line above a table as the name of its test; of one that states how the test was set up, the part
// that does not.
func (b *bench) titleName(t *layout.Table) string {
	states := func(x fact) bool { return setUp[x.kind] && x.at == t.TitleAt }
	if !slices.ContainsFunc(b.facts, states) {
		return t.Title
	}
	for _, part := range partSign.Split(t.Title, -1) {
		if h := layout.ReadHeading(part); ofOneTest(part) && !h.Target && !h.Amount && !h.Stock && !h.Volume {
			return strings.TrimSpace(part)
		}
	}
	return ""
}

// waters parts series whose jars were filled from several waters, once rows that were
// copied are out.
func (b *bench) waters(all []jartest.Series) []jartest.Series {
	var out []jartest.Series
	for _, s := range all {
		s, copied := s.WithoutCopies()
		b.notes.Add(copied...)
		parts, notes := s.Waters()
		b.notConstituents(s, parts)
		b.notes.Add(notes...)
		out = append(out, parts...)
	}
	return out
}

// notConstituents takes back that a heading was taken for a chemical where that is none of
// those dosed but what the water was made up with, which is said of it instead.
func (b *bench) notConstituents(s jartest.Series, parts []jartest.Series) {
	b.notes = slices.DeleteFunc(b.notes, func(n note.Note) bool {
		called := func(c jartest.Chemical) bool { return c.Name == b.strange[n.Place] }
		dosed := func(part jartest.Series) bool { return slices.ContainsFunc(part.Chemicals, called) }
		return n.Code == "chemical-unknown" && n.Place.File == s.Place.File && n.Place.Sheet == s.Place.Sheet &&
			slices.ContainsFunc(s.Chemicals, called) && !slices.ContainsFunc(parts, dosed)
	})
}

// dropCopies leaves out a series that repeats another, as summary sheets do.
func (b *bench) dropCopies(all []jartest.Series) []jartest.Series {
	var out []jartest.Series
	seen := map[string]note.Place{}
	for _, s := range all {
		print := fingerprint(s)
		if at, ok := seen[print]; ok && len(s.Jars) > 1 {
			b.say(note.Caution, "repeated-series", s.Place, "the jars at %s are the same as those at %s and were left out", s.Place, at)
			continue
		}
		seen[print] = s.Place
		out = append(out, s)
	}
	out = b.dropSummaries(out)
	names := map[string]int{}
	for _, s := range out {
		names[s.Name]++
	}
	count := map[string]int{}
	for i, s := range out {
		if names[s.Name] > 1 {
			count[s.Name]++
			out[i].Name = fmt.Sprintf("%s (%d)", s.Name, count[s.Name])
		}
	}
	return out
}

func fingerprint(s jartest.Series) string {
	var w []byte
	number := func(v float64) { w = strconv.AppendFloat(w, v, 'g', 6, 64) }
	for _, c := range s.Chemicals {
		w = append(w, c.Name+";"...)
	}
	keys := s.Keys()
	for _, j := range s.Jars {
		for _, d := range j.Doses {
			number(float64(d.Concentration))
			w = append(w, ',')
		}
		for _, k := range keys {
			if x := j.Readings.Of(k); x.State != jartest.Missing {
				w = append(w, string(k)+"="+strconv.Itoa(int(x.State))+":"...)
				number(x.Value)
				w = append(w, ';')
			}
		}
		w = append(w, '|')
	}
	return string(w)
}

func round12(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	if n := math.Round(v * 1000); math.Abs(n) < 1e12 && n/1000 == v {
		return v // three decimals at most: there is nothing to round
	}
	return quantity.RoundSig(v, 12)
}
