package dosing

import (
	"slices"

	"jarwright/jartest/note"
)

// fewer gives what the plan says with the same of several chemicals or hours told once,
// and without a setting in unstaffed hours of a pump that runs round the clock at one
// setting: the hour at which the list begins is nobody's hour of work.
func (p Plan) fewer() note.List {
	set := map[note.Place]int{} // how often a pump is set
	for _, k := range p.Tasks {
		if k.Kind == SetPump {
			set[p.Feeds[k.Feed].PumpAt]++
		}
	}
	idle := func(n note.Note) bool { return n.Code == "set-unstaffed" && p.Running >= 24-hair && set[n.Place] == 1 }
	return slices.DeleteFunc(p.Notes, idle).Joined("flow-swings", "set-unstaffed")
}
