package layout

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// State says what a cell turned out to be.
type State uint8

const (
	Missing State = iota // blank, or a word for "not measured"
	Number
	Below
	Above
	Zero    // a word for nothing: none, nil
	Ditto   // the same as above
	Dated   // a date or a clock time where a number was looked for
	Fault   // an error value
	Hollow  // a formula without a stored value
	Unclear // a number whose meaning cannot be settled, or other text
)

// Value is a cell taken apart.
type Value struct {
	State   State
	Num     float64 // the number, or the limit of Below and Above
	Limit   bool    // num holds a limit
	Unit    words.Unit
	SD      float64
	N       int
	List    []float64 // repeat readings written into one cell
	Percent bool      // a fraction that the sheet shows in percent; num is in percent
	Dash    bool      // missing because of a lone dash
	Blank   bool      // nothing in the cell
	Approx  bool      // "~35"
	Ends    []float64 // the two ends of a range, of which Num is the middle
	Doubt   string    // why the number needs a look, or why it is not taken
	Text    string
}

// OK reports an ordinary number.
func (v Value) OK() bool { return v.State == Number }

// ParseValue takes a cell apart. It never guesses silently: whatever is not
// plain carries its doubt.
func ParseValue(c grid.Cell, d Decimals) Value {
	switch {
	case c.Hollow:
		return Value{State: Hollow, Text: c.Text}
	case c.Kind == grid.Empty:
		return Value{Blank: true}
	case c.Kind == grid.Faulty:
		return Value{State: Fault, Text: c.Text}
	case c.Kind == grid.Boolean:
		return Value{State: Unclear, Text: c.Text, Doubt: "is a yes/no value"}
	case c.Kind == grid.Numeric && (c.Date() || c.Clock()):
		return Value{State: Dated, Num: c.Num, Text: c.Text}
	case c.Shown() != "":
		return Value{State: Unclear, Text: c.Text, Doubt: "is shown as " + c.Shown() + " by its number format"}
	case c.Kind == grid.Numeric:
		v := Value{State: Number, Num: c.Num, Text: c.Text}
		if c.Percent() {
			v.Num, v.Percent = c.Num*100, true
		}
		if c.Suffix() != "" {
			if u, ok := words.OnlyUnit(c.Suffix()); ok {
				v.Unit = u
			}
		}
		return v
	}
	v := ParseText(c.Text, d)
	v.Text = c.Text
	return v
}

// LongText is the length from which a text is prose, and no value.
const LongText = 200

// written is a text in a sheet that writes fractions in one way.
type written struct {
	text string
	Decimals
}

var valuesOf words.Memory[written, Value]

// ParseText takes a text apart as [ParseValue] does a cell; Text is left empty.
func ParseText(text string, d Decimals) Value {
	if len(text) > LongText {
		return Value{State: Unclear, Doubt: "is a long text"}
	}
	return valuesOf.Of(written{text, d}, func(w written) Value { return takeValue(w.text, w.Decimals) })
}

// wholes are texts that say all they say as a whole; the first that holds counts.
var wholes = []struct {
	holds func(folded string) bool
	value Value
}{
	{func(s string) bool { return s == "" }, Value{Blank: true}},
	{func(s string) bool { return strings.Trim(s, "-") == "" || s == "-.-" }, Value{Dash: true}},
	{meaning("value:nd"), Value{State: Below}},
	{meaning("value:over"), Value{State: Above}},
	{meaning("value:missing"), Value{}},
	{meaning("value:zero"), Value{State: Zero}},
	{meaning("value:ditto"), Value{State: Ditto}},
	{IsDate, Value{State: Dated}},
	{isPerUnit, Value{State: Unclear, Doubt: "is a unit"}},
}

func meaning(concept string) func(string) bool {
	return func(s string) bool { return words.Means(s, concept) }
}

// isPerUnit reports a unit that begins like a number: "1/cm".
func isPerUnit(s string) bool {
	if !strings.HasPrefix(s, "1/") {
		return false
	}
	_, ok := words.OnlyUnit(s)
	return ok
}

// fractionSigns are single signs for fractions.
var fractionSigns = map[rune]float64{'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅓': 1. / 3, '⅔': 2. / 3, '⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5,
	'⅙': 1. / 6, '⅚': 5. / 6, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8}

var wholeAndSign = words.NewPattern(`(?:(\d+) ?)?([½¼¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])`)

