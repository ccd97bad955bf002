package plain

import "testing"

func TestVisible(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Beck µ 5 m³/h", "Beck µ 5 m³/h"},
		{"a\x1b[31mred", "a<U+001B>[31mred"},
		{"5\u202e01", "5<U+202E>01"},
		{"x\u2066y\u2069", "x<U+2066>y<U+2069>"},
		{"nul\x00", "nul<U+0000>"},
		{"\ufeffhead", "<U+FEFF>head"},
		{"a\u200bb", "a<U+200B>b"},
		{"bad\xff", "bad\ufffd"},
		{"two\nlines\tend", "two\nlines\tend"},
	} {
		if got := Visible(c.in); got != c.want {
			t.Errorf("Visible(%q) = %q, want %q", c.in, got, c.want)
		}
	}
	if got := Line(" two\n lines\t end\r\n"); got != "two lines end<U+000D>" && got != "two lines end <U+000D>" {
		t.Errorf("Line = %q", got)
	}
}
