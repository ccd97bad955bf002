package words

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// The numbers that sheets write in words before a unit, by language. What is also a
// usual word of another language ("to", "on") is left out. From memory of the languages.
//
//go:embed numbers.csv
var numbersCSV string

// numberWords are a number in words, split.
type numberWords struct {
	split []string
	value float64
}

// numbersInWords are the numbers by their last word, the longest first.
var numbersInWords = sync.OnceValue(func() map[string][]numberWords {
	out := map[string][]numberWords{}
	for _, r := range rows(numbersCSV) {
		value, err := strconv.ParseFloat(r[0], 64)
		if err != nil {
			panic("table of numbers: " + err.Error()) // it ships with the program
		}
		for w := range strings.SplitSeq(r[2], "|") {
			split := tokensOf(w)
			last := split[len(split)-1]
			out[last] = append(out[last], numberWords{split, value})
		}
	}
	for _, of := range out {
		slices.SortStableFunc(of, func(a, b numberWords) int { return len(b.split) - len(a.split) })
	}
	return out
})

// A fraction may have an article on either side, "half a litre", "a quarter of a litre", and a
// word that joins it to the whole before it, "one and a half".
var (
	articles = []string{"a", "an", "un", "ein", "einen"}
	between  = append([]string{"of", "de", "d"}, articles...)
	joiners  = []string{"and", "und", "y", "e", "et", "en", "och", "og", "i"}
)

// inWordsBefore are the kinds of units before which a number is written in words; a fraction stands only
// before a volume or a percentage, as "medio" is a mean as well.
var inWordsBefore = map[Kind]bool{Volume: true, Turbidity: true, FNU: true, Mass: true, Percent: true, Conc: true, Volper: true, Drops: true}

// Figures writes the numbers in words that stand before a unit as digits: "one-litre jars"
// is "1-litre jars", "half a litre" "0.5 litre".
func Figures(text string) string {
	ts := slices.DeleteFunc(lex(text), func(t token) bool { return t.text == "-" })
	for i := len(ts) - 1; i > 0; i-- {
		if ts[i].sort == numberToken {
			continue
		}
		value, used := numberEnding(ts[:i])
		if used == 0 {
			continue
		}
		joint := " "
		if text[ts[i].from-1] == '-' {
			joint = "-"
		}
		head := text[:ts[i-used].from] + strconv.FormatFloat(value, 'f', -1, 64) + joint
		written := head + text[ts[i].from:]
		before := func(u UnitAt) bool {
			return u.From <= len(head) && len(head) < u.To && inWordsBefore[u.Kind] && (value >= 1 || u.From < len(head) || u.Kind == Volume || u.Kind == Percent)
		}
		if slices.ContainsFunc(Units(written), before) {
			text, i = written, i-used
		}
	}
	return text
}

// numberEnding reads the number in words that tokens end with, and gives how many of them it takes.
func numberEnding(ts []token) (float64, int) {
	end := withoutLast(ts, between)
	part, n := wordEnding(end)
	if n == 0 || part >= 1 { // "one", and no fraction
		return wordEnding(ts)
	}
	before := end[:len(end)-n]
	if whole, m := wordEnding(before); m > 0 && whole >= 1 { // "three quarters"
		return whole * part, len(ts) - len(before) + m
	}
	open := withoutLast(before, articles)
	value, left := part, len(open)
	if joined := withoutLast(open, joiners); len(joined) < len(open) { // "one and a half"
		whole, m := wordEnding(joined)
		if digits, ok := digitsEnding(joined); ok {
			whole, m = digits, 1
		}
		if m > 0 && whole >= 1 {
			value, left = whole+part, len(joined)-m
		}
	}
	return value, len(ts) - left
}

// withoutLast takes the words of a list off the end.
func withoutLast(ts []token, list []string) []token {
	for len(ts) > 0 && slices.Contains(list, ts[len(ts)-1].text) {
		ts = ts[:len(ts)-1]
	}
	return ts
}

// wordEnding gives the number of the table that tokens end with.
func wordEnding(ts []token) (float64, int) {
	if len(ts) == 0 {
		return 0, 0
	}
	for _, s := range numbersInWords()[ts[len(ts)-1].text] {
		n := len(s.split)
		if n <= len(ts) && slices.EqualFunc(s.split, ts[len(ts)-n:], func(w string, t token) bool { return w == t.text }) {
			return s.value, n
		}
	}
	return 0, 0
}

// digitsEnding gives a number in digits that tokens end with.
func digitsEnding(ts []token) (float64, bool) {
	if len(ts) == 0 || ts[len(ts)-1].sort != numberToken {
		return 0, false
	}
	return number(ts[len(ts)-1].text)
}
