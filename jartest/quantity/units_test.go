package quantity

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Where the figures of the table below come from.
const (
	si     = "SI Brochure: prefixes, minute, hour, day, litre, tonne; exact"
	sp811  = "NIST Special Publication 811 (2008), appendix B.8, to its 7 digits; from memory"
	yard   = "international yard and pound agreement of 1959: foot 0.3048 m, pound 0.45359237 kg; exact"
	gallon = "US gallon 231 cubic inches = 3.785411784 L, imperial gallon 4.54609 L; exact"
	caco3  = "CaCO3 100.087 g/mol, CaO 56.077 g/mol (IUPAC atomic weights 2021); from memory"
	name   = "what the name says"
)

// known is one unit: all its spellings, and one of it in the working unit of its kind.
type known struct {
	spellings string // separated by |
	value     float64
	source    string
}

// measures says what every unit of every kind is worth, computed by another road than the program's:
// from the published factor to the base unit where there is one.
var measures = []struct {
	kind  string
	row   *kind
	read  func(string) (float64, error)
	units []known
}{
	{"flow in m3/h", &flowRates, reader(Parse[Flow]), flows(1)},
	{"feed rate in mL/min", &feedRates, reader(Parse[FeedRate]), flows(1e6 / 60)},
	{"volume in L", &volumes, reader(Parse[Volume]), []known{
		{"L|l|litre|liter|litres|liters|dm3", 1, si}, {"mL|ml|millilitre|milliliter|cc|cm3|cm³", 0.001, si},
		{"fl oz|US fl oz|fluid ounce|fluid ounces", 0.02957353, sp811}, {"uL|µL|microlitre|microliter", 0.000001, si},
		{"m3|m³|m^3|cum|cubic metre|cubic meter", 1000, si}, {"ML|megalitre", 1000000, si},
		{"gal|US gal|gallon|gallons|GAL", 3.785411784, gallon}, {"MG|Mgal|million gal", 3785411.784, gallon},
		{"kgal|1000 gal|thousand gal", 3785.411784, gallon},
		{"imp gal|imperial gal|imperial gallon|imperial gallons|UK gal", 4.54609, gallon},
		{"ft3|cubic feet|cubic foot", 28.31685, sp811},
		{"acre-ft|acre ft|ac-ft|ac ft|acre-feet|acre feet|acre-foot|acre foot", 4840 * 9 * 28.316846592, yard},
	}},
	{"mass in kg", &masses, reader(Parse[Mass]), []known{
		{"kg|KG|kilogram|kilograms", 1, si}, {"g|gram|grams|gm", 0.001, si}, {"mg", 0.000001, si},
		{"t|tonne|tonnes|metric ton|Mg", 1000, si},
		{"lb|lbs|pound|pounds|LB", 0.45359237, yard}, {"oz|ounce|ounces", 0.02834952, sp811},
		{"short ton|US ton", 907.1847, sp811}, {"long ton|UK ton", 1016.047, sp811},
	}},
	{"mass rate in kg/d", &massRates, reader(Parse[MassRate]), []known{
		{"kg/d|kg/day|kg d-1|kg d⁻¹|kg per d", 1, si}, {"kg/h|kg/hr", 24, si}, {"g/d|g/day", 0.001, si}, {"g/h|g/hr", 0.024, si},
		{"g/min", 1.44, si}, {"t/d", 1000, si},
		{"lb/d|lb/day|ppd|lbs/day", 0.45359237, yard}, {"lb/h|lb/hr", 1.259979e-4 * 86400, sp811}, {"oz/d|oz/day", 0.02834952, sp811},
		{"lb/min", 7.559873e-3 * 86400, sp811},
	}},
	{"concentration in mg/L", &concentrations, reader(Parse[Concentration]), []known{
		{"mg/L|mg/l|MG/L|mg L-1|mg·L⁻¹|mg per L|ppm|g/m3|mg/litre|mg/liter|mg/dm3", 1, si},
		{"g/t|g/tonne", 1, "of water at 1000 kg/m3"}, {"lb/acre-ft|lb/ac-ft|lb/acre ft|lb/acre-foot", 453592.37 / (43560 * 28.316846592), yard},
		{"g/L|kg/m3|g/litre|g/liter|mg/mL|g/dm3", 1000, si}, {"ug/L|µg/L|μg/l|ppb|mg/m3|mcg/L", 0.001, si},
		{"% w/v|%w/v|% (w/v)|g/100mL|g/dL", 10000, name}, // 1 g in 100 mL
		{"lb/gal|lb/US gal", 1.198264e2 * 1000, sp811}, {"oz/gal|oz/US gal", 7.489152 * 1000, sp811}, {"lb/MG|lb/Mgal", 1.198264e2 / 1000, sp811},
		{"lb/kgal|lb/1000 gal", 1.198264e2, sp811}, {"gpg|gr/gal|grains/gal|grain/gal", 17.11806, sp811},
		{"lb/imp gal", 9.977637e1 * 1000, sp811},
	}},
	{"density in kg/L", &densities, reader(Parse[Density]), []known{
		{"kg/L|g/mL|g/cm3|t/m3|SG|g/cc|kg/litre|kg/dm3", 1, si}, {"kg/m3|g/L", 0.001, si},
		{"lb/gal|lb/US gal", 0.1198264, sp811}, {"lb/imp gal", 0.09977637, sp811},
	}},
	{"share", &shares, reader(Parse[Fraction]), []known{{"%|percent|pct|% w/w|%w/w|% (w/w)", 0.01, name}}},
	{"share", &renewals, reader(Parse[Renewal]), []known{{"%|percent|pct|% w/w|%w/w|% (w/w)", 0.01, name}}},
	{"setting in %", &settings, reader(Parse[Setting]), []known{{"%|percent|pct", 1, name}}},
	{"time in h", &spans, reader(Parse[Time]), []known{
		{"h|hr|hrs|hour|hours", 1, si}, {"min|minute|minutes|mins", 1.0 / 60, si}, {"s|sec|second|seconds", 1.0 / 3600, si},
		{"d|day|days", 24, si}, {"wk|week|weeks", 168, name},
	}},
	{"temperature in C", &temperatures, reader(Parse[Temperature]), []known{
		{"C|c|°C|℃|degC|celsius|Celsius", 1, si}, {"F|f|°F|degF|fahrenheit|Fahrenheit", (1.0 - 32) / 1.8, sp811},
		{"K|kelvin", 1 - 273.15, si},
	}},
	{"alkalinity in mg/L CaCO3", &alkalinities, reader(Parse[Alkalinity]), []known{
		{"mg/L CaCO3|mg/L as CaCO3|mg CaCO3/L|mg/L|ppm|ppm CaCO3", 1, name},
		{"meq/L|mEq/L|MEQ/L|mmol/L HCO3|meq/litre", 100.087 / 2, caco3}, // two equivalents a mole
		{"dKH|KH|°dKH", 10 / 56.077 * 100.087, caco3},                   // the German degree: 10 mg of CaO in a litre
		{"gpg|gr/gal|grains/gal|gpg CaCO3", 17.11806, sp811},
	}},
	{"length in m", &lengths, reader(Parse[Length]), []known{
		{"m|metre|meter|metres|meters", 1, si}, {"cm", 0.01, si}, {"mm", 0.001, si}, {"ft|foot|feet", 0.3048, yard},
		{"in|inch|inches", 0.0254, yard},
	}},
	{"area in m2", &areas, reader(Parse[Area]), []known{
		{"m2|m²|sq m|square metre|square meter", 1, si}, {"cm2", 0.0001, si},
		{"ft2|ft²|sq ft|square feet|square foot", 0.09290304, sp811},
		{"ha|hectare|hectares", 1e4, si}, {"acre|acres|ac", 4840 * 0.9144 * 0.9144, yard}, {"rai", 40 * 40, "four ngan of 400 m2, Weights and Measures Act of Thailand; from memory"},
		{"ngan", 20 * 20, "a hundred square wah, the same Act; from memory"}, {"sq wah|wah2|square wah|talang wah", 2 * 2, "a wah is 2 m, the same Act; from memory"},
	}},
	{"surface loading in m/h", &loadings, reader(Parse[Loading]), []known{
		{"m/h|m3/m2/h|m3/m2h|m3/m2.h|m3/(m2h)", 1, si}, {"L/m2/min|L/min/m2|L/m2min|L/min.m2", 0.06, si},
		{"gpm/ft2|gpm/sq ft", 6.309020e-5 * 3600 / 0.09290304, sp811}, {"gpd/ft2|gpd/sq ft", 4.381264e-8 * 3600 / 0.09290304, sp811},
	}},
	{"weir loading in m3/(h m)", &weirLoadings, reader(Parse[WeirLoading]), []known{
		{"m3/h/m|m3/hm|m3/(hm)|m2/h", 1, si}, {"m3/d/m|m3/(dm)", 1.0 / 24, si}, {"L/s/m|L/(sm)", 3.6, si},
		{"gpm/ft", 6.309020e-5 * 3600 / 0.3048, sp811}, {"gpd/ft", 4.381264e-8 * 3600 / 0.3048, sp811}}},
	{"solids loading in kg/(m2 h)", &solidsLoadings, reader(Parse[SolidsLoading]), []known{
		{"kg/m2/h|kg/m2h|kg/(m2h)|kg/m2.h", 1, si}, {"kg/m2/d|kg/m2d", 1.0 / 24, si},
		{"lb/ft2/h|lb/ft2h|lb/(ft2h)|lb/ft2.h", 4.882428, sp811},
	}},
	{"pressure in kPa", &pressures, reader(Parse[Pressure]), []known{
		{"kPa|kpa|kPa gauge|kPag|kPa(g)", 1, si}, {"bar|barg|bar gauge|bar(g)", 100, sp811}, {"MPa", 1000, si},
		{"psi|psig|psi gauge", 6.894757, sp811}, {"atm|atm gauge", 101.325, sp811},
	}},
	{"power in W", &powers, reader(Parse[Power]), []known{
		{"W|watt|watts", 1, si}, {"kW|kw", 1000, si}, {"hp|horsepower", 745.6999, sp811}, {"ft lb/s|ft-lb/s|ftlb/s", 1.355818, sp811},
	}},
	{"speed in rpm", &rotations, reader(Parse[Rotation]), []known{{"rpm|rev/min|1/min|r/min", 1, name}, {"rev/s|rps|1/s", 60, name}}},
	{"turbidity in NTU", &turbidities, reader(Parse[Cloudiness]), []known{{"NTU|FNU|FTU|ntu", 1, name}}},
	{"salinity in g/kg", &salinities, reader(Parse[Salinity]), []known{
		// Practical salinity is close to grams of salt in a kg: 35 against 35.165 (TEOS-10); g/L is taken as g/kg, 3 % high in sea water.
		{"g/kg|ppt|psu|PSU|Psu|g/L|PSS|o/oo|‰", 1, "common practice"},
	}},
	{"conductivity in uS/cm", &conductances, reader(Parse[Conductance]), []known{{"uS/cm|µS/cm|umho/cm|micromho/cm", 1, name},
		{"mS/cm|dS/m", 1000, si}, {"mS/m", 10, si}}},
	{"amount in mmol/L", &molarities, reader(Parse[Molarity]), []known{{"mmol/L|mM|mol/m3", 1, si}, {"mol/L|M", 1000, si},
		{"umol/L|µmol/L|uM", 0.001, si}}},
}

