package dosing

import (
	"encoding/csv"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// figures are the numbers that a text holds.
var figures = regexp.MustCompile(`\d+(?:,\d{3})*(?:\.\d+)?`)

// testsIn are the tests of a directory below the top, each with its comment and code, and the constants beside it.
func testsIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, name, text, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Recv != nil || !strings.HasPrefix(fn.Name.Name, "Test") {
				continue
			}
			from := fn.Pos()
			if fn.Doc != nil {
				from = fn.Doc.Pos()
			}
			out[fn.Name.Name] = string(text[set.Position(from).Offset:set.Position(fn.End()).Offset])
		}
	}
	return out
}

// TestEveryWorkedExampleHasItsTest: testdata/worked_examples.csv has every worked example of the trade that we know, with its
// source and the test that holds us to it; the test has to stand where the table says, and to hold the figure of the table.
func TestEveryWorkedExampleHasItsTest(t *testing.T) {
	f, err := os.Open("testdata/worked_examples.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	dirs, seen, kinds := map[string]map[string]string{}, map[string]bool{}, map[string]int{}
	for _, r := range rows[1:] {
		id, figure, source, dir, name := r[0], r[5], r[6], r[7], r[8]
		if seen[id] {
			t.Errorf("%s stands twice", id)
		}
		seen[id] = true
		kinds[id[:1]]++
		if source == "" {
			t.Errorf("%s has no source", id)
		}
		if dirs[dir] == nil {
			dirs[dir] = testsIn(t, dir)
		}
		text, ok := dirs[dir][name]
		if !ok {
			t.Errorf("%s: there is no test %q in %q", id, name, dir)
			continue
		}
		want, err := strconv.ParseFloat(figure, 64)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		}
		held := false
		for _, n := range figures.FindAllString(text, -1) {
			got, err := strconv.ParseFloat(strings.ReplaceAll(n, ",", ""), 64)
			held = held || err == nil && got == want
		}
		if !held {
			t.Errorf("%s: %s of %s has no %s", id, name, dir, figure)
		}
	}
	// Feeds, jars, pumps, tanks, polymer, alkalinity, solids, flotation, mixing, turnovers, signals and costs, properties.
	for kind, n := range map[string]int{"F": 38, "J": 16, "P": 13, "T": 26, "Y": 5, "A": 18, "S": 14, "D": 10, "M": 13, "R": 5, "C": 13, "W": 9} {
		if kinds[kind] != n {
			t.Errorf("%d examples of %s, want %d", kinds[kind], kind, n)
		}
	}
}
