package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// sheetsOf writes pages of CSV into the sheets of a workbook, by name and page in turn.
func sheetsOf(t *testing.T, pages ...string) []byte {
	t.Helper()
	book := excelize.NewFile()
	for i := 0; i < len(pages); i += 2 {
		if i == 0 {
			if err := book.SetSheetName("Sheet1", pages[0]); err != nil {
				t.Fatal(err)
			}
		} else if _, err := book.NewSheet(pages[i]); err != nil {
			t.Fatal(err)
		}
		fillSheet(t, book, pages[i], pages[i+1])
	}
	buf, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// TestFactsOfAnotherSheet: what a sheet without jars states of the water, of every jar and of the target holds
// for the one test of the file, without a caution.
func TestFactsOfAnotherSheet(t *testing.T) {
	for _, info := range []string{
		"Raw turbidity,33 NTU\nRaw pH,7.4\nPolymer in every jar,0.5 mg/L\nTarget turbidity,< 3 NTU\nOperator,night shift\n",
		"\"Raw water: 33 NTU, pH 7.4\"\nEvery jar also got 0.5 mg/L polymer\nTarget: turbidity < 3 NTU\n",
	} {
		for _, pages := range [][]string{{"Data", alumPage, "Info", info}, {"Notes", info, "Jars", alumPage}} {
			r, err := Read("b.xlsx", bytes.NewReader(sheetsOf(t, pages...)), Options{})
			if err != nil || len(r.Series) != 1 || r.Notes.Worst() > note.Info {
				t.Fatalf("%s: %d series, %v, %v", info, len(r.Series), r.Notes, err)
			}
			s := r.Series[0]
			if s.Raw[jartest.Turbidity].Value != 33 || s.Raw[jartest.PH].Value != 7.4 || len(s.Targets) != 1 {
				t.Errorf("%s: raw %v, targets %v", info, s.Raw, s.Targets)
			}
			if len(s.Chemicals) != 2 || float64(s.Jars[2].Doses[1].Concentration) != 0.5 {
				t.Errorf("%s: chemicals %v", info, s.Chemicals)
			}
		}
	}
}

// Where the file has several tests, a water or a dose of a sheet by itself is of none of them, and speaks; a
// target is of all. The sheet's own facts go first.
func TestFactsOfAnotherSheetAndSeveralTests(t *testing.T) {
	info := "Raw turbidity,33 NTU\nPolymer in every jar,0.5 mg/L\nTarget turbidity,< 3 NTU\n"
	other := strings.ReplaceAll(alumPage, "31", "61")
	r, err := Read("b.xlsx", bytes.NewReader(sheetsOf(t, "A", alumPage, "Info", info, "B", other)), Options{})
	if err != nil || len(r.Series) != 2 || strings.Join(loud(r), " ") != "other-sheet other-sheet" {
		t.Fatalf("%d series, %v, %v", len(r.Series), r.Notes, err)
	}
	for _, s := range r.Series {
		if len(s.Raw) != 0 || len(s.Chemicals) != 1 || len(s.Targets) != 1 {
			t.Errorf("%s: raw %v, chemicals %v, targets %v", s.Name, s.Raw, s.Chemicals, s.Targets)
		}
	}
	r, err = Read("b.xlsx", bytes.NewReader(sheetsOf(t, "A", "Raw turbidity,44 NTU\n\n"+alumPage, "Info", info)), Options{})
	if err != nil || len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 44 {
		t.Errorf("%v, %v", r.Series, err)
	}
}

// A strange word beside a reading on such a sheet speaks as it does above a table.
func TestStrangeWordsOnAnotherSheetSpeak(t *testing.T) {
	for _, fact := range []string{"Raw turbidity after filtering,33 NTU", "Raw turbidity,33 NTU wuggish"} {
		r, err := Read("b.xlsx", bytes.NewReader(sheetsOf(t, "Data", alumPage, "Info", fact+"\n")), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if raw, taken := r.Series[0].Raw[jartest.Turbidity]; taken && raw.Value == 33 && len(loud(r)) == 0 {
			t.Errorf("%s: taken without a word: %v", fact, r.Notes)
		}
	}
}
