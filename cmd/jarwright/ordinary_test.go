package main

import (
	"path/filepath"
	"regexp"
	"testing"
)

// graver finds what is said above a note; what concerns the chemicals as goods has no such word.
var graver = regexp.MustCompile(`(?m)^(CAUTION|ERROR|STOP) `)

// TestOrdinarySitesAreQuiet: ten ordinary farms and works, each safe by trade knowledge,
// get two cautions at most in a plan and a pump sheet, and no stop.
func TestOrdinarySitesAreQuiet(t *testing.T) {
	files, err := filepath.Glob("testdata/ordinary/*.yaml")
	if err != nil || len(files) != 10 {
		t.Fatalf("%d sites, %v", len(files), err)
	}
	for _, f := range files {
		for _, command := range []string{"plan", "pump"} {
			out, errs, code := program(t, command, f, "--date", "2026-05-04")
			if said := graver.FindAllString(out, -1); code != exitDone || len(said) > 2 {
				t.Errorf("%s %s ends with %d and says %d cautions: %s\n%s", command, f, code, len(said), errs, out)
			}
		}
	}
}
