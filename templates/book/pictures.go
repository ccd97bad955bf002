package book

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"
)

// PicturesIn counts what a workbook holds beside its cells, which nothing reads: pictures, and drawings that hold something else, such as
// a chart. It takes the names of the archive alone, and of what is none counts nothing.
func PicturesIn(data []byte) (pictures, drawings int) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return 0, 0
	}
	own := 0 // drawings, less those that only frame a picture or a chart
	for _, x := range z.File {
		switch dir, name := path.Split(x.Name); {
		case dir == "xl/media/" && name != "" && !isMark(x):
			pictures++
		case dir == "xl/charts/" && strings.HasPrefix(name, "chart"), dir == "xl/diagrams/" && strings.HasPrefix(name, "data"):
			drawings++
		case dir == "xl/drawings/" && strings.HasPrefix(name, "drawing") && strings.HasSuffix(name, ".xml"):
			own++
		case dir == "xl/drawings/_rels/" && strings.HasPrefix(name, "drawing"):
			own--
		}
	}
	return pictures, drawings + max(own, 0)
}

// isMark reports the mark that the program puts on its own workbooks.
func isMark(x *zip.File) bool {
	const most = 1 << 16 // the mark has a few kB
	r, err := x.Open()
	if err != nil || x.UncompressedSize64 > most {
		return false
	}
	defer func() { _ = r.Close() }() // only read from
	data, err := io.ReadAll(io.LimitReader(r, most))
	return err == nil && isOurs(data)
}
