package words

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

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

// What a text must hold to be tried never hides a match: every expression says of every text what
// the library says.
func TestPatternTriesWhatCanMatch(t *testing.T) {
	exprs := []string{`\d+`, `^a*$`, ``, `(?i)ka|ß\d`, `[^a-z]`, `\bjars? ?\d`, `(?:half|twice)\b`, `x{0,2}y`, `x{2}`, `[½¼]|測`, `(a|b)+c?`, `\s*[;|\t=→]\s*|\s{2,}`, `a.c`, `(?s).`, `\.$|^-`, `é`}
	letters := []string{"a", "b", "k", "K", "K", "x", "y", "1", "9", " ", "  ", "½", "測", "ß", "ẞ", ".", "-", ";", "→", "jar ", "half", "twice", "\xff", "\n", "é", "É"}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		text := ""
		for range rng.IntN(5) {
			text += letters[rng.IntN(len(letters))]
		}
		for _, expr := range exprs {
			p, re := NewPattern(expr), regexp.MustCompile(expr)
			if p.MatchString(text) != re.MatchString(text) || p.FindString(text) != re.FindString(text) || p.ReplaceAllString(text, "<$0>") != re.ReplaceAllString(text, "<$0>") ||
				!slices.Equal(p.Split(text, -1), re.Split(text, -1)) || !slices.Equal(p.FindAllString(text, -1), re.FindAllString(text, -1)) ||
				!slices.Equal(p.FindStringSubmatchIndex(text), re.FindStringSubmatchIndex(text)) {
				t.Fatalf("%q in %q: %q, want %q", expr, text, p.FindAllString(text, -1), re.FindAllString(text, -1))
			}
		}
	}
	for expr, texts := range map[string][2]string{`\bjars? ?\d+`: {"jar 1", "all 6 cups"}, `, (?:and )?| and `: {"a, b", "alone"}, `(?:\d+ ?)?[½¼]`: {"1 ½", "1 2"}} {
		if p := NewPattern(expr); !p.can(texts[0]) || p.can(texts[1]) {
			t.Errorf("%q: %q can match and %q cannot", expr, texts[0], texts[1])
		}
	}
}

// A text is passed over only where the expression matches nothing in it.
func TestNothingIsPassedOver(t *testing.T) {
	for _, expr := range []string{`dilut|verdunn|稀释`, `(?i)\bkalk|soda\b`, `\b(?:dose|doses|dosis) (?:as|of)\b`, `a?b`, `[ab]c|de`, `(?i)as|is`, `x+yz*`, `(?:ab){2}|cd?`, `не|нет`, `\d{1,2} ?(?:am|pm)`, `q|(?:st|sk)r`} {
		p, plain := NewPattern(expr), regexp.MustCompile(expr)
		rapid.Check(t, func(t *rapid.T) {
			s := rapid.StringOfN(rapid.SampledFrom([]rune("abcdeklsKSſikxyz 12pmостнeruqAB稀释K")), 0, 8, -1).Draw(t, "text")
			if rapid.Bool().Draw(t, "matching") {
				s += rapid.StringMatching(expr).Draw(t, "match")
			}
			if p.MatchString(s) != plain.MatchString(s) {
				t.Fatalf("%s in %q: %v", expr, s, p.MatchString(s))
			}
		})
	}
	if p := NewPattern(`verdunn|dilut`); p.can("a long text of many letters") || !p.can("undiluted") {
		t.Error("letters that stand apart are taken for a word")
	}
}
