package logbook

import (
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
}

// hear takes the tank from a line, such as "Tank holds 40 L" or "Stock tank: 40 L at 80 cm".
func (k *tank) hear(line string, at note.Place) {
	if !holds(line, "tank drum vat container") || holds(line, "rearing culture fish pond water") {
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
	if c.role != "level" {
		return c, nil
	}
	_, notLong := quantity.Parse[quantity.Length]("1 " + c.unit)
	share := c.unit == "%"
	if !share && notLong != nil {
		return c, nil
	}
	lacks := slices.DeleteFunc([]string{missing(k.holds.OK, "what the tank holds"), missing(k.high.OK || share, "how high it then stands")}, func(s string) bool { return s == "" })
	if len(lacks) > 0 {
		n := note.New(note.Caution, "level-of-what", "%q tells no volume, as the log does not say %s; the column is left out", c.text, strings.Join(lacks, " and ")).At(at).
			Do("write it in a line above the table, such as %q", map[bool]string{true: "Stock tank: 40 L", false: "Stock tank: 40 L at 80 cm"}[share])
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
