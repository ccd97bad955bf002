package templates

import (
	"fmt"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// Cautions counts what has to be answered before the numbers are relied on.
func (r Read) Cautions() int { return len(r.All().Only(note.Caution)) }

// Doubts says what has to be answered before the dose is looked at, errors first: they left something out. Empty where nothing has.
func (r Read) Doubts() string {
	var parts []string
	wrong, asked := len(r.All().Only(note.Error)), r.Cautions()
	if wrong > 0 {
		parts = append(parts, inWords(wrong, "error", "errors"))
	}
	if asked > 0 {
		parts = append(parts, inWords(asked, "caution", "cautions"))
	}
	switch wrong + asked {
	case 0:
		return ""
	case 1:
		return upperFirst(parts[0]) + " stands below: answer it first."
	}
	return upperFirst(strings.Join(parts, " and ")) + " stand below: answer them first."
}

// All are the notes of the file and of its series.
func (r Read) All() note.List {
	out := append(note.List(nil), r.Notes...)
	for _, s := range r.Series {
		out = append(out, s.Notes...)
	}
	return out
}

// InShort says in a line what was read: of one series its jars, how often each was read, and its target.
func (r Read) InShort(o Options) string {
	jars := 0
	for _, s := range r.Series {
		jars += len(s.Jars)
	}
	switch len(r.Series) {
	case 0:
		return "No jars"
	case 1:
	default:
		return fmt.Sprintf("Read: %s, %s", inWords(len(r.Series), "jar test", "jar tests"), inWords(jars, "jar", "jars"))
	}
	s := r.Series[0]
	out := "Read: " + inWords(jars, "jar", "jars")
	if n := repeatsOf(s); n > 1 {
		out += ", " + inWords(n, "reading", "readings") + " each"
	}
	for _, t := range s.Targets {
		out += ", target " + o.Show(targetPhrase(t))
	}
	return out
}

// repeatsOf is how often the first reading of a series was taken in most of a jar.
func repeatsOf(s jartest.Series) (most int) {
	keys := s.Keys()
	if len(keys) == 0 {
		return 0
	}
	for _, j := range s.Jars {
		most = max(most, len(j.Readings.Of(keys[0]).Replicates))
	}
	return most
}

// inWords counts things, few of them in words.
func inWords(n int, one, many string) string {
	few := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(few) {
		return few[n] + " " + either(n == 1, one, many)
	}
	return counted(n, one, many)
}
