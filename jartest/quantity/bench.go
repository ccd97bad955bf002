package quantity

import "math"

// The kinds of the bench and of water chemistry. Factors that are not powers of ten carry their source.

const (
	litresPerGallon    = 3.785411784 // US, 231 cubic inches, exact
	litresPerImpGallon = 4.54609     // exact by definition
	kgPerPound         = 0.45359237  // international pound of 1959, exact
	metresPerFoot      = 0.3048      // international foot of 1959, exact
	mgPerGrain         = 64.79891    // a 7000th of the pound, exact
)

// Volume is in litres.
type Volume = Amount[volume]

type volume struct{}

func (volume) kind() *kind { return &volumes }

// Below a cup a cylinder or a syringe is used, marked in mL in the US too; jugs are marked in fluid ounces.
var volumes = kind{what: "volume", example: "200 L", units: []unit{
	of(1, "L", "litre", "liter", "litres", "liters", "dm3"),
	of(1e-3, "mL", "ml", "millilitre", "milliliter", "cc", "cm3"),
	of(1e-6, "uL", "microlitre", "microliter"),
	of(1000, "m3", "cum", "cubic metre", "cubic meter"),
	of(1e6, "ML", "megalitre"),
	of(litresPerGallon, "gal", "US gal", "gallon", "gallons"),
	of(litresPerGallon/128, "fl oz", "US fl oz", "fluid ounce", "fluid ounces"),
	of(litresPerGallon*1e6, "MG", "Mgal", "million gal"),
	of(litresPerGallon*1e3, "kgal", "1000 gal", "thousand gal"),
	of(litresPerImpGallon, "imp gal", "imperial gal", "imperial gallon", "imperial gallons", "UK gal"),
	of(metresPerFoot*metresPerFoot*metresPerFoot*1000, "ft3", "cubic feet", "cubic foot"),
	of(acre*metresPerFoot*1000, "acre-ft", "acre ft", "ac-ft", "ac ft", "acre-feet", "acre feet", "acre-foot", "acre foot"),
},
	metric: ladder{{"mL", 0}, {"L", 0.5}, {"m3", 10}},
	us:     ladder{{"mL", 0}, {"fl oz", 8}, {"gal", 0.5}, {"million gal", 1}},
}

// Mass is in kilograms.
type Mass = Amount[mass]

type mass struct{}

func (mass) kind() *kind { return &masses }

// A scale that shows ounces steps by a twentieth of one: below half an ounce people weigh in grams.
var masses = kind{what: "mass", example: "25 kg", units: []unit{
	of(1, "kg", "kilogram", "kilograms"),
	of(1e-3, "g", "gram", "grams", "gm"),
	of(1e-6, "mg"),
	of(1000, "t", "tonne", "tonnes", "metric ton", "Mg"),
	of(kgPerPound, "lb", "lbs", "pound", "pounds"),
	of(kgPerPound/16, "oz", "ounce", "ounces"),
	of(kgPerPound*2000, "short ton", "US ton"),
	of(kgPerPound*2240, "long ton", "UK ton"),
},
	metric: ladder{{"g", 0}, {"kg", 0.5}},
	us:     ladder{{"g", 0}, {"oz", 0.5}, {"lb", 1}},
}

// Concentration is mass per volume of liquid, in mg/L.
type Concentration = Amount[concentration]

type concentration struct{}

func (concentration) kind() *kind { return &concentrations }

var concentrations = kind{what: "concentration", example: "12.5 mg/L", units: []unit{
	of(1, "mg/L", "ppm", "g/m3", "mg/litre", "mg/liter", "mg/dm3",
		"g/t", "g/tonne"), // of water, of which a tonne is taken as a cubic metre
	of(1000, "g/L", "kg/m3", "g/litre", "g/liter", "mg/mL", "g/dm3"),
	of(1e-3, "ug/L", "ppb", "mg/m3", "mcg/L"),
	of(1e4, "% w/v", "%w/v", "% (w/v)", "g/100mL", "g/dL"),
	of(kgPerPound*1e6/litresPerGallon, "lb/gal", "lb/US gal"),
	of(kgPerPound*1e6/16/litresPerGallon, "oz/gal", "oz/US gal"),
	of(kgPerPound/litresPerGallon, "lb/MG", "lb/Mgal"),
	of(kgPerPound*1e3/litresPerGallon, "lb/kgal", "lb/1000 gal"),
	of(mgPerGrain/litresPerGallon, "gpg", "gr/gal", "grains/gal", "grain/gal"),
	of(kgPerPound*1e6/litresPerImpGallon, "lb/imp gal"),
	of(kgPerPound*1e3/(acre*metresPerFoot), "lb/acre-ft", "lb/ac-ft", "lb/acre ft", "lb/acre-foot"),
},
	metric: ladder{{"mg/L", 0}, {"g/L", 5}},
}

// Density is mass per volume of a liquid, in kg/L; specific gravity is taken as
// kg/L (water at 4 C is 0.99997 kg/L, so the difference is below any drum label).
type Density = Amount[density]

type density struct{}

func (density) kind() *kind { return &densities }

