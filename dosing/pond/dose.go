package pond

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Dose is a dose as it is told for a pond and not for its water: so much for the pond, for an area of
// it, or of a liquid for so much water.
type Dose struct {
	// Mass is what is given, or Liquid of a liquid product.
	Mass   quantity.Mass
	Liquid quantity.Volume
	// Measures is how many scoops or buckets are given instead, of which only a site knows what one holds, Measure which.
	Measures float64
	Measure  string
	// Area or Water is what it is given to; the whole pond where neither is set.
	Area  quantity.Area
	Water quantity.Volume
	// Basis is what it counts, where it says so.
	Basis quantity.Basis
	Said  string
}

// wholes are the words for all of the water.
var wholes = []string{"pond", "tank", "pool", "vat", "raceway"}

var measures = regexp.MustCompile(`^([\d.]+) *(?:level )?(scoop|bucket)s?$`)

// DoseForms are the forms in which a dose may be told for a pond, as a remedy lists them.
const DoseForms = `"25 g/m3", "25 g/t", "20 kg per pond", "300 kg/ha", "5 mL per 10 L bucket", "2 scoops per pond" or "2 buckets per pond"`

// ParseDose reads such a dose: "20 kg per pond", "300 kg/ha", "2 mL/m3", "5 mL per 10 L bucket", "2 scoops per pond".
func ParseDose(text string) (Dose, error) {
	d := Dose{Said: strings.TrimSpace(text)}
	said, err := plain(d.Said)
	if err != nil {
		return d, err
	}
	if i := strings.Index(strings.ToLower(said), " as "); i >= 0 {
		b, err := quantity.ParseBasis(said[i+1:])
		if err != nil {
			return d, err
		}
		d.Basis, said, d.Said = b, said[:i], strings.TrimSpace(said[:i])
	}
	given, to, ok := strings.Cut(strings.ReplaceAll(strings.ToLower(said), " per ", "/"), "/")
	mass, liquid := read(quantity.Parse[quantity.Mass], given, ""), read(quantity.Parse[quantity.Volume], given, "")
	if m := measures.FindStringSubmatch(strings.TrimSpace(given)); m != nil {
		d.Measures, _ = strconv.ParseFloat(m[1], 64)
		d.Measure = m[2]
	}
	if !ok || !mass.OK && !liquid.OK && d.Measures <= 0 {
		return d, note.Fault("bad-dose", "%q is not a dose", text).Do("write it like %s", DoseForms)
	}
	d.Mass, d.Liquid = mass.V, liquid.V
	bucket := strings.Contains(to, "bucket")
	to = strings.TrimSpace(strings.NewReplacer("buckets", "", "bucket", "", " of ", "").Replace(to))
	if slices.Contains(wholes, to) {
		return d, nil
	}
	if bucket && to == "" {
		return d, note.Fault("bucket-size", "%q does not say how much water the bucket holds", text).Do(`write it like "5 mL per 10 L bucket"`)
	}
	if unitOf(to) == to { // of one of it
		to = "1 " + to
	}
	area, water := read(quantity.Parse[quantity.Area], to, ""), read(quantity.Parse[quantity.Volume], to, "")
	if d.Area, d.Water = area.V, water.V; !area.OK && !water.OK {
		return d, note.Fault("bad-dose", "%q is not a dose: %q is neither a pond, an area nor water", text, to).
			Do("write it like %s", DoseForms)
	}
	return d, nil
}

// Weighed is the dose with its scoops or buckets as the mass of that many; the fault of one that nobody weighed.
func (d Dose) Weighed(scoop, bucket quantity.Known[quantity.Mass]) (Dose, error) {
	if d.Measures <= 0 {
		return d, nil
	}
	one := map[string]quantity.Known[quantity.Mass]{"scoop": scoop, "bucket": bucket}[d.Measure]
	if !one.OK || one.V <= 0 {
		return d, note.Fault("measure-missing", "%q counts %ss, and what a %s holds is not known", d.Said, d.Measure, d.Measure).
			Do("weigh one, and give it as the %s of the chemical, such as 250 g", d.Measure)
	}
	d.Mass = quantity.Mass(d.Measures) * one.V
	return d, nil
}

// In is the dose in water of a pond, counted as what is given of it. A liquid needs its density; what is told for
// an area needs the surface, and none of both may be missing.
func (d Dose) In(v quantity.Volume, surface quantity.Known[quantity.Area], density quantity.Density) (quantity.Concentration, error) {
	kg := d.Mass
	if d.Liquid > 0 {
		if density <= 0 {
			return 0, note.Fault("density-missing", "%q is a volume of product, and its density is not known", d.Said).Do("give the density in the site under Chemicals, or the mass")
		}
		kg = quantity.Mass(float64(d.Liquid) * float64(density))
	}
	switch {
	case d.Water > 0:
		v = d.Water
	case d.Area > 0 && !surface.OK:
		return 0, note.Fault("depth-missing", "%q is told for an area, and neither the surface nor the depth of the water is known", d.Said).
			Do(`give the pond's surface and depth, such as "5000 m2 x 1.2 m", or the dose in g/m3`)
	case d.Area > 0:
		kg *= quantity.Mass(surface.V / d.Area)
	}
	return quantity.Concentration(float64(kg) * 1e6 / float64(v)), nil
}
