package dosing

import (
	"slices"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// targetKeys are the readings by which the jars can judge a dose, of those that a target asks for.
func (j *Jars) targetKeys() (out []jartest.Key) {
	for _, t := range j.Targets {
		if x, err := j.Series.Reads(t); err == nil && !slices.Contains(out, x.Key) {
			out = append(out, x.Key)
		}
	}
	return out
}

// judged says where the jars speak against a dose that did not come from them: it misses their target, or no jar
// had so much. Jars of other water do not judge it; that they are is told by [BenchAge].
func (p Plan) judged(s site.Site) (out note.List) {
	others := make([]FeedInput, len(p.Feeds))
	for i, f := range p.Feeds {
		others[i] = f.FeedInput
	}
	for i, f := range p.Feeds {
		same := i > 0 && p.Feeds[i-1].Jars != nil && f.Jars != nil && p.Feeds[i-1].Jars.Series.Place == f.Jars.Series.Place && f.paired(others[i-1])
		dose, ok := f.inJars(f.Dose)
		if !ok || f.Tested || f.Balance != nil || dose.Concentration <= 0 || same {
			continue
		}
		if n, beyond := f.beyondJars(dose); beyond {
			out.Add(n)
		}
		if len(differing(f.Jars.beside(s))) > 0 {
			continue
		}
		for _, t := range f.Jars.Targets {
			if n, misses := f.missesTarget(t, dose, others); misses {
				out.Add(n)
			}
		}
	}
	return out
}

// beyondJars is told of a dose above those of all jars, as far as it is not asked about as a slip of the pen.
func (f Feed) beyondJars(dose quantity.Dose) (note.Note, bool) {
	least, most := f.Jars.Tested()
	if most <= 0 || dose.Concentration <= most || apart[benchRow].outside(f.againstBench(f.Dose.Concentration, "").value) {
		return note.Note{}, false
	}
	return note.New(note.Caution, "dose-beyond-jars", "%s: the dose, %s, is above all that the jars of %s had, %s to %s: they do not tell what it does, and more than the best dose can cloud the water again",
		f.Name, dose, f.Jars.called(), least, most).At(f.DoseAt).Do("test up to it, or empty the dose to take it from the bench sheet"), true
}

// missesTarget is told where the straight line between the jars beside the dose misses a target.
func (f Feed) missesTarget(t jartest.Target, dose quantity.Dose, others []FeedInput) (note.Note, bool) {
	t, err := f.Jars.Series.Reads(t)
	if err != nil || t.Kind != jartest.Absolute && t.Kind != jartest.Removal {
		return note.Note{}, false
	}
	r, ok := f.reading(t.Key, dose.Concentration, others)
	reads, low, high, unit := r.V, r.Low, r.High, t.Unit
	if t.Kind == jartest.Removal {
		raw, told := f.Jars.Series.RawReading(t.Key)
		ok = ok && told && raw > 0
		removed := func(left float64) float64 { return 100 * (1 - left/raw) }
		reads, low, high, unit = removed(r.V), removed(r.High), removed(r.Low), "% less"
	}
	if !ok || t.Met(reads) {
		return note.Note{}, false
	}
	number := func(v float64) quantity.Rounded { return quantity.To(quantity.Number(v), 3) }
	says := note.Say("%s %s %s", t.Key.Base().Info().Label, number(reads), unit).
		If(r.Between[0] == r.Between[1], " in jar %s", r.Between[0]).
		If(r.Between[0] != r.Between[1], " (%s to %s between jars %s and %s)", number(low), number(high), r.Between[0], r.Between[1])
	before, after := t.Words()
	without := f.besideJars(others)
	missed := note.Say("%s: the jars of %s show the dose missing its target: at %s they read %s, and the target is %s%s%s",
		f.Name, f.Jars.called(), dose, says, before, number(t.Value), after).
		If(len(without) > 0, "; they had no %s", note.AnyOf(without))
	return note.New(note.Caution, "dose-misses-target", "%s", missed).At(f.DoseAt).
		Do("empty the dose to take it from the bench sheet, or test again as the plant is to dose"), true
}

// besideJars names the other chemicals of the plan that no jar had.
func (f Feed) besideJars(others []FeedInput) (out []note.Phrase) {
	for _, o := range others {
		had, there := f.Jars.fixedDose(o)
		if o.Name != f.Name && !f.paired(o) && o.Dose.Concentration > 0 && (!there || had.Concentration <= 0) {
			out = append(out, note.Say("%s", o.Name))
		}
	}
	return out
}

// called is the bench sheet by its name, or the file that it stands in.
func (j *Jars) called() string {
	if j.Series.Name != "" {
		return j.Series.Name
	}
	return j.Series.Place.File
}
