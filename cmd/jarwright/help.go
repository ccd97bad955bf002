package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"jarwright/templates"
)

// tasks are the commands by what one is at, in the order of the work.
var tasks = []struct {
	at       string
	commands []string
}{
	{"On the bench", []string{"new", "read", "fit", "next", "track"}},
	{"In the plant", []string{"plan", "pump", "clarify", "restock", "trial", "compare"}},
	{"The month", []string{"budget"}},
	{"Files, names and help", []string{"serve", "demo", "chemical", "completion", "help"}},
}

// shorts say in a line what commands are for that the library brings.
var shorts = map[string]string{"completion": "Lets your shell complete commands and flags", "help": "Help about a command"}

// valueNames name what a flag takes, where that is not the last word of the flag's own name.
var valueNames = map[string]string{
	"accuracy": "SHARE", "check": "READING", "column": "NAME=HEADING", "decimal": "MARK", "drawdown": "READING", "every": "TIME",
	"hours": "TIME", "meter": "FLOWS", "per-turn": "VOLUME", "ph": "PH", "pump-max": "RATE", "scatter": "SHARE", "scatter-jars": "COUNT",
	"tube": "SIZE", "turndown": "RATIO", "draws": "COUNT", "months": "COUNT", "jars": "COUNT", "lives": "TIME", "strength": "SHARE",
}

// valueName is what stands after a flag in its help: --flow FLOW; nothing after one that takes no value.
func valueName(f *pflag.Flag) string {
	name, _ := pflag.UnquoteUsage(f)
	if name == "" || strings.Contains(f.Usage, "`") || strings.ToUpper(f.Value.Type()) == f.Value.Type() {
		return name
	}
	words := strings.Split(f.Name, "-")
	return cmp.Or(valueNames[f.Name], strings.ToUpper(words[len(words)-1]))
}

// help writes what a command does: how it is called, examples, then the rest.
func (e *env) help(w io.Writer, c *cobra.Command) {
	h := helpPage{w: w, width: cmp.Or(e.Width, 80)}
	first, rest, more := strings.Cut(cmp.Or(c.Long, c.Short+"."), "\n\n")
	h.words(first)
	if c.HasExample() {
		h.head("Examples")
		for l := range strings.SplitSeq(c.Example, "\n") {
			h.line("  " + strings.TrimSpace(l))
		}
	}
	h.head("Called as")
	h.item("", either(c.HasAvailableSubCommands(), c.CommandPath()+" COMMAND", strings.TrimSuffix(c.UseLine(), " [flags]")))
	if more {
		h.line("")
		h.words(rest)
	}
	if c.HasParent() {
		h.commands("Commands", c.Commands())
	} else {
		for _, t := range tasks {
			h.commands(t.at, inOrder(c, t.commands))
		}
	}
	h.flags(either(c.HasParent(), "Flags", "Flags of every command"), c.LocalFlags())
	if c.HasParent() {
		h.line("")
		h.words("Every command takes " + strings.Join(flagNames(c.InheritedFlags()), ", ") + " as well; 'jarwright --help' says what they do.")
	} else {
		h.line("")
		h.words("'jarwright COMMAND --help' says more of one.")
	}
}

// either is the one where something holds, else the other.
func either[T any](holds bool, one, other T) T {
	if holds {
		return one
	}
	return other
}

// inOrder are those of a command's own commands that have these names, in this order.
func inOrder(c *cobra.Command, names []string) (out []*cobra.Command) {
	for _, n := range names {
		if i := slices.IndexFunc(c.Commands(), func(x *cobra.Command) bool { return x.Name() == n }); i >= 0 {
			out = append(out, c.Commands()[i])
		}
	}
	return out
}

// flagNames are flags with what they take.
func flagNames(fs *pflag.FlagSet) (out []string) {
	fs.VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			out = append(out, strings.TrimSpace("--"+f.Name+" "+valueName(f)))
		}
	})
	return out
}

// helpPage lays help out within a width.
type helpPage struct {
	w     io.Writer
	width int
}

func (h helpPage) line(s string) { fmt.Fprintln(h.w, strings.TrimRight(s, " ")) }

func (h helpPage) head(s string) {
	h.line("")
	h.line(s)
}

// words writes paragraphs, wrapped anew; lines that begin with a blank stand as they are.
func (h helpPage) words(s string) {
	for i, p := range strings.Split(strings.TrimSpace(s), "\n\n") {
		if i > 0 {
			h.line("")
		}
		if strings.HasPrefix(p, " ") {
			h.line(p)
			continue
		}
		for _, l := range templates.Wrap(strings.ReplaceAll(p, "\n", " "), h.width) {
			h.line(l)
		}
	}
}

// item writes a name and beside it what it means; a name that is too wide has that below.
func (h helpPage) item(name, s string) {
	const beside = 24
	lines := templates.Wrap(s, h.width-beside)
	if name == "" {
		lines = templates.Wrap(s, h.width-2)
	}
	switch {
	case name == "":
		for _, l := range lines {
			h.line("  " + l)
		}
		return
	case len([]rune(name)) > beside-4:
		h.line("  " + name)
	default:
		h.line(fmt.Sprintf("  %-*s%s", beside-2, name, lines[0]))
		lines = lines[1:]
	}
	for _, l := range lines {
		h.line(strings.Repeat(" ", beside) + l)
	}
}

func (h helpPage) commands(head string, list []*cobra.Command) {
	list = slices.DeleteFunc(slices.Clone(list), func(c *cobra.Command) bool { return !c.IsAvailableCommand() && c.Name() != "help" })
	if len(list) == 0 {
		return
	}
	h.head(head)
	for _, c := range list {
		h.item(c.Name(), c.Short)
	}
}

func (h helpPage) flags(head string, fs *pflag.FlagSet) {
	if !fs.HasAvailableFlags() {
		return
	}
	h.head(head)
	fs.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		_, usage := pflag.UnquoteUsage(f)
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if !slices.Contains([]string{"", "false", "0", "[]"}, f.DefValue) {
			usage += " (" + f.DefValue + " when absent)"
		}
		h.item(strings.TrimSpace(name+" "+valueName(f)), usage)
	})
}
