package main

import (
	"bytes"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// demoPages are the documents of the demo's hatchery, by name, on both papers.
var demoPages = sync.OnceValues(func() (map[string][]byte, error) {
	dir, err := os.MkdirTemp("", "demo")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	in := func(name string) string { return filepath.Join(dir, name) }
	made := func(args ...string) error {
		var errs bytes.Buffer
		if code := run(append(args, "-q", "--date", "2026-03-02"), streams{In: strings.NewReader(""), Out: io.Discard, Err: &errs}); code != exitDone && code != exitNoAnswer {
			return fmt.Errorf("%v ended with %d: %s", args, code, errs.String())
		}
		return nil
	}
	if err := made("demo", dir); err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	for name, args := range map[string][]string{
		"fit":     {"fit", in("bench.xlsx")},
		"refusal": {"fit", in("bench.xlsx"), "--target", "turbidity <= 2 NTU"},
		"next":    {"next", in("bench.xlsx")},
		"plan":    {"plan", in("site.xlsx")},
		"pump":    {"pump", in("site.xlsx")},
		"clarify": {"clarify", in("site.xlsx")},
		"compare": {"compare", in("bench.xlsx"), in("bench-pacl.xlsx"), "--site", in("site.xlsx"), "--price", "PACl=0.62 EUR/kg"},
		"budget":  {"budget", in("site.xlsx")},
		"stop": {"plan", "--flow", "3.6 m3/h", "--dose", "12.5 mg/L", "--basis", "as alum 14-hydrate", "--strength", "48.5 %", "--density", "1.335 kg/L", "--ph", "7.2",
			"--alkalinity", "4 mg/L CaCO3", "--animal", "rainbow trout"},
	} {
		for _, paper := range []string{"a4", "letter"} {
			file := in(name + "-" + paper + ".html")
			err := made(append(slices.Clone(args), "--paper", paper, "-o", file)...)
			data, readErr := os.ReadFile(file)
			if err := errors.Join(err, readErr); err != nil {
				return nil, err
			}
			out[name+"-"+paper] = data
		}
	}
	return out, nil
})

// browse opens a file in the browser and gives what the page then holds.
func browse(t *testing.T, chromium, profile, file string) string {
	t.Helper()
	return ran(t, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir="+profile,
		"--window-size=1280,900", "--virtual-time-budget=20000", "--dump-dom", "file://"+file)
}

// audited runs the audit in each frame and leaves what it finds of weight in the title.
const audited = `
window.addEventListener('load', function () {
  var frames = Array.from(document.querySelectorAll('iframe'));
  Promise.all(frames.map(function (f) {
    return f.contentWindow.axe.run(f.contentDocument, {resultTypes: ['violations']}).then(function (r) {
      return r.violations.filter(function (v) { return v.impact === 'serious' || v.impact === 'critical'; }).map(function (v) {
        return f.title + ': ' + v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map(function (n) { return n.target.join(' '); }).join(', ');
      });
    });
  })).then(function (all) {
    var bad = [].concat.apply([], all);
    document.title = bad.length ? 'BAD ' + bad.join(' | ') : 'GOOD ' + frames.length;
  }, function (e) { document.title = 'BAD ' + e; });
});`

// TestBrowserAudit holds every document of the demo, on a phone and on a desk, to the rules of axe-core (those of WCAG 2.2,
// contrast of text among them): nothing serious or critical.
func TestBrowserAudit(t *testing.T) {
	t.Parallel()
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	npm := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "npm")
	root, err := exec.Command(npm, "root", "--global").Output()
	if err != nil {
		t.Fatal(err)
	}
	axe, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "axe-core", "axe.min.js"))
	if os.IsNotExist(err) && os.Getenv("JARWRIGHT_REQUIRE_BROWSER") != "1" {
		t.Skip("axe-core is not installed: npm install --global axe-core")
	} else if err != nil {
		t.Fatal(err)
	}
	all, err := demoPages()
	if err != nil {
		t.Fatal(err)
	}
	profile := t.TempDir()
	for name, data := range all {
		if strings.HasSuffix(name, "-letter") { // paper does not show on a screen
			continue
		}
		t.Run(name, func(t *testing.T) {
			page := strings.Replace(string(data), "</body>", "<script>"+string(axe)+"</script></body>", 1)
			var b strings.Builder
			b.WriteString("<!DOCTYPE html><html><head><title>NOT RUN</title><script>" + audited + "</script></head><body>\n")
			for _, wide := range []int{360, 1200} {
				fmt.Fprintf(&b, "<iframe title=\"at %d\" width=\"%d\" height=\"900\" srcdoc=\"%s\"></iframe>\n", wide, wide, html.EscapeString(page))
			}
			harness := filepath.Join(t.TempDir(), "audit.html")
			write(t, harness, b.String()+"</body></html>\n")
			_, title, _ := strings.Cut(browse(t, chromium, profile, harness), "<title>")
			if title, _, _ = strings.Cut(title, "</title>"); title != "GOOD 2" {
				t.Error(title)
			}
		})
	}
}

