package templates

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestTasksFollowFewCautions: of eleven cautions of a site of two ponds the grave ones and what asks about a figure stand before the tasks, with others up to four; the rest
// follow the tasks, none is lost, in text, page and workbook alike; the lines to stop at stand before the tasks too.
func TestTasksFollowFewCautions(t *testing.T) {
	p := pondReport(t, twoPonds)
	p.Notes = slices.DeleteFunc(p.Notes, func(n note.Note) bool { return n.Level == note.Caution })
	for i := range p.Ponds {
		none := func(l note.List) note.List {
			return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool { return n.Level == note.Caution })
		}
		p.Ponds[i].Notes, p.Ponds[i].Review.Notes = none(p.Ponds[i].Notes), none(p.Ponds[i].Review.Notes)
	}
	p.Cost.Notes = nil
	want := []string{"grave", "asks", "plain-0", "plain-1"}
	for i := range 9 {
		p.Notes.Add(note.New(note.Caution, fmt.Sprintf("plain-%d", i), "plain caution number %d", i))
	}
	p.Notes.Add(note.New(note.Caution, "value-unusual", "asks about a figure"), note.New(note.Caution, "ph-step", "grave caution"))
	first, rest := p.parted()
	var got []string
	for _, n := range first {
		got = append(got, strings.Replace(strings.Replace(n.Code, "ph-step", "grave", 1), "value-unusual", "asks", 1))
	}
	if !slices.Equal(got, want) || len(rest) != 7 {
		t.Fatalf("first %v, then %d", got, len(rest))
	}
	all := []string{"Grave caution", "Asks about a figure"}
	for i := range 9 {
		all = append(all, fmt.Sprintf("Plain caution number %d", i))
	}
	var out bytes.Buffer
	w := NewText(&out, Options{Width: 200})
	p.Text(w, w.opt)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(out.String()), " ")
	tasks, stops := strings.Index(text, "What to do when"), strings.Index(text, "Stop at pH below 7.00 or above 8.30; oxygen below ")
	if tasks < 0 || stops < 0 || stops > tasks {
		t.Errorf("tasks at %d, stop lines at %d:\n%s", tasks, stops, text)
	}
	for i, s := range all {
		if at := strings.Index(text, s); at < 0 || (at < tasks) != (i < 4) || strings.Count(text, s) != 1 {
			t.Errorf("%q stands at %d, tasks at %d", s, at, tasks)
		}
	}
	var page, book bytes.Buffer
	if err := WritePage(&page, p, Options{}); err != nil {
		t.Fatal(err)
	}
	if err := WriteBook(&book, p, Options{}); err != nil {
		t.Fatal(err)
	}
	cells := cells(t, book.Bytes())
	for _, s := range all {
		if !strings.Contains(page.String(), s) || !strings.Contains(strings.ToLower(cells), strings.ToLower(s)) {
			t.Errorf("%q is lost: page %v, workbook %v", s, strings.Contains(page.String(), s), strings.Contains(cells, s))
		}
	}
	if body := page.String(); strings.Index(body, "Plain caution number 8") < strings.Index(body, "Grave caution") {
		t.Error("the page has the rest first")
	}
}

// TestPondsThatAreToldTheSameAreNamedTogether: what two of three ponds are told stands once, with both names, and what to do about one kind of caution once.
func TestPondsThatAreToldTheSameAreNamedTogether(t *testing.T) {
	p := pondReport(t, `
place: {name: Moor farm (invented), purpose: animals, water_passes: standing}
water: {temperature: 18 C, pH: 7.8, alkalinity: 70 mg/L CaCO3, salinity: 0 g/kg}
chemicals:
- {name: alum, product: alum-dry, dose: 20 mg/L, basis: as alum 14-hydrate}
ponds:
- {name: long, size: 500 m2 x 1 m}
- {name: round, size: 300 m2 x 1 m}
- {name: small, size: 500 m2 x 1 m, dose: 12 mg/L}
animals:
- {name: carp, species: common carp, reached: always}
`)
	var all []string
	for _, n := range p.grave() {
		if n.Code == "al-worst" {
			all = append(all, n.Message)
			if strings.Count(n.Remedy, "residual aluminium") != 1 {
				t.Errorf("to do: %s", n.Remedy)
			}
		}
	}
	// 20 x 0.0908 and 12 x 0.0908 mg/L of aluminium
	if len(all) != 1 || !strings.HasPrefix(all[0], "long, round: 1.82 mg/L Al") || !strings.Contains(all[0], "; small: 1.09 mg/L Al") || strings.Count(all[0], "1.82 mg/L") != 1 {
		t.Errorf("%d: %q", len(all), all)
	}
}
