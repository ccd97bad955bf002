package dosing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func mgL(v float64) quantity.Known[quantity.Concentration] {
	return quantity.Some(quantity.Concentration(v))
}

func ntu(v float64) quantity.Known[quantity.Cloudiness] {
	return quantity.Some(quantity.Cloudiness(v))
}

// TestRawSolids: measured solids go before turbidity; storm and clear water go by
// their turbidity at the site's own solids per NTU, else as the usual water's two
// readings have it: 90 mg/L ÷ 60 NTU = 1.5.
func TestRawSolids(t *testing.T) {
	var s site.Site
	if _, ok := RawSolids(s, site.UsualWater); ok {
		t.Error("solids of nothing")
	}
	s.Water.Turbidity = ntu(60)
	likely := func(class string) float64 { return float64(RecordOf(s, class).Removed.Likely) }
	near(t, "by turbidity", likely(site.UsualWater), 90, 1e-9)
	near(t, "storm as usual", likely(site.StormWater), 90, 1e-9)
	s.Water.StormTurbidity, s.Water.ClearTurbidity = ntu(200), ntu(10)
	near(t, "storm", likely(site.StormWater), 300, 1e-9)
	near(t, "clear", likely(site.ClearWater), 15, 1e-9)
	near(t, "high", float64(RecordOf(s, site.ClearWater).Removed.High), 22, 1e-9)
	s.Water.TSS = mgL(120) // 2 mg/L per NTU
	near(t, "measured", likely(site.UsualWater), 120, 1e-9)
	near(t, "storm by the two readings", likely(site.StormWater), 400, 1e-9)
	near(t, "without doubt", float64(RecordOf(s, site.StormWater).Removed.High), 400, 1e-9)
	s.Solids.PerNTU, s.Solids.Capture = quantity.Some(1.2), quantity.Some(quantity.Fraction(0.5))
	near(t, "half caught", likely(site.UsualWater), 60, 1e-9)
	near(t, "storm by the site's own", likely(site.StormWater), 120, 1e-9)
	s.Solids.PerNTU.V = 0
	near(t, "none of its own", PerNTU(s).V, 2, 1e-12)
	s.Water.Turbidity.V, s.Water.TSS.V = 0.5, 1
	near(t, "below one unit", PerNTU(s).V, 2, 1e-12)
	s.Water.Turbidity.V = 0
	near(t, "of no turbidity", PerNTU(s).V, 0, 0)
	s.Water.TSS.OK = false
	if PerNTU(s).V != 0 {
		t.Error("solids per NTU of one reading")
	}
}

// TestSiteFloat: what a site does not say of its float, and what it does.
func TestSiteFloat(t *testing.T) {
	var s site.Site
	if share, from := ShareOf(s); share != 0.02 || !Floats(s) || from == "as stated" { // a unit that is not named floats
		t.Errorf("%v %s", share, from)
	}
	s.Solids.Unit = quantity.Some(site.UnitSettler)
	if share, _ := ShareOf(s); share != 0.015 || Floats(s) {
		t.Errorf("settler: %v", share)
	}
	s.Solids.FloatSolids = quantity.Some(quantity.Fraction(0))
	if share, from := ShareOf(s); share != 0.015 || from == "as stated" {
		t.Errorf("a share of nothing: %v %s", share, from)
	}
	s.Solids.FloatSolids, s.Solids.SG = quantity.Some(quantity.Fraction(0.04)), quantity.Some(quantity.Density(1.1))
	s.Prices = []site.Price{{Chemical: quantity.Some("Disposal of solids "), Price: quantity.Some(quantity.Price{Amount: 7, Currency: "EUR", Per: "m3"})},
		{Chemical: quantity.Some(site.PriceWater), Price: quantity.Some(quantity.Price{Amount: 2, Currency: "EUR", Per: "m3"})},
		{Chemical: quantity.Some(site.PriceElectricity), Price: quantity.Some(quantity.Price{Amount: 0.2, Currency: "EUR", Per: "kWh"})}}
	d := DisposalOf(s)
	if d.DrySolids != 0.04 || d.Density != 1.1 || d.Price.Amount != 7 {
		t.Errorf("%+v", d)
	}
	s.Flow.Power = quantity.Some(quantity.Power(1500))
	s.Solids.SkimEvery, s.Solids.SkimWater = quantity.Some(quantity.Time(0.5)), quantity.Some(quantity.Volume(3))
	if r := RecordOf(s, site.UsualWater); r.MakeUp.Amount != 2 || r.Electricity.Amount != 0.2 || r.Power != 1500 || r.Skim.PerHour() != 6 || r.Disposal != d {
		t.Errorf("%+v", r)
	}
	if _, ok := BinOf(s); ok {
		t.Error("a bin that nobody named")
	}
	s.Tanks = []site.Tank{{Name: quantity.Some("skip"), Volume: quantity.Some(quantity.Volume(200)), Usable: quantity.Some(quantity.Fraction(0.8)), Now: quantity.Some(quantity.Volume(20))}}
	s.Solids.Bin = quantity.Some("skip")
	if b, ok := BinOf(s); !ok || b.Name != "skip" || b.Volume != 200 || b.Usable != 0.8 || b.Now != 20 {
		t.Errorf("%+v", b)
	}
}

