package grid

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"
)

// raw makes a zip by hand, so that every field can be wrong.
type raw struct {
	b       []byte
	dir     []byte
	n       int
	comment string
	large   []byte // the closing record of large archives, with its locator
}

// part adds a stored part; change can spoil its header (30 bytes) and its entry of the directory (46 bytes).
func (z *raw) part(name, text string, follows bool, tail []byte, change func(local, entry []byte)) {
	le := binary.LittleEndian
	local, entry := make([]byte, 30), make([]byte, 46)
	copy(local, localHeader)
	copy(entry, dirHeader)
	sum := crc32.ChecksumIEEE([]byte(text))
	le.PutUint32(entry[16:], sum)
	le.PutUint32(entry[20:], uint32(len(text)))
	le.PutUint32(entry[24:], uint32(len(text)))
	le.PutUint16(entry[28:], uint16(len(name)))
	le.PutUint32(entry[42:], uint32(len(z.b)))
	copy(local[14:26], entry[16:28])
	le.PutUint16(local[26:], uint16(len(name)))
	if follows {
		local[6], entry[8] = dataFollows, dataFollows
		clear(local[14:26])
	}
	if change != nil {
		change(local, entry)
	}
	z.b = append(append(append(append(z.b, local...), name...), text...), tail...)
	z.dir = append(append(z.dir, entry...), name...)
	z.n++
}

func (z *raw) bytes() []byte {
	le := binary.LittleEndian
	end := make([]byte, 22)
	copy(end, "PK\x05\x06")
	le.PutUint16(end[8:], uint16(z.n))
	le.PutUint16(end[10:], uint16(z.n))
	le.PutUint32(end[12:], uint32(len(z.dir)))
	le.PutUint32(end[16:], uint32(len(z.b)))
	le.PutUint16(end[20:], uint16(len(z.comment)))
	return slices.Concat(z.b, z.dir, z.large, end, []byte(z.comment))
}

// large is the closing record of large archives: its length as it says, and
// where the locator stands that follows it.
func large(says uint64, locator int) []byte {
	b := make([]byte, 76)
	copy(b, "PK\x06\x06")
	binary.LittleEndian.PutUint64(b[4:], says)
	copy(b[locator:], "PK\x06\x07")
	return b
}

// descriptor is the record behind a part's data, with or without its mark, with
// sizes of four or eight bytes.
func descriptor(text string, mark, wide bool) []byte {
	var d []byte
	if mark {
		d = []byte("PK\x07\x08")
	}
	le := binary.LittleEndian
	d = le.AppendUint32(d, crc32.ChecksumIEEE([]byte(text)))
	for range 2 {
		if wide {
			d = le.AppendUint64(d, uint64(len(text)))
		} else {
			d = le.AppendUint32(d, uint32(len(text)))
		}
	}
	return d
}

