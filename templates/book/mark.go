package book

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"github.com/xuri/excelize/v2"

	tones "jarwright/templates/draw"
)

// The mark as it stands on a sheet, in pixels, and how much finer its picture is.
const markWide, markHigh, markFine = 84, 41, 5

// isOurs reports a picture that is the mark of the program's own workbooks, of which nobody has to read anything.
func isOurs(picture []byte) bool {
	mark, err := markPicture()
	return err == nil && bytes.Equal(picture, mark)
}

// markPicture is the program's mark as a PNG: five jars from mud to clear on a gauge
// board, the planning dose through it, in the measures of the pages' own.
func markPicture() ([]byte, error) {
	img := image.NewNRGBA(image.Rect(0, 0, markWide*markFine, markHigh*markFine))
	var ink color.NRGBA
	for i, c := range [...]*uint8{&ink.R, &ink.G, &ink.B} {
		*c = hexByte(tones.Ink[1+2*i:])
	}
	ink.A = 255
	at := func(v float64) int { return int(math.Round(v * markFine)) }
	fill := func(c color.Color, x, y, w, h float64) {
		draw.Draw(img, image.Rect(at(x), at(y), at(x+w), at(y+h)), image.NewUniform(c), image.Point{}, draw.Src)
	}
	box := func(x, y, w, h float64) { fill(ink, x, y, w, h) }
	const pitch = 16.8
	for i := range 5 {
		markJar(box, 2.7+pitch*float64(i), i)
		box(pitch*float64(i), 31, pitch/2, 3)
	}
	const line = 0.8
	box(0, 31, markWide, line)
	box(0, 34-line, markWide, line)
	box(markWide-line, 31, line, 3)
	fill(color.White, 55.9, 30, 5.8, 5)
	box(57, 29.2, 3.6, 9)
	var b bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, img)
	return b.Bytes(), err
}

// markJar draws the i-th jar from its left wall on: what is in it, then walls, foot and lip.
func markJar(box func(x, y, w, h float64), x float64, i int) {
	const wide, top, foot, wall = 11.4, 7.0, 27.0, 1.7
	switch i {
	case 0:
		box(x, top, wide, foot-top)
	case 1, 2: // mud thins out: lines further apart
		for y, gap := top, 3.9*float64(i); y < foot-1; y += gap {
			box(x, y, wide, 2.4-0.8*float64(i-1))
		}
	default: // clear water over what has settled
		box(x, top, wide, 0.9)
		box(x, foot-4.4, wide, 4.4)
	}
	const lip, step = 1.6, 0.2
	for y := 0.0; y < lip; y += step {
		out := 1.5 * (1 - y/lip)
		box(x-wall/2-out, 2+y, wall, step)
		box(x+wide-wall/2+out, 2+y, wall, step)
	}
	box(x-wall/2, 2+lip, wall, foot-2-lip)
	box(x+wide-wall/2, 2+lip, wall, foot-2-lip)
	box(x-wall/2, foot-wall/2, wide+wall, wall)
}

// hexByte reads two digits of a colour.
func hexByte(s string) (v uint8) {
	for _, c := range s[:2] {
		d := c - '0'
		if c >= 'A' {
			d = c - 'A' + 10
		}
		v = v<<4 | uint8(d)
	}
	return v
}

// mark puts the mark at the right end of a sheet's first row.
func (w *writer) mark(s *Sheet) error {
	picture, err := markPicture()
	if err != nil {
		return err
	}
	widths := s.fitWidths()
	col, room := s.area().ToCol, -float64(markWide)-margin
	for room += pixels(widths, col); room < 0 && col > 1; room += pixels(widths, col) {
		col--
	}
	return w.file.AddPictureFromBytes(s.name, a1(1, col), &excelize.Picture{Extension: ".png", File: picture, Format: &excelize.GraphicOptions{
		AltText: "jarwright: a row of jars clearing", PrintObject: ptr(true), Locked: ptr(true), Positioning: "oneCell",
		OffsetX: max(0, int(room)), OffsetY: 1, ScaleX: 1.0 / markFine, ScaleY: 1.0 / markFine}})
}
