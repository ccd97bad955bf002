package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

func zipOf(t *testing.T, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		w, err := z.Create(p)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(w, "x")
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Files that are no bench sheets: what they are and how to save them instead.
func TestOtherFiles(t *testing.T) {
	book := sixJars(t)
	ole := append([]byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}, make([]byte, 600)...)
	secret, err := excelize.OpenReader(bytes.NewReader(book))
	if err != nil {
		t.Fatal(err)
	}
	var locked bytes.Buffer
	if err := secret.Write(&locked, excelize.Options{Password: "pond"}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		data []byte
		code string
		says string
	}{
		{"nothing.xlsx", nil, "empty-file", "empty"},
		{"blanks.csv", []byte(" \n\n"), "empty-file", "blanks"},
		{"cut.xlsx", book[:len(book)*2/3], "damaged-file", "damaged"},
		{"scrambled.xlsx", append(append([]byte{}, book[:200]...), make([]byte, 3000)...), "damaged-file", "damaged"},
		{"old.xls", ole, "old-xls", ".xls"},
		{"locked.xlsx", locked.Bytes(), "encrypted", "password"},
		{"a.ods", zipOf(t, "mimetype", "content.xml", "META-INF/manifest.xml"), "other-format", ".ods"},
		{"a.xlsb", zipOf(t, "[Content_Types].xml", "xl/workbook.bin"), "other-format", ".xlsb"},
		{"a.docx", zipOf(t, "[Content_Types].xml", "word/document.xml"), "other-format", "word-processor"},
		{"a.zip", zipOf(t, "jars.csv"), "not-a-sheet", "zip"},
		{"a.pdf", []byte("%PDF-1.7\n"), "pdf", "PDF"},
		{"a.xls", []byte("<html><table><tr><td>Jar</td></tr></table></html>"), "html", "HTML"},
		{"a.xml", []byte(`<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet">`), "xml-sheet", "2003"},
		{"a.png", append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 200)...), "not-a-sheet", "not a spreadsheet"},
	} {
		_, err := Read(c.name, bytes.NewReader(c.data), Options{})
		var l note.List
		if !errors.As(err, &l) || len(l) != 1 {
			t.Errorf("%s: want one note, got %v", c.name, err)
			continue
		}
		if l[0].Code != c.code || !strings.Contains(l[0].Message, c.says) || l[0].Remedy == "" || l[0].File != c.name {
			t.Errorf("%s: got %s %q (%s)", c.name, l[0].Code, l[0].Message, l[0].Remedy)
		}
	}
}

// A workbook is known by its content, whatever its name says; so is text.
func TestWrongNames(t *testing.T) {
	readBytes(t, "jars.xls", sixJars(t), 1)
	readBytes(t, "jars.csv", sixJars(t), 1)
	readBytes(t, "jars.xlsx", []byte("Jar;Alum (mg/L);NTU\n1;10;30\n2;20;12\n3;30;5,5\n"), 1)
}

// A small file that unpacks to very much is refused before it is unpacked.
func TestZipBomb(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	if err != nil {
		t.Fatal(err)
	}
	blank := make([]byte, 1<<20)
	for range maxUnzipped>>20 + 1 {
		if _, err := w.Write(blank); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	_, err = Read("bomb.xlsx", &b, Options{})
	if err == nil || !strings.Contains(err.Error(), "unpacks to") {
		t.Fatalf("got %v", err)
	}
}
