package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"math"
	"mime/multipart"
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
	"time"

	"github.com/chromedp/chromedp"

	"jarwright/cmd/jarwright/serve"
	"jarwright/dosing/site"
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
	forms := []string{"html", "png", "xlsx", "json", "csv"}
	codes, said := make([]int, len(forms)), make([]string, len(forms))
	var all sync.WaitGroup
	for i, form := range forms { // each by a command of its own, side by side
		all.Go(func() {
			_, said[i], codes[i] = program(d.t, slices.Concat(command, []string{"-o", path + "." + form})...)
		})
	}
	all.Wait()
	for i, form := range forms {
		name := path + "." + form
		if codes[i] != exitDone && codes[i] != exitNoAnswer {
			d.t.Fatalf("%v ended with %d: %s", command, codes[i], said[i])
		}
		want, err := os.ReadFile(name)
		if err != nil {
			d.t.Fatal(err)
		}
		if got := d.do(httptest.NewRequest(http.MethodGet, "/save/"+form+"/"+path+"?"+query, nil), http.StatusOK).Body.Bytes(); !bytes.Equal(got, want) {
			d.t.Errorf("%s: %d bytes are saved, %d are written by %v", name, len(got), len(want), command)
		}
		if form == "html" && !strings.Contains(html.UnescapeString(string(want)), "The same answer: <code>"+serve.CommandLine(command)+"</code>") {
			d.t.Errorf("%s does not name the command %v", name, command)
		}
	}
}

