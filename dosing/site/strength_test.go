package site

import (
	"strings"
	"testing"

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
		"5 % w/w": "50.00 g/L times the stock's density", "5 % by mass": "50.00 g/L times the stock's density",
		"5 %": `write "5 % w/v" where a litre of stock holds 50 g/L`, "5 % v/v": "by mass or by volume", "5": "unit", "five": "number",
	} {
		if got, err := parseStrength(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, %v", text, got, err)
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
