package sheet

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// accounted reads every layout with its account.
func accounted(t *testing.T, check func(t *testing.T, r Result)) {
	t.Helper()
	files, err := filepath.Glob("testdata/layouts/*.txt")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d layouts, %v", len(files), err)
	}
	for _, f := range files {
		ar, err := txtar.ParseFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name, data, opt, _ := layoutOf(t, ar)
		opt.Account = true
		if r, err := Read(name, bytes.NewReader(data), opt); err == nil {
			t.Run(strings.TrimSuffix(filepath.Base(f), ".txt"), func(t *testing.T) { check(t, r) })
		}
	}
}

// TestTablesAreAccountedFor wants a word for every cell in the rectangle of a table,
// and a note on each that was not understood, in its row or in its column.
func TestTablesAreAccountedFor(t *testing.T) {
	accounted(t, func(t *testing.T, r Result) {
		notes := slices.Concat(r.Notes, r.Account.Unused)
		for _, s := range r.Account.Sheets {
			for _, c := range s.Cells {
				if !c.table {
					continue
				}
				if c.As() == "" {
					t.Errorf("%s (%q) is in a table and was taken for nothing", c.At, c.Text)
				}
				if c.State == NotUnderstood && !slices.ContainsFunc(notes, func(n note.Note) bool {
					return n.Code == "density-missing" || n.Sheet == s.Place.Sheet && (column0(n.Cell) == column0(c.At) || line0(n.Cell) == line0(c.At))
				}) {
					t.Errorf("%s (%q, %s) was not understood and nothing is said", c.At, c.Text, c.As())
				}
			}
		}
	})
}

const capitals = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

func column0(cell string) string { return strings.TrimRight(cell, "0123456789") }
func line0(cell string) string   { return strings.TrimLeft(cell, capitals) }

// TestUsedCellsAreTheSeries wants the cells that are used as doses, readings and raw
// water to be those that the series name, no more and no fewer.
func TestUsedCellsAreTheSeries(t *testing.T) {
	accounted(t, func(t *testing.T, r Result) {
		named := map[string]bool{}
		var add func(x jartest.Reading)
		add = func(x jartest.Reading) {
			named[x.At.Sheet+"!"+x.At.Cell] = true
			for _, o := range x.Replicates {
				add(o)
			}
		}
		means := false // the mean of a column of raw water names only its first cell
		for _, s := range r.Series {
			for _, x := range s.Raw {
				add(x)
				means = means || x.N > 1
			}
			for _, j := range s.Jars {
				for _, d := range j.Doses {
					named[d.At.Sheet+"!"+d.At.Cell] = true
				}
				for _, x := range j.Readings {
					add(x.Reading)
				}
			}
		}
		for _, s := range r.Account.Sheets {
			for _, c := range s.Cells {
				at := s.Place.Sheet + "!" + c.At
				number := c.What == Dose || c.What == Reading || c.What == Raw
				switch {
				case named[at] && (!number || c.State == SetAside):
					t.Errorf("%s holds a number of a series and was %s as %q", at, c.State, c.As())
				case !named[at] && number && c.State == Used && !(c.What == Raw && means):
					t.Errorf("%s is used as %q and no series has it", at, c.As())
				}
			}
		}
	})
}

