package book

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"

	"jarwright/templates/draw"
	"jarwright/templates/plain"
)

// Kind is what a cell is for; it decides how the cell looks and whether it may
// be changed on a protected sheet.
type Kind int

const (
	// Text is ordinary text on one line.
	Text Kind = iota
	// Title is the name of the sheet, at its top.
	Title
	// Large is the number, or the words in its place, that answers the question.
	Large
	// Plate is the one thing to do: white on ink.
	Plate
	// Sub is a line under the title.
	Sub
	// Section heads a block.
	Section
	// Head heads a column or a row of a table.
	Head
	// Wrap is text that takes as many lines as it needs.
	Wrap
	// Muted is lesser text that wraps: sources, remarks.
	Muted
	// Label names the value beside it.
	Label
	// Unit stands right of a value.
	Unit
	// Value is a given number or text that is not to be changed here.
	Value
	// Input is for the user to fill in or change; the only kind left unlocked.
	Input
	// Worked is worked out from other cells.
	Worked
	// Result is a worked-out value that answers the question.
	Result
	// Good, Caution and Stop are words of judgement; the words say it, the border repeats it.
	Good
	Caution
	Stop
)

// Cell is one cell. Value is a string, a number, a bool, a time or nil. With a
// Formula, Value is what the formula gives: it is stored beside it, so that
// viewers that do not calculate show it.
type Cell struct {
	Kind    Kind
	Value   any
	Formula string
	// Format is a number format such as "0.00" or "#,##0"; empty shows up to
	// four significant digits, and dates as 2026-03-02.
	Format string
	// Span joins this and the following cells of the row into one; 0 and 1 are a cell alone.
	Span   int
	Center bool
	// Right sets text to the right, for headings of numbers.
	Right bool
	// Indent keeps text off the cell's left edge, for words beside bordered cells.
	Indent bool
}

// Num makes a given number.
func Num(v float64, format string) Cell { return Cell{Kind: Value, Value: v, Format: format} }

// In makes an input cell.
func In(v any, format string) Cell { return Cell{Kind: Input, Value: v, Format: format} }

// Calc makes a worked-out cell with the value that its formula gives.
func Calc(formula string, v any, format string) Cell {
	return Cell{Kind: Worked, Formula: formula, Value: v, Format: format}
}

// T makes a cell of text.
func T(kind Kind, format string, args ...any) Cell {
	if len(args) > 0 {
		format = fmt.Sprintf(format, args...)
	}
	return Cell{Kind: kind, Value: format}
}

// Digits gives a number format that shows v with that many significant digits,
// thousands apart, and at most six decimals.
func Digits(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	d := n - 1 - int(math.Floor(math.Log10(math.Abs(v))+1e-12))
	d = min(max(d, 0), 6)
	f := "0"
	if math.Abs(v) >= 9999.5 {
		f = "#,##0"
	}
	if d > 0 {
		f += "." + strings.Repeat("0", d)
	}
	return f
}

// safe are the functions that formulas may use: present in every spreadsheet
// program since 2007 and recalculated alike.
var safe = map[string]bool{"IF": true, "AND": true, "OR": true, "NOT": true, "IFERROR": true, "ROUND": true, "ROUNDUP": true,
	"ROUNDDOWN": true,
	"CEILING":   true, "FLOOR": true, "INT": true, "MOD": true, "ABS": true, "INDEX": true, "MATCH": true, "SUM": true, "SUMPRODUCT": true,
	"MIN": true, "MAX": true, "AVERAGE": true, "COUNT": true, "COUNTA": true, "COUNTIF": true, "SUMIF": true, "EXP": true, "LN": true,
	"LOG10": true, "POWER": true, "SQRT": true, "TEXT": true, "DATE": true, "YEAR": true, "MONTH": true, "DAY": true, "WEEKDAY": true,
	"EDATE": true, "MEDIAN": true, "STDEV": true, "ISNUMBER": true, "ISBLANK": true, "PI": true, "NA": true, "SIGN": true, "ISERROR": true,
	"TRUE": true, "FALSE": true, "LOOKUP": true, "VLOOKUP": true, "CHOOSE": true, "ROW": true, "COLUMN": true, "SMALL": true,
	"LARGE": true, "CONCATENATE": true}

