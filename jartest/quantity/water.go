package quantity

import "jarwright/jartest/note"

// PH is the negative decadic logarithm of hydrogen ion activity, as a meter shows it.
type PH float64

// ParsePH reads a pH between 0 and 14; it has no unit.
func ParsePH(s string) (PH, error) {
	v, unit, err := Split(s)
	if err != nil || (unit != "" && unit != "pH" && unit != "-") {
		return 0, note.Fault("bad-ph", "pH %q is not a plain number", s).Do(`write it like "7.8"`)
	}
	if v < 0 || v > 14 {
		return 0, note.Fault("bad-ph", "pH %s is outside 0 to 14", Sig(v, 4))
	}
	return PH(v), nil
}

// Show implements [Quantity]; pH has no unit.
func (p PH) Show(System) (float64, string) { return float64(p), "" }
func (p PH) String() string                { return Sig(float64(p), 3) }

// Salinity is practical salinity, close to grams of salt per kg of sea water.
type Salinity float64

var salinity = kind{"salinity", "25 g/L", []unit{
	{1, []string{"g/L", "ppt", "psu", "PSU", "g/kg", "PSS", "o/oo", "‰"}},
}}

// ParseSalinity reads "25 ppt" or "25 g/L".
func ParseSalinity(s string) (Salinity, error) {
	v, err := salinity.parse(s)
	if err == nil && (v < 0 || v > 50) {
		err = note.Fault("bad-salinity", "salinity %q is outside 0 to 50", s)
	}
	return Salinity(v), err
}

// Show implements [Quantity].
func (s Salinity) Show(System) (float64, string) { return float64(s), "g/L" }
func (s Salinity) String() string                { return text(s) }

// Conductivity is electrical conductivity at 25 C, in uS/cm.
type Conductivity float64

var conductivity = kind{"conductivity", "250 uS/cm", []unit{
	{1, []string{"uS/cm", "umho/cm", "micromho/cm"}},
	{1000, []string{"mS/cm", "dS/m"}},
	{10, []string{"mS/m"}},
}}

// ParseConductivity reads "250 uS/cm" or "1.2 mS/cm".
func ParseConductivity(s string) (Conductivity, error) {
	v, err := conductivity.parse(s)
	return Conductivity(v), err
}

// Show implements [Quantity].
func (c Conductivity) Show(System) (float64, string) { return float64(c), "uS/cm" }
func (c Conductivity) String() string                { return text(c) }

// Molarity is amount of substance per volume, in mmol/L.
type Molarity float64

var molarity = kind{"amount", "2 mmol/L", []unit{
	{1, []string{"mmol/L", "mM", "mol/m3"}},
	{1000, []string{"mol/L", "M"}},
	{1e-3, []string{"umol/L", "uM"}},
}}

// ParseMolarity reads "2 mmol/L".
func ParseMolarity(s string) (Molarity, error) { v, err := molarity.parse(s); return Molarity(v), err }

// Show implements [Quantity].
func (m Molarity) Show(System) (float64, string) { return float64(m), "mmol/L" }
func (m Molarity) String() string                { return text(m) }
