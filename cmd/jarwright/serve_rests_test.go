package main

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
)

// follow asks for the page that a link of a page leads to, by the words of the link.
func (d deskAt) follow(page, words string) (address, to string) {
	d.t.Helper()
	m := regexp.MustCompile(`<a [^>]*href="([^"]*)"[^>]*>` + regexp.QuoteMeta(html.EscapeString(words)) + `</a>`).FindStringSubmatch(page)
	if m == nil {
		d.t.Fatalf("the page has no link %q", words)
	}
	address = html.UnescapeString(m[1])
	return address, d.get(address, http.StatusOK)
}

// siteAlone is the demo's site on a desk without its bench sheet.
func (d deskAt) siteAlone(all url.Values) string {
	d.t.Helper()
	for _, id := range all["file"] {
		page := d.get("/site?"+url.Values{"file": {id}}.Encode(), http.StatusOK)
		if strings.Contains(page, "<b>site.xlsx</b> site workbook") {
			return url.Values{"file": {id}}.Encode()
		}
	}
	d.t.Fatal("no site lies on the desk")
	return ""
}

// TestServeTodaysSheet: a site that names another bench sheet than the one just dropped is planned on that one by a button, and every
// answer says which of them it rests on; what is saved is what the command of the page writes.
func TestServeTodaysSheet(t *testing.T) {
	dir := t.TempDir()
	demoInputs(t, dir)
	t.Chdir(dir)
	d, all := newDesk(t)
	write(t, "today.csv", alumJars)
	const use, absent, names = "Use today.csv for this site", "The site takes the dose of alum from bench.xlsx, which is not open here.", "The dose of alum is from bench.xlsx, which the site names."
	const taken = "The dose of alum is from today.csv, in place of bench.xlsx, which the site names."

	// The site's own sheet is not there.
	alone := d.puts(d.siteAlone(all), [2]string{"today.csv", alumJars})
	for _, at := range []string{"/day", "/tank", "/month", "/site"} {
		page := d.get(at+"?"+alone, http.StatusOK)
		d.holds(page, absent, use)
		_, page = d.follow(page, use)
		d.holds(page, taken, "Use bench.xlsx again, as the site says")
	}
	address, day := d.follow(d.get("/day?"+alone, http.StatusOK), use)
	d.holds(day, "Set pump 1 to")
	command := commandOf(t, day)
	if got := strings.Join(command, "|"); got != "plan|site.xlsx|--bench|today.csv" {
		t.Fatalf("the command is %s", got)
	}
	_, query, _ := strings.Cut(address, "?")
	if err := os.Rename("bench.xlsx", "put-away.xlsx"); err != nil { // the command needs it no more than the page
		t.Fatal(err)
	}
	d.savedAs("day", query, command)

	// Both are there: nothing is planned on either without a word, and the page of the dose leads on with today's.
	both := d.puts(all.Encode(), [2]string{"today.csv", alumJars})
	day = d.get("/day?"+both, http.StatusOK)
	d.holds(day, names, use)
	_, taking := d.follow(day, use)
	d.holds(taking, taken)
	_, again := d.follow(taking, "Use bench.xlsx again, as the site says")
	d.holds(again, names, use)
	dose := d.get("/dose?"+both+"&"+goal5, http.StatusOK)
	_, taking = d.follow(dose, use)
	d.holds(taking, taken)

	// A sheet that is put away gives no dose any more.
	put := regexp.MustCompile(`name="put" value="([0-9a-f]+)">put away<span class="quiet"> today.csv`).FindStringSubmatch(taking)
	if put == nil {
		t.Fatal("today.csv cannot be put away")
	}
	u, page := d.leads("/away", url.Values{"desk": {mustQuery(t, address, both)}, "put": {put[1]}, "at": {"/day"}})
	if u.Query().Has("bench") {
		t.Errorf("it still stands on %s", u)
	}
	d.holds(page, names)
	if strings.Contains(page, "today.csv") {
		t.Error("a sheet that was put away is spoken of")
	}
}

// mustQuery is a desk with the flags of an address.
func mustQuery(t *testing.T, address, desk string) string {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	q, err := url.ParseQuery(desk)
	if err != nil {
		t.Fatal(err)
	}
	q["bench"] = u.Query()["bench"]
	return q.Encode()
}
