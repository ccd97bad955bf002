package templates

import (
	"bytes"
	"strings"
	"testing"
)

// TestPondSheetHasWhatGoesIn: of two chemicals the pond's row names one, 60 m3 x 20 g/m3 = 1.2 kg, three buckets of 400 g (as binary fractions 2.9999...) over 50 m2: each 16.67 m2. The other has no
// figure to change, and no cell of it.
func TestPondSheetHasWhatGoesIn(t *testing.T) {
	p := pondReport(t, `
place: {name: nursery, purpose: animals, water_passes: standing, example_values: "no"}
water: {turbidity: 40 NTU, pH: 7.5, alkalinity: 90 mg/L CaCO3, hardness: 100 mg/L, DOC: 2 mg/L, temperature: 20 C, salinity: 0 g/kg}
chemicals:
  - {name: gypsum, product: gypsum, dose: 20 mg/L, basis: as product, bucket: 400 g}
  - {name: lime, product: lime, dose: 4 mg/L, basis: as product, bucket: 400 g}
ponds:
  - {name: pond, volume: 60 m3, surface: 50 m2, chemical: gypsum}
`)
	var b bytes.Buffer
	if err := WriteBook(&b, p, Options{}); err != nil {
		t.Fatal(err)
	}
	_, all := openCells(t, b.Bytes())
	got := map[string]string{}
	for i, c := range all {
		if c.sheet == "Change it" && i+1 < len(all) {
			got[c.value] = all[i+1].value
			if strings.Contains(c.value, "Lime") {
				t.Errorf("%v", c)
			}
		}
	}
	for label, want := range map[string]string{"PRODUCT FOR THE POND": "1.2", "Buckets": "2.9999", "each covers, in a go": "16.6666"} {
		if !strings.HasPrefix(got[label], want) {
			t.Errorf("%s: %q, want %s", label, got[label], want)
		}
	}
	rows := p.Table().Rows
	if len(rows) != 1 || rows[0].Said("chemical") != "gypsum" {
		t.Errorf("%d rows", len(rows))
	}
}
