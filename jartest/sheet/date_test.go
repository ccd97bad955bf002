package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestDates: a series has the day of its rows, else the one beside its table, and
// none where there are several or what stands there is no day.
func TestDates(t *testing.T) {
	const table = "\nJar,Alum dose (mg/L),Turbidity (NTU)\n1,10,29\n2,20,14\n3,40,3.4\n4,60,1.4\n"
	const long = "date,test,alum dose (mg/L),turbidity (NTU)\n2026-03-02,beck,10,27\n2026-03-02,beck,20,14\n2026-03-02,beck,30,5\n%s,beck,40,2\n"
	for _, c := range []struct{ what, text, want, cell string }{
		{"beside", "Date,2026-03-02,\n" + table, "2026-03-02", "A1"},
		{"as people write it", "Date:,2 March 2026,\n" + table, "2 March 2026", "A1"},
		{"in one cell", "Date: 02.03.2026,,\n" + table, "02.03.2026", "A1"},
		{"no day", "Date,a wet Monday,\n" + table, "", ""},
		{"another word", "Operator,2026-03-02,\n" + table, "", ""},
		{"two days", "Date sampled,2026-03-01,\nTest date,2026-03-02,\n" + table, "", ""},
		{"the same day twice", "Date sampled,2026-03-02,\nTest date,2026-03-02,\n" + table, "2026-03-02", "A1"},
		{"none", table[1:], "", ""},
		{"a column", strings.Replace(long, "%s", "2026-03-02", 1), "2026-03-02", "A2"},
		{"a column of several", strings.Replace(long, "%s", "2026-03-03", 1), "", ""},
	} {
		r, err := Read("x.csv", strings.NewReader(c.text), Options{})
		if err != nil || len(r.Series) != 1 {
			t.Errorf("%s: %d series, %v", c.what, len(r.Series), err)
			continue
		}
		s := r.Series[0]
		if got := s.Sample().Date; got != c.want {
			t.Errorf("%s: the day is %q, want %q", c.what, got, c.want)
		}
		if c.want != "" && s.Meta[0].At.Cell != c.cell {
			t.Errorf("%s: it stands in %s", c.what, s.Meta[0].At.Cell)
		}
	}
}

// TestDateCells: day 46083 of a workbook is 2026-03-02 (days since 1899-12-30).
func TestDateCells(t *testing.T) {
	f := excelize.NewFile()
	for at, v := range map[string]any{"A1": "Date", "B1": 46083, "A3": "Jar", "B3": "Alum dose (mg/L)", "C3": "Turbidity (NTU)", "A4": 1, "B4": 10, "C4": 29, "A5": 2, "B5": 20, "C5": 14, "A6": 3, "B6": 40, "C6": 3.4} {
		if err := f.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellStyle("Sheet1", "B1", "B1", style); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	r, err := Read("x.xlsx", bytes.NewReader(b.Bytes()), Options{})
	if err != nil || len(r.Series) != 1 {
		t.Fatalf("%d series, %v", len(r.Series), err)
	}
	if got := r.Series[0].Sample().Date; got != "2026-03-02" {
		t.Errorf("the day is %q", got)
	}
}

// TestDayOfATitle: the title of a table has the day of the test, unless it has two or is of
// another.
func TestDayOfATitle(t *testing.T) {
	for title, want := range map[string]string{
		"Village works jar test 3 May 2026": "3 May 2026", "Jar test, 3 May 2026, village works": "3 May 2026", "Jar test of 03/05/2026": "03/05/2026",
		"Ensayo de jarras 3 de mayo de 2026": "3 de mayo de 2026", "Becherglasversuch vom 3. Mai 2026": "3. Mai 2026", "Jar test #4 3.5.26 Beck": "3.5.26",
		"Jar Test - 2026-05-03": "2026-05-03", "Jar tests May 2026": "", "Jar test 3 May": "", "Jar tests 3 May 2026 and 4 May 2026": "",
		"Jar test, compared with last week 3 May 2026": "", "Jar test": "",
	} {
		r := mustRead(t, "d.csv", "\""+title+"\"\n\nJar,Alum (mg/L),NTU\n1,10,20\n2,20,12\n3,30,8\n", Options{})
		got := ""
		for _, x := range r.Series[0].Meta {
			if x.Name == "date" {
				got = x.Value
			}
		}
		if got != want {
			t.Errorf("%s: %q, want %q", title, got, want)
		}
	}
}

// TestPapersAreQuiet: the heads and feet of forms say nothing of the jars; what they say besides
// speaks.
func TestPapersAreQuiet(t *testing.T) {
	const jars = "Jar,Alum (mg/L),NTU\n1,10,20\n2,20,12\n3,30,8\n"
	for _, line := range []string{
		"Village works jar test 3 May 2026", "Document no: LF-007   Issue date: 01.02.2024   Page 1/1", "SOP 12 version 4  Effective 1 May 2024  Page 2 of 3",
		"Formular QM-12, Rev. 3, Seite 1 von 2", "Formulario F-12 versión 3 página 1 de 2", "Form QF-12 rev 3  Page 1 of 2", "Printed on 03/05/2026 14:20",
	} {
		for _, text := range []string{"\"" + line + "\"\n\n" + jars, "Jar test\n\n" + jars + "\n\"" + line + "\"\n"} {
			if said := loud(mustRead(t, "p.csv", text, Options{})); len(said) > 0 {
				t.Errorf("%s: says %v", line, said)
			}
		}
	}
	for _, line := range []string{"Doses on page 2 were doubled", "Version 2 of the doses: all halved", "Approved doses are half of these", "Page 1 of 2: jar 3 was spilt"} {
		if said := loud(mustRead(t, "p.csv", "\""+line+"\"\n\n"+jars, Options{})); len(said) == 0 {
			t.Errorf("%s: silent", line)
		}
	}
}
