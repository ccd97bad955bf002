package draw

import (
	"bytes"
	"cmp"
	"fmt"
	"strings"

	"jarwright/templates/plain"
)

// SVG gives the drawing as a file of its own.
func (d Drawing) SVG() []byte {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	b.Write(d.svg("picture", true))
	return b.Bytes()
}

// InlineSVG gives the drawing as an element for a page. The id must be the
// drawing's own within the page and a plain word.
func (d Drawing) InlineSVG(id string) []byte { return d.svg(id, false) }

func (d Drawing) svg(id string, alone bool) []byte {
	s := d.layout()
	var b bytes.Buffer
	size := ""
	if alone {
		size = fmt.Sprintf(` width="%.0f" height="%.0f"`, s.width, s.height)
	}
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f"%s role="img" aria-labelledby="%s-title %s-desc" `+
		`font-family="'Go', 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'Liberation Sans', sans-serif">`+"\n", s.width, s.height, size, id, id)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, plain.XML(d.name()), id,
		plain.XML(plain.Line(d.Description)))
	fmt.Fprintf(&b, `<rect width="%.0f" height="%.0f" fill="%s"/>`+"\n", s.width, s.height, Paper)
	for _, it := range s.items {
		switch it := it.(type) {
		case area:
			fmt.Fprintf(&b, `<path d="%sZ" fill="%s"/>`+"\n", path(it.at), it.fill)
		case stroke:
			it.svg(&b)
		case words:
			it.svg(&b)
		}
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func (s stroke) svg(b *bytes.Buffer) {
	end := ""
	if s.fill != "" {
		end = "Z"
	}
	fmt.Fprintf(b, `<path d="%s%s" fill="%s" stroke="%s" stroke-width="%s"`, path(s.at), end, cmp.Or(s.fill, "none"), s.color, num(s.width))
	var dash []string
	for _, v := range s.dash {
		dash = append(dash, num(v))
	}
	if dash != nil {
		fmt.Fprintf(b, ` stroke-dasharray="%s"`, strings.Join(dash, " "))
	}
	b.WriteString(` stroke-linejoin="round"/>` + "\n")
}

func (t words) svg(b *bytes.Buffer) {
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" fill="%s"`, num(t.x), num(t.y), num(t.size), t.color)
	if t.anchor != "start" {
		fmt.Fprintf(b, ` text-anchor="%s"`, t.anchor)
	}
	if t.bold {
		b.WriteString(` font-weight="bold"`)
	}
	if t.halo {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="3" paint-order="stroke"`, Paper)
	}
	fmt.Fprintf(b, ">%s</text>\n", plain.XML(t.text))
}

// name is the title, or what the first plot shows where there is none.
func (d Drawing) name() string {
	if d.Title == "" && len(d.Panels) > 0 {
		return plain.Line(d.Panels[0].Y.Label() + " against " + d.Panels[0].X.Label())
	}
	return plain.Line(d.Title)
}

func path(at []XY) string {
	var b strings.Builder
	for i, p := range at {
		b.WriteString([...]string{"M", "L"}[min(i, 1)] + num(p.X) + " " + num(p.Y))
	}
	return b.String()
}

// num writes a length with at most two decimals.
func num(v float64) string {
	s := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
