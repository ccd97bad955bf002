package quantity

import (
	"strings"

	"jarwright/jartest/note"
)

// PH is the negative decadic logarithm of hydrogen ion activity, as a meter shows it.
type PH float64

// ParsePH reads "7.6", with or without the word pH.
func ParsePH(s string) (PH, error) {
	t := strings.TrimSpace(strings.ToLower(s))
	t = strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(t, "ph"), "ph"))
	v, rest, err := Split(t)
	if err != nil || rest != "" {
		return 0, note.Fault("bad-ph", "pH %q is not a number", s).Do(`write it like "7.6"`)
	}
	if v < 0 || v > 14 {
		return 0, note.Fault("bad-ph", "pH %q is outside 0 to 14", s)
	}
	return PH(v), nil
}

// Show implements [Quantity]; pH has no unit.
func (p PH) Show(System) (float64, string) { return float64(p), "" }
func (p PH) String() string                { return Sig(float64(p), 3) }

// Salinity is practical salinity, close to g of salt per kg of water.
type Salinity float64

var salinity = kind{"salinity", "25 g/kg", []unit{
	{1, []string{"g/kg", "ppt", "psu", "PSU", "g/L", "PSS", "o/oo", "‰"}},
}}

// ParseSalinity reads "25 ppt" or "25 g/kg".
func ParseSalinity(s string) (Salinity, error) {
	v, err := salinity.parse(s)
	if err == nil && (v < 0 || v > 50) {
		err = note.Fault("bad-salinity", "salinity %q is outside 0 to 50 g/kg", s)
	}
	return Salinity(v), err
}

// Show implements [Quantity].
func (s Salinity) Show(System) (float64, string) { return float64(s), "g/kg" }
func (s Salinity) String() string                { return text(s) }

// Conductance is electrical conductivity at 25 C, in uS/cm.
type Conductance float64

var conductance = kind{"conductivity", "250 uS/cm", []unit{
	{1, []string{"uS/cm", "umho/cm", "micromho/cm"}},
	{1000, []string{"mS/cm", "dS/m"}},
	{10, []string{"mS/m"}},
}}

// ParseConductance reads "250 uS/cm" or "1.2 mS/cm".
func ParseConductance(s string) (Conductance, error) {
	v, err := conductance.parse(s)
	return Conductance(v), err
}

// Show implements [Quantity].
func (c Conductance) Show(System) (float64, string) { return float64(c), "uS/cm" }
func (c Conductance) String() string                { return text(c) }

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
