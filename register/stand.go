package register

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"fairhand/register/reading"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

// What the desk stands on. It opens from a state kept in the file, so as not to wait for
// the proof of a million entries; once they are proved it stands on what they come to, and
// each kept state that it began with is compared with that.

// Stamps of what is told of it.
const (
	ForgedState  = "STATE KEPT WAS FORGED"
	ProgramFault = "FAULT OF THE PROGRAM"
)

// standing is what a Reader works on from, under the lock of its proof.
type standing struct {
	desk  dayEnds          // states that follow from proved entries, and from those since
	kept  []store.Snapshot // that were believed before
	came  comingTo         // what the entries proved came to there
	wrong []sheet.Alarm    // what was found of them
}

// provedEnd gives the newest state before an entry that this run came to from proved
// entries; proved is false before there are any.
func (r *Reader) provedEnd(before int64) (end dayEnd, proved bool) {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	if ends := r.proof.desk.before(before); len(ends) > 0 {
		return ends[len(ends)-1], true
	}
	return dayEnd{state: r.empty()}, r.proof.tail.Seq > 0
}

// believed notes that work went on from a kept state.
func (r *Reader) believed(n store.Snapshot) {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	if !slices.ContainsFunc(r.proof.kept, func(o store.Snapshot) bool { return o.Seq == n.Seq }) {
		r.proof.kept = append(r.proof.kept, n)
	}
}

// extend adds ends that were come to by going on from proved ones.
func (p *proof) extend(ends dayEnds) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, e := range ends {
		if n := len(p.desk); p.tail.Seq > 0 && (n == 0 || e.seq > p.desk[n-1].seq) {
			p.desk.add(e)
		}
	}
}

// StandsOn are the alarms of kept states that the desk began with and that the entries do
// not come to, or from which it could not go on.
func (r *Reader) StandsOn() []sheet.Alarm {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	return slices.Clone(r.proof.wrong)
}

func (r *Reader) wrong(stamp, format string, args ...any) {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	r.proof.wrong = append(r.proof.wrong, sheet.Alarm{Stamp: stamp, Text: fmt.Sprintf(format, args...)})
}

const askWho = "the file was changed by hand or by another program: fairhand verify, and ask who has had it"

// Stand proves the register, for as long as is given, and has the book stand on what its
// entries come to; it says whether they are proved.
func (b *Book) Stand(ctx context.Context, most time.Duration) bool {
	ctx, stop := context.WithTimeout(ctx, most)
	defer stop()
	return b.Prove(ctx) == nil && b.stand() == nil
}

// stand compares what the book began with with what its entries came to, once they are
// proved, and has it stand on them where that was another.
func (b *Book) stand() error {
	b.proof.mu.Lock()
	came := b.proof.came
	b.proof.came = nil
	b.proof.mu.Unlock()
	if !b.forged(came) {
		return nil
	}
	return b.restored()
}

// forged says whether a state that was believed is not known to be what the entries come
// to. StandsOn tells from then on which are others.
func (r *Reader) forged(came comingTo) (again bool) {
	var forged []int64
	r.proof.mu.Lock()
	r.proof.kept = slices.DeleteFunc(r.proof.kept, func(n store.Snapshot) bool {
		_, asked := came[n.Seq]
		if asked && came.differs(n) {
			forged = append(forged, n.Seq)
		}
		again = again || asked && (came[n.Seq] == nil || came.differs(n))
		return asked
	})
	r.proof.mu.Unlock()
	if forged != nil {
		r.wrong(ForgedState, "the state kept after entry %s is not what the entries come to, and the desk may have shown it. It stands on the entries now; %s", Numbers(forged, ", "), askWho)
	}
	return again
}

// comingTo is what the entries come to at some of them, by number; nil while no replay
// has stood by itself there.
type comingTo map[int64][]byte

// comingTo asks for the states that were believed.
func (r *Reader) comingTo() comingTo {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	c := comingTo{}
	for _, n := range r.proof.kept {
		c[n.Seq] = nil
	}
	return c
}

func (c comingTo) look(run *reading.Replay) {
	if len(c) == 0 {
		return
	}
	if was, asked := c[run.Reached()]; asked && was == nil {
		now := run.State()
		c[run.Reached()], _ = json.Marshal(&now) // nil agrees with nothing
	}
}

// differs says whether a kept state is another than the entries come to there.
func (c comingTo) differs(n store.Snapshot) bool {
	return c[n.Seq] != nil && !bytes.Equal(c[n.Seq], n.State)
}

// brokenOff is how work ended that did not come to an end.
type brokenOff struct {
	with  any
	where string
}

// endsOf does some work, which from a state that somebody made up may break off.
func endsOf(work func() error) (broke *brokenOff, err error) {
	defer func() {
		if with := recover(); with != nil {
			broke = &brokenOff{with, where()}
		}
	}()
	return nil, work()
}

// where is the place in the program at which it broke off, asked while it does.
func where() string {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(0, pcs)])
	for broke, more := false, true; more; {
		var f runtime.Frame
		f, more = frames.Next()
		if broke && strings.HasPrefix(f.Function, "fairhand/") {
			return fmt.Sprintf("%s:%d", filepath.Base(f.File), f.Line)
		}
		broke = broke || f.Function == "runtime.gopanic"
	}
	return "an unknown place"
}

// judge says of a kept state from which no replay could go on whether somebody forged it,
// or whether it is what the entries come to and the fault is ours.
func (r *Reader) judge(n store.Snapshot, broke *brokenOff) {
	came := comingTo{n.Seq: nil}
	again, err := endsOf(func() error {
		_, _, err := r.replayed(context.Background(), reading.Span{}, r.empty(), nil, came)
		return err
	})
	switch {
	case again != nil || came[n.Seq] != nil && !came.differs(n):
		r.wrong(ProgramFault, "going on from the state kept after entry %d broke off (%v, %s), and the entries come to that state: this is no forgery. The book was read from its beginning; please tell the makers these words", n.Seq, broke.with, broke.where)
	case err == nil:
		r.wrong(ForgedState, "no replay can go on from the state kept after entry %d (%v, %s), and the entries come to another. It was not used; %s", n.Seq, broke.with, broke.where, askWho)
	}
}
