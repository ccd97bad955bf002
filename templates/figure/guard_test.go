package figure

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestSpans: how long something takes, as a stopwatch shows it and as people say it, at the turn of each way.
func TestSpans(t *testing.T) {
	comma := Style{DecimalComma: true}
	for s, want := range map[float64]string{0: "0 s", 99: "99 s", 99.4: "99 s", 100: "1 min 40 s", 100.4: "1 min 40 s",
		5399: "89 min 59 s", 5400: "1 h 30 min", 5459: "1 h 30 min", 9000: "2 h 30 min",
		99.6: "1 min 40 s"} {
		if got := watch(quantity.Time(s / 3600)); got != want {
			t.Errorf("%g s: %s, want %s", s, got, want)
		}
	}
	for _, x := range []struct {
		hours       float64
		want, comma string
	}{
		{0.0125, "45 s", "45 s"}, {0.001, "3.6 s", "3,6 s"}, {1.0 / 60, "1 min", "1 min"}, {0.0583333333, "3.5 min", "3,5 min"}, {0.9,
			"54 min", "54 min"}, {1, "1 h", "1 h"},
		{1.5, "1 h 30 min", "1 h 30 min"}, {2.999, "3 h", "3 h"}, {71.75, "71 h 45 min", "71 h 45 min"}, {72, "3 days", "3 days"}, {84,
			"3.5 days", "3,5 days"}, {0, "0 min", "0 min"},
		{0.00034567, "1.2 s", "1,2 s"}, {0.0333, "2 min", "2 min"}, {124.8, "5.2 days", "5,2 days"}, {1000.8, "41.7 days", "41,7 days"},
	} {
		if got, with := (Style{}).long(quantity.Time(x.hours)), comma.long(quantity.Time(x.hours)); got != x.want || with != x.comma {
			t.Errorf("%g h: %s and %s, want %s and %s", x.hours, got, with, x.want, x.comma)
		}
	}
	for number, want := range map[string]string{"1.5": "1,5", "15": "15", "0.05": "0,05", "-2.5": "-2,5"} {
		if got := comma.Decimal(number); got != want || (Style{}).Decimal(number) != number {
			t.Errorf("%s: %s", number, got)
		}
	}
}

// TestColumnsOfLines: a name alone is its own path, "=" says so where a unit follows, and a unit may have blanks.
func TestColumnsOfLines(t *testing.T) {
	got := Columns("dose", "dose =", "dose feed.dose", "dose = mg/L", "time at h after midnight")
	for i, want := range []Column{{Name: "dose", Path: "dose"}, {Name: "dose", Path: "dose"}, {Name: "dose", Path: "feed.dose"},
		{Name: "dose", Path: "dose", Unit: "mg/L"},
		{Name: "time", Path: "at", Unit: "h after midnight"}} {
		if got[i] != want {
			t.Errorf("%+v, want %+v", got[i], want)
		}
	}
}

// TestListsOfObjects: an empty list stands as such, or not at all where it is told only if there is something.
func TestListsOfObjects(t *testing.T) {
	one := []*Object{{}}
	for _, x := range []struct {
		o    *Object
		want int
	}{{New().List("a", nil), 1}, {New().List("a", one), 1}, {New().Some("a", nil), 0}, {New().Some("a", one), 1}} {
		if len(x.o.keys) != x.want {
			t.Errorf("%v, want %d", x.o.keys, x.want)
		}
	}
}

// TestSigned: a sign stands where the form asks for it, and nothing has none.
func TestSigned(t *testing.T) {
	for _, x := range []struct {
		form Form
		v    float64
		want string
	}{{Signed, 0.04, "0"}, {Signed, -0.04, "0"}, {Signed, 0.06, "+0.1"}, {Signed, -2.34, "-2.3"}, {Sign, 2.5, "+2.5"}, {Sign, -2.5,
		"-2.5"}, {Sign, 0, "0"}, {Sign, 0.5, "+0.5"}} {
		f := Of("x", quantity.Number(x.v), "", 2).In(x.form)
		if got := (Style{}).Number(f); got != x.want {
			t.Errorf("%v of %g: %q, want %q", x.form, x.v, got, x.want)
		}
	}
}
