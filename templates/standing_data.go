package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/month"
	"jarwright/dosing/pond"
	"jarwright/dosing/product"
	alkali "jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// data is the treatment as its object.
func (p Standing) data() *figure.Object {
	o := figure.New().Set("schema", "jarwright.plan/1").Word("site", p.Site).Set("stopped", p.Stopped())
	return o.List("ponds", objects(p.Ponds, p.pondData)).Some("total", p.totals()).Part("sludge", sludgeData(p.Sludge)).Part("money", p.moneyData()).Set("notes", Notes(p.allNotes()))
}

// allNotes lists all that is said, gravest first, each once.
func (p Standing) allNotes() note.List {
	all := slices.Concat(p.Notes, p.Cost.Notes)
	for i, x := range p.Ponds {
		all = append(all, p.ofPond(i, slices.Concat(x.Notes, x.Review.All()))...)
	}
	return caution.WorstFirst(unrepeated(all))
}

// unrepeated leaves out what is said again.
func unrepeated(l note.List) (out note.List) {
	for _, n := range l {
		if !slices.ContainsFunc(out, func(o note.Note) bool { return o.Message == n.Message && o.Code == n.Code && o.Place == n.Place }) {
			out.Add(n)
		}
	}
	return out
}

// alike reports that all ponds are told the same by their reviews: their doses do not differ.
func (p Standing) alike() bool {
	for _, x := range p.Ponds[1:] {
		for i, h := range x.Goods {
			if h.Dose != p.Ponds[0].Goods[i].Dose || x.Portions != p.Ponds[0].Portions {
				return false
			}
		}
	}
	return true
}

// ofPond names the pond in what is said of its doses, and those that are told the same, where others are told otherwise.
func (p Standing) ofPond(i int, l note.List) note.List {
	out := slices.Clone(l)
	for k, n := range out {
		var told []string
		for _, x := range p.Ponds {
			if saysSo(x, n) {
				told = append(told, x.Name)
			}
		}
		if named := strings.HasPrefix(n.Message, p.Ponds[i].Name+": "); !named && len(told) < len(p.Ponds) {
			out[k] = n.After("%s: ", strings.Join(told, ", "))
		}
	}
	return out
}

// saysSo reports that a note is said of a pond too.
func saysSo(x dosing.PondPlan, n note.Note) bool {
	return slices.ContainsFunc(slices.Concat(x.Notes, x.Review.All()), func(o note.Note) bool { return o.Message == n.Message && o.Level == n.Level })
}

// pondData is one pond.
func (s Standing) pondData(p dosing.PondPlan) *figure.Object {
	o := figure.New(waterFigure(p), figure.Of("area", p.Surface.V, "m2", 4).If(p.Surface.OK), figure.Of("bottom", p.Bottom.V, "m2", 4).If(p.Bottom.OK), figure.Of("depth", p.Depth.V, "m", 3).If(p.Depth.OK)).
		Set("name", p.Name).Word("size", p.Size).List("chemicals", objects(p.Goods, func(h dosing.ByHand) *figure.Object { return goodsData(p, h) }))
	if p.LeftOut != nil {
		o.Set("left_out", p.LeftOut)
	}
	if !p.Review.Stopped {
		o.Set("portions", p.Portions).Put(inHours("hours_between", p.Between, 3).If(len(p.Goes) > len(p.Goods)))
		var goes, looks []*figure.Object
		for i := range p.Goes {
			goes = append(goes, s.goData(p, i))
		}
		for _, l := range looksAt(p) {
			looks = append(looks, s.goObject(l.at).Set("when", l.when))
		}
		o.Some("goes", goes).Some("looks", looks)
	}
	reviewData(o, p.Review.Findings)
	for _, a := range o.Objects("alkalis") {
		if dose := a.Fig("dose_product"); dose.Known() { // for the pond, not a day
			mg, _ := dose.Document()
			a.Put(kilos("product_use", dosing.Mass(quantity.Concentration(mg), p.Volume), 3))
		}
	}
	return o.Part("alkali_first", s.alkaliFirst(o.Objects("alkalis"), p.Goods)).Part("watch", watchData(p.Watch))
}

