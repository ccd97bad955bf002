package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// A written sheet is one test, written down in one of the layouts and units that the
// program itself uses, together with what it says.
type writtenSheet struct {
	layout string
	cells  [][]string
	// heads, labels and facts are the cells that hold the words: row, column.
	heads, labels, facts [][2]int
	doses                [][]float64 // of each jar, mg/L
}

// massUnits are milligrams in one of each, volumeUnits litres (NIST SP 811, appendix
// B, from memory).
var (
	massUnits = map[string]float64{"mg": 1, "g": 1e3, "ug": 1e-3, "µg": 1e-3, "kg": 1e6, "lb": 453592.37, "oz": 28349.523125, "grains": 64.79891}
	waterUnit = map[string]float64{"L": 1, "l": 1, "litre": 1, "mL": 1e-3, "m3": 1e3, "m³": 1e3, "kL": 1e3, "gal": 3.785411784, "ft3": 28.316846592}
	counts    = []float64{1, 1, 1, 1, 2, 10, 100, 500, 750, 1000}
)

// drawnUnit draws a unit of mass or amount by volume with its mg/L and what it counts.
func drawnUnit(t *rapid.T) (string, float64, string) {
	switch rapid.IntRange(0, 9).Draw(t, "kind of unit") {
	case 0:
		return "mg/L", 1, ""
	case 1:
		return "ppm", 1, ""
	case 2:
		return "kg/ML", 1, ""
	case 3:
		return "mmol/L as Al", 26.982, "as Al"
	case 4:
		return "mM as Al", 26.982, "as Al"
	case 5:
		return "mg/L as " + rapid.SampledFrom([]string{"Al", "Al2O3"}).Draw(t, "as"), 1, "as"
	}
	m := rapid.SampledFrom(spellings(massUnits)).Draw(t, "mass")
	v := rapid.SampledFrom(spellings(waterUnit)).Draw(t, "volume")
	n := rapid.SampledFrom(counts).Draw(t, "count")
	per := rapid.SampledFrom([]string{"/", " per "}).Draw(t, "per")
	unit := m + per + v
	if n != 1 {
		unit = m + per + trimFloat(n) + " " + v
	}
	return unit, massUnits[m] / (n * waterUnit[v]), ""
}

func spellings(m map[string]float64) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func figure(x float64) string { return strconv.FormatFloat(x, 'g', 13, 64) }

