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

// CloudinessRate is how fast turbidity rises, in NTU per hour.
type CloudinessRate float64

var cloudinessRate = kind{"rise of turbidity", "0.5 NTU/h", []unit{{1, []string{"NTU/h", "FNU/h"}}, {1.0 / 24, []string{"NTU/d", "FNU/d"}}}}

// ParseCloudinessRate reads "0.5 NTU/h".
func ParseCloudinessRate(s string) (CloudinessRate, error) {
	v, err := cloudinessRate.parse(s)
	return CloudinessRate(v), err
}

// Show implements [Quantity].
func (c CloudinessRate) Show(System) (float64, string) { return float64(c), "NTU/h" }
func (c CloudinessRate) String() string                { return text(c) }

// ParseSetting reads a knob or stroke setting, "60 %".
func ParseSetting(s string) (Setting, error) {
	f, err := fraction.parse(s)
	if err == nil && (f < 0 || f > 1) {
		err = note.Fault("bad-setting", "setting %q is outside 0 to 100 %%", s)
	}
	return Setting(f * 100), err
}
