package sheet

import (
	"math"
	"testing"

	"jarwright/jartest/note"
)

// TestSpoonsThatWereWeighed: scoops of a known mass are a dose or a stock, by hand: two scoops of 0.5 g in 10 L are 100 mg/L; 10 mL
// of 25 g in 1 L, 25,000 mg/L, make 250 mg/L in a jar of 1 L.
func TestSpoonsThatWereWeighed(t *testing.T) {
	const counts = ",Turbidity NTU\n1,0,118\n2,1,70\n3,2,30\n4,3,9\n5,4,3.5\n"
	const drops = ",Turbidity NTU\n1,0,118\n2,5,70\n3,10,30\n4,15,9\n5,20,3.5\n"
	for text, want := range map[string]float64{
		"1 scoop (0.5 g)\nJars 10 L\n\nJar,Alum (scoops)" + counts:                  100,
		"1 scoop = 0.5 g\nJars 10 L\n\nJar,Alum (scoops)" + counts:                  100,
		"Stock: 1 scoop (25 g) in 1 L\nJars 1 L\n\nJar,Alum stock (mL)" + drops:     250,
		"1 scoop (25 g) alum in 5 L water\nJars 1 L\n\nJar,Alum stock (mL)" + drops: 50,
		"Doses counts as Al\n\nJar,Alum (mg/L)" + drops:                             10,
		"Jar,Alum (mg/L counts as Al)" + drops:                                      10,
	} {
		res := mustRead(t, "t.csv", text, Options{})
		if len(res.Series) == 0 {
			t.Errorf("%q: no series: %v", text, res.Notes)
			continue
		}
		if got := res.Series[0].Jars[2].Doses[0].Concentration; math.Abs(float64(got)-want) > 1e-9*want {
			t.Errorf("%q: %v mg/L, want %v", text, got, want)
		}
		for _, n := range res.Notes.Only(note.Caution) {
			t.Errorf("%q: %v", text, n)
		}
	}
	// Several scoops of one mass may weigh it each or together, a scoop that nobody weighed has no mass, and two masses of one disagree.
	for _, text := range []string{
		"Stock: 2 scoops (25 g) in 1 L\nJars 1 L\n\nJar,Alum stock (mL)" + drops,
		"Jars 10 L\n\nJar,Alum (scoops)" + counts,
		"1 scoop = 25 g\n1 scoop = 20 g\nJars 10 L\n\nJar,Alum (scoops)" + counts,
		"1 press = 25 g\nJars 10 L\n\nJar,Alum (scoops)" + counts,
	} {
		res := readText(t, text)
		if len(res.Series) > 0 && len(res.Notes.Only(note.Caution))+len(res.Notes.Only(note.Error)) == 0 {
			t.Errorf("%q: read as %v without a word", text, res.Series[0].Jars)
		}
	}
}

// TestDryAlumAsItsAlumina: "as 17 % Al2O3" is what doses of dry alum of trade count, and a strength without "as".
func TestDryAlumAsItsAlumina(t *testing.T) {
	const jars = ",Turbidity NTU\n1,0,118\n2,10,70\n3,20,30\n4,30,9\n5,40,3.5\n"
	for _, text := range []string{"Jar,Alum mg/L as 17 % Al2O3" + jars, "Jar,Alum mg/L (as 17% Al2O3)" + jars} {
		res := mustRead(t, "t.csv", text, Options{})
		if got := res.Series[0].Chemicals[0].Basis; got != "as dry alum (17 % Al2O3)" {
			t.Errorf("%q: %s", text, got)
		}
	}
}