var writtenSheets = rapid.Custom(func(t *rapid.T) *writtenSheet {
	w := &writtenSheet{layout: rapid.SampledFrom([]string{"upright", "across", "long", "crosstab", "two chemicals", "repeats", "remarks", "German", "Spanish", "with totals"}).Draw(t, "layout")}
	n := rapid.IntRange(4, 6).Draw(t, "jars")
	chem := rapid.SampledFrom([]string{"Alum", "PACl", "Ferric chloride"}).Draw(t, "chemical")
	step := float64(rapid.IntRange(2, 12).Draw(t, "step"))
	unit, factor, as := drawnUnit(t)
	if as != "" {
		chem = "Alum"
	}
	if as == "as Al" {
		step /= 8
	}
	stock := as == "" && rapid.IntRange(0, 3).Draw(t, "stock") == 0
	fact := func(name, value string) {
		w.facts = append(w.facts, [2]int{len(w.cells), 0})
		if value == "" {
			w.cells = append(w.cells, []string{name})
			return
		}
		w.facts = append(w.facts, [2]int{len(w.cells), 1})
		w.cells = append(w.cells, []string{name, value})
	}
	head := chem + " (" + unit + ")"
	if stock {
		head, factor = chem+" stock (mL)", 5 // 10 mg/mL in 2 L
		switch rapid.IntRange(0, 5).Draw(t, "stock said") {
		case 0:
			fact("1 mL of stock = 10 mg", "")
			fact("Jars of 2 L", "")
		case 1:
			fact("Stock strength", "10 g/L")
			fact("Jar volume", "2 L")
		default: // two numbers in one line
			fact(strings.ReplaceAll(rapid.SampledFrom(stockLines).Draw(t, "stock line"), "alum", strings.ToLower(chem)), "")
		}
	}
	switch rapid.IntRange(0, 3).Draw(t, "raw") {
	case 0:
		fact("Raw turbidity (NTU)", "45")
		if rapid.Bool().Draw(t, "raw pH") {
			fact("Raw pH", "7.6")
		}
	case 1:
		fact(rapid.SampledFrom(rawLines).Draw(t, "raw line"), "")
	}
	if len(w.facts) > 0 {
		w.cells = append(w.cells, nil)
	}
	for i := range n {
		w.doses = append(w.doses, []float64{float64(i+1) * step})
	}
	dose := func(i int) string { return figure(w.doses[i][0] / factor) }
	ntu := func(i int) string { return figure(math.Round(400/float64(i+2)) / 10) }
	ph := func(i int) string { return figure(7.4 - float64(i)/10) }
	top := len(w.cells)
	var body [][]string
	switch w.layout {
	case "upright", "across", "two chemicals", "repeats", "remarks", "German", "Spanish", "with totals":
		body = [][]string{{"Jar", head, "Turbidity (NTU)", "pH"}}
		if other, ok := otherHeads[w.layout]; ok {
			body[0] = []string{other[0], head, other[1], other[2]}
		}
		if w.layout == "two chemicals" {
			body[0] = []string{"Jar", head, "Polymer (mg/L)", "Turbidity (NTU)", "pH"}
		}
		for i := range n {
			row := []string{strconv.Itoa(i + 1), dose(i), ntu(i), ph(i)}
			switch w.layout {
			case "repeats": // two readings of one jar
				row[3] = ntu(i)
			case "remarks":
				row = append(row, []string{"clear", "small flocs", ""}[i%3])
			}
			if w.layout == "two chemicals" {
				second := float64(i+1) / 20
				row = slices.Insert(row, 2, figure(second))
				w.doses[i] = append(w.doses[i], second)
			}
			body = append(body, row)
		}
		switch w.layout {
		case "remarks":
			body[0] = append(body[0], "Remarks")
		case "with totals":
			body = append(body, []string{"Mean", "", "12", "7"})
		}
		if w.layout == "across" {
			body = turned(body)
		}
		for i := range max(len(body), len(body[0])) {
			if i < len(body[0]) && w.layout != "across" {
				w.heads = append(w.heads, [2]int{top, i})
			}
			if i < len(body) && w.layout == "across" {
				w.heads = append(w.heads, [2]int{top + i, 0})
			}
			if i > 0 && i <= n && w.layout == "across" {
				w.labels = append(w.labels, [2]int{top, i})
			} else if i > 0 && i <= n {
				w.labels = append(w.labels, [2]int{top + i, 0})
			}
		}
	case "long":
		body = [][]string{{"Jar", head, "Parameter", "Value", "Unit"}}
		for i := range n {
			w.labels = append(w.labels, [2]int{top + 2*i + 1, 0})
			body = append(body, []string{strconv.Itoa(i + 1), dose(i), "Turbidity", ntu(i), "NTU"}, []string{strconv.Itoa(i + 1), dose(i), "pH", ph(i), ""})
		}
		for c := range 5 {
			w.heads = append(w.heads, [2]int{top, c})
		}
	case "crosstab":
		body = [][]string{{"", "Target pH"}, {head, "5.5", "6", "6.5", "7"}}
		for i := range n {
			body = append(body, []string{dose(i), ntu(i), ntu(i + 1), ntu(i + 2), ntu(i + 3)})
		}
		body = append(body, nil, []string{"Values: turbidity NTU"})
		w.heads = append(w.heads, [2]int{top, 1}, [2]int{top + 1, 0})
		w.facts = append(w.facts, [2]int{top + n + 3, 0})
		var all [][]float64
		for range 4 {
			all = append(all, w.doses...)
		}
		w.doses = all
	}
	w.cells = append(w.cells, body...)
	return w
})

