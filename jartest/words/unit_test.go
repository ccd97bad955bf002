package words

import (
	"math"
	"testing"
)

// Factors are worked out beside each row from the definitions of the units (NIST SP
// 811, appendix B, from memory): 1 lb = 453592.37 mg, 1 US gal = 3.785411784 L,
// 1 oz = 28349.523125 mg, 1 grain = 64.79891 mg, 1 acre-foot = 1233481.83754752 L.
func TestUnits(t *testing.T) {
	const lb, gal, oz, grain = 453592.37, 3.785411784, 28349.523125, 64.79891
	for _, c := range []struct {
		text   string
		kind   Kind
		factor float64
		as     string
		left   string
	}{
		{"Alum (mg/L)", Conc, 1, "", ""},
		{"Alum mg/l", Conc, 1, "", ""},
		{"dose, mg L-1", Conc, 1, "", ""},
		{"dose mg·L⁻¹", Conc, 1, "", ""},
		{"dose (mg.l^-1)", Conc, 1, "", ""},
		{"dose mg per litre", Conc, 1, "", ""},
		{"Alum (ug/L)", Conc, 0.001, "", ""},
		{"Alum (µg/L)", Conc, 0.001, "", ""},
		{"Alum (g/m3)", Conc, 1, "", ""},
		{"Alum (g/m³)", Conc, 1, "", ""},
		{"Alum g m-3", Conc, 1, "", ""},
		{"Alum (g per cubic metre)", Conc, 1, "", ""},
		{"Alum (g/kL)", Conc, 1, "", ""},
		{"Alum (kg/m3)", Conc, 1000, "", ""},
		{"alum (kg/ML)", Conc, 1, "", ""},
		{"ALUM (KG/ML)", Conc, 1, "", ""},
		{"alum (mg/mL)", Conc, 1000, "", ""},
		{"alum (g/mL)", Conc, 1e6, "", ""},
		{"ALUM (MG/L)", Conc, 1, "", ""},
		{"Alum (mg/500 mL)", Conc, 2, "", ""},
		{"Alum (mg/500mL)", Conc, 2, "", ""},
		{"Alum (mg/100 mL)", Conc, 10, "", ""},
		{"Alum (g/100 L)", Conc, 10, "", ""},
		{"Alum (kg/1000 m3)", Conc, 1, "", ""},
		{"Alum (kg/1,000 m3)", Conc, 1, "", ""},
		{"Alum (kg/1 000 m3)", Conc, 1, "", ""},
		{"Alum (kg/10^3 m3)", Conc, 1, "", ""},
		{"Alum (kg/10³ m³)", Conc, 1, "", ""},
		{"Alum (lb/1000 gal)", Conc, lb / (1000 * gal), "", ""},
		{"Alum (oz/1000 gal)", Conc, oz / (1000 * gal), "", ""},
		{"Alum (lb/MG)", Conc, lb / (1e6 * gal), "", ""},
		{"Alum lbs/mg", Conc, lb / (1e6 * gal), "", ""},
		{"Alum, pounds per MG", Conc, lb / (1e6 * gal), "", ""},
		{"Alum lbs per million gallons", Conc, lb / (1e6 * gal), "", ""},
		{"Alum lb/Mgal", Conc, lb / (1e6 * gal), "", ""},
		{"Alum (kg/1000 gal)", Conc, 1e6 / (1000 * gal), "", ""},
		{"Alum (lb/ac-ft)", Conc, lb / 1233481.83754752, "", ""},
		{"Alum (lb/acre-foot)", Conc, lb / 1233481.83754752, "", ""},
		{"Alum (gpg)", Conc, grain / gal, "", ""},
		{"Alum (grains/gal)", Conc, grain / gal, "", ""},
		{"Alum (gr/gal)", Conc, grain / gal, "", ""},
		{"Alum (gr/l)", Conc, 1000, "", ""},
		{"Alum (lb/imp gal)", Conc, lb / 4.54609, "", ""},
		{"Alum (ppm)", Conc, 1, "", ""},
		{"Alum ppb", Conc, 0.001, "", ""},
		{"Alum (ppm by volume)", Volper, 0.001, "", ""},
		{"Alum (ppm v/v)", Volper, 0.001, "", ""},
		{"Stock (% w/v)", Conc, 10000, "", ""},
		{"Stock % (w/v)", Conc, 10000, "", ""},
		{"Stock (% v/v)", Volper, 10, "", ""},
		{"FeCl3 40 % w/w", Percent, 1, "", ""},
		{"Alum (%)", Percent, 1, "", ""},
		{"Alum (mg/1)", Conc, 1, "", ""},
		{"Alum, mg in 2 L", Conc, 0.5, "", ""},
		{"Alum mg/L as Al", Conc, 1, "al", ""},
		{"Alum (mg/L as Al2O3)", Conc, 1, "al2o3", ""},
		{"Alum mg Al/L", Conc, 1, "al", ""},
		{"Alum (mg Al L-1)", Conc, 1, "al", ""},
		{"Alum (mg alum/L)", Conc, 1, "", ""},
		{"mg alum per litre", Conc, 1, "", ""},
		{"Alum (mgAl/L)", Conc, 1, "al", ""},
		{"Alum mg/L (as Al)", Conc, 1, "al", ""},
		{"Alkalinity (mg/L CaCO3)", Conc, 1, "caco3", ""},
		{"Alkalinity, mg CaCO3/L", Conc, 1, "caco3", ""},
		{"Alkalinity (mg/l als HCO3)", Conc, 1, "hco3", ""},
		{"PO4 (mg P/L)", Conc, 1, "p", ""},
		{"mg/L PO4-P", Conc, 1, "po4-p", ""},
		{"dry alum, mg/L as dry alum", Conc, 1, "dry alum", ""},
		{"Alum mmol/L as Al", Molar, 1, "al", ""},
		{"Alum (mM)", Molar, 1, "", ""},
		{"Residual Fe (µmol/L)", Molar, 0.001, "", ""},
		{"Alkalinity (meq/L)", Equiv, 1, "", ""},
		{"Alum (mL/m3)", Volper, 0.001, "", ""},
		{"Alum (mL/100 L)", Volper, 0.01, "", ""},
		{"Alum (mL/gal)", Volper, 1 / gal, "", ""},
		{"Alum (gal/MG)", Volper, 1000 * gal / (1e6 * gal), "", ""},
		{"Alum (L/ML)", Volper, 0.001, "", ""},
		{"PAC (mL/kL)", Volper, 0.001, "", ""},
		{"Sludge (mL/250 mL)", Volper, 4, "", ""},
		{"Alum (mL)", Volume, 0.001, "", ""},
		{"ALUM (ML)", Volume, 0.001, "", ""},
		{"mL stock added", Volume, 0.001, "", ""},
		{"Alum (mL/jar)", Volume, 0.001, "", ""},
		{"Alum (uL)", Volume, 1e-6, "", ""},
		{"Alum (mg/jar)", Mass, 1, "", ""},
		{"Alum (mg per beaker)", Mass, 1, "", ""},
		{"Alum (g)", Mass, 1000, "", ""},
		{"drops", Drops, 1, "", ""},
		{"drops/jar", Drops, 1, "", ""},
		{"drops per L", Dropper, 1, "", ""},
		{"Alum (kg/d)", Feed, 1e6 / 1440., "", ""},
		{"Alum (kg/h)", Feed, 1e6 / 60, "", ""},
		{"Alum (kg/ha)", Feed, 1e6, "", ""},
		{"Alum (ml/min)", Flow, 0.001, "", ""},
		{"Flow gpd", Flow, 3.785411784 / 1440, "", ""},
		{"Alum (g/kg solids)", Share, 0.001, "", ""},
		{"Alum (mg per mg TSS)", Share, 1, "", ""},
		{"Alum (mg Al/mg P)", Share, 1, "al", ""},
		{"Polymer (kg/t DS)", Share, 0.001, "", ""},
		{"Polymer (lb/ton)", Share, lb / 1e9, "", ""},
		{"Alum (cc/ton)", Share, 0.001 / 1e9, "", ""},
		{"Alum (mg/kg)", Conc, 1, "", ""},
		{"Alum g per pond", Place, 1000, "", ""},
		{"Alum scoops", Household, 1, "", ""},
		{"Alum (mg/fortnight)", Mass, 1, "", "/fortnight"},
		{"Alum (mg/L/NTU)", Other, 1, "", ""},
		{"Turbidity (NTU)", Turbidity, 1, "", ""},
		{"Turbidity (N.T.U.)", Turbidity, 1, "", ""},
		{"Turbidity (kNTU)", Turbidity, 1000, "", ""},
		{"Turb NTU-1", Turbidity, 1, "", ""},
		{"Turbidity (FNU)", FNU, 1, "", ""},
		{"Turbidity FAU", FAU, 1, "", ""},
		{"Colour (mg/L Pt-Co)", Colour, 1, "pt-co", ""},
		{"Colour mg Pt/L", Colour, 1, "pt", ""},
		{"Color (ADMI)", ADMI, 1, "", ""},
		{"UV254 (1/cm)", PerCm, 1, "", ""},
		{"UV254 (cm-1)", PerCm, 1, "", ""},
		{"UV254 (m⁻¹)", PerCm, 0.01, "", ""},
		{"UV254 abs/cm", PerCm, 1, "", ""},
		{"UV254 (/m)", PerCm, 0.01, "", ""},
		{"Cond (µS/cm)", Cond, 1, "", ""},
		{"Cond (uS/cm at 25 °C)", Cond, 1, "", ""},
		{"Cond (mS/m)", Cond, 10, "", ""},
		{"Temp (°C)", Temp, 1, "", ""},
		{"Alkalinity (°f)", Hardness, 10, "", ""},
		{"KH (dKH)", Hardness, 17.848, "", ""},
		{"Zeta (mV)", Potential, 1, "", ""},
		{"Settling 20 min", Minutes, 1, "", ""},
		{"Доза, мг/л", Conc, 1, "", ""},
		{"投加量 毫克/升", Conc, 1, "", ""},
		{"投加量(毫克每升)", Conc, 1, "", ""},
		{"ปริมาณ มก./ล.", Conc, 1, "", ""},
		{"MPN/100 mL", Number, 10, "", ""},
	} {
		us := Units(c.text)
		if len(us) == 0 {
			t.Errorf("%q: no unit found", c.text)
			continue
		}
		u := us[0]
		if u.Kind != c.kind || math.Abs(u.Factor/c.factor-1) > 1e-9 || u.As != c.as || u.Left != c.left || len(us) > 1 {
			t.Errorf("%q: %d units, %s (%s) factor %.9g (want %s %.9g) as %q left %q name %q", c.text, len(us), u.Kind, u.Dimensions, u.Factor, c.kind, c.factor, u.As, u.Left, u.Name)
		}
	}
}

