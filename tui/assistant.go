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
	stop    map[string]context.CancelFunc // of the job under way of each sort
	inline  bool                          // do it at once, for tests
}

// start begins a job and ends the one of the same sort that is under way. After
// that nothing more of the old one is heard.
func (a *assistant) start(sort string, job func(ctx context.Context, tell func(msg))) {
	ctx, cancel := context.WithCancel(context.Background())
	a.mu.Lock()
	if end := a.stop[sort]; end != nil {
		end()
	}
	if a.stop == nil {
		a.stop = map[string]context.CancelFunc{}
	}
	a.stop[sort] = cancel
	a.mu.Unlock()
	run := func() {
		defer cancel()
		job(ctx, func(m msg) { a.put(ctx, m) })
	}
	if a.inline {
		run()
		return
	}
	go run()
}

// end ends the job of a sort, all of them for "".
func (a *assistant) end(sort string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for s, end := range a.stop {
		if s == sort || sort == "" {
			end()
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
