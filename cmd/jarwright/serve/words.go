package serve

import (
	"cmp"
	"html"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/site"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"jarwright/templates/desk"
)

// controls are what the page has in place of flags of the command line, each as a sentence names it. Those that say how
// sheets are read are in [readingFields].
var controls = map[string]string{
	"target": "the target field",
	"sure":   "“How sure it must be”",
	"date":   "the field “Day”",
	"units":  "the field “Units”",
	"months": "“Months from there”",
	"jars":   "“Jars in the next test”",
	"price":  "the field of its price",
	"site":   "a site workbook that is open here",
	benchKey: "“Use … for this site”",

	"decimal": readOtherwise("Fractions are written with"),

	"freight":    inPrices,
	"disposal":   inPrices,
	"alkali":     inPrices,
	"acid":       inPrices,
	"dry-solids": "the site workbook, under Solids",
	"alkalinity": "the site, under Water",
	"basicity":   "the site workbook, under Chemicals",

	// The form in which jars are typed.
	"raw":      "the field of the raw water",
	"jar":      "the row of the jar",
	"doses":    "the doses of the jars",
	"readings": "the readings of the jars",
	"from":     "the doses of the jars",

	// Today's water, and what a log of a unit leaves open.
	"temperature": "“Its temperature”",
	"uv254":       "“Its UV254”",
	"to":          "“Reading to clear to”",
	"volume":      "“All water that goes round”",
	"flow":        "“Flow through the unit”",

	"name": "“Name of the test”",
}

const inPrices = "the site workbook, under Prices"

// readOtherwise is a field that says how a sheet is to be read.
func readOtherwise(label string) string { return "“" + label + "” under “Read it otherwise”" }

// control is what the page has in place of a flag. What it has nothing for it calls by the flag's own name.
func control(flag string) (words string, ok bool) {
	if i := slices.IndexFunc(readingFields, func(f desk.Field) bool { return f.Name == flag }); i >= 0 {
		return readOtherwise(readingFields[i].Label), true
	}
	if words, ok = controls[flag]; ok {
		return words, true
	}
	return "a setting that only a terminal has, “" + strings.ReplaceAll(flag, "-", " ") + "”", false
}

// wording is how a piece of a sentence that is for a terminal reads on the page.
type wording struct {
	of  *regexp.Regexp
	say func(m []string) string
}

// value is a flag's value between quotes, as it stands in sentences.
const value = `(?: "([^"]*)")?`

