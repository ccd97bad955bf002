package restock

import (
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Hold is what of the water itself, as the plan works it out, keeps animals out of it, however little of the chemicals is left.
type Hold struct {
	// Pond is where it is; empty where there is one water.
	Pond string
	// Stop is true of what stops the plan.
	Stop bool
	// Note is the plan's own, with what to do here.
	Note note.Note
}

// Lines are what the water has to read before any come back.
type Lines struct {
	PHLow, PHHigh quantity.PH
	// TAN is total ammonia as N, the most; not known where pH and temperature do not tell it.
	TAN        quantity.Known[quantity.Concentration]
	Alkalinity quantity.Alkalinity
}

// holding are the beginnings of the codes of cautions and stops of a plan that are about the water that it leaves, each with what to do
// before animals come back.
var holding = []struct{ code, do string }{
	{"ph-too-", "keep them out; change water or wait with the aerators on, until its pH reads as they should have it"},
	{"ph-outside-range", "keep them out; change water or wait with the aerators on, until its pH reads as they should have it"},
	{"nh3-", "keep them out; change water until pH and total ammonia read as they should have them"},
	{"watch-passed-tan", "keep them out; change water until pH and total ammonia read as they should have them"},
	{"ammonia-dosed", "keep them out; change water until pH and total ammonia read as they should have them"},
	{"alkalinity-gone", "keep them out; bring in harder water, or alkali that its pH bears, until its alkalinity reads as it should"},
	{"loop-alkalinity-gone", "keep them out; bring in harder water, or alkali that its pH bears, until its alkalinity reads as it should"},
	{"own-chlorine", "keep them out until a test finds no chlorine"},
}

// holds takes of a review what keeps animals out, and what of the water they are held to: its ammonia counts as what is left of a chemical
// where the doses bring some, or the plan finds too much of it.
func (a *Answer) holds(pond string, notes note.List, w caution.Watch, tan quantity.Known[quantity.Concentration], brings bool) (residue []Residue) {
	tell := brings
	for _, n := range notes {
		i := slices.IndexFunc(holding, func(h struct{ code, do string }) bool { return strings.HasPrefix(n.Code, h.code) })
		if i < 0 || n.Level < note.Caution {
			continue
		}
		tell = tell || strings.HasPrefix(holding[i].code, "nh3-")
		h := Hold{Pond: pond, Stop: n.Level == note.Stop, Note: n.Do("%s", holding[i].do)}
		if pond != "" {
			h.Note = h.Note.After("%s: ", pond)
		}
		if !slices.ContainsFunc(a.Holds, func(o Hold) bool { return o.Note.Message == h.Note.Message }) {
			a.Holds = append(a.Holds, h)
		}
	}
	l := Lines{PHLow: w.PHLow, PHHigh: w.PHHigh, TAN: w.TAN, Alkalinity: quantity.Alkalinity(caution.RuleNamed("alkalinity-gone").Limit)}
	if w.Stands.PH {
		l.PHLow, l.PHHigh = w.Stands.Low, w.Stands.High
	}
	if w.Stands.TAN {
		l.TAN.V = w.Stands.Asked
	}
	a.Lines = l
	if tell && tan.OK && l.TAN.OK && l.TAN.V > 0 {
		residue = append(residue, Residue{Chemical: "total ammonia", As: "N", Left: tan.V, Measured: !brings, Limit: l.TAN,
			Why: note.Say("by %s of it free at pH %s, the highest that this water is to come to (%s)", quantity.To(w.NH3, 3), quantity.Places(quantity.Number(w.PH), 2), w.NH3Of)})
	}
	return residue
}

// Held reports that the water itself keeps the animals out.
func (a Answer) Held() bool { return len(a.Holds) > 0 }

// Stopped reports that one of the holds stops a plan.
func (a Answer) Stopped() bool {
	return slices.ContainsFunc(a.Holds, func(h Hold) bool { return h.Stop })
}
