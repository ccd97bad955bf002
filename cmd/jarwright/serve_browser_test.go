package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"jarwright/cmd/jarwright/serve"
	"jarwright/templates/desk"
)

// window is a browser's window on a page of its own server.
type window struct {
	t       *testing.T
	ctx     context.Context
	address string
	faults  []string // what the browser complained of
}

// offered starts the page on this machine and gives its address.
func offered(t *testing.T) string {
	t.Helper()
	return offeredWith(t, func(*serve.Options) {})
}

// offeredWith does so with other options.
func offeredWith(t *testing.T, change func(*serve.Options)) string {
	t.Helper()
	e := &env{streams: streams{Out: io.Discard, Err: io.Discard}}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	o := serve.Options{Program: e.inMemory, Render: render, Kind: kindOf, Log: isPlantLog, Demo: e.demoFiles}
	_, o.Port, _ = net.SplitHostPort(l.Addr().String())
	change(&o)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- serveOn(ctx, l, serve.New(o)) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Errorf("the page did not end well: %v", err)
		}
	})
	return "http://" + l.Addr().String()
}

// browsing opens a browser for a test; its windows share it.
func browsing(t *testing.T) context.Context {
	t.Helper()
	chromium := needTool(t, "JARWRIGHT_REQUIRE_BROWSER", "chromium", "chromium-browser", "google-chrome")
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true))
	all, endAll := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := chromedp.NewContext(all)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("the browser does not start: %v", err)
	}
	t.Cleanup(func() { end(); endAll() })
	return ctx
}

// open opens a window as wide as asked for on the start page.
func open(t *testing.T, browser context.Context, address string, wide int64) *window {
	t.Helper()
	tab, end := chromedp.NewContext(browser)
	w := &window{t: t, ctx: tab, address: address}
	messages, read := chromedp.Console(tab), make(chan struct{})
	go func() {
		defer close(read)
		for m, err := range messages {
			if err != nil {
				return
			}
			if told := strings.Contains(m.Text, "the server responded with a status of"); m.IsException() || m.Type == chromedp.ConsoleError && !told {
				w.faults = append(w.faults, m.Text)
			}
		}
	}()
	t.Cleanup(func() {
		end()
		<-read
		for _, f := range w.faults {
			t.Errorf("the browser complains: %s", f)
		}
	})
	w.do(chromedp.EmulateViewport(wide, 900), chromedp.Navigate(address+"/"))
	return w
}

// do acts on the page.
func (w *window) do(actions ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	if err := chromedp.Do(ctx, actions...); err != nil {
		w.t.Fatalf("%v, at %s:\n%s", err, w.at(), ask[string](w, "document.body.innerText"))
	}
}

// ask asks the page for the value of an expression, which may be promised.
func ask[T any](w *window, expression string) T {
	w.t.Helper()
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatal(err)
	}
	return v
}

// at is the address of the window.
func (w *window) at() string { return ask[string](w, "location.href") }

