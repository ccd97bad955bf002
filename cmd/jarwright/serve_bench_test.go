package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"jarwright/cmd/jarwright/serve"
)

// benchDesk is a browser without scripts before the program's page.
type benchDesk struct {
	t     *testing.T
	http  *http.Client
	root  string
	token string
}

func newBenchDesk(t *testing.T) *benchDesk {
	t.Helper()
	l := httptest.NewUnstartedServer(nil)
	e := &env{}
	_, port, _ := strings.Cut(l.Listener.Addr().String(), ":")
	s := serve.New(serve.Options{Program: e.inMemory, Kind: kindOf, Demo: e.demoFiles, Port: port})
	l.Config.Handler = s.Handler()
	l.Start()
	t.Cleanup(l.Close)
	t.Cleanup(s.Close)
	d := &benchDesk{t: t, http: &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, root: "http://" + l.Listener.Addr().String()}
	_, page := d.get("/")
	d.token = regexp.MustCompile(`name="token" value="([^"]+)"`).FindStringSubmatch(page)[1]
	return d
}

// ask sends a request and gives its status, or where it leads, and the body.
func (d *benchDesk) ask(r *http.Request) (string, string) {
	d.t.Helper()
	r.Header.Set("Origin", d.root)
	a, err := d.http.Do(r)
	if err != nil {
		d.t.Fatal(err)
	}
	defer a.Body.Close()
	body, err := io.ReadAll(a.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	if to := a.Header.Get("Location"); to != "" {
		return to, string(body)
	}
	return a.Status[:3], string(body)
}

// get asks for a page until it is no longer working on it.
func (d *benchDesk) get(path string) (status, body string) {
	d.t.Helper()
	for {
		r, err := http.NewRequest(http.MethodGet, d.root+path, nil)
		if err != nil {
			d.t.Fatal(err)
		}
		if status, body = d.ask(r); !strings.Contains(body, `http-equiv="refresh"`) {
			return status, body
		}
	}
}

// post sends a form of the page at an address.
func (d *benchDesk) post(path, from string, fields url.Values) (to, body string) {
	d.t.Helper()
	_, desk, _ := strings.Cut(from, "?")
	v := url.Values{"token": {d.token}, "desk": {desk}}
	for k, x := range fields {
		v[k] = x
	}
	r, err := http.NewRequest(http.MethodPost, d.root+path, strings.NewReader(v.Encode()))
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return d.ask(r)
}

// drop drops files on the page at an address, name and content in turn.
func (d *benchDesk) drop(from string, files ...string) string {
	d.t.Helper()
	to, _ := d.sent(from, files...)
	return to
}

// sent drops files and gives where that leads, or the status of the page that it is answered with.
func (d *benchDesk) sent(from string, files ...string) (to, body string) {
	d.t.Helper()
	_, desk, _ := strings.Cut(from, "?")
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	_ = m.WriteField("token", d.token)
	_ = m.WriteField("desk", desk)
	for i := 0; i < len(files); i += 2 {
		w, err := m.CreateFormFile("file", files[i])
		if err != nil {
			d.t.Fatal(err)
		}
		_, _ = io.WriteString(w, files[i+1])
	}
	if err := m.Close(); err != nil {
		d.t.Fatal(err)
	}
	r, err := http.NewRequest(http.MethodPost, d.root+"/files", &b)
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Content-Type", m.FormDataContentType())
	return d.ask(r)
}

// has wants all of these on a page, its blanks counted as one.
func (d *benchDesk) has(body string, wants ...string) {
	d.t.Helper()
	flat := plainPage(body)
	for _, w := range wants {
		if !strings.Contains(flat, w) {
			d.t.Errorf("the page does not hold %q", w)
		}
	}
	if d.t.Failed() {
		d.t.Log(flat)
	}
}

var tags = regexp.MustCompile(`<[^>]*>`)

// plainPage is what a page says, without its tags.
func plainPage(body string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("&#34;", `"`, "&lt;", "<", "&gt;", ">", "&amp;", "&", "\u00a0", " ", "&#43;", "+").Replace(tags.ReplaceAllString(body, " "))), " ")
}

