package water

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// balanced is a water whose every charge and every atom is counted: a bisection on the pH at which the ions
// of raw water (a strong base as much as its alkalinity), those of the coagulant (a strong acid), carbonate and
// the metal's own add up to nothing. Carbonic acid: Plummer and Busenberg 1982; water: 4470.99/T - 6.0875 + 0.01706 T; ions of
// the metals: phreeqc.dat (Nordstrom et al. 1990), those of aluminium with a read heat and second step, the others from memory.
// Activities: Davies at the ionic strength given, 0.5085 at 25 C by the permittivity of Malmberg and Maryott 1956.
type balanced struct {
	k1, k2, kw, gamma float64
	ks, b1, b2, b4    float64 // of [M+3], [MOH+2], [M(OH)2+], [M(OH)4-], mol/L and [H]
}

func balance(celsius, strength, logKs, heat float64, iron bool) balanced {
	t := celsius + 273.15
	lg := math.Log10(t)
	vantHoff := func(at25, kcal float64) float64 { return at25 - kcal*1000/(4.5756)*(1/t-1/298.15) } // ln 10 x 1.98720 cal
	eps := 87.740 - 0.40008*celsius + 9.398e-4*celsius*celsius - 1.410e-6*celsius*celsius*celsius
	root := math.Sqrt(strength)
	g := math.Pow(10, -1.82e6*math.Pow(eps*t, -1.5)*(root/(1+root)-0.3*strength))
	p := func(x float64) float64 { return math.Pow(10, x) }
	b := balanced{gamma: g,
		k1: p(-356.3094-0.06091964*t+21834.37/t+126.8339*lg-1684915/(t*t)) / (g * g),
		k2: p(-107.8871-0.03252849*t+5151.79/t+38.92561*lg-563713.9/(t*t)) / math.Pow(g, 4),
		kw: p(6.0875-4470.99/t-0.01706*t) / (g * g)}
	g2, g3 := math.Pow(g, 4), math.Pow(g, 9)
	ks := vantHoff(logKs, heat)
	if iron {
		b.ks, b.b1, b.b2 = p(ks)*math.Pow(g, 3)/g3, p(ks+vantHoff(-2.19, 10.4))*g*g/g2, p(ks+vantHoff(-5.67, 17.1))
		return b
	}
	b.ks, b.b1, b.b2 = p(ks)*math.Pow(g, 3)/g3, p(ks+vantHoff(-5.0, 11.49))*g*g/g2, p(ks+vantHoff(-10.1, 26.90))
	b.b4 = p(ks+51.578-11168.9/t-14.865*lg) / (g * g)
	return b
}

// sum is the charge at a pH of water with so much total carbonate, base less acid (eq/L) and metal (mol/L), and what of
// the metal is dissolved.
func (b balanced) sum(ph, carbonate, base, metal float64) (charge, dissolved float64) {
	h := math.Pow(10, -ph) / b.gamma
	species := [4]float64{b.ks * h * h * h, b.b1 * h * h, b.b2 * h, b.b4 / h}
	share := 1.0
	if dissolved = species[0] + species[1] + species[2] + species[3]; dissolved > metal { // no floc
		share, dissolved = metal/dissolved, metal
	}
	d := h*h + b.k1*h + b.k1*b.k2
	charge = base + h - b.kw/h - carbonate*(b.k1*h+2*b.k1*b.k2)/d + share*(3*species[0]+2*species[1]+species[2]-species[3])
	return charge, dissolved
}

// at is the pH at which it is nothing: alkalinity of the raw water and acid of the coagulant in eq/L, metal in mol/L.
func (b balanced) at(rawPH, alkalinity, acid, metal float64) (ph, dissolved float64) {
	without, _ := b.sum(rawPH, 0, alkalinity, 0)
	one, _ := b.sum(rawPH, 1, alkalinity, 0)
	carbonate := without / (without - one)
	lo, hi := 1.0, 12.0
	for range 200 {
		ph = (lo + hi) / 2
		charge, m := b.sum(ph, carbonate, alkalinity-acid, metal)
		if dissolved = m; charge > 0 {
			lo = ph
		} else {
			hi = ph
		}
	}
	return ph, dissolved
}

// acidCase is a raw water whose coagulant outruns its alkalinity, and what comes of it with fresh floc and with the least soluble.
type acidCase struct {
	salt                                        string
	temp, raw, alkalinity, dose                 float64
	fresh, dissolved, crystal, dissolvedCrystal float64
}

