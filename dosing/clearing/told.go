package clearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/logbook"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// told is a setting that a column may tell row by row.
type told struct {
	role role
	// fact is the line beside a table that tells the same of all rows, and what how a sentence calls it.
	fact, what string
	// drifts is by what share two of its values differ at least that somebody set (judgement, no source); 0 where any two do.
	drifts float64
	// chosen is a setting that somebody chooses for a run, so that another value is another run wherever it stands.
	chosen bool
	// says names a run by it; empty for none.
	says func(value string) string
	// of reads a number with its unit, in the unit that put takes; put is what a run has of the mean.
	of   func(text string) (float64, error)
	put  func(f *facts, v float64)
	is   func(f *facts) float64
	show func(v float64) quantity.Rounded
}

// toldBy makes a row of [tolds].
func toldBy[Q interface {
	~float64
	quantity.Quantity
}](parse func(string) (Q, error), of func(*facts) *quantity.Known[Q], places int, t told) told {
	t.of = func(text string) (float64, error) { v, err := parse(text); return float64(v), err }
	t.put = func(f *facts, v float64) { *of(f) = quantity.Some(Q(v)) }
	t.is = func(f *facts) float64 { return float64(of(f).V) }
	t.show = func(v float64) quantity.Rounded { return quantity.To(Q(v), places) }
	return t
}

// dose reads one as a concentration.
func dose(text string) (quantity.Concentration, error) {
	d, err := quantity.ParseDose(text)
	return d.Concentration, err
}

// withDose names a run by what is dosed.
func withDose(of string) func(string) string {
	return func(value string) string {
		if value == "" {
			return "without " + of
		}
		return "with " + value + " " + of
	}
}

// tolds are the settings that columns tell; a setting that sets runs apart is a row here.
var tolds = []told{
	toldBy(dose, func(f *facts) *quantity.Known[quantity.Concentration] { return &f.Polymer }, 3,
		told{role: polymered, fact: "polymer", what: "polymer dose", drifts: 0.1, chosen: true, says: withDose("polymer")}),
	toldBy(dose, func(f *facts) *quantity.Known[quantity.Concentration] { return &f.Coagulant }, 3,
		told{role: coagulated, fact: "coagulant", what: "coagulant dose", drifts: 0.1, chosen: true, says: withDose("coagulant")}),
	toldBy(quantity.Parse[quantity.Time], func(f *facts) *quantity.Known[quantity.Time] { return &f.Skim }, 3,
		told{role: skims, fact: "skim", what: "skimming", drifts: 0.1, chosen: true, says: func(v string) string { return "skimmed every " + v }}),
	toldBy(quantity.Parse[quantity.Flow], func(f *facts) *quantity.Known[quantity.Flow] { return &f.Flow }, 4,
		told{role: flowing, fact: "flow", what: "flow", drifts: 0.1, says: func(v string) string { return side(v == "", "unit off", "at "+v) }}),
	toldBy(quantity.Parse[quantity.Volume], func(f *facts) *quantity.Known[quantity.Volume] { return &f.Volume }, 4,
		told{role: holding, fact: "volume", what: "volume", drifts: 0.1, says: func(v string) string { return v }}),
	toldBy(quantity.Parse[quantity.Temperature], func(f *facts) *quantity.Known[quantity.Temperature] { return &f.Temperature }, 3,
		told{role: warm, fact: "temperature", what: "temperature"}),
}

// toldOf is the row of a column; nil where its setting is not known.
func toldOf(c column) *told {
	if i := slices.IndexFunc(tolds, func(t told) bool { return t.role == c.role }); i >= 0 {
		return &tolds[i]
	}
	return nil
}

// value reads a cell of such a column: its number with its unit. none is a word that says that nothing is dosed.
func (t *told) value(c column, v layout.Value, text string) (said string, number float64, ok bool) {
	if dosesNone(text) && (t.role == polymered || t.role == coagulated) || t.stood(v, text) {
		return "", 0, true
	}
	if v.State != layout.Number {
		return "", 0, false
	}
	unit := cmp.Or(v.Unit.Name, unitOf(c.text))
	if t.role == warm {
		unit = cmp.Or(unit, "C")
	}
	said = fmt.Sprintf("%g %s", v.Num, unit)
	number, err := t.of(said)
	if number == 0 {
		said = ""
	}
	return said, number, err == nil
}

// stood reports a cell of a flow that says that nothing went, in words or with a dash.
func (t *told) stood(v layout.Value, text string) bool {
	return t.role == flowing && (v.Dash || logbook.Stood(text))
}

