package compare

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

func coded(l note.List, code string) string {
	for _, n := range l {
		if n.Code == code {
			return n.Message
		}
	}
	return ""
}

func chemicalsOf(o Option) (out []string) {
	for _, p := range o.Parts {
		out = append(out, p.Chemical)
	}
	return out
}

// answer is a fit of alum in the series of that name with a planning dose.
func answer(series string, at note.Place, dose quantity.Concentration) curve.Result {
	return curve.Result{Series: series, Place: at, Outcome: curve.Found, HasPlanning: true,
		Chemical: jartest.Chemical{Name: "alum", Basis: quantity.AsAlum14}, Planning: quantity.Dose{Concentration: dose, Basis: quantity.AsAlum14}}
}

func one(t *testing.T, f Facts, r curve.Result, series ...jartest.Series) Option {
	t.Helper()
	f.Catalogue = product.Default()
	options, _, _, err := Gather(series, []curve.Result{r}, nil, f)
	if err != nil {
		t.Fatal(err)
	}
	return options[0]
}

// TestNamesOfOptions: a series by its name, else its sheet, else its file; those of one
// name with their chemicals.
func TestNamesOfOptions(t *testing.T) {
	at := note.Place{File: "b.xlsx", Sheet: "Tue"}
	for _, x := range []struct {
		series string
		place  note.Place
		all    []string // names of the series read
		want   string
	}{
		{"a", at, []string{"a", "b"}, "a"}, {"", at, nil, "Tue"}, {"", note.Place{File: "b.csv"}, nil, "b.csv"},
		{"a", at, []string{"a", "a"}, "a (alum)"}, {"", at, []string{"", "", "c"}, "Tue (alum)"},
	} {
		var all []jartest.Series
		for _, name := range x.all {
			all = append(all, jartest.Series{Name: name})
		}
		if o := one(t, Facts{}, answer(x.series, x.place, 20), all...); o.Name != x.want || o.Place != x.place {
			t.Errorf("%+v: %q", x, o.Name)
		}
	}
}

// TestSeriesOfAFit: that of the same place goes before one of the same file.
func TestSeriesOfAFit(t *testing.T) {
	aid := func(sheet, chemical string) jartest.Series {
		return jartest.Series{Name: "a", Place: note.Place{File: "b.xlsx", Sheet: sheet}, Chemicals: []jartest.Chemical{{Name: "alum"}, {Name: chemical, Basis: quantity.AsProduct}},
			Jars: []jartest.Jar{{Doses: []jartest.JarDose{{Concentration: 9, Known: true}, {Concentration: 0.5, Known: true}}}}}
	}
	all := []jartest.Series{aid("Mon", "polymer"), aid("Tue", "chitosan")}
	for sheet, want := range map[string]string{"Mon": "alum polymer", "Tue": "alum chitosan", "Wed": "alum polymer"} {
		o := one(t, Facts{}, answer("a", note.Place{File: "b.xlsx", Sheet: sheet}, 20), all...)
		if got := strings.Join(chemicalsOf(o), " "); got != want {
			t.Errorf("%s: %s, want %s", sheet, got, want)
		}
	}
	if o := one(t, Facts{}, answer("a", note.Place{File: "other.csv"}, 20), all...); len(o.Parts) != 1 {
		t.Errorf("%+v", chemicalsOf(o))
	}
}

