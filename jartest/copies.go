package jartest

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// digitsOfCopy is how many digits the readings of two jars must share before they are one row
// copied rather than two beakers that agree, where other doses were run in several beakers.
const digitsOfCopy = 4

// WithoutCopies counts a row once that stands in the sheet several times: the same
// doses and all the same readings, and the same label or none. A block of jars that
// comes again reading for reading is a copy under other labels too. Where other doses stand
// several times with readings of their own, beakers may agree by chance in few digits: such
// rows stay, and that is told once.
func (s Series) WithoutCopies() (Series, note.List) {
	rows, twins := make([]string, len(s.Jars)), make(map[string]int, len(s.Jars))
	keys := s.Keys()
	for i, j := range s.Jars {
		rows[i] = j.row(keys)
		twins[rows[i]]++
	}
	repeated := s.repeated(rows)
	block := len(twins) >= fewestInWater
	for _, n := range twins {
		block = block && n > 1
	}
	var jars []Jar
	var notes note.List
	agree := 0
	kept := map[string][]Jar{}
	for i, j := range s.Jars {
		same := kept[rows[i]]
		first := slices.IndexFunc(same, func(k Jar) bool { return block || j.copies(k, repeated) })
		if first < 0 {
			if len(same) > 0 && j.unlabelled() {
				agree++
			}
			kept[rows[i]] = append(same, j)
			jars = append(jars, j)
			continue
		}
		notes.Add(note.New(note.Caution, "copied-row", "the row of %s is a copy of that of %s, dose and readings; it counts once", j.name(), same[first].name()).
			At(j.At).Do("correct the readings if these were two jars"))
	}
	if len(notes) > 0 {
		s.Jars = jars
	}
	if agree > 0 {
		notes.Add(note.New(note.Info, "rows-agree", "%d row(s) without a jar number agree with a row above, dose and readings; each counts as a beaker, since other doses stand several times with readings of their own", agree).
			At(s.Place).Do("delete what was copied, or number the jars"))
	}
	return s, notes
}

// repeated reports a sheet in which a dose stands several times with readings of its own, so
// that its beakers are repeats; rows are what each row says.
func (s Series) repeated(rows []string) bool {
	first := map[string]string{}
	for i, j := range s.Jars {
		dose := j.doses()
		if seen, ok := first[dose]; ok && seen != rows[i] {
			return true
		}
		first[dose] = rows[i]
	}
	return false
}

func (j Jar) name() string {
	if j.At.Cell != "" {
		return strings.TrimSpace("jar "+j.Label) + " at " + j.At.Cell
	}
	return "jar " + j.Label
}

// row is all that was dosed and read, to compare; keys are the readings in their order.
func (j Jar) row(keys []Key) string {
	w := []byte(j.doses())
	for _, k := range slices.Sorted(maps.Keys(j.Raw)) {
		w = append(append(w, k...), '=')
		w = j.Raw[k].compared(w)
	}
	for _, k := range keys {
		if r, ok := j.Readings.Get(k); ok {
			w = r.compared(w)
		}
		w = append(w, ';')
	}
	for _, f := range j.Said {
		w = append(append(w, ';'), f.Value...)
	}
	return string(w)
}

// compared adds what is compared of a reading.
func (r Reading) compared(w []byte) []byte {
	w = append(strconv.AppendInt(w, int64(r.State), 10), ' ')
	return strconv.AppendFloat(w, r.Value, 'g', 9, 64)
}

// copies reports that two equal rows are one: they have one label, or neither has any
// of its own and, where doses were repeated, the readings agree to more digits than chance allows.
func (j Jar) copies(k Jar, repeated bool) bool {
	if j.Label == k.Label && j.Label != "" {
		return true
	}
	if !j.unlabelled() || !k.unlabelled() {
		return false
	}
	if !repeated {
		return true
	}
	digits := 0
	for _, r := range j.Readings {
		if r.State == Number {
			digits += len(strings.Trim(strings.ReplaceAll(quantity.Sig(r.Value, 6), ".", ""), "0"))
		}
	}
	return digits >= digitsOfCopy
}

// unlabelled reports a jar that is called by its dose, because the sheet has no name for it.
func (j Jar) unlabelled() bool {
	name, _, _ := strings.Cut(j.Label, "-")
	for _, d := range j.Doses {
		var dose string
		dose, name, _ = strings.Cut(name, "+")
		if dose != fmt.Sprintf("%.12g", float64(d.Concentration)) {
			return false
		}
	}
	return true
}

// Print is the same for two series whose jars got the same doses and show the same readings, in whatever order,
// under whatever names, and of a raw water of one turbidity: a sheet saved again under another name. It is empty for
// fewer jars than make a test, which may be alike by chance.
func (s Series) Print() string {
	if len(s.Jars) < fewestInWater {
		return ""
	}
	keys := s.Keys()
	rows := make([]string, len(s.Jars))
	for i, j := range s.Jars {
		j.Said = nil
		rows[i] = j.row(keys)
	}
	slices.Sort(rows)
	h := sha256.New()
	for _, r := range rows {
		h.Write([]byte(r + "\n"))
	}
	h.Write(s.Raw[Turbidity].compared(nil))
	return string(h.Sum(nil)[:16])
}
