package site

import (
	"time"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Sheets gives the field table. Workbook and site.yaml, the writer, the reader
// and the list of fields in the documentation all rest on it.
func Sheets() []Sheet {
	return []Sheet{
		{Name: "Place", Meaning: "What and where the site is.",
			record: func(s *Site, _ int, _ bool) any { return &s.Place }, Fields: placeFields()},
		{Name: "Water", Meaning: "The raw water, and what was read on the chosen jar. What is left empty is not checked.",
			record: func(s *Site, _ int, _ bool) any { return &s.Water }, Fields: waterFields()},
		{Name: "Flow", Meaning: "The water to be treated. Give an average, or the hours, or a meter log.",
			record: func(s *Site, _ int, _ bool) any { return &s.Flow }, Fields: flowFields()},
		{Name: "Chemicals", Meaning: "What is dosed, one row a chemical. The dose is a number or comes from a bench sheet.", List: true, Thing: "chemical",
			record: nth(func(s *Site) *[]Chemical { return &s.Chemicals }), place: func(r any, p note.Place) { r.(*Chemical).At = p }, Fields: chemicalFields()},
		{Name: "Stocks", Meaning: "What the pumps deliver: neat product, or a stock made up with water.", List: true, Thing: "stock",
			record: nth(func(s *Site) *[]Stock { return &s.Stocks }), place: func(r any, p note.Place) { r.(*Stock).At = p }, Fields: stockFields()},
		{Name: "Pumps", Meaning: "The metering pumps.", List: true, Thing: "pump",
			record: nth(func(s *Site) *[]Pump { return &s.Pumps }), place: func(r any, p note.Place) { r.(*Pump).At = p }, Fields: pumpFields()},
		{Name: "Drawdown", Meaning: "Timed readings of the pumps, at least two settings a pump.", List: true, Thing: "reading",
			record: nth(func(s *Site) *[]Drawdown { return &s.Drawdown }), place: func(r any, p note.Place) { r.(*Drawdown).At = p }, Fields: drawdownFields()},
		{Name: "Tanks", Meaning: "Stock tanks, make-up tanks, stores, bins and animal tanks.", List: true, Thing: "tank",
			record: nth(func(s *Site) *[]Tank { return &s.Tanks }), place: func(r any, p note.Place) { r.(*Tank).At = p }, Fields: tankFields()},
		{Name: "Solids", Meaning: "What the unit takes out and where it goes.",
			record: func(s *Site, _ int, _ bool) any { return &s.Solids }, Fields: solidsFields()},
		{Name: "Animals", Meaning: "The animals that the treated water reaches.", List: true, Thing: "group of animals",
			record: nth(func(s *Site) *[]Animal { return &s.Animals }), place: func(r any, p note.Place) { r.(*Animal).At = p }, Fields: animalFields()},
		{Name: "Prices", Meaning: "What the chemicals cost and how they are bought.", List: true, Thing: "price",
			record: nth(func(s *Site) *[]Price { return &s.Prices }), place: func(r any, p note.Place) { r.(*Price).At = p }, Fields: priceFields()},
		{Name: "Calendar", Meaning: "Days that differ: closed, longer, another flow. A date goes before a weekday.", List: true, Thing: "rule",
			record: nth(func(s *Site) *[]Day { return &s.Calendar }), place: func(r any, p note.Place) { r.(*Day).At = p }, Fields: calendarFields()},
		{Name: "Accepted", Meaning: "Stops that somebody takes the risk of, with name and reason. They are printed on the plan.", List: true, Thing: "acceptance",
			record: nth(func(s *Site) *[]Acceptance { return &s.Accepted }), place: func(r any, p note.Place) { r.(*Acceptance).At = p }, Fields: acceptedFields()},
	}
}

// nth gives a row of a list by its number, nil where it is not there; grow makes it.
func nth[T any](list func(*Site) *[]T) func(s *Site, row int, grow bool) any {
	return func(s *Site, row int, grow bool) any {
		l := list(s)
		for grow && len(*l) <= row {
			*l = append(*l, *new(T))
		}
		if row >= len(*l) {
			return nil
		}
		return &(*l)[row]
	}
}

// What the choices are, used by the table and by those who read the site.
const (
	ForAnimals     = "animals"
	ForDrinking    = "drinking water"
	ForWastewater  = "wastewater"
	ForOther       = "other"
	OnceThrough    = "once through"
	Recirculating  = "recirculating"
	Batch          = "batch"
	KnobSpeed      = "speed"
	KnobStroke     = "stroke"
	KnobBoth       = "speed and stroke"
	TankStock      = "stock"
	TankMakeUp     = "make-up"
	TankStore      = "product store"
	TankBin        = "bin"
	TankAnimals    = "animals"
	TankOther      = "other"
	ReachedAlways  = "always"
	ReachedMixed   = "mixed"
	ReachedNever   = "never"
	UnitFlotation  = "flotation"
	UnitSettler    = "settler"
	ChargeCationic = "cationic"
	ChargeAnionic  = "anionic"
	ChargeNonIonic = "non-ionic"
	UsualWater     = "usual"
	ClearWater     = "clear"
	StormWater     = "storm"
	// Rows of Prices that are no chemical.
	PriceDisposal    = "disposal of solids"
	PriceWater       = "make-up water"
	PriceElectricity = "electricity"
)

var (
	purposes = []string{ForAnimals, ForDrinking, ForWastewater, ForOther}
	passes   = []string{OnceThrough, Recirculating, Batch}
	knobs    = []string{KnobSpeed, KnobStroke, KnobBoth}
	tankUses = []string{TankStock, TankMakeUp, TankStore, TankBin, TankAnimals, TankOther}
	reached  = []string{ReachedAlways, ReachedMixed, ReachedNever}
	units    = []string{UnitFlotation, UnitSettler}
	charges  = []string{ChargeCationic, ChargeAnionic, ChargeNonIonic}
	weekdays = []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	yesNo    = []string{"yes", "no"}

	rawWaters   = []string{UsualWater, ClearWater, StormWater}
	otherPrices = []string{PriceDisposal, PriceWater, PriceElectricity}
)

func placeFields() []Field {
	return []Field{
		{Name: "name", Meaning: "name of the place, printed on the plan", Example: "Beckside trout hatchery (example)", Need: Needed,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "purpose", Meaning: "what the treated water is for", Example: ForAnimals, Need: Needed, Choices: purposes,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Purpose }, choice(purposes...))},
		{Name: "water passes", Also: []string{"passes"}, Meaning: "does the water go through once, come round again, or is a tank cleaned up", Example: OnceThrough, Need: Needed, Choices: passes,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Passes }, choice(passes...))},
		{Name: "example values", Meaning: "yes while this file still holds the example it was made with; change to no when it is yours", Example: "yes", Need: Optional, Choices: yesNo,
			put: bind(func(r *Place) *quantity.Known[bool] { return &r.Examples }, parseYesNo)},
		{Name: "staffed from", Meaning: "somebody is there from, hh:mm; empty is round the clock", Example: "06:00", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[quantity.Time] { return &r.From }, ParseClock)},
		{Name: "staffed till", Meaning: "and till, hh:mm", Example: "20:30", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[quantity.Time] { return &r.Till }, ParseClock)},
		{Name: "currency", Meaning: "for costs", Example: "EUR", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Currency }, parseText)},
		{Name: "date", Meaning: "of these figures, year-month-day", Example: "2026-03-02", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[time.Time] { return &r.Date }, parseDate)},
		{Name: "kept by", Meaning: "who keeps this file up to date", Example: "shift lead", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Keeper }, parseText)},
		{Name: "also kept here", Meaning: "other chemicals in the shed, parted by semicolons, to warn of what must never meet", Example: "sodium hypochlorite", Need: Optional,
			put: bind(func(r *Place) *quantity.Known[string] { return &r.Stored }, parseText)},
	}
}

