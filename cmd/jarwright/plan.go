package main

import (
	"bytes"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// planFlags describe one feed without a site.
var planFlags = slices.Concat(siteFlags{
	{name: "flow", sheet: "Flow", field: "average flow", usage: `water to treat, such as "3.6 m3/h", "35 gpm" or "0.5 MGD"`,
		need: `add the water to treat, such as --flow "3.6 m3/h"`},
	{name: "hours", sheet: "Flow", field: "hours a day", usage: `hours run a day, such as 16 or "16 h" (24 when absent)`, bare: "h"},
}, plainly("Flow", "least flow", "peak flow", "run starts"), siteFlags{
	{name: "dose", sheet: "Chemicals", field: "dose", need: `add the dose, such as --dose "12.5 mg/L"`},
	{name: "dose-storm", sheet: "Chemicals", field: "dose in storm water"},
	{name: "chemical", sheet: "Chemicals", field: "name", usage: "product of the catalogue (guessed from the basis when absent)"},
}, plainly("Chemicals", "dose low", "dose high", "basis"), chemicalFlags, siteFlags{
	{name: "least-rate", sheet: "Pumps", field: "least rate", then: byPump},
	{name: "knob-step", sheet: "Pumps", field: "knob step", then: byPump},
	{name: "stock-life", sheet: "Stocks", field: "life", then: fromStock},
	{name: "stock-ageing", sheet: "Stocks", field: "ageing", then: fromStock},
	{name: "tank", usage: `usable volume of the stock tank, such as "60 L"`,
		put: func(b *flagSite, _ int, text string, at note.Place) {
			b.tank("the tank", text, at)
			b.put("Tanks", len(b.Tanks)-1, "usable", "100 %", "", at)
			b.put("Stocks", 0, "tank", "the tank", "", at)
		}, then: fromStock},
}, waterFlags, siteFlags{
	{name: "jar-ph", sheet: "Water", field: "pH of the chosen jar"},
	{name: "residual-al", sheet: "Water", field: "residual aluminium"},
	{name: "residual-fe", sheet: "Water", field: "residual iron"},
	{name: "tss", sheet: "Water", field: "suspended solids"},
	{name: "leave-alkalinity", sheet: "Water", field: "alkalinity to leave"},
	{name: "hold-ph", sheet: "Water", field: "pH to hold", usage: "pH to hold after dosing: shows the alkali that does it"},
	{name: "system", sheet: "Water", field: "water in the system", usage: `water that comes round again, such as "20 m3"`,
		then: func(b *flagSite) { b.Place.Passes = quantity.Some(site.Recirculating) }},
	{name: "new-water", sheet: "Water", field: "new water", usage: `share of that water replaced each day, such as "10 %"`,
		then: func(b *flagSite) {
			if !b.Water.System.OK {
				b.faults.Add(note.Fault("flag-missing", "--new-water needs --system").Do(`add the water that comes round again, such as --system "20 m3"`))
			}
		}},
	{name: "capture", sheet: "Chemicals", field: "capture", usage: `measured share of the dose that leaves with the floc, such as "80 %"`},
	{name: "monomer", sheet: "Chemicals", field: "monomer", usage: `monomer left in the polymer by its certificate, such as "0.05 %"`},
}, plainly("Water", "turbidity"), plainly("Place", "purpose"), plainly("Place", "drinking-water rules"), plainly("Solids", "solids caught"), solidsFlags)

func newPlan(e *env) *cobra.Command {
	c := &cobra.Command{
		Use:   "plan [SITE]",
		Short: "The day: settings, batches, tasks, cautions",
		Long: `Plans the day from a site workbook (.xlsx) or site.yaml: what each pump feeds and
where it has to stand, when stock is made up, how long tanks last, what the day
uses. Without SITE it reads site.xlsx in this folder.

With --flow and --dose it plans one feed without a site. --strength is mass of
the substance that the basis names per mass of product; a dose "as product" needs
none. --stock is grams of product per litre of stock; left out means neat.

With --pond and --dose it plans standing water that is treated by hand: what to weigh
out, in how many buckets, over what, in how many goes. A dose may then be so much for
the pond ("20 kg per pond"), for its surface ("300 kg/ha") or for a bucket of water
("5 mL per 10 L bucket") too. A site does the same where its water stands.`,
		Example: `  jarwright plan site.xlsx
  jarwright plan --flow "3.6 m3/h" --dose "12.5 mg/L" --basis "as alum 14-hydrate" --strength "48.5 %" --density "1.335 kg/L"
  jarwright plan --flow "35 gpm" --dose "45 mg/L" --basis "as product" --density "1.43 kg/L" --pump-max "2 L/h"
  jarwright plan --pond "5000 m2 x 1.2 m" --dose "25 g/m3" --basis "as alum 14-hydrate" --bag "25 kg" --bucket "2 kg" --portions 2`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch pond, quick := handFlags.used(cmd), planFlags.used(cmd) != ""; {
			case pond != "" && len(args) > 0:
				return badUsage("plan takes a site or the quick form's flags, not both")
			case cmd.Flags().Changed("pond"):
				return e.planPonds(cmd)
			case pond != "":
				return usageError{note.Fault("flag-missing", "--%s is of standing water that is treated by hand, and needs --pond", pond).
					Do(`add the pond, such as --pond "5000 m2 x 1.2 m"`)}
			case !quick:
				return e.planSite(args)
			case e.raw > 0:
				return badUsage("--raw is today's water of a site; without one give --turbidity")
			case e.bench != nil:
				return badUsage("--bench gives a site its dose; without one give --dose")
			case len(args) > 0:
				return badUsage("plan takes a site or the quick form's flags, not both")
			}
			return e.planQuick(cmd)
		},
	}
	planFlags.add(c)
	handFlags.add(c)
	e.addRaw(c)
	e.addBench(c)
	e.completeProducts(c, "chemical")
	return c
}

