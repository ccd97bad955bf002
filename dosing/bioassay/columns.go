package bioassay

import (
	"regexp"
	"strconv"
	"strings"

	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// role is what a column of a trial holds.
type role string

const (
	noRole  role = ""
	dead    role = "dead"
	alive   role = "alive"
	timed   role = "time"
	animals role = "animals"
	dosed   role = "dose"
	group   role = "group"
	beside  role = "beside" // kept with a trial, and nothing that its answer needs
)

// headings are the words that a column is told by, the first row that has one of a heading's words.
var headings = []struct {
	role  role
	words string
}{
	{beside, "stock remark remarks note notes temperature temp ph oxygen ammonia tan conductivity salinity behaviour behavior replacement weight length moulted molted sick"},
	{alive, "alive survivors survivor survived surviving survival living live vivos vivants"},
	{dead, "dead deaths death died dying mortality mortalities mort killed losses muertos morts"},
	{dosed, "dose doses dosed concentration concentrations conc nominal dosis concentracion"},
	{timed, "time hours elapsed exposure"},
	{animals, "animals animal number stocked exposed total fish fry fingerlings shrimp prawns crabs larvae postlarvae individuals n animales"},
	{group, "group tank aquarium bucket vessel treatment name replicate repeat water trough basket"},
}

// column is a column with what its heading says.
type column struct {
	at   int
	text string
	role role
	// hour is when it was counted; not given where the heading does not tell.
	hour quantity.Known[quantity.Time]
	// share is true of deaths given in percent.
	share bool
	// unit is that of doses, with what they count.
	unit string
}

var (
	hourWords = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*-?\s*(hours?|hrs?|hr|h|days?|d|minutes?|min)\b`)
	inBracket = regexp.MustCompile(`[(\[]([^()\[\]]*)[)\]]`)
	letters   = regexp.MustCompile(`[\p{L}]+`)
)

// unitsOfTime are how many hours each word for a time is.
var unitsOfTime = []struct {
	begins string
	hours  quantity.Time
}{{"h", 1}, {"d", 24}, {"m", 1.0 / 60}}

// hourIn finds a time in folded text.
func hourIn(text string) (t quantity.Known[quantity.Time]) {
	m := hourWords.FindStringSubmatch(text)
	if m == nil {
		return t
	}
	n, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
	for _, u := range unitsOfTime {
		if err == nil && strings.HasPrefix(m[2], u.begins) {
			return quantity.Some(quantity.Time(n) * u.hours)
		}
	}
	return t
}

// longestHeading is how long a heading may be.
const longestHeading = 60

// unitIn is the unit of a heading: in brackets, or what is one behind its words.
func unitIn(text string) string {
	if b := inBracket.FindStringSubmatch(text); b != nil {
		return strings.TrimSpace(b[1])
	}
	parts := strings.Fields(text)
	for i := range parts {
		unit := strings.Join(parts[i:], " ")
		if _, err := quantity.ParseDose("1 " + unit); err == nil {
			return unit
		}
	}
	return ""
}

// timeUnitIn is the word for a time in a heading that holds no number: "Dead (h)", "Dead after days".
func timeUnitIn(text string) string {
	for _, w := range letters.FindAllString(words.Fold(text), -1) {
		if hourWords.MatchString("1 " + w) {
			return w
		}
	}
	return ""
}

// columnOf reads a heading; it is of no role where none of its words is known.
func columnOf(at int, text string) column {
	c := column{at: at, text: strings.Join(strings.Fields(text), " ")}
	folded := words.Fold(c.text)
	c.hour = hourIn(folded)
	c.unit = unitIn(c.text)
	if len(c.text) > longestHeading {
		return c // a sentence
	}
	said := letters.FindAllString(folded, -1)
	for _, h := range headings {
		for _, w := range strings.Fields(h.words) {
			if c.role != noRole {
				break
			}
			for _, s := range said {
				if s == w {
					c.role = h.role
				}
			}
		}
	}
	if c.role == noRole && c.hour.OK {
		c.role = dead // "24 h" alone, beside columns that say more
	}
	c.share = strings.Contains(c.text, "%") || strings.Contains(folded, "percent")
	return c
}
