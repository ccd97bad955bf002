package site

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"jarwright/jartest/quantity"
)

// WriteYAML writes values as site.yaml, every field of the table in its place:
// those without a value stand as comments with meaning and the unit of its readers.
func WriteYAML(w io.Writer, values Values) error {
	var b strings.Builder
	b.WriteString("# The site, for jarwright. Every value carries its unit. Lines with # are fields\n# that were left out; take the # away to use them.\n")
	for _, s := range sheetsIn(values.system()) {
		fmt.Fprintf(&b, "\n# %s\n%s:\n", s.Meaning, s.Key())
		rows := values[s.Name]
		if !s.List {
			var row map[string]string
			if len(rows) > 0 {
				row = rows[0]
			}
			for _, f := range s.Fields {
				yamlLine(&b, "  ", f, row[f.Name])
			}
			continue
		}
		for _, row := range rows {
			lead := "  - "
			for _, f := range s.Fields {
				if row[f.Name] != "" {
					yamlLine(&b, lead, f, row[f.Name])
					lead = "    "
				}
			}
		}
		b.WriteString("  # fields:\n")
		for _, f := range s.Fields {
			fmt.Fprintf(&b, "  #   %s: %s\n", f.Key(), strings.TrimSpace(f.Meaning+unitIn(f)))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteShortYAML writes the short form as site.yaml: what was answered, and as a comment
// what was asked for and left out. Nothing else stands there.
func WriteShortYAML(w io.Writer, values Values) error {
	var b strings.Builder
	b.WriteString("# The site, for jarwright. Every value carries its unit. Lines with # were left out.\n")
	for _, s := range sheetsIn(values.system()) {
		head, rows := "\n"+s.Key()+":\n", values[s.Name]
		if len(rows) == 0 || !s.List {
			rows = append(rows[:len(rows):len(rows)], nil)[:1]
		}
		for _, row := range rows {
			head = shortRow(&b, head, s, row, values)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// shortRow writes one row of a sheet below its head, which it gives back where nothing was written.
func shortRow(b *strings.Builder, head string, s Sheet, row map[string]string, values Values) string {
	first, later := "  ", "  "
	switch {
	case s.List && len(row) > 0:
		first, later = "  - ", "    "
	case s.List: // its lines become a row where the # is taken away
		first, later = "- ", "  "
	}
	for _, f := range s.Fields {
		if !InShort(s, f, values) {
			continue
		}
		b.WriteString(head)
		switch {
		case s.List && len(row) == 0:
			b.WriteString("  # " + first)
			fmt.Fprintf(b, "%s: %s\n", f.Key(), strings.TrimSpace(f.Meaning+unitIn(f)))
		default:
			yamlLine(b, first, f, row[f.Name])
		}
		if head = ""; len(row) == 0 || row[f.Name] != "" {
			first = later
		}
	}
	return head
}

// sheetsIn is the field table with the units of such readers.
func sheetsIn(sys quantity.System) (out []Sheet) {
	for _, s := range Sheets() {
		s.Fields = each(s.Fields, func(f Field) Field { return f.In(sys) })
		out = append(out, s)
	}
	return out
}

func unitIn(f Field) string {
	if f.Unit == "" {
		return ""
	}
	return " [" + f.Unit + "]"
}

func yamlLine(b *strings.Builder, lead string, f Field, value string) {
	if value == "" {
		fmt.Fprintf(b, "%s# %s: %s\n", lead, f.Key(), strings.TrimSpace(f.Meaning+unitIn(f)))
		return
	}
	fmt.Fprintf(b, "%s%s: %s\n", lead, f.Key(), strconv.Quote(value))
}
