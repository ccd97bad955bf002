package water

import (
	"math"

	"jarwright/jartest/quantity"
)

// Floc is how old the hydroxide of aluminium or iron in a water is, which decides how much of it
// stays dissolved: as aluminate where the pH is high, as ions of the metal where it is low.
type Floc int

const (
	// Fresh floc has just formed: the most that dissolves.
	Fresh Floc = iota
	// Aged floc has begun to crystallise.
	Aged
	// Crystal is as far as floc in acid water goes: the least that dissolves there.
	Crystal
)

// flocs is log K at 25 C of M(OH)3 + 3 H+ = M+3 + 3 H2O, with the heat it takes (kcal/mol), by the age of the floc.
// Aluminium: amorphous and microcrystalline of phreeqc.dat and wateq4f (Nordstrom et al. 1990; 10.8 read, 9.35 from memory), and
// gibbsite as Stumm and Morgan 1996 give it, 8.5 (from memory), near which the least soluble of acid waters lie. Iron:
// amorphous of phreeqc.dat, 4.891, and the least soluble ferrihydrite, 3 (both from memory); their heat is not known and taken as none.
var flocs = [...]struct{ al, alHeat, fe float64 }{
	Fresh:   {10.8, -26.5, 4.891},
	Aged:    {9.35, -24.6, 3},
	Crystal: {8.5, -22.8, 3},
}

// ions are the first and the second step of M+3 + n H2O = M(OH)n + n H+ at 25 C, log K and heat, phreeqc.dat
// (Nordstrom et al. 1990): the second of aluminium read, the others from memory.
var (
	aluminiumIons = [2]reaction{{-5.0, 11.49}, {-10.1, 26.90}}
	ironIons      = [2]reaction{{-2.19, 10.4}, {-5.67, 17.1}}
)

// reaction is a log K at 25 C with the heat it takes, kcal/mol.
type reaction struct{ at25, heat float64 }

// at gives log K by van 't Hoff's rule.
func (r reaction) at(kelvin float64) float64 {
	const gas = 1.98720e-3 // kcal/(mol K)
	return r.at25 + r.heat/(math.Ln10*gas)*(1/298.15-1/kelvin)
}

// metal is what floc of one lets go, mol/kg: of the ion with charge i+1 acid[i] x [H]^(i+1), of that with charge -1 base/[H].
type metal struct {
	acid [3]float64
	base float64
}

// acidIons gives a metal's ions in balance with its floc; activity is -log10 of the coefficient of a singly charged ion, and an
// ion's grows with the square of its charge (Davies).
func acidIons(floc, first, second reaction, kelvin, activity float64) [3]float64 {
	triple := floc.at(kelvin)
	return [3]float64{
		math.Pow(10, triple+second.at(kelvin)),
		math.Pow(10, triple+first.at(kelvin)+2*activity),
		math.Pow(10, triple+6*activity),
	}
}

// aluminiumAt and ironAt are the two metals at a temperature.
func aluminiumAt(f Floc, kelvin, activity float64) metal {
	solid := reaction{flocs[f].al, flocs[f].alHeat}
	// Al+3 + 4 H2O = Al(OH)4- + 4 H+, the analytic form of phreeqc.dat.
	aluminate := 51.578 - 11168.9/kelvin - 14.865*math.Log10(kelvin)
	return metal{acidIons(solid, aluminiumIons[0], aluminiumIons[1], kelvin, activity), math.Pow(10, solid.at(kelvin)+aluminate+2*activity)}
}

func ironAt(f Floc, kelvin, activity float64) metal {
	return metal{acid: acidIons(reaction{at25: flocs[f].fe}, ironIons[0], ironIons[1], kelvin, activity)}
}

// Floc in acid lets its metal go from acidFrom down, and wholly from acidBelow: between the two the ions are counted in part, and
// above not. There they hold 0.2 mg/L of aluminium at the most, and [Spread] tells how much higher the pH may be by them.
const (
	acidFrom  quantity.PH = 6.0
	acidBelow quantity.PH = 5.5
)

// counted is the part of the ions that counts at a pH, a smooth step.
func counted(ph quantity.PH) float64 {
	x := min(max(float64((acidFrom-ph)/(acidFrom-acidBelow)), 0), 1)
	return x * x * (3 - 2*x)
}

