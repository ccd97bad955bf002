package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// stockPair is an amount of a sentence with the one after it: what the rules of stocks
// look at.
type stockPair struct {
	b       *bench
	base    fact
	s       sentence
	i       int
	a, next amount
	between string // the words between the two
	after   string // the words after the second
	// what a volume of stock gives or holds, and the words before it; the volume of a
	// jar may stand between: "1 mL in 1 L gives 10 mg/L"
	got     amount
	linking string
	litres  float64  // of that jar
	parts   []amount // what the fact is worked out of
}

func (s *sentence) pair(b *bench, base fact, i int) *stockPair {
	p := &stockPair{b: b, base: base, s: *s, i: i, a: s.amounts[i], next: s.amounts[i+1], between: s.between[i+1], after: s.between[i+2]}
	p.base.chem, p.base.sure = s.all.Chem, true
	p.got, p.linking = p.next, p.between
	p.parts = []amount{p.a, p.next}
	if perLitre.MatchString(p.between) || perLitre.MatchString(p.after) {
		p.litres = 1
	}
	third, ok := p.third()
	switch {
	case !ok:
	case p.next.Kind == words.Volume:
		p.got, p.linking, p.litres = third, p.between+" "+p.after, p.next.base()
		p.parts = append(p.parts, third)
	case p.next.Kind == words.Conc && third.Kind == words.Volume && intoJar.MatchString(p.after):
		p.litres = third.base() // "1 mL = 10 mg/L in 500 mL"
		p.parts = append(p.parts, third)
	}
	return p
}

// intoJar joins a dose to the water that it holds in.
var intoJar = worded(`^[^\pL\d]*(?:{made up in}|for)(?: (?:a|an|the|each|one))?[^\pL\d]*$`)

// third is the amount after the pair.
func (p *stockPair) third() (amount, bool) {
	if p.i+2 >= len(p.s.amounts) {
		return amount{}, false
	}
	x := p.s.amounts[p.i+2]
	return x, x.ok
}

// add books a fact of the pair.
func (p *stockPair) add(k factKind, value float64) {
	d := p.base
	d.kind, d.value, d.litres, d.parts = k, value, p.litres, p.parts
	p.b.stocked(d)
}

// diluted follows what a sentence says was done with a stock that it made up: "then 100 mL
// of that to 1 L". It gives how many times the stock was diluted.
func (p *stockPair) diluted(used int) float64 {
	times := 1.0
	p.parts = slices.Clone(p.s.amounts[p.i : p.i+used])
	for k := p.i + used; k+1 < len(p.s.amounts); k += 2 {
		from, to := p.s.amounts[k], p.s.amounts[k+1]
		poured := diluteTo.MatchString(p.s.between[k+1]) || madeUpIn.MatchString(p.s.between[k+1])
		if from.Kind != words.Volume || to.Kind != words.Volume || !from.ok || !to.ok || from.base() >= to.base() || !poured || jarWord(p.s.between[k+1]+" ; "+p.s.between[k+2]) {
			break
		}
		times *= to.base() / from.base()
		p.parts = append(p.parts, from, to)
	}
	return times
}

// book adds a stock of which the first amounts of the sentence tell the strength.
func (p *stockPair) book(strength float64, used int) {
	p.base.of = p.diluted(used)
	p.add(factStock, strength/p.base.of)
	if p.base.of > 1 {
		p.b.say(note.Info, "stock-diluted", p.base.at, "the stock is %s: %s was diluted 1 in %s", quantity.Concentration(strength/p.base.of), quantity.Concentration(strength), trimFloat(p.base.of))
	}
}

// base gives what an amount counts in its base unit.
func (a amount) base() float64 { return a.num * a.Factor }

