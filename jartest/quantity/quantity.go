package quantity

import (
	"math"

	"jarwright/jartest/note"
)

// System is the family of units that a reader wants to see.
type System int

const (
	// Metric is the default: m3/h, L, kg.
	Metric System = iota
	// US shows gallons per minute, gallons and pounds.
	US
)

// Quantity is anything with a value and a unit in either system.
type Quantity interface {
	// Show gives the value and its unit in that system.
	Show(System) (value float64, unit string)
}

// text is the shared String, for sentences: four significant digits without idle
// zeros, and the metric unit.
func text(q Quantity) string {
	v, u := q.Show(Metric)
	return Brief(v, 4) + " " + u
}

// finite reports that v is an ordinary number.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Flow is water per time, in m3/h.
type Flow float64

var volumePerTime = kind{"flow", "3.6 m3/h", []unit{
	{1, []string{"m3/h", "m3/hr", "cum/h", "cmh", "m3/hour"}},
	{1.0 / 24, []string{"m3/d", "m3/day", "cmd", "cum/d"}},
	{60, []string{"m3/min"}},
	{3600, []string{"m3/s", "cms"}},
	{3.6, []string{"L/s", "lps", "litre/s", "liter/s"}},
	{0.06, []string{"L/min", "lpm", "l/min.", "litre/min", "liter/min"}},
	{0.001, []string{"L/h", "lph", "L/hr", "litre/h", "liter/h"}},
	{0.001 / 24, []string{"L/d", "L/day"}},
	{6e-5, []string{"mL/min", "cc/min", "ml/min."}},
	{1e-6, []string{"mL/h"}},
	{1000.0 / 24, []string{"ML/d", "MLD", "megalitre/d"}},
	{litresPerGallon * 0.06, []string{"gpm", "gal/min", "US gpm", "USgpm", "US gal/min", "gallons/min"}},
	{litresPerGallon * 0.001, []string{"gph", "gal/h", "gal/hr", "US gph", "US gal/h"}},
	{litresPerGallon * 0.001 / 24, []string{"gpd", "gal/d", "gal/day", "US gpd", "US gal/d"}},
	{litresPerGallon * 1000 / 24, []string{"MGD", "Mgal/d", "US MGD"}},
	{litresPerImpGallon * 0.06, []string{"imp gpm", "igpm", "imp gal/min", "imperial gpm", "imperial gal/min", "UK gpm", "UK gal/min"}},
	{litresPerImpGallon * 0.001, []string{"imp gph", "imp gal/h", "imperial gal/h", "UK gal/h"}},
	{litresPerImpGallon * 0.001 / 24, []string{"imp gpd", "imp gal/d", "imperial gal/d", "UK gal/d"}},
	{litresPerImpGallon * 1000 / 24, []string{"imp MGD", "MIGD", "imperial MGD", "UK MGD"}},
	{0.3048 * 0.3048 * 0.3048 * 3600, []string{"cfs", "ft3/s"}},
}}

// ParseFlow reads a flow of water, such as "3.6 m3/h", "35 gpm" or "0.5 MGD".
func ParseFlow(s string) (Flow, error) { v, err := volumePerTime.parse(s); return Flow(v), err }

// In gives the flow in a unit that ParseFlow knows; NaN for any other.
func (f Flow) In(unit string) float64 { return volumePerTime.in(float64(f), unit) }

// Show implements [Quantity].
func (f Flow) Show(s System) (float64, string) {
	if s == US {
		return f.In("gpm"), "gpm"
	}
	return float64(f), "m3/h"
}
func (f Flow) String() string { return text(f) }

// FeedRate is stock liquid per time, in mL/min.
type FeedRate float64

// ParseFeedRate reads a pump rate, such as "10 L/h" or "35 mL/min".
func ParseFeedRate(s string) (FeedRate, error) {
	k := volumePerTime
	k.what, k.example = "feed rate", "10 L/h"
	v, err := k.parse(s)
	return FeedRate(v / 6e-5), err
}

// In gives the rate in a unit that ParseFlow knows; NaN for any other.
func (r FeedRate) In(unit string) float64 { return volumePerTime.in(float64(r)*6e-5, unit) }

// Show implements [Quantity]; drawdown columns are read in mL everywhere.
func (r FeedRate) Show(System) (float64, string) { return float64(r), "mL/min" }
func (r FeedRate) String() string                { return text(r) }