// One part after another is held against the directory: whole archives in all
// forms are read, and one wrong field refuses them.
func TestArchive(t *testing.T) {
	const sheet = "<worksheet/>"
	le := binary.LittleEndian
	for name, x := range map[string]struct {
		make func(*raw)
		says string // "" for whole
	}{
		"plain":                   {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil) }, ""},
		"with a comment":          {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.comment = "made by hand" }, ""},
		"sizes behind":            {func(z *raw) { z.part("xl/a.xml", sheet, true, descriptor(sheet, true, false), nil) }, ""},
		"sizes behind, bare":      {func(z *raw) { z.part("xl/a.xml", sheet, true, descriptor(sheet, false, false), nil) }, ""},
		"sizes behind, wide":      {func(z *raw) { z.part("xl/a.xml", sheet, true, descriptor(sheet, true, true), nil) }, ""},
		"sizes behind, bare wide": {func(z *raw) { z.part("xl/a.xml", sheet, true, descriptor(sheet, false, true), nil) }, ""},
		"sizes here and behind": {func(z *raw) {
			z.part("xl/a.xml", sheet, true, descriptor(sheet, true, false), func(l, e []byte) { copy(l[14:26], e[16:28]) })
		}, ""},
		"sizes elsewhere": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { copy(l[18:26], "\xff\xff\xff\xff\xff\xff\xff\xff") })
		}, ""},
		"extra and remark": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, nil, func(_, e []byte) { le.PutUint16(e[30:], 6); le.PutUint16(e[32:], 3) })
			z.dir = append(z.dir, "\x99\x99\x02\x00..rem"...)
			z.part("xl/b.xml", sheet, false, nil, nil)
		}, ""},
		"large form":             {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.large = large(44, 56) }, ""},
		"large form, longer":     {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.large = large(45, 56) }, "outside its parts"},
		"large form, unfound":    {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.large = large(44, 52) }, "outside its parts"},
		"large form, half":       {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.large = large(44, 56)[:56] }, "outside its parts"},
		"large form, a sign":     {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.large = large(44, 56)[:8] }, "outside its parts"},
		"wrong sum here":         {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { l[14]++ }) }, "not as the directory says"},
		"wrong size here":        {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { l[22]++ }) }, "not as the directory says"},
		"wrong packed size here": {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { l[18]++ }) }, "not as the directory says"},
		"wrong method here":      {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { l[8] = 8 }) }, "not as the directory says"},
		"wrong flags here":       {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, _ []byte) { l[6] = 2 }) }, "not as the directory says"},
		"wrong sum everywhere":   {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, e []byte) { l[14]++; e[16]++ }) }, "does not match its checksum"},
		"no sum everywhere": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, nil, func(l, e []byte) { clear(l[14:18]); clear(e[16:20]) })
		}, "does not match its checksum"},
		"wrong size everywhere": {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, e []byte) { l[22]--; e[24]-- }) }, "does not match its checksum"},
		"unknown method":        {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, e []byte) { l[8] = 9; e[10] = 9 }) }, "does not match its checksum"},
		"locked":                {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, func(l, e []byte) { l[6] = 1; e[8] = 1 }) }, "is locked"},
		"wrong sum behind":      {func(z *raw) { z.part("xl/a.xml", sheet, true, descriptor(sheet+" ", true, false), nil) }, "not as the directory says"},
		"nothing behind":        {func(z *raw) { z.part("xl/a.xml", sheet, true, nil, nil) }, "not as the directory says"},
		"data between": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, []byte("lost"), nil)
			z.part("xl/b.xml", sheet, false, nil, nil)
		}, "outside its parts"},
		"data before the list":    {func(z *raw) { z.part("xl/a.xml", sheet, false, []byte("lost"), nil) }, "outside its parts"},
		"a part without an entry": {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.b = append(z.b, z.b...) }, "not where the directory says"},
		"twice":                   {func(z *raw) { z.part("xl/a.xml", sheet, false, nil, nil); z.part("XL/a.xml", sheet, false, nil, nil) }, "XL/a.xml stands twice"},
		"an entry elsewhere": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, nil, nil)
			z.part("xl/b.xml", sheet, false, nil, func(_, e []byte) { le.PutUint32(e[42:], 0) })
		}, "its directory is broken"},
		"an entry of another name": {func(z *raw) {
			z.part("xl/a.xml", sheet, false, nil, nil)
			z.dir[46] = 'X'
		}, "not as the directory says"},
	} {
		var z raw
		x.make(&z)
		a, bad := openArchive("f.xlsx", z.bytes())
		if x.says == "" {
			if bad != nil {
				t.Errorf("%s: %v", name, bad)
			} else if text, ok := a.read("XL/a.xml"); !ok || text != sheet {
				t.Errorf("%s: reads %q", name, text)
			} else if _, ok := a.read("xl/z.xml"); ok || !a.has("xl/") || a.has("word/") {
				t.Errorf("%s: parts are made up", name)
			}
			continue
		}
		if bad == nil {
			t.Errorf("%s is read", name)
			continue
		}
		wants(t, name, bad, "damaged-file", "f.xlsx", x.says)
	}
	var z raw
	z.part("xl/a.xml", sheet, false, nil, nil)
	whole := z.bytes()
	for name, data := range map[string][]byte{"cut": whole[:len(whole)-1], "longer": append(append([]byte(nil), whole...), 0), "cut before the list": whole[:60]} {
		if _, bad := openArchive("f.xlsx", data); bad == nil {
			t.Errorf("%s: is read", name)
		}
	}
	// packed data that end before the part does
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	packed := []byte{1, 0, 0, 0xff, 0xff} // an empty block of deflate, the last
	p, err := w.CreateRaw(&zip.FileHeader{Name: "xl/a.xml", Method: zip.Deflate, CompressedSize64: 8, CRC32: 0})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Write(append(packed, "abc"...)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if _, bad := openArchive("f.xlsx", b.Bytes()); bad == nil {
		t.Error("data behind the end of a part's data are passed over")
	}
}

