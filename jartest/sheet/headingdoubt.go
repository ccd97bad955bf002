package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// headDoubt is the heading of a dose or reading on trial.
type headDoubt struct {
	m *maker
	field
	left []layout.Piece // what its role has no use for
}

func (d headDoubt) read() bool { return d.role == asReading }

// own reports a reading under a name of its own, of which nothing is known to be wrong.
func (d headDoubt) own() bool { return d.read() && !d.key.Known() }

// what gives what the column is taken for.
func (d headDoubt) what() string {
	if d.read() {
		return d.key.Info().Label
	}
	return "the dose of " + orWord(d.chem, "the chemical")
}

// ofSeveral gives what a column is taken for that names several chemicals.
func (d headDoubt) ofSeveral() string {
	if d.read() {
		return d.what() + ", and not for a dose"
	}
	return "the dose of the two together, not of the first"
}

// column gives the override that says what the column is, or "…" to be filled in.
func (d headDoubt) column(meaning string) string {
	return fmt.Sprintf(`--column "%s=%s"`, d.header(), meaning)
}

// meant is the meaning that an override would give a column read as it stands.
func (d headDoubt) meant() string {
	if d.read() {
		return string(d.key)
	}
	if d.role == asStock {
		return "stock mL"
	}
	return "dose mg/L"
}

