package calendar

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"jarwright/jartest/words"
)

// Days as they stand in sentences, with or without their year.
var (
	saidForms = []form{
		{regexp.MustCompile(`\b(\d{4})-(\d{1,2})-(\d{1,2})\b`), 1, 2, 3},
		{regexp.MustCompile(`\b(\d{1,2})(?:st|nd|rd|th)?\.?\s*(?:of |de |di )?(\pL{3,})\.?(?:,?\s+(?:de |del )?(\d{4})\b)?`), 3, 2, 1},
		{regexp.MustCompile(`(\pL{3,})\.?\s+(\d{1,2})(?:st|nd|rd|th)?\b(?:,?\s+(\d{4})\b)?`), 3, 1, 2},
	}
	numbered   = regexp.MustCompile(`\b(\d{1,2})([./-])(\d{1,2})(?:([./-])(\d{4}|\d{2})?)?(\s*[\pL%])?`)
	wordBefore = regexp.MustCompile(`(\pL+)[\s:]*$`)
)

// oldest is how many days old something is at most of which a day without its year may tell. Judgement, no source.
const oldest = 200

// leadWords are words behind which two numbers are a day.
var leadWords = strings.Fields("made on of from dated stock batch vom am du le del el il van op")

// Said finds the day that a sentence names, at or before another; a year that it lacks is the one that makes it the latest such day. Of
// two numbers the day may come first or the month: the later counts. Alone is true for a cell that holds nothing else: two numbers
// of a sentence may be a share or a strength, and are a day only behind a word such as "of".
func Said(text string, on time.Time, alone bool) (day time.Time, ok bool) {
	s := words.Fold(text)
	try := func(year, month, d string) {
		if _, err := strconv.Atoi(month); err != nil && Month(month, spelt) == 0 {
			return
		}
		for _, y := range years(year, on) {
			is := dayOf(y, month, d)
			if old := on.Sub(is); !is.IsZero() && old >= 0 && (year != "" || old <= oldest*24*time.Hour) && (!ok || is.After(day)) {
				day, ok = is, true
			}
		}
	}
	for _, f := range saidForms {
		for _, m := range f.FindAllStringSubmatch(s, -1) {
			try(m[f.year], m[f.month], m[f.day])
		}
	}
	for _, at := range numbered.FindAllStringSubmatchIndex(s, -1) {
		part := func(i int) string {
			if at[2*i] < 0 {
				return ""
			}
			return s[at[2*i]:at[2*i+1]]
		}
		ends := part(5) != "" || part(2) == "." && part(4) == "."
		before := wordBefore.FindStringSubmatch(s[:at[0]])
		if !alone && !ends && (part(6) != "" || part(2) == "." || before == nil || !slices.Contains(leadWords, before[1])) {
			continue
		}
		try(part(5), part(3), part(1))
		try(part(5), part(1), part(3))
	}
	return day, ok
}

// years are those that a day can be of: the one given, else that of another day and the one before it.
func years(given string, on time.Time) []string {
	if given != "" {
		return []string{given}
	}
	return []string{strconv.Itoa(on.Year()), strconv.Itoa(on.Year() - 1)}
}
