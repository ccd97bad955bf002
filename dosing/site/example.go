package site

import (
	_ "embed" // the example is part of the program
	"strings"

	"jarwright/dosing/table"
)

//go:embed example.txt
var exampleLists string

// Values is what to write into a site: by sheet, then by row (item sheets have
// one), then by field name, each as text with its unit.
type Values map[string][]map[string]string

// Example gives the demo site, invented from end to end. With a bench file named,
// the coagulant's dose comes from it.
func Example(bench, target string) Values {
	v := Values{}
	for _, s := range Sheets() {
		if s.List {
			continue
		}
		row := map[string]string{}
		for _, f := range s.Fields {
			if ofLog := strings.HasPrefix(f.member, "Log"); f.Example != "" && !ofLog {
				row[f.Name] = example(f)
			}
		}
		v[s.Name] = []map[string]string{row}
	}
	for _, r := range table.Rows(exampleLists) {
		row := map[string]string{}
		for _, pair := range r[1:] {
			field, value, _ := strings.Cut(pair, ": ")
			row[field] = value
		}
		v[r[0]] = append(v[r[0]], row)
	}
	if bench != "" {
		alum := v["Chemicals"][0]
		for _, f := range []string{"dose", "dose low", "dose high"} {
			delete(alum, f)
		}
		alum["bench sheet"], alum["target"] = bench, target
	}
	return v
}