// wordings are tried in turn on all that commands say.
var wordings = []wording{
	{regexp.MustCompile(`\), 90[ \x{a0}]%[ \x{a0}]interval(\.?\s*)$`), func(m []string) string {
		return "), 9 times in 10" + m[1]
	}},
	{regexp.MustCompile(`\bgive it with --site\b`), func([]string) string { return "drop that here too" }},
	{regexp.MustCompile(`with --price "[^"=]*=([\d.]+)[^"]*"`), func(m []string) string { return "in " + controls["price"] + ", such as " + m[1] }},
	{regexp.MustCompile(`([Nn])ame the columns with --column "[^"]*" and --column "[^"]*", or point at the table with --sheet and --range`), func(m []string) string {
		return map[string]string{"N": "S", "n": "s"}[m[1]] + "ay by “change” which column is the dose and which a reading, or under “Read it otherwise” which sheet and cells hold the table; where it is no jar test, put it away"
	}},
	{regexp.MustCompile(`a day of it as date in the site under Place, or use --date ([0-9-]+)`), func(m []string) string {
		return "it in “Month” beside this answer (" + m[1] + ")"
	}},
	{regexp.MustCompile(`write it with its unit, of a control "0 mg/L"`), func([]string) string { return "type it; of a control 0" }},
	{regexp.MustCompile("; ['\"]jarwright [a-z]+ --help['\"] lists the flags that override what was inferred"), func([]string) string {
		return "; “Read it otherwise” on the page “Bench” overrides what was inferred"
	}},
	{regexp.MustCompile("(?:[`“]|['\"]jarwright )(?:jarwright )?([a-z]+)(?: --date(?: ([0-9-]+))?)?(?: --[a-z]+)*[`”'\"]"), func(m []string) string {
		title, ok := pageOf(m[1])
		if !ok {
			return ""
		}
		return title + map[bool]string{true: " for " + m[2]}[m[2] != ""]
	}},
	{regexp.MustCompile("[`“\"]jarwright chemical[^`”\"]*[`”\"]"), func([]string) string { return "the catalogue of chemicals (at a terminal)" }},
	{regexp.MustCompile(`[Ii]nvalid argument "[^"]*" for "(?:-\w, )?--([a-z][a-z0-9-]+)" flag: `), func(m []string) string {
		words, _ := control(m[1])
		if i := slices.IndexFunc(ofWater, func(flag string) bool { return flag == m[1] }); i >= 0 { // only past tests are asked for by these
			words = "“" + waterAsks[i].label + "”"
		}
		return upper(words) + ": "
	}},
	{regexp.MustCompile(`with --raw, such as --raw "([^"]*)"`), func(m []string) string { return "in “" + waterAsks[0].label + "” (" + m[1] + ")" }},
	{regexp.MustCompile(`say how turbid today's water is too: --raw "([^"]*)"`), func(m []string) string {
		return "fill in “" + waterAsks[0].label + "” too (" + m[1] + ")"
	}},
	{regexp.MustCompile(`look at what was understood with: jarwright read \S.*`), func([]string) string {
		return "drop it on the page “Bench” to see what was understood of it"
	}},
	{regexp.MustCompile(`["“]jarwright new trial FILE[^"”]*["”]`), func([]string) string { return "the workbook of a trial (made at a terminal)" }},
	{regexp.MustCompile(`--column names a heading "([^"]*)"`), func(m []string) string { return "A change names the heading “" + m[1] + "”" }},
	{regexp.MustCompile(`in --column "([^"=]*)=([^"]*)"`), func(m []string) string { return "in “change” above “" + m[1] + "” (" + m[2] + ")" }},
	{regexp.MustCompile(`(?:(with|by|use) )?--column(?: "([^"=]*)=([^"]*)")?`), func(m []string) string { return columnWords(m[1], m[2], m[3]) }},
	{regexp.MustCompile(`(?i)\b(add|give|use|set)( it)? --([a-z][a-z0-9-]+)` + value), func(m []string) string {
		words, _ := control(m[3])
		return m[1][:1] + map[string]string{"a": "dd it in", "g": "ive it in", "u": "se", "s": "et it in"}[strings.ToLower(m[1][:1])] + " " + words + said(m[4])
	}},
	{regexp.MustCompile(`\bwith --site\b`), func([]string) string { return "with " + controls["site"] }},
	{regexp.MustCompile(`\b(with|by|in) --([a-z][a-z0-9-]+)` + value), func(m []string) string {
		words, _ := control(m[2])
		return "in " + words + said(m[3])
	}},
	{regexp.MustCompile(`--([a-z][a-z0-9-]+)` + value), func(m []string) string {
		words, _ := control(m[1])
		return words + said(m[2])
	}},
}

// said is a flag's value behind the control that it goes into.
func said(value string) string {
	if value == "" || value == "…" {
		return ""
	}
	return " (" + value + ")"
}

// columnWords are the words for what a column is said to be.
func columnWords(before, heading, meaning string) string {
	at := "“change” above the column"
	if heading != "" && heading != "heading" {
		at = "“change” above “" + heading + "”"
	}
	if before != "" {
		at = "by " + at
	}
	if meaning == "ignore" {
		meaning = "nothing: leave it out"
	}
	return at + said(meaning)
}

// pageOf is the title of the page that shows what a command answers.
func pageOf(command string) (string, bool) {
	for _, p := range steps {
		if len(p.command) > 0 && p.command[0] == command {
			return "“" + p.title + "”", true
		}
	}
	return "", false
}

func upper(s string) string {
	r := []rune(s)
	for i := range r {
		if r[i] != '“' {
			r[i] = []rune(strings.ToUpper(string(r[i])))[0]
			break
		}
	}
	return string(r)
}

// onPage is a sentence of a command in the words of the page.
func onPage(text string) string {
	if !strings.Contains(text, "--") && !strings.Contains(text, "interval") && !strings.ContainsAny(text, "`“'\"") {
		return text
	}
	for _, w := range wordings {
		text = w.of.ReplaceAllStringFunc(text, func(found string) string {
			return cmp.Or(w.say(w.of.FindStringSubmatch(found)), found)
		})
	}
	return text
}

// notesOnPage are notes in the words of the page.
func notesOnPage(l note.List) note.List {
	out := slices.Clone(l)
	for i := range out {
		out[i].Message, out[i].Remedy = onPage(out[i].Message), onPage(out[i].Remedy)
	}
	return out
}