// headDoubts are what can be wrong with a heading. An error ends the trial: the numbers
// below cannot be taken for what the heading says.
var headDoubts = []struct {
	code   string
	level  note.Level
	speaks func(headDoubt) bool
	says   func(headDoubt) (message, remedy string)
}{
	{"unit-not-understood", note.Error, func(d headDoubt) bool { return d.Head.Unit.Left != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q is not understood, so the unit is not known", d.Head.Unit.Left, d.Head.Text),
				`write the unit plainly, such as "mg/L" or "mg/500 mL", or state it with ` + d.column(d.meant())
		}},
	{"unit-not-understood", note.Error, func(d headDoubt) bool { return !d.own() && d.strangeUnit() != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q is no unit that is known", d.strangeUnit(), d.Head.Text),
				`write the unit plainly, such as "mg/L" or "mg/500 mL", or state it with ` + d.column(d.meant())
		}},
	{"unit-not-understood", note.Error, func(d headDoubt) bool { return !d.read() && d.leftUnit() != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q belongs to nothing that the column holds, so its unit is not known", d.leftUnit(), d.Head.Text),
				`write the unit plainly, such as "mg/L" or "mg/500 mL", or state it with ` + d.column(d.meant())
		}},
	{"unit-doubtful", note.Error, func(d headDoubt) bool { return !d.own() && d.doubtfulUnit() != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q is used for units that lie a thousand times apart or more", d.doubtfulUnit(), d.Head.Text),
				`write the unit plainly, such as "mg/L" or "g/L", or state it with ` + d.column(d.meant())
		}},
	{"unit-not-understood", note.Error, func(d headDoubt) bool { return !d.read() && d.countsVolumes() },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("the heading %q gives the volume of one %q, and the numbers below may count these", d.Head.Text, textsOf(d.left)),
				`write above the table how much one is, such as "1 mark = 0.05 mL", or state the unit with ` + d.column("stock mL")
		}},
	{"transformed", note.Error, func(d headDoubt) bool { return !d.own() && d.Head.Unit.Scale+d.Head.Scale != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q does not hold the values themselves (%s)", d.Head.Text, d.Head.Unit.Scale+d.Head.Scale), "write the values, not their logarithms or roots"
		}},
	{"factor-in-heading", note.Error, func(d headDoubt) bool { return !d.own() && d.Head.Unit.Times != 0 },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("the heading %q has a factor of %s, and nothing says whether it was applied", d.Head.Text, trimFloat(d.Head.Unit.Times)),
				"write the values and their unit without it, or say what the numbers are with " + d.column(d.meant())
		}},
	{"factor-in-heading", note.Error, func(d headDoubt) bool { return !d.own() && slices.ContainsFunc(d.left, layout.Piece.Factor) },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("the heading %q has a factor (%s), and nothing says whether it was applied", d.Head.Text, textsOf(d.left)),
				"write the values and their unit without it, or say what the numbers are with " + d.column(d.meant())
		}},
	{"number-in-heading", note.Error, func(d headDoubt) bool {
		return !d.own() && !ofDiluted(d.field) && d.strayNumber() != "" && d.part == "" && !d.rep && !d.Head.Said
	},
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("nothing says what the number %s in the heading %q is: it can be a number of the column below", d.strayNumber(), d.Head.Text),
				"write it into a cell of its own, take it away, or say what the column is with " + d.column(d.meant())
		}},
	{"diluted-reading", note.Error, func(d headDoubt) bool {
		return d.read() && !d.own() && !corrected(d.field) && ofDiluted(d.field) && !d.Head.Said
	},
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q is of diluted samples, and nothing gives %s of the jars themselves", d.Head.Text, d.what()),
				"write the readings times their dilution, or say that they are with " + d.column(d.meant())
		}},
	{"dose-unit", note.Error, func(d headDoubt) bool { return !d.read() && rate(d.field) != "" },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q gives amounts for each %s, which is a rate and no dose", d.Head.Text, rate(d.field)), "write the dose in mg/L, or the volume of stock for each jar"
		}},
	{"heading-twofold", note.Error, func(d headDoubt) bool { return d.twofold() && d.paired() },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("the heading %q names two things, and its cells hold two numbers each", d.Head.Text), "give each reading a column of its own"
		}},
	{"dose-twofold", note.Error, func(d headDoubt) bool { return !d.read() && len(d.Head.Chems) > 1 && d.paired() },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q holds the doses of %s in one cell each", d.Head.Text, strings.Join(d.Head.Chems, " and ")), "give each chemical a column of its own, a number for each jar"
		}},
	{"column-unknown", note.Caution, func(d headDoubt) bool {
		return d.own() && d.Head.Unit.Kind == words.Conc && d.Head.Reading == "" && d.Head.Stage != "after" && len(d.m.rows) > 2 && d.m.b.constant(d.m.t, d.C)
	},
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q is the same for every jar, and nothing says whether it was dosed or read; it is kept as a reading", d.Head.Text),
				"if it was dosed, say so with " + d.column("dose mg/L")
		}},
	{"mixture", note.Caution, func(d headDoubt) bool { return !d.own() && len(d.Head.Chems) > 1 },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q names %s; it is taken for %s", d.Head.Text, strings.Join(d.Head.Chems, " and "), d.ofSeveral()), "give each chemical a column of its own"
		}},
	{"heading-twofold", note.Caution, func(d headDoubt) bool {
		return d.twofold() || d.read() && d.key.Known() && d.Head.Chem != "" && d.part == "" && d.Head.Unit.Kind == words.Conc
	},
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("the heading %q names more than one thing; the column is taken for %s", d.Head.Text, d.what()), "say what it is with " + d.column("…")
		}},
	{"filtered-reading", note.Caution, func(d headDoubt) bool { return d.read() && d.key == jartest.Turbidity && d.Head.Filtered },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("column %q is of filtered samples, which are clearer than the settled water; it is taken for turbidity", d.Head.Text),
				"judge it by a target for filtered water, or read the settled water too"
		}},
	{"heading-words", note.Caution, func(d headDoubt) bool { return !d.own() && d.part != "" && len(d.besideChemical()) > 0 },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q is not understood; the column is taken for what was read with %s", textsOf(d.besideChemical()), d.Head.Text, d.part), "if it is something else, say so with " + d.column("…")
		}},
	{"heading-words", note.Caution, func(d headDoubt) bool { return !d.own() && len(d.left) > 0 && d.part == "" && !d.rep && !d.Head.Said },
		func(d headDoubt) (string, string) {
			return fmt.Sprintf("%q in the heading %q is not understood; the column is taken for %s", textsOf(d.left), d.Head.Text, d.what()), "if it is something else, say so with " + d.column("…")
		}},
}

// besideChemical gives the words that nobody knows beside the name of a chemical that tells a column of readings from others, "vorna
// FeCl3".
func (d headDoubt) besideChemical() []layout.Piece {
	if d.Head.Chem == "" || d.part != d.Head.Chem || d.Head.Said {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(d.left), func(p layout.Piece) bool { return p.Concept != "" || strings.IndexFunc(p.Text, unicode.IsLetter) < 0 })
}

