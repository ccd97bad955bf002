package dosing

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/calendar"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Heard is what the jars of a chemical's bench sheet say of its planned dose.
type Heard struct {
	Series string
	Dose   quantity.Dose // on the jars' basis
	// Readings are the kinds that cautions judge, and phosphorus where the site has it, as far as the jars have them.
	Readings []HeardReading
	// Waters sets the bench's water beside the site's.
	Waters []WaterBeside
	// SUVA is that of the bench's raw water, L/mg-m, where the water is to be drunk.
	SUVA quantity.Known[float64]
	// Judged is true where pH and alkalinity of the jars go before the computed ones;
	// Why says why not.
	Judged bool
	Why    string
}

// HeardReading is a reading of a kind at the planned dose.
type HeardReading struct {
	Key jartest.Key
	JarReading
	// SetAside says of what stays of a chemical why no limit is held against it; empty where it counts.
	SetAside note.Phrase
}

// WaterBeside is one reading of the raw water, on the bench and at the site.
type WaterBeside struct {
	Key         jartest.Key
	Bench, Site float64
	// Differs is true where a jar test on the one tells little of the other.
	Differs bool
}

// stays reports a reading of what is left of a chemical in the treated water.
func stays(k jartest.Key) bool {
	return k == jartest.ResidualAl || k == jartest.ResidualFe || residualPolymer(k)
}

// residualPolymer reports a column that says what polymer is left in a jar.
func residualPolymer(k jartest.Key) bool {
	return strings.Contains(string(k), "polymer") && strings.Contains(string(k), "residual")
}

// Heard gives what the jars say of a feed at a dose; false where there are none or
// the dose lies outside all of them.
func (f FeedInput) Heard(s site.Site, dose quantity.Dose, others []FeedInput) (Heard, bool) {
	d, ok := f.inJars(dose)
	if !ok {
		return Heard{}, false
	}
	h := Heard{Series: f.Jars.Series.Name, Dose: d, Waters: f.Jars.beside(s)}
	keys := []jartest.Key{jartest.PH, jartest.AlkalinityKey, jartest.ResidualAl, jartest.ResidualFe}
	if met, _ := metBy(s.Water); met.OK {
		keys = append(keys, jartest.Phosphate, jartest.TotalPhosphorus)
	}
	if !f.Tested { // a dose of the bench's own meets its target by how it was found
		keys = append(keys, f.Jars.targetKeys()...)
	}
	for _, k := range f.Jars.Series.Keys() {
		if !slices.Contains(keys, k) && !residualPolymer(k) {
			continue
		}
		if r, ok := f.reading(k, d.Concentration, others); ok {
			h.Readings = append(h.Readings, HeardReading{Key: k, JarReading: r})
		}
	}
	if other := differing(h.Waters); len(other) > 0 {
		for i := range h.Readings {
			if stays(h.Readings[i].Key) {
				h.Readings[i].SetAside = note.Say("measured in other water (%s), not counted", joined(other))
			}
		}
	}
	if s.Place.Purpose.V == site.ForDrinking {
		h.SUVA = f.Jars.Series.RawSUVA()
	}
	h.Why = f.untold(others)
	for _, w := range h.Waters {
		if w.Differs && (w.Key == jartest.PH || w.Key == jartest.AlkalinityKey) {
			h.Why = "the bench's water is another"
		}
	}
	h.Judged = h.Why == ""
	return h, len(h.Readings) > 0 || len(h.Waters) > 0 || h.SUVA.OK
}

// inJars is a dose as the jars of the feed count it; false where there are none.
func (f FeedInput) inJars(dose quantity.Dose) (quantity.Dose, bool) {
	if f.Jars == nil {
		return dose, false
	}
	if b := f.Jars.Basis(); b != quantity.NotStated && b != dose.Basis {
		d, err := product.Convert(dose, f.Stock.Product, b)
		return d, err == nil
	}
	return dose, true
}

