package main

import "github.com/spf13/cobra"

// commands lists every command, in the order of the work.
func commands(e *env) []*cobra.Command {
	return []*cobra.Command{
		newDemo(e),
		newNew(e),
		newPlan(e),
		newBudget(e),
		newClarify(e),
		newPump(e),
		newCompare(e),
		newChemical(e),
		newRead(e),
		newFit(e),
		newNext(e),
		newTrial(e),
		newTrack(e),
		newRestock(e),
		newServe(e),
	}
}
