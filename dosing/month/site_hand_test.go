package month

import (
	"bytes"
	"jarwright/dosing/doubt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// logOf is a meter log from Monday 2 February 2026 on, one flow a day.
func logOf(t *testing.T, flows ...float64) *flow.Log {
	t.Helper()
	var csv bytes.Buffer
	csv.WriteString("time,flow m3/h\n")
	at := time.Date(2026, 2, 2, 0, 0, 0, 0, time.UTC)
	for _, f := range flows {
		for range 24 {
			csv.WriteString(at.Format("2006-01-02 15:04") + "," + strconv.FormatFloat(f, 'g', -1, 64) + "\n")
			at = at.Add(time.Hour)
		}
	}
	l, err := flow.Read("log.csv", &csv, flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return &l
}

func taken(t *testing.T, v site.Values, log *flow.Log) (Plan, note.List) {
	t.Helper()
	p, notes, err := FromSite(readSite(t, v), Options{Given: dosing.Given{Catalogue: product.Default(), Log: log}})
	if err != nil {
		t.Fatal(err)
	}
	return p, notes
}

// TestWeekdaysAreMetered: 2 m3/h on a Monday, 4 on a Tuesday and 4 for the first half
// of the Wednesday. The average day is 10/3 m3/h in its first half and 3 in the
// second, 76 m3; the month gives Mondays the 48 m3 and Tuesdays the 96 m3 metered,
// and other days the average one.
func TestWeekdaysAreMetered(t *testing.T) {
	csv := bytes.NewBufferString("time,flow m3/h\n2026-02-02 00:00,2\n2026-02-02 12:00,2\n2026-02-03 00:00,4\n2026-02-03 12:00,4\n2026-02-04 00:00,4\n")
	l, err := flow.Read("log.csv", csv, flow.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p, notes := taken(t, site.Example("", ""), &l)
	for day, want := range map[time.Weekday]float64{time.Monday: 48, time.Tuesday: 96, time.Wednesday: 76, time.Sunday: 76} {
		w := p.Calendar.Week[day]
		near(t, day.String(), float64(p.Calendar.Flow)*float64(w.Share)*float64(w.Hours), want)
	}
	if n, _ := has(notes, "flow-from-log"); !strings.Contains(n.Message, "76.00 m3 a day") {
		t.Errorf("%s", n.Message)
	}
}

// TestLogByHand: two weeks of 4 m3/h on working days and 2 at weekends, the second
// Monday 8. Means by weekday 6, 4, 4, 4, 4, 2, 2: 26/7 m3/h. Scatter of Monday 2/3
// and 4/3 of its mean: √((1/9 + 1/9) ÷ 7 degrees of freedom).
func TestLogByHand(t *testing.T) {
	p, notes := taken(t, site.Example("", ""), logOf(t, 4, 4, 4, 4, 4, 2, 2, 8, 4, 4, 4, 4, 2, 2))
	if n, ok := has(notes, "flow-from-log"); !ok || !strings.Contains(n.Message, "from 14 days") || !strings.Contains(n.Message, "89.14 m3 a day") {
		t.Errorf("%v", n)
	}
	if _, ok := has(notes, "log-short"); ok {
		t.Error("two weeks are called short")
	}
	roughly := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 2e-3*want { // the log counts up to its last reading
			t.Errorf("%s: %g, by hand %g", what, got, want)
		}
	}
	roughly("flow", float64(p.Calendar.Flow), 26.0/7)
	for d, want := range [7]float64{1, 3, 2, 2, 2, 2, 1} {
		roughly(time.Weekday(d).String(), float64(p.Calendar.Week[d].Share), want*7/13)
	}
	roughly("scatter", float64(p.Doubt.DayToDay), math.Sqrt(2.0/9/7))
	p, notes = taken(t, site.Example("", ""), logOf(t, 4, 4, 4, 4, 4, 2, 2))
	if _, ok := has(notes, "log-short"); !ok || p.Doubt.DayToDay != 0 {
		t.Errorf("one week: %v, scatter %v", notes, p.Doubt.DayToDay)
	}
	if p, _ = taken(t, site.Example("", ""), logOf(t, 3, 3)); p.Calendar.Week[0].Share != 1 || p.Calendar.Week[1].Share != 1 {
		t.Errorf("two days: %+v", p.Calendar.Week)
	}
}

// TestRangeOfOneEnd: a stated dose with one end is exact on the other side, and goes along with the dose of another water.
func TestRangeOfOneEnd(t *testing.T) {
	f := dosing.FeedInput{Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}}
	if f.Doubt() != nil {
		t.Error("a dose without an end is in doubt")
	}
	f.High = 12
	q := f.Doubt()
	if v, ok := q(0.05); !ok || v != 10 {
		t.Errorf("%v %v", v, ok)
	}
	if s := scaled(q, 10, 5); s != nil {
		if v, _ := s(0.95); math.Abs(float64(v)-6) > 1e-9 {
			t.Errorf("half the dose to %v", v)
		}
	}
}

// TestBoughtByHand: what a row of Prices says, and what is taken where it says nothing.
func TestBoughtByHand(t *testing.T) {
	eur := func(v float64) quantity.Known[quantity.Price] {
		return quantity.Some(quantity.Price{Amount: v, Currency: "EUR", Per: "kg"})
	}
	hours := func(v float64) quantity.Known[quantity.Time] { return quantity.Some(quantity.Time(v)) }
	p := product.Product{Shelf: product.Given[quantity.Time](480, "label")}
	r := site.Price{Price: eur(2), From2: quantity.Some(4), Price2: eur(1), Delivery: quantity.Some(quantity.Money{Amount: 60, Currency: "EUR"}), Pack: quantity.Some(quantity.Mass(10)),
		OnHand: quantity.Some(quantity.Mass(7)), Room: quantity.Some(quantity.Mass(90)), Steady: quantity.Some(true), Order: quantity.Some(3), OnOrder: quantity.Some(2),
		Lead: hours(49), Shelf: hours(71), Age: hours(25), DaysKept: quantity.Some(5.0), Shipping: quantity.Some(1.2), Arrives: quantity.Some(time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC))}
	list, s := Bought(r, p)
	want := Supply{Pack: 10, Opening: 7, Limit: 90, Essential: true, OrderPacks: 3, OnOrder: 2, LeadDays: 3, ShelfDays: 2, OpeningAge: 2, MinDays: 5, ShippingFactor: 1.2, OnOrderDate: Date{2026, 3, 4}}
	if s.Pack != want.Pack || s.Opening != want.Opening || s.Limit != want.Limit || !s.Essential || s.OrderPacks != 3 || s.OnOrder != 2 || s.LeadDays != 3 || s.ShelfDays != 2 || s.OpeningAge != 2 ||
		s.MinDays != 5 || s.ShippingFactor != 1.2 || s.OnOrderDate != want.OnOrderDate {
		t.Errorf("%+v, want %+v", s, want)
	}
	if s.UsualOrder(100) != 3 {
		t.Errorf("orders %d packs", s.UsualOrder(100))
	}
	goods, freight, err := list.Price(3, s, 0)
	if err != nil || goods.Amount != 2 || math.Abs(freight.Amount-2) > 1e-12 || freight.Per != "kg" || freight.Currency != "EUR" {
		t.Errorf("%v %v %v", goods, freight, err)
	}
	if goods, freight, _ = list.Price(4, s, 0); goods.Amount != 1 || math.Abs(freight.Amount-1.5) > 1e-12 {
		t.Errorf("%v %v", goods, freight)
	}
	list, s = Bought(site.Price{Price: quantity.Some(quantity.Price{Amount: 3, Currency: "EUR", Per: "L"}), From2: quantity.Some(4)}, p)
	if s.Pack != 25 || s.ShelfDays != 20 || s.MinDays != NoMinDays || s.LeadDays != 0 || len(list.Tiers) != 1 || s.UsualOrder(1) != 1 { // 20 days of shelf life, 10 of them always kept: 10 kg is no pack, so one
		t.Errorf("%+v %+v", s, list)
	}
	if _, _, err = list.Price(1, s, 0); err == nil {
		t.Error("a price by the litre of unknown density")
	}
	if goods, freight, err = list.Price(1, s, 1.5); err != nil || goods.Amount != 2 || freight.Amount != 0 {
		t.Errorf("%v %v %v", goods, freight, err)
	}
	list.Delivery = quantity.Money{Amount: 1, Currency: "EUR"}
	if _, freight, err = list.Price(1, s, 1.5); err != nil || math.Abs(freight.Amount-0.04) > 1e-12 { // 1 EUR over a pack of 25 kg
		t.Errorf("%v %v", freight, err)
	}
	if (Supply{}).UsualOrder(5) != 1 {
		t.Error("packs of no size")
	}
	for h, want := range map[float64][2]int{0: {0, 0}, 1: {1, 1}, 24: {1, 1}, 25: {2, 1}, 47.9: {2, 1}, 48: {2, 2}} {
		if up, down := wholeDays(quantity.Time(h), true), wholeDays(quantity.Time(h), false); up != want[0] || down != want[1] {
			t.Errorf("%g h: %d up, %d down", h, up, down)
		}
	}
}

