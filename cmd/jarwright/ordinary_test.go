package main

import (
	"path/filepath"
	"regexp"
	"testing"
)

// graver finds what is said above a note; what concerns the chemicals as goods has no such word.
var graver = regexp.MustCompile(`(?m)^(CAUTION|ERROR|STOP) `)

// TestOrdinarySitesAreQuiet: ten ordinary farms and works, each safe by trade knowledge,
// get two cautions at most in a plan, a pump sheet and a budget, and no stop.
func TestOrdinarySitesAreQuiet(t *testing.T) {
	files, err := filepath.Glob("testdata/ordinary/*.yaml")
	if err != nil || len(files) != 10 {
		t.Fatalf("%d sites, %v", len(files), err)
	}
	for _, f := range files {
		for _, command := range []string{"plan", "pump", "budget"} {
			out, errs, code := program(t, command, f, "--date", "2026-05-04")
			if said := graver.FindAllString(out, -1); code != exitDone || len(said) > 2 {
				t.Errorf("%s %s ends with %d and says %d cautions: %s\n%s", command, f, code, len(said), errs, out)
			}
		}
	}
	out, errs, code := program(t, "clarify", "--volume", "60 m3", "--flow", "12 m3/h", "--start", "80 NTU", "--stop", "5 NTU", "--capture", "85 %",
		"--dose", "alum-liquid: 12.5 mg/L as alum 14-hydrate", "--ph", "7.6", "--alkalinity", "120 mg/L CaCO3", "--temperature", "15 C")
	if said := graver.FindAllString(out, -1); code != exitDone || len(said) > 2 {
		t.Errorf("clarify of an ordinary pond ends with %d and says %d cautions: %s\n%s", code, len(said), errs, out)
	}
}

// TestSafeSitesAreQuiet: ten more, with animals of as many kinds and two works, and what each is told of in its plan, of
// its tank cleaned up and in its budget. Those that say something say it for a reason: a pump that runs when nobody is
// there. None may come to more than two.
func TestSafeSitesAreQuiet(t *testing.T) {
	commands := []string{"plan", "clarify", "budget"}
	for file, want := range map[string][3]int{
		"01-trout-raceway": {0, 0, 0}, "02-shrimp-nursery": {0, 0, 0}, "03-carp-pond": {1, 1, 0}, "04-tilapia-ras": {0, 0, 0},
		"05-crayfish": {0, 0, 0}, "06-eel": {0, 1, 0}, "07-sea-bass": {0, 0, 0}, "08-village-works": {0, 0, 0}, "09-us-works": {0, 0, 0}, "10-koi": {0, 0, 0},
	} {
		for i, command := range commands {
			out, errs, code := program(t, command, "testdata/quiet/"+file+".yaml", "--date", "2026-05-04")
			if said := len(graver.FindAllString(out, -1)); code != exitDone || said != want[i] || said > 2 {
				t.Errorf("%s %s ends with %d and says %d cautions, want %d: %s\n%s", command, file, code, said, want[i], errs, out)
			}
		}
	}
}
