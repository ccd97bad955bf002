package sheet

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// dryAlum is what alum is called that comes dry: another product than the solution, of
// twice its strength. "As dry alum" and "mg/L dry alum" are what a dose counts.
const dryAlum = "dry alum"

var (
	dryNamed   = regexp.MustCompile(`(?:^|[^a-z])((?:dry|filter|granular|powdered|ground|lump|kibbled) alum|alum (?:powder|granules|lumps))\b`)
	wetNamed   = regexp.MustCompile(`\b(?:liquid|solution)\b`)
	ofWhatItIs = regexp.MustCompile(`\b(?:as|of|no|not|than)$`) // before what a dose counts, or a denial
)

// saysDry reports that a name of alum is one of the dry product.
func saysDry(text string) bool {
	folded := words.Fold(text)
	m := dryNamed.FindStringSubmatchIndex(folded)
	if m == nil || wetNamed.MatchString(folded) {
		return false
	}
	before := strings.TrimRightFunc(folded[:m[2]], func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	counted := func(u words.UnitAt) bool { return u.From < len(before) && u.To >= len(before) } // "ppm dry alum"
	return !ofWhatItIs.MatchString(before) && !slices.ContainsFunc(words.Units(folded), counted)
}

// namedDry gives alum the name of the dry product where its heading or what names the
// chemical of its table says that it is one.
func (b *bench) namedDry(series []jartest.Series) {
	says := map[*jartest.Chemical]bool{}
	for i, s := range series {
		for k, c := range s.Chemicals {
			if c.Name == "alum" {
				says[&series[i].Chemicals[k]] = b.headedDry(s)
			}
		}
	}
	for _, x := range b.facts {
		if x.kind != factChemical || x.chem != "alum" || !saysDry(x.text) {
			continue
		}
		for _, s := range b.seriesBeside(series, x) {
			for k := range s.Chemicals {
				if _, alum := says[&s.Chemicals[k]]; alum && !b.disagree[x.at] {
					says[&s.Chemicals[k]] = true
				}
			}
		}
	}
	for c, dry := range says {
		if dry {
			c.Name = dryAlum
		}
	}
}

// headedDry reports a dose column of alum in the table of a series whose heading names the dry product.
func (b *bench) headedDry(s jartest.Series) bool {
	for t, fields := range b.byTable {
		if s.Place.Sheet == t.View.Name && s.Place.File == t.View.File && s.Place.Cell == t.RangeName() &&
			slices.ContainsFunc(fields, func(f field) bool { return f.dosed() && f.chem == "alum" && saysDry(f.Head.Text) }) {
			return true
		}
	}
	return false
}
