package animal

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func TestEveryFigureHasItsSource(t *testing.T) {
	for _, p := range Profiles() {
		if p.Name == "" || p.Group == "" || len(p.Also) == 0 {
			t.Errorf("%s: name, group or other names missing", p.ID)
		}
		type use struct {
			Parameter
			Stage
		}
		used := map[use]int{}
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
				used[use{r.Parameter, r.Stage}]++
			}
			if r.Stage != "" && ageOf(r.Stage) < 0 || !slices.Contains([]string{"read", "computed", "memory"}, r.Status) {
				t.Errorf("%s %s: stage %q, status %q", p.ID, r.Parameter, r.Stage, r.Status)
			}
			if (r.Source == "common practice, no source read") != r.Memory() {
				t.Errorf("%s %s: status and source disagree", p.ID, r.Parameter)
			}
		}
		for q, n := range used {
			if n > 1 {
				t.Errorf("%s: %d figures in use for %v", p.ID, n, q)
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
		{CationicPolymer, "salmonid", 0.271, true},                // Goodrich et al. 1991
		{CationicPolymer, "water flea", 0.05, true},               // Brill et al. 2024
		{CationicPolymer, "penaeid shrimp", 0.05, false},          // borrowed from water fleas
		{CationicPolymer, "crab", 0.05, false},                    //
		{CationicPolymer, "tilapia", 0.271, false},                // borrowed from trout: fish from fish
		{CationicPolymer, "sturgeon", 0.271, false},               //
		{CationicPolymer, "", 0.05, false},                        // nobody knows what it is: the lowest of all
		{Chitosan, "salmonid", 0.038, true},                       // Bullock et al. 2000
		{Chitosan, "tilapia", 0.038, false},                       // borrowed from trout
		{Chitosan, "penaeid shrimp", 0.05, false},                 // taken as a cationic polymer, of water fleas
		{CationisedTannin, "salmonid", 0.271, false},              // taken as a cationic polymer
		{AnionicPolymer, "salmonid", 600, true},                   // Chemosphere 2005
		{AnionicPolymer, "carp", 150, true},                       // Tabata and Ishibashi 1984
		{AnionicPolymer, "penaeid shrimp", 152, false},            // water fleas (Acharya et al. 2010)
		{Iron, "salmonid", 28, true},                              // Dalzell and MacFarlane 1999
		{Iron, "penaeid shrimp", 5.48, true},                      // Asare et al. 2025
		{Iron, "crayfish", 50, true},                              // Cherax destructor, 2007
		{Iron, "carp", 28, false},                                 // borrowed from brown trout
		{Ammonia, "penaeid shrimp", 1.20 * 17.031 / 14.007, true}, // Lin and Chen 2001
		{Ammonia, "salmonid", 0.16, true},                         // Thurston and Russo 1983
	} {
		r, own, ok := Lethal(x.c, "", x.group)
		if !ok || own != x.own || math.Abs(r.Low/x.want-1) > 0.005 {
			t.Errorf("%s, %s: %g own %v, want %g own %v", x.c, x.group, r.Low, own, x.want, x.own)
		}
	}
	// a substance that was tested by name goes by its own figure before others of its kind: cationic polyacrylamide killed
	// half of lake trout fry at 2.08 mg/L in 96 h (Chemosphere 2005), polyDADMAC water fleas at 0.09 (Brill et al. 2024);
	// an animal of which neither is known goes by the kind.
	for _, x := range []struct {
		substance, group, of string
		want                 float64
	}{
		{"cationic polyacrylamide", "salmonid", "lake trout fry", 2.08}, {"cationic polyacrylamide", "tilapia", "lake trout fry", 2.08},
		{"cationic polyacrylamide", "crab", "Daphnia magna, Ceriodaphnia dubia", 0.05},
		{"polyDADMAC (polyquaternium-6)", "penaeid shrimp", "Daphnia magna, Ceriodaphnia dubia", 0.09},
		{"polyDADMAC (polyquaternium-6)", "salmonid", "rainbow trout", 0.271},
		{"polyamines and quaternary amine copolymers", "carp", "rainbow trout", 0.271},
	} {
		if r, _, ok := Lethal(CationicPolymer, x.substance, x.group); !ok || r.Animal != x.of || r.Low != x.want {
			t.Errorf("%s, %s: %g of %s, want %g of %s", x.substance, x.group, r.Low, r.Animal, x.want, x.of)
		}
	}
	if r, ok := Harmful(FerrousIron, "salmonid"); !ok || r.Low != 0.5 { // a third of the salmon dead
		t.Errorf("ferrous iron %v", r)
	}
	if r, ok := Harmful(Aluminium, "crayfish"); !ok || r.Low != 0.18 { // deaths at the moult
		t.Errorf("aluminium and crayfish %v", r)
	}
	if r, ok := Harmful(Aluminium, "crab"); ok {
		t.Errorf("aluminium and crab %v, of which nothing is known", r)
	}
	for _, p := range Profiles() {
		if kinOf(p.Group) == "" {
			t.Errorf("%s is kin to nobody", p.Group)
		}
	}
}

