package animal

import (
	"testing"
)

func TestEveryFigureHasItsSource(t *testing.T) {
	for _, p := range Profiles() {
		if p.Name == "" || p.Group == "" || len(p.Also) == 0 {
			t.Errorf("%s: name, group or other names missing", p.ID)
		}
		used := map[Parameter]int{}
		for _, r := range p.Ranges {
			if r.Source == "" {
				t.Errorf("%s %s: source without a name", p.ID, r.Parameter)
			}
			if !r.HasLow && !r.HasHigh {
				t.Errorf("%s %s: no figure", p.ID, r.Parameter)
			}
			if r.HasLow && r.HasHigh && r.Low >= r.High {
				t.Errorf("%s %s: %g to %g", p.ID, r.Parameter, r.Low, r.High)
			}
			if r.Use {
				used[r.Parameter]++
			}
			if (r.Source == "common practice, no source read") != r.Memory {
				t.Errorf("%s %s: status and source disagree", p.ID, r.Parameter)
			}
		}
		for q, n := range used {
			if n > 1 {
				t.Errorf("%s: %d figures in use for %s", p.ID, n, q)
			}
		}
	}
	for _, r := range Results() {
		if r.Source == "" {
			t.Errorf("%s, %s: source without a name", r.Chemical, r.Animal)
		}
		if r.Lethal && (!r.HasLow || r.Unit == "") {
			t.Errorf("%s, %s: lethal without a figure", r.Chemical, r.Animal)
		}
		if (r.Note == "gap" || r.Source == "a search of abstracts, none found") && r.HasLow {
			t.Errorf("%s, %s: a gap with a figure", r.Chemical, r.Animal)
		}
	}
}

// Lowest lethal figures as read in the abstracts named in the table, and what
// has none of its own.
func TestLethal(t *testing.T) {
	for _, x := range []struct {
		c     Chemical
		group string
		want  float64
		own   bool
	}{
		{CationicPolymer, "salmonid", 0.271, true},       // Goodrich et al. 1991
		{CationicPolymer, "water flea", 0.05, true},      // Brill et al. 2024
		{CationicPolymer, "penaeid shrimp", 0.05, false}, // borrowed from water fleas
		{CationicPolymer, "crab", 0.05, false},           //
		{CationicPolymer, "tilapia", 0.05, false},        //
		{Chitosan, "salmonid", 0.038, true},              // Bullock et al. 2000
		{Chitosan, "tilapia", 0.038, false},              // borrowed from trout
		{CationisedTannin, "salmonid", 0.05, false},      // taken as a cationic polymer
		{AnionicPolymer, "salmonid", 600, true},          // Chemosphere 2005
		{AnionicPolymer, "carp", 150, true},              // Tabata and Ishibashi 1984
		{AnionicPolymer, "penaeid shrimp", 150, false},   //
		{Ammonia, "salmonid", 0.16, true},                // Thurston and Russo 1983
	} {
		r, own, ok := Lethal(x.c, x.group)
		if !ok || own != x.own || r.Low != x.want {
			t.Errorf("%s, %s: %g own %v, want %g own %v", x.c, x.group, r.Low, own, x.want, x.own)
		}
	}
	if _, _, ok := Lethal(Iron, "salmonid"); ok {
		t.Error("a lethal figure for iron, which the table has none of")
	}
}

func TestFind(t *testing.T) {
	for name, id := range map[string]string{
		"rainbow trout": "salmonid", "Rainbow trout fry": "salmonid", "Salmo salar": "salmonid", "smolts": "salmonid",
		"Nile tilapia": "tilapia", "Penaeus monodon": "monodon", "shrimp post-larvae": "vannamei", "mud crab": "mud-crab", "koi": "carp",
	} {
		p, err := Find(name)
		if err != nil || p.ID != id {
			t.Errorf("%q: got %q (%v), want %q", name, p.ID, err, id)
		}
	}
	if _, err := Find("axolotl"); err == nil {
		t.Error("axolotl was found")
	}
}
