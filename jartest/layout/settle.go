package layout

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// readingOfUnit names the readings that have a unit to themselves.
var readingOfUnit = map[words.Kind]jartest.Key{
	words.Turbidity: jartest.Turbidity, words.FNU: jartest.Turbidity, words.FAU: jartest.Turbidity, words.JTU: jartest.Turbidity,
	words.Colour: jartest.Colour, words.PerCm: jartest.UV254, words.Temp: jartest.TemperatureKey, words.TempF: jartest.TemperatureKey,
	words.Potential: jartest.Zeta, words.Cond: jartest.Conductivity,
}

// residualOf names the reading that a metal left in the water is.
var residualOf = map[string]jartest.Key{"Al": jartest.ResidualAl, "Fe": jartest.ResidualFe}

// conclusions need the whole heading; each is drawn in turn where it holds.
var conclusions = []struct {
	holds func(h *Heading) bool
	draw  func(h *Heading)
}{
	{func(h *Heading) bool { // mV are of many potentials: a name beside them is another's
		other := h.Unit.Kind == words.Potential && h.Rest != ""
		return h.Reading == "" && readingOfUnit[h.Unit.Kind] != "" && !other
	},
		func(h *Heading) { h.Reading = readingOfUnit[h.Unit.Kind] }},
	{func(h *Heading) bool { // mL/L of sludge; ppm v/v, mL/m3 and spoons for each gallon are dosed
		return h.undosed() && !h.Stock && h.Unit.Kind == words.Volper && h.Unit.Factor == math.Trunc(h.Unit.Factor)
	},
		func(h *Heading) { h.Reading = jartest.SettledVolume }},
	{func(h *Heading) bool {
		return h.undosed() && h.Unit.Kind == words.Conc && h.Unit.As == "caco3" && h.Rest == ""
	},
		func(h *Heading) { h.Reading = jartest.AlkalinityKey }},
	{func(h *Heading) bool { return h.Unit.Kind == words.Conc && strings.HasPrefix(h.Unit.As, "pt") }, // mg Pt/L
		func(h *Heading) {
			h.Unit, h.Reading = words.Unit{Kind: words.Colour, Factor: 1, Name: "Pt-Co"}, jartest.Colour
		}},
	{func(h *Heading) bool {
		return h.Reading == "" && h.Rest == "p" && h.Unit.Kind == words.Conc && h.Chem == ""
	},
		func(h *Heading) { h.Reading, h.Rest = jartest.TotalPhosphorus, "" }},
	{(*Heading).countsSpecies, // "Alkalinity CaCO3 mg/L"
		func(h *Heading) { h.Unit.As, _ = words.Species(h.Rest); h.Rest = "" }},
	{func(h *Heading) bool { return h.Reading == "" && h.Metal != "" && h.Stage == "after" },
		func(h *Heading) { h.Reading = residualOf[h.Metal] }},
	{func(h *Heading) bool { // degrees of the platinum-cobalt scale
		return h.Reading == jartest.Colour && !h.Unit.Known() && degrees.MatchString(h.Rest)
	},
		func(h *Heading) { h.Unit, h.Rest = words.Unit{Kind: words.Colour, Factor: 1, Name: "Pt-Co"}, "" }},
	{func(h *Heading) bool { return h.Reading == jartest.UV254 && h.Wave > 0 }, // "absorbance at 400 nm"
		func(h *Heading) { h.Reading = "" }},
	{func(h *Heading) bool { return h.Reading == jartest.Colour && h.Chem == "" && h.Dose },
		func(h *Heading) { h.Reading = "" }},
}

var degrees = words.NewPattern(`^(?:град(?:ус(?:ы|ов|ах|ів|и)?)?|degrees?|grados?|graus?|degres?|grad|gradi)$`)

// undosed reports a heading that names neither a reading nor what was dosed.
func (h *Heading) undosed() bool { return h.Reading == "" && h.Chem == "" && !h.Dose }

// countsSpecies reports a name left over that says what a concentration counts.
func (h *Heading) countsSpecies() bool {
	_, ok := words.Species(h.Rest)
	return ok && h.Unit.As == "" && slices.Contains([]words.Kind{words.Conc, words.Molar, words.Equiv}, h.Unit.Kind)
}

// settle draws the conclusions.
func (h *Heading) settle() {
	for _, c := range conclusions {
		if c.holds(h) {
			c.draw(h)
		}
	}
}

// KeyOfUnit names the reading that a unit belongs to by itself.
func KeyOfUnit(u words.Unit) jartest.Key {
	h := Heading{Unit: u}
	h.settle()
	return h.Reading
}

// IsMass reports a unit of a dose by weight.
func IsMass(u words.Unit) bool {
	return u.Kind == words.Conc || u.Kind == words.Molar || u.Kind == words.Mass
}

// Override is what the user says a column holds: a reading ("turbidity", "tss mg/L"),
// "dose mg/L", "stock mL", "jar", "test", "note" or "ignore".
type Override struct{ Header, Meaning string }

// saidRoles are what a column can be said to be besides a dose, a stock or a reading.
var saidRoles = []string{"jar", "test", "note", "replicate", "chemical"}

// Overridden gives a heading the meaning that the user states.
func Overridden(had Heading, meaning string) Heading {
	h := ReadHeading(meaning)
	role := string(jartest.Slug(meaning))
	if first, _, _ := strings.Cut(role, "_"); first == "dose" || first == "stock" {
		role = first
	}
	unit := h.Unit
	if !unit.Known() {
		unit = had.Unit
	}
	unit.As = cmp.Or(unit.As, had.Unit.As) // what a dose counts stands, unless the user says another
	switch {
	case role == "ignore" || role == "none" || role == "skip":
		return Heading{Text: had.Text, Old: true}
	case role == "dose" || role == "stock" || slices.Contains(saidRoles, role):
		out := Heading{Text: had.Text, Unit: unit, Chem: cmp.Or(h.Chem, had.Chem), Meaning: meaning}
		if *flags["role:"+role](&out) = true; h.Chem == "" {
			out.Chems = had.Chems // of a mixture the user said no more than that it was dosed
		}
		return out
	case jartest.Key(role).Known():
		h.Reading = jartest.Key(role)
	}
	h.Text, h.Said, h.Meaning, h.Unit, h.Untreated = had.Text, true, meaning, unit, had.Untreated
	return h
}

// SameText reports two texts that are one when folded.
func SameText(a, b string) bool { return a != "" && words.Fold(a) == words.Fold(b) }
