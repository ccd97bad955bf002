package words

import (
	"math/bits"
	"regexp"
	"regexp/syntax"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Pattern is a regular expression that is compiled when it is first asked of a text that can hold
// it: a process reads few sheets, and compiling all, or trying each at every letter, took longer
// than reading one. Its methods are those of [regexp.Regexp].
type Pattern struct {
	needed   func() need
	compiled func() *regexp.Regexp
}

// need is what a text must hold to be matched: one of some bytes, and one of some pairs of bytes that
// stand together. A pair tells more: most expressions are lists of words, and most texts have all letters.
type need struct {
	bytes   byteSet
	pairs   pairSet
	hasPair bool
}

// NewPattern makes a pattern; what is wrong with the expression shows at its first use.
func NewPattern(expr string) *Pattern { return PatternOf(func() string { return expr }) }

// PatternOf makes a pattern of an expression that is put together when it is first needed, such as
// of the words of a table.
func PatternOf(made func() string) *Pattern {
	expr := sync.OnceValue(made)
	return &Pattern{
		needed: sync.OnceValue(func() need {
			re, err := syntax.Parse(expr(), syntax.Perl)
			if err != nil {
				return need{bytes: anyByte}
			}
			n := need{bytes: neededBy(re)}
			n.pairs, n.hasPair = pairsNeeded(re)
			return n
		}),
		compiled: sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr()) }),
	}
}

// can reports a text that holds one of the bytes without which the pattern matches nothing.
func (p *Pattern) can(s string) bool {
	n := p.needed()
	if n.hasPair {
		for i := 1; i < len(s); i++ {
			if n.pairs.has(s[i-1], s[i]) {
				return true
			}
		}
		return false
	}
	if n.bytes == anyByte {
		return true
	}
	for i := range len(s) {
		if n.bytes.has(s[i]) {
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
	for w := b[0] & usualSet[0]; w != 0; w &= w - 1 {
		n += usualWeight[bits.TrailingZeros64(w)]
	}
	for w := b[1] & usualSet[1]; w != 0; w &= w - 1 {
		n += usualWeight[64+bits.TrailingZeros64(w)]
	}
	return n
}

var usualSet, usualWeight = func() (set byteSet, weight [128]int) {
	for i := range len(usual) {
		set.add(usual[i])
		weight[usual[i]] = 4 * (len(usual) - i)
	}
	return set, weight
}()

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
	best, least := anyByte, anyByte.weight()
	for _, r := range re.Rune {
		var one [8]rune // no letter has four forms
		rs := append(one[:0], r, r)
		for f := unicode.SimpleFold(r); re.Flags&syntax.FoldCase != 0 && f != r; f = unicode.SimpleFold(f) {
			rs = append(rs, f, f)
		}
		of := ofClass(rs)
		if w := of.weight(); w < least {
			best, least = of, w
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

// pairSet is a set of pairs of bytes, some of which it takes for each other.
type pairSet [16]uint64

func pairAt(a, b byte) uint { return (uint(a)*37 + uint(b)*5 + uint(a)>>3) & 1023 }

func (p *pairSet) has(a, b byte) bool { at := pairAt(a, b); return p[at>>6]&(1<<(at&63)) != 0 }

func (p *pairSet) add(a, b byte) { at := pairAt(a, b); p[at>>6] |= 1 << (at & 63) }

func (p *pairSet) size() int {
	n := 0
	for _, w := range p {
		n += bits.OnesCount64(w)
	}
	return n
}

// mostPairs is beyond what a set of pairs tells texts apart by.
const mostPairs = 256

// pairsNeeded gives pairs of bytes of which every text has one that an expression matches, where there are few
// enough.
func pairsNeeded(re *syntax.Regexp) (pairSet, bool) {
	switch re.Op {
	case syntax.OpLiteral:
		return pairOfLiteral(re)
	case syntax.OpCapture, syntax.OpPlus:
		return pairsNeeded(re.Sub[0])
	case syntax.OpRepeat:
		if re.Min > 0 {
			return pairsNeeded(re.Sub[0])
		}
	case syntax.OpConcat:
		var best pairSet
		least := mostPairs
		for _, sub := range re.Sub {
			if of, ok := pairsNeeded(sub); ok && of.size() < least {
				best, least = of, of.size()
			}
		}
		return best, least < mostPairs
	case syntax.OpAlternate:
		var all pairSet
		for _, sub := range re.Sub {
			of, ok := pairsNeeded(sub)
			if !ok {
				return all, false
			}
			for i, w := range of {
				all[i] |= w
			}
		}
		return all, all.size() < mostPairs
	}
	return pairSet{}, false
}

// pairOfLiteral gives the pair of a literal that is rarest by its letters, in each case that it can have.
func pairOfLiteral(re *syntax.Regexp) (pairSet, bool) {
	var set pairSet
	s := string(re.Rune)
	folded := re.Flags&syntax.FoldCase != 0
	best, least := -1, 0
	for i := 1; i < len(s); i++ {
		a, b := s[i-1], s[i]
		if folded && (!ownCase(a) || !ownCase(b)) {
			continue
		}
		if w := weightOf(a) + weightOf(b); best < 0 || w < least {
			best, least = i, w
		}
	}
	if best < 0 {
		return set, false
	}
	for _, a := range casesOf(s[best-1], folded) {
		for _, b := range casesOf(s[best], folded) {
			set.add(a, b)
		}
	}
	return set, true
}

// ownCase reports a byte that is a sign of its own of ASCII, and has no other case but that of ASCII.
func ownCase(c byte) bool { return c < utf8.RuneSelf && !strings.ContainsRune("kKsS", rune(c)) }

func casesOf(c byte, folded bool) []byte {
	if lower := c | 0x20; folded && lower >= 'a' && lower <= 'z' {
		return []byte{lower, lower &^ 0x20}
	}
	return []byte{c}
}

func weightOf(c byte) int {
	if c < utf8.RuneSelf {
		return usualWeight[c]
	}
	return 0
}
