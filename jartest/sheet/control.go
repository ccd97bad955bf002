package sheet

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// clearing are the readings that treatment makes smaller.
var clearing = []jartest.Key{jartest.Turbidity, jartest.TSS, jartest.Colour}

// So much clearer than every dosed jar, and than the cloudiest water without chemical, a
// control is doubted: scatter between jars is far less (own choice, no source).
const clearerThanDosed, clearerThanRaw = 2, 4

// controls speaks of a jar without chemical that reads far less than the raw water or
// another such jar, and less than any jar that got a dose: it can be of another water.
func (m *maker) controls() {
	for _, k := range clearing {
		var dosed, undosed []float64
		clearest := -1
		for i, j := range m.s.Jars {
			x := j.Readings.Of(k)
			switch {
			case x.State != jartest.Number:
			case !j.Control:
				dosed = append(dosed, x.Value)
			default:
				if undosed = append(undosed, x.Value); x.Value == slices.Min(undosed) {
					clearest = i
				}
			}
		}
		if raw, ok := m.s.Raw[k]; ok && raw.State == jartest.Number {
			undosed = append(undosed, raw.Value)
		}
		if clearest < 0 || len(dosed) == 0 {
			continue
		}
		j := m.s.Jars[clearest]
		if v := j.Readings.Of(k).Value; v*clearerThanDosed < slices.Min(dosed) && v*clearerThanRaw < slices.Max(undosed) {
			const says = "jar %q got no chemical and reads %s, less than any jar with some; it can be of another water, and it was kept"
			m.b.say(note.Caution, "control-differs", j.At, says, j.Label, trimFloat(v)).
				do(m.b, `write "discard" beside it if it is a blank of clean water`)
		}
	}
}