// planQuick plans one feed from flags.
func (e *env) planQuick(cmd *cobra.Command) error {
	s, err := planFlags.site(cmd)
	if err == nil {
		err = basisOf(cmd, &s)
	}
	if err != nil {
		return usageError{err}
	}
	if err := identify(&s, 0, shortName); err != nil {
		return err
	}
	in, err := dosing.FromSite(s, dosing.Given{Catalogue: product.Default()})
	if err != nil {
		return err
	}
	in.FlowSource, in.Feeds[0].DoseSource = "as stated", "as stated"
	return e.showPlan(in, s, dosing.Given{Catalogue: product.Default()}, month.Usual{})
}

// shortName is a product's without what stands in brackets.
func shortName(_ site.Chemical, p product.Product) string {
	short, _, _ := strings.Cut(p.Name, " (")
	return short
}

// basisOf takes the basis from the dose, "3 mg/L as Al", where it stands there.
func basisOf(cmd *cobra.Command, s *site.Site) error {
	text, err := cmd.Flags().GetString("dose")
	must(err)
	d, err := quantity.ParseDose(text)
	c := &s.Chemicals[0]
	if c.Hand.OK { // of a pond
		d.Basis, err = c.Hand.V.Basis, nil
	}
	switch {
	case err != nil || d.Basis == quantity.NotStated:
	case !c.Basis.OK:
		c.Basis = quantity.Known[quantity.Basis]{V: d.Basis, OK: true, At: c.Dose.At}
	case d.Basis != c.Basis.V:
		return note.Fault("basis-twice", "--dose says %s, --basis says %s", d.Basis, c.Basis.V).Do("leave one of them out")
	}
	return nil
}

// planSite plans the day of a site.
func (e *env) planSite(args []string) error {
	s, g, inputs, err := e.wholeSite(args)
	if err != nil {
		return err
	}
	if dosing.IsStanding(s) {
		if e.onDay() {
			if s, g, err = month.StandingOn(s, g, month.DateOf(e.shown.Date)); err != nil {
				return err
			}
		}
		return e.showStanding(s, g, inputs...)
	}
	mean := month.Mean(s, g, e.month())
	if s, g, err = e.onDate(s, g); err != nil {
		return err
	}
	if dosing.CleansTank(s) || g.CleansUp {
		return e.cleanSite(s, g, true, inputs...)
	}
	in, err := dosing.FromSite(s, g)
	if err != nil {
		return err
	}
	if bad := dosing.OtherPrices(s); len(bad) > 0 {
		return bad.Err()
	}
	return e.showPlan(in, s, g, mean, inputs...)
}

// onDate gives the site as its calendar has it on the date asked for, where that is a day and no month.
func (e *env) onDate(s site.Site, g dosing.Given) (site.Site, dosing.Given, error) {
	if !e.onDay() {
		return s, g, nil
	}
	return month.OnDate(s, g, month.DateOf(e.shown.Date))
}

// onDay reports that a day is asked for, and no month.
func (e *env) onDay() bool { return len(e.flags.date) == len(time.DateOnly) }

// month is that of the date asked for, zero where none is.
func (e *env) month() month.Month {
	if e.shown.Date.IsZero() {
		return month.Month{}
	}
	return month.MonthOf(month.DateOf(e.shown.Date))
}

