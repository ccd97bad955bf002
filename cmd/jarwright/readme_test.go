package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// farDay is a day long after those of the demo: a documented answer that went by the clock would tell that its tests are old.
func farDay() time.Time { return time.Date(2091, 7, 1, 12, 0, 0, 0, time.UTC) }

// TestReadmeTour runs the console blocks of the README, in order, in a folder
// where the demo has run, and compares what they print, by a clock of decades later. With JARWRIGHT_UPDATE set it rewrites them.
func TestReadmeTour(t *testing.T) {
	readme, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text := contents(t, readme)
	t.Chdir(t.TempDir())
	if _, errs, code := program(t, "demo"); code != exitDone {
		t.Fatalf("demo: exit %d, %s", code, errs)
	}
	const open, shut = "```console\n", "```"
	var out strings.Builder
	rest, ran := string(text), 0
	for {
		before, block, found := strings.Cut(rest, open)
		out.WriteString(before)
		if !found {
			break
		}
		block, after, _ := strings.Cut(block, shut)
		got := runBlock(t, block)
		ran++
		if got != block && os.Getenv("JARWRIGHT_UPDATE") == "" {
			t.Errorf("README block differs.\n--- README\n%s--- now\n%s", block, got)
		}
		out.WriteString(open + got + shut)
		rest = after
	}
	if ran < 3 {
		t.Errorf("only %d console blocks in the README", ran)
	}
	if os.Getenv("JARWRIGHT_UPDATE") != "" && out.String() != string(text) {
		write(t, readme, out.String())
	}
}

// runBlock runs each "$ jarwright …" line of a block and gives the block anew.
func runBlock(t *testing.T, block string) string {
	t.Helper()
	var out bytes.Buffer
	for _, line := range strings.Split(block, "\n") {
		command, isCommand := strings.CutPrefix(line, "$ jarwright ")
		if !isCommand {
			continue
		}
		out.WriteString(line + "\n")
		run(shellWords(t, command), streams{In: strings.NewReader(""), Out: &out, Err: &out, Width: 80, NoColor: true, Clock: farDay})
	}
	return out.String()
}

// shellWords splits a command line at blanks, keeping what stands in double quotes together.
func shellWords(t *testing.T, line string) []string {
	t.Helper()
	var words []string
	var word strings.Builder
	quoted, begun := false, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted, begun = !quoted, true
		case r == ' ' && !quoted:
			if begun {
				words = append(words, word.String())
				word.Reset()
				begun = false
			}
		default:
			word.WriteRune(r)
			begun = true
		}
	}
	if quoted {
		t.Fatalf("open quote in %q", line)
	}
	if begun {
		words = append(words, word.String())
	}
	return words
}
