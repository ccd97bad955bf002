package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/gauge"
	"jarwright/dosing/month"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// tankNeeds tells what the command line must say of a tank.
const tankNeeds = "a tank without a site needs --volume, --flow, --capture, and --start and --stop or --hold"

// tankFlags describe a tank without a site.
var tankFlags = slices.Concat(siteFlags{
	{name: "cone-pairs", sheet: "Solids", field: "cone pairs"},
	{name: "tube-pairs", sheet: "Solids", field: "tube pairs"},
	{name: "volume", sheet: "Tanks", field: "volume", usage: `water in the tank, such as "60 m3"`, need: tankNeeds,
		then: func(b *flagSite) { b.Solids.Tank = quantity.Some("") }},
	{name: "flow", sheet: "Flow", field: "average flow", usage: `flow through the unit and back, such as "12 m3/h"`, need: tankNeeds},
	{name: "start", sheet: "Solids", field: "tank turbidity", usage: `the tank's reading now, such as "80 NTU", suspended solids, "120 mg/L", or by a settling cone, "20 mL/L", or a turbidity tube, "15 cm"`, need: tankNeeds, instead: "hold"},
	{name: "stop", sheet: "Solids", field: "clear enough at", usage: `the reading at which it is clear enough, such as "5 NTU"`, need: tankNeeds, instead: "hold"},
	{name: "capture", sheet: "Solids", field: "solids caught", usage: `share that one pass takes out, such as "85 %" (1 - outlet / inlet of the unit)`, need: tankNeeds},
	{name: "bare", sheet: "Solids", field: "caught undosed", usage: `share that one pass takes out when nothing is dosed, such as "40 %" (0 when absent)`},
	{name: "floor", sheet: "Solids", field: "outlet at best"},
	{name: "rise", usage: `how much the reading would rise in an hour with the unit off, such as "0.5 NTU/h"`,
		put: func(b *flagSite, _ int, text string, at note.Place) {
			if text = strings.TrimSpace(text); !strings.HasSuffix(text, "/h") && !strings.HasSuffix(text, "/d") {
				text += "/h"
			}
			b.put("Solids", 0, "turbidity coming in", text, "", at)
		}},
	{name: "hold", sheet: "Solids", field: "hold at", usage: `the reading at which the unit is to hold the tank, such as "300 mg/L"`},
	{name: "feed", sheet: "Animals", field: "feed eaten a day", usage: `dry feed that the animals in it eat, such as "4 kg/d"`},
	{name: "feed-solids", sheet: "Solids", field: "solids from feed", usage: `share of the feed that becomes suspended solids, such as "25 %" (25 % when absent)`},
	{name: "feed-protein", sheet: "Animals", field: "protein in the feed"},
	{name: "feed-phosphorus", sheet: "Animals", field: "phosphorus in the feed"},
	{name: "exchange", sheet: "Solids", field: "tank water replaced", usage: `new water in and old water out, such as "1 m3/h"`},
	{name: "exchange-reading", usage: `reading of the new water, such as "3 NTU" (0 when absent)`, put: newWaterReads},
	{name: "hours", sheet: "Solids", field: "cleaning hours", usage: `hours in which the unit runs, such as "06:00-22:00" (all day when absent)`},
	{name: "begin", sheet: "Solids", field: "cleaning starts", usage: "clock time of the start, hh:mm (06:00 when absent)"},
	{name: "longest", sheet: "Solids", field: "give up after", usage: `give up after, such as "10 d" (14 d when absent)`},
	{name: "dose", repeat: true, usage: `"[CHEMICAL:] DOSE [as BASIS]" or "[CHEMICAL:] READING=DOSE, READING=DOSE [as BASIS]"`, put: tankDose},
	{name: "basis", usage: "what the doses count, where --dose does not say",
		put: whereNotSaid("basis", func(c site.Chemical) bool { return c.Basis.OK })},
	{name: "chemical", usage: "product of the catalogue, where --dose does not say (guessed from the basis when absent)",
		put: whereNotSaid("name", func(c site.Chemical) bool { return c.Name.OK })},
}, oneChemical, waterFlags, solidsFlags)

// oneChemical are the flags that describe the chemical where there is but one.
var oneChemical = slices.Concat(siteFlags{
	{name: "caught", sheet: "Chemicals", field: "capture", usage: `measured share of the dose that leaves with the floc, such as "90 %"`},
}, chemicalFlags)

