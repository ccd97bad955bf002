package words

import "testing"

// TestFigures: numbers in words before a unit are digits; before anything else they stay.
func TestFigures(t *testing.T) {
	for text, want := range map[string]string{
		"one-litre jars":               "1-litre jars",
		"two litre jars":               "2 litre jars",
		"half a litre":                 "0.5 litre",
		"jars of half a litre":         "jars of 0.5 litre",
		"half-litre jars":              "0.5-litre jars",
		"a quarter of a litre":         "0.25 litre",
		"three quarters of a litre":    "0.75 litre",
		"one and a half litres":        "1.5 litres",
		"2 and a half litres":          "2.5 litres",
		"one half litre":               "0.5 litre",
		"one percent weight by volume": "1 percent weight by volume",
		"half a percent":               "0.5 percent",
		"two hundred and fifty mL":     "250 mL",
		"ten grams in one litre":       "10 grams in 1 litre",
		"zehn Gramm je Liter":          "10 Gramm je Liter",
		"ein halber Liter":             "0.5 Liter",
		"zwei-Liter-Becher":            "2-Liter-Becher",
		"jarras de un litro":           "jarras de 1 litro",
		"uno por ciento":               "1 por ciento",
		"un demi-litre":                "0.5-litre",
		"deux litres":                  "2 litres",
		"dwa litry":                    "dwa litry", // the plural is no spelling of the unit
		"два литра":                    "2 литра",
		"satu liter":                   "1 liter",
		"dosis media mg/L":             "dosis media mg/L",
		"jar one, mL":                  "jar one, mL",
		"one jar":                      "one jar",
		"half strength":                "half strength",
		"5 mL":                         "5 mL",
		"the other one":                "the other one",
	} {
		if got := Figures(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestSharesInWords: what a share counts may be written out (1 % w/v is 10 g/L by definition).
func TestSharesInWords(t *testing.T) {
	for _, s := range []string{"percent weight by volume", "% mass per volume", "Prozent Gewicht pro Volumen", "por ciento peso por volumen", "% poids par volume", "% peso por volume"} {
		u, ok := OnlyUnit(s)
		if !ok || u.Kind != Conc || u.Factor != 1e4 {
			t.Errorf("%q: %v %v %v", s, ok, u.Kind, u.Factor)
		}
	}
	if u, _ := OnlyUnit("percent weight by weight"); u.Of != "w/w" {
		t.Errorf("percent weight by weight: %+v", u)
	}
	if u, _ := OnlyUnit("percent volume by volume"); u.Kind != Volper || u.Factor != 10 {
		t.Errorf("percent volume by volume: %+v", u)
	}
}
