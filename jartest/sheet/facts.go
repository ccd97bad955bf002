package sheet

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// A fact is something that the sheet says beside its tables.
type factKind uint8

const (
	factStock     factKind = iota // strength of a stock, mg/L
	factVolume                    // water in a jar, L
	factDensity                   // kg/L
	factPerMl                     // mg/L of dose for each mL of stock
	factFixed                     // the same dose in every jar, mg/L
	factChemical                  // the name of the chemical
	factRaw                       // a reading of the raw water
	factLimit                     // detection limit
	factOverLimit                 // end of the meter's range
	factN                         // readings behind each mean
	factTarget
	factRecycle
	factNeat  // doses are of the product as delivered
	factDash  // what a dash means: 0 is nothing dosed, 1 not measured
	factPH    // pH held in all jars
	factBasis // what doses count
	factName  // what the test is called
	factDate  // the day of the test
	// factDilution says that what is dosed was diluted, one part in so many
	factDilution
	factDrop // volume of a drop, L
)

type fact struct {
	kind  factKind
	value float64
	unit  words.Unit
	chem  string
	key   jartest.Key
	text  string
	// keyed facts stand as "name | value"; the others were found in running text.
	keyed bool
	sure  bool
	r, c  int
	g     *layout.Area
	at    note.Place
	state layout.State
	limit bool
}

var (
	doseAs       = regexp.MustCompile(`\b(?:doses?|dosages?|dosis|dosierung)\b[^.;0-9]{0,30}? as `)
	partSign     = regexp.MustCompile(`[;()\[\]\n]|, |\. |,$| - | – `)
	ndText       = regexp.MustCompile(`\b(nd|n\.d\.?|bdl|not detected|detection limit|lod|mdl|kph|no detectado|nn|n\.n\.|nachweisgrenze)\b`)
	overText     = regexp.MustCompile(`\b(over ?range|off scale|meter range|range of the meter|upper limit|max(?:imum)? range)\b`)
	dashText     = regexp.MustCompile(`^\s*["']?(-+|—|–)["']?\s*(?:=|:|means|is)\s*(.+)$`)
	dilutionWord = regexp.MustCompile(`dilut|verdunn|dilu[ci]|diluad|diluee|encer|dicairkan|pha loang|稀释|稀釋|เจือจาง`)
	dilutionPart = regexp.MustCompile(`\b1 ?(?::|/|in|to|en|zu|auf|a|dans|em|trong) ?(\d{1,5})\b|\b(\d{1,5}) ?-?(?:x|×|fold|times|倍|fach|veces|vezes|fois|kali|lan)`)
	meanN        = regexp.MustCompile(`\bn ?= ?(\d+)\b`)
)

// dilutionIn reads "1:100 dilution", "diluted 1 in 100", "100-fold dilution".
func dilutionIn(text string) (float64, bool) {
	f := words.Fold(text)
	if !dilutionWord.MatchString(f) {
		return 0, false
	}
	for _, m := range dilutionPart.FindAllStringSubmatch(f, -1) {
		for _, n := range m[1:] {
			if x, err := strconv.ParseFloat(n, 64); err == nil && x > 1 {
				return x, true
			}
		}
	}
	return 0, false
}

// readFacts collects the facts of a grid outside its tables.
func (b *bench) readFacts(g *layout.Area, tables []*layout.Table) {
	if calculatorPage(g) {
		return
	}
	dec := b.decimals[g]
	v := layout.View{Area: g}
	in := func(r, c int) bool {
		for _, t := range tables {
			if t.Area() == g && t.Box().Has(r, c) {
				return true
			}
		}
		return false
	}
	count := 0
	for r := range g.Rows {
		for c := range g.Rows[r] {
			x := g.Rows[r][c]
			if x.Kind != grid.Textual || in(r, c) || len(x.Text) > 300 {
				continue
			}
			if count++; count > 4000 {
				return
			}
			b.factsAt(v, r, c, dec, in)
			if !slices.ContainsFunc(tables, func(t *layout.Table) bool { return t.Area() == g }) {
				continue // a page of prose beside the sheet of the jars
			}
			b.unheard(fact{r: r, c: c, g: g, at: v.Place(r, c), text: strings.TrimSpace(x.Text)}, dec)
		}
	}
}

