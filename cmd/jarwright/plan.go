package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// planFlags are the flags of the quick form.
type planFlags struct {
	flow, hours, dose, low, high, basis string
	chemical, strength, density, stock  string
	pumpMax, tank                       string

	ph, alkalinity, temperature, salinity, hardness, doc string
	tan, residualAl, residualFe, turbidity, tss, jarPH   string
	animals                                              []string
	conductivity, purpose, system, newWater              string
	capture, monomer, leave, hold                        string
}

func newPlan(e *env) *cobra.Command {
	var f planFlags
	c := &cobra.Command{
		Use:   "plan [SITE]",
		Short: "The day: feed rates, pump settings, stock batches, cautions",
		Long: `Plans the day from a site workbook (.xlsx) or site.yaml: what each pump feeds and
where it has to stand, when stock is made up, how long tanks last, what the day
uses. Without SITE it reads site.xlsx in this folder.

With --flow and --dose it plans one feed without a site. --strength is mass of
the substance that the basis names per mass of product; a dose "as product" needs
none. --stock is grams of product per litre of stock; left out means neat.`,
		Example: `  jarwright plan site.xlsx
  jarwright plan --flow "3.6 m3/h" --dose "12.5 mg/L" --basis "as alum 14-hydrate" --strength "48.5 %" --density "1.335 kg/L"
  jarwright plan --flow "35 gpm" --dose "45 mg/L" --basis "as product" --density "1.43 kg/L" --pump-max "2 L/h"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			quick := false
			for _, name := range quickFlags {
				quick = quick || cmd.Flags().Changed(name)
			}
			switch {
			case quick && len(args) > 0:
				return badUsage("plan takes a site or the quick form's flags, not both")
			case quick:
				return e.planQuick(f)
			}
			name := ""
			if len(args) > 0 {
				name = args[0]
			}
			return e.planSite(name)
		},
	}
	p := c.Flags()
	p.StringVar(&f.flow, "flow", "", `water to treat, such as "3.6 m3/h", "35 gpm" or "0.5 MGD"`)
	p.StringVar(&f.hours, "hours", "", `hours run a day, such as 16 or "16 h" (24 when absent)`)
	p.StringVar(&f.dose, "dose", "", `dose, such as "12.5 mg/L"`)
	p.StringVar(&f.low, "dose-low", "", "low end of the dose's interval")
	p.StringVar(&f.high, "dose-high", "", "high end of the dose's interval")
	p.StringVar(&f.basis, "basis", "", `what the dose counts: "as product", "as alum 14-hydrate", "as Al", …`)
	p.StringVar(&f.chemical, "chemical", "", "product of the catalogue (guessed from the basis when absent)")
	p.StringVar(&f.strength, "strength", "", `mass of the basis substance per mass of product, such as "48.5 %"`)
	p.StringVar(&f.density, "density", "", `of the liquid product, such as "1.335 kg/L"`)
	p.StringVar(&f.stock, "stock", "", `product per litre of stock, such as "50 g/L" (neat when absent)`)
	p.StringVar(&f.pumpMax, "pump-max", "", `the pump's largest rate, such as "10 L/h"`)
	p.StringVar(&f.tank, "tank", "", `usable volume of the stock tank, such as "60 L"`)
	p.StringVar(&f.ph, "ph", "", "pH of the raw water, for the water checks")
	p.StringVar(&f.alkalinity, "alkalinity", "", `of the raw water, such as "60 mg/L"`)
	p.StringVar(&f.temperature, "temperature", "", `of the water, such as "9 C"`)
	p.StringVar(&f.salinity, "salinity", "", `of the water, such as "25 g/kg"`)
	p.StringVar(&f.hardness, "hardness", "", `as CaCO3, such as "95 mg/L"`)
	p.StringVar(&f.doc, "doc", "", `dissolved organic carbon, such as "2.5 mg/L"`)
	p.StringVar(&f.tan, "tan", "", `total ammonia as N, such as "0.2 mg/L"`)
	p.StringVar(&f.jarPH, "jar-ph", "", "pH read on the chosen jar")
	p.StringVar(&f.residualAl, "residual-al", "", `aluminium read on the chosen jar, such as "0.08 mg/L"`)
	p.StringVar(&f.residualFe, "residual-fe", "", `iron read on the chosen jar, such as "0.2 mg/L"`)
	p.StringVar(&f.turbidity, "turbidity", "", `of the raw water, such as "60 NTU", for the solids`)
	p.StringVar(&f.tss, "tss", "", `suspended solids of the raw water, such as "90 mg/L"`)
	p.StringArrayVar(&f.animals, "animal", nil, `animals that the treated water reaches, such as "rainbow trout" (repeat for more)`)
	p.StringVar(&f.conductivity, "conductivity", "", `of the water, such as "240 uS/cm"`)
	p.StringVar(&f.leave, "leave-alkalinity", "", `least alkalinity to leave, such as "50 mg/L"`)
	p.StringVar(&f.hold, "hold-ph", "", "pH to hold after dosing: shows the alkali that does it")
	p.StringVar(&f.purpose, "purpose", "", "animals, drinking water, wastewater or other")
	p.StringVar(&f.system, "system", "", `water that comes round again, such as "20 m3"`)
	p.StringVar(&f.newWater, "new-water", "", `share of that water replaced each day, such as "10 %"`)
	p.StringVar(&f.capture, "capture", "", `measured share of the dose that leaves with the floc, such as "80 %"`)
	p.StringVar(&f.monomer, "monomer", "", `monomer left in the polymer by its certificate, such as "0.05 %"`)
	e.completeProducts(c, "chemical")
	return c
}

// quickFlags are those that make a plan without a site.
var quickFlags = [...]string{"flow", "hours", "dose", "dose-low", "dose-high", "basis", "chemical", "strength", "density", "stock", "pump-max", "tank",
	"ph", "alkalinity", "temperature", "salinity", "hardness", "doc", "tan", "jar-ph", "residual-al", "residual-fe", "turbidity", "tss", "animal",
	"conductivity", "leave-alkalinity", "hold-ph", "purpose", "system", "new-water", "capture", "monomer"}

// planQuick plans one feed from flags.
func (e *env) planQuick(f planFlags) error {
	q, err := f.quick()
	if err != nil {
		return usageError{err}
	}
	w, err := f.surroundings()
	if err != nil {
		return usageError{err}
	}
	in, err := q.Input(product.Default())
	if err != nil {
		return err
	}
	w.Chemicals[0].Name.V = in.Feeds[0].Name
	return e.showPlan(in, w)
}

// quick reads the flags as quantities. All that is wrong is told at once.
func (f planFlags) quick() (dosing.Quick, error) {
	var q dosing.Quick
	var errs note.List
	if f.flow == "" {
		errs.Add(note.Fault("flag-missing", "--flow is missing").Do(`add the water to treat, such as --flow "3.6 m3/h"`))
	}
	if f.dose == "" {
		errs.Add(note.Fault("flag-missing", "--dose is missing").Do(`add the dose, such as --dose "12.5 mg/L"`))
	}
	dose := func(s string) (quantity.Concentration, error) {
		d, err := quantity.ParseDose(s)
		return d.Concentration, err
	}
	read(&errs, "--flow", f.flow, quantity.ParseFlow, &q.Flow)
	read(&errs, "--dose", f.dose, quantity.ParseDose, &q.Dose)
	read(&errs, "--dose-low", f.low, dose, &q.Low)
	read(&errs, "--dose-high", f.high, dose, &q.High)
	read(&errs, "--strength", f.strength, quantity.ParseFraction, &q.Strength)
	read(&errs, "--density", f.density, quantity.ParseDensity, &q.Density)
	read(&errs, "--stock", f.stock, quantity.ParseConcentration, &q.PerLitre)
	read(&errs, "--pump-max", f.pumpMax, quantity.ParseFeedRate, &q.PumpMax)
	read(&errs, "--tank", f.tank, quantity.ParseVolume, &q.Tank)
	read(&errs, "--hours", f.hours, hoursADay, &q.Hours)
	var basis quantity.Basis
	read(&errs, "--basis", f.basis, quantity.ParseBasis, &basis)
	switch {
	case basis != quantity.NotStated && q.Dose.Basis != quantity.NotStated && basis != q.Dose.Basis:
		errs.Add(note.Fault("basis-twice", "--dose says %s, --basis says %s", q.Dose.Basis, basis).Do("leave one of them out"))
	case basis != quantity.NotStated:
		q.Dose.Basis = basis
	}
	q.Chemical = f.chemical
	for _, x := range []struct {
		flag, text string
		v          float64
	}{{"--flow", f.flow, float64(q.Flow)}, {"--strength", f.strength, float64(q.Strength)}, {"--stock", f.stock, float64(q.PerLitre)},
		{"--pump-max", f.pumpMax, float64(q.PumpMax)}, {"--tank", f.tank, float64(q.Tank)}} {
		if x.text != "" && x.v <= 0 && len(errs) == 0 {
			errs.Add(note.Fault("not-positive", "%s %q is not above zero", x.flag, x.text).Do("give a value above zero"))
		}
	}
	return q, errs.Err()
}

// surroundings reads what the quick form says of the water and the animals.
func (f planFlags) surroundings() (site.Site, error) {
	var s site.Site
	var errs note.List
	w := &s.Water
	given(&errs, "--ph", f.ph, quantity.ParsePH, &w.PH)
	given(&errs, "--jar-ph", f.jarPH, quantity.ParsePH, &w.JarPH)
	given(&errs, "--alkalinity", f.alkalinity, quantity.ParseAlkalinity, &w.Alkalinity)
	given(&errs, "--temperature", f.temperature, quantity.ParseTemperature, &w.Temperature)
	given(&errs, "--salinity", f.salinity, quantity.ParseSalinity, &w.Salinity)
	given(&errs, "--hardness", f.hardness, quantity.ParseConcentration, &w.Hardness)
	given(&errs, "--doc", f.doc, quantity.ParseConcentration, &w.DOC)
	given(&errs, "--tan", f.tan, quantity.ParseConcentration, &w.TAN)
	given(&errs, "--residual-al", f.residualAl, quantity.ParseConcentration, &w.ResidualAl)
	given(&errs, "--residual-fe", f.residualFe, quantity.ParseConcentration, &w.ResidualFe)
	given(&errs, "--turbidity", f.turbidity, quantity.ParseCloudiness, &w.Turbidity)
	given(&errs, "--tss", f.tss, quantity.ParseConcentration, &w.TSS)
	given(&errs, "--conductivity", f.conductivity, quantity.ParseConductance, &w.Conductivity)
	given(&errs, "--leave-alkalinity", f.leave, quantity.ParseAlkalinity, &w.AlkFloor)
	given(&errs, "--hold-ph", f.hold, quantity.ParsePH, &w.PHTarget)
	given(&errs, "--system", f.system, quantity.ParseVolume, &w.System)
	given(&errs, "--new-water", f.newWater, quantity.ParseFraction, &w.Exchange)
	given(&errs, "--purpose", f.purpose, purposeOf, &s.Place.Purpose)
	var c site.Chemical
	given(&errs, "--capture", f.capture, quantity.ParseFraction, &c.Capture)
	given(&errs, "--monomer", f.monomer, quantity.ParseFraction, &c.Monomer)
	s.Chemicals = []site.Chemical{c}
	if w.System.OK {
		s.Place.Passes = quantity.Known[string]{V: site.Recirculating, OK: true}
	} else if w.Exchange.OK {
		errs.Add(note.Fault("flag-missing", "--new-water needs --system").Do(`add the water that comes round again, such as --system "20 m3"`))
	}
	for _, a := range f.animals {
		s.Animals = append(s.Animals, site.Animal{Name: quantity.Known[string]{V: a, OK: true}, Species: quantity.Known[string]{V: a, OK: true}})
		if !s.Place.Purpose.OK {
			s.Place.Purpose = quantity.Known[string]{V: site.ForAnimals, OK: true}
		}
	}
	return s, errs.Err()
}

// purposeOf reads one of the site's purposes.
func purposeOf(s string) (string, error) {
	all := []string{site.ForAnimals, site.ForDrinking, site.ForWastewater, site.ForOther}
	for _, p := range all {
		if p == s {
			return p, nil
		}
	}
	return "", note.Fault("purpose-unknown", "%q is no purpose%s", s, note.DidYouMean(s, all)).Do("use animals, drinking water, wastewater or other")
}

// given parses a flag's text into a value of a site, if it was given.
func given[T any](errs *note.List, flag, text string, parse func(string) (T, error), into *quantity.Known[T]) {
	if text == "" {
		return
	}
	before := len(*errs)
	read(errs, flag, text, parse, &into.V)
	into.OK = len(*errs) == before
}

// read parses a flag's text into a value, if it was given.
func read[T any](errs *note.List, flag, text string, parse func(string) (T, error), into *T) {
	if text == "" {
		return
	}
	v, err := parse(text)
	if err != nil {
		n := note.Of(err, "bad-flag")[0]
		n.Message = flag + ": " + n.Message
		errs.Add(n)
		return
	}
	*into = v
}

// hoursADay reads "16" or "16 h".
func hoursADay(s string) (quantity.Time, error) {
	if v, unit, err := quantity.Split(s); err == nil && unit == "" {
		s = quantity.Sig(v, 15) + " h"
	}
	t, err := quantity.ParseTime(s)
	if err == nil && (t <= 0 || t > 24) {
		err = note.Fault("bad-hours", "%q a day is not above 0 and up to 24 h", s).Do("give the hours run in one day")
	}
	return t, err
}

// planSite plans the day of a site.
func (e *env) planSite(name string) error {
	s, name, err := e.openSite(name)
	if err != nil {
		return err
	}
	g, inputs, err := e.gather(s, name)
	if err != nil {
		return err
	}
	in, err := dosing.FromSite(s, g)
	if err != nil {
		return err
	}
	return e.showPlan(in, s, append(inputs, name)...)
}

// showPlan works a plan out, has it reviewed, and shows it.
func (e *env) showPlan(in dosing.Input, s site.Site, inputs ...string) error {
	p, err := dosing.Make(in)
	if err != nil {
		return err
	}
	today, err := e.today()
	if err != nil {
		return err
	}
	p, findings := p.Reviewed(s, today)
	r := templates.NewPlan(p, findings.Findings, p.Solids(s))
	if findings.Stopped {
		e.noAnswer()
	}
	impossible := p.Notes.Err()
	if impossible != nil && e.flags.out != "" && e.flags.out != "-" {
		return impossible // no file that might be pinned to a wall
	}
	if err := e.emit(r, inputs...); err != nil {
		return err
	}
	return impossible // shown all the same, because its figures say why
}

// today is the date given, else the clock's.
func (e *env) today() (time.Time, error) {
	o, err := e.options()
	if err == nil && o.Date.IsZero() {
		o.Date = time.Now()
	}
	return o.Date, err
}

// openSite reads a site; without a name it is site.xlsx, else site.yaml, in this folder.
func (e *env) openSite(name string) (site.Site, string, error) {
	if name == "" {
		for _, n := range []string{"site.xlsx", "site.yaml"} {
			if _, err := os.Stat(n); !errors.Is(err, fs.ErrNotExist) {
				name = n
				break
			}
		}
		if name == "" {
			return site.Site{}, "", note.Fault("no-site", "there is no site.xlsx in this folder").
				Do(`make one with "jarwright new site site.xlsx", or name yours`)
		}
	}
	data, err := e.readInput(name)
	if err != nil {
		return site.Site{}, name, err
	}
	s, err := site.Read(name, bytes.NewReader(data))
	return s, name, err
}

// beside gives a file that a site names: as it stands if absolute, else beside the site.
func beside(siteFile, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(siteFile), filepath.FromSlash(name))
}

