package quantity

import "jarwright/jartest/note"

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