// TestFixedDose: jars share a dose where it is the same to nine digits; controls and
// gaps do not count.
func TestFixedDose(t *testing.T) {
	for _, x := range []struct {
		doses []float64 // below zero for one left out
		want  float64
		fixed bool
	}{
		{[]float64{2, 2, 2}, 2, true}, {[]float64{2, -1, 2}, 2, true}, {[]float64{2, 2.1}, 0, false}, {[]float64{0, 0}, 0, true}, {nil, 0, true},
		{[]float64{2, 2 + 1.9e-9}, 2, true}, {[]float64{2, 2 + 2.1e-9}, 0, false}, {[]float64{0.2, 0.2 + 0.9e-9}, 0.2, true}, {[]float64{0.2, 0.2 + 1.1e-9}, 0, false},
	} {
		s := jartest.Series{Jars: []jartest.Jar{{Control: true, Doses: []jartest.JarDose{{Concentration: 77, Known: true}}}, {}}}
		for _, d := range x.doses {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: d >= 0}}})
		}
		if got, fixed := fixedDose(s, 0); fixed != x.fixed || math.Abs(float64(got)-x.want) > 1e-8 {
			t.Errorf("%v: %v %v", x.doses, got, fixed)
		}
	}
	// One that differs lets nobody judge along the other; one that is never dosed is no part.
	both := func(second ...quantity.Concentration) jartest.Series {
		s := jartest.Series{Name: "a", Chemicals: []jartest.Chemical{{Name: "alum"}, {Name: "polymer", Basis: quantity.AsProduct}}}
		for _, d := range second {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: 9, Known: true}, {Concentration: d, Known: true}}})
		}
		return s
	}
	if o := one(t, Facts{}, answer("a", note.Place{}, 20), both(0.1, 0.2)); !o.Refused || o.Why != "the dose of polymer differs between the jars as well" {
		t.Errorf("%+v", o)
	}
	if o := one(t, Facts{}, answer("a", note.Place{}, 20), both(0, 0)); o.Refused || len(o.Parts) != 1 {
		t.Errorf("%+v", o)
	}
}

// TestRefusedOptions: in words, why there is no dose to compare.
func TestRefusedOptions(t *testing.T) {
	for _, x := range []struct {
		what, why string
		refused   bool
		change    func(*curve.Result)
	}{
		{"found", "", false, func(*curve.Result) {}},
		{"against pH", "the jars differ in pH, not in dose", true, func(r *curve.Result) { r.Factor = "ph" }},
		{"beyond the jars", "a dose on the safe side lies beyond the doses tested", true, func(r *curve.Result) { r.HasPlanning = false }},
		{"not reached", "", true, func(r *curve.Result) { r.HasPlanning, r.Outcome = false, "not-reached" }},
	} {
		r := answer("a", note.Place{}, 20)
		r.Notes = note.List{note.New(note.Stop, "s", "s"), note.New(note.Caution, "c", "c"), note.New(note.Caution, "basis-missing", "b")}
		x.change(&r)
		o := one(t, Facts{}, r)
		if o.Refused != x.refused || o.Why != x.why || o.Outcome != string(r.Outcome) {
			t.Errorf("%s: %+v", x.what, o)
		}
		if coded(o.Notes, "s") == "" || coded(o.Notes, "basis-missing") == "" || coded(o.Notes, "c") != "" {
			t.Errorf("%s: %v", x.what, o.Notes)
		}
	}
}

// TestSlices: the range of the first chemical at the nearest level of the second that
// reaches the target, the first of two as near; an end that is not bounded is open.
func TestSlices(t *testing.T) {
	level := func(at, value float64, low, high bool) surface.Slice {
		v := quantity.Concentration(value)
		return surface.Slice{Level: at, Reached: true, Effective: curve.Interval{Value: v, Low: v * 0.9, High: v * 1.2, HasLow: low, HasHigh: high}}
	}
	for _, x := range []struct {
		what      string
		ph        bool
		slices    []surface.Slice
		mid       float64 // 0 where there is no range
		low, high bool
	}{
		{"two as near", false, []surface.Slice{level(2, 10, true, true), level(4, 30, true, true)}, 10, true, true},
		{"the nearer", false, []surface.Slice{level(1.9, 10, true, true), level(4, 30, true, true)}, 30, true, true},
		{"not reached", false, []surface.Slice{{Level: 3}, level(9, 30, true, true)}, 30, true, true},
		{"none reached", false, []surface.Slice{{Level: 3}}, 0, false, false},
		{"none", false, nil, 0, false, false},
		{"by pH", true, []surface.Slice{level(3, 10, true, true), level(6.4, 30, true, true)}, 30, true, true},
		{"open below", false, []surface.Slice{level(3, 10, false, true)}, 10, false, true},
		{"open above", false, []surface.Slice{level(3, 10, true, false)}, 10, true, false},
	} {
		r := surface.Result{Slices: x.slices, Second: surface.Factor{PH: x.ph}, Planning: surface.Choice{Pair: surface.Pair{First: 12, Second: 3, PH: 6.5}}}
		q := (&gathering{}).slice(r)
		if (q == nil) != (x.mid == 0) {
			t.Errorf("%s: a range %v", x.what, q != nil)
		}
		if q == nil {
			continue
		}
		for p, want := range map[float64]struct {
			times float64
			known bool
		}{0.05: {0.9, x.low}, 0.95: {1.2, x.high}} {
			v, ok := q(p)
			if !want.known {
				want.times = 1
			}
			if ok != want.known || math.Abs(float64(v)-x.mid*want.times) > 1e-9 {
				t.Errorf("%s: at %g %v %v", x.what, p, v, ok)
			}
		}
	}
	// A pair of a dose and a pH has one part.
	r := surface.Result{Outcome: curve.Found, HasPlanning: true, First: surface.Factor{Chemical: jartest.Chemical{Name: "alum", Basis: quantity.AsAlum14}}, Second: surface.Factor{PH: true},
		Planning: surface.Choice{Pair: surface.Pair{First: 22, PH: 6.5}}}
	options, _, _, err := Gather(nil, nil, []surface.Result{r}, Facts{Catalogue: product.Default()})
	if err != nil || len(options[0].Parts) != 1 || options[0].Parts[0].Dose != (quantity.Dose{Concentration: 22, Basis: quantity.AsAlum14}) {
		t.Errorf("%+v %v", options, err)
	}
}