// TestWhatIsTakenForGranted: every gap of the Prices sheet is told, and nothing else.
func TestWhatIsTakenForGranted(t *testing.T) {
	for code, spoil := range map[string]func(site.Values){
		"no-supply":         func(v site.Values) { v["Prices"] = v["Prices"][1:] },
		"pack-assumed":      func(v site.Values) { delete(v["Prices"][0], "pack") },
		"stock-unknown":     func(v site.Values) { delete(v["Prices"][0], "on hand") },
		"lead-time-unknown": func(v site.Values) { delete(v["Prices"][0], "lead time") },
		"power-unknown":     func(v site.Values) { delete(v["Flow"][0], "power drawn") },
		"solids-share":      func(v site.Values) { delete(v["Solids"][0], "float or sludge solids") },
		"rule-ignored": func(v site.Values) {
			v["Calendar"] = append(v["Calendar"], map[string]string{"weekday": "Sunday", "runs": "yes", "raw water": "storm"})
		},
	} {
		v := site.Example("", "")
		if _, notes := taken(t, v, nil); true {
			if _, ok := has(notes, code); ok {
				t.Errorf("%s is told of the demo", code)
			}
		}
		spoil(v)
		p, notes := taken(t, v, nil)
		if n, ok := has(notes, code); !ok {
			t.Errorf("%s is not told: %v", code, n)
		}
		if code == "no-supply" && (p.Chemicals[0].Supply.Pack != 25 || p.Chemicals[0].Prices.Priced()) {
			t.Errorf("%+v", p.Chemicals[0].Supply)
		}
	}
}

