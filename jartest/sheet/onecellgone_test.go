package sheet

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// otherLayouts are tables that the written sheets do not have: jars across in any order of lines, grids of two
// chemicals or of pH under a title, columns in any order, settling times, coagulants side by side.
var otherLayouts = rapid.Custom(func(t *rapid.T) [][]string {
	n := rapid.IntRange(4, 6).Draw(t, "jars")
	step := rapid.SampledFrom([]float64{2, 5, 10, 12.5}).Draw(t, "step")
	unit := rapid.SampledFrom([]string{"mg/L", "mg/L", "ppm", "g/m3", "kg/ML", "lb/MG", "mg Al/L"}).Draw(t, "unit")
	alum := "Alum (" + unit + ")"
	var cells [][]string
	if rapid.Bool().Draw(t, "title") {
		cells = append(cells, []string{"Jar test"})
	}
	switch rapid.IntRange(0, 4).Draw(t, "facts") {
	case 0:
		cells = append(cells, []string{"Raw turbidity (NTU)", "70"}, []string{"Raw pH", "7.6"})
	case 1:
		cells = append(cells, []string{"Raw pH", "7.6"})
	case 2:
		cells = append(cells, []string{"Raw water: 70 NTU, pH 7.6"})
	}
	if len(cells) > 0 && rapid.Bool().Draw(t, "gap") {
		cells = append(cells, nil)
	}
	dose := func(i int) string { return figure(float64(i+1) * step) }
	ntu := func(i, k int) string { return figure(float64(600/(i+2)-10*k) / 10) }
	row := func(first string, cell func(i int) string) []string {
		out := []string{first}
		for i := range n {
			out = append(out, cell(i))
		}
		return out
	}
	columns := [][]string{
		row(alum, dose), row("Turbidity (NTU)", func(i int) string { return ntu(i, 0) }),
		row("pH", func(i int) string { return figure(7.5 - float64(i)/5) }),
	}
	others := [][]string{
		row("Temperature (C)", func(i int) string { return figure(11 + float64(i)/5) }),
		row("Alkalinity (mg/L)", func(i int) string { return strconv.Itoa(90 - 4*i) }),
		row("TSS (mg/L)", func(i int) string { return strconv.Itoa(70 - 8*i) }),
		row("Residual Al (mg/L)", func(i int) string { return figure(0.4 - float64(i)/20) }),
		row("Polymer (mg/L)", func(i int) string { return figure(float64(i+1) / 10) }),
		row("Remarks", func(i int) string { return []string{"", "small flocs", "clear"}[i%3] }),
	}
	if rapid.Bool().Draw(t, "jar numbers") {
		columns = slices.Insert(columns, 0, row("Jar", func(i int) string { return strconv.Itoa(i + 1) }))
	}
	for _, o := range others {
		if rapid.IntRange(0, 3).Draw(t, "other") == 0 {
			columns = append(columns, o)
		}
	}
	switch rapid.SampledFrom([]string{"upright", "upright", "any order", "across", "across any order", "two chemicals", "pH grid", "times", "side by side"}).Draw(t, "table") {
	case "upright":
		return append(cells, turned(columns)...)
	case "any order":
		return append(cells, turned(rapid.Permutation(columns).Draw(t, "columns"))...)
	case "across":
		return append(cells, columns...)
	case "across any order":
		return append(cells, rapid.Permutation(columns).Draw(t, "lines")...)
	case "two chemicals", "pH grid":
		over, tops := "Polymer (mg/L)", []string{"0", "0.2", "0.4", "0.6"}
		if rapid.Bool().Draw(t, "pH") {
			over, tops = "pH", []string{"5.5", "6", "6.5", "7"}
		}
		cells = append(cells, []string{"Turbidity (NTU) after settling"})
		if rapid.Bool().Draw(t, "in the corner") {
			cells = append(cells, append([]string{alum + ` \ ` + over}, tops...))
		} else {
			cells = append(cells, []string{alum, over}, append([]string{""}, tops...))
		}
		for i := range n {
			cells = append(cells, []string{dose(i), ntu(i, 0), ntu(i, 1), ntu(i, 2), ntu(i, 3)})
		}
		return cells
	case "times":
		cells = append(cells, []string{"Jar", alum, "NTU after 5 min", "NTU after 15 min", "NTU after 30 min"})
		for i := range n {
			cells = append(cells, []string{strconv.Itoa(i + 1), dose(i), ntu(i, 0), ntu(i, 1), ntu(i, 2)})
		}
		return cells
	}
	cells = append(cells, []string{"Jar", alum, "Turbidity (NTU)", "", "Jar", "Ferric chloride (mg/L)", "Turbidity (NTU)"})
	for i := range n {
		cells = append(cells, []string{strconv.Itoa(i + 1), dose(i), ntu(i, 0), "", strconv.Itoa(i + 1), dose(i), ntu(i, 1)})
	}
	return cells
})

