package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// rowRole is what a row between the headings and the end of a table is. From rowJar on
// the row is a jar.
type rowRole uint8

const (
	rowBlank rowRole = iota
	rowSummary
	rowHidden
	rowStruck
	rowVoid
	rowOther // of another water, or a statistic by its remark
	rowChosen
	rowJar
	rowControl // a jar without chemical
	rowRaw     // a control of the raw water
)

// rowEvidence is what is known of a row when its role is decided.
type rowEvidence struct {
	b      *bench
	t      *layout.Table
	fs     []field
	jar    int // the column of labels; -1 for none
	d      *dataRow
	name   string         // its label, or its first text
	head   layout.Heading // what the name says
	remark remark         // that says that it is no jar

	filled, doses, formulas, cells int
}

// look reads the name of the row and counts its cells.
func (e *rowEvidence) look() {
	e.name = e.d.label
	if e.name == "" {
		e.name = e.b.firstText(e.t, e.fs, e.d.r)
	}
	if first := e.t.View.At(e.d.r, e.t.C0); e.name == "" && first.Kind == grid.Textual && summed(first) && summed(e.t.View.At(e.d.r-1, e.t.C0)) {
		e.name = strings.TrimSpace(first.Text) // "SD" under "Mean", and not without a dose
	}
	for _, f := range e.fs {
		if x := e.t.View.At(e.d.r, f.C); f.role == asTest && x.Kind == grid.Textual && summed(x) && layout.ReadHeading(x.Text).Stat != "" {
			e.name = strings.TrimSpace(x.Text) // a mean of the tests above
		}
	}
	if e.name != "" {
		e.head = layout.ReadHeading(e.name)
	}
	for _, x := range e.b.rowRemarks(e.t, e.fs, e.d.r) {
		if e.b.remarkDoes(e.t, e.fs, e.d.r, x) == remarkNoJar {
			e.remark = x
		}
	}
	for _, f := range e.fs {
		x := e.t.View.At(e.d.r, f.C)
		if x.Blank() {
			continue
		}
		e.cells++
		if x.Formula {
			e.formulas++
		}
		switch f.role {
		case asDose, asStock:
			e.doses++
			e.filled++
		case asReading, asSetting, asMean, asBefore:
			e.filled++
		}
	}
}

// summed reports a cell that names a statistic.
func summed(x grid.Cell) bool { return words.Means(x.Text, "label:summary") }

var rowTests = map[string]func(*rowEvidence) bool{
	"summary":      func(e *rowEvidence) bool { return e.name != "" && words.Means(e.name, "label:summary") },
	"mean":         func(e *rowEvidence) bool { return e.head.Stat == "mean" },
	"sd":           func(e *rowEvidence) bool { return e.head.Stat == "sd" },
	"jar":          func(e *rowEvidence) bool { return e.head.Jar },
	"control":      func(e *rowEvidence) bool { return e.head.Control },
	"raw":          func(e *rowEvidence) bool { return e.head.Raw },
	"chosen":       func(e *rowEvidence) bool { return e.head.Chosen },
	"chem":         func(e *rowEvidence) bool { return e.head.Chem != "" },
	"amount":       func(e *rowEvidence) bool { return e.head.Amount },
	"other-words":  func(e *rowEvidence) bool { return e.head.Rest != "" },
	"more-words":   func(e *rowEvidence) bool { return len(uncovered(e.name)) > 0 },
	"numbered":     func(e *rowEvidence) bool { return e.head.Index != "" || e.head.Number },
	"says-control": func(e *rowEvidence) bool { return e.name != "" && words.Means(e.name, "label:control") },
	"says-raw":     func(e *rowEvidence) bool { return e.name != "" && words.Means(e.name, "label:raw") },
	"raw-and-more": func(e *rowEvidence) bool { return len(rawAndMore(e.name)) > 0 },
	"undosed":      func(e *rowEvidence) bool { return e.b.zeroDose(e.t, e.fs, e.d.r) },
	"says-void":    func(e *rowEvidence) bool { return !strings.Contains(e.name, "://") && voids(e.name) }, // an address speaks of nothing
	"says-example": func(e *rowEvidence) bool { return e.name != "" && words.Means(e.name, "example") },
	"filled":       func(e *rowEvidence) bool { return e.filled > 0 },
	"dosed":        func(e *rowEvidence) bool { return e.doses > 0 },
	"dose-again":   func(e *rowEvidence) bool { return e.doseAgain() },
	"formulas":     func(e *rowEvidence) bool { return e.cells > 0 && e.formulas == e.cells },
	"unlabelled":   func(e *rowEvidence) bool { return e.jar >= 0 && e.t.View.At(e.d.r, e.fs[e.jar].C).Blank() },
	"company":      func(e *rowEvidence) bool { return e.jar >= 0 && e.b.inCompany(e.t, e.fs[e.jar].C, e.d.r) },
	"remark":       func(e *rowEvidence) bool { return e.remark.text != "" },
	"struck":       func(e *rowEvidence) bool { return struckRow(e.t, e.d.r) },
	"other-water": func(e *rowEvidence) bool {
		return e.name != "" && say(e.name).has("water") && e.b.zeroDose(e.t, e.fs, e.d.r)
	},
	"day":    func(e *rowEvidence) bool { return dayAt(e.b, e.t, e.d.r) },
	"among":  func(e *rowEvidence) bool { return e.d.r > e.t.First && e.d.r < e.t.Last && !e.beginAgain() },
	"hidden": func(e *rowEvidence) bool { return e.t.View.RowHidden(e.d.r) },
}

