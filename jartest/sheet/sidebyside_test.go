package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest"
)

// twoTables writes two tables side by side under the titles of each.
func twoTables(left, right string) string {
	return left + ",,,," + right + "\nJar,Alum (mg/L),NTU,,Jar,Alum (mg/L),NTU\n1,10,30,,1,10,21\n2,20,18,,2,20,9\n3,30,9,,3,30,4\n4,40,5,,4,40,2\n"
}

// A dose in the title of one of two tables side by side is of that table, and of the chemical it stands with,
// in whatever order the title names them; it is asked about, as the title does not say "every jar".
func TestDoseInTheTitleBeside(t *testing.T) {
	for _, title := range []string{"Alum with 0.3 mg/L polymer", "Alum with polymer 0.3 mg/L", "Alum with 0.3 mg/L of polymer", "0.3 mg/L polymer with alum"} {
		for side := range 2 {
			page := twoTables("Alum alone", title)
			if side == 0 {
				page = twoTables(title, "Alum alone")
			}
			r := mustRead(t, "p.csv", page, Options{})
			if len(r.Series) != 2 {
				t.Fatalf("%s: %d series, %v", title, len(r.Series), r.Notes)
			}
			for i, s := range r.Series {
				want := "alum"
				if i == side {
					want = "alum polymer"
				}
				var names []string
				for _, c := range s.Chemicals {
					names = append(names, c.Name)
				}
				if got := strings.Join(names, " "); got != want || i == side && doses(s, 1)[0] != 0.3 {
					t.Errorf("%s on side %d: series %d has %s, want %s, %v", title, side, i, got, want, r.Notes)
				}
			}
			if said := loud(r); !slices.Equal(said, []string{"fixed-dose"}) {
				t.Errorf("%s: says %v", title, said)
			}
		}
	}
	r := mustRead(t, "p.csv", "Alum 35 mg/L in every jar\nJar,Alum (mg/L),NTU\n1,10,30\n2,20,12\n3,30,5\n", Options{})
	if !slices.Contains(loud(r), "dose-mentioned") {
		t.Errorf("a dose that no jar of its column got: says %v", r.Notes)
	}
}

// One line on the raw water above or below two tables side by side is of both, and it is said where the line
// does not say so; where each has its own, each keeps it.
func TestRawOfTablesSideBySide(t *testing.T) {
	const both = "raw-of-both"
	for _, c := range []struct {
		above, below, speaks string
		left, right          float64
	}{
		{"", "Raw water for both: 44 NTU", "", 44, 44},
		{"", "Raw water 44 NTU", both, 44, 44},
		{"Raw water 44 NTU", "", both, 44, 44},
		{"Raw turbidity,44 NTU", "", "", 44, 44},
		{"Raw water 44 NTU,,,,Raw water 60 NTU", "", "", 44, 60},
		{"", ",,,,Raw water 44 NTU", both, 44, 44},
	} {
		page := twoTables("Pump A", "Pump B")
		if c.above != "" {
			page = c.above + page[strings.Index(page, "\n"):]
		}
		r := mustRead(t, "p.csv", page+"\n"+c.below+"\n", Options{})
		raw := func(i int) float64 { return r.Series[i].Raw[jartest.Turbidity].Value }
		if len(r.Series) != 2 || raw(0) != c.left || raw(1) != c.right || strings.Join(loud(r), " ") != c.speaks {
			t.Errorf("%q %q: %d series, says %v, want %v and %v", c.above, c.below, len(r.Series), r.Notes, c.left, c.right)
		}
	}
}

// What the doses of one table count, as its title says with the chemical, is not of a table whose title names another.
func TestBasisInTheTitleOfAnother(t *testing.T) {
	const jars = "Jar,Dose (mg/L),NTU\n1,2,31\n2,4,13\n3,6,6\n"
	r := mustRead(t, "p.csv", "PACl as Al\n"+jars+"\nAlum\n"+jars, Options{})
	var got []string
	for _, s := range r.Series {
		got = append(got, s.Chemicals[0].Name+" "+s.Chemicals[0].Basis.String())
	}
	if want := "PACl as Al; alum not stated"; strings.Join(got, "; ") != want {
		t.Errorf("%s, want %s; %v", strings.Join(got, "; "), want, r.Notes)
	}
}

