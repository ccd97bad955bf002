package serve

import (
	"cmp"
	"context"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/desk"
	"jarwright/templates/plain"
)

// goalKey is the question of a form for the target that a dose is read off at; the other targets stay.
const goalKey = "goal"

// goalHint says what may be typed as a target for a reading.
func goalHint(of jartest.Key) string {
	return "5 is “" + plain.Paper(goalOf(of, "5", "")) + "”, 90 % is “" + plain.Paper(goalOf(of, "90", "%")) + "”. Any other target in full, such as “ph at least 6.5”."
}

// sureStops are how sure a dose can be asked to be; nothing said is 9 in 10.
var sureStops = []desk.Stop{{Value: "1 in 2", Says: "1 time in 2"}, {Value: "3 in 4", Says: "3 times in 4"}, {Value: "", Says: "9 times in 10"},
	{Value: "19 in 20", Says: "19 times in 20"}, {Value: "99 in 100", Says: "99 times in 100"}}

// asTarget is a target as the command line takes it, from what was typed in the form; a number alone is of that reading, where the
// sheet has one that is plain.
func asTarget(typed string, of jartest.Key) string {
	t := strings.TrimSpace(strings.TrimSuffix(asSaid(typed), "."))
	t = strings.TrimSpace(atMost.ReplaceAllString(t, ""))
	if m := bareGoal.FindStringSubmatch(t); m != nil && of != "" {
		return goalOf(of, m[1], m[2])
	}
	if m := unitless.FindStringSubmatch(t); m != nil { // what a known reading is counted in stands beside its name everywhere
		if k := jartest.Key(jartest.Slug(m[1])); k.Known() && k.Info().Unit != "" {
			t += " " + k.Info().Unit
		}
	}
	return t
}

// unitless is a target with a number alone.
var unitless = regexp.MustCompile(`^(.+?) (?:<=|>=) \d+(?:\.\d+)?$`)

// asSaid is a target with the words and the decimal commas that people write as the command line has them.
func asSaid(typed string) string {
	said := " " + strings.NewReplacer("≤", "<=", "≥", ">=").Replace(strings.Join(strings.Fields(typed), " "))
	for _, w := range boundWords {
		said = w.of.ReplaceAllString(said, w.op)
	}
	return pointedIn(strings.Join(strings.Fields(said), " "))
}

// boundWords are what people write for the two signs of a target.
var boundWords = []struct {
	of *regexp.Regexp
	op string
}{
	{regexp.MustCompile(`(?i) (?:at most|no more than|not more than|less than|below|under|up to) `), " <= "},
	{regexp.MustCompile(`(?i) (?:at least|no less than|not less than|more than|above|over) `), " >= "},
	{regexp.MustCompile(` ?< ?=? ?`), " <= "},
	{regexp.MustCompile(` ?> ?=? ?`), " >= "},
}

// atMost begins a target that names no reading.
var atMost = regexp.MustCompile(`^<= `)

var bareGoal = regexp.MustCompile(`^(\d+(?:\.\d+)?) ?(%|(?i:NTU|FNU)|)$`)

// goalOf is the target for a reading, of which little is good, to come to a number, or to be taken out by so many per cent.
func goalOf(of jartest.Key, number, unit string) string {
	name := strings.ReplaceAll(string(of), "_", " ")
	if unit == "%" {
		return name + " removal >= " + number + " %"
	}
	return strings.TrimSpace(name + " <= " + number + " " + cmp.Or(strings.ToUpper(unit), of.Info().Unit))
}

// goalReading is the reading that a bare number can only be a target of: turbidity where the jars have it, else the only one of
// which little is good; empty where that is not plain.
func (s *Server) goalReading(r *http.Request, st state) jartest.Key {
	j, err := s.run(st, stepArgs("/bench", st), client(r))
	if err != nil || !j.wait(r.Context()) || j.answer.Report == nil {
		return jartest.Turbidity
	}
	return once(j, "reading", j.goalReading)
}