// Volume is in litres.
type Volume float64

var volume = kind{"volume", "200 L", []unit{
	{1, []string{"L", "litre", "liter", "litres", "liters", "dm3"}},
	{1e-3, []string{"mL", "millilitre", "milliliter", "cc", "cm3"}},
	{1e-6, []string{"uL", "microlitre", "microliter"}},
	{1000, []string{"m3", "cum", "cubic metre", "cubic meter"}},
	{1e6, []string{"ML", "megalitre"}},
	{litresPerGallon, []string{"gal", "US gal", "gallon", "gallons"}},
	{litresPerGallon * 1e6, []string{"MG", "Mgal", "million gal"}},
	{litresPerImpGallon, []string{"imp gal", "imperial gal", "imperial gallon", "imperial gallons", "UK gal"}},
	{0.3048 * 0.3048 * 0.3048 * 1000, []string{"ft3", "cubic feet", "cubic foot"}},
}}

// ParseVolume reads a volume, such as "1 L", "2 m3" or "50 gal".
func ParseVolume(s string) (Volume, error) { v, err := volume.parse(s); return Volume(v), err }

// In gives the volume in a unit that ParseVolume knows; NaN for any other.
func (v Volume) In(unit string) float64 { return volume.in(float64(v), unit) }

// Show implements [Quantity].
func (v Volume) Show(s System) (float64, string) {
	switch {
	case s == US && math.Abs(float64(v)) < 0.5:
		return v.In("mL"), "mL"
	case s == US:
		return v.In("gal"), "gal"
	case math.Abs(float64(v)) < 0.5 && v != 0:
		return v.In("mL"), "mL"
	case math.Abs(float64(v)) >= 10000:
		return v.In("m3"), "m3"
	default:
		return float64(v), "L"
	}
}
func (v Volume) String() string { return text(v) }

// Mass is in kilograms.
type Mass float64

var mass = kind{"mass", "25 kg", []unit{
	{1, []string{"kg", "kilogram", "kilograms"}},
	{1e-3, []string{"g", "gram", "grams", "gm"}},
	{1e-6, []string{"mg"}},
	{1000, []string{"t", "tonne", "tonnes", "metric ton"}},
	{kgPerPound, []string{"lb", "lbs", "pound", "pounds"}},
	{kgPerPound / 16, []string{"oz", "ounce", "ounces"}},
	{kgPerPound * 2000, []string{"short ton", "US ton"}},
	{kgPerPound * 2240, []string{"long ton", "UK ton"}},
}}

// ParseMass reads a mass, such as "25 kg" or "50 lb".
func ParseMass(s string) (Mass, error) { v, err := mass.parse(s); return Mass(v), err }

// In gives the mass in a unit that ParseMass knows; NaN for any other.
func (m Mass) In(unit string) float64 { return mass.in(float64(m), unit) }

// Show implements [Quantity].
func (m Mass) Show(s System) (float64, string) {
	switch {
	case s == US:
		return m.In("lb"), "lb"
	case math.Abs(float64(m)) < 0.5 && m != 0:
		return m.In("g"), "g"
	default:
		return float64(m), "kg"
	}
}
func (m Mass) String() string { return text(m) }

// MassRate is mass per time, in kg/d.
type MassRate float64

var massRate = kind{"mass rate", "1.2 kg/d", []unit{
	{1, []string{"kg/d", "kg/day"}},
	{24, []string{"kg/h", "kg/hr"}},
	{1e-3, []string{"g/d", "g/day"}},
	{24e-3, []string{"g/h", "g/hr"}},
	{1.44, []string{"g/min"}},
	{1000, []string{"t/d"}},
	{kgPerPound, []string{"lb/d", "lb/day", "ppd", "lbs/day"}},
	{kgPerPound * 24, []string{"lb/h", "lb/hr"}},
	{kgPerPound * 1440, []string{"lb/min"}},
}}

// ParseMassRate reads a mass rate, such as "1.2 kg/d" or "94 lb/h".
func ParseMassRate(s string) (MassRate, error) { v, err := massRate.parse(s); return MassRate(v), err }

// In gives the rate in a unit that ParseMassRate knows; NaN for any other.
func (m MassRate) In(unit string) float64 { return massRate.in(float64(m), unit) }

