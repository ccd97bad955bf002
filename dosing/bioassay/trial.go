package bioassay

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Trial is animals in several doses, counted at several times.
type Trial struct {
	Name, Chemical, Animal string
	// Basis is what the doses count.
	Basis quantity.Basis
	// Times are those of the counts, the earliest first; not given for one that the sheet does not time.
	Times  []quantity.Known[quantity.Time]
	Groups []Group
	At     note.Place
	Notes  note.List
}

// Group is animals that are kept alike.
type Group struct {
	Name string
	// Dose is not given for a group that only its name tells of, such as water of the tank itself.
	Dose    quantity.Known[quantity.Concentration]
	Control bool
	Animals int
	// Dead are all that died until each of the trial's times; not given where nobody counted.
	Dead []quantity.Known[int]
	At   note.Place
}

// called is what a group is called.
func (g Group) called() string {
	switch {
	case g.Name != "":
		return g.Name
	case g.Control:
		return "control"
	case g.Dose.OK:
		return fmt.Sprintf("%v mg/L", float64(g.Dose.V))
	}
	return "group"
}

// Result is what a trial tells, at each of its times.
type Result struct {
	Trial
	Readings []Reading
	Notes    note.List
}

// Reading is the trial at one time.
type Reading struct {
	At quantity.Known[quantity.Time]
	// Control are the animals that got nothing; none where the trial has none.
	Control Count
	// Stands are the groups, those of one dose pooled, the lowest dose first, then those without a dose.
	Stands []Stand
	Estimate
	// Safe is the highest dose that is proven to kill fewer than half, see [Safe].
	Safe quantity.Concentration
}

// Stand is what died in a dose, or in a group without one.
type Stand struct {
	Name string
	Dose quantity.Known[quantity.Concentration]
	Count
	// AtMost is the share that may die, see [Count.AtMost].
	AtMost quantity.Fraction
	// Against the control; zero where there is none.
	Comparison
}

// Unlike reports that more died than in the control, by the one-sided test.
func (s Stand) Unlike() bool { return s.More > 0 && s.More <= 1-Sure }

// Died reports that some of a group died: what lived through it may still be a small part of what would not.
func (s Stand) Died() bool { return s.Dead > 0 }

// Like reports that no larger share died than of the control, so that what killed there may have killed here.
func (s Stand) Like(control Count) bool { return control.Of > 0 && s.Share() <= control.Share() }

// KeepOut reports that a trial of water, or of one dose, ended with deaths in it: no animals are to go into it.
func (r Reading) KeepOut() bool {
	return r.Outcome == TooFew && slices.ContainsFunc(r.Stands, Stand.Died)
}

// Last is the reading that the answer goes by: the last one.
func (r Result) Last() Reading { return r.Readings[len(r.Readings)-1] }

// Harmful is the lowest dose from which on more died than in the control, at each dose; false where there is none.
func (r Reading) Harmful() (quantity.Concentration, bool) {
	var from quantity.Concentration
	for _, s := range slices.Backward(r.Stands) {
		if s.Dose.OK && !s.Unlike() {
			break
		}
		if s.Dose.OK {
			from = s.Dose.V
		}
	}
	return from, from > 0
}

// Killing is the lowest dose of which a larger share died than of the control, whether that is more than chance or not: what a farm
// goes by until it knows more has to be on the safe side. Zero where none did, and where the controls died too.
func (r Reading) Killing() quantity.Concentration {
	for _, s := range r.Stands {
		if s.Dose.OK && s.Died() && !s.Like(r.Control) && r.Outcome != Invalid {
			return s.Dose.V
		}
	}
	return 0
}

// controlsMost is the share of the controls that may die in a valid trial; one of fewer than ten may
// (OECD test guideline 203, and that of most others; from memory).
const controlsMost quantity.Fraction = 0.10

// fewest is how many animals a group should have for its deaths to say much (OECD test guideline 203 asks seven
// at least; from memory).
const fewest = 7

// Judge works out what a trial tells. The error says why it tells nothing at all.
func Judge(t Trial) (Result, error) {
	r := Result{Trial: t, Notes: slices.Clone(t.Notes)}
	for i, at := range t.Times {
		x := t.reading(i)
		x.At = at
		if len(x.Stands) > 0 {
			r.Readings = append(r.Readings, x)
		}
	}
	if len(r.Readings) == 0 {
		return r, note.Fault("trial-not-counted", "nothing is counted yet").At(t.At).Do(`write the dead of each group, all so far, under the hours at which you looked; 0 where none died`)
	}
	r.say()
	return r, nil
}

// reading pools the groups as they stand at a time.
func (t Trial) reading(i int) (r Reading) {
	var doses []Dosed
	at := map[quantity.Concentration]int{}
	for _, g := range t.Groups {
		dead := g.deadAt(i)
		if !dead.OK || g.Animals == 0 {
			continue
		}
		c := Count{dead.V, g.Animals}
		if g.Control {
			r.Control = r.Control.Plus(c)
			continue
		}
		s := Stand{Name: g.called(), Dose: g.Dose, Count: c}
		if g.Dose.OK {
			doses = append(doses, Dosed{g.Dose.V, c})
			if k, there := at[g.Dose.V]; there {
				r.Stands[k].Count = r.Stands[k].Plus(c)
				continue
			}
			at[g.Dose.V] = len(r.Stands)
		}
		r.Stands = append(r.Stands, s)
	}
	slices.SortStableFunc(r.Stands, func(a, b Stand) int {
		return cmp.Or(cmp.Compare(order(a), order(b)), cmp.Compare(a.Dose.V, b.Dose.V))
	})
	for k := range r.Stands {
		s := &r.Stands[k]
		s.AtMost = s.Count.AtMost(Sure)
		if r.Control.Of > 0 {
			s.Comparison = Compare(r.Control, s.Count)
		}
	}
	r.Estimate, r.Safe = LC50(r.Control, doses), Safe(doses)
	if r.Spoilt() {
		r.Estimate, r.Safe = Estimate{Outcome: Invalid}, 0
	}
	return r
}

