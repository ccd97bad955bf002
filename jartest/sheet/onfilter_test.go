package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestOntoFilter: the water before a filter is the settled water, and neither raw nor filtered.
func TestOntoFilter(t *testing.T) {
	for before, after := range map[string]string{
		"Turbidity before filter (NTU)": "Turbidity after filter (NTU)", "Trübung vor Filter (NTU)": "Trübung nach Filter (NTU)",
		"Turbiditet före filter (NTU)": "Turbiditet efter filter (NTU)", "Turbidité avant filtre (NTU)": "Turbidité après filtre (NTU)",
		"Turbidez antes del filtro (NTU)": "Turbidez después del filtro (NTU)", "Мутность до фильтра (NTU)": "Мутность после фильтра (NTU)",
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", "Raw water turbidity,48 NTU", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40),
			column(before, 30, 14, 5), column(after, 9, 4, 1)), Options{})
		if len(r.Series) != 1 || len(r.Series[0].Keys()) != 2 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 30 || cautionsOf(r) != "" {
			t.Errorf("%s | %s: says %q\n%v", before, after, cautionsOf(r), r.Notes)
		}
	}
}

// TestTimesBeside: a column headed by a time alone is of the reading left of it.
func TestTimesBeside(t *testing.T) {
	r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40),
		column("Turbidity (NTU) 5 min", 30, 14, 5), column("15 min", 20, 9, 3), column("30 min", 10, 4, 1)), Options{})
	readings := r.Series[0].Jars[0].Readings
	for key, want := range map[jartest.Key]float64{"turbidity": 10, "turbidity_15_min": 20, "turbidity_5_min": 30} {
		if got := readings.Of(key).Value; got != want {
			t.Errorf("%s: %g, want %g", key, got, want)
		}
	}
}

// TestRawAndFilters: raw water is raw, filtered or not, and only a word for "before" in front of
// the filter makes it the water that goes onto it. Turbidity of jar 1, of raw water.
func TestRawAndFilters(t *testing.T) {
	for _, head := range []string{"Raw unfiltered (NTU)", "Unfiltered raw turbidity (NTU)", "Raw filtered (NTU)", "Turb filtered before (NTU)", "Turbidity in filtrate (NTU)", "Turbidity in filtered sample (NTU)", "Initial filtered turbidity (NTU)"} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column(head, 80, 80, 80), column("Turbidity (NTU)", 9, 4, 1)), Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 9 {
			t.Errorf("%s beside Turbidity: %v\n%v", head, r.Series[0].Jars[0].Readings, r.Notes)
		}
	}
	for _, head := range []string{"Turbidity in filtrate (NTU)", "Turbidity in filtered sample (NTU)"} { // no inlet
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column(head, 9, 4, 1)), Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 9 || !strings.Contains(cautionsOf(r), "filtered-reading") {
			t.Errorf("%s: %v, says %q", head, r.Series, cautionsOf(r))
		}
	}
	for _, head := range []string{"Turbidity in supernatant (NTU)", "Turbidity pre-filter (NTU)", "Turbidity before the sand filter (NTU)"} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column(head, 9, 4, 1)), Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 9 {
			t.Errorf("%s is the reading of the jar: %v\n%v", head, r.Series, r.Notes)
		}
	}
	for _, row := range []string{"Unfiltered raw turbidity", "Raw turbidity unfiltered"} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant,Alum", row + ",80 NTU", ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column("Turbidity (NTU)", 9, 4, 1)), Options{})
		if got := r.Series[0].Raw[jartest.Turbidity].Value; got != 80 {
			t.Errorf("%s: raw turbidity %g, want 80\n%v", row, got, r.Notes)
		}
	}
}