// alkaliFirst is what to spread over a pond before what takes its alkalinity, where less is left than it should have: of the highest
// alkalinity that is asked for, what a plan has least against and, of those, dissolves by the next day; first what the site has in store, then the
// mildest. A caustic is spread by hand only where nothing else will do.
func (s Standing) alkaliFirst(alkalis []*figure.Object, goods []dosing.ByHand) *figure.Object {
	able := slices.DeleteFunc(slices.Clone(alkalis), func(a *figure.Object) bool {
		l, _ := a.Get("level").(note.Level)
		return a.Has("cannot_reach") || l == note.Stop || !a.Has("product_use")
	})
	if len(able) == 0 {
		return nil
	}
	goal := able[len(able)-1].Get("goal")
	same := fmt.Sprint(goal)
	able = slices.DeleteFunc(able, func(a *figure.Object) bool { return fmt.Sprint(a.Get("goal")) != same })
	basis, store := map[string]quantity.Basis{}, map[quantity.Basis]string{}
	for _, a := range alkali.Alkalis() {
		basis[a.Name] = a.Basis
	}
	for _, h := range goods {
		if h.Stock.Product.Group == product.Alkali {
			store[h.Stock.Product.Basis] = h.Name
		}
	}
	rank := func(a *figure.Object) int {
		l, _ := a.Get("level").(note.Level)
		of := basis[a.Said("alkali")]
		mild := either(store[of] != "", 0, either(of == quantity.AsNaHCO3, 1, 2))
		return either(of == quantity.AsNaOH || of == quantity.AsKOH, 1000, 0) + 8*int(l) + 4*either(a.Has("remark"), 1, 0) + mild
	}
	a := slices.MinFunc(able, func(a, b *figure.Object) int { return cmp.Compare(rank(a), rank(b)) })
	return figure.New(a.Fig("product_use"), a.Fig("dose_product"), a.Fig("purity")).Set("alkali", a.Get("alkali")).Set("goal", goal).
		Word("in_store", store[basis[a.Said("alkali")]]).Set("when", either(a.Has("remark"), "days before, until the alkalinity is there", dayOfGo(s.goObject(-1))))
}

// acreFeet is water that was told in them, and so is shown to readers of US units.
type acreFeet struct{ quantity.Volume }

// Show implements [quantity.Quantity].
func (v acreFeet) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return v.In("acre-ft"), "acre-ft"
	}
	return v.Volume.Show(s)
}

// converted is such water in what it is not shown in.
type converted struct{ quantity.Volume }

// Show implements [quantity.Quantity].
func (v converted) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return v.Volume.Show(s)
	}
	return v.In("acre-ft"), "acre-ft"
}

// waterFigure is the water of a pond.
func waterFigure(p dosing.PondPlan) figure.Figure {
	if p.Acres {
		return figure.Of("volume", acreFeet{p.Volume}, "m3", 4)
	}
	return figure.Of("volume", p.Volume, "m3", 4)
}

// goodsData is one chemical of a pond: all of it, and in the measures that it is carried in.
func goodsData(p dosing.PondPlan, h dosing.ByHand) *figure.Object {
	o := figure.New(figure.Dose("dose", h.Dose, 4)).Set("chemical", h.Name).Word("product_id", h.Stock.Product.ID).
		Word("dose_written", h.Written).Word("dose_source", h.DoseSource)
	o.Put(figure.Dose("dose_as_product", h.AsProduct, 4), kilos("product", h.Use.Product, 3), poured("product_volume", h.Use.Volume, 3).If(h.Use.Volume > 0),
		litres("stock", h.Use.Stock, 3).If(!h.Stock.Neat()), gramsPerLitre("stock_strength", h.Stock.PerLitre).If(!h.Stock.Neat()),
		caCO3("alkalinity_used", quantity.Alkalinity(p.Record.Account().Per(h.Use.Alkalinity)), 3).If(h.Use.Alkalinity != 0), mgL("hardness_added", h.Hardness, 3).If(h.Hardness > 0),
		mgL("hardness", p.Harder(), 3).If(h.Hardness > 0 && p.Hardness.OK))
	if byVolume(h) {
		o.Set("by_volume", true)
	}
	if !p.Review.Stopped {
		o.Set("portions", h.Portions).Part("bag", measured(h.Use.Product, bagOf(h), quantity.Known[quantity.Area]{})).Part("bucket", measured(h.Use.Product, bucketOf(h), p.Surface)).Part("scoop", measured(h.Use.Product, measure{Known: h.Scoop}, p.Surface)).
			Put(figure.Of("product_per_area", perArea{h.Use.Product, p.Surface.V}, "g/m2", 3).If(p.Surface.OK))
	}
	return o.Part("as_the_water_is", asTheWaterIs(p, h))
}

