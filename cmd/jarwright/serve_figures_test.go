package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestServeFigures: all that a site workbook holds stands in a form. One figure that is changed gives a copy with that figure and all
// else as it was, as the command makes it; what is wrong is told at its box and nothing typed is lost.
func TestServeFigures(t *testing.T) {
	dir := t.TempDir()
	demoInputs(t, dir)
	t.Chdir(dir)
	d, all := newDesk(t)
	desk := all.Encode()
	d.holds(d.get("/site?"+desk, http.StatusOK), "Change a figure", "/figures?")
	form := d.get("/figures?"+desk, http.StatusOK)
	for key, value := range map[string]string{"flow-average-flow": "3.6", "pumps-1-largest-rate": "1.8", "pumps-2-largest-rate": "1.8", "chemicals-2-dose": "0.2", "place-name": "Beckside trout hatchery (example)"} {
		if !strings.Contains(form, `id="`+key+`" name="`+key+`" value="`+value+`"`) {
			t.Errorf("%s does not stand in the form as %s", key, value)
		}
	}
	sent := url.Values{"desk": {desk}}
	for _, m := range regexp.MustCompile(`<input type="text" id="([^"]+)" name="[^"]+" value="([^"]*)"`).FindAllStringSubmatch(form, -1) {
		sent.Set(m[1], html.UnescapeString(m[2]))
	}
	if len(sent) < 80 {
		t.Errorf("only %d figures stand there", len(sent))
	}
	if u, _ := d.leads("/figures", sent); u.Path != "/day" || u.RawQuery != desk {
		t.Errorf("without a change it leads to %s", u)
	}

	// What cannot be is told at its box, and the rest of what was typed stays.
	sent.Set("flow-average-flow", "4")
	sent.Set("pumps-1-largest-rate", "lots")
	sent.Set("water-ph", "")
	u, page := d.leads("/figures", sent)
	if u.Path != "/figures" {
		t.Fatalf("it leads to %s", u)
	}
	d.holds(page, `id="wrong-water-ph"`, "this box was emptied", `name="flow-average-flow" value="4"`)
	sent.Set("water-ph", "7.6")
	_, page = d.leads("/figures", sent)
	d.holds(page, `id="wrong-pumps-1-largest-rate"`, `name="flow-average-flow" value="4"`)
	sent.Set("pumps-1-largest-rate", "1.8")
	u, day := d.leads("/figures", sent)
	if u.Path != "/day" {
		t.Fatalf("it leads to %s", u)
	}
	d.holds(day, "jarwright plan site-changed.xlsx")

	// The copy is the one that the command makes, and is saved as such.
	write(t, "changes.txt", "Flow | average flow | 4 m3/h\n")
	if _, errs, code := program(t, "new", "site", "site-changed.xlsx", "--from", "site.xlsx", "--answers", "changes.txt"); code != exitDone {
		t.Fatal(errs)
	}
	d.savedAs("day", u.RawQuery, commandOf(t, day))
	again := d.get("/figures?"+u.RawQuery, http.StatusOK)
	d.holds(again, `name="flow-average-flow" value="4"`, `name="chemicals-2-dose" value="0.2"`)
}

// TestBrowserServeFigures: that form, and the line that says which sheet a day rests on, wide and on a phone; a reload loses nothing that
// was typed, and one figure that is changed is planned with.
func TestBrowserServeFigures(t *testing.T) {
	t.Parallel()
	browser := browsing(t)
	today := filepath.Join(t.TempDir(), "today.csv")
	write(t, today, alumJars)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			w := open(t, browser, offered(t), wide)
			w.leads("/bench", chromedp.Click(chromedp.CSS(`form[action="/demo"] button`)))
			w.leads("/site", chromedp.Click(chromedp.CSS(`.walk a[href^="/site"]`)))
			w.leads("/figures", chromedp.Click(chromedp.CSS(`main a[href^="/figures"]`)))
			w.looked(fmt.Sprintf("figures-%d", wide))
			w.do(chromedp.Click(chromedp.CSS(`#figures details:nth-of-type(3) summary`)))
			w.until(`document.getElementById('flow-average-flow').offsetHeight > 0`)
			w.until(`(function (i) { i.value = ''; return true; })(document.getElementById('flow-average-flow'))`)
			w.do(chromedp.SendKeys(chromedp.CSS("#flow-average-flow"), "4,5"))
			w.leads("/figures", chromedp.Reload())
			w.until(`document.getElementById('flow-average-flow').value === '4,5'`)
			w.leads("/day", chromedp.Click(chromedp.CSS(`#plan`)))
			w.says("4.5 m", "site-changed.xlsx")
			w.leads("/bench", chosenMore(today))
			w.leads("/day", chromedp.Click(chromedp.CSS(`.walk a[href^="/day"]`)))
			w.says("The dose of alum is from bench.xlsx, which the site names.", "Use today.csv for this site")
			w.looked(fmt.Sprintf("rests-%d", wide))
			w.shows("in place of bench.xlsx", chromedp.Click(chromedp.CSS(`.rests a`)))
			w.fits()
		})
	}
}

// chosenMore chooses a file beside those on the desk.
func chosenMore(file string) chromedp.Action[chromedp.Void] {
	return chromedp.SetUploadFiles(chromedp.CSS(`.tray input[type=file]`), []string{file})
}

// TestServePicturesLeftOut: what a workbook holds beside its cells is said to be left out, a frame of a picture counting once.
func TestServePicturesLeftOut(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	var bench []byte
	for _, id := range all["file"] {
		r, w := httptest.NewRequest(http.MethodGet, "/held/"+id, nil), httptest.NewRecorder()
		r.Host = d.host
		if d.s.Handler().ServeHTTP(w, r); strings.Contains(w.Header().Get("Content-Disposition"), "bench.xlsx") {
			bench = w.Body.Bytes()
		}
	}
	for _, x := range []struct {
		parts []string
		says  string
	}{
		{nil, ""},
		{[]string{"xl/media/image7.png", "xl/drawings/drawing9.xml", "xl/drawings/_rels/drawing9.xml.rels"}, "Left out of bench.xlsx: a picture, which cannot be read. Type into cells what counts of it."},
		{[]string{"xl/media/image7.png", "xl/media/image8.jpeg", "xl/drawings/drawing9.xml"}, "Left out of bench.xlsx: 2 pictures and a drawing, which cannot be read. Type into cells what counts of them."},
	} {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		old, err := zip.NewReader(bytes.NewReader(bench), int64(len(bench)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range old.File {
			if err := z.Copy(f); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range x.parts {
			w, err := z.Create(name)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := w.Write([]byte("<x/>")); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		page := d.get("/bench?"+d.puts("", [2]string{"bench.xlsx", b.String()}), http.StatusOK)
		if x.says == "" && strings.Contains(page, "Left out of") {
			t.Error("of a workbook without pictures some are left out")
		}
		d.holds(page, x.says)
	}
}