// Acidic reports a water so acid that floc dissolves in it as ions of its metal.
func (s State) Acidic() bool { return s.PH < acidFrom }

// solution is what is dissolved of so much of a metal, mol/kg, and its charge, at [H] = h: what floc lets go, and
// no more than there is.
func (m metal) solution(h, share, all float64) (dissolved, charge float64) {
	dissolved, charge = m.base/h, -m.base/h
	for i, c := range m.acid {
		ion := share * c * math.Pow(h, float64(i+1))
		dissolved, charge = dissolved+ion, charge+float64(i+1)*ion
	}
	if dissolved > all {
		return all, charge * all / dissolved
	}
	return dissolved, charge
}

// held are the metals that a water holds, mol/kg, floc and dissolved; whole where their ions count at every pH.
type held struct {
	aluminium, iron float64
	whole           bool
}

// charge of all that is dissolved of the metals at [H] = h, mol/kg.
func (k Constants) charge(h float64, m held) float64 {
	if m.aluminium == 0 && m.iron == 0 {
		return 0
	}
	share := 1.0
	if !m.whole {
		share = counted(k.ph(h))
	}
	_, al := k.aluminium.solution(h, share, m.aluminium)
	_, fe := k.iron.solution(h, share, m.iron)
	return al + fe
}

// DissolvedAluminium is what stays dissolved at the state's pH, as aluminate or as ions of aluminium: no settler,
// float or filter takes it out.
func (s State) DissolvedAluminium() quantity.Concentration {
	k := ConstantsAt(s.Conditions)
	al, _ := k.aluminium.solution(k.h(s.PH), counted(s.PH), k.mol(s.Aluminium))
	return quantity.Concentration(float64(k.molarity(al)) * quantity.AtomicMass["Al"])
}

// DissolvedIron is the same of iron(III).
func (s State) DissolvedIron() quantity.Concentration {
	k := ConstantsAt(s.Conditions)
	fe, _ := k.iron.solution(k.h(s.PH), counted(s.PH), k.mol(s.Iron))
	return quantity.Concentration(float64(k.molarity(fe)) * quantity.AtomicMass["Fe"])
}

// ions are what a water holds of the metals as ions, which acid keeps and no unit takes out.
func (s State) ions(k Constants) held {
	share, h := counted(s.PH), k.h(s.PH)
	of := func(m metal, all quantity.Molarity) float64 {
		m.base = 0
		sum, _ := m.solution(h, share, k.mol(all))
		return sum
	}
	return held{aluminium: of(k.aluminium, s.Aluminium), iron: of(k.iron, s.Iron)}
}

// Spread is what leaves the pH after an addition open, before any gas passes.
type Spread struct {
	// Aged is the water with floc that has aged: in acid as far as it goes.
	Aged State
	// Salts is what salts do to carbonate ([Beside]).
	Salts quantity.PH
	// Ions is how much higher the pH may be by ions of the metal that are not counted, as just above pH 6 in soft water.
	Ions quantity.PH
}

// SpreadOf is that of a water after an addition.
func SpreadOf(s State, a Addition) Spread {
	x := Spread{Salts: Beside(s, a)}
	fresh, with := s.closed(a, false), s.closed(a, true)
	x.Ions = max(0, with.PH-fresh.PH)
	s.Floc = Aged
	if x.Aged = s.closed(a, false); x.Aged.Acidic() {
		s.Floc = Crystal
		x.Aged = s.closed(a, false)
	}
	return x
}

// Above is how far the pH may lie above that of the water with fresh floc, but for uncounted ions: what is judged as
// too low may be so with none of them.
func (x Spread) Above(fresh State) quantity.PH {
	return told(max(Uncertainty, x.Salts, x.Aged.PH-fresh.PH))
}

// Most is how far the pH of a water with fresh floc is good, on either side.
func (x Spread) Most(fresh State) quantity.PH {
	return told(max(x.Above(fresh), fresh.PH-x.Aged.PH, x.Ions))
}

// told is a doubt as it is printed, by which it is judged too.
func told(d quantity.PH) quantity.PH { return quantity.PH(quantity.RoundSig(float64(d), 2)) }
