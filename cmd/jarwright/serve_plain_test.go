package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// scriptless opens a window whose pages run no script, and which keeps what it is given in a folder.
func scriptless(t *testing.T, all context.Context, address string, wide int64) (w *window, kept string) {
	t.Helper()
	w = open(t, all, address, wide)
	kept = t.TempDir()
	if _, err := chromedp.Call(w.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.CallBrowser(w.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: kept}); err != nil {
		t.Fatal(err)
	}
	w.leads("/", chromedp.Navigate(address+"/"))
	if ask[bool](w, `document.documentElement.classList.contains('js')`) {
		t.Fatal("the page's script runs")
	}
	return w, kept
}

// downloaded waits for a file that the browser was given to keep.
func downloaded(t *testing.T, folder, name string) []byte {
	t.Helper()
	for end := time.Now().Add(pieceLimit); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if data, err := os.ReadFile(filepath.Join(folder, name)); err == nil && len(data) > 0 {
			return data
		}
	}
	t.Fatalf("%s was not kept", name)
	return nil
}

// TestBrowserServeScriptless walks from a bench sheet to a saved plan where no script runs: a file is sent by its button, a target is
// typed into a field, and nothing is shown that only a script can work.
func TestBrowserServeScriptless(t *testing.T) {
	t.Parallel()
	all := browsing(t)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			w, kept := scriptless(t, all, offered(t), wide)
			w.fits()
			w.do(chosen(ownBench(t)))
			w.leads("/bench", chromedp.Click(chromedp.CSS(`.vessel .drop button`)))
			w.says("bench.xlsx", "Right. Show the dose")
			w.fits()
			w.pictured(fmt.Sprintf("scriptless-bench-%d", wide))
			w.leads("/change", chromedp.Click(chromedp.CSS(map[bool]string{true: `.sheet-cells .mean a`, false: `.narrow-sheet a`}[wide > 640])))
			w.leads("/bench", chromedp.Click(chromedp.CSS(`#matter .next button`)))
			w.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
			w.says("13.3 mg/L")
			if hidden := ask[bool](w, `[].every.call(document.querySelectorAll('[data-slide], [data-copy]'), function (s) { return s.offsetHeight === 0; })`); !hidden {
				t.Error("a slider, or a button to copy, that nothing works is shown")
			}
			w.pictured(fmt.Sprintf("scriptless-dose-%d", wide))
			w.do(chromedp.SetValue(chromedp.CSS(`#ask-goal`), "6,5"))
			w.leads("/dose", chromedp.Click(chromedp.CSS(`#ask button`)))
			w.until(`/turbidity <= 6\.5 NTU/.test(document.getElementById('command').textContent)`)
			dose := ask[string](w, `document.querySelector('#answer .big').textContent.replace(/\s+/g, ' ').trim()`)
			w.until(`!!document.querySelector('#short:not([data-later])')`)
			w.leads("/site", chromedp.Click(chromedp.CSS(`#go`)))
			w.fits()
			w.do(chromedp.SendKeys(chromedp.CSS("#flow-average-flow"), "3,6"))
			w.do(chromedp.Click(chromedp.CSS(`button[name=system][value=us]`)))
			w.until(`/units=us/.test(location.search) && document.readyState === 'complete' && document.getElementById('flow-average-flow').value === '3,6'`)
			w.do(chromedp.Click(chromedp.CSS(`button[name=system][value=metric]`)))
			w.until(`!/units=us/.test(location.search) && document.readyState === 'complete' && !!document.getElementById('flow-average-flow')`)
			w.shows("Something has to be put right first", chromedp.Click(chromedp.CSS(`#plan`))) // a chemical that is sold in several strengths, no pump, and nothing of what the water is for
			w.do(chromedp.SendKeys(chromedp.CSS("#place-purpose"), "o"), chromedp.SendKeys(chromedp.CSS("#chemicals-product"), "l"), chromedp.SendKeys(chromedp.CSS("#pumps-largest-rate"), "1,8"))
			w.leads("/day", chromedp.Click(chromedp.CSS(`#plan`)))
			w.says("Set pump to", "Dose "+dose+" as alum 14-hydrate")
			w.fits()
			w.pictured(fmt.Sprintf("scriptless-day-%d", wide))
			w.do(chromedp.Click(chromedp.CSS(`a[href^="/save/xlsx/day"]`)))
			link := ask[string](w, `document.querySelector('a[href^="/save/xlsx/day"]').href`)
			if got, want := downloaded(t, kept, "day.xlsx"), fetched(t, http.MethodGet, link, ""); !bytes.Equal(got, []byte(want)) {
				t.Errorf("%d bytes are kept, %d saved", len(got), len(want))
			}
			w.do(chromedp.Click(chromedp.CSS(`a[href^="/print/"]`)))
			w.until(`/^.print/.test(location.pathname) && document.readyState === 'complete'`)
			w.says("Print it with the browser")
			w.leads("/day", chromedp.Click(chromedp.CSS(`.toprint a`)))
			w.leads("/jars", chromedp.Click(chromedp.CSS(`.tray a[href^="/jars"]`)))
			rows := ask[int](w, `document.querySelectorAll('tr[data-jar]').length`)
			w.do(chromedp.Click(chromedp.CSS(`button[value=more]`)))
			w.until(fmt.Sprintf(`document.readyState === 'complete' && document.querySelectorAll('tr[data-jar]').length === %d`, rows+6))
		})
	}
}
