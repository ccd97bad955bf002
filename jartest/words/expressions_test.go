package words

import (
	"math"
	"testing"
)

// The factors of units as NIST SP 811, appendix B, gives them (from memory), in mg, L
// and min; everything below is worked out from these by hand.
const (
	inLb       = 453592.37      // mg
	inOz       = inLb / 16      // avoirdupois ounce
	inGrain    = inLb / 7000    // 7000 grains are a pound
	inGal      = 3.785411784    // L, 231 cubic inches
	inImp      = 4.54609        // L
	inFlOz     = inGal / 128    // US fluid ounce
	inFt3      = 28.316846592   // L, 0.3048 m cubed
	inAcreFoot = 43560 * inFt3  // US survey definitions differ in the sixth digit
	perDay     = 1. / (24 * 60) // 1/min
)

// Units read whole, with the number that turns a value into the base unit of its kind.
func TestExpressions(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		factor float64
		as     string
	}{
		// mass in water
		{"mg/L", Conc, 1, ""}, {"g/L", Conc, 1000, ""}, {"µg/L", Conc, 1e-3, ""}, {"ng/L", Conc, 1e-6, ""}, {"ng/mL", Conc, 1e-3, ""}, {"pg/mL", Conc, 1e-6, ""},
		{"ug/mL", Conc, 1, ""}, {"mg/mL", Conc, 1000, ""}, {"mg/dL", Conc, 10, ""}, {"g/dL", Conc, 1e4, ""}, {"mg/cm3", Conc, 1000, ""}, {"mg/dm³", Conc, 1, ""}, {"мг/дм³", Conc, 1, ""}, {"мг/дм3", Conc, 1, ""}, {"мг/дм^3", Conc, 1, ""}, {"г/м³", Conc, 1, ""}, {"мкг/дм³", Conc, 1e-3, ""}, {"мг/см³", Conc, 1000, ""},
		{"g/dm3", Conc, 1000, ""},
		{"g/m3", Conc, 1, ""}, {"kg/m³", Conc, 1000, ""}, {"g/kL", Conc, 1, ""}, {"kg/kL", Conc, 1000, ""}, {"kg/ML", Conc, 1, ""}, {"g/ML", Conc, 1e-3, ""}, {"t/ML", Conc, 1000, ""}, {"t/GL", Conc, 1, ""},
		{"mg/500 mL", Conc, 2, ""}, {"mg/250mL", Conc, 4, ""}, {"mg/2 L", Conc, 0.5, ""}, {"mg/1.5 L", Conc, 1 / 1.5, ""}, {"mg/1,5 L", Conc, 1 / 1.5, ""}, {"mg/0,5 L", Conc, 2, ""}, {"mg/0.5L", Conc, 2, ""},
		{"g per 10 m3", Conc, 0.1, ""}, {"kg/1,000 m3", Conc, 1, ""}, {"kg/10 000 L", Conc, 100, ""}, {"kg/10^6 L", Conc, 1, ""}, {"kg/10⁶ L", Conc, 1, ""}, {"kg per thousand litres", Conc, 1000, ""}, {"g/100 L", Conc, 10, ""},
		{"lb/MG", Conc, inLb / (1e6 * inGal), ""}, {"lb/million gallons", Conc, inLb / (1e6 * inGal), ""}, {"lb/1,000,000 gal", Conc, inLb / (1e6 * inGal), ""}, {"lb/10^6 gal", Conc, inLb / (1e6 * inGal), ""},
		{"lb/kgal", Conc, inLb / (1e3 * inGal), ""}, {"oz/1000 gal", Conc, inOz / (1e3 * inGal), ""}, {"oz per thousand gallons", Conc, inOz / (1e3 * inGal), ""}, {"oz/gal", Conc, inOz / inGal, ""}, {"g/gal", Conc, 1000 / inGal, ""},
		{"gpg", Conc, inGrain / inGal, ""}, {"grains per gallon", Conc, inGrain / inGal, ""}, {"gr/gal", Conc, inGrain / inGal, ""}, {"grains/imp gal", Conc, inGrain / inImp, ""}, {"lb/1000 imp gal", Conc, inLb / (1e3 * inImp), ""},
		{"lb/ft3", Conc, inLb / inFt3, ""}, {"lb/1000 cu ft", Conc, inLb / (1e3 * inFt3), ""}, {"lb/acre-ft", Conc, inLb / inAcreFoot, ""}, {"kg/ac-ft", Conc, 1e6 / inAcreFoot, ""},
		{"ppm", Conc, 1, ""}, {"ppb", Conc, 1e-3, ""}, {"ppm w/w", Conc, 1, ""}, {"ppmw", Conc, 1, ""}, {"% w/v", Conc, 1e4, ""}, {"% (w/v)", Conc, 1e4, ""}, {"mg/kg", Conc, 1, ""}, {"g/t", Conc, 1, ""},
		{"mg L-1", Conc, 1, ""}, {"mg L⁻¹", Conc, 1, ""}, {"mg.L^-1", Conc, 1, ""}, {"mg*L^(-1)", Conc, 1, ""}, {"mg L^{-1}", Conc, 1, ""}, {"mg L**-1", Conc, 1, ""}, {"g m-3", Conc, 1, ""}, {"g·m⁻³", Conc, 1, ""}, {"mg p l", Conc, 1, ""},
		// the vessel holds what it says
		{"mg in 2 L", Conc, 0.5, ""}, {"mg in a 2 L jar", Conc, 0.5, ""}, {"mg per 2-litre jar", Conc, 0.5, ""}, {"mg/2-L jar", Conc, 0.5, ""}, {"mg/jar of 2 L", Conc, 0.5, ""}, {"mg per beaker (500 mL)", Conc, 2, ""},
		{"g in a bucket of 20 L", Conc, 50, ""}, {"g per bucket of 20 L", Conc, 50, ""}, {"g/20 L bucket", Conc, 50, ""}, {"kg per pond of 200 m3", Conc, 5, ""}, {"mg alum in 2 L", Conc, 0.5, ""}, {"mL per jar of 2 L", Volper, 0.5, ""}, {"mg/L per jar", Conc, 1, ""}, {"g/L per beaker", Conc, 1000, ""},
		// what is counted
		{"mg/L as Al", Conc, 1, "al"}, {"mg/L of Al", Conc, 1, "al"}, {"mg/L Al", Conc, 1, "al"}, {"mg/L (Al)", Conc, 1, "al"}, {"mg Al/L", Conc, 1, "al"}, {"mg as Al/L", Conc, 1, "al"}, {"mg (Al)/L", Conc, 1, "al"}, {"mg[Al]/L", Conc, 1, "al"},
		{"mg of Al per L", Conc, 1, "al"}, {"mg Fe3+/L", Conc, 1, "fe3+"}, {"mg-P/L", Conc, 1, "p"}, {"mg/L-P", Conc, 1, "p"}, {"gpg as CaCO3", Conc, inGrain / inGal, "caco3"}, {"mg/L as HCO3", Conc, 1, "hco3"}, {"mg/L as PO4", Conc, 1, "po4"},
		{"mg/L as Al2O3", Conc, 1, "al2o3"}, {"lb/MG as dry alum", Conc, inLb / (1e6 * inGal), "dry alum"}, {"mg/L as product", Conc, 1, "product"}, {"mg of alum per L", Conc, 1, ""}, {"mg Al/500 mL", Conc, 2, "al"},
		// amounts of substance
		{"mmol/L", Molar, 1, ""}, {"mmol/L as Al", Molar, 1, "al"}, {"mmol Al/L", Molar, 1, "al"}, {"mol/m3", Molar, 1, ""}, {"µmol/L", Molar, 1e-3, ""}, {"mM", Molar, 1, ""}, {"µM", Molar, 1e-3, ""}, {"mmol/500 mL", Molar, 2, ""}, {"meq/L", Equiv, 1, ""},
		// volumes in water need a strength
		{"mL/L", Volper, 1, ""}, {"µL/L", Volper, 1e-3, ""}, {"mL/m3", Volper, 1e-3, ""}, {"mL/100 L", Volper, 0.01, ""}, {"mL/gal", Volper, 1 / inGal, ""}, {"L/ML", Volper, 1e-3, ""}, {"L/1000 m3", Volper, 1e-3, ""}, {"gal/MG", Volper, 1e-3, ""},
		{"gal/1000 gal", Volper, 1, ""}, {"fl oz/1000 gal", Volper, inFlOz / inGal, ""}, {"ppm v/v", Volper, 1e-3, ""}, {"ppm (v/v)", Volper, 1e-3, ""}, {"ppmv", Volper, 1e-3, ""}, {"ppb v/v", Volper, 1e-6, ""}, {"% v/v", Volper, 10, ""}, {"mL of stock per L", Volper, 1, ""},
		// no doses: what they are says their kind
		{"kg/d", Feed, 1e6 * perDay, ""}, {"kg per day", Feed, 1e6 * perDay, ""}, {"lb/day", Feed, inLb * perDay, ""}, {"g/h", Feed, 1000. / 60, ""}, {"g/min", Feed, 1000, ""}, {"mg/s", Feed, 60, ""}, {"kg/week", Feed, 1e6 * perDay / 7, ""},
		{"kg/ha", Feed, 1e6, ""}, {"lb/acre", Feed, inLb, ""}, {"g/m2", Feed, 1000, ""}, {"gpd", Flow, inGal * perDay, ""}, {"gal/d", Flow, inGal * perDay, ""}, {"gpm", Flow, inGal, ""}, {"gph", Flow, inGal / 60, ""}, {"MGD", Flow, 1e6 * inGal * perDay, ""},
		{"mL/min", Flow, 1e-3, ""}, {"L/h", Flow, 1. / 60, ""}, {"m3/d", Flow, 1000 * perDay, ""}, {"g/kg", Share, 1e-3, ""}, {"mg/g", Share, 1e-3, ""}, {"lb/ton", Share, inLb / 1e9, ""}, {"kg/t DS", Share, 1e-3, ""},
		{"mg/L/d", Other, perDay, ""}, {"mg/L per h", Other, 1. / 60, ""}, {"mg L-1 min-1", Other, 1, ""}, {"g/m2/d", Other, 1000 * perDay, ""}, {"mg/L/NTU", Other, 1, ""}, {"lb/MGD", Other, inLb / (1e6 * inGal * perDay), ""}, {"mg L-2", Other, 1, ""}, {"L/mg", Share, 1, ""},
	} {
		for _, form := range []string{"Alum (" + c.text + ")", "Dose [" + c.text + "]", "PACl, " + c.text} {
			us := Units(form)
			if len(us) != 1 || us[0].Kind != c.kind || math.Abs(us[0].Factor/c.factor-1) > 1e-6 || us[0].As != c.as || us[0].Left != "" || us[0].Times != 0 || us[0].Scale != "" {
				t.Errorf("%q: %+v, want %s %.9g as %q", form, us, c.kind, c.factor, c.as)
			}
		}
	}
}

