package layout

import (
	"cmp"
	"math"
	"strconv"
	"strings"
	"unicode"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// Decimals is how a sheet writes fractions.
type Decimals uint8

const (
	DecimalsUnknown Decimals = iota
	DecimalPoint
	DecimalComma
	DecimalsMixed
)

var powerOf10 = words.NewPattern(`^(?:\s?[x.*]\s?10\s?\^?\s?([+-]?\d{1,2})|e([+-]?\d+))`)

// Leading reads the number at the front of a folded text and gives what follows it.
func Leading(s string, d Decimals) (Value, string) {
	end := numeralEnd(s)
	if end == 0 {
		return Value{State: Unclear, Doubt: "is not a number"}, s
	}
	v, rest := Numeral(s[:end], d), s[end:]
	if m := powerOf10.FindStringSubmatch(rest); v.OK() && m != nil {
		if p, err := strconv.Atoi(m[1] + m[2]); err == nil && p < 300 && p > -300 {
			v.Num *= math.Pow(10, float64(p))
			rest = rest[len(m[0]):]
		}
	}
	return v, rest
}

const digits = "0123456789"

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// numeralEnd finds where the numeral at the front of s ends. A separator belongs
// to it only before a digit, a blank only before exactly three digits.
func numeralEnd(s string) int {
	start := signEnd(s)
	end := start
	for end < len(s) && (isDigit(s[end]) || joins(s[start:end], s[end], s[end+1:])) {
		end++
	}
	switch {
	case end == start:
		return 0
	case s[end:] == "." || s[end:] == ",":
		return len(s) // "12." as some meters print it
	}
	return end
}

// signEnd finds where the sign of a numeral ends, and the blank behind it.
func signEnd(s string) int {
	switch {
	case s == "" || s[0] != '-' && s[0] != '+':
		return 0
	case strings.HasPrefix(s[1:], " "):
		return 2
	}
	return 1
}

// joins reports a mark between digits that leaves them one numeral.
func joins(before string, mark byte, after string) bool {
	switch mark {
	case '.', ',':
		return after != "" && isDigit(after[0])
	case ' ', '\'': // the digits so far must stand in groups of three themselves
		groups := 1 + strings.Count(before, " ") + strings.Count(before, "'")
		return before != "" && countDigits(before) <= 3*groups && len(after)-len(strings.TrimLeft(after, digits)) == 3
	}
	return false
}

func countDigits(s string) int {
	n := 0
	for i := range len(s) {
		if isDigit(s[i]) {
			n++
		}
	}
	return n
}

// thousands takes out what stands between the thousands of a number.
var thousands = strings.NewReplacer(" ", "", "'", "")

// Numeral reads digits with separators. One comma, or one point in a sheet of
// decimal commas, before three digits has two meanings; d settles it or the
// value is unclear.
func Numeral(s string, d Decimals) Value {
	t := strings.TrimRight(strings.TrimLeft(s, "+- "), ".,")
	t, doubt := d.plain(thousands.Replace(t))
	if doubt != "" {
		return Value{State: Unclear, Doubt: doubt}
	}
	v, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsInf(v, 0) {
		return Value{State: Unclear, Doubt: unusual}
	}
	if strings.HasPrefix(s, "-") {
		v = -v
	}
	return Value{State: Number, Num: v}
}

const unusual = "is not a number in any usual form"

// plain writes a numeral with no mark but a decimal point, or says why it cannot.
func (d Decimals) plain(t string) (numeral, doubt string) {
	at := strings.LastIndexAny(t, ".,")
	if at < 0 {
		return t, ""
	}
	whole, mark, frac := t[:at], t[at:at+1], t[at+1:]
	point := mark == "."
	other := ","
	if !point {
		other = "."
	}
	switch once := !strings.Contains(whole, mark); {
	case strings.Contains(whole, other):
		if !once || !grouped(whole, other) {
			return "", unusual
		}
		return strings.ReplaceAll(whole, other, "") + "." + frac, ""
	case !once:
		if !grouped(t, mark) {
			return "", unusual
		}
		return strings.ReplaceAll(t, mark, ""), ""
	case !likeThousands(whole, frac):
		return cmp.Or(whole, "0") + "." + frac, ""
	case point && d == DecimalComma, !point && d == DecimalPoint:
		return whole + frac, ""
	case point && d != DecimalsMixed, d == DecimalComma:
		return whole + "." + frac, ""
	}
	return "", "can be " + whole + "." + frac + " or " + whole + frac
}

// likeThousands reports three digits behind a mark that may part a fraction or thousands.
func likeThousands(whole, frac string) bool {
	return len(frac) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0'
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

// DecimalsOf looks at all numbers typed as text and says how the sheet writes
// fractions. Only forms with one meaning count.
func DecimalsOf(g *Area) Decimals {
	seen := map[Decimals]int{}
	for _, row := range g.Rows {
		for _, c := range row {
			if c.Kind == grid.Textual && len(c.Text) <= 40 && strings.IndexFunc(c.Text, unicode.IsNumber) >= 0 {
				seen[decimalsIn(words.Fold(c.Text))]++
			}
		}
		if seen[DecimalPoint]+seen[DecimalComma] > 2000 {
			break
		}
	}
	switch point, comma := seen[DecimalPoint] > 0, seen[DecimalComma] > 0; {
	case point && comma:
		return DecimalsMixed
	case point:
		return DecimalPoint
	case comma:
		return DecimalComma
	}
	return DecimalsUnknown
}

// decimalsIn says how the number at the front of a folded text shows that fractions
// are written, if it does.
func decimalsIn(s string) Decimals {
	if isoDate.MatchString(s) || dayDate.MatchString(s) || IsClock(s) {
		return DecimalsUnknown
	}
	s = strings.TrimLeft(s, "<>≤≥=~≈ ")
	end := numeralEnd(s)
	at := strings.LastIndexAny(s[:end], ".,")
	if at < 0 || end < len(s) && isDigit(s[end]) || !Numeral(s[:end], DecimalsMixed).OK() {
		return DecimalsUnknown
	}
	point := s[at] == '.'
	if thousands := strings.IndexByte(s, s[at]) < at; point != thousands {
		return DecimalPoint
	}
	return DecimalComma
}

// DecimalsByOrder settles what "12,450" is in a sheet where nothing else does, by the
// columns of figures: 12,450, 3,120, 640, 95 fall only if the commas part thousands, and
// 1,250, 2,500, 5, 10 rise only if they part fractions. It gives the cell that a column
// begins with; two columns that disagree settle nothing.
func DecimalsByOrder(g *Area) (d Decimals, row, col int) {
	for c := range g.Width() {
		for r := 0; r < min(len(g.Rows), MostLines); {
			run := figuresFrom(View{Area: g}, r, c)
			said := orderSays(run)
			switch {
			case said != DecimalsUnknown && d == DecimalsUnknown:
				d, row, col = said, r, c
			case said != DecimalsUnknown && said != d:
				return DecimalsUnknown, 0, 0
			}
			r += len(run) + 1
		}
	}
	return d, row, col
}

// figuresFrom gives the numbers that stand one below another from a cell on.
func figuresFrom(v View, r, c int) []string {
	var out []string
	for ; ; r++ {
		x := v.At(r, c)
		s := strings.TrimSpace(x.Text)
		if x.Date() || x.Clock() || s == "" || numeralEnd(s) != len(s) {
			return out
		}
		out = append(out, s)
	}
}

// orderSays reads a run of figures with commas for fractions and for thousands, and says
// how the sheet writes fractions if it is in order one way alone.
func orderSays(run []string) Decimals {
	marked := 0
	var fractions, thousands axis
	for _, s := range run {
		if Numeral(s, DecimalsMixed).ambiguous() && strings.Contains(s, ",") {
			marked++
		}
		fractions.add(mark{num: Numeral(s, DecimalComma).Num})
		thousands.add(mark{num: Numeral(s, DecimalPoint).Num})
	}
	switch {
	case marked < 2 || len(run)-marked < 2:
	case thousands.ordered() && !fractions.ordered():
		return DecimalPoint
	case fractions.ordered() && !thousands.ordered():
		return DecimalComma
	}
	return DecimalsUnknown
}