// Show implements [Quantity].
func (m MassRate) Show(s System) (float64, string) {
	if s == US {
		return m.In("lb/d"), "lb/d"
	}
	return float64(m), "kg/d"
}
func (m MassRate) String() string { return text(m) }

// Concentration is mass per volume of liquid, in mg/L.
type Concentration float64

var concentration = kind{"concentration", "12.5 mg/L", []unit{
	{1, []string{"mg/L", "ppm", "g/m3", "mg/litre", "mg/liter", "mg/dm3"}},
	{1000, []string{"g/L", "kg/m3", "g/litre", "g/liter", "mg/mL", "g/dm3"}},
	{1e-3, []string{"ug/L", "ppb", "mg/m3", "mcg/L"}},
	{1e4, []string{"% w/v", "%w/v", "% (w/v)", "g/100mL", "g/dL"}},
	{kgPerPound * 1e6 / litresPerGallon, []string{"lb/gal", "lb/US gal"}},
	{kgPerPound / litresPerGallon, []string{"lb/MG", "lb/Mgal"}},
	{kgPerPound * 1e6 / litresPerImpGallon, []string{"lb/imp gal"}},
}}

// ParseConcentration reads a concentration, such as "12.5 mg/L" or "50 g/L".
func ParseConcentration(s string) (Concentration, error) {
	v, err := concentration.parse(s)
	return Concentration(v), err
}

// In gives the concentration in a unit that ParseConcentration knows; NaN for any other.
func (c Concentration) In(unit string) float64 { return concentration.in(float64(c), unit) }

// Show implements [Quantity].
func (c Concentration) Show(System) (float64, string) {
	if math.Abs(float64(c)) >= 5000 {
		return c.In("g/L"), "g/L"
	}
	return float64(c), "mg/L"
}
func (c Concentration) String() string { return text(c) }

// ConcentrationUnit gives the mg/L in one of the named unit, and whether it is a unit of concentration.
func ConcentrationUnit(name string) (Concentration, bool) {
	u, ok := concentration.find(name)
	return Concentration(u.factor), ok
}

// VolumeUnit gives the litres in one of the named unit, and whether it is a unit of volume.
func VolumeUnit(name string) (Volume, bool) {
	u, ok := volume.find(name)
	return Volume(u.factor), ok
}

// Density is mass per volume of a liquid, in kg/L; specific gravity is taken as
// kg/L (water at 4 C is 0.99997 kg/L, so the difference is below any drum label).
type Density float64

var density = kind{"density", "1.335 kg/L", []unit{
	{1, []string{"kg/L", "g/mL", "g/cm3", "t/m3", "SG", "g/cc", "kg/litre", "kg/dm3"}},
	{1e-3, []string{"kg/m3", "g/L"}},
	{kgPerPound / litresPerGallon, []string{"lb/gal", "lb/US gal"}},
	{kgPerPound / litresPerImpGallon, []string{"lb/imp gal"}},
}}

// ParseDensity reads a density, such as "1.335 kg/L" or "1335 kg/m3".
func ParseDensity(s string) (Density, error) {
	v, err := density.parse(s)
	if err == nil && v <= 0 {
		err = note.Fault("bad-density", "density %q must be above zero", s)
	}
	return Density(v), err
}

// In gives the density in a unit that ParseDensity knows; NaN for any other.
func (d Density) In(unit string) float64 { return density.in(float64(d), unit) }

// Show implements [Quantity].
func (d Density) Show(s System) (float64, string) {
	if s == US {
		return d.In("lb/gal"), "lb/gal"
	}
	return float64(d), "kg/L"
}
func (d Density) String() string { return text(d) }

// Fraction is a share from 0 to 1: the strength of a product by mass, a basicity,
// a capture. It is written and shown in percent.
type Fraction float64

var fraction = kind{"share", "48.5 %", []unit{
	{0.01, []string{"%", "percent", "pct", "% w/w", "%w/w", "% (w/w)"}},
}}

// ParseFraction reads a percentage from 0 to 100, such as "48.5 %".
func ParseFraction(s string) (Fraction, error) {
	v, err := fraction.parse(s)
	if err == nil && (v < 0 || v > 1) {
		err = note.Fault("bad-percentage", "%q is outside 0 to 100 %%", s)
	}
	return Fraction(v), err
}

