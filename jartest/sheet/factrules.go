package sheet

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// factNothing is what a number or a text is that was understood, and is no fact.
const factNothing factKind = 255

// statement is a number with the words it stands with: what the rules of facts look at.
type statement struct {
	b    *bench
	base fact
	// h is of the words beside the number, all of the whole text. Of a name with its
	// value they are the same.
	h, all layout.Heading
	p      layout.Value
	part   string // the words in running text
	keyed  bool
}

func (s *statement) kind() words.Kind { return s.p.Unit.Kind }

// strong reports a unit in which stocks are given.
func (s *statement) strong() bool { return s.kind() == words.Conc || s.kind() == words.Percent }

// book adds the fact of a kind with a value.
func (s *statement) book(k factKind, value float64, sure bool) {
	d := s.base
	d.kind, d.value, d.sure = k, value, sure
	d.unit, d.chem, d.state, d.limit = s.p.Unit, s.h.Chem, s.p.State, s.p.Limit
	s.b.facts = append(s.b.facts, d)
}

// statementTests are the tests of statements by name.
var statementTests = map[string]func(*statement) bool{
	"keyed":   func(s *statement) bool { return s.keyed },
	"running": func(s *statement) bool { return !s.keyed },
	"density": func(s *statement) bool { return s.h.Density },
	// no liquid is as light as a stock in a unit of densities is weak: 0.5 lb/gal
	"dense":     func(s *statement) bool { return dense(s.p.Unit) && s.p.Num*factorOr1(s.p.Unit) > leastDensity },
	"stock":     func(s *statement) bool { return s.h.Stock },
	"strength":  func(s *statement) bool { return s.h.Strength },
	"product":   func(s *statement) bool { return s.h.Product },
	"reading":   func(s *statement) bool { return s.h.Reading != "" },
	"ph":        func(s *statement) bool { return s.h.Reading == jartest.PH },
	"after":     func(s *statement) bool { return s.h.Stage == "after" },
	"held":      func(s *statement) bool { return s.h.All || s.h.Stage == "set" },
	"untreated": func(s *statement) bool { return s.h.Raw || s.h.Stage == "before" },
	"volume":    func(s *statement) bool { return s.h.Volume },
	"jar":       func(s *statement) bool { return s.h.Jar },
	"vessel": func(s *statement) bool {
		return s.h.Volume || s.h.Jar || s.h.All || spoken()["buckets"].is(words.Fold(s.h.Text))
	},
	"used-otherwise": func(s *statement) bool { return otherwiseUsed(words.Fold(s.h.Text), "", true) },
	"recycle":        func(s *statement) bool { return s.h.Recycle },
	"removal":        func(s *statement) bool { return s.h.Removal || s.all.Removal },
	"dose":           func(s *statement) bool { return s.h.Dose },
	"dosed":          func(s *statement) bool { return s.h.Chem != "" || s.h.Dose },
	// of doses: headed with a word for them, or with their unit
	"dose-line": func(s *statement) bool {
		line := unpowered(s.base.text)
		return layout.ReadHeading(line).Dose || len(words.Units(line)) > len(words.Amounts(line))
	},
	"all":      func(s *statement) bool { return s.h.All },
	"says-all": func(s *statement) bool { return saysAll(s.part) },
	"advice":   func(s *statement) bool { return s.all.Summary || s.all.Next },
	"chosen":   func(s *statement) bool { return s.all.Chosen },
	// of the whole text
	"of-stock": func(s *statement) bool { return s.all.Stock },
	"of-chemical": func(s *statement) bool {
		return s.all.Chem != "" || s.all.Metal != "" || s.p.Unit.As != "" || len(countedIn(s.part)) > 0
	},
	"of-product": func(s *statement) bool { return s.all.Product },
	"named":      func(s *statement) bool { return s.h.Chem != "" },
	// how much less, more, left or removed it is, and of what, and how full something is
	"portion": func(s *statement) bool {
		f := words.Fold(cmp.Or(s.part, s.base.text))
		return s.kind() == words.Percent && spoken()["portion"].in(strings.ReplaceAll(f, "full strength", ""))
	},
	"counted":        func(s *statement) bool { return s.p.Unit.As != "" || s.h.Metal != "" || len(countedIn(s.part)) > 0 },
	"basicity":       (*statement).ofBasicity,
	"warm-elsewhere": func(s *statement) bool { return warmElsewhere(s.h, words.Fold(s.h.Text)) },
	"weak":           func(s *statement) bool { return s.p.Num*s.p.Unit.Factor <= leastProduct },
	// of the number
	"mass":    func(s *statement) bool { return s.kind() == words.Mass },
	"strong":  (*statement).strong,
	"percent": func(s *statement) bool { return s.kind() == words.Percent },
	"litres":  func(s *statement) bool { return s.kind() == words.Volume },
	"bare":    func(s *statement) bool { return s.kind() == "" },
	"conc":    func(s *statement) bool { return s.kind() == words.Conc },
	"share-of-product": func(s *statement) bool { // by volume
		share := s.p.Num * s.p.Unit.Factor
		return s.kind() == words.Volper && share >= leastShare && share < 1000 && (strings.HasSuffix(s.p.Unit.Name, "v/v") || saysDilution(s.base.text))
	},
	"amount":    func(s *statement) bool { return s.kind() == words.Conc || s.kind() == words.Molar },
	"fine":      func(s *statement) bool { return s.p.Unit.Factor <= 1 },
	"mL-of-jar": func(s *statement) bool { return s.p.Num >= 100 && s.p.Num <= 5000 },
	"of-another": func(s *statement) bool {
		key := layout.KeyOfUnit(s.p.Unit)
		return (s.h.Wave > 0 || unitAlone(layout.Heading{Reading: key}, s.base.text)) && namesAnother(s.h, key)
	},
	"of-reading": func(s *statement) bool { return layout.KeyOfUnit(s.p.Unit) != "" },
	"sampled": func(s *statement) bool {
		return s.kind() == words.Volume && spoken()["sampled"].in(words.Fold(s.base.text)) && s.p.Num*s.p.Unit.Factor < 0.2
	},
}