// TestClassesOfASite: water is spoken of where it has a share, a turbidity, a dose
// or a day of its own.
func TestClassesOfASite(t *testing.T) {
	plain := func(v site.Values) {
		for _, k := range []string{"clear days", "storm days", "turbidity when clear", "turbidity in a storm"} {
			delete(v["Water"][0], k)
		}
		for _, c := range v["Chemicals"] {
			delete(c, "dose in storm water")
		}
	}
	for what, x := range map[string]struct {
		spoil func(site.Values)
		want  string
	}{
		"nothing":         {func(site.Values) {}, "usual"},
		"clear days":      {func(v site.Values) { v["Water"][0]["clear days"] = "30 %" }, "usual clear"},
		"clear turbidity": {func(v site.Values) { v["Water"][0]["turbidity when clear"] = "3 NTU" }, "usual clear"},
		"storm days":      {func(v site.Values) { v["Water"][0]["storm days"] = "30 %" }, "usual storm"},
		"storm turbidity": {func(v site.Values) { v["Water"][0]["turbidity in a storm"] = "300 NTU" }, "usual storm"},
		"clear dose":      {func(v site.Values) { v["Chemicals"][0]["dose in clear water"] = "3 mg/L" }, "usual clear"},
		"storm dose":      {func(v site.Values) { v["Chemicals"][0]["dose in storm water"] = "30 mg/L" }, "usual storm"},
		"storm day":       {func(v site.Values) { v["Calendar"][0]["raw water"], v["Calendar"][0]["runs"] = "storm", "yes" }, "usual storm"},
		"clear day":       {func(v site.Values) { v["Calendar"][0]["raw water"], v["Calendar"][0]["runs"] = "clear", "yes" }, "usual clear"},
	} {
		v := site.Example("", "")
		plain(v)
		x.spoil(v)
		p, _ := taken(t, v, nil)
		var names []string
		for _, c := range p.Classes {
			names = append(names, c.Name)
		}
		if strings.Join(names, " ") != x.want {
			t.Errorf("%s: %v, want %s", what, names, x.want)
		}
		for _, c := range p.Chemicals {
			if len(c.Doses) != len(p.Classes) {
				t.Errorf("%s: %s has %d doses", what, c.Name, len(c.Doses))
			}
		}
	}
	v := site.Example("", "")
	p, _ := taken(t, v, nil)
	if p.Classes[0].Share != 0.85 || p.Classes[1].Share != 0.15 || p.Chemicals[0].Role != Coagulant || p.Chemicals[1].Role != Polymer {
		t.Errorf("%+v", p.Classes)
	}
	if p.Stopped || p.Energy.Power != 750 || p.Skim.PerHour() != 8.64 || p.Disposal.DrySolids != 0.02 {
		t.Errorf("%+v", p)
	}
	// The site's own doubt, else 0.7 to 2.2 mg/L per NTU about 1.5 until it has measured.
	v["Solids"][0]["solids uncertainty"] = "20 %"
	if p, _ = taken(t, v, nil); p.Doubt.Solids != (doubt.Span{Low: 0.8, High: 1.2}) {
		t.Errorf("solids %v", p.Doubt.Solids)
	}
	delete(v["Solids"][0], "solids uncertainty")
	delete(v["Solids"][0], "solids per NTU")
	p, notes := taken(t, v, nil)
	near(t, "low solids", float64(p.Doubt.Solids.Low), 0.7/1.5)
	near(t, "high solids", float64(p.Doubt.Solids.High), 2.2/1.5)
	if _, ok := has(notes, "solids-per-ntu"); !ok {
		t.Error("nothing is said of solids per NTU")
	}
	if p.Doubt.Flow != (doubt.Span{Low: 0.9, High: 1.1}) {
		t.Errorf("flow %v", p.Doubt.Flow)
	}
}

