package clearing

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/words"
)

// choice is what somebody set in a run: the figures, and what its name says beside them. Runs of one choice are repeats of each other.
type choice struct {
	polymer, coagulant, flow, skim float64
	// name is what the name says beyond a count, a day and those figures: "with polymer" beside "without polymer", "skimmer on" beside "skimmer off".
	name string
}

// chosen are the settings of a run that somebody chooses.
func (x Result) chosen() choice {
	return choice{float64(x.Polymer.V), float64(x.Coagulant.V), float64(x.Flow.V), float64(x.Skim.V), x.byName()}
}

// counting are words of a name that count runs, tell their day or bind words, and set nothing.
var counting = strings.Fields(`run runs nr number trial test series log lauf versuch ensayo essai repeat repeated again rerun once more time times first second third fourth
	morning afternoon evening night am pm day date today yesterday monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun
	montag dienstag mittwoch donnerstag freitag samstag sonntag lundi mardi mercredi jeudi vendredi lunes martes miercoles jueves viernes
	january february march april may june july august september october november december jan feb mar apr jun jul aug sep oct nov dec
	with mit avec con com met med a the of and und et y at`)

// countedNo is a count, "no. 2", whose word else says that something is not.
var countedNo = regexp.MustCompile(`(?i)\bno\.?\s*\d+\b`)

// byName is what a run's name sets that no figure of it tells: its words in the order of the alphabet, without those that count. Where names
// differ in more, nobody knows that their runs are repeats.
func (r Run) byName() string {
	if !r.Named {
		return ""
	}
	text := countedNo.ReplaceAllString(decimalComma.ReplaceAllString(r.Name, "$1.$2"), " ")
	has := func(list []string) bool {
		return slices.ContainsFunc(words.TokensIn(text), func(w string) bool { return slices.Contains(list, w) })
	}
	polymer, skim := has(polymerWords), has(skimWords)
	var out []string
	for _, a := range slices.Backward(words.Amounts(text)) {
		told := a.Kind == words.Flow && r.Flow.OK || a.Kind == words.Conc && polymer && r.Polymer.OK || a.Kind == words.Minutes && skim && r.Skim.OK
		from := strings.LastIndex(text[:a.From], a.Number)
		if from < 0 {
			continue
		}
		if !told {
			out = append(out, words.Fold(a.Number+" "+text[a.From:a.To]))
		}
		text = text[:from] + " " + text[a.To:]
	}
	none := false
	for _, w := range words.TokensIn(text) {
		switch {
		case counts(w):
		case r.Polymer.OK && slices.Contains(polymerWords, w), r.Skim.OK && slices.Contains(skimWords, w):
		case slices.Contains(noneWords, w):
			none = true
		default:
			out = append(out, w)
		}
	}
	if none && !(polymer && r.Polymer.OK && r.Polymer.V == 0 && len(out) == 0) {
		out = append(out, "without")
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), " ")
}

// counts reports a word that counts runs: A, B and 1, 2 do too, and so do A1, run2.
func counts(w string) bool {
	w = strings.TrimRight(w, "0123456789.,:/-")
	return len(w) <= 1 || slices.Contains(counting, w)
}

// CallBy names a run of a file that does not name it itself, as by the name of its file, and takes from the name what it sets.
func (r *Run) CallBy(name string) {
	f := facts{Run: *r}
	f.byName(name, r.At)
	f.Name, f.Named = name, true
	*r = f.Run
}

// skimWords name skimming.
var skimWords = strings.Fields("skim skimmed skimming skummet avskumming")
