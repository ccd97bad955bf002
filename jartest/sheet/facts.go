package sheet

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
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
	g     *area
	at    note.Place
	state valueState
	limit bool
}

var (
	basisKey     = regexp.MustCompile(`\b(?:basis|dose counts|doses count|expressed as|dose as|doses as)\b`)
	doseAs       = regexp.MustCompile(`\b(?:doses?|dosages?|dosis|dosierung)\b[^.;0-9]{0,30}? as `)
	partSign     = regexp.MustCompile(`[;()\[\]\n]|, |\. |,$| - | – `)
	colonKey     = regexp.MustCompile(`^([^:=]{2,40})\s*[:=]\s*(.*)$`)
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
func (b *bench) readFacts(g *area, tables []*table) {
	if calculatorPage(g) {
		return
	}
	dec := b.decimals[g]
	v := view{area: g}
	in := func(r, c int) bool {
		for _, t := range tables {
			if t.sheetOf() == g && t.box().Has(r, c) {
				return true
			}
		}
		return false
	}
	count := 0
	for r := range g.Rows {
		for c := range g.Rows[r] {
			x := g.Rows[r][c]
			if x.Kind != textual || in(r, c) || len(x.Text) > 300 {
				continue
			}
			if count++; count > 4000 {
				return
			}
			b.factsAt(v, r, c, dec, in)
			if !slices.ContainsFunc(tables, func(t *table) bool { return t.sheetOf() == g }) {
				continue // a page of prose beside the sheet of the jars
			}
			b.unheard(fact{r: r, c: c, g: g, at: v.Place(r, c), text: strings.TrimSpace(x.Text)}, dec)
		}
	}
}

// calculatorPage reports the page of our own bench workbook that only calculates.
func calculatorPage(g *area) bool {
	for r := range min(len(g.Rows), 4) {
		for _, c := range g.Rows[r] {
			if c.Kind == textual && strings.Contains(c.Text, "the program does not read it") {
				return true
			}
		}
	}
	return false
}

// factsAt reads one text cell: as a name with its value beside or below it, or as
// running text.
func (b *bench) factsAt(v view, r, c int, dec decimals, in func(int, int) bool) {
	text := strings.TrimSpace(v.at(r, c).Text)
	base := fact{r: r, c: c, g: v.area, at: v.Place(r, c), text: text}
	f := words.Fold(text)
	if m := dashText.FindStringSubmatch(f); m != nil && !v.at(r, c).Formula {
		d := base
		d.kind, d.value = factDash, 1
		if h := readHeading(m[2]); h.control || h.dose || strings.HasPrefix(m[2], "0") || strings.Contains(m[2], "zero") || strings.Contains(m[2], "none") || strings.Contains(m[2], "not dosed") {
			d.value = 0
		}
		b.facts = append(b.facts, d)
		return
	}
	about := text
	if next := v.at(r, c+1); next.Kind == textual && !in(r, c+1) {
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
	var beside cell
	if m := colonKey.FindStringSubmatch(text); m != nil && !clockTime.MatchString(f) {
		key, val = m[1], strings.TrimSpace(m[2])
	}
	if val == "" {
		key = strings.TrimRight(key, ":= ")
		val, unitText, beside = b.beside(v, r, c, in)
		if val == "" && !in(r+1, c) {
			if x := v.at(r+1, c); x.Kind == numeric && !x.Date() && len(readHeading(key).text) < 40 && v.at(r, c+1).Kind != numeric {
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
func (b *bench) beside(v view, r, c int, in func(int, int) bool) (string, string, cell) {
	k, ok := besideOf(v, r, c)
	if !ok {
		return "", "", cell{} // a heading over facts, not the name of one
	}
	x := v.at(r, k)
	if x.Blank() || in(r, k) || x.Kind == faulty {
		return "", "", cell{}
	}
	if _, ok := words.OnlyUnit(x.Text); ok && x.Kind == textual {
		return "", "", cell{} // the value has not been filled in
	}
	text := x.Text
	if x.Kind == numeric && x.Percent() {
		text = strconv.FormatFloat(x.Num*100, 'g', 15, 64) + " %"
	} else if x.Kind == numeric && (x.Date() || x.Clock()) {
		return "date", "", x
	} else if x.Kind == numeric && x.Suffix() != "" {
		text += " " + x.Suffix()
	}
	if u := v.at(r, k+1); u.Kind == textual && !in(r, k+1) {
		if _, ok := words.OnlyUnit(u.Text); ok {
			return text, u.Text, x
		}
	}
	return text, "", x
}

// keyFact books a name with its value.
func (b *bench) keyFact(base fact, key, val, unitText string, dec decimals) {
	h := readHeading(key)
	if h.next || h.old {
		return
	}
	whole := val
	if unitText != "" {
		whole += " " + unitText
	}
	p := parseText(whole, dec)
	numberLike := p.state == vNumber || p.state == vBelow && p.limit || p.state == vAbove && p.limit
	if p.ok() && !p.unit.Known() {
		p.unit = h.unit
	}
	switch {
	case h.chemical && !numberLike && !h.strength && !h.stock:
		if b.chemicalFact(base, val) {
			if v := readHeading(val); v.all && v.amount { // "alum 20 mg/L (constant)"
				b.textFacts(base, val, dec)
			} else {
				b.amounts(base, val, dec, heading{product: true})
			}
		}
		return
	case basisKey.MatchString(words.Fold(key)):
		if as, err := quantity.ParseBasis(val); err == nil && as != quantity.NotStated {
			d := base
			d.kind, d.text = factBasis, string(as)
			b.facts = append(b.facts, d)
			return
		}
	case (h.test || h.jar && h.test) && h.reading == "" && !h.volume && val != "date" && !h.chemical && h.stage == "" && len(val) < 60 && words.Fold(val) != "bench sheet" && !namedDate.MatchString(words.Fold(val)) && !isoDate.MatchString(words.Fold(val)) && !dayDate.MatchString(words.Fold(val)):
		d := base
		d.kind, d.text = factName, val
		if numberLike {
			d.text = strings.TrimSpace(key) + " " + val
		}
		b.facts = append(b.facts, d)
		if h.rest == "" && !h.volume && !numberLike {
			b.textFacts(base, val, dec)
		}
		return
	case h.target && !h.jar:
		d := base
		d.kind, d.text = factTarget, strings.TrimSpace(strings.TrimSuffix(key, ":")+" | "+whole)
		b.facts = append(b.facts, d)
		return
	}
	if !numberLike && h.amount {
		b.textFacts(base, key, dec)
		b.textFacts(base, whole, dec)
		return
	}
	if !numberLike {
		hv := readHeading(val)
		if h.stock || h.strength || h.volume || h.density || h.jar || h.raw || h.stage == "before" || h.chem != "" || hv.stock {
			// "Stock | 10 g alum in 1 L", "Raw water | 45 NTU, pH 7.6"
			b.textFacts(base, key+" "+whole, dec)
			if h.raw || h.stage == "before" {
				b.rawSentence(base, whole, dec)
			}
			return
		}
		if hv.chem != "" && (h.chemical || h.product || h.stock) {
			b.chemicalFact(base, val)
		}
		b.textFacts(base, val, dec)
		return
	}
	b.amountFact(base, h, p)
}

// chemicalFact books a chemical named in a text.
func (b *bench) chemicalFact(base fact, text string) bool {
	h := readHeading(text)
	d := base
	d.kind, d.text = factChemical, text
	switch {
	case h.chem != "":
		d.chem = h.chem
	case base.keyed && text != "" && text != "date" && len(text) < 50 && !h.stock:
		d.chem = strings.TrimSpace(text)
		if h.metal != "" {
			d.chem = map[string]string{"Al": "aluminium coagulant", "Fe": "ferric"}[h.metal]
		}
	default:
		return false
	}
	b.facts = append(b.facts, d)
	return true
}

// amountFact books a number with a unit under a name.
func (b *bench) amountFact(base fact, h heading, p value) {
	d := base
	d.value, d.unit, d.chem, d.state, d.limit = p.num, p.unit, h.chem, p.state, p.limit
	u := p.unit.Kind
	add := func(k factKind) { d.kind = k; b.facts = append(b.facts, d) }
	if h.chem != "" {
		c := d
		c.kind = factChemical
		c.keyed = h.chemical || h.stock
		b.facts = append(b.facts, c)
	}
	switch {
	case h.density || dense(p.unit) && !h.stock:
		d.value = p.num * factorOr1(p.unit)
		if !p.unit.Known() && p.num > 500 && p.num < 2500 {
			d.value = p.num / 1000
		}
		if d.value > 0.5 && d.value < 2.5 {
			add(factDensity)
		}
	case u == words.Mass && h.stock, (h.stock || h.strength && !h.product) && h.reading == "" && !h.volume && (u == words.Conc || u == words.Percent):
		if s, ok := stockStrength(p); ok {
			d.value, d.sure = s, !(u == words.Percent && p.num > 5)
			add(factStock)
		}
	case u == words.Volume && sampled.MatchString(words.Fold(base.text)) && p.num*p.unit.Factor < 0.2:
		// what a meter or a vial takes is no jar
	case u == words.Volume && (h.volume || h.jar) && !h.stock && !h.chemicalOnly():
		d.value = p.num * p.unit.Factor
		add(factVolume)
	case h.volume && h.jar && u == "" && !h.stock && p.num >= 100 && p.num <= 5000:
		d.value, d.sure = p.num/1000, false
		add(factVolume)
	case h.recycle && u == words.Percent:
		d.value = p.num / 100
		add(factRecycle)
	case h.reading == jartest.PH && h.all || h.reading == jartest.PH && h.stage == "set":
		add(factPH)
	case h.reading != "" && h.stage != "after":
		d.key = h.reading
		add(factRaw)
	case (h.raw || h.stage == "before") && u != "":
		if k := keyOfUnit(p.unit); k != "" {
			d.key = k
			add(factRaw)
		}
	case (h.chem != "" || h.dose) && (u == words.Conc || u == words.Molar) && !h.product && !h.strength && p.unit.Factor <= 1:
		if h.summary || h.next {
			return // the best dose, the plant's dose
		}
		d.value = p.num * p.unit.Factor
		d.sure = h.all || h.dose
		add(factFixed)
	}
}

func (h heading) chemicalOnly() bool { return h.chem != "" && !h.jar && !h.volume }

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
func stockStrength(p value) (float64, bool) {
	switch p.unit.Kind {
	case words.Conc:
		return p.num * p.unit.Factor, p.num > 0
	case words.Percent:
		return p.num * 1e4, p.num > 0 && p.num <= 60
	}
	return 0, false
}

// keyOfUnit names the reading that a unit belongs to by itself.
func keyOfUnit(u words.Unit) jartest.Key {
	h := heading{unit: u}
	h.settle()
	return h.reading
}

// textFacts finds amounts in running text, part by part: "2 L jars, stock 20 g/L alum".
func (b *bench) textFacts(base fact, text string, dec decimals) {
	f := words.Fold(text)
	all := readHeading(text)
	if (all.next || all.old) && !all.raw && all.stage != "before" {
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
			if x := numeral(a.Number, dec); x.ok() {
				d.kind, d.value, d.unit, d.key = factLimit, x.num, a.Unit, all.reading
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
	if all.neat {
		d := base
		d.kind, d.chem = factNeat, all.chem
		b.facts = append(b.facts, d)
	}
	if all.raw || all.stage == "before" {
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
func (b *bench) amounts(base fact, part string, dec decimals, all heading) {
	part = purpose.ReplaceAllString(part, "")
	f := words.Fold(part)
	us := words.Amounts(part)
	if len(us) == 0 && !all.density {
		return
	}
	h := readHeading(part)
	for _, u := range us {
		x := numeral(u.Number, dec)
		if !x.ok() && u.Kind == words.Conc && u.Factor <= 1 && (h.stock || all.stock) {
			x = numeral(strings.NewReplacer(",", "", ".", "").Replace(u.Number), dec) // a stock of ten ppm is none
		}
		if !x.ok() {
			continue
		}
		p := value{state: vNumber, num: x.num, unit: u.Unit}
		d := base
		d.value, d.unit, d.chem, d.state = x.num, u.Unit, h.chem, vNumber
		if d.chem == "" && strings.Count(part, " ") < 6 {
			d.chem = ""
		}
		add := func(k factKind) { d.kind = k; b.facts = append(b.facts, d) }
		if dense(u.Unit) {
			if x.num > 0.5 && !h.stock {
				d.value = x.num * u.Factor / 1e6
				add(factDensity)
			}
			continue
		}
		switch u.Kind {
		case words.Conc, words.Percent:
			if h.reading != "" || all.removal || h.removal || h.product || all.product && !h.stock || h.recycle {
				continue
			}
			if h.stock || h.strength && !h.dose || all.stock && !h.dose && !h.all && (u.Factor > 1 || u.Kind == words.Percent) {
				if s, ok := stockStrength(p); ok {
					d.value, d.sure = s, !(u.Kind == words.Percent && x.num > 5)
					if d.chem == "" {
						d.chem = all.chem
					}
					add(factStock)
				}
				continue
			}
			if all.summary || all.next {
				continue
			}
			if u.Kind == words.Conc && u.Factor <= 1 && (h.chem != "" || h.dose || h.all) && !h.strength {
				d.value, d.sure = x.num*u.Factor, h.all || all.all
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
			if x := numeral(strings.Trim(m[1], ".,"), dec); x.ok() && x.num > 0.5 && x.num < 2.5 {
				d := base
				d.kind, d.value, d.chem = factDensity, x.num, h.chem
				b.facts = append(b.facts, d)
			}
		}
	}
}
