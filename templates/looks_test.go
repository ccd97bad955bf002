package templates

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// looks writes how a workbook looks, sheet by sheet, in lines that a person can
// read: widths, heights, joined cells, which cells stand in which format, what
// inputs take, what is flagged, the charts with the cells they read, the print.
func looks(t *testing.T, data []byte) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	l := &look{parts: map[string][]byte{}}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if l.parts["/"+f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	var b struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
		Names []struct {
			Name string `xml:"name,attr"`
			To   string `xml:",chardata"`
		} `xml:"definedNames>definedName"`
	}
	l.read(t, "/xl/workbook.xml", &b)
	l.read(t, "/xl/styles.xml", &l.styles)
	for _, s := range b.Sheets {
		l.sheet(t, s.Name, l.target(t, "/xl/workbook.xml", s.ID))
	}
	for _, n := range b.Names {
		l.line("%s: %s", n.Name, n.To)
	}
	return l.b.String()
}

type look struct {
	parts  map[string][]byte
	b      strings.Builder
	styles struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Fonts []struct {
			Bold *struct{} `xml:"b"`
			Size struct {
				V string `xml:"val,attr"`
			} `xml:"sz"`
		} `xml:"fonts>font"`
		Fills []struct {
			Color struct {
				V string `xml:"rgb,attr"`
			} `xml:"patternFill>fgColor"`
		} `xml:"fills>fill"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
			Font   int `xml:"fontId,attr"`
			Fill   int `xml:"fillId,attr"`
			Align  struct {
				Across string `xml:"horizontal,attr"`
				Wrap   string `xml:"wrapText,attr"`
			} `xml:"alignment"`
			Lock struct {
				V string `xml:"locked,attr"`
			} `xml:"protection"`
		} `xml:"cellXfs>xf"`
	}
}

func (l *look) line(format string, args ...any) { fmt.Fprintf(&l.b, format+"\n", args...) }

func (l *look) read(t *testing.T, part string, into any) {
	t.Helper()
	if err := xml.Unmarshal(l.parts[part], into); err != nil {
		t.Fatalf("%s: %v", part, err)
	}
}

// target follows a relation of a part.
func (l *look) target(t *testing.T, part, id string) string {
	t.Helper()
	var r struct {
		To []struct {
			ID string `xml:"Id,attr"`
			To string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	i := strings.LastIndex(part, "/")
	l.read(t, part[:i]+"/_rels"+part[i:]+".rels", &r)
	for _, x := range r.To {
		if x.ID == id {
			if to, up := strings.CutPrefix(x.To, "../"); up {
				return "/xl/" + to
			}
			return "/xl/" + strings.TrimPrefix(x.To, "/xl/")
		}
	}
	t.Fatalf("%s has no %s", part, id)
	return ""
}

// style is what a cell's format, fill, letters and place are, in words.
func (l *look) style(i int) string {
	x := l.styles.Cells[i]
	words := []string{"text"}
	for _, f := range l.styles.Formats {
		if f.ID == x.Format {
			words[0] = f.Code
		}
	}
	if c := l.styles.Fills[x.Fill].Color.V; c != "" {
		words = append(words, "on "+strings.TrimPrefix(c, "FF"))
	}
	if f := l.styles.Fonts[x.Font]; f.Bold != nil {
		words = append(words, "bold "+f.Size.V)
	} else {
		words = append(words, f.Size.V)
	}
	if x.Align.Across != "" {
		words = append(words, x.Align.Across)
	}
	if x.Align.Wrap == "true" || x.Align.Wrap == "1" {
		words = append(words, "wraps")
	}
	if v := x.Lock.V; v == "0" || v == "false" {
		words = append(words, "open")
	}
	return strings.Join(words, ", ")
}

type lookColumn struct {
	From  int     `xml:"min,attr"`
	Width float64 `xml:"width,attr"`
}

func (l *look) sheet(t *testing.T, name, part string) {
	t.Helper()
	var s struct {
		Pane *struct {
			At string `xml:"topLeftCell,attr"`
		} `xml:"sheetViews>sheetView>pane"`
		Cols []lookColumn `xml:"cols>col"`
		Rows []struct {
			N     int     `xml:"r,attr"`
			High  float64 `xml:"ht,attr"`
			Cells []struct {
				At    string `xml:"r,attr"`
				Style int    `xml:"s,attr"`
				V     string `xml:"v"`
				T     string `xml:"is>t"`
			} `xml:"c"`
		} `xml:"sheetData>row"`
		Locked *struct{} `xml:"sheetProtection"`
		Merged []struct {
			At string `xml:"ref,attr"`
		} `xml:"mergeCells>mergeCell"`
		Flags []struct {
			At   string `xml:"sqref,attr"`
			When string `xml:"cfRule>formula"`
		} `xml:"conditionalFormatting"`
		Rules []struct {
			At     string `xml:"sqref,attr"`
			Kind   string `xml:"type,attr"`
			Title  string `xml:"promptTitle,attr"`
			Prompt string `xml:"prompt,attr"`
			From   string `xml:"formula1"`
			To     string `xml:"formula2"`
		} `xml:"dataValidations>dataValidation"`
		Page struct {
			Tall  string `xml:"fitToHeight,attr"`
			Wide  string `xml:"fitToWidth,attr"`
			Turn  string `xml:"orientation,attr"`
			Paper string `xml:"paperSize,attr"`
		} `xml:"pageSetup"`
		Drawing struct {
			ID string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"drawing"`
	}
	l.read(t, part, &s)
	l.line("[%s] %s, paper %s, %s wide, %s tall, locked %t", name, s.Page.Turn, s.Page.Paper, s.Page.Wide, s.Page.Tall, s.Locked != nil)
	if s.Pane != nil {
		l.line(" scrolls from %s", s.Pane.At)
	}
	var widths, merged []string
	slices.SortFunc(s.Cols, func(a, b lookColumn) int { return a.From - b.From })
	for _, c := range s.Cols {
		widths = append(widths, fmt.Sprintf("%.2f", c.Width))
	}
	high := map[string][]string{}
	styled := map[string][]string{}
	for _, r := range s.Rows {
		high[fmt.Sprintf("%.1f", r.High)] = append(high[fmt.Sprintf("%.1f", r.High)], fmt.Sprintf("A%d", r.N))
		for _, c := range r.Cells {
			if c.V+c.T != "" {
				styled[l.style(c.Style)] = append(styled[l.style(c.Style)], c.At)
			}
		}
	}
	for _, m := range s.Merged {
		merged = append(merged, m.At)
	}
	l.line(" widths: %s\n joined: %s", strings.Join(widths, " "), strings.Join(merged, " "))
	for _, h := range sortedKeys(high) {
		l.line(" %s high: %s", h, strings.Join(runs(t, high[h]), " "))
	}
	for _, k := range sortedKeys(styled) {
		l.line(" %s: %s", k, strings.Join(runs(t, styled[k]), " "))
	}
	for _, r := range s.Rules {
		l.line(" %s takes %s %s to %s (%s: %s)", r.At, r.Kind, r.From, r.To, r.Title, r.Prompt)
	}
	for _, f := range s.Flags {
		l.line(" %s flagged where %s", f.At, f.When)
	}
	if s.Drawing.ID != "" {
		l.charts(t, l.target(t, part, s.Drawing.ID))
	}
}