var densities = kind{what: "density", example: "1.335 kg/L", units: []unit{
	of(1, "kg/L", "g/mL", "g/cm3", "t/m3", "SG", "g/cc", "kg/litre", "kg/dm3"),
	of(1e-3, "kg/m3", "g/L"),
	of(kgPerPound/litresPerGallon, "lb/gal", "lb/US gal"),
	of(kgPerPound/litresPerImpGallon, "lb/imp gal"),
},
	us:     only("lb/gal"),
	limits: limits{low: math.SmallestNonzeroFloat64, high: math.MaxFloat64, code: "bad-density", text: "density %q must be above zero"},
}

// Fraction is a share from 0 to 1: the strength of a product by mass, a basicity,
// a capture. It is written and shown in percent.
type Fraction = Amount[fraction]

type fraction struct{}

func (fraction) kind() *kind { return &shares }

var shares = kind{what: "share", example: "48.5 %",
	units:  []unit{of(0.01, "%", "percent", "pct", "% w/w", "%w/w", "% (w/w)")},
	limits: limits{high: 1, code: "bad-percentage", text: "%q is outside 0 to 100 %%"},
}

// Renewal is the share of a system's water replaced in a day, above 1 where more than all of it is.
type Renewal = Amount[renewal]

type renewal struct{}

func (renewal) kind() *kind { return &renewals }

var renewals = kind{what: "share", example: "15 %", units: shares.units}

// Ratio is mass per mass, kg/kg: dry solids per kg of coagulant, calcium
// carbonate used per mg of product.
type Ratio = Amount[ratio]

type ratio struct{}

func (ratio) kind() *kind { return &ratios }

var ratios = kind{what: "ratio", units: []unit{of(1, "kg/kg", "lb/lb")}, us: only("lb/lb")}

// Cloudiness is turbidity in NTU (FNU counts the same; FAU does not).
type Cloudiness = Amount[cloudiness]

type cloudiness struct{}

func (cloudiness) kind() *kind { return &turbidities }

var turbidities = kind{what: "turbidity", example: "42 NTU", units: []unit{of(1, "NTU", "FNU", "FTU")}, others: []string{"FAU", "JTU"}}

// CaCO3PerEquivalent is the mass of calcium carbonate that counts one equivalent, in
// mg/meq: half the molar mass of 100.087 g/mol (IUPAC standard atomic weights).
const CaCO3PerEquivalent = 50.0435

// Alkalinity is acid-neutralising capacity, in mg/L as CaCO3.
type Alkalinity = Amount[alkalinity]

type alkalinity struct{}

func (alkalinity) kind() *kind { return &alkalinities }

var alkalinities = kind{what: "alkalinity", example: "60 mg/L CaCO3", units: []unit{
	of(1, "mg/L CaCO3", "mg/L as CaCO3", "mg CaCO3/L", "mg/L", "ppm", "ppm CaCO3"),
	of(CaCO3PerEquivalent, "meq/L", "mEq/L", "mmol/L HCO3", "meq/litre"),
	of(17.848, "dKH", "KH"), // 10 mg CaO in a litre: 10 x 100.087/56.077
	of(mgPerGrain/litresPerGallon, "gpg", "gr/gal", "grains/gal", "gpg CaCO3"),
}}

// Salinity is practical salinity, close to g of salt per kg of water.
type Salinity = Amount[salinity]

type salinity struct{}

func (salinity) kind() *kind { return &salinities }

var salinities = kind{what: "salinity", example: "25 g/kg",
	units:  []unit{of(1, "g/kg", "ppt", "psu", "PSU", "g/L", "PSS", "o/oo", "‰")},
	limits: limits{high: 50, code: "bad-salinity", text: "salinity %q is outside 0 to 50 g/kg"},
}

// Conductance is electrical conductivity at 25 C, in uS/cm.
type Conductance = Amount[conductance]

type conductance struct{}

func (conductance) kind() *kind { return &conductances }

var conductances = kind{what: "conductivity", example: "250 uS/cm", units: []unit{
	of(1, "uS/cm", "umho/cm", "micromho/cm"),
	of(1000, "mS/cm", "dS/m"),
	of(10, "mS/m"),
}}

// Molarity is amount of substance per volume, in mmol/L.
type Molarity = Amount[molarity]

type molarity struct{}

func (molarity) kind() *kind { return &molarities }

var molarities = kind{what: "amount", example: "2 mmol/L", units: []unit{
	of(1, "mmol/L", "mM", "mol/m3"),
	of(1000, "mol/L", "M"),
	of(1e-3, "umol/L", "uM"),
}}

// Temperature is in degrees Celsius; in K it is the thermodynamic temperature.
type Temperature = Amount[temperature]

type temperature struct{}

func (temperature) kind() *kind { return &temperatures }

var temperatures = kind{what: "temperature", example: "12 C", units: []unit{
	of(1, "C", "degC", "celsius"),
	{1 / 1.8, []string{"F", "degF", "fahrenheit"}, 32},
	{1, []string{"K", "kelvin"}, 273.15},
}, us: only("F")}
