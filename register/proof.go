package register

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sort"
	"sync"

	"fairhand/block"
	"fairhand/register/reading"
	"fairhand/register/store"
)

// proof is what this run of the program has proved of a register, and the states
// that follow from it: no state kept in the file is among them.
type proof struct {
	turn  chan struct{} // held by the one pass that is under way
	mu    sync.Mutex
	tail  store.Tail          // the last entry proved; Seq 0 for none
	ends  dayEnds             // states at the ends of days up to there
	fault *store.DamagedError // what has been met that cannot be proved
	stay  int64               // of a pass under way, entries from this number on are read otherwise now; 0 for none
	standing
}

// drop forgets the states of entries numbered from and later: they are read
// otherwise since something was written.
func (p *proof) drop(from int64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.desk = p.desk.before(from)
	p.kept = slices.DeleteFunc(p.kept, func(n store.Snapshot) bool { return n.Seq >= from })
	if p.ends = p.ends.before(from); from <= 1 {
		p.tail = store.Tail{}
	}
	if p.stay == 0 || from < p.stay {
		p.stay = from
	}
}

// before gives the ends of the days before an entry.
func (d dayEnds) before(seq int64) dayEnds {
	return d[:sort.Search(len(d), func(i int) bool { return d[i].seq >= seq })]
}

// Proved is the last entry that Prove has reached; Seq is 0 before it has ended.
func (r *Reader) Proved() store.Tail {
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	return r.proof.tail
}

// Prove reads every entry from the first to the last there is, proves that each is
// what was sealed and follows the one before it, and replays them. Whatever shows
// a day that is past begins with what this came to and never with a state kept in
// the file. It is done once: what is written later is proved when it is read. A
// million entries take some two seconds, which r.Progress is told of.
//
// The error is a *store.DamagedError that names the first entry that does not
// follow, that of an entry that cannot be read, or that of ctx.
func (r *Reader) Prove(ctx context.Context) error { return r.prove(ctx, false) }

// ProveAgain is Prove of a register that was proved before: its file may have been
// changed since.
func (r *Reader) ProveAgain(ctx context.Context) error { return r.prove(ctx, true) }

// ProveStructure is store.CheckStructure; damage stands as what Prove finds does.
func (r *Reader) ProveStructure() error {
	err := r.st.CheckStructure()
	r.met(err)
	return err
}

func (r *Reader) prove(ctx context.Context, again bool) error {
	p := r.proof
	select {
	case p.turn <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-p.turn }()
	if r.Proved().Seq > 0 && !again {
		return nil
	}
	if again {
		if err := r.st.Forget(ctx); err != nil {
			return err
		}
	}
	_, err := r.pass(ctx)
	r.met(err)
	return err
}

// pass is the proof itself, and what the entries come to.
func (r *Reader) pass(ctx context.Context) (present, error) {
	p := r.proof
	p.mu.Lock()
	p.stay = 0
	p.mu.Unlock()
	came := r.comingTo()
	tail := r.st.Tail()
	span := reading.Span{To: tail.Seq, Proved: true}
	days := r.st.NewDayCheck()
	now, ends, err := r.replayed(ctx, span, r.empty(), days, came)
	if err == nil {
		err = days.Check(tail.Seq)
	}
	if err != nil && ctx.Err() == nil && !errors.Is(err, store.ErrDamaged) { // what cannot be read is not what was written
		if _, fault := r.st.Verify(nil); fault != nil {
			err = fault
		}
	}
	if err != nil {
		return now, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.stay > 0 {
		ends = ends.before(p.stay)
	}
	p.came = came
	p.tail, p.ends, p.desk = tail, ends, slices.Clone(ends)
	return now, nil
}

// Derive makes the book's own state anew from proved entries, as Prove does for the
// days that are past: for a sheet of the present that leaves the program. Of a
// damaged register it is made from what can be read, and Alarm says so.
func (b *Book) Derive(ctx context.Context) error {
	now, err := b.pass(ctx)
	if err == nil {
		b.present = now
	}
	return b.orDamaged(ctx, err)
}

// ProvedBefore gives the newest state that follows from proved entries before entry
// number before, and the number of the last of them.
func (r *Reader) ProvedBefore(ctx context.Context, before int64) (after int64, state block.State, err error) {
	if err := r.Prove(ctx); err != nil {
		return 0, state, err
	}
	r.proof.mu.Lock()
	defer r.proof.mu.Unlock()
	if ends := r.proof.ends.before(before); len(ends) > 0 {
		last := ends[len(ends)-1]
		if hash, err := r.st.HashAt(last.seq); err != nil || hash != last.hash {
			return 0, state, fmt.Errorf("entry %d was changed since it was proved: run fairhand verify: %w", last.seq, cmp.Or(err, error(store.ErrDamaged)))
		}
		return last.seq, last.state, nil
	}
	return 0, r.empty(), nil
}

// provedTo proves what was written since Prove, up to an entry.
func (r *Reader) provedTo(ctx context.Context, head int64) error {
	for _, err := range r.st.EachProved(r.Proved().Seq+1, head) {
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return err
		}
	}
	return nil
}
