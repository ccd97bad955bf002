package logbook

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// role is what a column of a log holds.
type role string

const (
	noRole role = ""
	day    role = "day"
	clock  role = "time"
	remark role = "remark"
	jars   role = "jars" // of a bench sheet, which is no log
	beside role = "beside"
)

// heading is a kind of column: the words of its heading, of which one has to stand in it, and the kinds that its unit may be of.
type heading struct {
	role  role
	words string
	units []words.Kind
	// told is true where the unit has to be there for the words to mean this.
	told bool
	// set reads a number with its unit into an entry; of gives what an entry holds of it. Nil for columns of words.
	set func(e *Entry, text string, at note.Place) error
	// example is a heading with its unit.
	example string
}

// into makes the setter of a quantity.
func into[Q interface {
	~float64
	quantity.Quantity
}](parse func(string) (Q, error), of func(*Entry) *quantity.Known[Q]) func(*Entry, string, note.Place) error {
	return func(e *Entry, text string, at note.Place) error {
		v, err := parse(text)
		if err == nil && v < 0 {
			err = note.Fault("negative", "%q is negative", text)
		}
		if err == nil {
			*of(e) = quantity.Known[Q]{V: v, OK: true, At: at}
		}
		return err
	}
}

var (
	turbid  = []words.Kind{words.Turbidity, words.FNU, words.FAU, words.JTU, words.Length, words.Conc}
	volumes = []words.Kind{words.Volume}
	mL      = quantity.Parse[quantity.Volume]
)

