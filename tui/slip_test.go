package tui

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"

	"fairhand/block"
	"fairhand/register/notation"
	books "fairhand/register/reading" // reading is a name of this package
)

// slipper presses keys at random on a guarded desk and watches, from what is drawn
// alone, that nothing is written which the eye cannot have read.
type slipper struct {
	*rig
	rng   *rand.Rand
	names []string // keys that may be pressed

	under   map[string]string    // key to the row drawn for it
	since   map[string]time.Time // since when it is drawn so
	meant   map[string]meaning   // number key to what was drawn for it last
	mode    mode
	came    time.Time // since when the present mode is drawn
	presses int
	last    string // the last key, and when
	when    time.Time
	before  map[string]string // what was drawn at that moment, for as long as the guard wants
	log     []string          // the last keys, to tell what led to a failure

	written, asked int
}

// meaning is what an entry under a number was called, and when that was drawn last.
type meaning struct {
	label string
	body  string
	at    time.Time
}

// nextRow is a row of what is expected next as it is drawn.
var nextRow = regexp.MustCompile(`^ (Enter|     ) ([1-9. ]) (.*)$`)

// look reads the screen as an eye would.
func (s *slipper) look() {
	m := &s.desk.model
	if m.mode != s.mode {
		s.mode, s.came = m.mode, s.instant
	}
	now := map[string]string{}
	for _, f := range drawn(rowsText(view(m, &s.desk.theme, m.width, m.height))) {
		label := "" // what the row writes is told by its label, the longest that is drawn there
		for _, x := range m.listed {
			if strings.HasPrefix(unspaced(f[3]), unspaced(x.Label)) && len(x.Label) > len(label) {
				label = x.Label
				f[4] = x.body
			}
		}
		for _, k := range f[1:3] {
			if k = strings.TrimSpace(strings.TrimSuffix(k, ".")); k != "" {
				now[k] = f[3] + "\n" + f[4]
			}
			if k != "" && k != "Enter" && label != "" {
				s.means(k, label, f[4])
			}
		}
	}
	for k := range s.under {
		if _, ok := now[k]; !ok {
			delete(s.since, k)
		}
	}
	for k, text := range now {
		if _, ok := s.since[k]; !ok || s.under[k] != text {
			s.since[k] = s.instant
		}
	}
	s.under = now
}

// means fails when a number that is drawn came to another row too soon for an eye that
// looked away. One that writes the same in other words is no other.
func (s *slipper) means(number, label, body string) {
	if was, ok := s.meant[number]; ok && was.label != label && (body == "" || was.body != body) && !s.renamed(was.label, label) && s.instant.Sub(was.at) < numberRest {
		s.t.Fatalf("press %d: %s is %q, and was %q %s ago\nkeys: %q\n%s", s.presses, number, label, was.label, s.instant.Sub(was.at), s.log, rowsText(view(&s.desk.model, &s.desk.theme, 80, 24)))
	}
	s.meant[number] = meaning{label, body, s.instant}
}

// renamed says whether two labels are of one entry, whose train was given another name by the
// entry written last.
func (s *slipper) renamed(was, is string) bool {
	entries := s.book.Recent()
	if k := entries[len(entries)-1].Event.Kind; k != block.Correct && k != block.TrainRenamed {
		return false
	}
	a, b := strings.Fields(was), strings.Fields(is)
	other := 0
	for i := range a {
		if len(a) == len(b) && a[i] != b[i] {
			other++
		}
	}
	return other == 1
}

// drawn are the rows of what is expected next on a screen: Enter where it stands there,
// the number, the words over all the lines they take, and room for what it writes.
func drawn(screen string) (rows [][]string) {
	listed := false
	for _, l := range strings.Split(screen, "\n") {
		switch f := nextRow.FindStringSubmatch(l); {
		case strings.HasPrefix(l, "─"):
			listed = strings.HasPrefix(l, "─ EXPECTED NEXT")
		case !listed || f == nil:
		case f[1]+f[2] == "      " && len(rows) > 0: // a row goes on
			rows[len(rows)-1][3] += strings.TrimRight(f[3], " ") // which may be an empty line below the list
		default:
			f[3] = strings.TrimRight(f[3], " ")
			rows = append(rows, append(f, ""))
		}
	}
	return rows
}

// unspaced is text without its blanks: a break between two lines may be one.
func unspaced(s string) string { return strings.ReplaceAll(s, " ", "") }

// readable are the rows that have been drawn for the guard time at least.
func (s *slipper) readable() map[string]string {
	out := map[string]string{}
	for k, text := range s.under {
		if s.instant.Sub(s.since[k]) >= keyGuard {
			out[k] = text
		}
	}
	return out
}

