// Package interview asks for a signal box in plain words, and makes the text of its
// box file.
package interview

import (
	"bytes"
	"context"
	"errors"
	"io"

	"fairhand/register"
	"fairhand/register/boxfile"
)

// Answers are what was made of the answers.
type Answers struct {
	Text      []byte        // of the box file
	File      *boxfile.File // as read
	Timetable []byte        // what belongs beside it, under the name in the file; nil for none
}

// Box asks for a box and gives its box file. Questions go to
// out and answers come from in, one a line; echo shows them, for those that come from
// a pipe. dir is where the box is to be made, for the last question.
//
// The error is that of ctx when the interview was interrupted, that of answers which
// end before the questions, or of a last question answered with no. Nothing is
// written in any case.
func Box(ctx context.Context, in io.Reader, out io.Writer, echo bool, dir string) (made Answers, err error) {
	a := newInterview(ctx, in, out, echo)
	a.say("%s\n\nYour box, in a few questions; ? explains one, %s goes back to the one before.\n", register.CautionIn(columns), backWord)
	err = a.untilDone(func() (err error) {
		if err = a.describe(); err == nil {
			made, err = a.confirm(dir)
		}
		return err
	})
	return made, err
}

// confirm shows the box described, and asks whether it is to be written.
func (a *interview) confirm(dir string) (Answers, error) {
	text, file, err := a.file()
	if err != nil {
		return Answers{}, err
	}
	a.say("\n%s\n", boxDrawing(file.Box))
	yes, err := a.yes("Write this box to "+dir+"?", "write", true)
	if err == nil && !yes {
		err = errors.New("as you wish")
	}
	return Answers{text, file, a.table}, err
}

// file is the box file of what was answered so far, and the box that is read from it.
func (a *interview) file() ([]byte, *boxfile.File, error) {
	var text bytes.Buffer
	if err := boxfile.Write(&text, a.box); err != nil {
		return nil, nil, err
	}
	file, err := boxfile.Decode(bytes.NewReader(text.Bytes()), register.BoxFileName)
	return text.Bytes(), file, err
}
