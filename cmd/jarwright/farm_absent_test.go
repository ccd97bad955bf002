package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// ofFarms are the words and keys of what belongs to ponds by hand, tanks held by feed, trials, sludge lines and animals that moult.
var ofFarms = regexp.MustCompile(`(?i)bucket|"ponds"|standing water|By hand:|watch card|pond card|"sludge"|sludge line|sludge_|"stripping"|stripping stage|To strip|"watch"|nitrifying|moult|soft shell|` +
	`no test of|settling cone|"cone|gauge|turbidity tube|"hold"|hold it at|Back to stock|a few (of them )?first|kg/t|per_dry|"goes"|cake`)

// plainSites are sites that use none of it: those of the figures, ordinary and quiet ones, and the example.
func plainSites(t *testing.T) (out []string) {
	dir := t.TempDir()
	demoInputs(t, dir)
	for _, folder := range []string{"testdata/ordinary", "testdata/figures"} {
		if err := os.CopyFS(dir, os.DirFS(folder)); err != nil {
			t.Fatal(err)
		}
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if plain := !regexp.MustCompile(`(?m)standing|^sludge:|^ponds:|hold_at|solids_from_feed|shrimp|prawn|vannamei|monodon|crab|crayfish`).Match(text); plain {
			out = append(out, f)
		}
	}
	example := filepath.Join(t.TempDir(), "example.yaml")
	answer(t, "new", "site", example)
	return append(out, example)
}

// wordsIn is a file as it is read: the text of a page, the parts of a workbook.
func wordsIn(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if filepath.Ext(file) != ".xlsx" {
		return regexp.MustCompile(`(?s)<(style|script).*?</(style|script)>|<[^>]+>`).ReplaceAllString(string(data), " ")
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, f := range z.File {
		if strings.HasPrefix(f.Name, "xl/worksheets/") {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := io.Copy(&all, r); err != nil {
				t.Fatal(err)
			}
		}
	}
	return regexp.MustCompile(`<[^>]+>`).ReplaceAllString(all.String(), " ")
}

// TestNothingOfFarmsElsewhere: a site that uses none of it reads nothing of it, in no form of its day: no line, no key, no column, no card, no cell.
func TestNothingOfFarmsElsewhere(t *testing.T) {
	sites := plainSites(t)
	if len(sites) < 8 {
		t.Fatalf("%d sites", len(sites))
	}
	for _, s := range sites {
		name := filepath.Base(s)
		t.Run(name, func(t *testing.T) {
			forms := map[string]string{"text": told(t, "plan", s), "json": told(t, "plan", s, "--format", "json"), "csv": told(t, "plan", s, "--format", "csv")}
			for _, ending := range []string{"html", "xlsx"} {
				file := filepath.Join(t.TempDir(), "plan."+ending)
				told(t, "plan", s, "-o", file)
				forms[ending] = wordsIn(t, file)
			}
			for form, text := range forms {
				for _, m := range ofFarms.FindAllStringIndex(text, -1) {
					t.Errorf("%s: ...%s...", form, text[max(0, m[0]-40):min(len(text), m[1]+40)])
				}
			}
		})
	}
}

// told runs a command, whatever it ends with.
func told(t *testing.T, args ...string) string {
	t.Helper()
	out, _, _ := program(t, args...)
	return out
}

// TestFarmWordsAreFound: the same words are found on a site that uses all of it, so that the test above looks for what there is.
func TestFarmWordsAreFound(t *testing.T) {
	pond := told(t, "plan", "--pond", "5000 m2 x 1.2 m", "--dose", "25 g/m3", "--basis", "as product", "--chemical", "alum-dry", "--bucket", "2 kg", "--animal", "mud crab", "--salinity", "20 g/kg")
	mill := filepath.Join(t.TempDir(), "mill.yaml")
	if err := os.WriteFile(mill, []byte(sludgeSite), 0o600); err != nil {
		t.Fatal(err)
	}
	line := told(t, "plan", mill, "--format", "json") + told(t, "plan", mill)
	for text, found := range map[string][]string{pond: {"bucket", "standing water", "moult", "No test of"}, line: {`"sludge"`, "Sludge line", "kg/t", "cake"}} {
		for _, w := range found {
			if !strings.Contains(text, w) || !ofFarms.MatchString(w) {
				t.Errorf("%q is not told, or not looked for", w)
			}
		}
	}
}