// TestSolidsOfTheDay: 100 m3 in 20 h of 60 NTU with 10 mg/L of a coagulant of 9 %
// aluminium: raw 90, hydroxide 0.9 × 132.049/26.982 = 4.4046 mg/L likely.
func TestSolidsOfTheDay(t *testing.T) {
	al := holding(1, quantity.AsAl, 1.2)
	al.Group, al.Basicity = product.AluminiumSalt, product.Given[quantity.Fraction](0, "test")
	al.Strength.V = 0.09
	p, err := Make(Input{Day: steady(t, 5, 0, 20), Feeds: []FeedInput{{Name: "al", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, Stock: Stock{Product: al}}}})
	if err != nil {
		t.Fatal(err)
	}
	var s site.Site
	if p.Solids(s) != nil {
		t.Error("solids of unknown water")
	}
	s.Water.Turbidity = ntu(60)
	s.Solids.SkimEvery, s.Solids.SkimWater = quantity.Some(quantity.Time(0.25)), quantity.Some(quantity.Volume(0.5))
	s.Tanks = []site.Tank{{Name: quantity.Some("skip"), Volume: quantity.Some(quantity.Volume(1000)), Usable: quantity.Some(quantity.Fraction(0.9))}}
	s.Solids.Bin = quantity.Some("skip")
	d := p.Solids(s)
	likely := 90 + 0.9*132.049/26.982
	near(t, "likely", float64(d.PerWater.Likely), likely, 1e-9)
	near(t, "low", float64(d.PerWater.Low), 42+0.9*78.004/26.982, 1e-9)
	near(t, "high", float64(d.PerWater.High), 132+0.9*132.049/26.982, 1e-9)
	near(t, "dry", float64(d.Dry.Likely), likely/10, 1e-9)
	near(t, "float", float64(d.Float.Likely), likely/10/0.02, 1e-9)
	near(t, "carried", float64(d.Carried), 40, 1e-9)
	near(t, "what the bin takes", float64(d.Volume.Likely), likely/10/0.02+40, 1e-9)
	near(t, "passes", d.Skims, 80, 1e-9)
	still := s
	still.Solids.SkimEvery = quantity.Known[quantity.Time]{}
	near(t, "passes without a skimmer", p.Solids(still).Skims, 0, 0)
	sum := 0.0
	for _, x := range d.Parts {
		sum += float64(x.Range.Likely)
	}
	near(t, "parts", sum, likely, 1e-9)
	if n := len(d.Emptys.Emptyings); n != 3 { // 7 × 512 L make 3.98 bins
		t.Errorf("emptied %d times in a week", n)
	}
	// 900 L at (472 + 40) L in 20 h: full at 20 h 512, then 388 more at 25.6 L/h from 24:00.
	near(t, "bin full", float64(d.Emptys.FullAt), 24+(900-(likely/10/0.02+40))/((likely/10/0.02+40)/20), 1e-6)
	// Ten times the skip holds 17 whole days of 512 L, longer than float keeps: it is emptied every 4 days, and the note says why.
	s.Solids.Unit = quantity.Some("flotation")
	s.Tanks[0].Volume.V = 10_000
	d = p.Solids(s)
	near(t, "a large bin emptied every", float64(d.Emptys.Every()), 96, 0)
	near(t, "and a day", d.ADay(), 0.25, 0)
	if n := d.Notes[len(d.Notes)-1]; n.Code != "float-rots" || n.Message != "skip would take the float of 17 d, and float rots within days" {
		t.Errorf("%v", d.Notes)
	}
}

