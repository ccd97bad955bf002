package site

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestChoiceInAnotherOrder: who writes a choice with its words in another order is asked whether that was meant; who writes other
// words is not.
func TestChoiceInAnotherOrder(t *testing.T) {
	for text, want := range map[string]string{"stroke and speed": `; did you mean "speed and stroke"?`, "Stroke and  Speed": `; did you mean "speed and stroke"?`, "strength and colour": "choices"} {
		_, err := choice(choices["knobs"])(text)
		if l := note.Of(err, "?"); len(l) != 1 || l[0].Code != "bad-choice" || !strings.HasSuffix(l[0].Message, want) {
			t.Errorf("%q: %v", text, l)
		}
	}
}
