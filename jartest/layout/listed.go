package layout

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A line may be a name and its numbers, "Alum ppm: 0 12 24 36". The name ends at a colon or
// an equals sign, or else at the first number, however many words it has. Such lines under one
// another are a table whose jars stand across, and the numbers of a name go by their order:
// lines of unequal counts do not tell which jar lacks its number.

// list is a name and its numbers.
type list struct {
	row    int
	name   string
	values []grid.Cell
}

// listLine is a line made of lists. It is celled where the sheet itself gives the name and
// each of the numbers a cell; where signs part the cells, that is as it is meant.
type listLine struct {
	lists  []list
	celled bool
}

// nameEnds are the signs that part a name from its numbers.
const nameEnds = " \t:=;|-–→>"

// leastListed is how many numbers one of the lists of a table has at least.
const leastListed = 3

// listItem is a number of a list, with a sign of a limit, or a mark for none.
var listItem = words.NewPattern(`^(?:[<>≤≥~≈]\s?)?[+-]?\d+(?:\.\d+)?(?:,\d+)*(?:\.\d+)?(?:$|[\s,;|/])|^(?:-+|–|—|n/?a|nd)(?:$|[\s,;|/])`)

// itemSign is what parts two numbers.
var itemSign = words.Jointed(`^,? (?:{and}|{and of names}) |^\s*[;|/]\s*|^\s*,\s+|^,|^\s+`)

// lastSign is what may part the last of a list from those before it, whatever parts these.
var lastSign = words.NewPattern(`^,? ?\pL+$`)

// listedJars is what a sentence says of whose numbers follow, "Jars 1 to 6 got".
var listedJars = words.NewPattern(`(\pL+) (\d{1,2}) ?(?:to|-|–|bis|a|à|til|tot|do) ?(\d{1,2}) (?:got|had|gave|were given|received|bekamen|erhielten|hatten)\b ?`)

// withoutJars leaves out of the name of a list the jars that its numbers are of, where there are as many.
func withoutJars(name string, n int) string {
	m := listedJars.FindStringSubmatch(name)
	if m == nil || !ReadHeading(m[1]).Jar {
		return name
	}
	from, to := Numeral(m[2], DecimalsUnknown).Num, Numeral(m[3], DecimalsUnknown).Num
	if int(to-from)+1 != n {
		return name
	}
	return strings.Replace(name, m[0], "", 1)
}

// Listed finds the lines that are a name and its numbers, each stretch of them outside the claimed
// blocks as a table of its own.
func (f *Finder) Listed(claimed []grid.Span) ([]*Area, note.List) {
	var out []*Area
	var notes note.List
	var run []listLine
	flush := func() {
		if a, n := f.listedTable(run); n != nil {
			out = append(out, a)
			notes.Add(*n)
		}
		run = nil
	}
	for r := range min(f.v.height(), MostLines) {
		if l := f.listLine(r); len(l.lists) > 0 && !slices.ContainsFunc(claimed, func(s grid.Span) bool { return s.Has(r, s.C0) }) {
			if f.beginsAgain(run, l) {
				flush()
			}
			run = append(run, l)
		} else if !f.blankRow(r) || f.blankRow(r+1) {
			flush()
		}
	}
	flush()
	return out, notes
}

// beginsAgain reports a line with the first name of a run that has doses and readings, each on its line:
// another test begins with it.
func (f *Finder) beginsAgain(run []listLine, l listLine) bool {
	all := listsIn(run)
	return len(run) > 0 && len(all) == len(run) && SameText(all[0].name, l.lists[0].name) && f.listsJars(all)
}

// listsIn gives the lists of a run in their order.
func listsIn(run []listLine) (all []list) {
	for _, l := range run {
		all = append(all, l.lists...)
	}
	return all
}

