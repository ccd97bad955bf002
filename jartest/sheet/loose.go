package sheet

import (
	"slices"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// longestLoose is of how many words a loose remark is at most that is no sentence on the jars, "diluted ten times".
const longestLoose = 6

// loosely are what a line beside the tables can say in a few words, with nothing that they are said of: of the samples,
// the doses or the water of all jars, which they change.
var loosely = []func(aside) bool{
	func(r aside) bool { return spoken()["alter"].in(r.text) },
	func(r aside) bool { return dilutionWord.MatchString(r.text) && !r.dilutionGiven() },
	func(r aside) bool { return saysBefore(r.text) && spoken()["filter"].in(r.text) },
	func(r aside) bool { return saysNot.MatchString(r.text) && r.h.Chem != "" },
	func(r aside) bool { return labelFactor.MatchString(r.said) },
	func(r aside) bool { return strength.MatchString(r.text) },
}

// strength is a share of a strength in words.
var strength = worded(`\b(?:1/\d|half|full|double|quarter) strength\b`)

// loose reports a few words that change what numbers of the table mean, in a line that says nothing else: a title
// names its test, and the stock and its chemical are made by dilution.
func (r aside) loose() bool {
	if r.h.Test || r.h.Stock || r.h.Neat || r.h.Operator || r.h.Date || r.h.Target || lengthOf(r.text) > longestLoose {
		return false
	}
	return slices.ContainsFunc(loosely, func(says func(aside) bool) bool { return says(r) })
}

// dilutionGiven reports a column of dilutions, which the readings of a table were reckoned with.
func (r aside) dilutionGiven() bool {
	given := func(c layout.Column) bool { return c.Head.Dilution }
	return slices.ContainsFunc(r.tables, func(t *layout.Table) bool { return slices.ContainsFunc(t.Cols, given) })
}

// dosesByVolume reports a table that has a column of stock or of volumes, which a dilution can be of.
func (b *bench) dosesByVolume() bool {
	byVolume := func(c layout.Column) bool {
		k := c.Head.Unit.Kind
		return c.Head.Stock || c.Head.Volume || c.Head.Strength || c.Head.Dilution || k == words.Volume || k == words.Volper || k == words.Drops || k == words.Household || c.Head.Dose && !c.Head.Unit.Known()
	}
	return slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return slices.ContainsFunc(t.Cols, byVolume) })
}
