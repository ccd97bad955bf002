package layout

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// Lines jotted down on the spot, "Jar 2 - 5 ppm - 31 NTU", are a table without headings:
// each amount says with its unit or its name what it is. Lines of one shape are rewritten
// as a table whose cells remember where they stood.

// amount is a number of such a line.
type amount struct {
	text string // with its unit, as it stands
	said string // with the words that stand with it
	head string // the heading that it would have
	key  string // what tells it from the other amounts of its line
	dose bool
	bare bool   // without a unit or a name
	at   string // the cell that it stands in
}

// jotting is one line taken apart: the jar, the amounts, and what else is said.
type jotting struct {
	row     int
	label   grid.Cell
	amounts []amount
	rest    []string
	restAt  string
	day     string    // that the line is stamped with
	control bool      // it says that nothing was dosed
	none    grid.Cell // a word for nothing where a dose would stand
	noneAt  int       // how many amounts stand before it
}

// leastJotted is how many lines make a shape.
const leastJotted = 3

var (
	jotSign    = words.NewPattern(`\s*[;|\t=→]\s*|\s+[-–—]+>?\s+|,\s+|:\s+|\s{2,}`)
	jotLabel   = words.NewPattern(`^[#(]?(?:\d{1,2}[a-z]?|[a-z]\d{0,2})[.):]?$`)
	jotGlued   = words.NewPattern(`^(\pL{2,})\d{1,2}$`)
	jotCounted = words.NewPattern(`^(\D*\d{1,2})\s+\D+$`)
	endNumber  = words.NewPattern(`(?:^|\s)\d+$`)
)

// JottedBare finds such lines in which a bare number behind the dose is the reading, "10 mg/l 22".
func (f *Finder) JottedBare() ([]*Area, note.List) {
	f.bareReads = true
	defer func() { f.bareReads = false }()
	return f.Jotted()
}

// Jotted finds the lines of one shape of a sheet, each stretch as a table of its own.
func (f *Finder) Jotted() ([]*Area, note.List) {
	var out []*Area
	var notes note.List
	var run []jotting
	flush := func() {
		if shape := shapeOf(run); shape != nil && (f.bareReads || !f.headed(run[0].row)) {
			a := f.jottedTable(run, shape)
			out = append(out, a)
			n := note.New(note.Info, "jotted-lines", "%d lines of one shape are read as a table: %s", len(run), a.headTexts()).At(f.v.PlaceAt(run[0].row, 0))
			notes.Add(n)
		}
		run = nil
	}
	for r := range min(f.v.height(), MostLines) {
		var before []amount
		if len(run) > 0 {
			before = run[len(run)-1].amounts
		}
		j, ok := f.jot(r, before)
		switch {
		case ok && (len(run) == 0 || j.row-run[len(run)-1].row <= 2 && j.day == run[len(run)-1].day):
			run = append(run, j)
		case ok:
			flush()
			run = []jotting{j}
		case !f.blankRow(r):
			flush()
		}
	}
	flush()
	return out, notes
}

func (f *Finder) blankRow(r int) bool {
	for c := range f.v.breadth() {
		if !f.v.At(r, c).Blank() {
			return false
		}
	}
	return true
}

// headed reports headings right above a row, a reading among them: then it is no jotted
// line.
func (f *Finder) headed(r int) bool {
	for k := r - 1; k >= 0 && k >= r-2; k-- {
		n, read := 0, false
		if f.tornSentence(k) {
			continue
		}
		for c := range f.v.breadth() {
			if x := f.v.At(k, c); x.Kind == grid.Textual && f.heading(x.Text).Strong() {
				n++
				read = read || f.heading(x.Text).Reading != ""
			}
		}
		if n > 1 && read {
			return true
		}
	}
	return false
}

// tornSentence reports a line of amounts that was torn at its blanks, "Raw 38 NTU, stock 10 g/L".
func (f *Finder) tornSentence(r int) bool {
	cells := f.jottedCells(r)
	return f.v.Separator == ' ' && len(cells) == 1 && len(counted(cells[0].Text)) > 0
}