// TestAcidSideBalances: alum 14-hydrate (2 mol Al and 6 eq in 594.34 g) and ferric chloride (1 mol and 3 eq in 162.2 g) against the
// balance above. What the table wants was worked out apart from this program, of alum by another hand (Plummer and Busenberg 1982,
// phreeqc.dat, ionic strength 0.002, activity of carbonate alone, 10.8 and 8.5), hence 0.06 pH and a sixth of what is dissolved; of iron
// by the balance above.
func TestAcidSideBalances(t *testing.T) {
	const alum, ferric = "alum", "ferric"
	for _, c := range []acidCase{
		{alum, 20, 7.0, 40, 150, 4.98, 8.59, 4.18, 6.08},
		{alum, 27, 7.3, 50, 105.4, 5.16, 2.02, 4.44, 0.42},
		{alum, 28, 5.9, 5, 11.88, 5.36, 0.96, 4.70, 0.09},
		{ferric, 20, 7.0, 40, 60, 3.64, 2.71, 3.53, 0.053},
		{ferric, 10, 7.2, 60, 150, 3.05, 16.8, 2.83, 0.68},
	} {
		at := Conditions{Temperature: quantity.Temperature(c.temp), Conductivity: 100}
		raw, err := FromPHAlkalinity(at, quantity.PH(c.raw), quantity.Alkalinity(c.alkalinity))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range []struct {
			floc                  Floc
			alKs, alHeat, feKs    float64
			wantPH, wantDissolved float64
		}{{Fresh, 10.8, -26.5, 4.891, c.fresh, c.dissolved}, {Crystal, 8.5, -22.8, 3, c.crystal, c.dissolvedCrystal}} {
			raw.Floc = f.floc
			meq, metal, b, atomic := c.dose*alum14Meq, c.dose*2/594.34, balance(c.temp, 0.0016, f.alKs, f.alHeat, false), 26982.0
			add := Addition{Aluminium: quantity.Molarity(metal)}
			if c.salt == ferric {
				meq, metal, b, atomic = c.dose*fecl3Meq, c.dose/162.2, balance(c.temp, 0.0016, f.feKs, 0, true), 55845
				add = Addition{Iron: quantity.Molarity(metal)}
			}
			add.Acid = quantity.Alkalinity(meq * caco3PerMeq)
			closed, open := Dose(raw, add)
			got := float64(closed.DissolvedAluminium() + closed.DissolvedIron())
			ph, dissolved := b.at(c.raw, c.alkalinity/50043.5, meq/1000, metal/1000)
			if math.Abs(float64(closed.PH)-ph) > 0.003 || math.Abs(got/(dissolved*atomic)-1) > 0.01 {
				t.Errorf("%+v, floc %d: pH %.4f and %.4f mg/L dissolved, by the balance of all charges %.4f and %.4f",
					c, f.floc, closed.PH, got, ph, dissolved*atomic)
			}
			if math.Abs(float64(closed.PH)-f.wantPH) > 0.06 || math.Abs(got/f.wantDissolved-1) > 1.0/6 {
				t.Errorf("%+v, floc %d: pH %.3f and %.3f mg/L dissolved, want %.2f and %.3g", c, f.floc, closed.PH, got, f.wantPH, f.wantDissolved)
			}
			// Once aerated what was dissolved is there still, or is floc again; a litre is up to 0.2 % off a kilogram.
			all := float64(open.Aluminium+open.Iron) / 1000
			charge, left := b.sum(float64(open.PH), float64(open.Carbonate)/1000, (c.alkalinity-meq*50.0435)/50043.5, all)
			whole := open.PH < acidBelow // above it the ions are counted in part
			if whole && math.Abs(charge) > 0.002*meq/1000 || left > all*(1+1e-9) || math.Abs(all*atomic/got-1) > 0.02 {
				t.Errorf("%+v, floc %d: aerated to pH %.3f a charge of %g eq/L, %g mg/L of metal", c, f.floc, open.PH, charge, all*atomic)
			}
		}
	}
}

// anyDosed draws a soft to hard inland water with a salt of aluminium or of iron, three equivalents a mole.
func anyDosed(t *rapid.T) (State, func(meq float64) Addition) {
	c := Conditions{Temperature: quantity.Temperature(rapid.Float64Range(0, 30).Draw(t, "temperature")),
		Conductivity: quantity.Conductance(rapid.Float64Range(0, 1500).Draw(t, "conductivity")),
		Floc:         Floc(rapid.IntRange(0, 2).Draw(t, "floc"))}
	ph, alkalinity := rapid.Float64Range(6.2, 8).Draw(t, "ph"), rapid.Float64Range(2, 200).Draw(t, "alkalinity")
	s, err := FromPHAlkalinity(c, quantity.PH(ph), quantity.Alkalinity(alkalinity))
	if err != nil {
		t.Fatal(err)
	}
	iron := rapid.Bool().Draw(t, "iron")
	return s, func(meq float64) Addition {
		a := Addition{Acid: quantity.Alkalinity(meq * caco3PerMeq), Aluminium: quantity.Molarity(meq / 3)}
		if iron {
			a.Aluminium, a.Iron = 0, a.Aluminium
		}
		return a
	}
}

