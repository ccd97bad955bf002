// Package animal holds what is known of the animals that treated water reaches:
// the water that each is comfortable in, at each stage of its life where sources
// tell, and what harms it. Both are data, in animals.txt and toxicity.txt, with the
// source of every figure. Where a table has no figure for an animal there is none:
// another animal's figure is named as such.
package animal

import (
	"cmp"
	_ "embed" // the tables are part of the program
	"slices"
	"strings"
	"sync"
	"unicode"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed animals.txt
var animalsTable string

// Parameter is what a figure of a profile is about.
type Parameter string

// The parameters that checks look at; profiles hold others for information.
const (
	PH         Parameter = "ph"
	Alkalinity Parameter = "alkalinity"
	// AlkalinityHarm is alkalinity that harms by being high.
	AlkalinityHarm Parameter = "alkalinity-harm"
	Hardness       Parameter = "hardness"
	Temperature    Parameter = "temperature"
	Salinity       Parameter = "salinity"
	CO2            Parameter = "co2"
	NH3            Parameter = "nh3"
	NH3Lethal      Parameter = "nh3-lethal"
)

// Range is one line of a profile. A bound that is not given has its Has false.
type Range struct {
	Parameter       Parameter
	Low, High       float64
	HasLow, HasHigh bool
	Unit            string
	Note, Source    string
	// Status is "read", "computed" (from figures read in the source) or "memory".
	Status string
	// Use is true for the figure that checks take.
	Use bool
	// Harms is true where the bounds themselves harm: water that comes to one is outside.
	Harms bool
	// Stage is the stage of life that the figure is of; empty for any.
	Stage Stage
	// Of names the other animal that the figure is borrowed from.
	Of string
}

// Memory is true where the figure was not read in a source.
func (r Range) Memory() bool { return r.Status == "memory" }

// From is the source with its standing.
func (r Range) From() string {
	from := r.Source
	if r.Memory() {
		from = "from memory, not checked in its source: " + from
	}
	if r.Stage != "" {
		from += ", " + string(r.Stage)
	}
	if r.Of != "" {
		from += "; borrowed from " + r.Of
	}
	return from
}

// Profile is one kind of animal.
type Profile struct {
	ID, Name string
	// Also are all its other names; those of lent are of more than this animal.
	Also []string
	lent []string
	// loose are those of lent that count only where no other word narrows them.
	loose []string
	// Group is how toxicity data are looked up, such as "salmonid".
	Group string
	// Water is what they are kept in.
	Water  Water
	Ranges []Range
}

// Water is a kind of water that animals are kept in; zero where that is not known.
type Water struct {
	Name string
	// Low and High bound its salinity in g/kg: common practice, no source.
	Low, High float64
}

// Salt is true of animals that fresh water is not for.
func (p Profile) Salt() bool { return p.Water.Low > 0 }

// LivesAt reports that a salinity in g/kg is none that speaks against the animal, at any
// stage of its life.
func (p Profile) LivesAt(salinity float64) bool {
	low, high := p.Water.Low, p.Water.High
	for _, r := range p.Ranges {
		if r.Parameter == Salinity && r.Use && r.HasHigh && r.High > high {
			high = r.High
		}
		if r.Parameter == Salinity && r.Use && r.HasLow && r.Low < low {
			low = r.Low
		}
	}
	return p.Water.Name != "" && salinity >= low && salinity <= high
}

// Range gives the figure that checks take for a parameter at a stage of life, and
// whether there is one. A stage without a figure takes that of all stages that have
// none, else of the nearest younger one, else of the nearest older; where the stage is
// not known, the figure that asks for the most counts.
func (p Profile) Range(q Parameter, s Stage) (best Range, ok bool) {
	own := ageOf(s)
	far := func(r Range) int {
		age := ageOf(r.Stage)
		switch {
		case r.Stage == s:
			return 0
		case r.Stage == "":
			return 1
		case s == "": // all alike
			return 2
		case age < own: // younger, the nearest first
			return 1 + own - age
		}
		return 1 + len(stages()) + age - own
	}
	for _, r := range p.Ranges {
		if r.Parameter == q && r.Use && (!ok || far(r) < far(best) || far(r) == far(best) && r.asks(best)) {
			best, ok = r, true
		}
	}
	return best, ok
}

// asks reports that a figure asks for more than another of the same parameter: by the most
// that it allows, else by the least; of what kills, the lower.
func (r Range) asks(than Range) bool {
	switch {
	case r.Parameter == NH3Lethal:
		return r.Low < than.Low
	case r.HasHigh && than.HasHigh:
		return r.High < than.High
	}
	return r.Low > than.Low
}

// Outside reports that a value lies outside the range, by more than a share of its bounds;
// a bound that harms may not be reached.
func (r Range) Outside(v, share float64) bool {
	if r.Harms {
		return r.HasLow && v <= r.Low || r.HasHigh && v >= r.High
	}
	return r.HasLow && v < r.Low*(1-share) || r.HasHigh && v > r.High*(1+share)
}

// Kills gives the free ammonia from which on an animal dies at a stage of life. A figure of
// another stage gives way to what the animal was found to live in unharmed at one that is nearer.
func (p Profile) Kills(s Stage) (Range, bool) {
	r, ok := p.Range(NH3Lethal, s)
	safe, known := p.Range(NH3, s)
	if ok && known && r.Stage != s && safe.Stage != r.Stage && safe.High >= r.Low {
		return Range{}, false
	}
	return r, ok
}

// Stage is a stage of life, as the table names it.
type Stage string

// stages are the rows of the stages, from the youngest on.
var stages = sync.OnceValue(func() [][]string {
	return rowsOf("stage")
})

// rowsOf are the rows of the table that are of no animal but of what they all share.
func rowsOf(what string) [][]string {
	return slices.DeleteFunc(table.Rows(animalsTable), func(f []string) bool { return f[0] != what })
}

// shared are the names of such rows.
var shared = []string{"stage", "plain", "kept in", "any stage"}

// ageOf is the place of a stage from the youngest; one that is not known is younger than all.
func ageOf(s Stage) int {
	return slices.IndexFunc(stages(), func(f []string) bool { return f[1] == string(s) })
}

// Young reports a stage as tender as any that is tested; so counts one that is not given.
func Young(s Stage) bool {
	i := ageOf(s)
	return i < 0 || len(stages()[i]) > 3 && stages()[i][3] == "young"
}

// Stages are the names of all stages, from the youngest on.
func Stages() (out []string) {
	for _, f := range stages() {
		out = append(out, f[1])
	}
	return out
}

// AnyStage reports a text that says that all stages are kept, or that nobody knows which.
func AnyStage(text string) bool {
	return slices.ContainsFunc(rowsOf("any stage"), func(f []string) bool { return slices.Contains(table.List(f[1]), fold(text)) })
}

// StageIn finds the stage of life that a text speaks of, the youngest of several:
// "trout fry", "PL12", "broodstock". Empty where it speaks of none.
func StageIn(text string) Stage {
	words := fold(strings.Map(func(r rune) rune {
		return map[bool]rune{true: ' ', false: r}[strings.ContainsRune("0123456789.,;()/", r)]
	}, text))
	for _, f := range stages() {
		if slices.ContainsFunc(table.List(f[2]), func(w string) bool { return contains(words, fold(w)) }) {
			return Stage(f[1])
		}
	}
	return ""
}

// Profiles lists the animals of the table in its order.
func Profiles() []Profile { return slices.Clone(profiles()) }

// profiles is the table, read once.
var profiles = sync.OnceValue(func() []Profile {
	sources, rows := table.Sourced(animalsTable)
	rows = slices.DeleteFunc(rows, func(f []string) bool { return slices.Contains(shared, f[0]) })
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
			p.Also = append(p.Also, table.List(f[2])...)
		case f[1] == "kin" || f[1] == "loose":
			p.Also = append(p.Also, table.List(f[2])...)
			p.lent = append(p.lent, table.List(f[2])...)
			if f[1] == "loose" {
				p.loose = append(p.loose, table.List(f[2])...)
			}
		case f[1] == "borrow":
			from, ok := index[f[2]]
			if !ok {
				panic("animal: " + f[0] + " borrows from " + f[2] + ", which does not stand above it") // a test reads every line
			}
			p.borrow(out[from])
		case f[1] == "group":
			p.Group = f[2]
		case f[1] == "water":
			p.Water = waterNamed(f[2])
		default:
			r := Range{Parameter: Parameter(f[1]), Unit: f[4], Note: f[5], Source: sources[f[6]], Status: f[7],
				Use: f[8] == "use" || f[8] == "harms", Harms: f[8] == "harms"}
			more := append(f[9:], "", "") // stage and owner may be left out
			r.Stage, r.Of = Stage(more[0]), more[1]
			r.Low, r.HasLow = table.Number(f[2])
			r.High, r.HasHigh = table.Number(f[3])
			p.Ranges = append(p.Ranges, r)
		}
	}
	return out
})