// TestServePast asks the demo's past tests for today's water: the page shows and saves what the command does, leaves the
// field for today's turbidity blank and says the latest test's beside it, and the demo on the page leaves nothing on the disk.
func TestServePast(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	d, all := newDesk(t)
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Fatalf("the page left %v on the disk, %v", left, err)
	}
	demoInputs(t, dir)
	page := d.get("/past?"+all.Encode(), http.StatusOK)
	for _, want := range []string{"As the meter reads it now. It was 46 NTU in the latest test, of ", `<span class="of">NTU</span>`, "9 past tests", "The tests tell the dose of", ">Alum<",
		"ask for its dose in “Turbidity of today’s raw water”", "in a folder named “past”", "Test next", `name="for" value="past"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	if regexp.MustCompile(`name="raw" value="[^"]`).MatchString(page) {
		t.Error("an old water stands in the field for today's")
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
	for _, want := range []string{"10 past tests", "site workbook", "1 of 10 files skipped", "broken.xlsx", "The tests tell the dose of", " NTU in the latest test, of "} {
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

// partIn is the ID of a single file of a folder, as its page has it.
func partIn(page, name string) string {
	m := regexp.MustCompile(`<li>` + regexp.QuoteMeta(name) + ` <button type="submit" class="btn o" form="away" name="put" value="([0-9a-f]+)"`).FindStringSubmatch(page)
	if m == nil {
		return ""
	}
	return m[1]
}

// TestServePastAway puts a single past test away: the others stay as the command makes them without it, neither Back nor a reload
// brings it back, and with the last the page waits for past tests again.
func TestServePastAway(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	d, all := newDesk(t)
	page := d.get("/past?"+all.Encode(), http.StatusOK)
	away := demoPast[4].day + ".xlsx"
	id := partIn(page, away)
	if id == "" || strings.Contains(d.get("/day?"+all.Encode(), http.StatusOK), "Put a single one away") {
		t.Fatalf("%s cannot be put away, or on the page of the day", away)
	}
	to := d.post("/away", url.Values{"desk": {all.Encode()}, "put": {id}, "at": {"/past"}}, http.StatusSeeOther).Header().Get("Location")
	_, query, _ := strings.Cut(to, "?")
	left := d.get(to, http.StatusOK)
	if !strings.Contains(left, "8 past tests") || partIn(left, away) != "" || partIn(left, demoPast[3].day+".xlsx") == "" {
		t.Error("the others do not stay alone")
	}
	if err := os.Remove(filepath.Join("past", away)); err != nil {
		t.Fatal(err)
	}
	d.savedAs("past", query, commandOf(t, left))
	if page := d.get("/past?"+all.Encode(), http.StatusOK); !strings.Contains(page, "8 past tests") {
		t.Error("Back leads to what was put away")
	}
	if same := d.post("/away", url.Values{"desk": {query}, "put": {"../site.xlsx"}, "at": {"/past"}}, http.StatusSeeOther).Header().Get("Location"); same != to {
		t.Errorf("a test that is none leads to %s", same)
	}
	one := d.dropped("", true, [2]string{"one.csv", benchCSV}).Header().Get("Location")
	_, query, _ = strings.Cut(one, "?")
	to = d.post("/away", url.Values{"desk": {query}, "put": {partIn(d.get(one, http.StatusOK), "one.csv")}, "at": {"/past"}}, http.StatusSeeOther).Header().Get("Location")
	if page := d.get(to, http.StatusOK); !strings.Contains(page, "Drop your past bench sheets here") {
		t.Error("without the last of them the page does not ask for past tests")
	}
}

// plantLog31 is a plant's operating log of thirty-one days whose last three use a fifth less stock.
func plantLog31() string {
	var b strings.Builder
	b.WriteString("Date,Stock used (L),Water treated (m3)\n")
	for i := range 31 {
		used := 4.0 + 0.1*float64(1-i%2)
		if i >= 28 {
			used *= 0.8
		}
		fmt.Fprintf(&b, "%s,%.2f,10\n", time.Date(2026, time.January, 31+i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), used)
	}
	return b.String()
}

// TestServePlantLog drops a plant's operating log: with past tests and the site, and on the first page, it gives what the command
// gives; beside a bench sheet the page says where it is shown.
func TestServePlantLog(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	write(t, "log.csv", plantLog31())
	d, all := newDesk(t)
	for _, x := range []struct {
		name, desk string
		past       bool
		command    string
		says       []string
		lacks      string
	}{
		{"alone, on the first page", "", false, "track log.csv", []string{"Check the pump", "20 % less", "operating log"}, `name="raw"`},
		{"among past tests of a site", all.Encode(), true, "track past log.csv bench.xlsx --site site.xlsx", []string{"Dose fed", "planned 27.3", `name="raw"`, "9 past tests"}, "operating log, shown under"},
	} {
		to := d.dropped(x.desk, x.past, [2]string{"log.csv", plantLog31()}).Header().Get("Location")
		_, query, _ := strings.Cut(to, "?")
		if !strings.HasPrefix(to, "/past?") {
			t.Fatalf("%s: it leads to %q", x.name, to)
		}
		page := d.get(to, http.StatusOK)
		for _, want := range x.says {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %s on the page", x.name, want)
			}
		}
		if strings.Contains(page, x.lacks) {
			t.Errorf("%s: the page has %s", x.name, x.lacks)
		}
		command := commandOf(t, page)
		if got := strings.Join(command, " "); got != x.command {
			t.Errorf("%s: the page shows %s", x.name, got)
		}
		d.savedAs("past", query, command)
		saved, _ := filepath.Glob("past.*")
		for _, name := range saved {
			if err := os.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
	}
	to := d.dropped("", false, [2]string{"storm.csv", benchCSV}, [2]string{"log.csv", plantLog31()}).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	if !strings.HasPrefix(to, "/bench?") || !strings.Contains(page, "operating log, shown under <a href=\"/past?") || strings.Contains(page, "not understood: ") {
		t.Errorf("at %s the log beside a bench sheet is not said to be shown elsewhere", to)
	}
	if command := strings.Join(commandOf(t, page), " "); command != "read storm.csv --cells" {
		t.Errorf("the bench page runs %s", command)
	}
}

// TestServePastFolder takes all sheets of the folder that files may be opened from: what is saved is what the command makes of it.
func TestServePastFolder(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	d := folderDesk(t, "past")
	if start := d.get("/past", http.StatusOK); !strings.Contains(start, "Take all sheets of the folder past") {
		t.Errorf("the page does not offer the folder: %s", start)
	}
	to := d.post("/open", url.Values{"for": {"past"}}, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	command := commandOf(t, page)
	if !strings.Contains(page, "9 past tests") || strings.Join(command, " ") != "track past" {
		t.Errorf("the page shows %q", command)
	}
	_, query, _ := strings.Cut(to, "?")
	d.savedAs("past", query, command)
}

// folderDesk is a page whose folder is that one.
func folderDesk(t *testing.T, dir string) deskAt {
	t.Helper()
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	e := &env{streams: streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard}}
	d := deskAt{t: t, host: "127.0.0.1:8149"}
	d.s = serve.New(serve.Options{Program: e.inMemory, Render: render, Kind: kindOf, Log: isPlantLog, Demo: e.demoFiles, Port: "8149", Folder: folder{root}})
	t.Cleanup(d.s.Close)
	_, d.token, _ = strings.Cut(d.get("/", http.StatusOK), `name="token" value="`)
	d.token, _, _ = strings.Cut(d.token, `"`)
	return d
}

