package words

import (
	"cmp"
	_ "embed"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// The words between and before numbers, by language: those "to" the end of a range, "and", "or" and
// "but" between the parts of a text, "and of names" only between names and "and of numbers" between
// numbers, as they are usual words of other languages; "less", "more" and "about" before a number; what says that a jar "got" an amount
// or that it was read, "then", an "article" and the "turn" of a jar before these; and where the axes of a table that has
// doses on two sides are said to run ("down", "across", with "rows" and "columns" before their names).
// The words are those of bench sheets (from memory of the languages).
//
//go:embed joints.csv
var jointsCSV string

// jointTable is the table of joints by their kind, folded, the longest first.
var jointTable = sync.OnceValue(func() map[string][]string {
	out := map[string][]string{}
	for row := range strings.Lines(jointsCSV) {
		kind, rest, _ := strings.Cut(strings.TrimSpace(row), ",")
		_, list, _ := strings.Cut(rest, ",")
		for w := range strings.SplitSeq(list, "|") {
			out[kind] = append(out[kind], Fold(w))
			if low := strings.ToLower(w); low != Fold(w) { // texts are not always folded
				out[kind] = append(out[kind], low)
			}
		}
	}
	for kind, all := range out {
		slices.SortFunc(all, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
		out[kind] = slices.Compact(all)
	}
	return out
})

// Joints gives the words of a kind of joints, the longest first.
func Joints(kind string) []string { return jointTable()[kind] }

// jointIn is the name of a kind of joints in an expression.
var jointIn = regexp.MustCompile(`\{[a-z][a-z ]*\}`)

// Jointed makes a pattern in which {kind} stands for any joint of a kind, {to} for "to", "bis" and
// the like.
func Jointed(expr string) *Pattern { return PatternOf(func() string { return JointsIn(expr) }) }

// JointsIn puts the joints of an expression in the place of their kinds; what is no kind of joints stays.
func JointsIn(expr string) string {
	return jointIn.ReplaceAllStringFunc(expr, func(kind string) string {
		all := slices.Clone(Joints(strings.Trim(kind, "{}")))
		if len(all) == 0 {
			return kind
		}
		for i, w := range all {
			all[i] = regexp.QuoteMeta(w)
		}
		return strings.Join(all, "|")
	})
}

// CutJoint takes a joint of a kind off the front of a folded text; it is a word of its own there, or
// stands before a number.
func CutJoint(s, kind string) (rest string, ok bool) {
	for _, w := range Joints(kind) {
		rest, ok := strings.CutPrefix(s, w)
		last, _ := utf8.DecodeLastRuneInString(w)
		next, _ := utf8.DecodeRuneInString(rest)
		if ok && (rest == "" || next == ' ' || unicode.IsDigit(next) || !unicode.IsLetter(last) || spaceless(last)) {
			return strings.TrimSpace(rest), true
		}
	}
	return s, false
}
