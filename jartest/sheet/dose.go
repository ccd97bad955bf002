package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// doseUnit is how the cells of one dose column become mg/L.
type doseUnit struct {
	perUnit float64 // mg/L for one unit of the column
	ok      bool
	volume  bool    // the column gives volumes
	stock   float64 // mg/L
	jar     float64 // L
	litres  float64 // L for one unit of the column
	// columns that give strength or jar volume where they differ from jar to jar
	stockBy, jarBy *field
}

// doseUnit works out the conversion of a dose column, or says what is missing.
func (m *maker) doseUnit(k int, f field) doseUnit {
	b, u := m.b, f.Head.Unit
	if f.role == asStock {
		return m.stockUnit(k, f)
	}
	switch u.Kind {
	case words.Conc:
		return doseUnit{perUnit: u.Factor, ok: true}
	case words.Molar:
		return m.molarDose(k, f)
	case words.Mass:
		return m.massInJar(f)
	case words.Percent:
		b.say(note.Error, "dose-in-percent", f.Place, "the dose in column %q is in %%, which is no dose by itself", f.Head.Text).do(b, "write the dose in mg/L, or the volume of stock in mL")
		return doseUnit{}
	case "", words.NoUnit:
		return m.doseWithoutUnit(k, f)
	case words.Household:
		b.say(note.Error, "dose-unit", f.Place, "the dose in column %q is in a household measure, which has no fixed weight or volume", f.Head.Text).do(b, "weigh what one holds, and write the dose in mg/L")
		return doseUnit{}
	case "equiv", "drops":
		b.say(note.Error, "dose-unit", f.Place, "the dose in column %q is in %s, which cannot be turned into mg/L", f.Head.Text, u.Name).do(b, "write the dose in mg/L, or the volume of stock in mL")
		return doseUnit{}
	}
	if strings.HasPrefix(u.Dimensions, "mass") && strings.HasSuffix(u.Dimensions, "/time") {
		b.say(note.Error, "dose-unit", f.Place, "column %q gives %s, which is a feed and no dose", f.Head.Text, u.Name).do(b, "divide it by the flow of water, and write the dose in mg/L")
		return doseUnit{}
	}
	b.say(note.Error, "dose-unit", f.Place, "the dose in column %q is in %s, which is no unit of dose", f.Head.Text, u.Name).do(b, `say what the column is with --column "%s=…"`, f.header())
	return doseUnit{}
}

// molarDose turns moles of the metal into its mass.
func (m *maker) molarDose(k int, f field) doseUnit {
	b, u := m.b, f.Head.Unit
	as := cmp.Or(u.As, strings.ToLower(f.Head.Metal), strings.ToLower(metalOf(m.s.Chemicals[k].Name)))
	basis, _ := quantity.BasisOf(as)
	mass, ok := quantity.AtomicMass[basis.Metal()]
	if !ok || basis != quantity.AsAl && basis != quantity.AsFe {
		b.say(note.Error, "molar-dose", f.Place, "the dose in column %q is in %s, and nothing says of what", f.Head.Text, u.Name).do(b, `write "mmol/L as Al" or "mmol/L as Fe" in the heading`)
		return doseUnit{}
	}
	if u.As == "" && f.Head.Metal == "" {
		b.say(note.Caution, "molar-of-metal", f.Place, "column %q does not say of what the dose is in %s; it is taken to be of the metal, not of the salt", f.Head.Text, u.Name).do(b, `write "mmol/L as Al" or the dose in mg/L`)
	}
	m.s.Chemicals[k].Basis = basis
	if !countsIn(f.chem, as) {
		m.strangeBasis(f, f.Place, as, fmt.Sprintf("in column %q", f.Head.Text))
	}
	b.say(note.Info, "molar-dose", f.Place, "the dose in column %q is turned into mg/L %s (%s g/mol)", f.Head.Text, basis, trimFloat(mass))
	return doseUnit{perUnit: mass * u.Factor, ok: true}
}

// massInJar divides the mass in each jar by its volume.
func (m *maker) massInJar(f field) doseUnit {
	b, u := m.b, f.Head.Unit
	vol, ok := m.jarVolume()
	if i, x, differs := m.varying(asVolume, ""); !ok && differs {
		return doseUnit{perUnit: u.Factor / x, ok: true, jar: x, jarBy: &m.fs[i]}
	}
	if !ok {
		b.say(note.Error, "jar-volume-missing", f.Place, "column %q gives the mass in each jar, and the jar volume is not stated", f.Head.Text).do(b, `state it with --jar-volume "1 L", or write "Jar volume | 1 L" on the sheet`)
		return doseUnit{}
	}
	if strings.Contains(u.Dimensions, "/pail") && !m.bucketIsJar(vol) {
		b.say(note.Error, "bucket-volume-missing", f.Place, "column %q gives the mass in each bucket, and the sheet states jars of %s only", f.Head.Text, quantity.Volume(vol)).do(b, `write "Bucket volume | 20 L" on the sheet, or state it with --jar-volume "20 L"`)
		return doseUnit{}
	}
	b.say(note.Info, "mass-per-jar", f.Place, "the dose is the mass in column %q divided by the jar volume of %s", f.Head.Text, quantity.Volume(vol))
	return doseUnit{perUnit: u.Factor / vol, ok: true}
}

// leastBucket is a volume, L, that is a bucket's whatever it is called (common practice, no source).
const leastBucket = 5

// bucketIsJar reports a jar volume that can be that of the buckets that were dosed: it is large
// enough, said by the user, or stands beside a word for a bucket.
func (m *maker) bucketIsJar(vol float64) bool {
	x, stated := m.b.look(m.t, factVolume, "")
	named := stated && spoken()["vessel of stock"].in(words.Fold(m.b.lineAt(x)+" "+x.text))
	return vol >= leastBucket || m.b.opt.JarVolume > 0 || named
}