// showPlan works a plan out, has it reviewed, and shows it; mean is the water of an average day.
func (e *env) showPlan(in dosing.Input, s site.Site, g dosing.Given, mean month.Usual, inputs ...string) error {
	p, err := dosing.Make(in)
	if err != nil {
		return err
	}
	p, findings := p.Reviewed(s, e.today())
	findings = findings.AlsoForCleaning(s, g, e.today())
	solids, phosphorus := p.Solids(s), p.Phosphorus(s)
	line := p.Sludge(s, solids, g.Catalogue)
	if line != nil && line.Left != nil {
		findings.Residuals = append(findings.Residuals, *line.Left)
	}
	watch, passed := p.Watched(s, findings.Findings, e.today())
	p.Notes.Add(passed...)
	r := templates.NewPlan(p, findings.Findings, solids, p.UnitDay(s, solids), month.CostOf(s, p, mean, line))
	r.Phosphorus, r.Sludge, r.Watch = phosphorus, line, watch
	if findings.Stopped || s.Held != nil && s.Held.Fails {
		e.noAnswer()
	}
	impossible := p.Notes.Err()
	out := p.OutOfReach() && len(inputs) > 0 // the quick form asks what a pump would have to do
	if out {
		e.noAnswer()
	}
	out = out || findings.Stopped
	if impossible != nil && !findings.Stopped && e.flags.out != "" && e.flags.out != "-" {
		return impossible // no file that might be pinned to a wall
	}
	if err := e.emit(r, inputs...); err != nil {
		return err
	}
	if out && len(p.Impossible()) == 0 {
		return nil // out of reach, which is an answer
	}
	return impossible // shown all the same, because its figures say why
}

// today is the date given, else that of the site's figures, by which its month and seasons are chosen too, else the clock's.
func (e *env) today() time.Time {
	switch {
	case !e.shown.Date.IsZero():
		return e.shown.Date
	case !e.siteDay.IsZero():
		return e.siteDay
	}
	return e.now()
}

// now is the time by the clock.
func (e *env) now() time.Time {
	if e.Clock == nil {
		return time.Now()
	}
	return e.Clock()
}

// wholeSite reads the site that a command line names and all that it points at, as its seasons have
// it in the month asked for; inputs are the files read.
func (e *env) wholeSite(args []string) (s site.Site, g dosing.Given, inputs []string, err error) {
	if s, g, inputs, err = e.allYear(args); err == nil {
		s, g, err = e.inSeason(s, g)
	}
	return s, g, inputs, err
}

// allYear is wholeSite with the seasons still to choose from.
func (e *env) allYear(args []string) (s site.Site, g dosing.Given, inputs []string, err error) {
	s, name, err := e.openSite(args)
	if err == nil {
		e.siteDay = s.Place.Date.V
		s = e.lapsed(s, e.now())
		g, inputs, err = e.gather(s, name)
		s = e.rawUnfollowed(s, g)
	}
	return s, g, append(inputs, name), err
}

// lapsed leaves out what a site accepts that held on the day of the site's figures and has run out by the clock, and says so once:
// nobody answers for that risk today, whatever day the figures are of, so that it is the clock's day that counts.
func (e *env) lapsed(s site.Site, clock time.Time) site.Site {
	var holds []site.Acceptance
	for _, a := range s.Accepted {
		if e.shown.Date.IsZero() && a.Until.OK && s.Place.Date.OK && !s.Place.Date.V.After(a.Until.V) && !clock.Before(a.Until.V.AddDate(0, 0, 1)) {
			n := note.New(note.Caution, "site-day-past", "no --date is given: what was accepted until %s held on the day of the site, %s, and has run out since",
				month.DateOf(a.Until.V), month.DateOf(s.Place.Date.V)).At(a.Until.At).Do("have it renewed before anything is dosed; of a day that is past, give --date")
			s.Notes = append(slices.Clone(s.Notes), n)
			continue
		}
		holds = append(holds, a)
	}
	s.Accepted = holds
	return s
}

// inSeason gives a site as its seasons have it in the month asked for, else in that of its date.
func (e *env) inSeason(s site.Site, g dosing.Given) (site.Site, dosing.Given, error) {
	m := month.ThatOf(s, e.month())
	if asked := e.shown.Date; !asked.IsZero() && !s.Place.Examples.V {
		s.Place.Date = quantity.Known[time.Time]{V: asked, OK: true, At: s.Place.Date.At}
	}
	if m == (month.Month{}) {
		s.Notes = append(slices.Clone(s.Notes), dosing.WhichSeason(s)...)
		return dosing.AsHeld(s, g)
	}
	if len(s.Seasons) > 0 && e.shown.Date.IsZero() {
		s.Notes = append(slices.Clone(s.Notes), note.New(note.Info, "season-day", "no --date is given: the day is that of the site, %s", month.DateOf(s.Place.Date.V)).
			At(s.Place.Date.At))
	}
	return dosing.InSeason(s, g, m.Month)
}