// leads does what leads to another page, and waits until that is there.
func (w *window) leads(to string, actions ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	ready := `document.readyState === "complete" && location.pathname === ` + fmt.Sprintf("%q", to) + ` && !document.querySelector('body[data-again]')`
	w.do(actions...)
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	for there := false; !there; {
		var err error
		if there, err = chromedp.Run(ctx, chromedp.Evaluate[bool](ready)); ctx.Err() != nil { // an error of a page that is being left is none
			w.t.Fatalf("%s is not reached: %v, at %s:\n%s", to, err, w.at(), ask[string](w, "document.body.innerText"))
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// says fails where the page's matter lacks words.
func (w *window) says(words ...string) {
	w.t.Helper()
	w.until(`document.body !== null`) // a page that is taken out of the browser's memory may load once more
	plain := strings.Join(strings.Fields(ask[string](w, "document.body.innerText")), " ")
	for _, want := range words {
		if !strings.Contains(plain, want) {
			w.t.Errorf("the page lacks %q:\n%s", want, plain)
		}
	}
}

// fits holds the page to what every page is held to: nothing cut off, no text too small, the answer large.
func (w *window) fits() {
	w.t.Helper()
	_, look, _ := strings.Cut(probe, "function look")
	look, _, _ = strings.Cut(look, "\nwindow.addEventListener")
	for _, b := range ask[[]string](w, "(function look"+look+")(document, location.pathname)") {
		w.t.Error(b)
	}
	// WCAG 2.2, success criterion 2.5.8: a target is 24 by 24 at least, but for a link within a sentence.
	for _, b := range ask[[]string](w, `[...document.querySelectorAll('a, button, summary')].filter(e => e.offsetParent && !e.matches('.quiet, .skip') &&
		getComputedStyle(e).display !== 'inline' && e.getBoundingClientRect().height < 23.9).map(e => e.innerText + ' is ' + e.getBoundingClientRect().height + ' high')`) {
		w.t.Error(b)
	}
}

// accessible looks at the page with axe-core, whose serious findings fail the test.
func (w *window) accessible() {
	w.t.Helper()
	npm := needTool(w.t, "JARWRIGHT_REQUIRE_BROWSER", "npm")
	root := strings.TrimSpace(ran(w.t, npm, "root", "--global"))
	axe, err := os.ReadFile(filepath.Join(root, "axe-core", "axe.min.js"))
	if err != nil {
		if os.Getenv("JARWRIGHT_REQUIRE_BROWSER") == "1" {
			w.t.Fatal(err)
		}
		w.t.Skip("axe-core is not installed")
	}
	found := ask[string](w, string(axe)+`;axe.run(document, {resultTypes: ['violations']}).then(function (r) {
  return JSON.stringify(r.violations.filter(function (v) { return v.impact === 'serious' || v.impact === 'critical'; }).map(function (v) {
    return v.id + ': ' + v.nodes.map(function (n) { return n.html.slice(0, 120); }).join(' | '); })); })`)
	var list []string
	if err := json.Unmarshal([]byte(found), &list); err != nil {
		w.t.Fatal(err)
	}
	for _, f := range list {
		w.t.Error(f)
	}
}

// pictured keeps a picture of the page, where somebody wants to look.
func (w *window) pictured(name string) {
	w.t.Helper()
	dir := os.Getenv("JARWRIGHT_LOOK")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(w.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		w.t.Fatal(err)
	}
	write(w.t, filepath.Join(dir, name+".png"), png)
}

// looked holds a page to all of it.
func (w *window) looked(name string) {
	w.t.Helper()
	w.fits()
	w.accessible()
	w.pictured(name)
}

// TestBrowserServeDemo walks the invented hatchery from the first page to the day, wide
// and as narrow as a phone, and finds each answer large.
func TestBrowserServeDemo(t *testing.T) {
	t.Parallel()
	browser := browsing(t)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			w := open(t, browser, offered(t), wide)
			w.looked(fmt.Sprintf("start-%d", wide))
			w.leads("/bench", chromedp.Click(chromedp.CSS(`form[action="/demo"] button`)))
			w.says("bench.xlsx", "site.xlsx", "jarwright read bench.xlsx")
			w.looked(fmt.Sprintf("bench-%d", wide))
			w.leads("/dose", chromedp.Click(chromedp.CSS(`.walk a[href^="/dose"]`)))
			w.says("Planning dose of alum", "13.3 mg/L", "jarwright fit bench.xlsx")
			w.looked(fmt.Sprintf("dose-%d", wide))
			w.leads("/day", chromedp.Click(chromedp.CSS(`.walk a[href^="/day"]`)))
			w.says("Pump 1", "Pump 2", "jarwright plan site.xlsx")
			w.looked(fmt.Sprintf("day-%d", wide))
			w.leads("/tank", chromedp.Click(chromedp.CSS(`.also a[href^="/tank"]`)))
			w.says("jarwright clarify site.xlsx")
			w.looked(fmt.Sprintf("tank-%d", wide))
			w.leads("/month", chromedp.Click(chromedp.CSS(`.also a[href^="/month"]`)))
			w.says("jarwright budget site.xlsx")
			w.looked(fmt.Sprintf("month-%d", wide))
			w.leads("/compare", chromedp.Click(chromedp.CSS(`.also a[href^="/compare"]`)))
			w.says("jarwright compare bench.xlsx --site site.xlsx")
			w.looked(fmt.Sprintf("compare-%d", wide))
			w.leads("/past", chromedp.Click(chromedp.CSS(`.also a[href^="/past"]`)))
			w.says("9 past tests", "jarwright track past bench.xlsx")
			w.looked(fmt.Sprintf("past-demo-%d", wide))
			w.leads("/trials", chromedp.Click(chromedp.CSS(`.also a[href^="/trials"]`)))
			w.says("A pass takes out", "jarwright trial trial.xlsx")
			w.leads("/next", chromedp.Click(chromedp.CSS(`.also a[href^="/next"]`)))
			w.says("jarwright next bench.xlsx")
			w.looked(fmt.Sprintf("next-%d", wide))
			w.leads("/site", chromedp.Click(chromedp.CSS(`.walk a[href^="/site"]`)))
			w.says("The place: ", "Plan the day")
			w.looked(fmt.Sprintf("site-held-%d", wide))
			w.leads("/day", chromedp.Click(chromedp.CSS(`main .next a.btn`)))
			w.leads("/print/pump-card/day", chromedp.Click(chromedp.CSS(`a[href^="/print/pump-card/day"]`)))
			w.says("Pump card: pump 1, alum")
			w.looked(fmt.Sprintf("card-%d", wide))
			for _, units := range []string{"metric", "us"} {
				w.leads("/site", chromedp.Navigate(w.address+"/site?passes=recirculating&units="+units))
				w.looked(fmt.Sprintf("site-form-%s-%d", units, wide))
			}
			w.leads("/jars", chromedp.Navigate(w.address+"/jars"))
			w.looked(fmt.Sprintf("jars-%d", wide))
		})
	}
}