// heard says what a cell of a column that is understood says beyond a plain number, or that it is not understood.
func (x *reader) heard(t *told, c column, r int, v layout.Value, ok bool, number float64) {
	text, at := layout.Text(x.v.At(r, c.at)), x.v.PlaceAt(r, c.at)
	if text == "" || x.spoke[at] {
		return
	}
	x.spoke[at] = true
	switch {
	case t.stood(v, text) && v.Dash:
		x.Notes.Add(note.New(note.Caution, "flow-dash", "%q under %q is counted as no flow, as while the unit stands", text, c.text).At(at).Do("write the flow where it ran"))
	case t.stood(v, text):
		x.Notes.Add(note.New(note.Info, "flow-stood", "%q under %q is counted as no flow until it runs again", text, c.text).At(at))
	case !ok && v.State == layout.Missing:
	case !ok:
		n := note.New(note.Caution, "cell-not-used", "%q is not understood under %q and is left out", text, c.text).At(at).Do("write a number")
		if v.Limit {
			n.Remedy = "what is only known to be below or above is not counted"
		}
		x.Notes.Add(n)
	case number < 0 && t.role != warm, number == 0 && t.role == holding:
		x.faults.Add(impossible(c.text, text).At(at))
	default:
		x.marked(v, text, at)
	}
}

// impossible is the fault of an amount that cannot be.
func impossible(what, text string) note.Note {
	return note.Fault("impossible", "%q is no %s", text, strings.ToLower(what[:1])+what[1:]).Do("correct it")
}

// marked says what stands with a number beyond it: that it is about so much, or a mark.
func (x *reader) marked(v layout.Value, text string, at note.Place) {
	number := strconv.FormatFloat(v.Num, 'g', -1, 64)
	if v.Approx {
		x.Notes.Add(note.New(note.Caution, "approximate", "%q is not exact; it is read as %s", text, number).At(at))
	}
	if v.Doubt != "" {
		x.Notes.Add(note.New(note.Caution, "marked-value", "%q %s; it is read as %s", text, v.Doubt, number).At(at).Do("write the number alone, and what is to say of it under Remark"))
	}
	if v.Num == 999 || v.Num == 9999 || v.Num == 99999 {
		x.Notes.Add(note.New(note.Caution, "code-for-reading", "%s looks like the sign of an instrument for no reading; it is taken as it stands", number).At(at).Do("clear the cell if it is one"))
	}
	if len(v.List) > 0 {
		x.Notes.Add(note.New(note.Info, "replicates-in-cell", "%q is taken for %s repeat readings, of which the mean counts", text, strconv.Itoa(len(v.List))).At(at))
	}
}

// means are the settings of a run that columns tell of its rows, of which it takes the mean.
type means struct {
	of map[role][]float64
	// all are all rows, flows those that tell a flow or a volume.
	all, flows []FlowAt
	// passed and ran count the rows in which the unit was by-passed, and was not.
	passed, ran int
}

// add takes a row's settings.
func (m *means) add(x *reader, b block, r int, at quantity.Time) {
	row := FlowAt{At: at}
	for _, c := range b.others {
		cell := x.v.At(r, c.at)
		if c.role == running && !cell.Blank() {
			if unitIsOff(cell.Text) {
				m.passed++
				row.Flow = quantity.Some[quantity.Flow](0)
			} else {
				m.ran++
			}
		}
		t := toldOf(c)
		if t == nil {
			continue
		}
		value := layout.ParseValue(cell, x.dec)
		_, v, ok := t.value(c, value, cell.Text)
		x.heard(t, c, r, value, ok, v)
		if !ok {
			continue
		}
		m.of[c.role] = append(m.of[c.role], v)
		switch {
		case c.role == flowing && !row.Flow.OK:
			row.Flow = quantity.Known[quantity.Flow]{V: quantity.Flow(v), OK: true, At: x.v.PlaceAt(r, c.at)}
		case c.role == holding:
			row.Volume = quantity.Known[quantity.Volume]{V: quantity.Volume(v), OK: true, At: x.v.PlaceAt(r, c.at)}
		}
	}
	if m.all = append(m.all, row); row.Flow.OK || row.Volume.OK {
		m.flows = append(m.flows, row)
	}
}

// paced are the rows with flow and volume of the one above where one of them says nothing; those before the first that says it have that.
func (m *means) paced() []FlowAt {
	out := slices.Clone(m.flows)
	for _, way := range [][2]int{{1, 1}, {len(out) - 2, -1}} {
		for i := way[0]; i >= 0 && i < len(out); i += way[1] {
			from := out[i-way[1]]
			if !out[i].Flow.OK && from.Flow.V > 0 { // a unit that stood and runs again has the flow of the run
				out[i].Flow = from.Flow
			}
			if !out[i].Volume.OK {
				out[i].Volume = from.Volume
			}
		}
	}
	return out
}