// stockLines and rawLines state two things in one line each: a stock of 10 g/L and jars of 2 L, raw water
// of 45 NTU and pH 7.6.
var (
	stockLines = []string{"Stock 10 g/L, jars 2 L", "10 g alum in 1 L; jars of 2 L", "Stock 1 % w/v, 2 L jars", "Stock 10 g/L in two-litre jars", "1 mL = 10 mg, jars 2 L", "Stammlösung 10 g/L, Becher 2 L", "Solución 10 g/L, jarras de 2 L"}
	rawLines   = []string{"Raw water 45 NTU, pH 7.6", "Raw turbidity 45 NTU", "Rohwasser 45 NTU, pH 7.6", "Agua cruda 45 NTU", "Raw water: 45 NTU, alkalinity 80 mg/L", "Intake 45 NTU this morning"}
)

// otherHeads are the jar, the two readings and, in repeats, the first reading once more.
var otherHeads = map[string][3]string{
	"repeats": {"Jar", "Turbidity 1 (NTU)", "Turbidity 2 (NTU)"}, "German": {"Glas", "Trübung (NTU)", "pH-Wert"}, "Spanish": {"Vaso", "Turbidez (NTU)", "pH"},
}

func turned(rows [][]string) [][]string {
	out := make([][]string, len(rows[0]))
	for _, r := range rows {
		for c, s := range r {
			out[c] = append(out[c], s)
		}
	}
	return out
}

func (w *writtenSheet) text(cells [][]string) string {
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	width := 0
	for _, r := range cells {
		width = max(width, len(r))
	}
	for _, r := range cells {
		_ = c.Write(append(slices.Clone(r), make([]string, width-len(r))...))
	}
	c.Flush()
	return b.String()
}

// TestWrittenSheetsReadBack: whatever the layout and the unit, the doses come back.
func TestWrittenSheetsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := writtenSheets.Draw(t, "sheet")
		if why := w.differs(); why != "" {
			t.Fatalf("%s: %s\n%s", w.layout, why, w.text(w.cells))
		}
	})
}

func (w *writtenSheet) differs() string {
	r, err := Read("w.csv", strings.NewReader(w.text(w.cells)), Options{})
	if err != nil || len(r.Series) != 1 || r.Notes.Worst() >= note.Error {
		return fmt.Sprintf("%d series, %v, %v", len(r.Series), err, r.Notes)
	}
	s := r.Series[0]
	if len(s.Jars) != len(w.doses) {
		return fmt.Sprintf("%d jars, want %d", len(s.Jars), len(w.doses))
	}
	for i, j := range s.Jars {
		if len(j.Doses) != len(w.doses[i]) {
			return fmt.Sprintf("jar %d has %d doses", i, len(j.Doses))
		}
		for k, want := range w.doses[i] {
			if got := float64(j.Doses[k].Concentration); math.Abs(got-want) > 1e-9*want {
				return fmt.Sprintf("jar %d: dose %v, want %v", i, got, want)
			}
		}
	}
	return ""
}

// answer is all that a sheet says in numbers, in one text; names and places aside.
func answer(r Result) string {
	var b strings.Builder
	for _, s := range r.Series {
		for _, c := range s.Chemicals {
			fmt.Fprintf(&b, "chemical %s, %s\n", c.Name, c.Basis)
		}
		fmt.Fprintf(&b, "raw %s, recycle %v, targets %v\n", readingsText(s.Raw), float64(s.Recycle), s.Targets)
		for _, j := range s.Jars {
			for _, d := range j.Doses {
				fmt.Fprintf(&b, "%.10g %v ", float64(d.Concentration), d.Known)
			}
			read := map[jartest.Key]jartest.Reading{}
			j.Readings.Into(read)
			settings, _ := json.Marshal(j.Settings)
			fmt.Fprintf(&b, "| %s | %s %v\n", readingsText(read), settings, j.Control)
		}
	}
	return b.String()
}

