package note

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

func TestErrorForm(t *testing.T) {
	n := Fault("negative-dose", "dose -3 is negative").At(Place{"jars.xlsx", "Tuesday", "C7"}).Do("write zero or more")
	if got, want := n.Error(), "jars.xlsx: Tuesday!C7: dose -3 is negative: write zero or more"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := Of(fmt.Errorf("while reading: %w", n), "other"); len(got) != 1 || !got[0].Equal(n) {
		t.Errorf("a wrapped note is lost: %v", got)
	}
	if got := Of(errors.New("x"), "other"); len(got) != 1 || got[0].Code != "other" || got[0].Level != Error {
		t.Errorf("a plain error: %v", got)
	}
}

func TestList(t *testing.T) {
	var l List
	if l.Err() != nil || l.Worst() != Info {
		t.Error("an empty list is not an error")
	}
	l.Add(New(Info, "a", "a"), New(Stop, "b", "b"), New(Info, "c", "c"))
	if l.Err() != nil || l.Worst() != Stop {
		t.Errorf("worst %v, err %v", l.Worst(), l.Err())
	}
	if s := l.Sorted(); s[0].Code != "b" || s[1].Code != "a" || s[2].Code != "c" {
		t.Errorf("sorted: %v", s)
	}
	l.Add(Fault("d", "bad"))
	if l.Err() == nil || l.Err().Error() != "bad" {
		t.Errorf("err %v", l.Err())
	}
}

func TestNear(t *testing.T) {
	words := []string{"turbidity", "tss", "colour"}
	for word, want := range map[string]string{"turbitity": "turbidity", "trubidity": "turbidity", "Turbidity": "turbidity", "tas": "tss", "zzz": "", "to": "", "color": "colour"} {
		if got := Near(word, words); got != want {
			t.Errorf("Near(%q) = %q, want %q", word, got, want)
		}
	}
}

// A note shows anew what it was written from, also within a message changed since and
// in what was added to its remedy.
func TestShown(t *testing.T) {
	n := New(Caution, "x", "from %s to %s, %d times", Say("(%s)", "low"), "high", 3).Do("wait %s", "a day").Also("; or %s", AnyOf([]Phrase{Say("a"), Say("b"), Say("c")}))
	n.Message = "pump 1: " + n.Message
	if n.Message != "pump 1: from (low) to high, 3 times" || n.Remedy != "wait a day; or a, b, or c" {
		t.Fatalf("written: %q, %q", n.Message, n.Remedy)
	}
	var show func(any) any
	show = func(v any) any {
		switch x := v.(type) {
		case string:
			return strings.ToUpper(x)
		case Phrase:
			return x.shown(x.String(), show)
		}
		return v
	}
	s := n.Shown(show)
	if s.Message != "pump 1: from (LOW) to HIGH, 3 times" || s.Remedy != "wait A DAY; or a, b, or c" {
		t.Errorf("shown: %q, %q", s.Message, s.Remedy)
	}
	if text, err := Say("%s a day", "20 L").MarshalText(); string(text) != "20 L a day" || err != nil {
		t.Errorf("as words: %q %v", text, err)
	}
	if one := AnyOf([]Phrase{Say("a")}).String(); one != "a" {
		t.Errorf("one of one: %q", one)
	}
	if grown := Say("%s", "3 kg").If(false, " lost").If(true, " of %s", "alum").And(" at 100%%").String(); grown != "3 kg of alum at 100%" {
		t.Errorf("grown: %q", grown)
	}
}

// TestWith: one cause is told once, with what both say and do, and still in the reader's words.
func TestWith(t *testing.T) {
	n := New(Caution, "a", "%s is too little", "1 mL").At(Place{Cell: "B7"}).Do("dilute").With(New(Caution, "b", "%s is the nearest", "3 mL").Do("use %s", "4 mL"))
	if n.Code != "a" || n.Cell != "B7" || n.Message != "1 mL is too little; 3 mL is the nearest" || n.Remedy != "dilute; use 4 mL" {
		t.Errorf("%+v", n)
	}
	shout := func(x any) any {
		if s, ok := x.(string); ok {
			return strings.ToUpper(s)
		}
		return x
	}
	if n.Shown(shout).Remedy != "dilute; use 4 mL" && n.Shown(shout).Message != "1 ML is too little; 3 ML is the nearest" {
		t.Errorf("%+v", n.Shown(shout))
	}
}

// TestJoined: notes of one code and place are told once, with what differs side by side;
// another code, another place or words of another kind stay.
func TestJoined(t *testing.T) {
	at := Place{Sheet: "Pumps", Cell: "B4"}
	set := func(pump, hour string, p Place) Note {
		return New(Caution, "set", "%s is to be set at %s", pump, hour).At(p).Do("send somebody")
	}
	l := List{set("pump 1", "06:00", at), New(Info, "other", "else"), set("pump 1", "05:00", at), set("pump 1", "06:00", at), set("pump 2", "07:00", Place{})}
	got := l.Joined("set")
	if len(got) != 3 || got[0].Message != "pump 1 is to be set at 06:00 and 05:00" || got[2].Message != "pump 2 is to be set at 07:00" {
		t.Errorf("%v", got)
	}
	if shown := got[0].Shown(func(x any) any { return x }); shown.Message != got[0].Message {
		t.Errorf("shown as %q", shown.Message)
	}
	if got := l.Joined("other"); len(got) != len(l) || l[0].Message != "pump 1 is to be set at 06:00" {
		t.Errorf("%v", got)
	}
	if n := set("pump 1", "06:00", at).After("%s: ", "site"); n.Message != "site: pump 1 is to be set at 06:00" {
		t.Errorf("%q", n.Message)
	}
}
