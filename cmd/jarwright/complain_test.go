package main

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/templates"
)

// TestComplaintsAreHarmless: bytes of a file that stand in a complaint are shown, and do nothing to a terminal.
func TestComplaintsAreHarmless(t *testing.T) {
	bad := note.Fault("damaged-file", "its part %s is locked", "xl/\xc5\x1b[31m\u202eworkbook.xml").At(note.Place{File: "f\a.xlsx"})
	const want = "jarwright: f<U+0007>.xlsx: its part xl/\uFFFD<U+001B>[31m<U+202E>workbook.xml is locked\n"
	for _, err := range []error{bad, note.List{bad}} {
		var b strings.Builder
		if complain(&b, err, templates.Options{}); b.String() != want {
			t.Errorf("%q, want %q", b.String(), want)
		}
	}
}