// statementRules say what a number is, by the words that it stands with.
var statementRules = layout.NewRules(statementTests, []layout.Rule[factKind, *statement]{
	{Role: factNothing, Weight: 98, Needs: "basicity percent", Why: "how basic a product is", Then: (*statement).basicityAside},
	{Role: factNothing, Weight: 98, Needs: "keyed basicity bare", Why: "how basic a product is, as a share", Then: (*statement).basicityAside},
	{Role: factNothing, Weight: 66, Needs: "keyed warm-elsewhere", Why: "the temperature of something else", Then: func(s *statement) { s.b.rawAside(s.base.at, s.base.text) }},
	{Role: factNothing, Weight: 97, Needs: "portion", Why: "a share is no strength"},
	{Role: factDensity, Weight: 95, Needs: "keyed density", Why: "a density by name", Then: (*statement).bookDensity},
	{Role: factDensity, Weight: 95, Needs: "keyed dense", Against: "stock", Why: "the unit of densities", Then: (*statement).bookDensity},
	{Role: factDensity, Weight: 95, Needs: "running dense", Why: "the unit of densities in a text", Then: (*statement).bookDensity},
	{Role: factNothing, Weight: 90, Needs: "keyed mass stock", Why: "a mass in no volume"},
	{Role: factStock, Weight: 90, Needs: "keyed stock strong", Against: "reading volume", Why: "a strength of a stock", Then: (*statement).bookStock},
	{Role: factStock, Weight: 90, Needs: "keyed strength strong", Against: "product reading volume", Why: "a strength", Then: (*statement).bookStock},
	{Role: factNothing, Weight: 85, Needs: "keyed sampled", Why: "what a meter or a vial takes is no jar"},
	{Role: factVolume, Weight: 80, Needs: "keyed litres vessel", Against: "stock used-otherwise", Why: "a volume of a jar",
		Then: func(s *statement) { s.bookOfJars(factVolume, s.p.Num*s.p.Unit.Factor) }},
	{Role: factVolume, Weight: 75, Needs: "keyed volume jar bare mL-of-jar", Against: "stock used-otherwise", Why: "a number that is mL of a jar",
		Then: func(s *statement) { s.bookOfJars(factVolume, s.p.Num/1000) }},
	{Role: factWhite, Weight: 96, Needs: "keyed recycle reading", Against: "percent litres", Why: "what the white water reads",
		Then: (*statement).bookWhite},
	{Role: factRecycle, Weight: 94, Needs: "keyed recycle litres", Against: "stock", Why: "a volume of white water", Then: (*statement).bookRecycle},
	{Role: factRecycle, Weight: 70, Needs: "keyed recycle percent", Why: "a share of recycled water", Then: (*statement).bookRecycle},
	{Role: factRecycle, Weight: 70, Needs: "keyed recycle bare", Against: "reading dosed jar", Why: "a ratio of recycled water", Then: (*statement).bookRecycle},
	{Role: factPH, Weight: 65, Needs: "keyed ph held", Why: "a pH in all jars",
		Then: func(s *statement) { s.book(factPH, s.p.Num, false) }},
	{Role: factNothing, Weight: 62, Needs: "keyed removal percent", Why: "what was removed"},
	{Role: factRaw, Weight: 60, Needs: "keyed reading", Against: "after stock", Why: "a reading by name",
		Then: func(s *statement) { s.bookRaw(s.h.Reading) }},
	{Role: factNothing, Weight: 57, Needs: "keyed untreated of-reading of-another", Against: "bare", Why: "the name is another reading's than the unit",
		Then: func(s *statement) { s.b.rawAside(s.base.at, s.base.text) }},
	{Role: factRaw, Weight: 56, Needs: "keyed untreated of-reading", Against: "bare", Why: "the unit of a reading of raw water",
		Then: func(s *statement) { s.bookRaw(layout.KeyOfUnit(s.p.Unit)) }},
	{Role: factNothing, Weight: 55, Needs: "keyed untreated", Against: "bare", Why: "a unit of no reading"},
	{Role: factNothing, Weight: 50, Needs: "keyed dosed amount fine advice", Why: "the best dose, the plant's dose"},
	{Role: factNothing, Weight: 50, Needs: "keyed dosed amount fine chosen", Against: "named says-all", Why: "the dose that was chosen"},
	{Role: factNothing, Weight: 50, Needs: "keyed dosed amount fine chosen named", Against: "advice says-all", Why: "a dose chosen of a chemical that the jars may have got", Then: (*statement).mention},
	{Role: factFixed, Weight: 45, Needs: "keyed dosed amount fine", Against: "product strength", Why: "a dose by name",
		Then: (*statement).bookNamed},

	{Role: factNothing, Weight: 90, Needs: "running strong reading", Why: "a reading"},
	{Role: factNothing, Weight: 90, Needs: "running strong removal", Why: "a removal"},
	{Role: factNothing, Weight: 90, Needs: "running strong product", Why: "what a product holds", Then: (*statement).bookHolds},
	{Role: factNothing, Weight: 90, Needs: "running strong of-product", Against: "stock", Why: "what a product holds", Then: (*statement).bookHolds},
	{Role: factNothing, Weight: 90, Needs: "running strong recycle", Why: "a share of recycled water"},
	{Role: factDilution, Weight: 85, Needs: "share-of-product of-chemical", Against: "dose reading jar all", Why: "a product diluted to a share by volume",
		Then: func(s *statement) {
			s.book(factDilution, 1000/(s.p.Num*s.p.Unit.Factor), false)
			s.b.facts[len(s.b.facts)-1].parts = []amount{{Amount: words.Amount{UnitAt: words.UnitAt{Unit: s.p.Unit}}, num: s.p.Num, ok: true}}
		}},
	{Role: factStock, Weight: 80, Needs: "running strong stock", Why: "beside a word for the stock", Then: (*statement).bookStock},
	{Role: factStock, Weight: 80, Needs: "running strong strength", Against: "dose", Why: "beside a word for strength", Then: (*statement).bookStock},
	{Role: factStock, Weight: 78, Needs: "running percent of-stock", Against: "dose all", Why: "a percentage in a text on the stock", Then: (*statement).bookStock},
	{Role: factStock, Weight: 78, Needs: "running strong of-stock", Against: "dose all fine", Why: "no dose is that strong", Then: (*statement).bookStock},
	{Role: factStock, Weight: 76, Needs: "running conc named", Against: "dose dose-line all fine dense advice counted", Why: "a chemical, and no dose is that strong", Then: (*statement).bookStock},
	{Role: factStock, Weight: 76, Needs: "running percent weak named", Against: "dose dose-line all advice counted", Why: "a chemical, and no product is that weak", Then: (*statement).bookStock},
	{Role: factNothing, Weight: 70, Needs: "running strong advice", Against: "says-all", Why: "the best dose, the plant's dose"},
	{Role: factNothing, Weight: 70, Needs: "running strong chosen dosed", Against: "named says-all advice", Why: "the dose that was chosen"},
	{Role: factNothing, Weight: 70, Needs: "running conc fine dosed advice says-all", Why: "all jars, and a word for another dose", Then: (*statement).mention},
	{Role: factHolds, Weight: 65, Needs: "running percent of-chemical", Against: "dose", Why: "what a product holds", Then: (*statement).bookHolds},
	{Role: factFixed, Weight: 60, Needs: "running conc fine dosed", Against: "strength", Why: "a dose", Then: (*statement).bookFixed},
	{Role: factFixed, Weight: 60, Needs: "running conc fine all", Against: "strength", Why: "in all jars", Then: (*statement).bookFixed},
})

