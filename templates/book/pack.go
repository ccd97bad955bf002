package book

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"
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
	for i, c := range p.writer.charts {
		part := fmt.Sprintf("xl/charts/chart%d.xml", i+1)
		if p.parts[part] == nil {
			return fmt.Errorf("the library made no %s", part)
		}
		p.parts[part] = bytes.NewBufferString(c.xml())
	}
	for i, s := range p.writer.book.sheets {
		p.groups(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), s)
	}
	const first = "[Content_Types].xml" // readers that look at the first bytes expect it there
	names := slices.DeleteFunc(slices.Sorted(maps.Keys(p.parts)), func(n string) bool { return n == first })
	z := zip.NewWriter(p.out)
	for _, n := range append([]string{first}, names...) {
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

// groups says in a sheet's part how deep its groups go, without which some programs leave no room for their handles.
func (p *packer) groups(part string, s *Sheet) {
	if len(s.foldedRows)+len(s.foldedCols) == 0 || p.parts[part] == nil {
		return
	}
	const format = `<sheetFormatPr `
	levels := fmt.Sprintf(`outlineLevelRow="%d" outlineLevelCol="%d" `, min(len(s.foldedRows), 1), min(len(s.foldedCols), 1))
	p.parts[part] = bytes.NewBuffer(bytes.Replace(p.parts[part].Bytes(), []byte(format), []byte(format+levels), 1))
}
