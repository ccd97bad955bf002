package clearing

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"

	"jarwright/dosing/logbook"
	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// role is what a column of a log holds.
type role string

const (
	noRole     role = ""
	timed      role = "time"
	dated      role = "date"
	named      role = "run"
	ofTank     role = "tank"
	ofInlet    role = "inlet"
	ofOutlet   role = "outlet"
	flowing    role = "flow"
	holding    role = "volume"
	polymered  role = "polymer"
	coagulated role = "coagulant"
	skims      role = "skim"
	warm       role = "temperature"
	running    role = "unit"    // whether the unit ran
	chosenBy   role = "setting" // set by somebody, of what is not known
	remarked   role = "remark"  // what people write beside a reading
	beside     role = "beside"  // kept with a log, and nothing that its answer needs
)

// headings are the words that a column is told by: the first row that has one of a heading's words, of those whose unit,
// where the heading has one, can be theirs.
var headings = []struct {
	role  role
	units []words.Kind
	words string
}{
	{polymered, []words.Kind{words.Conc}, "floc " + strings.Join(polymerWords, " ")},
	{coagulated, []words.Kind{words.Conc}, strings.Join(coagulantWords, " ")},
	{skims, []words.Kind{words.Minutes}, strings.Join(skimWords, " ")},
	{running, []words.Kind{}, "unit"},
	{chosenBy, nil, "dose doses dosed dosage setting settings"},
	{beside, nil, "concentration animals animal dead deaths mortality alive survivors jar jars"},
	{beside, nil, "ph oxygen ammonia weather initials by operator planned watch sample replicate repeat duplicate foam float"},
	{warm, []words.Kind{words.Temp, words.TempF}, "temperature temp temperatur water-temp"},
	{flowing, []words.Kind{words.Flow}, "flow q rate throughput durchfluss caudal debit debiet vazao portata przeplyw flode vannforing gennemstromning virtaama"},
	{holding, []words.Kind{words.Volume}, "volume vol volumen"},
	{named, []words.Kind{}, "run runs trial test series lauf versuch ensayo essai korning kjoring korsel ajo koe"}, // with a unit it is a column of readings, "run 1 (NTU)"
	{timed, []words.Kind{words.Minutes, words.Clock}, "time elapsed clock since datetime timestamp zeit uhrzeit hora tiempo tempo tid tijd czas waktu aika"},
	{ofTank, []words.Kind{words.Mass}, "filter filters membrane"},
	{ofTank, []words.Kind{words.Length}, "tube secchi clarity"},
	{ofTank, readable, "tank pond raceway basin becken tanque estanque bassin bak zbiornik kar karet kolam be bassang dam dammen allas"},
	{ofInlet, readable, "inlet in influent inflow before feed raw zulauf entrada entree inlopp innlop indlob tulo"},
	{ofOutlet, readable, "outlet out effluent outflow after treated clarified leaving ablauf salida sortie utlopp utlop udlob lahto"},
	{dated, nil, "date day datum fecha"},
	{timed, []words.Kind{words.Minutes, words.Clock}, "time hours hour hrs hr h elapsed clock minutes mins min t when since zeit uhrzeit stunden hora tiempo heure temps tempo tid tijd czas waktu aika godz timer gio"},
	{ofTank, readable, "turbidity turb ntu fnu tss ss solids reading trubung truebung turbidez turbidite turbiditet turbiedad troebelheid metnosc torbidita grumlighet sameus kekeruhan duc"},
}

// readable are the units that a reading of a tank can have, and those that are named so that they are refused.
var readable = []words.Kind{words.Turbidity, words.FNU, words.FAU, words.JTU, words.Conc, words.Volper, words.Length}

// column is a column with what its heading says.
type column struct {
	role
	at   int
	text string
	unit words.Unit
	key  jartest.Key // of a reading
	// again are further columns of the same water.
	again []int
}

// longestHeading is how long a heading may be.
const longestHeading = 70

