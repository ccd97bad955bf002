package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// History is all past tests of some files, in the order of their days.
type History struct {
	Tests []Test
	// Groups are the tests whose doses can be held against each other, those with most tests first.
	Groups []Group
	Notes  note.List
}

// Group is tests of one chemical on one basis for one target, with the same further chemicals beside.
type Group struct {
	Chemical jartest.Chemical
	Beside   string
	Targets  []jartest.Target
	// Tests are all of them, Used those that found a dose and know their raw turbidity.
	Tests, Used []Test
	Model       quantity.Known[Model]
	// Drift tells of latest tests that have left the law.
	Drift quantity.Known[Drift]
	// Refused says in words why there is no law; empty where there is one.
	Refused note.Phrase
	Notes   note.List
}

// Fewest is how many tests with a dose a law takes at least (five leave three beyond the two numbers of
// a law, a choice of this program), Plenty from how many on the usual doubt of other places no longer counts.
const (
	Fewest = 5
	Plenty = 8
)

// called remembers what names mean in a catalogue.
type called struct {
	catalogue product.Catalogue
	known     map[string]quantity.Known[product.Product]
}

// Gather makes a history of tests in any order. Copies count once; a dose counted on another basis of the
// same substance is converted to the basis that most tests have.
func Gather(all []Test, catalogue product.Catalogue) History {
	h := History{Tests: withoutCopies(settled(slices.Clone(all)))}
	h.copies()
	names := called{catalogue, map[string]quantity.Known[product.Product]{}}
	at := map[string]int{}
	for _, t := range oneBasis(h.Tests, names) {
		k := t.kind(names)
		i, ok := at[k]
		if !ok {
			i, at[k] = len(h.Groups), len(h.Groups)
			h.Groups = append(h.Groups, Group{Chemical: t.Chemical, Beside: t.besides(), Targets: t.Targets})
		}
		h.Groups[i].Tests = append(h.Groups[i].Tests, t)
		if t.why() == "" {
			h.Groups[i].Used = append(h.Groups[i].Used, t)
		}
	}
	slices.SortStableFunc(h.Groups, func(a, b Group) int {
		return cmp.Or(cmp.Compare(len(b.Used), len(a.Used)), cmp.Compare(len(b.Tests), len(a.Tests)))
	})
	for i := range h.Groups {
		h.Groups[i].turned()
		h.Groups[i].learn()
	}
	h.days()
	return h
}

// turned tells of doses that are counted on another basis than their sheets do.
func (g *Group) turned() {
	count := map[quantity.Basis]int{}
	for _, t := range g.Used {
		if t.Stated.OK {
			count[t.Stated.V.Basis]++
		}
	}
	told := map[quantity.Basis]bool{}
	for _, t := range g.Used {
		if b := t.Stated.V.Basis; t.Stated.OK && !told[b] {
			told[b] = true
			g.Notes.Add(note.New(note.Info, "basis-turned", "the doses of %d of %d tests were counted %s, and are turned to %s here by what they hold: %s is %s", count[b], len(g.Used), b, g.Chemical.Basis,
				quantity.To(t.Stated.V.Concentration, 3), quantity.To(t.Effective.Value, 3)).At(t.At))
		}
	}
}

// Alike reports another group of the same chemical for the same target, told apart by the basis alone.
func (h History) Alike(g Group) bool {
	return slices.ContainsFunc(h.Groups, func(o Group) bool {
		return o.Chemical.Name == g.Chemical.Name && o.Chemical.Basis != g.Chemical.Basis && o.Beside == g.Beside &&
			slices.EqualFunc(o.Targets, g.Targets, func(a, b jartest.Target) bool { return a.String() == b.String() })
	})
}

// copies tells of jars that stand in several files.
func (h *History) copies() {
	for _, t := range h.Tests {
		for _, c := range t.Copies {
			switch {
			case !c.Alike:
				h.Notes.Add(note.New(note.Caution, "copy-differs", "the jars of %s stand in %s too, under another chemical or basis; those of the first place count", t.At, c.At).
					At(c.At).Do("put away the file that is wrong"))
			case c.Day.String() != t.Day.String():
				h.Notes.Add(note.New(note.Caution, "copy-other-day", "the jars of %s stand here again, every reading the same, under another day, %s and not %s; they count once", t.At,
					cmp.Or(c.Day.Spelled(), "none"), cmp.Or(t.Day.Spelled(), "none")).At(c.At).Do("correct the readings if this was another test, else put the copy away"))
			default:
				h.Notes.Add(note.New(note.Info, "copied-test", "the jars of %s stand here again; they count once", t.At).At(c.At))
			}
		}
	}
}