// insteadWords stand in a cell in place of what belongs there; the empty one blanks it.
var insteadWords = []string{"", "", "", "spilled", "lost", "mean", "?", "30-35", "see note", "30 new", "thirty", "x"}

// oneGone is a sheet and the same with one cell blanked or replaced by a word.
type oneGone struct {
	cells   [][]string
	r, c    int
	instead string
	book    bool // as a workbook with numbers in it, not as text
}

var onesGone = rapid.Custom(func(t *rapid.T) oneGone {
	o := oneGone{book: rapid.Bool().Draw(t, "workbook")}
	if rapid.Bool().Draw(t, "written") {
		// in a list of results a line without its jar is a jar of its own
		o.cells = writtenSheets.Filter(func(w *writtenSheet) bool { return w.layout != "long" }).Draw(t, "sheet").cells
	} else {
		o.cells = otherLayouts.Draw(t, "other layout")
	}
	var filled [][2]int // a word in place of a heading heads a reading of that name; numbers and sentences stay
	for r, row := range o.cells {
		for c, x := range row {
			if _, err := strconv.ParseFloat(x, 64); err == nil || strings.HasPrefix(x, "Raw") {
				filled = append(filled, [2]int{r, c})
			}
		}
	}
	at := rapid.SampledFrom(filled).Draw(t, "cell")
	o.r, o.c, o.instead = at[0], at[1], rapid.SampledFrom(insteadWords).Draw(t, "instead")
	return o
})

func (o oneGone) changed() [][]string {
	out := slices.Clone(o.cells)
	out[o.r] = slices.Clone(out[o.r])
	out[o.r][o.c] = o.instead
	return out
}

func (o oneGone) read(cells [][]string) (Result, error) {
	if !o.book {
		return Read("s.csv", bytes.NewReader([]byte((&writtenSheet{}).text(cells))), Options{})
	}
	book := excelize.NewFile()
	for r, row := range cells {
		for c, x := range row {
			at, _ := excelize.CoordinatesToCellName(c+1, r+1)
			if n, err := strconv.ParseFloat(x, 64); err == nil {
				_ = book.SetCellValue("Sheet1", at, n)
			} else if x != "" {
				_ = book.SetCellValue("Sheet1", at, x)
			}
		}
	}
	b, err := book.WriteToBuffer()
	if err != nil {
		return Result{}, err
	}
	return Read("s.xlsx", bytes.NewReader(b.Bytes()), Options{})
}

// jarFigures are the numbers of a jar: its doses and settings in one text, its readings by their keys.
type jarFigures struct {
	set   string
	read  map[jartest.Key]string
	often map[jartest.Key]bool // the mean of several
}