// columnOf reads a heading; it is of no role where none of its words and no unit is known.
func columnOf(at int, text string) column {
	c := column{at: at, text: strings.Join(strings.Fields(text), " ")}
	if len(c.text) > longestHeading {
		return c // a sentence
	}
	for _, u := range words.Units(c.text) {
		if _, counted := words.NumberBefore(c.text, u.From); !counted && (!c.unit.Known() || c.unit.Kind == words.Minutes) {
			c.unit = u.Unit
		}
	}
	said := words.TokensIn(c.text)
	if c.unit.Kind == words.Mass && slices.Contains(said, "tid") { // "Tid (t)" are hours
		c.unit = words.Unit{}
	}
	c.key = readKey(c.unit)
	if !c.unit.Known() && logbook.IsRemark(c.text) {
		c.role = remarked
		return c
	}
	for _, h := range headings {
		fits := !c.unit.Known() || h.units == nil || slices.Contains(h.units, c.unit.Kind)
		if fits && slices.ContainsFunc(strings.Fields(h.words), func(w string) bool { return slices.Contains(said, w) }) {
			c.role = h.role
			break
		}
	}
	if c.role == ofTank && slices.ContainsFunc([]string{"inlet", "outlet", "influent", "effluent"}, func(w string) bool { return slices.Contains(said, w) }) {
		return column{at: at, text: c.text} // a tank's inlet is the unit's outlet, or is not
	}
	if c.role == timed && len(words.Amounts(c.text)) > 0 { // "at 24 h" is one time, of something else
		c.role = beside
	}
	switch {
	case c.role == noRole && c.key != "":
		c.role = ofTank // "run A (NTU)"
	case c.role == noRole && c.unit.Kind == words.Flow:
		c.role = flowing
	case c.role == noRole && (c.unit.Kind == words.Minutes || c.unit.Kind == words.Clock):
		c.role = timed
	case c.reads() && c.key == "":
		c.key = layout.ReadHeading(c.text).Reading
	}
	if c.reads() && c.key != jartest.TSS && c.key != "" {
		c.key = jartest.Turbidity
	}
	return c
}

// reads reports a column of readings.
func (c column) reads() bool { return c.role == ofTank || c.role == ofInlet || c.role == ofOutlet }

// readKey is what a unit reads, as far as a course can be fitted to it.
func readKey(u words.Unit) jartest.Key {
	switch u.Kind {
	case words.Turbidity, words.FNU:
		return jartest.Turbidity
	case words.Conc:
		return jartest.TSS
	}
	return ""
}

// refused says why a column's readings cannot be taken, with no fault where they can.
func (c column) refused(at note.Place) *note.Note {
	for kind, why := range map[words.Kind]string{
		words.FAU:    "FAU measure what light is taken away, and are no NTU",
		words.JTU:    "JTU are told by a candle, and are no NTU",
		words.Length: "the depth in a turbidity tube does not go in proportion to the solids",
		words.Mass:   "a filter weighs solids, and what they stand in is the water that went through it: mg of dry solids by its litres",
		words.Volper: "what settles in a cone does not go in proportion to the solids",
	} {
		if c.unit.Kind == kind {
			n := note.Fault("reading-unit", "%q: %s", c.text, why).At(at).Do("read the tank in NTU or in mg/L of suspended solids")
			return &n
		}
	}
	return nil
}

// block is the columns of one time column: those right of it, up to the next.
type block struct {
	row                    int
	from, until            int  // its columns, up to the next block's; the last has none that ends it
	apart                  bool // it stands beside others, under another heading
	time, date, run        *column
	tanks, inlets, outlets []column
	others                 []column
}