// jot takes a line apart; it is false for one that is not of the kind.
// The amounts of the line before tell what bare numbers are.
func (f *Finder) jot(r int, before []amount) (j jotting, ok bool) {
	j.row = r
	if f.v.RowHidden(r) {
		return j, false
	}
	cells := f.jottedCells(r)
	if len(cells) > 1 && IsDate(strings.TrimPrefix(words.Fold(cells[0].Text), "[")) && messageStamp.MatchString(cells[0].Text+", "+cells[1].Text) { // torn at its comma
		cells[1].Text = cells[0].Text + ", " + cells[1].Text
		cells = cells[1:]
	}
	if len(cells) > 0 && cells[0].Kind == grid.Textual {
		cells[0].Text, j.day = Unstamped(cells[0].Text)
	}
	for _, x := range cells {
		if x.Kind != grid.Textual || len(x.Text) > LongText {
			if x.Kind == grid.Textual || len(j.amounts) > 0 || !j.label.Blank() {
				return j, false
			}
			j.label = x // a number before the amounts
			continue
		}
		for _, piece := range jotSign.Split(x.Text, -1) {
			f.take(&j, strings.TrimSpace(piece), x.Home)
		}
	}
	if f.bareReads {
		j.readBare(f)
	}
	j.follow(before)
	return j, j.ofJar(f)
}

// follow takes what a line leaves out from the line before it: the units of bare numbers in the
// same places, and the chemical of its dose. Other bare numbers are remarks.
func (j *jotting) follow(before []amount) {
	like := len(j.amounts) == len(before)
	for i, a := range j.amounts {
		like = like && (a.bare || a.key == before[i].key || a.dose && before[i].dose && strings.HasPrefix(before[i].key, a.key))
	}
	kept := j.amounts[:0]
	for i, a := range j.amounts {
		switch {
		case like && (a.bare || a.key != before[i].key):
			a.head, a.key, a.dose = before[i].head, before[i].key, before[i].dose
		case a.bare:
			j.remark(a.said, a.at)
			continue
		}
		kept = append(kept, a)
	}
	j.amounts = kept
}

// readBare takes the one bare number of a line, behind its doses, for the reading of the jar.
func (j *jotting) readBare(f *Finder) {
	last := len(j.amounts) - 1
	if last < 1 || !j.amounts[last].bare || slices.ContainsFunc(j.amounts[:last], func(a amount) bool { return !a.dose }) {
		return
	}
	a := &j.amounts[last]
	a.bare, a.head = false, f.onlyReading()
	a.key = cmp.Or(string(f.heading(a.head).Reading), "bare")
}

// onlyReading is the heading of the one reading that the texts of a sheet name, "" where they name none or several.
func (f *Finder) onlyReading() string {
	found := ""
	for r := range min(f.v.height(), MostLines) {
		for _, x := range f.jottedCells(r) {
			if x.Kind != grid.Textual || len(x.Text) > LongText {
				continue
			}
			h := f.heading(x.Text)
			if u, ok := lastRead(x.Text); ok && !h.Raw && h.Stage != "before" {
				h = f.heading(string(KeyOfUnit(u)) + " (" + u.Name + ")")
			}
			if h.Reading == "" || h.Amount || len(h.Readings) > 1 || h.Raw || h.Stage == "before" {
				continue
			}
			name := string(h.Reading)
			if h.Unit.Known() {
				name += " (" + h.Unit.Name + ")"
			}
			if found != "" && found != name {
				return ""
			}
			found = name
		}
	}
	return found
}

// lastRead gives the unit of a reading that ends a line of amounts, "30 ppm = 5 ntu".
func lastRead(text string) (words.Unit, bool) {
	units := counted(text)
	if len(units) < 2 || strings.TrimSpace(text[units[len(units)-1].To:]) != "" {
		return words.Unit{}, false
	}
	u := units[len(units)-1].Unit
	return u, KeyOfUnit(u) != ""
}

// ofJar reports a line with a label of a jar, or none, and what such a line has: raw
// water without a dose is a fact.
func (j *jotting) ofJar(f *Finder) bool {
	dosed := slices.ContainsFunc(j.amounts, func(a amount) bool { return a.dose })
	read := slices.ContainsFunc(j.amounts, func(a amount) bool { return !a.dose })
	stock := slices.ContainsFunc(j.amounts, func(a amount) bool { return a.strong(f.dec) })
	if f.nothing(j.label.Text) && j.none.Blank() && !dosed { // "no alum: 35 NTU"
		j.none, j.noneAt, j.label, j.control = j.label, 0, grid.Cell{}, true
		return read
	}
	j.control = f.heading(j.label.Text).Control && !dosed
	switch {
	case stock && (j.label.Blank() || f.heading(j.label.Text).Raw):
		return false // "Raw 38 NTU, alum 10 g/L, jars 1 L"
	case j.label.Blank():
		return dosed && read
	case f.heading(j.label.Text).Raw:
		return dosed
	}
	return len(j.amounts) > 0 && f.names(j.label.Text)
}

