package figure

import (
	"bytes"
	"encoding/json"
	"math"

	"jarwright/jartest/quantity"
)

// Object is a part of an answer with its members in the order in which they were
// put: figures, words, further objects. Written as JSON it is the document.
type Object struct {
	keys []string
	vals map[string]any
}

// New makes an object of figures.
func New(f ...Figure) *Object { return (&Object{vals: map[string]any{}}).Put(f...) }

// Put adds figures under their keys; those not known are left out of documents.
func (o *Object) Put(fs ...Figure) *Object {
	for _, f := range fs {
		if f.Known() {
			o.Set(f.Key, f)
		}
	}
	return o
}

// Set adds anything else that a document can hold: words, truth values, lists,
// objects, notes. Setting a key again replaces its value.
func (o *Object) Set(key string, v any) *Object {
	if _, there := o.vals[key]; !there {
		o.keys = append(o.keys, key)
	}
	o.vals[key] = v
	return o
}

// Word adds words, where there are any.
func (o *Object) Word(key, s string) *Object {
	if s != "" {
		o.Set(key, s)
	}
	return o
}

// Phrase adds a phrase, where there is one; documents have it in metric units.
func (o *Object) Phrase(key string, p Phrase) *Object {
	if p.Format != "" {
		o.Set(key, p)
	}
	return o
}

// Part adds an object under a key, where it holds anything.
func (o *Object) Part(key string, p *Object) *Object {
	if p != nil && len(p.keys) > 0 {
		o.Set(key, p)
	}
	return o
}

// List adds a list of objects, an empty one as such.
func (o *Object) List(key string, list []*Object) *Object {
	if list == nil {
		list = []*Object{}
	}
	return o.Set(key, list)
}

// Some adds a list of objects, where there are any.
func (o *Object) Some(key string, list []*Object) *Object {
	if len(list) > 0 {
		o.Set(key, list)
	}
	return o
}

// Join adds all members of another object.
func (o *Object) Join(p *Object) *Object {
	if p != nil {
		for _, k := range p.keys {
			o.Set(k, p.vals[k])
		}
	}
	return o
}

// Get gives what stands at a path such as "pump.setting"; nil for nothing.
func (o *Object) Get(path string) any {
	if o == nil {
		return nil
	}
	if v, ok := o.vals[path]; ok {
		return v
	}
	for i, c := range path { // a key may have points of its own
		if p, ok := o.vals[path[:i]].(*Object); ok && c == '.' {
			return p.Get(path[i+1:])
		}
	}
	return nil
}

// Fig gives the figure at a path, the unknown one where there is none.
func (o *Object) Fig(path string) Figure {
	switch f := o.Get(path).(type) {
	case Figure:
		return f
	case Bare:
		return Figure(f)
	case Interval:
		return f.Figure
	}
	return Figure{Key: path}
}

// Said gives the words at a path, none where there are none.
func (o *Object) Said(path string) string {
	s, _ := o.Get(path).(string)
	return s
}

// Sub gives the object at a path, an empty one where there is none.
func (o *Object) Sub(path string) *Object {
	if p, ok := o.Get(path).(*Object); ok {
		return p
	}
	return New()
}

// Objects gives the list of objects at a path.
func (o *Object) Objects(path string) []*Object {
	l, _ := o.Get(path).([]*Object)
	return l
}

// Has reports that something stands at a path.
func (o *Object) Has(path string) bool { return o.Get(path) != nil }

// Keys gives the keys in their order.
func (o *Object) Keys() []string { return o.keys }

// MarshalJSON writes the members in their order.
func (o *Object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	err := WriteJSON(&b, o)
	return b.Bytes(), err
}

// plainJSON is JSON that leaves <, > and & as they are.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimRight(b.Bytes(), "\n"), err
}

// quantityJSON is a quantity in a document.
type quantityJSON struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Basis string  `json:"basis,omitempty"`
}

// MarshalJSON gives value, unit and basis.
func (f Figure) MarshalJSON() ([]byte, error) {
	v, u := f.Document()
	q := quantityJSON{Value: v, Unit: u}
	if f.Basis != quantity.NotStated {
		q.Basis = f.Basis.String()
	}
	return plainJSON(q)
}

// Bare is a figure that a document writes as its number alone, because its unit
// stands once for the whole series.
type Bare Figure

// MarshalJSON gives the number.
func (b Bare) MarshalJSON() ([]byte, error) {
	v, _ := Figure(b).Document()
	return plainJSON(v)
}

// Bare adds figures as numbers alone.
func (o *Object) Bare(fs ...Figure) *Object {
	for _, f := range fs {
		if f.Known() {
			o.Set(f.Key, Bare(f))
		}
	}
	return o
}

// Interval is a figure with the ends between which it lies with a confidence. An
// end that is nil is open.
type Interval struct {
	Figure
	Low, High  quantity.Quantity
	Confidence float64
	// Open tells that ends were looked for, so that one that is nil lies beyond the range.
	Open bool
}

// Ends are the figures of its ends, in the unit of the interval's own.
func (i Interval) Ends() (low, high Figure) {
	low, high = i.Figure, i.Figure
	low.Q, high.Q = i.Low, i.High
	return low.Like(i.Figure), high.Like(i.Figure)
}

// MarshalJSON gives value, ends, confidence, unit and basis.
func (i Interval) MarshalJSON() ([]byte, error) {
	o := New()
	v, u := i.Document()
	o.Set("value", v)
	for _, end := range []struct {
		key string
		q   quantity.Quantity
	}{{"low", i.Low}, {"high", i.High}} {
		if end.q != nil && quantity.Finite(end.q) {
			f := i.Figure
			f.Q = end.q
			v, _ := f.Document()
			o.Set(end.key, v)
		}
	}
	o.Set("confidence", Tidy(i.Confidence)).Set("unit", u)
	if i.Basis != quantity.NotStated {
		o.Set("basis", i.Basis.String())
	}
	return o.MarshalJSON()
}

// Curve is a list of points in a document, each number tidied.
type Curve [][]float64

// MarshalJSON leaves out points that are no ordinary numbers.
func (c Curve) MarshalJSON() ([]byte, error) {
	out := make([][]float64, 0, len(c))
	for _, p := range c {
		row := make([]float64, len(p))
		ordinary := true
		for i, v := range p {
			row[i] = Tidy(v)
			ordinary = ordinary && !math.IsNaN(v) && !math.IsInf(v, 0)
		}
		if ordinary {
			out = append(out, row)
		}
	}
	return plainJSON(out)
}
