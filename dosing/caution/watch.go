package caution

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/animal"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Bears is what animals in water that is dosed in portions should not feel at a time: a larger change of pH than a discharge may
// make of their water, and more carbon dioxide, where a limit of one of them is known.
type Bears struct {
	Step quantity.PH
	CO2  quantity.Known[quantity.Concentration]
}

// Bears gives the limits of a situation's animals; false where none get the water.
func (s Situation) Bears() (b Bears, ok bool) {
	v := &reviewer{s: s, quiet: true}
	borne, _ := v.phSteps()
	b.Step = quantity.PH(v.rule(borne).Limit)
	for _, a := range s.Stock {
		if limit, source := v.most(a, animal.CO2, "co2-far"); source != "" && (!b.CO2.OK || limit < float64(b.CO2.V)) {
			b.CO2 = quantity.Some(quantity.Concentration(limit))
		}
	}
	return b, len(s.Stock) > 0
}

// Watch is what to look at in animals whose water is dosed, with the lines at which to stop.
type Watch struct {
	// PHLow and PHHigh bound the pH that all of them are comfortable in; Oxygen is the least that they should have.
	PHLow, PHHigh quantity.PH
	Oxygen        quantity.Known[quantity.Concentration]
	// Hardness is the most that they should have in fresh water, as CaCO3; not known where none of them has such a line.
	Hardness   quantity.Known[quantity.Concentration]
	HardnessOf string
	// TAN is the total ammonia, as N, at which free ammonia comes to NH3, the animals' limit, at a temperature and PH, the highest
	// that they are to meet: dosed or not, and aired; not known without them.
	TAN         quantity.Known[quantity.Concentration]
	NH3         quantity.Concentration
	PH          quantity.PH
	Temperature quantity.Temperature
	// PHOf, OxygenOf and NH3Of name the animal that is the most tender, with where its figure comes from.
	PHOf, OxygenOf, NH3Of string
	// OxygenOwn reports a line that is the animals' own, and none of waters in general.
	OxygenOwn bool
	// Stands are lines that the water is past before anything is dosed; PHLow, PHHigh and TAN are then what it has, so that only
	// what grows worse stops.
	Stands Stands
	// Brings is the pH that the doses themselves bring, where that is past the line that PHLow or PHHigh is; it is set by [Watch.Brought].
	Brings quantity.Known[quantity.PH]
	// Moults is true where some of them moult; Filters where nitrifying bacteria are taken out with the floc.
	Moults, Filters bool
	// Untested says which of what is dosed nobody is known to have tested with them.
	Untested note.List
}

// Stands says which lines are passed before anything is dosed. Asked is the total ammonia that the animals should have no more of,
// Low and High the pH that they should have.
type Stands struct {
	PH, TAN bool
	// Now is true where it is past the line of total ammonia at the pH that it has, and not only at the highest that it is to come to.
	Now       bool
	Asked     quantity.Concentration
	Low, High quantity.PH
}

// Looks is how long after a go, a start or the first animals in a treated water they are looked at; LaterLooks when those of a trial that runs on are
// looked at further (common practice, no source).
var (
	Looks      = []quantity.Time{0.25, 1, 6, 24}
	LaterLooks = []quantity.Time{48, 72, 96}
)

// LooksSaid lists such times as people say them: "15 minutes, 1, 6 and 24 hours".
func LooksSaid(times []quantity.Time) string {
	var out []string
	for i, t := range times {
		said := amount(float64(t)).String()
		if t < 1 {
			said = fmt.Sprintf("%.0f minutes", t.In("min"))
		} else if i == len(times)-1 {
			said += " hours"
		}
		out = append(out, said)
	}
	if n := len(out); n > 1 {
		return strings.Join(out[:n-1], ", ") + " and " + out[n-1]
	}
	return strings.Join(out, "")
}

// Unfit is how animals show that a water in which the first of them are tried is not fit for them.
const Unfit = "gasps, rolls or dies"

// oxygen is the line of a profile that no check takes: it is measured beside the pond.
const oxygen animal.Parameter = "oxygen"

// asksOxygen is the least oxygen that a profile asks for.
func asksOxygen(p animal.Profile) (r animal.Range, ok bool) {
	for _, x := range p.Ranges {
		if x.Parameter == oxygen && x.HasLow {
			return x, true
		}
	}
	return r, false
}

