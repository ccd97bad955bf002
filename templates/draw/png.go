package draw

import (
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// PNG writes the drawing as a picture of pixels, twice as fine as a screen
// shows it, so that it stays sharp on a phone and in print.
func (d Drawing) PNG(w io.Writer) error {
	const fine = 2
	s := d.layout(Wide)
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, int((s.width+2*edge)*fine), int((s.height+2*edge)*fine))), scale: fine, from: edge}
	draw.Draw(c.img, c.img.Bounds(), c.source(Paper), image.Point{}, draw.Src)
	for _, it := range s.items {
		switch it := it.(type) {
		case area:
			c.paint([][]XY{it.at}, it.fill)
		case stroke:
			if it.fill != "" && it.fill != "none" {
				c.paint([][]XY{it.at}, it.fill)
			}
			c.stroke(it)
		case words:
			c.words(it)
		}
	}
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	return enc.Encode(w, c.img)
}

type canvas struct {
	img         *image.RGBA
	scale, from float64
}

// pixel is where a place of the paper lies in the picture.
func (c *canvas) pixel(p XY) XY { return XY{(p.X + c.from) * c.scale, (p.Y + c.from) * c.scale} }

func (c *canvas) source(hex string) *image.Uniform { return image.NewUniform(rgb(hex)) }

// rgb reads "#RRGGBB"; what is none is black.
func rgb(hex string) color.RGBA {
	v, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		v = 0
	}
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// paint fills closed paths, all wound the same way, in one colour.
func (c *canvas) paint(paths [][]XY, hex string) {
	b := image.Rectangle{}
	for _, p := range paths {
		for _, q := range p {
			m := c.pixel(q)
			x, y := int(math.Floor(m.X)), int(math.Floor(m.Y))
			b = b.Union(image.Rect(x-1, y-1, x+2, y+2))
		}
	}
	b = b.Intersect(c.img.Bounds())
	if b.Empty() {
		return
	}
	r := vector.NewRasterizer(b.Dx(), b.Dy())
	for _, p := range paths {
		for i, q := range p {
			m := c.pixel(q)
			x, y := float32(m.X-float64(b.Min.X)), float32(m.Y-float64(b.Min.Y))
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
	r.Draw(c.img, b, c.source(hex), image.Point{})
}

// stroke draws a line as a chain of boxes with round joints.
func (c *canvas) stroke(s stroke) {
	at := s.at
	if s.fill != "" {
		at = append(slices.Clone(at), at[0])
	}
	var paths [][]XY
	for _, run := range dashed(at, s.dash) {
		for i := 1; i < len(run); i++ {
			p, q := run[i-1], run[i]
			l := math.Hypot(q.X-p.X, q.Y-p.Y)
			if l == 0 {
				continue
			}
			nx, ny := -(q.Y-p.Y)/l*s.width/2, (q.X-p.X)/l*s.width/2
			paths = append(paths, []XY{{p.X - nx, p.Y - ny}, {q.X - nx, q.Y - ny}, {q.X + nx, q.Y + ny}, {p.X + nx, p.Y + ny}})
			if i > 1 || s.fill != "" {
				paths = append(paths, ring(p, s.width/2, 12))
			}
		}
	}
	c.paint(paths, s.color)
}

// ring is a circle of n places, wound like the boxes of a stroke.
func ring(m XY, r float64, n int) []XY {
	out := make([]XY, n)
	for k := range out {
		a := float64(k) * math.Pi / float64(n/2)
		out[k] = XY{m.X + r*math.Cos(a), m.Y + r*math.Sin(a)}
	}
	return out
}

// dashed cuts a line into the drawn pieces of a dash pattern.
func dashed(at []XY, dash []float64) [][]XY {
	if len(dash) < 2 {
		return [][]XY{at}
	}
	var out [][]XY
	k, left := 0, dash[0]
	run := []XY{at[0]}
	for i := 1; i < len(at); i++ {
		p, q := at[i-1], at[i]
		l := math.Hypot(q.X-p.X, q.Y-p.Y)
		for done := 0.0; done < l; {
			d := math.Min(left, l-done)
			done += d
			left -= d
			here := p.toward(q, done/l)
			if k%2 == 0 {
				run = append(run, here)
			}
			if left <= 1e-9 {
				if k%2 == 0 {
					out = append(out, run)
				}
				k++
				left, run = dash[k%len(dash)], []XY{here}
			}
		}
	}
	if k%2 == 0 && len(run) > 1 {
		out = append(out, run)
	}
	return out
}

func (c *canvas) words(t words) {
	at, wide := c.pixel(XY{t.x, t.y}), 0.0
	for _, r := range t.runs() {
		wide += c.scale * advance(r.text, r.size, r.bold)
	}
	at.X -= wide * map[string]float64{"middle": 0.5, "end": 1}[t.anchor]
	if t.halo {
		for k := range 8 {
			a := float64(k) * math.Pi / 4
			c.set(t.runs(), XY{at.X + 2*c.scale*math.Cos(a), at.Y + 2*c.scale*math.Sin(a)}, Paper)
		}
	}
	c.set(t.runs(), at, "")
}

// set writes a line of words from a pixel on, in a colour or each piece in its own.
func (c *canvas) set(line []run, at XY, hex string) {
	for _, r := range line {
		src := c.source(cmp.Or(hex, r.color))
		for _, g := range glyphs(r.text, r.size, r.bold) {
			f := face(g.f, g.size*c.scale)
			y := at.Y + g.drop*c.scale
			d := font.Drawer{Dst: c.img, Src: src, Face: f, Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round(at.X * 64)), Y: fixed.Int26_6(math.Round(y * 64))}}
			d.DrawString(string(g.r))
			at.X += g.advance * c.scale
			f.Close()
		}
	}
}