// TestDosesByWater: doses that a row states on its own basis are counted as the
// bench sheet's dose is; one that cannot be counted is a fault.
func TestDosesByWater(t *testing.T) {
	alum := site.Chemical{Name: quantity.Some("alum"), Product: quantity.Some("alum-liquid"), Basis: quantity.Some(quantity.AsProduct), Strength: quantity.Some(quantity.Fraction(0.5)),
		Counts: quantity.Some(quantity.AsAlum14), Storm: mgL(40), Clear: mgL(0), ByTurbidity: quantity.Some("30 NTU=20 mg/L; 0 NTU=10 mg/L")}
	g := Given{Catalogue: products, Bench: map[int]BenchDose{0: {Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsAlum14}, Low: 10, High: 14, Source: "bench"}}}
	f, notes, err := ChemicalOf(site.Site{}, alum, 0, g)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := noted(notes, "basis-differs"); !ok || f.Low != 10 || f.High != 14 || f.DoseSource != "bench" {
		t.Errorf("%+v %v", f, notes)
	}
	// 40 mg/L of product at 50 % are 20 mg/L of 14-hydrate.
	for class, want := range map[string]float64{site.UsualWater: 12, site.ClearWater: 0, site.StormWater: 20} {
		if d := f.DoseIn(class); d.Basis != quantity.AsAlum14 || math.Abs(float64(d.Concentration)-want) > 1e-9 {
			t.Errorf("%s water: %v, want %g", class, d, want)
		}
	}
	// A line is kept as its points; steps hold the dose of the upper end.
	if len(f.Cleaning) != 2 || !f.CleaningCurve || f.Cleaning[0].Reading != 0 || f.Cleaning[0].Dose != 5 || f.Cleaning[1].Reading != 30 || f.Cleaning[1].Dose != 10 {
		t.Errorf("by turbidity: %+v", f.Cleaning)
	}
	alum.Between = quantity.Some(false)
	if x, _, _ := ChemicalOf(site.Site{}, alum, 0, g); x.CleaningCurve || !slices.Equal(x.Cleaning, []clarify.Step{{Reading: 0, Dose: 10}, {Reading: 30, Dose: 10}}) {
		t.Errorf("%+v", x.Cleaning)
	}
	bare := alum // counts what the bench sheet counts
	bare.Basis = quantity.Known[quantity.Basis]{}
	if f, _, err = ChemicalOf(site.Site{}, bare, 0, g); err != nil || f.Storm.V != 40 {
		t.Errorf("a storm dose without basis: %v %v", f.Storm.V, err)
	}
	alum.Basis = quantity.Some(quantity.AsFe)
	_, _, err = ChemicalOf(site.Site{}, alum, 0, g)
	if n, ok := noted(note.Of(err, "?"), "basis-mismatch"); !ok {
		t.Errorf("a storm dose of iron for alum: %v", n)
	}
}