// TestBenchPageDrawsTheSheet: the demo's sheet with its own letters and row numbers, what
// each column was taken for above it, what its head says with the cells, and the way on.
func TestBenchPageDrawsTheSheet(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	at, _ := d.post("/demo", "", nil)
	status, body := d.get(at)
	if status != "200" || !strings.HasPrefix(at, "/bench?") {
		t.Fatalf("%s at %s", status, at)
	}
	d.has(body, "Read: seven jars, two readings each, target turbidity of 5 NTU at most", "A B C D E F G H I J",
		"dose of alum mg/L as alum 14-hydrate change E", "turbidity NTU, reading 2 of 2 change G", "residual aluminium mg/L change I", "remark set aside change J",
		"18 1 (control) 0 0 0 38.4 37.6 7.41 0.02 no floc", "raw alkalinity 64 mg/L CaCO₃ H7", "target turbidity at most 5 NTU B8", "stock strength 10 g/L B13",
		"Not drawn: Guide (calculation), Stock (calculation), Lists (hidden sheet).", "Right. Show the dose",
		"jarwright read bench.xlsx --cells")
	if !strings.Contains(body, `id="to-dose" href="/dose?file=`) {
		t.Error("no way on to the dose")
	}
}

// TestBenchPageTakesAColumn: a column is said to be another by the form behind "change"; the
// address and the command below hold the same override, and none is left when it is taken back.
func TestBenchPageTakesAColumn(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	at := d.drop("", "odd.csv", "Jar,Alum (mg/L as Al),Result,Second\n1,1,30,7.1\n2,2,12,7.0\n3,3,5,6.9\n4,4,4,6.8\n")
	_, body := d.get(at)
	link := regexp.MustCompile(`href="(/change[^"]*of=Result)"`).FindStringSubmatch(body)
	if link == nil {
		t.Fatal("no link to change Result")
	}
	status, ask := d.get(strings.ReplaceAll(link[1], "&amp;", "&"))
	if d.has(ask, "What is “Result”?", "It holds 30, 12, 5, 4.", "nothing: leave it out"); status != "200" {
		t.Fatal(status)
	}
	to, _ := d.post("/change", at, url.Values{"column": {"Result"}, "kind": {"turbidity"}, "unit": {"NTU"}})
	if u, _ := url.Parse(to); u.Query().Get("column") != "Result=turbidity NTU" {
		t.Fatalf("it leads to %s", to)
	}
	_, body = d.get(to)
	d.has(body, "turbidity NTU change C", `jarwright read odd.csv --cells --column "Result=turbidity NTU"`)
	again, _ := d.post("/change", to, url.Values{"column": {"Result"}, "kind": {"tss"}, "unit": {"mg/L"}})
	_, body = d.get(again)
	d.has(body, "suspended solids mg/L change C", `--column "Result=tss mg/L"`)
	if back, _ := d.post("/change", again, url.Values{"column": {"Result"}}); strings.Contains(back, "column=") {
		t.Errorf("the override stays in %s", back)
	}
}

// TestBenchPageOfAWrongOverride: its error stands at its field in the words of the command
// line, the field keeps what was typed, and the sheet is drawn all the same.
func TestBenchPageOfAWrongOverride(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	at, _ := d.post("/demo", "", nil)
	to, _ := d.post("/reading", at, url.Values{"stock": {"10 buckets"}, "basis": {"as Al"}})
	_, body := d.get(to)
	d.has(body, "Not read", "17 Jar Planned dose (mg/L)", `--stock "10 buckets" `)
	m := regexp.MustCompile(`name="stock" value="10 buckets"[^>]*aria-describedby="e-stock">(?:<span class="u">[^<]*</span></span>)?\s*<span class="wrong" id="e-stock">([^<]*)`).FindStringSubmatch(body)
	if m == nil {
		t.Fatal("no error at the field of the stock")
	}
	if !strings.Contains(m[1], "buckets") || !strings.Contains(m[1], "is not known") {
		t.Errorf("it says %q", m[1])
	}
	if !strings.Contains(body, `<option value="as Al" selected>`) {
		t.Error("the basis that was chosen is not shown")
	}
	if strings.Contains(body, "to-dose") {
		t.Error("it goes on to a dose")
	}
	// a decimal comma is taken, on the way to the same command
	to, _ = d.post("/reading", at, url.Values{"jar-volume": {"0,5 L"}})
	_, body = d.get(to)
	d.has(body, `--jar-volume "0.5 L"`, "Read: seven jars")
	to, _ = d.post("/reading", at, url.Values{"sheet": {"Bensch"}})
	_, body = d.get(to)
	d.has(body, `there is no sheet "Bensch"`, "17 Jar Planned dose (mg/L)")
}