// fractionsOf writes the first fraction of a text with decimals, as the sheet writes them, and
// so many that no mark is one of thousands: "1½" is 1.5000.
func fractionsOf(text string, d Decimals) string {
	m := wholeAndSign.FindStringSubmatchIndex(text)
	if m == nil {
		return text
	}
	whole := 0.0
	if m[2] >= 0 {
		whole, _ = strconv.ParseFloat(text[m[2]:m[3]], 64)
	}
	sign, _ := utf8.DecodeRuneInString(text[m[4]:m[5]])
	s := strconv.FormatFloat(whole+fractionSigns[sign], 'f', 6, 64)
	if d == DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return text[:m[0]] + s + text[m[1]:]
}

// Fractions writes all fraction signs of a text with decimals, after a point.
func Fractions(text string) string {
	for wholeAndSign.MatchString(text) {
		text = fractionsOf(text, DecimalPoint)
	}
	return text
}

// plainFigure reports digits with one point at most, which can be nothing but a number: fewer than
// a day that is written without signs has.
func plainFigure(s string) bool {
	points := 0
	for i := range len(s) {
		if c := s[i]; c == '.' {
			points++
		} else if c < '0' || c > '9' {
			return false
		}
	}
	return points <= 1 && len(s) > points && len(s) < len("20260302")
}

func takeValue(text string, d Decimals) Value {
	if plainFigure(text) {
		return takeNumber(text, text, d)
	}
	text = fractionsOf(text, d)
	if v, ok := raised(text, d); ok {
		return v
	}
	if t := strings.TrimSpace(text); t == `"` || t == "″" {
		return Value{State: Ditto}
	}
	s := strings.TrimSpace(strings.TrimPrefix(strings.Trim(words.Fold(text), `'"`), "="))
	for _, w := range wholes {
		if w.holds(s) {
			return w.value
		}
	}
	if v, ok := ranged(s, text, d); ok {
		return v
	}
	if days, ok := clockDays(s); ok {
		return Value{State: Dated, Num: days}
	}
	return takeNumber(s, text, d)
}

// ranged reads "3-4", "3 to 4 NTU": two numbers, of which a reading can have the middle and a dose neither.
func ranged(s, text string, d Decimals) (Value, bool) {
	m := rangeText.FindStringSubmatch(s)
	if m == nil {
		return Value{}, false
	}
	v := Value{State: Unclear, Doubt: "is a range, not one number"}
	from, to := Numeral(m[1], d), Numeral(m[2], d)
	unit, known := words.OnlyUnit(cased(text, strings.TrimSpace(m[3])))
	if from.OK() && to.OK() && from.Num < to.Num && (known || strings.TrimSpace(m[3]) == "") {
		v.Ends, v.Num = []float64{from.Num, to.Num}, (from.Num+to.Num)/2
	}
	if known {
		v.Unit = unit
	}
	return v, true
}

// Middle gives the middle of a range in its place, with the doubt that says so; other values as they are.
func (v Value) Middle() Value {
	if len(v.Ends) == 2 {
		v.State, v.Doubt = Number, "is a range, of which the middle is taken"
	}
	return v
}

// takeNumber reads a folded text that has to begin with a number, with what qualifies
// it before and behind; text is how it was written.
func takeNumber(s, text string, d Decimals) Value {
	s, q := qualified(s)
	v, rest := Leading(s, d)
	switch {
	case v.ambiguous():
		return v
	case !v.OK():
		return named(s, q.state, d)
	}
	v.Approx = q.approx
	if m := nEquals.FindStringSubmatchIndex(rest); m != nil {
		v.N, _ = strconv.Atoi(rest[m[2]:m[3]])
		rest = rest[:m[0]] + rest[m[1]:]
	}
	if sd, more, ok := plusMinus(rest, d); ok {
		v.SD, rest = sd, more
	} else if list, ok := repeats(s, d); ok && q.state == Number {
		v = Value{State: Number, Num: Mean(list), List: list}
		if !readAlike(list, s) {
			v.Doubt = NotRepeats
		}
		return v
	}
	v = v.followed(cased(text, rest), d)
	if v.State == Number && q.state != Number {
		v.State, v.Limit = q.state, true
	}
	return v
}

// ambiguous reports a number that can be read in two ways.
func (v Value) ambiguous() bool { return strings.HasPrefix(v.Doubt, "can be") }

// cased gives the end of a text as it was written, where rest is that end folded:
// "ML" and "mL" are different units.
func cased(text, rest string) string {
	p := strings.Join(strings.Fields(words.Plain(text)), " ")
	if rest != "" && strings.HasSuffix(strings.ToLower(p), rest) {
		return p[len(p)-len(rest):]
	}
	return rest
}

