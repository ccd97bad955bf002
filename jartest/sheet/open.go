package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"

	"jarwright/jartest/note"
)

// open goes by the content of a file, not by its name.
func open(name string, data []byte) ([]*grid, note.List) {
	at := note.Place{File: name}
	fault := func(code, format string, args ...any) note.Note { return note.Fault(code, format, args...).At(at) }
	switch {
	case len(data) == 0:
		return nil, note.List{fault("empty-file", "the file is empty (0 bytes)").Do("check that it was saved or downloaded to the end")}
	case len(data) > maxFile:
		return nil, note.List{fault("too-large", "the file is larger than %d MB", maxFile>>20).Do("save only the bench sheet in a file of its own")}
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("PK\x05\x06")):
		return openZip(name, data)
	case bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}):
		if bytes.Contains(data, utf16Bytes("EncryptedPackage")) || bytes.Contains(data, utf16Bytes("EncryptionInfo")) {
			return nil, note.List{fault("encrypted", "the workbook is protected with a password").Do("open it, take the password off and save it as .xlsx")}
		}
		return nil, note.List{fault("old-xls", "this is a workbook in the old .xls format, which is not read").Do("open it in a spreadsheet program and save it as .xlsx or .csv")}
	case bytes.HasPrefix(data, []byte("%PDF")):
		return nil, note.List{fault("pdf", "this is a PDF document, not a spreadsheet").Do("type the table into a spreadsheet and save it as .xlsx or .csv")}
	}
	head := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(string(data[:min(len(data), 2000)]), "\ufeff")))
	switch {
	case strings.HasPrefix(head, "<?xml") && strings.Contains(head, "urn:schemas-microsoft-com:office:spreadsheet"):
		return nil, note.List{fault("xml-sheet", "this is a spreadsheet in the 2003 XML format, which is not read").Do("open it in a spreadsheet program and save it as .xlsx or .csv")}
	case strings.HasPrefix(head, "<?xml") && strings.Contains(head, "opendocument"):
		return nil, note.List{fault("ods", "this is an OpenDocument file, which is not read").Do("open it and save it as .xlsx or .csv")}
	case strings.HasPrefix(head, "<!doctype html"), strings.HasPrefix(head, "<html"), strings.HasPrefix(head, "<table"):
		return nil, note.List{fault("html", "this is a web page (HTML), whatever its name says").Do("open it in a spreadsheet program and save it as .xlsx or .csv")}
	case strings.HasPrefix(head, "{\\rtf"):
		return nil, note.List{fault("rtf", "this is a word-processor document, not a spreadsheet").Do("copy the table into a spreadsheet and save it as .xlsx or .csv")}
	}
	if strings.TrimSpace(head) == "" && len(bytes.TrimSpace(data)) == 0 {
		return nil, note.List{fault("empty-file", "the file holds nothing but blanks").Do("check that it was saved or downloaded to the end")}
	}
	if binaryData(data) {
		return nil, note.List{fault("not-a-sheet", "this is not a spreadsheet nor a text table").Do("save the bench sheet as .xlsx or .csv")}
	}
	g, notes := readText(name, data)
	return []*grid{g}, notes
}

func utf16Bytes(s string) []byte {
	var out []byte
	for _, u := range utf16.Encode([]rune(s)) {
		out = binary.LittleEndian.AppendUint16(out, u)
	}
	return out
}

// openZip tells the kinds of zipped office files apart before opening one.
func openZip(name string, data []byte) ([]*grid, note.List) {
	at := note.Place{File: name}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, note.List{note.Fault("damaged-file", "the workbook is damaged or incomplete (its end is missing) and cannot be opened").At(at).
			Do("copy or download it again, or open it in a spreadsheet program and save it as .xlsx")}
	}
	has := func(part string) bool {
		for _, f := range z.File {
			if strings.HasPrefix(f.Name, part) {
				return true
			}
		}
		return false
	}
	saveAs := func(what string) note.List {
		return note.List{note.Fault("other-format", "this is %s, which is not read", what).At(at).Do("open it and save it as .xlsx or .csv")}
	}
	total := uint64(0)
	for _, f := range z.File {
		total += f.UncompressedSize64
	}
	switch {
	case total > maxUnzipped:
		return nil, note.List{note.Fault("too-large", "the workbook unpacks to %d MB, more than the %d MB that are read", total>>20, maxUnzipped>>20).At(at).Do("save only the bench sheet in a file of its own")}
	case has("xl/workbook.bin"):
		return nil, saveAs("a binary workbook (.xlsb)")
	case has("xl/"):
		return readWorkbook(name, data)
	case has("content.xml") || has("META-INF/manifest.xml") && has("mimetype"):
		return nil, saveAs("an OpenDocument file (.ods)")
	case has("Index/"):
		return nil, saveAs("a tablet or desktop spreadsheet of another maker")
	case has("word/"):
		return nil, saveAs("a word-processor document")
	}
	return nil, note.List{note.Fault("not-a-sheet", "this is a zip archive without a workbook in it").At(at).Do("unpack it first, or save the bench sheet as .xlsx or .csv")}
}

// binaryData reports data that are no text in any encoding: control bytes that
// text does not have, and no sign of UTF-16.
func binaryData(data []byte) bool {
	if _, ok := utf16Order(data); ok || bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}) {
		return false
	}
	n := min(len(data), 4096)
	odd := 0
	for _, c := range data[:n] {
		if c < 9 || c > 13 && c < 32 && c != 27 {
			odd++
		}
	}
	return odd*50 > n
}
