package quantity

import (
	"strings"

	"jarwright/jartest/note"
)

// PH is the pH of a water, on the scale that the meter was calibrated to.
type PH float64

// ParsePH reads "7.6", with or without the word pH.
func ParsePH(s string) (PH, error) {
	t := strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(strings.ToLower(strings.TrimSpace(s)), "ph"), "ph"))
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
func (p PH) Show(System) (float64, string) { return float64(p), "pH" }
func (p PH) String() string                { return "pH " + Sig(float64(p), 3) }

// Salinity is practical salinity, close to g of salt per kg of water.
type Salinity float64

var salinity = kind{"salinity", "35 g/kg", []unit{
	{1, []string{"g/kg", "ppt", "psu", "g/L", "o/oo", "‰"}},
}}

// ParseSalinity reads "35 g/kg"; ppt and psu count the same.
func ParseSalinity(s string) (Salinity, error) { v, err := salinity.parse(s); return Salinity(v), err }

// Show implements [Quantity].
func (s Salinity) Show(System) (float64, string) { return float64(s), "g/kg" }
func (s Salinity) String() string                { return text(s) }

// Conductance is the electrical conductivity of a water at 25 C, in uS/cm.
type Conductance float64

var conductance = kind{"conductivity", "250 uS/cm", []unit{
	{1, []string{"uS/cm", "umho/cm"}},
	{1000, []string{"mS/cm"}},
	{10, []string{"mS/m"}},
}}

// ParseConductance reads "250 uS/cm" or "0.25 mS/cm".
func ParseConductance(s string) (Conductance, error) {
	v, err := conductance.parse(s)
	return Conductance(v), err
}

// Show implements [Quantity].
func (c Conductance) Show(System) (float64, string) { return float64(c), "uS/cm" }
func (c Conductance) String() string                { return text(c) }

// Cloudiness is turbidity in NTU (FNU counts the same; FAU does not).
type Cloudiness float64

var cloudiness = kind{"turbidity", "42 NTU", []unit{{1, []string{"NTU", "FNU", "FTU"}}}}

// ParseCloudiness reads "42 NTU".
func ParseCloudiness(s string) (Cloudiness, error) {
	v, err := cloudiness.parse(s)
	return Cloudiness(v), err
}

// Show implements [Quantity].
func (c Cloudiness) Show(System) (float64, string) { return float64(c), "NTU" }
func (c Cloudiness) String() string                { return text(c) }

// ParseSetting reads a knob or stroke setting, "60 %".
func ParseSetting(s string) (Setting, error) {
	f, err := fraction.parse(s)
	if err == nil && (f < 0 || f > 1) {
		err = note.Fault("bad-setting", "setting %q is outside 0 to 100 %%", s)
	}
	return Setting(f * 100), err
}