// reading is what the jars read of a kind at a dose, beside the planned dose of the
// other chemical where two were varied.
func (f FeedInput) reading(k jartest.Key, d quantity.Concentration, others []FeedInput) (JarReading, bool) {
	if !f.Jars.Other.OK {
		return f.Jars.Reading(k, d)
	}
	for _, o := range others {
		if !f.paired(o) {
			continue
		}
		beside := o.Dose
		if b := o.Jars.Basis(); b != quantity.NotStated && b != beside.Basis {
			var err error
			if beside, err = product.Convert(beside, o.Stock.Product, b); err != nil {
				return JarReading{}, false
			}
		}
		return f.Jars.pairReading(k, d, beside.Concentration)
	}
	return JarReading{}, false
}

// paired reports that a feed is the other chemical of the same jars.
func (f FeedInput) paired(o FeedInput) bool {
	return o.Jars != nil && o.Jars.Series.Place == f.Jars.Series.Place && o.Jars.Series.Name == f.Jars.Series.Name && f.Jars.Other.OK && o.Jars.Chemical == f.Jars.Other.V
}

// likeDose is how far the dose of another chemical in the jars may be from the planned
// one for them to tell of it (common practice, no source).
const likeDose = 0.2

// untold says which other chemical of the plan changes the water and was not in the
// jars, or not as it is planned.
func (f FeedInput) untold(others []FeedInput) string {
	for _, o := range others {
		used, err := o.Stock.Product.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: o.Dose.Basis})
		if o.Name == f.Name || f.paired(o) || err == nil && used == 0 {
			continue
		}
		had, there := f.Jars.fixedDose(o)
		planned := o.Dose
		if err == nil && there && had.Basis != quantity.NotStated && had.Basis != planned.Basis {
			planned, err = product.Convert(planned, o.Stock.Product, had.Basis)
		}
		switch off := math.Abs(float64(planned.Concentration - had.Concentration)); {
		case !there || had.Concentration <= 0 && planned.Concentration > 0:
			return "no jar had " + o.Name
		case o.Balance != nil || err != nil || off > likeDose*float64(had.Concentration):
			return fmt.Sprintf("the jars had %s of %s, not what is planned", had.Concentration, o.Name)
		}
	}
	return ""
}

// at finds a reading of a kind.
func (h Heard) at(is func(jartest.Key) bool) (JarReading, bool) {
	i := slices.IndexFunc(h.Readings, func(r HeardReading) bool { return is(r.Key) })
	if i < 0 {
		return JarReading{}, false
	}
	return h.Readings[i].JarReading, true
}

// alike is how far two waters may differ in a reading for a jar test on the one to
// tell of the other; zero where that bound is not used. Common practice, no source.
var alike = []struct {
	key   jartest.Key
	times float64 // one over the other
	by    float64 // one less the other
	of    func(site.Water) (float64, bool)
}{
	{jartest.Turbidity, 2, 0, of(func(w site.Water) quantity.Known[quantity.Cloudiness] { return w.Turbidity })},
	{jartest.TSS, 2, 0, of(func(w site.Water) quantity.Known[quantity.Concentration] { return w.TSS })},
	{jartest.PH, 0, 0.5, of(func(w site.Water) quantity.Known[quantity.PH] { return w.PH })},
	{jartest.AlkalinityKey, 1.5, 0, of(func(w site.Water) quantity.Known[quantity.Alkalinity] { return w.Alkalinity })},
	{jartest.TemperatureKey, 0, 8, of(func(w site.Water) quantity.Known[quantity.Temperature] { return w.Temperature })},
	{jartest.DOC, 1.5, 0, of(func(w site.Water) quantity.Known[quantity.Concentration] { return w.DOC })},
	{jartest.Phosphate, 1.5, 0, of(func(w site.Water) quantity.Known[quantity.Concentration] { return w.Phosphate })},
	{jartest.Conductivity, 2, 0, of(func(w site.Water) quantity.Known[quantity.Conductance] { return w.Conductivity })},
}

func of[T ~float64](field func(site.Water) quantity.Known[T]) func(site.Water) (float64, bool) {
	return func(w site.Water) (float64, bool) { k := field(w); return float64(k.V), k.OK }
}

