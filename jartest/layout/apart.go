package layout

import (
	"jarwright/jartest"
	"jarwright/jartest/words"
	"slices"
	"sort"
	"strconv"
	"strings"
)

var (
	timeIn   = words.NewPattern(`(?:@|\bt ?= ?|\bafter\b|\bat\b)?\s*(\d+(?:[.,]\d+)?) ?-?(minutes?|mins?|min|m|hours?|hrs?|hr|h|seconds?|secs?|sec|s|minuten|minutos?|stunden|std|horas?|phut|menit|jam|分钟|นาที|')(?:[^a-z0-9]|$)`)
	poreSize = words.NewPattern(`(?:^|[^0-9.,])0?[.,](?:45|2|7|22)\d* ?(?:um|micron|mic)?\b|\b1[.,][02] ?um\b|\bgf ?/ ?[acf]\b`)
	meterTop = words.NewPattern(`\b(?:meter|instrument|range|max\.?|maximum|upper limit)(?: (?:max\.?|maximum|limit|range|goes|reads|to|up))* ?(?:is |of |=|to )?(\d[\d,]*)(?: ;+)?`)
	nm254    = words.NewPattern(`\b254 ?nm\b`)
	// wavelength is one in nm; absorbances near 254 nm are alike.
	wavelength = words.NewPattern(`\b([2-9]\d\d) ?nm\b`)
	tailIndex  = words.NewPattern(`(?:^|[\s(#_.-])([a-h]|\d{1,2}|i{1,3}|iv|1st|2nd|3rd)\)?$`)
	numberIn   = words.NewPattern(`\d+(?:[.,]\d+)?`)
)

// longHeading is the length from which a text heads nothing.
const longHeading = 400

// takeApart reads a heading; what doses count, in the words of its language, is read with the unit
// where that does not hold all of it, and leaves no words behind.
func takeApart(text string) Heading {
	h := takeWords(text)
	h.metalOfWater()
	if len(text) > longHeading || h.Unit.Kind != words.Conc {
		return h
	}
	f := words.Fold(text)
	at, one := onlyCounted(f)
	if !one && h.Unit.As == "" {
		at, one = words.Active(f)
	}
	if one && h.Stage == "after" && takeWords(without(text, f[at.From:at.To])).Stage == "" {
		h.Stage = "" // the word before what is counted, "по Al2O3"
	}
	named := at.As != "product" && h.Metal != "" && h.Chem == "" // the metal says it
	if !one || named || h.Unit.As == at.As && (at.As == "product" || h.Rest+h.Unit.Left == "") {
		return h
	}
	p := takeWords(without(text, f[at.From:at.To]))
	if p.Unit.Kind != words.Conc || p.Unit.As != "" || !p.Strong() || p.Reading != "" || at.As != "product" && !p.DoseLike() && !p.Chemical {
		return h
	}
	p.Text, p.Unit.As = h.Text, at.As
	return p
}

// metalOfWater takes a metal in the water before treatment for what that water had of it: "Raw aluminium".
func (h *Heading) metalOfWater() {
	dosed := h.Dose || h.Stock || h.Chem != "" || h.Unit.Known() && h.Unit.Kind != words.Conc
	if key, ok := metalReadings[h.Metal]; ok && (h.Raw || h.Stage == "before") && h.Reading == "" && !dosed {
		h.Reading, h.Metal = key, ""
	}
}

var metalReadings = map[string]jartest.Key{"Al": jartest.ResidualAl, "Fe": jartest.ResidualFe}

// onlyCounted gives the phrase of a folded text that says what doses count, where there is no other.
func onlyCounted(f string) (words.CountedAt, bool) {
	all := words.Counted(f)
	if len(all) == 0 {
		return productPart(f)
	}
	for _, x := range all[1:] {
		if x.As != all[0].As || x.To > all[0].To {
			return all[0], false
		}
	}
	return all[0], true
}

// headingParts ends the parts of a heading.
var headingParts = words.NewPattern(`[^,;()\[\]]+`)

// productPart gives the part of a folded heading that is a word for the product as sold and nothing
// else: "PAC, producto comercial (mg/L)".
func productPart(f string) (words.CountedAt, bool) {
	for i, m := range headingParts.FindAllStringIndex(f, -1) {
		if part := strings.TrimSpace(f[m[0]:m[1]]); i > 0 && words.OfProduct(part) {
			from := m[0] + strings.Index(f[m[0]:], part)
			return words.CountedAt{As: "product", From: from, To: from + len(part)}, true
		}
	}
	return words.CountedAt{}, false
}

// WithoutProduct gives a heading without the part that is a word for the product as sold.
func WithoutProduct(text string) string {
	f := words.Fold(text)
	if at, ok := productPart(f); ok {
		return without(text, f[at.From:at.To])
	}
	return text
}

