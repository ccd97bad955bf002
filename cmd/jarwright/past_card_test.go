package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// pastSite is a works whose alum takes its dose from past tests: the product is 48.5 % as alum 14-hydrate, its stock 200 g of it in a litre,
// the pump gives 4 L/h at most and stands at whole per cent.
const pastSite = `place: {name: beck works, purpose: drinking water, water_passes: once through}
water: {temperature: 8 C, ph: 7.4, alkalinity: 120 mg/L CaCO3, turbidity: 15 NTU}
flow: {average_flow: 12 m3/h, least_flow: 6 m3/h, peak_flow: 15 m3/h}
chemicals:
  - {name: alum, product: alum-liquid, basis: as alum 14-hydrate, bench_sheet: past, target: turbidity <= 5 NTU, stock: alum stock, pump: pump 1}
stocks:
  - {name: alum stock, product_in_stock: 200 g/L}
pumps:
  - {name: pump 1, largest_rate: 4 L/h, knob_step: 1 %}
`

// number of a document.
type valued struct{ Value float64 }

// TestPastCardByHand works the whole card of a site with past tests out anew, from the classes and doses that track tells: a dose of mg/L times
// m3/h is so many g/h, over 0.485 so much product, over 200 g/L so many litres an hour; the setting is the next whole per cent of 4 L/h
// that feeds no less, and what is over 100 is out of range. The document, CSV, text and the card of the page of plan, and pump's CSV, say the same.
func TestPastCardByHand(t *testing.T) {
	t.Chdir(t.TempDir())
	demoInputs(t, ".")
	if err := os.WriteFile("site.yaml", []byte(pastSite), 0o644); err != nil {
		t.Fatal(err)
	}
	var law struct {
		Models []struct {
			Classes []struct {
				From, To valued
				Tests    int
				Dose     *valued `json:"planning_dose"`
			}
		}
	}
	answered(t, &law, "track", "past", "--raw", "15 NTU", "--target", "turbidity <= 5 NTU")
	var doc struct {
		Feeds []struct {
			Past struct {
				Card []struct {
					From, To, Dose valued
					Tests          int
					Settings       []struct {
						Flow, Rate, Setting valued
						In                  bool `json:"in_range"`
					}
				} `json:"by_raw_water"`
			} `json:"past_tests"`
		}
	}
	answered(t, &doc, "plan", "site.yaml")
	card := doc.Feeds[0].Past.Card
	told := law.Models[0].Classes[:0:0]
	for _, c := range law.Models[0].Classes {
		if c.Dose != nil {
			told = append(told, c)
		}
	}
	if len(card) != 4 || len(told) < len(card) {
		t.Fatalf("%d classes, track tells %d", len(card), len(told))
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	type entry struct {
		flow, rate, setting float64
		in                  bool
	}
	var all []entry
	text := answer(t, "plan", "site.yaml")
	page := ""
	if _, errs, code := program(t, "plan", "site.yaml", "-o", "plan.html"); code != exitDone {
		t.Fatal(errs)
	}
	page = string(contents(t, "plan.html"))
	for i, c := range card {
		near("from", c.From.Value, told[i].From.Value)
		near("to", c.To.Value, told[i].To.Value)
		near("dose", c.Dose.Value, told[i].Dose.Value)
		if c.Tests != told[i].Tests {
			t.Errorf("%d tests, want %d", c.Tests, told[i].Tests)
		}
		row := ""
		for k, flow := range []float64{6, 8.2, 10, 13, 15} { // the least and the peak, and between them those that people read off a meter
			litres := c.Dose.Value * flow / 0.485 / 200
			want := entry{flow, litres * 1000 / 60, math.Ceil(100*litres/4 - 1e-9), 100*litres/4 <= 100}
			got := c.Settings[k]
			near("flow", got.Flow.Value, want.flow)
			near("rate", got.Rate.Value, want.rate)
			if got.In != want.in || want.in && got.Setting.Value != want.setting {
				t.Errorf("%v NTU, %v m3/h: %+v, want %+v", c.To.Value, flow, got, want)
			}
			if cell := fmt.Sprintf("%.0f %%", want.setting); want.in {
				row += " " + cell
			} else {
				row += " out of range"
			}
			all = append(all, want)
		}
		line := fmt.Sprintf("%.0f to %.0f NTU %.1f mg/L%s", c.From.Value, c.To.Value, c.Dose.Value, row)
		if !strings.Contains(strings.Join(strings.Fields(text), " "), line) {
			t.Errorf("the text lacks %q:\n%s", line, text)
		}
		if bare := strings.Join(strings.Fields(row), ""); !strings.Contains(bareOf(page), bare) {
			t.Errorf("the page lacks %q", row)
		}
	}
	for _, x := range []struct {
		args                []string
		flow, rate, setting string
	}{
		{[]string{"plan", "site.yaml"}, "flow_m3_per_h", "stock_rate_ml_per_min", "setting_percent"},
		{[]string{"pump", "site.yaml"}, "flow_m3_per_h", "feed_ml_per_min", "setting_percent"},
	} {
		rows, err := csv.NewReader(strings.NewReader(answer(t, append(x.args, "--format", "csv")...))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		at := 0
		for _, r := range rows[1:] {
			of := record{}
			for i, h := range rows[0] {
				of[h] = r[i]
			}
			if of["for"] != "raw water" {
				continue
			}
			want, class := all[at], card[at/5]
			near(x.args[0]+" flow", of.number(x.flow), want.flow)
			near(x.args[0]+" rate", of.number(x.rate), want.rate)
			near(x.args[0]+" from", of.number("raw_from_ntu"), class.From.Value)
			near(x.args[0]+" to", of.number("raw_to_ntu"), class.To.Value)
			if of["in_range"] != fmt.Sprint(want.in) || want.in && of.number(x.setting) != want.setting {
				t.Errorf("%s: %v, want %+v", x.args[0], of, want)
			}
			at++
		}
		if at != len(all) {
			t.Errorf("%s: %d rows of the card, want %d", x.args[0], at, len(all))
		}
	}
}

// bareOf is a page without its marks and blanks.
func bareOf(page string) string {
	var b strings.Builder
	in := false
	for _, r := range strings.NewReplacer("&nbsp;", "", "\u00a0", "", "&#160;", "").Replace(page) {
		switch {
		case r == '<':
			in = true
		case r == '>':
			in = false
		case !in && r != ' ' && r != '\n':
			b.WriteRune(r)
		}
	}
	return b.String()
}
