package bioassay

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/pond"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Read reads the trials of a workbook or a text table: our own layout, and any table with a row of headings that name a
// dose or a group and the dead, or the living, of it. Every fault names its cell. The error is that of a file without a trial
// and of figures that cannot be.
func Read(name string, r io.Reader) ([]Trial, error) {
	data, err := grid.ReadAll(name, r)
	if err != nil {
		return nil, err
	}
	f, err := grid.Open(name, bytes.Clone(data), grid.Words{Heading: func(s string) bool { return columnOf(0, s).role != noRole }, Data: isNumber})
	if err != nil {
		return nil, err
	}
	sheets, told := f.Sheets, note.List(nil)
	if f.Text != nil {
		s, notes, err := f.Text.Sheet()
		if err != nil {
			return nil, err
		}
		sheets, told = []*grid.Sheet{s}, notes
	}
	var out []Trial
	var faults note.List
	for _, s := range sheets {
		if s.Fault != nil {
			faults.Add(*s.Fault)
			continue
		}
		trials, bad := trialsOf(s)
		faults.Add(bad...)
		out = append(out, trials...)
	}
	if len(out) == 0 && len(faults) == 0 {
		return nil, note.Fault("no-trial", "holds no trial: no row of headings names a dose (or a group) and the dead").At(note.Place{File: name}).
			Do(`write columns such as Dose (mg/L), Animals, Dead at 96 h, or begin with "jarwright new trial FILE.xlsx --of animals"`)
	}
	if len(out) > 0 {
		out[0].Notes = slices.Concat(told, out[0].Notes)
	}
	return out, faults.Err()
}

// isNumber reports a field that is a number, with a percent sign or a decimal comma.
func isNumber(s string) bool {
	_, ok := number(strings.TrimSuffix(strings.TrimSpace(s), "%"))
	return ok
}

// grouped is a number whose comma may part thousands or a fraction: "1,250", and not "0,125" or "1,25".
var grouped = regexp.MustCompile(`^\s*[1-9]\d{0,2}(?:,\d{3})+(?:\D|$)`)

// number reads a number with a point or a decimal comma; none where it can be either of two.
func number(s string) (float64, bool) {
	if grouped.MatchString(s) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(s), ",", ".", 1), 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// written writes a number as a sheet has it.
func written(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }

// trialsOf reads a sheet: each row of headings begins a trial, which ends at an empty row.
func trialsOf(s *grid.Sheet) (out []Trial, faults note.List) {
	from := 0
	for r := 0; r < len(s.Rows); r++ {
		cols := headingRow(s, r)
		if cols == nil {
			continue
		}
		x := tableReader{sheet: s, cols: cols, Trial: Trial{At: s.Place(r, cols[0].at)}}
		x.facts(from, r)
		if x.under(r + 1) {
			r++
		}
		r = x.rows(r + 1)
		from = r
		x.columns()
		faults.Add(x.faults...)
		out = append(out, x.Trial)
	}
	return out, faults
}

// headingRow gives the columns of a row of headings, nil for any other row: deaths or survivors have to stand beside a
// dose or a group.
func headingRow(s *grid.Sheet, r int) (cols []column) {
	var has = map[role]bool{}
	for c := range s.Rows[r] {
		x := s.At(r, c)
		if x.Blank() {
			continue
		}
		if x.Kind != grid.Textual || isNumber(x.Text) {
			return nil
		}
		h := columnOf(c, x.Text)
		has[h.role] = true
		cols = append(cols, h)
	}
	if (has[dead] || has[alive]) && (has[dosed] || has[group]) {
		return cols
	}
	return nil
}

