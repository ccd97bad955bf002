package clearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
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
		told{role: flowing, fact: "flow", what: "flow", drifts: 0.1, says: func(v string) string { return "at " + v }}),
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
	if dosesNone(text) && (t.role == polymered || t.role == coagulated) {
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

// means are the settings of a run that columns tell of its rows, of which it takes the mean.
type means struct {
	of    map[role][]float64
	flows []FlowAt
	off   bool
	// passed and ran count the rows in which the unit was by-passed, and was not.
	passed, ran int
}

// add takes a row's settings.
func (m *means) add(x *reader, b block, r int, at quantity.Time) {
	for _, c := range b.others {
		cell := x.v.At(r, c.at)
		if c.role == beside && !m.off {
			said := words.TokensIn(layout.Text(cell))
			m.off = slices.ContainsFunc([]string{"stopped", "stop", "off", "tripped", "blocked"}, func(w string) bool { return slices.Contains(said, w) })
			if m.off {
				x.Notes.Add(note.New(note.Caution, "stopped-meanwhile", "%q: a time in which the unit stands is counted as if it ran", layout.Text(cell)).
					At(x.v.PlaceAt(r, c.at)).Do("take the time that it stood off all later times"))
			}
		}
		if c.role == running && !cell.Blank() {
			if unitIsOff(cell.Text) {
				m.passed++
			} else {
				m.ran++
			}
		}
		t := toldOf(c)
		if t == nil {
			continue
		}
		if _, v, ok := t.value(c, layout.ParseValue(cell, x.dec), cell.Text); ok {
			m.of[c.role] = append(m.of[c.role], v)
			if c.role == flowing {
				m.flows = append(m.flows, FlowAt{at, quantity.Flow(v)})
			}
		}
	}
}

// into gives a run the means of its columns. What a line says goes before a column, and a column that says otherwise is told.
func (m *means) into(x *reader, b block, f *facts) {
	const same = 0.05
	f.Off = f.Off || m.passed > 0 && m.ran == 0 && !f.given("unit")
	for _, t := range tolds {
		list := m.of[t.role]
		if len(list) == 0 {
			continue
		}
		mean := layout.Mean(list)
		if !f.given(t.fact) {
			t.put(f, mean)
			if t.role == flowing {
				m.varied(x, b, f)
			}
			continue
		}
		if is := t.is(f); math.Abs(mean-is) > same*math.Max(math.Abs(mean), math.Abs(is)) && t.role != warm {
			f.Notes.Add(note.New(note.Caution, "said-twice", "a line says a %s of %s, and the column %s; that of the line is taken", t.what, t.show(is), t.show(mean)).At(f.At).Do("correct the one that is wrong"))
		}
	}
}

// varied tells of a flow that was not the same in all rows, and keeps it with its hours.
func (m *means) varied(x *reader, b block, f *facts) {
	list := m.of[flowing]
	low, high := slices.Min(list), slices.Max(list)
	if high == low {
		return
	}
	f.Flows = m.flows
	at := f.At
	if i := slices.IndexFunc(b.others, func(c column) bool { return c.role == flowing }); i >= 0 {
		at = x.v.PlaceAt(b.row, b.others[i].at)
	}
	say := func(level note.Level, code, how string) note.Note {
		return note.New(level, code, how, quantity.To(quantity.Flow(low), 3), quantity.To(quantity.Flow(high), 3), quantity.To(f.Flow.V, 4)).At(at)
	}
	if f.flowVaried() {
		f.Notes.Add(say(note.Caution, "flow-varied", "the flow varied from %s to %s: what passed is counted row by row, and how fast it clears is told for the mean of the rows, %s").
			Do("hold it steady through a run where you can: what a pass takes out, and what never comes out, may be another at each flow"))
		return
	}
	f.Notes.Add(say(note.Info, "flow-mean", "the flow was %s to %s: what passed is counted row by row, and how fast it clears is told for the mean of the rows, %s"))
}
