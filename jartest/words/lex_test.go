package words

import (
	"strings"
	"testing"
)

func TestLex(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Alum (mg/L)", "alum|(|mg|/|l|)"},
		{"mg L⁻¹", "mg|l|^|-|1"},
		{"g/m³", "g|/|m3"},
		{"10⁶ cells", "10|^|6|cells"},
		{"Fe³⁺ mg/l", "fe3+|mg|/|l"},
		{"PO₄³⁻", "po43-"},
		{"mg·L-1", "mg|·|l|-|1"},
		{"12.5 µS/cm", "12.5|us|/|cm"},
		{"mg/500mL", "mg|/|500|ml"},
		{"1,450 NTU", "1,450|ntu"},
		{"℃", "°|c"},
		{"Trübung", "trubung"},
		{"毫克/升", "毫|克|/|升"},
		{"ｍｇ／Ｌ", "mg|/|l"},
		{"㎎/ℓ", "mg|/|l"},
		{"pH_final", "ph|final"},
		{"١٢", "12"},
		{"x 10^3", "x|10|^|3"},
		{"10⁰ 10⁹ a⁽", "10|^|0|10|^|9|a|^|("},
		{"m² cm³ g²", "m2|cm3|g|^|2"},
		{"۰۹ ०९ ０９", "09|09|09"},
		{"1,9 1,a 2.0 3.", "1,9|1|,|a|2.0|3|."},
	} {
		var got []string
		for _, k := range lex(c.text) {
			got = append(got, k.text)
			if k.from > k.to || k.to > len(c.text) {
				t.Errorf("%q: token %q lies at %d..%d of %d bytes", c.text, k.text, k.from, k.to, len(c.text))
			}
		}
		if g := strings.Join(got, "|"); g != c.want {
			t.Errorf("lex(%q) = %s, want %s", c.text, g, c.want)
		}
	}
	ts := lex("Alum dose  mg/L")
	if ts[2].from != 11 || ts[2].to != 13 || ts[2].glued || !ts[3].glued || ts[4].to != 15 {
		t.Errorf("bytes of tokens: %+v", ts)
	}
}
