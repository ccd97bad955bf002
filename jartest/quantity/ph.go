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