// key presses a key after so long, with the timer of a poised key in between.
func (s *slipper) key(name string, after time.Duration) {
	if after >= keyGuard {
		s.goOn(keyGuard)
		s.event(tcell.NewEventKey(rest, 0, tcell.ModNone), false)
		after -= keyGuard
	}
	s.goOn(after)
	ev := keyEvent(name)
	if ev == nil {
		ev = tcell.NewEventKey(tcell.KeyRune, []rune(name)[0], tcell.ModNone)
	}
	s.presses++
	s.last, s.when, s.before = name, s.instant, s.readable()
	s.log = append(s.log, name)
	if n := len(s.log); n > 40 {
		s.log = s.log[n-40:]
	}
	s.event(ev, true)
}

func (s *slipper) goOn(t time.Duration) {
	s.instant = s.instant.Add(t)
	s.now = s.instant
}

// event lets the desk take an event, and judges what it wrote.
func (s *slipper) event(ev *tcell.EventKey, press bool) {
	mode, came, old := s.mode, s.came, *s.book.State()
	seq := s.book.Store().Tail().Seq
	s.desk.key(ev)
	if s.book.Store().Tail().Seq > seq {
		s.written++
		s.judge(mode, came, old, press)
	}
	s.look()
}

// judge fails when what was written cannot have been read.
func (s *slipper) judge(mode mode, came time.Time, old block.State, press bool) {
	fail := func(format string, a ...any) {
		s.t.Fatalf("press %d, %q: %s\nwritten: %s\nkeys: %q\n%s", s.presses, s.last, fmt.Sprintf(format, a...), s.newest(), s.log, rowsText(view(&s.desk.model, &s.desk.theme, 80, 24)))
	}
	if mode != modeDesk {
		if !press || s.when.Sub(came) < keyGuard {
			fail("the prompt %s was there for %s", mode, s.when.Sub(came))
		}
		s.asked++
		return
	}
	text, ok := s.before[s.last]
	if !ok {
		fail("nothing was to be read under that key for the guard time")
	}
	e := s.book.Recent()[len(s.book.Recent())-1]
	body := notation.FormatBody(e.Event)
	if _, would, _ := strings.Cut(text, "\n"); would != body {
		fail("the row read %q", text)
	}
	now := s.book.State()
	for i := range old.Lines {
		if was := old.Lines[i].Phase; was == block.Obstructed && now.Lines[i].Phase != was {
			fail("an obstruction is removed unasked")
		}
	}
	for _, t := range old.Trains {
		after := now.Train(t.ID)
		if i := slices.IndexFunc(now.Trains, func(x *block.Train) bool { return x.Name == t.Name }); i >= 0 && (after == nil || after.Name != t.Name) {
			after = now.Trains[i] // a late entry has the book read again, and trains numbered anew
		}
		if t.Where == block.Approaching && t.PlaceAt == 0 && (after == nil || after.In.OutOf != 0) {
			fail("%s is out of section unasked, and had not arrived", t.Name)
		}
	}
}

func (s *slipper) newest() string { return s.lines()[len(s.lines())-1] }

// pieces are texts a hand might type where no prompt is open.
var pieces = []string{"22-1 5H50", "14 2P07 41", "1A05", "31 2P07", "note \"x\"", "Coldbeck >1 <1", "2-1", "111", "cancel", "w", "y", "<1 >1 <3-2 >3-2"}

// slip is a train of presses of a kind.
func (s *slipper) slip() {
	ms := func(from, to int) time.Duration {
		return time.Duration(from+s.rng.IntN(to-from)) * time.Millisecond
	}
	switch s.rng.IntN(10) {
	case 0: // typed text, where no prompt is open or any is
		for _, c := range pieces[s.rng.IntN(len(pieces))] {
			s.key(string(c), ms(30, 200))
		}
	case 1: // a key held or bouncing
		k := s.names[s.rng.IntN(len(s.names))]
		for range 2 + s.rng.IntN(8) {
			s.key(k, ms(5, 60))
		}
	case 2, 3, 4: // what a signaller does
		for range 3 {
			if s.mode != modeDesk {
				s.key([]string{"Esc", "d"}[s.rng.IntN(2)], ms(100, 900))
			}
		}
		keys := []string{"Enter", "1", "2", "3", "4", "5", "6", "7", "8", "9"}
		if s.rng.IntN(4) > 0 && len(s.under) > 0 {
			keys = slices.Sorted(maps.Keys(s.under))
		}
		s.key(keys[s.rng.IntN(len(keys))], ms(100, 2500))
		switch s.mode {
		case modeAsk:
			for _, c := range strconv.Itoa(1+s.rng.IntN(9)) + "A0" + strconv.Itoa(s.rng.IntN(9)) {
				s.key(string(c), ms(80, 200))
			}
			s.key("Enter", ms(80, 900))
		case modeProof, modeSure:
			s.key([]string{"c", "y", "y", "n", "Esc"}[s.rng.IntN(5)], ms(80, 900))
		}
	case 5:
		s.key("Esc", ms(50, 600))
	case 6: // time goes by
		s.goOn(time.Duration(1+s.rng.IntN(200)) * time.Second)
		s.event(tcell.NewEventKey(tick, 0, tcell.ModNone), false)
	case 7: // keys near the limit of the guard
		for range 4 {
			s.key([]string{"Enter", "1", "2", "3", "w", "y", "c"}[s.rng.IntN(7)], keyGuard+ms(-20, 20))
		}
	default:
		s.key(s.names[s.rng.IntN(len(s.names))], ms(20, 800))
	}
}

