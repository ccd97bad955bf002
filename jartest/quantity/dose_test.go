package quantity

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestParseDose(t *testing.T) {
	for text, want := range map[string]Dose{
		"12.5 mg/L": {12.5, NotStated}, "1.1 mg/L as Al": {1.1, AsAl}, "1.1 mg/L AS AL": {1.1, AsAl},
		"0.05 g/L as product":          {50, AsProduct},
		"12.5 mg/L as alum 14-hydrate": {12.5, AsAlum14}, "12.5 mg/L  as Al2(SO4)3·14H2O": {12.5, AsAlum14}, "0 mg/L as Fe": {0, AsFe},
		"2 ppm as neat": {2, AsProduct},
	} {
		if got, err := ParseDose(text); err != nil || got != want {
			t.Errorf("ParseDose(%q) = %+v, %v; want %+v", text, got, err, want)
		}
	}
	for d, want := range map[Dose]string{
		{12.5, NotStated}: "12.5 mg/L", {1.1, AsAl}: "1.1 mg/L as Al", {6000, AsProduct}: "6 g/L as product",
	} {
		if got := d.String(); got != want {
			t.Errorf("%+v is written %q, want %q", d, got, want)
		}
	}
}

func TestEveryBasisReadsBack(t *testing.T) {
	if n := len(Bases()); n != 34 {
		t.Errorf("%d bases, want the 34 constants", n)
	}
	for _, b := range Bases() {
		s := string(b)
		for _, text := range []string{s, strings.ToUpper(s), strings.TrimPrefix(s, "as "), "  " + strings.ReplaceAll(s, " ", "  ")} {
			if got, err := ParseBasis(text); err != nil || got != b {
				t.Errorf("ParseBasis(%q) = %v, %v", text, got, err)
			}
		}
	}
}

// Spellings as people write them, one for each way of folding and one for each basis.
func TestBasisSpellings(t *testing.T) {
	for text, want := range map[string]Basis{
		"": NotStated, "not stated": NotStated, "  ": NotStated,
		"as supplied": AsProduct, "as liquid": AsProduct, "Al2(SO4)3.14H2O": AsAlum14, "Al₂(SO₄)₃·14H₂O": AsAlum14, "Al2(SO4)3×14H2O": AsAlum14,
		"Al2(SO4)3*14H2O": AsAlum14,
		"Al2(SO4)3•18H2O": AsAlum18, "as alum (18-hydrate)": AsAlum18, "al2(so4)3": AsAlum0,
		"aluminum": AsAl, "mg Al": AsAl, "Al₂O₃": AsAl2O3,
		"Fe3+": AsFe, "Fe₂O₃": AsFe2O3, "ferric chloride": AsFeCl3, "FeCl3·6H2O": AsFeCl3x6,
		"ferric sulphate": AsFe2SO43, "copperas": AsFeSO4x7,
		"caustic soda": AsNaOH, "hydrated lime": AsCaOH2, "quicklime": AsCaO,
		"soda ash": AsNa2CO3, "sodium bicarbonate": AsNaHCO3, "Mg(OH)₂": AsMgOH2,
		"sulfuric acid": AsH2SO4, "hydrochloric acid": AsHCl, "dry polymer": AsActive,
	} {
		if got, err := ParseBasis(text); err != nil || got != want {
			t.Errorf("ParseBasis(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	seen := map[string]Basis{}
	for _, b := range bases {
		for _, a := range append([]string{string(b.basis)}, b.also...) {
			if other, ok := seen[foldBasis(a)]; ok && other != b.basis {
				t.Errorf("%q means %v and %v", a, other, b.basis)
			}
			seen[foldBasis(a)] = b.basis
		}
	}
}

func TestBasisAsText(t *testing.T) {
	for b, want := range map[Basis]string{NotStated: "not stated", AsAl: "as Al", "as moss": "as moss"} {
		if j, err := json.Marshal(b); b.String() != want || err != nil || string(j) != `"`+want+`"` {
			t.Errorf("%q is written %q and %s (%v), want %q", string(b), b.String(), j, err, want)
		}
	}
}

// TestBasisMeant: a basis that is not known asks for those that hold its words, and
// alum is never taken for aluminium.
func TestBasisMeant(t *testing.T) {
	for text, want := range map[string]string{
		"as alum":               `did you mean "as alum 14-hydrate" or "as alum 18-hydrate" or "as dry alum (17 % Al2O3)" or "as anhydrous alum" or "as potash alum" or "as ammonium alum"?`,
		"alum":                  `did you mean "as alum 14-hydrate" or`,
		"as aluminium sulphate": `did you mean "as alum 14-hydrate" or "as alum 18-hydrate"?`,
		"17 % Al2O3":            `did you mean "as dry alum (17 % Al2O3)"?`,
		"as alum, dry":          `did you mean "as dry alum (17 % Al2O3)"?`,
		"as alum 14-hydrat":     `did you mean "as alum 14-hydrate"?`,
		"as FeCl":               `did you mean "as FeCl3"?`,
		"as hexahydrate":        `did you mean "as FeCl3 hexahydrate"?`,
	} {
		_, err := ParseBasis(text)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(strings.SplitN(err.Error(), "use one of", 2)[0], `"as Al"`) {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	for _, text := range []string{"as alu", "as almu", "as what"} {
		if _, err := ParseBasis(text); err == nil || strings.Contains(strings.SplitN(err.Error(), "use one of", 2)[0], `"as Al"`) {
			t.Errorf("%s: %v", text, err)
		}
	}
	for text, want := range map[string]Basis{"as dry alum (17 % Al2O3)": AsDryAlum, "as dry alum (17% Al2O3)": AsDryAlum, "dry alum, 17 % Al2O3": AsDryAlum,
		"as Dry Alum 17% Al2O3": AsDryAlum, "as dry alum": AsAlum14, "dry alum (17.1 % Al2O3)": AsAlum14} {
		if b, err := ParseBasis(text); b != want || err != nil {
			t.Errorf("%s: %v %v", text, b, err)
		}
	}
}
