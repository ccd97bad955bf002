package sheet

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// plainSheet is a complete sheet of six jars, 10 to 60 mg/L of alum into a raw water of 48 NTU,
// and what a test writes into it or puts in place of a part of it.
type plainSheet struct {
	coagulant, label, raw, dose, turbidity string      // "-" leaves the line out
	facts                                  [][2]string // names and values in cells of their own
	top, below                             string      // lines above and below the table
	doses, readings                        []string
	column, loose                          []string // a column joined to the table, and one a column away from it
	syringe                                bool     // 1 to 6 mL of a stock of 10 g/L into jars of 1 L
}

// or gives the first text that is there, "" for "-".
func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return strings.TrimPrefix(text, "-")
}

func (p plainSheet) sheet() string {
	rows := [][]string{{"Jar test"}}
	put := func(label, value string) {
		if value != "" {
			rows = append(rows, []string{label, value})
		}
	}
	put(or(p.label, "Coagulant"), or(p.coagulant, "Alum"))
	put("Raw water turbidity", or(p.raw, "48 NTU"))
	head, doses := "Dose (mg/L)", []string{"10", "20", "30", "40", "50", "60"}
	if p.syringe {
		head, doses = "Stock added (mL)", []string{"1", "2", "3", "4", "5", "6"}
		for _, f := range [][2]string{{"Stock", "10 g/L"}, {"Jar volume", "1 L"}} {
			if !slices.ContainsFunc(p.facts, func(o [2]string) bool { return o[0] == f[0] }) {
				put(f[0], f[1])
			}
		}
	}
	for _, f := range p.facts {
		put(f[0], f[1])
	}
	if p.top != "" {
		rows = append(rows, []string{p.top})
	}
	table := [][]string{{"Jar", or(p.dose, head), or(p.turbidity, "Turbidity (NTU)")}}
	readings := []string{"31", "14", "6.2", "3.1", "2.4", "2.9"}
	if p.doses != nil {
		doses = p.doses
	}
	if p.readings != nil {
		readings = p.readings
	}
	for i := range doses {
		table = append(table, []string{fmt.Sprint(i + 1), doses[i], readings[i]})
	}
	for i := range table {
		if p.column != nil {
			table[i] = append(table[i], p.column[i])
		}
		if p.loose != nil {
			table[i] = append(table[i], "", p.loose[i])
		}
	}
	rows = append(rows, table...)
	if p.below != "" {
		rows = append(rows, []string{p.below})
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	if err := w.WriteAll(rows); err != nil {
		panic(err)
	}
	return out.String()
}

// speaks holds a sheet that must not be read without a word: it says something louder than a
// note, or is not read.
func (p plainSheet) speaks(t *testing.T, what string) {
	t.Helper()
	if r, err := Read("s.csv", strings.NewReader(p.sheet()), Options{}); err == nil && len(loud(r)) == 0 && len(r.Series) > 0 {
		t.Errorf("%s: nothing is said", what)
	}
}

// quiet holds a sheet whose numbers are plain: it is read as written, without a caution.
func (p plainSheet) quiet(t *testing.T, what string) {
	t.Helper()
	r, err := Read("s.csv", strings.NewReader(p.sheet()), Options{})
	if err != nil || len(r.Series) != 1 || len(loud(r)) > 0 {
		t.Errorf("%s: %d series, %v, says %v", what, len(r.Series), err, r.Notes)
		return
	}
	s := r.Series[0]
	if got := s.Raw[jartest.Turbidity].Value; got != 48 || len(s.Jars) != 6 {
		t.Errorf("%s: %d jars, raw turbidity %g; want 6 and 48", what, len(s.Jars), got)
		return
	}
	for i, j := range s.Jars {
		want := float64(10 * (i + 1)) // mg/L: also 1 mL of 10 g/L into 1 L
		if p.doses == nil && p.dose == "" && (len(j.Doses) == 0 || float64(j.Doses[0].Concentration) != want) {
			t.Errorf("%s: jar %d got %v, want %g mg/L", what, i+1, j.Doses, want)
		}
	}
}

// each is a list of texts, one in each part.
func each(list string) []string { return strings.Split(list, " | ") }

// basisNamed gives the basis of a name.
func basisNamed(t *testing.T, name string) quantity.Basis {
	t.Helper()
	b, err := quantity.ParseBasis(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
