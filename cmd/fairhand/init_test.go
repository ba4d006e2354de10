package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// initAnswers answers every kind of question once.
const initAnswers = `british-later
Thrackley Vale Railway
Ennerholme
Europe/London
09:00
Coldbeck
token
down
Single
440
9
14
1-12
1-6
3
Saltgarth
absolute
up
Up Main
Down Main
30
yes
4
7
yes

Platform 1
1
no
480
460

A. Fell
signaller

yes
`

// runInit answers fairhand init and gives what it said and its exit code.
func runInit(t *testing.T, answers string) (said string, code int) {
	t.Helper()
	var out, errs strings.Builder
	dir := filepath.Join(t.TempDir(), "box")
	code = run(context.Background(), []string{"init", dir}, strings.NewReader(answers), &out, &errs)
	return errs.String(), code
}

func TestInitExplainsEveryQuestion(t *testing.T) {
	plain, code := runInit(t, initAnswers)
	if code != exitFine {
		t.Fatalf("exit code %d without a ?:\n%s", code, plain)
	}
	questions := strings.Count(initAnswers, "\n")
	said, code := runInit(t, "?\n"+strings.TrimSuffix(strings.ReplaceAll(initAnswers, "\n", "\n?\n"), "?\n"))
	if code != exitFine {
		t.Fatalf("exit code %d:\n%s", code, said)
	}
	if n := strings.Count(said, ": ?\n"); n != questions {
		t.Errorf("%d answers of ?, want %d", n, questions)
	}
	if strings.Contains(said, ": ?\n    \n") {
		t.Errorf("a question without an explanation:\n%s", said)
	}
	for about, text := range explained {
		if first, _, _ := strings.Cut(text, "."); !strings.Contains(strings.Join(strings.Fields(said), " "), first) {
			t.Errorf("the explanation of %s was never said", about)
		}
	}
	for line := range strings.Lines(said) {
		if strings.Contains(line, "Write this box to") { // as long as the directory's name
			continue
		}
		if i := strings.LastIndex(line, ": "); i >= 0 && line[0] != ' ' {
			line = line[:i] // the answer behind it is the user's
		}
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestInitGoesBack(t *testing.T) {
	plain, _ := runInit(t, initAnswers)
	_, drawing, _ := strings.Cut(plain, "\n        ")
	drawing, _, _ = strings.Cut(drawing, "Write this box")
	for _, c := range []struct{ name, at, wrong string }{
		{"first question", "british-later\n", "<\n"},
		{"one answer", "Ennerholme\n", "Hallin\n<\n"},
		{"two answers", "Coldbeck\n", "Hallin\none-train\n<\n<\n"},
		{"over the end of a list", "Platform 1\n", "\n<\n"},
		{"an improbable clearing point kept", "30\n", "20\nyes\n<\n<\n"},
		{"an improbable clearing point not kept", "440\n9", "44\nno\n"},
	} {
		said, code := runInit(t, strings.Replace(initAnswers, c.at, c.wrong+c.at, 1))
		if code != exitFine || !strings.Contains(said, drawing) {
			t.Errorf("%s: exit code %d, want the box\n%s\ngot:\n%s", c.name, code, drawing, said)
		}
	}
	if said, _ := runInit(t, initAnswers); !strings.Contains(said, "really only 30?") {
		t.Errorf("30 yards is not doubted:\n%s", said)
	}
}