// days tells of tests whose day cannot be read.
func (h *History) days() {
	unread, named, told := 0, 0, 0
	var first, name, two Test
	for _, t := range h.Tests {
		if t.Day.Settled {
			if told++; told == 1 {
				two = t
			}
		}
		if t.Day.Named {
			if named++; named == 1 {
				name = t
			}
		}
		if t.Day.Text != "" && t.Day.Date.IsZero() {
			if unread++; unread == 1 {
				first = t
			}
		}
	}
	if unread > 0 {
		h.Notes.Add(note.New(note.Caution, "day-unclear", "of %d test(s) the day can be read in two ways or in none, such as %q; they stand at the end", unread, first.Day.Text).
			At(first.At).Do("write days like 2026-03-02"))
	}
	if told > 0 {
		h.Notes.Add(note.New(note.Info, "day-settled", "of %d test(s) the day can be read in two ways, such as %q; the names of the files, the other days or its dots settle it: it is %s", told, two.Day.Text, two.Day.Spelled()).
			At(two.At))
	}
	if named > 0 {
		h.Notes.Add(note.New(note.Info, "day-from-name", "of %d test(s) the day is taken from the name of the file, since the sheet has none", named).At(name.At))
	}
}

// product is the catalogue's one product, or several alike, of a name.
func (c called) product(name string) (product.Product, bool) {
	name = strings.TrimSpace(name)
	k, there := c.known[name]
	if !there {
		if found := c.catalogue.Called(name); len(found) > 0 && product.Alike(found) {
			k = quantity.Some(found[0])
		}
		c.known[name] = k
	}
	return k.V, k.OK
}

// kind is what tests must share to be held against each other.
func (t Test) kind(names called) string {
	name := strings.ToLower(strings.Join(strings.Fields(t.Chemical.Name), " "))
	if p, ok := names.product(name); ok && !t.Pair {
		name = strings.TrimSuffix(p.ID, "-dry")
	}
	var goals []string
	for _, g := range t.Targets {
		goals = append(goals, g.String())
	}
	slices.Sort(goals)
	return strings.Join([]string{name, string(t.Chemical.Basis), strings.Join(goals, " and "), t.besides(), fmt.Sprint(t.Pair)}, "\n")
}

// besides is what all jars got beside the chemical.
func (t Test) besides() string {
	var out []string
	for _, f := range t.Beside {
		if f.Dose > 0 {
			out = append(out, fmt.Sprintf("%s of %s", quantity.Brief(float64(f.Dose), 2)+" mg/L", f.Chemical.Name))
		}
	}
	slices.Sort(out)
	return strings.Join(out, " and ")
}

// oneBasis counts the doses of a product on the basis that most of its tests have, where that goes by
// moles alone: a product's strength on the day of a test is not known.
func oneBasis(tests []Test, names called) []Test {
	out := slices.Clone(tests)
	count := map[string]map[quantity.Basis]int{}
	id := func(t Test) string {
		p, ok := names.product(t.Chemical.Name)
		if !ok || t.Pair {
			return ""
		}
		return p.ID
	}
	for _, t := range tests {
		if count[id(t)] == nil {
			count[id(t)] = map[quantity.Basis]int{}
		}
		count[id(t)][t.Chemical.Basis]++
	}
	for i, t := range out {
		p, ok := names.product(t.Chemical.Name)
		if !ok || t.Pair || t.Chemical.Basis == quantity.AsProduct || t.Chemical.Basis == quantity.NotStated {
			continue
		}
		most, n := t.Chemical.Basis, 0
		for b, k := range count[p.ID] {
			if b != quantity.AsProduct && b != quantity.NotStated && (k > n || k == n && b < most) {
				most, n = b, k
			}
		}
		one, err := product.Convert(quantity.Dose{Concentration: 1, Basis: t.Chemical.Basis}, p, most)
		if err != nil || most == t.Chemical.Basis {
			continue
		}
		by := one.Concentration
		t.Stated = quantity.Some(quantity.Dose{Concentration: t.Effective.Value, Basis: t.Chemical.Basis})
		t.Chemical.Basis = most
		t.Effective.Value, t.Effective.Low, t.Effective.High = t.Effective.Value*by, t.Effective.Low*by, t.Effective.High*by
		t.TestedLow, t.TestedHigh, t.Clouds.V = t.TestedLow*by, t.TestedHigh*by, t.Clouds.V*by
		out[i] = t
	}
	return out
}