// leastStock is more than any jar is dosed with, mg/L (common practice, no source).
const leastStock = 2000

// strong reports an amount that is a strength of a stock.
func (a amount) strong(d Decimals) bool {
	units := counted(a.text)
	if len(units) == 0 || units[0].Kind != words.Conc {
		return false
	}
	number, _ := words.NumberBefore(a.text, units[0].From)
	x := Numeral(number, d)
	return x.OK() && x.Num*units[0].Factor >= leastStock
}

// jottedCells gives the filled cells of a line with their places. What a separator has
// torn is put together again: words at their blanks, a number at its decimal comma.
func (f *Finder) jottedCells(r int) []grid.Cell {
	var out []grid.Cell
	for c := range f.v.breadth() {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		x.Home = f.v.Address(r, c)
		if len(out) > 0 && f.v.Separator == ' ' {
			out[0].Text += " " + x.Text
			continue
		}
		if n := len(out); n > 0 && f.v.Separator == ',' && endNumber.MatchString(out[n-1].Text) && len(counted(out[n-1].Text)) > 0 && isDigit(x.Text[0]) {
			out[n-1].Text += "," + x.Text
			continue
		}
		out = append(out, x)
	}
	return out
}

// messageStamp begins a message: its day and time, and who sent it.
var messageStamp = words.NewPattern(`^\[?(?:(\d{1,4}[./-]\d{1,2}[./-]\d{1,4}),? +)?\d{1,2}:\d{2}(?::\d{2})?(?: ?[AaPp]\.?[Mm]\.?)?\]?(?: -)? +\pL[^:0-9]{0,30}: +`)

// Unstamped gives a line without the day, time and name of who sent it that begin a message, and its day.
func Unstamped(text string) (rest, day string) {
	m := messageStamp.FindStringSubmatch(text)
	if m == nil {
		return text, ""
	}
	return text[len(m[0]):], m[1]
}

// names reports a label of a jar: a number or letter, or a word for one.
func (f *Finder) names(label string) bool {
	h := f.heading(label)
	if m := jotGlued.FindStringSubmatch(label); m != nil && f.heading(m[1]).Jar { // "jar1"
		return true
	}
	numbered := h.Index != "" || strings.ContainsAny(label, "0123456789") // "jars 500 mL" is no line of a jar
	if _, behind, ok := turned(label); ok && (behind == "" || unjoined(behind) != behind) {
		return true
	}
	return jotLabel.MatchString(words.Fold(label)) || len(label) < 40 && (h.Jar && numbered || h.Control || h.Raw)
}

// counted gives the units of a text that have a number.
func counted(text string) []words.UnitAt {
	return slices.DeleteFunc(slices.Clone(words.Units(text)), func(u words.UnitAt) bool {
		_, ok := words.NumberBefore(text, u.From)
		return !ok
	})
}

// take books one piece of a line.
func (f *Finder) take(j *jotting, piece, at string) {
	for piece != "" {
		units, from := counted(piece), -1
		var u words.UnitAt
		if len(units) > 0 {
			u = units[0]
			number, _ := words.NumberBefore(piece, u.From)
			from = strings.LastIndex(piece[:u.From], number)
		}
		if from < 0 { // none, or a power of ten
			f.takeWords(j, piece, at)
			return
		}
		for from > 0 && strings.ContainsRune("<>~≤≥≈ ", rune(piece[from-1])) && strings.ContainsAny(piece[:from], "<>~") {
			from--
		}
		before, text, after := strings.TrimSpace(piece[:from]), strings.TrimSpace(piece[from:u.To]), piece[u.To:]
		if before != "" && j.label.Blank() && len(j.amounts) == 0 && f.names(before) {
			before = f.takeLabel(j, before, at)
		}
		before = unjoined(before)
		if numberIn.MatchString(before) {
			f.takeWords(j, before, at)
			before = ""
		}
		rest := ""
		if n := numberIn.FindStringIndex(after); n != nil { // another amount, with a unit or by its name
			own := 0
			if dosedBy[u.Kind] && f.heading(before).Chem == "" && f.namesOnlyChemical(after[:n[0]]) {
				own = n[0]
			}
			after, rest = after[:own], strings.TrimSpace(after[own:])
		}
		after = f.takeAside(j, strings.TrimSpace(after), at, u.Unit)
		f.takeAmount(j, amount{text: text, said: strings.TrimSpace(before + " " + text + " " + after), at: at}, strings.TrimSpace(before+" "+after), u)
		piece = rest
	}
}

