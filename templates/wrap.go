package templates

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"jarwright/templates/plain"
)

// Wrap breaks text into lines of at most width columns, at blanks where it can.
// It always gives at least one line.
func Wrap(s string, width int) []string {
	width = max(width, 8)
	var out []string
	for _, para := range strings.Split(s, "\n") {
		line := ""
		for _, word := range strings.Fields(para) {
			for columns(word) > width {
				if line != "" {
					out = append(out, line)
					line = ""
				}
				r := []rune(word)
				n := min(width, len(r))
				for n > 1 && columns(string(r[:n])) > width {
					n--
				}
				out = append(out, string(r[:n]))
				word = string(r[n:])
			}
			switch {
			case line == "":
				line = word
			case columns(line)+1+columns(word) <= width:
				line += " " + word
			default:
				out = append(out, line)
				line = word
			}
		}
		out = append(out, line)
	}
	return out
}

// Visible makes text from a user's file harmless on a terminal and honest to
// the eye; see [plain.Visible].
func Visible(s string) string { return plain.Visible(s) }

// columns is how wide text stands on a terminal: combining marks take none,
// wide East Asian letters two.
func columns(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case r < 0x300: // below all combining marks
			n++
		case unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Me, r):
		case r >= 0x1100 && r <= 0x115F, r >= 0x2E80 && r <= 0xA4CF, r >= 0xAC00 && r <= 0xD7A3, r >= 0xF900 && r <= 0xFAFF,
			r >= 0xFE30 && r <= 0xFE6F, r >= 0xFF00 && r <= 0xFF60, r >= 0x1F300 && r <= 0x1FAFF:
			n += 2
		default:
			n++
		}
	}
	return n
}

func padRight(s string, w int) string { return s + strings.Repeat(" ", max(w-columns(s), 0)) }

func padLeft(s string, w int) string { return strings.Repeat(" ", max(w-columns(s), 0)) + s }

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if second, _ := utf8.DecodeRuneInString(s[n:]); n == 0 || unicode.IsUpper(second) { // "pH" stays as it is
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// joined joins words, leaving out the empty ones.
func joined(between string, words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(s string) bool { return s == "" }), between)
}

// either is the one where something holds, else the other.
func either[T any](holds bool, one, other T) T {
	if holds {
		return one
	}
	return other
}

// bracketed is a name with what stands in brackets after it: "turbidity (NTU)".
func bracketed(name, inner string) string {
	if inner == "" {
		return name
	}
	return name + " (" + inner + ")"
}
