package register

import (
	"context"
	"testing"
)

// A search finds by train, token, person and text, newest first, each word
// anywhere, and ends when it is told to.
func TestSearch(t *testing.T) {
	b, _ := inHandBook(t, 4, 5, 6)
	if err := logLine(b, `duty on "A. Fell" ; note "kettle of T1"`); err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]int{"t1": 6, "T1 arrived": 1, "kettle": 1, "fell": 2, "no such": 0, "saltgarth <2": 6} {
		var hits []Entry
		parts := 0
		err := b.Search(context.Background(), text, func(p SearchPart) error {
			hits, parts = append(hits, p.Hits...), parts+1
			return nil
		})
		if err != nil || len(hits) != want || parts == 0 {
			t.Errorf("%q: %d found, want %d (%v)", text, len(hits), want, err)
		}
		for i := 1; i < len(hits); i++ {
			if hits[i].Seq >= hits[i-1].Seq {
				t.Errorf("%q: not newest first", text)
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := b.Search(ctx, "x", func(SearchPart) error { return nil }); err != context.Canceled {
		t.Errorf("a search that is ended says %v", err)
	}
	if err := b.Search(context.Background(), " ", nil); err == nil {
		t.Error("nothing is looked for and nothing said")
	}
	d, err := b.Glance(20260505)
	if err != nil || len(d.Entries) != len(b.Recent()) {
		t.Errorf("a glance at the day: %v", err)
	}
}
