package draw

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"slices"
	"strconv"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// PNG writes the drawing as a picture of pixels, twice as fine as a screen
// shows it, so that it stays sharp on a phone and in print.
func (d Drawing) PNG(w io.Writer) error {
	const fine = 2
	s := d.layout()
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, int(s.width*fine), int(s.height*fine))), scale: fine}
	draw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, draw.Src)
	for _, it := range s.items {
		switch it := it.(type) {
		case area:
			c.paint([][]XY{it.at}, it.fill)
		case stroke:
			if it.fill != "" {
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
	img   *image.RGBA
	scale float64
}

func (c *canvas) source(hex string) *image.Uniform {
	v, err := strconv.ParseUint(hex[1:], 16, 32)
	if err != nil {
		return image.Black
	}
	return image.NewUniform(color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255})
}

// paint fills closed paths, all wound the same way, in one colour.
func (c *canvas) paint(paths [][]XY, hex string) {
	b := image.Rectangle{}
	for _, p := range paths {
		for _, q := range p {
			x, y := int(q.X*c.scale), int(q.Y*c.scale)
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
			x, y := float32(q.X*c.scale-float64(b.Min.X)), float32(q.Y*c.scale-float64(b.Min.Y))
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
	f := face(t.size*c.scale, t.bold)
	defer f.Close()
	x := t.x
	switch w := TextWidth(t.text, t.size, t.bold); t.anchor {
	case "middle":
		x -= w / 2
	case "end":
		x -= w
	}
	put := func(dx, dy float64, hex string) {
		d := font.Drawer{Dst: c.img, Src: c.source(hex), Face: f,
			Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round((x*c.scale + dx) * 64)), Y: fixed.Int26_6(math.Round((t.y*c.scale + dy) * 64))}}
		d.DrawString(t.text)
	}
	if t.halo {
		for k := range 8 {
			a := float64(k) * math.Pi / 4
			put(1.5*c.scale*math.Cos(a), 1.5*c.scale*math.Sin(a), Paper)
		}
	}
	put(0, 0, t.color)
}