// flows are the units of a flow; of is one m3/h in the working unit.
func flows(of float64) []known {
	const h = 3600 // seconds in an hour: the factors of NIST SP 811 lead to m3/s
	list := []known{
		{"m3/h|m³/h|m3 h-1|M3/H|m3/hr|cum/h|cmh|m3/hour|m3 per h", 1, si}, {"m3/d|m3/day|cmd|cum/d", 1.0 / 24, si}, {"m3/min", 60, si},
		{"m3/s|cms", h, si},
		{"L/s|l/s|L s-1|lps|litre/s|liter/s", 0.001 * h, si}, {"L/min|lpm|l/min.|litre/min|liter/min", 0.06, si},
		{"L/h|l/h|lph|L/hr|litre/h|liter/h", 0.001, si}, {"L/d|l/d|L/day", 0.001 / 24, si},
		{"mL/min|ml/min|ml/min.|cc/min|mL min-1", 0.00006, si}, {"mL/h|ml/h", 0.000001, si}, {"mL/d|ml/d|mL/day", 0.000001 / 24, si},
		{"ML/h", 1000, si}, {"ML/d|MLD|megalitre/d", 1000.0 / 24, si},
		{"gpm|gal/min|US gpm|USgpm|US gal/min|gallons/min|GPM", 6.309020e-5 * h, sp811},
		{"gph|gal/h|gal/hr|US gph|US gal/h", 6.309020e-5 * h / 60, sp811},
		{"gpd|gal/d|gal/day|US gpd|US gal/d", 4.381264e-8 * h, sp811}, {"MGD|mgd|Mgal/d|US MGD", 4.381264e-2 * h, sp811},
		{"imp gpm|igpm|imp gal/min|imperial gpm|imperial gal/min|UK gpm|UK gal/min", 0.00454609 * 60, gallon},
		{"imp gph|imp gal/h|imperial gal/h|UK gal/h", 0.00454609, gallon},
		{"imp gpd|imp gal/d|imperial gal/d|UK gal/d", 0.00454609 / 24, gallon},
		{"imp MGD|MIGD|imperial MGD|UK MGD", 4546.09 / 24, gallon}, {"cfs|ft3/s", 2.831685e-2 * h, sp811}, {"cfm|ft3/min", 4.719474e-4 * h, sp811},
	}
	for i := range list {
		list[i].value *= of
	}
	return list
}

