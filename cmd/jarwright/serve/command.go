package serve

import "strings"

// CommandLine is what one would type at a terminal for the same answer.
func CommandLine(args []string) string {
	out := []string{"jarwright"}
	for _, a := range args {
		if a == "" || strings.ContainsAny(a, " \t<>=|&;()'\"*?[]#~%!{}$`\\") {
			a = quoted(a)
		}
		out = append(out, a)
	}
	return strings.Join(out, " ")
}

// quoted puts a word between quotes that a shell takes as they are.
func quoted(a string) string {
	if strings.ContainsAny(a, "\"$`\\!") {
		return "'" + strings.ReplaceAll(a, "'", `'\''`) + "'"
	}
	return `"` + a + `"`
}
