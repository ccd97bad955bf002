package dosing

import (
	"jarwright/dosing/settler"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// SettlerDay is how a settler stands up to the day.
type SettlerDay struct {
	Unit settler.Unit
	// At is the settler at the least, average and peak flow.
	At []settler.State
	// Jars are the readings at several settling times of the jars that the first chemical was tried in; nil
	// where there are none. Targets are what they have to meet.
	Jars    *Settling
	Targets []jartest.Target
}

// SettlerOf gives the settler of a site that takes a peak flow; false where it has a flotation unit, or nothing is
// known of it.
func SettlerOf(s site.Site, peak quantity.Flow) (settler.Unit, bool) {
	u := settler.Unit{Area: s.Solids.Surface, Depth: s.Solids.Depth, Weir: s.Solids.Weir, Tubes: s.Solids.HighRate.V}
	return u.Kept(peak), !Floats(s) && u.Told()
}

// Settles is what the jars say of the settler at a flow: what they read at its loading, and at the loadings that
// allow for a real settler, the bold one and the safe one, as far as they were tested.
type Settles struct {
	When           string
	Loading        quantity.Loading
	Jar, Low, High quantity.Known[float64]
}

// Expected is that at the average and the peak flow.
func (d SettlerDay) Expected() (out []Settles) {
	if d.Jars == nil || !d.Jars.Depth.OK {
		return nil
	}
	known := func(rate quantity.Loading) quantity.Known[float64] {
		v, ok := d.Jars.Curve.At(rate)
		return quantity.Known[float64]{V: v, OK: ok}
	}
	for i, when := range [...]string{"average", "peak"} {
		s := d.At[1+i]
		if i == 1 && s.Flow == d.At[1].Flow || !s.Loading.OK {
			continue
		}
		if d.At[0].Flow == d.At[2].Flow {
			when = "always"
		}
		x := Settles{When: when, Loading: s.Loading.V, Jar: known(s.Loading.V)}
		x.Low, x.High = known(s.Loading.V*settler.LeastSafety), known(s.Loading.V*settler.MostSafety)
		out = append(out, x)
	}
	return out
}

// settling works out the settler's day.
func (o *UnitDay) settling(p Plan, s site.Site) {
	u, ok := SettlerOf(s, p.Day.Peak())
	if !ok || p.Day.Average() <= 0 {
		return
	}
	d := &SettlerDay{Unit: u}
	for _, q := range [...]quantity.Flow{p.Day.Least(), p.Day.Average(), p.Day.Peak()} {
		d.At = append(d.At, u.At(q))
	}
	d.heard(p, s.Solids.JarDepth)
	o.Settler = d
	faults := u.Faults(p.Day.Peak())
	if n, over := d.overload(); over {
		o.First.Add(n.At(s.Solids.Surface.At))
		faults = without(faults, "settler-loading", "settler-stay") // the same danger, by rules of thumb
	}
	o.Notes.Add(at(faults, s.Solids.Surface.At)...)
}

// heard takes what the jars read at several settling times at the planned doses, drawn as deep as their sheet says, else
// the site. Between tubes the rate of a jar is not that of the surface.
func (d *SettlerDay) heard(p Plan, depth quantity.Known[quantity.Length]) {
	var others []FeedInput
	for _, f := range p.Feeds {
		others = append(others, f.FeedInput)
	}
	for _, f := range p.Feeds {
		dose, ok := f.inJars(f.Dose)
		if !ok || d.Jars != nil || d.Unit.Tubes {
			continue
		}
		for _, key := range settledKeys(f.Jars.Targets) {
			read := func(k jartest.Key) (JarReading, bool) { return f.reading(k, dose.Concentration, others) }
			jars := *f.Jars
			if own := &jars.Series.Protocol.Depth; !own.OK {
				*own = depth
			}
			if d.Jars = settlingOf(&jars, key, dose.Concentration, read); d.Jars != nil {
				d.Targets = f.Jars.Targets
				break
			}
		}
	}
}

// settledKeys are the readings that a settler is told by: those of the targets, else turbidity.
func settledKeys(targets []jartest.Target) (out []jartest.Key) {
	for _, t := range targets {
		out = append(out, t.Key.Base())
	}
	return append(out, jartest.Turbidity)
}

// Settling is what the jars read at several settling times at a dose.
type Settling struct {
	Key  jartest.Key
	Dose quantity.Concentration
	// Depth is where the samples were drawn; without it no time stands for a rate.
	Depth quantity.Known[quantity.Length]
	// Raw is the raw water's reading.
	Raw quantity.Known[float64]
	// Between are the jars beside the dose; the same where it is a jar's own.
	Between [2]string
	Curve   settler.Curve
}

// Limit is how a settler may be loaded for the reading to meet the targets; false where none bounds it above, or
// the depth is not known.
func (s Settling) Limit(targets []jartest.Target) (settler.Limit, bool) {
	for _, g := range targets {
		if s.Depth.OK && g.Key.Base() == s.Key && g.Kind == jartest.Absolute && !g.AtLeast {
			return s.Curve.Limit(g.Value)
		}
	}
	return settler.Limit{}, false
}

// SettlingOf gives the readings of a kind at several settling times at a dose of the only chemical that the jars
// vary; nil where the jars were read at one time only.
func SettlingOf(j *Jars, key jartest.Key, d quantity.Concentration) *Settling {
	return settlingOf(j, key, d, func(k jartest.Key) (JarReading, bool) { return j.Reading(k, d) })
}

func settlingOf(j *Jars, key jartest.Key, d quantity.Concentration, reading func(jartest.Key) (JarReading, bool)) *Settling {
	if j == nil {
		return nil
	}
	key = key.Base()
	out := &Settling{Key: key, Dose: d, Depth: j.Series.Protocol.Depth}
	if raw := j.Series.Raw[key]; raw.State == jartest.Number {
		out.Raw = quantity.Some(raw.Value)
	}
	var points []settler.Point
	for _, k := range j.Series.Keys() {
		if k.Base() != key {
			continue
		}
		minutes, ok := timeOf(j.Series, k)
		r, read := reading(k)
		if !ok || !read {
			continue
		}
		points = append(points, settler.Point{Time: quantity.Time(minutes / 60), Reading: r.V, Below: r.Below})
		out.Between = r.Between
	}
	if len(points) < 2 {
		return nil
	}
	out.Curve = settler.NewCurve(out.Depth.Or(1), points)
	return out
}

// timeOf is the settling time of a key, where all its jars have one.
func timeOf(s jartest.Series, k jartest.Key) (minutes float64, ok bool) {
	for _, j := range s.Jars {
		r, there := j.Readings.Get(k)
		if !there || r.State == jartest.Missing {
			continue
		}
		if r.Minutes <= 0 || ok && r.Minutes != minutes {
			return 0, false
		}
		minutes, ok = r.Minutes, true
	}
	return minutes, ok
}
