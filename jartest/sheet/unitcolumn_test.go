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

// TestUnitsBehindTheJars: with jars across, a column of units behind them (or between the names and them, as
// ever) heads the rows: doses come back in mg/L whatever their unit, and nothing is assumed.
func TestUnitsBehindTheJars(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "jars")
		unit, factor, as := drawnUnit(t)
		head := rapid.SampledFrom([]string{"Unit", "Units", ""}).Draw(t, "head")
		rows := [][]string{{"Jar"}, {"Alum"}, {"Turbidity"}, {"pH"}}
		for k := range n {
			rows[0] = append(rows[0], fmt.Sprint(k+1))
			rows[1] = append(rows[1], figure(float64(10*(k+1))/factor))
			rows[2] = append(rows[2], fmt.Sprint(60-5*k))
			rows[3] = append(rows[3], fmt.Sprintf("%.1f", 7.5-0.1*float64(k)))
		}
		place := rapid.SampledFrom([]int{1, n + 1}).Draw(t, "column of units")
		if place == 1 && head == "" {
			head = "Unit"
		}
		for i, u := range []string{head, unit, "NTU", rapid.SampledFrom([]string{"", "-"}).Draw(t, "of pH")} {
			rows[i] = slices.Insert(rows[i], place, u)
		}
		var page []string
		if above := rapid.SampledFrom([]string{"", "Date,2 April 2026", "Date,2026-04-02", "Operator,3"}).Draw(t, "above"); above != "" {
			page = append(page, above)
		}
		for _, row := range rows {
			page = append(page, strings.Join(row, ","))
		}
		r, err := Read("p.csv", strings.NewReader(strings.Join(page, "\n")), Options{})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != n {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), r.Notes, err, strings.Join(page, "\n"))
		}
		for _, x := range r.Notes {
			if x.Code == "unit-assumed" || x.Code == "row-not-a-jar" {
				t.Errorf("%v", x)
			}
		}
		for k, j := range r.Series[0].Jars {
			if got, want := float64(j.Doses[0].Concentration), float64(10*(k+1)); got < want*(1-1e-9) || got > want*(1+1e-9) {
				t.Errorf("%q: jar %d has %v mg/L, want %v", unit, k+1, got, want)
			}
		}
		if b := r.Series[0].Chemicals[0].Basis.String(); as == "as Al" && b != as {
			t.Errorf("%q: basis %s", unit, b)
		}
	})
}

// What stands behind the jars and is no unit is none, and a unit that its own heading contradicts speaks.
func TestColumnBehindTheJarsThatIsNoUnit(t *testing.T) {
	for _, c := range []struct{ alum, ntu, code string }{
		{"Alum (mg/L),0,10,20,30,mg/L", "Turbidity (NTU),31,18,9,4,NTU", ""},
		{"Alum (g/L),0,0.01,0.02,0.03,mg/L", "Turbidity (NTU),31,18,9,4,NTU", "unit-not-understood"},
		{"Alum,0,10,20,30,mg/wug", "Turbidity,31,18,9,4,NTU", "unit-unknown"},
	} {
		r, err := Read("p.csv", strings.NewReader("Jar,1,2,3,4,Unit\n"+c.alum+"\n"+c.ntu+"\n"), Options{})
		switch got := strings.Join(loud(r), " "); {
		case err != nil:
			t.Errorf("%s: %v", c.alum, err)
		case c.code == "" && got != "", c.code == "unit-not-understood" && !strings.Contains(got, c.code), c.code == "unit-unknown" && r.Notes.Worst() < note.Caution:
			t.Errorf("%s: says %q, want %q", c.alum, got, c.code)
		}
	}
}

// TestTemperaturesAcross: a cross-tab of doses down and temperatures across is a test for each temperature,
// however the temperatures are written.
func TestTemperaturesAcross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temperatures := []int{4, 12, 21}[:rapid.IntRange(2, 3).Draw(t, "temperatures")]
		n := rapid.IntRange(3, 6).Draw(t, "doses")
		var page []string
		spelt := "%d"
		switch rapid.IntRange(0, 3).Draw(t, "form") {
		case 0:
			spelt, page = "%d C", []string{"Turbidity (NTU)", "Alum (mg/L)"}
		case 1:
			spelt, page = "%d °C", []string{"Turbidity (NTU)", "Alum (mg/L)"}
		case 2:
			page = []string{"Turbidity (NTU)", ",Temperature (C)", "Alum (mg/L)"}
		case 3:
			page = []string{"Turbidity (NTU) after 20 min", `Alum (mg/L) \ Temperature (°C)`}
		}
		for _, x := range temperatures {
			page[len(page)-1] += "," + fmt.Sprintf(spelt, x)
		}
		ntu := func(i, k int) int { return 90 - 10*k - 3*i }
		for k := range n {
			row := fmt.Sprint(10 * k)
			for i := range temperatures {
				row += fmt.Sprintf(",%d", ntu(i, k))
			}
			page = append(page, row)
		}
		r, err := Read("p.csv", strings.NewReader(strings.Join(page, "\n")), Options{})
		if err != nil || len(r.Series) != len(temperatures) || r.Notes.Worst() > note.Info {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), r.Notes, err, strings.Join(page, "\n"))
		}
		for i, s := range r.Series {
			if !strings.HasPrefix(s.Name, fmt.Sprint(temperatures[i])) || len(s.Jars) != n {
				t.Errorf("series %q with %d jars, want %d C", s.Name, len(s.Jars), temperatures[i])
			}
			for k, j := range s.Jars {
				if got := j.Readings.Of(jartest.Turbidity).Value; got != float64(ntu(i, k)) || float64(j.Doses[0].Concentration) != float64(10*k) {
					t.Errorf("%s: %v at %v, want %d", s.Name, got, j.Doses[0].Concentration, ntu(i, k))
				}
			}
		}
	})
}
