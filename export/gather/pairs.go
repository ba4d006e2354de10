package gather

import "context"

type bell struct{ whose }
type clock struct{ whose }

// Pair is what became of two neighbours' bells.
type Pair struct {
	Railway   string `json:"railway"`
	Box       string `json:"box"`
	Neighbour string `json:"neighbour"`
	State     State  `json:"state"`
	Bells     int64  `json:"bells"` // that both books have
	Error     string `json:"error,omitempty"`

	err error
}

func (r *Result) pair(ctx context.Context, opt *Options) error { return nil }