// under takes a second row of headings that holds the hours of the counts under one heading for all of them: "24 h", "48 h".
func (x *tableReader) under(r int) bool {
	counts := x.counts()
	if len(counts) != 1 || r >= len(x.sheet.Rows) {
		return false
	}
	var hours []column
	for c := range x.sheet.Rows[r] {
		v := x.sheet.At(r, c)
		if v.Blank() {
			continue
		}
		text := v.Text
		if _, bare := number(text); bare {
			text += " " + cmp.Or(timeUnitIn(counts[0].text), "?")
		}
		h := hourIn(words.Fold(text))
		if c < counts[0].at || !h.OK {
			return false
		}
		head := counts[0]
		head.at, head.hour, head.text = c, h, head.text+" "+v.Text
		hours = append(hours, head)
	}
	if len(hours) == 0 {
		return false
	}
	x.cols = append(slices.DeleteFunc(x.cols, func(c column) bool { return c.at >= hours[0].at && c.at <= hours[len(hours)-1].at }), hours...)
	return true
}

// tableReader reads one trial.
type tableReader struct {
	Trial
	sheet *grid.Sheet
	cols  []column
	each  quantity.Known[int] // animals of a group, said once for all
	// long is true of a table with a row for each group and time.
	long   bool
	faults note.List
}

func (x *tableReader) fault(r, c int, code, remedy, format string, args ...any) {
	x.faults.Add(note.Fault(code, format, args...).At(x.sheet.Place(r, c)).Do("%s", remedy))
}

// facts are the lines above the table that the answer takes up: a label, and the value in the next filled cell.
func (x *tableReader) facts(from, to int) {
	for r := from; r < to; r++ {
		for c := range x.sheet.Rows[r] {
			label := words.Fold(strings.TrimSuffix(strings.TrimSpace(x.sheet.At(r, c).Text), ":"))
			v := x.beside(r, c)
			if v == "" {
				continue
			}
			switch label {
			case "trial", "test", "name":
				x.Name = v
			case "chemical", "product", "substance":
				x.Chemical = v
			case "animal", "animals", "species":
				x.Animal = v
			case "dose counts", "doses count", "basis":
				x.basis(v, r, c)
			case "animals in each group", "animals per group", "animals each":
				n, ok := number(v)
				if !ok || n != math.Trunc(n) || n < 1 {
					x.fault(r, c, "bad-count", "write a whole number", "%q is no number of animals", v)
					continue
				}
				x.each = quantity.Some(int(n))
			}
		}
	}
}

// beside is what stands right of a label, which may be merged over several cells.
func (x *tableReader) beside(r, c int) string {
	next := c + 1
	if m, merged := x.sheet.Merged(r, c); merged {
		next = m.C1 + 1
	}
	return strings.TrimSpace(x.sheet.At(r, next).Text)
}

func (x *tableReader) basis(v string, r, c int) {
	b, err := quantity.ParseBasis(v)
	if err != nil {
		x.faults.Add(note.Of(err, "basis-unknown")[0].At(x.sheet.Place(r, c)))
		return
	}
	x.Basis = b
}

// columns says which headings nothing here takes up.
func (x *tableReader) columns() {
	for _, c := range x.cols {
		if c.role == noRole || c.role == timed && !x.long {
			x.Notes.Add(note.New(note.Info, "column-not-used", "the column %q is not used", c.text).At(x.Trial.At))
		}
	}
}

// unheard asks of headings that nothing takes up whether one of them counts the animals, where no column does.
func (x *tableReader) unheard() string {
	var names []string
	for _, c := range x.of(noRole) {
		names = append(names, fmt.Sprintf("%q", c.text))
	}
	if len(names) == 0 || len(x.of(animals)) > 0 {
		return ""
	}
	return "; the heading " + strings.Join(names, ", ") + " is not understood: where it counts them, write Animals"
}

// of gives the columns of a role.
func (x *tableReader) of(want ...role) (out []column) {
	for _, c := range x.cols {
		if slices.Contains(want, c.role) {
			out = append(out, c)
		}
	}
	return out
}

// counts are the columns of the dead, or of the living where there are none of the dead.
func (x *tableReader) counts() []column {
	if d := x.of(dead); len(d) > 0 {
		return d
	}
	return x.of(alive)
}