// leastShare is the least share of product in a dilution that benches make, mL/L; less is rather a dose
// (common practice, no source).
const leastShare = 2

// bookDensity books a density in kg/L; what no liquid has is none.
func (s *statement) bookDensity() {
	v := s.p.Num * factorOr1(s.p.Unit)
	switch {
	case !s.keyed && (s.p.Num <= 0.5 || s.h.Stock):
		return
	case s.keyed && !s.p.Unit.Known() && s.p.Num > 500 && s.p.Num < 2500:
		v = s.p.Num / 1000
	}
	if !s.keyed || v > leastDensity && v < 2.5 {
		s.book(factDensity, v, false)
	}
}

func (s *statement) bookStock() {
	v, ok := stockStrength(s.p)
	if !ok {
		return
	}
	s.book(factStock, v, !(s.kind() == words.Percent && s.p.Num*s.p.Unit.Factor > leastProduct))
	last := &s.b.facts[len(s.b.facts)-1]
	last.parts = []amount{{Amount: words.Amount{UnitAt: words.UnitAt{Unit: s.p.Unit}}, num: s.p.Num, ok: true}}
	if !s.keyed && last.chem == "" {
		last.chem = s.all.Chem
	}
}

func (s *statement) bookHolds() {
	if s.kind() == words.Percent {
		s.book(factHolds, s.p.Num*s.p.Unit.Factor, false)
		s.b.facts[len(s.b.facts)-1].chem = s.all.Chem
	}
}