// goalReading is that of the document of read.
func (j *job) goalReading() jartest.Key {
	var doc struct {
		Series []struct {
			Jars []struct{ Readings map[jartest.Key]any }
		}
	}
	j.document(&doc)
	found := map[jartest.Key]bool{}
	for _, x := range doc.Series {
		for _, jar := range x.Jars {
			for k := range jar.Readings {
				if k.Known() && k.Info().LowIsGood {
					found[k] = true
				}
			}
		}
	}
	switch {
	case found[jartest.Turbidity] || len(found) == 0:
		return jartest.Turbidity
	case len(found) == 1:
		for k := range found {
			return k
		}
	}
	return ""
}

// fitted is what the page needs of the document of fit.
type fitted struct{ Series []fittedSeries }

type fittedSeries struct {
	Name, File, Sheet, Response string
	Targets                     []string
	Reference                   struct{ Value float64 }
	Best                        struct{ Reading *float64 }
	Jars                        []struct {
		Reading *float64
		Used    bool
	}
	Planning *struct{} `json:"planning_dose"`
	Surface  *struct {
		Planning *struct{} `json:"planning_pair"`
	}
}

// fitted reads the document of fit.
func (j *job) fitted() fitted {
	return once(j, "fitted", func() (doc fitted) {
		j.document(&doc)
		return doc
	})
}

// besideDose are the sliders for the target and the sureness, what to test next, and the way to the site.
func (s *Server) besideDose(r *http.Request, st state, j *job) desk.Side {
	side := desk.Side{Action: "/dose", Kept: st.kept("sure"), Send: "Show", Short: s.short(r, st, "/next"), Slides: slidesOf(st, j)}
	if doc := j.fitted(); len(doc.Series) > 0 {
		if t := doc.Series[0].Targets; len(t) > 0 {
			side.Asks = append(side.Asks, s.askGoal(r, st, t[0], ""))
		}
		var doubts note.List
		given := map[string]bool{}
		for _, y := range doc.Series {
			if y.Planning != nil || y.Surface != nil && y.Surface.Planning != nil {
				if asked := templates.UnitDoubts(j.answer.Report, y.File, y.Sheet); len(asked) > 0 {
					doubts = append(doubts, asked...)
					continue
				}
				side.Plate = toSite(st)
				given[y.File] = true
				if x := tests(doc.Series, y); x != "" && st.formed() {
					to := side.Plate
					to.Title = "Take the dose of “" + x + "” to the site"
					to.Address = withQuery(to.Address, seriesKey, x)
					side.Plates = append(side.Plates, to)
				}
			}
		}
		if use := st.usable(given); len(use) > 0 && side.Plate.Address != "" { // a site that is planned on another sheet
			side.Plates = append(use, append([]desk.Link{side.Plate}, side.Plates...)...)
		}
		if len(doubts) > 0 { // which goes before any dose, and before more jars
			if side.Plate.Address == "" {
				side.Short = nil
			} else if len(side.Plates) == 0 {
				side.Plates = []desk.Link{side.Plate}
			}
			side.Plates = slices.Insert(side.Plates, 0, s.changeUnit(r, st, doubts[0].Place))
		}
		if len(side.Plates) > 0 {
			side.Plate, side.Plates = side.Plates[0], side.Plates[1:]
		}
	}
	if goal := st.Flags.Get("target"); goal != "" && j.answer.Report == nil { // whatever is wrong, the field stays, and its slider with it
		wrong := ""
		for _, n := range note.Of(j.answer.Err, "wrong") {
			if strings.Contains(n.Message, "--target") {
				wrong = sentence(n.Message, n.Remedy)
			}
		}
		side.Asks = append(side.Asks, s.askGoal(r, st, goal, wrong))
		before := st.set("target", "")
		if had, err := s.run(before, stepArgs("/dose", before), client(r)); err == nil && had.wait(r.Context()) {
			side.Slides = slidesOf(st, had)
		}
	}
	sure := side.Slides[len(side.Slides)-1]
	side.Asks = append(side.Asks, desk.Ask{Name: "sure", Label: sure.Label, Value: sure.Stops[sure.At].Value, Choices: sure.Stops})
	return side
}

