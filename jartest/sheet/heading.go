package sheet

import (
	"regexp"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// heading is what the words of a header cell, or of several above one another, say.
type heading struct {
	text string
	unit words.Unit

	jar, dose, stock, neat, chemical, replicate, test, note, date, clock, speed bool
	change, dilution                                                            bool
	unitColumn, parameter, value, target, qualifier, old                        bool
	volume, strength, density, recycle, product, all, operator, next            bool
	removal, logRemoval, filtered, control, raw, summary, chosen                bool

	reading  jartest.Key
	chem     string   // canonical name of a chemical
	chems    []string // all that are named, where one is no part of another
	scale    string   // "log" in "log turbidity"
	readings []string // every reading that is named
	top      float64  // the end of the meter's range, "max 1000"
	place    string   // "pond B": the water that a reading is of
	said     bool     // the user says what the column is
	metal    string   // "Al" or "Fe" by itself
	stage    string   // "before", "after", "set"
	stat     string   // "mean", "sd", "n", "other", "sum"

	index   string  // a lone number or letter at the end: Turb 1, NTU B
	minutes float64 // settling time, with timed
	timed   bool
	extra   string   // everything besides the reading that can tell two columns of a kind apart
	rest    string   // words that the vocabulary does not hold
	amount  bool     // holds a number with its unit, as "alum 35 mg/L" does
	near    []string // words read in spite of a spelling slip, "Allum → alum"
	number  bool     // a number that is not an index
}

var (
	timeIn    = regexp.MustCompile(`(?:@|\bt ?= ?|\bafter\b|\bat\b)?\s*(\d+(?:[.,]\d+)?) ?-?(minutes?|mins?|min|m|hours?|hrs?|hr|h|seconds?|secs?|sec|s|minuten|minutos?|stunden|std|horas?|phut|menit|jam|分钟|นาที|')(?:[^a-z0-9]|$)`)
	poreSize  = regexp.MustCompile(`(?:^|[^0-9.,])0?[.,](?:45|2|7|22)\d* ?(?:um|micron|mic)?\b|\b1[.,][02] ?um\b|\bgf ?/ ?[acf]\b`)
	meterTop  = regexp.MustCompile(`\b(?:meter|instrument|range|max\.?|maximum|upper limit)(?: (?:max\.?|maximum|limit|range|goes|reads|to|up))* ?(?:is |of |=|to )?(\d[\d,]*)(?: ;+)?`)
	nm254     = regexp.MustCompile(`\b254 ?nm\b`)
	tailIndex = regexp.MustCompile(`(?:^|[\s(#_.-])([a-h]|\d{1,2}|i{1,3}|iv|1st|2nd|3rd)\)?$`)
	numberIn  = regexp.MustCompile(`\d+(?:[.,]\d+)?`)
)

// readHeading takes a header text apart. What it gives is shared: its lists must not
// be changed.
func readHeading(text string) heading { return headingsOf.Of(text, takeApart) }

var headingsOf words.Memory[string, heading]

func takeApart(text string) heading {
	h := heading{text: strings.Join(strings.Fields(text), " ")}
	if len(text) > 400 {
		return h
	}
	s := words.Fold(text)
	if ps := words.Whole(s); len(ps) > 0 && len(words.Tokens(s)) == 0 { // signs such as #
		for _, p := range ps {
			h.add(words.Hit{Phrase: p})
		}
		return h
	}
	s = words.Fold(h.takeUnits(text))
	if poreSize.MatchString(s) {
		h.filtered = true
		s = poreSize.ReplaceAllString(s, " ")
	}
	s = nm254.ReplaceAllString(s, "254")
	if m := meterTop.FindStringSubmatchIndex(s); m != nil {
		h.top, _ = strconv.ParseFloat(strings.ReplaceAll(s[m[2]:m[3]], ",", ""), 64)
		s = s[:m[0]] + " " + s[m[1]:]
	}
	if m := timeIn.FindStringSubmatchIndex(s); m != nil {
		if x, err := strconv.ParseFloat(strings.Replace(s[m[2]:m[3]], ",", ".", 1), 64); err == nil {
			h.timed, h.minutes = true, x*minuteFactor(s[m[4]:m[5]])
			s = s[:m[2]] + strings.Repeat(" ", m[5]-m[2]) + s[m[5]:]
		}
	}
	used := make([]bool, len(s))
	hits := words.Find(s)
	longest := 0
	for _, x := range hits {
		if strings.HasPrefix(x.Concept, "reading:") {
			longest = max(longest, x.To-x.From)
		}
	}
	for _, x := range hits {
		if strings.HasPrefix(x.Concept, "reading:") {
			h.readings = append(h.readings, strings.TrimPrefix(x.Concept, "reading:"))
		}
		if strings.HasPrefix(x.Concept, "reading:") && x.To-x.From < longest {
			for i := x.From; i < x.To; i++ {
				used[i] = true
			}
			continue
		}
		h.add(x)
		for i := x.From; i < x.To; i++ {
			used[i] = true
		}
		if x.Near != "" {
			h.near = append(h.near, x.Near+" as "+x.Text)
		}
	}
	if m := tailIndex.FindStringSubmatchIndex(strings.TrimRight(s, " ,.;()[]")); m != nil && !used[m[2]] {
		h.index = s[m[2]:m[3]]
	}
	salt := ""
	if h.chem == "" {
		salt = words.Salt(s)
	}
	if salt != "" {
		h.chem, h.chems, h.metal = salt, []string{salt}, ""
	}
	counts := map[string]bool{} // the words of what is counted, as in "as alum 14-hydrate"
	if _, said, ok := strings.Cut(s, " as "); ok {
		if as, ok := words.As(said); ok {
			for _, k := range words.Tokens(as) {
				counts[k.Text] = true
			}
		}
	}
	var rest []string
	for _, t := range words.Tokens(s) {
		if counts[t.Text] {
			continue
		}
		if salt != "" && words.SaltWord(t.Text) {
			continue
		}
		if scaleWords[t.Text] && !used[t.From] {
			h.scale = t.Text
			continue
		}
		if used[t.From] || stopWord(t.Text) || t.Text == h.index {
			continue
		}
		if numberIn.FindString(t.Text) == t.Text {
			h.number = true
		}
		rest = append(rest, t.Text)
	}
	h.rest = strings.Join(rest, " ")
	if h.reading == jartest.TemperatureKey && !h.unit.Known() && (h.index == "c" || h.index == "f") {
		h.unit, _ = words.OnlyUnit("°" + strings.ToUpper(h.index))
	}
	h.extra = extraWords(hits, rest)
	for _, x := range hits {
		if x.Concept == "place" {
			h.place = strings.TrimSpace(x.Text + " " + strings.ToUpper(h.index))
		}
	}
	h.settle()
	return h
}

// takeUnits notes the unit of the heading and gives the text without its units.
// Spans and widths that stand with a number ("20 min", "0.45 um") stay: they are
// conditions, not units.
func (h *heading) takeUnits(text string) string {
	masked, named := []byte(text), ""
	for _, u := range words.Units(text) {
		number, counted := words.NumberBefore(text, u.From)
		if counted && (u.Kind == words.Minutes || u.Kind == words.Length) {
			continue
		}
		if !h.unit.Known() || h.unit.Kind == words.NoUnit || h.unit.Kind == words.Minutes && u.Kind != words.Minutes || h.amount && !counted {
			h.unit, h.amount = u.Unit, counted
		}
		from := u.From
		if at := strings.LastIndex(text[:u.From], number); counted && at >= 0 && amounts[u.Kind] {
			from = at
		}
		for i := from; i < u.To; i++ {
			masked[i] = ';'
		}
		if u.Word != "" {
			named += " " + u.Word
		}
	}
	return string(masked) + named
}

// amounts are the kinds whose numbers in a heading are no index of repeats.
var amounts = map[words.Kind]bool{words.Percent: true, words.Volume: true, words.Conc: true, words.Mass: true}

// extraWords joins what a heading says besides the kind of reading.
func extraWords(hits []words.Hit, rest []string) string {
	seen := map[string]bool{}
	var out []string
	for _, x := range hits {
		kind, name, _ := strings.Cut(x.Concept, ":")
		switch {
		case kind == "reading", kind == "label", kind == "place", x.Concept == "role:replicate", x.Concept == "role:test", x.Concept == "role:value", x.Concept == "role:jar", x.Concept == "stat:mean", kind == "meta":
			continue
		}
		if w := kind + name; !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	for _, w := range rest {
		if !ordinal(w) && numberIn.FindString(w) != w {
			out = append(out, w)
		}
	}
	sort.Strings(out)
	return strings.Join(out, " ")
}

// scaleWords say that a column holds something else than the values.
var scaleWords = map[string]bool{"ln": true, "log": true, "log10": true, "lg": true, "sqrt": true}

func stopWord(s string) bool {
	switch s {
	case "the", "of", "in", "at", "on", "to", "and", "for", "with", "by", "a", "an", "per", "from", "using", "as", "was", "is", "de", "del", "la", "el", "en", "los", "las", "le", "les", "du", "des", "l", "d", "der", "die", "das", "von", "im", "am", "mit",
		"da", "do", "dos", "e", "y", "et", "und", "di", "il", "al", "van", "het", "yang", "dalam", "cua", "的", "值", "um", "units", "measured", "test", "reading", "level", "levels", "amount", "water", "sample", "concentration", "conc", "value", "no":
		return true
	}
	return false
}

func minuteFactor(u string) float64 {
	switch {
	case strings.HasPrefix(u, "h"), u == "std", u == "stunden", u == "jam":
		return 60
	case strings.HasPrefix(u, "s") && u != "std":
		return 1.0 / 60
	}
	return 1
}

// add books one phrase.
func (h *heading) add(x words.Hit) {
	kind, name, _ := strings.Cut(x.Concept, ":")
	switch kind {
	case "reading":
		if h.reading == "" {
			h.reading = jartest.Key(name)
		}
	case "chem":
		if h.chem == "" || len(name) > len(h.chem) && strings.HasSuffix(name, h.chem) {
			h.chem = name
		}
		if h.nameChemical(name); len(h.chems) == 1 {
			h.chem = h.chems[0]
		}
	case "metal":
		if h.metal == "" {
			h.metal = name
		}
	case "stage":
		if h.stage == "" || name == "set" {
			h.stage = name
		}
	case "stat":
		if h.stat == "" {
			h.stat = name
		}
	case "removal":
		h.removal = true
	case "logremoval":
		h.logRemoval = true
	case "filtered":
		h.filtered = true
	case "old":
		h.old = true
	case "change":
		h.change = true
	case "dilution":
		h.dilution = true
	case "label":
		switch name {
		case "control":
			h.control = true
		case "raw":
			h.raw = true
		case "summary":
			h.summary = true
		case "chosen":
			h.chosen = true
		}
	case "meta":
		h.addMeta(name)
	case "role":
		h.addRole(name)
	}
}

// nameChemical adds a chemical to those that are named; a more exact name takes the
// place of a part of it.
func (h *heading) nameChemical(name string) {
	for i, had := range h.chems {
		switch {
		case strings.Contains(had, name):
			return
		case strings.Contains(name, had):
			h.chems[i] = name
			return
		}
	}
	h.chems = append(h.chems, name)
}

func (h *heading) addMeta(name string) {
	switch name {
	case "strength":
		h.strength = true
	case "volume":
		h.volume = true
	case "density":
		h.density = true
	case "recycle":
		h.recycle = true
	case "product":
		h.product = true
	case "all":
		h.all = true
	case "operator":
		h.operator = true
	case "next":
		h.next = true
	}
}

func (h *heading) addRole(name string) {
	switch name {
	case "jar":
		h.jar = true
	case "dose":
		h.dose = true
	case "stock":
		h.stock = true
	case "neat":
		h.neat = true
	case "chemical":
		h.chemical = true
	case "replicate":
		h.replicate = true
	case "test":
		h.test = true
	case "note":
		h.note = true
	case "date":
		h.date = true
	case "time":
		h.clock = true
	case "speed":
		h.speed = true
	case "unit":
		h.unitColumn = true
	case "parameter":
		h.parameter = true
	case "value":
		h.value = true
	case "target":
		h.target = true
	case "rawcol":
		h.stage = "before"
	case "qualifier":
		h.qualifier = true
	}
}

// settle draws the conclusions that need the whole heading.
func (h *heading) settle() {
	if h.reading == "" {
		switch h.unit.Kind {
		case words.Turbidity, words.FNU, words.FAU, words.JTU:
			h.reading = jartest.Turbidity
		case words.Colour:
			h.reading = jartest.Colour
		case words.PerCm:
			h.reading = jartest.UV254
		case words.Temp, words.TempF:
			h.reading = jartest.TemperatureKey
		case words.Potential:
			h.reading = jartest.Zeta
		case words.Cond:
			h.reading = jartest.Conductivity
		case words.Volper:
			if h.chem == "" && !h.dose {
				h.reading = jartest.SettledVolume
			}
		case words.Conc:
			if h.unit.As == "caco3" && !h.dose && h.chem == "" && h.rest == "" {
				h.reading = jartest.AlkalinityKey
			}
		}
	}
	if h.unit.Kind == words.Conc && (strings.HasPrefix(h.unit.As, "pt")) {
		h.unit = words.Unit{Kind: words.Colour, Factor: 1, Name: "Pt-Co"}
		h.reading = jartest.Colour
	}
	if h.reading == "" && h.rest == "p" && h.unit.Kind == words.Conc && h.chem == "" {
		h.reading, h.rest = jartest.TotalPhosphorus, ""
	}
	if as, ok := words.Species(h.rest); ok && h.unit.As == "" && (h.unit.Kind == words.Conc || h.unit.Kind == words.Molar || h.unit.Kind == words.Equiv) {
		h.unit.As, h.rest = as, "" // "Alkalinity CaCO3 mg/L"
	}
	if h.reading == "" && h.metal != "" && h.stage == "after" {
		if h.metal == "Al" {
			h.reading = jartest.ResidualAl
		} else {
			h.reading = jartest.ResidualFe
		}
	}
	if h.reading == jartest.Colour && h.chem == "" && h.dose {
		h.reading = ""
	}
}

// strong reports that the heading names something a jar test has.
func (h heading) strong() bool {
	if len(h.text) > 80 || strings.Count(h.rest, " ") > 4 || h.amount {
		return false
	}
	return h.reading != "" || h.unit.Known() && h.unit.Kind != words.NoUnit && !h.number && !h.timed || h.dose || h.stock || h.chem != "" || h.jar || h.chemical || h.replicate ||
		h.test && !h.number || h.note || h.parameter || h.unitColumn || h.value || h.removal || h.logRemoval || h.stat != "" || h.date || h.clock || h.target
}

// core reports a dose or a reading, without which no table is one of jars.
func (h heading) core() bool {
	return !h.amount && (h.reading != "" || h.removal || h.logRemoval || h.dose || h.stock || h.chem != "" ||
		h.unit.Kind == words.Conc || h.unit.Kind == words.Volume || h.unit.Kind == words.Molar || h.unit.Kind == words.Mass || h.unit.Kind == words.Drops)
}

// doseLike reports that the column may hold what was dosed.
func (h heading) doseLike() bool {
	if h.reading != "" || h.removal || h.logRemoval || h.note && !h.dose {
		return false
	}
	return h.dose || h.stock || h.chem != "" || h.neat || h.metal != "" && h.unit.Kind == words.Conc
}
