package notation

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fairhand/block"
)

func TestEveryStoredLineReadsBackAsTheSameEvent(t *testing.T) {
	loc := london(t)
	stored := NewStored(loc)
	change := utc(t, "10-25 01:00")
	rapid.Check(t, func(t *rapid.T) {
		ev := drawEvent(t, anyKind(t))
		ev.At = change + block.Time(rapid.Int64Range(-3*day, 3*day).Draw(t, "at"))
		if rapid.Bool().Draw(t, "late") {
			ev.Written = ev.At + block.Time(rapid.Int64Range(-day, 3*day).Draw(t, "written"))
		}
		line := Format(ev, loc)
		got, err := stored.Event(ev.At, line)
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if d := cmp.Diff(ev, got); d != "" {
			t.Fatalf("%s (-want +got):\n%s", line, d)
		}
	})
}

// What a line is read as does not depend on what was read before it: not with the same
// entry at another moment, nor with one that differs in its last word.
func TestAStoredLineReadAgainIsTheSame(t *testing.T) {
	loc := london(t)
	stored := NewStored(loc)
	change := utc(t, "10-25 01:00")
	rapid.Check(t, func(t *rapid.T) {
		ev := drawEvent(t, anyKind(t))
		written := rapid.Int64Range(-day, 3*day).Draw(t, "written")
		for i, at := range rapid.SliceOfN(rapid.Int64Range(-3*day, 3*day), 2, 4).Draw(t, "moments") {
			ev.At, ev.Written = change+block.Time(at), 0
			if i%2 == 1 && written > 0 {
				ev.Written = ev.At + block.Time(written)
			}
			line := Format(ev, loc)
			for _, line := range []string{line, line + "x", line + " # x", line + " ;", "0" + line} {
				for _, at := range []block.Time{ev.At, ev.At + 60, ev.At + day} {
					want, wrong := NewStored(loc).Event(at, line)
					got, err := stored.Event(at, line)
					if d := cmp.Diff(want, got); d != "" || fmt.Sprint(wrong) != fmt.Sprint(err) {
						t.Fatalf("%s: %v, and alone %v (-alone +got):\n%s", line, err, wrong, d)
					}
				}
			}
		}
	})
}

func TestAStoredLineMustAgreeWithItsMoment(t *testing.T) {
	stored := NewStored(london(t))
	at := utc(t, "05-05 09:41")
	for _, line := range []string{
		"", "# x", "fog on", "10:42 fog on", "10:41:01 fog on", "10:41 fog on ; 10:41 fog off", "10:41 fog on # mist",
		"date 2026-05-05", "date 2026-05-01 ; 10:41 fog on", "10:41 fgo on",
	} {
		if ev, err := stored.Event(at, line); err == nil {
			t.Errorf("%q: no error, %+v", line, ev)
		}
		// A bad line does not spoil the reading of the next.
		if _, err := stored.Event(at, "10:41 fog on"); err != nil {
			t.Errorf("after %q: %v", line, err)
		}
	}
}
