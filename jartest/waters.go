package jartest

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// fewestInWater is how many different doses a group of jars needs to be a test of its own.
const fewestInWater = 3

// mark is a column that may tell one water from another.
type mark struct {
	name, unit string
	key        Key // of the raw water or of the readings; "" for a column of text
	// sure: its name says that it is of the water; else only jars laid out water by
	// water, dose for dose, make it so.
	sure bool
	// reading: it stands among the readings.
	reading bool
	// set: it says how the jars were treated, which a test has as a factor beside the dose.
	set bool
}

// turned are words of a column of what a stirrer is set to, and stirred those of what it does in a time.
var (
	turned  = []string{"rpm", "speed", "recycle"}
	stirred = []string{"mix", "mixing", "stir", "stirring", "flocculation", "floc", "slow", "rapid"}
	lasting = []string{"min", "minutes", "s", "sec", "seconds", "time", "duration"}
	noticed = []string{"first", "seen", "visible", "to", "observed", "until", "size", "appear", "appearance"}
)

// sets reports the key of a column with how the jars of a test were treated: white water, the speed of
// the stirrer, the time of flocculation.
func (k Key) sets() bool {
	name := string(k)
	return !k.Known() && !saysOne(name, noticed) && (saysOne(name, turned) || saysOne(name, stirred) && saysOne(name, lasting))
}

// watery are words of columns that are of the water, whoever dosed what into it.
var watery = []string{"raw", "influent", "inlet", "initial", "humic", "fulvic", "clay", "kaolin", "kaolinite", "nom", "silt", "algae", "salinity",
	"temperature", "temp", "pond", "lake", "river", "well", "tank", "basin", "reservoir", "stream", "source", "water", "season", "storm", "date", "day"}

// ofRows are words of columns that number what stands in them, such as "source record": they
// are of the row, whatever else they name.
var ofRows = []string{"record", "row", "id", "index", "ref", "reference", "file", "page", "line"}

// constituents are what water is made up with on a bench, and nobody doses to treat it.
var constituents = []string{"humic", "fulvic", "clay", "kaolin", "kaolinite", "nom"}

// apart is how far two waters lie apart at least: an amount, or a share of the value.
var apart = map[Key]struct{ amount, share float64 }{
	TemperatureKey: {2, 0}, PH: {0.3, 0}, Turbidity: {0, 0.15}, "": {0, 0.05}}

func saysOne(name string, words []string) bool {
	return slices.ContainsFunc(strings.Split(string(Slug(name)), "_"), func(w string) bool { return slices.Contains(words, w) })
}

// Waters parts a series whose jars were filled from several waters, as a column that
// is of the water (humic acid, clay, temperature, pond, raw turbidity) or one under
// which all doses come again says. Each part is a series of its own, named by its
// water; a series of one water comes back whole. A constituent of the water that
// stands among the chemicals is none of them afterwards, so that no answer can be to
// change it. Where the water differs and cannot be parted, a caution asks.
func (s Series) Waters() ([]Series, note.List) {
	var notes note.List
	all := s.Chemicals
	s = s.withoutConstituents()
	for _, c := range all {
		if !slices.ContainsFunc(s.Chemicals, func(o Chemical) bool { return o.Name == c.Name }) {
			notes.Add(note.New(note.Info, "made-up-water", "%s is taken for what the water was made up with, and for no chemical that was dosed", c.Name).
				At(s.Place).Do("name it otherwise if it was dosed, such as %q", "ballast"))
		}
	}
	marks := s.marks()
	for i, m := range marks {
		groups := s.group(m)
		switch {
		case len(groups) < 2:
			continue
		case !s.laidOut(groups, m.sure || m.set):
			if m.sure && !m.reading {
				notes.Add(note.New(note.Caution, "waters-mixed", "the raw water differs between the jars (%s), and too few doses come again to part them: an answer from all of them speaks for no one water",
					s.values(m, groups)).At(s.Place).Do("test each water at four doses or more, in a series of its own"))
			}
			continue
		}
		notes.Add(m.parted(len(groups), s.values(m, groups)).At(s.Place))
		var out []Series
		also := slices.DeleteFunc(slices.Clone(marks[i+1:]), func(o mark) bool { return !slices.EqualFunc(s.group(o), groups, slices.Equal) })
		for _, g := range groups {
			part, more := s.of(append(slices.Clone(also), m), g).Waters()
			out = append(out, part...)
			notes.Add(more...)
		}
		return out, notes
	}
	return []Series{s}, notes
}

// parted says why the jars of a series are parted; a stirring time is of no water.
func (m mark) parted(n int, values string) note.Note {
	switch {
	case m.set:
		return note.New(note.Info, "factor-parted", "the test has a factor besides the dose (%s): each of its %d values is a series of its own, so that they are compared and not pooled", values, n)
	case m.sure:
		return note.New(note.Caution, "waters-parted", "the jars were filled from %d waters (%s); each is a series of its own, because each needs its own dose", n, values).Do(oneWater)
	}
	return note.New(note.Caution, "waters-parted", "all doses come again under each of %d values (%s); each is a series of its own, because the jars were not treated alike", n, values).Do(oneWater)
}

