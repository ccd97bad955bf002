package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"jarwright/cmd/jarwright/serve"
)

// ownBench writes the demo's bench sheet, as somebody has it in a folder.
func ownBench(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	demoInputs(t, dir)
	file := filepath.Join(dir, "bench.xlsx")
	if _, err := os.Stat(file); err != nil {
		t.Fatal(err)
	}
	return file
}

// chosen gives the page a file, as the dialog of the browser does, which no test can work.
func chosen(file string) chromedp.Action[chromedp.Void] {
	return chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{file})
}

// tabbed presses Tab until what is meant has the focus, which has to be seen.
func (w *window) tabbed(to string) {
	w.t.Helper()
	for range 150 {
		w.do(chromedp.KeyEvent("\t"))
		if ask[bool](w, fmt.Sprintf("!!document.activeElement && document.activeElement.matches(%q)", to)) {
			if !ask[bool](w, `(function () { var a = document.activeElement, s = getComputedStyle(a.closest('.btn') || a), r = a.getBoundingClientRect();
  return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 1 && r.width > 1; })()`) {
				w.t.Errorf("nobody sees that %s has the focus", to)
			}
			return
		}
	}
	w.t.Fatalf("Tab does not lead to %s, at %s", to, w.at())
}

// TestBrowserServeKeyboard goes from the sheet to the pump setting by the keyboard alone: links, sliders, fields, choices.
func TestBrowserServeKeyboard(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.tabbed(`input[type=file]`)
	w.leads("/bench", chosen(ownBench(t)))
	w.tabbed(`#to-dose`)
	w.leads("/dose", chromedp.KeyEvent("\r"))
	w.says("13.3 mg/L")
	w.tabbed(`#slide-goal`)
	w.do(chromedp.KeyEvent("\u0303")) // the arrow to the right
	w.until(`/6 NTU/.test(document.getElementById('says-goal').textContent) && /target.*6/.test(document.getElementById('command').textContent)`)
	w.tabbed(`#slide-sure`)
	w.do(chromedp.KeyEvent("\u0303"))
	w.until(`/19 in 20/.test(document.getElementById('command').textContent) && !document.getElementById('answer').hasAttribute('aria-busy')`)
	dose := ask[string](w, `document.querySelector('#answer .big').textContent.replace(/\s+/g, ' ').trim()`)
	w.tabbed(`#go`)
	w.leads("/site", chromedp.KeyEvent("\r"))
	for _, x := range [][2]string{{"place-purpose", "o"}, {"flow-average-flow", "3.6"}, {"chemicals-product", "l"}, {"pumps-largest-rate", "1.8"}} {
		w.tabbed("#" + x[0])
		w.do(chromedp.KeyEvent(x[1]))
	}
	w.leads("/day", chromedp.KeyEvent("\r"))
	w.says("Set pump to", "Dose "+dose+" as alum 14-hydrate", "jarwright plan site.xlsx")
}