// asideText is a remark in brackets behind an amount.
var asideText = words.NewPattern(`^\(([^()]*\pL[^()]*)\)[.!]*$`)

// takeAside takes a remark in brackets off an amount, "2.8 NTU (slightly hazy)": words that can tell the
// amount from others stay with it; that it is turbid tells no turbidity from others.
func (f *Finder) takeAside(j *jotting, after, at string, u words.Unit) string {
	m := asideText.FindStringSubmatch(after)
	if m == nil {
		return after
	}
	h := f.heading(m[1])
	if h.Reading == KeyOfUnit(u) {
		h.Reading = ""
	}
	if h.Bears() || h.Timed {
		return after
	}
	j.remark(m[1], at)
	return ""
}

// takeLabel books the label of a jar, with a word for nothing where a dose would stand behind it:
// "jar 1 no alum". It gives what belongs to the amount behind it: the chemical of "jar 1 alum", "jar 2 got".
func (f *Finder) takeLabel(j *jotting, text, at string) (rest string) {
	j.label = grid.Cell{Kind: grid.Textual, Text: text, Home: at}
	if label, behind, ok := turned(text); ok {
		j.label.Text = label
		return behind
	}
	m := jotCounted.FindStringSubmatchIndex(text)
	if m == nil || !f.names(text[:m[3]]) {
		return ""
	}
	switch behind := strings.TrimSpace(text[m[3]:]); {
	case f.nothing(behind):
		j.label.Text, j.none = text[:m[3]], grid.Cell{Kind: grid.Textual, Text: behind, Home: at}
	case f.namesOnlyChemical(behind) || slices.Contains(words.Joints("got"), words.Fold(strings.Fields(behind)[0])):
		j.label.Text, rest = text[:m[3]], behind
	}
	return rest
}

// turned parts what a jar is called by its turn from what stands behind: "the first jar got", "the third".
func turned(text string) (label, behind string, ok bool) {
	folded := words.Fold(text)
	if len(folded) != len(text) { // its places would be others
		return "", "", false
	}
	ts := words.Tokens(folded)
	at := 0
	for at < len(ts) && slices.Contains(words.Joints("article"), ts[at].Text) {
		at++
	}
	if at == len(ts) || !slices.Contains(words.Joints("turn"), ts[at].Text) {
		return "", "", false
	}
	to := at + 1
	if to < len(ts) && ReadHeading(ts[to].Text).Jar {
		to++
	}
	if to == len(ts) {
		return text, "", true
	}
	return strings.TrimSpace(text[:ts[to].From]), text[ts[to].From:], true
}

// unjoined takes the words off the front of an amount that only say that a jar got it, or that it was read,
// "and read", where they are all that stands there or what follows is known: "got alum".
func unjoined(text string) string {
	rest := text
	for rest != "" {
		word, behind, _ := strings.Cut(rest, " ")
		f := words.Fold(word)
		if !slices.ContainsFunc(joiningKinds, func(kind string) bool { return slices.Contains(words.Joints(kind), f) }) {
			break
		}
		rest = strings.TrimSpace(behind)
	}
	if rest == "" || rest != text && ReadHeading(rest).Rest == "" {
		return rest
	}
	return text
}

var joiningKinds = []string{"got", "and", "and of names", "then", "article"}

// nothing reports a word for nothing, with or without a chemical: "none", "no alum".
func (f *Finder) nothing(text string) bool {
	word, rest, _ := strings.Cut(text, " ")
	return ParseText(text, f.dec).State == Zero || ParseText(word, f.dec).State == Zero && (rest == "" || f.namesOnlyChemical(rest))
}