// headings are looked through in this order; the first that fits is the column's.
var headings = []heading{
	{role: jars, words: "jar jars beaker replicate"},
	{role: remark, words: "remark remarks note notes comment comments bemerkung observaciones"},
	{role: beside, words: "initials by operator ph temperature temp alkalinity oxygen weather planned ammonia rain sludge float"},
	{role: "drawdown", words: "drawdown calibration timed delivery", units: []words.Kind{words.Flow}, example: "Drawdown (mL/min)",
		set: into(quantity.Parse[quantity.FeedRate], func(e *Entry) *quantity.Known[quantity.FeedRate] { return &e.Drawdown })},
	{role: "setting", words: "setting set dial stroke speed knob pump", units: []words.Kind{words.Percent, words.Knob, words.NoUnit}, example: "Pump setting (%)",
		set: into(quantity.Parse[quantity.Setting], func(e *Entry) *quantity.Known[quantity.Setting] { return &e.Setting })},
	{role: "added", words: "added add refill refilled topped made batch", units: volumes, example: "Stock added (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Added })},
	{role: "weighed", words: "used use usage consumed consumption stock", units: []words.Kind{words.Mass}, example: "Stock used (kg)",
		set: into(quantity.Parse[quantity.Mass], func(e *Entry) *quantity.Known[quantity.Mass] { return &e.Weighed })},
	{role: "used", words: "used use usage consumed consumption verbrauch", units: volumes, example: "Stock used (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Used })},
	{role: "meter", words: "meter totaliser totalizer counter total index", units: volumes, example: "Water meter (m3)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Meter })},
	{role: "water", words: "water volume wasser", units: volumes, example: "Water treated (m3)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Water })},
	{role: "level", words: "level tank left remaining stand stock drum", units: []words.Kind{words.Volume, words.Percent, words.Length}, example: "Tank level (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Level })},
	{role: "flow", words: "flow throughput durchfluss caudal debit", units: []words.Kind{words.Flow}, example: "Flow (m3/h)",
		set: into(quantity.Parse[quantity.Flow], func(e *Entry) *quantity.Known[quantity.Flow] { return &e.Flow })},
	{role: "flow", words: "water treated", units: []words.Kind{words.Flow}, told: true, example: "Water treated (m3/h)",
		set: into(quantity.Parse[quantity.Flow], func(e *Entry) *quantity.Known[quantity.Flow] { return &e.Flow })},
	{role: "raw", words: "raw inlet influent inflow before in source beck river stream", units: turbid, example: "Raw (NTU)",
		set: into(quantity.Parse[quantity.Cloudiness], func(e *Entry) *quantity.Known[quantity.Cloudiness] { return &e.Raw })},
	{role: "treated", words: "treated outlet effluent outflow after out clarified final clear", units: turbid, example: "Treated (NTU)",
		set: into(quantity.Parse[quantity.Cloudiness], func(e *Entry) *quantity.Known[quantity.Cloudiness] { return &e.Treated })},
	{role: day, words: "date day datum fecha datetime timestamp"},
	{role: clock, words: "time clock hour zeit hora uhrzeit"},
}

// column is a column with its role and the unit of its numbers, as it is written.
type column struct {
	heading
	at         int
	text, unit string
}

// longestHeading is how long a heading may be; more is a sentence.
const longestHeading = 70

var inBracket = regexp.MustCompile(`[(\[]([^()\[\]]*)[)\]]`)

// holds reports a word of a list among those of a text.
func holds(text, list string) bool {
	said := words.TokensIn(text)
	return slices.ContainsFunc(strings.Fields(list), func(w string) bool { return slices.Contains(said, w) })
}

// unitOf is the unit of a text as it is written, with all that belongs to it, and its kind.
func unitOf(text string) (unit string, kind words.Kind) {
	us := words.Units(text)
	if len(us) > 0 {
		u := us[len(us)-1]
		unit, kind = text[u.From:u.To], u.Kind
		if u.Left != "" && !strings.Contains(unit, u.Left) {
			unit += u.Left
		}
		if u.Left != "" {
			kind = "" // what is left over may change it
		}
	}
	if b := inBracket.FindAllStringSubmatch(text, -1); b != nil {
		if in := strings.TrimSpace(b[len(b)-1][1]); in != "" && (len(us) > 0 || !strings.Contains(in, " ")) {
			unit = in
		}
	}
	if unit == "" && strings.Contains(text, "%") {
		return "%", words.Percent
	}
	if unit == "%" {
		kind = words.Percent
	}
	return unit, kind
}

// columnOf reads a heading with the unit that stands below it, empty where none does.
func columnOf(at int, text, below string) column {
	c := column{at: at, text: strings.Join(strings.Fields(text), " ")}
	if len(c.text) > longestHeading {
		return c
	}
	kind := words.Kind("")
	if c.unit, kind = unitOf(c.text); c.unit == "" && below != "" {
		c.unit, kind = unitOf(below)
		if c.unit == "" {
			c.unit = strings.Trim(below, "()[] ")
		}
	}
	bare := c.text
	if rest := strings.Replace(bare, c.unit, " ", 1); c.unit != "" && len(words.TokensIn(rest)) > 0 {
		bare = rest
	} else {
		kind, c.unit = "", "" // "Day" alone is no unit of anything
	}
	for _, h := range headings {
		if holds(bare, h.words) && (kind == "" && !h.told || h.units == nil || slices.Contains(h.units, kind)) {
			c.heading = h
			break
		}
	}
	return c
}

// understood says why a column's numbers cannot be read by its heading; no fault where they can, or where the cells have units of their own.
func (c column) understood(at note.Place) *note.Note {
	if c.set == nil || c.role == "setting" && c.unit == "" {
		return nil
	}
	var n note.Note
	switch {
	case c.unit == "":
		return nil
	case c.set(&Entry{}, "1 "+c.unit, at) != nil:
		n = note.New(note.Caution, "column-unit", "%q: %q is no unit that the %s can be counted in; the column is left out", c.text, c.unit, c.role)
	default:
		return nil
	}
	n = n.At(at).Do("write it such as %q", c.example)
	return &n
}

// headed are the columns of a row of headings; none for any other row.
func headed(v layout.View, row int, dec layout.Decimals) (out []column, units bool) {
	var below []string
	other := 0
	for c := range wide(v) {
		text := layout.Text(v.At(row+1, c))
		below = append(below, text)
		if text == "" {
			continue
		}
		if _, is := words.OnlyUnit(text); is || text == "%" {
			units = true
		} else if layout.ParseValue(v.At(row+1, c), dec).State == layout.Number || v.At(row+1, c).Kind == grid.Numeric {
			other++
		}
	}
	if units = units && other == 0; !units {
		below = make([]string, len(below))
	}
	has := map[role]bool{}
	for c := range wide(v) {
		text := layout.Text(v.At(row, c))
		if text == "" {
			continue
		}
		if v.At(row, c).Kind == grid.Numeric {
			return nil, false
		}
		h := columnOf(c, text, below[c])
		has[h.role] = true
		out = append(out, h)
	}
	stock := has["level"] || has["used"] || has["weighed"] || has["drawdown"]
	waters := has["raw"] && has["treated"]
	if has[jars] || !has[day] && !has[clock] || !(stock && (waters || has["setting"] || has["water"] || has["flow"] || has["meter"]) ||
		waters && (has["setting"] || has["water"] || has["flow"] || has["meter"])) {
		return nil, false
	}
	return out, units
}