// TestBrowserServeDrop drops a sheet of one's own and a file that is none.
func TestBrowserServeDrop(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	sheet, wrong := filepath.Join(dir, "storm.csv"), filepath.Join(dir, "picture.xlsx")
	write(t, sheet, benchCSV)
	write(t, wrong, "PK\x03\x04 broken off")
	w := open(t, browsing(t), offered(t), 1280)
	w.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{sheet}))
	first := w.at()
	w.says("storm.csv")
	w.leads("/dose", chromedp.Click(chromedp.CSS(`.walk a[href^="/dose"]`)))
	ask[bool](w, "history.back(), true")
	w.leads("/bench")
	if w.at() != first {
		t.Errorf("Back leads to %s, not to %s", w.at(), first)
	}
	w.leads("/bench", chromedp.Reload())
	w.says("storm.csv")
	w.leads("/refused", chromedp.Navigate(w.address+"/"), chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{wrong}))
	w.says("picture.xlsx", "the workbook is damaged or incomplete", "Not read")
	w.looked("wrong")
	w.leads("/refused", chromedp.Reload())
	w.says("the workbook is damaged or incomplete")
	w.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.acts input[type=file]`), []string{sheet}))
	ask[bool](w, "history.back(), true")
	w.leads("/refused")
	w.says("the workbook is damaged or incomplete")
	ask[bool](w, "history.back(), true")
	w.leads("/")
	w.says("Drop a bench sheet here")
	huge := filepath.Join(dir, "huge.csv")
	write(t, huge, strings.Repeat("0,1,2,3\n", 100<<20/8))
	w.do(chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{huge}))
	w.says("huge.csv is larger than 20 MB: nothing was sent.") // and the page is still the first one
	w.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{sheet}))
}

// TestBrowserServeUnit: a unit that is written wrongly over a column is put right by “change” above it, wide and on a phone, and the dose
// then counts in it; Back leads to the sheet as it was read before.
func TestBrowserServeUnit(t *testing.T) {
	t.Parallel()
	sheet := filepath.Join(t.TempDir(), "slip.csv")
	write(t, sheet, strings.Replace(benchCSV, "Dose (mg/L)", "Dose (g/L)", 1))
	browser := browsing(t)
	for wide, change := range map[int64]string{1280: `.sheet-cells .mean a[href*="Dose"]`, 360: `.narrow-sheet a[href*="Dose"]`} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			w := open(t, browser, offered(t), wide)
			w.leads("/bench", chosen(sheet))
			before := w.at()
			w.leads("/change", chromedp.Click(chromedp.CSS(change)))
			w.says("What is “Dose (g/L)”?", "0, 10, 20, 30, 40, 50, 60")
			w.looked(fmt.Sprintf("change-%d", wide))
			w.do(chromedp.SendKeys(chromedp.CSS(`#unit`), "mg/L"))
			w.leads("/bench", chromedp.Click(chromedp.CSS(`#matter form button`)))
			w.says("Dose (g/L)=dose mg/L")
			w.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
			w.until(`/^3\d(\.\d)?\s*mg\/L$/.test(document.querySelector('#answer .big').textContent.trim().replace(/\u00a0/g, ' '))`)
			ask[bool](w, "history.go(-3), true")
			w.until("location.href === " + fmt.Sprintf("%q", before) + " && document.readyState === 'complete'")
		})
	}
}

