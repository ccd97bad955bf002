package caution

import (
	"strings"

	"jarwright/jartest/note"
)

// accept lets the stops through that somebody takes the risk of, and says what
// is wrong with an acceptance that does not count.
func (v *reviewer) accept() {
	var ids []string
	for _, r := range Rules() {
		if r.Level == note.Stop {
			ids = append(ids, r.ID)
		}
	}
	used := make([]bool, len(v.s.Accepted))
	for _, s := range v.said {
		if s.Level != note.Stop {
			v.out.Notes.Add(s.Note)
			continue
		}
		taken := false
		for i, a := range v.s.Accepted {
			if !strings.EqualFold(strings.TrimSpace(a.Code), s.Code) || a.Chemical != "" && !strings.EqualFold(a.Chemical, s.chemical) {
				continue
			}
			used[i] = true
			if taken || !v.counts(a) {
				continue
			}
			taken = true
			v.out.Taken = append(v.out.Taken, Taken{Stop: s.Note, By: a})
			n := s.Note
			n.Level = note.Caution
			n.Message = "accepted by " + a.By + dated(a) + " (" + a.Why + "): " + n.Message
			v.out.Notes.Add(n)
		}
		if !taken {
			v.out.Stopped = true
			n := s.Note
			n.Remedy += `; or enter "` + n.Code + `" in the sheet Accepted with who takes the risk and why`
			v.out.Notes.Add(n)
		}
	}
	for i, a := range v.s.Accepted {
		if used[i] {
			continue
		}
		known := false
		for _, id := range ids {
			known = known || strings.EqualFold(strings.TrimSpace(a.Code), id)
		}
		if known {
			v.out.Notes.Add(v.rule("accepted-unused").note(Words{"code": a.Code}).At(a.At))
			continue
		}
		v.out.Notes.Add(v.rule("accepted-unknown").note(Words{"code": a.Code, "near": note.DidYouMean(a.Code, ids)}).At(a.At))
	}
	v.out.Notes = v.out.Notes.Sorted()
}

// counts reports that an acceptance names somebody and a reason and has not run out.
func (v *reviewer) counts(a Acceptance) bool {
	switch {
	case strings.TrimSpace(a.By) == "" || strings.TrimSpace(a.Why) == "":
		v.out.Notes.Add(v.rule("accepted-incomplete").note(Words{"code": a.Code}).At(a.At))
		return false
	case !a.Until.IsZero() && !v.s.Today.IsZero() && v.s.Today.After(a.Until):
		v.out.Notes.Add(v.rule("accepted-expired").note(Words{"code": a.Code, "until": a.Until.Format("2006-01-02")}).At(a.At))
		return false
	}
	return true
}

func dated(a Acceptance) string {
	if a.Date.IsZero() {
		return ""
	}
	return " on " + a.Date.Format("2006-01-02")
}