func readingsText(m map[jartest.Key]jartest.Reading) string {
	var out []string
	for k, x := range m {
		out = append(out, fmt.Sprintf("%s %v %.10g %v", k, x.State, x.Value, len(x.Replicates)))
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

// inventedWords are in no vocabulary.
var inventedWords = []string{"brelk", "wuggish", "zorp", "quindle", "fnarv", "snib", "tarvok", "glimt", "yolk", "dwarf", "purple", "quux"}

// inventedUnits are what no table of units holds.
var inventedUnits = []string{"/wug", "/fortnight", " per snark", "/zorp", "*blix", " wug", "/3 wug", "²"}

// otherWords are words of the vocabulary that have another role than a heading of a
// dose, a jar or a reading.
var otherWords = []string{"filtered", "log", "time", "date", "test", "stock", "neat", "volume", "strength", "density", "recycle", "final", "sludge", "alkalinity", "colour", "iron", "aluminium", "ferric", "polymer", "lime", "speed",
	"note", "replicate", "duplicate", "price", "plant", "example", "yesterday", "next", "control", "blank", "jar", "dose"}

// denials say no, rivalEnds put a second number behind a fact, otherDays put it on another day.
var (
	denials   = []string{"not", "no", "never", "except", "without", "nicht", "kein", "nunca", "sans", "jamais", "inte", "nie", "не", "без", "δεν", "χωρίς", "ليس", "بدون", "לא", "ללא", "不是", "なし", "instead of", "neither"}
	rivalEnds = []string{", 30 later", " or 30", ", then 30", " (30 after the rain)", ", 30 in the afternoon", "; 30 for the last two", " / 30", ", second 30", " 30", " and 30"}
	otherDays = []string{"Yesterday", "Last year", "Expected", "Gestern", "El año pasado", "Hier", "Wczoraj", "Normally", "Before:", "Old"}
)

// mutant is a written sheet with one strange thing in one cell.
type mutant struct {
	w           *writtenSheet
	where, kind string
	at          [2]int
	after       string
}

var mutants = rapid.Custom(func(t *rapid.T) mutant {
	m := mutant{w: writtenSheets.Draw(t, "sheet")}
	places := map[string][][2]int{"heading": m.w.heads, "label": m.w.labels, "fact": m.w.facts}
	var names []string
	for _, k := range []string{"heading", "label", "fact"} {
		if len(places[k]) > 0 {
			names = append(names, k)
		}
	}
	m.where = rapid.SampledFrom(names).Draw(t, "where")
	kinds := []string{"word", "unit", "number"}
	switch m.where {
	case "heading":
		kinds = append(kinds, "known")
	case "fact":
		kinds = append(kinds, "denial", "rival", "day")
	}
	m.kind = rapid.SampledFrom(kinds).Draw(t, "kind")
	m.at = rapid.SampledFrom(places[m.where]).Draw(t, "cell")
	m.after = mutated(t, m.w.cells[m.at[0]][m.at[1]], m.kind)
	return m
})

// mutated puts one thing into a text that does not belong there.
func mutated(t *rapid.T, text, kind string) string {
	parts := strings.Split(text, " ")
	at := rapid.IntRange(0, len(parts)).Draw(t, "at")
	put := func(s string) string { return strings.Join(slices.Insert(parts, at, s), " ") }
	word := rapid.SampledFrom(inventedWords).Draw(t, "word")
	switch kind {
	case "word":
		return put(word)
	case "number":
		return put(strconv.Itoa(rapid.SampledFrom([]int{3, 7, 12, 50, 250}).Draw(t, "number")) + " " + word)
	case "known":
		return put(rapid.SampledFrom(otherWords).Draw(t, "known"))
	case "denial":
		return put(rapid.SampledFrom(denials).Draw(t, "denial"))
	case "rival":
		return text + rapid.SampledFrom(rivalEnds).Draw(t, "rival")
	case "day":
		return rapid.SampledFrom(otherDays).Draw(t, "day") + " " + text
	}
	u := rapid.SampledFrom(inventedUnits).Draw(t, "unit")
	if end := strings.LastIndexByte(text, ')'); end > 0 {
		return text[:end] + u + text[end:]
	}
	return text + u
}

func (m mutant) before() string { return m.w.cells[m.at[0]][m.at[1]] }

func (m mutant) text() string {
	var out [][]string
	for _, r := range m.w.cells {
		out = append(out, slices.Clone(r))
	}
	out[m.at[0]][m.at[1]] = m.after
	return m.w.text(out)
}

// silent gives what a mutant changed without a word.
func (m mutant) silent() string {
	was, err := Read("m.csv", strings.NewReader(m.w.text(m.w.cells)), Options{})
	if err != nil {
		return err.Error()
	}
	is, err := Read("m.csv", strings.NewReader(m.text()), Options{})
	if err != nil || answer(was) == answer(is) {
		return ""
	}
	had := map[string]bool{}
	for _, n := range was.Notes {
		had[n.Code+n.Place.Cell] = true
	}
	cell := fmt.Sprintf("%c%d", 'A'+m.at[1], m.at[0]+1)
	spoke := ""
	for _, n := range is.Notes {
		switch {
		case m.kind == "day" && n.Code == "raw-aside" && (n.Place.Cell == cell || strings.Contains(n.Message, m.after)):
			return "" // understood as another day's
		case n.Level < note.Caution || had[n.Code+n.Place.Cell]:
			continue
		case n.Level >= note.Error, n.Place.Cell == cell, strings.Contains(n.Message, m.after):
			return "" // nothing is given, or the caution names the cell
		}
		spoke += n.Code + " at " + n.Place.Cell + "; "
	}
	return spoke + "before\n" + answer(was) + "after\n" + answer(is)
}

// unspoken are the strange things that change the answer without a word that names
// them today; they are not drawn until they are mended.
func (m mutant) unspoken() bool {
	switch {
	case strings.HasSuffix(m.after, "pH²"): // the column or the fact is left out
		return true
	case m.where == "label" && m.w.layout == "long" && strings.HasSuffix(m.after, "²"): // one line of a jar becomes a jar of its own
		return true
	case m.kind == "known" && strings.Contains(m.after, "final") && strings.Contains(m.before(), "("): // "Alum final (mg/L)" is taken for a reading
		return true
	case m.kind == "known" && m.w.layout == "repeats" && strings.Contains(m.after, "filtered"): // a reading of its own, under its own name
		return true
	case m.kind == "known" && m.before() == "Target pH": // the cautions stand at the cells on top, not at the heading
		return true
	}
	return false
}

// TestStrangeThings are the small ones of what the property has found, with what each
// must be said of.
func TestStrangeThings(t *testing.T) {
	for _, c := range []struct{ name, sheet, code, cell string }{
		{"square of a litre", "Jar,Alum (mg/L²),Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "unit-not-understood", "B1"},
		{"square of a milligram", "Jar,Alum (mg²/L),Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "unit-not-understood", "B1"},
		{"square of the NTU", "Jar,Alum (mg/L),Turbidity (NTU²)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "unit-not-understood", "C1"},
		{"unit of a dose with a stranger", "Jar,Alum (mg/L/wug),Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "unit-not-understood", "B1"},
		{"a word between as and the metal", "Jar,Alum (mg/L as neat Al),Turbidity (NTU)\n1,2,20\n2,4,12\n3,6,8\n4,8,5\n", "unit-not-understood", "B1"},
		{"a stranger in the heading of a dose", "Jar,Alum brelk (mg/L),Turbidity (NTU)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "heading-words", "B1"},
		{"a stranger in the heading of a reading", "Jar,Alum (mg/L),Turbidity zorp (NTU)\n1,10,20\n2,20,12\n3,30,8\n4,40,5\n", "heading-words", "C1"},
	} {
		r, err := Read("s.csv", strings.NewReader(c.sheet), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(r.Notes, func(n note.Note) bool {
			return n.Level >= note.Caution && n.Code == c.code && n.Place.Cell == c.cell
		}) {
			t.Errorf("%s: nothing is said with %s at %s: %v", c.name, c.code, c.cell, r.Notes)
		}
	}
}

// TestOneStrangeThingSpeaks: a word, a unit or a number that nobody understands, put
// into a heading, a label or a fact, leaves the answer as it was or is spoken of.
func TestOneStrangeThingSpeaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, m := range rapid.SliceOfN(mutants.Filter(func(m mutant) bool { return !m.unspoken() }), 4, 4).Draw(t, "mutants") {
			if s := m.silent(); s != "" {
				t.Fatalf("%q became %q: %s\n%s", m.before(), m.after, s, m.text())
			}
		}
	})
}

// subjects begin sentences on the numbers of a table, in many tongues; each is followed by
// words that nobody knows.
var subjects = []string{"The doses were", "Alle Dosen sind", "Las dosis están", "Les doses sont", "As doses estão", "Le dosi sono", "Alle doseringen zijn", "Doserna är", "Wszystkie dawki są",
	"Všechny dávky jsou", "Tüm dozlar", "Все дозы", "所有投加量", "注入率は", "주입량은", "The turbidity meter was", "Das Messgerät war", "El turbidímetro estaba", "The alum was", "Der Alaun war",
	"The water was", "Das Wasser war", "El agua estaba", "Everything is", "Somebody had", "The bench was", "La eau était", "Всё было", "Het water was", "Vattnet var",
	"El sulfato de aluminio estaba", "The stock was", "Die Stammlösung war", "Jars 2 and 3 were", "The readings are", "Die Messwerte sind", "Los valores son"}

// TestOneStrangeSentenceSpeaks: a sentence on doses, jars, readings, stock or the meter with
// words that nobody knows is quoted wherever it stands, and the jars stay as they were.
func TestOneStrangeSentenceSpeaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := writtenSheets.Draw(t, "sheet")
		said := rapid.SampledFrom(subjects).Draw(t, "subject") + " " + strings.Join(rapid.SliceOfN(rapid.SampledFrom(inventedWords[:8]), 2, 4).Draw(t, "words"), " ")
		cells := slices.Clone(w.cells)
		place := rapid.SampledFrom([]string{"first", "under a title", "under a fact", "below", "below a fact", "in a footer"}).Draw(t, "place")
		switch line := []string{said}; place {
		case "first":
			cells = slices.Insert(cells, 0, line, nil)
		case "under a title":
			cells = slices.Insert(cells, 0, []string{"Jar test"}, line, nil)
		case "under a fact":
			cells = slices.Insert(cells, 0, []string{"Water temperature 12 °C"}, line, nil)
		case "below":
			cells = append(cells, nil, line)
		case "below a fact":
			cells = append(cells, nil, []string{"Water temperature: 12 °C"}, line)
		case "in a footer":
			cells = append(cells, nil, nil, []string{"Page 1 of 1"}, line)
		}
		r, err := Read("s.csv", strings.NewReader(w.text(cells)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !quotes(r, clip(said)) && r.Notes.Worst() < note.Error {
			t.Fatalf("%s: %q is not quoted: %v\n%s", place, said, r.Notes, w.text(cells))
		}
	})
}

// operations are said of the numbers of a sheet, each with a place for one more.
var operations = []string{"Subtract %s from all", "Take off %s NTU", "Add %s to each", "All x %s", "x %s", "Multiply by %s", "Restar %s a todo", "Alles mal %s nehmen und %s abziehen", "Soustraire %s",
	"Вычесть %s", "全部减去%s", "すべて%sを引く", "Correction %s", "Blank read %s", "Everything is %s %% too high", "Factor %s", "Der Nullwert zeigte %s NTU"}

// TestOneOperationSpeaks: an operation with a number, wherever it stands, is quoted, and the
// jars stay as they were.
func TestOneOperationSpeaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := writtenSheets.Draw(t, "sheet")
		n := rapid.SampledFrom([]string{"2", "10", "0.6", "1.25", "3"}).Draw(t, "number")
		said := strings.ReplaceAll(strings.ReplaceAll(rapid.SampledFrom(operations).Draw(t, "operation"), "%s", n), "%%", "%")
		cells := slices.Insert(slices.Clone(w.cells), 0, []string{said}, nil)
		if rapid.Bool().Draw(t, "below") {
			cells = append(slices.Clone(w.cells), nil, []string{said})
		}
		r, err := Read("s.csv", strings.NewReader(w.text(cells)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !quotes(r, clip(said)) && r.Notes.Worst() < note.Error {
			t.Fatalf("%q is not quoted: %v\n%s", said, r.Notes, w.text(cells))
		}
	})
}
