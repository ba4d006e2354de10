package tui

import (
	"errors"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/store"
)

// broken is a book that cannot write.
type broken struct {
	*register.Book
	err error
}

func (b broken) Log(block.Event, ...register.Given) (register.Entry, error) {
	return register.Entry{}, b.err
}

// The signaller must know whether an entry is recorded.
func TestNotWritten(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{errors.New("the disk is full"), "NOT WRITTEN: 10:00 fog on. Write it on paper until it can be entered: e, then Up, has it with its time. the disk is full"},
		{&store.Error{Kind: store.ErrReadOnly, Path: "register.db"}, "The register or its folder is closed to writing: write it on paper"},
		{errors.Join(store.ErrConflict), "NOT WRITTEN: another program wrote first"},
	} {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.open(broken{r.book, c.err}, 80, 24, Options{Bell: true})
		r.press("e", "fog on", "Enter").want(c.want).want("line: fog on")
		if r.beeps != 1 {
			t.Errorf("%v: %d bells", c.err, r.beeps)
		}
	}
}

// Nothing typed is lost where the register cannot be written: the pad, the name asked for and
// the tail lamp stay, also behind a danger, and what one key would have written is named.
func TestNothingTypedIsLost(t *testing.T) {
	rig := func() *rig {
		r := newRig(t, "box.yaml", 80, 24, Options{})
		r.at("10:00").log(twoComing...).log("10:02 Saltgarth <2 >2").at("10:05")
		r.open(broken{r.book, &store.Error{Kind: store.ErrReadOnly, Path: "register.db"}}, 80, 24, Options{})
		return r
	}
	for _, c := range []struct {
		keys  []string
		mode  mode
		typed string
	}{
		{[]string{"b", "<1 >1 <16", "Enter"}, modeBeats, "<1 >1 <16"},
		{[]string{"b", "Tab", "<1 >1 <31 >31", "Enter", "w"}, modeBeats, "<1 >1 <31 >31"},
		{[]string{"e", "Saltgarth <1 >1 <3-1 >3-1 train 2A14", "Enter", "w"}, modeLine, "Saltgarth <1 >1 <3-1 >3-1 train 2A14"},
	} {
		r := rig().press(c.keys...)
		if m := &r.desk.model; m.mode != c.mode || m.edit.String() != c.typed {
			t.Errorf("%q leaves mode %s and %q:\n%s", c.keys, m.mode, m.edit.String(), r.text())
		}
		r.want("NOT WRITTEN: 10:05").want("write it on paper")
	}
	r := rig()
	r.press(itoa(r.numberOf("1M44 arrived")), "c").want("NOT WRITTEN: 10:05 train 1M44 arrived").want("TAIL LAMP OF 1M44?")
	r = rig()
	r.press(itoa(r.numberOf("2A12 entering section"))).want("NOT WRITTEN: 10:05 Coldbeck <2 >2 train 2A12")
}

// What could not be written comes back with the time at which it happened, not that of the
// moment at which there is room again.
func TestNotWrittenIsKeptWithItsTime(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.at("10:00").log(twoComing...).log("10:02 Saltgarth <2 >2").at("10:05")
	book := r.book
	r.open(&broken{book, errors.New("the disk is full")}, 80, 24, Options{})
	r.press(itoa(r.numberOf("2A12 entering section"))).want("NOT WRITTEN: 10:05 Coldbeck <2 >2 train 2A12")
	r.desk.clerk.book = book
	r.at("10:09").press("Esc", "e", "Up").want("line: 10:05 Coldbeck <2 >2 train 2A12").press("Enter")
	if r.last() != "10:05 Coldbeck <2 >2 train 2A12 written 10:09" {
		t.Errorf("wrote %q\n%s", r.last(), r.text())
	}
}

// Two entries on one line of which the second fails: what is on disk is said.
func TestHalfWritten(t *testing.T) {
	w := wrote{entries: []register.Entry{{}}, of: 2, err: errors.New("the disk is full")}
	w.entries[0].Seq = 41
	m := newRig(t, "box.yaml", 80, 24, Options{}).desk.model
	m, _ = update(m, w)
	if want := "WRITTEN up to 41, the other 1 NOT: the disk is full"; m.msg.text != want {
		t.Errorf("says %q, want %q", m.msg.text, want)
	}
}

// A second desk says that it is one; the example of a kind of entry is of this box.
func TestAnotherDeskIsSaid(t *testing.T) {
	r := newRig(t, "six.yaml", 80, 24, Options{Another: true})
	r.want("Another desk is open on this register").press("k", "staff here").want(`such as  "Quarry Head" staff here`)
}

// An unchanged correction is refused; `a` and `q` have the message line to themselves.
func TestNothingChanged(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(`10:00 duty on "A. Fell"`, "10:00 clock right").press("r", "c", "Enter").want("Nothing changed: entry 2")
	if n := len(r.lines()); n != 2 {
		t.Errorf("%d entries, want 2", n)
	}
	r.press("Esc", "Esc", "e", "fog on", "Enter").want("Written as").press("a").want("ALTER: pick the entry")
	if strings.Contains(r.text(), "Written as") {
		t.Error("the message of the last entry stands beside ALTER")
	}
	r.press("q").want("Leave the desk? y leaves, n stays")
}
