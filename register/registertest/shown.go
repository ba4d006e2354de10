package registertest

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
)

// Shown is what comes of something that a test reads, in words: of what, how that was made,
// and what is shown of it, sorted by what it is about: Kinds names that, where it is to be told which moved.
type Shown struct {
	Of, How string
	Words   []string
	Kinds   []string
	Told    string // the words as they are to be read, where that is not one kind after the other
}

// mostMoved is after how many that show something else than before no more are read.
const mostMoved = 10

// HoldShown reads so many things, each by its name and as often as readings says, and holds what they
// show to what they showed when a file was written, with update: of each reading the digests of
// what was read and of its words. One that is new, or of something else than then, is left out; nine in
// ten must be held. Of what is read several times every third reading is held unless FAIRHAND_DEPTH asks
// for more. The file says only what moved: with FAIRHAND_SHOWN the words go to that
// directory, for bash .ci/shown REVISION PACKAGE to tell the difference. Read that before an update.
func HoldShown(t *testing.T, file string, update bool, names []string, readings int, read func(t *testing.T, i, k int) Shown) {
	was, show := shownBefore(t, file, update), os.Getenv("FAIRHAND_SHOWN")
	now := make([]string, len(names))
	third := readings > 1 && !update && show == "" && os.Getenv("FAIRHAND_DEPTH") == ""
	var tried, held, moved atomic.Int32
	const parts = 4 // read beside each other
	t.Run("read", func(t *testing.T) {
		for part := range parts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for i := part; i < len(names); i += parts {
					now[i] = names[i]
					for k := 0; k < readings && (moved.Load() < mostMoved || update || show != ""); k++ {
						if third && (i+k)%3 > 0 {
							continue
						}
						s := read(t, i, k)
						is := s.digests()
						now[i] += " " + is
						if show != "" {
							s.write(t, filepath.Join(show, fmt.Sprintf("%s_%d.txt", strings.ReplaceAll(names[i], "/", "_"), k)))
							continue
						}
						of, _, _ := strings.Cut(is, ".")
						tried.Add(1)
						if old := was[names[i]]; update || k >= len(old) || !strings.HasPrefix(old[k], of+".") {
							continue
						} else if held.Add(1); old[k] != is && moved.Add(1) <= mostMoved {
							t.Errorf("%s, reading %d (%s): another%s than before, %s was %s. In words: bash .ci/shown HEAD PACKAGE", names[i], k, s.How, s.moved(is, old[k]), is, old[k])
						}
					}
				}
			})
		}
	})
	if t.Failed() && update {
		return // a part ended at a book that cannot be read: nothing is written of the rest
	} else if update {
		slices.Sort(now)
		if err := os.WriteFile(file, []byte("# Of each reading the digests of what is read and of what is shown of it; see HoldShown.\n"+strings.Join(now, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if show == "" && moved.Load() == 0 && held.Load() < tried.Load()*9/10 {
		t.Errorf("of %d readings only %d are held: -update", tried.Load(), held.Load())
	}
}

// shownBefore are the digests of a file, by name.
func shownBefore(t *testing.T, file string, update bool) map[string][]string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil && !update {
		t.Fatal(err)
	}
	was := map[string][]string{}
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		was[f[0]] = f[1:]
	}
	return was
}

func (s *Shown) digests() string {
	out := digest(s.Of)
	for _, words := range s.Words {
		out += "." + digest(words)
	}
	return out
}

// moved names the kinds of which the digests differ.
func (s *Shown) moved(is, was string) (kinds string) {
	now, then := strings.Split(is, ".")[1:], strings.Split(was, ".")[1:]
	for i := range min(len(s.Kinds), len(now), len(then)) {
		if now[i] != then[i] {
			kinds += " " + s.Kinds[i]
		}
	}
	return kinds
}

func (s *Shown) write(t *testing.T, file string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(s.How+"\n\n"+cmp.Or(s.Told, s.Of+"\n"+strings.Join(s.Words, "\n"))), 0o644); err != nil {
		t.Fatal(err)
	}
}

func digest(text string) string {
	h := fnv.New32a()
	h.Write([]byte(text))
	return fmt.Sprintf("%05x", h.Sum32()>>12)
}
