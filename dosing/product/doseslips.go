package product

import (
	_ "embed" // the table is part of the program
	"math"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed doses.txt
var dosesTable string

// usualDose is a line of doses.txt.
type usualDose struct {
	group     Group
	charge    string // or the monomer; empty for any
	basis     quantity.Basis
	low, high quantity.Concentration
	muddy     quantity.Concentration // high with much clay or sludge, zero where that is not known apart
	waste     quantity.Concentration // high in wastewater
	source    string
}

var usualDoses = sync.OnceValue(func() (out []usualDose) {
	sources, rows := table.Sourced(dosesTable)
	number := func(text string) quantity.Concentration {
		v, _ := table.Number(text)
		return quantity.Concentration(v)
	}
	for _, r := range rows {
		out = append(out, usualDose{Group(r[0]), r[1], quantity.Basis(r[2]), number(r[3]), number(r[4]), number(r[5]), number(r[6]), sources[r[8]]})
	}
	return out
})

// DoseSlips asks about a dose that is far from what is usual of such products:
// whether its decimal point stands elsewhere, or it counts another substance. A
// dose of which nothing is known is left alone, and so is none.
func DoseSlips(p Product, d quantity.Dose, wastewater bool) note.List {
	for _, u := range usualDoses() {
		if !u.of(p) {
			continue
		}
		if wastewater {
			u.high = u.waste
		}
		counted, err := Convert(d, p, u.basis)
		if err != nil || counted.Concentration <= 0 || u.usual(counted.Concentration) {
			return nil
		}
		return note.List{u.asks(p, d, counted)}
	}
	return nil
}

// of reports that a line is of such products.
func (u usualDose) of(p Product) bool {
	return u.group == p.Group && (u.charge == "" || u.charge == string(p.Charge) || u.charge == p.Monomer)
}

func (u usualDose) usual(c quantity.Concentration) bool { return c >= u.low && c <= u.high }

// asks says what may have been meant by a dose that is not usual.
func (u usualDose) asks(p Product, d, counted quantity.Dose) note.Note {
	far := "less"
	if counted.Concentration > u.high {
		far = "more"
	}
	is := note.Say("%s", d)
	if d.Basis != counted.Basis {
		is = is.And(", which is %s,", counted)
	}
	if counted.Concentration > u.high && counted.Concentration <= u.muddy {
		return note.New(note.Info, "dose-unusual", "a dose of %s is more than is usual of %s (%s to %s), as much clay or sludge may ask for", is, nameOf(p), u.low,
			quantity.Dose{Concentration: u.high, Basis: u.basis}).Do("see that a jar test asked for it").From(u.source)
	}
	n := note.New(note.Caution, "dose-unusual", "a dose of %s is "+far+" than is usual of %s (%s to %s)%s", is, nameOf(p), u.low,
		quantity.Dose{Concentration: u.high, Basis: u.basis}, u.meant(p, d, counted.Concentration))
	n = n.ByTen(counted.Concentration > 10*u.high || counted.Concentration < u.low/10)
	return n.Do("correct it, or leave it if it is so").From(u.source)
}

// meant is the question, empty where nothing near is usual.
func (u usualDose) meant(p Product, d quantity.Dose, counted quantity.Concentration) note.Phrase {
	var found []note.Phrase
	for _, b := range p.Bases() {
		other, err := Convert(quantity.Dose{Concentration: d.Concentration, Basis: b}, p, u.basis)
		if b != d.Basis && b == p.Basis && err == nil && u.usual(other.Concentration) {
			found = append(found, note.Say("%s", quantity.Dose{Concentration: d.Concentration, Basis: b}))
		}
	}
	for k := 1.0; k <= 4 && len(found) < 2; k++ {
		by := quantity.Concentration(math.Pow(10, k))
		for _, times := range []quantity.Concentration{1 / by, by} {
			if u.usual(counted * times) {
				found = append(found, note.Say("%s", quantity.Dose{Concentration: d.Concentration * times, Basis: d.Basis}))
				k = 9
			}
		}
	}
	if len(found) == 0 {
		return note.Phrase{}
	}
	return note.Say("; did you mean %s?", note.AnyOf(found))
}
