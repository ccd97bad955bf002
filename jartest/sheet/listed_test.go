package sheet

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// pairsOf writes the doses and turbidities of the first series of a result.
func pairsOf(r Result) string {
	if len(r.Series) == 0 {
		return ""
	}
	var out []string
	for _, j := range r.Series[0].Jars {
		if len(j.Doses) > 0 {
			out = append(out, fmt.Sprintf("%g:%g", float64(j.Doses[0].Concentration), j.Readings.Of(jartest.Turbidity).Value))
		}
	}
	return strings.Join(out, " ")
}

// Whatever parts the name of a line from its numbers, and these from one another, the numbers of the
// lines go together by their order; a line with one number fewer or one more makes the reader ask.
func TestNamesAndTheirNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 7))
	names := [][2]string{{"Alum ppm", "NTU"}, {"Alum mg/L", "Turbidity NTU"}, {"Dose of alum mg/L", "Settled turbidity NTU"}, {"Alum (mg/L)", "Turbidity (NTU)"}}
	for range 120 {
		name := names[rng.IntN(len(names))]
		colon := []string{": ", ":", " = ", "= "}[rng.IntN(4)]
		sep := []string{" ", ", ", "; ", " / ", "/", ","}[rng.IntN(6)]
		if sep == " " && rng.IntN(2) == 0 {
			colon = " "
		}
		n := 3 + rng.IntN(6)
		var doses, reads, want []string
		for k := range n {
			d, r := strconv.Itoa(k*(4+n)), strconv.FormatFloat(float64(90-k*9)/[]float64{1, 2, 4}[rng.IntN(3)], 'g', -1, 64)
			doses, reads, want = append(doses, d), append(reads, r), append(want, d+":"+r)
		}
		line := func(name string, xs []string) string { return name + colon + strings.Join(xs, sep) + "\n" }
		for file, text := range map[string]string{"s.txt": line(name[0], doses) + line(name[1], reads), "n.txt": "North pond\n\n" + line(name[1], reads) + line(name[0], doses)} {
			r := mustRead(t, file, text, Options{})
			if got := pairsOf(r); got != strings.Join(want, " ") || len(loud(r)) > 0 {
				t.Errorf("%s:\n%sread as %s %v", file, text, got, r.Notes)
			}
		}
		for _, text := range []string{line(name[0], doses) + line(name[1], reads[1:]), line(name[0], doses[:n-1]) + line(name[1], reads)} {
			if r, err := Read("s.txt", strings.NewReader(text), Options{}); err == nil && r.Notes.Err() == nil {
				t.Errorf("unequal lines are read without a question:\n%s%s", text, pairsOf(r))
			}
		}
	}
}

// What lists are read from, and what is no list: the doses and turbidities of the first series, or the
// code of the note that speaks.
func TestLinesThatAreLists(t *testing.T) {
	for text, want := range map[string]string{
		"alum 0/12/24 mg/L gave 58/31/14 NTU\n":                                                                  "0:58 12:31 24:14",
		"Alum 0 12 24 mg/L\nTurbidity 58 31 14 NTU\n":                                                            "0:58 12:31 24:14",
		"Alum ppm: 0 12 24\n\nNTU: 58 31 14\n":                                                                   "0:58 12:31 24:14",
		"Alum ppm: 0 12 24\nNTU: 58 - 14\n":                                                                      "0:58 12:0 24:14",
		"Alum ppm: 0 12 24 36\nNTU: 58 31 >1000 14\n":                                                            "0:58 12:31 24:1000 36:14",
		"Jar: 1 2 3\nAlum ppm: 0 12 24\nNTU: 58 31 14\n":                                                         "0:58 12:31 24:14",
		"Jar Alum(mg/L) NTU\n1 0 58\n2 12 31\n3 24 14\n":                                                         "0:58 12:31 24:14",
		"Jar Alum(mg/L) NTU\nA 0 58\nB 12 31\nC 24 14\n":                                                         "0:58 12:31 24:14",
		"0 ppm alum -> 58 NTU\n12 ppm -> 31\n24 ppm -> 14\n":                                                     "0:58 12:31 24:14",
		"jar 1 no alum 58 ntu\njar 2 12 mg/l alum 31 ntu\njar 3 24 mg/l alum 14 ntu\njar 4 36 mg/l alum 9 ntu\n": "0:58 12:31 24:14 36:9",
		"Alum ppm: 0 12 24 36\nNTU: 58 31 14\n":                                                                  "lists-unequal",
		"Alum 0 12 24 36\nNTU 58 31 14\n":                                                                        "lists-unequal",
		"Jar,Alum (mg/L),NTU: 58\n1,0,31\n2,12,14\n3,24,6\n":                                                     "number-in-heading",
		"Jar,Alum (mg/L),NTU 58\n1,0,31\n2,12,14\n3,24,6\n":                                                      "number-in-heading",
		"Jar,Alum (mg/L),Turbidity (NTU) 1\n1,0,31\n2,12,14\n3,24,6\n":                                           "0:31 12:14 24:6",
		"Jar,Alum (mg/L),NTU 15,NTU 30\n1,0,31,30\n2,12,14,13\n3,24,6,5\n":                                       "0:30 12:13 24:5",
	} {
		r, err := Read("s.txt", strings.NewReader(text), Options{})
		if err == nil {
			err = r.Notes.Err()
		}
		got := pairsOf(r)
		for _, n := range r.Notes {
			if n.Code == want {
				got = want
			}
		}
		if got != want {
			t.Errorf("%s\nread as %q, want %q (%v)", text, got, want, err)
		}
	}
}

// Lists stand in lines of text, each line one quoted field or none, and two tests may stand one below the
// other with the same names: each is a test of its own, and none of its numbers is the other's.
func TestListsOfTwoTests(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "jars")
		sign := rapid.SampledFrom([]string{" ", ", ", "; "}).Draw(t, "sign")
		quoted := sign != " " || rapid.Bool().Draw(t, "quoted")
		between := rapid.SampledFrom([]string{"", "\n", "Pond B\n"}).Draw(t, "between")
		tests := rapid.IntRange(1, 2).Draw(t, "tests")
		page, want := "", ""
		for k := range tests {
			dose, ntu := "Alum mg/L:", "NTU:"
			for i := range n {
				mark := sign
				if i == 0 {
					mark = " "
				}
				dose += fmt.Sprint(mark, 10*i)
				ntu += fmt.Sprint(mark, 60+10*k-5*i)
				want += fmt.Sprintf(" %d:%d", 10*i, 60+10*k-5*i)
			}
			if k > 0 {
				page += between
			}
			for _, line := range []string{dose, ntu} {
				if quoted {
					line = `"` + line + `"`
				}
				page += line + "\n"
			}
		}
		r, err := Read("p.csv", strings.NewReader(page), Options{})
		if err != nil || len(r.Series) != tests || r.Notes.Worst() > note.Info {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), r.Notes, err, page)
		}
		got := ""
		for _, s := range r.Series {
			got += " " + pairsOf(Result{Series: []jartest.Series{s}})
		}
		if got != want {
			t.Errorf("%s, want %s\n%s", got, want, page)
		}
	})
}