// TestBenchPageWithoutJars: a refusal is set as an answer, with the sheet where it could be
// opened, each of its columns to be named.
func TestBenchPageWithoutJars(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	_, body := d.get(d.drop("", "list.csv", "Item,Count\nbolts,4\nnuts,9\n"))
	d.has(body, "No jars", "No table of jars was found", "1 Item Count", "2 bolts 4 3 nuts 9", "change A", "change B")
	if strings.Contains(body, "to-dose") {
		t.Error("it goes on to a dose")
	}
	status, body := d.sent("", "torn.xlsx", "PK\x03\x04 and then nothing")
	if d.has(body, "Not read", "torn.xlsx"); status != "422" {
		t.Errorf("a torn workbook is answered with %s", status)
	}
	if strings.Contains(body, "sheet-cells") {
		t.Error("a file that cannot be opened is drawn")
	}
}

// TestBenchPageOfUnknownHeadings: where no heading of a sheet is known, its columns are named by the letters that the page has for
// them, and the command that is shown reads the same.
func TestBenchPageOfUnknownHeadings(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	const sheet = "Topf;Menge;Wert\n1;0;38,4\n2;5;24,1\n3;10;13,3\n4;15;6,8\n5;20;4,1\n6;25;2,8\n7;30;3,5\n"
	at := d.drop("", "topf.csv", sheet)
	_, body := d.get(at)
	d.has(body, "No jars", "change B", "change C")
	to, _ := d.post("/change", at, url.Values{"column": {"B"}, "kind": {"dose"}, "chemical": {"alum"}, "unit": {"mg/L as product"}})
	if _, body = d.get(to); strings.Contains(body, "that no table has") {
		t.Error("the column that the page itself named is not known to it")
	}
	of := "C"
	if link := regexp.MustCompile(`href="/change[^"]*of=(Wert)"`).FindStringSubmatch(body); link != nil {
		of = link[1]
	}
	to, _ = d.post("/change", to, url.Values{"column": {of}, "kind": {"turbidity"}, "unit": {"NTU"}})
	_, body = d.get(to)
	d.has(body, "Read: seven jars", "dose of alum mg/L as product change B", "turbidity NTU change C", `--column "B=dose alum mg/L as product"`, `"`+of+`=turbidity NTU"`)
	if !strings.Contains(body, `id="to-dose"`) {
		t.Error("no way on to the dose")
	}
}

// TestBenchPageOfSeveral: two files, each under its name; an override that one of them meets
// is no fault of the other; a long sheet is cut with a word.
func TestBenchPageOfSeveral(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	long := "Jar,Alum (mg/L as Al),Turbidity (NTU)\n"
	for i := range 90 {
		long += strings.Join([]string{string(rune('a'+i%26)) + string(rune('a'+i/26)), "1", "30"}, ",") + "\n"
	}
	at := d.drop("", "one.csv", "Jar,Alum (mg/L as Al),Result\n1,1,30\n2,2,12\n3,3,5\n", "two.csv", long)
	to, _ := d.post("/change", at, url.Values{"column": {"Result"}, "kind": {"turbidity"}, "unit": {"NTU"}})
	_, body := d.get(to)
	d.has(body, "one.csv", "two.csv", "turbidity NTU change C", "Rows 61 to 91 are left out of this drawing")
	if strings.Contains(body, "that no table has") {
		t.Error("the override of one file is a fault of the other")
	}
}

