package site

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestStrengthOfStock: 5 % w/v is 5 g in 100 mL, 50 g/L, and an ounce in a
// gallon what SP 811 makes of either; by mass and bare it is asked about.
func TestStrengthOfStock(t *testing.T) {
	for text, want := range map[string]quantity.Concentration{"50 g/L": 50000, "5 % w/v": 50000, "0.5 % (w/v)": 5000, "12.5% m/v": 125000, "20 mg/mL": 20000,
		"8 oz/gal": 8 * 28349.523125 / 3.785411784} {
		if got, err := parseStrength(text); err != nil || got < want*(1-1e-12) || got > want*(1+1e-12) {
			t.Errorf("%s is %v, want %v (%v)", text, got, want, err)
		}
	}
	for text, says := range map[string]string{
		"5 % w/w": "give the density of the made-up stock, or grams per litre: 50.00 g/L times its density", "5 % by mass": "50.00 g/L times its density",
		"5 %": `write "5 % w/v" where a litre of stock holds 50 g/L`, "5 % v/v": "by mass or by volume", "5": "unit", "five": "number",
	} {
		if got, err := parseStrength(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
}

// TestStrengthByMass: of a stock of 5 % by mass that weighs 1.03 kg/L a litre holds 51.5 g, in a row, in a cell with its unit beside,
// and by flags; 10 lb/gal are 1.198264 kg/L (SP 811), so 59.9132 g. Without the density it is asked for.
func TestStrengthByMass(t *testing.T) {
	for _, x := range []struct {
		strength, density string
		want              float64
	}{{"5 % w/w", "1.03 kg/L", 51500}, {"5% by weight", "1.03 kg/L", 51500}, {"5 % (m/m)", "10 lb/gal", 59913.2}, {"5 % w/v", "1.03 kg/L", 50000}, {"5 % w/w", "", 0}} {
		row := map[string]string{"name": "stock", "product in stock": x.strength}
		if x.density != "" {
			row["density"] = x.density
		}
		var s Site
		var b bytes.Buffer
		err := WriteYAML(&b, Values{"Stocks": {row}})
		if err == nil {
			s, err = Read("site.yaml", &b)
		}
		var flags Site
		var told error
		if x.density != "" {
			told = flags.Put("Stocks", 0, "density", x.density, "", note.Place{})
		}
		if told == nil {
			told = flags.Put("Stocks", 0, "product in stock", x.strength, "", note.Place{})
		}
		if x.want == 0 {
			for _, err := range []error{err, told} {
				if err == nil || !strings.Contains(err.Error(), "give the density of the made-up stock") {
					t.Errorf("%v", err)
				}
			}
			continue
		}
		for where, got := range map[string]Site{"row": s, "flags": flags} {
			if where == "row" && err != nil && !strings.Contains(err.Error(), "missing") {
				t.Error(err)
			}
			if len(got.Stocks) != 1 || math.Abs(float64(got.Stocks[0].Product.V)/x.want-1) > 1e-6 {
				t.Errorf("%s, %s of %s: %v, want %g (%v, %v)", where, x.strength, x.density, got.Stocks, x.want, err, told)
			}
		}
	}
}

// TestStrengthByMassAsAnswered: the same as answers that name their fields, by the row's name and by its number; 5 % of 1.03 kg/L.
func TestStrengthByMassAsAnswered(t *testing.T) {
	for _, row := range []string{"alum stock", "1"} {
		var f ShortForm
		if _, err := f.Named("Stocks, " + row + " | product in stock | 5 % w/w"); err == nil {
			t.Errorf("%s: taken without a density", row)
		}
		for _, line := range []string{"density | 1.03 kg/L", "product in stock | 5 % w/w"} {
			if _, err := f.Named("Stocks, " + row + " | " + line); err != nil {
				t.Errorf("%s: %s: %v", row, line, err)
			}
		}
		var b bytes.Buffer
		if err := WriteYAML(&b, f.Values); err != nil {
			t.Fatal(err)
		}
		if s, _ := Read("site.yaml", &b); len(s.Stocks) != 1 || math.Abs(float64(s.Stocks[0].Product.V)-51500) > 1e-6 {
			t.Errorf("%s: %+v", row, s.Stocks)
		}
	}
}

// TestMarksOfKnobs: per cent, revolutions, hertz and marks are told apart.
func TestMarksOfKnobs(t *testing.T) {
	for text, want := range map[string]Knob{"38 %": {38, ""}, "45 rpm": {45, "rpm"}, "22.5 Hz": {22.5, "Hz"}, "4.5 marks": {4.5, "marks"}, "4 div": {4, "marks"}, "30 r/min": {30, "rpm"},
		"60 strokes/min": {60, "strokes/min"}, "90 spm": {90, "strokes/min"}} {
		if got, err := parseKnob(text); err != nil || got != want {
			t.Errorf("%s: %v %v", text, got, err)
		}
	}
	for _, bad := range []string{"45", "45 mL", "-3 rpm", "fast"} {
		if got, err := parseKnob(bad); err == nil {
			t.Errorf("%s passes as %v", bad, got)
		} else if told := strings.Contains(err.Error(), `"4.5 marks"`); told != strings.HasPrefix(bad, "45") {
			t.Errorf("%s: %v", bad, err)
		}
	}
	for text, ok := range map[string]bool{"100 rpm": true, "50 Hz": true, "100 %": false, "0 rpm": false, "x": false} {
		if _, err := parseScale(text); (err == nil) != ok {
			t.Errorf("scale %s: %v", text, err)
		}
	}
}
