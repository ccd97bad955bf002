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
	noRole   role = ""
	day      role = "day"
	clock    role = "time"
	remark   role = "remark"
	jars     role = "jars" // of a bench sheet, which is no log
	beside   role = "beside"
	made     role = "made"   // when the stock was made
	cylinder role = "drawn"  // what was drawn from the cylinder,
	timing   role = "timing" // and in how long
	ran      role = "ran"
)

// heading is a kind of column: the kinds of words of the vocabulary of which one has to stand in its heading, and the kinds that its unit may be of.
type heading struct {
	role  role
	words []string
	units []words.Kind
	// with are further kinds of which a word has to stand there too, without those of which none may; bare is true where no unit may.
	with, without []string
	bare          bool
	// small is true where the unit has to be one of a feed and not of a plant: of mL, or L in an hour.
	small bool
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
	{role: jars, words: []string{"jars"}},
	{role: remark, words: []string{"remark"}},
	{role: beside, words: []string{"beside"}},
	{role: made, words: []string{"made"}, with: []string{"ofstock", "date"}, bare: true},
	{role: ran, words: []string{"ran"}, without: []string{"meter", "drawdown"}, units: []words.Kind{words.Minutes}, example: "Hours run (h)",
		set: into(quantity.Parse[quantity.Time], func(e *Entry) *quantity.Known[quantity.Time] { return &e.Ran })},
	{role: cylinder, words: []string{"drawdown"}, units: volumes, told: true, example: "Drawdown (mL)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Drawn })},
	{role: timing, words: []string{"drawdown", "time"}, units: []words.Kind{words.Minutes}, told: true, example: "Drawdown time (s)",
		set: into(quantity.Parse[quantity.Time], func(e *Entry) *quantity.Known[quantity.Time] { return &e.Took })},
	{role: "drawdown", words: []string{"drawdown"}, units: []words.Kind{words.Flow}, example: "Drawdown (mL/min)",
		set: into(quantity.Parse[quantity.FeedRate], func(e *Entry) *quantity.Known[quantity.FeedRate] { return &e.Drawdown })},
	{role: "drawdown", words: []string{"flow"}, with: []string{"dosing"}, units: []words.Kind{words.Flow}, told: true, small: true, example: "Drawdown (mL/min)",
		set: into(quantity.Parse[quantity.FeedRate], func(e *Entry) *quantity.Known[quantity.FeedRate] { return &e.Drawdown })},
	{role: "setting", words: []string{"setting"}, units: []words.Kind{words.Percent, words.Knob, words.NoUnit}, example: "Pump setting (%)",
		set: into(quantity.Parse[quantity.Setting], func(e *Entry) *quantity.Known[quantity.Setting] { return &e.Setting })},
	{role: "added", words: []string{"added"}, units: volumes, example: "Stock added (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Added })},
	{role: "weighed", words: []string{"used", "stock"}, units: []words.Kind{words.Mass}, example: "Stock used (kg)",
		set: into(quantity.Parse[quantity.Mass], func(e *Entry) *quantity.Known[quantity.Mass] { return &e.Weighed })},
	{role: "used", words: []string{"used"}, units: volumes, example: "Stock used (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Used })},
	{role: "counter", words: []string{"meter"}, with: []string{"ofstock", "ofproduct", chemical}, without: []string{"water"}, units: volumes, example: "Stock counter (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Counter })},
	{role: "meter", words: []string{"meter"}, units: volumes, example: "Water meter (m3)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Meter })},
	{role: "water", words: []string{"water"}, units: volumes, example: "Water treated (m3)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Water })},
	{role: "level", words: []string{"level"}, units: []words.Kind{words.Volume, words.Percent, words.Length}, example: "Tank level (L)",
		set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Level })},
	{role: "flow", words: []string{"flow"}, units: []words.Kind{words.Flow}, example: "Flow (m3/h)",
		set: into(quantity.Parse[quantity.Flow], func(e *Entry) *quantity.Known[quantity.Flow] { return &e.Flow })},
	{role: "flow", words: []string{"water", "treated"}, units: []words.Kind{words.Flow}, told: true, example: "Water treated (m3/h)",
		set: into(quantity.Parse[quantity.Flow], func(e *Entry) *quantity.Known[quantity.Flow] { return &e.Flow })},
	{role: "raw", words: []string{"raw"}, units: turbid, example: "Raw (NTU)",
		set: into(quantity.Parse[quantity.Cloudiness], func(e *Entry) *quantity.Known[quantity.Cloudiness] { return &e.Raw })},
	{role: "treated", words: []string{"treated"}, units: turbid, example: "Treated (NTU)",
		set: into(quantity.Parse[quantity.Cloudiness], func(e *Entry) *quantity.Known[quantity.Cloudiness] { return &e.Treated })},
	{role: day, words: []string{"date"}},
	{role: clock, words: []string{"time"}},
}

// column is a column with its role and the unit of its numbers, as it is written.
type column struct {
	heading
	at         int
	text, unit string
}

// countedBy is what a heading of use says that it counts.
func countedBy(text string) Counted {
	switch stock, product := holds(text, "ofstock"), holds(text, "ofproduct"); {
	case stock && !product:
		return OfStock
	case product && !stock:
		return OfProduct
	}
	return Unsaid
}

// longestHeading is how long a heading may be; more is a sentence.
const longestHeading = 70

// feeds are units of what a pump feeds.
var feeds = regexp.MustCompile(`(?i)^(ml|cc|cm3)\b|^l(it\w*)?/(h|d|hr|hour|day)\b`)

var inBracket = regexp.MustCompile(`[(\[]([^()\[\]]*)[)\]]`)

// chemical is the kind of words that name a chemical, which bench sheets have and not the vocabulary.
const chemical = "chemical"

// holds reports a word of some kinds among those of a text.
func holds(text string, kinds ...string) bool {
	said := words.TokensIn(text)
	return slices.ContainsFunc(kinds, func(k string) bool {
		if k == chemical {
			return slices.ContainsFunc(said, isChemical)
		}
		return slices.ContainsFunc(said, of(k).has)
	})
}

// isChemical reports a word that is the name of a chemical, or says that it is one.
func isChemical(word string) bool {
	return slices.ContainsFunc(words.Whole(word), func(p words.Phrase) bool {
		return p.Concept == "role:chemical" || strings.HasPrefix(p.Concept, "chem:")
	})
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
		if holds(bare, h.words...) && (h.with == nil || holds(bare, h.with...)) && !holds(bare, h.without...) && !(h.bare && c.unit != "") && (!h.small || feeds.MatchString(c.unit)) && (kind == "" && !h.told || h.units == nil || slices.Contains(h.units, kind)) {
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

// headed are the columns of a row of headings, or of two of which the upper names groups ("Turbidity" over "raw" and "treated"); none for
// any other row. More is how many rows below it belong to them.
func headed(v layout.View, row int, dec layout.Decimals) (out []column, more int) {
	texts := textsOf(v, row)
	out, more = headedBy(v, row, texts, row+1, dec)
	if saidOf(texts) < 2 || !worded(v, row+1, dec) { // one alone is a line above the headings
		return out, more
	}
	lower := textsOf(v, row+1)
	alone, _ := headedBy(v, row+1, lower, row+2, dec)
	if two, units := headedBy(v, row, grouped(texts, lower), row+2, dec); known(two) > max(known(out), known(alone)) {
		return two, units + 1
	}
	return out, more
}

// saidOf is how many texts are not empty.
func saidOf(texts []string) (n int) {
	for _, s := range texts {
		if s != "" {
			n++
		}
	}
	return n
}

// textsOf are the texts of a row.
func textsOf(v layout.View, row int) (out []string) {
	for c := range wide(v) {
		out = append(out, layout.Text(v.At(row, c)))
	}
	return out
}

// worded reports a row of words, of which one at least is no unit, without a number.
func worded(v layout.View, row int, dec layout.Decimals) (words bool) {
	for c := range wide(v) {
		cell := v.At(row, c)
		if cell.Blank() {
			continue
		}
		if cell.Kind == grid.Numeric || layout.ParseValue(cell, dec).State == layout.Number || layout.IsDate(layout.Text(cell)) {
			return false
		}
		words = words || !isUnit(layout.Text(cell))
	}
	return words
}

// grouped puts the name of its group before each heading; a name stands over all columns up to the next.
func grouped(upper, lower []string) (out []string) {
	over := ""
	for i, s := range upper {
		if s != "" {
			over = s
		}
		if s == "" && lower[i] == "" {
			over = ""
		}
		out = append(out, strings.TrimSpace(over+" "+lower[i]))
		if s == "" && lower[i] == "" {
			out[i] = ""
		}
	}
	return out
}

// known is how many columns have a role.
func known(list []column) (n int) {
	for _, c := range list {
		if c.role != noRole {
			n++
		}
	}
	return n
}

func isUnit(text string) bool {
	_, is := words.OnlyUnit(text)
	return is || text == "%"
}

// headedBy are the columns of headings, whose units may stand in the row below; none where they are not of a log.
func headedBy(v layout.View, row int, texts []string, under int, dec layout.Decimals) (out []column, more int) {
	var below []string
	other, units := 0, false
	for c := range wide(v) {
		text := layout.Text(v.At(under, c))
		below = append(below, text)
		switch {
		case text == "":
		case isUnit(text):
			units = true
		case layout.ParseValue(v.At(under, c), dec).State == layout.Number || v.At(under, c).Kind == grid.Numeric:
			other++
		}
	}
	if units = units && other == 0; !units {
		below = make([]string, len(below))
	}
	has := map[role]bool{}
	for c, text := range texts {
		if text == "" {
			continue
		}
		if v.At(row, c).Kind == grid.Numeric {
			return nil, 0
		}
		h := columnOf(c, text, below[c])
		has[h.role] = true
		out = append(out, h)
	}
	stock := has["level"] || has["used"] || has["counter"] || has["weighed"] || has["drawdown"] || has[cylinder] || has[timing]
	waters := has["raw"] && has["treated"]
	if waters && has[day] && !has[noRole] && !has[jars] { // what is taken out can be judged by them alone
		stock = true
	}
	if has[jars] || !has[day] && !has[clock] || !(stock && (waters || has["setting"] || has["water"] || has["flow"] || has["meter"]) ||
		waters && (has["setting"] || has["water"] || has["flow"] || has["meter"])) {
		return nil, 0
	}
	if units {
		more = 1
	}
	return out, more
}
