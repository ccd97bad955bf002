package logbook

import (
	"strings"

	"jarwright/jartest/words"
)

// What logs of any kind say in the same words: the reader of a clearing trial hears them too.

// Stood reports a cell of a flow or of a pump that says in words that it did not run, such as "off", "pump stopped" or "none".
func Stood(text string) bool {
	return !strings.ContainsAny(text, "0123456789") && (of("stood").in(text) && !of("denied").in(text) || words.Means(strings.TrimSpace(text), "value:zero"))
}

// Halted reports a remark that says that something stood for a while.
func Halted(text string) bool { return of("halted").in(text) && !of("denied").in(text) }

// Altered reports a remark that says that something was put in or changed, such as "fed" or "new water".
func Altered(text string) bool { return of("altered").in(text) && !of("denied").in(text) }

// IsRemark reports the heading of a column of remarks.
func IsRemark(heading string) bool { return of("remark").in(heading) }