func (s *statement) bookRaw(key jartest.Key) {
	s.book(factRaw, s.p.Num, false)
	s.b.facts[len(s.b.facts)-1].key = key
}

// ofBasicity reports the number that stands with a word for basicity: the first behind it, else the last before it.
func (s *statement) ofBasicity() bool {
	list, f := spoken()["basicity"], words.Fold(cmp.Or(s.part, s.h.Text))
	at := list.at(f)
	if s.keyed || at < 0 {
		return at >= 0
	}
	all := words.Amounts(f)
	i := slices.IndexFunc(all, func(a words.Amount) bool { return a.Start > at })
	switch {
	case len(all) == 0:
		return false
	case i < 0:
		i = len(all) - 1
	}
	x := layout.Numeral(all[i].Number, layout.DecimalsMixed)
	return x.OK() && same(x.Num, s.p.Num)
}

// basicityAside says once where a basicity is asked for: no dose of a sheet hangs on it, but the alkalinity taken does.
func (s *statement) basicityAside() {
	percent := s.p.Num * s.p.Unit.Factor
	if s.kind() == "" && s.p.Num <= 1 {
		percent = s.p.Num * 100
	} else if s.kind() == "" {
		percent = s.p.Num
	}
	n := note.New(note.Caution, "basicity-aside", "the basicity of %s %% is not taken from a bench sheet; the alkalinity taken is reckoned with the catalogue's", trimFloat(percent)).
		Do("state it in the site under Chemicals, or to plan with --basicity \"%s %%\"", trimFloat(percent))
	if !slices.ContainsFunc(s.b.notes, func(o note.Note) bool {
		return o.Code == n.Code && o.Message == n.Message && o.Sheet == s.base.at.Sheet
	}) {
		s.b.add(n.At(s.base.at))
	}
}

// bookRecycle books white water as it stands, in the unit that it has.
func (s *statement) bookRecycle() { s.bookOfJars(factRecycle, s.p.Num) }

// bookOfJars books a fact with the jars that its text limits it to.
func (s *statement) bookOfJars(k factKind, value float64) {
	s.book(k, value, false)
	s.b.facts[len(s.b.facts)-1].jars = s.b.someOf(cmp.Or(s.part, s.base.text))
}

// bookWhite books what the white water reads by itself.
func (s *statement) bookWhite() {
	scale, ok := scaleOf(s.h.Reading, s.p.Unit)
	if !ok || s.p.State != layout.Number {
		return
	}
	s.book(factWhite, round12(convertValue(s.p.Num, scale, s.p.Unit)), false)
	s.b.facts[len(s.b.facts)-1].key = s.h.Reading
}

// bookNamed books a dose that stands under its name.
func (s *statement) bookNamed() {
	scope, some := jarsNamed(words.Fold(s.base.text))
	s.book(factFixed, s.p.Num*s.p.Unit.Factor, s.h.All || s.h.Dose || some)
	if some {
		s.b.facts[len(s.b.facts)-1].jars = &scope
	}
}

// bookFixed books a dose of every jar, or of those that the sentence names; what is not
// said of every jar is only mentioned.
func (s *statement) bookFixed() {
	whole := sentenceWith(s.base.text, s.part)
	if scope, some := jarsNamed(words.Fold(whole)); some && !spoken()["formerly"].in(words.Fold(whole)) {
		s.book(factFixed, s.p.Num*s.p.Unit.Factor, true)
		s.b.facts[len(s.b.facts)-1].jars = &scope
		return
	}
	sure := s.h.All || s.all.All || saysAll(whole) || inTurn(words.Fold(s.part))
	f := spanOfTime.ReplaceAllString(words.Fold(whole), " ")
	if !sure && !tied.MatchString(f) || spoken()["formerly"].in(f) || partly.MatchString(f) {
		s.mention()
		return
	}
	s.book(factFixed, s.p.Num*s.p.Unit.Factor, sure)
}

// inTurn reports a folded sentence that says before or after which chemical another was added: all got it that got that.
func inTurn(f string) bool { return len(turnsIn(f)) > 0 }

// turnsIn gives where such words stand, with the other chemical.
func turnsIn(f string) [][]int {
	var out [][]int
	for _, x := range words.Find(f) {
		if at := turnBefore.FindStringIndex(f[:x.From]); at != nil && strings.HasPrefix(x.Concept, "chem:") {
			out = append(out, []int{at[0], x.To})
		}
	}
	return out
}

