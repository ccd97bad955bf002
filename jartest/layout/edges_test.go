package layout

import (
	"fmt"
	"jarwright/jartest/grid"
	"slices"
	"strings"
	"testing"
)

// TestPowers: powers of ten that a number can hold are read, others are text behind it.
func TestPowers(t *testing.T) {
	for text, want := range map[string]float64{"2e299": 2e299, "2e-299": 2e-299, "3 x 10^2": 300, "3 x 10^-2": 0.03} {
		if v := ParseText(text, DecimalPoint); !v.OK() || v.Num < want*(1-1e-12) || v.Num > want*(1+1e-12) {
			t.Errorf("%q is %v, %v; want %g", text, v.State, v.Num, want)
		}
	}
	for _, text := range []string{"2e300", "2e-300", "2e99999999999999999999"} {
		if v := ParseText(text, DecimalPoint); v.OK() {
			t.Errorf("%q is %v", text, v.Num)
		}
	}
}

// TestOrderHasAPlace: the order of a column that settles the commas is told with its
// first cell; two that disagree settle nothing and have none.
func TestOrderHasAPlace(t *testing.T) {
	falls, rises := []string{"12,450", "3,120", "640", "95"}, []string{"1,250", "2,500", "5", "10"}
	lines := []string{"Jar|NTU|Dose"}
	for i := range falls {
		lines = append(lines, fmt.Sprintf("J|%s|x", falls[i]))
	}
	if d, r, c := DecimalsByOrder(&Area{Sheet: sheetOf(lines...)}); d != DecimalPoint || r != 1 || c != 1 {
		t.Errorf("got %v at %d, %d", d, r, c)
	}
	for i := range rises {
		lines[i+1] = fmt.Sprintf("J|%s|%s", falls[i], rises[i])
	}
	if d, r, c := DecimalsByOrder(&Area{Sheet: sheetOf(lines...)}); d != DecimalsUnknown || r != 0 || c != 0 {
		t.Errorf("got %v at %d, %d from columns that disagree", d, r, c)
	}
}

// TestPieces takes texts apart: each word once, with what it is, the signs between them too.
func TestPieces(t *testing.T) {
	for text, want := range map[string]string{
		"":              "",
		"alum":          "chem:alum=alum",
		"Turbidity NTU": "reading:turbidity=turbidity unit=ntu",
		"alum ?":        "chem:alum=alum sign=?",
		"zzyx":          "=zzyx",
	} {
		var got []string
		for _, p := range Pieces(text) {
			got = append(got, p.Concept+"="+p.Text)
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%q is %q, want %q", text, s, want)
		}
	}
}

// TestIndex: the number or letter that a heading ends with, with the signs around it, and
// none that is longer or stands inside.
func TestIndex(t *testing.T) {
	for text, want := range map[string]string{
		"NTU 1": "1", "NTU (2)": "2", "Turbidity_12": "12", "Turbidity #3": "3", "Pond b": "b", "Turbidity 1st": "1st", "Jar iii": "iii",
		"a": "a", "NTU 123": "", "Turbidity z": "", "Turbidity": "", "12 Turbidity": "",
	} {
		if got := ReadHeading(text).Index; got != want {
			t.Errorf("the index of %q is %q, want %q", text, got, want)
		}
	}
}

// TestChoose keeps the better of two tables that share cells, and both that do not, in
// the order of the sheet.
func TestChoose(t *testing.T) {
	f := finderOf(t, "Jar,Alum (mg/L),NTU\n1,0,40\n2,10,20\n3,20,9\n\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,30\n3,20,11\n")
	all := f.Tables()
	if len(all) != 2 {
		t.Fatalf("%d tables", len(all))
	}
	late, early := all[1], all[0]
	if got := Choose([]*Table{late, early}); len(got) != 2 || got[0] != early || got[1] != late {
		t.Error("two tables are not in the order of the sheet")
	}
	worse := *early
	worse.score = early.score - 1
	if got := Choose([]*Table{&worse, early, late}); len(got) != 2 || !slices.Contains(got, early) || slices.Contains(got, &worse) {
		t.Error("the worse of two tables of the same cells was kept")
	}
	if got := Outside(all, nil); len(got) != 2 {
		t.Errorf("%d tables outside nothing", len(got))
	}
	box := early.Box()
	box.R0 = box.R1 // its last row is enough
	if got := Outside(all, []grid.Span{box}); len(got) != 1 || got[0] != late {
		t.Error("a table that shares a row is outside")
	}
}