// listLine takes a line apart; it has no lists where the line is something else.
func (f *Finder) listLine(r int) (l listLine) {
	var text strings.Builder
	var starts []int // of the cells in the text
	var cells []grid.Cell
	if f.v.RowHidden(r) {
		return l
	}
	for c := range f.v.breadth() {
		x := f.v.At(r, c)
		if x.Blank() {
			continue
		}
		if x.Kind != grid.Textual && (x.Kind != grid.Numeric || x.Date() || len(cells) == 0) || len(x.Text) > LongText {
			return listLine{}
		}
		if x.Home = f.v.Address(r, c); len(cells) > 0 {
			text.WriteString(f.joint())
		}
		starts, cells = append(starts, text.Len()), append(cells, x)
		text.WriteString(x.Text)
	}
	named := func(x grid.Cell) bool { // and a number in one cell
		return strings.ContainsAny(x.Text, digits) && strings.ContainsFunc(x.Text, unicode.IsLetter)
	}
	if len(cells) == 0 || f.v.Separator != ' ' && !slices.ContainsFunc(cells, named) {
		return l
	}
	home := func(at int) grid.Cell {
		i, found := slices.BinarySearch(starts, at)
		if !found {
			i--
		}
		return cells[i]
	}
	l.lists = listsOf(text.String(), home)
	for i := range l.lists {
		l.lists[i].row = r
	}
	l.celled = len(l.lists) == 1 && !torn(l.lists[0], cells[0].Home)
	aligned := f.v.Separator == ' '
	if aligned && l.celled {
		l.celled = strings.Trim(cells[0].Text, nameEnds) == l.lists[0].name
	}
	if l.celled && !aligned || slices.ContainsFunc(l.lists, func(x list) bool { return len(x.values) < leastListed && !f.heading(x.name).Core() }) {
		return listLine{}
	}
	return l
}

// torn reports a list of which two parts stand in one cell; name is the cell of its name.
func torn(l list, name string) bool {
	before := name
	for _, x := range l.values {
		if x.Home == before {
			return true
		}
		before = x.Home
	}
	return false
}

// joint puts the cells of a line together again.
func (f *Finder) joint() string {
	if f.v.Separator == ' ' {
		return " "
	}
	return "; "
}

// listsOf takes a text apart into names with their numbers; home gives the cell that holds a
// byte of it. A unit right behind the numbers is theirs.
func listsOf(text string, home func(at int) grid.Cell) []list {
	var out []list
	for at := 0; at < len(text); {
		from, to, values := firstList(text, at, home)
		if values == nil {
			if len(out) > 0 {
				out[len(out)-1].name += " " + strings.TrimSpace(text[at:])
			}
			break
		}
		name := strings.Trim(text[at:from], nameEnds)
		if n := len(out); n > 0 {
			for _, u := range words.Units(name) {
				if u.From == 0 {
					out[n-1].name += " (" + name[:u.To] + ")"
					name = strings.TrimSpace(name[u.To:])
					break
				}
			}
		}
		out = append(out, list{name: name, values: values})
		at = to
	}
	for i, l := range out {
		if !strings.ContainsFunc(l.name, unicode.IsLetter) {
			return nil
		}
		out[i].name = strings.TrimSpace(withoutJars(l.name, len(l.values)))
	}
	return out
}

// firstList finds the first numbers that stand in a row in a text from a byte on: behind a
// colon or an equals sign if there is one, else behind a word.
func firstList(text string, at int, home func(int) grid.Cell) (from, to int, values []grid.Cell) {
	starts := make([]int, 0, 8)
	if i := strings.IndexAny(text[at:], ":="); i >= 0 {
		starts = append(starts, at+i+1)
	}
	for i := at; i < len(text); i++ {
		if i > at && strings.ContainsRune(" \t;|", rune(text[i-1])) {
			starts = append(starts, i)
		}
	}
	for _, s := range starts {
		s += len(text[s:]) - len(strings.TrimLeft(text[s:], " \t;|"))
		if to, values := itemsAt(text, s, home); len(values) > 1 {
			return s, to, values
		}
	}
	return 0, 0, nil
}

