package quantity

import (
	"testing"

	"jarwright/jartest/note"
)

func TestKnown(t *testing.T) {
	var none Known[Flow]
	if some := Some(Flow(3.6)); !some.OK || some.V != 3.6 || some.Or(2) != 3.6 || none.OK || none.Or(2) != 2 {
		t.Errorf("given %+v gives %v, not given %+v gives %v", some, some.Or(2), none, none.Or(2))
	}
	if zero := Some(Flow(0)); zero.Or(2) != 0 {
		t.Errorf("a flow of zero that was given counts as not given: %v", zero.Or(2))
	}
	none.At = note.Place{File: "site.xlsx", Sheet: "Flow", Cell: "C4"}
	n := none.Missing("the flow", "give it in m3/h")
	want := note.Note{Level: note.Error, Code: "value-missing", Message: "the flow is missing", Remedy: "give it in m3/h", Place: none.At}
	if !n.Equal(want) {
		t.Errorf("missing: %+v, want %+v", n, want)
	}
}
