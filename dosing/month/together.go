package month

import (
	"jarwright/dosing"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// Together is what several months come to as one, and what pumps and stores have to be able to do in them.
type Together struct {
	Treated quantity.Volume
	Total   quantity.Money
	Days    []dosing.Plan // the usual day of each month
	Uses    []Through
}

// Through is one chemical over all the months.
type Through struct {
	Name    string
	Product quantity.Mass
	// Goods and Freight are what is paid for the goods used and for their delivery.
	Goods, Freight quantity.Money
	// Most is what stands in the store at most, on MostOn.
	Most   quantity.Mass
	MostOn Date
	Pump   *PumpRange // nil where no pump feeds it
}

// PumpRange is what a pump has to give over the months, between the least flow of the month that needs
// least and the peak flow of the one that needs most, in all the waters that the site has a dose for.
type PumpRange struct {
	Name            string
	Least, Peak     quantity.FeedRate
	LeastIn, PeakIn Month
	// LeastOf and PeakOf name the water in which it gives that, where it is not the usual one.
	LeastOf, PeakOf string
	// From and To are what it gives.
	From, To quantity.FeedRate
	Remedy   pump.Remedy
}

// Needed is the turndown that the months ask for; zero where nothing is fed at times.
func (p PumpRange) Needed() quantity.Ratio {
	if p.Least <= 0 {
		return 0
	}
	return quantity.Ratio(p.Peak / p.Least)
}

// Reaches reports that the pump gives all of it with the stock as it is.
func (p PumpRange) Reaches() bool { return p.Remedy.Reach == pump.Within && p.Remedy.Pumps <= 1 }

// dayIn is the usual day of a site in a month.
func dayIn(s site.Site, g dosing.Given, m Month) (dosing.Plan, error) {
	s, g, err := dosing.InSeason(s, g, m.Month)
	if err != nil {
		return dosing.Plan{}, err
	}
	in, err := dosing.FromSite(s, g)
	if err != nil {
		return dosing.Plan{}, err
	}
	return dosing.Make(in)
}

// Sum gives the months of a site together. A usual day that cannot be planned is a fault.
func Sum(s site.Site, g dosing.Given, months []Budget) (Together, error) {
	var out Together
	for i, b := range months {
		usual, err := dayIn(s, g, b.Plan.Calendar.Month)
		if err != nil {
			return out, err
		}
		out.Days = append(out.Days, usual)
		out.Treated += b.Treated
		out.Total = quantity.Money{Amount: out.Total.Amount + b.Total.Amount, Currency: b.Total.Currency}
		for k, a := range b.Accounts {
			if i == 0 {
				out.Uses = append(out.Uses, Through{Name: a.Chemical.Name})
			}
			out.Uses[k].add(b.Plan.Calendar.Month, a)
		}
		for _, f := range usual.Feeds {
			for k := range out.Uses {
				if out.Uses[k].Name == f.Name {
					out.Uses[k].pumped(b, f)
				}
			}
		}
	}
	return out, nil
}

func (t *Through) add(m Month, a Account) {
	t.Product += a.Use
	t.Goods = quantity.Money{Amount: t.Goods.Amount + a.Goods.Amount, Currency: a.Goods.Currency}
	t.Freight = quantity.Money{Amount: t.Freight.Amount + a.Freight.Amount, Currency: a.Freight.Currency}
	for _, d := range a.Stock[:m.Days()] {
		if !a.Chemical.Supply.NotSaid && d.Full > t.Most {
			t.Most, t.MostOn = d.Full, d.Date
		}
	}
}

// pumped widens what the pump has to do by a month.
func (t *Through) pumped(b Budget, f dosing.Feed) {
	if f.Pump == nil || !f.Fed || f.Dose.Concentration <= 0 {
		return
	}
	m := b.Plan.Calendar.Month
	if t.Pump == nil {
		t.Pump = &PumpRange{Name: f.PumpName, Least: f.Least, Peak: f.Peak, LeastIn: m, PeakIn: m, From: f.Pump.Smallest(), To: f.Pump.Capacity()}
	}
	p := t.Pump
	widen := func(least, peak quantity.FeedRate, water string) {
		if least < p.Least {
			p.Least, p.LeastIn, p.LeastOf = least, m, water
		}
		if peak > p.Peak {
			p.Peak, p.PeakIn, p.PeakOf = peak, m, water
		}
	}
	widen(f.Least, f.Peak, "")
	for _, c := range b.Classes {
		if c.Share > 0 && !c.CleanUp {
			times := quantity.FeedRate(f.DoseIn(c.Name).Concentration / f.Dose.Concentration)
			widen(f.Least*times, f.Peak*times, c.Name)
		}
	}
	p.Remedy = f.Fit(p.Least, p.Peak)
}