// waterNamed is the kind of water of that name.
func waterNamed(name string) Water {
	for _, f := range rowsOf("kept in") {
		if f[1] == name {
			low, _ := table.Number(f[2])
			high, _ := table.Number(f[3])
			return Water{name, low, high}
		}
	}
	panic("animal: no water " + name) // a test reads every line
}

// borrow takes the figures of another animal that p has none of.
func (p *Profile) borrow(of Profile) {
	own := slices.Clone(p.Ranges)
	for _, r := range lend(of).Ranges {
		if r.Use && !slices.ContainsFunc(own, func(x Range) bool { return x.Use && x.Parameter == r.Parameter }) {
			p.Ranges = append(p.Ranges, r)
		}
	}
}

// lend is an animal whose figures are another's.
func lend(p Profile) Profile {
	p.Ranges = slices.Clone(p.Ranges)
	for i, r := range p.Ranges {
		p.Ranges[i].Of = cmp.Or(r.Of, p.Name)
	}
	return p
}

// call is one name of an animal.
type call struct {
	of           int // its place in the table
	name, folded string
}

// calls are all names of all animals, in the order of the table.
var calls = sync.OnceValue(func() (out []call) {
	for i, p := range profiles() {
		for _, n := range append([]string{p.Name}, p.Also...) {
			out = append(out, call{i, n, fold(n)})
		}
	}
	return out
})

