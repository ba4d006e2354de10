package gather

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"fairhand/export"
	"fairhand/register/each"
	"fairhand/register/filelock"
)

// Options are what to gather.
type Options struct {
	Out     string   // the folder of the collection; it is made where it is missing
	Sources []string // box directories, copies of registers, archive volumes
	Workers int      // boxes read at the same time; 0: one for each processor
	Anew    bool     // make everything again from the registers, and tell what is there and is not that

	// Progress is told how many of how many registers are done; nil for none. It is
	// called by one goroutine at a time.
	Progress func(done, total int64)
}

// State says what became of a box.
type State string

// What may become of a box.
const (
	Unchanged State = "unchanged" // its head is that of before
	Gathered  State = "gathered"
	Refused   State = "refused" // what was gathered of it before stands
)

// Box is what became of one box.
type Box struct {
	Railway string `json:"railway"`
	Box     string `json:"box"`
	Source  string `json:"source"`
	State   State  `json:"state"`
	Head    Head   `json:"head"`                 // of what is gathered
	From    int64  `json:"from_entry,omitempty"` // gathered: the first entry that was taken anew; 1 for the whole register
	Error   string `json:"error,omitempty"`

	m   *Manifest
	of  *source
	err error
}

// Result is what a run did.
type Result struct {
	Schema  string `json:"schema"`
	Caution string `json:"caution"`
	Boxes   []*Box `json:"boxes"` // by railway and box; those whose register cannot be opened first
	Pairs   []Pair `json:"pairs"` // neighbours whose bells were laid side by side

	strangers []error
}

// Refused is the error of the boxes of which nothing was taken, and of files in the
// collection that are of none; nil for none.
func (r *Result) Refused() error {
	boxes, pairs := each.Of(r.Boxes, func(b *Box) error { return b.err }), each.Of(r.Pairs, func(p Pair) error { return p.err })
	return errors.Join(slices.Concat(boxes, pairs, r.strangers)...)
}

// Run brings a collection up to date with the registers named. A box that cannot be
// taken is refused, and the others are gathered all the same: see Result.Refused. A
// run that was stopped is finished by the next: a box counts as gathered when its
// manifest is written, which is last.
//
// The error is one of the folder, or that of the context.
func Run(ctx context.Context, opt Options) (*Result, error) {
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	done, err := begun(opt.Out)
	if err != nil {
		return nil, err
	}
	defer done()
	res := &Result{Schema: Schema, Caution: caution, Pairs: []Pair{}}
	looked := make([]*Box, len(opt.Sources))
	inParallel(opt.Workers, len(looked), nil, func(i int) {
		s, err := look(opt.Sources[i])
		looked[i] = &Box{Railway: s.railway(), Box: s.meta.Box, Source: s.path, of: s, err: err}
	})
	res.Boxes = oneEach(looked)
	inParallel(opt.Workers, len(res.Boxes), opt.Progress, func(i int) { res.Boxes[i].gather(ctx, opt.Out, opt.Anew) })
	if err := ctx.Err(); err != nil {
		return res, err
	}
	if err := res.pair(ctx, &opt); err != nil {
		return res, err
	}
	if err := writeLine(opt.Out); err != nil {
		return res, err
	}
	res.strangers, err = strangers(opt.Out)
	return res, err
}

// begun makes the folder, which is to be missing, empty or a collection, and keeps other
// runs out of it until done is called.
func begun(out string) (done func(), err error) {
	list, err := os.ReadDir(out)
	if errors.Is(err, fs.ErrNotExist) {
		err = os.MkdirAll(out, 0o700)
	}
	if err != nil {
		return nil, err
	}
	list = slices.DeleteFunc(list, func(e fs.DirEntry) bool { return e.Name() == lockName })
	var m struct{ Schema string }
	ok, err := readManifest(filepath.Join(out, ManifestName), &m)
	switch {
	case err != nil:
		return nil, err
	case ok && m.Schema != Schema:
		return nil, fmt.Errorf("%s is a collection of another kind, %s; this program makes %s: give another folder", out, m.Schema, Schema)
	case !ok && len(list) > 0:
		return nil, fmt.Errorf("%s is neither empty nor a collection: give another folder", out)
	}
	if done, err = lock(out); err == nil {
		if err = beginLine(out); err != nil {
			done()
		}
	}
	return done, err
}

// lockName is an empty file in the folder that a run holds a lock on; the lock ends with
// the program, however that ends, and the file stays. Engines pass over its name.
const lockName = "_lock"

// ErrBusy is returned by Run while another gathers into the same folder.
var ErrBusy = errors.New("another fairhand gather is at work in it")

// lock takes the folder for this run.
func lock(out string) (done func(), err error) {
	done, busy, err := filelock.Take(filepath.Join(out, lockName))
	if busy {
		err = fmt.Errorf("%s: %w; nothing was changed: wait until that has ended, and gather again", out, ErrBusy)
	} else if err != nil {
		err = fmt.Errorf("keeping others out of %s: %w", out, err)
	}
	return done, err
}

// inParallel does n things, some at a time.
func inParallel(workers, n int, progress func(done, total int64), do func(i int)) {
	var mu sync.Mutex
	var wg sync.WaitGroup
	next, done := make(chan int), int64(0)
	for range min(workers, n) {
		wg.Go(func() {
			for i := range next {
				do(i)
				mu.Lock()
				if done++; progress != nil {
					progress(done, int64(n))
				}
				mu.Unlock()
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// oneEach takes of the registers of each box the longest.
func oneEach(looked []*Box) []*Box {
	var out []*Box
	of := map[[2]string][]*source{}
	for _, b := range looked {
		key := [2]string{b.Railway, b.Box}
		switch {
		case b.err != nil:
			out = append(out, b)
		case of[key] == nil:
			out = append(out, b)
			fallthrough
		default:
			of[key] = append(of[key], b.of)
		}
	}
	for _, b := range out {
		if b.err == nil {
			b.of, b.err = choose(of[[2]string{b.Railway, b.Box}])
			b.Source = b.of.path
		}
	}
	slices.SortStableFunc(out, func(a, b *Box) int { return cmp.Or(cmp.Compare(a.Railway, b.Railway), cmp.Compare(a.Box, b.Box)) })
	return out
}

// gather brings one box up to date.
func (b *Box) gather(ctx context.Context, out string, anew bool) {
	b.State = Refused
	defer func() {
		if r := recover(); r != nil {
			b.err = fmt.Errorf("%s: a fault within the program: %v", b.Source, r)
		}
		if b.m != nil {
			b.Head = b.m.Head
		}
		if b.err != nil {
			b.Error = b.err.Error()
		}
	}()
	if b.err == nil {
		b.err = ctx.Err()
	}
	if b.err != nil {
		return
	}
	var before *Manifest
	had := new(Manifest)
	ok, err := readManifest(filepath.Join(out, export.PartitionOf(b.Railway, b.Box), ManifestName), had)
	if b.err = err; err != nil {
		return
	}
	if ok {
		before, b.m = had, had
		if !anew && had.stands(out, b.of) {
			b.State = Unchanged
			return
		}
	}
	m, from, err := gatherBox(ctx, out, b.of, before, anew)
	_, altered := errors.AsType[*AlteredError](err)
	if b.err = err; err == nil || altered {
		b.m, b.State, b.From = m, Gathered, from
	}
}
