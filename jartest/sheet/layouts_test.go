package sheet

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/simplifiedchinese"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

var update = flag.Bool("update", false, "write what was read into the layout files; check every number by eye")

// TestLayouts reads every layout in testdata/layouts. Each file holds the sheet,
// as text or as the sheets of a workbook, and what should be read from it: one
// line for each jar, then the codes of the cautions and errors with their cells.
func TestLayouts(t *testing.T) {
	files, err := filepath.Glob("testdata/layouts/*.txt")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d layouts, %v", len(files), err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txt"), func(t *testing.T) {
			ar, err := txtar.ParseFile(f)
			if err != nil {
				t.Fatal(err)
			}
			name, data, opt, want := layoutOf(t, ar)
			got := picture(Read(name, bytes.NewReader(data), opt))
			if *update {
				put(ar, "want", got)
				if err := os.WriteFile(f, txtar.Format(ar), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if d := cmp.Diff(strings.Split(want, "\n"), strings.Split(got, "\n")); d != "" {
				t.Errorf("-want +got\n%s", d)
			}
		})
	}
}

func put(ar *txtar.Archive, name, data string) {
	for i := range ar.Files {
		if ar.Files[i].Name == name {
			ar.Files[i].Data = []byte(data)
			return
		}
	}
	ar.Files = append(ar.Files, txtar.File{Name: name, Data: []byte(data)})
}

// layout builds the file of a layout.
func layoutOf(t *testing.T, ar *txtar.Archive) (name string, data []byte, opt Options, want string) {
	t.Helper()
	book := excelize.NewFile()
	sheets := 0
	var do []string
	for _, f := range ar.Files {
		body := string(f.Data)
		switch {
		case f.Name == "want":
			want = body
		case f.Name == "do":
			do = strings.Split(strings.TrimSpace(body), "\n")
		case f.Name == "options":
			opt = layoutOptions(t, body)
		case strings.HasPrefix(f.Name, "sheet "):
			s := strings.TrimPrefix(f.Name, "sheet ")
			if sheets == 0 {
				if err := book.SetSheetName("Sheet1", s); err != nil {
					t.Fatal(err)
				}
			} else if _, err := book.NewSheet(s); err != nil {
				t.Fatal(err)
			}
			sheets++
			fillSheet(t, book, s, body)
		default:
			name, data = f.Name, []byte(body)
		}
	}
	if sheets > 0 {
		name = "book.xlsx"
		for _, d := range do {
			direct(t, book, d)
		}
		buf, err := book.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		data = buf.Bytes()
		return name, data, opt, want
	}
	for _, d := range do {
		data = encode(t, d, data)
	}
	return name, data, opt, want
}

func encode(t *testing.T, how string, data []byte) []byte {
	t.Helper()
	var out []byte
	var err error
	switch how {
	case "utf-16le":
		out = []byte{0xFF, 0xFE}
		for _, u := range utf16.Encode([]rune(string(data))) {
			out = append(out, byte(u), byte(u>>8))
		}
	case "utf-16be without mark":
		for _, u := range utf16.Encode([]rune(string(data))) {
			out = append(out, byte(u>>8), byte(u))
		}
	case "utf-8 mark":
		out = append([]byte{0xEF, 0xBB, 0xBF}, data...)
	case "latin-1":
		out, err = charmap.Windows1252.NewEncoder().Bytes(data)
	case "gb18030":
		out, err = simplifiedchinese.GB18030.NewEncoder().Bytes(data)
	case "windows-874":
		out, err = charmap.Windows874.NewEncoder().Bytes(data)
	default:
		t.Fatalf("unknown directive %q", how)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// fillSheet writes CSV cells; plain numbers become number cells, unless an
// apostrophe stands before them.
func fillSheet(t *testing.T, book *excelize.File, s, body string) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(body))
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		for c, x := range row {
			if x == "" {
				continue
			}
			var v any = strings.TrimPrefix(x, "'")
			if n, err := strconv.ParseFloat(x, 64); err == nil {
				v = n
			}
			if err := book.SetCellValue(s, grid.ColumnName(c)+strconv.Itoa(i+1), v); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// direct follows one directive of a workbook: "merge S A1:B1", "hide-row S 5" ….
func direct(t *testing.T, book *excelize.File, line string) {
	t.Helper()
	p := strings.SplitN(line, "|", 4)
	var err error
	switch p[0] {
	case "merge":
		a, b, _ := strings.Cut(p[2], ":")
		err = book.MergeCell(p[1], a, b)
	case "hide-row":
		n, _ := strconv.Atoi(p[2])
		err = book.SetRowVisible(p[1], n, false)
	case "hide-column":
		err = book.SetColVisible(p[1], p[2], false)
	case "count-from-1904":
		yes := true
		err = book.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes})
	case "hide-sheet":
		err = book.SetSheetVisible(p[1], false)
	case "formula":
		err = book.SetCellFormula(p[1], p[2], p[3])
	case "format":
		var id int
		id, err = book.NewStyle(&excelize.Style{CustomNumFmt: &p[3]})
		if err == nil {
			a, b, _ := strings.Cut(p[2], ":")
			if b == "" {
				b = a
			}
			err = book.SetCellStyle(p[1], a, b, id)
		}
	default:
		t.Fatalf("unknown directive %q", line)
	}
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
}

