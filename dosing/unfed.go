package dosing

import (
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// portionEvery is how often a portion is fed by hand, h.
const portionEvery = 0.25

// Unattended is how long of a day water runs and nobody is there; nil hours are round the clock. It is counted by the portion.
func Unattended(d flow.Day, staffed flow.Hours) (alone quantity.Time) {
	if len(staffed) == 0 {
		return 0
	}
	for t := quantity.Time(0); t < 24-hair; t += portionEvery {
		if (demand{d, 1}).between(t, t+portionEvery) > 0 && !staffed.Covers(t) {
			alone += portionEvery
		}
	}
	return alone
}

// unfed is what runs while nobody is there: what pumps dose, without what is fed by hand. It names the alkalis among that; none where
// nothing is different then, or no pump doses anything.
func (r Running) unfed() (alone Running, alkalis []string) {
	if r.Unattended <= 0 {
		return r, nil
	}
	alone = r
	alone.Feeds = nil
	var away []FeedInput
	for _, f := range r.Feeds {
		switch {
		case f.Pump != nil:
			alone.Feeds = append(alone.Feeds, f)
		case f.Dose.Concentration > 0:
			away = append(away, f)
			if f.Stock.Product.Group == product.Alkali {
				alkalis = append(alkalis, f.Name)
			}
		}
	}
	if len(alone.Feeds) == 0 || len(alkalis) == 0 {
		return r, nil
	}
	alone.withoutJarsOf(away)
	return alone, alkalis
}

// ofUnfed are the figures of the water that hours without an alkali are judged by.
var ofUnfed = []string{"alkalinity-", "ph-", "consent-ph"}

// whileUnfed says what the water is in the hours in which nobody feeds an alkali by hand and the pumps go on, and what stops or
// cautions stand against that and not against the day. What a loop comes to over days is that of the whole day.
func (r Running) whileUnfed(day caution.Findings) (out note.List, taken []caution.Taken) {
	alone, alkalis := r.unfed()
	if alkalis == nil {
		return nil, nil
	}
	found := caution.Review(alone.situation(site.UsualWater))
	w := found.Water
	if w == nil || !w.Takes {
		return nil, nil
	}
	name := strings.Join(alkalis, " and ")
	var pumped []string
	for _, f := range alone.Feeds {
		pumped = append(pumped, f.Name)
	}
	others := strings.Join(pumped, " and ")
	left := note.Say("none")
	if w.AlkalinityLeft > 0 {
		left = note.Say("%s", quantity.To(w.AlkalinityLeft, 3))
	}
	out.Add(note.New(note.Caution, "alkali-unfed", "%s", note.Say("in the %s of the day in which the unit runs and nobody is there to feed %s, the pump of %s goes on: alkalinity is then %s",
		quantity.To(r.Unattended, 3).In("h"), name, others, left).If(w.HasPH, ", pH %s", quantity.To(w.PH(), 3))).
		Do("stop the pump of %s whenever nobody feeds %s, or give %s a pump too", others, name, name))
	for _, n := range found.Notes {
		told := slices.ContainsFunc(day.Notes, func(o note.Note) bool { return o.Code == n.Code && o.Level >= n.Level })
		speaks := n.Level == note.Stop || slices.ContainsFunc(ofUnfed, func(start string) bool { return strings.HasPrefix(n.Code, start) })
		if told || !speaks || n.Level < note.Caution || strings.HasPrefix(n.Code, "loop-") {
			continue
		}
		n.Message = "while nobody feeds " + name + ": " + n.Message
		out.Add(n)
		for _, t := range found.Taken {
			if t.Stop.Code == n.Code {
				taken = append(taken, t)
			}
		}
	}
	return out, taken
}