// calculatorPage reports the page of our own bench workbook that only calculates.
func calculatorPage(g *layout.Area) bool {
	for r := range min(len(g.Rows), 4) {
		for _, c := range g.Rows[r] {
			if c.Kind == grid.Textual && strings.Contains(c.Text, "the program does not read it") {
				return true
			}
		}
	}
	return false
}

// factsAt reads one text cell: as a name with its value beside or below it, or as
// running text.
func (b *bench) factsAt(v layout.View, r, c int, dec layout.Decimals, in func(int, int) bool) {
	text := strings.TrimSpace(v.At(r, c).Text)
	base := fact{r: r, c: c, g: v.Area, at: v.Place(r, c), text: text}
	f := words.Fold(text)
	if m := dashText.FindStringSubmatch(f); m != nil && !v.At(r, c).Formula {
		d := base
		d.kind, d.value = factDash, 1
		if h := layout.ReadHeading(m[2]); h.Control || h.Dose || strings.HasPrefix(m[2], "0") || strings.Contains(m[2], "zero") || strings.Contains(m[2], "none") || strings.Contains(m[2], "not dosed") {
			d.value = 0
		}
		b.facts = append(b.facts, d)
		return
	}
	about := text
	if next := v.At(r, c+1); next.Kind == grid.Textual && !in(r, c+1) {
		about += " " + next.Text
	}
	if n, ok := dilutionIn(about); ok {
		d := base
		d.kind, d.value = factDilution, n
		b.facts = append(b.facts, d)
	}
	if b.stockSentences(base, text, dec) {
		return
	}
	if (ndText.MatchString(f) || overText.MatchString(f)) && strings.ContainsAny(f, "0123456789") {
		b.textFacts(base, text, dec)
		return
	}
	key, val, unitText := text, "", ""
	var beside grid.Cell
	if k, x, ok := layout.Keyed(text); ok && !layout.IsClock(f) {
		key, val = k, x
	}
	if val == "" {
		key = strings.TrimRight(key, ":= ")
		val, unitText, beside = b.beside(v, r, c, in)
		if val == "" && !in(r+1, c) {
			if x := v.At(r+1, c); x.Kind == grid.Numeric && !x.Date() && len(layout.ReadHeading(key).Text) < 40 && v.At(r, c+1).Kind != grid.Numeric {
				val = x.Text
			}
		}
	}
	if val != "" {
		base.keyed = true
		base.at = v.Place(r, c)
		b.dateFact(base, key, val, beside)
		b.keyFact(base, key, val, unitText, dec)
		return
	}
	b.textFacts(base, text, dec)
}

// beside gives the value right of a name, the unit right of that, and the value's cell.
func (b *bench) beside(v layout.View, r, c int, in func(int, int) bool) (string, string, grid.Cell) {
	k, ok := layout.Beside(v, r, c)
	if !ok {
		return "", "", grid.Cell{} // a heading over facts, not the name of one
	}
	x := v.At(r, k)
	if x.Blank() || in(r, k) || x.Kind == grid.Faulty {
		return "", "", grid.Cell{}
	}
	if _, ok := words.OnlyUnit(x.Text); ok && x.Kind == grid.Textual {
		return "", "", grid.Cell{} // the value has not been filled in
	}
	text := x.Text
	if x.Kind == grid.Numeric && x.Percent() {
		text = strconv.FormatFloat(x.Num*100, 'g', 15, 64) + " %"
	} else if x.Kind == grid.Numeric && (x.Date() || x.Clock()) {
		return "date", "", x
	} else if x.Kind == grid.Numeric && x.Suffix() != "" {
		text += " " + x.Suffix()
	}
	if u := v.At(r, k+1); u.Kind == grid.Textual && !in(r, k+1) {
		if _, ok := words.OnlyUnit(u.Text); ok {
			return text, u.Text, x
		}
	}
	return text, "", x
}