// TestPHFallsEvenlyThroughTheEndOfTheAlkalinity: more of a salt never raises the pH, and a little more moves it no further than
// water alone would let so much acid: 2.3 (H + OH), at the least 2.3 x 2 x 10^-7.7 eq/L to a unit of pH (pKw 14.95 at 0 C, so 10^-7.48).
func TestPHFallsEvenlyThroughTheEndOfTheAlkalinity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, salt := anyDosed(t)
		meq := float64(s.Alkalinity) / caco3PerMeq * rapid.Float64Range(0.5, 3).Draw(t, "of the alkalinity")
		more := meq * rapid.Float64Range(1e-7, 1e-3).Draw(t, "more")
		one, _ := Dose(s, salt(meq))
		two, _ := Dose(s, salt(meq+more))
		fell := float64(one.PH - two.PH)
		if most := more / 1000 / (2.3 * 2 * math.Pow(10, -7.7)); fell < -1e-12 || fell > most+1e-12 {
			t.Fatalf("%g meq/L gives pH %v, %g more %v; at most %g lower", meq, one.PH, more, two.PH, most)
		}
	})
}

// TestAboveSixIonsCountForNothing: where the pH ends above 6 it is that of floc and aluminate alone, and
// the balance of all charges, which has the ions there too, lies within what is told of it.
func TestAboveSixIonsCountForNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, salt := anyDosed(t)
		s.Floc = Fresh
		add := salt(float64(s.Alkalinity) / caco3PerMeq * rapid.Float64Range(0, 1).Draw(t, "of the alkalinity"))
		closed, open := Dose(s, add)
		if closed.PH < 6 {
			return
		}
		k := ConstantsAt(s.Conditions)
		ct, kg := float64(s.Carbonate)/1000/k.Density, k.perKg(s.Alkalinity-add.Acid)
		h := bisect(func(h float64) float64 {
			return k.alkalinity(h, ct) + min(float64(add.Aluminium)/1000/k.Density, k.aluminium.base/h) - kg
		})
		if d := math.Abs(float64(closed.PH - k.ph(h))); d > 1e-6 || open.Aluminium+open.Iron != 0 {
			t.Fatalf("pH %v, as floc and aluminate %v; aerated it holds %v and %v", closed.PH, k.ph(h), open.Aluminium, open.Iron)
		}
		b := balance(float64(s.Temperature), 1.6e-5*float64(s.Conductivity), 10.8, -26.5, false)
		if add.Iron > 0 {
			b = balance(float64(s.Temperature), 1.6e-5*float64(s.Conductivity), 4.891, 0, true)
		}
		full, _ := b.at(float64(s.PH), float64(s.Alkalinity)/50043.5, float64(add.Acid)/50043.5, float64(add.Aluminium+add.Iron)/1000)
		most := SpreadOf(s, add)
		const sets = 0.02 // what the two sets of carbonate constants part
		if full > float64(closed.PH+most.Most(closed))+sets || math.Abs(full-float64(closed.PH+most.Ions)) > sets {
			t.Fatalf("pH %v good to %v, %v of it by ions; by the balance of all charges %.3f", closed.PH, most.Most(closed), most.Ions, full)
		}
	})
}

// TestSpreadOfAcidWater: the first water of TestAcidSideBalances, whose pH the least soluble floc takes 0.80 lower by another hand;
// and an ordinary one (pH 6.65 as worked out apart from this program without dissolved metal), which is good to 0.1.
func TestSpreadOfAcidWater(t *testing.T) {
	for _, c := range []struct{ temp, raw, alkalinity, alum, most, aged float64 }{
		{20, 7.0, 40, 150, 0.80, 4.18},
		{15, 7.8, 60, 40, 0.1, 6.65},
	} {
		at := Conditions{Temperature: quantity.Temperature(c.temp)}.WithIonicStrengthOf(quantity.Alkalinity(c.alkalinity))
		raw, err := FromPHAlkalinity(at, quantity.PH(c.raw), quantity.Alkalinity(c.alkalinity))
		if err != nil {
			t.Fatal(err)
		}
		add := Addition{Acid: quantity.Alkalinity(c.alum * alum14Meq * caco3PerMeq), Aluminium: quantity.Molarity(c.alum * 2 / 594.34)}
		closed, _ := Dose(raw, add)
		x := SpreadOf(raw, add)
		if got := float64(x.Most(closed)); math.Abs(got-c.most) > 0.03 || math.Abs(float64(x.Aged.PH)-c.aged) > 0.06 {
			t.Errorf("%+v: pH %v good to %v, once aged %v", c, closed.PH, got, x.Aged.PH)
		}
	}
}