// TestBrowserServeKeyboardDemo walks the whole demo by the keyboard alone, on a desk and as narrow as a phone: every step, a question of
// one of them, a file that is put away, and the end of the program; whatever has the focus is seen.
func TestBrowserServeKeyboardDemo(t *testing.T) {
	t.Parallel()
	browser := browsing(t)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			ended := make(chan bool, 1)
			w := open(t, browser, offeredWith(t, func(o *serve.Options) { o.End = func() { ended <- true } }), wide)
			enter := chromedp.KeyEvent("\r")
			w.tabbed(`form[action="/demo"] button`)
			w.leads("/bench", enter)
			w.tabbed(`#to-dose`)
			w.leads("/dose", enter)
			w.says("13.3 mg/L")
			w.tabbed(`#slide-goal`)
			w.do(chromedp.KeyEvent("\u0303"))
			w.until(`/target.*6/.test(document.getElementById('command').textContent) && !document.getElementById('answer').hasAttribute('aria-busy')`)
			for _, x := range [][2]string{{".walk", "/site"}, {".walk", "/day"}, {".also", "/tank"}, {".also", "/month"}, {".also", "/compare"}, {".also", "/past"}, {".also", "/trials"}, {".also", "/next"}} {
				w.tabbed(x[0] + ` a[href^="` + x[1] + `"]`)
				w.leads(x[1], enter)
				w.says("The same at a terminal")
			}
			w.tabbed(`.walk a[href^="/day"]`)
			w.leads("/day", enter)
			w.tabbed(`#ask-units`)
			w.do(chromedp.KeyEvent("U"))
			w.tabbed(`#ask button[type=submit]`)
			w.do(enter)
			w.until(`/--units us/.test(document.getElementById('command').textContent) && document.readyState === 'complete'`)
			w.tabbed(`a[href^="/save/xlsx/day"]`)
			w.tabbed(`a[href^="/print/"]`)
			w.do(enter)
			w.until(`location.pathname.startsWith('/print/') && document.readyState === 'complete'`)
			ask[bool](w, "history.back(), true")
			w.leads("/day")
			w.tabbed(`.tray button.away`)
			w.do(enter)
			w.until(`document.readyState === 'complete' && !/bench\.xlsx bench sheet/.test(document.getElementById('tray').innerText.replace(/\s+/g, ' '))`)
			w.tabbed(`form[action="/end"] button`)
			w.do(enter)
			w.until(`/Ended/.test(document.body.innerText)`)
			select {
			case <-ended:
			case <-time.After(pieceLimit):
				t.Error("the program does not end")
			}
		})
	}
}

// until waits for the page to be so.
func (w *window) until(holds string) {
	w.t.Helper()
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	for there := false; !there; time.Sleep(20 * time.Millisecond) {
		var err error
		if there, err = chromedp.Run(ctx, chromedp.Evaluate[bool](holds)); ctx.Err() != nil { // an error of a page that is being left is none
			w.t.Fatalf("%s never holds: %v, at %s:\n%s", holds, err, w.at(), ask[string](w, "document.body.innerText"))
		}
	}
}

// TestBrowserServeNewUser counts what somebody who has never seen the page has to press and to fill in, from the sheet in a folder to
// a pump setting: the least that a plan needs is what the water is for, a flow, which of its kinds the chemical is, and what the pump can do.
func TestBrowserServeNewUser(t *testing.T) {
	t.Parallel()
	browser := browsing(t)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			w := open(t, browser, offered(t), wide)
			w.leads("/bench", chosen(ownBench(t)))
			presses := 1 // the dialog
			press := func(to, what string) {
				presses++
				w.leads(to, chromedp.Click(chromedp.CSS(what)))
			}
			press("/dose", "#to-dose")
			w.until(`!!document.querySelector('#short:not([data-later])')`)
			press("/site", "#go")
			w.looked(fmt.Sprintf("site-form-%d", wide))
			filled := 0
			for field, value := range map[string]string{"flow-average-flow": "3.6", "pumps-largest-rate": "1.8", "chemicals-product": "alum-liquid", "place-purpose": "other"} {
				filled++
				if field == "chemicals-product" || field == "place-purpose" {
					ask[bool](w, fmt.Sprintf("(function (s) { s.value = %q; s.dispatchEvent(new Event('input', { bubbles: true })); return true; })(document.getElementById(%q))", value, field))
					continue
				}
				w.do(chromedp.SendKeys(chromedp.CSS("#"+field), value))
			}
			press("/day", "#plan")
			w.says("Set pump to")
			w.looked(fmt.Sprintf("new-day-%d", wide))
			if presses != 4 || filled != 4 {
				t.Errorf("it takes %d presses and %d fields", presses, filled)
			}
		})
	}
}