// doseWithoutUnit takes the unit from the cells or from beside them, else mg/L where the chemical is named and
// no stock makes that doubtful: of a bare "Dose" of nobody knows what, the unit may be off by a thousand.
func (m *maker) doseWithoutUnit(k int, f field) doseUnit {
	b := m.b
	if m.cellsHaveUnits(f) {
		return doseUnit{perUnit: 1, ok: true}
	}
	if unit, ok := m.unitNearby(f); ok {
		return unit
	}
	if _, ok := b.look(m.t, factStock, ""); ok {
		b.say(note.Error, "dose-unit-missing", f.Place, "the dose in column %q has no unit, and the sheet speaks of a stock: it can be mg/L or mL of stock", f.Head.Text).
			do(b, `say which with --column "%s=dose mg/L" or --column "%s=stock mL"`, f.header(), f.header())
		return doseUnit{}
	}
	if unnamedChem(m.s.Chemicals[k].Name) && f.Head.Metal == "" {
		b.say(note.Error, "dose-unit-missing", f.Place, "column %q names neither the unit of the dose nor the chemical, and nothing else on the sheet does", f.Head.Text).
			do(b, `state its unit with --column "%s=dose mg/L", or as it was: g/L, or "%s=stock mL"`, f.header(), f.header())
		return doseUnit{}
	}
	b.say(note.Caution, "unit-assumed", f.Place, "the dose in column %q has no unit; mg/L is assumed", f.Head.Text).do(b, `state it with --column "%s=dose mg/L"`, f.header())
	return doseUnit{perUnit: 1, ok: true}
}

// cellsHaveUnits reports a column whose cells carry their units.
func (m *maker) cellsHaveUnits(f field) bool {
	with, n := 0, 0
	for _, d := range m.rows {
		v := layout.ParseValue(m.t.View.At(d.r, f.C), m.b.dec(m.t))
		_, beside := m.unitBeside(d, f, 1)
		said := words.Amounts(v.Text) // "alum 10 mg/L"
		switch {
		case !v.OK() && len(said) == 1 && said[0].Unit.Kind == words.Conc, v.OK() && (v.Unit.Known() || beside):
			n++
			with++
		case v.OK():
			n++
		}
	}
	return with > 0 && with >= n-1
}

// unitNearby takes the unit from the other dose columns of the table.
func (m *maker) unitNearby(f field) (doseUnit, bool) {
	for _, i := range m.dose {
		o := m.fs[i]
		if o.C != f.C && o.role == asDose && o.Head.Unit.Kind == words.Conc && !o.ofOne {
			m.b.say(note.Caution, "unit-assumed", f.Place, "the dose in column %q has no unit; %s is taken, as in column %q", f.Head.Text, o.Head.Unit.Name, o.Head.Text)
			return doseUnit{perUnit: o.Head.Unit.Factor, ok: true}, true
		}
	}
	return doseUnit{}, false
}

// jarVolume finds the water in a jar, in litres. Where a column and the sheet state
// different volumes, neither is taken.
func (m *maker) jarVolume() (float64, bool) {
	if m.b.opt.JarVolume > 0 {
		m.s.JarVolume = m.b.opt.JarVolume
		return float64(m.b.opt.JarVolume), true
	}
	column, at, inColumn := m.columnVolume()
	x, stated := m.b.look(m.t, factVolume, "")
	switch {
	case inColumn && stated && !same(column, x.value):
		m.b.say(note.Caution, "facts-disagree", at, "a column gives jars of %s and %q (%s) jars of %s; neither was taken", quantity.Volume(column), clip(x.text), x.at.Cell, quantity.Volume(x.value)).
			do(m.b, "keep the right one, or state it with --jar-volume")
		return 0, false
	case inColumn:
		m.s.JarVolume = quantity.Volume(column)
		return column, true
	case stated && !m.volumesVary():
		m.s.JarVolume = quantity.Volume(x.value)
		m.b.say(note.Info, "jar-volume", x.at, "the jar volume is %s, from %q", quantity.Volume(x.value), clip(x.text))
		return x.value, true
	}
	return 0, false
}

// columnVolume gives the volume of a column that has the same for all jars, L.
func (m *maker) columnVolume() (float64, note.Place, bool) {
	for _, f := range m.fs {
		if f.role == asVolume && m.b.constant(m.t, f.C) {
			v := layout.ParseValue(m.t.View.At(m.rows[0].r, f.C), m.b.dec(m.t))
			return v.Num * f.Head.Unit.Factor, f.Place, v.OK() && v.Num > 0
		}
	}
	return 0, note.Place{}, false
}

// volumesVary reports a column that gives jars of different volumes: it stands above what
// the sheet says of all.
func (m *maker) volumesVary() bool {
	return slices.ContainsFunc(m.fs, func(f field) bool { return f.role == asVolume && f.numbers > 1 && !m.b.constant(m.t, f.C) })
}

// stockUnit works out what a volume of stock, or of neat product, puts into a jar.
func (m *maker) stockUnit(k int, f field) doseUnit {
	b := m.b
	out := doseUnit{volume: true}
	var ok bool
	if out.litres, ok = m.litresOf(f); !ok {
		return out
	}
	if x, ok := b.look(m.t, factPerMl, f.chem); ok && b.opt.Stock == 0 {
		return m.perMillilitre(f, x, out)
	}
	out.jar, out.jarBy = m.jarOf(f)
	asked := m.strength(k, f, m.s.Chemicals[k].Name, &out)
	var need []string
	if out.stock == 0 && !asked {
		need = append(need, strengthNeeded(f))
	}
	if out.jar == 0 {
		need = append(need, `the jar volume (--jar-volume "1 L")`)
	}
	switch {
	case len(need) > 0:
		b.say(note.Error, "stock-data-missing", f.Place, "the dose in column %q is a volume, and the sheet does not say %s%s", f.Head.Text, stripFlags(need), m.otherStocks(out, m.s.Chemicals[k].Name)).
			do(b, "give %s, or write it beside the table", strings.Join(need, " and "))
	case !asked:
		out.perUnit, out.ok = out.litres*out.stock/out.jar, true
		m.s.Chemicals[k].Stock = quantity.Concentration(out.stock)
	}
	return out
}

// otherStocks says which stocks of the sheet are not that of a chemical that needs one.
func (m *maker) otherStocks(u doseUnit, chem string) string {
	var told []string
	for _, x := range m.b.facts {
		if u.stock == 0 && (x.kind == factStock || x.kind == factPerMl) && x.chem != "" && x.chem != chem {
			told = append(told, fmt.Sprintf("%q is of %s", clip(x.text), x.chem))
		}
	}
	if len(told) == 0 {
		return ""
	}
	slices.Sort(told)
	return "; " + strings.Join(slices.Compact(told), ", ")
}

