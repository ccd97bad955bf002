package layout

import (
	"regexp"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// Heading is what the words of a header cell, or of several above one another, say.
type Heading struct {
	Text string
	Unit words.Unit

	Jar, Dose, Stock, Neat, Chemical, Replicate, Test, Note, Date, Clock, Speed bool
	Change, Dilution                                                            bool
	UnitColumn, Parameter, Value, Target, Qualifier, Old                        bool
	Volume, Strength, Density, Recycle, Product, All, Operator, Next            bool
	Removal, LogRemoval, Filtered, Control, Raw, Summary, Chosen                bool

	Reading  jartest.Key
	Chem     string   // canonical name of a chemical
	Chems    []string // all that are named, where one is no part of another
	Scale    string   // "log" in "log turbidity"
	Readings []string // every reading that is named
	Top      float64  // the end of the meter's range, "max 1000"
	Place    string   // "pond B": the water that a reading is of
	Said     bool     // the user says what the column is
	Metal    string   // "Al" or "Fe" by itself
	Stage    string   // "before", "after", "set"
	Stat     string   // "mean", "sd", "n", "other", "sum"

	Index   string  // a lone number or letter at the end: Turb 1, NTU B
	Minutes float64 // settling time, with timed
	Timed   bool
	Extra   string // everything besides the reading that can tell two columns of a kind apart
	Rest    string // words that the vocabulary does not hold
	Amount  bool   // holds a number with its unit, as "alum 35 mg/L" does
	Number  bool   // a number that is not an index
}

var (
	timeIn    = regexp.MustCompile(`(?:@|\bt ?= ?|\bafter\b|\bat\b)?\s*(\d+(?:[.,]\d+)?) ?-?(minutes?|mins?|min|m|hours?|hrs?|hr|h|seconds?|secs?|sec|s|minuten|minutos?|stunden|std|horas?|phut|menit|jam|分钟|นาที|')(?:[^a-z0-9]|$)`)
	poreSize  = regexp.MustCompile(`(?:^|[^0-9.,])0?[.,](?:45|2|7|22)\d* ?(?:um|micron|mic)?\b|\b1[.,][02] ?um\b|\bgf ?/ ?[acf]\b`)
	meterTop  = regexp.MustCompile(`\b(?:meter|instrument|range|max\.?|maximum|upper limit)(?: (?:max\.?|maximum|limit|range|goes|reads|to|up))* ?(?:is |of |=|to )?(\d[\d,]*)(?: ;+)?`)
	nm254     = regexp.MustCompile(`\b254 ?nm\b`)
	tailIndex = regexp.MustCompile(`(?:^|[\s(#_.-])([a-h]|\d{1,2}|i{1,3}|iv|1st|2nd|3rd)\)?$`)
	numberIn  = regexp.MustCompile(`\d+(?:[.,]\d+)?`)
)

// ReadHeading takes a header text apart. What it gives is shared: its lists must not
// be changed.
func ReadHeading(text string) Heading { return headingsOf.Of(text, takeApart) }

var headingsOf words.Memory[string, Heading]

func takeApart(text string) Heading {
	h := Heading{Text: strings.Join(strings.Fields(text), " ")}
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
		h.Filtered = true
		s = poreSize.ReplaceAllString(s, " ")
	}
	s = nm254.ReplaceAllString(s, "254")
	if m := meterTop.FindStringSubmatchIndex(s); m != nil {
		h.Top, _ = strconv.ParseFloat(strings.ReplaceAll(s[m[2]:m[3]], ",", ""), 64)
		s = s[:m[0]] + " " + s[m[1]:]
	}
	if m := timeIn.FindStringSubmatchIndex(s); m != nil {
		if x, err := strconv.ParseFloat(strings.Replace(s[m[2]:m[3]], ",", ".", 1), 64); err == nil {
			h.Timed, h.Minutes = true, x*minuteFactor(s[m[4]:m[5]])
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
			h.Readings = append(h.Readings, strings.TrimPrefix(x.Concept, "reading:"))
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
	}
	if m := tailIndex.FindStringSubmatchIndex(strings.TrimRight(s, " ,.;()[]")); m != nil && !used[m[2]] {
		h.Index = s[m[2]:m[3]]
	}
	salt := ""
	if h.Chem == "" {
		salt = words.Salt(s)
	}
	if salt != "" {
		h.Chem, h.Chems, h.Metal = salt, []string{salt}, ""
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
			h.Scale = t.Text
			continue
		}
		if used[t.From] || stopWord(t.Text) || t.Text == h.Index {
			continue
		}
		if IsFigure(t.Text) {
			h.Number = true
		}
		rest = append(rest, t.Text)
	}
	h.Rest = strings.Join(rest, " ")
	if h.Reading == jartest.TemperatureKey && !h.Unit.Known() && (h.Index == "c" || h.Index == "f") {
		h.Unit, _ = words.OnlyUnit("°" + strings.ToUpper(h.Index))
	}
	h.Extra = extraWords(hits, rest)
	for _, x := range hits {
		if x.Concept == "place" {
			h.Place = strings.TrimSpace(x.Text + " " + strings.ToUpper(h.Index))
		}
	}
	h.settle()
	return h
}

