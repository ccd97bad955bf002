package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// AnimalTrial describes the workbook of a trial on a few animals, to fill in. The zero value of a field leaves its cell
// empty, or takes what the comment says.
type AnimalTrial struct {
	Name, Chemical, Animal string
	Basis                  quantity.Basis
	// Doses are those to test, the control among them or not; none leaves room for five and a control.
	Doses []quantity.Concentration
	// Animals are those of each group; 0 counts as 10.
	Animals int
	// Hours is how long it runs; 0 counts as 96.
	Hours quantity.Time
	// Water is true for a trial of a tank's own water beside new water, without doses.
	Water bool
}

// TrialMost is how many animals a group, and how many doses a trial, may have.
const TrialMost = 200

// trialStep is a line of how to do the trial, or of when to stop it; one that is of doses stands in no trial of water.
type trialStep struct {
	ofDoses bool
	text    string
}

// trialSteps is how to do the trial, for its third page. Common practice where no source stands beside it.
var trialSteps = []trialStep{
	{true, "Find the range first: two or three animals in each of three or four doses, each ten times the one before, for a day. The trial itself then takes " +
		"five doses between the highest that killed none and the lowest that killed all, each no more than 2.2 times the last (OECD test guideline 203; from memory)."},
	{true, "Take the water that the animals live in, with its own solids: they bind much of what is dosed."},
	{false, "Take animals of the stock that is to live in it, of one size, fed and healthy, in which fewer than one in twenty died in the week before."},
	{false, "As few animals as answer the question: %d in a group, of which none dies, prove that fewer than %s die. Draw lots for the group each goes to."},
	{true, "Put the same number into the same water without the dose: the control. Same vessel, air, light and handling."},
	{false, "No more than 1 g of fish in a litre where the water stands still (OECD test guideline 203; from memory), gentle air in every vessel, oxygen above 60 % of saturation. Do not " +
		"feed from a day before until the end."},
	{true, "Dissolve the product first and stir it into the water before the animals go in. Write the time."},
	{false, "Look after LOOKS. Write all dead so far in each group, 0 where none died, and take the dead out at once. Dead: no movement of " +
		"gills or legs, none when touched."},
	{false, "Read temperature, pH, oxygen and total ammonia of every group at the start, each day, and where one died (sheet Water)."},
}

// trialStops is when to stop.
var trialStops = []trialStep{
	{true, "A group in which half are dead or plainly suffering has answered: end it, and end its animals' suffering as local rules say."},
	{false, "The whole trial where more than one in ten controls died, or a heater, pump or air failed: something else kills."},
	{false, "Where oxygen or temperature leaves what the animals bear."},
}

// waterStop is when to stop a trial of a tank's own water, before the animals come back.
const waterStop = "One in the tank water that " + caution.Unfit + ": take all out, and give another volume of clean water."

var trialCautions = []string{
	"Trials on animals may need a permit, and somebody trained for them. Local rules, and whoever looks after the animals' health, come before this sheet. Use the fewest animals, and none where a published figure or a jar answers.",
	"Goggles and gloves with the product; its safety data sheet first. What is left of the dosed water goes where local rules let it, never to ponds or drains untreated.",
	"Animals of a trial are not for sale or for eating where local rules or the product's papers forbid it.",
}

// fault tells what is wrong with the description.
func (x AnimalTrial) fault() error {
	switch {
	case x.Animals < 0 || x.Animals > TrialMost:
		return note.Fault("animal-count", "a group has 1 to %d animals, not %d", TrialMost, x.Animals).Do("ask for a number in that range")
	case len(x.Doses) > 20:
		return note.Fault("too-many-doses", "%d doses are more than 20 groups", len(x.Doses)).Do("use fewer doses and fewer animals")
	case x.Hours < 0 || x.Hours > 30*24:
		return note.Fault("trial-length", "a trial runs up to 30 days").Do("give fewer hours")
	}
	return nil
}

