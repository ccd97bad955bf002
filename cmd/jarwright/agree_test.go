package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestOrdinarySitesAgree: the month of each ordinary site, which has no calendar, is 31 times its planned day in
// water, product and solids, and its pump stands where the plan sets it. Second route: the same answer of another command.
func TestOrdinarySitesAgree(t *testing.T) {
	t.Parallel()
	type quantity struct{ Value float64 }
	sites, err := filepath.Glob("testdata/ordinary/*.yaml")
	if err != nil || len(sites) < 10 {
		t.Fatalf("%v: %v", sites, err)
	}
	figures := 0
	for _, site := range sites {
		var plan struct {
			Flow  struct{ Treated quantity }
			Feeds []struct {
				Chemical  string
				Product   quantity `json:"product_use"`
				StockRate quantity `json:"stock_rate"`
				Pump      struct{ Knob, Gives quantity }
			}
			Solids struct{ Dry, Volume quantity }
		}
		var budget struct {
			Months []struct {
				Treated quantity
				Use     []struct {
					Chemical string
					Product  quantity
				}
				Dry quantity `json:"dry_solids"`
				Wet quantity `json:"wet_solids"`
			}
		}
		var pumps struct {
			Pumps []struct {
				Chemical string
				Settings []struct{ Rate, Setting, Gives quantity }
			}
		}
		answered(t, &plan, "plan", site)
		answered(t, &budget, "budget", site, "--date", "2026-05", "--draws", "100")
		answered(t, &pumps, "pump", site)
		same := func(what string, a, b float64) {
			if a > 0 {
				figures++
			}
			if math.Abs(a-b) > 1e-9*math.Max(math.Abs(a), math.Abs(b)) {
				t.Errorf("%s, %s: %.12g and %.12g", site, what, a, b)
			}
		}
		month := budget.Months[0]
		same("water", 31*plan.Flow.Treated.Value, month.Treated.Value)
		same("dry solids", 31*plan.Solids.Dry.Value, month.Dry.Value)
		same("float or sludge", 31*plan.Solids.Volume.Value, month.Wet.Value)
		for i, f := range plan.Feeds {
			same(f.Chemical, 31*f.Product.Value, month.Use[i].Product.Value)
			for _, p := range pumps.Pumps {
				if p.Chemical == f.Chemical && len(p.Settings) == 1 {
					same("rate of "+f.Chemical, f.StockRate.Value, p.Settings[0].Rate.Value)
					same("setting of "+f.Chemical, f.Pump.Knob.Value, p.Settings[0].Setting.Value)
					same("what gives "+f.Chemical, f.Pump.Gives.Value, p.Settings[0].Gives.Value)
				}
			}
		}
	}
	if figures < 60 {
		t.Errorf("%d figures above nothing were compared", figures)
	}
}

// heldLoop is a loop of 80 m3 with a tenth of new water a day that its unit holds at 8 NTU, 3.5 hours a day at 10 m3/h.
const heldLoop = `
place: {name: "Tilapia loop (invented)", purpose: "animals", water_passes: "recirculating", example_values: "no", date: "2026-05-04", staffed_from: "06:00", staffed_till: "20:00", currency: "EUR"}
water: {temperature: "24 C", ph: "7.1", alkalinity: "90 mg/L CaCO3", hardness: "90 mg/L", salinity: "0 g/kg", doc: "6 mg/L", turbidity: "25 NTU", total_ammonia: "0.8 mg/L", new_water: "10 %", water_in_the_system: "80 m3"FLOOR}
flow: {average_flow: "10 m3/h", run_starts: "08:00", hours_a_day: "8 h"}
chemicals: [{name: "alum", product: "alum-liquid", dose: "20 mg/L", basis: "as alum 14-hydrate", strength: "48.5 %", density: "1.33 kg/L", pump: "pump 1"}]
pumps: [{name: "pump 1", largest_rate: "1 L/h"}]
tanks: [{name: "loop", use: "animals", volume: "80 m3"}]
solids: {unit: "flotation", solids_caught: "55 %", tank_to_clean_up: "loop", tank_turbidity: "25 NTU", clear_enough_at: "8 NTU", outlet_at_best: "1 NTU", hold_at: "8 NTU"}
animals: [{name: "tilapia", species: "tilapia", stage: "grow-out", reached: "always"}]
prices: [{chemical: "alum", price: "0.4 EUR/kg", pack: "25 kg", lead_time: "5 d", on_hand: "100 kg"}]
`