// takeUnits notes the unit of the heading and gives the text without its units.
// Spans and widths that stand with a number ("20 min", "0.45 um") stay: they are
// conditions, not units.
func (h *Heading) takeUnits(text string) string {
	masked, named := []byte(text), ""
	for _, u := range words.Units(text) {
		number, counted := words.NumberBefore(text, u.From)
		if counted && (u.Kind == words.Minutes || u.Kind == words.Length) {
			continue
		}
		if !h.Unit.Known() || h.Unit.Kind == words.NoUnit || h.Unit.Kind == words.Minutes && u.Kind != words.Minutes || h.Amount && !counted {
			h.Unit, h.Amount = u.Unit, counted
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
		if !Ordinal(w) && !IsFigure(w) {
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
func (h *Heading) add(x words.Hit) {
	kind, name, _ := strings.Cut(x.Concept, ":")
	switch kind {
	case "reading":
		if h.Reading == "" {
			h.Reading = jartest.Key(name)
		}
	case "chem":
		if h.Chem == "" || len(name) > len(h.Chem) && strings.HasSuffix(name, h.Chem) {
			h.Chem = name
		}
		if h.nameChemical(name); len(h.Chems) == 1 {
			h.Chem = h.Chems[0]
		}
	case "metal":
		if h.Metal == "" {
			h.Metal = name
		}
	case "stage":
		if h.Stage == "" || name == "set" {
			h.Stage = name
		}
	case "stat":
		if h.Stat == "" {
			h.Stat = name
		}
	case "removal":
		h.Removal = true
	case "logremoval":
		h.LogRemoval = true
	case "filtered":
		h.Filtered = true
	case "old":
		h.Old = true
	case "change":
		h.Change = true
	case "dilution":
		h.Dilution = true
	case "label":
		switch name {
		case "control":
			h.Control = true
		case "raw":
			h.Raw = true
		case "summary":
			h.Summary = true
		case "chosen":
			h.Chosen = true
		}
	case "meta":
		h.addMeta(name)
	case "role":
		h.addRole(name)
	}
}

// nameChemical adds a chemical to those that are named; a more exact name takes the
// place of a part of it.
func (h *Heading) nameChemical(name string) {
	for i, had := range h.Chems {
		switch {
		case strings.Contains(had, name):
			return
		case strings.Contains(name, had):
			h.Chems[i] = name
			return
		}
	}
	h.Chems = append(h.Chems, name)
}

func (h *Heading) addMeta(name string) {
	switch name {
	case "strength":
		h.Strength = true
	case "volume":
		h.Volume = true
	case "density":
		h.Density = true
	case "recycle":
		h.Recycle = true
	case "product":
		h.Product = true
	case "all":
		h.All = true
	case "operator":
		h.Operator = true
	case "next":
		h.Next = true
	}
}

func (h *Heading) addRole(name string) {
	switch name {
	case "jar":
		h.Jar = true
	case "dose":
		h.Dose = true
	case "stock":
		h.Stock = true
	case "neat":
		h.Neat = true
	case "chemical":
		h.Chemical = true
	case "replicate":
		h.Replicate = true
	case "test":
		h.Test = true
	case "note":
		h.Note = true
	case "date":
		h.Date = true
	case "time":
		h.Clock = true
	case "speed":
		h.Speed = true
	case "unit":
		h.UnitColumn = true
	case "parameter":
		h.Parameter = true
	case "value":
		h.Value = true
	case "target":
		h.Target = true
	case "rawcol":
		h.Stage = "before"
	case "qualifier":
		h.Qualifier = true
	}
}

// settle draws the conclusions that need the whole heading.
func (h *Heading) settle() {
	if h.Reading == "" {
		switch h.Unit.Kind {
		case words.Turbidity, words.FNU, words.FAU, words.JTU:
			h.Reading = jartest.Turbidity
		case words.Colour:
			h.Reading = jartest.Colour
		case words.PerCm:
			h.Reading = jartest.UV254
		case words.Temp, words.TempF:
			h.Reading = jartest.TemperatureKey
		case words.Potential:
			h.Reading = jartest.Zeta
		case words.Cond:
			h.Reading = jartest.Conductivity
		case words.Volper:
			if h.Chem == "" && !h.Dose {
				h.Reading = jartest.SettledVolume
			}
		case words.Conc:
			if h.Unit.As == "caco3" && !h.Dose && h.Chem == "" && h.Rest == "" {
				h.Reading = jartest.AlkalinityKey
			}
		}
	}
	if h.Unit.Kind == words.Conc && (strings.HasPrefix(h.Unit.As, "pt")) {
		h.Unit = words.Unit{Kind: words.Colour, Factor: 1, Name: "Pt-Co"}
		h.Reading = jartest.Colour
	}
	if h.Reading == "" && h.Rest == "p" && h.Unit.Kind == words.Conc && h.Chem == "" {
		h.Reading, h.Rest = jartest.TotalPhosphorus, ""
	}
	if as, ok := words.Species(h.Rest); ok && h.Unit.As == "" && (h.Unit.Kind == words.Conc || h.Unit.Kind == words.Molar || h.Unit.Kind == words.Equiv) {
		h.Unit.As, h.Rest = as, "" // "Alkalinity CaCO3 mg/L"
	}
	if h.Reading == "" && h.Metal != "" && h.Stage == "after" {
		if h.Metal == "Al" {
			h.Reading = jartest.ResidualAl
		} else {
			h.Reading = jartest.ResidualFe
		}
	}
	if h.Reading == jartest.Colour && h.Chem == "" && h.Dose {
		h.Reading = ""
	}
}

// Strong reports that the heading names something a jar test has.
func (h Heading) Strong() bool {
	if len(h.Text) > 80 || strings.Count(h.Rest, " ") > 4 || h.Amount {
		return false
	}
	return h.Reading != "" || h.Unit.Known() && h.Unit.Kind != words.NoUnit && !h.Number && !h.Timed || h.Dose || h.Stock || h.Chem != "" || h.Jar || h.Chemical || h.Replicate ||
		h.Test && !h.Number || h.Note || h.Parameter || h.UnitColumn || h.Value || h.Removal || h.LogRemoval || h.Stat != "" || h.Date || h.Clock || h.Target
}

// Core reports a dose or a reading, without which no table is one of jars.
func (h Heading) Core() bool {
	return !h.Amount && (h.Reading != "" || h.Removal || h.LogRemoval || h.Dose || h.Stock || h.Chem != "" ||
		h.Unit.Kind == words.Conc || h.Unit.Kind == words.Volume || h.Unit.Kind == words.Molar || h.Unit.Kind == words.Mass || h.Unit.Kind == words.Drops)
}

// DoseLike reports that the column may hold what was dosed.
func (h Heading) DoseLike() bool {
	if h.Reading != "" || h.Removal || h.LogRemoval || h.Note && !h.Dose {
		return false
	}
	return h.Dose || h.Stock || h.Chem != "" || h.Neat || h.Metal != "" && h.Unit.Kind == words.Conc
}

func Ordinal(s string) bool {
	switch s {
	case "first", "second", "third", "fourth", "one", "two", "three", "i", "ii", "iii", "primera", "segunda", "tercera", "top", "bottom":
		return true
	}
	return false
}

// KeyOfUnit names the reading that a unit belongs to by itself.
func KeyOfUnit(u words.Unit) jartest.Key {
	h := Heading{Unit: u}
	h.settle()
	return h.Reading
}

// IsMass reports a unit of a dose by weight.
func IsMass(u words.Unit) bool {
	return u.Kind == words.Conc || u.Kind == words.Molar || u.Kind == words.Mass
}

// Override says what a column holds: a reading ("turbidity", "tss mg/L"), "dose
// mg/L", "stock mL", "jar", "test", "note" or "ignore".
type Override struct{ Header, Meaning string }

// Overridden gives a heading the meaning that the user states.
func Overridden(had Heading, meaning string) Heading {
	h := ReadHeading(meaning)
	k := jartest.Slug(meaning)
	first, _, _ := strings.Cut(string(k), "_")
	switch {
	case k == "ignore" || k == "none" || k == "skip":
		return Heading{Text: had.Text, Old: true}
	case first == "dose" || first == "stock" || k == "jar" || k == "test" || k == "note" || k == "replicate" || k == "chemical":
		u, chem := had.Unit, had.Chem
		if h.Unit.Known() {
			u = h.Unit
		}
		if h.Chem != "" {
			chem = h.Chem
		}
		return Heading{Text: had.Text, Unit: u, Chem: chem, Dose: first == "dose", Stock: first == "stock", Jar: k == "jar", Test: k == "test", Note: k == "note", Replicate: k == "replicate", Chemical: k == "chemical"}
	case k.Known():
		h.Reading = k
	}
	h.Text, h.Said = had.Text, true
	if !h.Unit.Known() {
		h.Unit = had.Unit
	}
	return h
}

func SameText(a, b string) bool { return a != "" && words.Fold(a) == words.Fold(b) }

// Bears reports words whose number can bear on a dose, a reading or a jar: "Page 3"
// has none.
func (h Heading) Bears() bool {
	return h.Core() || h.Unit.Known() || h.Amount || h.Volume || h.Strength || h.Density || h.Recycle || h.Target || h.Raw || h.All || h.Filtered || h.Dilution || h.Stage != ""
}
