package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"fairhand/register"
)

// pseudoTerminal gives both ends of one: what is typed goes into keyboard, and what
// the terminal shows of it comes out there.
func pseudoTerminal(t *testing.T) (keyboard, terminal *os.File) {
	t.Helper()
	keyboard, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no pseudo-terminal here:", err)
	}
	t.Cleanup(func() { keyboard.Close() })
	n, err := unix.IoctlGetInt(int(keyboard.Fd()), unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(int(keyboard.Fd()), unix.TIOCSPTLCK, 0)
	}
	if err != nil {
		t.Fatal(err)
	}
	if terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { terminal.Close() })
	return keyboard, terminal
}

// listener waits until something is told.
type listener struct {
	said chan string
	all  string
}

func (h *listener) Write(b []byte) (int, error) {
	h.said <- string(b)
	return len(b), nil
}

func (h *listener) until(t *testing.T, words string) {
	t.Helper()
	for late := time.After(time.Minute); !strings.Contains(h.all, words); {
		select {
		case s := <-h.said:
			h.all += s
		case <-late:
			t.Fatalf("%q is not told:\n%s", words, h.all)
		}
	}
	h.all = ""
}

// A PIN typed in lines of text is not shown by the terminal; what is typed before and
// after it is.
func TestTalkHidesThePIN(t *testing.T) {
	keyboard, terminal := pseudoTerminal(t)
	dir := filepath.Join(t.TempDir(), "box")
	box := "box: Ennerholme\nrules: british-later\nsections: [{neighbour: Saltgarth, method: absolute, lines: [{name: Up, way: out}, {name: Down, way: in}]}]\n" +
		"people: [{name: A. Fell, role: signaller}]\npins: true\n"
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o600); err != nil {
		t.Fatal(err)
	}
	book, err := register.Create(dir, register.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = book.SetPIN("A. Fell", "4711", "", register.Given{})
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
	if err != nil {
		t.Fatal(err)
	}

	out, ended := &listener{said: make(chan string)}, make(chan int)
	go func() { ended <- run(t.Context(), []string{"-C", dir, "talk"}, terminal, out, io.Discard) }()
	typed := func(line string) {
		if _, err := keyboard.WriteString(line + "\n"); err != nil {
			t.Error(err)
		}
	}
	out.until(t, "Expected next")
	typed("u")
	out.until(t, "WHO SIGNS ON")
	typed("1")
	out.until(t, "PIN OF A. FELL")
	typed("4711")
	out.until(t, "by-pin")
	typed("q")
	out.until(t, "LEAVE")
	typed("y")
	for running := true; running; {
		select {
		case <-out.said:
		case code := <-ended:
			if running = false; code != exitFine {
				t.Errorf("exit code %d", code)
			}
		}
	}
	shown := make([]byte, 4096)
	n, err := keyboard.Read(shown)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.ReplaceAll(string(shown[:n]), "\r", ""); got != "u\n1\n\nq\ny\n" {
		t.Errorf("the terminal shows %q", got)
	}
}
