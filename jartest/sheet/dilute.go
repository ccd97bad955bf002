package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
	"slices"
	"strings"
)

// What may stand between the 1 and the number of a dilution, and behind that number.
var (
	oneIn  = []string{":", "/", "in", "to"}
	inEach = []string{"", ".", "x", "fold", "times", ":1"} // a "×" is folded to a point
)

// timesDiluted reads how many times a sample was diluted: "1:10", "1 in 10", "10x", "10".
func timesDiluted(text string, dec layout.Decimals) (times float64, ok bool) {
	s := strings.TrimSpace(words.Fold(text))
	v, rest := layout.Leading(s, dec)
	for _, sign := range oneIn {
		if after, found := strings.CutPrefix(strings.TrimSpace(rest), sign); found && v.Num == 1 {
			v, rest = layout.Leading(strings.TrimSpace(after), dec)
			break
		}
	}
	return v.Num, v.OK() && v.Num >= 0 && slices.Contains(inEach, strings.TrimSpace(rest))
}

// undiluted multiplies the readings of a jar by the dilution that a column states for
// the sample that was read. Nothing says whether the numbers were corrected already,
// so this is asked about.
func (m *maker) undiluted(d dataRow, j *jartest.Jar) {
	for _, f := range m.fs {
		if f.role != asDilution {
			continue
		}
		x := m.t.View.At(d.r, f.C)
		at := m.t.View.PlaceAt(d.r, f.C)
		if x.Blank() || words.Means(x.Text, "value:zero") || words.Means(x.Text, "value:missing") || words.Means(x.Text, "role:neat") {
			continue
		}
		n, ok := timesDiluted(x.Text, m.b.dec(m.t))
		if !ok {
			m.b.say(note.Error, "dilution-unclear", at, "%q in column %q is no dilution", clip(x.Text), f.Head.Text).do(m.b, `write it like "1:10", or leave the cell empty`)
			continue
		}
		if n <= 1 {
			continue
		}
		for i := range j.Readings {
			k, r := j.Readings[i].Key, &j.Readings[i].Reading
			if !k.Known() || k == jartest.PH || k == jartest.TemperatureKey || k.Info().Unit == "%" {
				continue
			}
			r.Value, r.SD = round12(r.Value*n), round12(r.SD*n)
			for i := range r.Replicates {
				r.Replicates[i].Value = round12(r.Replicates[i].Value * n)
			}
		}
		m.b.say(note.Caution, "sample-diluted", f.Place, "column %q says that samples were diluted before they were read; their readings were multiplied by it", f.Head.Text).
			do(m.b, `if the readings are corrected already, leave the column out with --column "%s=ignore"`, f.header())
	}
}