// raised reads a text with raised digits at its end: footnote marks, where they are not
// the power of a ten.
func raised(text string, d Decimals) (v Value, ok bool) {
	all := strings.TrimSpace(text)
	plain := strings.TrimRight(all, "⁰¹²³⁴⁵⁶⁷⁸⁹①②③④⑤")
	if plain == all || plain == "" || !isDigit(plain[len(plain)-1]) {
		return Value{}, false
	}
	if !strings.HasSuffix(plain, "10") {
		v = ParseText(plain, d)
		v.Doubt = cmp.Or(v.Doubt, "carries a mark")
		return v, true
	}
	if strings.ContainsAny(plain, "x×·*.") {
		return Value{}, false
	}
	return Value{State: Unclear, Doubt: "can be a power of ten or a number with a mark"}, true
}

// qualifiers are the signs for less, more and about, and the joints for them; the first that a
// text begins with counts.
var qualifiers = []qualifier{
	{Below, false, "less", []string{"<=", "=<", "<", "≤"}},
	{Above, false, "more", []string{">=", "=>", ">", "≥"}},
	{Number, true, "about", []string{"~", "≈"}},
}

type qualifier struct {
	state  State
	approx bool
	worded string
	signs  []string
}

// qualified takes a qualifier off the front of a folded text.
func qualified(s string) (string, qualifier) {
	for _, q := range qualifiers {
		for _, sign := range q.signs {
			if rest, ok := strings.CutPrefix(s, sign); ok {
				return strings.TrimSpace(rest), q
			}
		}
		if rest, ok := words.CutJoint(s, q.worded); ok {
			return rest, q
		}
	}
	return s, qualifier{state: Number}
}

// plusMinus reads "± 3" or "(+/- 3)" and gives what stands after it.
func plusMinus(rest string, d Decimals) (float64, string, bool) {
	r := strings.TrimSpace(rest)
	open := strings.HasPrefix(r, "(")
	r = strings.TrimSpace(strings.TrimPrefix(r, "("))
	for _, sign := range [...]string{"±", "+/-", "+-", "+ / -", "-/+"} {
		if t, ok := strings.CutPrefix(r, sign); ok {
			v, more := Leading(strings.TrimSpace(t), d)
			if v.OK() {
				if open {
					more = strings.Replace(more, ")", "", 1)
				}
				return v.Num, more, true
			}
		}
	}
	return 0, rest, false
}

// repeats reads "34.1 / 35.2 / 33.8".
func repeats(s string, d Decimals) ([]float64, bool) {
	parts := listSign.Split(s, -1)
	if len(parts) < 2 || len(parts) > 12 {
		return nil, false
	}
	var out []float64
	for _, p := range parts {
		v, rest := Leading(strings.TrimSpace(p), d)
		if !v.OK() || strings.TrimSpace(rest) != "" {
			return nil, false
		}
		out = append(out, v.Num)
	}
	return out, true
}

// Mean is the arithmetic mean.
func Mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// followed judges what stands after the number: a unit, a footnote mark, a remark.
func (v Value) followed(rest string, d Decimals) Value {
	rest = strings.TrimRight(rest, " .")
	low := strings.Trim(strings.ToLower(rest), " ()[]")
	r := "0 " + strings.TrimSpace(rest)
	us := words.Units(r)
	switch {
	case strings.TrimSpace(rest) == "":
		return v
	case len(us) > 0 && us[0].From <= 3 && us[0].Times != 0 && us[0].Times != 1:
		return Value{State: Unclear, Doubt: "has a factor"}
	case len(us) > 0 && us[0].From <= 3:
		v.Unit = us[0].Unit
		return v.behindUnit(strings.Trim(words.Fold(r[us[0].To:]), " .,)"), d)
	case words.Means(low, "value:missing") && low != "" && !isMark(strings.ToLower(rest), footnote):
		return Value{State: Unclear, Doubt: "has a number and a word for missing"}
	case joinsMore.MatchString(low):
		return Value{State: Unclear, Doubt: MoreThanOne}
	case words.Means(low, "void"):
		return Value{State: Unclear, Doubt: notToBeUsed}
	case words.Means(low, "value:approx"):
		v.Approx = true
		return v
	case isMark(strings.ToLower(rest), footnote, bracketed):
		v.Doubt = "carries a mark"
		return v
	}
	return Value{State: Unclear, Doubt: "has text after the number"}
}

// beyondProduct reports what says more than which product an amount is of: "half".
func (p Piece) beyondProduct() bool {
	return !strings.HasPrefix(p.Concept, "chem:") && !slices.Contains(ofProduct, p.Concept)
}

// ofProduct is what an amount in a cell may name behind its unit.
var ofProduct = []string{SaysFiller, "role:stock", "role:neat", "role:dose", "meta:product", "role:chemical"}

func isMark(s string, forms ...*words.Pattern) bool {
	for _, f := range forms {
		if f.MatchString(s) {
			return true
		}
	}
	return false
}

