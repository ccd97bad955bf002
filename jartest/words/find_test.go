package words

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Phrases in headings, with their place in the folded text and the slip they were found by.
func TestFind(t *testing.T) {
	for text, want := range map[string]string{
		"raw turbidity":          "stage:before 0-3, label:raw 0-3, reading:turbidity 4-13",
		"turbdity after":         "reading:turbidity 0-8 turbdity, stage:after 9-14",
		"trbidityy":              "reading:turbidity 0-9 trbidityy",
		"turbidityx":             "reading:turbidity 0-10 turbidityx",
		"resttrubung":            "reading:turbidity 4-11, stage:after 0-4",
		"aluminiumdosis":         "role:dose 9-14, metal:Al 0-9",
		"turbiditymeteranzeige":  "reading:turbidity 0-9",
		"aluminiumverbindungen":  "",
		"residual aluminium":     "reading:residual_al 0-18",
		"residual of aluminium":  "stage:after 0-8, metal:Al 12-21",
		"final ph value":         "stage:after 0-5, reading:ph 6-14",
		"jar no 5":               "role:jar 0-6",
		"fe3+":                   "metal:Fe 0-4",
		"ferric+lime":            "chem:ferric 0-6, chem:lime 7-11",
		"浊度 ntu":                 "reading:turbidity 0-6",
		"原水浊度":                   "stage:before 0-6, label:raw 0-6, reading:turbidity 6-12",
		"остаточная мутность":    "stage:after 0-20, reading:turbidity 21-37",
		"tbidity turb1dity zeta": "reading:zeta 18-22",
		"zet":                    "",
	} {
		var got []string
		for _, h := range Find(text) {
			got = append(got, strings.TrimSpace(fmt.Sprintf("%s %d-%d %s", h.Concept, h.From, h.To, h.Near)))
			if h.Near == "" && !strings.HasPrefix(text[h.From:h.To], h.Text) {
				t.Errorf("%q: %+v", text, h)
			}
		}
		if g := strings.Join(got, ", "); g != want {
			t.Errorf("%q: %s, want %s", text, g, want)
		}
	}
}

// A word of so many letters may hold so many slips; one of another language fewer.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		language, text string
		letters, want  int
	}{
		{"en", "x", 4, 0}, {"en", "x", 5, 1}, {"en", "x", 7, 1}, {"en", "x", 8, 2}, {"de", "x", 6, 0}, {"de", "x", 7, 1}, {"de", "x", 11, 1}, {"de", "x", 12, 2}, {"ru", "мутность", 5, 1}, {"ru", "мутность", 8, 2},
	} {
		if got := (Phrase{Language: c.language, Text: c.text}).slips(c.letters); got != c.want {
			t.Errorf("%+v: %d", c, got)
		}
	}
	for word, want := range map[string]string{"turbidity": "turbidity", "turbiditty": "turbidity", "tubridity": "turbidity", "urbidit": "", "urbidity": "turbidity", "turbxxxity": "", "colur": "color", "alu": "", "turb1dity": "", strings.Repeat("turbidity", 5): ""} {
		if p, _ := latin().near(word); p.Text != want {
			t.Errorf("%q is taken for %q, want %q", word, p.Text, want)
		}
	}
}

func TestMeansAndWhole(t *testing.T) {
	for _, c := range []struct {
		text, concept string
		want          bool
	}{
		{"Turbidity:", "reading:turbidity", true}, {" (turbidity) ", "reading:turbidity", true}, {"turbidity-", "reading:turbidity", true}, {"turbidity x", "reading:turbidity", false}, {"Turbidity", "reading:ph", false},
		{"Jar-No.", "role:jar", true}, {"#", "role:jar", true}, {"\"", "value:ditto", true}, {"ditto", "value:ditto", true}, {"", "role:jar", false}, {"...", "role:jar", false}, {"> turbidity", "reading:turbidity", false}, {"< turbidity", "reading:turbidity", false},
		{"Мутность", "reading:turbidity", true}, {"浊度", "reading:turbidity", true}, {"浊", "role:jar", false},
	} {
		if got := Means(c.text, c.concept); got != c.want {
			t.Errorf("%q means %s: %v", c.text, c.concept, got)
		}
	}
	if ps := Whole("jar no"); !slices.ContainsFunc(ps, func(p Phrase) bool { return p.Concept == "role:jar" }) || len(Whole("jar no five")) > 0 || len(Whole("qqq")) > 0 {
		t.Errorf("jar no: %v", ps)
	}
	if !words("ntu").under("jar").said[0].begin([]Token{{"jar", 0, 3}}) && len(words("ntu").under("jar").said[0].words) == 1 {
		t.Error("jar does not begin with itself")
	}
}