// rows reads the groups below the headings until an empty row, and gives that row.
func (x *tableReader) rows(r int) int {
	times, cols := x.of(timed), x.counts()
	long := len(times) == 1 && len(cols) == 1
	x.long = long
	slices.SortStableFunc(cols, func(a, b column) int { return cmp.Compare(a.hour.V, b.hour.V) })
	if !long {
		for _, c := range cols {
			x.Times = append(x.Times, c.hour)
		}
		for i, c := range cols[1:] {
			if cols[i].hour == c.hour {
				x.fault(r-1, c.at, "one-time-twice", `name the hours of each, such as "Dead at 24 h"`, "two columns of deaths are of the same time")
			}
		}
	}
	for began := r; r < len(x.sheet.Rows); r++ {
		if !slices.ContainsFunc(x.cols, func(c column) bool { return !x.sheet.At(r, c.at).Blank() }) {
			if len(x.Groups) == 0 && r < began+2 {
				continue
			}
			break
		}
		g, ok := x.group(r)
		if !ok {
			continue
		}
		if long {
			x.later(g, r, times[0], cols[0])
			continue
		}
		for _, c := range cols {
			g.Dead = append(g.Dead, x.count(r, c, g))
		}
		x.rising(g, r, cols)
		x.agree(g, r, cols)
		x.Groups = append(x.Groups, g)
	}
	return r
}

// controlWords are parts of words for animals that get nothing.
var controlWords = []string{"control", "kontroll", "temoin", "testigo", "untreated", "undosed", "new water", "clean water"}

// isControl reports a name of animals that get nothing.
func isControl(name string) bool {
	folded := words.Fold(name)
	return slices.ContainsFunc(controlWords, func(w string) bool { return strings.Contains(folded, w) })
}

// group reads what a row is about: dose, name, animals.
func (x *tableReader) group(r int) (g Group, ok bool) {
	g.At = x.sheet.Place(r, x.cols[0].at)
	for _, c := range x.of(group) {
		if text := strings.TrimSpace(x.sheet.At(r, c.at).Text); text != "" {
			g.Name = strings.TrimSpace(g.Name + " " + text)
		}
	}
	sound := len(x.faults)
	for _, c := range x.of(dosed) {
		x.dose(&g, r, c)
	}
	g.Control = g.Control || isControl(g.Name) || g.Dose.OK && g.Dose.V == 0
	if g.Control && g.Dose.V > 0 {
		x.fault(r, x.cols[0].at, "control-dosed", "give it dose 0, or another name", "a control has a dose, %s mg/L", written(float64(g.Dose.V)))
	}
	if g.Control {
		g.Dose = quantity.Known[quantity.Concentration]{}
	}
	filled := func(c column) bool { return !x.sheet.At(r, c.at).Blank() }
	if g.Name == "" && !g.Dose.OK && !g.Control {
		if len(x.faults) == sound && slices.ContainsFunc(x.counts(), filled) {
			x.fault(r, x.cols[0].at, "group-without-dose", "write its dose, or a name such as control", "deaths without a dose or a name")
		}
		return g, false
	}
	g.Animals = x.each.V
	for _, c := range x.of(animals) {
		v := x.sheet.At(r, c.at)
		n, num := x.value(v)
		switch {
		case v.Blank():
		case !num || n != math.Trunc(n) || n < 1 || n > 1e6:
			x.fault(r, c.at, "bad-count", "write a whole number", "%q is no number of animals", v.Text)
		default:
			g.Animals = int(n)
		}
	}
	if g.Animals == 0 && slices.ContainsFunc(x.counts(), filled) {
		x.fault(r, x.cols[0].at, "animals-missing", "write how many animals the group had when the trial began"+x.unheard(), "deaths of %s without its number of animals", g.called())
	}
	return g, true
}