// states are those that animals meet in a water as it is dosed: before, as the doses make it and once it is aired.
func (c Chemistry) states() []water.State {
	dosed := c.Closed
	dosed.PH = c.PH()
	out := []water.State{c.Before, dosed, c.Open}
	if c.Slow != nil {
		out = append(out, c.Slow.Closed)
	}
	return out
}

// WatchOf gives it, with other waters that the animals meet on the way; false where no animals get the water.
func WatchOf(s Situation, onTheWay ...*Chemistry) (w Watch, ok bool) {
	if len(s.Stock) == 0 {
		return w, false
	}
	v := &reviewer{s: s, quiet: true}
	w.PHHigh = 14
	w.Filters = slices.ContainsFunc(s.Doses, func(d Dose) bool {
		return d.Dose.Concentration > 0 && (d.Product.Group.Coagulant() || d.Product.IsPolymer())
	})
	for _, a := range s.Stock {
		r, from := v.phRange(a)
		if low := quantity.PH(r.Low); low > w.PHLow {
			w.PHLow, w.PHOf = low, ofWhom(a, from)
		}
		w.PHHigh = min(w.PHHigh, quantity.PH(r.High))
		o, own := asksOxygen(a.Profile)
		told := own
		if !own {
			o, told = asksOxygen(v.general())
		}
		if c := quantity.Concentration(o.Low); told && c > w.Oxygen.V {
			w.Oxygen, w.OxygenOf, w.OxygenOwn = quantity.Some(c), ofWhom(a, o.From()), own
		}
		if r, ok := a.Profile.Range(animal.Hardness, a.Stage); ok && r.HasHigh && !v.salt() && (!w.Hardness.OK || r.High < float64(w.Hardness.V)) {
			w.Hardness, w.HardnessOf = quantity.Some(quantity.Concentration(r.High)), ofWhom(a, r.From())
		}
		limit, from := v.most(a, animal.NH3, "nh3-high")
		if c := quantity.Concentration(limit); w.NH3 == 0 || c < w.NH3 {
			w.NH3, w.NH3Of = c, ofWhom(a, from)
		}
		w.Moults = w.Moults || moults[a.Profile.Group]
	}
	w.Untested = Untested(s.Doses, s.Stock)
	var met []water.State
	for _, c := range append(onTheWay, waterOf(s, false)) {
		if c != nil && c.HasPH {
			met = append(met, c.states()...)
		}
	}
	if len(met) > 0 && s.Water.Temperature.OK {
		worst := slices.MaxFunc(met, func(a, b water.State) int { return cmp.Compare(a.NH3(1), b.NH3(1)) }) // the more of it is free, the less may there be
		w.TAN, w.PH, w.Temperature = quantity.Some(w.NH3/worst.NH3(1)), worst.PH, s.Water.Temperature.V
		if now := s.Water.Ammonia; now.OK && now.V > w.TAN.V {
			before := waterOf(s, false).Before
			w.Stands.Now = before.NH3(now.V) > w.NH3
			w.Stands.TAN, w.Stands.Asked, w.TAN = true, w.TAN.V, now
		}
	}
	if now := s.Water.PH; now.OK && (now.V < w.PHLow || now.V > w.PHHigh) {
		w.Stands.PH, w.Stands.Low, w.Stands.High = true, w.PHLow, w.PHHigh
		w.PHLow, w.PHHigh = min(w.PHLow, now.V), max(w.PHHigh, now.V)
	}
	return w, true
}

// Waters are those that animals meet where a situation was found so: its own, and that of a loop which alkali is to hold above what it
// has. Each pass gives but its part of that: who stands in the loop meets what all of them come to.
func (f Findings) Waters() []*Chemistry {
	out := []*Chemistry{f.Water}
	for _, o := range f.Alkalis {
		if !o.HasPH || o.Cannot || o.Holds <= f.Water.AlkalinityBefore {
			continue
		}
		before := f.Water.Before
		if held, err := water.FromAlkalinityCO2(before.Conditions, o.Holds, before.CO2); err == nil {
			out = append(out, &Chemistry{HasPH: true, Before: before, Closed: held, Open: held.Aerated(water.Air)})
		}
	}
	return out
}

