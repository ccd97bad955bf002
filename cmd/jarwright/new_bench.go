package main

import (
	"cmp"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/templates"
	"jarwright/templates/book"
)

// newNewBench makes the command that writes a bench sheet to fill in.
func newNewBench(e *env) *cobra.Command {
	x := book.Bench{Readings: []jartest.Key{jartest.Turbidity, jartest.PH}}
	var target jartest.Target
	from, plant := "", ""
	var typed typedTest
	c := &cobra.Command{
		Use:   "bench FILE.xlsx",
		Short: "A bench sheet to print or fill in, for 6 to 24 jars",
		Long: `Write a bench sheet: a workbook with the test, the raw water, the mixing, and a
table of jars. Give the doses and the sheet works out the millilitres of stock
for each jar; write the millilitres that were drawn and it works out the doses.
Filled in and saved, "jarwright read" and "jarwright fit" take it as it is. With --jar
it comes filled in with jars that were read already: doses, or millilitres of stock.`,
		Example: `  jarwright new bench tuesday.xlsx
  jarwright new bench tuesday.xlsx --jars 8 --chemical alum --basis "as product" --stock "10 g/L" --jar-volume "1 L" --doses "0,10,20,30,40,50,60,80 mg/L" --target "turbidity <= 5 NTU"
  jarwright new bench wednesday.xlsx --from tuesday.xlsx --jars 8
  jarwright new bench thursday.xlsx --site site.xlsx --chemical alum
  jarwright new bench float.xlsx --flotation --readings turbidity,tss,ph
  jarwright new bench read.xlsx --chemical alum --basis "as Al" --raw "turbidity=46 NTU" --jar "0 mg/L; 38.4; 37.6; 7.41; no floc" --jar "0.5 mg/L; 24.1; 24.9; 7.22"`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if typed.counts = c.Flags().Changed("basis"); len(typed.jars) > 0 && from != "" {
				return badUsage("--jar and --from both name the doses: give one of them")
			}
			if err := e.fillIn(&x, typed); err != nil {
				return err
			}
			return e.writeBench(args[0], from, plant, target, x)
		},
	}
	p := c.Flags()
	p.IntVar(&x.Jars, "jars", 0, "how many jars, 6 to 24 (default 6, or as many as there are doses)")
	p.IntVar(&x.Repeats, "repeats", 2, "how often the first reading of a jar is taken, 1 to 4")
	p.StringVar(&x.Name, "name", "", "name of the test")
	p.StringVar(&x.Chemical, "chemical", "", "the chemical tested")
	parsed(c, &x.Basis, "basis", "BASIS", `what the dose counts, such as "as product" or "as Al"`, quantity.ParseBasis)
	parsed(c, &x.Doses, "doses", "DOSES", `doses to test, such as "0,10,20,30,40,60 mg/L"`, parseDoses)
	parsed(c, &x.Stock, "stock", "STRENGTH", `strength of the bench stock, such as "10 g/L"`, quantity.Parse[quantity.Concentration])
	parsed(c, &x.JarVolume, "jar-volume", "VOLUME", `raw water in each jar, such as "1 L"`, quantity.Parse[quantity.Volume])
	parsed(c, &x.Readings, "readings", "READINGS", "what is read in each jar, with commas (turbidity,ph when absent)", parseReadings)
	parsed(c, &target, "target", "TARGET", `what the water must meet, such as "turbidity <= 5 NTU"`, jartest.ParseTarget)
	repeated(c, &typed.jars, "jar", "JAR", `a jar that was read: its dose, its readings in the order of the columns, a remark, such as "5 mg/L; 24.1; 24.9; 7.22; hazy" (may repeat)`, asTyped)
	repeated(c, &typed.raw, "raw", "READING=VALUE", `the raw water of jars that were read, such as "turbidity=46 NTU" (may repeat)`, asTyped)
	p.StringVar(&from, "from", "", "bench sheet `FILE` of the last test: its next doses, chemical, stock and target are filled in")
	p.StringVar(&plant, "site", "", "site `FILE`: its mixing, flow and temperature tell how to stir and sample the jars like the plant")
	p.BoolVar(&x.Flotation, "flotation", false, "fields for white water and flotation instead of settling")
	return c
}