func waterFields() []Field {
	return []Field{
		{Name: "temperature", Unit: "C", Meaning: "of the water", Example: "9", Need: "for the water checks", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Temperature] { return &r.Temperature }, quantity.ParseTemperature)},
		{Name: "pH", Meaning: "of the raw water", Example: "7.6", Need: "for the water checks", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.PH] { return &r.PH }, quantity.ParsePH)},
		{Name: "alkalinity", Unit: "mg/L CaCO3", Meaning: "of the raw water", Example: "85", Need: "for the water checks", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Alkalinity] { return &r.Alkalinity }, notNegative(quantity.ParseAlkalinity))},
		{Name: "hardness", Unit: "mg/L", Meaning: "total, as CaCO3", Example: "95", Need: "for aluminium limits", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.Hardness }, notNegative(quantity.ParseConcentration))},
		{Name: "salinity", Unit: "g/kg", Meaning: "0 for fresh water", Example: "0", Need: "for the water checks", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Salinity] { return &r.Salinity }, notNegative(quantity.ParseSalinity))},
		{Name: "conductivity", Unit: "uS/cm", Meaning: "at 25 C", Example: "240", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Conductance] { return &r.Conductivity }, notNegative(quantity.ParseConductance))},
		{Name: "DOC", Also: []string{"dissolved organic carbon"}, Unit: "mg/L", Meaning: "dissolved organic carbon", Example: "2.5", Need: "for aluminium limits", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.DOC }, notNegative(quantity.ParseConcentration))},
		{Name: "turbidity", Unit: "NTU", Meaning: "of the raw water", Example: "60", Need: "for solids", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Cloudiness] { return &r.Turbidity }, notNegative(quantity.ParseCloudiness))},
		{Name: "suspended solids", Also: []string{"TSS"}, Unit: "mg/L", Meaning: "of the raw water, if measured; it goes before turbidity", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.TSS }, notNegative(quantity.ParseConcentration))},
		{Name: "total ammonia", Also: []string{"TAN"}, Unit: "mg/L", Meaning: "as N", Example: "0.15", Need: "with animals", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.TAN }, notNegative(quantity.ParseConcentration))},
		{Name: "carbon dioxide", Also: []string{"CO2"}, Unit: "mg/L", Meaning: "if measured; else from pH and alkalinity", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.CO2 }, notNegative(quantity.ParseConcentration))},
		{Name: "alkalinity to leave", Unit: "mg/L CaCO3", Meaning: "least alkalinity after dosing", Example: "50", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Alkalinity] { return &r.AlkFloor }, notNegative(quantity.ParseAlkalinity))},
		{Name: "pH to hold", Meaning: "pH wanted after dosing, if it is corrected", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.PH] { return &r.PHTarget }, quantity.ParsePH)},
		{Name: "pH of the chosen jar", Meaning: "if it was read; it goes before the computed pH", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.PH] { return &r.JarPH }, quantity.ParsePH)},
		{Name: "residual aluminium", Unit: "mg/L", Meaning: "total, read on the chosen jar", Example: "0.08", Need: "with aluminium", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.ResidualAl }, notNegative(quantity.ParseConcentration))},
		{Name: "residual iron", Unit: "mg/L", Meaning: "total, read on the chosen jar", Example: "", Need: "with iron", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Concentration] { return &r.ResidualFe }, notNegative(quantity.ParseConcentration))},
		{Name: "new water", Unit: "%", Meaning: "share of the system's water replaced each day", Example: "", Need: "if recirculating", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Fraction] { return &r.Exchange }, quantity.ParseFraction)},
		{Name: "water in the system", Unit: "m3", Meaning: "tanks and pipes together", Example: "", Need: "if recirculating", Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Volume] { return &r.System }, positive(quantity.ParseVolume))},
		{Name: "clear days", Unit: "%", Meaning: "share of days with clear water, in a month like the one planned", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Fraction] { return &r.ClearDays }, quantity.ParseFraction)},
		{Name: "storm days", Unit: "%", Meaning: "share of days with storm water, in a month like the one planned", Example: "15", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Fraction] { return &r.StormDays }, quantity.ParseFraction)},
		{Name: "turbidity when clear", Unit: "NTU", Meaning: "of the raw water on clear days", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Cloudiness] { return &r.ClearTurbidity }, quantity.ParseCloudiness)},
		{Name: "turbidity in a storm", Unit: "NTU", Meaning: "of the raw water on storm days", Example: "180", Need: Optional, Numeric: true,
			put: bind(func(r *Water) *quantity.Known[quantity.Cloudiness] { return &r.StormTurbidity }, quantity.ParseCloudiness)},
	}
}

