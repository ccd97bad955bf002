package sheet

import (
	"slices"
	"testing"
)

// A target on a column is found by the column's own name or by another for its reading, in the table of the jars or in one
// that was joined to it; of a transmittance it asks at least. A reading that no column has is told.
func TestTargetOnAJoinedColumn(t *testing.T) {
	const jars = "Jar,Alum (mg/L),Turbidity (NTU)\n1,10,31\n2,20,14\n3,30,6.2\n4,40,3.1\n5,50,2.4\n6,60,2.9\n\n"
	const more = "Jar,UVT (%)\n1,50\n2,60\n3,66\n4,70\n5,72\n6,72\n"
	const both = "Jar,Alum (mg/L),UVT (%)\n1,10,50\n2,20,60\n3,30,66\n4,40,70\n"
	for sheet, want := range map[string]string{
		"Target UVT,70 %\n\n" + jars + more: "uvt >= 70 %", "Target UVT,70 %\n\n" + both: "uvt >= 70 %", "Target transmittance,>= 70 %\n\n" + both: "uvt >= 70 %",
		"Target UVT,70 %\n\n" + jars: "", "Target wibble,70 %\n\n" + jars + more: "",
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%q: %d series, %v", sheet, len(r.Series), r.Notes)
			continue
		}
		var reads []string
		for _, x := range r.Series[0].Targets {
			if got, err := r.Series[0].Reads(x); err == nil {
				reads = append(reads, got.String())
			}
		}
		told := slices.ContainsFunc(loud(r), func(c string) bool { return c == "target-unknown" || c == "target-unclear" })
		if want == "" && !told || want != "" && (!slices.Equal(reads, []string{want}) || len(loud(r)) > 0) {
			t.Errorf("%q: targets %v, says %v; want %q", sheet, reads, loud(r), want)
		}
	}
}
