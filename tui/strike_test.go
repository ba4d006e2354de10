package tui

import "testing"

// One key and a reason strike the last entry out, or the one under the cursor; the
// state is what it was before, and the old line stays.
func TestStrikeOut(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:02")
	before := r.book.State().Lines[2].Phase
	r.pick("1M44 entering").at("10:03")
	r.keys = 0
	r.press("z").want("STRIKE OUT ENTRY 5").press("1")
	if r.keys > 3 {
		t.Errorf("%d keys to strike out the last entry, want at most 3", r.keys)
	}
	t.Logf("undo: %d keys", r.keys)
	if want := `10:03 correct 5 "10:02 note \"entered in error: wrong key\""`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if now := r.book.State().Lines[2].Phase; now != before {
		t.Errorf("the line is %s, and was %s", now, before)
	}
	r.want("correct 5: 10:02 note").press("z").want("corrects 5").wrote(6)
	r.press("r", "Home", "Down", "z", "t", "clock was not looked at", "Enter").wrote(7)
	if want := `10:03 correct 2 "10:00 note \"entered in error: clock was not looked at\""`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.press("r", "Home", "Down", "z").want("struck out already").press("Home", "c", "Ctrl-U", "Enter").want("STRIKE OUT ENTRY 1").press("Esc", "Esc").wrote(7)
}

// A late entry that is struck out waits for no explanation of its lateness.
func TestStruckOutIsNotExplained(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing...).at("10:08").press("t", "1003", "Enter", "e", `note "late"`, "Enter").want("1 TO EXPLAIN").press("z", "1")
	if want := `10:08 correct 5 "10:08 note \"entered in error: wrong key\""`; r.last() != want {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	if left := r.desk.model.unexplained(); len(left) > 0 {
		t.Errorf("it waits to be explained: %+v", left)
	}
}
