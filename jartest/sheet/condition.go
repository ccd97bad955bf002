package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A condition is what somebody set for a jar and did not read in it: how long it settled, how fast
// it was stirred, how warm it stood. Readings of jars under other conditions are no one curve.

// alikeness is a column that may hold one, with what it says of each jar.
type alikeness struct {
	name   string
	at     note.Place
	key    jartest.Key // "" for a column of text
	unit   words.Unit
	groups []jarsAlike // in the order of the sheet
	jars   int
	apart  bool // a dose comes again under another value
	inRuns bool // each value stands on lines that follow one another
}

// jarsAlike are the jars for which a column says the same.
type jarsAlike struct {
	text   string
	value  float64
	labels []string
}

// timesName heads what the numbers of a row are to be multiplied with, or diluted.
var timesName = words.NewPattern(`^(?:x|times|by|mal|veces|vezes|fois|por|dil)$|multipl|faktor|factor`)

// warmer is how far temperatures of jars of one series lie apart where they were not meant to
// be alike (rule of thumb, no source).
const warmer = 5

// conditionRules say which columns are conditions that differ; each is enough.
var conditionRules = []func(alikeness) bool{
	func(c alikeness) bool {
		return c.isTime() && !c.of("observed") && (c.few() || (c.of("settling") || c.of("waited")) && c.round())
	},
	func(c alikeness) bool { return c.unit.Kind == "" && c.of("settling") && c.few() && c.round() }, // "Settling | 15 | 30"
	func(c alikeness) bool { return c.unit.Kind == words.Speed },
	func(c alikeness) bool { return c.key == jartest.RecycleKey && c.floated() > 1 },
	func(c alikeness) bool { return timesName.MatchString(words.Fold(c.name)) },
	func(c alikeness) bool {
		return (c.of("handled") || layout.ReadHeading(c.name).Filtered) && c.few()
	},
	func(c alikeness) bool { return c.key == jartest.TemperatureKey && c.span() > warmer },
	func(c alikeness) bool { return c.key != jartest.TemperatureKey && c.few() && c.inRuns && c.apart },
}

// of reports a name with words of a kind.
func (c alikeness) of(kind string) bool { return spoken()[kind].in(words.Fold(c.name)) }

func (c alikeness) isTime() bool {
	return c.unit.Kind == words.Minutes && c.unit.Factor < 24*60
}

// floated counts the shares of white water above none: a control without has its own reason.
func (c alikeness) floated() (n int) {
	for _, g := range c.groups {
		if g.value > 0 {
			n++
		}
	}
	return n
}

// few reports values that several jars share, as those do that somebody set.
func (c alikeness) few() bool { return 2*len(c.groups) <= c.jars }

// round reports times in steps of five minutes, as those are that somebody set: what was
// seen comes as it comes (rule of thumb, no source).
func (c alikeness) round() bool {
	return !slices.ContainsFunc(c.groups, func(g jarsAlike) bool {
		span := g.value * cmp.Or(c.unit.Factor, 1)
		return span == 0 || math.Mod(span, 5) != 0
	})
}

func (c alikeness) span() float64 {
	least, most := c.groups[0].value, c.groups[0].value
	for _, g := range c.groups {
		least, most = min(least, g.value), max(most, g.value)
	}
	return most - least
}

// conditions speaks of what was set otherwise for some jars of a series than for others, once
// for all columns that say so.
func (b *bench) conditions(all []jartest.Series) {
	for _, s := range all {
		var said, remedies []string
		at := s.Place
		for _, c := range conditionsOf(s) {
			if len(c.groups) < 2 || !slices.ContainsFunc(conditionRules, func(holds func(alikeness) bool) bool { return holds(c) }) {
				continue
			}
			if f, ok := b.fieldAt(c.at); ok {
				c.name = f.Head.Text
				if len(said) == 0 {
					at = f.Place
				}
			}
			said = append(said, fmt.Sprintf("column %q differs between the jars (%s)", c.name, c.shown()))
			if c.key != jartest.RecycleKey { // without which the readings would not be corrected
				remedies = append(remedies, fmt.Sprintf(`--column "%s=ignore"`, c.name))
			}
		}
		if len(said) > 0 {
			b.say(note.Caution, "conditions-differ", at, "%s: they were not treated or read alike, and one curve mixes them", strings.Join(said, ", and ")).
				do(b, `give each its own series, by a column "test"%s`, ignoring(remedies))
		}
	}
}

// ignoring is how to leave out columns that do not matter; nothing where there are none.
func ignoring(remedies []string) string {
	if len(remedies) == 0 {
		return ""
	}
	return "; if it was seen and not set, or does not matter, leave it out with " + strings.Join(remedies, " ")
}

