package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/layout"
)

// labelAmong gives the votes on a label below jars with others.
func labelAmong(t *testing.T, label, dose string, others ...string) []layout.Vote[labelKind, *labelEvidence] {
	t.Helper()
	sheet := "Jar,Alum (mg/L),NTU\n"
	for _, o := range others {
		sheet += o + ",10,30\n"
	}
	b := benchOf(t, "small.csv", []byte(sheet+label+","+dose+",5\n"), Options{})
	if b == nil || len(b.tables) == 0 {
		t.Fatalf("no table with %s", label)
	}
	tab := b.tables[0]
	fs := b.byTable[tab]
	r := tab.Rows[len(tab.Rows)-1]
	cols := b.labelColumns(tab, fs)
	d := b.labelled(tab, fs, r, cols, &dataRow{})
	e := &rowEvidence{b: b, t: tab, fs: fs, jar: cols.jar, d: &d}
	e.look()
	as, _ := rowRuled.Decide(e)
	d.control, d.rawWater = as >= rowControl, as == rowRaw
	return jarLabelRuled.Votes(&labelEvidence{saying: say(d.label), d: d, zero: b.zeroDose(tab, fs, r), company: b.inCompany(tab, fs[cols.jar].C, r), odd: shape(d.label) != shape(others[0])})
}

func TestJarLabels(t *testing.T) {
	numbers := strings.Fields("1 2 3 4 5")
	for _, c := range []struct {
		label  string
		others []string
		kind   labelKind
		why    string
	}{
		{"6", numbers, labelPlain, "it goes on from its neighbours"},
		{"9", numbers, labelPlain, "it numbers the jar"},
		{"Jar 9", numbers, labelDoubt, "its neighbours are of another shape"},
		{"Becher 9", []string{"Becher 1", "Becher 2"}, labelPlain, "it numbers the jar"},
		{"烧杯9", []string{"烧杯1", "烧杯2"}, labelPlain, "it numbers the jar"},
		{"7 (no mixing)", numbers, labelDoubt, "it numbers the jar and says more"},
		{"7 no floc", numbers, labelDoubt, "it numbers the jar and says more"},
		{"Jar 7; pH 6", numbers, labelDoubt, "it numbers the jar and says more"},
		{"7 leaked", numbers, labelDoubt, "it numbers the jar and says more"},
		{"7 (2 min mix)", numbers, labelDoubt, "it numbers the jar and says more"},
		{"7!", numbers, labelDoubt, "it numbers the jar and says more"},
		{"5?", numbers, labelDoubt, "it numbers the jar and says more"},
		{"3 no polymer", numbers, labelDoubt, "it numbers the jar and says more"},
		{"3 repeat", numbers, labelDoubt, "it numbers the jar and says more"},
		{"3 x2", numbers, labelDoubt, "it numbers the jar and says more"},
		{"3 (2)", []string{"1 (2)", "2 (2)"}, labelPlain, "it numbers the jar"},
		{"A 9", []string{"A 1", "A 2"}, labelPlain, "it numbers the jar"},
		{"T1-J9", []string{"T1-J1", "T1-J2"}, labelPlain, "it numbers the jar"},
		{"duplicate", numbers, labelDoubt, "it repeats a jar"},
		{"7b", numbers, labelDoubt, "its neighbours are of another shape"},
		{"control", numbers, labelPlain, "it names a control"},
		{"Jar 7 (best)", numbers, labelPlain, "it says that the jar is the best"},
		{"alum again", numbers, labelPlain, "it names what the jar got"},
		{"e.g.", numbers, labelNoJar, "its words do not name a jar"},
		{"s", numbers, labelNoJar, "its words do not name a jar"},
		{"Tuesday", numbers, labelNoJar, "its words do not name a jar"},
		{"mean of 4", numbers, labelNoJar, "it names a statistic"},
		{"Plant today", numbers, labelNoJar, "it speaks of something else than a jar"},
		{"Selected dose", numbers, labelNoJar, "it gives the outcome of a test"},
		{"R2", strings.Fields("R4 R3"), labelPlain, "it goes on from its neighbours"},
		{"SD", strings.Fields("SA SB SC"), labelPlain, "it goes on from its neighbours"},
		{"SD", strings.Fields("1 2 3"), labelNoJar, "it names a statistic"},
	} {
		v := labelAmong(t, c.label, "20", c.others...)[0]
		if v.Role != c.kind || v.Why != c.why {
			t.Errorf("%s among %v: %d, %s; want %d, %s", c.label, c.others, v.Role, v.Why, c.kind, c.why)
		}
	}
	for label, why := range map[string]string{"Tap": "it names another water", "blank (lab)": "it names a control of something else", "7b": "it numbers the jar"} {
		if v := labelAmong(t, label, "0", numbers...)[0]; v.Why != why {
			t.Errorf("%s without a dose: %s, want %s", label, v.Why, why)
		}
	}
}

// A doubted jar is kept with a caution, a row that is no jar is left out with one, and
// among labels of its kind even R2 is a jar.
func TestLabelsInSheets(t *testing.T) {
	for _, c := range []struct {
		labels string
		jars   int
		code   string
	}{
		{"1|2|3|4|5|6", 6, ""},
		{"R1|R2|R3|R4|R5", 5, ""},
		{"SA|SB|SC|SD|SE", 5, ""},
		{"n|o|p|q|r|s", 6, ""},
		{"1|2|3|4|5|6 (cold)", 6, "label-doubt"},
		{"1|2|3|4|5?|6", 6, "label-doubt"},
		{"1|2|3|4|5|Plant", 5, "row-not-a-jar"},
		{"1|2|3|4|5|n", 5, ""},
	} {
		sheet := "Jar,Alum (mg/L),Turbidity (NTU)\n"
		for i, l := range strings.Split(c.labels, "|") {
			sheet += l + "," + string(rune('1'+i)) + "0," + string(rune('9'-i)) + ".3\n"
		}
		res := readText(t, sheet)
		if len(res.Series) != 1 || len(res.Series[0].Jars) != c.jars || codes(res) != c.code {
			t.Errorf("%s: %d series, cautions %q, want %d jars and %q", c.labels, len(res.Series), codes(res), c.jars, c.code)
		}
	}
}

func TestFollows(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"R1", "R2", true}, {"R2", "R1", true}, {"R9", "R10", true}, {"R19", "R20", true}, {"R2", "R4", false}, {"R2", "R2", false}, {"R1", "S2", false},
		{"SA", "SB", true}, {"SA", "SC", false}, {"SA", "TB", false}, {"A", "B", true}, {"9", "10", true}, {"", "A", false}, {"R1", "RB", false},
	} {
		if got := follows(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
}

// Chemicals that are dosed one a jar make a series each, also where the first column is a dose.
func TestOneChemicalAJar(t *testing.T) {
	res := readText(t, "Alum (mg/L),Ferric chloride (mg/L),Turbidity (NTU)\n10,,5\n20,,3\n30,,2\n,10,6\n,20,4\n,30,1\n")
	if len(res.Series) != 2 || len(res.Series[0].Jars) != 3 || len(res.Series[1].Jars) != 3 {
		t.Errorf("%d series: %v", len(res.Series), res.Notes)
	}
}