// benchBook and siteBook are workbooks such as people bring.
func benchBook(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	rows := [][]any{{"Beck after the storm"}, {"Coagulant", "alum"}, {"Raw turbidity (NTU)", 85.5}, {}, {"Jar", "Dose (mg/L)", "Turbidity (NTU)", "pH", "Remark"}}
	for i := range 12 {
		rows = append(rows, []any{i + 1, 10 * (i + 1), 40 / float64(i+1), 7.4 - 0.1*float64(i), fmt.Sprintf("floc %d", i%4)})
	}
	return written(t, f, "Sheet1", rows)
}

func siteBook(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	for _, tab := range []string{"Place", "Flow", "Chemicals"} {
		if _, err := f.NewSheet(tab); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.MergeCell("Sheet1", "A1", "C1"); err != nil {
		t.Fatal(err)
	}
	for _, tab := range []string{"Place", "Flow"} {
		_ = written(t, f, tab, [][]any{{"item", "value", "unit"}, {"name", "trout hatchery"}, {"average flow", 3.6, "m3/h"}, {"covered", true}})
	}
	return written(t, f, "Chemicals", [][]any{{"name", "strength", "price"}, {"alum", 0.485, 0.31}, {"polymer", 1, 4.2}})
}

func written(t testing.TB, f *excelize.File, sheet string, rows [][]any) []byte {
	t.Helper()
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			t.Fatal(err)
		}
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// One byte of a workbook changed, anywhere: the file is refused with one clear
// message, or exactly the same cells come out of it.
func TestDamage(t *testing.T) {
	for name, data := range map[string][]byte{"bench.xlsx": benchBook(t), "site.xlsx": siteBook(t)} {
		f, err := Open(name, data, Words{})
		if err != nil {
			t.Fatal(err)
		}
		want := all(f.Sheets)
		refused, same := 0, 0
		step := len(data)/1000 + 1
		for at := 0; at < len(data); at += step {
			for _, flip := range []byte{1, 0xff} {
				bad := append([]byte(nil), data...)
				bad[at] ^= flip
				f, err := Open(name, bad, Words{})
				switch {
				case err == nil && f.Text == nil && all(f.Sheets) == want:
					same++
				case err == nil:
					t.Fatalf("%s: byte %d changed by %x gives other cells:\n%s", name, at, flip, all(f.Sheets))
				default:
					refused++
					if at >= 4 { // the first bytes tell that it is a workbook at all
						wants(t, fmt.Sprintf("%s: byte %d changed by %x", name, at, flip), err, "damaged-file", name, "damaged or incomplete (")
					}
				}
			}
		}
		if refused+same < 1500 || refused < 4*same {
			t.Errorf("%s: %d refused, %d without effect", name, refused, same)
		}
		t.Logf("%s: %d bytes, %d changes refused, %d without effect", name, len(data), refused, same)
		for n := 0; n < len(data); n += step {
			if f, err := Open(name, data[:n], Words{}); err == nil {
				t.Fatalf("%s cut to %d bytes is read: %s", name, n, all(f.Sheets))
			}
		}
	}
}
