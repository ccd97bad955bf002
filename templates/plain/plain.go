// Package plain makes text that came from a user's file harmless and honest:
// whatever would act on a terminal, in a page or in a spreadsheet, or would
// turn the direction of writing, appears as its code point instead.
package plain

import (
	"encoding/xml"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Visible replaces control characters, marks that turn the writing direction
// and marks without width by "<U+202E>" and the like. Line breaks and tabs stay.
func Visible(s string) string {
	if utf8.ValidString(s) && strings.IndexFunc(s, hidden) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if hidden(r) {
			fmt.Fprintf(&b, "<U+%04X>", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Line is Visible on one line: line breaks, tabs and runs of blanks become one blank.
func Line(s string) string { return strings.Join(strings.Fields(Visible(s)), " ") }

func hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case unicode.IsControl(r):
		return true
	case r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069, r == 0x200E, r == 0x200F, r == 0x061C, r == 0xFEFF:
		return true // direction of writing, byte order mark
	case r == 0x200B, r >= 0x2060 && r <= 0x2064, r == 0x2028, r == 0x2029, r >= 0xFFF9 && r <= 0xFFFB, r&0xFFFE == 0xFFFE:
		return true // no width, separators, annotation, no characters at all
	}
	return false
}

// XML escapes text for XML, in content and in attributes.
func XML(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a builder takes everything
	return b.String()
}
