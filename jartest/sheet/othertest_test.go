package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest"
)

// TestRawWaterOfAnotherTest: raw water said of a test by its number is of that test alone; a sheet without it says so.
func TestRawWaterOfAnotherTest(t *testing.T) {
	const first = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4\n"
	const second = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,79\n2,10,33\n3,20,15\n4,30,6\n"
	const column = "Test,Jar,Alum (mg/L),Turbidity (NTU)\n1,1,0,44\n1,2,10,30\n1,3,20,12\n2,1,0,79\n2,2,10,33\n2,3,20,15\n"
	for text, want := range map[string]struct {
		raw  []float64
		asks bool
	}{
		"Jar test\nRaw water for the second test: 80 NTU\n\n" + first:                          {[]float64{0}, true},
		"Jar test\nRaw water of test 2: 80 NTU\n\n" + first:                                    {[]float64{0}, true},
		"Jar test\nRaw water for the first test: 45 NTU\n\n" + first:                           {[]float64{45}, false},
		"Jar test\nRaw water of this test: 45 NTU\n\n" + first:                                 {[]float64{45}, false},
		"Jar test\nRaw water of the jar test 12 May: 45 NTU\n\n" + first:                       {[]float64{45}, false},
		"Jar test\nRaw water of tank 2: 45 NTU\n\n" + first:                                    {[]float64{45}, false},
		"Test 2\nRaw water of test 2: 45 NTU\n\n" + first:                                      {[]float64{45}, false},
		"Jar test\nTest 3: raw water 45 NTU\n\n" + first:                                       {[]float64{45}, false},
		"Raw water of test 1: 45 NTU\nRaw water of test 2: 80 NTU\n\n" + first + "\n" + second: {[]float64{45, 80}, false},
		"Raw water for the second test: 80 NTU\n\nTest 1\n" + first + "\nTest 2\n" + second:    {[]float64{0, 80}, false},
		"Raw water of test 2: 80 NTU\n\n" + column:                                             {[]float64{0, 80}, false},
	} {
		r := mustRead(t, "s.csv", text, Options{})
		var got []float64
		for _, s := range r.Series {
			got = append(got, s.Raw[jartest.Turbidity].Value)
		}
		if !slices.Equal(got, want.raw) || slices.Contains(loud(r), "raw-of-other-test") != want.asks || !want.asks && len(loud(r)) > 0 {
			t.Errorf("%s: %v, want %v; says %v", text, got, want.raw, r.Notes)
		}
	}
}
