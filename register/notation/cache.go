package notation

import (
	"strings"

	"fairhand/block"
)

// cacheSize is the number of places in a cache, a power of two. A box has some
// dozens of names and some hundreds of trains in a day.
const cacheSize = 1024

// cache gives one copy of every name and of every run of bell signals that
// comes again and again, so that reading a book allocates little and keeps no
// line alive. It never grows: a newcomer takes the place of an older one. A nil
// cache gives back what it is given.
type cache struct {
	names [cacheSize]string
	runs  [cacheSize]bellRun
}

type bellRun struct {
	text  string
	bells []block.Bell
}

// place is where s belongs: enough of its bytes to tell 2P07 from 2P09.
func place(s string) int {
	h := uint32(len(s))
	for i := 0; i < len(s); i++ {
		h = h*31 + uint32(s[i])
	}
	return int((h ^ h>>15) % cacheSize)
}

// name gives the one copy of s, which is not empty.
func (c *cache) name(s string) string {
	if c == nil {
		return s
	}
	kept := &c.names[place(s)]
	if *kept != s {
		*kept = strings.Clone(s)
	}
	return *kept
}

// copy gives s without the line it was part of.
func (c *cache) copy(s string) string {
	if c == nil {
		return s
	}
	return strings.Clone(s)
}

// bells gives the signals that text was read as before, nil if not known.
func (c *cache) bells(text string) []block.Bell {
	if c == nil {
		return nil
	}
	if run := &c.runs[place(text)]; run.text == text {
		return run.bells
	}
	return nil
}

// keepBells remembers what text was read as. The list is cut to its length so
// that nobody appends to it unseen.
func (c *cache) keepBells(text string, list []block.Bell) {
	if c != nil {
		c.runs[place(text)] = bellRun{strings.Clone(text), list[:len(list):len(list)]}
	}
}