// TestPricesInTheirOrder: the command line, then the site, then the sheet. The site sells
// alum in packs of 25 kg at 0.40 EUR/kg, from 4 packs at 0.30, with 12 EUR for a delivery, and runs at 2 m3/h:
// 20 mg/L of the 14-hydrate in 48 m3 are 0.96/0.485 = 1.979 kg a day, 59.4 kg in 30 days, 3 packs.
func TestPricesInTheirOrder(t *testing.T) {
	eur := func(v float64) quantity.Price { return eur(v, "kg") }
	s := &site.Site{}
	s.Flow.Average = quantity.Some[quantity.Flow](2)
	s.Chemicals = []site.Chemical{{Name: quantity.Some("coagulant"), Product: quantity.Some("alum-liquid"), Basis: quantity.Some(quantity.AsAlum14)}}
	s.Prices = []site.Price{{Chemical: quantity.Some(" Coagulant"), Price: quantity.Some(eur(0.4)), From2: quantity.Some(4), Price2: quantity.Some(eur(0.3)),
		Delivery: quantity.Some(quantity.Money{Amount: 12, Currency: "EUR"}), DaysKept: quantity.Some(0.0)}}
	sheet := answer("a", note.Place{}, 20)
	sheet.Chemical.Price, sheet.Chemical.PriceUnit = 0.7, "EUR/kg"
	named := func(c string, v float64) []pair.Price { return []pair.Price{{Chemical: c, Price: eur(v)}} }
	unread := sheet
	unread.Chemical.PriceUnit = "a bag"
	free := sheet
	free.Chemical.Price = 0
	unstated := sheet
	unstated.Chemical.PriceUnit = ""
	called := func(c string) curve.Result { r := sheet; r.Chemical.Name = c; return r }
	for _, x := range []struct {
		what           string
		f              Facts
		r              curve.Result
		price, freight float64
		code           string
	}{
		{"the sheet alone", Facts{}, sheet, 0.7, 0, ""},
		{"the site", Facts{Site: s}, called("alum-liquid"), 0.4, 12. / 75, "freight-spread"},
		{"the site, by its own name", Facts{Site: s}, called("coagulant"), 0.4, 12. / 75, "freight-spread"},
		{"the command line", Facts{Site: s, Prices: named("coagulant", 0.9)}, called("coagulant"), 0.9, 12. / 75, "freight-spread"}, // what delivery costs stays
		{"freight of its own", Facts{Site: s, Freight: named("coagulant", 0.05)}, called("coagulant"), 0.4, 0.05, "freight-spread"},
		{"a price of something else", Facts{Prices: named("ferric", 0.9)}, sheet, 0.7, 0, ""},
		{"a price that is none", Facts{}, unread, 0, 0, "price-not-read"},
		{"no price", Facts{}, free, 0, 0, ""}, {"a price of nothing known", Facts{}, unstated, 0, 0, ""},
	} {
		o := one(t, x.f, x.r)
		p := o.Parts[0]
		near(t, x.what+": price", p.Price.Amount, x.price)
		near(t, x.what+": freight", p.Freight.Amount, x.freight)
		for _, code := range []string{"freight-spread", "price-not-read"} {
			if says := coded(o.Notes, code); (says != "") != (code == x.code) {
				t.Errorf("%s: %s %q", x.what, code, says)
			}
		}
		if says := coded(o.Notes, "freight-spread"); says != "" && !strings.Contains(says, "an order of 75 kg") {
			t.Errorf("%s: %s", x.what, says)
		}
	}
	// A price by the litre needs a density: alum solution has 1.335 kg/L, a powder none.
	litre := []pair.Price{{Chemical: "alum", Price: quantity.Price{Amount: 1.335, Currency: "EUR", Per: "L"}}}
	o := one(t, Facts{Prices: litre, Freight: litre}, sheet)
	near(t, "by the litre", o.Parts[0].Price.Amount, 1)
	near(t, "freight by the litre", o.Parts[0].Freight.Amount, 1)
	powder := called("cpam-dry")
	powder.Chemical.Basis, powder.Planning.Basis = quantity.AsProduct, quantity.AsProduct
	litre[0].Chemical = "cpam-dry"
	if o = one(t, Facts{Prices: litre}, powder); len(o.Notes.Only(note.Error)) != 1 || o.Parts[0].Price.Amount != 0.7 { // the sheet's own stands in
		t.Errorf("%v %v", o.Notes, o.Parts[0].Price)
	}
	if _, _, _, err := Gather(nil, []curve.Result{powder}, nil, Facts{Catalogue: product.Default(), Freight: litre}); err == nil {
		t.Error("freight by the litre of a powder passes")
	}
}

