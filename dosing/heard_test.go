package dosing

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// tried is a series of one chemical: dose, pH, alkalinity, residual aluminium of each jar.
func tried(basis quantity.Basis, raw map[jartest.Key]float64, rows ...[4]float64) jartest.Series {
	s := jartest.Series{Name: "bench", Chemicals: []jartest.Chemical{{Name: "alum", Basis: basis}}, Raw: map[jartest.Key]jartest.Reading{}}
	for k, v := range raw {
		s.Raw[k] = jartest.Num(v, "")
	}
	for i, r := range rows {
		j := jartest.Jar{Label: fmt.Sprint(i + 1), Doses: []jartest.JarDose{{Concentration: quantity.Concentration(r[0]), Known: true}},
			Readings: jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(r[1], "")}, {Key: jartest.AlkalinityKey, Reading: jartest.Num(r[2], "")}}}
		if r[3] >= 0 {
			j.Readings.Set(jartest.ResidualAl, jartest.Num(r[3], "mg/L"))
		}
		s.Jars = append(s.Jars, j)
	}
	return s
}

var bench = tried(quantity.AsAlum14, map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 80, jartest.Turbidity: 50},
	[4]float64{0, 7.4, 80, -1}, [4]float64{10, 7.2, 75, 0.12}, [4]float64{20, 7.0, 69, 0.06}, [4]float64{30, 6.9, 65, 0.1})

// TestJarReading: on the straight line between two jars, with both as range; nothing
// outside the jars that have the reading.
func TestJarReading(t *testing.T) {
	j := JarsOf(bench, 0, note.Place{})
	for _, x := range []struct {
		key  jartest.Key
		dose quantity.Concentration
		want string
	}{
		{jartest.PH, 13, "7.14 7.00 7.20 2 3"}, // 7.2 - 0.3 x 0.2
		{jartest.PH, 20, "7.00 7.00 7.00 3 3"},
		{jartest.PH, 0, "7.40 7.40 7.40 1 1"},
		{jartest.PH, 30, "6.90 6.90 6.90 4 4"},
		{jartest.PH, 30.1, "-"},
		{jartest.AlkalinityKey, 25, "67.00 65.00 69.00 3 4"},
		{jartest.ResidualAl, 15, "0.09 0.06 0.12 2 3"},
		{jartest.ResidualAl, 5, "-"}, // jar 1 has no such reading
		{jartest.ResidualFe, 15, "-"},
	} {
		got := "-"
		if r, ok := j.Reading(x.key, x.dose); ok {
			got = fmt.Sprintf("%.2f %.2f %.2f %s %s", r.V, r.Low, r.High, r.Between[0], r.Between[1])
		}
		if got != x.want {
			t.Errorf("%s at %g: %s, want %s", x.key, float64(x.dose), got, x.want)
		}
	}
	if least, most := j.Tested(); least != 10 || most != 30 {
		t.Errorf("tested %v to %v", least, most)
	}
	last := bench // the control at the end
	last.Jars = append(slices.Clone(bench.Jars[1:]), bench.Jars[0])
	if least, most := JarsOf(last, 0, note.Place{}).Tested(); least != 10 || most != 30 {
		t.Errorf("with the control last tested %v to %v", least, most)
	}
	twice := bench
	twice.Jars = append(twice.Jars[:len(twice.Jars):len(twice.Jars)], jartest.Jar{Label: "5", Doses: []jartest.JarDose{{Concentration: 20, Known: true}},
		Readings: jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(7.2, "")}, {Key: jartest.ResidualAl, Reading: jartest.Reading{State: jartest.Below, Limit: true, Value: 0.02}}}})
	j = JarsOf(twice, 0, note.Place{})
	if r, _ := j.Reading(jartest.PH, 20); r.V != 7.1 || r.Low != 7.0 || r.High != 7.2 {
		t.Errorf("two jars of 20: %+v", r)
	}
	if r, _ := j.Reading(jartest.ResidualAl, 20); r.V != 0.04 || !r.Below {
		t.Errorf("one below its limit: %+v", r)
	}
	if JarsOf(bench, 1, note.Place{}) != nil || JarsOf(jartest.Series{}, 0, note.Place{}) != nil {
		t.Error("jars of a chemical that is not varied")
	}
	if _, ok := (*Jars)(nil).Reading(jartest.PH, 1); ok {
		t.Error("no jars read")
	}
}

