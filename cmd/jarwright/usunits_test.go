package main

import (
	"bytes"
	"fmt"
	"html"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"

	"github.com/xuri/excelize/v2"
)

var (
	// keyed turns the signs of paper back into those of a keyboard.
	keyed = strings.NewReplacer("\u00a0", " ", "³", "3", "²", "2", "₃", "3", "₂", "2", "°C", "C", "−", "-", "×", "x")
	// metricUnit is a figure in a unit that US readers do not use. Grams stay: below
	// half an ounce people weigh in them. So do mg/L, g/L, mL/min and mL, NTU, mA, W, pH.
	metricUnit = regexp.MustCompile(`[0-9] (m3/h|m3/d|m3|L/h|L/min|L|kg/d|kg|C|m/h|m|mm|cm|kPa|bar|m2|kg/m2/h|kg/L|kg/kg|t)\b` +
		`|[ (](1[5-9]|[2-9][0-9]|[0-9]{3,})(\.[0-9]+)? g[ ,.;)]|(a|per) (litre|m3|kg)\b`)
	// quoted are a user's own words and what names no amount of this plan.
	quoted = regexp.MustCompile(`"[^"]*"|[Pp]roduct per litre of stock`)
	// point is a figure with a decimal point, where a comma is asked for.
	point = regexp.MustCompile(`[0-9]\.[0-9]`)
	// referred are codes, references, dates and the program's own version, and what is quoted.
	referred = regexp.MustCompile(`"[^"]*"|40 CFR [0-9.]+|section [0-9.]+|go1[0-9.]+|--[a-z-]+ [0-9.]+|[0-9a-z-]+\.(xlsx|html|csv)`)
	unseen   = regexp.MustCompile(`(?s)<(style|script)\b.*?</(style|script)>|<[^>]+>`)
)

// TestUnitsReachEverySentence runs every command with figures on the demo and on plans
// that are stopped, and looks for what a reader of US units, or of a decimal comma,
// should not meet in text, in the page with its cards and charts, or in the workbook's words.
func TestUnitsReachEverySentence(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	demoInputs(t, dir)
	in := func(name string) string { return filepath.Join(dir, name) }
	stop := strings.Fields("plan --flow 3.6_m3/h --dose 20_mg/L --basis as_alum_14-hydrate --pump-max 1.8_L/h " +
		"--ph 7.2 --alkalinity 15_mg/L --animal trout")
	loop := strings.Fields("plan --flow 10_m3/h --hours 6 --dose 0.01_mg/L --basis as_active_polymer --chemical cpam-dry " +
		"--stock 1.5_g/L --pump-max 20_L/h --turbidity 2_NTU --animal trout --system 20.5_m3")
	for _, args := range [][]string{stop, loop} {
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "_", " ")
		}
	}
	for name, args := range map[string][]string{
		"plan": {"plan", in("site.xlsx")}, "clarify": {"clarify", in("site.xlsx")},
		"budget": {"budget", in("site.xlsx")}, "pump": {"pump", in("site.xlsx")},
		"compare": {"compare", in("bench.xlsx"), in("bench-pacl.xlsx"), "--site", in("site.xlsx"), "--price", "PACl=0.62 EUR/kg"},
		"fit":     {"fit", in("bench.xlsx")}, "stopped": stop, "stopped loop": loop,
		"product": {"chemical", "alum-liquid"}, "caustic": {"chemical", "caustic-50"},
	} {
		for _, look := range []struct {
			flags           []string
			wrong, excepted *regexp.Regexp
		}{
			{[]string{"--units", "us"}, metricUnit, quoted},
			{[]string{"--decimal", ","}, point, referred},
		} {
			t.Run(name+look.flags[0], func(t *testing.T) {
				t.Parallel()
				for _, text := range saidIn(t, append(append(slices.Clone(args), "--explain"), look.flags...)) {
					text = strings.Join(strings.Fields(strings.ReplaceAll(text, dir, "")), " ")
					if len(text) < 500 {
						t.Fatalf("only %q", text)
					}
					text = look.excepted.ReplaceAllString(text, "…")
					for _, at := range look.wrong.FindAllStringIndex(text, -1) {
						t.Errorf("…%s…", text[max(0, at[0]-60):min(len(text), at[1]+30)])
					}
				}
			})
		}
	}
}

// saidIn gives what a command says as text, what a reader sees of its page and what its workbook says in words.
func saidIn(t *testing.T, args []string) []string {
	t.Helper()
	said := func(args []string) string {
		out, errs, code := program(t, args...)
		if code != exitDone && code != exitNoAnswer {
			t.Fatalf("%v: exit %d: %s", args, code, errs)
		}
		return out + errs
	}
	var texts []string
	if !slices.Contains([]string{"compare", "fit", "budget"}, args[0]) { // they take long, and their page has all of the text
		texts = append(texts, said(args))
	}
	if args[0] != "chemical" {
		page := filepath.Join(t.TempDir(), "page.html")
		said(append(args, "-o", page))
		texts = append(texts, keyed.Replace(html.UnescapeString(unseen.ReplaceAllString(string(contents(t, page)), " "))))
	}
	if slices.Contains([]string{"plan", "clarify", "pump"}, args[0]) {
		book := filepath.Join(t.TempDir(), "book.xlsx")
		said(append(args, "-o", book))
		f, err := excelize.OpenFile(book)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		var words []string
		for _, tab := range f.GetSheetList() {
			rows, err := f.GetRows(tab, excelize.Options{RawCellValue: true})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range slices.Concat(rows...) {
				if _, err := strconv.ParseFloat(c, 64); err != nil { // numbers have their unit beside or in the format
					words = append(words, c)
				}
			}
		}
		texts = append(texts, strings.Join(words, " \n "))
	}
	return texts
}

// Errors are notes too, whether one, wrapped, or several.
func TestErrorsInTheReadersUnits(t *testing.T) {
	n := note.Fault("x", "a batch of %s does not go in", quantity.Volume(37.85411784)).Do("make %s or less", quantity.Temperature(40))
	const want = "a batch of 10 gal does not go in: make 104 F or less\n"
	for name, c := range map[string]struct {
		err  error
		want string
	}{
		"one":     {n, "jarwright: " + want},
		"wrapped": {fmt.Errorf("site.xlsx: %w", n), "jarwright: site.xlsx: " + want},
		"several": {note.List{n, note.New(note.Caution, "y", "not an error"), n}, "jarwright: " + want + "jarwright: " + want},
	} {
		var b bytes.Buffer
		complain(&b, c.err, templates.Options{Units: quantity.US})
		if b.String() != c.want {
			t.Errorf("%s: %q, want %q", name, b.String(), c.want)
		}
	}
}
