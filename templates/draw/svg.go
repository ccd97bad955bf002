package draw

import (
	"bytes"
	"encoding/xml"
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
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f"%s role="img" aria-labelledby="%s-title %s-desc" font-family="'Go', 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'Liberation Sans', sans-serif">`+"\n",
		s.width, s.height, size, id, id)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, escape(d.name()), id, escape(plain.Line(d.Description)))
	fmt.Fprintf(&b, `<rect width="%.0f" height="%.0f" fill="%s"/>`+"\n", s.width, s.height, Paper)
	for _, it := range s.items {
		switch it := it.(type) {
		case area:
			fmt.Fprintf(&b, `<path d="%sZ" fill="%s"/>`+"\n", path(it.at), it.fill)
		case stroke:
			fill, end := "none", ""
			if it.closed {
				end = "Z"
				if it.fill != "" {
					fill = it.fill
				}
			}
			fmt.Fprintf(&b, `<path d="%s%s" fill="%s" stroke="%s" stroke-width="%s"`, path(it.at), end, fill, it.color, num(it.width))
			if len(it.dash) > 0 {
				var parts []string
				for _, v := range it.dash {
					parts = append(parts, num(v))
				}
				fmt.Fprintf(&b, ` stroke-dasharray="%s"`, strings.Join(parts, " "))
			}
			b.WriteString(` stroke-linejoin="round"/>` + "\n")
		case words:
			fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="%s" fill="%s"`, num(it.x), num(it.y), num(it.size), it.color)
			if it.anchor != "start" {
				fmt.Fprintf(&b, ` text-anchor="%s"`, it.anchor)
			}
			if it.bold {
				b.WriteString(` font-weight="bold"`)
			}
			if it.halo {
				fmt.Fprintf(&b, ` stroke="%s" stroke-width="3" paint-order="stroke"`, Paper)
			}
			fmt.Fprintf(&b, ">%s</text>\n", escape(it.text))
		}
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
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
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(num(p.X))
		b.WriteByte(' ')
		b.WriteString(num(p.Y))
	}
	return b.String()
}

// num writes a length with at most two decimals.
func num(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes everything
	return b.String()
}