// replayed fails when the state at the desk is not that of a fresh replay.
func (s *slipper) replayed() {
	run := books.NewReplay(s.book.Box(), block.NewState(s.book.Box()))
	for e, err := range run.Ordered(s.book.Entries(s.t.Context(), books.Span{})) {
		if err != nil {
			s.t.Fatal(err)
		}
		run.Take(e)
	}
	state, desk := run.State(), *s.book.State()
	for _, x := range []*block.State{&state, &desk} {
		if len(x.Touched) == 0 {
			x.Touched = nil // whether it is empty or nil is left to whoever replays
		}
	}
	fresh, err := json.Marshal(&state)
	if err != nil {
		s.t.Fatal(err)
	}
	here, err := json.Marshal(&desk)
	if err != nil {
		s.t.Fatal(err)
	}
	if string(fresh) != string(here) {
		s.t.Fatalf("press %d: the state at the desk is not that of a fresh replay\nkeys %q\ndesk  %s\nfresh %s", s.presses, s.log, here, fresh)
	}
}

// TestSlips presses keys and types text at random, with fixed seeds: nothing is
// written but what was drawn under its key, or asked, for the guard time; nothing
// is cleared by way of exception without its question; nothing crashes; the state
// is that of a fresh replay. FAIRHAND_SLIPS is the number of presses, FAIRHAND_SEED the
// first seed, to go on where a long run ended.
func TestSlips(t *testing.T) {
	total, err := strconv.Atoi(os.Getenv("FAIRHAND_SLIPS"))
	if err != nil {
		total = 4000
	}
	boxes := []struct{ file, begun string }{ // with something to be cleared by way of exception
		{"box.yaml", "09:55 Coldbeck <1 >1 <3-1 >3-1 train 2A12; 09:56 Coldbeck <2 >2 train 2A12"},
		{"absolute.yaml", "09:57 Saltgarth >6 <6"},
		{"six.yaml", "09:55 \"Tarn Foot\" >1 <1 >3-1 <3-1 train 2A12; 09:56 \"Tarn Foot\" token 3 out"},
	}
	done, written, asked := 0, 0, 0
	first, err := strconv.ParseUint(os.Getenv("FAIRHAND_SEED"), 10, 64)
	if err != nil {
		first = 1
	}
	for seed := first; done < total; seed++ {
		box := boxes[seed%3]
		r := newRig(t, box.file, 80, 24, Options{})
		r.log(`09:50 duty on "A. Fell"`, "09:50 clock right", box.begun)
		r.guarded()
		r.desk.clerk.helper.inline = true
		s := &slipper{rig: r, rng: rand.New(rand.NewPCG(seed, 12)), names: slices.DeleteFunc(universe(), func(k string) bool { return k == "i" }),
			under: map[string]string{}, since: map[string]time.Time{}, meant: map[string]meaning{}}
		s.look()
		s.goOn(keyGuard) // the desk has shown its list for longer than the eye has looked
		for checked := 0; s.presses < min(total-done, 1500); {
			s.slip()
			if s.presses-checked >= 1000 {
				checked = s.presses
				s.replayed()
			}
		}
		s.replayed()
		if (done+s.presses)/20_000 > done/20_000 {
			t.Logf("%d presses so far, to seed %d, wrote %d times", done+s.presses, seed, written+s.written)
		}
		done, written, asked = done+s.presses, written+s.written, asked+s.asked
		r.book.Close()
	}
	t.Logf("%d presses wrote %d times, %d of them from a prompt", done, written, asked)
	if written < done/200 || asked == written || asked == 0 {
		t.Errorf("%d presses wrote %d times, %d of them from a prompt: too few to show anything", done, written, asked)
	}
}
