package sheet

import (
	"slices"
	"testing"
)

// A test printed over two pages is asked about; a second test, whose doses begin anew, whose jars
// do, of other water or under a title of its own, is not.
func TestJarsRunOn(t *testing.T) {
	const head = "Jar,Alum (mg/L),Turbidity (NTU)\n"
	const first = head + "1,0,44\n2,10,33\n3,20,21\n4,30,12\n\n"
	for sheet, asks := range map[string]bool{
		first + head + "5,40,6.3\n6,50,3.1\n7,60,2.4\n8,70,2.8\n":                                           true,
		"Beck,Page 1/2\n" + first + "Beck,Page 2/2\n" + head + "5,40,6.3\n6,50,3.1\n7,60,2.4\n":             true,
		first + head + "5,0,60\n6,10,50\n7,20,40\n8,30,20\n":                                                false,
		first + head + "1,40,6.3\n2,50,3.1\n3,60,2.4\n4,70,2.8\n":                                           false,
		"Raw turbidity (NTU),44\n" + first + "Raw turbidity (NTU),90\n" + head + "5,40,9\n6,50,6\n7,60,4\n": false,
		"Beck\n" + first + "Pond\n" + head + "5,40,6.3\n6,50,3.1\n7,60,2.4\n":                               false,
		first + "Jar,Ferric chloride (mg/L),Turbidity (NTU)\n5,40,6.3\n6,50,3.1\n7,60,2.4\n":                false,
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 2 || slices.Contains(loud(r), "jars-run-on") != asks {
			t.Errorf("%s: %d series, says %v", sheet, len(r.Series), loud(r))
		}
	}
}
