package flow

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Hours are the operating hours of a day. The zero value is the whole day.
type Hours []Span

func (h Hours) spans() []Span {
	if len(h) == 0 {
		return []Span{{0, 24}}
	}
	return h
}

// Length gives the operating time of a day.
func (h Hours) Length() quantity.Time {
	var t quantity.Time
	for _, s := range h.spans() {
		t += s.Length()
	}
	return t
}

// Covers reports whether the plant runs at that clock time.
func (h Hours) Covers(t quantity.Time) bool {
	for _, s := range h.spans() {
		if t >= s.From && t < s.To {
			return true
		}
	}
	return false
}

// Last gives the last time not after t that the hours cover: t itself, or when they
// ended before; they are the same every day.
func (h Hours) Last(t quantity.Time) quantity.Time {
	day := quantity.Time(24 * math.Floor(float64(t)/24))
	best := quantity.Time(math.Inf(-1))
	for _, s := range h.spans() {
		for _, later := range [...]quantity.Time{day - 24, day} {
			if from, to := s.From+later, s.To+later; from <= t {
				best = max(best, min(t, to))
			}
		}
	}
	return best
}

// Next gives the first time not before t that the hours cover; they are the same every day.
func (h Hours) Next(t quantity.Time) quantity.Time {
	day := quantity.Time(24 * math.Floor(float64(t)/24))
	best := quantity.Time(math.Inf(1))
	for _, s := range h.spans() {
		for _, later := range [...]quantity.Time{day, day + 24} {
			if from, to := s.From+later, s.To+later; t < to {
				best = min(best, max(t, from))
			}
		}
	}
	return best
}

// Began gives when the stretch began that covers a time, or else the last one before it.
func (h Hours) Began(t quantity.Time) quantity.Time {
	day := quantity.Time(24 * math.Floor(float64(t)/24))
	best := quantity.Time(math.Inf(-1))
	for _, s := range h.spans() {
		from := s.From
		for _, before := range h.spans() { // one over midnight is two of the day
			if s.From == 0 && before.To == 24 {
				from = before.From - 24
			}
		}
		for _, later := range [...]quantity.Time{day - 24, day, day + 24} {
			if from+later <= t {
				best = max(best, from+later)
			}
		}
	}
	return best
}

// Outside gives how much of the hours lies outside others.
func (h Hours) Outside(others Hours) quantity.Time {
	t := h.Length()
	for _, s := range h.spans() {
		for _, o := range others.spans() {
			t -= max(0, min(s.To, o.To)-max(s.From, o.From))
		}
	}
	return t
}

