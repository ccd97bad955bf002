package main

import (
	"bytes"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

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

// TestBrowserAudit holds every page, on a phone and on a desk, to the rules of axe-core (those of WCAG 2.2,
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
	profile := t.TempDir()
	for name, data := range pagesOn(t, "a4") { // paper does not show on a screen
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

// onFirstSheet is what of a page stands on its first sheet: the curve is seen with its answer.
var onFirstSheet = map[string]string{"fit": "fitted curve"}

// TestBrowserPrint prints every page on both papers: so many sheets at most, one more for each card, and no heading
// alone at the foot of one.
func TestBrowserPrint(t *testing.T) {
	t.Parallel()
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	info, words := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "pdfinfo"), needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "pdftotext")
	profile := t.TempDir()
	for _, paper := range []string{"a4", "letter"} {
		for name, data := range pagesOn(t, paper) {
			t.Run(name+"-"+paper, func(t *testing.T) {
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
				if want := map[string]string{"letter": "letter", "a4": "A4"}[paper]; !strings.Contains(said, "("+want+")") {
					t.Errorf("not on %s: %s", want, said)
				}
				if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
					write(t, filepath.Join(dir, name+"-"+paper+".pdf"), contents(t, pdf))
				}
				var heads []string
				for _, h := range heading.FindAllSubmatch(data, -1) {
					heads = append(heads, html.UnescapeString(string(h[1])))
				}
				sheets := strings.Split(strings.TrimRight(ran(t, words, "-layout", pdf, "-"), "\f\n "), "\f")
				if last := onFirstSheet[name]; !strings.Contains(sheets[0], last) {
					t.Errorf("%q is not on the first sheet", last)
				}
				for i, page := range sheets {
					lines := strings.Fields(strings.ReplaceAll(strings.TrimSpace(page), "\n", " \n "))
					last := strings.TrimSpace(page[strings.LastIndex(strings.TrimRight(page, " \n"), "\n")+1:])
					if len(lines) < 30 {
						t.Errorf("page %d has next to nothing on it: %q", i+1, strings.TrimSpace(page))
					}
					if slices.Contains(heads, last) {
						t.Errorf("page %d ends with a heading: %q", i+1, last)
					}
				}
			})
		}
	}
}
