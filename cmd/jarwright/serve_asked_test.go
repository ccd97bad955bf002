package main

import (
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"
)

// leads is where a form leads, and what stands there.
func (d deskAt) leads(path string, fields url.Values) (u *url.URL, page string) {
	d.t.Helper()
	to := d.post(path, fields, http.StatusSeeOther).Header().Get("Location")
	u, err := url.Parse(to)
	if err != nil {
		d.t.Fatal(err)
	}
	return u, d.get(to, http.StatusOK)
}

// puts drops a sheet and gives the query of the desk with it.
func (d deskAt) puts(on string, files ...[2]string) string {
	d.t.Helper()
	u, err := url.Parse(d.dropped(on, false, files...).Header().Get("Location"))
	if err != nil {
		d.t.Fatal(err)
	}
	return u.RawQuery
}

func (d deskAt) holds(page string, wants ...string) {
	d.t.Helper()
	text := html.UnescapeString(page)
	for _, w := range wants {
		if !strings.Contains(text, w) {
			d.t.Errorf("the page does not say %q", w)
		}
	}
}

const alumJars = "Jar,Alum (mg/L as alum 14-hydrate),Turbidity (NTU)\n1,0,85\n2,5,60\n3,10,31\n4,15,12\n5,20,5.2\n6,25,2.9\n7,30,2.1\n8,40,1.9\n"

// goal5 is a desk on which a target was asked for, since the sheets state none.
const goal5 = "target=turbidity+%3C%3D+5+NTU"

// site36 is the form of a site of 3.6 m3/h with a drum of alum, on a desk.
func site36(on string) url.Values {
	return url.Values{"desk": {on}, "passes": {"once through"}, "place-name": {"Mill beck"}, "place-purpose": {"other"}, "flow-average-flow": {"3.6"}, "flow-average-flow-unit": {"m3/h"}, "chemicals-name": {"alum"},
		"chemicals-bench-sheet": {"alum.csv"}, "chemicals-target": {"turbidity <= 5 NTU"}, "chemicals-basis": {"as alum 14-hydrate"}, "chemicals-strength": {"48.5"}, "chemicals-density": {"1.335"}, "chemicals-density-unit": {"kg/L"},
		"pumps-largest-rate": {"5"}, "pumps-largest-rate-unit": {"L/h"}}
}

// TestServeAnotherChemical: jars of alum set no pump for a drum of polyaluminium chloride, which is said at the box of its name.
func TestServeAnotherChemical(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	desk := d.puts(goal5, [2]string{"alum.csv", alumJars})
	if u, page := d.leads("/site", site36(desk)); u.Path != "/day" || !strings.Contains(page, "Set pump") {
		t.Fatalf("alum leads to %s", u)
	}
	for _, name := range []string{"polyaluminium chloride", "PAC"} {
		f := site36(desk)
		f.Set("chemicals-name", name)
		f.Set("chemicals-strength", "30")
		f.Set("chemicals-density", "1.2")
		u, page := d.leads("/site", f)
		if u.Path != "/site" || strings.Contains(page, "Set pump") {
			t.Errorf("%s leads to %s", name, u)
		}
		if name != "PAC" { // which of several it is goes first
			d.holds(page, `id="wrong-chemicals-name"`, "alum.csv tests alum, and the site feeds "+name)
		}
	}
}

// TestServeLookedAt: a target or sureness that was looked at under “Dose” and is not the site's is told wherever the site answers.
func TestServeLookedAt(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	for _, path := range []string{"/day", "/site"} {
		if page := d.get(path+"?"+all.Encode(), http.StatusOK); strings.Contains(page, "which is not used here") {
			t.Errorf("%s says so where nothing was looked at", path)
		}
	}
	all.Set("target", "turbidity <= 4 NTU")
	all.Set("sure", "99 in 100")
	for _, path := range []string{"/day", "/site", "/month"} {
		d.holds(d.get(path+"?"+all.Encode(), http.StatusOK), "Here the dose is that of the site: for turbidity", "99 times in 100, which is not used here. To plan with that, write it in the workbook")
	}
	all.Set("target", "Turbidity ≤ 5 NTU") // the site's own, in other words
	all.Del("sure")
	if page := d.get("/day?"+all.Encode(), http.StatusOK); strings.Contains(page, "which is not used here") {
		t.Error("the site's own target is told as another")
	}
}

