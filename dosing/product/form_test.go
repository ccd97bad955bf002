package product

import (
	"slices"
	"testing"
)

// TestFormByName: a name that says powder, crystals or liquid, in any language of the sheets, means the product of that form, and
// none where the catalogue has none of it; a name without one means what it meant.
func TestFormByName(t *testing.T) {
	for name, want := range map[string][]string{
		"ferric chloride crystals":        {"ferric-chloride-dry"}, // also only of its liquid: the same salt, dry
		"ferric chloride powder":          {"ferric-chloride-dry"},
		"Eisenchlorid-Kristalle":          {"ferric-chloride-dry"},
		"PAC (powder, 30 % Al2O3)":        {"pacl-dry"},
		"polvo de PAC":                    {"pacl-dry"},
		"PACl granules":                   {"pacl-dry"},
		"聚合氯化铝粉末":                         {"pacl-dry"},
		"liquid PACl":                     {"pacl-10"}, // also of the name without its form
		"dry aluminium chloride":          {"alcl3-dry"},
		"anionic polymer granules":        {"apam-dry"},
		"anionic polymer emulsion":        {"apam-emulsion"},
		"liquid alum":                     {"alum-liquid"},
		"alum powder":                     {"alum-dry"},
		"caustic soda flakes":             nil, // a liquid of 50 % there
		"chitosan powder":                 nil,
		"ferric sulfate powder":           nil, // polyferric sulfate is another: its acid differs
		"ACH powder":                      nil,
		"polymer powder":                  nil,
		"sodium bicarbonate powder":       {"bicarbonate"},
		"dry":                             nil,
		"powder":                          nil,
		"ferric chloride":                 {"ferric-chloride"},
		"ferric chloride as dry crystals": {"ferric-chloride-dry"},
		"not dry ferric chloride":         nil,
	} {
		var got []string
		for _, p := range Default().Called(name) {
			got = append(got, p.ID)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: %v, want %v", name, got, want)
		}
	}
}