// doseAgain reports a row whose doses are those of a row above it.
func (e *rowEvidence) doseAgain() bool {
	return e.doses > 0 && slices.ContainsFunc(e.t.Rows, func(r int) bool {
		if r >= e.d.r {
			return false
		}
		for _, f := range e.fs {
			if (f.role == asDose || f.role == asStock) && e.t.View.At(r, f.C).Text != e.t.View.At(e.d.r, f.C).Text {
				return false
			}
		}
		return true
	})
}

// rowRules say what the rows of a table are.
var rowRules = []layout.Rule[rowRole, *rowEvidence]{
	{rowSummary, 90, "summary", "control company", "it is named as a summary", leftSummary},
	{rowSummary, 90, "mean", "control jar other-words company", "it is named as a mean", leftSummary},
	{rowSummary, 90, "sd", "control other-words company", "it is named as a deviation", leftSummary},
	{rowStruck, 95, "struck", "", "it is struck out", leftStruck},
	{rowOther, 85, "remark", "", "a remark says that it is no jar", leftByRemark},
	{rowBlank, 87, "", "filled", "it has neither dose nor reading", nil},
	{rowBlank, 89, "day among", "filled", "a day between the jars", dayBetween},
	{rowSummary, 75, "unlabelled formulas", "dosed", "formulas without a label and a dose", leftFormulas},
	{rowHidden, 70, "hidden", "", "it is hidden", leftHiddenRow},
	{rowVoid, 60, "says-void", "", "its label takes it out of the test", leftVoid},
	{rowVoid, 60, "says-example", "", "its label says that it is an example", leftVoid},
	{rowChosen, 50, "chosen dose-again", "other-words numbered jar control", "it names the dose chosen, which a jar above has", leftChosen},
	{rowRaw, 40, "says-raw", "", "it is named as the raw water", nil},
	{rowControl, 30, "says-control", "", "it is named as a control", nil},
	{rowOther, 35, "raw raw-and-more undosed", "chem amount says-control", "it is named as the raw water, and as something else", leftRawAndMore},
	{rowControl, 30, "control", "chem amount more-words", "a control and a number", nil},
	{rowControl, 30, "raw", "chem amount more-words", "raw water and a number", nil},
	{rowJar, 10, "", "", "nothing says otherwise", nil},
}

var rowRuled = layout.NewRules(rowTests, rowRules)

func leftSummary(e *rowEvidence) {
	e.b.say(note.Info, "summary-row", e.t.View.PlaceAt(e.d.r, e.t.C0), "row %q is a summary, not a jar, and was left out", e.name)
}