// TestServeLogInFolder: a plant's operating log that lies among the past tests of the folder is held against the site on the desk, as
// one that is dropped is; without a log the site stays out of it, and without a site the log is held against its own weeks.
func TestServeLogInFolder(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	place, err := os.ReadFile("site.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := os.ReadFile("bench.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	tests, err := filepath.Glob(filepath.Join("past", "*.xlsx"))
	if err != nil || len(tests) != 9 {
		t.Fatalf("%d past tests, %v", len(tests), err)
	}
	for _, name := range tests[5:] { // a law takes five; all nine are those of TestServePastFolder
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
	for _, log := range []bool{false, true} {
		if log {
			write(t, filepath.Join("past", "Log.CSV"), plantLog31())
		}
		d := folderDesk(t, "past")
		_, desk, _ := strings.Cut(d.dropped("", false, [2]string{"bench.xlsx", string(sheet)}, [2]string{"site.xlsx", string(place)}).Header().Get("Location"), "?")
		for desk, want := range map[string]string{desk: map[bool]string{false: "track past bench.xlsx", true: "track past bench.xlsx --site site.xlsx"}[log], "": "track past"} {
			to := d.post("/open", url.Values{"for": {"past"}, "desk": {desk}}, http.StatusSeeOther).Header().Get("Location")
			_, query, _ := strings.Cut(to, "?")
			page := d.get(to, http.StatusOK)
			command := commandOf(t, page)
			if got := strings.Join(command, " "); got != want || strings.Contains(page, "Dose fed") != log || strings.Contains(page, "planned 27.3") != (log && desk != "") {
				t.Errorf("log %t: the page shows %s, want %s", log, got, want)
			}
			d.savedAs("past", query, command)
			saved, _ := filepath.Glob("past.*")
			for _, name := range saved {
				if err := os.Remove(name); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// TestServeCapitals: a file whose name or ending has capitals is taken like others, dropped, opened from the folder, among past tests,
// and where a site names it with other capitals; the command at a terminal finds it too.
func TestServeCapitals(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	demoInputs(t, dir)
	for old, name := range map[string]string{"bench.xlsx": "Bench.XLSX", "site.xlsx": "SITE.xlsx", filepath.Join("past", demoPast[0].day+".xlsx"): filepath.Join("past", demoPast[0].day+".XLSX")} {
		if err := os.Rename(old, name); err != nil {
			t.Fatal(err)
		}
	}
	write(t, "STORM.CSV", benchCSV)
	read := func(name string) string {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	d := folderDesk(t, ".")
	start := d.get("/", http.StatusOK)
	for name, says := range map[string]string{"Bench.XLSX": "Read: seven jars", "STORM.CSV": "Read: seven jars"} {
		if !strings.Contains(start, "<option>"+name+"</option>") {
			t.Errorf("the folder does not list %s", name)
		}
		for way, to := range map[string]string{"dropped": d.dropped("", false, [2]string{name, read(name)}).Header().Get("Location"),
			"opened": d.post("/open", url.Values{"name": {name}}, http.StatusSeeOther).Header().Get("Location")} {
			if page := d.get(to, http.StatusOK); !strings.HasPrefix(to, "/bench?") || !strings.Contains(page, says) || !strings.Contains(page, "jarwright read "+name) {
				t.Errorf("%s, %s, leads to %s", name, way, to)
			}
		}
	}
	to := d.dropped("", false, [2]string{"Bench.XLSX", read("Bench.XLSX")}, [2]string{"SITE.xlsx", read("SITE.xlsx")}).Header().Get("Location")
	_, query, _ := strings.Cut(to, "?")
	page := d.get("/day?"+query, http.StatusOK)
	if !strings.Contains(page, "Set pump") || strings.Contains(page, "is not open here") {
		t.Errorf("the day of a site that names bench.xlsx does not find Bench.XLSX: %s", page)
	}
	d.savedAs("day", query, commandOf(t, page))
	to = d.post("/open", url.Values{"for": {"past"}}, http.StatusSeeOther).Header().Get("Location")
	d.get(to, http.StatusOK)
	d = folderDesk(t, "past")
	if page := d.get(d.post("/open", url.Values{"for": {"past"}}, http.StatusSeeOther).Header().Get("Location"), http.StatusOK); !strings.Contains(page, "9 past tests") {
		t.Error("a past test in capitals is left out")
	}
	write(t, "bench.xlsx", read("STORM.CSV")) // now there are two, and the one that is named is meant
	if got := (&env{}).beside("SITE.xlsx", "bench.xlsx"); got != "bench.xlsx" {
		t.Errorf("of two, %s is read", got)
	}
	write(t, "BENCH.xlsx", "x")
	if got := (&env{}).beside("SITE.xlsx", "bencH.xlsx"); got != "bencH.xlsx" {
		t.Errorf("of several that are alike, %s is read", got)
	}
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
	for _, want := range []string{"trial log", "What to put into the site", "olids caught", "Put these figures into the site", `name="to"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s on the page", want)
		}
	}
	d.savedAs("trials", query, commandOf(t, page))
	d.trialInSite(query)
	if page := d.get(to+"&to=much", http.StatusOK); !strings.Contains(page, "“Reading to clear to”") || strings.Contains(page, "--to</") {
		t.Errorf("a wrong reading is not told by its field: %s", page)
	}
}

// trialInSite presses the button that puts the demo's trial into the form of a site, and plans with it: the workbook holds the
// figures that the trial's own report says are to be put there.
func (d deskAt) trialInSite(query string) {
	d.t.Helper()
	form := d.get("/site?"+query+"&change=trial", http.StatusOK)
	fields := url.Values{"desk": {query}, "passes": {"once through"}, "place-name": {"Beck"}, "place-purpose": {"other"}, "flow-average-flow": {"3.6"}, "chemicals-name": {"alum"}, "chemicals-product": {"alum-liquid"},
		"chemicals-dose": {"12.5 mg/L"}, "chemicals-basis": {"as alum 14-hydrate"}, "pumps-largest-rate": {"1.8"}}
	for key, want := range map[string]string{"solids-solids-caught": "74", "solids-outlet-at-best": "3.2", "solids-caught-undosed": "", "solids-clearing-trial": "Rearing tank after the spate, trial.xlsx, 2026-03-05"} {
		got := regexp.MustCompile(`name="` + key + `" value="([^"]*)"`).FindStringSubmatch(form)
		if got == nil || got[1] != want {
			d.t.Errorf("%s is %q in the form, want %q", key, got, want)
			continue
		}
		fields.Set(key, got[1])
	}
	to := d.post("/site", fields, http.StatusSeeOther).Header().Get("Location")
	day := d.get(to, http.StatusOK)
	if !strings.HasPrefix(to, "/day?") || !strings.Contains(day, "Set pump to") {
		d.t.Fatalf("it leads to %s", to)
	}
	u, _ := url.Parse(to)
	found := false
	for _, id := range u.Query()["file"] {
		r := httptest.NewRequest(http.MethodGet, "/held/"+id, nil)
		r.Host = d.host
		w := httptest.NewRecorder()
		d.s.Handler().ServeHTTP(w, r)
		if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Disposition"), "site.xlsx") {
			continue
		}
		place, err := site.Read("site.xlsx", w.Body)
		if s := place.Solids; err != nil || math.Abs(float64(s.Capture.V)-0.74) > 1e-9 || s.Outlet.V.V != 3.2 || !strings.Contains(s.Trial.V, "2026-03-05") {
			d.t.Errorf("the workbook holds %v, %v, %q (%v)", s.Capture.V, s.Outlet.V, s.Trial.V, err)
		}
		found = true
	}
	if !found {
		d.t.Error("no workbook was made")
	}
	changed := d.get("/site?"+u.RawQuery+"&change=yes", http.StatusOK)
	if !strings.Contains(changed, `name="solids-solids-caught" value="74"`) {
		d.t.Error("the form does not keep the figures")
	}
	if pond := d.get("/site?"+query+"&passes=standing", http.StatusOK); strings.Contains(pond, "solids-solids-caught") {
		d.t.Error("a pond is asked for its unit")
	}
}

// shows does what leads to a page that says so, which may be at the same path, and waits until that is there.
func (w *window) shows(words string, actions ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	w.do(actions...)
	ctx, end := context.WithTimeout(w.ctx, pieceLimit)
	defer end()
	ready := `document.readyState === "complete" && !document.querySelector('body[data-again]') && document.body.innerText.replace(/\s+/g, " ").includes(` + fmt.Sprintf("%q", words) + ")"
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
			w.shows("The tests tell the dose of", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), sheets))
			w.says("9 past tests", "jarwright track past")
			w.looked(fmt.Sprintf("past-%d", wide))
			first := w.at()
			w.shows("water of 85 NTU", chromedp.SendKeys(chromedp.CSS(`#ask-raw`), "85\r"))
			w.says(`--raw "85 NTU"`)
			w.looked(fmt.Sprintf("past-raw-%d", wide))
			w.shows("water of 85 NTU", chromedp.Reload())
			ask[bool](w, "history.back(), true")
			w.shows("The tests tell the dose of")
			if w.at() != first {
				t.Errorf("Back leads to %s, not to %s", w.at(), first)
			}
			other.leads("/trials", chromedp.SetUploadFiles(chromedp.CSS(`.vessel input[type=file]`), []string{filepath.Join(dir, "trial.xlsx")}))
			other.says("A pass takes out", "jarwright trial trial.xlsx")
			other.looked(fmt.Sprintf("trial-%d", wide))
			w.shows("The tests tell the dose of", chromedp.Reload())
			w.says("9 past tests")
		})
	}
}