func flowFields() []Field {
	out := []Field{
		{Name: "average flow", Also: []string{"average", "flow"}, Unit: "m3/h", Meaning: "while the unit runs", Example: "3.6", Need: "without hours or log", Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.Average }, positive(quantity.ParseFlow))},
		{Name: "least flow", Also: []string{"least"}, Unit: "m3/h", Meaning: "smallest that the pump must follow", Example: "2.2", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.Least }, positive(quantity.ParseFlow))},
		{Name: "peak flow", Also: []string{"peak", "largest flow"}, Unit: "m3/h", Meaning: "largest that the pump must follow", Example: "5.4", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.Peak }, positive(quantity.ParseFlow))},
		{Name: "flow uncertainty", Unit: "%", Meaning: "how far the flow may be off, either way", Example: "10", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Fraction] { return &r.Range }, quantity.ParseFraction)},
		{Name: "run starts", Also: []string{"start"}, Meaning: "time of day, hh:mm", Example: "06:00", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[quantity.Time] { return &r.Start }, ParseClock)},
		{Name: "hours a day", Also: []string{"hours", "hours run"}, Unit: "h", Meaning: "how long the unit runs each day", Example: "24", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Time] { return &r.Hours }, dayLong)},
		{Name: "meter log", Also: []string{"log"}, Meaning: "file (.csv or .xlsx) of a flow meter, beside this one", Example: "", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[string] { return &r.Log }, parseText)},
		{Name: "log sheet", Meaning: "sheet of the log, if it is a workbook", Example: "", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[string] { return &r.LogSheet }, parseText)},
		{Name: "log time column", Meaning: "heading of its time column", Example: "time", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[string] { return &r.LogTime }, parseText)},
		{Name: "log flow column", Meaning: "heading of its flow column", Example: "flow", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[string] { return &r.LogFlow }, parseText)},
		{Name: "log unit", Meaning: "unit of its flow column, if the heading does not say", Example: "m3/h", Need: Optional,
			put: bind(func(r *Flow) *quantity.Known[string] { return &r.LogUnit }, parseText)},
		{Name: "flow at 4 mA", Unit: "m3/h", Meaning: "flow meter signal, live zero", Example: "0", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.MeterZero }, notNegative(quantity.ParseFlow))},
		{Name: "flow at 20 mA", Unit: "m3/h", Meaning: "flow meter signal, full span", Example: "9", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.MeterSpan }, positive(quantity.ParseFlow))},
		{Name: "power drawn", Unit: "W", Meaning: "by the unit and its pumps while they run", Example: "750", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Power] { return &r.Power }, notNegative(quantity.ParsePower))},
	}
	for h := range 24 {
		out = append(out, Field{Name: "flow at " + pad(h) + ":00", Also: []string{"flow at " + pad(h), "flow at " + pad(h) + "h"}, Unit: "m3/h",
			Meaning: "flow in the hour from " + pad(h) + ":00; 0 stands for not running", Need: Optional, Numeric: true,
			put: bind(func(r *Flow) *quantity.Known[quantity.Flow] { return &r.ByHour[h] }, notNegative(quantity.ParseFlow))})
	}
	return out
}

// dayLong reads the hours run a day, above 0 and up to 24.
func dayLong(s string) (quantity.Time, error) {
	t, err := quantity.ParseTime(s)
	if err == nil && (t <= 0 || t > 24) {
		err = note.Fault("bad-hours", "%q a day is not above 0 and up to 24 h", s).Do("give the hours run in one day")
	}
	return t, err
}

