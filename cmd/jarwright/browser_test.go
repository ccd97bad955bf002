package main

import (
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// pages writes a page of each command that the repository has input for.
func pages(t *testing.T) map[string]string {
	t.Helper()
	dir := t.TempDir()
	site, bench := filepath.Join(dir, "site.xlsx"), filepath.Join(dir, "storm.csv")
	by("new", "site", site, "-q")(t, "")
	if err := os.WriteFile(bench, []byte(benchCSV), 0o644); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for name, args := range map[string][]string{
		"fit":        {"fit", bench, "--target", "turbidity <= 5 NTU"},
		"next":       {"next", bench, "--target", "turbidity <= 5 NTU"},
		"plan":       {"plan", site},
		"plan-comma": {"plan", site, "--decimal", ",", "--units", "us", "--paper", "letter"},
		"pump":       {"pump", site},
		"clarify":    {"clarify", site},
		"compare":    compareArgs(t, "0.42 EUR/kg", "60 mg/L CaCO3"),
		"budget":     {"budget", site, "--date", "2026-03"},
		"chemical":   {"chemical", "alum-liquid"},
	} {
		out[name] = filepath.Join(dir, name+".html")
		if args[len(args)-1] != "FILE" {
			args = append(args, "-o", "FILE")
		}
		by(append(args, "-q")...)(t, out[name])
	}
	return out
}

// probe looks, in each frame, for parts that are wider than the window and for
// text that lies on other text, and leaves what it finds in the title.
const probe = `
function look(doc, name) {
  var bad = [], wide = doc.documentElement.clientWidth;
  if (doc.documentElement.scrollWidth > wide + 1) bad.push('the page scrolls sideways: ' + doc.documentElement.scrollWidth + ' of ' + wide);
  doc.querySelectorAll('h1,h2,h3,p,li,dt,dd,figure,pre,.card,.scroll').forEach(function (e) {
    var r = e.getBoundingClientRect();
    if (r.width > 1 && (r.right > wide + 1 || r.left < -1)) bad.push(e.tagName + ' leaves the window: ' + e.textContent.slice(0, 40));
  });
  doc.querySelectorAll('svg').forEach(function (svg) {
    var box = svg.getBoundingClientRect(), seen = [];
    svg.querySelectorAll('text').forEach(function (t) {
      var r = t.getBoundingClientRect();
      if (r.left < box.left - 1 || r.right > box.right + 1 || r.top < box.top - 1 || r.bottom > box.bottom + 1) bad.push('cut off in a picture: ' + t.textContent);
      seen.forEach(function (o) {
        var q = o.getBoundingClientRect(), dx = Math.min(r.right, q.right) - Math.max(r.left, q.left), dy = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
        if (dx > 2 && dy > Math.min(r.height, q.height) * 0.4) bad.push('in a picture "' + t.textContent + '" lies on "' + o.textContent + '"');
      });
      seen.push(t);
    });
  });
  return bad.map(function (b) { return name + ': ' + b; });
}
window.addEventListener('load', function () {
  var bad = [], frames = document.querySelectorAll('iframe');
  frames.forEach(function (f) { bad = bad.concat(look(f.contentDocument, f.title)); });
  document.title = bad.length ? 'BAD ' + bad.join(' | ') : 'GOOD ' + frames.length;
});`

// TestPagesInBrowser opens every page as wide as a phone and as a desk, all in
// frames of one window, looks for what is cut off or overlaps, and holds each
// page to its weight.
func TestPagesInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("-short: no browser")
	}
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	var b strings.Builder
	b.WriteString("<!DOCTYPE html><html><head><title>NOT RUN</title><script>" + probe + "</script></head><body>\n")
	frames := 0
	for name, file := range pages(t) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > 300_000 {
			t.Errorf("%s weighs %d bytes, more than 300 kB", name, len(data))
		}
		for _, wide := range []int{360, 1100} {
			frames++
			fmt.Fprintf(&b, "<iframe title=\"%s at %d\" width=\"%d\" height=\"900\" srcdoc=\"%s\"></iframe>\n", name, wide, wide, html.EscapeString(string(data)))
		}
		if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, name+".html"), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	b.WriteString("</body></html>\n")
	harness := filepath.Join(t.TempDir(), "frames.html")
	if err := os.WriteFile(harness, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir=" + t.TempDir(), "--window-size=1200,900", "--virtual-time-budget=10000", "--dump-dom", "file://" + harness}
	out, err := exec.Command(chromium, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	_, title, _ := strings.Cut(string(out), "<title>")
	title, _, _ = strings.Cut(title, "</title>")
	if title != fmt.Sprintf("GOOD %d", frames) {
		t.Errorf("%d frames: %s", frames, title)
	}
}

// TestPagesValidate holds every page to html-validate's recommended and
// accessibility rules. The program named by JARWRIGHT_HTML_VALIDATE is used, else
// one on the path.
func TestPagesValidate(t *testing.T) {
	tool := os.Getenv("JARWRIGHT_HTML_VALIDATE")
	if tool == "" {
		tool = needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "html-validate")
	}
	dir := t.TempDir()
	rules := filepath.Join(dir, "rules.json")
	if err := os.WriteFile(rules, []byte(`{"root":true,"extends":["html-validate:recommended","html-validate:a11y"]}`), 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"--config", rules}
	for _, file := range pages(t) {
		args = append(args, file)
	}
	if out, err := exec.Command(tool, args...).CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
