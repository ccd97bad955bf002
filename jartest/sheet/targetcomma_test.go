package sheet

import (
	"slices"
	"testing"
)

// TestTargetsWithDecimalCommas: the number of a target is written as those of its sheet; one that can be two
// numbers is asked about.
func TestTargetsWithDecimalCommas(t *testing.T) {
	const german, english = "\nGlas;FeCl3 (mg/L);Trübung (NTU)\n1;0;4,1\n2;5;2,5\n3;10;0,8\n4;15;0,4\n", "\nJar,FeCl3 (mg/L),Turbidity (NTU)\n1,0,4.1\n2,5,2.5\n3,10,0.8\n4,15,0.4\n"
	for _, c := range []struct{ line, jars, want string }{
		{"Ziel: Trübung <= 0,5 NTU\n", german, "turbidity <= 0.5 NTU"},
		{"Target;turbidity <= 0,5 NTU\n", german, "turbidity <= 0.5 NTU"},
		{"Target;residual iron <= 0,2 mg/L\n", german + "\n", "residual fe <= 0.2 mg/L"},
		{"Zielwert Trübung;0,5 NTU\n", german, "turbidity <= 0.5 NTU"},
		{"Target;turbidity <= 1,250 NTU\n", german, "turbidity <= 1.25 NTU"},
		{"\"Target: turbidity <= 0,5 NTU, pH >= 6,5\"\n", english, "turbidity <= 0.5 NTU|ph >= 6.5"},
		{"Target,\"turbidity <= 1,500 NTU\"\n", english, "turbidity <= 1500 NTU"},
		{"Target;turbidity <= 1,250 NTU\n", "\nJar;FeCl3 (mg/L);Turbidity (NTU)\n1;0;41\n2;5;25\n3;10;8\n4;15;4\n", ""},
	} {
		r := mustRead(t, "s.csv", "Jar test\n"+c.line+c.jars, Options{})
		got := ""
		for i, x := range r.Series[0].Targets {
			if i > 0 {
				got += "|"
			}
			got += x.String()
		}
		if asks := slices.Contains(loud(r), "target-unclear"); got != c.want || asks != (c.want == "") {
			t.Errorf("%s: %q, want %q; says %v", c.line, got, c.want, loud(r))
		}
	}
}
