package draw

import (
	"math"
	"sync"

	"github.com/go-fonts/latin-modern/lmroman8bold"
	"github.com/go-fonts/latin-modern/lmroman8regular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// faces are the families that a page may show, the first that the reader has.
const faces = `"Century Schoolbook","New Century Schoolbook",C059,Charter,"Bitstream Charter",Cambria,"Noto Serif","Liberation Serif",serif`

// reserve widens measured text, so that any of the faces fits where ours does.
const reserve = 1.06

// Two cuts of Latin Modern travel with the program: as wide as the schoolbook
// faces, and sturdy in small sizes. The Go fonts stand in for the letters that it
// lacks. Parsing them is pure, so the parsed form is kept.
var families = [...]func() [2]*sfnt.Font{
	sync.OnceValue(func() [2]*sfnt.Font { return [2]*sfnt.Font{mustParse(lmroman8regular.TTF), mustParse(goregular.TTF)} }),
	sync.OnceValue(func() [2]*sfnt.Font { return [2]*sfnt.Font{mustParse(lmroman8bold.TTF), mustParse(gobold.TTF)} }),
}

func mustParse(data []byte) *sfnt.Font {
	f, err := opentype.Parse(data)
	if err != nil {
		panic(err) // the bytes are part of the program
	}
	return f
}

// glyph is one letter as it is set: from which font, how large, how far lowered.
type glyph struct {
	r          rune
	f          *sfnt.Font
	size, drop float64
	advance    float64
}

// known keeps what was looked up of a letter: for a size of one point.
var known sync.Map // of letter to glyph

type letter struct {
	r     rune
	heavy bool
}

// glyphs sets text in a size in points.
func glyphs(text string, size float64, heavy bool) []glyph {
	out := make([]glyph, 0, len(text))
	for _, r := range text {
		g, ok := known.Load(letter{r, heavy})
		if !ok {
			g = lookUp(r, heavy)
			known.Store(letter{r, heavy}, g)
		}
		one := g.(glyph)
		one.size, one.drop, one.advance = one.size*size, one.drop*size, one.advance*size
		out = append(out, one)
	}
	return out
}

// lookUp finds a letter in our own face, in another form, or in the face that stands in.
func lookUp(r rune, heavy bool) glyph {
	fonts := families[map[bool]int{true: 1}[heavy]]()
	var buf sfnt.Buffer
	g := glyph{r: r, size: 1, f: fonts[0]}
	switch {
	case r >= '₀' && r <= '₉':
		g.r, g.size, g.drop = '0'+r-'₀', 0.64, 0.14
	case r == '⁻':
		g.r, g.size, g.drop = '−', 0.64, -0.3
	case r == 'μ':
		g.r = 'µ'
	}
	if i, err := g.f.GlyphIndex(&buf, g.r); i == 0 || err != nil {
		g.f = fonts[1]
	}
	g.advance = advanceOf(g.f, &buf, g.r) * g.size
	return g
}

// face gives a font in a size in pixels.
func face(f *sfnt.Font, size float64) font.Face {
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: math.Max(size, 1), DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic(err)
	}
	return face
}

// advance is how far text reaches in our own font, in points.
func advance(s string, size float64, heavy bool) (sum float64) {
	for _, g := range glyphs(s, size, heavy) {
		sum += g.advance
	}
	return sum
}

// TextWidth measures text in points, with what another face of the list may need.
func TextWidth(s string, size float64, heavy bool) float64 { return reserve * advance(s, size, heavy) }

// CellWidth measures text in a spreadsheet's cell, whose face has no serifs, in points.
func CellWidth(s string, size float64, heavy bool) (sum float64) {
	f := families[map[bool]int{true: 1}[heavy]]()[1]
	var buf sfnt.Buffer
	for _, r := range s {
		sum += advanceOf(f, &buf, r) * size
	}
	return sum
}

// advanceOf is how far a letter reaches in a size of one point.
func advanceOf(f *sfnt.Font, buf *sfnt.Buffer, r rune) float64 {
	const em = 1000
	i, err := f.GlyphIndex(buf, r)
	if err != nil {
		return 0
	}
	a, err := f.GlyphAdvance(buf, i, fixed.I(em), font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(a) / 64 / em
}
