package sheet

import "testing"

// Tests of one table, told apart by a column, repeat nothing, though each reading of one stands in others.
func TestTestsOfOneTableAreNoSummaries(t *testing.T) {
	const table = "test,dose (mg/L),turbidity (NTU)\n" +
		"a,0,50\na,10,20\na,20,8\na,30,4\na,40,3\n" +
		"b,0,48\nb,10,21\nb,20,9\nb,30,5\nb,40,4\n" +
		"c,0,50\nc,10,21\nc,20,8\nc,30,5\nc,40,3\n"
	r := readText(t, table)
	if len(r.Series) != 3 {
		t.Fatalf("%d series: %v", len(r.Series), r.Notes)
	}
	for _, n := range r.Notes {
		if n.Code == "repeated-series" {
			t.Error(n)
		}
	}
}