// parseDoses reads "0,10,20 mg/L": numbers with commas and the unit of all at the end.
func parseDoses(s string) ([]quantity.Concentration, error) {
	if strings.TrimSpace(s) == "" {
		return nil, nil
	}
	i := strings.LastIndexAny(s, "0123456789.") + 1
	unit := strings.TrimSpace(s[i:])
	if strings.Contains(unit, ",") {
		return nil, note.Fault("bad-doses", "doses %q: one unit stands at the end", s).Do(`write them like "0,10,20 mg/L"`)
	}
	var out []quantity.Concentration
	for _, part := range strings.FieldsFunc(s[:i], func(r rune) bool { return r == ',' || r == ';' || r == ' ' }) {
		d, err := quantity.ParseDose(part + " " + unit)
		if err != nil {
			return nil, err
		}
		out = append(out, d.Concentration)
	}
	return out, nil
}

// parseReadings reads kinds of reading, by key.
func parseReadings(s string) ([]jartest.Key, error) {
	var out []jartest.Key
	for _, part := range strings.Split(s, ",") {
		k := jartest.Slug(part)
		if k == "" {
			continue
		}
		if !k.Known() {
			var names []string
			for _, i := range jartest.Keys() {
				names = append(names, string(i.Key))
			}
			return nil, note.Fault("reading-unknown", "reading %q is not known%s", strings.TrimSpace(part), note.DidYouMean(string(k), names)).
				Do("use %s", strings.Join(names, ", "))
		}
		out = append(out, k)
	}
	return out, nil
}

// writeBench writes the workbook.
func (e *env) writeBench(file, from, plant string, target jartest.Target, x book.Bench) error {
	if !strings.EqualFold(filepath.Ext(file), ".xlsx") {
		return badUsage("%s: a workbook's name ends in .xlsx", file)
	}
	var targets []jartest.Target
	if target != (jartest.Target{}) {
		x.Target, targets = target.String(), []jartest.Target{target}
	}
	var inputs []string
	if from != "" {
		inputs = append(inputs, from)
		if err := e.continueFrom(&x, from, targets); err != nil {
			return err
		}
	}
	if plant != "" {
		more, err := e.likePlant(&x, plant)
		if err != nil {
			return err
		}
		inputs = append(inputs, more...)
	}
	data, err := workbook(benchTitle, e.shown, x.Write)
	if err != nil {
		return err
	}
	if err := e.writeFile(file, whole(data), inputs...); err != nil {
		return err
	}
	e.say("wrote %s", file)
	if x.Done != nil {
		e.say("see what was understood: jarwright read %s", file)
		return nil
	}
	e.say("fill it in, save it, then: jarwright read %s", file)
	return nil
}

// likePlant fills in how to stir and sample the jars like the plant of a site; the files read are given.
func (e *env) likePlant(x *book.Bench, file string) ([]string, error) {
	s, name, err := e.openSite([]string{file})
	if err != nil {
		return nil, err
	}
	if err := dosing.Flows(s, "new bench --site", "jars that do what a plant does"); err != nil {
		return nil, err
	}
	log, inputs, err := e.siteLog(s, name)
	if err != nil {
		return nil, err
	}
	told := len(s.Notes)
	s, g, err := e.inSeason(s, dosing.Given{Catalogue: product.Default(), Log: log})
	if err != nil {
		return nil, err
	}
	for _, n := range s.Notes[told:] {
		e.say("%s: %s", n.Level, n.Message)
	}
	day, _, err := dosing.DayOf(s.Flow, g.Log)
	if err != nil {
		return nil, err
	}
	settles := s.Solids.Unit.OK && !dosing.Floats(s)
	if x.Flotation && settles {
		return nil, badUsage("--flotation: the unit of %s is a settler, so its jars are settled: leave --flotation out", file)
	}
	like := dosing.LikePlantOf(s, day.Average(), dosing.DosedAt(s, product.Default()))
	x.Flotation, x.Depth = x.Flotation || like.Floats, like.Sample.V.Depth
	x.Mixing, x.LikePlant = templates.BenchLikePlant(like, x.Flotation, e.shown)
	if n, off := like.GapNote(); off {
		e.say("%s: %s", n.Level, n.Message)
	}
	x.Beside = like.Polymer && !x.Polymer() && !slices.ContainsFunc(like.Order, func(d dosing.Dosed) bool {
		return d.Turn == dosing.LastPolymer && strings.EqualFold(d.Name, x.Chemical)
	})
	x.Ordered, x.Alone = ordered(*x, like.Order)
	if len(like.Steps) == 0 {
		e.say("note: the jars are stirred as usual, for %s does not say how the plant mixes: to stir and sample them like it, give %s (sheet Solids)",
			file, strings.Join(like.Unsaid, "; "))
	}
	return append(inputs, name), nil
}

