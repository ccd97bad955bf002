package dosing

import (
	"strings"
	"testing"
)

// TestHalfLifeOfMetal: metal does not break down, so a half-life given for it is not let pass without a word; that of a polymer is used.
func TestHalfLifeOfMetal(t *testing.T) {
	for _, x := range []struct {
		swap []string
		told bool
	}{
		{[]string{"    basis: as product\n", "    basis: as product\n    half_life_in_the_water: 2 d\n"}, false},
		{[]string{"    product: apam-dry\n", "    product: alum-dry\n    half_life_in_the_water: 2 d\n"}, true},
		{[]string{"    product: apam-dry\n", "    product: alum-dry\n"}, false},
	} {
		s := strings.Replace(base, x.swap[0], x.swap[1], 1)
		p, err := planned(t, x.swap...)
		n, ok := noted(p.Notes, "half-life-of-metal")
		if err != nil || ok != x.told || ok && (!strings.HasPrefix(n.Cell, lineOf(s, "half_life_in_the_water: 2 d")+",") || !strings.Contains(n.Message, "Al settles or stays")) {
			t.Errorf("%q: %v %v", x.swap[1], n, err)
		}
	}
}
