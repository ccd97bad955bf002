package desk

import (
	"html/template"
	"slices"
)

// SiteForm is the form of a place.
type SiteForm struct {
	Passes, Units string
	// Gives is what comes of the answers.
	Gives string
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
	// Dose is the dose that is taken from the bench, in words.
	Dose string
	// Fixed is true of what is always shown; else it is folded unless it is Open.
	Fixed, Open bool
}

// Entry is one field: its unit stands in a cell of its own, a choice where there are Units.
type Entry struct {
	Name, Label, Value, Adds string
	Needed                   string // why there is no plan without it
	Unit                     string
	Units                    []string
	Choices                  []Stop
	List                     []string // answers that are often given
	Wrong, Remedy            string
	// From says where a value comes from that nobody typed here.
	From string
	// First is the first that is wrong, where typing goes on.
	First bool
	// Wide takes twice the room; Row is one of a row of three.
	// Begins is true of the first of those.
	Wide, Row, Begins bool
}

// Long reports a unit that leaves a number no room beside another field on a phone.
func (e Entry) Long() bool {
	const room = 7
	return slices.ContainsFunc(append([]string{e.Unit}, e.Units...), func(u string) bool { return len(u) > room })
}

// Says are the names of what describes the field, for who hears the page.
func (e Entry) Says() string {
	s := ""
	if e.Adds+e.Needed != "" {
		s = "adds-" + e.Name
	}
	if e.From != "" {
		s += " from-" + e.Name
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

// Figures is the body of the page with all that a site workbook holds, to be changed; back leaves it.
func (p Page) Figures(f SiteForm, back Link) (template.HTML, error) {
	return p.body("figures.html", struct {
		Page
		Form SiteForm
		Back Link
	}{p, f, back})
}

// SiteHeld is a place that is known: some of its figures, and how it is changed and kept.
type SiteHeld struct {
	// Name is that of its file, Place what it is called itself.
	Name, Place       string
	Figures           [][2]string
	Day, Change, Keep Link
	// Anew leads to the form in place of a workbook that was dropped.
	Anew Link
	// Absent is the file that a day needs and that is to be dropped too.
	Absent string
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