const oneWater = "name the test of each jar in a column if they are one water"

// withoutConstituents takes what the water was made up with out of the chemicals,
// where another is left.
func (s Series) withoutConstituents() Series {
	for c := 0; c < len(s.Chemicals) && len(s.Chemicals) > 1; c++ {
		name := s.Chemicals[c].Name
		if !saysOne(name, constituents) {
			continue
		}
		s.Chemicals = slices.Delete(slices.Clone(s.Chemicals), c, c+1)
		s.Jars = slices.Clone(s.Jars)
		for i := range s.Jars {
			j := &s.Jars[i]
			if c >= len(j.Doses) {
				continue
			}
			d := j.Doses[c]
			j.Doses = slices.Delete(slices.Clone(j.Doses), c, c+1)
			j.Control = !slices.ContainsFunc(j.Doses, func(d JarDose) bool { return !d.Known || d.Concentration != 0 })
			if d.Known {
				r := Num(float64(d.Concentration), "mg/L")
				r.At = d.At
				j.Raw = withReading(j.Raw, Slug(plainName(name)), r)
			}
		}
		c--
	}
	return s
}

func withReading(m map[Key]Reading, k Key, r Reading) map[Key]Reading {
	out := map[Key]Reading{}
	maps.Copy(out, m)
	out[k] = r
	return out
}

// plainName is a heading without what is left of its unit.
func plainName(s string) string {
	return strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(s), " mg per l"), " per")
}

// marks lists the columns that may tell waters apart, those that are sure first.
func (s Series) marks() []mark {
	var sure, maybe []mark
	seen := map[string]bool{}
	add := func(m mark) {
		if seen[m.name] {
			return
		}
		seen[m.name] = true
		if m.sure {
			sure = append(sure, m)
		} else {
			maybe = append(maybe, m)
		}
	}
	raw := map[Key]Reading{}
	for _, j := range s.Jars {
		for k, r := range j.Raw {
			raw[k] = r
		}
		for _, f := range j.Said {
			add(mark{name: f.Name, sure: saysOne(f.Name, watery) && !saysOne(f.Name, ofRows)})
		}
	}
	for _, k := range KindsOf(raw) {
		name := k.Info().Label
		if k.Known() {
			name = "raw " + name
		}
		add(mark{name: name, unit: raw[k].Unit, key: k, sure: k.Known() || !saysOne(string(k), ofRows)})
	}
	for _, k := range s.Keys() {
		if i := k.Info(); !k.Known() || k == TemperatureKey {
			sure := saysOne(string(k), watery) && !saysOne(string(k), ofRows) && !k.sets()
			add(mark{name: plainName(i.Label), unit: cmp.Or(i.Unit, s.unitOf(k)), key: k, sure: sure, reading: true, set: k.sets()})
		}
	}
	return append(sure, maybe...)
}

// unitOf is the unit that the readings of a key have.
func (s Series) unitOf(k Key) string {
	for _, j := range s.Jars {
		if r, ok := j.Readings.Get(k); ok && r.Unit != "" && !strings.Contains(string(k), "_"+string(Slug(r.Unit))) {
			return r.Unit
		}
	}
	return ""
}

// group gives the jars of each value of a mark, by their places; none where a jar
// has no value.
func (s Series) group(m mark) [][]int {
	if m.key == "" {
		return s.groupByText(m)
	}
	type jar struct {
		at int
		v  float64
	}
	jars := make([]jar, len(s.Jars))
	for i, j := range s.Jars {
		r, ok := j.Raw[m.key]
		if m.reading {
			r, ok = j.Readings.Get(m.key)
		}
		if !ok || r.State != Number {
			return nil
		}
		jars[i] = jar{i, r.Value}
	}
	sort.SliceStable(jars, func(a, b int) bool { return jars[a].v < jars[b].v })
	gap, known := apart[m.key]
	if !known {
		gap = apart[""]
	}
	if m.reading && m.key != TemperatureKey { // a condition that was set is the same in every jar; a response is not
		gap.amount, gap.share = 0, 0
	}
	var out [][]int
	for i, j := range jars {
		if i == 0 || j.v-jars[i-1].v > math.Max(gap.amount, gap.share*math.Abs(j.v)) {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], j.at)
	}
	return ordered(out)
}

