package main

import "testing"

// TestUSOnly: answers are in US units where the command line tells its water in some and in no others, or,
// where it tells of none, anything; what both write alike tells nothing.
func TestUSOnly(t *testing.T) {
	for _, x := range []struct {
		line []string
		want bool
	}{
		{[]string{"restock", "--residual", "2 mg/L", "--volume", "900 gal", "--flow", "5 gpm"}, true},
		{[]string{"plan", "--pond", "3 acre-ft", "--dose", "8 lb/acre-ft", "--bag=50lb"}, true},
		{[]string{"plan", "--pond", "60 x 40 x 4 ft", "--dose", "20 mg/L", "--temperature", "68 F"}, true},
		{[]string{"plan", "--pond", "1.5 acre x 4 ft", "--dose", "25 g/m3"}, true},
		{[]string{"plan", "--flow", "35 gpm", "--density", "1.335 kg/L"}, true},
		{[]string{"plan", "--flow=35 gpm", "--pump-max", "10 L/h"}, true}, {[]string{"plan", "--flow", "3.6 m3/h", "--pump-max", "5 gpd"}, false},
		{[]string{"clarify", "--volume", "60 m3", "--flow", "50 gpm"}, false}, {[]string{"restock", "--limit", "1 oz", "--drain", "80 L"}, false},
		{[]string{"plan", "--flow", "35 gpm", "--dose", "12.5 mg/L as alum 14-hydrate", "--alkalinity", "90 mg/L CaCO3", "--hours", "8 h"}, true},
		{[]string{"restock", "--residual", "2 mg/L", "--volume", "900 imp gal"}, false},
		{[]string{"restock", "--residual", "2 mg/L", "--limit", "1 mg/L"}, false},
		{[]string{"plan", "--flow", "3.6 m3/h"}, false}, {nil, false},
	} {
		if got := usOnly(x.line); got != x.want {
			t.Errorf("%q: %v", x.line, got)
		}
	}
}
