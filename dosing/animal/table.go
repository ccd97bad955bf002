package animal

import (
	"fmt"
	"strconv"
	"strings"
)

// lines takes one of the embedded tables apart: its sources by key, and the
// fields of every other line with the number of the line.
func lines(table string) (sources map[string]string, rows [][]string) {
	sources = map[string]string{}
	for _, line := range strings.Split(table, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		f := strings.Split(line, "|")
		for i := range f {
			f[i] = strings.TrimSpace(f[i])
		}
		if f[0] == "source" {
			sources[f[1]] = f[2]
			continue
		}
		rows = append(rows, f)
	}
	return sources, rows
}

// number reads a bound; "" is none, and ">5" is 5 with more set.
func number(s string) (v float64, known, more bool) {
	if s == "" {
		return 0, false, false
	}
	s, more = strings.CutPrefix(s, ">")
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("animal: embedded table: %v", err)) // a test reads every line
	}
	return v, true, more
}

func split(s string) []string {
	var out []string
	for _, x := range strings.Split(s, ";") {
		if x = strings.TrimSpace(x); x != "" {
			out = append(out, x)
		}
	}
	return out
}

func fold(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }
