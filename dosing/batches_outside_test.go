package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/site"
)

// plant is a place with one pump and one tank of stock, as its owner would put it on the back of an envelope.
type plant struct {
	name                string
	flow, spread, hours float64 // m3/h, share either way, h a day from 07:00
	dose, stock         float64 // mg/L as product, g/L
	most, step          float64 // L/h at 100 %, % between two marks of the knob
	tank, life, work    float64 // L of which nine tenths are usable, h, min
	product             string
	density             float64 // kg/L of a liquid, 0 of a powder
	days, batches       int     // how often it is made up: counted out below
}

// TestBatchesFromOutside works the batches of five places out another way than the program does: the pump at its knob's step gives so
// many litres an hour; at most it gives what its knob gives at the flow's upper end, or a twentieth more (a usual tolerance of a drawdown,
// common practice, no source); in a round as much is made as is planned to be drawn, each batch fills the tank to what lasts until the
// next comes at the fastest draw, which is counted here minute by minute, and nothing is drawn after its life.
func TestBatchesFromOutside(t *testing.T) {
	for _, x := range []plant{
		// 12 x 6 / 60 = 1.2 L/h: 20 % of 6 L/h. At a tenth more flow 1.32, so 22 %: 1.32 L/h. 10 h x 1.32 = 13.2 L a day; 54 L hold four days;
		// drawn last 3 x 24 + 10 h after the first start, within 96 h.
		{"dry alum that keeps", 6, 0.10, 10, 12, 60, 6, 1, 60, 96, 20, "alum-dry", 0, 4, 1},
		// The same with a life of 24 h: a day, 12 L.
		{"dry alum that keeps a day", 6, 0.10, 10, 12, 60, 6, 1, 60, 24, 20, "alum-dry", 0, 1, 1},
		// 30 x 40 / 100 = 12 L/h, 60 % of 20. A twentieth more is 12.6 L/h, at 4 % more flow 62 % = 12.4. 24 h take 302.4 L: of 117 L usable three a day.
		{"round the clock", 40, 0.04, 24, 30, 100, 20, 1, 130, 48, 15, "pacl-10", 1.2, 1, 3},
		// 8 x 25 / 80 = 2.5 L/h, 25 % of 10 L/h in steps of 5. At 4 % more 2.6, 26 %, so 25 % again: a twentieth more counts, 2.625 L/h x 8 h = 21 L a day.
		// 63 L usable hold three; a life of 72 h.
		{"coarse knob", 25, 0.04, 8, 8, 80, 10, 5, 70, 72, 30, "alum-liquid", 1.335, 3, 1},
		// The same at 8 % more: 27 %, of which 25 % is 7 % low and 30 % only 11 % high: 3 L/h, 24 L a day, two days.
		{"coarse knob, its upper step", 25, 0.08, 8, 8, 80, 10, 5, 70, 72, 30, "alum-liquid", 1.335, 2, 1},
		// 5 x 15 / 40 = 1.875 L/h; of 5 L/h 37.5, so 38 %: 1.9 L/h. At 9 % more 2.044, 41 %: 2.05. 16 h take 32.8 L: 18 L usable, two a day.
		{"small tank", 15, 0.09, 16, 5, 40, 5, 1, 20, 48, 10, "alum-dry", 0, 1, 2},
	} {
		s, err := site.Read("site.yaml", strings.NewReader(fmt.Sprintf(`
place: {name: "A place", purpose: "other", water_passes: "once through", example_values: "no", staffed_from: "00:00", staffed_till: "00:00"}
flow: {average_flow: "%g m3/h", flow_uncertainty: "%g %%", hours_a_day: "%g h", run_starts: "07:00"}
chemicals: [{name: "c", product: %q, dose: "%g mg/L", basis: "as product", stock: "made", pump: "p"}]
stocks: [{name: "made", product_in_stock: "%g g/L", tank: "t", life: "%g h", work: "%g min"}]
pumps: [{name: "p", largest_rate: "%g L/h", knob_step: "%g %%"}]
tanks: [{name: "t", use: "stock", volume: "%g L", usable: "90 %%"}]
`, x.flow, 100*x.spread, x.hours, x.product, x.dose, x.stock, x.life, x.work, x.most, x.step, x.tank)))
		if err != nil {
			t.Fatalf("%s: %v", x.name, err)
		}
		f := planOf(t, s, Given{Catalogue: products}).Feeds[0]
		gives := func(flow float64) float64 { // L/h at the nearest mark of the knob, or at the next where that is over 5 % low and the next less than twice as far off
			want := x.dose * flow / x.stock
			mark := math.Round(100*want/x.most/x.step) * x.step / 100 * x.most
			if next := mark + x.step/100*x.most; mark < 0.95*want && next-want < 2*(want-mark) {
				return next
			}
			return mark
		}
		usual := gives(x.flow)
		fastest := math.Max(1.05*usual, gives(x.flow*(1+x.spread)))
		if f.Every != x.days || len(f.Batches) != x.batches {
			t.Errorf("%s: %d batches every %d days, by hand %d every %d", x.name, len(f.Batches), f.Every, x.batches, x.days)
			continue
		}
		if days := math.Floor(0.9 * x.tank / (fastest * x.hours)); x.batches == 1 && (float64(x.days) > days || float64(x.days-1)*24+x.hours > x.life) {
			t.Errorf("%s: the case itself is wrong: %d days", x.name, x.days)
		}
		made, product := 0.0, 0.0
		for i, b := range f.Batches {
			next := float64(f.Batches[(i+1)%x.batches].Moved)
			if i == x.batches-1 {
				next += 24 * float64(x.days)
			}
			hours := 0.0 // of the run until the next comes in
			for m := math.Round(60 * float64(b.Moved)); m < math.Round(60*next); m++ {
				if since := math.Mod(m-7*60+1440*10, 1440); since < 60*x.hours {
					hours += 1.0 / 60
				}
			}
			v := float64(b.Volume)
			near(t, x.name+": a batch", v, usual*hours, 0.02)
			near(t, x.name+": what stands there then", float64(b.Full), fastest*hours, 0.02)
			near(t, x.name+": its product", float64(b.Recipe.Product), v*x.stock/1000, 1e-6)
			room := v * x.stock / 1000 * 0.5 // L a kg of powder, half a litre (common practice, no source)
			if x.density > 0 {
				room = v * x.stock / 1000 / x.density
			}
			near(t, x.name+": its water", float64(b.Recipe.Water), v-room, 0.01)
			near(t, x.name+": it ends", float64(b.Expires), float64(b.Made)+x.life, 1e-6)
			near(t, x.name+": the work", float64(b.Made-b.Start), x.work/60, 1e-6)
			if float64(b.Full) > 0.9*x.tank*(1+1e-9) {
				t.Errorf("%s: %+v", x.name, b)
			}
			made, product = made+v, product+float64(b.Recipe.Product)
		}
		near(t, x.name+": made in a round", made, usual*x.hours*float64(x.days), 1e-6)
		near(t, x.name+": product in a round", product, usual*x.hours*float64(x.days)*x.stock/1000, 1e-6)
	}
}
