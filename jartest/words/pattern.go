package words

import (
	"math/bits"
	"regexp"
	"regexp/syntax"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Pattern is a regular expression that is compiled when it is first asked of a text that can hold
// it: a process reads few sheets, and compiling all, or trying each at every letter, took longer
// than reading one. Its methods are those of [regexp.Regexp].
type Pattern struct {
	needed   func() byteSet
	compiled func() *regexp.Regexp
}

// NewPattern makes a pattern; what is wrong with the expression shows at its first use.
func NewPattern(expr string) *Pattern { return PatternOf(func() string { return expr }) }

// PatternOf makes a pattern of an expression that is put together when it is first needed, such as
// of the words of a table.
func PatternOf(made func() string) *Pattern {
	expr := sync.OnceValue(made)
	return &Pattern{
		needed: sync.OnceValue(func() byteSet {
			re, err := syntax.Parse(expr(), syntax.Perl)
			if err != nil {
				return anyByte
			}
			return neededBy(re)
		}),
		compiled: sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr()) }),
	}
}

// can reports a text that holds one of the bytes without which the pattern matches nothing.
func (p *Pattern) can(s string) bool {
	need := p.needed()
	if need == anyByte {
		return true
	}
	for i := range len(s) {
		if need.has(s[i]) {
			return true
		}
	}
	return false
}

func (p *Pattern) MatchString(s string) bool { return p.can(s) && p.compiled().MatchString(s) }

func (p *Pattern) FindString(s string) string {
	if !p.can(s) {
		return ""
	}
	return p.compiled().FindString(s)
}

func (p *Pattern) FindStringIndex(s string) []int {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindStringIndex(s)
}

func (p *Pattern) FindStringSubmatch(s string) []string {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindStringSubmatch(s)
}

func (p *Pattern) FindStringSubmatchIndex(s string) []int {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindStringSubmatchIndex(s)
}

func (p *Pattern) FindAllString(s string, n int) []string {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindAllString(s, n)
}

func (p *Pattern) FindAllStringIndex(s string, n int) [][]int {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindAllStringIndex(s, n)
}

func (p *Pattern) FindAllStringSubmatch(s string, n int) [][]string {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindAllStringSubmatch(s, n)
}

func (p *Pattern) FindAllStringSubmatchIndex(s string, n int) [][]int {
	if !p.can(s) {
		return nil
	}
	return p.compiled().FindAllStringSubmatchIndex(s, n)
}

func (p *Pattern) ReplaceAllString(s, with string) string {
	if !p.can(s) {
		return s
	}
	return p.compiled().ReplaceAllString(s, with)
}

func (p *Pattern) ReplaceAllStringFunc(s string, with func(string) string) string {
	if !p.can(s) {
		return s
	}
	return p.compiled().ReplaceAllStringFunc(s, with)
}

func (p *Pattern) Split(s string, n int) []string {
	if n != 0 && !p.can(s) {
		return []string{s}
	}
	return p.compiled().Split(s, n)
}

// byteSet is a set of bytes.
type byteSet [4]uint64

var anyByte = byteSet{^uint64(0), ^uint64(0), ^uint64(0), ^uint64(0)}

func (b byteSet) has(c byte) bool { return b[c>>6]&(1<<(c&63)) != 0 }

func (b *byteSet) add(c byte) { b[c>>6] |= 1 << (c & 63) }

// usual are the bytes of most texts, the most usual first.
const usual = " etaoinsrhldcumfpgwybvk1203456789,.-"

// weight is the larger, the more texts hold a byte of the set.
func (b byteSet) weight() int {
	n := bits.OnesCount64(b[0]) + bits.OnesCount64(b[1]) + bits.OnesCount64(b[2]) + bits.OnesCount64(b[3])
	for i := range len(usual) {
		if b.has(usual[i]) {
			n += 4 * (len(usual) - i)
		}
	}
	return n
}

// neededBy gives bytes of which every text has one that an expression matches.
func neededBy(re *syntax.Regexp) byteSet {
	switch re.Op {
	case syntax.OpLiteral:
		return ofLiteral(re)
	case syntax.OpCharClass:
		return ofClass(re.Rune)
	case syntax.OpCapture, syntax.OpPlus:
		return neededBy(re.Sub[0])
	case syntax.OpRepeat:
		if re.Min > 0 {
			return neededBy(re.Sub[0])
		}
	case syntax.OpConcat:
		best := anyByte
		for _, sub := range re.Sub {
			if of := neededBy(sub); of.weight() < best.weight() {
				best = of
			}
		}
		return best
	case syntax.OpAlternate:
		var all byteSet
		for _, sub := range re.Sub {
			for i, w := range neededBy(sub) {
				all[i] |= w
			}
		}
		return all
	}
	return anyByte
}

// ofLiteral gives the rarest byte of a literal, in each case that it can have.
func ofLiteral(re *syntax.Regexp) byteSet {
	best := anyByte
	for _, r := range re.Rune {
		rs := []rune{r, r}
		if re.Flags&syntax.FoldCase != 0 {
			rs = nil
			for f := r; ; {
				rs = append(rs, f, f)
				if f = unicode.SimpleFold(f); f == r {
					break
				}
			}
		}
		if of := ofClass(rs); of.weight() < best.weight() {
			best = of
		}
	}
	return best
}

// ofClass gives the first bytes of the runes of a class, of those beyond ASCII any.
func ofClass(ranges []rune) byteSet {
	var set byteSet
	for i := 0; i+1 < len(ranges); i += 2 {
		for r := ranges[i]; r <= min(ranges[i+1], utf8.RuneSelf-1); r++ {
			set.add(byte(r))
		}
		if ranges[i+1] >= utf8.RuneSelf {
			set[2], set[3] = ^uint64(0), ^uint64(0)
		}
	}
	return set
}
