package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		code  string
		want  string // must be in the message or in what it says to do
	}{
		{reader(Parse[Flow]), "2", "unit-missing", `flow "2" has no unit`},
		{reader(Parse[Flow]), "2", "unit-missing", `write it like "3.6 m3/h" (m3/h, m3/d, m3/min, m3/s, L/s, L/min, L/h, L/d, mL/min, mL/h, `},
		{reader(Parse[Flow]), "", "bad-flow", "is empty"},
		{reader(Parse[Flow]), " \u00a0 ", "bad-flow", "is empty"},
		{reader(Parse[Flow]), "two m3/h", "bad-flow", "does not start with a number"},
		{reader(Parse[Flow]), "m3/h", "bad-flow", `write it like "3.6 m3/h"`},
		{reader(Parse[Flow]), "2 gpmm", "unit-unknown", `did you mean "gpm"`},
		{reader(Parse[Flow]), "2 kg", "unit-unknown", "use one of m3/h, m3/d, "},
		{reader(Parse[Flow]), "1,234 m3/h", "bad-flow", `the comma in "1,234" can mean thousands or decimals`},
		{reader(Parse[Flow]), "1 234 m3/h", "unit-unknown", `"234 m3/h" is not known`},
		{reader(Parse[FeedRate]), "10", "unit-missing", `feed rate "10" has no unit`},
		{reader(Parse[FeedRate]), "ten", "bad-feed-rate", `write it like "10 L/h"`},
		{reader(Parse[Mass]), "NaN kg", "bad-mass", "does not start with a number"},
		{reader(Parse[Mass]), "1e999 kg", "bad-mass", "does not start with a number"},
		{reader(Parse[Mass]), "-1e999 kg", "bad-mass", "does not start with a number"},
		{reader(Parse[Mass]), "+-3 kg", "bad-mass", "does not start with a number"},
		{reader(Parse[Mass]), "1.2.3 kg", "bad-mass", "does not start with a number"},
		{reader(Parse[Mass]), "5 L", "unit-unknown", "use one of kg, g, mg, t, lb, oz, short ton, long ton"},
		{reader(Parse[Fraction]), "148 %", "bad-percentage", `"148 %" is outside 0 to 100 %`},
		{reader(Parse[Fraction]), "-0.1 %", "bad-percentage", "outside 0 to 100"},
		{reader(Parse[Fraction]), "0.4", "unit-missing", `share "0.4" has no unit`},
		{reader(Parse[Setting]), "101 %", "bad-setting", `setting "101 %" is outside 0 to 100 %`},
		{reader(Parse[Setting]), "-1 %", "bad-setting", "outside 0 to 100"},
		{reader(Parse[Density]), "0 kg/L", "bad-density", `density "0 kg/L" must be above zero`},
		{reader(Parse[Density]), "-1 kg/L", "bad-density", "above zero"},
		{reader(Parse[Salinity]), "50.1 ppt", "bad-salinity", `salinity "50.1 ppt" is outside 0 to 50 g/kg`},
		{reader(Parse[Salinity]), "-0.1 ppt", "bad-salinity", "outside 0 to 50"},
		{reader(ParsePH), "14.1", "bad-ph", `pH "14.1" is outside 0 to 14`},
		{reader(ParsePH), "-0.1", "bad-ph", "outside 0 to 14"},
		{reader(ParsePH), "7.6 mg/L", "bad-ph", "is not a number"},
		{reader(ParsePH), "neutral", "bad-ph", `write it like "7.6"`},
		{reader(Parse[Volume]), "bucket", "bad-volume", `write it like "200 L"`},
		{reader(Parse[MassRate]), "1.2 kg", "unit-unknown", `"kg" is not known`},
		{reader(Parse[Concentration]), "12.5", "unit-missing", "no unit"},
		{reader(Parse[Time]), "24", "unit-missing", `write it like "45 min"`},
		{reader(Parse[Alkalinity]), "60", "unit-missing", `write it like "60 mg/L CaCO3"`},
		{reader(Parse[Length]), "1.2", "unit-missing", `write it like "1.2 m"`},
		{reader(Parse[Area]), "1.5 m", "unit-unknown", "use one of m2, cm2, ft2"},
		{reader(Parse[Loading]), "8 m", "unit-unknown", `surface loading "8 m"`},
		{reader(Parse[SolidsLoading]), "5 kg", "unit-unknown", `solids loading "5 kg"`},
		{reader(Parse[Pressure]), "450", "unit-missing", `write it like "450 kPa"`},
		{reader(Parse[Power]), "120", "unit-missing", `write it like "120 W"`},
		{reader(Parse[Rotation]), "100", "unit-missing", `write it like "100 rpm"`},
		{reader(Parse[Cloudiness]), "5 FAU", "unit-of-other", `FAU is measured another way, and nothing turns it into NTU`}, // another measurement: light weakened, not scattered
		{reader(Parse[Conductance]), "250", "unit-missing", `write it like "250 uS/cm"`},
		{reader(Parse[Molarity]), "2 mg/L", "unit-unknown", `amount "2 mg/L"`},
		{reader(Parse[Temperature]), "12", "unit-missing", `temperature "12" has no unit`},
		{reader(Parse[Temperature]), "12 R", "unit-unknown", `unit "R" is not known: use one of C, F, K`},
		{reader(Parse[Temperature]), "warm", "bad-temperature", `does not start with a number: write it like "12 C"`},
		// A thousandth is not turned into a million by the case of a letter.
		{reader(Parse[Volume]), "200 Ml", "unit-unknown", `unit "Ml" is not known`},
		{reader(Parse[Volume]), "3 mg", "unit-unknown", `unit "mg" is not known`}, // MG is a million gallons
		{reader(Parse[Volume]), "3 Mg", "unit-unknown", `unit "Mg" is not known`},
		{reader(Parse[Flow]), "2 Ml/d", "unit-unknown", `unit "Ml/d" is not known`},
		{reader(Parse[Flow]), "2 Ml/h", "unit-unknown", `unit "Ml/h" is not known`},
		{reader(Parse[Mass]), "3 MG", "unit-unknown", `unit "MG" is not known`},
		{reader(Parse[Pressure]), "3 mPa", "unit-unknown", `unit "mPa" is not known; did you mean "MPa"?`},
		{reader(Parse[Mass]), "1e308 t", "bad-mass", `mass "1e308 t" is too large`},
		{dose, "1e308 g/L", "bad-dose", `dose "1e308 g/L" is too large`},
		{dose, "-3 mg/L", "negative-dose", "a dose is zero or more"},
		{dose, "3 mg/L as unobtainium", "basis-unknown", `basis "as unobtainium" is not known`},
		{dose, "3 mg/L as alum 14-hydrat", "basis-unknown", `did you mean "as alum 14-hydrate"?`},
		{dose, "3 mg/L as unobtainium", "basis-unknown", "use one of as product, as alum 14-hydrate, "},
		{dose, "3", "unit-missing", `dose "3" has no unit`},
		{dose, " as Al", "bad-dose", `dose "": is empty`},
		{dose, "some", "bad-dose", "does not start with a number"},
		{price, "cheap", "bad-price", "does not start with a number"},
		{price, "0.42 EUR", "bad-price", "does not say what it is per"},
		{price, "0.42 EUR/", "bad-price", "does not say what it is per"},
		{price, "0.42 /kg", "bad-price", "has no currency"},
		{price, "-0.42 EUR/kg", "bad-price", "is negative"},
		{price, "0.42 EUR/pak", "bad-price", `did you mean "pack"?`},
		{price, "0.42 EUR/jar", "bad-price", `write it like "0.42 EUR/kg" or "310 EUR/pack"`},
		{price, "0.42 EUR/jar", "bad-price", `(per kg, t, lb, short ton, L, m3, 1000 m3, gal, 1000 gal, imp gal, pack, kWh, kg dry, t dry, delivery)`},
	} {
		v, err := c.parse(c.text)
		var n note.Note
		if !errors.As(err, &n) || v != 0 || n.Level != note.Error || n.Code != c.code || !strings.Contains(n.Message+": "+n.Remedy, c.want) {
			t.Errorf("%q: got %v, %v (code %q), want code %q with %q", c.text, v, err, n.Code, c.code, c.want)
		}
	}
}