// without gives a text without a folded phrase of it.
func without(text, phrase string) string {
	ts := words.Tokens(text)
	for i := range ts {
		for j := i; j < len(ts); j++ {
			if from, to := ts[i].From, ts[j].To; words.Fold(text[from:to]) == phrase {
				return emptyBrackets.ReplaceAllString(strings.TrimRight(text[:from], " ,")+text[to:], " ")
			}
		}
	}
	return text
}

// gluedNumber is a number of a repeat that stands against the unit of the reading, "NTU1".
var gluedNumber = words.NewPattern(`^(\pL{2,5})(\d)$`)

func takeWords(text string) Heading {
	if m := gluedNumber.FindStringSubmatch(strings.TrimSpace(text)); m != nil {
		if u, ok := words.OnlyUnit(m[1]); ok && KeyOfUnit(u) != "" {
			h := takeWords(m[1] + " " + m[2])
			h.Text = text
			return h
		}
	}
	h := Heading{Text: strings.Join(strings.Fields(text), " ")}
	if len(text) > longHeading {
		return h
	}
	if plain, marked := withoutMark(text); marked {
		plain.Text = h.Text
		return plain
	}
	text = fractionFirst(text)
	s := words.Fold(text)
	if ps := words.Whole(s); len(ps) > 0 && len(words.Tokens(s)) == 0 { // signs such as #
		for _, p := range ps {
			h.add(words.Hit{Phrase: p})
		}
		return h
	}
	text = h.takeRiders(text)
	s = h.takeConditions(words.Fold(h.takeUnits(text)))
	hits, used := h.takePhrases(s)
	h.takeIndex(s, used)
	rest := h.takeRest(s, used, h.takeSalt(s))
	h.Rest = strings.Join(rest, " ")
	h.Extra = extraWords(hits, rest)
	for _, x := range hits {
		if x.Concept == "place" {
			h.Place = strings.TrimSpace(x.Text + " " + strings.ToUpper(h.Index))
		}
	}
	h.settle()
	return h
}

// fractionBehind is a substance with its fraction behind a comma or in brackets, as lists of analytes
// have it: "Aluminium, total". That the two are a fraction the vocabulary tells.
var fractionBehind = words.NewPattern(`^\s*(\pL+)\s*(?:,\s*|\(\s*)(\pL+)\s*\)?(.*)$`)

// fractionFirst puts the fraction before its substance where the two together are a reading: it is no
// sum of the readings beside it.
func fractionFirst(text string) string {
	m := fractionBehind.FindStringSubmatch(text)
	if m == nil {
		return text
	}
	name := m[2] + " " + m[1]
	if !slices.ContainsFunc(words.Whole(words.Fold(name)), func(p words.Phrase) bool { return strings.HasPrefix(p.Concept, "reading:") }) {
		return text
	}
	return name + m[3]
}

// withoutMark reads a heading that ends in the raised digit of a footnote, "Jar²", where without it
// the heading says what a row is and has no unit that the digit could be a power of.
func withoutMark(text string) (Heading, bool) {
	plain := strings.TrimRight(text, "⁰¹²³⁴⁵⁶⁷⁸⁹")
	if plain == text || strings.TrimSpace(plain) == "" {
		return Heading{}, false
	}
	h := takeWords(plain)
	return h, h.labels() && !h.measures() && h.Unit.Kind == ""
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
		if u.Word != "" || words.Means(u.Of, "role:stock") {
			named += " " + u.Of
		}
	}
	return string(masked) + named
}

// amounts are the kinds whose numbers in a heading are no index of repeats.
var amounts = map[words.Kind]bool{words.Percent: true, words.Volume: true, words.Conc: true, words.Mass: true}