// asTheWaterIs is what of a chemical may go in before a line at which to stop is passed; nil where all of it may.
func asTheWaterIs(p dosing.PondPlan, h dosing.ByHand) *figure.Object {
	i := slices.IndexFunc(p.Goods, func(x dosing.ByHand) bool { return x.Name == h.Name })
	within := p.WithinOf(i)
	if p.Review.Stopped || h.Ahead || h.Portions == 0 || within >= h.Portions {
		return nil
	}
	part := float64(within) / float64(h.Portions)
	o := figure.New().Set("goes", within).Put(kilos("product", h.Use.Product*quantity.Mass(part), 3), poured("product_volume", h.Use.Volume*quantity.Volume(part), 3).If(h.Use.Volume > 0))
	if byVolume(h) {
		o.Set("by_volume", true)
	}
	return o
}

// perArea is a mass spread over an area, which readers of US units see in pounds an acre.
type perArea struct {
	of   quantity.Mass
	over quantity.Area
}

// Show implements [quantity.Quantity].
func (p perArea) Show(s quantity.System) (float64, string) {
	if s == quantity.US {
		return p.of.In("lb") / p.over.In("acre"), "lb/acre"
	}
	return p.In("g/m2"), "g/m2"
}

// In gives it in g/m2, NaN in any other unit.
func (p perArea) In(unit string) float64 {
	if unit != "g/m2" {
		return math.NaN()
	}
	return p.of.In("g") / p.over.In("m2")
}

// byVolume reports a liquid whose dose, bucket or can was told by volume: who gave it so measures it with a jug.
func byVolume(h dosing.ByHand) bool {
	_, unit, err := quantity.Split(h.Written)
	told := err == nil && (strings.HasPrefix(unit, "mL") || strings.HasPrefix(unit, "L ") || strings.HasPrefix(unit, "L/"))
	return h.Use.Volume > 0 && (told || h.BucketVolume.OK || h.BagVolume.OK)
}

// measuredOut is how much of that is told first.
func measuredOut(x *figure.Object) figure.Figure {
	return x.Fig(either(x.Get("by_volume") == true, "product_volume", "product"))
}

// measure is what product is carried or bought in: what it holds, and that as a volume where a liquid's is told so.
type measure struct {
	quantity.Known[quantity.Mass]
	Volume quantity.Volume
}

// bucketOf is the bucket of a chemical, bagOf the bag or can that it comes in.
func bucketOf(h dosing.ByHand) measure { return measure{h.Bucket, h.BucketVolume.V} }
func bagOf(h dosing.ByHand) measure    { return measure{h.Bag, h.BagVolume.V} }

// measured is a mass in measures of one weight: how many, whole ones and what is over, and what each covers.
func measured(m quantity.Mass, each measure, surface quantity.Known[quantity.Area]) *figure.Object {
	if !each.OK || each.V <= 0 || m <= 0 {
		return nil
	}
	whole, rest := pond.Count(m, each.V)
	over := each.Volume * quantity.Volume(rest/each.V)
	return figure.New(kilos("holds", each.V, 4), poured("holds_volume", each.Volume, 4).If(each.Volume > 0)).Bare(brief("number", float64(m/each.V)).To(4)).Set("whole", whole).
		Put(kilos("rest", rest, 3).If(rest > 0), poured("rest_volume", over, 3).If(over > 0),
			figure.Of("covers", surface.V*quantity.Area(each.V/m), "m2", 3).If(surface.OK && whole > 0))
}

// animalLook is a time at which the animals are looked at, with what it is before or after.
type animalLook struct {
	at   quantity.Time
	when figure.Phrase
}