func newClarify(e *env) *cobra.Command {
	c := &cobra.Command{
		Use:   "clarify [SITE]",
		Short: "Clearing a tank: time, chemical, residual, waste",
		Long: `Works out how long a muddy tank must be circulated through the unit until it is
clear, what that takes of chemical, what comes off as float or sludge, what is left
in the water, and when to take a jar test again. The same water passes again and
again: residuals add up, and the dose needed falls as the water clears.

Without SITE it reads site.xlsx in this folder; with --volume it works without a
site. A dose is constant ("12 mg/L as alum 14-hydrate") or goes by the reading
("30 NTU=20 mg/L, 0 NTU=8 mg/L as alum 14-hydrate": straight between the readings,
or, with --between=false, the higher of two doses down to the lower reading, so that
water between them never gets too little). A chemical may stand before it:
"cpam-dry: 0.2 mg/L as product".`,
		Example: `  jarwright clarify site.xlsx
  jarwright clarify --volume "60 m3" --flow "12 m3/h" --start "80 NTU" --stop "5 NTU" --capture "85 %"
  jarwright clarify --volume "60 m3" --flow "12 m3/h" --start "80 NTU" --stop "5 NTU" --capture "85 %" --dose "alum-liquid: 30 NTU=12 mg/L, 0 NTU=6 mg/L as alum 14-hydrate" --ph 7.6 --alkalinity "85 mg/L CaCO3"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			quick := tankFlags.used(cmd)
			if cmd.Flags().Changed("between") {
				quick = "between"
			}
			switch {
			case quick == "":
				return e.clarifySite(args)
			case len(args) > 0:
				return badUsage("clarify takes a site or the tank's flags (--%s), not both", quick)
			case e.raw > 0:
				return badUsage("--raw is today's water of a site; without one give --start")
			case e.bench != nil:
				return badUsage("--bench gives a site its dose; without one give --dose")
			}
			return e.clarifyQuick(cmd)
		},
	}
	tankFlags.add(c)
	e.addRaw(c)
	e.addBench(c)
	c.Flags().Bool("between", true, "draw the dose straight between the readings given; =false keeps the higher of two doses down to the lower reading")
	e.completeProducts(c, "chemical")
	return c
}

// newWaterReads puts the new water's reading where its unit says.
func newWaterReads(b *flagSite, _ int, text string, at note.Place) {
	field := "turbidity"
	if r, err := site.ParseReading(text); err != nil {
		b.faults.Add(note.Of(err, "bad-reading")[0].At(at))
		return
	} else if r.Key == gauge.Tube || r.Key == gauge.Cone {
		b.faults.Add(note.Fault("bad-reading", "%q is %s: new water is told by a meter or a laboratory", text, gauge.Label(r.Key)).At(at).Do("give it in NTU or mg/L"))
		return
	} else if start := b.Solids.TankStart; start.OK && r.Key != gaugedAs(b.Site, start.V.Key) {
		b.faults.Add(note.Fault("bad-reading", "%q is %s, --start is %s", text, gauge.Label(r.Key), gauge.Label(start.V.Key)).At(at).Do("use one unit for all readings"))
		return
	} else if r.Key == jartest.TSS {
		field = "suspended solids"
	}
	b.put("Water", 0, field, text, "", at)
}

// gaugedAs is what a reading of a tank is turned into.
func gaugedAs(s site.Site, k jartest.Key) jartest.Key {
	if scale := s.Solids.Gauges().For(k); scale != nil {
		return scale.Reads
	}
	return k
}

// tankDose reads "[CHEMICAL:] DOSE [as BASIS]"; a dose that goes by the reading is
// "30 NTU=12 mg/L, 0 NTU=6 mg/L".
func tankDose(b *flagSite, row int, text string, at note.Place) {
	at.Cell += " " + strconv.Quote(text)
	for len(b.Chemicals) <= row {
		b.Chemicals = append(b.Chemicals, site.Chemical{})
	}
	put := func(field, text string) { b.put("Chemicals", row, field, strings.TrimSpace(text), "", at) }
	if name, after, ok := strings.Cut(text, ":"); ok {
		put("name", name)
		text = after
	}
	if i := strings.LastIndex(strings.ToLower(text), " as "); i >= 0 {
		put("basis", text[i+1:])
		text = text[:i]
	}
	if _, first, byReading := strings.Cut(text, "="); byReading {
		put("dose by turbidity", text)
		text, _, _ = strings.Cut(strings.ReplaceAll(first, ";", ","), ",")
	}
	put("dose", text)
}

// whereNotSaid fills in a field of every chemical that has not got it from its dose.
func whereNotSaid(field string, said func(site.Chemical) bool) func(*flagSite, int, string, note.Place) {
	return func(b *flagSite, _ int, text string, at note.Place) {
		for i := range b.Chemicals {
			if !said(b.Chemicals[i]) {
				b.put("Chemicals", i, field, text, "", at)
			}
		}
	}
}

// clarifyQuick serves a tank that the command line describes.
func (e *env) clarifyQuick(cmd *cobra.Command) error {
	s, err := tankFlags.site(cmd)
	if err == nil {
		err = tankChemicals(cmd, &s)
	}
	if err != nil {
		return usageError{err}
	}
	if u := &s.Solids; (u.Bin.OK || u.SkimEvery.OK) && !u.FloatSolids.OK {
		u.FloatSolids = quantity.Some(quantity.Fraction(0.02))
		s.Notes.Add(note.New(note.Info, "sludge-assumed", "float is taken at 2 %% dry").Do("give --sludge").From("Zabel 1985 (abstract)"))
	}
	in, err := dosing.CleaningFromSite(s, dosing.Given{Catalogue: product.Default()}, e.shown.Date)
	if err != nil {
		return usageError{err}
	}
	in.Notes, in.Alone = append(s.Notes, in.Notes...), true
	return e.showCleaning(in, nil, dosing.Given{}, false)
}

// tankChemicals gives every --dose what the other flags say of it.
func tankChemicals(cmd *cobra.Command, s *site.Site) error {
	doses, err := cmd.Flags().GetStringArray("dose")
	must(err)
	if f := oneChemical.used(cmd); f != "" && len(doses) != 1 {
		return note.Fault("one-chemical", "--%s describes one chemical, and %d doses are given", f, len(doses)).Do("describe several chemicals in a site workbook")
	}
	between, err := cmd.Flags().GetBool("between")
	must(err)
	var errs note.List
	for i := range s.Chemicals {
		s.Chemicals[i].Between = quantity.Some(between)
		errs.Add(note.Of(identify(s, i, func(c site.Chemical, p product.Product) string {
			if c.Name.OK {
				return c.Name.V
			}
			return p.ID
		}), "chemical")...)
	}
	return errs.Err()
}

// clarifySite cleans up the tank that a site names.
func (e *env) clarifySite(args []string) error {
	e.clearing = true
	s, g, inputs, err := e.wholeSite(args)
	if err != nil {
		return err
	}
	if err := dosing.Flows(s, "clarify", "a tank whose water goes round through a unit"); err != nil {
		return err
	}
	if e.onDay() {
		said, err := month.CleaningOn(s, month.DateOf(e.shown.Date))
		if err != nil {
			return err
		}
		s.Notes.Add(said...)
	}
	return e.cleanSite(s, g, false, inputs...)
}

// cleanSite cleans up the tank that a site names; as its day, where it treats no other water.
func (e *env) cleanSite(s site.Site, g dosing.Given, asDay bool, inputs ...string) error {
	in, err := dosing.CleaningFromSite(s, g, e.today())
	if err != nil {
		return err
	}
	asked := slices.DeleteFunc(dosing.Asked(s, g), func(n note.Note) bool { // said of the day, or of the tank already
		return slices.Contains([]string{dosing.LoopHeld, dosing.LoopHoldsItself, dosing.LoopTooFar, dosing.LoopNotThere}, n.Code) || slices.ContainsFunc(in.Notes, n.Equal)
	})
	if raw := dosing.TankTurbidity(s); e.raw > 0 && raw.OK && raw.At.Cell != rawFlag {
		asked.Add(note.New(note.Info, "raw-not-the-tank", "%s is of the raw water: the tank is cleared from its own reading, %s, and past tests go by that", rawFlag, quantity.To(raw.V, 3)).At(raw.At))
	}
	in.Notes = append(asked, in.Notes...)
	return e.showCleaning(in, &s, g, asDay, inputs...)
}

// showCleaning works a cleaning out and shows it, with what it costs on a site; a tank that does
// not clear, or a stop, ends with exit code 3.
func (e *env) showCleaning(in dosing.CleaningInput, s *site.Site, g dosing.Given, asDay bool, inputs ...string) error {
	done := e.working("running the tank")
	c, err := dosing.Clean(in)
	done()
	if err != nil {
		return err
	}
	if c.Unanswered() {
		e.noAnswer()
	}
	if s != nil && e.onDay() {
		c.Notes = caution.WorstFirst(append(c.Notes, month.IntoClosed(*s, c, month.DateOf(e.shown.Date))...))
	}
	if c.Outcome == clarify.ClearAlready {
		e.say("the tank is clear already: %.4g against %.4g %s", in.Tank.Start, in.Tank.Stop, in.Tank.Unit())
	}
	r := templates.ClarifyReport{Cleaning: c, Day: asDay}
	if s != nil {
		cost := month.CostOfCleaning(*s, c, g, e.month())
		r.Cost = &cost
	}
	return e.emit(r, inputs...)
}
