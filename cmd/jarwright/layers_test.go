package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// layer ranks the parts of the program: a package may import only from its own
// part or one below it.
func layer(pkg string) int {
	for i, top := range [...]string{"jartest", "dosing", "templates", "cmd"} {
		if pkg == "jarwright/"+top || strings.HasPrefix(pkg, "jarwright/"+top+"/") {
			return i
		}
	}
	return -1
}

// leaves may import nothing else of the program but each other.
var leaves = map[string]bool{"jarwright/jartest/note": true, "jarwright/jartest/quantity": true,
	"jarwright/jartest/engine": true, "jarwright/jartest/engine/lsq": true}

// kept lists what only some packages may import, and which.
var kept = []struct {
	path string
	in   []string
}{
	{"github.com/spf13/cobra", []string{"jarwright/cmd/"}},
	// Workbooks and text are read in one place and workbooks written in one.
	{"github.com/xuri/excelize/v2", []string{"jarwright/templates/book"}},
	{"github.com/goccy/go-yaml/parser", []string{"jarwright/jartest/grid"}},
	{"archive/zip", []string{"jarwright/jartest/grid", "jarwright/templates/book"}},
	{"os", []string{"jarwright/cmd/"}},
	{"net", []string{"jarwright/cmd/"}},
	{"net/http", []string{"jarwright/cmd/jarwright/serve", "jarwright/cmd/jarwright"}},
}

// TestLayers reads the imports of every package file and fails on an arrow that
// points up, on a leaf that is none, and on a library in a package that is not meant to know it.
func TestLayers(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	files := 0
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && path != root) {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") {
			return nil
		}
		files++
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		pkg := "jarwright/" + filepath.ToSlash(filepath.Dir(rel))
		test := strings.HasSuffix(path, "_test.go")
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if up := layer(imp); up > layer(pkg) {
				t.Errorf("%s imports %s, which lies above it", rel, imp)
			}
			if leaves[pkg] && layer(imp) >= 0 && !leaves[imp] {
				t.Errorf("%s is a leaf and imports %s", rel, imp)
			}
			if test {
				continue
			}
			for _, k := range kept {
				if imp != k.path {
					continue
				}
				allowed := false
				for _, p := range k.in {
					allowed = allowed || strings.HasPrefix(pkg+"/", strings.TrimSuffix(p, "/")+"/")
				}
				if !allowed {
					t.Errorf("%s imports %s; only %v may", rel, imp, k.in)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 10 {
		t.Fatalf("only %d Go files found below %s", files, root)
	}
}
