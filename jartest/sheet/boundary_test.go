package sheet

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp/syntax"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// TestNoBoundaryBesideOtherScripts holds that no pattern of the reader asks for \b beside a letter beyond ASCII: \b of
// package regexp knows the letters of ASCII alone, and a word of another script between two of them is never found.
func TestNoBoundaryBesideOtherScripts(t *testing.T) {
	seen := 0
	for _, dir := range [...]string{"../grid", "../words", "../layout", "../sheet"} {
		for place, expr := range patternsOf(t, dir) {
			re, err := syntax.Parse(spelledOut(expr), syntax.Perl)
			if err != nil {
				t.Errorf("%s: %v", place, err)
				continue
			}
			seen++
			if bad := besideBoundary(re); len(bad) > 0 {
				t.Errorf("%s: \\b beside %q", place, bad)
			}
		}
	}
	if seen < 250 {
		t.Errorf("%d patterns found: the search for them is lame", seen)
	}
	for _, c := range [...]struct {
		expr string
		bad  bool
	}{{`\bне\b`, true}, {`\b(?:no|не)`, true}, {`(?:не|no)?\b`, true}, {`\b(?:a|b)?(?:не)`, true}, {`\b(?:no|aне)\d|не`, false}, {`\bno\b|не`, false}, {`\b[^\pL]не`, false},
		{`не \bno`, false}, {`не?\bno`, true}} {
		re, err := syntax.Parse(c.expr, syntax.Perl)
		if err != nil || (len(besideBoundary(re)) > 0) != c.bad {
			t.Errorf("%s: found %q, %v", c.expr, besideBoundary(re), err)
		}
	}
}

// patternsOf gives the expressions of the patterns of a package by their places.
func patternsOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	set, consts := token.NewFileSet(), map[string]ast.Expr{}
	more, err := filepath.Glob("../*/*.go")
	if err != nil {
		t.Fatal(err)
	}
	var calls []*ast.CallExpr
	for _, name := range more {
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		own := filepath.Dir(name) == dir && !strings.HasSuffix(name, "_test.go")
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				for i, v := range n.Values {
					consts[n.Names[i].Name] = v
				}
			case *ast.CallExpr:
				if fn := calledBy(n); own && (fn == "NewPattern" || fn == "MustCompile" || fn == "worded") {
					calls = append(calls, n)
				}
			}
			return true
		})
	}
	out := map[string]string{}
	for _, c := range calls {
		if s, ok := literal(c.Args[0], consts); ok {
			out[set.Position(c.Pos()).String()] = s
		}
	}
	return out
}

func calledBy(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// literal gives the text of a constant expression.
func literal(e ast.Expr, consts map[string]ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		s, err := strconv.Unquote(e.Value)
		return s, err == nil
	case *ast.BinaryExpr:
		a, ok := literal(e.X, consts)
		b, ok2 := literal(e.Y, consts)
		return a + b, ok && ok2
	case *ast.ParenExpr:
		return literal(e.X, consts)
	case *ast.SelectorExpr:
		return literal(e.Sel, consts)
	case *ast.Ident:
		if v := consts[e.Name]; v != nil {
			return literal(v, consts)
		}
	}
	return "", false
}

// edge is what may stand at an end of what an expression matches: the letters beyond ASCII, a boundary, and whether it may match
// nothing.
type edge struct {
	letters  []string
	boundary bool
	empty    bool
}

// besideBoundary gives the letters beyond ASCII beside which an expression asks for a boundary.
func besideBoundary(re *syntax.Regexp) []string {
	var bad []string
	for _, sub := range re.Sub {
		bad = append(bad, besideBoundary(sub)...)
	}
	if re.Op != syntax.OpConcat {
		return bad
	}
	for i := range re.Sub {
		left := edgeOf(re.Sub[i], true)
		for j := i + 1; j < len(re.Sub); j++ {
			right := edgeOf(re.Sub[j], false)
			if left.boundary {
				bad = append(bad, right.letters...)
			}
			if right.boundary {
				bad = append(bad, left.letters...)
			}
			if !right.empty {
				break
			}
		}
	}
	return bad
}

// edgeOf gives what may stand at the right or the left end of an expression.
func edgeOf(re *syntax.Regexp, right bool) edge {
	switch re.Op {
	case syntax.OpLiteral:
		r := re.Rune[0]
		if right {
			r = re.Rune[len(re.Rune)-1]
		}
		if r >= utf8.RuneSelf && unicode.IsLetter(r) {
			return edge{letters: []string{string(re.Rune)}}
		}
	case syntax.OpCharClass:
		return edge{letters: lettersOf(re.Rune)}
	case syntax.OpWordBoundary:
		return edge{boundary: true, empty: true}
	case syntax.OpEmptyMatch, syntax.OpBeginText, syntax.OpEndText, syntax.OpNoWordBoundary, syntax.OpBeginLine, syntax.OpEndLine:
		return edge{empty: true}
	case syntax.OpCapture, syntax.OpPlus:
		return edgeOf(re.Sub[0], right)
	case syntax.OpStar, syntax.OpQuest, syntax.OpRepeat:
		e := edgeOf(re.Sub[0], right)
		e.empty = e.empty || re.Op != syntax.OpRepeat || re.Min == 0
		return e
	case syntax.OpConcat, syntax.OpAlternate:
		return edgeOfAll(re, right)
	}
	return edge{}
}

func edgeOfAll(re *syntax.Regexp, right bool) edge {
	all := edge{empty: re.Op == syntax.OpConcat}
	for i := range re.Sub {
		sub := re.Sub[i]
		if right {
			sub = re.Sub[len(re.Sub)-1-i]
		}
		e := edgeOf(sub, right)
		all.letters, all.boundary = append(all.letters, e.letters...), all.boundary || e.boundary
		switch {
		case re.Op == syntax.OpAlternate:
			all.empty = all.empty || e.empty
		case !e.empty:
			all.empty = false
			return all
		}
	}
	return all
}

// lettersOf gives the letters beyond ASCII of a class that names its letters; a class of all that is not something is none
// of them.
func lettersOf(ranges []rune) []string {
	var out []string // without what (?i) adds to s and k
	for i := 0; i+1 < len(ranges); i += 2 {
		if ranges[i] >= utf8.RuneSelf && ranges[i+1]-ranges[i] < 64 && unicode.IsLetter(ranges[i]) && len(ranges) < 40 && !strings.ContainsRune("ſK", ranges[i]) {
			out = append(out, string(ranges[i:i+2]))
		}
	}
	return out
}