// TestBrowserServePhone: on a phone the sliders stand within two screens of the top, below the answer that they move, and a day is
// no longer than a person scrolls.
func TestBrowserServePhone(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 360)
	const screen = 740
	w.do(chromedp.EmulateViewport(360, screen))
	w.leads("/bench", chromedp.Click(chromedp.CSS(`form[action="/demo"] button`)))
	w.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
	big := ask[float64](w, `document.querySelector('#answer .big').getBoundingClientRect().top + scrollY`)
	last := ask[float64](w, `document.getElementById('slide-sure').getBoundingClientRect().bottom + scrollY`)
	if big > screen || last > 2*screen {
		t.Errorf("the answer stands at %.0f px and the last slider ends at %.0f px", big, last)
	}
	w.looked("phone-dose")
	ask[bool](w, `(function (i) { i.value = Number(i.value) + 1; i.dispatchEvent(new Event('input', { bubbles: true })); return true; })(document.getElementById('slide-goal'))`)
	w.until(`/6 NTU/.test(document.getElementById('command').textContent)`)
	if n := ask[int](w, `document.querySelectorAll('#rest .fold').length`); n == 0 {
		t.Error("what a slider brought is not folded")
	}
	w.leads("/day", chromedp.Click(chromedp.CSS(`.walk a[href^="/day"]`)))
	if high := ask[float64](w, `document.documentElement.scrollHeight`); high > 9*screen {
		t.Errorf("the day is %.0f px long", high)
	}
	w.says("Handling (3 cautions)")
	w.do(chromedp.Click(chromedp.CSS(`#rest .fold`)))
	if !ask[bool](w, `document.querySelector('#rest .fold').getAttribute('aria-expanded') === 'true' && document.querySelector('#rest .row .matter').offsetHeight > 20`) {
		t.Error("what is folded does not open")
	}
	w.looked("phone-day")
}

// TestBrowserServeTyped: what was typed into the form of a place, and into the grid of jars, outlives a reload, a walk to another page
// and other units; Back never asks whether a form is to be sent again; and the program asks before it ends with it.
func TestBrowserServeTyped(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.leads("/bench", chosen(ownBench(t)))
	w.leads("/site", chromedp.Navigate(strings.Replace(w.at(), "/bench", "/site", 1)))
	of := func(id string) string {
		w.until(fmt.Sprintf("document.readyState === 'complete' && !!document.getElementById(%q)", id))
		return ask[string](w, fmt.Sprintf("document.getElementById(%q).value", id))
	}
	w.do(chromedp.SendKeys(chromedp.CSS("#flow-average-flow"), "3.6"))
	w.leads("/site", chromedp.Reload())
	if got := of("flow-average-flow"); got != "3.6" {
		t.Errorf("after a reload the flow is %q", got)
	}
	w.do(chromedp.SendKeys(chromedp.CSS("#pumps-largest-rate"), "1.8"))
	w.do(chromedp.Click(chromedp.CSS(`button[name=system][value=us]`)))
	w.until(`/units=us/.test(location.search) && document.readyState === 'complete'`)
	if flow, unit, pump := of("flow-average-flow"), ask[string](w, `document.querySelector('[name=flow-average-flow-unit]').value`), of("pumps-largest-rate"); flow != "3.6" || unit != "m3/h" || pump != "1.8" {
		t.Errorf("in US units the flow is %s %s, the pump %s", flow, unit, pump)
	}
	w.leads("/dose", chromedp.Click(chromedp.CSS(`.walk a[href^="/dose"]`)))
	ask[bool](w, "history.back(), true")
	w.leads("/site")
	if got := of("flow-average-flow"); got != "3.6" {
		t.Errorf("after Back the flow is %q", got)
	}
	w.do(chromedp.Navigate(w.address + "/jars"))
	w.do(chromedp.SendKeys(chromedp.CSS(`[name=first-1]`), "4o"))
	w.leads("/jars", chromedp.Click(chromedp.CSS(`button.btn[value=read]`)))
	w.until(`!!document.getElementById('faults')`)
	w.leads("/", chromedp.Navigate(w.address+"/"))
	ask[bool](w, "history.back(), true")
	w.leads("/jars")
	w.until(`document.querySelector('[name=first-1]').value === '4o' && !!document.getElementById('faults')`)
	w.looked("jars-wrong")
	ask[bool](w, `document.querySelector('button[value=anew]').click(), true`)
	w.until(`document.readyState === 'complete' && /Begin anew\?/.test(document.body.textContent)`)
	w.looked("anew")
	ask[bool](w, `document.querySelector('a[data-forget]').click(), true`)
	w.until(`!!document.querySelector('[name=first-1]') && document.querySelector('[name=first-1]').value === ''`)
}