// dose reads a dose: a number in the heading's unit, or with its own.
func (x *tableReader) dose(g *Group, r int, c column) {
	v := x.sheet.At(r, c.at)
	text := strings.TrimSpace(v.Text)
	n, num := x.value(v)
	switch {
	case v.Blank() || text == "-":
	case v.Kind != grid.Numeric && grouped.MatchString(text):
		x.fault(r, c.at, "dose-comma", "write it without the comma, or its fraction behind a point", "the comma in %q may part thousands or a fraction", text)
	case isControl(text):
		g.Control = true
	case num && n == 0:
		g.Dose = quantity.Some(quantity.Concentration(0))
	case num && c.unit == "":
		x.fault(r, c.at, "dose-without-unit", `write it in the heading, such as "Dose (mg/L)"`, "the dose %s has no unit", text)
	case num:
		x.parsed(g, r, c, written(n)+" "+c.unit)
	case !strings.ContainsAny(text, "0123456789"):
		g.Name = strings.TrimSpace(g.Name + " " + text)
	default:
		x.parsed(g, r, c, strings.Replace(text, ",", ".", 1))
	}
}

// ByVolume is the code of a dose that is a volume of product.
const ByVolume = "dose-by-volume"

// ParseDose reads the dose of a group. A volume of product for so much water is no dose before somebody weighs it.
func ParseDose(text string) (quantity.Dose, error) {
	d, err := quantity.ParseDose(text)
	if p, no := pond.ParseDose(text); err != nil && no == nil && p.Liquid > 0 {
		return d, note.Fault(ByVolume, "%q is a volume of product, and what it weighs is not known here", text).
			Do("times the product's density in kg/L, mL/m3 are mg/L as product: 4 mL/m3 of 1.2 kg/L are 4.8 mg/L")
	}
	return d, err
}

// parsed puts a dose with its unit into a group, and what it counts into the trial.
func (x *tableReader) parsed(g *Group, r int, c column, text string) {
	d, err := ParseDose(text)
	if err != nil && note.Of(err, "bad-dose")[0].Code == ByVolume {
		x.faults.Add(note.Of(err, ByVolume)[0].At(x.sheet.Place(r, c.at)))
		return
	}
	if err != nil {
		x.faults.Add(note.Of(err, "bad-dose")[0].At(x.sheet.Place(r, c.at)).Do(`doses are mass per volume, such as "4 mg/L"; name a group in which the water itself is tested "tank water", without a dose`))
		return
	}
	if d.Basis != quantity.NotStated {
		if x.Basis != quantity.NotStated && x.Basis != d.Basis {
			x.fault(r, c.at, "two-bases", "count all doses alike", "this dose counts %s, others %s", string(d.Basis), string(x.Basis))
		}
		x.Basis = d.Basis
	}
	g.Dose = quantity.Some(d.Concentration)
}

// value is the number of a cell; of text with a percent sign the number before it.
func (x *tableReader) value(v grid.Cell) (float64, bool) {
	if v.Kind == grid.Numeric {
		return v.Num, true
	}
	return number(strings.TrimSuffix(strings.TrimSpace(v.Text), "%"))
}

// count reads the dead of a group: a whole number, a share of its animals, or what is left of the living.
func (x *tableReader) count(r int, c column, g Group) (d quantity.Known[int]) {
	v := x.sheet.At(r, c.at)
	d.At = x.sheet.Place(r, c.at)
	if v.Blank() || strings.TrimSpace(v.Text) == "-" || g.Animals == 0 {
		return d
	}
	n, ok := x.value(v)
	if !ok {
		x.fault(r, c.at, "bad-count", "write the number of dead so far, 0 where none died", "%q is no count", v.Text)
		return d
	}
	many := float64(g.Animals)
	if share := c.share || v.Percent() || strings.HasSuffix(strings.TrimSpace(v.Text), "%"); share {
		part := n / 100
		if v.Percent() {
			part = n
		}
		n = math.Round(part * many)
		const rounding = 0.0051 // of a share in whole percent
		if math.Abs(n-part*many) > rounding*many || part < 0 || part > 1 {
			x.fault(r, c.at, "share-of-no-animal", "write the number of dead", "%s %% of %d animals is no whole animal", written(part*100), g.Animals)
			return d
		}
	}
	if c.role == alive {
		n = many - n
	}
	if n != math.Trunc(n) || n < 0 || n > many {
		x.fault(r, c.at, "bad-count", "write the number of dead so far, from 0 to all of them", "%s dead of %d is no count", written(n), g.Animals)
		return d
	}
	d.V, d.OK = int(n), true
	return d
}