// perMillilitre works out the doses from what one mL adds to a jar: "1 mL in 1 L = 10
// mg/L". Jars of another size get as much less or more; the strength of the stock and the
// water of the jars must agree with it.
func (m *maker) perMillilitre(f field, x fact, out doseUnit) doseUnit {
	b := m.b
	if m.forTwo(f, x) {
		return out
	}
	out.jar, out.jarBy = m.jarOf(f)
	if x.litres > 0 && out.jar > 0 {
		x.value *= x.litres / out.jar
	}
	stock, known := b.look(m.t, factStock, f.chem)
	switch {
	case x.litres == 0 && out.jarBy != nil:
		b.say(note.Error, "per-ml-disagrees", x.at, "%q does not say for how much water, and column %q gives jars of different volumes", clip(x.text), out.jarBy.Head.Text).
			do(b, `write it as "1 mL in 1 L = 10 mg/L"`)
		return out
	case known && out.jar > 0 && !within(stock.value/1000/out.jar, x.value, agreeing):
		b.say(note.Error, "per-ml-disagrees", x.at, "%q, and 1 mL of the stock of %s (%s) in %s adds %s mg/L", clip(x.text), quantity.Concentration(stock.value), stock.at.Cell, quantity.Volume(out.jar), trimFloat(stock.value/1000/out.jar)).
			do(b, `keep what holds, or state --stock and --jar-volume`)
		return out
	}
	b.say(note.Info, "per-ml", x.at, "each mL of stock is %s mg/L in the jar, from %q", trimFloat(x.value), clip(x.text))
	out.perUnit, out.ok = x.value*out.litres*1000, true
	return out
}

// agreeing is how far two ways to one number may be apart by rounding.
const agreeing = 0.02

// within reports two numbers no further apart than a share of the second.
func within(a, b, share float64) bool { return math.Abs(a-b) <= share*math.Abs(b) }

// hasStock reports a column for which the sheet gives the strength of a stock.
func (m *maker) hasStock(f field) bool {
	k := m.indexOf(f)
	x, stock := m.b.look(m.t, factStock, m.s.Chemicals[k].Name)
	return stock && !m.ofProduct(k, m.s.Chemicals[k].Name, x)
}

// litresOf gives the litres in one unit of a column of volumes.
func (m *maker) litresOf(f field) (float64, bool) {
	b, u := m.b, f.Head.Unit
	switch u.Kind {
	case words.Volume:
		return u.Factor, true
	case words.Volper:
		if !f.Head.Stock && !f.Head.Neat && b.opt.Stock == 0 && b.opt.Density == 0 && m.hasStock(f) {
			b.say(note.Caution, "stock-or-product", f.Place, "column %q does not say whether it is volumes of stock or of product; stock is taken", f.Head.Text).do(b, `write "mL of stock/L", or give --density for product`)
		}
		return u.Factor / 1000, true
	case words.Drops:
		x, ok := b.look(m.t, factDrop, "")
		if own := f.Head.Drop; own > 0 {
			if ok && !same(x.value, own) {
				b.say(note.Caution, "facts-disagree", x.at, "%q gives drops of %s, and the heading %q of %s; the heading was taken", clip(x.text), quantity.Volume(x.value), f.Head.Text, quantity.Volume(own))
			}
			b.say(note.Info, "drop-volume", f.Place, "one of %q is %s", f.Head.Text, quantity.Volume(own))
			return own, true
		}
		if ok {
			b.say(note.Info, "drop-volume", x.at, "a drop is %s, from %q", quantity.Volume(x.value), clip(x.text))
			return x.value, true
		}
		b.say(note.Error, "dose-unit", f.Place, "the dose in column %q is in drops, which have no fixed volume", f.Head.Text).do(b, "write the volume of stock in mL")
		return 0, false
	}
	if !m.cellsHaveUnits(f) {
		b.say(note.Caution, "unit-assumed", f.Place, "the volume of stock in column %q has no unit; mL is assumed", f.Head.Text).do(b, `state it with --column "%s=stock mL"`, f.header())
	}
	return 0.001, true
}

// mostMisread is how many times one volume of a jar can be another before the heading that gives it
// is misread: a prefix of its unit is a thousand.
const mostMisread = 100

// jarOf finds the water that the volumes of a column are for, in litres, and the column
// that gives it where it differs from jar to jar.
func (m *maker) jarOf(f field) (float64, *field) {
	if f.Head.Unit.Kind == words.Volper {
		return 1, nil
	}
	if vol, ok := m.b.headVolume(f); ok && m.b.opt.JarVolume == 0 {
		if vol > largestJar {
			return vol, nil
		}
		x, stated := m.b.look(m.t, factVolume, "")
		headed, taken := vol, "heading"
		switch disagree := stated && !same(x.value, vol); {
		case disagree && max(vol, x.value) > mostMisread*min(vol, x.value): // a heading that was misread
			vol, taken = x.value, "former"
			fallthrough
		case disagree:
			m.b.say(note.Caution, "facts-disagree", x.at, "%q says %s, and the heading %q %s; the %s was taken", clip(x.text), quantity.Volume(x.value), f.Head.Text, quantity.Volume(headed), taken).
				do(m.b, "keep the right one, or state it with --jar-volume")
		}
		m.s.JarVolume = quantity.Volume(vol)
		return vol, nil
	}
	if vol, ok := m.jarVolume(); ok {
		return vol, nil
	}
	if i, x, ok := m.varying(asVolume, ""); ok && m.b.opt.JarVolume == 0 {
		return x, &m.fs[i]
	}
	return 0, nil
}

// strengthNeeded says what turns the volumes of a column into masses: the density where it
// counts parts of product, either where it does not say of what the volumes are.
func strengthNeeded(f field) string {
	density, stock := fmt.Sprintf(`the density of the product (--density "%s kg/L", or what its label has)`, densityLike(f.chem)), `the strength of the stock (--stock "10 g/L")`
	switch {
	case f.Head.Stock || f.Head.Unit.Kind == words.Drops:
		return stock
	case f.Head.Unit.Kind != words.Volper:
		return stock + " or, if it was dosed neat, " + density
	case strings.HasSuffix(f.Head.Unit.Name, "v/v") || f.Head.Neat:
		return density
	}
	return stock + " or " + density
}

// densityLike is an example of the density of a product, kg/L, as sold (alum: Hendricks 2011, Fundamentals of Water Treatment Unit
// Processes, appendix F; polyaluminium chloride: NHMRC fact sheet; ferric chloride of 40 %: Perry's handbook, 7th ed.; others from memory).
func densityLike(chem string) string {
	return cmp.Or(map[string]string{"alum": "1.33", "PACl": "1.20", "ferric chloride": "1.42", "ferric": "1.42", "ferric sulfate": "1.5"}[chem], "1.1")
}

func stripFlags(need []string) string {
	return flagInBrackets.ReplaceAllString(strings.Join(need, " nor "), "")
}

var flagInBrackets = words.NewPattern(` \(--[^)]*\)`)