// keyFact books a name with its value.
func (b *bench) keyFact(base fact, key, val, unitText string, dec layout.Decimals) {
	h := layout.ReadHeading(key)
	if h.Next || h.Old {
		return
	}
	whole := val
	if unitText != "" {
		whole += " " + unitText
	}
	p := layout.ParseText(whole, dec)
	numberLike := p.State == layout.Number || p.State == layout.Below && p.Limit || p.State == layout.Above && p.Limit
	if p.OK() && !p.Unit.Known() {
		p.Unit = h.Unit
	}
	switch {
	case h.Chemical && !numberLike && !h.Strength && !h.Stock:
		if b.chemicalFact(base, val) {
			if v := layout.ReadHeading(val); v.All && v.Amount { // "alum 20 mg/L (constant)"
				b.textFacts(base, val, dec)
			} else {
				b.amounts(base, val, dec, layout.Heading{Product: true})
			}
		}
		return
	case layout.NamesBasis(key):
		if as, err := quantity.ParseBasis(val); err == nil && as != quantity.NotStated {
			d := base
			d.kind, d.text = factBasis, string(as)
			b.facts = append(b.facts, d)
			return
		}
	case (h.Test || h.Jar && h.Test) && h.Reading == "" && !h.Volume && val != "date" && !h.Chemical && h.Stage == "" && len(val) < 60 && words.Fold(val) != "bench sheet" && !layout.IsDate(words.Fold(val)):
		d := base
		d.kind, d.text = factName, val
		if numberLike {
			d.text = strings.TrimSpace(key) + " " + val
		}
		b.facts = append(b.facts, d)
		if h.Rest == "" && !h.Volume && !numberLike {
			b.textFacts(base, val, dec)
		}
		return
	case h.Target && !h.Jar:
		d := base
		d.kind, d.text = factTarget, strings.TrimSpace(strings.TrimSuffix(key, ":")+" | "+whole)
		b.facts = append(b.facts, d)
		return
	}
	if !numberLike && h.Amount {
		b.textFacts(base, key, dec)
		b.textFacts(base, whole, dec)
		return
	}
	if !numberLike {
		hv := layout.ReadHeading(val)
		if h.Stock || h.Strength || h.Volume || h.Density || h.Jar || h.Raw || h.Stage == "before" || h.Chem != "" || hv.Stock {
			// "Stock | 10 g alum in 1 L", "Raw water | 45 NTU, pH 7.6"
			b.textFacts(base, key+" "+whole, dec)
			if h.Raw || h.Stage == "before" {
				b.rawSentence(base, whole, dec)
			}
			return
		}
		if hv.Chem != "" && (h.Chemical || h.Product || h.Stock) {
			b.chemicalFact(base, val)
		}
		b.textFacts(base, val, dec)
		return
	}
	b.amountFact(base, h, p)
}

// chemicalFact books a chemical named in a text.
func (b *bench) chemicalFact(base fact, text string) bool {
	h := layout.ReadHeading(text)
	d := base
	d.kind, d.text = factChemical, text
	switch {
	case h.Chem != "":
		d.chem = h.Chem
	case base.keyed && text != "" && text != "date" && len(text) < 50 && !h.Stock:
		d.chem = strings.TrimSpace(text)
		if h.Metal != "" {
			d.chem = map[string]string{"Al": "aluminium coagulant", "Fe": "ferric"}[h.Metal]
		}
	default:
		return false
	}
	b.facts = append(b.facts, d)
	return true
}

