package seal

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"
)

// TestLockedKey: it seals with its passphrase, and with no other.
func TestLockedKey(t *testing.T) {
	dir := t.TempDir()
	made, err := CreateKey(dir, "Ennerholme", []byte("eight or more"))
	if err != nil {
		t.Fatal(err)
	}
	says := func(phrase string) func(string) ([]byte, error) {
		return func(string) ([]byte, error) { return []byte(phrase), nil }
	}
	short := t.TempDir()
	if _, err := CreateKey(short, "", []byte("x")); err != nil {
		t.Fatal(err)
	}
	if _, err := LoadKey(short, nil); !errors.Is(err, ErrKeyLocked) {
		t.Errorf("a passphrase of one letter: %v", err)
	}
	k, err := LoadKey(dir, says("eight or more"))
	if err != nil || k.Public.Fingerprint() != made.Public.Fingerprint() {
		t.Error(err)
	}
	for name, ask := range map[string]func(string) ([]byte, error){"another": says("something else"), "none": says(""), "nobody": nil,
		"no terminal": func(string) ([]byte, error) { return nil, errors.New("no terminal") }} {
		if _, err := LoadKey(dir, ask); !errors.Is(err, ErrKeyLocked) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// serve serves an agent with the private key of this directory, whose file is taken
// away; left tells of each caller that went.
func serve(t *testing.T, dir string) (socket string, left chan error) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, KeyName))
	if err != nil {
		t.Fatal(err)
	}
	private, err := ssh.ParseRawPrivateKey(data)
	if err != nil {
		t.Fatal(err)
	}
	ring := agent.NewKeyring()
	if err := errors.Join(ring.Add(agent.AddedKey{PrivateKey: private}), os.Remove(filepath.Join(dir, KeyName))); err != nil {
		t.Fatal(err)
	}
	socket = filepath.Join(t.TempDir(), "agent")
	l, err := net.Listen("unix", socket)
	if err != nil {
		t.Skip("no such sockets here:", err)
	}
	t.Cleanup(func() { l.Close() })
	left = make(chan error, 8)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() { left <- agent.ServeAgent(ring, c) }()
		}
	}()
	return socket, left
}

// TestKeyInAnAgent: its file is elsewhere; the public half tells which it is.
func TestKeyInAnAgent(t *testing.T) {
	dir := t.TempDir()
	made, err := CreateKey(dir, "Ennerholme", nil)
	if err != nil {
		t.Fatal(err)
	}
	socket, left := serve(t, dir)
	stranger := t.TempDir()
	if _, err := CreateKey(stranger, "", nil); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(stranger, KeyName)); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ dir, socket string }{
		"no agent":           {dir, ""},
		"an agent that left": {dir, socket + "-gone"},
		"no public half":     {t.TempDir(), socket},
		"a key it has not":   {stranger, socket},
	} {
		t.Setenv("SSH_AUTH_SOCK", c.socket)
		if k, err := LoadKey(c.dir, nil); k != nil || !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s: %v, %v", name, k, err)
		}
	}
	<-left // who has no key of ours is let go
	t.Setenv("SSH_AUTH_SOCK", socket)
	k, err := LoadKey(dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := Statement{Railway: "R", Box: "Ennerholme", First: 1, Last: 2, Day: 20260505}
	signature, err := k.Sign(s)
	if err != nil {
		t.Fatal(err)
	}
	text, err := s.Text()
	if err != nil {
		t.Fatal(err)
	}
	if err := made.Public.Verify(text, signature); err != nil {
		t.Error("what the agent signed:", err)
	}
}