// beside sets the bench's raw water beside the site's.
func (j *Jars) beside(s site.Site) (out []WaterBeside) {
	for _, a := range alike {
		bench, onBench := j.Series.RawReading(a.key)
		own, atSite := a.of(s.Water)
		if !onBench || !atSite {
			continue
		}
		differs := a.by > 0 && math.Abs(bench-own) > a.by
		if a.times > 0 && bench > 0 && own > 0 {
			differs = max(bench/own, own/bench) > a.times
		}
		out = append(out, WaterBeside{a.key, bench, own, differs})
	}
	return out
}

// fixedDose is the dose of another chemical of the plan in the jars, the same in all of them
// but controls; false where no column is of it.
func (j *Jars) fixedDose(o FeedInput) (dose quantity.Dose, there bool) {
	own := site.Chemical{Name: quantity.Some(o.Name), Product: quantity.Known[string]{V: o.Stock.Product.ID, OK: o.Stock.Product.ID != ""}}
	k := slices.IndexFunc(j.Series.Chemicals, func(c jartest.Chemical) bool {
		return c.Name != j.Series.Chemicals[j.Chemical].Name && SameChemical(own, c.Name, product.Default())
	})
	if k < 0 {
		return dose, false
	}
	for _, jar := range j.Series.Jars {
		if k < len(jar.Doses) && jar.Doses[k].Known {
			dose.Concentration = max(dose.Concentration, jar.Doses[k].Concentration)
		}
	}
	dose.Basis = j.Series.Chemicals[k].Basis
	return dose, true
}

// hear puts what the jars say at the doses into a situation, where the site says
// nothing of its own, or something better that they contradict.
func (r Running) hear(c *caution.Situation, doses []quantity.Dose) {
	feeds := slices.Clone(r.Feeds)
	for i := range feeds {
		feeds[i].Dose = doses[i]
	}
	for i, f := range r.Feeds {
		h, ok := f.Heard(r.Site, doses[i], feeds)
		if !ok {
			continue
		}
		number := func(k jartest.Key) (float64, bool) {
			x, ok := h.at(func(o jartest.Key) bool { return o == k })
			return x.V, ok
		}
		if len(differing(h.Waters)) == 0 { // what stays in other water lifts no stop here
			odds := h.atOdds(r.Site.Water)
			take(&c.Water.ResidualAl, number, jartest.ResidualAl, odds)
			take(&c.Water.ResidualFe, number, jartest.ResidualFe, odds)
			if x, ok := h.at(residualPolymer); ok && f.Stock.Product.IsPolymer() {
				c.Doses[i].Residual = quantity.Some(quantity.Concentration(x.V))
			}
		}
		if !h.Judged {
			continue
		}
		r.hearPH(&c.Water, f, h)
		if lost, ok := f.lost(h, jartest.AlkalinityKey); ok && !c.Water.JarAlkalinityUsed.OK {
			c.Water.JarAlkalinityUsed = quantity.Some(quantity.Alkalinity(lost))
		}
	}
}

// hearPH fills in the pH of the jars, where the site gives none of its chosen jar, or one that they contradict and that is better.
func (r Running) hearPH(w *caution.Water, f FeedInput, h Heard) {
	lost, ok := f.lost(h, jartest.PH)
	if !w.JarPH.OK {
		if ok && w.PH.OK {
			w.JarPH, w.FromJars = quantity.Some(w.PH.V-quantity.PH(lost)), true
		}
		return
	}
	for _, o := range h.atOdds(r.Site.Water) {
		if o.Jars.Key != jartest.PH {
			continue
		}
		jars := quantity.PH(o.Jars.V)
		if ok && w.PH.OK {
			jars = w.PH.V - quantity.PH(lost)
		}
		w.JarPH.V, w.FromJars = worsePH(w.JarPH.V, jars, w.PH.Or(neutral))
	}
}

// neutral stands for the pH of raw water that is not known.
const neutral quantity.PH = 7

// lost is how far a reading of the jars fell from their raw water, which holds in the
// site's water too where that is alike: bench and site differ a little by the day.
func (f FeedInput) lost(h Heard, k jartest.Key) (float64, bool) {
	x, ok := h.at(func(o jartest.Key) bool { return o == k })
	raw, told := f.Jars.Series.RawReading(k)
	return raw - x.V, ok && told
}

