package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// What makes the numbers of a sheet others than they seem without naming jars, doses or
// readings. Each of these is looked for in every sentence that gave no fact.
var alterations = []struct {
	why    string
	always bool // also of another test, a limit or a result
	says   func(aside) bool
}{
	{"an operation on numbers", true, aside.reckons},
	{"a few words that change what was dosed or read", true, aside.loose},
	{"a share of what was meant", true, aside.shares},
	{"a word that by itself makes the numbers others", true, func(r aside) bool { return spoken()["upset"].in(strings.Trim(r.text, " .!?:")) }},
	{"some of the jars by their order", false, func(r aside) bool { return inOrder.MatchString(r.text) && !spoken()["topic"].in(r.text) }},
	{"a factor under its name", false, aside.factor},
	{"a number of the table", true, aside.ofTheTable},
	{"what the meter shows of clear water", true, aside.ofClearWater},
	{"what the meter shows of a standard", true, aside.ofStandard},
	{"a number that stands for nothing known", false, aside.looseNumber},
	{"numbers of another day", true, func(r aside) bool { return spoken()["copied"].in(r.text) && spoken()["former"].in(r.text) }},
	{"a household measure that something was dosed with", false, func(r aside) bool {
		return spoken()["household"].in(r.text) && spoken()["add"].in(r.text) && !r.h.Speed && !r.h.Stock
	}},
	{"one thing instead of another", false, func(r aside) bool { return instead.MatchString(r.text) && lengthOf(r.text) > 2 }},
	{"a water that something was done to before the test", true, aside.ofTreatedWater},
	{"a word for what went wrong", false, func(r aside) bool {
		return slices.ContainsFunc(words.Find(r.text), func(x words.Hit) bool { return x.Concept == "uncertain" && x.Near == "" })
	}},
	{"a sentence with words that are not known", false, aside.unknown},
}

// alters reports a sentence that may change what all numbers of the sheet mean; ofOther,
// that it is of another test or a limit, whose numbers are its own.
func (r aside) alters(ofOther bool) bool {
	for _, x := range alterations {
		if (!ofOther || x.always) && x.says(r) {
			return true
		}
	}
	return false
}

var (
	// timesSign is a factor at the beginning or the end of a line: "x 10", "all * 2".
	timesSign = words.NewPattern(`(?:^|[a-z] )[x×*÷/] ?\d+(?:[.,]\d+)?$|^[x×*÷] ?\d`)
	// instead sets one thing against another.
	instead = words.NewPattern(`, ?(?:not|and not|nicht|no|nao|não|non|niet|inte|ikke|nie|не|a ne|а не) (?:(?:the|a|an|from|of|in|der|die|das|den|dem|el|la|los|las|del|o|a|da|do|le|les|het|de|\d)\b|(?:из|от) )|\b(?:instead of|rather than|in place of|en vez de|en lugar de|em vez de|ao inves de|statt|anstatt|anstelle|au lieu d|plutot que|invece d|al posto di|in plaats van|i stallet for|istallet for|i stedet for|zamiast|misto|namiesto|yerine|thay vi|thay cho|alih-alih|daripada)|вместо|замість|而不是|代わり|대신|بدلا من|แทนที่`)
	// looseDecimal is a number that is no count, day, page or size.
	looseDecimal = words.NewPattern(`(?:^|[^\w.,:/-])\d+[.,]\d{1,3}(?:$|[^\w.,:/-]|[.,]$)`)
	versioned    = words.NewPattern(`(?:\b(?:rev|rev\.|version|v|ver|fig|figure|section|sec|sop|form|method|part|issue|clause|table|model|page|room|at|um|a las|as|om|kl)|(?:^| )(?:кл|в)) ?\.?:? ?\d+[.,]\d+|\d ?[nm]\b`)
)

// reckons reports an operation that is said of numbers and names none of the chemicals,
// "subtract 0.6", "all x 10", "20 % less".
func (r aside) reckons() bool {
	if timesSign.MatchString(r.text) {
		return true
	}
	if !spoken()["reckon"].in(r.text) || r.h.Chem != "" || byOne.MatchString(r.text) {
		return false
	}
	return strings.ContainsAny(r.text, "0123456789") || spoken()["subject"].in(r.text)
}

// looseNumber reports a number with decimals that has no unit, and is no fact.
func (r aside) looseNumber() bool {
	f := versioned.ReplaceAllString(withoutDays(r.text), " ")
	if lengthOf(bareNum.ReplaceAllString(f, "")) == 0 || calibrated.MatchString(f) {
		return false
	}
	for _, m := range looseDecimal.FindAllStringIndex(f, -1) {
		rest := strings.TrimLeft(f[m[0]:m[1]], " ")
		us := words.Units(f[m[0]:])
		if len(us) == 0 || strings.TrimSpace(strings.Trim(f[m[0]:m[0]+us[0].From], "0123456789., ")) != "" || len(rest) == 0 {
			return r.h.Reading == "" || r.h.Control
		}
	}
	return false
}

// ofTreatedWater reports a sentence on the water of the test that says it was settled,
// diluted, filtered or dosed before.
func (r aside) ofTreatedWater() bool {
	if !spoken()["water"].in(r.text) || !spoken()["process"].in(r.text) || r.h.Speed || r.h.Stock {
		return false
	}
	return isSentence(r.text) || r.h.Raw || spoken()["since"].in(r.text)
}

// ofClearWater reports a sentence on what a meter shows of water without turbidity.
func (r aside) ofClearWater() bool {
	return spoken()["clear"].in(r.text) && spoken()["shows"].in(r.text) && strings.ContainsAny(r.text, "0123456789")
}

