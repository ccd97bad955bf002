// Package jartest is the bench: series of jars filled from one water, what was
// dosed into each and what was read, and the targets that a reading must meet.
// It holds the words that all other packages share; reading spreadsheets is
// jartest/sheet, fitting curves is jartest/curve.
package jartest

import (
	"maps"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// Key names a kind of reading, such as "turbidity". A column that is none of the
// known kinds keeps a slug of its own header as its key.
type Key string

const (
	Turbidity        Key = "turbidity"
	TurbidityRemoval Key = "turbidity_removal"
	TSS              Key = "tss"
	TSSRemoval       Key = "tss_removal"
	Colour           Key = "colour"
	UV254            Key = "uv254"
	TOC              Key = "toc"
	DOC              Key = "doc"
	COD              Key = "cod"
	Phosphate        Key = "phosphate"
	TotalPhosphorus  Key = "total_phosphorus"
	PH               Key = "ph"
	AlkalinityKey    Key = "alkalinity"
	TemperatureKey   Key = "temperature"
	Conductivity     Key = "conductivity"
	ResidualAl       Key = "residual_al"
	ResidualFe       Key = "residual_fe"
	SettledVolume    Key = "settled_volume"
	Zeta             Key = "zeta"
	StreamingCurrent Key = "streaming_current"
)

// KeyInfo is what holds for every reading of a kind.
type KeyInfo struct {
	Key   Key
	Label string // as people write it in a heading
	Unit  string // the unit that values are kept in; "" for pH
	// Least and Most bound what can be true at all; outside is an error.
	Least, Most float64
	// LowIsGood is true where treatment should bring the reading down.
	LowIsGood bool
	// Signed is true where a reading may be zero or negative, so that no
	// logarithm may be taken (pH, zeta potential, temperature).
	Signed bool
}

var keyInfos = []KeyInfo{
	{Turbidity, "turbidity", "NTU", 0, 1e5, true, false},
	{TurbidityRemoval, "turbidity removal", "%", -1e4, 100, false, true},
	{TSS, "suspended solids", "mg/L", 0, 1e6, true, false},
	{TSSRemoval, "suspended solids removal", "%", -1e4, 100, false, true},
	{Colour, "colour", "Pt-Co", 0, 1e5, true, false},
	{UV254, "UV254", "1/cm", 0, 100, true, false},
	{TOC, "total organic carbon", "mg/L", 0, 1e5, true, false},
	{DOC, "dissolved organic carbon", "mg/L", 0, 1e5, true, false},
	{COD, "chemical oxygen demand", "mg/L", 0, 1e6, true, false},
	{Phosphate, "phosphate", "mg/L as P", 0, 1e5, true, false},
	{TotalPhosphorus, "total phosphorus", "mg/L as P", 0, 1e5, true, false},
	{PH, "pH", "", 0, 14, false, true},
	{AlkalinityKey, "alkalinity", "mg/L CaCO3", 0, 1e5, false, false},
	{TemperatureKey, "temperature", "C", -5, 100, false, true},
	{Conductivity, "conductivity", "uS/cm", 0, 1e6, false, false},
	{ResidualAl, "residual aluminium", "mg/L", 0, 1e4, true, false},
	{ResidualFe, "residual iron", "mg/L", 0, 1e4, true, false},
	{SettledVolume, "settled volume", "mL/L", 0, 1000, false, false},
	{Zeta, "zeta potential", "mV", -500, 500, false, true},
	{StreamingCurrent, "streaming current", "", -1e5, 1e5, false, true}, // as its instrument counts: the sign alone is alike everywhere
}

// keyAt are the places of the known kinds in their list.
var keyAt = func() map[Key]int {
	out := map[Key]int{}
	for i, x := range keyInfos {
		out[x.Key] = i
	}
	return out
}()

// Keys lists the known kinds of reading.
func Keys() []KeyInfo { return slices.Clone(keyInfos) }

// Info tells what is known of a kind, also where it was read at a settling time of its own.
// For a slug of the user's own the label and the unit are those of its heading; it has no bounds, and low counts as good.
func (k Key) Info() KeyInfo {
	if i, known := keyAt[k]; known {
		return keyInfos[i]
	}
	if i, known := keyAt[k.Base()]; known {
		x := keyInfos[i]
		x.Key, x.Label = k, x.Label+" at "+strings.ReplaceAll(strings.TrimPrefix(string(k), string(x.Key)+"_"), "_", " ")
		return x
	}
	label, unit := headed(k)
	return KeyInfo{Key: k, Label: label, Unit: unit, Least: -1e12, Most: 1e12, LowIsGood: true}
}

// eitherSide are the kinds of which one user wants more and another less.
var eitherSide = map[Key]bool{PH: true, TemperatureKey: true, Conductivity: true, SettledVolume: true, Zeta: true, StreamingCurrent: true}

// Sided tells whether a target of the kind has one side that everybody means: turbidity at
// most, alkalinity or a removal at least. A target of another kind has to say it.
func (k Key) Sided() bool { return !eitherSide[k] }

// Known reports that the key is one of the kinds above, not a user's own column.
func (k Key) Known() bool { _, known := keyAt[k]; return known }

// Slug turns a header into a key: lower case, words joined by underscores.
func Slug(header string) Key {
	parts := strings.FieldsFunc(strings.ToLower(header), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r <= 127
	})
	return Key(strings.Join(parts, "_"))
}

