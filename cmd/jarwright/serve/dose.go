package serve

import (
	"bytes"
	"cmp"
	"encoding/json"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/templates"
	"jarwright/templates/desk"
	"jarwright/templates/figure"
)

// goalKey is the question of a form for the target that a dose is read off at; the other targets stay.
const goalKey = "goal"

const goalHint = "5 is “turbidity <= 5 NTU”, 90 % is “turbidity removal >= 90 %”. Any other target in full, such as “ph >= 6.5”."

// sureStops are how sure a dose can be asked to be; nothing said is 9 in 10.
var sureStops = []desk.Stop{{Value: "1 in 2", Says: "1 time in 2"}, {Value: "3 in 4", Says: "3 times in 4"}, {Value: "", Says: "9 times in 10"},
	{Value: "19 in 20", Says: "19 times in 20"}, {Value: "99 in 100", Says: "99 times in 100"}}

// asTarget is a target as the command line takes it, from what was typed in the form.
func asTarget(typed string) string {
	t := strings.NewReplacer(" at most ", " <= ", " at least ", " >= ").Replace(strings.Join(strings.Fields(typed), " "))
	switch m := bareGoal.FindStringSubmatch(t); {
	case m == nil:
		return t
	case m[2] == "%":
		return "turbidity removal >= " + m[1] + " %"
	default:
		return "turbidity <= " + m[1] + " " + cmp.Or(m[2], "NTU")
	}
}

var bareGoal = regexp.MustCompile(`^(\d+(?:[.,]\d+)?) ?(%|NTU|FNU|)$`)

// fitted is what the page needs of the document of fit.
type fitted struct {
	Series []struct {
		Response  string
		Targets   []string
		Reference struct{ Value float64 }
		Best      struct{ Reading *float64 }
		Jars      []struct {
			Reading *float64
			Used    bool
		}
		Planning *struct{} `json:"planning_dose"`
		Surface  *struct {
			Planning *struct{} `json:"planning_pair"`
		}
	}
}

// documentOf reads the document that a command gives programs.
func documentOf(r templates.Report, into any) bool {
	var b bytes.Buffer
	return r != nil && figure.WriteJSON(&b, r.JSON()) == nil && json.Unmarshal(b.Bytes(), into) == nil
}

// besideDose are the sliders for the target and the sureness, what to test next, and the way to the site.
func (s *Server) besideDose(r *http.Request, st state, j *job) desk.Side {
	side := desk.Side{Action: "/dose", Kept: st.kept("sure"), Send: "Show", Short: s.short(r, st, "/next")}
	var doc fitted
	if documentOf(j.answer.Report, &doc) && len(doc.Series) > 0 {
		x := doc.Series[0]
		if len(x.Targets) > 0 {
			readings := []float64{x.Reference.Value}
			for _, jar := range x.Jars {
				if jar.Reading != nil && jar.Used {
					readings = append(readings, *jar.Reading)
				}
			}
			if slide, ok := goalSlide(x.Targets[0], x.Best.Reading, x.Reference.Value, readings); ok {
				side.Slides = append(side.Slides, slide)
			}
			side.Asks = append(side.Asks, desk.Ask{Name: goalKey, Label: "Target", Value: x.Targets[0], Hint: goalHint})
		}
		for _, y := range doc.Series {
			if y.Planning != nil || y.Surface != nil && y.Surface.Planning != nil {
				side.Plate = toSite(st)
			}
		}
	}
	now := st.Flags.Get("sure")
	sure := desk.Slide{Name: "sure", Label: "How sure it must be", Stops: slices.Clone(sureStops)}
	if sure.At = slices.IndexFunc(sure.Stops, func(x desk.Stop) bool { return x.Value == now }); sure.At < 0 {
		sure.At = len(sure.Stops)
		sure.Stops = append(sure.Stops, desk.Stop{Value: now, Says: now})
	}
	side.Slides = append(side.Slides, sure)
	side.Asks = append(side.Asks, desk.Ask{Name: "sure", Label: "How sure it must be", Value: now, Choices: sure.Stops})
	return side
}

// toSite leads on with the dose: into the form of a site, new or being put right. A workbook that was dropped says itself what its
// dose has to reach, and how sure; where the page was asked otherwise the link says so.
func toSite(st state) desk.Link {
	switch {
	case len(st.of(desk.Answers)) > 0:
		return desk.Link{Title: "Take this dose to the site", Address: withQuery(st.at("/site"), "change", "1")}
	case len(st.of(desk.Site)) == 0:
		return desk.Link{Title: "Take this dose to the site", Address: st.at("/site")}
	case st.Flags.Has("target") || st.Flags.Has("sure"):
		return desk.Link{Title: "To the site, whose workbook keeps its own target and sureness", Address: st.at("/site")}
	}
	return desk.Link{Title: "To the site", Address: st.at("/site")}
}

// besideNext are the same questions beside the jars of the next test.
func (s *Server) besideNext(_ *http.Request, st state, _ *job) desk.Side {
	return desk.Side{Action: "/next", Kept: st.kept("jars"), Send: "Show",
		Asks: []desk.Ask{{Name: "jars", Label: "Jars in the next test", Value: cmp.Or(st.Flags.Get("jars"), "6")}},
		More: []desk.Link{{Title: "The dose that these jars are to narrow", Address: st.at("/dose")}}}
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