// TestAlkaliFollows: 12.5 mg/L of 14-hydrate take 0.5053 × 12.5 = 6.316; raw 50, keep 48
// leaves 4.316 to give back, × 1.0590 = 4.571 mg/L of soda ash.
func TestAlkaliFollows(t *testing.T) {
	s := site.Site{Chemicals: []site.Chemical{
		{Name: quantity.Some("alum"), Product: quantity.Some("alum-liquid"), Basis: quantity.Some(quantity.AsAlum14), Dose: mgL(12.5), Storm: mgL(25)},
		{Name: quantity.Some("soda"), Product: quantity.Some("soda-ash"), Basis: quantity.Some(quantity.AsNa2CO3)},
	}}
	s.Water.Alkalinity, s.Water.AlkFloor = quantity.Some(quantity.Alkalinity(50)), quantity.Some(quantity.Alkalinity(48))
	g := Given{Catalogue: products}
	feeds, notes, err := Chemicals(s, g)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "soda", float64(feeds[1].Dose.Concentration), 4.571, 2e-3)
	if n, ok := noted(notes, "alkali-worked-out"); !ok || feeds[1].Dose.Basis != quantity.AsNa2CO3 || !strings.Contains(feeds[1].DoseSource, "48 mg/L") {
		t.Errorf("%v %+v", n, feeds[1])
	}
	// In storm water the alum takes 6.316 more.
	near(t, "in storms", float64(dosesIn(feeds, site.StormWater)[1].Concentration), 4.571+6.316*1.059, 1e-2)
	// Aluminate gives alkalinity too, but is a coagulant: it needs a dose. So does an alkali that is counted as something it is not.
	for id, basis := range map[string]quantity.Basis{"aluminate-liquid": quantity.AsAl, "alum-liquid": quantity.AsAlum14, "apam-dry": quantity.AsProduct, "soda-ash": quantity.AsFe} {
		x := s
		x.Chemicals = []site.Chemical{{Name: quantity.Some(id), Product: quantity.Some(id), Basis: quantity.Some(basis)}}
		if _, _, err := Chemicals(x, g); codes(note.Of(err, "?")) != "value-missing" {
			t.Errorf("%s: %v", id, err)
		}
	}
	for code, spoil := range map[string]func(*site.Site){
		"alkalinity-missing": func(s *site.Site) { s.Water.AlkFloor.OK = false },
		"value-missing": func(s *site.Site) {
			s.Chemicals[1].Product.V = "sulfuric-acid"
			s.Chemicals[1].Basis.V = quantity.AsH2SO4
		},
	} {
		x := s
		x.Chemicals = append([]site.Chemical(nil), s.Chemicals...)
		spoil(&x)
		_, _, err := Chemicals(x, g)
		if n, ok := noted(note.Of(err, "?"), code); !ok {
			t.Errorf("%s: %v %v", code, n, err)
		}
	}
}

// TestReviewByWater: a storm dose that would stop the plan is told as a caution and
// not given to the pump; one that nobody doses is not looked at.
func TestReviewByWater(t *testing.T) {
	s := exampleSite(t, func(v site.Values) {
		v["Chemicals"][1]["product"], v["Chemicals"][1]["basis"] = "cpam-dry", "as active polymer"
		v["Chemicals"][1]["dose"], v["Chemicals"][1]["dose low"], v["Chemicals"][1]["dose high"] = "0.01 mg/L", "", ""
		v["Chemicals"][1]["dose in storm water"] = "25 mg/L"
	})
	in, err := FromSite(s, Given{Catalogue: products})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	q, r := p.Reviewed(s, time.Time{})
	if r.Stopped || len(r.Withheld) != 1 || r.Withheld[0] != site.StormWater || q.Feeds[1].Storm.OK || !p.Feeds[1].Storm.OK {
		t.Errorf("stopped %v, withheld %v, storm dose %v", r.Stopped, r.Withheld, q.Feeds[1].Storm)
	}
	n, ok := noted(r.ByWater, "cationic-lethal")
	if !ok || n.Level != note.Caution || !strings.HasPrefix(n.Message, "the dose in storm water would stop the plan: ") {
		t.Errorf("%v", r.ByWater)
	}
	if _, ok := noted(r.Findings.Notes, "cationic-lethal"); !ok {
		t.Error("the findings do not hold it")
	}
	if told := r.Told(); len(told) != len(r.ByWater) {
		t.Errorf("told %v", told)
	}
	// The same dose every day stops the plan itself, and is told once.
	s.Chemicals[1].Dose = mgL(25)
	in, _ = FromSite(s, Given{Catalogue: products})
	p, _ = Make(in)
	q, r = p.Reviewed(s, time.Time{})
	if !r.Stopped || len(r.ByWater) != 0 || len(r.Told()) == 0 || r.Told()[0].Level != note.Stop {
		t.Errorf("stopped %v: %v", r.Stopped, r.Told())
	}
	w := q.Withheld()
	for _, f := range w.Feeds {
		if f.Fed || f.Setting != nil || f.Rate != 0 || f.Least != 0 || f.Peak != 0 || f.StockUse != 0 || f.Lasts != 0 || f.HasEmpty || f.Every != 0 || f.Batches != nil || f.Range.Known {
			t.Errorf("%s keeps %+v", f.Name, f)
		}
	}
	if w.Tasks != nil || w.Hours != nil {
		t.Error("withheld plan with tasks")
	}
	// Somebody takes the risk: told all the same, as accepted.
	s.Accepted = []site.Acceptance{{Code: quantity.Some("cationic-lethal"), By: quantity.Some("shift lead"), Reason: quantity.Some("tanks are empty")}}
	_, r = p.Reviewed(s, time.Time{})
	if n, ok := noted(r.Told(), "cationic-lethal"); r.Stopped || !ok || !strings.HasPrefix(n.Message, "accepted by shift lead") {
		t.Errorf("%v: %v", r.Stopped, r.Told())
	}
}

