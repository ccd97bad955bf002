package quantity

import "math"

// The kinds of the plant: water, pumps, tanks, mixers, time.

// Flow is water per time, in m3/h.
type Flow = Amount[flow]

type flow struct{}

func (flow) kind() *kind { return &flowRates }

var flowRates = kind{what: "flow", example: "3.6 m3/h", units: []unit{
	of(1, "m3/h", "m3/hr", "cum/h", "cmh", "m3/hour"),
	of(1.0/24, "m3/d", "m3/day", "cmd", "cum/d"),
	of(60, "m3/min"),
	of(3600, "m3/s", "cms"),
	of(3.6, "L/s", "lps", "litre/s", "liter/s"),
	of(0.06, "L/min", "lpm", "l/min.", "litre/min", "liter/min"),
	of(0.001, "L/h", "lph", "L/hr", "litre/h", "liter/h"),
	of(0.001/24, "L/d", "L/day"),
	of(6e-5, "mL/min", "cc/min", "ml/min."),
	of(1e-6, "mL/h", "ml/h"),
	of(1e-6/24, "mL/d", "ml/d", "mL/day"),
	of(1000, "ML/h"),
	of(1000.0/24, "ML/d", "MLD", "megalitre/d"),
	of(litresPerGallon*0.06, "gpm", "gal/min", "US gpm", "USgpm", "US gal/min", "gallons/min"),
	of(litresPerGallon*0.001, "gph", "gal/h", "gal/hr", "US gph", "US gal/h"),
	of(litresPerGallon*0.001/24, "gpd", "gal/d", "gal/day", "US gpd", "US gal/d"),
	of(litresPerGallon*1000/24, "MGD", "Mgal/d", "US MGD"),
	of(litresPerImpGallon*0.06, "imp gpm", "igpm", "imp gal/min", "imperial gpm", "imperial gal/min", "UK gpm", "UK gal/min"),
	of(litresPerImpGallon*0.001, "imp gph", "imp gal/h", "imperial gal/h", "UK gal/h"),
	of(litresPerImpGallon*0.001/24, "imp gpd", "imp gal/d", "imperial gal/d", "UK gal/d"),
	of(litresPerImpGallon*1000/24, "imp MGD", "MIGD", "imperial MGD", "UK MGD"),
	of(metresPerFoot*metresPerFoot*metresPerFoot*3600, "cfs", "ft3/s"),
	of(metresPerFoot*metresPerFoot*metresPerFoot*60, "cfm", "ft3/min"),
}, us: only("gpm")}

// Daily is a flow told as the water of a day, m3/d or gal/d: a mean over it, to which no valve is set.
type Daily struct{ Flow }

// Show implements [Quantity].
func (d Daily) Show(s System) (float64, string) {
	if s == US {
		return d.In("gal/d"), "gal/d"
	}
	return d.In("m3/d"), "m3/d"
}

// FeedRate is stock liquid per time, in mL/min, shown so in both systems: drawdown
// columns are read in mL everywhere. It knows the units of [Flow].
type FeedRate = Amount[feedRate]

type feedRate struct{}

func (feedRate) kind() *kind { return &feedRates }

var feedRates = kind{what: "feed rate", example: "10 L/h", units: inWorking(6e-5, flowRates.units), metric: only("mL/min")}

// inWorking gives the same units for another working unit, which is that many of the old one.
func inWorking(one float64, units []unit) []unit {
	out := make([]unit, len(units))
	for i, u := range units {
		out[i] = unit{u.factor / one, u.names, u.zero}
	}
	return out
}

// MassRate is mass per time, in kg/d.
type MassRate = Amount[massRate]

type massRate struct{}

func (massRate) kind() *kind { return &massRates }

