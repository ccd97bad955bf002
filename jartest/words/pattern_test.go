package words

import "testing"

func TestPatternAsksLate(t *testing.T) {
	bad := NewPattern(`(`) // is not compiled here
	defer func() {
		if recover() == nil {
			t.Error("a bad expression was matched")
		}
	}()
	bad.MatchString("(")
}

func TestPattern(t *testing.T) {
	p := NewPattern(`(\d)(b?)`)
	for range 2 { // the second time it is compiled
		if !p.MatchString("a1") || p.MatchString("ab") {
			t.Error("1 is a digit, b is none")
		}
	}
	if got := p.FindString("a1b2"); got != "1b" {
		t.Errorf("found %q", got)
	}
	if got := p.FindAllString("a1b2", -1); len(got) != 2 || got[1] != "2" {
		t.Errorf("found %q", got)
	}
	if got := p.FindAllString("a1b2", 1); len(got) != 1 {
		t.Errorf("found %q, one was asked for", got)
	}
	if got := p.FindStringIndex("a1b2"); got[0] != 1 || got[1] != 3 {
		t.Errorf("found at %d", got)
	}
	if got := p.FindStringSubmatch("a1b2"); len(got) != 3 || got[2] != "b" {
		t.Errorf("found %q", got)
	}
	if got := p.FindStringSubmatchIndex("a1b2"); len(got) != 6 || got[4] != 2 {
		t.Errorf("found at %d", got)
	}
	if got := p.FindAllStringIndex("a1b2", -1); len(got) != 2 || got[1][0] != 3 {
		t.Errorf("found at %d", got)
	}
	if got := p.FindAllStringSubmatch("a1b2", -1); len(got) != 2 || got[1][1] != "2" {
		t.Errorf("found %q", got)
	}
	if got := p.FindAllStringSubmatchIndex("a1b2", -1); len(got) != 2 || got[1][2] != 3 {
		t.Errorf("found at %d", got)
	}
	if got := p.ReplaceAllString("a1b2", "<$1>"); got != "a<1><2>" {
		t.Errorf("got %q", got)
	}
	if got := p.ReplaceAllStringFunc("a1b2", func(s string) string { return s + s }); got != "a1b1b22" {
		t.Errorf("got %q", got)
	}
	if got := p.Split("a1bc2d", -1); len(got) != 3 || got[1] != "c" {
		t.Errorf("got %q", got)
	}
}