var turnBefore = worded(`(?:^|[ ,(]){*in turn} (?:(?:the|dem|der|das|den|el|la|le|l|o|a|il|lo|het|de) ?['’]?)?$`)

// mention speaks of a dose that is not taken.
func (s *statement) mention() {
	s.b.say(note.Caution, "dose-mentioned", s.base.at, "%q speaks of a dose and does not say that every jar got it; it was not taken", clip(s.part)).do(s.b, "give it a column of its own")
}

// spanOfTime is when a dose was added.
var spanOfTime = words.NewPattern(`\b\d+ ?(?:s|secs?|seconds?|min|mins|minutes?)\b`)

// saysAll reports words for all jars, also where they stand behind a unit.
func saysAll(text string) bool {
	return slices.ContainsFunc(words.Find(words.Fold(text)), func(x words.Hit) bool { return x.Concept == "meta:all" })
}

// amountFact books a number with a unit under a name.
func (b *bench) amountFact(base fact, h layout.Heading, p layout.Value) {
	s := &statement{b: b, base: base, h: h, all: h, p: p, keyed: true}
	if h.Chem != "" {
		s.base.keyed = h.Chemical || h.Stock
		s.book(factChemical, p.Num, false)
		s.base.keyed = base.keyed
	}
	statementRules.Decide(s)
}

// amounts books the numbers with units in one part of a text.
func (b *bench) amounts(base fact, part string, dec layout.Decimals, all layout.Heading) {
	part = purpose.ReplaceAllString(part, "")
	us := words.Amounts(part)
	if len(us) == 0 && !all.Density {
		return
	}
	h := layout.ReadHeading(part)
	for _, u := range us {
		x := layout.Numeral(u.Number, dec)
		if h.Stock || all.Stock {
			x = stockNumeral(u.Number, u.Unit, dec)
		}
		if x.OK() {
			own := h
			if chem := chemicalOf(part, us, u); chem != "" && len(h.Chems) > 1 {
				own.Chem = chem
			}
			statementRules.Decide(&statement{b: b, base: base, h: own, all: all, part: part, p: layout.Value{State: layout.Number, Num: x.Num, Unit: u.Unit}})
		}
	}
	if len(us) > 0 {
		return
	}
	f := words.Fold(part)
	for _, m := range densitiesIn(f) {
		if x := layout.Numeral(f[m[2]:m[3]], dec); x.OK() && x.Num > 0.5 && x.Num < 2.5 {
			d := base
			d.kind, d.value, d.chem = factDensity, x.Num, h.Chem
			b.facts = append(b.facts, d)
			return
		}
	}
}

// chemicalOf gives the chemical that an amount of a text is of: the one right behind it, "0.3 mg/L
// polymer", else the last before it, else the next.
func chemicalOf(text string, all []words.Amount, u words.Amount) string {
	from, to := 0, len(text)
	for _, o := range all {
		if o.To <= u.Start {
			from = max(from, o.To)
		}
		if o.Start >= u.To {
			to = min(to, o.Start)
		}
	}
	before, behind := chemicalsIn(text[from:u.Start]), chemicalsIn(text[u.To:to])
	near := func(x words.Hit) bool { return ofIt.MatchString(words.Fold(text[u.To:to])[:x.From]) }
	switch {
	case len(behind) > 0 && (len(before) == 0 || near(behind[0])):
		return strings.TrimPrefix(behind[0].Concept, "chem:")
	case len(before) > 0:
		return strings.TrimPrefix(before[len(before)-1].Concept, "chem:")
	}
	return ""
}

// ofIt is what may stand between an amount and what it is of.
var ofIt = words.NewPattern(`^ ?(?:of |de |d'|di |von |av |af |van |z )?$`)

// chemicalsIn gives where the chemicals of a text stand, folded.
func chemicalsIn(text string) []words.Hit {
	return slices.DeleteFunc(slices.Clone(words.Find(words.Fold(text))), func(x words.Hit) bool { return !strings.HasPrefix(x.Concept, "chem:") })
}

// densitiesIn gives where the densities of a folded text stand, and where their numbers: a word for
// density, the words for a product that may follow, and a number, "SG of product 1.33".
func densitiesIn(f string) (spans [][]int) {
	for _, x := range words.Find(f) {
		m := bareNum.FindStringIndex(f[x.To:])
		if x.Concept != "meta:density" || m == nil {
			continue
		}
		ofProduct := func(p layout.Piece) bool {
			kind, _, _ := strings.Cut(p.Concept, ":")
			as, _ := words.Species(p.Text)
			return p.Concept == layout.SaysFiller || kind == "chem" || holds("role:stock role:neat role:chemical meta:product", p.Concept) || p.Text == "=" || as == "product"
		}
		between := f[x.To : x.To+m[0]]
		if !strings.ContainsAny(between, ";.,\n") && !slices.ContainsFunc(layout.Pieces(between), func(p layout.Piece) bool { return !ofProduct(p) }) {
			spans = append(spans, []int{x.From, x.To + m[1], x.To + m[0], x.To + m[1]})
		}
	}
	return spans
}