// looksAt are the looks at a pond's animals: before each go, and after it as long as the next is not due, what goes ahead by itself
// too.
func looksAt(p dosing.PondPlan) (out []animalLook) {
	if p.Watch == nil {
		return nil
	}
	var starts []dosing.Go
	for _, g := range p.Goes {
		if len(starts) == 0 || g.At > starts[len(starts)-1].At {
			starts = append(starts, g)
		}
	}
	for i, g := range starts {
		h := p.Goods[g.Feed]
		which := figure.Say("").If(len(starts) > 1, " %s", either(h.Ahead, h.Name, fmt.Sprintf("go %d", g.Number)))
		out = append(out, animalLook{g.At, figure.Say("before%s", which)})
		for _, t := range caution.Looks {
			if next := p.Look(g, t); next > out[len(out)-1].at && (i+1 == len(starts) || next < starts[i+1].At) {
				out = append(out, animalLook{next, figure.Say("%s after%s", hours("", next-g.At, 3), which)})
			}
		}
	}
	return out
}

// goData is one portion.
func (s Standing) goData(p dosing.PondPlan, i int) *figure.Object {
	g := p.Goes[i]
	h := p.Goods[g.Feed]
	o := s.goObject(g.At+g.Behind).Set("chemical", h.Name).Set("number", g.Number).Set("of", h.Portions).
		Put(kilos("product", g.Product, 3), poured("product_volume", h.Use.Volume/quantity.Volume(h.Portions), 3).If(h.Use.Volume > 0),
			litres("stock", h.Use.Stock/quantity.Volume(h.Portions), 3).If(!h.Stock.Neat())).
		Part("bucket", measured(g.Product, bucketOf(h), p.Surface)).Part("scoop", measured(g.Product, measure{Known: h.Scoop}, p.Surface))
	if each, how, ok := caution.Thins(h.Stock.Product); ok && h.Stock.Neat() {
		o.Word("water_how", how)
		o.Put(litres("dissolve_in", quantity.Volume(float64(g.Product)*each), 2), litres("dissolve_bucket_in", quantity.Volume(float64(h.Bucket.V)*each), 2).If(h.Bucket.OK && g.Product > h.Bucket.V))
	}
	if byVolume(h) {
		o.Set("by_volume", true)
	}
	if g.Water != nil {
		o.Part("water", waterObject(*g.Water))
	}
	if gate, ok := p.GateOf(i); ok {
		o.Part("only_if", figure.New(hundredthPH("ph", gate.Least.V).If(gate.Least.OK), hundredthPH("ph_at_most", gate.Most.V).If(gate.Most.OK),
			caCO3("alkalinity", gate.Alkalinity.V, 4).In(figure.Tenth).If(gate.Alkalinity.OK)))
	}
	if g.Past {
		o.Set("past_stop_line", true)
		if x := g.Passes; x != nil {
			o.Part("past", figure.New(limit("comes_to", x.Comes), limit("line", x.Line)).Set("of", x.Of).Set("as", x.As))
		}
	}
	return o
}

// dayCount counts days from that of the first portion, which is 0.
func dayCount(at quantity.Time) int { return int(math.Floor(float64(at) / 24)) }

// goDay names another day than that of the first portion, which is day 1.
func goDay(at quantity.Time) string {
	switch day := dayCount(at); {
	case day < -1:
		return fmt.Sprintf("%d days before", -day)
	case day == -1:
		return "the day before"
	case day == 1:
		return "the day after"
	case day > 1:
		return fmt.Sprintf("day %d", day+1)
	}
	return ""
}

