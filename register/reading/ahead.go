package reading

import (
	"iter"
	"sync"
)

// Ahead works a sequence on a goroutine of its own, at most n values before they
// are asked for. The goroutine has ended when the reading of them ends.
func Ahead[T any](seq iter.Seq2[T, error], n int) iter.Seq2[T, error] {
	type item struct {
		value T
		err   error
	}
	return func(yield func(T, error) bool) {
		items, enough := make(chan item, n), make(chan struct{})
		var wg sync.WaitGroup
		defer wg.Wait()
		defer close(enough)
		wg.Go(func() {
			defer close(items)
			for v, err := range seq {
				select {
				case items <- item{v, err}:
				case <-enough:
					return
				}
			}
		})
		for it := range items {
			if !yield(it.value, it.err) {
				return
			}
		}
	}
}