// named is a name with its value: what the rules of named values look at.
type named struct {
	b          *bench
	base       fact
	key, val   string
	whole      string // the value with its unit
	h, of      layout.Heading
	p          layout.Value
	dec        layout.Decimals
	basis      quantity.Basis
	numberLike bool
}

// namedUse is how a name with its value is read.
type namedUse uint8

const (
	asChemicalName namedUse = iota
	asBasisName
	asTestName
	asTargetLine
	asTwoTexts
	asOneText
	asItsValue
	asNumber
)

var namedTests = map[string]func(*named) bool{
	"number":     func(n *named) bool { return n.numberLike },
	"chemical":   func(n *named) bool { return n.h.Chemical && !n.h.Density },
	"strength":   func(n *named) bool { return n.h.Strength || n.h.Stock },
	"names-base": func(n *named) bool { return layout.NamesBasis(n.key) },
	"basis":      func(n *named) bool { return n.basis != quantity.NotStated },
	"counts":     func(n *named) bool { return n.counts() != "" },
	"substance":  (*named).substance,
	"reads":      func(n *named) bool { return n.h.Reading != "" || n.h.Volume || n.h.Removal },
	"person":     func(n *named) bool { return n.h.Operator },
	"laboratory": func(n *named) bool { return ofLaboratory(n.key, n.h) },
	"stock":      func(n *named) bool { return n.h.Stock || n.h.Strength },
	"test":       func(n *named) bool { return n.h.Test },
	"measured":   func(n *named) bool { return n.h.Reading != "" || n.h.Volume || n.h.Chemical || n.h.Stage != "" },
	"no-name": func(n *named) bool {
		return n.val == "date" || len(n.val) >= 60 || words.Fold(n.val) == "bench sheet" || layout.IsDate(words.Fold(n.val))
	},
	// a water and what was read of it
	"water-read": func(n *named) bool {
		key := words.Fold(n.key)
		untreated := !spoken()["clear"].in(key) && !spoken()["process"].in(key) && !spoken()["elsewhere"].in(key) && !spoken()["formerly"].in(key)
		return spoken()["water"].in(key) && untreated && (n.of.Reading != "" || layout.KeyOfUnit(n.of.Unit) != "") && n.of.Amount && n.of.Stage != "after"
	},
	"target": func(n *named) bool { return n.h.Target },
	"drop": func(n *named) bool {
		drops := func(u words.UnitAt) bool { return u.Kind == words.Drops }
		return len(words.Amounts(n.key)) == 0 && slices.ContainsFunc(words.Units(n.key), drops) ||
			spoken()["drop size"].in(words.Fold(n.key)) || oneDropOf.MatchString(words.Fold(n.key))
	},
	"drop-sized": func(n *named) bool {
		v := n.p.Num * n.p.Unit.Factor
		return n.p.Unit.Kind == words.Volume && v >= leastDrop && v <= largestDrop
	},
	"drops-per-mL": func(n *named) bool {
		return slices.ContainsFunc(words.Units(n.key), func(u words.UnitAt) bool { return u.Kind == words.Dropper }) && n.p.Num >= 1
	},
	"water":  func(n *named) bool { return statesReading(n.of, n.val) || ofOneWater(n.of, n.val) },
	"jar":    func(n *named) bool { return n.h.Jar },
	"amount": func(n *named) bool { return n.h.Amount },
	"telling": func(n *named) bool {
		h := n.h
		return h.Stock || h.Strength || h.Volume || h.Density || h.Jar || h.Raw || h.Stage == "before" || h.Chem != "" || n.of.Stock
	},
}

