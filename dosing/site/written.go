package site

import (
	"path/filepath"
	"regexp"
	"strings"

	"jarwright/jartest/note"
)

// Written is what the file of a site holds, as it was written: each field that is filled in, with its unit. What it means, and whether it
// can be, [Read] says; a file that cannot be taken apart is an error.
func Written(name string, data []byte) (Values, error) {
	take := workbookBlocks
	if ending := strings.ToLower(filepath.Ext(name)); ending == ".yaml" || ending == ".yml" {
		take = yamlBlocks
	}
	blocks, faults, err := take(name, data)
	if err == nil {
		err = faults.Err()
	}
	if err != nil {
		return nil, err
	}
	out := Values{}
	var bad note.List
	for _, b := range blocks {
		for _, r := range b.rows {
			row := map[string]string{}
			for field, e := range r.entries {
				switch {
				case e.bad != nil:
					bad.Add(e.bad.At(e.at))
				case e.unit != "" && bareNumber.MatchString(e.text):
					row[field] = e.text + " " + e.unit
				case e.text != "":
					row[field] = e.text
				}
			}
			if len(row) > 0 {
				out[b.sheet.Name] = append(out[b.sheet.Name], row)
			}
		}
	}
	return out, bad.Err()
}

// bareNumber is one without a unit.
var bareNumber = regexp.MustCompile(`^[-+]?[0-9.,]+(?:[eE][-+]?[0-9]+)?$`)

// NamedBy is the field that tells the rows of a list of the site apart.
func NamedBy(sheet string) string { return namedBy(sheet) }
