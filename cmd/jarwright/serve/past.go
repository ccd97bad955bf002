package serve

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	"jarwright/templates/desk"
)

// pastFolder is the folder that past tests are held as, and forKey the field of a form that says what its files are for.
const pastFolder, forKey = "past", "for"

// Bounds on past tests that are held together.
const mostTests, mostTestBytes = 500, mostHeld / 4

// filed is the state with past tests in their folder: one of the same name gives way, unless both came at once, since a
// folder each may have a sheet of one name.
func (s *Server) filed(st state, tests []File) (state, error) {
	if len(tests) == 0 {
		return st, nil
	}
	folder := File{Name: pastFolder, Kind: desk.Past}
	for _, f := range st.Files {
		if f.Kind == desk.Past && f.Name == pastFolder {
			folder.Parts = slices.Clone(f.Parts)
		}
	}
	come := map[string][]byte{}
	for _, f := range tests {
		name := f.Name
		for n := 2; come[name] != nil && !bytes.Equal(come[name], f.Data); n++ {
			end := path.Ext(f.Name)
			name = fmt.Sprintf("%s (%d)%s", strings.TrimSuffix(f.Name, end), n, end)
		}
		come[name] = append([]byte{}, f.Data...)
		at := pastFolder + "/" + name
		folder.Parts = slices.DeleteFunc(folder.Parts, func(x File) bool { return strings.EqualFold(x.Name, at) })
		folder.Parts = append(folder.Parts, File{Name: at, Data: f.Data, Kind: f.Kind})
	}
	return s.shelved(st, folder)
}

// shelved is the state with a folder of past tests, where that is not too large.
func (s *Server) shelved(st state, folder File) (state, error) {
	if len(folder.Parts) > mostTests || folder.size() > mostTestBytes {
		return st, fmt.Errorf("%d past tests of %d MB are more than a page holds: %d tests, %d MB", len(folder.Parts), folder.size()>>20, mostTests, mostTestBytes>>20)
	}
	slices.SortFunc(folder.Parts, func(a, b File) int { return cmp.Compare(a.Name, b.Name) }) // in whatever order they came
	return st.with(s.shelf.put(folder)), nil
}

// openAll puts all sheets of the folder on the desk as past tests; those that are none are left alone by the command.
func (s *Server) openAll(w http.ResponseWriter, r *http.Request, st state) {
	names, err := s.Folder.Names()
	if err == nil && len(names) >= mostTests {
		err = fmt.Errorf("%d past tests or more are more than a page holds", mostTests)
		names = nil
	}
	folder := File{Name: cleanName(s.Folder.Title()), Kind: desk.Past}
	for _, n := range names {
		data, e := s.Folder.Read(n)
		if e != nil {
			continue // gone since it was listed
		}
		if folder.Parts = append(folder.Parts, File{Name: folder.Name + "/" + n, Data: data}); folder.size() > mostTestBytes {
			break
		}
	}
	if err == nil && len(folder.Parts) > 0 {
		j, busy := s.works.do(hash("logs\x00"+folder.content()), client(r), func(ctx context.Context, _ func(func() string)) (a Answer) {
			for _, f := range folder.Parts {
				if s.Log != nil && ctx.Err() == nil && s.Log(f.Name, f.Data) {
					a.Wrote = append(a.Wrote, File{Name: f.Name})
				}
			}
			return a
		}, folder.content())
		if !s.waited(w, r, st, "/past", j, busy) {
			return
		}
		for i, f := range folder.Parts { // a log among them is held against the site
			if slices.ContainsFunc(j.answer.Wrote, func(x File) bool { return x.Name == f.Name }) {
				folder.Parts[i].Kind = desk.Plant
			}
		}
		st, err = s.shelved(st, folder)
	}
	if err != nil {
		s.tooMany(w, st, err)
		return
	}
	http.Redirect(w, r, st.at("/past"), http.StatusSeeOther)
}