// TestServeTwoTests: each of two tests of a workbook, and of two files, leads to a setting of its own.
func TestServeTwoTests(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	ferric := "Jar,FeCl3 (mg/L as FeCl3),Turbidity (NTU)\n1,0,48.5\n2,4,30.2\n3,8,11.4\n4,12,4.1\n5,16,2.2\n6,20,1.8\n"
	desk := d.puts(d.puts(goal5, [2]string{"alum.csv", alumJars}), [2]string{"ferric.csv", ferric})
	page := d.get("/dose?"+desk, http.StatusOK)
	ways := regexp.MustCompile(`href="(/site\?[^"]+)">Take the dose of “([^”]*)”`).FindAllStringSubmatch(page, -1)
	if len(ways) != 2 {
		t.Fatalf("%d ways to the site", len(ways))
	}
	for i, want := range [][2]string{{"alum.csv", "alum"}, {"ferric.csv", "ferric chloride"}} {
		form := d.get(html.UnescapeString(ways[i][1]), http.StatusOK)
		d.holds(form, `<option value="`+want[0]+`" selected>`, `name="chemicals-name" value="`+want[1]+`"`, `<option value="ferric.csv"`, `<option value="alum.csv"`)
		f := site36(desk)
		f.Set("chemicals-bench-sheet", want[0])
		f.Set("chemicals-name", want[1])
		if i == 1 {
			f.Set("chemicals-strength", "40")
			f.Set("chemicals-density", "1.42")
			f.Set("chemicals-basis", "as FeCl3")
		}
		if u, day := d.leads("/site", f); u.Path != "/day" || !strings.Contains(day, "Set pump") {
			t.Errorf("%s leads to %s", want[0], u)
		}
	}
	// Two tests of one chemical in one file: which of them is asked at its box.
	both := "Test,Jar,Alum (mg/L as alum 14-hydrate),Turbidity (NTU)\n"
	for k, test := range []string{"Monday", "Tuesday"} {
		for i, v := range []string{"85", "60", "31", "12", "5.2", "2.9", "2.1"} {
			both += test + "," + string(rune('1'+i)) + "," + []string{"0", "5", "10", "15", "20", "25", "30"}[i] + "," + v + strings.Repeat("1", k) + "\n"
		}
	}
	desk = d.puts(goal5, [2]string{"alum.csv", both})
	u, page := d.leads("/site", site36(desk))
	if u.Path != "/site" {
		t.Fatalf("without a test it leads to %s", u)
	}
	d.holds(page, `id="wrong-chemicals-series"`, `<option value="Tuesday"`)
	f := site36(desk)
	f.Set("chemicals-series", "Monday")
	if u, day := d.leads("/site", f); u.Path != "/day" || !strings.Contains(day, "Monday") {
		t.Errorf("Monday leads to %s", u)
	}
}

// TestServeFormAsks: a loop is asked for its water and the new water, animals by their names from a list, the temperature comes from
// the bench sheet, and a site that is treated for animals names them.
func TestServeFormAsks(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	all["file"] = all["file"][:1]
	d.holds(d.get("/site?"+all.Encode(), http.StatusOK), `<span class="hint" id="from-water-temperature">8 °C on the bench, 2 March 2026: is it still so?`, `list="list-animals-species"`, `<a class="skip" href="#matter">`, `<option value="rainbow trout"></option>`, "Somebody there, such as 06:00-20:30")
	d.holds(d.get("/site?passes=recirculating", http.StatusOK), `name="water-water-in-the-system"`, `name="water-new-water"`)
	if page := d.get("/site", http.StatusOK); strings.Contains(page, "water-in-the-system") || !strings.Contains(page, `action="/files"`) {
		t.Error("an empty page of a site asks a loop's questions, or takes no file")
	}
	desk := d.puts(goal5, [2]string{"alum.csv", alumJars})
	f := site36(desk)
	f.Set("place-purpose", "animals")
	u, page := d.leads("/site", f)
	if u.Path != "/site" {
		t.Errorf("without names it leads to %s", u)
	}
	d.holds(page, `id="wrong-animals-species"`, "autofocus")
	f.Set("animals-species", "rainbow trout")
	f.Set("water-temperature", "8") // a bare number is of the unit beside it
	if u, page = d.leads("/site", f); u.Path != "/day" || strings.Contains(page, "15 °C is taken") {
		t.Errorf("with them it leads to %s", u)
	}
	f.Set("passes", "recirculating")
	f.Set("water-water-in-the-system", "60")
	f.Set("water-new-water", "5")
	if u, page = d.leads("/site", f); u.Path != "/day" || strings.Contains(page, "its volume or flow is not given") {
		t.Errorf("a loop leads to %s", u)
	}
	f.Set("passes", "once through")
	f.Set("place-staffed-from", "8 to 5")
	u, page = d.leads("/site", f)
	if u.Path != "/site" {
		t.Errorf("8 to 5 leads to %s", u)
	}
	d.holds(page, "in the afternoon, at 17:00", `id="wrong-place-staffed-from"`)
}