// heardSite is a site of one dose of alum whose jars are those above.
func heardSite(t *testing.T, change func(site.Values)) (site.Site, Running) {
	t.Helper()
	s := exampleSite(t, func(v site.Values) {
		v["Chemicals"] = v["Chemicals"][:1]
		v["Prices"] = nil
		for _, f := range []string{"dose low", "dose high", "dose in storm water"} {
			delete(v["Chemicals"][0], f)
		}
		v["Chemicals"][0]["dose"] = "13 mg/L"
		w := v["Water"][0]
		w["pH"], w["alkalinity"], w["turbidity"] = "7.5", "90 mg/L CaCO3", "60 NTU"
		delete(w, "residual aluminium")
		if change != nil {
			change(v)
		}
	})
	g := Given{Catalogue: products, Jars: map[int]*Jars{0: JarsOf(bench, 0, note.Place{})}}
	feeds, _, err := Chemicals(s, g)
	if err != nil {
		t.Fatal(err)
	}
	return s, Running{Site: s, Flow: 3.6, Hours: 24, Feeds: feeds}
}

// TestHeard: what the jars lost at the dose is what the site's water loses: pH 7.5
// less 7.4 - 7.14, alkalinity 90 less 80 - 73.2, residual 0.12 - 0.3 x 0.06.
func TestHeard(t *testing.T) {
	_, r := heardSite(t, nil)
	w := r.situation(site.UsualWater).Water
	if !heardNear(float64(w.JarPH.V), 7.24) || !w.FromJars || !heardNear(float64(w.JarAlkalinityUsed.V), 6.8) || !heardNear(float64(w.ResidualAl.V), 0.102) || w.ResidualFe.OK {
		t.Errorf("pH %v, alkalinity %v, aluminium %v", w.JarPH, w.JarAlkalinityUsed, w.ResidualAl)
	}
	f := r.Review()
	if !heardNear(float64(f.Water.AlkalinityLeft), 83.2) || !heardNear(float64(f.Water.PH()), 7.24) || !f.Water.FromJars {
		t.Errorf("judged %v, pH %v", f.Water.AlkalinityLeft, f.Water.PH())
	}
	for _, x := range []struct {
		what           string
		change         func(site.Values)
		ph, alkalinity float64 // 0: not from the jars
		al             float64
	}{
		{"the site's own readings go first", func(v site.Values) {
			v["Water"][0]["pH of the chosen jar"], v["Water"][0]["residual aluminium"] = "7.1", "0.3 mg/L"
		}, 7.1, 6.8, 0.3},
		{"another pH: what stays in other water lifts no stop", func(v site.Values) { v["Water"][0]["pH"] = "7.95" }, 0, 0, 0},
		{"the same pH but for half a unit", func(v site.Values) { v["Water"][0]["pH"] = "7.9" }, 7.64, 6.8, 0.102},
		{"another alkalinity", func(v site.Values) { v["Water"][0]["alkalinity"] = "121 mg/L CaCO3" }, 0, 0, 0},
		{"beyond the jars", func(v site.Values) { v["Chemicals"][0]["dose"] = "31 mg/L" }, 0, 0, 0},
		{"an alkali that no jar had", func(v site.Values) {
			v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "soda", "product": "soda-ash", "dose": "10 mg/L", "basis": "as product"})
		}, 0, 0, 0.102},
		{"a polymer that no jar had", func(v site.Values) {
			v["Chemicals"] = append(v["Chemicals"], map[string]string{"name": "aid", "product": "apam-dry", "dose": "0.1 mg/L", "basis": "as product"})
		}, 7.24, 6.8, 0.102},
		{"counted on another basis", func(v site.Values) {
			v["Chemicals"][0]["dose"], v["Chemicals"][0]["basis"] = "1.18021 mg/L", "as Al" // 13 mg/L of alum
		}, 7.24, 6.8, 0.102},
	} {
		_, r := heardSite(t, x.change)
		w := r.situation(site.UsualWater).Water
		if !heardNear(float64(w.JarPH.V), x.ph) || !heardNear(float64(w.JarAlkalinityUsed.V), x.alkalinity) || !heardNear(float64(w.ResidualAl.V), x.al) {
			t.Errorf("%s: pH %v, alkalinity %v, aluminium %v", x.what, w.JarPH.V, w.JarAlkalinityUsed.V, w.ResidualAl.V)
		}
	}
}

// heardNear is within what a dose converted through moles leaves.
func heardNear(got, want float64) bool { return got > want-2e-3 && got < want+2e-3 }