// changeUnit leads to the page on which a column is said to be of another unit, or of this one.
func (s *Server) changeUnit(r *http.Request, st state, at note.Place) desk.Link {
	to := desk.Link{Title: "Change the unit", Address: st.at("/bench")}
	j, err := s.run(st, stepArgs("/bench", st), client(r))
	if err != nil || !j.wait(r.Context()) {
		return to
	}
	read, _ := j.answer.Report.(templates.ReadCells)
	for _, x := range read.Account.Sheets {
		for _, c := range x.Columns {
			if x.Place.File == at.File && x.Place.Sheet == at.Sheet && c.At == at.Cell {
				unit, _, _ := strings.Cut(c.Unit, " ")
				to.Address = withQuery(withQuery(st.at("/change"), "of", c.Heading), "unit", unit)
			}
		}
	}
	return to
}

// tests is the name of a series among several; empty where there is one, or no name.
func tests(all []fittedSeries, of fittedSeries) string {
	if len(all) < 2 {
		return ""
	}
	return cmp.Or(of.Name, of.Sheet)
}

// askGoal is the question for the target.
func (s *Server) askGoal(r *http.Request, st state, now, wrong string) desk.Ask {
	return desk.Ask{Name: goalKey, Label: "Target", Value: now, Wrong: wrong, Hint: goalHint(cmp.Or(s.goalReading(r, st), jartest.Turbidity))}
}

// slidesOf are the sliders of a dose: the target, where it has one bound, and how sure the dose must be.
func slidesOf(st state, j *job) (out []desk.Slide) {
	if doc := j.fitted(); len(doc.Series) > 0 && len(doc.Series[0].Targets) > 0 {
		x := doc.Series[0]
		readings := []float64{x.Reference.Value}
		for _, jar := range x.Jars {
			if jar.Reading != nil && jar.Used {
				readings = append(readings, *jar.Reading)
			}
		}
		if slide, ok := goalSlide(x.Targets[0], x.Best.Reading, x.Reference.Value, readings); ok {
			out = append(out, slide)
		}
	}
	now := st.Flags.Get("sure")
	sure := desk.Slide{Name: "sure", Label: "How sure it must be", Stops: slices.Clone(sureStops)}
	if sure.At = slices.IndexFunc(sure.Stops, func(x desk.Stop) bool { return x.Value == now }); sure.At < 0 {
		sure.At = len(sure.Stops)
		sure.Stops = append(sure.Stops, desk.Stop{Value: now, Says: now})
	}
	return append(out, sure)
}

// slid is the state with the slider of that name at a stop.
func (st state) slid(name, value string) state {
	if name != goalKey {
		return st.set(name, value)
	}
	st = st.clone()
	rest := st.Flags["target"]
	st.Flags["target"] = append([]string{value}, rest[min(1, len(rest)):]...)
	return st
}

// mostAhead bounds the answers that are worked out before anybody asks.
const mostAhead = 24

