package main

import (
	"slices"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/templates"
)

func newBudget(e *env) *cobra.Command {
	var opt month.Options
	months := 1
	c := &cobra.Command{
		Use:   "budget [SITE]",
		Short: "The month: use, cost, orders, range",
		Long: `Budgets a month from a site workbook (.xlsx) or site.yaml: what each chemical
comes to day by day, what must be ordered by when so that it never runs out and
never overfills the store, what the month costs, and how far that may be off.
Without SITE it reads site.xlsx in this folder. The month is that of --date, else
that of the date in the site under Place.

Prices, packs, lead times and stocks stand in the site under Prices, days that differ
under Calendar. With -o FILE.xlsx the budget is a workbook with live formulas:
change the flow, a dose or a price there, and totals and order dates follow.

With --months, what all of them come to stands first, each by what Seasons says of
it: flow, doses, use, cost, what the store holds at most, what the pumps must give.
With --raw the usual water of every month is so turbid, whatever Seasons says.`,
		Example: `  jarwright budget site.xlsx --date 2026-03
  jarwright budget site.xlsx --date 2026-03 -o march.xlsx
  jarwright budget site.xlsx --months 12
  jarwright budget site.xlsx --months 3 --format csv`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return e.budget(args, opt, months) },
	}
	e.addRaw(c)
	e.addBench(c)
	p := c.Flags()
	parsed(c, &opt.OrderFrom, "order-from", "DAY", "first day on which an order can be placed, YYYY-MM-DD (the first of the month when absent)",
		month.ParseDate)
	p.IntVar(&months, "months", months, "how many months, each starting with what the one before leaves in store")
	p.IntVar(&opt.Draws, "draws", 10000, "months drawn for the range")
	p.Uint64Var(&opt.Seed, "seed", 1, "start of the random numbers; the same seed gives the same range")
	return c
}

// budget works the months out and shows them.
func (e *env) budget(args []string, opt month.Options, count int) error {
	if count < 1 || count > 24 {
		return badUsage("--months %d is not from 1 to 24", count)
	}
	if opt.Draws < 100 || opt.Draws > 1_000_000 {
		return badUsage("--draws %d is not from 100 to 1000000", opt.Draws)
	}
	opt.Month = e.month()
	s, given, inputs, err := e.allYear(args)
	if err != nil {
		return err
	}
	if err := dosing.Flows(s, "budget", "months of water that flows"); err != nil {
		return err
	}
	opt.Given, opt.Today = given, e.today()
	plan, notes, err := month.FromSite(s, opt)
	if err != nil {
		return refusedAsDose(err)
	}
	done := e.working("drawing %d months for the range", opt.Draws)
	said := map[month.Month]note.List{}
	months, err := month.Months(plan, count, func(m month.Month) (month.Plan, error) {
		later := opt
		later.Month = m
		p, more, err := month.FromSite(s, later)
		said[m] = more
		return p, err
	})
	done()
	if err != nil {
		return refusedAsDose(err)
	}
	all := month.After(months[0].Plan.Calendar.Month, notes)
	for _, b := range months[1:] {
		m := b.Plan.Calendar.Month
		all.Add(m, said[m])
	}
	b := templates.Budget{Place: s.Place.Name.V, Months: months, Notes: append(all.Notes(), dosing.Buying(s, given.Catalogue)...)}
	if count > 1 {
		if b.Together, err = month.Sum(s, given, months); err != nil {
			return err
		}
	}
	var impossible note.List
	stopped := false
	for _, m := range months {
		stopped = stopped || m.Plan.Stopped
		if m.Plan.Stopped || m.Plan.Unheld || m.Plan.OutOfReach {
			e.noAnswer()
		}
		impossible.Add(m.Plan.Impossible...)
	}
	if len(impossible) > 0 && !stopped && e.flags.out != "" && e.flags.out != "-" {
		return impossible.Err() // no file of a month that nobody can run, as of its day
	}
	if err := e.emit(b, inputs...); err != nil {
		return err
	}
	return impossible.Err() // shown all the same, because its figures say why
}

// refusedAsDose is an error as it is, and noDose where all of it is that no dose can be told for the water of a month.
func refusedAsDose(err error) error {
	l := note.Of(err, "budget")
	if slices.ContainsFunc(l, func(n note.Note) bool { return n.Code != "no-dose" }) {
		return err
	}
	return noDose{l}
}