// into gives a run the means of its columns. What a line says goes before a column, and a column that says otherwise is told.
func (m *means) into(x *reader, b block, f *facts) {
	const same = 0.05
	f.Off = f.Off || m.passed > 0 && m.ran == 0 && !f.given("unit")
	if m.passed > 0 && m.ran > 0 {
		f.Flows = m.all
	}
	for _, t := range tolds {
		list := m.of[t.role]
		if len(list) == 0 {
			continue
		}
		mean := layout.Mean(list)
		if t.role == flowing && slices.Max(list) == 0 && len(list) < len(m.all) { // it says only when nothing went
			f.Flows = m.all
			continue
		}
		if t.role == flowing && f.given(t.fact) && slices.Min(list) == 0 && slices.Max(list) > 0 {
			f.Flows, mean = m.paced(), layout.Mean(slices.DeleteFunc(slices.Clone(list), func(v float64) bool { return v == 0 }))
		}
		if !f.given(t.fact) {
			t.put(f, mean)
			if i := slices.IndexFunc(b.others, func(c column) bool { return c.role == t.role }); t.role == coagulated {
				if d, err := quantity.ParseDose("1 " + unitOf(b.others[i].text)); err == nil {
					f.CoagulantAs = d.Basis
				}
			}
			if slices.Max(list) > slices.Min(list) && (t.role == flowing || t.role == holding) {
				f.Flows = m.paced()
			}
			continue
		}
		if is := t.is(f); math.Abs(mean-is) > same*math.Max(math.Abs(mean), math.Abs(is)) && t.role != warm {
			f.Notes.Add(note.New(note.Caution, "said-twice", "a line says a %s of %s, and the column %s; that of the line is taken", t.what, t.show(is), t.show(mean)).At(f.At).Do("correct the one that is wrong"))
		}
	}
	m.varied(x, b, f)
}

// varied tells of a flow and a volume that were not the same in all rows, and are kept with their hours.
func (m *means) varied(x *reader, b block, f *facts) {
	if len(f.Flows) == 0 || f.Off {
		return
	}
	for _, t := range tolds {
		list := m.of[t.role]
		if t.role != flowing && t.role != holding || len(list) == 0 || f.given(t.fact) || slices.Max(list) == slices.Min(list) {
			continue
		}
		at := f.At
		if i := slices.IndexFunc(b.others, func(c column) bool { return c.role == t.role }); i >= 0 {
			at = x.v.PlaceAt(b.row, b.others[i].at)
		}
		low, high := t.show(slices.Min(list)), t.show(slices.Max(list))
		switch {
		case t.role == holding:
			m.sank(f, low, high, at)
		case f.flowVaried():
			f.Notes.Add(note.New(note.Caution, "flow-varied", "the flow varied from %s to %s: what passed is counted row by row, and how fast it clears is told for the mean of the rows, %s", low, high, t.show(t.is(f))).At(at).
				Do("hold it steady through a run where you can: what a pass takes out, and what never comes out, may be another at each flow"))
		default:
			f.Notes.Add(note.New(note.Info, "flow-mean", "the flow was %s to %s: what passed is counted row by row, and how fast it clears is told for the mean of the rows, %s", low, high, t.show(t.is(f))).At(at))
		}
	}
}

// sank tells of a volume that was not the same in all rows.
func (m *means) sank(f *facts, low, high quantity.Rounded, at note.Place) {
	if from, to, up := f.filled(); up {
		i := slices.IndexFunc(f.Flows, func(x FlowAt) bool { return x.Volume.V == to })
		f.Notes.Add(note.New(note.Caution, "water-added", "the volume rises from %s to %s: water came in, and nobody knows what it read, so that the course tells no capture", quantity.To(from, 4), quantity.To(to, 4)).
			At(f.Flows[i].Volume.At).Do("give the readings before or after it as a run of their own"))
		return
	}
	n := note.New(note.Info, "volume-mean", "the volume fell from %s to %s: how often it went round is counted row by row, and how fast it clears is told for the mean of the rows, %s", high, low, quantity.To(f.Volume.V, 4)).At(at)
	if f.volumeVaried() {
		n.Level, n.Code = note.Caution, "volume-varied"
		n = n.Do("what was let off is taken to have read as the tank did; keep the volume steady through a run where you can")
	}
	f.Notes.Add(n)
}
