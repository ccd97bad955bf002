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

// A drawn test of a page is one water with its line, its jars and what its line states.
type drawnTest struct {
	line string
	raw  float64 // NTU, 0 for not stated
	as   string
	ntu  []float64
}

// TestTestsUnderOneHeading: the tests of a page that writes its headings once are series of their own, each
// with what its own line states and nothing of the others, whether the line stands between the jars or
// below a gap.
func TestTestsUnderOneHeading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		jars := rapid.IntRange(3, 6).Draw(t, "jars")
		tests := make([]drawnTest, rapid.IntRange(2, 4).Draw(t, "tests"))
		first := rapid.Bool().Draw(t, "the first line stands below the headings")
		gap := rapid.IntRange(0, mostTestGap).Draw(t, "gap")
		apart := rapid.Bool().Draw(t, "facts in lines of their own")
		for i := range tests {
			d := &tests[i]
			d.raw = float64(30 + 11*i + rapid.IntRange(0, 5).Draw(t, "raw"))
			d.line = rapid.SampledFrom([]string{"Test %d", "Pond %d", "Run %d", "Tank %d"}).Draw(t, "name")
			d.line = fmt.Sprintf(d.line, i+1)
			for k := range jars {
				d.ntu = append(d.ntu, float64(10*(i+2))/float64(k+1))
			}
		}
		var rows []string
		add := func(format string, args ...any) { rows = append(rows, fmt.Sprintf(format, args...)) }
		state := func(d *drawnTest) {
			if apart && gap > 0 {
				add("%s", d.line)
				add("Raw turbidity,%g NTU", d.raw)
				return
			}
			if rapid.Bool().Draw(t, "basis") {
				d.as = "as Al"
				add(`"%s (raw %g NTU, as Al)"`, d.line, d.raw)
				return
			}
			add("%s"+rapid.SampledFrom([]string{" (raw %g NTU)", " - raw %g NTU", ": raw water %g NTU"}).Draw(t, "form"), d.line, d.raw)
		}
		if !first || apart && gap > 0 {
			state(&tests[0])
		}
		add("Jar,Alum (mg/L),Turbidity (NTU)")
		if first && !(apart && gap > 0) {
			state(&tests[0])
		}
		for i := range tests {
			if i > 0 {
				for range gap {
					add(",,")
				}
				state(&tests[i])
			}
			for k, x := range tests[i].ntu {
				add("%d,%d,%.4g", k+1, 10*k, x)
			}
		}
		page := strings.Join(rows, "\n")
		r, err := Read("p.csv", strings.NewReader(page), Options{})
		if err != nil || len(r.Series) != len(tests) || r.Notes.Worst() > note.Info {
			t.Fatalf("%d series, want %d, %v, %v\n%s", len(r.Series), len(tests), err, r.Notes, page)
		}
		for i, s := range r.Series {
			if raw := s.Raw[jartest.Turbidity]; raw.Value != tests[i].raw {
				t.Errorf("%s: raw %v, want %v", s.Name, raw.Value, tests[i].raw)
			}
			if as := s.Chemicals[0].Basis.String(); tests[i].as != "" && as != tests[i].as || tests[i].as == "" && as == "as Al" {
				t.Errorf("%s: basis %s, want %q", s.Name, as, tests[i].as)
			}
			if !strings.Contains(s.Name, tests[i].line) && i > 0 {
				t.Errorf("series %q is not named by its line %q", s.Name, tests[i].line)
			}
			if len(s.Jars) != jars {
				t.Errorf("%s: %d jars, want %d", s.Name, len(s.Jars), jars)
			}
			for k, j := range s.Jars {
				got := j.Readings.Of(jartest.Turbidity).Value
				if want := fmt.Sprintf("%.4g", tests[i].ntu[k]); fmt.Sprintf("%.4g", got) != want || float64(j.Doses[0].Concentration) != float64(10*k) {
					t.Errorf("%s, jar %s: %v at %v, want %s at %d", s.Name, j.Label, got, j.Doses[0].Concentration, want, 10*k)
				}
			}
		}
		if t.Failed() {
			t.Log(page)
		}
	})
}

// mostTestGap is how many empty rows the drawn pages leave between two tests.
const mostTestGap = 3

// alumPage is one plain test.
const alumPage = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,31\n2,10,18\n3,20,9\n4,30,4\n5,40,2.5\n6,50,2.1\n"

// What stands below the jars under no heading and is no test of the same jars is not read, and speaks.
func TestNumbersBelowThatAreNoTest(t *testing.T) {
	for _, below := range []string{
		"Summary\n1,20,9\n2,30,4\n3,40,2.5\n",
		"Summary of test 1\n1,20,9\n2,30,4\n3,40,2.5\n",
		"Example of another pond\n1,0,40\n2,10,20\n3,20,10\n",
		"Test 2 - do not use\n1,0,40\n2,10,20\n3,20,10\n",
		"Turbidity standards\nS1,0,0.1\nS2,10,9.8\nS3,20,20.4\n",
		"Plant, 3 May\nMon,22,5\nTue,25,4\nWed,24,4.5\n",
		"Test 2\n7,60,2\n8,70,2.2\n9,80,3\n",
	} {
		r := mustRead(t, "p.csv", alumPage+",,\n"+below, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 6 || len(loud(r)) == 0 {
			t.Errorf("%s: %d series, %d jars, says %v", below, len(r.Series), len(r.Series[0].Jars), r.Notes)
		}
	}
}

// A line over jars that names another chemical than their heading speaks; one that names the same, or
// gives a dose of a second one to all of them, does not contradict.
func TestLineOfAnotherChemical(t *testing.T) {
	for line, want := range map[string]bool{"Ferric chloride": true, "Test 2 - PACl": true, "Alum": false, "Alum again": false, "Pond 2": false} {
		for _, gap := range []string{"", ",,\n"} {
			r := mustRead(t, "p.csv", alumPage+gap+line+"\n"+strings.SplitN(alumPage, "\n", 2)[1], Options{})
			said := slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "other-chemical" && n.Place.Cell != "" })
			if said != want {
				t.Errorf("%q after gap %q: said %v, want %v: %v", line, gap, said, want, r.Notes)
			}
		}
	}
}

// The raw water that heads a page is not that of jars whose own line names another place.
func TestRawOfThePageIsNotOfAnotherPlace(t *testing.T) {
	second := strings.SplitN(strings.ReplaceAll(alumPage, "31", "60"), "\n", 2)[1]
	for line, want := range map[string]bool{"pond c": false, "Test 2": true} {
		r := mustRead(t, "p.csv", "Raw turbidity,33 NTU\n"+alumPage+",,\n"+line+"\n"+second, Options{})
		if len(r.Series) != 2 {
			t.Fatalf("%s: %d series", line, len(r.Series))
		}
		if _, had := r.Series[1].Raw[jartest.Turbidity]; had != want {
			t.Errorf("%s: raw taken %v, want %v", line, had, want)
		}
	}
}
