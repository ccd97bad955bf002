package sheet

import (
	"cmp"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Weights of the rules for columns, by what they rest on. Within one level a more
// exact rule has a few points more.
const (
	leftOver = 10  // nothing but that the column is there
	byRemark = 20  // a word for what stands beside a test
	byWord   = 30  // a word for a chemical or a test
	byLabel  = 40  // a word for a jar, or a column that counts
	byDose   = 50  // a word, a chemical or a unit for what was dosed
	byMark   = 60  // a word for marks and repeats
	byName   = 70  // the name of a reading
	byScale  = 80  // what scales or sums up other columns
	byFrame  = 90  // what a long table is built of
	certain  = 100 // somebody said so, or the column is empty
)

type columnRule = layout.Rule[role, *evidence]

// nameRules read a heading by itself, with the kind of its cells.
var nameRules = []columnRule{
	{asIgnored, certain + 5, "hidden core", "", "it is hidden", leftHidden},
	{asIgnored, certain, "hidden", "", "it is hidden, and no part of a test", nil},
	{asIgnored, certain + 5, "old figures", "hidden own-layout only-dose", "its heading says that it does not count", leftByHeading},
	{asIgnored, certain, "old", "hidden only-dose", "its heading says that it does not count", nil},
	{asIgnored, certain, "", "figures texts hidden", "it is empty", nil},

	{asParameter, byFrame + 8, "parameter texts-half", "turned", "it names what was read on each line", nil},
	{asJar, byFrame + 5, "parameter", "jar-known", "it stands beside the names of the lines", nil},
	{asJar, byFrame + 3, "unit-column turned one-part", "jar-known", "the corner over the labels names the units beside them", nil},
	{asUnit, byFrame, "unit-column texts", "", "it gives units", nil},

	{asVolume, byScale + 8, "volume unit-volume", "dose stock chem reading", "it gives the water in each jar", nil},
	{asStrength, byScale + 6, "stock unit-of-stock constant", "dose reading", "one strength of stock for all jars", nil},
	{asStrength, byScale + 6, "strength unit-of-stock unit-strong", "dose reading", "a strength that no jar has", nil},
	{asDilution, byScale + 4, "dilution", "dose stock reading chem unit", "it says how far the sample was diluted", nil},
	{asStrength, byScale + 2, "stock unit-conc factor-strong volumes-besides", "dose reading", "strengths of stock beside their volumes", nil},

	{asReading, byName + 8, "after figures unit", "dose stock reading removal", "what is left in the water is no dose", nil},
	{asReading, byName + 9, "weighed figures", "dose chem stock volume", "what the laboratory weighed or drew is no dose", nil},
	{asTarget, byName + 5, "target", "ph dose chem", "it says what shall be reached", nil},
	{asJar, byName + 2, "jar first counting reading", "reading-worded jar-known chemical label-elsewhere volume dose stock chem", "it counts the jars, whatever unit its heading has", jarUnit},
	{asReading, byName, "reading", "", "it names a reading", nil},
	{asReading, byName, "removal", "", "it names a removal", nil},
	{asReading, byName, "log-removal", "", "it names a removal", nil},
	{asDose, byName - 1, "dose reading unit-mass", "after before target removal stat change", "it names a dose by weight", nil},

	{asReading, byName - 1, "cost chem figures", "reading unit-conc", "what a chemical costs or where it came from is no dose", nil},
	{asNote, byName - 2, "operation figures", "reading dose chem stock dilution", "it says what is done to other numbers", operates},

	{asNote, byName + 2, "idle", "figures", "it tells the beakers or the papers apart", nil},
	{asQualifier, byMark + 5, "qualifier", "", "it holds the signs of limits", nil},
	{asReplicate, byMark, "replicate", "chem dose", "it numbers the repeats", nil},

	{asChemical, byDose + 8, "chemical dose texts texts-half", "figures unit", "it names the chemical of each dose", nil},
	{asDose, byDose, "dose", "", "it names a dose", nil},
	{asDose, byDose, "stock", "jar", "it names a stock", nil},
	{asDose, byDose, "chem unit", "", "it names a chemical and a unit", nil},
	{asDose, byDose, "chem figures", "", "it names a chemical", nil},

	{asJar, byLabel + 6, "jar sized", "jar-known dose stock chem reading label-elsewhere", "it names the jars and says what each holds", nil},
	{asJar, byLabel + 5, "jar", "unit-volume unit-length jar-known chemical label-elsewhere", "it names the jars", jarUnit},
	{asJar, byLabel + 5, "jar first unit counting", "jar-known chemical label-elsewhere volume dose stock chem reading", "it counts the jars, in a unit that labels have no use for", jarUnit},
	{asDose, byLabel + 4, "jar unit-mass figures", "chemical jar-known dose-named reading", "it names a jar, in a unit of doses", nil},
	{asTest, byLabel + 2, "jar two-labels", "unit chemical test-known distinct", "labels beside those of the jars, some more than once", nil},
	{asNote, byLabel, "jar two-labels", "unit chemical", "labels beside those of the jars", nil},

	{asChemical, byWord + 8, "chemical texts texts-half", "", "it names the chemical of each jar", nil},
	{asDose, byWord + 6, "chemical figures", "test", "figures under a word for chemicals", nil},
	{asTest, byWord + 4, "test", "unit test-known note", "it names the test", nil},

	{asReading, byRemark + 8, "aside figures", "operator date", "an observation in figures keeps its own name", nil},
	{asNote, byRemark + 6, "aside", "", "it holds remarks", nil},
	{asReading, byRemark, "stat", "", "it sums up readings", nil},
	{asReading, byRemark, "value", "", "it holds results", nil},
	{asNote, leftOver + 5, "texts-mostly", "", "it is text for the most part", nil},
	{asReading, leftOver, "", "", "nothing else is known of it", nil},
}

// labelRules look for the labels of jars where no heading names them.
var labelRules = []columnRule{
	{asNote, byLabel + 4, "is-test three-rows distinct jar-known", "", "a name for every row names no test", nil},
	{asJar, byFrame + 9, "first no-heading", "jar-known is-dose", "the first column needs no heading to hold labels", labelsUnheaded},
	{asJar, byLabel + 6, "first is-note unknown-word texts", "jar-known note", "texts in the first column, under a word that is not known", nil},
	{asJar, byLabel + 6, "first is-reading counting", "jar-known reading removal log-removal stat unit value", "the first column counts the rows", nil},
	{asJar, byScale + 5, "first is-reading numbering unit-household dose-named", "jar-known", "buckets are numbered, and the dose stands in another column", nil},
	{asJar, byScale + 5, "first is-note unit-household lettered dose-named", "jar-known", "buckets have letters, and the dose stands in another column", nil},
	{asJar, byLabel + 6, "first is-test distinct", "jar-known", "the first column has another name for every row", nil},
	{asJar, byLabel + 6, "is-test distinct two-rows", "jar-known", "it has another name for every row", nil},
}

// doseRules part doses from volumes of stock, and both from texts.
var doseRules = []columnRule{
	{asNote, byDose + 9, "is-dose texts", "figures chem dose", "it holds no figures", nil},
	{asNote, byDose + 9, "is-dose texts dose-besides", "figures", "the doses stand in another column", nil},
	{asStock, byDose + 5, "is-dose by-volume", "", "it is in millilitres, not in mg/L", nil},
	{asStock, byDose, "is-dose stock dose figures", "unit by-volume", "it names a stock without a unit", nil},
}

// massRules find doses by their units where no heading names them.
var massRules = []columnRule{
	{asReading, byName, "bare unit-conc metal dosed", "unknown-word", "the dose has a column of its own, so the metal is what is left of it", metalLeft},
	{asDose, byLabel + 8, "bare unit-mass metal before-readings", "dosed", "a metal by weight before the readings", nil},
	{asDose, byLabel + 8, "bare unit-mass", "unknown-word metal dosed weighed", "a weight and nothing else", nil},
	{asDose, byLabel + 7, "bare unit-mass before-readings dosed-alike", "unknown-word metal weighed constant", "a weight that differs between jars whose named dose does not", nil},
	{asStock, byLabel + 7, "bare unit-volume before-readings dosed-alike", "unknown-word metal weighed constant", "a volume that differs between jars whose named dose does not", nil},
	{asDose, byLabel + 8, "bare unit-mass dosed before-readings undosed", "unknown-word metal after weighed", "a weight and nothing else, and the sheet names a chemical that no column doses", ofNamed},
	{asDose, leftOver, "bare unit-mass before-readings dose-by-unit", "unknown-word metal aside weighed", "a weight and nothing else, like the column beside it", nil},
	{asStock, byLabel + 8, "bare unit-volume", "dosed weighed", "a volume and nothing else", nil},
	{asStock, byLabel + 8, "bare unit-volper", "unknown-word dosed", "a volume for each volume of water and nothing else", nil},
	{asStock, byScale, "bare unit-drops", "", "drops", nil},
	{asDose, byScale, "bare unit-household", "numbering dosed", "spoons, scoops, buckets", nil},
	{asDose, byLabel + 5, "bare unit-mass unknown-word before-readings", "after metal weighed", "a weight of something unknown, before the readings", unknownChemical},
	{asStock, byLabel + 5, "bare unit-volume unknown-word before-readings dosed", "after metal weighed", "a volume of something unknown, before the readings", unknownChemical},
}

// statRules tie means, deviations and counts to the readings they belong to.
var statRules = []columnRule{
	{asIgnored, byFrame + 5, "is-reading statistic", "", "it is a statistic of the repeats in every jar", leftStatistic},
	{asMean, byScale + 5, "is-reading mean singles", "", "its single readings stand beside it", meanLeft},
	{asSD, byScale + 5, "is-reading sd reading-left", "", "the deviation of the reading beside it", tie},
	{asN, byScale + 5, "is-reading count reading-left counts", "", "the number of readings beside it", tie},
	{asIgnored, byScale + 5, "is-reading count reading-left", "counts", "a number of what, nobody can say", countUnclear},
	{asIgnored, byScale + 5, "is-reading sd", "reading-left", "a deviation of nothing", leftOfNothing},
	{asIgnored, byScale + 5, "is-reading count", "reading-left", "a number of nothing", leftOfNothing},
	{asIgnored, byScale + 5, "is-reading derived", "", "it is worked out of the readings", leftDerived},
	{asIgnored, byScale + 5, "is-reading sum", "reading", "a sum of nothing that is read", leftOfNothing},
}

// settingRules find the pH that a jar was set to.
var settingRules = []columnRule{
	{asSetting, byScale + 5, "is-reading ph set", "", "a pH that was set", phSet},
	{asSetting, byScale + 5, "is-reading ph target", "", "a pH to be reached", phSet},
}

// beforeRules find the water before treatment, which is no reading of a jar.
var beforeRules = []columnRule{
	{asBefore, byScale + 5, "is-reading before key-known", "", "it is the water before treatment", beforeTreatment},
	{asBefore, byScale + 5, "is-reading before alike-besides", "", "it is the water before treatment", beforeTreatment},
	{asReading, byScale + 5, "is-reading before key-known varies", "read-besides said", "it differs between the jars as their readings do", nil},
}

// columnRows are the tables in the order in which they need each other: each asks
// what the one before has found in all columns.
var columnRows = [...][]columnRule{
	stepNames: nameRules, stepLabels: labelRules, stepDoses: doseRules, stepMasses: massRules,
	stepStats: statRules, stepSettings: settingRules, stepBefore: beforeRules,
}

var columnSteps = func() (out []layout.Rules[role, *evidence]) {
	for _, rows := range columnRows {
		out = append(out, layout.NewRules(columnTests, rows))
	}
	return out
}()

const (
	stepNames = iota
	stepLabels
	stepDoses
	stepMasses
	stepStats
	stepSettings
	stepBefore
)

func leftHidden(e *evidence) {
	e.b.say(note.Caution, "hidden-column", e.Place, "column %q is hidden and was left out", e.Head.Text).do(e.b, layout.OpenHidden)
}

// labelsUnheaded speaks of numbers without a heading that do not count the jars: they can be doses.
func labelsUnheaded(e *evidence) {
	if e.numbers < 2 || e.b.counts(e.t, e.C, true) || !layout.IsFigure(layout.Text(e.t.View.At(e.t.First, e.C))) {
		return
	}
	e.b.say(note.Caution, "labels-unheaded", e.t.View.PlaceAt(e.t.First, e.C), "the numbers of the first column have no heading and do not count the jars; they are taken for labels, not for doses").
		do(e.b, `write over them what they are, "Jar" or "Alum (mg/L)"`)
}

func leftByHeading(e *evidence) {
	e.b.say(note.Info, "column-left-out", e.Place, "column %q was left out because of its heading", e.Head.Text)
}

func operates(e *evidence) {
	e.b.say(note.Caution, "column-operates", e.Place, "column %q may change what the numbers beside it mean; nothing was changed for it", e.Head.Text).
		do(e.b, `put the right numbers into the table, or leave it out with --column "%s=ignore"`, e.header())
}

func leftDerived(e *evidence) {
	e.b.say(note.Info, "column-left-out", e.Place, "column %q is derived from the readings and was left out", e.Head.Text)
}

func leftOfNothing(e *evidence) {
	e.b.say(note.Info, "column-left-out", e.Place, "column %q was left out: a mean, a deviation, a count or a sum of no reading in this table", e.Head.Text)
}

func countUnclear(e *evidence) {
	e.b.say(note.Caution, "column-unclear", e.Place, "column %q may count the readings behind each number or hold something else; it was left out", e.Head.Text).
		do(e.b, `write "number of readings" for a count, or say what it is with --column "%s=…"`, e.header())
}

func meanLeft(e *evidence) {
	if !e.b.within(e.t, e.fs, e.i) {
		e.b.say(note.Caution, "mean-elsewhere", e.Place, "column %q is headed as a mean and lies outside the readings beside it; it was left out", e.Head.Text).
			do(e.b, `say what it is with --column "%s=…"`, e.header())
		return
	}
	e.b.say(note.Info, "mean-left-out", e.Place, "column %q repeats the single readings and was left out", e.Head.Text)
}

func tie(e *evidence) { e.of = readingOf(e.fs, e.i) }

func phSet(e *evidence) { e.key = "ph_target" }

func beforeTreatment(e *evidence) {
	e.b.say(note.Info, "before-treatment", e.Place, "column %q is the water before treatment, not a reading of the jar", e.Head.Text)
}

func metalLeft(e *evidence) {
	e.Head.Reading = map[string]jartest.Key{"Al": jartest.ResidualAl, "Fe": jartest.ResidualFe}[e.Head.Metal]
	e.b.say(note.Info, "residual-metal", e.Place, "column %q is taken for %s left in the water, because the dose has a column of its own", e.Head.Text, e.Head.Metal)
}

func ofNamed(e *evidence) {
	x, _ := e.undosed()
	if e.chem = x.chem; plainPAC(x.text) {
		e.chem = ""
		return
	}
	e.b.say(note.Info, "chemical", e.Place, "column %q is taken for the dose of %s, from %q: no other column doses it", e.Head.Text, x.chem, clip(x.text))
}

func unknownChemical(e *evidence) {
	e.chem = plainName(e.Head.Text)
	if e.b.strange == nil {
		e.b.strange = map[note.Place]string{}
	}
	e.b.strange[e.Place] = e.chem
	e.b.say(note.Caution, "chemical-unknown", e.Place, "column %q is taken for the dose of a chemical called %q", e.Head.Text, e.chem).
		do(e.b, `if it is a reading, say so with --column "%s=…"`, e.header())
}

// unclear are the pairs of roles that are asked about where they are as likely as
// each other, because the numbers read would differ.
var unclear = [][2]role{{asDose, asReading}, {asDose, asStock}, {asJar, asDose}, {asReading, asBefore}}

// meaning gives what --column needs to say for a role.
func (f field) meaning(r role) string {
	key := f.Head.Reading
	if key == "" {
		key = jartest.Turbidity
	}
	switch r {
	case asDose:
		return "dose " + cmp.Or(f.Head.Unit.Name, "mg/L")
	case asStock:
		return "stock mL"
	case asJar:
		return "jar"
	case asBefore:
		return "initial " + string(key)
	}
	return string(key)
}

// ask asks about the columns of a table whose role is a near tie.
func (b *bench) ask(fs []field) {
	for _, f := range fs {
		ahead, second, ok := f.margin()
		if !ok || ahead >= layout.Near || f.Head.Said || !slices.Contains(unclear, [2]role{min(f.role, second), max(f.role, second)}) {
			continue
		}
		b.say(note.Error, "role-unclear", f.Place, "column %q can be %s (%s) or %s (%s), and nothing settles which", f.Head.Text, f.role, f.why(f.role), second, f.why(second)).
			do(b, `say which with --column "%s=%s" or --column "%s=%s"`, f.header(), f.meaning(f.role), f.header(), f.meaning(second))
	}
}

// byVolume reports a dose column that gives millilitres rather than mg/L.
func (b *bench) byVolume(t *layout.Table, f *field) bool {
	switch f.Head.Unit.Kind {
	case words.Volume, words.Drops, words.Volper:
		return true
	case "":
		for _, r := range t.Rows { // the unit may stand in the cells
			if v := layout.ParseValue(t.View.At(r, f.C), b.dec(t)); v.Unit.Kind == words.Volume {
				return true
			}
		}
		return f.Head.Stock && !f.Head.Dose
	}
	return false
}