func TestFold(t *testing.T) {
	for text, want := range map[string]string{
		"turbidityNTU": "turbidity ntu", "FeCl3": "fecl3", "abcDEF": "abc def", "abDEF": "abdef", "settledTurbidityNTU": "settled turbidity ntu", " A_b  C ": "a b c", "a_b": "a b", "a  b": "a b", "a b": "a b", "ab ": "ab", "a\tb": "a b", "Zz Az": "zz az",
		"Ünïcode Größe": "unicode grosse", "Ａｌ": "al", "pH²": "ph2", "10 µm": "10 um", "ΜΕΤΡΟ": "uετρο", "mg · L × 2": "mg . l . 2", "№ 5": "no 5", "": "", "x\u0301y": "xy", "ё": "е", "a\u200bb": "a b", "١٢": "12", "９": "9",
	} {
		if got := Fold(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]bool{"": false, "a b": true, "a  b": false, " a": false, "a ": false, "A": false, "Z": false, "[": true, "@": true, "a_b": false, "a\tb": false, "é": false} {
		if plain(text) != want {
			t.Errorf("%q is plain: %v", text, !want)
		}
	}
	for text, want := range map[string]bool{"abc": false, "é°": false, "№": false, "ệ": false, "мг": true, "a浊": true, "\u036f": false, "\u0370": true, "\u1dff": true, "\u1e00": false, "\u2bff": false, "\u2c00": true} {
		if Foreign(text) != want {
			t.Errorf("%q is foreign: %v", text, !want)
		}
	}
}

// TestTokensIn: the tokens of a text as somebody wrote it, folded first.
func TestTokensIn(t *testing.T) {
	if got := TokensIn("Stock used (L), Før/after"); !slices.Equal(got, []string{"stock", "used", "l", "fore", "after"}) {
		t.Errorf("%q", got)
	}
}

func TestTokens(t *testing.T) {
	for text, want := range map[string]string{
		"pac投加量": "pac 0-3, 投加量 3-12", "浊度ntu": "浊度 0-6, ntu 6-9", "투입량mg": "투입량 0-9, mg 9-11", "탁도2": "탁도2 0-7", "ที่1": "ที่1 0-10", "ferric+lime": "ferric 0-6, lime 7-11", "fe3+": "fe3+ 0-4", "fe3+ mg": "fe3+ 0-4, mg 5-7", "a+": "a+ 0-2", "+a": "a 1-2",
		"ph 7.5": "ph 0-2, 7 3-4, 5 5-6", "z{9:0@A[Z": "z 0-1, 9 2-3, 0 4-5, A 6-7, Z 8-9", "a/0": "a 0-1, 0 2-3", "étage2": "étage2 0-7", "(x)": "x 1-2", "—": "", "": "", "é-a": "é 0-2, a 3-4",
	} {
		var got []string
		for _, k := range Tokens(text) {
			got = append(got, fmt.Sprintf("%s %d-%d", k.Text, k.From, k.To))
		}
		if g := strings.Join(got, ", "); g != want {
			t.Errorf("%q: %s, want %s", text, g, want)
		}
	}
}

func TestSaltWord(t *testing.T) {
	for word, want := range map[string]bool{"sulfate": true, "chloride": true, "aluminium": true, "ferric": true, "poly": true, "turbidity": false, "dose": false} {
		if SaltWord(word) != want {
			t.Errorf("%s: %v", word, !want)
		}
	}
}
