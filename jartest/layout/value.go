package layout

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

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
	Doubt   string    // why the number needs a look, or why it is not taken
	Text    string
}

// OK reports an ordinary number.
func (v Value) OK() bool { return v.State == Number }

// Decimals is how a sheet writes fractions.
type Decimals uint8

const (
	DecimalsUnknown Decimals = iota
	DecimalPoint
	DecimalComma
	DecimalsMixed
)

var (
	listSign  = regexp.MustCompile(`\s*(?:/|;|\||,\s|\s&\s|\sand\s|\s\+\s|\n)\s*`)
	isoDate   = regexp.MustCompile(`^\d{4}[-/.]\d{1,2}[-/.]\d{1,2}(?:[ t]\d{1,2}:\d{2}.*)?$`)
	dayDate   = regexp.MustCompile(`^\d{1,2}[-/.]\d{1,2}[-/.](?:\d{4}|\d{2})(?: \d{1,2}:\d{2}.*)?$`)
	namedDate = regexp.MustCompile(`^(?:\d{1,2}[-/. ]*(?:jan|feb|mar|apr|may|mai|jun|jul|aug|ago|sep|oct|okt|nov|dec|dez|dic|ene|abr|mrz|avr)[a-z]*[-/., ]*(?:\d{2,4})?|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-/. ]*\d{1,2},?(?: \d{2,4})?)$`)
	clockTime = regexp.MustCompile(`^(\d{1,3}):(\d{2})(?::(\d{2}))?$`)
	rangeText = regexp.MustCompile(`^\d[\d.,]*\s*(?:-|to|bis|a|hasta|–)\s*\d[\d.,]*(?:\s*[a-z%/]+)?$`)
	powerOf10 = regexp.MustCompile(`^\s?[x.*]\s?10\s?\^?\s?([+-]?\d{1,2})`)
	nEquals   = regexp.MustCompile(`\(?\bn ?= ?(\d+)\)?`)
	footnote  = regexp.MustCompile(`^[\s]*[*†‡§#?!^]+$|^\s*\(?[a-e1-3]\)$|^\s*[a-e]$`)
	bracketed = regexp.MustCompile(`^\s*[(\[][^()\[\]]*[)\]]$`)
	innerLess = regexp.MustCompile(`[<≤]\s*=?\s*(\d[\d.,]*)`)
	innerMore = regexp.MustCompile(`[>≥]\s*=?\s*(\d[\d.,]*)`)
	anyNumber = regexp.MustCompile(`\d[\d.,]*`)
)

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

// written is a text in a sheet that writes fractions in one way.
type written struct {
	text string
	Decimals
}

var valuesOf words.Memory[written, Value]

// LongText is the length from which a text is prose, and no value.
const LongText = 200

func ParseText(text string, d Decimals) Value {
	if len(text) > LongText {
		return Value{State: Unclear, Doubt: "is a long text"}
	}
	return valuesOf.Of(written{text, d}, func(w written) Value { return takeValue(w.text, w.Decimals) })
}

func takeValue(text string, d Decimals) Value {
	if plain, raised := unraised(text); raised {
		if strings.HasSuffix(strings.TrimSpace(plain), "10") && !strings.ContainsAny(plain, "x×·*.") {
			return Value{State: Unclear, Doubt: "can be a power of ten or a number with a mark"}
		}
		if !strings.HasSuffix(strings.TrimSpace(plain), "10") {
			v := ParseText(plain, d)
			if v.Doubt == "" {
				v.Doubt = "carries a mark"
			}
			return v
		}
	}
	s := words.Fold(text)
	s = strings.Trim(s, "'\"")
	if strings.TrimSpace(text) == "\"" || strings.TrimSpace(text) == "″" {
		return Value{State: Ditto}
	}
	s = strings.TrimSpace(strings.TrimPrefix(s, "="))
	if s == "" {
		return Value{Blank: true}
	}
	switch {
	case strings.Trim(s, "-") == "" || s == "-.-":
		return Value{Dash: true}
	case words.Means(s, "value:nd"):
		return Value{State: Below}
	case words.Means(s, "value:over"):
		return Value{State: Above}
	case words.Means(s, "value:missing"):
		return Value{}
	case words.Means(s, "value:zero"):
		return Value{State: Zero}
	case words.Means(s, "value:ditto"):
		return Value{State: Ditto}
	case IsDate(s):
		return Value{State: Dated}
	}
	if m := clockTime.FindStringSubmatch(s); m != nil {
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		sec := float64(a*60 + b)
		if m[3] != "" {
			c, _ := strconv.Atoi(m[3])
			sec = sec*60 + float64(c)
		}
		return Value{State: Dated, Num: sec / 86400}
	}
	if rangeText.MatchString(s) && !strings.HasPrefix(s, "-") {
		return Value{State: Unclear, Doubt: "is a range, not one number"}
	}
	if strings.HasPrefix(s, "1/") {
		if _, ok := words.OnlyUnit(s); ok {
			return Value{State: Unclear, Doubt: "is a unit"}
		}
	}
	state, approx := Number, false
	s, state, approx = qualifier(s)
	v, rest := leading(s, d)
	if strings.HasPrefix(v.Doubt, "can be") {
		return v
	}
	if !v.OK() {
		return named(s, state, d)
	}
	v.Approx = approx
	if m := nEquals.FindStringSubmatchIndex(rest); m != nil {
		v.N, _ = strconv.Atoi(rest[m[2]:m[3]])
		rest = rest[:m[0]] + rest[m[1]:]
	}
	if sd, more, ok := plusMinus(rest, d); ok {
		v.SD, rest = sd, more
	} else if list, ok := repeats(s, d); ok && state == Number {
		return Value{State: Number, Num: Mean(list), List: list}
	}
	v = tail(v, cased(text, rest), d)
	if v.State == Number && state != Number {
		v.State, v.Limit = state, true
	}
	return v
}