// order puts doses before groups that only a name tells of.
func order(s Stand) int {
	if s.Dose.OK {
		return 0
	}
	return 1
}

// Spoilt reports that more of the controls died than a valid trial has.
func (r Reading) Spoilt() bool {
	return r.Control.Dead > 1 && r.Control.Share() > controlsMost || r.Control.Dead == 1 && r.Control.Of == 1
}

// deadAt are the dead of a group at a time. Where nobody went on counting because all were dead, all still are.
func (g Group) deadAt(i int) quantity.Known[int] {
	if d := g.Dead[i]; d.OK {
		return d
	}
	for _, d := range g.Dead[:i] {
		if d.OK && d.V == g.Animals && g.Animals > 0 {
			return d
		}
	}
	return quantity.Known[int]{}
}

// say adds what the trial has to say of itself.
func (r *Result) say() {
	last := r.Last()
	tell := func(l note.Level, code, format string, args ...any) *note.Note {
		r.Notes.Add(note.New(l, code, format, args...).At(r.Trial.At))
		return &r.Notes[len(r.Notes)-1]
	}
	do := func(n *note.Note, format string, args ...any) { *n = n.Do(format, args...) }
	switch c := last.Control; {
	case last.Spoilt():
		do(tell(note.Caution, "controls-died", "%d of %d controls died: more than a tenth, so something else than the dose kills, and the trial proves nothing of it", c.Dead, c.Of),
			"look for the cause (oxygen, handling, ammonia, the water), and test again")
	case c.Of == 0:
		do(tell(note.Caution, "no-control", "there is no group without the dose, so nothing tells whether the dose killed or the handling"),
			"keep as many animals in the same water without it; mark that group control, or write dose 0")
	case c.Dead > 0:
		tell(note.Info, "control-deaths", "%d of %d controls died; what dies undosed is taken off the other deaths (Abbott's formula)", c.Dead, c.Of)
	}
	least := last.Control.Of
	for _, s := range last.Stands {
		if least == 0 || s.Of < least {
			least = s.Of
		}
	}
	if least < fewest {
		tell(note.Info, "few-animals", "a group has %d animals only, which prove little: even with none dead %s might die", least, percent(Count{0, least}.AtMost(Sure)))
	}
	if r.Basis == quantity.NotStated && slices.ContainsFunc(last.Stands, func(s Stand) bool { return s.Dose.OK }) {
		do(tell(note.Caution, "basis-not-stated", "the sheet does not tell what its doses count; they are taken to be of the product as delivered"),
			`write it: Dose counts | as product; or, beside groups told as flags, give --basis`)
	}
	if last.Smoothed {
		tell(note.Info, "deaths-smoothed", "fewer died at a higher dose; neighbouring doses are taken together, so that deaths never fall with the dose")
	}
	if last.Outcome == Found && last.Trim > 0.25 {
		do(tell(note.Caution, "trimmed-much", "the doses enclose few of the deaths: the figure rests on the middle %s of the animals alone", percent(1-2*last.Trim)),
			"test lower and higher doses as well")
	}
	if !last.At.OK {
		do(tell(note.Caution, "trial-not-timed", "the sheet does not tell after how many hours the dead were counted"), `write it in the heading: "Dead at 96 h"; or, beside groups told as flags, give --hours`)
	}
	r.apart()
	r.uncounted()
}

// percent is a share in words.
func percent(f quantity.Fraction) quantity.Rounded { return quantity.To(f, 3) }

// apart says where groups of one dose died unlike each other.
func (r *Result) apart() {
	for i, g := range r.Groups {
		for _, h := range r.Groups[i+1:] {
			a, b := g.deadAt(len(r.Times)-1), h.deadAt(len(r.Times)-1)
			same := g.Control == h.Control && (g.Control || g.Dose.OK && g.Dose.V == h.Dose.V && h.Dose.OK)
			if !same || !a.OK || !b.OK || Compare(Count{a.V, g.Animals}, Count{b.V, h.Animals}).Either > 1-Sure {
				continue
			}
			r.Notes.Add(note.New(note.Caution, "repeats-differ", "of one dose %d of %d died in one group and %d of %d in another, more apart than chance", a.V, g.Animals, b.V, h.Animals).
				At(h.At).Do("look for what else differed between them; they are counted together"))
		}
	}
}

// uncounted names the groups that the last count leaves out, and those that are carried on as dead.
func (r *Result) uncounted() {
	var out, carried []string
	for _, g := range r.Groups {
		last := len(r.Times) - 1
		switch {
		case !g.deadAt(last).OK:
			out = append(out, g.called())
		case !g.Dead[last].OK:
			carried = append(carried, g.called())
		}
	}
	if len(out) > 0 {
		r.Notes.Add(note.New(note.Caution, "groups-left-out", "not counted at the last look, and so not in its answer: %s", strings.Join(out, ", ")).At(r.Trial.At).
			Do("count every group each time, also where none died"))
	}
	if len(carried) > 0 {
		r.Notes.Add(note.New(note.Info, "all-dead-earlier", "all were dead before the last look, and count so: %s", strings.Join(carried, ", ")).At(r.Trial.At))
	}
}
