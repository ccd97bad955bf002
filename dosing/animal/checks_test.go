package animal

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// TestFiguresAsPublished: what the table holds of each animal beside the free ammonia and the ranges that other tests look up, against
// what its source prints; as N it is held as 1.2159 times that (17.031/14.007). Zero is no end.
func TestFiguresAsPublished(t *testing.T) {
	const n = 17.031 / 14.007
	for _, x := range []struct {
		id, parameter string
		stage         Stage
		low, high     float64
		source        string
	}{
		{"vannamei", "nh3", "juvenile", 0, 0.12 * n, "Lin and Chen 2001"},
		{"vannamei", "nh3-lethal", "juvenile", 1.20 * n, 1.60 * n, "Lin and Chen 2001"},
		{"vannamei", "nh3-lethal", "larva", 0.6 * n, 2.8 * n, "Cobo et al. 2012"},
		{"vannamei", "nh3-lethal", "post-larva", 1.9 * n, 0, "Cobo et al. 2012"},
		{"vannamei", "tss", "", 0, 300, "Gaona et al. 2017"},
		{"vannamei", "iron", "", 0, 0.55, "Asare et al. 2025"}, // a tenth of 5.48
		{"vannamei", "sudden salinity", "post-larva", 16.8, 0, "Samocha et al. 1998"},
		{"monodon", "nh3", "post-larva", 0, 0.032 * n, "Penaeus monodon post-larvae"},
		{"monodon", "nh3", "juvenile", 0, 0.21 * n, "Allan, Maguire and Hopkins 1990"},
		{"giant-prawn", "nh3-lethal", "post-larva", 1.45 * n, 2.18 * n, "Straus, Robinette and Heinen 1991"},
		{"giant-prawn", "nh3-lethal", "juvenile", 2.02 * n, 0, "Straus, Robinette and Heinen 1991"},
		{"giant-prawn", "nh3-lethal", "larva", 0.50 * n, 0.92 * n, "Gomes et al. 2016"},
		{"giant-prawn", "hardness", "", 0, 53, "Brown, Wickins and MacLean 1991"},
		{"giant-prawn", "calcium hardness", "", 92, 132, "Adhikari et al. 2007"},
		{"giant-prawn", "alkalinity", "", 0, 205, "Adhikari et al. 2007"},
		{"giant-prawn", "temperature", "", 24, 34, "Habashy and Hassan 2011"},
		{"giant-prawn", "salinity", "juvenile", 0, 16, "Habashy and Hassan 2011"},
		{"mud-crab", "nh3-lethal", "larva", 4.05, 6.64, "Neil, Fotedar and Shelley 2005"},
		{"mud-crab", "nh3", "larva", 0, 0.4, "Neil, Fotedar and Shelley 2005"}, // a tenth
		{"mud-crab", "nh3", "juvenile", 0, 0.68 * n, "Romano and Zeng 2007"},   // a tenth
		{"mud-crab", "temperature", "", 25, 35, "Ruscoe, Shelley and Williams 2004"},
		{"mud-crab", "temperature", "larva", 28, 30, "Jamal et al. 2013"},
		{"mud-crab", "salinity", "larva", 31, 0, "Jamal et al. 2013"},
		{"red-claw", "temperature", "", 23, 31, "Queensland Government"},
		{"red-claw", "temperature", "", 9, 34, "Queensland Government"},
		{"red-claw", "salinity", "", 0, 2, "Queensland Government"},
		{"red-claw", "oxygen", "", 5, 0, "Queensland Government"},
		{"red-claw", "nh3-lethal", "", 0.36 * n, 0, "red claw crayfish"},
		{"mitten-crab", "temperature", "", 0, 30, "mitten crab"},
		{"tilapia", "nh3", "", 0, 0.068 * n, "El-Shafai et al. 2004"},
		{"tilapia", "nh3-lethal", "", 1.36 * n, 2.65 * n, "Abdalla and McNabb 1998"},
		{"carp", "nh3-lethal", "fry", 1.74 * n, 1.84 * n, "Hasan and Macintosh 1986"},
		{"carp", "nh3-lethal", "juvenile", 0.93 * n, 0, "Abbas 2006"},
		{"pangasius", "temperature", "", 27, 30, "Hassan et al. 2023"},
		{"pangasius", "temperature", "", 24, 34, "Hassan et al. 2023"},
		{"pangasius", "ph", "", 6, 0, "Ha et al. 2022"},
		{"pangasius", "co2", "", 0, 36, "Can Tho University"},
		{"clarias", "nh3", "", 0, 0.34 * n, "Schram et al. 2010"},
		{"barramundi", "nh3", "", 0, 0.13 * n, "barramundi"}, // a tenth
		{"sea-bream", "nh3-lethal", "larva", 0.24, 0, "Parra and Yufera 1999"},
		{"sea-bream", "co2", "", 0, 20, "Aquacultural Engineering 2013"},
		{"sea-bass", "nh3-lethal", "", 1.7 * n, 0, ""}, // from memory
		{"sea-bass", "temperature", "", 0, 24, "Vinagre et al. 2012"},
		{"grouper", "nh3-lethal", "fry", 0.11, 0.23, "Zheng 2012"},
		{"grouper", "nh3", "juvenile", 0, 0.21, "Zheng 2012"},
		{"sturgeon", "nh3-lethal", "", 0.46, 0, "Naghizadeh Raiesi et al. 2019"},
		{"eel", "nh3-lethal", "fry", 3.00, 0, "Anguilla australis"},
		{"eel", "nh3-lethal", "juvenile", 1.76, 0, "Anguilla australis"},
		{"eel", "nh3-lethal", "adult", 1.28, 0, "Anguilla australis"},
		{"eel", "temperature", "", 23, 29, "Anguilla australis"},
		{"eel", "salinity", "", 0, 36, "Anguilla australis"},
		{"eel", "ph", "", 4, 10, "Anguilla australis"},
		{"salmonid", "labile aluminium", "", 0, 0.01, "Kristensen et al. 2009"},
		{"salmonid", "nh3-lethal", "", 0.16, 1.1, "Thurston and Russo 1983"},
		{"fish", "ph", "", 7, 8, "publication 464"},
		{"fish", "suspended solids", "", 0, 25, "CCME, total particulate matter"},
	} {
		i := slices.IndexFunc(Profiles(), func(p Profile) bool { return p.ID == x.id })
		if i < 0 {
			t.Errorf("no %s", x.id)
			continue
		}
		close := func(got, want float64) bool { return math.Abs(got-want) <= 0.013*want }
		if !slices.ContainsFunc(Profiles()[i].Ranges, func(r Range) bool {
			return string(r.Parameter) == x.parameter && r.Stage == x.stage && close(r.Low, x.low) && close(r.High, x.high) &&
				strings.Contains(r.Source, x.source)
		}) {
			t.Errorf("%s %s %s: no line of %g to %g by %q", x.id, x.parameter, x.stage, x.low, x.high, x.source)
		}
	}
}