// TestLotsByHand: what is left of the newest arrivals, the oldest first.
func TestLotsByHand(t *testing.T) {
	a := Account{Chemical: Chemical{Supply: Supply{OpeningAge: 9, Fresher: []Lot{{5, 3}}}}, Stock: []StockDay{{Arrived: 4, End: 20}, {Arrived: 0, End: 18}, {Arrived: 6, End: 17}}}
	got := closingLots(a, 3)
	want := []Lot{{2, 12}, {5, 6}, {4, 3}, {6, 1}} // 17 = 6 of today, 4 of the first, 5 three days older, 2 of the oldest
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got[i], want[i])
		}
	}
	a.Stock[2].End = 5
	if got = closingLots(a, 3); len(got) != 1 || got[0] != (Lot{5, 1}) {
		t.Errorf("%v", got)
	}
	a.Stock[2].End = 0
	if got = closingLots(a, 3); len(got) != 0 {
		t.Errorf("an empty store of %v", got)
	}
}

// TestRemarksByHand: each is said where it holds, and at its edge not.
func TestRemarksByHand(t *testing.T) {
	base := func() (Budget, *model) {
		p := flat(10, 10, 10, eurPerKg(1))
		p.Chemicals[0].Supply.MinDays = 2
		p.Disposal = day.Disposal{DrySolids: 0.02, Price: quantity.Price{Amount: 1, Currency: "EUR", Per: "m3"}}
		p.Doubt.Flow = doubt.Span{Low: 0.9, High: 1.1}
		b := must(t, p)
		b.Notes = nil
		b.Range.PlanAt = 0.5
		return b, newModel(b.Plan, b.Classes, b.Days)
	}
	for _, x := range []struct {
		what, code string
		spoil      func(*Budget, *model)
	}{
		{"as it should be", "", func(*Budget, *model) {}},
		{"at the middle's upper edge", "", func(b *Budget, _ *model) { b.Range.PlanAt = 0.6 }},
		{"at its lower edge", "", func(b *Budget, _ *model) { b.Range.PlanAt = 0.4 }},
		{"above", "plan-in-range", func(b *Budget, _ *model) { b.Range.PlanAt = 0.601 }},
		{"below", "plan-in-range", func(b *Budget, _ *model) { b.Range.PlanAt = 0.399 }},
		{"never short", "", func(b *Budget, _ *model) { b.Range.RunsOut[0] = 0.0049 }},
		{"rarely short", "may-run-out", func(b *Budget, _ *model) { b.Range.RunsOut[0] = 0.005 }},
		{"open", "dose-range-open", func(b *Budget, _ *model) { b.Range.Open = []string{"x"} }},
		{"nothing treated", "nothing-treated", func(b *Budget, _ *model) { b.Treated = 0 }},
		{"no price", "no-price", func(b *Budget, _ *model) { b.Accounts[0].Chemical.Prices.Tiers = nil }},
		{"no price for what is not used", "", func(b *Budget, _ *model) { b.Accounts[0].Chemical.Prices.Tiers, b.Accounts[0].Wanted = nil, 0 }},
		{"usual minimum", "minimum-stock", func(b *Budget, _ *model) { b.Accounts[0].Chemical.Supply.MinDays = NoMinDays }},
		{"no range", "no-range", func(b *Budget, _ *model) { b.Range.Matters = nil }},
		{"scatter is a range", "", func(b *Budget, m *model) { b.Range.Matters, m.plan.Doubt.DayToDay = nil, 0.1 }},
		{"below the minimum", "below-minimum", func(b *Budget, _ *model) { b.Accounts[0].Safety = 2e9 }},
		{"out of date", "out-of-date", func(b *Budget, _ *model) { b.Accounts[0].Stock[3].Expired = 0.5 }},
		{"overfull", "store-overfull", func(b *Budget, _ *model) { b.Accounts[0].Chemical.Supply.Limit, b.Accounts[0].Reorder = 1, 0 }},
		{"reordered above the room", "reorder-above-room", func(b *Budget, _ *model) {
			b.Accounts[0].Chemical.Supply.Limit, b.Accounts[0].Reorder = 2e9, 3e9
		}},
		{"order outside", "order-outside", func(b *Budget, _ *model) {
			b.Accounts[0].Chemical.Supply.OnOrder, b.Accounts[0].Chemical.Supply.OnOrderDate = 1, Date{2020, 1, 1}
		}},
		{"solids for nothing", "not-priced", func(b *Budget, _ *model) { b.Plan.Disposal.Price, b.Dry.Likely = quantity.Price{}, 1 }},
		{"no solids, no price", "", func(b *Budget, _ *model) { b.Plan.Disposal.Price = quantity.Price{} }},
		{"delivery not known", "not-priced", func(b *Budget, _ *model) { b.Accounts[0].Chemical.Prices.Delivery = quantity.Money{} }},
		{"delivery of what is not used", "", func(b *Budget, _ *model) {
			b.Accounts[0].Chemical.Prices.Delivery, b.Accounts[0].Wanted = quantity.Money{}, 0
		}},
		{"water of stocks", "not-priced", func(b *Budget, _ *model) { b.Uses[0].Water = 1 }},
		{"water of carriers", "not-priced", func(b *Budget, _ *model) { b.Uses[0].Carrier = 1 }},
		{"energy", "not-priced", func(b *Budget, _ *model) { b.Energy = 1 }},
	} {
		b, m := base()
		x.spoil(&b, m)
		b.remark(m)
		if x.code == "" && len(b.Notes) > 0 || x.code != "" && (len(b.Notes) != 1 || b.Notes[0].Code != x.code) {
			t.Errorf("%s: %v, want %q", x.what, b.Notes, x.code)
		}
	}
}