// takeConditions notes how a reading was taken (pore size, end of the meter's range,
// settling time) and gives the text without.
func (h *Heading) takeConditions(s string) string {
	if !strings.ContainsAny(s, "0123456789") {
		return s
	}
	if poreSize.MatchString(s) {
		h.Filtered = true
		s = poreSize.ReplaceAllString(s, " ")
	}
	if strings.Contains(s, "254") {
		s = nm254.ReplaceAllString(s, "254")
	}
	if m := wavelength.FindStringSubmatch(s); m != nil && (m[1] < "250" || m[1] > "259") {
		h.Wave, _ = strconv.Atoi(m[1])
	}
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
	return s
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

// takePhrases books the words of the vocabulary and marks the bytes they stand in. Of
// several names of readings the longest counts.
func (h *Heading) takePhrases(s string) (hits []words.Hit, used []bool) {
	found := words.Find(s)
	used = make([]bool, len(s))
	longest := 0
	for _, x := range found {
		if x.From == 0 || s[x.From:x.To] != "in" || !inThat.MatchString(s[x.To:]) {
			hits = append(hits, x)
		}
	}
	h.takeUnfiltered(s, hits)
	for _, x := range hits {
		if name, ok := strings.CutPrefix(x.Concept, "reading:"); ok {
			h.Readings = append(h.Readings, name)
			longest = max(longest, x.To-x.From)
		}
	}
	for _, x := range hits {
		for i := x.From; i < x.To; i++ {
			used[i] = true
		}
		if !strings.HasPrefix(x.Concept, "reading:") || x.To-x.From == longest {
			h.add(x)
		}
	}
	return hits, used
}

// flags are what a phrase says yes to.
var flags = map[string]func(*Heading) *bool{
	"removal":        func(h *Heading) *bool { return &h.Removal },
	"logremoval":     func(h *Heading) *bool { return &h.LogRemoval },
	"filtered":       func(h *Heading) *bool { return &h.Filtered },
	"old":            func(h *Heading) *bool { return &h.Old },
	"change":         func(h *Heading) *bool { return &h.Change },
	"dilution":       func(h *Heading) *bool { return &h.Dilution },
	"label:control":  func(h *Heading) *bool { return &h.Control },
	"label:raw":      func(h *Heading) *bool { return &h.Raw },
	"label:summary":  func(h *Heading) *bool { return &h.Summary },
	"label:chosen":   func(h *Heading) *bool { return &h.Chosen },
	"meta:strength":  func(h *Heading) *bool { return &h.Strength },
	"meta:volume":    func(h *Heading) *bool { return &h.Volume },
	"meta:density":   func(h *Heading) *bool { return &h.Density },
	"meta:recycle":   func(h *Heading) *bool { return &h.Recycle },
	"meta:product":   func(h *Heading) *bool { return &h.Product },
	"meta:all":       func(h *Heading) *bool { return &h.All },
	"meta:operator":  func(h *Heading) *bool { return &h.Operator },
	"meta:next":      func(h *Heading) *bool { return &h.Next },
	"role:jar":       func(h *Heading) *bool { return &h.Jar },
	"role:dose":      func(h *Heading) *bool { return &h.Dose },
	"role:stock":     func(h *Heading) *bool { return &h.Stock },
	"role:neat":      func(h *Heading) *bool { return &h.Neat },
	"role:chemical":  func(h *Heading) *bool { return &h.Chemical },
	"role:replicate": func(h *Heading) *bool { return &h.Replicate },
	"role:test":      func(h *Heading) *bool { return &h.Test },
	"role:note":      func(h *Heading) *bool { return &h.Note },
	"role:date":      func(h *Heading) *bool { return &h.Date },
	"role:time":      func(h *Heading) *bool { return &h.Clock },
	"role:speed":     func(h *Heading) *bool { return &h.Speed },
	"role:unit":      func(h *Heading) *bool { return &h.UnitColumn },
	"role:parameter": func(h *Heading) *bool { return &h.Parameter },
	"role:value":     func(h *Heading) *bool { return &h.Value },
	"role:target":    func(h *Heading) *bool { return &h.Target },
	"role:qualifier": func(h *Heading) *bool { return &h.Qualifier },
}

// beforeIt are the words that stand in front of what comes later, and behindIt those that stand
// behind it. Words for raw water are none of them.
var (
	beforeIt = wordSet("before pre vor avant antes prima fore innan ennen przed pred inainte voor sebelum truoc преди пре prije πριν до قبل לפני ก่อน")
	behindIt = wordSet("前 elott")
	// articled is what may stand between such a word and the filter.
	articled = words.NewPattern(`^[ -]?(?:(?:the|sand|paper|membrane|gravity|rapid|el|la|los|las|il|le|les|de|del|della|du|den|dem|das|o|a|da|do|het|l'?) ?)*$`)
	// inThat follows an "in" that is no inlet: "turbidity in filtrate", "in NTU" with the unit masked.
	inThat = words.NewPattern(`^ [\p{L};]`)
)

// takeUnfiltered takes "before the filter" for the water that goes onto the filter, which is
// treated: it is neither raw nor filtered. The words stay marked, and book nothing.
func (h *Heading) takeUnfiltered(s string, hits []words.Hit) {
	for i, a := range hits {
		h.Unfiltered = h.Unfiltered || a.Concept == "stage:onto-filter"
		for k, b := range hits {
			if a.Concept != "stage:before" || b.Concept != "filtered" {
				continue
			}
			fore := beforeIt[a.Text] && a.To <= b.From && articled.MatchString(s[a.To:b.From])
			if fore || behindIt[a.Text] && b.To <= a.From && articled.MatchString(s[b.To:a.From]) {
				h.Unfiltered = true
				hits[i].To = max(a.To, b.From) // "the sand" is understood with it
				hits[i].Concept, hits[k].Concept = "stage:onto-filter", "stage:onto-filter"
			}
		}
	}
}

// add books one phrase. Of several readings, metals and statistics the first counts.
func (h *Heading) add(x words.Hit) {
	if flag, ok := flags[x.Concept]; ok {
		*flag(h) = true
		return
	}
	switch kind, name, _ := strings.Cut(x.Concept, ":"); {
	case kind == "reading" && h.Reading == "":
		h.Reading = jartest.Key(name)
	case kind == "metal" && h.Metal == "":
		h.Metal = name
	case kind == "stat" && h.Stat == "":
		h.Stat = name
	case name == "onto-filter":
	case kind == "stage" && (h.Stage == "" || name == "set"):
		h.Stage = name
	case x.Concept == "role:rawcol":
		h.Stage = "before"
	case kind == "chem":
		h.addChemical(name)
	}
}

// addChemical books a chemical: the first that is named, or a more exact name of it.
func (h *Heading) addChemical(name string) {
	if h.Chem == "" || len(name) > len(h.Chem) && strings.HasSuffix(name, h.Chem) {
		h.Chem = name
	}
	if h.nameChemical(name); len(h.Chems) == 1 {
		h.Chem = h.Chems[0]
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

// takeIndex notes a number or letter at the end; that of a temperature is its unit.
func (h *Heading) takeIndex(s string, used []bool) {
	tail := strings.TrimRight(s, " ,.;()[]")
	from := max(0, len(tail)-longIndex)
	if m := tailIndex.FindStringSubmatchIndex(tail[from:]); m != nil && !used[from+m[2]] {
		h.Index = s[from+m[2] : from+m[3]]
	}
	if h.Reading == jartest.TemperatureKey && !h.Unit.Known() && (h.Index == "c" || h.Index == "f") {
		h.Unit, _ = words.OnlyUnit("°" + strings.ToUpper(h.Index))
	}
}

// longIndex is more than an index and the signs around it have bytes.
const longIndex = 8

// takeSalt names a chemical by the stems of its two parts, where no phrase names one.
func (h *Heading) takeSalt(s string) (found bool) {
	if h.Chem != "" {
		return false
	}
	salt := words.Salt(s)
	if salt == "" {
		return false
	}
	h.Chem, h.Chems, h.Metal = salt, []string{salt}, ""
	return true
}

// takeRest notes a scale and gives the words that say nothing to the reader.
func (h *Heading) takeRest(s string, used []bool, salt bool) []string {
	counted := map[string]bool{} // the words of what is counted, as in "as alum 14-hydrate"
	if _, said, ok := strings.Cut(s, " as "); ok {
		if as, ok := words.As(said); ok {
			for _, k := range words.Tokens(as) {
				counted[k.Text] = true
			}
		}
	}
	var rest []string
	for _, t := range words.Tokens(s) {
		switch {
		case counted[t.Text], salt && words.SaltWord(t.Text):
		case words.Spaceless(t.Text):
			for _, run := range unheld(t, used) {
				if text := s[run[0]:run[1]]; text != h.Index {
					rest = append(rest, text)
				}
			}
		case used[t.From]:
		case scaleWords[t.Text]:
			h.Scale = t.Text
		case stopWords[t.Text], t.Text == h.Index:
		default:
			h.Number = h.Number || IsFigure(t.Text)
			rest = append(rest, t.Text)
		}
	}
	return rest
}

// unheld gives the spans of a word of a script without blanks that no phrase holds: what stands before,
// between and behind the phrases is as unknown as any word by itself.
func unheld(t words.Token, used []bool) (spans [][2]int) {
	for i := t.From; i < t.To; i++ {
		switch {
		case used[i]:
		case i > t.From && !used[i-1]:
			spans[len(spans)-1][1] = i + 1
		default:
			spans = append(spans, [2]int{i, i + 1})
		}
	}
	return spans
}

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

// Ordinal reports a word that only numbers repeats or depths.
func Ordinal(s string) bool { return ordinals[s] }

func wordSet(s string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(s) {
		set[w] = true
	}
	return set
}

var (
	ordinals = wordSet("first second third fourth one two three i ii iii primera segunda tercera top bottom")
	// scaleWords say that a column holds something else than the values.
	scaleWords = wordSet("ln log log10 lg sqrt")
	// stopWords say nothing in a heading.
	stopWords = wordSet(`the of in at on to and for with by a an per from using as was is de del la el en los las le les du des l d der die das von im am mit
		da do dos e y et und di il al van het yang dalam cua 的 值 um
		gave gives giving then put poured pipetted
		units measured test reading level levels amount water sample concentration conc value no`)
)
