package main

import (
	"math"
	"path/filepath"
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