// TestServeMonthAndTank: a month that nobody gave is this one, and no tank to clean up is a question.
func TestServeMonthAndTank(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	u, _ := d.leads("/site", site36(d.puts(goal5, [2]string{"alum.csv", alumJars})))
	if u.Path != "/day" {
		t.Fatalf("%s", u)
	}
	to := d.do(httptest.NewRequest(http.MethodGet, "/month?"+u.RawQuery, nil), http.StatusSeeOther).Header().Get("Location")
	if !strings.Contains(to, "date="+time.Now().Format("2006-01")) {
		t.Errorf("the month leads to %s", to)
	}
	if page := d.get(to, http.StatusOK); strings.Contains(page, "No answer") {
		t.Error("this month has no answer")
	}
	page := d.get("/tank?"+u.RawQuery, http.StatusOK)
	d.holds(page, "Which tank?", "a tank is cleaned up")
	if strings.Contains(page, "No answer") {
		t.Error("a tank that nobody named is an error")
	}
}

// TestServeForms: no picture is offered where there is none.
func TestServeForms(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	sheets := d.puts(goal5, [2]string{"alum.csv", alumJars})
	if page := d.get("/compare?"+sheets, http.StatusOK); strings.Contains(page, "/save/png/compare") || !strings.Contains(page, "/save/xlsx/compare") {
		t.Error("a comparison without prices offers a picture")
	}
	if page := d.get("/compare?"+sheets+"&price=alum%3D0.4+EUR%2Fkg", http.StatusOK); !strings.Contains(page, "/save/png/compare") {
		t.Error("a comparison with prices offers none")
	}
}

// TestServeOwnName: a file whose name no page can use is told by its own beside the command.
func TestServeOwnName(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	desk := d.puts(goal5, [2]string{"a$HOME.csv", alumJars})
	d.holds(d.get("/dose?"+desk, http.StatusOK), "a_HOME.csv", "The file is called “a$HOME.csv” where it lies")
}

// TestServeListOfReading: a reading that was chosen with its unit from the list has that unit, unless the heading has its own.
func TestServeListOfReading(t *testing.T) {
	t.Parallel()
	d := newBenchDesk(t)
	for head, want := range map[string]string{"Result": "Result=turbidity NTU", "Result (FNU)": "Result (FNU)=turbidity"} {
		q := d.drop("", "sheet.csv", "Jar,Alum (mg/L),"+head+"\n1,0,85\n2,10,31\n3,20,5.2\n4,30,2.1\n")
		to, _ := d.post("/change", q, url.Values{"column": {head}, "kind": {"turbidity"}, "unit": {""}})
		u, err := url.Parse(to)
		if err != nil || u.Query().Get("column") != want {
			t.Errorf("%s leads to %s", head, to)
		}
	}
}

// TestServeEndTellsApart: sites of one name are told apart where the program is to end.
func TestServeEndTellsApart(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	d.s.End = func() {}
	sheets := d.puts(goal5, [2]string{"alum.csv", alumJars})
	for _, place := range []string{"Mill beck", "Upper pond"} {
		f := site36(sheets)
		f.Set("place-name", place)
		d.leads("/site", f)
	}
	d.holds(d.get("/end", http.StatusOK), "site.xlsx (1 of 2, the last is the latest), Mill beck", "site.xlsx (2 of 2, the last is the latest), Upper pond")
}