// Percent gives the share times 100.
func (f Fraction) Percent() float64 { return float64(f) * 100 }

// Show implements [Quantity].
func (f Fraction) Show(System) (float64, string) { return f.Percent(), "%" }
func (f Fraction) String() string                { return text(f) }

// Setting is where the pump's knob stands, in percent of its scale.
type Setting float64

// Show implements [Quantity].
func (p Setting) Show(System) (float64, string) { return float64(p), "%" }
func (p Setting) String() string                { return text(p) }

// Time is a span, in hours.
type Time float64

var span = kind{"time", "45 min", []unit{
	{1, []string{"h", "hr", "hrs", "hour", "hours"}},
	{1.0 / 60, []string{"min", "minute", "minutes", "mins"}},
	{1.0 / 3600, []string{"s", "sec", "second", "seconds"}},
	{24, []string{"d", "day", "days"}},
	{168, []string{"wk", "week", "weeks"}},
}}

// ParseTime reads a span, such as "45 min", "24 h" or "30 d".
func ParseTime(s string) (Time, error) { v, err := span.parse(s); return Time(v), err }

// In gives the span in a unit that ParseTime knows; NaN for any other.
func (t Time) In(unit string) float64 { return span.in(float64(t), unit) }

// Show implements [Quantity].
func (t Time) Show(System) (float64, string) {
	switch a := math.Abs(float64(t)); {
	case a != 0 && a < 1.0/60:
		return t.In("s"), "s"
	case a != 0 && a < 1:
		return t.In("min"), "min"
	case a >= 72:
		return t.In("d"), "d"
	default:
		return float64(t), "h"
	}
}
func (t Time) String() string { return text(t) }

// Temperature is in degrees Celsius.
type Temperature float64

// ParseTemperature reads "12 C" or "54 F".
func ParseTemperature(s string) (Temperature, error) {
	v, name, err := Split(s)
	if err == nil {
		switch tidyUnit(name) {
		case "C", "c", "degC", "celsius", "Celsius":
			return Temperature(v), nil
		case "F", "f", "degF", "fahrenheit", "Fahrenheit":
			return Temperature((v - 32) / 1.8), nil
		case "K":
			return Temperature(v - 273.15), nil
		}
	}
	return 0, note.Fault("bad-temperature", "temperature %q is not known", s).Do(`write it like "12 C" or "54 F"`)
}

// Kelvin gives the thermodynamic temperature.
func (t Temperature) Kelvin() float64 { return float64(t) + 273.15 }

// Show implements [Quantity].
func (t Temperature) Show(s System) (float64, string) {
	if s == US {
		return float64(t)*1.8 + 32, "F"
	}
	return float64(t), "C"
}
func (t Temperature) String() string { return text(t) }

// Alkalinity is acid-neutralising capacity, in mg/L as CaCO3.
type Alkalinity float64

var alkalinity = kind{"alkalinity", "60 mg/L CaCO3", []unit{
	{1, []string{"mg/L CaCO3", "mg/L as CaCO3", "mg CaCO3/L", "mg/L", "ppm", "ppm CaCO3"}},
	{50.0435, []string{"meq/L", "mEq/L", "mmol/L HCO3", "meq/litre"}},
	{17.848, []string{"dKH", "KH"}},
}}

// ParseAlkalinity reads "60 mg/L CaCO3", "1.2 meq/L" or "4 dKH".
func ParseAlkalinity(s string) (Alkalinity, error) {
	v, err := alkalinity.parse(s)
	return Alkalinity(v), err
}

// In gives the alkalinity in a unit that ParseAlkalinity knows; NaN for any other.
func (a Alkalinity) In(unit string) float64 { return alkalinity.in(float64(a), unit) }

// Show implements [Quantity].
func (a Alkalinity) Show(System) (float64, string) { return float64(a), "mg/L CaCO3" }
func (a Alkalinity) String() string                { return text(a) }

// Money is an amount in a named currency (ISO 4217 code or the user's own word).
type Money struct {
	Amount   float64
	Currency string
}

// Show implements [Quantity].
func (m Money) Show(System) (float64, string) { return m.Amount, m.Currency }
func (m Money) String() string                { return text(m) }

// Finite reports that the quantity holds an ordinary number.
func Finite(q Quantity) bool { v, _ := q.Show(Metric); return finite(v) }