// namesOnlyChemical reports words that name a chemical and no reading.
func (f *Finder) namesOnlyChemical(text string) bool {
	h := f.heading(strings.TrimSpace(text))
	return h.Chem != "" && h.Reading == ""
}

// takeAmount books an amount under the words that stand with it; what is neither dosed
// nor read is a remark.
func (f *Finder) takeAmount(j *jotting, a amount, said string, u words.UnitAt) {
	unit := strings.TrimSpace(a.text[strings.LastIndexAny(a.text, digits)+1:])
	name := unit
	if said != "" {
		name = said + " (" + unit + ")"
	}
	h := f.heading(name)
	a.head = name
	switch {
	case h.Reading != "":
		a.key = string(h.Reading)
	case u.Kind == words.Length:
		a.key = string(u.Kind) + h.Chem + h.Rest
	case dosedBy[u.Kind]:
		a.key, a.dose = string(u.Kind)+h.Chem, true
		if !h.DoseLike() {
			a.head = strings.TrimSpace(dosedAs(u.Kind) + " (" + unit + ") " + said)
		}
	default:
		j.remark(a.said, a.at)
		return
	}
	j.amounts = append(j.amounts, a)
}

func (j *jotting) remark(text, at string) {
	j.rest, j.restAt = append(j.rest, strings.TrimSpace(text)), cmp.Or(j.restAt, at)
}

// dosedBy are the units of what goes into a jar.
var dosedBy = map[words.Kind]bool{words.Conc: true, words.Molar: true, words.Volume: true, words.Drops: true, words.Mass: true, words.Volper: true}

// dosedAs is the word that heads doses in a unit.
func dosedAs(k words.Kind) string {
	switch k {
	case words.Volume:
		return "Stock"
	case words.Drops:
		return "Stock"
	}
	return "Dose"
}

// takeWords books a piece without a unit: the label, a reading by its name ("pH 7.2"),
// or a remark.
func (f *Finder) takeWords(j *jotting, piece, at string) {
	if ns := numberIn.FindAllString(piece, -1); len(ns) == 1 {
		if h := f.heading(piece); h.Reading != "" {
			name := strings.TrimSpace(strings.Replace(piece, ns[0], "", 1))
			j.amounts = append(j.amounts, amount{text: ns[0], said: piece, head: name, key: string(h.Reading), at: at})
			return
		}
	}
	if f.takeNamed(j, piece, at) {
		return
	}
	if len(j.amounts) > 0 && ParseText(piece, f.dec).State == Number {
		j.amounts = append(j.amounts, amount{text: piece, said: piece, bare: true, at: at})
		return
	}
	if len(j.amounts) == 0 && j.label.Blank() {
		j.label = grid.Cell{Kind: grid.Textual, Text: piece, Home: at}
		return
	}
	if f.nothing(piece) && j.none.Blank() && !slices.ContainsFunc(j.amounts, func(a amount) bool { return a.dose }) {
		j.none, j.noneAt = grid.Cell{Kind: grid.Textual, Text: piece, Home: at}, len(j.amounts)
		return
	}
	j.remark(piece, at)
}

// eachNamed is a name with its number behind it.
var eachNamed = words.NewPattern(`(\D*?\pL\D*?)(?:@\s*)?(\d[\d.,]*)`)

// takeNamed books the numbers of a piece that each have a name before them and no unit, "dose 10", "NTU 20 pH 7.1": a
// dose or a reading.
func (f *Finder) takeNamed(j *jotting, piece, at string) bool {
	all := eachNamed.FindAllStringSubmatchIndex(piece, -1)
	end := 0
	var out []amount
	for _, m := range all {
		name := strings.Trim(piece[m[2]:m[3]], " @=:,")
		h := f.heading(name)
		a := amount{text: strings.TrimRight(piece[m[4]:m[5]], ".,"), head: name, at: at}
		a.said, a.dose = a.text, h.DoseLike() && !h.Stock
		switch {
		case m[0] != end || h.Rest != "" || h.Jar || h.Amount:
			return false
		case a.dose:
			a.key = "dose" + h.Chem
		case h.Reading != "":
			a.key = string(h.Reading)
		default:
			return false
		}
		out, end = append(out, a), m[1]
	}
	if len(out) == 0 || strings.Trim(piece[end:], " .,") != "" {
		return false
	}
	j.amounts = append(j.amounts, out...)
	return true
}