// openSite reads the site named; where none is, it is site.xlsx, else site.yaml, in this folder.
func (e *env) openSite(args []string) (site.Site, string, error) {
	for _, n := range []string{"site.xlsx", "site.yaml"} {
		if len(args) == 0 && e.exists(n) {
			args = []string{n}
		}
	}
	if len(args) == 0 {
		return site.Site{}, "", note.Fault("no-site", "there is no site.xlsx in this folder").
			Do(`make one with "jarwright new site site.xlsx", or name yours`)
	}
	name := args[0]
	data, err := e.readInput(name)
	if err != nil {
		return site.Site{}, name, err
	}
	s, err := site.Read(name, bytes.NewReader(data))
	if err != nil && !isSite(name, data) {
		err = unlike(err, &siteFile, name, data)
	}
	if e.flags.units == "" && s.Place.Units.V == site.UnitsUS {
		e.shown.Units = quantity.US
	}
	if e.raw > 0 {
		s.Water.Turbidity = quantity.Known[quantity.Cloudiness]{V: e.raw, OK: true, At: note.Place{Cell: rawFlag}}
	}
	if err == nil {
		s, err = e.onBench(s)
	}
	return s, name, err
}

// beside gives a file that a site names: as it stands if absolute, else beside the site. One that is there under a name which differs
// by capitals alone is meant.
func (e *env) beside(siteFile, name string) string {
	full := name
	if !filepath.IsAbs(name) {
		full = filepath.Join(filepath.Dir(siteFile), filepath.FromSlash(name))
	}
	if e.exists(full) {
		return full
	}
	list, _, _ := e.folder(filepath.Dir(full)) // where there is none, nothing is alike
	alike := slices.DeleteFunc(list, func(x string) bool { return !strings.EqualFold(x, filepath.Base(full)) })
	if len(alike) != 1 {
		return full
	}
	return filepath.Join(filepath.Dir(full), alike[0])
}

// gather reads what the site points at: the meter log and the bench sheets. It
// also lists the files read.
func (e *env) gather(s site.Site, siteFile string) (dosing.Given, []string, error) {
	g := dosing.Given{Catalogue: product.Default(), Bench: map[int]dosing.BenchDose{}, Jars: map[int]*dosing.Jars{}}
	var inputs, files []string
	var err error
	g.Log, inputs, err = e.siteLog(s, siteFile)
	errs := note.Of(err, "log")
	g.Bench, files, err = e.benchDoses(s, siteFile, g)
	inputs = append(inputs, files...)
	if none := (noDose{}); errors.As(err, &none) && len(errs) == 0 {
		return g, inputs, err
	}
	return g, inputs, append(errs, note.Of(err, "bench")...).Err()
}

// siteLog reads the meter log that a site names, nil where it names none.
func (e *env) siteLog(s site.Site, siteFile string) (*flow.Log, []string, error) {
	if !s.Flow.Log.OK {
		return nil, nil, nil
	}
	file := e.beside(siteFile, s.Flow.Log.V)
	data, err := e.readInput(file)
	var log flow.Log
	if err == nil {
		f := s.Flow
		log, err = flow.Read(file, bytes.NewReader(data), flow.Options{TimeColumn: f.LogTime.V, FlowColumn: f.LogFlow.V, Unit: f.LogUnit.V, Sheet: f.LogSheet.V,
			Zero: f.MeterZero.V, Full: f.MeterSpan.V})
		err = unlike(err, &meterLog, file, data)
	}
	if err != nil {
		return nil, []string{file}, pointedAt(err, s.Flow.Log.At)
	}
	return &log, []string{file}, nil
}

// pointedAt gives a fault of another file the cell of the site that names it,
// where the fault has no place of its own.
func pointedAt(err error, at note.Place) note.List {
	l := note.Of(err, "cannot-read")
	for i := range l {
		if l[i].Code == "cannot-read" && l[i].Place.File != "" {
			l[i].Message = "the file " + l[i].Place.File + " " + l[i].Message
			l[i].Place = at
		}
		if l[i].Place == (note.Place{}) {
			l[i].Place = at
		}
	}
	return l
}
