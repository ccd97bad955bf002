package words

import "testing"

// Joints are words of many languages, and no parts of others. From memory of the languages.
func TestJoints(t *testing.T) {
	for _, x := range []struct {
		kind, text, rest string
		ok               bool
	}{
		{"less", Fold("Menos de 5"), "5", true}, {"less", Fold("méně než 5"), "5", true}, {"less", "менее 5", "5", true}, {"less", "under 5", "5", true},
		{"less", "小于5", "5", true}, {"less", "below", "", true}, {"less", "underdosed 5", "underdosed 5", false}, {"less", "above 5", "above 5", false},
		{"more", "over 5", "5", true}, {"more", "overflow 5", "overflow 5", false}, {"more", Fold("über 5"), "5", true}, {"more", "lebih dari 5", "5", true},
		{"about", "ca. 5", "5", true}, {"about", "ca5", "5", true}, {"about", "calm 5", "calm 5", false}, {"about", "ok. 5", "ok. 5", false},
		{"about", "ungefahr 5", "5", true}, {"about", "ประมาณ 5", "5", true}, {"about", "約5", "5", true}, {"about", "approximately 5", "5", true},
	} {
		if rest, ok := CutJoint(x.text, x.kind); rest != x.rest || ok != x.ok {
			t.Errorf("%s of %q leaves %q, %v, want %q, %v", x.kind, x.text, rest, ok, x.rest, x.ok)
		}
	}
	between := Jointed(`^\d ?(?:{to}|{and}|{no kind}) ?\d$`)
	for text, want := range map[string]bool{"1 tot 3": true, "1 до 3": true, "1 och 3": true, "1至3": true, "1 til 3": true, "1 or 3": false, "1 of 3": false} {
		if between.MatchString(text) != want {
			t.Errorf("%q matches %v, want %v", text, !want, want)
		}
	}
}
