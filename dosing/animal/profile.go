// Package animal holds what is known of the animals that treated water reaches:
// the water that each is comfortable in, and what harms it. Both are data, in
// animals.txt and toxicity.txt, with the source of every figure. Where a table
// has no figure for an animal there is none: another animal's figure is never
// passed off as its own.
package animal

import (
	_ "embed" // the tables are part of the program
	"strings"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
)

//go:embed animals.txt
var animalsTable string

// Parameter is what a figure of a profile is about.
type Parameter string

// The parameters that checks look at; profiles hold others for information.
const (
	PH         Parameter = "ph"
	Alkalinity Parameter = "alkalinity"
	CO2        Parameter = "co2"
	NH3        Parameter = "nh3"
	NH3Lethal  Parameter = "nh3-lethal"
)

// Range is one line of a profile. A bound that is not given has its Has false.
type Range struct {
	Parameter       Parameter
	Low, High       float64
	HasLow, HasHigh bool
	Unit            string
	Note, Source    string
	// Memory is true where the figure was not read in a source.
	Memory bool
	// Use is true for the figure that checks take.
	Use bool
}

// From is the source with its standing.
func (r Range) From() string {
	if r.Memory {
		return "from memory: " + r.Source
	}
	return r.Source
}

// Profile is one kind of animal.
type Profile struct {
	ID, Name string
	Also     []string
	// Group is how toxicity data are looked up, such as "salmonid".
	Group  string
	Ranges []Range
}

// Range gives the figure that checks take for a parameter, and whether there is one.
func (p Profile) Range(q Parameter) (Range, bool) {
	for _, r := range p.Ranges {
		if r.Parameter == q && r.Use {
			return r, true
		}
	}
	return Range{}, false
}

// Profiles lists the animals of the table in its order.
func Profiles() []Profile {
	sources, rows := table.Sourced(animalsTable)
	var out []Profile
	index := map[string]int{}
	for _, f := range rows {
		i, ok := index[f[0]]
		if !ok {
			i = len(out)
			index[f[0]] = i
			out = append(out, Profile{ID: f[0]})
		}
		p := &out[i]
		switch {
		case f[1] == "name":
			p.Name = f[2]
		case f[1] == "also":
			p.Also = table.List(f[2])
		case f[1] == "group":
			p.Group = f[2]
		default:
			r := Range{Parameter: Parameter(f[1]), Unit: f[4], Note: f[5], Source: sources[f[6]], Memory: f[7] == "memory", Use: f[8] == "use"}
			r.Low, r.HasLow = table.Number(f[2])
			r.High, r.HasHigh = table.Number(f[3])
			p.Ranges = append(p.Ranges, r)
		}
	}
	return out
}

// Find looks an animal up by any of its names; "rainbow trout fry" finds trout.
// The error names the nearest.
func Find(name string) (Profile, error) {
	want := fold(name)
	all := Profiles()
	var names []string
	for _, p := range all {
		for _, n := range append([]string{p.ID, p.Name}, p.Also...) {
			if fold(n) == want {
				return p, nil
			}
			names = append(names, n)
		}
	}
	var best Profile
	longest := 0
	for _, p := range all {
		for _, n := range append([]string{p.Name}, p.Also...) {
			if f := fold(n); len(f) > longest && contains(want, f) {
				best, longest = p, len(f)
			}
		}
	}
	if longest > 0 {
		return best, nil
	}
	return Profile{}, note.New(note.Caution, "animal-unknown", "nothing is known here of %q%s", name, note.DidYouMean(name, names)).
		Do("give its pH range and least alkalinity in the site workbook, and have a bioassay made")
}

func fold(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// contains reports that the words of part stand in text, the last perhaps with an s.
func contains(text, part string) bool {
	t := " " + text + " "
	return strings.Contains(t, " "+part+" ") || strings.Contains(t, " "+part+"s ")
}