var (
	callPattern   = regexp.MustCompile(`([A-Za-z_][A-Za-z0-9_.]*)\(`)
	quotedPattern = regexp.MustCompile(`"[^"]*"|'[^']*'`)
)

// fault tells what is wrong with a cell, "" for nothing.
func (c Cell) fault() string {
	switch v := c.Value.(type) {
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return "holds a value that is not a number"
		}
	case nil, string, int, bool, time.Time:
	default:
		return fmt.Sprintf("holds a %T, which a cell cannot hold", v)
	}
	if c.Formula != "" {
		if c.Value == nil {
			return "has a formula without the value that it gives"
		}
		for _, m := range callPattern.FindAllStringSubmatch(quotedPattern.ReplaceAllString(c.Formula, ""), -1) {
			if !safe[strings.ToUpper(m[1])] {
				return fmt.Sprintf("uses %s, which not every spreadsheet program works out alike", m[1])
			}
		}
		if strings.Contains(c.Formula, "[") {
			return "points to another file"
		}
	}
	return ""
}

// text gives what a cell shows, nearly enough to judge its width.
func (c Cell) text() string {
	switch v := c.Value.(type) {
	case string:
		return plain.Visible(v)
	case time.Time:
		return "2026-03-02"
	case bool:
		return "FALSE"
	case int:
		return groups(fmt.Sprint(v), c.Format)
	case float64:
		format := c.format()
		whole, decimals, _ := strings.Cut(format, ".")
		n := strings.Count(decimals, "0") + strings.Count(decimals, "#")
		if strings.Contains(format, "%") {
			v *= 100
		}
		s := groups(fmt.Sprintf("%.*f", n, v), whole)
		if strings.Contains(format, "%") {
			s += "%"
		}
		return s
	}
	return ""
}

// format is the number format of a cell, that of its value where it has none.
func (c Cell) format() string {
	if c.Format != "" {
		return c.Format
	}
	switch v := c.Value.(type) {
	case time.Time:
		return dateFormat
	case float64:
		return Digits(v, 4)
	}
	return ""
}

const dateFormat = "yyyy-mm-dd"

func groups(s, format string) string {
	if strings.Contains(format, ",") {
		return s + strings.Repeat(",", max(len(s)-1, 0)/3)
	}
	return s
}

// look is the style of a kind.
type look struct {
	size            float64 // 10 where it is not given
	bold            bool
	color, fill     string // of the letters, Ink where it is not given, and of the cell
	border, under   string // colour of a border all round and of a rule below only, "" for none
	bars            bool   // its left and right borders are thick, so that it stands apart without colour
	wraps, runsOver bool   // text is broken into lines; it may run over the cells beside it
	inset           bool   // what stands in it keeps off the edges
}

// Rules instead of boxes: only what is to be filled in has a fill, and the plate with the order.
var looks = [...]look{
	Text:    {},
	Title:   {size: 16, bold: true, runsOver: true},
	Large:   {size: 36, bold: true, runsOver: true},
	Plate:   {size: 12, bold: true, color: draw.White, fill: draw.Ink, wraps: true, inset: true},
	Sub:     {color: draw.Muted, runsOver: true},
	Section: {size: 12, bold: true, under: draw.Ink, runsOver: true},
	Head:    {color: draw.Muted, under: draw.Ink, wraps: true, inset: true},
	Wrap:    {wraps: true},
	Muted:   {color: draw.Muted, wraps: true},
	Label:   {},
	Unit:    {color: draw.Muted},
	Value:   {under: draw.Rule, inset: true},
	Input:   {fill: draw.FillInput, border: "#8A7A2E", inset: true},
	Worked:  {under: draw.Rule, inset: true},
	Result:  {bold: true, under: draw.Ink, inset: true},
	Good:    {wraps: true, inset: true},
	Caution: {border: draw.Ink, bars: true, wraps: true, inset: true},
	Stop:    {color: draw.Limit.Hex(), border: draw.Limit.Hex(), bars: true, bold: true, wraps: true, inset: true},
}

func (k Kind) look() look {
	l := looks[k]
	l.size, l.color = cmp.Or(l.size, 10), cmp.Or(l.color, draw.Ink)
	return l
}
