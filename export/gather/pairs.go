package gather

import "context"

type bell struct{ whose }
type clock struct{ whose }

// Pair is what became of two neighbours.
type Pair struct {
	err error
}

func (r *Result) pair(ctx context.Context, opt *Options) error { return nil }
