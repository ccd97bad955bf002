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
// Without either it is blank. In a terminal a wrong answer is asked for again; all that are wrong in a file are told at once.
func (e *env) shortForm(answers string, lines *bufio.Scanner) (site.Values, error) {
	switch {
	case answers != "":
		data, err := e.readInput(answers)
		if err != nil {
			return nil, err
		}
		if first, _, _ := strings.Cut(strings.TrimSpace(string(data)), "\n"); site.Names(first) {
			return e.namedAnswers(answers, string(data))
		}
		lines = bufio.NewScanner(strings.NewReader(string(data)))
	case !e.InTerminal:
		return new(site.ShortForm).Finish(), nil
	}
	form := site.ShortForm{Units: e.shown.Units}
	var faults note.List
	for i := 0; i < len(form.Questions()); i++ { // which may be others once it is known how the water passes
		questions := form.Questions()
		for q := questions[i]; ; {
			e.say("%d of %d. %s", i+1, len(questions), q.Asks)
			text := ""
			if lines.Scan() {
				text = lines.Text()
			}
			said, err := form.Answer(q, text)
			if err == nil {
				if taken := form.Taken(q, text); taken != "" {
					e.say("   %s is taken", taken)
				}
				for _, n := range said {
					e.say("   %s: %s", n.Message, n.Remedy)
				}
				break
			}
			if answers != "" {
				n := note.Of(err, "bad-answer")[0].At(note.Place{File: answers, Cell: fmt.Sprintf("line %d", i+1)})
				if !strings.HasPrefix(n.Message, q.Field) { // else it names its field itself
					n.Message = q.Field + ": " + n.Message
				}
				faults.Add(n)
				break
			}
			e.say("   %s", err.Error())
		}
	}
	for i := len(form.Questions()) + 1; answers != "" && lines.Scan(); i++ {
		if text := lines.Text(); strings.TrimSpace(text) != "" {
			faults.Add(note.Fault("answer-too-many", "%q answers no question: there are %d", text, len(form.Questions())).
				At(note.Place{File: answers, Cell: fmt.Sprintf("line %d", i)}).Do("give one answer a line, a blank line for none"))
		}
	}
	if len(faults) > 0 {
		return nil, faults.Err()
	}
	if err := lines.Err(); err != nil {
		return nil, note.Fault("cannot-read", "the answers cannot be read: %s", plain(err))
	}
	return e.finished(&form), nil
}

// finished is what a form comes to; what is missing of it is told.
func (e *env) finished(form *site.ShortForm) site.Values {
	if len(form.Missing) > 0 {
		e.say("left out, and what it would add:")
		for _, q := range form.Missing {
			e.say("   %s: %s", q.Field, q.Adds)
		}
	}
	return form.Finish()
}

// namedAnswers fills the short form with answers that name their fields, in any order but that what comes first
// decides which questions there are.
func (e *env) namedAnswers(name, data string) (site.Values, error) {
	form := site.ShortForm{Units: e.shown.Units}
	if err := e.takeNamed(&form, name, data); err != nil {
		return nil, err
	}
	form.Blank()
	return e.finished(&form), nil
}

// takeNamed takes answers that name their fields; all that are wrong are told at once.
func (e *env) takeNamed(form *site.ShortForm, name, data string) error {
	var faults note.List
	for i, line := range strings.Split(data, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		said, err := form.Named(line)
		for _, n := range said {
			e.say("   %s: %s", n.Message, n.Remedy)
		}
		if err != nil {
			faults.Add(note.Of(err, "bad-answer")[0].At(note.Place{File: name, Cell: fmt.Sprintf("line %d", i+1)}))
		}
	}
	return faults.Err()
}
