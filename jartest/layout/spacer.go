package layout

import "slices"

// A column left empty for the eye parts no table: a heading with numbers under it, on the
// rows of a table, is a column of that table, unless what stands there is a table in
// itself.

// stretch is what stands under some headings of a row.
type stretch struct {
	jar, dose, reading bool
	doses              int
	rows               []int // those with a number, or with a name where there are names alone
}

// stretch looks at the headings of row r from c0 to c1, and down to a row; to the next
// empty line where that is -1.
func (f *Finder) stretch(r, c0, c1, last int) stretch {
	var s stretch
	for c := c0; c <= c1; c++ {
		if x := f.v.At(r, c); !x.Blank() {
			s.head(f.heading(x.Text))
		}
	}
	for k := r + 1; k < f.v.height() && (last < 0 || k <= last); k++ {
		filled, number := f.filled(k, c0, c1)
		if number || filled && s.jar && !s.dose && !s.reading {
			s.rows = append(s.rows, k)
		}
		if last < 0 && !filled && len(s.rows) > 0 {
			if next, more := f.filled(k+1, c0, c1); !more && !(next && s.jar && !s.dose && !s.reading) { // one empty line may stand between jars
				break
			}
		}
	}
	return s
}

// head notes what a heading is of.
func (s *stretch) head(h Heading) {
	s.jar = s.jar || h.Jar && !h.Core() || h.Test || h.isMetaKey() && !h.Core()
	switch {
	case h.Reading != "" || h.Removal:
		s.reading = true
	case h.Core():
		s.dose = true
		s.doses++
	}
}

// filled reports a row with a cell between two columns, and with a number.
func (f *Finder) filled(r, c0, c1 int) (filled, number bool) {
	for c := c0; c <= c1; c++ {
		x := f.v.At(r, c)
		filled, number = filled || !x.Blank(), number || f.DataLike(x)
	}
	return filled, number
}

// joins reports that what stands right of an empty column has its numbers on the rows of
// the table left of it, and is no table in itself.
func (s stretch) joins(left stretch) bool {
	half := (left.jar || left.dose) && !left.reading // of a table
	switch {
	case s.jar, s.dose && s.reading && !half, !s.dose && !s.reading:
		return false
	case s.dose && left.dose && s.doses > 1: // a list of doses beside the jars
		return false
	}
	return len(s.rows) > 1 && !slices.ContainsFunc(s.rows, func(r int) bool { return !slices.Contains(left.rows, r) })
}

// spaced joins the stretches of a row of headings that only empty columns part.
func (f *Finder) spaced(r int, segments [][2]int) [][2]int {
	var out [][2]int
	for _, s := range segments {
		if n := len(out); n > 0 {
			last := &out[n-1]
			left := f.stretch(r, last[0], last[1], -1)
			if m := len(left.rows); m > 0 && f.emptyBetween(r, last[1]+1, s[0]-1) && f.stretch(r, s[0], s[1], left.rows[m-1]+1).joins(left) {
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
