package interview

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
	"fairhand/register/measure"
)

// interview puts questions and reads the answers, one a line. What they come to so
// far is the box.
type interview struct {
	box   boxfile.Description
	table []byte // the timetable; nil for none
	out   io.Writer
	lines chan string
	ended chan error
	ctx   context.Context
	echo  bool // answers come from a pipe: they are shown, as a terminal shows them

	given  []answer // taken so far
	replay []answer // those still to be taken again, unasked, after going back
	former []answer // those gone back over, the next to be asked again at the end
}

// answer is what was answered to what.
type answer struct{ ask, text string }

// errAnswersEnded is the error of answers that end before the questions.
var errAnswersEnded = errors.New("the answers ended before the box was described")

// errBack is the error of a question that was answered with backWord: the answer
// before it is forgotten, and the questions are gone through again with the others.
var errBack = errors.New("back to the question before")

const (
	backWord = "<"
	nothing  = "-"
	columns  = 80 // of a plain screen
)

// untilDone goes through all the questions, and again after each going back.
func (a *interview) untilDone(questions func() error) error {
	for {
		err := questions()
		if err != errBack {
			return err
		}
		a.replay, a.given = a.given, nil
	}
}

// newInterview reads answers by a goroutine of its own, so that an interruption is
// heard while a question waits.
func newInterview(ctx context.Context, in io.Reader, out io.Writer, echo bool) *interview {
	a := &interview{out: out, lines: make(chan string), ended: make(chan error, 1), ctx: ctx, echo: echo}
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

// say prints, but for what was said before a going back.
func (a *interview) say(format string, args ...any) {
	if len(a.replay) == 0 {
		fmt.Fprintf(a.out, format, args...)
	}
}

// lines is a text wrapped at its words for a plain screen.
func lines(text string, indent int) string {
	return strings.Join(measure.Hang(text, columns, indent), "\n")
}

// intro says what the next questions are about.
func (a *interview) intro(text string) { a.say("\n%s\n", lines(text, 0)) }

// note says what belongs to the question before it.
func (a *interview) note(text string) {
	const indent = 4
	a.say("%s\n", lines(strings.Repeat(" ", indent)+text, indent))
}

func (a *interview) line() (string, error) {
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

// oneName refuses several names in one answer: each has questions of its own.
func oneName(answer string) error {
	if first, _, more := strings.Cut(answer, ","); more {
		return fmt.Errorf("one at a time: answer %s, and the next is asked for after it", strings.TrimSpace(first))
	}
	return nil
}

// question is one thing to ask.
type question struct {
	ask      string
	about    string // the subject in explained, for an answer of ?
	fallback string // taken for an empty answer
	required bool
	choices  []string // the answer is one of these, or its number
	titles   []string // what each of the choices means
	clears   bool     // an answer that may be left empty was given before, and nothing takes it back
	check    func(answer string) error

	// set puts an answer into a description of the box. Unless there are choices it
	// is tried first, and the box file's own reading judges the answer.
	set func(b *boxfile.Description, answer string)
}

// ask puts a question until the answer will do, and puts that into the box.
func (a *interview) ask(q question) (string, error) {
	if len(a.replay) > 0 {
		text := a.replay[0].text
		a.replay = a.replay[1:]
		return a.take(&q, q.ask, text), nil
	}
	ask := q.ask
	was := a.again(&q)
	a.list(&q)
	for {
		text := q.ask
		if q.fallback != "" {
			text += " [" + q.fallback + "]"
		}
		a.say("%s ", lines(text+":", 2))
		answer, err := a.line()
		if err != nil {
			return "", err
		}
		switch {
		case answer == "?":
			a.note(explained[q.about])
			continue
		case answer == backWord && len(a.given) == 0:
			a.note("this is the first question")
			continue
		case answer == backWord:
			a.former = append(append(a.former, was...), a.given[len(a.given)-1])
			a.given = a.given[:len(a.given)-1]
			return "", errBack
		case answer == nothing && q.clears:
			answer = ""
		case answer == "":
			answer = q.fallback
		}
		if answer, err = a.judge(&q, answer); err == nil {
			return a.take(&q, ask, answer), nil
		}
		a.note(err.Error())
	}
}

// again gives a question that is asked again after going back the answer it had: as
// what an empty answer stands for, or in words where an empty answer means something.
func (a *interview) again(q *question) (was []answer) {
	n := len(a.former)
	if n == 0 || a.former[n-1].ask != q.ask {
		a.former = nil // an answer was changed, and other questions follow
		return nil
	}
	was, a.former = []answer{a.former[n-1]}, a.former[:n-1]
	if was[0].text == "" {
		return was
	}
	if !q.required && q.fallback == "" {
		q.ask += " (" + nothing + " for none)"
		q.clears = true
	}
	q.fallback = was[0].text
	return was
}

// take keeps an answer.
func (a *interview) take(q *question, ask, text string) string {
	a.given = append(a.given, answer{ask, text})
	if q.set != nil && text != "" {
		q.set(&a.box, text)
	}
	return text
}

// all puts questions one after another.
func (a *interview) all(questions ...question) error {
	for _, q := range questions {
		if _, err := a.ask(q); err != nil {
			return err
		}
	}
	return nil
}

// list shows the choices of a question.
func (a *interview) list(q *question) {
	for i, c := range q.choices {
		if q.titles != nil {
			c += ": " + q.titles[i]
		}
		a.say("%s\n", lines(fmt.Sprintf("    %d  %s", i+1, c), 7))
	}
}

// judge turns a number into the choice of that number, and says what is wrong
// with an answer.
func (a *interview) judge(q *question, answer string) (string, error) {
	switch {
	case answer == "" && q.required:
		return "", errors.New("this cannot be left empty")
	case answer == "":
		return "", nil
	case q.choices != nil:
		if n, err := strconv.Atoi(answer); err == nil && n >= 1 && n <= len(q.choices) {
			return q.choices[n-1], nil
		}
		if i := slices.IndexFunc(q.choices, func(c string) bool { return strings.EqualFold(c, answer) }); i >= 0 {
			return q.choices[i], nil
		}
		if w := boxfile.Nearest(answer, q.choices); w != "" {
			return "", fmt.Errorf("%q is none of them; did you mean %s?", answer, w)
		}
		return "", fmt.Errorf("%q is none of them: %s", answer, strings.Join(q.choices, ", "))
	}
	if q.check != nil {
		if err := q.check(answer); err != nil {
			return answer, err
		}
	}
	if q.set != nil {
		return answer, a.try(q.set, answer)
	}
	return answer, nil
}

// yes asks for yes or no.
func (a *interview) yes(ask, about string, fallback bool) (bool, error) {
	words := map[string]bool{"yes": true, "y": true, "no": false, "n": false}
	usual := "no"
	if fallback {
		usual = "yes"
	}
	q := question{ask: ask + " yes or no", about: about, fallback: usual, check: func(s string) error {
		if _, ok := words[strings.ToLower(s)]; !ok {
			return errors.New("answer yes or no")
		}
		return nil
	}}
	answer, err := a.ask(q)
	return words[strings.ToLower(answer)], err
}