// strength finds the stock's strength, or the density of a neat product. It gives
// true where it has asked for a density.
func (m *maker) strength(k int, f field, chem string, out *doseUnit) bool {
	b := m.b
	if b.opt.Stock > 0 {
		out.stock = float64(b.opt.Stock)
		m.besideGiven(f, chem)
		return m.forTwo(f, fact{at: f.Place, text: "--stock"})
	}
	if m.headProduct(k, f, chem, out) {
		return false
	}
	neat, saysNeat := b.look(m.t, factNeat, chem)
	product := m.productByVolume(f, chem)
	saysNeat = saysNeat || f.Head.Neat || product
	if !product {
		if x, ok, asked := m.statedStrength(f, chem, saysNeat, out); ok || asked {
			m.forOthers(f, x)
			return asked || m.forTwo(f, x) || m.factStrength(k, f, chem, x, out)
		}
	}
	if b.opt.Density > 0 {
		m.neat(k, f, float64(b.opt.Density), out)
		return false
	}
	if m.statedDensity(k, f, chem, saysNeat, out) {
		return false
	}
	if saysNeat {
		at := f.Place
		if neat.text != "" {
			at = neat.at
		}
		b.say(note.Error, "density-missing", at, "the doses are volumes of neat product, and its density is not stated").do(b, `give --density "1.33 kg/L", or write "SG | 1.33" beside the table`)
	}
	return saysNeat
}

// besideGiven speaks of what the sheet says of the stock where the user states its strength: a share by mass that was copied from
// it, which weighs more by volume, and a dilution, which nobody applies twice.
func (m *maker) besideGiven(f field, chem string) {
	b, given := m.b, float64(m.b.opt.Stock)
	x, ok := b.look(m.t, factHolds, chem)
	if !ok {
		x, ok = b.look(m.t, factHolds, "")
	}
	if ok && same(x.value*1e4, given) && (x.chem == "" || related(x.chem, chem)) {
		b.say(note.Caution, "share-by-mass", x.at, "%q is a product's strength by mass, and --stock takes it for %s, which is by volume", clip(x.text), quantity.Concentration(given)).
			do(b, `if the product was dosed neat, leave --stock out and give its density, such as --density "%s kg/L"`, densityLike(chem))
	}
	if n, at, diluted := m.dilution(f, chem); diluted {
		b.say(note.Caution, "dilution-and-strength", at, "the sheet speaks of a dilution of 1 in %s, and --stock states %s; that is taken to be the strength of what was dosed", trimFloat(n), quantity.Concentration(given)).
			do(b, "if it is that of the product, divide it by the dilution")
	}
}

// productByVolume reports volumes of a product per volume of water, "PAC 18 % (mL/m3)": its share
// is one by mass, which gives no mg/L without a density.
func (m *maker) productByVolume(f field, chem string) bool {
	if f.Head.Unit.Kind != words.Volper || f.Head.Stock || m.hasStock(f) {
		return false
	}
	_, _, diluted := m.dilution(f, chem)
	return !diluted && slices.ContainsFunc(words.Amounts(f.Head.Plain()), func(a words.Amount) bool {
		x := layout.Numeral(a.Number, layout.DecimalPoint)
		return a.Kind == words.Percent && x.Num*a.Factor > leastProduct
	})
}

// headProduct takes the density that a heading states for the product whose volumes its column
// gives, "alum 48 %, SG 1.33, µL"; a stock that the heading or the sheet tells of is none.
func (m *maker) headProduct(k int, f field, chem string, out *doseUnit) bool {
	if f.Head.Gravity == 0 || f.Head.Stock || m.b.opt.Density > 0 || m.hasStock(f) {
		return false
	}
	for _, a := range words.Amounts(f.Head.Plain()) {
		x := layout.Numeral(a.Number, layout.DecimalPoint)
		if a.Kind == words.Conc || a.Kind == words.Percent && x.Num*a.Factor <= leastProduct {
			return false
		}
	}
	m.b.say(note.Info, "neat-product", f.Place, "doses are volumes of neat product at %s kg/L, from the heading %q", trimFloat(f.Head.Gravity), f.Head.Text)
	m.neat(k, f, f.Head.Gravity, out)
	return true
}

// statedDensity takes the density that the sheet states, where the column can be of the
// product itself or of a dilution of it.
func (m *maker) statedDensity(k int, f field, chem string, neat bool, out *doseUnit) bool {
	micro := f.Head.Unit.Factor > 0 && f.Head.Unit.Factor < 5e-6
	_, _, diluted := m.dilution(f, chem)
	_, form, _ := words.NamedForm(f.Head.Plain())
	liquid := form.Form == words.Liquid && !m.hasStock(f) // "Liquid alum (mL)"
	x, ok := m.b.look(m.t, factDensity, chem)
	if !ok || !(neat || diluted || micro || liquid || f.Head.Unit.Kind == words.Volper) {
		return false
	}
	m.b.say(note.Info, "neat-product", x.at, "doses are volumes of neat product at %s kg/L", trimFloat(x.value))
	m.neat(k, f, x.value, out)
	return true
}

// statedStrength gives the strength that the heading, a column or the sheet states. It
// has asked where two of them state different ones.
func (m *maker) statedStrength(f field, chem string, neat bool, out *doseUnit) (x fact, ok, asked bool) {
	var all []fact
	if x, ok := m.b.headStock(f); ok {
		all = append(all, x)
	}
	if x, ok := m.columnStrength(f, chem, out); ok {
		all = append(all, x)
	}
	if x, ok, asked := m.vessel(f, chem); asked {
		return x, false, true
	} else if ok && !neat && m.b.opt.Density == 0 {
		all = append(all, x)
	}
	for _, o := range all {
		if !same(o.value, all[0].value) {
			m.b.say(note.Error, "strength-twofold", o.at, "the stock of column %q is %s by %q and %s by %q", f.Head.Text, quantity.Concentration(all[0].value), clip(all[0].text), quantity.Concentration(o.value), clip(o.text)).
				do(m.b, `keep the strength of what was dosed, or state it with --stock "…"`)
			return x, false, true
		}
	}
	if len(all) == 0 {
		return x, false, false
	}
	return all[0], true, false
}

// columnStrength takes the strength of a stock from a column, which may differ from jar
// to jar.
func (m *maker) columnStrength(f field, chem string, out *doseUnit) (fact, bool) {
	chem = cmp.Or(f.chem, chem)
	if i, x, ok := m.varying(asStrength, chem); ok {
		out.stockBy = &m.fs[i]
		return fact{value: x, sure: true, chem: m.fs[i].Head.Chem, text: m.fs[i].Head.Text, at: m.fs[i].Place}, true
	}
	for _, o := range m.fs {
		if o.role != asStrength || o.Head.Chem != "" && o.Head.Chem != chem {
			continue
		}
		if v := layout.ParseValue(m.t.View.At(m.rows[0].r, o.C), m.b.dec(m.t)); v.OK() {
			v.Unit = o.Head.Unit
			if s, ok := stockStrength(v); ok {
				return fact{value: s, sure: true, chem: o.Head.Chem, text: o.Head.Text, at: o.Place}, true
			}
		}
	}
	return fact{}, false
}

