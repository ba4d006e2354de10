package register

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/store"
)

// TestKeptStatesAreTheReplays: whatever is written, in order, late, or over
// midnight, and corrected, verify finds every state kept as a replay comes to it.
func TestKeptStatesAreTheReplays(t *testing.T) {
	for seed := range uint64(6) {
		b, now := newBook(t, "2026-05-05 21:00")
		rng := rand.New(rand.NewPCG(seed, 1))
		for i := range 60 {
			*now = now.Add(time.Duration(rng.IntN(90)) * time.Minute)
			last := b.Store().Tail().Seq
			switch n := rng.IntN(10); {
			case n < 3:
				logAll(t, b, now, `Saltgarth <1 >1 <3-1 >3-1`)
			case n < 5:
				logAll(t, b, now, `Saltgarth <2 >2`)
			case n < 8 && last > 0:
				at := now.Add(-time.Duration(rng.IntN(300)) * time.Minute)
				logAll(t, b, now, fmt.Sprintf(`%s Saltgarth <2 >2`, at.Format("15:04")))
			case n < 9 && last > 3:
				logAll(t, b, now, fmt.Sprintf(`correct %d "note \"x %d\""`, last-rng.Int64N(3), i))
			default:
				logAll(t, b, now, `note "a"`)
			}
			if i%7 == 0 {
				b = reopen(t, b, now)
			}
		}
		v, err := Verify(t.Context(), filepath.Join(b.Dir, RegisterName), b.File(), nil, nil)
		if err != nil || len(v.Forged) > 0 {
			t.Errorf("seed %d: %v, states of entries %v", seed, err, v.Forged)
		}
	}
}

// TestForgedStateShowsNowhere: the state of another night, in order in itself, is
// put in the place of one kept. Verify names it, and a day that is past is read
// from its entries.
func TestForgedStateShowsNowhere(t *testing.T) {
	b, now := threeDays(t)
	logAll(t, b, now, `note "today"`)
	second := b.DayOf(block.Time(now.AddDate(0, 0, -2).Unix()))
	want, err := b.LoadDay(t.Context(), second)
	if err != nil {
		t.Fatal(err)
	}
	end := dayEnd{seq: 8, state: block.NewState(b.Box())}
	end.state.Fog = true
	if end.hash, err = b.Store().HashAt(8); err != nil {
		t.Fatal(err)
	}
	state, err := json.Marshal(&end.state)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Store().PutSnapshot(store.Snapshot{Seq: end.seq, Hash: end.hash, Program: b.program, State: state}); err != nil {
		t.Fatal(err)
	}
	if sketch, err := b.SketchDay(t.Context(), second); err != nil || sketch.Began.Fog {
		t.Error("who has proved the register uses the forged state", err)
	}
	again := reopen(t, b, now)
	if sketch, err := again.SketchDay(t.Context(), second); err != nil || !sketch.Began.Fog {
		t.Fatal("the forged state is not where it would be used", err)
	}
	got, err := again.LoadDay(t.Context(), second)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(stateText(t, &want.Began), stateText(t, &got.Began)); diff != "" {
		t.Errorf("the day begins otherwise (-before +after):\n%s", diff)
	}
	v, err := Verify(t.Context(), filepath.Join(again.Dir, RegisterName), again.File(), nil, nil)
	if err != nil || len(v.Forged) != 1 || v.Forged[0] != end.seq {
		t.Errorf("verify: %v, states of entries %v, want of %d", err, v.Forged, end.seq)
	}
}

// TestProofForgetsWhatIsReadOtherwise: a correction of an early entry changes how
// later days begin, also for who has proved the register before it.
func TestProofForgetsWhatIsReadOtherwise(t *testing.T) {
	b, now := threeDays(t)
	logAll(t, b, now, `note "today"`)
	last := b.DayOf(block.Time(now.Unix()))
	load := func(b *Book) string {
		d, err := b.LoadDay(t.Context(), last)
		if err != nil {
			t.Fatal(err)
		}
		return stateText(t, &d.Began)
	}
	before := load(b)
	logAll(t, b, now, `correct 1 "fog on"`, `note "on"`)
	after := load(b)
	if after == before {
		t.Error("the correction changes nothing")
	}
	if fresh := load(reopen(t, b, now)); fresh != after {
		t.Errorf("(-anew +as proved before):\n%s", cmp.Diff(fresh, after))
	}
}

// TestProofEndsWithItsCaller: the error is that of the context.
func TestProofEndsWithItsCaller(t *testing.T) {
	b, _ := threeDays(t)
	b.proof.turn <- struct{}{} // another proves
	ctx, cancel := newCancelled(t)
	defer cancel()
	if err := b.Prove(ctx); !errors.Is(err, ctx.Err()) || err == nil {
		t.Error(err)
	}
	<-b.proof.turn
	if err := b.Prove(t.Context()); err != nil || b.Proved() != b.Store().Tail() {
		t.Error(err, b.Proved())
	}
}

func newCancelled(t *testing.T) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	return ctx, cancel
}