// TestHeardInStorms: in storm water the jars are read at its dose, and where they do
// not go so far a pH of the usual dose does not speak for it.
func TestHeardInStorms(t *testing.T) {
	for dose, want := range map[string]float64{"25 mg/L": 7.5 - 7.4 + 6.95, "40 mg/L": 0, "13 mg/L": 7.24} {
		_, r := heardSite(t, func(v site.Values) { v["Chemicals"][0]["dose in storm water"] = dose })
		if w := r.situation(site.StormWater).Water; !heardNear(float64(w.JarPH.V), want) {
			t.Errorf("%s: pH %v, want %g", dose, w.JarPH.V, want)
		}
	}
	_, r := heardSite(t, func(v site.Values) {
		v["Chemicals"][0]["dose in storm water"], v["Water"][0]["pH of the chosen jar"] = "40 mg/L", "7.1"
	})
	if w := r.situation(site.StormWater).Water; w.JarPH.OK {
		t.Errorf("the chosen jar's pH speaks for three times its dose: %v", w.JarPH.V)
	}
}

// TestPolymerInJars: what was measured of a polymer goes before a computed capture.
func TestPolymerInJars(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "aid", Basis: quantity.AsProduct}}}
	for i, d := range []quantity.Concentration{0.1, 0.3} {
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: d, Known: true}},
			Readings: jartest.Readings{{Key: "residual_polymer_mg_l", Reading: jartest.Num(0.01+0.02*float64(i), "")}}})
	}
	site := exampleSite(t, func(v site.Values) {
		v["Chemicals"] = []map[string]string{{"name": "aid", "product": "cpam-dry", "dose": "0.2 mg/L", "basis": "as product"}}
		v["Prices"] = nil
	})
	feeds, _, err := Chemicals(site, Given{Catalogue: products, Jars: map[int]*Jars{0: JarsOf(s, 0, note.Place{})}})
	if err != nil {
		t.Fatal(err)
	}
	f := Running{Site: site, Flow: 3.6, Hours: 24, Feeds: feeds}.Review()
	var r caution.Residual
	for _, x := range f.Residuals {
		if x.Chemical == "aid" {
			r = x
		}
	}
	if !heardNear(float64(r.Expected.V), 0.02) { // half way from 0.01 to 0.03
		t.Errorf("%+v", r)
	}
}

