package grid

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"strings"

	"jarwright/jartest/note"
)

// archive is a zip file every byte of which has been accounted for.
type archive struct {
	file    string
	parts   map[string]part // by name in lower case
	inflate io.ReadCloser   // used for one part after another
}

// part is one part, still packed.
type part struct {
	name   string
	packed []byte
	size   int
	method uint16
}

const (
	localHeader  = "PK\x03\x04"
	dirHeader    = "PK\x01\x02"
	dataFollows  = 1 << 3 // flag: checksum and sizes stand behind the data
	isEncrypted  = 1 << 0
	headerLength = 30
	dirLength    = 46
	bestPacking  = 1032 // what deflate can make of equal bytes: a block of 258 in two bits (RFC 1951, 3.2.5)
)

// openArchive walks a zip from its first byte to its last: each part's own
// header must say what the directory says, the data must unpack to the size and
// checksum that both give, nothing may lie between the parts, and no name may
// stand twice. The library reads the directory; it would let all of that pass.
func openArchive(file string, data []byte) (*archive, error) {
	here := note.Place{File: file}
	damaged := func(format string, args ...any) error {
		return note.Fault("damaged-file", "the workbook is damaged or incomplete (%s) and cannot be opened", fmt.Sprintf(format, args...)).
			At(here).
			Do("copy or download it again, or open it in a spreadsheet program and save it as .xlsx")
	}
	if bytes.Count(data, []byte(dirHeader)) > zipParts.Most() {
		return nil, zipParts.Fault(here)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged("its end is missing or its directory is broken")
	}
	byStart := map[int64]*zip.File{}
	total := uint64(0)
	for _, f := range z.File {
		start, err := f.DataOffset()
		if err != nil || byStart[start] != nil {
			return nil, damaged("its directory is broken")
		}
		byStart[start] = f
		total += f.UncompressedSize64
		switch {
		case f.UncompressedSize64 > f.CompressedSize64*bestPacking+bestPacking:
			return nil, damaged("its part %s cannot have the size that is told", f.Name)
		case f.UncompressedSize64 > uint64(partBytes.Most()):
			return nil, partBytes.Fault(here)
		case total > uint64(unpackedBytes.Most()):
			return nil, unpackedBytes.Fault(here)
		case f.UncompressedSize64 > mega && f.UncompressedSize64 > f.CompressedSize64*uint64(unpackRatio.Most()):
			return nil, unpackRatio.Fault(here)
		}
	}
	a := &archive{file: file, parts: map[string]part{}, inflate: flate.NewReader(nil)}
	rest := data
	for bytes.HasPrefix(rest, []byte(localHeader)) {
		after, why := a.nextPart(data, rest, byStart)
		if why != "" {
			return nil, damaged("%s", why)
		}
		rest = after
	}
	if len(a.parts) != len(z.File) || !directoryEnds(rest, len(z.File)) {
		return nil, damaged("data lie outside its parts")
	}
	return a, nil
}

// nextPart takes the part at the beginning of rest into the archive, and gives
// what comes after it, or why it cannot be.
func (a *archive) nextPart(data, rest []byte, byStart map[int64]*zip.File) (after []byte, why string) {
	if len(rest) < headerLength {
		return nil, "it breaks off"
	}
	le := binary.LittleEndian
	nameEnd := headerLength + int(le.Uint16(rest[26:]))
	begin := nameEnd + int(le.Uint16(rest[28:]))
	f := byStart[int64(len(data)-len(rest)+begin)]
	if f == nil || len(rest) < begin || f.CompressedSize64 > uint64(len(rest)-begin) {
		return nil, "a part is not where the directory says"
	}
	end := begin + int(f.CompressedSize64)
	p := part{name: strings.ReplaceAll(f.Name, "\\", "/"), packed: rest[begin:end], size: int(f.UncompressedSize64), method: f.Method}
	differs := fmt.Sprintf("its part %s is not as the directory says", p.name)
	switch {
	case string(rest[headerLength:nameEnd]) != f.Name || !agrees(rest, f):
		return nil, differs
	case f.Flags&isEncrypted != 0:
		return nil, fmt.Sprintf("its part %s is locked", p.name)
	}
	if f.Flags&dataFollows != 0 {
		n := descriptorLength(rest[end:], f)
		if n == 0 {
			return nil, differs
		}
		end += n
	}
	sum, err := a.check(p)
	if err != nil || sum != f.CRC32 {
		return nil, fmt.Sprintf("its part %s does not match its checksum", p.name)
	}
	key := strings.ToLower(p.name)
	if _, twice := a.parts[key]; twice {
		return nil, fmt.Sprintf("its part %s stands twice", p.name)
	}
	a.parts[key] = p
	return rest[end:], ""
}

