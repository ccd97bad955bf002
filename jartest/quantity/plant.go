package quantity

import "math"

// Length is in metres.
type Length float64

var length = kind{"length", "1.2 m", []unit{
	{1, []string{"m", "metre", "meter", "metres", "meters"}},
	{1e-2, []string{"cm"}},
	{1e-3, []string{"mm"}},
	{0.3048, []string{"ft", "foot", "feet"}},
	{0.0254, []string{"in", "inch", "inches"}},
}}

// ParseLength reads a length, a depth or a head, such as "1.2 m" or "40 mm".
func ParseLength(s string) (Length, error) { v, err := length.parse(s); return Length(v), err }

// In gives the length in a unit that ParseLength knows; NaN for any other.
func (l Length) In(unit string) float64 { return length.in(float64(l), unit) }

// Show implements [Quantity].
func (l Length) Show(s System) (float64, string) {
	switch {
	case s == US && math.Abs(float64(l)) < 0.3048 && l != 0:
		return l.In("in"), "in"
	case s == US:
		return l.In("ft"), "ft"
	case math.Abs(float64(l)) < 0.5 && l != 0:
		return l.In("mm"), "mm"
	default:
		return float64(l), "m"
	}
}
func (l Length) String() string { return text(l) }

// Area is in square metres.
type Area float64

var area = kind{"area", "1.5 m2", []unit{
	{1, []string{"m2", "sq m", "square metre", "square meter"}},
	{1e-4, []string{"cm2"}},
	{0.3048 * 0.3048, []string{"ft2", "sq ft", "square feet", "square foot"}},
}}

// ParseArea reads an area, such as "1.5 m2" or "16 ft2".
func ParseArea(s string) (Area, error) { v, err := area.parse(s); return Area(v), err }

// In gives the area in a unit that ParseArea knows; NaN for any other.
func (a Area) In(unit string) float64 { return area.in(float64(a), unit) }

// Show implements [Quantity].
func (a Area) Show(s System) (float64, string) {
	if s == US {
		return a.In("ft2"), "ft2"
	}
	return float64(a), "m2"
}
func (a Area) String() string { return text(a) }

// Loading is water per surface and time (surface loading, overflow rate), in m/h.
type Loading float64

var loading = kind{"surface loading", "8 m/h", []unit{
	{1, []string{"m/h", "m3/m2/h", "m3/m2h", "m3/m2.h", "m3/(m2h)"}},
	{0.06, []string{"L/m2/min", "L/min/m2", "L/m2min", "L/min.m2"}},
	{litresPerGallon * 0.06 / (0.3048 * 0.3048), []string{"gpm/ft2", "gpm/sq ft"}},
	{litresPerGallon * 0.001 / 24 / (0.3048 * 0.3048), []string{"gpd/ft2", "gpd/sq ft"}},
}}

// ParseLoading reads a surface loading, such as "8 m/h" or "2 gpm/ft2".
func ParseLoading(s string) (Loading, error) { v, err := loading.parse(s); return Loading(v), err }

// In gives the loading in a unit that ParseLoading knows; NaN for any other.
func (l Loading) In(unit string) float64 { return loading.in(float64(l), unit) }

// Show implements [Quantity].
func (l Loading) Show(s System) (float64, string) {
	if s == US {
		return l.In("gpm/ft2"), "gpm/ft2"
	}
	return float64(l), "m/h"
}
func (l Loading) String() string { return text(l) }

// SolidsLoading is dry solids per surface and time, in kg/(m2 h).
type SolidsLoading float64

var solidsLoading = kind{"solids loading", "5 kg/m2/h", []unit{
	{1, []string{"kg/m2/h", "kg/m2h", "kg/(m2h)", "kg/m2.h"}},
	{1.0 / 24, []string{"kg/m2/d", "kg/m2d"}},
	{kgPerPound / (0.3048 * 0.3048), []string{"lb/ft2/h", "lb/ft2h", "lb/(ft2h)", "lb/ft2.h"}},
}}