// TestToxicityAsPublished: what was found of each chemical with each animal, as its abstract prints it.
func TestToxicityAsPublished(t *testing.T) {
	for _, x := range []struct {
		chemical  Chemical
		animal    string
		endpoint  string
		low, high float64
		source    string
	}{
		{Iron, "brown trout", "LC50", 28, 28, "Dalzell and MacFarlane 1999"},
		{Iron, "brown trout", "LC50", 47, 47, "Dalzell and MacFarlane 1999"},
		{FerrousIron, "Atlantic salmon", "a third dead", 0.5, 0.5, "Teien"},
		{Iron, "whiteleg shrimp", "LC50", 5.48, 5.48, "Asare et al. 2025"},
		{Iron, "crayfish (Cherax destructor)", "LC50", 50, 50, "Ecotoxicology and Environmental Safety 68:463-469"},
		{Aluminium, "noble crayfish", "deaths at the moult", 0.18, 0.18, "Aquatic Toxicology"},
		{Aluminium, "grass carp, rohu", "LC50", 56.9, 75.5, "Indian carps"},
		{MoringaSeed, "Nile tilapia, fingerling", "LC50", 242, 242, "Ayotunde, Fagbenro and Adebayo 2011"},
		{MoringaSeed, "Nile tilapia, fingerling", "LC50", 252, 252, "Ayotunde, Fagbenro and Adebayo 2011"},
		{"moringa root", "Nile tilapia", "LC50", 43, 98, "root bark"},
		{CationicPolymer, "lake trout fry", "LC50", 2.08, 2.08, "Chemosphere 2005"},
		{CationicPolymer, "rainbow trout", "LC50", 0.271, 1.733, "Goodrich"},
		{Ammonia, "whiteleg shrimp", "LC50", 1.46, 1.95, "Lin and Chen 2001"},
	} {
		if !slices.ContainsFunc(Results(), func(r Result) bool {
			return r.Chemical == x.chemical && r.Animal == x.animal && r.Endpoint == x.endpoint && r.Low == x.low && r.High == x.high &&
				strings.Contains(r.Source, x.source)
		}) {
			t.Errorf("%s, %s: no %s of %g to %g by %s", x.chemical, x.animal, x.endpoint, x.low, x.high, x.source)
		}
	}
}
