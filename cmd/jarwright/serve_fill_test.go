package main

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
)

// TestServeSheetToFill: who has no test, or none with a target, is offered an empty bench sheet, and after a test the sheet of the
// next one: the bytes that the command line writes.
func TestServeSheetToFill(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	d.holds(d.get("/", http.StatusOK), `href="/fill/nothing"`, "Save an empty one")
	on := d.puts("", [2]string{"alum.csv", alumJars})
	d.holds(d.get("/next?"+on, http.StatusOK), "Which water is wanted?", "Save an empty bench sheet, to print or fill in", "/fill/nothing?"+on)
	d.holds(d.get("/next?"+on+"&"+goal5, http.StatusOK), "Save the bench sheet of this test, to print or fill in", "/fill/last?")
	dir := t.TempDir()
	sheet := filepath.Join(dir, "alum.csv")
	write(t, sheet, alumJars)
	for _, c := range []struct {
		address, name string
		args          []string
	}{
		{"/fill/nothing", "bench-new.xlsx", nil},
		{"/fill/last?" + on + "&" + goal5 + "&jars=8", "bench-next.xlsx", []string{"--from", sheet, "--target", "turbidity <= 5 NTU", "--jars", "8"}},
	} {
		r := d.do(httptest.NewRequest(http.MethodGet, c.address, nil), http.StatusOK)
		if at := r.Header().Get("Content-Disposition"); !strings.Contains(at, c.name) {
			t.Errorf("%s: %s", c.address, at)
		}
		file := filepath.Join(dir, c.name)
		by(append([]string{"new", "bench", "FILE"}, c.args...)...)(t, file)
		if r.Body.String() != string(contents(t, file)) {
			t.Errorf("%s is not what new bench %v writes", c.address, c.args)
		}
	}
	d.get("/fill/other", http.StatusNotFound)
	d.get("/fill/last", http.StatusNotFound)
	refused := d.get("/fill/last?"+on, http.StatusConflict) // without a target
	d.holds(refused, "bench-next.xlsx was not saved")
	if strings.Contains(refused, "--target") {
		t.Error("the page speaks of a flag")
	}
}

// TestServeBenchWater: what the bench read of its raw water stands beside the boxes of the place, with its day, and is no reading of
// the place until somebody says that it is still so; then it fills what was left empty, and nothing that was typed.
func TestServeBenchWater(t *testing.T) {
	t.Parallel()
	d, _ := newDesk(t)
	on := d.puts(goal5, [2]string{"alum.csv", "Date,2026-03-02\nRaw temperature (C),9\nRaw pH,7.6\nRaw turbidity (NTU),85\n\n" + alumJars})
	form := d.get("/site?"+on, http.StatusOK)
	d.holds(form, `name="water-temperature" value=""`, "9 °C on the bench, 2 March 2026: is it still so?", "7.6 on the bench, 2 March 2026", "still as on the bench of 2 March 2026: pH 7.6, Temperature 9 °C, Turbidity of raw water 85 NTU")
	typed := site36(on)
	_, day := d.leads("/site", typed)
	if text := textOf(day); strings.Contains(text, "at the site: turbidity") || strings.Contains(text, "at the site: pH") {
		t.Error("the bench's water is held against itself")
	}
	typed.Set("water-as-on-the-bench", "yes")
	typed.Set("water-temperature", "14")
	u, _ := d.leads("/site", typed)
	answers := d.get("/site-answers.txt?"+u.RawQuery, http.StatusOK)
	d.holds(answers, "Water | pH | 7.6", "Water | turbidity | 85 NTU", "Water | temperature | 14 C")
	if strings.Contains(answers, "as on the bench") {
		t.Error("a question of the page is written into the site")
	}
}
