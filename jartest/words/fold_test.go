package words

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Text of ASCII is folded in one pass as it is in several.
func TestFoldInOnePass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOfN(rapid.SampledFrom([]rune("abcXYZ019 _\t\n-.,(%")), 0, 24, -1).Draw(t, "text")
		want := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(humps(s), "_", " "))), " ")
		if got := foldASCII(s); got != want {
			t.Fatalf("%q: %q, want %q", s, got, want)
		}
	})
}