func chemicalFields() []Field {
	return []Field{
		{Name: "name", Meaning: "your name for it", Example: "alum", Need: Needed,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "product", Meaning: `name in the catalogue ("jarwright chemical" lists it); empty for a product of your own`, Example: "alum-liquid", Need: Optional,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Product }, parseText)},
		{Name: "dose", Unit: "mg/L", Meaning: "the dose, if it does not come from a bench sheet", Example: "12.5", Need: "without bench sheet", Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Concentration] { return &r.Dose }, dose)},
		{Name: "basis", Also: []string{"dose basis"}, Meaning: `what the dose counts: "as product", "as alum 14-hydrate", "as Al", …`, Example: "as alum 14-hydrate", Need: Needed,
			Choices: basisChoices(), put: bind(func(r *Chemical) *quantity.Known[quantity.Basis] { return &r.Basis }, quantity.ParseBasis)},
		{Name: "dose low", Unit: "mg/L", Meaning: "low end of the dose's interval", Example: "10.5", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Concentration] { return &r.DoseLow }, dose)},
		{Name: "dose high", Unit: "mg/L", Meaning: "high end of the dose's interval", Example: "14", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Concentration] { return &r.DoseHigh }, dose)},
		{Name: "bench sheet", Also: []string{"bench", "bench file"}, Meaning: "file with the jar test, beside this one", Example: "", Need: "without dose",
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Bench }, parseText)},
		{Name: "series", Also: []string{"sheet"}, Meaning: "which series or sheet of it, if there are several", Example: "", Need: Optional,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Series }, parseText)},
		{Name: "target", Meaning: `what the treated water must reach, such as "turbidity <= 5 NTU"`, Example: "", Need: "with bench sheet",
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Target }, parseText)},
		{Name: "strength", Unit: "%", Meaning: "mass of the substance per mass of product, from the label; empty takes the catalogue's", Example: "48.5", Need: "if not in the catalogue", Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Fraction] { return &r.Strength }, positive(quantity.ParseFraction))},
		{Name: "strength counts", Also: []string{"strength basis"}, Meaning: "the substance that the strength counts; empty takes the dose's basis", Example: "as alum 14-hydrate", Need: Optional,
			Choices: basisChoices(), put: bind(func(r *Chemical) *quantity.Known[quantity.Basis] { return &r.Counts }, quantity.ParseBasis)},
		{Name: "density", Unit: "kg/L", Meaning: "of the liquid product, from the label", Example: "1.335", Need: "if a liquid and not in the catalogue", Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Density] { return &r.Density }, quantity.ParseDensity)},
		{Name: "basicity", Unit: "%", Meaning: "of a polyaluminium chloride, from the certificate", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Fraction] { return &r.Basicity }, quantity.ParseFraction)},
		{Name: "stock", Meaning: "its row in Stocks; empty means fed neat", Example: "alum stock", Need: Optional,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Stock }, parseText)},
		{Name: "pump", Meaning: "its row in Pumps", Example: "pump 1", Need: "for a setting",
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Pump }, parseText)},
		{Name: "dose by turbidity", Meaning: "for cleaning up a tank: dose from a turbidity upwards, such as 30 NTU=12 mg/L; 0 NTU=6 mg/L, on the basis of the row", Example: "", Need: Optional,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.ByTurbidity }, parseText)},
		{Name: "straight between", Meaning: "are these points of a curve, with doses straight between them, instead of steps", Example: "", Need: Optional, Choices: yesNo,
			put: bind(func(r *Chemical) *quantity.Known[bool] { return &r.Between }, parseYesNo)},
		{Name: "capture", Unit: "%", Meaning: "measured share that leaves with the solids", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Fraction] { return &r.Capture }, quantity.ParseFraction)},
		{Name: "monomer", Unit: "%", Meaning: "residual monomer on the certificate", Example: "", Need: "for drinking water", Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Fraction] { return &r.Monomer }, quantity.ParseFraction)},
		{Name: "charge", Meaning: "of a polymer of your own", Example: "", Need: Optional, Choices: charges,
			put: bind(func(r *Chemical) *quantity.Known[string] { return &r.Charge }, choice(charges...))},
		{Name: "dose in clear water", Unit: "mg/L", Meaning: "on days of clear water; empty takes the dose", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Concentration] { return &r.Clear }, dose)},
		{Name: "dose in storm water", Unit: "mg/L", Meaning: "on days of storm water; empty takes the dose", Example: "20", Need: Optional, Numeric: true,
			put: bind(func(r *Chemical) *quantity.Known[quantity.Concentration] { return &r.Storm }, dose)},
	}
}

func basisChoices() []string {
	var out []string
	for _, b := range quantity.Bases() {
		out = append(out, string(b))
	}
	return out
}

// dose reads a concentration that may not be negative.
func dose(s string) (quantity.Concentration, error) {
	d, err := quantity.ParseDose(s)
	return d.Concentration, err
}

func stockFields() []Field {
	return []Field{
		{Name: "name", Meaning: "your name for it", Example: "alum stock", Need: Needed,
			put: bind(func(r *Stock) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "product in stock", Also: []string{"product", "strength"}, Unit: "g/L", Meaning: "grams of product per litre of stock; empty means neat", Example: "100", Need: "if diluted", Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Concentration] { return &r.Product }, positive(quantity.ParseConcentration))},
		{Name: "density", Also: []string{"stock density"}, Unit: "kg/L", Meaning: "of the made-up stock, if measured", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Density] { return &r.Density }, quantity.ParseDensity)},
		{Name: "tank", Also: []string{"day tank"}, Meaning: "tank that the pump draws from", Example: "day tank", Need: "for run-out times",
			put: bind(func(r *Stock) *quantity.Known[string] { return &r.Tank }, parseText)},
		{Name: "make-up tank", Also: []string{"mix tank"}, Meaning: "tank in which it is made up and aged; empty means in the tank itself", Example: "", Need: Optional,
			put: bind(func(r *Stock) *quantity.Known[string] { return &r.MixTank }, parseText)},
		{Name: "batch", Also: []string{"batch volume"}, Unit: "L", Meaning: "volume made up at a time; empty lets the plan choose", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Volume] { return &r.Batch }, positive(quantity.ParseVolume))},
		{Name: "ageing", Also: []string{"aging"}, Unit: "min", Meaning: "wait before it may be fed; empty takes the catalogue's", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Time] { return &r.Ageing }, notNegative(quantity.ParseTime))},
		{Name: "life", Unit: "h", Meaning: "how long it stays good after it is made; empty takes the catalogue's", Example: "24", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Time] { return &r.Life }, positive(quantity.ParseTime))},
		{Name: "dilution water", Also: []string{"post-dilution"}, Unit: "L/h", Meaning: "carrier water added after the pump", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Flow] { return &r.Post }, notNegative(quantity.ParseFlow))},
		{Name: "staffed from", Meaning: "somebody can make it up from, hh:mm; empty takes the times of Place", Example: "", Need: Optional,
			put: bind(func(r *Stock) *quantity.Known[quantity.Time] { return &r.From }, ParseClock)},
		{Name: "staffed till", Meaning: "somebody can make it up till, hh:mm", Example: "", Need: Optional,
			put: bind(func(r *Stock) *quantity.Known[quantity.Time] { return &r.Till }, ParseClock)},
		{Name: "work", Unit: "min", Meaning: "time to make up a batch, before ageing", Example: "15", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Time] { return &r.Mixing }, notNegative(quantity.ParseTime))},
		{Name: "make-up water", Unit: "C", Meaning: "temperature of the water it is made up with", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Stock) *quantity.Known[quantity.Temperature] { return &r.WaterMax }, quantity.ParseTemperature)},
	}
}