// TestSurroundings: what the cautions see of a site.
func TestSurroundings(t *testing.T) {
	s := exampleSite(t, func(v site.Values) {
		v["Place"][0]["water passes"], v["Water"][0]["water in the system"], v["Water"][0]["new water a day"] = site.Recirculating, "24 m3", "10 %"
	})
	var c caution.Situation
	Surroundings(&c, s, time.Time{})
	if c.Loop == nil || c.Loop.Volume != s.Water.System.V {
		t.Fatalf("loop %+v", c.Loop)
	}
	if s.Water.Exchange.OK { // 10 % of the water in 24 h
		near(t, "new water", float64(c.Loop.Exchange.V), float64(s.Water.Exchange.V)*s.Water.System.V.In("m3")/24, 1e-9)
	}
	s.Place.Passes.V = site.OnceThrough
	c = caution.Situation{}
	if Surroundings(&c, s, time.Time{}); c.Loop != nil || len(c.Stock) != 1 || c.Stock[0].Profile.ID == "" {
		t.Errorf("%+v", c)
	}
	s.Animals[0].Reached.V = site.ReachedNever
	c = caution.Situation{}
	if Surroundings(&c, s, time.Time{}); len(c.Stock) != 0 {
		t.Errorf("animals that no water reaches: %+v", c.Stock)
	}
	if got := alsoKept(site.Site{Place: site.Place{Stored: quantity.Some(" bleach; , soda ,")}}); len(got) != 2 || got[0] != "bleach" || got[1] != "soda" {
		t.Errorf("kept %q", got)
	}
}

