package draw

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The Go fonts travel with the program, so that pictures look the same on every
// machine. Parsing them is pure, so the parsed form is kept.
var (
	regular = sync.OnceValue(func() *sfnt.Font { return mustParse(goregular.TTF) })
	bold    = sync.OnceValue(func() *sfnt.Font { return mustParse(gobold.TTF) })
)

func mustParse(ttf []byte) *sfnt.Font {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic(err) // the bytes are part of the program
	}
	return f
}

func weight(heavy bool) *sfnt.Font {
	if heavy {
		return bold()
	}
	return regular()
}

// face gives a font in a size in pixels.
func face(size float64, heavy bool) font.Face {
	face, err := opentype.NewFace(weight(heavy), &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic(err)
	}
	return face
}

// TextWidth measures text in points. Where a page is shown in another font the
// width differs a little; layouts leave room for that.
func TextWidth(s string, size float64, heavy bool) float64 {
	f := weight(heavy)
	var buf sfnt.Buffer
	const em = 1000
	sum := fixed.Int26_6(0)
	for _, r := range s {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		if a, err := f.GlyphAdvance(&buf, g, fixed.I(em), font.HintingNone); err == nil {
			sum += a
		}
	}
	return float64(sum) / 64 / em * size
}
