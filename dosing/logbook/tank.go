package logbook

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// tank is what the lines above a log say of the stock tank, by which a level in per cent or in centimetres is a volume.
type tank struct {
	holds quantity.Known[quantity.Volume]
	// high is how high the stock stands in it when it is full.
	high quantity.Known[quantity.Length]
	// perLength is what stands in it by a unit of length, such as "1 cm = 2.5 L".
	perLength quantity.Known[float64]
}

var (
	lengthIs  = regexp.MustCompile(`(?i)(\d[\d.,]*)\s*(mm|cm|m|in|inch)\s*(?:=|is|are|holds)\s*(\d[\d.,]*)\s*(mL|L|litres?|liters?|m3|gal)\b`)
	byLength  = regexp.MustCompile(`(?i)(\d[\d.,]*)\s*(mL|L|litres?|liters?|m3|gal)\s*(?:per|/|a|each|for each)\s*(\d[\d.,]*)?\s*(mm|cm|m|in|inch)\b`)
	aboveDose = []string{"planned dose", "dose planned", "target dose"}

	aboveStrength = []string{"stock strength", "strength of stock", "strength of the stock", "stock concentration"}
)

// said is the amount that a line above the table gives beside one of its labels, such as "Stock strength 50 g/L". A line may give several:
// each amount stands behind its label, or, in a line that begins with an amount, before it.
func said(line string, at note.Place, all ...string) (k quantity.Known[quantity.Concentration]) {
	label := firstOf(line, all)
	if label < 0 {
		return k
	}
	behind := -1 // where the first amount ends
	for _, a := range words.Amounts(line) {
		d, err := quantity.ParseDose(a.Number + " " + line[a.From:a.To])
		if a.Kind != words.Conc || err != nil || d.Concentration <= 0 {
			continue
		}
		if behind < 0 {
			behind = a.To
		}
		leads := behind <= firstOf(line, slices.Concat(aboveStrength, aboveDose))
		if leads && a.From > label && k.OK {
			return k
		}
		k = quantity.Known[quantity.Concentration]{V: d.Concentration, OK: true, At: at}
		if !leads && a.From > label {
			return k
		}
	}
	return k
}

// firstOf is where the first of some labels begins in a line; below zero where it has none.
func firstOf(line string, labels []string) int {
	first := -1
	for _, s := range labels {
		if i := strings.Index(strings.ToLower(line), s); i >= 0 && (first < 0 || i < first) {
			first = i
		}
	}
	return first
}

// hearPlan takes the strength of the stock and the planned dose from a line.
func (x *reader) hearPlan(line string, at note.Place) {
	x.Strength = later(x.Strength, said(line, at, aboveStrength...))
	x.Planned = later(x.Planned, said(line, at, aboveDose...))
}

// hearLength takes what a unit of length of the tank holds; false where the line does not say it.
func (k *tank) hearLength(line string, at note.Place) bool {
	num, length, amount, unit := "", "", "", ""
	if m := lengthIs.FindStringSubmatch(line); m != nil {
		num, length, amount, unit = m[1], m[2], m[3], m[4]
	} else if m := byLength.FindStringSubmatch(line); m != nil {
		num, length, amount, unit = cmp.Or(m[3], "1"), m[4], m[1], m[2]
	} else {
		return false
	}
	l, err := quantity.Parse[quantity.Length](strings.Replace(num, ",", ".", 1) + " " + length)
	v, bad := quantity.Parse[quantity.Volume](strings.Replace(amount, ",", ".", 1) + " " + unit)
	if err != nil || bad != nil || l <= 0 || v <= 0 {
		return false
	}
	k.perLength = quantity.Known[float64]{V: float64(v) / float64(l), OK: true, At: at}
	return true
}

// hear takes the tank from a line, such as "Tank holds 40 L" or "Stock tank: 40 L at 80 cm".
func (k *tank) hear(line string, at note.Place) {
	if !holds(line, "vessel", "level", "stock") || holds(line, "rearing") || k.hearLength(line, at) || !holds(line, "vessel") {
		return
	}
	for _, a := range words.Amounts(line) {
		text := a.Number + " " + line[a.From:a.To]
		switch a.Kind {
		case words.Volume:
			if v, err := quantity.Parse[quantity.Volume](text); err == nil && v > 0 {
				k.holds = quantity.Known[quantity.Volume]{V: v, OK: true, At: at}
			}
		case words.Length:
			if v, err := quantity.Parse[quantity.Length](text); err == nil && v > 0 {
				k.high = quantity.Known[quantity.Length]{V: v, OK: true, At: at}
			}
		}
	}
}

// level makes a column of levels in per cent or by a measure one of volumes, where the tank is known; else it asks for what is
// missing. A tank is taken to be as wide at all heights. Other columns stay as they are.
func (k tank) level(c column, at note.Place) (column, *note.Note) {
	if c.role != "level" && c.role != starts {
		return c, nil
	}
	_, notLong := quantity.Parse[quantity.Length]("1 " + c.unit)
	share := c.unit == "%"
	if !share && notLong != nil {
		return c, nil
	}
	if !share && k.perLength.OK {
		c.set = into(func(text string) (quantity.Volume, error) {
			v, err := quantity.Parse[quantity.Length](text)
			return quantity.Volume(k.perLength.V * float64(v)), err
		}, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Level })
		one, _ := quantity.Parse[quantity.Length]("1 " + c.unit)
		n := note.New(note.Info, "level-of-tank", "levels are counted by %s for each %s", quantity.To(quantity.Volume(k.perLength.V*float64(one)), 4), c.unit).At(k.perLength.At)
		return c, &n
	}
	lacks := slices.DeleteFunc([]string{missing(k.holds.OK, "what the tank holds"), missing(k.high.OK || share, "how high it then stands")}, func(s string) bool { return s == "" })
	if len(lacks) > 0 {
		n := note.New(note.Caution, "level-of-what", "%q tells no volume, as the log does not say %s; the column is left out", c.text, strings.Join(lacks, " and ")).At(at).
			Do("write it in a line above the table, such as %q", map[bool]string{true: "Stock tank: 40 L", false: "Stock tank: 40 L at 80 cm"}[share])
		if share { // a site may know the tank
			c.set = into(quantity.Parse[quantity.Fraction], func(e *Entry) *quantity.Known[quantity.Fraction] { return &e.Part })
		}
		return c, &n
	}
	c.set = into(func(text string) (quantity.Volume, error) {
		full, err := quantity.Fraction(0), error(nil)
		if share {
			full, err = quantity.Parse[quantity.Fraction](text)
		} else {
			var v quantity.Length
			v, err = quantity.Parse[quantity.Length](text)
			full = quantity.Fraction(v / k.high.V)
		}
		if err == nil && full > 1+refill {
			err = note.Fault("over-full", "%s is more than the tank holds", text)
		}
		return k.holds.V * quantity.Volume(full), err
	}, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Level })
	how := note.Say("levels are shares of the %s that the tank holds", quantity.To(k.holds.V, 4))
	if !share {
		how = note.Say("%s when it stands at %s, and it is taken to be as wide at all heights", how, quantity.To(k.high.V, 4))
	}
	n := note.New(note.Info, "level-of-tank", "%s", how).At(k.holds.At)
	return c, &n
}

func missing(known bool, what string) string {
	if known {
		return ""
	}
	return what
}