// take fills in a value from the jars that is not known, or that they contradict with a larger one.
func take[T ~float64](into *quantity.Known[T], number func(jartest.Key) (float64, bool), k jartest.Key, odds []atOdds) {
	v, ok := number(k)
	worse := T(v) > into.V && slices.ContainsFunc(odds, func(o atOdds) bool { return o.Jars.Key == k })
	if ok && (!into.OK || worse) {
		*into = quantity.Some(T(v))
	}
}

// BenchAge says of a jar test whether it is too old, or of another season, or on
// other water. It is counted to the day that the site gives, which does not move by itself (an example does not
// grow old), else to today; a test without a day that can be read is not judged by it.
func BenchAge(feeds []FeedInput, s site.Site, today time.Time) (out note.List) {
	today = s.Place.Date.Or(today)
	for i, f := range feeds {
		if f.Jars == nil || i > 0 && feeds[i-1].Jars != nil && feeds[i-1].Jars.Series.Place == f.Jars.Series.Place {
			continue
		}
		if differ := differing(f.Jars.beside(s)); len(differ) > 0 {
			var aside []string
			for _, k := range f.Jars.Series.Keys() {
				if stays(k) {
					aside = append(aside, k.Info().Label)
				}
			}
			out.Add(note.New(note.Caution, "bench-other-water", "%s", note.Say("%s: the jar test was made on other water: %s", f.Name, joined(differ)).
				If(len(aside) > 0, "; what was read in it, %s, is not counted", strings.Join(aside, ", "))).At(f.Jars.At).
				Do("test again on the water that is to be treated").From(ownBounds))
		}
		day, ok := civilDay(f.Jars.Series.Sample().Date)
		if !ok || today.IsZero() || day.After(today) {
			continue
		}
		age := today.Sub(day).Hours() / 24
		switch {
		case age > 365:
			out.Add(note.New(note.Caution, "bench-old", "%s: the jar test is of %s, %s days before %s", f.Name, day.Format("2006-01-02"), quantity.Number(math.Floor(age)), today.Format("2006-01-02")).
				At(f.Jars.At).Do("test again: water and products change within a year").From(ownBounds))
		case age > 91:
			out.Add(note.New(note.Caution, "bench-other-season", "%s: the jar test is of %s, and %s is another season", f.Name, day.Format("2006-01-02"), today.Format("2006-01-02")).
				At(f.Jars.At).Do("test again: cold or warm water, algae and floods change the dose").From(ownBounds))
		}
	}
	return out
}

// fedBy are feeds as they were put in.
func fedBy(feeds []Feed) (out []FeedInput) {
	for _, f := range feeds {
		out = append(out, f.FeedInput)
	}
	return out
}

// differing says how the bench's water is another than the site's; none where it is alike.
func differing(waters []WaterBeside) (out []note.Phrase) {
	for _, w := range waters {
		if w.Differs {
			out = append(out, note.Say("%s %s there and %s here", w.Key.Info().Label, spokenReading(w.Key, w.Bench), spokenReading(w.Key, w.Site)))
		}
	}
	return out
}

func joined(list []note.Phrase) note.Phrase {
	out := list[0]
	for _, p := range list[1:] {
		out = out.And(", %s", p)
	}
	return out
}

// spokenReading is a reading of the water as a sentence takes it.
func spokenReading(k jartest.Key, v float64) any {
	if k == jartest.TemperatureKey {
		return quantity.To(quantity.Temperature(v), 3)
	}
	return note.Say("%s", quantity.To(quantity.Number(v), 3)).If(k.Info().Unit != "", " "+k.Info().Unit)
}

// civilDay reads a day as sheets write it, where it has one meaning only: between dots the day comes first.
func civilDay(text string) (time.Time, bool) {
	w := calendar.Read(text)
	if w.Mark == "." && !w.DayFirst.IsZero() {
		return w.DayFirst, true
	}
	return w.One(), !w.One().IsZero()
}