var (
	pdfPages = regexp.MustCompile(`(?m)^Pages:\s+(\d+)$`)
	heading  = regexp.MustCompile(`<h2[^>]*>([^<]*)</h2>`)
)

// TestBrowserPrint prints the demo's documents on both papers: so many sheets at most, one more for each card, and no heading
// alone at the foot of one.
func TestBrowserPrint(t *testing.T) {
	t.Parallel()
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	info, words := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "pdfinfo"), needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "pdftotext")
	all, err := demoPages()
	if err != nil {
		t.Fatal(err)
	}
	profile := t.TempDir()
	for name, data := range all {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file, pdf := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
			write(t, file, data)
			ran(t, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir="+profile, "--no-pdf-header-footer",
				"--print-to-pdf="+pdf, "file://"+file)
			said := ran(t, info, pdf)
			pages, _ := strconv.Atoi(pdfPages.FindStringSubmatch(said)[1])
			if most := 2 + bytes.Count(data, []byte(`<section class="card"`)); pages > most {
				t.Errorf("%d pages, %d at most", pages, most)
			}
			if want := map[bool]string{true: "letter", false: "A4"}[strings.HasSuffix(name, "-letter")]; !strings.Contains(said, "("+want+")") {
				t.Errorf("not on %s: %s", want, said)
			}
			if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
				write(t, filepath.Join(dir, name+".pdf"), contents(t, pdf))
			}
			var heads []string
			for _, h := range heading.FindAllSubmatch(data, -1) {
				heads = append(heads, html.UnescapeString(string(h[1])))
			}
			for i, page := range strings.Split(strings.TrimRight(ran(t, words, "-layout", pdf, "-"), "\f\n "), "\f") {
				lines := strings.Fields(strings.ReplaceAll(strings.TrimSpace(page), "\n", " \n "))
				last := strings.TrimSpace(page[strings.LastIndex(strings.TrimRight(page, " \n"), "\n")+1:])
				if len(lines) < 12 {
					t.Errorf("page %d has next to nothing on it: %q", i+1, strings.TrimSpace(page))
				}
				if slices.Contains(heads, last) {
					t.Errorf("page %d ends with a heading: %q", i+1, last)
				}
			}
		})
	}
}

// TestPagesAnswerFirst: the first large number of a page is that of the answer.
func TestPagesAnswerFirst(t *testing.T) {
	t.Parallel()
	all, err := demoPages()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	answer(t, "demo", dir)
	bench, place := filepath.Join(dir, "bench.xlsx"), filepath.Join(dir, "site.xlsx")
	var fit struct {
		Series []struct {
			Planning struct{ Value float64 } `json:"planning_dose"`
		}
	}
	var plan struct {
		Feeds []struct {
			Pump struct{ Knob struct{ Value float64 } }
		}
	}
	answered(t, &fit, "fit", bench)
	answered(t, &plan, "plan", place)
	want := map[string][]string{"refusal": {"No dose"}, "stop": {"No setting"}, "fit": {number(fit.Series[0].Planning.Value, 3) + " mg/L"}}
	for _, f := range plan.Feeds {
		want["plan"] = append(want["plan"], number(f.Pump.Knob.Value, 3)+" %")
	}
	large := regexp.MustCompile(`<p class="big[^>]*>(.*?)</p>`)
	for name, numbers := range want {
		var got []string
		for _, m := range large.FindAllStringSubmatch(string(all[name+"-a4"]), len(numbers)) {
			got = append(got, html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(m[1], "")))
		}
		for i, n := range numbers {
			if i >= len(got) || strings.ReplaceAll(got[i], "\u00a0", " ") != n {
				t.Errorf("%s: large are %q, the answer is %q", name, got, numbers)
				break
			}
		}
	}
}

// number writes a number in so many digits without idle zeros.
func number(v float64, digits int) string {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	return strconv.FormatFloat(r, 'f', -1, 64)
}
