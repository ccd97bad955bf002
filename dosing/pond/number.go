package pond

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/jartest/note"
)

var (
	// amounts are the numbers of a text, with all that parts their digits; spaced is one whose thousands a space parts.
	amounts = regexp.MustCompile(`\d[\d.,]*\d|\d`)
	spaced  = regexp.MustCompile(`(^|[^\d.,])(\d{1,3})((?:[ \x{00a0}\x{202f}]\d{3})+)([^\d]|$)`)
	// grouped is a number that may be parted into thousands by that sign, many one that can be nothing else.
	grouped = map[string]*regexp.Regexp{",": regexp.MustCompile(`^[1-9]\d{0,2}(,\d{3})+$`), ".": regexp.MustCompile(`^[1-9]\d{0,2}(\.\d{3})+$`)}
	many    = map[string]*regexp.Regexp{",": regexp.MustCompile(`^[1-9]\d{0,2}(,\d{3}){2,}$`), ".": regexp.MustCompile(`^[1-9]\d{0,2}(\.\d{3}){2,}$`)}
)

// plain writes the numbers of a text with a decimal point and nothing between thousands. One number tells what the signs
// of another mean: beside "1.2" the comma of "5,000" parts thousands. It is an error where nothing does.
func plain(text string) (string, error) {
	text = spaced.ReplaceAllStringFunc(text, func(s string) string {
		part := spaced.FindStringSubmatch(s)
		return part[1] + part[2] + strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "").Replace(part[3]) + part[4]
	})
	parts := amounts.FindAllString(text, -1)
	var point, comma bool // which of both is known to part decimals
	for _, s := range parts {
		last := strings.LastIndexAny(s, ".,")
		switch {
		case strings.Contains(s, ",") && strings.Contains(s, "."):
			point, comma = point || s[last] == '.', comma || s[last] == ','
		case strings.Contains(s, ","):
			point, comma = point || many[","].MatchString(s), comma || !grouped[","].MatchString(s)
		case strings.Contains(s, "."):
			point, comma = point || !grouped["."].MatchString(s), comma || many["."].MatchString(s)
		}
	}
	var doubt error
	out := amounts.ReplaceAllStringFunc(text, func(s string) string {
		whole, decimals := strings.ReplaceAll(s, ",", ""), strings.ReplaceAll(strings.ReplaceAll(s, ".", ""), ",", ".")
		switch {
		case !strings.Contains(s, ","):
			if comma && !point && grouped["."].MatchString(s) {
				return decimals
			}
			return s
		case point && !comma && (strings.Contains(s, ".") || grouped[","].MatchString(s)):
			return whole
		case comma && !point && (strings.Contains(s, ".") || !grouped[","].MatchString(s)):
			return decimals
		}
		doubt = doubtful("comma", s, text)
		return s
	})
	return out, doubt
}

// doubtful asks what a sign parts, with both numbers written so that none of them is asked about again.
func doubtful(sign, number, text string) error {
	decimals := strings.ReplaceAll(number, ",", ".")
	if short := strings.TrimRight(decimals, "0"); short != decimals {
		decimals = strings.TrimRight(short, ".")
	} else {
		decimals += "0"
	}
	return note.Fault(sign+"-doubtful", "the %s of %q in %q may part thousands or decimals", sign, number, strings.TrimSpace(text)).
		Do("write %s or %s", strings.NewReplacer(",", "", ".", "").Replace(number), decimals)
}

// pointed asks about an area or a volume whose point may part thousands, where no other number of its text tells: neither one
// whose point can only part decimals, nor one of thousands that are not parted.
func pointed(part, text string) error {
	s := amounts.FindString(part)
	told := func(n string) bool {
		return strings.Contains(n, ".") && !grouped["."].MatchString(n) || !strings.Contains(n, ".") && len(n) > 3
	}
	if !grouped["."].MatchString(s) || slices.ContainsFunc(amounts.FindAllString(text, -1), told) {
		return nil
	}
	return doubtful("point", s, text)
}

// Full asks about a volume that is written with three decimals of which the last is zero, such as "1.200 m3": so people part thousands.
func Full(text string) error {
	s := amounts.FindString(text)
	if grouped["."].MatchString(s) && strings.HasSuffix(s, "0") {
		return doubtful("point", s, text)
	}
	return nil
}