// staysBelow reports that total ammonia stays below a watch's line in a loop that is held: its water is given alkali day after day, and loses
// carbon dioxide as far as most air in one stage takes it; never all of it, as its animals breathe on.
func (v *reviewer) staysBelow(w Watch) bool {
	now := v.s.Water.Ammonia.V
	for i, c := range v.out.Waters() {
		if c == nil || !c.HasPH {
			continue
		}
		met := slices.DeleteFunc(c.states(), func(s water.State) bool { return s == c.Open })
		if r, ok := v.round(c); ok && i == 0 {
			left := min(c.Before.CO2, r.Settles(airs[len(airs)-1], 1))
			if aired, err := water.FromAlkalinityCO2(c.Before.Conditions, c.AlkalinityLeft, left); err == nil {
				met = append(met, aired)
			}
		}
		if slices.ContainsFunc(met, func(s water.State) bool { return s.NH3(now) > w.NH3 }) {
			return false
		}
	}
	return true
}

// passed says of a loop that is held which lines its animals are past before anything is dosed: who stands in it meets its water
// aired and with what it is given, day after day.
func (v *reviewer) passed() {
	if v.s.Loop == nil || !v.s.Loop.Held {
		return
	}
	if w, ok := WatchOf(v.s, v.out.Waters()...); ok {
		w.Stands.TAN = w.Stands.TAN && !v.staysBelow(w)
		for _, n := range w.Untold(v.notes()) {
			v.said = slices.DeleteFunc(v.said, func(x Said) bool { return n.Code == passedTAN && x.Code == "nh3-aerated" }) // the same, as a note
			v.said = append(v.said, Said{Note: n, Chemical: join(v.names())})
		}
	}
}

// notes are those that are said so far.
func (v *reviewer) notes() (out note.List) {
	for _, x := range v.said {
		out.Add(x.Note)
	}
	return out
}

// InPassing are [Watch.Untold] of animals that meet the aired water only for the time of a clean-up: what stands past a line at the
// highest pH alone is a note.
func (w Watch) InPassing(told note.List) note.List {
	out := w.Untold(told)
	for i := range out {
		if out[i].Code == passedTAN && !w.Stands.Now {
			out[i].Level = note.Info
		}
	}
	return out
}

// Untold are those of [Watch.Passed] of which no caution is told yet.
func (w Watch) Untold(told note.List) (out note.List) {
	for _, n := range w.Passed() {
		kind := "ph-"
		if n.Code == passedTAN {
			kind = "nh3-"
		}
		if !slices.ContainsFunc(told, func(x note.Note) bool {
			return x.Level >= note.Caution && (strings.HasPrefix(x.Code, kind) || x.Code == n.Code)
		}) {
			out.Add(n)
		}
	}
	return out
}

// passedTAN is the code of a caution that total ammonia is past its line.
const passedTAN = "watch-passed-tan"

// Passed are cautions of the lines that the water is past before anything is dosed.
func (w Watch) Passed() (out note.List) {
	if w.Stands.TAN {
		out.Add(note.New(note.Caution, passedTAN, "total ammonia stands at %s mg/L as N before anything is dosed, "+
			"above the %s mg/L that the animals should have no more of at pH %s, the highest that this water is to come to",
			mgL(w.TAN.V), mgL(w.Stands.Asked), ph(w.PH)).Do("feed nothing, bring new water in first, and measure again; more than stands there now is past the line at which to stop"))
	}
	if w.Stands.PH {
		out.Add(note.New(note.Caution, "watch-passed-ph", "the pH before anything is dosed is outside what the animals should have").
			Do("measure it again at dawn; going further is past the line at which to stop"))
	}
	return out
}

// Brought gives the watch with the pH that the doses bring, and a caution, where that is past its line: who stops at that line stops as soon
// as the dose works.
func (w Watch) Brought(c *Chemistry) (Watch, note.List) {
	if c == nil || !c.HasPH {
		return w, nil
	}
	dosed := c.PH()
	line, side := w.PHLow, "below"
	if dosed > w.PHHigh {
		line, side = w.PHHigh, "above"
	} else if dosed >= w.PHLow {
		return w, nil
	}
	w.Brings = quantity.Some(dosed)
	return w, note.List{note.New(note.Caution, passesPH, "the dose itself brings the pH to %s, %s the %s at which to stop: these lines would stop it as soon as it works", ph(dosed), side, ph(line)).
		Do("put the pH right first, dose less, or take the animals out; do not begin as the water is")}
}

// passesPH is the code of a caution that the doses bring the pH past its line.
const passesPH = "watch-passed-dose"

// ofWhom names an animal with the source of its figure; a general figure has none of its own.
func ofWhom(a Animal, from string) string {
	if from == "" {
		from = "general limit"
	}
	return a.who() + ", " + from
}
