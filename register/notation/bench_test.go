package notation

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"fairhand/block"
)

// benchBook is a day of a busy box over and over: bells, tokens, trains, texts.
func benchBook(lines int) string {
	var b strings.Builder
	for n := 0; n < lines; {
		fmt.Fprintf(&b, "date 20%02d-%02d-%02d\n", 10+n/300/28/12%80, 1+n/300/28%12, 1+n/300%28)
		for range 30 {
			train := fmt.Sprintf("2P%02d", n/10%60)
			m := fmt.Sprintf("%02d:%02d", 6+n/20%15, n%20*3)
			for _, rest := range []string{
				"Coldbeck <1 >1 <3-1 >3-1 train " + train, "Coldbeck token 7 out", "Coldbeck <2 >2",
				"train " + train + ` arrived at "Platform 1" complete`, "Coldbeck token 7 in", "Coldbeck >1 <1 >2-1 <2-1",
				"Saltgarth >1 <1 >3-1 <3-1 train " + train + ` line "Up Main"`, "train " + train + " departed for Saltgarth",
				"Saltgarth >2 <2", `message to Control "` + train + ` three minutes late away"`,
			} {
				b.WriteString(m + " " + rest + "\n")
				n++
			}
		}
	}
	return b.String()
}

func BenchmarkReader(b *testing.B) {
	book, loc := benchBook(30_000), london(b)
	b.SetBytes(int64(len(book)))
	b.ReportAllocs()
	lines := 0
	for b.Loop() {
		r := NewReader(strings.NewReader(book), loc)
		for {
			_, err := r.Next()
			if err == io.EOF {
				break
			}
			if err != nil {
				b.Fatal(err)
			}
			lines++
		}
	}
	b.ReportMetric(float64(lines)/b.Elapsed().Seconds(), "lines/s")
}

func BenchmarkWriter(b *testing.B) {
	evs, w := benchEvents(b), NewWriter(london(b))
	var line []byte
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		line = w.Append(line[:0], evs[i%len(evs)])
		i++
	}
}

func BenchmarkFormat(b *testing.B) {
	evs, loc := benchEvents(b), london(b)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		Format(evs[i%len(evs)], loc)
		i++
	}
}

func benchEvents(b *testing.B) []block.Event {
	evs, err := ParseAll(strings.NewReader(benchBook(1000)), london(b))
	if err != nil {
		b.Fatal(err)
	}
	return evs
}

func BenchmarkStored(b *testing.B) {
	evs, loc := benchEvents(b), london(b)
	var lines []string
	for _, ev := range evs {
		lines = append(lines, Format(ev, loc))
	}
	s := NewStored(loc)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if _, err := s.Event(evs[i%len(evs)].At, lines[i%len(evs)]); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
