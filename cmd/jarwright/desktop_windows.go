package main

import (
	"github.com/inconshreveable/mousetrap"
	"github.com/spf13/cobra"
)

func init() { cobra.MousetrapHelpText = "" } // a double click opens the page

// byExplorer reports a start by double click.
func byExplorer() bool { return mousetrap.StartedByExplorer() }