// beginAgain reports that the label below the row is that of the first jar, which is said of the labels.
func (e *rowEvidence) beginAgain() bool {
	if e.jar < 0 {
		return false
	}
	next, _ := slices.BinarySearch(e.t.Rows, e.d.r+1) // a table may have a hundred thousand rows
	first := e.b.firstLabel(e.t, e.fs[e.jar].C)
	return first != "" && next < len(e.t.Rows) && layout.SameText(first, e.b.label(e.t, e.t.Rows[next], e.fs[e.jar].C))
}

// firstLabel gives the first label of a column of labels that stands on no row of a day, "" where there is none.
func (b *bench) firstLabel(t *layout.Table, c int) string {
	key := labelled{t, c}
	first, known := b.labels[key]
	if !known {
		if i := slices.IndexFunc(t.Rows, func(r int) bool { return b.label(t, r, c) != "" && !dayAt(b, t, r) }); i >= 0 {
			first = b.label(t, t.Rows[i], c)
		}
		if b.labels == nil {
			b.labels = map[labelled]string{}
		}
		b.labels[key] = first
	}
	return first
}

// labelled is a column of labels.
type labelled struct {
	t *layout.Table
	c int
}

// dayAt reports a row that begins with a day.
func dayAt(b *bench, t *layout.Table, r int) bool {
	return layout.ParseValue(t.View.At(r, t.C0), b.dec(t)).State == layout.Dated
}

func dayBetween(e *rowEvidence) {
	at := e.t.View.PlaceAt(e.d.r, e.t.C0)
	e.b.say(note.Caution, "day-between", at, "a day stands at %s between the jars; those below it can be of another test, and are read as one with those above", at.Cell).
		do(e.b, "give the table a column with the day of each jar, or its headings again below the day")
}

func leftFormulas(e *rowEvidence) {
	at := e.t.View.PlaceAt(e.d.r, e.t.C0)
	e.b.say(note.Info, "summary-row", at, "the row of formulas at %s has no label and no dose; it was left out", at.Cell)
}

func leftHiddenRow(e *rowEvidence) {
	e.b.say(note.Caution, "hidden-jar", e.d.labelAt, "the jar at %s is hidden and was left out", e.d.labelAt.Cell).do(e.b, layout.OpenHidden)
}

func leftStruck(e *rowEvidence) {
	e.b.say(note.Caution, "struck-out", e.d.labelAt, "the row at %s is struck out and was left out", e.d.labelAt.Cell).do(e.b, "take the line away if it counts")
}

func leftByRemark(e *rowEvidence) {
	e.b.say(note.Caution, "row-not-a-jar", e.remark.at, "the row at %s was left out because of %q beside it", e.d.labelAt.Cell, clip(e.remark.text)).do(e.b, "take the remark away if it is a jar")
}

func leftVoid(e *rowEvidence) {
	e.b.say(note.Caution, "jar-voided", e.d.labelAt, "jar %q was left out because of its label", clip(e.name)).do(e.b, "give it a plain label if the jar counts")
}

// rawAndMore gives the words of a label of the raw water that are not of the raw water as it came.
func rawAndMore(name string) []string {
	return say(name).left(place{[]string{"role:jar", "label:raw", "label:control", "stage:before", "reading:", "role:date", "role:time", "role:sample"}, []string{"label", "little"}})
}

func leftRawAndMore(e *rowEvidence) {
	e.b.say(note.Caution, "raw-and-more", e.d.labelAt, "row %q is of the raw water and of something else (%s); it was left out", clip(e.name), strings.Join(rawAndMore(e.name), ", ")).
		do(e.b, `call it "Raw water" if it is that of the jars, or "Control" if it is a jar without chemical`)
}

func leftChosen(e *rowEvidence) {
	if !e.b.readsIn(e.t, e.fs, e.d.r) {
		leftSummary(e)
		return
	}
	e.b.say(note.Caution, "row-not-a-jar", e.d.labelAt, "row %q gives the dose of a jar above once more and was left out", clip(e.name)).do(e.b, "if it is a jar, give it a number like the others")
}
