package templates

import (
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// TestReadInShort holds the line over what was read against what a person would say of it.
func TestReadInShort(t *testing.T) {
	twice := jartest.Reading{State: jartest.Number, Value: 30, Unit: "NTU", Replicates: []jartest.Reading{jartest.Num(29, "NTU"), jartest.Num(31, "NTU")}}
	jars := func(n int, r jartest.Reading) (out []jartest.Jar) {
		for range n {
			out = append(out, jartest.Jar{Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: r}}})
		}
		return out
	}
	target, err := jartest.ParseTarget("turbidity <= 5 NTU")
	if err != nil {
		t.Fatal(err)
	}
	one := jartest.Series{Jars: jars(7, twice), Targets: []jartest.Target{target}}
	plain := jartest.Series{Jars: jars(13, jartest.Num(30, "NTU")), Notes: note.List{note.New(note.Caution, "a", "look"), note.New(note.Info, "b", "so it is")}}
	for _, c := range []struct {
		read Read
		want string
	}{
		{Read{}, "No jars"},
		{Read{Series: []jartest.Series{one}}, "Read: seven jars, two readings each, target turbidity of 5 NTU at most"},
		{Read{Series: []jartest.Series{plain}}, "Read: 13 jars"},
		{Read{Series: []jartest.Series{{Jars: jars(1, twice)}}}, "Read: one jar, two readings each"},
		{Read{Series: []jartest.Series{one, plain}}, "Read: two jar tests, 20 jars"},
	} {
		if got := c.read.InShort(Options{}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	caution, wrong := note.New(note.Caution, "c", "ask"), note.Fault("e", "wrong")
	for want, l := range map[string]note.List{"": {note.New(note.Info, "i", "so")}, "One caution stands below: answer it first.": {caution}, "One error stands below: answer it first.": {wrong},
		"One error and two cautions stand below: answer them first.": {caution, wrong, caution}, "Two errors stand below: answer them first.": {wrong, wrong}} {
		if got := (Read{Notes: l}).Doubts(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	r := Read{Series: []jartest.Series{one, plain}, Notes: note.List{note.New(note.Caution, "c", "ask")}}
	if r.Cautions() != 2 || len(r.All()) != 3 || len(r.Notes) != 1 {
		t.Errorf("%d cautions of %d notes", r.Cautions(), len(r.All()))
	}
}