// TestALoopHasOneAlkalinity: what such days bring a loop's alkalinity to is one figure in the plan and in the days of holding after a
// clean-up, in JSON, in the line under the table, in the caution and in what alkali the month lacks. Second route: the loop is followed
// here minute by minute for two hundred days. 20 mg/L of alum 14-hydrate take 20 x 6/594.38 x 50.0435 = 10.104 mg/L CaCO3 at each pass.
func TestALoopHasOneAlkalinity(t *testing.T) {
	t.Parallel()
	type quantity struct{ Value float64 }
	type loop struct {
		Begins   quantity `json:"alkalinity_begins"`
		EndOfRun quantity `json:"alkalinity_end_of_run"`
		Steady   quantity `json:"alkalinity_steady"`
	}
	type alkali struct {
		Goal string
		Use  quantity `json:"product_use"`
	}
	type said struct {
		Notes []struct{ Code, Message string }
	}
	for _, floor := range []string{"", `, alkalinity_to_leave: "70 mg/L CaCO3"`} {
		site := filepath.Join(t.TempDir(), "site.yaml")
		write(t, site, strings.Replace(heldLoop, "FLOOR", floor, 1))
		var plan struct {
			Loop    loop
			Alkalis []alkali
			Flow    struct{ Hours quantity }
			said
		}
		var clarify struct {
			Hold struct {
				Loop    loop
				Alkalis []alkali
			}
			said
		}
		var budget said
		answered(t, &plan, "plan", site)
		answered(t, &clarify, "clarify", site)
		answered(t, &budget, "budget", site, "--date", "2026-05", "--draws", "100")
		held := clarify.Hold.Loop
		if plan.Loop.Steady != held.Steady || held.Steady.Value <= 0 || held.Begins.Value <= 0 || plan.Loop.Begins.Value != 0 {
			t.Errorf("plan %+v, days of holding %+v", plan.Loop, held)
		}
		// The plan begins with the water as it is given, the days of holding with what the clean-up leaves.
		falls := map[string]string{}
		for _, x := range []struct {
			command, begins string
			loop            loop
			from            float64
		}{{"plan", "The loop has", plan.Loop, 90}, {"clarify", fmt.Sprintf("The loop, which begins with %.1f mg/L CaCO3, has", held.Begins.Value), held, held.Begins.Value}} {
			end, steady := followedLoop(plan.Flow.Hours.Value, x.from)
			if math.Abs(x.loop.EndOfRun.Value-end) > 0.02 || math.Abs(x.loop.Steady.Value-steady) > 0.02 {
				t.Errorf("%s: %.2f and %.2f mg/L, followed by the minute %.2f and %.2f", x.command, x.loop.EndOfRun.Value, x.loop.Steady.Value, end, steady)
			}
			falls[x.command] = fmt.Sprintf("loop's alkalinity falls from %.3g to %.1f mg/L CaCO3 in the days to come", x.from, steady)
			text := strings.Join(strings.Fields(answer(t, x.command, site)), " ")
			for _, want := range []string{fmt.Sprintf("%s %.1f mg/L CaCO3 of alkalinity by the end of the run, %.1f mg/L CaCO3 in the long run.", x.begins, end, steady), falls[x.command]} {
				if !strings.Contains(text, want) {
					t.Errorf("%s lacks %q", x.command, want)
				}
			}
		}
		for command, notes := range map[string]said{"plan": plan.said, "clarify": clarify.said} {
			told := false
			for _, n := range notes.Notes {
				told = told || strings.Contains(n.Message, falls[command])
			}
			if !told {
				t.Errorf("no note of %s says %q", command, falls[command])
			}
		}
		if len(plan.Alkalis) == 0 || len(plan.Alkalis) != len(clarify.Hold.Alkalis) {
			t.Errorf("%d ways to hold it in the plan, %d after the clean-up", len(plan.Alkalis), len(clarify.Hold.Alkalis))
			continue
		}
		month := ""
		for _, n := range budget.Notes {
			if n.Code == "alkali-not-in-cost" {
				month = n.Message
			}
		}
		found := regexp.MustCompile(`such as ([0-9.]+) kg/d`).FindStringSubmatch(month)
		same := false
		for i, a := range plan.Alkalis {
			same = same || found != nil && found[1] == fmt.Sprintf("%.3g", a.Use.Value)
			if a != clarify.Hold.Alkalis[i] {
				t.Errorf("plan %+v, days of holding %+v", a, clarify.Hold.Alkalis[i])
			}
		}
		if !same {
			t.Errorf("the month says %q, the plan %+v", month, plan.Alkalis)
		}
	}
}

