package product

import (
	"strings"
	"testing"
)

// A card has the words of every product of the catalogue, and none of the codes.
func TestDangerIsInWords(t *testing.T) {
	for _, p := range Default().All() {
		got := p.Danger().String()
		if statement.MatchString(got) || p.Hazard.Text != "" && strings.TrimSpace(got) == "" {
			t.Errorf("%s: %q", p.ID, got)
		}
	}
	for id, want := range map[string]string{
		"alum-liquid":    "serious eye damage, attacks metals",
		"bicarbonate":    "none; dust nuisance",
		"cpam-dry":       "spills are very slippery when wet, dust can explode, harmful to water life in clear water",
		"ferric-sulfate": "corrodes metal, harmful if swallowed, burns skin and eyes, irritates skin, serious eye damage", // H290, H302, H314, H315, H318
	} {
		p, err := Default().Find(id)
		if err != nil || p.Danger().String() != want {
			t.Errorf("%s: %q (%v), want %q", id, p.Danger().String(), err, want)
		}
	}
}
