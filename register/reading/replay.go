package reading

import "fairhand/block"

// Replay takes the entries of a book through the rules, in the order in which
// they are given. It is for one goroutine.
type Replay struct{ run *block.Runner }

// NewReplay begins with the state before the first entry, which it will not change.
func NewReplay(box *block.Box, from block.State) *Replay {
	return &Replay{block.NewRunner(box, from)}
}

// Take applies an entry as it stands and returns what is found.
func (r *Replay) Take(e *Entry) []block.Finding { return r.run.Step(&e.Event) }

// Look gives the present state for reading until the next entry.
func (r *Replay) Look() *block.State { return r.run.Look() }

// State gives the present state to keep.
func (r *Replay) State() block.State { return r.run.State() }

// Finish gives what the end of the book leaves undone.
func (r *Replay) Finish() []block.Finding { return r.run.Finish() }
