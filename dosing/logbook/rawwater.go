package logbook

import (
	"math"
	"slices"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Turn is a raw water that reads otherwise since a day, higher or lower, than it did before.
type Turn struct {
	// Since is the first such day of the log.
	Since int
	// From and To are the middles of the raw readings before and since, LeftFrom and LeftTo those of the treated ones.
	From, To, LeftFrom, LeftTo quantity.Cloudiness
	// Fed is by what share more was fed since, less where it is below nothing.
	Fed quantity.Known[quantity.Fraction]
	// Worse is true where a smaller share is taken out, or more is left, than on nearly all days before.
	Worse bool
}

// OfRaw is what a change of the raw water is called among what has moved off.
const OfRaw Kind = "raw water"

const (
	// fewestTurned readings beyond nearly all before them are a change. Of 40 that scatter about one middle the last three are the highest
	// once in 40·39·38/(3·2·1) = 9880 logs, by the order alone.
	fewestTurned = 3
	// farTurned is by what ratio the middles differ at least: less is a water that a dose is used to. Common practice, no source.
	farTurned = 1.5
	// strayed is one in how many of the readings before may lie beyond: a storm of a day.
	strayed = 20
	// asBefore is by what share a dose may differ and still be fed as before.
	asBefore = 0.1
	// sameTime is how many readings lie at most between the days of two things that moved together.
	sameTime = 3
)

// turn finds the raw water changed, at the last of the log.
func (j Judged) turn() (t Turn, ok bool) {
	var at []int
	for i, d := range j.Days {
		if d.Removal.OK && d.Treated.V > 0 {
			at = append(at, i)
		}
	}
	of := func(days []int, v func(Day) float64) []float64 {
		var out []float64
		for _, i := range days {
			out = append(out, v(j.Days[i]))
		}
		slices.Sort(out)
		return out
	}
	raw := func(d Day) float64 { return float64(d.Raw.V) }
	left := func(d Day) float64 { return float64(d.Treated.V) }
	removal := func(d Day) float64 { return float64(d.Removal.V) }
	perWater := func(d Day) float64 { return float64(d.PerWater.V) }
	middle := func(x []float64) float64 { return x[len(x)/2] }
	for s := fewest; s+fewestTurned <= len(at); s++ {
		before, since := at[:s], at[s:]
		stray := s / strayed
		was, is := of(before, raw), of(since, raw)
		up := is[0] > was[s-1-stray] && middle(is) >= farTurned*middle(was)
		down := is[len(is)-1] < was[stray] && middle(was) >= farTurned*middle(is)
		if !up && !down {
			continue
		}
		wasLeft, isLeft, share := of(before, left), of(since, left), of(before, removal)
		t = Turn{Since: at[s], From: quantity.Cloudiness(middle(was)), To: quantity.Cloudiness(middle(is)), LeftFrom: quantity.Cloudiness(middle(wasLeft)), LeftTo: quantity.Cloudiness(middle(isLeft))}
		if a, b := of(fed(before, j.Days), perWater), of(fed(since, j.Days), perWater); len(a) > 0 && len(b) > 0 {
			t.Fed = quantity.Some(quantity.Fraction(middle(b)/middle(a) - 1))
		}
		t.Worse = middle(isLeft) > wasLeft[s-1-stray] || middle(of(since, removal)) < share[stray]
		return t, true
	}
	return t, false
}

// Watch is how the raw water is held against what it was: by the middle of the readings since it changed, or of the last of them, against that of all before.
type Watch struct {
	Readings int
	// Now is by what share it reads more, Limit by what share at least it is another water; less is one where it is by as much the other way.
	Now, Limit quantity.Fraction
}

// Watched is the raw water's watch; none where there are too few readings.
func (j Judged) Watched() (w Watch, ok bool) {
	var raw []float64
	for _, d := range j.Days {
		if d.Removal.OK && d.Treated.V > 0 {
			raw = append(raw, math.Log(float64(d.Raw.V)))
		}
	}
	w.Readings = len(raw)
	if len(raw) < fewest+fewestTurned {
		return w, false
	}
	at := len(raw) - fewestTurned
	ln := engine.Median(raw[at:]) - engine.Median(raw[:at])
	if j.Water.OK {
		ln = math.Log(float64(j.Water.V.To / j.Water.V.From))
	}
	w.Now, w.Limit = quantity.Fraction(math.Expm1(ln)), farTurned-1
	if ln < 0 {
		w.Limit = 1/quantity.Fraction(farTurned) - 1
	}
	return w, true
}

// fed are those of some days of which the dose is known and the pump ran.
func fed(of []int, days []Day) []int {
	return slices.DeleteFunc(slices.Clone(of), func(i int) bool { return !days[i].PerWater.OK || days[i].PerWater.V <= 0 || days[i].Idle })
}

// says is what the raw water reads in place of what it did.
func (t Turn) says() note.Phrase {
	return note.Say("the raw water reads about %s in place of %s", quantity.To(t.To, 2), quantity.To(t.From, 2))
}

// together reports a chart that moved when the raw water did.
func (t Turn) together(c Chart) bool {
	at := slices.IndexFunc(c.Days, func(i int) bool { return i >= t.Since })
	return at >= 0 && c.Since-at <= sameTime && at-c.Since <= sameTime
}

// followed reports a dose that moved when the raw water did, and to the same side: somebody may have set it so.
func (j Judged) followed(c Chart) bool {
	return j.Water.OK && (c.Mean > 0) == (j.Water.V.To > j.Water.V.From) && j.Water.V.together(c)
}

// turned tells of a raw water that changed and comes out less well since; low is a dose that is too small besides.
func (j Judged) turned(low *Drift) Drift {
	t := j.Water.V
	d := Drift{What: string(OfRaw), Since: j.Days[t.Since].Day(), Seen: j.Days[len(j.Days)-1].Day(), Size: quantity.Fraction(t.To/t.From - 1), Readings: len(j.Days) - t.Since, Advice: TestAgain, Place: j.Days[t.Since].Place}
	d.Reason = note.Say("%s, and %s is left in place of %s", t.says(), quantity.To(t.LeftTo, 2), quantity.To(t.LeftFrom, 2))
	by := quantity.To(quantity.Number(math.Abs(t.Fed.V.In("%"))), 2)
	switch same := math.Abs(float64(t.Fed.V)) < asBefore; {
	case low != nil:
		d.Reason = note.Say("%s, while too little is fed: mend that first", d.Reason)
	case !t.Fed.OK:
		d.Reason = note.Say("%s; the log does not tell what was fed: look at the pump too", d.Reason)
	case t.Fed.V < 0 && !same && t.To > t.From:
		d.Reason = note.Say("%s, while about %s %% less is fed: look at the pump too", d.Reason, by)
	case j.Plan.Law != nil && !slices.ContainsFunc(j.Charts, func(c Chart) bool { return c.What == OfDose && !c.Own && (c.Off || !c.Ready()) }):
		d.Reason = note.Say("%s, though it is fed as past tests ask of it", d.Reason)
	case !same && t.To > t.From:
		d.Reason = note.Say("%s, though about %s %% more is fed: if nobody set the dose for that, check the pump", d.Reason, by)
	case t.To < t.From:
		d.Reason = note.Say("%s: of so clear a water a smaller share comes out, and a smaller dose may do", d.Reason)
	default:
		d.Reason = note.Say("%s, with the dose fed as before: it has to be found for this water", d.Reason)
	}
	return d
}