func dose(s string) (float64, error)  { d, err := ParseDose(s); return float64(d.Concentration), err }
func price(s string) (float64, error) { p, err := ParsePrice(s); return p.Amount, err }

// The ends of what is allowed are allowed.
func TestParseAllows(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		want  float64
	}{
		{reader(Parse[Renewal]), "150 %", 1.5}, {reader(Parse[Fraction]), "0 %", 0}, {reader(Parse[Fraction]), "100 %", 1}, {reader(Parse[Fraction]), "48.5 %", 0.485},
		{reader(Parse[Setting]), "0 %", 0}, {reader(Parse[Setting]), "100 %", 100}, {reader(Parse[Setting]), "60%", 60},
		{reader(Parse[Salinity]), "0 ppt", 0}, {reader(Parse[Salinity]), "50 g/kg", 50}, {reader(Parse[Density]), "0.001 kg/L", 0.001},
		{reader(ParsePH), "0", 0}, {reader(ParsePH), "14", 14}, {reader(ParsePH), "pH 7.6", 7.6}, {reader(ParsePH), " 7.6 PH ", 7.6},
		{reader(ParsePH), "PH7.6", 7.6},
		{reader(Parse[Temperature]), "54 F", 22 / 1.8}, {reader(Parse[Temperature]), "-4 °C", -4}, {reader(Parse[Temperature]), "0 K", -273.15},
		{reader(Parse[Length]), "-1.2 m", -1.2}, // a head below the pump
		{reader(Parse[Mass]), "2.5e-1kg", 0.25}, {reader(Parse[Mass]), "1E+2 g", 0.1}, {reader(Parse[Mass]), "+3 kg", 3},
		{reader(Parse[Mass]), "−3 kg", -3},
		{reader(Parse[Mass]), ".5\u00a0kg", 0.5}, {reader(Parse[Mass]), " 7\u202fkg ", 7}, {reader(Parse[Mass]), "7\u2009kg", 7},
		{dose, "0 mg/L", 0}, {dose, "0.1 % w/v", 1000}, {price, "0 EUR/kg", 0},
	} {
		got, err := c.parse(c.text)
		if err != nil || !near(got, c.want, 1e-14) {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
	}
}