// tooMany says that past tests are more than the page takes.
func (s *Server) tooMany(w http.ResponseWriter, st state, err error) {
	s.refuse(w, st, "/past", http.StatusRequestEntityTooLarge, "Too many", upper(err.Error())+".", "Take the tests of the last years, or give their folder to “jarwright track” at a terminal.")
}

// waterAsks are the questions for today's raw water, each with the unit of a number alone.
var waterAsks = []struct {
	flag, label string
	key         jartest.Key
	unit        func(quantity.System) string
}{
	{"raw", "Turbidity of today’s raw water", jartest.Turbidity, always("NTU")},
	{"temperature", "Its temperature", jartest.TemperatureKey, func(s quantity.System) string {
		if s == quantity.US {
			return "°F"
		}
		return "°C"
	}},
	{"alkalinity", "Its alkalinity", jartest.AlkalinityKey, always("mg/L CaCO3")},
	{"uv254", "Its UV254", jartest.UV254, always("1/cm")},
}

func always(unit string) func(quantity.System) string {
	return func(quantity.System) string { return unit }
}

// takeWater gives numbers alone the units that stand beside their fields, and reads decimal commas.
func takeWater(st state) {
	for _, a := range waterAsks {
		if v := pointed(st.Flags.Get(a.flag)); bareNumber.MatchString(v) {
			st.Flags.Set(a.flag, v+" "+a.unit(st.system()))
		} else if v != "" {
			st.Flags.Set(a.flag, v)
		}
	}
	for _, flag := range []string{"to", "volume", "flow"} {
		if v := st.Flags.Get(flag); v != "" {
			st.Flags.Set(flag, pointed(v))
		}
	}
}

// tracked is what the page needs of the document of track.
type tracked struct {
	Tests  []trackedTest
	Models []struct {
		Range map[jartest.Key]any
	}
}

// trackedTest is a past test: its day, as ISO 8601 has it, empty where none was told, and its raw water.
type trackedTest struct {
	Date string
	Raw  map[jartest.Key]struct{ Value float64 }
}

// besidePast are the questions for today's water: of its turbidity always, of what else the tests tell where they do.
func (s *Server) besidePast(r *http.Request, st state, j *job) desk.Side {
	side := desk.Side{Action: "/past", Kept: st.kept(append(slices.Clone(ofWater), "sure")...), Send: "Show the dose"}
	if len(st.of(desk.Bench)) > 0 {
		side.More = append(side.More, desk.Link{Title: "The dose of the last test", Address: st.at("/dose")})
	}
	if len(st.of(desk.Site)) > 0 {
		side.More = append(side.More, desk.Link{Title: "The day", Address: st.at("/day")})
	}
	var doc tracked
	j.document(&doc)
	if len(doc.Tests) == 0 && j.answer.Report != nil { // a log alone, of which no water is asked
		return desk.Side{More: side.More}
	}
	told := func(k jartest.Key) bool {
		return slices.ContainsFunc(doc.Models, func(m struct{ Range map[jartest.Key]any }) bool { return m.Range[k] != nil })
	}
	for _, a := range waterAsks {
		given := st.Flags.Get(a.flag)
		if given == "" && a.key != jartest.Turbidity && !told(a.key) {
			continue
		}
		ask := desk.Ask{Name: a.flag, Label: a.label, Value: given, Unit: a.unit(st.system())}
		if number, ok := strings.CutSuffix(given, " "+ask.Unit); ok {
			ask.Value = number
		} else if given != "" {
			ask.Unit = "" // it was typed with one of its own
		}
		if given == "" && a.key == jartest.Turbidity {
			ask.Hint = s.lastWater(r, st, doc.Tests)
		}
		side.Asks = append(side.Asks, ask)
	}
	sure := st.Flags.Get("sure")
	stops := slices.Clone(sureStops)
	if !slices.ContainsFunc(stops, func(x desk.Stop) bool { return x.Value == sure }) {
		stops = append(stops, desk.Stop{Value: sure, Says: sure})
	}
	side.Asks = append(side.Asks, desk.Ask{Name: "sure", Label: "How sure it must be", Value: sure, Choices: stops})
	return side
}