// Find looks an animal up by any of its names; "rainbow trout fry" finds trout. A name that
// is of more animals than one, or that a word narrows which the table does not know, gives
// figures that are marked as borrowed; one that may mean anything then is not found.
// The error names the nearest.
func Find(name string) (Profile, error) {
	p, _, err := FindIn(name, quantity.Known[quantity.Salinity]{})
	return p, err
}

// FindIn is [Find] for an animal of a water. Where a name is of several animals, it is the
// one that lives at that salinity; others are those that it may as well be of, where the
// water leaves more than one or none.
func FindIn(name string, s quantity.Known[quantity.Salinity]) (best Profile, others []string, err error) {
	var found []Profile
	if found, err = called(name); err != nil {
		return Profile{}, nil, err
	}
	live := slices.DeleteFunc(slices.Clone(found), func(p Profile) bool { return !s.OK || !p.LivesAt(float64(s.V)) })
	if len(live) == 0 {
		live = found
	}
	for _, p := range live[1:] {
		others = append(others, p.Name)
	}
	return live[0], others, nil
}

// called are the animals of a name, in the order of the table.
func called(name string) (found []Profile, err error) {
	want := fold(strings.Join(strings.FieldsFunc(name, parts), " "))
	all := profiles()
	longest := ""
	for _, c := range calls() {
		if len(c.folded) <= len(longest) && c.folded != longest || !contains(want, c.folded) {
			continue
		}
		p, narrow := all[c.of], want != c.folded && narrowed(name, c.name)
		if narrow && slices.Contains(p.loose, c.name) {
			continue
		}
		if c.folded != longest {
			found, longest = nil, c.folded
		}
		if slices.Contains(p.lent, c.name) || narrow && !strings.Contains(c.name, " ") {
			p = lend(p)
		}
		if !slices.ContainsFunc(found, func(x Profile) bool { return x.ID == p.ID }) {
			found = append(found, own(p, want))
		}
	}
	if longest != "" {
		return found, nil
	}
	if i := slices.IndexFunc(all, func(p Profile) bool { return p.ID == want }); i >= 0 {
		return all[i : i+1], nil
	}
	var names []string
	for _, c := range calls() {
		names = append(names, c.name)
	}
	return nil, note.New(note.Caution, "animal-unknown", "nothing is known here of %q%s", name, note.DidYouMean(name, names)).
		Do("give its pH range and least alkalinity in the site, and have a bioassay made")
}

// own takes figures that are borrowed from the very animal that was asked for as its own.
func own(p Profile, want string) Profile {
	p.Ranges = slices.Clone(p.Ranges)
	for i, r := range p.Ranges {
		for name := range strings.FieldsFuncSeq(r.Of, parts) {
			if f := fold(name); f != "" && contains(want, f) {
				p.Ranges[i].Of = ""
			}
		}
	}
	return p
}

// narrowed reports that a word beside a name makes it another animal's: one before it, as in
// "brine shrimp", or after a genus, as in "Oreochromis aureus".
func narrowed(text, name string) bool {
	for part := range strings.FieldsFuncSeq(text, parts) {
		words := strings.Fields(fold(part))
		n := len(strings.Fields(name))
		for i := range words {
			if i+n > len(words) || !contains(strings.Join(words[i:i+n], " "), fold(name)) {
				continue
			}
			before := i > 0 && narrows(words[i-1])
			after := n == 1 && unicode.IsUpper(rune(name[0])) && i+1 < len(words) && narrows(words[i+1])
			return before || after
		}
	}
	return false
}

// parts reports what parts a text.
func parts(r rune) bool { return strings.ContainsRune(",;()/:", r) }

// narrows reports a word that is no stage, no number and not plain.
func narrows(word string) bool {
	return StageIn(word) == "" && !strings.ContainsAny(word, "0123456789") && !slices.Contains(plain(), word)
}

// plain are words that tell no species.
var plain = sync.OnceValue(func() (words []string) {
	for _, f := range rowsOf("plain") {
		words = append(words, table.List(f[1])...)
	}
	return words
})

func fold(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// contains reports that the words of part stand in text, the last perhaps with an s.
func contains(text, part string) bool {
	if !strings.Contains(text, part) { // as nearly all do not
		return false
	}
	t := " " + text + " "
	return strings.Contains(t, " "+part+" ") || strings.Contains(t, " "+part+"s ")
}