// unknown reports a sentence, as against a title, with words that nobody knows, and that
// is not of the weather, the fish or the papers.
func (r aside) unknown() bool {
	_, _, keyed := layout.Keyed(r.text)
	past := func() bool { return !keyed && slices.ContainsFunc(r.lower[1:], pastWord) }
	return !spoken()["topic"].in(r.text) && len(r.lower) > 0 && (isSentence(r.text) || past()) && lengthOf(r.text) > 2
}

func withoutWholeDays(f string) string {
	if !layout.HasMonth(f) {
		return f
	}
	return wholeDay.ReplaceAllString(f, " ")
}

// pastWord reports an English word in the form of the past.
func pastWord(w string) bool { return len(w) > 4 && strings.HasSuffix(w, "ed") }

var (
	// inOrder names jars by where they stand: "first two with river water, rest with tap".
	inOrder = words.NewPattern(`\b(?:first|last|other|remaining) (?:one|two|three|four|five|half)(?:$|[:,.]| (?:with|of|no|not|in|were|was|had|got|only|without|on|used|next|also|are|stirred|from|again|at)\b)|\b(?:second|other) half\b|\b(?:letzten?|ersten?) (?:zwei|drei|vier|halfte)\b|\b(?:ultim[oa]s|primer[oa]s|primeir[oa]s) (?:dos|tres|cuatro|dois|duas|quatro)\b|\b(?:dos|tres|dois|duas|deux|trois) (?:ultim[oa]s|primer[oa]s|primeir[oa]s|premiers?|derniers?)\b|\b(?:derniers|premiers|ultimi|primi) (?:deux|trois|due|tre)\b|最后[两三]|前[两三]个|последние (?:два|три)`)
	// subjectNumber is a number of which something is said.
	subjectNumber = words.NewPattern(`(?:^|[ "'“])(\d+(?:[.,]\d+)?)["'”]? (?:should|is|was|may|might|must|could|has to|ist|war|soll\w*|muss|es|era|debe\w*|est|etait|doit|devrait|deve|foi|e|moet|ar|ska|er|skal|jest|ma|byc)\b|(?:^|[ "'])(\d+(?:[.,]\d+)?) ?(?:->|→|=>)`)
	// wholeDay is a day whose month is no verb: "3 May 2026".
	wholeDay = words.NewPattern(`\b\d{1,2} (?:` + layout.Months + `)(?: (?:19|20)\d\d\b|$)`)
	// factorName is a label for what numbers are multiplied with.
	factorName = words.NewPattern(`factor|faktor|fator\b|facteur|fattore|multipl|^scale\b|conversion|umrechnung|kerroin|wspolczynnik|koeficient|koefficient|coeficient|carpan|he so\b|коэффиц|коефиц|коеф|系数|係数|倍数|倍率|계수|배율|معامل|ตัวคูณ|^x$`)
	// byOne changes nothing.
	byOne     = words.NewPattern(`^[^\d:]+[:=] ?1(?:[.,]0*)?$`)
	removedAs = words.NewPattern(`^(?:removed|left out|dropped|deleted|skipped) ?: ?\d`)
)

// shares reports a percentage of what was meant to be dosed, held or read: "80 % delivered".
func (r aside) shares() bool {
	key, _, _ := layout.Keyed(r.text)
	yields := spoken()["yield"].is(strings.TrimSpace(key)) // of what, it does not say
	if r.h.Removal && !yields || r.h.Target || r.h.Summary || r.h.Recycle || r.h.Stock || spoken()["topic"].in(delivered.ReplaceAllString(r.text, "")) {
		return false
	}
	percent := slices.ContainsFunc(words.Amounts(r.text), func(a words.Amount) bool { return a.Kind == words.Percent })
	return percent && (r.h.Dose || yields || spoken()["share"].in(strings.Trim(r.text, " .!:")))
}

// delivered is what a pump does, and a supplier.
var delivered = words.NewPattern(`\bdeliver(?:y|ed|s)\b`)

// factor reports a name for a factor with a number other than 1, or the number of a jar that
// was taken out.
func (r aside) factor() bool {
	key, value, ok := layout.Keyed(r.text)
	x := layout.ParseText(value, layout.DecimalsUnknown)
	return ok && x.OK() && x.Num != 1 && factorName.MatchString(key) && !spoken()["topic"].in(r.text) || removedAs.MatchString(r.text)
}

// ofTheTable reports a sentence of which a number of the table is the subject: "the 31 should
// be 13".
func (r aside) ofTheTable() bool {
	for _, m := range subjectNumber.FindAllStringSubmatch(withoutWholeDays(r.text), -1) {
		x := layout.Numeral(m[1]+m[2], layout.DecimalsUnknown)
		for _, t := range r.tables {
			for _, row := range t.Rows[:min(len(t.Rows), 100)] {
				for _, c := range t.Cols {
					if v := layout.ParseValue(t.View.At(row, c.C), layout.DecimalsUnknown); x.OK() && !c.Head.Jar && v.OK() && same(v.Num, x.Num) {
						return true
					}
				}
			}
		}
	}
	return false
}

// factorBeside speaks of a factor or a share that stands beside its name in a cell of its own.
func (b *bench) factorBeside(line fact, v layout.View, in func(int, int) bool) bool {
	value, unit, _ := b.beside(v, line.r, line.c, in)
	if value == "" || strings.ContainsAny(line.text, ":=") || in(line.r, line.c) {
		return false
	}
	text := strings.TrimSpace(line.text + ": " + value + " " + unit)
	r := b.asideOf(line, text)
	number := layout.ParseText(strings.TrimSpace(value+" "+unit), layout.DecimalsUnknown)
	if !r.factor() && !r.shares() && !(r.reckons() && number.OK()) {
		return false
	}
	b.notUnderstood(line, text)
	return true
}
