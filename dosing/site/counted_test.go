package site

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestWhatDosesCount: a dose that says what it counts is held to the basis of its chemical, wherever it stands: 1 mg/L as Al is
// 594.342/(2 x 26.982) = 11.0 times as much as 1 mg/L as alum 14-hydrate.
func TestWhatDosesCount(t *testing.T) {
	const text = `place: {name: works, purpose: other, water_passes: standing, example_values: "no"}
chemicals: [{name: alum, product: alum-liquid, dose: DOSE, dose_low: LOW, dose_in_storm_water: STORM, basis: as alum 14-hydrate}]
ponds: [{name: one, volume: 60 m3, chemical: "alum, lime", dose: POND}]
seasons: [{months: March-April, chemical: alum, dose: SEASON}]
`
	for _, x := range []struct{ field, dose, says string }{
		{"DOSE", "12 mg/L as alum 14-hydrate", ""}, {"DOSE", "1 mg/L as Al", "the dose of alum counts as Al, and its basis is as alum 14-hydrate"},
		{"LOW", "1 mg/L as Al", "the dose low of alum counts as Al"}, {"STORM", "25 mg/L as product", "the dose in storm water of alum counts as product"},
		{"POND", "1 mg/L as Al", "the dose of alum counts as Al"}, {"POND", "12 mg/L as alum 14-hydrate", ""}, {"SEASON", "1 mg/L as Al", "the dose of alum counts as Al"},
	} {
		of := text
		for _, f := range []string{"DOSE", "LOW", "STORM", "POND", "SEASON"} {
			own := map[string]string{"LOW": "11 mg/L", "STORM": "20 mg/L"}[f]
			if own == "" {
				own = "12 mg/L"
			}
			if f == x.field {
				own = x.dose
			}
			of = strings.Replace(of, f, own, 1)
		}
		_, err := Read("s.yaml", strings.NewReader(of))
		var got []string
		for _, n := range note.Of(err, "none") {
			if n.Code == "basis-twice" {
				got = append(got, n.Message)
			}
		}
		if said := strings.Join(got, "; "); !strings.HasPrefix(said, x.says) || (said == "") != (x.says == "") || len(got) > 1 {
			t.Errorf("%s %s: %q, want %q", x.field, x.dose, said, x.says)
		}
	}
	// what is said outside a file is held to it too, and gives the basis where there is none
	var s Site
	if err := s.Put("Chemicals", 0, "dose", "1 mg/L as Al", "", note.Place{}); err != nil || s.Chemicals[0].Basis.V != quantity.AsAl {
		t.Errorf("%v, %v", s.Chemicals, err)
	}
	if err := s.Put("Chemicals", 0, "dose high", "14 mg/L as product", "", note.Place{}); err == nil {
		t.Error("another basis is taken")
	}
}
