package notation

import (
	"flag"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// The draws of every run are the same unless -rapid.seed says otherwise (0: new
// ones), so that no change is refused for what another's chance has found.
func init() { _ = flag.Set("rapid.seed", "1") }

// names are drawn from plain ones, from every word of the table, and from
// whatever the notation allows at all.
var names = rapid.OneOf(
	rapid.StringMatching(`[A-Za-z0-9][A-Za-z0-9./'&-]{0,8}`),
	rapid.StringMatching(`[A-Z][a-z]+ [A-Z][a-z]+`),
	rapid.SampledFrom(tableWords()),
	rapid.SampledFrom([]string{"10:41", ":12", "<1", ">3-1", "#", "a#b", "a;b", `\`, `"`, `\n`, " ", "Ærøskøbing", "a\u00a0b", "\u2028", "\ufffd", "e\u0301"}),
	rapid.StringOfN(rapid.Rune().Filter(func(r rune) bool { return r >= ' ' && (r < 0x7f || r > 0x9f) }), 1, 12, -1),
)

var texts = rapid.OneOf(names, rapid.StringMatching(`[ -~]{1,30}(\n[ -~]{1,9})?`))

func tableWords() []string {
	words := []string{wordDate, wordWritten}
	for _, g := range Groups {
		for _, f := range g.Forms {
			words = append(words, strings.Fields(strings.ToLower(strings.NewReplacer("[", "", "]", "").Replace(f.Pattern)))...)
		}
	}
	return append(words, proofWords...)
}

// drawEvent draws an event of a kind with any of its optional fields. The
// fields come from the comments of the kinds in block by way of the table.
func drawEvent(t *rapid.T, kind block.Kind) block.Event {
	r := compiled().rules[kind]
	ev := block.Event{Kind: kind}
	if r.counts {
		ev.Other = -1
	}
	for _, e := range r.head {
		if e.slot != nil {
			drawSlot(t, e.slot, &ev)
		}
	}
	for i, p := range r.tail {
		if i > 0 && p.quoted() && r.tail[0].quoted() && !r.tail[0].slot.given(&ev) {
			continue // it would be read as the first
		}
		if rapid.Bool().Draw(t, p.slot.word+" given") {
			drawSlot(t, p.slot, &ev)
		}
	}
	return ev
}

func drawSlot(t *rapid.T, s *slot, ev *block.Event) {
	switch s.value {
	case valueText:
		*s.field.text(ev) = texts.Draw(t, s.word)
		if ev.Kind == block.Correct {
			ev.Text = FormatBody(golden[rapid.IntRange(0, len(golden)-1).Draw(t, "instead")])
		}
	case valueDigits:
		ev.PN = rapid.StringMatching(`[0-9]{1,6}`).Draw(t, s.word)
	case valueNumber:
		s.field.setNumber(ev, rapid.Int64Range(s.least, maxNumber).Draw(t, s.word))
	case valueChoice:
		s.field.setChoice(ev, rapid.SampledFrom(s.words).Draw(t, s.word))
	case valueBells:
		ev.Bells = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) block.Bell {
			return block.Bell{
				Sent: rapid.Bool().Draw(t, "sent"),
				Code: rulebook.Code(rapid.StringMatching(`([1-9]|1[0-9]|20)(-[1-9]){0,5}`).Draw(t, "code")),
			}
		}), 1, 6).Draw(t, s.word)
	default:
		*s.field.text(ev) = names.Draw(t, s.word)
	}
}

// parseOne reads one entry without its time, as it is typed at the moment 0.
func parseOne(line string) (block.Event, error) {
	evs, err := ParseLine(time.UTC, 0, line)
	if err == nil && len(evs) != 1 {
		err = fmt.Errorf("%d entries in %s", len(evs), line)
	}
	if err != nil {
		return block.Event{}, err
	}
	return evs[0], nil
}

func anyKind(t *rapid.T) block.Kind {
	return block.Kind(rapid.IntRange(1, block.Kinds-1).Draw(t, "kind"))
}

func TestEveryBodyReadsBackAsTheSameEvent(t *testing.T) {
	stored := NewStored(time.UTC)
	kept := func(body string) (block.Event, error) { return stored.Event(0, "00:00 "+body) }
	rapid.Check(t, func(t *rapid.T) {
		ev := drawEvent(t, anyKind(t))
		if err := Check(ev); err != nil {
			t.Fatalf("%+v: %v", ev, err)
		}
		body := FormatBody(ev)
		for _, parse := range []func(string) (block.Event, error){parseOne, kept} {
			got, err := parse(body)
			if err != nil {
				t.Fatalf("%s: %v", body, err)
			}
			if d := cmp.Diff(ev, got); d != "" {
				t.Fatalf("%s (-want +got):\n%s", body, d)
			}
			if again := FormatBody(got); again != body {
				t.Fatalf("%s: formats again as %s", body, again)
			}
		}
	})
}

