package templates

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/month"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// twoPonds are ponds of one farm with different doses and prawns in them.
const twoPonds = `
place: {name: Reed farm (invented), purpose: animals, water_passes: standing, currency: EUR}
water: {temperature: 28 C, pH: 8.0, alkalinity: 90 mg/L CaCO3, salinity: 12 g/kg, total_ammonia: 0.2 mg/L, hardness: 2400 mg/L}
chemicals:
- {name: alum, product: alum-dry, dose: 20 g/t, basis: as product, bucket: 2 kg}
- {name: soda, product: bicarbonate, dose: 10 mg/L, basis: as product, scoop: 500 g}
ponds:
- {name: east pond, size: 5000 m2 x 1.2 m, portions: 2}
- {name: west pond, water_volume: 900 m3, chemical: "alum, soda", dose: 9 kg per pond}
animals:
- {name: prawns, species: Penaeus vannamei, stage: juvenile}
prices:
- {chemical: alum, price: 0.40 EUR/kg, pack: 25 kg}
- {chemical: soda, price: 0.60 EUR/kg, pack: 25 kg, delivery: 20 EUR}
`

func pondReport(t *testing.T, fields string) Standing {
	t.Helper()
	s, err := site.Read("site.yaml", strings.NewReader(fields))
	if err != nil {
		t.Fatal(err)
	}
	p, err := dosing.PlanStanding(s, given(), marchFirst)
	if err != nil {
		t.Fatal(err)
	}
	return Standing{Standing: p, Cost: month.CostOfStanding(s, p)}
}

// TestPondFigures holds the document of the two ponds against sums done by hand.
func TestPondFigures(t *testing.T) {
	d := pondReport(t, twoPonds).data()
	of := func(path string) float64 {
		o, key, _ := strings.Cut(path, ":")
		at := d
		for _, step := range strings.Fields(o) {
			list, n, _ := strings.Cut(step, "/")
			at = at.Objects(list)[int(n[0]-'0')]
		}
		if v, ok := at.Get(key).(int); ok {
			return float64(v)
		}
		if b, ok := at.Get(key).(figure.Bare); ok {
			v, _ := figure.Figure(b).Document()
			return v
		}
		v, _ := at.Fig(key).Document()
		return v
	}
	const acid = 0.99 * 6 * 50.0435 / 594.342 // mg/L CaCO3 of 1 mg/L of dry alum, 14-hydrate
	for path, want := range map[string]float64{
		"ponds/0:volume": 6000, "ponds/0:area": 5000, "ponds/0:depth": 1.2, "ponds/0:portions": 2, "ponds/0:hours_between": 4,
		"ponds/0 chemicals/0:product": 120, "ponds/0 chemicals/0:alkalinity_used": 20 * acid, "ponds/0 chemicals/0:bucket.number": 60, "ponds/0 chemicals/0:bucket.whole": 60,
		"ponds/0 chemicals/0:bucket.covers": 5000. / 60, "ponds/0 chemicals/0:bag.number": 4.8, "ponds/0 chemicals/0:bag.whole": 4, "ponds/0 chemicals/0:bag.rest": 20, "ponds/0 chemicals/0:product_per_area": 24,
		"ponds/0 chemicals/1:product": 60, "ponds/0 chemicals/1:scoop.number": 120, "ponds/0 chemicals/1:alkalinity_used": -10 * 0.99 * 50.0435 / 84.007,
		"ponds/1:volume": 900, "ponds/1 chemicals/0:dose": 10, "ponds/1 chemicals/0:product": 9, "ponds/1 chemicals/0:bucket.number": 4.5, "ponds/1 chemicals/0:bucket.whole": 4, "ponds/1 chemicals/0:bucket.rest": 1,
		"ponds/1 chemicals/1:product": 9, "ponds/1 chemicals/0:bag.whole": 0,
		"total/0:product": 129, "total/1:product": 69, "total/0:bag.whole": 5, "total/0:bag.rest": 4, "total/0:bucket.number": 64.5, "total/0:bucket.whole": 64, "total/0:bucket.rest": 1,
		"ponds/0 goes/0:product": 60, "ponds/0 goes/1:product": 60, "ponds/0 goes/1:number": 1, "ponds/0 goes/1:of": 2, "ponds/0 goes/2:number": 2, "ponds/0 goes/1:bucket.number": 30, "ponds/0 goes/1:bucket.covers": 5000. / 30,
		"ponds/0 goes/0:water.alkalinity": 90 + 10*0.99*50.0435/84.007, "ponds/0 goes/2:water.alkalinity": 90 + 10*0.99*50.0435/84.007 - 20*acid,
		":money.total": 129*0.4 + 69*0.6 + 20*69./75, ":money.per_1000m3": (129*0.4 + 69*0.6 + 20*69./75) / 6.9,
	} {
		if got := of(path); !(math.Abs(got-want) <= 2e-4*math.Abs(want)) {
			t.Errorf("%s: %v, want %v", path, got, want)
		}
	}
	for path, want := range map[string]string{"goes/0:06:00 the day before": "soda", "goes/1:06:00": "alum", "goes/2:10:00": "alum"} {
		list, at, _ := strings.Cut(path, ":")
		g := d.Objects("ponds")[0].Objects("goes")[int(list[5]-'0')]
		if goTime(g) != at || g.Get("chemical") != want {
			t.Errorf("%s: %s at %s", path, g.Get("chemical"), goTime(g))
		}
	}
}

