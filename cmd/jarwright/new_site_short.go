package main

import (
	"bufio"
	"fmt"
	"strings"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// shortForm asks the questions of the short form, in the terminal or of a file with
// one answer a line, and says what each answer that is missing would have added.
// Without either it is blank. In a terminal a wrong answer is asked for again.
func (e *env) shortForm(answers string, lines *bufio.Scanner) (site.Values, error) {
	switch {
	case answers != "":
		data, err := e.readInput(answers)
		if err != nil {
			return nil, err
		}
		lines = bufio.NewScanner(strings.NewReader(string(data)))
	case !e.InTerminal:
		return new(site.ShortForm).Finish(), nil
	}
	var form site.ShortForm
	questions := site.Short()
	for i, q := range questions {
		for {
			e.say("%d of %d. %s", i+1, len(questions), q.Asks)
			text := ""
			if lines.Scan() {
				text = lines.Text()
			}
			said, err := form.Answer(q, text)
			if err == nil {
				if strings.TrimSpace(text) == "" && q.Default != "" {
					e.say("   %s is taken", q.Default)
				}
				for _, n := range said {
					e.say("   %s: %s", n.Message, n.Remedy)
				}
				break
			}
			if answers != "" {
				return nil, note.Of(err, "bad-answer")[0].At(note.Place{File: answers, Cell: fmt.Sprintf("line %d", i+1)})
			}
			e.say("   %s", err.Error())
		}
	}
	if err := lines.Err(); err != nil {
		return nil, note.Fault("cannot-read", "the answers cannot be read: %s", plain(err))
	}
	if len(form.Missing) > 0 {
		e.say("left out, and what it would add:")
		for _, q := range form.Missing {
			e.say("   %s: %s", q.Field, q.Adds)
		}
	}
	return form.Finish(), nil
}
