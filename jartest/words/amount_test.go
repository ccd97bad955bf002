package words

import "testing"

func TestNumberBefore(t *testing.T) {
	for text, want := range map[string]string{
		"stock 10 ": "10", "10^4 ": "1e4", "10⁴ ": "1e4", "2·10^3 ": "2e3", "1 x 10^4 ": "1e4", "1.5 × 10⁻² ": "1.5e-2", "10 000 ": "10000", "1,5 ": "1,5", "CaCO3 ": "", "Ca(OH)2 ": "", "2-": "2", "six ": "", "٣ ": "3",
		"Turbidity 1, ": "",
	} {
		if got, _ := NumberBefore(text+"mg", len(text)); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestAs(t *testing.T) {
	for text, want := range map[string]string{"Al2O3": "al2o3", "as dry alum": "dry alum", "als Fe": "fe", "CaCO3 ": "caco3", "as kestrel": "kestrel", "(x)": ""} {
		if got, ok := As(text); got != want && ok {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	if as, ok := Species("caco3"); !ok || as != "caco3" {
		t.Errorf("caco3: %q, %v", as, ok)
	}
	if _, ok := Species("caco3 alkalinity"); ok {
		t.Error("more than a species is none")
	}
}