func pumpFields() []Field {
	return []Field{
		{Name: "name", Meaning: "your name for it", Example: "pump 1", Need: Needed,
			put: bind(func(r *Pump) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "largest rate", Also: []string{"max", "maximum", "pump max"}, Unit: "L/h", Meaning: "at full stroke and speed, from the plate", Example: "1.8", Need: "without drawdown", Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.FeedRate] { return &r.Max }, positive(quantity.ParseFeedRate))},
		{Name: "least rate", Also: []string{"min", "minimum"}, Unit: "L/h", Meaning: "smallest that it feeds evenly", Example: "0.18", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.FeedRate] { return &r.Least }, positive(quantity.ParseFeedRate))},
		{Name: "turndown", Meaning: "largest over least rate, such as 10", Example: "10", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[float64] { return &r.Turndown }, parseTurndown)},
		{Name: "knob step", Also: []string{"step"}, Unit: "%", Meaning: "smallest step of the knob", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Setting] { return &r.Step }, positive(quantity.ParseSetting))},
		{Name: "stroke step", Unit: "%", Meaning: "smallest step of the stroke knob, where there are two; empty takes the knob step", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Setting] { return &r.StrokeStep }, positive(quantity.ParseSetting))},
		{Name: "knobs", Meaning: "what can be set", Example: KnobSpeed, Need: Optional, Choices: knobs,
			put: bind(func(r *Pump) *quantity.Known[string] { return &r.Knobs }, choice(knobs...))},
		{Name: "stroke now", Also: []string{"stroke"}, Unit: "%", Meaning: "where the stroke stands", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Setting] { return &r.Stroke }, positive(quantity.ParseSetting))},
		{Name: "follows signal", Also: []string{"4-20 mA"}, Meaning: "does it follow a 4-20 mA signal", Example: "no", Need: Optional, Choices: yesNo,
			put: bind(func(r *Pump) *quantity.Known[bool] { return &r.Signal }, parseYesNo)},
		{Name: "accuracy", Unit: "%", Meaning: "the maker's, as a share of full scale", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Fraction] { return &r.Accuracy }, positive(quantity.ParseFraction))},
		{Name: "tube length", Unit: "m", Meaning: "from pump to dosing point", Example: "6", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Length] { return &r.TubeLength }, positive(quantity.ParseLength))},
		{Name: "tube bore", Unit: "mm", Meaning: "inside diameter of that tube", Example: "4", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Length] { return &r.TubeBore }, positive(quantity.ParseLength))},
		{Name: "calibrate every", Unit: "d", Meaning: "time between calibrations; 30 d where empty", Example: "30", Need: Optional, Numeric: true,
			put: bind(func(r *Pump) *quantity.Known[quantity.Time] { return &r.Every }, positive(quantity.ParseTime))},
		{Name: "other heads", Meaning: "largest rates of other heads to be had, such as 0.7 L/h; 4.5 L/h", Example: "0.7 L/h; 4.5 L/h", Need: Optional,
			put: bind(func(r *Pump) *quantity.Known[string] { return &r.Heads }, parseText)},
	}
}

func drawdownFields() []Field {
	return []Field{
		{Name: "pump", Meaning: "its row in Pumps", Example: "pump 1", Need: Needed,
			put: bind(func(r *Drawdown) *quantity.Known[string] { return &r.Pump }, parseText)},
		{Name: "speed", Also: []string{"setting"}, Unit: "%", Meaning: "knob setting (speed, or stroke where that is the only knob)", Example: "20", Need: Needed, Numeric: true,
			put: bind(func(r *Drawdown) *quantity.Known[quantity.Setting] { return &r.Speed }, quantity.ParseSetting)},
		{Name: "stroke", Unit: "%", Meaning: "where the stroke stood", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Drawdown) *quantity.Known[quantity.Setting] { return &r.Stroke }, positive(quantity.ParseSetting))},
		{Name: "volume", Unit: "mL", Meaning: "drawn from the column", Example: "11.2", Need: "without rate", Numeric: true,
			put: bind(func(r *Drawdown) *quantity.Known[quantity.Volume] { return &r.Volume }, notNegative(quantity.ParseVolume))},
		{Name: "time", Unit: "s", Meaning: "that it took", Example: "120", Need: "without rate", Numeric: true,
			put: bind(func(r *Drawdown) *quantity.Known[quantity.Time] { return &r.Time }, positive(quantity.ParseTime))},
		{Name: "rate", Unit: "mL/min", Meaning: "instead of volume and time", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Drawdown) *quantity.Known[quantity.FeedRate] { return &r.Rate }, notNegative(quantity.ParseFeedRate))},
		{Name: "date", Meaning: "of the reading, year-month-day", Example: "2026-03-01", Need: Optional,
			put: bind(func(r *Drawdown) *quantity.Known[time.Time] { return &r.Date }, parseDate)},
	}
}