// ahead has the answers of the sliders' other stops worked out while nothing else is asked, the nearest first, so that a slider
// that is moved meets an answer which is there.
func (s *Server) ahead(p step, st state, j *job) {
	if p.path != "/dose" || j.answer.Report == nil || !once(j, "ahead", func() *atomic.Bool { return new(atomic.Bool) }).CompareAndSwap(false, true) {
		return
	}
	type stop struct {
		call
		far int
	}
	var all []stop
	for _, x := range slidesOf(st, j) {
		for i, at := range x.Stops {
			to := st.slid(x.Name, at.Value)
			args := p.args(to)
			run := func(ctx context.Context, told func(func() string)) Answer {
				return s.Program(ctx, Call{Args: args, Files: to.read(), Told: told, Reads: s.reads})
			}
			then := func(j *job) {
				_, _, _ = j.matter(to) // kept with the answer, errors too
				j.fitted()
			}
			if i != x.At {
				all = append(all, stop{call{runKey(to, args), to.contents(), run, then}, max(i-x.At, x.At-i)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b stop) int { return cmp.Compare(a.far, b.far) })
	var list []call
	for _, x := range all[:min(len(all), mostAhead)] {
		list = append(list, x.call)
	}
	s.works.later(list)
}

// toSite leads on with the dose: into the form of a site, new or being put right. A workbook that was dropped says itself what its
// dose has to reach, and how sure; where the page was asked otherwise the link says so.
func toSite(st state) desk.Link {
	switch {
	case len(st.of(desk.Answers)) > 0:
		return desk.Link{Title: "Take this dose to the site", Address: withQuery(st.at("/site"), changeKey, takesDose)}
	case len(st.of(desk.Site)) == 0:
		return desk.Link{Title: "Take this dose to the site", Address: st.at("/site")}
	case st.Flags.Has("target") || st.Flags.Has("sure"):
		return desk.Link{Title: "To the site, whose workbook keeps its own target and sureness", Address: st.at("/site")}
	}
	return desk.Link{Title: "To the site", Address: st.at("/site")}
}

// besideNext are the same questions beside the jars of the next test.
func (s *Server) besideNext(_ *http.Request, st state, _ *job) desk.Side {
	side := desk.Side{Action: "/next", Kept: st.kept("jars"), Send: "Show",
		Asks: []desk.Ask{{Name: "jars", Label: "Jars in the next test", Value: cmp.Or(st.Flags.Get("jars"), "6")}},
		More: []desk.Link{{Title: "The dose that these jars are to narrow", Address: st.at("/dose")}}}
	if fill, one := st.toFillNext(); one {
		side.Plates = append(side.Plates, fill)
	}
	return side
}

// bounded is a target with one bound: what, which way, how much, and of what unit.
var bounded = regexp.MustCompile(`^(.+?) *(<=|>=) *(\d+(?:\.\d+)?) *(.*)$`)

// goalSlide is the slider of a target with one bound, between the best that the jars come to and the worst that they read.
func goalSlide(target string, best *float64, reference float64, readings []float64) (s desk.Slide, ok bool) {
	m := bounded.FindStringSubmatch(target)
	if m == nil || best == nil {
		return s, false
	}
	now, err := strconv.ParseFloat(m[3], 64)
	if err != nil {
		return s, false
	}
	var at []float64
	switch low, high := slices.Min(readings), slices.Max(readings); {
	case m[4] == "%" && reference > 0 && strings.HasSuffix(m[1], " removal"):
		at = niceRemovals(100 * (1 - *best/reference))
	case m[2] == "<=":
		at = niceBetween(*best, max(high, *best))
	default:
		at = niceBetween(low, max(*best, low))
	}
	if !slices.Contains(at, now) {
		at = append(at, now)
		slices.Sort(at)
	}
	if len(at) < 2 {
		return s, false
	}
	way := map[string]string{"<=": "at most", ">=": "at least"}[m[2]]
	s = desk.Slide{Name: goalKey, Label: strings.ToUpper(m[1][:1]) + m[1][1:] + ", " + way, At: slices.Index(at, now)}
	for _, v := range at {
		n := strings.TrimSpace(strconv.FormatFloat(v, 'f', -1, 64) + " " + m[4])
		s.Stops = append(s.Stops, desk.Stop{Value: m[1] + " " + m[2] + " " + n, Says: n})
	}
	return s, true
}

// steps of the scales, as people set targets.
var (
	decade   = []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8}
	removals = []float64{30, 40, 50, 60, 70, 75, 80, 85, 90, 92, 94, 95, 96, 97, 98, 99, 99.5, 99.9}
)

// niceRemovals are the shares up to the most that comes out, in per cent.
func niceRemovals(most float64) []float64 {
	return slices.DeleteFunc(slices.Clone(removals), func(v float64) bool { return v > most })
}

// niceBetween are round values between two: by ratio where they lie far apart, else in even steps.
func niceBetween(low, high float64) (out []float64) {
	const far, most = 3, 14
	if low > 0 && high > far*low {
		for p := math.Floor(math.Log10(low)); p <= math.Ceil(math.Log10(high)); p++ {
			for _, d := range decade {
				if v := round(d * math.Pow(10, p)); v >= low && v <= high {
					out = append(out, v)
				}
			}
		}
		return out
	}
	if high <= low {
		return nil
	}
	step := math.Pow(10, math.Floor(math.Log10((high-low)/most)))
	for _, d := range []float64{1, 2, 2.5, 5, 10} {
		if step *= d; (high-low)/step <= most {
			break
		}
		step /= d
	}
	for k := math.Ceil(low / step); k*step <= high; k++ {
		out = append(out, round(k*step))
	}
	return out
}

// round takes off what powers of ten leave behind the digits.
func round(v float64) float64 {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 9, 64), 64)
	return r
}
