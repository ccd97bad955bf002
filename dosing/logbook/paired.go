package logbook

import (
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Two columns of one kind may belong together: what one of them is shows beside the other alone.

// starts is the level of the tank when the row's own time began, beside that when it ended.
const starts role = "start"

// pair is a column that is something else beside another of its kind: one of the role whose heading holds a word of some kinds, or of none
// of them, beside one of another role or heading.
type pair struct {
	of     role
	this   func(column) bool
	beside func(column) bool
	is     heading
}

var pairs = []pair{
	{"setting", func(c column) bool { return c.unit == "%" && holds(c.text, "stroke") }, func(c column) bool { return c.role == "setting" && !holds(c.text, "stroke") },
		heading{role: "stroke", set: into(quantity.Parse[quantity.Setting], func(e *Entry) *quantity.Known[quantity.Setting] { return &e.Stroke }), example: "Stroke (%)"}},
	{"level", func(c column) bool { return holds(c.text, "starts") }, func(c column) bool { return c.role == "level" && !holds(c.text, "starts") },
		heading{role: starts, set: into(mL, func(e *Entry) *quantity.Known[quantity.Volume] { return &e.Level }), example: "Tank level at start (L)"}},
	// a counter that does not say of what it is, where another does or the water stands beside it
	{"meter", func(c column) bool { return !holds(c.text, "water", "flow", "raw", "treated") }, func(c column) bool { return c.role == "water" || c.role == "meter" && holds(c.text, "water") }, heading{}},
}

// paired gives each column what it is beside the others.
func paired(columns []column) []column {
	out := slices.Clone(columns)
	for i, c := range columns {
		for _, p := range pairs {
			if c.role == p.of && p.this(c) && slices.ContainsFunc(columns, p.beside) {
				out[i].heading = p.is
			}
		}
	}
	return out
}

// atStart makes a column of levels one of those at the start.
func (c column) atStart() column {
	level := c.set
	c.set = func(e *Entry, text string, at note.Place) error {
		var x Entry
		err := level(&x, text, at)
		e.Start, e.StartPart = x.Level, x.Part
		return err
	}
	return c
}
