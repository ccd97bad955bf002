package caution

import (
	"slices"
	"strings"
	"time"

	"jarwright/jartest/note"
)

// acceptAsks begins what a stop tells of how to accept it.
const acceptAsks = `; or enter "`

// PutRight is what a stop's remedy says but for how to accept it.
func PutRight(remedy string) string {
	do, _, _ := strings.Cut(remedy, acceptAsks)
	return do
}

// accept lets the stops through that somebody takes the risk of.
func (v *reviewer) accept() {
	taken, notes, stopped := Accept(v.said, v.s.Accepted, v.s.Today)
	v.out.Said, v.out.Notes, v.out.Taken, v.out.Stopped = v.said, WorstFirst(notes), taken, stopped
}

// Said is a note with the chemical that it is about, if it is about one.
type Said struct {
	note.Note
	Chemical string
	// Beyond is how far outside its bounds a figure with two ends lies: above zero over the
	// higher, below zero under the lower, zero for every other.
	Beyond float64
}

// Accept holds notes against the sheet Accepted. A stop that somebody takes the
// risk of becomes a caution that names them; stopped is true where another
// stands. What is wrong with an acceptance that does not count is said too. The
// zero today takes any date.
func Accept(list []Said, accepted []Acceptance, today time.Time) (taken []Taken, notes note.List, stopped bool) {
	used := make([]bool, len(accepted))
	for _, s := range list {
		s.Note = s.Concerning(s.Chemical)
		if s.Level != note.Stop {
			notes.Add(s.Note)
			continue
		}
		free := false
		for i, a := range accepted {
			if !a.names(s.Code) || !a.concerns(s.Chemical) {
				continue
			}
			first := !used[i]
			used[i] = true
			if fault, ok := a.faulty(today); ok {
				if first {
					notes.Add(fault)
				}
				continue
			}
			if free {
				continue
			}
			free = true
			taken = append(taken, Taken{Stop: s.Note, By: a})
			n := s.Note
			n.Level = note.Caution
			n.Message = "accepted by " + a.By + dated(a) + " (" + a.Why + "): " + n.Message
			notes.Add(n)
		}
		if !free {
			stopped = true
			n := s.Note
			n.Remedy += acceptAsks + n.Code + `" in the site under Accepted with who takes the risk and why`
			if r, ok := ruleOf(n.Code); ok {
				n.Remedy += " (it is for " + r.Accepter + " to accept)"
			}
			notes.Add(n)
		}
	}
	for i, a := range accepted {
		if !used[i] {
			notes.Add(a.idle())
		}
	}
	return taken, notes, stopped
}

// faulty says why an acceptance does not count.
func (a Acceptance) faulty(today time.Time) (note.Note, bool) {
	switch {
	case strings.TrimSpace(a.By) == "" || strings.TrimSpace(a.Why) == "":
		return a.says("accepted-incomplete", Words{}), true
	case !a.Until.IsZero() && !today.IsZero() && !today.Before(a.Until.AddDate(0, 0, 1)):
		return a.says("accepted-expired", Words{"until": a.Until.Format("2006-01-02")}), true
	}
	return note.Note{}, false
}

// idle says why an acceptance was not called for.
func (a Acceptance) idle() note.Note {
	var ids []string
	for _, r := range rules() {
		if r.Level == note.Stop {
			ids = append(ids, r.ID)
		}
	}
	if slices.ContainsFunc(ids, a.names) {
		return a.says("accepted-unused", Words{})
	}
	near := note.DidYouMean(a.Code, ids)
	if near == "" {
		near = "; those are " + join(ids)
	}
	return a.says("accepted-unknown", Words{"near": near})
}

// Uncounted reports that a note is of an acceptance that does not count: without it, a
// stop that somebody meant to take the risk of stands.
func Uncounted(n note.Note) bool {
	return n.Level >= note.Caution && strings.HasPrefix(n.Code, "accepted-")
}

// names reports that the acceptance is of the rule of that id.
func (a Acceptance) names(id string) bool { return strings.EqualFold(strings.TrimSpace(a.Code), id) }

// concerns reports that the acceptance holds for a stop about that chemical, or about
// several joined in words.
func (a Acceptance) concerns(chemical string) bool {
	own := strings.TrimSpace(a.Chemical)
	if own == "" || strings.EqualFold(own, chemical) {
		return true
	}
	names := strings.Split(strings.ReplaceAll(chemical, " and ", ", "), ", ")
	return slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(own, n) })
}

func (a Acceptance) says(id string, w Words) note.Note {
	w["code"] = a.Code
	return Note(id, w).At(a.At)
}

func dated(a Acceptance) string {
	if a.Date.IsZero() {
		return ""
	}
	return " on " + a.Date.Format("2006-01-02")
}