// fieldAt gives the column in which a jar has a cell.
func (b *bench) fieldAt(at note.Place) (field, bool) {
	for _, t := range b.tables {
		for _, f := range b.byTable[t] {
			if slices.ContainsFunc(t.Rows, func(r int) bool { return t.View.PlaceAt(r, f.C) == at }) {
				return f, true
			}
		}
	}
	return field{}, false
}

// shown gives the values with the jars that have them.
func (c alikeness) shown() string {
	var out []string
	for i, g := range c.groups {
		if i == 4 && len(c.groups) > 5 {
			out = append(out, "…")
			break
		}
		out = append(out, g.text+" in "+clip(strings.Join(g.labels, ", ")))
	}
	return strings.Join(out, "; ")
}

// conditionsOf lists the columns of a series that say something of every jar and are no
// readings of a known kind.
func conditionsOf(s jartest.Series) []alikeness {
	var out []alikeness
	doses := make([]string, len(s.Jars))
	for i, j := range s.Jars {
		doses[i] = dosesOf(j)
	}
	for _, k := range s.Keys() {
		if k.Known() && k != jartest.TemperatureKey || k.Base() != k {
			continue
		}
		if c := (alikeness{name: strings.ReplaceAll(string(k), "_", " "), key: k, at: s.Jars[0].Readings.Of(k).At}); c.fill(s, doses, c.ofReading) {
			out = append(out, c)
		}
	}
	for _, f := range s.Jars[0].Said {
		if c := (alikeness{name: f.Name, at: f.At}); c.fill(s, doses, c.ofText) {
			out = append(out, c)
		}
	}
	return out
}

// ofReading gives what a jar has under a name of its own; a time of day is no span of time,
// but how long something settled can be written as one, "0:15".
func (c *alikeness) ofReading(j jartest.Jar) (jarsAlike, words.Unit, bool) {
	r, ok := j.Readings.Get(c.key)
	ok = ok && r.State == jartest.Number
	if strings.Contains(r.Text, ":") {
		return jarsAlike{text: r.Text}, words.Unit{Kind: words.Minutes, Factor: 1}, ok && c.lasts()
	}
	u, _ := words.OnlyUnit(r.Unit)
	return jarsAlike{text: strings.TrimSpace(trimFloat(r.Value) + " " + u.Name), value: r.Value}, u, ok
}

// lasts reports a name for how long something was done.
func (c alikeness) lasts() bool { return c.of("settling") || c.of("stirring") }

// ofText gives what a jar has in a column of text; "1 h" is 60 min.
func (c *alikeness) ofText(j jartest.Jar) (jarsAlike, words.Unit, bool) {
	i := slices.IndexFunc(j.Said, func(f jartest.Fact) bool { return f.Name == c.name })
	if i < 0 {
		return jarsAlike{}, words.Unit{}, false
	}
	v := layout.ParseText(j.Said[i].Value, layout.DecimalsUnknown)
	if !v.OK() || v.Unit.Kind != words.Minutes {
		return jarsAlike{text: j.Said[i].Value}, words.Unit{}, true
	}
	span := v.Num * v.Unit.Factor
	return jarsAlike{text: trimFloat(span) + " " + inMinutes.Name, value: span}, inMinutes, true
}

var inMinutes, _ = words.OnlyUnit("min")

// mostConditions is how many ways of treating jars one series can have; what has more
// values was read, or tells jars apart.
const mostConditions = 12

// fill puts the jars of a series into groups by what a column says of each; it is false
// where it says nothing of one, or too much. The doses are those of each jar, by [dosesOf].
func (c *alikeness) fill(s jartest.Series, doses []string, of func(jartest.Jar) (jarsAlike, words.Unit, bool)) bool {
	under := map[string]string{} // what was said where a dose came first
	last := ""
	c.inRuns = true
	for i, j := range s.Jars {
		said, unit, ok := of(j)
		if !ok || len(c.groups) > mostConditions {
			return false
		}
		g := slices.IndexFunc(c.groups, func(g jarsAlike) bool { return g.text == said.text })
		if g < 0 {
			g = len(c.groups)
			c.groups = append(c.groups, said)
		} else if said.text != last {
			c.inRuns = false
		}
		c.groups[g].labels = append(c.groups[g].labels, j.Label)
		dose := doses[i]
		was, again := under[dose]
		c.apart = c.apart || again && was != said.text
		under[dose], last, c.unit, c.jars = said.text, said.text, unit, c.jars+1
	}
	return true
}

// dosesOf tells jars of other doses, or set to another pH, apart.
func dosesOf(j jartest.Jar) string {
	s := []byte{}
	if len(j.Settings) > 0 {
		s = fmt.Append(s, j.Settings)
	}
	for _, d := range j.Doses {
		s = strconv.AppendFloat(strconv.AppendBool(append(s, ';'), d.Known), float64(d.Concentration), 'g', -1, 64)
	}
	return string(s)
}