// TestBrowserServeAway: a sheet that is put away does not come back by a reload or by Back, and the same sheet in another window stays.
func TestBrowserServeAway(t *testing.T) {
	t.Parallel()
	browser, address, sheet := browsing(t), offered(t), ownBench(t)
	a, b := open(t, browser, address, 1280), open(t, browser, address, 360)
	for _, w := range []*window{a, b} {
		w.leads("/bench", chosen(sheet))
	}
	a.leads("/", chromedp.Click(chromedp.CSS(`.tray button.away`)))
	a.leads("/", chromedp.Reload())
	if ask[bool](a, `!!document.getElementById('tray')`) {
		t.Error("a reload brings it back")
	}
	ask[bool](a, "history.back(), true")
	a.until(`/Not here/.test(document.body.innerText)`)
	a.says("is not open here any more")
	a.looked("put-away")
	a.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.acts input[type=file]`), []string{sheet}))
	a.says("Read: seven jars")
	b.leads("/bench", chromedp.Reload())
	b.says("Read: seven jars")
	b.leads("/dose", chromedp.Click(chromedp.CSS(`#to-dose`)))
	b.says("13.3 mg/L")
	wrong := filepath.Join(t.TempDir(), "manual.pdf")
	write(t, wrong, "%PDF-1.4 of a meter")
	b.leads("/refused", chromedp.SetUploadFiles(chromedp.CSS(`.tray input[type=file]`), []string{wrong}))
	b.says("Not read", "manual.pdf: this is a PDF document", "bench.xlsx")
	b.looked("refused-360")
	b.leads("/dose", chromedp.Click(chromedp.CSS(`.walk a[href^="/dose"]`)))
	b.says("13.3 mg/L")
}

// TestBrowserServeWindows works in two windows, neither of which disturbs the other.
func TestBrowserServeWindows(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	one, two := filepath.Join(dir, "one.csv"), filepath.Join(dir, "two.csv")
	write(t, one, benchCSV)
	write(t, two, twoChemicals)
	browser, address := browsing(t), offered(t)
	a, b := open(t, browser, address, 1280), open(t, browser, address, 1280)
	a.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{one}))
	b.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{two}))
	a.leads("/bench", chromedp.Reload())
	a.says("one.csv")
	b.says("two.csv")
}

// TestBrowserServeEndedElsewhere: what is ended in one window is told in the others, which ask for nothing any more.
func TestBrowserServeEndedElsewhere(t *testing.T) {
	t.Parallel()
	browser, address := browsing(t), offeredWith(t, func(o *serve.Options) { o.End = func() {} })
	a, b := open(t, browser, address, 1280), open(t, browser, address, 1280)
	a.leads("/end", chromedp.Click(chromedp.CSS(`.end button`)))
	a.says("The program has ended")
	for tries := 0; tries < 100 && !ask[bool](b, `!!document.getElementById("gone")`); tries++ {
		time.Sleep(50 * time.Millisecond)
	}
	b.says("The program was ended in another window")
	if ask[int](b, `document.querySelectorAll("form button:not(:disabled), form input:not(:disabled)").length`) > 0 {
		t.Error("the other window still asks")
	}
	if ask[bool](a, `!!document.getElementById("gone")`) {
		t.Error("the window that ended it speaks of another")
	}
	b.looked("ended-elsewhere")
}

// TestBrowserServeStopSending: a file that is being sent can be stopped; the page stays as it was and takes the next one.
func TestBrowserServeStopSending(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	slow, sheet := filepath.Join(dir, "slow.csv"), filepath.Join(dir, "storm.csv")
	write(t, slow, benchCSV)
	write(t, sheet, benchCSV)
	hold := make(chan struct{})
	address := offeredWith(t, func(o *serve.Options) {
		of := o.Kind
		o.Kind = func(name string, data []byte) desk.Kind {
			if name == "slow.csv" {
				<-hold
			}
			return of(name, data)
		}
	})
	defer close(hold)
	w := open(t, browsing(t), address, 360)
	// The page itself presses the button: the driver of the browser waits while a form is being sent.
	ask[bool](w, `document.querySelector('.vessel input[type=file]').addEventListener('change', function () { setTimeout(function () {
  var says = document.querySelector('p.holds[role=status]');
  window.told = says.textContent;
  says.querySelector('button').click();
}, 1000); }, { once: true }), true`)
	w.do(chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{slow}))
	for tries := 0; tries < 100 && ask[string](w, "window.told || ''") == ""; tries++ {
		time.Sleep(50 * time.Millisecond)
	}
	if told := ask[string](w, "window.told || ''"); told != "Sending and reading slow.csv … Stop" {
		t.Errorf("while a file is sent the page says %q", told)
	}
	w.says("Stopped: nothing was taken")
	w.looked("stopped-sending-360")
	w.leads("/bench", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{sheet}))
	w.says("storm.csv")
	if plain := ask[string](w, "document.body.innerText"); strings.Contains(plain, "slow.csv") {
		t.Error("what was stopped lies on the desk")
	}
}