// watchData is what to look at in the animals.
func watchData(w *caution.Watch) *figure.Object {
	if w == nil {
		return nil
	}
	o := figure.New(figure.Of("ph_low", w.PHLow, "pH", 3).In(figure.Full), figure.Of("ph_high", w.PHHigh, "pH", 3).In(figure.Full), mgL("oxygen", w.Oxygen.V, 3).If(w.Oxygen.OK), mgL("hardness", w.Hardness.V, 3).If(w.Hardness.OK),
		limit("tan", w.TAN.V).If(w.TAN.OK), limit("nh3", w.NH3), hundredthPH("tan_at_ph", w.PH).If(w.TAN.OK), figure.Of("tan_at_temperature", w.Temperature, "C", 3).If(w.TAN.OK)).
		Set("ph_of", w.PHOf).Word("oxygen_of", w.OxygenOf).Word("hardness_of", w.HardnessOf).Set("oxygen_own", w.OxygenOwn).Set("nh3_of", w.NH3Of)
	if w.Stands.PH {
		o.Put(figure.Of("ph_asked_low", w.Stands.Low, "pH", 3).In(figure.Full), figure.Of("ph_asked_high", w.Stands.High, "pH", 3).In(figure.Full))
	}
	if w.Brings.OK {
		o.Put(hundredthPH("ph_brought", w.Brings.V))
	}
	if w.Stands.TAN {
		o.Set("tan_stands", true).Put(limit("tan_asked", w.Stands.Asked))
	}
	if w.Moults {
		o.Set("moults", true)
	}
	if w.Filters {
		o.Set("filter_bacteria_go", true)
	}
	return o
}

// moneyData is what the ponds cost; its deliveries are of one order for them.
func (p Standing) moneyData() *figure.Object {
	c := p.Cost
	c.Orders = nil
	o := moneyData(c)
	if o == nil {
		return nil
	}
	return o.Some("orders", objects(p.Cost.Orders, func(x month.Order) *figure.Object {
		return packed(figure.New(), x.Pack, x.PackVolume).Put(amount("charge", x.Charge)).Set("chemical", x.Chemical).Set("packs", x.Packs)
	}))
}

// totals is what all ponds that nothing stops take together of each chemical, where there are several.
func (p Standing) totals() (out []*figure.Object) {
	if len(p.Open()) < 2 {
		return nil
	}
	for i, u := range p.Cost.Uses {
		if u.Product <= 0 { // those that would take it are stopped
			continue
		}
		h := p.Ponds[0].Goods[i]
		x := figure.New(kilos("product", u.Product, 3), poured("product_volume", u.Volume, 3).If(u.Volume > 0)).Set("chemical", u.Chemical).
			Part("bag", measured(u.Product, bagOf(h), quantity.Known[quantity.Area]{})).Part("bucket", measured(u.Product, bucketOf(h), quantity.Known[quantity.Area]{}))
		if byVolume(h) { // told as each of the ponds is
			x.Set("by_volume", true)
		}
		out = append(out, x)
	}
	return out
}

// stoppedWords is what stops something, each with what puts it right.
func stoppedWords(f caution.Findings) figure.Worded {
	return func(show func(note.List) note.List) string {
		var out []string
		for _, n := range show(slices.Concat(f.Notes.Only(note.Stop), uncounted(f))) {
			out = append(out, remedied(upperFirst(n.Message), caution.PutRight(n.Remedy))+".")
		}
		return "do not dose: " + strings.Join(out, " ")
	}
}

// JSON gives the document jarwright.plan/1.
func (p Standing) JSON() any { return p.data() }

// Table gives one row for each chemical that goes into a pond.
func (p Standing) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("pond", "volume = m3", "area = m2", "chemical", "dose = mg/L", "basis", "product = kg", "product_volume = L", "bag bag.holds kg", "bags bag.number",
		"bucket bucket.holds kg", "buckets bucket.number", "bucket_covers bucket.covers m2", "portions", "hours_between = h",
		"scoop scoop.holds kg", "scoops scoop.number", "product_per_area = g/m2", "alkalinity_used = mg/L", "hardness_added = mg/L")}
	if p.Stopped() { // why there is nothing to count out
		t.Cols = append(t.Cols, figure.Columns("stopped")...)
	}
	for i, x := range p.data().Objects("ponds") {
		f := p.Ponds[i].Review.Findings
		for _, c := range x.Objects("chemicals") {
			if kilos, _ := c.Fig("product").Document(); kilos <= 0 { // its row leaves it out
				continue
			}
			if f.Stopped {
				c.Set("stopped", stoppedWords(f))
			}
			c.Set("pond", x.Get("name")).Set("basis", c.Fig("dose").Basis.String()).Put(x.Fig("volume"), x.Fig("area"), x.Fig("hours_between"))
			t.Rows = append(t.Rows, c)
		}
	}
	return withSludge(t, p.Sludge)
}