// strengthsUnused speaks of a column on the strength of a chemical that no column gives a dose of: it may
// be its dose.
func (m *maker) strengthsUnused() {
	for _, o := range m.fs {
		dosed := func(i int) bool { return m.fs[i].role == asStock || related(m.fs[i].chem, o.Head.Chem) }
		if o.role == asStrength && o.Head.Chem != "" && !slices.ContainsFunc(m.dose, dosed) {
			m.b.say(note.Caution, "strength-unused", o.Place, "column %q is taken for the strength of a stock of %s, and no column says how much of it was dosed", o.Head.Text, o.Head.Chem).
				do(m.b, `if it is the dose, say so with --column "%s=dose %s"`, o.header(), cmp.Or(o.Head.Unit.Name, "mg/L"))
		}
	}
}

// forTwo asks about a strength that names no chemical where volumes of two are dosed.
func (m *maker) forTwo(f field, x fact) bool {
	if x.chem != "" || layout.ReadHeading(x.text).All || both.MatchString(words.Fold(x.text)) {
		return false
	}
	own := cmp.Or(f.chem, m.s.Chemicals[m.indexOf(f)].Name)
	other := m.otherDosed(f, own)
	if other == "" {
		return false
	}
	m.b.say(note.Error, "strength-of-which", x.at, "%q names no chemical, and volumes of %s and of %s are dosed", clip(x.text), own, other).
		do(m.b, `write "%s stock | 10 g/L" and "%s stock | …" beside the table, or "both stocks" if it is that of both`, own, other)
	return true
}

// forOthers speaks of a strength that names no chemical where another table of the sheet
// doses volumes of another chemical with it.
func (m *maker) forOthers(f field, x fact) {
	if x.chem != "" || layout.ReadHeading(x.text).All || both.MatchString(words.Fold(x.text)) || f.chem == "" || x.g == nil || m.b.cautioned(x.at) {
		return
	}
	for _, t := range m.b.tables {
		for _, o := range m.b.byTable[t] {
			if t == m.t || t.Area() != m.t.Area() || o.role != asStock || o.chem == "" || qualified(o) == qualified(f) || words.Amounts(o.Head.Text) != nil {
				continue
			}
			if y, ok := m.b.look(t, factStock, o.chem); ok && y.at == x.at {
				m.b.say(note.Caution, "strength-of-which", x.at, "%q names no chemical, and tables of the sheet dose volumes of %s and of %s; it is taken for both", clip(x.text), f.chem, o.chem).
					do(m.b, `write "%s stock | 10 g/L" and "%s stock | …" beside the tables, or "both stocks" if it is that of both`, f.chem, o.chem)
				return
			}
		}
	}
}

// otherDosed names another chemical that a table doses volumes of, and states no strength
// of: in a column of its own, or on other lines.
func (m *maker) otherDosed(f field, own string) string {
	for _, o := range m.b.byTable[m.t] {
		switch {
		case o.role == asChemical:
			for _, r := range m.t.Rows {
				if h := layout.ReadHeading(m.b.label(m.t, r, o.C)); h.Chem != "" && h.Chem != own && !m.hasOwnStrength(field{chem: h.Chem}) {
					return h.Chem
				}
			}
		case o.role == asStock && o.of < 0 && o.C != f.C && o.chem != "" && f.chem != "" && qualified(o) != qualified(f) && !m.hasOwnStrength(o):
			return o.chem
		}
	}
	return ""
}

// both are words for the stocks of several chemicals.
var both = worded(`\b{both}\b`)

// hasOwnStrength reports a column of volumes whose heading, or a fact or column that
// names its chemical, states a strength.
func (m *maker) hasOwnStrength(f field) bool {
	if words.Amounts(f.Head.Text) != nil {
		return true
	}
	names := func(chem string) bool { return chem != "" && strings.HasSuffix(f.chem, chem) }
	return slices.ContainsFunc(m.b.facts, func(x fact) bool {
		return (x.kind == factStock || x.kind == factPerMl || x.kind == factDensity) && names(x.chem)
	}) || slices.ContainsFunc(m.b.byTable[m.t], func(o field) bool { return o.role == asStrength && names(o.Head.Chem) })
}

// factStrength takes the strength that the sheet states beside its tables. It gives true
// where it has asked for that of a dilution.
func (m *maker) factStrength(k int, f field, chem string, x fact, out *doseUnit) bool {
	b := m.b
	out.stock = x.value
	n, at, diluted := m.dilution(f, chem)
	rho, dense := b.look(m.t, factDensity, chem)
	ofStock, _ := b.look(m.t, factDilution, chem)
	switch {
	case diluted && ofStock.sure:
		out.stock = x.value / n
		b.say(note.Caution, "diluted-stock", at, "what was dosed is taken for a dilution of the stock of %s, 1 part in %s in all, so for %s", quantity.Concentration(x.value), trimFloat(n), quantity.Concentration(out.stock)).
			do(b, `if not, state the strength of what was dosed with --stock "…"`)
		return false
	case diluted && dense && x.unit.Kind == words.Percent: // a share of a product with a density is by mass
		out.stock = x.value / 1e4 / 100 * rho.value * 1e6 / n
		b.say(note.Caution, "diluted-product", at, "what was dosed is taken for a dilution of the product, 1 part in %s in all, so for %s (%s %% by mass at %s kg/L)", trimFloat(n), quantity.Concentration(out.stock), trimFloat(x.value/1e4), trimFloat(rho.value)).
			do(b, `if not, state the strength of what was dosed with --stock "…"`)
		return false
	case !diluted && m.ofProduct(k, chem, x):
		m.neat(k, f, rho.value, out)
		return false
	case !diluted && dense && x.unit.Kind == words.Percent && ofMass(x):
		out.stock = x.value * rho.value
		level, remark := note.Info, ""
		if !saysByMass(x) {
			level, remark = note.Caution, " (by mass is assumed, as a density is stated)"
		}
		b.say(level, "stock-by-mass", x.at, "the stock is %s: %s %% by mass at %s kg/L, from %q%s", quantity.Concentration(out.stock), trimFloat(x.value/1e4), trimFloat(rho.value), clip(x.text), remark)
		return false
	case !diluted && x.unit.Kind == words.Percent && saysByMass(x) && x.value/1e4 > leastProduct:
		b.say(note.Error, "density-missing", x.at, "%q is a share by mass, and doses by volume need the density of the liquid", clip(x.text)).
			do(b, `state the density with --density "1.3 kg/L", or the strength of what was dosed with --stock "…"`)
		out.stock = 0
		return true
	case diluted && !x.sure:
		b.say(note.Error, "dilution-and-strength", at, "the sheet speaks of a dilution of 1 in %s and of a product of %s %%, and not of what a litre of the dilution holds", trimFloat(n), trimFloat(x.value/1e4)).
			do(b, `state the strength of what was dosed with --stock "…"`)
		out.stock = 0
		return true
	case diluted:
		b.say(note.Caution, "dilution-and-strength", at, "the sheet speaks of a dilution of 1 in %s and of a stock of %s; the strength is taken to be that of what was dosed", trimFloat(n), quantity.Concentration(x.value)).
			do(b, `if not, state the strength of what was dosed with --stock "…"`)
	}
	m.tellStrength(k, f, x)
	return false
}