func tankFields() []Field {
	return []Field{
		{Name: "name", Meaning: "your name for it", Example: "day tank", Need: Needed,
			put: bind(func(r *Tank) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "use", Meaning: "what it is for", Example: TankStock, Need: Needed, Choices: tankUses,
			put: bind(func(r *Tank) *quantity.Known[string] { return &r.Use }, choice(tankUses...))},
		{Name: "volume", Unit: "L", Meaning: "when full", Example: "36", Need: Needed, Numeric: true,
			put: bind(func(r *Tank) *quantity.Known[quantity.Volume] { return &r.Volume }, positive(quantity.ParseVolume))},
		{Name: "usable", Unit: "%", Meaning: "share that can be drawn or filled; empty counts 90 %", Example: "90", Need: Optional, Numeric: true,
			put: bind(func(r *Tank) *quantity.Known[quantity.Fraction] { return &r.Usable }, positive(quantity.ParseFraction))},
		{Name: "in it now", Also: []string{"contents"}, Unit: "L", Meaning: "usable contents when the day starts; empty counts as full (bins: empty)", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Tank) *quantity.Known[quantity.Volume] { return &r.Now }, notNegative(quantity.ParseVolume))},
	}
}

func solidsFields() []Field {
	return []Field{
		{Name: "unit", Meaning: "how the floc is taken out", Example: UnitFlotation, Need: Optional, Choices: units,
			put: bind(func(r *Solids) *quantity.Known[string] { return &r.Unit }, choice(units...))},
		{Name: "solids per NTU", Meaning: "mg/L of suspended solids per NTU; 1.5 until measured", Example: "1.5", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[float64] { return &r.PerNTU }, parseRatio)},
		{Name: "solids caught", Also: []string{"capture"}, Unit: "%", Meaning: "share of the suspended solids that the unit takes out", Example: "92", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.Capture }, quantity.ParseFraction)},
		{Name: "float or sludge solids", Also: []string{"sludge solids", "float solids"}, Unit: "%", Meaning: "dry solids in what is skimmed or drawn off", Example: "2", Need: "for bin times", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.FloatSolids }, positive(quantity.ParseFraction))},
		{Name: "float or sludge density", Unit: "kg/L", Meaning: "1 where not known", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Density] { return &r.SG }, quantity.ParseDensity)},
		{Name: "bin", Meaning: "its row in Tanks", Example: "float bin", Need: "for bin times",
			put: bind(func(r *Solids) *quantity.Known[string] { return &r.Bin }, parseText)},
		{Name: "skim every", Unit: "min", Meaning: "time between two passes of the skimmer", Example: "5", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Time] { return &r.SkimEvery }, positive(quantity.ParseTime))},
		{Name: "water at each pass", Unit: "L", Meaning: "water that a pass carries over with the float", Example: "0.72", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Volume] { return &r.SkimWater }, notNegative(quantity.ParseVolume))},
		{Name: "solids uncertainty", Unit: "%", Meaning: "how far the suspended solids may be off, either way", Example: "30", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.Doubt }, quantity.ParseFraction)},
		{Name: "deepest float", Unit: "mm", Meaning: "float depth at which solids fall back; 50 mm where empty", Example: "50", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Length] { return &r.Deepest }, positive(quantity.ParseLength))},
		{Name: "surface", Also: []string{"surface area"}, Unit: "m2", Meaning: "of the flotation unit or settler", Example: "0.72", Need: "for surface loading", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Area] { return &r.Surface }, positive(quantity.ParseArea))},
		{Name: "high rate", Meaning: "is the unit built for 20 to 40 m/h", Example: "no", Need: Optional, Choices: yesNo,
			put: bind(func(r *Solids) *quantity.Known[bool] { return &r.HighRate }, parseYesNo)},
		{Name: "recycle", Unit: "%", Meaning: "white water over raw flow", Example: "10", Need: "for air to solids", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.Recycle }, positive(quantity.ParseFraction))},
		{Name: "saturator pressure", Unit: "kPa", Meaning: "above the air outside", Example: "450", Need: "for air to solids", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Pressure] { return &r.Pressure }, positive(quantity.ParsePressure))},
		{Name: "saturator efficiency", Unit: "%", Meaning: "65 to 75 with an eductor, 90 to 95 packed", Example: "70", Need: "for air to solids", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.Efficiency }, positive(quantity.ParseFraction))},
		{Name: "rapid mix volume", Unit: "L", Meaning: "of the plant's rapid mix", Example: "36", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Volume] { return &r.RapidVolume }, positive(quantity.ParseVolume))},
		{Name: "rapid mix power", Unit: "W", Meaning: "that reaches the water there (not the motor's)", Example: "7.2", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Power] { return &r.RapidPower }, positive(quantity.ParsePower))},
		{Name: "rapid mix head loss", Unit: "m", Meaning: "of a static mixer, instead of the power", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Length] { return &r.RapidHead }, positive(quantity.ParseLength))},
		{Name: "flocculator volume", Unit: "L", Meaning: "of the plant's flocculator", Example: "540", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Volume] { return &r.FlocVolume }, positive(quantity.ParseVolume))},
		{Name: "flocculator power", Unit: "W", Meaning: "that reaches the water there", Example: "0.54", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Power] { return &r.FlocPower }, positive(quantity.ParsePower))},
		{Name: "jar rapid mix speed", Unit: "rpm", Meaning: "of the jar stirrer", Example: "200", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Rotation] { return &r.JarRapid }, positive(quantity.ParseRotation))},
		{Name: "jar rapid mix time", Unit: "min", Meaning: "on the bench", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Time] { return &r.JarRapidTime }, positive(quantity.ParseTime))},
		{Name: "jar slow mix speed", Unit: "rpm", Meaning: "of the jar stirrer", Example: "40", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Rotation] { return &r.JarSlow }, positive(quantity.ParseRotation))},
		{Name: "jar slow mix time", Unit: "min", Meaning: "on the bench", Example: "8", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Time] { return &r.JarSlowTime }, positive(quantity.ParseTime))},
		{Name: "tank to clean up", Meaning: "its row in Tanks, for clarify", Example: "rearing tank", Need: "for clarify",
			put: bind(func(r *Solids) *quantity.Known[string] { return &r.Tank }, parseText)},
		{Name: "tank turbidity", Unit: "NTU", Meaning: "of that tank before cleaning; the raw water's where empty", Example: "90", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[Reading] { return &r.TankStart }, positiveReading)},
		{Name: "clear enough at", Unit: "NTU", Meaning: "turbidity at which cleaning stops", Example: "5", Need: "for clarify", Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[Reading] { return &r.TankStop }, positiveReading)},
		{Name: "outlet at best", Unit: "NTU", Meaning: "turbidity that the unit's outlet never gets below", Example: "1", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[Reading] { return &r.Outlet }, ParseReading)},
		{Name: "turbidity coming in", Unit: "NTU/h", Meaning: "how much the tank's turbidity would rise in an hour with the unit off", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[Reading] { return &r.Rise }, parseRise)},
		{Name: "caught undosed", Unit: "%", Meaning: "share that one pass takes out of that tank's water when nothing is dosed; 0 where empty", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Fraction] { return &r.Bare }, quantity.ParseFraction)},
		{Name: "tank water replaced", Unit: "m3/h", Meaning: "new water into that tank and old water out, instead of the share of new water", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Flow] { return &r.TankNew }, notNegative(quantity.ParseFlow))},
		{Name: "cleaning hours", Meaning: "hours in which the unit runs to clean that tank, such as 06:00-22:00; empty takes the hours of Flow", Example: "", Need: Optional,
			put: bind(func(r *Solids) *quantity.Known[flow.Hours] { return &r.TankHours }, flow.ParseHours)},
		{Name: "cleaning starts", Meaning: "clock time, hh:mm; empty takes the start of the run, else 06:00", Example: "", Need: Optional,
			put: bind(func(r *Solids) *quantity.Known[quantity.Time] { return &r.TankBegin }, ParseClock)},
		{Name: "give up after", Unit: "d", Meaning: "when cleaning that tank has taken as long; 14 d where empty", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Solids) *quantity.Known[quantity.Time] { return &r.TankLongest }, positive(quantity.ParseTime))},
	}
}