// TestProductsOfOptions: what is not known of a product is told, and the option stands.
func TestProductsOfOptions(t *testing.T) {
	unstated := answer("a", note.Place{Cell: "B2"}, 20)
	unstated.Planning.Basis, unstated.Chemical.Basis = quantity.NotStated, quantity.NotStated
	if o := one(t, Facts{}, unstated); coded(o.Notes, "basis-missing") == "" || coded(o.Notes, "product-taken") == "" || o.Parts[0].Strength.OK {
		t.Errorf("%v %+v", o.Notes, o.Parts)
	}
	unstated.Chemical.Basis = quantity.AsAlum14 // the sheet's own stands in
	if o := one(t, Facts{}, unstated); o.Parts[0].Dose.Basis != quantity.AsAlum14 || math.Abs(float64(o.Parts[0].Strength.V)-0.485) > 1e-12 {
		t.Errorf("%+v", o.Parts)
	}
	s := &site.Site{}
	s.Chemicals = []site.Chemical{{Name: quantity.Some("alum"), Product: quantity.Some("no such thing"), Basis: quantity.Some(quantity.AsAlum14)}}
	if o := one(t, Facts{Site: s}, answer("a", note.Place{}, 20)); len(o.Notes.Only(note.Error)) != 1 || coded(o.Notes, "product-unknown") == "" || coded(o.Notes, "price-by-basis") == "" || o.Refused {
		t.Errorf("%v", o.Notes)
	}
	s.Chemicals = []site.Chemical{{Name: quantity.Some("alum"), Product: quantity.Some("cpam-dry")}}
	o := one(t, Facts{Site: s}, answer("a", note.Place{}, 20))
	if len(o.Notes.Only(note.Error)) != 0 || len(o.Notes.Only(note.Caution)) == 0 || o.Parts[0].Effects != (day.Effects{}) {
		t.Errorf("polymer dosed as alum: %v %+v", o.Notes, o.Parts)
	}
}

