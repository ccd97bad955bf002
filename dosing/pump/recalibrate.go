package pump

import (
	"cmp"
	"math"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Care is how often a pump is calibrated and how far a check may be off.
type Care struct {
	// Every is the time between calibrations; zero counts as 30 days (common practice, no source).
	Every quantity.Time
	// Limit is how far a check drawdown may be off the line; zero counts as 5 % (common practice, no source).
	Limit quantity.Fraction
}

func (c Care) every() quantity.Time { return cmp.Or(max(c.Every, 0), 30*24) }

func (c Care) limit() quantity.Fraction { return cmp.Or(max(c.Limit, 0), 0.05) }

// Advice says whether to calibrate again. done is the day of the drawdown
// readings and today the day asked about; a zero one is not known.
func (c Care) Advice(cal Calibration, done, today time.Time) note.List {
	var l note.List
	if cal.FromPlate() {
		l.Add(note.New(note.Info, "recalibrate", "this pump has no drawdown readings").
			Do("take three: near the lowest, middle and highest setting you use, two minutes or half the column each"))
		return l
	}
	if len(cal.Readings) < 3 {
		l.Add(note.New(note.Info, "recalibrate-more", "two readings cannot show whether one of them is wrong").
			Do("take three or more at the next calibration"))
	}
	age := quantity.Time(today.Sub(done).Hours())
	switch {
	case done.IsZero():
		l.Add(note.New(note.Info, "recalibrate-undated", "the day of the drawdown readings is not given").
			Do("write it beside them: a calibration is good for about %s", days(c.every())))
	case !today.IsZero() && today.Before(done):
		l.Add(note.New(note.Caution, "recalibrate-future", "the drawdown readings are dated %s, after %s", done.Format(time.DateOnly),
			today.Format(time.DateOnly)).Do("check the date"))
	case !today.IsZero() && age > c.every():
		l.Add(note.New(note.Caution, "recalibrate-due", "the drawdown readings are %s old; calibrate every %s", days(age), days(c.every())).
			Do("take new readings before relying on the setting").From("common practice, no source"))
	default:
		due := done.Add(time.Duration(float64(c.every()) * float64(time.Hour)))
		l.Add(note.New(note.Info, "recalibrate-by", "calibrate again by %s", due.Format(time.DateOnly)).From("common practice, no source"))
	}
	return l
}

// Occasions lists what makes a calibration void before its time.
func Occasions() []string {
	return []string{"another stock, strength or temperature", "new tubing, valves, diaphragm or head",
		"another back pressure or suction height",
		"a check drawdown more than 5 % off", "air in the line, or a column that will not hold"}
}

// Check compares a check drawdown with the line.
func (c Care) Check(cal Calibration, r Reading) (off quantity.Fraction, advice note.Note) {
	want := cal.Rate(r.Position)
	off = quantity.Fraction(float64(r.Rate-want) / float64(want))
	if want <= 0 || math.IsInf(float64(off), 0) || math.IsNaN(float64(off)) {
		return 0, note.New(note.Caution, "check-at-zero", "the line gives nothing at that setting").
			Do("take the check drawdown at a setting you use").At(r.At)
	}
	if math.Abs(float64(off)) > float64(c.limit()) {
		return off, note.New(note.Caution, "check-off", "the check drawdown of %s is %s against the line (%s)", r.Rate, offBy(off), want).
			Do("repeat it; if it stays, calibrate again and look for air, a worn valve or a blocked strainer").At(r.At)
	}
	return off, note.New(note.Info, "check-good", "the check drawdown of %s is %s against the line: keep the calibration", r.Rate,
		offBy(off)).At(r.At)
}

func days(t quantity.Time) note.Phrase {
	return note.Say("%s days", quantity.Places(quantity.Number(math.Round(t.In("d"))), 0))
}
