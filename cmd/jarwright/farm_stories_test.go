package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

var (
	asksStory = regexp.MustCompile(`^(?:exec|exits 3) jarwright (.*)$`)
	inQuotes  = regexp.MustCompile(`'([^']*)'|(\S+)`)
	anything  = regexp.MustCompile(`\.\*\??`)
)

// scriptWords takes a line of a script apart, in which quotes hold words together.
func scriptWords(line string) (out []string) {
	for _, m := range inQuotes.FindAllStringSubmatch(line, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}

// withGaps names each stretch of anything in a passage a gap: what stands there is not asserted by it.
func withGaps(passage string) string {
	n := 0
	return anything.ReplaceAllStringFunc(passage, func(s string) string {
		n++
		return fmt.Sprintf("(?P<gap%d>%s)", n, s)
	})
}

// storyAnswers runs what a story asks for in text, with the files that it changes on the way, and gathers what it asserts of each answer.
// The same question asked twice is one answer.
func storyAnswers(t *testing.T, story string) (out []*dayAnswer) {
	t.Helper()
	silent, asked := &dayAnswer{}, map[string]*dayAnswer{}
	last := silent
	for line := range strings.Lines(story) {
		line = strings.TrimSpace(line)
		words := scriptWords(line)
		m := asksStory.FindStringSubmatch(line)
		switch {
		case strings.HasPrefix(line, "replace "):
			text, err := os.ReadFile(words[3])
			if err != nil {
				t.Fatal(err)
			}
			write(t, words[4], []byte(strings.ReplaceAll(string(text), words[1], words[2])))
		case m != nil && (strings.Contains(line, "--format") || strings.Contains(line, " -o ")):
			last = silent
		case m != nil:
			last = asked[m[1]]
			if args := scriptWords(m[1]); last == nil {
				last = &dayAnswer{command: m[1], text: answer(t, args...)}
				for _, a := range args { // what the line itself gives
					last.given += a + "\n"
				}
				for _, a := range args {
					if text, err := os.ReadFile(a); err == nil {
						last.given += string(text)
					}
				}
				asked[m[1]] = last
				out = append(out, last)
			}
		case strings.HasPrefix(line, "exits ") || strings.HasPrefix(line, "! exec"):
			last = silent
		default:
			if m := assertsText.FindStringSubmatch(line); m != nil {
				last.asserted = append(last.asserted, regexp.MustCompile("(?m)"+withGaps(strings.ReplaceAll(m[1], "''", "'"))))
			}
		}
	}
	return out
}

// heldFigures are the figures that the passages hold which a story asserts, one a line: where one stands again it is the same figure.
// A number of one digit, such as a count, is too common to be known again.
func heldFigures(answers []*dayAnswer) string {
	var out strings.Builder
	for _, x := range answers {
		for _, r := range x.asserted {
			for _, at := range heldBy(r, x.text) {
				for _, n := range figuresOfDay.FindAllString(x.text[at[0]:at[1]], -1) {
					if len(n) > 1 {
						out.WriteString(n + "\n")
					}
				}
			}
		}
	}
	return out.String()
}

// TestFarmStoriesAssertEveryFigure: every number that each story of a farm is answered with stands in a passage that the story asserts,
// or in what it gives, or is a figure that it asserts elsewhere.
func TestFarmStoriesAssertEveryFigure(t *testing.T) {
	stories, err := filepath.Glob("testdata/script/farm_*.txtar")
	if err != nil || len(stories) < 12 {
		t.Fatalf("%d stories, %v", len(stories), err)
	}
	for _, file := range stories {
		t.Run(strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "farm_"), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			for _, f := range a.Files {
				write(t, filepath.Join(dir, f.Name), f.Data)
			}
			t.Chdir(dir)
			answers, count := storyAnswers(t, string(a.Comment)), 0
			held := heldFigures(answers)
			for _, x := range answers {
				x.given += held
				count += x.unasserted(t, x.given)
			}
			t.Logf("%d numbers are asserted", count)
		})
	}
}