// TestPondLeads holds the first lines, which are what people do. The animals should have 100 mg/L of alkalinity: the east pond keeps 90 + 5.90 - 10.00 = 85.89, and bicarbonate of
// 99 % gives 0.990 x 50.04/84.007 of what it lacks, 23.9 mg/L, in 6000 m3 144 kg; the west pond keeps 90.90, and soda ash 0.990 x 50.04/52.994, 9.74 mg/L, in 900 m3 8.76 kg.
func TestPondLeads(t *testing.T) {
	var b bytes.Buffer
	w := NewText(&b, Options{Width: 200})
	r := pondReport(t, twoPonds)
	r.Text(w, Options{Width: 200})
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	want := []string{"By hand" + strings.Repeat(" ", 173) + "Reed farm (invented)", strings.Repeat("=", 200),
		"Soda into east pond  60 kg, in one go at 06:00 the day before", "Alum into east pond     120 kg, in 2 goes, the first at 06:00",
		"Soda into west pond   9 kg, in one go at 06:00 the day before", "Alum into west pond       9 kg, in 4 goes, the first at 06:00", "",
		"> Begin at 06:00 the day before with 60 kg of soda into east pond; what goes into the other ponds then stands in the list.", "",
		"60 kg of soda into east pond, 2 bags of 25 kg and 10 kg: 120 level scoops of 0.5 kg, a scoop to each 41.7 m2, in one go at 06:00 the day before.",
		"120 kg of alum into east pond, 4 bags of 25 kg and 20 kg, in 2 goes, at 06:00, 10:00: each 60 kg, 30 buckets of 2 kg, a bucket to each 167 m2 (60 buckets of 2 kg in all).",
		"9 kg of soda into west pond, less than a bag of 25 kg: 18 level scoops of 0.5 kg, in one go at 06:00 the day before.",
		"9 kg of alum into west pond, less than a bag of 25 kg, in 4 goes, at 06:00, 09:00, 12:00, 15:00: each 2.25 kg, 1 bucket of 2 kg and 1 of 250 g (4 buckets of 2 kg and 1 of 1 kg in all).", // prawns bear 0.2 at a time
		"More alkali first, for alkalinity 100 mg/L CaCO3: 144 kg of sodium bicarbonate, 99%, over east pond, the day before (23.9 mg/L of it; others below). Raise the dose of soda, and the plan lays its goes", "ahead.",
		"More alkali first, for alkalinity 100 mg/L CaCO3: 13.9 kg of sodium bicarbonate, 99%, over west pond, the day before (15.4 mg/L of it; others below). Raise the dose of soda, and the plan lays its goes", "ahead.", // 9.1 x 1.679/0.99, of what is in store
		"East pond: 6000 m3 of standing water (5000 m2 x 1.2 m).", "West pond: 900 m3 of standing water.",
		"All ponds together take 129 kg of alum, 5 bags of 25 kg and 4 kg, 64 buckets of 2 kg and 1 of 1 kg in all.", "All ponds together take 69 kg of soda, 2 bags of 25 kg and 19 kg."}
	lines := strings.Split(b.String(), "\n")
	lead := slices.Index(lines, want[9])
	for i, l := range slices.Concat(lines[:9], lines[max(lead, 9):])[:len(want)] {
		if l != want[i] {
			t.Errorf("line %d: %s\n   want %s", i+1, l, want[i])
		}
	}
	for _, l := range []string{"9 kg per pond, which is 10 mg/L as product", "20 g/t, which is 20 mg/L as product", "soft shells", "How to spread it"} {
		if !strings.Contains(b.String(), l) {
			t.Errorf("nothing says %q", l)
		}
	}
}

// TestPondCards: a card for each pond and one to watch its animals; of a pond that is not to be dosed one that says so, with what stops it, what puts it
// right and nothing to give.
func TestPondCards(t *testing.T) {
	var titles []string
	for _, c := range pondReport(t, twoPonds).Cards(Options{}) {
		titles = append(titles, c.Title)
	}
	if got := strings.Join(titles, "; "); got != "Pond card: east pond; Watch card: east pond; Pond card: west pond; Watch card: west pond" {
		t.Error(got)
	}
	stopped := pondReport(t, strings.NewReplacer("alkalinity: 90", "alkalinity: 4", "dose: 10 mg/L, basis: as product, scoop", "dose: 0.1 mg/L, basis: as product, scoop").Replace(twoPonds))
	titles = nil
	for _, c := range stopped.Cards(Options{}) {
		titles = append(titles, c.Title)
		if c.Numbers[0].Words != "Do not dose" || len(c.Cautions) == 0 || len(c.Jobs) > 0 || strings.Contains(strings.Join(c.Cautions, " "), "under Accepted") {
			t.Errorf("the card of a stopped pond: %+v", c)
		}
	}
	if got := strings.Join(titles, "; "); !stopped.Stopped() || got != "Do not dose: east pond; Do not dose: west pond" {
		t.Errorf("stopped %v: %s", stopped.Stopped(), got)
	}
	for _, x := range stopped.data().Objects("ponds") {
		if x.Has("goes") || x.Has("portions") || x.Objects("chemicals")[0].Has("bucket") {
			t.Errorf("a stopped pond tells how to dose it: %v", x.Keys())
		}
	}
	if n := stopped.allNotes(); n.Worst() != note.Stop {
		t.Errorf("no stop is told")
	}
}

