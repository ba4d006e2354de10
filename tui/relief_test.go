package tui

import (
	"slices"
	"strings"
	"testing"
)

// The relief is told of what is nearest to danger first, of tickets and of what was
// received by message; things of one name are told apart, and one tick takes one.
func TestReliefIsToldEverythingLive(t *testing.T) {
	r := newRig(t, "six.yaml", 80, 40, Options{})
	r.log(twoComing[:2]...).log(`10:01 reminder on "Lever 5" "bridge"`, `10:01 blockage "Down Main" towards Oxenrigg "J. Wray"`, `10:01 obstruct "Down Main" Brockholm "wagon foul"`,
		`10:02 "Quarry Head" staff here`, `10:02 "Quarry Head" ticket 3 to train 6T10`, `10:02 message from Control "sheep near bridge 14: caution all trains"`).at("10:04").press("h")
	last := -1
	text := r.text()
	for _, want := range []string{"[ ] obstruction, Down Main: wagon foul", "[ ] line blockage, Down Main: J. Wray", "[ ] ticket 3 of the section to Quarry Head is issued, to 6T10",
		"message from Control, binding until one answers it: sheep near", "[ ] reminder on Lever 5: bridge", "Oxenrigg, Down Main: blocked", "Brockholm, Down Main: obstructed"} {
		at := strings.Index(text, want)
		if at <= last {
			t.Errorf("%q stands at %d, after %d:\n%s", want, at, last, text)
		}
		last = at
	}
	r.press("Esc", "s", "End").want("MESSAGES THAT BIND").want("from Control: sheep near bridge 14: caution all trains").press("Esc", "h")
	r.press("Enter", "w")
	if want := `carried "Down Main, obstruction" "obstruction, Down Main: wagon foul"`; !strings.Contains(r.last(), want) {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.log(`10:05 duty on "R. Howe"; duty off "A. Fell"`).at("10:06").want("NOT TAKEN OVER: Down Main, blockage")
	if left := r.desk.model.uncarried(); slices.Contains(left, "Down Main, obstruction") {
		t.Errorf("what was taken over is asked for: %q", left)
	}
	// A message that answers it ends what it asked.
	r.log(`10:08 message from Control answers 8 "ganger has looked, no more caution"`).press("h")
	if strings.Contains(r.text(), "sheep near") {
		t.Errorf("the caution is still told:\n%s", r.text())
	}
}

// A section whose bells have failed is taken over like anything else that stands.
func TestReliefIsToldOfMessageWorking(t *testing.T) {
	r := newRig(t, "box.yaml", 80, 24, Options{})
	r.log(twoComing[:2]...).log(`10:01 Coldbeck working by message "instrument failed"`).at("10:04").press("h").want("[ ] Coldbeck: bells or instrument failed, worked by message").press("Enter", "w")
	if want := `carried Coldbeck "bells or instrument failed, worked by message: instrument failed"`; !strings.Contains(r.last(), want) {
		t.Errorf("wrote %q, want %q", r.last(), want)
	}
	r.log("10:05 Coldbeck working normal").press("h")
	if strings.Contains(r.text(), "worked by message") {
		t.Errorf("what is over is told:\n%s", r.text())
	}
}