// A book of entries at any times, half of them within days of a change of
// clocks, reads back as the same entries.
func TestEveryBookReadsBackAsTheSameEvents(t *testing.T) {
	zones := []*time.Location{time.UTC, london(t)}
	for _, name := range []string{"Asia/Kolkata", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia", "Africa/Casablanca"} {
		loc, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		zones = append(zones, loc)
	}
	around := []int64{
		time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC).Unix(), // London, back
		time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC).Unix(),  // London, forward
		time.Date(2026, 11, 1, 6, 0, 0, 0, time.UTC).Unix(),  // New York, back
		time.Date(2026, 4, 4, 15, 0, 0, 0, time.UTC).Unix(),  // Lord Howe, back half an hour
		time.Date(2011, 12, 30, 10, 0, 0, 0, time.UTC).Unix(),
		time.Date(1985, 6, 1, 12, 0, 0, 0, time.UTC).Unix(),
	}
	rapid.Check(t, func(t *rapid.T) {
		loc := rapid.SampledFrom(zones).Draw(t, "zone")
		middle := rapid.SampledFrom(around).Draw(t, "around")
		span := rapid.SampledFrom([]int64{2 * hour, 2 * day, 3000 * day}).Draw(t, "span")
		moment := rapid.Map(rapid.Int64Range(-span, span), func(d int64) block.Time { return block.Time(middle + d) })
		w := NewWriter(loc)
		var want []block.Event
		var book []byte
		for range rapid.IntRange(1, 6).Draw(t, "entries") {
			ev := drawEvent(t, anyKind(t))
			ev.At = moment.Draw(t, "at")
			if rapid.Bool().Draw(t, "minutes only") {
				ev.At -= ev.At % 60
			}
			if rapid.Bool().Draw(t, "late") {
				ev.Written = moment.Draw(t, "written")
			}
			want, book = append(want, ev), w.Append(book, ev)
		}
		got, err := ParseAll(strings.NewReader(string(book)), loc)
		if err != nil {
			t.Fatalf("%v\n%s", err, book)
		}
		for i := range got {
			got[i].Seq = 0
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Fatalf("%s\n%s", book, d)
		}
	})
}

func TestOptionalPartsAreReadInAnyOrder(t *testing.T) {
	want := `train 2P07 arrived at "Platform 1" from Coldbeck complete "wet rail"`
	ev, err := parseOne(`train 2P07 arrived complete "wet rail" from "Coldbeck"   at "Platform 1"`)
	if err != nil {
		t.Fatal(err)
	}
	if got := FormatBody(ev); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestCheckFindsWhatTheNotationCannotHold(t *testing.T) {
	for name, ev := range map[string]block.Event{
		"no kind":           {},
		"unknown kind":      {Kind: block.Kind(block.Kinds)},
		"field of another":  {Kind: block.Note, Text: "x", Train: "2P07"},
		"number of another": {Kind: block.Note, Text: "x", Number: 3},
		"bells of another":  {Kind: block.Note, Text: "x", Bells: []block.Bell{sent("1")}},
		"proof of another":  {Kind: block.TrainEntire, Train: "x", Proof: block.Complete},
		"name missing":      {Kind: block.DutyOn},
		"text missing":      {Kind: block.Note},
		"bells missing":     {Kind: block.Bells, Section: "Coldbeck"},
		"bad code":          {Kind: block.Bells, Section: "Coldbeck", Bells: []block.Bell{sent("0")}},
		"control in name":   {Kind: block.DutyOn, Subject: "A.\x1b[2J"},
		"newline in name":   {Kind: block.DutyOn, Subject: "A.\nFell"},
		"control in text":   {Kind: block.Note, Text: "bell \a"},
		"not UTF-8":         {Kind: block.Note, Text: "\xff"},
		"negative":          {Kind: block.TokenIn, Section: "Coldbeck", Number: -1},
		"negative count":    {Kind: block.TokenCount, Section: "Coldbeck", Other: -2},
		"no target":         {Kind: block.Explain, Text: "x"},
		"bad private no.":   {Kind: block.Bells, Section: "x", Bells: []block.Bell{sent("1")}, PN: "4a"},
		"bad indication":    {Kind: block.Indicator, Section: "x", Subject: "sideways"},
		"bad correction":    {Kind: block.Correct, Target: 1, Text: "10:43 Coldbeck"},
		"empty correction":  {Kind: block.Correct, Target: 1},
		"year 12000":        {Kind: block.FogOn, At: 316516550400},
	} {
		if err := Check(ev); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestFormatOfAnUncheckedEventStillReads(t *testing.T) {
	got := FormatBody(block.Event{Kind: block.Note, Text: "a\x1b\xffb"})
	if want := "note \"a\ufffd\ufffdb\""; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// More runs of bells of the same length than the cache has places.
func TestTheCacheNeverTakesOneRunForAnother(t *testing.T) {
	s := NewStored(time.UTC)
	digit := func(n int) string { return string(rune('1' + n%9)) }
	for n := range 9 * 9 * 9 * 9 {
		body := "Coldbeck <" + digit(n) + "-" + digit(n/9) + " >" + digit(n/81) + "-" + digit(n/729)
		ev, err := s.Event(0, "00:00 "+body)
		if err != nil {
			t.Fatal(err)
		}
		if got := FormatBody(ev); got != body {
			t.Fatalf("%s was read as %s", body, got)
		}
	}
}
