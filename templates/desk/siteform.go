package desk

import "html/template"

// SiteForm is the form of a place.
type SiteForm struct {
	Passes, Units string
	// Ways are how the water can pass, Systems the units to answer in.
	Ways, Systems []Option
	Groups        []Group
	// Bench is the bench sheet that the dose comes from, if there is one.
	Bench string
	// Answers is where what was typed can be saved as a text; empty where nothing was.
	Answers string
	// Wrong leads to the fields that have to be put right.
	Wrong []Link
}

// Option is one of a few that exclude each other; Here is the one that holds.
type Option struct {
	Title, Value string
	Here         bool
}

// Group is some questions of one thing; Wrong is what is wrong with them together.
type Group struct {
	Title, Says, Wrong string
	Entries            []Entry
}

// Entry is one field: its unit stands in a cell of its own, a choice where there are Units.
type Entry struct {
	Name, Label, Value, Adds string
	Unit                     string
	Units                    []string
	Choices                  []Stop
	Wrong, Remedy            string
	// Wide takes twice the room; Row is one of a row of three.
	// Begins is true of the first of those.
	Wide, Row, Begins bool
}

// Says are the names of what describes the field, for who hears the page.
func (e Entry) Says() string {
	s := ""
	if e.Adds != "" {
		s = "adds-" + e.Name
	}
	if e.Wrong != "" {
		s += " wrong-" + e.Name
	}
	return s
}

// SiteForm is the body of the page with the form of a place.
func (p Page) SiteForm(f SiteForm) (template.HTML, error) {
	return p.body("siteform.html", struct {
		Page
		Form SiteForm
	}{p, f})
}

// SiteHeld is a place that is known: some of its figures, and how it is changed and kept.
type SiteHeld struct {
	Name              string
	Figures           [][2]string
	Day, Change, Keep Link
	// Lacks is what is wrong with it, or missing, for a day; empty where a day can be planned.
	Lacks template.HTML
	// Saved is true where it was just asked to be saved.
	Saved bool
}

// SiteHeld is the body of the page of a place that is known.
func (p Page) SiteHeld(h SiteHeld) (template.HTML, error) {
	return p.body("siteheld.html", struct {
		Page
		Of SiteHeld
	}{p, h})
}
