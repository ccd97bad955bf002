package caution

import (
	"strings"

	"jarwright/jartest/note"
)

// firstWater is what to do in standing water where free ammonia is too high and alkalinity too low at once: alkali raises the pH and so frees
// more ammonia, so that one of them has to come first (common practice, no source).
var firstWater = []struct{ code, do string }{
	{"nh3-", "stop feeding, and change part of the water before anything else; spread no alkali until total ammonia is down"},
	{"alkalinity-", "dose less; or change part of the water first, as total ammonia is high, and only once that is down spread bicarbonate, the day before"},
}

// oneOrder gives the cautions of ammonia and of alkalinity in standing water one order, where both are told.
func (v *reviewer) oneOrder() {
	has := map[string]bool{}
	each := func(do func(x *Said, code, remedy string)) {
		for i := range v.said {
			for _, f := range firstWater {
				if x := &v.said[i]; strings.HasPrefix(x.Code, f.code) && x.Level >= note.Caution {
					do(x, f.code, f.do)
				}
			}
		}
	}
	each(func(_ *Said, code, _ string) { has[code] = true })
	if v.byHand() && len(has) == len(firstWater) {
		each(func(x *Said, _, remedy string) { x.Note = x.Note.Do("%s", remedy) })
	}
}