// What is no unit that can be read stands in Left, Times or Scale, so that somebody asks.
func TestExpressionsThatSpeak(t *testing.T) {
	for _, c := range []struct {
		text, left, scale string
		times             float64
	}{
		{text: "mg/L²", left: "²"}, {text: "(mg/L)²", left: "²"}, {text: "(mg/L)^0.5", left: "^0.5"}, {text: "mg²/L", left: "²/L"}, {text: "NTU²", left: "²"}, {text: "Turbidity² (NTU)", left: "²"}, {text: "Turbidity^2, NTU", left: "^2"},
		{text: "mg/L of 10 % solution", left: "of 10 % solution"}, {text: "mg/L of a 10 % product", left: "of a 10 % product"}, {text: "mg/L (10 % solution)", left: "10 % solution"}, {text: "mg/L as 10 % alum", left: "as 10 % alum"}, {text: "mmol/L of 10 % solution", left: "of 10 % solution"}, {text: "mL/L of 1 % solution"}, {text: "mg/L (10 % error)"}, {text: "(mg/L) 2"}, {text: "A² (NTU)"}, {text: "Set² (NTU)", left: "²"}, {text: "ppm of 48% liquid", left: "of 48% liquid"},
		{text: "mg/L, mmol/L as Al", left: "mmol/L as Al"}, {text: "mg/L (mmol/L)", left: "mmol/L"}, {text: "mg/L or g/L", left: "g/L"}, {text: "mg/L | mL/L", left: "mL/L"},
		{text: "mg/L·min", left: "·min"}, {text: "mg/L.min", left: ".min"}, {text: "mg·min/L", left: "·min/L"}, {text: "mg-min/L", left: "-min/L"}, {text: "mg/(L min)", left: "min"}, {text: "mg/(L·d)", left: "·d"}, {text: "mg/L*fish", left: "*fish"},
		{text: "mg/fortnight", left: "/fortnight"}, {text: "mg/L/fish", left: "/fish"}, {text: "mg %", left: "%"}, {text: "%/d", left: "/d"}, {text: "mg/1.000 L", left: "/1.000 L"}, {text: "mg/100", left: "/100"},
		{text: "×10⁻³ mg/L", times: 1e-3}, {text: "x10^-2 g/L", times: 1e-2}, {text: "x 10^3 mg/L", times: 1e3}, {text: "x100 mg/L", times: 100}, {text: "10^-3 g/L", times: 1e-3}, {text: "10³ mg/L", times: 1e3}, {text: "mg/L ×10³", times: 1e3}, {text: "mg/L x 10^-2", times: 1e-2}, {text: "mg/L (x1000)", times: 1000},
		{text: "ln(mg/L)", scale: "ln"}, {text: "log10 mg/L", scale: "log"}, {text: "lg (mg/L)", scale: "log"}, {text: "√(mg/L)", scale: "sqrt"}, {text: "sqrt NTU", scale: "sqrt"},
	} {
		us := Units("Alum " + c.text)
		if len(us) == 0 || us[0].Left != c.left || us[0].Scale != c.scale || math.Abs(us[0].Times-c.times) > 1e-12 {
			t.Errorf("%q: %+v, want left %q, scale %q, times %g", c.text, us, c.left, c.scale, c.times)
		}
	}
}
