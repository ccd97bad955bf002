package words

import (
	"fmt"
	"strings"
	"testing"
)

// Where a spelling that could be a word or a letter is a unit, and which.
func TestWhereAUnitStands(t *testing.T) {
	for text, want := range map[string]string{
		"Jar 5 m": "m", "meter A": "", "metre (centimetres)": "cm", "Length [centimetres]": "cm", "5 centimetres of it": "cm", "the centimetres of it": "", "T/T0": "", "Alum (-)": "-", "Alum -": "", "(- x": "",
		"bucket": "household measure", "2 buckets": "household measure", "Alum bucket": "household measure", "Alum big bucket": "", "Alum bucket A": "", "bucket per pond": "household measure/pond", "bucket A": "", "(bucket)": "household measure", "5 bucket": "household measure",
		"uS": "uS", "Cond (uS)": "uS", "Cond uS x": "", "Cond uS": "", "Hz": "pump setting", "Pump (Hz)": "pump setting", "Pump Hz": "", "jar": "", "(jar)": "", "(pond)": "", "big pond": "",
		"day": "d", "Time d": "", "Time (d)": "d", "Time h": "h", "Time: h": "h", "2 h": "h", "5-min": "min", "a-min b": "", "x min b": "",
		"mL stock": "mL", "mg stock": "", "mg added": "mg", "mg per sack": "mg/household measure", "g per jar": "g/jar", "Turb; NTU": "NTU", "Alum/mL": "mL", "A/min": "", "alum mL of stock": "mL", "alum mL dosing": "", "alum mL jar": "mL", "alum g of it": "", "mL": "mL", "d": "", "t": "", "volume L/d": "L/d",
		"浊度": "", "เมตร": "", "Cond uS/cm bei 25 °C x": "uS/cm", "lb.": "lb", "lb. x": "", "(gal./d)": "gal/d", "gr/imp gal": "grain/imp gal", "gr per gal": "grain/gal", "gr/1000 gal": "grain/1000 gal", "gr/gallons": "grain/gal",
		"1/cm": "1/cm", "(1/cm)": "1/cm", "UV /m": "1/m", "UV/m": "m", "(/m)": "1/m", "1/L": "1/L", "/L": "L", "1/mg": "mg", "cm-1": "1/cm", "UV, /m": "1/m", "mg-1": "", "G (s-1)": "1/s", "m-2": "1/m", "Alum (mg L-2)": "mg/L2", "Alum (mg L-3)": "mg/L3", "Alum (mg L-1)": "mg/L",
	} {
		var got []string
		for _, u := range Units(text) {
			got = append(got, u.Name)
		}
		if g := strings.Join(got, ", "); g != want {
			t.Errorf("%q: %q, want %q", text, g, want)
		}
	}
}

// Units with the bytes they span: what is outside is for those who read words.
func TestSpans(t *testing.T) {
	for text, want := range map[string]string{
		"Cond (uS/cm @ 25 °C)": "uS/cm @ 25 °C)", "Cond uS/cm at 25C": "uS/cm at 25C", "Cond uS/cm (25 °C)": "uS/cm (25 °C)", "Cond uS/cm (20)": "uS/cm (20)", "Cond uS/cm at 30": "uS/cm", "NTU at 25": "NTU", "Cond uS/cm (at 25 °C)": "uS/cm (at 25 °C)",
		"Alum mg/L x5": "mg/L x5", "Alum mg/L (x 10) y": "mg/L (x 10)", "Alum mg/L (x10)": "mg/L (x10", "Alum (mg/L) x 5 y": "mg/L) x 5", "Alum mg/L x 5mL": "mg/L; mL", "Alum mg/L x0": "mg/L", "Alum mg/L xyz": "mg/L",
		"mg/L as neat Al y": "mg/L as neat Al", "mg/L (as Al) y": "mg/L (as Al)", "(mg/L) as Al": "mg/L) as Al", "mg/L, as Al": "mg/L, as Al", "mg/L, Al": "mg/L", "mg/L as form of Al": "mg/L as form of Al", "g as Al": "", "g Al": "", "5 g Al": "g", "mg/L-P x": "mg/L-P",
		"mg/L of water x": "mg/L of water", "mg/L solids": "mg/L", "g/kg of solids x": "g/kg of solids", "% (w/v) x": "% (w/v)", "% (w/v": "%", "% w/v x": "% w/v", "mg/(L) x": "mg/(L)", "(mg/L)": "mg/L", "mg per jar (2 L) x": "mg per jar (2 L)", "mg per jar (2 L": "mg per jar; L", "mg per jar (2 kg)": "mg per jar; kg",
		"mg/1": "mg/1", "mg/1 x": "mg", "(mg/1)": "mg/1",
	} {
		var got []string
		for _, u := range Units(text) {
			got = append(got, text[u.From:u.To])
		}
		if g := strings.Join(got, "; "); g != want {
			t.Errorf("%q: %q, want %q", text, g, want)
		}
	}
}