// namedRules say how a name with its value is read.
var namedRules = layout.NewRules(namedTests, []layout.Rule[namedUse, *named]{
	{Role: asChemicalName, Weight: 90, Needs: "chemical", Against: "number strength", Why: "names the chemical", Then: (*named).chemical},
	{Role: asBasisName, Weight: 80, Needs: "names-base basis", Why: "says what doses count", Then: func(n *named) { n.text(factBasis, string(n.basis)) }},
	{Role: asBasisName, Weight: 75, Needs: "names-base", Against: "basis number telling", Why: "says what doses count, in words", Then: (*named).wordedBasis},
	{Role: asBasisName, Weight: 78, Needs: "counts", Against: "chemical number stock reads test laboratory", Why: "its value says what doses count", Then: func(n *named) { n.text(factBasis, n.counts()) }},
	{Role: asBasisName, Weight: 74, Needs: "substance", Against: "chemical number stock reads test telling person names-base", Why: "a substance and nothing else", Then: (*named).maybeBasis},
	{Role: asOneText, Weight: 72, Needs: "water-read", Against: "names-base measured", Why: "what was read of a water", Then: (*named).ofWater},
	{Role: asTestName, Weight: 70, Needs: "test", Against: "names-base measured no-name water", Why: "names the test", Then: (*named).test},
	{Role: asTargetLine, Weight: 60, Needs: "target", Against: "names-base jar", Why: "a target",
		Then: (*named).target},
	{Role: asTwoTexts, Weight: 50, Needs: "amount", Against: "number", Why: "an amount before the colon", Then: func(n *named) {
		n.b.textFacts(n.base, n.key, n.dec)
		n.b.textFacts(n.base, n.whole, n.dec)
	}},
	{Role: asOneText, Weight: 40, Needs: "telling", Against: "number", Why: "Stock | 10 g alum in 1 L", Then: (*named).sentence},
	{Role: asItsValue, Weight: 30, Against: "number", Why: "a text", Then: func(n *named) {
		if n.of.Chem != "" && (n.h.Chemical || n.h.Product || n.h.Stock) {
			n.b.chemicalFact(n.base, n.val)
		}
		if n.of.Jar && otherwiseUsed(words.Fold(n.key), "", true) { // "Waste: 5 L jar"
			return
		}
		n.b.textFacts(n.base, n.val, n.dec)
	}},
	{Role: asNumber, Weight: 95, Needs: "drop drop-sized number", Why: "the volume of a drop",
		Then: func(n *named) { n.drop(n.p.Num * n.p.Unit.Factor) }},
	{Role: asNumber, Weight: 95, Needs: "drops-per-mL number", Why: "how many drops a volume makes",
		Then: func(n *named) {
			for _, u := range words.Units(n.key) {
				if u.Kind == words.Dropper {
					n.drop(1 / (n.p.Num * u.Factor))
				}
			}
		}},
	{Role: asNumber, Weight: 30, Needs: "number", Why: "a number under a name", Then: func(n *named) { n.b.amountFact(n.base, n.h, n.p) }},
})

// oneDropOf is a name for a single drop.
var oneDropOf = words.NewPattern(`^(?:1|one|a) drop$`)

// drop books the volume of a drop, L.
func (n *named) drop(litres float64) {
	d := n.base
	d.kind, d.value, d.unit = factDrop, litres, n.p.Unit
	n.b.facts = append(n.b.facts, d)
}

// keyFact books a name with its value.
func (b *bench) keyFact(base fact, key, val, unitText string, dec layout.Decimals) {
	n := &named{b: b, base: base, key: key, val: val, h: layout.ReadHeading(key), of: layout.ReadHeading(val), dec: dec, whole: strings.TrimSpace(val + " " + unitText)}
	if n.ofOtherWater() {
		b.rawAside(base.at, strings.TrimSpace(key+" "+val))
		return
	}
	if n.h.Next || n.h.Old {
		return
	}
	if unitText == "" {
		n.whole = val
	}
	if n.h.Reading == jartest.TemperatureKey {
		n.whole = bareDegrees.ReplaceAllString(n.whole, "$1 °$2")
	}
	n.p = layout.ParseText(n.whole, dec)
	if as := words.Amounts(n.whole); !n.p.OK() && len(as) == 1 && as[0].Start == 0 && as[0].To == len(n.whole) && (n.h.Stock || n.h.Strength) {
		if x := stockNumeral(as[0].Number, as[0].Unit, dec); x.OK() {
			n.p = layout.Value{State: layout.Number, Num: x.Num, Unit: as[0].Unit}
		}
	}
	n.numberLike = n.p.State == layout.Number || n.p.State == layout.Below && n.p.Limit || n.p.State == layout.Above && n.p.Limit
	if n.p.OK() && !n.p.Unit.Known() {
		n.p.Unit = n.h.Unit
	}
	if n.numberLike && len(words.Amounts(n.whole)) > 1 {
		n.numberLike = false // "750 mL; alum stock 1 g/100 mL"
	}
	if n.numberLike && n.h.Chem == "" && (n.h.Stock || n.h.All) {
		n.h.Chem = n.of.Chem // "Stock solution: 10 g/L alum", "All jars: 0.2 mg/L polymer"
	}
	n.basis, _ = quantity.BasisOf(strings.TrimSpace(undenied(val)))
	had, said := len(b.facts), len(b.notes)
	namedRules.Decide(n)
	if len(b.facts) == had && len(b.notes) == said && n.promises() {
		b.say(note.Caution, "line-not-taken", base.at, "%q was not taken for anything", clip(strings.TrimSpace(key+" "+n.whole))).do(b, "write the value as a number with its unit")
	}
}

// promises reports a name of a fact beside a text with a number: one that gives no fact was not understood.
func (n *named) promises() bool {
	of := n.h.Raw || n.h.Stage == "before"
	return strings.ContainsAny(n.val, "0123456789") && !n.numberLike && !layout.IsDate(words.Fold(n.val)) && (of && n.h.Reading != "" || n.h.Volume && n.h.Jar)
}

