package templates

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	account "jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// aprilAndMay are two months that use 3 kg a day (12.5 m3/h, 24 h, 10 mg/L) at 2 EUR/kg with 15 EUR a delivery, in packs of 50 kg
// that take 7 days; a clay beside it, 0.3 kg a day at 9 EUR/kg, lasts. 97 kg last 32 days: one pack has to be there on
// 3 May, and the last day to order it is Monday 26 April. 97 - 96 + 50 = 51 kg last 17 days: the next comes on 20 May, and its 50 kg
// are 16 days and 2 kg: that of 5 June is ordered 7 days before, on a Saturday, so on Friday 28 May.
func aprilAndMay(t *testing.T) Budget {
	t.Helper()
	eur := func(v float64) month.PriceList {
		return month.PriceList{Tiers: []month.Tier{{From: 1, Price: quantity.Price{Amount: v, Currency: "EUR", Per: "kg"}}},
			Delivery: quantity.Money{Amount: 15, Currency: "EUR"}}
	}
	week := month.EveryDay(24)
	for d := range week {
		week[d].Delivery = true
	}
	months, err := month.Months(month.Plan{
		Calendar:  month.Calendar{Month: month.Month{Year: 2027, Month: time.April}, Flow: 12.5, Week: week},
		OrderFrom: month.Date{Year: 2027, Month: time.January, Day: 1}, Doubt: month.Doubt{Draws: 100},
		Chemicals: []month.Chemical{
			{Name: "alum", Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 10}}, Effects: account.Effects{Strength: quantity.Some[quantity.Fraction](1)}, Prices: eur(2),
				Supply: month.Supply{Opening: 97, Pack: 50, OrderPacks: 1, LeadDays: 7, ShippingFactor: 1}},
			{Name: "clay", Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 1}}, Effects: account.Effects{Strength: quantity.Some[quantity.Fraction](1)}, Prices: eur(9),
				Supply: month.Supply{Opening: 500, Pack: 50, OrderPacks: 1, LeadDays: 7, ShippingFactor: 1}},
		},
	}, 2, nil)
	if err != nil {
		t.Fatal(err)
	}
	return Budget{Months: months}
}

// TestAnOrderIsOneAccount: the day to order, the day of arrival, the month that pays and the store are the same in text, JSON,
// CSV and picture, for an order that one month places and the next gets.
func TestAnOrderIsOneAccount(t *testing.T) {
	b := aprilAndMay(t)
	april, may := Budget{Months: b.Months[:1]}, Budget{Months: b.Months[1:]}
	type order struct{ by, arrives, paid string }
	first, next := order{"2027-04-26", "2027-05-03", "115"}, order{"2027-05-13", "2027-05-20", "115"} // 50 kg at 2 EUR and 15 EUR
	last := order{by: "2027-05-28", arrives: "2027-06-05"}

	for _, x := range []struct {
		of           Budget
		says, saysNo []string
	}{
		{april, []string{"Mon 26 April  Mon 3 May", "No delivery is to pay in the month; 115.00 EUR for what it orders fall due when that arrives, after it."}, []string{"arrive in the month"}},
		{may, []string{"ordered Mon 26 April  Mon 3 May", "Thu 13 May  Thu 20 May", "Fri 28 May    Sat 5 June", "To pay for deliveries that arrive in the month: 230.00 EUR; 115.00 EUR more for what it orders fall due when that arrives, after it."}, []string{"No delivery"}},
	} {
		text := shownText(t, x.of, Options{})
		for _, s := range x.says {
			holds(t, text, strings.Join(strings.Fields(s), " "))
		}
		for _, s := range x.saysNo {
			if strings.Contains(text, s) {
				t.Errorf("%q in\n%s", s, text)
			}
		}
	}

	in := monthData(april.Months[0])
	if cost := in.Sub("cost"); number(cost, "to_pay") != 0 || number(cost, "to_pay_later") != 115 {
		t.Errorf("April pays %v, later %v", cost.Get("to_pay"), cost.Get("to_pay_later"))
	}
	if cost := monthData(may.Months[0]).Sub("cost"); number(cost, "to_pay") != 230 || number(cost, "to_pay_later") != 115 {
		t.Errorf("May pays %v, later %v", cost.Get("to_pay"), cost.Get("to_pay_later"))
	}

	var placed, came []string
	for _, row := range b.Table().Rows {
		if row.Get("chemical") != "alum" {
			continue
		}
		if row.Get("packs_to_order") != 0 {
			placed = append(placed, row.Get("date").(string)+" for "+row.Get("arrives").(string))
		}
		if row.Get("packs_ordered") != 0 {
			came = append(came, row.Get("order_by").(string)+" for "+row.Get("date").(string)+fmt.Sprintf(" at %g", number(row, "to_pay")))
		} else if number(row, "to_pay") != 0 {
			t.Errorf("%v pays %v for nothing", row.Get("date"), row.Get("to_pay"))
		}
	}
	if got, want := strings.Join(placed, ", "), first.by+" for "+first.arrives+", "+next.by+" for "+next.arrives+", "+last.by+" for "+last.arrives; got != want {
		t.Errorf("CSV: ordered %s, want %s", got, want)
	}
	if got, want := strings.Join(came, ", "), first.by+" for "+first.arrives+" at "+first.paid+", "+next.by+" for "+next.arrives+" at "+next.paid; got != want {
		t.Errorf("CSV: came %s, want %s", got, want)
	}

	if d := april.Drawing(Options{}); d.Title != "Order alum by Mon 26 April 2027" || !strings.Contains(d.Note, "1 x 50 kg of alum arrive on Mon 3 May") {
		t.Errorf("picture of April: %q, %q", d.Title, d.Note)
	}
	if d := may.Drawing(Options{}); d.Title != "Order alum by Thu 13 May 2027" || !strings.Contains(d.Note, "1 x 50 kg of alum arrive on Sat 5 June") {
		t.Errorf("picture of May: %q, %q", d.Title, d.Note)
	}
}

// TestThePictureOrdersWhatTheTextOrders: the picture shows the dearest stores, and the order that its title names is that of the text
// also where a cheaper chemical is due first; a stopped month orders nothing.
func TestThePictureOrdersWhatTheTextOrders(t *testing.T) {
	b := aprilAndMay(t)
	m := &b.Months[0]
	for c := range 3 { // dearer ones that nothing is ordered of
		a := m.Accounts[1]
		a.Chemical.Name, a.Goods.Amount = string(rune('a'+c)), 1000
		m.Accounts = append(m.Accounts, a)
	}
	if d := b.Drawing(Options{}); d.Title != "Order alum by Mon 26 April 2027" {
		t.Errorf("title %q", d.Title)
	}
	m.Plan.Stopped = true
	if d := b.Drawing(Options{}); strings.HasPrefix(d.Title, "Order alum") {
		t.Errorf("stopped, and the title is %q", d.Title)
	}
}

// number is what a document has at a path, of what is there.
func number(o *figure.Object, path string) float64 {
	if !o.Has(path) {
		return math.NaN()
	}
	v, _ := o.Fig(path).Document()
	return v
}
