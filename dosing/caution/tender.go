package caution

import (
	"slices"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
)

// moults are the groups of animals that cast their shell.
var moults = map[string]bool{"penaeid shrimp": true, "freshwater prawn": true, "crab": true, "crayfish": true, "lobster": true}

// CleanNitrifiers is the code of what a deep clean does to bacteria that nitrify; a [Watch] tells it too, of its Filters.
const CleanNitrifiers = "clean-nitrifiers"

// tender says of animals what no limit tells: that they moult, that nobody is known to have tested them with what is dosed, and that
// a deep clean takes the bacteria that clear their ammonia.
func (v *reviewer) tender() {
	dosed := slices.ContainsFunc(v.s.Doses, func(d Dose) bool { return d.Dose.Concentration > 0 && Overdoses(d.Product) })
	floc := flocculates(v.s.Doses)
	shells := Moulting(v.s.Stock)
	if at := slices.IndexFunc(v.s.Stock, func(a Animal) bool { return moults[a.Profile.Group] }); at >= 0 && dosed {
		switch {
		case v.byHand():
			v.say("moult-at-once", Words{"who": join(shells)}, "", v.s.Stock[at].At)
		case v.s.Loop != nil || v.s.Pond || v.s.Once != nil:
			v.say("moult-around", Words{"who": join(shells)}, "", v.s.Stock[at].At)
		}
	}
	for _, n := range untested(floc, v.s.Stock) {
		v.say("untested", n.words, "", n.at.At)
	}
	if len(floc) > 0 && len(v.s.Stock) > 0 && v.s.Once != nil {
		v.say(CleanNitrifiers, nil, "", note.Place{})
	}
}

// Moulting names the animals that cast their shell.
func Moulting(stock []Animal) (out []string) {
	for _, a := range stock {
		if moults[a.Profile.Group] {
			out = append(out, a.who())
		}
	}
	return out
}

// flocculates names the coagulants and polymers that are dosed.
func flocculates(doses []Dose) (out []string) {
	for _, d := range doses {
		if d.Dose.Concentration > 0 && (d.Product.Group.Coagulant() || d.Product.IsPolymer()) {
			out = append(out, d.name())
		}
	}
	return out
}

// Untested says which of what is dosed nobody is known to have tested with the animals, as a review of them says.
func Untested(doses []Dose, stock []Animal) (out note.List) {
	for _, n := range untested(flocculates(doses), stock) {
		out.Add(Note("untested", n.words).At(n.at.At))
	}
	return out
}

// untold is an animal that nobody is known to have tested with what is dosed.
type untold struct {
	words Words
	at    Animal
}

// untested lists those of such chemicals; an own test of all of them silences it.
func untested(chemicals []string, stock []Animal) (out []untold) {
	for _, a := range stock {
		left := slices.DeleteFunc(slices.Clone(chemicals), func(name string) bool {
			return slices.ContainsFunc(a.Tests, func(t Bioassay) bool { return t.Chemical == name })
		})
		if len(left) > 0 && animal.NothingOf(a.Profile.Group) {
			out = append(out, untold{Words{"chemical": join(left), "who": a.who(), "of": a.Profile.Group + "s"}, a})
		}
	}
	return out
}
