package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/animal"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// clarifyFlags describe a tank on the command line.
type clarifyFlags struct {
	volume, flow, start, stop, removal, bare, floor, rise string
	exchange, exchangeReading, hours, begin, longest      string
	doses                                                 []string
	between                                               bool
	basis, chemical, strength, density, stock, caught     string
	ph, alkalinity, temperature, salinity                 string
	animals                                               []string
	perNTU, sludge, bin, skim, skimWater                  string
}

func newClarify(e *env) *cobra.Command {
	var f clarifyFlags
	c := &cobra.Command{
		Use:   "clarify [SITE]",
		Short: "Cleaning up a recirculated tank: time, chemical, residual, waste",
		Long: `Works out how long a muddy tank must be circulated through the unit until it is
clear, what that takes of chemical, what comes off as float or sludge, what is left
in the water, and when to take a jar test again. The same water passes again and
again: residuals add up, and the dose needed falls as the water clears.

Without SITE it reads site.xlsx in this folder; with --volume it works without a
site. A dose is constant ("12 mg/L as alum 14-hydrate") or goes by the reading
("30 NTU=20 mg/L, 0 NTU=8 mg/L as alum 14-hydrate": each holds from its reading
upwards, down to the next; with --between it is drawn straight between them). A
chemical may stand before it: "cpam-dry: 0.2 mg/L as product".`,
		Example: `  jarwright clarify site.xlsx
  jarwright clarify --volume "60 m3" --flow "12 m3/h" --start "80 NTU" --stop "5 NTU" --capture "85 %"
  jarwright clarify --volume "60 m3" --flow "12 m3/h" --start "80 NTU" --stop "5 NTU" --capture "85 %" --dose "alum-liquid: 30 NTU=12 mg/L, 0 NTU=6 mg/L as alum 14-hydrate" --ph 7.6 --alkalinity "85 mg/L CaCO3"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			quick := ""
			for _, n := range tankFlags {
				if cmd.Flags().Changed(n) {
					quick = n
				}
			}
			switch {
			case quick != "" && len(args) > 0:
				return badUsage("clarify takes a site or the tank's flags (--%s), not both", quick)
			case quick != "":
				return e.clarifyQuick(f)
			}
			name := ""
			if len(args) > 0 {
				name = args[0]
			}
			return e.clarifySite(name)
		},
	}
	p := c.Flags()
	p.StringVar(&f.volume, "volume", "", `water in the tank, "60 m3"`)
	p.StringVar(&f.flow, "flow", "", `flow through the unit and back, "12 m3/h"`)
	p.StringVar(&f.start, "start", "", `the tank's reading now, "80 NTU", or suspended solids, "120 mg/L"`)
	p.StringVar(&f.stop, "stop", "", `the reading at which it is clear enough, "5 NTU"`)
	p.StringVar(&f.removal, "capture", "", `share that one pass takes out, "85 %" (1 - outlet / inlet of the unit)`)
	p.StringVar(&f.bare, "bare", "", `share that one pass takes out when nothing is dosed, "40 %" (0 when absent)`)
	p.StringVar(&f.floor, "floor", "", `reading that the unit's outlet never gets below, "0.8 NTU"`)
	p.StringVar(&f.rise, "rise", "", `how much the reading would rise in an hour with the unit off, "0.5 NTU/h"`)
	p.StringVar(&f.exchange, "exchange", "", `new water in and old water out, "1 m3/h"`)
	p.StringVar(&f.exchangeReading, "exchange-reading", "", `reading of the new water, "3 NTU" (0 when absent)`)
	p.StringVar(&f.hours, "hours", "", `hours in which the unit runs, "06:00-22:00" (all day when absent)`)
	p.StringVar(&f.begin, "begin", "06:00", "clock time of the start")
	p.StringVar(&f.longest, "longest", "", `give up after, "14 d" when absent`)
	p.StringArrayVar(&f.doses, "dose", nil, `"[CHEMICAL:] DOSE [as BASIS]" or "[CHEMICAL:] READING=DOSE, READING=DOSE [as BASIS]" (repeat)`)
	p.BoolVar(&f.between, "between", false, "draw the dose straight between the readings given, instead of in steps")
	p.StringVar(&f.basis, "basis", "", "what the doses count, where --dose does not say")
	p.StringVar(&f.chemical, "chemical", "", "product of the catalogue, where --dose does not say (guessed from the basis when absent)")
	p.StringVar(&f.strength, "strength", "", `of the product, on the basis of the dose, "48.5 %" (one chemical only)`)
	p.StringVar(&f.density, "density", "", `of the product, "1.335 kg/L" (one chemical only)`)
	p.StringVar(&f.stock, "stock", "", `product per litre of stock, "150 g/L" (neat when absent; one chemical only)`)
	p.StringVar(&f.caught, "caught", "", `measured share of the dose that leaves with the floc, "90 %" (one chemical only)`)
	p.StringVar(&f.ph, "ph", "", "of the tank's water")
	p.StringVar(&f.alkalinity, "alkalinity", "", `of the tank's water, "85 mg/L CaCO3"`)
	p.StringVar(&f.temperature, "temperature", "", `of the tank's water, "9 C"`)
	p.StringVar(&f.salinity, "salinity", "", `of the tank's water, "25 g/kg" (fresh when absent)`)
	p.StringArrayVar(&f.animals, "animal", nil, `what lives in it, such as "rainbow trout" (repeat)`)
	p.StringVar(&f.perNTU, "per-ntu", "", "mg/L of suspended solids per NTU (1.5 when absent)")
	p.StringVar(&f.sludge, "sludge", "", `dry solids in float or sludge, "2 %"`)
	p.StringVar(&f.bin, "bin", "", `bin for float or sludge, "432 L"; nine tenths of it count`)
	p.StringVar(&f.skim, "skim", "", `time between two passes of the skimmer, "5 min"`)
	p.StringVar(&f.skimWater, "skim-water", "", `water that a pass carries over, "0.4 L"`)
	e.completeProducts(c, "chemical")
	return c
}

// tankFlags are those that describe a tank without a site.
var tankFlags = [...]string{"volume", "flow", "start", "stop", "capture", "bare", "floor", "rise", "exchange", "exchange-reading", "hours", "begin", "longest", "dose", "between", "basis",
	"chemical", "strength", "density", "stock", "caught", "ph", "alkalinity", "temperature", "salinity", "animal", "per-ntu", "sludge", "bin", "skim", "skim-water"}

// tankDose is one --dose.
type tankDose struct {
	chemical string
	rule     clarify.Rule
	basis    quantity.Basis
}

// parseTankDose reads a dose of the quick form.
func (f clarifyFlags) parseTankDose(s string, key jartest.Key) (tankDose, error) {
	var d tankDose
	rest := s
	if name, after, ok := strings.Cut(s, ":"); ok {
		d.chemical, rest = strings.TrimSpace(name), after
	}
	if i := strings.LastIndex(strings.ToLower(rest), " as "); i >= 0 {
		b, err := quantity.ParseBasis(rest[i+1:])
		if err != nil {
			return d, err
		}
		d.basis, rest = b, rest[:i]
	} else if f.basis != "" {
		b, err := quantity.ParseBasis(f.basis)
		if err != nil {
			return d, err
		}
		d.basis = b
	}
	var err error
	d.rule, err = clarify.ParseRule(rest, key, f.between)
	return d, err
}

// clarifyQuick serves a tank that the command line describes.
func (e *env) clarifyQuick(f clarifyFlags) error {
	in, err := f.input()
	if err != nil {
		return usageError{err}
	}
	return e.showCleaning(in)
}

// input reads the flags. All that is wrong is told at once.
func (f clarifyFlags) input() (dosing.CleaningInput, error) {
	var in dosing.CleaningInput
	var errs note.List
	for _, x := range [][2]string{{"volume", f.volume}, {"flow", f.flow}, {"start", f.start}, {"stop", f.stop}, {"capture", f.removal}} {
		if x[1] == "" {
			errs.Add(note.Fault("flag-missing", "--%s is missing", x[0]).Do("a tank without a site needs --volume, --flow, --start, --stop and --capture"))
		}
	}
	if len(errs) > 0 {
		return in, errs
	}
	k := clarify.Tank{Key: jartest.Turbidity}
	readings := func(flag, text string, into *float64, key *jartest.Key) {
		if text == "" {
			return
		}
		v, found, err := clarify.ParseReading(text)
		switch {
		case err != nil:
			errs = append(errs, note.Of(err, "bad-reading")...)
		case *key != "" && found != *key:
			errs.Add(note.Fault("bad-reading", "--%s %q is %s, --start is %s", flag, text, found.Info().Label, key.Info().Label).Do("use one unit for all readings"))
		default:
			*into, *key = v, found
		}
	}
	var key jartest.Key
	readings("start", f.start, &k.Start, &key)
	readings("stop", f.stop, &k.Stop, &key)
	readings("floor", f.floor, &k.Floor, &key)
	readings("exchange-reading", f.exchangeReading, &k.New, &key)
	readings("rise", strings.TrimSuffix(strings.TrimSpace(f.rise), "/h"), &k.Rise, &key)
	if key != "" {
		k.Key = key
	}
	read(&errs, "--volume", f.volume, quantity.ParseVolume, &k.Volume)
	read(&errs, "--flow", f.flow, quantity.ParseFlow, &k.Flow)
	read(&errs, "--capture", f.removal, quantity.ParseFraction, &k.Removal)
	read(&errs, "--bare", f.bare, quantity.ParseFraction, &k.Bare)
	read(&errs, "--exchange", f.exchange, quantity.ParseFlow, &k.Exchange)
	read(&errs, "--hours", f.hours, flow.ParseHours, &k.Hours)
	read(&errs, "--begin", f.begin, flow.ParseClock, &k.Begin)
	read(&errs, "--longest", f.longest, quantity.ParseTime, &k.Longest)
	read(&errs, "--sludge", f.sludge, quantity.ParseFraction, &k.Share)
	read(&errs, "--bin", f.bin, quantity.ParseVolume, &k.Bin.Volume)
	read(&errs, "--skim", f.skim, quantity.ParseTime, &k.Skim.Every)
	read(&errs, "--skim-water", f.skimWater, quantity.ParseVolume, &k.Skim.Water)
	read(&errs, "--alkalinity", f.alkalinity, quantity.ParseAlkalinity, &k.Alkalinity)
	k.HasAlkalinity, k.NewAlkalinity = f.alkalinity != "", k.Alkalinity
	read(&errs, "--per-ntu", f.perNTU, func(s string) (float64, error) {
		v, rest, err := quantity.Split(s)
		if err != nil || rest != "" || v <= 0 {
			return 0, note.Fault("bad-number", "%q is not a number above zero", s)
		}
		return v, nil
	}, &k.PerUnit)
	if (k.Bin.Volume > 0 || k.Skim.Every > 0) && k.Share == 0 && len(errs) == 0 {
		k.Share, in.Notes = solids.Range[quantity.Fraction]{Likely: 0.02}.Likely, append(in.Notes,
			note.New(note.Info, "sludge-assumed", "float is taken at 2 %% dry").Do("give --sludge").From("Zabel 1985 (abstract)"))
	}
	f.around(&in, k, &errs)
	f.chemicals(&in, &k, &errs)
	in.Tank = k
	return in, errs.Err()
}

// around fills in water and animals.
func (f clarifyFlags) around(in *dosing.CleaningInput, k clarify.Tank, errs *note.List) {
	opt := func(text string) bool { return text != "" }
	w := &in.Around.Water
	read(errs, "--ph", f.ph, quantity.ParsePH, &w.PH.V)
	read(errs, "--temperature", f.temperature, quantity.ParseTemperature, &w.Temperature.V)
	read(errs, "--salinity", f.salinity, quantity.ParseSalinity, &w.Salinity.V)
	w.PH.OK, w.Temperature.OK, w.Salinity.OK = opt(f.ph), opt(f.temperature), opt(f.salinity)
	if k.HasAlkalinity {
		w.Alkalinity = quantity.Some(k.Alkalinity)
	}
	for _, name := range f.animals {
		p, err := animal.Find(name)
		if err != nil {
			*errs = append(*errs, note.Of(err, "animal-unknown")...)
			continue
		}
		in.Around.Stock = append(in.Around.Stock, caution.Animal{Name: p.Name, Profile: p})
		in.Around.Purpose = caution.Animals
	}
}

// chemicals reads every --dose.
func (f clarifyFlags) chemicals(in *dosing.CleaningInput, k *clarify.Tank, errs *note.List) {
	catalogue := product.Default()
	single := f.strength != "" || f.density != "" || f.stock != "" || f.caught != ""
	if single && len(f.doses) != 1 {
		errs.Add(note.Fault("one-chemical", "--strength, --density, --stock and --caught describe one chemical, and %d doses are given", len(f.doses)).Do("describe several chemicals in a site workbook"))
		return
	}
	for _, text := range f.doses {
		d, err := f.parseTankDose(text, k.Key)
		if err != nil {
			*errs = append(*errs, note.Of(err, "bad-dose")...)
			continue
		}
		var strength quantity.Fraction
		var density quantity.Density
		var perLitre quantity.Concentration
		read(errs, "--strength", f.strength, quantity.ParseFraction, &strength)
		read(errs, "--density", f.density, quantity.ParseDensity, &density)
		read(errs, "--stock", f.stock, quantity.ParseConcentration, &perLitre)
		name := d.chemical
		if name == "" {
			name = f.chemical
		}
		// The plan's own reading of a product from flags: one place for the rules.
		q := dosing.Quick{Flow: k.Flow, Dose: quantity.Dose{Concentration: d.rule.At(k.Start), Basis: d.basis}, Chemical: name, Strength: strength, Density: density, PerLitre: perLitre}
		p, err := q.Input(catalogue)
		if err != nil {
			*errs = append(*errs, note.Of(err, "bad-dose")...)
			continue
		}
		in.Notes = append(in.Notes, p.Notes...)
		made := p.Feeds[0].Stock.Product
		if name == "" {
			name = made.ID
		}
		if name == "" {
			name = made.Name
		}
		x, err := clarify.Of(name, made, d.basis, d.rule, perLitre, in.Around.Stock)
		if err != nil {
			*errs = append(*errs, note.Of(err, "bad-dose")...)
			continue
		}
		read(errs, "--caught", f.caught, quantity.ParseFraction, &x.Capture)
		x.HasCapture = f.caught != ""
		k.Chemicals = append(k.Chemicals, x)
		in.Products = append(in.Products, made)
		in.Pumps = append(in.Pumps, (*pump.Pump)(nil))
	}
}

// clarifySite cleans up the tank that a site names.
func (e *env) clarifySite(name string) error {
	o, err := e.options()
	if err != nil {
		return err
	}
	s, name, err := e.openSite(name)
	if err != nil {
		return err
	}
	g, inputs, err := e.gather(s, name)
	if err != nil {
		return err
	}
	in, err := dosing.CleaningFromSite(s, g, o.Date)
	if err != nil {
		return err
	}
	return e.showCleaning(in, append(inputs, name)...)
}

// showCleaning works a cleaning out and shows it; a tank that does not clear, or
// a stop, ends with exit code 3.
func (e *env) showCleaning(in dosing.CleaningInput, inputs ...string) error {
	done := e.working("running the tank")
	c, err := dosing.Clean(in)
	done()
	if err != nil {
		return err
	}
	if c.Stopped || c.Outcome == clarify.NeverClears || c.Outcome == clarify.TooLong {
		e.noAnswer()
	}
	if c.Outcome == clarify.ClearAlready {
		e.say("%s", fmt.Sprintf("the tank is clear already: %g against %g %s", in.Tank.Start, in.Tank.Stop, in.Tank.Unit()))
	}
	return e.emit(templates.ClarifyReport{Cleaning: c}, inputs...)
}