func sortedKeys(m map[string][]string) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// runs joins cells that stand under each other.
func runs(t *testing.T, cells []string) []string {
	t.Helper()
	type run struct{ col, from, to int }
	var all []run
	for _, c := range cells {
		col, row, err := excelize.CellNameToCoordinates(c)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(all, func(r run) bool { return r.col == col && r.to == row-1 })
		if i < 0 {
			all = append(all, run{col, row, row})
		} else {
			all[i].to = row
		}
	}
	var out []string
	for _, r := range all {
		letter, _ := excelize.ColumnNumberToName(r.col)
		s := fmt.Sprintf("%s%d", letter, r.from)
		if r.to > r.from {
			s += fmt.Sprintf(":%d", r.to)
		}
		out = append(out, s)
	}
	return out
}

// charts writes the charts of a drawing: place, size, and what a reader sees.
func (l *look) charts(t *testing.T, part string) {
	t.Helper()
	var d struct {
		At []struct {
			Row1  int `xml:"from>row"`
			Col1  int `xml:"from>col"`
			Row2  int `xml:"to>row"`
			Col2  int `xml:"to>col"`
			Wide  int `xml:"to>colOff"`
			High  int `xml:"to>rowOff"`
			Words struct {
				Alt string `xml:"descr,attr"`
			} `xml:"graphicFrame>nvGraphicFramePr>cNvPr"`
			Chart struct {
				ID string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
			} `xml:"graphicFrame>graphic>graphicData>chart"`
		} `xml:"twoCellAnchor"`
	}
	l.read(t, part, &d)
	for _, c := range d.At {
		l.line(" chart at row %d, column %d, to row %d + %d, column %d + %d: %s", c.Row1+1, c.Col1+1, c.Row2+1, c.High, c.Col2+1, c.Wide, c.Words.Alt)
		l.chart(t, l.target(t, part, c.Chart.ID))
	}
}

// seen are the parts of a chart that are kept: those after which a line begins,
// and those with a value to show.
var (
	begins = map[string]bool{"ser": true, "valAx": true, "catAx": true, "legend": true, "scatterChart": true, "barChart": true, "lineChart": true}
	shown  = map[string]string{"f": "", "v": "", "t": "", "min": "val", "max": "val", "majorUnit": "val", "numFmt": "formatCode", "symbol": "val",
		"prstDash": "val", "srgbClr": "val", "ln": "w", "logBase": "val", "grouping": "val", "overlap": "val", "pattFill": "prst", "errBarType": "val",
		"delete": "val", "ptCount": "val", "plus": "none", "minus": "none"}
	dropped = map[string]bool{"pt": true, "txPr": true, "majorGridlines": true}
)

func (l *look) chart(t *testing.T, part string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(l.parts[part]))
	words, in := []string{"  chart"}, ""
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			in = x.Name.Local
			if dropped[in] {
				if err := d.Skip(); err != nil {
					t.Fatal(err)
				}
				continue
			}
			if begins[in] {
				l.line("%s", strings.Join(words, " "))
				words = []string{"  " + in}
			}
			if a, ok := shown[in]; ok && a != "" {
				for _, v := range x.Attr {
					if v.Name.Local == a {
						words = append(words, in+" "+v.Value)
					}
				}
				if a == "none" {
					words = append(words, in)
				}
			}
		case xml.CharData:
			if a, ok := shown[in]; ok && a == "" && strings.TrimSpace(string(x)) != "" {
				words = append(words, string(x))
			}
		case xml.EndElement:
			in = ""
		}
	}
	l.line("%s", strings.Join(words, " "))
}