// unitsBelow are the units of a row that holds nothing else, under the columns of the row above it; nil for any other row.
func unitsBelow(v layout.View, row int) (out map[int]string) {
	for c := range v.Area.Width() + len(v.Rows) {
		text := layout.Text(v.At(row, c))
		if text == "" {
			continue
		}
		bare := strings.Trim(text, "()[] ")
		if _, is := words.OnlyUnit(bare); !is && bare != "%" || layout.Text(v.At(row-1, c)) == "" {
			return nil
		}
		if out == nil {
			out = map[int]string{}
		}
		out[c] = bare
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// blocksOf gives the blocks of a row of headings; none for any other row. Units that stand in a row below the headings belong to them, and
// that row is then the block's.
func blocksOf(v layout.View, row int) (out []block) {
	var left []column // before the first time column
	across := false   // runs below each other, their times across
	units := unitsBelow(v, row+1)
	last := row
	if units != nil {
		last++
	}
	for c := range v.Area.Width() + len(v.Rows) {
		x := v.At(row, c)
		if c > v.Area.Width() && !v.Turned {
			break
		}
		text := layout.Text(x)
		if text == "" && !(v.Turned && c == 0) {
			continue
		}
		if u := units[c]; u != "" && len(words.Units(text)) == 0 {
			text += " (" + u + ")"
		}
		h := columnOf(c, text)
		if v.Turned && c == 0 && (text == "" || h.role == named) && timesUnder(v, row) {
			h = column{role: timed, at: c, text: "Time"}
			across = true
		}
		if across && h.role == noRole {
			h.role = ofTank
		}
		if layout.IsData(text, layout.DecimalsMixed) && h.role == noRole {
			return nil
		}
		switch {
		case h.role == timed || h.role == dated:
			if n := len(out); n > 0 && out[n-1].joins(h) {
				out[n-1].set(h)
				continue
			}
			if n := len(out); n > 0 {
				out[n-1].until = c
			}
			out = append(out, block{row: last, from: c, until: math.MaxInt})
			out[len(out)-1].set(h)
		case len(out) == 0:
			left = append(left, h)
		default:
			out[len(out)-1].set(h)
		}
	}
	if len(out) == 0 {
		return nil
	}
	for _, h := range left {
		out[0].set(h)
		out[0].from = min(out[0].from, h.at)
	}
	out = slices.DeleteFunc(out, func(b block) bool {
		return b.time == nil && b.date == nil || len(b.tanks) == 0 && (len(b.inlets) == 0 || len(b.outlets) == 0)
	})
	reads := func(b block) string {
		if len(b.tanks) == 0 {
			return ""
		}
		return words.Fold(without(b.tanks[0].text))
	}
	for i := range out {
		out[i].apart = slices.ContainsFunc(out, func(b block) bool { return reads(b) != reads(out[i]) })
	}
	return out
}

// fewestAcross is how many times have to stand across for the rows below them to be runs.
const fewestAcross = 3

// timesUnder reports a first column whose cells below its heading, which may be empty or name the runs, are all times: "0 h", "5 h", or days with their times.
func timesUnder(v layout.View, row int) bool {
	n := 0
	for r := row + 1; r < v.Area.Width(); r++ {
		x := v.At(r, 0)
		if x.Blank() {
			break
		}
		t := layout.ParseValue(x, layout.DecimalPoint)
		if t.State != layout.Dated && !(t.State == layout.Number && t.Unit.Kind == words.Minutes) && !stamped.MatchString(layout.Text(x)) {
			return false
		}
		n++
	}
	return n >= fewestAcross
}

// stamped is a day with its clock time.
var stamped = regexp.MustCompile(`^\d{1,4}[-./]\d{1,2}[-./]\d{1,4}[ T]\d{1,2}:\d{2}`)

// joins reports a date beside its time, before any reading.
func (b *block) joins(h column) bool {
	return len(b.tanks)+len(b.inlets)+len(b.outlets) == 0 && (h.role == timed && b.time == nil || h.role == dated && b.date == nil)
}

// set takes a column in.
func (b *block) set(h column) {
	switch h.role {
	case timed:
		b.time = &h
	case dated:
		b.date = &h
	case named:
		if b.run == nil || b.time == nil && b.date == nil {
			b.run = &h
			break
		}
		for _, h := range []column{*b.run, h} { // two of them right of the time are runs, and what they read stands elsewhere
			h.role = ofTank
			b.tanks = append(b.tanks, h)
		}
		b.run = nil
	case ofTank:
		b.tanks = append(b.tanks, h)
	case ofInlet:
		b.inlets = append(b.inlets, h)
	case ofOutlet:
		b.outlets = append(b.outlets, h)
	default:
		b.others = append(b.others, h)
	}
}

// clock is the column by which times are told.
func (b block) clock() column { return *cmp.Or(b.time, b.date) }

// kind is what the block's readings are of; empty where no heading says.
func (b block) kind() jartest.Key {
	for _, c := range slices.Concat(b.tanks, b.inlets, b.outlets) {
		if c.key != "" {
			return c.key
		}
	}
	return ""
}