// TestSharedWater: what is said on the command line, then by the site, then by the first
// sheet that says it. 10 NTU are 15 mg/L; a skimmer of 1 L every half hour carries 2 L/h, 1000 L while 1000 m3 pass at 2 m3/h.
func TestSharedWater(t *testing.T) {
	read := func(ntu, tss, alk float64) jartest.Series {
		s := jartest.Series{Raw: map[jartest.Key]jartest.Reading{}}
		for k, v := range map[jartest.Key]float64{jartest.Turbidity: ntu, jartest.TSS: tss, jartest.AlkalinityKey: alk} {
			if v > 0 {
				s.Raw[k] = jartest.Num(v, k.Info().Unit)
			}
		}
		return s
	}
	s := &site.Site{}
	s.Flow.Average = quantity.Some[quantity.Flow](2)
	s.Solids.SkimEvery, s.Solids.SkimWater = quantity.Some[quantity.Time](0.5), quantity.Some[quantity.Volume](1)
	bare := *s
	bare.Flow.Average.OK = false
	s.Water.Alkalinity, s.Water.AlkFloor, s.Water.TSS = quantity.Some[quantity.Alkalinity](70), quantity.Some[quantity.Alkalinity](40), quantity.Some[quantity.Concentration](33)
	for _, x := range []struct {
		what                        string
		f                           Facts
		all                         []jartest.Series
		raw, keep, removed, carried float64
	}{
		{"nothing", Facts{}, nil, 0, 0, 0, 0},
		{"sheets of several waters", Facts{}, []jartest.Series{read(0, 0, 0), read(10, 0, 30), read(20, 0, 50)}, 0, 0, 0, 0},
		{"sheets of one water", Facts{}, []jartest.Series{read(10, 0, 30), read(10, 0, 30)}, 30, 0, 15, 0},
		{"solids before turbidity", Facts{}, []jartest.Series{read(20, 8, 50), read(20, 8, 50)}, 50, 0, 8, 0},
		{"the site", Facts{Site: s}, []jartest.Series{read(10, 8, 30)}, 70, 40, 33, 1000},
		{"the command line", Facts{Site: s, Raw: 0.5, Keep: 0.25}, []jartest.Series{read(10, 8, 30)}, 0.5, 0.25, 33, 1000},
		{"a site that says nothing", Facts{Site: &bare}, []jartest.Series{read(10, 8, 30)}, 30, 0, 8, 0},
	} {
		_, w, _, err := Gather(x.all, nil, nil, x.f)
		if err != nil {
			t.Fatal(err)
		}
		near(t, x.what+": raw", float64(w.Raw.V), x.raw)
		near(t, x.what+": keep", float64(w.Keep), x.keep)
		near(t, x.what+": removed", float64(w.Removed.Likely), x.removed)
		near(t, x.what+": carried", float64(w.Carried()), x.carried)
		if w.Raw.OK != (x.raw > 0) {
			t.Errorf("%s: raw %v", x.what, w.Raw.OK)
		}
	}
	// Readings of one water lie within a fifth of each other.
	for high, differs := range map[float64]bool{12: false, 12.1: true} {
		_, _, notes, _ := Gather([]jartest.Series{read(high, 0, 0), read(10, 0, 0)}, nil, nil, Facts{})
		says := coded(notes, "different-water")
		if (says != "") != differs || differs && !strings.Contains(says, "runs from 10.0 to 12.1 NTU") {
			t.Errorf("10 and %g NTU: %q", high, says)
		}
	}
	// An alkali is a product of the catalogue that gives alkalinity.
	eur := pair.Price{Chemical: "soda-ash", Price: eur(0.5, "kg")}
	_, w, _, err := Gather(nil, nil, nil, Facts{Catalogue: product.Default(), Alkali: &eur})
	if err != nil || w.Alkali.Price.Amount != 0.5 || w.Alkali.Name == "" {
		t.Errorf("%+v %v", w, err)
	}
	eur.Chemical = "no such thing"
	if _, _, _, err = Gather(nil, nil, nil, Facts{Catalogue: product.Default(), Alkali: &eur}); err == nil {
		t.Error("an alkali that nobody knows passes")
	}
	eur.Chemical = "alum-liquid"
	if _, w, notes, err := Gather(nil, nil, nil, Facts{Catalogue: product.Default(), Alkali: &eur}); err != nil || len(notes) != 1 || w.Alkali.Name != "" {
		t.Errorf("alum for an alkali: %+v %v %v", w, notes, err)
	}
}

