package main

import "github.com/spf13/cobra"

// commands lists every command, in the order of the work.
func commands(_ *env) []*cobra.Command {
	return []*cobra.Command{}
}