// TestServePriceOfPlace: the price is asked for where the chemical is, and the month then costs 3.6 m3/h × 24 h × 31 d × 21.0 mg/L of
// alum 14-hydrate / 0.485 × 0.4 EUR/kg, of which the plan says the day's.
func TestServePriceOfPlace(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	f := site36(d.puts(goal5, [2]string{"alum.csv", alumJars}))
	f.Set("chemicals-bench-sheet", "")
	f.Set("chemicals-dose", "20")
	f.Set("chemicals-basis", "as alum 14-hydrate")
	u, page := d.leads("/site", f)
	if u.Path != "/day" || strings.Contains(page, "EUR") {
		t.Fatalf("%s", u)
	}
	f.Set("prices-price", "0,4")
	f.Set("prices-price-unit", "EUR/kg")
	u, page = d.leads("/site", f)
	d.holds(page, "1.43 EUR") // 86.4 m3 × 20 g/m3 / 0.485 / 1000 × 0.4 EUR/kg = 1.425 EUR a day
	if u.Path != "/day" {
		t.Errorf("%s", u)
	}
	d.holds(d.get("/site?change=yes&"+u.RawQuery, http.StatusOK), `name="prices-price" value="0,4"`)
}

// TestServeBasisOfPlace: jars that do not say what their doses count are asked for it at its box, for each chemical alike.
func TestServeBasisOfPlace(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	for name, sheet := range map[string]string{"alum": strings.ReplaceAll(alumJars, " as alum 14-hydrate", ""), "ferric chloride": "Jar,Ferric chloride (mg/L),Turbidity (NTU)\n1,0,48.5\n2,4,30.2\n3,8,11.4\n4,12,4.1\n5,16,2.2\n6,20,1.8\n"} {
		f := site36(d.puts(goal5, [2]string{"alum.csv", sheet}))
		f.Set("chemicals-name", name)
		f.Del("chemicals-basis")
		if name != "alum" {
			f.Set("chemicals-strength", "40")
			f.Set("chemicals-density", "1.42")
		}
		u, page := d.leads("/site", f)
		if u.Path != "/site" {
			t.Errorf("%s leads to %s", name, u)
		}
		d.holds(page, `id="wrong-chemicals-basis"`)
	}
}

// TestServeTakesTheRisk: a stop of a plan leads to the form of its site, where somebody takes the risk of it by name; no code has to
// be typed anywhere.
func TestServeTakesTheRisk(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	f := site36(d.puts(goal5, [2]string{"alum.csv", alumJars}))
	for k, v := range map[string]string{"place-purpose": "animals", "animals-species": "rainbow trout", "water-alkalinity": "12", "water-ph": "7.2", "chemicals-bench-sheet": "", "chemicals-dose": "20", "chemicals-basis": "as alum 14-hydrate"} {
		f.Set(k, v)
	}
	u, page := d.leads("/site", f)
	text := html.UnescapeString(page)
	way := regexp.MustCompile(`href="(/site\?[^"]*takes=alkalinity-gone[^"]*)">Somebody takes the risk`).FindStringSubmatch(page)
	if u.Path != "/day" || way == nil || strings.Contains(text, `“alkalinity-gone”`) || !strings.Contains(text, "press “Somebody takes the risk”") {
		t.Fatalf("%s: %v", u, way)
	}
	form := d.get(html.UnescapeString(way[1]), http.StatusOK)
	d.holds(form, "A stop that somebody takes the risk of", `<option value="alkalinity-gone" selected>`, `name="accepted-accepted-by"`)
	f.Set("desk", u.RawQuery)
	for k, v := range map[string]string{"accepted-code": "alkalinity-gone", "accepted-accepted-by": "R. Beck", "accepted-reason": "lime is fed by hand"} {
		f.Set(k, v)
	}
	u, page = d.leads("/site", f)
	if d.holds(page, "R. Beck"); u.Path != "/day" {
		t.Errorf("%s", u)
	}
}

// TestServeTypedUnits: a reading of the raw water keeps the unit that was typed with it, and what is wrong with typed jars names the
// fields of their own page.
func TestServeTypedUnits(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	v := typedJars()
	v.Set("stock", "10 buckets")
	v.Set("raw-temperature", "50 F")
	v.Set("do", "read")
	_, page := d.leads("/jars", v)
	d.holds(page, "“Strength of the stock”")
	if text := html.UnescapeString(page); strings.Contains(text, "Read it otherwise") || strings.Contains(text, "50 F °C") {
		t.Errorf("typed jars are told of fields that are not there: %.3000s", text)
	}
	v.Set("stock", "10 g/L")
	v.Set("raw-temperature", "50 NTU")
	_, page = d.leads("/jars", v)
	d.holds(page, `"50 NTU" is not in C: write it in C or F`)
	for _, c := range []struct{ typed, unit string }{{"10 °C", ""}, {"50 F", "°C"}, {"50", "°F"}, {"10", "°C"}, {"10", ""}} { // NIST SP 811, B.8: (50 - 32)/1.8 = 10
		v.Set("raw-temperature", c.typed)
		v.Set("raw-temperature-unit", c.unit)
		u, page := d.leads("/jars", v)
		if u.Path != "/bench" {
			t.Errorf("%v leads to %s", c, u)
		}
		d.holds(page, "<td>10 °C</td>")
	}
}