// shapeOf gives the amounts that the lines of a stretch share, if enough of them have
// them all, a dose and a reading are among them and no line has others.
func shapeOf(run []jotting) []amount {
	var shape []amount
	for _, j := range run {
		if len(j.amounts) > len(shape) {
			shape = j.amounts
		}
	}
	doses, whole := 0, 0
	shape = slices.Clone(shape)
	for i, a := range shape {
		shape[i].head = usualHead(run, a.key)
		if a.dose {
			doses++
		}
		if slices.IndexFunc(shape, func(o amount) bool { return o.key == a.key }) != i {
			return nil
		}
	}
	for _, j := range run {
		if len(j.amounts) == len(shape) {
			whole++
		}
		if !slices.IsSortedFunc(j.amounts, func(a, b amount) int { return place(shape, a) - place(shape, b) }) ||
			slices.ContainsFunc(j.amounts, func(a amount) bool { return place(shape, a) < 0 }) || !j.control && j.label.Blank() != bareLabels(run) {
			return nil
		}
	}
	if whole < leastJotted || doses == 0 || doses == len(shape) {
		return nil
	}
	return shape
}

// bareLabels reports that the first line of dosed jars has no label.
func bareLabels(run []jotting) bool {
	i := slices.IndexFunc(run, func(j jotting) bool { return !j.control })
	return run[max(i, 0)].label.Blank()
}

// usualHead is the heading that most lines give an amount, the first of equals.
func usualHead(run []jotting, key string) string {
	n, best := map[string]int{}, ""
	for _, j := range run {
		for _, a := range j.amounts {
			if a.key != key {
				continue
			}
			if n[a.head]++; n[a.head] > n[best] {
				best = a.head
			}
		}
	}
	return best
}

// place gives where an amount stands in a shape, -1 for nowhere.
func place(shape []amount, a amount) int {
	return slices.IndexFunc(shape, func(o amount) bool { return o.key == a.key })
}

// jottedTable writes the lines as a table.
func (f *Finder) jottedTable(run []jotting, shape []amount) *Area {
	g := f.v.Area
	out := &Area{Sheet: rewritten(g), Origin: g, Box: grid.Span{R0: run[0].row, R1: run[len(run)-1].row, C1: f.v.breadth() - 1}}
	text := func(s, at string) grid.Cell { return grid.Cell{Kind: grid.Textual, Text: s, Home: at} }
	first := f.v.Address(run[0].row, 0)
	head := []grid.Cell{text("Jar", first)}
	for _, a := range shape {
		head = append(head, text(a.head, a.at))
	}
	out.Rows = [][]grid.Cell{append(head, text("Remarks", first))}
	for _, j := range run {
		row := make([]grid.Cell, len(head)+1)
		row[0] = j.label
		for _, a := range j.amounts {
			k := place(shape, a)
			row[1+k] = text(a.text, a.at)
			if a.head != shape[k].head { // what only this line says stays with its number
				row[1+k].Text = a.said
			}
		}
		if !j.none.Blank() && !j.undosed(row, shape) {
			j.remark(j.none.Text, j.none.Home)
		}
		if len(j.rest) > 0 {
			row[len(head)] = text(strings.Join(j.rest, ", "), j.restAt)
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// undosed puts the word for nothing under the doses that a line does not have, where it
// stands in their place.
func (j *jotting) undosed(row []grid.Cell, shape []amount) bool {
	put := false
	for k, a := range shape {
		before := slices.ContainsFunc(j.amounts[:j.noneAt], func(x amount) bool { return place(shape, x) > k })
		after := slices.ContainsFunc(j.amounts[j.noneAt:], func(x amount) bool { return place(shape, x) < k })
		if a.dose && row[1+k].Blank() && !before && !after {
			row[1+k], put = j.none, true
		}
	}
	return put
}

// headTexts names the columns of a rewritten table.
func (g *Area) headTexts() string {
	var out []string
	for _, x := range g.Rows[0] {
		out = append(out, fmt.Sprint(x.Text))
	}
	return strings.Join(out, ", ")
}