// amountFact books a number with a unit under a name.
func (b *bench) amountFact(base fact, h layout.Heading, p layout.Value) {
	d := base
	d.value, d.unit, d.chem, d.state, d.limit = p.Num, p.Unit, h.Chem, p.State, p.Limit
	u := p.Unit.Kind
	add := func(k factKind) { d.kind = k; b.facts = append(b.facts, d) }
	if h.Chem != "" {
		c := d
		c.kind = factChemical
		c.keyed = h.Chemical || h.Stock
		b.facts = append(b.facts, c)
	}
	switch {
	case h.Density || dense(p.Unit) && !h.Stock:
		d.value = p.Num * factorOr1(p.Unit)
		if !p.Unit.Known() && p.Num > 500 && p.Num < 2500 {
			d.value = p.Num / 1000
		}
		if d.value > 0.5 && d.value < 2.5 {
			add(factDensity)
		}
	case u == words.Mass && h.Stock, (h.Stock || h.Strength && !h.Product) && h.Reading == "" && !h.Volume && (u == words.Conc || u == words.Percent):
		if s, ok := stockStrength(p); ok {
			d.value, d.sure = s, !(u == words.Percent && p.Num > 5)
			add(factStock)
		}
	case u == words.Volume && sampled.MatchString(words.Fold(base.text)) && p.Num*p.Unit.Factor < 0.2:
		// what a meter or a vial takes is no jar
	case u == words.Volume && (h.Volume || h.Jar) && !h.Stock:
		d.value = p.Num * p.Unit.Factor
		add(factVolume)
	case h.Volume && h.Jar && u == "" && !h.Stock && p.Num >= 100 && p.Num <= 5000:
		d.value, d.sure = p.Num/1000, false
		add(factVolume)
	case h.Recycle && u == words.Percent:
		d.value = p.Num / 100
		add(factRecycle)
	case h.Reading == jartest.PH && h.All || h.Reading == jartest.PH && h.Stage == "set":
		add(factPH)
	case h.Reading != "" && h.Stage != "after":
		d.key = h.Reading
		add(factRaw)
	case (h.Raw || h.Stage == "before") && u != "":
		if k := layout.KeyOfUnit(p.Unit); k != "" {
			d.key = k
			add(factRaw)
		}
	case (h.Chem != "" || h.Dose) && (u == words.Conc || u == words.Molar) && !h.Product && !h.Strength && p.Unit.Factor <= 1:
		if h.Summary || h.Next {
			return // the best dose, the plant's dose
		}
		d.value = p.Num * p.Unit.Factor
		d.sure = h.All || h.Dose
		add(factFixed)
	}
}

// dense reports a unit in which the densities of products are given: kg/L, lb/gal.
func dense(u words.Unit) bool { return u.Kind == words.Conc && u.Factor > 1e5 }

// factorOr1 gives kg/L for one of the unit.
func factorOr1(u words.Unit) float64 {
	if u.Factor == 0 || u.Kind != words.Conc {
		return 1
	}
	return u.Factor / 1e6
}

// stockStrength gives the strength of a stock in mg/L. A percentage is mass by
// volume, as benches mean it for what they make up (1 % is 10 g/L).
func stockStrength(p layout.Value) (float64, bool) {
	switch p.Unit.Kind {
	case words.Conc:
		return p.Num * p.Unit.Factor, p.Num > 0
	case words.Percent:
		return p.Num * 1e4, p.Num > 0 && p.Num <= 60
	}
	return 0, false
}

// textFacts finds amounts in running text, part by part: "2 L jars, stock 20 g/L alum".
func (b *bench) textFacts(base fact, text string, dec layout.Decimals) {
	f := words.Fold(text)
	all := layout.ReadHeading(text)
	if (all.Next || all.Old) && !all.Raw && all.Stage != "before" {
		return
	}
	if n := meanN.FindStringSubmatch(f); n != nil && !strings.Contains(f, "ph") {
		d := base
		d.kind = factN
		d.value, _ = strconv.ParseFloat(n[1], 64)
		b.facts = append(b.facts, d)
	}
	if m := doseAs.FindStringIndex(f); m != nil {
		if as, ok := words.As(f[m[1]:]); ok {
			if p, err := quantity.ParseBasis(as); err == nil && p != quantity.NotStated {
				d := base
				d.kind, d.text = factBasis, string(p)
				b.facts = append(b.facts, d)
			}
		}
	}
	if ndText.MatchString(f) || overText.MatchString(f) {
		d := base
		for _, a := range words.Amounts(text) {
			if x := layout.Numeral(a.Number, dec); x.OK() {
				d.kind, d.value, d.unit, d.key = factLimit, x.Num, a.Unit, all.Reading
				if overText.MatchString(f) && !ndText.MatchString(f) {
					d.kind = factOverLimit
				}
				b.facts = append(b.facts, d)
			}
		}
		return
	}
	if chem := dosedOf(text); chem != "" {
		d := base
		d.kind, d.chem, d.keyed = factChemical, chem, false
		b.facts = append(b.facts, d)
	}
	if all.Neat {
		d := base
		d.kind, d.chem = factNeat, all.Chem
		b.facts = append(b.facts, d)
	}
	if all.Raw || all.Stage == "before" {
		b.rawSentence(base, text, dec)
	}
	if b.stockSentences(base, text, dec) {
		return
	}
	for _, part := range sentenceEnd.Split(text, -1) {
		b.jarVolumes(base, sentenceOf(part, dec))
	}
	for _, part := range partSign.Split(text, -1) {
		b.amounts(base, part, dec, all)
	}
}

