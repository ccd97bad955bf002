package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"jarwright/cmd/jarwright/serve"
)

// dropped drops files on the desk, for past tests where that is said, and gives where that leads.
func (d deskAt) dropped(desk string, past bool, files ...[2]string) *httptest.ResponseRecorder {
	d.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	_ = m.WriteField("token", d.token)
	_ = m.WriteField("desk", desk)
	if past {
		_ = m.WriteField("for", "past")
	}
	for _, f := range files {
		part, err := m.CreateFormFile("file", f[0])
		if err != nil {
			d.t.Fatal(err)
		}
		_, _ = part.Write([]byte(f[1]))
	}
	_ = m.Close()
	r := httptest.NewRequest(http.MethodPost, "/files", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Origin", "http://"+d.host)
	r.Host = d.host
	w := httptest.NewRecorder()
	d.s.Handler().ServeHTTP(w, r)
	return w
}

// savedAs holds what a page saves in each of its forms against what the command that it shows writes.
func (d deskAt) savedAs(path, query string, command []string) {
	d.t.Helper()
	for _, form := range []string{"html", "png", "xlsx", "json", "csv"} {
		name := path + "." + form
		if _, errs, code := program(d.t, append(command, "-o", name)...); code != exitDone && code != exitNoAnswer {
			d.t.Fatalf("%v ended with %d: %s", command, code, errs)
		}
		want, err := os.ReadFile(name)
		if err != nil {
			d.t.Fatal(err)
		}
		if got := d.do(httptest.NewRequest(http.MethodGet, "/save/"+form+"/"+path+"?"+query, nil), http.StatusOK).Body.Bytes(); !bytes.Equal(got, want) {
			d.t.Errorf("%s: %d bytes are saved, %d are written by %v", name, len(got), len(want), command)
		}
	}
}

// TestServePast asks the demo's past tests for today's water: the page shows and saves what the command does, asks by the
// turbidity of the bench sheet first, and the demo on the page leaves nothing on the disk.
func TestServePast(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	d, all := newDesk(t)
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Fatalf("the page left %v on the disk, %v", left, err)
	}
	demoInputs(t, dir)
	page := d.get("/past?"+all.Encode(), http.StatusOK)
	for _, want := range []string{`name="raw" value="46"`, "That of the bench sheet", `<span class="of">NTU</span>`, "9 past tests", "1 of 1",
		"ask for its dose in “Turbidity of today’s raw water”", "in a folder named “past”", "Test next", `name="for" value="past"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	if strings.Contains(page, "--raw") {
		t.Error("the page names a flag in its sentences")
	}
	to := d.do(httptest.NewRequest(http.MethodGet, "/past?"+url.Values{"desk": {all.Encode()}, "raw": {"85"}, "temperature": {"8,5"}, "alkalinity": {""}, "sure": {"19 in 20"}}.Encode(), nil), http.StatusSeeOther).
		Header().Get("Location")
	_, query, _ := strings.Cut(to, "?")
	page = d.get(to, http.StatusOK)
	command := commandOf(t, page)
	if want := []string{"track", "past", "bench.xlsx", "--sure", "19 in 20", "--raw", "85 NTU", "--temperature", "8.5 °C"}; strings.Join(command, "|") != strings.Join(want, "|") {
		t.Errorf("the page shows %q", command)
	}
	d.savedAs("past", query, command)
	var doc struct {
		Prediction struct {
			Planning struct{ Value float64 } `json:"planning_dose"`
		}
	}
	data, err := os.ReadFile("past.json")
	if err == nil {
		err = json.Unmarshal(data, &doc)
	}
	if dose := fmt.Sprintf("%.1f mg/L", doc.Prediction.Planning.Value); err != nil || doc.Prediction.Planning.Value < 15 || !strings.Contains(page, dose) {
		t.Errorf("the page does not say %s: %v", dose, err)
	}
	for _, want := range []string{`name="raw" value="85"`, `name="temperature" value="8.5"`, "today, 85"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	for _, wrong := range []struct{ flag, value, says string }{
		{"raw", "muddy", "“Turbidity of today’s raw water”: "}, {"alkalinity", "5 km", "“Its alkalinity”: "}, {"uv254", "much", "“Its UV254”: "},
	} {
		q := url.Values{wrong.flag: {wrong.value}}
		for k, v := range all {
			q[k] = v
		}
		if page := d.get("/past?"+q.Encode(), http.StatusOK); !strings.Contains(page, wrong.says) || strings.Contains(page, "argument") {
			t.Errorf("of %s %q the page does not say %s", wrong.flag, wrong.value, wrong.says)
		}
	}
}

// TestServePastDropped drops past tests at once: one that cannot be read is named and left out, two of one name are both kept,
// a site among them is put down as one, and what is saved is what the command makes of the folder.
func TestServePastDropped(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	d, _ := newDesk(t)
	if page := d.get("/past", http.StatusOK); !strings.Contains(page, "Drop your past bench sheets here") || !strings.Contains(page, `name="for" value="past"`) {
		t.Error("the page does not ask for past tests")
	}
	var files [][2]string
	list, err := os.ReadDir("past")
	if err != nil || len(list) != 9 {
		t.Fatalf("%d past tests, %v", len(list), err)
	}
	for i, x := range list {
		data, err := os.ReadFile(filepath.Join("past", x.Name()))
		if err != nil {
			t.Fatal(err)
		}
		name := x.Name()
		if i < 2 {
			name = "test.xlsx" // of two folders
		}
		files = append(files, [2]string{name, string(data)})
	}
	place, err := os.ReadFile("site.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	files = append(files, [2]string{"broken.xlsx", "PK\x03\x04 broken off"}, [2]string{"site.xlsx", string(place)})
	to := d.dropped("", true, files...).Header().Get("Location")
	if !strings.HasPrefix(to, "/past?") {
		t.Fatalf("it leads to %q", to)
	}
	page := d.get(to, http.StatusOK)
	for _, want := range []string{"10 past tests", "site workbook", "1 of 10 files skipped", "broken.xlsx", "1 of 1", `name="raw" value="60"`, "That of the site"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	if err := os.RemoveAll("past"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir("past", 0o755); err != nil {
		t.Fatal(err)
	}
	for i, f := range files[:10] {
		name := f[0]
		if i == 1 {
			name = "test (2).xlsx"
		}
		write(t, filepath.Join("past", name), f[1])
	}
	_, query, _ := strings.Cut(to, "?")
	d.savedAs("past", query, commandOf(t, page))

	// More of them are added, and one that came before gives way to its correction.
	more := d.dropped(query, true, files[2]).Header().Get("Location")
	if page := d.get(more, http.StatusOK); !strings.Contains(page, "10 past tests") {
		t.Error("the same sheet dropped again is not one")
	}
	if page := d.get(to, http.StatusOK); !strings.Contains(page, "10 past tests") {
		t.Error("Back does not lead to what was there before")
	}
	many := make([][2]string, 501)
	for i := range many {
		many[i] = [2]string{fmt.Sprintf("t%d.csv", i), "x"}
	}
	if w := d.dropped("", true, many...); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("501 past tests are answered with %d", w.Code)
	}
}

// TestServePastFolder takes all sheets of the folder that files may be opened from: what is saved is what the command makes of it.
func TestServePastFolder(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	root, err := os.OpenRoot("past")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	e := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard}}
	d := deskAt{t: t, host: "127.0.0.1:8149"}
	d.s = serve.New(serve.Options{Program: e.inMemory, Kind: kindOf, Demo: e.demoFiles, Port: "8149", Folder: folder{root}})
	t.Cleanup(d.s.Close)
	start := d.get("/past", http.StatusOK)
	if !strings.Contains(start, "Take all sheets of the folder past") {
		t.Errorf("the page does not offer the folder: %s", start)
	}
	_, d.token, _ = strings.Cut(start, `name="token" value="`)
	d.token, _, _ = strings.Cut(d.token, `"`)
	to := d.post("/open", url.Values{"for": {"past"}}, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	command := commandOf(t, page)
	if !strings.Contains(page, "9 past tests") || strings.Join(command, " ") != "track past" {
		t.Errorf("the page shows %q", command)
	}
	_, query, _ := strings.Cut(to, "?")
	d.savedAs("past", query, command)
}

// TestServeTrial drops the log of a unit, which opens its report.
func TestServeTrial(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	d, _ := newDesk(t)
	data, err := os.ReadFile("trial.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	to := d.dropped("", false, [2]string{"trial.xlsx", string(data)}).Header().Get("Location")
	_, query, _ := strings.Cut(to, "?")
	if !strings.HasPrefix(to, "/trials?") {
		t.Fatalf("it leads to %q", to)
	}
	page := d.get(to, http.StatusOK)
	for _, want := range []string{"trial log", "What to put into the site", "olids caught", "To the site; these figures go into its workbook", `name="to"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	d.savedAs("trials", query, commandOf(t, page))
	if page := d.get(to+"&to=much", http.StatusOK); !strings.Contains(page, "“Reading to clear to”") || strings.Contains(page, "--to</") {
		t.Errorf("a wrong reading is not told by its field: %s", page)
	}
}

// shows does what leads to a page that says so, which may be at the same path, and waits until that is there.
func (w *window) shows(words string, actions ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	w.do(actions...)
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	ready := `document.readyState === "complete" && !document.querySelector('meta[http-equiv=refresh]') && document.body.innerText.replace(/\s+/g, " ").includes(` + fmt.Sprintf("%q", words) + ")"
	for there := false; !there; time.Sleep(50 * time.Millisecond) {
		var err error
		if there, err = chromedp.Run(ctx, chromedp.Evaluate[bool](ready)); ctx.Err() != nil { // an error of a page that is being left is none
			w.t.Fatalf("%q is not shown: %v, at %s", words, err, w.at())
		}
	}
}

// TestBrowserServePast walks past tests and a trial wide and as narrow as a phone: from the first page, by the keyboard, with
// Back and a reload, and in two windows.
func TestBrowserServePast(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	demoInputs(t, dir)
	var sheets []string
	for _, x := range demoPast {
		sheets = append(sheets, filepath.Join(dir, "past", x.day+".xlsx"))
	}
	browser := browsing(t)
	for _, wide := range []int64{1280, 360} {
		t.Run(fmt.Sprint(wide), func(t *testing.T) {
			address := offered(t)
			w, other := open(t, browser, address, wide), open(t, browser, address, wide)
			w.leads("/past", chromedp.Click(chromedp.CSS(`.also a[href^="/past"]`)))
			w.says("Drop your past bench sheets here")
			w.looked(fmt.Sprintf("past-start-%d", wide))
			w.shows("1 of 1", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), sheets))
			w.says("9 past tests", "jarwright track past")
			w.looked(fmt.Sprintf("past-%d", wide))
			first := w.at()
			w.shows("water of 85 NTU", chromedp.SendKeys(chromedp.CSS(`#ask-raw`), "85\r"))
			w.says(`--raw "85 NTU"`)
			w.looked(fmt.Sprintf("past-raw-%d", wide))
			w.shows("water of 85 NTU", chromedp.Reload())
			ask[bool](w, "history.back(), true")
			w.shows("1 of 1")
			if w.at() != first {
				t.Errorf("Back leads to %s, not to %s", w.at(), first)
			}
			other.leads("/trials", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{filepath.Join(dir, "trial.xlsx")}))
			other.says("A pass takes out", "jarwright trial trial.xlsx")
			other.looked(fmt.Sprintf("trial-%d", wide))
			w.shows("1 of 1", chromedp.Reload())
			w.says("9 past tests")
		})
	}
}
