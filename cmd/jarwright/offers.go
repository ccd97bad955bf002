package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// offersKey marks the words that a flag offers where a shell completes it.
const offersKey = "jarwright_offers"

// offers says which words a flag may be, for a shell that completes it.
func offers(c *cobra.Command, flag string, words []string) {
	f := c.Flag(flag)
	if f.Annotations == nil {
		f.Annotations = map[string][]string{}
	}
	f.Annotations[offersKey] = words
}

// tellShell makes those words known to the library. It keeps them, and with them the flags, the command and all that this leads to,
// for as long as the program runs: a page runs many commands, so that is done only where a shell asks.
func tellShell(c *cobra.Command) {
	tell := func(f *pflag.Flag) {
		if words := f.Annotations[offersKey]; words != nil {
			must(c.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)))
		}
	}
	c.LocalFlags().VisitAll(tell)
	for _, sub := range c.Commands() {
		tellShell(sub)
	}
}