// typedJars are seven jars as they are typed, with a decimal comma and what a meter says.
func typedJars() url.Values {
	v := url.Values{"name": {"Spate"}, "date": {"2026-03-02"}, "chemical": {"alum"}, "basis": {"as Al"}, "stock": {"10 g/L"}, "jar-volume": {"1 L"}, "target": {"turbidity <= 5 NTU"},
		"raw-turbidity": {"46"}, "raw-ph": {"7,4"}, "raw-alkalinity": {"64"}, "raw-temperature": {"8"},
		"unit": {"mg/L"}, "kind": {"turbidity"}, "metal": {"residual_al"}, "do": {"read"}}
	for name, column := range map[string][]string{
		"dose": {"0", "0,5", "0.8", "1.1 mg/L", "1.4", "1.8", "2.4", ""}, // one says its own unit

		"first":  {"38.4", "24,1", "13.3", "6.8", "4", "2.8", "3.5", ""},
		"second": {"37.6", "24.9", "12.8", "7.1", "3.9", "2.7", "3.6", ""},
		"acid":   {"7.41", "7.22", "7.13", "7.05", "6.98", "6.9", "6.78", ""},
		"left":   {"<0.02", "0.11", "", "", "", "", "0.09", ""},
		"remark": {"no floc", "", "", "", "good; clear", "", "", ""}} {
		inColumn(v, name, column...)
	}
	return v
}

// inColumn types a column of the grid, from its top.
func inColumn(v url.Values, name string, cells ...string) {
	for i, c := range cells {
		v.Set(fmt.Sprintf("%s-%d", name, i+1), c)
	}
}

// TestTypedJarsAreABenchSheet: what was typed becomes a workbook that can be saved, and the
// fit of it is that of the same numbers in a text.
func TestTypedJarsAreABenchSheet(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	to, body := d.post("/jars", "", typedJars())
	if !strings.HasPrefix(to, "/bench?file=") {
		t.Fatal(plainPage(body))
	}
	_, body = d.get(to)
	d.has(body, "Spate.xlsx bench sheet save it", "Read: seven jars, two readings each, target turbidity of 5 NTU at most", "dose of alum mg/L as Al", "good, clear", "2026-03-02")
	link := regexp.MustCompile(`href="(/held/[0-9a-f]+)" download`).FindStringSubmatch(body)
	if link == nil {
		t.Fatal("it cannot be saved")
	}
	_, book := d.get(link[1])
	dir := t.TempDir()
	write(t, dir+"/typed.xlsx", []byte(book))
	write(t, dir+"/same.csv", []byte("Chemical,alum\nRaw turbidity,46,NTU\nRaw pH,7.4\nRaw alkalinity,64,mg/L CaCO3\nRaw temperature,8,C\nTarget,turbidity <= 5 NTU\nStock strength,10,g/L\nJar volume,1,L\n\n"+
		"Jar,Dose (mg/L as Al),Turbidity 1 (NTU),Turbidity 2 (NTU),pH,Residual aluminium (mg/L)\n1,0,38.4,37.6,7.41,<0.02\n2,0.5,24.1,24.9,7.22,0.11\n3,0.8,13.3,12.8,7.13,\n"+
		"4,1.1,6.8,7.1,7.05,\n5,1.4,4,3.9,6.98,\n6,1.8,2.8,2.7,6.9,\n7,2.4,3.5,3.6,6.78,0.09\n"))
	fit := func(file string) map[string]any {
		var out struct{ Series []map[string]any }
		if err := json.Unmarshal([]byte(answer(t, "fit", dir+"/"+file, "--format", "json")), &out); err != nil || len(out.Series) != 1 {
			t.Fatalf("%d series, %v", len(out.Series), err)
		}
		return out.Series[0]
	}
	typed, same := fit("typed.xlsx"), fit("same.csv")
	for _, k := range []string{"outcome", "lowest_effective_dose", "planning_dose", "curve", "best", "targets"} {
		a, _ := json.Marshal(typed[k])
		b, _ := json.Marshal(same[k])
		if typed[k] == nil || !bytes.Equal(a, b) {
			t.Errorf("%s is %s of the workbook and %s of the text", k, a, b)
		}
	}
}