// betweenTags parts a page into its tags and the words between them.
var betweenTags = regexp.MustCompile(`(?s)<(?:pre|code|svg|script)\b.*?</(?:pre|code|svg|script)>|<[^>]*>|[^<]+`)

// matterOnPage puts what a report says into the words of the page; pictures, working and what is to be typed stay.
// Cells of a site that was made here, which nobody has seen, are told by the field of the form that they were made of.
func matterOnPage(matter template.HTML, st state) template.HTML {
	made := formedBy(st)
	return template.HTML(betweenTags.ReplaceAllStringFunc(string(matter), func(piece string) string {
		if piece[0] == '<' || strings.TrimSpace(piece) == "" {
			return piece
		}
		plain := html.UnescapeString(piece)
		told := made.placesOnPage(onPage(plain))
		if told == plain {
			return piece
		}
		return html.EscapeString(told)
	}))
}

// formed is a workbook that the form of a site made, and what was typed into that; without a workbook there is none.
type formed struct {
	st   state
	book func() grid.File
}

// formedBy finds that workbook on the desk.
func formedBy(st state) formed {
	i := slices.IndexFunc(st.Files, func(f File) bool { return f.Name == siteFile && f.Made })
	if i < 0 {
		return formed{}
	}
	return formed{st, sync.OnceValue(func() grid.File {
		book, _ := grid.Open(siteFile, st.Files[i].Data, grid.Words{}) // written by ourselves
		return book
	})}
}

// siteCell is a cell of the workbook that the form of a site makes.
var siteCell = regexp.MustCompile(regexp.QuoteMeta(siteFile) + `: ([A-Z][a-z]+)(?:(?:!|, cell )([A-Z]+\d+)(?::[A-Z]+\d+)?)?`)

// acceptance is how a command says that a stop can be accepted in a workbook.
var acceptance = regexp.MustCompile(`enter ["“][a-z0-9-]+["”] in the site under Accepted with who takes the risk and why`)

// cleansWords say how a site that the form made comes by a tank to clean up.
const cleansWords = "On the page “Site” press “Change”, then “a tank is cleaned up”"

// placesOnPage tells cells of that workbook by the fields that fill them.
func (m formed) placesOnPage(text string) string {
	if m.book == nil {
		return text
	}
	text = strings.NewReplacer("in the site under Prices", "in “Its price” of the place", "Name its row in Tanks", cleansWords, "name its row in Tanks", strings.ToLower(cleansWords[:1])+cleansWords[1:]).Replace(text)
	text = acceptance.ReplaceAllString(text, `press “Somebody takes the risk”`)
	return siteCell.ReplaceAllStringFunc(text, func(found string) string {
		c := siteCell.FindStringSubmatch(found)
		if f, ok := m.fieldAt(note.Place{Sheet: c[1], Cell: c[2]}); ok {
			return "“" + f.label + "” of the place"
		}
		return "the form of the place"
	})
}

// fieldAt is the field of the form that fills a cell.
func (m formed) fieldAt(at note.Place) (field, bool) {
	r, k, ok := grid.ParseCell(at.Cell)
	if !ok || m.book == nil {
		return field{}, false
	}
	sheets := m.book().Sheets
	i := slices.IndexFunc(sheets, func(s *grid.Sheet) bool { return s.Name == at.Sheet })
	if i < 0 {
		return field{}, false
	}
	rows := sheets[i].Rows
	text := func(r, k int) string {
		if r < 0 || r >= len(rows) || k >= len(rows[r]) {
			return ""
		}
		return strings.TrimSpace(rows[r][k].Text)
	}
	known := site.Sheets()
	sheet := known[slices.IndexFunc(known, func(s site.Sheet) bool { return s.Name == at.Sheet })]
	var name, row string
	if f, is := sheet.Field(text(r, 0)); !sheet.List && is {
		name = f.Name
	} else if sheet.List && k < len(sheet.Fields) {
		name, row = sheet.Fields[k].Name, text(r, 0)
	}
	list := fieldsOf(m.st, m.st.draft().Get(passesKey), bench{file: "x", takes: m.st.draft().Get(codeField)})
	for _, exact := range []bool{true, false} {
		for _, f := range list {
			if f.sheet == at.Sheet && f.name == name && (f.row == row || !exact) {
				return f, true
			}
		}
	}
	return field{}, false
}
