package figure

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"
)

// A document written piece by piece is what the library writes of it as a whole.
func TestWriteJSON(t *testing.T) {
	list := []*Object{New().Bare(Count("n", 1)).Set("said", "<&>"), New(), nil}
	o := New().Set("list", slices.Values(list)).List("none", nil).Set("null", []*Object(nil)).Set("yes", true).
		Set("words", []string{"a", "b"}).Set("deep", New().List("list", list[:2]).Bare(Count("k", 3)))
	var whole, pieces bytes.Buffer
	e := json.NewEncoder(&whole)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(o); err != nil {
		t.Fatal(err)
	}
	if err := WriteJSON(&pieces, o); err != nil || pieces.String() != whole.String() {
		t.Errorf("%v\n%s\nwant\n%s", err, &pieces, &whole)
	}
	const want = `{
 "list": [
  {
   "n": 1,
   "said": "<&>"
  },
  {},
  null
 ],
 "none": [],
 "null": null,
`
	if !bytes.HasPrefix(pieces.Bytes(), []byte(want)) {
		t.Errorf("got\n%s\nwant at first\n%s", &pieces, want)
	}
	if err := WriteJSON(&pieces, New().Set("bad", func() {})); err == nil {
		t.Error("what JSON cannot hold is an error")
	}
}