// Whose figures a name brings: an animal's own, those of another that is named, or none. A
// word that the table does not know makes another animal of a name: largemouth bass is a
// fresh-water fish, brine shrimp are no penaeids, koi are not the fry that Hasan tested.
func TestNameOfAnotherAnimalIsBorrowedOrUnknown(t *testing.T) {
	for name, want := range map[string]string{
		"largemouth bass": "", "striped bass": "", "hybrid striped bass": "", "freshwater bream": "", "red sea bream": "", "blue crab": "",
		"swimming crab": "", "brine shrimp": "", "mantis shrimp": "", "European catfish": "", "stinging catfish": "",
		"Malaysian prawn": "giant-prawn", "Vietnamese catfish": "pangasius", "Macrobrachium rosenbergii": "giant-prawn",
		"bass": "fresh-water fish in general", "sea bass": "European sea bass", "sea bream fry": "gilthead sea bream", "crab": "mud crab", "shrimp": "whiteleg shrimp", "farmed shrimp": "whiteleg shrimp",
		"catfish": "channel catfish", "prawn, pond 3": "whiteleg shrimp", "grouper": "orange-spotted grouper", "Epinephelus malabaricus": "orange-spotted grouper",
		"Macrobrachium carcinus": "giant freshwater prawn", "coral trout": "trout and salmon", "Oreochromis aureus": "tilapia",
		"Litopenaeus stylirostris": "whiteleg shrimp", "kuruma shrimp": "whiteleg shrimp", "banana prawn": "whiteleg shrimp",
		"penaeid shrimp": "whiteleg shrimp", "koi": "common carp", "goldfish": "common carp", "grass carp": "common carp", "yabby": "red-claw crayfish",
		"marron": "red-claw crayfish", "Epinephelus fuscoguttatus": "orange-spotted grouper", "tiger grouper fry": "orange-spotted grouper",
		"trout": "salmonid", "young rainbow trout": "salmonid", "Salmo trutta fario": "salmonid", "trout shed 2": "salmonid", "white shrimp": "vannamei",
		"Penaeus indicus": "indicus", "P. indicus nauplii": "indicus", "school prawn": "school-prawn", "Metapenaeus macleayi": "school-prawn",
	} {
		p, err := Find(name)
		if (err != nil) != (want == "") {
			t.Errorf("%q: got %q (%v), want %q", name, p.ID, err, want)
		}
		if err != nil || p.ID == want {
			continue
		}
		for _, q := range []Parameter{PH, Alkalinity, CO2, NH3, NH3Lethal} {
			r, ok := p.Range(q, "fry")
			if ok && r.Of != want && !strings.HasPrefix(r.Of, "Macrobrachium carcinus") {
				t.Errorf("%q: %s is of %q, want %q", name, q, r.Of, want)
			}
		}
	}
	if p, err := Find("Metapenaeus ensis"); err != nil || p.Ranges[0].Of != "school prawn" {
		t.Errorf("Metapenaeus ensis: %v, %v", p.Ranges, err)
	}
	if p, _ := Find("pangasius"); p.Name != "pangasius" {
		t.Error("no pangasius")
	} else if _, ok := p.Range(CO2, ""); ok {
		t.Error("what cut the growth of pangasius is taken for a limit")
	}
	for name, q := range map[string]Parameter{"school prawn": NH3, "P. indicus": NH3Lethal, "tiger grouper": Salinity, "rainbow trout": PH} {
		p, err := Find(name)
		if r, ok := p.Range(q, ""); err != nil || !ok || r.Of != "" {
			t.Errorf("%s: %s is borrowed from %q (%v)", name, q, r.Of, err)
		}
	}
}

