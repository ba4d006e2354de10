package tui

import (
	"context"
	"sync"
)

// assistant does what takes long: reading the page of a day many years ago,
// searching all years. It reads the register in short pieces on a goroutine of
// its own and touches neither model nor screen: its answers wait until the desk
// takes them, and wake tells the desk that there are some.
type assistant struct {
	mu      sync.Mutex
	answers []msg
	wake    func()
	jobs    map[string]*job // by sort: the one under way
	inline  bool            // do it at once, for tests
}

// job is a reading under way, and the one to be done after it.
type job struct {
	cancel context.CancelFunc
	next   reading // nil for none
}

// reading does its work until ctx ends, and tells what it finds.
type reading func(ctx context.Context, tell func(msg))

// start begins a reading and ends the one of the same sort that is under way:
// nothing more of that is heard. The new one begins when the old one has returned,
// and of several waiting only the latest is done: whoever leafs through days long
// ago does not pile them up.
func (a *assistant) start(sort string, read reading) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.jobs == nil {
		a.jobs = map[string]*job{}
	}
	if j := a.jobs[sort]; j != nil {
		j.cancel()
		j.next = read
		return
	}
	if a.inline {
		a.mu.Unlock()
		read(context.Background(), func(m msg) { a.put(context.Background(), m) })
		a.mu.Lock()
		return
	}
	a.begin(sort, read)
}

// begin runs a reading, and then the one that waits; a.mu is held.
func (a *assistant) begin(sort string, read reading) {
	ctx, cancel := context.WithCancel(context.Background())
	a.jobs[sort] = &job{cancel: cancel}
	go func() {
		read(ctx, func(m msg) { a.put(ctx, m) })
		cancel()
		a.mu.Lock()
		defer a.mu.Unlock()
		next := a.jobs[sort].next
		delete(a.jobs, sort)
		if next != nil {
			a.begin(sort, next)
		}
	}()
}

// end ends the job of a sort, all of them for "".
func (a *assistant) end(sort string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for s, j := range a.jobs {
		if s == sort || sort == "" {
			j.cancel()
			j.next = nil
		}
	}
}

// wakeBy says how the desk is told of an answer.
func (a *assistant) wakeBy(wake func()) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.wake == nil {
		a.wake = wake
	}
}

func (a *assistant) put(ctx context.Context, m msg) {
	a.mu.Lock()
	gone := ctx.Err() != nil
	if !gone {
		a.answers = append(a.answers, m)
	}
	wake := a.wake
	a.mu.Unlock()
	if !gone && wake != nil {
		wake()
	}
}

// take gives the answers that wait.
func (a *assistant) take() []msg {
	a.mu.Lock()
	defer a.mu.Unlock()
	out := a.answers
	a.answers = nil
	return out
}