// ofOtherWater reports a name for the raw water of another day, or for what was only expected of it.
func (n *named) ofOtherWater() bool {
	f := words.Fold(n.key)
	return (n.h.Raw || n.h.Stage == "before" || n.h.Reading != "") && (spoken()["formerly"].in(f) || spoken()["supposed"].in(f))
}

func (n *named) text(k factKind, text string) {
	d := n.base
	d.kind, d.text = k, text
	n.b.facts = append(n.b.facts, d)
}

func (n *named) chemical() {
	if said := say(n.val); n.of.Chem == "" && (said.means("value:zero") || said.means("value:missing")) {
		return // none
	}
	dosed := slices.ContainsFunc(words.Amounts(n.val), func(a words.Amount) bool { return a.Kind == words.Conc && a.Factor <= 1 })
	if n.of.Chem != "" && dosed && saysAll(n.val) { // "Coagulant ahead of polymer | alum, 30 mg/L in every jar"
		n.base.text = n.val
		n.b.textFacts(n.base, n.val, n.dec)
		return
	}
	if !n.b.chemicalFact(n.base, n.val) {
		return
	}
	if as, ok := words.CountedAs(undenied(n.val)); ok { // "alum (as product)"
		n.base.chem = n.of.Chem
		n.text(factBasis, as)
	}
	if n.of.Neat { // "FeCl3 40 %, SG 1.42, undiluted"
		n.base.chem = n.of.Chem
		n.text(factNeat, n.val)
	}
	for _, part := range partSign.Split(n.val, -1) {
		n.b.amounts(n.base, part, n.dec, layout.Heading{Product: true, Density: layout.ReadHeading(part).Density})
	}
}

func (n *named) test() {
	if n.whole == n.val && n.of.Recycle || protocolLabel(n.val) && len(words.Amounts(n.val)) > 0 { // a title that its commas cut
		n.text(factName, n.key)
		n.b.textFacts(n.base, n.val, n.dec)
		return
	}
	if n.of.Jar && strings.ContainsAny(n.val, "0123456789") { // "Jar test, storm water | 6 jars"
		n.text(factName, n.key)
		n.b.textFacts(n.base, n.val, n.dec)
		return
	}
	if n.numberLike {
		n.text(factName, strings.TrimSpace(n.key)+" "+n.val)
		return
	}
	n.text(factName, n.val)
	if n.h.Rest == "" {
		n.b.textFacts(n.base, n.val, n.dec)
	}
}

// ofTarget are what the name of a target may say.
const ofTarget = "role:target reading stage removal logremoval filtered label role:jar role:value role:test role:time role:date role:unit meta:all meta:next meta:operator place stat:mean stop " +
	layout.SaysUnit + " " + layout.SaysNumber + " " + layout.SaysSign + " " + layout.SaysFiller

// target books a target; what stands in its name and is not known may say that it is none of this test.
func (n *named) target() {
	if word := n.notOfTarget(); word != "" {
		n.b.say(note.Caution, "raw-bound", n.base.at, "%q can be a bound or a reading of another water, as %q says: nothing was taken from it", clip(strings.TrimSpace(n.key+" "+n.whole)), word).
			do(n.b, "write a target and a reading of the raw water in lines of their own")
		return
	}
	n.text(factTarget, strings.TrimSpace(strings.TrimSuffix(n.key, ":")+" | "+n.whole))
	var left []string
	for _, p := range layout.Pieces(n.key) {
		known := p.Concept != "" && holds(ofTarget, p.Concept) || spoken()["harmless"].has(p.Text) || spoken()["plain"].has(p.Text)
		if !known || p.After == "per" {
			left = append(left, strings.TrimSpace(p.After+" "+p.Text))
		}
	}
	if len(left) > 0 {
		n.b.say(note.Caution, "fact-words", n.base.at, "%q in %q is not understood; taken from it: the target", strings.Join(left, " … "), clip(strings.TrimSpace(n.key+" "+n.whole))).
			do(n.b, "write each fact in a line of its own, its name and its value")
	}
}

func (n *named) sentence() {
	had := len(n.b.facts)
	n.b.textFacts(n.base, n.key+" "+n.whole, n.dec)
	found := slices.ContainsFunc(n.b.facts[had:], func(x fact) bool { return x.kind == factRaw })
	if (n.h.Raw || n.h.Stage == "before") && !found && !n.b.asked(n.base.at) {
		n.b.rawSentence(n.base, n.whole, n.dec)
	}
}

// ofWater books what was read of the water that the name speaks of.
func (n *named) ofWater() {
	n.text(factName, n.key)
	n.b.rawSentence(n.base, n.whole, n.dec)
}

// wordedBasis books a basis that is not spelt as one: "neat liquid"; one that is not known
// speaks where a dose asks for it.
func (n *named) wordedBasis() {
	as := productIn(words.Fold(n.val), n.of)
	if as == "" {
		as = n.val
	}
	n.text(factBasis, as)
}
