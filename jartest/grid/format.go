package grid

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Format is what a number format tells of the value under it.
type Format struct {
	// Text is what is written beside the number, Before the part of it that stands first.
	Text, Before         string
	Date, Clock, Percent bool
	// Thousands counts the commas that each show a thousandth of the number.
	Thousands int
	// Amid is written among the digits, before the last Last of them.
	Amid string
	Last int
}

// Shown is the number as its format shows it, where that is another number than the one
// stored: 10000 as 10, 2000 as 20.00, 5 as "x 10" or "<5". Else it is empty; percent is not one of these.
func (c Cell) Shown() string {
	f := c.Format
	if f == nil || c.Kind != Numeric || f.Thousands == 0 && f.Amid == "" && !altering.MatchString(f.Text) {
		return ""
	}
	s := strconv.FormatFloat(c.Num/math.Pow(1000, float64(f.Thousands)), 'g', 12, 64)
	if f.Amid != "" {
		for len(s) <= f.Last {
			s = "0" + s
		}
		s = s[:len(s)-f.Last] + f.Amid + s[len(s)-f.Last:]
	}
	after := strings.TrimSpace(strings.TrimPrefix(f.Text, f.Before))
	if after != "" && !isDigit(after[0]) {
		after = " " + after
	}
	return f.Before + s + after
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// altering is written beside a number that it makes another: digits, signs of limits, words for
// powers of ten.
var altering = regexp.MustCompile(`(?i)^[\d.,]|[<>≤≥~≈×*±]|[x·]\s*10|10\^|^\s*(?:k|mio|mill?(?:ion)?s?|thousands?|hundreds?|tausend|hundert|mil|miles|mille|tys|тыс|千|万|百)\.?$`)

var (
	// formatPart is a piece of a format: a text, a sign written as it stands, a space as wide as
	// a sign or a sign that fills the cell, what stands in brackets, and the digits.
	formatPart = regexp.MustCompile(`"([^"]*)"?|\\(.)|[_*].|\[[^\]]*\]|[0#?][0#?.,]*|.`)
	elapsed    = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
	thousands  = regexp.MustCompile(`,+(?:\.|$)`)
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
	f, bare := takeFormat(code)
	f.Clock = elapsed.MatchString(code)
	f.Percent = strings.Contains(bare, "%")
	if !strings.ContainsAny(bare, "0#?") || strings.Contains(bare, ":") {
		switch {
		case strings.ContainsAny(bare, "yd"):
			f.Date = true
		case strings.ContainsAny(bare, "hs") || strings.Contains(bare, "mm"):
			f.Clock = true
		}
	}
	if f.Date || f.Clock {
		f = Format{Date: f.Date, Clock: f.Clock}
	}
	if f == (Format{}) {
		return nil
	}
	return &f
}

// takeFormat parts what a format writes as it stands from the rest of it, in small letters.
func takeFormat(code string) (f Format, bare string) {
	var texts []string
	text, digits := "", false
	end := func() {
		if text = strings.TrimSpace(text); text != "" {
			texts = append(texts, text)
		}
		text = ""
	}
	for _, m := range formatPart.FindAllStringSubmatch(code, -1) {
		switch part := m[0]; {
		case m[1] != "" || m[2] != "":
			text += m[1] + m[2]
		case strings.ContainsAny(part[:1], `"_*[`):
		case strings.ContainsAny(part[:1], "0#?"):
			amid := strings.TrimSpace(text)
			if end(); digits && amid != "" && !strings.Contains(bare, "/") {
				f.Amid, f.Last = f.Amid+amid, 0
				texts = texts[:len(texts)-1]
			}
			if !digits {
				f.Before = strings.Join(texts, " ")
			}
			digits = true
			f.Thousands += len(strings.TrimRight(thousands.FindString(part), "."))
			if f.Amid != "" {
				f.Last += strings.Count(part, "0") + strings.Count(part, "#") + strings.Count(part, "?")
			}
			bare += part
		default:
			if part != " " {
				end()
			}
			bare += strings.ToLower(part)
		}
	}
	end()
	f.Text = strings.Join(texts, " ")
	return f, bare
}
