package words

import (
	"regexp"
	"sync"
)

// Pattern is a regular expression that is compiled when it is first asked: a process
// reads few sheets, and compiling them all took longer than reading one. Its methods are
// those of [regexp.Regexp].
type Pattern struct{ compiled func() *regexp.Regexp }

// NewPattern makes a pattern; what is wrong with the expression shows at its first use.
func NewPattern(expr string) *Pattern {
	return &Pattern{sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })}
}

func (p *Pattern) MatchString(s string) bool            { return p.compiled().MatchString(s) }
func (p *Pattern) FindString(s string) string           { return p.compiled().FindString(s) }
func (p *Pattern) FindStringIndex(s string) []int       { return p.compiled().FindStringIndex(s) }
func (p *Pattern) FindStringSubmatch(s string) []string { return p.compiled().FindStringSubmatch(s) }
func (p *Pattern) FindStringSubmatchIndex(s string) []int {
	return p.compiled().FindStringSubmatchIndex(s)
}
func (p *Pattern) FindAllString(s string, n int) []string { return p.compiled().FindAllString(s, n) }
func (p *Pattern) FindAllStringIndex(s string, n int) [][]int {
	return p.compiled().FindAllStringIndex(s, n)
}
func (p *Pattern) FindAllStringSubmatch(s string, n int) [][]string {
	return p.compiled().FindAllStringSubmatch(s, n)
}
func (p *Pattern) FindAllStringSubmatchIndex(s string, n int) [][]int {
	return p.compiled().FindAllStringSubmatchIndex(s, n)
}
func (p *Pattern) ReplaceAllString(s, with string) string {
	return p.compiled().ReplaceAllString(s, with)
}
func (p *Pattern) ReplaceAllStringFunc(s string, with func(string) string) string {
	return p.compiled().ReplaceAllStringFunc(s, with)
}
func (p *Pattern) Split(s string, n int) []string { return p.compiled().Split(s, n) }
