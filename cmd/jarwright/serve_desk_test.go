package main

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"jarwright/cmd/jarwright/serve"
)

// deskAt is a page of the program and what a browser that follows no links by itself knows of it.
type deskAt struct {
	t     *testing.T
	s     *serve.Server
	host  string
	token string
}

// newDesk opens a page with the demo's files and gives the query that they make.
func newDesk(t *testing.T) (d deskAt, all url.Values) {
	t.Helper()
	e := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard}}
	d = deskAt{t: t, host: "127.0.0.1:8149"}
	d.s = serve.New(serve.Options{Program: e.inMemory, Render: render, Kind: kindOf, Log: isPlantLog, Demo: e.demoFiles, Port: "8149"})
	t.Cleanup(d.s.Close)
	d.token = regexp.MustCompile(`name="token" value="([0-9a-f]+)"`).FindStringSubmatch(d.get("/", http.StatusOK))[1]
	to := d.post("/demo", url.Values{}, http.StatusSeeOther).Header().Get("Location")
	u, err := url.Parse(to)
	if err != nil || len(u.Query()["file"]) != 4 {
		t.Fatalf("%q, %v", to, err)
	}
	return d, u.Query()
}

func (d deskAt) do(r *http.Request, status int) *httptest.ResponseRecorder {
	d.t.Helper()
	r.Host = d.host
	w := httptest.NewRecorder()
	d.s.Handler().ServeHTTP(w, r)
	if w.Code != status {
		d.t.Fatalf("%s %s: %d, want %d\n%s", r.Method, r.URL, w.Code, status, w.Body)
	}
	return w
}

func (d deskAt) get(address string, status int) string {
	d.t.Helper()
	for range 300 { // a page that is still working is asked for again, as its refresh does
		body := breaking(d.do(httptest.NewRequest(http.MethodGet, address, nil), status).Body.String())
		if !strings.Contains(body, `http-equiv="refresh"`) {
			return body
		}
	}
	d.t.Fatalf("%s never came", address)
	return ""
}

// breaking lets all spaces break.
func breaking(page string) string {
	return strings.NewReplacer("\u00a0", " ", "&nbsp;", " ").Replace(page)
}

func (d deskAt) post(address string, fields url.Values, status int) *httptest.ResponseRecorder {
	d.t.Helper()
	fields.Set("token", d.token)
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+d.host)
	return d.do(r, status)
}

// commandOf is the command that a page shows, as a shell would take it apart.
func commandOf(t *testing.T, page string) []string {
	t.Helper()
	m := regexp.MustCompile(`<code id="command"[^>]*>([^<]*)</code>`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("the page shows no command")
	}
	var out []string
	for _, w := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(html.UnescapeString(m[1]), -1) {
		out = append(out, strings.Trim(w, `"`))
	}
	return out[1:]
}

// fitDose is the planning dose of a document of fit, and how sure it is.
func fitDose(t *testing.T, data string) (dose, sure float64) {
	t.Helper()
	var doc struct {
		Series []struct {
			Planning struct{ Value, Confidence float64 } `json:"planning_dose"`
		}
	}
	if err := json.Unmarshal([]byte(data), &doc); err != nil || len(doc.Series) != 1 {
		t.Fatalf("%v in %.200s", err, data)
	}
	return doc.Series[0].Planning.Value, doc.Series[0].Planning.Confidence
}

