package pump

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Signal is a 4–20 mA loop: what 4 mA and 20 mA stand for. It has a live zero:
// 12 mA is half of the span, not 12/20 of it.
type Signal[T ~float64] struct{ Low, High T }

// Current gives the signal of a value.
func (s Signal[T]) Current(v T) quantity.Current {
	return quantity.Current(4 + 16*float64((v-s.Low)/(s.High-s.Low)))
}

// Value gives what a current stands for.
func (s Signal[T]) Value(c quantity.Current) T {
	return s.Low + T(float64(c)-4)/16*(s.High-s.Low)
}

// PerFlow gives the stock to feed at each m3/h of water: dose over stock strength,
// both on the same basis.
func PerFlow(dose, stock quantity.Concentration) quantity.FeedRate {
	return quantity.FeedRate(float64(dose) / float64(stock) * 1e6 / 60)
}

// LineVolume gives what a tube holds between pump and dosing point.
func LineVolume(long, bore quantity.Length) quantity.Volume {
	return quantity.Volume(math.Pi / 4 * float64(bore*bore*long) * 1000)
}

// PaceRow is one line of the table to pin beside a pump.
type PaceRow struct {
	Flow quantity.Flow
	Rate quantity.FeedRate
	Choice
	// Meter is the flow meter's signal, where its range is known.
	Meter    quantity.Current
	HasMeter bool
	// Drive is the signal that puts the pump at its setting: 4 mA at 0 %, 20 mA at 100 %.
	Drive quantity.Current
}

// Pacing describes the table that is wanted.
type Pacing struct {
	// PerFlow is the stock to feed at each m3/h of water.
	PerFlow quantity.FeedRate
	Flows   []quantity.Flow
	Meter   *Signal[quantity.Flow]
	// Drive is the pump's own signal; 0 to 100 % where nil.
	Drive *Signal[quantity.Setting]
}

// Pace gives the flow-paced table: feed rate, setting and signal for each flow.
// On a pump with stroke and speed the stroke stays and the speed follows.
func (p Pump) Pace(t Pacing) (rows []PaceRow, stroke quantity.Setting, notes note.List) {
	drive := Signal[quantity.Setting]{0, 100}
	if t.Drive != nil {
		drive = *t.Drive
	}
	var peak quantity.FeedRate
	for _, f := range t.Flows {
		peak = max(peak, t.PerFlow*quantity.FeedRate(f))
	}
	if stroke = p.Calibration.Stroke; p.Calibration.TwoKnobs() {
		if p.Stays == 0 {
			p.Stays = p.StrokeFor(peak)
		}
		stroke = p.Stays
	}
	for _, f := range t.Flows {
		r := PaceRow{Flow: f, Rate: t.PerFlow * quantity.FeedRate(f)}
		r.Choice = p.For(r.Rate)
		r.Drive = drive.Current(r.Position.Setting)
		if t.Meter != nil {
			r.Meter, r.HasMeter = t.Meter.Current(f), true
		}
		rows = append(rows, r)
	}
	// A controller that only multiplies the meter's signal, set right at the peak,
	// feeds along a line through zero; the pump's own line may not pass through it.
	if n := len(rows); n > 1 && rows[n-1].Reach == Within && rows[0].Reach == Within {
		low, high := rows[0], rows[n-1]
		share := Position{high.Exact.Setting * quantity.Setting(low.Flow/high.Flow), stroke}
		if off := quantity.Fraction(float64(p.Calibration.Rate(share)-low.Rate) / float64(low.Rate)); off > 0.05 || off < -0.05 {
			notes.Add(note.New(note.Caution, "line-misses-zero",
				"the pump's line does not pass through zero: a controller set right at %s that takes the setting as a plain share of the flow doses %s at %s",
				high.Flow, offBy(off), low.Flow).Do("enter two points of the table in the controller, the lowest and the highest"))
		}
	}
	return rows, stroke, notes
}

// EvenFlows gives n flows from the least to the peak, rounded to two figures,
// for a table; each once.
func EvenFlows(least, peak quantity.Flow, n int) []quantity.Flow {
	var out []quantity.Flow
	for i := range n {
		f := peak
		if n > 1 && i < n-1 {
			f = least + (peak-least)*quantity.Flow(i)/quantity.Flow(n-1)
			if i > 0 {
				f = quantity.Flow(quantity.RoundSig(float64(f), 2))
			}
		}
		if len(out) == 0 || f > out[len(out)-1] && f <= peak {
			out = append(out, f)
		}
	}
	return out
}
