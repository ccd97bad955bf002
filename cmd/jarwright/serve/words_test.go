package serve

import (
	"go/ast"
	"go/parser"
	"go/token"
	"html/template"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/templates/desk"
)

// TestOnPage: what is said at a terminal reads on the page as what can be done there; the user's own words stay.
func TestOnPage(t *testing.T) {
	for said, want := range map[string]string{
		`state it with --stock "10 g/L"`:                                                               "state it in “Strength of the stock” under “Read it otherwise” (10 g/L)",
		`Invalid argument "x" for "-t, --target" flag: target "x" has no <= or >=`:                     `The target field: target "x" has no <= or >=`,
		`invalid argument "10 buckets" for "--stock" flag: buckets is not known`:                       "“Strength of the stock” under “Read it otherwise”: buckets is not known",
		`--column names a heading "Turb1" that no table has`:                                           `A change names the heading “Turb1” that no table has`,
		`state it with --column "Result=turbidity NTU"`:                                                `state it by “change” above “Result” (turbidity NTU)`,
		`say which with --column "A=dose mg/L" or --column "A=stock mL"`:                               `say which by “change” above “A” (dose mg/L) or “change” above “A” (stock mL)`,
		`leave it out with --column "Temp=ignore" if it is none`:                                       `leave it out by “change” above “Temp” (nothing: leave it out) if it is none`,
		`"NTUU" in --column "F=turbidity NTUU" is no unit that is known`:                               `"NTUU" in “change” above “F” (turbidity NTUU) is no unit that is known`,
		`--jars 99 is out of range: 1 to 48`:                                                           "“Jars in the next test” 99 is out of range: 1 to 48",
		`add --target "turbidity <= 5 NTU"`:                                                            "add it in the target field (turbidity <= 5 NTU)",
		`give it in the site under Prices or with --price "alum=0.42 EUR/kg"`:                          "give it in the site under Prices or in the field of its price, such as 0.42",
		"take its steps from `clarify --date 2026-03-02`":                                              "take its steps from “Clean up a tank” for 2026-03-02",
		"Those of `plan` and `budget` mean another thing":                                              "Those of “Day” and “The month” mean another thing",
		`the jar "plan" and the column "budget" -- as they stand`:                                      `the jar "plan" and the column "budget" -- as they stand`,
		`Check the cautions; 'jarwright read --help' lists the flags that override what was inferred.`: "Check the cautions; “Read it otherwise” on the page “Bench” overrides what was inferred.",
		`to read it, use --hidden, or --sheet "Data"`:                                                  "to read it, use “Read what the sheet hides too” under “Read it otherwise”, or “Only the sheet” under “Read it otherwise” (Data)",
		`by the last 7 entries; with --site it is a dose`:                                              "by the last 7 entries; with a site workbook that is open here it is a dose",
		"12.6 mg/L (11.4 to 13.5), 90 % interval":                                                      "12.6 mg/L (11.4 to 13.5), 9 times in 10",
		`give --freight`: "give it in the site workbook, under Prices",
		`the jar has no dose: write it with its unit, of a control "0 mg/L"`: "the jar has no dose: type it; of a control 0",
		"which `jarwright chemical --cautions` lists":                        "which the catalogue of chemicals (at a terminal) lists",
	} {
		if got := onPage(said); got != want {
			t.Errorf("%s\nreads %s\nwant  %s", said, got, want)
		}
	}
	matter := template.HTML(`<p title="--stock">with --stock &#34;10 g/L&#34; &lt;now&gt;</p><pre>--stock</pre><svg><text>--stock</text></svg>`)
	if got, want := string(matterOnPage(matter, state{})), `<p title="--stock">in “Strength of the stock” under “Read it otherwise” (10 g/L) &lt;now&gt;</p><pre>--stock</pre><svg><text>--stock</text></svg>`; got != want {
		t.Errorf("a page reads %s", got)
	}
}

// atTerminalOnly are flags that the page has no control for, and of which its reports may speak.
var atTerminalOnly = []string{
	"scatter", "scatter-jars", "alkalinity-left", "ph", // how a fit weighs, and what a pair leaves: settings of the bench alone
	"format", "explain", "help", // forms of the answer
	"cautions", // of the catalogue, which no page shows
	"of",       // of the sheet for a trial, which no page makes
}

// notOnPage are sources of commands that the page does not run.
var notOnPage = regexp.MustCompile(`restock|chemical|pump|bioassay|identify|formula|/book/|/page/|/looks`)

// TestWordsKnowEveryFlag finds the flags that sentences of the reader, the plant and the reports name: each has a control of the
// page, or stands in the list of those that only a terminal has.
func TestWordsKnowEveryFlag(t *testing.T) {
	flag := regexp.MustCompile(`(?:^|[\s"(])--([a-z][a-z0-9-]+)`)
	found := 0
	for _, room := range []string{"jartest", "dosing", "templates"} {
		err := filepath.WalkDir(filepath.Join("..", "..", "..", room), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || notOnPage.MatchString(filepath.ToSlash(path)) {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				text, ok := n.(*ast.BasicLit)
				if !ok || text.Kind != token.STRING {
					return true
				}
				for _, m := range flag.FindAllStringSubmatch(text.Value, -1) {
					found++
					if _, ok := control(m[1]); !ok && m[1] != "column" && !slices.Contains(atTerminalOnly, m[1]) {
						t.Errorf("%s: the page has nothing for --%s: %s", path, m[1], text.Value)
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if found < 100 {
		t.Errorf("only %d flags were found", found)
	}
}

// TestHolding: what was said of one sheet is said to hold for a second one too, and can be taken back with one link.
func TestHolding(t *testing.T) {
	one := state{Flags: map[string][]string{"column": {"Result=turbidity NTU"}, "target": {"turbidity <= 4 NTU"}, "stock": {"10 g/L"}, "units": {"us"}}}.with(File{ID: "a", Name: "a.csv", Kind: desk.Bench})
	if said, _ := one.holding("/bench"); said != nil {
		t.Errorf("of one sheet it is said that %q", said)
	}
	said, free := one.with(File{ID: "b", Name: "b.csv", Kind: desk.Bench}).holding("/bench")
	want := []string{"“Strength of the stock” under “Read it otherwise”: 10 g/L", "“Result” is turbidity NTU", "the target is turbidity <= 4 NTU"}
	if !slices.Equal(said, want) || free != "/bench?file=a&file=b&units=us" {
		t.Errorf("%q, %s", said, free)
	}
}