// TestTypedMillilitres: 0.05 mL of a stock of 10 g/L in 1 L of water are 0.5 mg/L.
func TestTypedMillilitres(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	v := typedJars()
	v.Set("unit", "mL")
	inColumn(v, "dose", "0", "0,05", "0.08", "0.11", "0.14", "0.18", "0.24")
	to, body := d.post("/jars", "", v)
	if !strings.HasPrefix(to, "/bench?file=") {
		t.Fatal(plainPage(body))
	}
	_, body = d.get("/save/json/bench?" + strings.TrimPrefix(to, "/bench?"))
	var out struct {
		Series []struct {
			Jars []struct {
				Label   string
				Doses   map[string]float64
				Control bool
			}
		}
	}
	if err := json.Unmarshal([]byte(body), &out); err != nil || len(out.Series) != 1 || len(out.Series[0].Jars) != 7 {
		t.Fatalf("%v\n%s", err, body)
	}
	for i, want := range []float64{0, 0.5, 0.8, 1.1, 1.4, 1.8, 2.4} {
		if j := out.Series[0].Jars[i]; j.Doses["alum"] != want || j.Control != (i == 0) {
			t.Errorf("jar %s has %v, want %g mg/L", j.Label, j.Doses, want)
		}
	}
}

// TestTypedJarsThatAreWrong come back filled in, each error at its field; nothing is lost when
// more jars are asked for.
func TestTypedJarsThatAreWrong(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	v := typedJars()
	v.Set("basis", "")
	v.Set("stock", "10 buckets")
	body := d.led("/jars", v)
	d.has(body, "buckets")
	v.Set("stock", "10 g/L")
	v.Set("first-3", "4o")
	v.Set("first-6", "-3")
	v.Set("acid-3", "17")
	v.Set("acid-4", "1,250")
	v.Set("dose-5", "-1")
	v.Set("raw-turbidity", "clear")
	body = d.led("/jars", v)
	for id, w := range map[string]string{"e-first-6": "turbidity of −3 cannot be", "e-acid-3": "pH of 17 cannot be", "e-first-3": "4o", "e-acid-4": "1,250", "e-dose-5": "negative", "e-raw-turbidity": "clear", "e-basis": "label"} {
		m := regexp.MustCompile(`id="` + id + `">([^<]*)<`).FindStringSubmatch(body)
		if m == nil || !strings.Contains(m[1], w) {
			t.Errorf("at %s stands %q, want %q", id, m, w)
		}
	}
	for _, w := range []string{`name="first-3" value="4o"`, `value="good; clear"`, `value="24,1"`, `value="Spate"`, `value="&lt;0.02"`} {
		if !strings.Contains(body, w) {
			t.Errorf("%s is lost", w)
		}
	}
	v.Set("do", "more")
	body = d.led("/jars", v)
	if n := strings.Count(body, "<tr data-jar>"); n != 14 || !strings.Contains(body, `value="4o"`) {
		t.Errorf("it comes with %d jars", n)
	}
}

// led sends a form and gives the page that it leads to, which can be asked for again.
func (d *benchDesk) led(path string, fields url.Values) string {
	d.t.Helper()
	to, body := d.post(path, "", fields)
	if !strings.HasPrefix(to, "/") {
		d.t.Fatalf("%s leads nowhere: %s %s", path, to, plainPage(body))
	}
	status, body := d.get(to)
	if status != "200" {
		d.t.Fatalf("%s is answered with %s: %s", to, status, plainPage(body))
	}
	return body
}

// TestTypedOverRange: the limit that the page asks for where a meter is over its range is taken as one.
func TestTypedOverRange(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	_, body := d.get("/jars")
	d.has(body, "where it says “over range”, type its limit, such as “>1000”")
	v := typedJars()
	v.Set("first-1", ">1000")
	v.Set("second-1", "")
	to, _ := d.post("/jars", "", v)
	if _, body = d.get(to); strings.Contains(body, "Write the limit") || !strings.Contains(body, "Read: seven jars") {
		t.Errorf("%.2000s", body)
	}
}

