package draw

// Tone is the colour of a layer. The tones differ in lightness as well as hue.
type Tone int

const (
	Teal Tone = iota
	Rust
	Plum
	Olive
	Grey
)

// The colours of everything we draw, print and write into workbooks. Text
// colours keep a contrast of at least 4.5 to 1 against white and against every
// fill (WCAG 2.1, criterion 1.4.3; a test computes it).
const (
	Ink   = "#1D2B33" // text, axes
	Muted = "#4F5C65" // lesser text
	Rule  = "#C9D2D7" // grid lines, borders
	Paper = "#FFFFFF"

	FillHead    = "#E1EAED" // headings of tables
	FillInput   = "#FFF5D1" // cells to fill in
	FillFormula = "#F3F5F6" // worked out
	FillCaution = "#FBE7D5"
	FillStop    = "#F7D9D9"
	FillGood    = "#E0EFE3"
)

// tones are the colours of the tones, for lines and, paler, for areas.
var tones = [...]struct{ hex, tint string }{
	Teal: {"#14606F", "#D3E5E9"}, Rust: {"#9A4A12", "#F4E1D3"}, Plum: {"#6D3F83", "#E9DEEE"}, Olive: {"#56611A", "#E6E9D2"},
	Grey: {"#55616A", "#E4E8EA"},
}

// Hex gives the tone as "#RRGGBB".
func (t Tone) Hex() string { return tones[t].hex }

// Tint is a pale form of the tone, for areas.
func (t Tone) Tint() string { return tones[t].tint }
