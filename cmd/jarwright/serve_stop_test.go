package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"jarwright/cmd/jarwright/serve"
)

// ending tells of each run of a page that was stopped how long it went on afterwards.
type ending struct {
	args []string
	late time.Duration
}

// TestBrowserServeStop stops past tests that are read, and a sheet of many tests that is fitted: the work ends, the page says so, and
// what is asked next is answered without waiting for it.
func TestBrowserServeStop(t *testing.T) {
	t.Parallel()
	ended := make(chan ending, 10)
	address := offeredWith(t, func(o *serve.Options) {
		whole := o.Program
		o.Program = func(ctx context.Context, c serve.Call) serve.Answer {
			stopped := make(chan time.Time, 1)
			defer context.AfterFunc(ctx, func() { stopped <- time.Now() })()
			a := whole(ctx, c)
			if errors.Is(a.Err, context.Canceled) {
				ended <- ending{c.Args, time.Since(<-stopped)}
			}
			return a
		}
	})
	many := filepath.Join(t.TempDir(), "many.csv")
	write(t, many, manyTests(2000))
	list, err := filepath.Glob(filepath.Join(pastSheets(t, 450), "*.csv"))
	if err != nil || len(list) != 450 {
		t.Fatalf("%d sheets, %v", len(list), err)
	}
	browser := browsing(t)
	for _, x := range []struct {
		what, path, says string
		begin            func(w *window)
	}{
		{"past tests", "/past", "Reading 450 files", func(w *window) {
			w.leads("/past", chromedp.Navigate(address+"/past"))
			w.do(chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), list))
		}},
		{"a sheet of many tests", "/dose", "Fitting 2000 series", func(w *window) {
			w.leads("/bench", chosen(many))
			w.do(chromedp.Click(chromedp.CSS(`.walk a[href^="/dose"]`)))
		}},
	} {
		t.Run(x.what, func(t *testing.T) {
			w := open(t, browser, address, 1280)
			x.begin(w)
			w.until(fmt.Sprintf(`location.pathname === %q && document.body.innerText.replace(/\s+/g, " ").includes(%q) && !!document.querySelector('form[action="/stop"] button')`, x.path, x.says))
			w.fits()
			w.pictured("working-" + strings.ReplaceAll(x.what, " ", "-"))
			w.until(`(function (b) { if (b) b.click(); return !!b; })(document.querySelector('form[action="/stop"] button'))`) // of a page that looks again every second
			w.leads("/stopped")
			w.says("The work was stopped before it was done")
			w.looked("stopped")
			begun := time.Now()
			next := open(t, browser, address, 1280)
			next.leads("/bench", chosen(ownBench(t)))
			next.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
			next.says("13.3 mg/L")
			t.Logf("the next dose stands %v after the stop", time.Since(begun))
			select {
			case e := <-ended:
				if e.args[0] != map[string]string{"/past": "track", "/dose": "fit"}[x.path] || e.late > 2*time.Second {
					t.Errorf("%v went on for %v", e.args[0], e.late)
				}
			default:
				t.Error("the work goes on")
			}
		})
	}
}

// manyTests is a sheet of so many tests, one below the other.
func manyTests(n int) string {
	var b strings.Builder
	b.WriteString("test,jar,alum as alum 14-hydrate (mg/L),turbidity (NTU),target\n")
	for i := range n {
		for k, y := range []float64{46, 31, 12.5, 5.6, 3.2, 2.9} {
			fmt.Fprintf(&b, "T%d,%d,%d,%.4f,turbidity <= 5 NTU\n", i+1, k+1, 4*k, y*(1+0.00005*float64(i)))
		}
	}
	return b.String()
}
