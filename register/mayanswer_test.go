package register_test

import (
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/registertest"
)

// TestWhatIsAnsweredMayBe replays every book that is kept here, and holds what an entry
// answers to what was said before it: that a later entry may still answer it. A finding of
// which that is not said is told as it stands, and whoever was told is not told again.
func TestWhatIsAnsweredMayBe(t *testing.T) {
	answered := 0
	for file, parts := range map[string]int{"untidy.txt": 3, "examined.txt": 4, "misjudged.txt": 4} {
		for _, book := range untidyBooks(t, file, parts) {
			box, body := registertest.BoxOf(t, "..", book[1]), book[parts]
			if !strings.HasPrefix(body, "date ") {
				body = "date 2026-05-05\n" + body
			}
			events, err := notation.ParseAll(strings.NewReader(body), box.Location)
			if err != nil {
				t.Fatalf("%s: %v", book[0], err)
			}
			run := block.NewRunner(box.Box, block.NewState(box.Box))
			var open []block.Finding
			var may []bool // of each, before this entry
			for i := range events {
				events[i].Seq = int64(i + 1)
				found := run.Step(&events[i])
				s := run.Look()
				for _, a := range s.Answers {
					for k := range may {
						if f := &open[k]; a.Of(f) {
							if answered++; !may[k] {
								t.Errorf("%s: entry %d answers %s of entry %d, and it was not said that it may be", book[0], i+1, f.Rule, f.Seq)
							}
						}
					}
				}
				open = append(open, found...)
				may = may[:0]
				for k := range open {
					may = append(may, s.MayAnswer(&open[k]))
				}
			}
		}
	}
	if answered < 700 {
		t.Errorf("only %d were answered", answered)
	}
}