var stockTests = map[string]func(*stockPair) bool{
	"drops":     func(p *stockPair) bool { return p.a.Kind == words.Drops },
	"volume":    func(p *stockPair) bool { return p.a.Kind == words.Volume },
	"mass":      func(p *stockPair) bool { return p.a.Kind == words.Mass },
	"volper":    func(p *stockPair) bool { return p.a.Kind == words.Volper && p.a.num > 0 },
	"some-mL":   func(p *stockPair) bool { return p.a.Kind == words.Volume && p.a.base() <= 0.05 && p.a.num > 0 },
	"to-drops":  func(p *stockPair) bool { return p.next.Kind == words.Drops },
	"to-volume": func(p *stockPair) bool { return p.next.Kind == words.Volume },
	"to-conc":   func(p *stockPair) bool { return p.next.Kind == words.Conc },
	"to-dose":   func(p *stockPair) bool { return p.next.Kind == words.Conc && p.next.Factor <= 1 },
	"linked":    func(p *stockPair) bool { return link.MatchString(p.between) },
	"gives":     func(p *stockPair) bool { return link.MatchString(p.linking) },
	"holds":     func(p *stockPair) bool { return holding.MatchString(p.linking) },
	"got-mass":  func(p *stockPair) bool { return p.got.Kind == words.Mass },
	"got-conc":  func(p *stockPair) bool { return p.got.Kind == words.Conc },
	"drop-sized": func(p *stockPair) bool {
		each := p.next.base() / p.a.num
		return each >= leastDrop && each <= largestDrop && sizing.MatchString(strings.Trim(p.between, " ,:"))
	},
	"of": func(p *stockPair) bool { return strings.HasPrefix(p.between, "of") },
	"made-up-to": func(p *stockPair) bool {
		x, ok := p.third()
		return ok && x.Kind == words.Volume && diluteTo.MatchString(p.after)
	},
	"worked-up": func(p *stockPair) bool { // 10 mL of the stock made up to 100 mL
		from := p.between + " " + p.after
		return working(words.Fold(p.base.text)) && diluteTo.MatchString(p.between) && p.next.base() > p.a.base() && (layout.ReadHeading(from).Stock || backTo.MatchString(from) || strings.Contains(from, "of it"))
	},
	"product-made-up": func(p *stockPair) bool { // what is not said to be a solution that was made may be a dose
		made := toVolume.MatchString(p.between+" "+p.after) || madeUpIn.MatchString(p.between) && saysDilution(p.base.text+" "+p.s.text)
		return p.next.base() > p.a.base() && p.s.all.Chem+p.base.chem != "" && made
	},
	"vessel-with": func(p *stockPair) bool { // "20 L bucket with 200 g of alum"; no jar gets so much
		before := p.s.between[p.i]
		vessel := stockVessel.MatchString(p.between) || stockVessel.MatchString(before[strings.LastIndexAny(strings.TrimRight(before, " "), " ,;:(")+1:]) || vesselOf.MatchString(before)
		return vessel && withIn.MatchString(p.between) && p.next.base()/p.a.base() >= weakestStock
	},
	"to-mass":    func(p *stockPair) bool { return p.next.Kind == words.Mass },
	"made-up-in": func(p *stockPair) bool { return madeUpIn.MatchString(p.between) },
	"in-jars": func(p *stockPair) bool {
		return !dissolved.MatchString(p.between) && !stockVessel.MatchString(p.after) && jarWord(p.between+" "+p.after)
	},
	"of-stock":     func(p *stockPair) bool { return p.s.all.Stock || p.a.Of == "stock" },
	"stock-poured": func(p *stockPair) bool { return p.a.Of == "stock" || saysStock(p.between) },
	"nameless":     func(p *stockPair) bool { return !p.s.all.Stock && !p.s.all.Strength && p.s.all.Chem == "" },
}

var (
	vesselOf = worded(`{vessel of stock}(?: of| with|:| von| de)? ?$`)
	withIn   = words.NewPattern(`(?:\b(?:with|holds?|holding|containing|contains?|gets?|got|mit|con|avec|com)\b|[:,+=])[^a-z]*$`)
)

// toVolume says that a liquid was brought to a volume.
var toVolume = worded(`{brought to}`)

// saysDilution reports a text on a stock or on a dilution.
func saysDilution(text string) bool {
	f := words.Fold(text)
	return dilutionWord.MatchString(f) || saysStock(f)
}

// weakestStock is more than any jar is dosed with, mg/L (common practice, no source).
const weakestStock = 2000

// sizing stands between a drop, or drops, and their volume.
var sizing = words.NewPattern(`^(?:size|volume|of|to|to the|to a|in a|in one|make|make a|make one)?$`)

// leastDrop and largestDrop, in L, are the drops of pipettes and droppers; common practice, no
// source.
const leastDrop, largestDrop = 2e-5, 1.5e-4