// reader makes a parser give its working unit as a bare number.
func reader[Q ~float64](parse func(string) (Q, error)) func(string) (float64, error) {
	return func(s string) (float64, error) { q, err := parse(s); return float64(q), err }
}

func TestEveryUnitIsWorthWhatItsSourceSays(t *testing.T) {
	for _, m := range measures {
		tested := map[string]bool{}
		for _, u := range m.units {
			rel := 1e-14
			switch u.source {
			case sp811:
				rel = 5e-7 // half a unit of the seventh digit, at worst
			case caco3:
				rel = 1e-5 // the degree is kept as 17.848, the five digits of the trade
			}
			for _, s := range strings.Split(u.spellings, "|") {
				tested[s] = true
				got, err := m.read("1 " + s)
				if err != nil || !near(got, u.value, rel) {
					t.Errorf("%s: 1 %s is read as %v (%v), want %v (%s)", m.kind, s, got, err, u.value, u.source)
				}
			}
		}
		for _, n := range m.row.all() {
			if !tested[n] {
				t.Errorf("%s: %q stands in no row of this table", m.kind, n)
			}
		}
	}
}

// Each amount in a unit of its own: the other direction, with a number that is not 1.
func TestIn(t *testing.T) {
	for _, c := range []struct {
		in   func(string) float64
		unit string
		want float64 // by hand
	}{
		{Flow(3.6).In, "m3/h", 3.6}, {Flow(3.6).In, "L/s", 1}, {Flow(3.6).In, "gpm", 15.85032}, {Flow(3.6).In, "MGD", 0.02282446},
		{Flow(3.6).In, "imp gpm", 13.19815},
		{FeedRate(50).In, "mL/min", 50}, {FeedRate(50).In, "L/h", 3}, {FeedRate(50).In, "gph", 0.7925162},
		{FeedRate(50).In, "m3/h", 0.003},
		{Volume(200).In, "m3", 0.2}, {Volume(200).In, "gal", 52.83441}, {Volume(0.25).In, "mL", 250},
		{Volume(200).In, "imp gal", 43.99385}, {Volume(200).In, "ft3", 7.062933},
		{Mass(25).In, "lb", 55.11557}, {Mass(0.0048).In, "g", 4.8}, {Mass(25).In, "oz", 881.8490},
		{MassRate(1.2).In, "g/h", 50}, {MassRate(1.2).In, "lb/d", 2.645547}, {MassRate(1.2).In, "g/min", 0.8333333},
		{Concentration(12500).In, "g/L", 12.5}, {Concentration(12500).In, "% w/v", 1.25}, {Concentration(12.5).In, "lb/MG", 104.3176},
		{Density(1.335).In, "kg/m3", 1335}, {Density(1.335).In, "lb/gal", 11.14112},
		{Time(36).In, "d", 1.5}, {Time(0.75).In, "min", 45}, {Time(0.01).In, "s", 36},
		{Alkalinity(60).In, "meq/L", 1.198957}, {Alkalinity(60).In, "dKH", 3.361721},
		{Length(1.2).In, "ft", 3.937008}, {Length(1.2).In, "in", 47.24409}, {Length(1.2).In, "mm", 1200}, {Area(1.5).In, "ft2", 16.14587},
		{Loading(8).In, "gpm/ft2", 3.272319}, {Loading(8).In, "L/m2/min", 133.3333}, {SolidsLoading(5).In, "lb/ft2/h", 1.024081},
		{Pressure(450).In, "bar", 4.5}, {Pressure(450).In, "psi", 65.26698}, {Power(1500).In, "hp", 2.011533},
		{Power(1500).In, "kW", 1.5},
	} {
		if got := c.in(c.unit); !near(got, c.want, 5e-7) {
			t.Errorf("in %s: %v, want %v", c.unit, got, c.want)
		}
	}
	for what, got := range map[string]float64{
		"flow": Flow(1).In("furlong"), "feed rate": FeedRate(1).In("kg"), "volume": Volume(1).In("kg"),
		"mass": Mass(1).In("L"), "mass rate": MassRate(1).In("kg"),
		"concentration": Concentration(1).In("kg"), "density": Density(1).In("kg"), "time": Time(1).In("m"), "alkalinity": Alkalinity(1).In("kg"),
		"length": Length(1).In("h"), "area": Area(1).In("m"), "loading": Loading(1).In("m"), "solids loading": SolidsLoading(1).In("m"), "weir loading": WeirLoading(1).In("m"),
		"pressure": Pressure(1).In("m"), "power": Power(1).In("m"),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s in a unit of something else gives %v, want NaN", what, got)
		}
	}
}

