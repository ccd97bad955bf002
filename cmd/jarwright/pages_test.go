package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// pageForms are every page that the program writes, a row a form: the command, DEMO/ for the folder of the demo and SCRIPT/ for a file
// of a test script, and where its large number stands in the document for programs, or the words in its place.
var pageForms = []struct {
	name   string
	args   []string
	number string
}{
	{"fit", []string{"fit", "DEMO/bench.xlsx"}, "series.0.planning_dose.value"},
	{"refusal", []string{"fit", "DEMO/bench.xlsx", "--target", "turbidity <= 2 NTU"}, "No dose"},
	{"pair", []string{"fit", "SCRIPT/fit_pairs/grid.csv", "--target", "turbidity <= 12 NTU", "--price", "alum=0.42 EUR/kg", "--price", "polymer=4.5 EUR/kg"}, "series.0.surface.planning_pair.doses.alum"},
	{"next", []string{"next", "DEMO/bench.xlsx"}, "series.0.doses.0.dose"},
	{"next-pair", []string{"next", "SCRIPT/fit_pairs/grid.csv", "--target", "turbidity <= 12 NTU"}, "5 jars"},
	{"plan", []string{"plan", "DEMO/site.xlsx"}, "feeds.0.pump.knob.value"},
	{"plan-comma", []string{"plan", "DEMO/site.xlsx", "--decimal", ",", "--units", "us"}, "feeds.0.pump.knob.value"},
	{"quick", []string{"plan", "--flow", "3.6 m3/h", "--dose", "12.5 mg/L", "--basis", "as alum 14-hydrate", "--strength", "48.5 %", "--density", "1.335 kg/L"}, "feeds.0.stock_rate.value"},
	{"stop", []string{"plan", "--flow", "3.6 m3/h", "--dose", "12.5 mg/L", "--basis", "as alum 14-hydrate", "--strength", "48.5 %", "--density", "1.335 kg/L", "--ph", "7.2",
		"--alkalinity", "4 mg/L CaCO3", "--animal", "rainbow trout"}, "No setting"},
	{"unit", []string{"plan", "SCRIPT/unit/farm.yaml"}, "feeds.0.stock_rate.value"},
	{"sludge", []string{"plan", "SCRIPT/plan_sludge/mill.yaml"}, "feeds.0.stock_rate.value"},
	{"pond", []string{"plan", "SCRIPT/pond_by_hand/site.yaml"}, "ponds.0.goes.0.product.value"},
	{"pond-goes", []string{"plan", "SCRIPT/pond_crab_goes/site.yaml"}, "314 mL"},
	{"pond-quick", []string{"plan", "--pond", "5000 m2 x 1.2 m", "--dose", "25 g/m3", "--basis", "as alum 14-hydrate", "--strength", "100 %", "--bag", "25 kg", "--bucket", "2 kg", "--ph", "8",
		"--alkalinity", "100 mg/L CaCO3", "--temperature", "25 C"}, "ponds.0.goes.0.product.value"},
	{"pump", []string{"pump", "DEMO/site.xlsx"}, "pumps.0.settings.0.setting.value"},
	{"clarify", []string{"clarify", "DEMO/site.xlsx"}, "time.value"},
	{"hold", []string{"clarify", "SCRIPT/clarify_hold/tilapia.yaml"}, "hold.flow.value"},
	{"restock", []string{"restock", "SCRIPT/restock/stands.yaml", "--flow", "2.5 m3/h"}, "needs.value"},
	{"track", []string{"track", "DEMO/past", "--raw", "85 NTU"}, "prediction.planning_dose.value"},
	{"track-beyond", []string{"track", "DEMO/past", "--raw", "400 NTU"}, "No dose"},
	{"track-log", []string{"track", "DEMO/log.csv", "--site", "DEMO/site.xlsx"}, "logs.0.latest.dose_fed.value"},
	{"trial", []string{"trial", "SCRIPT/trial/crabs.csv"}, "animals.trials.0.enter.lc50.value"},
	{"trial-unit", []string{"trial", "DEMO/trial.xlsx"}, "runs.0.capture.value"},
	{"trial-short", []string{"trial", "SCRIPT/trial_unit/short.csv"}, "Not told"},
	{"compare", []string{"compare", "DEMO/bench.xlsx", "DEMO/bench-pacl.xlsx", "--site", "DEMO/site.xlsx", "--price", "PACl=0.62 EUR/kg"}, "options.0.cost_per_1000m3.value"},
	{"budget", []string{"budget", "DEMO/site.xlsx"}, "months.0.cost.total"},
	{"product", []string{"chemical", "alum-liquid"}, "chemicals.0.strength.value"},
	{"convert", []string{"chemical", "alum-liquid", "--dose", "12.5 mg/L as alum 14-hydrate"}, "doses.0.value"},
}

