package caution

import (
	"slices"

	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// drinkingLimit is what one authority lets drinking water get: of a metal mg/L, of a monomer ug/L,
// which is ten times the dose in mg/L times its content in %: that is reckoned from the product's
// specification, never measured.
type drinkingLimit struct {
	rule, of, by string
	most         float64
	source       string
}

var drinkingLimits = []drinkingLimit{
	{"dw-acrylamide", "acrylamide", "US", 0.5, "40 CFR 141.111"},
	{"dw-acrylamide", "acrylamide", "EU", 0.10, "Directive (EU) 2020/2184, Annex I B: 0.10 ug/L (second-hand)"},
	{"dw-acrylamide", "acrylamide", "WHO", 0.5, "WHO, Guidelines for drinking-water quality: 0.5 ug/L"},
	{"dw-epichlorohydrin", "epichlorohydrin", "US", 2, "40 CFR 141.111"},
	{"dw-epichlorohydrin", "epichlorohydrin", "EU", 0.10, "from memory, not checked in its source: Directive (EU) 2020/2184, Annex I B: 0.10 ug/L"},
	{"dw-epichlorohydrin", "epichlorohydrin", "WHO", 0.4, "from memory, not checked in its source: WHO, Guidelines for drinking-water quality: 0.4 ug/L"},
	{"dw-aluminium", "Al", "EU", 0.2, "Directive (EU) 2020/2184, Annex I C (second-hand)"},
	{"dw-aluminium", "Al", "US", 0.2, "US EPA 816-F-02-013, secondary standards: 0.05 to 0.2"},
	{"dw-aluminium", "Al", "WHO", 0.2, "from memory, not checked in its source: WHO, Guidelines for drinking-water quality, small works"},
	{"dw-iron", "Fe", "US", 0.3, "US EPA 816-F-02-013, secondary standards"},
	{"dw-iron", "Fe", "EU", 0.2, "from memory, not checked in its source: Directive (EU) 2020/2184, Annex I C"},
	{"dw-iron", "Fe", "WHO", 0.3, "from memory, not checked in its source: WHO, Guidelines for drinking-water quality, for its taste"},
	{"dw-manganese", "Mn", "US", 0.05, "from memory, not checked in its source: 40 CFR 143.3, secondary standards"},
	{"dw-manganese", "Mn", "EU", 0.05, "from memory, not checked in its source: Directive (EU) 2020/2184, Annex I C"},
	{"dw-manganese", "Mn", "WHO", 0.08, "from memory, not checked in its source: WHO, Guidelines for drinking-water quality, provisional"},
}

// drinkingMost is the limit that holds: that of the rules chosen, else the strictest.
func (v *reviewer) drinkingMost(of string) (drinkingLimit, bool) {
	var out drinkingLimit
	for _, l := range drinkingLimits {
		if l.of == of && (v.s.Rules == "" || v.s.Rules == l.by) && (out.of == "" || l.most < out.most) {
			out = l
		}
	}
	return out, out.of != ""
}

// phCare is the pH that water for no animal should have: as whose rules say, or as is usual.
type phCare struct {
	by        string
	low, high float64
	within    float64 // of a bound, a computed pH is not said to be beyond it
	source    string
}

// supplyCare are the pH of water for supply. Only the highest of the EU binds.
var supplyCare = []phCare{
	{"US", 6.5, 8.5, float64(water.Uncertainty), "from memory, not checked in its source: 40 CFR 143.3, secondary standards"},
	{"EU", 6.5, supplyPH, float64(water.Uncertainty), "from memory, not checked in its source: Directive (EU) 2020/2184, Annex I C"},
	{"WHO", 6.5, 8.5, float64(water.Uncertainty), "from memory, not checked in its source: WHO, Guidelines for drinking-water quality, usual range"},
}

// supplyPH is the highest pH of water for drinking; that of the rule is for fish.
const supplyPH = 9.5

// drinking checks what drinking water may get of monomers, all products that bring one
// together, and of metals as the jar left them.
func (v *reviewer) drinking() {
	if v.s.Purpose != Drinking {
		return
	}
	v.say("dw-practice", nil, "", note.Place{})
	for _, monomer := range []string{"acrylamide", "epichlorohydrin"} {
		v.monomer(monomer)
	}
	v.polymerCertificate()
	v.manganese()
	for _, x := range v.residualMetals() {
		if l, ok := v.drinkingMost(x.metal); ok && x.measured.OK {
			if x.metal == "Al" && v.has("al-stays-dissolved") {
				l.rule = "dw-aluminium-dissolved"
			}
			v.metalWithin(l.rule, x.metal, x.measured.V, quantity.Concentration(l.most), "drinking water, "+l.by, Words{"by": l.by, "source": l.source})
		}
	}
}

// polymerCertificate asks once, for all cationic polymers of which no monomer content is entered, for what lets them into drinking water.
func (v *reviewer) polymerCertificate() {
	var names []string
	var at note.Place
	for _, d := range v.s.Doses {
		if d.Product.IsPolymer() && d.Product.Charge == product.Cationic && d.Dose.Concentration > 0 && !d.Monomer.OK {
			if names == nil {
				at = d.At
			}
			names = append(names, d.name())
		}
	}
	if names != nil {
		v.say("dw-polymer-certificate", Words{"chemical": join(names)}, "", at)
	}
}

// residualMetal is a metal as the jar left it, and the most that may be discharged of it.
type residualMetal struct {
	metal             string
	measured, consent quantity.Known[quantity.Concentration]
}

func (v *reviewer) residualMetals() []residualMetal {
	return []residualMetal{{"Al", v.s.Water.ResidualAl, v.s.Consent.Al}, {"Fe", v.s.Water.ResidualFe, v.s.Consent.Fe}}
}

// metalWithin judges a measured metal by a limit and enters it in the table of residuals.
func (v *reviewer) metalWithin(id, metal string, value, most quantity.Concentration, name string, words Words) {
	over := value > most
	words["value"], words["limit"] = mgL(value), mgL(most)
	v.judge(id, "", counted(mgL(value), "mg/L"), counted(mgL(most), "mg/L"), over, words, note.Place{})
	if i := slices.IndexFunc(v.out.Residuals, func(r Residual) bool { return r.As == metal }); i >= 0 {
		v.out.Residuals[i].limit(most, name)
		v.out.Residuals[i].fired(v.rule(id), over)
	}
}

// mayStay is what may stay of a metal: by the site's discharge consent, else in drinking water.
func (v *reviewer) mayStay(metal string) (most quantity.Concentration, consent bool) {
	for _, x := range v.residualMetals() {
		if x.metal == metal && x.consent.OK {
			return x.consent.V, true
		}
	}
	if l, ok := v.drinkingMost(metal); ok && v.s.Purpose == Drinking {
		return quantity.Concentration(l.most), false
	}
	return 0, false
}

// byCapture is where a residual comes from that nobody measured on a jar.
const byCapture = "the capture lets stay"

// unmeasured judges a metal that nobody measured on a jar by what its capture lets stay, and without one
// at the worst that is plausible: all of the dose stays. Where no animals are to be judged too, the table of residuals has that limit.
func (v *reviewer) unmeasured(r *Residual) bool {
	most, consent := v.mayStay(r.As)
	l, _ := v.drinkingMost(r.As)
	name, limit := "drinking water", "drinking water, "+l.by
	if consent {
		name, limit = "the discharge consent", "discharge consent"
	}
	value, what := r.Worst, "the whole dose"
	if r.Expected.OK {
		value, what = r.Expected.V, "what "+byCapture
	}
	if most <= 0 { // no limit to hold it against
		return false
	}
	over := value > most
	v.judge("metal-unmeasured", r.As, counted(mgL(value), "mg/L"), counted(mgL(most), "mg/L"), over,
		Words{"metal": r.As, "what": what, "value": mgL(value), "limit": mgL(most), "name": name}, note.Place{})
	if v.elsewhere(r.As) {
		r.limit(most, limit)
		r.fired(v.rule("metal-unmeasured"), over)
	}
	return over
}

// manganese says what coagulants bring of it: their makers' certificates differ fourfold.
func (v *reviewer) manganese() {
	l, _ := v.drinkingMost("Mn")
	for _, d := range v.s.Doses {
		share := d.Product.Manganese
		dose, err := product.Convert(d.Dose, d.Product, quantity.AsProduct)
		if err != nil || share.High <= 0 {
			continue
		}
		low, high := float64(share.Low)*float64(dose.Concentration), float64(share.High)*float64(dose.Concentration)
		id := "dw-manganese"
		if !above(low, l.most) {
			id = "dw-manganese-some"
		}
		v.judge(id, d.name(), counted(amount(high), "mg/L"), counted(amount(l.most), "mg/L"), above(high, l.most),
			Words{"chemical": d.name(), "low": amount(low), "value": amount(high), "limit": amount(l.most), "by": l.by}, d.At)
	}
}

// microgram is how many ug are a mg.
const microgram = 1000

// beyond reports that drinking water gets more ug/L than a limit allows.
func beyond(brings float64, l drinkingLimit) bool { return brings > l.most*(1+1e-9) }

// perPercent is the ug/L that 1 mg/L at 1 % brings.
const perPercent = 10

// monomer judges what all products with one monomer bring of it. A certificate that does not say
// counts the product as sold, as 40 CFR 141.111 counts its doses: the more of both.
func (v *reviewer) monomer(name string) {
	l, ok := v.drinkingMost(name)
	var load, dosed float64
	alone := map[string]bool{} // passed by one product by itself
	var names []string
	var at note.Place
	for _, d := range v.s.Doses {
		if d.Product.Monomer != name || d.Dose.Concentration <= 0 || !ok {
			continue
		}
		if !d.Monomer.OK {
			v.say("dw-monomer-unknown", Words{"chemical": d.name(), "name": name}, d.name(), d.At)
			continue
		}
		dose, err := product.Convert(d.Dose, d.Product, quantity.AsProduct)
		if err != nil { // no strength is known, so that all of the product is taken for active
			dose = d.Dose
		}
		if names == nil {
			at = d.At
		}
		names = append(names, d.name())
		dosed += float64(dose.Concentration)
		brings := float64(dose.Concentration) * d.Monomer.V.In("%") * perPercent
		load += brings
		alone[d.name()] = beyond(brings, l)
		if i := slices.IndexFunc(v.out.Residuals, func(r Residual) bool { return r.Chemical == d.name() }); i >= 0 && !v.out.Residuals[i].Limit.OK {
			most := quantity.Dose{Concentration: quantity.Concentration(l.most / perPercent / d.Monomer.V.In("%")), Basis: quantity.AsProduct}
			active, _ := d.Product.ActivePolymer(most) // as the table counts it
			v.out.Residuals[i].Limit = quantity.Some(active)
			v.out.Residuals[i].LimitName = note.Say("drinking water by its monomer, %s: it brings %s ug/L of %s, and %s is the limit",
				l.by, amount(brings), name, amount(l.most))
		}
	}
	if names == nil {
		return
	}
	over := beyond(load, l)
	for i, r := range v.out.Residuals {
		if slices.Contains(names, r.Chemical) {
			v.out.Residuals[i].fired(v.rule(l.rule), alone[r.Chemical])
		}
	}
	if len(names) > 1 { // each may pass alone
		sum := Residual{Chemical: join(names), As: name, Worst: quantity.Concentration(load / microgram)}
		sum.limit(quantity.Concentration(l.most/microgram), "drinking water, all of them together, "+l.by)
		sum.fired(v.rule(l.rule), over)
		v.out.Residuals = append(v.out.Residuals, sum)
	}
	v.judge(l.rule, join(names), counted(amount(load), v.rule(l.rule).Unit), counted(amount(l.most), v.rule(l.rule).Unit), over,
		Words{"chemical": join(names), "dose": amount(dosed), "monomer": amount(load / dosed / perPercent), "value": amount(load), "limit": amount(l.most),
			"by": l.by, "source": l.source}, at)
}

// consentPH is the pH that the site's discharge consent asks for; false where it says none.
func (v *reviewer) consentPH() (low, high quantity.PH, ok bool) {
	k := v.s.Consent
	return k.PHLow.Or(0), k.PHHigh.Or(14), k.PHLow.OK || k.PHHigh.OK
}

// consentWords tells of the pH that may be let go beside a stop that is of the pH too; nothing without a consent.
func (v *reviewer) consentWords() note.Phrase {
	lo, hi, ok := v.consentPH()
	return note.Say("").If(ok, "; the discharge consent is pH %s to %s", amount(float64(lo)), amount(float64(hi)))
}

// consent judges what is discharged by its permit, as far as it is known: metals as the jar
// left them, and the pH of the treated water.
func (v *reviewer) consent() {
	for _, x := range v.residualMetals() {
		dosed := slices.ContainsFunc(v.s.Doses, func(d Dose) bool { return d.Product.Metal() == x.metal })
		if x.consent.OK && x.measured.OK {
			v.metalWithin("consent-metal", x.metal, x.measured.V, x.consent.V, "discharge consent", Words{"metal": x.metal, "source": siteItself})
		} else if x.consent.OK && dosed && !slices.ContainsFunc(v.out.Residuals, func(r Residual) bool { return r.As == x.metal && r.Expected.OK }) {
			v.skip("the discharge consent for " + x.metal + ": its residual was not measured on the jar")
		}
	}
	c := v.out.Water
	lo, hi, asks := v.consentPH()
	if !asks {
		return
	}
	if c == nil || !c.HasPH {
		v.skip("the discharge consent for pH: the treated water's pH is not known")
		return
	}
	told := v.has("alkalinity-gone") || v.has("ph-to-be-held") && v.s.Water.Hold.V >= lo && v.s.Water.Hold.V <= hi
	v.judge("consent-ph", "", note.Say("pH %s", ph(c.PH())), note.Say("%s to %s", amount(float64(lo)), amount(float64(hi))),
		(c.PH() < lo || c.PH() > hi) && !told,
		Words{"after": ph(c.PH()), "low": amount(float64(lo)), "high": amount(float64(hi)), "source": siteItself}, note.Place{})
}