// TestPumpOfSite: drawdown readings go before the nameplate.
func TestPumpOfSite(t *testing.T) {
	row := site.Pump{Name: quantity.Some("p"), Max: quantity.Some(quantity.FeedRate(30)), Least: quantity.Some(quantity.FeedRate(2)), Step: quantity.Some(site.Knob{V: 5})}
	p, err := PumpOf(row, nil)
	if err != nil || p.Turndown != 15 || p.Setting.Step != 5 || p.Stroke.Step != 5 || p.Calibration.Shape != pump.Nominal {
		t.Errorf("%+v %v", p, err)
	}
	for what, x := range map[string]site.Pump{
		"no least rate":      {Max: row.Max, Least: quantity.Known[quantity.FeedRate]{V: 2}},
		"a least of nothing": {Max: row.Max, Least: quantity.Some(quantity.FeedRate(0))},
	} {
		if p, err := PumpOf(x, nil); err != nil || p.Turndown != 0 {
			t.Errorf("%s: %+v %v", what, p, err)
		}
	}
	if p, err = PumpOf(site.Pump{Max: row.Max, Least: quantity.Some(quantity.FeedRate(0.5))}, nil); err != nil || p.Turndown != 60 {
		t.Errorf("%+v %v", p, err)
	}
	row.Turndown = quantity.Some(20.0)
	read := func(speed, mL, s float64) site.Drawdown {
		return site.Drawdown{Speed: quantity.Some(site.Knob{V: speed}), Volume: quantity.Some(quantity.Volume(mL / 1000)), Time: quantity.Some(quantity.Time(s / 3600))}
	}
	if p, err = PumpOf(row, []site.Drawdown{read(20, 10, 60), read(80, 40, 60)}); err != nil || p.Turndown != 20 || math.Abs(float64(p.For(25).Exact.Setting)-50) > 1e-6 {
		t.Errorf("%+v %v", p, err) // 10 mL/min at 20 %, 40 at 80 %: 25 at 50 %
	}
	if p, err = PumpOf(row, []site.Drawdown{read(20, 10, 60)}); err != nil || p.Calibration.Shape != pump.Nominal {
		t.Errorf("one reading is no line: %+v %v", p, err)
	}
	given := []site.Drawdown{{Speed: quantity.Some(site.Knob{V: 20}), Rate: quantity.Some(quantity.FeedRate(10))}, {Speed: quantity.Some(site.Knob{V: 80}), Rate: quantity.Some(quantity.FeedRate(40))}}
	if p, err = PumpOf(row, given); err != nil || math.Abs(float64(p.For(25).Exact.Setting)-50) > 1e-6 {
		t.Errorf("%+v %v", p, err)
	}
	for what, d := range map[string]site.Drawdown{"the time": {Volume: quantity.Some(quantity.Volume(1))}, "the volume": {Time: quantity.Some(quantity.Time(1))}} {
		if _, err := PumpOf(row, []site.Drawdown{d}); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := PumpOf(site.Pump{}, nil); err == nil {
		t.Error("a pump without figures")
	}
	if h := heads("0.7 L/h; nonsense; 0 L/h; 4.5 L/h"); len(h) != 2 || math.Abs(h[1].In("L/h")-4.5) > 1e-9 {
		t.Errorf("heads %v", h)
	}
}

// TestMarksOfAKnob: a peristaltic pump of 100 rpm whose tube gives 0.85 mL a turn feeds
// 85 mL/min at most; 20 and 80 rpm are 20 and 80 %, of 50 Hz they would be 40 and 160 %.
func TestMarksOfAKnob(t *testing.T) {
	scale := quantity.Some(site.Knob{V: 100, Unit: "rpm"})
	p, err := PumpOf(site.Pump{Scale: scale, PerTurn: quantity.Some(quantity.Volume(0.00085)), PumpTube: quantity.Some("4.8 mm"), Step: quantity.Some(site.Knob{V: 0.5, Unit: "rpm"})}, nil)
	if err != nil || p.Tube != "4.8 mm" || p.Setting.Step != 0.5 {
		t.Fatalf("%+v %v", p, err)
	}
	near(t, "largest", float64(p.Capacity()), 85, 1e-9)
	c := p.For(17)
	near(t, "17 mL/min, rpm", p.Scale.Shows(c.Position.Setting), 20, 1e-9)
	read := func(unit string, at, rate float64) site.Drawdown {
		return site.Drawdown{Speed: quantity.Some(site.Knob{V: at, Unit: unit}), Rate: quantity.Some(quantity.FeedRate(rate))}
	}
	hertz := site.Pump{Scale: quantity.Some(site.Knob{V: 50, Unit: "Hz"})}
	if p, err = PumpOf(hertz, []site.Drawdown{read("Hz", 10, 5), read("Hz", 40, 23)}); err != nil {
		t.Fatal(err)
	}
	c = p.For(14) // on the line from 5 at 10 Hz to 23 at 40 Hz: 25 Hz, half of its scale
	near(t, "14 mL/min, %", float64(c.Exact.Setting), 50, 1e-9)
	near(t, "14 mL/min, Hz", p.Scale.Shows(c.Position.Setting), 25, 1e-9)
	if p, err = PumpOf(hertz, []site.Drawdown{read("", 20, 5), read("", 80, 23)}); err != nil || math.Abs(float64(p.For(14).Exact.Setting)-50) > 1e-9 {
		t.Errorf("in per cent: %v", err)
	}
	for what, x := range map[string]struct {
		row  site.Pump
		unit string
		says string
	}{
		"no scale":     {site.Pump{}, "rpm", "what the knob shows at 100 % is missing"},
		"another":      {hertz, "rpm", "a position in rpm, but the knob shows Hz"},
		"its own step": {site.Pump{Max: quantity.Some(quantity.FeedRate(9)), Step: quantity.Some(site.Knob{V: 1, Unit: "marks"})}, "", "what the knob shows at 100 %"},
	} {
		var rows []site.Drawdown
		if x.unit != "" {
			rows = []site.Drawdown{read(x.unit, 10, 5), read(x.unit, 40, 23)}
		}
		if _, err := PumpOf(x.row, rows); err == nil || !strings.Contains(err.Error(), x.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