// State says what kind of answer a reading gives.
type State uint8

const (
	// Missing is the zero value: the cell is empty or says that nothing was read.
	Missing State = iota
	// Number is an ordinary reading.
	Number
	// Below is "<0.5" or "not detected": less than Value where Limit is true.
	Below
	// Above is ">1000" or "over range": more than Value where Limit is true.
	Above
)

// Reading is one number read off one jar, or why there is none. Value is in
// Unit, which is the unit of the kind ([Key.Info]) whatever the sheet used.
type Reading struct {
	State State
	// Limit is false for a Below or Above without a stated limit.
	Limit bool
	// Value is the reading, or the limit of a Below or Above reading. It is the
	// mean when Replicates or N are given.
	Value float64
	Unit  string
	// Replicates are repeat readings of this one jar. They tell the meter's
	// scatter, not the jar's.
	Replicates []Reading
	// SD and N come from "mean ± sd (n)"; zero where not given.
	SD float64
	N  int
	// Minutes is the settling time after which it was read, zero where not given.
	Minutes float64
	// Read is what the meter showed, where Value was worked out of it ([Series.Undiluted]).
	Read quantity.Known[float64]
	// At is the cell; Text is what stood there.
	At   note.Place
	Text string
}

// Num makes an ordinary reading.
func Num(v float64, unit string) Reading { return Reading{State: Number, Value: v, Unit: unit} }

// Readings are what was read in one jar, each kind once. A jar has few of them and a
// long sheet has many jars: a list takes less room than a map, and is searched sooner.
// Copies of a jar share them.
type Readings []KeyedReading

// KeyedReading is a reading with its kind.
type KeyedReading struct {
	Key
	Reading
}

// Of gives the reading of a kind, the zero reading where there is none.
func (l Readings) Of(k Key) Reading {
	r, _ := l.Get(k)
	return r
}

// Get gives the reading of a kind, and whether there is one.
func (l Readings) Get(k Key) (Reading, bool) {
	for i := range l {
		if l[i].Key == k {
			return l[i].Reading, true
		}
	}
	return Reading{}, false
}

// Set puts a reading in the place of the one of its kind, or behind the others.
func (l *Readings) Set(k Key, r Reading) {
	for i := range *l {
		if (*l)[i].Key == k {
			(*l)[i].Reading = r
			return
		}
	}
	*l = append(*l, KeyedReading{k, r})
}

// Without gives the readings of all other kinds.
func (l Readings) Without(k Key) Readings {
	return slices.DeleteFunc(slices.Clone(l), func(x KeyedReading) bool { return x.Key == k })
}

// Into puts the readings into a map, but those that were not taken.
func (l Readings) Into(m map[Key]Reading) {
	for _, x := range l {
		if x.State != Missing {
			m[x.Key] = x.Reading
		}
	}
}

// Jar is one beaker: doses in, readings out.
type Jar struct {
	Label string
	// Doses has one entry per chemical of the series, in its order.
	Doses    []JarDose
	Readings Readings
	// Settings are conditions set on purpose for this jar, such as "ph_target".
	Settings map[string]float64
	// Raw is what the sheet says, jar by jar, of the water that the jar was filled with;
	// Said are the texts that stand in its row.
	Raw  map[Key]Reading
	Said []Fact
	// Control is true when the jar got no chemical at all.
	Control bool
	// At is the jar's row or column heading.
	At note.Place
}

