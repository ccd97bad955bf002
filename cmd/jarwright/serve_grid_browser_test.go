package main

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestBrowserServeGridKeys: in the grid Enter goes to the jar below and sends nothing, arrows go up and down, and what is pasted of a
// sheet fills its rows and columns.
func TestBrowserServeGridKeys(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.do(chromedp.Navigate(w.address + "/jars"))
	w.until(`document.readyState === 'complete' && !!document.querySelector('[name=dose-1]')`)
	w.do(chromedp.SendKeys(chromedp.CSS(`[name=dose-1]`), "5\r"))
	w.until(`document.activeElement.name === 'dose-2'`)
	w.do(chromedp.KeyEvent("\u0301")) // the arrow down
	w.until(`document.activeElement.name === 'dose-3'`)
	if at := ask[string](w, `(function () {
		var x = document.querySelector('[name=dose-2]'), data = new DataTransfer();
		data.setData('text', '10\t30\r\n20\t12\r\n30\t5\r\n40\t3\r\n50\t2\r\n60\t2\r\n');
		x.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
		return ['dose-1', 'dose-2', 'first-2', 'dose-7', 'first-7'].map(function (n) { return document.querySelector('[name=' + n + ']').value; }).join(' ') + ' ' + location.pathname;
	})()`); at != "5 10 30 60 2 /jars" {
		t.Errorf("the grid holds %q", at)
	}
}

// TestBrowserServeNextIsRight: as soon as a slider moves, the jars to fill are marked as not yet right, and those that come are of that
// answer.
func TestBrowserServeNextIsRight(t *testing.T) {
	t.Parallel()
	w := open(t, browsing(t), offered(t), 1280)
	w.leads("/bench", chosen(ownBench(t)))
	w.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
	w.until(`!!document.querySelector('#short:not([data-later])')`)
	was := ask[string](w, `document.getElementById('short').textContent`)
	if !ask[bool](w, `(function (i) { i.value = Number(i.value) + 4; i.dispatchEvent(new Event('input', { bubbles: true })); return document.getElementById('more').getAttribute('aria-busy') === 'true'; })(document.getElementById('slide-goal'))`) {
		t.Error("the jars of the answer before stand as if they were right")
	}
	w.until(`!/5 NTU/.test(document.getElementById('command').textContent) && document.readyState === 'complete'`)
	if now := ask[string](w, `document.querySelector('#short:not([data-later])') && !document.getElementById('more').hasAttribute('aria-busy') ? document.getElementById('short').textContent : ''`); now == was {
		t.Error("the jars of the answer before stand beside the new one")
	}
	w.until(`!!document.querySelector('#short:not([data-later])') && !document.getElementById('more').hasAttribute('aria-busy')`)
	if now := ask[string](w, `document.getElementById('short').textContent`); now == was {
		t.Errorf("the jars stay %q", now)
	}
}
