package templates

import (
	"strings"
	"testing"

	"jarwright/jartest/curve"
)

// TestDoseWindow: the doses between which all targets are met stand in the document, in
// the table and in words, and nowhere where no upper end was seen.
func TestDoseWindow(t *testing.T) {
	r := madeFit()
	if fitData(r).Has("dose_window") {
		t.Fatal("a window without an upper end")
	}
	r.Window = curve.Window{Seen: true, Low: r.Effective, High: curve.Interval{Value: 20.04, Low: 18.5, HasLow: true, Confidence: 0.9}}
	d := fitData(r)
	for path, want := range map[string]float64{"dose_window.low": 12.345, "dose_window.high": 20.04, "dose_window.confidence": 0.9,
		"dose_window.low_interval.low": 11.1, "dose_window.low_interval.high": 14.04, "dose_window.high_interval.low": 18.5} {
		if got, _ := d.Fig(path).Document(); got != want {
			t.Errorf("%s = %v, want %v", path, got, want)
		}
	}
	if d.Has("dose_window.high_interval.high") {
		t.Error("an upper bound beyond the range is given")
	}
	if w := d.Sub("dose_window"); w.Get("unit") != "mg/L" || w.Get("basis") != "as alum 14-hydrate" {
		t.Errorf("unit %v, basis %v", w.Get("unit"), w.Get("basis"))
	}
	said := strings.Join(strings.Fields(shownText(t, FitReport{Results: []curve.Result{r}}, Options{})), " ")
	if !strings.Contains(said, "Dose window 12.3 mg/L to 20.0 mg/L (18.5 to beyond the range), 90 % interval of the upper end") {
		t.Errorf("in words:\n%s", said)
	}
}