// What is shown, on both sides of each change of unit. Values by hand from the factors above, to four digits.
func TestShow(t *testing.T) {
	for _, c := range []struct {
		q          Quantity
		metric, us string
	}{
		{Flow(3.6), "3.6 m3/h", "15.85 gpm"}, {Flow(0), "0 m3/h", "0 gpm"}, {Flow(400), "400 m3/h", "1761 gpm"},
		{FeedRate(17.18), "17.18 mL/min", "17.18 mL/min"}, {FeedRate(1500), "1500 mL/min", "1500 mL/min"},
		// 8 fl oz are 236.59 mL, half a gallon 1892.7 mL.
		{Volume(0), "0 L", "0 gal"}, {Volume(0.0005), "0.5 mL", "0.5 mL"}, {Volume(0.2365), "236.5 mL", "236.5 mL"},
		{Volume(0.2367), "236.7 mL", "8.004 fl oz"}, {Volume(-0.2367), "-236.7 mL", "-8.004 fl oz"},
		{Volume(0.499), "499 mL", "16.87 fl oz"}, {Volume(-0.499), "-499 mL", "-16.87 fl oz"}, {Volume(0.5), "0.5 L", "16.91 fl oz"},
		{Volume(1), "1 L", "33.81 fl oz"},
		{Volume(1.892), "1.892 L", "63.98 fl oz"}, {Volume(1.893), "1.893 L", "0.5001 gal"}, {Volume(200), "200 L", "52.83 gal"},
		{Volume(9999), "9999 L", "2641 gal"}, {Volume(10000), "10 m3", "2642 gal"}, {Volume(-10000), "-10 m3", "-2642 gal"},
		{Volume(86400), "86.4 m3", "22820 gal"},
		{Volume(3785000), "3785 m3", "999900 gal"}, {Volume(3785500), "3786 m3", "1 million gal"},
		// Half an ounce is 14.175 g, a pound 453.59 g.
		{Mass(0), "0 kg", "0 lb"}, {Mass(0.0048), "4.8 g", "4.8 g"}, {Mass(0.0141), "14.1 g", "14.1 g"},
		{Mass(0.0142), "14.2 g", "0.5009 oz"}, {Mass(-0.0142), "-14.2 g", "-0.5009 oz"},
		{Mass(0.4535), "453.5 g", "16 oz"}, {Mass(0.4536), "453.6 g", "1 lb"}, {Mass(0.499), "499 g", "1.1 lb"},
		{Mass(-0.499), "-499 g", "-1.1 lb"}, {Mass(0.5), "0.5 kg", "1.102 lb"}, {Mass(25), "25 kg", "55.12 lb"},
		{MassRate(0), "0 kg/d", "0 lb/d"}, {MassRate(1.2), "1.2 kg/d", "2.646 lb/d"}, {MassRate(0.45), "0.45 kg/d", "15.87 oz/d"},
		{MassRate(0.454), "0.454 kg/d", "1.001 lb/d"},
		{MassRate(0.0142), "0.0142 kg/d", "0.5009 oz/d"}, {MassRate(0.002), "0.002 kg/d", "2 g/d"},
		{MassRate(-0.002), "-0.002 kg/d", "-2 g/d"},
		{Concentration(12.5), "12.5 mg/L", "12.5 mg/L"}, {Concentration(4999), "4999 mg/L", "4999 mg/L"},
		{Concentration(5000), "5 g/L", "5 g/L"}, {Concentration(-5000), "-5 g/L", "-5 g/L"},
		{Density(1.335), "1.335 kg/L", "11.14 lb/gal"}, {Fraction(0.485), "48.5 %", "48.5 %"}, {Setting(60), "60 %", "60 %"},
		{Time(0), "0 h", "0 h"}, {Time(0.01), "36 s", "36 s"}, {Time(1.0 / 60), "1 min", "1 min"}, {Time(-0.75), "-45 min", "-45 min"},
		{Time(0.99), "59.4 min", "59.4 min"},
		{Time(1), "1 h", "1 h"}, {Time(71.9), "71.9 h", "71.9 h"}, {Time(72), "3 d", "3 d"}, {Time(-72), "-3 d", "-3 d"},
		{Temperature(12), "12 C", "53.6 F"}, {Temperature(-40), "-40 C", "-40 F"}, {Temperature(0), "0 C", "32 F"},
		{Temperature(100), "100 C", "212 F"},
		{Alkalinity(60), "60 mg/L CaCO3", "60 mg/L CaCO3"},
		{Length(0), "0 m", "0 ft"}, {Length(0.04), "40 mm", "1.575 in"}, {Length(-0.04), "-40 mm", "-1.575 in"},
		{Length(0.3048), "304.8 mm", "1 ft"}, {Length(0.3047), "304.7 mm", "12 in"},
		{Length(0.499), "499 mm", "1.637 ft"}, {Length(0.5), "0.5 m", "1.64 ft"}, {Length(1.2), "1.2 m", "3.937 ft"},
		{Area(1.5), "1.5 m2", "16.15 ft2"}, {Loading(8), "8 m/h", "3.272 gpm/ft2"}, {SolidsLoading(5), "5 kg/m2/h", "1.024 lb/ft2/h"}, {WeirLoading(10), "10 m3/h/m", "13.42 gpm/ft"},
		{Pressure(450), "450 kPa", "65.27 psi"}, {Power(120), "120 W", "120 W"}, {Power(4999), "4999 W", "4999 W"},
		{Power(5000), "5 kW", "5 kW"}, {Power(-5000), "-5 kW", "-5 kW"},
		{Gradient(300), "300 1/s", "300 1/s"}, {Current(12), "12 mA", "12 mA"}, {Rotation(100), "100 rpm", "100 rpm"},
		{Cloudiness(42), "42 NTU", "42 NTU"},
		{Ratio(0.31), "0.31 kg/kg", "0.31 lb/lb"}, {Energy(7.5), "7.5 kWh", "7.5 kWh"},
		{Salinity(25), "25 g/kg", "25 g/kg"}, {Conductance(250), "250 uS/cm", "250 uS/cm"}, {Molarity(2), "2 mmol/L", "2 mmol/L"},
		{PH(7.6), "7.6 ", "7.6 "},
		{Money{12.5, "EUR"}, "12.5 EUR", "12.5 EUR"},
		{Price{0.42, "EUR", "kg"}, "0.42 EUR/kg", "0.1905 EUR/lb"}, {Price{420, "EUR", "t"}, "420 EUR/t", "381 EUR/short ton"},
		{Price{0.5, "EUR", "L"}, "0.5 EUR/L", "1.893 EUR/gal"}, {Price{1.9, "EUR", "m3"}, "1.9 EUR/m3", "7.192 EUR/1000 gal"},
		{Price{20, "EUR", "1000 m3"}, "20 EUR/1000 m3", "0.07571 EUR/1000 gal"},
		{Price{0.2, "USD", "lb"}, "0.2 USD/lb", "0.2 USD/lb"}, {Price{7, "USD", "1000 gal"}, "7 USD/1000 gal", "7 USD/1000 gal"},
		{Price{310, "EUR", "pack"}, "310 EUR/pack", "310 EUR/pack"},
		{Price{0.21, "EUR", "kWh"}, "0.21 EUR/kWh", "0.21 EUR/kWh"},
		{Dose{12.5, AsAlum14}, "12.5 mg/L", "12.5 mg/L"},
	} {
		for s, want := range []string{Metric: c.metric, US: c.us} {
			v, unit := c.q.Show(System(s))
			if got := Brief(v, 4) + " " + unit; got != want {
				t.Errorf("%T(%v) in system %d: %q, want %q", c.q, c.q, s, got, want)
			}
		}
		text := c.metric
		switch q := c.q.(type) {
		case PH:
			text = "7.60"
		case Dose:
			text += " " + string(q.Basis)
		}
		if got := fmt.Sprint(c.q); got != text {
			t.Errorf("%T as text: %q, want %q", c.q, got, text)
		}
	}
}

// Absolute temperature, and the share of a hundred.
func TestOtherForms(t *testing.T) {
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"12 C in kelvin", Temperature(12).In("K"), 285.15}, {"0.485 in percent", Fraction(0.485).In("%"), 48.5},
		{"one atmosphere in kPa", Atmosphere, 101.325},
	} {
		if !near(c.got, c.want, 1e-12) {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
}
