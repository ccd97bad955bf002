package logbook

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// One entry that is far off all around it was written wrong, or is of one day alone: it is asked about and left out. A move goes on.

const (
	// around is how many entries either side tell what an entry should be like.
	around = 3
	// strayTimes is how many times what is around it an entry has to be, and strayScatters how many scatters it has to be off, before it
	// is asked about; the last of a log, with which a move may begin, strayLast times. Judgement, no source.
	strayTimes, strayScatters, strayLast = 2, 6, 5
	// likeTen is how near to ten, a hundred or a thousand times less or more a slip of the point comes, as a logarithm.
	likeTen = 0.25
	// fewestAround is how many entries of a kind tell anything of one of them.
	fewestAround = 6
)

// stray is an entry off what is around it: its index among those of its kind, and by how much, as a logarithm.
type stray struct {
	at int
	by float64
}

// strays finds them among logarithms.
func strays(x []float64) (out []stray) {
	if len(x) < fewestAround {
		return nil
	}
	var apart []float64
	for i := 1; i < len(x); i++ {
		apart = append(apart, math.Abs(x[i]-x[i-1]))
	}
	const ofNormal = 0.954 // the middle of |difference| of two normal readings, in their standard deviation
	sd := engine.Median(apart) / ofNormal
	for i, v := range x {
		left, right := x[max(0, i-around):i], x[i+1:min(len(x), i+1+around)]
		far := math.Max(math.Log(strayTimes), strayScatters*sd)
		by, is := v-engine.Median(slices.Concat(left, right)), false
		switch {
		case len(left) == 0:
			is = math.Abs(by) > far && math.Abs(v-right[0]) > far
		case len(right) == 0: // a move may have begun with it
			is = by > math.Max(math.Log(strayLast), far) || math.Abs(by) > far && slipOfPoint(by) != 0
		default:
			a, b := v-engine.Median(left), v-engine.Median(right)
			least := math.Min(math.Abs(a), math.Abs(b))
			is = a*b > 0 && math.Abs(a-b) < least/2 && math.Min(least, math.Min(math.Abs(v-left[len(left)-1]), math.Abs(v-right[0]))) > far
		}
		if is {
			out = append(out, stray{i, by})
		}
	}
	return out
}

// slipOfPoint is by how many places the point slipped that takes a value that far off, as a logarithm; nothing where none does.
func slipOfPoint(by float64) int {
	places := int(math.Round(by / math.Ln10))
	if math.Abs(by-float64(places)*math.Ln10) > likeTen {
		return 0
	}
	return places
}

// amount is something that rows count, with the cell that tells it.
type amount struct {
	what string
	of   func(*Day) (v float64, shown func(float64) quantity.Rounded, at note.Place, ok bool)
}

var (
	stockCounted = amount{"stock", func(d *Day) (float64, func(float64) quantity.Rounded, note.Place, bool) {
		return float64(d.Stock.V), litresOf, cellOf(d.Used, d.Level, d.Place, cmp.Or(d.Weighed.At, d.Counter.At)), d.Stock.OK
	}}
	waterCounted = amount{"water", func(d *Day) (float64, func(float64) quantity.Rounded, note.Place, bool) {
		return float64(d.Gone.V), cubicOf, cellOf(d.Water, d.Meter, d.Place, d.Flow.At), d.Gone.OK
	}}
	drawdownRead = amount{"drawdown", func(d *Day) (float64, func(float64) quantity.Rounded, note.Place, bool) {
		return float64(d.Drawdown.V), func(v float64) quantity.Rounded { return quantity.To(quantity.FeedRate(v), 3) }, d.Drawdown.At, d.Drawdown.OK
	}}
)

// litresOf is an amount of stock, in litres however much it is, as it stands in the cell.
func litresOf(v float64) quantity.Rounded { return quantity.To(quantity.Volume(v), 3).In("L") }
func cubicOf(v float64) quantity.Rounded {
	return quantity.To(quantity.Volume(v), 4)
}

// cellOf is the first cell that tells a volume, else another that is known, else that of the row.
func cellOf(a, b quantity.Known[quantity.Volume], row, other note.Place) note.Place {
	switch {
	case a.OK:
		return a.At
	case other != note.Place{}:
		return other
	case b.OK:
		return b.At
	}
	return row
}

