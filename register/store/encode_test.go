package store

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestEntryBytes pins every byte that is hashed. If it fails, entries already
// written can no longer be checked: the rules at the top of encode.go say how
// the encoding may grow.
func TestEntryBytes(t *testing.T) {
	var prev Hash
	for i := range prev {
		prev[i] = byte(i)
	}
	r := Row{Seq: 41, At: 1777977780, Recorded: -5, Day: 20260505,
		Writer: "A. Fell", Line: "10:43 Coldbeck <2 >2", Prev: prev}
	want := unhex(t, `
		66616972 68616e64 20 656e747279 20 31 0a      fairhand entry 1   the tag
		30303031 30323033 30343035 30363037           00010203 04050607  previous hash, lower-case hex
		30383039 30613062 30633064 30653066           08090a0b 0c0d0e0f
		31303131 31323133 31343135 31363137           10111213 14151617
		31383139 31613162 31633164 31653166 0a        18191a1b 1c1d1e1f
		3431 20                                       41                 seq
		31373737393737373830 20                       1777977780         at
		2d35 20                                       -5                 recorded
		3230323630353035 0a                           20260505           day
		412e 20 46656c6c 0a                           A. Fell            writer
		31303a3433 20 436f6c646265636b 20 3c32 20 3e32 0a   10:43 Coldbeck <2 >2   line`)
	if d := cmp.Diff(string(want), string(appendEntry(nil, &r))); d != "" {
		t.Fatal(d)
	}
	if got := r.seal(); got != sha256.Sum256(want) {
		t.Error("the seal is not the SHA-256 of these bytes")
	}
	// The same bytes through coreutils' sha256sum, once, by hand.
	if got, want := r.seal().String(), "a016f9b306c31c85df8718615f52a2bc7bac9b20719d3aa9c271d1c78285e013"; got != want {
		t.Errorf("seal %s, want %s", got, want)
	}
}

// TestHeadingBytes pins where the chain begins.
func TestHeadingBytes(t *testing.T) {
	want := unhex(t, `
		66616972 68616e64 20 7265676973746572 20 31 0a   fairhand register 1
		5468 7261 636b 6c65 79 20 56616c65 20 5261696c776179 0a   Thrackley Vale Railway
		456e6e6572686f6c6d65 0a                       Ennerholme
		4575726f7065 2f 4c6f6e646f6e 0a               Europe/London
		31373737303030303030 0a                       1777000000`)
	if got := ennerholme.Genesis(); got != sha256.Sum256(want) {
		t.Errorf("genesis is not the SHA-256 of %q", want)
	}
}

// TestHeadingBytesWithDescription pins where the chain begins with a description of
// the box: the tag is another, and its digest the last line.
func TestHeadingBytesWithDescription(t *testing.T) {
	m := ennerholme
	m.Description = "box: Ennerholme\n"
	want := "fairhand register 2\nThrackley Vale Railway\nEnnerholme\nEurope/London\n1777000000\n" + Digest(m.Description) + "\n"
	if got := m.Genesis(); got != sha256.Sum256([]byte(want)) {
		t.Errorf("genesis is not the SHA-256 of %q", want)
	}
}

// unhex takes the hex digits at the start of each line; the comment after them
// begins with the first field that stands three or more spaces away.
func unhex(t *testing.T, text string) []byte {
	t.Helper()
	var digits strings.Builder
	for line := range strings.Lines(text) {
		code, _, _ := strings.Cut(strings.TrimSpace(line), "   ")
		digits.WriteString(strings.ReplaceAll(code, " ", ""))
	}
	return must(hex.DecodeString(digits.String()))(t)
}

// Every field is part of the seal.
func TestSealCoversEveryField(t *testing.T) {
	base := next(Tail{40, Hash{1}}, draft(1))
	for name, change := range map[string]func(*Row){
		"seq":      func(r *Row) { r.Seq++ },
		"at":       func(r *Row) { r.At-- },
		"recorded": func(r *Row) { r.Recorded++ },
		"day":      func(r *Row) { r.Day++ },
		"writer":   func(r *Row) { r.Writer += " " },
		"line":     func(r *Row) { r.Line = r.Line[1:] },
		"prev":     func(r *Row) { r.Prev[31] ^= 1 },
		"hash":     func(r *Row) { r.Hash[0] ^= 0x80 },
	} {
		r := base
		change(&r)
		if r.Intact() {
			t.Errorf("changing %s leaves the seal as it was", name)
		}
	}
	if !base.Intact() {
		t.Error("an entry just sealed is not intact")
	}
}

// FuzzRecord: whatever bytes the file gives, reading does not panic, and no field of what
// it accepts holds the end of a line.
func FuzzRecord(f *testing.F) {
	whole := "\x08\x00\x04\x08\x03\x0f\x13\x4c" + "\x01\x02\x03\x04\x01\x34\xd5\x19" + "G" + "note" + strings.Repeat("h", 32)
	f.Add(whole)
	f.Add(whole[:len(whole)-1])
	f.Add("")
	f.Fuzz(func(t *testing.T, record string) {
		var r Row
		if r.fill(record) && strings.Contains(r.Writer+r.Line, "\n") {
			t.Fatalf("%q: %+v", record, r)
		}
	})
}
