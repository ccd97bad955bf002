package layout

import (
	"math/rand"
	"slices"
	"strings"
	"testing"
)

// lined parts the lines of a small sheet; a slash in a unit stays.
var lined = strings.NewReplacer("mg/L", "mg/L", "/", "\n")

// finderOf looks at a small sheet as text.
func finderOf(t *testing.T, csv string) *Finder {
	t.Helper()
	grids, _, err := Open("small.csv", []byte(csv))
	if err != nil {
		t.Fatal(err)
	}
	return NewFinder(View{Area: grids[0]}, DecimalPoint, nil)
}

// tablesOf finds the upright tables of a small sheet.
func tablesOf(t *testing.T, csv string) []*Table {
	t.Helper()
	return Choose(finderOf(t, csv).Tables())
}

// lineCases hold every rule for lines: the last line of a small table, what it is, and
// how many jars are read in all.
var lineCases = []struct {
	why   string
	below string // what stands under the first three jars
	jars  int
	no    string
	noJar int
}{
	{"two blank lines", "//4,30,1", 3, "/4,30,1", 4},
	{"a blank line, and no data below it", "/Wiggle", 3, "/4,30,1", 4},
	{"a blank line", "/4,30,1", 4, "4,30,1", 4},
	{"the heading once more", "Jar,Alum (mg/L),NTU/4,30,1", 4, "Jar,Alum (mg/L),NTU/1,30,1", 3},
	{"the heading of another table", "Jar,Ferric (mg/L),pH/1,30,7", 3, "4,30,1", 4},
	{"a text that no data follow", "Wiggle/Waggle", 3, "Wiggle/4,30,1", 4},
	{"a text between jars", "Wiggle/4,30,1", 4, "4,30,1", 4},
	{"what stands below a blank line is no jar", "/Wiggle,x,y", 3, "/4,30,1", 4},
	{"a fact below the jars", "Date,7", 3, "4,30,1", 4},
	{"nothing says otherwise", "4,30,1", 4, "", 0},
}

func TestLineRules(t *testing.T) {
	rows := func(below string) int {
		return len(tablesOf(t, lined.Replace("Jar,Alum (mg/L),NTU/1,0,30/2,10,9/3,20,2/"+below))[0].Rows)
	}
	proved := map[string]bool{}
	for _, c := range lineCases {
		if got := rows(c.below); got != c.jars {
			t.Errorf("%s: %q gives %d rows, want %d", c.why, c.below, got, c.jars)
		}
		if c.no == "" {
			proved[c.why] = true
			continue
		}
		if got := rows(c.no); got != c.noJar {
			t.Errorf("not %s: %q gives %d rows, want %d", c.why, c.no, got, c.noJar)
		}
		proved[c.why] = true
	}
	for _, r := range lineRules {
		if !proved[r.Why] {
			t.Errorf("no sheet shows the rule %q", r.Why)
		}
	}
}

func TestSegments(t *testing.T) {
	for head, want := range map[string][][2]int{
		"Jar,Alum (mg/L),NTU":                         {{0, 2}},
		"Jar,Alum (mg/L),NTU,,Jar,Alum (mg/L),NTU":    {{0, 2}, {4, 6}},
		"Jar,Alum (mg/L),NTU,Jar,Alum (mg/L),NTU":     {{0, 2}, {3, 5}},
		"Jar,Alum (mg/L),NTU,Volume,2":                {{0, 2}},
		"Jar,Alum (mg/L),NTU,2":                       {{0, 1}},
		"Jar,Alum (mg/L),2,NTU":                       {{0, 0}, {3, 3}},
		"Jar,Sample volume (mL),Alum (mg/L),NTU,Note": {{0, 4}},
	} {
		if got := finderOf(t, head+"\n").segments(0, strings.Count(head, ",")+1); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", head, got, want)
		}
	}
}

// TestLineRuleOrder shuffles the rows of the tables of rules: no line and no stretch of
// headings may be read otherwise.
func TestLineRuleOrder(t *testing.T) {
	lines, heads := lineRuled, segmentRuled
	defer func() { lineRuled, segmentRuled = lines, heads }()
	rng := rand.New(rand.NewSource(13))
	for range 5 {
		lineRuled, segmentRuled = slices.Clone(lines), slices.Clone(heads)
		rng.Shuffle(len(lineRuled), func(a, b int) { lineRuled[a], lineRuled[b] = lineRuled[b], lineRuled[a] })
		rng.Shuffle(len(segmentRuled), func(a, b int) { segmentRuled[a], segmentRuled[b] = segmentRuled[b], segmentRuled[a] })
		TestLineRules(t)
		TestSegments(t)
	}
}
