package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// Number is a bare number of a sentence: a ratio, a share of a hundred, or a figure
// whose unit the words beside it say.
type Number float64

// Show implements [Quantity]; there is no unit.
func (n Number) Show(System) (float64, string) { return float64(n), "" }
func (n Number) String() string                { return Brief(float64(n), 4) }

// Rounded is a quantity with the digits that a sentence gives it. Sentences are made
// of these rather than of written numbers, so that each reader is shown his own units.
type Rounded struct {
	Q Quantity
	// Unit, where given, is what readers of metric units see whatever the size.
	Unit   string
	Digits int
	Way    Way
	// NoUnit leaves the unit out, where it stands behind a second figure.
	NoUnit bool
}

// Way is what the digits of a [Rounded] count.
type Way int

const (
	// Significant digits, idle zeros left out.
	Significant Way = iota
	// Zeros keeps the zeros that the significant digits ask for.
	Zeros
	// Decimals counts the digits after the decimal point.
	Decimals
	// Trace is Significant and says "under 0.000001" below that.
	Trace
	// Down is Significant, and never above the value: for the most that is allowed.
	Down
)

// To gives a quantity with at most that many significant digits.
func To(q Quantity, digits int) Rounded { return Rounded{Q: q, Digits: digits} }

// Full gives a quantity with that many significant digits, zeros among them.
func Full(q Quantity, digits int) Rounded { return Rounded{Q: q, Digits: digits, Way: Zeros} }

// Places gives a quantity with that many decimals.
func Places(q Quantity, decimals int) Rounded {
	return Rounded{Q: q, Digits: decimals, Way: Decimals}
}

// In gives the same, always in that unit to readers of metric units.
func (r Rounded) In(unit string) Rounded { r.Unit = unit; return r }

// Bare gives the same without its unit, where that stands behind a second figure.
func (r Rounded) Bare() Rounded { r.NoUnit = true; return r }

// Show implements [Quantity].
func (r Rounded) Show(s System) (v float64, unit string) {
	v, unit = r.Q.Show(s)
	if in, ok := r.Q.(interface{ In(string) float64 }); ok && r.Unit != "" && (s == Metric || !usOwn(r.Q)) {
		v, unit = in.In(r.Unit), r.Unit
	}
	if r.NoUnit {
		unit = ""
	}
	return v, unit
}

// usOwn reports that a quantity is shown in units of its own in the US.
func usOwn(q Quantity) bool {
	m, ok := q.(measured)
	return !ok || m.kind().us != nil
}

// Number writes a value as the rounding asks.
func (r Rounded) Number(v float64) string {
	if math.Abs(v) < 1e-12 {
		v = 0 // what a subtraction leaves of nothing
	}
	switch {
	case r.Way == Zeros:
		return Sig(v, r.Digits)
	case r.Way == Decimals:
		return strconv.FormatFloat(v, 'f', r.Digits, 64)
	case r.Way == Trace && v > 0 && v < 1e-6:
		return "under 0.000001"
	case r.Way == Down && v > 0:
		step := math.Pow(10, math.Floor(math.Log10(v))+1-float64(r.Digits))
		v = math.Floor(v/step*(1+1e-12)) * step
	}
	return Brief(v, r.Digits)
}

// String gives the number and the metric unit.
func (r Rounded) String() string {
	v, u := r.Show(Metric)
	return strings.TrimSpace(r.Number(v) + " " + u)
}

// HoursMinutes says how long something takes as people do, to the minute: the same in all units and decimal marks.
func HoursMinutes(t Time) string {
	switch m := int(math.Round(float64(t) * 60)); {
	case m < 60:
		return strconv.Itoa(m) + " min"
	case m%60 == 0:
		return strconv.Itoa(m/60) + " h"
	default:
		return fmt.Sprintf("%d h %02d min", m/60, m%60)
	}
}

var (
	braces  = regexp.MustCompile(`\{[^{}]*\}`)
	literal = regexp.MustCompile(`^[-+]?[0-9]+(?:\.([0-9]+))?(?: (.+))?$`)
)

// Told reads a sentence of a table. A word in braces is filled in; a quantity
// brings its unit, which the table may repeat behind the braces. A number in braces,
// with or without a unit, is a figure of the sentence's own, written with as many
// decimals as stand there: "below {40 C}". Other braces stay.
func Told(text string, fill map[string]any) note.Phrase {
	var p note.Phrase
	last := 0
	for _, at := range braces.FindAllStringIndex(text, -1) {
		inner := text[at[0]+1 : at[1]-1]
		v, ok := fill[inner]
		if !ok {
			if v, ok = own(inner); !ok {
				continue
			}
		}
		p.Format += strings.ReplaceAll(text[last:at[0]], "%", "%%") + "%s"
		p.Args = append(p.Args, v)
		last = at[1]
		if q, ok := v.(Quantity); ok {
			if _, unit := q.Show(Metric); unit != "" && strings.HasPrefix(text[last:], " "+unit) {
				last += len(unit) + 1
			}
		}
	}
	p.Format += strings.ReplaceAll(text[last:], "%", "%%")
	return p
}

// own reads a figure that stands in a sentence of a table.
func own(text string) (any, bool) {
	part := literal.FindStringSubmatch(text)
	if part == nil {
		return nil, false
	}
	v, unit, err := Split(text)
	if err != nil {
		return nil, false
	}
	r := Places(Number(v), len(part[1]))
	if unit == "" {
		return r, true
	}
	for _, read := range [...]func(string) (Quantity, error){
		as[Temperature], as[Density], as[Flow], as[Volume], as[Mass], as[Length],
	} {
		if q, err := read(text); err == nil {
			r.Q = q
			return r.In(unit), true
		}
	}
	return nil, false
}

func as[Q interface {
	~float64
	measured
	Quantity
}](text string) (Quantity, error) {
	return Parse[Q](text)
}
