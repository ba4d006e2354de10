package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"fairhand/register/boxfile"
)

// asker puts questions and reads the answers, one a line. Questions go to the
// standard error output, so that the standard output holds the result alone.
type asker struct {
	out   io.Writer
	lines chan string
	ended chan error
	ctx   context.Context
	echo  bool // answers come from a pipe: they are shown, as a terminal shows them
}

// errAnswersEnded is the error of answers that end before the questions.
var errAnswersEnded = errors.New("the answers ended before the box was described")

// newAsker reads answers by a goroutine of its own, so that an interruption is
// heard while a question waits.
func newAsker(ctx context.Context, in io.Reader, out io.Writer, echo bool) *asker {
	a := &asker{out: out, lines: make(chan string), ended: make(chan error, 1), ctx: ctx, echo: echo}
	go func() {
		lines := bufio.NewScanner(in)
		for lines.Scan() {
			select {
			case a.lines <- lines.Text():
			case <-ctx.Done():
				return
			}
		}
		err := lines.Err()
		if err == nil {
			err = errAnswersEnded
		}
		a.ended <- err
	}()
	return a
}

func (a *asker) say(format string, args ...any) { fmt.Fprintf(a.out, format, args...) }

func (a *asker) line() (string, error) {
	select {
	case <-a.ctx.Done():
		return "", a.ctx.Err()
	case err := <-a.ended:
		a.ended <- err
		a.say("\n")
		return "", err
	case text := <-a.lines:
		if a.echo {
			a.say("%s\n", text)
		}
		return strings.TrimSpace(text), nil
	}
}

// question is one thing to ask.
type question struct {
	ask      string
	key      string // of box.yaml, whose explanation an answer of ? brings
	fallback string // taken for an empty answer
	required bool
	choices  []string // the answer is one of these, or its number
	titles   []string // what each of the choices means
	unlisted bool     // the question names the choices itself
	check    func(answer string) error
}

// ask puts a question until the answer will do.
func (a *asker) ask(q question) (string, error) {
	for i, c := range q.choices {
		if q.unlisted {
			break
		}
		if q.titles != nil {
			c += ": " + q.titles[i]
		}
		a.say("    %d  %s\n", i+1, c)
	}
	for {
		a.say("%s", q.ask)
		if q.fallback != "" {
			a.say(" [%s]", q.fallback)
		}
		a.say(": ")
		answer, err := a.line()
		if err != nil {
			return "", err
		}
		if answer == "?" {
			a.say("    %s\n", keySays(q.key))
			continue
		}
		if answer == "" {
			answer = q.fallback
		}
		if answer, err = q.judge(answer); err == nil {
			return answer, nil
		}
		a.say("    %v\n", err)
	}
}

// judge turns a number into the choice of that number, and says what is wrong
// with an answer.
func (q *question) judge(answer string) (string, error) {
	switch {
	case answer == "" && q.required:
		return "", errors.New("this cannot be left empty")
	case answer == "":
		return "", nil
	case q.choices != nil:
		if n, err := strconv.Atoi(answer); err == nil && n >= 1 && n <= len(q.choices) {
			return q.choices[n-1], nil
		}
		if c := strings.ToLower(answer); slices.Contains(q.choices, c) {
			return c, nil
		}
		if w := boxfile.Nearest(answer, q.choices); w != "" {
			return "", fmt.Errorf("%q is none of them; did you mean %s?", answer, w)
		}
		return "", fmt.Errorf("%q is none of them: %s", answer, strings.Join(q.choices, ", "))
	case q.check != nil:
		return answer, q.check(answer)
	}
	return answer, nil
}

// yes asks for yes or no.
func (a *asker) yes(ask, key string, fallback bool) (bool, error) {
	words := map[string]bool{"yes": true, "y": true, "no": false, "n": false}
	q := question{ask: ask + " yes or no", key: key, fallback: map[bool]string{true: "yes", false: "no"}[fallback], check: func(s string) error {
		if _, ok := words[strings.ToLower(s)]; !ok {
			return errors.New("answer yes or no")
		}
		return nil
	}}
	answer, err := a.ask(q)
	return words[strings.ToLower(answer)], err
}

func keySays(path string) string {
	for _, k := range boxfile.Keys() {
		if k.Path == path {
			return k.Says
		}
	}
	return "a name as it is written in the book"
}