// JarDose is what one jar got of one chemical, in mg/L on the chemical's basis.
type JarDose struct {
	quantity.Concentration
	// Known is false where the sheet leaves the dose out; the jar is then of no use for this chemical.
	Known bool
	// StockVolume is what was pipetted, zero where the sheet gave a concentration.
	StockVolume quantity.Volume
	At          note.Place
}

// Chemical is a coagulant or aid of a series, as the sheet names it.
type Chemical struct {
	Name  string
	Basis quantity.Basis
	// Form is what its sheet says that it comes in, as a powder or a liquid; empty where nothing says so.
	Form words.Form
	// Said is the text from which the name was taken, where that says more, as "PACl 18 %" does.
	Said string
	// Stock is the bench stock's strength, zero where not given.
	Stock quantity.Concentration
	// Price and PriceUnit as in "0.42", "EUR/kg", if the sheet has them.
	Price     float64
	PriceUnit string
}

// Series is a set of jars filled from the same water.
type Series struct {
	Name      string
	Place     note.Place // file and sheet; Cell is the range, such as "A5:F11"
	Chemicals []Chemical
	// Raw is the water before treatment.
	Raw  map[Key]Reading
	Jars []Jar
	// Targets are those that the sheet itself states.
	Targets []Target
	// JarVolume is the sample volume of a jar, zero where not given.
	JarVolume quantity.Volume
	// Recycle is the white water added to each jar over the sample volume, for
	// bench flotation; zero for settling.
	Recycle quantity.Fraction
	// White is what the white water itself reads, as far as the sheet says; none counts as clean.
	White map[Key]Reading
	// Protocol is how the jars were stirred and sampled.
	Protocol Protocol
	// Meta keeps other named facts of the sheet (date, mixing, remarks), in order.
	Meta  []Fact
	Notes note.List
}

// Fact is a named piece of text beside the table.
type Fact struct {
	Name, Value string
	At          note.Place
}

// Sample is what tells one water from another: the day on which it was taken, as
// the sheet has it, and how turbid it was. Both may be absent.
type Sample struct {
	Date      string
	Turbidity Reading
}

// Sample gives what the sheet says of the series' water.
func (s Series) Sample() Sample {
	out := Sample{Turbidity: s.Raw[Turbidity]}
	for _, f := range s.Meta {
		if f.Name == "date" {
			out.Date = f.Value
		}
	}
	return out
}

// RawReading is what the sheet says of the raw water, else what a jar without
// chemical shows.
func (s Series) RawReading(k Key) (float64, bool) {
	if r := s.Raw[k]; r.State == Number {
		return r.Value, true
	}
	for _, j := range s.Jars {
		if r := j.Readings.Of(k); j.Control && r.State == Number {
			return r.Value, true
		}
	}
	return 0, false
}

// Keys lists the kinds of reading that any jar has, known kinds first in their
// usual order, then the user's own by name.
func (s Series) Keys() []Key {
	var out []Key
	for _, j := range s.Jars {
		for i := range j.Readings {
			if k := j.Readings[i].Key; !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	slices.SortFunc(out, byKind)
	return out
}

// KindsOf lists the kinds of some readings as [Series.Keys] does.
func KindsOf(m map[Key]Reading) []Key { return slices.SortedFunc(maps.Keys(m), byKind) }

// byKind puts known kinds first, in their usual order, then the user's own by name.
func byKind(a, b Key) int {
	i, known := keyAt[a]
	j, too := keyAt[b]
	switch {
	case known && too:
		return i - j
	case known:
		return -1
	case too:
		return 1
	}
	return strings.Compare(string(a), string(b))
}

// Factors lists the indexes of the chemicals whose known dose differs between jars.
func (s Series) Factors() []int {
	var out []int
	for c := range s.Chemicals {
		first, varies := -1.0, false
		for _, j := range s.Jars {
			if c < len(j.Doses) && j.Doses[c].Known {
				d := float64(j.Doses[c].Concentration)
				if first < 0 {
					first = d
				}
				varies = varies || d != first
			}
		}
		if varies {
			out = append(out, c)
		}
	}
	return out
}
