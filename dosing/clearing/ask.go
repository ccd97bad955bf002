package clearing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Where a run is asked about before its figures are gone by; judgement, no source.
const (
	// leastCapture is less than a unit that runs takes out at a pass.
	leastCapture quantity.Fraction = 0.01
	// mostTurns is the rate per turn beyond which no settling explains a tank that clears so fast.
	mostTurns = 3
	// wideScatter is more than readings of a course scatter: three times what is usual.
	wideScatter quantity.Fraction = 0.2
	// blankWeighs is by how much a run with the unit off may widen the interval before it is the one to repeat.
	blankWeighs = 2
)

// slips are the usual ones of a volume or a flow: what the rate per turn has to be multiplied by if it was made.
var slips = []struct {
	by   float64
	says func(x Result) note.Phrase
}{
	{1000, func(x Result) note.Phrase { return note.Say("a volume of %s", quantity.To(x.Volume.V*1000, 3)) }},
	{1.0 / 1000, func(x Result) note.Phrase { return note.Say("a volume of %s", quantity.To(x.Volume.V/1000, 3)) }},
	{60, func(x Result) note.Phrase { return note.Say("a flow of %s", quantity.To(x.Flow.V/60, 3)) }},
	{1.0 / 60, func(x Result) note.Phrase { return note.Say("a flow of %s", quantity.To(x.Flow.V*60, 3)) }},
}

// ask tells what of a run has to be looked at first.
func (x *Result) ask() {
	x.askSense()
	if x.Outcome.Tells() && x.told && x.Scatter.V > wideScatter && !slices.ContainsFunc(x.Notes, func(n note.Note) bool { return n.Code == "reading-off" }) {
		x.Notes.Add(note.New(note.Caution, "scatter-wide", "the readings lie %s off their course, and 5 to 10 %% is usual of a hand meter: something else happened while the unit ran, or the samples were taken otherwise",
			quantity.To(x.Scatter.V, 2)).At(x.At).Do("look at the remarks of the day before going by the figures"))
	}
	if k := x.Closure.V; !x.Balanced() {
		x.Notes.Add(note.New(note.Caution, "balance-open", "the bin of %s held %s of what left the water by its readings, so one of the two is wrong", x.Name, quantity.To(k.Share, 2)).At(x.Bin.Wet.At).
			Do("weigh again, and look for solids that settled in the tank or came in, before going by what a pass takes out"))
	}
	switch {
	case x.Bin.Wet.OK && !x.Bin.Weighed().OK:
		x.Notes.Add(note.New(note.Caution, "float-dry-share", "the float of %s was weighed wet, %s, and nothing says how much of it is dry, so there is no balance of solids", x.Name, quantity.To(x.Bin.Wet.V, 4)).At(x.Bin.Wet.At).
			Do(`write "Dry solids of the float" with its share, such as 2 %%`))
	case x.Bin.Weighed().OK && x.volumeVaried():
		x.Notes.Add(note.New(note.Info, "balance-volume", "the volume changed, so what left the water is not held against the bin").At(x.Bin.Wet.At))
	}
	if k := x.Closure.V; k.Uncounted {
		x.Notes.Add(note.New(note.Caution, "coagulant-not-counted", "the solids that the coagulant makes are not counted in the balance of %s, as the file does not say what it is", x.Name).At(x.Coagulant.At).
			Do(`write it with its dose, such as "12 mg/L as alum 14-hydrate" or "2 mg/L as Fe"`))
	}
	x.askFlow()
	for _, r := range x.Readings {
		if above, n := x.outletAbove(); x.Changed() {
			x.Notes.Add(note.New(note.Caution, "outlet-above-inlet", "the outlet read more than the inlet in %s of %s pairs of %s", strconv.Itoa(above), strconv.Itoa(n), x.Name).At(x.At).
				Do("look whether the two were changed round, or whether float went over; they are counted as they stand"))
			break
		}
		if r.In.OK && r.Out.OK && r.Out.V > r.In.V {
			x.Notes.Add(note.New(note.Caution, "outlet-above-inlet", "the outlet read %s at %s, more than the inlet, %s", quantity.To(quantity.Number(r.Out.V), 3), quantity.To(r.At, 3), quantity.To(quantity.Number(r.In.V), 3)).At(r.Out.At).
				Do("look whether the two were changed round, or whether float went over; it is counted as it stands"))
		}
	}
	x.askBlank()
}

// farFlow is how many times the middle of all flows of a run one has to be, or a share of it, to be asked about. Judgement, no source.
const farFlow = 5