func figuresOf(r Result) (jars []jarFigures, raw map[string]string) {
	raw = map[string]string{}
	for _, s := range r.Series {
		for k, x := range s.Raw {
			raw[string(k)] = fmt.Sprintf("%.10g", x.Value)
		}
		for _, t := range s.Targets {
			raw[fmt.Sprint("target ", t)] = ""
		}
		for _, j := range s.Jars {
			f := jarFigures{read: map[jartest.Key]string{}, often: map[jartest.Key]bool{}}
			for i, d := range j.Doses {
				f.set += fmt.Sprintf("%s %s %.10g %v, ", s.Chemicals[i].Name, s.Chemicals[i].Basis, float64(d.Concentration), d.Known)
			}
			f.set += fmt.Sprintf("%v", j.Settings)
			read := map[jartest.Key]jartest.Reading{}
			j.Readings.Into(read)
			for k, x := range read {
				f.read[k], f.often[k] = fmt.Sprintf("%v %.10g", x.State, x.Value), len(x.Replicates) > 1
			}
			jars = append(jars, f)
		}
	}
	return jars, raw
}

// renamed reports a jar that is the other with a reading, or its label, under the word that stands in place of the heading.
func (f jarFigures) renamed(was jarFigures, word string) bool {
	lost, own := []string{}, []string{}
	for k, x := range was.read {
		if f.read[k] != x {
			lost = append(lost, x)
		}
	}
	for k, x := range f.read {
		if was.read[k] == x {
			continue
		}
		if k != jartest.Slug(word) && len(k) > 1 {
			return false
		}
		own = append(own, x)
	}
	return f.set == was.set && len(lost) <= 1 && len(own) == 1 && (len(lost) == 0 || lost[0] == own[0])
}

// without reports a jar that is the other without at most one reading, or with one mean of fewer readings.
func (f jarFigures) without(was jarFigures) bool {
	lost := 0
	for k, x := range was.read {
		if f.read[k] != x {
			if _, ok := f.read[k]; ok && !was.often[k] {
				return false
			}
			lost++
		}
	}
	for k := range f.read {
		if _, ok := was.read[k]; !ok {
			return false
		}
	}
	return f.set == was.set && lost < 2
}

// silent gives what the change of one cell did to the answer without a word.
func (o oneGone) silent() string {
	was, err := o.read(o.cells)
	if err != nil || was.Notes.Worst() >= note.Error {
		return ""
	}
	is, err := o.read(o.changed())
	if slices.ContainsFunc(is.Notes, func(n note.Note) bool { return n.Code == "cross-tab-line" }) {
		return "" // a mean behind the last line of a grid is told in a note
	}
	if err != nil || is.Notes.Worst() > was.Notes.Worst() || len(is.Notes.Only(note.Caution)) > len(was.Notes.Only(note.Caution)) {
		return ""
	}
	before, rawBefore := figuresOf(was)
	after, rawAfter := figuresOf(is)
	less := 0
	for _, j := range after {
		at := slices.IndexFunc(before, func(b jarFigures) bool {
			return b.set == j.set && maps.Equal(b.read, j.read) || j.renamed(b, o.instead)
		})
		if at < 0 {
			at = slices.IndexFunc(before, j.without)
			less++
		}
		if at < 0 {
			return fmt.Sprintf("a jar that was none: %v", j)
		}
		before = slices.Delete(slices.Clone(before), at, at+1)
	}
	if len(before)+less > 1 {
		return fmt.Sprintf("%d jars are lost, %d are less", len(before), less)
	}
	for k, x := range rawAfter {
		if y, ok := rawBefore[k]; !ok || x != y {
			return fmt.Sprintf("raw %s is %s, was %q", k, x, y)
		}
	}
	return ""
}

// TestOneCellGoneSpeaks: a dose, a reading, a label or a fact that is blanked, or has a word in its place, costs its own
// jar or its own reading, or is spoken of; it never makes another answer of a sheet without a word.
func TestOneCellGoneSpeaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, o := range rapid.SliceOfN(onesGone, 4, 4).Draw(t, "sheets") {
			if why := o.silent(); why != "" {
				is, _ := o.read(o.changed())
				t.Fatalf("workbook %v: %c%d %q became %q: %s\n%s%v", o.book, 'A'+o.c, o.r+1, o.cells[o.r][o.c], o.instead, why, (&writtenSheet{}).text(o.changed()), is.Notes)
			}
		}
	})
}