// TestServeDose: the page of the dose asks the same command anew for another target and another sureness; what it shows
// and saves is what that command gives at a terminal, and more sureness or a tighter target never takes less.
func TestServeDose(t *testing.T) {
	dir := t.TempDir()
	demoInputs(t, dir)
	t.Chdir(dir)
	d, all := newDesk(t)
	page := d.get("/dose?"+all.Encode(), http.StatusOK)
	for _, want := range []string{`data-slide="goal"`, `data-slide="sure"`, `id="ask-goal"`, `<option value="" selected>9 times in 10</option>`, "To the site", "What to test next",
		`href="/site?`, `<h2>What to test next</h2>`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	last := 0.0
	for _, x := range []struct {
		goal, sure, target, flag string
		of                       float64
	}{{"8", "", "turbidity <= 8 NTU", "", 0.9}, {"turbidity <= 5 NTU", "1 in 2", "turbidity <= 5 NTU", "1 in 2", 0.5}, {"5", "", "turbidity <= 5 NTU", "", 0.9}, {"5", "19 in 20", "turbidity <= 5 NTU", "19 in 20", 0.95}} {
		q := url.Values{"desk": {all.Encode()}, "goal": {x.goal}, "sure": {x.sure}}
		to := d.do(httptest.NewRequest(http.MethodGet, "/dose?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
		page := d.get(to, http.StatusOK)
		command := commandOf(t, page)
		want := []string{"fit", "bench.xlsx", "--target", x.target}
		if x.flag != "" {
			want = append(want, "--sure", x.flag)
		}
		if strings.Join(command, "|") != strings.Join(want, "|") {
			t.Errorf("%s, %s: the command is %q", x.goal, x.sure, command)
		}
		file := filepath.Join(dir, "fit.json")
		if _, errs, code := program(t, append(command, "-o", file, "--force")...); code != exitDone {
			t.Fatalf("%q: %d %s", command, code, errs)
		}
		terminal, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if saved := d.get(strings.Replace(to, "/dose", "/save/json/dose", 1), http.StatusOK); saved != string(terminal) {
			t.Errorf("%q: what the page saves is not what the command writes", command)
		}
		dose, sure := fitDose(t, string(terminal))
		if sure != x.of || dose < last {
			t.Errorf("%q: %v mg/L, sure to %v, the one before %v", command, dose, sure, last)
		}
		last = dose
	}
}

// TestServeWanted: a sheet that states no target is asked for one, and what is typed in short leads to the dose.
func TestServeWanted(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	body := "--x\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n" + d.token + "\r\n--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"beck.csv\"\r\n\r\n" +
		"Jar,Alum (mg/L as product),Turbidity (NTU)\n1,0,40\n2,10,30\n3,20,12\n4,30,5\n5,40,3\n6,50,3.2\n\r\n--x--\r\n"
	r := httptest.NewRequest(http.MethodPost, "/files", strings.NewReader(body))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	r.Header.Set("Origin", "http://"+d.host)
	u, err := url.Parse(d.do(r, http.StatusSeeOther).Header().Get("Location"))
	if err != nil {
		t.Fatal(err)
	}
	page := d.get("/dose?"+u.RawQuery, http.StatusOK)
	if !strings.Contains(page, "Which water is wanted?") || !strings.Contains(page, `name="goal"`) {
		t.Error("no target is asked for")
	}
	q := url.Values{"desk": {u.RawQuery}, "goal": {"90 %"}}
	to := d.do(httptest.NewRequest(http.MethodGet, "/dose?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
	page = d.get(to, http.StatusOK)
	if c := commandOf(t, page); strings.Join(c, "|") != "fit|beck.csv|--target|turbidity removal >= 90 %" || !strings.Contains(page, "Planning dose of alum") {
		t.Errorf("%q", c)
	}
}

// TestServeGoalMistyped: a target that cannot be read stays in its field, with what is wrong beside it and the slider above, and is
// put right there.
func TestServeGoalMistyped(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	q := url.Values{"desk": {all.Encode()}, "goal": {"clear water"}}
	to := d.do(httptest.NewRequest(http.MethodGet, "/dose?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	for _, want := range []string{`name="goal" value="clear water"`, `<span class="wrong" id="wrong-goal">`, `aria-describedby="wrong-goal hint-goal" aria-invalid="true"`, `data-slide="goal"`, `data-slide="sure"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s where the target is mistyped", want)
		}
	}
	u, _ := url.Parse(to)
	q = url.Values{"desk": {u.RawQuery}, "goal": {"5"}}
	to = d.do(httptest.NewRequest(http.MethodGet, "/dose?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
	if page = d.get(to, http.StatusOK); strings.Contains(page, "wrong-goal") || !strings.Contains(page, `name="goal" value="turbidity &lt;= 5 NTU"`) {
		t.Error("a target that was put right is still wrong")
	}
}

// siteAnswers are some of the answers to the form of a place, with the dose of the bench sheet.
func siteAnswers(desk string) url.Values {
	return url.Values{"desk": {desk}, "passes": {"once through"}, "place-name": {"Mill beck"}, "place-purpose": {"other"}, "flow-average-flow": {"3.6"}, "flow-average-flow-unit": {"m3/h"},
		"chemicals-name": {"alum"}, "chemicals-bench-sheet": {"bench.xlsx"}, "chemicals-target": {"turbidity <= 5 NTU"}, "chemicals-how-sure": {"19 in 20"},
		"chemicals-basis": {"as alum 14-hydrate"}, "chemicals-strength": {"48.5"}, "chemicals-density": {"1.335"}, "chemicals-density-unit": {"kg/L"},
		"stocks-product-in-stock": {"150"}, "stocks-product-in-stock-unit": {"g/L"}, "water-ph": {"7.6"},
		"drawdown-1-speed": {"20"}, "drawdown-1-volume": {"11.2"}, "drawdown-1-time": {"120"}, "drawdown-2-speed": {"80"}, "drawdown-2-volume": {"47.3"}, "drawdown-2-time": {"120"}}
}

// TestServeSite: a wrong answer comes back with the rest and what is wrong at its field; right ones make a workbook whose
// plan has the dose of the bench sheet at the sureness asked, and which the form can change again.
func TestServeSite(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1] // the bench sheet alone
	page := d.get("/site?"+all.Encode(), http.StatusOK)
	for _, want := range []string{`name="chemicals-name" value="alum"`, `<option value="bench.xlsx" selected>`, `name="chemicals-target" value="turbidity &lt;= 5 NTU"`, `<option value="as alum 14-hydrate" selected>`, `<select name="flow-average-flow-unit"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s in the form", want)
		}
	}
	wrong := siteAnswers(all.Encode())
	wrong.Set("chemicals-strength", "485")
	wrong.Set("drawdown-2-time", "soon")
	page = d.get(d.post("/site", wrong, http.StatusSeeOther).Header().Get("Location"), http.StatusOK)
	for _, want := range []string{`id="wrong-chemicals-strength">&#34;485 %&#34; is outside 0 to 100 %`, `id="wrong-drawdown-2-time"`, `name="place-name" value="Mill beck"`, `name="chemicals-strength" value="485"`, `href="#chemicals-strength"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s where the answers are wrong", want)
		}
	}
	to := d.post("/site", siteAnswers(all.Encode()), http.StatusSeeOther).Header().Get("Location")
	u, err := url.Parse(to)
	if err != nil || u.Path != "/day" {
		t.Fatalf("%q, %v", to, err)
	}
	day := d.get(to, http.StatusOK)
	if c := commandOf(t, day); strings.Join(c, "|") != "plan|site.xlsx" || !strings.Contains(day, "Mill beck") || !strings.Contains(day, "target met with 95 % confidence") {
		t.Errorf("%q", c)
	}
	var doc struct {
		Feeds []struct{ Dose struct{ Value float64 } }
	}
	if err := json.Unmarshal([]byte(d.get("/save/json/day?"+u.RawQuery, http.StatusOK)), &doc); err != nil || len(doc.Feeds) != 1 {
		t.Fatalf("%v, %v", doc, err)
	}
	dose := url.Values{"file": u.Query()["file"], "target": {"turbidity <= 5 NTU"}, "sure": {"95 %"}}
	if want, _ := fitDose(t, d.get("/save/json/dose?"+dose.Encode(), http.StatusOK)); doc.Feeds[0].Dose.Value != want {
		t.Errorf("the day doses %v, the bench %v", doc.Feeds[0].Dose.Value, want)
	}
	held := d.get("/site?"+u.RawQuery, http.StatusOK)
	if !strings.Contains(held, "change=yes") || strings.Contains(held, answersNoFile) {
		t.Error("the site cannot be changed, or its answers lie on the desk")
	}
	if page := d.get("/site?change=yes&"+u.RawQuery, http.StatusOK); !strings.Contains(page, `name="drawdown-2-volume" value="47.3"`) || !strings.Contains(page, `<option value="19 in 20" selected>`) {
		t.Error("the form forgot what was filled in")
	}
	mended := siteAnswers(u.RawQuery)
	mended.Set("place-kept-by", "the early shift")
	again := d.post("/site", mended, http.StatusSeeOther).Header().Get("Location")
	if day := d.get(again, http.StatusOK); !strings.Contains(day, "Mill beck") || !strings.Contains(day, "the early shift") || strings.Contains(day, "is missing") {
		t.Errorf("a form that was put right gives %s", day)
	}
	asked := url.Values{"file": u.Query()["file"], "target": {"turbidity <= 12 NTU"}, "sure": {"99 %"}}
	on := regexp.MustCompile(`id="go" href="([^"]+)"`).FindStringSubmatch(d.get("/dose?"+asked.Encode(), http.StatusOK))
	if on == nil {
		t.Fatal("the dose leads nowhere")
	}
	if page := d.get(html.UnescapeString(on[1]), http.StatusOK); !strings.Contains(page, `name="chemicals-target" value="turbidity &lt;= 12 NTU"`) {
		t.Error("the form of the site does not take the dose that was asked for")
	}
	book := regexp.MustCompile(`href="(/held/[0-9a-f]+)"`).FindStringSubmatch(held)
	if book == nil {
		t.Fatal("the workbook cannot be kept")
	}
	if got := d.get(book[1], http.StatusOK); kindOf("site.xlsx", []byte(got)) != "site workbook" {
		t.Error("what is kept is no site workbook")
	}
}

// TestServeSiteUnits: a form that is asked in US units has them in every box, and a number typed in others keeps those where it can
// be seen. The pump feeds 10 gph at most, 50 gpm pass, and 60 mg/L of product come from a stock of 100 g/L:
// 50 gpm × 60 gal/h per gpm × 60 / 100 000 = 1.8 gph, which is 18 % of 10 gph.
func TestServeSiteUnits(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	typed := func(desk string) url.Values {
		return url.Values{"desk": {desk}, "passes": {"once through"}, "place-name": {"Mill beck"}, "place-purpose": {"other"}, "chemicals-name": {"alum"}, "chemicals-dose": {"60"},
			"chemicals-basis": {"as product"}, "chemicals-strength": {"48.5"}, "stocks-product-in-stock": {"100"}, "stocks-product-in-stock-unit": {"g/L"}}
	}
	to := func(fields url.Values) string {
		return d.post("/site", fields, http.StatusSeeOther).Header().Get("Location")
	}
	deskOf := func(page string) string {
		m := regexp.MustCompile(`id="site"[^>]*>\s*<input type="hidden" name="token"[^>]*><input type="hidden" name="desk" value="([^"]*)"`).FindStringSubmatch(page)
		if m == nil {
			t.Fatal("no form on the page")
		}
		return html.UnescapeString(m[1])
	}
	unitIn := func(page, name string) (value, unit string) {
		v := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(page)
		u := regexp.MustCompile(`(?s)name="` + name + `-unit".*?<option selected>([^<]*)<`).FindStringSubmatch(page)
		if v == nil || u == nil {
			t.Fatalf("no box for %s with units", name)
		}
		return v[1], u[1]
	}
	setting := func(address string) string {
		page := d.get(address, http.StatusOK)
		m := regexp.MustCompile(`Set pump to [^<.]*`).FindString(page)
		if m == "" {
			t.Fatalf("%s has no setting: %.2000s", address, page)
		}
		return m
	}
	metric := typed("")
	metric["flow-average-flow"], metric["flow-average-flow-unit"] = []string{""}, []string{"m3/h"} // as its boxes are sent
	metric["pumps-largest-rate"], metric["pumps-largest-rate-unit"] = []string{""}, []string{"L/h"}
	metric["system"] = []string{"us"}
	page := d.get(to(metric), http.StatusOK)
	for name, want := range map[string]string{"flow-average-flow": "gpm", "pumps-largest-rate": "gph"} {
		if value, unit := unitIn(page, name); value != "" || unit != want {
			t.Errorf("%s is asked in %s, want %s", name, unit, want)
		}
	}
	for _, left := range []string{"<option selected>m3/h<", "<option selected>L/h<", "<option selected>L<", "<option selected>m3<", "<option selected>kg/L<"} {
		if strings.Contains(page, left) {
			t.Errorf("a box is left with %s", left)
		}
	}
	after := typed(deskOf(page))
	for name, value := range map[string]string{"flow-average-flow": "50", "pumps-largest-rate": "10"} {
		after.Set(name, value)
		_, unit := unitIn(page, name)
		after.Set(name+"-unit", unit)
	}
	if got := setting(to(after)); !strings.HasPrefix(got, "Set pump to 18 %") {
		t.Errorf("typed after the switch: %s", got)
	}
	// 11.356 m3/h are 50 gpm and 37.85 L/h are 10 gph, at 3.785411784 L a US gallon.
	before := typed("")
	before.Set("flow-average-flow", "11.356")
	before.Set("flow-average-flow-unit", "m3/h")
	before.Set("pumps-largest-rate", "37.85")
	before.Set("pumps-largest-rate-unit", "L/h")
	before.Set("system", "us")
	page = d.get(to(before), http.StatusOK)
	if value, unit := unitIn(page, "flow-average-flow"); value != "11.356" || unit != "m3/h" {
		t.Errorf("typed before the switch it is %s %s", value, unit)
	}
	if _, unit := unitIn(page, "flow-peak-flow"); unit != "gpm" {
		t.Errorf("a box that was empty is asked in %s", unit)
	}
	before.Set("desk", deskOf(page))
	before.Del("system")
	if got := setting(to(before)); !strings.HasPrefix(got, "Set pump to 18 %") {
		t.Errorf("typed before the switch: %s", got)
	}
	back := metric
	back.Set("desk", deskOf(page))
	back.Set("flow-average-flow-unit", "gpm")
	back.Set("system", "metric")
	if _, unit := unitIn(d.get(to(back), http.StatusOK), "flow-average-flow"); unit != "m3/h" {
		t.Errorf("back in metric units it is asked in %s", unit)
	}
}

// answersNoFile is how the answers would show on the desk.
const answersNoFile = "<b>site-answers.txt</b>"

// TestServeEmptyForm: of a form that is sent empty all that a plan needs is asked for at once; a file that is nothing the program
// knows is not called what it is not.
func TestServeEmptyForm(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	to := d.post("/site", url.Values{"desk": {""}, "passes": {"once through"}, "place-name": {"Beck"}}, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	for _, want := range []string{`<a href="#flow-average-flow">`, `<a href="#chemicals-name">`, "this is missing: without a chemical there is no plan"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	to = d.post("/site", url.Values{"desk": {""}, "passes": {"once through"}, "place-name": {"Beck"}, "flow-average-flow": {"3,6"}}, http.StatusSeeOther).Header().Get("Location")
	if page := d.get(to, http.StatusOK); strings.Contains(page, `<a href="#flow-average-flow">`) || !strings.Contains(page, `<a href="#chemicals-name">`) {
		t.Error("a field that is filled in is asked for again, or the other is not")
	}
	to = d.dropped("", false, [2]string{"note.txt", "hello, this is a shopping list\nmilk\n"}).Header().Get("Location")
	if page := d.get(to, http.StatusOK); !strings.Contains(page, "<b>note.txt</b> taken for a bench sheet") || !strings.Contains(page, "No jars") {
		t.Error("a shopping list is called a bench sheet")
	}
}

// TestServeStray: a file that cannot be opened, dropped together with a bench sheet, is said with the way to put it away, and the sheet
// is answered all the same; a text without jars may be a sheet, and the page says how to put it away.
func TestServeStray(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	to := d.dropped("", false, [2]string{"storm.csv", benchCSV}, [2]string{"manual.pdf", "%PDF-1.4 of a meter"}).Header().Get("Location")
	for _, path := range []string{"/bench", "/dose"} {
		at := strings.Replace(to, "/bench", path, 1)
		page := d.get(at, http.StatusOK)
		m := regexp.MustCompile(`<b>manual.pdf</b> is left out: [^<]*PDF[^<]*<button [^>]*name="put" value="([0-9a-f]+)">put it away</button>`).FindStringSubmatch(page)
		if m == nil {
			t.Fatalf("%s does not say what is left out", path)
		}
		if c := commandOf(t, page); strings.Contains(strings.Join(c, " "), "manual.pdf") || !strings.Contains(page, map[string]string{"/bench": "Read: seven jars", "/dose": "Planning dose of alum"}[path]) {
			t.Errorf("%s has no answer of the sheet: %q", path, c)
		}
		if path != "/dose" {
			continue
		}
		_, query, _ := strings.Cut(at, "?")
		left := d.post("/away", url.Values{"desk": {query}, "put": {m[1]}, "at": {path}}, http.StatusSeeOther).Header().Get("Location")
		if page = d.get(left, http.StatusOK); strings.Contains(page, "manual.pdf") || !strings.HasPrefix(left, path) {
			t.Errorf("%s: it was not put away", path)
		}
	}
	to = d.dropped(all.Encode(), false, [2]string{"note.txt", "hello, this is a shopping list\nmilk\n"}).Header().Get("Location")
	page := d.get(strings.Replace(to, "/bench", "/dose", 1), http.StatusOK)
	if !regexp.MustCompile(`<b>note.txt</b> was only taken for a bench sheet[^<]*<button [^>]*>put it away</button>`).MatchString(page) {
		t.Error("a text that may be no sheet is not offered to be put away")
	}
}

// bomb is a workbook of a few kB that unpacks to so many MB.
func bomb(t *testing.T, mega int) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		for range mega {
			_, _ = w.Write(make([]byte, 1<<20))
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestServeRefusedFiles: a file that cannot be opened is answered with a status of its kind and a page set like an answer, which has an
// address of its own for Back and a reload; the desk stays as it is, nothing of the file is held, and the next request is fine.
func TestServeRefusedFiles(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	dir := t.TempDir()
	write(t, filepath.Join(dir, "Manual.XLSX"), "%PDF-1.4 of a meter")
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	for _, c := range []struct {
		name, data string
		status     int
		says       string
	}{
		{"manual.pdf", "%PDF-1.4 of a meter", 415, "PDF"},
		{"photo.jpg", "\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x02", 415, "photo.jpg"},
		{"picture.xlsx", "PK\x03\x04 broken off", 422, "damaged or incomplete"},
		{"bomb.xlsx", bomb(t, 80), 413, "unpacks to more than"},
		{"nothing.csv", "", 422, "empty"},
		{"letter.docx", zipped(t, "word/document.xml"), 415, "word-processor"},
		{"big.csv", strings.Repeat("x", 21<<20), 413, "larger than 20 MB"},
	} {
		for desk, held := range map[string]bool{"": false, all.Encode(): true} {
			for _, past := range []bool{false, true} {
				w := d.dropped(desk, past, [2]string{c.name, c.data})
				page := breaking(w.Body.String())
				if w.Code != c.status || !strings.Contains(page, `<h1 class="big words">`) || !strings.Contains(page, c.says) || strings.Contains(page, "<b>bench.xlsx</b>") != held {
					t.Errorf("%s is answered with %d, want %d: %s", c.name, w.Code, c.status, page)
				}
				here := w.Header().Get("Content-Location")
				if !strings.HasPrefix(here, "/refused?") || !strings.Contains(page, `data-here="`+html.EscapeString(here)+`"`) {
					t.Fatalf("%s: the page has the address %q", c.name, here)
				}
				if again := d.get(here, c.status); !strings.Contains(again, c.says) || strings.Contains(again, "<b>bench.xlsx</b>") != held || strings.Contains(again, "<b>"+c.name+"</b>") {
					t.Errorf("%s: asked for again it says %s", c.name, again)
				}
				d.get("/", http.StatusOK)
			}
		}
	}
	w := d.dropped("", false, [2]string{"a.pdf", "%PDF-1.4"}, [2]string{"b.xlsx", "PK\x03\x04 broken off"})
	if page := w.Body.String(); w.Code != 422 || !strings.Contains(page, "a.pdf: ") || !strings.Contains(page, "b.xlsx: ") {
		t.Errorf("two of them are answered with %d: %s", w.Code, page)
	}
	d.s.Folder = folder{root}
	if page := breaking(d.post("/open", url.Values{"desk": {all.Encode()}, "name": {"Manual.XLSX"}}, 415).Body.String()); !strings.Contains(page, "PDF") {
		t.Errorf("of one of the folder it says %s", page)
	}
	if to := d.do(httptest.NewRequest(http.MethodGet, "/refused?no=0&"+all.Encode(), nil), http.StatusSeeOther).Header().Get("Location"); to != "/?"+all.Encode() {
		t.Errorf("a refusal that is not kept any more leads to %s", to)
	}
}

// zipped is an archive with that part alone.
func zipped(t *testing.T, part string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	if _, err := z.Create(part); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestServeReadsAreShared: a sheet is read once for many targets that are asked for side by side, and each answer is byte for byte that of
// the command which reads it by itself: none has changed what they share.
func TestServeReadsAreShared(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	d, all := newDesk(t)
	var paths []string
	for _, target := range []string{"turbidity <= 4 NTU", "turbidity <= 6 NTU", "turbidity removal >= 85 %", "ph >= 6.9", "residual al <= 0.07 mg/L"} {
		q := url.Values{"file": all["file"], "target": {target}}
		for _, step := range []string{"dose", "next", "compare", "bench"} {
			paths = append(paths, step+"?"+q.Encode())
		}
	}
	var asked sync.WaitGroup
	h := d.s.Handler()
	for _, path := range append(paths, paths...) {
		asked.Go(func() {
			r := httptest.NewRequest(http.MethodGet, "/"+path, nil)
			r.Host = d.host
			h.ServeHTTP(httptest.NewRecorder(), r)
		})
	}
	asked.Wait()
	for i, path := range paths {
		step, query, _ := strings.Cut(path, "?")
		command := commandOf(t, d.get("/"+path, http.StatusOK))
		name := fmt.Sprintf("%d.json", i)
		if _, errs, code := program(t, append(command, "-o", name)...); code != exitDone && code != exitNoAnswer {
			t.Fatalf("%v ended with %d: %s", command, code, errs)
		}
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.do(httptest.NewRequest(http.MethodGet, "/save/json/"+step+"?"+query, nil), http.StatusOK).Body.Bytes(); !bytes.Equal(got, want) {
			t.Errorf("%v: %d bytes are saved, %d written", command, len(got), len(want))
		}
	}
}

// TestServeFormOfEachWay: the form of a place promises no number of figures, names each group that it asks of and no other, and speaks of
// pumps and bins only where there are some; a metric form has no unit of the US and the other way round.
func TestServeFormOfEachWay(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	legend := regexp.MustCompile(`<legend[^>]*>([^<]*)</legend>`)
	units := regexp.MustCompile(`<span class="of">([^<]*)</span>|<select name="[a-z0-9-]+-unit" aria-label="[^"]*"><option selected>([^<]*)</option>`)
	for way, groups := range map[string]string{"once through": "For a setting Water Chemical Pump Unit Place", "recirculating": "For a setting Water Chemical Pump Unit Place",
		"batch": "For a setting Water Chemical Pump Unit Place", "standing": "For a setting Water Chemical Place"} {
		for system, other := range map[string]string{"": "gpm gal °F lb oz ft in mgd", "us": "m3/h m3 L °C kg g m mm L/s"} {
			page := d.get("/site?"+url.Values{"passes": {way}, "units": {system}}.Encode(), http.StatusOK)
			var got []string
			for _, m := range legend.FindAllStringSubmatch(page, -1) {
				got = append(got, m[1])
			}
			pumps := strings.Contains(page, "pump settings, stock, bins")
			if strings.Join(got, " ") != groups || !strings.Contains(page, "<h1>The place</h1>") || strings.Contains(page, "dozen") || pumps == (way == "standing") {
				t.Errorf("%s %s: groups %q, pumps %t", way, system, got, pumps)
			}
			for _, m := range units.FindAllStringSubmatch(page, -1) {
				if u := m[1] + m[2]; slices.Contains(strings.Fields(other), u) {
					t.Errorf("%s %s asks in %s", way, system, u)
				}
			}
		}
	}
}

// TestServeMissingBench: a site that names a bench sheet which is not on the desk says which, and to drop it.
func TestServeMissingBench(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][1:]
	page := d.get("/day?"+all.Encode(), http.StatusOK)
	if !strings.Contains(page, "ench.xlsx is not open here.") || !strings.Contains(page, "rop it too") || strings.Contains(page, "Check the name") {
		t.Errorf("it says %q", regexp.MustCompile(`[^<>]*open here[^<>]*|Check the name[^<]*`).FindAllString(page, -1))
	}
}

// TestServeSheets: the day's card and the cards of each kind are pages of their own, with nothing else of the report.
func TestServeSheets(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	day := d.get("/day?"+all.Encode(), http.StatusOK)
	for part, holds := range map[string][2]string{"today-card": {"What to do when", "Pump card: pump 1, alum"}, "pump-card": {"Pump card: pump 1, alum", "Stock card"}, "stock-card": {"Stock card: alum stock", "Pump card"}} {
		address := "/print/" + part + "/day?" + all.Encode()
		if !strings.Contains(day, html.EscapeString(address)) {
			t.Errorf("the day does not lead to %s", part)
		}
		page := d.get(address, http.StatusOK)
		if part != "today-card" && !strings.Contains(page, holds[0]) || strings.Contains(page, holds[1]) {
			t.Errorf("%s: no %q, or %q", part, holds[0], holds[1])
		}
	}
	d.get("/print/no-card/day?"+all.Encode(), http.StatusNotFound)
}

// TestServeCompare: the prices that are missing are asked for, and once typed stand in the command.
func TestServeCompare(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	if page := d.get("/compare?"+all.Encode(), http.StatusOK); !strings.Contains(page, `name="price-alum"`) {
		t.Error("no price is asked for")
	}
	q := url.Values{"desk": {all.Encode()}, "price-alum": {"0.42"}, "currency": {"GBP"}}
	to := d.do(httptest.NewRequest(http.MethodGet, "/compare?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	if c := commandOf(t, page); strings.Join(c, "|") != "compare|bench.xlsx|--price|alum=0.42 GBP/kg" || !strings.Contains(page, `name="price-alum" value="0.42"`) {
		t.Errorf("%q", c)
	}
}

// TestServeQuestions: each page of the plant has its questions beside it, and what they are answered with is in the command.
func TestServeQuestions(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	for path, x := range map[string]struct{ name, value, command string }{
		"/day": {"date", "2026-03-04", "plan|site.xlsx|--date|2026-03-04"}, "/month": {"months", "3", "budget|site.xlsx|--months|3"},
		"/tank": {"units", "us", "clarify|site.xlsx|--units|us"}, "/next": {"jars", "8", "next|bench.xlsx|--jars|8"},
	} {
		if page := d.get(path+"?"+all.Encode(), http.StatusOK); !strings.Contains(page, `name="`+x.name+`"`) {
			t.Errorf("%s does not ask for %s", path, x.name)
		}
		q := url.Values{"desk": {all.Encode()}, x.name: {x.value}}
		to := d.do(httptest.NewRequest(http.MethodGet, path+"?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
		if c := commandOf(t, d.get(to, http.StatusOK)); strings.Join(c, "|") != x.command {
			t.Errorf("%s: %q", path, c)
		}
	}
}

// TestServeFormWords: a site that the form made is advised in words of the form, and a workbook that was dropped says itself how it
// is changed.
func TestServeFormWords(t *testing.T) {
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	u, err := url.Parse(d.post("/site", siteAnswers(all.Encode()), http.StatusSeeOther).Header().Get("Location"))
	if err != nil || u.Path != "/day" {
		t.Fatalf("%v, %v", u, err)
	}
	for path, x := range map[string]struct{ has, lacks string }{
		"/tank": {"n the page “Site” press “Change”, then “a tank is cleaned up”", "in Tanks"},
		"/day":  {"Change the site", "of the place, cell"},
	} {
		page := d.get(path+"?"+u.RawQuery, http.StatusOK)
		if !strings.Contains(page, x.has) || strings.Contains(page, x.lacks) {
			t.Errorf("%s: no %q, or %q", path, x.has, x.lacks)
		}
	}
	form := d.get("/site?change=yes&"+u.RawQuery, http.StatusOK)
	m := regexp.MustCompile(`href="(/site-answers.txt[^"]*)"`).FindStringSubmatch(form)
	if m == nil {
		t.Fatal("the answers that the command reads cannot be saved")
	}
	t.Chdir(t.TempDir())
	write(t, "site-answers.txt", d.get(html.UnescapeString(m[1]), http.StatusOK))
	if _, errs, code := program(t, commandOf(t, form)...); code != exitDone {
		t.Errorf("the command that is shown ends with %d: %s", code, errs)
	}
	if page := d.get("/site", http.StatusOK); strings.Contains(page, "site-answers.txt") {
		t.Error("a form that nobody filled in shows a command that reads its answers")
	}
	d, all = newDesk(t)
	if page := d.get("/day?"+all.Encode(), http.StatusOK); !strings.Contains(page, ">Change a figure of the site<") || strings.Contains(page, ">Change the site<") {
		t.Error("a workbook that was dropped is said to be changed here")
	}
	if page := d.get("/past", http.StatusOK); !strings.Contains(page, "in a folder named “past” for that: write the name of your own instead") {
		t.Error("nothing says what folder the command reads")
	}
}

// aSite are siteAnswers for the bench sheet of the demo alone, which names no product of the catalogue.
func aSite(desk string) url.Values {
	v := siteAnswers(desk)
	for _, k := range []string{"chemicals-strength", "chemicals-density"} {
		v.Del(k)
	}
	return v
}

// TestServeWhichProduct: a name that several products bear is asked about where it stands, and in words of the page; the one that
// is chosen is the plan's.
func TestServeWhichProduct(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	if page := d.get("/site?"+all.Encode(), http.StatusOK); !strings.Contains(page, `<select id="chemicals-product"`) {
		t.Fatal("which alum it is cannot be said")
	}
	to := d.post("/site", aSite(all.Encode()), http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	m := regexp.MustCompile(`id="wrong-chemicals-product">([^<]*)<`).FindStringSubmatch(page)
	if m == nil || !strings.Contains(m[1], "may be liquid alum") || !strings.Contains(m[1], "choose it here") || strings.Contains(m[1], "!A") {
		t.Errorf("at the product stands %q", m)
	}
	if !strings.Contains(page, `name="drawdown-2-volume" value="47.3"`) {
		t.Error("what was typed is lost")
	}
	chosen := aSite(all.Encode())
	chosen.Set("chemicals-product", "alum-dry")
	u, err := url.Parse(d.post("/site", chosen, http.StatusSeeOther).Header().Get("Location"))
	if err != nil || u.Path != "/day" {
		t.Fatalf("it leads to %s, %v", u, err)
	}
	if day := d.get(u.String(), http.StatusOK); !strings.Contains(day, "aluminium sulfate, dry") {
		t.Error("the day is not of the product that was chosen")
	}
	chosen.Set("chemicals-name", "ferric chloride") // which is none of those
	chosen.Set("chemicals-basis", "as FeCl3")
	if day := d.get(d.post("/site", chosen, http.StatusSeeOther).Header().Get("Location"), http.StatusOK); strings.Contains(day, "alum-dry") {
		t.Error("a product goes with another name")
	}
}

// TestServeSiteSaved: saving from the form gives the workbook, by a page that begins it and leads on.
func TestServeSiteSaved(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	v := siteAnswers(all.Encode())
	v.Set("do", "save")
	to := d.post("/site", v, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	m := regexp.MustCompile(`href="(/held/[0-9a-f]+)" download data-begin>`).FindStringSubmatch(page)
	if m == nil || !strings.HasPrefix(to, "/site?") || !strings.Contains(page, "site.xlsx is being saved") || !strings.Contains(page, "The place: Mill beck<") {
		t.Fatalf("%s begins no saving", to)
	}
	v.Del("flow-average-flow")
	if page := d.get(d.post("/site", v, http.StatusSeeOther).Header().Get("Location"), http.StatusOK); !strings.Contains(page, "No day can be planned with it yet") || strings.Contains(page, "No answer") || !strings.Contains(page, "data-begin") {
		t.Error("a site without a flow is not saved, or not said to lack it")
	}
	w := d.do(httptest.NewRequest(http.MethodGet, m[1], nil), http.StatusOK)
	if kindOf("site.xlsx", w.Body.Bytes()) != "site workbook" || !strings.Contains(w.Header().Get("Content-Disposition"), "attachment; filename=site.xlsx") {
		t.Errorf("what is saved is no site workbook: %v", w.Header())
	}
}

// TestServeSiteSurvives: another way for the water to pass and other units keep what was typed, each figure in the unit that it
// was typed in, and what only another way asks for comes back with it.
func TestServeSiteSurvives(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	v := siteAnswers(all.Encode())
	v.Set("flow-average-flow-unit", "L/s")
	v.Set("system", "us")
	to := d.post("/site", v, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	for _, want := range []string{`name="place-name" value="Mill beck"`, `name="flow-average-flow" value="3.6"`, `<option selected>L/s</option>`, `value="us" aria-pressed="true"`, `name="chemicals-density" value="1.335"`, `<option selected>kg/L</option>`,
		`name="stocks-product-in-stock" value="150"`, `<option selected>g/L</option>`} {
		if !strings.Contains(page, want) {
			t.Errorf("in US units the form has no %s", want)
		}
	}
	u, _ := url.Parse(to)
	if u.Query().Get("units") != "us" {
		t.Errorf("the units of %s", to)
	}
	standing := d.get(d.post("/site", url.Values{"desk": {u.RawQuery}, "passes": {"once through"}, "way": {"standing"}}, http.StatusSeeOther).Header().Get("Location"), http.StatusOK)
	if strings.Contains(standing, `name="flow-average-flow"`) || !strings.Contains(standing, `value="Mill beck"`) {
		t.Error("the form of standing water has a flow, or lost its name")
	}
	at := regexp.MustCompile(`name="desk" value="([^"]+)"`).FindStringSubmatch(standing)
	again := d.get(d.post("/site", url.Values{"desk": {html.UnescapeString(at[1])}, "passes": {"standing"}, "way": {"once through"}}, http.StatusSeeOther).Header().Get("Location"), http.StatusOK)
	if !strings.Contains(again, `name="flow-average-flow" value="3.6"`) || !strings.Contains(again, `name="drawdown-2-volume" value="47.3"`) {
		t.Error("what the other way asks for is lost")
	}
}

// TestServeEndAsks: the program is not ended before it was said what would be lost, where something would.
func TestServeEndAsks(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	ended := 0
	d.s.End = func() { ended++ }
	if page := d.post("/end", url.Values{"desk": {all.Encode()}}, http.StatusOK).Body.String(); ended != 1 || !strings.Contains(page, "Ended") || !strings.Contains(page, "data-ended") || strings.Contains(page, "End the program") {
		t.Errorf("with nothing to lose it ended %d times", ended)
	}
	all["file"] = all["file"][:1]
	d.post("/site", siteAnswers(all.Encode()), http.StatusSeeOther)
	to := d.post("/end", url.Values{"desk": {all.Encode()}}, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	save := regexp.MustCompile(`<li>site.xlsx, Mill beck <a href="(/held/[0-9a-f]+)" download>`).FindStringSubmatch(page)
	if ended != 1 || !strings.Contains(page, "End the program?") || save == nil {
		t.Fatalf("it ended %d times and says %s", ended, page)
	}
	d.get(save[1], http.StatusOK)
	if page := d.get(to, http.StatusOK); strings.Contains(page, "site.xlsx") && strings.Contains(page, `class="lost"`) {
		t.Error("what was saved is still told as lost")
	}
	d.post("/end", url.Values{"desk": {all.Encode()}, "typed": {"yes"}}, http.StatusSeeOther)
	d.post("/end", url.Values{"desk": {all.Encode()}, "sure": {"yes"}, "typed": {"yes"}}, http.StatusOK)
	if ended != 2 {
		t.Errorf("it ended %d times", ended)
	}
}

// TestServeWords: whatever the page refuses or remarks speaks of its own controls: no flag, no command and, of a site that was made
// here, no cell; the command that gives the same answer stays.
func TestServeWords(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	bench := url.Values{"file": all["file"][:1]}
	odd := "Jar,Dose,Result,Temp\n1,0,30,\n2,10,12,\n3,20,5,\n4,30,4,\n"
	drop := func(text string) url.Values {
		body := "--x\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n" + d.token + "\r\n--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"odd.csv\"\r\n\r\n" + text + "\r\n--x--\r\n"
		r := httptest.NewRequest(http.MethodPost, "/files", strings.NewReader(body))
		r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
		r.Header.Set("Origin", "http://"+d.host)
		u, err := url.Parse(d.do(r, http.StatusSeeOther).Header().Get("Location"))
		if err != nil {
			t.Fatal(err)
		}
		return u.Query()
	}
	site := aSite(bench.Encode())
	site.Set("chemicals-product", "alum-dry")
	made, err := url.Parse(d.post("/site", site, http.StatusSeeOther).Header().Get("Location"))
	if err != nil {
		t.Fatal(err)
	}
	of := func(q url.Values, more ...string) string {
		out := url.Values{}
		for k, v := range q {
			out[k] = append([]string(nil), v...)
		}
		for i := 0; i < len(more); i += 2 {
			out.Add(more[i], more[i+1])
		}
		return out.Encode()
	}
	oddly := drop(odd)
	pages := []string{"/bench?" + of(oddly), "/dose?" + of(oddly), "/dose?" + of(oddly, "target", "turbidity <= 5 NTU"), "/compare?" + of(oddly), "/next?" + of(oddly, "target", "turbidity <= 5 NTU"),
		"/bench?" + of(drop("Jar,Stock (mL),Turbidity (NTU)\n1,0,30\n2,1,12\n3,2,5\n")), "/dose?" + of(drop("Jar,Alum (mg/jar),Turb,Turb\n1,0,30,29\n2,10,12,13\n3,20,5,6\n"), "target", "turbidity <= 5 NTU", "column", "Turb=turbidity NTU"),
		"/day?" + made.RawQuery, "/tank?" + made.RawQuery, "/month?date=2026-12&" + made.RawQuery, "/compare?" + made.RawQuery, "/site?" + made.RawQuery, "/day?" + all.Encode(), "/tank?" + all.Encode(), "/month?" + all.Encode(), "/month?" + of(all, "months", "3"), "/compare?" + all.Encode(), "/next?" + all.Encode()}
	for _, x := range [][2]string{{"target", "turbidity"}, {"target", "foo <= 3"}, {"target", "5"}, {"target", "turbidity <= 0.01 NTU"}, {"column", "Turb1=turbidity"}, {"column", "F=turbidity NTUU"}, {"column", "F"},
		{"stock", "10 buckets"}, {"basis", "as gold"}, {"density", "heavy"}, {"jar-volume", "0 L"}, {"sheet", "Nothing"}, {"range", "nowhere"}, {"chemical", "ferric chloride"}, {"sure", "never"}, {"sheet-decimal", "x"}, {"units", "odd"}, {"date", "2026-13"}} {
		for _, path := range []string{"/bench?", "/dose?", "/compare?", "/next?"} {
			pages = append(pages, path+of(bench, x[0], x[1]))
		}
	}
	for _, x := range [][3]string{{"/next?", "jars", "99"}, {"/month?", "months", "77"}, {"/month?", "date", "soon"}, {"/day?", "date", "2026-02-31"}, {"/compare?", "price", "alum=3"}, {"/compare?", "price", "gold=3 EUR/kg"}, {"/tank?", "units", "x"}} {
		pages = append(pages, x[0]+of(all, x[1], x[2]))
	}
	for _, address := range pages {
		page := d.get(address, http.StatusOK)
		page = regexp.MustCompile(`(?s)<(code|pre|svg|table class="sheet-cells")\b.*?</(code|pre|svg|table)>`).ReplaceAllString(page, "")
		said := plainPage(page)
		for _, never := range []string{`--[a-z]`, `\bjarwright (read|fit|plan|clarify|budget|compare|next|new|pump)\b`, "[`“](read|fit|plan|clarify|budget|compare|next)[`”]"} {
			if m := regexp.MustCompile(".{0,80}" + never + ".{0,60}").FindString(said); m != "" {
				t.Errorf("%s says %q", address, m)
			}
		}
		if strings.Contains(address, made.RawQuery) {
			if m := regexp.MustCompile(`.{0,80}site\.xlsx: [A-Z][a-z]+![A-Z]+\d+.{0,20}`).FindString(said); m != "" {
				t.Errorf("%s says %q of a site that nobody has seen", address, m)
			}
		}
	}
}

// TestServeMonthsInABook: several months fit no workbook; that is said in place of a file, with a way back.
func TestServeMonthsInABook(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all.Set("months", "3")
	page := d.get("/save/xlsx/month?"+all.Encode(), http.StatusConflict)
	for _, want := range []string{"month.xlsx was not saved", "a workbook holds one month", "“Months from there”", "Back to “The month”"} {
		if !strings.Contains(strings.ToLower(page), strings.ToLower(want)) {
			t.Errorf("no %s in %s", want, plainPage(page))
		}
	}
}

// TestServeUndated: where neither the site nor the page gives a day, the day and its cards say so and offer the field; with it they
// are of that day.
func TestServeUndated(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	v := siteAnswers(all.Encode())
	v.Set("flow-average-flow", "3,6") // with decimal commas, as many people type
	v.Set("chemicals-target", "turbidity <= 5,5 NTU")
	u, err := url.Parse(d.post("/site", v, http.StatusSeeOther).Header().Get("Location"))
	if err != nil || u.Path != "/day" {
		t.Fatalf("%s, %v", u, err)
	}
	if day := d.get(u.String(), http.StatusOK); !strings.Contains(day, "For 3.6 m³/h of water") {
		t.Error("the flow with a decimal comma is another one")
	}
	for _, path := range []string{"/day", "/print/today-card/day", "/print/pump-card/day"} {
		page := d.get(path+"?"+u.RawQuery, http.StatusOK)
		if !strings.Contains(page, "No date given") || !strings.Contains(page, `name="date"`) {
			t.Errorf("%s does not say that it is of no day, or takes none", path)
		}
		q := url.Values{"desk": {u.RawQuery}, "date": {"2026-03-04"}}
		to := d.do(httptest.NewRequest(http.MethodGet, path+"?"+q.Encode(), nil), http.StatusSeeOther).Header().Get("Location")
		if page := d.get(to, http.StatusOK); !strings.HasPrefix(to, path) || strings.Contains(page, "No date given") || !strings.Contains(page, "4 March 2026") {
			t.Errorf("%s is not of the day that was typed", to)
		}
	}
}
