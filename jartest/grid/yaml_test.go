package grid

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

func TestYAML(t *testing.T) {
	for text, want := range map[string]string{
		"flow:\n  average: 2 m3/h\n":       "flow:\n  average: 2 m3/h",
		"\ufeffflow:\n  average: 2 m3/h\n": "flow:\n  average: 2 m3/h",
		"---\nflow: 012\n...\n":            "flow: 012",
		"---\nflow: 1\n---\n":              "flow: 1",
		"\xff\xfef\x00:\x00 \x001\x00":     "f: 1",
		"":                                 "<nil>",
		" \n\n":                            "<nil>",
		"# nothing\n":                      "<nil>",
		strings.Repeat("[", 20) + strings.Repeat("]", 20): strings.Repeat("[", 20) + strings.Repeat("]", 20),
		"a: [{b: [1, 2]}]\nc: {d: {e: f}}\n":              "a: [{b: [1, 2]}]\nc: {d: {e: f}}",
		"name: \"a & b *c\"\nb: x &y\n":                   "name: \"a & b *c\"\nb: x &y",
	} {
		n, err := YAML("site.yaml", []byte(text))
		if got := fmt.Sprint(n); err != nil || strings.TrimSpace(got) != want {
			t.Errorf("%q gives %q, %v, want %q", text, got, err, want)
		}
	}
	deep := ""
	for i := range yamlDepth.Most() + 1 {
		deep += strings.Repeat(" ", i) + "a:\n"
	}
	laughs := "a: &a [x, x, x]\n" + repeat(9, "b%d: &b%d [*a, *a, *a]\n")
	full := yamlBytes.Most() - 200
	for name, x := range map[string]struct{ text, code, place, says string }{
		"a second document": {"a: 1\n---\nb: 2\n", "second-document", "site.yaml: line 2, column 1", "a second document begins here"},
		"a key twice":       {"a: 1\nb: 2\na: 3\n", "bad-yaml", "site.yaml: line 3, column 1", "already defined"},
		"an open bracket":   {"a: [1\n", "bad-yaml", "site.yaml: line 1, column 4", "not YAML"},
		"an anchor":         {"a: &x 1\n", "bad-yaml", "site.yaml: line 1, column 4", "anchors"},
		"an alias":          {"a: *x\n", "bad-yaml", "site.yaml: line 1, column 4", "anchors"},
		"a merge":           {"a:\n  <<: b\n", "bad-yaml", "site.yaml: line 2, column 3", "anchors"},
		"a hundred laughs":  {laughs, "bad-yaml", "site.yaml: line 1, column 4", "anchors"},
		"a NUL":             {"a: 1\nb: 2\x003\n", "nul-byte", "site.yaml: line 2", "zero byte"},
		"a workbook":        {string(zipOf(t, entry{"xl/a", ""})), "not-yaml", "site.yaml", "a workbook"},
		"a page":            {"<html>", "html", "site.yaml", "HTML"},
		"a large file":      {strings.Repeat("#", yamlBytes.Most()+1), "too-large", "site.yaml", yamlBytes.Fault(note.Place{}).Message},
		"brackets":          {strings.Repeat("[", full), "too-large", "site.yaml: line 1, column 21", yamlDepth.Fault(note.Place{}).Message},
		"braces":            {strings.Repeat("{", full), "too-large", "site.yaml: line 1, column 21", yamlDepth.Fault(note.Place{}).Message},
		"dashes":            {strings.Repeat("- ", full/2), "too-large", "site.yaml: line 1, column 41", yamlDepth.Fault(note.Place{}).Message},
		"steps":             {deep, "too-large", "site.yaml: line 21, column 22", yamlDepth.Fault(note.Place{}).Message},
		"keys":              {repeat(yamlKeys.Most()+1, "a%d: 1\n"), "too-large", "site.yaml: line 5001, column 6", yamlKeys.Fault(note.Place{}).Message},
		"entries":           {"a: [" + strings.Repeat("1,", yamlKeys.Most()), "too-large", "site.yaml: line 1, column 10004", yamlKeys.Fault(note.Place{}).Message},
		"percent signs":     {strings.Repeat("%", full), "bad-yaml", "site.yaml: line 1, column 1", "not YAML"},
		"quotes":            {strings.Repeat(`"`, full), "bad-yaml", "site.yaml: line 1, column 3", "not YAML"},
	} {
		err := measured(t, name, len(x.text), func() error { _, err := YAML("site.yaml", []byte(x.text)); return err })
		wants(t, name, err, x.code, x.place, x.says)
	}
	wide := repeat(yamlKeys.Most()-1, "a%d: 1\n")
	if _, err := YAML("site.yaml", []byte(wide)); err != nil {
		t.Errorf("the most keys: %v", err)
	}
	if p := TokenPlace("f", nil).String(); p != "f" {
		t.Errorf("no token stands at %s", p)
	}
}
