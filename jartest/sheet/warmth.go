package sheet

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// The temperature of the water: its degrees may stand without their sign, "temp 9 C", and that of the
// laboratory or of a stock is another.

// bareDegrees is a number, or a range, with the letter of a scale of temperature.
var bareDegrees = words.NewPattern(`(-?\d+(?:[.,]\d+)?(?: ?[-–] ?\d+(?:[.,]\d+)?)?) ?([CcFf])\b`)

// aloneInCelsius is a number with the letter of the scale and nothing else between two signs that part facts.
var aloneInCelsius = words.NewPattern(`((?:^|[,;/]) ?)(-?\d+(?:[.,]\d+)?) ?C( ?(?:[,;/]|$))`)

// degreed gives a text with the sign of degrees where a word for temperature stands before a number and
// the letter of a scale, or these stand alone among other facts.
func degreed(text string) string {
	for aloneInCelsius.MatchString(text) {
		text = aloneInCelsius.ReplaceAllString(text, "$1$2 °C$3")
	}
	all := bareDegrees.FindAllStringSubmatchIndex(text, -1)
	for i := len(all) - 1; i >= 0; i-- {
		m := all[i]
		from := strings.LastIndexAny(text[:m[0]], ";,()\n0123456789") + 1
		if layout.ReadHeading(text[from:m[0]]).Reading == jartest.TemperatureKey {
			text = text[:m[3]] + " °" + strings.ToUpper(text[m[4]:m[5]]) + text[m[5]:]
		}
	}
	return text
}

// scaleOfDegrees reports the letter of a scale in the cell for the unit of a temperature.
func scaleOfDegrees(name, unit string) bool {
	return len(unit) == 1 && strings.Contains("CcFf", unit) && layout.ReadHeading(name).Reading == jartest.TemperatureKey
}

// warmElsewhere reports a folded text on the temperature of something that is not the water of the test.
func warmElsewhere(h layout.Heading, f string) bool {
	return h.Reading == jartest.TemperatureKey && spoken()["warm elsewhere"].in(f) && !h.Raw && !spoken()["water"].in(f)
}

// warmthElsewhere blanks the clauses on the temperature of something that is not the water.
func (h *held) warmthElsewhere() {
	for _, c := range clauseSpans(h.text) {
		if f := h.text[c[0]:c[1]]; warmElsewhere(layout.ReadHeading(f), f) {
			h.blank(c[:])
		}
	}
}
