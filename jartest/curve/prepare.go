package curve

import (
	"fmt"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/observed"
	"jarwright/jartest/quantity"
)

// prepared is one reading of a series, ready to be fitted against the dose.
type prepared struct {
	observed.Reading
	jars []JarUse
	dmax float64
}

// factorOf finds what was varied: the index of the chemical, or -1 and a setting.
func factorOf(s jartest.Series) (chem int, setting string, others []int) {
	f := s.Factors()
	if len(f) > 1 {
		if t := treated(s).Factors(); len(t) > 0 {
			f = t
		}
	}
	if len(f) > 0 {
		return f[0], "", f[1:]
	}
	if v := settingValues(s); len(v) > 1 {
		return -1, "ph", nil
	}
	if len(s.Chemicals) > 0 {
		return 0, "", nil
	}
	return -1, "", nil
}

// treated is the series without the jars that got none of any chemical: a blank
// beside a scan of polymer at one dose of alum does not make alum what was varied.
func treated(s jartest.Series) jartest.Series {
	var jars []jartest.Jar
	for _, j := range s.Jars {
		if slices.ContainsFunc(j.Doses, func(d jartest.JarDose) bool { return !d.Known || d.Concentration > 0 }) {
			jars = append(jars, j)
		}
	}
	s.Jars = jars
	return s
}

// settingValues gives the different pH values at which the jars stood.
func settingValues(s jartest.Series) map[float64]bool {
	out := map[float64]bool{}
	for _, j := range s.Jars {
		if v, ok := jarPH(j); ok {
			out[v] = true
		}
	}
	return out
}

// jarPH is the pH that a jar was set to, or else was read.
func jarPH(j jartest.Jar) (float64, bool) {
	for _, k := range [...]string{"ph_target", "ph"} {
		if v, ok := j.Settings[k]; ok {
			return v, true
		}
	}
	if r, ok := j.Readings.Get(jartest.PH); ok && r.State == jartest.Number {
		return r.Value, true
	}
	return 0, false
}

// column is the factor's values, jar by jar.
type column struct {
	ph    bool // the values are pH
	value []float64
	ok    []bool
	why   []string
}

// ends are the lowest value among the jars used, and how far they go from there.
func (c column) ends() (lowest, span float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range c.value {
		if c.ok[i] {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	return low, high - low
}

func factorColumn(s jartest.Series, chem int, setting string) (column, note.List) {
	var notes note.List
	n := len(s.Jars)
	c := column{setting != "", make([]float64, n), make([]bool, n), make([]string, n)}
	usual := usualDoses(s, chem)
	odd := 0
	for i, j := range s.Jars {
		if setting != "" {
			c.value[i], c.ok[i] = jarPH(j)
			if !c.ok[i] {
				c.why[i] = "no pH"
			}
			continue
		}
		if chem < 0 || chem >= len(j.Doses) || !j.Doses[chem].Known {
			c.why[i] = "dose not known"
			continue
		}
		c.value[i], c.ok[i] = float64(j.Doses[chem].Concentration), true
		for k, d := range j.Doses {
			if k != chem && d.Known && float64(d.Concentration) != usual[k] {
				c.ok[i], c.why[i] = false, fmt.Sprintf("%s differs from the other jars", s.Chemicals[k].Name)
				odd++
				break
			}
		}
	}
	if odd > 0 {
		notes.Add(note.New(note.Caution, "co-dose-differs", "%d jar(s) got another dose of a second chemical than the rest and were left out", odd).
			Do("a jar without either chemical is not the zero point of one of them; run a control with the co-dose in it").At(s.Place))
	}
	return c, notes
}

// beside is what the jars got of chemicals that were not varied: the commonest dose of each.
func beside(s jartest.Series, chem int, setting string) (out []Fixed) {
	if setting != "" {
		chem = -1
	}
	for k, d := range usualDoses(s, chem) {
		if d > 0 {
			out = append(out, Fixed{s.Chemicals[k], quantity.Concentration(d)})
		}
	}
	return out
}

// usualDoses is the commonest dose of each other chemical.
func usualDoses(s jartest.Series, chem int) []float64 {
	out := make([]float64, len(s.Chemicals))
	for k := range s.Chemicals {
		if k == chem {
			continue
		}
		count := map[float64]int{}
		for _, j := range s.Jars {
			if k < len(j.Doses) && j.Doses[k].Known {
				count[float64(j.Doses[k].Concentration)]++
			}
		}
		best := 0
		for v, n := range count {
			if n > best || n == best && v > out[k] {
				best, out[k] = n, v
			}
		}
	}
	return out
}

// prepare turns one reading of the series into observations. wantHigh is true
// where a target asks for "at least".
func prepare(s jartest.Series, key jartest.Key, col column, wantHigh bool, scatter *Scatter) prepared {
	d := observed.Design{Used: col.ok, Why: col.why, PH: col.ph}
	for _, x := range col.value {
		d.At = append(d.At, engine.Point{X: x})
	}
	p := prepared{Reading: observed.Of(s, key, d, wantHigh, scatter)}
	for i, j := range s.Jars {
		r, u := j.Readings.Of(key), p.Uses[i]
		use := JarUse{Label: j.Label, Dose: quantity.Concentration(col.value[i]), State: r.State, At: j.At, Reading: u.Value, Used: u.Used, Why: u.Why}
		if r.At.Cell != "" {
			use.At = r.At
		}
		for _, x := range r.Replicates {
			if x.State == jartest.Number {
				use.Repeats = append(use.Repeats, x.Value)
			}
		}
		p.jars = append(p.jars, use)
	}
	for _, j := range p.Jar {
		p.dmax = math.Max(p.dmax, col.value[j])
	}
	return p
}