// TestBrowserServeJarsAnew: jars that were sent come back by Back, and not into a test that is begun when they were put away.
func TestBrowserServeJarsAnew(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.do(chromedp.Navigate(w.address + "/jars"))
	ask[bool](w, `(function () {
		var put = function (name, v) { var x = document.querySelector('[name="' + name + '"]'); x.value = v; x.dispatchEvent(new Event('input', { bubbles: true })); };
		put('name', 'Spate'); put('chemical', 'alum'); put('basis', 'as product'); put('target', 'turbidity <= 5 NTU');
		[[0, 40], [10, 30], [20, 12], [30, 5], [40, 3], [50, 3.2]].forEach(function (x, i) { put('dose-' + (i + 1), x[0]); put('first-' + (i + 1), x[1]); });
		return true;
	})()`)
	w.leads("/bench", chromedp.Click(chromedp.CSS(`button.btn[value=read]`)))
	ask[bool](w, "history.back(), true")
	w.leads("/jars")
	w.until(`document.querySelector('[name=first-2]').value === '30'`)
	w.do(chromedp.Navigate(w.address + "/"))
	w.leads("/jars", chromedp.Click(chromedp.CSS(`a[href^="/jars"]`)))
	w.until(`document.readyState === 'complete' && !!document.querySelector('[name=first-2]')`)
	if got := ask[string](w, `[].map.call(document.querySelectorAll('.jar-grid input'), function (x) { return x.value; }).join('')`); got != "" {
		t.Errorf("a new test begins with %q", got)
	}
}

// TestBrowserServeSaved: the workbook of a site is saved when it was asked for, once.
func TestBrowserServeSaved(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.leads("/bench", chosen(ownBench(t)))
	w.leads("/site", chromedp.Navigate(strings.Replace(w.at(), "/bench", "/site", 1)))
	w.do(chromedp.SendKeys(chromedp.CSS("#flow-average-flow"), "3.6"))
	w.leads("/site", chromedp.Click(chromedp.CSS(`button[value=save]`)))
	w.until(`/is being saved/.test(document.body.textContent) && !/saved=/.test(location.search)`)
	w.looked("site-saved")
	w.leads("/site", chromedp.Reload())
	if ask[bool](w, `/is being saved/.test(document.body.textContent)`) {
		t.Error("a reload saves it again")
	}
}

// TestBrowserServePrint prints the bench sheet: every column is on the paper, nothing to press is, and no column without anything
// below it is said to be part of the dose.
func TestBrowserServePrint(t *testing.T) {
	t.Parallel()
	totext := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "pdftotext")
	w := open(t, browsing(t), offered(t), 1280)
	w.leads("/bench", chosen(ownBench(t)))
	for path, x := range map[string]struct{ holds, never []string }{
		"/bench": {[]string{"A B C D E F G H I J", "residual", "aluminium", "remark", "nothing", "no floc", "7.41", "38.4"}, []string{"change", "Show the dose", "Drop or choose", "Read it otherwise"}},
		"/dose":  {[]string{"Lowest dose that works", "13.3 mg/L", "The jars"}, []string{"Type it instead", "Drop or choose", "End the program", "Save"}},
	} {
		w.leads(path, chromedp.Navigate(strings.Replace(w.at(), ask[string](w, "location.pathname"), path, 1)))
		pdf, err := chromedp.Run(w.ctx, chromedp.PrintToPDF())
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "page.pdf")
		write(t, file, pdf)
		if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" {
			write(t, filepath.Join(dir, "print-"+path[1:]+".pdf"), pdf)
		}
		said := strings.Join(strings.Fields(ran(t, totext, "-layout", file, "-")), " ")
		for _, want := range x.holds {
			if !strings.Contains(said, want) {
				t.Errorf("%s on paper lacks %q:\n%s", path, want, said)
			}
		}
		for _, never := range x.never {
			if strings.Contains(said, never) {
				t.Errorf("%s on paper has %q", path, never)
			}
		}
	}
}
