package templates

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// JSONQuantity is a quantity in a document.
type JSONQuantity struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Basis string  `json:"basis,omitempty"`
}

// Q puts a quantity into a document, in metric units as the quantity shows
// itself. One that is not an ordinary number gives nil, so that omitempty leaves it out.
func Q(q quantity.Quantity) *JSONQuantity {
	v, u := q.Show(quantity.Metric)
	return QIn(v, u)
}

// QIn puts a value into a document in a unit that the document fixes, whatever
// the size; nil where it is not an ordinary number.
func QIn(v float64, unit string) *JSONQuantity {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &JSONQuantity{Value: v, Unit: unit}
}

// QDose puts a dose into a document: always in mg/L, with its basis.
func QDose(d quantity.Dose) *JSONQuantity {
	q := QIn(float64(d.Concentration), "mg/L")
	if q != nil {
		q.Basis = d.Basis.String()
	}
	return q
}

// Notes makes a list ready for a document: gravest first, each once, and never null.
func Notes(l note.List) note.List {
	type said struct {
		level                         note.Level
		code, message, remedy, source string
		at                            note.Place
	}
	out, seen := note.List{}, map[said]bool{}
	for _, n := range l.Sorted() {
		key := said{n.Level, n.Code, n.Message, n.Remedy, n.Source, n.Place}
		if !seen[key] {
			seen[key] = true
			out.Add(n)
		}
	}
	return out
}
