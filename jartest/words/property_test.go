package words

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A written unit and, by another way than the grammar's, what it is worth: sums of
// logarithms of definitions typed here.
type written struct {
	kind  Kind
	parts []string // the pieces between which something can stand
	log   float64
	as    string
}

type worth struct {
	text string
	log  float64
}

// worths reads "spelling|spelling:power of ten;...".
func worths(texts string) []worth {
	var out []worth
	for list := range strings.SplitSeq(texts, ";") {
		name, power, _ := strings.Cut(list, ":")
		var p float64
		if _, err := fmt.Sscan(power, &p); err != nil {
			panic(err)
		}
		for s := range strings.SplitSeq(name, "|") {
			out = append(out, worth{s, p})
		}
	}
	return out
}

var (
	masses = append(worths("ng|nanograms:-6;µg|ug|mcg|micrograms:-3;mg|Milligrams|mgs:0;g|gram|grams:3;kg|kilograms:6;t|tonnes:9"),
		worth{"lb", math.Log10(453592.37)}, worth{"pounds", math.Log10(453592.37)}, worth{"oz", math.Log10(453592.37 / 16)}, worth{"grains", math.Log10(453592.37 / 7000)})
	moles   = worths("µmol|umol:-3;mmol|millimoles:0;mol|moles:3")
	volumes = append(worths("µL|ul|microlitres:-6;mL|ml|cc|cm3|cm³|millilitres:-3;cL:-2;dL:-1;L|l|litre|liters|dm3:0;hL:2;m3|m³|kL|cubic metres:3;ML|megalitres:6;GL:9"),
		worth{"gal", math.Log10(231 * 0.016387064)}, worth{"US gallons", math.Log10(231 * 0.016387064)}, worth{"imp gal", math.Log10(4.54609)},
		worth{"kgal", 3 + math.Log10(231*0.016387064)}, worth{"ft3", math.Log10(1728 * 0.016387064)}, worth{"acre-ft", math.Log10(43560 * 1728 * 0.016387064)})
	counts = append(worths(":0;10 |10:1;100 :2;1000 |1,000 :3;10 000 :4;10^5 |10⁵ :5;million |1,000,000 :6"),
		worth{"2 ", math.Log10(2)}, worth{"2.5 ", math.Log10(2.5)}, worth{"2,5 ", math.Log10(2.5)}, worth{"500", math.Log10(500)}, worth{"0.5 ", math.Log10(.5)}, worth{"12 ", math.Log10(12)})
	times   = append(worths("min|minute:0"), worth{"h", math.Log10(60)}, worth{"d", math.Log10(1440)}, worth{"day", math.Log10(1440)}, worth{"week", math.Log10(10080)}, worth{"s", -math.Log10(60)})
	large   = []string{"lb", "pounds", "oz", "grains", "kg", "t", "tonnes"}
	counted = []string{"Al", "Al2O3", "CaCO3", "Fe", "FeCl3", "P", "dry alum", "product"}
)

// anyUnit builds a unit of the grammar.
func anyUnit(t *rapid.T) written {
	pick := func(name string, from []worth) worth { return rapid.SampledFrom(from).Draw(t, name) }
	above := pick("above", masses)
	w := written{kind: Conc, log: above.log}
	switch rapid.IntRange(0, 4).Draw(t, "what") {
	case 0:
		above = pick("moles", moles)
		w = written{kind: Molar, log: above.log}
	case 1:
		above = pick("volume", volumes)
		w = written{kind: Volper, log: above.log + 3}
	}
	w.parts = []string{above.text}
	basis := rapid.SampledFrom(counted).Draw(t, "basis")
	place := rapid.IntRange(0, 3).Draw(t, "place of the basis")
	if w.kind == Volper {
		place = 0
	}
	if place == 1 {
		w.parts, w.as = append(w.parts, " "+basis), strings.ToLower(basis)
	}
	below := pick("below", volumes)
	if strings.EqualFold(below.text, "ml") && (w.kind == Volper || slices.Contains(large, above.text)) {
		below = worth{"L", 0} // what ML means below these is in a table of its own
	}
	number := pick("number", counts)
	if rapid.Bool().Draw(t, "raised") && number.text == "" && strings.TrimLeft(below.text, "mLl") == "" && below.text != "m" && place != 1 {
		w.parts = append(w.parts, " ", below.text, rapid.SampledFrom([]string{"-1", "⁻¹", "^-1", "^(-1)"}).Draw(t, "exponent"))
	} else {
		w.parts = append(w.parts, rapid.SampledFrom([]string{"/", " / ", " per "}).Draw(t, "line"), number.text, below.text)
	}
	w.log -= below.log + number.log
	if place == 0 && rapid.IntRange(0, 4).Draw(t, "by the time") == 0 {
		time := pick("time", times)
		w.parts, w.kind = append(w.parts, "/", time.text), Other
		w.log -= time.log
	}
	if place == 2 {
		w.parts, w.as = append(w.parts, " as ", basis), strings.ToLower(basis)
	}
	return w
}

func (w written) String() string { return strings.Join(w.parts, "") }

// around puts a unit where units stand.
func around(t *rapid.T, unit string) string {
	return fmt.Sprintf(rapid.SampledFrom([]string{"Alum (%s)", "Dose [%s]", "PACl, %s", "Alum dose (%s) settled", "%s"}).Draw(t, "form"), unit)
}

// Any unit of the grammar is worth what its definitions say.
func TestAnyUnitIsReadWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyUnit(t)
		text := around(t, w.String())
		if strings.ToUpper(text) == text {
			t.Skip() // in capitals ML is mL
		}
		us := Units(text)
		if len(us) != 1 || us[0].Left != "" || us[0].As != w.as || us[0].Times != 0 || us[0].Scale != "" {
			t.Fatalf("%q: %+v", text, us)
		}
		want := w.log
		if w.kind == Other { // has no base unit: the product of the atoms
			if us[0].Dimensions == "volume/volume*time" || strings.Contains(us[0].Dimensions, "volume/volume") {
				want -= 3
			}
			if us[0].Kind != Other {
				t.Fatalf("%q: %+v is a dose", text, us[0])
			}
		} else if us[0].Kind != w.kind {
			t.Fatalf("%q: %s, want %s", text, us[0].Kind, w.kind)
		}
		if math.Abs(math.Log10(us[0].Factor)-want) > 1e-6 {
			t.Fatalf("%q: 10^%g, want 10^%g", text, math.Log10(us[0].Factor), want)
		}
	})
}

// A word that no table holds, put anywhere into a unit, is left over, quoted, or stands
// outside for those who read words: it is never passed over inside.
func TestAnUnknownTokenIsNeverPassedOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyUnit(t)
		word := rapid.StringMatching(`[a-z]{3,8}`).Draw(t, "word")
		p := newParser(word)
		if len(Units("1 "+word)) > 0 || len(Units("1 "+word+"/L")) != 1 || p.t.byFirst[word] != nil || p.t.species[word] != nil || p.is(0, perWords...) || p.is(0, asWords...) {
			t.Skip()
		}
		at := rapid.IntRange(0, len(w.parts)).Draw(t, "at")
		unit := strings.Join(w.parts[:at], "") + " " + word + " " + strings.Join(w.parts[at:], "")
		text := around(t, unit)
		where := strings.Index(text, " "+word+" ") + 1
		for _, u := range Units(text) {
			inside := u.From < where+len(word) && where < u.To
			if inside && u.Left == "" && !strings.Contains(u.Word, word) && !strings.Contains(u.As, word) {
				t.Fatalf("%q: %q is passed over in %+v", text, word, u)
			}
		}
	})
}
