package sheet

import (
	"jarwright/jartest/words"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// valueState says what a cell turned out to be.
type valueState uint8

const (
	vMissing valueState = iota // blank, or a word for "not measured"
	vNumber
	vBelow
	vAbove
	vZero    // a word for nothing: none, nil
	vDitto   // the same as above
	vDate    // a date or a clock time where a number was looked for
	vFault   // an error value
	vHollow  // a formula without a stored value
	vUnclear // a number whose meaning cannot be settled, or other text
)

// value is a cell taken apart.
type value struct {
	state   valueState
	num     float64 // the number, or the limit of vBelow and vAbove
	limit   bool    // num holds a limit
	unit    words.Unit
	sd      float64
	n       int
	list    []float64 // repeat readings written into one cell
	percent bool      // a fraction that the sheet shows in percent; num is in percent
	dash    bool      // missing because of a lone dash
	blank   bool      // nothing in the cell
	approx  bool      // "~35"
	doubt   string    // why the number needs a look, or why it is not taken
	text    string
}

// ok reports an ordinary number.
func (v value) ok() bool { return v.state == vNumber }

// decimals is how a sheet writes fractions.
type decimals uint8

const (
	decimalsUnknown decimals = iota
	decimalPoint
	decimalComma
	decimalsMixed
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

// parseValue takes a cell apart. It never guesses silently: whatever is not
// plain carries its doubt.
func parseValue(c cell, d decimals) value {
	switch {
	case c.Hollow:
		return value{state: vHollow, text: c.Text}
	case c.Kind == empty:
		return value{blank: true}
	case c.Kind == faulty:
		return value{state: vFault, text: c.Text}
	case c.Kind == boolean:
		return value{state: vUnclear, text: c.Text, doubt: "is a yes/no value"}
	case c.Kind == numeric && (c.Date() || c.Clock()):
		return value{state: vDate, num: c.Num, text: c.Text}
	case c.Kind == numeric:
		v := value{state: vNumber, num: c.Num, text: c.Text}
		if c.Percent() {
			v.num, v.percent = c.Num*100, true
		}
		if c.Suffix() != "" {
			if u, ok := words.OnlyUnit(c.Suffix()); ok {
				v.unit = u
			}
		}
		return v
	}
	v := parseText(c.Text, d)
	v.text = c.Text
	return v
}

// written is a text in a sheet that writes fractions in one way.
type written struct {
	text string
	decimals
}

var valuesOf words.Memory[written, value]

// longText is the length from which a text is prose, and no value.
const longText = 200

func parseText(text string, d decimals) value {
	if len(text) > longText {
		return value{state: vUnclear, doubt: "is a long text"}
	}
	return valuesOf.Of(written{text, d}, func(w written) value { return takeValue(w.text, w.decimals) })
}

func takeValue(text string, d decimals) value {
	if plain, raised := unraised(text); raised {
		if strings.HasSuffix(strings.TrimSpace(plain), "10") && !strings.ContainsAny(plain, "x×·*.") {
			return value{state: vUnclear, doubt: "can be a power of ten or a number with a mark"}
		}
		if !strings.HasSuffix(strings.TrimSpace(plain), "10") {
			v := parseText(plain, d)
			if v.doubt == "" {
				v.doubt = "carries a mark"
			}
			return v
		}
	}
	s := words.Fold(text)
	s = strings.Trim(s, "'\"")
	if strings.TrimSpace(text) == "\"" || strings.TrimSpace(text) == "″" {
		return value{state: vDitto}
	}
	s = strings.TrimSpace(strings.TrimPrefix(s, "="))
	if s == "" {
		return value{blank: true}
	}
	switch {
	case strings.Trim(s, "-") == "" || s == "-.-":
		return value{dash: true}
	case words.Means(s, "value:nd"):
		return value{state: vBelow}
	case words.Means(s, "value:over"):
		return value{state: vAbove}
	case words.Means(s, "value:missing"):
		return value{}
	case words.Means(s, "value:zero"):
		return value{state: vZero}
	case words.Means(s, "value:ditto"):
		return value{state: vDitto}
	case isoDate.MatchString(s), dayDate.MatchString(s), namedDate.MatchString(s):
		return value{state: vDate}
	}
	if m := clockTime.FindStringSubmatch(s); m != nil {
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		sec := float64(a*60 + b)
		if m[3] != "" {
			c, _ := strconv.Atoi(m[3])
			sec = sec*60 + float64(c)
		}
		return value{state: vDate, num: sec / 86400}
	}
	if rangeText.MatchString(s) && !strings.HasPrefix(s, "-") {
		return value{state: vUnclear, doubt: "is a range, not one number"}
	}
	if strings.HasPrefix(s, "1/") {
		if _, ok := words.OnlyUnit(s); ok {
			return value{state: vUnclear, doubt: "is a unit"}
		}
	}
	state, approx := vNumber, false
	s, state, approx = qualifier(s)
	v, rest := leading(s, d)
	if strings.HasPrefix(v.doubt, "can be") {
		return v
	}
	if !v.ok() {
		return named(s, state, d)
	}
	v.approx = approx
	if m := nEquals.FindStringSubmatchIndex(rest); m != nil {
		v.n, _ = strconv.Atoi(rest[m[2]:m[3]])
		rest = rest[:m[0]] + rest[m[1]:]
	}
	if sd, more, ok := plusMinus(rest, d); ok {
		v.sd, rest = sd, more
	} else if list, ok := repeats(s, d); ok && state == vNumber {
		return value{state: vNumber, num: mean(list), list: list}
	}
	v = tail(v, cased(text, rest), d)
	if v.state == vNumber && state != vNumber {
		v.state, v.limit = state, true
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
func qualifier(s string) (string, valueState, bool) {
	for _, q := range [...]struct {
		sign   string
		state  valueState
		approx bool
	}{
		{"<=", vBelow, false}, {"=<", vBelow, false}, {"<", vBelow, false}, {"≤", vBelow, false}, {"less than", vBelow, false}, {"lt ", vBelow, false},
		{"below", vBelow, false}, {"under", vBelow, false}, {"menor que", vBelow, false}, {"menor a", vBelow, false}, {"kleiner als", vBelow, false}, {"inferieur a", vBelow, false}, {"kurang dari", vBelow, false}, {"小于", vBelow, false},
		{">=", vAbove, false}, {"=>", vAbove, false}, {">", vAbove, false}, {"≥", vAbove, false}, {"more than", vAbove, false}, {"greater than", vAbove, false}, {"gt ", vAbove, false},
		{"above", vAbove, false}, {"over ", vAbove, false}, {"mayor que", vAbove, false}, {"mayor a", vAbove, false}, {"grosser als", vAbove, false}, {"superieur a", vAbove, false}, {"lebih dari", vAbove, false}, {"大于", vAbove, false},
		{"~", vNumber, true}, {"≈", vNumber, true}, {"approx.", vNumber, true}, {"approx", vNumber, true}, {"about", vNumber, true}, {"ca.", vNumber, true}, {"ca ", vNumber, true},
		{"c. ", vNumber, true}, {"circa", vNumber, true}, {"around", vNumber, true}, {"est.", vNumber, true}, {"est ", vNumber, true}, {"etwa", vNumber, true}, {"env.", vNumber, true}, {"aprox.", vNumber, true}, {"aprox", vNumber, true}, {"约", vNumber, true},
	} {
		if rest, ok := strings.CutPrefix(s, q.sign); ok {
			return strings.TrimSpace(rest), q.state, q.approx
		}
	}
	return s, vNumber, false
}

// leading reads the number at the front and gives what follows it.
func leading(s string, d decimals) (value, string) {
	end := numeralEnd(s)
	if end == 0 {
		return value{state: vUnclear, doubt: "is not a number"}, s
	}
	v := numeral(s[:end], d)
	rest := s[end:]
	if v.ok() {
		if m := powerOf10.FindStringSubmatchIndex(rest); m != nil {
			p, _ := strconv.Atoi(rest[m[2]:m[3]])
			v.num *= math.Pow(10, float64(p))
			rest = rest[m[1]:]
		} else if len(rest) > 1 && rest[0] == 'e' && strings.ContainsAny(rest[1:2], "+-0123456789") {
			k := 1
			for k < len(rest) && (rest[k] >= '0' && rest[k] <= '9' || k == 1 && (rest[k] == '+' || rest[k] == '-')) {
				k++
			}
			if p, err := strconv.Atoi(rest[1:k]); err == nil && p < 300 && p > -300 {
				v.num *= math.Pow(10, float64(p))
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

// numeral reads digits with separators. One comma, or one point in a sheet of
// decimal commas, before three digits has two meanings; d settles it or the
// value is unclear.
func numeral(s string, d decimals) value {
	negative := strings.HasPrefix(s, "-")
	t := strings.TrimRight(strings.TrimLeft(s, "+- "), ".,")
	t = strings.ReplaceAll(strings.ReplaceAll(t, " ", ""), "'", "")
	points, commas := strings.Count(t, "."), strings.Count(t, ",")
	bad := value{state: vUnclear, doubt: "is not a number in any usual form"}
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
			case sep == "," && d == decimalPoint, sep == "." && d == decimalComma:
				t = whole + frac
			case sep == "," && d == decimalComma, sep == "." && d != decimalsMixed:
				t = whole + "." + frac
			default:
				return value{state: vUnclear, doubt: "can be " + whole + "." + frac + " or " + whole + frac}
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
	return value{state: vNumber, num: v}
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

func plusMinus(rest string, d decimals) (float64, string, bool) {
	r := strings.TrimSpace(rest)
	open := strings.HasPrefix(r, "(")
	r = strings.TrimSpace(strings.TrimPrefix(r, "("))
	for _, sign := range [...]string{"±", "+/-", "+-", "+ / -", "-/+"} {
		if t, ok := strings.CutPrefix(r, sign); ok {
			v, more := leading(strings.TrimSpace(t), d)
			if v.ok() {
				if open {
					more = strings.Replace(more, ")", "", 1)
				}
				return v.num, more, true
			}
		}
	}
	return 0, rest, false
}

// repeats reads "34.1 / 35.2 / 33.8".
func repeats(s string, d decimals) ([]float64, bool) {
	parts := listSign.Split(s, -1)
	if len(parts) < 2 || len(parts) > 12 {
		return nil, false
	}
	var out []float64
	for _, p := range parts {
		v, rest := leading(strings.TrimSpace(p), d)
		if !v.ok() || strings.TrimSpace(rest) != "" {
			return nil, false
		}
		out = append(out, v.num)
	}
	return out, true
}

func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// tail judges what stands after the number: a unit, a footnote mark, a remark.
func tail(v value, rest string, d decimals) value {
	rest = strings.TrimRight(rest, " .")
	if strings.TrimSpace(rest) == "" {
		return v
	}
	r := "0 " + strings.TrimSpace(rest)
	if us := words.Units(r); len(us) > 0 && us[0].From <= 3 {
		left := strings.Trim(words.Fold(r[us[0].To:]), " .,)")
		if pm, more, ok := plusMinus(left, d); ok && v.sd == 0 {
			v.sd, left = pm, strings.Trim(more, " .")
			if u, ok := words.OnlyUnit(left); ok && u.Kind == us[0].Kind {
				left = ""
			}
		}
		v.unit = us[0].Unit
		if left == "" || footnote.MatchString(left) || bracketed.MatchString(left) || footnote.MatchString(" "+left) {
			if left != "" {
				v.doubt = "carries a mark"
			}
			return v
		}
		if v.unit.Kind == words.Volume || v.unit.Kind == words.Conc { // "5 mL stock", "10 mg/L alum"
			h := readHeading(left)
			if h.rest == "" && (h.stock || h.chem != "" || h.neat) {
				return v
			}
		}
		return value{state: vUnclear, doubt: "has text after the number"}
	}
	rest = strings.ToLower(rest)
	low := strings.Trim(rest, " ()[]")
	switch {
	case words.Means(low, "value:missing") && low != "" && !footnote.MatchString(rest):
		return value{state: vUnclear, doubt: "has a number and a word for missing"}
	case words.Means(low, "value:approx"):
		v.approx = true
		return v
	case footnote.MatchString(rest), bracketed.MatchString(rest):
		v.doubt = "carries a mark"
		return v
	}
	return value{state: vUnclear, doubt: "has text after the number"}
}

// named reads words with a number somewhere behind them: "ND (<0.02)", "over
// range > 1000", "not detected 0.02".
func named(s string, state valueState, d decimals) value {
	if v, ok := limitIn(s, innerLess, d); ok {
		return value{state: vBelow, num: v, limit: true}
	}
	if v, ok := limitIn(s, innerMore, d); ok {
		return value{state: vAbove, num: v, limit: true}
	}
	if state != vNumber { // "< LOD", "> range"
		return value{state: state}
	}
	head := s
	if i := strings.IndexFunc(s, func(r rune) bool { return unicode.IsDigit(r) || strings.ContainsRune("([:=;,", r) }); i > 0 {
		head = strings.TrimSpace(s[:i])
	}
	for _, q := range [...]struct {
		concept string
		state   valueState
	}{{"value:nd", vBelow}, {"value:over", vAbove}, {"value:missing", vMissing}} {
		if !words.Means(head, q.concept) {
			continue
		}
		v := value{state: q.state}
		if q.state != vMissing {
			if n := anyNumber.FindString(s); n != "" {
				if x := numeral(n, d); x.ok() {
					v.num, v.limit = x.num, true
				}
			}
		}
		return v
	}
	return value{state: vUnclear, doubt: "is not a number"}
}

func limitIn(s string, re *regexp.Regexp, d decimals) (float64, bool) {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	x := numeral(m[1], d)
	return x.num, x.ok()
}

// sheetDecimals looks at all numbers typed as text and says how the sheet writes
// fractions. Only forms with one meaning count.
func sheetDecimals(g *area) decimals {
	point, comma := 0, 0
	for _, row := range g.Rows {
		for _, c := range row {
			if c.Kind != textual || len(c.Text) > 40 || strings.IndexFunc(c.Text, unicode.IsNumber) < 0 {
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
		return decimalsMixed
	case point > 0:
		return decimalPoint
	case comma > 0:
		return decimalComma
	}
	return decimalsUnknown
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
		if !numeral(t, decimalsUnknown).ok() {
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