// TestServeSaves saves each form of each answer, byte for byte what the command
// that the page shows writes.
func TestServeSaves(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	address := offered(t)
	// The demo's files, as the page holds them.
	e := &env{streams: streams{Out: io.Discard, Err: io.Discard}}
	files, err := e.demoFiles()
	if err != nil {
		t.Fatal(err)
	}
	demoInputs(t, dir) // the past tests in their folder too
	for _, f := range files {
		if f.Parts == nil {
			write(t, f.Name, f.Data)
		}
	}
	start := fetched(t, http.MethodGet, address+"/", "")
	_, token, _ := strings.Cut(start, `name="token" value="`)
	token, _, _ = strings.Cut(token, `"`)
	bench := fetched(t, http.MethodPost, address+"/demo", "token="+token)
	saved := 0
	for _, path := range []string{"/bench", "/dose", "/day", "/tank", "/month", "/compare", "/next", "/past", "/trials"} {
		_, query, _ := strings.Cut(linkTo(bench, path), "?")
		page := fetched(t, http.MethodGet, address+path+"?"+query, "")
		_, line, _ := strings.Cut(page, `<code id="command"`)
		_, line, _ = strings.Cut(line, ">")
		line, _, _ = strings.Cut(line, "</code>")
		words := strings.Fields(line)[1:]
		for _, link := range strings.Split(page, `href="/save/`)[1:] {
			link, _, _ = strings.Cut(link, `"`)
			form, _, _ := strings.Cut(link, "/")
			got := fetched(t, http.MethodGet, address+"/save/"+strings.ReplaceAll(link, "&amp;", "&"), "")
			name := strings.TrimPrefix(path, "/") + "." + form
			if _, errs, code := program(t, append(words, "-o", name)...); code != exitDone && code != exitNoAnswer {
				t.Fatalf("%v ended with %d: %s", words, code, errs)
			}
			want, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal([]byte(got), want) {
				t.Errorf("%s: %d bytes are saved, %d are written by %s", name, len(got), len(want), line)
			}
			saved++
		}
	}
	if saved < 42 {
		t.Errorf("only %d answers were saved", saved)
	}
}

// fetched asks the page and gives what it answers, after a change what it leads to.
func fetched(t *testing.T, method, address, form string) string {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, address, strings.NewReader(form))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", strings.Join(strings.SplitN(address, "/", 4)[:3], "/"))
	}
	for range 60 { // until a long answer is there
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(answer.Body)
		_ = answer.Body.Close()
		if err != nil || answer.StatusCode != http.StatusOK {
			t.Fatalf("%s is answered with %d: %s (%v)", address, answer.StatusCode, b, err)
		}
		if !bytes.Contains(b, []byte(`http-equiv="refresh"`)) {
			return string(b)
		}
		r, err = http.NewRequestWithContext(t.Context(), http.MethodGet, answer.Request.URL.String(), nil)
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Second)
	}
	t.Fatalf("%s is not answered", address)
	return ""
}

// linkTo is the address of a page that another one links to.
func linkTo(page, path string) string {
	_, link, _ := strings.Cut(page, `href="`+path+`?`)
	link, _, _ = strings.Cut(link, `"`)
	return path + "?" + strings.ReplaceAll(link, "&amp;", "&")
}

// TestServeEnds ends the page by a signal, with a request still open, and finds the port free again.
func TestServeEnds(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("-short: builds the program")
	}
	bin := filepath.Join(t.TempDir(), "jarwright")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		cmd := exec.Command(bin, "serve")
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		line := make([]byte, 100)
		n, err := out.Read(line)
		if err != nil {
			t.Fatal(err)
		}
		address := strings.TrimSpace(string(line[:n]))
		host := strings.TrimSuffix(strings.TrimPrefix(address, "http://"), "/")
		half, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(half, "GET / HTTP/1.1\r\nHost: ") // and no more
		if page := fetched(t, http.MethodGet, address, ""); !strings.Contains(page, "Drop a bench sheet here") {
			t.Errorf("it answers %s", page)
		}
		if err := cmd.Process.Signal(signal); err != nil {
			t.Fatal(err)
		}
		if err := cmd.Wait(); err != nil {
			t.Errorf("after %v it ended with %v", signal, err)
		}
		_ = half.Close()
		again, err := net.Listen("tcp", host)
		if err != nil {
			t.Errorf("the port is not free: %v", err)
			continue
		}
		_ = again.Close()
	}
}