// cased gives the end of a text as it was written, where rest is that end folded:
// "ML" and "mL" are different units.
func cased(text, rest string) string {
	p := strings.Join(strings.Fields(words.Plain(text)), " ")
	if rest != "" && strings.HasSuffix(strings.ToLower(p), rest) {
		return p[len(p)-len(rest):]
	}
	return rest
}

// unraised takes raised digits off the end of a text: footnote marks, or the power of
// a ten.
func unraised(text string) (string, bool) {
	t := strings.TrimRight(strings.TrimSpace(text), "⁰¹²³⁴⁵⁶⁷⁸⁹①②③④⑤")
	n := len(t)
	return t, n < len(strings.TrimSpace(text)) && n > 0 && t[n-1] >= '0' && t[n-1] <= '9'
}

// qualifier takes the signs and words for less, more and about off the front.
func qualifier(s string) (string, State, bool) {
	for _, q := range [...]struct {
		sign   string
		state  State
		approx bool
	}{
		{"<=", Below, false}, {"=<", Below, false}, {"<", Below, false}, {"≤", Below, false}, {"less than", Below, false}, {"lt ", Below, false},
		{"below", Below, false}, {"under", Below, false}, {"menor que", Below, false}, {"menor a", Below, false}, {"kleiner als", Below, false}, {"inferieur a", Below, false}, {"kurang dari", Below, false}, {"小于", Below, false},
		{">=", Above, false}, {"=>", Above, false}, {">", Above, false}, {"≥", Above, false}, {"more than", Above, false}, {"greater than", Above, false}, {"gt ", Above, false},
		{"above", Above, false}, {"over ", Above, false}, {"mayor que", Above, false}, {"mayor a", Above, false}, {"grosser als", Above, false}, {"superieur a", Above, false}, {"lebih dari", Above, false}, {"大于", Above, false},
		{"~", Number, true}, {"≈", Number, true}, {"approx.", Number, true}, {"approx", Number, true}, {"about", Number, true}, {"ca.", Number, true}, {"ca ", Number, true},
		{"c. ", Number, true}, {"circa", Number, true}, {"around", Number, true}, {"est.", Number, true}, {"est ", Number, true}, {"etwa", Number, true}, {"env.", Number, true}, {"aprox.", Number, true}, {"aprox", Number, true}, {"约", Number, true},
	} {
		if rest, ok := strings.CutPrefix(s, q.sign); ok {
			return strings.TrimSpace(rest), q.state, q.approx
		}
	}
	return s, Number, false
}

// leading reads the number at the front and gives what follows it.
func leading(s string, d Decimals) (Value, string) {
	end := numeralEnd(s)
	if end == 0 {
		return Value{State: Unclear, Doubt: "is not a number"}, s
	}
	v := Numeral(s[:end], d)
	rest := s[end:]
	if v.OK() {
		if m := powerOf10.FindStringSubmatchIndex(rest); m != nil {
			p, _ := strconv.Atoi(rest[m[2]:m[3]])
			v.Num *= math.Pow(10, float64(p))
			rest = rest[m[1]:]
		} else if len(rest) > 1 && rest[0] == 'e' && strings.ContainsAny(rest[1:2], "+-0123456789") {
			k := 1
			for k < len(rest) && (rest[k] >= '0' && rest[k] <= '9' || k == 1 && (rest[k] == '+' || rest[k] == '-')) {
				k++
			}
			if p, err := strconv.Atoi(rest[1:k]); err == nil && p < 300 && p > -300 {
				v.Num *= math.Pow(10, float64(p))
				rest = rest[k:]
			}
		}
	}
	return v, rest
}