// Write adds the sheets to a book.
func (x AnimalTrial) Write(b *Book) error {
	if err := x.fault(); err != nil {
		return err
	}
	x.Animals, x.Hours = cmp.Or(x.Animals, 10), cmp.Or(x.Hours, caution.TestLasts)
	s := b.Sheet("Trial")
	groups := x.groups()
	x.page(b, s, groups)
	x.water(b, groups)
	x.guide(b)
	return nil
}

// trialGroup is a row: a name where its dose does not tell, and the dose where it is known.
type trialGroup struct {
	name string
	dose any
}

func (x AnimalTrial) groups() (out []trialGroup) {
	if x.Water {
		return []trialGroup{{"control (new water)", nil}, {"tank water", nil}}
	}
	out = append(out, trialGroup{"control", 0.0})
	for _, d := range x.Doses {
		if d > 0 {
			out = append(out, trialGroup{"", d.In("mg/L")})
		}
	}
	for len(out) < 2 || len(x.Doses) == 0 && len(out) < 6 {
		out = append(out, trialGroup{})
	}
	return out
}

// times are the hours at which to look, those of every watch; a dose, which nobody gives all at once, has its first look left out.
func (x AnimalTrial) times() (out []quantity.Time) {
	looks := slices.Concat(caution.Looks, caution.LaterLooks)
	if !x.Water {
		looks = looks[1:]
	}
	for _, t := range looks {
		if t < x.Hours {
			out = append(out, t)
		}
	}
	return append(out, x.Hours)
}

// page writes the trial itself: what it is about, and a row for each group.
func (x AnimalTrial) page(b *Book, s *Sheet, groups []trialGroup) {
	s.Landscape()
	s.OnePage()
	times := x.times()
	widths := []float64{24, 20, 12}
	heads := []string{"Group", "Dose (mg/L)", "Animals"}
	if x.Water {
		heads = []string{"Group", "Animals"}
		widths = widths[:2]
	}
	for _, t := range times {
		heads = append(heads, fmt.Sprintf("Dead at %v h", float64(t)))
		widths = append(widths, 13.5)
	}
	heads, widths = append(heads, "Remark"), append(widths, 30)
	s.open(T(Title, "Trial on a few animals"), T(Sub, "Fill in the pale cells with a dark border. The dead are all so far, 0 where none died. How to do it, and when to stop: sheet Guide."), widths...)
	word := func(v string) any { return filled(v, v != "") }
	lines := []blank{
		{label: "Trial", value: word(x.Name), hint: "A short name, such as the day and the water."},
		{label: "Animal", value: word(x.Animal), hint: "Species as the site has it, with its stage of life, such as: rainbow trout."},
		{label: "Chemical", value: word(x.Chemical), hint: "As the site calls it under Chemicals."},
		{label: "Dose counts", value: filled(x.Basis.String(), x.Basis != quantity.NotStated), hint: "What a dose counts. The site wants the product as delivered: as product."},
		{label: "Begun on", format: dateFormat, hint: "Day of the start, as 2026-03-02."},
		{label: "Done by"},
	}
	if x.Water {
		lines = append(lines[:2:2], lines[4:]...)
	}
	cells := blanks(s, 4, 1, 1, "What is tried", lines...)
	if !x.Water {
		var names []string
		for _, k := range quantity.Bases() {
			names = append(names, string(k))
		}
		s.Choose(cells.down(3), b.List("Basis of a dose", names), "Basis", "What a dose counts: the product as delivered, or what it acts by.", true)
	}
	head := 4 + len(lines) + 2
	s.next = head - 1
	s.heads(heads...)
	first, last := head+1, head+len(groups)
	for i, g := range groups {
		c := 1
		put := func(cell Cell) { s.Put(first+i, c, cell); c++ }
		put(In(filled(g.name, g.name != ""), ""))
		if !x.Water {
			put(In(g.dose, "General"))
		}
		put(In(float64(x.Animals), "0"))
		for range times {
			put(In(nil, "0"))
		}
		put(In(nil, ""))
	}
	of := len(heads) - len(times) - 1
	s.Number(s.Block(first, of, last, of), 1, TrialMost, "Animals", "How many the group had when the trial began.")
	s.Number(s.Block(first, of+1, last, of+len(times)), 0, TrialMost, "Dead so far", "All that died in this group until this look; 0 where none did.")
	if !x.Water {
		s.Number(s.Block(first, 2, last, 2), 0, 1e6, "Dose", "mg/L; 0 for the control.")
	}
	s.Put(last+2, 1, Cell{Kind: Muted, Span: len(heads), Value: x.reading()})
	s.Print(s.Block(1, 1, last+2, len(heads)))
	s.Freeze(head, 1)
}