// A line that states the raw water of the jars below it may have a remark in a column for remarks; what the
// remark says of the numbers speaks, and no jar is lost to it.
func TestPartLinesWithARemark(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.SampledFrom([]string{"Pond", "Sample", "Test", "Tank"}).Draw(t, "place")
		remarks := rapid.SampledFrom([]string{"", "calm", "samples diluted 1:10", "do not use"})
		speaks := false
		page := "Jar,Alum (mg/L),NTU,Remarks\n"
		for k := range 2 {
			remark := remarks.Draw(t, "remark")
			speaks = speaks || len(remark) > len("calm")
			page += fmt.Sprintf("%s %d (raw %d NTU),,,%s\n", place, k+1, 61-6*k, remark)
			for i := range 4 {
				page += fmt.Sprintf("%d,%d,%d,\n", i+1, 20*(i+1), 40-5*i-k)
			}
		}
		r, err := Read("p.csv", strings.NewReader(page), Options{})
		if err != nil || len(r.Series) != 2 {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), r.Notes, err, page)
		}
		for k, s := range r.Series {
			if raw := s.Raw[jartest.Turbidity].Value; len(s.Jars) != 4 || raw != float64(61-6*k) {
				t.Errorf("part %d: %d jars, raw %v\n%s", k, len(s.Jars), raw, page)
			}
		}
		if (len(loud(r)) > 0) != speaks {
			t.Errorf("says %v\n%s", r.Notes, page)
		}
	})
}

// A day between jars whose numbers go on speaks; where they begin again it is said of the labels.
func TestDayBetweenTheJars(t *testing.T) {
	for page, want := range map[string]string{
		"1,20,30\n2,40,12\n4 May 2026,,\n3,60,5\n4,80,3\n":   "day-between",
		"1,20,30\n2,40,12\n2026-05-04,,\n3,60,5\n4,80,3\n":   "day-between",
		"1,20,30\n2,40,12\n3,60,5\n4 May 2026,,\n":           "",
		"4 May 2026,,\n1,20,30\n2,40,12\n3,60,5\n":           "",
		"1,20,30\n2,40,12\n4 May 2026,,\n1,20,31\n2,40,13\n": "jars-again",
	} {
		if got := strings.Join(loud(mustRead(t, "p.csv", "Jar,Alum (mg/L),NTU\n"+page, Options{})), " "); got != want {
			t.Errorf("%s: says %q, want %q", page, got, want)
		}
	}
}

// A title over a grid names both sides, "pH against dose (mg/L)": pH is down where the corner says so, else
// along the only side whose numbers can be pH; where both can, nothing is taken for one.
func TestTitlesOfPHAgainstDose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sign := rapid.SampledFrom([]string{"against", "versus", "vs", "by", "gegen"}).Draw(t, "sign")
		axes := []string{"pH", "alum dose (mg/L)"}
		if rapid.Bool().Draw(t, "dose first") {
			slices.Reverse(axes)
		}
		corner := rapid.SampledFrom([]string{"", "pH"}).Draw(t, "corner")
		step := rapid.SampledFrom([]int{1, 10}).Draw(t, "step of the doses")
		rows := fmt.Sprintf("\"Final turbidity (NTU): %s %s %s, raw 50 NTU\"\n%s", axes[0], sign, axes[1], corner)
		for k := range 4 {
			rows += fmt.Sprintf(",%d", 4+k*step)
		}
		for i := range 3 {
			rows += fmt.Sprintf("\n%g", 6+0.5*float64(i))
			for k := range 4 {
				rows += fmt.Sprintf(",%d", 40-9*k-i)
			}
		}
		r, err := Read("p.csv", strings.NewReader(rows), Options{})
		if corner == "" && step == 1 { // 4 5 6 7 can be pH too
			if err == nil && len(r.Series) > 0 {
				t.Fatalf("%d series\n%s", len(r.Series), rows)
			}
			return
		}
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 12 {
			t.Fatalf("%d series, %v, %v\n%s", len(r.Series), r.Notes, err, rows)
		}
		for _, j := range r.Series[0].Jars {
			i, k := int((j.Settings["ph_target"]-6)/0.5), (int(j.Doses[0].Concentration)-4)/step
			if got := j.Readings.Of(jartest.Turbidity).Value; got != float64(40-9*k-i) {
				t.Errorf("pH %v, dose %v: %v\n%s", j.Settings["ph_target"], j.Doses[0].Concentration, got, rows)
			}
		}
	})
}