// TestResidualsOfOptions: aluminium before iron, nothing below zero, and held against the
// water that the site and the fitted pH tell.
func TestResidualsOfOptions(t *testing.T) {
	at := func(k jartest.Key, v float64) curve.ReadingCurve {
		return curve.ReadingCurve{Key: k, AtPlanning: &curve.Point{Fit: v}}
	}
	salt := func(ppt quantity.Salinity) *site.Site {
		s := &site.Site{}
		s.Water.Salinity = quantity.Some(ppt)
		return s
	}
	fresh := salt(0.5)
	fresh.Water.Hardness, fresh.Water.DOC = quantity.Some[quantity.Concentration](100), quantity.Some[quantity.Concentration](1)
	for _, x := range []struct {
		what      string
		readings  []curve.ReadingCurve
		s         *site.Site
		of, level string
		value     float64
	}{
		{"nothing read", nil, nil, "", NotChecked, 0},
		{"not at the planning dose", []curve.ReadingCurve{{Key: jartest.ResidualAl}}, nil, "", NotChecked, 0},
		{"both", []curve.ReadingCurve{at(jartest.ResidualFe, 2), at(jartest.ResidualAl, 0.1)}, nil, "Al", NotChecked, 0.1},
		{"iron", []curve.ReadingCurve{at(jartest.ResidualFe, 2)}, nil, "Fe", "caution", 2},
		{"below zero", []curve.ReadingCurve{at(jartest.ResidualFe, -0.1)}, nil, "Fe", "note", 0},
		{"sea water", []curve.ReadingCurve{at(jartest.ResidualAl, 0.03)}, salt(1), "Al", "caution", 0.03},
		{"fresh water without pH", []curve.ReadingCurve{at(jartest.ResidualAl, 0.6)}, fresh, "Al", NotChecked, 0.6},
		{"fresh water", []curve.ReadingCurve{at(jartest.ResidualAl, 0.6), at(jartest.PH, 7)}, fresh, "Al", "caution", 0.6},
	} {
		var o Option
		(&gathering{facts: Facts{Site: x.s}}).residual(&o, curve.Result{Readings: x.readings})
		if o.ResidualLevel == "" {
			o.ResidualLevel = NotChecked // as a row has it
		}
		if o.ResidualOf != x.of || o.HasResidual != (x.of != "") || o.ResidualLevel != x.level || float64(o.Residual) != x.value {
			t.Errorf("%s: %+v", x.what, o)
		}
	}
	// At a limit: sea water 0.024 mg/L (Golding et al. 2015), iron 1.0 mg/L; with organic carbon of 1 mg/L the
	// guideline is exp(0.171 pH + 5.586)/1000 (Environment and Climate Change Canada 2019), 0.882 mg/L at pH 7.
	known := Treated{PH: quantity.Some[quantity.PH](7), DOC: quantity.Some[quantity.Concentration](1)}
	carbon := Treated{DOC: known.DOC}
	for _, c := range []struct {
		metal string
		v     quantity.Concentration
		w     Treated
		want  string
	}{
		{"Al", 0.024, Treated{Salinity: 30}, "note"}, {"Fe", 1, Treated{}, "note"}, {"Fe", 0.881, known, "note"}, {"Fe", 0.883, known, "caution"}, {"Fe", 50, carbon, NotChecked},
		{"Fe", 1, Treated{PH: known.PH}, "note"}, {"Fe", 1.001, Treated{PH: known.PH, Salinity: 30}, "caution"}, {"Mn", 9, known, NotChecked}, {"Al", 9, known, NotChecked},
	} {
		if got := MetalLevel(c.metal, c.v, c.w); got != c.want {
			t.Errorf("%s %v: %s, want %s", c.metal, c.v, got, c.want)
		}
	}
}