// TestAccountOfCells holds the states of cells against what a person would say.
func TestAccountOfCells(t *testing.T) {
	const plain = "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,12\n3,30,5\n"
	for _, c := range []struct{ name, text, want string }{
		{"plain", plain, "A1 used heading: label; B1 used heading: dose of alum; C1 used heading: reading turbidity; A2 used label; B3 used dose of alum, jar 2; C4 used reading turbidity, jar 3"},
		{"mean row", plain + "Mean,,15.7\n", "A5 set aside summary; C5 set aside summary; C4 used reading turbidity, jar 3"},
		{"remarks", "Jar,Alum (mg/L),Turbidity (NTU),Remarks\n1,10,30,hazy\n2,20,12,\n3,30,5,clear\n", "D1 set aside heading: remark; D2 set aside remark; D4 set aside remark"},
		{"facts", "Raw turbidity,46,NTU\nTarget turbidity,<= 5,NTU\nOperator,early shift\n\n" + plain, "A1 used raw turbidity; B1 used value: raw turbidity; C1 used unit; A2 used target turbidity <= 5 NTU; " +
			"B2 used value: target turbidity <= 5 NTU; A3 set aside operator; B3 set aside value: operator; A5 used heading: label"},
		{"stock", "Stock strength,10,g/L\nJar volume,1,L\n\nJar,Alum (mL),Turbidity (NTU)\n1,1,30\n2,2,12\n3,3,5\n", "A1 used stock strength; B1 used value: stock strength; C1 used unit; A2 used jar volume; " +
			"B2 used value: jar volume; B5 used dose of alum, jar 1"},
		{"old dose", "Jar,Alum (mg/L),Turbidity (NTU),Old dose\n1,10,30,5\n2,20,12,6\n3,30,5,9\n", "D1 set aside heading: left out by its heading; D2 set aside left out by its heading"},
		{"unclear cell", "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,12 wiggle\n3,30,5\n4,40,nd\n", "C3 not understood reading turbidity, jar 2; C5 used reading turbidity, jar 4"},
		{"range of readings", "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,10-12\n3,30,12-10\n4,40,4\n", "C3 used reading turbidity, jar 2; C4 not understood reading turbidity, jar 3"},
		{"no reading", "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,-\n3,30,5\n4,40,4\n", "C3 used reading turbidity, jar 2; B3 used dose of alum, jar 2"},
		{"unknown words beside", "Fluffiness,45\n\n" + plain, "A1 not understood text; B1 not understood ; A3 used heading: label"},
		{"mean and deviation columns", "Jar,Alum (mg/L),Turbidity (NTU),SD,n\n1,10,30,1,3\n2,20,12,1,3\n3,30,5,0.5,3\n", "C2 used reading turbidity, jar 1; D2 used deviation, jar 1; E4 used number of readings, jar 3"},
		{"void jar", "Jar,Alum (mg/L),Turbidity (NTU),Remarks\n1,10,30,\n2,20,12,do not use\n3,30,5,\n4,40,4,\n", "A3 set aside jar left out by its remark; C3 set aside jar left out by its remark; C4 used reading turbidity, jar 3"},
		{"strange row", plain + "4,40,3\nCanteen tap,0,1\n", "A6 not understood label of a jar left out; C6 set aside reading of a jar left out; C5 used reading turbidity, jar 4"},
		{"a line for each result", "Jar,Alum (mg/L),Parameter,Value,Unit\n1,10,Turbidity,30,NTU\n1,10,pH,7.1,\n2,20,Turbidity,12,NTU\n2,20,pH,7.0,\n",
			"C3 used heading: reading pH; D2 used reading turbidity, jar 1; D3 used reading pH, jar 1; E2 used unit; B3 set aside said again; B4 used dose of alum, jar 2"},
		{"jars across", "Jar,1,2,3\nAlum (mg/L),10,20,30\nTurbidity (NTU),30,12,5\n", "A2 used heading: dose of alum; B1 used label; C2 used dose of alum, jar 2; D3 used reading turbidity, jar 3"},
		{"numbered captions", "Table 2: results\n" + plain, "A1 set aside title; B3 used dose of alum, jar 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Read("t.csv", strings.NewReader(c.text), Options{Account: true})
			if err != nil || len(r.Account.Sheets) != 1 {
				t.Fatalf("%d sheets, %v", len(r.Account.Sheets), err)
			}
			got := map[string]string{}
			for _, x := range r.Account.Sheets[0].Cells {
				got[x.At] = x.State.String() + " " + x.As()
			}
			for _, w := range strings.Split(c.want, "; ") {
				if at, as, _ := strings.Cut(w, " "); got[at] != as {
					t.Errorf("%s is %q, want %q", at, got[at], as)
				}
			}
		})
	}
}

// TestUnusedLines speaks of a line under the jars that nobody understood, once, and
// not of remarks.
func TestUnusedLines(t *testing.T) {
	const plain = "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,12\n3,30,5\n"
	for text, want := range map[string]string{
		plain:                         "",
		plain + "settled well, clear": "",
		plain + "Blower at 20 % or":   "A5",
	} {
		r, err := Read("t.csv", strings.NewReader(text), Options{Account: true})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range r.Account.Unused {
			got = append(got, n.Cell)
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%q: notes at %q, want %q", text, s, want)
		}
	}
}

// TestLongSheetsAreCut wants what is beyond the most cells to be counted.
func TestLongSheetsAreCut(t *testing.T) {
	var w strings.Builder
	w.WriteString("Jar,Alum (mg/L),Turbidity (NTU)\n1,10,30\n2,20,12\n3,30,5\n\n\n")
	for range mostAccounted/10 + 1 {
		w.WriteString("1,2,3,4,5,6,7,8,9,10\n")
	}
	r, err := Read("t.csv", strings.NewReader(w.String()), Options{Account: true})
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Account.Sheets[0]; len(s.Cells) != mostAccounted || s.Cut != 22 {
		t.Errorf("%d cells and %d beyond", len(s.Cells), s.Cut)
	}
}

// TestAccountOfGridsAndBases: along the side of a grid stand settings of several jars, under a corner that
// names them; a column of bases is used for what the doses count.
func TestAccountOfGridsAndBases(t *testing.T) {
	for _, c := range []struct{ text, cell, as string }{
		{"\"Turbidity NTU, alum as Al\"\npH,10 mg/L,20 mg/L,30 mg/L\n6,12,5,3\n7,14,7,4\n8,20,12,9\n", "A2", "heading: setting ph target"},
		{"\"Turbidity NTU, alum as Al\"\npH,10 mg/L,20 mg/L,30 mg/L\n6,12,5,3\n7,14,7,4\n8,20,12,9\n", "A4", "setting ph target, several jars"},
		{"Jar,Ferric chloride (mg/L),Basis,NTU\n1,0,as Fe,36\n2,5,as Fe,12\n3,10,as Fe,5\n", "C3", "basis"},
	} {
		r := mustRead(t, "s.csv", c.text, Options{Account: true})
		found := ""
		for _, p := range r.Account.Sheets {
			for _, x := range p.Cells {
				if x.At == c.cell {
					found = x.As()
				}
			}
		}
		if found != c.as {
			t.Errorf("%s was taken for %q, want %q", c.cell, found, c.as)
		}
	}
}