func animalFields() []Field {
	return []Field{
		{Name: "name", Meaning: "your name for the group", Example: "fry troughs", Need: Needed,
			put: bind(func(r *Animal) *quantity.Known[string] { return &r.Name }, parseText)},
		{Name: "species", Meaning: "such as rainbow trout, tilapia, Penaeus vannamei, mud crab", Example: "rainbow trout", Need: Needed,
			put: bind(func(r *Animal) *quantity.Known[string] { return &r.Species }, parseText)},
		{Name: "stage", Meaning: "such as egg, fry, juvenile, adult", Example: "fry", Need: Optional,
			put: bind(func(r *Animal) *quantity.Known[string] { return &r.Stage }, parseText)},
		{Name: "reached", Meaning: "does the treated water reach them", Example: ReachedAlways, Need: Optional, Choices: reached,
			put: bind(func(r *Animal) *quantity.Known[string] { return &r.Reached }, choice(reached...))},
		{Name: "lowest pH", Meaning: "replaces the built-in range", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Animal) *quantity.Known[quantity.PH] { return &r.PHLow }, quantity.ParsePH)},
		{Name: "highest pH", Meaning: "replaces the built-in range", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Animal) *quantity.Known[quantity.PH] { return &r.PHHigh }, quantity.ParsePH)},
		{Name: "least alkalinity", Unit: "mg/L CaCO3", Meaning: "replaces the built-in limit", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Animal) *quantity.Known[quantity.Alkalinity] { return &r.AlkLow }, notNegative(quantity.ParseAlkalinity))},
	}
}