// itemsAt takes the numbers that begin at a byte, parted by signs of one kind, and gives
// where they end.
func itemsAt(text string, at int, home func(int) grid.Cell) (end int, values []grid.Cell) {
	kind := ""
	for at < len(text) {
		m := listItem.FindStringIndex(text[at:])
		if m == nil {
			break
		}
		item := strings.TrimRight(text[at:at+m[1]], " \t,;|/")
		for i, part := range commaParted(item) {
			if i > 0 && kind != "," && kind != "" {
				return end, nil
			}
			if i > 0 {
				kind = ","
			}
			x := home(at)
			values = append(values, grid.Cell{Kind: grid.Textual, Text: part, Home: x.Home})
			if x.Kind == grid.Numeric && x.Text == part {
				values[len(values)-1] = x
			}
		}
		at += len(item)
		end = at
		sign := itemSign.FindString(text[at:])
		if sign == "" {
			break
		}
		k := cmp.Or(strings.TrimSpace(sign), " ")
		if lastSign.MatchString(k) {
			k = cmp.Or(kind, " ")
		}
		if kind != "" && k != kind {
			break
		}
		kind, at = k, at+len(sign)
	}
	return end, values
}

// commaParted parts what commas alone part: a number has one at most for its fraction.
func commaParted(item string) []string {
	if strings.Count(item, ",") < 2 {
		return []string{item}
	}
	return strings.Split(item, ",")
}

// listedTable writes lines of lists as a table with a column for each name; it is nil for
// lines that are none, and has no cells where they do not go together.
func (f *Finder) listedTable(run []listLine) (*Area, *note.Note) {
	all, most, equal := listsIn(run), 0, true
	celled := !slices.ContainsFunc(run, func(l listLine) bool { return !l.celled })
	for _, l := range all {
		equal = equal && len(l.values) == len(all[0].values)
		most = max(most, len(l.values))
	}
	if most < leastListed || celled && (equal || !f.v.Loose) || !f.listsJars(all) || f.headed(all[0].row) {
		return nil, nil
	}
	g := f.v.Area
	a := &Area{Sheet: rewritten(g), Origin: g, Box: grid.Span{R0: all[0].row, R1: all[len(all)-1].row, C1: f.v.breadth() - 1}}
	at := f.v.PlaceAt(all[0].row, 0)
	if !equal {
		odd := all[slices.IndexFunc(all, func(l list) bool { return len(l.values) != len(all[0].values) })]
		n := note.Fault("lists-unequal", "%q has %d numbers and %q has %d: which jar lacks its number cannot be told", all[0].name, len(all[0].values), odd.name, len(odd.values)).
			At(f.v.PlaceAt(odd.row, 0)).Do(`write "-" in the place of the number that is missing`)
		return a, &n
	}
	for i := range most + 1 {
		row := make([]grid.Cell, len(all))
		for c, l := range all {
			if i > 0 {
				row[c] = l.values[i-1]
				continue
			}
			row[c] = grid.Cell{Kind: grid.Textual, Text: l.name, Home: f.v.Address(l.row, 0)}
		}
		a.Rows = append(a.Rows, row)
	}
	n := note.New(note.Info, "listed-lines", "lines of a name and its numbers are read as a table, by their order: %s", a.headTexts()).At(at)
	return a, &n
}

// listsJars reports names of what a jar test has, each once: something dosed and something
// read.
func (f *Finder) listsJars(all []list) bool {
	dosed, read := false, false
	for i, l := range all {
		h := f.heading(l.name)
		dosed = dosed || h.DoseLike() || h.Reading == "" && (dosedBy[h.Unit.Kind] || IsMass(h.Unit))
		read = read || h.Reading != "" || h.Removal
		if slices.ContainsFunc(all[:i], func(o list) bool { return SameText(o.name, l.name) }) {
			return false
		}
	}
	return dosed && read
}
