package grid

import (
	"bytes"
	"encoding/binary"
	"io"
	"io/fs"
	"strings"
	"unicode/utf16"

	"jarwright/jartest/note"
)

// File is what the bytes of a file turned out to be: the worksheets of a
// workbook, or text that is still to be split.
type File struct {
	Sheets []*Sheet
	Text   *Text
}

// ReadAll reads all bytes of a file that is not larger than any may be.
func ReadAll(name string, r io.Reader) ([]byte, error) {
	var b bytes.Buffer // of the right size at once: one that grows takes several times its room
	b.Grow(min(sizeOf(r), fileBytes.Most()) + bytes.MinRead)
	_, err := b.ReadFrom(io.LimitReader(r, int64(fileBytes.Most())+1))
	data := b.Bytes()
	at := note.Place{File: name}
	switch {
	case err != nil:
		return nil, note.Fault("unreadable-file", "the file cannot be read: %v", err).At(at).Do("check the file")
	case len(data) > fileBytes.Most():
		return nil, fileBytes.Fault(at)
	}
	return data, nil
}

// sizeOf is how many bytes a reader has, where it can tell.
func sizeOf(r io.Reader) int {
	switch r := r.(type) {
	case interface{ Len() int }:
		return r.Len()
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := r.Stat(); err == nil {
			return int(max(0, info.Size()))
		}
	}
	return 0
}

// Open reads a workbook or a text table, going by the content of the file and
// not by its name. The error says what the file is instead, and what to do.
func Open(name string, data []byte, words Words) (File, error) {
	at := note.Place{File: name}
	if len(data) > fileBytes.Most() {
		return File{}, fileBytes.Fault(at)
	}
	if isZip(data) {
		return openZip(name, data)
	}
	if n := strange(data); n != nil {
		return File{}, n.At(at)
	}
	t, err := newText(name, data, words)
	return File{Text: t}, err
}

// Workbook reads a file that has to be a workbook.
func Workbook(name string, data []byte) ([]*Sheet, error) {
	if isZip(data) || strange(data) != nil {
		f, err := Open(name, data, Words{})
		return f.Sheets, err
	}
	return nil, note.Fault("not-a-workbook", "is not a workbook (plain text under another name?)").At(note.Place{File: name}).
		Do("open it in a spreadsheet program and save it as .xlsx")
}

func isZip(data []byte) bool {
	return bytes.HasPrefix(data, []byte(localHeader)) || bytes.HasPrefix(data, []byte("PK\x05\x06"))
}

// Remedies that several kinds of file share.
const (
	saveAs  = "open it in a spreadsheet program and save it as .xlsx or .csv"
	notDone = "check that it was saved or downloaded to the end"
)

// strangers are the files that are neither workbook nor text: how they begin
// (lower case, blanks dropped, or raw bytes), what else they hold, and what to say.
var strangers = []struct {
	code, begins, holds string
	message, remedy     string
}{
	{"encrypted", "\xD0\xCF\x11\xE0", utf16Bytes("EncryptedPackage"), "the workbook is protected with a password", "open it, take the password off and save it as .xlsx"},
	{"encrypted", "\xD0\xCF\x11\xE0", utf16Bytes("EncryptionInfo"), "the workbook is protected with a password", "open it, take the password off and save it as .xlsx"},
	{"old-xls", "\xD0\xCF\x11\xE0", "", "this is a workbook in the old .xls format, which is not read", saveAs},
	{"pdf", "%pdf", "", "this is a PDF document, not a spreadsheet", "type the table into a spreadsheet and save it as .xlsx or .csv"},
	{"xml-sheet", "<?xml", "urn:schemas-microsoft-com:office:spreadsheet", "this is a spreadsheet in the 2003 XML format, which is not read", saveAs},
	{"ods", "<?xml", "opendocument", "this is an OpenDocument file, which is not read", "open it and save it as .xlsx or .csv"},
	{"html", "<!doctype html", "", "this is a web page (HTML), whatever its name says", saveAs},
	{"html", "<html", "", "this is a web page (HTML), whatever its name says", saveAs},
	{"html", "<table", "", "this is a web page (HTML), whatever its name says", saveAs},
	{"rtf", "{\\rtf", "", "this is a word-processor document, not a spreadsheet", "copy the table into a spreadsheet and save it as .xlsx or .csv"},
}

// strange says what a file is that is no workbook and no text, or nil.
func strange(data []byte) *note.Note {
	fault := func(code, message, remedy string) *note.Note {
		n := note.Fault(code, "%s", message).Do("%s", remedy)
		return &n
	}
	if len(data) == 0 {
		return fault("empty-file", "the file is empty (0 bytes)", notDone)
	}
	raw := string(data[:min(len(data), 2000)])
	head := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(raw, "\ufeff")))
	for _, s := range strangers {
		if begins := strings.HasPrefix(head, s.begins) || strings.HasPrefix(raw, s.begins); !begins {
			continue
		}
		if s.holds == "" || strings.Contains(head, s.holds) || bytes.Contains(data, []byte(s.holds)) {
			return fault(s.code, s.message, s.remedy)
		}
	}
	switch {
	case head == "" && len(bytes.TrimSpace(data)) == 0:
		return fault("empty-file", "the file holds nothing but blanks", notDone)
	case binaryData(data):
		return fault("not-a-sheet", "this is not a spreadsheet nor a text table", "save the sheet as .xlsx or .csv")
	}
	return nil
}

func utf16Bytes(s string) string {
	var out []byte
	for _, u := range utf16.Encode([]rune(s)) {
		out = binary.LittleEndian.AppendUint16(out, u)
	}
	return string(out)
}

// otherZips are the office files that are zipped too: a part that tells them.
var otherZips = []struct{ part, what string }{
	{"xl/workbook.bin", "a binary workbook (.xlsb)"},
	{"content.xml", "an OpenDocument file (.ods)"},
	{"Index/", "a tablet or desktop spreadsheet of another maker"},
	{"word/", "a word-processor document"},
}

// openZip tells the kinds of zipped office files apart before reading one.
func openZip(name string, data []byte) (File, error) {
	a, err := openArchive(name, data)
	if err != nil {
		return File{}, err
	}
	at := note.Place{File: name}
	for _, o := range otherZips {
		if a.has(o.part) {
			return File{}, note.Fault("other-format", "this is %s, which is not read", o.what).At(at).Do("open it and save it as .xlsx or .csv")
		}
	}
	if !a.has("xl/") {
		return File{}, note.Fault("not-a-sheet", "this is a zip archive without a workbook in it").At(at).Do("unpack it first, or save the sheet as .xlsx or .csv")
	}
	sheets, err := readWorkbook(a)
	return File{Sheets: sheets}, err
}

// binaryData reports data that are no text in any encoding: control bytes that
// text does not have, more than a slip or two of them, and no sign of UTF-16.
func binaryData(data []byte) bool {
	if _, _, ok := utf16Order(data); ok {
		return false
	}
	n := min(len(data), 4096)
	odd := 0
	for _, c := range data[:n] {
		if c < 9 || c > 13 && c < 32 && c != 27 {
			odd++
		}
	}
	return odd > 3 && odd*50 > n
}