// writtenPages are the pages of the forms by name, on both papers, and their documents for programs.
var writtenPages = sync.OnceValues(func() (map[string][]byte, error) {
	dir, err := os.MkdirTemp("", "pages")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	made := func(args ...string) ([]byte, error) {
		var out, errs bytes.Buffer
		if code := run(append(args, "-q", "--date", "2026-03-02"), streams{In: strings.NewReader(""), Out: &out, Err: &errs}); code != exitDone && code != exitNoAnswer {
			return nil, fmt.Errorf("%v ended with %d: %s", args, code, errs.String())
		}
		return out.Bytes(), nil
	}
	if _, err := made("demo", dir); err != nil {
		return nil, err
	}
	file := func(arg string) (string, error) {
		if at, demo := strings.CutPrefix(arg, "DEMO/"); demo {
			return filepath.Join(dir, at), nil
		}
		at, of := strings.CutPrefix(arg, "SCRIPT/")
		if !of {
			return arg, nil
		}
		script, name, _ := strings.Cut(at, "/")
		a, err := txtar.ParseFile(filepath.Join("testdata", "script", script+".txtar"))
		if err != nil {
			return "", err
		}
		i := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == name })
		if i < 0 {
			return "", fmt.Errorf("no %s in %s", name, script)
		}
		to := filepath.Join(dir, script+"-"+name)
		return to, os.WriteFile(to, a.Files[i].Data, 0o644)
	}
	out := map[string][]byte{}
	for _, f := range pageForms {
		args := slices.Clone(f.args)
		for i := range args {
			if args[i], err = file(args[i]); err != nil {
				return nil, err
			}
		}
		for _, form := range []string{"json", "text"} {
			if out[f.name+"-"+form], err = made(append(slices.Clone(args), "--format", form)...); err != nil {
				return nil, err
			}
		}
		for _, paper := range []string{"a4", "letter"} {
			to := filepath.Join(dir, f.name+"-"+paper+".html")
			_, err := made(append(slices.Clone(args), "--paper", paper, "-o", to)...)
			data, readErr := os.ReadFile(to)
			if err := errors.Join(err, readErr); err != nil {
				return nil, err
			}
			out[f.name+"-"+paper] = data
		}
	}
	return out, nil
})

// pagesOn are the written pages on a paper, by name.
func pagesOn(t *testing.T, paper string) map[string][]byte {
	t.Helper()
	all, err := writtenPages()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range pageForms {
		out[f.name] = all[f.name+"-"+paper]
	}
	return out
}

// largeNumber finds the large numbers of a page, tag any piece of mark-up.
var largeNumber, tag = regexp.MustCompile(`<p class="big[^>]*>(.*?)</p>`), regexp.MustCompile(`<[^>]*>`)

// TestPagesAnswerFirst: the first large number of every page is that of its answer, to three digits, and stands before any picture and table.
func TestPagesAnswerFirst(t *testing.T) {
	t.Parallel()
	docs, texts := pagesOn(t, "json"), pagesOn(t, "text")
	pages := pagesOn(t, "a4")
	for _, form := range pageForms {
		name, page := form.name, pages[form.name]
		m := largeNumber.FindSubmatchIndex(page)
		if m == nil {
			t.Errorf("%s: nothing is large", name)
			continue
		}
		got := strings.ReplaceAll(html.UnescapeString(tag.ReplaceAllString(string(page[m[2]:m[3]]), "")), "\u00a0", " ")
		for _, later := range []string{`class="pic"`, "<table", `class="matter"`} {
			if i := bytes.Index(page, []byte(later)); i >= 0 && i < m[0] {
				t.Errorf("%s: %s stands before the answer", name, later)
			}
		}
		if said := strings.ReplaceAll(string(texts[name]), "m3", "m\u00b3"); !strings.Contains(said, got) {
			t.Errorf("%s: large is %q, which a terminal does not say", name, got)
		}
		if !strings.Contains(form.number, ".") {
			if got != form.number {
				t.Errorf("%s: large is %q, not %q", name, got, form.number)
			}
			continue
		}
		want, err := valueAt(docs[name], form.number)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		first, rest, _ := strings.Cut(strings.NewReplacer(",", ".", "−", "-").Replace(strings.Split(got, ", ")[0]), " ")
		v, err := strconv.ParseFloat(first, 64)
		minutes := 0.0
		if n, _ := fmt.Sscanf(rest, "h %f min", &minutes); n == 1 {
			v += minutes / 60
		}
		if err != nil || math.Abs(v-want) > 0.005*math.Abs(want) {
			t.Errorf("%s: large is %q, the document has %v", name, got, want)
		}
	}
}

// valueAt is the number at a path of a document.
func valueAt(doc []byte, path string) (float64, error) {
	var v any
	if err := json.NewDecoder(io.LimitReader(bytes.NewReader(doc), 1<<24)).Decode(&v); err != nil {
		return 0, err
	}
	for _, key := range strings.Split(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			v = x[key]
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(x) {
				return 0, fmt.Errorf("no %s in %s", key, path)
			}
			v = x[i]
		default:
			return 0, fmt.Errorf("no %s in %s", key, path)
		}
	}
	f, ok := v.(float64)
	if !ok {
		return 0, fmt.Errorf("%v at %s is no number", v, path)
	}
	return f, nil
}
