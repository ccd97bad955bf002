// Package table reads the tables that the program carries as text: a row a line,
// fields parted by "|", lines that begin with "#" for people. They are part of the
// program, so what is wrong with one panics; tests read every line.
package table

import (
	"strconv"
	"strings"
)

// Rows gives the fields of every row.
func Rows(text string) [][]string {
	var rows [][]string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		rows = append(rows, fields(line, "|"))
	}
	return rows
}

// Sourced gives the rows of a table whose figures have sources, each of a row
// "source | key | name", and the names by key.
func Sourced(text string) (sources map[string]string, rows [][]string) {
	sources = map[string]string{}
	for _, f := range Rows(text) {
		if f[0] == "source" {
			sources[f[1]] = f[2]
			continue
		}
		rows = append(rows, f)
	}
	return sources, rows
}

// List gives the parts of a field that holds several, parted by ";".
func List(field string) []string {
	if field == "" {
		return nil
	}
	return fields(field, ";")
}

// Number gives a figure, and false for an empty field.
func Number(field string) (v float64, ok bool) {
	if field == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(field, 64)
	if err != nil {
		panic("table: " + err.Error())
	}
	return v, true
}

func fields(s, sep string) []string {
	out := strings.Split(s, sep)
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	return out
}
