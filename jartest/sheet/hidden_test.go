package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/grid"
)

// hideLine reads a sheet of which a column or a row, from 0 on, is hidden; -1 for none.
func hideLine(t *testing.T, cells string, column, row int, opt Options) Result {
	t.Helper()
	book := excelize.NewFile()
	fillSheet(t, book, "Sheet1", cells)
	if column >= 0 {
		if err := book.SetColVisible("Sheet1", grid.ColumnName(column), false); err != nil {
			t.Fatal(err)
		}
	}
	if row >= 0 {
		if err := book.SetRowVisible("Sheet1", row+1, false); err != nil {
			t.Fatal(err)
		}
	}
	buf, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	r, err := Read("s.xlsx", bytes.NewReader(buf.Bytes()), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Whatever a hidden row or column holds, that it is hidden is said, and used and left out are told
// apart; with --hidden the sheet reads as one that hides nothing.
func TestWhatIsHiddenSpeaks(t *testing.T) {
	for _, cells := range []string{
		"Alum jar test\nStock,10 g/L\nJar volume,1 L\nRaw water turbidity,62 NTU\nAll jars also got 20 mg/L lime\nMade by Ana\n,,,,\nJar,Alum (mL),Turbidity (NTU),pH,Remark\n1,0,58,7.4,none\n2,1,31,7.3,small\n3,2,14,7.2,good\n4,3,6.2,7.1,good\n",
		"Doses as product\n,,,,\nJar,Alum,Dilution factor,Turbidity,Dose of lime\nno.,mg/L,,NTU,mg/L\n1,0,10,5.8,10\n2,12,10,3.1,10\n3,24,5,2.8,10\n4,36,1,6.2,10\nMean,18,,4.5,10\n",
		"Jar,1,2,3,4\nAlum (mg/L),0,12,24,36\nTurbidity (NTU),58,31,14,6.2\npH,7.4,7.3,7.2,7.1\nNote,a,b,c,d\n",
	} {
		plain := hideLine(t, cells, -1, -1, Options{})
		rows := strings.Split(strings.TrimSpace(cells), "\n")
		check := func(name string, column, row int) {
			r := hideLine(t, cells, column, row, Options{})
			if !slices.ContainsFunc(loud(r), func(code string) bool { return strings.HasPrefix(code, "hidden-") }) {
				t.Errorf("%s of %q hidden: says %v", name, rows[0], loud(r))
			}
			all := hideLine(t, cells, column, row, Options{Hidden: true})
			if !slices.Equal(loud(all), loud(plain)) || fmt.Sprint(all.Series) != fmt.Sprint(plain.Series) {
				t.Errorf("%s of %q with --hidden: says %v, not %v", name, rows[0], loud(all), loud(plain))
			}
		}
		for c := range 5 {
			check("column "+grid.ColumnName(c), c, -1)
		}
		for i, row := range rows {
			if strings.Trim(row, ",") != "" {
				check(fmt.Sprintf("row %d", i+1), -1, i)
			}
		}
	}
}

// What is hidden and empty says nothing; a column that the user names is used without a word; the
// account marks what is hidden.
func TestHiddenInSilence(t *testing.T) {
	const cells = "Jar,Alum (mg/L),Turbidity (NTU),,\n1,0,58,,\n2,12,31,,\n3,24,14,,\n"
	for _, at := range [][2]int{{3, -1}, {7, -1}, {-1, 5}} {
		if r := hideLine(t, cells, at[0], at[1], Options{}); len(loud(r)) > 0 {
			t.Errorf("nothing is hidden at %v: says %v", at, loud(r))
		}
	}
	r := hideLine(t, cells, 1, -1, Options{Columns: []Override{{Header: "Alum (mg/L)", Meaning: "dose mg/L"}}})
	if len(loud(r)) > 0 || len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 12, 24}) {
		t.Errorf("a hidden column by its name: %v, says %v", r.Series, loud(r))
	}
	r = hideLine(t, "Stock 10 g/L\nJar volume 1 L\nJar,Alum (mL),Turbidity (NTU)\n1,0,58\n2,1,31\n3,2,14\n", -1, 0, Options{Account: true})
	if as := r.Account.Sheets[0].Cells[0].As(); as != "stock strength, hidden" {
		t.Errorf("the account of a hidden row: %q", as)
	}
}
