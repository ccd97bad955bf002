package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestSlowAlkaliGoesDaysBefore: agricultural lime dissolves over days, so that it is spread three days before what takes alkalinity and none of it is
// counted by then: 40 mg/L stay 40. Bicarbonate dissolves at once, and goes in on the day before.
func TestSlowAlkaliGoesDaysBefore(t *testing.T) {
	for _, x := range []struct {
		row  string
		at   quantity.Time
		slow bool
	}{{"ag-lime, dose: 25 g/m3", 6 - 72, true}, {"bicarbonate, dose: 20 g/m3", 6 - 24, false}} {
		p := onePond(t, fmt.Sprintf(tilapiaPond, "8.2", "40", "25", "\n- {name: own, product: "+x.row+", basis: as product}"))
		first := p.Goes[0]
		if h := p.Goods[1]; first.Feed != 1 || first.At != x.at || h.Slow() != x.slow || p.Goods[0].Slow() {
			t.Errorf("%s: %+v, slow %v", x.row, first, h.Slow())
		}
		if a := float64(first.Water.AlkalinityLeft); (math.Abs(a-40) < 1e-9) != x.slow {
			t.Errorf("%s: %v mg/L once it is in", x.row, a)
		}
	}
}

// TestGoesKeepToTheStepTheyTell: 30 mg/L of alum 14-hydrate take water of 100 mg/L CaCO3 and pH 8.2 past half a pH at a time in four goes, by 0.54, and not in five; what
// the plan chooses keeps to the step as it is told, in hundredths, and no note says that it does not. 40 mg/L at pH 8.6 do so in no number of goes that a
// day has hours for: the plan keeps to four, and says so.
func TestGoesKeepToTheStepTheyTell(t *testing.T) {
	for _, x := range []struct {
		ph, alkalinity, dose string
		goes                 int
		still                bool
	}{{"8.2", "100", "30", 5, false}, {"8.6", "80", "40", 4, true}} {
		p := onePond(t, fmt.Sprintf(tilapiaPond, x.ph, x.alkalinity, x.dose, ""))
		if p.Portions != x.goes {
			t.Errorf("pH %s: %d goes, want %d", x.ph, p.Portions, x.goes)
		}
		step := float64(p.step().V)
		if hundredths := math.Round(step*100) / 100; step != hundredths || (step > 0.5) != x.still {
			t.Errorf("pH %s: a step of %v", x.ph, step)
		}
		for _, code := range []string{"ph-step-some", "ph-step"} {
			if codeOf(p.Review.Notes, code) != "" && !x.still {
				t.Errorf("pH %s: %s is said", x.ph, code)
			}
		}
		chosen, _ := noted(p.Notes, "portions-chosen")
		said := strings.Contains(chosen.Message, "it still does in these, and would in as many as a day has hours for")
		if said != x.still {
			t.Errorf("pH %s: %q", x.ph, chosen.Message)
		}
	}
}

// flocHall is a loop of 200 m3 that 1 % of new water a day renews, held at a level by a unit that its flow is just too little for.
const flocHall = `place: {name: Hall, purpose: animals, water_passes: recirculating, example_values: "no"}
water: {temperature: 28 C, ph: 7.5, alkalinity: ALK mg/L CaCO3, hardness: 150 mg/L, new_water: 1 %, water_in_the_system: 200 m3, total_ammonia: 0.8 mg/L}
flow: {average_flow: FLOW m3/h, hours_a_day: 24 h}
chemicals: [{name: polymer, product: apam-dry, dose: 0.5 mg/L, basis: as product}]
tanks: [{name: floc tank, use: animals, volume: 200 m3}]
solids: {unit: settler, solids_caught: 50 %, float_or_sludge_solids: 1.5 %, tank_to_clean_up: floc tank, tank_turbidity: 30 mL/L, clear_enough_at: 12 mL/L, hold_at: 12 mL/L, cone_pairs: "10 mL/L=150 mg/L; 20 mL/L=260 mg/L; 35 mL/L=410 mg/L"}
animals: [{name: tilapia, species: tilapia, reached: always, feed_eaten_a_day: 30 kg/d, protein_in_the_feed: 32 %}]
`

