package sheet

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// A column that is a statistic of the repeats is left out under any name; one that is off by more than
// its last place in a jar is kept.
func TestStatisticsByArithmetic(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 1))
	for _, name := range each("Ort. | SS | ET | s | Moy. | x | DE | Zork | Tb | avvik") {
		for kind, s := range statistics {
			var rows, off []string
			for jar := range 5 {
				base := 40 / float64(jar+1)
				xs := []float64{}
				cells := []string{fmt.Sprint(jar + 1), fmt.Sprint(10 * (jar + 1))}
				for range 3 {
					v := float64(int(base*10*(1+0.1*(r.Float64()-0.5)))) / 10
					xs, cells = append(xs, v), append(cells, fmt.Sprint(v))
				}
				if slices.Max(xs) == slices.Min(xs) {
					xs[0] += 0.5
					cells[2] = fmt.Sprint(xs[0])
				}
				stat := s.of(xs)
				rows = append(rows, strings.Join(append(cells, fmt.Sprintf("%.3f", stat)), ","))
				off = append(off, strings.Join(append(cells[:5:5], fmt.Sprintf("%.3f", stat+base)), ","))
			}
			head := "Jar,Alum (mg/L),NTU 1,NTU 2,NTU 3," + name + "\n"
			got := mustRead(t, "s.csv", head+strings.Join(rows, "\n")+"\n", Options{})
			if len(got.Series) != 1 {
				t.Fatalf("%s as %s: %v", name, s.name, got.Notes)
			}
			for _, j := range got.Series[0].Jars {
				if len(j.Readings) != 1 || j.Readings.Of(jartest.Turbidity).N != 3 {
					t.Errorf("%s as %s (%d): readings %v", name, s.name, kind, j.Readings)
					break
				}
			}
			other, err := Read("s.csv", strings.NewReader(head+strings.Join(off, "\n")+"\n"), Options{})
			if err == nil && slices.ContainsFunc(other.Notes, func(n note.Note) bool { return n.Code == "statistic-left-out" }) {
				t.Errorf("%s off the %s is left out as one", name, s.name)
			}
		}
	}
}
