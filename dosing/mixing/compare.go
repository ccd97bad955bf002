package mixing

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Duty is what a stage of mixing is for.
type Duty int

const (
	// Rapid mixing spreads the chemical.
	Rapid Duty = iota
	// Floc grows flocs for a settler.
	Floc
	// FlotationFloc grows the small flocs that bubbles can lift.
	FlotationFloc
)

// String names the duty.
func (d Duty) String() string {
	return [...]string{"rapid mix", "flocculation", "flocculation before flotation"}[d]
}

// Band is the range of G and of time usual for a duty, with its source.
type Band struct {
	LowG, HighG       quantity.Gradient
	LowTime, HighTime quantity.Time
	Source            string
}

// Usual gives the band for a duty.
func (d Duty) Usual() Band {
	switch d {
	case Rapid:
		return Band{300, 1000, 1.0 / 3600, 30.0 / 3600, "common practice, no source"}
	case FlotationFloc:
		return Band{10, 150, 5.0 / 60, 15.0 / 60, "Hendricks 2011, Fundamentals of Water Treatment Unit Processes, table 8.4"}
	default:
		return Band{20, 80, 10.0 / 60, 30.0 / 60, "common practice, no source"}
	}
}

// Stage is one stage of mixing, on the bench or in the plant.
type Stage struct {
	Duty Duty
	G    quantity.Gradient
	Stay quantity.Time
}

// Gt gives the stage's G times its time.
func (s Stage) Gt() float64 { return Product(s.G, s.Stay) }

// Match sets one bench stage beside its plant stage.
type Match struct {
	Bench, Plant Stage
	// RatioG and RatioGt are plant over bench.
	RatioG, RatioGt float64
	Notes           note.List
}

// Compare tells whether the jar was mixed like the plant. A factor of two either
// way in Gt is taken as alike (common practice, no source). derived says that
// the bench G comes from the built-in table.
func Compare(bench, plant Stage, derived bool) Match {
	m := Match{Bench: bench, Plant: plant, RatioG: float64(plant.G / bench.G), RatioGt: plant.Gt() / bench.Gt()}
	how := ""
	if derived {
		how = " (bench G from a derived table, good to about ±15 %)"
	}
	two := func(v float64) quantity.Rounded { return quantity.Full(quantity.Number(v), 2) }
	against := note.Say("(Gt %s against %s)%s", two(plant.Gt()), two(bench.Gt()), how)
	stir := note.Say("stir the jar for %s at the plant's G of %s", plant.Stay, plant.G)
	switch {
	case m.RatioGt < 0.5:
		m.Notes.Add(note.New(note.Caution, "mixing-weaker", "%s: the plant mixes %s times less than the jar %s: the jar looks better than the plant will be", bench.Duty, two(1/m.RatioGt), against).
			Do("%s, or add mixing to the plant", stir).From("common practice, no source"))
	case m.RatioGt > 2:
		may := "the jar is mixed too little to grow the flocs that the plant grows"
		switch {
		case bench.Duty == Rapid: // there are none yet
			may = "the jar may ask for more than the plant needs"
		case plant.G > plant.Duty.Usual().HighG:
			may = "flocs may be torn, or the jar understates the plant"
		}
		m.Notes.Add(note.New(note.Caution, "mixing-stronger", "%s: the plant mixes %s times more than the jar %s: %s", bench.Duty, two(m.RatioGt), against, may).
			Do("%s", stir).From("common practice, no source"))
	default:
		m.Notes.Add(note.New(note.Info, "mixing-alike", "%s: jar and plant are mixed alike (Gt %s and %s)%s", bench.Duty, two(bench.Gt()), two(plant.Gt()), how))
	}
	u := plant.Duty.Usual()
	if plant.G < u.LowG || plant.G > u.HighG {
		m.Notes.Add(note.New(note.Info, "gradient-unusual", "%s in the plant: G is %s; usual is %s to %s", plant.Duty, plant.G,
			quantity.Full(quantity.Number(u.LowG), 3), u.HighG).From(u.Source))
	}
	return m
}