// numeralEnd finds where the numeral at the front of s ends. A separator belongs
// to it only before a digit, a blank only before exactly three digits.
func numeralEnd(s string) int {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
		if i < len(s) && s[i] == ' ' {
			i++
		}
	}
	start := i
	digit := func(k int) bool { return k < len(s) && s[k] >= '0' && s[k] <= '9' }
	for i < len(s) {
		switch {
		case digit(i):
			i++
		case (s[i] == '.' || s[i] == ',') && digit(i+1):
			i++
		case (s[i] == ' ' || s[i] == '\'') && i > start && digit(i+1) && digit(i+2) && digit(i+3) && !digit(i+4) && digits(s[start:i]) <= 3+3*strings.Count(s[start:i], " ")+3*strings.Count(s[start:i], "'"):
			i++
		default:
			if (s[i] == '.' || s[i] == ',') && i > start && i+1 == len(s) {
				return i + 1 // "12." as some meters print it
			}
			if i == start {
				return 0
			}
			return i
		}
	}
	if i == start {
		return 0
	}
	return i
}

func digits(s string) int {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] >= '0' && s[i] <= '9' {
			n++
		}
	}
	return n
}

// Numeral reads digits with separators. One comma, or one point in a sheet of
// decimal commas, before three digits has two meanings; d settles it or the
// value is unclear.
func Numeral(s string, d Decimals) Value {
	negative := strings.HasPrefix(s, "-")
	t := strings.TrimRight(strings.TrimLeft(s, "+- "), ".,")
	t = strings.ReplaceAll(strings.ReplaceAll(t, " ", ""), "'", "")
	points, commas := strings.Count(t, "."), strings.Count(t, ",")
	bad := Value{State: Unclear, Doubt: "is not a number in any usual form"}
	switch {
	case points > 0 && commas > 0:
		dec, thou := ".", ","
		if strings.LastIndex(t, ",") > strings.LastIndex(t, ".") {
			dec, thou = ",", "."
		}
		if strings.Count(t, dec) > 1 || !grouped(t[:strings.LastIndex(t, dec)], thou) {
			return bad
		}
		t = strings.Replace(strings.ReplaceAll(t, thou, ""), dec, ".", 1)
	case points > 1 || commas > 1:
		sep := "."
		if commas > 1 {
			sep = ","
		}
		if !grouped(t, sep) {
			return bad
		}
		t = strings.ReplaceAll(t, sep, "")
	case commas == 1 || points == 1:
		sep := ","
		if points == 1 {
			sep = "."
		}
		whole, frac, _ := strings.Cut(t, sep)
		if len(frac) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
			switch {
			case sep == "," && d == DecimalPoint, sep == "." && d == DecimalComma:
				t = whole + frac
			case sep == "," && d == DecimalComma, sep == "." && d != DecimalsMixed:
				t = whole + "." + frac
			default:
				return Value{State: Unclear, Doubt: "can be " + whole + "." + frac + " or " + whole + frac}
			}
		} else {
			if whole == "" {
				whole = "0"
			}
			t = whole + "." + frac
		}
	}
	v, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsInf(v, 0) {
		return bad
	}
	if negative {
		v = -v
	}
	return Value{State: Number, Num: v}
}

// grouped reports digits in groups of three after the first.
func grouped(s, sep string) bool {
	parts := strings.Split(s, sep)
	for i, p := range parts {
		if i == 0 && (len(p) < 1 || len(p) > 3) || i > 0 && len(p) != 3 {
			return false
		}
	}
	return true
}

