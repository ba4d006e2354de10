package register

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"fairhand/block"
	"fairhand/register/store"
)

// foggy puts fog into some of the states kept, the newest first, in order in themselves.
func foggy(t *testing.T, b *Book, which ...int) {
	t.Helper()
	var all []store.Snapshot
	for n := range b.Store().Snapshots(b.program) {
		all = append([]store.Snapshot{n}, all...)
	}
	for _, i := range which {
		n := all[i]
		was := n.State
		if n.State = bytes.Replace(was, []byte(`"Fog":false`), []byte(`"Fog":true`), 1); bytes.Equal(was, n.State) {
			t.Fatalf("no fog in %s", was)
		}
		if err := b.Store().PutSnapshot(n); err != nil {
			t.Fatal(err)
		}
	}
}

// stamps are those of the alarms of what a book stands on.
func stamps(b *Book) string {
	var out []string
	for _, a := range b.StandsOn() {
		out = append(out, a.Stamp)
	}
	return strings.Join(out, ", ")
}

// Two kept states that were forged to agree are believed at opening and no longer than to
// the end of the proof, also of a proof that ended behind the desk; that is told then. Of
// two that do not agree neither is believed.
func TestForgedToAgree(t *testing.T) {
	for name, c := range map[string]struct {
		which   []int
		atFirst bool // it shows until the proof has ended
		told    string
	}{
		"none":         {nil, false, ""},
		"both":         {[]int{0, 1}, true, ForgedState},
		"the newest":   {[]int{0}, false, ForgedState},
		"that before":  {[]int{1}, false, ForgedState},
		"one not used": {[]int{2}, false, ""},
	} {
		b, now := threeDays(t)
		logAll(t, b, now, `note "today"`)
		b = reopen(t, b, now)
		foggy(t, b, c.which...)
		b = reopen(t, b, now)
		if b.State().Fog != c.atFirst {
			t.Errorf("%s: fog as it is opened: %v", name, b.State().Fog)
		}
		if err := b.Prove(t.Context()); err != nil { // as the watch does, behind the desk
			t.Fatal(err)
		}
		if n, err := b.Refresh(); n != 0 || err != nil || b.State().Fog || stamps(b) != c.told {
			t.Errorf("%s: fog once it is proved: %v; told %q, want %q; %d, %v", name, b.State().Fog, stamps(b), c.told, n, err)
		}
		logAll(t, b, now, `note "after"`, `00:01 note "late"`)
		if b.State().Fog || stamps(b) != c.told {
			t.Errorf("%s: fog after a late entry, or told twice: %q", name, stamps(b))
		}
		if b = reopen(t, b, now); !b.Stand(t.Context(), time.Minute) || b.State().Fog || stamps(b) != "" {
			t.Errorf("%s: opened again, fog %v, told %v", name, b.State().Fog, b.StandsOn())
		}
	}
}

// What breaks off a replay is told for what it is: a state that somebody made up, or a
// fault of ours, which is not to pass for a forgery. The work is done all the same.
func TestBrokenOff(t *testing.T) {
	for name, c := range map[string]struct {
		forge []int
		want  string
	}{"a state of the entries": {nil, ProgramFault}, "one made up": {[]int{0}, ForgedState}} {
		b, now := threeDays(t)
		logAll(t, b, now, `note "today"`)
		b = reopen(t, b, now)
		foggy(t, b, c.forge...)
		done := errors.New("done")
		err := b.fromKept(b.Store().Tail().Seq+1, func(after int64, _ block.State) error {
			if after > 0 {
				panic("a section that is not there")
			}
			return done
		})
		if !errors.Is(err, done) || stamps(b) != c.want {
			t.Errorf("%s: %v, told %q, want %q", name, err, stamps(b), c.want)
		}
		if text := b.StandsOn()[0].Text; !strings.Contains(text, "a section that is not there, stand_test.go:") {
			t.Errorf("%s: it does not say where: %s", name, text)
		}
	}
}
