package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// TestJarNumbersThatBeginAgain: jars that come again with their doses are pooled with a word where their
// readings are those of repeats, and parted with a word where they lie further apart.
func TestJarNumbersThatBeginAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 6).Draw(t, "jars")
		factor := rapid.SampledFrom([]float64{1.02, 1.1, 1.3, 1.7, 2, 4}).Draw(t, "second over first")
		rows := []string{"Jar,Alum (mg/L),Turbidity (NTU)"}
		for _, f := range [...]float64{1, factor} {
			for k := range n {
				rows = append(rows, fmt.Sprintf("%d,%d,%.4g", k+1, 10*k, f*60/float64(k+1)))
			}
		}
		r, err := Read("p.csv", strings.NewReader(strings.Join(rows, "\n")), Options{})
		parts, code := 1, "jars-again"
		if factor > mostScatter {
			parts, code = 2, "labels-restart"
		}
		asked := slices.ContainsFunc(r.Notes, func(x note.Note) bool {
			return x.Code == code && x.Level == note.Caution && x.Place.Cell == fmt.Sprintf("A%d", n+2)
		})
		if err != nil || len(r.Series) != parts || !asked {
			t.Fatalf("times %v: %d series, want %d, says %v, %v", factor, len(r.Series), parts, r.Notes, err)
		}
		if got := len(r.Series[0].Jars); got != 2*n/parts {
			t.Errorf("times %v: %d jars in the first series", factor, got)
		}
	})
}

// A column that says something else in each run tells what they are: nothing is asked.
func TestRunsThatAColumnTells(t *testing.T) {
	for _, head := range []string{"Rep", "Test", "Sample", "Date"} {
		rows := []string{head + ",Jar,Alum (mg/L),Turbidity (NTU)"}
		for i, name := range []string{"2026-03-01", "2026-03-08"} {
			if head != "Date" {
				name = fmt.Sprint(i + 1)
			}
			for k := range 5 {
				rows = append(rows, fmt.Sprintf("%s,%d,%d,%d", name, k+1, 10*k, (i+1)*(60-10*k)))
			}
		}
		r := mustRead(t, "p.csv", strings.Join(rows, "\n"), Options{})
		if slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "jars-again" || n.Code == "labels-restart" }) {
			t.Errorf("%s: says %v", head, r.Notes)
		}
	}
}

// TestDayWrittenOnce: a day and its raw water written on the first row of each day hold for its jars alone.
func TestDayWrittenOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days, n := rapid.IntRange(2, 4).Draw(t, "days"), rapid.IntRange(3, 6).Draw(t, "jars")
		labelled := rapid.Bool().Draw(t, "labels")
		rows := []string{"Date,Raw (NTU),Alum (mg/L),Turbidity (NTU)"}
		if labelled {
			rows[0] = "Date,Raw (NTU),Jar,Alum (mg/L),Turbidity (NTU)"
		}
		raw := make([]float64, days)
		for d := range days {
			raw[d] = float64(30+4*d) + float64(rapid.IntRange(0, 3).Draw(t, "raw"))
			for k := range n {
				row := ","
				if k == 0 {
					row = fmt.Sprintf("2026-03-%02d,%g", d+1, raw[d])
				}
				if labelled {
					row += fmt.Sprintf(",%d", k+1)
				}
				rows = append(rows, row+fmt.Sprintf(",%d,%.3g", 10*k, raw[d]*0.9/float64(k+1)))
			}
		}
		r, err := Read("p.csv", strings.NewReader(strings.Join(rows, "\n")), Options{})
		if err != nil || len(r.Series) != days || r.Notes.Worst() > note.Info {
			t.Fatalf("%d series, want %d, says %v, %v\n%s", len(r.Series), days, r.Notes, err, strings.Join(rows, "\n"))
		}
		for d, s := range r.Series {
			if got := s.Raw[jartest.Turbidity].Value; got != raw[d] || s.Name != fmt.Sprintf("2026-03-%02d", d+1) || len(s.Jars) != n {
				t.Errorf("%s: raw %v, want %v, %d jars", s.Name, got, raw[d], len(s.Jars))
			}
		}
	})
}

// A day written on some rows in the middle of one test parts nothing.
func TestDayWrittenInTheMiddle(t *testing.T) {
	r := mustRead(t, "p.csv", "Date,Jar,Alum (mg/L),Turbidity (NTU)\n2026-03-01,1,0,31\n,2,10,18\n,3,20,9\n2026-03-02,4,30,4\n,5,40,2.5\n,6,50,2.1\n", Options{})
	if len(r.Series) != 1 || len(r.Series[0].Jars) != 6 {
		t.Errorf("%d series: %v", len(r.Series), r.Notes)
	}
}

// TestJarsThatShareANumber: 1a and 1b are two jars of one dose, which is written once; a second dose left out
// beside the first asks. Other labels are no pairs.
func TestJarsThatShareANumber(t *testing.T) {
	for _, c := range []struct {
		name  string
		rows  string
		doses string // of all jars
		code  string
	}{
		{"doses once", "1a,10,0.1,9|1b,,,10|2a,20,0.2,4|2b,,,5", "10+0.1 10+0.1 20+0.2 20+0.2", ""},
		{"three of a number", "1a,10,0.1,9|1b,,,10|1c,,,8|2a,20,0.2,4|2b,,,5", "10+0.1 10+0.1 10+0.1 20+0.2 20+0.2", ""},
		{"second dose once", "1a,10,0.1,9|1b,10,,10|2a,20,0.2,4|2b,20,,5", "10+0.1 10+0.1 20+0.2 20+0.2", "dose-of-pair"},
		{"marks between", "1-A,10,0.1,9|1-B,,,10|2-A,20,0.2,4|2-B,,,5", "10+0.1 10+0.1 20+0.2 20+0.2", ""},
		{"other numbers", "1a,10,0.1,9|2b,,,10|3a,20,0.2,4|4b,,,5", "10+0.1 20+0.2", "no-dose no-dose"},
		{"wrong order", "1b,10,0.1,9|1a,,,10|2b,20,0.2,4|2a,,,5", "10+0.1 20+0.2", "no-dose no-dose"},
	} {
		r := mustRead(t, "p.csv", "Jar,Alum (mg/L),Polymer (mg/L),Turbidity (NTU)\n"+strings.ReplaceAll(c.rows, "|", "\n"), Options{})
		var got []string
		for _, j := range r.Series[0].Jars {
			got = append(got, fmt.Sprintf("%g+%g", float64(j.Doses[0].Concentration), float64(j.Doses[1].Concentration)))
		}
		if strings.Join(got, " ") != c.doses || strings.Join(loud(r), " ") != c.code {
			t.Errorf("%s: %v, says %v", c.name, got, loud(r))
		}
	}
}