func plusMinus(rest string, d Decimals) (float64, string, bool) {
	r := strings.TrimSpace(rest)
	open := strings.HasPrefix(r, "(")
	r = strings.TrimSpace(strings.TrimPrefix(r, "("))
	for _, sign := range [...]string{"±", "+/-", "+-", "+ / -", "-/+"} {
		if t, ok := strings.CutPrefix(r, sign); ok {
			v, more := leading(strings.TrimSpace(t), d)
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
		v, rest := leading(strings.TrimSpace(p), d)
		if !v.OK() || strings.TrimSpace(rest) != "" {
			return nil, false
		}
		out = append(out, v.Num)
	}
	return out, true
}

func Mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// tail judges what stands after the number: a unit, a footnote mark, a remark.
func tail(v Value, rest string, d Decimals) Value {
	rest = strings.TrimRight(rest, " .")
	if strings.TrimSpace(rest) == "" {
		return v
	}
	r := "0 " + strings.TrimSpace(rest)
	if us := words.Units(r); len(us) > 0 && us[0].From <= 3 {
		left := strings.Trim(words.Fold(r[us[0].To:]), " .,)")
		if pm, more, ok := plusMinus(left, d); ok && v.SD == 0 {
			v.SD, left = pm, strings.Trim(more, " .")
			if u, ok := words.OnlyUnit(left); ok && u.Kind == us[0].Kind {
				left = ""
			}
		}
		v.Unit = us[0].Unit
		if left == "" || footnote.MatchString(left) || bracketed.MatchString(left) || footnote.MatchString(" "+left) {
			if left != "" {
				v.Doubt = "carries a mark"
			}
			return v
		}
		if v.Unit.Kind == words.Volume || v.Unit.Kind == words.Conc { // "5 mL stock", "10 mg/L alum"
			h := ReadHeading(left)
			if h.Rest == "" && (h.Stock || h.Chem != "" || h.Neat) {
				return v
			}
		}
		return Value{State: Unclear, Doubt: "has text after the number"}
	}
	rest = strings.ToLower(rest)
	low := strings.Trim(rest, " ()[]")
	switch {
	case words.Means(low, "value:missing") && low != "" && !footnote.MatchString(rest):
		return Value{State: Unclear, Doubt: "has a number and a word for missing"}
	case words.Means(low, "value:approx"):
		v.Approx = true
		return v
	case footnote.MatchString(rest), bracketed.MatchString(rest):
		v.Doubt = "carries a mark"
		return v
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

func limitIn(s string, re *regexp.Regexp, d Decimals) (float64, bool) {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	x := Numeral(m[1], d)
	return x.Num, x.OK()
}

// DecimalsOf looks at all numbers typed as text and says how the sheet writes
// fractions. Only forms with one meaning count.
func DecimalsOf(g *Area) Decimals {
	point, comma := 0, 0
	for _, row := range g.Rows {
		for _, c := range row {
			if c.Kind != grid.Textual || len(c.Text) > 40 || strings.IndexFunc(c.Text, unicode.IsNumber) < 0 {
				continue
			}
			p, k := decimalEvidence(words.Fold(c.Text))
			point, comma = point+p, comma+k
		}
		if point+comma > 2000 {
			break
		}
	}
	switch {
	case point > 0 && comma > 0:
		return DecimalsMixed
	case point > 0:
		return DecimalPoint
	case comma > 0:
		return DecimalComma
	}
	return DecimalsUnknown
}

func decimalEvidence(s string) (point, comma int) {
	if isoDate.MatchString(s) || dayDate.MatchString(s) || clockTime.MatchString(s) {
		return 0, 0
	}
	s = strings.TrimLeft(s, "<>≤≥=~≈ ")
	end := numeralEnd(s)
	t := strings.TrimLeft(s[:end], "+-")
	if end < len(s) && unicode.IsDigit(rune(s[end])) {
		return 0, 0
	}
	points, commas := strings.Count(t, "."), strings.Count(t, ",")
	switch {
	case points > 0 && commas > 0:
		if !Numeral(t, DecimalsUnknown).OK() {
			return 0, 0
		}
		if strings.LastIndex(t, ",") > strings.LastIndex(t, ".") {
			return 0, 1
		}
		return 1, 0
	case points > 1 && grouped(t, "."):
		return 0, 1
	case commas > 1 && grouped(t, ","):
		return 1, 0
	case points+commas == 1:
		whole, frac, _ := strings.Cut(strings.Replace(t, ",", ".", 1), ".")
		if len(frac) == 3 && len(whole) <= 3 && len(whole) > 0 && whole[0] != '0' {
			return 0, 0
		}
		if points == 1 {
			return 1, 0
		}
		return 0, 1
	}
	return 0, 0
}

// IsDate reports a folded text that is a date as sheets write it.
func IsDate(s string) bool {
	return isoDate.MatchString(s) || dayDate.MatchString(s) || namedDate.MatchString(s)
}

// IsClock reports a folded text that is a time of day or a span of one.
func IsClock(s string) bool { return clockTime.MatchString(s) }

// IsFigure reports a text that is a plain number and nothing else.
func IsFigure(s string) bool { return s != "" && numberIn.FindString(s) == s }

// DateText writes a date cell as a name: ISO for stored dates, else as it stands.
func DateText(c grid.Cell) string {
	if c.Kind == grid.Numeric && c.Date() {
		if c.Num > 0 && c.Num < 200000 {
			d := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(c.Num))
			return d.Format("2006-01-02")
		}
	}
	return fmt.Sprint(c.Text)
}
