// Package figure is what an answer is made of before it is shown: numbers with
// their name, unit and digits, gathered in objects. A report builds its object
// once; text, documents, tables, workbooks and pages all take their numbers from
// it, so that none can say another thing than the others.
package figure

import (
	"math"
	"strconv"

	"jarwright/jartest/quantity"
)

// Figure is one number of an answer. The zero value is a figure that is not known.
type Figure struct {
	// Key names it in documents, without its unit.
	Key string
	Q   quantity.Quantity
	// Unit is the unit of documents, whatever the size of the number and the
	// reader's units; empty takes the metric unit in which Q shows itself.
	Unit string
	// Per is the time that the number is counted over, such as "d" for a volume
	// that is used each day; documents append it to the unit.
	Per string
	// Basis is what a dose counts.
	Basis quantity.Basis
	// Digits are the significant digits that mean anything; 0 counts as 3.
	Digits int
	Form   Form
}

// Form is how the digits of a figure are written.
type Form int

const (
	// Brief leaves idle zeros out.
	Brief Form = iota
	// Full keeps the zeros that the digits ask for.
	Full
	// Signed has a sign and one decimal, for differences in percent.
	Signed
	// Sign has a sign and the digits asked for, for differences of quantities.
	Sign
	// Tenth has one decimal.
	Tenth
	// Trace leaves idle zeros out and says below what a number is nothing; Gas does
	// so at a ten-thousandth, finer than which matters to no animal.
	Trace
	Gas
	// Cents has two decimals, for money.
	Cents
	// Whole has none, for counts.
	Whole
	// Watch is a span as a stopwatch shows it, Long one as people say it.
	Watch
	Long
	// SignCents has two decimals and a sign.
	SignCents
	// Fine has four decimals, for money that is a small part of a unit.
	Fine
)

// formed is a quantity that some readers' units make small, so that it asks for a form of its own.
type formed interface {
	Formed(quantity.System, Form) Form
}

// For gives the figure in the form that a reader of these units needs.
func (f Figure) For(s quantity.System) Figure {
	q, ok := f.Q.(formed)
	if u, bare := f.Q.(Unitless); bare {
		q, ok = u.Q.(formed)
	}
	if ok {
		f.Form = q.Formed(s, f.Form)
	}
	return f
}

// Of makes a figure that documents show in a fixed unit.
func Of(key string, q quantity.Quantity, unit string, digits int) Figure {
	return Figure{Key: key, Q: q, Unit: unit, Digits: digits}
}

// Dose makes the figure of a dose: in documents always mg/L, with its basis.
func Dose(key string, d quantity.Dose, digits int) Figure {
	return Figure{Key: key, Q: d.Concentration, Unit: "mg/L", Basis: d.Basis, Digits: digits}
}

// Count makes the figure of something counted, without a unit.
func Count(key string, n int) Figure {
	return Figure{Key: key, Q: Plain{V: float64(n)}, Form: Whole}
}

// Written makes the figure of a number that stands in a sheet: with the digits that
// somebody wrote, up to six; what needs more was worked out and has four.
func Written(key string, v float64, unit string) Figure {
	digits := 6
	if math.Abs(quantity.RoundSig(v, 6)-v) > 1e-12*math.Abs(v) {
		digits = 4
	}
	return Figure{Key: key, Q: Plain{V: v, U: unit}, Digits: digits}
}

// If gives the figure where it holds, else the unknown one.
func (f Figure) If(known bool) Figure {
	if !known {
		return Figure{Key: f.Key}
	}
	return f
}

// As gives the figure under another key.
func (f Figure) As(key string) Figure { f.Key = key; return f }

// In gives the figure written in another form.
func (f Figure) In(form Form) Figure { f.Form = form; return f }

// NoBasis gives a dose without what it counts, where that stands beside it.
func (f Figure) NoBasis() Figure { f.Basis = quantity.NotStated; return f }

// Daily marks a figure as counted over a day.
func (f Figure) Daily() Figure { f.Per = "d"; return f }

// To gives the figure with that many significant digits.
func (f Figure) To(digits int) Figure { f.Digits = digits; return f }

// Known reports that there is an ordinary number to show.
func (f Figure) Known() bool { return f.Q != nil && quantity.Finite(f.Q) }

// Document gives value and unit as documents have them; the value in the reader's
// metric unit where the figure fixes none.
func (f Figure) Document() (float64, string) {
	v, u := f.Q.Show(quantity.Metric)
	if f.Unit != "" && f.Unit != u {
		if in, ok := In(f.Q, f.Unit); ok {
			v, u = in, f.Unit
		} else if u == "" {
			u = f.Unit // a kind that people write without a unit, such as pH
		}
	}
	if f.Per != "" {
		u += "/" + f.Per
	}
	return Tidy(v), u
}

// In gives a quantity in a unit, NaN in one that its kind does not know; false where
// the kind has no units to choose from.
func In(q quantity.Quantity, unit string) (float64, bool) {
	in, ok := q.(interface{ In(string) float64 })
	if !ok {
		return math.NaN(), false
	}
	return in.In(unit), true
}

// digits gives the significant digits asked for.
func (f Figure) digits() int {
	if f.Digits == 0 {
		return 3
	}
	return f.Digits
}

// Plain is a number with a unit that no kind of quantity has, or with none.
type Plain struct {
	V float64
	U string
}

// Show implements [quantity.Quantity].
func (p Plain) Show(quantity.System) (float64, string) { return p.V, p.U }

// Fixed shows a quantity in one unit, whatever its size, to readers of metric units;
// those of US units see it as it shows itself.
type Fixed struct {
	Q    quantity.Quantity
	Unit string
}

// Show implements [quantity.Quantity].
func (f Fixed) Show(s quantity.System) (float64, string) {
	if v, ok := In(f.Q, f.Unit); ok && s == quantity.Metric {
		return v, f.Unit
	}
	return f.Q.Show(s)
}

// In gives the quantity in a unit that its kind knows; NaN for any other.
func (f Fixed) In(unit string) float64 {
	v, _ := In(f.Q, unit)
	return v
}

// Unitless shows a quantity without its unit, where a heading has it.
type Unitless struct{ Q quantity.Quantity }

// Show implements [quantity.Quantity].
func (u Unitless) Show(s quantity.System) (float64, string) {
	v, _ := u.Q.Show(s)
	return v, ""
}

// Tidy takes the noise of binary arithmetic off a number: twelve significant digits.
func Tidy(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	t, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	return t
}