// TestServeTypedInUS: typed jars are asked in metric or in US units. What was typed stands as it was typed, with the unit that it had;
// empty boxes follow, and each says in which unit it is.
func TestServeTypedInUS(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	v := typedJars()
	v.Set("raw-temperature", "8")
	v.Set("raw-temperature-unit", "°C")
	v.Del("stock")
	v.Del("jar-volume")
	v.Set("system", "us")
	u, page := d.leads("/jars", v)
	if u.Path != "/jars" || u.Query().Get("units") != "us" {
		t.Fatalf("US leads to %s", u)
	}
	d.holds(page, `value="us" aria-pressed="true"`, "What is typed stands as typed, in the unit beside it; empty boxes follow.", `name="raw-temperature" value="8"`,
		`<option selected>°C</option>`, `<option selected>lb/gal</option>`, `<option selected>gal</option>`)
	v.Set("desk", u.RawQuery)
	v.Set("raw-temperature", "50")
	v.Set("raw-temperature-unit", "°F")
	v.Set("jar-volume", "0.5")
	v.Set("jar-volume-unit", "gal")
	v.Del("system")
	v.Set("do", "read")
	if u, page = d.leads("/jars", v); u.Path != "/bench" {
		t.Fatalf("it leads to %s", u)
	}
	d.holds(page, "<td>1892.705892 mL</td>", "<td>10 °C</td>") // NIST SP 811, B.8: 3.785 411 784 L to the US gallon
}

// TestServeReadOtherwise: a sheet that was corrected under “Bench” gives a site no dose that the correction does not reach: each answer of the
// site, and each file of it, refuses and says which sheet and what was changed; a sheet that the site does not use changes nothing.
func TestServeReadOtherwise(t *testing.T) {
	t.Parallel()
	d, all := newDesk(t)
	for flag, value := range map[string]string{"column": "E=dose g/L", "sheet": "Bench"} {
		q, _ := url.ParseQuery(all.Encode())
		q.Set(flag, value)
		if flag == "sheet" {
			q.Set("column", "F=ignore")
		}
		for _, path := range []string{"/day", "/tank", "/month"} {
			page := d.get(path+"?"+q.Encode(), http.StatusOK)
			d.holds(page, "bench.xlsx is read otherwise than it stands", value, "drop the sheet again")
			if strings.Contains(page, "Set pump") {
				t.Errorf("%s with %s sets a pump", path, flag)
			}
		}
		if page := d.get("/dose?"+q.Encode(), http.StatusOK); strings.Contains(page, "read otherwise than it stands") {
			t.Errorf("the dose itself is refused with %s", flag)
		}
		d.get("/print/pump-card/day?"+q.Encode(), http.StatusNotFound) // no card, and no file but the page that says why
		d.get("/save/html/day?"+q.Encode(), http.StatusSeeOther)
	}
	for flag, value := range map[string]string{"column": "A=jar", "stock": "10 g/L", "hidden": "yes"} { // of doses in mg/L, in a sheet that hides nothing
		q, _ := url.ParseQuery(all.Encode())
		q.Set(flag, value)
		if page := d.get("/day?"+q.Encode(), http.StatusOK); !strings.Contains(page, "Set pump") {
			t.Errorf("%s %q stops the day, and changes nothing of what was read", flag, value)
		}
	}
	desk := d.puts(goal5, [2]string{"alum.csv", alumJars}) + "&column=B%3Ddose+g%2FL"
	u, page := d.leads("/site", site36(desk))
	d.holds(page, "alum.csv is read otherwise than it stands", "B=dose g/L")
	if strings.Contains(page, "Set pump") {
		t.Errorf("%s sets a pump", u)
	}
}
