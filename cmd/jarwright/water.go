package main

import (
	"github.com/spf13/pflag"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// waterFlags describe the water and the animals where there is no site.
type waterFlags struct {
	ph, alkalinity, temperature, hardness, doc, salinity, conductivity string
	ammonia, turbidity, jarPH, residualAl, residualFe                  string
	animals                                                            []string
	purpose, system, newWater, monomer, capture                        string
}

// waterFlagNames lists theirs, in the order of add.
func waterFlagNames() []string {
	return []string{"ph", "alkalinity", "temperature", "hardness", "doc", "salinity", "conductivity", "ammonia", "turbidity",
		"jar-ph", "residual-al", "residual-fe", "animal", "purpose", "system", "new-water", "monomer", "capture"}
}

func (f *waterFlags) add(p *pflag.FlagSet) {
	p.StringVar(&f.ph, "ph", "", "of the raw water")
	p.StringVar(&f.alkalinity, "alkalinity", "", `of the raw water, such as "85 mg/L CaCO3"`)
	p.StringVar(&f.temperature, "temperature", "", `of the water, such as "9 C"`)
	p.StringVar(&f.hardness, "hardness", "", `total, as CaCO3, such as "95 mg/L"`)
	p.StringVar(&f.doc, "doc", "", `dissolved organic carbon, such as "2.5 mg/L"`)
	p.StringVar(&f.salinity, "salinity", "", `such as "25 g/kg" (fresh when absent)`)
	p.StringVar(&f.conductivity, "conductivity", "", `such as "240 uS/cm"`)
	p.StringVar(&f.ammonia, "ammonia", "", `total ammonia as N, such as "0.5 mg/L"`)
	p.StringVar(&f.turbidity, "turbidity", "", `of the raw water, such as "60 NTU"`)
	p.StringVar(&f.jarPH, "jar-ph", "", "pH read on the chosen jar; it goes before the computed one")
	p.StringVar(&f.residualAl, "residual-al", "", `aluminium read on the chosen jar, such as "0.08 mg/L"`)
	p.StringVar(&f.residualFe, "residual-fe", "", `iron read on the chosen jar, such as "0.1 mg/L"`)
	p.StringArrayVar(&f.animals, "animal", nil, `animals that get the water, such as "rainbow trout" (repeat for more)`)
	p.StringVar(&f.purpose, "purpose", "", "animals, drinking water, wastewater or other")
	p.StringVar(&f.system, "system", "", `water in the loop that comes round again, such as "20 m3"`)
	p.StringVar(&f.monomer, "monomer", "", `monomer left in the polymer by its certificate, such as "0.05 %"`)
	p.StringVar(&f.capture, "capture", "", `measured share of the dose that leaves with the floc, such as "80 %"`)
	p.StringVar(&f.newWater, "new-water", "", `share of the loop replaced each day, such as "10 %"`)
}

// chemical is what the flags say of the one that is dosed.
func (f waterFlags) chemical(name string) (site.Chemical, error) {
	c := site.Chemical{Name: site.Val[string]{V: name, Set: true}}
	var errs note.List
	readVal(&errs, "--monomer", f.monomer, quantity.ParseFraction, &c.Monomer)
	readVal(&errs, "--capture", f.capture, quantity.ParseFraction, &c.Capture)
	return c, errs.Err()
}

// site puts the flags where a site workbook would have them.
func (f waterFlags) site() (site.Site, error) {
	var s site.Site
	var errs note.List
	w := &s.Water
	readVal(&errs, "--ph", f.ph, quantity.ParsePH, &w.PH)
	readVal(&errs, "--alkalinity", f.alkalinity, quantity.ParseAlkalinity, &w.Alkalinity)
	readVal(&errs, "--temperature", f.temperature, quantity.ParseTemperature, &w.Temperature)
	readVal(&errs, "--hardness", f.hardness, quantity.ParseConcentration, &w.Hardness)
	readVal(&errs, "--doc", f.doc, quantity.ParseConcentration, &w.DOC)
	readVal(&errs, "--salinity", f.salinity, quantity.ParseSalinity, &w.Salinity)
	readVal(&errs, "--conductivity", f.conductivity, quantity.ParseConductance, &w.Conductivity)
	readVal(&errs, "--ammonia", f.ammonia, quantity.ParseConcentration, &w.TAN)
	readVal(&errs, "--turbidity", f.turbidity, quantity.ParseCloudiness, &w.Turbidity)
	readVal(&errs, "--jar-ph", f.jarPH, quantity.ParsePH, &w.JarPH)
	readVal(&errs, "--residual-al", f.residualAl, quantity.ParseConcentration, &w.ResidualAl)
	readVal(&errs, "--residual-fe", f.residualFe, quantity.ParseConcentration, &w.ResidualFe)
	readVal(&errs, "--system", f.system, quantity.ParseVolume, &w.System)
	readVal(&errs, "--new-water", f.newWater, quantity.ParseFraction, &w.Exchange)
	readVal(&errs, "--purpose", f.purpose, purpose, &s.Place.Purpose)
	for _, a := range f.animals {
		s.Animals = append(s.Animals, site.Animal{Name: site.Val[string]{V: a, Set: true}, Species: site.Val[string]{V: a, Set: true}})
	}
	if w.System.Set {
		s.Place.Passes = site.Val[string]{V: site.Recirculating, Set: true}
	} else if w.Exchange.Set {
		errs.Add(note.Fault("flag-missing", "--new-water needs --system").Do(`add the water in the loop, such as --system "20 m3"`))
	}
	return s, errs.Err()
}

// readVal parses a flag's text into a value of a site, if it was given.
func readVal[T any](errs *note.List, flag, text string, parse func(string) (T, error), into *site.Val[T]) {
	read(errs, flag, text, parse, &into.V)
	into.Set, into.Text = text != "", text
}

// purpose reads one of the site's purposes.
func purpose(s string) (string, error) {
	all := []string{site.ForAnimals, site.ForDrinking, site.ForWastewater, site.ForOther}
	for _, p := range all {
		if p == s {
			return p, nil
		}
	}
	return "", note.Fault("purpose-unknown", "%q is no purpose%s", s, note.DidYouMean(s, all)).Do("use animals, drinking water, wastewater or other")
}
