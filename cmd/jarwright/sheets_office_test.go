package main

import (
	"bytes"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// printed is a workbook and how many sheets of paper it takes at most.
type printed struct {
	name  string
	write func(t *testing.T, file string)
	most  int
	// pages are those of each of its sheets that are bounded apart.
	pages map[string]int
}

// fullSite is a site with every field filled in, as its example or the first of its choices, and six of each thing.
func fullSite() site.Values {
	v := site.Values{}
	for _, sh := range site.Sheets() {
		things := 1
		if sh.List {
			things = 6
		}
		for range things {
			row := map[string]string{}
			for _, f := range sh.Fields {
				switch {
				case f.Example != "":
					row[f.Name] = f.Example
				case len(f.Choices) > 0:
					row[f.Name] = f.Choices[0]
				case f.Numeric:
					row[f.Name] = "12.5"
				default:
					row[f.Name] = "as written here"
				}
			}
			v[sh.Name] = append(v[sh.Name], row)
		}
	}
	return v
}

// printedBooks lists a workbook of every command, on A4 and on Letter.
func printedBooks(t *testing.T, bench, place, tank string) (all []printed) {
	t.Helper()
	one := func(sheets ...string) map[string]int {
		m := map[string]int{}
		for _, s := range sheets {
			m[s] = 1
		}
		return m
	}
	past, log := pastSheets(t, 12), filepath.Join(t.TempDir(), "log.csv")
	write(t, log, string(demoLogText()))
	for _, paper := range []string{"a4", "letter"} {
		add := func(name string, most int, pages map[string]int, args ...string) {
			all = append(all, printed{name + "-" + paper, by(append(args, "-o", "FILE", "--paper", paper)...), most, pages})
		}
		sheets := func(name string, most int, pages map[string]int, args ...string) {
			all = append(all, printed{name + "-" + paper, by(append(args, "--paper", paper)...), most, pages})
		}
		whole := func(name string, most int, args ...string) { sheets(name, most, one("Read me"), args...) }
		whole("site-demo", 8, "new", "site", "FILE")
		whole("site-blank", 8, "new", "site", "FILE", "--blank")
		whole("site-us", 8, "new", "site", "FILE", "--units", "us")
		whole("site-short", 4, "new", "site", "FILE", "--short")
		for _, units := range []quantity.System{quantity.Metric, quantity.US} {
			all = append(all, printed{"site-full-" + string(rune('0'+int(units))) + "-" + paper, func(t *testing.T, file string) {
				b := book.New(book.Meta{Title: "Site", Paper: paper})
				b.SiteIn(fullSite(), units)
				var buf bytes.Buffer
				if err := b.Write(&buf); err != nil {
					t.Fatal(err)
				}
				write(t, file, buf.String())
			}, 12, one("Read me")})
		}
		add("plan", 11, one("Summary", "What to do", "Change it"), "plan", place)
		add("clarify", 9, one("Summary", "What to do", "Change it"), "clarify", place)
		add("budget", 9, one("Summary"), "budget", place)
		add("pump", 5, one("Summary"), "pump", place)
		add("fit", 6, one("Summary"), "fit", bench, "--target", "turbidity <= 5 NTU")
		add("next", 3, one("Summary"), "next", bench, "--target", "turbidity <= 5 NTU")
		add("read", 3, one("Summary"), "read", bench)
		add("compare", 6, one("Summary", "Change it"), "compare", bench, "--target", "turbidity <= 5 NTU", "--site", place)
		add("track", 4, one("Summary"), "track", past, "--raw", "85 NTU", "--date", "2010-02-01")
		add("track-log", 3, one("Summary"), "track", log)
		add("trial-unit", 5, one("Summary"), "trial", tank)
		sheets("trial-log", 3, one("Run 1", "Run 2", "Guide"), "new", "trial", "FILE", "--of", "unit", "--volume", "60 m3", "--flow", "12 m3/h", "--run", "with 0.2 mg/L polymer", "--run", "without polymer")
		add("restock", 3, one("Summary", "Change it"), "restock", "--residual", "17 mg/L", "--limit", "0.0271 mg/L", "--volume", "60 m3", "--flow", "6 m3/h")
		add("quick-plan", 7, one("Summary", "Change it"), "plan", "--flow", "3.6 m3/h", "--dose", "12.5 mg/L", "--basis", "as alum 14-hydrate",
			"--strength", "48.5 %", "--density", "1.335 kg/L", "--stock", "150 g/L", "--pump-max", "2 L/h")
		add("pond", 3, one("Summary", "Change it"), "plan", "--pond", "60 x 40 x 1.2 m slope 2", "--dose", "20 g/t", "--basis", "as product", "--chemical", "gypsum",
			"--bag", "25 kg", "--bucket", "5 kg")
		add("hold", 8, one("Summary"), "clarify", "--volume", "14 m3", "--flow", "1 m3/h", "--capture", "70 %", "--feed", "4 kg/d", "--hold", "300 mg/L")
	}
	return all
}

var (
	footLine = regexp.MustCompile(`(?m)^.*\S +page +\d+ +of +\d+\s*$`)
	wordBox  = regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)</word>`)
)

// TestOfficePrint has the office suite print a workbook of every command: no more sheets of paper than it should take, none of them
// empty, a summary on one, no number too wide for its cell, and no letters below two thirds of the workbook's ten points.
func TestOfficePrint(t *testing.T) {
	t.Parallel()
	needTool(t, "JARWRIGHT_REQUIRE_OFFICE", "soffice", "libreoffice")
	dir := t.TempDir()
	bench, place := filepath.Join(dir, "storm.csv"), filepath.Join(dir, "site.xlsx")
	write(t, bench, benchCSV)
	by("new", "site", "FILE")(t, place)
	tank := filledUnitTrial(t, dir)
	books := printedBooks(t, bench, place, tank)
	var files []string
	for _, b := range books {
		files = append(files, filepath.Join(dir, b.name+".xlsx"))
		b.write(t, files[len(files)-1])
	}
	out := convert(t, "pdf", files...)
	for _, b := range books {
		t.Run(b.name, func(t *testing.T) { b.holds(t, out.wait(t, b.name+".pdf")) })
	}
}

// holds looks at the pages of a workbook that was printed.
func (b printed) holds(t *testing.T, pdf string) {
	t.Helper()
	text, err := exec.CommandContext(t.Context(), needTool(t, "JARWRIGHT_REQUIRE_OFFICE", "pdftotext"), "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	if len(pages) > b.most {
		t.Errorf("%d pages, %d at most", len(pages), b.most)
	}
	of, feet := map[string]int{}, make([]string, len(pages))
	for i, p := range pages {
		foot := footLine.FindString(p)
		feet[i] = foot
		words := len(strings.Fields(strings.Replace(p, foot, "", 1)))
		if foot == "" || words < 3 {
			t.Errorf("page %d has %d words and the foot %q", i+1, words, foot)
		}
		if strings.Contains(p, "###") {
			t.Errorf("page %d has a number too wide for its cell", i+1)
		}
		for sheet := range b.pages {
			if regexp.MustCompile(`\s` + regexp.QuoteMeta(sheet) + `\s+page`).MatchString(foot) {
				of[sheet]++
			}
		}
	}
	for sheet, want := range b.pages {
		if n := of[sheet]; n != want && !(sheet == "What to do" && n == 0) { // where the summary had room for it
			t.Errorf("%s takes %d pages, want %d", sheet, n, want)
		}
	}
	b.legible(t, pdf, feet)
}

// legible looks at how high the words are: letters of eight points, the least of a workbook, from ascender to descender 1.149 times that in
// Liberation Sans (the font's own table of lines), which stands in for Arial, at two thirds of their size or a little less. The accounts of a
// store and of the days, fourteen columns wide and more, are allowed less. Words that run upwards are left out: wider for each of their letters than they are high, as far as
// three letters or more tell.
func (b printed) legible(t *testing.T, pdf string, feet []string) {
	t.Helper()
	const lines, small = 1.149, 8.0
	boxes := filepath.Join(t.TempDir(), "boxes.html")
	if out, err := exec.CommandContext(t.Context(), "pdftotext", "-bbox", pdf, boxes).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	data, err := os.ReadFile(boxes)
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(string(data), "<page ")[1:]
	if len(pages) != len(feet) {
		t.Fatalf("%d pages with boxes, %d with text", len(pages), len(feet))
	}
	for i, page := range pages {
		scale := 0.64
		if strings.Contains(feet[i], "Store ") || strings.Contains(feet[i], " Days ") {
			scale = 0.55
		}
		for _, m := range wordBox.FindAllStringSubmatch(page, -1) {
			var at [4]float64
			for k := range at {
				if at[k], err = strconv.ParseFloat(m[1+k], 64); err != nil {
					t.Fatal(err)
				}
			}
			letters := utf8.RuneCountInString(html.UnescapeString(m[5]))
			wide, high := (at[2]-at[0])/float64(max(letters, 1)), at[3]-at[1]
			if letters > 2 && high > wide && high < scale*small*lines {
				t.Errorf("page %d: %q is %.1f points high", i+1, m[5], high)
				break
			}
		}
	}
}

// TestBlankFieldsFold: what nobody filled in and few need is out of sight in a group, and nothing else is; a folded cell that is filled in
// is read as any other.
func TestBlankFieldsFold(t *testing.T) {
	file := filepath.Join(t.TempDir(), "site.xlsx")
	answer(t, "new", "site", file)
	filledIn(t, file, map[string]map[string]any{"Water": {"B15": 3.25}, "Chemicals": {"R9": "30 NTU=12 mg/L; 0 NTU=6 mg/L"}, "Tanks": {"B18": "spare", "C18": "other", "D18": 7}})
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.xlsx", bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Water.CO2.V.In("mg/L"); got != 3.25 {
		t.Errorf("a folded row reads %v", got)
	}
	if got := s.Chemicals[0].ByTurbidity.V; len(got) == 0 {
		t.Error("a folded column is not read")
	}
	if got := s.Tanks[len(s.Tanks)-1].Name.V; got != "spare" {
		t.Errorf("a folded row of a list reads %q", got)
	}
}
