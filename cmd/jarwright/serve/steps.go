package serve

import (
	"slices"

	"jarwright/templates/desk"
)

// step is a page of the walk: the command that it shows the answer of, and what that needs.
type step struct {
	path, title string
	command     []string
	of          desk.Kind // the kind of file that the command is given
	folders     desk.Kind // the kind of folder that it is given before those, where it takes one
	logs        desk.Kind // the kind of log that it is given too, with the site beside it, where it takes one
	every       bool      // all files of the kind, not the first alone
	beside      string    // the flag that takes the site, where there is one
	flags       []string
	forms       []string // in which the answer can be saved
	also        bool     // stands under "also"
}

// Flags of the commands that a page can set; how sheets are read comes first.
var (
	shared    = []string{"date", "units", "decimal", "paper"}
	benchRead = []string{"sheet", "range", "chemical", "hidden", "basis", "stock", "density", "jar-volume", "column", "sheet-decimal"}
	toFit     = slices.Concat(benchRead, []string{"target", "scatter", "sure"})
	ofWater   = []string{"raw", "temperature", "alkalinity", "uv254"}
	yesNo     = map[string]bool{"hidden": true}
)

// steps are the pages, in the order of the job.
var steps = []step{
	{path: "/bench", title: "Bench", command: []string{"read", "--cells"}, of: desk.Bench, every: true, flags: benchRead, forms: []string{"json", "csv"}},
	{path: "/dose", title: "Dose", command: []string{"fit"}, of: desk.Bench, every: true, flags: toFit, forms: []string{"xlsx", "html", "png", "json", "csv"}},
	{path: "/site", title: "Site", of: desk.Site},
	{path: "/day", title: "Day", command: []string{"plan"}, of: desk.Site, flags: []string{benchKey, "raw"}, forms: []string{"xlsx", "html", "png", "json", "csv"}},
	{path: "/tank", title: "Clean up a tank", command: []string{"clarify"}, of: desk.Site, flags: []string{benchKey}, forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
	{path: "/month", title: "The month", command: []string{"budget"}, of: desk.Site, flags: []string{benchKey, "months"}, forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
	{path: "/compare", title: "Compare chemicals", command: []string{"compare"}, of: desk.Bench, every: true, beside: "site",
		flags: slices.Concat(toFit, []string{"price"}), forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
	{path: "/past", title: "Past tests", command: []string{"track"}, of: desk.Bench, every: true, folders: desk.Past, logs: desk.Plant, beside: "site",
		flags: slices.Concat(toFit, ofWater), forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
	{path: "/trials", title: "Trials", command: []string{"trial"}, of: desk.Trial, every: true, flags: []string{"to", "volume", "flow"},
		forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
	{path: "/next", title: "What to test next", command: []string{"next"}, of: desk.Bench, every: true, flags: slices.Concat(toFit, []string{"jars"}), forms: []string{"xlsx", "html", "png", "json", "csv"}, also: true},
}

// formNames are what the forms of an answer are called.
var formNames = map[string]string{"xlsx": "Workbook", "html": "Page", "png": "Picture", "json": "Data for programs", "csv": "Table"}

// known reports that some step takes the flag.
func known(flag string) bool {
	return slices.Contains(shared, flag) || slices.ContainsFunc(steps, func(s step) bool { return slices.Contains(s.flags, flag) })
}

// stepAt is the step of a path.
func stepAt(path string) (step, bool) {
	i := slices.IndexFunc(steps, func(s step) bool { return s.path == path })
	if i < 0 {
		return step{}, false
	}
	return steps[i], true
}

// ready reports that the files which the step needs lie on the desk.
func (p step) ready(st state) bool {
	return len(st.of(p.of)) > 0 || p.folders != "" && len(st.of(p.folders))+len(st.of(p.logs)) > 0
}

// args is the command line of the step, without the program's name.
func (p step) args(st state) []string {
	names := st.of(p.of)
	if len(names) > 1 && !p.every {
		names = names[:1]
	}
	if p.folders != "" {
		names = slices.Concat(st.of(p.folders), st.of(p.logs), names)
	}
	args := slices.Concat(p.command[:1], names, p.command[1:], st.flags(p.flags))
	if sites := st.of(desk.Site); p.beside != "" && len(sites) > 0 && (p.logs == "" || st.holds(p.logs)) {
		args = append(args, "--"+p.beside, sites[0])
	}
	return append(args, st.flags(shared)...)
}
