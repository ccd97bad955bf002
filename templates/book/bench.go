package book

import (
	"fmt"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Bench describes a bench sheet to fill in. The zero value of a field leaves its
// cell empty, or takes what the comment says.
type Bench struct {
	Jars     int // 6 to 24; 0 counts as 6
	Name     string
	Chemical string
	Basis    quantity.Basis
	// Doses are the doses to test, a control at 0 among them if wanted.
	Doses []quantity.Concentration
	// Stock is the strength of the bench stock on the basis of the dose.
	Stock     quantity.Concentration
	JarVolume quantity.Volume
	// Readings are what is measured in each jar; none counts as turbidity and pH.
	Readings []jartest.Key
	// Repeats is how often each jar's first reading is taken; 0 counts as 2.
	Repeats int
	Target  string
	// Flotation asks for white water and its share instead of settling.
	Flotation bool
	// Done holds a finished test, for a sheet that is an example; nil for one to fill in.
	Done *Done
}

// Done is what a finished test has beyond what a sheet to fill in states.
type Done struct {
	Date string // as 2026-03-02
	By   string
	Raw  map[jartest.Key]float64
	// Mixing are the values of the lines under Mixing, from the top.
	Mixing []float64
	// Jars has the readings of each jar in the order of the columns, and Remarks one line a jar.
	Jars    [][]float64
	Remarks []string
}

// number gives entry i of a list, nil where there is none.
func number(list []float64, i int) any {
	if i >= len(list) {
		return nil
	}
	return list[i]
}

// done gives the finished test, an empty one where the sheet is to be filled in.
func (x Bench) done() Done {
	if x.Done == nil {
		return Done{}
	}
	return *x.Done
}

// JarsLeast and JarsMost are how many jars a bench sheet may have.
const (
	JarsLeast = 6
	JarsMost  = 24
)

// The rules that the sheet follows, for its second page. Common bench practice;
// ASTM D2035 (Standard Practice for Coagulation-Flocculation Jar Test of Water)
// is the published procedure; its speeds and times are not repeated here.
var benchSteps = []string{
	"Take one well-mixed sample of the raw water, enough for all jars. Measure it and write the readings under Raw water.",
	"Make fresh stock (sheet Stock) and write its strength. Weak alum and iron stocks change within hours; make them on the day (common practice).",
	"Fill every jar to the same mark. Leave one jar without chemical: the control shows what settling alone does.",
	"Write the doses to test. The sheet gives the millilitres of stock for each jar. If another volume was drawn, write it under Stock added: the dose follows it.",
	"Start the rapid mix, add all stocks at the same moment (syringes laid ready), then slow mix, then stop and let settle or float.",
	"Draw the sample of every jar at the same depth and time. Read the first reading twice: the two values show the scatter of the meter.",
	"Write what the meter shows: <0.5 or over range are readings too. Leave a spilt or spoilt jar empty and say so under Remark.",
}

var benchCautions = []string{
	"Coagulants and alkalis burn eyes and skin. Wear goggles and gloves, keep the safety data sheet of each product at the bench, and follow it before this sheet.",
	"Never pour acid products, alkalis and hypochlorite together, not even as rests in a beaker or sink.",
	"Local rules, the product label and the people licensed for this work go before anything worked out from this sheet.",
}

// fault tells what is wrong with the description.
func (x Bench) fault() error {
	switch {
	case x.Jars != 0 && (x.Jars < JarsLeast || x.Jars > JarsMost):
		return note.Fault("jar-count", "a bench sheet has %d to %d jars, not %d", JarsLeast, JarsMost, x.Jars).Do("ask for a number in that range")
	case len(x.Doses) > JarsMost:
		return note.Fault("too-many-doses", "%d doses are more than %d jars", len(x.Doses), JarsMost).Do("split them over two sheets")
	case x.Repeats < 0 || x.Repeats > 4:
		return note.Fault("repeat-count", "a jar's reading is repeated 1 to 4 times, not %d", x.Repeats).Do("ask for a number in that range")
	case len(x.Readings) > 6:
		return note.Fault("too-many-readings", "%d readings do not fit the page", len(x.Readings)).Do("choose up to six")
	}
	for _, d := range x.Doses {
		if d < 0 || !quantity.Finite(d) {
			return note.Fault("negative-dose", "dose %s is not one that can be given", d).Do("a dose is zero or more")
		}
	}
	return nil
}

// Write adds the sheets of the bench workbook to a book.
func (x Bench) Write(b *Book) error {
	if err := x.fault(); err != nil {
		return err
	}
	if x.Jars == 0 {
		x.Jars = max(JarsLeast, len(x.Doses))
	}
	x.Jars = max(x.Jars, len(x.Doses))
	if x.Repeats == 0 {
		x.Repeats = 2
	}
	if len(x.Readings) == 0 {
		x.Readings = []jartest.Key{jartest.Turbidity, jartest.PH}
	}
	s := b.Sheet("Bench")
	x.facts(b, s)
	x.table(s)
	x.guide(b)
	x.stock(b)
	return nil
}

func filled(v any, has bool) any {
	if has {
		return v
	}
	return nil
}

// Columns of the jar table.
const (
	colJar = iota + 1
	colPlanned
	colToAdd
	colAdded
	colDose
	colFirst // of the readings
)

// item writes a name, an input and a unit; the name spans columns.
func item(s *Sheet, row, col, span int, name string, value any, format, unit string) Range {
	s.Put(row, col, Cell{Kind: Label, Value: name, Span: span})
	s.Put(row, col+span, Cell{Kind: Input, Value: value, Format: format})
	if unit != "" {
		s.Put(row, col+span+1, Cell{Kind: Unit, Value: unit})
	}
	return s.At(row, col+span)
}

// facts writes what stands above the table: test, chemical and stock on the
// left, raw water and mixing on the right.
func (x Bench) facts(b *Book, s *Sheet) {
	s.Protect()
	s.Landscape()
	s.OnePage()
	s.Widths(17, 16, 13, 13, 13, 13, 13, 13, 13, 13, 13, 13)
	s.Put(1, 1, T(Title, "Jar test: bench sheet"))
	s.Put(2, 1, T(Sub, "Fill in the pale cells with a dark border. Grey cells are worked out. How to do the test: sheet Guide. How to make the stock: sheet Stock."))

	s.Put(4, 1, Cell{Kind: Section, Value: "Details", Span: 4})
	test := item(s, 5, 1, 1, "Test", filled(x.Name, x.Name != ""), "", "")
	s.Hint(test, "Test", "A short name, such as the day and the water: it names the series in the answers.")
	date := item(s, 6, 1, 1, "Date", filled(x.done().Date, x.done().Date != ""), "yyyy-mm-dd", "")
	s.Hint(date, "Date", "The day of the test, as 2026-03-02.")
	item(s, 7, 1, 1, "Done by", filled(x.done().By, x.done().By != ""), "", "")
	target := item(s, 8, 1, 1, "Target", filled(x.Target, x.Target != ""), "", "")
	s.Hint(target, "Target", "What the treated water must meet, such as: turbidity <= 5 NTU, or: turbidity removal >= 90 %")

	s.Put(10, 1, Cell{Kind: Section, Value: "Chemical and stock", Span: 4})
	item(s, 11, 1, 1, "Chemical", filled(x.Chemical, x.Chemical != ""), "", "")
	basis := item(s, 12, 1, 1, "Dose counts", filled(x.Basis.String(), x.Basis != quantity.NotStated), "", "")
	var names []string
	for _, k := range quantity.Bases() {
		names = append(names, string(k))
	}
	s.Choose(basis, b.List("Basis of a dose", names), "Basis", "What a dose counts: the product as delivered, a salt, or the metal. The stock's strength is on the same basis.", true)
	strength := item(s, 13, 1, 1, "Stock strength", filled(x.Stock.In("g/L"), x.Stock > 0), "0.###", "g/L")
	s.Number(strength, 0.0001, 1000, "Stock strength", "Grams per litre of stock, on the basis of the dose (10 g/L: 1 mL in 1 L of water gives 10 mg/L).")
	volume := item(s, 14, 1, 1, "Jar volume", filled(x.JarVolume.In("mL"), x.JarVolume > 0), "0", "mL")
	s.Number(volume, 1, 100000, "Jar volume", "Millilitres of raw water in each jar.")
	b.Name("Stock_g_L", strength)
	b.Name("Jar_mL", volume)

	right, span := colDose+1, 2
	s.Put(4, right, Cell{Kind: Section, Value: "Raw water", Span: 4})
	row := 5
	for _, k := range rawReadings(x.Readings) {
		v, read := x.done().Raw[k]
		r := item(s, row, right, span, "Raw "+k.Info().Label, filled(v, read), "", shownUnit(k))
		s.Hint(r, k.Info().Label, hintOf(k))
		row++
	}
	s.Put(10, right, Cell{Kind: Section, Value: "Mixing", Span: 4})
	row = 11
	lines := [][3]string{{"Rapid mix", "rpm", ""}, {"Rapid mix time", "s", ""}, {"Slow mix", "rpm", ""}, {"Slow mix time", "min", ""}, {"Settling time", "min", ""}}
	if x.Flotation {
		lines = [][3]string{{"Rapid mix", "rpm", ""}, {"Rapid mix time", "s", ""}, {"Slow mix", "rpm", ""}, {"Slow mix time", "min", ""}, {"Recycle", "%", "White water added, as a share of the jar volume. Readings are corrected for it."}, {"Saturator pressure", "bar", "Pressure of the white water above that of the air."}, {"Flotation time", "min", ""}}
	}
	for i, l := range lines {
		r := item(s, row, right, span, l[0], number(x.done().Mixing, i), "", l[1])
		if l[2] != "" {
			s.Hint(r, l[0], l[2])
		}
		row++
	}
}

// rawReadings lists what is measured in the raw water: what the jars are read
// for, then what a plan wants to know.
func rawReadings(keys []jartest.Key) []jartest.Key {
	var out []jartest.Key
	seen := map[jartest.Key]bool{}
	for _, k := range append(append([]jartest.Key(nil), keys...), jartest.Turbidity, jartest.PH, jartest.AlkalinityKey, jartest.TemperatureKey) {
		i := k.Info()
		if !seen[k] && len(out) < 5 && !strings.HasPrefix(i.Label, "residual") && k != jartest.SettledVolume && i.Unit != "%" {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}

// shownUnit is the unit beside a cell.
func shownUnit(k jartest.Key) string {
	switch u := k.Info().Unit; u {
	case "C":
		return "°C"
	case "uS/cm":
		return "µS/cm"
	default:
		return u
	}
}

func hintOf(k jartest.Key) string {
	i := k.Info()
	s := "A number"
	if i.Unit != "" {
		s += " in " + shownUnit(k)
	}
	return s + `, or what the meter says, such as <0.5 or "over range".`
}

// table writes the jars.
func (x Bench) table(s *Sheet) {
	head := 17
	if x.Flotation {
		head = 19
	}
	heads := []string{"Jar", "Planned dose (mg/L)", "Stock to add (mL)", "Stock added (mL)", "Dose (mg/L)"}
	var keys []jartest.Key
	for i, k := range x.Readings {
		repeats := 1
		if i == 0 {
			repeats = x.Repeats
		}
		for n := range repeats {
			h := upperFirst(k.Info().Label)
			if repeats > 1 {
				h += fmt.Sprintf(" %d", n+1)
			}
			if u := shownUnit(k); u != "" {
				h += " (" + u + ")"
			}
			heads, keys = append(heads, h), append(keys, k)
		}
	}
	heads = append(heads, "Remark")
	for i, h := range heads {
		s.Put(head, i+1, Cell{Kind: Head, Value: h})
	}
	first, last := head+1, head+x.Jars
	stock, jar := 0.0, 0.0
	if x.Stock > 0 && x.JarVolume > 0 {
		stock, jar = x.Stock.In("g/L"), x.JarVolume.In("mL")
	}
	for i := range x.Jars {
		r := first + i
		name := fmt.Sprint(i + 1)
		var planned any
		var toAdd, given any = "", ""
		if i < len(x.Doses) {
			d := float64(x.Doses[i])
			planned, given = d, d
			if d == 0 {
				name += " (control)"
			}
			if stock > 0 {
				toAdd = d * jar / (1000 * stock)
			}
		}
		s.Put(r, colJar, Cell{Kind: Input, Value: name, Center: true})
		s.Put(r, colPlanned, Cell{Kind: Input, Value: planned, Format: "0.###"})
		s.Put(r, colToAdd, Cell{Kind: Worked, Format: "0.00", Value: toAdd,
			Formula: fmt.Sprintf(`IF(AND(ISNUMBER(B%d),ISNUMBER(Stock_g_L),ISNUMBER(Jar_mL)),B%d*Jar_mL/(1000*Stock_g_L),"")`, r, r)})
		s.Put(r, colAdded, Cell{Kind: Input, Format: "0.00"})
		s.Put(r, colDose, Cell{Kind: Worked, Format: "0.00", Value: given,
			Formula: fmt.Sprintf(`IF(AND(ISNUMBER(D%d),ISNUMBER(Stock_g_L),ISNUMBER(Jar_mL)),D%d*1000*Stock_g_L/Jar_mL,IF(ISNUMBER(B%d),B%d,""))`, r, r, r, r)})
		var readings []float64
		if i < len(x.done().Jars) {
			readings = x.done().Jars[i]
		}
		for k := range keys {
			s.Put(r, colFirst+k, Cell{Kind: Input, Value: number(readings, k)})
		}
		var remark any
		if i < len(x.done().Remarks) && x.done().Remarks[i] != "" {
			remark = x.done().Remarks[i]
		}
		s.Put(r, colFirst+len(keys), Cell{Kind: Input, Value: remark})
		s.Height(r, 19)
	}
	s.Number(s.Block(first, colPlanned, last, colPlanned), 0, 100000, "Planned dose", "mg/L to test in this jar; 0 for the control.")
	s.Number(s.Block(first, colAdded, last, colAdded), 0, 100000, "Stock added", "Only where another volume than the one beside it was drawn. The dose follows it.")
	for i, k := range keys {
		s.Hint(s.Block(first, colFirst+i, last, colFirst+i), k.Info().Label, hintOf(k))
	}
	s.widths = s.widths[:colDose]
	for range keys {
		s.widths = append(s.widths, 13)
	}
	s.widths = append(s.widths, 30)
	s.Print(s.Block(1, 1, last+1, colFirst+len(keys)))
	s.Put(last+1, 1, Cell{Kind: Muted, Span: 5 + len(keys), Value: "Dose = stock added × stock strength × 1000 ÷ jar volume, for the water in the jar before anything is added. Without an entry under Stock added the planned dose counts."})
}

func upperFirst(s string) string {
	if s == "pH" || s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// guide writes the second page.
func (x Bench) guide(b *Book) {
	s := b.Sheet("Guide")
	s.Protect()
	s.Widths(6, 92)
	s.Put(1, 1, T(Title, "How to do the test"))
	s.Put(2, 1, T(Sub, "The published procedure is ASTM D2035; speeds and times should be those of your plant."))
	row := 4
	for i, t := range benchSteps {
		s.Put(row, 1, Cell{Kind: Label, Value: fmt.Sprint(i + 1), Center: true})
		s.Put(row, 2, T(Wrap, "%s", t))
		row++
	}
	row++
	s.Put(row, 1, Cell{Kind: Section, Value: "Cautions", Span: 2})
	for i, t := range benchCautions {
		s.Put(row+1+i, 2, T(Caution, "CAUTION: %s", t))
	}
	row += 2 + len(benchCautions)
	s.Put(row, 1, Cell{Kind: Section, Value: "Cells of the bench sheet", Span: 2})
	s.Put(row+1, 1, Cell{Kind: Input, Value: "12", Center: true})
	s.Put(row+1, 2, T(Muted, "to fill in: pale fill, dark border. The sheet is locked without a password; everything else may be unlocked by who wants to."))
	s.Put(row+2, 1, Cell{Kind: Worked, Value: "12", Center: true})
	s.Put(row+2, 2, T(Muted, "worked out by a formula"))
}

// stock writes the third page: how to make the bench stock.
func (x Bench) stock(b *Book) {
	s := b.Sheet("Stock")
	s.Protect()
	s.Widths(44, 14, 12, 46)
	s.Put(1, 1, T(Title, "Making the bench stock"))
	s.Put(2, 1, T(Sub, "This page is a calculator; the program does not read it."))
	s.Table(4, 1, []string{"", "Value", "Unit", "Remark"}, nil)
	in := func(row int, name string, v any, format, unit, remark, defined string) {
		s.Put(row, 1, T(Label, "%s", name))
		s.Put(row, 2, Cell{Kind: Input, Value: v, Format: format})
		s.Put(row, 3, T(Unit, "%s", unit))
		s.Put(row, 4, T(Muted, "%s", remark))
		b.Name(defined, s.At(row, 2))
	}
	want := 10.0
	if x.Stock > 0 {
		want = x.Stock.In("g/L")
	}
	in(5, "Wanted of the stock", want, "0.###", "g/L", "on the basis of the dose; as on the sheet Bench", "Wanted_g_L")
	in(6, "Flask", 1000.0, "0", "mL", "volumetric flask to fill to the mark", "Flask_mL")
	in(7, "Content of the product by mass", nil, "0.0##", "%", "of the substance that the dose counts; 100 if the dose counts product. From the certificate or the safety data sheet", "Content_percent")
	in(8, "Mass of one litre of product", nil, "0.000", "kg/L", "liquids only, from the same papers", "Product_kg_L")
	s.Put(10, 1, T(Label, "Weigh out of the product"))
	s.Put(10, 2, Cell{Kind: Result, Format: "0.00", Value: "", Formula: `IF(AND(ISNUMBER(Content_percent),Content_percent>0),Wanted_g_L*Flask_mL/1000/(Content_percent/100),"")`})
	s.Put(10, 3, T(Unit, "g"))
	s.Put(11, 1, T(Label, "or measure of the liquid product"))
	s.Put(11, 2, Cell{Kind: Result, Format: "0.00", Value: "", Formula: `IF(AND(ISNUMBER(B10),ISNUMBER(Product_kg_L),Product_kg_L>0),B10/Product_kg_L,"")`})
	s.Put(11, 3, T(Unit, "mL"))
	s.Put(12, 1, T(Label, "1 mL of this stock in 1 L of water gives"))
	s.Put(12, 2, Cell{Kind: Worked, Format: "0.00", Value: want, Formula: "Wanted_g_L"})
	s.Put(12, 3, T(Unit, "mg/L"))
	s.Number(s.At(5, 2), 0, 1000, "Wanted", "Grams per litre of stock.")
	s.Number(s.At(6, 2), 1, 100000, "Flask", "Millilitres.")
	s.Number(s.At(7, 2), 0, 100, "Content", "Per cent by mass.")
	s.Number(s.At(8, 2), 0.5, 2.5, "Mass of a litre", "kg/L, such as 1.335.")
	s.Put(14, 1, Cell{Kind: Muted, Span: 4, Value: "Half fill the flask with clean water, add the product while swirling, fill to the mark, turn over ten times, label with name, strength, date and initials. Polymers: sprinkle into the vortex, stir slowly for an hour, use within a day (common practice)."})
	s.Put(15, 1, Cell{Kind: Caution, Span: 4, Value: "CAUTION: add product to water, never water to product; goggles and gloves; safety data sheet first."})
}
