package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest"
)

// TestTargetInSeveralCells: the cells right of a target's name are one target, with its time, its sign and its unit, or several; none is
// a reading of the raw water, and what follows under a name of its own is.
func TestTargetInSeveralCells(t *testing.T) {
	for line, want := range map[string]struct {
		targets []string
		raw     float64
	}{
		"Target,turbidity <= 3 NTU,10 min":                {[]string{"turbidity at 10 min <= 3 NTU"}, 0},
		"Target,turbidity <= 3 NTU,after 5 min":           {[]string{"turbidity at 5 min <= 3 NTU"}, 0},
		"Target turbidity,<= 3 NTU,10 min":                {[]string{"turbidity at 10 min <= 3 NTU"}, 0},
		"Target turbidity,3,NTU,10 min":                   {[]string{"turbidity at 10 min <= 3 NTU"}, 0},
		"Target,turbidity,<= 3,NTU":                       {[]string{"turbidity <= 3 NTU"}, 0},
		"Target,turbidity <= 3 NTU,pH >= 6.5":             {[]string{"turbidity <= 3 NTU", "ph >= 6.5"}, 0},
		"Target,turbidity <= 3 NTU,pH >= 6.5,after 5 min": {[]string{"turbidity at 5 min <= 3 NTU", "ph >= 6.5"}, 0},
		"Target,turbidity removal,>= 90,%":                {[]string{"turbidity removal >= 90 %"}, 0},
		"Target,turbidity <= 3 NTU,Raw turbidity,45 NTU":  {[]string{"turbidity <= 3 NTU"}, 45},
		"Target,turbidity,3,NTU":                          {nil, 0}, // at most or at least
		"Target,turbidity <= 3 NTU,5 min,10 min":          {nil, 0}, // which of the two
	} {
		r := mustRead(t, "s.csv", "Jar test\n"+line+"\n\nJar,Alum (mg/L),Turbidity 5 min (NTU),Turbidity 10 min (NTU)\n1,0,44,43\n2,10,30,25\n3,20,12,9\n4,30,4.5,2.5\n", Options{})
		var got []string
		for _, x := range r.Series[0].Targets {
			got = append(got, x.String())
		}
		others := slices.DeleteFunc(loud(r), func(c string) bool { return c == "settling-times" })
		if raw := r.Series[0].Raw[jartest.Turbidity].Value; !slices.Equal(got, want.targets) || raw != want.raw || slices.Contains(others, "target-unclear") != (want.targets == nil) || len(others) > 1 {
			t.Errorf("%s: %q, raw %g; says %v", line, got, raw, r.Notes)
		}
	}
}
