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

// TestReadingsByJarNumber: a second table of the same jars, beside the first or below it, in any order and
// with labels spelt otherwise, gives its readings to the jars with these numbers.
func TestReadingsByJarNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "jars")
		order := rapid.Permutation(numbersTo(n)).Draw(t, "order")
		label := rapid.SampledFrom([]string{"%d", "Jar %d", "#%d"}).Draw(t, "label")
		var first, second [][]string
		first = append(first, []string{"Jar", "Alum (mg/L)", "Turbidity (NTU)"})
		second = append(second, []string{"Jar", "pH", "Residual Al (mg/L)"})
		for i := range n {
			first = append(first, []string{fmt.Sprint(i + 1), fmt.Sprint(10 * i), fmt.Sprint(60 - 5*i)})
			k := order[i]
			second = append(second, []string{fmt.Sprintf(label, k), fmt.Sprintf("%.1f", 7.5-0.1*float64(k)), fmt.Sprintf("%.2f", 0.05*float64(k))})
		}
		var rows []string
		if gap := rapid.IntRange(1, 3).Draw(t, "gap"); rapid.Bool().Draw(t, "beside") {
			for i, row := range first {
				rows = append(rows, strings.Join(row, ",")+strings.Repeat(",", gap+1)+strings.Join(second[i], ","))
			}
		} else {
			for _, row := range first {
				rows = append(rows, strings.Join(row, ","))
			}
			rows = append(rows, slices.Repeat([]string{",,"}, gap)...)
			for _, row := range second {
				rows = append(rows, strings.Join(row, ","))
			}
		}
		page := strings.Join(rows, "\n")
		r, err := Read("p.csv", strings.NewReader(page), Options{})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != n || r.Notes.Worst() > note.Info {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), err, r.Notes, page)
		}
		for i, j := range r.Series[0].Jars {
			k := float64(i + 1)
			if ph, al := j.Readings.Of(jartest.PH).Value, j.Readings.Of(jartest.ResidualAl).Value; fmt.Sprintf("%.1f %.2f", ph, al) != fmt.Sprintf("%.1f %.2f", 7.5-0.1*k, 0.05*k) {
				t.Errorf("jar %s: pH %v, aluminium %v\n%s", j.Label, ph, al, page)
			}
		}
	})
}

func numbersTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// Two tests and one table of readings under both: it is asked about. A table beside each, or under each, is of
// that one. What a jar has already is not written over, and speaks.
func TestReadingsOfWhichTest(t *testing.T) {
	jars := func(text string) string { return strings.Join(strings.Split(text, "\n")[:4], "\n") + "\n" }
	one, two := jars(alumPage), jars(strings.NewReplacer("31", "61", "18", "48", "9", "29").Replace(alumPage))
	metal := func(k int) string { return fmt.Sprintf("Jar,Residual Al (mg/L)\n1,0.%d1\n2,0.%d2\n3,0.%d3\n", k, k, k) }
	for _, c := range []struct {
		name, page string
		al         []float64 // of the first jar of each series, 0 for none
		code       string
	}{
		{"below both", one + ",,\n" + two + ",,\n" + metal(1), []float64{0, 0}, "readings-of-which"},
		{"below each", one + ",,\n" + metal(1) + ",,\nTest 2\n" + two + ",,\n" + metal(2), []float64{0.11, 0.21}, ""},
		{"read again", one + ",,\nJar,Turbidity (NTU)\n1,33\n2,18\n3,9\n", []float64{0}, "read-twice"},
		{"of other jars", one + ",,\nJar,Residual Al (mg/L)\n7,0.1\n8,0.2\n9,0.3\n", []float64{0}, ""},
		{"doses in it", one + ",,\nJar,Ferric (°C),pH\n1,10,7\n2,20,6.9\n3,30,6.8\n", []float64{0}, "table-lost"},
	} {
		r := mustRead(t, "p.csv", c.page, Options{})
		if len(r.Series) != len(c.al) {
			t.Errorf("%s: %d series, want %d", c.name, len(r.Series), len(c.al))
			continue
		}
		for i, want := range c.al {
			if got := r.Series[i].Jars[0].Readings.Of(jartest.ResidualAl).Value; got != want {
				t.Errorf("%s: residual of the first jar of series %d is %v, want %v", c.name, i, got, want)
			}
		}
		if got := strings.Join(loud(r), " "); got != c.code {
			t.Errorf("%s: says %q, want %q", c.name, got, c.code)
		}
	}
}