// TestNotesSayWhatIsThere: a bench explains a range only where there is one, and what
// is not priced is named.
func TestNotesSayWhatIsThere(t *testing.T) {
	for _, x := range []struct {
		what   string
		tested bool
		range_ func(float64) (quantity.Concentration, bool)
		says   string
	}{
		{"from a bench", true, doubt.Between(10, 5, 11), "stays at or below it (planning doses lie on the safe side of the bench's interval)"},
		{"stated with a range", false, doubt.Between(10, 5, 11), "stays at or below it (the doses stated do not stand in the middle of their own range)"},
		{"stated without", false, nil, "stays at or below it"},
	} {
		p := flat(10, 10, 10, eurPerKg(1))
		p.Doubt.Flow = doubt.Span{Low: 0.9, High: 1.1}
		p.Chemicals[0].Tested, p.Chemicals[0].Doses[0].Quantile = x.tested, x.range_
		b := must(t, p)
		b.Notes, b.Range.PlanAt, b.Range.Open = nil, 0.7, []string{"coagulant"}
		b.remark(newModel(b.Plan, b.Classes, b.Days))
		if n, ok := has(b.Notes, "plan-in-range"); !ok || !strings.HasSuffix(n.Message, x.says) {
			t.Errorf("%s: %q", x.what, n.Message)
		}
		remedy := map[bool]string{true: "test more jars beyond the tested doses", false: "give both ends of its dose in the site under Chemicals"}[x.tested]
		if n, _ := has(b.Notes, "dose-range-open"); n.Remedy != remedy {
			t.Errorf("%s: %q", x.what, n.Remedy)
		}
	}
	p := flat(10, 10, 10, eurPerKg(1))
	p.Chemicals[0].Stock, p.Chemicals[0].Floc, p.Energy.Power = 1000, 0.5, 100
	p.Chemicals[0].Prices.Delivery = quantity.Money{}
	if n, _ := has(must(t, p).Notes, "not-priced"); n.Message != "not in the cost, no price given: delivery of coagulant, disposal of solids, make-up water, energy" {
		t.Error(n.Message)
	}
}

