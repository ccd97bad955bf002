package main

import (
	"context"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

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
  doc.querySelectorAll('body *').forEach(function (e) {
    var own = Array.from(e.childNodes).some(function (n) { return n.nodeType === 3 && n.textContent.trim(); });
    if (!own || !e.getClientRects().length || e.matches('style, script, title, desc')) return;
    var svg = e.closest('svg'), size = parseFloat(getComputedStyle(e).fontSize);
    if (svg && svg.closest('figure') && !svg.closest('figure').querySelector('.phone')) return; // drawn for one width
    if (svg) size *= svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    if (size < 10.95) bad.push('text of ' + size + ' px: ' + e.textContent.slice(0, 40));
  });
  var big = doc.querySelector('.big'), least = wide > 640 ? 53 : 40; // 40 pt of a page are 53 px
  if (big && parseFloat(getComputedStyle(big).fontSize) < least) bad.push('the answer is ' + getComputedStyle(big).fontSize);
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

// TestBrowser opens every page as wide as a phone and as a desk, in frames of one
// window, looks for what is cut off, overlaps or is too small to read, and holds each page to its weight.
func TestBrowser(t *testing.T) {
	t.Parallel()
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	profile := t.TempDir() // kept from page to page
	for name, data := range pagesOn(t, "a4") {
		t.Run(name, func(t *testing.T) {
			if len(data) > 300_000 {
				t.Errorf("it weighs %d bytes, more than 300 kB", len(data))
			}
			if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
				write(t, filepath.Join(dir, name+".html"), data)
			}
			var b strings.Builder
			b.WriteString("<!DOCTYPE html><html><head><title>NOT RUN</title><script>" + probe + "</script></head><body>\n")
			widths := []int{360, 1100}
			for _, wide := range widths {
				fmt.Fprintf(&b, "<iframe title=\"at %d\" width=\"%d\" height=\"900\" srcdoc=\"%s\"></iframe>\n", wide, wide, html.EscapeString(string(data)))
			}
			b.WriteString("</body></html>\n")
			harness := filepath.Join(t.TempDir(), "frames.html")
			write(t, harness, b.String())
			out := ran(t, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir="+profile,
				"--window-size=1200,900", "--virtual-time-budget=10000", "--dump-dom", "file://"+harness)
			_, title, _ := strings.Cut(out, "<title>")
			title, _, _ = strings.Cut(title, "</title>")
			if title != fmt.Sprintf("GOOD %d", len(widths)) {
				t.Errorf("%d frames: %s", len(widths), title)
			}
		})
	}
}

// ran runs another program within pieceLimit and gives what it printed.
func ran(t *testing.T, name string, args ...string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), pieceLimit)
	defer cancel()
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.WaitDelay = 5 * time.Second
	out, err := cmd.Output()
	if ctx.Err() != nil {
		t.Fatalf("%s took longer than %s", name, pieceLimit)
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

// TestBrowserValidate holds every page to html-validate's recommended and
// accessibility rules. The program named by JARWRIGHT_HTML_VALIDATE is used, else
// one on the path.
func TestBrowserValidate(t *testing.T) {
	t.Parallel()
	tool := os.Getenv("JARWRIGHT_HTML_VALIDATE")
	if tool == "" {
		tool = needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "html-validate")
	}
	dir := t.TempDir()
	rules := filepath.Join(dir, "rules.json")
	write(t, rules, `{"root":true,"extends":["html-validate:recommended","html-validate:a11y"]}`)
	args := []string{"--config", rules}
	for name, data := range pagesOn(t, "a4") {
		file := filepath.Join(dir, name+".html")
		write(t, file, data)
		args = append(args, file)
	}
	ran(t, tool, args...)
}