// stockRules say what a pair of amounts states of the stock.
var stockRules = layout.NewRules(stockTests, []layout.Rule[factKind, *stockPair]{
	{Role: factDrop, Weight: 90, Needs: "drops to-volume linked", Why: "20 drops = 1 mL",
		Then: func(p *stockPair) { p.drop(p.a, p.next) }},
	{Role: factDrop, Weight: 90, Needs: "volume to-drops linked", Why: "1 mL is 20 drops",
		Then: func(p *stockPair) { p.drop(p.next, p.a) }},
	{Role: factDrop, Weight: 88, Needs: "drops to-volume drop-sized", Why: "drop 0.05 mL, 20 drops to the mL",
		Then: func(p *stockPair) { p.drop(p.a, p.next) }},
	{Role: factStock, Weight: 85, Needs: "volume to-conc of made-up-to", Against: "linked", Why: "10 mL of 100 g/L made up to 100 mL",
		Then: func(p *stockPair) {
			whole, _ := p.third()
			p.base.of, p.parts = whole.base()/p.a.base(), []amount{p.a, p.next, whole}
			p.add(factStock, p.next.base()/p.base.of)
		}},
	{Role: factDilution, Weight: 84, Needs: "volume to-volume worked-up", Against: "in-jars", Why: "a working solution of 10 mL stock made up to 100 mL",
		Then: func(p *stockPair) { p.base.sure = true; p.add(factDilution, p.next.base()/p.a.base()) }},
	{Role: factDilution, Weight: 83, Needs: "volume to-volume product-made-up", Against: "in-jars stock-poured", Why: "50 mL of product made up to 1 L",
		Then: func(p *stockPair) { p.base.sure = false; p.add(factDilution, p.next.base()/p.a.base()) }},
	{Role: factStock, Weight: 80, Needs: "some-mL gives got-mass", Why: "1 mL of stock = 10 mg",
		Then: func(p *stockPair) { p.add(factStock, p.got.base()/p.a.base()); p.b.jarVolumes(p.base, p.s) }},
	{Role: factStock, Weight: 80, Needs: "some-mL gives got-conc holds", Why: "1 mL of stock holds 10 g/L",
		Then: func(p *stockPair) { p.add(factStock, p.got.base()); p.b.jarVolumes(p.base, p.s) }},
	{Role: factPerMl, Weight: 75, Needs: "some-mL gives got-conc", Against: "holds", Why: "1 mL adds 10 mg/L to the jar",
		Then: func(p *stockPair) { p.add(factPerMl, p.got.base()/(p.a.base()*1000)); p.b.jarVolumes(p.base, p.s) }},
	{Role: factStock, Weight: 70, Needs: "volper of-stock to-dose linked", Why: "1 mL stock per L = 10 mg/L",
		Then: func(p *stockPair) { p.add(factStock, 1000*p.next.base()/p.a.base()) }},
	{Role: factStock, Weight: 62, Needs: "volume to-mass vessel-with", Against: "nameless", Why: "a bucket of 20 L with 200 g",
		Then: func(p *stockPair) { p.book(p.next.base()/p.a.base(), 2) }},
	{Role: factStock, Weight: 60, Needs: "mass to-volume made-up-in", Against: "in-jars nameless", Why: "20 g in 2 L",
		Then: func(p *stockPair) {
			p.book(p.a.base()/p.next.base(), 2)
			rest := p.i + len(p.parts)
			p.b.jarVolumes(p.base, sentence{text: p.s.text, all: p.s.all, amounts: p.s.amounts[rest:], between: p.s.between[rest:]})
		}},
})

// drop books the volume of a drop.
func (p *stockPair) drop(drops, volume amount) {
	d := p.base
	d.kind, d.value, d.parts = factDrop, volume.base()/drops.num, []amount{drops, volume}
	p.b.facts = append(p.b.facts, d)
}

// stockSentence books what a sentence says of the stock, and reports whether it was one
// that does.
func (b *bench) stockSentence(base fact, s sentence) bool {
	for i := 0; i+1 < len(s.amounts); i++ {
		if !s.amounts[i].ok || !s.amounts[i+1].ok {
			continue
		}
		if _, ok := stockRules.Decide(s.pair(b, base, i)); ok {
			return true
		}
	}
	return false
}