// TestBenchAge: other water, another season and a test of a year ago are cautions; a
// test of the same water of this month is none.
func TestBenchAge(t *testing.T) {
	day := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	for _, x := range []struct {
		date, today string
		change      func(site.Values)
		codes       string
		says        string
	}{
		{"2026-03-02", "2026-03-05", nil, "", ""},
		{"2026-03-02", "2026-06-01", nil, "", ""},
		{"2026-03-02", "2026-06-02", nil, "bench-other-season", "alum: the jar test is of 2026-03-02, and 2026-06-02 is another season"},
		{"2026-03-02", "2027-03-02", nil, "bench-other-season", ""},
		{"2026-03-02", "2027-03-03", nil, "bench-old", "of 2026-03-02, 366 days before 2027-03-03"},
		{"2026-03-02", "2026-03-01", nil, "", ""},
		{"last week", "2027-03-03", nil, "", ""},
		{"", "2027-03-03", nil, "", ""},
		{"", "2027-03-03", func(v site.Values) { v["Water"][0]["turbidity"] = "101 NTU" }, "bench-other-water", "turbidity 50 NTU there and 101 NTU here; what was read in it, residual aluminium, is not counted"},
		{"", "2027-03-03", func(v site.Values) { v["Water"][0]["turbidity"] = "99 NTU" }, "", ""},
		{"", "2027-03-03", func(v site.Values) { v["Water"][0]["pH"], v["Water"][0]["alkalinity"] = "6.8", "40 mg/L CaCO3" }, "bench-other-water",
			"pH 7.4 there and 6.8 here, alkalinity 80"},
		// The site's own day goes before the clock's.
		{"2026-03-02", "2030-01-01", func(v site.Values) { v["Place"][0]["date"] = "2026-03-02" }, "", ""},
		{"2026-03-02", "2026-03-05", func(v site.Values) { v["Place"][0]["date"] = "2027-03-03" }, "bench-old", "366 days before 2027-03-03"},
	} {
		s, r := heardSite(t, func(v site.Values) {
			v["Place"][0]["example values"] = "no"
			delete(v["Place"][0], "date")
			if x.change != nil {
				x.change(v)
			}
		})
		b := bench
		b.Meta = []jartest.Fact{{Name: "date", Value: x.date}}
		r.Feeds[0].Jars = JarsOf(b, 0, note.Place{Cell: "H9"})
		second := r.Feeds[0] // another chemical of the same test: told once
		second.Name = "polymer"
		got := BenchAge([]FeedInput{r.Feeds[0], second}, s, day(x.today))
		var codes []string
		for _, n := range got {
			codes = append(codes, n.Code)
			if !strings.Contains(n.Message, x.says) || n.Level != note.Caution || n.Cell != "H9" {
				t.Errorf("%s on %s: %s", x.date, x.today, n.Error())
			}
		}
		if strings.Join(codes, " ") != x.codes {
			t.Errorf("%s on %s: %v, want %s", x.date, x.today, got, x.codes)
		}
	}
	for text, want := range map[string]string{"2026-03-02": "2026-03-02", "2026/3/2": "2026-03-02", "2026-03-02 07:30": "2026-03-02", "2026-03-02T07:30:00": "2026-03-02",
		"2 March 2026": "2026-03-02", "17.3.2026": "2026-03-17", "3/17/2026": "2026-03-17", "17/3/2026": "2026-03-17", "3/4/2026": "", "3.4.2026": "2026-04-03", "Tuesday": "", "": ""} {
		got := ""
		if d, ok := civilDay(text); ok {
			got = d.Format("2006-01-02")
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestJarsTellOfTheOtherDose: jars with an alkali tell of a plan with it at a dose within a
// fifth of theirs, under any name of the product; else they do not, and it is said why.
func TestJarsTellOfTheOtherDose(t *testing.T) {
	soda, err := products.Find("soda-ash")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		column string
		had    quantity.Concentration
		plan   quantity.Concentration
		why    string
	}{
		{"soda", 10, 10, ""}, {"soda", 10, 11.9, ""}, {"soda", 10, 8.1, ""}, {"soda-ash", 10, 10, ""}, {" Soda ", 10, 10, ""},
		{"soda", 10, 12.1, "the jars had 10 mg/L of soda, not what is planned"}, {"soda", 10, 7.9, "the jars had 10 mg/L of soda, not what is planned"},
		{"soda", 0, 10, "no jar had soda"}, {"lime", 10, 10, "no jar had soda"},
	} {
		jars := bench
		jars.Chemicals = append(bench.Chemicals[:1:1], jartest.Chemical{Name: x.column, Basis: quantity.AsNa2CO3})
		jars.Jars = nil
		for _, j := range bench.Jars {
			j.Doses = append(j.Doses[:1:1], jartest.JarDose{Concentration: x.had, Known: true})
			jars.Jars = append(jars.Jars, j)
		}
		f := FeedInput{Name: "alum", Jars: &Jars{Series: jars}}
		o := FeedInput{Name: "soda", Dose: quantity.Dose{Concentration: x.plan, Basis: quantity.AsNa2CO3}, Stock: Stock{Product: soda}}
		if got := f.untold([]FeedInput{f, o}); got != x.why {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

// TestWhatStaysInOtherWater: what the jars read of the metal counts where their water is the site's; read in other water it is set
// aside, said so, and counts in no check.
func TestWhatStaysInOtherWater(t *testing.T) {
	for turbidity, says := range map[string]string{"50 NTU": "", "101 NTU": "measured in other water (turbidity 50 NTU there and 101 NTU here), not counted"} {
		s, r := heardSite(t, func(v site.Values) {
			v["Water"][0]["turbidity"] = turbidity
			delete(v["Water"][0], "residual aluminium")
		})
		h, ok := r.Feeds[0].Heard(s, r.Feeds[0].Dose, r.Feeds)
		if !ok {
			t.Fatal("the jars say nothing")
		}
		read := 0
		for _, x := range h.Readings {
			want := ""
			if x.Key == jartest.ResidualAl {
				read, want = read+1, says
			}
			if got := x.SetAside.String(); got != want {
				t.Errorf("%s, %s: %q, want %q", turbidity, x.Key, got, want)
			}
		}
		if counted := r.situation(site.UsualWater).Water.ResidualAl; read != 1 || counted.OK != (says == "") {
			t.Errorf("%s: %d readings, counted %v", turbidity, read, counted)
		}
	}
}
