package curve

import (
	"math"

	"jarwright/jartest/note"
)

// wider is a next series that looks for an answer that the last one did not give.
type wider struct {
	rule    string
	control bool // a jar without chemical comes first
	doses   []float64
	each    int // jars at every dose
	why     string
	// none says why no dose is worth testing.
	none *note.Note
}

// widerBy is where to look, by how the last series ended. Any other end is looked at by
// the same range again.
var widerBy = map[Outcome]func(r Result, lo, hi float64, jars int) wider{
	StillImproving:   upwards,
	UntreatedPasses:  untreatedPasses,
	LowestDosePasses: downwards,
	NotReached:       aroundBest,
	NoResponse:       muchWider,
	TooFewJars:       evenSpread,
}

// widen chooses where to look for the answer.
func (r Result) widen(opt NextOptions) wider {
	lo, hi, jars := float64(r.TestedLow), float64(r.TestedHigh), opt.Jars
	switch look, ok := widerBy[r.Outcome]; {
	case r.apart[1] > 0:
		return wider{rule: "from the dose that one target allows to the one that another needs, and a fifth beyond; they can be met together only if the targets or the water are parted",
			doses: steps(math.Max(r.apart[0]*0.8, lo), r.apart[1]*1.2, jars), each: 1, why: "between the two targets"}
	case r.worse && lo == 0:
		n := note.New(note.Info, "no-next", "no dose is worth testing for this target").Do("correct the water by other means first, such as alkali for pH")
		return wider{rule: "none: the water fails the target untreated, and dosing makes it worse", none: &n}
	case (r.Outcome == NotReached || opt.Span.Changed) && opt.Span.High > 0 && !r.worse:
		return wider{rule: opt.Span.Rule, doses: steps(float64(opt.Span.Low), float64(opt.Span.High), jars), each: 1, why: opt.Span.Why}
	case ok:
		return look(r, lo, hi, jars)
	}
	if hi <= lo {
		return wider{rule: "none: see the notes of fit"}
	}
	return wider{rule: "the same range again, two jars at each dose", doses: steps(math.Max(lo, hi/10), hi, max(jars/2, 1)), each: 2, why: "repeat"}
}

func upwards(_ Result, _, hi float64, jars int) wider {
	w := wider{rule: "upwards from the highest dose, each 1.3 times the last, with that dose again to join the two tests", each: 1, why: "beyond the tested range"}
	for i := range jars {
		w.doses = append(w.doses, hi*math.Pow(1.3, float64(i)))
	}
	return w
}

func downwards(_ Result, lo, _ float64, jars int) wider {
	return wider{rule: "a control jar, and downwards from the lowest dose that was tested", control: true,
		doses: ratios(lo/8, lo, jars-1), each: 1, why: "below the lowest dose"}
}

func untreatedPasses(Result, float64, float64, int) wider {
	n := note.New(note.Info, "no-next", "the untreated jar passes: there is no dose to look for on this water").Do("run the next test on worse water")
	return wider{rule: "none: the untreated jar passes", none: &n}
}

func aroundBest(r Result, lo, hi float64, jars int) wider {
	if r.worse {
		return downwards(r, lo, hi, jars)
	}
	best := float64(r.Best.Dose)
	low := math.Max(best*0.7, lo)
	if low == 0 {
		low = hi / 8
	}
	return wider{rule: "around the best dose, to be sure of the best that this chemical does; the target needs another pH, chemical or a polymer",
		doses: steps(low, math.Max(best*1.3, low*1.5), jars), each: 1, why: "around the best dose"}
}

func muchWider(_ Result, lo, hi float64, jars int) wider {
	if lo == 0 {
		lo = hi / 8
	}
	return wider{rule: "a much wider range, in equal ratios", doses: ratios(lo/3, hi*3, jars), each: 1, why: "wider range"}
}

func evenSpread(_ Result, lo, hi float64, jars int) wider {
	if hi <= 0 {
		n := note.New(note.Caution, "no-range", "no dose with a usable reading is known").Do("start from the supplier's usual dose: a quarter, half, one, two, three and four times it")
		return wider{rule: "none: no dose is known", none: &n}
	}
	if lo == hi {
		lo, hi = hi/4, hi*2
	}
	return wider{rule: "an even spread over the range of doses tried, and a control", control: true,
		doses: steps(math.Max(lo, hi/10), hi, jars-1), each: 1, why: "even spread"}
}

// share is how far the i-th of count places stands from the first to the last.
func share(i, count int) float64 { return float64(i) / float64(max(count-1, 1)) }

// steps are doses in equal steps, ratios such in equal ratios.
func steps(from, to float64, count int) (out []float64) {
	for i := range count {
		out = append(out, from+share(i, count)*(to-from))
	}
	return out
}

func ratios(from, to float64, count int) (out []float64) {
	for i := range count {
		out = append(out, from*math.Pow(to/from, share(i, count)))
	}
	return out
}

// take puts the doses of a wider series down.
func (n *Next) take(w wider, opt NextOptions) {
	n.Rule = w.rule
	if w.none != nil {
		n.Notes.Add(*w.none)
	}
	if w.control {
		n.add(opt, 0, 1, "control")
	}
	for _, d := range w.doses {
		n.add(opt, d, w.each, w.why)
	}
}
