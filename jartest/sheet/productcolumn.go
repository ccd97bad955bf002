package sheet

import (
	"math"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// mostOffProduct is how far a rounded product may be from that of its parts.
const mostOffProduct = 0.02

// products finds the columns that are the product of two others in every jar, what a meter read of a
// diluted sample and its dilution: the product is the reading, and its parts are set aside.
func (b *bench) products(t *layout.Table, fs []field) {
	for j, factor := range fs {
		if factor.role != asDilution {
			continue
		}
		for i, part := range fs {
			for k, whole := range fs {
				if part.role != asReading || whole.role != asReading || i == k || part.Head.Reading != whole.Head.Reading || !b.isProduct(t, part.C, factor.C, whole.C) {
					continue
				}
				fs[i].role, fs[j].role = asIgnored, asIgnored
				for _, p := range spare(fs[k]) {
					fs[k].spent = append(fs[k].spent, p.Text, p.Concept)
				}
				b.say(note.Info, "product-column", whole.Place, "column %q is %q times %q, which were set aside", whole.Head.Text, part.Head.Text, factor.Head.Text)
			}
		}
	}
}

// isProduct reports that one column times another is a third wherever all three have a number, in at
// least three rows, two of which the factor changes.
func (b *bench) isProduct(t *layout.Table, part, factor, whole int) bool {
	rows, changed := 0, 0
	for _, r := range t.Rows {
		n, diluted := timesDiluted(t.View.At(r, factor).Text, b.dec(t))
		x, y := layout.ParseValue(t.View.At(r, part), b.dec(t)), layout.ParseValue(t.View.At(r, whole), b.dec(t))
		if !diluted || !x.OK() || !y.OK() {
			continue
		}
		if n = math.Max(n, 1); math.Abs(x.Num*n-y.Num) > mostOffProduct*math.Abs(y.Num) {
			return false
		}
		rows++
		if n > 1 {
			changed++
		}
	}
	return rows >= 3 && changed >= 2
}
