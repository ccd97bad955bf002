package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A mass in each jar is a dose only where the jar's volume is stated: 20 mg in 2 L are 10 mg/L. Volumes that
// contradict, or none, are asked about; those of a column count jar by jar.
func TestMassPerJar(t *testing.T) {
	const head, rows = "Jar,Alum (mg per jar),NTU", "\n1,10,30\n2,20,12\n3,40,5\n"
	for sheet, want := range map[string]struct {
		doses []float64
		code  string
	}{
		head + rows:                        {nil, "jar-volume-missing"},
		"Jar volume,2 L\n\n" + head + rows: {[]float64{5, 10, 20}, ""},
		"Jar,Volume (mL),Alum (mg per jar),NTU\n1,500,10,30\n2,500,20,12\n3,500,40,5\n":                     {[]float64{20, 40, 80}, ""},
		"Jar,Volume (mL),Alum (mg per jar),NTU\n1,500,10,30\n2,1000,20,12\n3,2000,40,5\n":                   {[]float64{20, 20, 20}, ""},
		"Jar volume,1 L\n\nJar,Volume (mL),Alum (mg per jar),NTU\n1,500,10,30\n2,500,20,12\n3,500,40,5\n":   {nil, "facts-disagree"},
		"Jar volume,4 L\n\nJar,Volume (mL),Alum (mg per jar),NTU\n1,500,10,30\n2,1000,20,12\n3,2000,40,5\n": {[]float64{20, 20, 20}, ""},
	} {
		r, err := Read("t.csv", strings.NewReader(sheet), Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []float64
		if len(r.Series) == 1 && r.Notes.Err() == nil {
			for _, j := range r.Series[0].Jars {
				got = append(got, float64(j.Doses[0].Concentration))
			}
		}
		near := len(got) == len(want.doses)
		for i := range got {
			near = near && math.Abs(got[i]-want.doses[i]) < 1e-9
		}
		said := func(n note.Note) bool { return n.Code == want.code }
		if !near || want.code != "" && !slices.ContainsFunc(r.Notes, said) {
			t.Errorf("%s: %v, want %v and %q; %v", sheet, got, want.doses, want.code, r.Notes)
		}
	}
}

// Numbers right of a dose that nothing heads are asked about at the dose, with how many there are.
func TestColumnsWithoutHeading(t *testing.T) {
	r, err := Read("t.csv", strings.NewReader("Jar,Batch,Alum (mg/L),,,\n1,a,10,30,28,27\n2,a,20,12,11,13\n3,a,40,5,4,6\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(r.Notes, func(n note.Note) bool { return n.Code == "headless-columns" })
	if i < 0 || r.Notes[i].Level != note.Error || r.Notes[i].Cell != "C1" || !strings.HasPrefix(r.Notes[i].Message, `3 columns of numbers right of "Alum (mg/L)"`) {
		t.Errorf("%v", r.Notes)
	}
}

// A column of strengths needs volumes of its own chemical, or of one that nobody names.
func TestVolumesForStrengths(t *testing.T) {
	of := func(chem string, kind words.Kind, n int) field {
		return field{Column: layout.Column{Head: layout.Heading{Chem: chem, Unit: words.Unit{Kind: kind}}}, numbers: n}
	}
	for _, x := range []struct {
		own, chem string
		kind      words.Kind
		n         int
		want      bool
	}{
		{"alum", "alum", words.Volume, 3, true}, {"alum", "", words.Volume, 3, true}, {"", "alum", words.Volume, 3, true},
		{"alum", "polymer", words.Volume, 3, false}, {"alum", "alum", words.Volume, 0, false}, {"alum", "alum", words.Conc, 3, false},
	} {
		if got := volumeFor([]field{of(x.own, words.Conc, 3), of(x.chem, x.kind, x.n)}, 0); got != x.want {
			t.Errorf("strengths of %q beside %v of %q: %v", x.own, x.kind, x.chem, got)
		}
	}
	if volumeFor([]field{of("alum", words.Volume, 3)}, 0) {
		t.Error("a column is no volume for itself")
	}
}

// "Result" alone is turbidity wherever its column stands, and said to be; without doses nothing is assumed.
func TestResultIsTurbidity(t *testing.T) {
	for sheet, assumed := range map[string]bool{
		"Result,Alum (mg/L)\n30,10\n12,20\n5,40\n": true, "Jar,Alum (mg/L),Result\n1,10,30\n2,20,12\n3,40,5\n": true,
		"Jar,Alum (mg/L),Result (NTU)\n1,10,30\n2,20,12\n3,40,5\n": false,
	} {
		r := mustRead(t, "t.csv", sheet, Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 30 || slices.Contains(loud(r), "reading-assumed") != assumed {
			t.Errorf("%s: %v", sheet, r.Notes)
		}
	}
}

// A raw reading on a bound of what can be is taken, one beside it is not: pH 0 to 14 and alkalinity from 0 on
// (jartest's table of readings), an absorbance up to 4 a cm, an alkalinity without a unit from 25 on without a word.
func TestRawReadingsAtTheirBounds(t *testing.T) {
	for line, want := range map[string]struct {
		key   jartest.Key
		taken bool
		code  string
	}{
		"Raw pH,14": {jartest.PH, true, ""}, "Raw pH,14.1": {jartest.PH, false, "impossible-value"}, "Raw pH,0": {jartest.PH, true, ""},
		"Raw UV254 (1/cm),4": {jartest.UV254, true, ""}, "Raw UV254 (1/cm),4.1": {jartest.UV254, false, "raw-unlikely"},
		"Raw alkalinity,25": {jartest.AlkalinityKey, true, ""}, "Raw alkalinity,24": {jartest.AlkalinityKey, true, "raw-unit"},
		"Raw alkalinity (mg/L CaCO3),24": {jartest.AlkalinityKey, true, ""},
	} {
		r, err := Read("t.csv", strings.NewReader(line+"\n\nJar,Alum (mg/L),NTU\n1,10,30\n2,20,12\n3,40,5\n"), Options{})
		if err != nil || len(r.Series) != 1 {
			t.Fatalf("%s: %v, %v", line, err, r.Notes)
		}
		said := slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == want.code })
		any := slices.ContainsFunc(r.Notes, func(n note.Note) bool {
			return slices.Contains([]string{"impossible-value", "raw-unlikely", "raw-unit"}, n.Code)
		})
		if _, taken := r.Series[0].Raw[want.key]; taken != want.taken || said != (want.code != "") || any != said {
			t.Errorf("%s: taken %v, want %v and %q; %v", line, taken, want.taken, want.code, r.Notes)
		}
	}
}

// A number below the name of what an answer hangs on is its value as one beside it is; in a column of
// the table it is a reading, below what bears on nothing it is nothing, and below two names it is asked about.
func TestValueBelowItsName(t *testing.T) {
	const plain = "\nJar,Alum (mL),Turbidity (NTU)\n1,10,30\n2,20,12\n3,40,5\n"
	const facts = "Stock: 10 g/L\nJar volume: 1 L\n\n"
	for sheet, want := range map[string]struct {
		raw, dose, target float64
		code              string
	}{
		facts + "Raw turbidity (NTU)\n46\n" + plain: {46, 100, 0, ""}, facts + "Raw turbidity:\n46\n" + plain: {46, 100, 0, ""},
		facts + "x,Raw turbidity (NTU)\n,46\n" + plain: {46, 100, 0, ""}, facts + "Raw turbidity (NTU),46\n" + plain: {46, 100, 0, ""},
		"Jar volume: 1 L\n\nStock strength (g/L)\n5\n" + plain: {0, 50, 0, ""}, "Stock: 10 g/L\n\nJar volume (L)\n2\n" + plain: {0, 50, 0, ""},
		facts + "Target turbidity (NTU)\n5\n" + plain: {0, 100, 5, ""},
		facts + "Page\n3\n" + plain:                   {0, 100, 0, ""}, facts + plain: {0, 100, 0, ""},
		facts + "Raw turbidity (NTU),Target turbidity (NTU)\n46,5\n" + plain: {46, 100, 5, ""},
		facts + "Raw turbidity (NTU),46\n45,\n" + plain:                      {46, 100, 0, "?"},
	} {
		r := mustRead(t, "t.csv", sheet, Options{})
		if len(r.Series) != 1 {
			t.Fatalf("%s: %v", sheet, r.Notes)
		}
		s := r.Series[0]
		target := 0.0
		if len(s.Targets) == 1 {
			target = s.Targets[0].Value
		}
		if got := s.Raw[jartest.Turbidity].Value; got != want.raw || doses(s, 0)[0] != want.dose || target != want.target || want.code == "" && len(loud(r)) > 0 {
			t.Errorf("%s: raw %g, dose %g, target %g; %v", sheet, got, doses(s, 0)[0], target, r.Notes)
		}
	}
}
