package layout

import "slices"

// A column left empty for the eye parts no table: a heading with numbers under it, on the
// rows of a table, is a column of that table, unless what stands there is a table in
// itself.

// stretch is what stands under some headings of a row.
type stretch struct {
	jar, dose, reading bool
	doses              int
	rows               []int // those with a number
}

// stretch looks at the headings of row r from c0 to c1, and down to the next empty line.
func (f *Finder) stretch(r, c0, c1 int) stretch {
	var s stretch
	for c := c0; c <= c1; c++ {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		h := f.heading(x.Text)
		s.jar = s.jar || h.Jar && !h.Core() || h.Test || h.isMetaKey() && !h.Core()
		s.reading = s.reading || h.Reading != "" || h.Removal
		if h.Core() && h.Reading == "" && !h.Removal {
			s.doses++
		}
	}
	s.dose = s.doses > 0
	for k := r + 1; k < f.v.height(); k++ {
		filled, data := false, false
		for c := c0; c <= c1; c++ {
			x := f.v.At(k, c)
			filled = filled || !x.Blank()
			data = data || f.DataLike(x)
		}
		if data {
			s.rows = append(s.rows, k)
		}
		if !filled && len(s.rows) > 0 {
			break
		}
	}
	return s
}

// joins reports that what stands right of an empty column has its numbers on the rows of
// the table left of it, and is no table in itself.
func (s stretch) joins(left stretch) bool {
	shared := 0
	for _, r := range s.rows {
		if slices.Contains(left.rows, r) {
			shared++
		}
	}
	labels := left.jar && !left.dose && !left.reading
	switch {
	case s.jar, s.dose && s.reading && !labels, !s.dose && !s.reading:
		return false
	case s.dose && left.dose && s.doses > 1: // a list of doses beside the jars
		return false
	}
	return shared > 1 && shared == len(s.rows) && shared*2 >= len(left.rows) && s.rows[0] <= left.rows[min(1, len(left.rows)-1)]
}

// spaced joins the stretches of a row of headings that only empty columns part.
func (f *Finder) spaced(r int, segments [][2]int) [][2]int {
	var out [][2]int
	for _, s := range segments {
		if n := len(out); n > 0 {
			last := &out[n-1]
			if f.emptyBetween(r, last[1]+1, s[0]-1) && f.stretch(r, s[0], s[1]).joins(f.stretch(r, last[0], last[1])) {
				last[1] = s[1]
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// emptyBetween reports columns without a cell in a row of headings and under it.
func (f *Finder) emptyBetween(r, c0, c1 int) bool {
	for c := c0; c <= c1; c++ {
		if !f.v.At(r, c).Blank() || !f.emptyBelow(r, c) {
			return false
		}
	}
	return c0 <= c1
}
