package serve

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/desk"
)

// lookedAt says that the site on the desk plans with a target or a sureness of its own where another was looked at under “Dose”, and
// how the site comes to that one; empty where the two agree, or where the site takes no dose from jars.
func (st state) lookedAt() string {
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.Kind == desk.Site })
	if i < 0 || !st.Flags.Has("target") && !st.Flags.Has("sure") {
		return ""
	}
	s, _ := site.Read(st.Files[i].Name, bytes.NewReader(st.Files[i].Data)) // what is wrong with it the answer itself says
	for _, c := range s.Chemicals {
		if !c.Bench.OK || c.Dose.OK || c.Fed.OK || st.agrees(c) {
			continue
		}
		own := "the target of its bench sheet"
		if c.Target.OK {
			own = c.Target.V
		}
		do := "To plan with that, write it in the workbook under Chemicals, and drop the workbook again."
		if st.formed() {
			do = "To plan with that, press “Take this dose to the site” there."
		}
		return fmt.Sprintf("Here the dose is that of the site: for %s, %s. Under “Dose” you looked at %s, which is not used here. %s", own, oftenWords(c.Sure.Or(usualSure)), st.askedWords(), do)
	}
	return ""
}

// agrees reports that a chemical of the site asks for the target and the sureness that the page was asked for.
func (st state) agrees(c site.Chemical) bool {
	if sureOf(st.Flags.Get("sure")) != c.Sure.Or(usualSure) {
		return false
	}
	targets := func(list []string) (out []jartest.Target) {
		for _, t := range list {
			x, _ := jartest.ParseTargets(t) // one that cannot be read agrees with none
			out = append(out, x...)
		}
		return out
	}
	return !st.Flags.Has("target") || slices.Equal(targets(st.Flags["target"]), targets(strings.Split(c.Target.V, ";")))
}

// asks answers where a step lacks no more than what the page itself knows or can ask for: a month that nobody gave is this one, and
// where no tank is to be cleaned up that is a question and no error.
func (s *Server) asks(w http.ResponseWriter, r *http.Request, p step, st state, j *job) bool {
	if j.answer.Report != nil || j.answer.Err == nil {
		return false
	}
	lacks := func(remedy string) bool {
		return slices.ContainsFunc(note.Of(j.answer.Err, ""), func(n note.Note) bool { return strings.Contains(n.Remedy, remedy) })
	}
	switch {
	case p.path == "/month" && !st.Flags.Has("date") && lacks("a day of it as date in the site under Place"):
		http.Redirect(w, r, st.set("date", time.Now().Format("2006-01")).at(p.path), http.StatusSeeOther)
	case p.path == "/tank" && lacks("name its row in Tanks"):
		do := "Name it in the site workbook, under Tanks and Solids, and drop the workbook again."
		if st.formed() {
			do = cleansWords + "."
		}
		s.refuse(w, st, p.path, http.StatusOK, "Which tank?", "The site has no tank that is to be cleaned up. With one, this page tells how long that takes and what it uses.", do)
	default:
		return false
	}
	return true
}

// placeName is what the place of a site is called; empty of all else, and where it has no name.
func (f File) placeName() string {
	if f.Kind != desk.Site {
		return ""
	}
	s, _ := site.Read(f.Name, bytes.NewReader(f.Data)) // of what cannot be read nothing is called anything
	return s.Place.Name.V
}

// usualSure is how sure a dose is where nobody says: 9 times in 10.
const usualSure = quantity.Fraction(0.9)

// sureOf is how sure a dose is asked to be; where nothing is said, or nothing that can be read, it is as usual.
func sureOf(said string) quantity.Fraction {
	if v, err := quantity.ParseSure(said); err == nil {
		return v
	}
	return usualSure
}

// oftenWords say how sure a dose has to be.
func oftenWords(sure quantity.Fraction) string {
	for _, x := range sureStops {
		if sureOf(x.Value) == sure {
			return x.Says
		}
	}
	return fmt.Sprintf("%g %% of the times", 100*float64(sure))
}

// askedWords are the target and the sureness that the page was asked for.
func (st state) askedWords() string {
	goal := cmp.Or(strings.Join(st.Flags["target"], ", "), "the target of the bench sheet")
	return goal + ", " + oftenWords(sureOf(st.Flags.Get("sure")))
}
