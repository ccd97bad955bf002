package sheet

import "testing"

// Labels that number jars by a letter and a number are no units, whatever the letter stands for.
func TestLabelsThatLookLikeUnits(t *testing.T) {
	for letter := 'A'; letter <= 'Z'; letter++ {
		l := string(letter) + "-"
		r := mustRead(t, "s.csv", "Sample,Alum (mg/L),NTU\n"+l+"1,0,50\n"+l+"2,10,12\n"+l+"3,20,5\n", Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 3 || r.Series[0].Jars[1].Label != l+"2" {
			t.Errorf("%s: %v", l, r.Notes)
		}
	}
}
