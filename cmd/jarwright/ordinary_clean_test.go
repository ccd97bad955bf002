package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// goods is a chemical of an ordinary site as its file has it: its dose in mg/L, how much of the product that counts,
// the density of a liquid and the product in a litre of stock (0: neat), and what a kg of product makes of dry solids.
type goods struct {
	dose, share, density, stock, solids float64
}

// Of molar masses (IUPAC 2021): hydroxide with the water that it binds, M(OH)3·3H2O, per kg of metal, and metal in what doses and labels count.
const (
	perAl = (26.9815 + 3*(15.999+1.008) + 3*h2o) / 26.9815
	perFe = (55.845 + 3*(15.999+1.008) + 3*h2o) / 55.845
	h2o   = 2*1.008 + 15.999
	// Al2(SO4)3.14H2O, Al2O3 and FeCl3.
	alInAlum  = 2 * 26.9815 / (2*26.9815 + 3*(32.06+4*15.999) + 14*(2*1.008+15.999))
	alInOxide = 2 * 26.9815 / (2*26.9815 + 3*15.999)
	feInFeCl3 = 55.845 / (55.845 + 3*35.45)
)

// TestOrdinaryCleanUps: each ordinary site whose water stands still in its tank and whose solids its turbidity tells cleans a basin of six hours of its flow up, from 40 to 8 NTU, which its unit
// brings to 1 NTU at best. The time is the closed form of the exponential fall, V/(Q x caught) x ln((40-1)/(8-1)); what is
// treated, used and wasted follows by mass balance, and the cost by prices of the goods, their delivery and the waste.
func TestOrdinaryCleanUps(t *testing.T) {
	const gallon, pound = 3.785411784, 0.45359237 // NIST SP 811
	al := func(share float64) float64 { return share * perAl }
	alum, pacl10, pacl18 := al(0.485*alInAlum), al(0.10*alInOxide), al(0.18*alInOxide)
	ferric := 0.40 * feInFeCl3 * perFe
	for file, x := range map[string]struct {
		flow, caught, dry float64
		settler           bool
		goods             map[string]goods
	}{
		"01-trout-beck": {9, 0.90, 0.01, true, map[string]goods{"alum": {9, 0.485, 1.335, 100, alum}}},
		"03-village":    {6, 0.92, 0.01, true, map[string]goods{"alum": {25, 1, 0, 50, al(0.99 * alInAlum)}}},
		"04-town-works": {3e6 * gallon / 24000, 0.95, 0.01, true,
			map[string]goods{"alum": {20, 0.485, 11.1 * pound / gallon, 0, alum}, "polymer": {0.1, 1, 0, 1, 0.9}}},
		"06-quarry-pond":       {60, 0.90, 0.05, true, map[string]goods{"flocculant": {1, 1, 0, 2, 0.9}}},
		"07-carp-ponds":        {30, 0.85, 0.01, true, map[string]goods{"ferric": {15, 0.40, 1.42, 0, ferric}}},
		"08-small-works-paced": {40, 0.95, 0.02, false, map[string]goods{"PACl": {15, 1, 1.37, 0, pacl18}}},
		"09-two-chemicals":     {50, 0.95, 0.01, true, map[string]goods{"alum": {18, 0.485, 1.335, 0, alum}, "polymer": {0.1, 1, 0, 1, 0.9}}},
		"10-shrimp-intake":     {15, 0.85, 0.01, true, map[string]goods{"PACl": {12, 1, 1.2, 100, pacl10}}},
	} {
		t.Run(file, func(t *testing.T) {
			t.Parallel()
			volume := 6 * x.flow
			text := string(contents(t, filepath.Join("testdata/ordinary", file+".yaml")))
			text = strings.Replace(text, "\ntanks:\n", "\ntanks:\n  - {name: basin, use: other, volume: "+fmt.Sprint(volume)+" m3}\n", 1)
			text = strings.Replace(text, "\nsolids:\n", "\nsolids:\n  tank_to_clean_up: basin\n  tank_turbidity: 40 NTU\n  clear_enough_at: 8 NTU\n"+
				"  outlet_at_best: 1 NTU\n  solids_per_ntu: 1.5\n", 1)
			text += "prices:\n  - {chemical: disposal of solids, price: 30 EUR/m3}\n"
			for name := range x.goods {
				text += "  - {chemical: " + name + ", price: 2 EUR/kg, pack: 25 kg, delivery_charge: 12 EUR, usual_order: 4}\n"
			}
			site := filepath.Join(t.TempDir(), "site.yaml")
			if err := os.WriteFile(site, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			var got struct {
				Running, Treated figureOf
				Use              []struct {
					Chemical       string
					Product        figureOf
					Product_volume *figureOf
					Stock          figureOf
				}
				Waste struct {
					Dry    struct{ Likely figureOf }
					Volume figureOf
				}
				Money struct {
					Total, Per_1000m3 figureOf
					Lines             []struct {
						Item string
						Cost figureOf
					}
				}
			}
			out, errs, _ := program(t, "clarify", site, "--date", "2026-05-04", "--format", "json")
			if err := json.Unmarshal([]byte(out), &got); err != nil {
				t.Fatalf("%v: %s", err, errs)
			}
			near := func(what string, f figureOf, want float64, unit string) {
				t.Helper()
				if math.Abs(f.Value-want) > 2e-5*want || f.Unit != unit {
					t.Errorf("%s: %.9g %s, by hand %.9g %s", what, f.Value, f.Unit, want, unit)
				}
			}
			hours := volume / (x.flow * x.caught) * math.Log((40.-1)/(8-1))
			near("running", got.Running, hours, "h")
			near("treated", got.Treated, x.flow*hours, "m3")
			made, total, delivery := (40.-8)*1.5*volume/1000, 0.0, 0.0
			costs := map[string]float64{}
			if len(got.Use) != len(x.goods) {
				t.Fatalf("%d chemicals used, want %d", len(got.Use), len(x.goods))
			}
			for _, u := range got.Use {
				g := x.goods[u.Chemical]
				kg := x.flow * hours * g.dose / g.share / 1000
				near(u.Chemical, u.Product, kg, "kg")
				if g.density > 0 {
					near("volume of "+u.Chemical, *u.Product_volume, kg/g.density, "L")
				}
				litres := kg / math.Max(g.density, 1e-9)
				if g.stock > 0 {
					litres = kg * 1000 / g.stock
				}
				near("stock of "+u.Chemical, u.Stock, litres, "L")
				made += kg * g.solids
				costs[u.Chemical] = kg * 2
				delivery += kg * 12 / (4 * 25)
			}
			near("dry solids", got.Waste.Dry.Likely, made, "kg")
			if x.settler { // a skimmer carries water too
				near("waste", got.Waste.Volume, got.Waste.Dry.Likely.Value/x.dry, "L")
			}
			costs["delivery charges"], costs["disposal of solids"] = delivery, got.Waste.Volume.Value/1000*30
			for _, l := range got.Money.Lines {
				near(l.Item, l.Cost, costs[l.Item], "EUR")
				delete(costs, l.Item)
				total += l.Cost.Value
			}
			if len(costs) > 0 {
				t.Errorf("not in the cost: %v", costs)
			}
			near("all", got.Money.Total, total, "EUR")
			near("per 1000 m3", got.Money.Per_1000m3, total/(x.flow*hours)*1000, "EUR/1000 m3")
		})
	}
}

// figureOf is a figure of a document.
type figureOf struct {
	Value float64
	Unit  string
}
