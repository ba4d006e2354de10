package notation

import (
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