// followedLoop is the alkalinity of such a loop at the end of the first day's run and in the long run, followed in steps of a tenth of a minute.
func followedLoop(hours, level float64) (first, last float64) {
	const volume, exchange, flow, raw, step = 80.0, 8.0 / 24 / 60, 10.0 / 60, 90.0, 0.1
	pass := 20 * 6 / 594.38 * 50.0435
	run := int(math.Round(hours * 60 / step))
	for day := range 200 {
		for i := range int(24 * 60 / step) {
			change := exchange * (raw - level)
			if i < run {
				change -= flow * pass
			}
			if level += change / volume * step; i == run-1 {
				last = level
			}
		}
		if day == 0 {
			first = last
		}
	}
	return first, last
}

// dearGoods is a works whose solution keeps for 14 days in drums of 250 kg, of which it uses 4.8 kg a day.
const dearGoods = `
place: {name: "Beck (invented)", purpose: "other", water_passes: "once through", example_values: "no", currency: "EUR"}
water: {turbidity: "25 NTU"}
flow: {average_flow: "12 m3/h", hours_a_day: "20 h"}
chemicals: [{name: "PAC", product: "pacl-10", dose: "20 mg/L", basis: "as product", density: "1.2 kg/L", pump: "P1"}]
pumps: [{name: "P1", largest_rate: "6 L/h"}]
prices: [{chemical: "PAC", price: "0.6 EUR/kg", pack: "250 kg", delivery: "60 EUR", lead_time: "5 d", on_hand: "40 kg", shelf_life: "14 d", days_kept: "2"}]
`

// TestOneNameOneCost: what a chemical costs is its goods under its name in text, JSON and CSV; its share of the deliveries and what goes out of
// date stand under names of their own, and together they are the month. 4.8 kg a day at 0.6 EUR, 60 EUR on each 250 kg.
func TestOneNameOneCost(t *testing.T) {
	t.Parallel()
	site := filepath.Join(t.TempDir(), "site.yaml")
	write(t, site, dearGoods)
	var budget struct {
		Months []struct {
			Use []struct {
				Cost          float64
				DeliveryCost  float64                 `json:"delivery_cost"`
				OutOfDateCost float64                 `json:"out_of_date_cost"`
				Expired       struct{ Value float64 } `json:"out_of_date"`
				Product       struct{ Value float64 }
			}
			Cost struct {
				Total float64
				Lines []struct {
					Item string
					Cost float64
				}
			}
		}
	}
	args := []string{"budget", site, "--date", "2026-05", "--draws", "100"}
	answered(t, &budget, args...)
	m := budget.Months[0]
	u := m.Use[0]
	lines := map[string]float64{}
	for _, l := range m.Cost.Lines {
		lines[l.Item] = l.Cost
	}
	if u.Expired.Value <= 0 || math.Abs(u.Cost-0.6*u.Product.Value) > 1e-6 || math.Abs(u.OutOfDateCost-u.Expired.Value*(0.6+60./250)) > 1e-6 {
		t.Errorf("%+v", u)
	}
	sums := map[string]float64{}
	rows, err := csv.NewReader(strings.NewReader(answer(t, append(args, "--format", "csv")...))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		r := record{}
		for i, cell := range row {
			r[rows[0][i]] = cell
		}
		for _, key := range []string{"cost", "delivery_cost", "out_of_date_cost"} {
			sums[key] += r.number(key)
		}
	}
	for _, x := range []struct {
		what      string
		line, use float64
		sum       float64
	}{{"PAC", lines["PAC"], u.Cost, sums["cost"]}, {"delivery charges", lines["delivery charges"], u.DeliveryCost, sums["delivery_cost"]},
		{"goods out of date", lines["goods out of date"], u.OutOfDateCost, sums["out_of_date_cost"]}} {
		if x.line <= 0 || math.Abs(x.line-x.use) > 1e-6 || math.Abs(x.line-x.sum) > 1e-6 {
			t.Errorf("%s: line %g, use %g, days %g", x.what, x.line, x.use, x.sum)
		}
		if text := answer(t, args...); !strings.Contains(text, fmt.Sprintf("%.2f EUR", x.line)) {
			t.Errorf("%s: no %.2f EUR in the text", x.what, x.line)
		}
	}
	if math.Abs(u.Cost+u.DeliveryCost+u.OutOfDateCost-m.Cost.Total) > 1e-6 {
		t.Errorf("parts of %+v make no %g", u, m.Cost.Total)
	}
}
