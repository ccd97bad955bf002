package surface

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// wideStep is how many times the tested dose below the planning pair's the one above it may be, as for one chemical (common
// practice, no source).
const wideStep = 1.5

// good is what a good test of two factors has beside its water; a row speaks where this one lacks it. Common practice, no source.
var good = []struct {
	code  string
	lacks func(r *Result) (note.Phrase, bool)
	do    string
}{
	{"no-control-jar", noControl, "leave one jar without chemical, mixed and sampled as the others"},
	{"no-chemical-alone", noneAlone, "give one jar each of the two by itself"},
	{"no-repeat-jar", noRepeat, "give two jars the pair that you expect to choose"},
	{"doses-apart", firstApart, "put a jar or two between those doses, beside the same dose of the other"},
	{"doses-apart", secondApart, "put a jar or two between those doses, beside the same dose of the other"},
}

// lacks lists what this series lacks of a good jar test.
func (r *Result) lacks(s jartest.Series) (l note.List) {
	for _, g := range good {
		if said, lacks := g.lacks(r); lacks {
			l.Add(note.New(note.Info, g.code, "%s", said).Do("%s", g.do))
		}
	}
	return append(l, curve.WaterLacks(s)...)
}

// hasJar reports a jar whose pair is so.
func (r *Result) hasJar(is func(p Pair) bool) bool {
	return slices.ContainsFunc(r.Jars, func(j JarUse) bool { return is(j.Pair) })
}

func noControl(r *Result) (note.Phrase, bool) {
	return note.Say("no jar is without chemical, so nobody sees what mixing and standing do by themselves"),
		!r.hasJar(func(p Pair) bool { return p.First <= 0 && p.Second <= 0 })
}

// noneAlone asks of two chemicals for jars with one of them: what the other adds is seen beside these.
func noneAlone(r *Result) (said note.Phrase, lacks bool) {
	first := r.hasJar(func(p Pair) bool { return p.First > 0 && p.Second <= 0 })
	second := r.hasJar(func(p Pair) bool { return p.First <= 0 && p.Second > 0 })
	other := [2]string{r.First.Name, r.Second.Name}
	if first {
		other = [2]string{r.Second.Name, r.First.Name}
	}
	said = note.Say("no jar has %s alone, so what %s adds to it is not seen", other[0], other[1])
	if !first && !second {
		said = note.Say("no jar has %s or %s alone, so what each adds is not seen", other[0], other[1])
	}
	return said, !r.Second.PH && (!first || !second)
}

func noRepeat(r *Result) (note.Phrase, bool) {
	used := map[Pair]int{}
	repeats := false
	for _, j := range r.Jars {
		if j.Used {
			used[j.Pair]++
			repeats = repeats || used[j.Pair] > 1
		}
	}
	return note.Say("no pair stands in two jars, so how much two jars of one pair differ is taken from other benches"),
		len(used) > 0 && !repeats && r.opt.Scatter == nil
}

// around are the tested values of a factor on either side of the planning pair's; false without one, or where a jar has it.
func (r *Result) around(of func(p Pair) quantity.Concentration) (below, above quantity.Concentration, ok bool) {
	var tested []quantity.Concentration
	for _, j := range r.Jars {
		if j.Used {
			tested = append(tested, of(j.Pair))
		}
	}
	slices.Sort(tested)
	i, there := slices.BinarySearch(tested, of(r.Planning.Pair))
	if !r.HasPlanning || there || i == 0 || i == len(tested) {
		return 0, 0, false
	}
	return tested[i-1], tested[i], true
}

// farApart tells of a dose of the planning pair that lies far from its neighbours.
func (r *Result) farApart(f Factor, of func(p Pair) quantity.Concentration) (note.Phrase, bool) {
	below, above, ok := r.around(of)
	return note.Say("the %s of the pair lies between %s and %s, and no jar stands between these", f.Name, below, above),
		ok && below > 0 && above > wideStep*below*(1+1e-9)
}

func firstApart(r *Result) (note.Phrase, bool) {
	return r.farApart(r.First, func(p Pair) quantity.Concentration { return p.First })
}

func secondApart(r *Result) (note.Phrase, bool) {
	if r.Second.PH {
		return note.Phrase{}, false
	}
	return r.farApart(r.Second, func(p Pair) quantity.Concentration { return p.Second })
}
