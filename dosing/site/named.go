package site

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
)

// Row is the name of the row that the question fills, empty where the list has no names or the sheet one row.
func (q Question) Row() string { return cmp.Or(q.row, shortName[q.Sheet]) }

// namedParts parts "Tanks, stock tank | volume | 36 L" into the sheet, the row, the field and the answer.
func namedParts(line string) (sheet, row, field, text string, ok bool) {
	p := strings.SplitN(line, "|", 3)
	if len(p) != 3 {
		return "", "", "", "", false
	}
	sheet, row, _ = strings.Cut(p[0], ",")
	return strings.TrimSpace(sheet), strings.TrimSpace(row), strings.TrimSpace(p[1]), strings.TrimSpace(p[2]), true
}

// Names reports that a line names what it answers, as [ShortForm.Named] takes it.
func Names(line string) bool {
	sheet, _, _, _, ok := namedParts(line)
	_, is := findSheet(sheet)
	return ok && is
}

// Named takes an answer that names the field that it fills, which may be one that is not asked for: "Chemicals | how
// sure | 95 %", of a row with a name "Tanks, tank | volume | 40 m3", of the second of a list "Drawdown, 2 | speed | 50 %".
func (f *ShortForm) Named(line string) (note.List, error) {
	name, row, field, text, _ := namedParts(line)
	sh, ok := findSheet(name)
	if !ok {
		return nil, note.Fault("sheet-unknown", "%q is no sheet of a site", name).Do(`write it like "Pumps | largest rate | 1.8 L/h"`)
	}
	fd, ok := sh.Field(field)
	if !ok {
		return nil, sh.unknown(field, nameOf)
	}
	if text == "" {
		return nil, nil // as a blank answer: told with what is missing
	}
	if n, err := strconv.Atoi(row); err == nil {
		return f.numbered(sh, n, fd, text)
	}
	i := slices.IndexFunc(f.Questions(), func(q Question) bool {
		return q.Sheet == sh.Name && q.Field == fd.Name && (row == "" || q.Row() == row)
	})
	if i >= 0 {
		return f.Answer(f.Questions()[i], text)
	}
	return f.Answer(Question{Sheet: sh.Name, Field: fd.Name, row: row}, text)
}

// mostRows bounds the rows of a list of named answers.
const mostRows = 100

// numbered fills a field of the n-th row of a list, counted from 1.
func (f *ShortForm) numbered(sh Sheet, n int, fd Field, text string) (note.List, error) {
	if n < 1 || n > mostRows || !sh.List {
		return nil, note.Fault("row-unknown", "%s has no row %d", sh.Name, n).Do("count its rows from 1")
	}
	var s Site
	if rows := f.Values[sh.Name]; sh.Name == "Stocks" && n <= len(rows) {
		s.weighs(rows[n-1])
	}
	if err := s.Put(sh.Name, 0, fd.Name, text, "", note.Place{Cell: fd.Name}); err != nil {
		return nil, err
	}
	if f.Values == nil {
		f.Values = Values{}
	}
	for len(f.Values[sh.Name]) < n {
		f.Values[sh.Name] = append(f.Values[sh.Name], map[string]string{})
	}
	f.Values[sh.Name][n-1][fd.Name] = text
	return s.Notes, nil
}

// Blank takes the questions that no named answer filled as left blank.
func (f *ShortForm) Blank() {
	for i := 0; i < len(f.Questions()); i++ { // the default of one may bring others
		q := f.Questions()[i]
		if q.row == "" && slices.ContainsFunc(f.Values[q.Sheet], func(row map[string]string) bool { return row[q.Field] != "" }) {
			continue // of a row that the answers name themselves
		}
		if row := f.Values.row(q.Sheet, q.Row()); row == nil || row[q.Field] == "" {
			_, _ = f.Answer(q, "") // a blank answer is never wrong
		}
	}
}
