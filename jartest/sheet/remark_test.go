package sheet

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

func readText(t *testing.T, sheet string) Result {
	t.Helper()
	res, err := Read("small.csv", strings.NewReader(sheet), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// codes joins the codes of the cautions and errors but for that of a basis, each once.
func codes(res Result) string {
	var out []string
	for _, n := range res.Notes {
		if n.Level >= note.Caution && !slices.Contains(out, n.Code) {
			out = append(out, n.Code)
		}
	}
	return strings.Join(out, " ")
}

func TestRemarks(t *testing.T) {
	for _, c := range []struct {
		text string
		kind remarkKind
	}{
		{"good floc", remarkHarmless},
		{"pin floc, slightly cloudy", remarkHarmless},
		{"large flocs after 2 min", remarkHarmless},
		{"best", remarkHarmless},
		{"optimum dose", remarkHarmless},
		{"3/5", remarkHarmless},
		{"++", remarkHarmless},
		{"sehr gute Flocken", remarkHarmless},
		{"flocos grandes", remarkHarmless},
		{"絮体较大，沉降快", remarkHarmless},
		{"крупные хлопья", remarkHarmless},
		{"90 % removal", remarkHarmless},
		{"average", remarkHarmless},
		{"spilled", remarkUnknown},
		{"swapped", remarkUnknown},
		{"broken jar", remarkUnknown},
		{"水洒了", remarkUnknown},
		{"got twice the dose", remarkDoubt},
		{"really 40 mg/L", remarkDoubt},
		{"only 500 mL in this jar", remarkDoubt},
		{"from another pond", remarkDoubt},
		{"maybe 5?", remarkDoubt},
		{"!!", remarkDoubt},
		{"same as jar 4", remarkDoubt},
		{"no mixing", remarkDoubt},
		{"not settled", remarkDoubt},
		{"re-read 3.4 NTU", remarkDoubt},
		{"stirrer stopped", remarkDoubt},
		{"plant outlet this morning", remarkDoubt},
		{"no polymer", remarkDoubt},
		{"discard", remarkVoid},
		{"see http://example.invalid/ignore", remarkDoubt},
		{"s.d.", remarkNoJar},
		{"Mittelwert", remarkNoJar},
	} {
		e := &remarkEvidence{say(c.text), remark{text: c.text, told: true}, false, func() bool { return false }}
		if v := remarkRuled.Votes(e)[0]; v.Role != c.kind {
			t.Errorf("%s: %d, want %d (%s)", c.text, v.Role, c.kind, v.Why)
		}
	}
	undosed := &remarkEvidence{say("distilled water"), remark{text: "distilled water", told: true}, true, func() bool { return false }}
	if v := remarkRuled.Votes(undosed)[0]; v.Role != remarkNoJar {
		t.Errorf("a blank of distilled water: %s", v.Why)
	}
}

func TestRemarksInSheets(t *testing.T) {
	const head, none = "Jar,Alum (mg/L),Turbidity (NTU)", ""
	rows := func(column string, remarks ...string) string {
		sheet := head + "," + column + "\n"
		for i, r := range remarks {
			sheet += string(rune('1'+i)) + "," + string(rune('1'+i)) + "0," + string(rune('9'-i)) + ".3," + r + "\n"
		}
		return sheet
	}
	for _, c := range []struct {
		name, sheet string
		jars        int
		code        string
	}{
		{"harmless", rows("Remarks", "no floc", "pin floc", "small", "good", "best"), 5, none},
		{"one unknown", rows("Remarks", "", "", "wibble", "", ""), 5, "remark"},
		{"unknown, without a heading", rows("", "", "", "wibble", "", ""), 5, "remark"},
		{"all the same", rows("Remarks", "wibble", "wibble", "wibble", "wibble", ""), 5, none},
		{"a statistic, without a heading", rows("", "", "", "", "", "std dev"), 4, "row-not-a-jar"},
		{"average under remarks", rows("Remarks", "poor", "poor", "average", "good", "good"), 5, none},
		{"void", rows("Remarks", "", "do not use", "", "", ""), 4, "jar-voided"},
		{"valid", rows("Valid", "yes", "yes", "no", "yes", "yes"), 5, "answers"},
		{"all valid", rows("Valid", "yes", "yes", "yes", "yes", "yes"), 5, none},
		{"used", rows("Used in fit", "1", "1", "0", "1", "1"), 5, "answers"},
		{"polymer by jar", rows("Polymer?", "no", "no", "yes", "no", "no"), 5, "answers"},
		{"seen", rows("Floc formed", "no", "yes", "yes", "yes", "yes"), 5, none},
		{"target met", rows("Meets target", "no", "no", "no", "yes", "yes"), 5, none},
		{"two waters", head + "\nBlank,0,0.1\nControl,0,77\n1,10,40\n2,20,12\n3,30,5\n", 5, "control-differs"},
		{"one water", head + "\nBlank,0,70\nControl,0,77\n1,10,40\n2,20,12\n3,30,5\n", 5, none},
		{"a table lost", "Jar,Alum (°C),Turbidity (NTU)\n1,10,40\n2,20,19\n3,30,6.5\n\n" + head + "\n1,20,71\n2,35,30\n3,50,9.8\n", 3, "table-lost"},
		{"its dose named", "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,40\n2,20,19\n3,30,6.5\n\n" + head + "\n1,20,71\n2,35,30\n3,50,9.8\n", 3, none},
	} {
		res := readText(t, c.sheet)
		if len(res.Series) == 0 || len(res.Series[len(res.Series)-1].Jars) != c.jars || codes(res) != c.code {
			t.Errorf("%s: %d series, cautions %q, want %d jars and %q", c.name, len(res.Series), codes(res), c.jars, c.code)
		}
	}
	many := readText(t, rows("Remarks", "wibble", "wobble", "wubble", "webble", "wabble"))
	said := slices.DeleteFunc(slices.Clone(many.Notes), func(n note.Note) bool { return n.Code != "remark" })
	if len(said) != 1 || !strings.Contains(said[0].Message, "5 remarks") || !strings.Contains(said[0].Message, "wibble") {
		t.Errorf("five unknown remarks: %v", said)
	}
}

// Weeks and days are tests of their own; minutes are settling times.
func TestWeeksAreTests(t *testing.T) {
	const body = ",Jar,Alum (mg/L),Turbidity (NTU)\n1,1,0,48\n1,2,20,12\n1,3,40,4\n2,1,0,95\n2,2,20,41\n2,3,40,11\n"
	for head, want := range map[string]string{"Week": "Week 1|Week 2", "Day": "Day 1|Day 2", "Time (min)": "small", "min": "small", "Settling wobble (min)": "small"} {
		var names []string
		for _, s := range readText(t, head+body).Series {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, "|"); got != want {
			t.Errorf("%s: %s, want %s", head, got, want)
		}
	}
}

// markedBook makes a workbook of rows, to be marked.
func markedBook(t *testing.T, rows [][]any, mark func(*excelize.File, int)) Result {
	t.Helper()
	f := excelize.NewFile()
	for i, row := range rows {
		cell, _ := excelize.CoordinatesToCellName(1, i+1)
		if err := f.SetSheetRow("Sheet1", cell, &row); err != nil {
			t.Fatal(err)
		}
	}
	strike, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	if err != nil {
		t.Fatal(err)
	}
	mark(f, strike)
	buf, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	res, err := Read("book.xlsx", bytes.NewReader(buf.Bytes()), Options{Account: true})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func TestStruckOutAndComments(t *testing.T) {
	rows := [][]any{{"Raw turbidity", 60, "NTU"}, {}, {"Jar", "Alum (mg/L)", "Turbidity (NTU)", "pH"}, {1, 0, 48, 7.5}, {2, 10, 22, 7.4}, {3, 20, 9.5, 7.2}, {3, 20, 5.5, 7.1}, {4, 30, 3.6, 7.0}}
	says := func(cell, text string) func(*excelize.File, int) {
		return func(f *excelize.File, _ int) {
			if err := f.AddComment("Sheet1", excelize.Comment{Cell: cell, Author: "Beck", Text: text}); err != nil {
				t.Fatal(err)
			}
		}
	}
	struck := func(from, to string) func(*excelize.File, int) {
		return func(f *excelize.File, style int) {
			if err := f.SetCellStyle("Sheet1", from, to, style); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, c := range []struct {
		name           string
		mark           func(*excelize.File, int)
		jars, readings int
		code           string
	}{
		{"nothing", func(*excelize.File, int) {}, 4, 9, "repeat-rows"},
		{"a row", struck("A6", "D6"), 4, 9, "struck-out"},
		{"a label", struck("A6", "A6"), 4, 9, "struck-out"},
		{"a reading", struck("C8", "C8"), 4, 8, "struck-out repeat-rows"},
		{"a fact", struck("B1", "B1"), 4, 8, "struck-out repeat-rows"},
		{"a harmless comment", says("C5", "good floc"), 4, 9, "repeat-rows"},
		{"a comment", says("C5", "wibble"), 4, 9, "repeat-rows remark"},
		{"a comment that voids", says("C5", "do not use"), 3, 7, "repeat-rows jar-voided"},
		{"a comment on a fact", says("B1", "of last week"), 4, 9, "repeat-rows comment"},
		{"a comment on a heading", says("B3", "half of it in jar 2"), 4, 9, "repeat-rows comment"},
	} {
		res := markedBook(t, rows, c.mark)
		n := 0
		for _, j := range res.Series[0].Jars {
			for _, x := range j.Readings {
				if x.State != 0 {
					n++
				}
			}
		}
		n += len(res.Series[0].Raw)
		if strings.HasPrefix(c.code, "struck-out") {
			out := 0
			for _, x := range res.Account.Sheets[0].Cells {
				if x.What == "struck out" && x.State == SetAside {
					out++
				}
			}
			if want := map[string]int{"a row": 4, "a label": 4}[c.name]; out != max(want, 1) {
				t.Errorf("%s: %d cells are accounted for as struck out", c.name, out)
			}
		}
		got := strings.Fields(codes(res))
		slices.Sort(got)
		want := strings.Fields(c.code)
		slices.Sort(want)
		if len(res.Series[0].Jars) != c.jars || n != c.readings || !slices.Equal(got, want) {
			t.Errorf("%s: %d jars, %d readings, %v; want %d, %d, %v", c.name, len(res.Series[0].Jars), n, got, c.jars, c.readings, want)
		}
	}
}
