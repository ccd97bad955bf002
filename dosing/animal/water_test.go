package animal

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// Every animal has a kind of water, whose bounds do not gainsay its own salinity.
func TestEveryAnimalHasItsWater(t *testing.T) {
	for _, p := range Profiles() {
		if p.Water.Name == "" || p.Water.High <= p.Water.Low {
			t.Errorf("%s: kept in %+v", p.ID, p.Water)
		}
		if r, ok := p.Range(Salinity, ""); ok && p.Salt() != (r.Low > 0) {
			t.Errorf("%s: kept in %s, with a salinity of %g to %g", p.ID, p.Water.Name, r.Low, r.High)
		}
	}
}

// Where animals live, by salinity in g/kg (common practice, no source, but for vannamei, tilapia and pangasius, whose rows
// have one): carp and channel catfish die from about 10 to 12, sea fish have no place in fresh water.
func TestWhereAnimalsLive(t *testing.T) {
	for name, x := range map[string]struct{ in, out []float64 }{
		"common carp": {[]float64{0, 5}, []float64{12, 30}}, "channel catfish": {[]float64{0, 3}, []float64{12, 25}}, "African catfish": {[]float64{0}, []float64{20}},
		"gilthead sea bream": {[]float64{15, 36}, []float64{0}}, "sturgeon": {[]float64{0, 10}, []float64{30}}, "tiger shrimp": {[]float64{5, 30}, []float64{0}},
		"rainbow trout": {[]float64{0, 12, 35}, []float64{50}}, "oyster": {[]float64{10, 30}, []float64{0}}, "whiteleg shrimp": {[]float64{0.5, 45}, []float64{0}},
		"tilapia": {[]float64{0, 15}, []float64{30}}, "pangasius": {[]float64{0, 10}, []float64{13}}, "eel": {[]float64{0, 36}, nil},
	} {
		p, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range x.in {
			if !p.LivesAt(s) {
				t.Errorf("%s does not live at %g", name, s)
			}
		}
		for _, s := range x.out {
			if p.LivesAt(s) {
				t.Errorf("%s lives at %g", name, s)
			}
		}
	}
}

// A name of several animals is settled by the water; where it is not, the others are told. No limit of another water: a bass of
// fresh water is held to the 0.019 mg/L of fresh waters in general, not to the 0.207 of European sea bass.
func TestWaterSettlesAName(t *testing.T) {
	none := quantity.Known[quantity.Salinity]{}
	at := func(v float64) quantity.Known[quantity.Salinity] { return quantity.Some(quantity.Salinity(v)) }
	for _, x := range []struct {
		name   string
		s      quantity.Known[quantity.Salinity]
		id     string
		others string
	}{
		{"prawn", at(0), "giant-prawn", ""}, {"prawn", at(25), "vannamei", ""}, {"shrimp", at(0), "giant-prawn", ""},
		{"prawn", at(5), "vannamei", "giant freshwater prawn"}, {"shrimp", none, "vannamei", "giant freshwater prawn"},
		{"crab", at(0), "mitten-crab", ""}, {"crab", at(25), "mud-crab", ""}, {"crab", none, "mud-crab", "Chinese mitten crab"},
		{"bass", at(0), "fish", ""}, {"bream", at(0), "fish", ""}, {"bass", at(30), "sea-bass", ""}, {"bream", at(35), "sea-bream", ""},
		{"bass", none, "fish", "European sea bass"}, {"sea bass", at(0), "sea-bass", ""},
		{"whiteleg shrimp", at(0), "vannamei", ""}, {"rainbow trout", none, "salmonid", ""}, {"catfish", at(0), "catfish", ""}, {"red claw crayfish", at(0), "red-claw", ""},
	} {
		p, others, err := FindIn(x.name, x.s)
		if err != nil || p.ID != x.id || strings.Join(others, ", ") != x.others {
			t.Errorf("%s at %v: %s, or %v (%v); want %s, or %s", x.name, x.s, p.ID, others, err, x.id, x.others)
		}
		if r, ok := p.Range(NH3, ""); x.name == "bass" && x.s.OK && x.s.V == 0 && (!ok || r.High != 0.019) {
			t.Errorf("bass of fresh water are held to %g mg/L", r.High)
		}
	}
}

// A stage that is not given takes the figure that asks for the most of all: free ammonia kills carp of 15 g from 1.13 mg/L (Abbas
// 2006), fry from 2.12 (Hasan and Macintosh 1986); yellow eels bear less than elvers (Oceanologia et Limnologia Sinica 2024).
func TestNoStageTakesTheLeast(t *testing.T) {
	for _, x := range []struct {
		name  string
		q     Parameter
		want  float64
		stage Stage
	}{
		{"common carp", NH3Lethal, 1.13, "juvenile"}, {"eel", NH3Lethal, 1.28, "adult"}, {"eel", NH3, 0.13, "adult"},
		{"grouper", NH3, 0.011, "fry"}, {"sea bream", NH3, 0.024, "larva"}, {"rainbow trout", Salinity, 10, "fry"},
		{"giant freshwater prawn", PH, 9, "post-larva"},
	} {
		p, _ := Find(x.name)
		r, ok := p.Range(x.q, "")
		got := r.High
		if x.q == NH3Lethal {
			got = r.Low
		}
		if !ok || got != x.want || r.Stage != x.stage {
			t.Errorf("%s %s: %g of %s, want %g of %s", x.name, x.q, got, r.Stage, x.want, x.stage)
		}
	}
	p, _ := Find("rainbow trout")
	for stage, want := range map[Stage]float64{"egg": 10, "fry": 10, "juvenile": 36, "adult": 36} {
		if r, _ := p.Range(Salinity, stage); r.High != want {
			t.Errorf("trout %s: up to %g", stage, r.High)
		}
	}
}

// What was seen to harm is no water to live in; what was seen to be borne is.
func TestBoundsThatHarm(t *testing.T) {
	crab, _ := Find("Chinese mitten crab")
	r, _ := crab.Range(Temperature, "") // at 30 C all juveniles were dead in a week
	for v, want := range map[float64]bool{29.9: false, 30: true, 31: true} {
		if r.Outside(v, 0.01) != want {
			t.Errorf("mitten crab at %g C: outside %v", v, !want)
		}
	}
	claw, _ := Find("red-claw")
	r, _ = claw.Range(Temperature, "") // 9 to 34 C
	for v, want := range map[float64]bool{8.8: true, 9: false, 34: false, 34.2: false, 34.5: true} {
		if r.Outside(v, 0.01) != want {
			t.Errorf("red claw at %g C: outside %v", v, !want)
		}
	}
}

// Words for several stages are understood, and are no stage.
func TestAnyStage(t *testing.T) {
	for text, want := range map[string]bool{"mixed": true, "All stages": true, "banana": false, "fry": false, "": false} {
		if AnyStage(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
	if !slices.Contains(Stages(), "post-larva") || StageIn("grower") != "juvenile" {
		t.Errorf("stages %v, grower is %q", Stages(), StageIn("grower"))
	}
}
