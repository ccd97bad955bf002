package book

import (
	"cmp"
	"fmt"
	"slices"
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
	// Mixing are the values of the lines under Mixing, from the top, where they are known before the test; zero for
	// none. LikePlant are sentences of the second page on how to stir and sample like the plant.
	Mixing    []float64
	LikePlant []string
	// Ordered is true where they say in which order the plant's chemicals are added, Alone where it doses only one.
	Ordered, Alone bool
	// Beside is true where the jars get a polymer too, of which all get the same.
	Beside bool
	// Continued is true where the doses follow from an earlier test, HasControl where that had a jar without chemical.
	Continued, HasControl bool
	// Asked is what the last test showed that these jars need, in sentences.
	Asked []string
	// Depth is how far below the surface the jars are sampled.
	Depth quantity.Length
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
	// Added are the volumes of stock that were drawn for the jars, for a test whose doses follow from them.
	Added []quantity.Volume
	// Jars has the readings of each jar in the order of the columns, a number or what the meter said, nil for none;
	// Remarks is one line a jar.
	Jars    [][]any
	Remarks []string
}

// entry gives entry i of a list, nil where there is none or an empty one.
func entry[T comparable](list []T, i int) any {
	if i < len(list) {
		return filled(list[i], any(list[i]) != any(""))
	}
	return nil
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

var benchCautions = []string{
	"Coagulants and alkalis burn eyes and skin. Wear goggles and gloves, keep the safety data sheet of each product at the bench, and " +
		"follow it before this sheet.",
	"Never pour acid products, alkalis and hypochlorite together, not even as rests in a beaker or sink.",
	"Local rules, the product label and the people licensed for this work go before anything worked out from this sheet.",
}

// fault tells what is wrong with the description.
func (x Bench) fault() error {
	switch {
	case x.Jars != 0 && (x.Jars < JarsLeast || x.Jars > JarsMost):
		return note.Fault("jar-count", "a bench sheet has %d to %d jars, not %d", JarsLeast, JarsMost,
			x.Jars).Do("ask for a number in that range")
	case max(len(x.Doses), len(x.done().Added)) > JarsMost:
		return note.Fault("too-many-doses", "%d doses are more than %d jars", max(len(x.Doses), len(x.done().Added)), JarsMost).Do("split them over two sheets")
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
	x.Jars, x.Repeats = max(cmp.Or(x.Jars, JarsLeast), len(x.Doses), len(x.done().Added)), cmp.Or(x.Repeats, 2)
	if len(x.Readings) == 0 {
		x.Readings = usualReadings
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

// blank is a line to fill in: its cell's name in the workbook, and what is said of it
// where it is chosen, under a title or its label.
type blank struct {
	label, unit, format string
	value               any
	title, hint, name   string
}

// blanks writes lines to fill in under a heading; their labels span columns.
func blanks(s *Sheet, row, col, span int, heading string, lines ...blank) Range {
	s.Put(row, col, Cell{Kind: Section, Value: heading, Span: 4})
	for i, l := range lines {
		r := row + 1 + i
		s.Put(r, col, Cell{Kind: Label, Value: l.label, Span: span})
		s.Put(r, col+span, In(l.value, l.format))
		if l.unit != "" {
			s.Put(r, col+span+1, Cell{Kind: Unit, Value: l.unit})
		}
		if l.hint != "" {
			s.Hint(s.At(r, col+span), cmp.Or(l.title, l.label), l.hint)
		}
		if l.name != "" {
			s.book.Name(l.name, s.At(r, col+span))
		}
	}
	return s.Block(row+1, col+span, row+len(lines), col+span)
}

// facts writes what stands above the table: test, chemical and stock on the
// left, raw water and mixing on the right.
func (x Bench) facts(b *Book, s *Sheet) {
	s.Landscape()
	s.OnePage()
	s.open(T(Title, "Jar test: bench sheet"), T(Sub, "Fill in the pale cells with a dark border. Grey cells are worked out. "+
		"How to do the test: sheet Guide. How to make the stock: sheet Stock."), 17, 16, 13, 13, 13, 13, 13, 13, 13, 13, 13, 13)
	done := x.done()
	word := func(s string) any { return filled(s, s != "") }
	details := []blank{
		blank{label: "Test", value: word(x.Name), hint: "A short name, such as the day and the water: it names the series in the answers."},
		blank{label: "Date", value: word(done.Date), format: dateFormat, hint: "The day of the test, as 2026-03-02."},
		blank{label: "Done by", value: word(done.By)},
		blank{label: "Target", value: word(x.Target),
			hint: "What the treated water must meet, such as: turbidity <= 5 NTU, or: turbidity removal >= 90 %"}}
	if x.Beside {
		details = append(details, blank{label: "Polymer to each jar", unit: "mg/L", format: "General", value: 0.0,
			hint: "What every jar gets of the polymer beside the doses below; 0 where none gets any."})
	}
	blanks(s, 4, 1, 1, "Details", details...)
	stockAndJars := []blank{
		blank{label: "Chemical", value: word(x.Chemical)},
		blank{label: "Dose counts", value: filled(x.Basis.String(), x.Basis != quantity.NotStated)},
		blank{label: "Stock strength", value: filled(x.Stock.In("g/L"), x.Stock > 0), format: "0.###", unit: "g/L", name: "Stock_g_L"},
		blank{label: "Jar volume", value: filled(x.JarVolume.In("mL"), x.JarVolume > 0), format: "0", unit: "mL", name: "Jar_mL"}}
	heading := "Chemical and stock"
	if !x.Flotation {
		heading = "Chemical, stock and jars"
		stockAndJars = append(stockAndJars, blank{label: "Sampling depth", unit: "cm", format: "General", value: filled(x.Depth.In("cm"), x.Depth > 0),
			hint: "How far below the surface the sample is drawn: with the settling time it tells how fast flocs fall."})
	}
	stock := blanks(s, 10, 1, 1, heading, stockAndJars...)
	var names []string
	for _, k := range quantity.Bases() {
		names = append(names, string(k))
	}
	s.Choose(stock.down(1), b.List("Basis of a dose", names), "Basis",
		"What a dose counts: the product as delivered, a salt, or the metal. The stock's strength is on the same basis.", true)
	s.Number(stock.down(2), 0.0001, 1000, "Stock strength",
		"Grams per litre of stock, on the basis of the dose (10 g/L: 1 mL in 1 L of water gives 10 mg/L).")
	s.Number(stock.down(3), 1, 100000, "Jar volume", "Millilitres of raw water in each jar.")

	var raw []blank
	for _, k := range rawReadings(x.Readings) {
		v, read := done.Raw[k]
		raw = append(raw, blank{label: "Raw " + k.Info().Label, value: filled(v, read), unit: shownUnit(k), title: k.Info().Label,
			hint: hintOf(k)})
	}
	blanks(s, 4, colFirst, 2, "Raw water", raw...)
	mixing := []blank{{label: "Rapid mix", unit: "rpm"}, {label: "Rapid mix time", unit: "s"}, {label: "Slow mix", unit: "rpm"},
		{label: "Slow mix time", unit: "min"}}
	if x.Flotation {
		mixing = append(mixing,
			blank{label: "Recycle", unit: "%", hint: "White water added, as a share of the jar volume. Readings are corrected for it."},
			blank{label: "Saturator pressure", unit: "bar", hint: "Pressure of the white water above that of the air."},
			blank{label: "Flotation time", unit: "min"})
	} else {
		mixing = append(mixing, blank{label: "Settling time", unit: "min"})
	}
	for i := range mixing {
		mixing[i].format = "General"
		if mixing[i].value = entry(done.Mixing, i); i < len(x.Mixing) && x.Mixing[i] > 0 {
			mixing[i].value = x.Mixing[i]
		}
	}
	blanks(s, 10, colFirst, 2, "Mixing", mixing...)
}

// rawReadings lists what is measured in the raw water: what the jars are read
// for, then what a plan wants to know.
func rawReadings(keys []jartest.Key) []jartest.Key {
	var out []jartest.Key
	for _, k := range slices.Concat(keys, []jartest.Key{jartest.Turbidity, jartest.PH, jartest.AlkalinityKey, jartest.TemperatureKey}) {
		i := k.Info()
		if !slices.Contains(out, k) && len(out) < 5 && !strings.HasPrefix(i.Label, "residual") && k != jartest.SettledVolume && i.Unit != "%" {
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

// columns gives the headings of the jar table and what is read in its columns.
func (x Bench) columns() (heads []string, keys []jartest.Key) {
	heads = []string{"Jar", "Planned dose (mg/L)", "Stock to add (mL)", "Stock added (mL)", "Dose (mg/L)"}
	for i, k := range x.Readings {
		for n := range x.repeats(i) {
			h := upperFirst(k.Info().Label)
			if x.repeats(i) > 1 {
				h += fmt.Sprintf(" %d", n+1)
			}
			if u := shownUnit(k); u != "" {
				h += " (" + u + ")"
			}
			heads, keys = append(heads, h), append(keys, k)
		}
	}
	return append(heads, "Remark"), keys
}

// ReadColumns names the columns of readings, in small letters and without their units.
func (x Bench) ReadColumns() (names []string) {
	if len(x.Readings) == 0 {
		x.Readings = usualReadings
	}
	x.Repeats = cmp.Or(x.Repeats, 2)
	for i, k := range x.Readings {
		for n := range x.repeats(i) {
			name := k.Info().Label
			if x.repeats(i) > 1 {
				name += fmt.Sprintf(" %d", n+1)
			}
			names = append(names, name)
		}
	}
	return names
}

// usualReadings are what is measured in each jar where nothing else is asked for.
var usualReadings = []jartest.Key{jartest.Turbidity, jartest.PH}

// repeats is how often the i-th reading is taken.
func (x Bench) repeats(i int) int {
	if i == 0 {
		return x.Repeats
	}
	return 1
}

// table writes the jars.
func (x Bench) table(s *Sheet) {
	head := 17
	if x.Flotation {
		head = 19
	}
	heads, keys := x.columns()
	s.next = head - 1
	s.heads(heads...)
	first, last := head+1, head+x.Jars
	for i := range x.Jars {
		x.jar(s, first+i, i, len(keys))
	}
	column := func(col int) Range { return s.Block(first, col, last, col) }
	s.Number(column(colPlanned), 0, 100000, "Planned dose", "mg/L to test in this jar; 0 for the control.")
	s.Number(column(colAdded), 0, 100000, "Stock added", "Only where another volume than the one beside it was drawn. The dose follows it.")
	for i, k := range keys {
		s.Hint(column(colFirst+i), k.Info().Label, hintOf(k))
	}
	s.widths = append(append(s.widths[:colDose], slices.Repeat([]float64{13}, len(keys))...), 30)
	s.Print(s.Block(1, 1, last+1, colFirst+len(keys)))
	s.Put(last+1, 1, Cell{Kind: Muted, Span: 5 + len(keys), Value: "Dose = stock added × stock strength × 1000 ÷ jar volume, " +
		"for the water in the jar before anything is added. Without an entry under Stock added the planned dose counts."})
}

// jar writes the row of the i-th jar, with so many readings.
func (x Bench) jar(s *Sheet, r, i, readings int) {
	done := x.done()
	name := fmt.Sprint(i + 1)
	var planned, added any
	var toAdd, given any = "", ""
	if i < len(x.Doses) {
		d := float64(x.Doses[i])
		planned, given = d, d
		if d == 0 {
			name += " (control)"
		}
		if x.Stock > 0 && x.JarVolume > 0 {
			toAdd = d * x.JarVolume.In("mL") / (1000 * x.Stock.In("g/L"))
		}
	}
	if i < len(done.Added) && x.JarVolume > 0 {
		added = done.Added[i].In("mL")
		given = done.Added[i].In("mL") * 1000 * x.Stock.In("g/L") / x.JarVolume.In("mL")
		if done.Added[i] == 0 {
			name += " (control)"
		}
	}
	cell := strings.NewReplacer("PLANNED", a1(r, colPlanned), "ADDED", a1(r, colAdded))
	s.Put(r, colJar, Cell{Kind: Input, Value: name, Center: true})
	s.Put(r, colPlanned, In(planned, "0.###"))
	volume := Calc(cell.Replace(
		`IF(AND(ISNUMBER(PLANNED),ISNUMBER(Stock_g_L),ISNUMBER(Jar_mL)),PLANNED*Jar_mL/(1000*Stock_g_L),"")`), toAdd, "0.00")
	if i < len(done.Jars) && toAdd == "" { // the test is done, and nobody said of what stock: a formula without a value would only puzzle
		volume = Cell{Kind: volume.Kind}
	}
	s.Put(r, colToAdd, volume)
	s.Put(r, colAdded, In(added, "0.00"))
	s.Put(r, colDose, Calc(cell.Replace(`IF(AND(ISNUMBER(ADDED),ISNUMBER(Stock_g_L),ISNUMBER(Jar_mL)),ADDED*1000*Stock_g_L/Jar_mL,`+
		`IF(ISNUMBER(PLANNED),PLANNED,""))`), given, "0.00"))
	var read []any
	if i < len(done.Jars) {
		read = done.Jars[i]
	}
	for k := range readings {
		s.Put(r, colFirst+k, In(entry(read, k), ""))
	}
	s.Put(r, colFirst+readings, In(entry(done.Remarks, i), ""))
	s.Height(r, 19)
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
	sub := "The published procedure is ASTM D2035. For people: the program does not read it." // whose figures are none of a test
	if !x.likePlant() {
		sub = "The published procedure is ASTM D2035; speeds and times should be those of your plant. For people: the program does not read it."
	}
	s.open(T(Title, "How to do the test"), T(Sub, "%s", sub), 6, 92)
	s.Skip(1)
	for i, step := range benchSteps {
		s.Row(Cell{Kind: Label, Value: fmt.Sprint(i + 1), Center: true}, T(Wrap, "%s", step(x)))
	}
	told := func(head string, sentences []string) {
		if len(sentences) > 0 {
			s.Skip(1)
			s.Row(Cell{Kind: Section, Value: head, Span: 2})
		}
		for _, t := range sentences {
			s.Row(Cell{Kind: Label, Value: "", Center: true}, T(Wrap, "%s", t))
		}
	}
	told("What the last test asks of these jars", x.Asked)
	told("Stir and sample", x.LikePlant)
	s.Skip(1)
	x.good(s)
	r := s.Row(Cell{Kind: Section, Value: "Cautions", Span: 2})
	for i, t := range benchCautions {
		s.Put(r+1+i, 2, T(Caution, "CAUTION: %s", t))
	}
	s.Skip(1)
	s.Row(Cell{Kind: Section, Value: "Cells of the bench sheet", Span: 2})
	s.Row(Cell{Kind: Input, Value: "12", Center: true}, T(Muted, "to fill in: pale fill, dark border. "+
		"The sheet is locked without a password; everything else may be unlocked by who wants to."))
	s.Row(Cell{Kind: Worked, Value: "12", Center: true}, T(Muted, "worked out by a formula"))
}

// stock writes the third page: how to make the bench stock.
func (x Bench) stock(b *Book) {
	s := b.Sheet("Stock")
	s.open(T(Title, "Making the bench stock"), T(Sub, "This page is a calculator; the program does not read it."), 44, 14, 12, 46)
	s.Skip(1)
	s.heads("", "Value", "Unit", "Remark")
	want := 10.0
	if x.Stock > 0 {
		want = x.Stock.In("g/L")
	}
	for _, l := range []struct {
		label           string
		value           any
		format, unit    string
		remark, name    string
		least, most     float64
		title, expected string
	}{
		{"Wanted of the stock", want, "0.###", "g/L", "on the basis of the dose; as on the sheet Bench", "Wanted_g_L", 0, 1000, "Wanted",
			"Grams per litre of stock."},
		{"Flask", 1000.0, "0", "mL", "volumetric flask to fill to the mark", "Flask_mL", 1, 100000, "Flask", "Millilitres."},
		{"Content of the product by mass", nil, "0.0##", "%", "of the substance that the dose counts; 100 if the dose counts product. " +
			"From the certificate or the safety data sheet", "Content_percent", 0, 100, "Content", "Per cent by mass."},
		{"Mass of one litre of product", nil, "0.000", "kg/L", "liquids only, from the same papers", "Product_kg_L", 0.5, 2.5,
			"Mass of a litre", "kg/L, such as 1.335."},
	} {
		at := s.At(s.Row(T(Label, "%s", l.label), In(l.value, l.format), T(Unit, "%s", l.unit), T(Muted, "%s", l.remark)), 2)
		b.Name(l.name, at)
		s.Number(at, l.least, l.most, l.title, l.expected)
	}
	s.Skip(1)
	weigh := s.Row(T(Label, "Weigh out of the product"), Cell{Kind: Result, Format: "0.00", Value: "",
		Formula: `IF(AND(ISNUMBER(Content_percent),Content_percent>0),Wanted_g_L*Flask_mL/1000/(Content_percent/100),"")`}, T(Unit, "g"))
	s.Row(T(Label, "or measure of the liquid product"), Cell{Kind: Result, Format: "0.00", Value: "",
		Formula: strings.ReplaceAll(`IF(AND(ISNUMBER(MASS),ISNUMBER(Product_kg_L),Product_kg_L>0),MASS/Product_kg_L,"")`, "MASS",
			a1(weigh, 2))}, T(Unit, "mL"))
	s.Row(T(Label, "1 mL of this stock in 1 L of water gives"), Calc("Wanted_g_L", want, "0.00"), T(Unit, "mg/L"))
	s.Skip(1)
	s.Row(Cell{Kind: Muted, Span: 4, Value: "Half fill the flask with clean water, add the product while swirling, fill to the mark, " +
		"turn over ten times, " +
		"label with name, strength, date and initials. Polymers: sprinkle into the vortex, stir slowly for an hour, use within a day " +
		"(common practice)."})
	s.Row(Cell{Kind: Caution, Span: 4, Value: "CAUTION: add product to water, never water to product; goggles and gloves; safety data " +
		"sheet first."})
}