// TestPondCardsCarryTheirOwn: what is said of one pond stands on its card first, and on no other.
func TestPondCardsCarryTheirOwn(t *testing.T) {
	p := pondReport(t, `
place: {name: Moor farm (invented), purpose: animals, water_passes: standing}
water: {temperature: 24 C, pH: 7.8, alkalinity: 50 mg/L CaCO3, hardness: 30 mg/L, conductivity: 220 uS/cm, salinity: 0 g/kg, total_ammonia: 0.1 mg/L}
chemicals:
- {name: gypsum, product: gypsum, dose: 120 g/t, basis: as product}
- {name: alum, product: alum-dry, dose: 5 mg/L, basis: as alum 14-hydrate}
ponds:
- {name: clay pond, size: 500 m2 x 1 m, chemical: gypsum}
- {name: mild pond, size: 500 m2 x 1 m, chemical: alum}
- {name: sour pond, size: 500 m2 x 1 m, chemical: alum, dose: 42 mg/L}
animals:
- {name: carp, species: common carp, reached: always}
`)
	if p.Stopped() {
		t.Fatal(p.Ponds[2].Review.Notes.Only(note.Stop))
	}
	said := map[string]string{}
	for _, c := range p.Cards(Options{}) {
		if name, ok := strings.CutPrefix(c.Title, "Pond card: "); ok {
			said[name] = strings.Join(c.Cautions, "\n")
		}
	}
	own := func(n note.Note) bool {
		return strings.HasPrefix(n.Code, "ph-") || strings.HasPrefix(n.Code, "go-past")
	}
	told := 0
	for i, x := range p.Ponds {
		for _, n := range slices.DeleteFunc(p.onCard(i), func(n note.Note) bool { return !own(n) }) {
			for k, y := range p.Ponds {
				if on := strings.Contains(said[y.Name], upperFirst(n.Message)); on != (k == i || saysSo(y, n)) {
					t.Errorf("%s is on the card of %s %v: %s", x.Name, y.Name, on, n.Message)
				}
			}
			told++
		}
	}
	if told == 0 || !strings.Contains(said["sour pond"], "pH") || strings.Contains(said["clay pond"], "pH falls") {
		t.Errorf("%d told: %v", told, said)
	}
}

// TestPerArea: 1 lb/acre is 0.1120851 g/m2 (0.45359237 kg over 4046.8564224 m2).
func TestPerArea(t *testing.T) {
	p := perArea{1, 1000}
	v, unit := p.Show(quantity.US)
	if x := p.In("g/m2"); x != 1 || unit != "lb/acre" || math.Abs(v-1/0.1120851) > 1e-6*v || !math.IsNaN(p.In("kg")) {
		t.Error(x, v, unit)
	}
}

// TestOnADay: what notes have done on the day before has its date, 9 May 2026 being a Saturday; others stay as they are, and so does the plan that has no day.
func TestOnADay(t *testing.T) {
	notes := note.List{note.New(note.Caution, "alkalinity-low", "low").Do("spread bicarbonate, the day before"), note.New(note.Caution, "nh3-high", "high").Do("the day before is not the end")}
	p := Standing{Standing: dosing.Standing{Ponds: []dosing.PondPlan{{Review: dosing.Review{Findings: caution.Findings{Notes: notes}}}}}}
	on := p.On(month.Date{Year: 2026, Month: time.May, Day: 10}).Ponds[0].Review.Notes
	if on[0].Remedy != "spread bicarbonate, the day before (Sat 9 May)" || on[1].Remedy != "the day before is not the end" || p.Ponds[0].Review.Notes[0].Remedy != "spread bicarbonate, the day before" {
		t.Errorf("%v, %v", on, p.Ponds[0].Review.Notes)
	}
}

// TestGoDay: every day has its name, the first being day 1.
func TestGoDay(t *testing.T) {
	for at, want := range map[quantity.Time]string{6: "", 23.9: "", 30: "the day after", 54: "day 3", 78: "day 4", 126: "day 6", -18: "the day before", -42: "2 days before"} {
		if got := goDay(at); got != want {
			t.Errorf("at %v h: %q, want %q", at, got, want)
		}
	}
}
