package main

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// wholeDays are the scripts of a whole day at one place each.
var wholeDays = []string{"day_prawn", "works_us_day", "village"}

// pondDays are the scripts of ponds that are treated by hand, one answer in text each.
var pondDays = []string{"pond_by_hand", "pond_clay"}

// TestWholeDaysAssertEveryFigure: every number of the text answers that a day's script asks for, its
// clock times and dates too, stands in a passage that the script asserts or in the site's own file. What
// silentText takes out, such as the marks of a picture, is no figure or is held elsewhere.
func TestWholeDaysAssertEveryFigure(t *testing.T) {
	for _, name := range slices.Concat(wholeDays, pondDays) {
		t.Run(name, func(t *testing.T) {
			a, err := txtar.ParseFile(filepath.Join("testdata/script", name+".txtar"))
			if err != nil {
				t.Fatal(err)
			}
			dir, given := t.TempDir(), ""
			for _, f := range a.Files {
				write(t, filepath.Join(dir, f.Name), f.Data)
				given += string(f.Data)
			}
			t.Chdir(dir)
			answers := dayAnswers(t, string(a.Comment))
			if len(answers) == 0 || len(answers) < 2 && !slices.Contains(pondDays, name) {
				t.Fatalf("%d answers", len(answers))
			}
			count := 0
			for _, x := range answers {
				count += x.unasserted(t, given)
			}
			t.Logf("%d numbers are asserted", count)
		})
	}
}

// dayAnswer is one answer of a script in text, with the passages that the script asserts of it.
type dayAnswer struct {
	command, text, given string // what the question gives
	asserted             []*regexp.Regexp
}

var (
	asksText    = regexp.MustCompile(`^(?:! )?exec jarwright (.*)$`)
	assertsText = regexp.MustCompile(`^stdout '(.*)'$`)
)

// dayAnswers runs what a script runs on its first site, before it changes anything, and gathers what it asserts.
func dayAnswers(t *testing.T, script string) (out []*dayAnswer) {
	t.Helper()
	for line := range strings.Lines(script) {
		line = strings.TrimSpace(line)
		switch m := asksText.FindStringSubmatch(line); {
		case m != nil && (strings.Contains(m[1], "--format") || strings.Contains(m[1], "slip.yaml")):
			out = append(out, &dayAnswer{}) // its lines are no text, or those of a slip
		case m != nil:
			out = append(out, &dayAnswer{command: m[1], text: answer(t, strings.Fields(m[1])...)})
		case len(out) > 0:
			if m := assertsText.FindStringSubmatch(line); m != nil {
				last := out[len(out)-1]
				last.asserted = append(last.asserted, regexp.MustCompile("(?m)"+strings.ReplaceAll(m[1], "''", "'")))
			}
		}
	}
	return slices.DeleteFunc(out, func(x *dayAnswer) bool { return x.command == "" })
}

// figuresOfDay finds numbers, a clock time or a date as a whole.
var figuresOfDay = regexp.MustCompile(`[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{2}:[0-9]{2}|[0-9]+(\.[0-9]+)?`)

// heldBy gives the places of a text that a passage holds: where it matches, but for the groups that are named a gap.
func heldBy(r *regexp.Regexp, text string) (out [][2]int) {
	for _, at := range r.FindAllStringSubmatchIndex(text, -1) {
		from := at[0]
		for i, name := range r.SubexpNames() {
			if strings.HasPrefix(name, "gap") && at[2*i] >= 0 {
				out, from = append(out, [2]int{from, at[2*i]}), at[2*i+1]
			}
		}
		out = append(out, [2]int{from, at[1]})
	}
	return out
}

// unasserted complains of the numbers of an answer that nothing holds, and counts those that are held.
func (x *dayAnswer) unasserted(t *testing.T, given string) (count int) {
	t.Helper()
	count = len(figuresOfDay.FindAllString(x.text, -1))
	held := []byte(x.text)
	for _, r := range x.asserted {
		places := heldBy(r, x.text)
		if len(places) == 0 {
			t.Errorf("%s: nothing matches %s", x.command, r)
		}
		for _, at := range places {
			for i := at[0]; i < at[1]; i++ { // of its own length, so that lines stay where they are
				if held[i] != '\n' {
					held[i] = '_'
				}
			}
		}
	}
	text := string(held)
	for _, s := range silentText {
		if s.what != "a clock time" && s.what != "a date" {
			text = s.passage.ReplaceAllString(text, " ")
		}
	}
	for i, line := range strings.Split(text, "\n") {
		for _, n := range figuresOfDay.FindAllString(line, -1) {
			if !regexp.MustCompile(`(^|[^0-9.])` + regexp.QuoteMeta(n) + `([^0-9.]|$)`).MatchString(given) {
				count--
				t.Errorf("%s: nothing asserts %s in line %d: %s", x.command, n, i+1, line)
			}
		}
	}
	return count
}