// TestPaidByTheMonthsOrders: 10 kg a day, 31 kg of room, packs of 10 kg: orders of three
// packs are usual, and what comes at a time is what there is room for. A charge of 6 EUR
// on 2 packs is 0.3 EUR/kg, on 3 packs 0.2.
func TestPaidByTheMonthsOrders(t *testing.T) {
	p := flat(10, 10, 100, eurPerKg(1)) // 100 m3 × 0.1 kg
	p.Chemicals[0].Prices = PriceList{Tiers: []Tier{{1, eurPerKg(2)}, {3, eurPerKg(1.5)}}, Delivery: quantity.Money{Amount: 6, Currency: "EUR"}}
	p.Chemicals[0].Supply = Supply{Opening: 20, Pack: 10, Limit: 31, OrderPacks: 3, ShippingFactor: 1}
	for d := range p.Calendar.Week {
		p.Calendar.Week[d].Delivery = true
	}
	a := must(t, p).Accounts[0]
	var kg, goods, charges float64
	for _, d := range a.Stock[:30] {
		if d.Packs > 0 {
			price := 2.0
			if d.Packs >= 3 {
				price = 1.5
			}
			kg, goods, charges = kg+float64(10*d.Packs), goods+float64(10*d.Packs)*price, charges+6
		}
	}
	if kg == 0 {
		t.Fatal("nothing bought")
	}
	near(t, "bought", float64(a.Bought), kg)
	near(t, "price", a.UnitPrice.Amount, goods/kg)
	near(t, "freight", a.UnitFreight.Amount, charges/kg)
	near(t, "to pay", a.ToPay.Amount, goods+charges)
	near(t, "freight of what is used", a.Freight.Amount, 300*charges/kg)
	p.Chemicals[0].Supply.Opening, p.Chemicals[0].Supply.Limit = 1000, 0
	a = must(t, p).Accounts[0] // nothing comes: the usual order
	near(t, "usual price", a.UnitPrice.Amount, 1.5)
	near(t, "usual freight", a.UnitFreight.Amount, 0.2)
}

