package sheet

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
)

// benchOf reads a file as Read does and gives what was made of its columns too.
func benchOf(t *testing.T, name string, data []byte, opt Options) *bench {
	t.Helper()
	grids, notes, err := layout.Open(name, data)
	if err != nil {
		return nil
	}
	b := &bench{opt: opt, notes: notes, decimals: map[*layout.Area]layout.Decimals{}, finders: map[layout.View]*layout.Finder{}, used: map[string]bool{}, byTable: map[*layout.Table][]field{}}
	if err := b.selectGrids(name, b.settings(grids)); err != nil {
		return nil
	}
	b.findTables()
	for _, g := range b.grids {
		b.readFacts(g, b.tables)
	}
	b.assemble()
	return b
}

// rolesOf lists every column of every table with its role.
func rolesOf(b *bench) string {
	var out strings.Builder
	for _, t := range b.tables {
		fmt.Fprintf(&out, "  %s!%s\n", t.Area().Name, t.RangeName())
		for _, f := range b.byTable[t] {
			fmt.Fprintf(&out, "    %s %q: %s", grid.ColumnName(f.C), f.Head.Text, f.role)
			for _, s := range []string{string(f.key), f.chem, f.part} {
				if s != "" {
					fmt.Fprintf(&out, ", %s", s)
				}
			}
			if f.of >= 0 {
				fmt.Fprintf(&out, ", of column %d", f.of+1)
			}
			if f.rep {
				out.WriteString(", repeat")
			}
			out.WriteString("\n")
		}
		out.WriteString("    jars in lines")
		for _, d := range b.jarRows(t, b.byTable[t]) {
			fmt.Fprintf(&out, " %d", d.r+1)
			if d.control {
				out.WriteString("c")
			}
			if d.rawWater {
				out.WriteString("r")
			}
		}
		out.WriteString("\n")
	}
	return out.String()
}

// layoutRoles gives the roles of the columns and rows of every layout.
func layoutRoles(t *testing.T) string {
	t.Helper()
	files, err := filepath.Glob("testdata/layouts/*.txt")
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(files)
	var got strings.Builder
	for _, f := range files {
		ar, err := txtar.ParseFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name, data, opt, _ := layoutOf(t, ar)
		if b := benchOf(t, name, data, opt); b != nil {
			got.WriteString(strings.TrimSuffix(filepath.Base(f), ".txt") + "\n" + rolesOf(b))
		}
	}
	return got.String()
}

// TestRoles holds the role of every column of every layout. testdata/roles.txt is
// written with -update; every line that changes must be meant.
func TestRoles(t *testing.T) {
	got := layoutRoles(t)
	const file = "testdata/roles.txt"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Errorf("-want +got\n%s", d)
	}
}

// TestCountedRowsHaveNames: a first column of numbers one after the other, some rows of which are
// named instead, labels the jars under any word; numbers that skip are a reading of their own.
func TestCountedRowsHaveNames(t *testing.T) {
	for _, head := range []string{"Step", "Etappe", "Paso", "Wiggle"} {
		for from, labels := range map[string][]string{"1": {"Raw", "1", "2", "3"}, "5": {"Control", "5", "6", "7"}, "2": {"Blank", "2", "4", "5"}} {
			r := readText(t, fmt.Sprintf("%s,Alum (mg/L as product),Turbidity (NTU)\n%s,0,30\n%s,10,12\n%s,20,5\n%s,30,3\n", head, labels[0], labels[1], labels[2], labels[3]))
			jars := r.Series[0].Jars
			if counts := from != "2"; counts != (jars[2].Label == labels[2]) || counts != (len(jars[1].Readings) == 1) {
				t.Errorf("%s, %v: label %q, readings %v", head, labels, jars[2].Label, jars[1].Readings)
			}
		}
	}
}
