package notation

import (
	"testing"

	"fairhand/block"
)

// The names are part of the export formats: scripts depend on them.
func TestKindWords(t *testing.T) {
	seen := map[string]block.Kind{}
	for k := block.KindNone + 1; int(k) < block.Kinds; k++ {
		w := KindWord(k)
		if other, ok := seen[w]; ok || w == "" {
			t.Errorf("kind %d is called %q, as is kind %d", k, w, other)
		}
		seen[w] = k
	}
	for k, want := range map[block.Kind]string{
		block.Bells: "bells", block.TokenOut: "token-out", block.TokenToTrain: "token-to-train", block.TrainArrived: "train-arrived",
		block.TrainOff: "train-will-not-run", block.DutyOn: "duty-on", block.Correct: "correct", block.TokenCount: "count", block.BlockageUp: "blockage-up",
	} {
		if got := KindWord(k); got != want {
			t.Errorf("kind %d is called %q, want %q", k, got, want)
		}
	}
	if !KindNumbered(block.TokenOut) || !KindNumbered(block.ClockSlow) || KindNumbered(block.Bells) || KindNumbered(block.Countersign) {
		t.Error("numbered: token-out and clock-slow are, bells and countersign are not")
	}
}