// TestAlkaliLacks: doses that leave less than is to be kept say that the cost holds no
// alkali; an alkali among the chemicals says nothing. 20 mg/L of alum 14-hydrate (594.4 g/mol) use
// 20 × 300.26/594.4 = 10.1 mg/L CaCO3; the 8.1 that lack are 8.1 × 80.0/100.09 = 6.48 mg/L of NaOH, in 48 m3
// 0.311 kg, of a 50 % solution 0.622 kg.
func TestAlkaliLacks(t *testing.T) {
	s := small()
	s.Water.Alkalinity, s.Water.AlkFloor = quantity.Some(quantity.Alkalinity(60)), quantity.Some(quantity.Alkalinity(58))
	_, notes := of(t, s, Options{})
	if n, ok := has(notes, "alkali-not-in-cost"); !ok || !strings.HasPrefix(n.Message, "holding alkalinity 58 mg/L CaCO3 takes an alkali that is in no dose and in no cost, ") ||
		!strings.HasSuffix(n.Message, "such as 0.622 kg/d of caustic soda") {
		t.Errorf("%v", notes)
	}
	s.Water.AlkFloor = quantity.Some(quantity.Alkalinity(30))
	if _, notes = of(t, s, Options{}); func() bool { _, ok := has(notes, "alkali-not-in-cost"); return ok }() {
		t.Errorf("enough is left: %v", notes)
	}
}

// TestShortageByHand: 100 kg a day of which 250 are there: two days and a half.
func TestShortageByHand(t *testing.T) {
	p := flat(10, 10, 1000, eurPerKg(1)) // 100 m3 × 1 kg/m3
	p.Chemicals[0].Supply = Supply{Opening: 250, Pack: 100, LeadDays: 5, MinDays: 0, OrderPacks: 40}
	b := must(t, p)
	a := b.Accounts[0]
	near(t, "cover", a.Cover.In("d"), 2.5)
	if a.RunsOut == nil || a.RunsOut.Date != (Date{2027, 4, 3}) {
		t.Fatalf("runs out %+v", a.RunsOut)
	}
	n, ok := has(b.Notes, "runs-out")
	// 1 April is a Thursday; an order of the 1st is there on Tuesday the 6th: short 50 kg on the 3rd, 100 on the 4th and 5th.
	for _, says := range []string{"runs out on 2027-04-03", "short of 250 kg on 3 days", "lasts 2.5 d", "arrives on 2027-04-06 at the earliest (5 d)"} {
		if !ok || !strings.Contains(n.Message, says) {
			t.Errorf("%q does not say %q", n.Message, says)
		}
	}
}