// TestTypedTargetIsAsked: a number alone is no target; the one that the reading has is offered at the field, and taken by one
// button. A decimal comma is one in a target in full, too.
func TestTypedTargetIsAsked(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	for typed, offer := range map[string]string{"5": "turbidity <= 5 NTU", "2,5": "turbidity <= 2.5 NTU", "90 %": "turbidity removal >= 90 %"} {
		v := typedJars()
		v.Set("target", typed)
		body := d.led("/jars", v)
		d.has(body, "One thing has to be put right", "A number alone does not say of what. Is this meant?")
		if !strings.Contains(body, `name="aim" value="`+html.EscapeString(offer)+`"`) {
			t.Errorf("%s: no %s is offered", typed, offer)
		}
		v.Set("aim", offer)
		to, _ := d.post("/jars", "", v)
		if !strings.HasPrefix(to, "/bench?file=") {
			t.Fatalf("%s: the offer leads to %s", typed, to)
		}
	}
	v := typedJars()
	v.Set("kind", "tss")
	v.Set("target", "30")
	if body := d.led("/jars", v); !strings.Contains(body, `value="tss &lt;= 30 mg/L"`) {
		t.Error("of suspended solids another target is offered")
	}
	v = typedJars()
	v.Set("target", "turbidity <= 2,5 NTU")
	to, body := d.post("/jars", "", v)
	if !strings.HasPrefix(to, "/bench?file=") {
		t.Fatal(plainPage(body))
	}
	_, body = d.get(to)
	d.has(body, "target turbidity of 2.5 NTU at most")
}

// TestJarsBegunAnew asks before what was typed goes, and does not where nothing was.
func TestJarsBegunAnew(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	v := typedJars()
	v.Set("do", "anew")
	body := d.led("/jars", v)
	d.has(body, "Begin anew?", "is not saved", "Keep what I typed")
	back := regexp.MustCompile(`href="(/jars\?typed=[0-9a-f]+)"`).FindStringSubmatch(body)
	if back == nil {
		t.Fatal("what was typed cannot be kept")
	}
	if _, body = d.get(back[1]); !strings.Contains(body, `value="good; clear"`) {
		t.Error("it was not kept")
	}
	if to, _ := d.post("/jars", "", url.Values{"do": {"anew"}, "kind": {"turbidity"}, "unit": {"mg/L"}, "dose-1": {""}}); to != "/jars" {
		t.Errorf("an empty grid leads to %s", to)
	}
}

// TestSecondSheetIsToldWhatHolds: how one sheet is read and what was asked of it holds for a second one as well, and every page
// says so until it is taken back.
func TestSecondSheetIsToldWhatHolds(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	one := d.drop("", "one.csv", "Jar,Alum (mg/L as Al),Result\n1,1,30\n2,2,12\n3,3,5\n")
	to, _ := d.post("/change", one, url.Values{"column": {"Result"}, "kind": {"turbidity"}, "unit": {"NTU"}})
	both := d.drop(to+"&target=turbidity+%3C%3D+4+NTU", "two.csv", "Jar,Alum (mg/L as Al),Result\n1,1,60\n2,2,40\n3,3,9\n")
	for _, path := range []string{"/bench", "/dose", "/compare"} {
		_, query, _ := strings.Cut(both, "?")
		_, body := d.get(path + "?" + query)
		d.has(body, "This holds for all the sheets that are open here: “Result” is turbidity NTU; the target is turbidity at most 4 NTU.")
		free := regexp.MustCompile(`href="([^"]+)">Read each as it stands`).FindStringSubmatch(body)
		if free == nil || strings.Contains(free[1], "column") || strings.Contains(free[1], "target") || strings.Count(free[1], "file=") != 2 {
			t.Errorf("%s: it is taken back by %q", path, free)
		}
	}
	if _, body := d.get(to); strings.Contains(body, "This holds for") {
		t.Error("of one sheet it is said too")
	}
}