// ParseSolidsLoading reads a solids loading, such as "5 kg/m2/h" or "1 lb/ft2/h".
func ParseSolidsLoading(s string) (SolidsLoading, error) {
	v, err := solidsLoading.parse(s)
	return SolidsLoading(v), err
}

// In gives the loading in a unit that ParseSolidsLoading knows; NaN for any other.
func (l SolidsLoading) In(unit string) float64 { return solidsLoading.in(float64(l), unit) }

// Show implements [Quantity].
func (l SolidsLoading) Show(s System) (float64, string) {
	if s == US {
		return l.In("lb/ft2/h"), "lb/ft2/h"
	}
	return float64(l), "kg/m2/h"
}
func (l SolidsLoading) String() string { return text(l) }

// Pressure is gauge pressure (above the air outside), in kPa.
type Pressure float64

// Atmosphere is standard atmospheric pressure in kPa, exact.
const Atmosphere = 101.325

var pressure = kind{"pressure", "450 kPa", []unit{
	{1, []string{"kPa", "kPa gauge", "kPag", "kPa(g)"}},
	{100, []string{"bar", "barg", "bar gauge", "bar(g)"}},
	{1000, []string{"MPa"}},
	{6.894757293168361, []string{"psi", "psig", "psi gauge"}},
	{Atmosphere, []string{"atm", "atm gauge"}},
}}

// ParsePressure reads a gauge pressure, such as "450 kPa", "4.5 bar" or "60 psi".
func ParsePressure(s string) (Pressure, error) { v, err := pressure.parse(s); return Pressure(v), err }

// In gives the pressure in a unit that ParsePressure knows; NaN for any other.
func (p Pressure) In(unit string) float64 { return pressure.in(float64(p), unit) }

// Show implements [Quantity].
func (p Pressure) Show(s System) (float64, string) {
	if s == US {
		return p.In("psi"), "psi"
	}
	return float64(p), "kPa"
}
func (p Pressure) String() string { return text(p) }

// Power is in watts.
type Power float64

var power = kind{"power", "120 W", []unit{
	{1, []string{"W", "watt", "watts"}},
	{1000, []string{"kW"}},
	{745.6998715822702, []string{"hp", "horsepower"}},
	{1.3558179483314004, []string{"ft lb/s", "ft-lb/s", "ftlb/s"}},
}}

// ParsePower reads a power, such as "120 W" or "0.5 kW".
func ParsePower(s string) (Power, error) { v, err := power.parse(s); return Power(v), err }

// In gives the power in a unit that ParsePower knows; NaN for any other.
func (p Power) In(unit string) float64 { return power.in(float64(p), unit) }

// Show implements [Quantity].
func (p Power) Show(System) (float64, string) {
	if math.Abs(float64(p)) >= 5000 {
		return p.In("kW"), "kW"
	}
	return float64(p), "W"
}
func (p Power) String() string { return text(p) }

// Gradient is the velocity gradient G of mixing, in 1/s.
type Gradient float64

// Show implements [Quantity].
func (g Gradient) Show(System) (float64, string) { return float64(g), "1/s" }
func (g Gradient) String() string                { return text(g) }

// Current is a signal current, in mA.
type Current float64

// Show implements [Quantity].
func (c Current) Show(System) (float64, string) { return float64(c), "mA" }
func (c Current) String() string                { return text(c) }

// Rotation is speed of turning, in revolutions per minute.
type Rotation float64

var rotation = kind{"speed", "100 rpm", []unit{
	{1, []string{"rpm", "rev/min", "1/min", "r/min"}},
	{60, []string{"rev/s", "rps", "1/s"}},
}}

// ParseRotation reads a stirring speed, such as "100 rpm".
func ParseRotation(s string) (Rotation, error) { v, err := rotation.parse(s); return Rotation(v), err }

// Show implements [Quantity].
func (r Rotation) Show(System) (float64, string) { return float64(r), "rpm" }
func (r Rotation) String() string                { return text(r) }