func TestNoUnit(t *testing.T) {
	for _, s := range []string{"Jar", "A", "T/T0", "Alum/PAC", "Date", "Turb B", "pH", "m", "Set 1", "Pond 4", "s", "Storm day", "Colour", "Raw water in tank"} {
		if us := Units(s); len(us) > 0 && s != "m" && s != "s" {
			t.Errorf("%q: %+v", s, us)
		}
	}
}

func TestScaleAndTimes(t *testing.T) {
	for _, c := range []struct {
		text, scale string
		times       float64
	}{
		{"ln(NTU)", "ln", 0}, {"log NTU", "log", 0}, {"log10 (NTU)", "log", 0}, {"√NTU", "sqrt", 0}, {"Turbidity (NTU) x 10", "", 10}, {"Turbidity (NTU x10)", "", 10},
		{"Turbidity NTU ×10^3", "", 1000}, {"Alum mg/l x10", "", 10}, {"Abs (1/cm) x 10^-3", "", 0.001}, {"NTU", "", 0},
	} {
		us := Units(c.text)
		if len(us) != 1 || us[0].Scale != c.scale || us[0].Times != c.times {
			t.Errorf("%q: %+v", c.text, us)
		}
	}
}

// A square or cube that a unit cannot have is left over, not passed over.
func TestRaisedLeftovers(t *testing.T) {
	for text, left := range map[string]string{"Alum (mg/L²)": "²", "Alum (mg/L^2)": "^2", "Turbidity (NTU²)": "²", "Alum (mg²/L)": "²/L", "Alum (mg/m³)": "", "Alum (mg/L^1)": "", "Alum (mg/L as neat Al)": "neat Al", "Alum (mg/L as dry alum)": "", "Colour (cm^-1)": ""} {
		if us := Units(text); len(us) == 0 || us[0].Left != left {
			t.Errorf("%q reads as %+v, want %q left over", text, us, left)
		}
	}
}