var massRates = kind{what: "mass rate", example: "1.2 kg/d", units: []unit{
	of(1, "kg/d", "kg/day"),
	of(24, "kg/h", "kg/hr"),
	of(1e-3, "g/d", "g/day"),
	of(24e-3, "g/h", "g/hr"),
	of(1.44, "g/min"),
	of(1000, "t/d"),
	of(kgPerPound, "lb/d", "lb/day", "ppd", "lbs/day"),
	of(kgPerPound*24, "lb/h", "lb/hr"),
	of(kgPerPound*1440, "lb/min"),
	of(kgPerPound/16, "oz/d", "oz/day"),
}, us: ladder{{"g/d", 0}, {"oz/d", 0.5}, {"lb/d", 1}}}

// Setting is where the pump's knob stands, in percent of its scale.
type Setting = Amount[setting]

type setting struct{}

func (setting) kind() *kind { return &settings }

var settings = kind{what: "setting", example: "60 %",
	units:  []unit{of(1, "%", "percent", "pct")},
	limits: limits{high: 100, code: "bad-setting", text: "setting %q is outside 0 to 100 %%"},
}

// Time is a span, in hours.
type Time = Amount[span]

// Wrapped is what is left of a time after whole periods, from zero up to one period,
// of a time before zero too: the hour of the day where the period is one.
func Wrapped(t, period Time) Time {
	return Time(math.Mod(math.Mod(float64(t), float64(period))+float64(period), float64(period)))
}

type span struct{}

func (span) kind() *kind { return &spans }

var spans = kind{what: "time", example: "45 min", units: []unit{
	of(1, "h", "hr", "hrs", "hour", "hours"),
	of(1.0/60, "min", "minute", "minutes", "mins"),
	of(1.0/3600, "s", "sec", "second", "seconds"),
	of(24, "d", "day", "days"),
	of(168, "wk", "week", "weeks"),
}, metric: ladder{{"s", 0}, {"min", 1}, {"h", 1}, {"d", 3}}}

// Length is in metres.
type Length = Amount[length]

type length struct{}

func (length) kind() *kind { return &lengths }

var lengths = kind{what: "length", example: "1.2 m", units: []unit{
	of(1, "m", "metre", "meter", "metres", "meters"),
	of(1e-2, "cm"),
	of(1e-3, "mm"),
	of(metresPerFoot, "ft", "foot", "feet"),
	of(metresPerFoot/12, "in", "inch", "inches"),
}, metric: ladder{{"mm", 0}, {"m", 0.5}}, us: ladder{{"in", 0}, {"ft", 1}}}

// Area is in square metres.
type Area = Amount[area]

type area struct{}

func (area) kind() *kind { return &areas }

var areas = kind{what: "area", example: "1.5 m2", units: []unit{
	of(1, "m2", "sq m", "square metre", "square meter"),
	of(1e-4, "cm2"),
	of(metresPerFoot*metresPerFoot, "ft2", "sq ft", "square feet", "square foot"),
	of(1e4, "ha", "hectare", "hectares"),
	of(acre, "acre", "acres", "ac"),
	of(1600, "rai"), // of Thailand: 40 m x 40 m, in four ngan of a hundred square wah
	of(400, "ngan"),
	of(4, "sq wah", "wah2", "square wah", "talang wah"),
}, us: only("ft2")}

// acre is in m2: 43,560 square feet.
const acre = 43560 * metresPerFoot * metresPerFoot

// Loading is water per surface and time (surface loading, overflow rate), in m/h.
type Loading = Amount[loading]

type loading struct{}

func (loading) kind() *kind { return &loadings }

var loadings = kind{what: "surface loading", example: "8 m/h", units: []unit{
	of(1, "m/h", "m3/m2/h", "m3/m2h", "m3/m2.h", "m3/(m2h)"),
	of(0.06, "L/m2/min", "L/min/m2", "L/m2min", "L/min.m2"),
	of(litresPerGallon*0.06/(metresPerFoot*metresPerFoot), "gpm/ft2", "gpm/sq ft"),
	of(litresPerGallon*0.001/24/(metresPerFoot*metresPerFoot), "gpd/ft2", "gpd/sq ft"),
}, us: only("gpm/ft2")}

