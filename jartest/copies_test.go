package jartest

import (
	"fmt"
	"testing"
)

// TestCopies: a row that was copied counts once, with a note; beakers that happen to
// agree stay two.
func TestCopies(t *testing.T) {
	read := func(y []float64, label func(i int, dose float64) string) Series {
		doses := []float64{10, 20, 30, 40, 10, 20, 30, 40}
		return scan(doses, func(i int, j *Jar) {
			j.Label = label(i, doses[i])
			j.Readings = Readings{{Key: Turbidity, Reading: Num(y[i], "NTU")}}
		})
	}
	once := func(doses, y []float64) Series {
		return scan(doses, func(i int, j *Jar) {
			j.Label = fmt.Sprintf("%g-%d", doses[i], i)
			j.Readings = Readings{{Key: Turbidity, Reading: Num(y[i], "NTU")}}
		})
	}
	numbered := func(i int, _ float64) string { return fmt.Sprint(i + 1) }
	none := func(i int, d float64) string { return fmt.Sprintf("%g-%d", d, i/4+1) }
	named := func(_ int, d float64) string { return fmt.Sprint("jar ", d) }
	for _, c := range []struct {
		name  string
		s     Series
		jars  int
		notes int
	}{
		{"one row copied, no labels", read([]float64{41.37, 20.4, 9.1, 5, 41.37, 21, 9.3, 6}, none), 7, 1},
		{"two beakers that read 5 among repeats", read([]float64{41.37, 20.4, 9.1, 5, 40.2, 21, 9.3, 5}, none), 8, 1},
		{"one row of few digits copied in a scan of single jars", once([]float64{10, 20, 20, 30, 40, 50}, []float64{20, 12, 12, 6, 3, 2}), 5, 1},
		{"three of one row", once([]float64{10, 20, 20, 20, 30, 40}, []float64{20, 12, 12, 12, 6, 3}), 4, 2},
		{"one dose, two readings", once([]float64{10, 20, 20, 30, 40, 50}, []float64{20, 12, 13, 6, 3, 2}), 6, 0},
		{"two labelled beakers that agree", read([]float64{41.37, 20.4, 9.1, 5, 41.37, 21, 9.3, 6}, numbered), 8, 0},
		{"one label, one row", read([]float64{41.37, 20.4, 9.1, 5, 42, 20.4, 9.3, 6}, named), 7, 1},
		{"all jars again under other labels", read([]float64{41, 20, 9, 5, 41, 20, 9, 5}, numbered), 4, 4},
		{"nothing again", read([]float64{41, 20, 9, 5, 42, 21, 8, 6}, numbered), 8, 0},
	} {
		s, notes := c.s.WithoutCopies()
		if len(s.Jars) != c.jars || len(notes) != c.notes {
			t.Errorf("%s: %d jars and %d notes, want %d and %d", c.name, len(s.Jars), len(notes), c.jars, c.notes)
		}
	}
}

// TestPrint: the same jars in another order and under other names have one print; another reading, dose or raw turbidity has
// another, and too few jars have none.
func TestPrint(t *testing.T) {
	of := func(doses, y []float64, raw float64) Series {
		s := scan(doses, func(i int, j *Jar) {
			j.Label = fmt.Sprint("jar ", y[i])
			j.Readings = Readings{{Key: Turbidity, Reading: Num(y[i], "NTU")}}
		})
		s.Raw = map[Key]Reading{Turbidity: Num(raw, "NTU")}
		return s
	}
	one := of([]float64{0, 10, 20}, []float64{40, 20, 5}, 50)
	again := of([]float64{20, 0, 10}, []float64{5, 40, 20}, 50)
	again.Name, again.Jars[0].Label, again.Jars[1].Said = "copy", "B", []Fact{{Value: "cloudy"}}
	if one.Print() == "" || one.Print() != again.Print() {
		t.Error("a copy has another print")
	}
	for _, other := range []Series{of([]float64{0, 10, 20}, []float64{40, 20, 6}, 50), of([]float64{0, 10, 21}, []float64{40, 20, 5}, 50), of([]float64{0, 10, 20}, []float64{40, 20, 5}, 51)} {
		if other.Print() == one.Print() {
			t.Error("another test has the same print")
		}
	}
	if of([]float64{0, 10}, []float64{40, 20}, 50).Print() != "" {
		t.Error("two jars have a print")
	}
}