// TestOneAlkaliOfAHeldTank: 30 kg of feed with 32 % protein bring 0.092 x 0.32 x 30 = 0.8832 kg/d of ammonia nitrogen (Timmons and Ebeling, from memory), which
// take 2 x 50.0437 / 14.007 = 7.1455 times as much alkalinity, 6.311 kg/d; 2 m3/d of new water bring 120 - 50 = 70 mg/L more than the tank keeps, 0.14 kg/d.
// (A unit that rests asks for 0.01 kg/d more, to keep 50 to the end of its rest.) Clean-up and plan of the same site name 6.17 kg/d, whether the unit can hold the tank or not; what the clean-up is stopped by names it too.
func TestOneAlkaliOfAHeldTank(t *testing.T) {
	for _, x := range []struct{ flow, alk string }{{"2", "120"}, {"6", "150"}} {
		text := strings.NewReplacer("FLOW", x.flow, "ALK", x.alk).Replace(flocHall)
		s, err := site.Read("hall.yaml", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		var alk float64
		fmt.Sscan(x.alk, &alk)
		lacks, holds, ok := c.Alkali()
		want := 0.092*0.32*30*2*50.0437/14.007 - 2*(alk-50)/1000
		if !ok || holds != 50 || math.Abs(float64(lacks)-want) > 0.015 {
			t.Errorf("flow %s: %v kg/d for %v mg/L, by hand %v", x.flow, float64(lacks), holds, want)
		}
		held, g, err := AsHeld(s, Given{Catalogue: products})
		if err != nil {
			t.Fatal(err)
		}
		p := planOf(t, held, g)
		if _, r := p.Reviewed(held, time.Time{}); r.Loop == nil || math.Abs(float64(r.Loop.Lacks.V-lacks)) > 5e-3 {
			t.Errorf("flow %s: the plan has %+v, the clean-up %v", x.flow, r.Loop, float64(lacks))
		}
		n, ok := noted(c.Notes, clarify.LoopGone)
		if !ok || !strings.Contains(n.Remedy, quantity.To(lacks, 3).String()) || x.flow == "2" && !strings.Contains(n.Remedy, "give back 6.17 kg/d, as CaCO3, for 50 mg/L CaCO3 to stay") {
			t.Errorf("flow %s: %q", x.flow, n.Remedy)
		}
		if n, _ := noted(held.Notes, LoopTooFar); x.flow == "2" && !strings.Contains(n.Message, "reads 30 mL/L in the cone (360 mg/L) and does not come down to 12 mL/L in the cone (172 mg/L)") {
			t.Errorf("%q", n.Message)
		}
	}
}

// TestPHOfAFedRunIsNoSecondStop: where the feed alone takes the alkalinity, a stop tells it and no second one is told of the pH that follows; a dose that takes
// some keeps both, as no other cause is told for its pH.
func TestPHOfAFedRunIsNoSecondStop(t *testing.T) {
	gone := []caution.Said{{Note: note.New(note.Stop, clarify.LoopGone, "gone")}}
	for _, x := range []struct {
		takes quantity.Ratio
		said  []caution.Said
		alone bool
	}{{0, gone, true}, {0.5051, gone, false}, {0, nil, false}} {
		c := Cleaning{}
		c.Result.Tank.Chemicals = []clarify.Chemical{{Name: "polymer"}, {Name: "alum"}}
		c.Result.Tank.Chemicals[1].AlkalinityUse = x.takes
		c.CleaningInput.Tank = c.Result.Tank
		if got := c.fedAlone(x.said); got != x.alone {
			t.Errorf("%v: %v", x, got)
		}
	}
}

// TestLimitsOfThoseThatComeBack: trout are kept out while 1 mg/L of polyDADMAC of 40 % is dosed, and come back to what it leaves: half of 0.271 mg/L of active
// polymer, which killed half of rainbow trout (Goodrich et al. 1991, abstract), stops a plan, and a hundredth calls for care. Told as active polymer beside
// what is left, they stop no clean-up.
func TestLimitsOfThoseThatComeBack(t *testing.T) {
	p, err := products.Find("pdadmac")
	if err != nil {
		t.Fatal(err)
	}
	var around caution.Situation
	s, err := site.Read("h.yaml", strings.NewReader("place: {name: H, purpose: animals, water_passes: recirculating}\nanimals: [{name: trout, species: rainbow trout, stage: fry, reached: never}]\n"))
	if err != nil {
		t.Fatal(err)
	}
	Surroundings(&around, s, time.Time{})
	c, err := clarify.Of("polymer", p, quantity.AsProduct, clarify.Always(1), 0, around.Stock)
	if err != nil || c.StopAt != 0 || c.Holds != 0 || len(around.Back) != 1 {
		t.Fatalf("%+v %v, back %d", c, err, len(around.Back))
	}
	c.ForBack(p, around.Back)
	of := quantity.Concentration(c.Holds)
	if math.Abs(float64(c.Holds)-0.4) > 1e-9 || math.Abs(float64(of*c.BackStop)-0.0271) > 1e-9 || math.Abs(float64(of*c.BackCare)-0.00271) > 1e-9 || c.StopAt != 0 || c.WarnAt != 0 || len(c.Stops) != 0 {
		t.Errorf("%+v", c)
	}
}