// behindUnit judges what stands after a number and its unit.
func (v Value) behindUnit(left string, d Decimals) Value {
	if pm, more, ok := plusMinus(left, d); ok && v.SD == 0 {
		v.SD, left = pm, strings.Trim(more, " .")
		if u, ok := words.OnlyUnit(left); ok && u.Kind == v.Unit.Kind {
			left = ""
		}
	}
	switch {
	case left == "":
		return v
	case words.Means(left, "void"):
		return Value{State: Unclear, Doubt: notToBeUsed}
	case isMark(left, footnote, bracketed) || footnote.MatchString(" "+left):
		v.Doubt = "carries a mark"
		return v
	case joinsMore.MatchString(left):
		return Value{State: Unclear, Doubt: MoreThanOne}
	case v.Unit.Kind == words.Volume || v.Unit.Kind == words.Conc: // "5 mL stock", "10 mg/L alum"
		if h := ReadHeading(left); h.Rest == "" && (h.Stock || h.Chem != "" || h.Neat) && !slices.ContainsFunc(Pieces(left), Piece.beyondProduct) {
			return v
		}
	}
	return Value{State: Unclear, Doubt: "has text after the number"}
}

// named reads words with a number somewhere behind them: "ND (<0.02)", "over
// range > 1000", "not detected 0.02".
func named(s string, state State, d Decimals) Value {
	if v, ok := limitIn(s, innerLess, d); ok {
		return Value{State: Below, Num: v, Limit: true}
	}
	if v, ok := limitIn(s, innerMore, d); ok {
		return Value{State: Above, Num: v, Limit: true}
	}
	if state != Number { // "< LOD", "> range"
		return Value{State: state}
	}
	if timesNumber.MatchString(s) || dividedNumber.MatchString(s) {
		return Value{State: Unclear, Doubt: "has a factor"}
	}
	head := s
	if i := strings.IndexFunc(s, func(r rune) bool { return unicode.IsDigit(r) || strings.ContainsRune("([:=;,", r) }); i > 0 {
		head = strings.TrimSpace(s[:i])
	}
	for _, q := range [...]struct {
		concept string
		state   State
	}{{"value:nd", Below}, {"value:over", Above}, {"value:missing", Missing}} {
		if !words.Means(head, q.concept) {
			continue
		}
		v := Value{State: q.state}
		if q.state == Missing && strings.ContainsAny(s, "0123456789") { // of what, or instead of what, it does not say
			return Value{State: Unclear, Doubt: "has a word for missing and a number"}
		}
		if q.state != Missing {
			if n := anyNumber.FindString(s); n != "" {
				if x := Numeral(n, d); x.OK() {
					v.Num, v.Limit = x.Num, true
				}
			}
		}
		return v
	}
	return Value{State: Unclear, Doubt: "is not a number"}
}

func limitIn(s string, re *words.Pattern, d Decimals) (float64, bool) {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	x := Numeral(m[1], d)
	return x.Num, x.OK()
}

// MoreThanOne is the doubt of a cell with amounts that something joins: "10 mg/L + 5 mg/L".
const MoreThanOne = "holds more than one number"

// notToBeUsed is the doubt of a cell whose writer took it back: "22 (ignore)".
const notToBeUsed = "is marked as not to be used"

// IsFigure reports a text that is a plain number and nothing else.
func IsFigure(s string) bool { return s != "" && numberIn.FindString(s) == s }

var (
	listSign  = words.Jointed(`\s*(?:/|;|\||,\s|\s&\s|\s(?:{and})\s|\+|\n)\s*`)
	rangeText = words.Jointed(`^(\d[\d.,]*?)\s*(?:-|–|—|\.{2,3}|…|{to})\s*(\d[\d.,]*)(\s*[a-z%/]+)?$`)
	joinsMore = words.Jointed(`^(?:\+|&|/|;|,|plus|then|{and}|{and of numbers}) ?\d`)
	nEquals   = words.NewPattern(`\(?\bn ?= ?(\d+)\)?`)
	footnote  = words.NewPattern(`^[\s]*[*†‡§#?!^~✓✔✗✘✕]+$|^\s*\(?[a-e1-3]\)$|^\s*[a-e]$`)
	bracketed = words.NewPattern(`^\s*[(\[][^()\[\]]*[)\]]$`)
	innerLess = words.NewPattern(`[<≤]\s*=?\s*(\d[\d.,]*)`)
	innerMore = words.NewPattern(`[>≥]\s*=?\s*(\d[\d.,]*)`)
	// timesNumber begins with a factor: "x10 6.2".
	timesNumber = words.NewPattern(`^[x×*] ?\d`)
	// dividedNumber begins with a divisor: "÷10 4", "/100 14.3".
	dividedNumber = words.NewPattern(`^[÷/] ?\d`)
	anyNumber     = words.NewPattern(`\d[\d.,]*`)
)