// strayed asks about single entries of what was fed and of drawdowns that are far off those around them, and leaves them out.
func (j *Judged) strayed() {
	fed := func(d Day) (float64, bool) { return math.Log(float64(d.PerWater.V)), d.PerWater.OK && d.PerWater.V > 0 }
	at, x := j.logs(fed)
	for _, s := range strays(x) {
		near := slices.Concat(at[max(0, s.at-around):s.at], at[s.at+1:min(len(at), s.at+1+around)])
		d := &j.Days[at[s.at]]
		standing := math.Exp(s.by) < idleShare && slipOfPoint(s.by) == 0
		if standing || j.meant(*d, near, s.by) {
			continue
		}
		if over := float64(d.Hours.V / j.usual()); d.Hours.OK && over > 1.5 && math.Abs(s.by-math.Log(over)) < likeTen {
			j.Notes.Add(note.New(note.Caution, "rows-missing", "rows are missing before this one (%s hours after the last), and it counts the stock of all of them and the water of one, as it seems, so it tells no dose", quantity.To(quantity.Number(d.Hours.V), 3)).
				At(d.Place).Do("write a row a day, or note tank level and water meter"))
		} else {
			what, by := stockCounted, s.by
			if a, b := j.off(stockCounted, *d, near), j.off(waterCounted, *d, near); math.Abs(b) > math.Abs(a) {
				what, by = waterCounted, b
			} else if a != 0 {
				by = a
			}
			j.askStray(what, d, near, by)
		}
		d.Stock.OK, d.Gone.OK, d.Fed.OK, d.PerWater.OK = false, false, false, false
	}
	j.oneOf("rows-missing", "rows are missing before %s rows, which count the stock, or the water, of all of them beside the other of one, so they tell no dose, the first on %s")
	at, x = j.logs(perSetting)
	for _, s := range strays(x) {
		near := slices.Concat(at[max(0, s.at-around):s.at], at[s.at+1:min(len(at), s.at+1+around)])
		d := &j.Days[at[s.at]]
		j.askStray(drawdownRead, d, near, s.by)
		d.Drawdown.OK = false
	}
}

// logs are the logarithms of something of the days that have it.
func (j Judged) logs(of func(Day) (float64, bool)) (at []int, x []float64) {
	for i, d := range j.Days {
		if v, ok := of(d); ok {
			at, x = append(at, i), append(x, v)
		}
	}
	return at, x
}

// off is by how much an amount of a day is off that of others, as a logarithm.
func (j Judged) off(what amount, d Day, near []int) float64 {
	v, _, _, _ := what.of(&d)
	if m := j.nearby(what, near); v > 0 && m > 0 {
		return math.Log(v / m)
	}
	return 0
}

// nearby is the middle of an amount over some days.
func (j Judged) nearby(what amount, near []int) float64 {
	var all []float64
	for _, i := range near {
		if v, _, _, ok := what.of(&j.Days[i]); ok {
			all = append(all, v)
		}
	}
	if len(all) == 0 {
		return 0
	}
	return engine.Median(all)
}

// meant reports a day whose setting, or whose planned dose, was moved for it: what was fed was meant so.
func (j Judged) meant(d Day, near []int, by float64) bool {
	explains := func(of func(Day) (float64, bool)) bool {
		v, ok := of(d)
		var all []float64
		for _, i := range near {
			if n, is := of(j.Days[i]); is && n > 0 {
				all = append(all, n)
			}
		}
		return ok && v > 0 && len(all) > 0 && math.Log(v/engine.Median(all))/by > 0.5
	}
	return explains(func(d Day) (float64, bool) { return d.knobs(), d.Setting.OK }) || explains(func(d Day) (float64, bool) { return float64(d.Planned.V), d.Planned.OK })
}

// askStray asks about an entry that is that far off others, as a logarithm.
func (j *Judged) askStray(what amount, d *Day, near []int, by float64) {
	v, shown, at, _ := what.of(d)
	n := note.New(note.Caution, "entry-far", "%s of %s on %s, where the entries around it are about %s; it is left out", shown(v), what.what, d.Day().Spelled(), shown(v/math.Exp(by))).At(at)
	if what.what == drawdownRead.what {
		n = note.New(note.Caution, "entry-far", "a drawdown of %s on %s, where those around it are about %s at that setting; it is left out", shown(v), d.Day().Spelled(), shown(v/math.Exp(by))).At(at)
	}
	if p := slipOfPoint(by); p != 0 {
		n = n.Do("look whether it was written right: was it %s?", shown(v/math.Pow(10, float64(p))))
	} else {
		n = n.Do("look whether it was written right")
	}
	j.Notes.Add(n)
}

// perSetting is the logarithm of a drawdown against its calibration, else against its setting, else alone.
func perSetting(d Day) (float64, bool) {
	switch {
	case !d.Drawdown.OK:
		return 0, false
	case d.Line.OK && d.Line.V > 0:
		return math.Log(math.Max(float64(d.Drawdown.V), 1e-3) / float64(d.Line.V)), true
	case d.Setting.OK && d.knobs() > 0:
		return math.Log(math.Max(float64(d.Drawdown.V), 1e-3) / d.knobs()), true
	}
	return 0, false
}

// knobs is what a pump is set to: its setting, by its stroke where that is told beside it.
func (e Entry) knobs() float64 {
	if e.Stroke.OK {
		return float64(e.Setting.V) * float64(e.Stroke.V) / 100
	}
	return float64(e.Setting.V)
}