// tellStrength says where the strength of a stock was found, and takes what it counts for the dose.
func (m *maker) tellStrength(k int, f field, x fact) {
	b := m.b
	if as, err := quantity.ParseBasis(b.stockCounts(x)); as != quantity.NotStated && err == nil && m.s.Chemicals[k].Basis == quantity.NotStated {
		m.s.Chemicals[k].Basis = as
		b.say(note.Info, "basis", x.at, "the stock is counted %s, and so is the dose", as)
	}
	level, remark := note.Info, ""
	if !x.sure {
		level, remark = note.Caution, " (mass by volume is assumed)"
	} else if x.at == f.Place || x.g == nil {
		return // a column or the heading states it
	}
	b.say(level, "stock-strength", x.at, "the stock is %s, from %q%s", quantity.Concentration(x.value), clip(x.text), remark)
}

// byMass says that a percentage is one of mass in mass.
var byMass = words.NewPattern(`% ?\(?(?:w/w|m/m|p/p|wt|by weight|by mass|gew)`)

// ofProduct reports a strength by mass that stands beside the density of its liquid, which no line calls
// a stock: both are of the product, and volumes of it count the product.
func (m *maker) ofProduct(k int, chem string, x fact) bool {
	rho, dense := m.b.look(m.t, factDensity, chem)
	return dense && rho.at != x.at && x.unit.Kind == words.Percent && ofMass(x) && !saysStock(m.b.lineAt(x)) && m.s.Chemicals[k].Basis == quantity.NotStated
}

func saysByMass(x fact) bool { return byMass.MatchString(words.Fold(saidOf(x))) }

// ofMass reports a share that is said to be one by mass, or that is rather that of a product, sold by
// mass, than of what a bench makes up.
func ofMass(x fact) bool {
	return saysByMass(x) || !x.sure && x.value/1e4 > leastProduct && !byVolume.MatchString(words.Fold(saidOf(x)))
}

// byVolume says that a percentage is one of mass in volume.
var byVolume = words.NewPattern(`% ?\(?(?:w/v|m/v|p/v|wt/vol|weight/vol)`)

// dilution finds that the liquid dosed is a dilution of the product, one part in so many.
func (m *maker) dilution(f field, chem string) (float64, note.Place, bool) {
	if n, ok := dilutionIn(f.Head.Text); ok {
		return n, f.Place, true
	}
	if x, ok := m.b.look(m.t, factDilution, chem); ok {
		return x.value, x.at, true
	}
	return 0, note.Place{}, false
}

func (m *maker) neat(k int, f field, density float64, out *doseUnit) {
	out.stock = density * 1e6
	if n, at, ok := m.dilution(f, m.s.Chemicals[k].Name); ok {
		out.stock /= n
		level := note.Caution
		if x, _ := m.b.look(m.t, factDilution, m.s.Chemicals[k].Name); x.at == at && len(x.parts) > 0 { // by its volumes
			level = note.Info
		}
		m.b.say(level, "diluted-product", at, "what was dosed is taken for a dilution of the product, 1 part in %s in all, so for %s of product", trimFloat(n), quantity.Concentration(out.stock)).
			do(m.b, `if it is 1 part to so many of water, state the strength with --stock "…"`)
	}
	if m.s.Chemicals[k].Basis == quantity.NotStated {
		m.s.Chemicals[k].Basis = quantity.AsProduct
		m.b.say(note.Info, "basis", f.Place, "the dose is mg/L of product as supplied (volume times density)")
	}
}

// leastProduct is the percentage above which a strength is rather that of a product, by
// mass, than of what a bench makes up.
const leastProduct = 5

// headStock reads a strength in the heading itself: "mL of 1 % alum".
func (b *bench) headStock(f field) (fact, bool) {
	for _, a := range words.Amounts(f.Head.Plain()) {
		if a.Kind != words.Percent && a.Kind != words.Conc {
			continue
		}
		if x := layout.Numeral(a.Number, layout.DecimalPoint); x.OK() {
			if c, ok := stockStrength(layout.Value{State: layout.Number, Num: x.Num, Unit: a.Unit}); ok {
				b.say(note.Info, "stock-strength", f.Place, "the stock is %s, from the heading %q", quantity.Concentration(c), f.Head.Text)
				return fact{value: c, unit: a.Unit, sure: a.Kind == words.Conc || x.Num*a.Factor <= leastProduct, chem: f.chem, text: f.Head.Text, at: f.Place}, true
			}
		}
	}
	return fact{}, false
}

// largestJar is the water of the largest vessel that tests are made in, a bucket, L.
const largestJar = 25

// headVolume reads the water of a jar in the heading: "mL of 1 % stock per 2 L jar", "mL
// of stock per m3".
func (b *bench) headVolume(f field) (float64, bool) {
	jar := f.Head.Jar || f.Head.Volume
	others := 0 // units before it: "in mL" names that of the column, "mL in L" the water
	for i, p := range layout.Pieces(f.Head.Plain()) {
		per := p.After == "per" || (p.After == "in" || p.After == "to") && (p.Counted || others > 0)
		if p.Concept == layout.SaysUnit {
			others++
		}
		if p.Concept != layout.SaysUnit || p.Unit.Kind != words.Volume || i == 0 || !(per || jar && p.Counted) {
			continue
		}
		litres := p.Unit.Factor
		if p.Counted {
			x := layout.Numeral(bareNum.FindString(p.Text), layout.DecimalPoint) // "2-L"
			if !x.OK() {
				continue
			}
			litres *= x.Num
		}
		if per || litres >= 0.05 && litres <= largestJar {
			b.say(note.Info, "jar-volume", f.Place, "each dose is for %s of water, from the heading %q", quantity.Volume(litres), f.Head.Text)
			return litres, true
		}
	}
	return 0, false
}

