package mixing

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Reached gives what is said of a stage of the plant with the stirring that a stirrer can do: where none reaches
// the speed that the stage takes, the notes of [Compare] ask for the speed and the time of this step in its place.
func (s JarStep) Reached(said note.List) note.List {
	if s.Reach == Within {
		return said
	}
	out := note.List{}
	for _, n := range said {
		if n.Level >= note.Caution {
			n = n.Do("%s", note.Say("stir the jar at %s for %s: the plant's G of %s would take %s, which no usual stirrer has, and this gives the same Gt",
				quantity.To(s.Speed, 2), quantity.To(s.Stay, 3), quantity.Full(s.Plant.G, 2), quantity.To(s.Needs, 2)).
				If(s.Brief(), ", for a time too short to copy by hand"))
		}
		out.Add(n)
	}
	return out
}