func (s Series) groupByText(m mark) [][]int {
	at := map[string]int{}
	var out [][]int
	for i, j := range s.Jars {
		k := slices.IndexFunc(j.Said, func(f Fact) bool { return f.Name == m.name })
		if k < 0 {
			return nil
		}
		g, ok := at[j.Said[k].Value]
		if !ok {
			g = len(out)
			at[j.Said[k].Value] = g
			out = append(out, nil)
		}
		out[g] = append(out[g], i)
	}
	return out
}

// ordered puts groups, and the jars in them, in the order of the sheet.
func ordered(groups [][]int) [][]int {
	for _, g := range groups {
		slices.Sort(g)
	}
	sort.Slice(groups, func(a, b int) bool { return groups[a][0] < groups[b][0] })
	return groups
}

// laidOut reports groups that are tests of their own: each has its doses, and they
// come again from group to group, mostly where the column is of the water for sure or was set on purpose.
func (s Series) laidOut(groups [][]int, sure bool) bool {
	in := map[string]map[int]bool{}
	for g, jars := range groups {
		doses := map[string]bool{}
		for _, i := range jars {
			d := s.Jars[i].doses()
			doses[d] = true
			if in[d] == nil {
				in[d] = map[int]bool{}
			}
			in[d][g] = true
		}
		if len(doses) < fewestInWater {
			return false
		}
	}
	again := 0
	for _, j := range s.Jars {
		if len(in[j.doses()]) > 1 {
			again++
		}
	}
	if sure {
		return 2*again >= len(s.Jars)
	}
	return 4*again >= 3*len(s.Jars)
}

// doses tells jars of other doses apart.
func (j Jar) doses() string {
	var w strings.Builder
	for _, d := range j.Doses {
		fmt.Fprintf(&w, "%v %.9g,", d.Known, float64(d.Concentration))
	}
	if v, ok := j.Settings["ph_target"]; ok {
		fmt.Fprintf(&w, "at %g", v)
	}
	return w.String()
}

// values gives what a mark says of each group.
func (s Series) values(m mark, groups [][]int) string {
	var out []string
	for _, g := range groups {
		text, _ := s.water(m, g)
		out = append(out, text)
	}
	return m.name + " " + strings.Join(out, ", ")
}

// water gives what a mark says of a group of jars, in words and, where it has one, as
// a number: the mean.
func (s Series) water(m mark, group []int) (string, Reading) {
	first := s.Jars[group[0]]
	if m.key == "" {
		k := slices.IndexFunc(first.Said, func(f Fact) bool { return f.Name == m.name })
		return first.Said[k].Value, Reading{At: first.Said[k].At}
	}
	r, sum := m.value(first), 0.0
	for _, i := range group {
		sum += m.value(s.Jars[i]).Value
	}
	r.Value, r.Replicates = quantity.RoundSig(sum/float64(len(group)), 12), nil
	return strings.TrimSpace(fmt.Sprintf("%g %s", quantity.RoundSig(r.Value, 3), m.unit)), r
}

// of gives the part of a series that a group of its jars is, with what each mark says
// of it.
func (s Series) of(marks []mark, group []int) Series {
	jars := s.Jars
	s.Jars = nil
	for _, i := range group {
		s.Jars = append(s.Jars, jars[i])
	}
	slices.SortStableFunc(marks, func(a, b mark) int { return strings.Compare(a.name, b.name) })
	for _, m := range marks {
		s = s.marked(m)
	}
	return s
}

// marked names a series by what a mark says of all its jars. A reading that was the
// same in all of them was no reading, but the water.
func (s Series) marked(m mark) Series {
	text, r := s.water(m, places(len(s.Jars)))
	same := !slices.ContainsFunc(s.Jars, func(j Jar) bool { return m.value(j).Value != m.value(s.Jars[0]).Value })
	if m.key == RecycleKey {
		s.Recycle = quantity.Fraction(r.Value / 100)
	}
	if k := m.key; k != "" && !m.set {
		if !k.Known() {
			k = Slug(m.name)
		}
		if _, had := s.Raw[k]; !(had && m.reading) {
			s.Raw = withReading(s.Raw, k, r)
		}
	}
	s.Name = strings.TrimPrefix(s.Name+", ", ", ") + m.name + " " + text
	s.Meta = append(slices.Clone(s.Meta), Fact{Name: m.name, Value: text, At: r.At})
	s.Jars = slices.Clone(s.Jars)
	for i := range s.Jars {
		j := &s.Jars[i]
		switch {
		case m.key == "":
			j.Said = slices.DeleteFunc(slices.Clone(j.Said), func(f Fact) bool { return f.Name == m.name })
		case m.reading && same:
			if !m.set {
				j.Raw = withReading(j.Raw, Slug(m.name), j.Readings.Of(m.key))
			}
			j.Readings = j.Readings.Without(m.key)
		}
	}
	return s
}

func places(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// value is what a jar has of a mark.
func (m mark) value(j Jar) Reading {
	if m.reading {
		return j.Readings.Of(m.key)
	}
	return j.Raw[m.key]
}
