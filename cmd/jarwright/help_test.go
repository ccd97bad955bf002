package main

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// TestHelpHasEveryCommand: no command is left out of the tasks, and no flag takes a value without a name.
func TestHelpHasEveryCommand(t *testing.T) {
	e := &env{streams: streams{Width: 80}}
	root := newRoot(e)
	var listed []string
	for _, k := range tasks {
		listed = append(listed, k.commands...)
	}
	for _, n := range listed {
		if len(inOrder(root, []string{n})) != 1 {
			t.Errorf("%s is listed and is no command", n)
		}
	}
	var each func(c *cobra.Command)
	each = func(c *cobra.Command) {
		if c.Parent() == root && !slices.Contains(listed, c.Name()) {
			t.Errorf("%s stands under no task", c.Name())
		}
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if v := valueName(f); v != strings.ToUpper(v) || (v == "") != (f.NoOptDefVal == "true") {
				t.Errorf("%s --%s takes %q", c.CommandPath(), f.Name, v)
			}
		})
		var b bytes.Buffer
		e.help(&b, c)
		for l := range strings.SplitSeq(b.String(), "\n") {
			if len([]rune(l)) > 80 && !strings.HasPrefix(l, "  jarwright ") {
				t.Errorf("%s: too wide: %s", c.CommandPath(), l)
			}
		}
		for _, x := range c.Commands() {
			if x.Name() != "completion" {
				each(x)
			}
		}
	}
	each(root)
}

// TestUnicodeLocale: the first variable that is set tells, as POSIX.1-2017, 8.2 has it.
func TestUnicodeLocale(t *testing.T) {
	for _, c := range []struct {
		set  map[string]string
		want bool
	}{
		{nil, false}, {map[string]string{"LANG": "C.UTF-8"}, true}, {map[string]string{"LANG": "de_DE.utf8"}, true},
		{map[string]string{"LANG": "en_GB.UTF-8", "LC_ALL": "C"}, false}, {map[string]string{"LC_CTYPE": "C.UTF-8", "LANG": "POSIX"}, true},
	} {
		if got := unicodeLocale(func(name string) string { return c.set[name] }); got != c.want {
			t.Errorf("%v: %v", c.set, got)
		}
	}
}

// TestBlocks: a terminal that has the characters shows the number in three lines; --ascii, or a file, keeps to ASCII.
func TestBlocks(t *testing.T) {
	shown := func(args ...string) string {
		var out bytes.Buffer
		run(args, streams{In: strings.NewReader(""), Out: &out, Err: &out, OutTerminal: true, Blocks: true, NoColor: true, Width: 80})
		return out.String()
	}
	args := []string{"plan", "--flow", "3.6 m3/h", "--dose", "10 mg/L", "--basis", "as product", "--density", "1.2 kg/L", "--pump-max", "1 L/h"}
	if got := shown(args...); !strings.Contains(got, "\u2501\u2501") || !strings.Contains(got, "\u2580") {
		t.Errorf("no blocks in\n%s", got)
	}
	for _, r := range shown(append(args, "--ascii")...) {
		if r >= 0x2500 && r < 0x25a0 {
			t.Errorf("%q in ASCII", r)
		}
	}
}
