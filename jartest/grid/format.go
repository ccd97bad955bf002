package grid

import (
	"regexp"
	"strings"
)

// Format is what a number format tells of the value under it.
type Format struct {
	Text                 string
	Date, Clock, Percent bool
}

var (
	quotedText  = regexp.MustCompile(`"([^"]*)"`)
	bracketPart = regexp.MustCompile(`\[[^\]]*\]`)
	elapsed     = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
	literal     = regexp.MustCompile(`\\.|_.|\*.`)
)

// builtIn are the formats that a workbook names by number alone: ECMA-376 part
// 1, 18.8.30 (from memory); 27 to 36 and 50 to 58 are dates of East Asian programs.
var builtIn = []struct {
	from, to int
	is       Format
}{
	{9, 10, Format{Percent: true}},
	{14, 17, Format{Date: true}},
	{18, 21, Format{Clock: true}},
	{22, 22, Format{Date: true}},
	{27, 36, Format{Date: true}},
	{45, 47, Format{Clock: true}},
	{50, 58, Format{Date: true}},
}

// readFormat reads a number format: its code, or its number where it has none.
// Nil is for a format that says nothing.
func readFormat(id int, code string) *Format {
	if code == "" {
		for _, b := range builtIn {
			if id >= b.from && id <= b.to {
				return &b.is
			}
		}
		return nil
	}
	code, _, _ = strings.Cut(code, ";")
	if strings.EqualFold(code, "general") {
		return nil
	}
	var f Format
	for _, m := range quotedText.FindAllStringSubmatch(code, -1) {
		f.Text = strings.TrimSpace(f.Text + " " + strings.TrimSpace(m[1]))
	}
	f.Clock = elapsed.MatchString(code)
	bare := strings.ToLower(bracketPart.ReplaceAllString(quotedText.ReplaceAllString(code, ""), ""))
	bare = literal.ReplaceAllString(bare, "")
	f.Percent = strings.Contains(bare, "%")
	if !strings.ContainsAny(bare, "0#?") || strings.Contains(bare, ":") {
		switch {
		case strings.ContainsAny(bare, "yd"):
			f.Date = true
		case strings.ContainsAny(bare, "hs") || strings.Contains(bare, "mm"):
			f.Clock = true
		}
	}
	if f == (Format{}) {
		return nil
	}
	return &f
}
