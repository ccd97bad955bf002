package book

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"jarwright/templates/plain"
	"sort"
	"strings"
)

// packer gathers the parts of a workbook and writes them in one order, so that
// equal workbooks are equal files. It puts our own charts in place of the
// library's, which cannot draw error bars nor hold values for viewers that do
// not calculate.
type packer struct {
	out    io.Writer
	writer *writer
	parts  map[string]*bytes.Buffer
}

// Create begins a part.
func (p *packer) Create(name string) (io.Writer, error) {
	b := &bytes.Buffer{}
	p.parts[name] = b
	return b, nil
}

// AddFS is part of the library's interface; nothing of ours uses it.
func (p *packer) AddFS(fs.FS) error { return errors.New("a workbook takes no file system") }

// Close writes the archive.
func (p *packer) Close() error {
	descriptions := map[string][]string{} // of the charts of each drawing, in order
	for i, c := range p.writer.charts {
		part := fmt.Sprintf("xl/charts/chart%d.xml", i+1)
		if p.parts[part] == nil {
			return fmt.Errorf("the library made no %s", part)
		}
		p.parts[part] = bytes.NewBufferString(c.chart.xml())
		d := p.drawingOf(i + 1)
		descriptions[d] = append(descriptions[d], c.chart.Alt)
	}
	for part, alts := range descriptions {
		p.describe(part, alts)
	}
	names := make([]string, 0, len(p.parts))
	for n := range p.parts {
		names = append(names, n)
	}
	const first = "[Content_Types].xml" // readers that look at the first bytes expect it there
	sort.Slice(names, func(i, j int) bool {
		if (names[i] == first) != (names[j] == first) {
			return names[i] == first
		}
		return names[i] < names[j]
	})
	z := zip.NewWriter(p.out)
	for _, n := range names {
		w, err := z.CreateHeader(&zip.FileHeader{Name: n, Method: zip.Deflate})
		if err != nil {
			return err
		}
		if _, err := w.Write(p.parts[n].Bytes()); err != nil {
			return err
		}
	}
	return z.Close()
}

// drawingOf finds the drawing that shows a chart.
func (p *packer) drawingOf(chart int) string {
	want := fmt.Sprintf("charts/chart%d.xml\"", chart)
	for name, b := range p.parts {
		if strings.HasPrefix(name, "xl/drawings/_rels/") && strings.Contains(b.String(), want) {
			return "xl/drawings/" + strings.TrimSuffix(strings.TrimPrefix(name, "xl/drawings/_rels/"), ".rels")
		}
	}
	return ""
}

// describe gives the charts of a drawing their words for those who cannot see them.
func (p *packer) describe(part string, alts []string) {
	b := p.parts[part]
	if b == nil {
		return
	}
	pieces := strings.Split(b.String(), "<xdr:cNvPr ")
	for i := 1; i < len(pieces) && i <= len(alts); i++ {
		if at := strings.Index(pieces[i], ` descr="`); at >= 0 && at < strings.IndexByte(pieces[i], '>') {
			rest := pieces[i][at+len(` descr="`):]
			pieces[i] = pieces[i][:at] + rest[strings.IndexByte(rest, '"')+1:]
		}
		pieces[i] = `descr="` + plain.XML(alts[i-1]) + `" ` + pieces[i]
	}
	p.parts[part] = bytes.NewBufferString(strings.Join(pieces, "<xdr:cNvPr "))
}