func TestSplit(t *testing.T) {
	for _, c := range []struct {
		text, rest string
		value      float64
	}{
		{"12.5 mg/L", "mg/L", 12.5}, {"12.5mg/L", "mg/L", 12.5}, {" -3 ", "", -3}, {"7", "", 7}, {"9", "", 9}, {"0 L", "L", 0},
		{"90 %", "%", 90},
		{"1e3 L", "L", 1000}, {"1E3L", "L", 1000}, {"1e-3 L", "L", 0.001}, {"1e+3 L", "L", 1000}, {"1.5e0 L", "L", 1.5},
		{"2e9 L", "L", 2e9},
		{"3 euro", "euro", 3}, {"3euro", "euro", 3}, {"3E", "E", 3}, {"3e", "e", 3}, {"5-6 L", "-6 L", 5}, {"5+6", "+6", 5},
		{"-5-6", "-6", -5}, {"3 e4", "e4", 3},
	} {
		v, rest, err := Split(c.text)
		if err != nil || v != c.value || rest != c.rest {
			t.Errorf("Split(%q) = %v, %q, %v; want %v, %q", c.text, v, rest, err, c.value, c.rest)
		}
	}
	for _, text := range []string{"", "  ", "e5", "-", "+", ".", "-.", "--3", "1,5", "1,234.5 L", "1e400", "inf", "e"} {
		if v, rest, err := Split(text); err == nil || v != 0 || rest != "" {
			t.Errorf("Split(%q) = %v, %q, %v; want an error", text, v, rest, err)
		}
	}
}

// A number that is no number is no quantity.
func TestFinite(t *testing.T) {
	for v, want := range map[float64]bool{0: true, -2: true, math.MaxFloat64: true, math.Inf(1): false, math.Inf(-1): false} {
		if got := Finite(Flow(v)); got != want {
			t.Errorf("Finite(%v) = %v", v, got)
		}
	}
	if Finite(Flow(math.NaN())) {
		t.Error("NaN counts as finite")
	}
}

// TestTooLarge: what no bench and no plant comes near is refused before it can overflow an answer.
func TestTooLarge(t *testing.T) {
	for _, text := range []string{"1e308 m3/h", "1.1e15 m3/h", "-1e300 m3/h"} {
		if v, err := Parse[Flow](text); err == nil || v != 0 || !strings.Contains(err.Error(), "too large") {
			t.Errorf("%s: %v %v", text, v, err)
		}
	}
	if v, err := Parse[Flow]("1e15 m3/h"); err != nil || v != 1e15 {
		t.Errorf("%v %v", v, err)
	}
	for text, ok := range map[string]bool{"1e15 EUR/kg": true, "1.1e15 EUR/kg": false, "1e308 EUR/kg": false} {
		if _, err := ParsePrice(text); (err == nil) != ok {
			t.Errorf("%s: %v", text, err)
		}
	}
}
