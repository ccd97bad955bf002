package layout

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Heading is what the words of a header cell, or of several above one another, say.
type Heading struct {
	Text string
	Unit words.Unit
	// Gravity, kg/L, and Drop, L, are what a heading says of the liquid behind its numbers; Bare
	// is its text without that. Zero where it says nothing.
	Gravity, Drop float64
	Weight        float64 // of one of what the cells count, mg
	Path          float64 // cm of water that an absorbance was read through, zero where it says none
	Bare          string
	Bounded       bool // it states a limit of its reading, or the water's, which Bare is without
	// Untreated is what the heading of a column says that its reading was in the raw water,
	// "Turbidity, NTU (raw 64)"; not given where it says none.
	Untreated quantity.Known[float64]

	Jar, Dose, Stock, Neat, Chemical, Replicate, Test, Note, Date, Clock, Speed bool
	Change, Dilution                                                            bool
	UnitColumn, Parameter, Value, Target, Qualifier, Old                        bool
	Volume, Strength, Density, Recycle, Product, All, Operator, Next            bool
	Removal, LogRemoval, Filtered, Control, Raw, Summary, Chosen                bool

	Reading  jartest.Key
	Chem     string   // canonical name of a chemical
	Chems    []string // all that are named, where one is no part of another
	Scale    string   // "log" in "log turbidity"
	Readings []string // every reading that is named
	Top      float64  // the end of the meter's range, "max 1000"
	Place    string   // "pond B": the water that a reading is of
	// Unfiltered: of the treated water that goes onto a filter.
	Unfiltered bool
	Said       bool   // the user says what the column is
	Meaning    string // in these words
	Metal      string // "Al" or "Fe" by itself
	Stage      string // "before", "after", "set"
	Stat       string // "mean", "sd", "n", "other", "sum"

	Index   string  // a lone number or letter at the end: Turb 1, NTU B
	Minutes float64 // settling time, with timed
	Timed   bool
	Wave    int    // a wavelength other than 254, nm
	Extra   string // everything besides the reading that can tell two columns of a kind apart
	Rest    string // words that the vocabulary does not hold
	Amount  bool   // holds a number with its unit, as "alum 35 mg/L" does
	Number  bool   // a number that is not an index
}

// ReadHeading takes a header text apart. What it gives is shared: its lists must not
// be changed.
func ReadHeading(text string) Heading { return headingsOf.Of(text, takeApart) }

var headingsOf words.Memory[string, Heading]

// Strong reports that the heading names something a jar test has.
func (h Heading) Strong() bool {
	if len(h.Text) > 80 || strings.Count(h.Rest, " ") > 4 || h.Amount {
		return false
	}
	return h.measures() || h.labels() || h.Unit.Known() && h.Unit.Kind != words.NoUnit && !h.Number && !h.Timed
}

// measures reports a name for something dosed, read or reckoned.
func (h Heading) measures() bool {
	return h.Reading != "" || h.Removal || h.LogRemoval || h.Stat != "" || h.Dose || h.Stock || h.Chem != "" || h.Target
}

// labels reports a name for what only tells rows apart or speaks of them.
func (h Heading) labels() bool {
	return h.Jar || h.Chemical || h.Replicate || h.Test && !h.Number || h.Note || h.Date || h.Clock || h.Parameter || h.UnitColumn || h.Value
}

// Core reports a dose or a reading, without which no table is one of jars.
func (h Heading) Core() bool {
	return !h.Amount && (h.Reading != "" || h.Removal || h.LogRemoval || h.Dose || h.Stock || h.Chem != "" ||
		h.Unit.Kind == words.Conc || h.Unit.Kind == words.Volume || h.Unit.Kind == words.Molar || h.Unit.Kind == words.Mass || h.Unit.Kind == words.Drops)
}

// FactName reports the name of something that doses, removals or answers are computed with, and
// that a test has one number of.
func (h Heading) FactName() bool {
	raw := (h.Raw || h.Stage == "before") && h.Reading != ""
	return raw || h.Target && h.Reading != "" || h.Stock || h.Strength || (h.Volume || h.Jar) && h.Unit.Kind == words.Volume || h.Density
}

// DoseLike reports that the column may hold what was dosed.
func (h Heading) DoseLike() bool {
	if h.Reading != "" || h.Removal || h.LogRemoval || h.Note && !h.Dose {
		return false
	}
	return h.Dose || h.Stock || h.Chem != "" || h.Neat || h.Metal != "" && h.Unit.Kind == words.Conc
}

// Bears reports words whose number can bear on a dose, a reading or a jar: "Page 3"
// has none.
func (h Heading) Bears() bool {
	return h.Core() || h.Unit.Known() || h.Amount || h.Volume || h.Strength || h.Density || h.Recycle || h.Target || h.Raw || h.All || h.Filtered || h.Dilution || h.Stage != ""
}