// strangeUnit gives a word that nobody knows over a unit, "zorks/L".
func (d headDoubt) strangeUnit() string {
	f := words.Fold(d.Head.Stated())
	for _, p := range d.left {
		_, below, over := strings.Cut(f, p.Text+"/")
		if us := words.Units(below); p.Concept == "" && over && len(us) > 0 && us[0].From == 0 {
			return p.Text + "/" + below[:us[0].To]
		}
	}
	return ""
}

// doubtfulUnit gives a word of the heading that is used for several units: "ppt" for parts per thousand and per trillion.
func (d headDoubt) doubtfulUnit() string {
	for _, p := range d.left {
		if spoken()["doubtful unit"].is(p.Text) {
			return p.Text
		}
	}
	return ""
}

// countsVolumes reports a heading whose only volumes have numbers of their own behind a word that nobody
// knows, "(divisions of 0.05 mL)": the cells count what has that volume.
func (d headDoubt) countsVolumes() bool {
	if d.Head.Unit.Kind != words.Volume || len(d.left) == 0 || d.Head.Drop > 0 {
		return false
	}
	return !slices.ContainsFunc(words.Units(d.Head.Text), func(u words.UnitAt) bool {
		_, counted := words.NumberBefore(d.Head.Text, u.From)
		return !counted
	})
}

// mostCounted is the highest number that can count columns or repeats by itself.
const mostCounted = 12

// strayNumber gives a number of the heading that nothing accounts for: one that is left over, or
// that ends it as the number of a column would, behind a colon or, for a reading, higher than any, where no other
// heading has one.
func (d headDoubt) strayNumber() string {
	for _, p := range d.left {
		if p.Concept == layout.SaysNumber {
			return p.Text
		}
	}
	n, err := strconv.Atoi(d.Head.Index)
	if err != nil || d.Head.Timed || slices.Contains(d.spent, d.Head.Index) {
		return ""
	}
	alike := func(c layout.Column) bool {
		_, err := strconv.Atoi(c.Head.Index)
		return err == nil && c.C != d.C
	}
	behind := strings.TrimRight(d.Head.Text[:strings.LastIndex(d.Head.Text, d.Head.Index)], " ")
	told := strings.HasSuffix(behind, ":") || strings.HasSuffix(behind, "=")
	alone := d.read() && !slices.ContainsFunc(d.m.t.Cols, alike)
	if told || alone && (n > mostCounted || d.countsUnit()) {
		return d.Head.Index
	}
	return ""
}

// countsUnit reports a heading whose last number stands before its unit, "Turbidity, 7 NTU".
func (d headDoubt) countsUnit() bool {
	return slices.ContainsFunc(layout.Pieces(d.Head.Stated()), func(p layout.Piece) bool {
		number, _, _ := strings.Cut(p.Text, " ")
		return p.Concept == layout.SaysUnit && p.Counted && number == d.Head.Index && p.Unit.Kind == d.Head.Unit.Kind
	})
}

// twofold reports a heading that names two kinds of readings.
func (d headDoubt) twofold() bool {
	return d.read() && d.key.Known() && len(slices.Compact(slices.Sorted(slices.Values(d.Head.Readings)))) > 1
}

// paired reports cells that hold two numbers each.
func (d headDoubt) paired() bool {
	n := 0
	for _, r := range d.m.rows {
		if strings.ContainsAny(strings.TrimLeft(d.m.t.View.At(r.r, d.C).Text, "+ "), "/;|+") {
			n++
		}
	}
	return n*2 > len(d.m.rows)
}

// headingUnderstood speaks of what stands in the heading of a dose or reading and was
// not understood. It gives false where the numbers below cannot be taken for what the
// heading says.
func (m *maker) headingUnderstood(f field) bool {
	d := headDoubt{m, f, spare(f)}
	for _, x := range headDoubts {
		if !x.speaks(d) {
			continue
		}
		message, remedy := x.says(d)
		m.b.say(x.level, x.code, f.Place, "%s", message).do(m.b, "%s", remedy)
		if x.level == note.Error {
			return false
		}
	}
	return true
}