// ordered reports that the order in which a site adds its chemicals, or nothing but the coagulant, holds for the jars of a test: what
// they test is among what the site doses.
func ordered(x book.Bench, order []dosing.Dosed) (told, alone bool) {
	if len(order) == 0 { // told for all that may be dosed
		return true, false
	}
	for _, d := range order {
		if x.Chemical == "" || x.Polymer() == (d.Turn == dosing.LastPolymer) {
			return len(order) > 1, len(order) == 1
		}
	}
	return false, false
}

// lines are how the jars of a test were stirred and settled, as the lines under Mixing have it.
func lines(p jartest.Protocol, floats bool) []float64 {
	out := []float64{float64(p.Rapid.Speed.V), p.Rapid.Time.V.In("s"), 0, 0, 0}
	if len(p.Slow) == 1 { // several do not fit
		out[2], out[3] = float64(p.Slow[0].Speed.V), p.Slow[0].Time.V.In("min")
	}
	if !floats {
		out[4] = p.Settle.V.In("min")
	}
	for i, v := range out {
		out[i] = quantity.RoundSig(v, 4)
	}
	return out
}

// continueFrom fills in what the last test tells: the doses worth testing next,
// its stirring, and its chemical, basis, stock, jar volume and target where the command line
// does not give them.
func (e *env) continueFrom(x *book.Bench, from string, targets []jartest.Target) error {
	if len(x.Doses) > 0 {
		return badUsage("--from and --doses both name the doses: give one of them")
	}
	fit := fitFlags{targets: targets, bench: sheet.Options{Chemical: x.Chemical, JarVolume: x.JarVolume}}
	if x.Basis != quantity.NotStated {
		fit.bench.Counts = func(string) sheet.SiteBasis {
			return sheet.SiteBasis{Known: quantity.Some(x.Basis), From: "--basis", FromSheet: true}
		}
	}
	got, err := fit.analyse(e, []string{from}, true)
	if err != nil {
		return err
	}
	ofDoses := func(r curve.Result) bool { return r.Factor == "dose" }
	at := slices.IndexFunc(got.Results, ofDoses)
	if at < 0 {
		return note.Fault("no-series", "%s holds no series of doses to go on from", from).Do("name the doses with --doses")
	}
	if slices.ContainsFunc(got.Results[at+1:], ofDoses) {
		return note.Fault("many-series", "%s holds several series, a bench sheet takes one", from).
			Do("name the doses with --doses; jarwright next %s lists them", from)
	}
	r, s := got.Results[at], got.Single[at]
	o := curve.StockOf(s)
	x.Stock, x.JarVolume = cmp.Or(x.Stock, o.Stock), cmp.Or(x.JarVolume, o.JarVolume)
	o.Jars, o.Stock, o.JarVolume = max(x.Jars, book.JarsLeast), x.Stock, x.JarVolume
	n, again := nextOf(r, templates.FitBench(got.Single, got.Results, templates.FitWater(got.Single, got.Results))[at], o)
	for _, a := range again {
		e.say("%s: %s: %s", a.Level, a.Message, a.Remedy)
		x.Asked = append(x.Asked, "In the last test "+a.Message+": "+a.Remedy+".")
	}
	for _, d := range n.Doses {
		x.Doses = append(x.Doses, slices.Repeat([]quantity.Concentration{d.Dose}, d.Jars)...)
	}
	x.Mixing, x.Depth = lines(s.Protocol, x.Flotation), s.Protocol.Depth.V
	x.Continued, x.HasControl = true, slices.ContainsFunc(s.Jars, func(j jartest.Jar) bool { return j.Control })
	x.Chemical = cmp.Or(x.Chemical, r.Chemical.Name)
	x.Basis = cmp.Or(x.Basis, r.Chemical.Basis)
	if x.Target == "" && len(r.Targets) > 0 {
		x.Target = r.Targets[0].String()
	}
	return nil
}