func priceFields() []Field {
	return []Field{
		{Name: "chemical", Meaning: "its row in Chemicals, or one of: disposal of solids, make-up water, electricity", Example: "alum", Need: Needed,
			put: bind(func(r *Price) *quantity.Known[string] { return &r.Chemical }, parseText)},
		{Name: "price", Unit: "EUR/kg", Meaning: "of the product, per kg, L or pack, with the currency", Example: "0.42", Need: Needed, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Price] { return &r.Price }, quantity.ParsePrice)},
		{Name: "pack", Unit: "kg", Meaning: "product in a pack", Example: "33", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Mass] { return &r.Pack }, positive(quantity.ParseMass))},
		{Name: "delivery", Also: []string{"delivery charge"}, Unit: "EUR", Meaning: "charge per delivery", Example: "45", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Money] { return &r.Delivery }, parseMoney)},
		{Name: "lead time", Unit: "d", Meaning: "from order to arrival", Example: "7", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Time] { return &r.Lead }, notNegative(quantity.ParseTime))},
		{Name: "shelf life", Unit: "d", Meaning: "of the goods; empty takes the catalogue's", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Time] { return &r.Shelf }, positive(quantity.ParseTime))},
		{Name: "on hand", Unit: "kg", Meaning: "product in store when the month starts", Example: "66", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Mass] { return &r.OnHand }, notNegative(quantity.ParseMass))},
		{Name: "room for", Unit: "kg", Meaning: "most that the store holds", Example: "200", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Mass] { return &r.Room }, positive(quantity.ParseMass))},
		{Name: "age", Unit: "d", Meaning: "of what is on hand, when the month starts", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Time] { return &r.Age }, notNegative(quantity.ParseTime))},
		{Name: "days kept", Meaning: "days of use always in store; empty takes 10, or 30 where it must not run out", Example: "7", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[float64] { return &r.DaysKept }, parseNumber)},
		{Name: "lead time factor", Meaning: "lead times allowed for when ordering; empty takes 1.5, or 2 where it must not run out", Example: "1.5", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[float64] { return &r.Shipping }, parseNumber)},
		{Name: "must not run out", Meaning: "yes where the plant cannot stand still", Example: "no", Need: Optional, Choices: yesNo,
			put: bind(func(r *Price) *quantity.Known[bool] { return &r.Steady }, parseYesNo)},
		{Name: "usual order", Meaning: "packs; empty lets the budget choose", Example: "4", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[int] { return &r.Order }, parseCount)},
		{Name: "on order", Meaning: "packs on their way", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[int] { return &r.OnOrder }, parseCount)},
		{Name: "on order arrives", Meaning: "day, year-month-day", Example: "2026-03-04", Need: "with an order",
			put: bind(func(r *Price) *quantity.Known[time.Time] { return &r.Arrives }, parseDate)},
		{Name: "packs for price 2", Meaning: "packs in one order from which price 2 holds", Example: "4", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[int] { return &r.From2 }, parseCount)},
		{Name: "price 2", Unit: "EUR/kg", Meaning: "for larger orders", Example: "0.38", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Price] { return &r.Price2 }, quantity.ParsePrice)},
		{Name: "packs for price 3", Meaning: "packs in one order from which price 3 holds", Example: "12", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[int] { return &r.From3 }, parseCount)},
		{Name: "price 3", Unit: "EUR/kg", Meaning: "for the largest orders", Example: "0.33", Need: Optional, Numeric: true,
			put: bind(func(r *Price) *quantity.Known[quantity.Price] { return &r.Price3 }, quantity.ParsePrice)},
	}
}

func calendarFields() []Field {
	return []Field{
		{Name: "from", Meaning: "first day, year-month-day; empty for a weekday of every week", Example: "2026-03-16", Need: "without weekday",
			put: bind(func(r *Day) *quantity.Known[time.Time] { return &r.From }, parseDate)},
		{Name: "till", Meaning: "last day; empty for one day", Example: "2026-03-17", Need: Optional,
			put: bind(func(r *Day) *quantity.Known[time.Time] { return &r.Till }, parseDate)},
		{Name: "weekday", Meaning: "for a rule of every week", Example: "", Need: "without date", Choices: weekdays,
			put: bind(func(r *Day) *quantity.Known[string] { return &r.Weekday }, choice(weekdays...))},
		{Name: "runs", Meaning: "does the unit run", Example: "no", Need: Needed, Choices: yesNo,
			put: bind(func(r *Day) *quantity.Known[bool] { return &r.Runs }, parseYesNo)},
		{Name: "hours", Unit: "h", Meaning: "run on that day", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Day) *quantity.Known[quantity.Time] { return &r.Hours }, dayLong)},
		{Name: "flow", Unit: "m3/h", Meaning: "average on that day", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Day) *quantity.Known[quantity.Flow] { return &r.Flow }, positive(quantity.ParseFlow))},
		{Name: "note", Meaning: "why", Example: "pump service", Need: Optional,
			put: bind(func(r *Day) *quantity.Known[string] { return &r.Note }, parseText)},
		{Name: "raw water", Meaning: "expected on that day; empty is not known beforehand", Example: "", Need: Optional, Choices: rawWaters,
			put: bind(func(r *Day) *quantity.Known[string] { return &r.Water }, choice(rawWaters...))},
		{Name: "clean-up", Unit: "m3", Meaning: "water passed through the unit to clean a tank, on top of the flow", Example: "", Need: Optional, Numeric: true,
			put: bind(func(r *Day) *quantity.Known[quantity.Volume] { return &r.CleanUp }, positive(quantity.ParseVolume))},
		{Name: "delivery", Meaning: "can goods arrive; empty is yes from Monday to Friday", Example: "", Need: Optional, Choices: yesNo,
			put: bind(func(r *Day) *quantity.Known[bool] { return &r.Brings }, parseYesNo)},
	}
}

func acceptedFields() []Field {
	return []Field{
		{Name: "code", Meaning: "of the stop, as the plan printed it", Example: "", Need: Needed,
			put: bind(func(r *Acceptance) *quantity.Known[string] { return &r.Code }, parseText)},
		{Name: "chemical", Meaning: "for which chemical; empty for any", Example: "", Need: Optional,
			put: bind(func(r *Acceptance) *quantity.Known[string] { return &r.Chemical }, parseText)},
		{Name: "accepted by", Also: []string{"by"}, Meaning: "name of the person who takes the risk", Example: "", Need: Needed,
			put: bind(func(r *Acceptance) *quantity.Known[string] { return &r.By }, parseText)},
		{Name: "reason", Also: []string{"why"}, Meaning: "why it may be done all the same", Example: "", Need: Needed,
			put: bind(func(r *Acceptance) *quantity.Known[string] { return &r.Reason }, parseText)},
		{Name: "date", Meaning: "of the acceptance, year-month-day", Example: "", Need: Optional,
			put: bind(func(r *Acceptance) *quantity.Known[time.Time] { return &r.Date }, parseDate)},
		{Name: "until", Meaning: "last day that it holds", Example: "", Need: Optional,
			put: bind(func(r *Acceptance) *quantity.Known[time.Time] { return &r.Until }, parseDate)},
	}
}