// amounts books the numbers with units in one part of a text.
func (b *bench) amounts(base fact, part string, dec layout.Decimals, all layout.Heading) {
	part = purpose.ReplaceAllString(part, "")
	f := words.Fold(part)
	us := words.Amounts(part)
	if len(us) == 0 && !all.Density {
		return
	}
	h := layout.ReadHeading(part)
	for _, u := range us {
		x := layout.Numeral(u.Number, dec)
		if !x.OK() && u.Kind == words.Conc && u.Factor <= 1 && (h.Stock || all.Stock) {
			x = layout.Numeral(strings.NewReplacer(",", "", ".", "").Replace(u.Number), dec) // a stock of ten ppm is none
		}
		if !x.OK() {
			continue
		}
		p := layout.Value{State: layout.Number, Num: x.Num, Unit: u.Unit}
		d := base
		d.value, d.unit, d.chem, d.state = x.Num, u.Unit, h.Chem, layout.Number
		if d.chem == "" && strings.Count(part, " ") < 6 {
			d.chem = ""
		}
		add := func(k factKind) { d.kind = k; b.facts = append(b.facts, d) }
		if dense(u.Unit) {
			if x.Num > 0.5 && !h.Stock {
				d.value = x.Num * u.Factor / 1e6
				add(factDensity)
			}
			continue
		}
		switch u.Kind {
		case words.Conc, words.Percent:
			if h.Reading != "" || all.Removal || h.Removal || h.Product || all.Product && !h.Stock || h.Recycle {
				continue
			}
			if h.Stock || h.Strength && !h.Dose || all.Stock && !h.Dose && !h.All && (u.Factor > 1 || u.Kind == words.Percent) {
				if s, ok := stockStrength(p); ok {
					d.value, d.sure = s, !(u.Kind == words.Percent && x.Num > 5)
					if d.chem == "" {
						d.chem = all.Chem
					}
					add(factStock)
				}
				continue
			}
			if all.Summary || all.Next {
				continue
			}
			if u.Kind == words.Conc && u.Factor <= 1 && (h.Chem != "" || h.Dose || h.All) && !h.Strength {
				d.value, d.sure = x.Num*u.Factor, h.All || all.All
				if f := words.Fold(sentenceWith(base.text, part)); !d.sure && !tied.MatchString(f) || formerly.MatchString(f) || partly.MatchString(f) {
					b.say(note.Caution, "dose-mentioned", base.at, "%q speaks of a dose and does not say that every jar got it; it was not taken", clip(part)).do(b, "give it a column of its own")
					continue
				}
				add(factFixed)
			}
		}
	}
	if len(us) == 0 {
		if m := regexp.MustCompile(`\b(?:sg|specific gravity|density|dichte|densidad)\b\D{0,6}(\d[\d.,]*)`).FindStringSubmatch(f); m != nil {
			if x := layout.Numeral(strings.Trim(m[1], ".,"), dec); x.OK() && x.Num > 0.5 && x.Num < 2.5 {
				d := base
				d.kind, d.value, d.chem = factDensity, x.Num, h.Chem
				b.facts = append(b.facts, d)
			}
		}
	}
}
