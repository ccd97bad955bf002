package sheet

import (
	"strconv"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

var partIn = words.NewPattern(`^\s*(?:1 ?(?::|/|in|to) ?)?(\d+(?:[.,]\d+)?) ?(?:x|×|fold|times|:1)?\s*$`)

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
		p := partIn.FindStringSubmatch(words.Fold(x.Text))
		if p == nil {
			m.b.say(note.Error, "dilution-unclear", at, "%q in column %q is no dilution", clip(x.Text), f.Head.Text).do(m.b, `write it like "1:10", or leave the cell empty`)
			continue
		}
		n, _ := strconv.ParseFloat(p[1], 64)
		if n <= 1 {
			continue
		}
		for k, r := range j.Readings {
			if !k.Known() || k == jartest.PH || k == jartest.TemperatureKey || k.Info().Unit == "%" {
				continue
			}
			r.Value, r.SD = round12(r.Value*n), round12(r.SD*n)
			for i := range r.Replicates {
				r.Replicates[i].Value = round12(r.Replicates[i].Value * n)
			}
			j.Readings[k] = r
		}
		m.b.say(note.Caution, "sample-diluted", f.Place, "column %q says that samples were diluted before they were read; their readings were multiplied by it", f.Head.Text).
			do(m.b, `if the readings are corrected already, leave the column out with --column "%s=ignore"`, f.Head.Text)
	}
}
