package site

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Knob is where a pump's knob stands: in per cent, or in marks of its own.
type Knob struct {
	V float64
	// Unit is "rpm", "strokes/min", "Hz" or "marks"; empty for per cent.
	Unit string
}

// knobUnits are the marks that a knob may have, with the words for each.
var knobUnits = [][]string{{"rpm", "r/min", "rev/min", "1/min"}, {"strokes/min", "stroke/min", "strokes a minute", "strokes per minute", "spm"}, {"hz"}, {"marks", "mark", "div", "divisions", "dial"}}

// parseKnob reads "38 %", "45 rpm", "60 strokes/min", "22 Hz" or "4.5 marks".
func parseKnob(s string) (Knob, error) {
	p, err := quantity.Parse[quantity.Setting](s)
	if err == nil {
		return Knob{V: float64(p)}, nil
	}
	v, unit, bad := quantity.Split(s)
	for _, words := range knobUnits {
		if bad == nil && slices.Contains(words, strings.ToLower(unit)) {
			if v < 0 {
				return Knob{}, note.Fault("negative", "%q is negative", s).Do("give zero or more")
			}
			return Knob{v, strings.Replace(words[0], "hz", "Hz", 1)}, nil
		}
	}
	if l := note.Of(err, "knob"); bad == nil { // a number, and not of per cent
		return Knob{}, l[0].Do(`write what stands at the knob with its unit, like "60 %%", "45 rpm", "60 strokes/min", "22 Hz" or "4.5 marks"`)
	}
	return Knob{}, err
}

// parseScale reads what the knob shows at 100 %, in marks of its own.
func parseScale(s string) (Knob, error) {
	k, err := parseKnob(s)
	if err == nil && (k.Unit == "" || k.V <= 0) {
		err = note.Fault("bad-scale", "%q is no scale of a knob", s).Do(`give what it shows at 100 %%, such as "100 rpm", "120 strokes/min", "50 Hz" or "10 marks"; leave it out for per cent`)
	}
	return k, err
}

// OnScale gives a position in per cent of what the knob shows at 100 %.
func OnScale(k, scale quantity.Known[Knob]) (quantity.Setting, error) {
	switch {
	case !k.OK || k.V.Unit == "":
		return quantity.Setting(k.V.V), nil
	case !scale.OK:
		return 0, scale.Missing("what the knob shows at 100 %", `give "knob at full", such as "100 `+k.V.Unit+`"`)
	case scale.V.Unit != k.V.Unit:
		return 0, note.Fault("knob-scale", "a position in %s, but the knob shows %s", k.V.Unit, scale.V.Unit).At(k.At).Do("use one of the two")
	}
	return quantity.Setting(100 * k.V.V / scale.V.V), nil
}
