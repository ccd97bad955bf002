package site

import (
	"math"
	"strings"
	"testing"
)

// TestGoodsByVolume: packs, stores and room in gallons or litres are weighed by the
// density of the label, else of the catalogue, wherever the chemicals stand in the file.
// 275 gal x 3.785411784 L x 1.335 kg/L = 1389.71 kg; 11.1 lb/gal is 1.33007 kg/L.
func TestGoodsByVolume(t *testing.T) {
	site := func(density, pack string) string {
		chemical := "chemicals:\n  - name: alum\n    product: alum-liquid\n    dose: 12 mg/L\n    basis: as product\n"
		if density != "" {
			chemical += "    density: " + density + "\n"
		}
		return "prices:\n  - chemical: alum\n    price: 0.3 USD/lb\n    pack: " + pack + "\n    on_hand: 500 gal\n    room_for: 4000 L\n" + chemical +
			"place:\n  name: works\n  purpose: other\n  water_passes: once through\n  example_values: no\n"
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s: %v kg, want %v", what, got, want)
		}
	}
	s, err := Read("site.yaml", strings.NewReader(site("1.335 kg/L", "275 gal")))
	if err != nil {
		t.Fatal(err)
	}
	near("a tote", float64(s.Prices[0].Pack.V), 275*3.785411784*1.335)
	near("a tote by volume", float64(s.Prices[0].PackVolume.V), 275*3.785411784)
	near("on hand", float64(s.Prices[0].OnHand.V), 500*3.785411784*1.335)
	near("room", float64(s.Prices[0].Room.V), 4000*1.335)
	if s.Prices[0].Pack.At.Cell != "line 4, column 11" {
		t.Errorf("the tote stands at %v", s.Prices[0].Pack.At)
	}
	s, err = Read("site.yaml", strings.NewReader(site("11.1 lb/gal", "275 gal")))
	if err != nil {
		t.Fatal(err)
	}
	near("a tote by the label", float64(s.Prices[0].Pack.V), 275*11.1*0.45359237)
	s, err = Read("site.yaml", strings.NewReader(site("", "1000 L")))
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(s.Prices[0].Pack.V); got < 1200 || got > 1400 { // 48 % alum is 1.32 to 1.34 kg/L
		t.Errorf("a tote by the catalogue: %v kg", got)
	}
	dry := strings.Replace(site("", "275 gal"), "alum-liquid", "alum-dry", 1)
	if _, err := Read("site.yaml", strings.NewReader(dry)); err == nil || !strings.Contains(err.Error(), `pack: "275 gal" of "alum" is a volume, and its density is not known`) {
		t.Errorf("gallons of a powder: %v", err)
	}
}

// TestMissingIsNamed: what lacks a value is called by its name.
func TestMissingIsNamed(t *testing.T) {
	text := "place:\n  name: works\n  purpose: other\n  water_passes: once through\n  example_values: no\nchemicals:\n  - name: alum\n    dose: 12 mg/L\nprices:\n  - chemical: alum\n    pack: 25 kg\n"
	_, err := Read("site.yaml", strings.NewReader(text))
	if want := `basis of the chemical "alum" is missing`; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%v lacks %q", err, want)
	}
	if err != nil && strings.Contains(err.Error(), "price") { // what has none is left out of the cost, and named there
		t.Errorf("a row of goods without a price is refused: %v", err)
	}
}