// TestChancesByHand: of 400 equally likely costs half lie below a fixed one in their
// middle; options of the same cost share the chance, and cannot be told apart.
func TestChancesByHand(t *testing.T) {
	c, err := Make([]Option{option("fixed", 0.5, nil), option("doubtful", 0.7, between(0, 1))}, Water{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fixed", float64(c.Rows[0].Cheapest), 0.5)
	near(t, "doubtful", float64(c.Rows[1].Cheapest), 0.5)
	if c, err = Make([]Option{option("a", 2, nil), option("b", 2, nil), option("c", 3, nil)}, Water{}, 0); err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.5, 0.5, 0} {
		near(t, c.Rows[i].Name, float64(c.Rows[i].Cheapest), want)
		if r := c.Rows[i]; r.Same != (i == 1) || r.HasRange || r.Open || r.Low != r.Total || r.High != r.Total {
			t.Errorf("%+v", r)
		}
	}
	// Ranges of 80 %: 0.1 to 0.9 and 0.9 to 1.7 meet; 0.91 to 1.71 does not. A stopped option stands behind, whatever it costs.
	for shift, same := range map[float64]bool{0.8 - 1e-9: true, 0.81: false} {
		if c, err = Make([]Option{option("a", 0.5, between(0, 1)), option("b", 1.3, between(shift, 1+shift))}, Water{}, 0.8); err != nil || c.Rows[1].Same != same {
			t.Errorf("shift %g: %v %v", shift, c.Rows, err)
		}
	}
	stopped := option("cheap", 0.1, nil)
	stopped.Stopped = true
	if c, err = Make([]Option{stopped, option("dear", 9, nil)}, Water{}, 0); err != nil || c.Rows[0].Name != "dear" || !c.Rows[1].Stopped {
		t.Errorf("%+v %v", c.Rows, err)
	}
}

// TestWhatIsLeftOut: what the cost does not hold is told once, of options that can be used.
func TestWhatIsLeftOut(t *testing.T) {
	alum := option("alum", 20, nil)
	alum.Parts[0].AlkalinityUse, alum.Parts[0].Freight = 0.5, eur(0, "kg")
	refused := Option{Name: "x", Refused: true, Parts: []Part{{Chemical: "x"}}}
	for _, x := range []struct {
		what    string
		options []Option
		w       Water
		want    string
	}{
		{"all known", []Option{alum}, Water{Raw: quantity.Some[quantity.Alkalinity](100), Keep: 50, Disposal: day.Disposal{Price: eur(0.5, "kg dry")}}, ""},
		{"nothing known", []Option{alum}, Water{}, "alkalinity-unknown solids-not-priced"},
		{"alkali without a price", []Option{alum}, Water{Raw: quantity.Some[quantity.Alkalinity](59.5), Keep: 50, Alkali: pair.Alkali{Per: 1}}, "solids-not-priced cost-lacks"},
		{"alkali with a price", []Option{alum}, Water{Raw: quantity.Some[quantity.Alkalinity](55), Keep: 50, Alkali: pair.Alkali{Per: 1, Price: eur(1, "kg"), Freight: eur(0, "kg")}}, "solids-not-priced"},
		{"just enough", []Option{alum}, Water{Raw: quantity.Some[quantity.Alkalinity](60), Keep: 50, Alkali: pair.Alkali{Per: 1}}, "solids-not-priced"},
		{"refused", []Option{refused}, Water{}, ""},
	} {
		c, err := Make(x.options, x.w, 0)
		if err != nil {
			t.Fatal(err)
		}
		var codes []string
		for _, n := range c.Notes {
			codes = append(codes, n.Code)
		}
		if got := strings.Join(codes, " "); got != x.want {
			t.Errorf("%s: %s, want %s", x.what, got, x.want)
		}
	}
	for code, spoil := range map[string]func(*Option, *Water){
		"bad-strength":  func(o *Option, _ *Water) { o.Parts[0].Strength.V = 1.01 },
		"no-dry-solids": func(_ *Option, w *Water) { w.Disposal.Price = eur(0.5, "t") },
		"currencies":    func(o *Option, _ *Water) { o.Parts[0].Freight = quantity.Price{Amount: 1, Currency: "USD", Per: "kg"} },
		"": func(o *Option, w *Water) {
			o.Parts[0].Strength.V, w.Disposal = 1, day.Disposal{DrySolids: 0.01, Price: eur(0.5, "t")}
		},
	} {
		o, w := option("a", 1, nil), Water{}
		spoil(&o, &w)
		_, err := Make([]Option{o}, w, 0)
		if l := note.Of(err, ""); code == "" && err != nil || code != "" && (len(l) != 1 || l[0].Code != code) {
			t.Errorf("%q: %v", code, err)
		}
	}
	o := option("a", 1, nil)
	o.Parts[0].Strength.V = -0.01
	if _, err := Make([]Option{o}, Water{}, 0); err == nil {
		t.Error("a strength below zero passes")
	}
}