// reading is what to do with the filled-in sheet, and what it can prove.
func (x AnimalTrial) reading() string {
	none := bioassay.Count{Of: x.Animals}.AtMost(bioassay.Sure)
	return fmt.Sprintf("Filled in and saved: jarwright trial FILE. With %d animals a group none dead proves, with 95 %% confidence, that fewer than %.1f %% die.", x.Animals, none.In("%"))
}

// water writes the page for readings of the water, for people.
func (x AnimalTrial) water(b *Book, groups []trialGroup) {
	s := b.Sheet("Water")
	s.Landscape()
	s.OnePage()
	s.open(T(Title, "Water of each group"), T(Sub, "At the start, each day, and where one died. For people: the program does not read this page."), 24, 16, 16, 10, 16, 18, 16, 34)
	s.Skip(1)
	s.heads("Group or dose", "When", "Temperature (°C)", "pH", "Oxygen (mg/L)", "Total ammonia (mg/L)", "Alkalinity (mg/L)", "How they behave: gills, moult, swimming")
	for range 2 * len(groups) {
		var cells []Cell
		for range 8 {
			cells = append(cells, In(nil, ""))
		}
		s.Row(cells...)
	}
}

// guide writes how to do it, when to stop, and the cautions.
func (x AnimalTrial) guide(b *Book) {
	s := b.Sheet("Guide")
	s.open(T(Title, "How to do the trial"), T(Sub, "For people: the program does not read this page."), 6, 104)
	s.Skip(1)
	none := fmt.Sprintf("%.1f %%", bioassay.Count{Of: x.Animals}.AtMost(bioassay.Sure).In("%"))
	n := 0
	for _, t := range trialSteps {
		if t.ofDoses && x.Water {
			continue
		}
		if strings.Contains(t.text, "%d") {
			t.text = fmt.Sprintf(t.text, x.Animals, none)
		}
		t.text = strings.Replace(t.text, "LOOKS", caution.LooksSaid(x.times()), 1)
		n++
		s.Row(Cell{Kind: Label, Value: fmt.Sprint(n), Center: true}, T(Wrap, "%s", t.text))
	}
	s.Skip(1)
	s.Row(Cell{Kind: Section, Value: "Stop", Span: 2})
	stops := trialStops
	if x.Water {
		stops = append([]trialStep{{false, waterStop}}, stops...)
	}
	for _, t := range stops {
		if !t.ofDoses || !x.Water {
			s.Row(Cell{Kind: Label, Value: "■", Center: true}, T(Wrap, "%s", t.text))
		}
	}
	s.Skip(1)
	s.Row(Cell{Kind: Section, Value: "How many animals, where none dies", Span: 2})
	for _, share := range []quantity.Fraction{0.25, 0.10, 0.05} {
		s.Row(Cell{Kind: Label, Value: fmt.Sprint(bioassay.Needed(share)), Center: true}, T(Wrap, "prove with 95 %% confidence that fewer than %.0f %% die", share.In("%")))
	}
	s.Skip(1)
	r := s.Row(Cell{Kind: Section, Value: "Cautions", Span: 2})
	for i, t := range trialCautions {
		s.Put(r+1+i, 2, T(Caution, "CAUTION: %s", t))
	}
}