func TestAmounts(t *testing.T) {
	for text, want := range map[string]string{
		"stock 10 g/L and 2 mL of 5 % to six 2-litre jars": "10 g/L at 6, 2 mL at 17, 5 % at 25, 2 L at 36", "1 mL = 10 mg": "1 mL at 0, 10 mg at 7", "10 000 L pond": "10000 L at 0", "2·10^3 mg": "2e3 mg at 0", "Turbidity 1, NTU": "", "CaCO3 mg/L": "", "9-mL": "9 mL at 0", "0-mL": "0 mL at 0", "a-mL": "", "1 2 000 mL": "2000 mL at 0", "x 1000 000 mL": "000 mL at 7",
		"水5 mL": "5 mL at 3", "é5 mL": "", "5. mL": "5 mL at 0",
	} {
		var got []string
		for _, a := range Amounts(text) {
			got = append(got, fmt.Sprintf("%s %s at %d", a.Number, a.Name, a.Start))
		}
		if g := strings.Join(got, ", "); g != want {
			t.Errorf("%q: %s, want %s", text, g, want)
		}
	}
	for text, want := range map[string]string{"mg/L": "mg/L", "(mg/L)": "mg/L", "[ mg/L ];": "mg/L", "mg/L x": "", "mg/fortnight": "", "": "", "mg/L g/L": "", "Alum mg/L": ""} {
		if u, ok := OnlyUnit(text); ok != (want != "") || ok && u.Name != want {
			t.Errorf("%q: %v %q", text, ok, u.Name)
		}
	}
	for text, want := range map[string]string{"as Al": "al", "Al2O3 x": "al2o3", "5": "", "as of": "of"} {
		if got, ok := As(text); ok && got != want || ok != (want != "") {
			t.Errorf("%q: %q %v", text, got, ok)
		}
	}
}

// The numbers that a denominator can have.
func TestNumbersBelowTheLine(t *testing.T) {
	for text, want := range map[string]float64{"5": 5, "1,000": 1000, "12,000,000": 12e6, "1,5": 1.5, "0,500": 0.5, "1234,567": 1234.567, "1,50": 1.5, "0.5": 0.5, "1.5": 1.5, "1.25": 1.25, "1.250": 1.25, "0.000": 0, "1,000.5": 1000.5, "1.000": -1, "12.000": -1, "1000.000": 1000, "1.0": 1, "1,00,000": -1, "1.2.3": -1} {
		got, ok := number(text)
		if ok != (want >= 0) || ok && got != want {
			t.Errorf("%q: %g %v, want %g", text, got, ok, want)
		}
	}
	for text, want := range map[string]string{"mg/10^0 L": "", "mg/10^12 L": "", "mg/10^13 L": "/10^13 L", "mg/0 L": "/0 L", "mg/2 million L": "", "mg/10^3 m3": "", "mg/1000 000 L": "", "mg/L^4": "^4", "mg/L^0": "^0", "mg/m^3": "", "mg/m^2": "^2", "g/(m3)": "", "g m^(-3)": "", "mg L^-4": "^-4"} {
		us := Units("Alum (" + text + ")")
		if len(us) == 0 || us[0].Left != want {
			t.Errorf("%q: %+v, want %q left", text, us, want)
		}
	}
}