// WeirLoading is water over the length of a weir, in m3/h for each metre.
type WeirLoading = Amount[weirLoading]

type weirLoading struct{}

func (weirLoading) kind() *kind { return &weirLoadings }

var weirLoadings = kind{what: "weir loading", example: "5 m3/h/m", units: []unit{
	of(1, "m3/h/m", "m3/hm", "m3/(hm)", "m2/h"),
	of(1.0/24, "m3/d/m", "m3/(dm)"),
	of(3.6, "L/s/m", "L/(sm)"),
	of(litresPerGallon*0.06/metresPerFoot, "gpm/ft"),
	of(litresPerGallon*0.001/24/metresPerFoot, "gpd/ft"),
}, us: only("gpm/ft")}

// SolidsLoading is dry solids per surface and time, in kg/(m2 h).
type SolidsLoading = Amount[solidsLoading]

type solidsLoading struct{}

func (solidsLoading) kind() *kind { return &solidsLoadings }

var solidsLoadings = kind{what: "solids loading", example: "5 kg/m2/h", units: []unit{
	of(1, "kg/m2/h", "kg/m2h", "kg/(m2h)", "kg/m2.h"),
	of(1.0/24, "kg/m2/d", "kg/m2d"),
	of(kgPerPound/(metresPerFoot*metresPerFoot), "lb/ft2/h", "lb/ft2h", "lb/(ft2h)", "lb/ft2.h"),
}, us: only("lb/ft2/h")}

// Pressure is gauge pressure (above the air outside), in kPa.
type Pressure = Amount[pressure]

// Atmosphere is standard atmospheric pressure in kPa, exact.
const Atmosphere = 101.325

type pressure struct{}

func (pressure) kind() *kind { return &pressures }

var pressures = kind{what: "pressure", example: "450 kPa", units: []unit{
	of(1, "kPa", "kPa gauge", "kPag", "kPa(g)"),
	of(100, "bar", "barg", "bar gauge", "bar(g)"),
	of(1000, "MPa"),
	of(6.894757293168361, "psi", "psig", "psi gauge"), // pound-force per square inch, NIST SP 811 B.8
	of(Atmosphere, "atm", "atm gauge"),
}, us: only("psi")}

// Power is in watts, in both systems: motors and meters say W and kW.
type Power = Amount[power]

type power struct{}

func (power) kind() *kind { return &powers }

var powers = kind{what: "power", example: "120 W", units: []unit{
	of(1, "W", "watt", "watts"),
	of(1000, "kW"),
	of(745.6998715822702, "hp", "horsepower"),              // 550 ft lbf/s, NIST SP 811 B.8
	of(1.3558179483314004, "ft lb/s", "ft-lb/s", "ftlb/s"), // foot pound-force per second, NIST SP 811 B.8
}, metric: ladder{{"W", 0}, {"kW", 5}}}

// Energy is in kWh.
type Energy = Amount[energy]

type energy struct{}

func (energy) kind() *kind { return &energies }

var energies = kind{what: "energy", units: []unit{of(1, "kWh")}}

// Gradient is the velocity gradient G of mixing, in 1/s.
type Gradient = Amount[gradient]

type gradient struct{}

func (gradient) kind() *kind { return &gradients }

var gradients = kind{what: "velocity gradient", units: []unit{of(1, "1/s")}}

// Current is a signal current, in mA.
type Current = Amount[current]

type current struct{}

func (current) kind() *kind { return &currents }

var currents = kind{what: "current", units: []unit{of(1, "mA")}}

// Rotation is speed of turning, in revolutions per minute.
type Rotation = Amount[rotation]

type rotation struct{}

func (rotation) kind() *kind { return &rotations }

var rotations = kind{what: "speed", example: "100 rpm", units: []unit{
	of(1, "rpm", "rev/min", "1/min", "r/min"),
	of(60, "rev/s", "rps", "1/s"),
}}
