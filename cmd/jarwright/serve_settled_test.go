package main

import (
	"html"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// text is a page in its words, each space one.
func textOf(page string) string {
	return oneSpace.ReplaceAllString(html.UnescapeString(tagsOf.ReplaceAllString(page, " ")), " ")
}

var (
	oneSpace = regexp.MustCompile(`\s+`)
	tagsOf   = regexp.MustCompile(`(?s)<(?:script|style)\b.*?</(?:script|style)>|<[^>]*>`)
)

// TestServeSureOfPlace: a site that says nothing of sureness plans with 9 times in 10, and the page that holds another against it says so.
func TestServeSureOfPlace(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	u, _ := d.leads("/site", site36(d.puts(goal5, [2]string{"alum.csv", alumJars})))
	q := u.Query()
	q.Set("sure", "19 in 20")
	text := textOf(d.get("/day?"+q.Encode(), http.StatusOK))
	for _, want := range []string{"the dose is that of the site: for turbidity <= 5 NTU, 9 times in 10.", "you looked at turbidity <= 5 NTU, 19 times in 20,"} {
		if !strings.Contains(strings.NewReplacer("≤", "<=", "at most", "<=").Replace(text), want) {
			t.Errorf("no %q in %.600s", want, text)
		}
	}
	if strings.Contains(text, " 0 %") {
		t.Error("what was not said is 0 %")
	}
}

// TestServePurposeAsked: what the water is for is asked and never taken for granted; where it is for something else and no animals are
// named, the plan says that nothing was judged for them.
func TestServePurposeAsked(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts(goal5, [2]string{"alum.csv", alumJars})
	form := d.get("/site?"+on, http.StatusOK)
	d.holds(form, `<option value="" selected>choose</option><option value="animals">`, `name="place-name" value=""`, "where it is blank “Our plant”")
	f := site36(on)
	f.Del("place-purpose")
	f.Del("place-name")
	u, page := d.leads("/site", f)
	if u.Path != "/site" {
		t.Errorf("without a purpose it leads to %s", u)
	}
	d.holds(page, `id="wrong-place-purpose"`)
	f.Set("place-purpose", "other")
	u, page = d.leads("/site", f)
	if text := textOf(page); u.Path != "/day" || !strings.Contains(text, "what the water does to animals: none are named") || !strings.Contains(text, "Our plant") {
		t.Errorf("%s does not say that animals were not judged", u)
	}
}

const gramJars = "Jar,Alum (g/L),Turbidity (NTU)\n1,0,38\n2,5,24.5\n3,8,13\n4,11,6.9\n5,14,3.9\n6,18,2.7\n7,24,3.5\n"

// TestServeUnitInDoubt: while it is asked whether the unit of the doses is right, the page leads to that column and not to the site, fills no jars
// and asserts no dose in a picture; whoever says that it is right, or puts it right, goes on.
func TestServeUnitInDoubt(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts(goal5, [2]string{"gram.csv", gramJars})
	page := d.get("/dose?"+on+"&"+goal5, http.StatusOK)
	d.holds(page, "Is the unit right?", ">Change the unit</a>")
	for _, never := range []string{"Take this dose to the site", "nine times in ten", `id="short"`} {
		if strings.Contains(page, never) {
			t.Errorf("a unit in doubt goes with %q", never)
		}
	}
	if next := textOf(d.get("/next?"+on+"&"+goal5, http.StatusOK)); !strings.Contains(next, "Fill none before the unit of the doses is settled.") || strings.Contains(next, "12500") || strings.Contains(next, "Fill 6 jars") {
		t.Error("jars are to be filled all the same")
	}
	way := regexp.MustCompile(`id="go" href="([^"]+)"`).FindStringSubmatch(page)
	u, err := url.Parse(html.UnescapeString(way[1]))
	if err != nil || u.Path != "/change" || u.Query().Get("of") != "Alum (g/L)" {
		t.Fatalf("%v leads to %v", way, u)
	}
	d.holds(d.get(u.String(), http.StatusOK), `name="unit" value="g/L"`, `<option value="dose" selected>`)
	for unit, dose := range map[string]string{"g/L": "13300 mg/L", "mg/L": "13.3 mg/L"} {
		to := d.post("/change", url.Values{"desk": {u.RawQuery}, "column": {"Alum (g/L)"}, "kind": {"dose"}, "unit": {unit}}, http.StatusSeeOther).Header().Get("Location")
		page := d.get(strings.Replace(to, "/bench", "/dose", 1), http.StatusOK)
		if text := textOf(page); strings.Contains(text, "Is the unit right?") || !strings.Contains(text, dose) || !strings.Contains(text, "Take this dose to the site") {
			t.Errorf("as %s: %.500s", unit, text)
		}
	}
}

// TestServeStockAsked: doses in mL ask for the stock and the water of a jar where that is said, with the units beside the boxes; the
// columns are understood, and bare numbers are of those units. 1 mL of 10 g/L in 1 L is 10 mg/L.
func TestServeStockAsked(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts("", [2]string{"ml.csv", "Jar,Alum (mL),Turbidity (NTU)\n1,0,38\n2,0.5,24.5\n3,0.8,13\n4,1.1,6.9\n5,1.4,3.9\n6,1.8,2.7\n7,2.4,3.5\n"})
	page := d.get("/bench?"+on, http.StatusOK)
	d.holds(page, "Fill in “Strength of the stock” and “Water in a jar”.", `<span class="u">g/L</span>`)
	if strings.Contains(page, "Say which column is the dose") || strings.Contains(page, "not understood") || strings.Count(page, `id="f-stock"`) != 1 {
		t.Error("what is known is asked for, or called not understood")
	}
	if strings.Index(page, `id="f-stock"`) > strings.Index(page, `class="drawn"`) {
		t.Error("the boxes lie below the sheet")
	}
	to := d.post("/reading", url.Values{"desk": {on}, "asked": {"yes"}, "stock": {"10"}, "jar-volume": {"1"}}, http.StatusSeeOther).Header().Get("Location")
	u, _ := url.Parse(to)
	if q := u.Query(); q.Get("stock") != "10 g/L" || q.Get("jar-volume") != "1 L" {
		t.Errorf("%v", q)
	}
	page = d.get(to, http.StatusOK)
	if !strings.Contains(page, "to-dose") || !strings.Contains(page, `name="stock" value="10"`) {
		t.Errorf("with them: %.800s", textOf(page))
	}
	if dose := textOf(d.get("/dose?"+u.RawQuery+"&"+goal5, http.StatusOK)); !strings.Contains(dose, "13.3 mg/L") {
		t.Errorf("%.400s", dose)
	}
}

// TestServeLeftOutByYou: a column that somebody leaves out is set aside, and nothing is asked about it.
func TestServeLeftOutByYou(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	to := d.post("/change", url.Values{"desk": {all.Encode()}, "column": {"G"}, "kind": {"ignore"}}, http.StatusSeeOther).Header().Get("Location")
	page := d.get(to, http.StatusOK)
	d.holds(page, "left out, as you said", "Right. Show the dose")
	if strings.Contains(page, "not understood") || strings.Contains(page, "answer it first") {
		t.Error("it is asked what was left out")
	}
}

// TestServeFormFirst: the form of a site shows first what a setting needs, with the dose that is taken, and folds the rest; what a dose
// counts is what the chemical can be counted as.
func TestServeFormFirst(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts(goal5, [2]string{"alum.csv", "Date,2026-03-02\n\n" + alumJars})
	form := d.get("/site?"+on, http.StatusOK)
	shown := form
	for _, fold := range regexp.MustCompile(`(?s)<details class="fold-group">.*?</details>`).FindAllString(form, -1) {
		shown = strings.Replace(shown, fold, "", 1)
	}
	boxes := regexp.MustCompile(`class="entry`).FindAllString(shown, -1)
	if len(boxes) < 5 || len(boxes) > 9 {
		t.Errorf("%d boxes are shown", len(boxes))
	}
	for _, want := range []string{`name="flow-average-flow"`, `name="chemicals-name"`, `name="chemicals-product"`, `name="pumps-largest-rate"`, `name="place-purpose"`, `name="animals-species"`} {
		if !strings.Contains(shown, want) {
			t.Errorf("%s is folded", want)
		}
	}
	if text := textOf(shown); !regexp.MustCompile(`Dose \d+(?:\.\d)? mg/L as alum 14-hydrate, from alum\.csv, 2 March 2026: turbidity .{1,9} 5 NTU, 9 times in 10`).MatchString(text) {
		t.Errorf("the dose is not shown: %s", text)
	}
	counts := regexp.MustCompile(`(?s)<select id="chemicals-basis".*?</select>`).FindString(form)
	if n := strings.Count(counts, "<option"); n < 3 || n > 12 || strings.Contains(counts, "Fe") {
		t.Errorf("a dose of alum counts one of %d: %s", n, counts)
	}
}

// folderOf is a folder with these files.
type folderOf map[string]string

func (f folderOf) Title() string            { return "shed" }
func (f folderOf) Names() ([]string, error) { return slices.Sorted(maps.Keys(f)), nil }
func (f folderOf) Read(name string) ([]byte, error) {
	return []byte(f[name]), nil
}

// TestServeFetches: a site that lacks a file which lies in the folder takes it from there by a button, and plans no day before that;
// what is wrong is said once, with what to do.
func TestServeFetches(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	files := all["file"]
	site := url.Values{}
	for _, id := range files {
		r, w := httptest.NewRequest(http.MethodGet, "/held/"+id, nil), httptest.NewRecorder()
		r.Host = d.host
		if d.s.Handler().ServeHTTP(w, r); strings.Contains(w.Header().Get("Content-Disposition"), "site.xlsx") { // a folder cannot be kept
			site.Add("file", id)
		}
	}
	for there, folder := range map[bool]folderOf{true: {"bench.xlsx": "b"}, false: {"other.csv": "a"}} {
		d.s.Folder = folder
		want := map[bool]string{true: "Take bench.xlsx from the folder", false: "Choose bench.xlsx"}[there]
		held := d.get("/site?"+site.Encode(), http.StatusOK)
		d.holds(held, want)
		if strings.Contains(textOf(held), "Plan the day") {
			t.Error("a day is offered that cannot be planned")
		}
		day := d.get("/day?"+site.Encode(), http.StatusOK)
		d.holds(day, want)
		if n := strings.Count(textOf(day), "No answer"); n != 1 {
			t.Errorf("No answer is said %d times", n)
		}
	}
}

// TestServeWordsOfPrices: what a command says of flags is told by what the page has, in sentences.
func TestServeWordsOfPrices(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	list := textOf(d.get("/bench?"+d.puts("", [2]string{"shopping.txt", "bread, 2\nmilk, 3\neggs, 12\n"}), http.StatusOK))
	if strings.Contains(list, "“change” above the column (dose mg/L) and") || !strings.Contains(list, "put it away") {
		t.Errorf("%.700s", list)
	}
	on := d.puts(goal5, [2]string{"alum.csv", alumJars}, [2]string{"ferric.csv", strings.NewReplacer("Alum", "Ferric chloride", "alum 14-hydrate", "FeCl3").Replace(alumJars)})
	compare := textOf(d.get("/compare?"+on, http.StatusOK))
	if strings.Contains(compare, "name that with") || strings.Contains(compare, "(alum=") || !strings.Contains(compare, "in the field of its price, such as 0") {
		t.Errorf("%.1500s", compare)
	}
}

// TestServeTypedRows: rows of the grid that were left empty are no jars of the workbook that it becomes; what has to be filled in is
// marked, and the dose goes above the sheet.
func TestServeTypedRows(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	d.holds(d.get("/jars", http.StatusOK), "Chemical <b>(needed)</b>", "The doses count <b>(needed)</b>", "as it was weighed out")
	f := url.Values{"desk": {""}, "name": {"Tuesday"}, "chemical": {"alum"}, "basis": {"as product"}, "stock": {"10"}, "jar-volume": {"1"}, "unit": {"mg/L"}, "kind": {"turbidity"}}
	for i := range 12 {
		f.Set("dose-"+strconv.Itoa(i+1), "")
	}
	for i, x := range [][2]string{{"0", "40"}, {"10", "30"}, {"20", "12"}, {"30", "5"}, {"40", "3"}, {"50", "3.2"}, {"60", "3"}} {
		f.Set("dose-"+strconv.Itoa(i+1), x[0])
		f.Set("first-"+strconv.Itoa(i+1), x[1])
	}
	u, page := d.leads("/jars", f)
	if u.Path != "/bench" || strings.Contains(page, "formula without a value") {
		t.Errorf("%s: empty rows come back as jars", u)
	}
	if strings.Index(page, `id="to-dose"`) > strings.Index(page, `class="drawn"`) {
		t.Error("the way on lies below the sheet")
	}
}