// askFlow asks about a flow of a row that is far from all others.
func (x *Result) askFlow() {
	var ran []quantity.Flow
	for _, f := range x.Flows {
		if f.Flow.OK && f.Flow.V > 0 {
			ran = append(ran, f.Flow.V)
		}
	}
	if len(ran) < fewest {
		return
	}
	slices.Sort(ran)
	middle := ran[len(ran)/2]
	for _, f := range x.Flows {
		if v := f.Flow.V; f.Flow.OK && v > 0 && (v > farFlow*middle || v*farFlow < middle) && f.Flow.At.Cell != "" {
			x.Notes.Add(note.New(note.Caution, "flow-far", "the flow %s lies far off all others of %s, %s in the middle", quantity.To(v, 4), x.Name, quantity.To(middle, 4)).At(f.Flow.At).
				Do("look whether it was written right; it is counted as it stands"))
		}
	}
}

// Balanced reports a run whose bin does not speak against its readings.
func (x Result) Balanced() bool {
	return !x.Closure.OK || x.Closure.V.Share >= TooLittle && x.Closure.V.Share <= TooMuch
}

// askSense asks about a volume or a flow that cannot be.
func (x *Result) askSense() {
	if !x.told || !x.Outcome.Tells() || x.Outcome == Pairs {
		return
	}
	turns := x.turns(x.fit.shape[rate])
	falls := turns
	if last := len(x.fit.t) - 1; x.fit.t[last] < x.turnover() { // the fit of a run that ended so early may be anything; what it fell from end to end is told
		falls = math.Min(turns, (x.fit.y[0]-x.fit.y[last])/(x.fit.t[last]-x.fit.t[0])*x.turnover())
	}
	if x.Doubtful = x.Capture.High.V < leastCapture || falls > mostTurns; !x.Doubtful {
		return
	}
	n := note.New(note.Caution, "capture-no-sense", "with %s going round at %s all of it passes the unit every %s, and the readings fall %s for that", quantity.To(x.Volume.V, 4), quantity.To(x.Flow.V, 4),
		quantity.To(quantity.Time(x.turnover()), 2), side(turns > 1, "far too fast", "far too slowly")).At(x.Volume.At).Do("look at volume and flow")
	for _, s := range slips {
		if k := turns * s.by; k > 0.05 && k < 1 {
			n = n.Do("did you mean %s? Then a pass takes out %s", s.says(*x), quantity.To(quantity.Fraction(k), 2))
			break
		}
	}
	x.Notes.Add(n)
}

func side(holds bool, one, other string) string {
	if holds {
		return one
	}
	return other
}

// askBlank tells of a run with the unit off that is the greater part of the doubt.
func (x *Result) askBlank() {
	if !x.told || !x.Settled.OK || !x.Capture.Bounded() || x.Outcome == NotMixed {
		return
	}
	alone := *x
	alone.Settled.V.Low, alone.Settled.V.High = quantity.Some(x.Settled.V.V), quantity.Some(x.Settled.V.V)
	more := allowed(float64(Sure), x.fit.variance(), x.fit.df())
	low, high := x.fit.rateEnds(more)
	own, all := alone.net(low, high), x.net(low, high)
	if math.IsInf(high, 1) || all.High.V-all.Low.V <= blankWeighs*(own.High.V-own.Low.V) {
		return
	}
	x.Notes.Add(note.New(note.Caution, "blank-short", "most of the doubt of what a pass takes out is that of the run with the unit off, which tells only that the tank loses between %s and %s in an hour by itself",
		quantity.To(quantity.Fraction(x.Settled.V.Low.V), 2), quantity.To(quantity.Fraction(x.Settled.V.High.V), 2)).At(x.At).Do("run it with the unit off for longer, with more readings: as long as with the unit on"))
}

// askUndosed asks about runs that would tell what is caught with no chemical at all, and do not say that they had none.
func (j *Judged) askUndosed() {
	if !j.someDosed() {
		return
	}
	var names []string
	what, at := "", note.Place{}
	for _, x := range j.Results {
		if !x.Offered() || x.dosed() || x.undosed() {
			continue
		}
		if names = append(names, x.Name); len(names) == 1 {
			what, at = side(x.Coagulant.OK, "polymer", "coagulant"), x.At
		}
	}
	if len(names) == 0 {
		return
	}
	j.Notes.Add(note.New(note.Caution, "undosed-unknown", "%s %s not say the %s, so that what is caught undosed is not taken from it", strings.Join(names, ", "), side(len(names) > 1, "do", "does"), what).At(at).
		Do(`write "%s: none" beside the run where none was dosed, else its dose`, side(what == "polymer", "Polymer", "Coagulant")))
}

// Changed reports inlet and outlet of which the outlet read more in most pairs, as where the two were changed round.
func (x Result) Changed() bool {
	above, n := x.outletAbove()
	return n >= fewestPairs && 2*above > n
}

// outletAbove counts the pairs whose outlet read more, and all.
func (x Result) outletAbove() (above, n int) {
	for _, r := range x.Readings {
		if r.In.OK && r.Out.OK {
			if n++; r.Out.V > r.In.V {
				above++
			}
		}
	}
	return above, n
}