// lastWater hints at the turbidity that the desk knows of the raw water, with where from: the latest of the past tests that have
// a day, else the bench sheet, else the site. It is never filled in: an old water's dose would be taken for today's.
func (s *Server) lastWater(r *http.Request, st state, tests []trackedTest) string {
	var last trackedTest
	for _, x := range tests {
		if _, told := x.Raw[jartest.Turbidity]; told && x.Date > last.Date { // days as ISO 8601 has them stand in their order as words
			last = x
		}
	}
	if day, err := time.Parse(time.DateOnly, last.Date); err == nil {
		return fmt.Sprintf("As the meter reads it now. It was %s NTU in the latest test, of %s.", number(last.Raw[jartest.Turbidity].Value), day.Format("2 January 2006"))
	}
	if len(st.of(desk.Bench)) == 1 {
		if v, _, _ := strings.Cut(s.rawOf(r, st, 0)[string(jartest.Turbidity)], " "); v != "" {
			return "As the meter reads it now. It was " + v + " NTU in the bench sheet."
		}
	}
	for _, f := range st.Files {
		if f.Kind != desk.Site {
			continue
		}
		place, err := site.Read(f.Name, bytes.NewReader(f.Data))
		if v := place.Water.Turbidity; err == nil && v.OK {
			return "As the meter reads it now. It is " + number(float64(v.V)) + " NTU in the site workbook."
		}
	}
	return "As the meter reads it now."
}

// number is a number in as few digits as it takes.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// besideTrial are the questions that the log of a unit may leave open.
func (s *Server) besideTrial(_ *http.Request, st state, j *job) desk.Side {
	side := desk.Side{Action: "/trials", Kept: st.kept("to", "volume", "flow"), Send: "Show"}
	if _, animals := j.answer.Report.(templates.TrialReport); !animals {
		side.Asks = []desk.Ask{{Name: "to", Label: "Reading to clear to", Value: st.Flags.Get("to"), Hint: "With its unit, such as 10 NTU; what the log says where this is empty."},
			{Name: "volume", Label: "All water that goes round", Value: st.Flags.Get("volume"), Hint: "Where the log does not say, such as 60 m3."},
			{Name: "flow", Label: "Flow through the unit", Value: st.Flags.Get("flow"), Hint: "Where the log does not say, such as 12 m3/h."}}
	}
	switch answer, unit := j.answer.Report.(templates.ClearingReport); {
	case unit && len(answer.ForSite(j.answer.Options)) > 0 && st.formed():
		side.Plate = desk.Link{Title: "Put these figures into the site", Address: withQuery(st.at("/site"), changeKey, takesTrial)}
	default: // a workbook that was dropped, or a trial on animals, whose figures the form does not ask for
		side.More = []desk.Link{{Title: "To the site; these figures go into its workbook", Address: st.at("/site")}}
	}
	return side
}

// pastPage waits for past tests.
func (s *Server) pastPage(w http.ResponseWriter, st state) {
	p := s.pageOf(st, "/past")
	p.Command, p.Beforehand = CommandLine([]string{"track", pastFolder, "--raw", "85 NTU"}), inPast
	body, err := p.PastTests()
	s.write(w, p, body, err, http.StatusOK)
}

// inPast says where a command finds past tests that were dropped one by one.
const inPast = "The past tests stand in a folder named “" + pastFolder + "” for that: write the name of your own instead."

// beforehand is what a command line of the step needs that the page did not.
func (p step) beforehand(st state) string {
	for _, f := range st.read() {
		if f.Own != "" && slices.ContainsFunc(p.args(st), func(a string) bool { return a == f.Name }) {
			return "The file is called “" + f.Own + "” where it lies, a name that no page can use: write that name, or give the file this one."
		}
	}
	switch held := st.of(p.folders); {
	case p.folders == "" || len(held) == 0:
		return ""
	case slices.Contains(held, pastFolder):
		return inPast
	}
	return "That looks into folders within it too."
}

// forPast reports a form whose files are past tests.
func forPast(fields url.Values) bool { return fields.Get(forKey) == pastFolder }
