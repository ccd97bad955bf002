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

// Hex gives the tone as "#RRGGBB".
func (t Tone) Hex() string {
	switch t {
	case Rust:
		return "#9A4A12"
	case Plum:
		return "#6D3F83"
	case Olive:
		return "#56611A"
	case Grey:
		return "#55616A"
	default:
		return "#14606F"
	}
}

// Tint is a pale form of the tone, for areas.
func (t Tone) Tint() string {
	switch t {
	case Rust:
		return "#F4E1D3"
	case Plum:
		return "#E9DEEE"
	case Olive:
		return "#E6E9D2"
	case Grey:
		return "#E4E8EA"
	default:
		return "#D3E5E9"
	}
}