// First gives the first so many of the hours, from a clock time on and over midnight; all of them where they are no more.
func (h Hours) First(long, from quantity.Time) (out Hours) {
	for _, days := range [...]quantity.Time{0, 24} {
		for _, s := range h.spans() {
			a := max(s.From+days, from)
			b := min(s.To+days, from+24, a+long)
			if b-a < 1e-9 {
				continue
			}
			long -= b - a
			over := quantity.Time(24 * math.Floor(float64(a)/24))
			out = append(out, Span{a - over, b - over})
		}
	}
	slices.SortFunc(out, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	for i := len(out) - 1; i > 0; i-- { // what goes on is one stretch
		if out[i].From == out[i-1].To {
			out[i-1].To, out = out[i].To, slices.Delete(out, i, i+1)
		}
	}
	return out
}

// Rests gives the longest time of a day, midnight or not, between two stretches of the hours.
func (h Hours) Rests() (most quantity.Time) {
	spans := h.spans()
	for i, s := range spans {
		next := spans[(i+1)%len(spans)].From
		if i == len(spans)-1 {
			next += 24
		}
		most = max(most, next-s.To)
	}
	return most
}

// String gives the hours as ParseHours reads them.
func (h Hours) String() string {
	var parts []string
	for _, s := range h.spans() {
		to := Clock(s.To)
		if s.To >= 24 { // as such hours are written
			to = "24:00"
		}
		parts = append(parts, Clock(s.From)+"-"+to)
	}
	return strings.Join(parts, ", ")
}

// ParseHours reads operating hours: "06:00-22:00", several spans with commas,
// "22-06" over midnight, or how long a day lasts ("16 h", "24"), which then
// starts at midnight. Empty text is the whole day.
func ParseHours(text string) (Hours, error) {
	bad := func(format string, args ...any) error {
		return note.Fault("bad-hours", "operating hours %q: %s", text, fmt.Sprintf(format, args...)).
			Do(`write them like "06:00-22:00", "6-12, 14-20" or "16 h"`)
	}
	s := strings.TrimSpace(strings.NewReplacer("–", "-", "—", "-", " to ", "-", "−", "-").Replace(strings.ToLower(text)))
	if s == "" {
		return nil, nil
	}
	if !strings.ContainsAny(s, "-:") {
		v, unit, err := quantity.Split(s)
		if err != nil || !slices.Contains([]string{"", "h", "hours", "h/d", "hours/d"}, unit) {
			return nil, bad("not understood")
		}
		if v <= 0 || v > 24 {
			return nil, bad("a day has more than 0 and at most 24 hours")
		}
		return Hours{{0, quantity.Time(v)}}, nil
	}
	var out Hours
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' }) {
		spans, err := parseSpan(strings.TrimSpace(part))
		if err != nil {
			return nil, bad("%s", err.Error())
		}
		out = append(out, spans...)
	}
	slices.SortFunc(out, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	for i := 1; i < len(out); i++ {
		if out[i].From < out[i-1].To {
			return nil, bad("spans overlap at %s", Clock(out[i].From))
		}
	}
	return out, nil
}

// parseSpan reads "06:00-22:00"; one over midnight is two spans of the day.
func parseSpan(part string) (Hours, error) {
	from, to, ok := strings.Cut(part, "-")
	if !ok {
		return nil, fmt.Errorf("%q has no end", part)
	}
	var ends [2]quantity.Time
	for i, text := range [...]string{from, to} {
		var err error
		if ends[i], err = ParseClock(text); err != nil {
			return nil, fmt.Errorf("%q is no clock time", strings.TrimSpace(text))
		}
	}
	a, b := ends[0], ends[1]
	if a == b {
		return nil, fmt.Errorf("%q is empty", part)
	}
	if a < b {
		return Hours{{a, b}}, nil
	}
	return slices.DeleteFunc(Hours{{a, 24}, {0, b}}, func(s Span) bool { return s.Length() == 0 }), nil
}

// ParseClock reads a clock time: "6", "06:30", "6.5", "18h", "6:30 pm". 24:00 is
// the end of the day.
func ParseClock(text string) (quantity.Time, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	bad := note.Fault("bad-clock", "clock time %q is not understood", text).Do(`write it like "06:30" or "18:00"`)
	half := halfOfDay.FindString(s)
	s = strings.TrimSpace(strings.TrimSuffix(s, half))
	s = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(s, "uhr"), "hrs"), "h"))
	parts := strings.Split(s, ":")
	v := 0.0
	for i, p := range parts {
		if i > 2 || p == "" {
			return 0, bad
		}
		x, err := strconv.ParseFloat(p, 64)
		if err != nil || !(x >= 0 && x < 60) || i < len(parts)-1 && x != math.Trunc(x) {
			return 0, bad
		}
		v += x / math.Pow(60, float64(i))
	}
	switch {
	case v > 24 || half != "" && (v < 1 || v >= 13):
		return 0, bad
	case half != "":
		v = math.Mod(v, 12)
	}
	if strings.HasPrefix(half, "p") {
		v += 12
	}
	return quantity.Time(v), nil
}

var halfOfDay = regexp.MustCompile(`(am|a\.m\.|pm|p\.m\.)$`)

// ClockAfter shows a time as one would who begins something at another and ends it then: "21:45" on
// the same day, else "21:45 of the next day", "21:45 2 days later" or "midnight at the end of that day".
func ClockAfter(t, from quantity.Time) string {
	return OnDay(t, dayOf(t)-dayOf(from), func(days int) string {
		switch {
		case days <= 0:
			return "that day"
		case days == 1:
			return "of the next day"
		}
		return fmt.Sprintf("%d days later", days)
	}, "")
}

// OnDay shows a clock time so many days after one that counts as 0, whose days have these words; today
// stands behind a time on that day itself. Midnight is told as the end of the day before it: by
// "00:00 tomorrow" one may mean either of two nights.
func OnDay(t quantity.Time, days int, word func(days int) string, today string) string {
	of := minutesOf(t) - dayOf(t)*1440
	s := fmt.Sprintf("%02d:%02d", of/60, of%60)
	switch {
	case of == 0 && days > 2:
		return fmt.Sprintf("midnight at the end of the day, %s", word(days-1))
	case of == 0 && days > 0:
		return "midnight at the end of " + strings.TrimPrefix(word(days-1), "of ")
	case days <= 0:
		return s + today
	}
	return s + " " + word(days)
}

// Midnight reports that a time is one, to the minute.
func Midnight(t quantity.Time) bool { return minutesOf(t)%1440 == 0 }

// minutesOf rounds a time to minutes, dayOf counts the midnights before it.
func minutesOf(t quantity.Time) int { return int(math.Round(float64(t) * 60)) }

func dayOf(t quantity.Time) int { return int(math.Floor(float64(minutesOf(t)) / 1440)) }

// Clock shows a time after midnight as "06:30"; past a day it counts on as "06:30 the day after", and
// before it back as "06:30 the day before".
func Clock(t quantity.Time) string {
	minutes := int(math.Round(float64(t) * 60))
	day := int(math.Floor(float64(minutes) / 1440))
	of := minutes - day*1440
	s := fmt.Sprintf("%02d:%02d", of/60, of%60)
	switch {
	case day == -1:
		return s + " the day before"
	case day < 0:
		return fmt.Sprintf("%s %d days before", s, -day)
	case day == 1:
		return s + " the day after"
	case day > 1:
		return fmt.Sprintf("%s %d days after", s, day)
	}
	return s
}