func TestFind(t *testing.T) {
	for name, id := range map[string]string{
		"rainbow trout": "salmonid", "Rainbow trout fry": "salmonid", "Salmo salar": "salmonid", "smolts": "salmonid",
		"Nile tilapia": "tilapia", "Penaeus monodon": "monodon", "shrimp post-larvae": "vannamei", "mud crab": "mud-crab", "koi": "koi",
		"giant freshwater prawn": "giant-prawn", "Macrobrachium rosenbergii": "giant-prawn", "tra catfish": "pangasius", "Pangasianodon hypophthalmus": "pangasius",
		"African catfish": "clarias", "Clarias gariepinus": "clarias", "channel catfish": "catfish", "bangus": "milkfish", "Siberian sturgeon": "sturgeon",
		"Acipenser": "sturgeon", "European eel": "eel", "elvers of Anguilla anguilla": "eel", "gilthead sea bream": "sea-bream", "Sparus aurata": "sea-bream",
		"European sea bass": "sea-bass", "Dicentrarchus labrax": "sea-bass", "Asian sea bass": "barramundi", "Epinephelus coioides": "grouper",
		"tiger grouper": "tiger-grouper", "red-claw crayfish": "red-claw", "Cherax quadricarinatus": "red-claw", "noble crayfish": "crayfish",
		"Chinese mitten crab": "mitten-crab", "Eriocheir sinensis": "mitten-crab", "black tiger shrimp": "monodon", "tiger prawn": "monodon",
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

// Free ammonia that the checks hold animals to, from what the papers print: figures as N
// times 17.031/14.007 (formula weights, IUPAC).
func TestFreeAmmoniaOfSpeciesAndStages(t *testing.T) {
	const asNH3 = 17.031 / 14.007
	for _, x := range []struct {
		species   string
		stage     Stage
		parameter Parameter
		want      float64 // the limit, or the least that kills
		source    string
	}{
		{"Penaeus vannamei", "juvenile", NH3, 0.12 * asNH3, "Lin and Chen 2001"},
		{"Penaeus vannamei", "juvenile", NH3Lethal, 1.20 * asNH3, "Lin and Chen 2001"},
		{"Penaeus vannamei", "larva", NH3Lethal, 0.6 * asNH3, "Cobo et al. 2012"},
		{"Penaeus vannamei", "post-larva", NH3, 0.06 * asNH3, "Cobo et al. 2012"}, // of larvae: the nearest younger
		{"Penaeus vannamei", "adult", NH3, 0.12 * asNH3, "Lin and Chen 2001"},     // of juveniles
		{"Penaeus vannamei", "", NH3, 0.06 * asNH3, "Cobo et al. 2012"},           // the youngest
		{"Penaeus monodon", "post-larva", NH3, 0.032 * asNH3, "Penaeus monodon post-larvae"},
		{"Penaeus monodon", "juvenile", NH3, 0.21 * asNH3, "Allan, Maguire and Hopkins 1990"},
		{"Penaeus monodon", "juvenile", NH3Lethal, 1.69 * asNH3, "Allan, Maguire and Hopkins 1990"},
		{"Penaeus monodon", "larva", NH3, 0.032 * asNH3, "Penaeus monodon post-larvae"}, // nothing younger
		{"Scylla serrata", "larva", NH3, 0.405, "Neil, Fotedar and Shelley 2005"},
		{"Scylla serrata", "juvenile", NH3Lethal, 6.81 * asNH3, "Romano and Zeng 2007"},
		{"Penaeus indicus", "larva", NH3, 0.093 * asNH3, "Jayasankar and Muthu 1983"},
		{"P. indicus nauplii", "larva", NH3Lethal, 0.29 * asNH3, "Jayasankar and Muthu 1983"},
		{"school prawn", "", NH3, 0.35 * asNH3, "Allan, Maguire and Hopkins 1990"},
		{"school prawn", "juvenile", NH3Lethal, 1.39 * asNH3, "Allan, Maguire and Hopkins 1990"},
		{"giant freshwater prawn", "post-larva", NH3Lethal, 1.45 * asNH3, "Straus"},
		{"giant freshwater prawn", "larva", NH3, 0.05 * asNH3, "borrowed from Macrobrachium carcinus"},
		{"red-claw crayfish", "juvenile", NH3, 0.04 * asNH3, "red claw"},
		{"noble crayfish", "juvenile", NH3, 0.04 * asNH3, "borrowed from red-claw crayfish"},
		{"Nile tilapia", "juvenile", NH3Lethal, 1.36 * asNH3, "Abdalla and McNabb 1998"},
		{"common carp", "fry", NH3Lethal, 1.74 * asNH3, "Hasan and Macintosh 1986"},
		{"common carp", "adult", NH3Lethal, 0.93 * asNH3, "Abbas 2006"},
		{"African catfish", "adult", NH3, 0.34 * asNH3, "Schram et al. 2010"},
		{"barramundi", "juvenile", NH3Lethal, 1.30 * asNH3, "barramundi"},
		{"sea bream", "juvenile", NH3, 0.3 * asNH3, "1993"},
		{"sea bream", "larva", NH3, 0.024, "Parra"},
		{"grouper", "fry", NH3, 0.011, "Zheng 2012"},
		{"grouper", "juvenile", NH3Lethal, 2.12, "Zheng 2012"},
		{"Siberian sturgeon", "juvenile", NH3, 0.005, "borrowed from Persian sturgeon"},
		{"European eel", "adult", NH3, 0.13, "borrowed from short-finned eel"},
	} {
		p, err := Find(x.species)
		if err != nil {
			t.Error(err)
			continue
		}
		r, ok := p.Range(x.parameter, x.stage)
		got := r.High
		if x.parameter == NH3Lethal {
			got = r.Low
		}
		if !ok || math.Abs(got/x.want-1) > 0.02 || !strings.Contains(r.From(), x.source) {
			t.Errorf("%s %s %s: %g from %q, want %g of %s", x.species, x.stage, x.parameter, got, r.From(), x.want, x.source)
		}
	}
	// Nothing was found of these: no figure may be made up.
	for _, species := range []string{"Chinese mitten crab", "pangasius", "milkfish"} {
		p, err := Find(species)
		if r, ok := p.Range(NH3, ""); err != nil || ok {
			t.Errorf("%s: %v, free ammonia %v", species, err, r)
		}
	}
}

// What a note prints as N must be the figure of its line, converted.
func TestNitrogenInNotesAgrees(t *testing.T) {
	seen := 0
	for _, p := range Profiles() {
		for _, r := range p.Ranges {
			before, _, ok := strings.Cut(r.Note, " as N)")
			if !ok || r.Parameter != NH3 && r.Parameter != NH3Lethal {
				continue
			}
			_, printed, _ := strings.Cut(before, "(")
			n, err := strconv.ParseFloat(strings.Fields(printed)[0], 64)
			figure := r.High
			if r.Parameter == NH3Lethal {
				figure = r.Low
			}
			if err != nil || math.Abs(n*17.031/14.007/figure-1) > 0.03 {
				t.Errorf("%s %s: %g is not %s as N", p.ID, r.Parameter, figure, printed)
			}
			seen++
		}
	}
	if seen < 20 {
		t.Errorf("only %d notes looked at", seen)
	}
}

// The other figures that a keeper is told by, with what they replace.
func TestOtherFiguresOfSpecies(t *testing.T) {
	for _, x := range []struct {
		species   string
		stage     Stage
		parameter Parameter
		low, high float64 // zero for none
	}{
		{"mud crab", "fry", Salinity, 5, 40},                   // Ruscoe et al. 2004: lived alike; 0 killed all overnight
		{"pangasius", "", Salinity, 0, 10},                     // Hassan et al. 2023
		{"sea bream", "adult", CO2, 0, 20},                     // Aquacultural Engineering 2013
		{"giant freshwater prawn", "", Hardness, 0, 150},       // after New 2002
		{"giant freshwater prawn", "", AlkalinityHarm, 0, 250}, // Gonzalez-Vera and Brown
		{"giant freshwater prawn", "post-larva", PH, 0, 9.0},   // Straus et al. 1991
		{"giant freshwater prawn", "adult", PH, 0, 9.5},        //
		{"red-claw", "", Hardness, 50, 0},                      // Queensland Government
		{"red-claw", "", PH, 7.0, 8.5},                         //
		{"grouper", "", Salinity, 20, 0},                       // Tahir et al. 2018, of E. fuscoguttatus
		{"rainbow trout", "", PH, 6.5, 9.0},                    // SRAC 464
	} {
		p, err := Find(x.species)
		r, ok := p.Range(x.parameter, x.stage)
		if err != nil || !ok || r.Low != x.low || r.High != x.high {
			t.Errorf("%s %s: %g to %g (%v, %v)", x.species, x.parameter, r.Low, r.High, ok, err)
		}
	}
	prawn, _ := Find("giant freshwater prawn")
	if _, ok := prawn.Range(Alkalinity, ""); ok {
		t.Error("giant prawn has a least alkalinity: that of whiteleg shrimp is the wrong way round for it")
	}
	for _, p := range Profiles() {
		for _, r := range p.Ranges {
			if r.Parameter == "tss" && p.ID == "vannamei" && r.High != 300 { // Gaona et al. 2017
				t.Errorf("suspended solids of whiteleg shrimp %g", r.High)
			}
		}
	}
}

func TestStageIn(t *testing.T) {
	for text, want := range map[string]Stage{"": "", "fry": "fry", "sac fry": "larva", "Post-larvae": "post-larva", "PL12": "post-larva", "eyed eggs": "egg",
		"Smolts": "juvenile", "broodstock": "adult", "grow-out": "adult", "zoea 1": "larva", "crablets": "fry", "3 months": "", "fry troughs, rainbow trout": "fry"} {
		if got := StageIn(text); got != want {
			t.Errorf("%q is taken as %q, want %q", text, got, want)
		}
	}
}

// The very animal that a figure was found with has it as its own: a Persian sturgeon is not judged by a Persian sturgeon.
func TestFiguresOfTheAnimalItself(t *testing.T) {
	for name, of := range map[string]string{"Persian sturgeon": "", "Acipenser persicus fry": "", "Siberian sturgeon": "Persian sturgeon (Acipenser persicus)", "short-finned eel": "",
		"European eel": "short-finned eel (Anguilla australis)", "Oreochromis aureus": "tilapia"} {
		p, err := Find(name)
		if r, ok := p.Range(NH3, ""); err != nil || !ok || r.Of != of {
			t.Errorf("%s: of %q (%v)", name, r.Of, err)
		}
	}
}

// What kills another stage gives way to what a nearer one lives in: sea-bream juveniles do well in 0.365 mg/L, larvae die from 0.24.
func TestLethalOfAnotherStage(t *testing.T) {
	p, _ := Find("gilthead sea bream")
	for stage, want := range map[Stage]float64{"larva": 0.24, "egg": 0.24, "": 0.24, "juvenile": 0, "adult": 0} {
		if r, ok := p.Kills(stage); ok != (want > 0) || r.Low != want {
			t.Errorf("%q: %v from %g", stage, ok, r.Low)
		}
	}
	p, _ = Find("whiteleg shrimp")
	if r, ok := p.Kills("adult"); !ok || math.Abs(r.Low-1.20*17.031/14.007) > 0.01 { // of juveniles: no nearer figure speaks against it
		t.Errorf("adult shrimp %v from %g", ok, r.Low)
	}
}
