package templates

import (
	"fmt"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/sheet"
	"jarwright/templates/figure"
)

// ReadCells is the answer of "read --cells": the sheets cell by cell, each with what
// it was taken for.
type ReadCells struct {
	Read
	Account sheet.Account
}

// cellsShown bounds the cells of one sheet in text; beyond it those that were not
// understood are shown, as many again.
const cellsShown = 200

// Text redraws each sheet as the list of its cells.
func (r ReadCells) Text(t *Text, _ Options) {
	if len(r.Account.Sheets) == 0 {
		t.Para("No cells were read.")
	}
	for _, s := range r.Account.Sheets {
		t.Head(s.Place.String())
		t.Para(cellCounts(s))
		t.Blank()
		series := absent
		if len(r.Series) > 1 {
			series = "test"
		}
		var rows [][]any
		left := s.Cut
		for i, c := range s.Cells {
			if i >= cellsShown && c.State != sheet.NotUnderstood || len(rows) >= 2*cellsShown {
				left++
				continue
			}
			rows = append(rows, []any{c.At, clipped(c.Text), cellState(c.State), c.As(), strings.Join(c.Series, ", ")})
		}
		t.Grid(cols("cell", "holds", "was", "as", series), rows)
		if left > 0 {
			t.Para(fmt.Sprintf("%s more, not shown here: --format csv lists all that were looked at.", counted(left, "cell", "cells")))
		}
	}
	t.aside(r.Notes.Only(note.Caution))
}

// cellCounts says how many cells were used, set aside and not understood.
func cellCounts(s sheet.SheetAccount) string {
	var n [3]int
	for _, c := range s.Cells {
		n[c.State]++
	}
	out := fmt.Sprintf("%s: %d used, %d set aside, %d not understood", counted(len(s.Cells)+s.Cut, "filled cell", "filled cells"), n[sheet.Used], n[sheet.SetAside], n[sheet.NotUnderstood])
	if s.Cut > 0 {
		out += fmt.Sprintf(", %d beyond those that are accounted for", s.Cut)
	}
	return out + "."
}

func counted(n int, one, many string) string {
	return fmt.Sprintf("%d %s", n, either(n == 1, one, many))
}

// cellState is a state as text has it: what was not understood stands out.
func cellState(s sheet.State) string {
	if s == sheet.NotUnderstood {
		return strings.ToUpper(s.String())
	}
	return s.String()
}

// clipped is what stands in a cell, on one short line.
func clipped(s string) string {
	const most = 40
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// JSON gives the document of "read" with the cells of all sheets.
func (r ReadCells) JSON() any {
	var cells []*figure.Object
	for _, s := range r.Account.Sheets {
		cells = append(cells, objects(s.Cells, func(c sheet.Cell) *figure.Object {
			o := figure.New().Word("file", s.Place.File).Word("sheet", s.Place.Sheet).Set("cell", c.At).Set("text", c.Text).
				Set("state", c.State.String()).Word("as", c.As())
			if len(c.Series) > 0 {
				o.Set("series", c.Series)
			}
			return o
		})...)
	}
	var columns []*figure.Object
	for _, s := range r.Account.Sheets {
		columns = append(columns, objects(s.Columns, func(c sheet.ColumnAccount) *figure.Object { return columnData(s.Place, c) })...)
	}
	o := figure.New().Set("schema", "jarwright.read/1").Set("series", lazily(r.Series, readSeries)).List("columns", columns).List("cells", cells)
	for _, s := range r.Account.Sheets {
		if s.Cut > 0 {
			o.Set("cells_left_out", true)
		}
	}
	return o.Set("notes", Notes(r.Notes))
}

// columnData is what stands under one heading, and how --column names it.
func columnData(at note.Place, c sheet.ColumnAccount) *figure.Object {
	o := figure.New().Word("file", at.File).Word("sheet", at.Sheet).Word("table", c.Table).Word("cell", c.At).Set("column", c.Heading).
		Set("state", c.State.String()).Word("as", c.As()).Word("unit", c.Unit)
	if c.Repeats > 0 {
		o.Set("repeat", c.Repeat).Set("repeats", c.Repeats)
	}
	return o
}

// Table gives a row for each cell.
func (r ReadCells) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("file", "sheet", "cell", "text", "state", "as", "series")}
	for _, s := range r.Account.Sheets {
		for _, c := range s.Cells {
			t.Rows = append(t.Rows, figure.New().Set("file", s.Place.File).Set("sheet", s.Place.Sheet).Set("cell", c.At).Set("text", c.Text).
				Set("state", c.State.String()).Set("as", c.As()).Set("series", strings.Join(c.Series, ", ")))
		}
	}
	return t
}