func layoutOptions(t *testing.T, body string) Options {
	t.Helper()
	var o Options
	for _, line := range strings.Split(strings.TrimSpace(body), "\n") {
		k, v, _ := strings.Cut(line, " ")
		var err error
		switch k {
		case "stock":
			o.Stock, err = ParseStock(v)
		case "jar-volume":
			o.JarVolume, err = quantity.Parse[quantity.Volume](v)
		case "density":
			o.Density, err = quantity.Parse[quantity.Density](v)
		case "basis":
			o.Basis, err = quantity.ParseBasis(v)
		case "chemical":
			o.Chemical = v
		case "sheet":
			o.Sheet = v
		case "range":
			o.Range = v
		case "decimal":
			o.Decimal = rune(v[0])
		case "column":
			a, b, _ := strings.Cut(v, "=")
			o.Columns = append(o.Columns, Override{Header: a, Meaning: b})
		default:
			t.Fatalf("unknown option %q", line)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return o
}

// picture writes what was read, a line for each jar.
func picture(r Result, err error) string {
	var w strings.Builder
	if err != nil {
		fmt.Fprintf(&w, "FAILED %s\n", err)
		return w.String()
	}
	for _, s := range r.Series {
		fmt.Fprintf(&w, "= %s", s.Name)
		for _, c := range s.Chemicals {
			fmt.Fprintf(&w, "; %s", c.Name)
			if c.Basis != "" {
				fmt.Fprintf(&w, " %s", c.Basis)
			}
		}
		for _, k := range jartest.KindsOf(s.Raw) {
			fmt.Fprintf(&w, "; raw %s %s", k, shortReading(s.Raw[k]))
		}
		for _, tg := range s.Targets {
			fmt.Fprintf(&w, "; target %s", tg)
		}
		w.WriteByte('\n')
		for _, j := range s.Jars {
			fmt.Fprintf(&w, "%s:", strings.ReplaceAll(j.Label, "\n", " "))
			for _, d := range j.Doses {
				fmt.Fprintf(&w, " %s", trimFloat(float64(d.Concentration)))
			}
			w.WriteString(" |")
			var st []string
			for k, v := range j.Settings {
				st = append(st, fmt.Sprintf(" %s %s", k, trimFloat(v)))
			}
			sort.Strings(st)
			w.WriteString(strings.Join(st, ""))
			for _, k := range s.Keys() {
				if x, ok := j.Readings.Get(k); ok && x.State != jartest.Missing {
					fmt.Fprintf(&w, " %s %s", k, shortReading(x))
				}
			}
			w.WriteByte('\n')
		}
	}
	for _, level := range [...]note.Level{note.Error, note.Caution} {
		for _, n := range r.Notes.Only(level) {
			fmt.Fprintf(&w, "%s %s %s\n", n.Level, n.Code, strings.TrimPrefix(strings.TrimSpace(n.Sheet+"!"+n.Cell), "!"))
		}
	}
	return w.String()
}

func shortReading(x jartest.Reading) string {
	sign := map[jartest.State]string{jartest.Below: "<", jartest.Above: ">"}[x.State]
	s := sign + trimFloat(x.Value)
	if sign != "" && !x.Limit {
		s = sign + "?"
	}
	if len(x.Replicates) > 0 {
		var l []string
		for _, r := range x.Replicates {
			if r.State != jartest.Missing {
				l = append(l, map[jartest.State]string{jartest.Below: "<", jartest.Above: ">"}[r.State]+trimFloat(r.Value))
			}
		}
		s = "[" + strings.Join(l, " ") + "]"
	}
	if x.SD > 0 {
		s += "±" + trimFloat(x.SD)
		if x.N > 0 {
			s += " n" + strconv.Itoa(x.N)
		}
	}
	return s
}

// A sheet of many cells is looked at as closely as a small one: its percent
// formats count however much stands beside the table.
func TestLargeSheetIsSeenWhole(t *testing.T) {
	book := excelize.NewFile()
	for i, row := range [][]any{{"Alum (mg/L)", "Turbidity removal"}, {10, 0.2}, {20, 0.8}, {30, 0.4}} {
		if err := book.SetSheetRow("Sheet1", "A"+strconv.Itoa(i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	percent, err := book.NewStyle(&excelize.Style{NumFmt: 9})
	if err != nil {
		t.Fatal(err)
	}
	if err := book.SetCellStyle("Sheet1", "B2", "B4", percent); err != nil {
		t.Fatal(err)
	}
	for r := 10; r < 5010; r++ {
		if err := book.SetSheetRow("Sheet1", "E"+strconv.Itoa(r), &[]any{1, 2, 3, 4, 5, 6, 7, 8}); err != nil {
			t.Fatal(err)
		}
	}
	buf, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	r, err := Read("large.xlsx", bytes.NewReader(buf.Bytes()), Options{})
	if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 3 {
		t.Fatalf("%d series, %v", len(r.Series), err)
	}
	if x := r.Series[0].Jars[1].Readings.Of("turbidity_removal"); x.Value != 80 {
		t.Errorf("0.8 under a percent format reads %v", x)
	}
}
