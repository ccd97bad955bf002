package desk

import "html/template"

// Jars is the body of the page on which jars are typed.
type Jars struct {
	Page
	// Told are the fields of the test, Water those of the raw water.
	Told, Water []Field
	// Units are those that a dose may be typed in.
	Kinds, Units, Left []Choice
	Kind, Unit, Metal  string
	// Columns are the headings of the grid, Rows its jars.
	Columns []Field
	Rows    []Jar
	// Wrong is what is wrong with no field in particular, and Faults counts all that is.
	Wrong  []string
	Faults int
	// Draft names what was typed before.
	Draft string
	// System is the one whose units empty boxes are asked in, of Systems.
	System  string
	Systems []Option
	// Fresh is true where nothing was typed yet, More where more jars fit.
	Fresh, More bool
}

// Jar is a row of the grid.
type Jar struct {
	No    int
	Cells []Field
}

// Write renders the body.
func (j Jars) Write() (template.HTML, error) { return j.body("jars.html", j) }