// convert turns one dose cell into mg/L; false where it gives no dose.
func (m *maker) convert(d dataRow, f field, u doseUnit, v layout.Value) (jartest.JarDose, bool) {
	b := m.b
	at := m.t.View.PlaceAt(d.r, f.C)
	jd := jartest.JarDose{At: at}
	if v.State != layout.Number {
		return m.noDose(d, f, v, at)
	}
	for _, x := range doseFaults {
		if x.holds(v) && u != (doseUnit{}) { // else the column was refused as a whole
			b.say(note.Error, x.code, at, "%s", x.says(v)).do(b, "%s", x.remedy)
			return jd, false
		}
	}
	v = m.marked(d, f, v, at)
	mg, ok := m.doseOf(f, u, v, at)
	if !ok {
		return jd, false
	}
	if v.Unit.Kind != words.Conc && (u.stockBy != nil || u.jarBy != nil) && v.Num != 0 {
		own, ok := m.ownFactor(d, u)
		if !ok {
			b.say(note.Error, "stock-data-missing", at, "the stock strength or jar volume of this jar is missing or unclear").do(b, "fill in the cell")
			return jd, false
		}
		mg *= own
	}
	switch {
	case mg > 1e5:
		b.say(note.Error, "impossible-value", at, "a dose of %s mg/L cannot be", trimFloat(mg)).do(b, "correct the cell or its unit")
		return jd, false
	case mg > 5000 && !f.unitTold:
		b.say(note.Caution, "very-high-dose", f.Place, "doses in column %q go beyond 5 g/L of water", f.Head.Text).
			do(b, `check the unit and the stock; where the unit is right, say so with --column "%s=%s"`, f.header(), f.saidAs())
	}
	jd.Concentration, jd.Known = quantity.Concentration(round12(mg)), true
	if u.volume && u.litres > 0 {
		jd.StockVolume = quantity.Volume(v.Num * u.litres)
		if u.jar > 0 && float64(jd.StockVolume) > 0.01*u.jar {
			b.say(note.Info, "dilution", f.Place, "the stock adds more than 1 %% to the water of a jar, which lowers the readings by as much")
		}
	}
	return jd, true
}

// doseFaults are numbers that are no doses.
var doseFaults = []struct {
	code   string
	holds  func(layout.Value) bool
	says   func(layout.Value) string
	remedy string
}{
	{"dose-in-percent", func(v layout.Value) bool { return v.Percent },
		func(layout.Value) string { return "the dose is shown in percent" }, "format the cell as a number and state its unit"},
	{"negative-dose", func(v layout.Value) bool { return v.Num < 0 },
		func(v layout.Value) string { return "the dose is negative (" + trimFloat(v.Num) + ")" }, "correct the cell; a dose is 0 or more"},
	{"unclear-dose", func(v layout.Value) bool { return len(v.List) > 0 || v.SD > 0 },
		func(v layout.Value) string { return fmt.Sprintf("dose %q %s", clip(v.Text), layout.MoreThanOne) }, oneNumber},
}

// oneNumber says what a cell of doses holds.
const oneNumber = "write one number into the cell; a second dose, of another chemical or given later, stands in a column of its own"

// noDose says why a dose cell without a number gives no dose, unless the volume of stock
// beside it does.
func (m *maker) noDose(d dataRow, f field, v layout.Value, at note.Place) (jartest.JarDose, bool) {
	b, none := m.b, jartest.JarDose{At: at}
	if v.State == layout.Missing || v.State == layout.Zero || v.State == layout.Hollow && m.ownUnfilled(d, f) {
		return none, false
	}
	if v.State == layout.Hollow || v.State == layout.Fault {
		if s, ok := m.fromStock(d, f); ok {
			if v.State == layout.Fault {
				b.say(note.Caution, "error-value", at, "the dose holds the error %s; it was worked out from the volume of stock beside it", v.Text).do(b, "correct the formula")
			}
			return s, true
		}
	}
	switch v.State {
	case layout.Hollow:
		b.say(note.Error, "formula-without-value", at, "the formula in dose column %q has no stored value", f.Head.Text).do(b, "open the file in a spreadsheet program, save it and run this again")
	case layout.Fault:
		b.say(note.Error, "error-value", at, "the dose holds the error %s", v.Text).do(b, "correct the formula")
	case layout.Dated:
		b.say(note.Error, "date-as-dose", at, "a date stands where the dose should be").do(b, "type the dose again with the cell formatted as a number")
	default:
		if more, said := m.likewise(f, v, at); !said {
			b.say(note.Error, "unclear-dose", at, "dose %q %s%s", clip(v.Text), orWord(doubtOf(v), "is not a number"), more).do(b, "%s", m.hint(v))
		}
	}
	return none, false
}

// marked speaks of the marks and the basis of a dose cell, and gives it the unit beside it.
func (m *maker) marked(d dataRow, f field, v layout.Value, at note.Place) layout.Value {
	b := m.b
	if v.Approx || v.Doubt != "" && v.Doubt != layout.NotRepeats { // which the column was refused for
		b.say(note.Caution, "marked-value", at, "dose %q is read as %s", v.Text, trimFloat(v.Num))
	}
	if !v.Unit.Known() && (!f.Head.Unit.Known() || f.Head.Unit.Kind == words.NoUnit) {
		if beside, ok := m.unitBeside(d, f, 1); ok {
			v.Unit = beside
		}
	}
	if v.Unit.As != "" && v.Unit.As != f.Head.Unit.As {
		if as, err := quantity.ParseBasis(v.Unit.As); err != nil || as != m.s.Chemicals[m.indexOf(f)].Basis {
			b.say(note.Caution, "basis-in-cell", at, "dose %q counts %s, and the column does not say so", clip(v.Text), v.Unit.As).do(b, `state it for the column, such as "mg/L as Al"`)
		}
	}
	return v
}

// indexOf gives which chemical a column doses.
func (m *maker) indexOf(f field) int {
	for k, i := range m.dose {
		if m.fs[i].C == f.C {
			return k
		}
	}
	return 0
}

