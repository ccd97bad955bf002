package table

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestSourced(t *testing.T) {
	sources, rows := Sourced("# of alum | not | read\nsource | ufc | UFC 3-280-03\n\n alum |strength|48.5 | \r\n  # more\nalum | also | liquid alum; alum")
	if want := map[string]string{"ufc": "UFC 3-280-03"}; !cmp.Equal(sources, want) {
		t.Errorf("sources %v, want %v", sources, want)
	}
	if want := [][]string{{"alum", "strength", "48.5", ""}, {"alum", "also", "liquid alum; alum"}}; !cmp.Equal(rows, want) {
		t.Errorf("rows %q, want %q", rows, want)
	}
	if got, want := List(rows[1][2]), []string{"liquid alum", "alum"}; !cmp.Equal(got, want) {
		t.Errorf("list %q, want %q", got, want)
	}
	if got := List(""); got != nil {
		t.Errorf("empty list %q", got)
	}
}

func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{"48.5": 48.5, "-10": -10, "0": 0} {
		if v, ok := Number(text); v != want || !ok {
			t.Errorf("%q: %v %v", text, v, ok)
		}
	}
	if v, ok := Number(""); v != 0 || ok {
		t.Errorf("empty field: %v %v", v, ok)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic at a figure that is none")
		}
	}()
	Number("some")
}