// agrees reports that a part's own header says what the directory does. Sizes
// and checksum may be left to the record behind the data, and sizes to an extra
// field, which 0xffffffff says.
func agrees(header []byte, f *zip.File) bool {
	le := binary.LittleEndian
	if le.Uint16(header[6:]) != f.Flags || le.Uint16(header[8:]) != f.Method {
		return false
	}
	if f.Flags&dataFollows != 0 {
		return true
	}
	is := func(size uint32, want uint64) bool { return size == ^uint32(0) || uint64(size) == want }
	return le.Uint32(header[14:]) == f.CRC32 && is(le.Uint32(header[18:]), f.CompressedSize64) &&
		is(le.Uint32(header[22:]), f.UncompressedSize64)
}

// descriptorLength is the length of the record behind the data that repeats
// checksum and sizes, in one of its four forms; 0 when none of them agrees with
// the directory.
func descriptorLength(b []byte, f *zip.File) int {
	le := binary.LittleEndian
	for _, mark := range []string{"PK\x07\x08", ""} {
		if !bytes.HasPrefix(b, []byte(mark)) {
			continue
		}
		d := b[len(mark):]
		if len(d) >= 12 && le.Uint32(d) == f.CRC32 && uint64(le.Uint32(d[4:])) == f.CompressedSize64 &&
			uint64(le.Uint32(d[8:])) == f.UncompressedSize64 {
			return len(mark) + 12
		}
		if len(d) >= 20 && le.Uint32(d) == f.CRC32 && le.Uint64(d[4:]) == f.CompressedSize64 && le.Uint64(d[12:]) == f.UncompressedSize64 {
			return len(mark) + 20
		}
	}
	return 0
}

// directoryEnds reports that what follows the parts is a directory of n entries
// and the record that closes it, with nothing between them.
func directoryEnds(b []byte, n int) bool {
	le := binary.LittleEndian
	for ; n > 0; n-- {
		if len(b) < dirLength || !bytes.HasPrefix(b, []byte(dirHeader)) {
			return false
		}
		l := dirLength + int(le.Uint16(b[28:])) + int(le.Uint16(b[30:])) + int(le.Uint16(b[32:]))
		if len(b) < l {
			return false
		}
		b = b[l:]
	}
	if bytes.HasPrefix(b, []byte("PK\x06\x06")) { // the closing record of large archives, and its locator
		if len(b) < 12 || le.Uint64(b[4:]) != 44 || len(b) < 76 || !bytes.HasPrefix(b[56:], []byte("PK\x06\x07")) {
			return false
		}
		b = b[76:]
	}
	return len(b) >= 22 && bytes.HasPrefix(b, []byte("PK\x05\x06")) && len(b) == 22+int(le.Uint16(b[20:]))
}

// unpacked reads the data of a part; left tells how many packed bytes are still unread.
func (a *archive) unpacked(p part) (r io.Reader, left func() int, err error) {
	raw := bytes.NewReader(p.packed)
	switch p.method {
	case zip.Store:
		return raw, raw.Len, nil
	case zip.Deflate:
		err := a.inflate.(flate.Resetter).Reset(raw, nil)
		return a.inflate, raw.Len, err
	}
	return nil, nil, zip.ErrAlgorithm
}

// check unpacks a part without keeping it and gives its checksum; the error is
// for data that are longer or shorter than they should be.
func (a *archive) check(p part) (uint32, error) {
	r, left, err := a.unpacked(p)
	if err != nil {
		return 0, err
	}
	sum := crc32.NewIEEE()
	n, err := io.Copy(sum, io.LimitReader(r, int64(p.size)+1))
	if err == nil && (n != int64(p.size) || left() != 0) {
		err = zip.ErrFormat
	}
	return sum.Sum32(), err
}

// read gives the text of a part; it has been checked.
func (a *archive) read(name string) (string, bool) {
	p, ok := a.parts[strings.ToLower(name)]
	if !ok {
		return "", false
	}
	var b strings.Builder
	b.Grow(p.size)
	r, _, err := a.unpacked(p)
	if err == nil {
		_, err = io.Copy(&b, r)
	}
	return b.String(), err == nil
}

// has reports a part whose name begins so.
func (a *archive) has(prefix string) bool {
	for name := range a.parts {
		if strings.HasPrefix(name, strings.ToLower(prefix)) {
			return true
		}
	}
	return false
}
