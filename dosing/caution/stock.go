package caution

import (
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/animal"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// noneReached is why nothing is judged of animals that are named.
const noneReached = "none of those named is said to get it"

// animals says of which nothing is known, and whose figures stand in for an animal's own.
func (v *reviewer) animals() {
	if v.s.NoneReached {
		if v.s.Purpose == Animals && v.s.Pond && len(v.s.Back) > 0 {
			v.comeBack()
		} else if v.s.Purpose == Animals {
			v.say("animals-never", nil, "", note.Place{})
		}
		v.skip("what the water does to animals: " + noneReached)
	} else if (v.s.Purpose == Animals || v.s.Purpose == Other) && len(v.s.Stock) == 0 {
		v.skip("what the water does to animals: none are named")
		if v.s.Purpose == Animals && v.byHand() {
			v.say("animals-unnamed", nil, "", note.Place{})
		}
	}
	for _, a := range v.s.Stock {
		if len(a.Profile.Ranges) == 0 {
			v.say("animal-unknown", Words{"who": a.who(), "general": v.general().Name,
				"but":  note.Say("").If(len(testedWith(a.Profile.Group)) > 0, " but of its kind with %s", join(testedWith(a.Profile.Group))),
				"kind": note.Say("").If(a.Profile.ID != "" && !animal.SameClass(a.Profile.Group, v.general().Group), ", though it is none")}, "", a.At)
			continue
		}
		if len(a.MayBe) > 0 {
			v.say("animal-ambiguous", Words{"who": a.who(), "taken": a.Profile.Name, "others": join(a.MayBe),
				"salinity": note.Say("").If(!v.s.Water.Salinity.OK, ", and the salinity is not given")}, "", a.At)
		}
		if a.Unread != "" {
			v.say("stage-unknown", Words{"who": a.who(), "stage": a.Unread, "stages": join(animal.Stages())}, "", a.UnreadAt)
		}
		v.borrowed(a)
	}
}

// testedWith names the chemicals that animals of a group were tested with.
func testedWith(group string) (out []string) {
	for _, r := range animal.Results() {
		if name := string(r.Chemical); group != "" && r.Group == group && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// judged names the figures of an animal that may be another's.
var judged = []struct {
	q    animal.Parameter
	what string
}{{animal.PH, "pH"}, {animal.Salinity, "salinity"}, {animal.Temperature, "temperature"}, {animal.Alkalinity, "alkalinity"}, {animal.Hardness, "hardness"},
	{animal.CO2, "carbon dioxide"}, {animal.NH3, "free ammonia"}}

// borrowed names the other animals whose figures are used for this one.
func (v *reviewer) borrowed(a Animal) {
	of := map[string][]string{}
	var others []string
	for _, x := range judged {
		r, ok := a.Profile.Range(x.q, a.Stage)
		other := r.Of
		if !ok && x.q == animal.PH && !(a.PHLow.OK && a.PHHigh.OK) {
			other = v.general().Name
		}
		if _, kills := a.Profile.Kills(a.Stage); !ok && !kills && x.q == animal.NH3 && v.s.Water.Ammonia.OK {
			other = fishInGeneral().Name // that of fresh waters, in the sea too
		}
		if other == "" {
			continue
		}
		if of[other] == nil {
			others = append(others, other)
		}
		of[other] = append(of[other], x.what)
	}
	for _, other := range others {
		v.say("animal-borrowed", Words{"who": a.who(), "what": join(of[other]), "other": other}, "", a.At)
	}
}

// general is what is usual of fish in such water, where an animal has no figure of its own.
func (v *reviewer) general() animal.Profile {
	if v.fresh() {
		return fishInGeneral()
	}
	return seaFish()
}

// Both are looked up once: every moment of a run asks for them.
var fishInGeneral, seaFish = standIn("fish"), standIn("sea fish")

func standIn(name string) func() animal.Profile {
	return sync.OnceValue(func() animal.Profile {
		p, err := animal.Find(name)
		if err != nil {
			panic("caution: " + err.Error()) // both stand in the table
		}
		return p
	})
}

// phRange is what an animal is comfortable in: as the site says, else as is known of it,
// else, for the ends that nobody knows, as is usual of fish in such water.
func (v *reviewer) phRange(a Animal) (r animal.Range, source string) {
	r, own := a.Profile.Range(animal.PH, a.Stage)
	usual, _ := v.general().Range(animal.PH, "")
	if !own {
		r = usual
	}
	if !r.HasLow {
		r.Low, r.HasLow = usual.Low, true
	}
	if !r.HasHigh {
		r.High, r.HasHigh = usual.High, true
	}
	source = r.From()
	if a.PHLow.OK || a.PHHigh.OK {
		r.Low, r.High, source = float64(a.PHLow.Or(quantity.PH(r.Low))), float64(a.PHHigh.Or(quantity.PH(r.High))), siteItself
	}
	return r, source
}

// standing judges what doses do not change, or not much: what animals cannot live in,
// whatever the unit does.
func (v *reviewer) standing() {
	w := v.s.Water
	alkalinity := quantity.Known[float64]{V: float64(w.Alkalinity.V), OK: w.Alkalinity.OK}
	if c := v.out.Water; c != nil {
		alkalinity = quantity.Some(float64(c.AlkalinityLeft))
		if c.Slow != nil { // what harms is too much
			alkalinity.V = float64(c.Slow.Alkalinity())
		}
	}
	temperature := func(t float64) quantity.Rounded {
		return quantity.Rounded{Q: quantity.Temperature(t), Digits: 3, Way: quantity.Trace}
	}
	hardness := quantity.Known[float64]{V: float64(w.Hardness.V + v.hardens(true)), OK: w.Hardness.OK && !v.salt()} // of salt water it is its salt's
	for _, x := range []struct {
		id, unit string
		q        animal.Parameter
		what     string // said to be not checked where nothing is known
		value    quantity.Known[float64]
		shown    func(float64) quantity.Rounded
	}{
		{"salinity-outside", " g/kg", animal.Salinity, "salinity", quantity.Known[float64]{V: float64(w.Salinity.V), OK: w.Salinity.OK}, amount},
		{"temperature-outside", "", animal.Temperature, "temperature", quantity.Known[float64]{V: float64(w.Temperature.V), OK: w.Temperature.OK}, temperature},
		{"hardness-outside", " mg/L CaCO3", animal.Hardness, "", hardness, amount},
		{"alkalinity-harms", " mg/L CaCO3", animal.AlkalinityHarm, "", alkalinity, amount},
	} {
		for _, a := range v.s.Stock {
			r, ok := a.Profile.Range(x.q, a.Stage)
			id := x.id
			if kept := a.Profile.Water; !ok && x.q == animal.Salinity && kept.Name != "" {
				id, ok = "salinity-kind", true
				r = animal.Range{Low: kept.Low, High: kept.High, HasLow: true, HasHigh: true, Note: kept.Name}
			}
			if !ok && x.value.OK && x.what != "" {
				v.skip(x.what + " of " + a.who() + ": " + unbounded(a, x.q))
			}
			if !ok || !x.value.OK {
				continue
			}
			words := Words{"value": x.shown(x.value.V), "range": rangeWords(r, x.shown), "limit": x.shown(r.High), "who": a.who(), "why": quantity.Told(r.Note, nil), "knows": because(r, a),
				"hardness": v.hardness()}
			if id == x.id {
				words["source"] = r.From()
			}
			v.judge(id, a.who(), note.Say("%s%s", x.shown(x.value.V), x.unit), note.Say("%s%s", rangeWords(r, x.shown), x.unit), r.Outside(x.value.V, missed), words, a.At)
		}
	}
	for _, a := range v.s.Stock {
		if r, _ := a.Profile.Range(animal.Salinity, a.Stage); a.Profile.Salt() && !w.Salinity.OK && len(a.MayBe) == 0 {
			v.say("salinity-unknown", Words{"who": a.who(), "range": note.Say("").If(r.HasLow, " of %s g/kg", rangeWords(r, amount)), "source": r.From()}, "", a.At)
		}
	}
}

// told is what is known of a parameter of an animal that bounds nothing, such as what is best.
func told(a Animal, q animal.Parameter) (animal.Range, bool) {
	i := slices.IndexFunc(a.Profile.Ranges, func(r animal.Range) bool { return r.Parameter == q && !r.Use })
	if i < 0 {
		return animal.Range{}, false
	}
	return a.Profile.Ranges[i], true
}

// unbounded says why a parameter of an animal is not judged: nothing is known of it, or what is known bounds nothing.
func unbounded(a Animal, q animal.Parameter) string {
	r, ok := told(a, q)
	if !ok {
		return "no range of it is known"
	}
	says, _, _ := strings.Cut(r.Note, ";")
	return "what it bears is not known, only what is " + says + ", which `jarwright chemical --cautions` lists"
}

// because is what a figure knows beside its bounds, and of which stage it is where that is not
// the animal's own.
func because(r animal.Range, a Animal) note.Phrase {
	return note.Say("").If(r.Note != "", " (%s)", quantity.Told(r.Note, nil)).And("%s", ofStage(r, a))
}

// hardness is that of the treated water, in words.
func (v *reviewer) hardness() note.Phrase {
	if w := v.s.Water.Hardness; w.OK {
		return note.Say("%s mg/L CaCO3", mgL(w.V+v.hardens(true)))
	}
	return note.Say("not given")
}

// hardens is the hardness that the doses bring: that of what dissolves in days too, where too much of it is asked for.
func (v *reviewer) hardens(slowToo bool) (sum quantity.Concentration) {
	for _, d := range v.s.Doses {
		if _, slow := water.Slowly(d.Product.Basis); slow && !slowToo {
			continue
		}
		if h, err := d.Product.HardnessAdded(d.Dose); err == nil {
			sum += h
		}
	}
	return sum
}

// dechlorinates says how much chlorine a dose takes from the water.
func (v *reviewer) dechlorinates() {
	for _, d := range v.s.Doses {
		if sure, most, err := d.Product.ChlorineBound(d.Dose); err == nil && sure > 0 {
			v.say("chlorine-bound", Words{"chemical": d.name(), "sure": mgL(sure), "most": mgL(most)}, "", d.At)
		}
	}
}

// missed is by how much a limit has to be missed before it is said: what doses, meters and
// samples tell is no nearer (common practice, no source).
const missed = 0.01

func above(v, limit float64) bool { return v > limit*(1+missed) }
func below(v, limit float64) bool { return v < limit*(1-missed) }

// rangeWords is what an animal is comfortable in, in words.
func rangeWords(r animal.Range, shown func(float64) quantity.Rounded) note.Phrase {
	low, high := shown(r.Low), shown(r.High)
	switch {
	case r.Harms && !r.HasHigh:
		return note.Say("more than %s", low)
	case r.Harms && !r.HasLow:
		return note.Say("less than %s", high)
	case !r.HasHigh:
		return note.Say("%s or more", low)
	case !r.HasLow || r.Low == 0:
		return note.Say("%s or less", high)
	}
	return note.Say("%s to %s", low, high)
}
