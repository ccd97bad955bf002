package draw

import "fmt"

// Tone is the colour of a layer: one ink, its soft form, and three that mean
// something. Nothing is told by a tone alone.
type Tone int

const (
	Plain Tone = iota // curves, readings, words
	Doubt             // what is uncertain: blue
	Limit             // a target or a limit: red
	Mud               // solids, and what they cost: silt
	Aside             // what stands back: soft ink
)

// The colours of everything we draw, print and write into workbooks. Text
// colours keep a contrast of at least 4.5 to 1 against paper, white and every
// fill (WCAG 2.1, criterion 1.4.3; a test computes it).
const (
	Ink   = "#16211F" // text, axes
	Muted = "#4C5855" // lesser text
	Rule  = "#C6CBC3" // hairlines, borders
	Paper = "#FAF9F4" // on a screen; print is white
	White = "#FFFFFF"
	Pale  = "#D6E1E6" // bands, contents of tanks

	FillInput = "#FFF5D1" // cells to fill in

	clearWater = "#F1F5F2" // a jar that cleared
	softHatch  = "#D9DCD5" // where no jar stood
	redHatch   = "#DDA9A4" // the unsafe side
	silt       = "#86612F"
)

// tones are the colours of the tones, for lines and, paler, for areas.
var tones = [...]struct{ hex, tint string }{
	Plain: {Ink, Pale}, Doubt: {"#0B4A78", Pale}, Limit: {"#A31F1A", "#F0DCD8"}, Mud: {silt, silt}, Aside: {Muted, "#EDEFEA"},
}

// Hex gives the tone as "#RRGGBB".
func (t Tone) Hex() string { return tones[t].hex }

// Tint is the tone's form for areas.
func (t Tone) Tint() string { return tones[t].tint }

// muddy is the colour of water in a jar, from clear at 0 to the raw water at 1.
func muddy(share float64) string {
	share = max(0, min(1, share))
	mix := func(a, b uint8) int { return int(float64(a) + share*(float64(b)-float64(a)) + 0.5) }
	from, to := rgb(clearWater), rgb(silt)
	return fmt.Sprintf("#%02X%02X%02X", mix(from.R, to.R), mix(from.G, to.G), mix(from.B, to.B))
}