// gather reads what the site points at: the meter log and the bench sheets. It
// also lists the files read.
func (e *env) gather(s site.Site, siteFile string) (dosing.Given, []string, error) {
	g := dosing.Given{Catalogue: product.Default(), Bench: map[int]dosing.BenchDose{}}
	log, inputs, err := e.siteLog(s, siteFile)
	errs := note.Of(err, "log")
	g.Log = log
	doses, files, err := e.benchDoses(s, siteFile, g)
	inputs = append(inputs, files...)
	if none := (noDose{}); errors.As(err, &none) && len(errs) == 0 {
		return g, inputs, err
	}
	errs = append(errs, note.Of(err, "bench")...)
	g.Bench = doses
	return g, inputs, errs.Err()
}

// siteLog reads the meter log that a site names, nil where it names none.
func (e *env) siteLog(s site.Site, siteFile string) (*flow.Log, []string, error) {
	if !s.Flow.Log.OK {
		return nil, nil, nil
	}
	file := beside(siteFile, s.Flow.Log.V)
	log, err := e.readLog(file, s.Flow)
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
			l[i].Message = l[i].Place.File + " " + l[i].Message
			l[i].Place = at
		}
		if l[i].Place == (note.Place{}) {
			l[i].Place = at
		}
	}
	return l
}

// readLog reads a meter log, delimited text or a workbook.
func (e *env) readLog(file string, f site.Flow) (flow.Log, error) {
	data, err := e.readInput(file)
	if err != nil {
		return flow.Log{}, err
	}
	opt := flow.Options{TimeColumn: f.LogTime.V, FlowColumn: f.LogFlow.V, Unit: f.LogUnit.V}
	if strings.EqualFold(filepath.Ext(file), ".xlsx") {
		rows, sheet, date1904, err := site.Rows(file, data, f.LogSheet.V)
		if err != nil {
			return flow.Log{}, err
		}
		opt.Date1904 = date1904
		return flow.ReadRows(file, sheet, rows, opt)
	}
	return flow.ReadCSV(file, bytes.NewReader(data), opt)
}
