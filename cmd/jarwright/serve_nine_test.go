package main

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestServeNineOfOneWater: nine past tests of one water tell the dose of that water, by name and not by a count of one, and none of any
// other; what is saved is what the command writes.
func TestServeNineOfOneWater(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	var tests [][2]string
	for i := 1; i <= 9; i++ {
		tests = append(tests, [2]string{fmt.Sprintf("t%d.csv", i), fmt.Sprintf("Date,2026-03-0%d\nRaw turbidity (NTU),60\nTarget,turbidity <= 5 NTU\n\nJar,Alum (mg/L as alum 14-hydrate),Turbidity (NTU)\n1,0,6%d\n2,5,44.%d\n3,10,25.%d\n4,15,10.%d\n5,20,4.%d\n6,25,2.%d\n7,30,1.9\n", i, i, i, i, i, i, i)})
	}
	u, err := url.Parse(d.dropped("", true, tests...).Header().Get("Location"))
	if err != nil || u.Path != "/past" {
		t.Fatalf("%v, %v", u, err)
	}
	page := textOf(d.get(u.String(), http.StatusOK))
	if !strings.Contains(page, "The tests tell the dose of Alum") || strings.Contains(page, "1 of 1") {
		t.Errorf("%.900s", page)
	}
	for raw, says := range map[string]string{"60 NTU": "By the law such water needs 19.4 mg/L", "85 NTU": "no test had such water"} {
		page := textOf(d.get(u.String()+"&"+url.Values{"raw": {raw}}.Encode(), http.StatusOK))
		if !strings.Contains(page, says) {
			t.Errorf("%s: no %q in %.900s", raw, says, page)
		}
	}
}

// TestServeCompareOfTwo: of two chemicals with prices one costs least; of one alone that is not said, in the answer nor its picture.
func TestServeCompareOfTwo(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	ferric := strings.NewReplacer("Alum", "Ferric chloride", "alum 14-hydrate", "FeCl3").Replace(alumJars)
	write(t, "alum.csv", alumJars)
	write(t, "ferric.csv", ferric)
	d, _ := newDesk(t)
	both := d.puts(goal5, [2]string{"alum.csv", alumJars}, [2]string{"ferric.csv", ferric})
	q, err := url.ParseQuery(both)
	if err != nil {
		t.Fatal(err)
	}
	q["price"] = []string{"alum=0.42 EUR/kg", "ferric chloride=0.36 EUR/kg"}
	two := d.get("/compare?"+q.Encode(), http.StatusOK)
	d.holds(two, "costs least for turbidity")
	d.savedAs("compare", q.Encode(), commandOf(t, two))
	one, err := url.ParseQuery(d.puts(goal5, [2]string{"alum.csv", alumJars}))
	if err != nil {
		t.Fatal(err)
	}
	one["price"] = q["price"][:1]
	page := d.get("/compare?"+one.Encode(), http.StatusOK)
	d.holds(page, "There is nothing to compare it with: put the sheet of another chemical beside it.")
	if strings.Contains(page, "costs least") || strings.Contains(page, "Before you change over") {
		t.Error("one chemical is said to cost least")
	}
}

// TestServeRawOfToday: the raw water of today that is typed beside the day goes into its command, and into what is saved of it.
func TestServeRawOfToday(t *testing.T) {
	dir := t.TempDir()
	demoInputs(t, dir)
	t.Chdir(dir)
	d, all := newDesk(t)
	d.holds(d.get("/day?"+all.Encode(), http.StatusOK), `name="raw"`, "Empty: as the site says.")
	all["raw"] = []string{"85 NTU"}
	page := d.get("/day?"+all.Encode(), http.StatusOK)
	command := commandOf(t, page)
	if got := strings.Join(command, "|"); got != "plan|site.xlsx|--raw|85 NTU" {
		t.Fatalf("the command is %s", got)
	}
	d.holds(page, "o dose of this site goes by past tests")
	d.savedAs("day", all.Encode(), command)
}