// agree holds the living against the dead, where both are counted.
func (x *tableReader) agree(g Group, r int, cols []column) {
	for _, c := range x.of(alive) {
		for i, d := range cols {
			if c.at == d.at || c.hour != d.hour {
				continue
			}
			if other := x.count(r, c, g); other.OK && g.Dead[i].OK && other.V != g.Dead[i].V {
				x.fault(r, c.at, "living-and-dead-disagree", "correct one of them, or how many animals there were", "%d dead of %d, and %d living", g.Dead[i].V, g.Animals, g.Animals-other.V)
			}
		}
	}
}

// rising holds that the dead so far never become fewer.
func (x *tableReader) rising(g Group, r int, cols []column) {
	most, at := 0, 0
	for i, d := range g.Dead {
		if d.OK && d.V < most {
			x.fault(r, cols[i].at, "dead-become-fewer", "write all that died so far, not those since the last look",
				"%d dead of %s, after %d at an earlier look (%s)", d.V, g.called(), most, cols[at].text)
			return
		}
		if d.OK {
			most, at = d.V, i
		}
	}
}

// later puts a row of a table with a column of times to the group that it is of.
func (x *tableReader) later(g Group, r int, times, c column) {
	v := x.sheet.At(r, times.at)
	unit := cmp.Or(times.unit, "h")
	hour := hourIn(words.Fold(v.Text + " " + unit))
	if n, ok := x.value(v); ok {
		hour = hourIn(words.Fold(written(n) + " " + unit))
	}
	if !hour.OK {
		x.fault(r, times.at, "bad-time", `write hours, such as 24`, "%q is no time", v.Text)
		return
	}
	i, there := slices.BinarySearchFunc(x.Times, hour.V, func(t quantity.Known[quantity.Time], h quantity.Time) int { return cmp.Compare(t.V, h) })
	if !there {
		x.Times = slices.Insert(x.Times, i, hour)
		for k := range x.Groups {
			x.Groups[k].Dead = slices.Insert(x.Groups[k].Dead, i, quantity.Known[int]{})
		}
	}
	d := x.count(r, c, g)
	for k := range x.Groups {
		h := &x.Groups[k]
		if h.Name == g.Name && h.Dose.OK == g.Dose.OK && h.Dose.V == g.Dose.V && h.Control == g.Control && h.Animals == g.Animals && !h.Dead[i].OK {
			h.Dead[i] = d
			x.steady(*h, i, r, c)
			return
		}
	}
	g.Dead = make([]quantity.Known[int], len(x.Times))
	g.Dead[i] = d
	x.Groups = append(x.Groups, g)
}

// steady is [tableReader.rising] of a group whose count at one time was put in.
func (x *tableReader) steady(g Group, i, r int, c column) {
	for k, d := range g.Dead {
		if d.OK && g.Dead[i].OK && (k < i && d.V > g.Dead[i].V || k > i && d.V < g.Dead[i].V) {
			x.fault(r, c.at, "dead-become-fewer", "write all that died so far, not those since the last look", "%d dead of %s at %s h, and %d at %s h",
				g.Dead[i].V, g.called(), written(float64(x.Times[i].V)), d.V, written(float64(x.Times[k].V)))
			return
		}
	}
}