// doseOf applies the unit of the cell, else that of the column.
func (m *maker) doseOf(f field, u doseUnit, v layout.Value, at note.Place) (float64, bool) {
	switch {
	case !v.Unit.Known() || v.Unit.Kind == f.Head.Unit.Kind && v.Unit.Factor == f.Head.Unit.Factor:
		if v.Num == 0 && !u.ok {
			return 0, u.ok
		}
		return v.Num * u.perUnit, u.ok
	case v.Unit.Kind == words.Conc:
		return v.Num * v.Unit.Factor, true
	case v.Unit.Kind == words.Volume && u.volume && u.ok && u.litres > 0:
		return v.Num * v.Unit.Factor / u.litres * u.perUnit, true
	case v.Unit.Kind == words.Volume && u.volume:
		return 0, false
	}
	m.b.say(note.Error, "dose-unit", at, "dose %q is in %s, which does not fit the column", v.Text, v.Unit.Name).do(m.b, "correct the cell")
	return 0, false
}

// varying finds a column that gives the stock strength (mg/L) or jar volume (L) of
// each jar, where they differ, with its first value.
func (m *maker) varying(as role, chem string) (int, float64, bool) {
	for i, o := range m.fs {
		if o.role != as || m.b.constant(m.t, o.C) || as == asStrength && o.Head.Chem != "" && o.Head.Chem != chem {
			continue
		}
		for _, d := range m.rows {
			if x, ok := m.perJar(d, o); ok {
				m.b.say(note.Info, "differs-by-jar", o.Place, "column %q differs from jar to jar, and each jar is worked out with its own", o.Head.Text)
				return i, x, true
			}
		}
	}
	return 0, 0, false
}

// perJar reads the stock strength (mg/L) or jar volume (L) of one jar.
func (m *maker) perJar(d dataRow, o field) (float64, bool) {
	v := layout.ParseValue(m.t.View.At(d.r, o.C), m.b.dec(m.t))
	if !v.OK() || v.Num <= 0 {
		return 0, false
	}
	if !v.Unit.Known() {
		v.Unit = o.Head.Unit
	}
	if o.role == asVolume {
		return v.Num * v.Unit.Factor, v.Unit.Kind == words.Volume
	}
	return stockStrength(v)
}

// ownFactor corrects a dose worked out with the first jar's stock and volume for
// those of this jar.
func (m *maker) ownFactor(d dataRow, u doseUnit) (float64, bool) {
	factor := 1.0
	if u.stockBy != nil {
		x, ok := m.perJar(d, *u.stockBy)
		if !ok {
			return 0, false
		}
		factor *= x / u.stock
	}
	if u.jarBy != nil {
		x, ok := m.perJar(d, *u.jarBy)
		if !ok {
			return 0, false
		}
		factor *= u.jar / x
	}
	return factor, true
}

// unitBeside gives the unit that a column right (1) or left (-1) of another states for one jar.
func (m *maker) unitBeside(d dataRow, f field, sides ...int) (words.Unit, bool) {
	for i := range m.fs {
		if o := &m.fs[i]; o.role == asUnit && slices.Contains(sides, o.C-f.C) {
			return words.OnlyUnit(m.t.View.At(d.r, o.C).Text)
		}
	}
	if o, ok := m.unitApart(f); ok && slices.Contains(sides, 1) {
		u, ok := words.OnlyUnit(m.t.View.At(d.r, o.C).Text)
		return u, ok && u.Kind == words.Conc
	}
	return words.Unit{}, false
}

// unitApart gives the column of units that does not stand beside the only column of doses
// and can be of no other: the column that it stands beside has its unit in the heading.
func (m *maker) unitApart(f field) (field, bool) {
	if len(m.dose) != 1 || !f.dosed() {
		return field{}, false
	}
	for i := range m.fs {
		if o := &m.fs[i]; o.role == asUnit && i > 0 && m.fs[i-1].C != f.C {
			u := m.fs[i-1].Head.Unit
			return *o, u.Known() && u.Kind != words.NoUnit && u.Kind != words.Conc
		}
	}
	return field{}, false
}

// fromStock gives the dose out of the paired column of stock volumes.
func (m *maker) fromStock(d dataRow, f field) (jartest.JarDose, bool) {
	for k, i := range m.dose {
		if m.fs[i].C != f.C {
			continue
		}
		for _, s := range m.fs {
			if s.role != asStock || s.of != i {
				continue
			}
			s.of = -1
			v := m.poured(d, s)
			if !v.OK() {
				return jartest.JarDose{}, false
			}
			before := len(m.b.notes)
			u := m.stockUnit(k, s)
			if !u.ok {
				m.b.notes = m.b.notes[:before]
				return jartest.JarDose{}, false
			}
			m.b.say(note.Info, "dose-from-stock", f.Place, "the doses in column %q have no stored value and are worked out from the volumes in column %q", f.Head.Text, s.Head.Text)
			return m.convert(d, s, u, v)
		}
	}
	return jartest.JarDose{}, false
}

// volume notes the stock volume beside a dose, and checks the two against each
// other where the sheet says what a volume of stock adds.
func (m *maker) volume(d dataRow, i int, jd jartest.JarDose) jartest.JarDose {
	if m.fs[i].role != asDose {
		return jd
	}
	litres := 0.0
	for _, s := range m.fs {
		if s.role != asStock || s.of != i || s.C == m.fs[i].C {
			continue
		}
		v := m.poured(d, s)
		if !v.OK() || v.Num < 0 || s.Head.Unit.Kind != words.Volume {
			continue
		}
		litres = v.Num * s.Head.Unit.Factor // the last column counts: added after to be added
		jd.StockVolume = quantity.Volume(litres)
	}
	if litres == 0 || !jd.Known {
		return jd
	}
	perLitre, how, ok := m.addedBy(m.fs[i].chem)
	if want := litres * perLitre; ok && math.Abs(want-float64(jd.Concentration)) > agreeing*want+0.01 {
		m.b.say(note.Caution, "stock-disagrees", jd.At, "%s mL of stock %s is %s mg/L, but the sheet says %s", trimFloat(litres*1000), how, quantity.Sig(want, 4), trimFloat(float64(jd.Concentration))).
			do(m.b, "check the stock strength, the jar volume and the dose")
	}
	return jd
}

// addedBy gives the mg/L that a litre of stock adds to a jar, and by what; ok is false
// where the sheet does not say.
func (m *maker) addedBy(chem string) (perLitre float64, how note.Phrase, ok bool) {
	vol, okV := m.b.look(m.t, factVolume, "")
	if x, ok := m.b.look(m.t, factPerMl, chem); ok && (okV || x.litres == 0) {
		if x.litres > 0 {
			x.value *= x.litres / vol.value
		}
		return x.value * 1000, note.Say("by %q", clip(x.text)), true
	}
	stock, okS := m.b.look(m.t, factStock, chem)
	if !okS || !okV {
		return 0, note.Phrase{}, false
	}
	return stock.value / vol.value, note.Say("at %s in %s", quantity.Concentration(stock.value), quantity.Volume(vol.value)), true
}
